"""Floor 4. What a class shows when its files lie side by side: what to teach again, and who has gone quiet.

It counts students, never tries: somebody who goes down one side road five times is one student. There is no score.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from herbcalc import homework
from herbcalc.homework import key, progress
from herbcalc.homework.draws import first_go_of
from herbcalc.homework.marking import Student, Tried, is_looked_at
from herbcalc.homework.progress import DONE, HELPED, NOT_YET, SOLVED

STATES = (DONE, HELPED, NOT_YET)  # of an item that somebody tried
FEW = 2  # students who must have tried an item before it is said of it that nobody could do it
ENOUGH = 3  # students, and half of the class, who must have tried one before it is said that it tells nobody apart
QUIET = 7  # days behind the newest of the class
NEXT_WEEK = 6  # questions on the page for next week
FROM_ONE_LESSON = 2
NEXT_GOES = 900  # sets of figures from 901 on belong to such pages: one for each week of the year


@dataclass(frozen=True)
class Road:
    """A side road that students of the class took: the id of the slip, its item, what somebody does there, who took
    it and what they typed, and which of them can do the item by now."""

    slip: str
    item: str
    did: str
    by: dict[int, list[Tried]]
    done: tuple[int, ...]

    @property
    def open(self) -> int:
        """How many of them cannot do the item yet, or no longer."""
        return len(self.by) - len(self.done)


@dataclass(frozen=True)
class Off:
    """An item that students were sure of and that did not fit, who, and which of them can do it by now."""

    item: str
    by: dict[int, list[Tried]]
    done: tuple[int, ...]


def classes(students: Sequence[Student]) -> list[tuple[str, list[Student]]]:
    """The classes apart, by their codes: a number is one student of a class, and has that class's figures.

    >>> classes([])
    []
    """
    ordered = sorted(students, key=lambda one: one.class_code)
    return [(code, list(some)) for code, some in groupby(ordered, key=lambda one: one.class_code)]


def in_words(count: Mapping[str, int]) -> str:
    """How many items, or students, are in each state.

    >>> in_words({NOT_YET: 1, DONE: 3, HELPED: 0})
    '3 done, 1 not yet'
    """
    return ", ".join(f"{count[state]} {state}" for state in STATES if count[state])


def roads(students: Sequence[Student]) -> list[Road]:
    """The side roads that were taken: first where most have not done the item yet, then where most took them, then in
    the order of the course. A file holds the whole course, and what was mended weeks ago need not be taught again.

    students  of one class

    Result: list.

    >>> roads([])
    []
    """
    found: dict[tuple[str, str], dict[int, list[Tried]]] = defaultdict(dict)
    for student in students:
        for tried in student.slips:
            found[tried.item, tried.slip].setdefault(student.number, []).append(tried)
    did = {(slip.item, slip.id): slip.did for slip in homework.slips()}
    made = [Road(slip, item, did[item, slip], by, _done(students, item, by)) for (item, slip), by in found.items()]
    return sorted(made, key=lambda road: (-road.open, -len(road.by), _place(road.item), road.slip))


def sure_but_off(students: Sequence[Student]) -> list[Off]:
    """What students were sure of and that did not fit, item by item; see `roads`.

    >>> sure_but_off([])
    []
    """
    found: dict[str, dict[int, list[Tried]]] = defaultdict(dict)
    for student in students:
        for tried in student.sure_off:
            found[tried.item].setdefault(student.number, []).append(tried)
    made = [Off(item, by, _done(students, item, by)) for item, by in found.items()]
    return sorted(made, key=lambda off: (-len(off.by), _place(off.item)))


def _done(students: Sequence[Student], item: str, by: dict[int, list[Tried]]) -> tuple[int, ...]:
    return tuple(s.number for s in students if s.number in by and item in s.by_now)


def told_of(some: Sequence[Tried], done: bool) -> tuple[Tried, bool]:
    """Which of a student's answers down one road is told, and whether the item had come round again by then: the
    first, and where it is not done by now, the newest of those.

    >>> told_of([Tried("5.2", 1, "40 %"), Tried("5.2", 640, "50 %")], done=False)
    (Tried(item='5.2', go=640, typed='50 %', slip=''), True)
    """
    again = [] if done else [one for one in some if first_go_of(one.go) > 1]
    return (again[-1], True) if again else (some[0], False)


def _place(code: str) -> int:
    return progress.codes().index(code)


def figures(class_code: str, number: int, tried: Tried) -> tuple[str, str]:
    """What one student had in that set of figures and what is right with it, in words, worked out anew.

    >>> figures("fern7", 3, Tried("5.1", 1, "30 mL"))
    ('100 g (about 3 1/2 oz), 90 %', '90 mL (3 fl oz)')
    """
    one = progress.own_item(tried.item, class_code, number, tried.go)
    return ", ".join(one.given_figures), " to ".join(key.right(one))


def nobody(students: Sequence[Student]) -> dict[str, list[int]]:
    """The items that two students or more tried and none has done, with help or without: code -> who tried.

    >>> nobody([])
    {}
    """
    tried = _who_tried(students)
    done = {code for s in students for code, state in s.states.items() if state in SOLVED}.union(
        *(s.by_now for s in students)
    )
    return {code: who for code, who in tried.items() if len(who) >= FEW and code not in done}


def everybody(students: Sequence[Student]) -> list[str]:
    """The items that no longer tell anyone apart: half of the class or more tried them, three at least, and all of
    those had them right at the first look, without a step shown.

    >>> everybody([])
    []
    """
    at_once = Counter(code for s in students for code in s.at_once)
    enough = max(ENOUGH, (len(students) + 1) // 2)
    return [code for code, who in _who_tried(students).items() if len(who) >= enough and at_once[code] == len(who)]


def _who_tried(students: Sequence[Student]) -> dict[str, list[int]]:
    """Which numbers tried each item that can be told right by looking, in the order of the course."""
    tried: dict[str, list[int]] = {}
    for code in progress.codes():
        who = [s.number for s in students if code in s.states] if is_looked_at(code) else []
        if who:
            tried[code] = who
    return tried


def newest(students: Sequence[Student]) -> str:
    """The newest day of the class, year-month-day; "" where there is none."""
    return max((s.newest for s in students), default="")


def quiet(students: Sequence[Student]) -> list[Student]:
    """Those whose newest day is a week or more behind that of the class, and those without any; longest first.

    >>> quiet([])
    []
    """
    last = newest(students)
    edge = (date.fromisoformat(last) - timedelta(days=QUIET)).isoformat() if last else ""
    return sorted((s for s in students if s.newest <= edge), key=lambda s: (s.newest, s.number))


def without_file(students: Sequence[Student], numbers: Sequence[int] = ()) -> list[int]:
    """The numbers of whom there is no file: of `numbers`, or, where none are named, of 1 up to the highest seen.

    >>> without_file([], [3, 1])
    [1, 3]
    """
    there = {s.number for s in students}
    return sorted(set(numbers or range(1, max(there, default=0) + 1)) - there)


def for_next_week(students: Sequence[Student]) -> list[tuple[int, int]]:
    """Six questions at most for the whole class, from what was missed: two of a lesson at most, most missed first.

    An item counts once for each student who has not done it yet, was sure of it and off, took a side road in it, or
    has done it with help.

    >>> for_next_week([])
    []
    """
    missed: Counter[str] = Counter()
    for s in students:
        stuck = {code for code, state in s.states.items() if state in (NOT_YET, HELPED)}
        missed.update(stuck | {t.item for t in (*s.slips, *s.sure_off)})
    chosen: list[tuple[int, int]] = []
    for code in sorted(missed, key=lambda code: (-missed[code], _place(code))):
        lesson, number = map(int, code.split("."))
        if sum(one == lesson for one, _ in chosen) < FROM_ONE_LESSON and is_looked_at(code):
            chosen.append((lesson, number))
        if len(chosen) == NEXT_WEEK:
            break
    return chosen


def next_go(students: Sequence[Student]) -> int:
    """Which set of figures a page for next week has: one that no notebook gives, another each week.

    >>> next_go([])
    901
    """
    last = newest(students)
    return NEXT_GOES + (date.fromisoformat(last).isocalendar().week if last else 1)
