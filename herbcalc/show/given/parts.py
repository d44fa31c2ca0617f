"""Floor 5. What a picture of given figures is made of: vessels in a row, bars to one scale, a dial, a log of weights.

A row of a lesson's table names the parts and their words; words are templates of the item ("{m}, {w} water"), so that
a figure stands in the picture as it stands in the question. Sizes come from the figures that are given. What is asked
has a "?" in its words and no size of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from types import SimpleNamespace

Figures = SimpleNamespace  # the given figures by their short names: percentages as shares, all else in its own unit
Layer = tuple[str, float]  # a filling, and how much of it in g or mL

PLUS, THEN, OR, BESIDE = "+", "→", "or", ""  # the signs before a vessel


@dataclass(frozen=True)
class Vessel:
    """One thing in a row: `shape` is "jar", "bottle", "heap" (a plant as it is weighed), "marc", "cone" or "clock".

    `name` and `lines` are its words; `layers` fill it from the bottom up; `sign` stands before it. `mark` is the
    place of the layer on which the "?" stands, counted from the bottom, -1 for the whole; None where there is none.
    """

    shape: str
    name: str
    lines: tuple[str, ...]
    layers: tuple[Layer, ...] = ()
    sign: str = PLUS
    mark: int | None = None


@dataclass(frozen=True)
class Row:
    """Vessels from left to right, all to one scale."""

    vessels: tuple[Vessel, ...]


@dataclass(frozen=True)
class Bar:
    """A lying bar with its words above; `mark` as for a vessel, `inside` the words on its layers."""

    name: str
    lines: tuple[str, ...]
    layers: tuple[Layer, ...] = ()
    mark: int | None = None
    inside: tuple[str, ...] = ("solids", "water")


@dataclass(frozen=True)
class Bars:
    """Bars one under the other, all to one scale. `rough` where something in them has no size of its own."""

    bars: tuple[Bar, ...]
    rough: bool = False


@dataclass(frozen=True)
class Dial:
    """A thermometer with °F at its left and °C at its right: the marks given, and what is asked of them."""

    marks: tuple[tuple[str, float], ...]
    asked: str


@dataclass(frozen=True)
class Log:
    """Weights in g, day by day from day 0, the words that tell them all, and what is asked of them."""

    weights: tuple[float, ...]
    told: str
    asked: str


Picture = Row | Bars | Dial | Log
Table = dict[str, Callable[[Figures], Picture]]
UNTOLD = -1.0  # an amount that is asked, or that nobody is told: so much of half a vessel, not to size


def plant(grams: float, water: float = 0.0) -> tuple[Layer, ...]:
    """A plant as it is weighed: its dry part, and its own water, a share of the whole, on top."""
    return (("solids", grams * (1 - water)), ("water", grams * water)) if water else (("solids", grams),)


def spirit(mL: float, strength: float) -> tuple[Layer, Layer]:
    """The alcohol of a spirit, and its water."""
    return ("alcohol", mL * strength), ("water", mL * (1 - strength))


def menstruum(mL: float) -> tuple[Layer, ...]:
    """A liquid of which no strength is told."""
    return (("band", mL),)


def poured_off(mL: float) -> tuple[Layer, ...]:
    """What may be poured off."""
    return (("bottle", mL),)
