"""Floor 2. What would work instead: the ways out of a wish that cannot be had, with numbers, for one jar.

All of it by the kitchen rule and rounded to the safe side: up what must be poured, down what may be left.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from herbcalc.menstruum import plant_water
from herbcalc.units.arrays import above
from herbcalc.units.constants import SLACK
from herbcalc.units.guard import give
from herbcalc.units.saying import said, sides, spoken

STRONGEST = 95.0  # % vol, the strongest spirit commonly sold by the bottle (common practice, no source)
SHELF_END = 96.0  # % vol; distilling alone goes no further, so no shelf has more
TRAY_END = 8.0  # % water; herb dried in a room seldom gets drier (common practice, no source)


@dataclass(frozen=True)
class WayOut:
    """One change that makes the wish possible.

    kind: "add", "pour", "strength", "dry" or "other". amount: a quantity, or None for "other". text: the same as a
    sentence, in both systems of units.
    """

    kind: str
    amount: Any
    text: str


OTHER = WayOut(
    "other",
    None,
    "Or change the plan: press what is in the jar now, keep it cold and use it soon, or make something else of this "
    "plant, for instance dry it and keep it as dried herb.",
)


def vol(number: float) -> str:
    """A strength, said."""
    return said(number, "percent_vol")


def wet_share(number: float) -> str:
    """A moisture of the plant as weighed, said."""
    return said(number, "percent_wb")


def up(number: float, step: float) -> float:
    """The next step at or above a number, for what must be there.

    >>> up(29.2, 1.0), up(30.0000000001, 1.0)
    (30.0, 30.0)
    """
    # Rounding must not push a round number up to the next.
    # Divide by the whole number of steps in 1, so that 49 stays 49 and does not become 49.000000000000007.
    return math.ceil(number / step * (1.0 - SLACK)) / round(1.0 / step)


def _most(number: float, unit: str) -> str:
    """A weight or volume that must not be passed, said rounded down."""
    return spoken(give(number * (1.0 + SLACK), unit), round="down")


def _under(number: float, unit: str) -> str:
    """A limit, named as it is on a fine scale and rounded down in kitchen measures."""
    amount = give(number, unit)
    metric, kitchen = sides(amount)[0], sides(amount, round="down")[1]
    return f"{metric} ({kitchen})" if kitchen else metric


def add(volume: float, strongest: float = STRONGEST) -> WayOut:
    """More of the strongest spirit at hand, into the jar as it stands."""
    mL = give(up(volume, 1.0), "mL")
    return WayOut(
        "add",
        mL,
        f"Add {spoken(mL, round='up')} of {vol(strongest)} spirit to this jar.",
    )


def for_jar(
    herb: float, water: float, menstruum: float, strength: float, floor: float, shelf: float | None = None
) -> list[WayOut]:
    """Every way out for a jar that would end under its floor; herb, menstruum and floor above 0. `shelf` is the
    strongest spirit that can be bought nearby, where that is known."""
    ways = []
    ratio = menstruum / herb
    spirit, line = vol(strength), vol(floor)
    strongest = STRONGEST if shelf is None else shelf
    if floor < strongest:
        mL = plant_water.to_rescue(herb, water, menstruum, strength, floor, strongest, "kitchen")
        ways.append(add(mL, strongest))
    if above(strength, floor):
        in_all = up(herb * plant_water.least_ratio(water, strength, floor, "kitchen"), 1.0)
        ways.append(
            WayOut(
                "pour",
                give(in_all, "mL"),
                f"Pour {spoken(give(in_all, 'mL'), round='up')} of the {spirit} spirit in all, which is "
                f"{spoken(give(in_all - menstruum, 'mL'), round='up')} more than now.",
            )
        )
    needed = up(plant_water.pour_strength(ratio, water, floor, "kitchen"), 0.1)
    if needed <= 100.0:
        most = SHELF_END if shelf is None else shelf
        seldom = "" if needed <= most else f" No shelf has more than {vol(most)}, though."
        if shelf is not None:
            seldom = seldom.replace("No shelf has", "No shelf here has")
        ways.append(
            WayOut(
                "strength",
                give(needed, "percent_vol"),
                f"Pour the same {said(menstruum, 'mL')} of a spirit of at least {needed:g} % vol.{seldom}",
            )
        )
    if above(strength, floor):
        ways.append(_dry(herb, water, menstruum, strength, floor))
    ways.append(
        OTHER if ways else WayOut("other", None, f"{OTHER.text} No spirit brings this jar up to {line} as it stands.")
    )
    return ways


def _dry(herb: float, water: float, menstruum: float, strength: float, floor: float) -> WayOut:
    """How far to dry: with the ratio kept on the weight as poured, and with the volume kept."""
    ratio = menstruum / herb
    limit = float(plant_water.wettest(ratio, strength, floor, "kitchen"))
    solids = herb * (100.0 - water) / 100.0
    tray = 100.0 * solids / (100.0 - limit)
    # With all the menstruum kept, the plant may bring what separates the spirit from the floor.
    may_bring = menstruum * (strength - floor) / floor
    heaviest = solids + may_bring
    hard = "" if limit >= TRAY_END else f" That is drier than a tray in a room gets, which is about {wet_share(10)}."
    return WayOut(
        "dry",
        give(limit, "percent_wb"),
        f"Dry the plant to {limit:.1f} % water before it goes into the jar: stop when the tray weighs "
        f"{_most(tray, 'g')}, and pour {said(ratio, 'mL/g')} on that weight, {_most(tray * ratio, 'mL')}.{hard} If "
        f"all {said(menstruum, 'mL')} stay, {100.0 * may_bring / heaviest:.1f} % water is dry enough: the tray must "
        f"weigh less than {_under(heaviest, 'g')}.",
    )


def for_floor(water: float, floor: float) -> list[WayOut]:
    """A spirit at or under the floor keeps nothing that is wet: what a strong one would need."""
    if floor >= STRONGEST:
        return [OTHER]
    least = up(plant_water.least_ratio(water, STRONGEST, floor, "kitchen"), 0.01)
    enough = f"at least {least:g} mL for each gram ({said(least, 'mL/g')})" if least else "any amount"
    text = f"Use a stronger spirit: of {vol(STRONGEST)}, {enough} is enough."
    return [WayOut("strength", give(STRONGEST, "percent_vol"), text), OTHER]


def for_wetness(ratio: float, floor: float) -> list[WayOut]:
    """The same wish at a given ratio: how wet the plant may be with a strong spirit."""
    if floor >= STRONGEST:
        return [OTHER]
    limit = float(plant_water.wettest(ratio, STRONGEST, floor, "kitchen"))
    plant = "any plant will do" if limit >= 100.0 else f"the plant may hold up to {limit:.1f} % water"
    text = f"Use a stronger spirit: with {vol(STRONGEST)} at {said(ratio, 'mL/g')} {plant}."
    return [WayOut("strength", give(STRONGEST, "percent_vol"), text), OTHER]


def for_strength(ratio: float, water: float, wanted: float) -> list[WayOut]:
    """No spirit is strong enough at this ratio: pour more, or dry the plant."""
    if wanted >= STRONGEST:
        return [OTHER]
    spirit = vol(STRONGEST)
    least = up(plant_water.least_ratio(water, STRONGEST, wanted, "kitchen"), 0.01)
    limit = float(plant_water.wettest(ratio, STRONGEST, wanted, "kitchen"))
    return [
        WayOut(
            "pour",
            give(least, "mL/g"),
            f"Pour more of {spirit} spirit: at least {least:g} mL for each gram, {said(least, 'mL/g')}.",
        ),
        WayOut(
            "dry",
            give(limit, "percent_wb"),
            f"Dry the plant to {limit:.1f} % water first; then {spirit} at {said(ratio, 'mL/g')} is strong enough.",
        ),
        OTHER,
    ]
