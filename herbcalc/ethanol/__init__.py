"""Floor 1. Ethanol and water: density, strength by volume and by mass, the hydrometer, mixing.

The density formula is that of OIML R 22 (International Alcoholometric Tables, 1975; also Council Directive
76/766/EEC). A strength by volume is always at 20 °C. The US definition of proof is at 60 °F; that moves a strength by
at most 0.08 % vol, or 0.15 proof. Strengths may be given as `percent_vol` (or proof) or as `percent_mass`.
Where nothing else is said an argument is one amount or a list, and lists are matched one by one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc.ethanol import formula as table
from herbcalc.units.arrays import first_refused
from herbcalc.units.guard import TEMPERATURE, VOLUME, Kind, give, guarded
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

GLASS = 25e-6  # how much a glass hydrometer swells, share per °C (soda-lime glass; OIML R 44)
_END = 1e-6  # kg/m³: how far past an end of the scale a density may lie


def _to_mass(percent_vol: Any) -> Any:
    return 100.0 * table.mass_share(percent_vol / 100.0)


def _to_volume(percent_mass: Any) -> Any:
    return 100.0 * table.volume_share(percent_mass / 100.0)


AT_20 = Q(20.0, "degC")

_NAME, _EXAMPLE = "a strength of alcohol", "40 % vol, which is 80 proof"
STRENGTH = Kind(_NAME, "percent_vol", _EXAMPLE, 0.0, 100.0, also={"percent_mass": _to_volume})
_BY_MASS = Kind(_NAME, "percent_mass", _EXAMPLE, 0.0, 100.0, also={"percent_vol": _to_mass})
DENSITY = Kind("a density", "kg/m**3", "948 kg/m**3", low=0.0, above=True)


@dataclass(frozen=True)
class Liquid:
    """What several liquids make together.

    volume: mL at 20 °C. strength: percent_vol. contraction: the sum of the volumes less the volume, mL.
    strength_by_kitchen_rule: percent_vol if volumes simply added up.
    """

    volume: Any
    strength: Any
    contraction: Any
    strength_by_kitchen_rule: Any


@guarded("kg/m**3", strength=_BY_MASS, temperature=TEMPERATURE)
def density(strength: Any, temperature: Any = AT_20) -> Any:
    """The density of a mixture of ethanol and water.

    strength     percent_vol (at 20 °C) or percent_mass, 0 to 100
    temperature  °C, 0 to 40

    Result: kg/m³, in vacuum. Refuses: WrongUnit, OutOfRange. Source: OIML R 22 (1975).

    >>> from herbcalc.units import Q
    >>> print(f"{density(Q(40, 'percent_vol')).magnitude:.2f} kg/m³")
    948.05 kg/m³
    """
    return table.density(strength / 100.0, temperature)


@guarded("percent_mass", strength=_BY_MASS)
def to_mass(strength: Any) -> Any:
    """A strength by volume as a strength by mass; 0 and 100 stay exactly 0 and 100.

    strength  percent_vol, 0 to 100 (percent_mass is handed back as it is)

    Result: percent_mass. Refuses: WrongUnit, OutOfRange. Source: OIML R 22 (1975), p. 5.

    >>> from herbcalc.units import Q
    >>> print(f"{to_mass(Q(40, 'percent_vol')).magnitude:.2f} % by mass")
    33.30 % by mass
    """
    return strength  # the guard has turned it


@guarded("percent_vol", strength=STRENGTH)
def to_volume(strength: Any) -> Any:
    """A strength by mass as a strength by volume at 20 °C; 0 and 100 stay exactly 0 and 100.

    strength  percent_mass, 0 to 100 (percent_vol is handed back as it is)

    Result: percent_vol. Refuses: WrongUnit, OutOfRange. Source: OIML R 22 (1975), p. 5.

    >>> from herbcalc.units import Q
    >>> print(f"{to_volume(Q(33.3, 'percent_mass')).magnitude:.1f} % vol")
    40.0 % vol
    """
    return strength  # the guard has turned it


@guarded("percent_vol", density=DENSITY, temperature=TEMPERATURE)
def strength_from_density(density: Any, temperature: Any = AT_20) -> Any:
    """The strength of a mixture of ethanol and water whose density was measured.

    density      kg/m³, in vacuum, between that of pure ethanol and that of water at the temperature
    temperature  °C, 0 to 40

    Result: percent_vol (at 20 °C). Anything dissolved, such as what a tincture holds, makes the liquid denser and the
    answer too low. Refuses: WrongUnit; OutOfRange from 0.000001 kg/m³ beyond either end. Source: OIML R 22 (1975).

    >>> from herbcalc.units import Q
    >>> print(f"{strength_from_density(Q(948.05, 'kg/m**3')).magnitude:.1f} % vol")
    40.0 % vol
    """
    water, alcohol = table.density(0.0, temperature), table.density(1.0, temperature)

    beyond = (density > water + _END) | (density < alcohol - _END)
    if refused := first_refused(beyond, density, temperature, water, alcohol):
        where, (given, warm, high, low) = refused
        near_an_end = f"{given:.2f}" in (f"{high:.2f}", f"{low:.2f}")
        shown = f"{given:.6f}" if near_an_end else f"{given:.2f}"
        raise OutOfRange(
            f"density{where}: {shown} kg/m³ was given. At {said(warm, 'degC')} pure alcohol has {low:.2f} and "
            f"water {high:.2f} kg/m³, and every mixture lies between them. Was the liquid at that temperature, and "
            "is it only alcohol and water? Sugar and plant matter make it denser."
        )
    return _strength_between(density, water, alcohol, temperature)


def _strength_between(rho: Any, water: Any, alcohol: Any, temperature: Any) -> Any:
    """percent_vol from a density that lies on the scale, give or take rounding, which is taken off."""
    if isinstance(rho, float) and isinstance(temperature, float):
        inside = min(max(rho, alcohol), water)
        if inside in (water, alcohol):
            return 0.0 if inside == water else 100.0
        return 100.0 * table.volume_share(min(max(table.mass_share_at(inside, temperature), 0.0), 1.0))
    p = np.clip(table.mass_share_at(np.clip(rho, alcohol, water), temperature), 0.0, 1.0)
    p = np.where(rho >= water, 0.0, np.where(rho <= alcohol, 1.0, p))
    return 100.0 * table.volume_share(p)


@guarded("percent_vol", reading=STRENGTH, temperature=TEMPERATURE)
def true_strength(reading: Any, temperature: Any) -> Any:
    """The strength of a spirit whose hydrometer was read warmer or colder than 20 °C.

    reading      on a glass hydrometer graduated at 20 °C, percent_vol, 0 to 100
    temperature  of the liquid, °C, 0 to 40

    Result: percent_vol at 20 °C. For menstruum only: what a tincture has dissolved makes the hydrometer read too low.
    Refuses: WrongUnit; OutOfRange also for a reading that cannot occur at that temperature, such as 0 % at 30 °C,
    and names the end of the scale that can.
    Source: OIML R 22 (1975) for the densities; glass swells by 25 millionths per °C (OIML R 44).

    >>> from herbcalc.units import Q
    >>> print(f"{true_strength(Q(40, 'percent_vol'), Q(25, 'degC')).magnitude:.1f} % vol")
    38.0 % vol
    """
    # The floating glass keeps its weight; what it displaces grows as the glass does.
    swollen = 1.0 + GLASS * (temperature - table.REFERENCE)
    rho = table.density(table.mass_share(reading / 100.0), table.REFERENCE) / swollen
    water, alcohol = table.density(0.0, temperature), table.density(1.0, temperature)

    cannot = (rho > water + _END) | (rho < alcohol - _END)
    if refused := first_refused(cannot, reading, temperature, rho, water, alcohol, swollen):
        where, (given, warm, apparent, high, low, stretched) = refused
        liquid, end, side, safe = (
            ("plain water", high, "up", math.ceil) if apparent > high else ("pure alcohol", low, "down", math.floor)
        )
        usable = 100.0 * table.volume_share(table.mass_share_at(end * stretched, table.REFERENCE))
        usable = safe(10.0 * usable) / 10.0  # so that the reading named is itself accepted
        raise OutOfRange(
            f"reading{where}: {said(given, 'percent_vol')} cannot be read at {said(warm, 'degC')}. There the "
            f"hydrometer shows {usable:.1f} % vol in {liquid}, so the usable part of the scale goes from "
            f"{usable:.1f} % vol {side}. Look again at the scale and the thermometer."
        )
    return _strength_between(rho, water, alcohol, temperature)


@guarded(None, volumes=VOLUME, strengths=STRENGTH)
def mix(volumes: Any, strengths: Any) -> Liquid:
    """Pour several mixtures of ethanol and water together.

    volumes    a list of volumes at 20 °C, mL, each 0 or more
    strengths  as many strengths, percent_vol or percent_mass, 0 to 100, or one for all

    Result: Liquid(volume, strength, contraction, strength_by_kitchen_rule). Mass is kept and volume is not, so the
    mix is a little smaller than its parts. Refuses: WrongUnit; OutOfRange also for an empty mix, lists of different
    lengths, and tables. Source: OIML R 22 (1975) for the densities.

    >>> from herbcalc.units import Q
    >>> half = mix(Q([500, 500], "mL"), Q([100, 0], "percent_vol"))
    >>> print(f"{half.volume.magnitude:.1f} mL at {half.strength.magnitude:.2f} % vol")
    964.6 mL at 51.83 % vol
    """
    if np.ndim(volumes) > 1 or np.ndim(strengths) > 1:
        raise OutOfRange("volumes and strengths: a plain list of each is needed, one place for each liquid.")
    parts, held = np.atleast_1d(volumes), np.atleast_1d(strengths)
    total = float(parts.sum())
    if total <= 0.0:
        raise OutOfRange("volumes: there is nothing in this mix yet. Pour in more than 0 mL of at least one liquid.")
    if held.size not in (1, parts.size):
        raise OutOfRange(
            f"volumes and strengths: here are {parts.size} volumes and {held.size} strengths. Each liquid needs both."
        )
    q = held / 100.0
    rho = table.density(table.mass_share(q))
    mass = float((parts * rho).sum())
    alcohol = float((parts * q).sum())  # mL of it; ethanol alone has ρ(1, 20)
    # Rounding must not carry a mix of pure alcohol past 1.
    p = min(alcohol * table.ETHANOL / mass, 1.0)
    volume = mass / table.density(p)
    shrunk = total - volume
    if abs(shrunk) <= 1e-12 * total:  # rounding, where nothing shrinks: all of one strength
        shrunk = 0.0
    return Liquid(
        volume=give(volume, "mL"),
        strength=give(100.0 * table.volume_share(p), "percent_vol"),
        contraction=give(shrunk, "mL"),
        strength_by_kitchen_rule=give(min(100.0 * alcohol / total, 100.0), "percent_vol"),
    )
