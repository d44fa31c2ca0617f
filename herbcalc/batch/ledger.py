"""Floor 3. The ledger of a batch: where each gram of plant solids, water and alcohol is after every step.

What dissolves is counted with the solids, and they with the marc: how much of a plant dissolves is told by no sum
here. Of the liquid in the jar, bottles and marc hold the same in every mL.
"""

from __future__ import annotations

from typing import NamedTuple

from herbcalc import ethanol
from herbcalc.batch.figures import Figures, on_tray
from herbcalc.batch.order import Making
from herbcalc.units.guard import give

BROUGHT_IN = "brought in"


class Row(NamedTuple):
    """One place after one step; solids, water and alcohol in g."""

    step: str
    place: str
    solids: float
    water: float
    alcohol: float


def menstruum_in_grams(volume: float, strength: float) -> tuple[float, float]:
    """Water and alcohol in so many mL of a strength, g; densities by OIML R 22."""
    spirit = give(strength, "percent_vol")
    weight = volume * float(ethanol.density(spirit).magnitude) / 1000.0
    alcohol = weight * float(ethanol.to_mass(spirit).magnitude) / 100.0
    return weight - alcohol, alcohol


def rows(making: Making, found: Figures) -> list[Row]:
    """Every row of the ledger. In each step the rows not "brought in" sum to those of the step before and what this
    step brought in; what is taken away is what the other places do not hold."""
    plant_water = found.fresh * making.number("water") / 100.0
    solids = found.fresh - plant_water
    told = [Row("gather", BROUGHT_IN, solids, plant_water, 0.0), Row("gather", "basket", solids, plant_water, 0.0)]
    air: list[tuple[str, float, float, float]] = []
    water = plant_water
    if on_tray(making):
        water = found.herb * found.water / 100.0
        air = [("air", 0.0, plant_water - water, 0.0)]
        step = "dry" if making.state == "dried" else "wilt"
        told += [Row(step, *place) for place in [("tray", solids, water, 0.0), *air]]
    vessel = "jar" if making.method == "soak" else "percolator"
    poured, alcohol = menstruum_in_grams(found.menstruum, making.number("spirit"))
    told.append(Row("put up", BROUGHT_IN, 0.0, poured, alcohol))
    told += [Row("put up", *place) for place in [(vessel, solids, water + poured, alcohol), *air]]
    share = found.finished / found.liquid
    out = (share * (water + poured), share * alcohol)
    last = "press" if making.method == "soak" else "drip"
    places = [("bottles", 0.0, *out), ("marc", solids, water + poured - out[0], alcohol - out[1]), *air]
    return told + [Row(last, *place) for place in places]
