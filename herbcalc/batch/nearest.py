"""Floor 3. The nearest orders that can be made, for one that cannot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from herbcalc import harvest, menstruum
from herbcalc.batch.dates import Days
from herbcalc.batch.figures import Stopped, back, forward, kept_each, on_tray, poured, read, water_in_jar
from herbcalc.batch.money import Prices
from herbcalc.batch.order import Basket, Making, Order
from herbcalc.menstruum.ways_out import SHELF_END, up
from herbcalc.units.arrays import above, counted
from herbcalc.units.guard import give
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import per_gram, said

PRESSED = 0.8  # mL/g that a good press leaves in the marc (M. Moore, Herbal Materia Medica, 5th ed.)
LEAST_WILTED = 20.0  # percent_wb: what is drier is dried, not wilted; common practice, no source
CHANGES = 3  # how many changes a way out may make
MOST_WAYS = 6


@dataclass(frozen=True)
class Nearest(Order):
    """An order that can be made, in place of one that cannot. It is an `Order`, and carries what it takes.

    text       what changes, and what that takes, in a sentence
    herb       as it goes into the jar, g
    fresh      the basket for it, g
    menstruum  of the spirit, mL
    days       from the basket to the bottle, plain
    money      for herb, spirit and glass, plain; None where no prices were given
    """

    text: str = ""
    herb: Any = None
    fresh: Any = None
    menstruum: Any = None
    days: int = 0
    money: float | None = None


def nearest(order: Order, days: Days, prices: Prices | None) -> list[Nearest]:
    """Whole orders that can be made, those with the fewest changes first; none where nothing is near."""
    return [_told(order, way, days, prices) for way in _search(order)]


def forward_ways(basket: Basket, days: Days, prices: Prices | None) -> list[Nearest]:
    """The same for a basket: what can be made of it. It is gathered, so no stand is looked at any more."""
    one = Order(bottles=1, **{**basket.shared, "stand": None, "share": None})
    ways = []
    for way in _search(one):
        bottles = forward(Basket(fresh=basket.fresh, **way.shared)).bottles
        ways.append(_told(replace(one, bottles=bottles), replace(way, bottles=bottles), days, prices))
    return ways


def _search(order: Order) -> list[Order]:
    """One change against what stops it, and where none will do, one more; every order is tried once."""
    found: list[Order] = []
    tried = [order]
    row = [(order, cause)] if (cause := _stopped_by(order)) else []
    for _ in range(CHANGES):
        later: list[tuple[Order, str]] = []
        for one, why in row:
            for other in _AGAINST[why](one):
                if other in tried:
                    continue
                tried.append(other)
                if cause := _stopped_by(other):
                    later.append((other, cause))
                else:
                    found.append(other)
        if found:
            break
        row = later
    return found[:MOST_WAYS]


def _stopped_by(order: Order) -> str:
    """What stops this order, as in `Stopped`; "" where nothing does."""
    try:
        back(order)
    except Stopped as refusal:
        return refusal.cause
    return ""


def _against_fresh_drip(order: Order) -> Iterator[Order]:
    yield _dried(order)
    yield replace(order, method="soak")


def _against_nothing_out(order: Order) -> Iterator[Order]:
    yield from _wider(order, float(np.floor(max(kept_each(order), 0.0))) + 2.0)
    if order.number("retained") > PRESSED and order.method == "soak":
        yield replace(order, retained=give(PRESSED, "mL/g"))
    if order.state == "fresh":
        yield _dried(order)
    elif order.convention == "added":
        yield replace(order, method="drip", convention="finished")


def _against_the_floor(order: Order) -> Iterator[Order]:
    wet, spirit, floor = water_in_jar(order), order.number("spirit"), order.number("floor")
    each = poured(order)
    if above(spirit, floor):
        least = menstruum.smallest_ratio.plain(wet, spirit, floor)
        yield from _wider(order, float(least))
    try:
        stronger = up(float(menstruum.strength_to_pour.plain(each, wet, floor)), 0.1)
    except Impossible:  # no spirit at all would do at this ratio: then the other changes have to
        stronger = 100.0
    if stronger <= SHELF_END:
        yield replace(order, spirit=give(stronger, "percent_vol"))
    elif above(SHELF_END, spirit):
        yield replace(order, spirit=give(SHELF_END, "percent_vol"))
    if order.state == "fresh":
        yield from _wilted(order)
        yield _dried(order)


def _dried(order: Order) -> Order:
    return replace(order, state="dried", wilted=None)


def _wilted(order: Order) -> Iterator[Order]:
    """The wettest that it may still be, in whole percents; none where it would have to be dry."""
    low, high = LEAST_WILTED - 1.0, float(np.ceil(water_in_jar(order)))
    while high - low > 1.0:  # drier is stronger: what is kept at `low` is not at `high`
        middle = float(np.floor((low + high) / 2.0))
        kept = _stopped_by(replace(order, wilted=give(middle, "percent_wb"))) != "floor"
        low, high = (middle, high) if kept else (low, middle)
    if low >= LEAST_WILTED:
        yield replace(order, wilted=give(low, "percent_wb"))


def _against_the_stand(order: Order) -> Iterator[Order]:
    stand, per_plant = order.number("stand"), order.number("per_plant")
    share = order.of_stand
    basket = float(harvest.largest_batch.plain(stand, share, per_plant))
    if basket > 0.0:
        bottles = counted(forward(Basket(fresh=give(basket, "g"), **order.shared)).bottles, np.floor)
        if bottles:
            yield replace(order, bottles=bottles)
        yield from _wider(order, _thinner(order, basket))
    if order.number("retained") > PRESSED and order.method == "soak":
        yield replace(order, retained=give(PRESSED, "mL/g"))
    needed = harvest.plants_needed.plain(_fresh_of(order), per_plant)
    if share > 0.0:
        yield replace(order, stand=harvest.plants_needed.plain(float(needed), 1.0, share))
    yield replace(order, stand=None, share=None)


def _fresh_of(order: Order) -> float:
    """The basket that this order needs, whatever the stand says."""
    return back(replace(order, stand=None, share=None)).fresh


def _thinner(order: Order, basket: float) -> float:
    """Menstruum for each gram at which this basket fills the bottles, mL/g."""
    made = forward(Basket(fresh=give(basket, "g"), **order.shared))
    return order.number("bottles") * order.number("bottle") / made.herb + kept_each(order)


def _wider(order: Order, each: float) -> Iterator[Order]:
    """More menstruum for each gram: at least `each`, in the reading of the order, to the next tenth."""
    try:
        least = read(order, each, "added", order.convention)
    except Impossible:  # nothing comes out at that: no reading of it either
        return
    ratio = up(least, 0.1)
    if above(ratio, order.number("ratio")):
        yield replace(order, ratio=give(ratio, "mL/g"))


_AGAINST = {
    "fresh drip": _against_fresh_drip,
    "nothing out": _against_nothing_out,
    "floor": _against_the_floor,
    "stand": _against_the_stand,
}


def _told(asked: Order, way: Order, days: Days, prices: Prices | None) -> Nearest:
    """The way as an order of its own, with what it takes."""
    found = back(way)
    takes = days.of(way)["bottle"]
    money = None if prices is None else prices.total(found.herb, found.menstruum, way.number("bottles"))
    herb = give(found.herb, "g")
    poured_ = give(found.menstruum, "mL")
    changes = "; ".join(_said(asked, way))
    herb_said = "dried herb" if way.state == "dried" else "wilted plant" if on_tray(way) else "fresh plant"
    text = (
        f"{changes[0].upper()}{changes[1:]}. That takes {said(found.herb, 'g')} of "
        f"{herb_said}, {said(found.menstruum, 'mL')} of "
        f"{said(way.number('spirit'), 'percent_vol')} and {takes} days"
        f"{'' if money is None else f', and costs {money:.2f}'}."
    )
    own = {name: getattr(way, name) for name in ("bottles", *way.shared)}
    return Nearest(
        **own, text=text, herb=herb, fresh=give(found.fresh, "g"), menstruum=poured_, days=takes, money=money
    )


def _said(asked: Making, way: Making) -> list[str]:
    """Each change in a few words."""
    words = {
        "bottles": lambda: f"make {way.number('bottles'):,.0f} instead of {asked.number('bottles'):,.10g}",
        "state": lambda: "dry the plant first",
        "method": lambda: "soak it" if way.method == "soak" else "let it drip, as a dry powder",
        "ratio": lambda: f"make it 1:{said(way.number('ratio'), '')}",
        "convention": lambda: "count the ratio by the finished liquid",
        "spirit": lambda: f"pour a spirit of {way.number('spirit'):g} % vol",
        "wilted": lambda: f"wilt the plant to {said(way.number('wilted'), 'percent_wb')} first",
        "retained": lambda: f"press until the marc keeps {per_gram(way.number('retained'))}",
        "stand": lambda: (
            "take the plant from a garden or a grower"
            if way.bare["stand"] is None
            else f"look for a stand of {way.number('stand'):,.0f} plants"
        ),
    }
    changed = [name for name in words if getattr(asked, name) != getattr(way, name)]
    if "state" in changed and "wilted" in changed:  # what is dried needs no word that it does not wilt
        changed.remove("wilted")
    return [words[name]() for name in changed]
