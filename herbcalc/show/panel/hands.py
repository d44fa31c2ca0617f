"""Floor 5. The guesses of a class: a press (or a digit key) counts a hand; afterwards the band that held is marked.

Guesses belong to one scene. Before the answer each band is a button with its count; afterwards each stands as a
column over one common foot and to one scale, and the band that holds the answer carries a line and a word.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import ipywidgets as widgets

from herbcalc.show.panel.dials import button
from herbcalc.show.story import Band

HERE = "it is here"
TALL = 2.0  # em: the highest column


class Hands(widgets.VBox):
    """The bands of the scene that is asked, and the hands counted for them."""

    def __init__(self) -> None:
        self._all: dict[str, list[int]] = {}
        self._order: list[int] = []  # the bands in the order of the presses, to take the last one back
        self._scene = ""
        self.bands: tuple[Band, ...] = ()
        self.buttons: list[widgets.Button] = []
        self._strip = widgets.HBox()
        self._strip.add_class("herb-hands")
        self.undo = button("Take one back", self.take_back)
        self.total = widgets.HTML()
        self._foot = widgets.VBox([self.total, self.undo])
        self._foot.add_class("herb-hands-foot")
        self.told = widgets.HTML()
        super().__init__([self._strip, self.told])
        self.add_class("herb-guesses")

    def ask(self, scene: str, bands: Sequence[Band]) -> None:
        """Offer the bands of this scene; hands counted for it before are still there."""
        if scene == self._scene and len(bands) == len(self.bands):
            self._say(bands)
            return
        self._scene, self.bands, self._order = scene, tuple(bands), []
        counts = self._all.setdefault(scene, [0] * len(bands))
        if len(counts) != len(bands):  # a house rule has moved the edges since
            self._all[scene] = [0] * len(bands)
        self.buttons = []
        for n in range(len(bands)):
            made = button("", lambda n=n: self.count(n))
            self.buttons.append(made)
        self._strip.children = [*self.buttons, self._foot]
        self._say(bands)

    def _say(self, bands: Sequence[Band]) -> None:
        """The words on the buttons, which follow the wanted system of units."""
        self.bands = tuple(bands)
        for n, (made, band, hands) in enumerate(zip(self.buttons, bands, self.counts, strict=True), 1):
            twin = f"\n{band.twin}" if band.twin else ""
            words = f"{n})\u00a0 {band.words}{twin}" + (f"\n{hands}" if hands else "")
            if made.description != words:
                made.description = words
            made.tooltip = f"One more hand for: {band.words}"
        total = sum(self.counts)
        self.total.value = f"<p>{total} hand{'' if total == 1 else 's'}</p>" if total else ""
        self._foot.layout.display = "" if total else "none"

    @property
    def counts(self) -> list[int]:
        """The hands of the scene that is asked, band by band."""
        return self._all.get(self._scene, [])

    def count(self, n: int) -> None:
        """One more hand for the band of that place, counted from 0."""
        if 0 <= n < len(self.bands):
            self.counts[n] += 1
            self._order.append(n)
            self._say(self.bands)

    def take_back(self) -> None:
        """One hand less, where the last one was counted."""
        if self._order:
            self.counts[self._order.pop()] -= 1
            self._say(self.bands)

    def show(self, asking: bool, amount: float | None = None) -> None:
        """The buttons while the class is being asked; afterwards what was counted, and where the answer lies."""
        self._strip.layout.display = "" if asking and self.bands else "none"
        self.told.layout.display = "none" if asking or not self.bands else ""
        if not asking and self.bands:
            self.told.value = self._columns(amount)

    def _columns(self, amount: float | None) -> str:
        most = max(self.counts, default=0)
        cells = []
        for band, hands in zip(self.bands, self.counts, strict=True):
            held = band.holds(amount)
            tall = f'<span class="herb-column" style="height:{TALL * hands / most:.2f}em"></span>' if most else ""
            count = f"<b>{hands}</b>" if most else ""
            mark = f" <em>{HERE}</em>" if held else ""
            cells.append(
                f'<li class="{"herb-held" if held else ""}"><span class="herb-foot">{count}{tall}</span>'
                f"<span>{escape(band.words)}{mark}</span></li>"
            )
        return f'<ul class="herb-bands" aria-label="What we guessed">{"".join(cells)}</ul>'

    def sentence(self) -> str:
        """The guesses of the class in words; "" before a hand is counted."""
        if not any(self.counts):
            return ""
        told = ", ".join(f"{n} said {band.words}" for band, n in zip(self.bands, self.counts, strict=True) if n)
        return f"{sum(self.counts)} hands: {told}."
