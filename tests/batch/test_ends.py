"""Orders at every end of what may be asked: each is made, conserved and printed, or refused with ways that work."""

from __future__ import annotations

import datetime
import itertools

import pytest

from herbcalc.batch import Order, walk_back, walk_forward
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible
from tests.batch.test_plan import make, printed
from tests.batch.test_walk import balances

DAY = datetime.date(2026, 9, 28)
STATES = (("fresh", None), ("fresh", 0.0), ("fresh", 95.0), ("dried", None))


def ends():
    """Each end with each other end."""
    for (state, wilted), method, bottles, bottle, ratio, water, spirit in itertools.product(
        STATES, ("soak", "drip"), (1, 1000), (5.0, 1000.0), (0.5, 50.0), (0.0, 95.0), (30.0, 96.0)
    ):
        yield Order(
            bottles,
            Q(bottle, "mL"),
            state,
            method,
            Q(ratio, "mL/g"),
            spirit=Q(spirit, "percent_vol"),
            water=Q(water, "percent_wb"),
            wilted=None if wilted is None else Q(wilted, "percent_wb"),
        )


def walked(order):
    """The batch, or the ways out of one that cannot be made."""
    try:
        return walk_back(order), []
    except Impossible as no:
        return None, no.ways_out


def test_orders_at_every_end():
    made = refused = 0
    for order in ends():
        batch, ways = walked(order)
        if batch is None:
            refused += 1
            assert ways, order
            for way in ways:
                balances(walk_back(way))
            continue
        made += 1
        balances(batch)
        assert walk_forward(batch.basket).order.bottles == pytest.approx(order.bottles, rel=1e-9)
        for side in ("metric", "kitchen"):
            out, strengths = make(batch, printed(batch, side))
            assert out >= order.bottles * order.bottle.magnitude * (1 - 1e-9)
            assert strengths[0] >= 35 * (1 - 1e-9)
    assert made >= 40
    assert refused > 100


@pytest.mark.parametrize(
    ("order", "says"),
    [
        (Order(1, Q(5, "mL"), "fresh", "drip"), "cannot drip"),
        (Order(1000, Q(1, "L"), "fresh", "drip", wilted=Q(30, "percent_wb")), "cannot drip"),
        (Order(1000, Q(5, "mL"), spirit=Q(34, "percent_vol")), "has only 34 % vol before it meets the plant"),
        (Order(1, Q(1, "L"), "fresh", water=Q(95, "percent_wb"), ratio=Q(1, "mL/g")), "holds 95 % water"),
        (Order(1, Q(5, "mL"), ratio=Q(0.5, "mL/g")), "nothing comes out"),
    ],
)
def test_what_cannot_be_made_says_why_and_what_can(order, says):
    with pytest.raises(Impossible, match=says) as refusal:
        walk_back(order)
    assert refusal.value.ways_out
    assert {way.bottles for way in refusal.value.ways_out} == {order.bottles}


def test_nothing_is_lost_on_the_way():
    """What the stand gives and what is poured is what bottles, marc and air hold in the end, to the last gram."""
    for order in ends():
        batch, _ = walked(order)
        if batch is None:
            continue
        came = [row for row in batch.rows if row.place == "brought in"]
        there = [row for row in batch.rows if row.step == batch.rows[-1].step]
        for held in ("solids", "water", "alcohol"):
            brought = sum(getattr(row, held) for row in came)
            assert sum(getattr(row, held) for row in there) == pytest.approx(brought, rel=1e-12, abs=1e-9)
        assert came[0].solids + came[0].water == pytest.approx(batch.basket.fresh.magnitude, rel=1e-12)


@pytest.mark.parametrize("bottles", [1, 1000])
@pytest.mark.parametrize("state", ["fresh", "dried"])
def test_the_page_of_the_smallest_and_of_the_largest(bottles, state):
    page = walk_back(Order(bottles, Q(5 if bottles == 1 else 1000, "mL"), state)).sheet(DAY, picture="<svg></svg>")
    assert ("1 bottle of 5 mL" if bottles == 1 else "1,000 bottles of 1000 mL") in page
    assert page.index("<svg>") > page.index("Where it all goes")
    assert "less than" not in page or bottles == 1
    assert "0 g (0 oz)" not in page
