"""Floor 5. The one object of a notebook: `here = lesson(5)`. It knows who works, by which rules, in which folder."""

from __future__ import annotations

import importlib
import pkgutil
import re
from typing import TYPE_CHECKING, Any

from herbcalc import person
from herbcalc.show import lessons as _folder
from herbcalc.show import refused
from herbcalc.show.desk import START, Desk
from herbcalc.units.refusals import OutOfRange, WrongUnit

if TYPE_CHECKING:
    from ipywidgets import Widget

    from herbcalc.homework.item import Item


def _module(number: int) -> str:
    return f"herbcalc.show.lessons.lesson{number:02d}"


def lessons() -> list[int]:
    """The numbers of the lessons that have a panel, without loading one of them."""
    found = (re.fullmatch(r"lesson(\d\d)", name) for _, name, _ in pkgutil.iter_modules(_folder.__path__))
    return sorted(int(one.group(1)) for one in found if one)


class Here(Desk):
    """What a notebook has at hand: `here.panel()`, `here.item(2)`, `here.mixed(1)`, `here.answer(2, "350 mL")`."""

    def panel(self) -> Widget:
        """The panel of this lesson (in 00_start: where class code and number are typed)."""
        if self.number == START:
            from herbcalc.show.card.start import Start

            return Start(self)
        from herbcalc.show.panel import Panel

        panel = Panel(importlib.import_module(_module(self.number)), self.rules, self.home)
        for line in person.news():  # kept settings that could not be read
            print(line)
        return panel

    def item(self, number: int) -> Widget:
        """The card of one homework item of this lesson. What is answered there is kept at once."""
        from herbcalc.show.card import Card

        return Card(self, self._first(number))

    def mixed(self, which: int) -> Widget:
        """The card of the first (1) or second (2) item of an earlier lesson, with figures of its own."""
        from herbcalc import homework
        from herbcalc.show.card import Card

        there = homework.mixed(self.number, self.who.class_code, self.who.number)
        if which not in range(1, len(there) + 1):
            have = "It has 1 and 2." if there else "No lesson with homework comes before it."
            raise OutOfRange(f"Lesson {self.number} has no mixed item {str(which)[:40]}. {have}")
        return Card(self, there[which - 1])

    def answer(self, number: int, typed: str) -> None:
        """Look at an answer from one line of code and print what there is to say. Only the card keeps answers.

        >>> here = Here(5)
        >>> here.answer(8, "too weak")
        Not yet.
        A few more words, please: one whole sentence, as you would say it to a friend.
        """
        from herbcalc.show.card import current, told, understood

        item, *_ = current(self, self._first(number))
        feedback = item.check(str(typed))
        print("\n".join([*understood(feedback), *told(feedback)]))

    def check(self, typed: str, worked: Any) -> None:
        """A gap in a worked example: print whether `typed` agrees with the amount that a sum gives. Nothing is kept.

        >>> from herbcalc.units import Q
        >>> Here(5).check("250 mL", Q(250, "mL"))
        Yes: 250 mL (8 1/2 fl oz).
        """
        from herbcalc.show.card.gap import told

        print(told(typed, worked))

    def items(self) -> list[int]:
        """The numbers of this lesson's homework items."""
        from herbcalc import homework

        return [n for of, n in homework.items() if of == self.number]

    def _first(self, number: int) -> Item:
        """An item of this lesson in its first set of figures. Refuses a number that the lesson does not have."""
        from herbcalc import homework

        there = self.items()
        if number not in there:
            have = f"Its items are {there[0]} to {there[-1]}." if there else "It has no homework."
            raise OutOfRange(f"Lesson {self.number} has no item {number}. {have}")
        return homework.item(self.number, number, self.who.class_code, self.who.number)


def lesson(number: int) -> Here:
    """Open a lesson in its notebook. `number` is the lesson's number in the workbook, 0 for 00_start.

    Prints one line on who is working, and a line for each thing worth knowing first.
    """
    refused.install()
    if type(number) is not int:
        raise WrongUnit(f"A lesson is called by its number, as in lesson(5), and {str(number)[:40]!r} was given.")
    there = lessons()
    if number != START and number not in there:
        raise OutOfRange(
            f"There is no lesson {number} in this workbook. Here are 0 (the start) and {', '.join(map(str, there))}."
        )
    here = Here(number)
    for line in [here.greeting(), *here.notes]:
        print(line)
    return here
