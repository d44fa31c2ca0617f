"""Floor 5. The path: a row for each lesson, how each of its items stands, and where to go on.

The rows are shown as plain HTML and not inside a widget: there a link to a notebook opens it beside this one, as
JupyterLab does with every link of its own; inside a widget it would load the whole window anew.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from html import escape
from itertools import groupby
from pathlib import Path
from typing import Any

import ipywidgets as w
from IPython.display import display

from herbcalc import homework, person
from herbcalc.homework import capstone, coming_back, progress, results
from herbcalc.homework.week import Week
from herbcalc.show.card import paper, returning
from herbcalc.show.card.capstone_boxes import standing
from herbcalc.show.desk import START, Desk, ahead
from herbcalc.show.question import SHAPES
from herbcalc.show.shelf import Book, books
from herbcalc.show.stored import Stored

NOT_OPEN = "Your class has not come here yet."
ALL_DONE = "Every question here is done. Come back to any of them whenever you like."
PRACTICE = "Practice figures for now. Your own come once your class code and number are kept below."
NO_MARKS = "Take a lesson first, then its exercises. There is no clock and no mark; what is solved stays solved."
TO_SEND = "Your file takes it to your teacher: see Handing in, further down on this page."
SAY_COUNT = {1: "It is", 2: "Both are"}
FIRST_AID = "00_first_aid.ipynb"  # no lesson: it has neither number nor homework
IF_YOU_LIKE = "20 minutes before all else, for whoever wants them. No homework, no marks, nothing is kept."
NO_BOOKS = "The notebooks are in the list of files on the left, in the folders workbook and exercises."


def rows(
    shelf: list[Book],
    now: Mapping[str, str],
    opened: tuple[int, ...] | None = None,
    also: Mapping[int, str] | None = None,
) -> str:
    """A row for each lesson as HTML: its links, and its items in the order of the page with their states.

    shelf: the lessons; now: as `progress.states` gives it; opened: the lessons that the class has come to, None for
    all; also: what else is told of a lesson, by its number.
    """
    told = also or {}
    return f'<ul class="herb-path">{"".join(_row(one, now, opened, told.get(one.number, "")) for one in shelf)}</ul>'


def _row(book: Book, now: Mapping[str, str], opened: tuple[int, ...] | None, also: str) -> str:
    lesson = _link(f"{book.number}. {book.title}", book.lesson)
    exercises = _link(f"Exercises {book.number}", book.exercises) if book.exercises else ""
    mine = [(code, state) for code, state in now.items() if code.split(".")[0] == str(book.number)]
    runs = [_run(state, [code for code, _ in run]) for state, run in groupby(mine, key=lambda item: item[1])]
    runs += [f'<span class="herb-run">{escape(also)}</span>'] if also else []
    later = "" if opened is None or book.number in opened else f'<span class="herb-quiet">{NOT_OPEN}</span>'
    return f"<li><strong>{lesson}</strong> <span>{exercises}</span> <span>{' '.join(runs)}{later}</span></li>"


def _run(state: str, codes: list[str]) -> str:
    """Items of one state that stand next to each other."""
    shape = f'<span aria-hidden="true">{SHAPES[state]}</span>'
    return f'<span class="herb-run">{shape} {", ".join(codes)}: {state}</span>'


def _link(words: str, to: str) -> str:
    return f'<a href="{escape(to)}">{escape(words)}</a>' if to else escape(words)


def onward(shelf: list[Book], now: Mapping[str, str], last: str, to: str) -> str:
    """One line as HTML on where to go on, with its link. Arguments as for `rows`; last: worked on last; to: what is
    to come, as `following` says."""
    by_number = {book.number: book for book in shelf}
    if not last:
        first = by_number.get(int(to.split(".")[0])) if to else None
        return f"Begin here: {_link(f'lesson {first.number}, {first.title}', first.lesson)}" if first else ""
    if not to:
        return ALL_DONE
    book = by_number[int(to.split(".")[0])]
    name, way = escape(ended(book.name(to))), _link(f"Go on with {to}", book.at(to))
    return f"You were at {name} {way}" if to == last else f"{last}: {now[last]}. Next is {name} {way}"


def ended(sentence: str) -> str:
    """A sentence with its stop, and one alone where it asks.

    >>> ended("Next is 5.3, Does it keep?"), ended("Next is 5.2")
    ('Next is 5.3, Does it keep?', 'Next is 5.2.')
    """
    return sentence if sentence.endswith(("?", "!", ".")) else f"{sentence}."


def set_for(shelf: list[Book], week: Week, now: Mapping[str, str], opened: tuple[int, ...] | None = None) -> str:
    """What is set for the week as HTML: each of its items with its state and the way there, and a line when all are
    done; "" where nothing is set. Arguments as for `rows`."""
    if not week.codes:
        return ""
    by_number = {book.number: book for book in shelf}
    lines = []
    for code in week.codes:
        book, shape = by_number[int(code.split(".")[0])], f'<span aria-hidden="true">{SHAPES[now[code]]}</span>'
        lines.append(f"<li>{shape} {_link(book.name(code), book.at(code))}: {now[code]}</li>")
    lessons = {int(code.split(".")[0]) for code in week.codes} - {*(by_number if opened is None else opened)}
    early = "".join(paper.quiet(ahead(number)) for number in sorted(lessons))
    head = f"<p><strong>{escape(week.said())}</strong></p>"
    end = _all_of({now[code] for code in week.codes}, len(week.codes))
    return f'<div class="herb-set">{head}<ul>{"".join(lines)}</ul>{end}{early}</div>'


def following(
    now: Mapping[str, str], last: str, opened: tuple[int, ...] | None = None, asked: Sequence[str] = ()
) -> str:
    """The item to go on with: what is set (asked) comes before all that nobody is at, else one of the lessons that
    are open; "" where all is done."""
    at_hand = {code: state for code, state in now.items() if opened is None or int(code.split(".")[0]) in opened}
    to = progress.go_on(at_hand if last in at_hand or not last else now, last)
    if last and to == last:
        return to
    return next((code for code in asked if now[code] not in progress.SOLVED), to)


def again(codes: Sequence[str], book: Book) -> str:
    """One line as HTML on the questions that come round again at the end of an exercise notebook; "" for none."""
    if not codes:
        return ""
    count = "Two" if len(codes) == 2 else "One"
    where = _link(f"Exercises {book.number}", book.exercises)
    return f'<p class="herb-quiet">{count} to look at again: {" and ".join(codes)}, at the end of {where}.</p>'


def _all_of(states: set[str], count: int) -> str:
    """A line that nothing of what is set is left to do, and where to send it; "" where something is left."""
    if not states <= {*progress.SOLVED}:
        return ""
    did = progress.HANDED_IN if states == {progress.HANDED_IN} else progress.DONE
    return f"<p><strong>{SAY_COUNT.get(count, f'All {count} are')} {did}.</strong> {TO_SEND}</p>"


class Again(Stored, w.VBox):
    """The button below the rows."""

    stored_plain = "Look again"
    stored_html = "<p>Run the cells of this notebook to see how far you have come.</p>"


class Front:
    """The path at the desk `here`: `lessons` are those that have a panel, `near` the folder of their notebooks."""

    def __init__(self, here: Desk, lessons: list[int], near: Path | None = None) -> None:
        self.here, self.near = here, near or Path()
        self.numbers = sorted({*lessons, *homework.LESSONS} - {START})
        self.shown: Any = None
        self.stood = ""  # the rows as they were shown last
        self.told: list[str] = []  # of files that could not be read
        self.said = paper.live()
        self.sight = paper.Sight(self.show)
        self.again = Again([paper.button("Look again", self.look_again), self.said, self.sight, paper.Manners()])
        self.again.add_class("herb-card")
        here.when_changed.append(self.show)

    def html(self) -> str:
        """The rows as they stand now, read from the result file."""
        here = self.here
        who = here.who
        answers, notes = results.read(person.answers_path(who, here.home))
        now = progress.states(answers, who.class_code, who.number, here.sheet.set_work)
        last = progress.last_worked(answers, who.class_code, who.number)
        shelf, opened = books(self.near, self.numbers), here.sheet.open
        lines = [set_for(shelf, here.week, now, opened)]
        to = following(now, last, opened, here.week.codes)
        lines += [f'<p class="herb-go"><strong>{onward(shelf, now, last, to)}</strong></p>']
        lines += [self._again(answers, {book.number: book for book in shelf}, [last, to])]
        self.told = list(dict.fromkeys([*self.told, *person.news()]))
        lines += map(paper.quiet, self.told)
        lines += [] if here.known else [paper.quiet(PRACTICE)]
        lines += [] if any(book.lesson for book in shelf) else [paper.quiet(NO_BOOKS)]
        if (self.near / FIRST_AID).exists():
            lines.append(f"<p>{_link('First aid for sums', FIRST_AID)}: {IF_YOU_LIKE}</p>")
        lines += [rows(shelf, now, opened, self._plans()), paper.quiet(NO_MARKS)]
        lines += [paper.unfolding("A word about your result file", "Left out of it:", notes)] if notes else []
        return f'<div class="herb-card">{"".join(lines)}</div>'

    def _again(self, answers: list[results.Answer], by_number: Mapping[int, Book], near: list[str]) -> str:
        """What comes round again on the page of the exercises that one has come to: of the last item worked on, or of
        the next where that is further on."""
        page = max((int(code.split(".")[0]) for code in near if code), default=START)
        if page == START:
            return ""
        today = date.today()
        two = returning.on_page(self.here, page, answers, today)
        return again(coming_back.to_look_at(two, answers, today), by_number[page])

    def _plans(self) -> dict[int, str]:
        """How far the plan of the capstone has come; why not, where it cannot be read."""
        try:
            return {capstone.LESSON: standing(self.here.who, self.here.rules, self.here.home)}
        except person.NotKept as refusal:
            return {capstone.LESSON: str(refusal)}

    def look_again(self) -> None:
        """Read the result file again, and show how things stand."""
        self.show()
        self.said.value = paper.quiet("Looked again: the rows above are as your result file is now.")

    def show(self) -> None:
        """Put the rows as they are now in the place of those that are shown, where something has changed."""
        before = self.stood
        bundle = self._bundle()
        if self.shown is not None and self.stood != before:
            self.shown.update(bundle, raw=True)

    def _bundle(self) -> dict[str, str]:
        self.stood = self.html()
        return {"text/plain": "Your path", "text/html": self.stood}

    def _ipython_display_(self) -> None:
        self.shown = display(self._bundle(), raw=True, display_id=True)
        display(self.again)
