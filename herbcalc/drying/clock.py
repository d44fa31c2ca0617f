"""Floor 2. When a weighing was made, as people write it in a log: "2 h 30 min", "14:30", "12 June 8:00", "day 2 8
am".

No calendar is looked at but the one of arithmetic: days since 1 March of the year 0, so that February ends a year.
"""

from __future__ import annotations

import functools
import re
from typing import NamedTuple

from herbcalc.units import amount
from herbcalc.units.refusals import OutOfRange, WrongUnit

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_LENGTHS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
NO_YEAR = 2024  # a year with every date in it

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:t| |$)")
_FIGURES = re.compile(
    r"(\d{1,2})(?:([/])|[.-])(\d{1,2})(?:[/.-](\d{4}|\d{2})?(?!\d)|(?<=/\d)(?= |$)|(?<=/\d\d)(?= |$)),?"
)
_NAMED = re.compile(rf"(\d{{1,2}})(?:st|nd|rd|th|\.)? ?({'|'.join(_MONTHS)})[a-z]*\.?,?(?: (\d{{4}}))?")
_NAME_FIRST = re.compile(rf"({'|'.join(_MONTHS)})[a-z]*\.? (\d{{1,2}})(?:st|nd|rd|th)?,?(?: (\d{{4}}))?(?!\d|:)")
_WEEKDAY = re.compile(rf"({'|'.join(_DAYS)})[a-z]*\.?,?(?= |$)")
_DAY = re.compile(r"(?:day|tag|día) ?(\d{1,3})[,:]?(?= |$)")
_CLOCK = re.compile(r"(\d{1,3}):(\d{2})(?::(\d{2})(?:\.\d+)?)?(?: ?(am|pm|a\.m\.|p\.m\.|h|uhr)|z)?")
_SHORT = re.compile(r"(\d{1,2})(?:\.(\d{2}))? ?(am|pm|a\.m\.|p\.m\.|uhr)")
_BARE = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)")


class Moment(NamedTuple):
    """One time as it was written. how: "date", "day" (of the log), "weekday", "clock" or "since"; day counts whole
    days (None where none is written), hours are those of the day, or all of them for "since"."""

    how: str
    day: int | None
    hours: float
    bare: bool = False  # a number without a unit
    yearless: bool = False


@functools.lru_cache(maxsize=10_000)
def moment(text: str, day_first: bool = False) -> Moment | None:
    """A time as it was written, or None where there is none.

    text       one cell of a log
    day_first  whether 6/7 is the 6th of July

    >>> moment("2 h 30 min").hours, moment("14:30").hours, moment("8 pm").hours, moment("150 g") is None
    (2.5, 14.5, 20.0, True)
    >>> moment("13.6.2026 8:00").day - moment("2026-06-12").day
    1
    """
    text = " ".join(text.casefold().replace("\u202f", " ").split()).strip(" ,;\"'")
    if not text or len(text) > 60:
        return None
    if _BARE.fullmatch(text):
        return Moment("since", None, float(text.replace(",", ".")), bare=True)
    how, day, rest, yearless = _day(text, day_first)
    if how == "none":
        return None
    rest = rest.strip(" ,@-").removeprefix("at ")
    hours = _of_day(rest) if rest else None if how == "clock" else 0.0
    if hours is not None:
        return Moment(how, day, hours, yearless=yearless)
    return _since(text) if how == "clock" else None


def _since(text: str) -> Moment | None:
    """Hours that have passed: "2 h 30 min", "8h30", "+3 h", "after 2 days"."""
    text = re.sub(r"^(?:after|t ?=|\+) ?", "", text)
    text = re.sub(r"(\d)h ?(\d{1,2})(?:m|min)?$", r"\1 h \2 min", text)
    text = re.sub(r"(?<=\d)d (?=\d)", " days ", text)
    try:
        return Moment("since", None, float(amount(text, "time").to("hour").magnitude))
    except (WrongUnit, OutOfRange):
        return None


def _day(text: str, day_first: bool) -> tuple[str, int | None, str, bool]:
    """How the day is written, its number, and the text without it."""
    if found := _ISO.match(text):
        year, month, day = (int(part) for part in found.groups())
        return _dated(year, month, day, text[found.end() :], False)
    if found := _NAMED.match(text):
        month, day = _MONTHS.index(found.group(2)) + 1, int(found.group(1))
        return _dated(_year(found.group(3)), month, day, text[found.end() :], not found.group(3))
    if found := _NAME_FIRST.match(text):
        month, day = _MONTHS.index(found.group(1)) + 1, int(found.group(2))
        return _dated(_year(found.group(3)), month, day, text[found.end() :], not found.group(3))
    if found := _FIGURES.match(text):
        one, two = int(found.group(1)), int(found.group(3))
        dotted = "." in text[: found.end()]  # 13.6. is never the 6th of a 13th month
        month, day = (two, one) if day_first or dotted else (one, two)
        return _dated(_year(found.group(4)), month, day, text[found.end() :], not found.group(4))
    if found := _WEEKDAY.match(text):
        return "weekday", _DAYS.index(found.group(1)), text[found.end() :], False
    if found := _DAY.match(text):
        return "day", int(found.group(1)), text[found.end() :], False
    return "clock", None, text, False


def _year(written: str | None) -> int:
    return NO_YEAR if not written else int(written) + (2000 if len(written) == 2 else 0)


def _dated(year: int, month: int, day: int, rest: str, yearless: bool) -> tuple[str, int | None, str, bool]:
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    if not 1 <= month <= 12 or not 1 <= day <= _LENGTHS[month - 1] - (month == 2 and not leap):
        return "none", None, rest, yearless
    return "date", _number(year, month, day), rest, yearless


def _number(year: int, month: int, day: int) -> int:
    """Days since 1 March of the year 0, Gregorian."""
    year, month = (year, month - 3) if month > 2 else (year - 1, month + 9)
    return 365 * year + year // 4 - year // 100 + year // 400 + (153 * month + 2) // 5 + day - 1


def _of_day(text: str) -> float | None:
    """Hours since midnight; up to 999, since "26:30" may be hours that have passed."""
    if text in ("noon", "midday"):
        return 12.0
    if text == "midnight":
        return 0.0
    if found := _CLOCK.fullmatch(text):
        hour, minute, second, half = found.groups()
    elif found := _SHORT.fullmatch(text):
        hour, minute, half = found.groups()
        second = None
    else:
        return None
    if int(minute or 0) > 59 or int(second or 0) > 59:
        return None
    whole, half = int(hour), (half or "").replace(".", "")
    if half in ("am", "pm"):
        if not 1 <= whole <= 12:
            return None
        whole = whole % 12 + (12 if half == "pm" else 0)
    return whole + int(minute or 0) / 60.0 + int(second or 0) / 3600.0
