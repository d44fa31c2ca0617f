"""Every caution of lessons 10 to 14 at its moment: a setting that must show it, beside one that must not.

A row names the panel, words of the line, the dials that call for it and dials that do not; None where it must stand
whatever the dials say, and then it stands at the ends of every dial too. The lines and where they belong are the
trade's own; the flash points are those of `data/flash_points.csv`.
"""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from herbcalc import homework
from herbcalc.rules import Rules
from herbcalc.show.lessons import (
    lesson10,
    lesson11,
    lesson11_wax,
    lesson12,
    lesson12_drops,
    lesson13,
    lesson13_cost,
    lesson14,
)
from herbcalc.show.look import Look, Stop
from herbcalc.show.story import scenes
from herbcalc.units.refusals import Impossible, OutOfRange

PANELS = (lesson10, lesson11, lesson11_wax, lesson12, lesson12_drops, lesson13, lesson13_cost, lesson14)
WHATEVER = None
TYPED = {"drops": 5, "times": 1}
FEW = {"students": 2, "each": 60, "pack": 750}

TABLE = [
    # honey, vinegar, gas
    (lesson10, "No honey for a child under 1 year: it can bring botulism", {"jar": "vinegar"}, WHATEVER),
    (lesson10, "No bare metal lid on vinegar", {"jar": "honey"}, WHATEVER),
    (lesson10, "sums for teaching, no advice", {}, WHATEVER),
    (lesson10, "Gas bursts a closed jar", {"jar": "honey", "honey": 1000}, {"jar": "honey", "water": 5}),
    (lesson10, "Gas bursts a closed jar", {"jar": "syrup", "sugar": 100}, {"jar": "syrup", "sugar": 600}),
    (lesson10, "Gas bursts a closed jar", {"water": 95}, {"water": 5}),
    (lesson10, "lid loose at first", {"jar": "honey", "water": 10}, {"jar": "honey", "ripe": 14}),
    (lesson10, "misses its line", {"jar": "vinegar", "acid": 0.04}, {"jar": "vinegar", "vinegar": 400}),
    (lesson10, "misses its line", {"jar": "glycerin", "pure": 0.6}, {"jar": "glycerin", "water": 10}),
    (lesson10, "keep it cold, 1 to 3 months (common practice)", {"jar": "syrup", "sugar": 600}, {"jar": "honey"}),
    # spirit in a syrup, in a mix, in a store
    (lesson10, "catches fire from about 13 °C", {"jar": "syrup", "shot": 10, "spirit": 96}, {"jar": "honey"}),
    (lesson10, "Strong alcohol draws on plastic", {"jar": "syrup", "shot": 10}, {"jar": "vinegar"}),
    (lesson10, "Only food-grade ethanol", {"jar": "syrup", "shot": 10}, {"jar": "glycerin"}),
    (lesson12, "96 % vol catches fire from about 13 °C", {"second_spirit": 96}, {"second_spirit": 95}),
    (lesson12, "70 % vol catches fire from about 21 °C", {}, {"second": 0, "first_spirit": 40}),
    (lesson12, "70 % vol catches fire", {"third": 5, "third_spirit": 20}, {"third": 5, "third_spirit": 80}),
    (lesson12, "What makes it stronger lights sooner", {"decoction": 1000}, {}),
    (lesson12, "Only food-grade ethanol", {"decoction": 1000}, {}),
    (lesson13, "catches fire from about 13 °C", {"spirit": 95}, {"spirit": 40}),
    (lesson13, "Only food-grade ethanol", {"spirit": 20}, WHATEVER),
    (lesson13, "stands in glass, cool, closed and low", {"students": 40}, FEW),
    (lesson13_cost, "catches fire from about 13 °C", {"spirit": 95}, {"spirit": 50}),
    (lesson13_cost, "Only food-grade ethanol", {"spirit": 20, "to": 20}, WHATEVER),
    (lesson13_cost, "stands in glass, cool, closed and low", {"pack": 1000}, {"pack": 750}),
    (lesson14, "75.5 % vol catches fire", {"spirit": 75.5}, {"spirit": 50}),
    (lesson14, "Only food-grade ethanol", {"spirit": 20, "begin": "basket"}, WHATEVER),
    (lesson14, "Certain of the plant, or leave it", {"grows": "stand"}, WHATEVER),
    (lesson14, "Never dry a wet marc on heat", {"method": "drip"}, WHATEVER),
    (lesson14, "with a dust mask on", {"method": "soak"}, {"state": "fresh", "spirit": 95}),
    (lesson14, "Damp herb moulds in a closed jar", {"state": "dried"}, {"state": "fresh", "spirit": 95}),
    (lesson14, "a heap of it heats and moulds", {"state": "wilted", "spirit": 95}, {"state": "dried"}),
    (lesson14, "Of a wild plant that is at risk take nothing", {"grows": "stand"}, {"grows": "garden"}),
    # under the floor; a tea
    (lesson12, "Do not keep a jar that is under the floor", {"decoction": 1000}, {"decoction": 5}),
    (lesson14, "Do not keep a jar that is under the floor", {"begin": "basket", "spirit": 30}, {"begin": "basket"}),
    (lesson14, "What makes it stronger lights sooner", {"begin": "basket", "spirit": 30}, {"begin": "basket"}),
    (lesson12, "mix it the day it is made", {"decoction": 5}, {"decoction": 0}),
    # water under oil, heat, dust
    (lesson11, "fresh plant or garlic there can bring botulism", {"state": "dried"}, WHATEVER),
    (lesson11, "a water bath with a thermometer, never a flame, and the glass warmed", {"use": "cold"}, WHATEVER),
    (lesson11, "In the refrigerator from the first hour", {"use": "cold"}, {"use": "skin"}),
    (lesson11, "Water lies under this oil", {"use": "skin", "lost": 0.0}, {"use": "skin", "lost": 0.78}),
    (lesson11, "with a dust mask on", {"state": "dried"}, {"state": "wilted", "lost": 0.0}),
    (lesson11_wax, "Hot oil and wax burn the skin", {"by": "wax"}, WHATEVER),
    # what is taken, what is sold
    (lesson12, "Before any tasting: not in pregnancy", {"decoction": 1000}, WHATEVER),
    (lesson12_drops, "with liver trouble, before surgery, in recovery", TYPED, WHATEVER),
    (lesson12_drops, "no amount is proposed here", TYPED, WHATEVER),
    (lesson13_cost, "what may be made, claimed and sold differs by place", {"price": 1}, WHATEVER),
]  # fmt: skip


def look(panel: Any, rules: Rules, changed: dict[str, Any]) -> Look:
    return panel.look(dataclasses.replace(scenes(panel, rules)[0].setting, **changed), rules)


def seen(panel: Any, changed: dict[str, Any], rules: Rules | None = None) -> str:
    """The lines of a panel that its dials call for, and the sentence beside them."""
    shown = look(panel, rules or Rules(), changed)
    return f"{panel.CAUTION} {shown.caution} {shown.sentence}"


@pytest.mark.parametrize(("panel", "line", "there", "away"), TABLE)
def test_a_line_stands_where_the_dials_call_for_it_and_not_elsewhere(panel, line, there, away):
    assert line in seen(panel, there)
    if away is not WHATEVER:
        assert line not in seen(panel, away)
    else:
        assert line in panel.CAUTION or all(line in told for told in ends(panel))


def ends(panel: Any) -> list[str]:
    """What a panel says at both ends of each dial, one at a time; where it refuses it shows nothing."""
    told = []
    for field in dataclasses.fields(panel.Setting):
        about = field.metadata
        for value in about.get("options") or (about["low"], about["high"]):
            try:
                told.append(seen(panel, {field.name: value}))
            except (Impossible, OutOfRange, Stop):
                continue
    return told


@pytest.mark.parametrize("panel", PANELS)
def test_the_table_has_rows_for_every_panel(panel):
    assert sum(row[0] is panel for row in TABLE) > 0
    assert len(ends(panel)) > 5


@pytest.mark.parametrize("lost", [0.0, 0.3, 0.7])
def test_an_oil_for_eating_from_a_shelf_stops_whatever_the_loss(lost):
    with pytest.raises(Stop, match="botulism can grow"):
        seen(lesson11, {"use": "shelf", "lost": lost})
    seen(lesson11, {"use": "shelf", "lost": 0.78})


def test_a_house_that_allows_wet_honey_does_not_stop_its_gas():
    """Over 20 % water honey is always in danger, whatever a house rule calls keeping."""
    rules = Rules(honey_limit=23)
    jar = {"jar": "honey", "herb": 100, "water": 80, "honey": 2000, "ripe": 18}
    shown = look(lesson10, rules, jar)
    assert "within its limit of 23 % water" in shown.sentence
    assert "Gas bursts a closed jar" in shown.caution
    assert "Gas bursts a closed jar" not in look(lesson10, rules, jar | {"honey": 5000}).caution


PROMPTS = [
    ("hairs of hips itch", {(10, 7)}),
    ("No honey for a child under 1 year", {(10, 5), (10, 6)}),
    ("No bare metal lid on vinegar", {(10, 4)}),
    ("no flame near strong spirit", {(10, 8)}),
    ("melted in a water bath", {(11, 4), (11, 5)}),
    ("may be sold, and how, differs by place", {(13, 2)}),
]


@pytest.mark.parametrize(("line", "items"), PROMPTS)
def test_a_sum_of_homework_has_its_caution_in_the_prompt(line, items):
    ours = [at for at in homework.items() if 10 <= at[0] <= 13]
    assert {at for at in ours if line in homework.item(*at, "fern7", 3).prompt} == items
