"""Sound plans, written as a person writes them: walked back from a drawn order, each amount rounded on its page, in
one system of units, fresh or dried, soaked or dripped, the spirit cut or not, and some boxes left empty."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from herbcalc import menstruum, moisture
from herbcalc.batch import Basket, Order, keeps_until, walk_back, walk_forward
from herbcalc.batch.links import RAIN_POINTS
from herbcalc.batch.money import Prices
from herbcalc.batch.stock import packs_to_buy
from herbcalc.harvest import plants_needed
from herbcalc.units import Q, amount
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import Way, sides

FL_OZ = 29.5735295625
SHELF = ((40.0, 750.0, 15.0), (50.0, 750.0, 19.5), (75.5, 750.0, 24.0), (95.0, 375.0, 18.0), (95.0, 750.0, 29.0))
EMPTY = ("plant_water", "kept", "tray", "water", "left", "spirit_cost", "rain_herb", "rain_tray", "out_low", "added")


class Writer:
    """Who writes a plan: in which units, and how it falls out where several ways are right."""

    def __init__(self, draw: np.random.Generator) -> None:
        self.draw, self.kitchen = draw, bool(draw.random() < 0.5)

    def __call__(self, number: float, unit: str, way: Way = "near") -> Any:
        """An amount as this person writes it."""
        texts = sides(Q(number, unit), way)
        return amount(texts[self.kitchen] or texts[0], {"g": "weight", "mL": "volume"}[unit])

    def line(self, number: float, unit: str) -> Any:
        """A line of a plan that is rounded already."""
        if not self.kitchen:
            return Q(number, unit)
        return Q(number, unit).to("oz" if unit == "g" else "quart" if number > 64.01 * FL_OZ else "fl_oz")

    def either(self, *ways: Any) -> Any:
        """One of several that are right."""
        return ways[int(self.draw.integers(len(ways)))]


def _bare(q: Any, unit: str) -> float:
    return float(q.to(unit).magnitude)


def _order(draw: np.random.Generator, shelf: float) -> tuple[Order, Any]:
    sample = float(draw.integers(60, 150))
    water = float(draw.uniform(60.0, 86.0))
    dry = round(sample * (1.0 - water / 100.0))
    state = str(draw.choice(["fresh", "dried"]))
    order = Order(
        int(draw.integers(4, 25)),
        Q(float(draw.choice((30, 50, 60, 100))), "mL")
        if draw.random() < 0.7
        else Q(float(draw.choice((1, 2, 4))), "fl_oz"),
        state=state,
        method="soak" if state == "fresh" or draw.random() < 0.6 else "drip",
        ratio=Q(float(draw.choice((2, 3, 4, 5, 6, 8))), "mL/g"),
        spirit=Q(float(shelf if draw.random() < 0.4 else min(shelf, draw.integers(38, 90))), "percent_vol"),
        water=Q(100.0 * (sample - dry) / sample, "percent_wb"),
        retained=Q(float(draw.choice((0.8, 1.0, 1.5, 2.0))), "mL/g"),
        per_plant=Q(float(draw.integers(40, 400)), "g"),
        stand=int(draw.integers(80, 2000)),
        share=float(draw.choice((0.05, 0.1, 0.3))),
    )
    return order, {"sample_fresh": Q(sample, "g"), "sample_dry": Q(float(dry), "g")}


def sound(count: int, seed: int = 1914) -> Iterator[dict[str, Any]]:
    """So many plans whose pages agree."""
    draw = np.random.default_rng(seed)
    while count:
        shelf, pack, price = SHELF[int(draw.integers(len(SHELF)))]
        order, sample = _order(draw, shelf)
        try:
            batch = walk_back(order)
        except Impossible:
            continue
        plan = written(batch, Writer(draw), shelf, pack, price) | sample
        if "rain_water" not in plan:
            continue
        for name in EMPTY:
            if draw.random() < 0.15:
                plan.pop(name, None)
        count -= 1
        yield plan


def written(
    batch: Any, by: Writer, shelf: float, pack: float, price: float, month: int = 0, glass: float = 0.0
) -> dict[str, Any]:
    """One plan, page by page, each amount from the one that was written before it."""
    order = batch.order
    herb_is = "dried herb" if order.state == "dried" else "fresh plant"
    side = "kitchen" if by.kitchen else "metric"
    lines = {line.what: getattr(line, side) for line in batch.plan}
    basket, herb = (by.line(lines[name], "g") for name in ("fresh plant", herb_is))
    poured, wet = (
        by.line(lines["menstruum"], "mL"),
        10.0 if order.state == "dried" else _bare(order.water, "percent_wb"),
    )
    cut = menstruum.cut(Q(shelf, "percent_vol"), order.spirit, make=poured)
    strong = by(_bare(cut.spirit, "mL"), "mL", "up")
    herb_g, poured_mL = _bare(herb, "g"), _bare(poured, "mL")
    brings = by(herb_g * wet / 100.0, "mL")
    keeps = _bare(order.retained, "mL/g") * herb_g * (1.0 if order.state == "dried" else 1.0 - wet / 100.0)
    counted = _bare(brings, "mL") if order.state == "fresh" else 0.0
    out = by(poured_mL + counted - keeps, "mL", "down")
    ends = by.either(batch.strength, batch.strength_measured)
    sure = batch.band
    bottles = int(lines["bottles"])
    glass = glass or float(by.draw.choice((0.9, 1.2, 1.5)))
    packs = packs_to_buy(strong, Q(pack, "mL"))
    spirit = by.either(packs * price, Prices(menstruum=price / pack).total(0.0, _bare(strong, "mL"), 0.0))
    total = round(spirit + bottles * glass, 2)
    month = month or int(by.draw.integers(4, 12))
    first = datetime.date(2026, month, int(by.draw.integers(1, 28)))
    days = {step.name: step.day for step in batch.calendar(first)}
    allowed, gather = int(lines["plants that may be taken"]), int(lines["plants to gather"])
    plan = {
        "month": month,
        "count": order.stand,
        "share": order.share,
        "per_plant": order.per_plant,
        "ordered": bottles,
        "size": order.bottle,
        "floor": order.floor,
        "budget": math.ceil(1.3 * total),
        "glass": glass,
        "shelf": Q(shelf, "percent_vol"),
        "pack": Q(pack, "mL"),
        "price": price,
        "allowed": allowed,
        "gather": gather,
        "left": order.stand - gather,
        "basket": basket,
        "state": order.state,
        "method": order.method,
        "water": Q(float(round(_bare(order.water, "percent_wb"), int(by.draw.integers(0, 2)))), "percent_wb"),
        "herb": herb,
        "ratio": order.ratio,
        "menstruum": poured,
        "poured": order.spirit,
        "strong": strong,
        "added": by(_bare(by.either(cut.water, cut.water_by_kitchen_rule), "mL"), "mL"),
        "retained": order.retained,
        "plant_water": brings,
        "kept": by(keeps, "mL"),
        "out": out,
        "out_low": by(sure.finished.low, "mL", "down"),
        "out_high": by(sure.finished.high, "mL", "up"),
        "strength": Q(by.either(math.floor, lambda n: round(n, 1))(float(ends.magnitude)), "percent_vol"),
        "strength_low": Q(math.floor(sure.strength.low), "percent_vol"),
        "strength_high": Q(math.ceil(sure.strength.high), "percent_vol"),
        "bottles": bottles,
        "label": Q(math.floor(sure.strength.low), "percent_vol"),
        "gathered": days["gather"],
        "put_up": days["put up"],
        "bottled": days["bottle"],
        "best_before": keeps_until("tincture", days["bottle"])[0],
        "packs": packs,
        "spirit_cost": round(spirit, 2),
        "glass_cost": round(bottles * glass, 2),
        "total": total,
        "each": round(total / bottles, 2),
    }  # fmt: skip
    if order.state == "dried":
        plan["tray"] = by.line(lines["weight of the dry tray"], "g")
    return plan | _rained(batch, plan, by)


def _rained(batch: Any, plan: dict[str, Any], by: Writer) -> dict[str, Any]:
    """The second column: the same basket, or plants enough for the same dry herb where the stand has them."""
    wetter = _bare(batch.order.water, "percent_wb") + RAIN_POINTS
    basket = plan["basket"]
    if batch.order.state == "dried" and by.draw.random() < 0.5:
        more = moisture.fresh_weight(plan["herb"], Q(wetter, "percent_wb"))
        plants = plants_needed(more, plan["per_plant"])
        if plants <= plan["allowed"]:
            basket = by(_bare(more, "g"), "g", "up")
    fields = batch.basket.shared | {"water": Q(wetter, "percent_wb")}
    after = walk_forward(Basket(basket, **fields))
    if not after.keeps or float(after.finished.magnitude) < 30.0:
        return {}
    told = {
        "rain_water": Q(float(round(wetter, 1)), "percent_wb"),
        "rain_basket": basket,
        "rain_gather": plants_needed(basket, plan["per_plant"]),
        "rain_herb": by(_bare(after.herb, "g"), "g", "down"),
    }
    if batch.order.state == "dried":
        told["rain_tray"] = by(_bare(after.herb, "g"), "g")
    again = walk_forward(replace(Basket(basket, **fields), fresh=_fresh_of(told["rain_herb"], fields)))
    return told | {
        "rain_menstruum": by(_bare(again.menstruum, "mL"), "mL"),
        "rain_out": by(_bare(again.finished, "mL"), "mL", "down"),
        "rain_strength": Q(round(float(again.strength.magnitude), 1), "percent_vol"),
        "rain_bottles": math.floor(float(again.finished / fields["bottle"])),
    }


def _fresh_of(herb: Any, fields: dict[str, Any]) -> Any:
    return moisture.fresh_weight(herb, fields["water"]) if fields["state"] == "dried" else herb
