"""Maceration: ratios, jars, soaks and waiting."""

from __future__ import annotations

import importlib
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special

from herbcalc import maceration as mac
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit

unhurried = settings(deadline=None)  # a loaded machine is no reason to fail

HERB, KEPT = Q(100.0, "g"), Q(1.5, "mL/g")
mass = st.floats(1.0, 5000.0)
ratio = st.floats(0.1, 15.0)
kept = st.floats(0.0, 4.0)
water = st.floats(0.0, 95.0)
share = st.floats(0.0, 1.0)
pours = st.lists(st.one_of(st.just(0.0), st.floats(1e-3, 3000.0)), max_size=6)


def mL(*amounts):
    return Q(np.array(amounts, dtype=float), "mL")


def test_the_line_of_one_herb_and_one_menstruum():
    def share_of(*portions):
        return mac.share_extracted(HERB, mL(*portions), KEPT)

    assert share_of(500) == pytest.approx(0.700, abs=1e-12)
    assert share_of(300, 200) == pytest.approx(0.786, abs=5e-4)
    for soaks, wanted in ((2, 0.787), (3, 0.822), (10, 0.877)):
        split = mac.best_split(Q(500, "mL"), HERB, KEPT, soaks)
        assert split.sum().magnitude == pytest.approx(500.0)
        assert mac.share_extracted(HERB, split, KEPT) == pytest.approx(wanted, abs=5e-4)
    assert mac.endless_soaks(Q(500, "mL"), HERB, KEPT) == pytest.approx(0.903, abs=5e-4)


def test_one_to_one_gives_nothing_and_says_what_would_work():
    assert mac.liquid_out(HERB, Q(100, "mL"), KEPT).magnitude == 0.0
    with pytest.raises(Impossible, match="nothing comes out") as no:
        mac.herb_for(Q(500, "mL"), Q(1, "mL/g"), KEPT)
    ways = {way.kind: way for way in no.value.ways_out}
    assert list(ways) == ["pour", "press", "drip"]
    # Every way out is tried: it must really give the bottle.
    wide = ways["pour"].amount
    herb = mac.herb_for(Q(500, "mL"), wide, KEPT)
    assert mac.liquid_out(herb, mac.menstruum_for(herb, wide), KEPT).magnitude == pytest.approx(500.0)
    assert mac.herb_for(Q(500, "mL"), Q(1, "mL/g"), ways["press"].amount * 0.99).magnitude > 0.0
    assert ways["drip"].amount.magnitude == pytest.approx(500.0 + 1.5 * 500.0)
    for way in no.value.ways_out:
        assert ("g" in way.text and "oz" in way.text) or "fl oz" in way.text
    with pytest.raises(Impossible):
        mac.best_split(Q(150, "mL"), HERB, KEPT, 2)


def test_fresh_herb_again():
    lots = mac.fresh_herb_again(Q(500, "mL"), Q(np.array([100.0, 100.0]), "g"), KEPT)
    assert lots.out.magnitude == pytest.approx([350.0, 200.0])
    assert lots.worth.magnitude == pytest.approx([0.2, 170.0 / 350.0])
    assert lots.in_bottle.magnitude[-1] == pytest.approx(97.14, abs=0.01)
    fresh = (Q(200, "mL"), Q(np.full(3, 100.0), "g"), Q(4, "mL/g"), Q(80, "percent_wb"), Q(95, "percent_vol"))
    assert mac.fresh_herb_again(*fresh).strength.magnitude == pytest.approx([67.9, 48.5, 34.6], abs=0.06)
    assert mac.fresh_herb_again(*fresh, "measured").strength.magnitude == pytest.approx([69.5, 49.8, 35.2], abs=0.06)
    assert mac.fresh_herb_again(Q(100, "mL"), Q(np.full(3, 100.0), "g"), KEPT).out.magnitude.tolist() == [0.0]
    assert mac.fresh_herb_again(Q(100, "mL"), Q(np.zeros(0), "g"), KEPT).out.magnitude.size == 0


def test_folk_jar_and_its_refusals():
    read = mac.folk_jar(
        Q(400, "g"), Q(500, "g"), Q(689.61, "g"), Q(80, "percent_wb"), Q(40, "percent_vol")
    )  # 189.61 g of 40 % vol is 200 mL
    assert read.menstruum.magnitude == pytest.approx(200.0, abs=0.01)
    assert read.ratio.magnitude == pytest.approx(2.0, abs=1e-4)
    assert read.strength.magnitude == pytest.approx(28.57, abs=0.01)
    assert read.keeps is False
    wet, spirit = Q(80, "percent_wb"), Q(95, "percent_vol")
    assert mac.folk_jar(Q(400, "g"), Q(500, "g"), Q(700, "g"), wet, spirit).keeps is True
    with pytest.raises(OutOfRange, match="swapped"):
        mac.folk_jar(Q(500, "g"), Q(400, "g"), Q(700, "g"), wet, spirit)
    with pytest.raises(OutOfRange, match=r"number 1 of the list"):
        mac.folk_jar(Q(400, "g"), Q(500, "g"), Q(np.array([700.0, 450.0]), "g"), wet, spirit)
    many = mac.folk_jar(Q(400, "g"), Q(500, "g"), Q(np.array([700.0, 1500.0]), "g"), wet, Q(40, "percent_vol"))
    assert many.keeps.tolist() == [False, True]
    dry = mac.folk_jar(Q(400, "g"), Q(500, "g"), Q(700, "g"), Q(0, "percent_wb"), Q(35, "percent_vol"))
    assert dry.keeps is True  # at the floor, not under it


def test_a_packed_quart():
    room = mac.room_for_menstruum(Q(1, "quart"), Q(np.array([200.0, 300.0, 400.0]), "g")).magnitude
    assert room == pytest.approx([735.8, 630.6, 525.3], abs=0.1)
    assert mac.room_for_menstruum(Q(1, "quart"), Q(300, "g"), filled=0.9).magnitude == pytest.approx(536, abs=0.2)
    assert mac.room_for_menstruum(Q(100, "mL"), Q(300, "g")).magnitude == 0.0
    assert mac.covers(Q(100, "g"), Q(500, "mL")).covers is False
    short = mac.covers(Q(100, "g"), Q(500, "mL")).missing
    assert mac.covers(Q(100, "g"), Q(500, "mL") + short).covers is True


def test_the_readings_of_a_ratio():
    assert mac.dry_equivalent(Q(2, "mL/g"), Q(80, "percent_wb")).magnitude == pytest.approx(14.0)
    assert mac.dry_equivalent(Q(2, "mL/g"), Q(65, "percent_wb")).magnitude == pytest.approx(7.571, abs=1e-3)
    assert str(mac.Ratio(Q(5, "mL/g"))) == "1:5 (menstruum added)"
    made = mac.Ratio(Q(5, "mL/g")).read_as("finished", retained=KEPT)
    assert (made.value.magnitude, made.convention) == (pytest.approx(3.5), "finished")
    with pytest.raises(Impossible, match="no room") as no:
        mac.read_ratio(Q(5, "mL/g"), "dry", "added", Q(85, "percent_wb"))
    least = no.value.ways_out[0].amount
    assert mac.read_ratio(least * 1.001, "dry", "added", Q(85, "percent_wb")).magnitude > 0.0
    with pytest.raises(Impossible, match="no room") as no:
        mac.read_ratio(Q(0.1, "mL/g"), "finished", "added", Q(80, "percent_wb"), Q(2, "mL/g"))
    assert no.value.ways_out[0].amount.magnitude == pytest.approx(0.4)
    with pytest.raises(Impossible, match="no finished liquid"):
        mac.read_ratio(Q(1, "mL/g"), "added", "finished", retained=KEPT)
    with pytest.raises(OutOfRange, match='"added", "finished" and "dry"'):
        mac.read_ratio(Q(1, "mL/g"), "added", "poured")
    with pytest.raises(OutOfRange, match="convention"):
        mac.Ratio(Q(1, "mL/g"), "wet")


def test_dry_equivalent_recipe():
    root = mac.pour_for_dry_equivalent(Q(150, "g"), Q(60, "percent_wb"), Q(5, "mL/g"), Q(45, "percent_vol"))
    assert (root.total.magnitude, root.plant_water.magnitude, root.menstruum.magnitude) == pytest.approx(
        (300, 90, 210)
    )
    assert root.strength.magnitude == pytest.approx(64.29, abs=0.01)
    wide = mac.pour_for_dry_equivalent(Q(100, "g"), Q(80, "percent_wb"), Q(10, "mL/g"), Q(45, "percent_vol"))
    assert wide.strength.magnitude == pytest.approx(75.0)
    with pytest.raises(Impossible, match="225 % vol") as no:
        mac.pour_for_dry_equivalent(Q(100, "g"), Q(80, "percent_wb"), Q(5, "mL/g"), Q(45, "percent_vol"))
    ways = {way.kind: way.amount for way in no.value.ways_out}
    again = mac.pour_for_dry_equivalent(Q(100, "g"), Q(80, "percent_wb"), ways["ratio"], Q(45, "percent_vol"))
    assert again.strength.magnitude == pytest.approx(95.0)
    again = mac.pour_for_dry_equivalent(Q(100, "g"), Q(80, "percent_wb"), Q(5, "mL/g"), ways["final"])
    assert again.strength.magnitude == pytest.approx(95.0)
    with pytest.raises(Impossible, match="no room"):
        mac.pour_for_dry_equivalent(Q(100, "g"), Q(85, "percent_wb"), Q(5, "mL/g"), Q(45, "percent_vol"))


def test_waiting():
    days = np.array([7.0, 14.0, 28.0])
    assert mac.share_by(Q(days, "day"), Q(3, "day")) == pytest.approx([0.80, 0.96, 0.998], abs=0.006)
    assert mac.share_by(Q(days, "day"), Q(5, "day")) == pytest.approx([0.62, 0.86, 0.98], abs=0.006)
    with pytest.raises(Impossible, match="never comes out") as no:
        mac.time_to_reach(1.0, Q(3, "day"))
    assert mac.share_by(no.value.ways_out[0].amount, Q(3, "day")) == pytest.approx(0.99)
    with pytest.raises(Impossible):
        mac.fourier_for(1.0, "plate")
    assert mac.uptake(0.0, "cylinder") == 0.0
    assert mac.uptake(0.1, "sphere", math.inf) == mac.uptake(0.1, "sphere")
    assert mac.uptake(0.1, "sphere", Q(math.inf, "")) == mac.uptake(0.1, "sphere")
    both = mac.uptake(0.1, "sphere", np.array([2.0, math.inf]))
    assert both == pytest.approx([mac.uptake(0.1, "sphere", 2.0), mac.uptake(0.1, "sphere")], abs=1e-14)
    for bad in (0.0, -1.0, math.nan, -math.inf):
        with pytest.raises(OutOfRange):
            mac.uptake(0.1, "plate", bad)
    with pytest.raises(WrongUnit):
        mac.uptake(0.1, "plate", "much")
    with pytest.raises(OutOfRange, match="shape"):
        mac.uptake(0.1, "cube")


def test_exchange_in_a_jar_ends_where_the_soak_ends():
    end = mac.soak_share(Q(1000, "hour"), Q(5, "mL/g"), Q(1.5, "mL/g"), Q(0.5, "1/hour"))
    assert end == pytest.approx(mac.share_extracted(HERB, Q(500, "mL"), KEPT), abs=1e-12)
    with pytest.raises(OutOfRange, match="no free liquid"):
        mac.soak_share(Q(1, "hour"), Q(1, "mL/g"), KEPT, Q(0.5, "1/hour"))


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: mac.liquid_out(Q(0, "g"), Q(0, "mL"), KEPT), "empty"),
        (lambda: mac.herb_for(Q(500, "mL"), Q(0, "mL/g"), KEPT), "ratio"),
        (lambda: mac.share_extracted(Q(0, "g"), mL(100), KEPT), "herb"),
        (lambda: mac.best_split(Q(500, "mL"), HERB, KEPT, 0), "soaks"),
        (lambda: mac.best_split(Q(500, "mL"), HERB, KEPT, 2.5), "soaks"),
        (lambda: mac.retained_found(HERB, Q(500, "mL"), Q(501, "mL")), "swapped"),
        (lambda: mac.share_extracted(HERB, mL(100, -1), KEPT), "number 1 of the list"),
        (lambda: mac.liquid_out(HERB, mL(1, math.nan), KEPT), "number 1 of the list"),
        (lambda: mac.fresh_herb_again(mL(1, 2), HERB, KEPT), "list"),
        (lambda: mac.fresh_herb_again(Q(1, "mL"), HERB, KEPT, rule="guess"), "rule"),
        (lambda: mac.fresh_herb_again(Q(1, "mL"), HERB, KEPT, rule="measured"), "strength"),
        (lambda: mac.liquid_out(HERB, Q(1, "mL"), KEPT, Q(96, "percent_wb")), "water"),
        (lambda: mac.uptake(0.1, "plate", [1.0, 0.0]), "number 1 of the list"),
        (lambda: mac.uptake([0.1, 0.2, 0.3], "plate", [1.0, 2.0]), "one by one"),
    ],
)
def test_out_of_range(call, match):
    with pytest.raises(OutOfRange, match=match):
        call()


@pytest.mark.parametrize(
    "call",
    [
        lambda: mac.liquid_out(100, Q(500, "mL"), KEPT),
        lambda: mac.liquid_out(HERB, Q(500, "g"), KEPT),
        lambda: mac.liquid_out(HERB, Q(500, "mL"), KEPT, Q(80, "percent")),
        lambda: mac.share_extracted(HERB, "300 mL", KEPT),
        lambda: mac.best_split(Q(500, "mL"), HERB, KEPT, "two"),
        lambda: mac.time_to_reach(Q(95, "percent"), Q(3, "day")),
        lambda: mac.uptake(0.1, "plate", Q(50, "percent")),
        lambda: mac.uptake(0.1, "plate", [[1.0], [1.0, 2.0]]),
    ],
)
def test_wrong_unit(call):
    with pytest.raises(WrongUnit):
        call()


def test_a_bath_in_any_plain_shape():
    one, endless = mac.uptake(0.1, "sphere", 2.0), mac.uptake(0.1, "sphere")
    assert mac.uptake(0.1, "sphere", [2.0, math.inf]) == pytest.approx([one, endless], rel=1e-12)
    assert mac.uptake(0.1, "sphere", Q(2000, "g/kg")) == pytest.approx(one, rel=1e-12)


def test_impossible_names_the_element():
    with pytest.raises(Impossible, match="number 2 of the list, counted from 0"):
        mac.herb_for(Q(500, "mL"), Q(np.array([5.0, 3.0, 1.0]), "mL/g"), KEPT)


@unhurried
@given(mass, pours, kept, water)
def test_nothing_is_lost(herb, portions, k, w):
    drawn = mac.same_herb_again(Q(herb, "g"), mL(*portions), Q(k, "mL/g"), Q(w, "percent_wb"))
    assert drawn.share.sum() + drawn.left == pytest.approx(1.0, abs=1e-9)
    assert (drawn.share >= 0.0).all()
    assert 0.0 <= drawn.left <= 1.0
    inside = sum(portions) + herb * w / 100.0 - drawn.out.magnitude.sum()
    most = k * herb * (1.0 - w / 100.0)
    if portions:
        assert -1e-6 <= inside <= most * (1.0 + 1e-9) + 1e-6
    assert (drawn.worth.magnitude * drawn.out.magnitude).sum() == pytest.approx((1.0 - drawn.left) * herb, abs=1e-6)


@unhurried
@given(mass, st.floats(1.0, 5000.0), kept, water)
def test_one_soak_is_liquid_out(herb, menstruum, k, w):
    args = Q(herb, "g"), Q(menstruum, "mL"), Q(k, "mL/g"), Q(w, "percent_wb")
    out = mac.liquid_out(*args).magnitude
    assert out >= 0.0
    assert mac.share_extracted(*args) == pytest.approx(out / (menstruum + herb * w / 100.0), abs=1e-12)
    if out > 0.0:
        found = mac.retained_found(args[0], args[1], Q(out, "mL"), args[3]).magnitude
        assert found == pytest.approx(k, rel=1e-6, abs=1e-6)


@unhurried
@given(st.floats(1.0, 5000.0), ratio, kept)
def test_planning_backwards(bottled, r, k):
    if r <= k * 1.000001:
        return
    herb = mac.herb_for(Q(bottled, "mL"), Q(r, "mL/g"), Q(k, "mL/g"))
    assert mac.liquid_out(herb, mac.menstruum_for(herb, Q(r, "mL/g")), Q(k, "mL/g")).magnitude == pytest.approx(
        bottled
    )


@unhurried
@given(mass, ratio, kept, st.integers(1, 12), st.lists(st.floats(0.01, 1.0), min_size=12, max_size=12))
def test_best_split_is_best(herb, r, k, soaks, weights):
    total = r * herb
    if total <= k * herb * 1.000001:
        return
    args = Q(herb, "g"), Q(k, "mL/g")
    best = mac.best_split(Q(total, "mL"), *args, soaks)
    assert best.magnitude.sum() == pytest.approx(total)
    assert (np.diff(best.magnitude) <= 0.0).all()
    other = np.array(weights[:soaks]) / sum(weights[:soaks]) * total
    reached = mac.share_extracted(args[0], best, args[1])
    assert mac.share_extracted(args[0], Q(other, "mL"), args[1]) <= reached + 1e-9
    assert reached <= mac.endless_soaks(Q(total, "mL"), *args) + 1e-9


@unhurried
@given(
    ratio, water, st.sampled_from(["added", "finished", "dry"]), st.sampled_from(["added", "finished", "dry"]), kept
)
def test_readings_undo_each_other(r, w, one, other, k):
    extra = Q(w, "percent_wb"), Q(k, "mL/g")
    # The number that decides: menstruum added for each gram, and what is left of it when the marc has drunk.
    plant, keeps = w / 100.0, k * (1.0 - w / 100.0)
    added = {"added": r, "finished": r + keeps - plant, "dry": r * (1.0 - plant) - plant}[one]
    if added <= 1e-6 or (other == "finished" and added + plant - keeps <= 1e-6):
        return  # refused, or so near to it that rounding decides; refusals have tests of their own
    there = mac.read_ratio(Q(r, "mL/g"), one, other, *extra)
    back = mac.read_ratio(there, other, one, *extra)
    assert back.magnitude == pytest.approx(r, rel=1e-6, abs=1e-9)


@unhurried
@given(st.floats(1e-6, 0.99), st.sampled_from(["plate", "cylinder", "sphere"]), st.floats(1e-3, 1e6))
def test_waiting_undone(wanted, shape, bath):
    assert mac.uptake(mac.fourier_for(wanted, shape, bath), shape, bath) == pytest.approx(wanted, abs=1e-9)


@unhurried
@given(share.filter(lambda s: s < 0.9999), st.floats(0.1, 1000.0))
def test_days_undone(wanted, half):
    assert mac.share_by(mac.time_to_reach(wanted, Q(half, "hour")), Q(half, "hour")) == pytest.approx(
        wanted, abs=1e-9
    )


@pytest.mark.parametrize("shape", ["plate", "cylinder", "sphere"])
@pytest.mark.parametrize("bath", [1e-6, 0.1, 1.0, 30.0, 1e9, math.inf])
def test_uptake_rises_from_0_to_1(shape, bath):
    fourier = np.concatenate([[0.0], np.geomspace(1e-12, 100.0, 2000), [1e6]])
    out = mac.uptake(fourier, shape, bath)
    assert (np.diff(out) >= -1e-12).all()
    assert out[0] == 0.0
    assert out[-1] == pytest.approx(1.0, abs=1e-12)


def test_lists_are_the_single_sums():
    herbs, poured = np.array([50.0, 100.0, 200.0]), np.array([400.0, 500.0, 700.0])
    kept, wet = Q(1.5, "mL/g"), Q(30, "percent_wb")
    calls = [
        lambda h, v: mac.liquid_out(h, v, kept, wet),
        lambda h, v: mac.retained_found(h, v, Q(100, "mL"), wet),
        lambda h, v: mac.herb_for(v, Q(5, "mL/g"), kept),
        lambda h, v: mac.endless_soaks(v, h, kept),
        lambda h, v: mac.room_for_menstruum(v, h),
        lambda h, v: mac.ratio_of(h, v),
    ]
    for call in calls:
        together = call(Q(herbs, "g"), Q(poured, "mL"))
        one_by_one = [call(Q(h, "g"), Q(v, "mL")) for h, v in zip(herbs, poured, strict=True)]
        assert np.asarray(getattr(together, "magnitude", together)).tolist() == [
            getattr(x, "magnitude", x) for x in one_by_one
        ]
    rows = mac.share_extracted(Q(herbs, "g"), Q(np.tile([300.0, 200.0], (3, 1)), "mL"), kept)
    assert rows.tolist() == [mac.share_extracted(Q(h, "g"), mL(300, 200), kept) for h in herbs]
    splits = mac.best_split(Q(poured, "mL"), Q(herbs, "g"), kept, 3).magnitude
    assert splits.tolist() == [
        mac.best_split(Q(v, "mL"), Q(h, "g"), kept, 3).magnitude.tolist() for h, v in zip(herbs, poured, strict=True)
    ]
    assert mac.share_extracted(HERB, mL(), KEPT) == 0.0


def test_the_ratio_of_bessel_functions_in_a_cylinder_is_scipys():
    """On the line that the sum runs along, from the first moment to the last."""
    room = importlib.import_module("herbcalc.maceration.uptake")
    q = np.sqrt(room._NODES / np.geomspace(1e-10, 60.0, 800)[:, None])
    q = q[np.abs(q) < 1e4]  # past that SciPy gives up
    exact = special.ive(1, q) / special.ive(0, q)
    assert np.abs(room._bessel_ratio(q) / exact - 1.0).max() < 1e-14
    huge = np.array([1e6 + 3e6j, 1e150 + 0j])
    assert np.abs(room._bessel_ratio(huge) - (1.0 - 0.5 / huge)).max() < 1e-12
