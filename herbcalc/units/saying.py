"""Floor 0. How an amount is said: `spoken` for a quantity, `said` for a bare number in a named unit.

The unit given comes first and its twin in the other system follows: a person weighs in one and has learned the
other. The metric side keeps three significant figures, or 1 g / 1 mL where that is finer. The kitchen side is what a
spoon and a spring scale can show, in three rules:

1. It stops at quarters. Where that would move the amount by more than 5 % it goes to eighths, and where an eighth is
   too coarse as well it is left out: "5 g" has no twin, and "kitchen" alone says the metric side then. A kitchen
   measure that was given is never left out: it is said in figures, "0.3 oz (8.51 g)".
2. Whole quarters are meant: what is within half a gram or half a mL of a step (and within 2 % of it) is that step,
   rounded up and down too. 28 g is 1 oz, not 3/4 oz rounded down and not 1 1/4 rounded up.
3. "2 lb 4 oz", never "2 1/4 lb".
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any, Literal, NamedTuple

import numpy as np

from herbcalc.units.arrays import at_most, below, whole
from herbcalc.units.constants import FL_OZ_PER_OZ
from herbcalc.units.refusals import WrongUnit
from herbcalc.units.registry import Q, ureg
from herbcalc.units.words import KIND_OF, UNITS, of, words

System = Literal["both", "metric", "kitchen"]
Way = Literal["near", "up", "down"]
First = Literal["given", "metric", "kitchen"]


class _How(NamedTuple):
    """How a person wants it said."""

    system: System
    way: Way
    first: First


_WAYS = {"near": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}
_MOVED = Decimal("0.05")  # the most that rounding to a step may move an amount, as a share of it
_UNSEEN, _UNSEEN_SHARE = 0.5, 0.02  # g or mL, and share, by which a step may be missed: no kitchen scale tells them
_METRIC = of("metric", "weight") + of("metric", "volume")
_KITCHEN_WEIGHTS, _KITCHEN_VOLUMES = of("kitchen", "weight"), of("kitchen", "volume")


def said(number: float, unit: str) -> str:
    """A bare number in a unit of the registry, said as `spoken` says a quantity; "" is a plain number.

    >>> said(200, "mL"), said(80, "degF"), said(80, "percent_wb"), said(5, "mL/g")
    ('200 mL (6 3/4 fl oz)', '80 °F (26.7 °C)', '80 % water', '1:5')
    """
    return _in_words(float(number), _units(unit), _How("both", "near", "given"))


def spoken(q: Any, system: System = "both", round: Way = "near", first: First = "given") -> str:
    """An amount in words for a label, a sheet or a sentence.

    q       a quantity of any unit in the registry, or a plain number; of a list the two ends are said
    system  "both": one side first, its twin in brackets; "metric" or "kitchen": that side alone
    round   "near"; "up" never says less than there is; "down" never says more (each side by itself; a kitchen step
            that is missed by less than a kitchen scale shows counts as met)
    first   which side stands first: "given", that of the unit it came in; or always "metric" or "kitchen"

    Result: text. Metric side to three significant figures, or 1 g / 1 mL where finer; kitchen side to 1/4, or 1/8, or
    left out (see above): tsp under 1 fl oz, fl oz to 64, then quarts; oz to 16, then lb and oz. A kitchen unit that
    was given is kept where a quarter of it is fine enough. Amounts with one way of saying them (strengths, times)
    ignore `system`. Refuses: text and other things that carry no number (WrongUnit).

    >>> spoken(Q(350, "mL")), spoken(Q(2, "cup")), spoken(Q(2.25, "lb"))
    ('350 mL (11 3/4 fl oz)', '2 cups (473 mL)', '2 lb 4 oz (1021 g)')
    >>> spoken(Q(350, "mL"), "kitchen", round="up"), spoken(Q(28, "g"), round="down"), spoken(Q(5, "g"))
    ('12 fl oz', '28 g (1 oz)', '5 g')
    >>> spoken(Q(350, "mL"), first="kitchen"), spoken(Q(40, "percent_vol")), spoken(Q(48, "hour"))
    ('11 3/4 fl oz (350 mL)', '40 % vol', '48 hours (2 days)')
    """
    if system not in ("both", "metric", "kitchen"):
        raise WrongUnit(f'An amount is said in "both", "metric" or "kitchen" units; {system!r:.60} was asked for.')
    if round not in _WAYS:
        raise WrongUnit(f'Rounding goes "near", "up" or "down"; {round!r:.60} was asked for.')
    if first not in ("given", "metric", "kitchen"):
        raise WrongUnit(f'First stands the "given", the "metric" or the "kitchen" side; {first!r:.60} was asked for.')
    if not isinstance(q, ureg.Quantity):
        if isinstance(q, (str, bytes, bool)) or q is None:
            raise WrongUnit("An amount to be said needs a number with its unit, such as Q(350, 'mL').")
        q = Q(q, "")
    how = _How(system, round, first)
    magnitude = q.magnitude
    if np.ndim(magnitude):
        return _list_said(q, how)
    try:
        number = float(magnitude)
    except (TypeError, ValueError, OverflowError):
        raise WrongUnit("An amount to be said needs a number with its unit, such as Q(350, 'mL').") from None
    return _in_words(number, q._units, how)


@functools.cache
def _units(unit: str) -> Any:
    """What pint makes of the name of a unit; it is asked once."""
    return Q(1.0, unit)._units


def _in_words(number: float, units: Any, how: _How) -> str:
    if math.isnan(number):
        return "no number"
    if math.isinf(number):
        return "more than can be counted" if number > 0 else "less than can be counted"
    return _said_once(number, units, how)


@functools.lru_cache(maxsize=4096)  # the same amounts come again and again: in a panel, in a class's answers
def _said_once(number: float, units: Any, how: _How) -> str:
    return _one(number, _spelled(units), Q(number, units), how)


@functools.cache
def _spelled(units: Any) -> str:
    """A unit with its name in units.txt, see there for the list; "" for a plain number. pint writes it out once."""
    unit = str(ureg.Unit(units)).replace(" ", "")
    return "" if unit == "dimensionless" else unit


def sides(q: Any, round: Way = "near") -> tuple[str, str]:
    """The metric side and the kitchen side of one amount, each by itself; the second is "" where there is none.

    q      a single quantity, or a plain number
    round  as for `spoken`

    >>> sides(Q(350, "mL")), sides(Q(5, "g")), sides(Q(40, "percent_vol"))
    (('350 mL', '11 3/4 fl oz'), ('5 g', ''), ('40 % vol', ''))
    """
    metric, kitchen = spoken(q, "metric", round), spoken(q, "kitchen", round)
    return metric, "" if kitchen == metric else kitchen


def least(q: Any, system: System = "both", first: First = "given") -> str:
    """What must be there, rounded up and said so: everywhere one screen shows it, the same number.

    >>> least(Q(714.3, "mL"))
    'at least 715 mL (24 1/4 fl oz)'
    """
    return f"at least {spoken(q, system, 'up', first)}"


def most(q: Any, system: System = "both", first: First = "given") -> str:
    """What must not be passed, rounded down and said so: everywhere one screen shows it, the same number.

    >>> most(Q(201.7, "g"))
    'at most 201 g (7 oz)'
    """
    return f"at most {spoken(q, system, 'down', first)}"


def of_hundred(share: float) -> str:
    """A share, as people count it.

    >>> of_hundred(1 / 8)
    '12.5 of every 100'
    """
    return f"{said(100.0 * share, '')} of every 100"


def so_many(number: int, thing: str) -> str:
    """A count of whole things, named in the singular.

    >>> so_many(1, "bottle"), so_many(1200, "bottle")
    ('1 bottle', '1,200 bottles')
    """
    return f"{number:,} {thing}{'' if number == 1 else 's'}"


def listed(names: Sequence[str], last: str = "and") -> str:
    """Names in a row, with a word before the last one.

    >>> listed(["honey", "syrup", "vinegar"]), listed(["honey", "syrup"], "or"), listed(["honey"])
    ('honey, syrup and vinegar', 'honey or syrup', 'honey')
    """
    return f" {last} ".join(filter(None, [", ".join(names[:-1]), *names[-1:]]))


def per_gram(number: float) -> str:
    """So many mL for each gram, said in both systems.

    >>> per_gram(1.5)
    '1.5 mL for each gram (1.44 fl oz for each oz)'
    """
    return f"{said(number, '')} mL for each gram ({said(number * FL_OZ_PER_OZ, '')} fl oz for each oz)"


def _list_said(q: Any, how: _How) -> str:
    numbers = np.asarray(q.magnitude, dtype=float)
    if numbers.size == 0:
        return "an empty list"
    if not np.isfinite(numbers).all():
        return f"a list of {numbers.size} amounts, not all of them numbers"
    low, high = (spoken(Q(float(n), q.units), *how) for n in (numbers.min(), numbers.max()))
    return f"a list of {numbers.size} amounts from {low} to {high}" if low != high else f"a list of {low}"


def _one(number: float, unit: str, q: Any, how: _How) -> str:
    if unit == "":
        return _figures(number, how.way, coarsest=1.0)
    if abs(number) > 1e290:  # its twin might be too large to hold
        return f"{_figures(number, how.way)} {q.units:~P}"
    kind = KIND_OF.get(unit) or next((kind for kind, dimension in _DIMENSIONS.items() if q.check(dimension)), "")
    if kind in _SAYERS:
        return _SAYERS[kind](number, unit, q, how)
    if unit in _TWINS:
        twin = _TWINS[unit]
        other = number_in(q, twin)
        shown = _steps(other, how.way) if unit != "g/mL" else ""
        here = f"{_figures(number, how.way)} {words(unit)}"
        return _pair(here, f"{shown or _figures(other, how.way)} {words(twin)}", True, how)
    if unit == "kg/m**3":
        return f"{_figures(number, how.way)} {words(unit)} ({_figures(number / 1000, how.way, 1e-4)} g/mL)"
    return f"{_figures(number, how.way)} {words(unit) if unit in UNITS else f'{q.units:~P}'}"


# Units made from others are known by what they measure.
_DIMENSIONS = {"weight": "[mass]", "volume": "[length] ** 3", "length": "[length]"}
_TWINS = {"mL/hour": "fl_oz/hour", "mL/min": "tsp/min", "g/mL": "oz/fl_oz", "m**3/hour": "foot**3/min"}


def _pair(metric: str, kitchen: str, metric_given: bool, how: _How) -> str:
    if how.system != "both":
        return metric if how.system == "metric" or not kitchen else kitchen
    if not kitchen:
        return metric
    metric_first = metric_given if how.first == "given" else how.first == "metric"
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


@functools.cache
def _factor(units: Any, other: str) -> float:
    """How many of another unit one of this is; pint, which knows, is asked once."""
    return float(Q(1.0, units).to(other).magnitude)


def number_in(q: Any, other: str) -> float:
    """The number of a single quantity in another unit of its kind; not for thermometers, which have an offset.

    >>> round(number_in(Q(2, "oz"), "g"), 2)
    56.7
    """
    return float(q.magnitude) * _factor(q._units, other)


def _metric(q: Any, unit: str, base: str, way: Way) -> str:
    """Grams or millilitres, in the unit given if that was metric; kilograms or litres from 10,000 on."""
    shown = unit if unit in _METRIC else base
    number = number_in(q, shown)
    if unit != shown and abs(number) >= 10000:
        shown = "kg" if base == "g" else "L"
        number /= 1000
    return f"{_figures(number, way, coarsest=_factor(base, shown))} {shown}"


# the kitchen side


def _step(number: float, way: Way, unseen: float = 0.0) -> Fraction | None:
    """A number in quarters, or in eighths; None where either would move it too far.

    A step that is missed by no more than `unseen` counts as met, whichever way the rounding goes.
    """
    value = Decimal(f"{number:.12g}")
    hidden = Decimal(repr(min(unseen, _UNSEEN_SHARE * abs(number))))
    for parts in (4, 8):
        scaled = value * parts
        nearest = scaled.to_integral_value(ROUND_HALF_UP)
        met = abs(nearest - scaled) <= hidden * parts
        steps = nearest if met else scaled.to_integral_value(_WAYS[way])
        if abs(steps - scaled) <= abs(scaled) * _MOVED:
            return Fraction(int(steps), parts)
    return None


def _steps(number: float, way: Way) -> str:
    """A number in quarters or eighths; "" where they are too coarse."""
    value = None if abs(number) > 1e6 else _step(number, way)
    return "" if value is None else _mixed(value)


def _mixed(value: Fraction) -> str:
    """A number as it is written by hand: 11 3/4, 1/8, -2."""
    ones, rest = divmod(abs(value), 1)
    text = f"{ones} {rest}" if ones and rest else str(ones or rest)
    return f"-{text}" if value < 0 else text


@functools.cache
def _unseen(unit: str) -> float:
    """How much of a kitchen unit no kitchen scale or jug would show."""
    return _UNSEEN / _factor(unit, "g" if KIND_OF[unit] == "weight" else "mL")


def _kitchen(number: float, unit: str, way: Way, given: bool) -> str:
    """So many of a kitchen unit; "" where there is no good way to say it and nobody gave it so."""
    huge = abs(number) > 1e6
    value = None if huge else _step(number, way, _unseen(unit))
    if value is not None:
        return f"{_mixed(value)} {words(unit, float(value))}"
    if huge or given:
        return f"{_figures(number, way)} {words(unit, number)}"
    return f"a little below 0 {words(unit)}" if number < 0 else ""


def _keeps(q: Any, unit: str, fine: str) -> bool:
    """Whether a quarter of the unit given is as fine as a quarter of the unit the rule would pick, or fits."""
    number = float(q.magnitude)
    if abs(number) > 1e6 or 0 < abs(number) < 0.25:
        return False
    return whole(number * 4) is not None or bool(Q(1, unit) <= Q(1, fine))


def _kitchen_volume(q: Any, unit: str, way: Way) -> str:
    given = unit in _KITCHEN_VOLUMES
    ounces = number_in(q, "fl_oz")
    rule = "tsp" if below(abs(ounces), 1.0) else "fl_oz" if at_most(abs(ounces), 64.0) else "quart"
    if given and _keeps(q, unit, rule):
        rule = unit
    elif rule == "tsp" and abs(_step(ounces * 6, way, _unseen("tsp")) or 0) == 6:
        rule = "fl_oz"  # six teaspoons are said as one fluid ounce
    return _kitchen(number_in(q, rule), rule, way, given)


def _kitchen_weight(q: Any, unit: str, way: Way) -> str:
    given = unit in _KITCHEN_WEIGHTS
    ounces = number_in(q, "oz")
    if abs(ounces) > 1.6e7:
        return f"{_figures(ounces / 16, way)} lb"
    value = _step(ounces, way, _unseen("oz"))
    if value is None or abs(value) < 16 or (unit == "oz" and _keeps(q, unit, "oz")):
        return _kitchen(ounces, "oz", way, given)
    pounds, rest = divmod(abs(value), 16)
    text = f"{pounds:,} lb" + (f" {_mixed(rest)} oz" if rest else "")
    return f"-{text}" if value < 0 else text


# one sayer for each kind


def _weight(number: float, unit: str, q: Any, how: _How) -> str:
    return _pair(_metric(q, unit, "g", how.way), _kitchen_weight(q, unit, how.way), unit not in _KITCHEN_WEIGHTS, how)


def _volume(number: float, unit: str, q: Any, how: _How) -> str:
    return _pair(
        _metric(q, unit, "mL", how.way), _kitchen_volume(q, unit, how.way), unit not in _KITCHEN_VOLUMES, how
    )


def _length(number: float, unit: str, q: Any, how: _How) -> str:
    # Metres are said in feet, and what is shorter in inches.
    metric = {"inch": "cm", "foot": "m"}.get(unit, unit)
    twin = "foot" if metric == "m" else "inch"
    there = number_in(q, twin)
    far = abs(there) >= 100.0  # a quarter of a foot is no news there
    shown = "" if far else _steps(there, how.way)
    if not shown and (far or unit == twin):
        shown = _figures(there, how.way, coarsest=1.0)
    ours = f"{_figures(number_in(q, metric), how.way, coarsest=1.0)} {metric}"
    return _pair(ours, f"{shown} {words(twin)}" if shown else "", unit != twin, how)


def _temperature(number: float, unit: str, q: Any, how: _How) -> str:
    # What stands in the unit already is not sent through pint's offset, which is not exact.
    readings = {u: number if unit == u else float(q.to(u).magnitude) for u in ("degC", "degF")}
    celsius, fahrenheit = (f"{_figures(reading, how.way, 0.01)} {words(u)}" for u, reading in readings.items())
    return _pair(celsius, fahrenheit, unit != "degF", how)


def _span(number: float, unit: str, q: Any, how: _How) -> str:
    celsius, fahrenheit = (
        f"{_figures(float(q.to(u).magnitude), how.way, 0.01)} {words(u)}" for u in ("delta_degC", "delta_degF")
    )
    return "a span of " + _pair(celsius, fahrenheit, unit == "delta_degC", how)


def _share(number: float, unit: str, q: Any, how: _How) -> str:
    text = f"{_figures(number, how.way)} {words(unit)}"
    return f"{text} ({_figures(number / 2, how.way)} % vol)" if unit == "proof" else text


def _ratio(number: float, unit: str, q: Any, how: _How) -> str:
    return f"1:{_figures(number, how.way)}"


def _time(number: float, unit: str, q: Any, how: _How) -> str:
    def at(n: float, u: str) -> str:
        text = _figures(n, how.way)
        return f"{text} {words(u, 1.0 if text in ('1', '-1') else 2.0)}"

    first = at(number, unit)
    if unit == "hour" and abs(number) >= 48:
        return f"{first} ({at(number / 24, 'day')})"
    if unit == "hour" and 0 < abs(number) < 1:
        return f"{first} ({at(number * 60, 'min')})"
    return first


_SAYERS: dict[str, Callable[[float, str, Any, _How], str]] = {
    "weight": _weight,
    "volume": _volume,
    "length": _length,
    "temperature": _temperature,
    "difference": _span,
    "strength": _share,
    "moisture": _share,
    "ratio": _ratio,
    "time": _time,
}
