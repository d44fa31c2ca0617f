"""Floor 3. How sure is it? What is read on scale and jug may be off, and so may what follows from it.

It is carried by sampling with a fixed seed. The sums multiply what is uncertain (a share of water by a weight, what
the marc keeps by another) and stop at nothing coming out, and there a straight line through the middle, which
propagation of deviations is, would be off at the ends; sampling needs no slope and takes any sum. The draws are the
same for every batch, in pairs of opposite sign: a slider moved by a hair moves a range by a hair.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np

DRAWS = 4000
SEED = 20261127
MOST_READINGS = 8
TO_95 = 1.959964  # standard deviations on either side that hold 95 of every 100 readings
NO_SHARPER = 0.02  # of a width: halving an error that narrows it by less is no news


class Reading(NamedTuple):
    """One thing that was read.

    value      what was read
    off        how far the truth lies from it at most, 95 times in 100
    named      what it is, in words
    low, high  between which the truth can only lie
    """

    value: float
    off: float
    named: str
    low: float = -np.inf
    high: float = np.inf


NARROWER = (
    (0.5, "about half as wide"),
    (0.4, "about two fifths narrower"),
    (1 / 3, "about a third narrower"),
    (0.25, "about a quarter narrower"),
    (0.2, "about a fifth narrower"),
    (0.1, "about a tenth narrower"),
    (0.03, "a little narrower"),
)


@dataclass(frozen=True)
class Range:
    """A result and how sure it is.

    value      from what was read
    low, high  between which the truth lies 95 times in 100
    sharpen    the reading that would sharpen it most, in words; "" where none would
    narrower   by what share the range narrows when that reading is off by half as much, plain
    """

    value: float
    low: float
    high: float
    sharpen: str
    narrower: float

    @property
    def width(self) -> float:
        """From end to end."""
        return self.high - self.low

    @property
    def help(self) -> str:
        """What would help most, as a sentence; "" where no reading would.

        >>> Range(100.0, 95.0, 105.0, "a larger sample", 0.42).help
        'What would help most: a larger sample (half that doubt: a range about two fifths narrower).'
        """
        if not self.sharpen:
            return ""
        by = min(NARROWER, key=lambda one: abs(one[0] - self.narrower))[1]
        return f"What would help most: {self.sharpen} (half that doubt: a range {by})."


def carried(sum_: Callable[..., Any], readings: Mapping[str, Reading]) -> Range:
    """The range of a sum whose arguments were read, each independent of the others.

    sum_      takes each reading by its name, as one number or a list, and gives a plain number or a list
    readings  what was read, by name; at most eight

    Result: Range. Source: the spread of 4000 draws, each reading normal about what was read; "off" holds 95 of 100.

    >>> two = {"a": Reading(100.0, 3.0, "the scale"), "b": Reading(50.0, 4.0, "the jug")}
    >>> both = carried(lambda a, b: a + b, two)
    >>> both.value, round(both.low), round(both.high), both.sharpen, round(both.narrower, 1)
    (150.0, 145, 155, 'the jug', 0.3)
    """
    low, high = _ends(sum_, readings)
    value = float(sum_(**{name: one.value for name, one in readings.items()}))
    if not high > low:
        return Range(value, low, high, "", 0.0)
    narrower = {}
    for name, one in readings.items():
        if one.off > 0.0:
            ends = _ends(sum_, {**readings, name: one._replace(off=one.off / 2.0)})
            narrower[name] = 1.0 - (ends[1] - ends[0]) / (high - low)
    most = max(narrower, key=lambda name: narrower[name])
    whole = Range(value, low, high, readings[most].named, narrower[most])
    return whole if whole.narrower >= NO_SHARPER else replace(whole, sharpen="", narrower=0.0)


def _ends(sum_: Callable[..., Any], readings: Mapping[str, Reading]) -> tuple[float, float]:
    drawn = {
        name: np.clip(one.value + one.off / TO_95 * column, one.low, one.high)
        for (name, one), column in zip(readings.items(), _columns(), strict=False)
    }
    low, high = np.percentile(sum_(**drawn), (2.5, 97.5))
    return float(low), float(high)


@functools.cache
def _columns() -> Any:
    half = np.random.default_rng(SEED).standard_normal((MOST_READINGS, DRAWS // 2))
    return np.concatenate([half, -half], axis=1)
