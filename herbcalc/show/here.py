"""Floor 5. The one object of a notebook: `here = lesson(5)`. It knows who works, by which rules, in which folder."""

from __future__ import annotations

import importlib
import pkgutil
import re
from typing import TYPE_CHECKING, Any

from herbcalc import person, rules
from herbcalc.homework.draws import normal_form
from herbcalc.show import lessons as _folder
from herbcalc.show import refused
from herbcalc.units.refusals import OutOfRange, WrongUnit

if TYPE_CHECKING:
    from ipywidgets import Widget

START = 0


def _module(number: int) -> str:
    return f"herbcalc.show.lessons.lesson{number:02d}"


def lessons() -> list[int]:
    """The numbers of the lessons that have a panel, without loading one of them."""
    found = (re.fullmatch(r"lesson(\d\d)", name) for _, name, _ in pkgutil.iter_modules(_folder.__path__))
    return sorted(int(one.group(1)) for one in found if one)


def not_open_yet(number: int, opened: Any) -> list[str]:
    """What to say in a lesson that the teacher's class.toml does not name under `open`. It bars nobody from it.

    >>> not_open_yet(7, [3, 4, 5])
    ['Your class has not come to lesson 7 yet. Open now: 3, 4, 5. You are welcome to look round.']
    >>> not_open_yet(4, [3, 4, 5]), not_open_yet(7, None), not_open_yet(0, [])
    ([], [], [])
    """
    if opened is None or number == START:
        return []
    if not isinstance(opened, list) or not all(type(n) is int for n in opened):
        return [
            f"{person.CLASS}: open is a list of lesson numbers, such as open = [3, 4, 5]. Until then all are open."
        ]
    if number in opened:
        return []
    now = f"Open now: {', '.join(map(str, sorted(opened)))}." if opened else "None is open so far."
    return [f"Your class has not come to lesson {number} yet. {now} You are welcome to look round."]


class Here:
    """What a notebook has at hand: `here.panel()`, `here.item(2)`, `here.answer(2, "350 mL")`.

    `who` is the class code and own number, `rules` the house rules in force, `home` the person's folder, `notes` the
    sentences that were to be told when it was made.
    """

    def __init__(self, number: int) -> None:
        self.number = number
        self.home = person.folder()
        self.notes: list[str] = []
        try:
            known = person.me(self.home)
        except person.NotKept as refusal:
            known = None
            self.notes.append(str(refusal))
        self.notes += person.news()
        # A file edited by hand may spell the class code in its own way; figures and files know one spelling.
        self.who = person.Me(normal_form(known.class_code), known.number) if known else person.PRACTICE
        self.known = known is not None
        self.sheet: dict[str, Any] = {}
        try:
            self.sheet = person.class_sheet(self.home)
            self.rules = rules.load(self.home)
        except (person.NotKept, OutOfRange, WrongUnit) as refusal:
            # The lesson can go on, and says by which rules: never silently by others than the teacher's.
            self.rules = rules.Rules()
            self.notes.append(f"{refusal} Until then the usual house rules are used here.")
        self.notes += not_open_yet(number, self.sheet.get("open"))

    def __repr__(self) -> str:
        return self.greeting()

    def greeting(self) -> str:
        """One line on who works in which lesson; it has neither date nor place in it."""
        what = f"Lesson {self.number} is ready." if self.number else "Ready."
        if self.known:
            return f"{what} Class {self.who.class_code}, own number {self.who.number}."
        return f"{what} Practice figures for now. Your own come when you have typed your number in 00_start."

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

        self._has(number)
        return Card(self, number)

    def answer(self, number: int, typed: str) -> None:
        """Look at an answer from one line of code and print what there is to say. Only the card keeps answers.

        >>> here = Here(5)
        >>> here.answer(8, "too weak")
        Not yet.
        A few more words, please: one whole sentence, as you would say it to a friend.
        """
        from herbcalc.show.card import current, told

        self._has(number)
        item, *_ = current(self, number)
        print("\n".join(told(item.check(str(typed)))))

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

    def _has(self, number: int) -> None:
        there = self.items()
        if number not in there:
            have = f"Its items are {there[0]} to {there[-1]}." if there else "It has no homework."
            raise OutOfRange(f"Lesson {self.number} has no item {number}. {have}")


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
