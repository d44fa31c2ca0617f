"""Floor 2. Soaking more than once: the same herb again, fresh herb again, and washing against the flow.

One idea carries all of it. Once a soak has evened out, the liquid is equally strong everywhere, so what the marc
keeps of the liquid it keeps of the extract, and the next portion thins it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

import numpy as np

from herbcalc.ethanol import STRENGTH, density
from herbcalc.menstruum import plant_water
from herbcalc.menstruum.ways_out import WayOut
from herbcalc.units.arrays import first_refused, plain, whole
from herbcalc.units.constants import RULES
from herbcalc.units.guard import NUMBER, RETAINED, VOLUME, WATER, WEIGHT, Kind, give, guarded
from herbcalc.units.refusals import Impossible, OutOfRange, one_of
from herbcalc.units.registry import Q
from herbcalc.units.saying import per_gram, said

DRIED = Q(0.0, "percent_wb")
TRACE = 1e-200  # mL; less is rounding, and would divide to more than a number can hold
SOAKS = Kind("a number of soaks", "", "2", low=1.0, high=1000.0, plain=True)


class Soaks(NamedTuple):
    """What each portion drew: liquid out (mL), share of the extract in it (plain), worth (g of herb in each mL).
    The portions run along the last axis. `left` is the share still in the marc."""

    out: Any
    share: Any
    worth: Any
    left: Any


@guarded(herb=WEIGHT.more_than_none, portions=VOLUME.listed, retained=RETAINED, water=WATER)
def same_herb_again(herb: Any, portions: Any, retained: Any, water: Any = DRIED) -> Soaks:
    """Each soak of the same herb, looked at by itself.

    herb      weight as weighed, g, more than 0
    portions  menstruum poured one after the other, mL, a list; the last axis is the order
    retained  what the marc keeps between soaks, mL for each g of dry plant, 0 or more
    water     the plant's water, 0 to 95 % wb; it joins the first portion

    Result: Soaks(out, share, worth, left); shares and `left` sum to 1. Refuses: WrongUnit, OutOfRange.
    Source: balance of ideal stages (standard in leaching).

    >>> drawn = same_herb_again(Q(100, "g"), Q([300.0, 200.0], "mL"), Q(1.5, "mL/g"))
    >>> drawn.share.round(3), drawn.worth.magnitude.round(3)
    (array([0.5  , 0.286]), array([0.333, 0.143]))
    """
    portions = np.atleast_1d(np.asarray(portions, dtype=float))
    keeps = retained * herb * (1.0 - water / 100.0)
    there = herb * water / 100.0  # liquid in the marc, at first the plant's own
    shape = np.broadcast_shapes(np.shape(keeps), portions.shape[:-1])
    left: Any = np.ones(shape)
    out, share = [], []
    for poured in np.moveaxis(portions, -1, 0):
        liquid = there + poured
        there = np.minimum(liquid, keeps)
        before = left
        some = liquid > TRACE
        left = left * np.where(some, there / np.where(some, liquid, 1.0), 1.0)
        out.append(liquid - there)
        share.append(before - left)
    empty = np.zeros((*shape, 0))
    out_, share_ = (np.stack(np.broadcast_arrays(*x), axis=-1) if x else empty for x in (out, share))
    some = out_ > TRACE
    worth = np.where(some, share_ * np.expand_dims(herb, -1) / np.where(some, out_, 1.0), 0.0)
    return Soaks(give(out_, "mL"), share_, give(worth, "g/mL"), plain(left))


@guarded(herb=WEIGHT.more_than_none, portions=VOLUME.listed, retained=RETAINED, water=WATER)
def share_extracted(herb: Any, portions: Any, retained: Any, water: Any = DRIED) -> Any:
    """Share of the herb's extract that ends in the bottle, after one soak or several.

    herb      weight as weighed, g, more than 0
    portions  menstruum poured one after the other, mL, a list; the last axis is the order
    retained  what the marc keeps between soaks, mL for each g of dry plant, 0 or more
    water     the plant's water, 0 to 95 % wb; it joins the first portion

    Result: plain number 0..1. A portion that the marc drinks whole draws nothing and stays for the next.
    Refuses: WrongUnit, OutOfRange. Source: balance of ideal stages (standard in leaching).

    >>> round(share_extracted(Q(100, "g"), Q([300.0, 200.0], "mL"), Q(1.5, "mL/g")), 3)
    0.786
    """
    return plain(1.0 - np.asarray(same_herb_again.plain(herb, portions, retained, water).left))


@guarded("mL", total=VOLUME, herb=WEIGHT.more_than_none, retained=RETAINED, soaks=SOAKS)
def best_split(total: Any, herb: Any, retained: Any, soaks: Any) -> Any:
    """How to split a given menstruum over several soaks so that it draws the most.

    total     menstruum in all, mL, more than the marc keeps
    herb      weight of the dry herb, g, more than 0
    retained  what the marc keeps, mL/g, 0 or more
    soaks     how many soaks, a whole number, 1 to 1000

    Result: mL, a list, largest first: the first portion carries what the marc will keep, then all press out equally.
    Refuses: WrongUnit, OutOfRange; Impossible when the marc keeps it all.
    Source: the split of double and triple maceration (principle in the Indian and British texts; rule from memory).

    >>> best_split(Q(500, "mL"), Q(100, "g"), Q(1.5, "mL/g"), 2).magnitude
    array([325., 175.])
    """
    n = _whole(soaks)
    keeps = retained * herb
    denied = first_refused(total <= keeps, total, keeps, retained)
    if denied:
        where, (has, kept, each) = denied
        raise Impossible(
            f"total{where}: the marc keeps {said(kept, 'mL')} and {said(has, 'mL')} is all there is, so nothing "
            f"comes out however it is split. The marc keeps {per_gram(each)}.",
            [
                WayOut("pour", give(kept, "mL"), f"Pour more than {said(kept, 'mL')}; twice that gives half back."),
                WayOut("drip", None, "Percolate: the same herb can be washed with little liquid."),
            ],
        )
    each_out = np.expand_dims((total - keeps) / n, -1)
    later = np.ones(n)
    later[0] = 0.0
    return each_out + np.expand_dims(keeps, -1) * (1.0 - later)


def _whole(soaks: Any) -> int:
    count = None if np.ndim(soaks) else whole(soaks)
    if count is None:
        raise OutOfRange("soaks: one whole number is wanted, such as 2.")
    return count


@guarded(total=VOLUME, herb=WEIGHT.more_than_none, retained=RETAINED)
def endless_soaks(total: Any, herb: Any, retained: Any) -> Any:
    """The share that ever more, ever smaller soaks come near to with the same menstruum.

    total     menstruum in all, mL, 0 or more
    herb      weight of the dry herb, g, more than 0
    retained  what the marc keeps, mL/g, 0 or more

    Result: plain number 0..1, 1 - e^(-(total - kept)/kept); 0 when the marc keeps it all.
    Refuses: WrongUnit, OutOfRange. Source: limit of `best_split`.

    >>> round(endless_soaks(Q(500, "mL"), Q(100, "g"), Q(1.5, "mL/g")), 3)
    0.903
    """
    keeps = retained * herb
    out = np.maximum(total - keeps, 0.0)
    all_out = out > 800.0 * keeps  # e^-800 is no number any more, and a marc that keeps nothing has no ratio
    share = -np.expm1(-np.where(all_out, 800.0, out) / np.where(all_out | (keeps == 0.0), 1.0, keeps))
    return plain(np.where(all_out, 1.0, share))


class Lots(NamedTuple):
    """The same liquid on one lot of fresh herb after another: liquid out (mL), worth (g of herb in each mL), strength
    (percent_vol, or None when none was given) and herb-worth in the bottle (g), each a list in order."""

    out: Any
    worth: Any
    strength: Any
    in_bottle: Any


@guarded(menstruum=VOLUME.more_than_none, herbs=WEIGHT, retained=RETAINED, water=WATER, strength=STRENGTH)
def fresh_herb_again(
    menstruum: Any, herbs: Any, retained: Any, water: Any = DRIED, strength: Any = None, rule: str = "kitchen"
) -> Lots:
    """The pressed liquid of one soak poured on new herb, and again.

    menstruum  poured on the first lot, mL, more than 0
    herbs      weight of each lot as weighed, g, a list in order
    retained   what the marc keeps, mL for each g of dry plant, 0 or more
    water      the plant's water, 0 to 95 % wb
    strength   of the menstruum, percent_vol, 0 to 100; left out, no strengths are given
    rule       "kitchen" (volumes simply add) or "measured" (masses add; needs a strength)

    Result: Lots(out, worth, strength, in_bottle). A lot that drinks all there is ends the list with 0 mL.
    Refuses: WrongUnit, OutOfRange. Source: balance of ideal stages; density by OIML R 22 for the measured rule.

    >>> lots = fresh_herb_again(Q(500, "mL"), Q([100.0, 100.0], "g"), Q(1.5, "mL/g"))
    >>> lots.out.magnitude, lots.worth.magnitude.round(3)
    (array([350., 200.]), array([0.2  , 0.486]))
    """
    one_of("rule", rule, RULES)
    if rule == "measured" and strength is None:
        raise OutOfRange("rule: the measured rule weighs the liquids, so it needs their strength, such as 95 % vol.")
    if any(np.ndim(x) for x in (menstruum, retained, water)) or (strength is not None and np.ndim(strength)):
        raise OutOfRange("Only `herbs` may be a list here: one jar of liquid goes from lot to lot.")
    rows = []
    for row in lot_after_lot(menstruum, np.atleast_1d(herbs), retained, water, strength, rule):
        rows.append(row)
        if row[0] == 0.0:
            break
    out, worths, strengths, bottle = (np.array(column) for column in zip(*rows, strict=True)) if rows else _NO_LOTS
    return Lots(
        give(out, "mL"),
        give(worths, "g/mL"),
        None if strength is None else give(strengths, "percent_vol"),
        give(bottle, "g"),
    )


def lot_after_lot(
    menstruum: Any, herbs: Iterable[Any], retained: Any, water: Any, strength: Any, rule: str
) -> Iterator[tuple[Any, Any, Any, Any]]:
    """The sums of `fresh_herb_again`, bare, for one jar or for a list of jars: of each lot what comes out (mL), its
    worth (g/mL), its strength (% vol or None) and the worth in the bottle (g). A lot that finds no liquid gives none;
    the last drop there was is as strong and as rich as it was.
    """
    liquid, now = menstruum, strength
    worth: Any = 0.0
    for herb in herbs:
        own = herb * water / 100.0
        extract, mixed = worth * liquid + herb, liquid + own
        some = liquid > 0.0
        if now is not None:
            before, now = (
                now,
                np.where(some, plant_water.final(herb, water, np.where(some, liquid, 1.0), now, rule), now),
            )
            if rule == "measured":  # the mixture shrinks: its volume is its mass over its density
                mixed = (liquid * _density(before) + own) / _density(now)
        worth = np.where(some, extract / np.where(some, mixed, 1.0), worth)
        liquid = np.where(some, np.maximum(mixed - retained * herb * (1.0 - water / 100.0), 0.0), 0.0)
        yield liquid, worth, now, worth * liquid


def _density(strength: Any) -> Any:
    return density(give(strength, "percent_vol")).magnitude / 1000.0


_NO_LOTS = (np.zeros(0),) * 4


@guarded(passing=NUMBER.within(0.0, 1000.0), stages=NUMBER.within(1.0, 50.0))
def countercurrent(passing: Any, stages: Any) -> Any:
    """Share recovered when fresh menstruum meets the most spent marc first and works its way forward.

    passing  liquid passing from stage to stage / liquid kept in the marc, plain, 0 to 1000, the same for every stage
    stages   how many washings, a whole number, 1 to 50

    Result: plain number 0..1, 1 - 1/(1 + R + R² + ... + R^n). Refuses: WrongUnit, OutOfRange.
    Source: Coulson and Richardson vol. 2, washing with constant underflow (from memory; the balances are tested).

    >>> round(countercurrent(2, 3), 6)
    0.933333
    """
    powers = np.asarray(passing, dtype=float)[..., None] ** np.arange(_whole(stages) + 1.0)
    return plain(1.0 - 1.0 / powers.sum(axis=-1))
