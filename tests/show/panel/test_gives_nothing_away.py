"""What a page shows before anybody has guessed: the stored panels, and every cell above them, hold no answer."""

from __future__ import annotations

import base64
import json
import re
from html import unescape
from pathlib import Path

import pytest

from herbcalc.rules import Rules
from herbcalc.show.here import module, panels
from herbcalc.show.look import View
from herbcalc.show.panel import Panel
from herbcalc.show.story import scenes

ROOT = Path(__file__).resolve().parents[3]
NOTEBOOKS = sorted(p for p in (ROOT / "workbook").glob("*.ipynb") if not p.name.startswith("00"))
EVERY = [pytest.param(p, n, id=f"{p.stem} {n}".strip()) for p in NOTEBOOKS for n in panels(int(p.name[:2]))]


def cells(path, name):
    """The cells of a notebook above one of its panels, and the panel's own."""
    every = json.loads(path.read_text(encoding="utf-8"))["cells"]
    opens = f'here.panel("{name}")' if name else "here.panel()"
    at = next(n for n, cell in enumerate(every) if opens in "".join(cell["source"]))
    return every[:at], every[at]


def outputs(cell):
    """All that stands below a cell without a kernel, the words inside its pictures too."""
    told = []
    for output in cell.get("outputs", []):
        for kind, data in output.get("data", {}).items():
            if kind.startswith("text/"):
                html = "".join(data)
                drawn = [base64.b64decode(code).decode() for code in re.findall(r"base64,([A-Za-z0-9+/=]+)", html)]
                told += [re.sub(r"base64,[A-Za-z0-9+/=]+", "", html), *re.findall(r">([^<]+)</text>", "".join(drawn))]
        told += output.get("text", [])
    return unescape(" ".join(told))


def lesson_of(path, name):
    return module(int(path.name[:2]), name)


def answers(path, name):
    """The answer of a panel's first scene, however it is said: either system, either rule; as patterns.

    In brackets stands the other system of the amount before them, which is looked for itself: 502 mL is the answer of
    lesson 9, and 500 mL (17 fl oz) is given.
    """
    lesson = lesson_of(path, name)
    scene = scenes(lesson, Rules())[0]
    said = set()
    for view in (View(units, rule) for units in ("metric", "kitchen") for rule in ("kitchen", "measured")):
        number = lesson.look(scene.setting, Rules(), view).number(scene.asks)
        amount = number.value.removeprefix("at least ").removeprefix("at most ")
        said.add(amount)
    spaced = {one: r"\s*".join(map(re.escape, one.split())) for one in said}
    return {one: re.compile(rf"(?<![\d.,/(]){words}(?![\w/])") for one, words in spaced.items()}


@pytest.mark.parametrize(("path", "name"), EVERY)
def test_no_stored_panel_and_nothing_above_it_holds_the_answer(path, name):
    """Nobody who is asked to write down one number may find it by scrolling."""
    above, panel = cells(path, name)
    stored = outputs(panel)
    assert scenes(lesson_of(path, name), Rules())[0].question in stored, "the stored panel asks its question"
    assert "?" in stored
    read = " ".join("".join(cell["source"]) + " " + outputs(cell) for cell in above)
    for answer, pattern in answers(path, name).items():
        assert not pattern.search(stored), f"the stored panel shows {answer}"
        assert not pattern.search(read), f"{answer} stands above the panel: {pattern.search(read)}"


@pytest.mark.parametrize(("path", "name"), EVERY)
def test_a_page_that_was_shown_and_saved_asks_again(path, name, tmp_path):
    """However far a panel had gone when the notebook was saved, who opens it next has not guessed."""
    panel = Panel(lesson_of(path, name), Rules(), tmp_path)
    asked = panel._repr_mimebundle_()
    panel.answer.click()
    tiles = unescape(re.sub(r"<[^>]+>", " ", panel._html["tiles"].value))
    assert any(pattern.search(tiles) for pattern in answers(path, name).values()), "this is how an answer is found"
    panel.pin.click()
    shown = panel._repr_mimebundle_()
    cell = {"outputs": [{"data": {kind: shown[kind] for kind in ("text/html", "text/plain")}}]}
    told = outputs(cell)
    assert panel._given[0].question in told
    assert shown["text/html"] == asked["text/html"]
    for answer, pattern in answers(path, name).items():
        assert not pattern.search(told), f"the stored panel shows {answer}"
