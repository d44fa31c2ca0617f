"""Floor 5. The card of a weighing log: pasted or typed, read back, its curve and band, "dry enough?" three ways.

An invented log stands there at first, which the card says. Nothing is kept; while the page runs, the curve of a log
of one's own is handed on, for the panel of the room.
"""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import Any

import ipywidgets as w
import numpy as np

from herbcalc import drying
from herbcalc.rules import Rules
from herbcalc.show.card import paper
from herbcalc.show.draw.board import Board, data_uri
from herbcalc.show.draw.shapes import Chart, whole
from herbcalc.show.stored import Stored
from herbcalc.show.words import HANDS, NOT_ASKED
from herbcalc.units import Q, amount, spoken
from herbcalc.units.refusals import OutOfRange, WrongUnit

TITLE = "Your own log"
_WEIGHED = {0: 1000, 6: 744, 12: 561, 24: 372, 30: 313, 36: 285, 48: 243, 60: 226}
EXAMPLE = "\n".join(["time; weight", *(f"{hours} h; {grams} g" for hours, grams in _WEIGHED.items())])
STOP = "222 g"
INVENTED = (
    "The log that stands here is invented. Put yours in its place, one weighing on each line: a time and a weight, "
    "of the herb without its tray. Hours, clock times or dates, grams or ounces: all can be read. Nothing is kept."
)
OF_ONES_OWN = (
    "One weighing on each line: a time and a weight, of the herb without its tray. Hours, clock times or dates, "
    "grams or ounces: all can be read. Add a line each time you weigh."
)
EMPTY = (
    'No weighing could be read yet, for none stands there. "0 h; 1000 g" would do as a first line. Five or more make '
    "a good curve."
)
READ = "What was read, line by line"
NO_STOP = 'The weight to stop at: nothing stands there yet. Something such as "222 g" would do; lesson 3 finds it.'
LONGEST = Q(366.0, "day")
FURTHEST = 3.0  # times the last weighing: further on a curve is no picture of anything
WIDE, HIGH = 420.0, 250.0


class WeighingLog(Stored, w.VBox):
    """The places to type, the button, the picture and the words, told by the house rules given.

    `hand_on` is given the curve whenever one is drawn; None for the invented log, and for one that has no curve.
    `own` is what a person has kept of a log of their own, where it is kept; the invented one stands there otherwise.
    """

    stored_plain = TITLE

    def __init__(
        self, rules: Rules, hand_on: Callable[[Any], None] = lambda curve: None, own: str | None = None
    ) -> None:
        super().__init__()
        self._hand_on = hand_on
        self.add_class("herb-card")
        stands, stop = (EXAMPLE, STOP) if own is None else (own, "")
        self.place = w.Textarea(
            value=stands, description="Weighings, one on each line", rows=9, continuous_update=False
        )
        self.place.style.description_width = "initial"
        self.place.layout.width = "100%"
        self.place.add_class("herb-long")
        self.stop = paper.box(f"Weight to stop at ({rules.dried_to:g} % water)", self.work_out, stop)
        self.hands = paper.choice("What the hands say", [(v, k) for k, v in HANDS.items()])
        self.drawing, self.said = w.HTML(), paper.live()
        self.svg, self.alt = "", ""
        self.work_out()
        words = f"<h3>{TITLE}</h3><p>{INVENTED if own is None else OF_ONES_OWN}</p>"
        image = f'<img alt="{escape(self.alt)}" width="{WIDE:.0f}" src="{data_uri(self.svg)}">'
        shown = f"<pre>{escape(EXAMPLE)}</pre>{image}" if own is None else ""
        self.stored_html = f"{words}{shown}{self.said.value}<p>{paper.TO_TYPE}</p>"
        button = paper.button("Draw the curve", self.work_out, first=True)
        self.children = [
            w.HTML(words), self.place, self.stop, self.hands, button, self.drawing, self.said, paper.Manners(),
        ]  # fmt: skip

    def work_out(self) -> None:
        """Read the log, draw its curve and say what there is to say, or why it cannot be said."""
        self.svg = self.alt = ""
        if not self.place.value.strip():
            self._show(paper.told([EMPTY]))
            self._hand_on(None)
            return
        try:
            log = drying.read_log(self.place.value)
        except (WrongUnit, OutOfRange) as refusal:
            self._show(paper.told([str(refusal)]))
            self._hand_on(None)
            return
        stop, lines = self._stop()
        lines = [_read(log), *lines]
        curve = None
        try:
            curve = _fitted(log)
        except (WrongUnit, OutOfRange) as refusal:
            lines.append(str(refusal))
        if curve is not None:
            when, hours = _when(curve, stop)
            lines += when
            self.svg, self.alt = _picture(log, curve, stop, hours)
        lines += log.notes
        told = paper.told(lines)
        if curve is not None:
            told += paper.unfolding("How the curve was drawn", "By a model of drying.", list(curve.notes))
        if stop is not None:
            told += paper.listed("Dry enough? Three answers, because each alone misleads:", self._dry(log, stop))
        points = zip(log.times, log.weights, strict=True)
        told += paper.unfolding(READ, _read(log), [f"{spoken(hours)}: {spoken(grams)}" for hours, grams in points])
        self._show(told)
        self._hand_on(None if self.place.value == EXAMPLE else curve)

    def _show(self, told: str) -> None:
        self.said.value = told
        shown = f'<div class="herb-given" role="img" aria-label="{escape(self.alt)}">{self.svg}</div>'
        self.drawing.value = shown if self.svg else ""

    def _stop(self) -> tuple[Any, list[str]]:
        """The weight to stop at, None where there is none to be had, and what to say of it."""
        typed = self.stop.value.strip()
        if not typed:
            return None, [NO_STOP]
        try:
            stop = amount(typed, "weight").to("g")
        except (WrongUnit, OutOfRange) as refusal:
            return None, [f"The weight to stop at: {refusal}"]
        if stop.magnitude <= 0:
            return None, [f"The weight to stop at: {spoken(stop)} is no weight of herb. {STOP} would do."]
        return stop, []

    def _dry(self, log: Any, stop: Any) -> list[str]:
        hands = None if self.hands.value == NOT_ASKED else self.hands.value
        before, now = log.weights[-2], log.weights[-1]
        told = drying.dry_enough(before, now, stop, hands=hands, apart=log.times[-1] - log.times[-2]).texts
        return list(told) if hands else [*told[:-1], "The hands: nobody has felt it yet.", told[-1]]


def _fitted(log: Any) -> Any:
    """The curve of a log, where its times can be those of drying."""
    if log.times[-1] > LONGEST:
        raise OutOfRange(
            f"This log runs over {spoken(log.times[-1])}, and herb dries in hours or days, so no curve was drawn. Is "
            "one of the times in another unit than the rest, or a date amiss?"
        )
    return drying.fit(log.times, log.weights)


def _read(log: Any) -> str:
    return (
        f"Read: {len(log.times)} weighings over {spoken(log.times[-1])}, from {spoken(log.weights[0])} to "
        f"{spoken(log.weights[-1])}."
    )


def _when(curve: Any, stop: Any) -> tuple[list[str], float]:
    """When the stop weight is reached by the curve, in words, and in hours (0 where that cannot be said)."""
    if stop is None:
        return [], 0.0
    try:
        return [f"By the curve, a model: {curve.says(stop)}"], float(curve.time_to(stop).magnitude)
    except (WrongUnit, OutOfRange) as refusal:
        return [f"By the curve, a model: {refusal}".replace("weight: ", "")], 0.0


def _picture(log: Any, curve: Any, stop: Any, hours: float) -> tuple[str, str]:
    """The weighings, the curve through them and its band, and the same in words."""
    times, grams = log.times.magnitude, log.weights.magnitude
    last, top = float(times[-1]), float(max(grams))
    end = max(last, min(1.1 * hours, FURTHEST * last))
    along = Q(np.linspace(0.0, end, 80), "hour")
    low, high = (np.clip(side.magnitude, 0.0, top) for side in curve.band.weight(along))
    board = Board(WIDE, HIGH, name="own log", size=15.0, small=13.5)
    board.start()
    chart = Chart(
        board,
        "log",
        whole(board),
        (0.0, end, "hours since the first weighing"),
        (0.0, top, "weight, g"),
        [(0.0, "0"), (end / 2, f"{end / 2:.3g}"), (end, f"{end:.3g}")],
        [(0.0, "0"), (top, f"{top:.4g}")],
    )
    chart.band("band", along.magnitude, low, high)
    chart.curve("curve", along.magnitude, curve.weight(along).magnitude)
    if stop is not None and stop.magnitude < top:
        chart.level("stop", float(stop.magnitude), f"stop at {spoken(stop, 'metric')}", above=False)
    for n, (hour, weight) in enumerate(zip(times, grams, strict=True)):
        board.dot(f"weighing {n}", *chart.at(float(hour), float(weight)), ink="alcohol")
    chart.note("model", end, top, "the curve is a model", ink="quiet", lift=-1.0, ha="right", if_room=True)
    alt = (
        f"{len(times)} weighings as dots over {spoken(log.times[-1])}, from {spoken(log.weights[0])} to "
        f"{spoken(log.weights[-1])}, a curve through them that falls more and more slowly, a model, and the band "
        "that holds it in 95 of every 100 logs like this one."
    )
    return board.svg(), alt
