"""Floor 1. How much of a plant is water, and what is left when some of it has gone.

The plant's solids stay; only water leaves. Moisture is on the wet basis (percent_wb: of the weight as it lies on the
scale) unless the name says dry basis (percent_db: against the bone-dry weight). Drying from a share of water w to a
share t therefore leaves weight x (1 - w) / (1 - t).
Where nothing else is said an argument is one amount or a list, and lists are matched one by one.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc.units.arrays import above, first_refused, plain
from herbcalc.units.guard import DRY_BASIS, WEIGHT, Kind, guarded
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

MOISTURE = Kind("a moisture, wet basis", "percent_wb", "80 % water", low=0.0, high=100.0, below=True)

DRIED_TO = Q(10.0, "percent_wb")  # what well dried herb still holds; common practice, no source
KITCHEN_SCALE = Q(1.0, "g")  # how far a reading may be off; common practice, no source


@guarded("percent_wb", fresh=WEIGHT.more_than_none, dried=WEIGHT.more_than_none)
def water_content(fresh: Any, dried: Any) -> Any:
    """The share of water in a plant, from a sample weighed fresh and again bone dry.

    fresh  weight of the sample, g, more than 0
    dried  its weight once two weighings a day apart agree, g, more than 0

    Result: percent_wb, 0 or more and less than 100. Refuses: WrongUnit; OutOfRange also for a sample that is heavier
    dried than fresh. Source: plain balance of weights.

    >>> from herbcalc.units import Q
    >>> print(f"{water_content(Q(100, 'g'), Q(20, 'g')).magnitude:g} % water")
    80 % water
    """
    if refused := first_refused(above(dried, fresh), fresh, dried):
        where, (before, after) = refused
        raise OutOfRange(
            f"dried heavier than fresh{where}: {said(before, 'g')} went in and {said(after, 'g')} came out. "
            "Were the two weights swapped? The fresh weight comes first, and drying can only take weight away."
        )
    # Rounding may leave dried a hair above fresh.
    return (1.0 - np.minimum(dried / fresh, 1.0)) * 100.0


@guarded("percent_db", water=MOISTURE)
def to_dry_basis(water: Any) -> Any:
    """Moisture of the plant as weighed, turned into moisture against the bone-dry plant.

    water  percent_wb, 0 or more and less than 100

    Result: percent_db, which passes 100 where half is water. Refuses: WrongUnit, OutOfRange. Source: by definition.

    >>> from herbcalc.units import Q
    >>> print(f"{to_dry_basis(Q(80, 'percent_wb')).magnitude:g} % of the dry weight")
    400 % of the dry weight
    """
    return 100.0 * water / (100.0 - water)


@guarded("percent_wb", water=DRY_BASIS)
def to_wet_basis(water: Any) -> Any:
    """Moisture against the bone-dry plant, turned into moisture of the plant as weighed.

    water  percent_db, 0 or more

    Result: percent_wb. Refuses: WrongUnit, OutOfRange. Source: by definition.

    >>> from herbcalc.units import Q
    >>> print(f"{to_wet_basis(Q(400, 'percent_db')).magnitude:g} % water")
    80 % water
    """
    return 100.0 * (water / (100.0 + water))


def _ratio(water: Any, target: Any) -> Any:
    """Weight before over weight after; exactly 1 where nothing has to leave."""
    if refused := first_refused(above(target, water), water, target):
        where, (holds, wanted) = refused
        raise OutOfRange(
            f"target{where}: this plant holds {said(holds, 'percent_wb')} and is already drier than "
            f"{said(wanted, 'percent_wb')}. Drying only takes water away, so a target at or under "
            f"{said(holds, 'percent_wb')} would work."
        )
    return (100.0 - np.minimum(target, water)) / (100.0 - water)


@guarded("g", fresh=WEIGHT, water=MOISTURE, target=MOISTURE)
def dried_weight(fresh: Any, water: Any, target: Any = DRIED_TO) -> Any:
    """What a basket weighs once it has dried to a wanted moisture: the weight at which to stop.

    fresh   weight now, g, 0 or more
    water   percent_wb now, 0 or more and less than 100
    target  percent_wb wanted, 10 unless given (common practice, no source)

    Result: g. Refuses: WrongUnit; OutOfRange also for a target above the water that is there.
    Source: plain balance of solids.

    >>> from herbcalc.units import Q
    >>> print(f"{dried_weight(Q(1, 'kg'), Q(80, 'percent_wb')).magnitude:.1f} g")
    222.2 g
    """
    return fresh / _ratio(water, target)


@guarded("g", dried=WEIGHT, water=MOISTURE, target=MOISTURE)
def fresh_weight(dried: Any, water: Any, target: Any = DRIED_TO) -> Any:
    """What must be gathered fresh for a wanted weight of dried herb.

    dried   weight wanted after drying, g, 0 or more
    water   percent_wb of the fresh plant, 0 or more and less than 100
    target  percent_wb it is dried to, 10 unless given (common practice, no source)

    Result: g. Refuses: WrongUnit; OutOfRange also for a target above the water that is there.
    Source: plain balance of solids.

    >>> from herbcalc.units import Q
    >>> print(f"{fresh_weight(Q(100, 'g'), Q(80, 'percent_wb')).magnitude:g} g")
    450 g
    """
    return dried * _ratio(water, target)


@guarded(None, water=MOISTURE, target=MOISTURE)
def drying_ratio(water: Any, target: Any = DRIED_TO) -> Any:
    """How many times heavier the fresh plant is than the dried one.

    water   percent_wb of the fresh plant, 0 or more and less than 100
    target  percent_wb it is dried to, 10 unless given (common practice, no source)

    Result: plain number, 1 where target and water are equal. Refuses: WrongUnit; OutOfRange also for a target above
    the water that is there. Source: plain balance of solids.

    >>> from herbcalc.units import Q
    >>> print(f"{drying_ratio(Q(80, 'percent_wb')):g} to 1")
    4.5 to 1
    """
    return plain(_ratio(water, target))


@guarded("percent_wb", fresh=WEIGHT.more_than_none, dried=WEIGHT.more_than_none, scale=WEIGHT)
def widest_doubt(fresh: Any, dried: Any, scale: Any = KITCHEN_SCALE) -> Any:
    """How many points a sampled water content may be off when each weighing may be off by what the scale allows.

    fresh  weight of the sample, g, more than `scale`
    dried  its weight dried, g, `scale` or more
    scale  how far one weighing may be off, g, 0 or more; 1 g unless given (common practice, no source)

    Result: points of percent_wb, the larger of the two ways in which both weighings can miss, one up and one down.
    Refuses: WrongUnit; OutOfRange also for a sample lighter than the scale can tell, and one heavier dried than
    fresh. Source: plain arithmetic.

    >>> from herbcalc.units import Q
    >>> print(f"{widest_doubt(Q(20, 'g'), Q(4, 'g')).magnitude:.1f} points")
    6.3 points
    """
    share = water_content.plain(fresh, dried)
    if refused := first_refused((scale >= fresh) | (scale > dried), fresh, dried, scale):
        where, (before, after, off) = refused
        raise OutOfRange(
            f"sample{where}: {said(before, 'g')} fresh and {said(after, 'g')} dried is too little for a scale that "
            f"may be off by {said(off, 'g')}. Take a bigger sample; 100 g is a good one."
        )
    # Read too light before and too heavy after is always the larger of the two: it divides by fewer grams.
    return share - 100.0 * (1.0 - (dried + scale) / (fresh - scale))
