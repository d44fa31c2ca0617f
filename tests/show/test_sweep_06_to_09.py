"""Lessons 6 to 9, every dial from end to end: sentences, both systems of units, pictures on every size of board."""

import dataclasses
import importlib
import itertools
import re

import numpy as np
import pytest

from herbcalc.refusals import Impossible, OutOfRange
from herbcalc.rules import Rules
from herbcalc.show.figures import Board
from herbcalc.show.look import View, compare, controls
from herbcalc.show.panel import BOARDS

LESSONS = [importlib.import_module(f"herbcalc.show.lesson{n:02d}") for n in (6, 7, 8, 9)]
BANNED = re.compile(r"\b(error|invalid|wrong)(s|ly)?\b", re.IGNORECASE)
METRIC = re.compile(r"\d (g|kg|mL|L|cm|mm|°C)(?![\w/*])")
KITCHEN = re.compile(r"\d ((fl )?oz|lb|tsp|quarts?|in|inch|°F)\b|1/4 (oz|tsp)")
RULES = Rules()


def name(lesson):
    return f"lesson{lesson.LESSON:02d}"


def settings(lesson):
    """Every scene, with each dial at its ends and in between, and each choice taken."""
    for scene in lesson.SCENES:
        yield scene.setting
    for scene, control in itertools.product(lesson.SCENES, controls(lesson.Setting)):
        used = lesson.used(scene.setting) if hasattr(lesson, "used") else {control.name}
        if control.name in used:
            values = list(control.options) if control.options else [*np.linspace(control.low, control.high, 5)]
            for value in values:
                yield dataclasses.replace(scene.setting, **{control.name: value})


def texts(look):
    """Whole sentences that a person reads."""
    return [look.sentence, look.given, look.alt, look.caution, *look.ways_out]


@pytest.mark.parametrize("lesson", LESSONS, ids=name)
def test_every_sentence_is_plain_and_in_both_systems(lesson):
    seen = refused = 0
    for setting in settings(lesson):
        try:
            look = lesson.look(setting, RULES)
        except (Impossible, OutOfRange) as refusal:
            refused += 1
            said = [str(refusal), *(way.text for way in getattr(refusal, "ways_out", []))]
        else:
            said = texts(look)
            assert len(look.numbers) == 4
            assert "nan" not in " ".join([*said, *itertools.chain(*look.table)])
            widths = {len(row) for row in look.table}
            assert len(widths) == 1, "the table is ragged"
        for text in filter(None, said):
            seen += 1
            assert not BANNED.search(text)
            assert text[-1] in ".!?"
            assert "{" not in text
            assert bool(METRIC.search(text)) == bool(KITCHEN.search(text)), text
    assert seen > 200
    assert refused < seen / 20


@pytest.mark.parametrize("lesson", LESSONS, ids=name)
@pytest.mark.parametrize("units", ["metric", "kitchen"])
@pytest.mark.parametrize("rule", ["kitchen", "measured"])
def test_every_scene_draws_on_every_board(lesson, units, rule):
    view = View(units, rule)
    boards = [Board(**size, name=f"test {n}") for n, size in enumerate(BOARDS.values())]
    for scene in lesson.SCENES:
        look = lesson.look(scene.setting, RULES, view)
        for board, draw in itertools.product(boards, (look.draw, look.before)):
            board.start()
            draw(board)
            with board.faint():
                draw(board)
            svg = board.svg()
            assert svg.startswith("<svg")
            assert "nan" not in svg
            assert len(svg) < 40_000, "a picture that is slow to send and to show"


@pytest.mark.parametrize("lesson", LESSONS, ids=name)
def test_words_stay_on_the_board(lesson):
    """What is written begins and ends inside the picture, measured with the font's own widths."""
    for size in BOARDS.values():
        board = Board(**size, name="words")
        for scene in lesson.SCENES:
            look = lesson.look(scene.setting, RULES)
            for draw in (look.draw, look.before):
                board.start()
                draw(board)
                board.svg()
                for key, artist in board._artists.items():
                    if key.startswith("words ") and artist.get_visible():
                        box = artist.get_window_extent(board._figure.canvas.get_renderer())
                        # The font of a reader may be a little wider or narrower than this one.
                        assert box.x0 > -6, (scene.name, artist.get_text())
                        assert box.x1 < board.w + 6, (scene.name, artist.get_text(), box.x1, board.w)


@pytest.mark.parametrize("lesson", LESSONS, ids=name)
def test_the_lesson_is_whole(lesson):
    assert len(lesson.SCENES) == 8
    assert len({scene.name for scene in lesson.SCENES}) == 8
    assert 3 <= len(lesson.GUESSES) <= 4
    assert lesson.QUESTION.endswith("?")
    assert lesson.CAUTION
    for scene in lesson.SCENES:
        assert "invented" in scene.name or "printed" in scene.name
        assert bool(scene.question) == bool(scene.guesses)
    names = {c.name for c in controls(lesson.Setting)}
    for scene in lesson.SCENES:
        if hasattr(lesson, "used"):
            assert lesson.used(scene.setting) <= names


@pytest.mark.parametrize("lesson", LESSONS, ids=name)
def test_two_settings_are_told_apart_in_words(lesson):
    tell = getattr(lesson, "difference", compare)
    looks = [lesson.look(scene.setting, RULES) for scene in lesson.SCENES]
    for a, b in itertools.combinations(looks, 2):
        told = tell(a, b, View())
        assert told.endswith(".")
        assert bool(METRIC.search(told)) == bool(KITCHEN.search(told)), told
        assert not BANNED.search(told)


@pytest.mark.parametrize("lesson", LESSONS, ids=name)
def test_the_same_setting_gives_the_same_words(lesson):
    for scene in lesson.SCENES:
        one, two = (lesson.look(scene.setting, RULES) for _ in range(2))
        assert texts(one) == texts(two)
        assert one.table == two.table
