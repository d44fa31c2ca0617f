"""The teacher's notes beside the lessons: each has its parts; its scenes are the panel's, its figures the sums'."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import pytest

from herbcalc import air, compare, drying, harvest, liquids, maceration, menstruum, moisture, percolation
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


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_each_lesson_has_its_notes(path):
    notes = (NOTES / path.with_suffix(".md").name).read_text(encoding="utf-8")
    for part in (*PARTS, *LAST):
        assert part in notes, part
    assert len(notes.split()) < 700 * len(panels(int(path.stem[:2]))), "short enough to read before class"
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
]


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
