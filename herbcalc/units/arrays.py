"""Floor 0. Numbers and lists of numbers: comparisons that forgive rounding, which element was refused, results.

Every sum compares through `above`, `below`, `at_least` and `at_most`, so that there is one slack, and lists work.
`newton` is the one search for a root.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import OutOfRange

_CLOSE = 1e-8  # a Newton step shorter than this leaves an error of its square, far below rounding


def slack(end: Any) -> Any:
    """How far past `end` rounding may carry a number: 1e-9 of it, and 1e-9 where that is more.

    >>> slack(0.5), slack(2.0)
    (1e-09, 2e-09)
    """
    return SLACK * (max(1.0, abs(end)) if isinstance(end, float) else np.maximum(1.0, np.abs(end)))


def above(number: Any, end: Any) -> Any:
    """Whether a number is more than an end by more than rounding; True or False, or an array of them.

    >>> above(35.1, 35.0), above(35.0 + 1e-10, 35.0)
    (True, False)
    """
    return number > end + slack(end)


def below(number: Any, end: Any) -> Any:
    """Whether a number is less than an end by more than rounding; True or False, or an array of them.

    >>> below(34.9, 35.0), below(35.0 - 1e-10, 35.0)
    (True, False)
    """
    return number < end - slack(end)


def at_least(number: Any, end: Any) -> Any:
    """Whether a number is an end or more, rounding forgiven; True or False, or an array of them.

    >>> at_least(35.0 - 1e-10, 35.0), at_least(34.9, 35.0)
    (True, False)
    """
    return number >= end - slack(end)


def at_most(number: Any, end: Any) -> Any:
    """Whether a number is an end or less, rounding forgiven; True or False, or an array of them.

    >>> at_most(35.0 + 1e-10, 35.0), at_most(35.1, 35.0)
    (True, False)
    """
    return number <= end + slack(end)


def whole(number: float) -> int | None:
    """The whole number that is meant, or None where there is none within rounding.

    >>> whole(3.0), whole(2.9999999999), whole(2.5)
    (3, 3, None)
    """
    nearest = round(number)
    return nearest if abs(number - nearest) <= slack(float(nearest)) else None


UNCOUNTABLE = 1e15  # a sum that gives more whole things than this was given a slip of units


def counted(number: Any, way: Any) -> Any:
    """Whole things, rounded one way; a whole number that is missed by rounding alone is meant.

    number  0 or more, and less than `UNCOUNTABLE`; one or an array
    way     np.floor for what one may take, np.ceil for what one must have

    Result: an int, or an array of them.

    >>> counted(2.9999999999, np.floor), counted(2.99, np.floor), counted(2.01, np.ceil)
    (3, 2, 3)
    """
    near = np.rint(number)
    # However large the count, the slack stays a hair.
    found = np.where(np.abs(number - near) <= np.minimum(slack(near), 1e-6), near, way(number)).astype(np.int64)
    return found if found.ndim else int(found)


def whole_times(amount: Any, each: Any, way: Any, what: str, why: str) -> Any:
    """How many whole times `each` goes into an amount, rounded one way as in `counted`.

    what, why  the name of the argument that is to blame, and the sentence, where there is no end to the counting

    Result: an int, or an array of them. Refuses (OutOfRange): `UNCOUNTABLE` and more.

    >>> [whole_times(100.0, 30.0, way, "tin", "so small a tin") for way in (np.floor, np.ceil)]
    [3, 4]
    """
    with np.errstate(over="ignore"):  # what grows past all counting is refused by name
        number = np.divide(amount, each)
    if refused := first_refused(~(number < UNCOUNTABLE)):
        raise OutOfRange(f"{what}{refused[0]}: {why}")
    return counted(number, way)


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
    at = tuple(int(i) for i in np.argwhere(bad)[0])
    return place(at), [float(np.broadcast_to(n, bad.shape)[at]) for n in numbers]


def place(at: tuple[int, ...]) -> str:
    """Words that name a place in a list; none for a single amount.

    >>> place((1,)), place(())
    (' (number 1 of the list, counted from 0)', '')
    """
    return f" (number {at[0] if len(at) == 1 else at} of the list, counted from 0)" if at else ""


def plain(number: Any) -> Any:
    """A result without dimensions: a float for one amount, an array for a list.

    >>> plain(np.float64(0.7)), plain(np.array(0.7))
    (0.7, 0.7)
    """
    return float(number) if np.ndim(number) == 0 else number


def newton(step: Callable[[Any], Any], start: Any) -> Any:
    """The root found from `start`, where `step(x)` is the function over its slope.

    Only for functions without a bend that could throw the search out (the tests sweep those used here).

    >>> round(newton(lambda x: (x * x - 2.0) / (2.0 * x), 1.0), 12)
    1.414213562373
    """
    x = start
    for _ in range(40):
        change = step(x)
        x = x - change
        if np.all(np.abs(change) < _CLOSE) if isinstance(change, np.ndarray) else abs(change) < _CLOSE:
            return x
    raise ArithmeticError("the search for a root did not settle; this is a fault in herbcalc, please report it")
