"""How sure a figure is: the lines of lessons 3, 5, 7 and 8, against sums and draws of this test's own."""

from __future__ import annotations

import dataclasses
import re
from html import unescape
from pathlib import Path

import numpy as np
import pytest

from herbcalc import menstruum, percolation
from herbcalc.batch import Reading, Readings, carried
from herbcalc.rules import Rules
from herbcalc.show import sure
from herbcalc.show.here import module, modules
from herbcalc.show.lessons import lesson04, lesson05, lesson07, lesson08
from herbcalc.show.look import View
from herbcalc.show.panel import Panel
from herbcalc.show.story import scenes
from herbcalc.show.sure import lesson03 as of3
from herbcalc.show.sure import lesson05 as of5
from herbcalc.show.sure import lesson07 as of7
from herbcalc.show.sure import lesson08 as of8
from herbcalc.show.sure import told
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible, OutOfRange
from tests.show.lessons.test_lessons import KITCHEN, METRIC, VIEWS, is_odd, settings

NOTES = Path(__file__).resolve().parents[3] / "workbook" / "teacher"
TABLES = {3: of3, 5: of5, 7: of7, 8: of8}
OFF = ("scale_off", "jug_off", "moisture_off", "marc_off", "dryness_off")
MANY = 40_000
ONE = 1.96  # standard deviations that hold 95 of 100


def found(number, setting, rules, view, key):
    """The Range behind a line; None where there is no figure, or nothing is read for it."""
    doubt = TABLES[number].doubt(setting, rules, view, key)
    return carried(doubt.sum, doubt.read) if doubt is not None and doubt.read else None


def asked():
    """Every scene of the four lessons that has an answer with a range."""
    for number in TABLES:
        for n, scene in enumerate(scenes(module(number), Rules()), 1):
            yield pytest.param(number, scene, id=f"{number}.{n}")


# --- the lines -----------------------------------------------------------------------------------------------------


def test_the_lessons_that_say_it():
    assert [lesson.LESSON for lesson in modules() if sure.offers(lesson)] == list(TABLES)


@pytest.mark.parametrize("number", TABLES)
def test_at_every_end_of_the_dials(number):
    """The figure lies in its range, no range leaves what there can be, and the line reads as lines do."""
    lesson, tried, lines = module(number), 0, set()
    for n, setting in enumerate(list(settings(lesson))[:: 1 if number in (3, 5) else 2]):
        view = VIEWS[n % len(VIEWS)]
        try:
            look = lesson.look(setting, Rules(), view)
        except (Impossible, OutOfRange):
            continue
        one = look.numbers[n % len(look.numbers)]
        line = sure.line(lesson, setting, Rules(), view, one.key)
        if one.amount is None:
            assert line == "" or one.value in ("nothing", "any plant"), (setting, one)
        if not line:
            assert one.amount is None, (setting, one.key)
            continue
        assert line.endswith("."), line
        assert not is_odd(line), (setting, line)
        if METRIC.search(line) and max(map(float, re.findall(r"[\d.]*\d(?= (?:g|mL)\b)", line))) > 15:
            assert KITCHEN.search(line), line
        lines.add(line)
        ends = found(number, setting, Rules(), view, one.key)
        if ends is None:
            continue
        tried += 1
        assert -1e-9 <= ends.low <= ends.high, (setting, one.key)
        if one.unit.startswith("percent"):
            assert ends.high <= 100.0 + 1e-9
        if one.unit == "percent_vol":
            assert ends.high <= setting.spirit + 1e-9
        if one.amount is not None:
            slack = 1e-6 * max(abs(one.amount), 1.0) + 0.01 * ends.width
            assert ends.low - slack <= one.amount <= ends.high + slack, (setting, one.key)
            assert ends.value == pytest.approx(one.amount, abs=2e-3 * max(abs(one.amount), 1.0)), (
                setting,
                one.key,
            )
    assert tried > 60
    assert len(lines) > 40


def test_the_least_ratio_goes_by_the_floor_of_the_class():
    said = [sure.line(lesson05, lesson05.Setting(), Rules(floor=f), View(), "least", True) for f in (35.0, 36.0)]
    assert said == ["19 times in 20 between 1:5.24 and 1:5.96.", "19 times in 20 between 1:6.74 and 1:7.66."]


@pytest.mark.parametrize("end", ["low", "high"])
@pytest.mark.parametrize("number", TABLES)
def test_with_readings_as_good_and_as_bad_as_a_class_may_have(number, end):
    """A scale that is 20 g off under 20 g of herb: the sums must stand what it might have been."""
    about = {one.name: one.metadata[end] for one in dataclasses.fields(Rules) if one.name in OFF}
    lesson, rules, tried = module(number), Rules(**about), 0
    for n, setting in enumerate(list(settings(lesson, random_ones=10))[:: 1 if number in (3, 5) else 5]):
        try:
            look = lesson.look(setting, rules, View())
        except (Impossible, OutOfRange):
            continue
        one = look.numbers[n % len(look.numbers)]
        ends = found(number, setting, rules, VIEWS[n % len(VIEWS)], one.key)
        if ends is None:
            continue
        tried += 1
        assert -1e-9 <= ends.low <= ends.high < float("inf"), (setting, one.key)
        assert not one.unit.startswith("percent") or ends.high <= 100.0 + 1e-9, (setting, one.key)
        assert not is_odd(sure.line(lesson, setting, rules, VIEWS[n % len(VIEWS)], one.key)), (setting, one.key)
    assert tried > 20


def test_in_plain_words():
    jar = scenes(lesson05, Rules())[0].setting
    assert sure.line(lesson05, jar, Rules(), View(), "end") == (
        "19 times in 20 between 28.5 and 29.7 % vol. What would help most: a larger moisture sample (half that "
        "doubt: a range about two fifths narrower)."
    )
    strong = lesson05.Setting(spirit=95, water=85, ratio=2)  # measured it ends outside of the range
    assert "rules stand" in sure.line(lesson05, strong, Rules(), View(), "end")
    metric, kitchen = (sure.line(lesson05, jar, Rules(), View(units=u), "brings") for u in ("metric", "kitchen"))
    assert "between 70 mL (2 1/4 fl oz) and 80.1 mL (2 3/4 fl oz)" in metric
    assert "between 2 1/4 fl oz (70 mL) and 2 3/4 fl oz (80.1 mL)" in kitchen
    moved = sure.line(lesson07, lesson07.Setting(), Rules(), View(), "moved")
    assert "19 times" not in moved
    assert "model" in moved
    assert "taste" not in moved, "whom that may harm stands in the lesson, not here"
    assert "A tap drifts" in sure.line(lesson08, lesson08.Setting(), Rules(), View(), "hours")
    sharp = Rules(scale_off=0.01, jug_off=0.001, dryness_off=0.2)
    snaps = lesson05.Setting(spirit=40, water=5, ratio=10)
    assert sure.line(lesson05, snaps, sharp, View(), "end") == told.UNSEEN


# --- against draws of one's own ------------------------------------------------------------------------------------


def drawn(seed, *readings):
    """Draws of this test's own, each about what was read, 95 of 100 as near as it may be off."""
    draw = np.random.default_rng(seed)
    return [value + off / ONE * draw.standard_normal(MANY) for value, off in readings]


def same(ends, figures):
    """Two samples of one thing: their ends lie within the noise of the smaller one."""
    low, high = np.percentile(figures, (2.5, 97.5))
    noise = 0.04 * (high - low)
    assert ends.low == pytest.approx(low, abs=noise)
    assert ends.high == pytest.approx(high, abs=noise)


def test_lesson_3_against_draws_of_ones_own():
    setting = scenes(module(3), Rules())[0].setting
    fresh, water = drawn(1, (1000.0, 1.0), (80.0, 5.0))
    weighs = fresh * (100 - water) / 50.0
    same(found(3, setting, Rules(), View(), "weighs"), weighs)
    same(found(3, setting, Rules(), View(), "gone"), fresh - weighs)
    same(found(3, setting, Rules(), View(), "stop"), fresh * (100 - water) / 90.0)
    same(found(3, setting, Rules(), View(), "more"), fresh * (100 - water) * (1 / 50.0 - 1 / 90.0))


def test_lesson_5_against_draws_of_ones_own():
    setting = scenes(lesson05, Rules())[3].setting  # 150 g of 85 %, 1:2 in 95 % vol
    herb, water, jug = drawn(2, (150.0, 1.0), (85.0, 5.0), (1.0, 0.03))
    poured = 300.0 * jug
    same(found(5, setting, Rules(), View(), "end"), 95.0 * poured / (poured + herb * water / 100))
    jars = Q(herb, "g"), Q(np.clip(water, 0, 95), "percent_wb"), Q(poured, "mL"), Q(95.0, "percent_vol")
    same(
        found(5, setting, Rules(), View(rule="measured"), "end"),
        menstruum.final_strength(*jars, "measured").magnitude,
    )
    same(found(5, setting, Rules(), View(), "least"), water / 100 * 35.0 / 60.0)
    vodka = scenes(lesson05, Rules())[0].setting
    hundred = herb - 50.0
    same(found(5, vodka, Rules(), View(), "wettest"), 100 * (200 * jug / hundred) * 5 / 35)
    dried = dataclasses.replace(vodka, water=10)  # told by hand, not by a sample
    herb, water, jug = drawn(3, (100.0, 1.0), (10.0, 2.0), (1.0, 0.03))
    same(found(5, dried, Rules(), View(), "end"), 40 * 200 * jug / (200 * jug + herb * water / 100))


def test_lesson_7_against_draws_of_ones_own():
    there = scenes(lesson07, Rules())
    herb, jug, keeps, water = drawn(4, (100.0, 1.0), (1.0, 0.03), (1.5, 0.3), (80.0, 5.0))
    same(found(7, there[0].setting, Rules(), View(), "off"), 500 * jug - keeps * herb)
    same(found(7, there[0].setting, Rules(), View(), "marc"), keeps * herb)
    first, left = 300 * jug, keeps * herb
    after = left / first * left / (200 * jug + left)  # what is still in the marc after two soaks
    same(found(7, there[6].setting, Rules(), View(), "gain"), 100 * ((1 - after) - (1 - left / (500 * jug))))
    liquid, strength, keeps = 200 * jug, np.full(MANY, 95.0), 4.0 * (1 + (keeps - 1.5) / 1.5)
    for _ in range(3):
        own = herb * water / 100
        strength = np.where(liquid > 0, strength * liquid / (liquid + own), strength)
        liquid = np.where(liquid > 0, np.maximum(liquid + own - keeps * (herb - own), 0.0), 0.0)
    same(found(7, there[7].setting, Rules(), View(), "end"), strength)
    same(found(7, there[7].setting, Rules(), View(), "off"), liquid)


def test_lesson_8_against_draws_of_ones_own():
    there = scenes(lesson08, Rules())
    herb, jug, keeps, spoon = drawn(5, (100.0, 1.0), (1.0, 0.03), (2.0, 0.4), (1.0, 0.03))
    same(found(8, there[5].setting, Rules(), View(), "ready"), 500 * jug + keeps * herb)
    same(found(8, there[7].setting, Rules(), View(), "hours"), 41.667 * jug * spoon)
    few = 2000
    bed = percolation.Bed.of("dense root powder", Q(100.0, "g"), Q(12.0, "mL/hour"))
    share = 100 * bed.run(Q(100 * 100 * jug[:few] / herb[:few], "mL")).bottle
    ends = found(8, there[0].setting, Rules(), View(), "out")
    assert (ends.low, ends.high) == pytest.approx(tuple(np.percentile(share, (2.5, 97.5))), abs=0.1)


def test_the_measured_lots_are_those_of_the_lesson():
    """A list of jars from lot to lot, and one jar: the same sum."""
    setting = scenes(lesson07, Rules())[7].setting
    for view in (View(), View(rule="measured")):
        look = lesson07.look(setting, Rules(), view)
        for number in look.numbers:
            assert found(7, setting, Rules(), view, number.key).value == pytest.approx(number.amount, rel=1e-9)


# --- the engine ----------------------------------------------------------------------------------------------------


def linear(sum_, readings):
    """How far a result may be off by its slopes: squares of slope times doubt, summed up."""
    values = {name: one.value for name, one in readings.items()}
    squares = 0.0
    for name, one in readings.items():
        step = 1e-4 * max(abs(one.value), 1.0)
        up, down = (sum_(**{**values, name: one.value + way * step}) for way in (1, -1))
        squares += ((up - down) / (2 * step) * one.off) ** 2
    return np.sqrt(squares)


@pytest.mark.parametrize(
    "sum_",
    [
        lambda a, b, c: a + 2 * b - 3 * c,
        lambda a, b, c: a * b / c,
        lambda a, b, c: a * (1 - b / 100) + c,
    ],
)
def test_straight_sums_and_small_doubts_agree_with_the_slopes(sum_):
    """Where a straight line is right (sums, and products of what is nearly sure), sampling gives what it gives."""
    read = {"a": Reading(100.0, 1.0, "a"), "b": Reading(20.0, 0.4, "b"), "c": Reading(7.0, 0.1, "c")}
    ends, half = carried(sum_, read), linear(sum_, read)
    middle = sum_(100.0, 20.0, 7.0)
    assert (ends.low, ends.high) == (
        pytest.approx(middle - half, abs=0.03 * half),
        pytest.approx(middle + half, abs=0.03 * half),
    )


@pytest.mark.parametrize(("number", "scene"), list(asked()))
def test_a_worse_reading_never_makes_it_surer(number, scene):
    usual = Rules()
    widths = {}
    for name in OFF:
        for times in (0.5, 1.0, 2.0):
            rules = dataclasses.replace(usual, **{name: times * getattr(usual, name)})
            ends = found(number, scene.setting, rules, View(), scene.asks)
            if ends is None:
                return
            widths.setdefault(name, []).append(ends.width)
    for name, (half, one, twice) in widths.items():
        slack = 0.01 * one  # of draws that count for next to nothing
        assert half <= one + slack, name
        assert one <= twice + slack, name
    if "99 and 98" in scene.name or widths["scale_off"][1] == 0.0:
        return
    assert any(half < 0.99 * one for half, one, _ in widths.values()), "some reading counts"


def test_what_helps_most_helps_by_what_is_said():
    """The one that is named, read twice as well: the range narrows by just that, and no other narrows it more."""
    jar = scenes(lesson05, Rules())[0].setting
    ends = found(5, jar, Rules(), View(), "end")
    usual = Rules()
    narrower = {}
    for name in ("scale_off", "jug_off", "moisture_off"):
        rules = dataclasses.replace(usual, **{name: getattr(usual, name) / 2})
        narrower[name] = 1 - found(5, jar, rules, View(), "end").width / ends.width
    assert max(narrower, key=narrower.get) == "moisture_off"
    assert "moisture" in ends.sharpen
    assert narrower["moisture_off"] == pytest.approx(ends.narrower, abs=1e-9)


def test_the_readings_are_the_houses():
    rules = Rules(scale_off=2, jug_off=0.05, moisture_off=3, marc_off=0.1, dryness_off=1)
    read = Readings.by_rules(rules)
    assert [read.off(name) for name in ("scale", "jug", "moisture", "retained", "dryness")] == [2, 0.05, 3, 0.1, 1]
    assert Readings.by_rules(Rules()) == Readings()


# --- in the panel --------------------------------------------------------------------------------------------------


def shown(panel):
    return unescape(re.sub(r"<[^>]+>", " ", panel._html["sure"].value)).strip()


@pytest.mark.parametrize("number", TABLES)
def test_off_until_asked_and_never_before_the_answer(number, tmp_path):
    panel = Panel(module(number), Rules(), tmp_path)
    panel.turn_answer()
    assert shown(panel) == ""
    before = panel._html["picture"].value, panel._html["tiles"].value
    panel.turn_sure()
    assert (panel._html["picture"].value, panel._html["tiles"].value) == before, "alternative text and all"
    assert shown(panel).startswith("19 times in 20 between ")
    for n in range(len(panel._given)):
        panel._open(n)
        assert shown(panel) == "", "it is asked, and nothing is said of it"
        assert "19 times" not in panel._repr_mimebundle_()["text/html"]
        panel.turn_answer()
        assert shown(panel) or panel.look is None
        panel.turn_answer()
        assert shown(panel) == ""
    panel._open(0)
    panel.turn_answer()
    panel.press("sure")
    assert shown(panel) == ""
    panel.how_sure.value = True
    assert shown(panel)
    panel.start()
    panel.turn_answer()
    assert shown(panel) == "", "back to the start, all is as it was"


def test_it_follows_dial_rule_and_units(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.turn_answer()
    panel.turn_sure()
    first = shown(panel)
    panel.set(water=90)
    moved = shown(panel)
    assert moved != first
    panel.set(spirit=95)
    strong = shown(panel)
    panel.rule.value = "measured"
    assert shown(panel) != strong
    panel._open(1)
    panel.turn_answer()
    assert "% water" in shown(panel), "it says it of the number that is asked for"
    panel.set(spirit=30)
    assert panel._answer().amount is None
    assert shown(panel) == ""


def test_of_a_and_of_b(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.turn_answer()
    panel.turn_sure()
    alone = shown(panel)
    panel.pin.click()
    panel.set(spirit=50)
    both = shown(panel)
    assert f"A: {alone.partition(' What would')[0]} B: " in re.sub(r"\s+", " ", both), (
        "of A between what, and no more"
    )
    assert "B: 19 times in 20 between 35.6 and 37.1 % vol." in both
    panel.leave("faint")
    assert shown(panel).startswith("19 times in 20 between 35.6")


def test_a_panel_that_cannot_say_it_does_not_offer_it(tmp_path):
    for lesson, offered in ((lesson04, False), (lesson05, True)):
        panel = Panel(lesson, Rules(), tmp_path)
        assert (panel.how_sure in panel.more.children) == offered
        assert ("how sure" in panel.more.children[-1].value) == offered
        panel.turn_answer()
        panel.press("sure")
        assert bool(shown(panel)) == offered


# --- on the teacher's pages ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", TABLES)
def test_the_teachers_page_says_what_the_panel_says(number):
    page = next(NOTES.glob(f"{number:02d}_*.md")).read_text(encoding="utf-8")
    page_says = next(part for part in page.split("\n\n") if part.startswith("**How sure?**"))
    scene = scenes(module(number), Rules())[0]
    ends = found(number, scene.setting, Rules(), View(), scene.asks)
    line = sure.line(module(number), scene.setting, Rules(), View(), scene.asks)
    words = re.search(r"between ([\d.]+)[^.]*? and ([\d.]+)", line)
    assert words[1] in page_says
    assert words[2] in page_says
    assert ends.sharpen.split(",")[0].rsplit(" ", 1)[-1] in page_says
