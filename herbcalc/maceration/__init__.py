"""Floor 2. Maceration: weighed ratio, what comes out of the jar, soaking again, waiting.

The larger ideas have modules of their own (`ratios`, `jar`, `soaks`, `uptake`); all their calls are here too.
Where nothing else is said an argument is one amount or a list, and lists are matched one by one.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc.ethanol import STRENGTH, density
from herbcalc.maceration.jar import Cover, FolkJar, covers, folk_jar, room_for_menstruum
from herbcalc.maceration.ratios import (
    CONVENTIONS,
    Pour,
    Ratio,
    by_ounces,
    dry_equivalent,
    herb_for_menstruum,
    menstruum_for,
    pour_for_dry_equivalent,
    ratio_of,
    read_ratio,
)
from herbcalc.maceration.soaks import (
    Lots,
    Soaks,
    best_split,
    countercurrent,
    endless_soaks,
    fresh_herb_again,
    same_herb_again,
    share_extracted,
)
from herbcalc.maceration.uptake import exchange_rate, fourier_for, share_by, soak_share, time_to_reach, uptake
from herbcalc.menstruum.ways_out import WayOut
from herbcalc.units.arrays import above, at_most, first_refused
from herbcalc.units.guard import RATIO, RETAINED, VOLUME, WATER, WEIGHT, give, guarded
from herbcalc.units.refusals import Impossible, OutOfRange
from herbcalc.units.registry import Q
from herbcalc.units.saying import per_gram, said

__all__ = [
    "CONVENTIONS",
    "Cover",
    "FolkJar",
    "Lots",
    "Pour",
    "Ratio",
    "Soaks",
    "best_split",
    "by_ounces",
    "countercurrent",
    "covers",
    "dry_equivalent",
    "endless_soaks",
    "exchange_rate",
    "folk_jar",
    "fourier_for",
    "fresh_herb_again",
    "herb_for",
    "herb_for_menstruum",
    "liquid_out",
    "menstruum_for",
    "pour_for_dry_equivalent",
    "ratio_of",
    "read_ratio",
    "retained_found",
    "retained_weighed",
    "room_for_menstruum",
    "same_herb_again",
    "share_by",
    "share_extracted",
    "soak_share",
    "time_to_reach",
    "uptake",
]

DRIED = Q(0.0, "percent_wb")


@guarded("mL", herb=WEIGHT, menstruum=VOLUME, retained=RETAINED, water=WATER)
def liquid_out(herb: Any, menstruum: Any, retained: Any, water: Any = DRIED) -> Any:
    """Liquid that comes out when the jar is strained and pressed.

    herb       weight as weighed, g, 0 or more
    menstruum  poured, mL, 0 or more (with no herb either, the jar is empty and that is refused)
    retained   what the marc keeps, mL for each g of dry plant, 0 or more; for dried herb with `water` left out, for
               each g as weighed. Let drain 2 and more, wrung by hand 1.6 to 1.8, a good press 0.8
    water      the plant's water, 0 to 95 % wb

    Result: mL, menstruum + plant water - kept; 0 when the marc keeps it all. Refuses: WrongUnit, OutOfRange.
    Source: plain balance; retention from M. Moore, Herbal Materia Medica, 5th ed., preparation notes (13 to 14 fl oz
    by hand and 17 by press, of 20 on 4 oz of root).

    >>> f"{liquid_out(Q(100, 'g'), Q(500, 'mL'), Q(1.5, 'mL/g')):.0f~P}"
    '350 mL'
    >>> f"{liquid_out(Q(100, 'g'), Q(100, 'mL'), Q(1.5, 'mL/g')):.0f~P}"
    '0 mL'
    """
    denied = first_refused((np.asarray(herb) == 0.0) & (np.asarray(menstruum) == 0.0))
    if denied:
        raise OutOfRange(
            f"herb and menstruum{denied[0]}: the jar is empty. Some herb, or some menstruum, would work."
        )
    w = water / 100.0
    return np.maximum(menstruum + herb * w - retained * herb * (1.0 - w), 0.0)


@guarded("g", bottled=VOLUME, ratio=RATIO.more_than_none, retained=RETAINED)
def herb_for(bottled: Any, ratio: Any, retained: Any) -> Any:
    """Dried herb for a wanted amount in the bottle, soaked at 1:r and pressed.

    bottled   wanted in the bottle, mL, 0 or more
    ratio     menstruum added, mL/g, more than 0
    retained  what the marc keeps, mL/g, 0 or more

    Result: g, bottled/(ratio - retained). Refuses: WrongUnit, OutOfRange; Impossible when the herb keeps all that is
    poured on it. Source: plain balance; undoes `liquid_out`.

    >>> f"{herb_for(Q(500, 'mL'), Q(5, 'mL/g'), Q(1.5, 'mL/g')):.0f~P}"
    '143 g'
    """
    denied = first_refused(at_most(ratio, retained), bottled, ratio, retained)
    if denied:
        where, (wanted, r, keeps) = denied
        wider = float(np.floor(keeps)) + 2.0
        herb = wanted / r
        ready = wanted + keeps * herb
        raise Impossible(
            f"ratio{where}: nothing comes out. The herb keeps {per_gram(keeps)}, and at 1:{said(r, '')} it gets "
            "no more than that. A wider ratio, a harder press or a slow drip would work.",
            [
                WayOut(
                    "pour",
                    give(wider, "mL/g"),
                    f"Soak at 1:{wider:.0f}: {said(wanted / (wider - keeps), 'g')} of herb and "
                    f"{said(wider * wanted / (wider - keeps), 'mL')} of menstruum.",
                ),
                WayOut("press", give(r, "mL/g"), f"Press until the marc keeps less than {per_gram(r)}."),
                WayOut(
                    "drip",
                    give(ready, "mL"),
                    f"Percolate {said(herb, 'g')} of dry powder with {said(ready, 'mL')} of menstruum.",
                ),
            ],
        )
    return bottled / (ratio - retained)


@guarded("mL/g", herb=WEIGHT.more_than_none, menstruum=VOLUME, out=VOLUME, water=WATER)
def retained_found(herb: Any, menstruum: Any, out: Any, water: Any = DRIED) -> Any:
    """What your own marc kept, from your own bench.

    herb       weight as weighed, g, more than 0
    menstruum  poured, mL, 0 or more
    out        what came out, mL, at most menstruum and plant water together
    water      the plant's water, 0 to 95 % wb

    Result: mL for each g of dry plant. Refuses: WrongUnit, OutOfRange. Source: plain balance; undoes `liquid_out`.

    >>> f"{retained_found(Q(100, 'g'), Q(500, 'mL'), Q(350, 'mL')):.1f~P}"
    '1.5 mL/g'
    """
    w = water / 100.0
    most = menstruum + herb * w
    denied = first_refused(above(out, most), out, most)
    if denied:
        where, (came, there) = denied
        raise OutOfRange(
            f"out{where}: {said(came, 'mL')} came out and only {said(there, 'mL')} was in the jar, plant water "
            "counted. Were the two swapped?"
        )
    return np.maximum(most - out, 0.0) / (herb * (1.0 - w))


@guarded("mL/g", herb=WEIGHT.more_than_none, marc=WEIGHT, strength=STRENGTH, water=WATER)
def retained_weighed(herb: Any, marc: Any, strength: Any, water: Any = DRIED) -> Any:
    """What your own marc kept, from its weight.

    herb      weight as weighed, g, more than 0
    marc      weight of what is left after pressing, g, at least that of the dry plant
    strength  of the liquid in it, percent_vol or percent_mass, 0 to 100
    water     the plant's water, 0 to 95 % wb

    Result: mL for each g of dry plant. What has dissolved out of the plant is counted as still there, so it is a
    little low. Refuses: WrongUnit; OutOfRange also for a marc lighter than its plant. Source: plain balance; density
    by OIML R 22.

    >>> f"{retained_weighed(Q(100, 'g'), Q(240, 'g'), Q(50, 'percent_vol')):.2f~P}"
    '1.51 mL/g'
    """
    dry = herb * (1.0 - water / 100.0)
    denied = first_refused(above(dry, marc), marc, dry)
    if denied:
        where, (weighs, plant) = denied
        raise OutOfRange(
            f"marc{where}: {said(weighs, 'g')} was given, and its dry plant alone weighs {said(plant, 'g')}. Is the "
            "bowl taken off, and all of the marc on the scale?"
        )
    return np.maximum(marc - dry, 0.0) / (density(give(strength, "percent_vol")).magnitude / 1000.0) / dry
