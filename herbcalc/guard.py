"""Floor 0. The guard at the door of every public sum.

A sum states the kind of each argument once, above its name; its body is a bare sum on plain numbers in the unit
of that kind. The guard turns quantities into those numbers, refuses what makes no sense in a sentence, and puts
the unit on the result. The bare sum stays reachable as `name.plain` for sweeps and solvers.
"""

from __future__ import annotations

import functools
import inspect
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

import numpy as np

from herbcalc.refusals import OutOfRange, WrongUnit
from herbcalc.registry import Q, ureg
from herbcalc.said import said

SLACK = 1e-9  # how far past an end of a range rounding may carry a number


@dataclass(frozen=True)
class Kind:
    """What an argument must be: the unit its number is turned into, its range, and how both are said.

    `low` and `high` are in `unit`; `above` makes the low end exclusive, `below` the high end. `also` names units
    of another dimension that are understood too, each with the function that turns its numbers into `unit`.
    `plain` kinds take numbers and dimensionless quantities.
    """

    name: str
    unit: str
    example: str
    low: float = -math.inf
    high: float = math.inf
    above: bool = False
    below: bool = False
    plain: bool = False
    also: Mapping[str, Callable[[Any], Any]] = field(default_factory=dict)

    def within(self, low: float, high: float = math.inf, *, above: bool = False, below: bool = False) -> Kind:
        """The same kind with another range, in the unit of the kind."""
        return replace(self, low=low, high=high, above=above, below=below)

    @property
    def more_than_none(self) -> Kind:
        """The same kind, with 0 left out."""
        return replace(self, low=0.0, above=True)

    def range_said(self) -> str:
        """The range in words, for messages and docstrings."""
        low, high = said(self.low, self.unit), said(self.high, self.unit)
        first = f"more than {low}" if self.above else f"{low}"
        if self.low == -math.inf and self.high == math.inf:
            return "any size"
        if self.high == math.inf:
            return first if self.above else f"{low} or more"
        if self.low == -math.inf:
            return f"less than {high}" if self.below else f"{high} at most"
        return f"{first} and less than {high}" if self.below else f"from {first} to {high}"


WEIGHT = Kind("a weight", "g", "100 g", low=0.0)
VOLUME = Kind("a volume", "mL", "200 mL", low=0.0)
RATIO = Kind("a ratio, mL for each gram", "mL/g", "1:5, which is 5 mL/g", low=0.0)
RETAINED = Kind("what the marc keeps, mL for each gram", "mL/g", "1.5 mL/g", low=0.0)
WATER = Kind("a moisture, wet basis", "percent_wb", "80 percent_wb", low=0.0, high=95.0)
DRY_BASIS = Kind("a moisture, dry basis", "percent_db", "400 percent_db", low=0.0)
TEMPERATURE = Kind("a temperature", "degC", "20 °C", low=0.0, high=40.0)
TIME = Kind("a time", "hour", "12 hours", low=0.0)
NUMBER = Kind("a plain number", "", "0.8", plain=True)
SHARE = Kind("a share", "", "0.8, which is 80 of every 100", low=0.0, high=1.0, plain=True)

_T = TypeVar("_T", bound=Callable[..., Any])

_factors: dict[tuple[Any, str], float] = {}
_target_units: dict[str, Any] = {}


def _unit(name: str) -> Any:
    if name not in _target_units:
        _target_units[name] = ureg.Unit(name) if name else ureg.dimensionless
    return _target_units[name]


def _given(value: Any) -> str:
    """The thing a person gave, said briefly."""
    if isinstance(value, ureg.Quantity):
        magnitude = value.magnitude
        if isinstance(magnitude, np.ndarray):
            return f"a list of {magnitude.size} amounts in {value.units:~P}"
        try:
            return said(float(magnitude), str(value.units))
        except (TypeError, ValueError):
            return "that"
    if isinstance(value, str):
        return f'the text "{value[:60]}"'
    if isinstance(value, bool) or value is None:
        return f'"{value}"'
    if isinstance(value, (int, float)):
        return f"the bare number {value:g}"
    return "something without a unit"


def _numbers(name: str, kind: Kind, magnitude: Any) -> Any:
    """A float, or an array of floats, from whatever pint carried; anything else is refused."""
    if type(magnitude) is float:
        return magnitude
    if isinstance(magnitude, (bool, np.bool_, str, complex)):
        raise WrongUnit(f"{name}: this needs a number. {_needs(kind)}")
    try:
        array = np.asarray(magnitude)
        if array.dtype.kind in "bUSc":
            raise TypeError
        array = np.asarray(array, dtype=float)
    except (TypeError, ValueError):
        raise WrongUnit(f"{name}: this needs numbers, and something else was given. {_needs(kind)}") from None
    return float(array) if array.ndim == 0 else array


def _needs(kind: Kind) -> str:
    return f"It needs {kind.name}, for example {kind.example}."


def _convert(name: str, kind: Kind, value: Any) -> Any:
    """The number of `value` in the unit of `kind`."""
    if kind.plain:
        if isinstance(value, ureg.Quantity):
            if value._units == _unit("percent")._units:
                raise WrongUnit(
                    f"{name}: a plain percent does not say of what. Give {kind.name}, for example {kind.example}."
                )
            if value.dimensionless and not value._units:
                return _numbers(name, kind, value._magnitude)
            raise WrongUnit(f"{name}: {_given(value)} was given. {_needs(kind)}")
        if isinstance(value, str) or value is None:
            raise WrongUnit(f"{name}: {_given(value)} was given. {_needs(kind)}")
        return _numbers(name, kind, value)
    if not isinstance(value, ureg.Quantity):
        raise WrongUnit(
            f"{name}: {_given(value)} was given, and a number alone does not say of what. {_needs(kind)}"
            if isinstance(value, (int, float, np.ndarray)) and not isinstance(value, bool)
            else f"{name}: {_given(value)} was given. {_needs(kind)}"
        )
    units = value._units
    target = _unit(kind.unit)
    if units == target._units:
        return _numbers(name, kind, value._magnitude)
    key = (units, kind.unit)
    factor = _factors.get(key)
    if factor is not None:
        return _numbers(name, kind, value._magnitude) * factor
    if units == _unit("percent")._units:
        raise WrongUnit(
            f"{name}: a plain percent does not say of what. The kinds are percent_vol (alcohol by volume), "
            f"percent_mass (alcohol by weight), percent_wb (water in the plant as weighed) and percent_db (water "
            f"against the dry plant). {_needs(kind)}"
        )
    for other, turn in kind.also.items():
        if value.is_compatible_with(other):
            number = _numbers(name, kind, value.to(other)._magnitude)
            return turn(_checked(name, replace(kind, low=0.0, high=100.0, unit=other, also={}), number))
    if value.dimensionality != target.dimensionality:
        raise WrongUnit(f"{name}: {_given(value)} was given. {_needs(kind)}")
    if kind.unit == "degC":
        # A reading and a difference share a dimension in pint; a difference of 20 degrees is no reading.
        if str(value.units).startswith("delta_"):
            raise WrongUnit(
                f"{name}: {_given(value)} is a difference, and a reading on the dial is wanted, such as {kind.example}."
            )
        return _numbers(name, kind, Q(_numbers(name, kind, value._magnitude), value.units).to(target)._magnitude)
    factor = float(Q(1.0, value.units).to(target)._magnitude)
    _factors[key] = factor
    return _numbers(name, kind, value._magnitude) * factor


def _checked(name: str, kind: Kind, number: Any) -> Any:
    """The number, brought exactly onto an end of the range where rounding carried it past; else a refusal."""
    low, high = kind.low, kind.high
    if type(number) is float:
        if low < number < high:
            return number
        if number == low and not kind.above or number == high and not kind.below:
            if not math.isinf(number):
                return number
        at: Any = None
        bad: float = number
    else:
        inside = np.isfinite(number)
        inside &= (number > low) if kind.above else (number >= low)
        inside &= (number < high) if kind.below else (number <= high)
        if inside.all():
            return number
        # The slack is for the few numbers at the ends; look at them one by one only where it matters.
        close = np.isfinite(number)
        if not kind.above and math.isfinite(low):
            close &= number >= low - _slack(low)
        elif kind.above:
            close &= number > low
        if not kind.below and math.isfinite(high):
            close &= number <= high + _slack(high)
        elif kind.below:
            close &= number < high
        if close.all():
            return np.clip(number, low, high)
        at = tuple(int(i) for i in np.argwhere(~close)[0])
        bad = float(number[at])
    if math.isfinite(bad):
        if not kind.above and low - _slack(low) <= bad <= low:
            return low
        if not kind.below and high <= bad <= high + _slack(high):
            return high
    where = "" if at is None else f" (number {at[0] if len(at) == 1 else at} of the list, counted from 0)"
    if math.isnan(bad):
        what = "there is no number there"
    elif math.isinf(bad):
        what = "that has no end"
    else:
        what = f"{said(bad, kind.unit)} was given"
    raise OutOfRange(
        f"{name}{where}: {what}. {kind.name[0].upper()}{kind.name[1:]} here is {kind.range_said()}. "
        f"Something like {kind.example} would work."
    )


def _slack(end: float) -> float:
    return SLACK * max(1.0, abs(end))


def take(name: str, kind: Kind, value: Any) -> Any:
    """The bare number (or array) of one argument, checked; for the few sums that cannot use `measured`."""
    return _checked(name, kind, _convert(name, kind, value))


def give(number: Any, unit: str) -> Any:
    """A quantity from a bare result."""
    return Q(number, _unit(unit))


def measured(returns: str | None = None, /, **kinds: Kind) -> Callable[[_T], _T]:
    """Put the guard before a sum. `returns` is the unit of the result; None hands the result on as it is.

    An argument whose default is None may be left out; its None reaches the sum unchanged.
    """

    def around(sum_: _T) -> _T:
        signature = inspect.signature(sum_)
        unknown = set(kinds) - set(signature.parameters)
        if unknown:
            raise TypeError(f"{sum_.__name__} has no argument {sorted(unknown)}")
        names = list(signature.parameters)
        optional = {n for n, p in signature.parameters.items() if p.default is None}
        # A default that is a quantity is turned into its number once, here, and never again.
        defaults = {
            n: take(n, kinds[n], p.default)
            for n, p in signature.parameters.items()
            if n in kinds and isinstance(p.default, ureg.Quantity)
        }

        @functools.wraps(sum_)
        def guarded(*args: Any, **named: Any) -> Any:
            if len(args) > len(names):
                signature.bind(*args, **named)  # raises Python's own sentence about too many arguments
            bare: dict[str, Any] = dict(defaults)
            for name, value in zip(names, args, strict=False):
                if name in named:
                    signature.bind(*args, **named)
                bare[name] = value
            bare.update(named)
            for name, value in bare.items():
                kind = kinds.get(name)
                if kind is None or (value is None and name in optional):
                    continue
                if name in defaults and value is defaults[name] and name not in named:
                    continue
                bare[name] = _checked(name, kind, _convert(name, kind, value))
            result = sum_(**bare)
            return result if returns is None else Q(result, _unit(returns))

        guarded.plain = sum_  # type: ignore[attr-defined]
        guarded.kinds = kinds  # type: ignore[attr-defined]
        guarded.returns = returns  # type: ignore[attr-defined]
        return guarded  # type: ignore[return-value]

    return around
