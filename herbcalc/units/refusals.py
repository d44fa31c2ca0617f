"""Floor 0. The three ways in which herbcalc says no. Each is a ValueError whose text is a sentence for a student."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

QUOTED = 60  # characters of a person's text that a message repeats


class WrongUnit(ValueError):
    """The amount is of another kind than the sum needs: text, a bare number, or grams where mL are wanted."""


class OutOfRange(ValueError):
    """The amount is of the right kind, and outside what the sum can work with."""


class Impossible(ValueError):
    """What was wished for cannot be had; `ways_out` lists what would work (and may be empty)."""

    def __init__(self, sentence: str, ways_out: list[Any] | None = None) -> None:
        super().__init__(sentence)
        self.ways_out: list[Any] = ways_out or []


def quoted(text: Any, longest: int = QUOTED) -> str:
    """At most 60 characters of what was typed, in quote marks, safe to print anywhere.

    >>> quoted("100 g"), quoted("0123456789" * 7)[-8:]
    ('"100 g"', '3456..."')
    """
    text = str(text[: longest + 1]) if isinstance(text, str) else "that"
    shown = "".join(c if c.isprintable() else "?" for c in text)
    return f'"{shown if len(text) <= longest else shown[: longest - 3] + "..."}"'


def one_of(name: str, given: Any, words: Iterable[str]) -> None:
    """Refuse a word that is none of those that an argument knows.

    >>> one_of("rule", "kitchen", ("kitchen", "measured"))
    >>> one_of("rule", "other", ("kitchen", "measured"))
    Traceback (most recent call last):
    herbcalc.units.refusals.OutOfRange: rule: "other" was given. It is one of "kitchen" and "measured".
    """
    *most, last = known = tuple(words)
    if not isinstance(given, str) or given not in known:
        listed = ", ".join(f'"{word}"' for word in most)
        raise OutOfRange(f'{name}: {quoted(given)} was given. It is one of {listed} and "{last}".')
