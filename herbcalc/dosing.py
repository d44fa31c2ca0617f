"""Floor 2. From the bottle to the spoon: drops, herb and alcohol in an amount taken, and how long a bottle lasts.

Nothing here knows how much to take. An amount is what a person was told by their teacher or a qualified practitioner;
these sums only say what it holds. Where nothing else is said an argument is one amount or a list, and lists are
matched one by one.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from herbcalc.ethanol import STRENGTH
from herbcalc.ethanol import formula as table
from herbcalc.units.arrays import plain, whole_times
from herbcalc.units.guard import RATIO, VOLUME, WEIGHT, Kind, guarded
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q
from herbcalc.units.saying import said


def each_mL(number: float) -> str:
    """So many drops for each mL, said in both systems.

    >>> each_mL(20)
    '20 drops for each mL (98.6 for each tsp)'
    """
    per_tsp = float(Q(number, "1/mL").to("1/tsp").magnitude)
    return f"{said(number, '')} drops for each mL ({said(per_tsp, '')} for each tsp)"


DROPS = Kind("a count of drops", "", "60", low=0.0, plain=True)
COUNTS = replace(
    DROPS.more_than_none, name="counts of drops", example="[98, 103, 99], one for each time", own_length=True
)
PER_ML = Kind("drops for each mL", "1/mL", each_mL(20.0), low=0.0, above=True, saying=each_mL)


# Drops of a few liquids in 60 minims (3.70 mL, 3/4 tsp), a century ago, from one and the same dropper:
# F. J. S. Gorgas, Dental Medicine, "Measuring liquids by drops".
OF_OLD = {"water": 60, "syrup": 65, "glycerin": 67, "dilute alcohol": 137, "alcohol": 146}
SIXTY_MINIMS = Q(60 / 480, "fl_oz")
MAY_ERR = 0.15  # of its drops, by which a dropper in use may be off; USP 32 <1101>


@guarded("1/mL", counts=COUNTS, volume=VOLUME.more_than_none)
def drops_per_mL(counts: Any, volume: Any) -> Any:
    """How many drops of this liquid, from this dropper, make one mL.

    counts  drops counted until the measure was full, plain, more than 0; one count or, better, a list of three
    volume  of the measure, mL, more than 0

    Result: for each mL, from the mean of the counts. Refuses: WrongUnit; OutOfRange also for an empty list. Source:
    plain arithmetic. Drops differ with liquid and dropper, so they are counted: a standard dropper gives 18 to 22 of
    water for each mL (USP 32 <1101>), and about twice as many of strong spirit.

    >>> from herbcalc.units import Q
    >>> f"{drops_per_mL([98, 103, 99], Q(5, 'mL')):.0f~P}"
    '20 1/mL'
    """
    return _mean(counts) / volume


@guarded(counts=COUNTS)
def counts_differ(counts: Any) -> Any:
    """How far several counts of one measure lie apart, against their mean.

    counts  drops counted each time, plain, more than 0

    Result: the largest less the smallest, as a share of the mean, plain; 0 for a single count. Refuses: WrongUnit;
    OutOfRange also for an empty list. Source: plain arithmetic; a dropper in use may err by `MAY_ERR`.

    >>> f"{counts_differ([98, 103, 99]):.2f}"
    '0.05'
    """
    mean = _mean(counts)
    return plain(np.ptp(np.atleast_1d(counts)) / mean)


def _mean(counts: Any) -> float:
    if np.size(counts) == 0:
        raise OutOfRange("counts: there is none yet. Count the drops until the measure is full, three times.")
    return float(np.mean(counts))


@guarded("mL", drops=DROPS, per_mL=PER_ML)
def volume_of_drops(drops: Any, per_mL: Any) -> Any:
    """How much a number of drops is.

    drops   a count, plain, 0 or more
    per_mL  drops of this liquid, from this dropper, for each mL, more than 0 (`drops_per_mL`)

    Result: mL. Refuses: WrongUnit, OutOfRange. Source: plain arithmetic.

    >>> from herbcalc.units import Q
    >>> f"{volume_of_drops(30, Q(40, '1/mL')):.2f~P}"
    '0.75 mL'
    """
    return np.divide(drops, per_mL)


@guarded("g", volume=VOLUME, ratio=RATIO.more_than_none)
def herb_per_dose(volume: Any, ratio: Any) -> Any:
    """How much herb stands behind an amount of a 1:r preparation.

    volume  what is taken, mL, 0 or more; entered by a person, never proposed
    ratio   mL of the finished preparation for each g of herb, mL/g, more than 0

    Result: g of herb as it was weighed (put in, not taken out of it). Refuses: WrongUnit, OutOfRange. Source: plain
    arithmetic; 1 mL of a fluidextract stands for 1 g (USP).

    >>> from herbcalc.units import Q
    >>> f"{herb_per_dose(Q(5, 'mL'), Q(5, 'mL/g')):.0f~P}"
    '1 g'
    """
    return np.divide(volume, ratio)


@guarded("g", volume=VOLUME, strength=STRENGTH)
def alcohol_per_dose(volume: Any, strength: Any) -> Any:
    """How much alcohol is in an amount taken.

    volume    what is taken, mL at 20 °C, 0 or more; entered by a person, never proposed
    strength  of the preparation, percent_vol or percent_mass, 0 to 100

    Result: g. Refuses: WrongUnit, OutOfRange. Source: ethanol weighs 0.789 g for each mL at 20 °C (OIML R 22, 1975).

    >>> from herbcalc.units import Q
    >>> f"{alcohol_per_dose(Q(5, 'mL'), Q(40, 'percent_vol')):.2f~P}"
    '1.58 g'
    """
    return volume * strength / 100.0 * table.ETHANOL / 1000.0


@guarded("mL", alcohol=WEIGHT, strength=STRENGTH.more_than_none)
def volume_with(alcohol: Any, strength: Any) -> Any:
    """How much of a preparation holds so much alcohol: `alcohol_per_dose` turned round.

    alcohol   g, 0 or more
    strength  of the preparation, percent_vol or percent_mass, more than 0

    Result: mL at 20 °C. Refuses: WrongUnit, OutOfRange. Source: as `alcohol_per_dose`.

    >>> from herbcalc.units import Q
    >>> f"{volume_with(Q(14, 'g'), Q(60, 'percent_vol')):.1f~P}"
    '29.6 mL'
    """
    return alcohol / (table.ETHANOL / 1000.0) / (strength / 100.0)


@guarded(None, bottle=VOLUME, per_day=VOLUME.more_than_none)
def bottle_days(bottle: Any, per_day: Any) -> Any:
    """For how many whole days a bottle lasts.

    bottle   what is in it, mL, 0 or more
    per_day  what is taken each day, mL, more than 0; entered by a person, never proposed

    Result: a whole number, rounded down; a hair under a whole day counts as that day. Refuses: WrongUnit; OutOfRange
    also for more days than can be counted. Source: plain arithmetic.

    >>> from herbcalc.units import Q
    >>> bottle_days(Q(50, "mL"), Q(3, "mL")), bottle_days(Q(2, "fl_oz"), Q(1, "tsp"))
    (16, 12)
    """
    why = "at so little a day the bottle outlasts all counting. Was one of the two typed in another unit?"
    return whole_times(bottle, per_day, np.floor, "per_day", why)
