"""Floor 5. What a class handed in, as tables for a notebook: for teachers who like to sort and count by themselves.

    students = read()                   what lies in my-herb-sums/handed-in, or a class that is invented; read(FOLDER)
    where(students)                     lessons by students
    roads(students), sure(students)     known side roads; what somebody was sure of and off: a row for each student
    questions(students)                 how many tried each question, and how it stands with them
    picture(students)                   the same as bars
    aside(students)                     the files that do not count, or not wholly, with the reason
    panel(students)                     the scene that shows the commonest side road again, ready to be shown

The page for before class, in words, is made by the command `overview`; this is the same, from the same marking.
"""

from __future__ import annotations

import base64
import io
import tempfile
from collections import Counter
from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from herbcalc import homework, place
from herbcalc.homework import class_view, handed_in, invented, marking, progress, results
from herbcalc.homework.class_view import STATES
from herbcalc.homework.marking import Student, Tried
from herbcalc.person import class_file
from herbcalc.show.again import scene_for
from herbcalc.show.draw import palette
from herbcalc.show.draw.board import style
from herbcalc.show.here import module

if TYPE_CHECKING:
    from pandas import DataFrame

    from herbcalc.show.panel import Panel

HANDED_IN = "handed-in"  # the folder in the person's own, where the notebook looks unasked
INK = {progress.DONE: "bottle", progress.HELPED: "water", progress.NOT_YET: "band"}
PATTERN = {progress.DONE: "", progress.HELPED: "//", progress.NOT_YET: ".."}


class Class(list[Student]):
    """The students of one class or more, `aside`, which is what did not count, with the reason, and `whence`."""

    aside: Sequence[handed_in.Aside] = ()
    whence = ""

    def __repr__(self) -> str:
        classes = ", ".join(sorted({f"class {one.class_code}" for one in self})) or "no class"
        return f"Students: {len(self)}, of {classes}, {self.whence}. Files left aside: {len(self.aside)}."


def read(folder: str | Path | None = None) -> Class:
    """Read and mark what lies in a folder.

    folder  of one class or several; None: "handed-in" in the person's folder, or, where there is none, a class that
            is invented

    Result: Class, in the order of class codes and numbers.
    Refuses: a folder that cannot be looked into (OSError).

    >>> len(read(invented.lay(Path(tempfile.mkdtemp()))))
    17
    """
    own = place.folder() / HANDED_IN
    if folder is None and not own.is_dir():
        with tempfile.TemporaryDirectory() as room:
            students = read(invented.lay(Path(room)))
        students.whence = "who are invented: none of them lives"
        return students
    last_day = results.last_day()
    kept, aside = marking.one_each(marking.look_at(one, last_day) for one in handed_in.files(folder or own))
    students = Class(kept)
    students.aside, students.whence = aside, f"from {folder or own}"
    return students


def where(students: Sequence[Student]) -> DataFrame:
    """Lessons by students: how many questions are done, done with help, and not yet, of how many."""
    from pandas import DataFrame

    rows = {}
    for one in students:
        row = {}
        for lesson in homework.LESSONS:
            count = Counter(state for code, state in one.states.items() if code.startswith(f"{lesson}."))
            if count:
                row[f"lesson {lesson}"] = f"{class_view.in_words(count)} of {len(homework.order(lesson))}"
        rows[one.class_code, one.number] = row
    return DataFrame.from_dict(rows, orient="index").rename_axis(["class", "number"]).fillna("")


def roads(students: Sequence[Student]) -> DataFrame:
    """A row for each student and known side road: their own figures, what they typed, and what is right for them."""
    return _whole(
        [
            {"question": road.item, "students": len(road.by), "somebody": road.did, "class": code, **row}
            for code, some in class_view.classes(students)
            for road in class_view.roads(some)
            for row in _rows(code, road.by, road.done)
        ]
    )


def sure(students: Sequence[Student]) -> DataFrame:
    """A row for each student and question that they were sure of and that did not fit."""
    return _whole(
        [
            {"question": off.item, "class": code, **row}
            for code, some in class_view.classes(students)
            for off in class_view.sure_but_off(some)
            for row in _rows(code, off.by, off.done)
        ]
    )


def aside(students: Class) -> DataFrame:
    """A row for each file that does not count, and for what was left out of those that do."""
    notes = [note for one in students for note in one.notes]
    return _whole([{"file": one.name, "reason": one.reason} for one in (*students.aside, *notes)])


def _whole(rows: list[dict[str, object]]) -> DataFrame:
    """Rows as a table, whose cells are shown whole: a student's figures are longer than pandas shows unasked."""
    import pandas  # takes long to load, and only these tables need it

    pandas.set_option("display.max_colwidth", None, "display.max_rows", 500)
    return pandas.DataFrame(rows)


def _rows(code: str, by: dict[int, list[Tried]], done: Sequence[int]) -> list[dict[str, object]]:
    rows: list[dict[str, object]] = []
    for number, some in sorted(by.items()):
        tried, _ = class_view.told_of(some, number in done)
        had, right = class_view.figures(code, number, tried)
        by_now = progress.DONE if number in done else progress.NOT_YET
        rows.append({"number": number, "had": had, "typed": tried.typed, "right": right, "by now": by_now})
    return rows


def questions(students: Sequence[Student]) -> DataFrame:
    """A row for each question that anybody tried: how many stand where, and for how many it was right at once."""
    from pandas import DataFrame

    rows = {}
    for code in progress.codes():
        count = Counter(one.states[code] for one in students if code in one.states)
        if count:
            at_once = sum(code in one.at_once for one in students)
            rows[code] = {**{state: count[state] for state in STATES}, "right at once": at_once}
    return DataFrame.from_dict(rows, orient="index").rename_axis("question")


class Picture:
    """Bars of `questions`, with the same in words for whoever does not see them."""

    def __init__(self, students: Sequence[Student]) -> None:
        self.counts = questions(students)

    @property
    def words(self) -> str:
        """The sentence that says the same."""
        return "; ".join(f"{code}: {class_view.in_words(row)}" for code, row in self.counts.iterrows())

    def __repr__(self) -> str:
        return self.words

    def _repr_html_(self) -> str:
        data = base64.b64encode(self._svg().encode()).decode()
        return f'<img alt="{escape(self.words)}" src="data:image/svg+xml;base64,{data}"/>'

    def _svg(self) -> str:
        from matplotlib.backends.backend_svg import FigureCanvasSVG
        from matplotlib.figure import Figure

        with style("class"):
            figure = Figure((10, 3.6), dpi=72)
            FigureCanvasSVG(figure)
            axes, below = figure.subplots(), [0] * len(self.counts)
            for state in STATES:
                high = list(self.counts[state])
                ink = palette.LIGHT[INK[state]]
                axes.bar(
                    self.counts.index, high, 0.75, below, color=ink, hatch=PATTERN[state], ec="#222", label=state
                )
                below = [low + more for low, more in zip(below, high, strict=True)]
            axes.set_ylabel("students")
            axes.yaxis.get_major_locator().set_params(integer=True)
            axes.tick_params(axis="x", rotation=90)
            axes.legend(ncols=3, loc="lower left", bbox_to_anchor=(0, 1))
            figure.tight_layout()
            out = io.StringIO()
            figure.savefig(out, format="svg", metadata={"Date": None})
        return out.getvalue()


def picture(students: Sequence[Student]) -> Picture:
    """How many stand where, question by question, as bars."""
    return Picture(students)


def panel(students: Sequence[Student], question: str = "") -> Panel:
    """The panel of a lesson, open at the scene that shows a question again.

    question  its code, "5.2"; without it, that of the side road which most students took

    Refuses: a question that there is not (KeyError).
    """
    from herbcalc.show.panel import Panel

    taken = (road for _, some in class_view.classes(students) for road in class_view.roads(some))
    question = question or max(taken, key=lambda road: len(road.by)).item
    sheet = class_file.load()
    found = scene_for(question, sheet.rules)
    if found is None:
        raise KeyError(question)
    shown = Panel(module(found.lesson, found.panel), sheet.rules, counts_hands=True, plants=sheet.plants)
    shown.scenes.value = found.place - 1
    return shown
