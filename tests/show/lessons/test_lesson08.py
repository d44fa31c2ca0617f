"""Lesson 8: drip by drip."""

import dataclasses

import numpy as np
import pytest

from herbcalc.percolation import MEASURED_1866
from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.percolator import NARROW, height_share
from herbcalc.show.draw.shapes import whole
from herbcalc.show.lessons import lesson08
from herbcalc.show.story import scenes

RULES = Rules()
SCENES = scenes(lesson08, RULES)


def setting(**values):
    return dataclasses.replace(SCENES[0].setting, **values)


def test_the_dense_bed_runs_through_the_measurements_of_1866():
    """Squibb 1866, printed in Sulz 1888: 61 to 78 % and 71 to 84 % of the extract."""
    it = lesson08.sums(setting())
    bands = [m for m in MEASURED_1866 if m.low is not None and m.low < m.high]
    assert len(bands) == 2
    for band in bands:
        share = np.interp(band.percolate.magnitude, it.runs, it.curve)
        assert band.low < share < band.high


def test_the_plain_curve_and_its_band():
    it = lesson08.sums(setting(run=1))
    assert it.plain == pytest.approx(0.811, abs=0.001)
    assert it.plain_between == pytest.approx((0.727, 0.881), abs=0.001)
    assert it.plain_stop == pytest.approx(1.797, abs=0.001)  # 0.6 ln 20


def test_where_to_stop_is_where_the_bed_gives_95():
    for kind in ("dense root powder", "leaf or herb powder"):
        it = lesson08.sums(setting(kind=kind))
        there = lesson08.sums(setting(kind=kind, run=it.stop))
        assert there.out == pytest.approx(0.95, abs=0.002)
    coarse = lesson08.look(setting(kind="coarse cut herb"), RULES)
    assert "95 % lies beyond this picture" in coarse.sentence
    assert (coarse.number("stop").value, coarse.number("stop").amount) == ("later", None)


def test_what_is_out_and_what_is_left_are_all_of_it():
    for run in (0.0, 0.5, 2.0, 6.0):
        it = lesson08.sums(setting(run=run))
        assert it.out + it.left == pytest.approx(1, abs=1e-9)
        # cells hold the same volume each: their mean is what is left
        assert float(np.mean(it.strength)) == pytest.approx(it.left, abs=1e-9)


def test_hold_keep_count_and_tap_come_from_one_place():
    for kind, keeps in (("dense root powder", 0.8), ("leaf or herb powder", 2.0), ("coarse cut herb", 2.5)):
        look, it = lesson08.look(setting(run=5, kind=kind), RULES), lesson08.sums(setting(run=5, kind=kind))
        assert look.number("ready").amount == pytest.approx(500 + 100 * keeps)
        assert look.number("left").amount == pytest.approx(100 * keeps)
        assert it.keeps == pytest.approx(keeps)
    it = lesson08.sums(setting(run=5))
    assert it.flow == pytest.approx(12)  # 2 mL/min for each kg
    assert it.hours == pytest.approx(500 / 12)
    assert it.drops_per_minute == pytest.approx(7.4)
    assert it.hours == pytest.approx(500 * 37 / it.drops_per_minute / 60)  # the count at the tap says the same
    assert it.whole == pytest.approx(30 + 500 / 12)  # 6 h damp, 24 h standing (USP IX, 1916)


def test_the_taps_are_inside_the_books_bands():
    ends = {"slow": (0, 1), "moderate": (1, 3), "quick": (3, 5)}
    for flow, (low, high) in ends.items():
        rate = lesson08.sums(setting(flow=flow)).flow / 60 / 0.1  # mL/min for each kg, from 100 g
        assert low < rate <= high + 1e-9


def test_what_was_fitted_says_so_and_leaf_is_outside_the_bars():
    assert "fitted at a moderate tap to Squibb's bars of 1866" in lesson08.look(setting(), RULES).sentence
    leaf = lesson08.look(setting(kind="leaf or herb powder"), RULES).sentence
    assert "this bed has 45.9 % there, outside the bar" in leaf


def test_the_end_of_the_curve_is_of_what_a_drip_can_draw():
    look = lesson08.look(setting(run=5), RULES)
    assert look.number("out").value == "nearly all"
    assert "of what such a drip can draw" in look.sentence
    assert "over 99.9" not in look.sentence


def test_a_slow_tap_gets_more_out():
    slow, moderate, quick = (lesson08.sums(setting(kind="leaf or herb powder", flow=f)).out for f in lesson08.RATES)
    assert slow > moderate > quick


def test_too_much_powder_says_what_fits_and_asks_it_over_an_empty_cone(monkeypatch):
    look = lesson08.look(setting(herb=300, cone=500), RULES)
    assert "a cone of at least 693 mL" in look.sentence  # 300 g at 0.65 g/mL is 461.5 mL, and half as much again
    assert any("at most 216 g" in way for way in look.ways_out)
    assert look.number("fits").amount == pytest.approx(500 * 2 / 3 * 0.65)
    assert "a cone of at least" not in lesson08.look(setting(herb=216, cone=500), RULES).sentence
    drawn = []
    monkeypatch.setattr(lesson08, "percolator", lambda board, key, place, it: drawn.append(it))
    board = Board(name="test")
    for answer in (False, True):
        board.start()
        look.left(board, whole(board), answer)
    assert (drawn[0].bed, drawn[0].in_bed, list(drawn[0].strength)) == (0, "", [])
    assert drawn[1].bed == pytest.approx(2 / 3)
    assert drawn[1].in_bed == "216 g"


def test_before_the_guess_the_glass_is_as_full_as_the_question_says(monkeypatch):
    drawn = []
    monkeypatch.setattr(lesson08, "percolator", lambda board, key, place, it: drawn.append(it))
    board = Board(name="test")
    board.start()
    lesson08.look(SCENES[0].setting, RULES).left(board, whole(board), False)
    assert drawn[0].below == "100 mL"
    assert drawn[0].glass == pytest.approx(100 / 600)
    assert (drawn[0].in_bed, drawn[0].drops) == ("? % in it", "drop ? %")
    assert "the tap is still closed" not in lesson08.look(SCENES[0].setting, RULES).given
    assert "the tap is still closed" in lesson08.look(SCENES[1].setting, RULES).given


def test_it_says_that_it_is_a_model_and_what_is_dangerous():
    look = lesson08.look(setting(), RULES)
    assert lesson08.MODEL in look.sentence
    assert lesson08.MODEL in look.alt
    for word in ("dust mask", "glass", "flames", "sparks", "hairs"):
        assert word in lesson08.CAUTION
    assert "catches fire from about 22 °C" in look.caution


def test_the_table_carries_the_printed_measurements():
    rows = lesson08.look(setting(), RULES).table
    assert any("61 % to 78 %" in cell for row in rows for cell in row)
    assert any("71 % to 84 %" in cell for row in rows for cell in row)


def test_the_cone_is_filled_to_scale():
    """The volume of a cut cone, computed from its widths by thin slices."""
    highs = np.linspace(0, 1, 20001)
    area = (NARROW + (1 - NARROW) * highs) ** 2
    volume = np.concatenate([[0], np.cumsum((area[1:] + area[:-1]) / 2)])
    volume /= volume[-1]
    for share in (0.1, 0.5, 2 / 3, 0.95):
        assert float(height_share(share)) == pytest.approx(np.interp(share, volume, highs), abs=1e-4)
