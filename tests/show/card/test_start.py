"""The start page: who works here, who teaches, where things lie, and all of it gone."""

from __future__ import annotations

import re
from html import unescape

import pytest

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.person import batches
from herbcalc.show.card.start import own_number
from herbcalc.show.here import Here
from herbcalc.units.refusals import OutOfRange

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback)\b", re.IGNORECASE)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path / "home"))
    person.news()
    return tmp_path / "home"


def words(place):
    return unescape(re.sub(r"<[^>]+>", " ", place.value))


def page():
    return Here(0).panel()


def test_both_are_kept_and_shown_in_their_normal_form(home):
    start = page()
    assert (start.code.value, start.number.value) == ("", "")
    start.code.value, start.number.value = " Fern-7 ", " 12 "
    start.keep()
    assert person.me() == person.Me("fern7", 12)
    assert start.code.value == "fern7"
    assert "class fern7, own number 12" in words(start.said)
    again = page()
    assert (again.code.value, again.number.value) == ("fern7", "12")


def test_enter_in_either_box_keeps(home):
    start = page()
    start.code.value, start.number.value = "fern7", "12"
    start.number._handle_custom_msg({"event": "submit"}, [])
    assert person.me() == person.Me("fern7", 12)


def test_what_is_typed_and_not_kept_is_told_at_once(home):
    start = page()
    start.code.value = "Fern 7"
    assert words(start.said) == ""
    start.number.value = "12"
    assert "Not kept yet" in words(start.said)
    assert "Press Keep these" in words(start.said)
    assert person.me() is None
    start.keep()
    assert "Not kept" not in words(start.said)
    again = page()
    assert words(again.said) == ""


def test_who_answered_before_the_number_was_kept_is_told_what_becomes_of_it(home):
    item = homework.item(3, 1, person.PRACTICE.class_code, person.PRACTICE.number)
    results.append(person.answers_path(person.PRACTICE, home), results.answer_to(item, "67 %", "sure", 1))
    start = page()
    start.code.value, start.number.value = "fern7", "12"
    start.keep()
    assert "practice figures is put by" in words(start.said)
    start.number.value = "13"
    start.keep()
    assert "practice figures" not in words(start.said)


@pytest.mark.parametrize("code", ["", "   ", "!!!", "-"])
def test_a_class_code_needs_a_letter_or_digit(home, code):
    start = page()
    start.code.value, start.number.value = code, "12"
    start.keep()
    assert "Not kept yet" in words(start.said)
    assert "fern7" in words(start.said)
    assert person.me() is None


@pytest.mark.parametrize("number", ["", "0", "100", "-3", "1.5", "twelve", "１２", "1e1", "9" * 50, "<b>1</b>"])
def test_a_number_is_a_whole_one_from_1_to_99(home, number):
    with pytest.raises(OutOfRange, match="from 1 to 99") as refused:
        own_number(number)
    assert not FORBIDDEN.search(str(refused.value))
    start = page()
    start.code.value, start.number.value = "fern7", number
    start.keep()
    assert "from 1 to 99" in words(start.said)
    assert "<b>1" not in start.said.value
    assert person.me() is None


def test_the_class_code_from_the_teacher_stands_there_already(home):
    home.mkdir()
    (home / person.CLASS).write_text('class = "Fern 7"\n', encoding="utf-8")
    assert page().code.value == "Fern 7"
    (home / person.CLASS).write_text("class = 7\n", encoding="utf-8")
    assert page().code.value == ""


def test_a_folder_that_cannot_be_written_is_told(home):
    home.write_text("in the way")
    start = page()
    start.code.value, start.number.value = "fern7", "12"
    start.keep()
    assert "Not kept yet" in words(start.said)
    assert "in the way" in words(start.said)


def test_the_rules_in_force_and_the_places_are_shown(home):
    home.mkdir()
    (home / person.CLASS).write_text("[rules]\nfloor = 25\n", encoding="utf-8")
    shown = " ".join(words(child) for child in Here(0).mine().children if hasattr(child, "value"))
    for line in Here(0).rules.lines():
        assert line in shown
    assert "25 % vol" in shown
    assert str(home) in shown


def test_no_path_of_this_machine_is_stored(home):
    bundle = page()._repr_mimebundle_()
    assert bundle["text/plain"] == "Who is working"
    for shown in (page(), Here(0).mine(), Here(0).hand_in(), Here(0).practice()):
        assert str(home) not in shown._repr_mimebundle_()["text/html"]


def test_deleting_asks_first_and_can_be_called_off(home):
    person.save_me("fern7", 12)
    batches.save_figures({"herb": 100})
    start = Here(0).mine()
    start.ask_before_deleting()
    assert "me.toml" in words(start.asked)
    assert [button.description for button in start.sure.children] == ["No, keep them", "Yes, delete these"]
    start.leave()
    assert start.sure.children == ()
    assert (home / person.ME).exists()


def test_all_of_mine_goes_and_practice_is_left(home):
    person.save_me("fern7", 12)
    person.save_settings(5, [{"name": "my jar"}])
    path = person.answers_path(person.me())
    results.append(path, results.answer_to(homework.item(5, 2, "fern7", 12), "31 % vol", "sure"))
    (home / person.CLASS).write_text('class = "fern7"\n', encoding="utf-8")
    here = Here(0)
    here.hand_in().save()
    boxes, start = here.panel(), here.mine()
    start.ask_before_deleting()
    assert "for-the-teacher" in words(Here(0).mine().children[0])
    start.delete()
    assert "Deleted:" in words(start.asked)
    assert [p.name for p in home.rglob("*") if p.is_file()] == ["class.toml"]
    assert here.who == person.PRACTICE
    assert (boxes.code.value, boxes.number.value) == ("fern7", "")  # the code that the teacher's sheet names
    start.ask_before_deleting()
    assert "nothing of yours" in words(start.asked)


def test_where_a_browser_keeps_nothing_it_is_said(home, monkeypatch):
    monkeypatch.setattr(person, "lasts", lambda home=None: False)
    start = page()
    start.code.value, start.number.value = "fern7", "12"
    start.keep()
    assert "Save your answers to hand in" in words(start.said)


# --- a change of number, and who teaches ---------------------------------------------------------------------------


def answered(number):
    path = person.answers_path(person.Me("fern7", number))
    results.append(path, results.answer_to(homework.item(5, 2, "fern7", number), "31 % vol", "sure"))


def test_who_is_known_has_one_line_until_a_change_is_asked_for(home):
    start = page()
    assert {start.code, start.number, start.keep_button} <= set(start.children)
    person.save_me("fern7", 12)
    start = page()
    assert start.code not in start.children
    assert "fern7" in words(start.who)
    start.change()
    assert {start.code, start.number, start.keep_button} <= set(start.children)


def test_a_change_says_what_becomes_of_the_answers_and_takes_none_away(home):
    person.save_me("fern7", 12)
    answered(12)
    answered(12)
    start = page()
    start.change()
    assert "takes nothing away" in words(start.said)
    assert "The 2 lines of answers of class fern7, number 12, stay" in words(start.said)
    start.number.value = "13"
    start.keep()
    assert "answers-fern7-12.jsonl" in words(start.said)
    assert "Type fern7 and 12 again" in words(start.said)
    start.number.value = "12"
    start.keep()
    assert "There are 2 lines of answers of yours from before" in words(start.said)
    start.keep()
    assert "from before" not in words(start.said)
    assert len(person.result_file(person.Me("fern7", 12)).splitlines()) == 2


def test_who_teaches_is_kept_and_carried(home):
    assert Here(5).teaches is False
    start = page()
    start.teacher.value = True
    assert "you teach this class" in words(start.said)
    assert Here(5).teaches is True
    start.code.value, start.number.value = "fern7", "12"
    start.keep()
    assert person.me() == person.Me("fern7", 12, teacher=True)
    again = page()
    assert again.teacher.value is True
    again.teacher.value = False
    assert person.me() == person.Me("fern7", 12)
    assert "teacher" not in (home / person.ME).read_text()


def test_a_tick_that_cannot_be_kept_is_told(home):
    home.write_text("in the way")
    start = page()
    start.teacher.value = True
    assert "Not kept yet" in words(start.said)
    assert start.here.teaches is False
    assert start.teacher.value is False
