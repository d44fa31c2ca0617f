"""Floor 5. Ready-made pictures for the lessons, drawn on a `figures.Board`: a jar, a stacked bar, a chart.

Each takes the board, a key of its own, and the place it stands on: `Place(x, y, w, h)` in board units from the lower
left corner. `parted(board)` and `rows(place, 3)` cut a board and a place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from herbcalc.show.draw.board import Board


@dataclass(frozen=True)
class Place:
    """A rectangle on the board: lower left corner, width and height, in board units."""

    x: float
    y: float
    w: float
    h: float


def whole(board: Board, margin: float = 8.0) -> Place:
    """The whole board but for a margin."""
    return Place(margin, margin, board.w - 2 * margin, board.h - 2 * margin)


def parted(board: Board, left: float = 0.5, gap: float = 16.0) -> tuple[Place, Place]:
    """Two places side by side, of which the first has the share `left`; on a board that is higher than wide, one of
    half its height above the other."""
    all_ = whole(board, 12.0)
    if board.h > board.w:
        h = (all_.h - gap) / 2
        return Place(all_.x, all_.y + h + gap, all_.w, h), Place(all_.x, all_.y, all_.w, h)
    w = all_.w - gap
    return Place(all_.x, all_.y, w * left, all_.h), Place(all_.x + w * left + gap, all_.y, w * (1 - left), all_.h)


def rows(place: Place, count: int, gap: float = 6.0) -> list[Place]:
    """A place cut into equal rows, from the top down, a gap below each title."""
    step = place.h / count
    return [Place(place.x, place.y + place.h - step * (n + 1) + gap, place.w, step - gap) for n in range(count)]


@dataclass(frozen=True)
class Part:
    """One filling of a jar or bar: its meaning (a colour and pattern), how much, and its words ("" for none).

    `short` is its name alone, for where there is no room for its words.
    """

    fill: str
    amount: float
    words: str = ""
    short: str = ""


def jar(board: Board, key: str, place: Place, parts: Sequence[Part], full: float, under: str = "") -> Place:
    """A jar with its parts layered from the bottom, words (or short ones) to the right of each; `full` fills it.

    The jar takes the left of the place; `under` is said below it. Gives back the inside of the jar, to its brim.
    """
    full, under = board.scale(f"{key} full", full, (full, under))
    foot = board.size * 1.5 if under else 4.0
    lid = 0.07 * place.h
    w = min(place.w * (0.34 if board.narrow else 0.42), place.h * 0.62)
    x, y, h = place.x, place.y + foot, place.h - foot - lid
    neck, shoulder = 0.12 * w, 0.14 * h
    inside = h - shoulder
    level = y
    lead = 8 if board.narrow else 14
    room = place.x + place.w - (x + w + lead + 4)
    layers = []
    for n, part in enumerate(parts):
        rise = inside * min(part.amount / full, 1.0)
        rise = min(rise, y + inside - level)
        board.box(f"{key} layer {n}", x, level, w, rise, fill=part.fill, width=1.0)
        fits = 0.92 * board.wide(part.words) <= room  # figures and small letters are narrower than most
        layers.append((level + rise / 2, part.words if fits else part.short or part.words))
        level += rise
    if board.is_faint:
        return Place(x, y, w, inside)
    for n, (_, at) in enumerate(
        zip(layers, spread([m for m, _ in layers], board.size * 1.35, y, y + h), strict=True)
    ):
        middle, words = layers[n]
        if words:
            board.line(f"{key} lead {n}", [x + w + 2, x + w + lead], [middle, at], ink="quiet", width=1.0)
            board.words(f"{key} words {n}", x + w + lead + 4, at, words, ha="left")
    outline_x = [x, x, x + neck, x + neck, x + w - neck, x + w - neck, x + w, x + w]
    outline_y = [y, y + inside, y + h - 4, y + h, y + h, y + h - 4, y + inside, y]
    board.shape(f"{key} glass", outline_x, outline_y, fill="", width=2.6)
    board.box(f"{key} lid", x + neck - 5, y + h, w - 2 * neck + 10, lid, fill="card", width=1.8)
    if under:
        board.words(f"{key} under", x, place.y + board.size * 0.6, under, ha="left", bold=True)
    return Place(x, y, w, inside)


def spread(wanted: Sequence[float], apart: float, low: float, high: float) -> list[float]:
    """The wanted heights of some words, moved as little as needed so that none lies on another (lowest first)."""
    at = [max(low + apart / 2, w) for w in wanted]
    for n in range(1, len(at)):
        at[n] = max(at[n], at[n - 1] + apart)
    if at and at[-1] > high - apart / 2:
        at[-1] = high - apart / 2
        for n in range(len(at) - 2, -1, -1):
            at[n] = min(at[n], at[n + 1] - apart)
    return at


def stack(board: Board, key: str, place: Place, parts: Sequence[Part], full: float, title: str = "") -> None:
    """A lying bar: the parts one after the other, drawn to scale (`full` fills the place), words on each part that
    has room for them, `title` over the bar."""
    top = board.size * 1.5 if title and not board.mute else 0.0
    h = place.h - top
    x = place.x
    for n, part in enumerate(parts):
        w = place.w * part.amount / full
        board.box(f"{key} part {n}", x, place.y, w, h, fill=part.fill)
        if part.words and w > board.wide(part.words, board.small) + 10:
            board.words(f"{key} words {n}", x + w / 2, place.y + h / 2, part.words, size=board.small, card=True)
        x += w
    if title:
        board.words(f"{key} title", place.x, place.y + h + board.size * 0.85, title, ha="left")


class Chart:
    """A plain chart: two scales with a few ticks, on which curves, bands, levels and marks are put.

    `x` and `y` are (first, last, words), of which x may run backwards; `x_ticks` and `y_ticks` are pairs of a value
    and its words.
    """

    def __init__(
        self,
        board: Board,
        key: str,
        place: Place,
        x: tuple[float, float, str],
        y: tuple[float, float, str],
        x_ticks: Sequence[tuple[float, str]],
        y_ticks: Sequence[tuple[float, str]],
    ) -> None:
        self.board, self.key = board, key
        x, x_ticks = board.scale(f"{key} x", abs(x[1] - x[0]), (x, x_ticks))
        y, y_ticks = board.scale(f"{key} y", y[1] - y[0], (y, y_ticks))
        self._x, self._y = x, y
        self._words: list[tuple[float, float, float]] = []  # start, end and height of each line of words on the chart
        self._curves: list[tuple[list[float], list[float]]] = []
        s = board.small
        widest = max((board.wide(words, s) for _, words in y_ticks), default=0.0)
        self.left, self.right = place.x + widest + 8, place.x + place.w - s * 0.8
        self.bottom, self.top = place.y + s * 2.9, place.y + place.h - s * 1.9
        if board.is_faint:
            return
        board.line(f"{key} foot", [self.left, self.right], [self.bottom] * 2, width=1.4)
        board.line(f"{key} side", [self.left] * 2, [self.bottom, self.top], width=1.4)
        for n, (value, words) in enumerate(x_ticks):
            at, _ = self.at(value, y[0])
            board.line(f"{key} x tick {n}", [at, at], [self.bottom, self.bottom - 4], width=1.2)
            board.words(f"{key} x words {n}", at, self.bottom - 6, words, va="top", size=s)
        for n, (value, words) in enumerate(y_ticks):
            _, at = self.at(x[0], value)
            board.line(f"{key} y tick {n}", [self.left - 4, self.left], [at, at], width=1.2)
            board.words(f"{key} y words {n}", self.left - 7, at, words, ha="right", size=s)
            self._words.append((self.left - 7 - board.wide(words, s), self.left - 7, at))
        board.words(f"{key} x name", (self.left + self.right) / 2, place.y + s * 0.7, x[2], size=s)
        board.words(f"{key} y name", place.x, place.y + place.h - s * 0.7, y[2], ha="left", size=s)
        self._words.append((place.x, place.x + board.wide(y[2], s), place.y + place.h - s * 0.7))

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Board units of a point, kept inside the chart."""
        share_x = min(max((x - self._x[0]) / (self._x[1] - self._x[0]), 0.0), 1.0)
        share_y = min(max((y - self._y[0]) / (self._y[1] - self._y[0]), 0.0), 1.0)
        return self.left + share_x * (self.right - self.left), self.bottom + share_y * (self.top - self.bottom)

    def _many(self, xs: Sequence[float], ys: Sequence[float]) -> tuple[list[float], list[float]]:
        points = [self.at(float(x), float(y)) for x, y in zip(xs, ys, strict=True)]
        return [p[0] for p in points], [p[1] for p in points]

    def curve(self, key: str, xs: Sequence[float], ys: Sequence[float], **how: Any) -> None:
        """A relation, drawn through the points."""
        how = {"ink": "curve", "width": 2.6, **how}
        points = self._many(xs, ys)
        self._curves.append(points)
        self.board.line(f"{self.key} {key}", *points, **how)

    def band(
        self, key: str, xs: Sequence[float], low: Sequence[float], high: Sequence[float], fill: str = "band"
    ) -> None:
        """The room between two relations."""
        up_x, up_y = self._many(xs, high)
        down_x, down_y = self._many(xs, low)
        self.board.shape(f"{self.key} {key}", up_x + down_x[::-1], up_y + down_y[::-1], fill=fill, edge="")

    def level(self, key: str, value: float, words: str, ink: str = "limit", above: bool = True) -> None:
        """A line across that is not to be crossed; its words stand at the left above it, or at the right below."""
        if self.board.is_faint:
            return
        _, y = self.at(self._x[0], value)
        small = self.board.small
        ends = [self.left, self.right]
        self.board.line(f"{self.key} {key}", ends, [y, y], ink=ink, width=2.2, dash=(7, 3, 1.5, 3))
        if not words:
            return
        wide = self.board.wide(words, small)
        at = self.left + 6 if above else self.right - wide
        height = y + (0.8 if above else -0.8) * small
        self._words.append((at, at + wide, height))
        ha = "left" if above else "right"
        self.board.words(
            f"{self.key} {key} words",
            at if above else self.right,
            height,
            words,
            ha=ha,
            ink=ink,
            size=small,
            card=True,
        )

    def note(
        self,
        key: str,
        x: float,
        y: float,
        words: str,
        ink: str = "ink",
        lift: float = 0.0,
        ha: str = "left",
        if_room: bool = False,
    ) -> None:
        """Words that begin (or with `ha` "right" end) at a point, `lift` sizes above it; a mark that is drawn later
        keeps clear of them. With `if_room` they stay away where other words stand already."""
        small = self.board.small
        at, height = self.at(x, y)
        height += lift * small
        wide = self.board.wide(words, small)
        start = at if ha == "left" else at - wide
        if if_room and not self._room(start, start + wide, height):
            return
        self._words.append((start, start + wide, height))
        self.board.words(f"{self.key} {key}", at, height, words, ha=ha, ink=ink, size=small, card=True)

    def mark(self, key: str, x: float, y: float, words: str = "", ink: str = "alcohol", above: bool = False) -> None:
        """Where this setting stands, with its value in words beside it, where no other words of the chart are.

        Words go below the mark where there is room, or with `above` over it; where they can, beside the curves that
        are drawn already, not on them.
        """
        at_x, at_y = self.at(x, y)
        size = self.board.size
        drop = f"{self.key} {key} drop"
        self.board.line(drop, [at_x, at_x], [self.bottom, at_y], ink="quiet", width=1.2, dash=(2, 3))
        self.board.dot(f"{self.key} {key}", at_x, at_y, ink=ink)
        if self.board.letter:
            self.board.tag(f"{self.key} {key}", at_x, at_y)  # beside each other the figures stand in the tiles
            return
        if not words:
            return
        wide = 1.05 * self.board.wide(words)  # bold
        steps = (1.0, 2.1, -1.1, -2.3, 3.3, -3.5, 4.5, -4.7)
        steps = steps if above else (-1.1, 1.0, -2.3, 2.1, -3.5, 3.3, -4.7, 4.5)
        places = [
            (at_x + (12 if right else -12 - wide), at_y + step * size) for step in steps for right in (True, False)
        ]
        places += [(self.right + size - wide, at_y + step * size) for step in steps]  # where the mark leaves no side
        fits = [p for p in places if self._inside(p[0], p[0] + wide, p[1])] or places
        room = [p for p in fits if self._room(p[0], p[0] + wide, p[1])] or fits
        start, height = next((p for p in room if self._beside_curves(p[0], p[0] + wide, p[1])), room[0])
        self._words.append((start, start + wide, height))
        right = start > at_x
        self.board.words(
            f"{self.key} {key} words",
            start if right else start + wide,
            height,
            words,
            ha="left" if right else "right",
            bold=True,
            card=True,
        )

    def _inside(self, start: float, end: float, height: float) -> bool:
        """Whether a line of words would stand inside the chart."""
        size = self.board.size
        low, high = self.bottom + 0.6 * size, self.top + 0.4 * size
        return self.left <= start and end <= self.right + size and low <= height <= high

    def _beside_curves(self, start: float, end: float, height: float) -> bool:
        """Whether a line of words would stand on none of the curves."""
        half = 0.65 * self.board.size
        for xs, ys in self._curves:
            for (x1, y1), (x2, y2) in pairwise(zip(xs, ys, strict=True)):
                (left, low), (right, high) = sorted([(x1, y1), (x2, y2)])
                if right < start or left > end:
                    continue
                rise = (high - low) / (right - left) if right > left else 0.0
                ends = [low + rise * (max(left, start) - left), high - rise * (right - min(right, end))]
                if min(ends) < height + half and max(ends) > height - half:
                    return False
        return True

    def _room(self, start: float, end: float, height: float) -> bool:
        """Whether a line of words would stand on no other words of the chart."""
        apart = 1.2 * self.board.size
        return all(end < a or start > b or abs(height - at) > apart for a, b, at in self._words)
