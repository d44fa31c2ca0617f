"""Lessons 6 to 9, every dial of every scene: both systems in each sentence, and light pictures."""

import dataclasses
import importlib
import itertools
import re

import numpy as np
import pytest

from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.look import View, compare, controls
from herbcalc.show.panel import BOARDS
from herbcalc.units.refusals import Impossible, OutOfRange

LESSONS = [importlib.import_module(f"herbcalc.show.lessons.lesson{n:02d}") for n in (6, 7, 8, 9)]
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
def test_two_settings_are_told_apart_in_words(lesson):
    tell = getattr(lesson, "difference", compare)
    looks = [lesson.look(scene.setting, RULES) for scene in lesson.SCENES]
    for a, b in itertools.combinations(looks, 2):
        told = tell(a, b, View())
        assert told.endswith(".")
        assert bool(METRIC.search(told)) == bool(KITCHEN.search(told)), told
        assert not BANNED.search(told)
