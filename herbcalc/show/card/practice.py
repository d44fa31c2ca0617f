"""Floor 5. How a page works, in one picture, and a first box to type in, where nothing can go amiss."""

from __future__ import annotations

import base64
from html import escape

import anywidget
import ipywidgets as w
from traitlets import Bool

from herbcalc.show import assets
from herbcalc.show.card import paper
from herbcalc.show.desk import Desk
from herbcalc.show.stored import Stored
from herbcalc.units import OutOfRange, WrongUnit, amount, spoken
from herbcalc.units.refusals import quoted
from herbcalc.units.words import KIND_OF, KINDS

ALT = (
    "A drawing of a page with four numbers on it. 1, at the top of the window: choose Run, then Run All Cells. 2, in "
    "the middle: a box to type in, here with 100 g (3 1/2 oz) in it, and a button beside it. 3, at the left edge: a "
    "number in square brackets, which you may leave alone. 4, below: two keys, Shift and Enter."
)
STEPS = [
    "To wake the page: at the top of the window click Run, then Run All Cells. A few seconds later it is awake.",
    "To answer: click into a box, type, and press Enter or the button beside it.",
    "A number such as [1] counts what has run, and [*] means: wait a moment. Leave both alone.",
    "To run only one part: click on it, hold Shift and press Enter.",
]
AWAKE = "This box is to play with: type any amount, and read what comes. Nothing is kept, and nothing can break."
ELSEWHERE = "Class code and own number have boxes of their own, further down, under Who is working."
NOTHING = ["Nothing stands there yet.", "Type, for example, 100 g, or 3 1/2 oz, or 80 leaves."]


def heard(typed: str) -> list[str]:
    """What there is to say to whatever was typed: the amount as it was read, or why it could not be, in sentences.

    >>> heard("100 g"), heard("80 leaves")
    (['I read 100 g (3 1/2 oz): a weight.'], ['I read 80: a count, from "80 leaves".'])
    >>> heard("350")[0]
    'No harm done.'
    """
    text = typed.strip()
    if not text:
        return NOTHING
    try:
        found = amount(text)
    except (WrongUnit, OutOfRange) as refusal:
        count = _counted(text)
        if count:
            return [f"I read {count}: a count, from {quoted(text)}."]
        return ["No harm done.", str(refusal), ELSEWHERE]
    if found.dimensionless:  # of all that has no unit, only money is read when nothing is asked for
        return [f"I read {quoted(text)}: an amount of money."]
    kind = next(kind for unit, kind in KIND_OF.items() if unit and found.is_compatible_with(unit))
    return [f"I read {spoken(found)}: {KINDS[kind][0]}."]


def _counted(text: str) -> str:
    """How many things were typed, as in "80 leaves"; "" where that is no count, or a number and nothing else."""
    if not any(letter.isalpha() for letter in text):
        return ""
    try:
        return f"{amount(text, 'count').magnitude:g}"
    except (WrongUnit, OutOfRange):
        return ""


def picture() -> str:
    """The picture as HTML that stays in a saved notebook."""
    inside = base64.b64encode(assets.text("card/page.svg").encode("utf-8")).decode("ascii")
    return f'<img class="herb-page" width="360" alt="{escape(ALT)}" src="data:image/svg+xml;base64,{inside}">'


def how() -> str:
    """The picture, and the same in words beside it."""
    return f'<div class="herb-how">{picture()}<div>{paper.listed("The numbers in the picture:", STEPS)}</div></div>'


class Top(anywidget.AnyWidget):
    """Brings a page that has just been woken back to its top (start.js). `awake`: that has been done; `known`: for
    somebody who has been here before."""

    known = Bool(False).tag(sync=True)
    awake = Bool(False).tag(sync=True)
    _esm = assets.text("card/start.js")


class Practice(Stored, w.VBox):
    """The picture and the box. Somebody who has been here before finds them behind a button."""

    stored_plain = "How a page works"

    def __init__(self, here: Desk) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.stored_html = how()
        self.box = paper.box("Type here, for example 100 g", self.read)
        self.said = paper.live()
        self.button = paper.button("Read it", self.read, first=True)
        row = paper.row(self.box, self.button)
        top = Top(known=here.known)
        top.add_class("herb-unseen")
        self.first, unseen = w.HTML(how()), [top, paper.Manners()]
        self.unfold_button = paper.button("Show me how a page works", self.unfold)
        self.whole = [self.first, w.HTML(f"<p>{AWAKE}</p>"), row, self.said, *unseen]
        self.children = [self.unfold_button, *unseen] if here.known else self.whole

    def unfold(self) -> None:
        """Show the whole of it to somebody who has been here before; the button keeps the focus."""
        self.children = [self.unfold_button, *self.whole]

    def read(self) -> None:
        """Say what was read."""
        self.said.value = paper.told(heard(self.box.value))
