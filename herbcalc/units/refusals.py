"""Floor 0. The three ways in which herbcalc says no. Each is a ValueError whose text is a sentence for a student."""

from __future__ import annotations

from typing import Any


class WrongUnit(ValueError):
    """The amount is of another kind than the sum needs: text, a bare number, or grams where mL are wanted."""


class OutOfRange(ValueError):
    """The amount is of the right kind, and outside what the sum can work with."""


class Impossible(ValueError):
    """What was wished for cannot be had; `ways_out` lists what would work (and may be empty)."""

    def __init__(self, sentence: str, ways_out: list[Any] | None = None) -> None:
        super().__init__(sentence)
        self.ways_out: list[Any] = ways_out or []
