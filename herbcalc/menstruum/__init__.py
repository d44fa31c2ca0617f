"""Floor 2. The menstruum: cutting and blending it, and what the plant's own water does to it.

Every sum on plant water knows two rules. "kitchen" is the hand sum: volumes simply add, and 1 g of plant water takes
1 mL. "measured" adds masses, with OIML R 22 densities and the plant's water as its weight in water at 20 °C. Each
call undoes the others under the same rule. Volumes are at 20 °C; the plant's solids take no part.
Where nothing else is said an argument is one amount or a list, and lists are matched one by one.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc.ethanol import STRENGTH
from herbcalc.menstruum import plant_water
from herbcalc.menstruum import ways_out as _ways
from herbcalc.menstruum.cutting import Blend, Cut, blend, cut
from herbcalc.menstruum.ways_out import WayOut, vol, wet_share
from herbcalc.units.arrays import above, at_least, at_most, below, first_refused, plain
from herbcalc.units.constants import RULES
from herbcalc.units.guard import RATIO, VOLUME, WATER, WEIGHT, guarded
from herbcalc.units.refusals import Impossible, OutOfRange, one_of
from herbcalc.units.saying import said

__all__ = [
    "Blend",
    "Cut",
    "Impossible",
    "WayOut",
    "blend",
    "cut",
    "final_strength",
    "rescue",
    "smallest_ratio",
    "strength_to_pour",
    "ways_out",
    "wettest_plant",
]


def _refuse_no_ratio(ratio: Any, wanted: Any, name: str) -> None:
    if refused := first_refused((ratio <= 0.0) & (wanted > 0.0), wanted):
        where, (strength,) = refused
        raise OutOfRange(
            f"ratio{where}: nothing would be poured, so there is no spirit to hold {vol(strength)} "
            f"({name}). A ratio above 0 would work, such as 1:2."
        )


@guarded("percent_vol", herb=WEIGHT, water=WATER, menstruum=VOLUME, strength=STRENGTH)
def final_strength(herb: Any, water: Any, menstruum: Any, strength: Any, rule: str = "kitchen") -> Any:
    """How strong the jar ends once the plant's own water has joined the menstruum.

    herb       weight as it goes in, g, 0 or more
    water      its moisture, percent_wb, 0 to 95
    menstruum  volume poured, mL, 0 or more
    strength   of the menstruum, percent_vol or percent_mass, 0 to 100
    rule       "kitchen" or "measured"

    Result: percent_vol. Pressing does not change it: the liquid in the marc is as strong as the rest.
    Refuses: WrongUnit; OutOfRange also for a jar with no liquid in it.
    Source: kitchen: common practice; measured: balance of mass with OIML R 22 (1975).

    >>> from herbcalc.units import Q
    >>> jar = Q(100, "g"), Q(80, "percent_wb"), Q(200, "mL"), Q(95, "percent_vol")
    >>> for rule in ("kitchen", "measured"):
    ...     print(f"{final_strength(*jar, rule).magnitude:.1f} % vol")
    67.9 % vol
    69.5 % vol
    """
    one_of("rule", rule, RULES)
    if refused := first_refused(menstruum + herb * water <= 0.0):
        where, _ = refused
        raise OutOfRange(
            f"menstruum{where}: there is no liquid in this jar, so it has no strength. Pour some menstruum, more "
            "than 0 mL."
        )
    return plant_water.final(herb, water, menstruum, strength, rule)


@guarded("mL/g", water=WATER, strength=STRENGTH, floor=STRENGTH)
def smallest_ratio(water: Any, strength: Any, floor: Any, rule: str = "kitchen") -> Any:
    """The least menstruum for each gram of plant that keeps the jar at the floor.

    water     moisture of the plant, percent_wb, 0 to 95
    strength  of the menstruum, percent_vol or percent_mass, 0 to 100
    floor     the strength the jar must not end under, percent_vol or percent_mass, 0 to 100
    rule      "kitchen" or "measured"

    Result: mL/g of weight as poured on; 0 where the plant brings no water (or the floor is 0).
    Refuses: WrongUnit, OutOfRange; Impossible for a spirit under the floor, and one just at it with any water.
    Source: `final_strength` turned round.

    >>> from herbcalc.units import Q
    >>> print(f"1:{smallest_ratio(Q(80, 'percent_wb'), Q(40, 'percent_vol'), Q(35, 'percent_vol')).magnitude:.1f}")
    1:5.6
    """
    one_of("rule", rule, RULES)
    if refused := first_refused(below(strength, floor), water, strength, floor):
        where, (wet, has, line) = refused
        raise Impossible(
            f"strength{where}: this spirit is {vol(has)} and the floor is {vol(line)}. "
            f"However much is poured, the jar ends no stronger than {vol(has)}, with a wet plant or a "
            f"dry one. A spirit above {vol(line)} would work.",
            _ways.for_floor(wet, line),
        )
    no_need = (water <= 0.0) | (floor <= 0.0)
    if refused := first_refused(at_most(strength, floor) & ~np.asarray(no_need), water, strength):
        where, (wet, has) = refused
        raise Impossible(
            f"strength{where}: this spirit is just at the floor of {vol(has)}, so the first drop of plant "
            f"water takes the jar under it, and this plant holds {wet_share(wet)}. Only a bone-dry plant, or a "
            f"spirit above {vol(has)}, would work.",
            _ways.for_floor(wet, has),
        )
    if np.any(no_need):  # a floor of 0 makes the sum give the 0 that is meant
        strength, floor = plain(np.where(no_need, 100.0, strength)), plain(np.where(no_need, 0.0, floor))
    return plant_water.least_ratio(water, strength, floor, rule)


@guarded("percent_vol", ratio=RATIO, water=WATER, final=STRENGTH)
def strength_to_pour(ratio: Any, water: Any, final: Any, rule: str = "kitchen") -> Any:
    """How strong the menstruum must be for the jar to end at a wanted strength.

    ratio  mL/g of weight as poured on, more than 0
    water  moisture of the plant, percent_wb, 0 to 95
    final  the strength wanted in the end, percent_vol or percent_mass, 0 to 100
    rule   "kitchen" or "measured"

    Result: percent_vol. Refuses: WrongUnit; OutOfRange also for a ratio of 0 with a wish above 0; Impossible for a
    wish that would need more than 100 % vol. Source: `final_strength` turned round.

    >>> from herbcalc.units import Q
    >>> print(f"{strength_to_pour(Q(2, 'mL/g'), Q(80, 'percent_wb'), Q(35, 'percent_vol')).magnitude:.1f} % vol")
    49.0 % vol
    """
    one_of("rule", rule, RULES)
    _refuse_no_ratio(ratio, final, "final")
    if np.any(ratio == 0.0):  # nothing poured and nothing wished for
        ratio = plain(np.where(ratio == 0.0, 1.0, ratio))
    strength = plant_water.pour_strength(ratio, water, final, rule)
    if refused := first_refused(above(strength, 100.0), ratio, water, final):
        where, (poured, wet, wanted) = refused
        by_hand = plant_water.pour_strength(poured, wet, wanted, "kitchen")
        raise Impossible(
            f"final{where}: to end at {vol(wanted)} with a plant of {wet_share(wet)} at "
            f"{said(poured, 'mL/g')}, the spirit would have to be {by_hand:.3g} % vol, and none is above 100. "
            "More menstruum for each gram, or a drier plant, would work.",
            _ways.for_strength(poured, wet, wanted),
        )
    return plain(np.minimum(strength, 100.0))


@guarded("percent_wb", ratio=RATIO, strength=STRENGTH, floor=STRENGTH)
def wettest_plant(ratio: Any, strength: Any, floor: Any, rule: str = "kitchen") -> Any:
    """The most water a plant may hold for the jar to stay at the floor.

    ratio     mL/g of weight as poured on (of the wilted weight, where it was wilted), more than 0
    strength  of the menstruum, percent_vol or percent_mass, 0 to 100
    floor     the strength the jar must not end under, percent_vol or percent_mass, 0 to 100
    rule      "kitchen" or "measured"

    Result: percent_wb, 100 at most; 0 where the spirit is just at the floor. Refuses: WrongUnit; OutOfRange also for
    a ratio of 0 with a floor above 0; Impossible for a spirit under the floor.
    Source: `final_strength` turned round.

    >>> from herbcalc.units import Q
    >>> print(f"{wettest_plant(Q(2, 'mL/g'), Q(40, 'percent_vol'), Q(35, 'percent_vol')).magnitude:.1f} % water")
    28.6 % water
    """
    one_of("rule", rule, RULES)
    _refuse_no_ratio(ratio, floor, "floor")
    if refused := first_refused(below(strength, floor), ratio, strength, floor):
        where, (poured, has, line) = refused
        raise Impossible(
            f"strength{where}: this spirit is {vol(has)}, under the floor of {vol(line)} "
            f"before the plant brings any water. No plant is dry enough; a spirit above {vol(line)} "
            "would work.",
            _ways.for_wetness(poured, line),
        )
    no_floor = floor <= 0.0
    if np.any(no_floor):
        wet = plant_water.wettest(ratio, strength, plain(np.where(no_floor, 1.0, floor)), rule)
        return plain(np.where(no_floor, 100.0, np.maximum(wet, 0.0)))
    return plain(np.maximum(plant_water.wettest(ratio, strength, floor, rule), 0.0))


def _no_liquid(herb: Any, water: Any, menstruum: Any) -> None:
    if refused := first_refused(menstruum + herb * water <= 0.0):
        where, _ = refused
        raise OutOfRange(f"menstruum{where}: there is no liquid in this jar yet. Pour some, more than 0 mL.")


@guarded(
    "mL",
    herb=WEIGHT.more_than_none,
    water=WATER,
    menstruum=VOLUME,
    strength=STRENGTH,
    floor=STRENGTH,
    with_strength=STRENGTH,
)
def rescue(
    herb: Any, water: Any, menstruum: Any, strength: Any, floor: Any, with_strength: Any, rule: str = "kitchen"
) -> Any:
    """How much stronger spirit brings a jar that stands already up to the floor.

    herb           weight in the jar, g, more than 0
    water          its moisture, percent_wb, 0 to 95
    menstruum      what was poured, mL, 0 or more
    strength       of what was poured, percent_vol or percent_mass, 0 to 100
    floor          the strength wanted at least, percent_vol or percent_mass, 0 to 100
    with_strength  of the spirit to add, percent_vol or percent_mass, 0 to 100
    rule           "kitchen" or "measured"

    Result: mL, 0 where the jar is at the floor already. Refuses: WrongUnit; OutOfRange also for a jar with no liquid;
    Impossible for a spirit that is itself no stronger than the floor. Source: `final_strength` turned round.

    >>> from herbcalc.units import Q
    >>> jar = Q(100, "g"), Q(80, "percent_wb"), Q(200, "mL"), Q(40, "percent_vol")
    >>> print(f"{rescue(*jar, Q(35, 'percent_vol'), Q(95, 'percent_vol')).magnitude:.0f} mL")
    30 mL
    """
    one_of("rule", rule, RULES)
    _no_liquid(herb, water, menstruum)
    fine = at_least(plant_water.final(herb, water, menstruum, strength, rule), floor)
    if refused := first_refused(
        at_most(with_strength, floor) & ~np.asarray(fine), herb, water, menstruum, strength, floor, with_strength
    ):
        where, (weight, wet, poured, has, line, added) = refused
        raise Impossible(
            f"with_strength{where}: adding {vol(added)} cannot lift a jar above "
            f"{vol(added)}, and the floor is {vol(line)}. A spirit stronger than the "
            "floor would work.",
            _ways.for_jar(weight, wet, poured, has, line) if poured > 0.0 else _ways.for_floor(wet, line),
        )
    if np.any(fine):  # nothing is needed there; keep the sum away from a spirit at the floor
        with_strength = plain(np.where(fine, 100.0, with_strength))
        mL = plant_water.to_rescue(
            herb, water, menstruum, strength, plain(np.where(fine, 0.0, floor)), with_strength, rule
        )
        return plain(np.where(fine, 0.0, mL))
    return plant_water.to_rescue(herb, water, menstruum, strength, floor, with_strength, rule)


@guarded(
    None, herb=WEIGHT.more_than_none, water=WATER, menstruum=VOLUME, strength=STRENGTH, floor=STRENGTH, shelf=STRENGTH
)
def ways_out(herb: Any, water: Any, menstruum: Any, strength: Any, floor: Any, shelf: Any = None) -> list[WayOut]:
    """What would bring a jar up to the floor: each single change that does, with its number.

    herb       weight, g, more than 0; one jar at a time, so this and all that follow are single amounts
    water      its moisture, percent_wb, 0 to 95
    menstruum  what is poured, mL, more than 0
    strength   of what is poured, percent_vol or percent_mass, 0 to 100
    floor      the strength the jar must not end under, percent_vol or percent_mass, 0 to 100
    shelf      the strongest spirit that can be bought nearby, percent_vol or percent_mass, 0 to 100; None: 95 % vol

    Result: a list of WayOut(kind, amount, text) in the order "add", "pour", "strength", "dry", "other", without those
    that do not exist for this spirit; an empty list where all is well. Kitchen rule, rounded to the safe side.
    Refuses: WrongUnit; OutOfRange also for lists, and for a jar with nothing poured.
    Source: `final_strength` turned round.

    >>> from herbcalc.units import Q
    >>> jar = Q(100, "g"), Q(80, "percent_wb"), Q(200, "mL"), Q(40, "percent_vol")
    >>> for way in ways_out(*jar, floor=Q(35, "percent_vol")):
    ...     print(way.kind, "-" if way.amount is None else f"{way.amount.magnitude:.4g} {way.amount.units}")
    add 30 mL
    pour 560 mL
    strength 49 percent_vol
    dry 28.57 percent_wb
    other -
    """
    if max(np.ndim(x) for x in (herb, water, menstruum, strength, floor)):
        raise OutOfRange("ways_out: one jar at a time, please; lists of amounts were given.")
    if menstruum <= 0.0 and floor > 0.0:
        raise OutOfRange("menstruum: nothing is poured yet, so there is nothing to mend. Pour some, more than 0 mL.")
    if floor <= 0.0 or at_least(plant_water.final(herb, water, menstruum, strength, "kitchen"), floor):
        return []
    return _ways.for_jar(herb, water, menstruum, strength, floor, shelf)
