"""Floor 4. One student's file, marked: all verdicts worked out anew from class code and number.

What a file says is what was typed, and no more; what is right is found here, by the very sums of the student's page.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from herbcalc import homework
from herbcalc.homework import progress, reading
from herbcalc.homework.draws import LAST_NUMBER, first_go_of
from herbcalc.homework.handed_in import Aside, File, Paper, read
from herbcalc.homework.progress import ALONE, LOOKED_AT
from herbcalc.homework.results import Answer

MOST_TRIES = 60  # the newest to one item that are looked at: nobody tries more, and a file can hold thousands
COMPARED = 6  # sums by which is told whose figures they belong to, where none of them fits whoever handed them in
NEAR = 0.01
FITS = 4  # of those: by chance nobody's figures give so many of somebody else's answers
MOST_ANSWERS = 2000  # the newest of a file: a whole course, twenty times over
LONGEST_TYPED = 80  # characters of an answer that are kept for the page


@dataclass(frozen=True)
class Tried:
    """An answer worth telling of: to which item and set of figures, what was typed, and the slip it fits, if any."""

    item: str
    go: int
    typed: str
    slip: str = ""


@dataclass(frozen=True)
class Student:
    """What one result file shows. `states` is as `progress.states` gives it, without what was not tried; `slips` are
    the answers that a known slip leads to, each slip once in each set of figures; `sure_off` those that somebody was
    sure of and that did not fit; `at_once` the items that were right at the first look, without a step shown;
    `by_now` those that were right once, and have not been off since where they came round again."""

    name: str
    class_code: str
    number: int
    first: str
    newest: str
    answers: int
    states: dict[str, str]
    slips: tuple[Tried, ...]
    sure_off: tuple[Tried, ...]
    at_once: frozenset[str]
    by_now: frozenset[str]
    versions: frozenset[str]
    print: str
    notes: tuple[Aside, ...] = ()


def look_at(found: File | Aside, last_day: str) -> Student | Aside:
    """Read and mark one thing that `handed_in.files` has found; what is aside already stays so.

    >>> look_at(Aside("photo.png", "it is no text"), "2026-03-02").reason
    'it is no text'
    """
    paper = read(found) if isinstance(found, File) else found
    return mark(paper, last_day) if isinstance(paper, Paper) else paper


def mark(paper: Paper, last_day: str) -> Student | Aside:
    """Mark one file.

    paper     as `handed_in.read` gives it
    last_day  year-month-day; a day after it is a calendar that goes ahead, and is not counted as one

    Result: Student, or an Aside where the answers are to figures of nobody, or of another student of the class.

    >>> mark(Paper("a.jsonl", "fern7", 3, (Answer("fern7", 3, "5.2", 99, 1, 1, "28 %"),), (), ""), "2026-03-02").name
    'a.jsonl'
    """
    tried, left = _newest(answer for answer in paper.answers if not answer.asks_for_fresh)
    own = [answer for answer in tried if progress.said_to(answer).verdict]
    foreign = len(tried) - len(own)
    if foreign and not own:
        so = "were never drawn for this class and number, or are those of another version of the workbook"
        return Aside(paper.name, f"the figures of its answers {so}")
    if other := _somebody_elses(own):
        so = f"none of its sums fits number {paper.number}, and they fit the figures of number {other}"
        return Aside(
            paper.name, f"{so}. Perhaps one has typed the other's number, or the number was changed. Ask whose it is"
        )
    notes = [*paper.notes]
    if left:
        notes.append(Aside(paper.name, f"it holds {left:,} answers more than are looked at; the newest are"))
    if foreign:
        so = "to figures that were never drawn for this class and number, or of another version of the workbook"
        notes.append(Aside(paper.name, f"{foreign} of its answers are {so}; they are not counted"))
    days = sorted({answer.day for answer in own})
    if days and days[-1] > last_day:
        notes.append(Aside(paper.name, f"it holds the day {days[-1]}, which is yet to come; that day is not counted"))
        days = [day for day in days if day <= last_day]
    return Student(
        name=paper.name,
        class_code=paper.class_code,
        number=paper.number,
        first=days[0] if days else "",
        newest=days[-1] if days else "",
        answers=len(own),
        states=_states(own, paper),
        slips=_slips(own),
        sure_off=_sure_off(own),
        at_once=_at_once(own),
        by_now=_by_now(own),
        versions=frozenset(answer.herbcalc for answer in own),
        print=paper.print,
        notes=tuple(notes),
    )


def _somebody_elses(own: list[Answer]) -> int:
    """The number in the class to whose figures the sums belong, where not one fits whoever handed them in; or 0."""
    sums: dict[str, Answer] = {}
    for answer in own:
        said = progress.said_to(answer)
        if said.verdict == "right" and is_looked_at(answer.item):
            return 0
        if said.verdict in LOOKED_AT and first_go_of(answer.go) == 1 and math.isfinite(_number(answer)):
            sums[answer.item] = answer
    some = list(sums.values())[-COMPARED:]
    if len(some) < FITS:
        return 0
    others = (number for number in range(1, LAST_NUMBER + 1) if number != own[0].number)
    return next((number for number in others if _fit(some, number)), 0)


def _fit(answers: list[Answer], number: int) -> bool:
    """Whether most of these answers are near what is right for another number of the class."""
    misses = 0
    for answer in answers:
        drawn = progress.own_item(answer.item, answer.class_code, number, answer.go).drawn
        misses += not drawn.low * (1 - NEAR) <= _number(answer) <= drawn.high * (1 + NEAR)
        if len(answers) - misses < FITS:
            return False
    return True


def _number(answer: Answer) -> float:
    """An answer to a sum as a number in the unit of its item; not a number where it is none."""
    want = homework.ask(*map(int, answer.item.split("."))).want
    return reading.read(answer.typed, want).number if want else math.nan


def _newest(answers: Iterable[Answer]) -> tuple[list[Answer], int]:
    """The newest answers to each item, in order, and how many older ones are left aside."""
    by_item: dict[str, int] = defaultdict(int)
    kept: list[Answer] = []
    left = 0
    for answer in reversed(list(answers)):
        by_item[answer.item] += 1
        if by_item[answer.item] > MOST_TRIES or len(kept) == MOST_ANSWERS:
            left += 1
        else:
            kept.append(answer)
    return kept[::-1], left


def _states(own: list[Answer], paper: Paper) -> dict[str, str]:
    states = progress.states(own, paper.class_code, paper.number)
    return {code: state for code, state in states.items() if state != progress.NOT_TRIED}


def _tried(answer: Answer) -> Tried:
    typed = answer.typed if len(answer.typed) <= LONGEST_TYPED else f"{answer.typed[: LONGEST_TYPED - 1]}…"
    return Tried(answer.item, answer.go, typed, progress.said_to(answer).slip or "")


def _slips(own: list[Answer]) -> tuple[Tried, ...]:
    first: dict[tuple[str, int, str], Tried] = {}
    for one in map(_tried, own):
        if one.slip:
            first.setdefault((one.item, one.go, one.slip), one)
    return tuple(first.values())


def _sure_off(own: list[Answer]) -> tuple[Tried, ...]:
    off = (a for a in own if a.sure == "sure" and progress.said_to(a).verdict in ("slip", "not yet"))
    return tuple(dict.fromkeys(map(_tried, off)))


def _at_once(own: list[Answer]) -> frozenset[str]:
    """The items whose first answer that could be looked at was right, without a step shown before it."""
    first: dict[str, bool] = {}
    for answer in own:
        verdict = progress.said_to(answer).verdict
        if first_go_of(answer.go) == 1 and verdict in LOOKED_AT and is_looked_at(answer.item):
            first.setdefault(answer.item, verdict == "right" and answer.tier <= ALONE)
    return frozenset(code for code, at_once in first.items() if at_once)


def _by_now(own: list[Answer]) -> frozenset[str]:
    """The items that somebody can do by now, as far as the file tells: a slip may come back when its item does."""
    can: set[str] = set()
    solved: set[tuple[str, int]] = set()  # a set of figures that is solved stays so, whatever is typed there later
    for answer in own:
        verdict = progress.said_to(answer).verdict
        if verdict == "right":
            can.add(answer.item)
            solved.add((answer.item, answer.go))
        elif verdict in LOOKED_AT and first_go_of(answer.go) > 1 and (answer.item, answer.go) not in solved:
            can.discard(answer.item)
    return frozenset(can)


def is_looked_at(code: str) -> bool:
    """Whether an item's answers can be told right by looking; a sentence is ticked by whoever wrote it.

    >>> is_looked_at("5.2"), is_looked_at("5.8")
    (True, False)
    """
    lesson, number = map(int, code.split("."))
    return homework.ask(lesson, number).kind != "sentence"


def one_each(found: Iterable[Student | Aside]) -> tuple[list[Student], list[Aside]]:
    """One file for each number of each class: the one with the newest day counts, and the others are told.

    found  as `look_at` gives it

    Result: (students, by class and number; what does not count, by name).

    >>> one_each([])
    ([], [])
    """
    by_seat: dict[tuple[str, int], list[Student]] = defaultdict(list)
    kept, aside = [], []
    for one in found:
        if isinstance(one, Aside):
            aside.append(one)
        else:
            by_seat[one.class_code, one.number].append(one)
    for seat in sorted(by_seat):
        best, *others = sorted(by_seat[seat], key=lambda one: (one.newest, one.answers), reverse=True)
        copies = [other for other in others if other.print == best.print]
        older = [other for other in others if other.print != best.print]
        whose = f"class {seat[0]}, number {seat[1]}"
        aside += [Aside(copy.name, f"it is the same, to the letter, as {best.name}") for copy in copies]
        aside += [
            Aside(
                other.name,
                f"{whose} has two files or more. {best.name} goes on to {best.newest or 'no day'} and counts; this "
                f"one, to {other.newest or 'no day'}, does not. If they are of two people, one has another's number",
            )
            for other in older
        ]
        also = tuple(Aside(best.name, f"it counts for {whose}; {other.name} does not") for other in older)
        kept.append(replace(best, notes=(*best.notes, *also)))
    return kept, sorted(aside, key=lambda one: one.name)
