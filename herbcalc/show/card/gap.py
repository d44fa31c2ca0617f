"""Floor 5. The card of a gap in a lesson: its question, a place to type, an answer at once, and a step more.

It looks like the card of homework and is less: the figures are the same for everybody, and nothing is kept.
"""

from __future__ import annotations

from html import escape

import ipywidgets as w

from herbcalc.homework import in_class
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.show.card import HIGHEST, paper, told, understood
from herbcalc.show.card import STEPS as OF_HOMEWORK
from herbcalc.show.question import asked, label_of
from herbcalc.show.stored import Stored

GIVEN = "The way, with gaps for you:"
THE_WAY = "The whole way:"
# The figures are everybody's, and there is no fresh set to ask for.
STEPS = OF_HOMEWORK | {HIGHEST: THE_WAY}


class Gap(Stored, w.VBox):
    """The card of gap `number` of a lesson, counted from 1 along its page."""

    def __init__(self, lesson: int, number: int, plants: Plants = AS_TOLD) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.item = in_class.question(lesson, number, plants)
        gap = in_class.gaps(lesson)[number - 1]
        # What stands there already is more than the first steps of help would show.
        self.tier = max(HIGHEST - gap.left_out, 2) if gap.left_out else 1
        given = paper.listed(GIVEN, self.item.given(gap.left_out))
        self.stored_plain = gap.title
        words = f"<h3>{escape(gap.title)}</h3>{asked(self.item.prompt)}{given}"
        self.stored_html = f"{words}<p>{paper.TO_ANSWER}</p>"
        self.place = paper.box(label_of(self.item), self.check)
        self.feedback = paper.live()
        row = paper.row(
            self.place,
            paper.button("Check", self.check, first=True),
            paper.button("Show me one step more", self.one_step_more),
        )
        self.children = [w.HTML(words), row, self.feedback, paper.Manners()]

    def check(self) -> None:
        """Look at what stands there and say what there is to say; a right answer is followed by the way to it."""
        typed = self.place.value.strip()
        if not typed:
            self._say(["Nothing stands there yet.", "Type your answer in the place above, then Check."])
            return
        feedback = self.item.check(typed)
        way = self.item.worked(HIGHEST) if feedback.verdict == "right" else []
        self._say([*told(feedback), *([THE_WAY] if way else [])], way, understood(feedback))

    def one_step_more(self) -> None:
        """Show one step more of the way. It costs nothing."""
        self.tier = min(self.tier + 1, HIGHEST)
        self._say([STEPS[self.tier]], self.item.worked(self.tier))

    def _say(self, lines: list[str], steps: list[str] | None = None, read: list[str] | None = None) -> None:
        self.feedback.value = paper.told(lines, steps, read)
