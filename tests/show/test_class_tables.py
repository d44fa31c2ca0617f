"""The tables for a notebook: the same marking as the page, and the invented class is what it says it is."""

from __future__ import annotations

import re

import pytest

from herbcalc.homework import class_view, invented
from herbcalc.show import class_tables
from tests.homework.a_class import Hand


@pytest.fixture(scope="module")
def students():
    return class_tables.read()


def test_the_invented_class_is_what_it_says(students):
    assert [one.number for one in students] == list(invented.NUMBERS)
    assert class_view.without_file(students) == [13]
    assert sorted(one.number for one in class_view.quiet(students)) == list(invented.QUIET)
    found = {road.item: (road.slip, tuple(road.by), road.done) for road in class_view.roads(students)}
    assert found == {item: (slip, took, went_on) for item, (slip, took, went_on, _) in invented.ROADS.items()}
    assert {(off.item, number) for off in class_view.sure_but_off(students) for number in off.by} == invented.SURE
    assert set(class_view.nobody(students)) == set(invented.TOO_HARD)
    assert not students.aside


def test_the_own_folder_comes_first(tmp_path, monkeypatch):
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path))
    assert "none of them lives" in repr(class_tables.read())
    Hand(3).right("5.2").lay(tmp_path / class_tables.HANDED_IN)
    (tmp_path / class_tables.HANDED_IN / "photo.png").write_bytes(b"\0")
    said = repr(class_tables.read())
    assert said.startswith("Students: 1, of class fern7, from ")
    assert said.endswith("Files left aside: 1.")


def test_the_tables_say_the_same(students):
    where = class_tables.where(students)
    assert where.loc[("invented", 3), "lesson 3"] == "10 done, 1 done with help of 12"
    assert where.loc[("invented", 4), "lesson 5"] == ""
    roads = class_tables.roads(students)
    assert list(roads[roads["question"] == "5.2"]["number"]) == [3, 5, 7, 9, 12]
    assert list(roads[roads["question"] == "5.2"]["by now"]) == ["done", "not yet", "not yet", "not yet", "done"]
    assert list(class_tables.sure(students)["number"]) == [2, 5, 9, 7, 9]
    questions = class_tables.questions(students)
    assert questions.loc["4.4"].to_dict() == {"done": 0, "done with help": 0, "not yet": 14, "right at once": 0}
    picture = class_tables.picture(students)
    assert "4.4: 14 not yet" in picture.words
    assert re.match(r'<img alt="3\.1: 17 done; .*" src="data:image/svg\+xml;base64,', picture._repr_html_())


def test_of_two_classes_each_number_has_the_figures_of_its_own(tmp_path):
    for code in ("fern7", "oak2"):
        Hand(3, code).slips("5.2", "m33", sure="sure").lay(tmp_path)
    students = class_tables.read(tmp_path)
    for table in (class_tables.roads(students), class_tables.sure(students)):
        rows = {row["class"]: (row["number"], row["had"], row["right"]) for row in table.to_dict("records")}
        wanted = {}
        for student in students:
            (tried,) = student.sure_off
            wanted[student.class_code] = (3, *class_view.figures(student.class_code, 3, tried))
        assert rows == wanted
    panel = class_tables.panel(students)
    assert panel.scenes.options[panel.scenes.value][0].startswith("1 of 8: Lemon balm in vodka")


def test_what_was_typed_stays_text(tmp_path):
    Hand(3).types("5.2", "<script>alert(1)</script> = 1 % vol", sure="sure").lay(tmp_path)
    (tmp_path / "<b>x").write_text("no answers")
    students = class_tables.read(tmp_path)
    for table in (class_tables.sure(students), class_tables.aside(students)):
        assert len(table) == 1
        assert not re.search("<script|<b>", table.to_html())


def test_the_scene_is_open_and_asks(students):
    panel = class_tables.panel(students)
    assert panel.scenes.options[panel.scenes.value][0].startswith("1 of 8: Lemon balm for the racks")
    panel = class_tables.panel(students, "4.4")
    assert panel.scenes.options[panel.scenes.value][0].startswith("6 of 8: Two bottles meet")
    assert panel.stage.teacher.startswith("Two bottles meet")
    with pytest.raises(KeyError):
        class_tables.panel(students, "99.1")
