"""From the bottle to the spoon: drops counted, herb and alcohol in an amount, whole days."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from herbcalc import dosing
from herbcalc.units import OutOfRange, Q, WrongUnit

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


def mL(x):
    return Q(x, "mL")


def test_drops_are_the_mean_of_the_counts():
    assert dosing.drops_per_mL([98, 103, 99], mL(5)).magnitude == 20.0
    assert dosing.drops_per_mL(100, mL(5)).magnitude == 20.0
    assert dosing.drops_per_mL(np.array([60.0]), Q(1, "tsp")).to("1/tsp").magnitude == pytest.approx(60, abs=1e-9)
    assert dosing.counts_differ([98, 103, 99]) == pytest.approx(0.05, abs=1e-12)
    assert dosing.counts_differ(100) == 0.0
    assert dosing.volume_of_drops(30, dosing.drops_per_mL([200, 198, 202], mL(5))).magnitude == pytest.approx(0.75)
    assert dosing.volume_of_drops(0, Q(20, "1/mL")).magnitude == 0.0


@given(st.integers(0, 5000), st.integers(1, 500))
def test_a_bottle_lasts_whole_days_rounded_down(tenths, per_day):
    days = dosing.bottle_days(mL(tenths / 10), mL(per_day / 10))
    assert type(days) is int
    assert days == math.floor(Fraction(tenths, per_day))


def test_a_hair_of_rounding_counts_as_the_day():
    assert dosing.bottle_days(mL(2.9999999999), mL(1)) == 3
    assert dosing.bottle_days(mL(2.99), mL(1)) == 2
    assert dosing.bottle_days(mL(0), mL(1)) == 0
    assert dosing.bottle_days(Q(2, "fl_oz"), Q(1, "tsp")) == 12  # 59.15 mL of 4.93 mL
    assert dosing.bottle_days(mL([50.0, 100.0]), mL(3)).tolist() == [16, 33]
    assert dosing.bottle_days(mL(4e9 - 1), mL(2)) == 1_999_999_999


def test_herb_and_alcohol_in_an_amount():
    assert dosing.herb_per_dose(mL(5), Q([1.0, 5.0], "mL/g")).magnitude.tolist() == [5.0, 1.0]
    assert dosing.alcohol_per_dose(mL(5), Q(40, "percent_vol")).magnitude == pytest.approx(1.5785, abs=5e-4)
    assert dosing.alcohol_per_dose(mL(5), Q(80, "proof")).magnitude == pytest.approx(1.5785, abs=5e-4)
    assert dosing.alcohol_per_dose(mL(0), Q(95, "percent_vol")).magnitude == 0.0
    assert dosing.alcohol_per_dose(mL(5), Q(0, "percent_vol")).magnitude == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: dosing.drops_per_mL([], mL(5)),
        lambda: dosing.counts_differ(np.array([])),
        lambda: dosing.drops_per_mL([100, 0], mL(5)),
        lambda: dosing.drops_per_mL([100, math.nan], mL(5)),
        lambda: dosing.drops_per_mL([100], mL(0)),
        lambda: dosing.volume_of_drops(-1, Q(20, "1/mL")),
        lambda: dosing.volume_of_drops(30, Q(0, "1/mL")),
        lambda: dosing.herb_per_dose(mL(5), Q(0, "mL/g")),
        lambda: dosing.alcohol_per_dose(mL(5), Q(101, "percent_vol")),
        lambda: dosing.bottle_days(mL(50), mL(0)),
        lambda: dosing.bottle_days(mL(-50), mL(1)),
        lambda: dosing.bottle_days(mL(1e300), mL(1e-300)),
    ],
)
def test_amounts_out_of_range(call):
    with pytest.raises(OutOfRange):
        call()


@pytest.mark.parametrize(
    "call",
    [
        lambda: dosing.drops_per_mL("98 103", mL(5)),
        lambda: dosing.drops_per_mL([98], Q(5, "g")),
        lambda: dosing.volume_of_drops(30, 20),
        lambda: dosing.herb_per_dose(5, Q(5, "mL/g")),
        lambda: dosing.alcohol_per_dose(mL(5), 0.4),
        lambda: dosing.bottle_days(mL(50), 3),
        lambda: dosing.bottle_days("50 mL", mL(3)),
    ],
)
def test_amounts_of_another_kind(call):
    with pytest.raises(WrongUnit):
        call()


def test_how_much_holds_so_much_alcohol_is_alcohol_in_it_turned_round():
    for grams in (0.0, 0.3, 14.0):
        for strength in (Q(20, "percent_vol"), Q(60, "percent_vol"), Q(52.09, "percent_mass"), Q(100, "percent_vol")):
            volume = dosing.volume_with(Q(grams, "g"), strength)
            assert dosing.alcohol_per_dose(volume, strength).magnitude == pytest.approx(grams, abs=1e-12)
    with pytest.raises(OutOfRange):
        dosing.volume_with(Q(14, "g"), Q(0, "percent_vol"))
    with pytest.raises(WrongUnit):
        dosing.volume_with(mL(14), Q(60, "percent_vol"))
