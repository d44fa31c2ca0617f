"""Floor 0. How an amount is said: `spoken` for a quantity, `said` for a bare number in a named unit.

The unit given comes first and its twin in the other system follows: a person weighs in one and has learned the
other. The metric side keeps three significant figures, or 1 g / 1 mL where that is finer; the kitchen side stops
at quarters, because that is what a spoon and a spring scale can show.
"""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Any, Literal

import numpy as np

from herbcalc.units.constants import FL_OZ_PER_OZ
from herbcalc.units.refusals import WrongUnit
from herbcalc.units.registry import Q, ureg

System = Literal["both", "metric", "kitchen"]
Way = Literal["near", "up", "down"]

_WAYS = {"near": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}
_QUARTERS = ("", "1/4", "1/2", "3/4")

# Symbols for the metric side and, for kitchen measures, the word and its plural.
_METRIC_WEIGHTS, _KITCHEN_WEIGHTS = ("g", "kg", "mg"), ("oz", "lb")
_METRIC_VOLUMES = ("mL", "L")
_KITCHEN_VOLUMES = ("tsp", "tbsp", "fl_oz", "cup", "pint", "quart", "gallon")
_WORDS = {"fl_oz": ("fl oz", "fl oz"), **{w: (w, w + "s") for w in ("cup", "pint", "quart", "gallon")}}
_TIMES = ("s", "min", "hour", "day", "week", "month")
_TIME_WORDS = {"s": "second", "min": "minute"}
_SHARES = {
    "percent_vol": "% vol",
    "percent_mass": "% by weight",
    "percent_wb": "% water",
    "percent_db": "% of the dry weight",
    "percent": "%",
    "proof": "proof",
}


def said(number: float, unit: str) -> str:
    """A bare number in a unit of the registry, said as `spoken` says a quantity; "" is a plain number.

    >>> said(200, "mL"), said(80, "degF"), said(80, "percent_wb"), said(5, "mL/g")
    ('200 mL (6 3/4 fl oz)', '80 °F (26.7 °C)', '80 % water', '1:5')
    """
    return spoken(Q(float(number), unit) if unit else float(number))


def spoken(q: Any, system: System = "both", round: Way = "near") -> str:
    """An amount in words for a label, a sheet or a sentence.

    q       a quantity of any unit in the registry, or a plain number; of a list the two ends are said
    system  "both": the unit given first, its twin in brackets; "metric" or "kitchen": that side alone
    round   "near"; "up" never says less than there is; "down" never says more (each side by itself)

    Result: text. Metric side to three significant figures, or 1 g / 1 mL where finer; kitchen side to 1/4: tsp
    under 1 fl oz, fl oz to 64, then quarts; oz to 16, then lb and oz. A kitchen unit that was given is kept where
    a quarter of it is fine enough. Amounts with one way of saying them (strengths, times) ignore `system`.
    Refuses: text and other things that carry no number (WrongUnit).

    >>> spoken(Q(350, "mL")), spoken(Q(2, "cup")), spoken(Q(1000, "g"))
    ('350 mL (11 3/4 fl oz)', '2 cups (473 mL)', '1000 g (2 lb 3 1/4 oz)')
    >>> spoken(Q(350, "mL"), "kitchen", round="up"), spoken(Q(40, "percent_vol")), spoken(Q(48, "hour"))
    ('12 fl oz', '40 % vol', '48 hours (2 days)')
    """
    if system not in ("both", "metric", "kitchen"):
        raise WrongUnit(f'An amount is said in "both", "metric" or "kitchen" units; {system!r:.60} was asked for.')
    if round not in _WAYS:
        raise WrongUnit(f'Rounding goes "near", "up" or "down"; {round!r:.60} was asked for.')
    if not isinstance(q, ureg.Quantity):
        if isinstance(q, (str, bytes, bool)) or q is None:
            raise WrongUnit("An amount to be said needs a number with its unit, such as Q(350, 'mL').")
        q = Q(q, "")
    magnitude = q.magnitude
    if np.ndim(magnitude):
        return _list_said(q, system, round)
    try:
        number = float(magnitude)
    except (TypeError, ValueError, OverflowError):
        raise WrongUnit("An amount to be said needs a number with its unit, such as Q(350, 'mL').") from None
    if math.isnan(number):
        return "no number"
    if math.isinf(number):
        return "more than can be counted" if number > 0 else "less than can be counted"
    return _one(number, str(q.units), q, system, round)


def per_gram(number: float) -> str:
    """So many mL for each gram, said in both systems.

    >>> per_gram(1.5)
    '1.5 mL for each gram (1.44 fl oz for each oz)'
    """
    return f"{said(number, '')} mL for each gram ({said(number * FL_OZ_PER_OZ, '')} fl oz for each oz)"


def _list_said(q: Any, system: System, way: Way) -> str:
    numbers = np.asarray(q.magnitude, dtype=float)
    if numbers.size == 0:
        return "an empty list"
    if not np.isfinite(numbers).all():
        return f"a list of {numbers.size} amounts, not all of them numbers"
    low, high = (spoken(Q(float(n), q.units), system, way) for n in (numbers.min(), numbers.max()))
    return f"a list of {numbers.size} amounts from {low} to {high}" if low != high else f"a list of {low}"


def _one(number: float, unit: str, q: Any, system: System, way: Way) -> str:
    # str(q.units) spells the unit with its name in units.txt; see there for the list.
    if unit in ("dimensionless", ""):
        return _figures(number, way, coarsest=1.0)
    if abs(number) > 1e290:  # its twin might be too large to hold
        return f"{_figures(number, way)} {q.units:~P}"
    if unit in _SHARES:
        text = f"{_figures(number, way)} {_SHARES[unit]}"
        return f"{text} ({_figures(number / 2, way)} % vol)" if unit == "proof" else text
    if unit in _TIMES:
        return _time(number, unit, way)
    if unit == "mL / g":
        return f"1:{_figures(number, way)}"
    if unit in ("degC", "degF", "K"):
        return _temperature(q, unit, system, way)
    if unit in ("delta_degC", "delta_degF"):
        celsius, other = (f"{_figures(float(q.to(u).magnitude), way, 0.01)} {s}" for u, s in _SPANS)
        return "a span of " + _pair(celsius, other, unit == "delta_degC", system)
    if q.check("[mass]"):
        return _pair(_metric(q, unit, "g", way), _weight(q, unit, way), unit not in _KITCHEN_WEIGHTS, system)
    if q.check("[length] ** 3"):
        return _pair(_metric(q, unit, "mL", way), _volume(q, unit, way), unit not in _KITCHEN_VOLUMES, system)
    if q.check("[length]"):
        metric = unit if unit != "inch" else "cm"
        ours = f"{_figures(float(q.to(metric).magnitude), way)} {metric}"
        return _pair(ours, f"{_quarters(float(q.to('inch').magnitude), way)} in", unit != "inch", system)
    if unit == "kg / m ** 3":
        return f"{_figures(number, way)} kg/m³ ({_figures(number / 1000, way, 1e-4)} g/mL)"
    if unit in _RATES:
        metric, other, kitchen = _RATES[unit]
        twin = f"{_quarters(float(q.to(other).magnitude), way)} {kitchen}"
        return _pair(f"{_figures(number, way)} {metric}", twin, True, system)
    if unit == "g / mL":
        twin = f"{_figures(float(q.to('oz / fl_oz').magnitude), way)} oz for each fl oz"
        return _pair(f"{_figures(number, way)} g for each mL", twin, True, system)
    if unit in _EACH:
        return f"{_figures(number, way)} {_EACH[unit]}"
    return f"{_figures(number, way)} {q.units:~P}"


_RATES = {  # metric words, the unit of the twin, its words
    "mL / hour": ("mL in an hour", "fl_oz / hour", "fl oz in an hour"),
    "mL / min": ("mL in a minute", "tsp / min", "tsp in a minute"),
}
_EACH = {"1 / mL": "in each mL", "1 / hour": "for each hour"}
_SPANS = (("delta_degC", "°C"), ("delta_degF", "°F"))


def _pair(metric: str, kitchen: str, metric_first: bool, system: System) -> str:
    if system != "both":
        return metric if system == "metric" else kitchen
    return f"{metric} ({kitchen})" if metric_first else f"{kitchen} ({metric})"


def _figures(number: float, way: Way, finest: float = 0.0, coarsest: float = math.inf) -> str:
    """Three significant figures as a person writes them, in steps no finer and no coarser than asked."""
    if number == 0:
        return "0"
    # Twelve digits first: 0.1 + 0.2 is not "a little more than 0.3" to anyone but a computer.
    value = Decimal(f"{number:.12g}")
    step = Decimal(1).scaleb(value.adjusted() - 2)
    if finest and step < Decimal(repr(finest)):
        step = Decimal(repr(finest))
    if coarsest < math.inf and step > Decimal(f"{coarsest:.6g}"):
        step = Decimal(f"{coarsest:.6g}")
    power = value.adjusted()
    if power >= 9 or (power < -4 and not finest):
        return f"{_trim(value.scaleb(2 - power).to_integral_value(_WAYS[way]) / 100)} × 10^{power}"
    return _trim((value / step).to_integral_value(_WAYS[way]) * step)


def _trim(value: Decimal) -> str:
    text = f"{value:,f}" if abs(value) >= 10000 else f"{value:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def _metric(q: Any, unit: str, base: str, way: Way) -> str:
    """Grams or millilitres, in the unit given if that was metric; kilograms or litres from 10,000 on."""
    shown = unit if unit in _METRIC_WEIGHTS + _METRIC_VOLUMES else base
    number = float(q.to(shown).magnitude)
    if unit != shown and abs(number) >= 10000:
        shown = "kg" if base == "g" else "L"
        number /= 1000
    return f"{_figures(number, way, coarsest=float(Q(1.0, base).to(shown).magnitude))} {shown}"


def _steps(number: float, way: Way) -> int:
    """Whole quarters in a number."""
    return int((Decimal(f"{number:.12g}") * 4).to_integral_value(_WAYS[way]))


def _quarters(number: float, way: Way) -> str:
    """A number in quarters: "11 3/4". What is there but smaller than a quarter is said so."""
    if abs(number) > 1e6:
        return _figures(number, way)
    steps = _steps(number, way)
    if steps == 0 and number != 0 and way == "near":
        return "less than 1/4" if number > 0 else "a little below 0"
    whole, rest = divmod(abs(steps), 4)
    text = " ".join(t for t in (str(whole) if whole or not rest else "", _QUARTERS[rest]) if t)
    return f"-{text}" if steps < 0 else text


def _kitchen(number: float, unit: str, way: Way) -> str:
    one, many = _WORDS.get(unit, (unit, unit))
    return f"{_quarters(number, way)} {one if abs(_steps(number, way)) <= 4 else many}"


def _keeps(q: Any, unit: str, fine: str) -> bool:
    """Whether a quarter of the unit given is as fine as a quarter of the unit the rule would pick, or fits."""
    number = float(q.magnitude)
    if abs(number) > 1e6 or 0 < abs(number) < 0.25:
        return False
    fits = abs(number * 4 - math.floor(number * 4 + 0.5)) < 1e-9 * max(1.0, abs(number))
    return fits or bool(Q(1, unit) <= Q(1, fine))


def _volume(q: Any, unit: str, way: Way) -> str:
    ounces = float(q.to("fl_oz").magnitude)
    rule = "tsp" if abs(ounces) < 1 - 1e-12 else "fl_oz" if abs(ounces) <= 64 * (1 + 1e-12) else "quart"
    if unit in _KITCHEN_VOLUMES and _keeps(q, unit, rule):
        rule = unit
    elif rule == "tsp" and abs(_steps(ounces * 6, way)) == 24:
        rule = "fl_oz"  # six teaspoons are said as one fluid ounce
    return _kitchen(float(q.to(rule).magnitude), rule, way)


def _weight(q: Any, unit: str, way: Way) -> str:
    if unit in _KITCHEN_WEIGHTS and _keeps(q, unit, "oz"):
        return _kitchen(float(q.magnitude), unit, way)
    ounces = float(q.to("oz").magnitude)
    steps = _steps(ounces, way)
    if abs(ounces) > 1.6e7:
        return f"{_figures(ounces / 16, way)} lb"
    if abs(steps) < 64:
        return f"{_quarters(ounces, way)} oz"
    pounds, rest = divmod(abs(steps), 64)
    text = f"{pounds:,} lb" + (f" {_quarters(rest / 4, 'near')} oz" if rest else "")
    return f"-{text}" if steps < 0 else text


def _temperature(q: Any, unit: str, system: System, way: Way) -> str:
    celsius, fahrenheit = (
        f"{_figures(float(q.magnitude) if unit == u else float(q.to(u).magnitude), way, 0.01)} {s}"
        for u, s in (("degC", "°C"), ("degF", "°F"))
    )
    return _pair(celsius, fahrenheit, unit != "degF", system)


def _time(number: float, unit: str, way: Way) -> str:
    def words(n: float, u: str) -> str:
        text = _figures(n, way)
        return f"{text} {_TIME_WORDS.get(u, u)}{'' if text in ('1', '-1') else 's'}"

    first = words(number, unit)
    if unit == "hour" and abs(number) >= 48:
        return f"{first} ({words(number / 24, 'day')})"
    if unit == "hour" and 0 < abs(number) < 1:
        return f"{first} ({words(number * 60, 'min')})"
    return first
