"""Floor 4. Questions by what a teacher types for them ("5.1-5.6,3.4"), and those set for the week in class.toml."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from herbcalc import homework
from herbcalc.person.class_file import NOTHING_SET, Amiss, ClassFile
from herbcalc.place import CLASS
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.saying import listed

Code = tuple[int, int]  # a lesson, and the number of an item in it
_CODE = r"([0-9]{1,3})(?:\.([0-9]{1,3}))?"
_PART = re.compile(f"{_CODE}(?:-{_CODE})?")
_ROOM = re.compile(r"\s*([,-])\s*")  # room that says nothing; "1 3" is not 13
_DASHES = str.maketrans("–—‑−", "----")  # what editors make of a hyphen


@dataclass(frozen=True)
class Week:
    """What is set: the codes of its items in the order of the pages, () where nothing is; for when, in the teacher's
    words, "" where that is not said; and what cannot be used of it."""

    codes: tuple[str, ...] = ()
    by: str = ""
    amiss: tuple[Amiss, ...] = ()

    def said(self, lesson: int | None = None) -> str:
        """All that is set, or all of one lesson, in one line without an end; "" where nothing is.

        >>> Week(("5.1", "5.2", "5.3", "5.8", "6.1"), "Thursday").said(), Week(("5.1", "6.1")).said(6)
        ('For Thursday: 5.1 to 5.3, 5.8 and 6.1', 'Set for you: 6.1')
        """
        some = [code for code in self.codes if lesson is None or code.split(".")[0] == str(lesson)]
        return f"{f'For {self.by}' if self.by else 'Set for you'}: {in_words(some)}" if some else ""


def week(sheet: ClassFile) -> Week:
    """The questions that a teacher's class.toml sets.

    >>> from herbcalc.person.class_file import Asked
    >>> week(ClassFile(asked=Asked("5.7-6.1,3.4", "Thursday"))).codes, week(ClassFile())
    (('3.4', '5.8', '5.7', '6.1'), Week(codes=(), by='', amiss=()))
    """
    if not sheet.asked.items:
        return Week()
    try:
        found = chosen(sheet.asked.items, "items in [set]")
    except OutOfRange as refusal:
        return Week(amiss=(Amiss(f"{CLASS}: {refusal}", NOTHING_SET),))
    return Week(tuple(f"{lesson}.{number}" for lesson, number in found), sheet.asked.by)


def chosen(questions: str, asker: str) -> list[Code]:
    """The items that "5,6.1-6.3" stands for, lesson by lesson, in the order in which a page shows them.

    asker: what wants them, for the sentence of a refusal.
    Refuses (OutOfRange): lessons and items that there are not, and what is neither.

    >>> chosen("5.8,5.1-5.3", "--questions"), len(chosen("4-5", "--questions"))
    ([(5, 1), (5, 2), (5, 3), (5, 8)], 16)
    """
    wanted: set[Code] = set()
    closed = _ROOM.sub(r"\1", questions.translate(_DASHES)).strip().strip(",")
    for part in closed.split(","):
        wanted |= _between(part, asker)
    return [code for lesson in homework.LESSONS for n in homework.order(lesson) if (code := (lesson, n)) in wanted]


def _between(part: str, asker: str) -> set[Code]:
    """The items of one lesson, of one item, or from one to another."""
    found = _PART.fullmatch(part)
    if not found or (found[3] and bool(found[2]) != bool(found[4])):
        raise OutOfRange(
            f"{asker} wants lessons, such as 5 or 4-6, or single questions, such as 5.1-5.4,6.2, and "
            f'"{part[:60]}" is neither.'
        )
    ends = []
    for lesson, n in (found.group(1, 2), found.group(3, 4) if found[3] else found.group(1, 2)):
        homework.ask(int(lesson), int(n or 1))
        ends.append((int(lesson), int(n or 0)))
    first, last = ends
    if first > last:
        raise OutOfRange(f'"{part}" runs backwards. The smaller one stands first, such as 5.1-5.4.')
    return {code for code in homework.items() if first <= code <= last or (not last[1] and code[0] == last[0])}


def in_words(codes: Iterable[str]) -> str:
    """Items by their codes, those that follow one another taken together.

    >>> in_words(["5.1", "5.2", "5.8", "5.3", "6.1", "6.2"])
    '5.1 to 5.3, 5.8, 6.1 and 6.2'
    """
    said: list[str] = []
    ordered = sorted((int(lesson), int(number)) for lesson, number in (code.split(".") for code in codes))
    for _, run in groupby(enumerate(ordered), key=lambda at: (at[1][0], at[1][1] - at[0])):
        ends = [f"{lesson}.{number}" for _, (lesson, number) in run]
        said += [f"{ends[0]} to {ends[-1]}"] if len(ends) > 2 else ends
    return listed(said)
