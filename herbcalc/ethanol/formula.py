"""Floor 1. The density formula of ethanol and water (OIML R 22) and its inverses, on bare numbers.

Here p is the mass share of ethanol and q its volume share at 20 °C, both 0..1; densities are in kg/m³ and
temperatures in °C. Every function takes floats, or numpy arrays that broadcast, and checks nothing: the guard in
front of the public sums has done so. With q = p ρ(p, 20) / ρ(1, 20) the ends are exact: 0 gives 0, 1 gives 1.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from importlib.resources import files
from typing import Any

import numpy as np

from herbcalc.units.arrays import newton

REFERENCE = 20.0  # °C; every strength by volume in herbcalc is at this temperature
_BLOCK = 16_384  # numbers worked on at a time, so that they stay in the processor's own memory
_KNOTS = 4096  # steps of the table that the inverse starts from; a line between two is within 7e-8


def _read() -> tuple[tuple[float, ...], ...]:
    """For each power of p, from 0 up: the coefficients of the powers of (t - 20), highest first."""
    text = (files("herbcalc") / "data" / "ethanol_r22.csv").read_text(encoding="utf-8")
    rows = [line.split(",") for line in text.splitlines() if line and not line.startswith("#")][1:]
    found = {(int(p), int(d)): float(value) for _, p, d, value in rows}
    top = max(p for p, _ in found)
    return tuple(
        tuple(found[p, d] for d in range(max(d for q, d in found if q == p), -1, -1)) for p in range(top + 1)
    )


_COEFFICIENTS = _read()


def _horner(coefficients: tuple[Any, ...], x: Any) -> Any:
    """The value of a polynomial, highest power first (two coefficients or more)."""
    value = coefficients[0] * x + coefficients[1]
    for c in coefficients[2:]:
        value *= x  # in place where x is an array
        value += c
    return value


def _horner_and_slope(coefficients: tuple[Any, ...], x: Any) -> tuple[Any, Any]:
    """The value of a polynomial and its slope."""
    slope = coefficients[0] + 0.0 * x
    value = coefficients[0] * x + coefficients[1]
    for c in coefficients[2:]:
        slope *= x
        slope += value
        value *= x
        value += c
    return value, slope


def _collapse(t: Any) -> tuple[Any, ...]:
    """The formula at one temperature (or at an array of them): coefficients of the powers of p, highest first."""
    d = t - REFERENCE
    return tuple(_horner(c, d) for c in reversed(_COEFFICIENTS))


_collapse_once = functools.lru_cache(maxsize=64)(_collapse)


def _formula(t: Any) -> tuple[Any, ...]:
    return _collapse_once(t) if isinstance(t, float) else _collapse(t)


_AT_20 = _collapse_once(REFERENCE)
WATER: float = _AT_20[-1]  # kg/m³ at 20 °C
ETHANOL: float = _horner(_AT_20, 1.0)  # kg/m³ at 20 °C; the formula's own value, so that 100 % can be reached


def _in_blocks(sum_: Callable[..., Any], *given: Any) -> Any:
    """`sum_` of floats at once; of arrays, a block at a time."""
    if all(isinstance(x, float) for x in given):
        return sum_(*given)
    shape = np.broadcast_shapes(*(np.shape(x) for x in given))
    flat = [x if isinstance(x, float) else np.broadcast_to(x, shape).reshape(-1) for x in given]
    out = np.empty(shape)
    line = out.reshape(-1)
    for start in range(0, line.size, _BLOCK):
        part = slice(start, start + _BLOCK)
        line[part] = sum_(*(x if isinstance(x, float) else x[part] for x in flat))
    return out


def density(p: Any, t: Any = REFERENCE) -> Any:
    """Density of a mixture with mass share p at temperature t."""
    return _in_blocks(lambda p, t: _horner(_formula(t), p), p, t)


def volume_share(p: Any) -> Any:
    """q from p."""
    return _in_blocks(lambda p: p * _horner(_AT_20, p) / ETHANOL, p)


def _closer(p: Any, q: Any) -> Any:
    """One Newton step from p towards the mass share of q; exactly 0 where p is right, so the ends stay exact."""
    value, slope = _horner_and_slope(_AT_20, p)
    return p - (p * value - q * ETHANOL) / (value + p * slope)


@functools.cache
def _table() -> tuple[np.ndarray, list[float]]:
    """Mass shares at evenly spaced volume shares."""
    even = np.linspace(0.0, 1.0, _KNOTS + 1)
    p = _closer(np.interp(even, volume_share(even), even), even)
    return p, p.tolist()


def _mass_share(q: Any) -> Any:
    table, listed = _table()
    place = q * _KNOTS
    if isinstance(q, float):
        i = min(int(place), _KNOTS - 1)
        return _closer(listed[i] + (place - i) * (listed[i + 1] - listed[i]), q)
    i = np.minimum(place.astype(np.intp), _KNOTS - 1)
    left = table[i]
    return _closer(left + (place - i) * (table[i + 1] - left), q)


def mass_share(q: Any) -> Any:
    """p from q."""
    return _in_blocks(_mass_share, q)


def mass_share_at(rho: Any, t: Any) -> Any:
    """p from the density at temperature t, for densities between those of ethanol and of water there.

    At a given temperature density falls all the way from water to ethanol, with a slope between -80 and -320 kg/m³
    for 0..40 °C, so the search cannot go astray.
    """

    def search(rho: Any, t: Any) -> Any:
        formula = _formula(t)
        water = formula[-1]

        def step(p: Any) -> Any:
            value, slope = _horner_and_slope(formula, p)
            return (value - rho) / slope

        return newton(step, (water - rho) / (water - _horner(formula, 1.0)))

    return _in_blocks(search, rho, t)


def mass_share_for(alcohol_less: Any, p_low: Any) -> Any:
    """The p at which ρ(p, 20) (p - p_low) equals `alcohol_less` (kg/m³ of alcohol beyond a share p_low of the whole).

    What a strength to pour is found from. The function rises all the way, with a slope between 500 and 1000.
    """

    def search(alcohol_less: Any, p_low: Any) -> Any:
        def step(p: Any) -> Any:
            value, slope = _horner_and_slope(_AT_20, p)
            return (value * (p - p_low) - alcohol_less) / (value + slope * (p - p_low))

        return newton(step, p_low + alcohol_less / WATER)

    return _in_blocks(search, alcohol_less, p_low)
