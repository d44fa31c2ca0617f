"""The teacher's notes beside the lessons: each has its parts; its scenes are the panel's, its figures the sums'."""

from __future__ import annotations

import dataclasses
import math
import re
from pathlib import Path

import pytest

from herbcalc import (
    air,
    batch,
    compare,
    dosing,
    drying,
    ethanol,
    harvest,
    liquids,
    maceration,
    menstruum,
    moisture,
    percolation,
    preserving,
)
from herbcalc.rules import Rules
from herbcalc.show.here import module as panel_module
from herbcalc.show.here import panels
from herbcalc.show.look import View
from herbcalc.show.story import bands, scenes
from herbcalc.units import Q, amount
from herbcalc.units.refusals import Impossible, OutOfRange

WORKBOOK = Path(__file__).resolve().parent.parent / "workbook"
NOTES = WORKBOOK / "teacher"
LESSONS = [path for path in sorted(WORKBOOK.glob("*.ipynb")) if not path.name.startswith("00")]
PARTS = ("**The one idea.**", "| Drag |", "| Ask first |", "| They will say |", "What happens", "| Why |")
SCENES = "**The scenes, in the order of Next.**"
FURTHER = "**The scenes of the panel {name}, in the order of Next.**"
LAST = ("**Five minutes, no projector.**", "**Cautions at the moment of use.**")

ROOT = amount("250 g")
LEAF, WET, FRESH = amount("100 g"), amount("80 %", "moisture"), amount("75 %", "moisture")
VODKA, FLOOR = amount("40 % vol"), amount("35 % vol")
TAP = percolation.flow_for(LEAF, Q(2.0, "mL/min/kg"))  # moderate, for 100 g
HERB, KEEPS, ONE_TO_5 = amount("100 g"), Q(1.5, "mL/g"), amount("1:5")
SIXTY = (amount("60 mL"), ONE_TO_5, KEEPS)


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_each_lesson_has_its_notes(path):
    notes = (NOTES / path.with_suffix(".md").name).read_text(encoding="utf-8")
    for part in (*PARTS, *LAST):
        assert part in notes, part
    assert len(notes.split()) < 700 * max(1, len(panels(int(path.stem[:2])))), "short enough to read before class"
    assert not re.search(r"\b(error|invalid|wrong)\b", notes, re.IGNORECASE)


def said(scene, module):
    """A scene as the notes must say it: the bands and the answer that the panel shows."""
    rules, view = Rules(), View()
    try:
        number = module.look(scene.setting, rules, view).number(scene.asks)
    except (Impossible, OutOfRange):
        start = module.look(scenes(module, rules)[0].setting, rules, view)
        number = dataclasses.replace(start.number(scene.asks), value=scene.none, amount=None)
    guesses = " / ".join(band.words for band in bands(scene, number, rules, view))
    return f"{scene.title}: {guesses}. {number.value}"


@pytest.mark.parametrize(
    ("path", "name"),
    [pytest.param(p, n, id=f"{p.stem} {n}".strip()) for p in LESSONS for n in panels(int(p.stem[:2]))],
)
def test_the_scenes_in_the_notes_are_those_of_the_panel(path, name):
    """Same order, same bands, same answers: a teacher reads them out before the class sees them."""
    notes = (NOTES / path.with_suffix(".md").name).read_text(encoding="utf-8")
    head = FURTHER.format(name=name) if name else SCENES
    assert notes.count(head) == 1
    listed = notes.partition(head)[2].strip("\n").partition("\n\n")[0].splitlines()
    module = panel_module(int(path.stem[:2]), name)
    there = scenes(module, Rules())
    assert listed == [f"{n}. {said(scene, module)}" for n, scene in enumerate(there, 1)]


def water(fresh, before, after):
    return moisture.dried_weight(fresh, Q(before, "percent_wb"), Q(after, "percent_wb"))


def rests(herb, warm, damp):
    return moisture.to_wet_basis(drying.equilibrium_moisture(herb, Q(warm, "degC"), damp))


def carried(warm, damp):
    """g in 100 m³."""
    room = Q(warm, "degC"), damp
    return 100 * 1000 * (air.pick_up(*room) / air.specific_volume(*room)).magnitude


def ends(strength, rule="kitchen", poured=200.0):
    return menstruum.final_strength(LEAF, FRESH, Q(poured, "mL"), strength, rule)


FIGURES = [
    ("01_ounces", "| 336 g,", lambda: (amount("8 fl oz") * liquids.density("honey")).to("g"), 336),
    ("01_ounces", "line: 28 g", lambda: (amount("8 fl oz") * liquids.density("loose dried leaf")).to("g"), 28),
    ("01_ounces", "1:5.22", lambda: (amount("20 fl oz") / amount("4 oz")).to("mL/g"), 5.22),
    (
        "01_ounces",
        "4.3 % more",
        lambda: 100 * (float((amount("1 fl oz") / amount("1 oz")).to("mL/g").magnitude) - 1),
        4.3,
    ),
    ("01_ounces", "width is 11.1 °C", lambda: amount("20 °F", "difference").to("delta_degC"), 11.1),
    ("01_ounces", "holds 300 mL", lambda: 0.40 * amount("750 mL"), 300),
    ("02_how_much_may_i_take", "The basket needs 5,", lambda: harvest.plants_needed(Q(1200, "g"), ROOT), 5),
    ("02_how_much_may_i_take", "the stand allows 6.", lambda: harvest.allowance(66, 0.1), 6),
    ("02_how_much_may_i_take", "61 stay", lambda: 66 - harvest.plan(Q(1200, "g"), ROOT, 66, 0.1).dig, 61),
    ("02_how_much_may_i_take", "basket 200 g short", lambda: 1200 - 4 * ROOT.magnitude, 200),
    ("02_how_much_may_i_take", "| 19, and 6 may go", lambda: harvest.plants_needed(Q(1200, "g"), Q(65, "g")), 19),
    ("02_how_much_may_i_take", "from 10 plants on", lambda: harvest.plants_needed.plain(1.0, 1.0, 0.1), 10),
    ("02_how_much_may_i_take", "in three years set 28", lambda: harvest.plants_to_set(20, 0.1), 28),
    ("02_how_much_may_i_take", "not the 26 of", lambda: 20 * (1 + 3 * 0.1), 26),
    ("02_how_much_may_i_take", "With 241 it is still 80", lambda: harvest.allowance(241, 1 / 3), 80),
    ("02_how_much_may_i_take", "3.5 times", lambda: 227 / 65, 3.5),
    ("03_moisture", "| 400 g.", lambda: water(amount("1 kg"), 80, 50), 400),
    ("03_moisture", "500 g. The solids", lambda: water(amount("1 kg"), 99, 98), 500),
    ("03_moisture", "loses 178 g", lambda: amount("400 g") - water(amount("1 kg"), 80, 10), 178),
    ("03_moisture", "about 6 points", lambda: moisture.widest_doubt(amount("20 g"), amount("4.4 g")), 6),
    ("03_moisture", "stops at 13.7 % water", lambda: rests("lemon balm", 22, 0.70), 13.7),
    ("03_moisture", "it stops at 7.9", lambda: rests("lemon balm", 30, 0.44), 7.9),
    ("03_moisture", "is 44 % damp at 30", lambda: 100 * air.rh_when_warmed(Q(22, "degC"), 0.7, Q(30, "degC")), 44),
    ("03_moisture", "carry off 231 g", lambda: carried(25, 0.5), 231),
    ("03_moisture", "only 73 g", lambda: carried(25, 0.7), 73),
    ("04_cutting_spirit", "526 mL of spirit", lambda: cut().spirit, 526),
    ("04_cutting_spirit", "takes 504 mL", lambda: cut().water, 504),
    ("04_cutting_spirit", "not the 474", lambda: cut().water_by_kitchen_rule, 474),
    ("05_plant_water", "29.1 % vol, under", lambda: ends(VODKA), 29.1),
    ("05_plant_water", "28.6 % water", lambda: menstruum.wettest_plant(Q(2, "mL/g"), VODKA, FLOOR), 28.6),
    ("05_plant_water", "shrink to 35 g", lambda: water(LEAF, 75, 200 / 7), 35),
    ("05_plant_water", "at 50 % vol: 36.4", lambda: ends(amount("50 % vol")), 36.4),
    ("05_plant_water", "pour more (525 mL)", lambda: menstruum.smallest_ratio(FRESH, VODKA, FLOOR) * LEAF, 525),
    ("05_plant_water", "(48.2 % vol)", lambda: ways_out("strength"), 48.2),
    ("05_plant_water", "28 mL of 95 %", lambda: ways_out("add"), 28),
    ("05_plant_water", "somebody says 26.7", lambda: 100 * 80 / (200 + 100), 26.7),
    ("06_jar_by_eye", "about 29 % vol", lambda: quart(300), 29),
    ("06_jar_by_eye", "About 142 g", lambda: quart(142), 35),
    ("06_jar_by_eye", "fresh one is 1:14", lambda: maceration.dry_equivalent(Q(2, "mL/g"), WET), 14),
    ("07_waiting_and_pressing", "300 with gravity", lambda: out(2.0), 300),
    ("07_waiting_and_pressing", "350 squeezed", lambda: out(1.5), 350),
    ("07_waiting_and_pressing", "420 with a press", lambda: out(0.8), 420),
    (
        "07_waiting_and_pressing",
        "70 against",
        lambda: 100 * maceration.share_extracted(HERB, Q([500.0], "mL"), KEEPS),
        70,
    ),
    (
        "07_waiting_and_pressing",
        "78.6 of",
        lambda: 100 * maceration.share_extracted(HERB, Q([300.0, 200.0], "mL"), KEEPS),
        78.6,
    ),
    ("08_drip_by_drip", "it is 580", lambda: ready("dense root powder"), 580),
    ("08_drip_by_drip", "2 leaf (then 700)", lambda: ready("leaf or herb powder"), 700),
    ("08_drip_by_drip", "2.5 cut (750)", lambda: ready("coarse cut herb"), 750),
    ("08_drip_by_drip", "at 7.4 drops a minute", lambda: TAP.to("mL/min") * 37, 7.4),
    ("08_drip_by_drip", "makes 42 hours", lambda: percolation.running_time(amount("500 mL"), 7.4, 37), 42),
    ("08_drip_by_drip", "the 22.5 of 20", lambda: percolation.running_time(amount("500 mL"), 7.4, 20), 22.5),
    ("08_drip_by_drip", "four fifths", lambda: percolation.share_after(Q(1, "mL/g")), 0.8),
    ("09_soak_or_drip", "143 g and 714 mL", lambda: maceration.herb_for(amount("500 mL"), ONE_TO_5, KEEPS), 143),
    ("09_soak_or_drip", "714 mL", lambda: maceration.herb_for(amount("500 mL"), ONE_TO_5, KEEPS) * ONE_TO_5, 714),
    ("09_soak_or_drip", "100 g and 650 mL", lambda: percolation.menstruum_needed(HERB, amount("500 mL"), KEEPS), 650),
    ("09_soak_or_drip", "1.15 mL", lambda: compare.break_even(ONE_TO_5, KEEPS), 1.15),
    ("09_soak_or_drip", "1.43 mL", lambda: compare.break_even(ONE_TO_5, Q(2.0, "mL/g")), 1.43),
    ("09_soak_or_drip", "At 2.35 against 1.6", lambda: compare.break_even(ONE_TO_5, Q(2.35, "mL/g")), 1.6),
    ("09_soak_or_drip", "76.9, 85.9, 89.4", lambda: 100 * soaked(650.0, 3), 89.4),
    ("09_soak_or_drip", "drew 80 of every", lambda: 100 * compare.HEMP_2022.drip, 80),
    ("10_without_alcohol", "ends at 60 %", lambda: 100 * preserving.glycerin_share(LEAF, WET, Q(120, "mL")), 60),
    ("10_without_alcohol", "at 3.95,", lambda: 100 * preserving.acid_share(LEAF, WET, Q(300, "mL"), 0.05), 3.95),
    ("10_without_alcohol", "at 29.3 % water", lambda: preserving.honey_water(LEAF, WET, Q(500, "g")), 29.3),
    ("10_without_alcohol", "3.2 kg for", lambda: preserving.honey_needed(LEAF, WET, Q(20, "percent_wb")) / 1000, 3.2),
    ("10_without_alcohol", "takes 320 mL", lambda: preserving.vinegar_needed(LEAF, WET, 0.04, 0.05), 320),
    ("10_without_alcohol", "it is 62.8", lambda: 100 * preserving.sugar_share(Q(400, "g"), Q(237, "g")), 62.8),
    ("10_without_alcohol", "says 75 for", lambda: 100 * 300 / (300 + 100), 75),
    ("10_without_alcohol", "it is 70.4", lambda: 100 * (300 / 1.26) / (300 / 1.26 + 100), 70.4),
    ("10_without_alcohol", "1.2 parts for each", lambda: preserving.glycerin_needed(LEAF, WET, 0.55) / 80, 1.2),
    ("10_without_alcohol", "of water, 4,", lambda: preserving.vinegar_needed(LEAF, WET, 0.04, 0.05) / 80, 4),
    ("10_without_alcohol", "4, 40, 1.8", lambda: preserving.honey_needed(LEAF, WET, Q(20, "percent_wb")) / 80, 40),
    ("10_without_alcohol", "40, 1.8", lambda: preserving.sugar_needed(Q(80, "g"), 0.647) / 80, 1.8),
    ("11_oil_and_wax", "| 60 %. The bar", lambda: preserving.wilted_water(WET, 0.5), 60),
    ("11_oil_and_wax", "75 g are water still", lambda: 125 * preserving.wilted_water(WET, 0.5) / 100, 75),
    ("11_oil_and_wax", 'have gone?" 71.4 %', lambda: preserving.wilted_water(WET, 0.3), 71.4),
    ("11_oil_and_wax", "At 55 g:", lambda: math.floor(water(ROOT, 80, 10).magnitude), 55),
    ("11_oil_and_wax", "in 500 mL gives 300 mL", lambda: out(Rules().retained_oil), 300),
    ("11_oil_and_wax", "gives 800 of 1000", lambda: maceration.liquid_out(HERB, Q(1000, "mL"), Q(2, "mL/g")), 800),
    ("11_oil_and_wax", "is 11.6 % wax", lambda: 100 * preserving.wax_share(Q(1, "oz"), Q(8, "fl_oz")), 11.6),
    ("11_oil_and_wax", "oil weigh 7.6 oz", lambda: (Q(8, "fl_oz") * preserving.OIL).to("oz"), 7.6),
    ("11_oil_and_wax", "it takes 45.8 g", lambda: preserving.wax_needed(Q(200, "mL"), Rules().wax_firm), 45.8),
    ("11_oil_and_wax", "and 36.6 a fifth", lambda: (0.2 * Q(200, "mL") * preserving.OIL).to("g"), 36.6),
    ("11_oil_and_wax", "says 8.3 % in", lambda: 100 * 1 / (1 + 11), 8.3),
    ("12_mixing_drops_label", "make 60.0", lambda: mixed().strength_by_kitchen_rule, 60.0),
    ("12_mixing_drops_label", "(60.1 measured)", lambda: mixed().strength, 60.1),
    ("12_mixing_drops_label", "the tincture 37", lambda: dosing.drops_per_mL([181, 190, 184], amount("5 mL")), 37),
    ("12_mixing_drops_label", 'bear?" 357 mL', lambda: borne().water_by_kitchen_rule, 357),
    ("12_mixing_drops_label", "(365 measured)", lambda: borne().water, 365),
    ("12_mixing_drops_label", "not the 125 of", lambda: 500 * (0.60 - 0.35), 125),
    ("12_mixing_drops_label", "12 g of the first", lambda: dosing.herb_per_dose(amount("60 mL"), ONE_TO_5), 12),
    ("12_mixing_drops_label", "14 g are in 29.6", lambda: dosing.volume_with(Q(14, "g"), Q(60, "percent_vol")), 29.6),
    ("13_money_and_stock", "339.4 g of herb", lambda: eighteen().herb, 339.4),
    ("13_money_and_stock", "1698 mL of spirit", lambda: math.ceil(eighteen().menstruum.magnitude), 1698),
    ("13_money_and_stock", "spirit: 3 bottles", lambda: eighteen().packs, 3),
    ("13_money_and_stock", "marc drinks 463 mL", lambda: eighteen().menstruum / 1.1 - amount("1080 mL"), 463),
    ("13_money_and_stock", "23 may", lambda: batch.students_served(Q(2250, "mL"), *SIXTY, 0.1), 23),
    ("13_money_and_stock", "1415 mL, so 2", lambda: math.ceil(eighteen(0.8).menstruum.magnitude), 1415),
    ("13_money_and_stock", "17.1 g of herb and", lambda: maceration.herb_for(*SIXTY), 17.1),
    ("13_money_and_stock", "86 mL of spirit;", lambda: maceration.herb_for(*SIXTY) * ONE_TO_5, 86),
    ("13_money_and_stock", "is 5.0 cents", lambda: cents(15, 40), 5.0),
    ("13_money_and_stock", "vol is 3.5 cents", lambda: cents(25, 95), 3.5),
    ("13_money_and_stock", "bottle by 30 mL", lambda: 0.3 * HERB, 30),
    ("13_money_and_stock", "scale by 1.5 mL", lambda: KEEPS * Q(1, "g"), 1.5),
    (
        "14_capstone",
        "dried herb 540 g",
        lambda: moisture.fresh_weight(amount("120 g"), amount("80 %", "moisture")),
        540,
    ),
    ("14_capstone", "and 900 g", lambda: moisture.fresh_weight(amount("120 g"), amount("88 %", "moisture")), 900),
    ("14_capstone", "20 / 12 is 1.67", lambda: 20 / 12, 1.67),
    ("15_my_own_jar", "it would have been 350", lambda: out(1.5), 350),
    ("15_my_own_jar", "kept 2.1 mL", lambda: maceration.retained_found(HERB, Q(500, "mL"), Q(290, "mL")), 2.1),
    ("15_my_own_jar", "No: 1.7 is theirs", lambda: maceration.retained_found(HERB, Q(500, "mL"), Q(331, "mL")), 1.7),
    ("15_my_own_jar", "315 to", lambda: beside().low, 315),
    ("15_my_own_jar", "to 384 mL", lambda: beside().high, 384),
]


def eighteen(keeps=1.5):
    return batch.class_stock(18, Q(60, "mL"), ONE_TO_5, Q(keeps, "mL/g"), 0.1, Q(750, "mL"))


def beside():
    """What comes out of 100 g of dried herb and 500 mL by the jug, beside 331 mL on the bench."""
    plan = batch.walk_back(batch.Order(7, Q(50, "mL")))
    told = batch.compare(plan, batch.Bench(dried=HERB, poured=Q(500, "mL"), out=Q(331, "mL")))
    return told.row(batch.bench.OUT)


def cents(price, strength):
    return 100 * batch.alcohol_price(price, Q(750, "mL"), Q(strength, "percent_vol"))


def mixed():
    return ethanol.mix(Q([60, 40], "mL"), Q([70, 45], "percent_vol"))


def borne():
    return menstruum.cut(Q(60, "percent_vol"), FLOOR, spirit=amount("500 mL"))


def ways_out(kind):
    ways = menstruum.ways_out(LEAF, FRESH, amount("200 mL"), VODKA, FLOOR)
    return next(way.amount for way in ways if way.kind == kind)


def ready(kind):
    return amount("500 mL") + percolation.Bed.of(kind, HERB, TAP).hold_up


def soaked(poured, times):
    return maceration.share_extracted(HERB, maceration.best_split(Q(poured, "mL"), HERB, KEEPS, times), KEEPS)


def cut():
    return menstruum.cut(amount("95 % vol"), amount("50 % vol"), make=amount("1000 mL"))


def quart(grams):
    herb = Q(float(grams), "g")
    return menstruum.final_strength(herb, WET, maceration.room_for_menstruum(Q(1.0, "quart"), herb), VODKA)


def out(keeps):
    return maceration.liquid_out(HERB, amount("500 mL"), Q(keeps, "mL/g"))


@pytest.mark.parametrize(("lesson", "words", "sum_", "figure"), FIGURES, ids=lambda value: str(value)[:24])
def test_the_figures_in_the_notes_are_those_of_the_sums(lesson, words, sum_, figure):
    notes = (NOTES / f"{lesson}.md").read_text(encoding="utf-8")
    assert words in " ".join(notes.split()), f"{lesson}: the notes no longer say {words!r}"
    given = sum_()
    number = float(getattr(given, "magnitude", given))
    # As coarse as it is said: half a unit of its last figure.
    digits = len(str(figure).partition(".")[2])
    assert number == pytest.approx(figure, abs=0.51 * 10**-digits)
