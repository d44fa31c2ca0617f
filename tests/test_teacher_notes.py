"""The teacher's notes beside the lessons: each has its parts, and the figures in them are what the sums give."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from herbcalc import compare, maceration, menstruum, moisture, percolation
from herbcalc.units import Q, amount

WORKBOOK = Path(__file__).resolve().parent.parent / "workbook"
LESSONS = [path for path in sorted(WORKBOOK.glob("*.ipynb")) if not path.name.startswith("00")]
PARTS = ("**The one idea.**", "| Drag |", "| Ask first |", "| They will say |", "What happens", "| Why |")
LAST = ("**Five minutes, no projector.**", "**Cautions at the moment of use.**")

LEAF, WET = amount("100 g"), amount("80 %", "moisture")
VODKA, FLOOR = amount("40 % vol"), amount("35 % vol")
HERB, KEEPS, ONE_TO_5 = amount("100 g"), Q(1.5, "mL/g"), amount("1:5")


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_each_lesson_has_its_notes(path):
    notes = path.with_name(f"{path.stem}_teacher.md").read_text(encoding="utf-8")
    for part in (*PARTS, *LAST):
        assert part in notes, part
    assert len(notes.split()) < 700, "short enough to read before class"
    assert not re.search(r"\b(error|invalid|wrong)\b", notes, re.IGNORECASE)


def water(fresh, before, after):
    return moisture.dried_weight(fresh, Q(before, "percent_wb"), Q(after, "percent_wb"))


def ends(strength, rule="kitchen", poured=200.0):
    return menstruum.final_strength(LEAF, WET, Q(poured, "mL"), strength, rule)


FIGURES = [
    ("03_moisture", "| 400 g.", lambda: water(amount("1 kg"), 80, 50), 400),
    ("03_moisture", "500 g. The solids", lambda: water(amount("1 kg"), 99, 98), 500),
    ("03_moisture", "loses 178 g", lambda: amount("400 g") - water(amount("1 kg"), 80, 10), 178),
    ("03_moisture", "about 6 points", lambda: moisture.widest_doubt(amount("20 g"), amount("4.4 g")), 6),
    ("04_cutting_spirit", "526 mL of spirit", lambda: cut().spirit, 526),
    ("04_cutting_spirit", "takes 504 mL", lambda: cut().water, 504),
    ("04_cutting_spirit", "not the 474", lambda: cut().water_by_kitchen_rule, 474),
    ("05_plant_water", "28.6 % vol, under", lambda: ends(VODKA), 28.6),
    ("05_plant_water", "28.6 % water", lambda: menstruum.wettest_plant(Q(2, "mL/g"), VODKA, FLOOR), 28.6),
    ("05_plant_water", "shrink to 28 g", lambda: water(LEAF, 80, 200 / 7), 28),
    ("05_plant_water", "at 50 % vol: 35.7", lambda: ends(amount("50 % vol")), 35.7),
    ("05_plant_water", "pour more (560 mL)", lambda: menstruum.smallest_ratio(WET, VODKA, FLOOR) * LEAF, 560),
    ("05_plant_water", "(49 % vol)", lambda: menstruum.strength_to_pour(Q(2, "mL/g"), WET, FLOOR), 49),
    (
        "05_plant_water",
        "30 mL of 95 %",
        lambda: menstruum.rescue(LEAF, WET, amount("200 mL"), VODKA, FLOOR, amount("95 % vol")),
        30,
    ),
    ("06_jar_by_eye", "about 29 % vol", lambda: quart(300), 29),
    ("06_jar_by_eye", "About 142 g", lambda: quart(142), 35),
    ("06_jar_by_eye", "fresh one is 1:14", lambda: maceration.dry_equivalent(Q(2, "mL/g"), WET), 14),
    ("07_waiting_and_pressing", "300 with gravity", lambda: out(2.0), 300),
    ("07_waiting_and_pressing", "350 by hand", lambda: out(1.5), 350),
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
    ("08_drip_by_drip", "it is 650", lambda: percolation.menstruum_needed(HERB, amount("500 mL"), KEEPS), 650),
    ("08_drip_by_drip", "makes 15 hours", lambda: percolation.running_time(amount("500 mL"), 20, 37), 15),
    ("08_drip_by_drip", "not 8", lambda: percolation.running_time(amount("500 mL"), 20, 20), 8),
    ("08_drip_by_drip", "four fifths", lambda: percolation.share_after(Q(1, "mL/g")), 0.8),
    ("09_soak_or_drip", "143 g and 714 mL", lambda: maceration.herb_for(amount("500 mL"), ONE_TO_5, KEEPS), 143),
    ("09_soak_or_drip", "714 mL", lambda: maceration.herb_for(amount("500 mL"), ONE_TO_5, KEEPS) * ONE_TO_5, 714),
    ("09_soak_or_drip", "100 g and 650 mL", lambda: percolation.menstruum_needed(HERB, amount("500 mL"), KEEPS), 650),
    ("09_soak_or_drip", "1.15 mL", lambda: compare.break_even(ONE_TO_5, KEEPS), 1.15),
]


def cut():
    return menstruum.cut(amount("95 % vol"), amount("50 % vol"), make=amount("1000 mL"))


def quart(grams):
    herb = Q(float(grams), "g")
    return menstruum.final_strength(herb, WET, maceration.room_for_menstruum(Q(1.0, "quart"), herb), VODKA)


def out(keeps):
    return maceration.liquid_out(HERB, amount("500 mL"), Q(keeps, "mL/g"))


@pytest.mark.parametrize(("lesson", "words", "sum_", "figure"), FIGURES, ids=lambda value: str(value)[:24])
def test_the_figures_in_the_notes_are_those_of_the_sums(lesson, words, sum_, figure):
    notes = (WORKBOOK / f"{lesson}_teacher.md").read_text(encoding="utf-8")
    assert words in " ".join(notes.split()), f"{lesson}: the notes no longer say {words!r}"
    given = sum_()
    number = float(getattr(given, "magnitude", given))
    # As coarse as it is said: half a unit of its last figure.
    digits = len(str(figure).partition(".")[2])
    assert number == pytest.approx(figure, abs=0.51 * 10**-digits)
