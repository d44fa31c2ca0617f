"""Floor 1. Moist air: how much water it holds, how cool it makes what is wet, and how much it can carry away.

The relations are those printed in the ASHRAE Handbook, Fundamentals, chapter 1 (Psychrometrics): air and vapour as
ideal gases, the pressure of saturated vapour after Hyland and Wexler (1983). They stand within 0.7 % of the best that
is known for real air. Water is counted in kg for each kg of DRY air, because that alone stays the same on the way
through a drying room. `T` is the air's temperature, `rh` its relative humidity as a share: half full is 0.5.
Where nothing else is said an argument is one amount or a list, and lists are matched one by one.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from herbcalc.units.arrays import above, below, first_refused, newton
from herbcalc.units.guard import TEMPERATURE, Kind, guarded
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

ZERO = 273.15  # K at 0 °C
LOWEST = -100.0  # °C; the relation for ice is printed from here on
WATER_TO_AIR = 0.621945  # the weight of a molecule of water over that of air
AIR_GAS = 0.287042  # kJ/(kg K), the gas constant of dry air
BULKIER = 1.607858  # 1 / WATER_TO_AIR, as the handbook prints it
AIR_HEAT, VAPOUR_HEAT = 1.006, 1.86  # kJ/(kg K)
LATENT = 2501.0  # kJ/kg, water into vapour at 0 °C
INCH_OF_MERCURY = 3386.389  # Pa (NIST SP 811)

# Coefficients of the logarithm of the pressure (Pa) in T (K): of 1/T, 1, T, T² and so on, and last of ln T.
ICE = (-5674.5359, 6.3925247, -0.009677843, 6.2215701e-07, 2.0747825e-09, -9.484024e-13, 4.1635019)
WATER = (-5800.2206, 1.3914993, -0.048640239, 4.1764768e-05, -1.4452093e-08, 6.5459673)


class _Wick(NamedTuple):
    """What a wet bulb is wrapped in: kJ/kg to turn it into vapour at 0 °C, and its own heat in kJ/(kg K)."""

    latent: Any
    heat: Any


_WET, _FROZEN = _Wick(LATENT, 4.186), _Wick(2830.0, 2.1)


def _of_hundred(share: float) -> str:
    # Whoever thinks in per cent types 60.
    meant = f" (of every 100? That is written {said(share / 100.0, '')})" if 1.0 < share <= 100.0 else ""
    return f"{said(share, '')}{meant}"


def _barometer(pascals: float) -> str:
    return f"{said(pascals, 'Pa')} ({said(pascals / INCH_OF_MERCURY, '')} inches of mercury)"


AIR = TEMPERATURE.within(0.0, 50.0)
HUMIDITY = Kind(
    "a relative humidity", "", "0.5, which is 50 of every 100", low=0.0, high=1.0, plain=True, saying=_of_hundred
)
PRESSURE = Kind(
    "a pressure of the air",
    "Pa",
    "101,325 Pa, which is 29.9 inches of mercury",
    low=20_000.0,
    high=180_000.0,
    saying=_barometer,
)
HEIGHT = Kind("a height above the sea", "m", "500 m, or 1640 ft", low=-5000.0, high=11_000.0)
DEW = Kind("a dew point", "degC", "10 °C, or 50 °F", low=LOWEST, high=50.0)
BULB = Kind("a wet bulb", "degC", "15 °C, or 59 °F", low=-20.0, high=50.0)
RATIO = Kind(
    "a weight of water for each weight of dry air",
    "",
    "0.008, which is 8 parts of water to 1000 of dry air",
    low=0.0,
    plain=True,
)

SEA_LEVEL = Q(101_325.0, "Pa")  # the standard atmosphere
WELL_MIXED = 0.8  # how full air leaves a tray it has well passed through; common practice


def _either(test: Any, this: Any, other: Any) -> Any:
    """`this` where `test` holds, else `other`."""
    return np.where(test, this, other) if isinstance(test, np.ndarray) else this if test else other


def _exp(x: Any) -> Any:
    return math.exp(x) if type(x) is float else np.exp(x)


def _log(x: Any) -> Any:
    return math.log(x) if type(x) is float else np.log(x)


def _curve(coefficients: tuple[float, ...], kelvin: Any, ln_kelvin: Any) -> tuple[Any, Any]:
    """The logarithm of a pressure and its slope."""
    over, flat, *powers, log = coefficients
    value = over / kelvin + flat + log * ln_kelvin
    slope = log / kelvin - over / kelvin**2
    power: Any = 1.0
    for n, coefficient in enumerate(powers, 1):
        slope = slope + n * coefficient * power
        power = power * kelvin
        value = value + coefficient * power
    return value, slope


def _apart(t: Any) -> Any:
    """By how much the curves of ice and water differ, over how fast that changes."""
    ice, water = (_curve(c, t + ZERO, math.log(t + ZERO)) for c in (ICE, WATER))
    return (ice[0] - water[0]) / (ice[1] - water[1])


# Printed to join at the triple point, 0.01 °C, the curves meet a hair above it; joined here they leave no gap.
JOIN: float = newton(_apart, 0.01)


def _ln_saturated(t: Any) -> tuple[Any, Any]:
    """The logarithm of the pressure of saturated vapour at t °C, over ice or water, and its slope."""
    kelvin = t + ZERO
    ln_kelvin = _log(kelvin)
    if type(t) is float:
        return _curve(ICE if t <= JOIN else WATER, kelvin, ln_kelvin)
    value, slope = (
        np.where(t <= JOIN, ice, water)
        for ice, water in zip(_curve(ICE, kelvin, ln_kelvin), _curve(WATER, kelvin, ln_kelvin), strict=True)
    )
    return value, slope


def _saturated(t: Any) -> Any:
    return _exp(_ln_saturated(t)[0])


_DRIEST = _saturated(LOWEST)


def _held(vapour: Any, pressure: Any) -> Any:
    """kg of water for each kg of dry air, from the pressure of the vapour and of all the air."""
    return WATER_TO_AIR * vapour / (pressure - vapour)


def _held_and_slope(t: Any, rh: Any, pressure: Any) -> tuple[Any, Any]:
    """The same of air at t °C, and how fast it rises with t."""
    ln_vapour, slope = _ln_saturated(t)
    vapour = rh * _exp(ln_vapour)
    return _held(vapour, pressure), WATER_TO_AIR * pressure * vapour * slope / (pressure - vapour) ** 2


def _balance(t: Any, held: Any, pressure: Any, wet: Any, wick: _Wick) -> tuple[Any, Any]:
    """Heat that a wick at `wet` would need over what the air at t gives it (kJ/kg dry air), and its slope."""
    full, slope = _held_and_slope(wet, 1.0, pressure)
    falls = wick.heat - VAPOUR_HEAT
    needs = (wick.latent - falls * wet) * full
    gives = AIR_HEAT * (t - wet) + held * (wick.latent + VAPOUR_HEAT * t - wick.heat * wet)
    return needs - gives, (wick.latent - falls * wet) * slope - falls * full + AIR_HEAT + held * wick.heat


def _wet_bulb(t: Any, held: Any, pressure: Any) -> tuple[Any, _Wick]:
    """Where the wick settles, and what it is wrapped in.

    Close to 0 °C both a wet and a frozen wick can be in balance; it is taken for wet where it can be. The balance
    bends one way only, so the search comes down from the warm side and cannot pass the root.
    """
    frozen = _balance(t, held, pressure, 0.0, _WET)[0] > 0.0
    wick = _Wick(*(_either(frozen, ice, water) for ice, water in zip(_FROZEN, _WET, strict=True)))

    def step(wet: Any) -> Any:
        over, slope = _balance(t, held, pressure, wet, wick)
        return over / slope

    wet = newton(step, _either(frozen, 0.0, t))
    # Rounding must not freeze a wet wick, nor warm it above the air.
    wet = _either(frozen, wet, _either(wet > 0.0, wet, 0.0))
    return _either(wet < t, wet, t), wick


def _leaving(t: Any, rh: Any, leaving_rh: Any, pressure: Any) -> Any:
    """Temperature at which air has cooled along its wet bulb to a wanted fullness; its own where it is that full."""
    leaving_rh = _either(leaving_rh > rh, leaving_rh, rh)
    wet, wick = _wet_bulb(t, _held(rh * _saturated(t), pressure), pressure)
    full = _held(_saturated(wet), pressure)
    needs = (wick.latent - (wick.heat - VAPOUR_HEAT) * wet) * full

    def step(x: Any) -> Any:
        held, slope = _held_and_slope(x, leaving_rh, pressure)
        each = wick.latent + VAPOUR_HEAT * x - wick.heat * wet
        return (held * each + AIR_HEAT * (x - wet) - needs) / (slope * each + VAPOUR_HEAT * held + AIR_HEAT)

    # A start of the full shape, so that lists of every argument are matched.
    return _either(leaving_rh > rh, newton(step, t + 0.0 * needs), t + 0.0 * needs)


@guarded("Pa", T=AIR)
def saturation_pressure(T: Any) -> Any:
    """The pressure of the vapour in air that can hold no more.

    T  the air's temperature, 0 to 50 °C

    Result: Pa. Refuses: WrongUnit, OutOfRange. Source: Hyland and Wexler (1983), over ice up to 0.01 °C and over
    water from there, as printed in ASHRAE Handbook, Fundamentals (2017), ch. 1, eq. 5 and 6.

    >>> from herbcalc.units import Q
    >>> print(f"{saturation_pressure(Q(25, 'degC')).magnitude:.1f} Pa")
    3169.2 Pa
    """
    return _saturated(T)


@guarded("", T=AIR, rh=HUMIDITY, pressure=PRESSURE)
def humidity_ratio(T: Any, rh: Any, pressure: Any = SEA_LEVEL) -> Any:
    """The water that air holds, for each kg of dry air. Warming leaves it as it is.

    T         the air's temperature, 0 to 50 °C
    rh        its relative humidity, plain, 0 to 1
    pressure  of the air, 20,000 to 180,000 Pa; at sea level unless given

    Result: kg/kg, a quantity without dimensions. Refuses: WrongUnit, OutOfRange.
    Source: ASHRAE Handbook, Fundamentals (2017), ch. 1, eq. 20.

    >>> from herbcalc.units import Q
    >>> print(f"{1000 * humidity_ratio(Q(25, 'degC'), 0.5).magnitude:.2f} g for each kg")
    9.88 g for each kg
    """
    return _held(rh * _saturated(T), pressure)


@guarded("degC", T=AIR, rh=HUMIDITY.more_than_none)
def dew_point(T: Any, rh: Any) -> Any:
    """The temperature at which this air, cooled as it is, begins to drip (under 0.01 °C: to lay down frost).

    T   the air's temperature, 0 to 50 °C
    rh  its relative humidity, plain, more than 0 and at most 1: air without any water never drips

    Result: °C. Refuses: WrongUnit; OutOfRange also for air so dry that it drips only under -100 °C.
    Source: `saturation_pressure` turned round.

    >>> from herbcalc.units import Q
    >>> print(f"{dew_point(Q(25, 'degC'), 0.5).magnitude:.1f} °C")
    13.9 °C
    """
    vapour = rh * _saturated(T)
    if refused := first_refused(vapour < _DRIEST, rh, T):
        where, (dry, warm) = refused
        raise OutOfRange(
            f"rh{where}: at {said(warm, 'degC')} a relative humidity of {dry:g} is so little water that the air "
            f"would drip only below {said(LOWEST, 'degC')}, and nobody has measured that. 0.001 or more would work."
        )
    ln_vapour = _log(vapour)
    x = ln_vapour - math.log(610.8)
    start = _either(x < 0.0, 265.5 * x / (21.875 - x), 237.3 * x / (17.27 - x))  # Magnus, within a degree or two

    def step(t: Any) -> Any:
        value, slope = _ln_saturated(t)
        return (value - ln_vapour) / slope

    return newton(step, start)


@guarded("degC", T=AIR, rh=HUMIDITY, pressure=PRESSURE)
def wet_bulb(T: Any, rh: Any, pressure: Any = SEA_LEVEL) -> Any:
    """How cool a wet thing gets in moving air: a thermometer in a wet wick, or herb that is still wet outside.

    T         the air's temperature, 0 to 50 °C
    rh        its relative humidity, plain, 0 to 1
    pressure  of the air, 20,000 to 180,000 Pa; at sea level unless given

    Result: °C, under 0 °C that of a frozen wick. Refuses: WrongUnit, OutOfRange.
    Source: ASHRAE Handbook, Fundamentals (2017), ch. 1, eq. 33 (water) and 35 (ice), solved by Newton's steps.

    >>> from herbcalc.units import Q
    >>> print(f"{wet_bulb(Q(25, 'degC'), 0.5).magnitude:.2f} °C")
    17.89 °C
    """
    return _wet_bulb(T, _held(rh * _saturated(T), pressure), pressure)[0]


@guarded("kJ/kg", T=AIR, rh=HUMIDITY, pressure=PRESSURE)
def enthalpy(T: Any, rh: Any, pressure: Any = SEA_LEVEL) -> Any:
    """The heat in air and its vapour, counted from dry air and water at 0 °C.

    T         the air's temperature, 0 to 50 °C
    rh        its relative humidity, plain, 0 to 1
    pressure  of the air, 20,000 to 180,000 Pa; at sea level unless given

    Result: kJ/kg of dry air. Refuses: WrongUnit, OutOfRange.
    Source: ASHRAE Handbook, Fundamentals (2017), ch. 1, eq. 30.

    >>> from herbcalc.units import Q
    >>> print(f"{enthalpy(Q(25, 'degC'), 0.5).magnitude:.1f} kJ/kg")
    50.3 kJ/kg
    """
    return AIR_HEAT * T + _held(rh * _saturated(T), pressure) * (LATENT + VAPOUR_HEAT * T)


@guarded("m**3/kg", T=AIR, rh=HUMIDITY, pressure=PRESSURE)
def specific_volume(T: Any, rh: Any, pressure: Any = SEA_LEVEL) -> Any:
    """The room that a kg of dry air takes up together with its vapour.

    T         the air's temperature, 0 to 50 °C
    rh        its relative humidity, plain, 0 to 1
    pressure  of the air, 20,000 to 180,000 Pa; at sea level unless given

    Result: m³/kg of dry air. Refuses: WrongUnit, OutOfRange.
    Source: ASHRAE Handbook, Fundamentals (2017), ch. 1, eq. 26.

    >>> from herbcalc.units import Q
    >>> print(f"{specific_volume(Q(25, 'degC'), 0.5).magnitude:.3f} m³/kg")
    0.858 m³/kg
    """
    held = _held(rh * _saturated(T), pressure)
    return 1000.0 * AIR_GAS * (T + ZERO) * (1.0 + BULKIER * held) / pressure


@guarded("Pa", T=AIR, rh=HUMIDITY)
def vapour_pressure_deficit(T: Any, rh: Any) -> Any:
    """How far the air is from full, as a pressure: what pulls the water out of a wet leaf as warm as the air.

    T   the air's temperature, 0 to 50 °C
    rh  its relative humidity, plain, 0 to 1

    Result: Pa, 0 in full air. Refuses: WrongUnit, OutOfRange. Source: by definition; `saturation_pressure`.

    >>> from herbcalc.units import Q
    >>> print(f"{vapour_pressure_deficit(Q(25, 'degC'), 0.5).magnitude:.0f} Pa")
    1585 Pa
    """
    return _saturated(T) * (1.0 - rh)


@guarded("Pa", height=HEIGHT)
def pressure_at(height: Any) -> Any:
    """The usual pressure of the air at a height above the sea.

    height  m, or ft; -5000 to 11,000 m

    Result: Pa. Refuses: WrongUnit, OutOfRange.
    Source: the standard atmosphere (US, and ICAO), as printed in ASHRAE Handbook, Fundamentals (2017), ch. 1, eq. 3.

    >>> from herbcalc.units import Q
    >>> print(f"{pressure_at(Q(1000, 'm')).magnitude:.0f} Pa")
    89875 Pa
    """
    return 101_325.0 * (1.0 - 2.25577e-5 * height) ** 5.2559


@guarded("", T=AIR, rh=HUMIDITY, leaving_rh=HUMIDITY, pressure=PRESSURE)
def pick_up(T: Any, rh: Any, leaving_rh: Any = WELL_MIXED, pressure: Any = SEA_LEVEL) -> Any:
    """The water that each kg of dry air takes from the trays. It cools on its way, along its wet bulb.

    T           temperature of the air as it comes to the trays, 0 to 50 °C
    rh          its relative humidity there, plain, 0 to 1
    leaving_rh  how full it leaves, plain, 0 to 1; 0.8 unless given, after a good way through the trays
    pressure    of the air, 20,000 to 180,000 Pa; at sea level unless given

    Result: kg/kg, a quantity without dimensions; 0 where the air comes as full as it is to leave. What the air could
    hold if it did not cool is three to nine times as much. Refuses: WrongUnit, OutOfRange.
    Source: `wet_bulb`, kept the same on the way; 0.8 is common practice.

    >>> from herbcalc.units import Q
    >>> print(f"{1000 * pick_up(Q(25, 'degC'), 0.5).magnitude:.2f} g for each kg")
    1.99 g for each kg
    """
    gone = _held(
        _either(leaving_rh > rh, leaving_rh, rh) * _saturated(_leaving(T, rh, leaving_rh, pressure)), pressure
    )
    taken = gone - _held(rh * _saturated(T), pressure)
    return _either((leaving_rh > rh) & (taken > 0.0), taken, 0.0)


@guarded("degC", T=AIR, rh=HUMIDITY, leaving_rh=HUMIDITY, pressure=PRESSURE)
def leaving_temperature(T: Any, rh: Any, leaving_rh: Any = WELL_MIXED, pressure: Any = SEA_LEVEL) -> Any:
    """How cool the air leaves the trays that it has dried.

    T           temperature of the air as it comes to the trays, 0 to 50 °C
    rh          its relative humidity there, plain, 0 to 1
    leaving_rh  how full it leaves, plain, 0 to 1; 0.8 unless given, after a good way through the trays
    pressure    of the air, 20,000 to 180,000 Pa; at sea level unless given

    Result: °C; as it came where it comes as full as it is to leave. Refuses: WrongUnit, OutOfRange.
    Source: `wet_bulb`, kept the same on the way; 0.8 is common practice.

    >>> from herbcalc.units import Q
    >>> print(f"{leaving_temperature(Q(25, 'degC'), 0.5).magnitude:.1f} °C")
    20.2 °C
    """
    return _leaving(T, rh, leaving_rh, pressure)


@guarded("", T=AIR, rh=HUMIDITY, to=AIR)
def rh_when_warmed(T: Any, rh: Any, to: Any) -> Any:
    """How full the same air is once it is warmer, or cooler: no water has come or gone.

    T   the air's temperature, 0 to 50 °C
    rh  its relative humidity, plain, 0 to 1
    to  its temperature afterwards, 0 to 50 °C

    Result: the relative humidity afterwards, 0 to 1, a quantity without dimensions. Refuses: WrongUnit; OutOfRange
    also for air that would drip on the way. Source: by definition; `saturation_pressure`.

    >>> from herbcalc.units import Q
    >>> print(f"{rh_when_warmed(Q(20, 'degC'), 0.6, Q(38, 'degC')).magnitude:.2f}")
    0.21
    """
    full = rh * _saturated(T) / _saturated(to)
    return _not_over_full(full, "to", to, "cooled that far this air would drip")


@guarded("", T=AIR, dew=DEW)
def rh_from_dew_point(T: Any, dew: Any) -> Any:
    """How full the air is, from the temperature at which a cold glass begins to mist over.

    T    the air's temperature, 0 to 50 °C
    dew  its dew point, -100 to 50 °C, at most T

    Result: relative humidity 0 to 1, a quantity without dimensions. Refuses: WrongUnit; OutOfRange also for a dew
    point above T. Source: by definition; `saturation_pressure`.

    >>> from herbcalc.units import Q
    >>> print(f"{rh_from_dew_point(Q(25, 'degC'), Q(13.864, 'degC')).magnitude:.3f}")
    0.500
    """
    full = _saturated(dew) / _saturated(T)
    return _not_over_full(full, "dew", T, "air drips at its dew point, so it cannot be cooler than that")


@guarded("", T=AIR, ratio=RATIO, pressure=PRESSURE)
def rh_from_humidity_ratio(T: Any, ratio: Any, pressure: Any = SEA_LEVEL) -> Any:
    """How full the air is, from the water it holds.

    T         the air's temperature, 0 to 50 °C
    ratio     kg of water for each kg of dry air, plain, 0 or more
    pressure  of the air, 20,000 to 180,000 Pa; at sea level unless given

    Result: relative humidity 0 to 1, a quantity without dimensions. Refuses: WrongUnit; OutOfRange also for more
    water than air at T can hold. Source: `humidity_ratio` turned round.

    >>> from herbcalc.units import Q
    >>> print(f"{rh_from_humidity_ratio(Q(25, 'degC'), 0.009881).magnitude:.3f}")
    0.500
    """
    return _not_over_full(_share_of_full(T, ratio, pressure), "ratio", T, "that is more water than this air can hold")


@guarded("", T=AIR, wet=BULB, pressure=PRESSURE)
def rh_from_wet_bulb(T: Any, wet: Any, pressure: Any = SEA_LEVEL) -> Any:
    """How full the air is, from two thermometers in a draught, one of them in a wet wick.

    T         what the dry one shows, 0 to 50 °C
    wet       what the wet one shows, -20 to 50 °C, at most T; under 0 °C the wick is taken to be frozen
    pressure  of the air, 20,000 to 180,000 Pa; at sea level unless given

    Result: relative humidity 0 to 1, a quantity without dimensions. Refuses: WrongUnit; OutOfRange also for a wet
    bulb above T, or one cooler than wholly dry air could make it. Source: `wet_bulb` turned round.

    >>> from herbcalc.units import Q
    >>> print(f"{rh_from_wet_bulb(Q(25, 'degC'), Q(18, 'degC')).magnitude:.2f}")
    0.51
    """
    if refused := first_refused(above(wet, T), wet, T):
        where, (cool, warm) = refused
        raise OutOfRange(
            f"wet{where}: the wet thermometer shows {said(cool, 'degC')} and the dry one {said(warm, 'degC')}. A wet "
            "wick only cools, so the lower reading is the wet one. Were the two swapped?"
        )
    frozen = wet < 0.0
    wick = _Wick(*(_either(frozen, ice, water) for ice, water in zip(_FROZEN, _WET, strict=True)))
    needs = (wick.latent - (wick.heat - VAPOUR_HEAT) * wet) * _held(_saturated(wet), pressure)
    held = (needs - AIR_HEAT * (T - wet)) / (wick.latent + VAPOUR_HEAT * T - wick.heat * wet)
    full = _share_of_full(T, held, pressure)
    if refused := first_refused(below(full, 0.0), wet, T, pressure):
        where, (cool, warm, weight) = refused
        raise OutOfRange(
            f"wet{where}: {said(cool, 'degC')} is cooler than a wick gets at {said(warm, 'degC')}. In wholly dry air "
            f"it would show {said(_wet_bulb(warm, 0.0, weight)[0], 'degC')}. Is one thermometer off? In the same "
            "water they should agree."
        )
    return _either(full > 0.0, _either(full < 1.0, full, 1.0), 0.0)


def _share_of_full(t: Any, held: Any, pressure: Any) -> Any:
    """The relative humidity of air that holds so much."""
    return pressure * held / (WATER_TO_AIR + held) / _saturated(t)


def _not_over_full(full: Any, name: str, t: Any, why: str) -> Any:
    """A relative humidity, at most 1; refused where it is more by more than rounding."""
    if refused := first_refused(above(full, 1.0), t, full):
        where, (warm, share) = refused
        raise OutOfRange(
            f"{name}{where}: {why}. At {said(warm, 'degC')} it would be {said(share, '')} times as full as air can "
            "be; 1 is full. Warmer air, or less water, would work."
        )
    return _either(full < 1.0, full, 1.0)
