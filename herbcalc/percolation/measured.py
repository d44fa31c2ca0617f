"""Floor 2. Measured extractions from print, kept beside the curves: a model is no measurement."""

from __future__ import annotations

import csv
from importlib.resources import files
from typing import Any, NamedTuple

from herbcalc.units.registry import Q


class Measured(NamedTuple):
    """One row of the percolations of 1866: percolate in mL for each g, lowest and highest share found (the highest
    is None where the print gives no figure), and what was percolated."""

    percolate: Any
    low: float | None
    high: float | None
    what: str


class SideBySide(NamedTuple):
    """One herb made both ways: shares of the content of the herb, and where it is printed."""

    what: str
    soak: float
    drip: float
    source: str


def _rows(name: str) -> list[dict[str, str]]:
    text = (files("herbcalc") / "data" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def _share(text: str) -> float | None:
    return float(text) if text else None


MEASURED_1866 = tuple(
    Measured(Q(float(row["percolate_mL_per_g"]), "mL/g"), _share(row["low"]), _share(row["high"]), row["what"])
    for row in _rows("percolation_1866.csv")
)

HEMP_2022 = next(
    SideBySide(row["what"], float(row["soak"]), float(row["drip"]), row["source"])
    for row in _rows("soak_and_drip_2022.csv")
)
