"""The gate before a harvest: it asks, says what is still open, and judges and keeps nothing."""

from __future__ import annotations

import re

import pytest

from herbcalc.rules import Rules
from herbcalc.show.card import gate
from herbcalc.show.card.gate import QUESTIONS, Gate
from herbcalc.show.here import Here

BANNED = re.compile(r"\b(error|invalid|wrong)(s|ly)?\b", re.IGNORECASE)


def filled(rules=Rules()):  # noqa: B008 - frozen
    card = Gate(rules)
    for place, (label, _) in zip(card.places, QUESTIONS, strict=True):
        place.value = f"my answer: {label}"
    card.certain.value = True
    return card


@pytest.mark.parametrize("at", range(len(QUESTIONS)))
def test_what_is_open_is_named_and_no_sum_follows(at):
    card = filled()
    card.places[at].value = "  "
    card.pass_()
    assert QUESTIONS[at][1] in card.said.value
    assert gate.OPEN in card.said.value
    assert gate.THROUGH not in card.said.value


def test_not_certain_means_leave_it_whatever_else_is_answered():
    card = filled()
    card.certain.value = False
    card.at_risk.value = True
    assert card.answer() == list(gate.NOT_CERTAIN)


def test_at_risk_means_none_from_the_wild_and_a_way_on():
    card = filled()
    card.at_risk.value = True
    none, way = card.answer()
    assert "none is taken from the wild" in none
    assert "grower" in way


def test_through_the_gate_the_house_shares_are_told_and_local_law_over_them():
    first, shares, law = filled(Rules(stand_share=0.05, leaf_share=0.25)).answer()
    assert first == gate.THROUGH
    assert "5 of every 100 plants" in shares
    assert "25 of every 100 parts" in shares
    assert "local code" in law


def test_whatever_is_typed_is_not_judged():
    """A gate that praised or blamed a name would be taken for knowing the plant."""
    answers = set()
    for words in ("hemlock", "???", "<b>lemon balm</b>", "zzqx"):
        card = filled()
        for place in card.places:
            place.value = words
        card.pass_()
        answers.add(card.said.value)
        assert words not in card.said.value
    assert len(answers) == 1


def test_a_changed_tick_takes_back_what_was_said():
    card = filled()
    card.pass_()
    assert card.said.value
    card.at_risk.value = True
    assert card.said.value == ""


def test_nothing_is_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path))
    card = Here(2).gate()
    for place in card.places:
        place.value = "something"
    card.certain.value = True
    card.pass_()
    assert not list(tmp_path.iterdir())
    assert "something" not in card.stored_html


def test_the_words_are_plain():
    told = [gate.WHY, gate.OPEN, gate.LAW, *gate.NOT_CERTAIN, *gate.NONE_FROM_THE_WILD, *filled().answer()]
    for text in told:
        assert text.endswith(".")
        assert not BANNED.search(text)
