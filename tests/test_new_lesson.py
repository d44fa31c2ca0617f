"""The skeleton of a lesson has the form of the other lessons, none of their words, and is found while it is empty."""

from __future__ import annotations

import ast
import importlib
import json
import shutil
import subprocess
import sys
import tomllib

import pytest

from tests import new_lesson
from tests.new_lesson import ROOT, TODO


@pytest.fixture
def checkout(tmp_path):
    for place in ("workbook", "exercises"):
        shutil.copytree(ROOT / place, tmp_path / place, ignore=shutil.ignore_patterns("pictures", "__pycache__"))
    modules = ("show/lessons", "show/given", "homework/items", "homework/in_class")
    for place in (*(f"herbcalc/{module}" for module in modules), "herbcalc/data"):
        (tmp_path / place).mkdir(parents=True)
    shutil.copy(ROOT / "herbcalc/data/story.toml", tmp_path / "herbcalc/data/story.toml")
    return tmp_path


def sources(path):
    return ["".join(cell["source"]) for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]]


def test_nothing_is_left_to_be_written():
    assert not new_lesson.unwritten()


def test_a_skeleton(checkout):
    before = set(new_lesson.unwritten(checkout))
    written = new_lesson.write(88, "made_up", checkout)
    assert [path.relative_to(checkout).as_posix() for path in written] == [
        "herbcalc/show/lessons/lesson88.py",
        "herbcalc/homework/items/lesson88.py",
        "herbcalc/homework/in_class/lesson88.py",
        "herbcalc/show/given/lesson88.py",
        "workbook/88_made_up.ipynb",
        "exercises/88_made_up.ipynb",
        written[6].relative_to(checkout).as_posix(),
        "herbcalc/data/story.toml",
    ]
    waiting = {place.rsplit(":", 1)[0] for place in set(new_lesson.unwritten(checkout)) - before}
    assert waiting == {path.relative_to(checkout).as_posix() for path in written}
    for path in written[:4]:
        assert ast.parse(path.read_text(encoding="utf-8")).body
    story = tomllib.loads((checkout / "herbcalc/data/story.toml").read_text(encoding="utf-8"))
    assert story["lesson88"]["scenes"][0]["setting"] == {"herb": 100}


def test_the_notebooks_of_a_skeleton_have_the_form_and_not_the_words(checkout):
    new_lesson.write(88, "made_up", checkout)
    last = max(path.stem for path in (ROOT / "exercises").glob("*.ipynb"))
    lesson, model = (
        sources(path) for path in (checkout / "workbook/88_made_up.ipynb", ROOT / f"workbook/{last}.ipynb")
    )
    heads = [source.splitlines()[0] for source in model if source.startswith("## ")]
    assert [source.splitlines()[0] for source in lesson if source.startswith("## ")] == heads
    assert lesson[0].startswith(f"# 88. {TODO}")
    assert "from herbcalc.show import lesson; here = lesson(88)" in lesson
    assert {"here.panel()", "here.item(1)", "here.gap(1)", "here.bench()"} <= set(lesson)
    assert any("(../exercises/88_made_up.ipynb)" in source for source in lesson)
    homework = sources(checkout / "exercises/88_made_up.ipynb")
    assert [source.splitlines()[0] for source in homework if "#" in source][1:] == [
        f"## 88.1 {TODO}",
        "## Two from earlier lessons",
        "## Handing in",
    ]
    assert [source for source in homework if source.startswith("here.")] == [
        "here.item(1)",
        "here.mixed(1)",
        "here.mixed(2)",
        "here.hand_in()",
    ]
    for source in [*lesson, *homework]:
        assert last not in source
    for cell in json.loads((checkout / "workbook/88_made_up.ipynb").read_text(encoding="utf-8"))["cells"]:
        assert cell["cell_type"] == "markdown" or (cell["outputs"], cell["execution_count"]) == ([], None)


def test_the_teachers_page_of_a_skeleton(checkout):
    page = new_lesson.write(88, "made_up", checkout)[6].read_text(encoding="utf-8")
    for part in ("**The one idea.**", "| Drag |", "| Ask first |", "**Five minutes, no projector.**", "**Cautions"):
        assert part in page
    assert page.count(TODO) >= 8


def test_what_the_skeleton_takes_from_the_program_is_there():
    for text in (new_lesson.MODULE, new_lesson.ITEMS, new_lesson.IN_CLASS, new_lesson.GIVEN):
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.ImportFrom) and node.module.startswith("herbcalc"):
                module = importlib.import_module(node.module)
                assert not [alias.name for alias in node.names if not hasattr(module, alias.name)], node.module


def test_every_lesson_has_the_files_of_a_skeleton(checkout):
    """What a lesson needs and the skeleton forgets is found late: the pictures of the sums were such a place."""
    modules = [path for path in new_lesson.write(88, "made_up", checkout) if path.suffix == ".py"]
    here = {path.parent.relative_to(ROOT) for path in (ROOT / "herbcalc").rglob("lesson13.py")}
    assert {path.parent.relative_to(checkout) for path in modules} == here


@pytest.mark.parametrize("taken", [(5, "another"), (88, "plant_water"), (0, "none"), (100, "many"), (88, "Big Name")])
def test_what_is_taken_or_no_name_writes_nothing(taken, checkout):
    before = sorted(checkout.rglob("*"))
    with pytest.raises(new_lesson.Unclear):
        new_lesson.write(*taken, checkout)
    assert sorted(checkout.rglob("*")) == before


def test_nothing_is_written_over(checkout):
    (checkout / "herbcalc/homework/items/lesson88.py").write_text("mine")
    with pytest.raises(new_lesson.Unclear, match=r"lesson88\.py is there already"):
        new_lesson.write(88, "made_up", checkout)
    assert not (checkout / "workbook/88_made_up.ipynb").exists()


@pytest.mark.parametrize("words", [(), ("10",), ("ten", "name"), ("5", "plant_water")])
def test_the_command_says_what_is_missing(words):
    ran = subprocess.run([sys.executable, "-m", "tests.new_lesson", *words], cwd=ROOT, capture_output=True, text=True)
    assert ran.returncode == 1
    assert "lesson" in ran.stderr
    assert "Traceback" not in ran.stderr
