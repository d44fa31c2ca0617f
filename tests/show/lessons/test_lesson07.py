"""Lesson 7: waiting and pressing."""

import dataclasses

import numpy as np
import pytest

from herbcalc.rules import Rules
from herbcalc.show.lessons import lesson07
from herbcalc.show.look import View, compare
from herbcalc.units import Q

RULES = Rules()


def setting(**values):
    return dataclasses.replace(lesson07.SCENES[0].setting, **values)


def numbers(**values):
    return {n.label: n for n in lesson07.look(setting(**values), RULES).numbers}


def test_pressing_changes_the_yield_and_not_the_strength():
    # 4 oz of root in 20 fl oz gave 13 to 14 by hand and up to 17 by press (M. Moore): 0.65 to 0.70, and 0.85
    loose, hard = (lesson07.look(setting(kept=k), RULES) for k in (2.0, 0.8))
    told = compare(loose, hard, View())
    assert "pours off: 120 mL (4 fl oz) more" in told
    assert "Not changed: a gram is in" in told
    assert lesson07.sums(setting(kept=1.6)).most == pytest.approx(0.68)
    assert lesson07.sums(setting(kept=0.8)).most == pytest.approx(0.84)
    assert lesson07.sums(setting(kept=2.0)).worth == lesson07.sums(setting(kept=0.8)).worth


@pytest.mark.parametrize(
    ("half", "days", "share"),
    [(3, 7, 0.80), (3, 14, 0.96), (3, 28, 0.998), (5, 7, 0.62), (5, 14, 0.86), (5, 28, 0.98)],
)
def test_half_times(half, days, share):
    assert lesson07.sums(setting(half=half, days=days)).moved == pytest.approx(share, abs=0.005)


def test_day_three_to_day_six():
    look = lesson07.look(lesson07.SCENES[1].setting, RULES)
    assert "75 % of what can move" in look.sentence
    assert lesson07.sums(setting(days=3)).moved == pytest.approx(0.5)


def test_diffusion_goes_with_the_square_of_the_size():
    """In a large bath, Crank's sphere: half is out at D t/a² = 0.0305 (The Mathematics of Diffusion, 1975)."""
    wide = setting(model="size", ratio=10, size=8.0, plant="dried")
    t8 = 0.030547 * 0.4**2 / float(Q(1e-12, "m**2/s").to("cm**2/day").magnitude)
    assert 5 < t8 < 6
    # a bath of 1:10 is a little quicker than an endless one
    assert 0.5 < lesson07.out_by(wide, np.array([t8]))[0] < 0.57
    small = dataclasses.replace(wide, size=1.0)
    assert lesson07.out_by(small, np.array([t8 / 64]))[0] == pytest.approx(lesson07.out_by(wide, np.array([t8]))[0])


def test_waiting_never_gives_more_than_pressing_allows():
    for model in ("half", "size"):
        for days in (0, 1, 56):
            it = lesson07.sums(setting(model=model, days=days))
            assert 0 <= it.moved <= 1
    assert lesson07.look(setting(days=0), RULES).numbers[1].value == "0 %"


def test_1_to_1_gives_nothing_and_says_what_would_work():
    look = lesson07.look(setting(ratio=1, kept=1.5), RULES)
    assert "Nothing comes out" in look.sentence
    assert [way.split()[0] for way in look.ways_out] == ["Soak", "Press", "Percolate"]
    assert look.numbers[0].value == "0 mL"


def test_the_same_herb_again():
    look = lesson07.look(setting(again="same", split=0.6), RULES)
    # 100 g, 500 mL, 1.5 mL/g kept: 1 - 150/300 x 150/350
    assert look.numbers[1].amount == pytest.approx(100 * (1 - 150 / 300 * 150 / 350))
    assert look.numbers[2].amount == pytest.approx(325)
    assert look.numbers[3].amount == pytest.approx(78.70, abs=0.01)
    best = lesson07.look(setting(again="same", split=0.65), RULES)
    assert "That is the best split" in best.sentence
    for split in (0.4, 0.6, 0.64, 0.66, 0.9):
        other = lesson07.look(setting(again="same", split=split), RULES)
        assert other.numbers[1].amount <= best.numbers[1].amount + 1e-9


def test_the_best_split_counts_the_plants_own_water():
    s = setting(again="same", plant="fresh", water=80, ratio=3, kept=3)
    best = lesson07.look(s, RULES).numbers
    at = best[2].amount / 300
    for nudge in (-0.02, 0.02):
        share = lesson07.look(dataclasses.replace(s, split=at + nudge), RULES).numbers[1].amount
        assert share < best[3].amount


def test_fresh_herb_again_falls_to_the_floor():
    s = lesson07.SCENES[7].setting
    kitchen = lesson07.look(s, RULES)
    for strength in ("67.9", "48.5", "34.6"):
        assert strength in kitchen.sentence
    measured = lesson07.look(s, RULES, View(rule="measured"))
    for strength in ("69.5", "49.8", "35.2"):
        assert strength in measured.sentence
    assert "Lot 3 is under your floor" in kitchen.sentence
    assert "under your floor" not in measured.sentence


def test_dried_herb_again_keeps_its_strength_and_runs_out():
    look = lesson07.look(setting(again="fresh", ratio=3.5, kept=1.5), RULES)
    assert "drinks all that is left" in look.sentence  # 350, 200, 50, nothing after the third lot of 150
    look = lesson07.look(setting(again="fresh", ratio=5, kept=1.5), RULES)
    assert look.numbers[1].amount == pytest.approx(50)
    assert numbers(again="fresh")["Strength, last lot"].amount == pytest.approx(50)


def test_only_the_dials_that_count_are_out():
    assert "split" not in lesson07.used(setting())
    assert "half" not in lesson07.used(setting(model="size"))
    assert "water" not in lesson07.used(setting())
    assert "days" not in lesson07.used(setting(again="fresh"))
