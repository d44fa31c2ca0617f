"""Percolation: setting up, running, and the washing curves."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from herbcalc import percolation as per
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit

unhurried = settings(deadline=None)  # a loaded machine is no reason to fail

HERB = Q(100, "g")


def test_setting_up():
    assert per.menstruum_needed(HERB, Q(500, "mL"), Q(1.5, "mL/g")).magnitude == 650.0
    assert per.moistening(HERB, Q(0.3, "mL/g")).magnitude == pytest.approx(30.0)
    hours = per.running_time(Q(500, "mL"), 20, 37)
    assert hours.to("hour").magnitude == pytest.approx(15.4167, abs=1e-4)
    assert per.running_time(Q(500, "mL"), Q(20, "1/min"), Q(37, "1/mL")).magnitude == pytest.approx(hours.magnitude)
    assert per.drops_per_minute(Q(500, "mL"), hours, 37) == pytest.approx(20.0)
    assert per.bed_fits(HERB, Q(500, "mL")).bed.magnitude == pytest.approx(250.0)
    assert per.bed_fits(HERB, Q(375, "mL")).fits is True  # just so: 250 of two thirds of 375
    assert per.bed_fits(HERB, Q(np.array([300.0, 500.0]), "mL")).fits.tolist() == [False, True]
    assert per.whole_time(HERB, Q(500, "mL"), Q(12, "mL/hour")).magnitude == pytest.approx(30.0 + 41.667, abs=1e-3)


@pytest.mark.parametrize(
    ("flow", "word"),
    [(0.1, "slow"), (0.2, "moderate"), (0.3, "moderate"), (0.4, "quick"), (0.6, "quicker than the books")],
)
def test_flow_bands(flow, word):
    assert per.flow_band(HERB, Q(flow, "mL/min")) == word


def test_the_curve_for_class():
    shares = per.share_after(Q(np.array([1.0, 2.0, 3.0, 5.0]), "mL/g"))
    assert shares == pytest.approx([0.811, 0.964, 0.9933, 0.99976], abs=5e-4)
    with pytest.raises(Impossible, match="99 of every 100") as no:
        per.stop_at(1.0)
    assert per.share_after(no.value.ways_out[0].amount) == pytest.approx(0.99)
    with pytest.raises(Impossible, match="number 1 of the list"):
        per.stop_at(np.array([0.5, 1.0]))


@unhurried
@given(st.floats(0.0, 0.999), st.floats(0.1, 3.0))
def test_stopping_undone(wanted, curve):
    assert per.share_after(per.stop_at(wanted, Q(curve, "mL/g")), Q(curve, "mL/g")) == pytest.approx(wanted, abs=1e-9)


@unhurried
@given(st.floats(1.0, 5000.0), st.floats(1.0, 300.0), st.floats(5.0, 80.0))
def test_tap_undone(volume, drops, per_mL):
    time = per.running_time(Q(volume, "mL"), drops, per_mL)
    assert per.drops_per_minute(Q(volume, "mL"), time, per_mL) == pytest.approx(drops, rel=1e-9)


@pytest.mark.parametrize(
    ("call", "kind"),
    [
        (lambda: per.running_time(Q(500, "mL"), 0, 37), OutOfRange),
        (lambda: per.running_time(Q(500, "mL"), 20, Q(37, "1/min")), WrongUnit),
        (lambda: per.running_time(Q(500, "mL"), "20", 37), WrongUnit),
        (lambda: per.running_time(Q(-1, "mL"), 20, 37), OutOfRange),
        (lambda: per.running_time(Q([1, 2], "mL"), [1, 2, 3], 37), OutOfRange),
        (lambda: per.drops_per_minute(Q([1, 2], "mL"), Q(1, "hour"), [1, 2, 3]), OutOfRange),
        (lambda: per.menstruum_needed(100, Q(500, "mL"), Q(1.5, "mL/g")), WrongUnit),
        (lambda: per.washing(1.0, 0.09), OutOfRange),
        (lambda: per.washing(1.0, 1001), OutOfRange),
        (lambda: per.washing(-1.0, 10), OutOfRange),
        (lambda: per.washing(Q(50, "percent"), 10), WrongUnit),
        (lambda: per.share_washed(1.0, 0.0), OutOfRange),
        (lambda: per.exit_ratio(np.array([1.0, np.nan]), 3), OutOfRange),
        (lambda: per.bed_fits(HERB, Q(500, "mL"), filled=1.2), OutOfRange),
    ],
)
def test_refusals(call, kind):
    with pytest.raises(kind):
        call()


cells = st.floats(1e-3, 1e4)


@unhurried
@given(cells)
def test_cells_rise_and_fall(n):
    theta = np.linspace(0.0, 8.0, 400)
    exit_, out = per.exit_ratio(theta, n), per.share_washed(theta, n)
    assert (np.diff(exit_) <= 1e-12).all()
    assert (np.diff(out) >= -1e-12).all()
    assert ((exit_ >= 0.0) & (exit_ <= 1.0) & (out >= 0.0) & (out <= 1.0)).all()
    assert (out <= theta + 1e-12).all()
    assert (exit_[0], out[0]) == (1.0, 0.0)


@unhurried
@given(st.floats(0.3, 200.0), st.floats(0.05, 4.0))
def test_cells_keep_the_books(n, theta):
    area = quad(lambda x: per.exit_ratio.plain(x, n), 0.0, theta, epsabs=1e-11, limit=200)[0]
    assert per.share_washed(theta, n) == pytest.approx(area, abs=1e-9)


def test_cells_of_any_kind():
    assert per.share_washed(1.3, 1) == pytest.approx(1.0 - np.exp(-1.3), abs=1e-14)
    assert per.share_washed(0.8, 1e7) == pytest.approx(0.8, abs=1e-6)
    assert per.exit_ratio(1.2, 2.5) < per.exit_ratio(1.2, 2.0)


@pytest.mark.parametrize("peclet", [*np.geomspace(0.1, 1000.0, 25), 4.0, 6.0, 10.0, 40.0])
def test_the_front_is_smooth_and_falls(peclet):
    t = np.concatenate([[0.0], np.geomspace(1e-6, 0.05, 400), np.linspace(0.05, 4.0, 2000)[1:], [20.0, 1e3, 1e6]])
    exit_, remaining = per.washing(t, peclet)
    assert (exit_[0], remaining[0]) == (1.0, 1.0)
    assert (np.diff(exit_) <= 1e-12).all()
    assert (np.diff(remaining) <= 1e-12).all()
    assert ((exit_ >= 0.0) & (exit_ <= 1.0) & (remaining >= 0.0) & (remaining <= 1.0)).all()
    even = np.linspace(0.05, 4.0, 2000)
    bend = np.diff(per.washing(even, peclet)[0], 3)
    assert np.abs(np.diff(bend)).max() < 1e-3  # a jump of 1e-3 between the two ways of summing would show


@pytest.mark.parametrize("peclet", [0.1, 1.0, 4.0, 6.0, 7.0, 10.0, 40.0, 300.0, 1000.0])
@pytest.mark.parametrize("upto", [0.2, 0.9, 1.0, 1.1, 1.9, 2.1, 5.0])
def test_what_left_the_front_is_in_the_bottle(peclet, upto):
    where = sorted({min(upto * 0.999, x) for x in (0.5, 0.9, 1.0, 1.1)})
    left = quad(lambda t: per.washing.plain(t, peclet)[0], 0.0, upto, points=where, epsabs=1e-11, limit=400)[0]
    assert left + per.washing(upto, peclet)[1] == pytest.approx(1.0, abs=1e-9)


def test_front_and_cells_agree_when_sharp():
    # the variance of the closed vessel, 2/Pe - 2(1 - e^-Pe)/Pe², is that of 1/N cells
    peclet = 400.0
    alike = 1.0 / (2.0 / peclet - 2.0 * (1.0 - np.exp(-peclet)) / peclet**2)
    t = np.linspace(0.0, 2.0, 50)
    assert np.abs(per.washing(t, peclet)[0] - per.exit_ratio(t, alike)).max() < 5e-3


def test_lists_are_the_single_sums():
    t = np.array([0.0, 0.3, 1.0, 1.9, 2.1, 5.0])
    for peclet in (0.1, 8.0, 900.0):
        together = per.washing(t, peclet)
        assert together[0].tolist() == pytest.approx([per.washing(x, peclet)[0] for x in t], abs=1e-15)
        assert together[1].tolist() == pytest.approx([per.washing(x, peclet)[1] for x in t], abs=1e-15)
    grid = per.washing(t[:, None], np.array([1.0, 30.0]))
    assert grid[0].shape == grid[1].shape == (6, 2)
    assert isinstance(per.washing(1.0, 30.0)[0], float)
    assert isinstance(per.share_washed(1.0, 3), float)
    assert per.share_washed(t, 3).tolist() == [per.share_washed(x, 3) for x in t]
    assert per.open_washing(np.array([0.0, 1.0]), 10.0).tolist() == [1.0, per.open_washing(1.0, 10.0)]


@unhurried
@given(st.floats(1.0, 5000.0), st.floats(1.0, 20.0), st.floats(0.1, 1.0), st.floats(0.2, 2.0))
def test_reserve_weak_and_marc_are_all_of_it(herb, ratio, reserved, curve):
    made = per.reserve_and_evaporate(Q(herb, "g"), Q(herb * ratio, "mL"), Q(reserved, "mL/g"), Q(curve, "mL/g"))
    assert made.share_in_reserve + made.share_in_weak + made.share_in_marc == pytest.approx(1.0, abs=1e-9)
    assert (made.reserve + made.weak).magnitude == pytest.approx(herb * ratio)
    assert (made.reserve + made.room).magnitude == pytest.approx(made.finished.magnitude)
    assert made.share_in_marc == pytest.approx(1.0 - per.share_after(Q(ratio, "mL/g"), Q(curve, "mL/g")), abs=1e-9)


def test_fluidextracts():
    parts = per.fractional(Q(1, "kg"))
    assert [part.herb.magnitude for part in parts] == pytest.approx([500, 300, 200])
    assert [part.reserve.magnitude for part in parts] == pytest.approx([200, 300, 500])
    with pytest.raises(Impossible, match="reserve alone") as no:
        per.reserve_and_evaporate(Q(100, "g"), Q(50, "mL"))
    assert per.reserve_and_evaporate(Q(100, "g"), no.value.ways_out[0].amount).weak.magnitude == 0.0
    with pytest.raises(OutOfRange, match="carrier"):
        per.drug_extract_ratio(Q(100, "g"), Q(20, "g"), Q(20, "g"))
    with pytest.raises(OutOfRange, match="2a"):
        per.mother_tincture(Q(100, "g"), Q(60, "percent_wb"), "9z")
    with pytest.raises(Impossible, match="thinning only lowers"):
        per.diluting_ethanol(Q(900, "g"), 0.018, 0.02)
