"""The picture of a sum: only what the question tells, with a "?" in it, no words on other words, drawn in a blink."""

from __future__ import annotations

import functools
import itertools
import re
import statistics
import subprocess
import sys
import time

import pytest
from matplotlib.text import Text

from herbcalc import homework
from herbcalc.show import given
from herbcalc.show.draw.palette import LIGHT
from herbcalc.show.given.drawing import drawn
from herbcalc.show.given.parts import Row
from tests.show.lessons.test_lessons import extent_of

SUMS = [code for code in homework.items() if homework.ask(*code).kind == "sum"]
OTHERS = [code for code in homework.items() if code not in SUMS]
SEATS = [("fern7", 12, 1), ("alder", 40, 2), ("yarrow", 99, 3), ("3b", 1, 4), ("fern7", 61, 501)]
NUMBER = re.compile(r"\d+(?:\.\d+)?")
NAMES = {code: f"{code[0]}.{code[1]}" for code in homework.items()}


@functools.cache  # the same ones are looked at again and again
def item_of(code, seat):
    class_code, number, go = seat
    return homework.item(*code, class_code, number, go)


@functools.cache
def board_of(item):
    return drawn(given.picture(item), lambda words: given.short(item, words), f"test {item.code}")


def texts(board):
    return [artist.get_text() for artist in board._artists.values() if isinstance(artist, Text)]


@pytest.mark.parametrize("code", SUMS, ids=NAMES.get)
def test_nothing_stands_in_a_picture_but_what_the_question_tells(code):
    """So neither the answer nor a slip's number can: both would be a figure that the question does not have."""
    for seat in SEATS:
        item = item_of(code, seat)
        told = set(NUMBER.findall(item.prompt))
        days = {str(n) for n in range(11)} if code == (3, 8) else set()
        shown = {number for text in texts(board_of(item)) for number in NUMBER.findall(text)} - days
        assert shown <= told, (item, shown - told)
        assert shown, "a picture without a figure of its own helps nobody"
        said = set(NUMBER.findall(given.sentence(item, given.picture(item))))
        assert said <= told | days, (item, said - told)


@pytest.mark.parametrize("code", SUMS, ids=NAMES.get)
def test_the_answer_has_its_question_mark_in_the_picture_and_is_asked_in_the_sentence(code):
    item = item_of(code, SEATS[0])
    asking = [text for text in texts(board_of(item)) if "?" in text]
    assert any(text != "?" for text in asking), "in words, with its unit"
    sentence = given.sentence(item, given.picture(item))
    assert sentence.startswith("Given: ")
    assert re.search(r"Asked: .*(how many|which day).*\?", sentence)
    assert "?" not in sentence.partition("?")[0]


@pytest.mark.parametrize("code", SUMS, ids=NAMES.get)
def test_picture_and_sentence_tell_the_same_figures(code):
    """But for the days of a log, which stand as bars and as words."""
    item = item_of(code, SEATS[1])
    picture = given.picture(item)
    said = NUMBER.findall(given._BRACKETS.sub("", given.sentence(item, picture)))
    shown = [number for text in texts(board_of(item)) for number in NUMBER.findall(text)]
    assert set(shown) - {"0"} <= set(said)
    if code != (3, 8):
        assert sorted(shown) == sorted(said)


@pytest.mark.parametrize("code", SUMS, ids=NAMES.get)
def test_no_words_lie_on_other_words_or_leave_the_picture(code):
    for seat in SEATS:
        board = board_of(item_of(code, seat))
        words = [(a.get_text(), extent_of(a)) for a in board._artists.values() if isinstance(a, Text)]
        for text, (left, low, right, high) in words:
            assert min(left, low, board.w - right, board.h - high) >= 0, (text, seat)
        for (one, a), (other, b) in itertools.combinations(words, 2):
            beside = a[0] > b[2] or b[0] > a[2] or a[1] > b[3] or b[1] > a[3]
            assert beside, (code, seat, one, other)


@pytest.mark.parametrize("code", SUMS, ids=NAMES.get)
def test_words_stay_large_enough_on_a_phone(code):
    """A card is 300 px wide inside on a phone of 360: no words under 9.5 px there, those that count over 11."""
    board = board_of(item_of(code, SEATS[0]))
    shrunk = 300 / board.w
    sizes = [a.get_fontsize() * shrunk for a in board._artists.values() if isinstance(a, Text)]
    assert min(sizes) >= 9.5
    assert statistics.median(sizes) >= 11


@pytest.mark.parametrize("code", OTHERS, ids=NAMES.get)
def test_what_is_no_sum_has_no_picture(code):
    assert given.picture(item_of(code, SEATS[0])) is None


def test_each_sum_of_each_lesson_has_a_row_and_no_row_is_left_over():
    for lesson in homework.LESSONS:
        table = given.importlib.import_module(f"herbcalc.show.given.lesson{lesson:02d}").TABLE
        assert set(table) == {NAMES[code] for code in SUMS if code[0] == lesson}


def test_fillings_are_those_of_the_lessons():
    for code in SUMS:
        picture = given.picture(item_of(code, SEATS[0]))
        parts = picture.vessels if isinstance(picture, Row) else getattr(picture, "bars", ())
        assert {fill for part in parts for fill, _ in part.layers} <= LIGHT.keys()


def test_what_is_given_is_drawn_to_one_scale():
    """In 4.5 both bottles stand as high as they are full, by the same measure."""
    item = item_of((4, 5), SEATS[0])
    board, f = board_of(item), given.figures(item)
    high = []
    for n in (0, 1):
        layers = [board._artists[f"shape vessel {n} layer {k}"].get_xy() for k in (0, 1)]
        high.append(max(layers[1][:, 1]) - min(layers[0][:, 1]))
    assert high[0] / high[1] == pytest.approx(f.V1 / f.V2, rel=0.05)


def test_drawn_in_a_blink():
    """100 ms each is the bar; the first also loads matplotlib, which a page does once."""
    items = [item_of(code, SEATS[0]) for code in SUMS]
    board_of(items[0]).svg()
    took = []
    for item in items:
        begun = time.perf_counter()
        board_of.__wrapped__(item).svg()  # a fresh one
        took.append(time.perf_counter() - begun)
    assert statistics.median(took) < 0.1, f"{1000 * statistics.median(took):.0f} ms"


def test_matplotlib_comes_with_the_first_picture_and_not_before():
    code = (
        "import sys\n"
        "from herbcalc.show.card.picture import WISH\n"
        "from herbcalc.show.here import Here\n"
        "WISH.shown = False\n"
        "card = Here(5).item(2)\n"
        "assert 'matplotlib' not in sys.modules, 'off'\n"
        "WISH.shown = True\n"
        "assert 'matplotlib' in sys.modules and '<svg' in card.picture.drawing.value\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=120)
