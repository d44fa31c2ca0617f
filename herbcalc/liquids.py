"""Floor 1. What a measure of something weighs: a jug counts room, a scale counts weight."""

from __future__ import annotations

import csv
import functools
from importlib.resources import files
from typing import Any

from herbcalc.units.refusals import one_of
from herbcalc.units.registry import Q


@functools.cache
def densities() -> dict[str, float]:
    """The name of each thing in the table with g for each mL, near 20 °C.

    >>> densities()["water"]
    1.0
    """
    text = (files("herbcalc") / "data" / "densities.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {row["name"]: float(row["g_per_mL"]) for row in rows}


def density(name: str) -> Any:
    """What one mL of a thing weighs, near 20 °C (68 °F).

    name  one of `densities()`; a spirit's density comes from `ethanol.density`

    Gives g/mL. Refuses another name (OutOfRange). Source: data/densities.csv.

    >>> density("honey").to("g/mL").magnitude
    1.42
    """
    one_of("name", name, tuple(densities()))
    return Q(densities()[name], "g/mL")
