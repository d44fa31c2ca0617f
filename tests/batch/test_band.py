"""How sure a batch is: the band holds the truth 95 times in 100, and names what would sharpen it."""

from __future__ import annotations

import datetime
from dataclasses import replace

import numpy as np
import pytest

from herbcalc.batch import Basket, Days, Order, Reading, Readings, carried, walk_back, walk_forward
from herbcalc.rules import Rules
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit
from tests.batch.orders import makeable

TEN = Order(10, Q(50, "mL"))
SURE = Readings(Q(0, "g"), 0.0, Q(0, "percent_wb"), 0.0, Q(0, "percent_wb"))


def true_batches(batch, many, draw):
    """Sampled true batches, by sums of this test's own: mL out, and % vol."""
    order, read = batch.order, batch.readings
    number = order.bare
    one = 1.96  # standard deviations that hold 95 of 100

    def off(size):
        return draw.normal(0.0, 1.0, many) * size / one

    scale = read.off("scale")
    shown = batch.basket.fresh.to("g").magnitude
    each = batch.menstruum.magnitude / batch.herb.magnitude
    fresh = np.maximum(shown + off(scale), 1e-9)
    wet = np.clip(number["water"] + off(read.off("moisture")), 0.0, 99.0) / 100.0
    jug = np.maximum(1.0 + off(read.jug), 0.0)
    keeps = np.maximum(number["retained"] * (1.0 + off(read.retained)), 0.0)
    if order.state == "dried":
        left = np.clip(min(number["dried_to"], number["water"]) + off(read.off("dryness")), 0.0, 95.0) / 100.0
        left = np.minimum(left, wet)
        herb = fresh * (1.0 - wet) / (1.0 - left)
        poured = each * np.maximum(herb + off(scale), 0.0) * jug
        out, brought = poured - keeps * herb, herb * left
    elif number["wilted"] is not None and number["wilted"] < number["water"]:
        tray = batch.herb.magnitude
        solids = fresh * (1.0 - wet)
        herb = np.maximum(tray - off(scale), solids)
        poured, brought = each * tray * jug, herb - solids
        out = poured + brought - keeps * solids
    else:
        poured, brought = each * shown * jug, fresh * wet
        out = poured + brought - keeps * fresh * (1.0 - wet)
    return np.maximum(out, 0.0), number["spirit"] * poured / (poured + brought)


def test_a_wilted_plant_is_told_by_the_scale_and_not_by_feel():
    made = replace(TEN, state="fresh", ratio=Q(2, "mL/g"), spirit=Q(75.5, "percent_vol"), wilted=Q(55, "percent_wb"))
    far, near = (walk_back(replace(made), readings=Readings(dryness=Q(off, "percent_wb"))) for off in (9, 0))
    assert far.band.strength == near.band.strength


def test_the_band_holds_95_of_100_true_batches():
    draw = np.random.default_rng(7)
    inside = []
    for order in makeable(200, seed=23):
        batch = walk_back(order)
        for told, true in zip(
            (batch.band.finished, batch.band.strength), true_batches(batch, 400, draw), strict=True
        ):
            held = (true >= told.low - 1e-9) & (true <= told.high + 1e-9)
            inside.append(held.mean())
    shares = np.array(inside).reshape(-1, 2)
    assert shares.shape == (200, 2)
    for column in shares.T:
        assert 0.93 <= column.mean() <= 0.97
        assert np.quantile(column, 0.02) >= 0.90


def test_what_is_read_without_doubt_has_no_band():
    for order in (TEN, replace(TEN, state="fresh")):
        told = walk_back(order, readings=SURE).band
        assert told.finished.low == pytest.approx(told.finished.high) == pytest.approx(500)
        assert told.strength.width == pytest.approx(0.0, abs=1e-9)
        assert told.sharpen == ""
        assert "What would help" not in " ".join(told.lines())


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        (replace(SURE, scale=Q(20, "g")), "scale"),
        (replace(SURE, jug=0.05), "jug"),
        (replace(SURE, moisture=Q(5, "percent_wb")), "moisture sample"),
        (replace(SURE, retained=0.2), "marc"),
    ],
)
def test_the_only_reading_in_doubt_is_named(readings, words):
    for order in (TEN, replace(TEN, state="fresh")):
        told = walk_back(order, readings=readings).band.finished
        assert told.low < told.value < told.high
        assert words in told.sharpen
        assert told.narrower == pytest.approx(0.5, abs=0.03)  # half the doubt, half the range


def test_by_hand():
    """Of dried herb only the marc in doubt: 142.9 g × 1.5 mL ± 20 % is ± 42.9 mL."""
    told = walk_back(TEN, readings=replace(SURE, retained=0.2)).band.finished
    assert (told.low, told.high) == (pytest.approx(500 - 42.9, abs=1.5), pytest.approx(500 + 42.9, abs=1.5))
    # Dried, only the scale: 1 g off in the basket is 0.22 g of herb, of which 3.5 mL a g come out; 1 g off at the jar
    # is 5 mL more or less
    told = walk_back(TEN, readings=replace(SURE, scale=Q(1, "g"))).band.finished
    assert told.width / 2 == pytest.approx(np.hypot(3.5 * 142.857 / 642.857, 5.0), rel=0.1)
    # Fresh, only the sample in doubt: 100 g, 200 mL of 95 %, 80 ± 5 points: 66.7 to 69.1 by the kitchen rule
    basket = Basket(Q(100, "g"), Q(50, "mL"), "fresh", ratio=Q(2, "mL/g"), spirit=Q(95, "percent_vol"))
    told = walk_forward(basket, readings=replace(SURE, moisture=Q(5, "percent_wb"))).band.strength
    assert (told.low, told.high) == (pytest.approx(66.7, abs=0.1), pytest.approx(69.1, abs=0.1))


def test_a_better_reading_narrows_the_band_by_what_was_said():
    for order in (TEN, replace(TEN, state="fresh")):
        told = walk_back(order).band.finished
        halves = {
            "moisture sample": {"moisture": Q(2.5, "percent_wb")},
            "jug": {"jug": 0.015},
            "marc": {"retained": 0.1},
        }
        better = next(half for words, half in halves.items() if words in told.sharpen)
        again = walk_back(order, readings=replace(Readings(), **better)).band.finished
        assert 1.0 - again.width / told.width == pytest.approx(told.narrower, abs=1e-6)


def test_sampling_agrees_with_the_slope_where_a_sum_is_straight():
    two = {"a": Reading(100.0, 3.0, "one"), "b": Reading(50.0, 4.0, "other")}
    told = carried(lambda a, b: 2 * a - b, two)
    assert told.value == 150.0
    half = np.hypot(2 * 3.0, 4.0)
    assert (told.low, told.high) == (pytest.approx(150 - half, rel=0.01), pytest.approx(150 + half, rel=0.01))
    assert told.sharpen == "one"


def test_one_batch_has_one_band():
    assert walk_back(TEN).band == walk_back(TEN).band


def test_readings_refuse():
    for off, kind in (
        ({"scale": 1.0}, WrongUnit),
        ({"jug": Q(3, "mL")}, WrongUnit),
        ({"jug": 1.5}, OutOfRange),
        ({"moisture": Q(60, "percent_wb")}, OutOfRange),
        ({"retained": [0.1, 0.2]}, OutOfRange),
    ):
        with pytest.raises(kind):
            replace(Readings(), **off)


def test_a_class_has_its_own_readings_and_days():
    """House rules are handed over; what is named by itself goes before them."""
    rules = Rules(jug_off=0.1, soak_days=42)
    for batch in (walk_back(TEN, rules=rules), walk_forward(Basket(Q(1, "kg"), Q(50, "mL")), rules=rules)):
        assert batch.readings == replace(Readings(), jug=0.1)
        assert batch.days == Days(soak=42)
    assert walk_back(TEN, rules=rules).band.finished.width > 1.05 * walk_back(TEN).band.finished.width
    own = walk_back(TEN, rules=rules, readings=SURE, days=Days(soak=1))
    assert (own.readings, own.days) == (SURE, Days(soak=1))
    assert walk_back(TEN, rules=Rules()).readings == walk_back(TEN).readings == Readings()
    assert walk_back(TEN, rules=Rules()).days == walk_back(TEN).days == Days()


def test_the_ways_out_count_the_days_of_the_class():
    weak = replace(TEN, state="fresh", ratio=Q(2, "mL/g"), spirit=Q(40, "percent_vol"))
    with pytest.raises(Impossible) as no:
        walk_back(weak, rules=Rules(soak_days=42))
    assert next(way.days for way in no.value.ways_out if way.state == "fresh") == 42


def test_the_band_stands_on_the_label():
    batch = walk_back(TEN, rules=Rules(dryness_off=4))
    lines = dict(batch.label(datetime.date(2026, 7, 14), common="Lemon balm").lines())
    low, high = batch.band.strength.low, batch.band.strength.high
    assert lines["Also"] == f"Strength 19 times in 20 between {low:.3g} % vol and {high:.3g} % vol"
    assert high - low > 1.5 * walk_back(TEN).band.strength.width
