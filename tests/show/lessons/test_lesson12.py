"""Lesson 12: mixing, drops, an amount that nobody but a person enters, and each caution at its moment."""

from __future__ import annotations

import dataclasses
import json
import re
from pathlib import Path

import pytest

from herbcalc import dosing, ethanol, person
from herbcalc.rules import Rules
from herbcalc.show.cautions import ASK_FIRST, BEFORE_TASTING, NOT_ADVICE, WEAK
from herbcalc.show.lessons import lesson12, lesson12_drops
from herbcalc.show.look import View, as_setting, controls, key_of
from herbcalc.show.panel import Panel
from herbcalc.show.panel.dials import WHO_TELLS, Told
from herbcalc.show.story import scenes
from herbcalc.units import Q
from herbcalc.units.refusals import OutOfRange

RULES = Rules()
TOLD = ("drops", "volume", "times")
ROOT = Path(__file__).resolve().parents[3]


def mix(**values):
    return lesson12.Setting(**values)


def counted(**values):
    return lesson12_drops.Setting(**values)


# --- mixing ---


def test_a_mix_is_pulled_to_the_side_of_the_more():
    it = lesson12.sums(mix(), RULES.floor)
    assert it.strength["kitchen"] == pytest.approx(60.0)
    assert it.strength["measured"] == pytest.approx(60.11, abs=0.01)
    assert [t.herb for t in it.poured] == pytest.approx([12, 20])
    assert it.makes["measured"] == pytest.approx(99.81, abs=0.01)
    look = lesson12.look(mix(decoction=20), RULES)  # poured in all is 120 mL, and the decoction is a part of it
    assert look.number("share").amount == pytest.approx(50)
    assert look.number("lead").amount == pytest.approx(10)


@pytest.mark.parametrize(("to", "kitchen", "measured"), [(30, 500, 509), (25, 700, 709), (35, 357.14, 365.17)])
def test_the_decoction_that_fits_ends_at_the_floor_by_each_rule(to, kitchen, measured):
    it = lesson12.sums(mix(first=500, first_spirit=60, second=0), to)
    assert it.room["kitchen"] == pytest.approx(kitchen, abs=0.01)
    assert it.room["measured"] == pytest.approx(measured, abs=1.0)
    poured = ethanol.mix(Q([500, it.room["measured"]], "mL"), Q([60, 0], "percent_vol"))
    assert poured.strength.magnitude == pytest.approx(to, abs=1e-6)


def test_under_the_floor_no_decoction_fits_and_ways_out_reach_it():
    setting = mix(first=100, first_spirit=30, second=0, decoction=20)
    look = lesson12.look(setting, RULES)
    assert look.number("room").amount is None
    assert WEAK in look.caution
    more = re.search(r"Add at least ([\d.]+) mL .* of 95 % vol", " ".join(look.ways_out))
    both = ethanol.mix(Q([100, 20, float(more[1])], "mL"), Q([30, 0, 95], "percent_vol"))
    assert both.strength.magnitude >= 35
    assert both.strength_by_kitchen_rule.magnitude >= 35


def test_less_decoction_is_a_way_out_where_that_is_all():
    look = lesson12.look(mix(first=500, first_spirit=60, second=0, decoction=500), RULES)
    assert any("Pour less decoction: at most 357 mL" in way for way in look.ways_out)


def test_the_floor_of_the_house_counts():
    assert lesson12.sums(mix(), 25).room["kitchen"] > lesson12.sums(mix(), 35).room["kitchen"]


def test_a_mix_of_nothing_is_refused_in_words():
    with pytest.raises(OutOfRange, match="no tincture in this mix yet"):
        lesson12.look(mix(first=0, second=0), RULES)


# --- drops ---


def test_three_counts():
    it = lesson12_drops.sums(counted(one=181, two=190, three=184), 14)
    assert it.per_mL == pytest.approx(37)
    assert it.differ == pytest.approx(9 / 185)
    assert it.drink == pytest.approx(35.47, abs=0.01)
    assert (it.each, it.day, it.days) == (None, None, None)


def test_counts_too_far_apart_are_counted_again():
    told = lesson12_drops.look(counted(one=181, two=190, three=148), RULES).sentence
    assert "further than the 15 %" in told
    assert "Count again" in told
    assert "Count again" not in lesson12_drops.look(counted(), RULES).sentence


def test_what_a_person_typed_is_worked_through():
    """An invented order: 30 drops at 37 to the mL, three times: 0.486 g behind a day, 24 days from 60 mL."""
    it = lesson12_drops.sums(
        counted(one=185, two=185, three=185, bottle=60, ratio=5, spirit=60, drops=30, times=3), 14
    )
    assert it.each == pytest.approx(30 / 37)
    assert it.herb_day == pytest.approx(0.486, abs=0.001)
    assert it.alcohol == pytest.approx(dosing.alcohol_per_dose.plain(30 / 37, 60))
    assert it.days == 24
    by_volume = counted(one=185, two=185, three=185, bottle=60, spirit=60, told_in="mL", volume=30 / 37, times=3)
    assert lesson12_drops.sums(by_volume, 14).days == 24


def test_the_days_are_rounded_down_and_said_so():
    look = lesson12_drops.look(counted(one=185, two=185, three=185, bottle=60, drops=30, times=3), RULES)
    assert "24 whole days, rounded down" in look.sentence
    assert look.number("days").amount == 24


def test_the_standard_drink_is_a_house_rule():
    here, there = (lesson12_drops.look(counted(), Rules(standard_drink=g)) for g in (14, 8))
    assert "14 g (1/2 oz)" in here.sentence
    assert "8 g" in there.sentence
    assert here.number("drink").amount / there.number("drink").amount == pytest.approx(14 / 8)
    assert "differs by country" in here.sentence
    typed = counted(drops=1000, times=24)  # invented, and far from any order: it is the counting that is looked at
    for g in (14, 8):
        alcohol = lesson12_drops.sums(typed, g).alcohol_day
        assert f"{alcohol / g:.1f} standard drinks" in lesson12_drops.look(typed, Rules(standard_drink=g)).sentence


# --- an amount is entered, never proposed ---


def test_the_boxes_are_empty_at_first_in_every_scene_and_have_no_slider(tmp_path):
    assert [c.name for c in controls(lesson12_drops.Setting) if c.told] == [*TOLD]
    panel = Panel(lesson12_drops, RULES, tmp_path)
    for number in range(len(scenes(lesson12_drops, RULES))):
        panel._open(number)
        assert all(getattr(panel.setting, name) is None for name in TOLD)
        for name in TOLD:
            dial = panel.dials[name]
            assert isinstance(dial, Told)
            assert dial.twin.value == ""
            assert not hasattr(dial, "slider")
            assert WHO_TELLS in dial.children[-1].value
        panel.turn_answer()
        assert "none is proposed here" in panel.sentence


def test_a_box_is_filled_and_emptied_by_a_person_only(tmp_path):
    panel = Panel(lesson12_drops, RULES, tmp_path)
    panel.dials["drops"].twin.value = "12"
    panel.dials["times"].twin.value = "2"
    assert (panel.setting.drops, panel.setting.times) == (12, 2)
    panel.dials["drops"].twin.value = ""
    assert panel.setting.drops is None
    panel.dials["drops"].twin.value = "12"
    panel.next()
    assert panel.dials["drops"].twin.value == ""


OTHER_THINGS = [  # a count of anything else is no count of drops, and a number with more behind it is not half read
    "two pills", "3 times a day", "3x a day", "twice a day", "12-24", "12 to 24 drops", "1/2 tsp 3x a day",
    "a dropperful", "12 drops 3 times", "half a dropper",
]  # fmt: skip


@pytest.mark.parametrize("typed", ["a few", "-3", "0", "7.5", "9999999", "3 g", "<b>", "1e999", *OTHER_THINGS])
def test_what_cannot_be_read_there_is_told_without_an_example(tmp_path, typed):
    panel = Panel(lesson12_drops, RULES, tmp_path)
    panel.dials["drops"].twin.value = typed
    assert panel.setting.drops is None
    assert panel.dials["drops"].twin.value == ""
    note = re.sub(r"<[^>]+>", "", panel._html["note"].value).replace(typed, "").replace("&lt;b&gt;", "")
    assert "your teacher or a qualified practitioner told you" in note
    assert not re.search(r"\d", note), "an example would be an amount proposed"


def test_a_count_may_name_what_its_own_box_counts(tmp_path):
    panel = Panel(lesson12_drops, RULES, tmp_path)
    for typed, read in {"12 drops": 12, "twelve": 12, "1 drop": 1}.items():
        panel.dials["drops"].twin.value = typed
        assert panel.setting.drops == read
    for typed, read in {"3 times a day": 3, "2x": 2, "4 daily": 4, "3 x per day": 3}.items():
        panel.dials["times"].twin.value = typed
        assert panel.setting.times == read
    for typed in ("3 drops", "two pills", "3 times a week", "every 4 hours"):
        panel.dials["times"].twin.value = typed
        assert panel.setting.times == 3, typed
        assert "nothing was changed" in panel._html["note"].value


def test_an_amount_typed_before_the_answer_is_shown_says_where_to_find_it(tmp_path):
    panel = Panel(lesson12_drops, RULES, tmp_path)
    panel.dials["drops"].twin.value = "30 pills"
    assert "does not fit in this box" in panel.dials["drops"].children[-1].value
    panel.dials["drops"].twin.value = "30"
    assert panel.dials["drops"].children[-1].value == ""
    assert "Show me tells what is in it" in panel._html["say"].value
    panel.turn_answer()
    assert "Show me tells" not in panel._html["say"].value
    assert "What was typed, 30 drops" in panel._html["say"].value


def test_a_told_volume_says_its_unit(tmp_path):
    """ "30", which was told in drops, is not 30 mL."""
    panel = Panel(lesson12_drops, RULES, tmp_path)
    panel.set(told_in="mL")
    for typed in ("30", "30.0", "30 drops", "1/2 tsp 3x a day"):
        panel.dials["volume"].twin.value = typed
        assert panel.setting.volume is None, typed
    assert "a volume with its unit" in panel._html["note"].value


def test_a_volume_may_be_typed_in_either_system(tmp_path):
    panel = Panel(lesson12_drops, RULES, tmp_path)
    panel.set(told_in="mL")
    panel.dials["volume"].twin.value = "1/2 tsp"
    assert panel.setting.volume == pytest.approx(2.4645, abs=1e-3)


def test_a_kept_setting_opens_without_an_amount(tmp_path):
    """Neither what somebody typed nor what stands in a file comes back: the next class would read it as proposed."""
    panel = Panel(lesson12_drops, RULES, tmp_path)
    panel.set(one=100, drops=12, volume=0.3, times=2)
    panel.kept.name.value = "mine"
    panel._press_kept(panel.kept.keep)
    (row,) = person.settings(key_of(lesson12_drops), tmp_path)
    assert not {*TOLD} & row["setting"].keys()
    again = Panel(lesson12_drops, RULES, tmp_path)
    again._open(len(again._given))
    assert again.setting.one == 100
    assert all(getattr(again.setting, name) is None for name in TOLD)
    assert all(again.dials[name].twin.value == "" for name in TOLD)
    setting, aside = as_setting(lesson12_drops.Setting, {"drops": 12, "volume": None, "times": 2})
    assert (setting, aside) == (lesson12_drops.Setting(), [])
    assert as_setting(lesson12_drops.Setting, {"one": None})[1]


# --- cautions at their moment ---

WHO = ("pregnancy", "nursing", "child", "liver", "surgery", "recovery", "medicine", "blood thinners", "sedatives",
       "diabetes", "heart", "seizures", "HIV", "transplant", "contraception")  # fmt: skip


def test_who_must_ask_first_stands_beside_everything_of_the_drops_panel(tmp_path):
    assert all(word in ASK_FIRST for word in WHO)
    panel = Panel(lesson12_drops, RULES, tmp_path)
    assert ASK_FIRST in panel._html["cautions"].value  # while it asks
    for told in ({}, {"drops": 5}, {"drops": 5, "times": 1}):
        panel.set(**told)
        panel._hidden = False
        panel._draw()
        assert ASK_FIRST in panel._html["cautions"].value
        assert NOT_ADVICE in panel._html["cautions"].value


def test_every_panel_with_an_amount_for_a_day_has_that_caution():
    """Whatever panel has a box for what a person was told, in this lesson or another."""
    from herbcalc.show.here import modules

    found = [module for module in modules() if any(c.told for c in controls(module.Setting))]
    assert lesson12_drops in found
    assert all(module.CAUTION == ASK_FIRST for module in found)


def test_the_line_before_any_tasting_stands_on_the_mixing_panel_and_over_the_bench(tmp_path):
    assert BEFORE_TASTING in Panel(lesson12, RULES, tmp_path)._html["cautions"].value
    page = json.loads((ROOT / "workbook" / "12_mixing_drops_label.ipynb").read_text(encoding="utf-8"))
    texts = ["".join(cell["source"]) for cell in page["cells"] if cell["cell_type"] == "markdown"]
    bench = next(text for text in texts if text.startswith("## On the bench"))
    assert bench.split("\n\n")[1].startswith("**Before any tasting: not in pregnancy")
    assert sum("Before any tasting" in text for text in texts) == 2


def test_not_advice_and_the_law_are_said():
    assert "no amount is proposed" in NOT_ADVICE
    assert "differs by place" in NOT_ADVICE
    notes = (ROOT / "workbook" / "teacher" / "12_mixing_drops_label.md").read_text(encoding="utf-8")
    assert "Law on practice, claims and selling differs by place" in notes


def test_a_decoction_is_mixed_fresh():
    assert "the day it is made" in lesson12.look(mix(decoction=10), RULES).caution
    assert "the day it is made" not in lesson12.look(mix(), RULES).caution


def test_both_panels_look_in_every_view():
    for module in (lesson12, lesson12_drops):
        for view in (View(), View(units="kitchen", rule="measured")):
            for scene in scenes(module, RULES):
                assert module.look(dataclasses.replace(scene.setting), RULES, view).alt
