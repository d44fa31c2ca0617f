"""Lesson 13: money and stock, and what it costs."""

import dataclasses

import pytest

from herbcalc import compare
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, SELLING, STORED
from herbcalc.show.lessons import lesson13, lesson13_cost
from herbcalc.show.look import View
from herbcalc.show.panel.pictures import PAGE, Pictures
from herbcalc.show.story import Band, bands, scenes
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible

RULES = Rules()
CLASS, COST = scenes(lesson13, RULES), scenes(lesson13_cost, RULES)


def of_class(**values):
    return dataclasses.replace(CLASS[0].setting, **values)


def of_cost(**values):
    return dataclasses.replace(COST[2].setting, **values)


def test_the_class_of_eighteen():
    look = lesson13.look(of_class(), RULES)
    assert look.number("packs").value == "3 bottles"
    assert look.number("herb").value == "at least 340 g"
    assert look.number("forgotten").amount == 2
    assert look.number("serves").amount == 23
    assert look.number("left").amount == pytest.approx(2250 - 1697.14, abs=0.01)
    assert look.number("cost").value == "$54.00"


@pytest.mark.parametrize("students", [1, 7, 18, 23, 24, 40])
@pytest.mark.parametrize("spare", [0.0, 0.1, 0.35])
def test_where_each_mL_goes(students, spare):
    it = lesson13.sums(of_class(students=students, spare=spare))
    assert it.home + it.marc + it.spare == pytest.approx(it.menstruum)
    assert it.marc == pytest.approx(1.5 * it.herb / (1 + spare))
    assert it.menstruum + it.left == pytest.approx(750 * it.packs)
    assert 0 <= it.left < 750


def test_the_bottles_jump_where_the_panel_says():
    serves = lesson13.sums(of_class()).serves
    assert [lesson13.sums(of_class(students=n)).packs for n in (serves, serves + 1)] == [3, 4]


def test_the_staircase_has_its_corners_at_whole_bottles():
    xs, ys = lesson13._staircase(100.0, 750.0, 20.0)
    assert (xs[0], ys[0]) == (0.0, 0.0)
    assert ys[1:] == [1, 1, 2, 2, 3, 3]
    assert xs[1:] == [0, 7.5, 7.5, 15, 15, 20]
    assert lesson13._staircase(1e6, 200.0, 20.0) == ([0.0, 20.0], [0.0, 1e5])


def test_a_press_saves_a_bottle():
    assert CLASS[4].setting.retained == RULES.retained_pressed
    assert lesson13.look(CLASS[4].setting, RULES).number("packs").amount == 2


def test_house_rules_reach_the_scenes():
    own = Rules(spare=0.2, retained=2.0, currency="£")
    there = scenes(lesson13, own)
    assert (there[0].setting.spare, there[0].setting.retained) == (0.2, 2.0)
    assert "£18 a bottle" in there[5].question
    look = lesson13.look(there[0].setting, own)
    assert "20 of every 100 goes on top as spare (your rule)" in look.given
    assert look.number("cost").value.startswith("£")
    assert "common practice" in lesson13.look(of_class(), RULES).given


def test_nothing_spare_is_said():
    assert "Nothing is put on top" in lesson13.look(of_class(spare=0), RULES).given


def test_a_marc_that_drinks_it_all_is_refused_with_ways_out():
    with pytest.raises(Impossible) as refusal:
        lesson13.look(of_class(ratio=2, retained=2), RULES)
    assert len(refusal.value.ways_out) == 3
    with pytest.raises(Impossible):
        lesson13_cost.look(of_cost(ratio=2, retained=2), RULES)


# --- the money ---


def test_vodka_and_the_strong_one_by_their_alcohol():
    assert lesson13_cost.look(COST[0].setting, RULES).number("alcohol").value == "$5.00"
    assert lesson13_cost.look(COST[1].setting, RULES).number("alcohol").value == "$3.51"


def test_one_bottle_is_the_sum_of_its_layers():
    for setting in (of_cost(), of_cost(retained=0.3, glass=0), of_cost(ratio=8, filled=30)):
        it = lesson13_cost.sums(setting)
        parts = sum(money for _, _, money in lesson13_cost._parts(setting, it))
        assert parts == pytest.approx(it.cost.each_bottle)
    assert lesson13_cost.look(of_cost(), RULES).number("bottle").value == "$4.08"


def test_the_extract_costs_what_lesson_9_says_where_the_herb_is_free():
    it = lesson13_cost.sums(of_cost(herb_price=0, spirit=50, to=50))
    row = compare.ways(herb=Q(100, "g"), ratio=Q(5, "mL/g"), retained=Q(1.5, "mL/g"), price=25 / 750)["soak"]
    assert it.cost.each_worth == pytest.approx(row["cost per g-worth"])


def test_spirit_that_is_too_weak_to_cut_is_refused():
    with pytest.raises(Impossible):
        lesson13_cost.look(of_cost(spirit=40, to=50), RULES)


def test_money_is_guessed_in_the_classs_own_money():
    scene, own = COST[2], Rules(currency="€")
    look = lesson13_cost.look(scene.setting, own)
    assert [band.words for band in bands(scene, look.number(scene.asks), own, View())] == [
        "under €2.50",
        "€2.50 to €3.50",
        "€3.50 to €5",
        "over €5",
    ]


def test_bottles_are_guessed_whole():
    scene = dataclasses.replace(CLASS[0], edges=(1.5, 2.5, 3.5))
    number = lesson13.look(scene.setting, RULES).number("packs")
    said = [band.words for band in bands(scene, number, RULES, View()) if isinstance(band, Band)]
    assert said == ["1 bottle or fewer", "2 bottles", "3 bottles", "4 bottles or more"]


# --- cautions at their moment ---


def test_a_store_of_spirit_has_its_line_and_one_bottle_has_not():
    assert STORED in lesson13.look(of_class(), RULES).caution
    assert STORED not in lesson13.look(of_class(students=3), RULES).caution
    for strength in (40, 50, 75.5, 95):
        told = lesson13.look(of_class(spirit=strength), RULES).caution
        assert "no flame" in told.split(".")[0] or "catches fire" in told
    assert lesson13.CAUTION == FOOD_GRADE
    assert "Never distil" in lesson13.look(of_class(spirit=96), Rules(shelf=(40.0, 50.0))).caution


def test_a_price_never_stands_without_the_line_on_selling():
    assert lesson13_cost.CAUTION == SELLING
    for words in ("no advice", "differs by place", "dietary supplements", "label law", "tax on spirits"):
        assert words in SELLING
    assert FOOD_GRADE in lesson13_cost.look(of_cost(), RULES).caution
    assert "95 % vol catches fire from about 13" in lesson13_cost.look(of_cost(spirit=95, to=50), RULES).caution


def test_each_of_two_jars_says_its_own_price():
    """Under B stood the price of A: what is said under a jar is shared, as its size is."""
    dear, press = (lesson13_cost.look(scenes(lesson13_cost, RULES)[n].setting, RULES) for n in (0, 4))
    for a, b in ((dear, press), (press, dear)):
        svg_a, svg_b, _ = Pictures("13_cost").beside(a, b, PAGE)
        own, other = a.number("bottle").value, b.number("bottle").value
        assert own in svg_a
        assert other in svg_b
        assert own not in svg_b


def test_what_is_not_cut_is_not_said_to_be():
    told = [lesson13_cost.look(scenes(lesson13_cost, RULES)[n].setting, RULES).given for n in (0, 1)]
    assert "poured as it is" in told[0]
    assert "cut to 50 % vol" in told[1]
