"""Lesson 6: jar by eye, jar by weight."""

import dataclasses
import itertools
import re
import subprocess
import sys
from pathlib import Path

import pytest

from herbcalc import ethanol
from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import whole
from herbcalc.show.lessons import lesson06
from herbcalc.show.story import scenes
from herbcalc.units import Q
from herbcalc.units.refusals import OutOfRange

RULES = Rules()
SCENES = scenes(lesson06, RULES)
FLOOR = 35.0


def setting(**values):
    return dataclasses.replace(SCENES[0].setting, **values)


def sums(**values):
    return lesson06.sums(setting(**values), RULES)


# A quart (946.353 mL, NIST Handbook 44) filled to the brim, plant 0.95 g/mL (common practice, no source), 80 % water;
# strengths worked by hand from the kitchen rule V a / (V + m w).
@pytest.mark.parametrize(
    ("herb", "poured", "ratio", "vodka", "fifty"),
    [(200, 736, 3.68, 32.9, 41.1), (300, 631, 2.10, 29.0, 36.2), (400, 525, 1.31, 24.9, 31.1)],
)
def test_a_quart_packed_by_eye(herb, poured, ratio, vodka, fifty):
    it = sums(herb=herb)
    assert it.poured == pytest.approx(poured, abs=1)
    assert it.ratio == pytest.approx(ratio, abs=0.01)
    assert it.strength["kitchen"] == pytest.approx(vodka, abs=0.06)
    assert sums(herb=herb, spirit=50).strength["kitchen"] == pytest.approx(fifty, abs=0.06)


def test_the_vodka_quart_holds_142_grams_of_leaf():
    # 946.353 / (1/0.95 + 5.6), where 5.6 is the least ratio 0.8 x 35 / (40 - 35)
    assert sums().most["kitchen"] == pytest.approx(142.25, abs=0.05)
    for rule in ("kitchen", "measured"):
        most = sums().most[rule]
        assert sums(herb=most).strength[rule] == pytest.approx(35, abs=1e-9)
    assert "142 g (5 oz)" in lesson06.look(setting(), RULES).sentence


def test_filled_to_nine_tenths_is_weaker():
    # 0.9 x 946.353 - 300/0.95
    it = sums(way="room")
    assert it.poured == pytest.approx(535.9, abs=0.1)
    assert it.strength["kitchen"] == pytest.approx(27.6, abs=0.05)


def test_three_weighings_read_a_jar_that_was_packed_by_eye():
    by_eye = sums(spirit=50)
    spirit = by_eye.poured * 0.93014  # g/mL of 50 % vol at 20 °C, OIML R 22
    read = sums(way="weighed", spirit=50, empty=430, with_herb=730, with_all=730 + spirit)
    assert read.herb == pytest.approx(300)
    assert read.ratio == pytest.approx(by_eye.ratio, rel=1e-5)
    assert read.strength["measured"] == pytest.approx(by_eye.strength["measured"], abs=1e-3)


def test_weighings_in_another_order_are_refused_in_words():
    with pytest.raises(OutOfRange, match="swapped"):
        lesson06.look(setting(way="weighed", empty=900, with_herb=700), RULES)


def test_a_jar_without_room_for_spirit_says_what_would_fit():
    with pytest.raises(OutOfRange, match="no spirit goes in"):
        lesson06.look(setting(jar=473.176, herb=460), RULES)


def test_fresh_1_to_2_has_less_plant_than_dried_1_to_5():
    fresh, dried = (
        lesson06.look(s, RULES)
        for s in (
            setting(way="weight", herb=200, ratio=2, spirit=95),
            setting(way="weight", state="leaf", herb=100, water=10, ratio=5, spirit=50),
        )
    )
    # 200 g hold 40 g dry plant in 560 mL; 100 g hold 90 g in 510 mL
    assert fresh.number("dry").amount == pytest.approx(560 / 40)
    assert dried.number("dry").amount == pytest.approx(510 / 90)
    assert fresh.number("times").amount == pytest.approx((90 / 510) / (40 / 560))
    assert dried.number("times").amount == pytest.approx(1)
    assert "no sum answers it" in lesson06.look(setting(beside="plant"), RULES).sentence


def test_three_readings_of_the_ratio_are_named():
    rows = dict(row[:2] for row in lesson06.look(setting(way="weight", herb=100, ratio=2, spirit=95), RULES).table)
    assert rows["menstruum added, by weight of plant"] == "1:2"
    # 200 poured + 80 of its own - 1.5 x 20 kept
    assert rows["finished liquid, by weight of plant"] == "1:2.5"
    assert rows["all the liquid, by dry plant"] == "1:14"


def test_dried_flowers_at_1_to_5_are_not_covered_and_the_way_out_covers_them():
    dried = setting(way="weight", state="leaf", herb=100, water=10, ratio=5, spirit=50)
    assert "not covered" in lesson06.look(dried, RULES).sentence
    assert "1:6.3" in lesson06.look(dried, RULES).sentence
    assert lesson06.sums(dataclasses.replace(dried, ratio=6.3), RULES).covered
    assert not lesson06.sums(dataclasses.replace(dried, ratio=6.2), RULES).covered


def test_more_than_the_jar_holds_says_how_much_fits():
    much = setting(way="weight", herb=400, ratio=2)
    told = lesson06.look(much, RULES).sentence
    assert "needs 1221 mL" in told
    assert "279 g" in told
    fits = lesson06.sums(setting(way="weight", herb=279, ratio=2), RULES)
    assert fits.level <= 0.9 * 946.353


def test_a_ratio_that_the_marc_drinks_says_so():
    told = lesson06.look(setting(way="weight", state="root", herb=100, water=10, ratio=1, spirit=60), RULES).sentence
    assert "Nothing would pour off" in told


def test_the_cover_rule_is_the_teachers():
    thick = Rules(cover=25.4)
    dried = setting(way="weight", state="root", herb=130, water=10, ratio=5)
    assert lesson06.sums(dried, thick).layer == pytest.approx(4 * lesson06.sums(dried, RULES).layer)
    assert lesson06.sums(dried, RULES).layer == pytest.approx(37, abs=0.5)  # 1/4 in. in a quart


def test_the_floor_rule_is_the_teachers():
    assert "floor of 25 % vol: it keeps" in lesson06.look(setting(), Rules(floor=25)).sentence


def test_no_pandas_and_no_scipy_before_the_first_picture():
    code = (
        "import sys; import pint; before = 'scipy' in sys.modules;"
        "from herbcalc.show.lessons import lesson06; from herbcalc.rules import Rules;"
        "from herbcalc.show.story import scenes;"
        "[lesson06.look(s.setting, Rules()) for s in scenes(lesson06, Rules())];"
        "print('pandas' in sys.modules, 'scipy' in sys.modules and not before)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        check=True, capture_output=True, text=True, cwd=Path(__file__).resolve().parents[3],
    )  # fmt: skip
    assert ran.stdout.split() == ["False", "False"]


def test_its_strengths_are_those_of_lesson_5():
    from herbcalc.menstruum import final_strength

    it = sums(way="weight", herb=100, ratio=2, spirit=95)
    for rule in ("kitchen", "measured"):
        other = final_strength(Q(100, "g"), Q(80, "percent_wb"), Q(200, "mL"), Q(95, "percent_vol"), rule)
        assert it.strength[rule] == pytest.approx(float(other.magnitude))


# --- the house rules reach it ---


def test_the_ratio_is_read_as_the_class_reads_it():
    jar = setting(way="weight", herb=100, ratio=2, spirit=95)
    # 2 poured; 2 + 0.8 - 1.5 x 0.2 finished; (2 + 0.8) / 0.2 by dry plant
    for reading, said in (("added", "1:2"), ("finished", "1:2.5"), ("dry", "1:14")):
        look = lesson06.look(jar, Rules(ratio_reading=reading))
        assert look.number("ratio").value == said
        assert (f"counts it as {said}" in look.sentence) == (reading != "added")
    # 2.8 - 4 x 0.2 finished
    assert lesson06.look(jar, Rules(ratio_reading="finished", retained=4)).number("ratio").value == "1:2"


def test_a_dried_1_to_5_is_as_dry_as_the_class_dries():
    look = lesson06.look(setting(way="weight", ratio=2, beside="plant"), Rules(dried_to=12.0))
    assert look.number("times").amount == pytest.approx((88 / 512) / (1 / 14))
    rosehips = next(s for s in scenes(lesson06, Rules(dried_to=12)) if "rosehips" in s.name)
    assert rosehips.setting.water == 12


@pytest.mark.parametrize("way", ["brim", "room", "weight"])
def test_no_way_out_names_a_spirit_that_no_shelf_here_has(way):
    told = " ".join(lesson06.look(setting(way=way), Rules(shelf=(40, 50))).ways_out)
    assert told
    assert "95 % vol" not in told


def test_under_a_floor_that_the_spirit_has_not_no_plant_may_be_in_it():
    most = lesson06.look(setting(), Rules(floor=45)).number("most")
    assert (most.value, most.amount, most.other) == ("none", 0.0, 0.0)


def test_a_verdict_that_the_rules_do_not_share_says_so():
    # As much plant as one rule just allows and the other does not.
    low, high = sorted(sums().most.values())
    assert low < high
    look = lesson06.look(setting(herb=(low + high) / 2), RULES)
    assert "do not agree" in look.sentence
    assert look.ways_out
    assert "under a line at the floor" in look.alt


# --- no way out asks more of a jar than it holds ---

JARS = [
    setting(way=way, jar=jar, herb=herb, ratio=ratio, water=water, spirit=spirit)
    for way, jar, herb, ratio, water, spirit in itertools.product(
        ("brim", "room", "weight"), (473.176, 946.353), (60, 150, 300, 395), (1, 2, 4), (60, 80), (36, 40, 50)
    )
    if way == "weight" or ratio == 2
]


def figure(text, before, after=""):
    return float(re.search(before + r"([\d.]+)" + after, text).group(1))


def strengths_after_a_swap(it, out, strongest):
    """The liquid with `out` mL of it replaced: volumes that add up, and mixed by mass."""
    liquid = it.poured + it.plant_water
    kitchen = (it.strength["kitchen"] * (liquid - out) + strongest * out) / liquid
    mixed = ethanol.mix(Q([liquid - out, out], "mL"), Q([it.strength["measured"], strongest], "percent_vol"))
    return kitchen, float(mixed.strength.magnitude)


def keeps(jar, herb, text):
    """A jar of that much plant holds its spirit and reaches the floor."""
    ratio = figure(text, "1:") if "1:" in text else jar.ratio
    it = lesson06.sums(dataclasses.replace(jar, herb=herb, ratio=ratio), RULES)
    assert it.level <= jar.jar * lesson06.FILLED[jar.way] + 1, text
    assert min(it.strength.values()) >= FLOOR - 1e-6, text


def check_way(jar, it, text, strongest):
    """Which way it is; it is worked again from its own words."""
    filled = lesson06.FILLED[jar.way]
    if text.startswith("Add "):
        assert it.level + figure(text, "Add ", " mL") <= jar.jar, text
        return "add"
    if " in all, which is" in text:
        assert it.body + figure(text, "Pour ", " mL") <= jar.jar, text
        return "pour"
    if "of the liquid out" in text:
        out = figure(text, "take at least ", " mL")
        assert out <= it.poured + it.plant_water - it.kept + 1
        assert min(strengths_after_a_swap(it, out, strongest)) >= FLOOR - 1e-9, text
        return "swap"
    if text.startswith("Take plant out"):
        keeps(jar, figure(text, "at most ", " g"), text)
        return "less"
    if text.startswith("Share the plant"):
        keeps(jar, it.herb / figure(text, "between "), text)
        return "share"
    if text.startswith("Put it all into"):
        size = figure(text, "holds ", " mL")
        poured = it.herb * figure(text, "1:") if "1:" in text else size * filled - it.body
        assert it.body + poured <= size * filled + 5, text
        assert jar.spirit * poured / (poured + it.plant_water) >= FLOOR - 0.01, text
        return "bigger"
    return "other"


@pytest.mark.parametrize("shelf", [(40, 50), (40, 50, 75.5, 95)], ids=str)
def test_the_ways_out_fit_into_the_jar_and_do_what_they_say(shelf):
    rules, seen = Rules(shelf=shelf), set()
    for jar in JARS:
        try:
            it, look = lesson06.sums(jar, rules), lesson06.look(jar, rules)
        except OutOfRange:  # the plant fills the jar by itself
            continue
        under = min(it.strength.values()) < FLOOR - 1e-9
        full = jar.way == "weight" and it.level > 0.9 * jar.jar + 1e-9
        assert bool(look.ways_out) == (under or full)
        seen |= {check_way(jar, it, text, max(shelf)) for text in look.ways_out}
    assert seen == {"add", "pour", "swap", "less", "share", "bigger", "other"}


def test_a_jar_that_is_full_is_never_told_to_take_more():
    told = " ".join(lesson06.look(setting(), RULES).ways_out)  # a quart, full to the brim
    assert not re.search(r"\bAdd \d|in all, which", told)
    for words in ("take at least 79.5 mL", "at most 142 g", "between 3 quart jars", "gallon jar"):
        assert words in told


def test_before_the_guess_nobody_sees_how_much_spirit_went_in():
    look = lesson06.look(setting(), RULES)
    pictures = {}
    for answer in (False, True):
        board = Board(400, 205, size=17.6)
        board.start()
        look.left(board, whole(board), answer)
        pictures[answer] = board.svg()
    assert "its water 240 mL" in pictures[False]
    assert "alcohol 252 mL" in pictures[True]
    assert "alcohol 252 mL" not in pictures[False]
    assert "631 mL" not in look.given
