"""Floor 2. A student's log of weighings, read as it was typed: what can be used, and in words what could not.

A log is a page from a notebook, not a data file. What is odd in it is told and, where that is honest, left in; left
out is only what can be no weighing of this herb. A text in which no drying can be seen is refused in a sentence.
"""

from __future__ import annotations

import math
import re
import statistics
from itertools import pairwise
from typing import Any, NamedTuple

from herbcalc.drying.layout import Reading, Row, readings, units_in
from herbcalc.units.refusals import OutOfRange, WrongUnit, quoted
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

LONGEST, MOST_LINES = 50_000, 1_000
SHOWN = 3  # lines that a note repeats
STRAY = 0.06  # of the first weight: out of line by more than that is no scatter
SHIFT = 0.12  # of the first weight: a step up by more than that is no damp air
RISE = 0.005  # of the first weight: less is what a scale does
FEW = 5  # weighings that it takes to say that one of them is astray
EXAMPLE = 'Write one weighing on each line, a time and a weight: "0 h; 300 g", then "5 h; 240 g".'


class Log(NamedTuple):
    """A log that was read. times: hours since the first weighing, rising; weights: g; notes: sentences for the
    student, none where nothing was odd."""

    times: Any
    weights: Any
    notes: tuple[str, ...]


class _Point(NamedTuple):
    hours: float
    grams: float
    line: int


def read_log(text: str) -> Log:
    """A drying log, from the text of a CSV file or pasted from anywhere.

    text  one weighing on each line, a time and a weight, between them a tab, semicolon, comma, bar or spaces; times
          as hours, "2 h 30 min", clock times or dates with clock times; weights in any unit; a heading may name the
          units. Bare numbers are hours and grams

    Result: Log(times, weights, notes), hours and g, ready for `fit`. The notes tell in words what was odd. Refuses:
    WrongUnit for anything but text; OutOfRange for a text with fewer than two weighings. Source: none; a reader.

    >>> log = read_log("time; tray\\n8:00; 312 g\\n12:30; 250 g\\n20:00; 190 g\\n8:00; 141 g")
    >>> log.times.magnitude, log.weights.magnitude
    (array([ 0. ,  4.5, 12. , 24. ]), array([312., 250., 190., 141.]))
    """
    lines = _lines(text)
    notes: list[str] = []
    found = readings(lines) if lines else []
    if not found:
        raise OutOfRange(f"No weighing could be read in this text. {EXAMPLE}")
    time_unit, weight_unit = units_in(_heading(lines, found[0]))
    tried = [(_points(reading, time_unit, weight_unit), reading) for reading in found]
    most = max(len(reading.rows) for reading in found)
    (points, told), reading = max(tried, key=lambda pair: _sense(pair[0][0], pair[1], most))
    notes += _unread(reading)
    if reading.weight_first:
        notes.append("The weights stand before the times in this text; it was read that way round.")
    notes += told
    points = _in_order(points, notes)
    if len(points) < 2:
        raise OutOfRange(f"Only one weighing could be used, and a curve takes two at least, better eight. {EXAMPLE}")
    points = _without_strays(points, notes)
    points = _one_stretch(points, notes)
    _look(points, notes)
    start = points[0].hours
    return Log(Q([p.hours - start for p in points], "hour"), Q([p.grams for p in points], "g"), tuple(notes))


def _lines(text: Any) -> list[tuple[int, str]]:
    if not isinstance(text, str):
        raise WrongUnit(f"A log is text, and something else was given. {EXAMPLE}")
    if len(text) > LONGEST or text.count("\n") > MOST_LINES:
        raise OutOfRange(
            f"This text has {len(text):,} characters; a log of up to {LONGEST:,} characters and {MOST_LINES:,} "
            "lines is read. Paste only the lines with weighings."
        )
    text = (
        text.replace("\ufeff", "").replace("\u00a0", " ").replace("\u202f", " ").replace("−", "-").replace("\0", "")
    )
    numbered = [(number, line.strip(" \r")) for number, line in enumerate(text.splitlines(), 1)]
    return [(number, line) for number, line in numbered if line.strip(" \t;,|-=+:")]


def _heading(lines: list[tuple[int, str]], reading: Reading) -> str:
    first = reading.rows[0].line
    return " ".join(line for number, line in lines if number < first)


def _unread(reading: Reading) -> list[str]:
    """The lines that hold no weighing; a heading without figures needs no word."""
    first = reading.rows[0].line
    odd = [(n, line) for n, line in reading.unread if n > first or re.search(r"\d", line)]
    if not odd:
        return []
    shown = ", ".join(f"line {n}, {quoted(line, 30)}" for n, line in odd[:SHOWN])
    more = f" and {len(odd) - SHOWN} more" if len(odd) > SHOWN else ""
    return [f"Left out, because no time and weight could be read there: {shown}{more}."]


# --- from what is written to hours and grams -----------------------------------------------------------------------


def _points(reading: Reading, time_unit: str, weight_unit: str) -> tuple[list[_Point], list[str]]:
    notes: list[str] = []
    rows = _weighed(reading.rows, notes)
    hours = _hours(rows, time_unit, notes)
    grams = _grams(rows, weight_unit, notes)
    return [_Point(h, g, row.line) for h, g, row in zip(hours, grams, rows, strict=True) if h is not None], notes


def _grams(rows: list[Row], named: str, notes: list[str]) -> list[float]:
    """Weights in g; one without a unit takes that of the heading, else, of the units in this log and g, the one that
    brings it nearest to the weighing before."""
    units = {row.unit for row in rows if row.unit} | {"g"}
    one = {unit: float(Q(1.0, unit).to("g").magnitude) for unit in units | ({named} if named else set())}
    grams: list[float] = []
    known = [row.weight * one[row.unit] for row in rows if row.unit]
    for row in rows:
        near = grams[-1] if grams else known[0] if known else row.weight
        likely = named or min(sorted(units), key=lambda unit: abs(math.log(row.weight * one[unit] / near)))
        grams.append(row.weight * one[row.unit or likely])
    bare = sum(not row.unit for row in rows)
    if bare == len(rows) and bare and not named:
        notes.append("No weight in this log has a unit: all were read as g.")
    elif bare and not named:
        notes.append(f"{bare} of {len(rows)} weights have no unit: read in the unit that fits the weighing before.")
    return grams


def _weighed(rows: list[Row], notes: list[str]) -> list[Row]:
    light = [row for row in rows if row.weight <= 0]
    if light:
        where = ", ".join(str(row.line) for row in light[:SHOWN])
        notes.append(
            f"A weight of 0 or less is no weighing of herb (line {where}): left out. Was the tray lifted off?"
        )
    return [row for row in rows if row.weight > 0]


def _hours(rows: list[Row], time_unit: str, notes: list[str]) -> list[float | None]:
    hows = [row.when.how for row in rows]
    if not hows:
        return []
    how = statistics.mode(hows)
    if how == "clock" and _passed(rows, time_unit):
        notes.append('Times such as "2:30" were read as hours and minutes since the start.')
        return [row.when.hours if row.when.how == "clock" else None for row in rows]
    if how == "since":
        return _since(rows, time_unit, notes)
    return _on_the_clock(rows, notes)


def _passed(rows: list[Row], time_unit: str) -> bool:
    """Whether clock times are hours that have passed: they rise all the way, and begin at 0:00, go on past 24:00, or
    stand under a heading that names hours."""
    hours = [row.when.hours for row in rows if row.when.how == "clock"]
    dated = any(row.when.day is not None for row in rows)
    return not dated and hours == sorted(hours) and (hours[0] == 0.0 or hours[-1] >= 24.0 or bool(time_unit))


def _since(rows: list[Row], time_unit: str, notes: list[str]) -> list[float | None]:
    each = float(Q(1.0, time_unit).to("hour").magnitude) if time_unit else 1.0
    bare = [row for row in rows if row.when.bare]
    if bare and not time_unit:
        which = "No time in this log has a unit: all were" if len(bare) == len(rows) else "Times without a unit were"
        notes.append(f"{which} read as hours.")
    other = [row for row in rows if row.when.how != "since"]
    if other:
        notes.append(f"Line {other[0].line} gives a time of another sort than the rest, and was left out.")
    hours = [row.when.hours * (each if row.when.bare else 1.0) if row.when.how == "since" else None for row in rows]
    if any(h is not None and h < 0 for h in hours):
        notes.append("A time before 0 stands in the log; time is counted from the first weighing.")
    return hours


def _on_the_clock(rows: list[Row], notes: list[str]) -> list[float | None]:
    """Dates and clock times as hours; a clock time alone belongs to the day before it, or to the next after
    midnight."""
    found: list[float | None] = []
    day, last = 0.0, None
    nights = 0
    for row in rows:
        when = row.when
        if when.how == "since":
            notes.append(f"Line {row.line} gives hours where the rest give clock times, and was left out.")
            found.append(None)
            continue
        if when.how == "clock":
            if last is not None and 24.0 * day + when.hours < last:
                day, nights = day + 1, nights + 1
        elif when.how == "weekday":
            ahead = ((when.day or 0) - day) % 7 if last is not None else (when.day or 0)
            day += ahead
        else:
            day = float(when.day or 0)
            if when.yearless and last is not None and 24.0 * day < last - 24.0 * 180:
                day += 366.0  # the log runs over New Year
        last = 24.0 * day + when.hours
        found.append(last)
    if nights:
        notes.append(f"The clock went past midnight {_times(nights)}: each time the next day was taken.")
    return found


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def _sense(points: list[_Point], reading: Reading, most: int) -> tuple[float, ...]:
    """How much a reading looks like a drying log. Told first: lines used, weights that fall with time, times that
    rise from line to line, time before weight. Then one that knows the days; then one that leaves no figures over;
    then, of two dates that both work, the shorter log."""
    if len(points) < 2:
        return (float(len(points)) - 2.0, 0.0, 0.0, 0.0)
    ordered = sorted(points, key=lambda p: p.hours)
    steps = len(points) - 1
    falling = sum(b.grams <= a.grams for a, b in pairwise(ordered)) / steps
    rising = sum(b.hours > a.hours for a, b in pairwise(points)) / steps
    looks = 8.0 * len(points) / most + 4.0 * falling + 4.0 * rising + (0.0 if reading.weight_first else 2.0)
    dated = sum(row.when.day is not None for row in reading.rows) * reading.columns
    return (round(looks), dated, -float(reading.unused), ordered[0].hours - ordered[-1].hours)


# --- what is odd ---------------------------------------------------------------------------------------------------


def _in_order(points: list[_Point], notes: list[str]) -> list[_Point]:
    ordered = sorted(points, key=lambda p: p.hours)
    if ordered != points:
        notes.append("The times do not rise from line to line: the weighings were put in order of time.")
    single: list[_Point] = []
    doubled = 0
    for point in ordered:
        if single and point.hours - single[-1].hours < 1e-9:
            doubled += 1
            single[-1] = single[-1]._replace(grams=(single[-1].grams + point.grams) / 2.0)
        else:
            single.append(point)
    if doubled:
        notes.append("Two weighings stand at the same time: their middle was taken.")
    return single


def _without_strays(points: list[_Point], notes: list[str]) -> list[_Point]:
    """One weighing at a time that its neighbours on either side both speak against; with few, it is only told."""
    first = max(p.grams for p in points[:2])
    at = _stray(points, STRAY * first)
    for _ in range(len(points) // 5):
        if at is None or len(points) < FEW:
            break
        odd = points[at]
        much = "much more" if odd.grams > points[at - 1 if at else 1].grams else "much less"
        notes.append(
            f"The weighing of {said(odd.grams, 'g')} (line {odd.line}) is {much} than those around it, and was left "
            "out. A hand on the tray, the tray lifted, or a slip of the pen?"
        )
        points = points[:at] + points[at + 1 :]
        at = _stray(points, STRAY * first)
    if at is not None:
        notes.append(
            f"The weighing of {said(points[at].grams, 'g')} (line {points[at].line}) does not fit those around it. "
            "It was kept, since there are too few to be sure."
        )
    return points


def _stray(points: list[_Point], much: float) -> int | None:
    """The place of the weighing that stands furthest out of line, if any does."""
    out: dict[int, float] = {}
    grams = [p.grams for p in points]
    for i in range(1, len(points) - 1):
        before, here, after = grams[i - 1 : i + 2]
        if after <= before + much:
            over, under = here - before, after - here
            out[i] = max(over, under)
    if len(points) > 2:
        # A first weighing may be astray too: lighter than what follows, or many times as heavy.
        if grams[1] - grams[0] > much and grams[2] <= grams[1]:
            out[0] = grams[1] - grams[0]
        if grams[0] > 5.0 * grams[1] and grams[2] > 0.6 * grams[1]:
            return 0
    worst = max(out, key=lambda i: out[i], default=None)
    return worst if worst is not None and out[worst] > much else None


def _one_stretch(points: list[_Point], notes: list[str]) -> list[_Point]:
    """Weighings before and after the weight stepped up for good: the tray came along, or herb was added."""
    much = SHIFT * points[0].grams
    steps = [i for i in range(1, len(points)) if points[i].grams - points[i - 1].grams > much]
    if not steps:
        return points
    ends = [0, *steps, len(points)]
    stretches = [points[a:b] for a, b in pairwise(ends)]
    longest = max(stretches, key=len)
    jump = points[steps[0]]
    up = said(jump.grams - points[steps[0] - 1].grams, "g")
    if len(longest) < 3:
        notes.append(
            f"At line {jump.line} the weight goes up by {up}: was the tray weighed along, or herb added? It was kept."
        )
        return points
    notes.append(
        f"At line {jump.line} the weight goes up by {up} and stays up: was the tray weighed along, or herb added? "
        f"Only the longest stretch was used, {len(longest)} weighings from line {longest[0].line} on."
    )
    return longest


def _look(points: list[_Point], notes: list[str]) -> None:
    """Oddities that are told and kept."""
    first = points[0].grams
    pairs = list(pairwise(points))
    rises = [(a, b) for a, b in pairs if RISE * first < b.grams - a.grams <= SHIFT * first]
    if rises:
        a, b = rises[0]
        more = f", and {len(rises) - 1} more like it" if len(rises) > 1 else ""
        notes.append(
            f"The weight rises from {said(a.grams, 'g')} to {said(b.grams, 'g')} (line {b.line}){more}. Damp night "
            "air does that, or a hand on the scale; it was kept."
        )
    _gaps(pairs, notes)
    _drops(pairs, first, notes)
    if min(p.grams for p in points[1:]) >= first:
        notes.append(
            "The weight never falls below the first one: this herb is not drying, and no curve can be drawn."
        )
    if len(points) == 2:
        notes.append("Two weighings make a guess, not a curve. Eight, spread over the whole drying, make a good one.")


def _gaps(pairs: list[tuple[_Point, _Point]], notes: list[str]) -> None:
    if len(pairs) < 3:
        return
    usual = statistics.median(b.hours - a.hours for a, b in pairs)
    wide = [(a, b) for a, b in pairs if b.hours - a.hours > 3.0 * usual]
    if wide:
        a, b = max(wide, key=lambda pair: pair[1].hours - pair[0].hours)
        notes.append(
            f"Nobody weighed for {said(b.hours - a.hours, 'hour')} before line {b.line}: the curve is less sure "
            "there."
        )


def _drops(pairs: list[tuple[_Point, _Point]], first: float, notes: list[str]) -> None:
    """A fall that is far steeper than before and after it: herb taken away, or the tray left off from there on."""
    for (a, b), (c, d), (e, f) in zip(pairs, pairs[1:], pairs[2:], strict=False):
        fall = c.grams - d.grams
        before, after = (a.grams - b.grams) / (b.hours - a.hours), (e.grams - f.grams) / (f.hours - e.hours)
        if fall > 0.25 * first and fall / (d.hours - c.hours) > 4.0 * max(before, after):
            notes.append(
                f"At line {d.line} the weight falls by {said(fall, 'g')} at once, far faster than before or after: "
                "was herb taken away, or the tray left off? It was kept; a new log from there on would be surer."
            )
            return
