"""First aid's panel: fractions as jars with marks, as amounts and of every 100; more than one jar of them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from herbcalc import person
from herbcalc.rules import Rules
from herbcalc.show import first_aid
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import whole
from herbcalc.show.lessons.lesson00_jars import Setting, fraction, look

RULES = Rules()
EVERY = [(full, parts) for parts in range(2, 13) for full in range(13)]


def boxes(full, parts, holds=600.0, answer=True):
    """The heights of what is in each jar, in marks, and the words of the picture."""
    board = Board(300, 200, name="jars")
    board.start()
    look(Setting(parts, full, holds), RULES).left(board, whole(board), answer)
    heights = {}
    for key, artist in board._artists.items():
        if key.startswith(("shape jar liquid", "shape jar glass")):
            ys = [y for _, y in artist.get_xy()]
            heights[key.removeprefix("shape jar ")] = max(ys) - min(ys)
    jars = len(heights) // 2
    words = " ".join(a.get_text() for key, a in board._artists.items() if key.startswith("words"))
    return [heights[f"liquid {n}"] / heights[f"glass {n}"] for n in range(jars)], words


@pytest.mark.parametrize(("full", "parts"), EVERY)
def test_amount_per_cent_and_picture_are_the_fraction(full, parts):
    seen = look(Setting(parts, full, 600), RULES)
    share = Fraction(full, parts)
    assert seen.number("within").amount == pytest.approx(float(600 * share))
    assert seen.number("one").amount == pytest.approx(600 / parts)
    assert seen.number("percent").amount == pytest.approx(float(100 * share))
    if full in (0, 1, parts, 12):  # drawn for some, read for all
        held, _ = boxes(full, parts)
        assert sum(held) == pytest.approx(float(share))
        assert all(one == pytest.approx(1) for one in held[:-1])


@pytest.mark.parametrize(("full", "parts"), EVERY)
def test_a_fraction_written_shorter_is_the_same(full, parts):
    written = fraction(full, parts).partition(", the same as ")
    said = sum(Fraction(part) for part in (written[2] or written[0]).split())
    assert said == Fraction(full, parts)


def test_before_the_guess_the_amount_is_asked():
    assert "? mL" in boxes(2, 3, answer=False)[1]
    assert "400 mL" not in boxes(2, 3, answer=False)[1]
    assert "400 mL" in boxes(2, 3)[1]


def test_it_stands_on_the_page_of_first_aid_and_no_answer_is_kept(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    panel = first_aid().panel()
    panel.turn_answer()
    panel.set(full=5, parts=4)
    assert "1 1/4" in panel.sentence
    assert all("percent_vol" not in key for key in panel.dials)
    assert list(tmp_path.glob("answers*")) == []
