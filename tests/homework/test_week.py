"""What a teacher sets for the week: read from class.toml, checked against the items there are, said in words."""

from __future__ import annotations

import re

import pytest

from herbcalc import homework, person
from herbcalc.homework.week import Week, chosen, in_words, week
from herbcalc.person import class_file

FORBIDDEN = re.compile(r"\b(error|invalid|wrong)\b", re.IGNORECASE)


@pytest.fixture
def sheet(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))

    def held(text):
        (tmp_path / person.CLASS).write_text(text, encoding="utf-8")
        return class_file.load()

    return held


@pytest.mark.parametrize(
    ("text", "codes", "said"),
    [
        (
            '[set]\nitems = ["5.1-5.6", "3.4"]\nby = "Thursday\'s class"\n',
            ("3.4", "5.1", "5.2", "5.3", "5.4", "5.5", "5.6"),
            "For Thursday's class: 3.4 and 5.1 to 5.6",
        ),
        ('[set]\nitems = ["5.7-6.1"]\n', ("5.8", "5.7", "6.1"), "Set for you: 5.7, 5.8 and 6.1"),
        ('[set]\nitems = "5.1, 5.1, 5.2"\nby = ""\n', ("5.1", "5.2"), "Set for you: 5.1 and 5.2"),
        (
            '[set]\nitems = ["5.1–5.3"]\nby = " <b>Mon\\n day</b> "',
            ("5.1", "5.2", "5.3"),
            "For <b>Mon day</b>: 5.1 to 5.3",
        ),
        (
            '[set]\nitems = ["5.1 — 5.3 ", " 5.2"]\nby = "by Thursday."',
            ("5.1", "5.2", "5.3"),
            "For Thursday: 5.1 to 5.3",
        ),
        ('[set]\nitems = ["5.1"]\nby = "\\u202eMon\\u0000day"', ("5.1",), "For Mon day: 5.1"),
        ("[set]\n", (), ""),
        ("set_work = true\n", (), ""),
    ],
)
def test_what_is_set_stands_in_the_order_of_the_pages(sheet, text, codes, said):
    read = sheet(text)
    assert read.notes == []
    found = week(read)
    assert (found.codes, found.said(), found.amiss) == (codes, said, ())


def test_a_whole_lesson_and_the_words_of_one_page():
    found = week(class_file.ClassFile(asked=class_file.Asked("5,6.2", "Monday")))
    assert found.codes == (*(f"5.{n}" for n in homework.order(5)), "6.2")
    assert found.said(6) == "For Monday: 6.2"
    assert found.said(7) == Week().said() == ""


@pytest.mark.parametrize("items", ['"5,1"', '["3.4", "5,1"]', '["5,1-5,6"]', '["5.2, 5,1"]'])
def test_a_comma_that_may_be_meant_as_a_point_is_asked_about(sheet, items):
    """Whoever writes 5,1 for 5.1 would else have set two whole lessons."""
    read = sheet(f"[set]\nitems = {items}\n")
    assert week(read).codes == ()
    (note,) = read.notes
    assert '"5,1" in [set] can be read in two ways. For question 1 of lesson 5 write "5.1", with a point; ' in note
    assert 'for the whole of lessons 5 and 1 write "5", "1". Until then no questions stand as set.' in note
    assert not FORBIDDEN.search(note)


@pytest.mark.parametrize("items", ['["4", "5"]', '"4, 5"', '["4-5"]'])
def test_two_whole_lessons_that_nobody_could_take_for_a_question(sheet, items):
    read = sheet(f"[set]\nitems = {items}\n")
    assert read.notes == []
    assert week(read).codes == tuple(f"{lesson}.{n}" for lesson in (4, 5) for n in homework.order(lesson))


@pytest.mark.parametrize(
    ("items", "said"),
    [
        ('["5.99"]', "Item 5.1 would work"),
        ('["99.1"]', "Lesson 5 would work"),
        ('["14"]', "There is homework for lessons"),
        ('["5.6-5.1"]', '"5.6-5.1" runs backwards. The smaller one stands first'),
        ('["all of 5"]', "items in [set] wants lessons, such as 5 or 4-6"),
        ('["<script>"]', '"<script>" is neither'),
        ('["5.1,,5.2"]', '"" is neither'),
        ('["5.1-"]', "is neither"),
        ('["5-6.2"]', "is neither"),
        ('["1 3"]', '"1 3" is neither'),
        ('["3.1 2"]', '"3.1 2" is neither'),
        ('["5.1 to 5.3"]', '"5.1 to 5.3" is neither'),
    ],
)
def test_items_that_there_are_not_set_nothing_and_are_told_in_one_sentence(sheet, items, said):
    read = sheet(f"[set]\nitems = {items}\n")
    assert read.notes == []
    found = week(read)
    assert found.codes == ()
    (amiss,) = found.amiss
    assert said in amiss.note
    assert amiss.note.startswith("class.toml: ")
    assert amiss.note.endswith("Until then no questions stand as set.")
    assert not FORBIDDEN.search(amiss.note)


def test_every_item_can_be_set():
    codes = {f"{lesson}.{number}" for lesson, number in homework.items()}
    assert {f"{lesson}.{n}" for lesson, n in chosen(f"1-{homework.LESSONS[-1]}", "x")} == codes
    assert in_words([]) == ""
    assert in_words(["3.10", "3.9", "3.11", "4.1"]) == "3.9 to 3.11 and 4.1"
