"""Floor 5. The picture on a homework card, its sentence, and the one switch that all cards of a notebook share."""

from __future__ import annotations

from html import escape

import ipywidgets as w
from traitlets import Bool, HasTraits

from herbcalc.homework.item import Item
from herbcalc.show import given
from herbcalc.show.card import paper

# Heard once; there it can be read word by word.
ALT = "A picture of what is given. The words that follow say the same."


class Wish(HasTraits):
    """Whether pictures are wanted. A notebook has a kernel of its own, so its cards share one wish, while it runs."""

    shown = Bool(True)


WISH = Wish()


class Picture(w.VBox):
    """What is given in a sum, drawn, with a box to untick; empty where the item is no sum."""

    def __init__(self) -> None:
        super().__init__()
        self.add_class("herb-pictured")
        self.tick = paper.tick("Picture", WISH.shown, self._wish)
        self.drawing = w.HTML()
        self.item: Item | None = None
        WISH.observe(lambda _: self._follow(), "shown")

    def show(self, item: Item) -> None:
        """Take up an item; it is drawn at once where pictures are wanted."""
        self.item = item
        self.children = [self.tick, self.drawing] if given.picture(item) else []
        self._follow()

    def _wish(self) -> None:
        WISH.shown = self.tick.value

    def _follow(self) -> None:
        self.tick.value = WISH.shown
        self.drawing.value = drawn(self.item) if WISH.shown and self.item and self.children else ""


def drawn(item: Item) -> str:
    """The picture as HTML, with the sentence that says the same below it; "" where the item is no sum."""
    picture = given.picture(item)
    if picture is None:
        return ""
    svg = given.svg(item, picture)
    said = escape(given.sentence(item, picture))
    shown = f'<div class="herb-given" role="img" aria-label="{ALT}"><div aria-hidden="true">{svg}</div></div>'
    return f'{shown}<p class="herb-quiet">{said}</p>'
