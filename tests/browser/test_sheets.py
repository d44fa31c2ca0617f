"""Homework on paper, printed by a real Chromium: nothing cut, nobody's sheets on one page, large print that is large.

No notebook is opened here. What is seen goes to `.gallery/` where pictures are asked for (see test_every_lesson.py).
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from conftest import new_context
from playwright.sync_api import Browser

from herbcalc import homework
from herbcalc.run import printing, ready
from herbcalc.show import sheets

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
