"""Floor 3. What must be in the cupboard: a class list, whole packs, and a recipe made larger or smaller."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from herbcalc.maceration import herb_for, menstruum_for
from herbcalc.units.arrays import first_refused, plain, whole_times
from herbcalc.units.guard import NUMBER, RATIO, RETAINED, SHARE, VOLUME, give, guarded
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q

STUDENTS = NUMBER.within(1.0, 10_000.0)
NOTHING = Q(0.0, "mL")


class Stock(NamedTuple):
    """What a class needs, spare counted: herb in g and menstruum in mL, unrounded; menstruum in whole packs."""

    herb: Any
    menstruum: Any
    packs: Any


@guarded(need=VOLUME, pack=VOLUME.more_than_none, there=VOLUME)
def packs_to_buy(need: Any, pack: Any, there: Any = NOTHING) -> Any:
    """How many whole packs must be bought: what must be had is rounded up.

    need   what is needed in all, mL, 0 or more
    pack   what one pack holds, mL, more than 0
    there  what stands on the shelf already, mL, 0 or more

    Result: a whole number; a hair over a whole pack is that pack; 0 where the shelf has enough. Refuses: WrongUnit;
    OutOfRange also for more packs than can be counted. Source: plain arithmetic.

    >>> packs_to_buy(Q(1697, "mL"), Q(750, "mL")), packs_to_buy(Q(1697, "mL"), Q(750, "mL"), Q(250, "mL"))
    (3, 2)
    """
    why = "with so small a pack there is no end to the counting. Was one of the two typed in another unit?"
    return whole_times(np.maximum(need - there, 0.0), pack, np.ceil, "pack", why)


@guarded(
    students=STUDENTS,
    each=VOLUME.more_than_none,
    ratio=RATIO.more_than_none,
    retained=RETAINED,
    spare=SHARE,
    pack=VOLUME.more_than_none,
)
def class_stock(students: Any, each: Any, ratio: Any, retained: Any, spare: Any, pack: Any) -> Stock:
    """What a class that soaks dried herb must have: herb, menstruum, and menstruum in whole packs.

    students  how many make one, a whole number, 1 to 10,000
    each      finished liquid that everyone takes home, mL, more than 0
    ratio     menstruum added, mL/g, more than 0
    retained  what the marc keeps, mL/g, 0 or more
    spare     share that is put on top for what is spilled, plain, 0 to 1
    pack      menstruum in one pack, mL, more than 0

    Result: Stock. Refuses: WrongUnit; OutOfRange also for a part of a student; Impossible when the herb keeps all
    that is poured on it. Source: plain balance; packs are rounded up.

    >>> stock = class_stock(18, Q(60, "mL"), Q(5, "mL/g"), Q(1.5, "mL/g"), 0.1, Q(750, "mL"))
    >>> f"{stock.herb:.1f~P}, {stock.menstruum:.0f~P}, {stock.packs} packs"
    '339.4 g, 1697 mL, 3 packs'
    """
    broken = first_refused(np.abs(students - np.rint(students)) > 1e-9, students)
    if broken:
        where, (count,) = broken
        raise OutOfRange(f"students{where}: {count:g} was given. A whole number of people is wanted, such as 18.")
    herb = herb_for.plain(students * each, ratio, retained) * (1.0 + spare)
    menstruum = menstruum_for.plain(herb, ratio)
    return Stock(give(herb, "g"), give(menstruum, "mL"), packs_to_buy.plain(menstruum, pack, 0.0))


@guarded(makes=VOLUME.more_than_none, wanted=VOLUME)
def scale(makes: Any, wanted: Any) -> Any:
    """By what every weight and volume of a recipe is multiplied; time, temperature, strength and ratio stay.

    makes   what the recipe makes, mL, more than 0
    wanted  what is wanted of it, mL, 0 or more

    Result: the factor, plain. Not quite right for what does not grow with the batch: what clings to jar and funnel,
    and the liquid over the herb. Refuses: WrongUnit, OutOfRange. Source: plain arithmetic.

    >>> scale(Q(350, "mL"), Q(1, "L"))
    2.857142857142857
    """
    return plain(np.divide(wanted, makes))


@guarded(menstruum=VOLUME, each=VOLUME.more_than_none, ratio=RATIO.more_than_none, retained=RETAINED, spare=SHARE)
def students_served(menstruum: Any, each: Any, ratio: Any, retained: Any, spare: Any) -> Any:
    """How many can be in a class that has so much menstruum: what may be promised is rounded down.

    menstruum  there is, mL, 0 or more
    each       finished liquid that everyone takes home, mL, more than 0
    ratio      menstruum added, mL/g, more than 0
    retained   what the marc keeps, mL/g, 0 or more
    spare      share that is put on top for what is spilled, plain, 0 to 1

    Result: a whole number. Refuses: WrongUnit; OutOfRange also for more than can be counted; Impossible when the herb
    keeps all that is poured on it. Source: plain balance; undoes `class_stock`.

    >>> students_served(Q(2250, "mL"), Q(60, "mL"), Q(5, "mL/g"), Q(1.5, "mL/g"), 0.1)
    23
    """
    for_one = menstruum_for.plain(herb_for.plain(each, ratio, retained), ratio) * (1.0 + spare)
    why = "with so little for everyone there is no end to the counting. Was one of the amounts typed in another unit?"
    return whole_times(menstruum, for_one, np.floor, "each", why)
