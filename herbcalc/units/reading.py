"""Floor 0. What a person types, read: `amount("1 1/2 cups")`.

A small grammar of our own. It goes through the text once, from left to right: a number, then letters up to the next
number. It never hands text to a general parser, so no text can run, hang or blow up: a long text is refused
before it is looked at, and every pattern here is a plain walk.

It reads and does not judge: "-6.7 °C" and "151 % vol" pass, and the sums refuse what makes no sense to them.
"""

from __future__ import annotations

import math
import re
import unicodedata
from functools import lru_cache
from typing import Any

from herbcalc.units.constants import FL_OZ_PER_OZ
from herbcalc.units.refusals import OutOfRange, WrongUnit, quoted
from herbcalc.units.registry import Q
from herbcalc.units.saying import said
from herbcalc.units.spelled import in_figures
from herbcalc.units.spellings import (
    CASED,
    IMPERIAL,
    MONEY_SIGNS,
    MONEY_WORDS,
    PERCENTS,
    PUZZLES,
    SPELLINGS,
    TIMES,
)
from herbcalc.units.words import KIND_OF, KINDS

LONGEST = 100  # characters; no amount needs more
SHORTEST_THING = 3  # letters; what is shorter is the sign of a unit ("5 cm"), not a thing to count

_VULGAR = {c: unicodedata.normalize("NFKC", c).replace("\u2044", "/") for c in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞↉"}
_SAME = {"−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "º": "°", "˚": "°", "∶": ":", "×": "x", "’": "'", "⁄": "/"}
_LEAD = re.compile(r"(?:(?:about|around|approximately|approx\.?|=|~|≈) ?){1,2}")
_SPAN = re.compile(r"an? (?:span|difference) of ", re.IGNORECASE)

_FRACTION = re.compile(r"(?:(\d{1,15})(?: |-| ?\+ ?| and ))?(\d{1,15}) ?/ ?(\d{1,15})(?![\d.,]*\d)")
_SPACED = re.compile(r"\d{1,3}(?: \d{3})+(?! ?[\d/]|[.,]\d)")
_FIGURES = re.compile(r"\d(?:[\d.,']*\d)?|[.,]\d+")
_POWER = re.compile(r"[eE]([+-]?\d+)(?![\d.,]|[^\W\d])| ?[x*] ?10 ?\^ ?([+-]?\d+)")
_NEXT = re.compile(r"[.,]?\d")
_THOUSANDS_COMMA = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?")
_THOUSANDS_DOT = re.compile(r"[1-9]\d{0,2}(?:\.\d{3})+,\d+|[1-9]\d{0,2}(?:\.\d{3}){2,}")
_THOUSANDS_TICK = re.compile(r"[1-9]\d{0,2}(?:'\d{3})+(?:[.,]\d+)?")
_PERCENT = re.compile(r"(?:%|percent\b|per cent\b|pct\b|prozent\b|por ciento\b) ?(.*)")
_ASIDE = re.compile(r" ?\([^()]*\)$")
_ONE_TO = re.compile(r" ?: ?| to | zu |(?<=\d) a (?=\d)")
_FOR_EACH = re.compile(r" ?/ ?| per | pro | por | for each | for every | to each ")


def amount(text: Any, kind: str | None = None) -> Any:
    """The quantity that a person typed.

    text  what was typed, at most 100 characters: "1 1/2 cups", "½ oz", "2 lb 4 oz" (adds), "80 proof", "40 % vol",
          "85 °F", "1:5", "1,5 kg", "8 fl. oz.", "750ml". One comma before exactly three digits marks thousands,
          unless the number begins with 0; any other single comma is the decimal point. Numbers in words, halves,
          thirds, quarters and eighths are read: "half a pint", "two and a half cups", "a week". Unit words may be
          German or Spanish
    kind  what is wanted: "weight", "volume", "strength", "moisture", "ratio", "temperature", "difference", "share",
          "time", "count" (of anything: "80 leaves", "5 jars") or "money"; None takes what the text says

    Result: a quantity in the unit typed, of any sign and finite size. A ratio is in mL/g ("3:1" too is read as it
    stands; `turned_round` says what to tell about it), a difference in
    delta_degC; a share, a count and money are plain. With a kind a bare "%" is read: strength as percent_vol (as is
    proof), moisture as percent_wb, share as a plain number.
    Refuses: what cannot be read, or is of another kind (WrongUnit); a number too large to hold (OutOfRange).

    >>> f"{amount('2 lb 4 oz'):~P}", f"{amount('1 : 5'):~P}", amount("80 %", "share").magnitude
    ('2.25 lb', '5.0 mL/g', 0.8)
    >>> amount("4 oz", "volume")
    Traceback (most recent call last):
    herbcalc.units.refusals.WrongUnit: "4 oz" is a weight: ounces (oz) are what a scale shows. A volume is wanted \
here, and a jug shows fluid ounces (fl oz). Type "4 fl oz" if you measured it in a jug.
    """
    if kind is not None and (not isinstance(kind, str) or kind not in KINDS):
        raise WrongUnit(f"There is no kind of amount called {quoted(kind)}. The kinds are: {', '.join(KINDS)}.")
    if not isinstance(text, str):
        raise WrongUnit(f"Something other than text was given. Type an amount between quotes, {_such_as(kind)}.")
    if len(text) > LONGEST:
        raise WrongUnit(
            f"{quoted(text)} is {len(text):,} characters long, and an amount is short. Type one, {_such_as(kind)}."
        )
    return _Reader(text, kind).read()


def turned_round(text: Any) -> str:
    """What to tell a person who typed a ratio with the herb's number larger than the liquid's, or "".

    text  what was typed; `amount` reads it as it stands, for there are such extracts, but few people mean one

    >>> turned_round("3:1")
    '"3:1" reads as 3 of herb to 1 of liquid, which is 1:0.333. If you mean 3 mL to each gram \
(2.88 fl oz to each oz), type "1:3".'
    >>> turned_round("1:3"), turned_round("3 mL/g")
    ('', '')
    """
    if not isinstance(text, str) or len(text) > LONGEST:
        return ""
    reader = _Reader(text, "ratio")
    try:
        reader.read()
    except (WrongUnit, OutOfRange):
        return ""
    herb, liquid = reader.parts_of_ratio
    if not herb > liquid > 0:
        return ""
    meant = herb / liquid
    return (
        f"{reader.quote} reads as {said(herb, '')} of herb to {said(liquid, '')} of liquid, which is "
        f"{said(liquid / herb, 'mL/g')}. If you mean {said(meant, '')} mL to each gram "
        f'({said(meant * FL_OZ_PER_OZ, "")} fl oz to each oz), type "{said(meant, "mL/g")}".'
    )


def _such_as(kind: str | None) -> str:
    return f"such as {KINDS[kind][1] if kind else '100 g, 8 fl oz, 40 % vol or 1:5'}"


def _plain(text: str) -> str:
    """One spelling for each sign: vulgar fractions as n/d, one minus, plain digits, single spaces."""
    if not text.isascii():
        text = _in_plain_signs(text)
    return " ".join(text.replace("cm3", "cc").replace("cm^3", "cc").strip(" \"'“”").split())


def _in_plain_signs(text: str) -> str:
    """The signs that have a plain twin, in it."""
    if any(unicodedata.decomposition(c).startswith(("<super>", "<sub>")) for c in text if c not in _SAME):
        text = text.replace("cm³", "cc").replace("²", "^").replace("³", "^")  # raised digits are left unread
        text = "".join("^" if unicodedata.decomposition(c).startswith(("<super>", "<sub>")) else c for c in text)
    text = "".join(f" {_VULGAR[c]}" if c in _VULGAR else _SAME.get(c, c) for c in text)
    text = unicodedata.normalize("NFKC", text)
    text = "".join(_SAME.get(c, c) if c.isascii() or not c.isdecimal() else str(int(c)) for c in text)
    return "".join(c for c in text if unicodedata.category(c) != "Cf")  # marks without a shape, from a web page


@lru_cache(maxsize=256)  # homework reads one text as an amount of this kind and of that
def _taken_up(text: str) -> tuple[str, str]:
    """A text as it is quoted, and in one spelling."""
    return quoted(text), _plain(text)


class _Reader:
    """One reading of one text."""

    def __init__(self, text: str, kind: str | None) -> None:
        self.quote, self.text = _taken_up(text)
        self.kind = kind
        self.parts_of_ratio = (0.0, 0.0)  # herb and liquid, where both were bare numbers

    def read(self) -> Any:
        text = self.text
        lead = _LEAD.match(text)
        text = text[lead.end() :] if lead else text
        if self.kind == "difference":
            text = _SPAN.sub("", text, count=1)
        sign, money, text = self.signs(text)
        text = in_figures(text, counting=self.kind == "count")
        if not text:
            raise self.refusal("there is no amount there.")
        sides = _ONE_TO.split(text)
        if len(sides) > 1 and not money:
            return self.wanted(sign * self.ratio(sides), "mL/g", "ratio")
        parts = self.parts(text)
        if money or self.kind == "money" or (parts[0][1] and parts[0][1] in MONEY_SIGNS):
            return self.money(sign, money, parts)
        if len(parts) > 1:
            return self.added(sign, parts)
        number, word = parts[0]
        number *= sign
        if not word.strip(" .,;!"):
            return self.bare(number)
        if self.kind == "count" and self.is_thing(word):
            return Q(number, "")
        unit, factor = self.unit(word)
        return self.wanted(self.whole(number * factor), unit, KIND_OF[unit])

    def signs(self, text: str) -> tuple[float, str, str]:
        """The sign of the number, a sign of money, and what follows: "-$5" and "$-5"."""
        money = signed = ""
        for _ in range(2):
            if not signed and text[:1] in ("-", "+"):
                signed, text = text[0], text[1:].lstrip()
            if not money and text[:1] and text[0] in MONEY_SIGNS:
                money, text = text[0], text[1:].lstrip()
        return -1.0 if signed == "-" else 1.0, money, text

    # numbers

    def parts(self, text: str) -> list[tuple[float, str]]:
        """The numbers in the text, each with the letters up to the next number."""
        found: list[tuple[float, str]] = []
        at = 0
        while at < len(text):
            number, at = self.number(text, at)
            following = _NEXT.search(text, at)
            end = following.start() if following else len(text)
            found.append((number, text[at:end].strip()))
            at = end
            if len(found) > 4:
                raise self.refusal("there are more numbers than one amount needs.")
        return found

    def number(self, text: str, at: int) -> tuple[float, int]:
        fraction = _FRACTION.match(text, at)
        if fraction:
            whole, over, under = (int(g) if g else 0 for g in fraction.groups())
            if under == 0:
                raise self.refusal("a fraction over 0 has no size.")
            if fraction.group(1) and over >= under:
                raise self.refusal("after a whole number a fraction stays below 1, as in 1 1/2.")
            return whole + over / under, fraction.end()
        figures = _SPACED.match(text, at) or _FIGURES.match(text, at)
        if not figures:
            raise self.refusal("it should start with a number in figures.")
        value, end = self.figures(figures.group().replace(" ", "")), figures.end()
        power = _POWER.match(text, end)
        if power:
            digits = power.group(1) or power.group(2)
            tens = int(digits) if len(digits) <= 5 else 99999 if digits[0] != "-" else -99999
            # Python reads the digits and the power in one go, so that 1e-3 is exactly 0.001.
            value, end = value if value == "0" else f"{value}e{tens}", power.end()
        return self.whole(float(value)), end

    def figures(self, text: str) -> str:
        """Digits with a decimal point, from the ways people and countries write them."""
        marks = text.count(".") + text.count(",") + text.count("'")
        if _THOUSANDS_COMMA.fullmatch(text):
            return text.replace(",", "")
        if marks <= 1 and "'" not in text:
            return text.replace(",", ".")
        if _THOUSANDS_DOT.fullmatch(text):
            return text.replace(".", "").replace(",", ".")
        if _THOUSANDS_TICK.fullmatch(text):
            return text.replace("'", "").replace(",", ".")
        raise self.refusal("its dots and commas can be read in more than one way. Write 1250.5 or 1,250.5.")

    def whole(self, number: float) -> float:
        if not math.isfinite(number):
            raise OutOfRange(f"{self.quote} is larger than can be worked with. Type one {_such_as(self.kind)}.")
        return number

    # units

    def unit(self, word: str) -> tuple[str, float]:
        """The unit that letters stand for, and how many of it; else a refusal with the reason."""
        if word.rstrip(".") in CASED:
            raise self.refusal(CASED[word.rstrip(".")])
        low = " ".join(word.casefold().replace(".", " ").replace("_", " ").split()).rstrip(" ,;!")
        low = re.sub(r"^(?:of )?an? ", "", low)  # "1/3 of a cup", "1/2 a pint"
        if low in SPELLINGS:
            return SPELLINGS[low]
        percent = _PERCENT.fullmatch(low)
        if percent:
            return self.percent(percent.group(1).replace("(", "").replace(")", "").strip())
        if low in PUZZLES:
            raise self.refusal(PUZZLES[low])
        if any(w in IMPERIAL for w in low.split()):
            raise self.refusal(PUZZLES["imperial"])
        over = [SPELLINGS.get(side.split(" of ")[0].strip(), ("", 1.0)) for side in _FOR_EACH.split(low)]
        if len(over) == 1 and over[0][0]:
            return over[0]  # "1 cup of water"
        if len(over) == 2:
            volume, weight = over
            if KIND_OF.get(volume[0]) == "volume" and KIND_OF.get(weight[0]) == "weight":
                return "mL/g", _times(volume, "mL") / _times(weight, "g")
        if low.strip("- ") in ("", "or", "and"):
            raise self.refusal("there seem to be two amounts. Type one.")
        raise self.refusal(f"{quoted(word, 20)} is not a unit known here.")

    def percent(self, of: str) -> tuple[str, float]:
        if of in PERCENTS:
            return PERCENTS[of], 1.0
        if of in PUZZLES:
            raise self.refusal(PUZZLES[of])
        if of == "" and self.kind == "share":
            return "", 0.01
        if of in ("", "alcohol") and self.kind == "strength":
            return "percent_vol", 1.0
        if of == "" and self.kind == "moisture":
            return "percent_wb", 1.0
        if of:
            raise self.refusal(f"a percent of {quoted(of, 20)} is not known here. {_PERCENT_KINDS}")
        if self.kind:
            raise self.refusal("it is a percentage.")
        raise WrongUnit(f"{self.quote}: that is a percentage, and it does not say of what. {_PERCENT_KINDS}")

    def is_thing(self, word: str) -> bool:
        """Whether letters after a count name things to count (plants), not a unit."""
        low = _ASIDE.sub("", word.casefold()).rstrip(" .,;!?")  # "12 plants (lemon balm)!"
        if not low or low.split()[0] in TIMES or _PERCENT.fullmatch(low):
            return False
        if low.isascii() and len(low) < SHORTEST_THING:
            return False
        return low not in SPELLINGS and low not in CASED and re.sub("[ '-]", "", low).isalpha()

    # what the text amounts to

    def bare(self, number: float) -> Any:
        if self.kind in ("share", "count"):
            return Q(number, "")
        if self.kind:
            raise self.refusal("it is a number without a unit.")
        raise WrongUnit(
            f"{self.quote} is a number without a unit. Of what? 350 g is a weight, 350 mL a volume, 350 °F a heat: "
            f"type the unit too."
        )

    def added(self, sign: float, parts: list[tuple[float, str]]) -> Any:
        """2 lb 4 oz: weights, volumes or times in falling units add, in the unit that came first."""
        total, seen, first = 0.0, [], ""
        for number, word in parts:
            bare = word.rstrip("+&, ")
            bare = re.sub(r" (?:and|und|y)$", "", bare)
            if not bare:
                raise self.refusal("one of its numbers has no unit, or there are two amounts. Type one.")
            unit, factor = self.unit(bare)
            first = first or unit
            if KIND_OF.get(unit) not in ("weight", "volume", "time") or KIND_OF[unit] != KIND_OF[first]:
                raise self.refusal("its parts do not add to one amount. Type one amount.")
            if unit in seen:
                raise self.refusal("there are two amounts in one unit. Type one.")
            seen.append(unit)
            total += number * factor * float(Q(1.0, unit).to(first).magnitude)
        return self.wanted(self.whole(sign * total), first, KIND_OF[first])

    def ratio(self, sides: list[str]) -> float:
        """1:5, 1 g : 5 mL, 1 part to 5 parts: mL for each gram."""
        if len(sides) != 2:
            raise self.refusal('a ratio has two numbers, as in "1:5".')
        values, words = [], []
        for side in sides:
            found = self.parts(side.strip())
            if len(found) != 1:
                raise self.refusal('a ratio has two numbers, as in "1:5".')
            values.append(found[0][0])
            words.append(found[0][1].casefold())
        words[1] = re.sub(r" ?\(?w/v\)?$", "", words[1])
        if all(w in ("", "part", "parts") for w in words):
            scale = 1.0
            self.parts_of_ratio = values[0], values[1]
        elif all(words):
            weight, volume = (self.unit(w) for w in words)
            if KIND_OF.get(weight[0]) != "weight" or KIND_OF.get(volume[0]) != "volume":
                raise self.refusal("a ratio goes from a weight of herb to a volume of liquid.")
            scale = _times(volume, "mL") / _times(weight, "g")
        else:
            raise self.refusal("that reads like a range or half a ratio.")
        if values[0] == 0:
            raise self.refusal("a ratio for 0 of herb has no size.")
        return self.whole(values[1] / values[0] * scale)

    def money(self, sign: float, mark: str, parts: list[tuple[float, str]]) -> Any:
        number, word = parts[0]
        low = word.casefold().rstrip(".")
        if low and not mark and low in MONEY_SIGNS:
            low = ""
        if len(parts) > 1 or (low and low not in MONEY_WORDS):
            raise self.refusal("that is more than one sum of money, or something else.")
        if self.kind not in (None, "money"):
            raise self.refusal("it is an amount of money.")
        return Q(sign * number * MONEY_WORDS.get(low, 1.0), "")

    def wanted(self, number: float, unit: str, found: str) -> Any:
        """The quantity, if it is of the kind that was asked for."""
        kind = self.kind
        if unit == "":
            return Q(number, "")
        if kind == "difference" and unit in ("degC", "degF"):
            return Q(number * (1.0 if unit == "degC" else 5.0 / 9.0), "delta_degC")
        if kind == "strength" and unit == "proof":
            return Q(number / 2.0, "percent_vol")
        if kind is None or kind == found:
            return Q(number, unit)
        if (kind, unit) == ("volume", "oz"):
            raise WrongUnit(
                f"{self.quote} is a weight: ounces (oz) are what a scale shows. A volume is wanted here, and a jug "
                f'shows fluid ounces (fl oz). Type "{number:g} fl oz" if you measured it in a jug.'
            )
        if (kind, unit) == ("weight", "fl_oz"):
            raise WrongUnit(
                f"{self.quote} is a volume: fluid ounces (fl oz) are what a jug shows. A weight is wanted here, and "
                f'a scale shows ounces (oz). Type "{number:g} oz" if you weighed it.'
            )
        raise self.refusal(f"it is {KINDS[found][0]}.")

    def refusal(self, why: str) -> WrongUnit:
        """What was read, why it stops there, what would work."""
        want = f"{KINDS[self.kind][0]} is wanted here" if self.kind else "an amount has a number and a unit"
        return WrongUnit(f"{self.quote}: {why} {want[0].upper()}{want[1:]}, {_such_as(self.kind)}.")


_PERCENT_KINDS = (
    "A percentage says of what: % vol (alcohol by volume), % by weight (alcohol by weight), % water (water in the "
    "plant as weighed) or % of the dry weight."
)


def _times(spelling: tuple[str, float], unit: str) -> float:
    return spelling[1] * float(Q(1.0, spelling[0]).to(unit).magnitude)
