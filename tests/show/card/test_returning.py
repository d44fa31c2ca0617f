"""A question that comes round again, on its card: why it comes, one press to put it off, and what the path says."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from html import unescape
from pathlib import Path

import pytest

from herbcalc import homework, person
from herbcalc.homework import progress, results
from herbcalc.homework.draws import first_mixed_go
from herbcalc.show.card import path, returning
from herbcalc.show.card.returning import AFTER_ALL, HELPS, LATER, NOT_TODAY, Returning
from herbcalc.show.here import Here, lessons

SHELF = Path(__file__).resolve().parents[3] / "workbook"
TODAY = date(2026, 11, 27)
WHO = ("fern7", 12)
FORBIDDEN = re.compile(
    r"\b(errors?|invalid|wrong(ly)?|incorrect|mistakes?|fail(ed|s)?|missed|late|overdue|must|behind)\b", re.IGNORECASE
)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    person.news()
    person.save_me(*WHO)
    at(monkeypatch, 0)
    return tmp_path


def at(monkeypatch, days):
    """Let it be so many days later."""

    class Then(date):
        @classmethod
        def today(cls):
            return TODAY + timedelta(days=days)

    for module in (returning, path, results):
        monkeypatch.setattr(module, "date", Then)


def keep(code, typed="guess", sure="sure", days=-15, go=1, who=WHO):
    one = homework.item(*map(int, code.split(".")), *who, go)
    text = {
        "right": one.answers()[0],
        "guess": "1:98" if one.unit == "1:x" else f"9876.5 {one.unit or ''}".strip(),
    }.get(typed, typed)
    day = (TODAY + timedelta(days=days)).isoformat()
    results.append(person.answers_path(person.Me(*who)), results.answer_to(one, text, sure, day=day))


def plain(html):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def kept():
    return results.read(person.answers_path(person.Me(*WHO)))[0]


def front():
    return plain(path.Front(Here(0), lessons(), SHELF).html())


def shown(card):
    """Whether the question stands on the card."""
    return card.check_button in [part for row in card.children if hasattr(row, "children") for part in row.children]


# --- the card ---


def test_it_says_why_it_comes_and_has_figures_of_its_own(home):
    keep("3.2")
    card = Here(5).mixed(1)
    assert plain(card.why.value) == f"You met this on 12 November. {HELPS}"
    assert plain(card.prompt.value).startswith("3.2, from lesson 3 ")
    assert card.manners.item == "3.2, from lesson 3"
    assert card.item.go == first_mixed_go(5)
    assert str(card.item.figures) != str(Here(3).item(2).item.figures)
    assert shown(card)
    assert card.off_button.description == NOT_TODAY
    assert not isinstance(Here(5).mixed(2), Returning), "the other is there for practice, as ever"


def test_it_stays_on_its_page_when_it_is_answered_and_the_page_runs_again(home, monkeypatch):
    keep("3.2")
    keep("4.1", days=-9)
    for which, code in ((1, "3.2"), (2, "4.1")):
        card = Here(5).mixed(which)
        assert card.item.code == code
        card.place.value, card.sure.value = card.item.answers()[0], "sure"
        card.check()
        again = Here(5).mixed(which)
        assert again.item.figures == card.item.figures
        assert again.place.value == card.place.value
        assert "You had this one" in plain(again.feedback.value) or "Yes" in plain(again.feedback.value)
    at(monkeypatch, 9)
    assert not isinstance(Here(5).mixed(1), Returning)
    at(monkeypatch, 10)
    fresh = Here(5).mixed(1)
    assert (fresh.item.code, fresh.item.go) == ("3.2", first_mixed_go(5) + 1)
    assert fresh.place.value == ""
    assert "27 November" in fresh.why.value
    assert {progress.states(kept(), *WHO)[code] for code in ("3.2", "4.1")} == {progress.NOT_YET}


def test_the_two_do_not_change_while_the_page_runs(home, monkeypatch):
    keep("3.2")
    here = Here(5)
    assert here.mixed(1).item.code == "3.2"
    keep("3.2", "right", days=0, go=2)  # in another window
    keep("2.1", days=-20)
    at(monkeypatch, 1)
    assert here.mixed(1).item.code == "3.2"
    assert [Here(5).mixed(1).item.code for _ in range(2)] == ["2.1", "2.1"]


def test_one_press_puts_it_off_and_one_shows_it_after_all(home, monkeypatch):
    keep("3.2")
    card = Here(5).mixed(1)
    card.place.value = "half an answer"
    card.off_button.click()
    assert plain(card.why.value) == LATER
    assert card.off_button.description == AFTER_ALL
    assert not shown(card)
    assert plain(card.prompt.value) == "3.2, from lesson 3"
    assert len(kept()) == 1, "nothing of it goes to the teacher"
    again = Here(5).mixed(1)  # the page runs again, or the computer was off
    assert not shown(again)
    assert "look at again" not in front()
    for one in (again, card):
        one.off_button.click()
        assert shown(one)
        assert one.off_button.description == NOT_TODAY
        assert "12 November" in one.why.value
    assert card.place.value == "half an answer"
    assert shown(Here(5).mixed(1)), "and so it stays when the page runs again"
    card.off_button.click()
    for days, there in ((1, False), (2, False), (3, True), (40, True)):
        at(monkeypatch, days)
        assert isinstance(Here(5).mixed(1), Returning) == there, days
        assert not there or shown(Here(5).mixed(1))


def test_put_off_shown_after_all_and_answered(home):
    keep("3.2")
    card = Here(5).mixed(1)
    card.off_button.click()
    card.off_button.click()
    card.place.value, card.sure.value = card.item.answers()[0], "sure"
    card.check()
    assert shown(Here(5).mixed(1))


def test_it_is_shown_after_all_where_that_cannot_be_kept(home):
    keep("3.2")
    Here(5).mixed(1).off_button.click()
    card = Here(5).mixed(1)
    (home / person.SETTINGS).unlink()
    (home / person.SETTINGS).mkdir()
    card.off_button.click()
    assert shown(card)
    assert person.SETTINGS in card.why.value


def test_a_clock_that_once_went_ahead_brings_it_back_once(home, monkeypatch):
    """That day stands first in the order of the file: what was done since counts, and no round comes each day."""
    keep("3.2", days=3650)
    keep("2.1", "right", days=-1)
    assert progress.last_worked(kept(), *WHO) == "2.1"
    card = Here(5).mixed(1)
    assert card.item.code == "3.2"
    card.place.value, card.sure.value = card.item.answers()[0], "sure"
    card.check()
    came = []
    for days in range(1, 12):
        at(monkeypatch, days)
        came += [days] if isinstance(Here(5).mixed(1), Returning) else []
    assert came == [10, 11]


def test_what_was_put_off_long_ago_takes_no_room(home, monkeypatch):
    for n, code in enumerate(("3.2", "3.3", "3.4", "2.1", "2.2", "4.1")):
        keep(code, days=-30 + n)
    for days in range(0, 16, 4):
        at(monkeypatch, days)
        here = Here(6)
        for which in (1, 2):
            card = here.mixed(which)
            for _ in range(3):
                card.off_button.click()
    assert 1 <= len(person.settings(returning.PUT_OFF)) <= 4


def test_what_somebody_wrote_into_the_file_is_passed_over(home):
    keep("3.2")
    mine = {"class": "fern7", "number": 12, "item": "3.2", "day": TODAY.isoformat(), "page": 5}
    odd = [
        *({**mine, key: value} for key in mine for value in (None, 3.5, ["3.2"], "", {}, True)),
        *({**mine, "day": day} for day in ("2026-13-45", "today", "99999-01-01", "1970-01-01", "2090-01-01")),
        {**mine, "item": "98.7"},
        {**mine, "class": "oak2"},
        {**mine, "number": 13},
        {},
    ]
    (home / person.SETTINGS).write_text(json.dumps({returning.PUT_OFF: [*odd, 5, None, "x"]}), encoding="utf-8")
    card = Here(5).mixed(1)
    assert card.item.code == "3.2"
    assert shown(card)
    card.off_button.click()
    assert not shown(Here(5).mixed(1))
    for held in ("[]", "{", '{"coming back": 7}', '{"coming back": {"a": 1}}', ""):
        (home / person.SETTINGS).write_text(held, encoding="utf-8")
        assert shown(Here(5).mixed(1)), held


def test_a_settings_file_that_cannot_be_opened_is_told_and_the_card_stands(home, capsys):
    keep("3.2")
    (home / person.SETTINGS).mkdir()
    card = Here(5).mixed(1)
    assert shown(card)
    assert person.SETTINGS in capsys.readouterr().out
    card.off_button.click()
    assert shown(card)
    assert person.SETTINGS in card.why.value
    assert person.SETTINGS in front()


def test_two_students_at_one_computer(home):
    keep("3.2")
    keep("3.2", who=("fern7", 13))
    Here(5).mixed(1).off_button.click()
    person.save_me("fern7", 13)
    assert shown(Here(5).mixed(1))
    person.save_me(*WHO)
    assert not shown(Here(5).mixed(1))


def test_set_work_brings_back_guesses_and_not_what_was_off(home):
    (home / person.CLASS).write_text('class = "fern7"\nset_work = true\n', encoding="utf-8")
    assert Here(5).sheet.set_work
    keep("3.2")
    keep("3.3", "right", "guessing")
    assert Here(5).mixed(1).item.code == "3.3"
    assert not isinstance(Here(5).mixed(2), Returning)


# --- the path ---


def test_the_path_says_quietly_what_comes_round(home, monkeypatch):
    keep("4.1", days=-3)
    keep("3.2", days=-2)
    keep("5.1", "right", days=-2)
    at(monkeypatch, -1)
    assert "look at again" not in front()
    at(monkeypatch, 0)
    assert "One to look at again: 4.1, at the end of Exercises 5 ." in front()
    at(monkeypatch, 1)
    assert "Two to look at again: 4.1 and 3.2, at the end of Exercises 5 ." in front()
    for n in range(1, 7):
        keep(f"2.{n}", days=-40)
    keep("5.1", "right", days=0)
    line = re.search(r"Two to look at again: (.*?) and (.*?), at the end", front())
    assert line, "two, however many there are"
    card = Here(5).mixed(1)
    card.place.value, card.sure.value = "9876.5", "sure"
    card.check()
    assert f"One to look at again: {line[2]}, at" in front()
    link = re.search(r'at the end of <a href="([^"]+)">', path.Front(Here(0), lessons(), SHELF).html())[1]
    assert (SHELF / link).is_file()


def test_the_path_names_the_page_that_one_has_come_to(home):
    keep("5.1", "right", days=-20)
    keep("6.1", days=-10)
    keep("7.1", days=-9)
    assert "6.1, at the end of Exercises 7" in front(), "and 7.1 comes later, in lesson 8"


def test_nothing_is_said_of_it_where_nothing_is_kept_or_open(home):
    assert "look at again" not in front()
    (home / person.CLASS).write_text("open = []\n", encoding="utf-8")
    assert "look at again" not in front()


def test_every_sentence_of_it_is_plain():
    said = [returning.why(day, TODAY) for day in ("2026-11-12", "", "1970-01-01", "2099-01-01")]
    said += [LATER, NOT_TODAY, AFTER_ALL]
    assert len(set(said)) == 5
    for line in said:
        assert not FORBIDDEN.search(line), line
