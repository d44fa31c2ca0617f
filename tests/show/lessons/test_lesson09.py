"""Lesson 9: soak or drip."""

import dataclasses

import pytest

from herbcalc.rules import Rules
from herbcalc.show.lessons import lesson09
from herbcalc.units.refusals import Impossible

RULES = Rules()


def setting(**values):
    return dataclasses.replace(lesson09.SCENES[0].setting, **values)


def test_the_same_herb():
    ways, _ = lesson09.sums(setting())
    soak, again, drip = ways.values()
    assert (soak.menstruum, soak.finished) == pytest.approx((500, 350))
    assert soak.share == pytest.approx(0.70)
    assert again.share == pytest.approx(0.787, abs=0.0005)
    assert (drip.menstruum, drip.finished) == pytest.approx((650, 500))
    assert "Neither is stronger" in lesson09.look(setting(), RULES).sentence


def test_the_same_bottle():
    ways, _ = lesson09.sums(setting(same="bottle"))
    assert ways["soak"].herb == pytest.approx(142.86, abs=0.01)
    assert ways["soak"].menstruum == pytest.approx(714.3, abs=0.1)
    assert ways["drip"].herb == pytest.approx(100)
    assert ways["drip"].menstruum == pytest.approx(650)
    told = lesson09.look(setting(same="bottle"), RULES).sentence
    assert "the drip saves 64.3 mL (2 1/4 fl oz) of spirit and 42.9 g (1 1/2 oz) of herb" in told


def test_with_one_retention_the_drip_always_saves_spirit():
    for ratio in (2, 3, 5, 10):
        for kept in (0.5, 1.0, 1.5):
            ways, _ = lesson09.sums(setting(same="bottle", ratio=ratio, kept=kept, pressed=kept))
            assert ways["drip"].menstruum < ways["soak"].menstruum


@pytest.mark.parametrize(("ratio", "kept"), [(5, 1.5), (3, 1.5), (8, 2.0)])
def test_pressed_to_the_break_even_they_tie(ratio, kept):
    _, tie = lesson09.sums(setting(same="bottle", ratio=ratio, kept=kept))
    assert tie == pytest.approx(ratio * kept / (ratio + kept))
    ways, _ = lesson09.sums(setting(same="bottle", ratio=ratio, kept=kept, pressed=tie))
    assert ways["soak"].menstruum == pytest.approx(ways["drip"].menstruum)
    told = lesson09.look(setting(same="bottle", ratio=ratio, kept=kept, pressed=tie), RULES).sentence
    assert "a tie in spirit" in told


def test_a_good_press_turns_the_choice():
    told = lesson09.look(lesson09.SCENES[2].setting, RULES).sentence
    assert "the soak saves 54.8 mL (1 3/4 fl oz) of spirit, the drip 19 g (3/4 oz) of herb" in told
    assert "1.15 mL for each gram" in told


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
    assert rows["days"] == ("28", "56", "2")
    assert rows["spirit costs"] == ("$16.67", "$16.67", "$21.67")
    assert rows["cost of a gram's worth"][0] == "$0.238"  # 16.667 / 70
    pounds = {row[0]: row[1:] for row in lesson09.look(setting(), Rules(currency="£")).table}
    assert pounds["spirit costs"][0].startswith("£")


def test_the_printed_pair_stands_beside_the_model_with_its_source():
    """Wilson, Simpson and Spelman 2022, Frontiers in Pharmacology 13:886993: 63.5 and 80.1 % of the CBD."""
    look = lesson09.look(lesson09.SCENES[7].setting, RULES)
    for text in ("63.5 %", "80.1 %", "Wilson, Simpson and Spelman 2022", "proves no rule", "cannot say"):
        assert text in look.sentence
    assert "63.5 %" in look.alt
    assert any("886993" in cell for row in look.table for cell in row)


def test_a_narrow_ratio_leaves_much_behind():
    told = lesson09.look(setting(ratio=2, same="herb"), RULES).sentence
    assert "hardly a difference" in told
    told = lesson09.look(setting(ratio=1.2, pressed=0.5), RULES).sentence
    assert "leaves much behind" in told
