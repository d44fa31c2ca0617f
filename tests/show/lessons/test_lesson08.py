"""Lesson 8: drip by drip."""

import dataclasses

import numpy as np
import pytest

from herbcalc.percolation import MEASURED_1866
from herbcalc.rules import Rules
from herbcalc.show.draw.percolator import NARROW, height_share
from herbcalc.show.lessons import lesson08

RULES = Rules()


def setting(**values):
    return dataclasses.replace(lesson08.SCENES[0].setting, **values)


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
    assert "further than this picture goes" in coarse.sentence
    assert coarse.numbers[1].value == "later"


def test_what_is_out_and_what_is_left_are_all_of_it():
    for run in (0.0, 0.5, 2.0, 6.0):
        it = lesson08.sums(setting(run=run))
        assert it.out + it.left == pytest.approx(1, abs=1e-9)
        # cells hold the same volume each: their mean is what is left
        assert float(np.mean(it.strength)) == pytest.approx(it.left, abs=1e-9)


def test_menstruum_ready_hours_and_drops():
    it = lesson08.sums(setting(run=5, kept=1.5))
    assert it.ready == pytest.approx(650)  # 500 out of 100 g, 150 kept
    assert it.flow == pytest.approx(12)  # 2 mL/min for each kg
    assert it.hours == pytest.approx(500 / 12)
    assert it.drops_per_minute == pytest.approx(7.4)
    assert it.whole == pytest.approx(30 + 500 / 12)  # 6 h damp, 24 h standing (USP IX, 1916)


def test_a_slow_tap_gets_more_out():
    slow, moderate, quick = (lesson08.sums(setting(kind="leaf or herb powder", flow=f)).out for f in lesson08.RATES)
    assert slow > moderate > quick


def test_too_much_powder_says_what_fits():
    look = lesson08.look(setting(herb=300, cone=500), RULES)
    assert "take a cone of at least 693 mL" in look.sentence
    assert any("at most 216 g" in way for way in look.ways_out)
    assert "take a cone" not in lesson08.look(setting(herb=216, cone=500), RULES).sentence


def test_it_says_that_it_is_a_model_and_what_is_dangerous():
    look = lesson08.look(setting(), RULES)
    assert lesson08.MODEL in look.sentence
    assert lesson08.MODEL in look.alt
    for word in ("dust mask", "glass", "flame", "alone"):
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
