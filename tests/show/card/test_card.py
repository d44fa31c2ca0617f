"""The card of one homework item: asks first how sure, keeps before it tells, never scolds, goes on after a crash."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from html import unescape

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.show.card import HANDED_IN, HIGHEST, SURE, VERDICTS, Card, told
from herbcalc.show.here import Here

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|fail(ed)?|score|mark(s|ed)?|traceback)\b", re.IGNORECASE)
VIEW = "application/vnd.jupyter.widget-view+json"


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    person.news()
    return tmp_path


@pytest.fixture
def here(home):
    person.save_me("fern7", 12)
    return Here(5)


def words(card):
    """What is said on the card now, as plain text."""
    return unescape(re.sub(r"<[^>]+>", " ", card.feedback.value))


def kept(here):
    return results.read(person.answers_path(here.who, here.home))[0]


def try_it(card, typed, sure="fairly"):
    card.place.value = typed
    card.sure.value = sure
    card.check()


# --- what stands on it ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("code", homework.items(), ids=lambda code: f"{code[0]}.{code[1]}")
def test_every_item_has_a_card_that_can_be_answered(home, code):
    lesson, number = code
    here = Here(lesson)
    card = Card(here, number)
    assert unescape(re.sub(r"<[^>]+>", "", card.prompt.value)).count(card.item.prompt[:40]) == 1
    answer = card.item.answers()[0]
    if type(card.place).__name__ == "RadioButtons":
        answer = card.item.right_letters
        assert [text for text, _ in card.place.options] == card.item.choices
    assert card.place.description, "what is asked has a name"
    try_it(card, answer, "sure")
    said = words(card)
    assert "Not yet" not in said
    assert [a.typed for a in kept(here)] == [answer]
    assert not FORBIDDEN.search(said)
    assert len(card.points.children) == len(card.item.points)


def test_each_control_has_a_name(here):
    card = here.item(2)
    assert card.place.description == "Your answer, in % vol"
    assert card.sure.description == "How sure are you?"
    assert card.sure.options == SURE
    assert [b.description for b in (card.check_button, card.more_button, card.fresh_button)] == [
        "Check",
        "Show me one step more",
        "A fresh set",
    ]


def test_a_ratio_is_asked_as_one(here):
    assert here.item(4).place.description == "Your answer, as 1:x"


def test_what_is_stored_is_the_question_and_nothing_else(here):
    card = here.item(2)
    try_it(card, card.item.answers()[0])
    bundle = card._repr_mimebundle_()
    assert bundle["text/plain"] == "Item 5.2"
    assert card.item.prompt.split(".")[0] in unescape(bundle["text/html"])
    assert VIEW in bundle
    assert card.item.answers()[0].split()[0] not in bundle["text/html"]
    assert "<style" not in bundle["text/html"]


# --- checking -------------------------------------------------------------------------------------------------------


def test_nothing_typed_is_asked_for_and_not_kept(here):
    card = here.item(2)
    card.sure.value = "sure"
    card.check()
    assert "Nothing stands there yet" in words(card)
    assert kept(here) == []


def test_how_sure_is_asked_before_anything_is_said(here):
    card = here.item(2)
    card.place.value = card.item.answers()[0]
    card.check()
    assert "How sure are you?" in words(card)
    assert VERDICTS["right"] not in words(card)
    assert kept(here) == []


def test_enter_in_the_box_checks(here):
    card = here.item(2)
    card.place.value, card.sure.value = card.item.answers()[0], "sure"
    card.place._handle_custom_msg({"event": "submit"}, [])
    assert VERDICTS["right"] in words(card)


def test_a_known_slip_gets_its_question_and_its_consequence(here):
    card = here.item(2)
    try_it(card, card.item.slip_answers()["m33"])
    feedback = card.item.check(card.item.slip_answers()["m33"])
    assert feedback.slip == "m33"
    assert "Not yet." in words(card)
    assert feedback.hint in words(card)
    assert feedback.consequence in words(card)
    assert "<ol>" not in card.feedback.value, "no steps before they are asked for"


def test_any_number_of_tries(here):
    card = here.item(2)
    for n in range(12):
        try_it(card, f"{n} % vol", "guessing")
    try_it(card, card.item.answers()[0])
    assert VERDICTS["right"] in words(card)
    assert len(kept(here)) == 13


def test_not_yet_is_not_said_twice(here):
    card = here.item(2)
    try_it(card, "99 % vol")
    assert words(card).count("Not yet") == 1


def test_a_number_alone_is_asked_for_its_unit(here):
    card = here.item(2)
    try_it(card, card.item.answers()[0].split()[0])
    assert "Say the unit too." in words(card)


def test_a_sentence_brings_three_points_to_tick(here):
    card = here.item(8)
    try_it(card, "The leaves bring water, so it ends weaker than the bottle.")
    assert [tick.description for tick in card.points.children] == list(card.item.points)
    assert "Which of these three" in words(card)
    try_it(card, "too weak")
    assert card.points.children == ()


# --- help -----------------------------------------------------------------------------------------------------------


def test_one_step_more_each_time_and_then_no_further(here):
    card = here.item(2)
    for tier in (2, 3, 4, 4):
        card.one_step_more()
        assert card.tier == tier
        lines = card.item.worked(tier)
        assert card.feedback.value.count("<li>") == len(lines)
        assert all(line in words(card) for line in lines)
    assert "fresh set" in words(card)
    assert kept(here) == [], "help alone is not an answer"


def test_the_steps_seen_are_kept_with_the_answer(here):
    card = here.item(2)
    card.one_step_more()
    try_it(card, "99 % vol")
    assert kept(here)[-1].tier == 2
    assert card.item.worked(2)[0] in words(card), "the step stays in sight"


def test_an_item_without_a_sum_says_so(here):
    card = here.item(8)
    card.one_step_more()
    assert "no sum to walk through" in words(card)


def test_a_fresh_set_has_other_figures_and_begins_anew(here):
    card = here.item(2)
    first = card.item.figures
    try_it(card, "99 % vol")
    card.one_step_more()
    card.fresh_set()
    assert card.item.go == 2
    assert card.item.figures != first
    assert card.tier == 1
    assert card.place.value == ""
    assert "5.2, set 2" in card.prompt.value
    try_it(card, card.item.answers()[0])
    assert kept(here)[-1].go == 2


# --- keeping and going on -------------------------------------------------------------------------------------------


def test_the_file_is_written_before_anything_is_said(here, monkeypatch):
    card = here.item(2)
    seen = []
    monkeypatch.setattr(card, "_say", lambda *_: seen.append(len(kept(here))))
    try_it(card, "99 % vol")
    assert seen == [1]


def test_a_card_opened_again_goes_on_where_it_was(here):
    card = here.item(2)
    card.fresh_set()
    card.one_step_more()
    try_it(card, "99 % vol", "guessing")
    again = Here(5).item(2)
    assert again.item.go == 2
    assert again.place.value == "99 % vol"
    assert again.sure.value == "guessing"
    assert again.tier == 2
    assert words(again) == words(card)
    assert len(kept(here)) == 1, "opening it keeps nothing new"


def test_a_choice_opened_again_stands_as_it_was(here):
    card = here.item(3)
    try_it(card, "b")
    assert here.item(3).place.value == "b"


def test_a_killed_kernel_loses_no_answer(here):
    killed = subprocess.run(
        [
            sys.executable,
            "-c",
            "import os\nfrom herbcalc.show.here import Here\n"
            "card = Here(5).item(2)\ncard.place.value, card.sure.value = '31 % vol', 'sure'\n"
            "card._tell = lambda *_: os._exit(9)\ncard.check()",
        ],
        env=os.environ.copy(),
    )
    assert killed.returncode == 9
    assert here.item(2).place.value == "31 % vol"


def test_a_torn_last_line_is_told_on_the_card(here):
    try_it(here.item(2), "99 % vol")
    path = person.answers_path(here.who, here.home)
    with path.open("a", encoding="utf-8") as file:
        file.write('{"schema": 1, "herb')
    again = here.item(2)
    assert again.place.value == "99 % vol"
    assert "torn off" in words(again)
    assert "torn off" in words(here.item(1)), "also where nothing was answered yet"


def test_another_students_lines_in_the_file_do_not_count(here):
    other = homework.item(5, 2, "fern7", 13, 5)
    results.append(person.answers_path(here.who, here.home), results.answer_to(other, "1 % vol", "sure"))
    assert here.item(2).item.go == 1
    assert here.item(2).place.value == ""


def test_where_nothing_can_be_kept_it_is_said_and_the_answer_is_still_looked_at(here):
    card = here.item(2)
    person.answers_path(here.who, here.home).mkdir()
    try_it(card, card.item.answers()[0])
    assert VERDICTS["right"] in words(card)
    assert "could not be kept" in words(card)
    assert not FORBIDDEN.search(words(card))


def test_set_work_says_no_verdict(here, home):
    (home / person.CLASS).write_text("set_work = true\n", encoding="utf-8")
    card = Here(5).item(2)
    for typed in (card.item.answers()[0], "99 % vol"):
        try_it(card, typed)
        assert HANDED_IN in words(card)
        assert VERDICTS["right"] not in words(card)
        assert "Not yet" not in words(card)
    assert len(kept(here)) == 2
    try_it(card, "31")
    assert "Say the unit too." in words(card), "how to type it is still told"


# --- hostile texts --------------------------------------------------------------------------------------------------

HOSTILE = [
    "<img src=x onerror=alert(1)>",
    "</div><script>alert(1)</script>",
    "9" * 500,
    "9**9**9**9 mL",
    "__import__('os').system('true')",
    "\ud800",
    "\x00\x1b[31m",
    "‮28.6 % vol",
    "½" * 200,
    "nan % vol",
    "inf % vol",
    "-1e308 % vol",
    '{"a": 1}\n{"b": 2}',
]


@pytest.mark.parametrize("typed", HOSTILE)
@pytest.mark.parametrize("number", [2, 8])
def test_hostile_texts_are_words_and_nothing_more(here, typed, number):
    card = here.item(number)
    try_it(card, typed)
    said = card.feedback.value
    assert "<img" not in said
    assert "<script" not in said
    assert not FORBIDDEN.search(words(card))
    lines = person.answers_path(here.who, here.home).read_bytes().splitlines()
    assert len(lines) == 1
    assert json.loads(lines[0])["typed"] == typed.strip()
    assert here.item(number).place.value == typed.strip()


def test_what_is_too_long_is_not_kept(here):
    card = here.item(8)
    try_it(card, "water " * 200)
    assert "Say it more briefly" in words(card)
    assert kept(here) == []


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.text(max_size=60))
def test_whatever_is_typed_is_answered_in_kind_words(here, typed):
    item = homework.item(5, 2, "fern7", 12)
    lines = told(item.check(typed))
    assert lines
    assert all(line == line.strip() and line for line in lines)
    # What was typed may be quoted; everything else is ours.
    ours = " ".join(lines).replace(" ".join(typed.split())[:59], "")
    assert not FORBIDDEN.search(ours)


def test_highest_step_is_the_last(here):
    assert here.item(2).item.worked(HIGHEST) == here.item(2).item.worked(HIGHEST + 1)
