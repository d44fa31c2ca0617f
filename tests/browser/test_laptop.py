"""A laptop's window, 1280 x 577 inside the browser: what one question needs stands in the notebook together.

All panels stand in one notebook here, as JupyterLab opens it from our launcher, with the list of files closed.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from driver import book_of
from playwright.sync_api import Locator, expect

from herbcalc.show.here import lessons, panels

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / os.environ.get("HERBCALC_PICTURES", ".gallery")
PANELS = [(number, name) for number in lessons() for name in panels(number)]
LAPTOP = {"width": 1280, "height": 577}
MORE_BESIDE = 8  # pixels that side by side may want beyond the window: both jars and both figures are in it

# The parts of one question, where the notebook's window ends, and what is cut off or lies on something else.
TOGETHER = """root => {
    root.scrollIntoView({block: 'start'})
    const part = (name) => [...root.querySelectorAll(name)].find(e => e.getClientRects().length)
    const parts = {
        question: part('.herb-question p'),
        picture: part('.herb-picture svg') || part('.herb-refusal') || part('.herb-unknown'),
        answer: part('.herb-tiles .herb-first'), guesses: part('.herb-bands') || part('.herb-hands'),
        buttons: part('.herb-answer').parentElement, dial: part('.herb-chosen'), names: part('.herb-which'),
    }
    const place = Object.entries(parts).map(([name, e]) => [name, e && e.getBoundingClientRect()])
    const lost = place.filter(([, r]) => !r || !r.height).map(([name]) => name)
    const boxes = place.filter(([, r]) => r && r.height)
    const window = root.closest('.jp-WindowedPanel-outer').getBoundingClientRect()
    const apart = (low, high, a, b) => a[high] < b[low] + 1 || b[high] < a[low] + 1
    const beside = (a, b) => apart('left', 'right', a, b) || apart('top', 'bottom', a, b)
    const crossed = boxes.flatMap(([name, a], n) => boxes.slice(n + 1)
        .filter(([, b]) => !beside(a, b)).map(([other]) => `${name} on ${other}`))
    const end = root.getBoundingClientRect().right
    const cut = [...root.querySelectorAll('.herb-stage :is(p, b, li, button, svg)')]
        .filter(e => e.getClientRects().length && getComputedStyle(e).display !== 'inline')
        .filter(e => e.scrollWidth > e.clientWidth + 2 || e.getBoundingClientRect().right > end)
        .map(e => e.textContent.slice(0, 60))
    const text = root.querySelector('.herb-picture text')
    const top = Math.min(...boxes.map(([, r]) => r.top))
    return {
        lost, crossed, cut, high: Math.max(...boxes.map(([, r]) => r.bottom)) - top,
        room: window.height, top: top - window.top,
        words: text ? parseFloat(getComputedStyle(text).fontSize) * text.ownerSVGElement.getScreenCTM().a : 99,
    }
}"""


def opening(panel: tuple[int, str]) -> str:
    """The cell that opens a panel."""
    number, name = panel
    return f'lesson({number}).panel("{name}")' if name else f"lesson({number}).panel()"


@pytest.fixture
def live(lesson, page, workbook):
    """A notebook with the panels of all lessons, run."""
    page.set_viewport_size(LAPTOP)
    opens = ["from herbcalc.show import lesson", *map(opening, PANELS)]
    book_of(workbook.home / "workbook" / "all_panels.ipynb", *opens)
    opened = lesson("workbook/all_panels.ipynb")
    opened.run_all()
    return opened


def look(panel: Locator, more: float = 0) -> float:
    """All parts are there, none on another, none cut, in one window; gives the height that they take."""
    seen = panel.evaluate(TOGETHER)
    assert not seen["lost"], seen
    assert not seen["crossed"], seen
    assert not seen["cut"], seen
    assert seen["words"] >= 11, seen
    assert seen["high"] + max(seen["top"], 0) <= seen["room"] + more, seen
    return seen["high"]


def test_a_question_fits_a_laptop(live, page):
    """Every lesson's first scene, before and after Show me, with a guess of one's own; then beside the next scene."""
    highest = {"before": 0.0, "after": 0.0, "beside": 0.0}
    for one in PANELS:
        number = f"{one[0]:02d}{one[1]}"
        panel = live.below(opening(one)).locator(".herb-panel")
        highest["before"] = max(highest["before"], look(panel))
        panel.locator(".herb-hands button").nth(1).click()
        expect(panel.locator(".herb-mine")).to_have_count(1)
        look(panel)
        live.picture(PICTURES / f"laptop/{number}_before.png")
        panel.get_by_role("button", name="Show me").click()
        expect(panel.get_by_text("You guessed")).to_be_visible()
        highest["after"] = max(highest["after"], look(panel))
        live.picture(PICTURES / f"laptop/{number}_after.png")
        panel.get_by_role("button", name="Pin this as A").click()
        panel.get_by_role("button", name="Next:").click()
        panel.get_by_role("button", name="Show me").click()
        expect(panel.locator(".herb-side svg")).to_have_count(3)
        highest["beside"] = max(highest["beside"], look(panel, MORE_BESIDE))
        live.picture(PICTURES / f"laptop/{number}_beside.png")
    print(f"highest, of {panel.evaluate(TOGETHER)['room']:.0f} pixels: {highest}")
