"""After a Yes: it stays, the sum stands in one line, and there is a way on. And the picture's switch."""

from __future__ import annotations

import re
from html import unescape

import pytest

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.show.card import HAD, HANDED_IN, NOW, VERDICTS, onward, picture
from herbcalc.show.here import Here
from herbcalc.show.question import asked_for

EVERY = pytest.mark.parametrize("code", homework.items(), ids=lambda code: f"{code[0]}.{code[1]}")
LINE = "The sum in one line:"


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    person.news()
    yield tmp_path
    picture.WISH.shown = True


@pytest.fixture
def here(home):
    person.save_me("fern7", 12)
    return Here(5)


def words(card):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", card.feedback.value)).split())


def try_it(card, typed):
    card.place.value, card.sure.value = typed, "fairly"
    card.check()


# --- a Yes stays ----------------------------------------------------------------------------------------------------


def test_a_solved_item_keeps_its_yes_whatever_is_typed_later(here):
    card = here.item(2)
    right = card.item.answers()[0]
    try_it(card, "99 % vol")
    assert HAD not in words(card)
    try_it(card, right)
    read = card.item.check(right).read
    for later in ("99 % vol", "31", "no idea", card.item.slip_answers()["m33"]):
        try_it(card, later)
        assert f"{HAD}: {read}. {NOW} {VERDICTS[card.item.check(later).verdict]}" in words(card)
        assert card.onward.value
    kept, _ = results.read(person.answers_path(here.who, here.home))
    assert len(kept) == 6, "the later tries are kept too"
    assert HAD in words(Here(5).item(2)), "and so it stands there again"
    card.one_step_more()
    assert HAD in words(card)
    try_it(card, right)
    assert HAD not in words(card)
    assert VERDICTS["right"] in words(card)


def test_a_fresh_set_begins_anew(here):
    card = here.item(2)
    try_it(card, card.item.answers()[0])
    card.fresh_set()
    assert card.onward.value == ""
    try_it(card, "99 % vol")
    assert HAD not in words(card)
    assert card.onward.value == ""


def test_a_choice_and_a_sentence_keep_their_yes_too(here):
    card = here.item(3)
    right = card.item.right_letters
    other = next(letter for letter in "abc" if letter != right)
    try_it(card, right)
    try_it(card, other)
    assert f"{HAD}: {right}." in words(card)
    card = here.item(8)
    try_it(card, "The leaves bring water, so it ends weaker than the bottle.")
    try_it(card, "too weak")
    assert f"{HAD}. {NOW}" in words(card)


def test_set_work_keeps_saying_handed_in(here, home):
    (home / person.CLASS).write_text("set_work = true\n", encoding="utf-8")
    card = Here(5).item(2)
    for typed in (card.item.answers()[0], "99 % vol"):
        try_it(card, typed)
        assert words(card).endswith(HANDED_IN)
        assert card.onward.value, "the way on gives nothing away"
    try_it(card, "31")
    assert HAD not in words(card)


# --- the sum in one line, and the way on ----------------------------------------------------------------------------


@EVERY
def test_after_a_yes_the_sum_stands_in_one_line_where_there_is_one(home, code):
    card = Here(code[0]).item(code[1])
    item = card.item
    answer = item.right_letters if type(card.place).__name__ == "RadioButtons" else item.answers()[0]
    try_it(card, "zzz" if item.kind == "sum" else answer)
    if item.kind == "sum":
        assert LINE not in words(card)
        assert card.onward.value == ""
        try_it(card, answer)
        last = item.worked(4)[-1].rpartition("= ")[2]
        assert words(card).partition(LINE)[2].strip().endswith(f"{last}.")
    line = onward.in_one_line(item)
    assert (LINE in words(card)) == bool(line)
    assert len(line) <= onward.LONG + 20
    assert "⟦" not in line
    if item.kind == "find the slip":
        assert line == "", "its figure is still asked for"
    assert card.onward.value.count("<button") == 1


def test_the_button_says_what_comes_where_no_further_card_stands(here):
    card = here.item(2)
    try_it(card, card.item.answers()[0])
    assert ">Next: 5.3, in Exercises 5</button>" in card.onward.value
    assert 'data-page="exercises/05_"' in card.onward.value
    mixed = here.mixed(1)
    assert onward.after(5, mixed.item) == ("Next: lesson 6", "workbook/06_")
    assert onward.after(4, homework.item(4, 2, "fern7", 12))[0] == "Next: 4.4, in Exercises 4", "the page's own order"


def test_the_script_knows_a_homework_card_by_its_name(here):
    assert here.item(2).manners.item == "5.2"
    assert re.fullmatch(r"\d\.\d, from lesson \d", here.mixed(1).manners.item)


# --- labels ---------------------------------------------------------------------------------------------------------


@EVERY
def test_a_label_says_where_a_unit_belongs_and_names_one_only_where_that_one_is_asked(code):
    item = homework.item(*code, "fern7", 12)
    label = asked_for(item.ask.want)
    if item.kind != "sum":
        assert label == ""
        return
    number = re.search(r"[\d.]+", item.answers()[0].rpartition(":")[2]).group()
    bare_counts = item.check(number).verdict == "right"
    assert (label == "") == bare_counts, "what the label says is what a number alone gets"
    named = re.search(r"in (.+), with its unit", label)
    assert bool(named) == bool(item.ask.want.only)
    assert not named or named.group(1) == item.unit


# --- the switch -----------------------------------------------------------------------------------------------------


def test_pictures_go_off_by_one_press_on_all_cards_of_a_notebook(here):
    first, second = here.item(1), here.item(2)
    assert "<svg" in first.picture.drawing.value
    assert "<svg" in second.picture.drawing.value
    first.picture.tick.value = False
    assert first.picture.drawing.value == second.picture.drawing.value == ""
    assert second.picture.tick.value is False
    assert here.item(4).picture.drawing.value == "", "also on one that is opened later"
    second.picture.tick.value = True
    assert "<svg" in first.picture.drawing.value


def test_a_fresh_set_has_its_own_picture_and_what_is_no_sum_has_none(here):
    card = here.item(2)
    before = card.picture.drawing.value
    card.fresh_set()
    assert card.picture.drawing.value != before
    assert here.item(3).picture.children == ()
    assert here.item(3).picture.drawing.value == ""


def test_the_picture_is_named_and_its_sentence_stands_below_it(here):
    value = here.item(2).picture.drawing.value
    assert f'role="img" aria-label="{picture.ALT}"' in value
    assert "Asked: the jar: how many % vol?" in unescape(value)


def test_what_is_stored_holds_no_picture(here):
    assert "<svg" not in here.item(2)._repr_mimebundle_()["text/html"]
