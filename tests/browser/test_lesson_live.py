"""Lesson 5 as a person meets it: opened from the README's command, run once, moved by keyboard, answered.

Figures are those of class "practice", number 1.
"""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest
from driver import IDLE
from playwright.sync_api import Locator, expect

from herbcalc import homework

PICTURES = Path(__file__).resolve().parents[2] / os.environ.get("HERBCALC_PICTURES", ".gallery")
LESSON = "workbook/05_plant_water.ipynb"


@pytest.fixture
def live(opened):
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


def test_opens_ready_and_gives_nothing_away(lesson):
    opened = lesson(LESSON, idle=False)
    stored = opened.below("here.panel()")
    picture = stored.get_by_role("img", name=re.compile("of plant with 75 % water"))
    expect(picture).to_be_visible()
    assert picture.evaluate("image => image.complete && image.naturalWidth > 100")
    expect(stored.get_by_text("How strong does it end?").first).to_be_visible()
    assert "29.1" not in stored.inner_text()
    opened.page.locator(IDLE).first.wait_for(state="attached")  # no kernel is left behind half started


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
    live.press(water, "ArrowRight")
    expect(told(panel)).to_have_text(sentence)


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


def test_an_answer_outlives_the_page(live):
    """Reopened after a crash of the browser, the card goes on where the result file ends."""
    item = homework.item(5, 1, "practice", 1)
    answer(live, live.below("here.item(1)"), item.answers()[0])
    expect(live.below("here.item(1)").get_by_role("status")).to_contain_text("Yes, that is it.")
    live.page.goto("about:blank")
    live(LESSON)
    live.run_all()
    expect(live.below("here.item(1)").get_by_role("textbox")).to_have_value(item.answers()[0])


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
