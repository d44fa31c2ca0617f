"""Floor 4. The given things of the capstone: from a class code and a number to a stand, a shelf and an order.

Drawn as homework is (`draws.Seat`), so that each student has a plan of their own to write, the same on every machine.
All of it happens at Alder Lane, and is invented. A draw that no plan can meet is drawn again: for each, at least two
ways of making it stay within the stand and the budget and above the floor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any, NamedTuple, TypeVar

from herbcalc import harvest, menstruum, moisture
from herbcalc.batch import Order, packs_to_buy, walk_back
from herbcalc.homework.draws import REDRAWS, Seat, checked_number, normal_form
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible

EDITION = 1
LESSON = 14
FLOOR = 35.0  # % vol, by which the draws are tried; a class has its own
WAYS = 2  # of making it, at the least
KEPT_PRESSED, KEPT_BY_HAND, KEPT_DRAINED = 0.8, 1.6, 1.5  # mL/g: as in the house rules
DOUBT = 0.1  # share of the budget and the stand that is left for rounding up

_T = TypeVar("_T")


class Plant(NamedTuple):
    """A plant of Alder Lane: names, part, months, and between what its figures are drawn: water in %, g a plant."""

    common: str
    botanical: str
    part: str
    months: tuple[int, ...]
    water: tuple[int, int]
    per_plant: tuple[int, int]


class Bottle(NamedTuple):
    """A bottle of spirit on the shelf of a shop: % vol, mL, money."""

    strength: float
    holds: float
    price: float


PLANTS = (
    Plant("lemon balm", "Melissa officinalis", "leaf", (5, 6), (74, 84), (80, 230)),
    Plant("calendula", "Calendula officinalis", "flower", (7, 8), (78, 86), (40, 90)),
    Plant("elderflower", "Sambucus nigra", "flower", (5, 6), (74, 84), (150, 400)),
    Plant("elecampane", "Inula helenium", "root", (9, 10), (66, 76), (300, 700)),
    Plant("rosehip", "Rosa canina", "fruit", (9, 10), (56, 66), (200, 600)),
)
SIZES = (30.0, 50.0, 60.0, 100.0)
SHARES = (0.05, 0.1)
JARS = (500.0, 1000.0, 2000.0)
WEAK = ((40.0, 750.0), (40.0, 1000.0), (50.0, 750.0))
STRONG = ((75.5, 750.0), (95.0, 375.0), (95.0, 750.0))


@dataclass(frozen=True)
class Given:
    """What a student of the capstone is given. Weights in g, volumes in mL, money plain.

    plant            a Plant
    month            of the year
    count, share     plants in the stand, and the part of them that may go
    per_plant        what one weighed plant gave
    sample_fresh, sample_dry  the moisture sample, fresh and dried out
    shelf            the bottles of spirit in the shop
    jar              what a jar holds, to the brim
    press            whether there is a press
    percolator       whether there is a percolator
    kept             what the marc kept here last time with this gear, mL/g
    ordered, size    bottles, and what is filled into one
    glass            price of an empty bottle
    budget           money for spirit and bottles
    place            where the stand is; a class may have a place of its own (person/plants.py)
    """

    plant: Plant
    month: int
    count: int
    share: float
    per_plant: float
    sample_fresh: float
    sample_dry: float
    shelf: tuple[Bottle, ...]
    jar: float
    press: bool
    percolator: bool
    kept: float
    ordered: int
    size: float
    glass: float
    budget: int
    place: str = field(default="Alder Lane", repr=False)  # it is not drawn

    @property
    def water(self) -> float:
        """Moisture by the sample, % wb."""
        return float(moisture.water_content.plain(self.sample_fresh, self.sample_dry))

    def amounts(self) -> dict[str, Any]:
        """The same as a plan has them (`batch.pages`), but for the spirit, which is chosen."""
        return {
            "month": self.month,
            "count": self.count,
            "share": self.share,
            "per_plant": Q(self.per_plant, "g"),
            "sample_fresh": Q(self.sample_fresh, "g"),
            "sample_dry": Q(self.sample_dry, "g"),
            "ordered": self.ordered,
            "size": Q(self.size, "mL"),
            "glass": self.glass,
            "budget": self.budget,
            "jar": Q(self.jar, "mL"),
        }


@cache
def given(class_code: str, own_number: int, hemisphere: str = "north") -> Given:
    """The given things of one student.

    class_code  as typed; own_number from 1 to 99
    hemisphere  "north" or "south", where the same month of the plant comes half a year later

    Result: Given. Refuses: as `draws.normal_form` and `draws.checked_number`. Source: invented, at Alder Lane.

    >>> one = given("fern7", 3)
    >>> one == given("Fern 7", 3), one == given("fern7", 4)
    (True, False)
    """
    seat = Seat(EDITION, normal_form(class_code), checked_number(own_number), str(LESSON))
    for attempt in range(1, REDRAWS + 1):
        one = _drawn(seat, attempt)
        if one is not None:
            return one if hemisphere == "north" else replace(one, month=(one.month + 5) % 12 + 1)
    raise AssertionError(f"no plan for {seat}")  # a test draws them for 99 numbers of five classes


def _drawn(seat: Seat, attempt: int) -> Given | None:
    """One draw; None where too few plans could meet it."""

    def among(figure: str, options: Sequence[_T]) -> _T:
        return options[seat.place(attempt, figure, len(options))]

    plant = PLANTS[seat.turn("plant", len(PLANTS))]
    press, percolator = among("press", (True, False)), among("percolator", (True, False))
    weak, strong = among("weak", WEAK), among("strong", STRONG)
    fresh = float(among("sample", range(80, 151)))
    water = among("water", range(plant.water[0], plant.water[1] + 1))
    one = Given(
        plant=plant,
        month=among("month", plant.months),
        count=0,
        share=among("share", SHARES),
        per_plant=float(among("per plant", range(plant.per_plant[0], plant.per_plant[1] + 1, 5))),
        sample_fresh=fresh,
        sample_dry=float(round(fresh * (1.0 - water / 100.0))),
        shelf=(
            Bottle(*weak, among("weak price", range(14, 25)) + 0.5),
            Bottle(*strong, round(strong[0] * strong[1] / 95.0 / 750.0 * among("strong price", range(24, 40))) + 0.5),
        ),
        jar=among("jar", JARS),
        press=press,
        percolator=percolator,
        kept=KEPT_PRESSED if press else KEPT_BY_HAND,
        ordered=among("bottles", range(6, 17)),
        size=among("size", SIZES),
        glass=among("glass", (0.8, 0.9, 1.0, 1.2, 1.5)),
        budget=0,
    )
    found = sorted(ways(one), key=lambda way: way.fresh)
    if len(found) < WAYS:
        return None
    plants = harvest.plants_needed.plain((1.0 + DOUBT) * found[WAYS - 1].fresh, one.per_plant)
    count = int(harvest.plants_needed.plain(plants + among("spare", range(3)), 1.0, one.share))
    money = sorted(way.money for way in found if way.fresh <= found[WAYS - 1].fresh)[WAYS - 1]
    return replace(one, count=count + among("more", range(10)), budget=math.ceil((1.0 + DOUBT) * money))


class Way(NamedTuple):
    """One way of making it: how, and what it takes: fresh plant in g, and money."""

    order: Order
    bottle: Bottle
    fresh: float
    money: float


def ways(one: Given) -> Iterator[Way]:
    """Ways of meeting an order, whatever stand and budget allow: with each bottle of the shelf, fresh or dried,
    soaked and, where there is a percolator, dripped."""
    for bottle in one.shelf:
        for state, method, ratio, poured in _made(one, bottle):
            order = Order(
                one.ordered,
                Q(one.size, "mL"),
                state=state,
                method=method,
                ratio=Q(ratio, "mL/g"),
                spirit=Q(poured, "percent_vol"),
                floor=Q(FLOOR, "percent_vol"),
                water=Q(one.water, "percent_wb"),
                retained=Q(one.kept if method == "soak" else KEPT_DRAINED, "mL/g"),
            )
            try:
                batch = walk_back(order)
            except Impossible:
                continue
            strong = menstruum.cut(Q(bottle.strength, "percent_vol"), order.spirit, make=batch.menstruum).spirit
            packs = packs_to_buy(strong * (1.0 + DOUBT / 2.0), Q(bottle.holds, "mL"))
            money = packs * bottle.price + one.ordered * one.glass
            yield Way(order, bottle, float(batch.basket.fresh.magnitude), money)


def _made(one: Given, bottle: Bottle) -> Iterator[tuple[str, str, float, float]]:
    cut = min(bottle.strength, 50.0)
    yield "dried", "soak", 5.0, cut
    if one.percolator:
        yield "dried", "drip", 5.0, cut
    yield "fresh", "soak", 2.0, bottle.strength
