"""The live loop as a teacher runs it: hands counted by keys, two jars, a teacher's window, a lost kernel."""

from __future__ import annotations

import re
import time

import pytest
from driver import in_turn
from playwright.sync_api import Page, expect
from test_all_panels import ENTER, look, root

VOTES = "1" * 4 + "2" * 9 + "3" * 8 + "4" * 3 + "2"  # 25 hands


@pytest.mark.parametrize("name", in_turn(["05_plant_water.ipynb", "07_waiting_and_pressing.ipynb"], 0))
def test_an_hour_by_remote_keys(opened, workbook, name):
    """Eight questions asked, counted, shown and gone on from by keys alone; two jars; a refusal; a lost kernel."""
    (workbook.home / "guesses.json").unlink(missing_ok=True)  # of tests before this one
    live = opened(f"workbook/{name}")
    page, panel = live.page, live.below("here.panel()")
    live.press(panel.get_by_role("button", name="Back to the start"), "Enter")
    page.get_by_role("button", name=ENTER).click()
    expect(root(page)).to_be_visible()
    teacher = teachers_window(page)
    line = teacher.locator("#line")
    questions, first = [], line.inner_text()
    for scene in range(8):
        questions.append(root(page).locator(".herb-question").inner_text())
        assert line.inner_text() not in root(page).inner_text()
        count_and_show(page)
        if scene == 0:
            page.keyboard.press("a")
            expect(root(page).get_by_role("button", name="Let A go")).to_be_visible()
        if scene == 2:  # two jars, told apart: both whole, both in each tile
            expect(root(page).locator(".herb-side svg")).to_have_count(3)
            both = root(page).locator(".herb-tiles li").first.locator("b")
            expect(both).to_have_text([re.compile("^A "), re.compile("^B ")])
            page.keyboard.press("a")
        if scene == 3:
            type_what_cannot_be_read(page)
        page.keyboard.press("PageDown")
        expect(root(page).locator(".herb-answer.herb-asking")).to_have_count(1)
    assert len(set(questions)) == 8
    assert line.inner_text() == first, "eight scenes on, the first again"
    page.keyboard.press("Escape")
    panel.get_by_role("button", name="More ways to look").click()
    panel.get_by_role("button", name="What was guessed today").click()
    expect(panel.locator(".herb-guessed li")).to_have_count(8)
    assert not page.evaluate("document.body.hasAttribute('data-lm-suppress-shortcuts')"), "Ctrl S would be dead"
    assert (workbook.home / "guesses.json").exists()
    teacher.close()
    restart(page)
    expect(panel.get_by_role("alert").filter(has_text="fallen asleep")).to_be_visible()
    live.run_all()
    panel = live.below("here.panel()")
    expect(panel.get_by_role("button", name="Show me")).to_be_visible()
    expect(panel.get_by_text("fallen asleep")).to_be_hidden()


def teachers_window(page: Page) -> Page:
    """The teacher's own window, opened from the show view, which stays."""
    with page.expect_popup() as popup:
        root(page).get_by_role("button", name="Teacher's window").click()
    expect(popup.value.locator("#line")).not_to_be_empty()
    page.bring_to_front()
    if not root(page).count():  # a new window may take the screen away
        page.get_by_role("button", name=ENTER).click()
    expect(root(page)).to_be_visible()
    return popup.value


def count_and_show(page: Page) -> None:
    """Count 25 hands by digit keys in under 15 s, take one back, and show the answer by the space bar."""
    begun = time.monotonic()
    for key in VOTES:
        page.keyboard.press(key)
    expect(root(page).get_by_text("25 hands", exact=True)).to_be_visible()
    took = time.monotonic() - begun
    assert took < 15, f"{took:.1f} s for 25 hands"
    page.keyboard.press("Backspace")
    expect(root(page).get_by_text("24 hands", exact=True)).to_be_visible()
    page.keyboard.press(" ")
    look(page, shown=True)
    expect(root(page).get_by_text("it is here")).to_have_count(1)


def type_what_cannot_be_read(page: Page) -> None:
    """An amount that is refused: the sentence stands over the stage."""
    typed = root(page).locator(".herb-chosen input[type=text]")
    if not typed.count():
        return
    typed.fill("5 bushels")
    typed.press("Enter")
    note = root(page).locator(".herb-note p")
    expect(note).to_contain_text("It stays at")
    assert note.evaluate("e => e.getBoundingClientRect().bottom < innerHeight / 2"), "over the stage"
    page.evaluate("() => document.activeElement.blur()")


def restart(page: Page) -> None:
    """Kernel > Restart Kernel, and yes."""
    page.get_by_role("menubar").get_by_role("menuitem", name="Kernel", exact=True).click()
    page.get_by_role("menuitem", name=re.compile("^Restart Kernel…")).click()
    page.locator(".jp-Dialog .jp-mod-accept").click()
