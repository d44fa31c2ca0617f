"""On a phone, 390 x 844 and touched by a thumb: all that is ours fits, is large enough to hit, and works.

One page holds what a student meets there: the start page's cards, a panel, a gap, a question of homework. What was
seen goes to `.gallery/phone/`, where pictures are asked for.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import Workbook
from driver import Lesson, book_of
from playwright.sync_api import Browser, Locator, Page, expect

from herbcalc import homework

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / os.environ.get("HERBCALC_PICTURES", ".gallery") / "phone"
PHONE = {"width": 390, "height": 844}
FIRST = "from herbcalc.show import lesson; here = lesson(5); start = lesson(0)"
OURS = ("start.practice()", "start.path()", "start.panel()", "here.panel()", "here.gap(1)", "here.item(2)")
THUMB = 44  # px that a thumb hits without looking twice

# What reaches beyond the page, and how far the notebook can be moved sideways. Code moves inside its own cell.
SIDEWAYS = """() => {
    const outer = document.querySelector('.jp-Notebook .jp-WindowedPanel-outer')
    const ours = [...document.querySelectorAll('.herb-panel *, .herb-card *, .jp-Placeholder')]
    return {
        moves: outer.scrollWidth - outer.clientWidth + document.documentElement.scrollWidth - innerWidth,
        beyond: ours.filter(e => !e.closest('.noUi-target') && e.getBoundingClientRect().right > innerWidth + 1)
            .map(e => `${e.className}: ${e.textContent.trim().slice(0, 40)}`),
    }
}"""
# What is to be pressed: a tick or a choice by its whole label, a slider by the area around its handle.
TARGETS = """() => [...document.querySelectorAll('.herb-panel, .herb-card')]
    .flatMap(root => [...root.querySelectorAll(
        'button, select, summary, a, input[type=text], label:has(input), .noUi-touch-area')])
    .map(e => [e, e.getBoundingClientRect()])
    .filter(([, r]) => r.width && r.height)
    .map(([e, r]) => [Math.min(r.width, r.height), `${e.className}: ${e.textContent.trim().slice(0, 40)}`])"""

# How many px high the words in a panel's pictures are, smallest first.
WORDS = """() => [...document.querySelectorAll('.herb-panel .herb-picture text')]
    .filter(e => e.getClientRects().length && e.textContent.trim())
    .map(e => [e.getScreenCTM(), parseFloat(getComputedStyle(e).fontSize), e.textContent.trim()])
    .map(([{a, b}, size, said]) => [size * Math.hypot(a, b), said])
    .sort(([one], [other]) => one - other)"""
SMALLEST = 11  # px that words in a picture are high


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    """A phone held upright."""
    context = chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True, reduced_motion="reduce")
    context.set_default_timeout(30_000)
    yield context.new_page()
    context.close()


def at_rest(panel: Locator) -> None:
    """Wait until nothing moves on it any more, as a person does before a tap: what follows a drag comes late."""
    seen, before = panel.inner_html(), ""
    while seen != before:
        panel.page.wait_for_timeout(500)
        seen, before = panel.inner_html(), seen


def drag(page: Page, handle: Locator, by: float) -> None:
    """A thumb laid on a handle and moved sideways."""
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    hand = page.context.new_cdp_session(page)
    for kind, at in [("touchStart", 0.0), *(("touchMove", by * step / 5) for step in range(1, 6))]:
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x + at, "y": y}]})
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def folded_book(path: Path) -> None:
    """A notebook of these cells, their code folded away as in ours."""
    book_of(path, FIRST, *OURS)
    book = json.loads(path.read_text(encoding="utf-8"))
    for cell in book["cells"]:
        cell["metadata"] = {"jupyter": {"source_hidden": True}}
    path.write_text(json.dumps(book), encoding="utf-8")


def test_an_evening_on_a_phone(phone: Page, workbook: Workbook) -> None:
    folded_book(workbook.home / "workbook" / "phone.ipynb")
    live = Lesson(phone, workbook.root, workbook.token, "")("workbook/phone.ipynb")
    files = phone.get_by_role("region", name="File Browser Section")
    expect(files).to_be_hidden()
    live.run_all()

    panel = live.below("here.panel()").locator(".herb-panel")
    live.picture(PICTURES / "panel_before.png")
    water = panel.get_by_role("slider", name="Water in the plant")
    panel.get_by_role("button", name="Show me").tap()
    said = panel.get_by_role("status").filter(has_text="29.1 % vol")
    expect(said).to_be_visible()
    drag(phone, water, -40)
    expect(said).to_have_count(0)
    expect(water).not_to_have_attribute("aria-valuenow", "75.0")

    words = phone.evaluate(WORDS)
    assert len(words) > 8, words
    assert words[0][0] > SMALLEST, words
    at_rest(panel)
    panel.get_by_role("button", name="Pin this as A").tap()  # A above B
    expect(panel.get_by_role("button", name="Let A go")).to_be_visible()
    panel.get_by_role("button", name="Next").tap()
    expect(panel.locator(".herb-picture text").filter(has_text="?").first).to_be_visible()
    at_rest(panel)
    panel.get_by_role("button", name="Show me").tap()
    expect(panel.get_by_text("A dashed, B drawn")).to_be_visible()
    live.picture(PICTURES / "beside.png")
    words = phone.evaluate(WORDS)
    assert words[0][0] > SMALLEST, words

    card = live.below("here.item(2)").locator(".herb-card")
    right = homework.item(5, 2, "practice", 1).answers()[0]
    card.get_by_role("textbox").fill(right)
    card.get_by_text("fairly").tap()
    card.get_by_role("button", name="Check").tap()
    expect(card.get_by_role("status").filter(has_text="Yes, that is it.")).to_be_visible()
    live.picture(PICTURES / "card.png")

    for source in OURS:
        live.below(source)  # what was never in sight has no size yet
        live.picture(PICTURES / f"{source.strip('()').replace('(', '_')}.png")
        sideways = phone.evaluate(SIDEWAYS)
        assert not sideways["beyond"], sideways
        assert sideways["moves"] <= 1, sideways
    targets = phone.evaluate(TARGETS)
    assert len(targets) > 40, targets
    assert not [one for one in targets if one[0] < THUMB - 0.5]

    phone.get_by_role("tab", name="File Browser").tap()  # the list of files is one press away
    expect(files).to_be_visible()
