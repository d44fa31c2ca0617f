"""Floor 4. Own numbers: from a class code and a number to the same figures on every machine.

Nothing here is random. A figure is a place on a grid of whole numbers, and the place is read from a SHA-256 digest
of a line of text that anyone can write down, so that paper, notebook and browser agree.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cache

from herbcalc.person import spelling
from herbcalc.units.refusals import OutOfRange

LAST_NUMBER = 99
REDRAWS = 500
MIXED_GOES, EACH_LESSON = 500, 20  # sets from 500 on belong to mixed practice, twenty for each lesson it stands in


def normal_form(class_code: str) -> str:
    """The one spelling of a class code: compatibility form, lower case, letters and digits only.

    class_code  any text with at least one letter or digit, 60 characters at most

    Result: text.
    Refuses: what nothing is left of, and what is longer than that (OutOfRange).
    Source: Unicode Standard Annex 15 (NFKC); Unicode case folding.

    >>> normal_form("Fern 7") == normal_form("fern7")
    True
    """
    if not isinstance(class_code, str):
        raise OutOfRange("A class code is a short text, such as fern7. Ask your teacher for yours.")
    kept = spelling(class_code[:200])
    if not kept or len(kept) > 60:
        raise OutOfRange(
            "A class code needs at least one letter or digit, and 60 at most. Something like fern7 would work."
        )
    return kept


def checked_number(own_number: int) -> int:
    """The own number, 1 to 99, or OutOfRange in a sentence.

    >>> checked_number(7)
    7
    """
    if isinstance(own_number, bool) or not isinstance(own_number, int) or not 1 <= own_number <= LAST_NUMBER:
        raise OutOfRange(
            f"An own number is a whole number from 1 to {LAST_NUMBER}. Ask your teacher which one is yours."
        )
    return own_number


@cache
def _ranks(line: str) -> dict[int, int]:
    """The numbers 1 to 99 in an order that belongs to this line: number -> its rank."""
    order = sorted(range(1, LAST_NUMBER + 1), key=lambda number: hashlib.sha256(f"{line}|{number}".encode()).digest())
    return {number: rank for rank, number in enumerate(order)}


def first_go_of(go: int) -> int:
    """The first set of the run that a set belongs to: 1 for an item's own, 500 and more for mixed practice.

    >>> first_go_of(3), first_go_of(607)
    (1, 600)
    """
    return 1 if go < MIXED_GOES else go - go % EACH_LESSON


def first_mixed_go(lesson: int) -> int:
    """The first of the sets that belong to mixed practice at the end of a lesson's exercises.

    >>> first_mixed_go(5)
    600
    """
    return MIXED_GOES + EACH_LESSON * lesson


@dataclass(frozen=True)
class Seat:
    """Whose figures are drawn: an item's edition and code, a class, a number, and which go at it."""

    edition: int
    class_code: str
    number: int
    code: str
    go: int = 1

    def place(self, attempt: int, figure: str, count: int) -> int:
        """Where on a grid of `count` places this figure falls; `attempt` is the redraw, counted from 1.

        >>> Seat(1, "fern7", 3, "5.2").place(1, "m", 10)
        2
        """
        line = f"herbcalc|{self.edition}|{self.class_code}|{self.number}|{self.code}|{self.go}|{attempt}|{figure}"
        return int.from_bytes(hashlib.sha256(line.encode("utf-8")).digest()[:8], "big") % count

    def turn(self, figure: str, count: int) -> int:
        """Which of `count` this seat has, dealt out evenly over a class: nobody can tell it from a neighbour's.

        >>> dealt = [Seat(1, "fern7", number, "9.1").turn("case", 3) for number in range(1, 100)]
        >>> [dealt.count(each) for each in range(3)]
        [33, 33, 33]
        """
        line = f"herbcalc|{self.edition}|{self.class_code}|{self.code}|{self.go}|{figure}"
        return _ranks(line)[self.number] % count
