"""Lesson 2: what a stand allows and a basket needs, told with its ways on, its season and its house rules."""

from __future__ import annotations

import dataclasses
import math

import pytest

from herbcalc import harvest
from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import whole
from herbcalc.show.lessons import lesson02
from herbcalc.show.lessons.lesson02 import DIGS, Setting, _kinds, look, sums
from herbcalc.show.story import scenes
from herbcalc.units.refusals import Impossible

ROOT = Setting(part="root", count=66, share=0.1, each=250, want=1200)


def with_(**changes):
    return dataclasses.replace(ROOT, **changes)


def amounts(setting, rules=Rules()):  # noqa: B008 - frozen
    return {number.key: number.amount for number in look(setting, rules).numbers}


def test_the_one_of_the_page():
    assert amounts(ROOT) == {"may": 6, "needed": 5, "basket": 1500.0, "stay": 61, "set": 7}
    assert look(ROOT, Rules()).ways_out == ()


def test_down_for_what_may_be_taken_up_for_what_is_needed():
    for count in range(5, 301):
        assert sums(with_(count=count)).plan.allowed == math.floor(count / 10)
    for want in range(50, 5001, 50):
        assert sums(with_(want=want)).plan.needed == math.ceil(want / 250)


@pytest.mark.parametrize("count", [5, 66, 300, 500])
@pytest.mark.parametrize("share", [0.1, 1.0])
@pytest.mark.parametrize("part", harvest.parts())
def test_of_a_wild_plant_at_risk_nothing_is_taken_and_there_is_a_way_on(part, count, share):
    seen = look(with_(part=part, ground="risk", count=count, share=share), Rules())
    told = {number.key: number.amount for number in seen.numbers}
    assert (told["may"], told["basket"], told["stay"]) == (0, 0.0, count)
    assert "at risk in the wild" in seen.sentence
    assert any("grower" in way for way in seen.ways_out)
    assert any(way.startswith("Plant it yourself") for way in seen.ways_out)


def test_too_small_a_stand_says_from_how_many_on():
    seen = look(with_(count=8), Rules())
    assert "less than one whole plant" in seen.sentence
    assert any("from 10 plants on" in way for way in seen.ways_out)


def test_where_the_plant_lives_on_the_share_is_of_each_plant_and_all_stay():
    leaf = with_(part="leaf", share=1 / 3, each=120, count=40, want=1000)
    told = amounts(leaf)
    assert told["needed"] == harvest.plants_needed.plain(1000.0, 120.0, 1 / 3)
    assert (told["may"], told["stay"]) == (40, 40)
    assert told["basket"] == pytest.approx(1600)


def test_the_band_is_half_to_double_and_so_four_times():
    it = sums(with_(want=5000))
    assert (it.fewest, it.plan.needed, it.needed_at_half) == (10, 20, 40)


def test_the_months_are_those_of_the_house():
    north, south = (look(ROOT, Rules(hemisphere=half)).sentence for half in ("north", "south"))
    assert "September to November" in north
    assert "March to May" in south
    assert "tops have died back" in north
    assert "tops have died back" in south


@pytest.mark.parametrize("part", harvest.parts())
def test_every_part_has_its_sign_and_what_to_leave(part):
    rows = dict(look(with_(part=part), Rules(hemisphere="south")).table)
    when = harvest.gathering(part, "south")
    assert rows["the sign to look for"] == when.sign
    assert rows["what to leave"] == when.leave
    assert rows["usually, common practice"] == f"{harvest.months_said(when.months)} in the south"


@pytest.mark.parametrize(("part", "rule"), [("root", "stand_share"), ("leaf", "leaf_share")])
def test_more_than_the_house_share_is_said(part, rule):
    house = getattr(Rules(), rule)
    assert look(with_(part=part, share=house), Rules()).caution == ""
    over = look(with_(part=part, share=house + 0.02), Rules()).caution
    assert "more than your house rule" in over
    garden = look(with_(part=part, share=house + 0.02, ground="garden"), Rules()).caution
    assert bool(garden) == (part != DIGS)  # what one has planted may be dug up whole
    assert look(with_(part=part, share=house + 0.02), dataclasses.replace(Rules(), **{rule: 0.5})).caution == ""


def test_every_plant_of_the_field_is_drawn_once_and_none_is_marked_before_the_answer():
    for setting in (ROOT, with_(count=500, want=5000), with_(ground="risk"), with_(part="leaf", share=0.3)):
        it = sums(setting)
        assert sum(many for _, _, _, many, _ in _kinds(setting, it, answer=True)) == setting.count
        before = _kinds(setting, it, answer=False)
        assert [(key, many) for key, _, _, many, _ in before] == [("stay", setting.count)]


def test_kinds_of_plant_differ_in_shape_not_only_in_colour():
    for setting in (ROOT, with_(part="leaf", share=0.3)):
        shapes = [strokes for _, strokes, *_ in _kinds(setting, sums(setting), answer=True)]
        assert len(set(shapes)) == len(shapes)
    assert DIGS in harvest.parts()


def test_the_band_prints_its_factor_and_the_tenfold():
    seen = look(ROOT, Rules())
    assert "4 times apart" in seen.sentence
    assert "tenfold" in seen.sentence
    assert any("tenfold" in row[1] for row in seen.table)


def test_winters_are_drawn_only_where_what_is_dug_is_planted_for():
    """Lemon balm in the garden is picked: "set 39 plants" over its question about the basket answered nobody."""
    assert "winters" in look(with_(ground="garden"), Rules()).alt
    assert "winters" not in look(with_(ground="garden", part="leaf", share=0.3), Rules()).alt


def test_two_charts_of_different_things_do_not_lie_on_each_other():
    wild, garden = (look(with_(ground=ground), Rules()) for ground in ("wild", "garden"))

    def lines(earlier, now):
        board = Board(196, 176, narrow=True, name="two charts")
        board.start(lambda b: earlier.right(b, whole(b)))
        now.right(board, whole(board))
        with board.faint():
            earlier.right(board, whole(board))
        return [key for key in board._drawn if key.startswith("before")]

    assert lines(wild, garden) == []
    assert lines(wild, look(with_(each=100), Rules()))


def test_what_is_allowed_goes_by_one_name_so_that_two_stands_can_be_compared():
    assert {look(with_(part=part), Rules()).number("may").label for part in harvest.parts()} == {"Allowed"}


def test_nothing_is_not_at_most_nothing():
    assert look(with_(ground="risk"), Rules()).number("basket").value == "0 g"
    assert look(ROOT, Rules()).number("basket").value == "at most 1500 g"


def test_bark_is_never_ringed_and_a_garden_leaf_has_its_share():
    for ground in ("wild", "garden", "risk"):
        assert "ring" in look(with_(part="bark", share=0.1, ground=ground), Rules()).caution
    stripped = look(with_(part="leaf", share=1.0, ground="garden"), Rules()).caution
    assert "may not come back" in stripped
    assert look(with_(part="leaf", share=1 / 3, ground="garden"), Rules()).caution == ""


def test_a_share_is_said_in_one_way():
    """The question said 33%, and the sentence below it 33.3 of every 100."""
    for scene in scenes(lesson02, Rules(stand_share=0.05)):
        assert "%" not in scene.question
    assert "5 of every 100" in scenes(lesson02, Rules(stand_share=0.05))[1].question


def test_a_class_that_takes_nothing_is_told_so():
    none = look(with_(share=0), Rules(stand_share=0))
    assert none.number("may").amount == 0
    assert "The share is 0" in none.sentence
    assert any(way.startswith("Plant it yourself") for way in none.ways_out)
    with pytest.raises(Impossible, match="nothing of the leaf is picked") as refusal:
        look(with_(part="leaf", share=0), Rules(leaf_share=0))
    assert any("grower" in way for way in refusal.value.ways_out)
