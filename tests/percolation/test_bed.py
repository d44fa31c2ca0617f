"""The bed of cells with particle exchange, against a plain matrix exponential, its limits and its own books."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, trapezoid
from scipy.linalg import expm

from herbcalc import percolation as per
from herbcalc.units import Q
from herbcalc.units.refusals import OutOfRange, WrongUnit

unhurried = settings(deadline=None)  # a loaded machine is no reason to fail


def bed(herb=100.0, held=1.1, free=0.9, flow=12.0, exchange=0.5, cells=8):
    return per.Bed(Q(herb, "g"), Q(held, "mL/g"), Q(free, "mL/g"), Q(flow, "mL/hour"), Q(exchange, "1/hour"), cells)


def by_exponential(herb, held, free, flow, exchange, cells, percolate):
    """Free share, marc share and exit of the 2N equations written out."""
    n, a = cells, np.zeros((2 * cells, 2 * cells))
    out, given_ = flow / herb * n / free, held / free * exchange
    for j in range(n):
        a[j, j], a[j, n + j] = -out - given_, given_
        a[n + j, j], a[n + j, n + j] = exchange, -exchange
        if j:
            a[j, j - 1] = out
    state = expm(a * percolate / flow) @ np.ones(2 * n)
    whole = free + held
    return free / whole * state[:n].mean(), held / whole * state[n:].mean(), state[n - 1], state


SIZES = {
    "herb": st.floats(1.0, 5000.0),
    "held": st.one_of(st.just(0.0), st.floats(0.01, 3.0)),
    "free": st.floats(0.1, 3.0),
    "exchange": st.one_of(st.just(0.0), st.just(1e7), st.floats(1e-4, 100.0)),
    "cells": st.integers(1, 40),
}


@unhurried
@given(st.fixed_dictionaries(SIZES), st.floats(0.01, 1.0), st.lists(st.floats(0.0, 20.0), min_size=1, max_size=6))
def test_nothing_is_lost(size, flow_per_g, volumes):
    percolate = np.sort(volumes) * size["herb"]
    run = bed(**size, flow=flow_per_g * size["herb"]).run(Q(percolate, "mL"))
    assert np.abs(run.bottle + run.free + run.marc - 1.0).max() < 1e-9
    for part in run:
        assert ((part >= -1e-9) & (part <= 1.0 + 1e-9)).all()
    assert (np.diff(run.bottle) >= -1e-9).all()
    assert (np.diff(run.exit) <= 1e-9).all()


@settings(unhurried, max_examples=60)
@given(
    st.fixed_dictionaries(
        {**SIZES, "exchange": st.one_of(st.just(0.0), st.floats(1e-3, 10.0)), "cells": st.integers(1, 12)}
    ),
    st.floats(0.03, 1.0),
    st.floats(0.0, 10.0),
)
def test_it_is_the_matrix_exponential(size, flow_per_g, volume):
    flow, percolate = flow_per_g * size["herb"], volume * size["herb"]
    run = bed(**size, flow=flow).run(Q(percolate, "mL"))
    free, marc, leaving, state = by_exponential(**size, flow=flow, percolate=percolate)
    assert (run.free, run.marc, run.exit) == pytest.approx((free, marc, leaving), abs=1e-9)
    moving, inside = bed(**size, flow=flow).profile(Q(percolate, "mL"))
    assert np.concatenate([moving, inside]) == pytest.approx(state, abs=1e-9)


@pytest.mark.parametrize("exchange", [0.0, 0.05, 0.5, 20.0, 1e7])
@pytest.mark.parametrize("cells", [1, 8, 60])
def test_the_bottle_is_what_dripped_out(exchange, cells):
    one = bed(exchange=exchange, cells=cells)
    for percolate in (30.0, 180.0, 700.0):
        dripped = quad(
            lambda v: one.run(Q(v, "mL")).exit, 0.0, percolate, epsabs=1e-9, limit=300, points=[percolate * 0.3]
        )[0]
        assert one.run(Q(percolate, "mL")).bottle == pytest.approx(dripped / one.hold_up.magnitude, abs=1e-9)


def test_one_cell_by_hand():
    # Two equations; the roots of s² + (F/v + k w/v + k) s + k F/v.
    v, w, k, f = 0.9, 1.1, 0.5, 0.12
    a, b = f / v, k * w / v
    slow, fast = np.sort(np.roots([1.0, a + b + k, a * k]))[::-1]
    t = np.array([0.5, 5.0, 40.0])
    first = (-a - fast) / (slow - fast)  # c(0) = 1 and c'(0) = -a
    c = first * np.exp(slow * t) + (1.0 - first) * np.exp(fast * t)
    assert bed(cells=1).run(Q(t * 12.0, "mL")).exit == pytest.approx(c, abs=1e-13)


@pytest.mark.parametrize("cells", [1, 5, 8, 100])
def test_quick_exchange_is_cells_at_equilibrium(cells):
    percolate = Q(np.linspace(0.0, 1200.0, 60), "mL")
    quick, still = bed(exchange=1e7, cells=cells), bed(exchange=0.0, cells=cells)
    assert quick.run(percolate).bottle == pytest.approx(
        per.share_washed(quick.displacements(percolate), cells), abs=1e-6
    )
    assert quick.run(percolate).exit == pytest.approx(per.exit_ratio(quick.displacements(percolate), cells), abs=1e-6)
    # No exchange: only the free liquid is washed, and the marc keeps its own.
    moved = percolate.magnitude / 90.0
    assert still.run(percolate).bottle == pytest.approx(0.45 * per.share_washed(moved, cells), abs=1e-12)
    assert still.run(percolate).marc == pytest.approx(np.full(60, 0.55), abs=1e-12)
    assert still.run(percolate).exit == pytest.approx(per.exit_ratio(moved, cells), abs=1e-12)


@pytest.mark.parametrize("exchange", [0.05, 0.5, 5.0])
def test_effective_cells_have_the_spread_of_the_residence_times(exchange):
    """A bed that starts at equilibrium leaves as the survival function of the time in it: 2 ∫ θ E dθ - 1 is 1/N.

    O. Levenspiel, Chemical Reaction Engineering, 3rd ed., chapters 11 and 14: variance of tanks in series, 1/N.
    """
    one = bed(exchange=exchange)
    theta = np.linspace(0.0, 60.0, 60001)
    leaving = one.run(Q(theta * one.hold_up.magnitude, "mL")).exit
    assert trapezoid(leaving, theta) == pytest.approx(1.0, abs=1e-4)
    variance = 2.0 * trapezoid(theta * leaving, theta) - 1.0
    assert 1.0 / variance == pytest.approx(one.effective_cells, rel=1e-3)


def test_no_particles_is_cells():
    percolate = Q(np.linspace(0.0, 500.0, 20), "mL")
    one = bed(held=0.0)
    assert one.run(percolate).bottle == pytest.approx(per.share_washed(percolate.magnitude / 90.0, 8), abs=1e-12)
    assert one.effective_cells == 8.0
    assert bed(exchange=0.0).effective_cells == 0.0


def test_start_and_scale():
    run = bed().run(Q(0.0, "mL"))
    assert run == pytest.approx((0.0, 0.45, 0.55, 1.0), abs=1e-12)
    assert all(isinstance(part, float) for part in run)
    small, large = bed().run(Q(150, "mL")), bed(herb=1000, flow=120).run(Q(1.5, "L"))
    assert small == pytest.approx(large, abs=1e-13)
    many = bed().run(Q(np.array([0.0, 150.0, 900.0]), "mL"))
    assert [part[1] for part in many] == pytest.approx(list(small), abs=1e-15)


def test_slower_drip_draws_more():
    shares = [bed(flow=f).run(Q(200, "mL")).bottle for f in (3.0, 6.0, 12.0, 30.0)]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] - shares[-1] > 0.1


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        ({"herb": 0.0}, OutOfRange),
        ({"free": 0.0}, OutOfRange),
        ({"flow": 0.0}, OutOfRange),
        ({"held": -1.0}, OutOfRange),
        ({"exchange": -1.0}, OutOfRange),
        ({"exchange": np.nan}, OutOfRange),
        ({"cells": 0}, OutOfRange),
        ({"cells": 2.5}, OutOfRange),
        ({"cells": 10_000}, OutOfRange),
        ({"cells": "eight"}, WrongUnit),
        ({"herb": np.array([1.0, 2.0])}, OutOfRange),
    ],
)
def test_refusals(change, kind):
    with pytest.raises(kind):
        bed(**change)


def test_refused_percolate_and_kind():
    with pytest.raises(OutOfRange, match="number 1 of the list"):
        bed().run(Q(np.array([1.0, -1.0]), "mL"))
    with pytest.raises(WrongUnit):
        bed().run(100)
    with pytest.raises(OutOfRange, match="coarse cut herb"):
        per.Bed.of("gravel", Q(100, "g"), Q(12, "mL/hour"))
    with pytest.raises(WrongUnit):
        per.Bed(Q(100, "g"), Q(1, "mL/g"), Q(1, "mL/g"), Q(12, "mL"), Q(1, "1/hour"), 8)
