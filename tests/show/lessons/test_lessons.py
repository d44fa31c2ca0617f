"""Every lesson over a sweep of its dials: what it says, in which words and units, and what it draws."""

from __future__ import annotations

import dataclasses
import datetime
import functools
import itertools
import random
import re

import numpy as np
import pytest
from matplotlib.backends.backend_agg import RendererAgg

from herbcalc.batch import Order, walk_back
from herbcalc.rules import Rules
from herbcalc.show import sure
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import parted, whole
from herbcalc.show.here import modules
from herbcalc.show.look import Look, View, controls, key_of
from herbcalc.show.panel import pictures
from herbcalc.show.panel.markup import apart
from herbcalc.show.story import bands, scenes
from herbcalc.units import Q, spoken
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit

LESSONS = modules()
VIEWS = [View(units, rule) for units in ("metric", "kitchen") for rule in ("kitchen", "measured")]
BANNED = re.compile(r"\b(error|invalid|wrong)(s|ly)?\b", re.IGNORECASE)
ODD = re.compile(r"\bnan\b|\binf\b|\bNone\b|\d\.\d{6,}|-\d+ (g|mL)\b")
METRIC = re.compile(r"\d (g|kg|mL|L)\b")
KITCHEN = re.compile(r"\d (oz|lb|fl oz|tsp|tbsp|cups?|pints?|quarts?|gallons?)\b|less than 1/4 (oz|tsp)")


def by_name(module):
    return f"lesson{key_of(module, 2)}"


def settings(module, random_ones=25):
    """Every scene; the first with each dial at its ends and in the middle; and some at random."""
    there = scenes(module, Rules())
    yield from (scene.setting for scene in there)
    fields = controls(module.Setting)
    for start, c in itertools.product([scene.setting for scene in there], fields):
        used = module.used(start) if hasattr(module, "used") else {c.name}
        if c.name in used:
            values = list(c.options) if c.options else [c.low, (c.low + c.high) / 2, c.high, c.end]
            yield from (dataclasses.replace(start, **{c.name: value}) for value in dict.fromkeys(values))
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


def looks(module, view=View()):  # noqa: B008 - frozen
    """(setting, Look) of every setting that can be had; what cannot be had must be refused in a sentence."""
    return _looks(module, view)


@functools.cache  # several tests look at the same
def _looks(module, view):
    found = []
    for setting in settings(module):
        try:
            found.append((setting, module.look(setting, Rules(), view)))
            continue
        except (WrongUnit, OutOfRange, Impossible) as refusal:
            refused = str(refusal)
        assert not BANNED.search(refused)
        assert len(refused) > 40, refused
    assert len(found) >= 10
    return found


@functools.cache  # the same words come again and again
def is_odd(text):
    return BANNED.search(text) or ODD.search(text)


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
    assert f"lesson{key_of(module, 2)}" == module.__name__.rsplit(".", 1)[1]
    assert module.TITLE
    assert isinstance(module.CAUTION, str)
    assert "\n" not in module.CAUTION
    assert dataclasses.is_dataclass(module.Setting)
    assert module.Setting.__dataclass_params__.frozen
    for control in controls(module.Setting):
        default = getattr(module.Setting(), control.name)
        if control.told:
            assert default is None, "what a person was told is typed by a person"
        else:
            assert control.options or control.low <= default <= control.high
        assert control.label


def at_their_ends():
    """Every house rule at each of its ends, all others as usual."""
    for rule in dataclasses.fields(Rules):
        ends = rule.metadata.get("options") or [rule.metadata[end] for end in ("low", "high") if end in rule.metadata]
        yield from ({rule.name: end} for end in ends)


@pytest.mark.parametrize("own", list(at_their_ends()), ids=str)
def test_every_house_rule_opens_every_lesson(own):
    """A class that takes nothing from the wild (stand_share = 0) had no lesson 2: its panel stopped at a KeyError."""
    for module in LESSONS:
        assert len(scenes(module, Rules(**own))) >= 4, by_name(module)


@pytest.mark.parametrize("end", ["low", "high"])
@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_every_answer_has_its_band_whatever_the_house_rules(module, end):
    """With a line of 5 of every 100 no 5 % vinegar is enough, and the class had no such answer to guess."""
    rules = Rules(**{r.name: r.metadata[end] for r in dataclasses.fields(Rules) if end in r.metadata})
    for scene in scenes(module, rules):
        try:
            number = module.look(scene.setting, rules).number(scene.asks)
        except (Impossible, OutOfRange, KeyError):  # a refusal, or another thing: the panel tells it otherwise
            continue
        held = [band.words for band in bands(scene, number, rules, View()) if band.holds(number.amount)]
        assert len(held) == 1, (scene.name, number.value, held)


MONEY = re.compile(r"\d+\.\d\d\b|\$|€|£")


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_no_question_carries_a_sum_of_money(module):
    """A price may stand there, with the house's sign; a sum of prices is the panel's to say."""
    for scene in scenes(module, Rules(currency="¤")):
        assert not MONEY.search(scene.question), scene.question
        assert not re.search(r"[$€£]", scene.teacher), scene.teacher


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
        assert len({n.key for n in look.numbers}) == len(look.numbers) >= 4
        assert all(n.key and n.ask.endswith("?") for n in look.numbers)
        assert {type(n.amount) for n in look.numbers} <= {float, int, type(None)}, "plain, or a panel stops at it"
        assert look.short
        assert look.given
        assert look.alt
        assert len({len(row) for row in look.table}) == 1
        for text in said(look):
            assert not is_odd(text), (setting, text)
        for text in (look.sentence, look.alt):
            assert text.endswith((".", "!", "?")), text
            assert not re.search(r"[.!?] [a-z]", text), text
            if METRIC.search(text) or KITCHEN.search(text):
                assert METRIC.search(text), text
                assert KITCHEN.search(text), text


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_where_the_two_rules_differ_both_are_told(module):
    kitchen, measured = (looks(module, View(rule=rule)) for rule in ("kitchen", "measured"))
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
    setting = scenes(module, Rules())[0].setting
    one, other = (module.look(setting, Rules(), View()) for _ in range(2))
    assert list(said(one)) == list(said(other))


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_a_difference_is_told_in_words(module):
    known = [look for _, look in looks(module)][:6]
    for a, b in itertools.pairwise(known):
        for one, other in zip(a.numbers, b.numbers, strict=True):
            text = apart(one, other, View())
            assert text in ("the same", "nothing to compare") or re.fullmatch(r"B: .*\d.* (more|less)", text), text
            assert not ODD.search(text), text


MEASURING = RendererAgg(1, 1, 72)
MEASURED = {}  # how words lie around their place, at a size of 100: the same stand on a picture again and again


def extent_of(artist):
    """The left, lower, right and upper end of some words."""
    look = (artist.get_text(), artist.get_fontweight(), artist.get_rotation(), artist.get_ha(), artist.get_va())
    (x, y), size = artist.get_position(), artist.get_fontsize()
    if look not in MEASURED:
        artist.set_fontsize(100.0)
        left, low, right, high = artist.get_window_extent(MEASURING).extents
        MEASURED[look] = left - x, low - y, right - x, high - y
        artist.set_fontsize(size)
    left, low, right, high = (size / 100.0 * end for end in MEASURED[look])
    return x + left, y + low, x + right, y + high


def words_of(board):
    """The words that were drawn, each with where it lies."""
    for key in board._drawn:
        if "words " in key and "tag " not in key and board._artists[key].get_text():
            yield board._artists[key].get_text(), extent_of(board._artists[key])


def stands_inside(place, board):
    """Whether words stand on their board."""
    left, low, right, high = place
    return left >= -1 and right <= board.w + 1 and low >= -1 and high <= board.h + 1


def covers(one, other):
    """Whether words lie on others, by more than an edge."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > 3 and down > 0.3 * min(one[3] - one[1], other[3] - other[1])


def drawings(look):
    """Every kind of board, on a page, in the show view and on a phone, with what is drawn on it."""
    for where, alone in pictures.ALONE.items():
        yield alone, lambda board: look.left(board, parted(board, look.share)[0], False)
        yield alone, pictures._both(look)
        yield {**pictures.SIDE[where], "narrow": True}, lambda board: look.left(board, whole(board), True)
        yield {**pictures.CHART[where], "narrow": True}, lambda board: look.right(board, whole(board))


NEAR = 6  # of some 200 points: a mark may stand a whole plant or a jar that was weighed beside the curve


def off_the_curves(board, dot):
    """How far a dot lies from the nearest line of its chart that is no axis."""
    x, y = (float(end[0]) for end in dot.get_data())
    far = []
    for key in board._drawn:
        if key.startswith("line ") and " tick " not in key and not key.endswith((" foot", " side", " drop")):
            ends = np.column_stack(board._artists[key].get_data())
            start, way = ends[:-1], np.diff(ends, axis=0)
            along = ((x, y) - start) * way
            share = np.clip(along.sum(axis=1) / np.maximum((way**2).sum(axis=1), 1e-12), 0, 1)
            far.append(np.hypot(*((x, y) - start - share[:, None] * way).T).min())
    return min(far)


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_the_mark_lies_on_its_curve(module):
    """What is drawn for every setting and what is said of this one are two sums; here they meet."""
    board = Board(**pictures.CHART[pictures.PAGE], name="marks")
    for _, look in looks(module)[:8]:
        board.start()
        look.right(board, whole(board))
        for key in board._drawn:
            if key.startswith("dot "):
                assert off_the_curves(board, board._artists[key]) < NEAR, (look.short, key)


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_every_picture_fits_on_its_board(module):
    boards = {}
    for turn, (setting, look) in enumerate(looks(module)):
        for n, (size, draw) in enumerate(drawings(look)):
            if (n + turn) % 2:  # each setting on half of the boards, each kind of board at every second setting
                continue
            if n not in boards:
                boards[n] = Board(**size, name="fits")
            board = boards[n]
            board.start()
            board.letter = "B" if n % 4 == 3 else ""  # a chart for two settings has letters for figures
            draw(board)
            words = list(words_of(board))
            for text, place in words:
                assert stands_inside(place, board), (n, setting, text, place)
            for (one, a), (other, b) in itertools.combinations(words, 2):
                assert not covers(a, b), (n, setting, one, other)
    assert boards[1].svg().startswith("<svg")


# --- scenes --------------------------------------------------------------------------------------------------------

SCENES = [pytest.param(m, n, id=f"{key_of(m)}.{n + 1}") for m in LESSONS for n in range(len(scenes(m, Rules())))]


def answered(module, n, rules=Rules(), view=View()):  # noqa: B008 - frozen
    """A scene, the Look and the number that answers it; no Look where that is refused."""
    scene = scenes(module, rules)[n]
    try:
        look = module.look(scene.setting, rules, view)
    except (Impossible, OutOfRange):
        assert scene.none, "only a scene that says so may ask for what cannot be had"
        start = module.look(scenes(module, rules)[0].setting, rules, view)
        return scene, None, dataclasses.replace(start.number(scene.asks), amount=None, other=None)
    return scene, look, look.number(scene.asks)


@pytest.mark.parametrize("module", LESSONS, ids=by_name)
def test_scenes_are_questions(module):
    there = scenes(module, Rules())
    assert 3 <= len(there) <= 8
    assert len({scene.name for scene in there}) == len(there)
    assert all("invented" in scene.name or "printed" in scene.name for scene in there)
    dials = {c.name for c in controls(module.Setting)}
    places = set()
    for n, scene in enumerate(there):
        assert scene.question.endswith("?")
        assert "{" not in scene.question, "the house rules stand in it already"
        assert len(scene.question) <= 125, "it is read aloud, and stands on two lines"
        assert scene.drag in dials
        assert scene.teacher.endswith((".", "?"))
        assert bool(METRIC.search(scene.question)) == bool(KITCHEN.search(scene.question)), scene.question
        assert not BANNED.search(scene.question + scene.teacher)
        _, _, number = answered(module, n)
        places.add(
            next(i for i, band in enumerate(bands(scene, number, Rules(), View())) if band.holds(number.amount))
        )
    assert len(places) > 1, "the answer always stands at the same place"


@pytest.mark.parametrize(("module", "n"), SCENES)
def test_a_scene_knows_its_answer(module, n):
    """The figure is there, in one band by either rule, clear of the edges, and the bands cover everything once."""
    for view in (View(), View(units="kitchen")):
        scene, look, number = answered(module, n, view=view)
        if look is not None:
            assert number.key == scene.asks
        there = bands(scene, number, Rules(), view)
        assert 3 <= len(there) <= 5
        assert len({band.words for band in there}) == len(there)
        edged = [band for band in there if band.low < band.high]
        assert edged[0].low == -float("inf")
        assert edged[-1].high == float("inf")
        assert all(one.high == other.low for one, other in itertools.pairwise(edged))
        held = [band for band in there if band.holds(number.amount)]
        assert len(held) == 1
        if number.other is not None:
            assert held[0].holds(number.other), "the two rules would mark two bands"
        if number.amount is not None:
            gap = min(abs(number.amount - edge) for edge in scene.edges)
            assert gap > 0.004 * max(abs(number.amount), 1.0), "too close to an edge to be fair"


@pytest.mark.parametrize(("module", "n"), SCENES)
def test_one_quantity_has_one_number(module, n):
    """On one screen no weight or volume is said twice and differently, in either system."""
    _, look, _ = answered(module, n)
    if look is None:
        return
    told = " ".join([look.sentence, look.alt, *look.ways_out, *(f"{x.value} ({x.note})" for x in look.numbers)])
    twins = {}
    # What is rounded to the safe side says so, and may differ from what is not.
    for metric, kitchen in re.findall(
        r"((?:at least |at most )?\d[\d,.]* (?:g|mL)) \(([^()]*?(?:oz|lb|tsp|quarts?))\)", told
    ):
        twins.setdefault(metric, set()).add(kitchen)
    twice = {metric: said for metric, said in twins.items() if len(said) > 1}
    assert not twice, told
    figures = set(re.findall(r"(?<![\d.,])\d[\d,.]* (?:g|mL)\b", told))
    of = {n.key: _spellings(n) for n in look.numbers if n.unit in ("g", "mL") and n.amount is not None}
    for key, spellings in of.items():
        others = set().union(*(s for other, s in of.items() if other != key and s != spellings))
        assert len((spellings & figures) - others) <= 1, f"{key} is said as {spellings & figures}"


def _spellings(number):
    """What an amount might be said as, rounded in the three ways."""
    return {spoken(Q(float(number.amount), number.unit), "metric", way) for way in ("near", "up", "down")}


# --- house rules ---------------------------------------------------------------------------------------------------

OTHERWISE = {"shelf": (40.0, 50.0), "currency": "€", "ratio_reading": "finished", "dried_to": 8.0, "cover": 12.7}
OTHERWISE |= {"hemisphere": "south", "syrup_floor": 0.62, "cold_days": 3.0}
OTHERWISE |= {"drying_days": 5.0, "soak_days": 42.0, "drip_days": 3.0}


def screen(module, n, rules):
    """All that a scene says before and after, its bands, and its dials' buttons."""
    scene, look, number = answered(module, n, rules)
    stops = [rules.shelf if c.stops == "shelf" else [getattr(rules, s) if isinstance(s, str) else s for s in c.stops]
             for c in controls(module.Setting)]  # fmt: skip
    told = list(said(look)) if look is not None else []
    return [scene.question.format(rules=rules), [b.words for b in bands(scene, number, rules, View())], told, stops]


@functools.cache  # each rule is compared with it
def usual_screen(module, n):
    return screen(module, n, Rules())


def asked_for(rules):
    """What shows only when it is asked for: how sure an answer is, and the page of a batch."""
    day = datetime.date(2026, 7, 14)
    dried = [Order(10, Q(50, "mL"), method=method) for method in ("soak", "drip")]
    lines = [
        sure.line(module, scene.setting, rules, View(), scene.asks)
        for module in LESSONS
        if sure.offers(module)
        for scene in scenes(module, rules)
    ]
    return lines, [walk_back(order, rules=rules).sheet(day) for order in dried]


@pytest.mark.parametrize("rule", [f.name for f in dataclasses.fields(Rules)])
def test_a_house_rule_changes_what_is_seen(rule):
    """A rule that nothing reads has no place among the rules."""
    usual = Rules()
    other = OTHERWISE[rule] if rule in OTHERWISE else 1.1 * getattr(usual, rule)
    changed = dataclasses.replace(usual, **{rule: other})
    moved = any(
        usual_screen(module, n) != screen(module, n, changed)
        for module in LESSONS
        for n in range(len(scenes(module, usual)))
    )
    assert moved or asked_for(usual) != asked_for(changed), f"no screen changes with the house rule {rule}"
