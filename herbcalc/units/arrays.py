"""Floor 0. Sums on lists: which element was refused, and a plain result."""

from __future__ import annotations

from typing import Any

import numpy as np


def first_refused(bad: Any, *numbers: Any) -> tuple[str, list[float]] | None:
    """Where `bad` is first true, with the numbers that stand there; None when nothing is refused.

    bad      True or False, or an array of them
    numbers  the bare numbers that the sentence will name; each is broadcast to the shape of `bad`

    Result: (words that name the place in the list, empty for a single amount; the numbers at that place).

    >>> first_refused(np.array([False, True]), np.array([5.0, 1.0]), 1.5)
    (' (number 1 of the list, counted from 0)', [1.0, 1.5])
    >>> first_refused(False, 5.0) is None
    True
    """
    bad = np.asarray(bad)
    if not bad.any():
        return None
    if bad.ndim == 0:
        return "", [float(n) for n in numbers]
    at = tuple(int(i) for i in np.argwhere(bad)[0])
    where = f" (number {at[0] if len(at) == 1 else at} of the list, counted from 0)"
    return where, [float(np.broadcast_to(n, bad.shape)[at]) for n in numbers]


def plain(number: Any) -> Any:
    """A result without dimensions: a float for one amount, an array for a list.

    >>> plain(np.float64(0.7)), plain(np.array(0.7))
    (0.7, 0.7)
    """
    return float(number) if np.ndim(number) == 0 else number
