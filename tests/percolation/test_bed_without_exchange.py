"""A bed whose particles trade nothing: the free liquid runs through, and what is inside stays inside."""

from __future__ import annotations

import pytest

from herbcalc import percolation
from herbcalc.units import Q

FLOW = Q(12.0, "mL/hour")


def bed(held, exchange):
    return percolation.Bed(Q(100.0, "g"), Q(held, "mL/g"), Q(0.9, "mL/g"), FLOW, Q(exchange, "1/hour"), 8)


def test_effective_cells():
    assert bed(1.1, 0.0).effective_cells == 0.0, "the particles are never washed, so no row of cells stands for it"
    assert bed(0.0, 0.0).effective_cells == 8.0, "there is nothing inside the particles"
    # 1/(1/8 + 2 x 1.1 x 0.12 / (0.1 x 2.0²)), F = 12 mL/hour on 100 g
    assert bed(1.1, 0.1).effective_cells == pytest.approx(1.0 / (1.0 / 8.0 + 2.0 * 1.1 * 0.12 / (0.1 * 4.0)))


def test_what_is_inside_stays_inside():
    run = bed(1.1, 0.0).run(Q(5000.0, "mL"))
    assert run.marc == pytest.approx(1.1 / 2.0, abs=1e-9)
    assert run.bottle == pytest.approx(0.9 / 2.0, abs=1e-9)
