"""Floor 5. The ledger of a batch as one picture: plant solids, water and alcohol, from the stand to the bottle.

Three streams stand one above the other, each as thick as it is heavy, all on one scale. What leaves them branches off
and is named: into the air from the tray, into the marc at the end. A stream is told by its pattern and its word.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from herbcalc.batch import Batch
from herbcalc.batch.ledger import BROUGHT_IN
from herbcalc.batch.plan import GATHERED
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Place, spread, whole
from herbcalc.show.look import View
from herbcalc.units import Q
from herbcalc.units.saying import so_many

LETTER = 0.93  # of the width that a board counts for a letter: figures and small letters are narrower than most
HEAVY = 10_000.0  # g: from here on it is said in kg and whole pounds
GRAMS_PER_LB = float(Q(1.0, "lb").to("g").magnitude)
HEAD, LINE = 1.35, 1.08  # sizes of its words that the names of the places take, and each line
NEAR, LEAD = 5.0, 15.0  # board units from words to what they name
BEND = 10  # points along the bend of a branch


class Flows(NamedTuple):
    """What flows, g: plant solids; the plant's water, and of it what goes into the air; water and alcohol that are
    poured; and where the two end."""

    solids: float
    grown: float
    air: float
    poured: float
    alcohol: float
    water_out: float
    alcohol_out: float
    water_marc: float
    alcohol_marc: float

    @property
    def left(self) -> float:
        """The plant's water that goes into the jar with it."""
        return self.grown - self.air

    @property
    def water(self) -> float:
        """The most water that stands anywhere."""
        return max(self.grown, self.left + self.poured)


def flows(batch: Batch) -> Flows:
    """The ledger of a batch, read for its streams."""
    grown, poured = (row for row in batch.rows if row.place == BROUGHT_IN)
    last = {row.place: row for row in batch.rows if row.step == batch.rows[-1].step}
    return Flows(
        solids=grown.solids,
        grown=grown.water,
        air=last["air"].water if "air" in last else 0.0,
        poured=poured.water,
        alcohol=poured.alcohol,
        water_out=last["bottles"].water,
        alcohol_out=last["bottles"].alcohol,
        water_marc=last["marc"].water,
        alcohol_marc=last["marc"].alcohol,
    )


def streams(
    batch: Batch,
    view: View = View(),  # noqa: B008 - frozen, never changed
    *,
    wide: float,
    high: float,
    name: str,
    ground: str = "paper",
) -> tuple[str, str]:
    """The picture on a board of its own, with its alternative text.

    batch       a Batch
    view        which system of units stands first
    wide, high  of the picture, in the units of a board (its words are 15 high); from 500 x 180 on all has room
    name        salts the ids inside the SVG, so that two pictures on one page do not share them
    ground      "paper", or "light" and "dark" as in a panel

    Result: the SVG and the text, which says the same with figures.
    """
    board = Board(wide, high, name=name, size=15.0, ground=ground)
    board.start()
    plants = "".join(so_many(int(line.metric), "plant") for line in batch.plan if line.what == GATHERED)
    ledger(board, whole(board), batch, view, plants)
    return board.svg(), told(batch, view)


def _pair(view: View, grams: float) -> tuple[str, str]:
    """A weight in the wanted system and in the other; from 10 kg on to three figures of a kg, and in whole pounds."""
    if grams < HEAVY:
        return view.pair(grams, "g")
    metric = View().pair(float(f"{grams / 1000.0:.3g}"), "kg")[0]
    kitchen = View().pair(round(grams / GRAMS_PER_LB), "lb")[1]
    return (kitchen, metric) if view.units == "kitchen" else (metric, kitchen)


def _both(view: View, grams: float) -> str:
    first, second = _pair(view, grams)
    return f"{first} ({second})" if second else first


def told(batch: Batch, view: View) -> str:
    """The same in words."""
    it = flows(batch)

    def say(grams: float) -> str:
        return _both(view, grams)

    air = f", {say(it.air)} of it go into the air on the tray" if it.air else ""
    return (
        "Three streams to one scale, from the stand to the bottle. "
        f"Plant solids: {say(it.solids)} lie in the basket, and all of them end in the marc. "
        f"Water: {say(it.grown)} come with the plant{air}, {say(it.poured)} are poured with the spirit; "
        f"{say(it.water_out)} end in the bottle, {say(it.water_marc)} in the marc. "
        f"Alcohol: {say(it.alcohol)} are poured; {say(it.alcohol_out)} end in the bottle, {say(it.alcohol_marc)} in "
        "the marc."
    )


# --- where it all stands ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Frame:
    """Where the streams stand. Along the walk: where the basket begins, where the tray and the jar do, where spirit
    is poured, where it is pressed, and the end; upwards: the foot of each stream, and board units for each g."""

    basket: float
    tray: float
    pour: float
    jar: float
    press: float
    end: float
    solids: float
    water: float
    alcohol: float
    each: float
    apart: float  # between the branches of one stream


def _along(start: float, end: float, tray: bool) -> tuple[float, float, float, float]:
    """Where the tray, the pouring, the jar and the press are, between the two ends."""
    shares = (0.24, 0.5, 0.6, 0.8) if tray else (0.4, 0.4, 0.5, 0.78)
    dries, pours, jar, presses = (start + share * (end - start) for share in shares)
    return dries, pours, jar, presses


def ledger(board: Board, place: Place, batch: Batch, view: View, plants: str = "") -> None:
    """Draw it in a place on a board; a narrow board has few words, a mute one none. `plants`: of the stand."""
    it, tray = flows(batch), any(row.place == "tray" for row in batch.rows)
    start, end = place.x, place.x + place.w
    words = _Words(board, it, view)
    if not (board.mute or board.narrow):
        left, right = words.widths()
        start, end = start + left, end - right
        words.over(_along(start, end, tray)[1] - NEAR - place.x, place.h - HEAD * board.small)
    frame = _frame(board, place, (start, end), it, tray, words.lines_over)
    _draw(board, frame, it, tray)
    if board.mute or board.is_faint:
        return
    _heads(board, place, frame, batch.order.method, plants, tray)
    if board.narrow:
        _few_words(board, place, frame, it, view)
    else:
        words.put(place, frame, it)


def _frame(board: Board, place: Place, ends: tuple[float, float], it: Flows, tray: bool, lines: int) -> _Frame:
    """`lines` of words must fit left of the alcohol, over the water; on a narrow board one over each stream."""
    size = 0.0 if board.mute else board.small
    solids, water, alcohol = (
        board.scale(f"ledger {key}", most, most)
        for key, most in (("solids", it.solids), ("water", it.water), ("alcohol", it.alcohol))
    )
    lines = board.scale("ledger lines", lines, lines)
    head = 1.3 * size if board.narrow else 0.0
    gap, apart = max(0.35 * size, 3.0), max(0.35 * size, 2.0)
    high = place.h - HEAD * size - 2 * gap - 2 * apart - 3 * head
    each = high / (solids + water + alcohol)
    block = LINE * size * lines
    if alcohol * each + apart < block:
        each = (high + apart - block) / (solids + water)
    top = place.y + place.h - HEAD * size
    return _Frame(
        ends[0],
        *_along(*ends, tray),
        ends[1],
        solids=place.y,
        water=place.y + solids * each + gap + head,
        alcohol=top - head - apart - alcohol * each,
        each=each,
        apart=apart,
    )


# --- what is drawn ------------------------------------------------------------------------------------------------


def _draw(board: Board, at: _Frame, it: Flows, tray: bool) -> None:
    """The three streams. A line across one stands where the next place begins."""
    each, foot = at.each, at.water
    out = at.tray if tray else at.jar

    def band(key: str, fill: str, start: float, end: float, low: float, grams: float, rise: float = 0.0) -> None:
        if grams > 0.0:
            xs, ys = _bend(start, end, low, rise)
            board.shape(f"ledger {key}", [*xs, *xs[::-1]], [*ys, *(ys + grams * each)[::-1]], fill=fill, width=1.0)

    edges = [at.basket, *([at.tray] if tray else []), at.jar, at.press, at.end]
    for n in range(len(edges) - 1):
        band(f"solids {n}", "solids", edges[n], edges[n + 1], at.solids, it.solids)
    band("water basket", "water", at.basket, out, foot, it.grown)
    if tray:
        over = foot + it.left * each
        band("water tray", "water", at.tray, at.jar, foot, it.left)
        band("water air", "water", at.tray, at.tray + 0.75 * (at.pour - at.tray), over, it.air, at.apart)
    band("water poured", "water", at.pour, at.jar, foot + it.left * each, it.poured)
    band("water jar", "water", at.jar, at.press, foot, it.left + it.poured)
    band("water marc", "water", at.press, at.end, foot, it.water_marc)
    band("water out", "water", at.press, at.end, foot + it.water_marc * each, it.water_out, at.apart)
    band("alcohol poured", "alcohol", at.pour, at.jar, at.alcohol, it.alcohol)
    band("alcohol jar", "alcohol", at.jar, at.press, at.alcohol, it.alcohol)
    band("alcohol marc", "alcohol", at.press, at.end, at.alcohol, it.alcohol_marc)
    band("alcohol out", "alcohol", at.press, at.end, at.alcohol + it.alcohol_marc * each, it.alcohol_out, at.apart)


def _bend(start: float, end: float, low: float, rise: float) -> tuple[np.ndarray, np.ndarray]:
    """The lower edge of a band; one that branches off rises softly in its first half."""
    if not rise:
        return np.array([start, end]), np.array([low, low])
    share = np.linspace(0.0, 1.0, BEND)
    up = low + rise * share**2 * (3.0 - 2.0 * share)
    return np.append(start + 0.5 * (end - start) * share, end), np.append(up, low + rise)


# --- its words ----------------------------------------------------------------------------------------------------


def _wide(board: Board, text: str) -> float:
    return LETTER * board.wide(text, board.small)


class _Words:
    """The words beside the streams, as lines from the bottom up: at the left what the plant brings, over it and left
    of the alcohol what is poured and what dries away, at the right where all of it ends."""

    def __init__(self, board: Board, it: Flows, view: View) -> None:
        self._board, self._it, self._view = board, it, view
        self._comes = {"solids": self._two("solids", it.solids), "grown": self._two("water", it.grown)}
        self._over: dict[str, list[str]] = {}
        self._ends = {
            "solids": self._two("marc", it.solids),
            "water marc": self._two("marc", it.water_marc)[-1:],
            "water out": self._two("bottle", it.water_out),
            "alcohol marc": self._two("marc", it.alcohol_marc)[-1:],
            "alcohol out": self._two("bottle", it.alcohol_out),
        }

    def _two(self, name: str, grams: float) -> list[str]:
        """An amount in two lines; one where there is no other system for it."""
        first, second = _pair(self._view, grams)
        return [*([second] if second else []), f"{name} {first}"]

    def widths(self) -> tuple[float, float]:
        """How much room the left and the right take."""
        left, right = (
            max(_wide(self._board, line) for lines in side.values() for line in lines)
            for side in (self._comes, self._ends)
        )
        return left + 0.4 * self._board.small, right + LEAD

    def over(self, room: float, high: float) -> None:
        """Say what is poured and what dries away in lines of this length: in both systems of units while it fits."""
        it = self._it
        named = [("air", it.air)] if it.air else []
        named += [("water", it.poured), ("alcohol", it.alcohol)]
        own = sum(map(len, self._comes.values()))
        spare = int(high / (LINE * self._board.small)) - own - len(named)
        for name, grams in reversed(named):  # alcohol before all
            one, two = f"{name} {_both(self._view, grams)}", self._two(name, grams)
            if _wide(self._board, one) <= room:
                two = [one]
            elif spare < 1 or name == "air":
                two = two[-1:]
            spare -= len(two) - 1
            self._over = {name: two, **self._over}

    @property
    def lines_over(self) -> int:
        """How many lines those are."""
        return sum(map(len, self._over.values()))

    def put(self, place: Place, at: _Frame, it: Flows) -> None:
        """Write them, none on another."""
        each, lift = at.each, 0.7 * self._board.small
        top = at.water + it.water * each
        comes = {
            "solids": at.solids + it.solids * each / 2,
            "grown": at.water + it.grown * each / 2,
            "air": top + at.apart + lift,
            "water": top + lift,
            "alcohol": at.alcohol + it.alcohol * each / 2,
        }
        ends = {
            "solids": at.solids + it.solids * each / 2,
            "water marc": at.water + it.water_marc * each / 2,
            "water out": at.water + (it.water_marc + it.water_out / 2) * each + at.apart,
            "alcohol marc": at.alcohol + it.alcohol_marc * each / 2,
            "alcohol out": at.alcohol + (it.alcohol_marc + it.alcohol_out / 2) * each + at.apart,
        }
        for key, y, text in self._spread(place, {**self._comes, **self._over}, comes):
            over = key.split(" ")[0] in self._over
            x, ha = (at.pour - NEAR, "right") if over else (place.x, "left")
            self._board.words(f"ledger in {key}", x, y, text, ha=ha, size=self._board.small)
        x = place.x + place.w - self.widths()[1] + LEAD
        for key, y, text in self._spread(place, self._ends, ends):
            self._board.words(f"ledger out {key}", x, y, text, ha="left", size=self._board.small)
            if key in ends:  # a lead to the first line of each
                self._board.line(f"ledger lead {key}", [at.end + 1, x - 3], [ends[key], y], ink="quiet", width=1.0)

    def _spread(
        self, place: Place, said: Mapping[str, Sequence[str]], middles: Mapping[str, float]
    ) -> Iterator[tuple[str, float, str]]:
        """Each line with its height; the upper line of two goes by the name itself."""
        lines = [(key, n, text) for key, both in said.items() for n, text in enumerate(both[::-1])]
        lines.sort(key=lambda line: ([*said].index(line[0]), -line[1]))
        high = place.y + place.h - HEAD * self._board.small
        heights = spread([middles[key] for key, _, _ in lines], LINE * self._board.small, place.y, high)
        for (key, n, text), y in zip(lines, heights, strict=True):
            yield (f"{key} below" if n else key), y, text


def _heads(board: Board, place: Place, at: _Frame, method: str, plants: str, tray: bool) -> None:
    """The places of the walk over the streams, none on another."""
    end = place.x + place.w
    vessel = "jar" if method == "soak" else "drip" if board.narrow else "percolator"
    named = {"stand": ("stand", place.x)} if not board.narrow else {}
    named["basket"] = "basket", (at.basket + (at.tray if tray else at.pour)) / 2
    if tray:
        named["tray"] = "tray", (at.tray + at.pour) / 2
    named |= {"vessel": (vessel, (at.jar + at.press) / 2), "bottle": ("bottle", end)}
    gap = 0.35 * board.small
    if plants and not board.narrow:
        counted = {**named, "stand": (f"stand: {plants}", place.x)}
        if sum(_wide(board, text) + gap for text, _ in counted.values()) <= place.w:
            named = counted
    starts: list[float] = []
    free = place.x
    for text, middle in named.values():
        starts.append(max(middle - _wide(board, text) / 2, free))
        free = starts[-1] + _wide(board, text) + gap
    free = end
    for n, (key, (text, _)) in reversed([*enumerate(named.items())]):
        start = min(starts[n], free - _wide(board, text))
        free = start - gap
        y = place.y + place.h - 0.6 * board.small
        board.words(f"ledger place {key}", start, y, text, ha="left", size=board.small, ink="quiet")


def _few_words(board: Board, place: Place, at: _Frame, it: Flows, view: View) -> None:
    """A narrow board: over each stream what comes in, and what ends in the bottle; the solids' end is the marc."""
    each, lift = at.each, 0.65 * board.small
    most = at.water + it.water * each + at.apart
    rows = (
        ("alcohol", at.alcohol + it.alcohol * each + at.apart, it.alcohol, it.alcohol_out),
        ("water", most, it.grown, it.water_out),
        ("solids", at.solids + it.solids * each, it.solids, None),
    )
    for name, top, comes, out in rows:
        text = f"{name} {_pair(view, comes)[0]}"
        board.words(f"ledger in {name}", place.x, top + lift, text, ha="left", size=board.small)
        ends = "marc" if out is None else _pair(view, out)[0]
        if _wide(board, text) + _wide(board, ends) + 8 <= place.w:
            board.words(f"ledger out {name}", place.x + place.w, top + lift, ends, ha="right", size=board.small)
