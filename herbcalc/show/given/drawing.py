"""Floor 5. Draws what is given in a sum, in the shapes, colours and patterns of the lessons.

matplotlib comes with the first board.

The board is as narrow as a phone, so that its words stay readable there: three vessels beside each other, each with
its words below, or bars one under the other with their words above.
"""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Callable, Sequence
from typing import NamedTuple

from herbcalc.show.draw.board import Board
from herbcalc.show.draw.percolator import Percolator, percolator
from herbcalc.show.draw.shapes import Part, Place, jar, stack
from herbcalc.show.given.parts import Bar, Bars, Dial, Layer, Log, Picture, Row, Vessel

WIDE, SIZE, EDGE = 400.0, 15.0, 8.0
LINE = 1.28 * SIZE  # from one line of words to the next
BOLD = 1.13  # how much wider bold words are
SIGN = 24.0  # room for a sign between two vessels
HIGH = 112.0  # of a vessel, its lid or neck included
BODY = 60.0  # width of a vessel
ROOM = 0.78 * HIGH  # height of what is in it
LEAST = 3.0  # height of the thinnest layer
BAR = 30.0
Say = Callable[[str], str]
_LONG = re.compile(r"[^\W\d_][\w'-]{12,}")  # a word that a class may bring with the name of its plant
_TOGETHER = re.compile(r" (?=(?:mL|g|%|oz|°\w)(?: |,|$))|(?<=%) (?=vol\b)")


class On(NamedTuple):
    """What a board is made with: the salt of its ids, and its ground."""

    name: str
    ground: str


def drawn(picture: Picture, say: Say, name: str, ground: str = "light") -> Board:
    """A board with the picture on it.

    say     puts the figures into the picture's words
    name    salts the ids inside the SVG
    ground  on which it is drawn: "light", "dark" or "paper"
    """
    on = On(name, ground)
    if isinstance(picture, Row):
        return _row(picture, say, on)
    if isinstance(picture, Bars):
        return _bars(picture, say, on)
    return _dial(picture, say, on) if isinstance(picture, Dial) else _log(picture, say, on)


def wrapped(words: str, wide: float, size: float = SIZE) -> list[str]:
    """Words in lines that are no wider than that, by the width of an average letter; a figure keeps its unit.

    >>> wrapped("fresh elecampane root", 110), wrapped("keeps 1.5 mL for each g", 110)
    (['fresh', 'elecampane', 'root'], ['keeps 1.5 mL', 'for each g'])
    >>> wrapped("fresh Rotkleeblütenblattpulver", 110), wrapped("mountain-meadow mint", 110)
    (['fresh', 'Rotkleeblüt-', 'enblattpulv-', 'er'], ['mountain-', 'meadow mint'])
    """
    lines: list[str] = []
    fits = int(wide / (0.6 * size))
    broken = _LONG.sub(lambda word: word[0] if len(word[0]) <= fits else _broken(word[0], fits - 1), words)
    for word in _TOGETHER.sub("\u00a0", broken).split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and 0.6 * size * len(longer) <= wide:
            lines[-1] = longer
        else:
            lines.append(word)
    return [line.replace("\u00a0", " ") for line in lines]


def _broken(word: str, fits: int) -> str:
    """A long word in pieces, each but the last with a hyphen."""
    *pieces, last = textwrap.wrap(word, fits)
    return " ".join([*(f"{piece.removesuffix('-')}-" for piece in pieces), last])


def _board(high: float, on: On) -> Board:
    board = Board(WIDE, high, name=on.name, size=SIZE, small=13.0, ground=on.ground)
    board.start()
    return board


def _mark(board: Board, key: str, x: float, y: float) -> None:
    """The "?", large, where the answer will stand."""
    board.words(f"{key} ask", x, y, "?", size=1.9 * SIZE, bold=True, ink="limit", card=True)


# --- vessels in a row -----------------------------------------------------------------------------------------------


def _row(row: Row, say: Say, on: On) -> Board:
    count = len(row.vessels)
    column = (WIDE - 2 * EDGE - (count - 1) * SIGN) / count
    words = [_lines(vessel, say, column) for vessel in row.vessels]
    under = max(map(len, words)) * LINE + 8
    board = _board(HIGH + under + 2 * EDGE, on)
    foot = EDGE + under
    full = max([sum(most for _, most in v.layers if most > 0) for v in row.vessels] + [1e-9])
    for n, (vessel, lines) in enumerate(zip(row.vessels, words, strict=True)):
        middle = EDGE + n * (column + SIGN) + column / 2
        if n and vessel.sign:
            _sign(board, f"sign {n}", middle - column / 2 - SIGN / 2, foot + 0.45 * HIGH, vessel.sign)
        at = _vessel(board, f"vessel {n}", vessel, middle, foot, full)
        if vessel.mark is not None:
            _mark(board, f"vessel {n}", middle, at)
        for place, (line, bold) in enumerate(lines):
            board.words(
                f"words {n} {place}",
                middle,
                foot - 8 - (place + 0.5) * LINE,
                line,
                bold=bold,
                ink="limit" if bold else "ink",
            )
    return board


def _lines(vessel: Vessel, say: Say, wide: float) -> list[tuple[str, bool]]:
    """The words under a vessel, line by line; those that ask are bold."""
    lines = []
    for words in (vessel.name, *vessel.lines):
        bold = "?" in words
        lines += [(line, bold) for line in wrapped(say(words), wide / (BOLD if bold else 1.0))]
    return lines


def _sign(board: Board, key: str, x: float, y: float, sign: str) -> None:
    if sign == "→":
        board.line(key, [x - 9, x + 8], [y, y], width=2.4)
        board.line(f"{key} tip", [x + 2, x + 9, x + 2], [y + 6, y, y - 6], width=2.4)
    else:
        board.words(key, x, y, sign, size=1.3 * SIZE if sign == "+" else SIZE, bold=True)


def _heights(layers: Sequence[Layer], full: float) -> list[float]:
    """How high each layer stands, to scale where its amount is told, else its share of half a vessel."""
    high = [0.5 * ROOM * -most if most < 0 else ROOM * most / full for _, most in layers]
    high = [max(one, LEAST) for one in high]
    over = max(sum(high) / ROOM, 1.0)
    return [one / over for one in high]


def _vessel(board: Board, key: str, vessel: Vessel, middle: float, foot: float, full: float) -> float:
    """Draw one; gives the height at which its "?" belongs."""
    heights = _heights(vessel.layers, full)
    left = middle - BODY / 2
    if vessel.shape == "cone":
        percolator(board, key, Place(left, foot, BODY / 0.44, HIGH), Percolator(2 / 3, (), 0.0, drops=""))
        return foot + 0.68 * HIGH
    if vessel.shape == "clock":
        return _clock(board, key, middle, foot + 0.48 * HIGH, vessel.mark is not None)
    bottom = foot + 4.0
    if vessel.shape == "jar":
        _jar(board, key, left, foot, vessel, heights)
    else:
        _layers(board, key, left, bottom, vessel, heights)
        if vessel.shape == "bottle":
            _bottle(board, key, left, bottom)
        else:
            board.line(f"{key} pan", [left - 8, left - 3, left + BODY + 3, left + BODY + 8],
                       [bottom + 5, bottom - 2, bottom - 2, bottom + 5], width=2.6)  # fmt: skip
    if vessel.mark is None or vessel.mark < 0 or not heights:
        return bottom + max(sum(heights) / 2, 14.0)
    return bottom + sum(heights[: vessel.mark]) + heights[vessel.mark] / 2


def _layers(board: Board, key: str, left: float, bottom: float, vessel: Vessel, heights: Sequence[float]) -> None:
    level = bottom
    for n, ((fill, _), high) in enumerate(zip(vessel.layers, heights, strict=True)):
        board.box(f"{key} layer {n}", left, level, BODY, high, fill=fill, width=1.0)
        level += high


def _jar(board: Board, key: str, left: float, foot: float, vessel: Vessel, heights: Sequence[float]) -> None:
    parts = [Part(fill, high) for (fill, _), high in zip(vessel.layers, heights, strict=True)]
    inside = 0.86 * (0.93 * HIGH - 4.0)  # what `shapes.jar` fills of its place
    jar(board, key, Place(left, foot, BODY / 0.42, HIGH), parts, inside)


def _bottle(board: Board, key: str, left: float, bottom: float) -> None:
    """Outline of a bottle: straight body, shoulders, a neck with its stopper."""
    shoulder, neck, top = bottom + ROOM + 1, bottom + ROOM + 10, bottom + HIGH - 10
    a, b = left + 0.34 * BODY, left + 0.66 * BODY
    right = left + BODY
    board.shape(
        f"{key} glass",
        [left, left, a, a, b, b, right, right],
        [bottom, shoulder, neck, top, top, neck, shoulder, bottom],
        fill="",
        width=2.6,
    )
    board.box(f"{key} stopper", a + 1, top, b - a - 2, 6, fill="card", width=1.6)


def _clock(board: Board, key: str, middle: float, at: float, asked: bool) -> float:
    turns = [2 * math.pi * n / 48 for n in range(48)]
    out = 0.36 * HIGH
    face = [middle + out * math.cos(t) for t in turns], [at + out * math.sin(t) for t in turns]
    board.shape(f"{key} face", *face, fill="card", width=2.6)
    for n in range(12):
        x, y = math.cos(2 * math.pi * n / 12), math.sin(2 * math.pi * n / 12)
        board.line(f"{key} hour {n}", [middle + 0.86 * out * x, middle + 0.95 * out * x],
                   [at + 0.86 * out * y, at + 0.95 * out * y], width=1.6)  # fmt: skip
    if not asked:
        board.line(f"{key} hands", [middle, middle, middle + 0.45 * out], [at + 0.66 * out, at, at + 0.26 * out],
                   width=2.6)  # fmt: skip
    return at


# --- bars -----------------------------------------------------------------------------------------------------------


def _bars(bars: Bars, say: Say, on: On) -> Board:
    wide = WIDE - 2 * EDGE
    words = [_title(bar, say, wide) for bar in bars.bars]
    highs = [
        len(lines) * LINE + (BAR if bar.layers else 0.0) + 8 for bar, lines in zip(bars.bars, words, strict=True)
    ]
    board = _board(sum(highs) + 2 * EDGE, on)
    full = max(sum(most for _, most in bar.layers) for bar in bars.bars)
    top = board.h - EDGE
    for n, (bar, lines) in enumerate(zip(bars.bars, words, strict=True)):
        for place, (line, bold) in enumerate(lines):
            board.words(f"words {n} {place}", EDGE, top - (place + 0.5) * LINE, line, ha="left", bold=bold,
                        ink="limit" if bold else "ink")  # fmt: skip
        foot = top - len(lines) * LINE - BAR
        if bar.layers:
            inside = ["" if bar.mark in (-1, k) else words for k, words in enumerate((*bar.inside, "", ""))]
            parts = [Part(*layer, words) for layer, words in zip(bar.layers, inside, strict=False)]
            stack(board, f"bar {n}", Place(EDGE, foot, wide, BAR), parts, full)
        if bar.mark is not None:
            start = sum(most for _, most in bar.layers[: max(bar.mark, 0)])
            long = bar.layers[bar.mark][1] if bar.mark >= 0 else sum(most for _, most in bar.layers)
            _mark(board, f"bar {n}", EDGE + wide * (start + long / 2) / full, foot + BAR / 2)
        top -= highs[n]
    return board


def _title(bar: Bar, say: Say, wide: float) -> list[tuple[str, bool]]:
    """The words over a bar: what is given in one line, what is asked in bold on the same or on the next."""
    known = [line for line in bar.lines if "?" not in line]
    asked = [line for line in bar.lines if "?" in line]
    first = ": ".join(filter(None, [bar.name, ", ".join(known)]))
    lines = [(line, False) for line in wrapped(say(first), wide)]
    return lines + [(line, True) for ask in asked for line in wrapped(say(ask), wide / BOLD)]


# --- a dial, a log --------------------------------------------------------------------------------------------------


def _dial(dial: Dial, say: Say, on: On) -> Board:
    """One column of liquid between two scales: both say the same height, each in its own degrees."""
    board = _board(190, on)
    middle, foot, high = WIDE / 2, 46.0, 124.0
    degrees = [at for _, at in dial.marks]
    low, top = 20.0, max(degrees) + 15
    rise = [foot + high * (at - low) / (top - low) for at in degrees]
    board.box("tube", middle - 13, foot, 26, high, fill="ground", width=2.4)
    board.box("liquid", middle - 13, foot, 26, rise[-1] - foot, fill="water", width=1.2)
    board.dot("bulb", middle, foot - 6, ink="water", across=44)
    for n, ((words, _), at) in enumerate(zip(dial.marks, rise, strict=True)):
        board.line(f"mark {n}", [middle - 40, middle - 14], [at, at], width=2.4)
        board.words(f"words {n}", middle - 48, at, say(words), ha="right")
        board.line(f"other {n}", [middle + 14, middle + 40], [at, at], width=2.4, dash=(4, 3))
    between = sum(rise) / len(rise)
    if len(rise) > 1:
        board.line("span", [middle + 46] * 2, [rise[0], rise[-1]], ink="limit", width=3.0)
    board.words("asked", middle + 54, between, say(dial.asked), ha="left", bold=True, ink="limit", size=1.3 * SIZE)
    return board


def _log(log: Log, say: Say, on: On) -> Board:
    """A bar for the weight of each day, the latest at the foot."""
    step = 1.2 * SIZE
    board = _board((len(log.weights) + 1) * step + 2 * EDGE + 6, on)
    left, full = 0.36 * WIDE, max(log.weights)
    for day, weight in enumerate(log.weights):
        y = board.h - EDGE - (day + 1) * step
        board.words(f"day {day}", EDGE, y + step / 2, f"day {day}", ha="left")
        board.words(f"weight {day}", left - 10, y + step / 2, f"{weight:g} g", ha="right")
        board.box(f"bar {day}", left, y + 2, (WIDE - EDGE - left) * weight / full, step - 4, fill="solids", width=1.0)
    board.words("asked", EDGE, EDGE + 0.4 * step, say(log.asked), ha="left", bold=True, ink="limit")
    return board
