"""Wishes a little past what can be had are refused as surely as large ones; rounding alone refuses nobody."""

from __future__ import annotations

import pytest

from herbcalc import menstruum
from herbcalc.menstruum import Impossible
from herbcalc.units import Q

LITTLE = (0.5, 0.01, 1e-6)
ROUNDING = 1e-12
LITRE = Q(1000.0, "mL")
RULES = ("kitchen", "measured")


def vol(number):
    return Q(number, "percent_vol")


def wb(number):
    return Q(number, "percent_wb")


@pytest.mark.parametrize("more", LITTLE)
def test_cutting_never_makes_stronger(more):
    for how in ({"make": LITRE}, {"spirit": LITRE}):
        with pytest.raises(Impossible):
            menstruum.cut(vol(40.0), vol(40.0 + more), **how)
        assert menstruum.cut(vol(40.0), vol(40.0 + ROUNDING), **how).water.magnitude == 0.0


@pytest.mark.parametrize("more", LITTLE)
def test_a_blend_lies_between_its_two(more):
    for strong, weak in ((75.5, 40.0), (40.0, 75.5)):
        for to, word in ((75.5 + more, "stronger"), (40.0 - more, "weaker")):
            with pytest.raises(Impossible, match=word):
                menstruum.blend(vol(strong), vol(weak), vol(to), LITRE)
        assert menstruum.blend(vol(strong), vol(weak), vol(75.5 + ROUNDING), LITRE).makes.magnitude == 1000.0


@pytest.mark.parametrize(("to", "word", "others"), [(80.0, "more", "less"), (30.0, "less", "more")])
def test_the_way_out_of_a_blend_points_the_right_way(to, word, others):
    with pytest.raises(Impossible) as refusal:
        menstruum.blend(vol(75.5), vol(40.0), vol(to), LITRE)
    (way,) = refusal.value.ways_out
    assert f"{to:g} % vol or {word}" in way.text
    assert others not in way.text


@pytest.mark.parametrize("less", LITTLE)
@pytest.mark.parametrize("rule", RULES)
def test_a_spirit_just_under_the_floor(less, rule):
    for call in (
        lambda: menstruum.smallest_ratio(wb(0.0), vol(35.0 - less), vol(35.0), rule),
        lambda: menstruum.wettest_plant(Q(2.0, "mL/g"), vol(35.0 - less), vol(35.0), rule),
    ):
        with pytest.raises(Impossible):
            call()


@pytest.mark.parametrize("less", LITTLE)
@pytest.mark.parametrize("rule", RULES)
def test_a_jar_just_under_its_floor_needs_a_little_more(less, rule):
    herb, water, poured = Q(100.0, "g"), wb(80.0), Q(200.0, "mL")
    ends = menstruum.final_strength(herb, water, poured, vol(50.0), rule)
    floor = vol(ends.magnitude + less)
    more = menstruum.rescue(herb, water, poured, vol(50.0), floor, vol(95.0), rule)
    assert more.magnitude > 0.0
    # By the kitchen rule, 280 mL are lifted by `less` points from a spirit at 95.
    if rule == "kitchen":
        assert more.magnitude == pytest.approx(280.0 * less / (95.0 - floor.magnitude), rel=1e-6)
        assert menstruum.ways_out(herb, water, poured, vol(50.0), floor)
    assert menstruum.rescue(herb, water, poured, vol(50.0), ends, vol(95.0), rule).magnitude == 0.0
    with pytest.raises(Impossible):
        menstruum.rescue(herb, water, poured, vol(50.0), floor, floor, rule)


@pytest.mark.parametrize("apart", [0.05, 0.001, 1e-6])
def test_two_spirits_hardly_apart_are_still_two(apart):
    """Half way between them takes half of each, however near they lie."""
    blend = menstruum.blend(vol(40.0 + apart), vol(40.0), vol(40.0 + apart / 2.0), LITRE)
    for half in (blend.strong, blend.weak, blend.strong_by_kitchen_rule, blend.weak_by_kitchen_rule):
        assert half.magnitude == pytest.approx(500.0, abs=0.1)
