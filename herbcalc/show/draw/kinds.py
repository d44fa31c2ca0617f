"""Floor 5. Two pictures on one board that cannot be compared: the earlier one is left out."""

from __future__ import annotations

from herbcalc.show.draw.board import Board


def comparable(board: Board, key: str, kind: str) -> bool:
    """Whether a picture of this kind may be drawn: an earlier, faint one only over another of its own kind.

    A curve of days says nothing over bars of shares. Call it before anything is drawn under that key.

    >>> board = Board(name="doctest kinds")
    >>> board.start()
    >>> comparable(board, "chart", "days")
    True
    >>> with board.faint():
    ...     comparable(board, "chart", "days"), comparable(board, "chart", "shares")
    (True, False)
    """
    # A scale holds what was asked with the largest number; counted up, that is what was asked last.
    count, last = board.scale(f"{key} kind", 0, (0, ""))
    if board.is_faint:
        return bool(kind == last)
    board.scale(f"{key} kind", count + 1, (count + 1, kind))
    return True
