"""The skeleton of a new lesson.

    .herbcalc-env/bin/python -m tests.new_lesson 10 without_alcohol

It writes the lesson's module, its homework and the pictures of its sums, its gaps and bench, one scene, the two
notebooks and the teacher's page.
The notebooks and the page are those of the lesson before, emptied: their form is kept, their words are not. What is
to be filled in says "TO BE WRITTEN". Until none of that is left `test_nothing_is_left_to_be_written` fails, and with
it the sweeps over the lessons and the homework, which find the new files by themselves.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
TODO = "TO BE" + " WRITTEN"  # in two pieces, so that this file does not find itself
HERE = re.compile(r"here\.\w+\((\d*)\)")  # a cell that only opens something
LAST = ("on", "notes")  # cells at the end of a page, without a heading
SEARCHED = ("herbcalc", "workbook", "exercises")

MODULE = f'''"""Floor 5. Lesson NUMBER: {TODO} in one line."""

from __future__ import annotations

from dataclasses import dataclass

from herbcalc.rules import Rules
from herbcalc.show.look import Look, View, dial

LESSON = NUMBER
TITLE = "{TODO}"
CAUTION = "{TODO}, or nothing where there is none"


@dataclass(frozen=True)
class Setting:
    """{TODO}: what the dials set. Weights in g."""

    herb: float = dial(100, "g", low=20, high=500, step=5, label="Plant", batch="herb")


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """{TODO}: one setting, its sums by both rules, and what they mean."""
    raise NotImplementedError("{TODO}: see herbcalc/show/look.py")
'''

ITEMS = f'''"""Floor 4. Lesson NUMBER: {TODO} in one line."""

from __future__ import annotations

from herbcalc.homework.blueprint import WEIGHT, Ask, Figures, grid, mistake


def _right(f: Figures) -> float:
    raise NotImplementedError("{TODO}: the sum, see herbcalc/homework/blueprint.py")


ITEMS = (
    Ask(
        NUMBER,
        1,
        "sum",
        "{TODO}: {{m}} of herb, and what is asked",
        (grid("m", "g", 100, 400, 5),),
        WEIGHT,
        right=_right,
        mistakes=(mistake("m999", "{TODO}: what was done", "{TODO}: what to ask back", lambda f: f.m),),
        path=lambda f, w: w.step("g", "{TODO}: each step, up to the =", f.m),
    ),
)
'''

IN_CLASS = f'''"""Floor 4. Within lesson NUMBER: {TODO} in one line."""

from __future__ import annotations

from typing import Any

from herbcalc.homework.blueprint import WEIGHT, Figures
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.rules import Rules


def _way(f: Figures, w: Walk) -> None:
    w.step("g", "{TODO}: the words and figures of a step, up to the =", f.m)


GAPS = (
    gap(
        "Remember, 1",
        "{TODO}: {{m}} of herb, and what is asked; three to remember, then the last step, two steps, alone",
        fixed(m=(100, "g")),
        WEIGHT,
        lambda f: f.m,
        _way,
    ),
)


def _tell(rules: Rules, herb: Any) -> list[str]:
    return ["{TODO}: what comes of the student's own figures"]


BENCH = Bench((Box("herb", "{TODO}", "weight", "100 g"),), _tell)
'''

GIVEN = f'''"""Floor 5. What is given in the sums of lesson NUMBER: {TODO} in one line."""

from __future__ import annotations

from herbcalc.show.given.parts import THEN, Row, Table, Vessel, plant

TABLE: Table = {{
    "NUMBER.1": lambda f: Row(
        (
            Vessel("heap", "{TODO}", ("{{m}}",), plant(f.m)),
            Vessel("heap", "{TODO}", ("? g",), (), THEN, mark=-1),
        )
    ),
}}
'''

SCENE = f"""
[[lessonNUMBER.scenes]]
name = "{TODO}, three to eight of these (invented)"
question = "{TODO}"
asks = "{TODO}"
edges = []
drag = "herb"
teacher = "{TODO}"
setting = {{ herb = 100 }}
"""

AFTERWARDS = f"""
Fill in what says "{TODO}", then:
  README.md                        its line in the table of lessons
  tests/homework/test_draws.py     pin the draws of its items
  tests/homework/catalogue.csv     its slips once more, and in other_mistakes.csv what is none of them
  tests/test_teacher_notes.py      the figures of the teacher's page
  tests/faults/                    a few faults, each with the test that notices it
  .herbcalc-env/bin/python tests/store_outputs.py NOTEBOOKS
  python3 -m herbcalc test style sums notebooks"""


class Unclear(Exception):
    """What was asked for does not fit; the text is the sentence to print."""


def unwritten(root: Path = ROOT) -> list[str]:
    """Every file and line of a skeleton that still waits for its words."""
    return [
        f"{path.relative_to(root).as_posix()}:{number}"
        for place in SEARCHED
        for path in sorted((root / place).rglob("*"))
        if path.suffix in (".py", ".ipynb", ".md", ".toml") and ".ipynb_checkpoints" not in path.parts
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if TODO in line
    ]


def write(number: int, name: str, root: Path = ROOT) -> list[Path]:
    """Write the skeleton, and give back the files. Refuses a number or name that is taken, before it writes."""
    if not 1 <= number <= 99 or not re.fullmatch(r"[a-z0-9]+(_[a-z0-9]+)*", name):
        raise Unclear("A lesson has a number from 1 to 99 and a name in small letters: 10 without_alcohol")
    there = sorted(path.stem for path in (root / "workbook").glob("[0-9][0-9]_*.ipynb"))
    if any(stem.startswith(f"{number:02d}_") or stem[3:] == name for stem in there):
        raise Unclear(f"There is a lesson {number}, or one of that name, already. Here are: {', '.join(there)}.")
    new = f"{number:02d}_{name}"
    models = sorted(path.stem for path in (root / "exercises").glob("[0-9][0-9]_*.ipynb"))  # the others have no items
    old = max((stem for stem in models if stem[:2] < new[:2]), default=models[-1])
    pages: dict[Path, str] = {
        root / f"herbcalc/show/lessons/lesson{number:02d}.py": MODULE.replace("NUMBER", str(number)),
        root / f"herbcalc/homework/items/lesson{number:02d}.py": ITEMS.replace("NUMBER", str(number)),
        root / f"herbcalc/homework/in_class/lesson{number:02d}.py": IN_CLASS.replace("NUMBER", str(number)),
        root / f"herbcalc/show/given/lesson{number:02d}.py": GIVEN.replace("NUMBER", str(number)),
    }
    for shelf in ("workbook", "exercises"):
        pages[root / shelf / f"{new}.ipynb"] = _notebook(root / shelf / f"{old}.ipynb", number, old, new)
    notes = next((root / "workbook").rglob(f"{old}*.md"))
    pages[notes.with_name(notes.name.replace(old, new))] = _notes(notes.read_text(encoding="utf-8"))
    taken = [path for path in pages if path.exists()]
    if taken:
        raise Unclear(f"{taken[0].relative_to(root)} is there already; nothing was written.")
    for path, text in pages.items():
        path.write_text(text, encoding="utf-8")
    story = root / "herbcalc/data/story.toml"
    scene = SCENE.replace("NUMBER", f"{number:02d}")
    story.write_text(story.read_text(encoding="utf-8") + scene, encoding="utf-8")
    return [*pages, story]


def _notebook(path: Path, number: int, old: str, new: str) -> str:
    """Another lesson's notebook, emptied: headings, cells that only open something, and links to itself are left."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    notebook["cells"] = list(_emptied(notebook["cells"], number, old, new))
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


def _emptied(cells: list[dict[str, Any]], number: int, old: str, new: str) -> Iterator[dict[str, Any]]:
    heading = ""
    for cell in cells:
        source = "".join(cell["source"])
        if cell["cell_type"] == "markdown":
            words = [_paragraph(one, old, new) for one in source.split("\n\n")]
            heading = re.sub(rf"\b{int(old[:2])}\.(\d?).*", rf"{number}.\1 {TODO}", words[0])
            if cell["id"] in LAST:
                yield {**cell, "source": [f"{TODO}: the way on\n"] if cell["id"] == "on" else cell["source"]}
                continue
            if not heading.startswith("#") or re.search(r"\.([2-9]|1\d) ", heading):
                continue  # a remark on a sum that is not here, or a further item of the homework
            source = "\n\n".join([heading, *dict.fromkeys(words[1:])])
        elif "lesson(" in source:
            source = re.sub(r"lesson\(\d+\)", f"lesson({number})", source)
        elif not (opens := HERE.fullmatch(source)) or (opens[1] and "mixed" not in source and int(opens[1]) > 1):
            continue
        fresh = {"execution_count": None, "outputs": []} if cell["cell_type"] == "code" else {}
        yield {**cell, **fresh, "source": source.splitlines(keepends=True)}


def _paragraph(text: str, old: str, new: str) -> str:
    """A heading or a paragraph with a link to the lesson itself stays; other words are to be written."""
    if text.startswith("#"):
        return text.splitlines()[0]
    return text.replace(old, new) if old in text else TODO


def _notes(text: str) -> str:
    """The teacher's page with its parts and without its words."""
    lines = []
    for line in text.splitlines():
        if line.startswith("# "):
            line = f"# {TODO}: notes for the teacher"
        elif line.startswith("**"):
            line = re.sub(r"(\*\*.*?\*\*).*", rf"\1 {TODO}", line)
        elif re.match(r"\| \w", line):
            line = re.sub(r"^(\| [^|]+ \|).*", rf"\1 {TODO} |", line)
        elif line and not line.startswith("|"):
            continue
        lines.append(line)
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    try:
        if len(sys.argv) != 3 or not sys.argv[1].isdigit():
            raise Unclear("Say the number and the name of the lesson: python -m tests.new_lesson 10 without_alcohol")
        for path in write(int(sys.argv[1]), sys.argv[2]):
            print(path.relative_to(ROOT))
        print(AFTERWARDS)
    except Unclear as unclear:
        sys.exit(str(unclear))
