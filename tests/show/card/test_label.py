"""The card of a label: invented and unfinished at first, an amount never in it, read back, sent back in words."""

from __future__ import annotations

import datetime

import pytest

from herbcalc.rules import Rules
from herbcalc.show.card.label import BARE, EXAMPLE, READY, LabelCard, day, read
from herbcalc.show.cautions import ASK_FIRST
from herbcalc.units.refusals import OutOfRange

WHOLE = {
    **EXAMPLE,
    "botanical": "Melissa officinalis",
    "final": "53.9 % vol",
    "cautions": "Ask first in pregnancy, for children, or with medicines.",
    "best_before": "11 August 2029",
    "also": "",
}


def filled(rules=None, **changed):
    card = LabelCard(rules or Rules())
    for name, text in (WHOLE | changed).items():
        card.places[name].value = text
    card.check()
    return card


def test_the_card_opens_with_gaps_and_a_promise_and_no_amount():
    card = LabelCard(Rules())
    said = card.said.value
    assert "Cures restless nights" in said
    assert "Botanical name: nothing stands there yet" in said
    assert "Strength in the bottle: nothing stands there yet" in said
    assert card.places["amount"].value == ""
    assert "type what your teacher or a qualified practitioner told you" in card.places["amount"].description
    assert "Nothing is proposed here" in said
    assert any(ASK_FIRST in getattr(child, "value", "") for child in card.children)
    assert "amount" not in EXAMPLE


def test_a_whole_label_is_ready_and_shown_in_both_systems():
    card = filled()
    assert READY in card.said.value
    assert "250 mL (8 1/2 fl oz)" in card.said.value
    assert "1:2 (menstruum added)" in card.said.value


def test_what_cannot_be_read_is_told_once_under_its_own_head():
    said = filled(volume="a lot", pressed="7/8/26").said.value
    assert "7/8/26" in said
    assert "With its month in words" in said
    assert said.count("Pressed, or run through: ") == 1
    assert said.count("Volume: ") == 1
    assert "2 things before" in said


def test_house_rules_reach_the_card():
    assert LabelCard(Rules(ratio_reading="dry")).reading.value == "dry"
    assert "under your floor of 60 % vol" in filled(Rules(floor=60)).said.value


def test_what_was_typed_is_shown_as_text():
    said = filled(maker="<b>me</b>").said.value
    assert "<b>me" not in said
    assert "&lt;b&gt;me" in said


@pytest.mark.parametrize("typed", ["14 July 9999", "14 July 0026", "9999-07-14"])
def test_a_year_far_off_is_told_and_stops_nothing(typed):
    said = filled(pressed=typed, best_before="15 July 2029").said.value
    assert "in a year far from ours" in said
    assert said.count("Pressed, or run through: ") == 1


def test_emptied_it_asks_for_one_line_and_not_for_all():
    card = LabelCard(Rules())
    card.empty()
    assert not any(place.value for place in card.places.values())
    assert BARE in card.said.value
    assert "<li>" not in card.said.value


def test_refusals_say_the_line_once_and_speak_a_persons_units():
    said = filled(final="151 % vol", ratio="1:0").said.value
    assert "Strength in the bottle: 151 % vol was given" in said
    assert "percent_vol" not in said
    assert "nothing was poured on" in said


DAYS_READ = ["14 July 2026", "14 jul 2026", "July 14, 2026", "14th July 2026", "2026-07-14", "14th of July 2026",
             "14-Jul-2026", "14  July  2026"]  # fmt: skip


@pytest.mark.parametrize("text", DAYS_READ)
def test_days(text):
    assert day(text) == datetime.date(2026, 7, 14)


@pytest.mark.parametrize("text", ["7/14/26", "31 June 2026", "summer", "14 Ju 2026", "2026-13-01", "14 July"])
def test_days_that_are_none_or_two(text):
    with pytest.raises(OutOfRange, match="14 July 2026"):
        day(text)


def test_half_a_sign_typed_as_a_day_can_be_shown():
    with pytest.raises(OutOfRange) as refused:
        day("14 \ud83c")
    assert str(refused.value).encode().startswith(b'"14 ?"')


def test_a_ratio_carries_its_reading():
    label, unread = read({"ratio": "1:14"}, "dry")
    assert not unread
    assert str(label.ratio) == "1:14 (dry plant, its water counted in)"
