"""Ethanol and water: exact ends, round trips, arrays, mixing, refusals. Print is compared in tests/published."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from herbcalc import ethanol
from herbcalc.ethanol import formula as table
from herbcalc.units import OutOfRange, Q, WrongUnit

# How long an example takes depends on what else the machine does; speed is measured in tests/benchmarks.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

strengths = st.floats(0.0, 100.0)
temperatures = st.floats(0.0, 40.0)


def vol(x):
    return Q(x, "percent_vol")


def mass(x):
    return Q(x, "percent_mass")


def celsius(x):
    return Q(x, "degC")


def bare(p, t=20.0):
    """The formula term by term, as it is printed, from the coefficients in the data file."""
    d = t - 20.0
    return sum(
        c * p**power * d ** (len(row) - 1 - i)
        for power, row in enumerate(table._COEFFICIENTS)
        for i, c in enumerate(row)
    )


@given(st.floats(0.0, 1.0), temperatures)
def test_the_formula_as_printed(p, t):
    # The terms reach 1e5 and cancel to 1e3, which costs the naive sum up to 1e-9.
    assert table.density(p, t) == pytest.approx(bare(p, t), abs=1e-8)


def test_there_are_54_coefficients():
    assert sum(len(row) for row in table._COEFFICIENTS) == 54
    assert [len(row) for row in table._COEFFICIENTS] == [7, 6, 6, 5, 5, 4, 4, 4, 4, 4, 3, 2]


@pytest.mark.parametrize("end", [0.0, 100.0])
def test_the_ends_are_exact(end):
    assert ethanol.to_mass(vol(end)).magnitude == end
    assert ethanol.to_volume(mass(end)).magnitude == end
    assert ethanol.to_mass(vol(np.array([end, 50.0]))).magnitude[0] == end
    for t in (0.0, 20.0, 33.3, 40.0):
        there = ethanol.density(vol(end), celsius(t))
        assert ethanol.strength_from_density(there, celsius(t)).magnitude == end


def test_round_trips_over_the_whole_scale():
    x = np.linspace(0.0, 100.0, 100_001)
    assert np.abs(ethanol.to_volume(ethanol.to_mass(vol(x))).magnitude - x).max() < 1e-9
    assert np.abs(ethanol.to_mass(ethanol.to_volume(mass(x))).magnitude - x).max() < 1e-9
    for t in (0.0, 12.5, 20.0, 40.0):
        back = ethanol.strength_from_density(ethanol.density(vol(x), celsius(t)), celsius(t)).magnitude
        assert np.abs(back - x).max() < 1e-9
        assert back.min() == 0.0
        assert back.max() == 100.0


@given(strengths, temperatures)
def test_round_trip_of_single_values(x, t):
    assert ethanol.to_volume(ethanol.to_mass(vol(x))).magnitude == pytest.approx(x, abs=1e-9)
    there = ethanol.density(vol(x), celsius(t))
    assert ethanol.strength_from_density(there, celsius(t)).magnitude == pytest.approx(x, abs=1e-9)


def test_the_searches_settle_everywhere():
    """Newton's method has no bracket here, so every start it can meet is tried, densely."""
    p = np.linspace(0.0, 1.0, 2001)
    for t in np.linspace(0.0, 40.0, 81):
        found = table.mass_share_at(table.density(p, float(t)), float(t))
        assert np.abs(found - p).max() < 1e-11
    for low in np.linspace(0.0, 0.999, 50):
        x = np.linspace(low, 1.0, 501)
        found = table.mass_share_for(table.density(x) * (x - low), float(low))
        assert np.abs(found - x).max() < 1e-11


def test_a_search_that_cannot_settle_says_so():
    with pytest.raises(ArithmeticError, match="did not settle"):
        table.newton(lambda x: -1.0, 0.0)


@given(st.lists(strengths, min_size=1, max_size=8), temperatures)
def test_lists_give_what_single_values_give(xs, t):
    listed = ethanol.density(vol(np.array(xs)), celsius(t)).magnitude
    single = [ethanol.density(vol(x), celsius(t)).magnitude for x in xs]
    assert listed == pytest.approx(single, abs=1e-9)
    shares = ethanol.to_mass(vol(np.array(xs))).magnitude
    assert shares == pytest.approx([ethanol.to_mass(vol(x)).magnitude for x in xs], abs=1e-10)


def test_broadcasting():
    grid = ethanol.density(vol(np.array([[0.0], [40.0], [95.0]])), celsius(np.array([0.0, 20.0])))
    assert grid.magnitude.shape == (3, 2)
    assert grid.magnitude[1, 1] == pytest.approx(948.045, abs=0.001)
    assert ethanol.density(vol(np.array([]))).magnitude.shape == (0,)
    long = np.linspace(0, 100, 40_000)  # more than one block, with a temperature for each
    temps = np.linspace(0, 40, 40_000)
    some = ethanol.density(mass(long), celsius(temps)).magnitude
    for i in (0, 16_383, 16_384, 39_999):
        assert some[i] == pytest.approx(ethanol.density(mass(long[i]), celsius(temps[i])).magnitude, abs=1e-9)


def test_what_is_given_is_left_alone():
    x = np.linspace(0.0, 100.0, 20_000)
    before = x.copy()
    ethanol.density(vol(x)), ethanol.to_mass(vol(x)), ethanol.to_volume(vol(x))
    assert (x == before).all()


@given(strengths, strengths)
def test_stronger_is_lighter_and_heavier_by_mass(a, b):
    low, high = sorted((a, b))
    if high - low > 1e-6:
        assert ethanol.density(vol(low)) > ethanol.density(vol(high))
        assert ethanol.to_mass(vol(low)) < ethanol.to_mass(vol(high))


def test_units_do_not_change_the_answer():
    assert ethanol.density(Q(80, "proof"), Q(68, "degF")).magnitude == pytest.approx(
        ethanol.density(vol(40), celsius(20)).magnitude, abs=1e-9
    )
    by_mass = ethanol.to_mass(vol(40))
    assert ethanol.density(by_mass).magnitude == pytest.approx(ethanol.density(vol(40)).magnitude, abs=1e-9)
    assert ethanol.strength_from_density(Q(0.948045, "g/mL")).magnitude == pytest.approx(40, abs=0.001)


def test_a_hair_past_either_end_is_still_the_end():
    water, alcohol = ethanol.density(vol(0.0)), ethanol.density(vol(100.0))
    with pytest.raises(OutOfRange, match=r"998\.201232 kg"):  # not "998.20 was given, and water has 998.20"
        ethanol.strength_from_density(Q(998.201232, "kg/m**3"))
    hair, too_much = Q(0.9e-6, "kg/m**3"), Q(1.1e-6, "kg/m**3")
    assert ethanol.strength_from_density(water + hair).magnitude == 0.0
    assert ethanol.strength_from_density(alcohol - hair).magnitude == 100.0
    for beyond in (water + too_much, alcohol - too_much):
        with pytest.raises(OutOfRange, match="every mixture lies between them"):
            ethanol.strength_from_density(beyond)


class TestHydrometer:
    def test_nothing_to_put_right_at_20_degrees(self):
        x = np.linspace(0.0, 100.0, 101)
        assert np.abs(ethanol.true_strength(vol(x), celsius(20)).magnitude - x).max() < 1e-9

    def test_warm_spirit_reads_too_strong_and_cold_too_weak(self):
        # Worked apart with the same densities: a true 40 % reads 35.9 at 10 °C, 38.0 at 15, 42.0 at 25, 43.9 at 30.
        for reading, t in ((35.9, 10), (38.0, 15), (42.0, 25), (43.9, 30)):
            assert ethanol.true_strength(vol(reading), celsius(t)).magnitude == pytest.approx(40.0, abs=0.06)

    @pytest.mark.parametrize(("reading", "t"), [(0.0, 30.0), (0.0, 40.0), (1.0, 35.0), (100.0, 10.0), (99.9, 0.0)])
    def test_a_reading_that_cannot_occur_names_the_end_that_can(self, reading, t):
        with pytest.raises(OutOfRange, match="usable part of the scale goes from") as refusal:
            ethanol.true_strength(vol(reading), celsius(t))
        usable = float(str(refusal.value).split("goes from ")[1].split(" ")[0])
        true = ethanol.true_strength(vol(usable), celsius(t)).magnitude  # the reading named is itself accepted
        assert min(true, 100.0 - true) < 0.2

    def test_of_a_list_the_one_that_cannot_be_is_named(self):
        with pytest.raises(OutOfRange, match="number 2 of the list, counted from 0"):
            ethanol.true_strength(vol(np.array([20.0, 40.0, 0.0])), celsius(30))


class TestMix:
    @given(st.lists(st.tuples(st.floats(0.1, 5000.0), strengths), min_size=1, max_size=6))
    def test_mass_and_alcohol_are_kept(self, liquids):
        volumes, percents = (np.array(x) for x in zip(*liquids, strict=True))
        made = ethanol.mix(Q(volumes, "mL"), vol(percents))
        before = (volumes * ethanol.density(vol(percents)).magnitude).sum()
        after = made.volume.magnitude * ethanol.density(made.strength).magnitude
        assert after == pytest.approx(before, rel=1e-11)
        assert made.volume.magnitude * made.strength.magnitude == pytest.approx((volumes * percents).sum(), rel=1e-9)
        assert made.volume.magnitude + made.contraction.magnitude == pytest.approx(volumes.sum(), rel=1e-12)
        assert percents.min() - 1e-9 <= made.strength.magnitude <= percents.max() + 1e-9

    def test_the_order_does_not_matter(self):
        liquids = [(100.0, 95.0), (250.0, 40.0), (75.0, 0.0)]
        made = [
            ethanol.mix(Q([v for v, _ in order], "mL"), vol([s for _, s in order]))
            for order in itertools.permutations(liquids)
        ]
        step = ethanol.mix(Q([100.0, 250.0], "mL"), vol([95.0, 40.0]))
        made.append(ethanol.mix(Q([step.volume.magnitude, 75.0], "mL"), vol([step.strength.magnitude, 0.0])))
        for other in made:
            assert other.volume.magnitude == pytest.approx(made[0].volume.magnitude, rel=1e-11)
            assert other.strength.magnitude == pytest.approx(made[0].strength.magnitude, abs=1e-9)

    def test_units_do_not_change_the_answer(self):
        metric = ethanol.mix(Q([236.5882365, 473.176473], "mL"), vol([40, 95]))
        kitchen = ethanol.mix(Q([1, 2], "cup"), Q([80, 190], "proof"))
        assert kitchen.volume.magnitude == pytest.approx(metric.volume.magnitude, rel=1e-12)
        assert kitchen.strength.magnitude == pytest.approx(metric.strength.magnitude, rel=1e-12)

    def test_one_strength_for_all_and_pure_liquids(self):
        made = ethanol.mix(Q([100, 200], "mL"), vol(100))
        assert made.strength.magnitude == 100.0
        assert made.strength_by_kitchen_rule.magnitude == 100.0
        assert made.contraction.magnitude == pytest.approx(0.0, abs=1e-9)
        assert ethanol.mix(Q([100, 0], "mL"), vol([0, 95])).strength.magnitude == 0.0

    @pytest.mark.parametrize(
        ("volumes", "percents", "sentence"),
        [
            ([0.0, 0.0], [40.0, 95.0], "nothing in this mix"),
            ([], [], "nothing in this mix"),
            ([1.0, 2.0, 3.0], [40.0, 95.0], "Each liquid needs both|do not match"),
            ([[1.0, 2.0]], [[40.0, 95.0]], "a plain list"),
        ],
    )
    def test_no_mix(self, volumes, percents, sentence):
        with pytest.raises(OutOfRange, match=sentence):
            ethanol.mix(Q(np.array(volumes), "mL"), vol(np.array(percents)))


CALLS = {
    "density": lambda s, t: ethanol.density(s, t),
    "to_mass": lambda s, t: ethanol.to_mass(s),
    "to_volume": lambda s, t: ethanol.to_volume(s),
    "true_strength": lambda s, t: ethanol.true_strength(s, t),
    "mix": lambda s, t: ethanol.mix(Q([100.0], "mL"), s),
}


@pytest.mark.parametrize("call", CALLS.values(), ids=CALLS)
@pytest.mark.parametrize(
    "strength",
    ["40 %", 40, 40.0, np.array([40.0]), None, True, Q(40, "percent"), Q(40, "percent_wb"), Q(40, "mL"), Q(0.4)],
)
def test_another_kind_is_refused(call, strength):
    with pytest.raises(WrongUnit):
        call(strength, celsius(20))


@pytest.mark.parametrize("call", CALLS.values(), ids=CALLS)
@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, -0.001, 100.001])
@pytest.mark.parametrize("unit", ["percent_vol", "percent_mass"])
def test_what_cannot_be_is_refused(call, number, unit):
    with pytest.raises(OutOfRange):
        call(Q(number, unit), celsius(20))
    with pytest.raises(OutOfRange, match="number 1 of the list, counted from 0"):
        call(Q(np.array([40.0, number]), unit), celsius(20))


@pytest.mark.parametrize("number", [-0.1, 40.1, math.nan, math.inf])
def test_temperatures_outside_0_to_40(number):
    for call in (
        lambda t: ethanol.density(vol(40), t),
        lambda t: ethanol.true_strength(vol(40), t),
        lambda t: ethanol.strength_from_density(Q(948, "kg/m**3"), t),
    ):
        with pytest.raises(OutOfRange):
            call(celsius(number))
        with pytest.raises(WrongUnit):
            call(20)


@pytest.mark.parametrize("density", [948, "948", Q(948, "kg"), None])
def test_a_density_of_another_kind(density):
    with pytest.raises(WrongUnit):
        ethanol.strength_from_density(density)


@pytest.mark.parametrize("number", [math.nan, math.inf, -1.0, 0.0, 500.0, 1200.0])
def test_a_density_no_mixture_has(number):
    with pytest.raises(OutOfRange):
        ethanol.strength_from_density(Q(number, "kg/m**3"))


@pytest.mark.parametrize("strength", [0, 37.5, 100])
def test_like_poured_on_like_does_not_shrink(strength):
    both = ethanol.mix(Q([123.4, 456.7, 0.3], "mL"), Q(strength, "percent_vol"))
    assert both.contraction.magnitude == 0.0
