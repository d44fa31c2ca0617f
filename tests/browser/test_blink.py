"""From a key to the changed picture, in a real browser: measured by itself, with nothing else at work."""

from __future__ import annotations

import re
import statistics
import time

import pytest
from playwright.sync_api import expect

MOVES = 20
BLINK, LONGEST = 80, 200  # ms from a key to the changed picture: the middle one of twenty, and the longest


@pytest.fixture
def live(opened):
    """The lesson at its first question, opened and run once for both."""
    lesson = opened("workbook/05_plant_water.ipynb")
    lesson.press(lesson.below("here.panel()").get_by_role("button", name="Back to the start"), "Enter")
    return lesson


@pytest.mark.parametrize("beside", [False, True], ids=["alone", "side by side"])
def test_a_move_shows_within_a_blink(live, record_property, beside):
    """From the key to the changed picture, measured in the page itself, over twenty moves."""
    panel = live.below("here.panel()")
    live.press(panel.get_by_role("button", name="Show me"), "Enter")
    told = panel.get_by_role("status").filter(has_text=re.compile(r"\d"))
    expect(told).to_contain_text("29.1 % vol")
    if beside:
        live.press(panel.get_by_role("button", name="Pin this as A"), "Enter")
        expect(panel.get_by_role("button", name="Let A go")).to_be_visible()
    water = panel.get_by_role("slider", name="Water in the plant")
    water.focus()
    took = []
    for move in range(MOVES + 2):  # the first two warm up what is drawn for the first time
        took.append(
            panel.evaluate(
                """(root, key) => new Promise(done => {
                    const words = () => [...root.querySelectorAll('[role=img]')].map(x => x.ariaLabel).join()
                    const before = words(), begun = performance.now()
                    new MutationObserver((_, me) => {
                        if (words() && words() !== before) { me.disconnect(); done(performance.now() - begun) }
                    }).observe(root, {subtree: true, childList: true, attributes: true})
                    document.activeElement.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}))
                })""",
                "ArrowLeft" if move < MOVES // 2 else "ArrowRight",
            )
        )
        time.sleep(0.1)
    took = took[2:]
    middle, how = statistics.median(took), "side by side" if beside else "alone"
    record_property(f"slider_to_picture_ms_{how}", round(middle))
    print(f"slider to picture, {how}: median {middle:.0f} ms over {MOVES} moves, longest {max(took):.0f} ms")
    assert middle < BLINK
    assert max(took) < LONGEST
