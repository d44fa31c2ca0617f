"""Mixing: each liquid has a volume and a strength; where the counts do not fit, nothing is guessed."""

from __future__ import annotations

import pytest

from herbcalc import ethanol
from herbcalc.units import OutOfRange, Q


@pytest.mark.parametrize(
    ("volumes", "strengths"),
    [([500.0], [40.0, 50.0]), (500.0, [40.0, 50.0]), ([500.0, 300.0, 100.0], [40.0, 50.0]), ([], [40.0, 50.0])],
)
def test_counts_that_do_not_fit(volumes, strengths):
    with pytest.raises(OutOfRange):
        ethanol.mix(Q(volumes, "mL"), Q(strengths, "percent_vol"))


def test_one_volume_and_several_strengths_are_named():
    with pytest.raises(OutOfRange, match=r"1 volumes and 3 strengths"):
        ethanol.mix(Q([500.0], "mL"), Q([40.0, 50.0, 60.0], "percent_vol"))


@pytest.mark.parametrize("strengths", [40.0, [40.0], [40.0, 40.0]])
def test_one_strength_for_all(strengths):
    made = ethanol.mix(Q([500.0, 250.0], "mL"), Q(strengths, "percent_vol"))
    assert made.strength.magnitude == pytest.approx(40.0, abs=1e-9)
    assert made.volume.magnitude == pytest.approx(750.0, abs=1e-9)
    assert made.contraction.magnitude == 0.0
