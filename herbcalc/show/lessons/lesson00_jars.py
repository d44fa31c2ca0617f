"""Floor 5. First aid for sums, its panel: a fraction is a jar with marks, and per cent is the same of every 100."""

from __future__ import annotations

from dataclasses import dataclass
from math import gcd

from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.marked import marked_jars
from herbcalc.show.draw.shapes import Part, Place, rows, stack
from herbcalc.show.look import MOST_LIQUID, Look, Number, View, dial
from herbcalc.units.saying import said

LESSON = 0
PART = "jars"
BOTH_RULES = False
TITLE = "A fraction is a jar with marks"
CAUTION = ""


@dataclass(frozen=True)
class Setting:
    """A jar with marks: into how many equal parts, how many of them are full, and what it holds in mL."""

    parts: float = dial(3, "", low=2, high=12, step=1, label="Equal parts")
    full: float = dial(2, "", low=0, high=12, step=1, label="Parts that are full")
    holds: float = dial(600, "mL", low=50, high=2000, step=10, label="One jar holds", most=MOST_LIQUID)


def fraction(full: int, parts: int) -> str:
    """A fraction as it is written, and the same with smaller numbers where there is one.

    >>> fraction(2, 3), fraction(4, 8), fraction(5, 4), fraction(6, 3)
    ('2/3', '4/8, the same as 1/2', '5/4, the same as 1 1/4', '6/3, the same as 2')
    """
    common = gcd(full, parts)
    jars, rest = divmod(full, parts)
    small = f"{rest // common}/{parts // common}" if rest else ""
    short = " ".join(filter(None, [str(jars) if jars or not rest else "", small]))
    return f"{full}/{parts}" if short == f"{full}/{parts}" else f"{full}/{parts}, the same as {short}"


def counted(full: int, parts: int) -> str:
    """How many parts are full, in few words.

    >>> counted(2, 3), counted(5, 4)
    ('2 of 3 parts', '5 parts, 4 to a jar')
    """
    return f"{full} of {parts} parts" if full <= parts else f"{full} parts, {parts} to a jar"


def look(setting: Setting, _: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """A jar and its marks: what one part is, what all full ones are, and how many of every 100 that is."""
    say, parts, full, holds = view.say, int(setting.parts), int(setting.full), float(setting.holds)
    one, within = holds / parts, holds * full / parts
    share = full / parts
    hundred, written = f"{said(100 * share, '')} %", fraction(full, parts)
    marks = f"{parts} equal parts"
    filled = "one of them is full" if full == 1 else f"{full or 'none'} of them are full"
    given = f"A jar of {say(holds, 'mL')} has marks for {marks}, and {filled}."
    if full > parts:
        given = f"Jars of {say(holds, 'mL')} have marks for {marks} each, and {full} parts are full."
    return Look(
        sentence=(
            f"{given} One part is {say(holds, 'mL')} ÷ {parts} = {say(one, 'mL')}; {full} × that is "
            f"{say(within, 'mL')}. It is written {written}, and on a calculator {said(share, '')}. That is {hundred} "
            f"of one jar: {said(100 * share, '')} of every 100 mL that it holds, or of every 100 fl oz."
        ),
        numbers=(
            view.number("within", "Full parts together", within, "mL", "how much is in it?"),
            view.number("one", "One part", one, "mL", "how much is one part?"),
            Number(
                "Per cent of one jar", hundred, "", 100 * share, "percent", "percent", "how many per cent is that?"
            ),
            Number("Written", written.partition(",")[0], "", share, "", "share", "how is that written?"),
        ),
        alt=(
            f"{given} The full parts are filled from the foot, the mark at their top goes all the way across. Beside "
            f"it two lying bars of one length, which is one jar: the first cut into {parts} boxes, the second filled "
            f"to {hundred}{', over the end of the first jar' if full > parts else ''}."
        ),
        table=(
            ("", "in words", "how much"),
            ("one jar", marks, say(holds, "mL")),
            ("one part", f"1/{parts}", say(one, "mL")),
            ("full parts together", written, say(within, "mL")),
            ("per cent of one jar", f"{said(share, '')} × 100", hundred),
        ),
        left=lambda board, place, answer: _jars(board, place, setting, view, answer),
        right=lambda board, place: _bars(board, place, parts, full, hundred),
        given=given,
        short=f"{counted(full, parts)}, {say(holds, 'mL')} in a full jar",
        share=0.52,
    )


def _jars(board: Board, place: Place, s: Setting, view: View, answer: bool) -> None:
    """The jars, and below them how many parts are full and what that is."""
    parts, full = int(s.parts), int(s.full)
    within = view.pair(s.holds * full / parts, "mL")[0] if answer else view.asked("mL")
    words = f"{full}/{parts}" if board.narrow else counted(full, parts)
    marked_jars(board, "jar", place, parts, full, s.holds, f"{words}: {within}")


def _bars(board: Board, place: Place, parts: int, full: int, hundred: str) -> None:
    """The parts as boxes, and below them the same length as per cent; both to one scale."""
    longest = max(parts, full) / parts
    length = board.scale("bars", longest, longest)
    boxes = [Part("band" if n < full else "card", 1 / parts) for n in range(max(parts, full))]
    first, second, _ = rows(place, 3)
    stack(board, "parts", first, boxes, length, counted(full, parts))
    jars, over = divmod(full, parts)
    filled = [Part("band", 1.0)] * jars + [Part("band", over / parts)]
    rest = [Part("card", 1 - full / parts)] if full < parts else []
    stack(board, "hundred", second, [*filled, *rest], length, f"{hundred} of one jar")
