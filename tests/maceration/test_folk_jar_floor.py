"""A jar made by eye keeps at its floor, and not a little under it."""

from __future__ import annotations

import numpy as np
import pytest

from herbcalc import ethanol, maceration, menstruum
from herbcalc.units import Q


def read(floor, rule="kitchen"):
    """100 g of herb at 80 % water under 200 mL of 50 % vol; by hand 100 / 280 of spirit, 35.714 % vol."""
    weighs = 200.0 * ethanol.density(Q(50.0, "percent_vol")).to("g/mL").magnitude
    jar = Q(400.0, "g"), Q(500.0, "g"), Q(500.0 + weighs, "g"), Q(80.0, "percent_wb"), Q(50.0, "percent_vol")
    return maceration.folk_jar(*jar, floor=Q(floor, "percent_vol"), rule=rule)


def test_kitchen_rule_by_hand():
    jar = read(35.0)
    assert jar.menstruum.magnitude == pytest.approx(200.0)
    assert jar.strength.magnitude == pytest.approx(10000.0 / 280.0)


@pytest.mark.parametrize("rule", ["kitchen", "measured"])
@pytest.mark.parametrize("short", [0.5, 0.01, 1e-6])
def test_just_under_the_floor_does_not_keep(rule, short):
    ends = read(35.0, rule).strength.magnitude
    herb, water, poured, strength = Q(100, "g"), Q(80, "percent_wb"), Q(200, "mL"), Q(50, "percent_vol")
    assert ends == pytest.approx(menstruum.final_strength(herb, water, poured, strength, rule).magnitude)
    assert read(ends + short, rule).keeps is False
    assert read(ends - short, rule).keeps is True
    assert read(ends + 1e-12, rule).keeps is True, "rounding alone spoils no jar"
    listed = read(np.array([ends - short, ends, ends + short]), rule).keeps
    assert listed.tolist() == [True, True, False]
