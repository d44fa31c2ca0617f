"""Floor 0. The guard at the door of every public sum.

A sum states the kind of each argument once, above its name; its body is a bare sum on plain numbers in the unit
of that kind. The guard turns quantities into those numbers, refuses what makes no sense in a sentence (what was
given, what is needed, what would work), and puts the unit on the result. The bare sum stays reachable as
`name.plain` for sweeps and solvers.
"""

from __future__ import annotations

import functools
import inspect
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from numbers import Real
from typing import Any, Generic, ParamSpec, Protocol, TypeVar, cast

import numpy as np
import pint

from herbcalc.units.arrays import at_least, at_most, place
from herbcalc.units.refusals import OutOfRange, WrongUnit, quoted
from herbcalc.units.registry import Q, ureg
from herbcalc.units.saying import per_gram, said, spoken


@dataclass(frozen=True)
class Kind:
    """What an argument must be: the unit its number is turned into, its range, and how both are said.

    `low` and `high` are in `unit`; `above` makes the low end exclusive, `below` the high end. `also` names units
    of another dimension that are understood too, each with the function that turns its numbers into `unit`.
    `plain` kinds take numbers and dimensionless quantities. `own_length` marks a list that is not matched element
    by element with the other arguments. `saying` says a bare number where the unit alone would mislead.
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
    own_length: bool = False
    saying: Callable[[float], str] | None = None

    def within(self, low: float, high: float = math.inf, *, above: bool = False, below: bool = False) -> Kind:
        """The same kind with another range, in the unit of the kind; its example moves into that range."""
        kind = replace(self, low=low, high=high, above=above, below=below)
        shown = re.match(r"(?:1:)?(-?[\d.]+)", self.example)
        if shown and not low <= float(shown.group(1)) <= high:
            end, shut = (low, above) if float(shown.group(1)) < low else (high, below)
            other = high if end == low else low
            inner = (low + high) / 2 if math.isfinite(other) else end + (1.0 if end == low else -1.0)
            kind = replace(kind, example=self.said(inner if shut else end))
        return kind

    @property
    def more_than_none(self) -> Kind:
        """The same kind, with 0 left out."""
        return replace(self, low=0.0, above=True)

    @property
    def listed(self) -> Kind:
        """The same kind, as a list with a length of its own (portions poured one after the other)."""
        return replace(self, own_length=True)

    @functools.cached_property
    def turned(self) -> dict[Any, tuple[Kind, Callable[[Any], Any]]]:
        """The units of `also` as pint holds them: the kind of what comes in each, and what turns its numbers."""
        kinds = (
            replace(self, low=0.0, high=100.0, above=False, below=False, unit=unit, also={}) for unit in self.also
        )
        return {_unit(kind.unit)._units: (kind, self.also[kind.unit]) for kind in kinds}

    def said(self, number: float) -> str:
        """A bare number of this kind in words."""
        return self.saying(number) if self.saying else said(number, self.unit)

    def _end(self, number: float) -> str:
        # 0 is 0 in either system, except on a thermometer.
        return "0" if number == 0 and self.unit not in ("degC", "degF") else self.said(number)

    def range_said(self) -> str:
        """The range in words, for messages and docstrings."""
        low, high = self._end(self.low), self._end(self.high)
        first = f"more than {low}" if self.above else low
        if self.low == -math.inf and self.high == math.inf:
            return "any size"
        if self.high == math.inf:
            return first if self.above else f"{low} or more"
        if self.low == -math.inf:
            return f"less than {high}" if self.below else f"{high} at most"
        if self.above:
            return f"{first} and {'less than' if self.below else 'at most'} {high}"
        return f"{low} or more and less than {high}" if self.below else f"from {low} to {high}"


WEIGHT = Kind("a weight", "g", "100 g, or 3 1/2 oz", low=0.0)
VOLUME = Kind("a volume", "mL", "200 mL, or 6 3/4 fl oz", low=0.0)
RATIO = Kind(
    "a ratio of herb to liquid", "mL/g", "1:5, which is 5 mL for each gram (mL/g), or 4.79 fl oz for each oz", low=0.0
)
RETAINED = Kind(
    "what the marc keeps", "mL/g", "1.5 mL for each gram (mL/g), or 1.44 fl oz for each oz", low=0.0, saying=per_gram
)
WATER = Kind(
    "a moisture (water in the plant as weighed)", "percent_wb", "80 % water (percent_wb)", low=0.0, high=95.0
)
DRY_BASIS = Kind("a moisture against the dry plant", "percent_db", "400 % of the dry weight (percent_db)", low=0.0)
TEMPERATURE = Kind("a temperature", "degC", "20 °C, or 68 °F", low=0.0, high=40.0)
TIME = Kind("a time", "hour", "12 hours", low=0.0)
NUMBER = Kind("a plain number", "", "0.8", plain=True)
SHARE = Kind("a share", "", "0.8, which is 80 of every 100", low=0.0, high=1.0, plain=True)

_P = ParamSpec("_P")
_R = TypeVar("_R")


class Guarded(Protocol, Generic[_P, _R]):
    """A public sum: called with quantities, it checks, works and gives a quantity.

    plain: the bare sum, on numbers in the units of `kinds`. kinds: what each argument must be. returns: the unit of
    the result, None where the sum gives something else (a tuple, a plain number).
    """

    __name__: str
    plain: Callable[_P, _R]
    kinds: Mapping[str, Kind]
    returns: str | None

    def __call__(self, *args: _P.args, **named: _P.kwargs) -> _R: ...


_units: dict[str, Any] = {}
_factors: dict[tuple[Any, str], float] = {}


def _unit(name: str) -> Any:
    if name not in _units:
        _units[name] = ureg.Unit(name) if name else ureg.dimensionless
    return _units[name]


_PERCENT = _unit("percent")._units

# What is said of each argument whose name alone tells a student little.
_NAMES = {
    "to": "what is wanted in the end (to)",
    "make": "the amount wanted (make)",
    "final": "the final strength",
    "k": "what the marc keeps (k)",
    "T": "the temperature (T)",
    "rh": "the relative humidity (rh)",
    "leaving_rh": "how full the air leaves (leaving_rh)",
    "dew": "the dew point (dew)",
    "wet": "the wet thermometer (wet)",
}


def _named(name: str) -> str:
    return _NAMES.get(name, name.replace("_", " "))


def _given(value: Any) -> str:
    """The thing a person gave, said briefly."""
    if isinstance(value, ureg.Quantity):
        try:
            return spoken(value)
        except (TypeError, ValueError):
            return "something that is not a number"
    if isinstance(value, str):
        return f"the text {quoted(value)}"
    if isinstance(value, (bool, np.bool_)) or value is None:
        return f'"{value}"'
    if _is_foreign(value):
        return "an amount with units from another program"
    if isinstance(value, (list, tuple)) and any(isinstance(v, pint.Quantity) for v in value):
        return "a list of amounts, each with a unit of its own"
    if isinstance(value, (list, tuple)) or (isinstance(value, np.ndarray) and value.ndim):
        return "a list without a unit"
    if isinstance(value, (Real, Decimal)):
        return f"the bare number {_bare(value)}"
    return "something that is not an amount"


def _is_foreign(value: Any) -> bool:
    """Whether a quantity belongs to another registry than ours."""
    return isinstance(value, pint.Quantity) and not isinstance(value, ureg.Quantity)


def _bare(value: Any) -> str:
    try:
        return said(float(value), "")
    except (ValueError, OverflowError):
        return "that was typed"


def _other_kind(name: str, kind: Kind, value: Any) -> WrongUnit:
    """The refusal of an amount of another kind."""
    help_ = ""
    if isinstance(value, str):
        help_ = " Text is read with amount(...)."
    elif isinstance(value, (list, tuple)) or _is_foreign(value):
        help_ = " Make it with Q from herbcalc.units: Q([1, 2], 'g')."
    elif isinstance(value, (Real, Decimal)) and not isinstance(value, bool):
        help_ = " A number alone does not say of what."
    return WrongUnit(f"{_named(name)}: {_given(value)} was given.{help_} {_needs(kind)}")


def _needs(kind: Kind) -> str:
    return f"It needs {kind.name}, such as {kind.example}."


def _numbers(name: str, kind: Kind, magnitude: Any) -> Any:
    """A float, or an array of floats, from whatever pint carried; anything else is refused."""
    if type(magnitude) is float:
        return magnitude
    if isinstance(magnitude, np.ma.MaskedArray) and np.ma.is_masked(magnitude):
        at = tuple(int(i) for i in np.argwhere(np.ma.getmaskarray(magnitude))[0]) if magnitude.ndim else ()
        raise OutOfRange(f"{_named(name)}{place(at)}: there is no number there. {_needs(kind)}")
    try:
        array = np.asarray(magnitude)
        if array.dtype.kind == "O" and not all(_is_number(n) for n in array.flat):
            raise TypeError
        if array.dtype.kind not in "iufO":
            raise TypeError
        array = array.astype(float, copy=False)
    except OverflowError:
        raise OutOfRange(f"{_named(name)}: that is larger than can be worked with. {_needs(kind)}") from None
    except (TypeError, ValueError):
        raise WrongUnit(f"{_named(name)}: numbers are needed, and something else was given. {_needs(kind)}") from None
    return float(array) if array.ndim == 0 else array


def _is_number(n: Any) -> bool:
    return isinstance(n, (Real, Decimal)) and not isinstance(n, (bool, np.bool_, pint.Quantity))


def _scaled(numbers: Any, factor: float) -> Any:
    if type(numbers) is float:
        return numbers * factor
    with np.errstate(over="ignore", invalid="ignore"):  # what grows past all numbers is refused by name later
        return numbers * factor


def _convert(name: str, kind: Kind, value: Any) -> Any:
    """The number of `value` in the unit of `kind`, its range not yet looked at."""
    if not isinstance(value, ureg.Quantity):
        if not kind.plain or value is None or isinstance(value, (str, bytes, pint.Quantity)):
            raise _other_kind(name, kind, value)
        return _numbers(name, kind, value)
    units = value._units
    if units == _PERCENT:
        raise _which_percent(name, kind)
    if units == _unit(kind.unit)._units:  # of a plain kind: a quantity without dimensions
        return _numbers(name, kind, value._magnitude)
    factor = _factors.get((units, kind.unit))
    if factor is not None:
        return _scaled(_numbers(name, kind, value._magnitude), factor)
    if units in kind.turned:
        return _turned(name, value, *kind.turned[units])
    return _convert_slowly(name, kind, value)


def _turned(name: str, value: Any, kind: Kind, turn: Callable[[Any], Any]) -> Any:
    """The number of a quantity of another kind that is understood too."""
    return turn(_checked(name, kind, _convert(name, kind, value)))


def _convert_slowly(name: str, kind: Kind, value: Any) -> Any:
    """A quantity in another unit than the kind's, met for the first time or turned by more than a factor."""
    target = _unit(kind.unit)
    dimension = value.dimensionality
    for other, turn in kind.turned.values():
        if dimension == _unit(other.unit).dimensionality:
            return _turned(name, value, other, turn)
    # A reading and a difference share a dimension in pint; a span of 20 degrees is no reading.
    is_span, wants_span = "delta_" in str(value.units), "delta_" in str(target)
    if dimension != target.dimensionality or (kind.unit == "degC" and is_span) or (wants_span and not is_span):
        raise _other_kind(name, kind, value)
    if kind.unit == "degC":
        bare = _numbers(name, kind, value._magnitude)
        if str(value.units) == "degF":
            return _scaled(bare - 32.0, 5.0 / 9.0)  # exact at 32 and 212, where the stored offset is not
        return Q(bare, value.units).to(target)._magnitude
    factor = float(Q(1.0, value.units).to(target)._magnitude)
    _factors[value._units, kind.unit] = factor
    return _scaled(_numbers(name, kind, value._magnitude), factor)


def _which_percent(name: str, kind: Kind) -> WrongUnit:
    kinds = (
        ""
        if kind.plain
        else " The kinds are percent_vol (alcohol by volume), percent_mass (alcohol by weight), percent_wb (water in "
        "the plant as weighed) and percent_db (water against the dry plant)."
    )
    return WrongUnit(f"{_named(name)}: a percent alone does not say of what.{kinds} {_needs(kind)}")


def _checked(name: str, kind: Kind, number: Any) -> Any:
    """The number, brought exactly onto an end of the range where rounding carried it past; else a refusal."""
    low, high = kind.low, kind.high
    if type(number) is float:
        if low < number < high:
            return number
        if not math.isfinite(number):
            raise _outside(name, kind, number, ())
        # The slack is for the few numbers at the ends.
        if not kind.above and number <= low and at_least(number, low):
            return low
        if not kind.below and number >= high and at_most(number, high):
            return high
        raise _outside(name, kind, number, ())
    if number.size == 0 or (number.min() > low and number.max() < high):  # false for a NaN, as it should be
        return number
    fits = np.isfinite(number)
    fits &= (number > low) if kind.above else at_least(number, low)
    fits &= (number < high) if kind.below else at_most(number, high)
    if fits.all():
        return np.clip(number, low, high)
    at = tuple(int(i) for i in np.argwhere(~fits)[0])
    raise _outside(name, kind, float(number[at]), at)


def _outside(name: str, kind: Kind, bad: float, at: tuple[int, ...]) -> OutOfRange:
    """The refusal of a number outside its range."""
    if math.isnan(bad):
        what = "there is no number there"
    elif math.isinf(bad):
        what = "it has no end"
    else:
        what = f"{kind.said(bad)} was given"
        for end in (kind.low, kind.high):
            # 95.0001 is said as 95, which would make no sense beside "up to 95".
            if math.isfinite(end) and bad != end and kind.said(bad) == kind.said(end):
                what = f"a touch {'less' if bad < end else 'more'} than {kind.said(end)} was given"
    return OutOfRange(
        f"{_named(name)}{place(at)}: {what}. {kind.name[0].upper()}{kind.name[1:]} here is {kind.range_said()}. "
        f"What would work: {kind.example}."
    )


def match(kinds: Mapping[str, Kind], bare: Mapping[str, Any]) -> None:
    """Lists that are matched one by one need lengths that fit; else a refusal that names them."""
    lists = {n: v.shape for n, v in bare.items() if n in kinds and type(v) is np.ndarray and not kinds[n].own_length}
    if len(lists) < 2:
        return
    try:
        np.broadcast_shapes(*lists.values())
    except ValueError:
        sizes = ", ".join(f"{_named(n)} has {' by '.join(map(str, shape))}" for n, shape in lists.items())
        raise OutOfRange(
            f"The lists do not match one by one: {sizes}. Give lists of one length, or a single amount for all."
        ) from None


def take(name: str, kind: Kind, value: Any) -> Any:
    """The bare number (or array) of one argument, checked; for the few sums that cannot use `guarded`."""
    return _checked(name, kind, _convert(name, kind, value))


def without_name(name: str, refusal: ValueError) -> str:
    """What a refusal by `take` says, without the name of ours before it: where a box has a name of its own.

    >>> try:
    ...     take("sample_fresh", WEIGHT, Q(-1.0, "g"))
    ... except OutOfRange as refusal:
    ...     str(refusal)[:14], without_name("sample_fresh", refusal)[:4]
    ('sample fresh: ', '-1 g')
    """
    return str(refusal).removeprefix(f"{_named(name)}: ")


def give(number: Any, unit: str) -> Any:
    """A quantity from a bare result."""
    return Q(number, _unit(unit)._units)


def guarded(returns: str | None = None, /, **kinds: Kind) -> Callable[[Callable[_P, _R]], Guarded[_P, _R]]:
    """Put the guard before a sum. `returns` is the unit of the result; None hands the result on as it is.

    An argument whose default is None may be left out; its None reaches the sum unchanged.
    """

    def around(sum_: Callable[_P, _R]) -> Guarded[_P, _R]:
        signature = inspect.signature(sum_)
        unknown = set(kinds) - set(signature.parameters)
        if unknown:
            raise TypeError(f"{sum_.__name__} has no argument {sorted(unknown)}")
        names = [n for n, p in signature.parameters.items() if p.kind is not p.KEYWORD_ONLY]
        optional = {n for n, p in signature.parameters.items() if p.default is None}
        # A default that is a quantity is turned into its number once, here, and never again.
        ready = {
            n: take(n, kinds[n], p.default)
            for n, p in signature.parameters.items()
            if n in kinds and isinstance(p.default, ureg.Quantity)
        }

        @functools.wraps(sum_)
        def checked(*args: Any, **named: Any) -> Any:
            if len(args) > len(names) or not named.keys().isdisjoint(names[: len(args)]):
                signature.bind(*args, **named)  # raises Python's own sentence: too many, or one given twice
            given = dict(zip(names, args, strict=False)) | named
            result = cast(Callable[..., Any], sum_)(**ready | _taken(kinds, optional, given))
            if returns is None:
                return result
            # numpy hands single numbers back in types of its own; a person gets a plain float.
            return Q(float(result) if isinstance(result, np.generic) else result, _unit(returns)._units)

        vars(checked).update(plain=sum_, kinds=kinds, returns=returns)
        return cast(Guarded[_P, _R], checked)

    return around


def _taken(kinds: Mapping[str, Kind], optional: set[str], given: dict[str, Any]) -> dict[str, Any]:
    """What was given, as bare numbers where it has a kind."""
    bare = dict(given)
    lists = 0
    for name, value in given.items():
        kind = kinds.get(name)
        if kind is None or (value is None and name in optional):
            continue
        number = bare[name] = _checked(name, kind, _convert(name, kind, value))
        lists += type(number) is not float
    if lists > 1:
        match(kinds, bare)
    return bare
