"""Floor 4. What comes round again: items of earlier lessons that somebody missed, was helped with, or guessed at.

The kept answers tell, and the day, which is handed in. An item comes again from 3 days after it was last worked on;
once it goes well then, from 10 days after that; then it rests. A miss begins with 3 days again. Nothing counts up:
two stand on a page at most, whatever is due, and somebody who stays away for a month finds two.

Each round has a set of figures of its own, among those of mixed practice on its page, so that an item's own sets and
its state stay as they are. What stands on a page is chosen by what was kept before today, so that it stays there all
day, whatever is answered meanwhile.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from herbcalc import homework
from herbcalc.homework import progress
from herbcalc.homework.draws import EACH_LESSON, Seat, first_go_of, first_mixed_go
from herbcalc.homework.item import Item
from herbcalc.homework.progress import ALONE, LOOKED_AT
from herbcalc.homework.results import Answer
from herbcalc.person.plants import AS_TOLD, Plants

WAITS = (3, 10)  # days before the first round, and before the second
GUESSING = "guessing"


@dataclass(frozen=True)
class PutOff:
    """An item that was put off: its code, the day, year-month-day, and the lesson on whose page that was."""

    item: str
    day: str
    lesson: int


@dataclass(frozen=True)
class Again:
    """One of the two on a page: the item in the first set of this round, the day when it was last worked on, "" for
    one that is due for no reason but practice, and whether it is put off."""

    item: Item
    day: str = ""
    put_off: bool = False


@dataclass
class _Met:
    """What is known of one item: which round comes next (0: it rests), the day it was last worked on, and how often
    it was missed. `begun` has each set of figures, and whether a round was due when it was begun; `looked` those of
    which the first answer has been looked at; `tier` is the most help that was shown in a set."""

    round: int = 0
    day: str = ""
    missed: int = 0
    begun: dict[int, bool] = field(default_factory=dict)
    looked: set[int] = field(default_factory=set)
    tier: dict[int, int] = field(default_factory=dict)

    def is_due(self, day: str) -> bool:
        return bool(self.round) and apart(self.day, day) >= WAITS[self.round - 1]

    def take(self, go: int, well: bool, weight: int) -> None:
        """The first answer in a set: whether it went well, and how much it counts where it did not."""
        self.looked.add(go)
        if not well:
            self.round = 1
            self.missed += weight
        elif self.begun[go]:
            self.round = self.round + 1 if self.round < len(WAITS) else 0


def apart(one: str, other: str) -> int:
    """How many days lie between two days, year-month-day, whichever comes first: a clock may have been set back.

    >>> apart("2026-11-12", "2026-11-15"), apart("2036-11-15", "2026-11-15")
    (3, 3653)
    """
    return abs((date.fromisoformat(one) - date.fromisoformat(other)).days)


def two(
    lesson: int,
    answers: Iterable[Answer],
    class_code: str,
    own_number: int,
    today: date,
    put_off: Iterable[PutOff] = (),
    set_work: bool = False,
    plants: Plants = AS_TOLD,
) -> list[Again]:
    """The two items of earlier lessons at the end of a lesson's exercises: what is due first, then as `mixed` gives.

    lesson      as for `homework.mixed`
    answers     as `results.read` gives them, in order; those of others are passed over, and so are those to items or
                figures that this workbook does not have
    class_code  in its normal form; own_number 1 to 99
    today       a date
    put_off     what was put off, with days as they are written in a result file
    set_work    whether answers are handed in without a verdict: then only help and guesses choose, which the student
                knows of, and what comes back tells nothing of what was right
    plants      as for `homework.item`

    Result: two of Again, of two lessons where it can be; none where no lesson with homework comes before. The same
    all day; what was worked on today elsewhere, or put off there, is left out.
    Refuses: a lesson, class code or number that does not exist (OutOfRange).

    >>> [(one.item.code, one.day) for one in two(7, [], "fern7", 3, date(2026, 3, 2))] == [
    ...     (one.code, "") for one in homework.mixed(7, "fern7", 3)
    ... ]
    True
    """
    by_hash = homework.mixed(lesson, class_code, own_number, plants)
    own = [a for a in answers if (a.class_code, a.number) == (class_code, own_number)]
    day = today.isoformat()
    off = [one for one in put_off if apart(one.day, day) < WAITS[0]]
    begun = _begun(a for a in own if a.day == day)
    here = {code for code, page in begun.items() if page == first_mixed_go(lesson)}
    gone = (begun.keys() - here) | {one.item for one in off if (one.day, one.lesson) != (day, lesson)}
    still_off = {one.item for one in off} - here
    met = _met((a for a in own if a.day != day), set_work)
    seat = Seat(1, class_code, own_number, f"coming back {lesson}")
    due = [code for code, one in met.items() if one.is_due(day) and code not in gone]
    due = [code for code in due if int(code.split(".")[0]) < lesson and _next_go(met[code], lesson)]
    due.sort(key=lambda code: (met[code].day, -met[code].missed, seat.place(1, code, 1 << 32)))
    found: list[Again] = []
    for code in _of_two_lessons(due, len(by_hash)):
        go = _next_go(met[code], lesson)
        of, number = map(int, code.split("."))
        item = homework.item(of, number, class_code, own_number, go, plants)
        found.append(Again(item, met[code].day, code in still_off))
    other = [one for one in by_hash if all(one.code != had.item.code for had in found)]
    other.sort(key=lambda one: any(one.ask.lesson == had.item.ask.lesson for had in found))
    return [*found, *(Again(one, put_off=one.code in still_off) for one in other)][: len(by_hash)]


def to_look_at(two_of_them: Iterable[Again], answers: Iterable[Answer], today: date) -> list[str]:
    """The codes of those that come round again and were neither begun today nor put off; whoever has begun some of
    mixed practice today, on whichever page, has so many fewer before them, and after two none.

    two_of_them  as `two` gives them
    answers      as `results.read` gives them
    today        a date

    >>> to_look_at(two(7, [], "fern7", 3, date(2026, 3, 2)), [], date(2026, 3, 2))
    []
    """
    both = list(two_of_them)
    whose = {(one.item.class_code, one.item.own_number) for one in both}
    begun = _begun(a for a in answers if (a.class_code, a.number) in whose and a.day == today.isoformat())
    practised = sum(first_go > 1 for first_go in begun.values())
    waiting = [one.item.code for one in both if one.day and not one.put_off and one.item.code not in begun]
    return waiting[: max(len(both) - practised, 0)]


def _begun(own: Iterable[Answer]) -> dict[str, int]:
    """Where each item was begun: the first set of the run that its first line belongs to."""
    first: dict[str, int] = {}
    for answer in own:
        first.setdefault(answer.item, first_go_of(answer.go))
    return first


def _met(own: Iterable[Answer], set_work: bool) -> dict[str, _Met]:
    """What is known of each item that can come again, from one student's answers in order."""
    found: dict[str, _Met] = {}
    for answer in own:
        if _can_come(answer):
            _go_on(found.setdefault(answer.item, _Met()), answer, set_work)
    return found


def _can_come(answer: Answer) -> bool:
    """Whether an answer is to an item of this edition, with figures, that can be told right by looking."""
    if answer.item not in progress.codes():
        return False
    ask = homework.ask(*map(int, answer.item.split(".")))
    return answer.edition == ask.edition and bool(ask.figures) and ask.kind != "sentence"


def _go_on(met: _Met, answer: Answer, set_work: bool) -> None:
    """One more line to an item. The first answer in each set that could be looked at tells; what follows is help."""
    go, before = answer.go, answer.go - 1
    if answer.asks_for_fresh and answer.tier > ALONE and before not in met.looked:  # the help that was shown before
        met.begun.setdefault(before, False)
        met.take(before, well=False, weight=1)
        met.day = answer.day  # so the fresh set, which comes of that help, is no round
    met.begun.setdefault(go, met.is_due(answer.day))
    if not answer.asks_for_fresh and go not in met.looked:
        met.tier[go] = max(answer.tier, met.tier.get(go, ALONE))
        verdict = progress.said_to(answer).verdict
        if verdict in LOOKED_AT:
            right = set_work or verdict == "right"
            well = right and met.tier[go] <= ALONE and answer.sure != GUESSING
            met.take(go, well, weight=1 if right or answer.sure != "sure" else 2)  # sure but off counts double
    met.day = answer.day


def _next_go(met: _Met, lesson: int) -> int:
    """The next set of figures for a round on a lesson's page; 0 where its twenty are used up."""
    first = first_mixed_go(lesson)
    used = [go for go in met.begun if first_go_of(go) == first]
    go = max(used, default=first - 1) + 1
    return go if go < first + EACH_LESSON else 0


def _of_two_lessons(due: list[str], count: int) -> list[str]:
    """The first of what is due, and the next of another lesson where there is one."""
    if len(due) < 2:
        return due[:count]
    lesson = due[0].split(".")[0]
    return [due[0], next((code for code in due if code.split(".")[0] != lesson), due[1])][:count]
