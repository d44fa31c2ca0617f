"""Floor 4. How far somebody has come: the state of each item, worked out afresh from what was typed.

No verdict is stored, so each is found again, and no answer is looked at twice. What is solved stays solved, whatever
was typed later; there is no score in here and nothing to add up. Only an item's own sets count: where it comes again
among mixed practice, that is practice.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache, lru_cache

from herbcalc import homework
from herbcalc.homework.draws import first_go_of
from herbcalc.homework.feedback import Feedback
from herbcalc.homework.item import Item
from herbcalc.homework.results import Answer

NOT_TRIED, NOT_YET, HELPED, DONE, HANDED_IN = "not tried", "not yet", "done with help", "done", "handed in"
SOLVED = (DONE, HELPED, HANDED_IN)  # nothing is left to do there
ALONE = 1  # the tier of somebody who asked for no step
LOOKED_AT = ("right", "slip", "not yet")  # verdicts on an answer that could be read as one of the kind asked for


def states(answers: Iterable[Answer], class_code: str, own_number: int, set_work: bool = False) -> dict[str, str]:
    """The state of every item for one student.

    answers     as `results.read` gives them, in order; those of others are passed over, and so are those to figures
                that were never drawn or belong to an older edition
    class_code  in its normal form; own_number 1 to 99
    set_work    whether answers are handed in without a verdict

    Gives code ("3.4") -> one of the five words above, all items in the order in which the pages show them. Refuses a
    class code or number that does not exist (OutOfRange).

    >>> states([], "fern7", 3)["3.4"]
    'not tried'
    """
    typed: dict[str, list[Answer]] = defaultdict(list)
    for answer in answers:
        if _own(answer, class_code, own_number) and not answer.asks_for_fresh:
            typed[answer.item].append(answer)
    return {code: _state(typed[code], set_work) for code in codes()}


def last_worked(answers: Iterable[Answer], class_code: str, own_number: int) -> str:
    """The code of the item that one student worked on last, "" where there is none; see `states`.

    >>> last_worked([], "fern7", 3)
    ''
    """
    known = set(codes())
    own = [a.item for a in answers if a.item in known and _own(a, class_code, own_number)]
    return own[-1] if own else ""


def go_on(now: Mapping[str, str], last: str) -> str:
    """Where to go on: the item worked on last while it is open, else the next such; "" where all is done.

    now   as `states` gives it
    last  as `last_worked` gives it; after the last item come those before it

    >>> go_on({"3.1": DONE, "3.2": NOT_TRIED, "3.3": NOT_YET}, "3.1")
    '3.2'
    >>> go_on({"3.1": NOT_TRIED, "3.2": DONE}, "3.2"), go_on({"3.1": DONE}, "3.1"), go_on({"3.1": NOT_TRIED}, "")
    ('3.1', '', '3.1')
    """
    codes = list(now)
    start = codes.index(last) if last in now else 0
    return next((code for code in codes[start:] + codes[:start] if now[code] not in SOLVED), "")


@cache
def codes() -> tuple[str, ...]:
    """The codes of all items, in the order in which the pages show them.

    >>> codes()[:2]
    ('1.1', '1.2')
    """
    return tuple(f"{lesson}.{number}" for lesson in homework.LESSONS for number in homework.order(lesson))


def _own(answer: Answer, class_code: str, own_number: int) -> bool:
    mine = (answer.class_code, answer.number) == (class_code, own_number)
    return mine and first_go_of(answer.go) == 1


def _state(tries: list[Answer], set_work: bool) -> str:
    """The state of one item from all that was typed to it.

    The newest is looked at first, and most often that is enough.
    """
    found = NOT_YET if tries else NOT_TRIED
    for answer, tier in reversed(_with_help_shown(tries)):
        if found == HELPED and tier > ALONE:
            continue  # could say no more than is known
        verdict = said_to(answer).verdict
        if set_work and verdict in LOOKED_AT:
            return HANDED_IN
        if verdict == "right" and tier <= ALONE:
            return DONE
        if verdict == "right" and not set_work:
            found = HELPED
    return found


def _with_help_shown(tries: list[Answer]) -> list[tuple[Answer, int]]:
    """Each text once in each set of figures, with the most help that had been shown in that set before it."""
    shown: dict[int, int] = {}
    first: dict[tuple[int, int, int, str], tuple[Answer, int]] = {}
    for answer in tries:
        shown[answer.go] = max(shown.get(answer.go, 0), answer.tier)
        first.setdefault((answer.edition, answer.go, answer.attempt, answer.typed), (answer, shown[answer.go]))
    return list(first.values())


def said_to(answer: Answer) -> Feedback:
    """What was said to a kept answer, without its hints: verdict, slip, and how it was read.

    The verdict is "" where the figures are not those that this class and number have in this workbook, or where it
    has no such item.

    >>> said_to(Answer("fern7", 3, "5.2", 99, 1, 1, "28 % vol")).verdict
    ''
    """
    figures = answer.edition, answer.go, answer.attempt
    return _said(answer.item, answer.class_code, answer.number, *figures, answer.typed)


@lru_cache(maxsize=65_536)  # all of the largest file: a page that looks again does not work the same sums again
def _said(code: str, class_code: str, own_number: int, edition: int, go: int, attempt: int, typed: str) -> Feedback:
    if code not in codes():
        return Feedback("")
    item = own_item(code, class_code, own_number, go)
    if (edition, attempt) != (item.edition, item.attempt):
        return Feedback("")
    return replace(item.check(typed), hint="", consequence="")


@lru_cache(maxsize=4096)  # what a class works on
def own_item(code: str, class_code: str, own_number: int, go: int) -> Item:
    """An item by its code ("5.2"), with somebody's figures; those asked for again and again are drawn once."""
    lesson, number = map(int, code.split("."))
    return homework.item(lesson, number, class_code, own_number, go)
