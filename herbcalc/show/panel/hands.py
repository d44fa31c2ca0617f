"""Floor 5. The guesses at a scene: the hands of a class, or the one guess of somebody alone.

Guesses belong to one scene. Before the answer each band is a button; a press (or a digit key) counts a hand for it or
marks it as one's own guess. Afterwards the band that holds the answer carries a line and a word, and the hands stand
as columns over one common foot and to one scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import ipywidgets as widgets

from herbcalc.show.look import Number
from herbcalc.show.panel.dials import button
from herbcalc.show.story import Band

HERE, YOURS = "it is here", "your guess"


class Hands(widgets.VBox):
    """The bands of the scene that is asked, and what was guessed.

    counting  whether a class raises its hands; otherwise one person has one guess
    """

    def __init__(self) -> None:
        self.counting = False
        self._all: dict[str, list[int]] = {}
        self._own: dict[str, int] = {}  # the one guess of somebody alone, by scene
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
        """Offer the bands of this scene; what was guessed for it before is still there."""
        if scene == self._scene and len(bands) == len(self.bands):
            self._say(bands)
            return
        self._scene, self.bands, self._order = scene, tuple(bands), []
        counts = self._all.setdefault(scene, [0] * len(bands))
        if len(counts) != len(bands):  # a house rule has moved the edges since
            self._all[scene] = [0] * len(bands)
            self._own.pop(scene, None)
        self.buttons = [button("", lambda n=n: self.count(n)) for n in range(len(bands))]
        self._strip.children = [*self.buttons, self._foot]
        self._say(bands)

    def _say(self, bands: Sequence[Band]) -> None:
        """The words on the buttons, which follow the wanted system of units."""
        self.bands = tuple(bands)
        for n, (made, band, hands) in enumerate(zip(self.buttons, bands, self.counts, strict=True)):
            mine = not self.counting and n == self.own
            words = f"{'yours:' if mine else f'{n + 1})'}\u00a0 {band.words}" + (
                f"\n{band.twin}" if band.twin else ""
            )
            if self.counting and hands:
                words += f"\n{hands}"
            if made.description != words:
                made.description = words
            (made.add_class if mine else made.remove_class)("herb-mine")
            made.tooltip = f"One more hand for: {band.words}" if self.counting else f"My guess: {band.words}"
        total = sum(self.counts) if self.counting else 0
        self.total.value = f"<p>{total} hand{'' if total == 1 else 's'}</p>" if total else ""
        self._foot.layout.display = "" if total else "none"

    @property
    def counts(self) -> list[int]:
        """The hands of the scene that is asked, band by band."""
        return self._all.get(self._scene, [])

    @property
    def own(self) -> int | None:
        """The place of one's own guess at the scene that is asked, counted from 0; None before there is one."""
        return self._own.get(self._scene)

    @property
    def guessed(self) -> list[int]:
        """What is worth keeping, band by band: the hands of a class, or one for one's own guess."""
        return list(self.counts) if self.counting else [int(n == self.own) for n in range(len(self.bands))]

    def count(self, n: int) -> None:
        """One more hand for the band of that place, counted from 0; for somebody alone, her guess from now on.

        Pressed again, one's own guess goes.
        """
        if not 0 <= n < len(self.bands):
            return
        if self.counting:
            self.counts[n] += 1
            self._order.append(n)
        elif n == self.own:
            self.take_back()
        else:
            self._own[self._scene] = n
        self._say(self.bands)

    def take_back(self) -> None:
        """One hand less, where the last one was counted; or one's own guess goes."""
        if not self.counting:
            self._own.pop(self._scene, None)
        elif self._order:
            self.counts[self._order.pop()] -= 1
        self._say(self.bands)

    def show(self, asking: bool, answer: Number) -> None:
        """The buttons while it is being asked; afterwards what was guessed, and where the answer lies."""
        self._strip.layout.display = "" if asking and self.bands else "none"
        self.told.layout.display = "none" if asking or not self.bands else ""
        if not asking and self.bands:
            self.told.value = self._columns(answer.amount) + self._fell(answer)

    def _columns(self, amount: float | None) -> str:
        hands = self.counts if self.counting else []
        most = max(hands, default=0)
        cells = []
        for n, band in enumerate(self.bands):
            held = band.holds(amount)
            foot = ""
            if most:
                tall = f'<span class="herb-column" style="--hands:{hands[n] / most:.2f}"></span>'
                foot = f'<span class="herb-foot"><b>{hands[n]}</b>{tall}</span>'
            marks = [YOURS] * (not self.counting and n == self.own) + [HERE] * held
            cells.append(
                f'<li class="{"herb-held" if held else ""}">{foot}<span>{escape(band.words)}'
                f"{''.join(f' <em>{mark}</em>' for mark in marks)}</span></li>"
            )
        named = "What we guessed" if self.counting else "What could be guessed"
        return f'<ul class="herb-bands" aria-label="{named}">{"".join(cells)}</ul>'

    def _fell(self, answer: Number) -> str:
        """Where one's own guess fell; nothing for a class, whose columns tell it."""
        if self.counting or self.own is None:
            return ""
        held = next(n for n, band in enumerate(self.bands) if band.holds(answer.amount))
        figures = [n for n, band in enumerate(self.bands) if band.low < band.high]
        guess = f"You guessed {self.bands[self.own].words}"
        if held == self.own:
            told = f"{guess}, and there it is."
        elif abs(held - self.own) == 1 and {held, self.own} <= {*figures}:
            told = f"{guess}, and it is right next to that: {answer.value}. Close."
        else:
            told = f"{guess}, and it is {answer.value}. Surprised? That is how it stays in mind."
        return f'<p class="herb-fell">{escape(told)}</p>'
