"""What the checks against the outside world share: the copied tables, and strengths at 60 °F."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

from herbcalc import ethanol
from herbcalc.units import Q

SIXTY_F = (60.0 - 32.0) * 5.0 / 9.0  # °C


@pytest.fixture(scope="session")
def published() -> Callable[[str], pd.DataFrame]:
    """Read a table of tests/published/data; its source stands in its first lines."""
    return lambda name: pd.read_csv(Path(__file__).parent / "data" / name, comment="#")


@pytest.fixture(scope="session")
def at_60f() -> SimpleNamespace:
    """Strength by volume at 60 °F (US proof, USP, BPC 1911) from strength by mass, and back.

    herbcalc's own strengths are at 20 °C. These two follow from the density alone: the share of alcohol by volume is
    the share by mass times the density of the mixture over that of alcohol, all at 60 °F.
    """

    def rho(percent_mass, celsius=SIXTY_F):
        shape = np.asarray(percent_mass, dtype=float)
        return ethanol.density(Q(shape, "percent_mass"), Q(np.asarray(celsius, dtype=float), "degC")).magnitude

    def volume(percent_mass):
        return np.asarray(percent_mass) * rho(percent_mass) / rho(100.0)

    grid = np.linspace(0.0, 100.0, 200_001)
    volumes = volume(grid)
    return SimpleNamespace(
        density=rho,
        volume=volume,
        mass=lambda percent_vol: np.interp(percent_vol, volumes, grid),  # a line over 0.0005 % is within 1e-7 %
        celsius=SIXTY_F,
    )
