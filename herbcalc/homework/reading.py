"""Floor 4. From what a student typed to a number in the unit of the item, or to a plain word on why not."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from pint import DimensionalityError

from herbcalc import ethanol, units
from herbcalc.homework.blueprint import Want
from herbcalc.units.registry import Q, ureg

LONGEST = 500  # characters; the same bound as for a typed text in a result file
_KINDS = ("weight", "volume", "strength", "moisture", "ratio", "temperature", "time", "share", "money")
_BARE_NUMBER = re.compile(
    r"[+\-−]?\s*(?:\d[\d\s.,]*(?:[½⅓⅔¼¾⅛⅜⅝⅞]|\d\s*/\s*\d+)?|[.,]\d+|[½⅓⅔¼¾⅛⅜⅝⅞]|\d+\s*[/⁄]\s*\d+)"
)
_BARE_PERCENT = re.compile(r"[^a-z%]*(?:%|per\s?cent)\s*\.?")
_OF_WHAT = re.compile(r"(?:%|per\s?cent)\s*(?:vol|v/v|abv|by\s+volume|by\s+weight|m/m|w/w|wb|water|of\b).*")
_OF_WEIGHT = re.compile(
    r"(?:%|per\s?cent)\s*(?:by\s+weight|w/w|of\s+(?:the\s+|its\s+)?(?:fresh\s+|whole\s+)?weight)\W*$"
)
_FAHRENHEIT = re.compile(r"(?<![^\W\d_])f\b|degf\b|\df\b|fahrenheit")
_BOUND = re.compile(r"(?:at (?:least|most)|about|around|roughly|some|ca\.?|circa)\s+")
_TWIN = re.compile(r"(?<=\w)\s*\((?:about\s+)?[\d½⅓⅔¼¾⅛⅜⅝⅞][^()]*\)\W*$")


@dataclass(frozen=True)
class Reading:
    """What was understood.

    `state` is "number" (read; `number` is in the unit of the item), "bare" (a number without its unit), "other"
    (an amount of another kind, its bare `number` as typed) or "unread"; `unit` is the unit as typed, `percent` says
    that a "%" stood there without a word on what it is of, `why` is the refusal in words.
    """

    state: str
    number: float = float("nan")
    unit: str = ""
    percent: bool = False
    why: str = ""


def quoted(text: str) -> str:
    """At most 60 characters of what was typed, on one line, for a message.

    >>> quoted("two  cups")
    '"two cups"'
    """
    line = " ".join(text[:200].split())
    shown = line if len(line) <= 60 else line[:59] + "…"
    return '"' + "".join(letter if letter.isprintable() else "?" for letter in shown) + '"'


def as_text(typed: Any) -> str:
    """What was handed to `.check` as text; a number or an amount written as code is turned into its words."""
    if isinstance(typed, str):
        return typed
    if isinstance(typed, ureg.Quantity):
        try:
            return f"{float(typed.magnitude):.12g} {typed.units}"
        except (TypeError, ValueError):
            return ""
    if isinstance(typed, (int, float)) and not isinstance(typed, bool):
        try:
            return f"{typed:.12g}"
        except OverflowError:  # a whole number with more digits than a float can hold
            return ""
    return ""


def read(typed: Any, want: Want) -> Reading:
    """Read what was typed as an amount of the wanted kind. Never raises for text.

    >>> from herbcalc.homework.blueprint import WEIGHT
    >>> read("0.2 kg", WEIGHT).number, read("200", WEIGHT).state, read("200 mL", WEIGHT).state
    (200.0, 'bare', 'other')
    """
    if isinstance(typed, ureg.Quantity):
        return _from_quantity(typed, want)
    whole = as_text(typed)
    if len(whole) > LONGEST:
        return Reading("unread", why=f"That is longer than {LONGEST} characters. A number with its unit is enough.")
    text = " ".join(whole.split())
    if not text:
        return Reading("unread", why="Nothing stands there yet. Type a number with its unit.")
    low = text.casefold()
    # "at least 1:3.2" and "143 g (5 oz)" are read by their first number, as our own texts are.
    plainer = _TWIN.sub("", _BOUND.sub("", low) if _BOUND.match(low) else low)
    if plainer != low:
        low = text = plainer
    if want.unit == "percent_wb":
        low = text = _OF_WEIGHT.sub("% water", low)  # a moisture is a share of the weight
    if want.drop:
        low = re.sub(want.drop, want.instead, low).strip() or low
        text = low
    bare_counts = any(kind in ("share", "count", "money") for kind in want.kinds)
    if not bare_counts and _BARE_NUMBER.fullmatch(low):
        number = _plain(low)
        return Reading("bare", number) if number is not None else Reading("unread", why=_unread(text))
    if "share" in want.kinds:
        found = _OF_WHAT.search(low)
        text = low[: found.start()] + "%" if found else low.replace("per cent", "%").replace("percent", "%")
    refusal = ""
    for kind in want.kinds:
        if kind == "count" and not _BARE_NUMBER.fullmatch(low):
            continue  # a count of anything at all would be read, and a count of days or drops is wanted
        try:
            quantity = units.amount(text, kind)
        except ValueError as no:
            refusal = refusal or str(no)
            continue
        number = _in_unit(quantity, want)
        if number is not None:
            percent = kind in ("strength", "moisture") and _BARE_PERCENT.fullmatch(low) is not None
            unit = "%" if kind == "share" and "%" in text else _unit_typed(quantity, low)
            return Reading("number", number, unit, percent)
    for kind in _KINDS:
        if kind in want.kinds:
            continue
        try:
            quantity = units.amount(text, kind)
        except ValueError:
            continue
        return Reading("other", float(quantity.magnitude), _name(quantity.units), why=refusal)
    return Reading("unread", why=refusal or _unread(text))


def _from_quantity(quantity: Any, want: Want) -> Reading:
    """An amount handed over as code, such as Q(222, "g")."""
    try:
        bare = float(quantity.magnitude)
    except (TypeError, ValueError):
        return Reading("unread", why="One amount at a time, please: a number with its unit.")
    number = _in_unit(quantity, want)
    if number is None:
        return Reading("other", bare, f"{quantity.units}")
    return Reading("number", number, f"{quantity.units}")


@lru_cache(maxsize=256)
def _name(unit: Any) -> str:
    """The registry's name of a unit; pint takes its time to spell one."""
    return f"{unit}"


def _unit_typed(quantity: Any, low: str) -> str:
    name = _name(quantity.units)
    # A span is handed over in °C whatever was typed; the text tells which scale that was.
    plainer = unicodedata.normalize("NFKC", low.replace("º", "°")).casefold()
    return "degF" if "deg" in name and _FAHRENHEIT.search(plainer) else name


def _in_unit(quantity: Any, want: Want) -> float | None:
    """The number in the unit of the item, or None where the amount is of another kind (or is beyond any scale)."""
    try:
        if want.unit == "percent_vol" and quantity.is_compatible_with("percent_mass"):
            quantity = ethanol.to_volume(quantity)
        elif want.unit == "percent_wb" and quantity.is_compatible_with("percent_db"):
            dry = float(quantity.to("percent_db").magnitude)
            quantity = Q(100.0 * dry / (100.0 + dry), "percent_wb") if dry > -100 else quantity
        if want.unit == "mL" and quantity.is_compatible_with("mL/g"):
            return float(quantity.to("mL/g").magnitude)
        if want.unit == "mL/g" and "volume" in want.kinds and quantity.is_compatible_with("mL"):
            return float(quantity.to("mL").magnitude)
        unit = want.unit or "dimensionless"
        return float(quantity.to(unit).magnitude) * want.scale
    except (DimensionalityError, ValueError, OverflowError):
        return None


def _plain(text: str) -> float | None:
    try:
        return float(units.amount(text, "count").magnitude)
    except ValueError:
        return None


def _unread(text: str) -> str:
    return f"{quoted(text)} could not be read as an amount. A number and its unit would work, such as 200 g or 7 oz."
