"""Floor 5. The guess strip: the class raises hands for one of a few bands, and the counts stay under the picture."""

from __future__ import annotations

from collections.abc import Sequence

import ipywidgets as widgets


class Hands(widgets.VBox):
    """Three or four bands, each with a box for how many hands went up, and a bar drawn to the count."""

    def __init__(self) -> None:
        self._strip = widgets.HBox()
        self._strip.add_class("herb-hands")
        self.told = widgets.HTML()
        self.boxes: list[widgets.BoundedIntText] = []
        self._bars: list[widgets.HTML] = []
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
        self.boxes, self._bars, columns = [], [], []
        for n, band in enumerate(bands):
            box = widgets.BoundedIntText(value=counts[n], min=0, max=999, description=band)
            bar = widgets.HTML()
            box.observe(lambda change, n=n: self._count(n, change["new"]), "value")
            column = widgets.VBox([box, bar])
            column.add_class("herb-hand")
            self.boxes.append(box)
            self._bars.append(bar)
            columns.append(column)
        self._strip.children = columns
        self._tell()

    def _count(self, n: int, hands: int) -> None:
        self._counts[self._bands][n] = hands
        self._tell()

    def _tell(self) -> None:
        counts = self._counts[self._bands]
        most = max(counts, default=0)
        for bar, hands in zip(self._bars, counts, strict=True):
            share = 100 * hands / most if most else 0
            bar.value = f'<span class="herb-bar" style="width:{share:.0f}%"></span>'
        self.told.value = f"<p>{self.sentence()}</p>" if any(counts) else ""

    def sentence(self) -> str:
        """The guesses of the class in words; "" before a hand is counted."""
        counts = self._counts.get(self._bands, [])
        if not any(counts):
            return ""
        told = ", ".join(f"{hands} said {band}" for band, hands in zip(self._bands, counts, strict=True) if hands)
        return f"Guesses: {told}."
