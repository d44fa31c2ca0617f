"""Recipes made larger and smaller, as printed; whole packs against a solver that knows nothing of rounding."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from herbcalc import batch
from herbcalc.units import Q


def test_peppermint_spirit_made_smaller():
    """US Army Medical Department Center and School, Subcourse MD0802, Pharmaceutical Calculations I: 1000 mL take
    100 mL of oil and 10 g of herb; 240 mL take 24 mL and 2.4 g."""
    factor = batch.scale(Q(1000, "mL"), Q(240, "mL"))
    assert (factor * Q(100, "mL")).to("mL").magnitude == pytest.approx(24)
    assert (factor * Q(10, "g")).to("g").magnitude == pytest.approx(2.4)


def test_a_gallon_of_four_fluid_drams():
    """US Navy, Hospital Corpsman (NAVEDTRA 10669-C), Mathematics: a liquid of 3 fluid drams of glycerin in 4 fluid
    ounces, one gallon of it: times 32, which is 12 fl oz."""
    factor = batch.scale(Q(4, "fl_oz"), Q(1, "gallon"))
    assert factor == pytest.approx(32)
    assert (factor * Q(3 / 8, "fl_oz")).to("fl_oz").magnitude == pytest.approx(12)


def test_whole_packs_against_an_integer_solver():
    """The least whole x with pack * x >= need - there, found by branch and bound (HiGHS)."""
    dice = np.random.default_rng(13)
    for _ in range(60):
        need, pack, there = dice.uniform(0, 9000), dice.choice([375, 500, 700, 750, 1000, 1750]), dice.uniform(0, 900)
        found = milp(
            c=[1.0],
            constraints=LinearConstraint([[float(pack)]], lb=max(need - there, 0.0)),
            integrality=[1],
            bounds=Bounds(0, np.inf),
        )
        assert batch.packs_to_buy(Q(need, "mL"), Q(float(pack), "mL"), Q(there, "mL")) == round(found.x[0])
