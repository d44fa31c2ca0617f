"""Lesson 14: one batch walked both ways, what cannot be made, and each caution at its moment."""

import dataclasses
import itertools
import re

import pytest

from herbcalc.rules import Rules
from herbcalc.show.cautions import DUST, WEAK
from herbcalc.show.lessons import lesson14
from herbcalc.show.look import View, controls
from herbcalc.show.panel import Panel
from herbcalc.show.panel.pictures import PAGE, Pictures
from herbcalc.show.story import scenes
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible
from tests.show.lessons.test_lessons import KITCHEN, METRIC

RULES = Rules()
SCENES = scenes(lesson14, RULES)


def batch(**values):
    return dataclasses.replace(SCENES[0].setting, **values)


def look(rules=RULES, view=View(), **values):  # noqa: B008 - frozen
    return lesson14.look(batch(**values), rules, view)


def said(number, **values):
    return look(**values).number(number).amount


def test_twenty_bottles():
    """1000 mL are 285.7 g of dried leaf at 3.5 mL each; 4.5 times that is gathered."""
    shown = look()
    assert shown.number("fresh").value == "at least 1286 g"
    assert shown.number("menstruum").value == "at least 1429 mL"
    assert shown.number("plants").amount == 11
    assert shown.number("marc").amount == pytest.approx(100 * (1 - 1000 / (1428.57 + 28.57)), abs=1e-3)
    assert shown.number("air").amount == pytest.approx(1000)
    assert said("fresh", state="fresh", ratio=2, spirit=75.5) == pytest.approx(400)
    assert said("fresh", water=88) == pytest.approx(1285.714 * 20 / 12, abs=1e-2)


@pytest.mark.parametrize(
    "values",
    [
        {},
        {"state": "fresh", "ratio": 2, "spirit": 95},
        {"state": "wilted", "ratio": 2, "spirit": 75.5},
        {"method": "drip", "water": 95},
        {"bottles": 1, "bottle": 5},
        {"bottles": 1000, "bottle": 5, "ratio": 10},
    ],
)
def test_one_end_leads_to_the_other(values):
    back = look(**values)
    wanted = batch(**values).bottles * batch(**values).bottle
    assert back.number("finished").amount == pytest.approx(wanted)
    forward = look(**{**values, "begin": "basket", "fresh": back.number("fresh").amount})
    for key in ("finished", "menstruum", "end", "whole", "plants", "marc", "air"):
        assert forward.number(key).amount == pytest.approx(back.number(key).amount), key


def test_a_basket_that_lies_there_weighs_what_it_weighs():
    shown = look(begin="basket", fresh=1000)
    assert (shown.number("fresh").value, shown.number("fresh").note) == ("1000 g", "2 lb 3 1/4 oz")
    assert shown.table[1] == ("fresh plant", *["1000 g (2 lb 3 1/4 oz)"] * 2)


def test_only_what_counts_has_a_dial():
    away = {c.name for c in controls(lesson14.Setting)} - lesson14.used(batch())
    assert away == {"fresh", "wilted", "stand", "share"}
    other = batch(begin="basket", state="wilted", grows="stand")
    assert {c.name for c in controls(lesson14.Setting)} - lesson14.used(other) == {"bottles"}


@pytest.mark.parametrize("state", ["fresh", "wilted", "dried"])
def test_what_one_dial_does_not_count_for_changes_nothing(state):
    for one, other in (
        ({"wilted": 30}, {"wilted": 60}),
        ({"stand": 1}, {"stand": 400}),
        ({"fresh": 50}, {"fresh": 90}),
    ):
        if state == "wilted" and "wilted" in one:
            continue
        values = {"state": state, "spirit": 75.5}
        assert look(**values, **one).numbers == look(**values, **other).numbers


def test_the_house_rules_reach_the_batch():
    assert said("fresh") < said("fresh", rules=Rules(dried_to=8.0))
    assert said("fresh") != said("fresh", rules=Rules(ratio_reading="finished"))
    assert "1:5 (finished liquid)" in look(Rules(ratio_reading="finished")).given
    weak = {"state": "fresh", "ratio": 2, "spirit": 45}
    with pytest.raises(Impossible):
        look(**weak)
    assert look(Rules(floor=30.0), **weak).number("end").amount == pytest.approx(45 * 2 / 2.8)
    assert scenes(lesson14, Rules(retained=1.2))[0].setting.retained == 1.2
    assert scenes(lesson14, Rules(stand_share=0.2))[7].setting.share == 0.2


REFUSED = {
    "fresh and dripped": {"state": "fresh", "method": "drip"},
    "fresh in vodka": {"state": "fresh", "ratio": 2, "spirit": 40},
    "wilted too little": {"state": "wilted", "wilted": 70, "ratio": 2, "spirit": 40},
    "a floor over the spirit": {"spirit": 30},
    "nothing out": {"ratio": 1},
    "one bottle of 5 mL": {"bottles": 1, "bottle": 5, "ratio": 1.2},
    "a thousand": {"bottles": 1000, "ratio": 1.2},
    "a small stand": {"grows": "stand", "stand": 12, "share": 0.1},
}


@pytest.mark.parametrize("units", ["metric", "kitchen"])
@pytest.mark.parametrize("values", REFUSED.values(), ids=REFUSED.keys())
def test_what_cannot_be_made_names_what_can_and_its_cost(values, units):
    with pytest.raises(Impossible) as refusal:
        look(view=View(units=units), **values)
    ways = refusal.value.ways_out
    assert 1 <= len(ways) <= 6
    for way in ways:
        assert re.fullmatch(r"[A-Z][^:]*(1:[\d.]+)?[^:]*: .* fresh, .* of spirit, \d+ days\.", way), way
        assert len(way) < 165
        assert METRIC.search(way), way
        assert KITCHEN.search(way), way
    poured = ways[0].split(" fresh, ")[1]
    assert bool(re.match(r"[\d,.]+ mL", poured)) == (units == "metric"), poured


def test_the_panel_says_the_ways_out_after_the_guess(tmp_path):
    panel = Panel(lesson14, RULES, tmp_path)
    for _ in range(5):
        panel.next()
    assert "Make a guess first" in panel._html["say"].value
    assert "Wilt the plant" not in panel._html["picture"].value
    panel.answer.click()
    assert panel._html["picture"].value.count("<li>") == 4
    assert "Wilt the plant to 28 % water first" in panel._html["picture"].value


def test_a_basket_that_ends_too_weak_is_told_with_what_would_work():
    shown = look(begin="basket", state="fresh", ratio=2, spirit=40)
    assert "under your floor of 35 % vol" in shown.sentence
    assert WEAK in shown.caution
    assert len(shown.ways_out) == 4
    assert all("1000 g" in way for way in shown.ways_out), "the basket is what it is"
    assert look(begin="basket").ways_out == []


def test_a_basket_that_is_more_than_the_stand_gives_is_told():
    shown = look(begin="basket", grows="stand", stand=20, share=0.1)
    assert "9 plants; 2 may be taken. That is more than this stand gives." in shown.sentence
    assert "more than this stand" not in look(begin="basket", grows="stand", stand=200, share=0.1).sentence


def test_what_draws_together_is_told():
    """Spirit and water take less room than each alone: of fresh leaf in strong spirit a jug shows it."""
    assert (
        "1000 mL (33 3/4 fl oz) come out by the kitchen rule, measured 976 mL"
        in look(state="fresh", ratio=2, spirit=95).sentence
    )
    assert "come out by the kitchen rule. It ends" in look().sentence


def test_before_the_guess_only_the_given_end_is_drawn():
    for values, there, given in (
        ({}, "20 × 50 mL", "finished"),
        ({"begin": "basket"}, "1000 g, 80 % water", "fresh"),
    ):
        shown = look(**values)
        words = re.findall(r">([^<]+)</text>", Pictures("asked").before(shown, "? g", PAGE))
        assert there in words
        assert sum("?" in word for word in words) == 2
        for number in shown.numbers:
            if number.unit in ("g", "mL") and number.key != given:
                assert not any(number.value.removeprefix("at least ") in word for word in words), number


# --- cautions at their moment ---


def test_each_caution_at_its_moment():
    assert "Certain of the plant" in lesson14.CAUTION
    assert "food-grade" in lesson14.CAUTION
    soak, drip = look().caution, look(method="drip").caution
    assert DUST in soak
    assert DUST in drip
    assert len(soak) < 330, "a wall is read by nobody, and the projector cuts it off"
    for told in (soak, drip):
        assert "no flame" in told
        assert "Never dry a wet marc on heat" in told


def test_every_end_of_every_dial_is_made_or_refused_kindly():
    """Two dials at their ends at a time, from each way in."""
    fields = [c for c in controls(lesson14.Setting) if not c.options]
    ways_in = [{"begin": begin, "state": state} for begin in ("bottles", "basket") for state in lesson14.GOES_IN]
    made = refused = 0
    for start, (one, other) in itertools.product(ways_in, itertools.combinations(fields, 2)):
        for a, b in itertools.product((one.low, one.end), (other.low, other.end)):
            try:
                shown = look(**{**start, one.name: a, other.name: b})
                made += 1
            except Impossible:
                refused += 1
                continue
            assert shown.number("fresh").amount > 0
            assert Q(shown.number("menstruum").amount, "mL").magnitude > 0
    assert made > 500
    assert refused > 50
