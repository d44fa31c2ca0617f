"""By keyboard alone in a Firefox: a lesson from Run All to a full screen, lent and refused, and the site."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import firefox
import pytest
from conftest import Workbook, at_work

from herbcalc import site
from tests.lacking import missing

ROOT = Path(__file__).resolve().parents[2]
LESSON = "workbook/05_plant_water.ipynb"
COPY = "workbook/05_in_firefox.ipynb"
IDLE = """() => document.querySelector('.jp-Notebook-ExecutionIndicator[data-status="idle"]')"""
CHOSEN = """() => document.querySelector('.lm-Menu-item.lm-mod-active')?.textContent"""
SAID = """() => document.querySelector('.herb-say').textContent"""
VALUE = """node => [node.ariaValueNow, document.activeElement === node]"""
# The panel, where the browser has laid it over all else; how much of the window it takes.
FILLING = """kind => {
    const panel = document.querySelector(`.herb-panel${kind}`)
    const room = panel && Math.min(panel.clientWidth / innerWidth, panel.clientHeight / innerHeight)
    return panel && [room, document.activeElement === panel]
}"""
NO_SCREEN = "() => { Element.prototype.requestFullscreen = () => Promise.reject(new TypeError('not lent')) }"

# A notebook in small, that does with its focus what JupyterLab's does: it hands it on to the chosen cell when that
# one is drawn. Our script for the page is put to it. Gives what has the focus then, where it had gone on to a slider
# in between, and where it had not.
LATE = """async () => {
    const plugins = (await globalThis._JUPYTERLAB.herbcalc.get())().default
    const page = plugins.find(one => one.id === 'herbcalc:page')
    const place = document.body.appendChild(document.createElement('div'))
    const inner = '<div tabindex="-1" class="cell"><input class="slider"></div>'
    place.innerHTML = `<div tabindex="-1" class="notebook">${inner}</div>`
    const [node, cell, slider] = ['.notebook', '.cell', '.slider'].map(name => place.querySelector(name))
    const content = {node, activeCellChanged: {connect: () => {}}, setMode: () => {}}
    page.activate(null, {widgetAdded: {connect: added => added(null, {content})}})
    node.addEventListener('focusin', ({target}) => {
        if (target === node) content.activeCell.ready.then(() => content.activeCell.node.focus())
    })
    const had = []
    for (const goOn of [() => slider.focus(), () => {}]) {
        document.activeElement.blur()
        let drawn
        content.activeCell = {node: cell, ready: new Promise(done => { drawn = done })}
        node.focus()
        goOn()
        drawn()
        await new Promise(requestAnimationFrame)
        had.push(document.activeElement.className)
    }
    place.remove()
    return had
}"""


# What the page looks like, for whom a test failed.
STATE = """() => ({
    kernel: [...document.querySelectorAll('.jp-Notebook-ExecutionIndicator')].map(one => one.dataset.status),
    waking: [...document.querySelectorAll('.herb-waking')].map(one => one.textContent),
    boxes: [...document.querySelectorAll('.jp-Dialog')].map(one => one.textContent),
    prompts: [...document.querySelectorAll('.jp-InputPrompt')].map(one => one.textContent).join(''),
    first: document.querySelector('.jp-OutputArea-output')?.textContent.slice(0, 200),
    focus: document.activeElement?.outerHTML.slice(0, 200),
})"""
BEGUN = "() => document.querySelector('.jp-Notebook').textContent.includes('Lesson 5 is ready')"
TO_THE_END = """() => {
    const outer = document.querySelector('.jp-WindowedPanel-outer')
    outer.scrollTop = outer.scrollHeight
    return document.querySelector('.jp-Notebook').textContent.includes('Back to start')
}"""


@pytest.fixture
def opened(tmp_path: Path, workbook: Workbook) -> Iterator[firefox.Firefox]:
    """Lesson 5 in a Firefox, under a name of its own: no kernel that a test before has left."""
    if not firefox.program():
        missing("no Firefox was found")
    shutil.copy(ROOT / LESSON, workbook.home / COPY)
    address = f"{workbook.root}/lab/workspaces/firefox/tree/{COPY}?token={workbook.token}"
    with firefox.opened(tmp_path / "firefox", address) as fox:
        yield fox


def run_all(fox: firefox.Firefox) -> None:
    """Run > Run All Cells by keyboard, and again where nothing began, as in driver.Lesson.run_all."""
    fox.wait(IDLE)
    for _ in range(3):
        choose_run_all(fox)
        with suppress(AssertionError):
            fox.wait(BEGUN, patience=30)
            return
    raise AssertionError(f"Run All Cells was chosen three times, and no cell began to run: {fox.evaluate(STATE)}")


def choose_run_all(fox: firefox.Firefox) -> None:
    """Into the menu bar, down to the line, Enter.

    The lines of the menu wake up a moment after the page is there; until then none can be chosen.
    """
    for _ in range(20):
        fox.focus(fox.find("menuitem", "Run"))
        fox.press("Enter")
        for _ in range(12):
            fox.press("ArrowDown")
            if "Run All Cells" in (fox.evaluate(CHOSEN) or ""):
                fox.press("Enter")
                return
        fox.press("Escape")
    raise AssertionError("Run All Cells could not be chosen")


def press_and_see(fox: firefox.Firefox, water: dict[str, str], **moves: int) -> None:
    """Press keys on the slider, each once the sentence says what the one before has done; it keeps the focus."""
    for key, stands in moves.items():
        fox.press(key)
        fox.wait(f"() => ({SAID})().includes('{stands} % water')")
    assert fox.evaluate(VALUE, water) == [f"{stands:.1f}", True]


def test_a_lesson_by_keyboard(opened: firefox.Firefox) -> None:
    """A slider keeps every arrow key, also once what came below has been drawn; the show view fills the window."""
    fox = opened
    run_all(fox)
    fox.focus(fox.find("button", "Show me"))
    fox.press("Enter")
    fox.wait(f"() => ({SAID})().includes('29.1 % vol')")
    water = fox.find("slider", "Water in the plant (%)")
    fox.focus(water)
    fox.press("ArrowLeft", "ArrowLeft", "ArrowUp")
    fox.wait(f"() => ({SAID})().includes('74 % water')")
    fox.wait(TO_THE_END)  # what is far below is drawn when it comes near, or when the page finds the time
    fox.evaluate("node => node.scrollIntoView({behavior: 'instant', block: 'center'})", water)
    fox.wait(IDLE)
    press_and_see(fox, water, ArrowLeft=73, ArrowUp=74, ArrowDown=73)
    assert not fox.evaluate("() => document.querySelector('.jp-FileBrowser').getClientRects().length"), (
        "closed at start"
    )

    for kind in (":fullscreen", ":popover-open"):
        fox.focus(fox.find("button", "Show view: fill the screen"))
        fox.press("Enter")
        room, focused = fox.wait(FILLING, kind)
        assert room > 0.99, kind
        assert focused, kind
        fox.find("button", "Leave the show view (Esc)")
        question = fox.evaluate("() => document.querySelector('.herb-question').textContent")
        fox.press("PageDown")  # the answer shows already: the next question
        fox.wait("before => document.querySelector('.herb-question').textContent !== before", question)
        fox.press("PageDown")
        fox.find("button", "Hide the answer")
        fox.press("Escape")
        fox.wait(f"kind => !({FILLING})(kind)", kind)
        fox.evaluate(NO_SCREEN)

    assert fox.evaluate(LATE) == ["slider", "cell"]


def test_the_site_by_keyboard(folder: Path, tmp_path: Path) -> None:
    """Run All is chosen before there is any Python; a dial answers each arrow key and keeps the focus."""
    if not firefox.program():
        missing("no Firefox was found")
    with at_work(site.server(folder, 0)) as address:
        lesson = f"{address}/lab/index.html?path={LESSON}"
        with firefox.opened(tmp_path / "firefox", lesson) as fox:
            fox.wait("() => document.querySelectorAll('.jp-Notebook .jp-CodeCell').length > 1")
            choose_run_all(fox)
            fox.focus(fox.find("button", "Show me"))
            fox.press("Enter")
            fox.wait(f"() => ({SAID})().includes('29.1 % vol')")
            water = fox.find("slider", "Water in the plant (%)")
            fox.focus(water)
            press_and_see(fox, water, ArrowLeft=74, ArrowUp=75, ArrowDown=74)
