"""Floor 2. The jar itself: a folk jar read afterwards from three weighings, what fits, and whether it covers."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from herbcalc.ethanol import STRENGTH, density
from herbcalc.menstruum import plant_water
from herbcalc.units.arrays import at_least, first_refused
from herbcalc.units.constants import RULES
from herbcalc.units.guard import SHARE, VOLUME, WATER, WEIGHT, Kind, give, guarded
from herbcalc.units.refusals import OutOfRange, one_of
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

LOOSE = Kind("a weight for each mL", "g/mL", "0.15 g/mL", low=0.0, above=True)
DEPTH = Kind("a depth", "cm", "0.635 cm, or 1/4 inch", low=0.0)
PLANT = Q(0.95, "g/mL")  # fresh plant; common practice, no source
DRY_PLANT = Q(1.4, "g/mL")  # solids of a dry plant, from memory
QUARTER_INCH = Q(0.635, "cm")
QUART_JAR = Q(8.6, "cm")  # inside of a wide quart jar, so that 1/4 inch is 37 mL
FLOOR = Q(35.0, "percent_vol")
LOOSE_LEAF = Q(0.15, "g/mL")  # dried leaf or flower, 0.1 to 0.2; common practice, no source


class FolkJar(NamedTuple):
    """A jar made by eye, in numbers: herb (g), menstruum (mL), ratio (mL/g, menstruum added), strength in the jar
    (percent_vol) and whether it keeps (strength at or above the floor)."""

    herb: Any
    menstruum: Any
    ratio: Any
    strength: Any
    keeps: Any


@guarded(jar=WEIGHT, with_herb=WEIGHT, with_all=WEIGHT, water=WATER, strength=STRENGTH, floor=STRENGTH)
def folk_jar(
    jar: Any, with_herb: Any, with_all: Any, water: Any, strength: Any, floor: Any = FLOOR, rule: str = "kitchen"
) -> FolkJar:
    """Read a jar that was made by eye, afterwards, from three weighings.

    jar        the empty jar, g, 0 or more
    with_herb  the jar with the herb in it, g, more than the jar
    with_all   the jar with herb and menstruum, g, more than with the herb
    water      the plant's water, 0 to 95 % wb
    strength   of the menstruum as poured, percent_vol, 0 to 100
    floor      strength from which a jar keeps, percent_vol, 0 to 100
    rule       "kitchen" or "measured", for the strength in the jar

    Result: FolkJar(herb, menstruum, ratio, strength, keeps). The menstruum's volume comes from its weight and its
    density at 20 °C. Refuses: WrongUnit; OutOfRange also for weighings in another order.
    Source: plain balance; density by OIML R 22.

    >>> read = folk_jar(Q(400, "g"), Q(600, "g"), Q(1000, "g"), Q(80, "percent_wb"), Q(40, "percent_vol"))
    >>> f"{read.menstruum:.0f~P}", f"{read.ratio:.2f~P}", f"{read.strength.magnitude:.1f}", read.keeps
    ('422 mL', '2.11 mL/g', '29.0', False)
    """
    one_of("rule", rule, RULES)
    for name, low, high, what in (
        ("with_herb", jar, with_herb, "the empty jar"),
        ("with_all", with_herb, with_all, "the jar with its herb"),
    ):
        denied = first_refused(high <= low, high, low)
        if denied:
            where, (second, first) = denied
            raise OutOfRange(
                f"{name}{where}: {said(second, 'g')} was given, and {what} weighs {said(first, 'g')}. "
                "Each weighing is heavier than the one before. Were two of them swapped?"
            )
    herb = with_herb - jar
    menstruum = (with_all - with_herb) / (density(give(strength, "percent_vol")).magnitude / 1000.0)
    ends = plant_water.final(herb, water, menstruum, strength, rule)
    keeps = at_least(ends, floor)
    return FolkJar(
        give(herb, "g"),
        give(menstruum, "mL"),
        give(menstruum / herb, "mL/g"),
        give(ends, "percent_vol"),
        keeps if np.ndim(keeps) else bool(keeps),
    )


@guarded("mL", jar=VOLUME.more_than_none, herb=WEIGHT, plant=LOOSE, filled=SHARE.within(0.0, 1.0, above=True))
def room_for_menstruum(jar: Any, herb: Any, plant: Any = PLANT, filled: Any = 1.0) -> Any:
    """How much menstruum still goes into a jar packed with herb.

    jar     volume to the brim, mL, more than 0
    herb    weight of the herb in it, g, 0 or more
    plant   weight of a mL of the plant itself, g/mL, more than 0; about 0.95 fresh
    filled  share of the jar that is filled, plain, more than 0 and at most 1; 0.9 leaves room at the top

    Result: mL, 0 when the herb fills the jar. Refuses: WrongUnit, OutOfRange.
    Source: common practice, no source, for the plant's density.

    >>> f"{room_for_menstruum(Q(1, 'quart'), Q(200, 'g')):.0f~P}"
    '736 mL'
    """
    return np.maximum(jar * filled - herb / plant, 0.0)


class Cover(NamedTuple):
    """Does the menstruum cover: height of the loose herb as a volume, level reached, layer wanted above, what is
    missing (all mL), and whether it covers."""

    pile: Any
    level: Any
    layer: Any
    missing: Any
    covers: Any


@guarded(herb=WEIGHT, menstruum=VOLUME, loose=LOOSE, plant=LOOSE, depth=DEPTH, across=DEPTH)
def covers(
    herb: Any,
    menstruum: Any,
    loose: Any = LOOSE_LEAF,
    plant: Any = DRY_PLANT,
    depth: Any = QUARTER_INCH,
    across: Any = QUART_JAR,
) -> Cover:
    """Does the menstruum stand above the herb?

    herb       weight of the herb, g, 0 or more
    menstruum  poured, mL, 0 or more
    loose      weight of a mL of the herb as it lies, g/mL, more than 0; dried leaf or flower 0.1 to 0.2
    plant      weight of a mL of the plant itself, g/mL, more than 0; about 1.4 dry, 0.95 fresh
    depth      layer wanted above the herb, cm, 0 or more; 1/4 inch is 0.635
    across     inside width of the jar, cm, 0 or more

    Result: Cover(pile, level, layer, missing, covers). Refuses: WrongUnit, OutOfRange.
    Source: geometry; the densities are common practice, no source, or from memory.

    >>> poor = covers(Q(100, "g"), Q(500, "mL"))
    >>> f"{poor.pile:.0f~P}", f"{poor.level:.0f~P}", f"{poor.layer:.0f~P}", poor.covers
    ('667 mL', '571 mL', '37 mL', False)
    """
    pile, level, layer = herb / loose, menstruum + herb / plant, np.pi / 4.0 * across**2 * depth
    missing = np.maximum(pile + layer - level, 0.0)
    enough = at_least(level, pile + layer)
    return Cover(
        pile=give(pile, "mL"),
        level=give(level, "mL"),
        layer=give(layer, "mL"),
        missing=give(missing, "mL"),
        covers=enough if np.ndim(enough) else bool(enough),
    )
