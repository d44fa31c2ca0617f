"""One walk undoes the other, the ledger balances, and the facts of the trade come out."""

from __future__ import annotations

import re
from dataclasses import fields, replace

import numpy as np
import pytest

from herbcalc import compare, ethanol, maceration, menstruum, percolation
from herbcalc.batch import Basket, Nearest, Order, Prices, walk_back, walk_forward
from herbcalc.batch.order import Making
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit
from tests.batch.orders import any_order, makeable

TEN = Order(10, Q(50, "mL"))


def test_a_thousand_orders_walk_back_and_forward_again():
    for order in makeable(1000):
        back = walk_back(order)
        there = walk_forward(back.basket).order
        assert there.bottles == pytest.approx(order.bottles, rel=1e-9)
        for part in fields(Making):
            assert part.name == "bare" or getattr(there, part.name) == getattr(order, part.name), part.name
        balances(back)


def balances(batch):
    """Every step holds what the one before held, and what it brought in itself."""
    held = np.zeros(3)
    steps = dict.fromkeys(row.step for row in batch.rows)
    for step in steps:
        rows = [row for row in batch.rows if row.step == step]
        came = sum((np.array(row[2:]) for row in rows if row.place == "brought in"), np.zeros(3))
        there = sum((np.array(row[2:]) for row in rows if row.place != "brought in"), np.zeros(3))
        np.testing.assert_allclose(there, held + came, rtol=1e-12, atol=1e-9)
        assert all(number >= 0.0 for row in rows for number in row[2:]), (step, rows)
        held = there


def test_the_ledger_as_a_table():
    table = walk_back(TEN).ledger
    assert list(table.columns) == ["step", "place", "solids (g)", "water (g)", "alcohol (g)"]
    assert list(dict.fromkeys(table["step"])) == ["gather", "dry", "put up", "press"]
    # 642.9 g at 80 % water; 714.3 mL of 50 % vol hold 357.1 mL of alcohol, 0.78924 g each
    first, poured = table.iloc[0], table[(table["step"] == "put up") & (table["place"] == "brought in")].iloc[0]
    assert first[["solids (g)", "water (g)"]].tolist() == pytest.approx([128.571, 514.286], abs=1e-3)
    assert poured["alcohol (g)"] == pytest.approx(357.143 * 0.78924, abs=1e-2)
    assert poured["water (g)"] == pytest.approx(714.286 * 0.93014 - poured["alcohol (g)"], abs=1e-2)
    last = table[table["step"] == "press"].set_index("place")
    assert list(last.index) == ["bottles", "marc", "air"]
    assert last.loc["bottles", "solids (g)"] == 0.0
    assert last.loc["air", "water (g)"] == pytest.approx(500.0)
    # all the liquid is 714.3 + 14.3 mL, and 500 of it are in the bottles
    assert last.loc["bottles", "alcohol (g)"] == pytest.approx(poured["alcohol (g)"] * 500 / 728.571, abs=1e-2)


def test_bottles_and_marc_are_equally_strong_by_mass():
    for order in makeable(20, seed=3):
        batch = walk_back(order)
        rows = {row.place: row for row in batch.rows if row.step in ("press", "drip")}
        shares = [rows[p].alcohol / (rows[p].alcohol + rows[p].water) for p in ("bottles", "marc")]
        assert shares[0] == pytest.approx(shares[1], rel=1e-6)
        measured = ethanol.to_mass(batch.strength_measured).magnitude / 100
        assert shares[0] == pytest.approx(measured, abs=1e-9)


# facts of the trade


def test_dried_one_in_five():
    batch = walk_back(TEN)
    assert batch.herb.magnitude == pytest.approx(142.857, abs=1e-3)  # 500 mL out, the marc keeps 1.5: 142.9 g
    assert batch.basket.fresh.magnitude == pytest.approx(142.857 * 4.5, abs=1e-3)  # 80 to 10 % water: 4.5 to 1
    assert batch.finished.magnitude == pytest.approx(500)
    assert batch.share == pytest.approx(0.7)
    weak = walk_forward(Basket(Q(450, "g"), Q(50, "mL"), spirit=Q(40, "percent_vol")))
    assert weak.strength.magnitude == pytest.approx(39.2, abs=0.05)  # 100 g at 10 %, 500 mL of 40


@pytest.mark.parametrize(
    ("spirit", "ratio", "kitchen", "measured"),
    [(40, 2, 28.6, 28.6), (50, 2, 35.7, 35.9), (75.5, 2, 53.9, 54.7), (95, 2, 67.9, 69.5), (95, 1, 52.8, 54.3)],
)
def test_a_fresh_plant_brings_its_water(spirit, ratio, kitchen, measured):
    basket = Basket(Q(100, "g"), Q(50, "mL"), "fresh", ratio=Q(ratio, "mL/g"), spirit=Q(spirit, "percent_vol"))
    batch = walk_forward(basket)
    assert batch.strength.magnitude == pytest.approx(kitchen, abs=0.1)
    assert batch.strength_measured.magnitude == pytest.approx(measured, abs=0.1)
    assert batch.keeps == (kitchen >= 35)
    assert batch.finished.magnitude == pytest.approx(100 * ratio + 80 - 30)


def test_fresh_is_what_the_marc_and_the_convention_make_of_it():
    """A fresh 1:2 at 80 % is 1:14 by its dry plant, and 2.5 mL come out of each gram."""
    dry = replace(TEN, state="fresh", ratio=Q(14, "mL/g"), convention="dry")
    out = replace(TEN, state="fresh", ratio=Q(2.5, "mL/g"), convention="finished")
    for order in (dry, out):
        batch = walk_back(order)
        assert batch.herb.magnitude == pytest.approx(200)
        assert batch.menstruum.magnitude == pytest.approx(400)


def test_a_drip_to_one_in_five_needs_what_the_marc_keeps_on_top():
    batch = walk_back(replace(TEN, method="drip", convention="finished"))
    assert (batch.herb.magnitude, batch.menstruum.magnitude) == (pytest.approx(100), pytest.approx(650))
    assert batch.share == pytest.approx(float(percolation.share_after(Q(5, "mL/g"))))


def test_the_walk_agrees_with_the_lesson_on_soak_or_drip():
    ways = compare.ways(same="bottle", bottled=Q(500, "mL"), ratio=Q(5, "mL/g"), retained=Q(1.5, "mL/g"), price=0.02)
    for method, convention in (("soak", "added"), ("drip", "finished")):
        batch = walk_back(replace(TEN, method=method, convention=convention))
        row = ways[method]
        assert batch.herb.magnitude == pytest.approx(row["herb (g)"])
        assert batch.menstruum.magnitude == pytest.approx(row["menstruum (mL)"])
        assert batch.share == pytest.approx(row["share of extract"])
        cost = batch.cost({"menstruum": 0.02})
        assert cost.in_marc == pytest.approx(0.02 * row["left in marc (mL)"])
        assert cost.each_worth == pytest.approx(row["cost per g-worth"])


def test_cost():
    prices = {"menstruum": 25 / 750, "herb": 0.08, "glass": 1.2}
    batch = walk_back(TEN)
    cost = batch.cost(prices)
    assert cost == batch.cost(Prices(**prices))
    assert cost.menstruum == pytest.approx(714.286 / 30, abs=1e-3)
    assert cost.total == pytest.approx(714.286 / 30 + 142.857 * 0.08 + 12, abs=1e-3)
    assert cost.each_mL == pytest.approx((cost.total - 12) / 500)
    assert cost.each_bottle == pytest.approx(cost.total / 10)
    # $25 for 750 mL of 95 % vol is 3.5 c for each mL of alcohol
    strong = walk_back(replace(TEN, spirit=Q(95, "percent_vol"))).cost(prices)
    # Of fresh leaf the marc keeps plant water too: 100 g at 1:2 is 280 mL, 30 stay, and 200/280 of that was bought
    fresh = walk_forward(Basket(Q(100, "g"), Q(50, "mL"), "fresh", ratio=Q(2, "mL/g"))).cost({"menstruum": 0.02})
    assert fresh.in_marc == pytest.approx(0.02 * 30 * 200 / 280)
    assert strong.each_mL_of_alcohol == pytest.approx(0.0351, abs=5e-5)
    half = walk_forward(Basket(Q(650, "g"), Q(50, "mL"))).cost({"glass": 1.0})
    assert half.glass == 11.0  # the eleventh is begun
    nothing = walk_forward(Basket(Q(100, "g"), Q(50, "mL"), ratio=Q(1, "mL/g"))).cost(prices)
    assert (nothing.each_mL, nothing.each_worth) == (float("inf"), float("inf"))
    with pytest.raises(OutOfRange, match="herb"):
        batch.cost({"herbs": 1.0})
    for bad in (3.0, {"herb": Q(1, "g")}):
        with pytest.raises(WrongUnit):
            batch.cost(bad)


# impossible orders

NEAR = {
    "fresh and drip": replace(TEN, state="fresh", method="drip"),
    "fresh and drip, weak": replace(
        TEN, state="fresh", method="drip", ratio=Q(2, "mL/g"), spirit=Q(40, "percent_vol")
    ),
    "under the floor": replace(TEN, state="fresh", ratio=Q(2, "mL/g"), spirit=Q(40, "percent_vol")),
    "floor above the spirit": replace(TEN, spirit=Q(30, "percent_vol")),
    "floor at the spirit": replace(TEN, spirit=Q(35, "percent_vol")),
    "nothing out": replace(TEN, ratio=Q(1, "mL/g")),
    "just nothing out": replace(TEN, ratio=Q(1.5, "mL/g")),
    "no room": replace(TEN, state="fresh", ratio=Q(4, "mL/g"), convention="dry"),
    "stand too small": replace(TEN, per_plant=Q(100, "g"), stand=30, share=0.1),
    "stand that gives nothing": replace(TEN, per_plant=Q(100, "g"), stand=8, share=0.1),
    "share of none": replace(TEN, per_plant=Q(100, "g"), stand=8, share=0.0),
    "floor that one spirit reaches": replace(TEN, state="fresh", floor=Q(60, "percent_vol"), ratio=Q(1, "mL/g")),
}


@pytest.mark.parametrize("order", NEAR.values(), ids=NEAR.keys())
def test_the_nearest_orders_can_be_made_as_they_say(order):
    prices = Prices(menstruum=0.02, herb=0.08, glass=1.2)
    with pytest.raises(Impossible) as refusal:
        walk_back(order, prices)
    assert refusal.value.ways_out
    for way in refusal.value.ways_out:
        assert isinstance(way, Order)
        assert isinstance(way, Nearest)
        batch = walk_back(way)
        assert batch.keeps
        assert batch.finished.magnitude == pytest.approx(way.bottles * way.bottle.to("mL").magnitude)
        assert (way.herb, way.menstruum, way.fresh) == (batch.herb, batch.menstruum, batch.basket.fresh)
        assert way.money == pytest.approx(batch.cost(prices).total)
        assert way.days == batch.days.of(way)["bottle"]
        assert way.bottle == order.bottle
        assert way.floor == order.floor


def first(order):
    with pytest.raises(Impossible) as refusal:
        walk_back(order)
    return refusal.value.ways_out


def test_the_nearest_orders_are_near():
    wider, stronger, wilted, dried = first(NEAR["under the floor"])
    assert (wider.ratio, stronger.spirit, dried.state) == (Q(5.6, "mL/g"), Q(49, "percent_vol"), "dried")
    assert (wilted.wilted, wilted.state, dried.wilted) == (Q(28, "percent_wb"), "fresh", None)
    assert [way.text.split(".")[0] for way in first(NEAR["fresh and drip"])] == ["Dry the plant first", "Soak it"]
    fewer, thinner, larger, grower = first(NEAR["stand too small"])
    assert (fewer.bottles, larger.stand, grower.stand) == (4, 70, None)
    assert thinner.ratio.magnitude == pytest.approx(500 / (300 / 4.5) + 1.5, abs=0.1)
    # no marc keeps so much that a drip could not bring 1:1 of it
    assert [way.method for way in first(NEAR["nothing out"])][-1] == "drip"


def test_pressing_is_offered_only_where_it_is_enough():
    ways = first(replace(NEAR["stand too small"], stand=60))  # 600 g, and 536 g are enough when it is pressed
    assert [way.retained.magnitude for way in ways] == [1.5, 1.5, 0.8, 1.5, 1.5]
    assert all(way.retained.magnitude == 1.5 for way in first(NEAR["stand too small"]))


def test_every_way_out_of_any_order_can_be_walked():
    draw = np.random.default_rng(5)
    none = 0
    for _ in range(400):
        order = any_order(draw)
        try:
            walk_back(order)
        except Impossible as no:
            none += not no.ways_out
            for way in no.ways_out:
                walk_back(way)
    assert none == 0


def test_what_no_spirit_reaches_has_no_way_out():
    assert first(replace(TEN, floor=Q(99, "percent_vol"))) == []


def test_a_basket_that_cannot_be_made():
    basket = Basket(Q(1, "kg"), Q(50, "mL"), "fresh", "drip", per_plant=Q(100, "g"), stand=5)
    with pytest.raises(Impossible) as refusal:
        walk_forward(basket)
    dried, soaked = refusal.value.ways_out
    assert (dried.state, soaked.method) == ("dried", "soak")
    for way in (dried, soaked):
        assert walk_back(way).basket.fresh.to("g").magnitude == pytest.approx(1000)


def test_forward_tells_the_truth():
    drunk = walk_forward(Basket(Q(100, "g"), Q(50, "mL"), ratio=Q(1, "mL/g")))
    assert (drunk.order.bottles, drunk.finished.magnitude, drunk.share) == (0.0, 0.0, 0.0)
    balances(drunk)
    many = walk_forward(Basket(Q(1, "kg"), Q(50, "mL"), per_plant=Q(100, "g"), stand=30, share=0.1))
    assert many.harvest.needed == 10
    assert not many.harvest.enough
    with pytest.raises(OutOfRange, match="none was ordered"):
        walk_back(drunk.order)


# wilted first


def test_a_plant_wilts_as_far_as_it_must_and_no_further():
    """Fresh leaf of 80 % water at 1:2 in 40 % vol: 28.6 % is the wettest that ends at 35."""
    asked = NEAR["under the floor"]
    way = next(way for way in first(asked) if way.wilted is not None)
    assert way.text.startswith("Wilt the plant to 28 % water first. That takes ")
    assert "of wilted plant" in way.text
    batch = walk_back(way)
    assert batch.strength.magnitude == pytest.approx(40 * 2 / 2.28, abs=1e-9)
    # 72 of 100 g are solids then, and 20 were: 3.6 times as much is gathered; under half water a day will not do
    assert batch.basket.fresh.magnitude == pytest.approx(3.6 * batch.herb.magnitude)
    assert way.days == batch.days.soak + batch.days.drying
    assert batch.days.of(replace(batch.order, wilted=Q(50, "percent_wb")))["put up"] == 1
    with pytest.raises(Impossible):
        walk_back(replace(asked, wilted=Q(29, "percent_wb")))


def test_what_the_air_takes_from_a_wilted_plant():
    batch = walk_back(replace(TEN, state="fresh", spirit=Q(75.5, "percent_vol"), wilted=Q(60, "percent_wb")))
    table = batch.ledger
    assert list(dict.fromkeys(table["step"])) == ["gather", "wilt", "put up", "press"]
    air = table[table["place"] == "air"]["water (g)"].iloc[-1]
    assert air == pytest.approx(batch.basket.fresh.magnitude - batch.herb.magnitude)
    assert batch.herb.magnitude == pytest.approx(batch.basket.fresh.magnitude / 2)  # 20 of 100, 20 of 50
    # of each gram 5 mL are poured, 0.6 come with the plant, and 0.4 × 1.5 stay
    assert batch.finished.magnitude == pytest.approx(batch.herb.magnitude * 5)
    balances(batch)


def test_a_plant_that_is_drier_than_it_should_wilt_goes_in_as_it_is():
    as_it_is = replace(TEN, state="fresh", water=Q(50, "percent_wb"))
    for wilted in (50, 70):
        batch = walk_back(replace(as_it_is, wilted=Q(wilted, "percent_wb")))
        assert batch.basket.fresh.magnitude == pytest.approx(walk_back(as_it_is).basket.fresh.magnitude)
        assert "wilt" not in list(batch.ledger["step"])
        assert batch.days.of(batch.order)["put up"] == 0


def test_every_wilted_way_out_is_the_wettest_whole_percent():
    draw = np.random.default_rng(12)
    seen = 0
    for _ in range(300):
        order = replace(any_order(draw), state="fresh", method="soak", wilted=None, stand=None, share=None)
        try:
            walk_back(order)
        except Impossible as no:
            for way in no.ways_out:
                if way.wilted is not None and replace(order, wilted=way.wilted) == Order(
                    **{part.name: getattr(way, part.name) for part in fields(Order) if part.init}
                ):
                    seen += 1
                    with pytest.raises(Impossible):
                        walk_back(replace(order, wilted=way.wilted + Q(1, "percent_wb")))
    assert seen > 10


def test_dried_as_far_as_the_house_says():
    for to, ratio in ((8.0, 0.92), (10.0, 0.90), (13.0, 0.87)):
        batch = walk_back(replace(TEN, dried_to=Q(to, "percent_wb")))
        assert batch.basket.fresh.magnitude == pytest.approx(batch.herb.magnitude * ratio / 0.2)


# the ends of the range


@pytest.mark.parametrize("bottles", [1, 1000])
@pytest.mark.parametrize("bottle", [Q(5, "mL"), Q(1, "L")])
@pytest.mark.parametrize("state", ["fresh", "dried"])
def test_small_and_large(bottles, bottle, state):
    order = Order(bottles, bottle, state, spirit=Q(96, "percent_vol"), water=Q(95, "percent_wb"))
    batch = walk_back(order)
    assert walk_forward(batch.basket).order.bottles == pytest.approx(bottles, rel=1e-9)
    balances(batch)


def test_a_plant_drier_than_dried_herb_stays_as_it_is():
    batch = walk_back(replace(TEN, water=Q(0, "percent_wb")))
    assert batch.basket.fresh.magnitude == pytest.approx(batch.herb.magnitude)
    assert batch.strength.magnitude == pytest.approx(50)


def test_exactly_as_many_plants_as_may_be_taken():
    fits = replace(TEN, bottles=20, per_plant=Q(1285.7142857142858 / 6, "g"), stand=60, share=0.1)
    assert walk_back(fits).harvest.dig == 6
    assert first(replace(fits, bottles=20.01))[0].bottles == 20


def test_what_an_order_refuses():
    for wrong, kind in (
        ({"bottle": Q(50, "g")}, WrongUnit),
        ({"bottle": Q(0, "mL")}, OutOfRange),
        ({"ratio": Q(0, "mL/g")}, OutOfRange),
        ({"ratio": Q([1.0, 2.0], "mL/g")}, OutOfRange),
        ({"water": Q(96, "percent_wb")}, OutOfRange),
        ({"state": "wilted"}, OutOfRange),
        ({"convention": "poured"}, OutOfRange),
        ({"bottles": -1}, OutOfRange),
        ({"bottles": float("nan")}, OutOfRange),
        ({"bottles": "ten"}, WrongUnit),
        ({"spirit": 50}, WrongUnit),
        ({"stand": 30}, OutOfRange),
        ({"share": 0.1}, OutOfRange),
        ({"wilted": Q(50, "percent_wb")}, OutOfRange),
        ({"dried_to": Q(20, "percent_wb")}, OutOfRange),
    ):
        with pytest.raises(kind):
            replace(TEN, **wrong)
    with pytest.raises(OutOfRange):
        Basket(Q(0, "g"), Q(50, "mL"))


def test_a_strength_by_mass_is_understood():
    by_mass = walk_back(replace(TEN, spirit=ethanol.to_mass(Q(50, "percent_vol"))))
    assert by_mass.strength.magnitude == pytest.approx(walk_back(TEN).strength.magnitude)


def test_no_second_copy_of_a_sum():
    """The walk's figures are those of the calls that the lessons use."""
    order = replace(TEN, state="fresh", ratio=Q(3, "mL/g"), spirit=Q(75.5, "percent_vol"))
    batch = walk_back(order)
    out = maceration.liquid_out(batch.herb, batch.menstruum, order.retained, order.water)
    assert out.magnitude == pytest.approx(500)
    for rule, found in (("kitchen", batch.strength), ("measured", batch.strength_measured)):
        ends = menstruum.final_strength(batch.herb, order.water, batch.menstruum, order.spirit, rule)
        assert ends.magnitude == pytest.approx(found.magnitude)


def test_the_floor_is_held_to_the_hair():
    """Dried 1:5 in 50 % vol ends at 50 × 5/5.1 = 49.02 % vol."""
    held, short = (Q(floor, "percent_vol") for floor in (49.0, 49.2))
    assert walk_back(replace(TEN, floor=held)).keeps
    assert walk_back(replace(TEN, floor=Q(250 / 5.1, "percent_vol"))).keeps
    assert first(replace(TEN, floor=short))[0].ratio == Q(6.2, "mL/g")  # 0.1 × 49.2 / 0.8 is 6.15
    basket = walk_back(TEN).basket
    assert [walk_forward(replace(basket, floor=floor)).keeps for floor in (held, short)] == [True, False]


@pytest.mark.parametrize("order", NEAR.values(), ids=NEAR.keys())
def test_what_cannot_be_made_is_said_kindly_and_in_both_systems(order):
    with pytest.raises(Impossible) as refusal:
        walk_back(order)
    for text in (str(refusal.value), *(way.text for way in refusal.value.ways_out)):
        assert text.endswith(".")
        assert text[0].isupper() or text[0].isdigit()
        assert not re.search(r"\. [a-z]", text)
        assert 20 < len(text) < 400
        assert not re.search(r"\b(error|invalid|wrong)|None|nan", text)
    for way in refusal.value.ways_out:
        assert re.search(r"\d g \(.*oz\)", way.text), way.text
        assert re.search(r"\d mL \(.*(fl oz|quarts?)\)", way.text), way.text
