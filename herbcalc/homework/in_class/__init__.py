"""Floor 4. What is asked within a lesson: the gaps of "Remember" and "Worked through", and the figures of the bench.

A gap is a homework item whose figures are the same for everybody: so it is read, checked and walked through like one.
Nothing of it is kept. Each carries its own figures, and no cell of a notebook can change them.

`lessonNN.py` here holds `GAPS`, in the order of the page, and `BENCH`.
"""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
import re
from functools import cache
from typing import Any

from herbcalc.homework.in_class.shapes import Bench, Gap
from herbcalc.homework.item import Item
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.rules import Rules
from herbcalc.units import OutOfRange, WrongUnit, amount
from herbcalc.units.refusals import Impossible


@cache
def _room(lesson: int) -> Any:
    return importlib.import_module(f"herbcalc.homework.in_class.lesson{lesson:02d}")


def lessons() -> list[int]:
    """The numbers of the lessons that have a page with gaps, without loading one; 0 is the first aid.

    >>> lessons()[:3], lessons()[-1]
    ([0, 1, 2], 14)
    """
    found = (re.fullmatch(r"lesson(\d\d)", name) for _, name, _ in pkgutil.iter_modules(__path__))
    return sorted(int(one[1]) for one in found if one)


def gaps(lesson: int) -> tuple[Gap, ...]:
    """The gaps of a lesson, in the order of its page.

    >>> [one.title for one in gaps(5)][:2]
    ['Remember, 1', 'Remember, 2']
    """
    return _room(lesson).GAPS


def question(lesson: int, number: int, plants: Plants = AS_TOLD) -> Item:
    """A gap as an item that can be answered; `number` counts from 1 along the page, `plants` are those of the class.
    Refusal: OutOfRange.

    >>> question(5, 1).check("200 g").verdict
    'right'
    """
    there = gaps(lesson)
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= len(there):
        raise OutOfRange(f"Lesson {lesson} has gaps 1 to {len(there)}, and {str(number)[:40]!r} was asked for.")
    asked = dataclasses.replace(there[number - 1].ask, lesson=lesson, number=number)
    return Item(asked, "practice", 1, plants=plants)


def bench(lesson: int, plants: Plants = AS_TOLD) -> Bench:
    """The boxes for the bench of a lesson, in the names of the class's plants."""
    there: Bench = _room(lesson).BENCH
    return plants.named(there)


def told(bench: Bench, rules: Rules, typed: dict[str, str]) -> list[str]:
    """What there is to tell of what was typed into the boxes, or why it cannot be told and what would do.

    >>> from herbcalc.rules import Rules
    >>> print(*told(bench(3), Rules(), {"fresh": "100 g", "dry": ""}))
    Weight when it is crisp: nothing stands there yet. Something such as 22 g would do.
    """
    amounts = {}
    for box in bench.boxes:
        text = typed[box.name].strip()
        if not text:
            return [f"{box.label}: nothing stands there yet. Something such as {box.example} would do."]
        try:
            amounts[box.name] = amount(text, box.kind)
        except (WrongUnit, OutOfRange) as refusal:
            return [f"{box.label}: {refusal}"]
    try:
        return bench.tell(rules, **amounts)
    except Impossible as refusal:
        return [str(refusal), *(way.text for way in refusal.ways_out)]
    except (WrongUnit, OutOfRange) as refusal:
        return [str(refusal)]
