"""The card of one homework item: asks first how sure, keeps before it tells, never scolds, goes on after a crash."""

from __future__ import annotations

import itertools
import json
import os
import re
import subprocess
import sys
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.homework.draws import MIXED_GOES
from herbcalc.show.card import HANDED_IN, HIGHEST, TICK, VERDICTS, told
from herbcalc.show.here import Here
from herbcalc.show.question import MEND, SURE
from herbcalc.units.refusals import OutOfRange

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
    card = here.item(number)
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
    assert (card.mend is not None) == (card.item.kind == "find the slip")


def test_each_control_has_a_name(here):
    card = here.item(2)
    assert card.place.description == "Your answer, with its unit"
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
    assert [a.typed for a in kept(here)] == ["", "99 % vol"], (
        "the fresh set and the answer; opening keeps nothing new"
    )


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


# --- what was understood --------------------------------------------------------------------------------------------


def lines_said(card):
    return [
        unescape(line) for line in re.findall(r"<p[^>]*>(?:<strong>)?(.*?)(?:</strong>)?</p>", card.feedback.value)
    ]


@pytest.mark.parametrize(
    ("typed", "read", "then"),
    [
        ("so it is 28.6 %!", "I read 28.6 % vol.", None),
        ("57 proof", "I read 57 proof (28.5 % vol).", None),
        ("31", "I read 31, without a unit.", "Say the unit too."),
        ("99 % vol", "I read 99 % vol.", "Not yet."),
    ],
)
def test_what_was_read_is_said_before_all_else(here, typed, read, then):
    card = here.item(2)
    try_it(card, typed)
    said = lines_said(card)
    assert said[0] == read
    assert said[1] == (then or VERDICTS[card.item.check(typed).verdict])


def test_where_nothing_was_read_nothing_is_said_of_it(here):
    card = here.item(2)
    try_it(card, "no idea")
    assert lines_said(card)[0] == VERDICTS["unread"]
    assert "I read" not in words(card)


def test_what_was_read_is_said_of_set_work_too(here, home):
    (home / person.CLASS).write_text("set_work = true\n", encoding="utf-8")
    card = Here(5).item(2)
    try_it(card, "57 proof")
    assert lines_said(card) == ["I read 57 proof (28.5 % vol).", HANDED_IN]


# --- a fresh set, and walking it alone by and by --------------------------------------------------------------------


def test_a_fresh_set_asked_for_is_there_when_the_notebook_opens_again(here):
    card = here.item(2)
    try_it(card, "99 % vol")
    card.fresh_set()
    again = Here(5).item(2)
    assert again.item.go == 2
    assert again.item.figures == card.item.figures
    assert (again.place.value, again.feedback.value) == ("", "")
    assert "5.2, set 2" in again.prompt.value


def test_the_set_worked_on_last_is_opened_whatever_another_edition_had(here):
    other = replace(results.answer_to(homework.item(5, 2, "fern7", 12, 7), "1 % vol", "sure"), edition=999)
    results.append(person.answers_path(here.who, here.home), other)
    assert here.item(2).item.go == 1


def already(card):
    return [unescape(line) for line in re.findall("<li>(.*?)</li>", card.given.value)]


def test_after_a_whole_way_the_next_sets_give_less_and_less(here):
    card = here.item(2)
    assert already(card) == []
    while card.tier < HIGHEST:
        card.one_step_more()
    for left_out in (1, 2, 0):
        card.fresh_set()
        assert already(card) == card.item.given(left_out)
        assert ("The way stands above" in words(card)) == (left_out > 0)
        assert ("Given so far:" in card.given.value) == (left_out > 0)
        assert already(Here(5).item(2)) == already(card), "and so it stands there again"
    assert sum("____" in line for line in card.item.given(2)) == 2


def test_without_a_whole_way_nothing_is_given(here):
    card = here.item(2)
    card.one_step_more()
    card.fresh_set()
    assert already(card) == []
    assert "stands above" not in words(card)


def test_what_is_given_is_not_shown_again_as_a_step(here):
    card = here.item(2)
    while card.tier < HIGHEST:
        card.one_step_more()
    card.fresh_set()
    card.one_step_more()
    assert card.tier == HIGHEST
    card.fresh_set()
    card.fresh_set()
    card.one_step_more()
    assert card.tier == 3, "all but two stood there, so the next step is all but one"


def test_a_fresh_set_that_cannot_be_kept_is_said_and_shown(here):
    card = here.item(2)
    person.answers_path(here.who, here.home).mkdir()
    while card.tier < HIGHEST:
        card.one_step_more()
    card.fresh_set()
    assert card.item.go == 2
    assert "could not be kept" in words(card)
    assert already(card) == card.item.given(1)


def test_sets_end_before_those_of_another_place_begin(here):
    first = homework.item(5, 2, "fern7", 12)
    last = homework.item(5, 2, "fern7", 12, MIXED_GOES - 1)
    results.append(person.answers_path(here.who, here.home), results.fresh_set(last))
    card = here.item(2)
    card.fresh_set()
    assert card.item.go == MIXED_GOES - 1
    assert "No more sets" in words(card)
    assert len(kept(here)) == 1
    assert card.item.figures != first.figures


# --- ticks and the mended figure ------------------------------------------------------------------------------------

SENTENCE = "The leaves bring water, so it ends weaker than the bottle."


def test_a_tick_is_kept_as_soon_as_it_is_set_and_comes_back(here):
    card = here.item(8)
    try_it(card, SENTENCE, "sure")
    card.points.children[0].value = True
    card.points.children[2].value = True
    assert [(a.typed, a.sure, a.ticked) for a in kept(here)] == [
        (SENTENCE, "sure", ()),
        (SENTENCE, "sure", (1,)),
        (SENTENCE, "sure", (1, 3)),
    ]
    assert "Kept: ticked 1, 3." in card.noted.value
    again = here.item(8)
    assert [tick.value for tick in again.points.children] == [True, False, True]
    assert len(kept(here)) == 3, "opening it keeps nothing new"


def test_a_tick_taken_away_stays_away(here):
    card = here.item(8)
    try_it(card, SENTENCE)
    card.points.children[1].value = True
    card.points.children[1].value = False
    assert "Kept: nothing." in card.noted.value
    again = here.item(8)
    assert [tick.value for tick in again.points.children] == [False] * 3
    assert len(results.tries(kept(here), again.item)) == 1, "all of it is one answer"


def test_ticks_belong_to_what_was_typed(here):
    card = here.item(8)
    try_it(card, SENTENCE)
    card.points.children[1].value = True
    card.check()
    assert card.points.children[1].value, "the same sentence once more: its ticks stay"
    assert here.item(8).points.children[1].value
    card.place.value = "Another sentence is typed, and not looked at yet."
    card.points.children[0].value = True
    assert kept(here)[-1].typed == SENTENCE
    card.check()
    assert [tick.value for tick in card.points.children] == [False] * 3
    assert kept(here)[-1].ticked == ()


def test_points_to_tick_are_named_as_a_group(here):
    card = here.item(8)
    try_it(card, SENTENCE)
    assert card.manners.points == TICK[True]
    assert card.manners.points in words(card)
    assert "herb-points" in card.points._dom_classes


def test_a_choice_says_its_points_once(home):
    card = Here(9).item(1)
    try_it(card, card.item.right_letters)
    assert words(card).count(card.item.points[0]) == 0, "they stand beside their boxes"
    assert [tick.description for tick in card.points.children] == list(card.item.points)
    assert TICK[False] in words(card)


@pytest.mark.parametrize(("lesson", "number"), [(3, 7), (6, 6)])
def test_the_mended_figure_has_a_box_and_is_kept(home, lesson, number):
    here = Here(lesson)
    card = here.item(number)
    assert card.mend is None
    try_it(card, card.item.right_letters)
    assert card.mend.description == MEND
    assert "mend" not in words(card), "it is asked once"
    card.mend.value = " 178 g "
    card.mend._handle_custom_msg({"event": "submit"}, [])
    assert [a.mended for a in kept(here)] == ["", "178 g"]
    assert "Kept: 178 g." in card.noted.value
    again = Here(lesson).item(number)
    assert again.mend.value == "178 g"
    assert len(results.tries(kept(here), again.item)) == 1
    again.place.value = next(letter for letter in "abcd" if letter != again.item.right_letters)
    again.check()
    assert again.mend is None
    assert kept(here)[-1].mended == ""


def test_a_mended_figure_is_text_and_of_a_bearable_length(home):
    here = Here(3)
    card = here.item(7)
    try_it(card, card.item.right_letters)
    card.mend.value = "9" * 501
    assert "Say it more briefly" in card.noted.value
    assert len(kept(here)) == 1
    card.mend.value = "<img src=x>"
    assert "<img" not in card.noted.value
    assert kept(here)[-1].mended == "<img src=x>"


def test_where_set_work_is_handed_in_the_box_gives_nothing_away(home):
    (home / person.CLASS).write_text("set_work = true\n", encoding="utf-8")
    here = Here(3)
    card = here.item(7)
    for letter in "abcd":
        try_it(card, letter)
        assert card.mend is not None
    card.mend.value = "178 g"
    assert kept(here)[-1].mended == "178 g"


def test_a_tick_that_could_not_be_kept_is_said_and_tried_again(here):
    card = here.item(8)
    path = person.answers_path(here.who, here.home)
    path.mkdir()
    try_it(card, SENTENCE)
    card.points.children[0].value = True
    assert "could not be kept" in card.noted.value
    path.rmdir()
    card.points.children[2].value = True
    assert [a.ticked for a in kept(here)] == [(1, 3)]


# --- items of earlier lessons ---------------------------------------------------------------------------------------


def test_a_mixed_item_keeps_its_answers_beside_those_of_its_lesson(home):
    person.save_me("fern7", 12)
    here = Here(7)
    for which in (1, 2):
        card = here.mixed(which)
        lesson, number = card.item.ask.lesson, card.item.ask.number
        assert lesson < 7
        assert f"{card.item.code}, from lesson {lesson}" in card.prompt.value
        assert "set" not in re.search("<h3>(.*?)</h3>", card.prompt.value)[1]
        card.fresh_set()
        assert f"from lesson {lesson}, set 2" in card.prompt.value
        try_it(card, card.item.answers()[0], "sure")
        again = Here(7).mixed(which)
        assert again.item.figures == card.item.figures
        assert again.place.value == card.place.value
        own = Here(lesson).item(number)
        assert own.item.go == 1
        assert own.place.value == ""
    assert [a.item for a in kept(here) if a.typed] == [item.code for item in homework.mixed(7, "fern7", 12)]


def test_a_mixed_item_that_is_not_there(home):
    with pytest.raises(OutOfRange, match="It has 1 and 2"):
        Here(7).mixed(3)
    with pytest.raises(OutOfRange, match="No lesson with homework comes before"):
        Here(homework.LESSONS[0]).mixed(1)


@pytest.mark.parametrize("lesson", homework.LESSONS)
def test_the_exercise_notebook_shows_all_items_in_their_order(lesson):
    path = next((Path(__file__).parents[3] / "exercises").glob(f"{lesson:02d}_*.ipynb"))
    cells = ["".join(cell["source"]) for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]]
    wanted = [f"here.item({number})" for number in homework.order(lesson)]
    wanted += ["here.mixed(1)", "here.mixed(2)"] if lesson > homework.LESSONS[0] else []
    assert [cell for cell in cells if cell.startswith("here.")] == [*wanted, "here.hand_in()"]
    for before, cell in itertools.pairwise(cells):
        if cell.startswith("here.item("):
            assert before.startswith(f"## {lesson}.{cell[10:-1]} ")


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
    # Half a character, which no screen can show, comes back as a question mark.
    assert here.item(number).place.value == typed.strip().encode("utf-8", errors="replace").decode("utf-8")


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
