"""The exercise books by keyboard alone, and a whole lesson from its first cell to its log.

The exercise books take turns, and one lesson stands for the others, whose panels are all in test_all_panels.py: with
HERBCALC_EVERY each is opened. Four exercise books are bound into one: to open one and to start its Python takes
longer than to look at its cards; that each as it is goes through without a stop is seen where all are run afresh.
"""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest
from conftest import Workbook
from driver import Lesson, in_turn
from playwright.sync_api import Locator, expect

from herbcalc import homework

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / os.environ.get("HERBCALC_PICTURES", ".gallery")
WITH_LOG = "03_moisture.ipynb"
EXERCISES = sorted(p.name for p in (ROOT / "exercises").glob("*.ipynb"))
LESSONS = EXERCISES  # of the same names
BOOKS = in_turn(EXERCISES, 0)
TOGETHER = 4  # bound into one; of more cards on one page the browser makes too much


def bound(names: list[str], path: Path) -> None:
    """Write a book of the cells of code of these exercise books, where "here" of each has its number: here5."""
    cells = []
    for name in names:
        book = json.loads((ROOT / "exercises" / name).read_text(encoding="utf-8"))
        for cell in book["cells"]:
            if cell["cell_type"] == "code":
                source = re.sub(r"\bhere\b", f"here{int(name[:2])}", "".join(cell["source"]))
                cells.append({**cell, "id": f"c{len(cells)}", "source": source, "outputs": []})
    path.write_text(json.dumps({**book, "cells": cells}), encoding="utf-8")


@pytest.mark.parametrize("names", [BOOKS[n : n + TOGETHER] for n in range(0, len(BOOKS), TOGETHER)])
def test_exercise_books_by_keyboard_alone(lesson: Lesson, workbook: Workbook, names: list[str]) -> None:
    """They run and show every item; the first sum of each is answered; axe-core looks at all of it."""
    bound(names, workbook.home / "exercises" / f"from_{names[0]}")
    live = lesson(f"exercises/from_{names[0]}")
    live.run_all()
    for of in (int(name[:2]) for name in names):
        items = {n: homework.item(of, n, "practice", 1) for number, n in homework.items() if number == of}
        for number in items:
            card, code = live.below(f"here{of}.item({number})"), re.compile(rf"^{of}\.{number}\b")
            expect(card.get_by_role("heading", name=code).first).to_be_visible()
        first = next(number for number, item in items.items() if item.kind == "sum")
        answered(live, live.below(f"here{of}.item({first})"), items[first].answers()[0])
    live.assert_open_to_all()


def answered(live: Lesson, card: Locator, right: str) -> None:
    """Answer by keyboard alone, and at once: no letter may be left behind."""
    # A card further down is drawn when it is scrolled to; its script marks it once it listens for keys.
    expect(card.locator(".herb-card[data-lm-suppress-shortcuts]")).to_be_attached()
    live.press(card.get_by_role("radio", name="sure", exact=True), "Space")
    card.get_by_role("textbox", name="Your answer").focus()
    live.page.keyboard.press("Control+a")  # a test before may have answered it in this folder
    live.page.keyboard.type(right)
    live.page.keyboard.press("Enter")
    expect(card.get_by_role("status")).to_contain_text("Yes, that is it.")


@pytest.mark.parametrize("name", LESSONS if "HERBCALC_EVERY" in os.environ else [WITH_LOG])
def test_a_whole_lesson(lesson: Lesson, name: str) -> None:
    """Run All goes through, and what stands on the page is open to all; a log of weighings by keyboard alone."""
    live = lesson(f"workbook/{name}")
    live.run_all()
    for card in ("here.gap(1)", "here.item(1)", "here.bench()"):
        expect(live.below(card).locator(".herb-card").first).to_be_visible()
    live.assert_open_to_all()
    if name == WITH_LOG:
        a_log_of_weighings(live)


def a_log_of_weighings(live: Lesson) -> None:
    """Typed over what stands there, its stop weight, the curve by Enter, the answer read aloud."""
    card = live.below("here.log()")
    card.scroll_into_view_if_needed()
    expect(card.locator(".herb-card[data-lm-suppress-shortcuts]")).to_be_attached()
    card.get_by_role("textbox", name="Weighings, one on each line").focus()
    live.page.keyboard.press("Control+a")
    for line in ("0 h; 500 g", "6 h; 300 g", "12 h; 200 g", "24 h; 120 g", "36 h; 105 g"):
        live.page.keyboard.type(line)
        live.page.keyboard.press("Enter")  # a new line, and no command of the notebook
    card.get_by_role("textbox", name="Weight to stop at").focus()
    live.page.keyboard.press("Control+a")
    live.page.keyboard.type("110 g")
    live.page.keyboard.press("Enter")
    told = card.get_by_role("status")
    expect(told).to_contain_text("5 weighings over 36 hours, from 500 g")
    expect(told).to_contain_text("a model: 110 g (4 oz) after about")
    expect(card.get_by_role("img", name=re.compile("5 weighings as dots"))).to_be_visible()
    live.press(card.get_by_role("button", name="Draw the curve"), "Enter")
    expect(told).to_contain_text("5 weighings over 36 hours")
    live.assert_open_to_all(card)
    live.picture(PICTURES / "03_own_log.png")
