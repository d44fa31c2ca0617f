"""Floor 5. The notebooks beside a page, found by their files: their titles, and the headings of the exercises."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import quote

EXERCISES = "../exercises"  # from the folder of the lessons, on the disk and in a link alike
_NAME = re.compile(r"(\d\d)_\w+\.ipynb")
_HEADING = re.compile(r"^#{1,6} +(.+?) *$", re.MULTILINE)


@dataclass(frozen=True)
class Book:
    """A lesson's notebooks: their links as seen from the folder of the lessons, "" where one is not there.

    `headings` gives for each item ("3.4") its heading in the exercises ("3.4 When to stop the tray"), and `cells` the
    name of the cell that the heading stands in.
    """

    number: int
    title: str
    lesson: str = ""
    exercises: str = ""
    headings: dict[str, str] = field(default_factory=dict)
    cells: dict[str, str] = field(default_factory=dict)

    def at(self, code: str) -> str:
        """The link to an item: the exercises, opened at its heading; "" where there are none."""
        place = f"#cell-id={quote(self.cells[code])}" if self.cells.get(code) else ""
        return self.exercises and self.exercises + place

    def name(self, code: str) -> str:
        """An item with its title: "3.4, When to stop the tray"; its code where it has none."""
        return self.headings.get(code, code).replace(" ", ", ", 1)


def books(near: Path, numbers: list[int]) -> list[Book]:
    """The notebooks of these lessons in the folder `near` and in the exercises beside it, in order.

    A lesson whose notebook is not there, or cannot be read, has its number for a title.

    >>> books(Path("no-such-folder"), [5])
    [Book(number=5, title='Lesson 5', lesson='', exercises='', headings={}, cells={})]
    """
    lessons, exercises = _named(near), _named(near / EXERCISES)
    return [_book(number, lessons.get(number), exercises.get(number)) for number in numbers]


def _named(folder: Path) -> dict[int, Path]:
    """Lesson numbers and their notebooks in a folder; a copy that somebody has put beside one comes after it."""
    files = (path for path in folder.glob("*.ipynb") if path.is_file())  # a folder of that name is no notebook
    there = sorted(files, key=lambda path: (len(path.name), path.name), reverse=True)
    return {int(found[1]): path for path in there if (found := _NAME.fullmatch(path.name))}


def _book(number: int, lesson: Path | None, exercises: Path | None) -> Book:
    titles = _headings(lesson)[:1] or [(f"Lesson {number}", "")]
    found = [(re.match(rf"{number}\.\d+(?= )", line), cell) for line, cell in _headings(exercises)]
    items = [(code.group(), code.string, cell) for code, cell in found if code]
    return Book(
        number,
        re.sub(r"^\d+\. ", "", titles[0][0]),
        lesson.name if lesson else "",
        f"{EXERCISES}/{exercises.name}" if exercises else "",
        {code: line for code, line, _ in items},
        {code: cell for code, _, cell in items},
    )


def _headings(path: Path | None) -> list[tuple[str, str]]:
    """The headings of a notebook, each with the name of its cell; none where it cannot be read as one."""
    if path is None:
        return []
    try:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        texts = [("".join(c["source"]), str(c.get("id", ""))) for c in cells if c["cell_type"] == "markdown"]
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return []
    return [(line, cell) for text, cell in texts for line in _HEADING.findall(text)]
