"""Floor 6. `overview`: reads and marks what a class handed in, and lays the pages for its teacher.

Many files are marked by several processes; each opens its own, once, and gives back what was seen, never the answers.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from pathlib import Path

from herbcalc import homework, place
from herbcalc.homework import class_view
from herbcalc.homework.handed_in import Aside, File, files
from herbcalc.homework.marking import Student, look_at, one_each
from herbcalc.homework.results import last_day
from herbcalc.homework.week import Week, week
from herbcalc.person import class_file, spelling
from herbcalc.person.class_file import ClassFile
from herbcalc.person.writing import write
from herbcalc.run import copies, lab
from herbcalc.run.console import say
from herbcalc.run.typed import Unclear
from herbcalc.show import overview
from herbcalc.show.shelf import books
from herbcalc.units.saying import so_many

BESIDE = 150  # files from which on a second process is worth its start
MOST_PROCESSES = 4
A_HANDFUL = 20  # files that a process takes at a time
LONG = 30  # letters of a class code in the name of a file


def carry_out(folder: Path, to: Path | None = None, numbers: Sequence[int] = ()) -> int:
    """Make the pages; give back the exit code.

    folder   what was handed in, of one class or of several
    to       where the pages go; None: beside that folder
    numbers  the own numbers that a class has, where the teacher said so

    Refuses: a folder that is none (Unclear), and one that cannot be written to (NotKept).
    """
    started = time.monotonic()
    try:
        found = list(files(folder))
    except OSError as trouble:
        raise Unclear(
            f'"{folder}" is no folder that can be looked into ({trouble.strerror}). Put the files that your students '
            "sent into one, and name it here."
        ) from trouble
    students, aside = one_each(_marked(found))
    made = _lay(folder, to or folder.resolve().parent, students, aside, numbers)
    _tell(students, aside)
    say(f"\nMade in {time.monotonic() - started:.0f} seconds, in {to or folder.resolve().parent}:")
    say("\n".join(f"  {name}" for name in made))
    return 0 if students else 1


# --- marking -------------------------------------------------------------------------------------------------------


def _marked(found: Sequence[File | Aside]) -> Iterator[Student | Aside]:
    """All that was found, read and marked, in its order, with a word on how far it has come each second."""
    told, many = time.monotonic(), len(found)
    for done, one in enumerate(_each(found), 1):
        yield one
        if time.monotonic() - told > 1:
            told = time.monotonic()
            say(f"  {done:,} of {many:,} files are looked at")


def _each(found: Sequence[File | Aside]) -> Iterator[Student | Aside]:
    processes = min(os.cpu_count() or 1, MOST_PROCESSES)
    mark = partial(look_at, last_day=last_day())
    if len(found) < BESIDE or processes < 2:
        yield from map(mark, found)
        return
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        yield from pool.map(mark, found, chunksize=A_HANDFUL)


# --- pages ---------------------------------------------------------------------------------------------------------


def _lay(
    folder: Path, to: Path, students: Sequence[Student], aside: Sequence[Aside], numbers: Sequence[int]
) -> list[str]:
    """Write the pages; gives their names, each with what it is."""
    made, groups, sheet = [], [], class_file.load()
    around, asked = _around(sheet), week(sheet)
    for note in (*sheet.notes, *(one.note for one in asked.amiss)):
        say(note)
    for place_, (code, own) in enumerate(class_view.classes(students), 1):
        name = code if len(code) <= LONG else f"{code[:LONG]}-{place_}"
        pages = overview.next_week(code, own, around.plants)
        names = (f"next-week-{name}.html", f"next-week-{name}-key.html") if pages else ("", "")
        for one, page, what in zip(names, pages or (), ("", ": the key, for you alone"), strict=False):
            write(to / one, page)
            made.append(f"{one}   (mixed questions for {code}{what})")
        set_ = asked if not sheet.code or spelling(sheet.code) == code else Week()
        groups.append(overview.Group(code, own, numbers, *names, set_))
    title = f"overview-{folder.resolve().name or 'files'}.html"
    page = overview.page(groups, aside, around, f"What was handed in: {folder.resolve().name}")
    write(to / title, page)
    return [f"{title}   (read this one first)", *made]


def _around(sheet: ClassFile) -> overview.Around:
    """The lessons' notebooks, and the address at which they open where the workbook runs, or usually runs."""
    shelf = {book.number: book for book in books(copies.SOURCE / "workbook", list(homework.LESSONS))}
    root = (lab.running(place.folder().absolute()) or f"http://localhost:{lab.USUAL_PORT}/lab").partition("/lab")[0]
    return overview.Around(shelf, f"{root}/lab/tree/workbook/", sheet.rules, sheet.plants)


def _tell(students: Sequence[Student], aside: Sequence[Aside]) -> None:
    """What counts, and each thing that does not, with the reason."""
    for code, own in class_view.classes(students):
        answers = so_many(sum(one.answers for one in own), "answer")
        say(f"Class {code}: {so_many(len(own), 'student')}, {answers}.")
    if not students:
        say("No result file was found here. They are called answers-CLASS-NUMBER.jsonl when a student saves one.")
    for head, some in (
        ("Left aside:", aside),
        ("Read in part, or one of several:", [note for one in students for note in one.notes]),
    ):
        if some:
            say("\n".join([head, *(f"  {one.name}: {one.reason}" for one in some)]))
