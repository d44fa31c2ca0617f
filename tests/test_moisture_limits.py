"""Drying only takes water away: a target a little above what the plant holds is refused, rounding is not."""

from __future__ import annotations

import pytest

from herbcalc import moisture
from herbcalc.units import OutOfRange, Q

HERB = Q(100.0, "g")
CALLS = {
    "dried_weight": lambda water, target: moisture.dried_weight(HERB, water, target).magnitude,
    "fresh_weight": lambda water, target: moisture.fresh_weight(HERB, water, target).magnitude,
    "drying_ratio": lambda water, target: 100.0 * moisture.drying_ratio(water, target),
}


@pytest.mark.parametrize("name", CALLS)
@pytest.mark.parametrize("more", [0.5, 0.01, 1e-6])
def test_a_target_just_above_the_water_there_is(name, more):
    with pytest.raises(OutOfRange, match="already drier"):
        CALLS[name](Q(9.5, "percent_wb"), Q(9.5 + more, "percent_wb"))
    assert CALLS[name](Q(9.5, "percent_wb"), Q(9.5 + 1e-12, "percent_wb")) == 100.0


@pytest.mark.parametrize("more", [0.5, 0.01, 1e-6])
def test_dried_just_heavier_than_fresh(more):
    with pytest.raises(OutOfRange, match="heavier than fresh"):
        moisture.water_content(HERB, Q(100.0 + more, "g"))
    assert moisture.water_content(HERB, Q(100.0 + 1e-12, "g")).magnitude == 0.0


@pytest.mark.parametrize(("fresh", "dried", "scale"), [(5.0, 0.9, 1.0), (5.0, 1.0, 1.0001), (1.0, 1.0, 1.0)])
def test_a_sample_that_the_scale_cannot_tell(fresh, dried, scale):
    with pytest.raises(OutOfRange, match="too little for a scale"):
        moisture.widest_doubt(Q(fresh, "g"), Q(dried, "g"), Q(scale, "g"))


def test_a_sample_that_it_just_can():
    # 2 of 4 g read where 1 of 5 is: 50 % less 20 % of what is left, in the wider direction.
    assert moisture.widest_doubt(Q(5.0, "g"), Q(1.0, "g")).magnitude == pytest.approx(100.0 * (2.0 / 4.0 - 1.0 / 5.0))
