"""Homework on paper, printed by a real Chromium: nothing cut, nobody's sheets on one page, large print that is large.

No notebook is opened here. What is seen goes to `.gallery/` where pictures are asked for (see test_every_lesson.py).
"""

from __future__ import annotations

import datetime
import json
import os
import re
from pathlib import Path

import pytest
from conftest import new_context
from playwright.sync_api import Browser

from herbcalc import homework
from herbcalc.batch import Order, walk_back
from herbcalc.run import looking, printing, ready
from herbcalc.show import sheets
from herbcalc.show.sheets import batch_page
from herbcalc.units import Q
from tests.homework.a_class import eighteen

MM = 96 / 25.4
PAPERS = {"A4": (210, 297), "letter": (215.9, 279.4)}
MARGINS = {"sheet": (14, 9), "key": (11, 9)}  # as in sheets.css, mm at the side and at the top
# What sticks out of the paper's width, which question is higher than a page, the smallest letters in points.
SEEN = """high => {
    const out = (e) => {
        const r = e.getBoundingClientRect()
        return r.width && (r.right > innerWidth + 1 || r.left < -1 || e.scrollWidth > e.clientWidth + 2)
    }
    const size = (e) => parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement?.getScreenCTM().a || 1)
    const all = (name) => [...document.querySelectorAll(name)]
    const least = (name) => Math.min(...all(name).filter(e => e.textContent.trim()).map(size)) * 0.75
    return {
        wide: all('h1, h2, p, li, article, .herb-work, .herb-given, .herb-line, text')
            .filter(e => e.ownerSVGElement ? e.getBoundingClientRect().right > innerWidth + 1 : out(e))
            .map(e => e.textContent.slice(0, 60)),
        high: all('article').filter(e => e.getBoundingClientRect().height > high)
            .map(e => `${e.textContent.slice(0, 30)}: ${e.getBoundingClientRect().height}`),
        words: least('h1, h2, h3, h3 span, p, li, b'),
        drawn: least('text, p'),
    }
}"""


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


@pytest.fixture(scope="module")
def drawn() -> dict[str, str]:
    """Every question of one student, as a sheet, in large print, and as a key."""
    items = [homework.item(*code, "fern7", 7) for code in homework.items()]
    return {
        "sheet": sheets.students_page("Homework", [sheets.sheet(items)]),
        "large": sheets.students_page("Homework", [sheets.sheet(items, large=True)], large=True),
        "key": sheets.key_page("Key", [sheets.answers(items)]),
    }


def test_nothing_is_cut_on_either_paper(chromium: Browser, drawn: dict[str, str]) -> None:
    context = new_context(chromium)
    page = context.new_page()
    page.emulate_media(media="print")
    smallest = {}
    for kind, html in drawn.items():
        page.set_content(html)
        side, top = MARGINS["key" if kind == "key" else "sheet"]
        for wide, high in PAPERS.values():
            page.set_viewport_size({"width": int((wide - 2 * side) * MM), "height": 900})
            seen = page.evaluate(SEEN, (high - 2 * top) * MM)
            assert not seen["wide"], kind
            assert not seen["high"], (kind, high)
            smallest[kind] = (seen["words"], seen["drawn"])
    context.close()
    words, pictures = smallest["large"]  # points; the words inside a bar are smaller than all others
    assert words >= 17.9
    assert pictures >= 13.8
    assert min(smallest["sheet"]) >= 7
    assert min(smallest["key"]) >= 6.8


def test_each_student_has_pages_of_their_own(chromium: Browser, tmp_path: Path) -> None:
    """Printed as the command prints."""
    one, two = ([homework.item(5, n, "fern7", number) for n in homework.order(5)] for number in (1, 2))

    def printed(name: str, page: str, paper: str) -> int:
        made = printing.pdf(ready.chromium(), sheets.for_paper(page, paper), tmp_path)
        if os.environ.get("HERBCALC_PICTURES"):
            Path(os.environ["HERBCALC_PICTURES"], f"sheets-{name}-{paper}.pdf").write_bytes(made)
        return pages(made)

    first, both = ([sheets.sheet(items) for items in some] for some in ([one], [one, two]))
    alone = printed("one", sheets.students_page("Homework", first), "A4")
    assert 2 <= alone <= 4
    assert printed("two", sheets.students_page("Homework", both), "A4") == 2 * alone
    assert printed("large", sheets.students_page("Homework", [sheets.sheet(one, True)], True), "letter") > alone
    assert printed("key", sheets.key_page("Key", [sheets.answers(one), sheets.answers(two)]), "letter") == 2
    assert not list(tmp_path.iterdir())


def _orders() -> list[Order]:
    """Dried, fresh, wilted, soaked, dripped; the smallest and the largest; each line that a page may have."""
    wild = {"per_plant": Q(20, "g"), "stand": 10**7, "share": 0.3}
    strong, wet = Q(96, "percent_vol"), Q(95, "percent_wb")
    large = Order(1000, Q(1, "L"), spirit=strong, ratio=Q(10, "mL/g"), water=wet, convention="dry", **wild)
    return [
        Order(20, Q(50, "mL")),
        Order(20, Q(50, "mL"), method="drip", convention="finished"),
        Order(1, Q(5, "mL"), "fresh"),
        large,
        Order(1000, Q(1, "L"), "fresh", spirit=strong, water=wet, ratio=Q(33, "mL/g"), convention="dry", **wild),
        Order(999, Q(1, "L"), "fresh", spirit=strong, water=wet, wilted=Q(77, "percent_wb"), **wild),
    ]


def test_a_batch_is_one_page_on_either_paper(tmp_path: Path) -> None:
    """All of them in one file, each on a page of its own: one that spills would make a page more."""
    name = "Elecampane root from the third bed behind the old mill at Alder Lane, second dig (invented)"
    day = datetime.date(2026, 9, 28)
    pages_of = [batch_page.page(walk_back(order), day, name=name) for order in _orders()]
    bodies = [re.search("<section.*</section>", page, re.DOTALL)[0] for page in pages_of]
    sections = "".join(f'<div style="break-before:page">{body}</div>' for body in bodies)
    whole = re.sub("<section.*</section>", lambda _: sections, pages_of[0], flags=re.DOTALL)
    for paper in PAPERS:
        made = printing.pdf(ready.chromium(), sheets.for_paper(whole, paper), tmp_path)
        if os.environ.get("HERBCALC_PICTURES"):
            Path(os.environ["HERBCALC_PICTURES"], f"batch-{paper}.pdf").write_bytes(made)
        assert pages(made) == len(pages_of), paper


def test_the_overview_is_read_on_a_screen_and_printed(chromium: Browser, axe: str, tmp_path: Path) -> None:
    """By someone with a small screen, by someone who listens, and on both papers, with all lessons in its table."""
    folder = tmp_path / "a <b>class & more"
    for hand in eighteen():
        for lesson, number in homework.items():
            hand.types(f"{lesson}.{number}", "1 %", sure="sure" if number == 2 else "fairly")
        hand.lay(folder)
    (folder / "photo.png").write_bytes(b"\x89PNG\0\0")
    assert looking.carry_out(folder, tmp_path) == 0
    context = new_context(chromium)
    page = context.new_page()
    for path in sorted(tmp_path.glob("*.html")):
        page.goto(path.as_uri())
        page.evaluate(axe)
        found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")["violations"]
        assert not found, (path.name, json.dumps(found, indent=1)[:2000])
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path.name
    page.goto(next(tmp_path.glob("overview*")).as_uri())
    first = page.get_by_role("heading", name="Teach again first")
    assert first.bounding_box()["y"] < 300, "what to teach again is in view when the page opens"
    assert page.get_by_role("row").count() == 18
    page.emulate_media(media="print")
    for wide, _ in PAPERS.values():
        page.set_viewport_size({"width": int((wide - 24) * MM), "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert page.evaluate("[...document.querySelectorAll('table')].every(t => t.offsetWidth <= innerWidth)")
    if os.environ.get("HERBCALC_PICTURES"):
        page.screenshot(path=str(Path(os.environ["HERBCALC_PICTURES"], "overview.png")), full_page=True)
    context.close()
