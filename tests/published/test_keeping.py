"""What keeps without alcohol, and what stands on the spoon, against figures in print. Source beside each."""

from __future__ import annotations

import re

import numpy as np
import pytest

from herbcalc import dosing, ethanol, liquids, preserving
from herbcalc.rules import Rules
from herbcalc.show.lessons import lesson11_wax
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


# Water in honey, %, against refractive index at 20 °C: the table of the International Honey Commission, as Hanna
# Instruments prints it (blog.hannaservice.eu, "Refraction index"), from Chataway's and Wedmore's figures.
HONEY_TABLE = """
13.0 1.5044 13.2 1.5038 13.4 1.5033 13.6 1.5028 13.8 1.5023 14.0 1.5018 14.2 1.5012 14.4 1.5007 14.6 1.5002
14.8 1.4997 15.0 1.4992 15.2 1.4987 15.4 1.4982 15.6 1.4976 15.8 1.4971 16.0 1.4966 16.2 1.4961 16.4 1.4956
19.0 1.4890 19.2 1.4885 19.4 1.4880 19.6 1.4875 19.8 1.4870 20.0 1.4865 20.2 1.4860 20.4 1.4855 20.6 1.4850
20.8 1.4845 21.0 1.4840 21.2 1.4835 21.4 1.4830 21.6 1.4825 21.8 1.4820 22.0 1.4815 22.2 1.4810 22.4 1.4805
"""


def test_honey_on_the_scale_of_a_refractometer():
    printed = np.array(HONEY_TABLE.split(), dtype=float).reshape(-1, 2)
    assert len(printed) == 36
    apart = preserving.honey_by_index(printed[:, 1]).magnitude - printed[:, 0]
    assert np.abs(apart).max() <= 0.06  # a step of the last printed figure is 0.04 % of water


def test_honey_counted_as_cane_sugar_is_on_the_safe_side():
    """Measured on liquid honeys: activity 0.340 + 0.014 for each % of water. M. Rüegg and B. Blanc, Lebensm.-Wiss.
    Technol. 14 (1981) 1-6, from memory. Its sugars are smaller than sucrose: its water is held faster than we say."""
    water = np.linspace(16.5, 21, 10)
    over = preserving.water_activity("sucrose", 1 - water / 100) - (0.340 + 0.014 * water)
    assert np.all(over > 0)
    assert over.max() < 0.08


def test_acid_by_weight_and_by_volume():
    """4 g in 100 mL (FDA) of a vinegar that weighs 1.006 g a mL (handbooks, from memory) is 3.976 % by weight. By
    weight, which nothing shrinks, a jar ends within a hundredth of what the kitchen rule says of it."""
    heavy = 1.006
    assert 4 / heavy == pytest.approx(3.976, abs=0.0005)
    for brings, poured, acid in ((80.0, 300.0, 0.05), (80.0, 320.0, 0.05), (10.0, 200.0, 0.04)):
        by_volume = preserving.acid_share(Q(100, "g"), Q(brings, "percent_wb"), Q(poured, "mL"), acid)
        by_weight = acid * poured / (poured * heavy + brings)
        assert by_weight < by_volume
        assert by_weight == pytest.approx(by_volume, rel=0.01)


def test_what_a_syrup_takes_up():
    """Sucrose by mass and its density, g/mL, at 20 °C: ICUMSA tables, from memory."""
    printed = {40: 1.1765, 50: 1.2296, 60: 1.2865, 65: 1.3163}
    for percent, density in printed.items():
        room = preserving.syrup_volume(Q(percent, "g"), Q(100 - percent, "g")).magnitude
        assert 100 / density == pytest.approx(room, rel=0.01)


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


def test_the_drops_that_ship_are_those_printed():
    """F. J. S. Gorgas, Dental Medicine, "Measuring liquids by drops": drops in sixty minims."""
    assert dosing.OF_OLD == {"water": 60, "syrup": 65, "glycerin": 67, "dilute alcohol": 137, "alcohol": 146}
    assert dosing.SIXTY_MINIMS.to("mL").magnitude == pytest.approx(3.697, abs=0.0005)


def test_three_spirits_in_one_bottle():
    """3000 mL of 40, 1000 of 60 and 1000 of 70 % v/v are 50 %, no contraction assumed: a textbook sum of alligation
    medial (Ansel and Stoklosa, Pharmaceutical Calculations). Measured they are a little stronger."""
    mix = ethanol.mix(Q([3000, 1000, 1000], "mL"), Q([40, 60, 70], "percent_vol"))
    assert mix.strength_by_kitchen_rule.magnitude == pytest.approx(50, abs=1e-9)
    assert 50 < mix.strength.magnitude < 50.3


def test_a_unit_of_the_uk():
    """One UK unit is 10 mL of alcohol, or 8 g (Department of Health): 25 mL of 40 % vol."""
    assert dosing.volume_with(Q(8, "g"), Q(40, "percent_vol")).magnitude == pytest.approx(25, rel=0.02)
    assert dosing.alcohol_per_dose(Q(10, "mL"), Q(100, "percent_vol")).magnitude == pytest.approx(8, rel=0.02)


def test_alcohol_in_food_that_nobody_calls_alcoholic():
    """Gorgus et al., J. Anal. Toxicol. 40 (2016), 537: juices up to 0.77 g/L, packed burger rolls 1.2 g in 100 g."""
    from herbcalc.show.lessons import lesson12_drops

    assert pytest.approx(0.154) == lesson12_drops.JUICE
    assert pytest.approx(0.6) == lesson12_drops.ROLL


def test_a_standard_drink():
    """14 g of alcohol is a US standard drink (NIAAA): 29.6 mL of 60 % vol, and 12 fl oz of beer of 5 % vol."""
    assert dosing.alcohol_per_dose(Q(29.6, "mL"), Q(60, "percent_vol")).magnitude == pytest.approx(14, abs=0.05)
    assert dosing.alcohol_per_dose(Q(12, "fl_oz"), Q(5, "percent_vol")).magnitude == pytest.approx(14, abs=0.05)


def test_wilting_as_a_dairy_feeds_by_it():
    """Manitoba Agriculture, Check Moisture Content Regularly: 70 lb of silage at 70 % water, 60 lb at 65 and 52 lb at
    60 carry one and the same dry matter. So what 70 lb lose on the way to 60 and to 52 leaves 65 and 60 % water."""
    before, pounds = Q(70, "percent_wb"), np.array([60.0, 52.0])
    after = preserving.wilted_water(before, 1 - pounds / 70).magnitude
    assert after == pytest.approx([65.0, 60.0], abs=0.5)  # the pounds are whole ones
    assert after[0] == pytest.approx(65.0, abs=1e-9)


def test_oil_weighs_what_the_food_standards_say():
    """Codex Alimentarius, relative density at 20 °C against water at 20 °C: olive oil 0.910 to 0.916 (CXS 33-1981),
    sunflower oil 0.918 to 0.923 (CXS 210-1999). Ours lies between the two kinds."""
    water = 0.9982
    ours = preserving.OIL.magnitude / water
    assert ours == pytest.approx(0.916, rel=0.001)  # the heaviest olive oil
    assert ours == pytest.approx(0.923, rel=0.01)  # the heaviest sunflower oil
    assert liquids.density("oil") == preserving.OIL


def test_a_cooled_salve_weighs_between_its_oil_and_its_wax():
    """Beeswax, BPC 1911: specific gravity 0.958 to 0.970. Oil and wax that simply add their room come to 0.920 to
    0.930 for 12 to 25 % wax; the 0.93 of the kitchen is within 1.2 % of that, on the side of fewer tins."""
    for share in (0.116, 0.2, 0.25):
        for wax in (0.958, 0.970):
            adding = 1 / (share / wax + (1 - share) / preserving.OIL.magnitude)
            assert 0.0 < preserving.SALVE.magnitude / adding - 1 < 0.012


def test_printed_ointments_lie_around_the_house_rules():
    """By weight: White Ointment USP, 5 of 100; Ceratum Paraffini, BPC 1911, 6.25; Unguentum, US Dispensatory 1918,
    20, and 25 in hot weather; Ceratum, USP by BPC 1911, 30; Simple Cerate, USP 1850, one part of wax, two of
    lard."""
    printed = {
        (50, 950): 0.05,
        (6.25, 93.75): 0.0625,
        (200, 800): 0.2,
        (250, 750): 0.25,
        (30, 70): 0.3,
        (1, 2): 1 / 3,
    }
    for (wax, fat), share in printed.items():
        assert preserving.wax_share(Q(wax, "g"), Q(fat / 0.915, "mL")) == pytest.approx(share, abs=1e-12)
    rules = Rules()
    assert min(printed.values()) < rules.wax_soft < rules.wax_firm < max(printed.values())
    assert rules.wax_firm in printed.values()
    assert preserving.wax_share(Q(1, "oz"), Q(8, "fl_oz")) == pytest.approx(rules.wax_soft, abs=0.0005)


def test_beeswax_melts_where_the_panel_says():
    """BPC 1911: 61 to 64 °C; the course's 62 to 64 °C (144 to 147 °F) lies within it, and over the 50 to 60 °C of the
    infused oils (Olea Infusa, National Formulary, in King's American Dispensatory 1898): warm oil melts no wax."""
    low, high = (int(n) for n in re.search(r"(\d+) to (\d+) °C", lesson11_wax.CAUTION).groups())
    assert 61 <= low < high <= 64
    fahrenheit = [round(Q(float(n), "degC").to("degF").magnitude) for n in (low, high)]
    assert f"{fahrenheit[0]} to {fahrenheit[1]} °F" in lesson11_wax.CAUTION
    assert low > 60


def test_days_in_print_are_the_bounds_of_the_house_rule():
    """Fresh herb or garlic in oil, cold. University of Missouri Extension 2013: 2 to 3 days; Oregon State and
    Colorado State, told by Nassau County Extension 2014: 3; University of Idaho Extension 2013: 4. Health
    Canada, told by a recipe page: 2 to 3, and a week for oil that was warmed."""
    about = Rules.__dataclass_fields__["cold_days"].metadata
    printed = (2, 3, 4, 7)
    assert (about["low"], about["high"]) == (min(printed), max(printed))
    assert Rules().cold_days in printed
    assert "isputed" in about["sentence"]
