"""Harvest: rounding at the ends, refusals, reasons and ways on, yields, and the year in both hemispheres."""

from __future__ import annotations

import csv
import math
import re
from fractions import Fraction
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from herbcalc import harvest
from herbcalc.units import OutOfRange, Q, WrongUnit

# How long an example takes depends on what else the machine does; speed is measured in tests/benchmarks.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

counts = st.integers(0, 5000)
hundredths = st.integers(0, 100)
grams = st.integers(1, 5000)


def g(x):
    return Q(x, "g")


# --- rounding ------------------------------------------------------------------------------------------------------


@given(counts, hundredths)
def test_an_allowance_is_rounded_down(count, hundredth):
    may = harvest.allowance(count, hundredth / 100)
    assert type(may) is int
    assert may == math.floor(Fraction(count * hundredth, 100))
    assert harvest.allowance(count, hundredth / 100, at_risk=True) == 0


@given(grams, grams, st.integers(1, 100))
def test_a_need_is_rounded_up(fresh, per_plant, hundredth):
    needs = harvest.plants_needed(g(fresh), g(per_plant), hundredth / 100)
    assert type(needs) is int
    assert needs == math.ceil(Fraction(fresh * 100, per_plant * hundredth))


@given(st.integers(0, 500), st.integers(0, 99), st.integers(0, 5))
def test_what_is_set_covers_the_losses(plants, hundredth, years):
    to_set = harvest.plants_to_set(plants, hundredth / 100, years)
    assert to_set == math.ceil(plants / Fraction(100 - hundredth, 100) ** years)


def test_a_hair_of_rounding_counts_as_met():
    assert harvest.allowance(2.9999999999, 1) == 3
    assert harvest.allowance(29.999999999, 0.1) == 3
    assert harvest.allowance(29.99, 0.1) == 2
    assert harvest.allowance(240, 1 / 3) == 80
    assert harvest.allowance(239, 1 / 3) == 79
    assert harvest.plants_needed(g(300.00000001), g(100)) == 3
    assert harvest.plants_needed(g(300.01), g(100)) == 4
    assert harvest.plants_needed(g(0.3), g(0.1)) == 3
    assert harvest.plants_to_set(3 * 0.9**3, 0.1) == 3
    # The slack stays a hair where the counts are large.
    assert harvest.allowance(4e9 - 1, 0.5) == 1_999_999_999


def test_known_stands():
    # A stand of 60, of which 10 in 100 may be dug, 250 g each, 1.2 kg wanted: five.
    assert (harvest.allowance(60, 0.1), harvest.plants_needed(Q(1.2, "kg"), g(250))) == (6, 5)
    # One plant gives 65 g or 227 g: for 2 kg that is 31 plants or 9.
    assert harvest.plants_needed(Q(2, "kg"), g([65, 227])).tolist() == [31, 9]
    assert harvest.plants_to_set(20, 0.2) == 40  # 39.06
    assert harvest.plants_to_set(20, 0.2, 1) == 25


def test_nothing_asked_for_and_nothing_there():
    assert harvest.allowance(0, 0.5) == harvest.allowance(60, 0) == 0
    assert harvest.allowance(60, 1) == 60
    assert harvest.plants_needed(g(0), g(100)) == 0
    assert harvest.plants_to_set(0, 0.1) == 0
    assert harvest.plants_to_set(7, 0) == harvest.plants_to_set(7, 0.5, years=0) == 7
    assert harvest.largest_batch(8, 0.1, g(250)).magnitude == 0.0


def test_lists_give_what_single_values_give():
    stands, shares = np.array([5, 60, 500]), np.array([[0.05], [1 / 3]])
    listed = harvest.allowance(stands, shares)
    assert listed.dtype == np.int64
    assert listed.tolist() == [[harvest.allowance(n, float(s)) for n in (5, 60, 500)] for (s,) in shares]
    assert harvest.allowance(stands, 0.5, at_risk=True).tolist() == [0, 0, 0]
    assert harvest.plants_needed(g(1000), g([100, 300]), 0.5).tolist() == [20, 7]
    assert harvest.plants_to_set(np.array([10, 20]), 0.1).tolist() == [14, 28]
    assert harvest.largest_batch(stands, 0.1, g(250)).magnitude.tolist() == [0.0, 1500.0, 12_500.0]


def test_units_do_not_change_the_answer():
    assert harvest.plants_needed(Q(2, "lb"), Q(4, "oz")) == harvest.plants_needed(g(907.18474), g(113.3980925)) == 8
    assert harvest.allowance(Q(60, ""), Q(0.1, "")) == 6


# --- refusals ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("call", [harvest.allowance, harvest.may_take])
def test_stands_that_are_refused(call):
    for count, share in ((-1, 0.1), (math.nan, 0.1), (60, 1.1), (60, 10), (60, -0.1), (math.inf, 0.1)):
        with pytest.raises(OutOfRange):
            call(count, share)
    for count, share in (("60", 0.1), (60, Q(10, "percent")), (None, 0.1), (60, "1/3"), (g(60), 0.1), (True, 0.1)):
        with pytest.raises(WrongUnit):
            call(count, share)
    for doubtful in ("no", 0, None, np.array([True])):
        with pytest.raises(WrongUnit, match="True or False"):
            call(60, 0.1, at_risk=doubtful)
    with pytest.raises(OutOfRange, match=r"of the list, counted from 0|a list was given"):
        call(np.array([60, -1]), 0.1)


def test_baskets_that_are_refused():
    for fresh, each, share in ((g(-1), g(1), 1), (g(1), g(0), 1), (g(1), g(1), 0), (g(1), g(1), 1.5)):
        with pytest.raises(OutOfRange):
            harvest.plants_needed(fresh, each, share)
    for fresh, each in ((1, g(1)), (g(1), "5 g"), (Q(1, "mL"), g(1))):
        with pytest.raises(WrongUnit):
            harvest.plants_needed(fresh, each)
    with pytest.raises(OutOfRange):
        harvest.plants_to_set(10, 1.0)
    with pytest.raises(OutOfRange):
        harvest.plants_to_set(10, 0.1, years=-1)


def test_more_plants_than_can_be_counted():
    for call in (
        lambda: harvest.plants_needed(g(1e300), g(1e-300)),
        lambda: harvest.plants_needed(g(0), g(1e-300), 1e-300),
        lambda: harvest.plants_to_set(1e6, 0.999999),
        lambda: harvest.allowance(1e300, 1),
        lambda: harvest.plants_needed(g([1, 1e30]), g(1)),
    ):
        with pytest.raises(OutOfRange, match="more plants than can be counted"):
            call()


def test_one_stand_at_a_time_where_reasons_are_given():
    with pytest.raises(OutOfRange, match="one stand at a time"):
        harvest.may_take(np.array([60, 70]), 0.1)
    with pytest.raises(OutOfRange, match="one stand at a time"):
        harvest.plan(g([100, 200]), g(100), 60, 0.1)


# --- reasons and ways on -------------------------------------------------------------------------------------------


@given(counts, hundredths, st.booleans())
def test_a_reason_stands_wherever_nothing_may_be_taken(count, hundredth, at_risk):
    told = harvest.may_take(count, hundredth / 100, at_risk)
    assert told.plants == harvest.allowance(count, hundredth / 100, at_risk)
    assert told.plants + told.left == count
    assert bool(told.reason) == bool(told.ways_on) == (told.plants == 0)


def test_at_risk():
    told = harvest.may_take(5000, 1, at_risk=True)
    assert (told.plants, told.left) == (0, 5000)
    assert "at risk" in told.reason
    assert any("garden-grown" in way and "grower" in way for way in told.ways_on)


@given(st.integers(1, 60), st.integers(1, 99))
def test_the_larger_stand_named_is_the_smallest_that_gives_one(count, hundredth):
    told = harvest.may_take(count, hundredth / 100)
    if told.plants == 0:
        stand = int(re.search(r"from (\d+) plants? on", told.ways_on[0]).group(1))
        assert harvest.allowance(stand, hundredth / 100) >= 1
        assert harvest.allowance(stand - 1, hundredth / 100) == 0


def test_no_plant_and_no_share():
    assert "No plant was counted" in harvest.may_take(0, 0.1).reason
    assert "share is 0" in harvest.may_take(60, 0).reason


@given(grams, grams, st.integers(0, 300), hundredths, st.booleans(), st.integers(1, 100))
def test_a_plan_never_passes_what_is_allowed_or_needed(fresh, per_plant, count, hundredth, at_risk, of):
    told = harvest.plan(g(fresh), g(per_plant), count, hundredth / 100, at_risk, of / 100)
    assert told.needed == harvest.plants_needed(g(fresh), g(per_plant), of / 100)
    assert told.allowed == harvest.allowance(count, hundredth / 100, at_risk)
    assert told.dig == min(told.needed, told.allowed)
    assert told.enough == (told.dig == told.needed)
    assert told.fresh.magnitude == pytest.approx(told.dig * per_plant * of / 100)
    assert (told.fresh.magnitude >= fresh * (1 - 1e-8)) == told.enough
    assert bool(told.reason) == bool(told.ways_on) == (not told.enough)


def test_a_stand_that_gives_less_than_is_wanted():
    told = harvest.plan(Q(3, "kg"), g(250), count=60, share=0.1)
    assert (told.needed, told.allowed, told.dig, told.fresh.magnitude) == (12, 6, 6, 1500.0)
    assert told.reason == "This basket needs 12 plants, and 6 plants of this stand may be taken."
    assert "120 plants" in told.ways_on[1]
    assert harvest.plan(Q(3, "kg"), g(250), count=120, share=0.1).enough
    assert not harvest.plan(Q(3, "kg"), g(250), count=119, share=0.1).enough
    one = harvest.plan(g(500), g(250), count=10, share=0.1)
    assert one.ways_on[0].startswith("Make a smaller batch: 1 plant gives about 250 g")
    assert harvest.largest_batch(60, 0.1, g(250)) == told.fresh
    assert harvest.largest_batch(60, 0.1, g(240), of_plant=1 / 3).magnitude == pytest.approx(480.0)
    assert harvest.largest_batch(60, 0.1, g(250), at_risk=True).magnitude == 0.0


def test_an_empty_stand_with_a_wish():
    told = harvest.plan(g(500), g(250), count=8, share=0.1)
    assert (told.dig, told.enough) == (0, False)
    assert (told.reason, told.ways_on) == (harvest.may_take(8, 0.1).reason, harvest.may_take(8, 0.1).ways_on)
    nothing = harvest.plan(g(0), g(250), count=8, share=0.1)
    assert (nothing.needed, nothing.enough, nothing.reason, nothing.ways_on) == (0, True, "", ())


# --- how much one plant gives --------------------------------------------------------------------------------------


def test_one_plant_weighed():
    one = harvest.yield_of(g(120))
    assert (one.weighed, one.factor, one.measured) == (1, 4.0, False)
    assert (one.each.magnitude, one.low.magnitude, one.high.magnitude) == (120.0, 60.0, 240.0)
    assert one.said() == (
        "1 plant was weighed: 120 g (4 1/4 oz). Until 6 are weighed, count on 60 g (2 1/8 oz) to 240 g (8 1/2 oz): "
        "half to double is common practice, and the most is 4 times the least. From one garden to another plants of "
        "a kind can differ tenfold."
    )


@given(st.lists(st.floats(1.0, 1000.0), min_size=1, max_size=12))
def test_the_band_holds_all_that_was_weighed(weights):
    told = harvest.yield_of(g(weights))
    assert told.each.magnitude == pytest.approx(sum(weights) / len(weights))
    assert told.measured == (len(weights) >= 6)
    slim = (min(weights), max(weights))
    wide = (min(slim[0], told.each.magnitude / 2), max(slim[1], told.each.magnitude * 2))
    assert (told.low.magnitude, told.high.magnitude) == pytest.approx(slim if told.measured else wide)
    assert told.factor == pytest.approx(told.high.magnitude / told.low.magnitude)


def test_the_middle_plant_lies_in_the_band_31_times_in_32():
    # Each of six plants is above or below the middle one as a coin falls; both sides are missing twice in 64.
    assert 1 - 2 / 2**harvest.ENOUGH_WEIGHED == 31 / 32
    drawn = np.random.default_rng(5).lognormal(np.log(100.0), 0.7, (4000, harvest.ENOUGH_WEIGHED))
    bands = [harvest.yield_of(g(row)) for row in drawn]
    held = np.mean([band.low.magnitude <= 100.0 <= band.high.magnitude for band in bands])
    assert held == pytest.approx(31 / 32, abs=0.01)


def test_a_band_goes_on_into_plants():
    told = harvest.yield_of(g(120))
    ends = harvest.plants_needed(Q(2, "kg"), g([told.high.magnitude, told.each.magnitude, told.low.magnitude]))
    assert ends.tolist() == [9, 17, 34]


def test_yields_that_are_refused():
    for bad in (g([]), g(0), g([100, -1]), g([100, math.nan])):
        with pytest.raises(OutOfRange):
            harvest.yield_of(bad)
    for bad in (120, "120 g", Q(120, "mL"), [g(1), g(2)]):
        with pytest.raises(WrongUnit):
            harvest.yield_of(bad)


# --- when ----------------------------------------------------------------------------------------------------------


def test_the_order_of_the_year():
    """Leaf before flower, flowering tops in full flower, root after the tops die back or before they rise."""
    leaf, flower, tops, root = map(harvest.window, ("leaf", "flower", "flowering tops", "root"))
    assert min(leaf) < min(flower) < min(tops)
    assert max(leaf) < max(tops)
    assert set(tops) <= set(flower)
    assert {10, 11}.issubset(root)
    assert 3 in root
    assert not set(range(5, 9)).intersection(root)  # no root while the tops are green
    assert all(type(month) is int for month in root)


@pytest.mark.parametrize("part", harvest.parts())
def test_the_south_has_its_seasons_half_a_year_later(part):
    north, south = harvest.window(part), harvest.window(part, "south")
    assert harvest.window(part, hemisphere="north") == north
    assert all(1 <= month <= 12 for month in north + south)
    assert [(b - a) % 12 for a, b in zip(north, south, strict=True)] == [6] * len(north)
    assert harvest.gathering(part, "south").sign == harvest.gathering(part).sign


@pytest.mark.parametrize("part", harvest.parts())
@pytest.mark.parametrize("hemisphere", harvest.HEMISPHERES)
def test_no_window_is_told_without_its_sign(part, hemisphere):
    told = harvest.gathering(part, hemisphere)
    assert told.sign
    assert told.leave
    assert len(set(told.months)) == len(told.months)
    assert told.sign in told.said()
    assert "common practice" in told.said()
    for month in range(1, 13):
        said = told.answer(month)
        assert told.sign in said
        assert said.startswith(harvest.MONTHS[month - 1])
        assert told.holds(month) == (month in told.months) == (told.waits(month) == 0)
        assert ("outside" in said) == (not told.holds(month))
        assert (month + told.waits(month) - 1) % 12 + 1 in told.months
        assert not re.search(r"\b\d{1,2}(st|nd|rd|th)?( of)? (January|June|July|October)", said)  # never a date


def test_a_root_in_july():
    assert harvest.gathering("root").answer(7) == (
        "July is outside the usual months for root (north): September to November, or February and March, by common "
        "practice. That is 2 months away. Go when the tops have died back, or the first shoots are still below the "
        "ground."
    )
    assert "first third is in flower" in harvest.gathering("flower").said()
    assert harvest.gathering("root").waits(1) == 1
    assert "That is 1 month away" in harvest.gathering("root").answer(1)
    assert harvest.gathering("root", "south").holds(4)


def test_other_words_for_a_part():
    for word, part in (("Leaves", "leaf"), ("tops", "flowering tops"), ("flowering  tops", "flowering tops")):
        assert harvest.gathering(word).part == part
    assert harvest.window("berries") == harvest.window("fruit")
    rows = (files("herbcalc") / "data" / "gathering.csv").read_text(encoding="utf-8").splitlines()
    table = list(csv.DictReader(line for line in rows if not line.startswith("#")))
    words = [word for row in table for word in (row["part"], *row["also"].split("|"))]
    assert len(set(words)) == len(words)
    assert [row["part"] for row in table] == list(harvest.parts())


def test_words_that_are_refused():
    for part in ("", "soil", 5, None, ["root"]):
        with pytest.raises(OutOfRange, match='"leaf"'):
            harvest.window(part)
    for hemisphere in ("east", "", None, 1):
        with pytest.raises(OutOfRange, match='"north" and "south"'):
            harvest.window("root", hemisphere)
    root = harvest.gathering("root")
    for month in (0, 13, 7.5, math.nan, np.array([1, 2])):
        with pytest.raises(OutOfRange):
            root.holds(month)
    with pytest.raises(WrongUnit):
        root.holds("July")


def test_months_in_words():
    assert harvest.months_said((1, 2, 3, 6)) == "January to March, or June"
    assert harvest.months_said((11, 12, 1)) == "November to January"
