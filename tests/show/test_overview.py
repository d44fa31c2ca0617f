"""The overview's page: what it says of a class of 18 with known slips, and that whatever was typed stays text."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from html import escape, unescape
from itertools import groupby

import pytest

from herbcalc.homework import class_view, item, items, key, progress
from herbcalc.homework.draws import first_mixed_go
from herbcalc.homework.handed_in import Aside
from herbcalc.homework.marking import one_each
from herbcalc.homework.week import Week
from herbcalc.show import class_tables, overview
from herbcalc.show.question import SHAPES
from herbcalc.show.shelf import Book
from tests.homework.a_class import Hand, eighteen, seen

BOOKS = {5: Book(5, "Plant water", "05_plant_water.ipynb", "", {"5.2": "5.2 Final strength"})}


@pytest.fixture(scope="module")
def students(tmp_path_factory):
    folder = tmp_path_factory.mktemp("class")
    for hand in eighteen():
        hand.lay(folder)
    return one_each(seen(folder)[0])[0]


def said(page):
    """A page's words, part by part: heading -> text."""
    body = re.sub(r"(?=<(?:li|p|tr|h4|caption)[ >])", "\n", page.split("<body>")[1])
    parts = re.split(r"<h[23][^>]*>(.*?)</h[23]>", body)
    clean = [unescape(re.sub(r"<[^>]*>", "", part)) for part in parts]
    return dict(zip(clean[1::2], clean[2::2], strict=True))


def test_it_says_what_to_teach_again_with_the_figures_of_each(students):
    page = overview.page([overview.Group("fern7", students)], [], overview.Around(BOOKS, "http://localhost:8888/"))
    parts = said(page)
    first = parts["Teach again first"]
    heads = re.findall(r"\d+ students?, .*?: question .*", first)
    assert heads == [
        "4 students, 2 not there yet: question 5.2, Final strength",
        "3 students, 2 not there yet: question 3.2",
    ]
    assert "1 student, 1 not there yet: question 5.2" in parts["Other side roads"]
    for number in (2, 5, 8, 14):
        one = item(5, 2, "fern7", number)
        line = next(line for line in first.splitlines() if f"Number {number} had" in line)
        assert one.given_figures[0] in line
        assert f'"{one.slip_answers()["m33"]}"' in line
        assert f"right is {' to '.join(key.right(one))}." in line
        assert ("Done by now." in line) == (number in (2, 5))
    assert "lesson 5, scene 1 of 8, Lemon balm in vodka, 1:2" in first
    assert '<a href="http://localhost:8888/05_plant_water.ipynb">lesson 5, scene 1 of 8</a>' in page
    assert "Number 13" not in page
    assert re.findall(r"Number (\d+) had", parts["Sure, and off"]) == ["6", "7", "10"]
    assert "tried by numbers 12, 15, 17." in parts["What nobody could do yet"]
    quiet = parts["Who has gone quiet"]
    assert re.findall(r"Number (\d+)", quiet) == ["4", "11"]
    assert "No file from number 13 (of 1 to 18)" in quiet
    assert parts["What no longer tells anyone apart"].strip().endswith("\n5.1.")
    assert "17 students handed in, 2025-11-09 to 2025-11-20" in parts["Class fern7"]


def test_what_is_set_for_the_week_says_who_has_done_it_and_what_is_left(students):
    of_week = Week(("5.1", "5.2"), "<b>Thursday</b>")
    page = overview.page([overview.Group("fern7", students, week=of_week)], [])
    part = said(page)["Set for the week"]
    assert "For <b>Thursday</b>: 5.1 and 5.2." in part
    assert "<b>Thursday" not in page
    by = {}
    for s in students:
        by.setdefault(tuple(s.states.get(code, progress.NOT_TRIED) for code in of_week.codes), []).append(s.number)
    done = [number for states, numbers in by.items() if {*states} <= {*progress.SOLVED} for number in numbers]
    assert f"All of it is done by numbers {', '.join(map(str, sorted(done)))}." in part
    known = {
        (progress.NOT_TRIED, progress.NOT_TRIED): "5.1 and 5.2 not tried",
        (progress.DONE, progress.NOT_TRIED): "5.2 not tried",
        (progress.DONE, progress.NOT_YET): "5.2 tried, not yet right",
    }
    for states, what in known.items():
        assert f"Numbers {', '.join(map(str, by[states]))}: {what}." in part
    named = [number for some in re.findall(r"umbers? (\d+(?:, \d+)*)[:.]", part) for number in some.split(", ")]
    assert sorted(map(int, named)) == sorted(s.number for s in students), "each stands in one line"
    assert "Set for the week" not in said(overview.page([overview.Group("fern7", students)], []))


def test_what_was_mended_long_ago_stands_back(tmp_path):
    """A file holds the whole course: four who went on from a side road come after two who have not."""
    for number in range(1, 7):
        hand = Hand(number)
        if number > 4:
            hand.slips("5.2", "m33")
        else:
            hand.slips("3.2", "m02").right("3.2").slips("3.3", "m07").right("3.3").slips("3.1", "m11").right("3.1")
            hand.slips("4.1", "m19").right("4.1")
        hand.lay(tmp_path)
    parts = said(overview.page([overview.Group("fern7", seen(tmp_path)[0])], []))
    assert re.findall(r"question ([\d.]+)", parts["Teach again first"]) == ["5.2", "3.1", "3.2"]
    assert re.findall(r"([\d.]+): somebody", parts["Other side roads"]) == ["3.3", "4.1"]
    assert "numbers 1, 2, 3, 4, done by now." in parts["Other side roads"]


def test_a_slip_that_came_back_when_its_question_did_is_not_done_by_now(tmp_path):
    """1 had done it and took the road again in a round, 2 took it until a round was right, 3 played after one."""
    again = first_mixed_go(7)
    Hand(1).slips("5.2", "m33").right("5.2").slips("5.2", "m33", go=again).lay(tmp_path)
    Hand(2).slips("5.2", "m33").right("5.2", go=again).lay(tmp_path)
    Hand(3).slips("5.2", "m33").right("5.2", go=again).slips("5.2", "m33", go=again).lay(tmp_path)
    students = seen(tmp_path)[0]
    first = said(overview.page([overview.Group("fern7", students)], []))["Teach again first"]
    assert "3 students, 1 not there yet: question 5.2" in first
    one, two, three = (line for line in first.splitlines() if line.startswith("Number "))
    assert item(5, 2, "fern7", 1, again).given_figures[0] in one
    assert one.endswith("That was when it came round again.")
    assert two.endswith("Done by now.")
    assert three.endswith("Done by now.")
    assert class_view.nobody([s for s in students if s.number > 1]) == {}
    assert list(class_tables.roads(students)["by now"]) == ["not yet", "done", "done"]


def test_a_page_of_a_whole_course_stays_short(tmp_path):
    for number in range(1, 4):
        hand = Hand(number)
        for lesson, n in items():
            for slip in item(lesson, n, "fern7", number).slip_answers():
                hand.slips(f"{lesson}.{n}", slip, sure="sure")
        hand.lay(tmp_path)
    students = seen(tmp_path)[0]
    page = overview.page([overview.Group("fern7", students)], [])
    assert page.count("<article") <= overview.IN_FULL + 2 * overview.MOST_TOLD
    roads = class_view.roads(students)
    assert len(roads) > 100
    for road in roads:
        assert page.count(escape(f"{road.did[:1].lower()}{road.did[1:]}")), road


def test_the_table_says_it_in_shapes_and_in_words(students):
    page = overview.page([overview.Group("fern7", students)], [])
    table = ET.fromstring(re.search(r"<table.*?</table>", page, re.DOTALL)[0])
    rows = {row[0].text: row for row in table.find("tbody")}
    assert list(rows) == [str(s.number) for s in students]
    assert [head.text for head in table.find("thead")[0]] == ["Number", "Lesson 3", "Lesson 4", "Lesson 5"]
    shapes, words = (span.text for span in rows["5"][3])
    assert shapes.startswith(SHAPES["done"] + SHAPES["done with help"] + SHAPES["not tried"])
    assert words == "1 done, 1 done with help"
    assert [span.text for span in rows["8"][3]][1] == "1 done, 1 not yet"
    assert [span.text for span in rows["8"][1]][1] == "none tried"
    for state in ("done", "done with help", "not yet", "not tried"):
        assert f"{SHAPES[state]} {state}" in table.find("caption").text


def test_what_was_typed_and_what_a_file_is_called_come_out_as_text(tmp_path):
    mischief = "<script>alert(1)</script><img src=x onerror=alert(2)>\"'&amp;{0}%s\u202e"
    for number in (1, 2):
        Hand(number).types("5.2", f"{mischief} = 1 % vol", sure="sure").lay(tmp_path)
    students, _ = seen(tmp_path)
    group = [overview.Group(mischief, [*students], next_week=mischief, key=mischief)]
    page = overview.page(group, [Aside(mischief, mischief)], title=mischief)
    assert "<script" not in page.lower()
    assert "<img" not in page
    assert said(page)["Sure, and off"].count('typed "<script>alert(1)</script><img') == 2
    tree = ET.fromstring(page.removeprefix("<!DOCTYPE html>\n"))
    assert not [e.tag for e in tree.iter() if e.tag in ("script", "img", "iframe", "object")]
    assert not [name for e in tree.iter() for name in e.attrib if name.startswith("on")]


def test_the_page_needs_nothing_else(students):
    page = overview.page([overview.Group("fern7", students)], [])
    assert not re.search(r"<(script|link|img|iframe)\b|url\(|@import|http", page)


def test_two_classes_are_two_tables(tmp_path):
    for code, number in (("fern7", 1), ("moss2", 1), ("moss2", 2)):
        Hand(number, class_code=code).right("5.1").lay(tmp_path)
    students = one_each(seen(tmp_path)[0])[0]
    groups = [overview.Group(code, list(some)) for code, some in groupby(students, key=lambda one: one.class_code)]
    page = overview.page(groups, [])
    assert page.count("<table") == 2
    assert overview.NO_CODE not in page
    assert overview.NO_CODE in overview.page([overview.Group("practice", students)], [])
    assert '<a href="#class-2">Class moss2</a>' in page
    assert 'id="class-2">Class moss2' in page


def test_next_week_gives_nothing_away(students):
    page, keys = overview.next_week("fern7", students)
    go = class_view.next_go(students)
    for code in ((5, 2), (3, 2), (4, 4)):
        one = item(*code, "fern7", 1, go)
        assert one.prompt.split(". ")[0] in unescape(page)
        assert one.prompt.split(". ")[0] != item(*code, "fern7", 1).prompt.split(". ")[0]
        right = key.right(one)[0]
        assert right in unescape(keys)
        assert right not in unescape(page)
        assert all(road not in page for _, road in key.side_roads(one))
    assert "Class fern7, mixed questions" in page
    assert "yours alone" not in page


def test_a_class_that_missed_nothing(tmp_path):
    Hand(1).right("5.1").lay(tmp_path)
    students = seen(tmp_path)[0]
    assert overview.next_week("fern7", students) is None
    parts = said(overview.page([overview.Group("fern7", students)], []))
    assert parts["For next week"].strip() == overview.NO_NEXT
    assert parts["Teach again first"].strip() == overview.NONE_SHARED
    assert parts["What nobody could do yet"].strip() == overview.NONE_HARD
