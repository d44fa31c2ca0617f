"""Floor 4. An invented class of eighteen, to see what the tables and the overview show before there is a class.

Nobody in it lives. Number 13 has handed in nothing, 4 and 11 have gone quiet, and who took which side road is below.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import takewhile
from pathlib import Path

from herbcalc import homework
from herbcalc.homework.results import Answer, answer_to
from herbcalc.person import Me, answers_path
from herbcalc.person.writing import write

CODE = "invented"
NUMBERS = (*range(1, 13), *range(14, 19))
QUIET = (4, 11)
FAR = {4: 3, 11: 3, 16: 4, 17: 4, 18: 3}  # the lesson that some have come to
FIRST, LAST = 3, 5  # lessons
ROADS = {  # item: slip, who took that road, who of them went on to do it, and with how much help
    "3.2": ("m02", (2, 5, 6, 9, 14, 18), (2, 6, 14), 1),
    "3.4": ("m113", (3, 7, 12), (3, 7, 12), 3),
    "4.1": ("m19", (1, 8, 16), (1,), 1),
    "5.2": ("m33", (3, 5, 7, 9, 12), (3, 12), 4),
    "5.5": ("m46", (10, 15), (), 1),
}
SURE = {("3.2", 2), ("3.2", 5), ("3.2", 9), ("5.2", 7), ("5.2", 9)}
TOO_HARD = ("4.4", "5.7")  # nobody has done these


def lay(folder: Path) -> Path:
    """Write the files of the class into a folder, as students hand them in; gives the folder.

    >>> import tempfile
    >>> len(list(lay(Path(tempfile.mkdtemp())).iterdir()))
    17
    """
    for number in NUMBERS:
        lines = "".join(answer.line() + "\n" for answer in _answers(number))
        write(answers_path(Me(CODE, number), folder), lines)
    return folder


def _answers(number: int) -> Iterator[Answer]:
    last = FAR.get(number, LAST)
    for lesson in range(FIRST, last + 1):
        week = LAST - last + lesson - FIRST if number not in QUIET else 0  # who has come less far began later
        day = f"2025-03-{2 + 7 * week + number % 3:02}"
        for n in _done(lesson, number):
            one = homework.item(lesson, n, CODE, number)
            for typed, sure, tier in _typed(one, number):
                yield answer_to(one, typed, sure, tier, day)


def _done(lesson: int, number: int) -> Sequence[int]:
    """The items of a lesson that somebody came to, in the order of the page: some stop early."""
    order = homework.order(lesson)
    return list(takewhile(lambda n: n != order[-1 - number % 3], order)) if number % 4 else order


def _typed(one: homework.Item, number: int) -> Iterator[tuple[str, str, int]]:
    """What they typed to an item, how sure they were, and how much help had been shown."""
    if one.code in TOO_HARD:
        yield "1 mL", "guessing", 1
        return
    slip, took, went_on, help_ = ROADS.get(one.code, ("", (), (), 1))
    if number in took:
        yield one.slip_answers()[slip], "sure" if (one.code, number) in SURE else "fairly", 1
    if number not in took or number in went_on:
        yield one.answers()[0], "fairly", help_ if number in took else 1
