"""The functions that washing a bed is reckoned with, against SciPy's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special

from herbcalc import percolation
from herbcalc.percolation import gammas

A = np.concatenate([np.geomspace(0.01, 1e7, 300), np.arange(1.0, 40.0), [15.999999, 16.0, 16.000001]])
AROUND = [
    0.0,
    1e-6,
    0.01,
    0.1,
    0.3,
    0.5,
    0.8,
    0.95,
    0.999,
    1.0,
    1.001,
    1.05,
    1.3,
    1.5,
    2.0,
    3.0,
    5.0,
    10.0,
    50.0,
    1e3,
]


@pytest.mark.parametrize("times", AROUND)
def test_both_incomplete_gammas(times):
    lower, upper = gammas.incomplete(A, A * times)
    assert np.abs(lower - special.gammainc(A, A * times)).max() < 1e-13
    assert np.abs(upper - special.gammaincc(A, A * times)).max() < 1e-13
    assert np.abs(lower + upper - 1.0).max() < 1e-14
    assert lower.min() >= 0.0
    assert upper.max() <= 1.0


@pytest.mark.parametrize("times", AROUND)
def test_the_share_that_is_washed_out(times):
    exact = times * special.gammaincc(A, A * times) + special.gammainc(A + 1.0, A * times)
    assert np.abs(percolation.share_washed(times, A) - np.minimum(exact, 1.0)).max() < 1e-11


def test_the_scaled_error_function():
    x = np.concatenate([[0.0], np.geomspace(1e-9, 1e8, 3000), [10.0, np.nextafter(10.0, 11.0)]])
    assert np.abs(gammas.erfcx(x) / special.erfcx(x) - 1.0).max() < 1e-13


def test_the_front_in_a_bed_without_end():
    """At the sharpest front, where e^(vL/D) alone is past what a number can hold."""
    t, pe = np.meshgrid(np.geomspace(1e-6, 50.0, 60), np.geomspace(0.1, 1000.0, 40))
    wide = 2.0 * np.sqrt(t / pe)
    ahead, behind = (1.0 - t) / wide, (1.0 + t) / wide
    exact = 1.0 - 0.5 * (special.erfc(ahead) + np.exp(-(ahead**2)) * special.erfcx(behind))
    assert np.abs(percolation.open_washing(t, pe) - exact).max() < 1e-13
