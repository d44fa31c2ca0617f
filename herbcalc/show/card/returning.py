"""Floor 5. The card of a question that comes round again: why it comes, and one press to put it off.

What was put off lies among the kept settings, under a name of its own: item, day and page, for three days. It is not
in the result file, and nobody but its owner sees it.
"""

from __future__ import annotations

from datetime import date
from html import escape
from typing import Any

import ipywidgets as w

from herbcalc import person
from herbcalc.harvest import MONTHS
from herbcalc.homework import coming_back, results
from herbcalc.homework.coming_back import WAITS, Again, PutOff
from herbcalc.person.writing import tell
from herbcalc.show.card import Card, paper
from herbcalc.show.desk import Desk

PUT_OFF = "coming back"  # the name of its rows among the kept settings
THIS_YEAR = 300  # days for which a day without its year is plain
NOT_TODAY, AFTER_ALL = "Not today", "Show it after all"
HELPS = "Meeting it again after some days helps it stay."
LATER = f"Put off for {WAITS[0]} days. It comes round again after that, when you are here. There is no hurry."


def two(here: Desk) -> list[Again]:
    """The two at the end of the exercises of this desk's lesson, as the result file is now."""
    answers, _ = results.read(person.answers_path(here.who, here.home))
    return on_page(here, here.number, answers, date.today())


def on_page(here: Desk, lesson: int, answers: list[results.Answer], today: date) -> list[Again]:
    """The two at the end of a lesson's exercises for whoever works at the desk `here`, from what the file holds."""
    who, set_work = here.who, here.sheet.set_work
    return coming_back.two(lesson, answers, who.class_code, who.number, today, put_off(here), set_work, here.plants)


def why(day: str, today: date) -> str:
    """One line on why a question comes, with the day when it was last worked on, where that is plain.

    >>> why("2026-11-12", date(2026, 11, 27))
    'You met this on 12 November. Meeting it again after some days helps it stay.'
    >>> why("1970-01-01", date(2026, 11, 27)), why("", date(2026, 11, 27)) == why("2036-01-01", date(2026, 11, 27))
    ('You have met this before. Meeting it again after some days helps it stay.', True)
    """
    met = date.fromisoformat(day) if day else date.max
    if 0 <= (today - met).days <= THIS_YEAR:
        return f"You met this on {met.day} {MONTHS[met.month - 1]}. {HELPS}"
    return f"You have met this before. {HELPS}"


def put_off(here: Desk) -> list[PutOff]:
    """What whoever works at the desk `here` has put off. Rows that somebody has changed are passed over; where the
    file cannot be opened, `person.news` says so and nothing counts as put off."""
    try:
        rows = person.settings(PUT_OFF, here.home)
    except person.NotKept as refusal:
        tell(str(refusal))
        return []
    whose = here.who.class_code, here.who.number
    return [one for row in rows if (one := _read(row)) and (row.get("class"), row.get("number")) == whose]


def _read(row: dict[str, Any]) -> PutOff | None:
    item, day, page = row.get("item"), row.get("day"), row.get("page")
    if not (isinstance(item, str) and isinstance(day, str) and type(page) is int):
        return None
    try:
        return PutOff(item, date.fromisoformat(day).isoformat(), page)
    except ValueError:
        return None


def keep_off(here: Desk, code: str, today: date, off: bool = True) -> None:
    """Keep that an item is put off, or no longer; rows that hold no more go. Refuses (NotKept) in a sentence."""
    day = today.isoformat()
    mine = {"class": here.who.class_code, "number": here.who.number, "item": code}
    held = [(row, _read(row)) for row in person.settings(PUT_OFF, here.home) if not mine.items() <= row.items()]
    rows = [row for row, one in held if one and coming_back.apart(one.day, day) < WAITS[0]]
    new = [{**mine, "day": day, "page": here.number}] if off else []
    person.save_settings(PUT_OFF, [*rows, *new], here.home)


class Returning(Card):
    """The card of one that comes round again, at the desk `here`."""

    def __init__(self, here: Desk, again: Again) -> None:
        self.reason = why(again.day, date.today())
        self.why = w.HTML(paper.quiet(self.reason))
        self.why.add_class("herb-noted")  # its words change, and are then read aloud
        self.off_button = paper.button(NOT_TODAY, self.turn)
        super().__init__(here, again.item, [paper.row(self.why, self.off_button)])
        self.is_off = False
        if again.put_off:
            self._put_away()

    def turn(self) -> None:
        """Put it off; where it is put off, show it after all. The button stays in its place, and keeps the focus."""
        refused = ""
        try:
            keep_off(self.here, self.item.code, date.today(), off=not self.is_off)
        except person.NotKept as refusal:
            refused = str(refusal)
        if self.is_off:
            self.is_off, self.off_button.description = False, NOT_TODAY
            self.prompt.value, self.children = self.whole
            self.why.value = paper.quiet(refused or self.reason)
        elif refused:
            self.why.value = paper.quiet(refused)
        else:
            self._put_away()

    def _put_away(self) -> None:
        self.is_off, self.off_button.description = True, AFTER_ALL
        self.whole = self.prompt.value, self.children
        self.why.value = paper.quiet(LATER)
        self.prompt.value = f"<h3>{escape(self.manners.item)}</h3>"
        self.children = [self.prompt, *self.below, self.manners]
