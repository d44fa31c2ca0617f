"""Waiting: nothing moves without exchange, and little with little; what is cut open is out at once all the same."""

from __future__ import annotations

import numpy as np
import pytest

from herbcalc import maceration
from herbcalc.units import OutOfRange, Q

JAR = Q(5.0, "mL/g"), Q(1.0, "mL/g")  # at the end 4/5 of the extract is in the free liquid


@pytest.mark.parametrize("exchange", [0.0, 0.001, 0.05, 0.5])
@pytest.mark.parametrize("at_once", [0.0, 0.3])
def test_by_hand(exchange, at_once):
    out = maceration.soak_share(Q(10.0, "hour"), *JAR, Q(exchange, "1/hour"), at_once)
    assert out == pytest.approx(0.8 * (1.0 - (1.0 - at_once) * np.exp(-exchange * 10.0 * 5.0 / 4.0)))


def test_an_exchange_below_nothing():
    with pytest.raises(OutOfRange):
        maceration.soak_share(Q(10.0, "hour"), *JAR, Q(-0.001, "1/hour"))


@pytest.mark.parametrize("shape", ["plate", "cylinder", "sphere"])
@pytest.mark.parametrize("bath", [0.01, 0.05])
def test_a_small_bath_is_quick(shape, bath):
    """Little free liquid is soon as strong as the herb: sooner than a large one."""
    small, large = (maceration.uptake(0.001, shape, b) for b in (bath, 10.0))
    assert 0.0 < large < small < 1.0
