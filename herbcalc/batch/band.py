"""Floor 3. The band of a batch: between which amounts, and which strengths, its bottles will end."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, Protocol

import numpy as np

from herbcalc import maceration, menstruum, moisture
from herbcalc.batch.figures import Figures, on_tray, water_in_jar
from herbcalc.batch.order import Making
from herbcalc.batch.sure import Range, Reading, carried
from herbcalc.units.guard import SHARE, WEIGHT, Kind, take
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

POINTS = Kind("points of a moisture", "percent_wb", "5 percent_wb, which is 5 points", low=0.0, high=50.0)
GRAM, FIVE_POINTS, TWO_POINTS = Q(1.0, "g"), Q(5.0, "percent_wb"), Q(2.0, "percent_wb")
KINDS = {"scale": WEIGHT, "jug": SHARE, "moisture": POINTS, "retained": SHARE, "dryness": POINTS}


class Off(Protocol):
    """What the house rules say of the readings; which rules those are is no business of a sum."""

    @property
    def scale_off(self) -> float: ...
    @property
    def jug_off(self) -> float: ...
    @property
    def moisture_off(self) -> float: ...
    @property
    def marc_off(self) -> float: ...
    @property
    def dryness_off(self) -> float: ...


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

    @classmethod
    def by_rules(cls, rules: Off) -> Readings:
        """Those of a class: the house rules handed over.

        >>> from herbcalc.rules import Rules
        >>> Readings.by_rules(Rules()) == Readings(), Readings.by_rules(Rules(jug_off=0.05)).jug
        (True, 0.05)
        """
        return cls(
            scale=Q(rules.scale_off, "g"),
            jug=rules.jug_off,
            moisture=Q(rules.moisture_off, "percent_wb"),
            retained=rules.marc_off,
            dryness=Q(rules.dryness_off, "percent_wb"),
        )

    def off(self, name: str) -> float:
        """One of them as a bare number."""
        return float(take(name, KINDS[name], getattr(self, name)))

    def weighed(self, grams: float) -> Reading:
        """A plant on the scale, g."""
        return Reading(grams, self.off("scale"), "weighing the plant on a finer scale", low=1e-9)

    def sampled(self, water: float) -> Reading:
        """The water of a plant, told by a sample, % wb."""
        return Reading(water, self.off("moisture"), "a larger moisture sample", 0.0, 99.0)

    def felt(self, water: float) -> Reading:
        """The water of dried herb, told by hand, % wb."""
        return Reading(water, self.off("dryness"), "a sample of the dried herb", 0.0, 95.0)

    def poured(self) -> Reading:
        """What a jug really holds of each mL that it shows, plain."""
        return Reading(1.0, self.off("jug"), "a finer jug, or weighing the menstruum", low=0.0)

    def kept(self, retained: float) -> Reading:
        """What the marc keeps, mL/g."""
        return Reading(retained, self.off("retained") * retained, "weighing what your own marc keeps", low=0.0)


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
            _sentence("What comes out", self.finished, "mL"),
            _sentence("Its strength by the kitchen rule", self.strength, "percent_vol"),
        ]


def _sentence(what: str, found: Range, unit: str) -> str:
    """One range, and what would sharpen it."""
    value, low, high = (said(number, unit) for number in (found.value, found.low, found.high))
    return f"{what}: {value}; 19 times in 20 between {low} and {high}. {found.help}".strip()


def band(making: Making, found: Figures, readings: Readings) -> Band:
    """What `Batch.band` holds. Walked as it is made: the basket is weighed, what comes off a tray is weighed again,
    and the jug is filled to the ratio on the weight that the scale showed. A plant wilts until the tray weighs what
    it should; dried herb is dry by the feel of it."""
    lies = on_tray(making)
    dried = making.state == "dried"
    left = readings.felt(water_in_jar(making))
    again = f"weighing the {'dried herb' if dried else 'wilted plant'} on a finer scale"
    read = {
        "fresh": readings.weighed(found.fresh),
        "water": readings.sampled(making.number("water")),
        "jug": readings.poured(),
        "retained": readings.kept(making.number("retained")),
        "again": Reading(0.0, readings.off("scale") if lies else 0.0, again),
        "left": left if dried else left._replace(off=0.0),
    }

    def jar(fresh: Any, water: Any, jug: Any, again: Any, left: Any) -> tuple[Any, Any, Any]:
        """Herb in the jar as it really is, its water, and what is really poured on it."""
        if not lies:
            return fresh, water, found.each * found.fresh * jug
        if not dried:  # what is not solids in the wilted plant is water
            herb = np.maximum(found.herb - again, fresh * (1.0 - water / 100.0))
            return herb, 100.0 - fresh * (100.0 - water) / herb, found.each * found.herb * jug
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
