"""The very ends: a finished liquid of exactly nothing, a particle of no size, shares that reach neither 0 nor 1."""

from __future__ import annotations

import pytest

from herbcalc import maceration
from herbcalc.maceration import Impossible
from herbcalc.units import OutOfRange, Q


@pytest.mark.parametrize("ratio", [1.5, 1.25, 0.0])
def test_no_finished_liquid_at_all_is_no_reading(ratio):
    """The marc keeps 1.5 mL for each gram; at 1:1.5 the last drop is drunk."""
    with pytest.raises(Impossible, match="nothing comes out"):
        maceration.read_ratio(Q(ratio, "mL/g"), "added", "finished", retained=Q(1.5, "mL/g"))
    almost = maceration.read_ratio(Q(1.5 + 2**-20, "mL/g"), "added", "finished", retained=Q(1.5, "mL/g"))
    assert almost.magnitude == 2**-20


@pytest.mark.parametrize(("size", "diffusivity"), [(0.0, 1e-5), (-0.01, 1e-5), (0.01, 0.0), (0.01, -1e-5)])
def test_a_particle_has_a_size_and_moves_something(size, diffusivity):
    with pytest.raises(OutOfRange):
        maceration.exchange_rate(Q(size, "cm"), Q(diffusivity, "cm**2/hour"), "plate")


@pytest.mark.parametrize(("shape", "times"), [("plate", 3), ("cylinder", 8), ("sphere", 15)])
def test_half_the_size_is_four_times_as_quick(shape, times):
    rates = [maceration.exchange_rate(Q(size, "cm"), Q(1e-5, "cm**2/hour"), shape).magnitude for size in (0.02, 0.01)]
    assert rates == pytest.approx([times * 0.025, times * 0.1])
