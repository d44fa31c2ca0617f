"""Floor 5. The card of the bench: boxes for the student's own figures, and what there is to tell of them.

The boxes begin with invented figures, which the card says. Nothing is kept.
"""

from __future__ import annotations

from html import escape

import ipywidgets as w

from herbcalc.homework import in_class
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.rules import Rules
from herbcalc.show.card import paper
from herbcalc.show.stored import Stored

INVENTED = (
    "The figures that stand here are invented. Type yours in their place, each with its unit, then press the button."
)
TITLE = "Your own figures"


class Bench(Stored, w.VBox):
    """The boxes of a lesson's bench, told by the house rules given and in the names of the class's plants."""

    def __init__(self, lesson: int, rules: Rules, plants: Plants = AS_TOLD) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.bench, self.rules = in_class.bench(lesson, plants), rules
        self.places = {box.name: paper.box(box.label, self.work_out, box.example) for box in self.bench.boxes}
        for place in self.places.values():
            place.add_class("herb-own")
        self.said = paper.live()
        self.work_out()
        words = f"<h3>{TITLE}</h3><p>{INVENTED}</p>"
        rows = "".join(f"<li>{escape(box.label)}: {escape(box.example)}</li>" for box in self.bench.boxes)
        self.stored_plain = TITLE
        self.stored_html = f"{words}<ul>{rows}</ul>{self.said.value}<p>{paper.TO_TYPE}</p>"
        button = paper.button("Work it out", self.work_out, first=True)
        row = paper.row(*self.places.values(), button)
        self.children = [w.HTML(words), row, self.said, paper.Manners()]

    def work_out(self) -> None:
        """Read the boxes and tell what comes of them."""
        typed = {name: place.value for name, place in self.places.items()}
        self.said.value = paper.told(in_class.told(self.bench, self.rules, typed))
