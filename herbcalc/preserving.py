"""Floor 2. Keeping without alcohol: glycerin, vinegar, honey, syrup, oil and wax, and the one yardstick under them.

The same plant water spoils each of them, and each by a limit of its own. All sums go by the kitchen rule: volumes
simply add, and 1 g of plant water takes 1 mL. Shares are plain numbers, 0 to 1. A limit is an argument: the books
differ on every one of them. A wish that the liquid poured does not itself pass is Impossible.
Where nothing else is said an argument is one amount or a list, and lists are matched one by one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from herbcalc.ethanol import STRENGTH
from herbcalc.menstruum.ways_out import WayOut, vol, wet_share
from herbcalc.units.arrays import above, at_most, first_refused, plain, whole_times
from herbcalc.units.guard import SHARE, VOLUME, WATER, WEIGHT, Kind, guarded
from herbcalc.units.refusals import Impossible, OutOfRange, one_of
from herbcalc.units.registry import Q

DENSITY = Kind("what one mL weighs", "g/mL", "0.915 g/mL, as of oil", low=0.0, above=True)
INDEX = Kind("a refractive index", "", "1.4915", low=1.474, high=1.5045, plain=True)
HONEY = Q(18.0, "percent_wb")  # water in ripe honey; most samples hold 16 to 20 (common practice, no source)
_SUGAR_ROOM = (1000.0 - 463.0) / 850.0  # mL that each g of dissolved sugar takes: simple syrup, USP 28 to 32
OIL = Q(0.915, "g/mL")  # between olive and sunflower oil; see data/densities.csv
DISSOLVES = 0.675  # of sugar by weight, in water at 25 °C (77 °F); sugar tables
SALVE = Q(0.93, "g/mL")  # of oil and beeswax, cooled: between oil and wax (0.96); common practice, no source

# g/mol, IUPAC standard atomic weights.
_WATER_MOLE = 18.015
# Of each solute: g/mol, and K of the Norrish equation. R. S. Norrish, J. Food Technol. 1 (1966) 25-39, gives the
# equation; these constants are those of J. Chirife and others, 1980 to 1982, from memory. With them sucrose agrees
# with isopiestic measurements to 0.001 up to saturation, glycerol to a few hundredths.
_SOLUTES = {"glycerol": (92.094, 1.16), "sucrose": (342.297, 6.47)}


# --- one pair of sums: what is poured is thinned by water ----------------------------------------------------------


def _share(what: str, poured: Any, own: Any, water: Any) -> Any:
    """The share of what keeps, once `water` has joined `poured`, of which it was `own`."""
    if refused := first_refused(np.asarray(poured) + water <= 0.0):
        raise OutOfRange(f"{what}{refused[0]}: there is nothing in this jar yet. Put some in, more than 0.")
    return plain(own * (poured / (poured + water)))


def _needed(water: Any, own: Any, to: Any, why_not: Callable[[str, float, float], Impossible]) -> Any:
    """What must be poured for the share to end at `to`; 0 where no water comes or nothing is wished for.

    why_not: the refusal of a share that what is poured does not itself pass, from the place in the list, its own
    share and the one that was wished for.
    """
    free = (np.asarray(water) <= 0.0) | (np.asarray(to) <= 0.0)
    if refused := first_refused(above(to, own) | (at_most(own, to) & ~free), own, to):
        where, (has, line) = refused
        raise why_not(where, has, line)
    spare = plain(np.where(free, 1.0, np.asarray(own) - to))
    return plain(np.where(free, 0.0, water * (to / spare)))


def _in_plant(herb: Any, water: Any) -> Any:
    """mL (and g) of water that a plant brings."""
    return herb * water / 100.0


def _of_100(share: float) -> str:
    """A share, said."""
    return f"{100.0 * share:.3g} %"


def _dry(what: str) -> list[WayOut]:
    return [WayOut("dry", None, f"Dry the herb first: then hardly any water joins the {what}.")]


# --- glycerin ------------------------------------------------------------------------------------------------------


@guarded(herb=WEIGHT, water=WATER, glycerin=VOLUME, own=SHARE)
def glycerin_share(herb: Any, water: Any, glycerin: Any, own: Any = 1.0) -> Any:
    """The share of glycerin, by volume, in the liquid of a jar.

    herb      weight as it goes in, g, 0 or more
    water     its moisture, percent_wb, 0 to 95
    glycerin  volume poured, mL, 0 or more
    own       the share of glycerin in what is poured, plain, 0 to 1; pure unless given

    Result: plain, 0 to 1. Refuses: WrongUnit; OutOfRange also for a jar with no liquid. Source: kitchen rule, common
    practice. How much is enough is disputed: printed advice runs from 25 to 80 % by volume.

    >>> f"{glycerin_share(Q(100, 'g'), Q(80, 'percent_wb'), Q(120, 'mL')):.3f}"
    '0.600'
    """
    return _share("glycerin", glycerin, own, _in_plant(herb, water))


@guarded("mL", herb=WEIGHT.more_than_none, water=WATER, to=SHARE, own=SHARE)
def glycerin_needed(herb: Any, water: Any, to: Any, own: Any = 1.0) -> Any:
    """How much glycerin a jar needs to end at a wanted share.

    herb   weight as it goes in, g, more than 0
    water  its moisture, percent_wb, 0 to 95
    to     the share wanted in the end, by volume, plain, 0 to 1
    own    the share of glycerin in what is poured, plain, 0 to 1; pure unless given

    Result: mL of what is poured; 0 where the herb brings no water. Refuses: WrongUnit, OutOfRange; Impossible for a
    share that the liquid poured does not itself pass. Source: `glycerin_share` turned round.

    >>> f"{glycerin_needed(Q(100, 'g'), Q(80, 'percent_wb'), 0.6):.0f~P}"
    '120 mL'
    """

    def why_not(where: str, has: float, line: float) -> Impossible:
        return Impossible(
            f"to{where}: what is poured is {_of_100(has)} glycerin, and water only thins it, so the jar cannot end "
            f"at {_of_100(line)}. Stronger glycerin, or dried herb, would work.",
            _dry("glycerin"),
        )

    return _needed(_in_plant(herb, water), own, to, why_not)


# --- vinegar -------------------------------------------------------------------------------------------------------


@guarded(herb=WEIGHT, water=WATER, vinegar=VOLUME, acid=SHARE)
def acid_share(herb: Any, water: Any, vinegar: Any, acid: Any) -> Any:
    """The share of acid in the liquid of a jar of herb and vinegar.

    herb     weight as it goes in, g, 0 or more
    water    its moisture, percent_wb, 0 to 95
    vinegar  volume poured, mL, 0 or more
    acid     what the vinegar's label says, g for each mL, plain: 0.05 for "5 % acidity"

    Result: plain, in the measure of `acid`. Refuses: WrongUnit; OutOfRange also for a jar with no liquid. Source:
    kitchen rule, common practice. In the US vinegar has 4 g of acetic acid in 100 mL or more (FDA, Compliance Policy
    Guide 525.825).

    >>> f"{acid_share(Q(100, 'g'), Q(80, 'percent_wb'), Q(200, 'mL'), 0.05):.4f}"
    '0.0357'
    """
    return _share("vinegar", vinegar, acid, _in_plant(herb, water))


@guarded("mL", herb=WEIGHT.more_than_none, water=WATER, to=SHARE, acid=SHARE)
def vinegar_needed(herb: Any, water: Any, to: Any, acid: Any) -> Any:
    """How much vinegar a jar needs for its acid to end at a wanted share.

    herb   weight as it goes in, g, more than 0
    water  its moisture, percent_wb, 0 to 95
    to     the acid wanted in the end, plain: 0.04 for 4 %
    acid   what the vinegar's label says, plain: 0.05 for "5 % acidity"

    Result: mL; 0 where the herb brings no water. Refuses: WrongUnit, OutOfRange; Impossible for more acid than the
    vinegar has itself. Source: `acid_share` turned round.

    >>> f"{vinegar_needed(Q(100, 'g'), Q(80, 'percent_wb'), 0.04, 0.05):.0f~P}"
    '320 mL'
    """

    def why_not(where: str, has: float, line: float) -> Impossible:
        return Impossible(
            f"to{where}: this vinegar has {_of_100(has)} acid, and plant water only thins it, so the jar cannot end "
            f"at {_of_100(line)}. Stronger vinegar, or dried herb, would work.",
            _dry("vinegar"),
        )

    return _needed(_in_plant(herb, water), acid, to, why_not)


# --- honey ---------------------------------------------------------------------------------------------------------


@guarded("percent_wb", herb=WEIGHT, water=WATER, honey=WEIGHT, own=WATER)
def honey_water(herb: Any, water: Any, honey: Any, own: Any = HONEY) -> Any:
    """How much water honey holds once a plant's own water has joined it.

    herb   weight as it goes in, g, 0 or more
    water  its moisture, percent_wb, 0 to 95
    honey  a weight, g, 0 or more
    own    the honey's water before, percent_wb, 0 to 95; 18 unless given

    Result: percent_wb of the honey, the plant's solids not counted. Refuses: WrongUnit; OutOfRange also for a jar
    with neither honey nor water. Source: plain balance. Honey may hold 20 % water (Codex Alimentarius CXS 12-1981,
    from memory); the wetter it is, the surer it ferments (common practice, no source).

    >>> f"{honey_water(Q(100, 'g'), Q(80, 'percent_wb'), Q(400, 'g')).magnitude:.1f}"
    '31.7'
    """
    return 100.0 - 100.0 * _share("honey", honey, 1.0 - own / 100.0, _in_plant(herb, water))


@guarded("g", herb=WEIGHT.more_than_none, water=WATER, to=WATER, own=WATER)
def honey_needed(herb: Any, water: Any, to: Any, own: Any = HONEY) -> Any:
    """How much honey keeps its water at or under a limit, with this plant in it.

    herb   weight as it goes in, g, more than 0
    water  its moisture, percent_wb, 0 to 95
    to     the most water that the honey may hold in the end, percent_wb, 0 to 95
    own    the honey's water before, percent_wb, 0 to 95; 18 unless given

    Result: g; 0 where the herb brings no water. Refuses: WrongUnit, OutOfRange; Impossible for a limit that the honey
    does not itself pass. Source: `honey_water` turned round.

    >>> f"{honey_needed(Q(100, 'g'), Q(80, 'percent_wb'), Q(20, 'percent_wb')):.0f~P}"
    '3200 g'
    """

    def why_not(where: str, solids: float, wanted: float) -> Impossible:
        has, line = 100.0 * (1.0 - solids), 100.0 * (1.0 - wanted)
        return Impossible(
            f"to{where}: this honey holds {wet_share(has)} before the plant brings any, so it cannot end at "
            f"{wet_share(line)}. Riper honey, or dried herb, would work.",
            _dry("honey"),
        )

    return _needed(_in_plant(herb, water), 1.0 - own / 100.0, 1.0 - to / 100.0, why_not)


@guarded("percent_wb", index=INDEX)
def honey_by_index(index: Any) -> Any:
    """How much water honey holds, from what a refractometer reads at 20 °C (68 °F).

    index  refractive index, plain, 1.4740 to 1.5044

    Result: percent_wb, 13 to 25. Refuses: WrongUnit; OutOfRange also for a reading outside the printed scale.
    Source: E. B. Wedmore, Bee World 36 (1955) 197, from memory: a straight line in the logarithm of index - 1,
    through H. D. Chataway's measurements. The scale printed beside instruments goes by it.

    >>> f"{honey_by_index(1.4915).magnitude:.1f}"
    '18.0'
    """
    return (-0.2681 - np.log10(index - 1.0)) / 0.002243


# --- syrup ---------------------------------------------------------------------------------------------------------


@guarded(sugar=WEIGHT, water=WEIGHT)
def sugar_share(sugar: Any, water: Any) -> Any:
    """The share of sugar in a syrup, by weight.

    sugar, water  weights, g, 0 or more; a cup is not a weight

    Result: plain, 0 to 1. Refuses: WrongUnit; OutOfRange also for nothing of either. Source: plain arithmetic. Water
    at 25 °C (77 °F) holds sugar to about `DISSOLVES`; what is beyond lies at the bottom or comes out as crystals.

    >>> f"{sugar_share(Q(2, 'lb'), Q(1, 'lb')):.3f}"
    '0.667'
    """
    return _share("sugar", sugar, 1.0, water)


@guarded("g", water=WEIGHT.more_than_none, to=SHARE)
def sugar_needed(water: Any, to: Any) -> Any:
    """How much sugar turns water, or a strained tea, into a syrup of a wanted share.

    water  its weight, g, more than 0
    to     the share of sugar wanted, by weight, plain, 0 to 1

    Result: g. Refuses: WrongUnit, OutOfRange; Impossible for 1, which leaves no room for water. Source: `sugar_share`
    turned round.

    >>> f"{sugar_needed(Q(500, 'g'), 2 / 3):.0f~P}"
    '1000 g'
    """

    def why_not(where: str, *_: float) -> Impossible:
        return Impossible(
            f"to{where}: however much sugar goes in, some of it is water, so 100 % is never reached. A share such "
            "as 0.65 would work."
        )

    return _needed(water, 1.0, to, why_not)


@guarded("mL", volume=VOLUME.more_than_none, strength=STRENGTH, to=STRENGTH)
def spirit_for(volume: Any, strength: Any, to: Any) -> Any:
    """How much spirit brings a syrup, a tea or any liquid without alcohol to a wanted strength.

    volume    of the liquid, mL, more than 0
    strength  of the spirit, percent_vol or percent_mass, 0 to 100
    to        the strength wanted in the end, percent_vol or percent_mass, 0 to 100

    Result: mL. Refuses: WrongUnit, OutOfRange; Impossible for a spirit that is no stronger than the wish. Source:
    kitchen rule, common practice.

    >>> f"{spirit_for(Q(300, 'mL'), Q(40, 'percent_vol'), Q(20, 'percent_vol')):.0f~P}"
    '300 mL'
    """

    def why_not(where: str, has: float, line: float) -> Impossible:
        return Impossible(
            f"strength{where}: this spirit is {vol(has)}, and the liquid thins it, so the mix cannot end at "
            f"{vol(line)}. A spirit above {vol(line)} would work."
        )

    return _needed(volume, strength, to, why_not)


@guarded("mL", sugar=WEIGHT, water=WEIGHT)
def syrup_volume(sugar: Any, water: Any) -> Any:
    """How much room a syrup takes.

    sugar  its weight, g, 0 or more, all of it dissolved
    water  its weight, g, 0 or more

    Result: mL. Refuses: WrongUnit, OutOfRange. Source: simple syrup, USP 28 to 32: 850 g of sugar and 463 g of water
    fill 1000 mL, so that a g of dissolved sugar takes 0.632 mL; from 40 to 68 % sugar tables lie within 1 %.

    >>> f"{syrup_volume(Q(850, 'g'), Q(463, 'g')):.0f~P}"
    '1000 mL'
    """
    return sugar * _SUGAR_ROOM + water


@guarded("percent_vol", volume=VOLUME, spirit=VOLUME, strength=STRENGTH)
def strength_with(volume: Any, spirit: Any, strength: Any) -> Any:
    """How strong a syrup, a tea or any liquid without alcohol is once spirit has joined it.

    volume    of the liquid, mL, 0 or more
    spirit    poured into it, mL, 0 or more
    strength  of that spirit, percent_vol or percent_mass, 0 to 100

    Result: percent_vol. Refuses: WrongUnit; OutOfRange also for nothing of either. Source: kitchen rule, common
    practice.

    >>> f"{strength_with(Q(300, 'mL'), Q(100, 'mL'), Q(40, 'percent_vol')):.0f~P}"
    '10 % vol'
    """
    return _share("the mix", spirit, strength, volume)


# --- oil and wax ---------------------------------------------------------------------------------------------------


@guarded("percent_wb", water=WATER, lost=SHARE)
def wilted_water(water: Any, lost: Any) -> Any:
    """How much water a plant still holds after it has wilted.

    water  its moisture when fresh, percent_wb, 0 to 95
    lost   the share of its weight that is gone, plain, 0 to 1: 0.5 for half

    Result: percent_wb of what is left. Refuses: WrongUnit; OutOfRange also for a plant that has lost more than its
    water. Source: plain balance; only water leaves.

    >>> f"{wilted_water(Q(80, 'percent_wb'), 0.5):.0f~P}"
    '60 % water'
    """
    share = water / 100.0
    if refused := first_refused(above(lost, share), lost, water):
        where, (gone, wet) = refused
        raise OutOfRange(
            f"lost{where}: {_of_100(gone)} of the weight is gone, and only {wet_share(wet)} was there to go. Were "
            "the two weighed on one scale, without the tray?"
        )
    left = np.maximum(share - lost, 0.0)
    return 100.0 * left / (1.0 - np.minimum(lost, share))


@guarded(wax=WEIGHT, oil=VOLUME, density=DENSITY)
def wax_share(wax: Any, oil: Any, density: Any = OIL) -> Any:
    """The share of wax in a salve, by weight.

    wax      its weight, g, 0 or more
    oil      its volume, mL, 0 or more
    density  of the oil, g/mL, more than 0; 0.915 unless given

    Result: plain, 0 to 1. Refuses: WrongUnit; OutOfRange also for nothing of either. Source: plain arithmetic; about
    0.1 is soft, 0.2 firm (common practice, no source).

    >>> f"{wax_share(Q(1, 'oz'), Q(8, 'fl_oz')):.3f}"
    '0.116'
    """
    return _share("wax", wax, 1.0, oil * density)


@guarded("g", oil=VOLUME.more_than_none, to=SHARE, density=DENSITY)
def wax_needed(oil: Any, to: Any, density: Any = OIL) -> Any:
    """How much wax gives an oil a wanted share of it.

    oil      its volume, mL, more than 0
    to       the share of wax wanted, by weight, plain, 0 to 1
    density  of the oil, g/mL, more than 0; 0.915 unless given

    Result: g. Refuses: WrongUnit, OutOfRange; Impossible for 1, which leaves no room for oil. Source: `wax_share`
    turned round.

    >>> f"{wax_needed(Q(200, 'mL'), 0.2):.2f~P}"
    '45.75 g'
    """

    def why_not(where: str, *_: float) -> Impossible:
        return Impossible(
            f"to{where}: however much wax goes in, some of it is oil, so 100 % is never reached. A share such as 0.2 "
            "would work."
        )

    return _needed(oil * density, 1.0, to, why_not)


@guarded("mL", wax=WEIGHT, oil=VOLUME, density=DENSITY, salve=DENSITY)
def salve_volume(wax: Any, oil: Any, density: Any = OIL, salve: Any = SALVE) -> Any:
    """How much room a salve takes once it has cooled.

    wax      its weight, g, 0 or more
    oil      its volume, mL, 0 or more
    density  of the oil, g/mL, more than 0; 0.915 unless given
    salve    what a mL of the salve weighs, g/mL, more than 0; 0.93 unless given

    Result: mL. Refuses: WrongUnit, OutOfRange. Source: weights add up, and are shared by what a mL weighs; 0.93 is
    common practice, no source. It lies between oil and beeswax (0.958 to 0.970, BPC 1911).

    >>> f"{salve_volume(Q(1, 'oz'), Q(8, 'fl_oz')):.0f~P}"
    '263 mL'
    """
    return (wax + oil * density) / salve


@guarded(None, volume=VOLUME, tin=VOLUME.more_than_none)
def whole_tins(volume: Any, tin: Any) -> Any:
    """How many whole tins a salve fills.

    volume  of the salve, mL, 0 or more
    tin     what one holds, mL, more than 0

    Result: a whole number, rounded down; a hair under a whole tin counts as that tin. Refuses: WrongUnit; OutOfRange
    also for more tins than can be counted. Source: plain arithmetic.

    >>> whole_tins(Q(264, "mL"), Q(30, "mL")), whole_tins(Q(300, "mL"), Q(30, "mL"))
    (8, 10)
    """
    why = "so small a tin is filled more often than can be counted. Was one of the two typed in another unit?"
    return whole_times(volume, tin, np.floor, "tin", why)


# --- the yardstick under glycerin, honey and sugar -----------------------------------------------------------------


@guarded(share=SHARE)
def water_activity(solute: str, share: Any) -> Any:
    """How freely the water of a solution can be drunk by what would grow in it: 1 for water, 0 for none.

    solute  "glycerol" or "sucrose"
    share   of it by mass, plain, 0 to 1

    Result: plain, 0 to 1. It knows of sugar and glycerin alone: what keeps by acid or by alcohol keeps at a higher
    number. Refuses: WrongUnit; OutOfRange also for another solute. Source: the equation of R. S. Norrish, J. Food
    Technol. 1 (1966) 25, with the constants of J. Chirife and others (1980 to 1982, from memory). For glycerol under
    0.75 measurements lie higher by 0.01 to 0.05; sucrose dissolves to about `DISSOLVES` by mass.

    >>> f"{water_activity('sucrose', 2 / 3):.3f}", f"{water_activity('glycerol', 0.5):.3f}"
    ('0.853', '0.811')
    """
    one_of("solute", solute, tuple(_SOLUTES))
    mole, k = _SOLUTES[solute]
    dissolved, water = share / mole, (1.0 - share) / _WATER_MOLE
    of_solute = dissolved / (dissolved + water)
    return plain((1.0 - of_solute) * np.exp(-k * of_solute**2))


@guarded(activity=replace(SHARE, name="a water activity", example="0.85"))
def share_for_activity(solute: str, activity: Any) -> Any:
    """The share of glycerin or sugar at which the water activity falls to a wanted number.

    solute    "glycerol" or "sucrose"
    activity  wanted, plain, 0 to 1

    Result: by mass, plain, 0 to 1, whether or not so much dissolves. Refuses: WrongUnit, OutOfRange. Source:
    `water_activity` turned round; it only falls as the share grows, so halving finds it.

    >>> f"{share_for_activity('glycerol', 0.85):.3f}"
    '0.438'
    """
    low, high = np.zeros(np.shape(activity)), np.ones(np.shape(activity))
    for _ in range(60):  # each step halves what is left; 52 of them reach the last bit
        middle = (low + high) / 2.0
        too_wet = water_activity.plain(solute, middle) > activity
        low, high = np.where(too_wet, middle, low), np.where(too_wet, high, middle)
    return plain(high)


@guarded(share=SHARE, density=DENSITY)
def by_weight(share: Any, density: Any) -> Any:
    """A share by volume as a share by weight, of something mixed with water.

    share    by volume before mixing, plain, 0 to 1
    density  of what is mixed with the water, g/mL, more than 0: 1.26 for glycerin

    Result: by mass, plain, 0 to 1. Refuses: WrongUnit, OutOfRange. Source: plain arithmetic; a mL of water as 1 g.

    >>> f"{by_weight(0.55, Q(1.26, 'g/mL')):.3f}"
    '0.606'
    """
    return plain(share * density / (share * density + 1.0 - share))
