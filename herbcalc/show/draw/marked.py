"""Floor 5. Jars with marks that cut them into equal parts: a fraction that can be seen, of one jar and of more."""

from __future__ import annotations

from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Place

LID, NECK = 0.08, 0.16  # of the height and of the width of a jar


def marked_jars(board: Board, key: str, place: Place, parts: int, full: int, size: float, under: str = "") -> None:
    """As many jars as `full` parts need, one at least, each cut by marks into `parts`; filled from the left.

    `size` is what one jar holds, so that two settings can be compared by eye; `under` is said below them all.
    """
    jars = max(1, -(-full // parts))
    most, largest = board.scale(f"{key} jars", jars, jars), board.scale(f"{key} size", size, size)
    foot = 1.5 * board.size if under else 0.0
    grown = (size / largest) ** (1 / 3)  # a jar of twice the room is not twice as high
    wide = min(place.w / most, 0.62 * (place.h - foot))
    high = (place.h - foot - 4) * grown
    for n in range(jars):
        w = 0.82 * wide * grown
        x, y, h = place.x + n * wide, place.y + foot, high * (1 - LID)
        step = h / parts
        held = min(full - n * parts, parts)
        board.box(f"{key} liquid {n}", x, y, w, step * held, fill="band", edge="")
        board.box(f"{key} glass {n}", x, y, w, h, fill="", width=2.6)
        for mark in range(1, parts):
            long = mark == held
            reach = w if long else 0.4 * w
            board.line(f"{key} mark {n} {mark}", [x, x + reach], [y + step * mark] * 2, width=2.2 if long else 1.3)
        board.box(f"{key} lid {n}", x + NECK * w, y + h, (1 - 2 * NECK) * w, high * LID, fill="card", width=1.8)
    if under and not board.is_faint:
        board.words(f"{key} under", place.x, place.y + 0.6 * board.size, under, ha="left", bold=True)
