"""Lesson 6: jar by eye, jar by weight."""

import dataclasses
import subprocess
import sys
from pathlib import Path

import pytest

from herbcalc.rules import Rules
from herbcalc.show.lessons import lesson06
from herbcalc.show.look import View
from herbcalc.units import Q
from herbcalc.units.refusals import OutOfRange

RULES = Rules()


def setting(**values):
    return dataclasses.replace(lesson06.SCENES[0].setting, **values)


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
    assert fresh.numbers[3].amount == pytest.approx(1000 * 40 / 560)
    assert dried.numbers[3].amount == pytest.approx(1000 * 90 / 510)
    assert "2.5 times as much dry plant" in lesson06.difference(fresh, dried, View())
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
        "[lesson06.look(s.setting, Rules()) for s in lesson06.SCENES];"
        "print('pandas' in sys.modules, 'scipy' in sys.modules and not before)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        check=True, capture_output=True, text=True, cwd=Path(__file__).resolve().parents[2],
    )  # fmt: skip
    assert ran.stdout.split() == ["False", "False"]


def test_its_strengths_are_those_of_lesson_5():
    from herbcalc.menstruum import final_strength

    it = sums(way="weight", herb=100, ratio=2, spirit=95)
    for rule in ("kitchen", "measured"):
        other = final_strength(Q(100, "g"), Q(80, "percent_wb"), Q(200, "mL"), Q(95, "percent_vol"), rule)
        assert it.strength[rule] == pytest.approx(float(other.magnitude))
