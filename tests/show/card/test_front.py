"""The front page without a browser: the path, the practice box, handing in; and every sentence that they can say."""

from __future__ import annotations

import base64
import json
import re
from html import unescape
from pathlib import Path

import pytest

from herbcalc import homework, person
from herbcalc.homework import capstone, progress, results
from herbcalc.person import batches
from herbcalc.show.card import handing, load_again, mine, path, practice, start
from herbcalc.show.card.practice import heard, how
from herbcalc.show.here import Here, lessons
from herbcalc.show.shelf import books

SHELF = Path(__file__).resolve().parents[3] / "workbook"
FORBIDDEN = re.compile(
    r"\b(errors?|invalid|wrong(ly)?|incorrect|mistakes?|fail(ed|s)?|illegal|traceback)\b", re.IGNORECASE
)
METRIC, KITCHEN = re.compile(r"\d (g|kg|mL|L)\b"), re.compile(r"\b(oz|lb|tsp|cups?|fl oz)\b")


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path / "home"))
    person.news()
    return tmp_path / "home"


def words(place):
    return plain(place.value)


def plain(html):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def say(lesson, number, typed=None, tier=1, who=("fern7", 12)):
    item = homework.item(lesson, number, *who)
    text = item.answers()[0] if typed is None else typed
    results.append(person.answers_path(person.Me(*who)), results.answer_to(item, text, "sure", tier))


def front(near=SHELF):
    return path.Front(Here(0), lessons(), near)


# --- the path -------------------------------------------------------------------------------------------------------


def test_a_row_for_each_lesson_with_links_that_lead_somewhere(home):
    shown = front().html()
    rows = re.findall(r"<li>(.*?)</li>", shown)
    assert len(rows) == len({*lessons(), *homework.LESSONS})
    for link in re.findall(r'href="([^"#]+)', shown):
        assert (SHELF / link).is_file(), link
    for lesson, number in homework.items():
        assert f"{lesson}.{number}" in shown
    assert "Practice figures" in plain(shown)
    assert "Begin here: lesson" in plain(shown)


def test_one_s_own_jar_has_a_row_and_no_exercises(home):
    front = Here(0).path()
    front.near = SHELF
    row = re.findall(r"<li>(.*?)</li>", front.html())[-1]
    assert '<a href="15_my_own_jar.ipynb">15. My own jar</a>' in row
    assert "Exercises" not in row


def test_first_aid_is_offered_before_the_lessons_where_it_is_there(home, tmp_path):
    shown = front().html()
    row = f'<a href="{path.FIRST_AID}">First aid for sums</a>'
    assert (SHELF / path.FIRST_AID).is_file()
    assert 0 < shown.index(row) < shown.index('<ul class="herb-path">')
    assert path.FIRST_AID not in path.Front(Here(0), lessons(), tmp_path).html()


def test_the_states_stand_in_words_and_shapes_and_no_sum_of_them(home):
    person.save_me("fern7", 12)
    for number, typed, tier in ((1, None, 1), (2, None, 3), (3, "5 g", 1), (4, "5 g", 1)):
        say(3, number, typed, tier)
    shown = plain(front().html())
    assert "✓ 3.1: done ◐ 3.2: done with help … 3.3, 3.4: not yet ○ 3.7" in shown
    assert "You were at 3.4, When to stop the tray. Go on with 3.4" in shown
    assert "Practice figures" not in shown
    assert not re.search(r"\d+ (of|/) \d+|points|score|\d ?%", shown)


def test_a_link_names_its_item_and_opens_at_it(home):
    person.save_me("fern7", 12)
    say(3, 4, "5 g")
    to = re.search(r'href="(\.\./exercises/03_\w+\.ipynb)#cell-id=([\w-]+)"', front().html())
    cells = json.loads((SHELF / to[1]).read_text(encoding="utf-8"))["cells"]
    cell = next(cell for cell in cells if cell["id"] == to[2])
    assert "3.4" in "".join(cell["source"])


def test_after_a_yes_the_next_one_is_named(home):
    person.save_me("fern7", 12)
    say(3, 4)
    follows = homework.order(3)[homework.order(3).index(4) + 1]
    shown = plain(front().html())
    assert "3.4: done. Next is" in shown
    assert f"Go on with 3.{follows}" in shown


def test_in_set_work_no_verdict_is_seen(home):
    person.save_me("fern7", 12)
    (home / person.CLASS).write_text("set_work = true\n", encoding="utf-8")
    say(3, 1)
    say(3, 2, homework.item(3, 2, "fern7", 12).slip_answers().popitem()[1])
    shown = plain(front().html())
    assert "➜ 3.1, 3.2: handed in" in shown
    assert "done:" not in shown
    assert "not yet" not in shown


SET = """[set]
items = ["5.1-5.3", "3.4"]
by = "<b>Thursday's</b> class"
"""


def a_set(home, text=SET):
    person.save_me("fern7", 12)
    (home / person.CLASS).write_text(text, encoding="utf-8")


def test_what_is_set_for_the_week_stands_first_with_states_and_ways_there(home):
    a_set(home)
    say(5, 1)
    say(5, 2, "9 % vol")
    shown = front().html()
    assert shown.index("herb-set") < shown.index("herb-go")
    block = re.search(r'<div class="herb-set">(.*?)</div>', shown)[1]
    assert plain(block) == (
        "For <b>Thursday's</b> class: 3.4 and 5.1 to 5.3 ○ 3.4, When to stop the tray : not tried ✓ 5.1, Water in "
        "the plant : done … 5.2, Final strength : not yet ○ 5.3, Does it keep? : not tried"
    )
    assert "<b>" not in block
    links = re.findall(r'href="([^"#]+)#cell-id=([\w-]+)"', block)
    assert len(links) == 4
    for page, cell in links:
        cells = json.loads((SHELF / page).read_text(encoding="utf-8"))["cells"]
        assert cell in [one["id"] for one in cells]


def test_what_is_set_and_open_is_where_to_go_on(home):
    a_set(home)
    assert "Begin here: lesson 3, What the air takes" in plain(front().html())
    say(5, 1)
    assert "5.1: done. Next is 3.4, When to stop the tray. Go on with 3.4" in plain(front().html())
    for number in (3, 2):
        say(5, number)
    say(6, 1, "9 g")
    assert "You were at 6.1" in plain(front().html()), "nobody is led away from what they are at"
    say(3, 4)
    assert "3.4: done. Next is 3.7" in plain(front().html()), "all of it is done"
    assert "Does it keep? : done" in plain(front().html())
    assert "?." not in plain(front().html())


@pytest.mark.parametrize(
    ("items", "mode", "said"),
    [
        ("5.1-5.2", "", "Both are done."),
        ("5.1", "", "It is done."),
        ("5.1-5.4", "", "All 4 are done."),
        ("5.1-5.4", "set_work = true\n", "All 4 are handed in."),
    ],
)
def test_when_all_of_it_is_done_it_says_so(home, items, mode, said):
    a_set(home, f'{mode}[set]\nitems = "{items}"\n')
    numbers = [number for number in homework.order(5) if number in range(1, int(items[-1]) + 1)]
    for number in numbers[:-1]:
        say(5, number)
    assert said not in plain(front().html())
    assert path.TO_SEND not in front().html()
    say(5, numbers[-1], tier=1 if mode else 3)
    assert f"{said} {path.TO_SEND}" in plain(front().html())


def test_where_nothing_is_set_nothing_is_shown(home):
    for text in ("", "[set]\n", '[set]\nitems = ["5.99"]\n'):
        a_set(home, text)
        assert "herb-set" not in front().html()
    assert "Item 5.1 would work" in " ".join(Here(0).notes)


def test_a_page_says_in_one_line_what_of_it_is_set(home):
    a_set(home)
    assert Here(5).notes == ["For <b>Thursday's</b> class: 5.1 to 5.3, in Exercises 5."]
    assert Here(3).notes == ["For <b>Thursday's</b> class: 3.4, in Exercises 3."]
    assert Here(4).notes == Here(0).notes == []


@pytest.mark.parametrize("opened", [[3], []])
def test_what_is_set_from_a_lesson_that_is_not_open_says_so(home, opened):
    a_set(home, f"open = {opened}\n{SET}")
    early = "Your class has not come to lesson 5 yet: look round in it first, or ask your teacher."
    assert early in plain(front().html())
    assert ("lesson 3 yet" in plain(front().html())) == (opened == [])
    assert Here(5).notes == [f"For <b>Thursday's</b> class: 5.1 to 5.3, in Exercises 5. {early}"]


def test_lessons_that_the_class_has_not_come_to(home):
    home.mkdir()
    (home / person.CLASS).write_text("open = [4]\n", encoding="utf-8")
    shown = front().html()
    assert shown.count(path.NOT_OPEN) == shown.count("<li>") - 1
    assert "Begin here: lesson 4" in plain(shown)


def test_all_done():
    shelf = books(SHELF, [3])
    now = {"3.1": progress.DONE, "3.2": progress.HELPED}
    assert path.onward(shelf, now, "3.2", path.following(now, "3.2")) == path.ALL_DONE


def test_broken_lines_are_named_and_the_rows_stand(home):
    person.save_me("fern7", 12)
    say(3, 1)
    with person.answers_path(person.Me("fern7", 12)).open("a") as out:
        out.write("<b>torn\n")
    shown = front().html()
    assert "3.1: done" in plain(shown)
    assert "A word about your result file" in shown
    assert "<b>torn" not in shown


def test_the_row_of_the_capstone_says_how_far_the_plan_has_come(home):
    here = Here(0)
    rows = path.Front(here, [*lessons(), capstone.LESSON], SHELF)
    assert "Your plan: nothing written yet." in rows.html()
    batches.save_typed("plan", "gather", "9000", home)
    batches.save_typed("plan", "allowed", "3", home)
    assert "Your plan: 0 of 10 pages written; 1 place to look at again." in rows.html()


def test_where_no_notebooks_are_beside_the_page(home, tmp_path):
    shown = front(tmp_path).html()
    assert path.NO_BOOKS in shown
    assert "href" not in shown
    assert shown.count("<li>") == len({*lessons(), *homework.LESSONS})


def test_a_notebook_that_is_none_any_more_and_a_copy_beside_one(tmp_path):
    (tmp_path / "05_plant_water.ipynb").write_text('{"cells": [{"id": 1}]}')
    (tmp_path / "05_plant_water_copy.ipynb").write_text("{")
    (book,) = books(tmp_path, [5])
    assert (book.title, book.lesson) == ("Lesson 5", "05_plant_water.ipynb")


class Shown:
    """What stands for the display in a notebook, and takes the rows anew."""

    def __init__(self):
        self.last = ""

    def update(self, bundle, raw):
        assert raw
        self.last = plain(bundle["text/html"])


def test_the_rows_follow_the_file_and_the_person(home):
    here = Here(0)
    boxes, rows = here.panel(), path.Front(here, lessons(), SHELF)
    rows.shown = Shown()
    boxes.code.value, boxes.number.value = "fern7", "12"
    boxes.keep()
    assert "Begin here" in rows.shown.last
    assert "Practice figures" not in rows.shown.last
    say(3, 4)
    rows.look_again()
    assert "3.4: done" in rows.shown.last
    assert "Looked again" in words(rows.said)
    boxes.number.value = "13"
    boxes.keep()
    assert "3.4: done" not in rows.shown.last


def test_rows_that_come_into_view_again_are_as_the_file_is_and_move_only_for_that(home):
    here = Here(0)
    here.now(person.save_me("fern7", 12, here.home), known=True)
    rows = path.Front(here, lessons(), SHELF)
    rows._bundle()
    rows.shown = Shown()
    sight = rows.sight
    rows.shown.last = "as before"
    sight._handle_custom_msg({"seen": True}, [])
    assert rows.shown.last == "as before"
    say(3, 4)
    sight._handle_custom_msg({"seen": True}, [])
    assert "3.4: done" in rows.shown.last


# --- the box to play with -------------------------------------------------------------------------------------------

TYPED = [
    "100 g",
    "3 1/2 oz",
    "80 leaves",
    "12 plants",
    "1:5",
    "40 % vol",
    "$5",
    "6 weeks",
    "85 °F",
    "350",
    "40 %",
    "",
    " ",
]
SILLY = [
    "hello",
    "<b>1</b>",
    "9" * 400,
    "--",
    "5 5 5 5 5 5",
    "1e999 g",
    "9**9**9",
    "🙂",
    "nan",
    "inf g",
    "\x00",
    "5 mL/0",
]


@pytest.mark.parametrize("typed", TYPED + SILLY)
def test_whatever_is_typed_gets_a_kind_sentence(typed):
    told = heard(typed)
    assert told
    for line in told:
        assert not FORBIDDEN.search(line), line
        assert line.endswith("."), line
    unquoted = re.sub(r'"[^"]*"', "", told[0])
    assert KITCHEN.search(unquoted) or not METRIC.search(unquoted), told[0]


@pytest.mark.parametrize("typed", ["Fern 7", "fern7", "12"])
def test_a_class_code_or_number_typed_there_is_shown_its_place(typed):
    assert "under Who is working" in heard(typed)[-1]


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("100 g", "I read 100 g (3 1/2 oz): a weight."),
        ("3 1/2 oz", "I read 3 1/2 oz (99.2 g): a weight."),
        ("80 leaves", 'I read 80: a count, from "80 leaves".'),
        ("80 proof", "I read 80 proof (40 % vol): a strength."),
        ("$5", 'I read "$5": an amount of money.'),
        ("hello", "No harm done."),
        ("", "Nothing stands there yet."),
    ],
)
def test_what_was_read_is_said(typed, first):
    assert heard(typed)[0] == first


def test_the_box_reads_and_keeps_nothing(home):
    card = Here(0).practice()
    card.box.value = "100 g"
    card.read()
    assert "I read 100 g (3 1/2 oz)" in words(card.said)
    card.box.value = "<i>x</i>"
    card.read()
    assert "<i>" not in card.said.value
    assert not home.exists()


def test_somebody_who_has_been_here_finds_it_behind_a_button(home):
    card = Here(0).practice()
    assert {card.first, card.said} <= set(card.children)
    person.save_me("fern7", 12)
    card = Here(0).practice()
    assert card.first not in card.children
    card.unfold()
    assert card.first in card.children


def test_the_picture_has_words_and_is_a_picture():
    image = re.search(r'<img [^>]*alt="([^"]+)" src="data:image/svg\+xml;base64,([^"]+)"', how())
    for said in ("Run, then Run All Cells", "Shift and Enter", "square brackets", "box to type in"):
        assert said in image[1]
    drawn = base64.b64decode(image[2]).decode("utf-8")
    assert drawn.startswith("<svg ")
    for word in ("Run All Cells", "[1]", "Shift", "Enter"):
        assert word in drawn


# --- handing in -----------------------------------------------------------------------------------------------------


def test_nothing_to_save_yet_is_said_kindly(home):
    person.save_me("fern7", 12)
    button = Here(5).hand_in()
    button.save()
    assert "nothing to save yet" in words(button.said)
    assert not (home / person.FOR_TEACHER).exists()


def test_a_copy_is_saved_shown_and_counted_anew(home):
    person.save_me("fern7", 12)
    say(3, 1, "<b>5</b> g ½")
    button = Here(5).hand_in()
    button.save()
    copy, kept = home / "for-the-teacher" / "answers-fern7-12.jsonl", person.answers_path(person.Me("fern7", 12))
    assert copy.read_bytes() == kept.read_bytes()
    assert "Saved: 1 line." in words(button.said)
    assert str(copy) in words(button.said)
    assert "Send that one file" in words(button.said)
    assert linked(button) == (kept.name, kept.read_bytes())
    assert "no name" in words(button.inside)
    assert handing.NO_NUMBER not in words(button.said)
    say(3, 2)
    button.save()
    assert "Saved again: 2 lines now, 1 before." in words(button.said)
    assert copy.read_bytes() == kept.read_bytes()


def linked(button):
    """The name and the bytes of what a link on the card saves."""
    link = re.search(r'<a download="([^"]+)" href="data:[^,]+;base64,([^"]+)"', button.said.value)
    return link[1], base64.b64decode(link[2])


def test_what_is_in_the_file_can_be_read_before_it_is_saved_and_grows_with_it(home):
    person.save_me("fern7", 12)
    here = Here(5)
    button = here.hand_in()
    assert button.inside.value == ""
    card, kept = here.item(1), person.answers_path(here.who, here.home)
    for count, typed in enumerate(("<b>5</b> g ½", "9 mL"), 1):
        card.place.value, card.sure.value = typed, "fairly"
        card.check()
        button.sight._handle_custom_msg({"seen": True}, [])
        assert f"{handing.WHAT_IS_IN_IT}: {count} line" in words(button.inside)
        shown = re.search(r"<details>.*<pre[^>]*>(.*?)</pre>", button.inside.value, re.DOTALL)[1]
        assert "<b>" not in shown
        assert unescape(shown) == kept.read_text("utf-8")
    assert not (home / person.FOR_TEACHER).exists()
    here.now(person.save_me("fern7", 13, here.home), known=True)
    assert button.inside.value == "", "another number has a file of its own"


def test_of_a_very_long_file_the_end_is_shown_and_it_says_so(home, monkeypatch):
    monkeypatch.setattr(handing, "MOST_SHOWN", 2)
    person.save_me("fern7", 12)
    for typed in ("1 g", "2 g", "3 g"):
        say(3, 1, typed)
    button = Here(5).hand_in()
    assert handing.TOO_MANY in words(button.inside)
    assert button.inside.value.count("fern7") == 2
    assert "3 g" in button.inside.value
    button.save()
    assert linked(button)[1].count(b"\n") == 3


def test_practice_answers_say_that_nobody_can_tell_whose_they_are(home):
    say(3, 1, who=("practice", 1))
    button = Here(0).hand_in()
    button.save()
    assert handing.NO_NUMBER in words(button.said)


def test_a_folder_that_is_in_the_way_is_told(home):
    person.save_me("fern7", 12)
    say(3, 1)
    (home / person.FOR_TEACHER).write_text("in the way")
    button = Here(0).hand_in()
    button.save()
    assert "Not saved yet" in words(button.said)
    assert "in the way" in words(button.said)
    assert linked(button)[1] == (home / "answers-fern7-12.jsonl").read_bytes(), "the link is a way on"
    (home / person.FOR_TEACHER).unlink()
    button.save()
    assert "Saved: 1 line." in words(button.said)


def test_in_the_browser_it_is_a_link_to_save_it_by(home, monkeypatch):
    monkeypatch.setattr(handing, "BY_LINK", True)
    person.save_me("fern7", 12)
    say(3, 1)
    button = Here(0).hand_in()
    button.save()
    assert linked(button) == ("answers-fern7-12.jsonl", person.result_file(person.Me("fern7", 12)).encode())
    assert not (home / person.FOR_TEACHER).exists()


# --- the page itself ------------------------------------------------------------------------------------------------


def test_the_start_page_has_no_code_to_edit_and_leads_on():
    cells = json.loads((SHELF / "00_start.ipynb").read_text(encoding="utf-8"))["cells"]
    *page, notes = cells
    assert notes["metadata"] == {}
    for cell in page:
        assert cell["metadata"]["deletable"] is False
        assert cell["metadata"]["editable"] is False
        if cell["cell_type"] == "code":
            assert cell["metadata"]["jupyter"] == {"source_hidden": True}
            assert len(cell["source"]) <= 2
    first = books(SHELF, sorted({*lessons(), *homework.LESSONS}))[0]
    assert f"({first.lesson})" in "".join(page[-1]["source"])
    assert first.title in "".join(page[-1]["source"])


def said_by(here):
    """All that stands on the page and in its notes, for who works there now."""
    yield from (
        value for module in (handing, load_again, path, practice, start, mine) for value in vars(module).values()
    )
    rows = path.Front(here, lessons(), SHELF)
    yield plain(rows.html())
    for card, presses in (
        (here.panel(), ("change", "keep", "keep_teacher")),
        (here.practice(), ("unfold", "read")),
        (here.hand_in(), ("save", "save")),
        (here.load_again(), ("look", "add")),
        (here.mine(), ("ask_before_deleting", "leave")),
    ):
        yield card.stored_html
        for press in presses:
            getattr(card, press)()
            yield from (part.value for part in card.children if hasattr(part, "value"))


def test_every_sentence_of_the_page_is_plain(home):
    told = []
    for who in (None, 12):
        if who:
            person.save_me("fern7", who)
            say(3, 1, "7 g")
        told += [one for one in said_by(Here(0)) if isinstance(one, str)]
    assert len(told) > 40
    for text in told:
        assert not FORBIDDEN.search(plain(text)), text
