"""Every panel of the workbook, all in one notebook: on a laptop, by keyboard alone, each scene on one screen.

To open a notebook takes longer than to look at its panel, so that all are opened once; a further lesson costs the
few seconds of the looks. With HERBCALC_PICTURES=.gallery pictures of all are kept, for people to look at; those that
the README shows were made with HERBCALC_PICTURES=workbook/pictures.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import PROJECTOR, Workbook
from driver import Lesson, announced, book_of, in_turn
from playwright.sync_api import ElementHandle, Locator, Page, expect

from herbcalc.show.here import lessons, panels

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / os.environ.get("HERBCALC_PICTURES", ".gallery")
PANELS = [(number, name) for number in lessons() for name in panels(number)]
BOOK = "workbook/all_panels.ipynb"
LAPTOP = {"width": 1280, "height": 577}  # a laptop's window, inside the browser
LARGE = {"width": 1920, "height": 1080}
MORE_BESIDE = 8  # pixels that side by side may want beyond a laptop's window: both jars and both figures are in it
ENTER = "Show view: fill the screen"

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


# Looked at in the page until all of the loop is there, for five seconds at most: to ask for one thing after the other
# from outside costs many times the look. Which scene it is, whether the answer is told, where each part stands and
# whether all of it is on the screen; the widest letter height of any words.
SEEN = """async (root, {shown, scene, select}) => {
    const visible = (e) => e.getClientRects().length
    const part = (name) => [...root.querySelectorAll(name)].find(visible)
    const all = (name) => [...root.querySelectorAll('.herb-stage ' + name)].filter(visible)
    const inside = (e) => {
        const r = e.getBoundingClientRect()
        return r.left >= -1 && r.top >= -1 && r.right <= innerWidth + 1 && r.bottom <= innerHeight + 1
    }
    const size = (e) => parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement?.getScreenCTM().a || 1)
    const asks = (e) => e.textContent.includes('?')
    const parts = () => {
        const picture = part('.herb-picture svg') || part('.herb-refusal') || part('.herb-unknown')
        return {
            question: part('.herb-question p'), picture, answer: part('.herb-tiles .herb-first b'),
            button: part('.herb-answer'), guesses: part('.herb-bands') || part('.herb-hands'),
            dial: part('.herb-chosen input, .herb-chosen .noUi-handle'),
        }
    }
    const missing = () => {
        const first = root.querySelector('.herb-tiles .herb-first b, .herb-unknown')
        const marks = [...root.querySelectorAll('.herb-picture text')].some(asks)
        const asked = root.querySelectorAll('.herb-answer.herb-asking').length
        const lost = Object.entries(parts()).filter(([, e]) => !e || !inside(e)).map(([name]) => name)
        if (scene && !select.value.startsWith(`${scene} of `)) lost.push(`scene ${scene}, there is ${select.value}`)
        if (asked !== (shown ? 0 : 1)) lost.push(`the button's other words (${asked})`)
        if (!first || asks(first) === shown) lost.push(shown ? 'the answer' : 'its question mark')
        if (shown ? marks : !marks && !root.querySelector('.herb-unknown')) lost.push('a mark in the picture')
        return lost
    }
    const until = performance.now() + 5000
    // Not oftener: each look has the browser lay the page out, while Python's messages are still coming in.
    while (missing().length && performance.now() < until) await new Promise(done => setTimeout(done, 60))
    const {picture, answer} = parts()
    const stage = root.querySelector('.herb-stage')
    const typed = [...root.querySelectorAll('.herb-chosen .herb-twin input')].filter(visible)
    const words = [...all('p'), ...all('b'), ...all('span'), ...all('text')].filter(e => e.textContent.trim())
    return {
        lost: missing(),
        wide: [...all('li'), ...all('svg')].filter(e => !inside(e)).map(e => e.textContent.slice(0, 60)),
        cut: [...all('p'), ...all('b'), ...all('li'), ...all('button')]
            .filter(e => !e.closest('.herb-side > p') && getComputedStyle(e).display !== 'inline')
            .concat(typed).filter(e => e.scrollWidth > e.clientWidth + 2)
            .map(e => (e.value || e.textContent).slice(0, 60)),
        scrolls: stage.scrollHeight > stage.clientHeight + 1,
        answer: answer ? size(answer) : 0,
        largest: Math.max(...words.map(size)),
        high: picture ? picture.getBoundingClientRect().height : 0,
        refused: Boolean(root.querySelector('.herb-refusal')),
        over: picture ? picture.scrollHeight - picture.clientHeight : 0,
    }
}"""


def opening(number: int, which: str) -> str:
    """The cell that opens a panel."""
    return f'lesson({number}).panel("{which}")' if which else f"lesson({number}).panel()"


@pytest.fixture
def live(opened: Callable[[str], Lesson], workbook: Workbook) -> Lesson:
    """A notebook with the panels of all lessons, run."""
    book = workbook.home / BOOK
    if not book.exists():
        book_of(book, "from herbcalc.show import lesson", *(opening(*one) for one in PANELS))
    return opened(BOOK)


def called(number: int, which: str) -> str:
    """What the pictures of a panel are called."""
    return f"{number:02d}{which}"


NAMES = [called(*one) for one in PANELS]


def panel_of(live: Lesson, name: str) -> Locator:
    return live.below(opening(int(name[:2]), name[2:])).locator(".herb-panel")


@pytest.fixture
def panel(live: Lesson, name: str) -> Locator:
    """The panel, at its first question and by itself."""
    found = panel_of(live, name)
    if (alone := found.get_by_role("button", name="Let A go")).is_visible():
        live.press(alone, "Enter")
    live.press(found.get_by_role("button", name="Back to the start"), "Enter")
    expect(found.locator(".herb-answer.herb-asking")).to_have_count(1)
    return found


def fits(panel: Locator, more: float = 0) -> float:
    """All parts are there, none on another, none cut, in one window; gives the height that they take."""
    seen = panel.evaluate(TOGETHER)
    assert not seen["lost"], seen
    assert not seen["crossed"], seen
    assert not seen["cut"], seen
    assert seen["words"] >= 11, seen
    assert seen["high"] + max(seen["top"], 0) <= seen["room"] + more, seen
    return seen["high"]


@pytest.mark.parametrize("name", NAMES)
def test_a_question_fits_a_laptop(live: Lesson, panel: Locator, name: str) -> None:
    """The first scene, before and after Show me, with a guess of one's own; then beside the next scene."""
    live.page.set_viewport_size(LAPTOP)
    high = {"before": fits(panel)}
    panel.locator(".herb-hands button").nth(1).click()
    expect(panel.locator(".herb-mine")).to_have_count(1)
    fits(panel)
    live.picture(PICTURES / f"laptop/{name}_before.png")
    panel.get_by_role("button", name="Show me").click()
    expect(panel.get_by_text("You guessed")).to_be_visible()
    high["after"] = fits(panel)
    live.picture(PICTURES / f"laptop/{name}_after.png")
    panel.get_by_role("button", name="Pin this as A").click()
    panel.get_by_role("button", name="Next:").click()
    panel.get_by_role("button", name="Show me").click()
    expect(panel.locator(".herb-side svg")).to_have_count(3)
    high["beside"] = fits(panel, MORE_BESIDE)
    live.picture(PICTURES / f"laptop/{name}_beside.png")
    print(f"high, of {panel.evaluate(TOGETHER)['room']:.0f} pixels: {high}")


@pytest.mark.parametrize("name", in_turn(["03", "05", "07", "08"], 1))
def test_how_sure_stands_below_the_answer(live: Lesson, panel: Locator, name: str) -> None:
    """Asked for where the other switches are, or by S in the show view: one line, spoken, and the picture stays."""
    page, line = live.page, panel.locator(".herb-sure")
    page.set_viewport_size(LAPTOP)
    panel.get_by_role("button", name="More ways to look").click()
    panel.get_by_role("radio", name="one line below the figure").click()
    panel.get_by_role("button", name="Fewer ways to look").click()
    if not panel.locator(".herb-mine").count():  # the sentence on a guess of one's own takes room too
        panel.locator(".herb-hands button").nth(1).click()
    panel.get_by_role("button", name="Show me").click()
    expect(panel.get_by_role("status").filter(has_text="19 times in 20")).to_be_visible()
    expect(panel.get_by_text("You guessed")).to_be_visible()
    fits(panel)
    live.picture(PICTURES / f"laptop/{name}_sure.png")
    page.set_viewport_size(PROJECTOR)
    live.press(panel.get_by_role("button", name=ENTER), "Enter")
    expect(root(page)).to_be_visible()
    look(page, shown=True)
    live.picture(PICTURES / f"{name}_sure.png")
    page.keyboard.press("a")
    for _ in range(4 if name == "05" else 2):  # the third scene there has most to say
        page.keyboard.press("PageDown")
    expect(line).to_contain_text("A: 19 times in 20")
    look(page, shown=True)
    live.picture(PICTURES / f"{name}_sure_beside.png")
    page.keyboard.press("s")
    expect(line).not_to_contain_text("19 times")
    page.keyboard.press("Escape")
    expect(root(page)).to_have_count(0)


def names(place: Locator, role: str) -> list[str]:
    """Role and name of all visible controls of one kind, in the order of the page."""
    said = place.aria_snapshot().splitlines()
    return [one for line in said if (one := announced(line)).startswith(f"{role} ")]


@pytest.mark.parametrize("name", in_turn(NAMES, 0))
def test_a_panel_by_keyboard_alone(live: Lesson, panel: Locator, name: str) -> None:
    """Tab reaches every control and each has a name; a slider, Next and back; the show view in and out."""
    show = panel.get_by_role("button", name="Show me")
    live.press(show, "Enter")
    hide = panel.get_by_role("button", name="Hide the answer")
    expect(hide).to_be_focused()

    reached = live.tab_through(hide, panel)
    for role in ("button", "slider", "textbox", "combobox"):
        assert sorted(names(panel, role)) == sorted(one for one in reached if one.startswith(f"{role} ")), role
    assert all('"' in one for one in reached), f"something without a name: {reached}"

    told = panel.get_by_role("status").filter(has_text=re.compile(r"\d"))
    told.scroll_into_view_if_needed()
    expect(told).to_be_visible()
    before = told.inner_text()
    live.press(panel.get_by_role("slider").first, "ArrowRight")
    live.until_changed(told, before)
    live.press(panel.get_by_role("button", name="Next:"), "Enter")
    live.press(panel.get_by_role("button", name="Back to the start"), "Enter")
    live.press(show, "Enter")
    expect(told).to_have_text(before)

    # The show view, as on a projector: in by Enter, out by Esc.
    enter = panel.get_by_role("button", name=ENTER)
    live.press(enter, "Enter")
    expect(panel.get_by_role("button", name="Leave the show view (Esc)")).to_be_attached()
    live.picture(PICTURES / f"{name}.png")
    live.page.keyboard.press("Escape")
    expect(enter).to_be_attached()


# Press a button of these words in every panel, as quick as Python takes it.
PRESSED = """(panels, words) => panels.forEach(panel =>
    [...panel.querySelectorAll('button')].filter(e => e.textContent.startsWith(words)).forEach(e => e.click()))"""


def test_axe_finds_nothing_in_any_panel(live: Lesson) -> None:
    """With the answers shown and every way to look unfolded; then the show view, which is the same for all."""
    panels, dark = live.page.locator(".herb-panel"), live.page.get_by_role("radio", name="dark")
    expect(panels).to_have_count(len(NAMES))
    for words in ("Show me", "More ways to look"):
        panels.evaluate_all(PRESSED, words)
    expect(dark).to_have_count(len(NAMES))
    expect(live.page.locator(".herb-answer.herb-asking")).to_have_count(0)
    live.assert_open_to_all(".herb-panel")
    live.press(panels.last.get_by_role("button", name=ENTER), "Enter")
    expect(root(live.page)).to_be_visible()
    live.assert_open_to_all(panels.last)
    live.page.keyboard.press("Escape")
    expect(root(live.page)).to_have_count(0)
    panels.evaluate_all(PRESSED, "Fewer ways")
    expect(dark).to_have_count(0)


# --- the scenes, as a teacher shows them ---


def root(page: Page) -> Locator:
    return page.locator(".herb-panel:fullscreen")


def look(page: Page, shown: bool, scene: int = 0, select: ElementHandle | None = None) -> None:
    """Everything of the loop is in view together, and the answer is the largest thing that is said.

    scene: the number that the box of scenes (`select`) is to show; 0 asks for none.
    """
    seen = root(page).evaluate(SEEN, {"shown": shown, "scene": scene, "select": select})
    assert not seen["lost"], seen
    assert not seen["cut"], seen
    assert not seen["wide"], seen
    assert not seen["scrolls"], seen
    assert not seen["refused"] or seen["over"] <= 1, "a refusal stands whole, with its ways out"
    if shown and not seen["refused"]:
        assert seen["answer"] >= seen["largest"] - 0.5, seen
        assert seen["high"] > 0.15 * page.viewport_size["height"], seen


@pytest.mark.parametrize("name", in_turn(NAMES, 1))
def test_every_scene_is_one_screen(live: Lesson, panel: Locator, name: str) -> None:
    """Alone and beside the first scene, before and after, on a poor projector's picture and on a good one's."""
    page = live.page
    scenes = panel.get_by_role("combobox", name="Scene")
    count, box = scenes.locator("option").count(), scenes.element_handle()
    live.press(panel.get_by_role("button", name=ENTER), "Enter")
    expect(root(page)).to_be_visible()
    for beside in (False, True):
        for scene in range(1, count + 1):
            look(page, False, scene, box)
            kind = "beside" if beside else "alone"
            picture = f"scenes/{name}_{scene}_{kind}"
            if not beside:
                live.picture(PICTURES / f"{picture}_before.png")
            page.keyboard.press("PageDown")
            look(page, shown=True)
            live.picture(PICTURES / f"{picture}.png")
            if scene in (1, count):
                page.set_viewport_size(LARGE)
                look(page, shown=True)
                live.picture(PICTURES / f"{picture}_1920.png")
                page.set_viewport_size(PROJECTOR)
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
    page.keyboard.press("Escape")
    expect(root(page)).to_have_count(0)
