"""Lesson 4: cutting strong spirit."""

import dataclasses

import pytest

from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import whole
from herbcalc.show.lessons import lesson04
from herbcalc.show.look import View
from herbcalc.show.story import scenes
from herbcalc.units.refusals import Impossible

RULES = Rules()
SCENES = scenes(lesson04, RULES)


def look(view=View(), rules=RULES, **values):  # noqa: B008 - frozen
    return lesson04.look(dataclasses.replace(SCENES[0].setting, **values), rules, view)


def amount(shown, key):
    return shown.number(key).amount


def test_a_litre_of_50_out_of_95():
    # 1000 x 50 / 95 by hand; the water from densities of OIML R 22: 1000 x 0.93014 - 526.32 x 0.81138 over 0.9982
    shown = look()
    assert amount(shown, "strong") == pytest.approx(526.3, abs=0.05)
    assert amount(shown, "thin") == pytest.approx(1000 - 526.3, abs=0.05)
    assert shown.number("thin").other == pytest.approx((1000 * 0.93014 - 526.32 * 0.81138) / 0.9982, abs=0.5)
    assert amount(shown, "makes") == 1000
    assert amount(shown, "shrinks") == pytest.approx(shown.number("thin").other - amount(shown, "thin"), abs=1e-6)
    assert "30.3 mL (1 fl oz) between the two is the room" in shown.sentence


def test_half_a_litre_and_half_a_litre():
    # mass: 500 x 0.80742 + 500 x 0.9982, at the density of what they make, 0.9311 g/mL (OIML R 22, 49.5 % vol)
    shown = look(by="each", spirit=96, amount=500)
    assert amount(shown, "makes") == pytest.approx((500 * 0.80742 + 500 * 0.9982) / 0.9311, abs=1)
    assert amount(shown, "shrinks") == pytest.approx(1000 - amount(shown, "makes"))
    assert amount(shown, "really") == pytest.approx(48)
    assert shown.number("really").other == pytest.approx(100 * 480 / amount(shown, "makes"))
    assert "to" not in lesson04.used(dataclasses.replace(SCENES[0].setting, by="each"))


def test_all_the_alcohol_is_in_what_is_made():
    for by in ("make", "spirit", "each"):
        for other in (0, 40):
            s = dataclasses.replace(SCENES[0].setting, by=by, other=other, spirit=75.5, to=50)
            it = lesson04.sums(s, 95)
            alcohol = it.strong * s.spirit + it.thin * other
            strength = it.stops_strength if by == "each" else s.to
            assert it.makes * strength == pytest.approx(alcohol, rel=1e-6), (by, other)
            kitchen = it.strong_kitchen * s.spirit + it.thin_kitchen * other
            assert it.stops_at * it.stops_strength == pytest.approx(kitchen, rel=1e-6)
            if by != "each":
                assert it.makes_kitchen == pytest.approx(it.strong_kitchen + it.thin_kitchen)


def test_for_two_spirits_no_gap_is_laid_at_the_door_of_the_shrink():
    # 7.5 mL lie between the rules and the two shrink by 3.5: one is not the reason of the other.
    shown = look(spirit=75.5, other=40)
    assert abs(amount(shown, "thin") - shown.number("thin").other) > 2 * amount(shown, "shrinks")
    assert "because" not in shown.sentence
    assert "between the two" not in shown.sentence


def test_vodka_does_not_become_50_and_what_does_it_is_on_the_shelf():
    for shelf, strongest in (((40, 50, 75.5, 95), 95), ((40, 60), 60)):
        with pytest.raises(Impossible) as refused:
            look(spirit=40, amount=500, rules=Rules(shelf=shelf))
        add, start = refused.value.ways_out
        # 500 mL of 50: the stronger one is (50 - 40) / (strongest - 40) of it
        assert float(add.amount.magnitude) == pytest.approx(500 * 10 / (strongest - 40))
        assert f"of {strongest} % vol" in add.text
        assert start.text == "Start from a spirit of 50 % vol or more."
    with pytest.raises(Impossible) as refused:
        look(spirit=40, amount=500, rules=Rules(shelf=(40, 45)))
    (only,) = refused.value.ways_out
    assert "No shelf here has more than 45 % vol" in only.text


def test_the_fire_line_stands_at_96():
    told = look(spirit=96, rules=Rules(shelf=(40, 50))).caution
    assert "catches fire" in told
    assert "Never distil" in told


@pytest.mark.parametrize("scene", [s for s in SCENES if not s.none], ids=lambda s: s.title)
def test_before_the_guess_the_picture_is_the_same_whatever_the_answer(scene):
    shown = lesson04.look(scene.setting, RULES)
    board = Board(400, 205, size=17.6)
    board.start()
    shown.left(board, whole(board), False)
    value = shown.number(scene.asks).value
    assert value not in board.svg()
    board.start()
    shown.left(board, whole(board), True)
    assert scene.asks == "really" or value in board.svg()


def test_the_wish_to_be_cut_does_not_show_in_the_width_of_the_spirit():
    # 750 mL of 95 fill the whole width before the guess, whether little or much water is to come.
    widths = []
    for to in (50, 80):
        board = Board(400, 205, size=17.6)
        board.start()
        look(by="spirit", amount=750, to=to).left(board, whole(board), False)
        shown = [
            a for key, a in board._artists.items() if key.startswith("shape strong part") and key in board._drawn
        ]
        widths.append(max(x for a in shown for x, _ in a.get_xy()))
    assert widths[0] == widths[1]
