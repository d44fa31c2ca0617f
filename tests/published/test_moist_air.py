"""Moist air against print, and against two programs made by others: PsychroLib (the same relations) and CoolProp
(real air). The tables say in their first lines where they come from."""

from __future__ import annotations

import itertools

import numpy as np
import psychrolib
import pytest

from herbcalc import air
from herbcalc.units import Q

SEA = 101_325.0


def degC(x):
    return Q(np.asarray(x, dtype=float), "degC")


def pascals(x):
    return Q(np.asarray(x, dtype=float), "Pa")


def off(ours, theirs):
    """The largest difference, as a share of theirs."""
    theirs = np.asarray(theirs, dtype=float)
    return np.max(np.abs(np.asarray(ours) - theirs) / np.abs(theirs))


# --- print ---------------------------------------------------------------------------------------------------------


def test_the_coefficients_are_those_in_print(published):
    printed = published("psychro_constants.csv").set_index("name").value
    assert list(air.ICE) == [printed[f"C{n}"] for n in range(1, 8)]
    assert list(air.WATER) == [printed[f"C{n}"] for n in range(8, 14)]


def test_every_row_of_saturation_pressures(published):
    rows = published("psychro_sat_pressure.csv")
    within = rows[rows.t_C.between(0.0, 50.0)]
    asked = air.saturation_pressure(degC(within.t_C)).magnitude
    # What the sum refuses, its relation still gives: ice down to -60 °C, water up to 150 °C.
    ours = air.saturation_pressure.plain(rows.t_C.to_numpy(dtype=float))
    assert len(within) == 12
    assert np.array_equal(asked, ours[within.index])
    assert np.abs(ours - rows.hw_Pa).max() <= 0.5e-4 * 1.01  # four decimals are printed
    assert np.abs(ours - rows.psychrolib_Pa).max() <= 0.5e-4 * 1.01
    for column, share in (("coolprop_Pa", 2.5e-4), ("tetens_fao56_Pa", 1.3e-3)):
        seen = rows[column].notna()
        assert off(ours[seen], rows[column][seen]) < share
    handbook = rows.ashrae_table3_Pa.notna() & (rows.t_C >= -20)
    assert off(ours[handbook], rows.ashrae_table3_Pa[handbook]) < 3e-4
    # At -60 °C the table prints three figures.
    assert ours[rows.t_C == -60] == pytest.approx(1.08, abs=0.005)


def test_every_row_of_states(published):
    rows = published("psychro_states.csv")
    assert len(rows) == 14
    t, rh, p = degC(rows.t_C), rows.rh.to_numpy(), pascals(rows.P_Pa)
    held, volume = air.humidity_ratio(t, rh, p).magnitude, air.specific_volume(t, rh, p).magnitude
    heat, pull = air.enthalpy(t, rh, p).to("J/kg").magnitude, air.vapour_pressure_deficit(t, rh).magnitude
    dew, wet = air.dew_point(t, rh).magnitude, air.wet_bulb(t, rh, p).magnitude
    vapour = rh * air.saturation_pressure(t).magnitude
    # The columns of PsychroLib, to their own last figure.
    assert np.abs(held - rows.pl_W).max() <= 0.51e-8
    assert np.abs(volume - rows.pl_v_m3_kgda).max() <= 0.51e-6
    assert np.abs(heat - rows.pl_h_J_kgda).max() <= 0.0051
    assert np.abs(vapour - rows.pl_pv_Pa).max() <= 0.00051
    assert np.abs(pull - rows.vpd_Pa).max() <= 0.0051
    assert np.abs(dew - rows.pl_Tdp_C).max() <= 1e-4
    assert np.abs(wet - rows.pl_Twb_C).max() <= 1e-3
    assert np.abs(2.16679 * vapour / (rows.t_C + 273.15) - rows.abs_hum_g_m3).max() <= 0.51e-4
    # The columns of CoolProp, within the bounds that the table names.
    assert off(held, rows.cp_W) < 7e-3
    assert off(heat, rows.cp_h_J_kgda) < 5e-3
    assert off(volume, rows.cp_v_m3_kgda) < 6e-4
    assert off(vapour, rows.cp_pv_Pa) < 6e-3
    assert np.abs(dew - rows.cp_Tdp_C).max() < 0.03
    assert np.abs(wet - rows.cp_Twb_C).max() < 0.02


def test_every_row_of_what_air_carries(published):
    rows = published("psychro_air_capacity.csv")
    assert len(rows) == 10
    outside, t_in = degC(rows.t_amb_C), degC(rows.t_in_C)
    rh_in = air.rh_when_warmed(outside, rows.rh_amb.to_numpy(), t_in).magnitude
    assert np.abs(rh_in - rows.rh_in).max() <= 0.51e-4
    held, volume = air.humidity_ratio(t_in, rh_in).magnitude, air.specific_volume(t_in, rh_in).magnitude
    assert np.abs(held - rows.W_kg_kg).max() <= 0.51e-6
    assert np.abs(air.wet_bulb(t_in, rh_in).magnitude - rows.twb_C).max() <= 1.5e-3
    for end, column, per_m3, cooled, gone in (
        (0.8, "g_per_kgda_80", "g_per_m3_80", "tout80_C", "Wout80"),
        (1.0, None, "g_per_m3_sat", "tout_sat_C", "Wout_sat"),
    ):
        taken = air.pick_up(t_in, rh_in, end).magnitude
        if column:
            assert np.abs(1000 * taken - rows[column]).max() <= 1.1e-3
        assert np.abs(1000 * taken / volume - rows[per_m3]).max() <= 1.5e-3
        assert np.abs(held + taken - rows[gone]).max() <= 1.1e-6
        assert np.abs(air.leaving_temperature(t_in, rh_in, end).magnitude - rows[cooled]).max() <= 1.5e-3
    full = rows["case"] == "ambient humid summer"
    assert air.pick_up(t_in, rh_in).magnitude[full] == 0.0
    heat = (air.enthalpy(t_in, rh_in) - air.enthalpy(outside, rows.rh_amb.to_numpy())).magnitude
    each = heat[~full] / air.pick_up(t_in, rh_in).magnitude[~full]
    assert np.abs(each - rows.heat_kJ_per_kg_water_80[~full]).max() <= 1.5


def test_the_handbooks_first_example():
    # ASHRAE Handbook, Fundamentals (2017), ch. 1, example 1, read off the chart: air at 40 °C with a wet bulb of
    # 20 °C holds 6.5 g/kg, 56.7 kJ/kg, dew point 7 °C, 14 % full, 0.896 m³/kg.
    t = Q(40, "degC")
    rh = air.rh_from_wet_bulb(t, Q(20, "degC"))
    assert rh.magnitude == pytest.approx(0.14, abs=0.005)
    assert 1000 * air.humidity_ratio(t, rh).magnitude == pytest.approx(6.5, abs=0.15)
    assert air.enthalpy(t, rh).magnitude == pytest.approx(56.7, abs=0.05)
    assert air.dew_point(t, rh).magnitude == pytest.approx(7.0, abs=0.5)
    assert air.specific_volume(t, rh).magnitude == pytest.approx(0.896, abs=0.0005)


@pytest.mark.parametrize(("t", "printed"), [(5, 0.005425), (25, 0.020173), (50, 0.086863)])
def test_full_air_in_the_handbooks_table(t, printed):
    # ASHRAE Handbook, Fundamentals (2017), ch. 1, table 2, is of real air: about 0.5 % above its own equations.
    assert air.humidity_ratio(Q(t, "degC"), 1).magnitude == pytest.approx(printed, rel=7e-3)


@pytest.mark.parametrize(
    ("metres", "printed"),
    [(0, 101_325), (500, 95_461), (1000, 89_875), (1500, 84_556), (11_000, 22_632), (-500, 107_478)],
)
def test_the_standard_atmosphere(metres, printed):
    # ASHRAE Handbook, Fundamentals (2017), ch. 1, table 1, in kPa with three decimals; 11,000 m is the top of the
    # lowest layer of the ICAO atmosphere, 22,632 Pa.
    assert air.pressure_at(Q(metres, "m")).magnitude == pytest.approx(printed, abs=3.0)


def test_a_tray_load_worked_through():
    # Worked with PsychroLib 2.5.0: 3.814 kg of water out of 5 kg of peppermint leaf need 1920.4 kg of dry air of
    # 25 °C and half full, 1648 m³; or 639.2 kg of air of 20 °C, 0.6 full, warmed to 38 °C: 571 m³ of it warm.
    water = 5.0 * (0.7865 - 0.10) / 0.90
    room = Q(25, "degC"), 0.5
    warm = Q(38, "degC"), air.rh_when_warmed(Q(20, "degC"), 0.6, Q(38, "degC"))
    for state, kilos, cubic in ((room, 1920.4, 1648), (warm, 639.2, 571)):
        needs = water / air.pick_up(*state).magnitude
        assert needs == pytest.approx(kilos, rel=1e-3)
        assert needs * air.specific_volume(*state).magnitude == pytest.approx(cubic, rel=1e-3)


# --- programs by others --------------------------------------------------------------------------------------------

GRID = list(itertools.product(np.arange(0.0, 50.01, 2.5), np.arange(0.05, 0.951, 0.05), (SEA, 84_556.0)))


@pytest.fixture(scope="module")
def grid():
    t, rh, p = np.array(GRID).T
    return t, rh, p


@pytest.mark.parametrize(
    ("sum_", "theirs"),
    [
        (lambda t, rh, p: air.saturation_pressure(t), lambda t, rh, p: psychrolib.GetSatVapPres(t)),
        (air.humidity_ratio, psychrolib.GetHumRatioFromRelHum),
        (
            air.specific_volume,
            lambda t, rh, p: psychrolib.GetMoistAirVolume(t, psychrolib.GetHumRatioFromRelHum(t, rh, p), p),
        ),
        (
            lambda t, rh, p: air.enthalpy(t, rh, p).to("J/kg"),
            lambda t, rh, p: psychrolib.GetMoistAirEnthalpy(t, psychrolib.GetHumRatioFromRelHum(t, rh, p)),
        ),
        (
            lambda t, rh, p: air.vapour_pressure_deficit(t, rh),
            lambda t, rh, p: psychrolib.GetSatVapPres(t) - psychrolib.GetVapPresFromRelHum(t, rh),
        ),
    ],
    ids=["saturation pressure", "humidity ratio", "specific volume", "enthalpy", "vapour pressure deficit"],
)
def test_psychrolib_over_the_grid(grid, sum_, theirs):
    psychrolib.SetUnitSystem(psychrolib.SI)
    t, rh, p = grid
    assert off(sum_(degC(t), rh, pascals(p)).magnitude, [theirs(*map(float, row)) for row in GRID]) < 1e-6


def test_psychrolib_dew_points(grid):
    psychrolib.SetUnitSystem(psychrolib.SI)
    t, rh, _ = grid
    theirs = [psychrolib.GetTDewPointFromRelHum(float(a), float(b)) for a, b, _ in GRID]
    # Theirs stops within a thousandth of a degree.
    assert np.abs(air.dew_point(degC(t), rh).magnitude - theirs).max() < 2e-3


def test_psychrolib_wet_bulbs(grid):
    psychrolib.SetUnitSystem(psychrolib.SI)
    t, rh, p = grid
    ours = air.wet_bulb(degC(t), rh, pascals(p)).magnitude
    theirs = np.array([psychrolib.GetTWetBulbFromRelHum(*map(float, row)) for row in GRID])
    same = np.abs(ours - theirs) < 2e-3
    # Where a wet wick and a frozen one would both settle, either may be named; theirs then balances on ours too.
    assert same.sum() >= len(GRID) - 4
    for at in np.flatnonzero(~same):
        assert ours[at] >= 0.0 > theirs[at]
        held = psychrolib.GetHumRatioFromTWetBulb(float(t[at]), float(theirs[at]), float(p[at]))
        assert held == pytest.approx(psychrolib.GetHumRatioFromRelHum(*map(float, GRID[at])), rel=2e-3)


def test_psychrolib_heights():
    psychrolib.SetUnitSystem(psychrolib.SI)
    heights = np.linspace(-500.0, 5000.0, 23)
    theirs = [psychrolib.GetStandardAtmPressure(float(z)) for z in heights]
    assert off(air.pressure_at(Q(heights, "m")).magnitude, theirs) < 1e-9


@pytest.mark.parametrize(
    ("sum_", "wanted", "share", "apart"),
    [
        # Real air holds 0.4 to 0.7 % more vapour than two ideal gases would. The last two columns: a share, and J/kg
        # or K on top of it.
        (air.humidity_ratio, "W", 7e-3, 0.0),
        (air.specific_volume, "V", 7e-4, 0.0),
        (lambda t, rh, p: air.enthalpy(t, rh, p).to("J/kg"), "H", 5e-3, 60.0),
        (lambda t, rh, p: air.dew_point(t, rh), "D", 0.0, 0.03),
        (air.wet_bulb, "B", 0.0, 0.03),
    ],
    ids=["humidity ratio", "specific volume", "enthalpy", "dew point", "wet bulb"],
)
def test_coolprop_over_the_grid(grid, sum_, wanted, share, apart):
    t, rh, p = grid
    ours = sum_(degC(t), rh, pascals(p)).magnitude
    from CoolProp.HumidAirProp import HAPropsSI  # a second to load, which this worker alone pays

    theirs = np.array([HAPropsSI(wanted, "T", a + 273.15, "P", c, "R", b) for a, b, c in GRID])
    if wanted in "DB":
        theirs = theirs - 273.15
    far = np.abs(ours - theirs) > share * np.abs(theirs) + apart
    if wanted == "B":  # near freezing either wick may be named, and CoolProp holds on to ice up to 0.01 °C
        far &= np.abs(theirs) > 0.6
    assert not far.any(), [(GRID[i], ours[i], theirs[i]) for i in np.flatnonzero(far)[:5]]
