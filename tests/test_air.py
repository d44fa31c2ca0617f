"""Moist air: ends, round trips, laws, lists and refusals. What it is checked against stands in tests/published."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from herbcalc import air
from herbcalc.units import OutOfRange, Q, WrongUnit

# How long an example takes depends on what else the machine does; speed is measured in tests/benchmarks.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

temperatures = st.floats(0.0, 50.0)
shares = st.floats(0.0, 1.0)
some = st.floats(1e-4, 1.0)  # air so dry that it drips only under -100 °C is refused
pressures = st.floats(60_000.0, 110_000.0)


def degC(x):
    return Q(x, "degC")


def pascals(x):
    return Q(x, "Pa")


def number(q):
    return q.magnitude


# --- round trips and balances --------------------------------------------------------------------------------------


@given(temperatures, some)
def test_dew_point_and_back(t, rh):
    dew = air.dew_point(degC(t), rh)
    assert air.rh_from_dew_point(degC(t), dew).magnitude == pytest.approx(rh, rel=1e-9)
    assert dew.magnitude <= t + 1e-9


@given(temperatures, shares, pressures)
def test_humidity_ratio_and_back(t, rh, p):
    held = air.humidity_ratio(degC(t), rh, pascals(p))
    assert air.rh_from_humidity_ratio(degC(t), held, pascals(p)).magnitude == pytest.approx(rh, rel=1e-9, abs=1e-12)


@given(temperatures, shares, pressures)
def test_wet_bulb_and_back(t, rh, p):
    wet = air.wet_bulb(degC(t), rh, pascals(p))
    assert air.rh_from_wet_bulb(degC(t), wet, pascals(p)).magnitude == pytest.approx(rh, abs=1e-9)


@given(temperatures, shares, temperatures)
def test_warmed_and_cooled_again(t, rh, to):
    assume(to >= t)
    warm = air.rh_when_warmed(degC(t), rh, degC(to))
    assert air.rh_when_warmed(degC(to), warm, degC(t)).magnitude == pytest.approx(rh, rel=1e-9)
    assert number(air.humidity_ratio(degC(to), warm)) == pytest.approx(
        number(air.humidity_ratio(degC(t), rh)), rel=1e-9, abs=1e-15
    )


@given(temperatures, some, pressures)
def test_dew_point_wet_bulb_and_air_stand_in_order(t, rh, p):
    dew, wet = number(air.dew_point(degC(t), rh)), number(air.wet_bulb(degC(t), rh, pascals(p)))
    assert dew <= wet + 1e-9 <= t + 2e-9


@given(temperatures, shares, shares, pressures)
def test_air_leaves_the_trays_along_its_wet_bulb(t, one, other, p):
    rh, leaving = sorted((one, other))
    assume(leaving > rh + 1e-6)
    state = degC(t), rh
    cooled = number(air.leaving_temperature(*state, leaving, pascals(p)))
    wet = number(air.wet_bulb(*state, pascals(p)))
    assert wet - 1e-9 <= cooled <= t
    # The wet bulb it leaves with is the one it came with; near freezing there may be two.
    assume(cooled >= 0.0 and wet > 0.7)
    assert number(air.wet_bulb(degC(cooled), leaving, pascals(p))) == pytest.approx(wet, abs=1e-7)
    gone = number(air.humidity_ratio(degC(cooled), leaving, pascals(p)))
    came = number(air.humidity_ratio(*state, pascals(p)))
    assert number(air.pick_up(*state, leaving, pascals(p))) == pytest.approx(gone - came, abs=1e-12)


@given(temperatures, shares)
def test_cooling_along_the_wet_bulb_gives_less_than_staying_warm(t, rh):
    room = number(air.humidity_ratio(degC(t), max(rh, 0.8))) - number(air.humidity_ratio(degC(t), rh))
    assert 0.0 <= number(air.pick_up(degC(t), rh)) <= room + 1e-12


@given(temperatures, st.floats(0.0, 0.79), pressures)
def test_heat_is_kept_on_the_way_but_for_that_of_the_water_itself(t, rh, p):
    """Enthalpy after = before + water taken x the heat of that water, liquid at the wet bulb."""
    wet = number(air.wet_bulb(degC(t), rh, pascals(p)))
    cooled = air.leaving_temperature(degC(t), rh, 0.8, pascals(p))
    assume(wet > 0.0 and cooled.magnitude >= 0.0)
    before = number(air.enthalpy(degC(t), rh, pascals(p)))
    after = number(air.enthalpy(cooled, 0.8, pascals(p)))
    taken = number(air.pick_up(degC(t), rh, 0.8, pascals(p)))
    assert after - before == pytest.approx(taken * 4.186 * wet, abs=1e-9)


def test_the_wet_bulb_balances_heat():
    """At the wet bulb, full air holds the heat that the air had and that of the water it took up."""
    wet = air.wet_bulb(degC(30), 0.4)
    more = number(air.humidity_ratio(wet, 1)) - number(air.humidity_ratio(degC(30), 0.4))
    heat = number(air.enthalpy(wet, 1)) - number(air.enthalpy(degC(30), 0.4))
    assert heat == pytest.approx(more * 4.186 * number(wet), abs=1e-9)


def test_warmer_air_holds_more_without_a_gap():
    t = np.concatenate([np.linspace(0.0, 0.02, 2001), np.linspace(0.02, 50.0, 2001)])
    pressures = number(air.saturation_pressure(degC(t)))
    assert (np.diff(pressures)[np.diff(t) > 0] > 0).all()
    steps = np.diff(pressures[:2001]) / np.diff(t[:2001])
    assert steps.min() > 44.0  # Pa for each K; a gap where ice meets water would show as a step of another size
    assert steps.max() < 51.0
    assert abs(air.JOIN - 0.01) < 1e-6


def test_the_dew_point_falls_through_freezing_without_a_gap():
    rh = np.linspace(0.30, 0.60, 3001)
    dew = number(air.dew_point(degC(10), rh))
    assert dew[0] < -6.0 < 2.0 < dew[-1]
    assert (np.diff(dew) > 0).all()
    assert np.diff(dew).max() < 0.006


def test_a_wick_is_taken_for_wet_where_it_can_be():
    """At 5 °C and a third full a wet wick settles at 0.2 °C and a frozen one at -0.3: the wet one is named."""
    wets = number(air.wet_bulb(degC(5), np.linspace(0.25, 0.45, 2001)))
    assert not ((wets > -0.3) & (wets < 0.0)).any()
    assert wets[0] < -0.3
    assert (np.diff(wets) > 0).all()
    assert number(air.wet_bulb(degC(5), 0.35)) == pytest.approx(0.187, abs=0.02)


# --- ends ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("t", [0.0, 0.005, 0.01, 0.02, 20.0, 50.0])
def test_full_air(t):
    full = degC(t), 1.0
    assert number(air.dew_point(*full)) == pytest.approx(t, abs=1e-9)
    assert number(air.wet_bulb(*full)) == pytest.approx(t, abs=1e-9)
    assert number(air.leaving_temperature(*full)) == t
    assert number(air.pick_up(*full)) == 0.0
    assert number(air.pick_up(*full, 1.0)) == 0.0
    assert number(air.vapour_pressure_deficit(*full)) == 0.0


@pytest.mark.parametrize("t", [0.0, 20.0, 50.0])
def test_air_without_water(t):
    dry = degC(t), 0.0
    assert number(air.humidity_ratio(*dry)) == 0.0
    assert number(air.enthalpy(*dry)) == pytest.approx(1.006 * t)
    assert number(air.specific_volume(*dry)) == pytest.approx(287.042 * (t + 273.15) / 101_325)
    assert air.vapour_pressure_deficit(*dry) == air.saturation_pressure(degC(t))
    assert -10.0 < number(air.wet_bulb(*dry)) < t
    assert number(air.pick_up(*dry, 0.0)) == 0.0
    assert number(air.rh_from_humidity_ratio(degC(t), 0)) == 0.0
    with pytest.raises(OutOfRange, match="more than 0"):
        air.dew_point(*dry)


def test_freezing_and_hot():
    assert number(air.saturation_pressure(degC(0))) == pytest.approx(611.15, abs=0.01)
    assert number(air.saturation_pressure(degC(50))) == pytest.approx(12_349.86, abs=0.01)
    assert number(air.enthalpy(degC(0), 0)) == 0.0
    # The ends forgive rounding and nothing else.
    assert air.saturation_pressure(degC(50 + 1e-9)) == air.saturation_pressure(degC(50))
    assert air.humidity_ratio(degC(20), 1 + 1e-10) == air.humidity_ratio(degC(20), 1)
    for t in (-0.001, 50.001):
        with pytest.raises(OutOfRange, match=r"°F"):
            air.saturation_pressure(degC(t))


def test_sea_level_is_where_nothing_else_is_said():
    assert number(air.pressure_at(Q(0, "m"))) == 101_325.0
    assert air.humidity_ratio(degC(25), 0.5) == air.humidity_ratio(degC(25), 0.5, pascals(101_325))
    high = air.pressure_at(Q(5280, "ft"))
    assert number(high) == pytest.approx(number(air.pressure_at(Q(1609.344, "m"))), rel=1e-12)
    assert air.humidity_ratio(degC(25), 0.5, high) > air.humidity_ratio(degC(25), 0.5)
    assert air.wet_bulb(degC(25), 0.5, high) < air.wet_bulb(degC(25), 0.5)
    assert number(air.pressure_at(Q([-5000, 11_000], "m"))) == pytest.approx([177_687, 22_633], abs=60)


def test_air_that_comes_fuller_than_it_is_to_leave_takes_nothing():
    assert number(air.pick_up(degC(30), 0.9)) == 0.0
    assert number(air.leaving_temperature(degC(30), 0.9)) == 30.0
    both = air.pick_up(degC(30), np.array([0.9, 0.5]))
    assert number(both)[0] == 0.0
    assert number(both)[1] == number(air.pick_up(degC(30), 0.5)) > 0.001


# --- numbers, lists and units --------------------------------------------------------------------------------------

SUMS = {
    "saturation_pressure": lambda t, rh, p: air.saturation_pressure(t),
    "humidity_ratio": air.humidity_ratio,
    "dew_point": lambda t, rh, p: air.dew_point(t, rh),
    "wet_bulb": air.wet_bulb,
    "enthalpy": air.enthalpy,
    "specific_volume": air.specific_volume,
    "vapour_pressure_deficit": lambda t, rh, p: air.vapour_pressure_deficit(t, rh),
    "pick_up": lambda t, rh, p: air.pick_up(t, rh, 0.8, p),
    "leaving_temperature": lambda t, rh, p: air.leaving_temperature(t, rh, 0.8, p),
    "rh_when_warmed": lambda t, rh, p: air.rh_when_warmed(t, rh, degC(50)),
    "rh_from_dew_point": lambda t, rh, p: air.rh_from_dew_point(t, degC(-3.0)),
    "rh_from_humidity_ratio": lambda t, rh, p: air.rh_from_humidity_ratio(t, 0.001 * rh, p),
    "rh_from_wet_bulb": lambda t, rh, p: air.rh_from_wet_bulb(t, air.wet_bulb(t, rh, p), p),
}
UNITS = {
    "saturation_pressure": "Pa",
    "dew_point": "degree_Celsius",
    "wet_bulb": "degree_Celsius",
    "leaving_temperature": "degree_Celsius",
    "vapour_pressure_deficit": "Pa",
    "enthalpy": "kJ/kg",
    "specific_volume": "m ** 3 / kg",
}


@pytest.mark.parametrize("name", SUMS)
def test_lists_give_what_single_values_give(name):
    """Every argument as a list, alone and all at once, and across freezing and full air."""
    call = SUMS[name]
    t, rh, p = np.array([0.0, 0.3, 5.0, 18.5, 50.0]), np.array([[0.01], [0.35], [1.0]]), 95_000.0
    listed = number(call(degC(t), rh, pascals(p)))
    for i, j in np.ndindex(*np.broadcast_shapes(t.shape, rh.shape)):
        one = call(degC(t[j]), float(rh[i, 0]), pascals(p))
        assert type(one.magnitude) is float
        found = listed[j] if listed.ndim == 1 else listed[i, j]
        assert found == pytest.approx(one.magnitude, rel=1e-9, abs=1e-9)
    heights = np.array([80_000.0, 101_325.0])
    deep = np.broadcast_to(number(call(degC(20.0), 0.5, pascals(heights))), (2,))
    for k, height in enumerate(heights):
        assert deep[k] == pytest.approx(number(call(degC(20.0), 0.5, pascals(height))), rel=1e-9)


def test_no_state_gives_no_numbers():
    empty = np.array([])
    assert number(air.wet_bulb(degC(empty), 0.5)).shape == (0,)
    assert number(air.pick_up(degC(empty), 0.5)).shape == (0,)


@pytest.mark.parametrize("name", SUMS)
def test_what_comes_out_has_its_unit(name):
    given_out = SUMS[name](degC(20.0), 0.5, pascals(101_325.0))
    unit = UNITS.get(name, "dimensionless")
    assert given_out.is_compatible_with(Q(1, unit)) if unit != "degree_Celsius" else str(given_out.units) == "degC"
    if unit == "dimensionless":
        assert 0.0 < float(given_out) <= 1.0


def test_units_do_not_change_the_answer():
    assert number(air.wet_bulb(Q(77, "degF"), 0.5)) == pytest.approx(number(air.wet_bulb(degC(25), 0.5)), abs=1e-9)
    assert number(air.humidity_ratio(degC(25), 0.5, Q(90, "kPa"))) == pytest.approx(
        number(air.humidity_ratio(degC(25), 0.5, pascals(90_000))), rel=1e-12
    )
    assert number(air.humidity_ratio(degC(25), Q(0.5, ""))) == number(air.humidity_ratio(degC(25), 0.5))


# --- refusals ------------------------------------------------------------------------------------------------------

WITH_RH = {
    "humidity_ratio": lambda rh: air.humidity_ratio(degC(20), rh),
    "dew_point": lambda rh: air.dew_point(degC(20), rh),
    "wet_bulb": lambda rh: air.wet_bulb(degC(20), rh),
    "enthalpy": lambda rh: air.enthalpy(degC(20), rh),
    "specific_volume": lambda rh: air.specific_volume(degC(20), rh),
    "vapour_pressure_deficit": lambda rh: air.vapour_pressure_deficit(degC(20), rh),
    "pick_up": lambda rh: air.pick_up(degC(20), rh),
    "pick_up, leaving": lambda rh: air.pick_up(degC(20), 0.5, rh),
    "leaving_temperature": lambda rh: air.leaving_temperature(degC(20), rh),
    "rh_when_warmed": lambda rh: air.rh_when_warmed(degC(20), rh, degC(30)),
}


@pytest.mark.parametrize("call", WITH_RH.values(), ids=WITH_RH)
def test_a_humidity_is_a_share(call):
    with pytest.raises(OutOfRange, match=r"\b50 .*\b0\.5\b"):
        call(50)
    with pytest.raises(WrongUnit, match=r'the text "50".*\b0\.5\b'):
        call("50")
    with pytest.raises(OutOfRange, match=r"is written 0\.65"):
        call(65)
    with pytest.raises(WrongUnit, match="percent alone"):
        call(Q(50, "percent"))
    for bad in (-0.1, 1.1, 200, math.nan, math.inf):
        with pytest.raises(OutOfRange):
            call(bad)
    for bad in (None, Q(0.5, "g"), Q(50, "percent_wb"), True):
        with pytest.raises(WrongUnit):
            call(bad)
    with pytest.raises(OutOfRange, match="number 1 of the list, counted from 0"):
        call(np.array([0.5, 50.0]))


@pytest.mark.parametrize("bad", [20, 20.0, "20 °C", None, Q(20, "delta_degC"), Q(20, "Pa"), Q(20, "percent")])
def test_temperatures_of_another_kind(bad):
    with pytest.raises(WrongUnit, match=r"the temperature \(T\)"):
        air.saturation_pressure(bad)


def test_air_too_dry_to_have_a_dew_point():
    with pytest.raises(OutOfRange, match=r"1e-09.*0\.001 or more would work"):
        air.dew_point(degC(20), 1e-9)
    with pytest.raises(OutOfRange, match="number 1 of the list, counted from 0"):
        air.dew_point(degC(20), np.array([0.5, 5e-324]))
    for t in (0.0, 20.0, 50.0):
        assert number(air.dew_point(degC(t), 0.001)) > -100.0


def test_readings_that_cannot_be():
    with pytest.raises(OutOfRange, match=r"Were the two swapped\?"):
        air.rh_from_wet_bulb(degC(18), degC(25))
    with pytest.raises(OutOfRange, match=r"would show 5\.84 °C"):
        air.rh_from_wet_bulb(degC(20), degC(2))
    with pytest.raises(OutOfRange, match="cannot be cooler than that"):
        air.rh_from_dew_point(degC(18), degC(25))
    with pytest.raises(OutOfRange, match="would drip"):
        air.rh_when_warmed(degC(30), 0.8, degC(20))
    with pytest.raises(OutOfRange, match="more water than this air can hold"):
        air.rh_from_humidity_ratio(degC(20), 0.1)
    with pytest.raises(OutOfRange, match="number 1 of the list, counted from 0"):
        air.rh_from_humidity_ratio(degC(20), np.array([0.001, 0.1]))


@pytest.mark.parametrize("bad", [0, 1013.25, 19_999, 180_001, math.nan, math.inf])
def test_pressures_that_no_barometer_shows(bad):
    with pytest.raises(OutOfRange, match=r"inches of mercury"):
        air.humidity_ratio(degC(20), 0.5, pascals(bad))


@pytest.mark.parametrize("bad", [-5001, 11_001, math.nan])
def test_heights_past_the_standard_atmosphere(bad):
    with pytest.raises(OutOfRange, match=r"11,000 m \(36,089 ft\)"):
        air.pressure_at(Q(bad, "m"))
