"""Floor 4. Homework with own numbers, checked at once, with slips that are recognised and asked about.

    items() -> [(lesson, number), ...]
    item(lesson, number, class_code, own_number, go=1, plants=AS_TOLD) -> Item
    mixed(lesson, class_code, own_number, plants=AS_TOLD) -> [Item, Item], of earlier lessons
    order(lesson) -> [number, ...], as a page shows them
    slips() -> [Slip(id, item, did, hint), ...]

`herbcalc.homework.results` keeps what was typed. Nothing here draws a widget.
"""

from __future__ import annotations

import importlib
import pkgutil
import re
from dataclasses import dataclass
from functools import cache

# Loaded before the function `items` is made: a folder that is loaded later would take its name.
from herbcalc.homework import items as _folder
from herbcalc.homework.blueprint import Ask
from herbcalc.homework.draws import Seat, checked_number, first_mixed_go, normal_form
from herbcalc.homework.feedback import Feedback
from herbcalc.homework.item import Item
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.units.refusals import OutOfRange

__all__ = ["Feedback", "Item", "Slip", "item", "items", "mixed", "order", "slips"]
LAST_LESSON = 15

LESSONS = tuple(
    sorted(
        int(name[6:]) for _, name, _ in pkgutil.iter_modules(_folder.__path__) if re.fullmatch(r"lesson\d\d", name)
    )
)


@dataclass(frozen=True)
class Slip:
    """A known side road: its id, the item it belongs to ("5.2"), what was done, and the question to ask back."""

    id: str
    item: str
    did: str
    hint: str


@cache
def _lesson(lesson: int) -> dict[int, Ask]:
    asks: tuple[Ask, ...] = importlib.import_module(f"herbcalc.homework.items.lesson{lesson:02d}").ITEMS
    return {ask.number: ask for ask in asks}


def ask(lesson: int, number: int) -> Ask:
    """An item as data, without anybody's figures. Refuses a lesson or number that does not exist (OutOfRange)."""
    if type(lesson) is not int or lesson not in LESSONS:
        raise OutOfRange(
            f"There is homework for lessons {LESSONS[0]} to {LESSONS[-1]}. Lesson 5 would work, for example."
        )
    asks = _lesson(lesson)
    if type(number) is not int or number not in asks:
        raise OutOfRange(f"Lesson {lesson} has items 1 to {max(asks)}. Item {lesson}.1 would work, for example.")
    return asks[number]


def items() -> list[tuple[int, int]]:
    """All items, as (lesson, number), in the order of the course.

    >>> (5, 2) in items()
    True
    """
    return [(lesson, number) for lesson in LESSONS for number in sorted(_lesson(lesson))]


def item(lesson: int, number: int, class_code: str, own_number: int, go: int = 1, plants: Plants = AS_TOLD) -> Item:
    """One item with one student's figures, the same on every machine.

    lesson      as in `items()`
    number      of the item in its lesson, as in `items()`
    class_code  a short text
    own_number  1 to 99
    go          1 upwards: a fresh set of figures each
    plants      whose names its texts say: those of the story, or the class's own; the figures are the same

    Result: Item.
    Refuses: what does not exist (OutOfRange).

    >>> item(5, 2, "Fern 7", 3).figures == item(5, 2, "fern7", 3).figures
    True
    """
    return Item(ask(lesson, number), class_code, own_number, go, plants)


def mixed(lesson: int, class_code: str, own_number: int, plants: Plants = AS_TOLD) -> list[Item]:
    """Two items of earlier lessons, with figures of their own, for the end of a lesson's exercises.

    lesson      a whole number
    class_code  a short text
    own_number  1 to 99
    plants      as for `item`

    Result: two Items, of two lessons where there are two, the same on every machine; none where no lesson with
    homework comes before.
    Refuses: a lesson, class code or number that does not exist (OutOfRange).

    >>> [one.code.split(".")[0] < "7" for one in mixed(7, "fern7", 3)]
    [True, True]
    """
    if isinstance(lesson, bool) or not isinstance(lesson, int) or not 1 <= lesson <= LAST_LESSON:
        raise OutOfRange(f"A lesson is a whole number from 1 to {LAST_LESSON}. Lesson 5 would work, for example.")
    seat = Seat(1, normal_form(class_code), checked_number(own_number), f"mixed {lesson}")
    earlier = [before for before in LESSONS if before < lesson]
    found: list[Item] = []
    for turn in (1, 2):
        lessons = [before for before in earlier if all(before != one.ask.lesson for one in found)] or earlier
        if not lessons:
            return []
        chosen = lessons[seat.place(turn, "lesson", len(lessons))]
        sums = [n for n, one in sorted(_lesson(chosen).items()) if one.kind == "sum"]
        sums = [n for n in sums if all((chosen, n) != (one.ask.lesson, one.ask.number) for one in found)]
        number = sums[seat.place(turn, "item", len(sums))]
        found.append(item(chosen, number, class_code, own_number, first_mixed_go(lesson), plants))
    return found


def order(lesson: int) -> list[int]:
    """The numbers of a lesson's items in the order in which a page shows them: what belongs together stands together.

    >>> order(4)
    [1, 2, 4, 3, 5, 6, 7, 8]
    """
    ask(lesson, 1)  # refuses a lesson that does not exist
    return list(_lesson(lesson))


def slips() -> list[Slip]:
    """Every slip that an item can recognise.

    >>> {"m33", "m58"} <= {slip.id for slip in slips()}
    True
    """
    found = []
    for lesson, number in items():
        one = ask(lesson, number)
        found += [Slip(m.id, one.code, m.did, m.hint) for m in one.mistakes]
        found += [Slip(option.id, one.code, option.did, option.hint) for option in one.options if option.id]
    return found
