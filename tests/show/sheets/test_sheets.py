"""Homework on paper: the figures of the screen, well-formed pages without scripts, a key that stands apart."""

import re
from html import unescape
from xml.etree import ElementTree

import pytest

from herbcalc import homework
from herbcalc.homework import draws, key
from herbcalc.show import given, question, sheets

CODES = homework.items()
CLASSES = ("practice", "fern7", "Alder Lane 2", "ÉTÉ-23", "中級8")
RUNS_OR_FETCHES = ("script", "iframe", "object", "embed", "link", "img", "foreignObject")
AT_A_SCREEN = re.compile(r"\b(type|click|button|screen|before you check)\b", re.IGNORECASE)


def seat(class_code, number, codes=CODES):
    return [homework.item(*code, class_code, number) for code in codes]


@pytest.fixture(scope="module")
def one():
    """All questions of one student, with the sheet, the same in large print, and the key."""
    items = seat("Fern 7", 7)
    return items, sheets.sheet(items), sheets.sheet(items, large=True), sheets.answers(items)


def words(html):
    return " ".join(unescape(re.sub(r"<style.*?</style>|<[^>]+>", " ", html, flags=re.DOTALL)).split())


def whole(page):
    """The page as a tree: what is not well-formed does not come through."""
    return ElementTree.fromstring(page.partition("\n")[2])


@pytest.mark.parametrize("class_code", CLASSES)
def test_a_sheet_asks_for_what_the_screen_asks_for(class_code):
    """For all 99 numbers: the text on paper is the card's own, so its figures are; drawn anew, they are the same."""
    for number in range(1, 100):
        at = CODES[number % len(CODES)]
        item = homework.item(*at, class_code, number)
        again = homework.item(*at, draws.normal_form(class_code), number)
        assert {n: str(q) for n, q in item.figures.items()} == {n: str(q) for n, q in again.figures.items()}
        on_paper, on_screen = words(question.put(item, on_paper=True)), words(question.put(item))
        assert re.findall(r"\d[\d./,]*", on_paper) == re.findall(r"\d[\d./,]*", on_screen)
        assert re.findall(r"\d[\d./,]*", on_screen) == re.findall(r"\d[\d./,]*", item.prompt)


def test_every_question_stands_whole_on_the_sheet(one):
    items, sheet, large, _ = one
    for html in (sheet, large):
        parts = html.split('<article class="herb-question">')[1:]
        assert [re.match(r"<h3>([\d.]+)", part).group(1) for part in parts] == [item.code for item in items]
        for item, part in zip(items, parts, strict=True):
            said = words(part)
            assert words(question.put(item, on_paper=True)) in said
            assert all(line in said for line in item.choices)
            assert "class fern7, number 7" in said
            assert ("<svg" in part) == (given.picture(item) is not None)
            assert question.label_of(item) in said
            assert all(sure in said for sure in question.SURE)


def test_nobody_is_told_to_type_on_paper(one):
    assert not AT_A_SCREEN.findall(words(one[1]))
    assert AT_A_SCREEN.search(words(question.put(homework.item(8, 8, "fern7", 7))))


def test_each_lesson_begins_with_its_caution(one):
    items, sheet, _, _ = one
    for lesson, _ in sheets._by_lesson(items):
        head = sheet.index(f"<h2>Lesson {lesson.LESSON}: ")
        assert words(sheet[head:].split("<h3>")[0]).endswith(lesson.CAUTION)


def test_the_sheet_gives_no_answer_away(one):
    """Neither the key's words nor a worked line; a figure of the question may be the answer's own."""
    items, sheet, _, _ = one
    said = words(sheet)
    for item in items:
        assert not any(did in said for _, did in key.side_roads(item))
        assert not any(line in said for line in item.worked(4))
        assert not any(point in said for point in item.points)
    assert "For the teacher" not in said


def test_the_key_holds_every_answer_and_side_road(one):
    items, *_, answers = one
    said = words(answers)
    for item in items:
        assert f"{item.code} {' to '.join(key.right(item))}".strip() in said
        assert all(f"{number} {did}" in said for number, did in key.side_roads(item))
        assert all(point in said for point in item.points)
    assert "class fern7, number 7" in said


def test_pages_are_well_formed_and_hold_nothing_that_runs(one):
    _, sheet, large, answers = one
    title = 'class <b>"&'
    pages = (
        sheets.students_page(title, [sheet]),
        sheets.students_page(title, [large], large=True),
        sheets.for_paper(sheets.key_page(title, [answers]), "letter"),
    )
    for page in pages:
        tree = whole(page)
        assert tree.find("head/title").text == title
        for part in tree.iter():
            assert part.tag.split("}")[-1] not in RUNS_OR_FETCHES
            for name, said in part.attrib.items():
                bare = name.split("}")[-1]
                assert bare != "src"
                assert not bare.startswith("on")
                assert bare != "href" or said.startswith("#")  # a mark that the same picture holds
        ids = [part.get("id") for part in tree.iter() if part.get("id")]
        assert len(ids) == len(set(ids))
        assert "@import" not in page
        assert set(re.findall(r"url\(([^)]*)\)", page)) <= {f"#{name}" for name in ids}
    assert "@page{size:letter}" in pages[2]
    assert "@page{size" not in pages[0]


def test_a_text_with_signs_of_html_comes_out_as_text():
    item = homework.item(5, 8, "fern7", 3)
    item.__dict__["prompt"] = '<img src=x onerror=alert(1)> & "more"'
    html = sheets.sheet([item])
    assert "<img" not in html
    assert "&lt;img src=x" in html


def test_patterns_on_paper_are_lines(one):
    """A PDF keeps a filled pattern as an image: ten megabytes for a class, in place of one."""
    assert "<pattern" not in one[1]
    assert "clip-path" in one[1]
    item = homework.item(5, 2, "fern7", 7)
    assert "<pattern" in given.svg(item, given.picture(item))
