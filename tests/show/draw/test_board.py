"""The drawing board: artists are moved and not made again, and the same picture is the same text."""

from __future__ import annotations

import itertools
import re
import subprocess
import sys
import xml.etree.ElementTree as ET

import matplotlib as mpl
import pytest

from herbcalc.show.draw import board
from herbcalc.show.draw.board import Board, data_uri, style
from herbcalc.show.draw.shapes import Chart, Part, Place, jar, spread, stack


def some_picture(board, much=100.0):
    jar(
        board,
        "jar",
        Place(10, 10, 200, 200),
        [Part("water", much, "water"), Part("alcohol", 50, "alcohol")],
        400,
        "a jar",
    )
    chart = Chart(
        board, "c", Place(250, 10, 300, 200), (0, 10, "x"), (0, 100, "y"), [(0, "0"), (10, "10")], [(0, "0")]
    )
    chart.curve("k", [0, 5, 10], [0, much / 2, 100])
    chart.level("floor", 35, "the floor")
    chart.mark("now", 5, much / 2, "here")


def drawn(board, *given):
    board.start()
    some_picture(board, *given)
    return board.svg()


def test_artists_are_moved_not_made_again():
    board = Board(name="moved")
    first = drawn(board, 100)
    made = {key: id(artist) for key, artist in board._artists.items()}
    second = drawn(board, 150)
    assert {key: id(artist) for key, artist in board._artists.items()} == made
    assert first != second
    assert drawn(board, 100) == first


def test_the_same_picture_is_the_same_text_everywhere():
    assert drawn(Board(name="one"), 80) == drawn(Board(name="one"), 80)


def test_two_pictures_on_a_page_share_no_id():
    def ids(name):
        return set(re.findall(r'id="([^"]+)"', drawn(Board(name=name))))

    assert ids("a")
    assert not ids("a") & ids("b")


def test_what_is_not_drawn_again_is_gone():
    board = Board(name="gone")
    board.start()
    board.words("w", 10, 10, "was here")
    assert "was here" in board.svg()
    board.start()
    assert "was here" not in board.svg()


def test_it_is_good_xml_that_takes_the_width_it_is_given():
    root = ET.fromstring(drawn(Board(name="xml")))
    assert root.get("viewBox") == "0 0 720 330"
    assert root.get("width") is None
    assert data_uri("<svg/>") == "data:image/svg+xml;base64,PHN2Zy8+"


def test_it_says_nothing_of_the_page_that_it_stands_in():
    """A rule in a picture is one for the whole page: JupyterLab's own signs would be drawn by it, and each new
    picture would have the browser look at every part of the page."""
    svg = drawn(Board(name="a"))
    assert "<style" not in svg
    assert ET.fromstring(svg).get("style") == "stroke-linejoin: round; stroke-linecap: butt"


def test_words_stay_words():
    svg = drawn(Board(name="words"))
    assert "the floor" in svg
    assert "<text" in svg


def test_text_with_signs_of_its_own_is_safe():
    board = Board(name="signs")
    board.start()
    board.words("w", 10, 10, "a < b & $5 $6 _x_")
    ET.fromstring(board.svg())
    assert "$5 $6 _x_" in board.svg()


def test_an_earlier_setting_is_dashed_wordless_and_to_the_same_scale():
    board = Board(name="faint")
    board.start(lambda b: jar(b, "jar", Place(0, 0, 200, 200), [Part("water", 500, "then")], 1000, "big"))
    jar(board, "jar", Place(0, 0, 200, 200), [Part("water", 100, "now")], 200, "small")
    with board.faint():
        jar(board, "jar", Place(0, 0, 200, 200), [Part("water", 500, "then")], 1000, "big")
    svg = board.svg()
    assert "now" in svg
    assert ">big<" in svg
    assert "then" not in svg
    assert "stroke-dasharray" in svg
    now = board._artists["shape jar layer 0"].get_xy()
    then = board._artists["before shape jar layer 0"].get_xy()
    assert (then[:, 1].max() - then[:, 1].min()) == pytest.approx(5 * (now[:, 1].max() - now[:, 1].min()))


def test_the_settings_of_others_are_left_alone():
    before = dict(mpl.rcParams)
    with style():
        assert mpl.rcParams["svg.fonttype"] == "none"
    drawn(Board(name="rc"))
    assert dict(mpl.rcParams) == before


def test_dark_ground():
    board = Board(name="dark", ground="dark")
    assert "#211c19" in drawn(board)
    board.ground = "light"
    assert "#211c19" not in drawn(board)


def test_nothing_heavy_at_import():
    code = "import sys, herbcalc.show.draw.board, herbcalc.show.lessons.lesson05; print('matplotlib' in sys.modules)"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "False"


def test_a_part_too_thin_for_its_words_has_none():
    board = Board(name="thin")
    board.start()
    stack(board, "s", Place(0, 0, 300, 60), [Part("water", 99, "water"), Part("solids", 1, "solids")], 100)
    assert "solids" not in board.svg()
    assert "water" in board.svg()


def test_where_there_is_no_room_a_part_keeps_its_short_name():
    """Nobody has to guess which layer is the alcohol: the amount goes, the name stays."""
    said = {}
    for w in (300, 190):
        board = Board(w, 200, size=14.0, narrow=True, name="short")
        board.start()
        parts = [Part("alcohol", 60, "alcohol 1 3/4 fl oz", "alcohol"), Part("water", 60, "water 60 mL", "water")]
        jar(board, "j", Place(0, 0, w, 200), parts, 200)
        said[w] = [t.strip() for t in re.findall(r">([^<]+)</text>", board.svg())]
    assert said[300] == ["alcohol 1 3/4 fl oz", "water 60 mL"]
    assert said[190] == ["alcohol", "water 60 mL"]


def test_words_are_spread_apart_and_kept_inside():
    at = spread([1, 2, 3, 90], 10, 0, 100)
    assert all(b - a >= 10 - 1e-9 for a, b in itertools.pairwise(at))
    assert at[0] >= 5
    assert spread([97, 98, 99], 10, 0, 100) == [75, 85, 95]
    assert spread([], 10, 0, 100) == []


def test_what_is_written_once_is_the_same_to_the_letter_on_every_board():
    """Words and lines that stay as they were are not written out anew; what differs in anything is."""

    def drawn(width, text, ground, card, ends, dash):
        made = Board(width, 100, name="once", ground=ground)
        made.start()
        made.words("a", 20, 30, text, card=card)
        made.line("b", ends, [20, 80], dash=dash)
        return made.svg()

    each = (60, 200), ("40 %", "41 %"), ("light", "dark"), (False, True), ([10, 150], [10, 140]), ((), (4, 3))
    looks = list(itertools.product(*each))
    board._written.clear()
    anew = []
    for look in looks:
        anew.append(drawn(*look))
        board._written.clear()
    assert [drawn(*look) for look in looks] == [drawn(*look) for look in looks] == anew
    assert len(set(anew)) == len(looks)
