"""What keeps without alcohol, and what stands on the spoon, against figures in print. Source beside each."""

from __future__ import annotations

import numpy as np
import pytest

from herbcalc import dosing, preserving
from herbcalc.units import Q

GLYCERIN = Q(1.261, "g/mL")  # CRC Handbook of Chemistry and Physics
MINIM = 1 / 480  # US fl oz, by definition


def test_norrish_row_by_row(published):
    t = published("water_activity_norrish.csv")
    assert len(t) == 32
    for solute, rows in t.groupby("solute"):
        ours = preserving.water_activity(solute, rows.percent_w_w.to_numpy() / 100)
        assert np.abs(ours - rows.aw_K_Chirife).max() <= 0.00005 + 1e-9  # four printed decimals
        # Two sets of constants in print: how far they lie apart is how far either may be trusted.
        assert np.abs(ours - rows.aw_K_Norrish1966).max() <= (0.03 if solute == "glycerol" else 0.0045)


def test_sugar_solutions_as_they_were_measured():
    """Isopiestic measurements, R. A. Robinson and R. H. Stokes, Electrolyte Solutions (1959), from memory."""
    molal = np.array([1.0, 3.0, 5.0, 6.0])  # mol of sucrose in a kilogram of water
    measured = np.array([0.9806, 0.9328, 0.8776, 0.8493])
    grams = molal * 342.297
    ours = preserving.water_activity("sucrose", grams / (grams + 1000.0))
    assert np.abs(ours - measured).max() <= 0.001  # 0.0007 the widest seen


def test_glycerin_solutions_as_they_were_measured():
    """C. F. Forney and D. G. Brandl, HortTechnology 2 (1992) 52-54, from memory: the specific gravity of a glycerol
    solution for a humidity. From 0.75 up the two agree to 0.03; below, measurements lie higher by up to 0.05."""
    humidity = np.array([95.0, 90.0, 85.0, 80.0, 75.0, 60.0])
    gravity = (-0.189 * humidity + 19.9) ** 0.0806
    # Glycerol by mass from specific gravity, CRC Handbook, 20 °C, from memory.
    printed = [1.0, 1.0221, 1.0470, 1.0727, 1.0993, 1.1263, 1.1538, 1.1814, 1.2084, 1.2347, 1.2611]
    by_mass = np.interp(gravity, printed, np.linspace(0, 1, 11))
    apart = humidity / 100 - preserving.water_activity("glycerol", by_mass)
    assert np.abs(apart[:5]).max() <= 0.03
    assert 0.0 <= apart[5] <= 0.05


def test_shares_at_which_the_activity_falls_to_a_target(published):
    t = published("water_activity_targets.csv")
    assert len(t) == 11
    glycerol = preserving.share_for_activity("glycerol", t.aw_target.to_numpy())
    sucrose = preserving.share_for_activity("sucrose", t.aw_target.to_numpy())
    assert np.abs(100 * glycerol - t["glycerol_percent_w_w_K1.16"]).max() <= 0.05 + 1e-9
    assert np.abs(100 * sucrose - t.sucrose_percent_w_w).max() <= 0.05 + 1e-9
    # The same shares by volume, from the table's 1.261 and 0.998 g/mL; ours takes a mL of water as 1 g.
    back = preserving.by_weight(t.glycerol_percent_v_v_before_mixing.to_numpy() / 100, GLYCERIN)
    assert np.abs(100 * back - t["glycerol_percent_w_w_K1.16"]).max() <= 0.13


def test_official_simple_syrup():
    """Syrup, USP 28 to 32: 850 g of sucrose made up to 1000 mL; specific gravity 1.313 (Ansel; Remington)."""
    share = preserving.sugar_share(Q(850, "g"), Q(1313 - 850, "g"))
    assert share == pytest.approx(0.6474, abs=5e-5)
    assert preserving.sugar_needed(Q(463, "g"), 0.6474).magnitude == pytest.approx(850, abs=0.5)
    assert preserving.water_activity("sucrose", share) == pytest.approx(0.867, abs=0.0005)
    # Two cups of granulated sugar (200 g each, USDA) and one of water are not 2 to 1 by weight.
    assert preserving.sugar_share(Q(400, "g"), Q(236.6, "g")) == pytest.approx(0.628, abs=0.0005)


def test_vinegar_falls_under_the_standard():
    """4 g of acetic acid in 100 mL: FDA, Compliance Policy Guide 525.825. 5 % vinegar on fresh herb falls below."""
    jar = Q(100, "g"), Q(75, "percent_wb"), Q(200, "mL")
    assert preserving.acid_share(*jar, 0.05) == pytest.approx(0.0364, abs=5e-5)
    needed = preserving.vinegar_needed(*jar[:2], 0.04, 0.05)
    assert preserving.acid_share(*jar[:2], needed, 0.05) == pytest.approx(0.04, abs=1e-12)


def test_simple_ointment_is_one_fifth_wax():
    """Unguentum, US Dispensatory 1918: 200 g of white wax and 800 g of lard; 250 and 750 in hot weather."""
    lard = Q(800 / 0.915, "mL")
    assert preserving.wax_share(Q(200, "g"), lard) == pytest.approx(0.2, abs=1e-12)
    assert preserving.wax_needed(Q(750 / 0.915, "mL"), 0.25).magnitude == pytest.approx(250, abs=1e-9)


def test_drops_of_a_century_ago():
    """Drops in 60 minims (3.70 mL): water 60, alcohol 146, dilute alcohol 137, glycerin 67, syrup 65."""
    dram = Q(60 * MINIM, "fl_oz")
    counted = {60: 16.2, 146: 39.5, 137: 37.1, 67: 18.1, 65: 17.6}
    for drops, per_mL in counted.items():
        assert dosing.drops_per_mL(drops, dram).magnitude == pytest.approx(per_mL, abs=0.05)


def test_the_standard_dropper():
    """USP 32 <1101>: a drop of water weighs 45 to 55 mg, so 18 to 22 drops for each mL."""
    for milligrams, per_mL in ((45, 22), (50, 20), (55, 18)):
        counts = [round(5000 / milligrams)]
        assert dosing.drops_per_mL(counts, Q(5, "mL")).magnitude == pytest.approx(per_mL, abs=0.25)
        assert dosing.volume_of_drops(1, Q(1000 / milligrams, "1/mL")).magnitude == pytest.approx(milligrams / 1000)


def test_herb_behind_an_amount(published):
    """Definition of weight to volume; 1 mL of a fluidextract stands for 1 g (USP)."""
    t = published("dose_arithmetic.csv")
    ratios = Q([1.0, 2.0, 3.0, 4.0, 5.0, 10.0], "mL/g")
    for volume, column in (
        (Q(1, "mL"), "mg_herb_per_mL"),
        (Q(5, "mL"), "mg_per_5_mL"),
        (Q(1, "tsp"), "mg_per_US_teaspoon"),
    ):
        ours = dosing.herb_per_dose(volume, ratios).to("mg").magnitude
        assert ours == pytest.approx(t[column].to_numpy(), rel=5e-5)
    for per_mL in (20, 30):
        drop = dosing.volume_of_drops(1, Q(per_mL, "1/mL"))
        ours = dosing.herb_per_dose(drop, ratios).to("mg").magnitude
        assert ours == pytest.approx(t[f"mg_per_drop_at_{per_mL}_per_mL"].to_numpy(), abs=0.006)


def test_a_standard_drink():
    """14 g of alcohol is a US standard drink (NIAAA): 29.6 mL of 60 % vol, and 12 fl oz of beer of 5 % vol."""
    assert dosing.alcohol_per_dose(Q(29.6, "mL"), Q(60, "percent_vol")).magnitude == pytest.approx(14, abs=0.05)
    assert dosing.alcohol_per_dose(Q(12, "fl_oz"), Q(5, "percent_vol")).magnitude == pytest.approx(14, abs=0.05)
