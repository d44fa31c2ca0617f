"""Keeping without alcohol: each share and its inverse, the ends, refusals, and the water yardstick."""

from __future__ import annotations

import math
from dataclasses import fields

import numpy as np
import pytest

from herbcalc import preserving
from herbcalc.rules import Rules
from herbcalc.units import OutOfRange, Q, WrongUnit
from herbcalc.units.refusals import Impossible


def g(x):
    return Q(x, "g")


def mL(x):
    return Q(x, "mL")


def wb(x):
    return Q(x, "percent_wb")


def vol(x):
    return Q(x, "percent_vol")


FRESH = g(100.0), wb(80.0)


def bare(result):
    return getattr(result, "magnitude", result)


def solids(moisture):
    return 1.0 - moisture.magnitude / 100.0


# Forward call and wish call of each jar: of weight, moisture, what is poured (or wished for), and its own share.
PAIRS = {
    "glycerin": (
        lambda m, w, poured, own: preserving.glycerin_share(g(m), wb(w), mL(poured), own),
        lambda m, w, to, own: preserving.glycerin_needed(g(m), wb(w), to, own),
    ),
    "vinegar": (
        lambda m, w, poured, own: preserving.acid_share(g(m), wb(w), mL(poured), own),
        lambda m, w, to, own: preserving.vinegar_needed(g(m), wb(w), to, own),
    ),
    "honey": (
        lambda m, w, poured, own: (
            1.0 - bare(preserving.honey_water(g(m), wb(w), g(poured), wb(100 - 100 * own))) / 100
        ),
        lambda m, w, to, own: preserving.honey_needed(g(m), wb(w), wb(100 - 100 * to), wb(100 - 100 * own)),
    ),
    "sugar": (
        lambda m, w, poured, own: preserving.sugar_share(g(poured), g(m)),
        lambda m, w, to, own: preserving.sugar_needed(g(m), to),
    ),
    "wax": (
        lambda m, w, poured, own: preserving.wax_share(g(poured), mL(m), Q(0.9, "g/mL")),
        lambda m, w, to, own: preserving.wax_needed(mL(m), to, Q(0.9, "g/mL")),
    ),
    "spirit": (
        lambda m, w, poured, own: bare(preserving.strength_with(mL(m), mL(poured), vol(100 * own))) / 100,
        lambda m, w, to, own: preserving.spirit_for(mL(m), vol(100 * own), vol(100 * to)),
    ),
}


@pytest.mark.parametrize("jar", PAIRS)
def test_each_limit_is_crossed_exactly_where_its_inverse_says(jar):
    share, needed = PAIRS[jar]
    draw = np.random.default_rng(1)
    n = 10_000
    m, w = draw.uniform(1, 5000, n), draw.uniform(1, 95, n)
    own = np.ones(n) if jar in ("sugar", "wax") else draw.uniform(0.2, 1.0, n)
    to = own * draw.uniform(0.26, 0.999, n)
    poured = bare(needed(m, w, to, own))
    assert np.all(poured > 0)
    assert bare(share(m, w, poured, own)) == pytest.approx(to, abs=1e-9)
    assert np.all(bare(share(m, w, poured * (1 - 1e-6), own)) < to)
    assert np.all(bare(share(m, w, poured * (1 + 1e-6), own)) > to)
    one = float(bare(needed(float(m[7]), float(w[7]), float(to[7]), float(own[7]))))
    assert one == poured[7]


LINES = {
    "glycerin": ("glycerin_floor", lambda line: line, (0.8, 1.0)),
    "vinegar": ("vinegar_floor", lambda line: line, (0.05, 0.1)),
    "honey": ("honey_limit", lambda line: 1 - line / 100, (0.83, 0.86)),
    "sugar": ("syrup_floor", lambda line: line, (1.0, 1.0)),
    "spirit": ("syrup_spirit", lambda line: line / 100, (0.3, 0.96)),
}


@pytest.mark.parametrize("jar", LINES)
def test_each_house_line_is_crossed_where_its_inverse_says_up_to_its_bounds(jar):
    """Between the ends that a teacher may set, and from a liquid that just passes the line to the strongest."""
    share, needed = PAIRS[jar]
    name, as_share, owns = LINES[jar]
    about = next(rule.metadata for rule in fields(Rules) if rule.name == name)
    draw = np.random.default_rng(2)
    n = 10_000
    to = as_share(draw.uniform(about["low"], about["high"], n))
    own = np.maximum(draw.uniform(*owns, n), to * (1 + 1e-6) if jar != "sugar" else 1.0)
    m, w = draw.uniform(1, 5000, n), draw.uniform(1, 95, n)
    poured = bare(needed(m, w, to, own))
    assert bare(share(m, w, poured, own)) == pytest.approx(to, abs=1e-9)
    assert np.all(bare(share(m, w, poured * (1 - 1e-6), own)) < to)
    assert np.all(bare(share(m, w, poured * (1 + 1e-6), own)) > to)
    for end in ("low", "high", "default"):
        line = as_share(getattr(Rules, name) if end == "default" else about[end])
        at = min(1.0, line * 1.05)
        assert bare(share(100.0, 80.0, float(bare(needed(100.0, 80.0, line, at))), at)) == pytest.approx(
            line, abs=1e-12
        )


def test_every_house_line_of_the_four_jars_is_tried():
    """Those of lesson 10 end in _floor or _limit, or are the spirit of a syrup."""
    names = {rule.name for rule in fields(Rules) if rule.name.endswith(("_floor", "_limit", "syrup_spirit"))}
    assert names == {name for name, *_ in LINES.values()}


def test_the_room_of_a_syrup_and_what_a_refractometer_reads():
    assert preserving.syrup_volume(g(0), g(100)).magnitude == 100.0
    assert preserving.syrup_volume(g([850.0, 85.0]), g([463.0, 46.3])).magnitude == pytest.approx([1000, 100])
    assert preserving.strength_with(mL(300), mL(0), vol(40)).magnitude == 0.0
    assert preserving.strength_with(mL(0), mL(5), vol(40)).magnitude == 40.0
    scale = np.linspace(1.474, 1.5044, 50)
    assert np.all(np.diff(preserving.honey_by_index(scale).magnitude) < 0)


@pytest.mark.parametrize("jar", ["glycerin", "vinegar", "honey"])
def test_a_dry_herb_brings_no_water_and_needs_nothing(jar):
    share, needed = PAIRS[jar]
    assert bare(needed(100.0, 0.0, 0.5, 0.5)) == 0.0
    assert bare(needed(100.0, 0.0, 0.4, 0.5)) == 0.0
    assert bare(share(100.0, 0.0, 50.0, 0.5)) == pytest.approx(0.5, abs=1e-15)
    assert bare(share(0.0, 80.0, 50.0, 0.5)) == pytest.approx(0.5, abs=1e-15)
    assert bare(share(100.0, 80.0, 0.0, 0.5)) == 0.0
    assert bare(needed(np.array([100.0, 100.0]), np.array([0.0, 80.0]), 0.25, 0.5)).tolist() == [0.0, 80.0]
    with pytest.raises(Impossible, match=r"number 1 of the list"):
        needed(100.0, np.array([0.0, 80.0]), 0.5, 0.5)
    with pytest.raises(Impossible) as refused:
        needed(100.0, 0.0, 0.6, 0.5)  # weaker than the wish, wet or dry
    assert "dried herb" in str(refused.value)
    assert [way.kind for way in refused.value.ways_out] == ["dry"]
    with pytest.raises(OutOfRange):
        needed(0.0, 80.0, 0.25, 0.5)
    with pytest.raises(OutOfRange, match="nothing in this jar"):
        share(0.0, 80.0, 0.0, 0.5)


def test_nothing_wished_for_needs_nothing():
    assert preserving.glycerin_needed(*FRESH, 0.0).magnitude == 0.0
    assert preserving.vinegar_needed(*FRESH, 0, 0.05).magnitude == 0.0
    assert preserving.sugar_needed(g(100), 0).magnitude == 0.0
    assert preserving.wax_needed(mL(100), 0).magnitude == 0.0
    assert preserving.spirit_for(mL(300), vol(0), vol(0)).magnitude == 0.0


def test_known_jars():
    poured = mL([100.0, 120.0, 200.0])
    assert preserving.glycerin_share(*FRESH, poured) == pytest.approx([0.5556, 0.6, 0.7143], abs=5e-5)
    assert preserving.acid_share(*FRESH, mL([200.0, 300.0]), 0.05) * 100 == pytest.approx([3.57, 3.95], abs=0.005)
    assert preserving.vinegar_needed(*FRESH, 0.04, 0.05).magnitude == pytest.approx(320, abs=1e-9)
    assert preserving.honey_water(*FRESH, g(400)).magnitude == pytest.approx(31.67, abs=0.005)
    assert preserving.honey_needed(*FRESH, wb(20)).magnitude == pytest.approx(3200, abs=1e-6)
    assert preserving.spirit_for(mL(300), vol(75.5), vol(20)).magnitude == pytest.approx(108, abs=0.2)
    assert preserving.wilted_water(wb(80), np.array([0.5, 0.3, 0.0, 0.8])).magnitude == pytest.approx(
        [60, 71.4, 80, 0], abs=0.05
    )
    assert preserving.wax_share(Q(1, "oz"), Q(8, "fl_oz")) == pytest.approx(0.1158, abs=5e-5)


def test_vinegar_at_its_own_floor_takes_only_a_dry_herb():
    assert preserving.vinegar_needed(g(100), wb(0), 0.04, 0.04).magnitude == 0.0
    with pytest.raises(Impossible, match=r"4 % acid"):
        preserving.vinegar_needed(g(100), wb(0.1), 0.04, 0.04)


def test_wilting_undone_by_the_water_that_left():
    fresh, lost = np.linspace(5, 95, 19), 0.04
    left = preserving.wilted_water(wb(fresh), lost).magnitude
    assert left * (1 - lost) + 100 * lost == pytest.approx(fresh, abs=1e-9)
    assert preserving.wilted_water(wb(80), 0.8 + 1e-12).magnitude == 0.0
    with pytest.raises(OutOfRange, match="without the tray"):
        preserving.wilted_water(wb(80), 0.81)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: preserving.sugar_needed(g(100), 1), "some of it is water"),
        (lambda: preserving.wax_needed(mL(100), 1), "some of it is oil"),
        (lambda: preserving.spirit_for(mL(300), vol(20), vol(20)), "above 20 % vol"),
        (lambda: preserving.honey_needed(*FRESH, wb(17)), "riper honey"),
        (lambda: preserving.glycerin_needed(*FRESH, 1), "100 % glycerin"),
    ],
)
def test_wishes_that_cannot_be_had(call, words):
    with pytest.raises(Impossible, match=f"(?i){words}"):
        call()


@pytest.mark.parametrize(
    "call",
    [
        lambda: preserving.sugar_share(g(0), g(0)),
        lambda: preserving.wax_share(g(0), mL(0)),
        lambda: preserving.sugar_needed(g(0), 0.5),
        lambda: preserving.wax_needed(mL(0), 0.5),
        lambda: preserving.spirit_for(mL(0), vol(40), vol(20)),
        lambda: preserving.glycerin_share(*FRESH, mL(100), 1.1),
        lambda: preserving.glycerin_share(g(-1), wb(80), mL(100)),
        lambda: preserving.glycerin_share(g(math.nan), wb(80), mL(100)),
        lambda: preserving.acid_share(*FRESH, mL(100), 5),
        lambda: preserving.honey_water(g(100), wb(96), g(100)),
        lambda: preserving.wax_share(g(1), mL(1), Q(0, "g/mL")),
        lambda: preserving.water_activity("glucose", 0.5),
        lambda: preserving.honey_by_index(1.4730),
        lambda: preserving.honey_by_index(18.0),
        lambda: preserving.strength_with(mL(0), mL(0), vol(40)),
        lambda: preserving.syrup_volume(g(-1), g(100)),
        lambda: preserving.water_activity("sucrose", 1.5),
        lambda: preserving.share_for_activity("sucrose", -0.1),
    ],
)
def test_amounts_out_of_range(call):
    with pytest.raises(OutOfRange):
        call()


@pytest.mark.parametrize(
    "call",
    [
        lambda: preserving.glycerin_share(100, wb(80), mL(100)),
        lambda: preserving.glycerin_share(mL(100), wb(80), mL(100)),
        lambda: preserving.glycerin_share(g(100), Q(400, "percent_db"), mL(100)),
        lambda: preserving.glycerin_needed(*FRESH, Q(60, "percent")),
        lambda: preserving.honey_water(*FRESH, mL(100)),
        lambda: preserving.honey_needed(*FRESH, 0.2),
        lambda: preserving.sugar_share(Q(2, "cup"), Q(1, "cup")),
        lambda: preserving.spirit_for(mL(300), 0.4, vol(20)),
        lambda: preserving.wax_needed(g(100), 0.2),
        lambda: preserving.acid_share(*FRESH, mL(100), "5 %"),
    ],
)
def test_amounts_of_another_kind(call):
    with pytest.raises(WrongUnit):
        call()


def test_a_salve_takes_the_room_of_its_weight():
    for wax, oil in ((0, 100), (28.35, 236.588), (50, 0)):
        room = preserving.salve_volume(g(wax), mL(oil)).magnitude
        assert room * 0.93 == pytest.approx(wax + oil * 0.915, abs=1e-9)
    heavier = preserving.salve_volume(g(50), mL(200), Q(0.92, "g/mL"), Q(0.95, "g/mL")).magnitude
    assert heavier == pytest.approx((50 + 184) / 0.95, abs=1e-12)


def test_tins_are_whole_and_a_hair_under_one_counts():
    assert preserving.whole_tins(mL(89), mL(30)) == 2
    assert preserving.whole_tins(mL(90 - 1e-10), mL(30)) == 3
    assert preserving.whole_tins(mL(0), mL(30)) == 0
    assert preserving.whole_tins(Q([100.0, 200.0], "mL"), mL(30)).tolist() == [3, 6]
    with pytest.raises(OutOfRange, match="more often than can be counted"):
        preserving.whole_tins(mL(1e300), mL(1e-300))
    with pytest.raises(OutOfRange):
        preserving.whole_tins(mL(100), mL(0))
    with pytest.raises(WrongUnit):
        preserving.whole_tins(g(100), mL(30))


def test_units_do_not_change_the_answer():
    pounds = preserving.sugar_share(Q(2, "lb"), Q(16, "oz"))
    assert pounds == pytest.approx(2 / 3, abs=1e-12)
    assert type(pounds) is float
    proof = preserving.spirit_for(Q(1, "cup"), Q(80, "proof"), vol(20)).to("cup").magnitude
    assert proof == pytest.approx(1, abs=1e-12)


def test_water_activity_only_falls_and_is_undone():
    shares = np.linspace(0, 1, 2001)
    for solute in ("glycerol", "sucrose"):
        activity = preserving.water_activity(solute, shares)
        assert (activity[0], activity[-1]) == (1.0, 0.0)
        assert np.all(np.diff(activity) < 0)
        assert preserving.share_for_activity(solute, activity) == pytest.approx(shares, abs=1e-9)
    assert preserving.share_for_activity("sucrose", 1.0) == pytest.approx(0.0, abs=1e-15)


def test_a_share_by_volume_as_one_by_weight():
    assert preserving.by_weight(np.array([0.0, 0.5, 1.0]), Q(1.0, "g/mL")).tolist() == [0.0, 0.5, 1.0]
    # 60 mL of glycerin weigh 75.6 g beside 40 g of water.
    assert preserving.by_weight(0.6, Q(1.26, "g/mL")) == pytest.approx(75.6 / 115.6, abs=1e-12)
