"""Floor 5. Whose desk a notebook stands on: who works there, by which house rules, in which folder."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence

from herbcalc import person
from herbcalc.homework.draws import normal_form
from herbcalc.homework.week import Week, week
from herbcalc.person import class_file
from herbcalc.person.plants import IN_STORY, Plants
from herbcalc.rules import Rules

START = 0  # the number of 00_start


def not_open_yet(number: int, opened: Sequence[int] | None) -> list[str]:
    """What to say in a lesson that the teacher's class.toml does not name under `open`. It bars nobody from it.

    >>> not_open_yet(7, [3, 4, 5])
    ['Your class has not come to lesson 7 yet. Open now: 3, 4, 5. You are welcome to look round.']
    >>> not_open_yet(4, [3, 4, 5]), not_open_yet(7, None), not_open_yet(0, [])
    ([], [], [])
    """
    if opened is None or number == START:
        return []
    if number in opened:
        return []
    now = f"Open now: {', '.join(map(str, sorted(opened)))}." if opened else "None is open so far."
    return [f"Your class has not come to lesson {number} yet. {now} You are welcome to look round."]


def set_here(number: int, week: Week, opened: Sequence[int] | None) -> list[str]:
    """What a page says of the questions that are set for the week and stand in its exercises.

    >>> set_here(5, Week(("5.1", "5.2", "5.3"), "Thursday"), None), set_here(4, Week(("5.1",)), None)
    (['For Thursday: 5.1 to 5.3, in Exercises 5.'], [])
    >>> set_here(5, Week(("5.1",)), [4])[0].partition(". ")[2]
    'Your class has not come to lesson 5 yet: look round in it first, or ask your teacher.'
    """
    said = week.said(number)
    if not said:
        return []
    early = [] if opened is None or number in opened else [ahead(number)]
    return [" ".join([f"{said}, in Exercises {number}.", *early])]


def ahead(number: int) -> str:
    """What is said where questions are set from a lesson that is not open."""
    return f"Your class has not come to lesson {number} yet: look round in it first, or ask your teacher."


def own_rules(rules: Rules) -> list[str]:
    """One line on the house rules of a class that differ from the usual ones; nothing where none does.

    >>> own_rules(Rules(floor=30, currency="£"))
    ['House rules from class.toml: your floor 30 % vol; currency sign £.']
    """
    usual = Rules()
    named = [f.name for f in dataclasses.fields(rules) if getattr(rules, f.name) != getattr(usual, f.name)]
    told = [f"{rules.label(name)} {rules.said(name)}" for name in named]
    return [f"House rules from {person.CLASS}: {'; '.join(told)}."] if told else []


def own_plants(plants: Plants) -> list[str]:
    """One line on the plants that a class has in the place of the story's, for what a page says in its own text;
    nothing where it has none.

    >>> own_plants(Plants(leaf="nettle", flower="yarrow"))[0][:79]
    'Your class has nettle for lemon balm, and yarrow for calendula and elderflower.'
    >>> own_plants(Plants(place="Mill Street"))
    ['Your class has Mill Street for Alder Lane. The figures are the same.']
    """
    own = {kind: getattr(plants, kind) for kind in IN_STORY if getattr(plants, kind)}
    told = [f"{name} for {' and '.join(IN_STORY[kind])}" for kind, name in own.items()]
    if not told:
        return []
    listed = ", ".join([*told[:-1], f"and {told[-1]}"]) if len(told) > 1 else told[0]
    stays = (
        " A plant on a dial, or with its botanical name, stays what it is." if plants.place_alone != plants else ""
    )
    return [f"Your class has {listed}. The figures are the same.{stays}"]


class Desk:
    """What panels and cards need to know of the person and the class.

    `number` is the lesson's, 0 for 00_start. `who` is the class code and own number, `rules` the house rules,
    `plants` the plants of the class, `home` the person's folder, `notes` the sentences that were to be told when it
    was made.
    """

    def __init__(self, number: int) -> None:
        self.number = number
        self.home = person.folder()
        self.when_changed: list[Callable[[], None]] = []
        self.notes: list[str] = []
        try:
            known = person.me(self.home)
        except person.NotKept as refusal:
            known = None
            self.notes.append(str(refusal))
        self.notes += person.news()
        # A file edited by hand may spell the class code in its own way; figures and files know one spelling.
        self.who = dataclasses.replace(known, class_code=normal_form(known.class_code)) if known else person.PRACTICE
        self.known = known is not None
        self.sheet = class_file.load(self.home)
        self.rules, self.plants = self.sheet.rules, self.sheet.plants
        # The lesson can go on, and says by which rules: never silently by others than the teacher's.
        self.week = week(self.sheet)
        self.notes += self.sheet.notes + [one.note for one in self.week.amiss]
        self.notes += own_rules(self.rules) + own_plants(self.plants)
        self.notes += set_here(number, self.week, self.sheet.open) or not_open_yet(number, self.sheet.open)

    @property
    def teaches(self) -> bool:
        """Whether this is who teaches the class, as ticked in 00_start."""
        return self.who.teacher

    def now(self, who: person.Me, known: bool) -> None:
        """Somebody else works here from now on; what stands on the page and depends on it is told."""
        self.who, self.known = who, known
        for tell in self.when_changed:
            tell()

    def __repr__(self) -> str:
        return self.greeting()

    def greeting(self) -> str:
        """One line on who works in which lesson; it has neither date nor place in it."""
        what = f"Lesson {self.number} is ready." if self.number else "Ready."
        if self.known:
            return f"{what} Class {self.who.class_code}, own number {self.who.number}."
        return f"{what} Practice figures for now. Your own come once class code and number are kept in 00_start."
