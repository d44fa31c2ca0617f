"""Floor 5. The one object of a notebook: `here = lesson(5)`. It knows who works, by which rules, in which folder."""

from __future__ import annotations

import importlib
import pkgutil
import re
from typing import TYPE_CHECKING

from herbcalc import person
from herbcalc.show import lessons as _folder
from herbcalc.show import refused
from herbcalc.show.desk import START, Desk
from herbcalc.show.greeting import greet
from herbcalc.units.refusals import OutOfRange, WrongUnit

if TYPE_CHECKING:
    from types import ModuleType

    from ipywidgets import Widget

    from herbcalc.drying import DryingCurve
    from herbcalc.homework.coming_back import Again
    from herbcalc.homework.item import Item
    from herbcalc.show.card.own_jar import OwnJar
    from herbcalc.show.card.path import Front
    from herbcalc.show.panel import Panel


OWN_JAR = 15  # the page of one's own jar: it has cards of its own, and neither panel nor homework


def _found() -> list[tuple[int, str]]:
    """Number and name of every panel: (3, "") from lesson03.py, (3, "room") from lesson03_room.py."""
    names = (name for _, name, _ in pkgutil.iter_modules(_folder.__path__))
    found = (re.fullmatch(r"lesson(\d\d)(?:_([a-z]+))?", name) for name in names)
    return sorted((int(one[1]), one[2] or "") for one in found if one)


def lessons() -> list[int]:
    """The numbers of the lessons that have a panel, without loading one of them."""
    return [number for number, name in _found() if not name]


def panels(number: int) -> list[str]:
    """The names of the panels of a lesson, without loading one: "" for its first, "room" for lesson03_room.py.

    >>> panels(3), panels(5)
    (['', 'room'], [''])
    """
    return [name for of, name in _found() if of == number]


def module(number: int, name: str = "") -> ModuleType:
    """What a panel shows: the lesson's module, or that of one of its further panels."""
    return importlib.import_module(f"herbcalc.show.lessons.lesson{number:02d}{'_' if name else ''}{name}")


def modules() -> list[ModuleType]:
    """The modules of all panels, in the order of the lessons."""
    return [module(*one) for one in _found()]


class Here(Desk):
    """What a notebook has at hand: `here.panel()`, `here.gap(1)`, `here.item(2)`, `here.mixed(1)`, `here.bench()`."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self._panels: dict[str, Panel] = {}
        self._own: OwnJar | None = None
        self._two: list[Again] | None = None  # at the end of the exercises, from their first card on
        self._curve: DryingCurve | None = None  # of a weighing log of one's own, while this page runs

    def panel(self, name: str = "") -> Widget:
        """The panel of this lesson, or a further one by its name (in 00_start: where class code and number go)."""
        if self.number == START:
            from herbcalc.show.card.start import Start

            return Start(self)
        there = panels(self.number)
        if name not in there:
            if not there:
                raise OutOfRange(f"Page {self.number} has no panel. Every lesson has one: lesson(5), for example.")
            have = ", ".join(f"here.panel({one!r})" if one else "here.panel()" for one in there).replace("'", '"')
            raise OutOfRange(f"Lesson {self.number} has no panel {str(name)[:40]!r}. It has {have}.")
        from herbcalc.show.panel import Panel

        panel = Panel(module(self.number, name), self.rules, self.home, counts_hands=self.teaches, plants=self.plants)
        self._panels[name] = panel
        if self._curve is not None:
            panel.take_log(self._curve)
        for line in person.news():  # kept settings that could not be read
            print(line)
        return panel

    def gate(self) -> Widget:
        """What is asked before a harvest, and before any sum of it. Nothing of it is kept or judged."""
        from herbcalc.show.card.gate import Gate

        return Gate(self.rules)

    def practice(self) -> Widget:
        """How a page works, in one picture, and a box to type in where nothing can go amiss."""
        from herbcalc.show.card.practice import Practice

        return Practice(self)

    def path(self) -> Front:
        """A row for each lesson: its links, how each of its items stands, and where to go on."""
        from herbcalc.show.card.path import Front

        return Front(self, [*lessons(), OWN_JAR])

    def hand_in(self) -> Widget:
        """The button that saves what was answered, in every lesson, for the teacher."""
        from herbcalc.show.card.handing import HandIn

        return HandIn(self)

    def load_again(self) -> Widget:
        """A place to choose a result file that was saved on another computer, and to add what is missing here."""
        from herbcalc.show.card.load_again import LoadAgain

        return LoadAgain(self)

    def mine(self) -> Widget:
        """The house rules, where a person's things lie, and how to delete them."""
        from herbcalc.show.card.mine import Mine

        return Mine(self)

    def item(self, number: int) -> Widget:
        """The card of one homework item of this lesson. What is answered there is kept at once."""
        from herbcalc.show.card import Card

        return Card(self, self._first(number))

    def mixed(self, which: int) -> Widget:
        """The card of the first (1) or second (2) item of an earlier lesson, with figures of its own.

        What comes round again for this student stands first; the two stay while this page runs.
        """
        from herbcalc.show.card import Card, returning

        if self._two is None:
            self._two = returning.two(self)
            for line in person.news():  # what was put off could not be read
                print(line)
        if which not in range(1, len(self._two) + 1):
            have = "It has 1 and 2." if self._two else "No lesson with homework comes before it."
            raise OutOfRange(f"Lesson {self.number} has no mixed item {str(which)[:40]}. {have}")
        again = self._two[which - 1]
        return returning.Returning(self, again) if again.day or again.put_off else Card(self, again.item)

    def gap(self, number: int) -> Widget:
        """The card of one gap of this lesson, counted along its page. Nothing of it is kept."""
        from herbcalc.show.card.gap import Gap

        return Gap(self._with_gaps(), number, self.plants)

    def bench(self) -> Widget:
        """Boxes for what was weighed and measured on the bench, and what comes of it. Nothing of it is kept."""
        from herbcalc.show.card.bench import Bench

        return Bench(self._with_gaps(), self.rules, self.plants)

    def log(self) -> Widget:
        """A place for a weighing log of one's own, and its curve. Nothing of it is kept."""
        from herbcalc.show.card.log import WeighingLog

        return WeighingLog(self.rules, self._take_log)

    def label(self) -> Widget:
        """The lines of a label to fill in, and what it still lacks. Nothing of it is kept."""
        from herbcalc.show.card.label import LabelCard

        return LabelCard(self.rules, self.plants)

    def capstone(self) -> Widget:
        """A plan from stand to shelf, for given things of one's own. Each box is kept when it is typed."""
        from herbcalc.show.card.capstone import Capstone

        return Capstone(self)

    def own_jar(self, page: str = "") -> Widget:
        """A batch of one's own, over weeks: which one, or one of its pages. Each box is kept when it is typed."""
        from herbcalc.show.card.own_jar import OwnJar

        if self._own is None:
            self._own = OwnJar(self, self._take_log)
        return self._own.card(page)

    def _take_log(self, curve: DryingCurve | None) -> None:
        """The panels of this page tell the hours by the person's own log from now on."""
        if curve is not self._curve:
            self._curve = curve
            for panel in self._panels.values():
                panel.take_log(curve)

    def items(self) -> list[int]:
        """The numbers of this lesson's homework items."""
        from herbcalc import homework

        return [n for of, n in homework.items() if of == self.number]

    def _with_gaps(self) -> int:
        """The number of this lesson, where it has a page with gaps; refuses where it has none."""
        if self.number in (START, OWN_JAR):
            page = "The start page" if self.number == START else f"Page {self.number}"
            raise OutOfRange(f"{page} has no gaps to fill. Every lesson has some: lesson(5), for example.")
        return self.number

    def _first(self, number: int) -> Item:
        """An item of this lesson in its first set of figures. Refuses a number that the lesson does not have."""
        from herbcalc import homework

        there = self.items()
        if type(number) is not int:
            raise WrongUnit(
                "An item is called by its whole number, without quote marks, as in here.item(2), and "
                f"{str(number)[:40]!r} was given."
            )
        if number not in there:
            have = f"Its items are {there[0]} to {there[-1]}." if there else "It has no homework."
            raise OutOfRange(f"Lesson {self.number} has no item {number}. {have}")
        return homework.item(self.number, number, self.who.class_code, self.who.number, plants=self.plants)


class FirstAid(Desk):
    """What the notebook 00_first_aid has at hand: a panel and cards. It is no lesson, and no answer is kept."""

    def __init__(self) -> None:
        super().__init__(START)

    def panel(self) -> Widget:
        """Fractions as jars with marks, to be moved."""
        from herbcalc.show.panel import Panel

        return Panel(module(START, "jars"), self.rules, self.home, counts_hands=self.teaches, plants=self.plants)

    def gap(self, number: int) -> Widget:
        """The card of one question, counted along the page."""
        from herbcalc.show.card.gap import Gap

        return Gap(START, number, self.plants)


def first_aid() -> FirstAid:
    """Open the first aid for sums in its notebook; see `lesson`."""
    refused.install()
    here = FirstAid()
    greet([here.greeting(), *here.notes])
    return here


def lesson(number: int) -> Here:
    """Open a lesson in its notebook. `number` is the lesson's number in the workbook, 0 for 00_start.

    Shows one line on who is working, and a line for each thing worth knowing first. What a saved notebook keeps of
    them is that it does not run yet.
    """
    refused.install()
    if type(number) is not int:
        raise WrongUnit(f"A lesson is called by its number, as in lesson(5), and {str(number)[:40]!r} was given.")
    there = [*lessons(), OWN_JAR]
    if number != START and number not in there:
        raise OutOfRange(
            f"There is no lesson {number} in this workbook. Here are 0 (the start) and {', '.join(map(str, there))}."
        )
    here = Here(number)
    greet([here.greeting(), *here.notes])
    return here
