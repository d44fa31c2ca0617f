"""Floor 2. Lines of a log cut into a time and a weight, whatever stands between them.

Nobody is asked which separator they used. Each way of cutting is tried on the whole text, and the one that makes
sense of most lines is taken; the usual way round, time first, wins a tie unless the figures themselves say otherwise.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from typing import NamedTuple

from herbcalc.drying.clock import Moment, moment
from herbcalc.units import amount
from herbcalc.units.refusals import OutOfRange, WrongUnit
from herbcalc.units.words import KIND_OF

COLUMNS = 6  # looked at; a log needs two
NEARLY = 0.6
_NUMBER = re.compile(r"[+-]?(?:\d[\d.,' ]*|[.,]\d+)")
_NUMBERED_DAY = re.compile(r"\d{1,2} \d{1,2}:\d{2}.*")
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(?:\d+,\d{1,2}|0,\d+|\d{4,},\d+)(?![\d,])")


class Row(NamedTuple):
    """One weighing as it stands on a line: the line's number, what was typed, the moment, the weight as a number in
    its unit ("" where none was written)."""

    line: int
    typed: str
    when: Moment
    weight: float
    unit: str


class Reading(NamedTuple):
    """One way of cutting a text, and what it makes of it."""

    rows: list[Row]
    unread: list[tuple[int, str]]
    weight_first: bool
    columns: int  # that the time stands in: a day and a clock time say more than the day alone
    unused: int  # cells with a number that it makes nothing of


def readings(lines: list[tuple[int, str]]) -> list[Reading]:
    """Every way of cutting the lines that makes sense of nearly as many of them as the best way does."""
    comma = any(_DECIMAL_COMMA.search(part) for _, line in lines for part in re.split(r"[\t;|]|, | ", line))
    # 6/7 may be a day in June or in July: where a date is written so, both are tried.
    orders = (False, True) if re.search(r"\d[/-]\d", lines[0][1] + lines[-1][1]) else (False,)
    found: list[Reading] = []
    for cut in (_tabs, _semicolons, _bars, _comma_space, _spaces, _commas, _paired_commas, _first_comma):
        cells = [(number, line, cut(line)) for number, line in lines]
        places = _places(max((len(parts) for _, _, parts in cells), default=0))
        found += [_read(cells, time, at, first, comma) for time, at in places for first in orders]
    most = max((len(reading.rows) for reading in found), default=0)
    return [reading for reading in found if len(reading.rows) >= NEARLY * most > 0]


def _tabs(line: str) -> list[str]:
    return line.split("\t")


def _semicolons(line: str) -> list[str]:
    return line.split(";")


def _bars(line: str) -> list[str]:
    return line.strip("| ").split("|")


def _comma_space(line: str) -> list[str]:
    return re.split(r",\s+", line)


def _commas(line: str) -> list[str]:
    return line.split(",")


def _paired_commas(line: str) -> list[str]:
    """0,5,180,2: two numbers, each with a decimal comma."""
    parts = line.split(",")
    decimals = len(parts) == 4 and all(re.match(r"\d{1,2}(?!\d)", parts[i]) for i in (1, 3))
    return [f"{parts[0]},{parts[1]}", f"{parts[2]},{parts[3]}"] if decimals else []


def _first_comma(line: str) -> list[str]:
    """2,1,000: a comma between the two, and one for thousands."""
    return line.split(",", 1) if re.fullmatch(r"[^,]*,\d{1,3}(?:,\d{3})?", line) else []


def _spaces(line: str) -> list[str]:
    """A weight at the end, or at the start, and the time in the rest: "2 h 30 min 4 oz". Words after it are a
    remark."""
    words = line.split()
    found = _time_and_weight(words)
    while not found and len(words) > 2 and words[-1].isalpha() and not _is_unit(words[-1]):
        words = words[:-1]
        found = _time_and_weight(words)
    return found


def _is_unit(word: str) -> bool:
    try:
        amount(f"1 {word}")
    except (WrongUnit, OutOfRange):
        return False
    return True


def _time_and_weight(words: list[str]) -> list[str]:
    for size in (4, 2, 1, 3):
        if len(words) <= size:
            continue
        tail, head = " ".join(words[-size:]), " ".join(words[:size])
        for weight, time in ((tail, " ".join(words[:-size])), (head, " ".join(words[size:]))):
            if (size == 1 or not _NUMBER.fullmatch(weight)) and weigh(weight, False) and moment(time):
                return [time, weight] if weight is tail else [weight, time]
    return []


def _places(columns: int) -> Iterator[tuple[tuple[int, ...], int]]:
    """Which columns may hold the time (one, or a day and a clock time), and which the weight."""
    columns = min(columns, COLUMNS)
    for time in range(columns):
        for weight in range(columns):
            if weight != time:
                yield (time,), weight
    for time in range(columns - 1):
        for weight in range(columns):
            if weight not in (time, time + 1):
                yield (time, time + 1), weight


def _read(
    cells: list[tuple[int, str, list[str]]], time: tuple[int, ...], at: int, day_first: bool, comma: bool
) -> Reading:
    rows: list[Row] = []
    unread, unused = [], 0
    for number, line, parts in cells:
        weight = weigh(parts[at], comma) if max(*time, at) < len(parts) else None
        if comma and weight:
            parts = [re.sub(r"(?<=\d),(?=\d)", ".", part) for part in parts]
        written = " ".join(parts[i].strip() for i in time) if weight else ""
        if len(time) == 2 and _NUMBERED_DAY.fullmatch(written):
            written = f"day {written}"
        when = moment(written, day_first)
        if when and len(time) == 2 and when.day is None:
            when = None  # two columns are a day and a clock time, or nothing
        if when and weight:
            rows.append(Row(number, line, when, *weight))
            unused += sum(bool(_NUMBER.fullmatch(part.strip())) for part in parts) - len({*time, at})
        else:
            unread.append((number, line))
    return Reading(rows, unread, at < time[0], len(time), max(unused, 0))


@functools.lru_cache(maxsize=10_000)
def weigh(text: str, comma: bool) -> tuple[float, str] | None:
    """A weight as number and unit, the unit "" where none stands there; None for anything else.

    text   one cell
    comma  whether commas in this log are decimal

    >>> weigh("1,5 kg", True), weigh("312", False), weigh("2 h", False)
    ((1.5, 'kg'), (312.0, ''), None)
    """
    text = text.strip().strip("\"'").strip()
    if comma:
        text = re.sub(r"(?<=\d),(?=\d)", ".", re.sub(r"\.(?=\d{3},)", "", text))
    bare = bool(_NUMBER.fullmatch(text))
    try:
        read = amount(f"{text} g" if bare else text, "weight")
    except (WrongUnit, OutOfRange):
        return None
    return float(read.magnitude), "" if bare else str(read.units)


def units_in(header: str) -> tuple[str, str]:
    """The unit of time and the unit of weight that a heading names, "" where it names none.

    >>> units_in("time (min); weight in oz"), units_in("when, what")
    (('min', 'oz'), ('', ''))
    """
    time = weight = ""
    for word in re.findall(r"[^\W\d_]+", header):
        try:
            unit = str(amount(f"1 {word}").units)
        except (WrongUnit, OutOfRange):
            continue
        time = time or (unit if KIND_OF.get(unit) == "time" else "")
        weight = weight or (unit if KIND_OF.get(unit) == "weight" else "")
    return time, weight
