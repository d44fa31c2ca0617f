"""Floor 3. The two ends of the walk: an order for so many bottles, and a basket of fresh plant."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np

from herbcalc import moisture
from herbcalc.ethanol import STRENGTH
from herbcalc.harvest import COUNT
from herbcalc.maceration import CONVENTIONS
from herbcalc.units.guard import NUMBER, RATIO, RETAINED, SHARE, VOLUME, WATER, WEIGHT, take
from herbcalc.units.refusals import OutOfRange, one_of
from herbcalc.units.registry import Q

STATES = ("fresh", "dried")
METHODS = ("soak", "drip")
ONE_IN_FIVE, HALF, FLOOR = Q(5.0, "mL/g"), Q(50.0, "percent_vol"), Q(35.0, "percent_vol")
LEAF, MARC = Q(80.0, "percent_wb"), Q(1.5, "mL/g")
THE_MOST_IN_DRY = 15.0  # percent_wb: what holds more is not dried; common practice, no source

KINDS = {
    "bottles": NUMBER.within(0.0),
    "fresh": WEIGHT.more_than_none,
    "bottle": VOLUME.more_than_none,
    "ratio": RATIO.more_than_none,
    "spirit": STRENGTH,
    "floor": STRENGTH,
    "water": WATER,
    "retained": RETAINED,
    "per_plant": WEIGHT.more_than_none,
    "stand": COUNT,
    "share": SHARE,
    "wilted": WATER,
    "dried_to": WATER.within(0.0, THE_MOST_IN_DRY),
}
WORDS = {"state": STATES, "method": METHODS, "convention": CONVENTIONS}
MAY_BE_LEFT_OUT = ("per_plant", "stand", "share", "wilted")


@dataclass(frozen=True)
class _Bottles:
    bottles: Any


@dataclass(frozen=True)
class _Fresh:
    fresh: Any


@dataclass(frozen=True)
class Making:
    """How it is made: what an order and a basket have in common; each field is told in `Order`."""

    bottle: Any
    state: str = "dried"
    method: str = "soak"
    ratio: Any = ONE_IN_FIVE
    convention: str = "added"
    spirit: Any = HALF
    floor: Any = FLOOR
    water: Any = LEAF
    retained: Any = MARC
    per_plant: Any = None
    stand: Any = None
    share: Any = None
    wilted: Any = None
    dried_to: Any = moisture.DRIED_TO
    bare: dict[str, float | None] = field(init=False, repr=False, compare=False)  # each amount as its bare number

    def __post_init__(self) -> None:
        bare: dict[str, float | None] = {}
        for part in fields(self):
            if part.name in WORDS:
                one_of(part.name, getattr(self, part.name), WORDS[part.name])
            elif part.name in KINDS:
                bare[part.name] = _single(part.name, getattr(self, part.name))
        if bare["stand"] is not None and bare["per_plant"] is None:
            raise OutOfRange(
                "per_plant: a stand is counted in plants, so it takes what one plant gives. Weigh one, and say it "
                "too: 120 g, or 4 1/4 oz."
            )
        if bare["share"] is not None and bare["stand"] is None:
            raise OutOfRange(
                "stand: a share is a share of the plants that stand there. Count them, and say how many."
            )
        if bare["wilted"] is not None and self.state == "dried":
            raise OutOfRange(
                "wilted: what is dried has wilted long before. Leave it out, or say fresh for a plant that lies a "
                "day and goes in limp."
            )
        object.__setattr__(self, "bare", bare)

    @property
    def shared(self) -> dict[str, Any]:
        """All but how much: what the other end of the walk takes over."""
        return {part.name: getattr(self, part.name) for part in fields(Making) if part.init}

    @property
    def of_stand(self) -> float:
        """Part of the stand that may be taken, plain; all of it where no share was named, as in a garden."""
        return 1.0 if self.bare["share"] is None else self.number("share")

    def number(self, name: str) -> float:
        """One amount as a bare number: g, mL, mL/g, percent_vol, percent_wb or plain."""
        number = self.bare[name]
        assert number is not None, name  # asked only of what is there
        return number


@dataclass(frozen=True)
class Order(Making, _Bottles):
    """So many bottles, and how they are to be made.

    bottles     how many, plain, 0 or more; a part of a bottle is what a walk forward ends with
    bottle      one bottle, mL, more than 0
    state       "fresh", or "dried" before it goes in
    method      "soak", or "drip", for which the plant must be dry
    ratio       mL/g, more than 0
    convention  how the ratio is read: "added", "finished" or "dry"
    spirit      strength poured on, percent_vol or percent_mass, 0 to 100
    floor       the strength that the bottle must not end under, percent_vol or percent_mass, 0 to 100
    water       of the plant as it is gathered, percent_wb, 0 to 95
    retained    what the marc keeps, mL for each g of dry plant; of dried herb, for each g as weighed
    per_plant   what one plant gives, g fresh, more than 0; None: not asked
    stand       plants counted in the stand, plain; None: no stand to keep within
    share       part of that stand that may be taken, plain, 0 to 1; None: all of it, as in a garden
    wilted      of a fresh plant that wilts before it goes in: its water then, percent_wb, 0 to 95; None: it goes in
                as gathered, as does one that is drier already
    dried_to    of a dried plant: its water then, percent_wb, 0 to 15

    What cannot be made can still be written down; `walk_back` says so, and what would work.
    Refuses: WrongUnit, OutOfRange (lists too: one batch at a time).

    >>> Order(10, Q(50, "mL")).ratio.magnitude
    5.0
    """


@dataclass(frozen=True)
class Basket(Making, _Fresh):
    """So much fresh plant, and how it is to be made.

    fresh  what lies in the basket, g, more than 0

    All else, what it refuses too, is as in `Order`.

    >>> Basket(Q(450, "g"), Q(50, "mL")).fresh.magnitude
    450
    """


def _single(name: str, value: Any) -> float | None:
    if value is None and name in MAY_BE_LEFT_OUT:
        return None
    number = take(name, KINDS[name], value)
    if np.ndim(number):
        raise OutOfRange(f"{name}: one batch at a time, please; a list was given. A single amount would work.")
    return float(number)
