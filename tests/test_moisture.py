"""Moisture: balances, ends, round trips and refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from herbcalc import moisture
from herbcalc.units import OutOfRange, Q, WrongUnit

# How long an example takes depends on what else the machine does; speed is measured in tests/benchmarks.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

weights = st.floats(0.01, 1e5)
waters = st.floats(0.0, 99.0)


def g(x):
    return Q(x, "g")


def wb(x):
    return Q(x, "percent_wb")


@given(weights, waters, waters)
def test_solids_are_kept(fresh, before, after):
    assume(after <= before)
    dried = moisture.dried_weight(g(fresh), wb(before), wb(after)).magnitude
    assert dried * (100 - after) == pytest.approx(fresh * (100 - before), rel=1e-12)
    assert dried <= fresh * (1 + 1e-12)
    assert moisture.fresh_weight(g(dried), wb(before), wb(after)).magnitude == pytest.approx(fresh, rel=1e-12)
    assert moisture.drying_ratio(wb(before), wb(after)) == pytest.approx(fresh / dried, rel=1e-12)


@given(waters)
def test_change_of_basis_and_back(water):
    assert moisture.to_wet_basis(moisture.to_dry_basis(wb(water))).magnitude == pytest.approx(water, abs=1e-9)


@given(weights, waters)
def test_a_sample_dried_right_down(fresh, water):
    bone_dry = moisture.dried_weight(g(fresh), wb(water), wb(0))
    assert moisture.water_content(g(fresh), bone_dry).magnitude == pytest.approx(water, abs=1e-9)


@given(weights, st.floats(20.0, 90.0), st.floats(0.0, 19.0), st.floats(0.01, 1.0))
def test_drier_is_lighter_and_wetter_needs_more(weight, water, target, step):
    assert moisture.dried_weight(g(weight), wb(water), wb(target)) < moisture.dried_weight(
        g(weight), wb(water), wb(target + step)
    )
    assert moisture.fresh_weight(g(weight), wb(water), wb(target)) < moisture.fresh_weight(
        g(weight), wb(water + step), wb(target)
    )


def test_ends():
    assert moisture.water_content(g(50), g(50)).magnitude == 0.0
    assert moisture.drying_ratio(wb(10)) == 1.0
    assert type(moisture.drying_ratio(wb(80))) is float
    assert moisture.drying_ratio(wb(0), wb(0)) == 1.0
    assert moisture.dried_weight(g(0), wb(80)).magnitude == 0.0
    assert moisture.fresh_weight(g(0), wb(80)).magnitude == 0.0
    assert moisture.to_dry_basis(wb(0)).magnitude == 0.0
    assert moisture.to_dry_basis(wb(50)).magnitude == 100.0
    assert moisture.to_wet_basis(Q(0, "percent_db")).magnitude == 0.0
    # A target above the water by rounding alone is no target above the water.
    assert moisture.drying_ratio(wb(0.1 + 0.2), wb(0.3 + 1e-12)) == 1.0


def test_lists_give_what_single_values_give():
    fresh, water = np.array([100.0, 250.0, 40.0]), np.array([[80.0], [65.0]])
    listed = moisture.dried_weight(g(fresh), wb(water)).magnitude
    assert listed.shape == (2, 3)
    for i in range(2):
        for j in range(3):
            assert listed[i, j] == moisture.dried_weight(g(fresh[j]), wb(water[i, 0])).magnitude
    assert moisture.drying_ratio(wb(np.array([80.0, 55.0]))) == pytest.approx([4.5, 2.0])


def test_units_do_not_change_the_answer():
    pounds = moisture.dried_weight(Q(2, "lb"), wb(80)).magnitude
    assert pounds == pytest.approx(moisture.dried_weight(g(907.18474), wb(80)).magnitude, rel=1e-12)
    assert moisture.water_content(Q(4, "oz"), Q(1, "oz")).magnitude == pytest.approx(75, abs=1e-12)


def test_weights_swapped():
    with pytest.raises(OutOfRange, match=r"dried heavier than fresh.*[Ww]ere the two weights swapped\?"):
        moisture.water_content(g(11), g(50))
    with pytest.raises(OutOfRange, match=r"number 1 of the list, counted from 0"):
        moisture.water_content(g(np.array([50.0, 11.0])), g(np.array([11.0, 50.0])))


@pytest.mark.parametrize("call", [moisture.dried_weight, moisture.fresh_weight])
def test_already_drier_than_that(call):
    with pytest.raises(OutOfRange, match="already drier than"):
        call(g(100), wb(8), wb(10))
    with pytest.raises(OutOfRange, match="number 2 of the list"):
        call(g(100), wb(np.array([80.0, 70.0, 8.0])))


def test_drying_ratio_refuses_a_wetter_target():
    with pytest.raises(OutOfRange, match="already drier than"):
        moisture.drying_ratio(wb(8))


CALLS = {
    "to_dry_basis": moisture.to_dry_basis,
    "dried_weight": lambda w: moisture.dried_weight(g(100), w, wb(0)),
    "dried_weight, target": lambda w: moisture.dried_weight(g(100), wb(99), w),
    "fresh_weight": lambda w: moisture.fresh_weight(g(100), w, wb(0)),
    "drying_ratio": lambda w: moisture.drying_ratio(w, wb(0)),
}


@pytest.mark.parametrize("call", CALLS.values(), ids=CALLS)
def test_moistures_that_are_refused(call):
    for number in (100.0, 100.5, -0.1, math.nan, math.inf):
        with pytest.raises(OutOfRange):
            call(wb(number))
    for other in (80, "80 %", None, Q(80, "percent"), Q(80, "percent_db"), Q(80, "percent_vol"), g(80)):
        with pytest.raises(WrongUnit):
            call(other)


@pytest.mark.parametrize("number", [0.0, -1.0, math.nan, math.inf])
def test_weights_that_are_refused(number):
    for fresh, dried in ((number, 10.0), (50.0, number)):
        with pytest.raises(OutOfRange):
            moisture.water_content(g(fresh), g(dried))


@pytest.mark.parametrize("other", [50, "50 g", None, Q(50, "mL"), True])
def test_weights_of_another_kind(other):
    with pytest.raises(WrongUnit):
        moisture.water_content(other, g(10))
    with pytest.raises(WrongUnit):
        moisture.dried_weight(other, wb(80))


class TestDoubt:
    def test_by_hand(self):
        # 20 g fresh and 4 g dried, each 1 g off: at worst 5 of 19 is left and not 4 of 20, which is 6.3 points.
        assert moisture.widest_doubt(g(20), g(4)).magnitude == pytest.approx(100 * (5 / 19 - 4 / 20), abs=1e-9)

    @given(st.floats(10.0, 500.0), st.floats(5.0, 80.0), st.floats(0.01, 1.0))
    def test_no_pair_of_weighings_misses_by_more(self, fresh, percent, off):
        dried = fresh * percent / 100
        assume(dried > off and dried + off < fresh - off)
        widest = moisture.widest_doubt(g(fresh), g(dried), g(off)).magnitude
        true = moisture.water_content(g(fresh), g(dried)).magnitude
        seen = [abs(100 * (1 - (dried + b) / (fresh + a)) - true) for a in (-off, 0, off) for b in (-off, 0, off)]
        assert widest == pytest.approx(max(seen), abs=1e-9)

    def test_too_little_for_the_scale(self):
        with pytest.raises(OutOfRange, match="bigger sample"):
            moisture.widest_doubt(g(5), g(0.5))
