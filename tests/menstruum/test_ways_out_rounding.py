"""A way out is rounded to the safe side, and no further than the scale and the jug can show."""

from __future__ import annotations

import re

import pytest

from herbcalc import menstruum
from herbcalc.menstruum import Impossible
from herbcalc.units import Q, amount

FLOOR = Q(35.0, "percent_vol")
STRENGTHS = [round(36.0 + 0.7 * n, 1) for n in range(19)]
WET = [55.0, 62.5, 70.0, 77.5, 80.0, 85.0]


def vol(number):
    return Q(number, "percent_vol")


def wb(number):
    return Q(number, "percent_wb")


def named(pattern, text, unit):
    """The amount that a sentence names, and its twin in kitchen measures where there is one: "28 g (1 oz)"."""
    found = re.search(pattern + r" ([\d,.]+ \w+)(?: \(([\d,./ a-z]+?)\))?", text)
    return [side and amount(side).to(unit).magnitude for side in found.groups()]


def kitchen_fits(side, limit):
    """Half a gram or mL is more than a kitchen scale or a jug shows, so a step that close counts as met."""
    return side is None or limit - 7.5 < side <= limit + min(0.5, 0.02 * limit)


@pytest.mark.parametrize("water", WET)
def test_a_stronger_spirit_names_the_least_ratio_to_two_places(water):
    exact = water / 100.0 * 35.0 / (95.0 - 35.0)
    with pytest.raises(Impossible) as refusal:
        menstruum.smallest_ratio(wb(water), vol(30.0), FLOOR)
    said = float(re.search(r"at least ([\d.]+) mL", refusal.value.ways_out[0].text)[1])
    assert 0.0 <= said - exact < 0.01


@pytest.mark.parametrize("water", WET)
def test_pouring_more_names_the_least_ratio_to_two_places(water):
    exact = water / 100.0 * 60.0 / (95.0 - 60.0)
    with pytest.raises(Impossible) as refusal:
        menstruum.strength_to_pour(Q(0.3, "mL/g"), wb(water), vol(60.0))
    pour = refusal.value.ways_out[0]
    assert pour.kind == "pour"
    assert 0.0 <= pour.amount.magnitude - exact < 0.01
    # What is poured so ends at the wish or above, never under it.
    assert menstruum.final_strength(Q(100, "g"), wb(water), 100 * pour.amount * Q(1, "g"), vol(95)).magnitude >= 60.0


def _dry(strength, herb=100.0, water=80.0, poured=200.0):
    jar = Q(herb, "g"), wb(water), Q(poured, "mL"), vol(strength)
    ways = {way.kind: way for way in menstruum.ways_out(*jar, FLOOR)}
    return ways.get("dry")


@pytest.mark.parametrize("strength", STRENGTHS)
def test_the_tray_is_dry_enough_at_the_weight_that_is_named(strength):
    way = _dry(strength)
    assert way, "the jar of this test ends under its floor"
    limit = 100.0 * 2.0 * (strength - 35.0) / 35.0
    tray = 20.0 / (1.0 - limit / 100.0)
    grams, ounces = named("the tray weighs", way.text, "g")
    assert tray - 1.0 < grams <= tray + 1e-9
    assert kitchen_fits(ounces, tray)
    millilitres, fluid_ounces = named("on that weight,", way.text, "mL")
    assert millilitres <= 2.0 * tray + 1e-9
    assert kitchen_fits(fluid_ounces, 2.0 * tray)
    # All of the menstruum kept: the plant may bring what separates the spirit from the floor.
    heaviest = 20.0 + 200.0 * (strength - 35.0) / 35.0
    grams, ounces = named("must weigh less than", way.text, "g")
    assert grams == pytest.approx(heaviest, rel=2e-3)
    assert kitchen_fits(ounces, heaviest)


def test_there_are_trays_that_rounding_to_the_nearest_would_spoil():
    """Or the test above would pass without any rounding down."""
    trays = [20.0 / (1.0 - 2.0 * (strength - 35.0) / 35.0) for strength in STRENGTHS]
    assert sum(tray % 1.0 >= 0.5 for tray in trays) >= 5


def test_limits_by_hand():
    """Kitchen rule, with the strongest spirit commonly sold, 95 % vol."""
    with pytest.raises(Impossible) as refusal:
        menstruum.wettest_plant(Q(0.3, "mL/g"), vol(30.0), FLOOR)
    assert "may hold up to 51.4 % water" in refusal.value.ways_out[0].text  # 100 x 0.3 x (95 - 35) / 35
    with pytest.raises(Impossible) as refusal:
        menstruum.wettest_plant(Q(1.0, "mL/g"), vol(30.0), FLOOR)
    assert "any plant will do" in refusal.value.ways_out[0].text
    with pytest.raises(Impossible) as refusal:
        menstruum.strength_to_pour(Q(0.3, "mL/g"), wb(80.0), vol(60.0))
    dry = refusal.value.ways_out[1]
    assert dry.kind == "dry"
    assert dry.amount.magnitude == pytest.approx(17.5)  # 100 x 0.3 x (95 - 60) / 60


@pytest.mark.parametrize("line", [95.0, 95.5, 100.0])
def test_a_wish_that_the_strongest_spirit_does_not_pass(line):
    """Nothing is lifted to 95 % vol with a spirit of 95: such ways are left out, and no sum divides by nothing."""
    ways = menstruum.ways_out(Q(100, "g"), wb(80.0), Q(200, "mL"), vol(60.0), vol(line))
    assert [way.kind for way in ways] == ["other"]
    for call in (
        lambda: menstruum.smallest_ratio(wb(80.0), vol(30.0), vol(line)),
        lambda: menstruum.wettest_plant(Q(2.0, "mL/g"), vol(30.0), vol(line)),
        lambda: menstruum.strength_to_pour(Q(0.3, "mL/g"), wb(80.0), vol(line)),
    ):
        with pytest.raises(Impossible) as refusal:
            call()
        assert [way.kind for way in refusal.value.ways_out] == ["other"]
    with pytest.raises(Impossible) as refusal:
        menstruum.cut(vol(40.0), vol(line), make=Q(1000, "mL"))
    assert [way.kind for way in refusal.value.ways_out] == ["strength"]
