"""Lesson 5 as a person meets it, opened and run once for all: chosen, moved by keyboard, shown to a class, answered.

Figures are those of class "practice", number 1. How the stored page looks before it runs, and that what was answered
outlives a page, are seen in test_first_evening.py.
"""

from __future__ import annotations

import json
import os
import re
import time
from collections.abc import Callable
from pathlib import Path
from urllib.request import Request, urlopen

import pytest
from conftest import Workbook
from driver import Lesson, in_turn
from playwright.sync_api import Locator, Page, expect
from test_all_panels import ENTER, look, root

from herbcalc import homework

PICTURES = Path(__file__).resolve().parents[2] / os.environ.get("HERBCALC_PICTURES", ".gallery")
NAME = "05_plant_water.ipynb"
LESSON = f"workbook/{NAME}"
TYPED = ("300 mL", "100 g", "dd", "00 ii", "mr1yabxcvz", "MJKABZRL")
CELLS = """() => [...document.querySelectorAll('.jp-Notebook .jp-Cell')].map(cell =>
    [[...cell.classList].filter(name => /^jp-(Code|Markdown|Raw)Cell$/.test(name)).join(),
     cell.querySelector('.jp-RenderedMarkdown')?.textContent,
     cell.classList.contains('jp-mod-rendered'), cell.querySelectorAll('.jp-OutputArea-child').length])"""

VOTES = "1" * 4 + "2" * 9 + "3" * 8 + "4" * 3 + "2"  # 25 hands


@pytest.fixture
def live(opened: Callable[[str], Lesson]) -> Lesson:
    """The lesson at its first question."""
    lesson = opened(LESSON)
    lesson.press(lesson.below("here.panel()").get_by_role("button", name="Back to the start"), "Enter")
    return lesson


def told(panel: Locator) -> Locator:
    """The sentence that says what the picture says."""
    return panel.get_by_role("status").filter(has_text=re.compile(r"\d"))


def pictures(panel: Locator) -> Locator:
    """The panel's pictures with their words (an SVG inside one is a picture of its own to a browser)."""
    return panel.get_by_role("img", name=re.compile(r"\S"))


def written(path: Path) -> list[tuple[str, str, str]]:
    """Every cell of a notebook as it is kept: its name, its kind, its text (a folded one shows no text)."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return [(cell["id"], cell["cell_type"], "".join(cell["source"])) for cell in cells]


def kernels(workbook: Workbook) -> list[str]:
    asked = Request(f"{workbook.root}/api/kernels", headers={"Authorization": f"token {workbook.token}"})
    with urlopen(asked) as answer:
        return sorted(kernel["id"] for kernel in json.loads(answer.read()))


def chosen(page: Page) -> int:
    """The place of the chosen cell, which is not entered."""
    assert page.locator(".jp-Notebook.jp-mod-commandMode").count(), "the cell was entered"
    return page.evaluate(
        "() => [...document.querySelectorAll('.jp-Notebook .jp-Cell')].findIndex(c => c.matches('.jp-mod-active'))"
    )


def test_an_answer_typed_into_a_chosen_cell_changes_nothing(opened: Callable[[str], Lesson], workbook: Workbook):
    """Whatever the letters, nothing on the page changes and nothing asks; what is saved leaves the widgets out."""
    live = opened(LESSON)
    page, path = live.page, workbook.home / LESSON
    before, texts, kernel = page.evaluate(CELLS), written(path), kernels(workbook)
    kinds = [  # the title, the first cell, a heading, a sum, a panel, a card, the last words
        page.locator(".jp-MarkdownCell").first,
        *(
            page.locator(".jp-CodeCell").filter(has_text=source).first
            for source in ("lesson(5)", "here.panel()", "here.item(1)")
        ),
        page.locator(".jp-CodeCell").filter(has_text="menstruum.final_strength").first,
        page.locator(".jp-MarkdownCell").filter(has_text="Remember").first,
        page.locator(".jp-MarkdownCell").last,
    ]
    for cell in kinds:
        cell.scroll_into_view_if_needed()
        cell.locator(".jp-InputPrompt").first.click(position={"x": 5, "y": 5})
        page.keyboard.press("Escape")
        for text in TYPED:
            page.keyboard.type(text)
        expect(page.get_by_role("dialog")).to_have_count(0)
        chosen(page)
    assert page.evaluate(CELLS) == before
    assert kernels(workbook) == kernel
    live.save()
    assert written(path) == texts
    saved = json.loads(path.read_text(encoding="utf-8"))
    assert "widgets" not in saved["metadata"]
    outputs = [out for cell in saved["cells"] for out in cell.get("outputs", ()) if "data" in out]
    assert len(outputs) > 10, "the panel, the cards, the sums"
    assert not [out for out in outputs if any("widget" in kind for kind in out["data"])]

    # The keys that a person needs still go.
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    at = chosen(page)
    page.keyboard.press("ArrowDown")
    assert chosen(page) == at + 1
    first = page.locator(".jp-CodeCell").first
    first.scroll_into_view_if_needed()
    first.locator(".jp-InputPrompt").first.click(position={"x": 5, "y": 5})
    at = chosen(page)
    page.keyboard.press("Shift+Enter")
    expect(page.locator(".jp-Notebook .jp-Cell").nth(at + 1)).to_have_class(re.compile("jp-mod-active"))
    first.locator(".jp-InputPrompt").first.click(position={"x": 5, "y": 5})
    page.keyboard.press("Enter")
    expect(page.locator(".jp-Notebook.jp-mod-editMode")).to_have_count(1)


def test_a_slider_moved_by_keyboard_changes_picture_and_sentence(live):
    panel = live.below("here.panel()")
    live.press(panel.get_by_role("button", name="Show me"), "Enter")
    expect(told(panel)).to_contain_text("29.1 % vol")
    picture = pictures(panel).first
    words, drawn = picture.get_attribute("aria-label"), picture.inner_html()
    sentence = told(panel).inner_text()
    water = panel.get_by_role("slider", name="Water in the plant")
    live.press(water, "ArrowLeft")
    live.until_changed(told(panel), sentence)
    assert picture.get_attribute("aria-label") != words
    assert picture.inner_html() != drawn
    expect(panel.get_by_role("textbox", name="Water in the plant")).to_have_value("74 % water")
    # As fast as a key that is held: no step is lost on the way, and each kind of key is one.
    for keys, stands in ((["ArrowRight"] * 4 + ["ArrowUp", "ArrowLeft"], 78), (["ArrowDown"] * 3, 75)):
        live.press(water, *keys)
        expect(panel.get_by_role("textbox", name="Water in the plant")).to_have_value(f"{stands} % water")
    expect(told(panel)).to_have_text(sentence)
    expect(water).to_be_focused()


def test_a_typed_amount_in_the_other_units_moves_the_slider(live):
    panel = live.below("here.panel()")
    live.press(panel.get_by_role("button", name="Show me"), "Enter")
    typed = panel.get_by_role("textbox", name="Plant (g)")
    typed.fill("8 oz")
    typed.press("Enter")
    expect(told(panel)).to_contain_text("227 g (8 oz)")
    typed.fill("8 fl oz")  # a volume, where a weight belongs
    typed.press("Enter")
    note = panel.get_by_role("status").filter(has_text="It stays at")
    expect(note).to_be_visible()
    expect(typed).to_have_value("227 g")
    expect(panel.get_by_role("status").filter(has_text="227 g (8 oz) of plant")).to_be_visible()


def test_a_page_at_twice_the_size_does_not_scroll_sideways(live):
    """200 % zoom on a screen of 1024 x 768 leaves a page of 512 x 384."""
    live.page.set_viewport_size({"width": 512, "height": 384})
    panel = live.below("here.panel()")
    live.press(panel.get_by_role("button", name="Show me"), "Enter")
    expect(panel.get_by_role("button", name="Hide the answer")).to_be_visible()
    for output in ("here.panel()", "here.item(2)"):
        wide = live.below(output).evaluate("place => place.scrollWidth - place.clientWidth")
        assert wide <= 1, f"{output} is {wide} pixels too wide"
    live.picture(PICTURES / "05_twice_the_size.png")


def test_saving_from_an_amount_box(live):
    typed = live.below("here.panel()").get_by_role("textbox", name="Plant (g)")
    typed.fill("7 oz")
    typed.press("Control+s")
    live.page.locator(".jp-mod-dirty").first.wait_for(state="detached")
    expect(typed).to_be_focused()


def test_axe_finds_nothing_in_what_is_ours(live):
    """All that the page holds: its first cell, gaps, panel, questions, bench."""
    panel = live.below("here.panel()")
    live.press(panel.get_by_role("button", name="Show me"), "Enter")
    live.below("here.item(2)")
    live.assert_open_to_all()


@pytest.mark.parametrize("name", in_turn([NAME, "07_waiting_and_pressing.ipynb"], 0))
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


def test_homework_a_known_slip_and_then_right(live, workbook):
    item = homework.item(5, 2, "practice", 1)
    slip, right = item.slip_answers()["m33"], item.answers()[0]  # m33: the whole plant counted as water
    hint = next(known.hint for known in homework.slips() if known.id == "m33")
    card = live.below("here.item(2)")
    expect(card.get_by_text(item.prompt[:60])).to_be_visible()
    answer(live, card, slip)
    said = card.get_by_role("status")
    expect(said).to_contain_text("Not yet")
    expect(said).to_contain_text(item.check(slip).hint.splitlines()[0][:60])
    assert hint
    answer(live, card, right)
    expect(said).to_contain_text("Yes, that is it.")
    kept = [json.loads(line) for line in (workbook.home / "answers-practice-1.jsonl").read_text().splitlines()]
    assert [row["typed"] for row in kept if row["item"] == "5.2"][-2:] == [slip, right]


def answer(live, card: Locator, typed: str) -> None:
    """Answer by keyboard: type, say how sure, press Check."""
    card.get_by_role("textbox", name="Your answer").fill(typed)
    live.press(card.get_by_role("radio", name="fairly"), "Space")
    live.press(card.get_by_role("button", name="Check"), "Enter")


def test_next_leads_on_to_the_exercises_and_from_card_to_card(live, workbook):
    """From a lesson's last card into its exercises, which open beside it and run; there to the card below."""
    page = live.page
    expect(page.get_by_role("tab", name="Exercises 5")).to_have_count(0)
    live.press(live.below("here.item(2)").get_by_role("button", name="Next: 5.3, in Exercises 5"), "Enter")
    expect(page.get_by_role("heading", name="Exercises 5. The plant brings its own water")).to_be_visible()
    for kept in workbook.home.glob("answers-*.jsonl"):  # of the test before
        kept.unlink()
    live.run_all()
    expect(page.get_by_role("tab", name="Exercises 5")).to_have_count(1)
    card = page.get_by_role("group", name="Question 5.1", exact=True)
    expect(card.get_by_role("button", name="Next")).to_have_count(0)
    answer(live, card, homework.item(5, 1, "practice", 1).answers()[0])
    expect(card.get_by_role("status")).to_contain_text("Yes, that is it.")
    expect(card.get_by_role("status")).to_contain_text("The sum in one line:")
    live.press(card.get_by_role("button", name="Next: 5.2"), "Enter")
    second = page.get_by_role("group", name="Question 5.2", exact=True)
    expect(second).to_be_focused()
    expect(second.get_by_role("heading", name="5.2")).to_be_in_viewport()

    # One press, by keyboard, takes the pictures away from all cards.
    expect(card.get_by_role("img", name="A picture of what is given")).to_have_count(1)
    page.keyboard.press("Tab")
    expect(second.get_by_role("checkbox", name="Picture")).to_be_focused()
    page.keyboard.press("Space")
    expect(page.get_by_role("img", name="A picture of what is given")).to_have_count(0)
    live.assert_open_to_all()
