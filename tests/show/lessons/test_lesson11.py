"""Lesson 11: oil and wax."""

import dataclasses
import json
import random
import re
from pathlib import Path

import pytest

from herbcalc import homework, preserving
from herbcalc.homework import in_class
from herbcalc.rules import Rules
from herbcalc.show.cautions import DRIED_TO_EAT, DUST, UNDER_OIL, WATER_BATH
from herbcalc.show.lessons import lesson11, lesson11_wax
from herbcalc.show.look import Stop, View
from herbcalc.show.panel import Panel
from herbcalc.show.story import scenes
from herbcalc.units import Q

ROOT = Path(__file__).resolve().parents[3]
RULES = Rules()
START, UNDER, DRIED, COLD = (scene.setting for scene in scenes(lesson11, RULES))
CUP, FIFTH, TINS, SOFT = (scene.setting for scene in scenes(lesson11_wax, RULES))


def oil(start=START, rules=RULES, view=View(), **values):  # noqa: B008 - frozen
    return lesson11.look(dataclasses.replace(start, **values), rules, view)


def wax(start=CUP, rules=RULES, view=View(), **values):  # noqa: B008 - frozen
    return lesson11_wax.look(dataclasses.replace(start, **values), rules, view)


# --- oil ------------------------------------------------------------------------------------------------------------


def test_wilted_to_half_is_still_sixty_of_a_hundred():
    it = lesson11.sums(START, RULES)
    assert (it.weighs, it.wet, it.water) == pytest.approx((125, 60, 75))
    assert (it.oil, it.out) == pytest.approx((625, 375))
    assert it.dry_at == pytest.approx(250 * 0.2 / 0.9)
    assert not it.dry
    look = oil()
    assert "Wilted is not dry: by your rule of 10 % water it would weigh at most 55.5 g" in look.sentence
    assert "gathers at the bottom in droplets" in look.sentence
    assert look.number("brings").value == "75 mL"


def test_dry_begins_just_where_the_house_rule_says():
    """The weight at which the panel calls it dry is that of the drying sum, by any rule."""
    for rule in (3.0, 8.0, 10.0, 13.0):
        rules = Rules(dried_to=rule)
        gone = 1 - 0.2 / (1 - rule / 100)
        assert lesson11.sums(dataclasses.replace(START, lost=gone), rules).dry
        assert not lesson11.sums(dataclasses.replace(START, lost=gone - 1e-4), rules).dry
        dried = lesson11.sums(dataclasses.replace(DRIED, use="shelf"), rules)
        assert (dried.wet, dried.dry) == (rule, True)


def test_solids_and_water_are_conserved():
    dice = random.Random(11)
    for _ in range(300):
        water, herb = dice.uniform(30, 95), dice.uniform(20, 1000)
        lost = dice.uniform(0, water / 100)
        it = lesson11.sums(dataclasses.replace(START, herb=herb, water=water, lost=lost), RULES)
        assert it.weighs - it.water == pytest.approx(herb * (1 - water / 100))
        assert herb * water / 100 - it.water == pytest.approx(herb * lost, abs=1e-9)


def test_the_marc_keeps_its_oil_whatever_the_ratio():
    for ratio in (3, 5, 10):
        it = lesson11.sums(dataclasses.replace(DRIED, ratio=ratio), RULES)
        assert it.oil - it.out == pytest.approx(200)
    dry = oil(DRIED, ratio=2)
    assert "nothing comes out" in dry.sentence
    assert dry.ways_out[0].startswith("Pour 1:5")


def test_house_rules_reach_the_scenes():
    own = Rules(retained_oil=1.2, cold_days=2, wax_firm=0.25, wax_soft=0.1, dried_to=8)
    there = scenes(lesson11, own)
    assert there[2].setting.kept == 1.2
    assert lesson11.look(there[3].setting, own).number("days").value == "at most 2 days"
    assert "8 % water" in lesson11.look(there[0].setting, own).sentence
    waxes = scenes(lesson11_wax, own)
    assert waxes[1].setting.share == 0.25
    assert "25 of every 100 parts" in waxes[1].question
    assert lesson11_wax.look(waxes[0].setting, own).number("share").note == "soft 10 %, firm 25 %"


# --- the stop -------------------------------------------------------------------------------------------------------

EATEN = [(start, lost) for start in (START, UNDER, COLD) for lost in (0.0, 0.3, 0.6, 0.76)]


@pytest.mark.parametrize(("start", "lost"), EATEN)
def test_fresh_or_wilted_under_oil_to_be_eaten_from_a_shelf_is_stopped(start, lost):
    with pytest.raises(Stop) as stop:
        oil(start, use="shelf", lost=lost)
    said = str(stop.value)
    assert said.startswith("Stop. ")
    assert "botulism" in said
    dry, cold, skin = stop.value.ways_out
    assert "Dry it on until it weighs at most" in dry
    assert "within 4 days" in cold
    assert "refrigerator" in cold
    assert "skin" in skin


def test_dry_herb_is_not_stopped():
    assert "this oil keeps" in oil(use="shelf", lost=0.78).sentence
    assert "this oil keeps" in oil(DRIED).sentence


def test_the_stop_shows_at_the_moment_it_is_chosen_guess_or_no_guess(tmp_path):
    """Other refusals wait for the guess, for they may be its answer."""
    panel = Panel(lesson11, RULES, tmp_path)
    assert panel._hidden
    panel.dials["use"].radio.value = "shelf"
    told = panel._html["picture"].value
    assert "Stop. This plant is still 60 % water" in told
    assert "What would work:" in told
    assert panel._html["tiles"].value == "", "no figure stands beside it, not even: none"
    assert panel._hidden
    panel.dials["use"].radio.value = "skin"
    assert "Stop." not in panel._html["picture"].value
    panel.dials["lost"].twin.value = "0.85"  # more than its water: a plain refusal, and it waits
    assert "was there to go" not in panel._html["picture"].value


# --- cautions, each at its moment ----------------------------------------------------------------------------------


def test_every_caution_of_the_lesson_stands_at_its_moment():
    assert DRIED_TO_EAT in lesson11.CAUTION
    assert WATER_BATH in lesson11.CAUTION
    assert WATER_BATH in lesson11_wax.CAUTION
    assert oil().caution == UNDER_OIL
    assert oil(DRIED).caution == oil(lost=0.78).caution == DUST  # wilted until it is dry
    cold = oil(COLD).caution
    assert "refrigerator from the first hour, and gone after 4 days at most" in cold
    assert "gone after 2 days" in oil(COLD, rules=Rules(cold_days=2)).caution


def test_the_bench_says_them_where_the_hands_are():
    cells = json.loads((ROOT / "workbook/11_oil_and_wax.ipynb").read_text(encoding="utf-8"))["cells"]
    bench = " ".join("".join(next(c["source"] for c in cells if c["id"] == "bench")).split())
    for words in (
        "only dried herb goes under oil",
        "never a flame",
        "dust mask",
        "away from your hand",
        "warmed first",
    ):
        assert words in bench, words
    for words in ("thermometer", "do not taste it", "in the freezer", "off the droplets"):
        assert words in bench, words


def test_no_item_praises_what_the_panel_stops():
    """Of the three cases of 11.6 the one that is eaten and not dry is thrown away, and no line says to heat it."""
    seen = set()
    for number in range(1, 61):
        one = homework.item(11, 6, "fern7", number)
        tray = re.search(r"weighed ([\d.]+) g", one.prompt)
        wet = preserving.wilted_water(one.figures["w"], 1 - float(tray[1]) / one.figures["m"].magnitude)
        right = one.answers()[-1].split(":")[0]
        eaten = "salads" in one.prompt
        want = (
            "Strain it and keep it" if wet.magnitude <= 10 else "Throw it away" if eaten else "Pour the clear oil off"
        )
        assert right.startswith(want), (one.prompt, right)
        seen.add(right[:5])
        lines = {name: line for name, line in one.slip_answers().items() if name in ("m669", "m670")}
        assert set(lines) == {"m669", "m670"}, "no case makes a shelf of it as it is, or of boiling it"
        assert all("otulism" in one.check(letter).hint for letter in lines.values())
    assert len(seen) == 3


def test_no_text_proposes_an_amount_to_take():
    looks = [*(oil(one) for one in (START, DRIED, COLD)), *(wax(one) for one in (CUP, FIFTH))]
    texts = [line for look in looks for line in (look.sentence, look.alt, *look.ways_out)]
    texts += [homework.item(11, n, "fern7", 5).prompt for n in range(1, 7)]
    texts += [one.ask.prompt for one in in_class.gaps(11)]
    for text in texts:
        assert not re.search(r"\b(dose|drops? a day|times a day|daily|take \d)", text, re.IGNORECASE), text


# --- wax ------------------------------------------------------------------------------------------------------------


def test_an_ounce_in_a_cup():
    it = lesson11_wax.sums(CUP, RULES)
    ounce, cup = 28.3495, 236.6  # one ounce is one ounce: 28 g in 237 mL told another share than the rule's 1 in 8
    assert it.share == pytest.approx(ounce / (ounce + cup * 0.915))
    assert f"{it.share:.3f}" == f"{RULES.wax_soft:.3f}"
    assert it.room == pytest.approx((ounce + cup * 0.915) / 0.93)
    assert (it.tins, it.left) == (8, pytest.approx(it.room - 240))
    assert "a soft salve by your rules" in wax().sentence


@pytest.mark.parametrize(
    ("share", "says"),
    [(0.1, "softer than"), (0.12, "a soft salve"), (0.17, "nearly firm"), (0.2, "firm by your rules")],
)
def test_how_a_salve_sets_goes_by_the_two_house_rules(share, says):
    assert f": {says}" in wax(FIFTH, share=share).sentence
    assert ": a soft salve" in wax(FIFTH, rules=Rules(wax_soft=share, wax_firm=0.3), share=share).sentence


def test_wax_for_a_share_and_the_share_of_that_wax():
    for share in (0.05, 0.116, 0.2, 0.5):
        it = lesson11_wax.sums(dataclasses.replace(FIFTH, share=share), RULES)
        assert it.share == pytest.approx(share, abs=1e-12)
        again = lesson11_wax.sums(dataclasses.replace(CUP, oil=200, wax=it.wax), RULES)
        assert again.share == pytest.approx(share, abs=1e-12)
    assert lesson11_wax.sums(FIFTH, RULES).wax == pytest.approx(45.75)


def test_the_spoon_is_answered_both_ways():
    soft = lesson11_wax.sums(SOFT, RULES)
    mended = lesson11_wax.sums(dataclasses.replace(SOFT, wax=SOFT.wax + soft.more_wax), RULES)
    assert mended.share == pytest.approx(RULES.wax_firm)
    assert f"{soft.more_wax:.3g} g (7/8 oz) more wax" in wax(SOFT).ways_out[0]
    firm = lesson11_wax.sums(FIFTH, RULES)
    thinned = dataclasses.replace(CUP, oil=FIFTH.oil + firm.more_oil, wax=firm.wax)
    assert lesson11_wax.sums(thinned, RULES).share == pytest.approx(RULES.wax_soft)
    assert "more oil" in wax(FIFTH).ways_out[0]


def test_tins_are_rounded_down_and_the_rest_is_told():
    for tin in (5, 15, 30, 60, 250):
        it = lesson11_wax.sums(dataclasses.replace(TINS, tin=tin), RULES)
        assert it.tins * tin + it.left == pytest.approx(it.room)
        assert 0 <= it.left < tin
    assert preserving.whole_tins(Q(90, "mL"), Q(30, "mL")) == 3
    assert preserving.whole_tins(Q(89.999, "mL"), Q(30, "mL")) == 2
