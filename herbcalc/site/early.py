"""Floor 6. What Python in a visitor's browser loads while the page is still being put together. `early.js` runs it.

Whatever the first cells of a lesson would load one by one, and what a first picture brings.
"""

from __future__ import annotations


def begin() -> None:
    """Load what every page asks for, and draw a picture that nobody sees."""
    import micropip  # type: ignore[import-not-found]  # noqa: F401
    import piplite.piplite  # type: ignore[import-not-found]  # noqa: F401
    import pyodide_kernel  # type: ignore[import-not-found]  # noqa: F401

    from herbcalc.show.card import bench, gap  # noqa: F401
    from herbcalc.show.draw.board import Board
    from herbcalc.show.panel import Panel  # noqa: F401

    board = Board()
    board.start()
    board.words("word", 10, 10, "Leaf")
    board.svg()


if __name__ == "__main__":
    begin()
