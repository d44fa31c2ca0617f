"""Floor 3. The band of a batch: between which amounts, and which strengths, its bottles will end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from herbcalc import maceration, menstruum, moisture
from herbcalc.batch.figures import Figures, water_in_jar
from herbcalc.batch.order import Making
from herbcalc.batch.sure import Range, Reading, carried
from herbcalc.units.guard import SHARE, WEIGHT, Kind, take
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

POINTS = Kind("points of a moisture", "percent_wb", "5 percent_wb, which is 5 points", low=0.0, high=50.0)
GRAM, FIVE_POINTS, TWO_POINTS = Q(1.0, "g"), Q(5.0, "percent_wb"), Q(2.0, "percent_wb")
KINDS = {"scale": WEIGHT, "jug": SHARE, "moisture": POINTS, "retained": SHARE, "dryness": POINTS}


@dataclass(frozen=True)
class Readings:
    """How far each reading may be off, 95 times in 100: common practice, no source, until a class has its own.

    scale     of each weighing, g, 0 or more
    jug       of a volume, as a share of it, plain, 0 to 1
    moisture  of the sampled water in the plant, points of percent_wb, 0 to 50
    retained  of what the marc keeps, as a share of it, plain, 0 to 1
    dryness   of the water left in dried herb, which is told by snapping a stem, points of percent_wb, 0 to 50

    Refuses: WrongUnit; OutOfRange also for lists.

    >>> Readings().jug
    0.03
    """

    scale: Any = GRAM
    jug: Any = 0.03
    moisture: Any = FIVE_POINTS
    retained: Any = 0.2
    dryness: Any = TWO_POINTS

    def __post_init__(self) -> None:
        for part in fields(self):
            if np.ndim(take(part.name, KINDS[part.name], getattr(self, part.name))):
                raise OutOfRange(f"{part.name}: one amount is wanted, and a list was given.")

    def off(self, name: str) -> float:
        """One of them as a bare number."""
        return float(take(name, KINDS[name], getattr(self, name)))


@dataclass(frozen=True)
class Band:
    """How sure a batch is: `finished`, the Range of what comes out in mL, and `strength`, that of its strength by the
    kitchen rule in % vol. Each names the reading that would sharpen it most, and by what share."""

    finished: Range
    strength: Range

    @property
    def sharpen(self) -> str:
        """The reading that would sharpen what comes out most, in words."""
        return self.finished.sharpen

    def lines(self) -> list[str]:
        """Both as sentences, in both systems of units."""
        return [
            _sentence(
                "What comes out", self.finished, lambda number: said(number, "mL"), lambda width: said(width, "mL")
            ),
            _sentence(
                "Its strength",
                self.strength,
                lambda number: said(number, "percent_vol"),
                lambda width: f"{said(width, '')} points",
            ),
        ]


def _sentence(what: str, found: Range, say: Callable[[float], str], wide: Callable[[float], str]) -> str:
    """One range, and what would sharpen it."""
    text = f"{what}: {say(found.value)}; 19 times in 20 between {say(found.low)} and {say(found.high)}."
    if not found.sharpen:
        return text
    return (
        f"{text} What would help most is {found.sharpen}: with half the doubt there, the range would be "
        f"{wide(found.width * (1.0 - found.narrower))} wide, not {wide(found.width)}."
    )


def band(making: Making, found: Figures, readings: Readings) -> Band:
    """What `Batch.band` holds. Walked as it is made: the basket is weighed, dried herb is weighed again, and the jug
    is filled to the ratio on the weight that the scale showed."""
    dried = making.state == "dried"
    scale = readings.off("scale")
    read = {
        "fresh": Reading(found.fresh, scale, "weighing the plant on a finer scale", low=1e-9),
        "water": Reading(making.number("water"), readings.off("moisture"), "a larger moisture sample", 0.0, 99.0),
        "jug": Reading(1.0, readings.off("jug"), "a finer jug, or weighing the menstruum", low=0.0),
        "retained": Reading(
            making.number("retained"),
            readings.off("retained") * making.number("retained"),
            "weighing what your own marc keeps",
            low=0.0,
        ),
        "again": Reading(0.0, scale if dried else 0.0, "weighing the dried herb on a finer scale"),
        "left": Reading(
            water_in_jar(making), readings.off("dryness") if dried else 0.0, "a sample of the dried herb", 0.0, 95.0
        ),
    }

    def jar(fresh: Any, water: Any, jug: Any, again: Any, left: Any) -> tuple[Any, Any, Any]:
        """Herb in the jar as it really is, its water, and what is really poured on it."""
        if not dried:
            return fresh, water, found.each * found.fresh * jug
        to = np.minimum(left, water)  # a plant drier than that stays as it is
        herb = moisture.dried_weight.plain(fresh, water, to)
        return herb, to, found.each * np.maximum(herb + again, 0.0) * jug

    def finished(retained: Any, **drawn: Any) -> Any:
        herb, water, poured = jar(**drawn)
        return maceration.liquid_out.plain(herb, poured, retained, 0.0 if dried else water)

    def strength(retained: Any, **drawn: Any) -> Any:  # noqa: ARG001  (the marc's liquid is as strong as the rest)
        herb, water, poured = jar(**drawn)
        return menstruum.final_strength.plain(herb, water, poured, making.number("spirit"))

    return Band(carried(finished, read), carried(strength, read))
