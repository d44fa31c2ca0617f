"""Keeping without alcohol: each share and its inverse, the ends, refusals, and the water yardstick."""

from __future__ import annotations

import math

import numpy as np
import pytest

from herbcalc import preserving
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
        lambda m, w, poured, own: 100 * own * poured / (poured + m) / 100,  # the sum a hand does
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
