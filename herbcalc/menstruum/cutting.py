"""Floor 2. Cutting strong spirit with water, and blending two spirits. The public names are in `herbcalc.menstruum`.

Alcohol stays the same when water joins it, so the volumes of spirit follow from strengths alone. Water does not fill
the rest: the two nestle together, and more of it goes in than the kitchen rule says.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc.ethanol import STRENGTH
from herbcalc.ethanol import formula as table
from herbcalc.menstruum.ways_out import STRONGEST, WayOut, up, vol
from herbcalc.units.arrays import above, below, first_refused, plain
from herbcalc.units.guard import VOLUME, give, guarded
from herbcalc.units.refusals import Impossible, WrongUnit
from herbcalc.units.saying import said, spoken


@dataclass(frozen=True)
class Cut:
    """Spirit and water for a cut, mL at 20 °C.

    spirit: what is poured. water: what really goes in. makes: how much it makes. water_by_kitchen_rule: what would
    go in if volumes simply added. contraction: spirit and water less what they make.
    """

    spirit: Any
    water: Any
    makes: Any
    water_by_kitchen_rule: Any
    contraction: Any


@dataclass(frozen=True)
class Blend:
    """Two spirits for a blend, mL at 20 °C.

    strong, weak: what to pour so that the blend is exact. makes, strength: what they give. strong_by_kitchen_rule,
    weak_by_kitchen_rule: the two if volumes simply added.
    """

    strong: Any
    weak: Any
    makes: Any
    strength: Any
    strong_by_kitchen_rule: Any
    weak_by_kitchen_rule: Any


def _mL(number: Any) -> Any:
    return give(plain(number), "mL")


def _density(strength: Any) -> Any:
    return table.density(table.mass_share(strength / 100.0))


@guarded(None, strength=STRENGTH, to=STRENGTH, make=VOLUME, spirit=VOLUME)
def cut(strength: Any, to: Any, make: Any = None, spirit: Any = None) -> Cut:
    """Bring a spirit down to a wanted strength with water.

    strength  of the spirit, percent_vol or percent_mass, 0 to 100
    to        the strength wanted, percent_vol or percent_mass, more than 0 and no more than `strength`
    make      the volume wanted, mL, 0 or more; this or the next, exactly one of them
    spirit    the volume of spirit at hand, mL, 0 or more

    Result: Cut(spirit, water, makes, water_by_kitchen_rule, contraction), mL at 20 °C. Pour the spirit and top up to
    the line: that is exact; the water is for knowing how much to have ready. To the same strength takes no water.
    Refuses: WrongUnit also for none or both of make and spirit; OutOfRange; Impossible for 0 %, and for more than the
    spirit has. Source: balance of alcohol and of mass, densities from OIML R 22 (1975).

    >>> from herbcalc.units import Q
    >>> litre = cut(Q(95, "percent_vol"), Q(50, "percent_vol"), make=Q(1, "L"))
    >>> print(f"{litre.spirit.magnitude:.1f} mL spirit, {litre.water.magnitude:.1f} mL water")
    526.3 mL spirit, 504.0 mL water
    """
    if (make is None) == (spirit is None):
        raise WrongUnit(
            "cut: say either how much it should make (make=) or how much spirit there is (spirit=), one of the two."
        )
    if refused := first_refused(to <= 0.0, strength):
        where, (has,) = refused
        raise Impossible(
            f"to{where}: however much water goes in, some of the {vol(has)} is left, so 0 % vol is never "
            "reached. Any strength above 0 would work; for none at all, take water alone."
        )
    volume = spirit if make is None else make
    if refused := first_refused(above(to, strength), strength, to, volume):
        where, (has, wanted, mL) = refused
        raise Impossible(
            f"to{where}: water only makes a spirit weaker, so {vol(has)} cannot become {vol(wanted)} by adding it. "
            f"A spirit of {vol(wanted)} or more would work, or blending with a stronger one.",
            _stronger(has, wanted, mL, whole=make is not None),
        )
    to = np.minimum(to, strength)
    if make is None:
        poured = spirit
        makes = spirit * (strength / to)
    else:
        poured = make * (to / strength)
        makes = make + 0.0 * poured
    mass_of_water = makes * _density(to) - poured * _density(strength)
    water = mass_of_water / table.WATER
    return Cut(
        spirit=_mL(poured + 0.0 * water),
        water=_mL(water),
        makes=_mL(makes),
        water_by_kitchen_rule=_mL(makes - poured),
        contraction=_mL(poured + water - makes),
    )


def _stronger(has: float, wanted: float, volume: float, whole: bool) -> list[WayOut]:
    """Lifting the spirit instead, by the kitchen rule; `volume` is the whole blend or the spirit at hand."""
    ways = []
    if volume > 0.0 and wanted < STRONGEST:
        own = volume * (STRONGEST - wanted) / (STRONGEST - has) if whole else volume
        mL = give(up(own * (wanted - has) / (STRONGEST - wanted), 1.0), "mL")
        text = f"Add {spoken(mL, round='up')} of {vol(STRONGEST)} spirit to {said(own, 'mL')} of the {vol(has)}."
        ways.append(WayOut("add", mL, text))
    text = f"Start from a spirit of {vol(wanted)} or more."
    return [*ways, WayOut("strength", give(wanted, "percent_vol"), text)]


@guarded(None, strong=STRENGTH, weak=STRENGTH, to=STRENGTH, make=VOLUME)
def blend(strong: Any, weak: Any, to: Any, make: Any) -> Blend:
    """Mix two spirits to a strength between them.

    strong  strength of the one, percent_vol or percent_mass, 0 to 100
    weak    strength of the other, percent_vol or percent_mass, 0 to 100
    to      the strength wanted, percent_vol or percent_mass, between the two
    make    the volume wanted, mL, 0 or more

    Result: Blend(strong, weak, makes, strength, strong_by_kitchen_rule, weak_by_kitchen_rule), mL at 20 °C, exact by
    mass: it makes `make` of strength `to`. Refuses: WrongUnit, OutOfRange; Impossible for a strength outside the two.
    Source: balance of alcohol and of mass, densities from OIML R 22 (1975).

    >>> from herbcalc.units import Q
    >>> litre = blend(Q(75.5, "percent_vol"), Q(40, "percent_vol"), Q(50, "percent_vol"), Q(1, "L"))
    >>> print(f"{litre.strong.magnitude:.1f} + {litre.weak.magnitude:.1f} mL")
    277.7 + 725.8 mL
    >>> print(f"{litre.strong_by_kitchen_rule.magnitude:.1f} + {litre.weak_by_kitchen_rule.magnitude:.1f} mL")
    281.7 + 718.3 mL
    """
    low, high = np.minimum(strong, weak), np.maximum(strong, weak)
    if refused := first_refused(below(to, low) | above(to, high), low, high, to):
        where, (least, most, wanted) = refused
        higher = wanted > most
        raise Impossible(
            f"to{where}: mixing {vol(most)} and {vol(least)} gives any strength between "
            f"the two, and {vol(wanted)} lies {'above' if higher else 'below'} both. One of them has to "
            f"be {vol(wanted)} or {'stronger' if higher else 'weaker; water will do'}.",
            [
                WayOut(
                    "strength",
                    give(wanted, "percent_vol"),
                    f"Use one of {vol(wanted)} or {'more' if higher else 'less'}.",
                )
            ],
        )
    to = np.clip(to, low, high)
    same = high - low <= 0.0  # two of one strength: all of the first will do
    p_strong, p_weak, p_to = (table.mass_share(s / 100.0) for s in (strong, weak, to))
    by_mass = np.where(same, 1.0, (p_to - p_weak) / np.where(same, 1.0, p_strong - p_weak))
    by_volume = np.where(same, 1.0, (to - weak) / np.where(same, 1.0, strong - weak))
    mass = make * table.density(p_to)
    first = by_mass * mass / table.density(p_strong)
    second = (1.0 - by_mass) * mass / table.density(p_weak)
    none = 0.0 * first
    return Blend(
        strong=_mL(first),
        weak=_mL(second),
        makes=_mL(make + none),
        strength=give(plain(to + none), "percent_vol"),
        strong_by_kitchen_rule=_mL(by_volume * make + none),
        weak_by_kitchen_rule=_mL((1.0 - by_volume) * make + none),
    )
