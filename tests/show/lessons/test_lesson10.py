"""Lesson 10: four jars against their lines, what each keeps by, and every caution at its moment."""

import dataclasses
from html import escape

import pytest

from herbcalc import preserving
from herbcalc.rules import Rules
from herbcalc.show.cautions import FERMENTS, FOOD_GRADE, MISSED
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import parted
from herbcalc.show.lessons import lesson10
from herbcalc.show.look import View
from herbcalc.show.panel import Panel
from herbcalc.show.panel.pictures import ALONE, PAGE
from herbcalc.show.story import scenes
from herbcalc.units import Q

RULES = Rules()
SCENES = scenes(lesson10, RULES)
FRESH = SCENES[0].setting


def setting(**changed):
    return dataclasses.replace(FRESH, **changed)


def look(**changed):
    return lesson10.look(setting(**changed), RULES)


def test_the_four_jars_of_the_course():
    jars = lesson10.sums(setting(glycerin=200), RULES).jars
    assert jars["glycerin"].share == pytest.approx(200 / 280)
    assert jars["vinegar"].share == pytest.approx(0.05 * 300 / 380)
    assert 100 * (1 - jars["honey"].share) == pytest.approx(100 * (90 + 80) / 580)
    assert jars["syrup"].share == pytest.approx(220 / 400)
    shot = lesson10.sums(setting(shot=100, spirit=40), RULES).jars["syrup"]
    assert shot.share == pytest.approx(220 / (400 + 94.8), abs=1e-4)  # by weight: 100 mL of vodka weigh 94.8 g
    assert [jar.keeps for jar in jars.values()] == [True, False, False, False]
    assert [jar.needed for jar in jars.values()] == pytest.approx([80 * 55 / 45, 320, 3200, 180 * 0.647 / 0.353])


@pytest.mark.parametrize("name", lesson10.NAMES)
@pytest.mark.parametrize("water", [10.0, 43.0, 80.0])
def test_pouring_what_is_needed_ends_at_the_line(name, water):
    dial = {"syrup": "sugar"}.get(name, name)
    needed = lesson10.sums(setting(water=water), RULES).jars[name].needed
    at = lesson10.sums(setting(water=water, **{dial: needed}), RULES).jars[name]
    assert at.share == pytest.approx(at.line, abs=1e-12)
    assert at.reaches
    less = lesson10.sums(setting(water=water, **{dial: needed * (1 - 1e-6)}), RULES).jars[name]
    assert not less.reaches


def test_the_bars_are_drawn_from_what_the_sums_say():
    """What was poured and what thins it make the share, spirit counted in; the mark stands where it crosses."""
    for changed in ({}, {"shot": 150, "spirit": 75.5}, {"acid": 0.06, "pure": 0.75, "ripe": 16}):
        for jar in lesson10.sums(setting(**changed), RULES).jars.values():
            reaches = jar.poured / (jar.poured + jar.thins)
            assert jar.own * reaches == pytest.approx(jar.share, abs=1e-12), (changed, jar)
            assert (reaches >= jar.must) == jar.reaches, (changed, jar)


@pytest.mark.parametrize("name", lesson10.NAMES)
def test_herb_as_wet_as_it_may_be_ends_at_the_line(name):
    changed = {"glycerin": {"glycerin": 80.0}, "honey": {"honey": 1500.0}, "syrup": {"sugar": 300.0}}.get(name, {})
    wettest = lesson10.sums(setting(**changed), RULES).jars[name].wettest
    assert 5 < wettest < 95
    at = lesson10.sums(setting(water=wettest, **changed), RULES).jars[name]
    assert at.share == pytest.approx(at.line, abs=1e-12)


@pytest.mark.parametrize(
    ("jar", "changed"),
    [("honey", {"ripe": 24, "water": 20}), ("honey", {"ripe": 20, "water": 20}), ("vinegar", {"acid": 0.04})],
)
def test_a_wish_that_cannot_be_had_says_so_and_what_would_do(jar, changed):
    it = lesson10.sums(setting(jar=jar, **changed), RULES).jars[jar]
    assert it.needed is None
    assert it.wettest is None
    shown = look(jar=jar, **changed)
    assert (shown.number("needed").value, shown.number("needed").note) == ("no amount", "more is never enough")
    assert shown.number("needed").amount is None
    better = {"honey": "Take riper honey", "vinegar": "Take stronger vinegar"}[jar]
    assert any(way.startswith(better) for way in shown.ways_out)
    assert shown.ways_out[-1].startswith("Or keep it cold")


def test_the_ways_out_do_what_they_say():
    weak = look(jar="vinegar", vinegar=200)
    assert "Take at least 320 mL (11 fl oz) of vinegar in all." in weak.ways_out
    assert "Take stronger vinegar: 5.6 % or more." in weak.ways_out
    assert lesson10.sums(setting(vinegar=200, acid=0.056), RULES).jars["vinegar"].reaches
    assert not lesson10.sums(setting(vinegar=200, acid=0.055), RULES).jars["vinegar"].reaches
    wet = look(jar="honey", honey=1000, water=10)
    assert wet.ways_out == []
    wet = look(jar="honey", honey=1000, water=30)
    assert "Take riper honey: 17.6 % water or less." in wet.ways_out
    assert lesson10.sums(setting(honey=1000, water=30, ripe=17.6), RULES).jars["honey"].reaches
    thin = look(jar="glycerin", glycerin=150, pure=0.6)
    assert "Take stronger glycerin: 85 % or more." in thin.ways_out


def test_alcohol_keeps_a_thin_syrup_by_its_own_line():
    scene = SCENES[7].setting
    it = lesson10.sums(scene, RULES)
    room = preserving.syrup_volume(Q(400, "g"), Q(240, "g")).magnitude
    assert it.shot_needed == pytest.approx(room)  # 20 % vol out of 40: as much again
    kept = dataclasses.replace(scene, shot=it.shot_needed)
    assert lesson10.sums(kept, RULES).jars["syrup"].spirited
    shown = lesson10.look(kept, RULES)
    assert "that keeps it" in shown.sentence
    assert "says nothing of alcohol" in shown.sentence
    assert shown.number("share").note.endswith("spirit keeps it")
    assert not shown.ways_out
    assert not lesson10.sums(dataclasses.replace(scene, shot=it.shot_needed - 1), RULES).jars["syrup"].spirited
    assert not lesson10.sums(kept, Rules(syrup_spirit=25)).jars["syrup"].spirited


def test_honey_between_its_two_printed_limits_hangs_on_its_yeast():
    told = {ripe: look(jar="honey", herb=30, water=5, honey=5000, ripe=ripe).sentence for ripe in (17, 17.5, 20, 21)}
    assert "safe whatever yeast" in told[17]
    assert "hangs on the yeast" in told[17.5]
    assert "it ferments" in told[21]


def test_sugar_beyond_what_dissolves_lies_at_the_bottom():
    assert "lies at the bottom" in look(jar="syrup", sugar=600).sentence
    assert "lies at the bottom" not in look(jar="syrup", sugar=300).sentence


def test_what_the_yardstick_cannot_say_is_said_in_words_and_on_the_picture():
    for jar in (*lesson10.NAMES, lesson10.ALL):
        shown = look(jar=jar, shot=200)
        board = Board(**ALONE[PAGE], name=f"test {jar}")
        board.start()
        shown.right(board, parted(board, shown.share)[1])
        words = " ".join(a.get_text() for key, a in board._artists.items() if "words" in key)
        for said in ("vinegar 1.00, acid not counted", "as cane sugar", "alcohol not counted", "model"):
            assert said in words, (jar, said)
        assert "Acid and alcohol are not counted" in shown.alt
    assert "says nothing of acid, by which vinegar keeps, nor of alcohol" in look().sentence
    assert "Norrish's model knows glycerin and sugar only" in look(jar="vinegar").sentence


# --- cautions, each at its moment ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "there", "away"),
    [
        (FERMENTS, {"jar": "honey"}, {"jar": "honey", "water": 5, "honey": 5000}),
        (FERMENTS, {"jar": "syrup"}, {"jar": "syrup", "sugar": 400}),
        (FERMENTS, {}, {"water": 10}),
        (MISSED, {"jar": "glycerin", "glycerin": 50}, {"jar": "glycerin"}),
        (MISSED, {"jar": "vinegar"}, {"jar": "vinegar", "vinegar": 400}),
        (FOOD_GRADE, {"jar": "syrup", "shot": 50}, {"jar": "syrup", "sugar": 400}),
        ("catches fire from about 13 °C", {"jar": "syrup", "shot": 50, "spirit": 95}, {"jar": "vinegar"}),
        ("Never distil", {"jar": "syrup", "shot": 50, "spirit": 96}, {"jar": "syrup", "shot": 50}),
    ],
)
def test_a_caution_stands_at_its_moment_and_only_then(tmp_path, line, there, away):
    """In what a panel shows, once its dials stand so and the answer is there."""
    for changed, stands in ((there, True), (away, False)):
        panel = Panel(lesson10, RULES, tmp_path)
        panel.set(**changed)
        panel.turn_answer()
        assert panel.look.caution == look(**changed).caution
        assert (escape(line, quote=True) in panel._html["cautions"].value) == stands
        assert panel._html["cautions"].value.count("<p") == 1 + bool(panel.look.caution)


def test_honey_vinegar_and_teaching_have_their_line_from_the_first(tmp_path):
    panel = Panel(lesson10, RULES, tmp_path)
    for said in ("No honey for a child under 1 year", "No bare metal lid on vinegar", "sums for teaching, no advice"):
        assert said in panel._html["cautions"].value
        panel.turn_answer()


def test_no_sentence_of_the_lesson_proposes_an_amount_to_take():
    for scene in SCENES:
        shown = lesson10.look(scene.setting, RULES, View())
        told = " ".join([shown.sentence, shown.caution, scene.question, scene.teacher]).lower()
        assert not any(word in told for word in ("dose", "teaspoon a day", "times a day", "swallow", "drink"))
