"""Floor 6. What Python in a visitor's browser loads while the page is still being put together.

Whatever the first cells of a lesson would load one by one, and what a first picture brings. `early.js` asks for it.
"""

from __future__ import annotations

import micropip  # type: ignore[import-not-found]  # noqa: F401
import piplite.piplite  # type: ignore[import-not-found]  # noqa: F401
import pyodide_kernel  # type: ignore[import-not-found]  # noqa: F401

from herbcalc.show.card import bench, gap  # noqa: F401
from herbcalc.show.draw.board import Board
from herbcalc.show.panel import Panel  # noqa: F401


def draw() -> None:
    """A picture that nobody sees."""
    board = Board()
    board.start()
    board.words("word", 10, 10, "Leaf")
    board.svg()


draw()
