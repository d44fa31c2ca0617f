"""Floor 2. The sums on the plant's own water, bare: numbers in, numbers out, nothing checked.

Herb in g, volumes in mL at 20 °C, strengths in % vol, moisture in % of the plant as weighed, ratio in mL/g.

Two rules. Kitchen: volumes simply add, and 1 g of plant water takes 1 mL. Measured: masses add, with the density of
OIML R 22 for the liquids; the plant's water counts by its weight, as much water at 20 °C. The plant's solids take no
part in either. Everything else here is one of the two turned round, so that the calls undo each other.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc.ethanol import formula as table
from herbcalc.units.arrays import above


def _liquid(strength: Any) -> tuple[Any, Any]:
    """Mass share of alcohol, and density in g/mL, of a strength by volume."""
    p = table.mass_share(strength / 100.0)
    return p, table.density(p) / 1000.0


def final(herb: Any, water: Any, menstruum: Any, strength: Any, rule: str) -> Any:
    """Strength once the plant's water has joined the menstruum; something must be in the jar."""
    plant_water = herb * water / 100.0
    if rule == "kitchen":
        return strength * (menstruum / (menstruum + plant_water))
    p, rho = _liquid(strength)
    mass = menstruum * rho
    return 100.0 * table.volume_share(p * (mass / (mass + plant_water)))


def least_ratio(water: Any, strength: Any, floor: Any, rule: str) -> Any:
    """Menstruum for each gram at which the jar ends exactly at the floor; the strength must be above it."""
    if rule == "kitchen":
        return water / 100.0 * floor / (strength - floor)
    p, rho = _liquid(strength)
    p_floor = table.mass_share(floor / 100.0)
    return water / 100.0 * p_floor / (rho * (p - p_floor))


def pour_strength(ratio: Any, water: Any, wanted: Any, rule: str) -> Any:
    """Strength to pour for a wanted final strength; more than 100 where none is strong enough. Ratio above 0."""
    if rule == "kitchen":
        return wanted + wanted * (water / 100.0) / ratio
    # What 1 mL of menstruum holds beyond its own need (kg/m³ of alcohol) is what the plant's water lives on; pure
    # alcohol has the most to give.
    p_wanted = table.mass_share(wanted / 100.0)
    needed = 1000.0 * p_wanted * (water / 100.0) / ratio
    most = table.ETHANOL * (1.0 - p_wanted)
    share = table.volume_share(table.mass_share_for(np.minimum(needed, most), p_wanted))
    return np.where(above(needed, most), np.inf, 100.0 * share)


def wettest(ratio: Any, strength: Any, floor: Any, rule: str) -> Any:
    """Moisture at which the jar ends exactly at the floor, at most 100; the floor must be above 0."""
    if rule == "kitchen":
        return np.minimum(100.0 * ratio * (strength - floor) / floor, 100.0)
    p, rho = _liquid(strength)
    p_floor = table.mass_share(floor / 100.0)
    return np.minimum(100.0 * ratio * rho * (p - p_floor) / p_floor, 100.0)


def to_rescue(herb: Any, water: Any, menstruum: Any, strength: Any, floor: Any, added: Any, rule: str) -> Any:
    """mL of strength `added` that brings the jar up to the floor; `added` must be above it. Below 0: none needed."""
    plant_water = herb * water / 100.0
    if rule == "kitchen":
        return (floor * (menstruum + plant_water) - menstruum * strength) / (added - floor)
    p, rho = _liquid(strength)
    p_added, rho_added = _liquid(added)
    p_floor = table.mass_share(floor / 100.0)
    mass = menstruum * rho
    return (p_floor * (mass + plant_water) - mass * p) / (rho_added * (p_added - p_floor))
