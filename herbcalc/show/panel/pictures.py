"""Floor 5. The pictures of a panel: alone, before the answer, with a faint earlier one, and A beside B on one scale.

A Look draws its main picture on the left and a chart on the right. Beside each other both main pictures stay whole,
and both curves stand on one chart.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import parted, whole
from herbcalc.show.look import Look

PAGE, SHOW, PHONE = "page", "show", "phone"  # where a picture stands: in a notebook, in the show view, on a phone
# Sizes of the boards. In the show view an alone picture is 1.6 times its board units wide on a screen of 1024:
# words of 17.6 units are 28 pixels high. On a phone all stands one above the other, 0.9 times as wide as board units.
ALONE = {
    PAGE: {"width": 612, "height": 262, "size": 16.5, "small": 14.5},
    SHOW: {"width": 612, "height": 205, "size": 17.6},
    PHONE: {"width": 340, "height": 440, "size": 15.0, "small": 13.2},
}
SIDE = {
    PAGE: {"width": 208, "height": 250, "size": 13.8},
    SHOW: {"width": 208, "height": 176, "size": 13.8},
    PHONE: {"width": 340, "height": 220, "size": 15.0},
}
CHART = {**SIDE, PAGE: {**SIDE[PAGE], "width": 196}, SHOW: {**SIDE[SHOW], "width": 196}}
SMALL = {"width": 120, "height": 76, "size": 10.0}


@dataclass(frozen=True)
class Shown:
    """Something that was shown: its setting, the name it goes by, and the scene that it came from."""

    setting: Any
    name: str
    scene: int


class Pictures:
    """The boards of one panel; each keeps its artists, and the ground is "light" or "dark"."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._boards: dict[tuple[str, str], Board] = {}
        self.ground = "light"

    def before(self, look: Look, mark: str, where: str) -> str:
        """Before the guess: the main picture without its answer, and a "?" where the chart will be."""

        def draw(board: Board) -> None:
            left, right = parted(board, look.share)
            look.left(board, left, False)
            middle = right.x + right.w / 2, right.y + right.h / 2
            board.words("ask", *middle, mark, size=board.size * 2.2, bold=True)

        return self._drawn(self._board("alone", where, ALONE), draw)

    def alone(self, look: Look, where: str) -> str:
        """One setting with its answer."""
        return self._drawn(self._board("alone", where, ALONE), _both(look))

    def faint(self, look: Look, earlier: Look, where: str) -> str:
        """One setting, over the faint outline of an earlier one."""
        return self._drawn(self._board("alone", where, ALONE), _both(look), other=_both(earlier))

    def beside(self, a: Look, b: Look, where: str) -> tuple[str, str, str]:
        """The main picture of A, that of B, and one chart with the curves of both, all to one scale."""

        def left(look: Look) -> Callable[[Board], None]:
            return lambda board: look.left(board, whole(board), True)

        def right(look: Look) -> Callable[[Board], None]:
            return lambda board: look.right(board, whole(board))

        first = self._drawn(self._board("a", where, SIDE), left(a), scale=left(b))
        second = self._drawn(self._board("b", where, SIDE), left(b), scale=left(a))
        chart = self._board("chart", where, CHART)
        return first, second, self._drawn(chart, right(b), other=right(a), letters=True)

    def small(self, look: Look) -> str:
        """A small picture without words, for the strip of what was shown."""
        board = self._board("small", PAGE, {PAGE: SMALL})
        board.mute = True
        return self._drawn(board, lambda board: look.left(board, whole(board), True))

    def _board(self, kind: str, where: str, sizes: dict[str, dict[str, float]]) -> Board:
        key = (kind, where)
        if key not in self._boards:
            self._boards[key] = Board(**sizes[where], narrow=kind != "alone", name=f"{self._name} {where} {kind}")
        board = self._boards[key]
        board.ground = self.ground
        return board

    @staticmethod
    def _drawn(
        board: Board,
        draw: Callable[[Board], None],
        other: Callable[[Board], None] | None = None,
        scale: Callable[[Board], None] | None = None,
        letters: bool = False,
    ) -> str:
        """The SVG of a drawing. `other` is left faint in it; `scale` counts for the scale alone."""
        board.start(*(one for one in (other, scale) if one))
        board.letter = "B" if letters else ""
        draw(board)
        if other:
            board.letter = "A" if letters else ""
            with board.faint():
                other(board)
        return board.svg()


def _both(look: Look) -> Callable[[Board], None]:
    def draw(board: Board) -> None:
        left, right = parted(board, look.share)
        look.left(board, left, True)
        look.right(board, right)

    return draw
