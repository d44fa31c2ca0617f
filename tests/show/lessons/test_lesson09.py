"""Lesson 9: soak or drip."""

import dataclasses

import pytest

from herbcalc.rules import Rules
from herbcalc.show.lessons import lesson07, lesson08, lesson09
from herbcalc.show.look import View
from herbcalc.show.story import scenes
from herbcalc.units.refusals import Impossible

RULES = Rules()
SCENES = scenes(lesson09, RULES)


def setting(**values):
    return dataclasses.replace(SCENES[0].setting, **values)


def test_the_same_herb():
    it = lesson09.sums(setting())
    assert (it.soak.menstruum, it.soak.finished) == pytest.approx((500, 350))
    assert it.soak.share == pytest.approx(0.70)
    assert it.again.share == pytest.approx(0.787, abs=0.0005)
    assert (it.drip.menstruum, it.drip.finished) == pytest.approx((700, 500))  # drained, it keeps 2 mL for each g
    look = lesson09.look(setting(), RULES)
    assert "Neither is stronger" in look.sentence
    assert "nearly all of what such a drip can draw" in look.sentence
    assert "over 99.9" not in look.sentence


def test_the_same_bottle_says_each_amount_once():
    it = lesson09.sums(setting(same="bottle"))
    assert it.soak.herb == pytest.approx(142.86, abs=0.01)
    assert it.soak.menstruum == pytest.approx(714.3, abs=0.1)
    assert it.drip.herb == pytest.approx(100)
    assert it.drip.menstruum == pytest.approx(700)
    look = lesson09.look(setting(same="bottle"), RULES)
    assert "the drip saves 14.3 mL (3 tsp) of spirit and 42.9 g (1 1/2 oz) of herb" in look.sentence
    everywhere = " ".join([look.sentence, look.alt, *(cell for row in look.table for cell in row)])
    assert "at least 715 mL" in everywhere
    assert "714 mL" not in everywhere


def test_the_same_herb_and_menstruum():
    """650 mL on 100 g, 1.5 kept: once 500/650; twice 1 - 0.375²; thrice 1 - (150/316.7)³."""
    for soaks, share in ((2, 1 - 0.375**2), (3, 1 - (150 / (950 / 3)) ** 3)):
        it = lesson09.sums(setting(same="both", menstruum=650, soaks=soaks))
        assert it.soak.share == pytest.approx(500 / 650)
        assert it.again.share == pytest.approx(share)
        assert (it.drip.menstruum, it.drip.finished) == pytest.approx((650, 450))


@pytest.mark.parametrize("kind", lesson08.BEDS)
def test_the_bed_of_lesson_8_drips_here(kind):
    it = lesson09.sums(setting(bed=kind, ratio=2, dripped=lesson08.keeps(kind)))
    there = lesson08.sums(lesson08.Setting(kind=kind, run=2, herb=100, flow="moderate"))
    assert it.drip.share == pytest.approx(there.out)
    assert it.drip.menstruum == pytest.approx(there.ready)
    assert it.drip.days == pytest.approx(there.whole / 24)


def test_days_come_from_the_waiting_of_lesson_7():
    it = lesson09.sums(setting())
    waited = lesson07.sums(lesson07.Setting(days=it.soak.days, plant="dried"))
    assert waited.moved == pytest.approx(0.95)
    assert it.again.days == pytest.approx(2 * it.soak.days)
    rows = {row[0]: row[1:] for row in lesson09.look(setting(), RULES).table}
    assert rows["days"] == ("13", "26", "3")


def test_with_one_retention_the_drip_always_saves_spirit():
    for ratio in (2, 3, 5, 10):
        for kept in (0.5, 1.0, 1.5):
            it = lesson09.sums(setting(same="bottle", ratio=ratio, dripped=kept, pressed=kept))
            assert it.drip.menstruum < it.soak.menstruum


@pytest.mark.parametrize(("ratio", "kept"), [(5, 2.0), (5, 2.35), (3, 1.5), (8, 2.0)])
def test_pressed_to_the_break_even_they_tie(ratio, kept):
    tie = lesson09.sums(setting(same="bottle", ratio=ratio, dripped=kept)).tie
    assert tie == pytest.approx(ratio * kept / (ratio + kept))
    it = lesson09.sums(setting(same="bottle", ratio=ratio, dripped=kept, pressed=tie))
    assert it.soak.menstruum == pytest.approx(it.drip.menstruum)
    told = lesson09.look(setting(same="bottle", ratio=ratio, dripped=kept, pressed=tie), RULES).sentence
    assert "a tie in spirit" in told


def test_a_good_press_turns_the_choice():
    look = lesson09.look(SCENES[2].setting, RULES)
    assert "the soak saves 105 mL (3 1/2 fl oz) of spirit, the drip 19 g of herb" in look.sentence
    assert "1.43 mL for each gram" in look.sentence
    assert (look.number("gap").label, look.number("gap").amount) == ("Soak saves", pytest.approx(700 - 2500 / 4.2))


def test_house_rules_reach_the_scenes():
    own = Rules(retained=1.2, retained_by_hand=1.4, retained_pressed=0.6)
    assert [s.setting.pressed for s in scenes(lesson09, own)[:4]] == [1.2, 1.2, 0.6, 1.4]


def test_where_the_figures_for_the_marc_come_from_is_said():
    assert (
        "2 mL for each gram (1.92 fl oz for each oz): what the teaching bed of such powder holds"
        in lesson09.look(setting(), RULES).given
    )
    assert "drained, 2 and more is common practice" in lesson09.look(setting(dripped=2.35), RULES).given
    assert "blue cohosh" in lesson09.look(SCENES[2].setting, RULES, View(units="kitchen")).given


def test_nothing_from_a_soak_at_1_to_1_but_from_a_drip():
    look = lesson09.look(setting(ratio=1), RULES)
    assert "The soak gives nothing" in look.sentence
    assert len(look.ways_out) == 3
    with pytest.raises(Impossible) as refusal:
        lesson09.look(setting(same="bottle", ratio=1), RULES)
    assert len(refusal.value.ways_out) == 3


def test_what_is_left_costs_and_alcohol_in_the_marc():
    rows = {row[0]: row[1:] for row in lesson09.look(setting(), RULES).table}
    assert rows["left in the marc"][0] == "150 mL (5 fl oz)"
    assert rows["alcohol in that"][0] == "75 mL (2 1/2 fl oz)"
    assert rows["spirit costs"] == ("$16.67", "$16.67", "$23.33")
    assert rows["the cost for each gram of herb's extract in the bottle"][0] == "$0.238"  # 16.667 / 70
    pounds = {row[0]: row[1:] for row in lesson09.look(setting(), Rules(currency="£")).table}
    assert pounds["spirit costs"][0].startswith("£")


def test_the_printed_pair_stands_beside_the_model_with_its_source():
    """Wilson, Simpson and Spelman 2022, Frontiers in Pharmacology 13:886993: 63.5 and 80.1 % of the CBD."""
    look = lesson09.look(SCENES[7].setting, RULES)
    for text in ("63.5 %", "80.1 %", "Wilson, Simpson and Spelman 2022", "proves no rule", "cannot say"):
        assert text in look.sentence
    assert "63.5 %" in look.alt
    assert any("886993" in cell for row in look.table for cell in row)


def test_a_narrow_ratio_leaves_much_behind():
    told = lesson09.look(setting(ratio=3, same="herb"), RULES).sentence  # the leaf bed has 94 % out there
    assert "hardly a difference" in told
    told = lesson09.look(setting(ratio=1.2, pressed=0.5), RULES).sentence
    assert "leaves much behind" in told
