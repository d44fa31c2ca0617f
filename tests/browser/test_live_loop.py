"""The live loop as a teacher runs it: every scene on one screen, hands counted by keys, two jars, a lost kernel.

What is seen goes to `.gallery/` (see test_every_lesson.py): each scene before and after, alone and beside the first.
"""

from __future__ import annotations

import os
import re
import time
from pathlib import Path

import pytest
from driver import book_of, in_turn
from playwright.sync_api import Locator, Page, expect

from herbcalc.show.here import lessons, panels

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / os.environ.get("HERBCALC_PICTURES", ".gallery")
PANELS = [(number, name) for number in lessons() for name in panels(number)]
FIRST = "from herbcalc.show import lesson; here = lesson({})"
ENTER = "Show view: fill the screen"

# Where each part of the loop stands, and whether all of it is on the screen; the widest letter height of any words.
SEEN = """root => {
    const part = (name) => [...root.querySelectorAll(name)].find(e => e.getClientRects().length)
    const all = (name) => [...root.querySelectorAll('.herb-stage ' + name)].filter(e => e.getClientRects().length)
    const inside = (e) => {
        const r = e.getBoundingClientRect()
        return r.left >= -1 && r.top >= -1 && r.right <= innerWidth + 1 && r.bottom <= innerHeight + 1
    }
    const size = (e) => parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement?.getScreenCTM().a || 1)
    const picture = part('.herb-picture svg') || part('.herb-refusal') || part('.herb-unknown')
    const answer = part('.herb-tiles .herb-first b')
    const parts = {
        question: part('.herb-question p'), picture, answer, button: part('.herb-answer'),
        guesses: part('.herb-bands') || part('.herb-hands'),
        dial: part('.herb-chosen input, .herb-chosen .noUi-handle'),
    }
    const stage = root.querySelector('.herb-stage')
    const words = [...all('p'), ...all('b'), ...all('span'), ...all('text')].filter(e => e.textContent.trim())
    return {
        lost: Object.entries(parts).filter(([, e]) => !e || !inside(e)).map(([name]) => name),
        wide: [...all('li'), ...all('svg')].filter(e => !inside(e)).map(e => e.textContent.slice(0, 60)),
        cut: [...all('p'), ...all('b'), ...all('li'), ...all('button')]
            .filter(e => !e.closest('.herb-side > p') && getComputedStyle(e).display !== 'inline')
            .filter(e => e.scrollWidth > e.clientWidth + 2).map(e => e.textContent.slice(0, 60)),
        scrolls: stage.scrollHeight > stage.clientHeight + 1,
        answer: answer ? size(answer) : 0,
        largest: Math.max(...words.map(size)),
        high: picture ? picture.getBoundingClientRect().height : 0,
    }
}"""


def root(page: Page) -> Locator:
    return page.locator(".herb-panel:fullscreen")


def look(page: Page, shown: bool) -> None:
    """Everything of the loop is in view together, and the answer is the largest thing that is said."""
    expect(page.locator(".herb-answer.herb-asking")).to_have_count(0 if shown else 1)
    asked = re.compile(r"\?")
    first = root(page).locator(".herb-tiles .herb-first b, .herb-unknown").first
    (expect(first).not_to_contain_text if shown else expect(first).to_contain_text)(asked)
    marks = root(page).locator(".herb-picture text").filter(has_text=asked)
    if shown:
        expect(marks).to_have_count(0)
    elif not root(page).locator(".herb-unknown").count():
        expect(marks).not_to_have_count(0)
    until = time.monotonic() + 5
    while (seen := root(page).evaluate(SEEN))["lost"] and time.monotonic() < until:
        time.sleep(0.1)  # the parts of a question come one after the other
    assert not seen["lost"], seen
    assert not seen["cut"], seen
    assert not seen["wide"], seen
    assert not seen["scrolls"], seen
    if shown and root(page).locator(".herb-refusal").count() == 0:
        assert seen["answer"] >= seen["largest"] - 0.5, seen
        assert seen["high"] > 0.15 * page.viewport_size["height"], seen


@pytest.mark.parametrize(("number", "which"), in_turn(PANELS, 1))
def test_every_scene_is_one_screen(lesson, page, workbook, number, which):
    """Alone and beside the first scene, before and after, on a poor projector's picture and on a good one's."""
    name, opens = f"{number:02d}{which}", f'here.panel("{which}")' if which else "here.panel()"
    # Nothing but the panel: a whole lesson takes longer to open than its scenes take to show.
    book_of(workbook.home / f"workbook/panel_{name}.ipynb", FIRST.format(number), opens)
    live = lesson(f"workbook/panel_{name}.ipynb")
    live.run_all()
    panel = live.below(opens)
    count = panel.get_by_role("combobox", name="Scene").locator("option").count()
    live.press(panel.get_by_role("button", name=ENTER), "Enter")
    expect(root(page)).to_be_visible()
    for beside in (False, True):
        for scene in range(1, count + 1):
            expect(page.get_by_role("combobox", name="Scene")).to_have_value(re.compile(rf"^{scene} of "))
            look(page, shown=False)
            kind = "beside" if beside else "alone"
            picture = f"scenes/{name}_{scene}_{kind}"
            if not beside:
                live.picture(PICTURES / f"{picture}_before.png")
            page.keyboard.press("PageDown")
            look(page, shown=True)
            live.picture(PICTURES / f"{picture}.png")
            if scene in (1, count):
                page.set_viewport_size({"width": 1920, "height": 1080})
                look(page, shown=True)
                live.picture(PICTURES / f"{picture}_1920.png")
                page.set_viewport_size({"width": 1024, "height": 768})
            page.keyboard.press("PageDown")
        if not beside:  # round once: the first scene again, to be set against each
            look(page, shown=False)
            page.keyboard.press("PageDown")
            look(page, shown=True)
            page.keyboard.press("a")
            expect(root(page).get_by_role("button", name="Let A go")).to_be_visible()
            page.keyboard.press("PageUp")
            page.keyboard.press("PageDown")
            page.keyboard.press("PageDown")
    assert len(panel.locator(".herb-shown").all()) <= 8


VOTES = "1" * 4 + "2" * 9 + "3" * 8 + "4" * 3 + "2"  # 25 hands


@pytest.mark.parametrize("name", ["05_plant_water.ipynb", "07_waiting_and_pressing.ipynb"])
def test_an_hour_by_remote_keys(lesson, page, workbook, name):
    """Eight questions asked, counted, shown and gone on from by keys alone; two jars; a refusal; a lost kernel."""
    (workbook.home / "guesses.json").unlink(missing_ok=True)  # of tests before this one
    live = lesson(f"workbook/{name}")
    live.run_all()
    panel = live.below("here.panel()")
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


def test_saving_from_an_amount_box(lesson, page):
    live = lesson("workbook/05_plant_water.ipynb")
    live.run_all()
    panel = live.below("here.panel()")
    typed = panel.get_by_role("textbox", name="Plant (g)")
    typed.fill("7 oz")
    typed.press("Control+s")
    page.locator(".jp-mod-dirty").first.wait_for(state="detached")
    expect(typed).to_be_focused()
