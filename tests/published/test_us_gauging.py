"""The US Gauging Manual (27 CFR part 30): measured by others, so independent of OIML R 22. All strengths at 60 °F."""

from __future__ import annotations

import numpy as np
import pytest

from herbcalc import ethanol
from herbcalc.ethanol import GLASS
from herbcalc.units import Q

AIR, BRASS = 1.2, 8400.0  # kg/m³: what lifts a weight in air, and the weights it is balanced by
US_GALLON, POUND = 231 * 0.0254**3, 0.45359237  # m³, kg; exact by definition


def true_proof(at_60f, reading, fahrenheit):
    """What `ethanol.true_strength` makes of a proof hydrometer, whose scale is right at 60 °F.

    A hydrometer graduated at 20 °C would show the strength whose density at 20 °C is the same weight over the same
    glass; the glass at 60 °F is a little smaller than at 20 °C.
    """
    there = at_60f.density(at_60f.mass(np.asarray(reading, dtype=float) / 2.0))
    as_at_20 = ethanol.strength_from_density(Q(there * (1.0 + GLASS * (at_60f.celsius - 20.0)), "kg/m**3"))
    true = ethanol.true_strength(as_at_20, Q(np.asarray(fahrenheit, dtype=float), "degF"))
    return 2.0 * at_60f.volume(ethanol.to_mass(true).magnitude)


def test_table_1_the_hydrometer(published, at_60f):
    t = published("us_gauging_table1.csv")
    gap = np.abs(true_proof(at_60f, t.reading, t.temperature_f) - t.true_proof)
    # One decimal is printed; the widest gap is 0.198 proof, at 20 proof and 40 °F, where the curve is flattest.
    assert gap.max() <= 0.2
    assert gap.mean() <= 0.05


def test_table_1_example_in_the_regulation(at_60f):
    # 27 CFR 30.61: a reading of 193 at 75 °F is a true proof of 189.5.
    assert true_proof(at_60f, [193.0], [75.0])[0] == pytest.approx(189.5, abs=0.05)


def test_table_1_misprint_left_out(at_60f):
    # The copy has 48.4 for a reading of 50 at 65 °F; its neighbours and the formula ask for 48.0.
    assert true_proof(at_60f, [50.0], [65.0])[0] == pytest.approx(48.0, abs=0.06)


def test_table_4_gallons_per_pound(published, at_60f):
    t = published("us_gauging_table4.csv")
    density = at_60f.density(at_60f.mass(t.proof / 2.0))
    pounds = (density - AIR) / (1.0 - AIR / BRASS) * US_GALLON / POUND
    # Five decimals: 0.000005 of print, and two thirds as much again of what two measurements differ by.
    assert np.abs(1.0 / pounds - t.wine_gallons).max() <= 0.00002
    assert np.abs(t.proof / 100.0 / pounds - t.proof_gallons).dropna().max() <= 0.00004


def test_table_4_examples_in_the_regulation(published, at_60f):
    pounds = (at_60f.density(at_60f.mass(95.0)) - AIR) / (1.0 - AIR / BRASS) * US_GALLON / POUND
    # 27 CFR 30.64: 81 000 lb of 190 proof; printed 11 921.6 wine gallons and 22 650.8 proof gallons from factors of
    # five decimals, so that half a unit of the last is 0.4 gallons (1 proof gallon: the factor carries 1.9 of them).
    assert 81_000 / pounds == pytest.approx(11_921.6, abs=0.7)
    assert 81_000 / pounds * 1.9 == pytest.approx(22_650.8, abs=1.5)
    # 27 CFR 30.65: 100 gallons of 190 proof weigh 679.43 lb.
    assert 100 * pounds == pytest.approx(679.43, abs=0.03)


def test_table_6_alcohol_and_water(published, at_60f):
    t = published("us_gauging_table6.csv")
    p = at_60f.mass(t.proof / 2.0)
    rho, alcohol, water = at_60f.density(p), at_60f.density(100.0), at_60f.density(0.0)
    parts_of_water = (100.0 * rho - t.alcohol * alcohol) / water
    assert np.abs(parts_of_water - t.water).max() <= 0.015  # two decimals printed; 0.0122 the widest seen
    assert np.abs(rho / water - t.sg_vacuum).max() <= 0.00008
    assert np.abs((rho - AIR) / (water - AIR) - t.sg_air).max() <= 0.00009


def test_table_6_rule_for_cutting(at_60f):
    """27 CFR 30.66: water to add = (A1/A2) W2 - W1, from the parts of alcohol and water of the two strengths."""

    def parts(proof):
        alcohol = proof / 2.0
        rho = at_60f.density(at_60f.mass(alcohol))
        return alcohol, (100.0 * rho - alcohol * at_60f.density(100.0)) / at_60f.density(0.0)

    def water(start, end):
        (a1, w1), (a2, w2) = parts(start), parts(end)
        return a1 / a2 * w2 - w1

    # 100 gallons of 112 proof to 100 proof: 12.4276, printed cut off as 12.42.
    assert water(112.0, 100.0) == pytest.approx(12.4276, abs=0.015)
    # 191 to 188 proof: the page prints 1.84, because 95.5/94 was cut to 1.01 on the way; unrounded it is 1.8875.
    assert water(191.0, 188.0) == pytest.approx(1.8875, abs=0.015)


def test_table_7_volume_at_60_f(published, at_60f):
    t = published("us_gauging_table7.csv")
    p = at_60f.mass(t.proof / 2.0)
    ours = at_60f.density(p, (t.temperature_f - 32.0) * 5.0 / 9.0) / at_60f.density(p)
    # Three decimals: half a unit, and a fifth of one for the difference of the measurements.
    assert np.abs(ours - t.factor).max() <= 0.00075


@pytest.mark.parametrize(("proof", "fahrenheit", "factor"), [(86.8, 72.0, 0.995), (115.0, 68.0, 0.996)])
def test_table_7_cells_in_the_regulation(at_60f, proof, fahrenheit, factor):
    # 27 CFR 30.51 and 30.25 print these two in their worked examples.
    p = at_60f.mass(proof / 2.0)
    ours = float(at_60f.density(p, (fahrenheit - 32.0) * 5.0 / 9.0) / at_60f.density(p))
    assert ours == pytest.approx(factor, abs=0.0006)


def test_worked_example_of_a_tank(at_60f):
    # 27 CFR 30.51: 88 in x 48.96 gallons per inch at 72 °F, 86.8 proof: 3721.1 proof gallons, with the factor
    # rounded to 0.995 (0.0005 of it is 1.9 gallons).
    p = at_60f.mass(43.4)
    factor = float(at_60f.density(p, (72.0 - 32.0) * 5.0 / 9.0) / at_60f.density(p))
    assert 88 * 48.96 * factor * 0.868 == pytest.approx(3721.1, abs=1.9)


def test_a_gallon_of_water(at_60f):
    # 27 CFR 21.161: 8.32823 lb in air at 60 °F. The gap of 0.0001 is the older density of water behind it.
    pounds = (at_60f.density(0.0) - AIR) / (1.0 - AIR / BRASS) * US_GALLON / POUND
    assert float(pounds) == pytest.approx(8.32823, abs=0.00015)


def test_proof_at_60_f_and_at_20_c(at_60f):
    """herbcalc reads proof as half a % vol at 20 °C; the legal 60 °F moves it by 0.08 % vol at most."""
    strengths = np.linspace(0.0, 100.0, 1001)
    gap = np.abs(at_60f.volume(ethanol.to_mass(Q(strengths, "percent_vol")).magnitude) - strengths)
    assert 0.07 < gap.max() < 0.08
