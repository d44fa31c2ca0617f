"""Floor 5. The gate before a harvest: what no sum answers, asked before any sum.

The student types what they saw and whom they asked. Nobody judges it, least of all this page, and nothing is kept.
"""

from __future__ import annotations

from html import escape

import ipywidgets as w

from herbcalc.rules import Rules
from herbcalc.show.card import paper
from herbcalc.show.stored import Stored

TITLE = "The gate: before any sum"
WHY = (
    "No sum here knows your plant or your ground. Answer for yourself, out loud if you like. Nothing of it is kept, "
    "and this page judges none of it."
)
# What is asked, and how it is called where it is still open.
QUESTIONS = (
    ("The plant, by its full name", "its name"),
    ("One feature that you saw on it", "one feature"),
    ("A second feature, from another part of it", "a second feature"),
    ("Its look-alike, and what tells the two apart", "the look-alike"),
    ("Whose land it is, and who gave you leave", "the land"),
    ("Spray, roadside, what drains in here", "spray and ground"),
    ("Where you looked whether it is at risk here", "at risk"),
    ("Which share of it you want to leave standing", "the share"),
)
CERTAIN = "I am certain of this plant."
AT_RISK = "It is at risk in the wild, or I could not find out."
GO = "Through the gate"
NOT_CERTAIN = (
    "If you are not certain, leave it.",
    "Show it to somebody who knows it, on the spot and in flower, and come back. No share of an unknown plant "
    "is safe.",
)
NONE_FROM_THE_WILD = (
    "Then none is taken from the wild, however many stand there.",
    "Garden-grown plants, a grower who raises it from seed, or a bed of your own would do. The panel says how many "
    "to set.",
)
OPEN = "Until each has an answer, nothing is taken."
THROUGH = "Through the gate. Now the sum may come."
LAW = (
    "Law and permission are your local code's: where it allows less, or none, it holds over every figure here. "
    "Nobody has judged your answers; this page cannot see your plant."
)
TO_TYPE = "Run the cells of this notebook to answer here."


class Gate(Stored, w.VBox):
    """The questions of the gate, by the house rules given."""

    stored_plain = TITLE

    def __init__(self, rules: Rules) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.rules = rules
        self.places = [paper.box(label, self.pass_, long=True) for label, _ in QUESTIONS]
        self.certain = paper.tick(CERTAIN, False, self.hush)
        self.at_risk = paper.tick(AT_RISK, False, self.hush)
        self.said = paper.live()
        words = f"<h2>{TITLE}</h2><p>{escape(WHY)}</p>"
        rows = "".join(f"<li>{escape(label)}</li>" for label, _ in QUESTIONS)
        self.stored_html = f"{words}<ol>{rows}</ol><p>{TO_TYPE}</p>"
        name, *others = self.places
        button = paper.button(GO, self.pass_, first=True)
        seen, ground = others[:3], others[3:]
        self.children = [
            w.HTML(words),
            name,
            *seen,
            self.certain,
            *ground[:3],
            self.at_risk,
            *ground[3:],
            button,
            self.said,
            paper.Manners(),
        ]

    def hush(self) -> None:
        """What was said no longer fits the ticks."""
        self.said.value = ""

    def pass_(self) -> None:
        """Say what is still open, or what follows; nothing typed here is looked at but whether it stands there."""
        self.said.value = paper.told(self.answer())

    def answer(self) -> list[str]:
        """The lines that the gate says now."""
        open_ = [short for place, (_, short) in zip(self.places, QUESTIONS, strict=True) if not place.value.strip()]
        if open_:
            return [f"Still open: {', '.join(open_)}.", OPEN]
        if not self.certain.value:
            return list(NOT_CERTAIN)
        if self.at_risk.value:
            return list(NONE_FROM_THE_WILD)
        shares = (
            f"Your house rules: of a common wild stand, where digging ends the plant, at most "
            f"{self.rules.said('stand_share')} plants; of one plant that lives on, at most "
            f"{self.rules.said('leaf_share')} parts of its leaf. Common practice."
        )
        return [THROUGH, shares, LAW]
