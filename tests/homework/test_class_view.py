"""A class of 18 with known slips, help and silence: the overview names exactly those, and counts right."""

from __future__ import annotations

import time

import pytest

from herbcalc.homework import class_view, item, items
from herbcalc.homework.marking import one_each
from tests.homework.a_class import Hand, eighteen, seen


@pytest.fixture(scope="module")
def students(tmp_path_factory):
    folder = tmp_path_factory.mktemp("class")
    for hand in eighteen():
        hand.lay(folder)
    found, aside = seen(folder)
    assert not aside
    kept, aside = one_each(found)
    assert not aside
    return kept


def test_the_states_are_those_of_the_pages(students):
    by = {student.number: student.states for student in students}
    assert sorted(by) == [n for n in range(1, 19) if n != 13]
    assert by[2] == {"5.1": "done", "5.2": "done"}
    assert by[5] == {"5.1": "done", "5.2": "done with help"}
    assert by[8] == {"5.1": "done", "5.2": "not yet"}
    assert by[18] == {"5.8": "done"}


def test_the_commonest_slips_with_their_counts(students):
    found = [(road.slip, road.item, sorted(road.by), road.done) for road in class_view.roads(students)]
    assert found == [
        ("m33", "5.2", [2, 5, 8, 14], (2, 5)),
        ("m02", "3.2", [6, 7, 10], (7,)),
        ("m34", "5.2", [9], ()),
    ]
    road = class_view.roads(students)[0]
    assert [len(tried) for tried in road.by.values()] == [1] * 4  # the same side road twice is one
    assert road.by[14][0].typed == item(5, 2, "fern7", 14).slip_answers()["m33"]


def test_sure_but_off(students):
    (off,) = class_view.sure_but_off(students)
    assert (off.item, sorted(off.by), off.done) == ("3.2", [6, 7, 10], (7,))


def test_items_that_nobody_could_do_and_that_tell_nobody_apart(students):
    assert class_view.nobody(students) == {"4.4": [12, 15, 17]}
    assert class_view.everybody(students) == ["5.1"]


def test_one_who_needed_a_second_look_tells_somebody_apart(students):
    late = Hand(3).types("5.1", "1 mL").right("5.1")
    from herbcalc.homework.handed_in import Paper
    from herbcalc.homework.marking import mark

    other = mark(Paper("x", "fern7", 3, tuple(late.answers), (), ""), "2025-11-27")
    assert class_view.everybody([other if one.number == 3 else one for one in students]) == []


def test_who_has_gone_quiet(students):
    assert class_view.newest(students) == "2025-11-20"
    assert [student.number for student in class_view.quiet(students)] == [4, 11]
    assert class_view.without_file(students) == [13]
    assert class_view.without_file(students, range(1, 21)) == [13, 19, 20]


def test_next_week_is_made_of_what_was_missed(students):
    assert class_view.for_next_week(students) == [(5, 2), (3, 2), (4, 4)]
    assert class_view.next_go(students) == 947


def test_no_lesson_fills_next_week_alone(tmp_path):
    for number in (1, 2):
        hand = Hand(number)
        for code in ("5.1", "5.2", "5.4", "5.5", "3.2"):
            hand.types(code, "1 %")
        hand.lay(tmp_path)
    assert class_view.for_next_week(seen(tmp_path)[0]) == [(3, 2), (5, 1), (5, 2)]


def test_two_files_for_one_number(tmp_path):
    newer, older = Hand(3).right("5.1").right("5.2"), Hand(3, day="2025-11-02").right("5.1")
    newer.lay(tmp_path)
    newer.lay(tmp_path, "answers-fern7-3 (1).jsonl")
    older.lay(tmp_path, "old/answers-fern7-3.jsonl")
    Hand(3, class_code="moss2").right("5.1").lay(tmp_path)  # the same number of another class is another student
    kept, aside = one_each(seen(tmp_path)[0])
    assert [(one.class_code, one.number, one.newest) for one in kept] == [
        ("fern7", 3, "2025-11-20"),
        ("moss2", 3, "2025-11-20"),
    ]
    said = {one.name: one.reason for one in aside}
    assert sorted(said) == ["answers-fern7-3.jsonl", "old/answers-fern7-3.jsonl"]
    assert "the same, to the letter, as answers-fern7-3 (1).jsonl" in said["answers-fern7-3.jsonl"]
    assert "2025-11-02" in said["old/answers-fern7-3.jsonl"]
    assert [note.reason for note in kept[0].notes] == [
        "it counts for class fern7, number 3; old/answers-fern7-3.jsonl does not"
    ]


def test_a_week_behind_is_quiet_and_six_days_are_not(tmp_path):
    for number, day in ((1, "2025-11-20"), (2, "2025-11-13"), (3, "2025-11-14")):
        Hand(number, day=day).right("5.1").lay(tmp_path)
    assert [student.number for student in class_view.quiet(seen(tmp_path)[0])] == [2]


def test_right_at_once_is_without_a_step_and_of_half_the_class(tmp_path):
    for number in range(1, 9):
        hand = Hand(number).right("5.1", tier=2 if number == 1 else 1)
        if number < 5:
            hand.right("5.2")
        if number < 4:
            hand.right("5.3")
        hand.lay(tmp_path)
    assert class_view.everybody(seen(tmp_path)[0]) == ["5.2"]


def test_a_day_that_is_yet_to_come_makes_nobody_quiet(tmp_path):
    Hand(1).right("5.1").lay(tmp_path)
    Hand(2, day="2099-01-01").right("5.1").lay(tmp_path)
    students, _ = seen(tmp_path)
    assert class_view.newest(students) == "2025-11-20"
    assert [student.number for student in class_view.quiet(students)] == [2]
    assert "2099-01-01, which is yet to come" in students[1].notes[0].reason


def test_a_thousand_files_of_forty_answers_in_twenty_seconds(tmp_path):
    """Twenty-five here, in processor time; two cores share the thousand."""
    codes = [f"{lesson}.{n}" for lesson, n in items()[20:60]]
    for number in range(1, 26):
        hand = Hand(number)
        for n, code in enumerate(codes):
            hand.types(code, "250 mL") if n % 3 else hand.right(code)
        hand.lay(tmp_path)
    seen(tmp_path)  # what is read once, such as the lessons
    from herbcalc.homework import progress

    progress._said.cache_clear()
    progress.own_item.cache_clear()
    started = time.process_time()
    students, _ = seen(tmp_path)
    assert len(students) == 25
    assert (time.process_time() - started) * 1000 / 25 / 2 < 20
