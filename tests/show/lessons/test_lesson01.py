"""Lesson 1's panel: its figures against sums by hand, and nothing of the answer before it is shown."""

from __future__ import annotations

import dataclasses

import pytest

from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import whole
from herbcalc.show.lessons import lesson01
from herbcalc.show.lessons.lesson01 import FILLINGS, Setting, look, per_mL, used
from herbcalc.show.look import controls
from herbcalc.show.story import scenes

RULES = Rules()


def number(key, **setting):
    return look(Setting(**setting), RULES).number(key)


@pytest.mark.parametrize(
    ("key", "setting", "by_hand"),
    [
        ("weighs", {"filling": "honey", "fill": 100}, 142.0),
        ("weighs", {"filling": "oil", "fill": 200}, 183.0),
        ("weighs", {"filling": "vodka", "fill": 100}, 94.8),  # OIML R 22: 948.05 kg/m³ at 40 % vol
        ("weighs", {"filling": "grain spirit", "fill": 100}, 81.1),  # 811.4 at 95
        ("tsp", {"fill": 59.147}, 12.0),
        ("cups", {"fill": 473.176}, 2.0),
        ("strength", {"show": "bottle", "proof": 151}, 75.5),
        ("alcohol", {"show": "bottle", "proof": 80, "bottle": 750}, 300.0),
        ("low", {"show": "heat", "low": 32, "high": 212}, 0.0),
        ("high", {"show": "heat", "low": 32, "high": 212}, 100.0),
        ("wide", {"show": "heat", "low": 80, "high": 98}, 10.0),
        ("wide", {"show": "heat", "low": 98, "high": 80}, 10.0),
        ("like", {"show": "heat", "low": 80, "high": 112}, 0.0),
        ("by_g", {"show": "ratio", "herb": 113.398, "ratio": 5}, 566.99),
        ("by_oz", {"show": "ratio", "herb": 113.398, "ratio": 5}, 591.47),  # 20 fl oz
        ("really", {"show": "ratio", "ratio": 5}, 5.216),
        ("share", {"show": "ratio"}, 4.318),
    ],
)
def test_figures_by_hand(key, setting, by_hand):
    assert number(key, **setting).amount == pytest.approx(by_hand, rel=1e-3, abs=1e-9)


def test_every_filling_has_its_weight_and_every_dial_its_place():
    assert all(0 < per_mL(filling) < 2 for filling in FILLINGS)
    kinds = controls(Setting)[0].options
    placed = [used(Setting(show=kind)) - {"show"} for kind in kinds]
    assert sorted(name for names in placed for name in names) == sorted(c.name for c in controls(Setting)[1:])


@pytest.mark.parametrize("n", range(len(scenes(lesson01, RULES))))
def test_before_the_guess_the_picture_keeps_the_answer_back(n):
    scene = scenes(lesson01, RULES)[n]
    seen = look(scene.setting, RULES)
    board = Board(612, 262, name=f"asked {n}")
    board.start()
    seen.left(board, whole(board), False)
    words = [artist.get_text() for artist in board._artists.values() if hasattr(artist, "get_text")]
    answer = seen.number(scene.asks).value
    assert not any(answer in text for text in words)
    assert answer not in seen.given


def test_a_strong_spirit_brings_its_caution_and_honey_none():
    strong = look(Setting(filling="grain spirit"), RULES).caution
    assert "fire" in strong or "flame" in strong
    assert look(Setting(filling="honey"), RULES).caution == ""
    assert look(dataclasses.replace(Setting(), show="bottle", proof=190), RULES).caution


def test_the_jug_and_the_page_weigh_the_same_eight_fluid_ounces():
    """337 g on the panel and 336 g on the page were two stories of one jugful: 237 mL is no 8 fl oz to the scale."""
    every = scenes(lesson01, RULES)
    jugs = [scene.setting for scene in every if scene.setting.show == "jug" and "8 fl oz" in scene.question]
    assert len(jugs) == 3
    for jug in jugs:
        assert jug.fill == pytest.approx(8 * 29.5735, abs=0.01)
    assert look(jugs[0], RULES).number("weighs").value == "336 g"
    herb = next(scene.setting for scene in every if scene.setting.show == "ratio")
    assert look(herb, RULES).number("by_g").value == "567 mL"


def test_one_of_a_thing_is_one():
    told = look(Setting(filling="water", fill=236.588), RULES)
    assert "or 1 cup." in told.sentence
    assert told.number("times").value == "the same"


def test_a_weight_that_nobody_measured_says_so():
    assert "invented" in look(Setting(filling="loose dried leaf"), RULES).sentence
    assert "invented" not in look(Setting(filling="honey"), RULES).sentence
