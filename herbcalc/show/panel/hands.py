"""Floor 5. The guess strip: the class raises hands for one of a few bands, and the counts stay under the picture."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import ipywidgets as widgets


class Hands(widgets.VBox):
    """Three or four bands, each with a box for its hands; once the answer shows, a bar for each count."""

    def __init__(self) -> None:
        self._strip = widgets.HBox()
        self._strip.add_class("herb-hands")
        self.told = widgets.HTML()
        self.boxes: list[widgets.BoundedIntText] = []
        self._counts: dict[tuple[str, ...], list[int]] = {}
        self._bands: tuple[str, ...] = ()
        super().__init__([self._strip, self.told])

    def ask(self, bands: Sequence[str]) -> None:
        """Offer these bands; hands counted for them before are still there."""
        bands = tuple(bands)
        if bands == self._bands:
            return
        self._bands = bands
        counts = self._counts.setdefault(bands, [0] * len(bands))
        self.boxes = []
        for n, band in enumerate(bands):
            box = widgets.BoundedIntText(
                value=counts[n], min=0, max=999, description=band, tooltip=f"Hands for: {band}"
            )
            box.observe(lambda change, n=n: self._count(n, change["new"]), "value")
            box.add_class("herb-hand")
            self.boxes.append(box)
        self._strip.children = self.boxes
        self._tell()

    def show(self, asking: bool) -> None:
        """The boxes while the class is being asked; afterwards what was counted."""
        self._strip.layout.display = "" if asking else "none"
        self.told.layout.display = "none" if asking else ""

    def _count(self, n: int, hands: int) -> None:
        self._counts[self._bands][n] = hands
        self._tell()

    def _tell(self) -> None:
        counts = self._counts[self._bands]
        most = max(counts, default=0)
        cells = [
            f"<li>{escape(band)}: <b>{hands}</b>"
            f'<span class="herb-bar" style="width:{100 * hands // most}%"></span></li>'
            for band, hands in zip(self._bands, counts, strict=True)
            if hands
        ]
        self.told.value = f'<ul class="herb-guessed"><li>We guessed</li>{"".join(cells)}</ul>' if most else ""

    def sentence(self) -> str:
        """The guesses of the class in words; "" before a hand is counted."""
        counts = self._counts.get(self._bands, [])
        if not any(counts):
            return ""
        told = ", ".join(f"{hands} said {band}" for band, hands in zip(self._bands, counts, strict=True) if hands)
        return f"Guesses: {told}."
