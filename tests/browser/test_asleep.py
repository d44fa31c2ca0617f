"""A page whose Python is not there: run too early it waits, and gone it says so until it is run again."""

from __future__ import annotations

import os

import pytest
from conftest import started
from driver import Lesson, kill_kernels
from playwright.sync_api import Locator, Page, expect

from herbcalc import person

ASLEEP = "This page has fallen asleep: choose Run, then Run All Cells. Your kept answers come back."
PATH = "workbook/05_plant_water.ipynb"


def from_the_menu(page: Page, menu: str, name: str) -> None:
    page.get_by_role("menubar").get_by_role("menuitem", name=menu, exact=True).click()
    page.get_by_role("menuitem", name=name, exact=True).click()


# Python comes at its own pace, on a quick computer before anybody has chosen anything. Here it is made to come late.
LATE = """() => {
    const ask = window.fetch
    const late = (what) => String(what?.url ?? what).includes('/api/sessions') ? 4000 : 0
    window.fetch = (...all) => new Promise(go => setTimeout(go, late(all[0]))).then(() => ask(...all))
}"""


def told(live: Lesson, source: str) -> Locator:
    """Where the page says it, in the widget's own place, and reads it aloud."""
    return live.below(source).get_by_role("alert").filter(has_text="Your kept answers come back")


def test_run_too_early_it_waits_and_says_so(fresh, workbook):
    page = fresh
    page.add_init_script(f"({LATE})()")
    live = Lesson(page, workbook.root, workbook.token, "")("exercises/05_plant_water.ipynb", idle=False)
    stored = page.get_by_text("Run the cells of this notebook to answer it here.").first
    expect(page.get_by_text("Not running yet: choose Run, then Run All Cells.").first).to_be_visible()
    from_the_menu(page, "Run", "Run All Cells")
    expect(page.get_by_role("status").filter(has_text="the page is waking up")).to_be_visible()
    expect(stored).to_be_attached()
    expect(live.below("here.item(1)").get_by_role("button", name="Check")).to_be_visible(timeout=60_000)
    expect(page.get_by_role("status").filter(has_text="the page is waking up")).to_have_count(0)
    expect(live.below("lesson(5)").get_by_text("Lesson 5 is ready. Class practice, own number 1.")).to_be_visible()


@pytest.mark.skipif(os.name == "nt", reason="processes are ended by POSIX signals")
def test_a_page_whose_python_has_gone_says_so_and_wakes_again(lesson, workbook):
    live = lesson(PATH)
    page = live.page
    live.run_all()
    cells = ("here.panel()", "here.item(2)", "lesson(5)")

    kill_kernels(workbook)
    box = page.get_by_role("dialog", name="This page has fallen asleep")
    expect(box).to_be_visible()
    assert "ernel" not in box.inner_text()
    box.get_by_role("button").last.click()
    for source in cells:
        expect(told(live, source)).to_have_text(ASLEEP)
    expect(live.below("lesson(5)").get_by_text("Lesson 5 is ready")).to_be_hidden()
    live.run_all()
    for source in cells:
        expect(told(live, source)).to_have_count(0)

    from_the_menu(page, "Kernel", "Shut Down Kernel")
    for source in cells:
        expect(told(live, source)).to_have_text(ASLEEP)
    live.run_all()
    expect(live.below("here.item(2)").get_by_role("button", name="Check")).to_be_visible()
    for source in cells:
        expect(told(live, source)).to_have_count(0)


@pytest.mark.skipif(os.name == "nt", reason="the server is ended by a POSIX signal")
def test_a_workbook_that_was_stopped_says_how_to_start_it(fresh, tmp_path):
    page = fresh
    person.save_me("practice", 1, tmp_path / "home")
    with started(tmp_path) as workbook:
        live = Lesson(page, workbook.root, workbook.token, "")(PATH)
        live.run_all()
    box = page.get_by_role("dialog", name="The workbook has been stopped")
    expect(box).to_contain_text("python3 -m herbcalc")
    box.get_by_role("button").last.click()
    expect(told(live, "here.item(2)")).to_contain_text("python3 -m herbcalc")
    shown = page.locator(".jp-OutputArea-output").count()
    from_the_menu(page, "Run", "Run All Cells")
    expect(box).to_be_visible()
    assert page.locator(".jp-OutputArea-output").count() == shown, "what stands on the page stays"
