"""Floor 4. From what a student typed to a number in the unit of the item, or to a plain word on why not."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from pint import DimensionalityError

from herbcalc import ethanol, units
from herbcalc.homework import wording
from herbcalc.homework.blueprint import Want
from herbcalc.units.registry import Q, ureg
from herbcalc.units.saying import number_in
from herbcalc.units.spelled import in_figures
from herbcalc.units.words import KINDS, UNITS, of
from herbcalc.units.words import words as words_for

LONGEST = 500  # characters; the same bound as for a typed text in a result file
_KINDS = tuple(kind for kind in KINDS if kind not in ("difference", "count"))  # those two read what others are
_KITCHEN = of("kitchen", "weight") + of("kitchen", "volume")
_DIGIT = r"[\d½⅓⅔¼¾⅛⅜⅝⅞]"
_HAS_DIGIT = re.compile(_DIGIT)
_BARE_NUMBER = re.compile(
    r"[+\-−]?\s*(?:\d[\d\s.,]*(?:[½⅓⅔¼¾⅛⅜⅝⅞]|\d\s*/\s*\d+)?|[.,]\d+|[½⅓⅔¼¾⅛⅜⅝⅞]|\d+\s*[/⁄]\s*\d+)"
)
_BARE_PERCENT = re.compile(r"[^a-z%]*%\s*\.?")
_PERCENT_WORD = re.compile(r"(?<![a-z])(?:per\s?cent|pct|prozent|por\s?ciento)(?![a-z])\.?")
_OF_WHAT = re.compile(r"%\s*(?:vol|v/v|abv|by\s+volume|by\s+weight|m/m|w/w|wb|water|of\b).*")
_OF_WEIGHT = re.compile(r"%\s*(?:by\s+weight|w/w|of\s+(?:the\s+|its\s+)?(?:fresh\s+|whole\s+)?weight)\W*$")
_FAHRENHEIT = re.compile(r"(?<![^\W\d_])f\b|degf\b|\df\b|fahrenheit")
_OUNCES = re.compile(r"(?<![a-z])(?:oz|ozs|ounces?|floz|unzen?|onzas?)(?![a-z])")
# What stands before the amount that counts: "x = 28.6 %", "so about 28.6 %". The last of them is taken.
_LEADS_IN = re.compile(
    r"=+>?|[≈→~]|->"
    r"|(?<![^\W_])(?:it['’]?s|is|are|so|about|around|roughly|approximately|approx|ca|circa|some|makes?|gives|equals"
    r"|at least|at most|(?:more|less) than|i get|i got|comes to|answer|result|ans)(?![^\W_])[.:]?"
)
_ENDS = " \t.,;:!?…\"“”„«»'*_"
_STARTS = _ENDS.replace(".", "").replace(",", "")  # ".5 g" is half a gram
_FACE = re.compile(r"(?<![^\s.!?])[:;]['’]?-?[)(dp](?!\S)")  # :-)
_NUMBERED = re.compile(r"^\(?(?:[a-h]|\d)\)\s+")  # "a) 425 g"
_REASON = re.compile(rf"(?<={_DIGIT})(.*?)[\s,;(]+(?:because|since|weil|porque)(?![^\W_]).*")
_ASIDE = re.compile(r"(?<=[\w%])\s?[(\[][^()\[\]]*[)\]]\W*$")
_IN_BRACKETS = re.compile(r"([(\[])\s*(?:about|approx\.?|ca\.?|or|[=~≈])\s*")
_BRACKETS = re.compile(r"[(\[][^()\[\]]*[)\]]")
TWINS = 0.08  # how far apart two ways of saying one amount may be: ounces are rounded
_EITHER = re.compile(rf"\s/\s|(?<=[a-z.%])/(?={_DIGIT})|\s/(?={_DIGIT})|(?<![a-z])or(?![a-z])|\s[-–—]\s")
_AND = re.compile(r"[,;]\s|(?<![^\W\d_])(?:and|und|y)(?![^\W_])")  # says it twice, or adds a second part
_OR_SO = re.compile(r"\s*(?:or so|or thereabouts|more or less|give or take)[\s.!?]*$")
_RATIO_UNIT = re.compile(r"^(1\s*:\s*[\d.,]+)\s*ml\s*/\s*g$")
_TO_ONE_GRAM = re.compile(r"(?<=ml) (?:to|for|per|on|je|auf|por|a) (?:(?:1|one|a|each|every) )?(?:g|grams?|gramm)\b")
_RATIO_IS = re.compile(r"^\s*x\s*(?:=|is|≈|~)\s*(?:about\s|~)?\s*(?=[\d.,]+\s*$)")  # the x of "1:x"
_CLOCK = re.compile(
    r"(\d{1,3})(?::(?=\d\d)|\s?(?:h|hrs?|std\.?|hours?)\s?)([0-5]?\d)\s?(?:h|hrs?|hours?|m|mins?|minutes?)?"
)
_TURNED = re.compile(r"(\d{1,6}(?:[.,]\d{1,6})?)\s*(?::|to|zu)\s*1")
_CELSIUS = re.compile(r"(?<=\d)\s*c$")
_OF_HUNDRED = re.compile(r"\s*(?:/|(?:out )?of (?:every |each )?|in every |von |de (?:cada )?)\s*100$")
# Words that change the amount beside them; with one of these a text is more than an amount and its name.
_ARITHMETIC = frozenset(
    (
        *("times", "x", "plus", "minus", "less", "more", "or", "and", "half", "twice", "double", "triple", "third"),
        *("per", "each", "every", "not", "without"),
    )
)
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_ORDINAL = re.compile(rf"\b(?:{'|'.join(_ORDINALS)})\b")  # of days: "on the eighth"
_MOST_PARTS, _MOST_WORDS = 4, 16  # how much of a long text is looked through: a page of figures is no answer


@dataclass(frozen=True)
class Reading:
    """What was understood.

    `state` is "number" (read; `number` is in the unit of the item), "bare" (a number without its unit), "other"
    (an amount of another kind, its bare `number` as typed), "turned" (a ratio with its herb behind, `number` being
    what stood first) or "unread"; `unit` is the unit as typed, `percent` says that a "%" stood there without a word
    on what it is of, `why` is the refusal in words, `said` what was understood, in words; `ounces` and `kitchen` say
    that ounces, or any kitchen measure, were typed.
    """

    state: str
    number: float = float("nan")
    unit: str = ""
    percent: bool = False
    why: str = ""
    said: str = ""
    ounces: bool = False

    @property
    def kitchen(self) -> bool:
        return self.unit in _KITCHEN


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
    return _from_quantity(typed, want) if isinstance(typed, ureg.Quantity) else _read(as_text(typed), want)


@lru_cache(maxsize=4096)  # a class types the same again and again
def _read(typed: str, want: Want) -> Reading:
    whole = " = ".join(line for line in typed.splitlines() if line.strip())
    if len(whole) > LONGEST:
        return Reading("unread", why=f"That is longer than {LONGEST} characters. A number with its unit is enough.")
    text = _PERCENT_WORD.sub("%", " ".join(_without_pictures(whole).split()).casefold())
    if not text:
        return Reading("unread", why="Nothing stands there yet. Type a number with its unit.")
    if want.said == "1:x":
        text = _RATIO_IS.sub("1:", text)
    first = None
    for segment in _segments(text, want):
        found = _segment(segment, want)
        if found.state != "unread":
            return replace(found, ounces=True) if _OUNCES.search(text) else found
        first = first or found
    if not _HAS_DIGIT.search(text):
        return _amount(text, want)  # refused in the words that were typed, not in the figures they were read as
    return first or Reading("unread", why=_unread(text))


def _without_pictures(text: str) -> str:
    """The text without ticks and emoji; a degree sign is one of them by its class, and stays."""
    if text.isascii():
        return text
    return "".join(
        " " if ord(letter) >= 0x1F000 or letter in "\ufe0f\u200d√" else letter
        for letter in text
        if letter in "°℃℉º" or unicodedata.category(letter) != "So"
    )


def _segments(text: str, want: Want) -> list[str]:
    """The parts of a text between its "=", "it is", "so" and "about" that hold a figure, the last of them first."""
    text = _OR_SO.sub("", _IN_BRACKETS.sub(r"\1", _REASON.sub(r"\1", _FACE.sub("", text))))
    parts = [part for part in _LEADS_IN.split(text) if _HAS_DIGIT.search(part) and not _only_unit(part, want)]
    return parts[: -_MOST_PARTS - 1 : -1] or [text]


def _only_unit(part: str, want: Want) -> bool:
    """Whether a part holds nothing but what is taken off: the "1 mL" of "38 drops = 1 mL"."""
    return bool(want.drop) and not re.sub(want.drop, "", part).strip()


def _segment(text: str, want: Want) -> Reading:
    """One amount, with what a person may write around it."""
    text = _NUMBERED.sub("", text.strip()).rstrip(_ENDS).lstrip(_STARTS)
    wrapped = _BRACKETS.fullmatch(text)
    plain = _plainer(text[1:-1].strip() if wrapped else text, want)
    twins = _twins(plain)
    one = _agreeing(twins, want) if twins else None
    if one is None and (parts := _twins(plain, _AND)):
        one = _agreeing(parts, want, may_add=True)
    if one is not None and one.state == "number":
        return one  # before it is read as one amount: "425 g, 15 oz" is no sum
    found = _amount(plain, want)
    if found.state != "unread":
        return found
    aside = _BRACKETS.search(plain) is not None
    if aside and not twins:
        named = _amount(re.sub(r"[()\[\]]", " ", plain), want)  # "222 (g)", "(222) g"
        if named.state == "number":
            return named
    if one is not None and not aside:
        return one
    return _without_words(_ASIDE.sub("", plain), found, want)


def _twins(text: str, between: re.Pattern[str] = _EITHER) -> list[str]:
    """The two or three amounts of "425 g / 15 oz" or "425 g (15 oz)"; none where there is one amount."""
    outside = _BRACKETS.sub(" ", text).strip()
    inside = [part[1:-1] for part in _BRACKETS.findall(text)]
    parts = [outside, *inside] if inside else between.split(text)
    return parts if 2 <= len(parts) <= 3 and all(_HAS_DIGIT.search(part) for part in parts) else []


def _agreeing(parts: list[str], want: Want, may_add: bool = False) -> Reading | None:
    """One amount said twice, taken in the metric words where there are some; two that differ are two, and it is not
    for us to choose. Where they may add up to one, as "1 lb, 15 oz" does, None stands for two that do not agree."""
    read_as = [_without_words(part, None, want) for part in parts]
    if may_add and (all(found.kitchen for found in read_as) or any(found.state != "number" for found in read_as)):
        return None
    for found in read_as:
        if found.state != "number":
            return found
    first, most = read_as[0], max(abs(found.number) for found in read_as)
    for found in read_as[1:]:
        if abs(found.number - first.number) > TWINS * most:
            if may_add:
                return None
            why = f"There are two amounts, {first.said} and {found.said}, and they are not the same. Type one."
            return Reading("unread", why=why)
    return next((found for found in read_as if not found.kitchen), first)


def _without_words(text: str, refused: Reading | None, want: Want) -> Reading:
    """The amount once the words before and behind it are left out, one by one: "222 g of dried herb"."""
    found = _amount(text, want)
    first = refused or found
    words = text.split()
    for _ in range(_MOST_WORDS):
        if found.state != "unread":
            break
        if len(words) > 1 and _is_plain_word(words[-1].strip(_ENDS)):
            words.pop()
        elif len(words) > 1 and _is_plain_word(words[0].strip(_ENDS)):
            words.pop(0)
        else:
            break
        found = _amount(" ".join(words), want)
    # "12 furlongs" is refused for its unit, and is no 12 without one.
    return first if found.state in ("unread", "bare") and found is not refused else found


@lru_cache(maxsize=4096)
def _is_plain_word(word: str) -> bool:
    """Whether a word is a word, and neither a unit nor one that does sums."""
    if word in _ARITHMETIC or not re.fullmatch(r"[^\W\d_]+(?:['’-][^\W\d_]+)*", word):
        return False
    try:
        units.amount(f"1 {word}")
    except ValueError:
        return True
    return False


def _plainer(text: str, want: Want) -> str:
    """The text in the words that are read for this item."""
    if "count" in want.kinds and "time" in want.kinds:
        text = _ORDINAL.sub(lambda found: str(_ORDINALS.index(found.group()) + 1), text)
    if not _HAS_DIGIT.search(text):
        text = in_figures(text, counting="count" in want.kinds)
    if "ratio" in want.kinds:
        text = _TO_ONE_GRAM.sub(" per g", _RATIO_UNIT.sub(r"\1", text))
    if want.unit == "percent_wb":
        text = _OF_WEIGHT.sub("% water", text)  # a moisture is a share of the weight
    if want.drop:
        text = " ".join(re.sub(want.drop, want.instead, text).split()) or text
    if "share" in want.kinds:
        found = _OF_WHAT.search(text)
        text = text[: found.start()] + "%" if found else text
    if "share" in want.kinds or "moisture" in want.kinds:
        text = _OF_HUNDRED.sub(" %", text)
    if "temperature" in want.kinds or "difference" in want.kinds:
        text = _CELSIUS.sub(" °c", text)  # no cup is asked for here
    if "time" in want.kinds and (clock := _CLOCK.fullmatch(text)):
        text = f"{clock.group(1)} h {clock.group(2)} min"
    return text


def _amount(text: str, want: Want) -> Reading:
    """A text that is an amount and nothing else, read as one of the wanted kinds, else as any other."""
    text = text.strip().rstrip(_ENDS)
    bare_counts = any(kind in ("share", "count", "money") for kind in want.kinds)
    if not bare_counts and _BARE_NUMBER.fullmatch(text):
        number = _plain(text)
        if number is None:
            return Reading("unread", why=_unread(text))
        return Reading("bare", number, said=f"{_figure(number)}, without a unit")
    if "ratio" in want.kinds and (turned := _TURNED.fullmatch(text)) and (first := _plain(turned.group(1))) != 1:
        return Reading("turned", first or 0.0, said=text)
    refusal = ""
    for kind in want.kinds:
        if kind == "count" and not _BARE_NUMBER.fullmatch(text):
            continue  # a count of anything at all would be read, and a count of days or drops is wanted
        try:
            quantity = units.amount(text, kind)
        except ValueError as no:
            refusal = refusal or str(no)
            continue
        number = _in_unit(quantity, want)
        if number is not None:
            percent = kind in ("strength", "moisture") and _BARE_PERCENT.fullmatch(text) is not None
            unit = "%" if kind == "share" and "%" in text else _unit_typed(quantity, text)
            return Reading("number", number, unit, percent, said=_said(quantity, kind, unit, number, text, want))
    return _of_other_kind(text, want, refusal)


def _of_other_kind(text: str, want: Want, refusal: str) -> Reading:
    for kind in _KINDS:
        if kind in want.kinds:
            continue
        try:
            quantity = units.amount(text, kind)
        except ValueError:
            continue
        unit = _name(quantity._units)
        shown = "%" if kind == "share" and "%" in text else unit
        said = _said(quantity, kind, shown, float("nan"), text, want)
        return Reading("other", float(quantity.magnitude), unit, why=refusal, said=said)
    return Reading("unread", why=refusal or _unread(text))


def _said(quantity: Any, kind: str, unit: str, number: float, text: str, want: Want) -> str:
    """What was understood, in the unit typed, and in the unit of the item where that is another."""
    size = float(quantity.magnitude)
    if "proof" in text and kind == "strength":
        return f"{_figure(2 * size)} proof ({wording.three(size)} % vol)"
    if kind == "ratio":
        return wording.one_to(size) if want.said == "1:x" else f"{_figure(size)} mL for each g"
    if kind == "money":
        return f"${size:.2f}" if 1 <= abs(size) < 1e9 else f"${_figure(size)}"
    if kind == "difference" and unit == "degF":
        return f"{_figure(size * 9 / 5)} °F"
    if unit == "%":
        return f"{_figure(100 * size)} %"
    if kind in ("count", "share"):
        return f"{_figure(size)} {want.said if kind == 'count' else ''}".strip()
    if kind == "moisture" and want.said == "%":
        return f"{_figure(size)} points"
    here = _with_words(size, unit)
    if unit == want.unit or not math.isfinite(number) or want.only or want.said not in ("g", "mL", "% vol", "h"):
        return here
    return f"{here} ({wording.three(number)} {words_for(want.unit, number)})"


def _with_words(number: float, unit: str) -> str:
    """A number and the words of its unit; what the table of units does not know is said as it was typed."""
    unit = unit.replace(" ", "")
    return f"{_figure(number)} {words_for(unit, number) if unit in UNITS else unit.replace('_', ' ')}".strip()


def _figure(number: float) -> str:
    return wording.exact(float(f"{number:.6g}")) if abs(number) < 1e9 else f"{number:.3g}"


def _from_quantity(quantity: Any, want: Want) -> Reading:
    """An amount handed over as code, such as Q(222, "g")."""
    try:
        bare = float(quantity.magnitude)
    except (TypeError, ValueError):
        return Reading("unread", why="One amount at a time, please: a number with its unit.")
    number = _in_unit(quantity, want)
    unit = f"{quantity.units}"
    said = _with_words(bare, unit)
    if number is None:
        return Reading("other", bare, unit, said=said)
    return Reading("number", number, unit, said=said, ounces=unit in ("oz", "fl_oz"))


@lru_cache(maxsize=256)
def _name(units: Any) -> str:
    """The registry's name of a unit; pint takes its time to spell one."""
    return f"{ureg.Unit(units)}"


def _unit_typed(quantity: Any, low: str) -> str:
    name = _name(quantity._units)
    if "deg" not in name:
        return name
    # A span is handed over in °C whatever was typed; the text tells which scale that was.
    plainer = unicodedata.normalize("NFKC", low.replace("º", "°")).casefold()
    return "degF" if _FAHRENHEIT.search(plainer) else name


@lru_cache(maxsize=256)
def _is_a(units: Any, other: str) -> bool:
    """Whether two units measure the same kind of thing."""
    return bool(ureg.Unit(units).is_compatible_with(other))


def _in_unit(quantity: Any, want: Want) -> float | None:
    """The number in the unit of the item, or None where the amount is of another kind (or is beyond any scale)."""
    try:
        if want.unit == "percent_vol" and _is_a(quantity._units, "percent_mass"):
            quantity = ethanol.to_volume(quantity)
        elif want.unit == "percent_wb" and _is_a(quantity._units, "percent_db"):
            dry = float(quantity.to("percent_db").magnitude)
            quantity = Q(100.0 * dry / (100.0 + dry), "percent_wb") if dry > -100 else quantity
        if want.unit == "mL" and _is_a(quantity._units, "mL/g"):
            return number_in(quantity, "mL/g")
        if want.unit == "mL/g" and "volume" in want.kinds and _is_a(quantity._units, "mL"):
            return number_in(quantity, "mL")
        if "deg" in want.unit:  # a thermometer has an offset
            return float(quantity.to(want.unit).magnitude) * want.scale
        return number_in(quantity, want.unit or "dimensionless") * want.scale
    except (DimensionalityError, ValueError, OverflowError):
        return None


def _plain(text: str) -> float | None:
    try:
        return float(units.amount(text, "count").magnitude)
    except ValueError:
        return None


def _unread(text: str) -> str:
    return f"{quoted(text)} could not be read as an amount. A number and its unit would work, such as 200 g or 7 oz."
