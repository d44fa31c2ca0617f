"""Every lesson over a sweep of its dials: what it says, in which words and units, and what it draws."""

from __future__ import annotations

import dataclasses
import importlib
import itertools
import random
import re

import pytest
from matplotlib.backends.backend_agg import RendererAgg

from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.here import lessons
from herbcalc.show.look import Look, View, compare, controls
from herbcalc.show.panel import BOARDS
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit

LESSONS = [importlib.import_module(f"herbcalc.show.lessons.lesson{n:02d}") for n in lessons()]
VIEWS = [View(units, rule) for units in ("metric", "kitchen") for rule in ("kitchen", "measured")]
BANNED = re.compile(r"\b(error|invalid|wrong)(s|ly)?\b", re.IGNORECASE)
ODD = re.compile(r"\bnan\b|\binf\b|\bNone\b|\d\.\d{6,}|-\d+ (g|mL)\b")
METRIC = re.compile(r"\d (g|kg|mL|L)\b")
KITCHEN = re.compile(r"\d (oz|lb|fl oz|tsp|tbsp|cups?|pints?|quarts?|gallons?)\b|less than 1/4 (oz|tsp)")


def by_name(module):
    return f"lesson{module.LESSON:02d}"


def settings(module, random_ones=25):
    """Every scene; the first with each dial at its ends and in the middle; and some at random."""
    yield from (scene.setting for scene in module.SCENES)
    start = module.SCENES[0].setting
    fields = controls(module.Setting)
    for c in fields:
        values = list(c.options) if c.options else [c.low, (c.low + c.high) / 2, c.high]
        yield from (dataclasses.replace(start, **{c.name: value}) for value in values)
    draw = random.Random(7)
    for _ in range(random_ones):
        yield module.Setting(
            **{
                c.name: draw.choice(list(c.options)) if c.options else draw.choice(
                    [c.low + c.step * n for n in range(int((c.high - c.low) / c.step) + 1)]
                )
                for c in fields
            }
        )  # fmt: skip


def looks(module, view=View(), rules=Rules()):  # noqa: B008 - frozen
    """(setting, Look) of every setting that can be had; what cannot be had must be refused in a sentence."""
    found = 0
    for setting in settings(module):
        try:
            look = module.look(setting, rules, view)
        except (WrongUnit, OutOfRange, Impossible) as refusal:
            refused = str(refusal)
        else:
            found += 1
            yield setting, look
            continue
        assert not BANNED.search(refused)
        assert len(refused) > 40, refused
    assert found >= 10


def said(look):
    yield look.sentence
    yield look.alt
    yield look.given
    yield look.caution
    yield from look.ways_out
    yield from itertools.chain.from_iterable(look.table)
    for number in look.numbers:
        yield from (number.label, number.value, number.note)


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_the_contract(module):
    assert f"lesson{module.LESSON:02d}" == module.__name__.rsplit(".", 1)[1]
    assert module.TITLE
    assert module.QUESTION.endswith("?")
    assert 3 <= len(module.GUESSES) <= 4
    assert isinstance(module.CAUTION, str)
    assert "\n" not in module.CAUTION
    assert dataclasses.is_dataclass(module.Setting)
    assert module.Setting.__dataclass_params__.frozen
    assert 3 <= len(module.SCENES) <= 8
    assert len({scene.name for scene in module.SCENES}) == len(module.SCENES)
    assert all("invented" in scene.name or "printed" in scene.name for scene in module.SCENES)
    assert all(scene.question.endswith("?") or not scene.question for scene in module.SCENES)
    assert all(len(scene.guesses) in (0, 3, 4) for scene in module.SCENES)
    for control in controls(module.Setting):
        default = getattr(module.Setting(), control.name)
        assert control.options or control.low <= default <= control.high
        assert control.label


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_questions_and_guesses_are_asked_in_both_systems(module):
    asked = [module.QUESTION, *module.GUESSES]
    for scene in module.SCENES:
        asked += [scene.question, *scene.guesses]
    for text in asked:
        assert bool(METRIC.search(text)) == bool(KITCHEN.search(text)), text


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_a_lesson_with_one_rule_does_not_offer_two(module):
    offered = getattr(module, "BOTH_RULES", True)
    pairs = zip(looks(module), looks(module, View(rule="measured")), strict=True)
    assert offered == any(list(said(one)) != list(said(other)) for (_, one), (_, other) in pairs)


@pytest.mark.parametrize("view", VIEWS, ids=str)
@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_what_is_said(module, view):
    for setting, look in looks(module, view):
        assert isinstance(look, Look)
        assert 1 <= len(look.numbers) <= 4
        assert look.given
        assert look.alt
        assert len({len(row) for row in look.table}) == 1
        for text in said(look):
            assert not BANNED.search(text), text
            assert not ODD.search(text), (setting, text)
        for text in (look.sentence, look.alt):
            assert text.endswith((".", "!", "?")), text
            if METRIC.search(text) or KITCHEN.search(text):
                assert METRIC.search(text), text
                assert KITCHEN.search(text), text


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_where_the_two_rules_differ_both_are_told(module):
    kitchen, measured = (list(looks(module, View(rule=rule))) for rule in ("kitchen", "measured"))
    for (_, one), (_, other) in zip(kitchen, measured, strict=True):
        if one.numbers != other.numbers:
            told = " ".join(said(one)).lower()
            assert "kitchen" in told
            assert "measured" in told


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_the_wanted_units_come_first_and_change_no_number(module):
    metric = [look for _, look in looks(module, View("metric"))]
    kitchen = [look for _, look in looks(module, View("kitchen"))]
    for one, other in zip(metric, kitchen, strict=True):
        assert [n.amount for n in one.numbers] == [n.amount for n in other.numbers]
    assert any(one.sentence != other.sentence for one, other in zip(metric, kitchen, strict=True))


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_the_same_setting_looks_the_same(module):
    setting = module.SCENES[0].setting
    one, other = (module.look(setting, Rules(), View()) for _ in range(2))
    assert list(said(one)) == list(said(other))


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_a_difference_is_told_in_words(module):
    known = [look for _, look in looks(module)][:6]
    tell = getattr(module, "difference", compare)
    for a, b in itertools.pairwise(known):
        text = tell(a, b, View())
        assert text.endswith(".")
        assert not BANNED.search(text)
        assert not ODD.search(text), text


def words_of(board):
    renderer = RendererAgg(round(board.w), round(board.h), 72)
    for key, artist in board._artists.items():
        if "words " in key and artist.get_visible() and artist.get_text():
            yield artist.get_text(), artist.get_window_extent(renderer)


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
@pytest.mark.parametrize("kind", BOARDS, ids=str)
def test_every_picture_fits_on_its_board(module, kind):
    board = Board(**BOARDS[kind], name="fits")
    for setting, look in looks(module):
        for draw in (look.before, look.draw):
            if draw is None:
                continue
            board.start()
            draw(board)
            assert board.svg().startswith("<svg")
            boxes = list(words_of(board))
            for text, box in boxes:
                inside = box.x0 >= -1 and box.x1 <= board.w + 1 and box.y0 >= -1 and box.y1 <= board.h + 1
                assert inside, (setting, text, box)
            for (one, a), (other, b) in itertools.combinations(boxes, 2):
                across = min(a.x1, b.x1) - max(a.x0, b.x0)
                down = min(a.y1, b.y1) - max(a.y0, b.y0)
                covered = across > 3 and down > 0.3 * min(a.height, b.height)
                assert not covered, (setting, one, other)
