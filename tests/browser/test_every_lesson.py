"""Every lesson, from opening to answering, by keyboard alone; axe-core looks at each; a picture of each may be kept.

With HERBCALC_PICTURES=.gallery the pictures are kept, for people to look at; those that the README shows were made
with HERBCALC_PICTURES=workbook/pictures.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from driver import announced, in_turn
from playwright.sync_api import Locator, expect

from herbcalc import homework
from herbcalc.show.here import panels

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / os.environ.get("HERBCALC_PICTURES", ".gallery")
LESSONS = sorted(p.name for p in (ROOT / "workbook").glob("*.ipynb") if not p.name.startswith("00"))
PANELS = [
    pytest.param(name, which, id=f"{name} {which}".strip()) for name in LESSONS for which in panels(int(name[:2]))
]
EXERCISES = sorted(p.name for p in (ROOT / "exercises").glob("*.ipynb"))


def names(place: Locator, role: str) -> list[str]:
    """Role and name of all visible controls of one kind, in the order of the page."""
    said = place.aria_snapshot().splitlines()
    return [one for line in said if (one := announced(line)).startswith(f"{role} ")]


@pytest.mark.parametrize(("name", "which"), in_turn(PANELS, 0))
def test_a_lesson_by_keyboard_alone(lesson, name, which):
    number = int(name[:2])
    live = lesson(f"workbook/{name}")
    live.run_all()
    panel = live.below(f'here.panel("{which}")' if which else "here.panel()")
    show = panel.get_by_role("button", name="Show me")
    live.press(show, "Enter")
    hide = panel.get_by_role("button", name="Hide the answer")
    expect(hide).to_be_focused()
    live.assert_open_to_all()

    reached = live.tab_through(hide, panel)
    for role in ("button", "slider", "textbox", "combobox"):
        assert sorted(names(panel, role)) == sorted(one for one in reached if one.startswith(f"{role} ")), role
    assert all('"' in one for one in reached), f"something without a name: {reached}"

    told = panel.get_by_role("status").filter(has_text=re.compile(r"\d"))
    slider = panel.get_by_role("slider").first
    told.scroll_into_view_if_needed()
    expect(told).to_be_visible()
    before = told.inner_text()
    live.press(slider, "ArrowRight")
    live.until_changed(told, before)
    live.press(panel.get_by_role("button", name="Next:"), "Enter")
    live.press(panel.get_by_role("button", name="Back to the start"), "Enter")
    live.press(panel.get_by_role("button", name="Show me"), "Enter")
    expect(told).to_have_text(before)

    # The show view, as on a projector: in by Enter, out by Esc.
    live.press(panel.get_by_role("button", name="Show view: fill the screen"), "Enter")
    expect(live.page.get_by_role("button", name="Leave the show view (Esc)")).to_be_attached()
    live.assert_open_to_all()
    live.picture(PICTURES / f"{name.removesuffix('.ipynb')}{'_' if which else ''}{which}.png")
    live.page.keyboard.press("Escape")
    expect(panel.get_by_role("button", name="Show view: fill the screen")).to_be_attached()

    card = live.below("here.item(1)")
    item = homework.item(number, 1, "practice", 1)
    if item.kind == "sum":
        # A card further down is drawn when it is scrolled to; its script marks it once it listens for keys.
        expect(card.locator(".herb-card[data-lm-suppress-shortcuts]")).to_be_attached()
        live.press(card.get_by_role("radio", name="sure"), "Space")
        card.get_by_role("textbox", name="Your answer").focus()
        live.page.keyboard.type(item.answers()[0])
        live.page.keyboard.press("Enter")  # at once: no letter may be left behind
        expect(card.get_by_role("status")).to_contain_text("Yes, that is it.")
    live.assert_open_to_all()


@pytest.mark.parametrize("name", in_turn(EXERCISES, 0))
def test_an_exercise_book_runs_and_shows_every_item(lesson, name):
    live = lesson(f"exercises/{name}")
    live.run_all()
    wanted = [f"{of}.{number}" for of, number in homework.items() if of == int(name[:2])]
    for code in wanted:
        card = live.below(f"here.item({code.split('.')[1]})")
        expect(card.get_by_role("heading", name=re.compile(rf"^{re.escape(code)}\b")).first).to_be_visible()
    live.assert_open_to_all()


def test_a_log_of_weighings_by_keyboard_alone(lesson):
    """Typed over what stands there, its stop weight, the curve by Enter, the answer read aloud."""
    live = lesson("workbook/03_moisture.ipynb")
    live.run_all()
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
    live.assert_open_to_all()
    live.picture(PICTURES / "03_own_log.png")


def test_a_page_at_twice_the_size_does_not_scroll_sideways(page, lesson):
    """200 % zoom on a screen of 1024 x 768 leaves a page of 512 x 384, in JupyterLab's view of a single notebook."""
    page.set_viewport_size({"width": 512, "height": 384})
    live = lesson("workbook/05_plant_water.ipynb", alone=True)
    live.run_all()
    panel = live.below("here.panel()")
    live.press(panel.get_by_role("button", name="Show me"), "Enter")
    expect(panel.get_by_role("button", name="Hide the answer")).to_be_visible()
    for output in ("here.panel()", "here.item(2)"):
        wide = live.below(output).evaluate("place => place.scrollWidth - place.clientWidth")
        assert wide <= 1, f"{output} is {wide} pixels too wide"
    live.picture(PICTURES / "05_twice_the_size.png")
