"""Every sentence an item can say: plain words, both systems of units, nothing left over from a template."""

import re

import pytest

from herbcalc import homework
from herbcalc.homework import item, items

BANNED = re.compile(r"\b(errors?|invalid|wrong|incorrect|mistakes?|fail(?:ed|s)?|illegal|stupid|nettles?)\b", re.I)
METRIC = re.compile(r"\d\s?(?:g|kg|mL|L|cm)\b(?!/)")
KITCHEN = re.compile(r"\b(?:oz|lb|tsp|tbsp|cups?|quarts?|gallons?)\b")
LEFT_OVER = re.compile(r"[{}⟦⟧]|\bnan\b|\binf\b|\d[eE][+-]\d|  ")
PROBES = ("77 %", "9 % vol", "0.5", "1:9", "$3", "3 h", "90 °F", "a", "b", "c", "d", "abc", "no", "")


def _sentences(one):
    yield one.prompt
    yield from one.choices
    yield from one.points
    for question, _, hint in one.quick:
        yield question
        yield hint
    for tier in (2, 3, 4):
        yield from one.worked(tier)
    middle = (one.drawn.low + one.drawn.high) / 2
    accidents = [f"{middle * way:.4f} {one.unit}" for way in (0.1, 0.5, 2, 10, 1.0432, 1.3)]
    for typed in [*one.answers(), *one.slip_answers().values(), *accidents, *PROBES]:
        for tier in (0, 1):
            said = one.check(typed, tier)
            yield said.hint
            yield said.consequence


@pytest.mark.parametrize("at", items(), ids=lambda at: f"{at[0]}.{at[1]}")
def test_sentences_are_plain_and_say_both_systems(at):
    for number in range(1, 16):
        for text in _sentences(item(*at, "fern7", number)):
            assert not BANNED.search(text), text
            assert not LEFT_OVER.search(text), text
            shown = re.sub(r'"[^"]*"', "", text)  # what the student typed is quoted as it was typed
            assert not METRIC.search(shown) or KITCHEN.search(shown), text


CROSSING = {"3.5", "3.9", "6.3"}  # these ask for the other system: showing it would answer them


@pytest.mark.parametrize("at", items(), ids=lambda at: f"{at[0]}.{at[1]}")
def test_every_drawn_figure_stands_in_the_prompt(at):
    one = item(*at, "fern7", 3)
    text = one.prompt + " ".join(one.choices)
    for figure in one.ask.figures:
        if figure.shown and one.kind != "find the slip":
            value = one.drawn.values[figure.name]
            shown = f"{value:.2f}" if figure.unit == "money" else f"{value:.6f}".rstrip("0").rstrip(".")
            assert shown in text, (figure.name, shown, text)
    if one.kind == "sum" and not one.ask.want.exact and one.code not in CROSSING:
        assert "hree figures are enough" in text


def test_slips_say_what_was_done_and_ask_a_question():
    for slip in homework.slips():
        assert slip.did
        assert "?" in slip.hint, slip
        assert not BANNED.search(slip.did + slip.hint), slip
        assert not LEFT_OVER.search(slip.did + slip.hint), slip
