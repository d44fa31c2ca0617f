"""Floor 2. Extracts made to a weight or a volume: fluidextracts, drug-extract ratio, fresh-plant mother tinctures.

Most of the official figures here are from memory and are marked so. Whoever makes a medicine by a pharmacopoeia works
from the pharmacopoeia.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from herbcalc.ethanol import STRENGTH, to_mass
from herbcalc.menstruum.ways_out import WayOut
from herbcalc.units.arrays import below, first_refused, plain
from herbcalc.units.guard import RATIO, VOLUME, WATER, WEIGHT, Kind, give, guarded
from herbcalc.units.refusals import Impossible, OutOfRange, one_of
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

RESERVED = Q(0.85, "mL/g")  # from memory; some monographs have 0.80
CURVE = Q(0.6, "mL/g")  # the washing curve of the percolations of 1866
NONE = Q(0.0, "g")
ETHANOL_86 = Q(86.0, "percent_mass")  # 90 % vol


class Reserved(NamedTuple):
    """A percolate set aside and evaporated: volumes in mL, shares of the extract plain (they sum to 1)."""

    reserve: Any
    weak: Any
    room: Any
    finished: Any
    share_in_reserve: Any
    share_in_weak: Any
    share_in_marc: Any


@guarded(
    herb=WEIGHT.more_than_none,
    percolate=VOLUME,
    reserved=RATIO.within(0.0, 1.0, above=True),
    curve=RATIO.more_than_none,
)
def reserve_and_evaporate(herb: Any, percolate: Any, reserved: Any = RESERVED, curve: Any = CURVE) -> Reserved:
    """A fluidextract of 1 mL for each gram: keep the first strong part, evaporate the weak rest, put it back.

    herb       weight of the dry powder, g, more than 0
    percolate  collected in all, mL; at least the reserve
    reserved   first percolate set aside, mL/g, more than 0 and at most 1
    curve      the c of the washing curve 1 - e^(-v/c), mL/g, more than 0

    Result: Reserved(reserve, weak, room, finished, share_in_reserve, share_in_weak, share_in_marc): `weak` is to be
    evaporated to a soft extract (at 60 °C at most, USP IX) that dissolves in the reserve, `room` is what it may fill.
    Refuses: WrongUnit, OutOfRange; Impossible when less was collected than the reserve.
    Source: 1 mL for 1 g, USP <1151>; 850 mL of each 1000, from memory (800 in some monographs).

    >>> made = reserve_and_evaporate(Q(1000, "g"), Q(3000, "mL"))
    >>> f"{made.reserve:.0f~P}", f"{made.room:.0f~P}", round(made.share_in_reserve, 3)
    ('850 mL', '150 mL', 0.757)
    """
    reserve = reserved * herb
    denied = first_refused(below(percolate, reserve), percolate, reserve)
    if denied:
        where, (has, wants) = denied
        raise Impossible(
            f"percolate{where}: {said(has, 'mL')} came out, and the reserve alone is {said(wants, 'mL')}. "
            "Percolate on, or set less aside.",
            [WayOut("percolate", give(wants, "mL"), f"Collect {said(wants, 'mL')} at least.")],
        )
    finished = herb * 1.0
    first, marc = -np.expm1(-reserved / curve), np.exp(-percolate / herb / curve)
    return Reserved(
        reserve=give(reserve, "mL"),
        weak=give(np.maximum(percolate - reserve, 0.0), "mL"),
        room=give(finished - reserve, "mL"),
        finished=give(finished, "mL"),
        share_in_reserve=plain(first),
        share_in_weak=plain(np.maximum(1.0 - first - marc, 0.0)),
        share_in_marc=plain(marc),
    )


class Fraction(NamedTuple):
    """One portion of a divided percolation: herb in g, strong percolate kept from it in mL."""

    herb: Any
    reserve: Any


@guarded(herb=WEIGHT.more_than_none)
def fractional(herb: Any) -> list[Fraction]:
    """A fluidextract without heat: three portions, each percolated with the weak percolate of the one before.

    herb  weight of the dry powder in all, g, more than 0

    Result: three Fractions; herb in 5 : 3 : 2, reserves 2 : 3 : 5, together 1 mL for each g.
    Refuses: WrongUnit, OutOfRange. Source: National Formulary, fractional percolation, from memory.

    >>> [f"{part.herb:.0f~P} {part.reserve:.0f~P}" for part in fractional(Q(1000, "g"))]
    ['500 g 200 mL', '300 g 300 mL', '200 g 500 mL']
    """
    return [Fraction(give(herb * a, "g"), give(herb * b, "mL")) for a, b in ((0.5, 0.2), (0.3, 0.3), (0.2, 0.5))]


@guarded(herb=WEIGHT, extract=WEIGHT.more_than_none, carrier=WEIGHT)
def drug_extract_ratio(herb: Any, extract: Any, carrier: Any = NONE) -> Any:
    """Herb for each part of extract: the number before the colon of "6.25 : 1".

    herb     weight of the dry herb, g, 0 or more
    extract  weight of the finished extract, g, more than 0
    carrier  part of it that is not from the herb, g, less than the extract; 0 for a genuine extract

    Result: plain number, herb / (extract - carrier); leave `carrier` at 0 for the total ratio.
    Refuses: WrongUnit, OutOfRange. Source: Ph. Eur. 0765 and EMA wording, from memory.

    >>> drug_extract_ratio(Q(200, "g"), Q(40, "g"), Q(8, "g")), drug_extract_ratio(Q(200, "g"), Q(40, "g"))
    (6.25, 5.0)
    """
    denied = first_refused(carrier >= extract, carrier, extract)
    if denied:
        where, (carried, whole) = denied
        raise OutOfRange(
            f"carrier{where}: {said(carried, 'g')} was given, and the whole extract is {said(whole, 'g')}. "
            "The carrier is a part of it, so less than that would work."
        )
    return plain(herb / (extract - carrier))


class MotherTincture(NamedTuple):
    """A fresh-plant mother tincture: ethanol to add (g), all the liquid (g) and its strength (percent_mass)."""

    ethanol: Any
    liquid: Any
    strength: Any


# How many times the plant's own water (loss on drying) is added as ethanol.
_TIMES = {"2a": 1.0, "3a": 2.0}


@guarded(fresh=WEIGHT.more_than_none, water=WATER, strength=STRENGTH)
def mother_tincture(fresh: Any, water: Any, method: str = "2a", strength: Any = ETHANOL_86) -> MotherTincture:
    """Ethanol for a fresh-plant mother tincture: as much as the plant holds water ("2a"), or twice that ("3a").

    fresh     weight of the fresh plant, g, more than 0
    water     its water (loss on drying), 0 to 95 % wb
    method    "2a": little juice, no essential oil or resin; "3a": essential oil or resin, or under 60 % water
    strength  of the ethanol, percent_mass or percent_vol, 0 to 100; 86 % by weight as the methods have it

    Result: MotherTincture(ethanol g, liquid g, strength percent_mass), by weight, so that nothing contracts.
    Refuses: WrongUnit, OutOfRange. Source: Ph. Eur. 2371 and German HAB, methods 1.1.3 (2a) and 1.1.5 (3a), both from
    memory; a public list that cites HAB 2010 agrees on the ratios and on 50.6 % vol for 2a.

    >>> made = mother_tincture(Q(1000, "g"), Q(75, "percent_wb"), "3a")
    >>> f"{made.ethanol:.0f~P}", f"{made.strength.magnitude:.2f}"
    ('1500 g', '57.33')
    """
    one_of("method", method, _TIMES)
    held = fresh * water / 100.0
    ethanol = _TIMES[method] * held
    share = _TIMES[method] / (1.0 + _TIMES[method])
    poured = to_mass(give(strength, "percent_vol")).magnitude
    return MotherTincture(give(ethanol, "g"), give(ethanol + held, "g"), give(poured * share, "percent_mass"))


RESIDUE = Kind("a share of dry residue", "", "0.024, which is 2.4 %", low=0.0, high=1.0, above=True, plain=True)


@guarded("g", filtrate=WEIGHT, found=RESIDUE, wanted=RESIDUE)
def diluting_ethanol(filtrate: Any, found: Any, wanted: Any) -> Any:
    """Ethanol that thins a tincture to the residue it should have.

    filtrate  weight of the tincture, g, 0 or more
    found     its dry residue (or assay), plain share, more than 0
    wanted    the residue it should have, plain share, more than 0

    Result: g of ethanol of the tincture's own strength, filtrate × (found - wanted)/wanted.
    Refuses: WrongUnit, OutOfRange; Impossible when less was found than is wanted.
    Source: Ph. Eur. 2371, adjustment, from memory.

    >>> f"{diluting_ethanol(Q(900, 'g'), 0.024, 0.02):.0f~P}"
    '180 g'
    """
    denied = first_refused(below(found, wanted), found, wanted)
    if denied:
        where, (has, wants) = denied
        raise Impossible(
            f"found{where}: a residue of {has:.3g} is below the {wants:.3g} wanted, and thinning only lowers it. "
            "A stronger lot to mix it with would work."
        )
    return np.maximum(filtrate * (found - wanted) / wanted, 0.0)
