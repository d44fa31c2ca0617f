"""The curve of a log: what exact figures give back, how often the band holds the truth, and what it says when it must
not be trusted. No stored outcome: every log here is made from constants that the curve has to find."""

import hashlib
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from herbcalc import drying
from herbcalc.units import OutOfRange, Q, WrongUnit

HOURS = np.array([0.0, 2, 4, 7, 10, 15, 20, 26, 34, 48])


def log(k, n=1.0, a=1.0, c=0.0, first=300.0, dry=60.0, hours=HOURS):
    return Q(hours, "hour"), Q(dry + (first - dry) * (a * np.exp(-k * hours**n) + c), "g")


def chance(name, count):
    """Numbers as if from a bell curve, the same on every machine: SHA-256, and sums of twelve."""
    bits = b"".join(hashlib.sha256(f"drying|{name}|{i}".encode()).digest() for i in range(count * 12 // 8 + 1))
    even = np.frombuffer(bits, dtype=">u4")[: count * 12].astype(float) / 2**32
    return even.reshape(count, 12).sum(axis=1) - 6.0


# --- laws ----------------------------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(st.floats(0.03, 0.4), st.floats(0.6, 1.6), st.floats(0.05, 0.4))
def test_exact_figures_give_back_their_constants(k, n, dry):
    times, weights = log(k, n, dry=300 * dry)
    curve = drying.fit(times, weights, Q(300 * dry, "g"), model="page")
    assert curve.k == pytest.approx(k, rel=1e-6)
    assert curve.n == pytest.approx(n, rel=1e-6)
    assert curve.scatter.magnitude < 1e-6


def test_exact_figures_of_every_model_and_the_best_one_found():
    for made, name in (
        ({"k": 0.12}, "lewis"),
        ({"k": 0.12, "n": 0.8}, "page"),
        ({"k": 0.12, "a": 0.88, "c": 0.12}, "logarithmic"),
    ):
        for model in (name, "best"):
            curve = drying.fit(*log(**made), Q(60, "g"), model=model)
            assert curve.model == name
            found = (curve.k, curve.n, curve.a, curve.c)
            assert found == pytest.approx((made["k"], made.get("n", 1), made.get("a", 1), made.get("c", 0)), rel=1e-6)
            assert curve.band.k[0] <= curve.k <= curve.band.k[1]


def test_the_end_is_found_from_exact_figures_and_said_to_be_assumed():
    curve = drying.fit(*log(0.15, 1.2, dry=72.0))
    assert curve.end.magnitude == pytest.approx(72.0, rel=1e-6)
    assert (curve.k, curve.n) == pytest.approx((0.15, 1.2), rel=1e-6)
    assert any("end is assumed" in note for note in curve.notes)
    assert not any("assumed" in note for note in drying.fit(*log(0.15, 1.2, dry=72.0), Q(72, "g")).notes)


def test_herb_that_comes_to_rest_above_bone_dry():
    times, weights = log(0.15, dry=66.0)  # 10 % of the dry weight stays: 60 g bone dry
    curve = drying.fit(times, weights, Q(60, "g"), model="lewis", equilibrium=Q(10, "percent_db"))
    assert curve.k == pytest.approx(0.15, rel=1e-9)
    assert curve.end.magnitude == pytest.approx(66.0)
    free = drying.fit(times, weights, Q(60, "g"))
    assert free.model == "logarithmic"
    assert free.c == pytest.approx(6.0 / 240.0, rel=1e-6)
    with pytest.raises(OutOfRange, match=r"never gets down to 65 g .*comes to rest at about 66 g"):
        free.time_to(Q(65, "g"))


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000))
def test_the_weight_falls_and_time_to_undoes_weight(seed):
    times, weights = log(0.1, 0.9)
    noisy = Q(weights.magnitude * (1 + 0.02 * chance(f"law {seed}", 10)), "g")
    curve = drying.fit(times, noisy, Q(60, "g"))
    at = np.linspace(0.0, 90.0, 40)
    fell = curve.weight(Q(at, "hour"))
    assert (np.diff(fell.magnitude) < 0).all()
    shown = fell <= curve.first
    assert curve.time_to(fell[shown]).magnitude == pytest.approx(at[shown], abs=1e-6)
    low, high = curve.band.weight(Q(at, "hour"))
    assert (low <= high).all()


def test_units_change_nothing():
    times, weights = log(0.1, 0.9)
    one = drying.fit(times, weights, Q(60, "g"), model="page")
    other = drying.fit(times.to("day"), weights.to("oz"), Q(60, "g").to("lb"), model="page")
    assert (other.k, other.n) == pytest.approx((one.k, one.n), rel=1e-9)
    assert one.time_to(Q(100, "g")).units == Q(1, "hour").units


def test_one_log_has_one_band_and_no_chance_of_anybody_elses_is_used():
    times, weights = log(0.1, 0.9)
    noisy = Q(weights.magnitude * (1 + 0.02 * chance("band", 10)), "g")
    before = np.random.get_state()[1].copy()
    one, two = (drying.fit(times, noisy, Q(60, "g")).band for _ in range(2))
    assert one.k == two.k
    assert one.time_to(Q(80, "g")) == two.time_to(Q(80, "g"))
    assert (np.random.get_state()[1] == before).all()


# --- the band ------------------------------------------------------------------------------------------------------


def held(even):
    """Of 100 logs of 8 to 15 weighings, in how many k and n, each, and both, lie in their bands."""
    k_in = n_in = both = 0
    for i in range(100):
        many = 8 + i % 8
        u = chance(f"shape {i}", 3) / 12.0 + 0.5
        n, whole, left = 0.7 + 0.6 * u[0], 10.0 + 50.0 * u[1], 2.0 + 2.5 * u[2]
        k = left / whole**n  # e^-left of the water is still there at the last weighing
        times, weights = log(k, n, hours=np.linspace(0.0, whole, many))
        off = 0.02 * chance(f"stray {i} {even}", many)
        noisy = weights.magnitude + off * (300.0 if even else weights.magnitude)
        band = drying.fit(times, Q(noisy, "g"), Q(60, "g"), model="page").band
        good_k, good_n = band.k[0] <= k <= band.k[1], band.n[0] <= n <= band.n[1]
        k_in, n_in, both = k_in + good_k, n_in + good_n, both + (good_k and good_n)
    return k_in, n_in, both


def test_a_hundred_logs_of_each_sort_give_back_k_and_n_within_their_bands():
    for even, sort in ((False, "2 % of each weight"), (True, "2 % of the first weight, all the way")):
        k_in, n_in, both = held(even)
        print(f"stray of {sort}: k in its band in {k_in} of 100 logs, n in {n_in}, both in {both}")
        assert both >= 90


def test_fewer_weighings_and_more_stray_make_a_wider_band():
    def width(many, stray):
        times, weights = log(0.1, 1.0, hours=np.linspace(0, 40, many))
        noisy = weights.magnitude * (1 + stray * chance(f"width {many}", many))
        low, high = drying.fit(times, Q(noisy, "g"), Q(60, "g"), model="page").band.n
        return high - low

    assert width(8, 0.02) > 1.2 * width(60, 0.02)  # every curve hangs on its first weighing, however many follow
    assert width(12, 0.04) > 1.5 * width(12, 0.01)


# --- what it must say ----------------------------------------------------------------------------------------------


def test_past_the_last_weighing_is_flagged():
    curve = drying.fit(*log(0.05), Q(60, "g"))
    assert curve.past_the_last(Q(49, "hour"))
    assert not curve.past_the_last(Q(48, "hour"))
    assert curve.past_the_last(Q([10.0, 50.0], "hour")).tolist() == [False, True]
    assert "past your last weighing" in curve.says(Q(70, "g"))
    assert "past your last weighing" not in curve.says(Q(150, "g"))


def test_past_the_last_weighing_the_band_spans_every_curve_that_is_not_ruled_out():
    times, weights = log(0.05, 0.95)
    noisy = Q(weights.magnitude + 8.0 * chance("rivals", 10), "g")
    best = drying.fit(times, noisy, Q(60, "g"))
    alone = drying.fit(times, noisy, Q(60, "g"), model=best.model)
    assert alone.k == best.k
    wide, narrow = best.band.weight(Q(90, "hour")), alone.band.weight(Q(90, "hour"))
    assert wide[1] - wide[0] > narrow[1] - narrow[0]
    assert best.band.weight(Q(20, "hour")) == alone.band.weight(Q(20, "hour"))


def test_too_early_to_say():
    early = drying.fit(*log(0.02, hours=np.linspace(0, 20, 8)), Q(60, "g"))  # a third of the water has gone
    low, high = early.band.time_to(Q(70, "g"))
    assert np.isinf(high.magnitude)
    assert low.magnitude > 20
    assert any("Weigh on" in note for note in early.notes)
    assert "cannot say by when" in early.says(Q(70, "g"))
    late = drying.fit(*log(0.05), Q(60, "g"))
    assert np.isfinite(late.band.time_to(Q(70, "g"))[1].magnitude)


def test_few_weighings():
    two = drying.fit(Q([0, 6], "hour"), Q([300, 210], "g"), Q(60, "g"))
    assert two.weight(Q(6, "hour")).magnitude == pytest.approx(210)
    assert any("any shape goes through two points" in note for note in two.notes)
    assert any("(assumed)" in note for note in two.notes)
    assert two.band.k[0] < two.k < two.band.k[1]
    three = drying.fit(Q([0, 6, 12], "hour"), Q([300, 210, 160], "g"))
    assert three.end.magnitude == pytest.approx(60)
    assert any("four fifths water" in note for note in three.notes)


def test_a_rise_is_told_and_kept():
    curve = drying.fit(Q([0, 4, 8, 12, 20], "hour"), Q([300, 220, 245, 150, 100], "g"), Q(60, "g"))
    assert any("rose from 220 g" in note for note in curve.notes)


def test_time_is_counted_from_the_first_weighing():
    times, weights = log(0.1)
    late = drying.fit(times + Q(5, "hour"), weights, Q(60, "g"), model="lewis")
    assert late.k == pytest.approx(0.1, rel=1e-9)
    assert any("counted from the first weighing, at 5 hours" in note for note in late.notes)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(1e-4, 1e4), st.floats(1e-3, 1e6)), min_size=2, max_size=12),
    st.sampled_from(["best", *drying.MODELS]),
    st.none() | st.floats(1e-3, 1e6),
)
def test_no_figures_break_it_and_no_curve_rises(steps, model, dry):
    """Whatever is weighed, there is a curve that falls, with a band round its k, or a refusal; no warning either."""
    times = np.cumsum([step for step, _ in steps])
    try:
        curve = drying.fit(Q(times, "hour"), Q([grams for _, grams in steps], "g"), dry and Q(dry, "g"), model=model)
    except OutOfRange:
        return
    assert curve.band.k[0] <= curve.k <= curve.band.k[1]
    fell = curve.weight(Q(np.linspace(0.0, 2.0 * times[-1], 20), "hour")).magnitude
    assert (np.diff(fell) <= 1e-9 * fell[0]).all()
    low, high = curve.band.weight(Q(times[-1] / 2.0, "hour"))
    assert low <= high


@pytest.mark.parametrize(
    ("given_", "says"),
    [
        (([0, 1], [300, 280], 400), "Was the tray weighed along"),
        (([0, 1], [300, 300], None), "not drying"),
        (([0, 0, 1], [300, 280, 270], None), "have to rise"),
        (([0], [300], None), "One weighing makes no curve"),
        (([0, 1, 2], [300], None), "one weight for each time"),
        (([[0, 1], [2, 3]], [[300, 280], [260, 240]], None), "two plain lists"),
        (([0, 1, 2], [300, 0, 200], None), "number 1 of the list"),
        (([0, 1, float("nan")], [300, 250, 200], None), "no number there"),
    ],
)
def test_refusals(given_, says):
    times, weights, dry = given_
    with pytest.raises(OutOfRange, match=says):
        drying.fit(Q(np.array(times, float), "hour"), Q(np.array(weights, float), "g"), dry and Q(dry, "g"))


def test_more_refusals():
    curve = drying.fit(*log(0.1), Q(60, "g"))
    with pytest.raises(OutOfRange, match="more than the herb weighed at the start"):
        curve.time_to(Q(301, "g"))
    with pytest.raises(OutOfRange, match="number 1 of the list"):
        curve.time_to(Q([100.0, 60.0], "g"))
    with pytest.raises(WrongUnit):
        curve.weight(3)
    with pytest.raises(OutOfRange):
        curve.weight(Q(-1, "hour"))
    with pytest.raises(OutOfRange, match='"lewis"'):
        drying.fit(*log(0.1), model="newton")
    with pytest.raises(OutOfRange, match="one dry weight"):
        drying.fit(*log(0.1), Q(np.full(10, 60.0), "g"))
    assert curve.time_to(Q(300, "g")).magnitude == 0


def test_neither_scipy_nor_pandas_is_loaded():
    """Not at import beyond what pint loads, and not by a fit."""
    code = (
        "import sys, pint; before = set(sys.modules)\n"
        "from herbcalc import drying; from herbcalc.units import Q\n"
        "log = drying.read_log('0 300\\n2 250\\n5 200\\n9 160\\n15 120\\n24 95')\n"
        "drying.fit(log.times, log.weights).band\n"
        "print([m for m in set(sys.modules) - before if m.split('.')[0] in ('scipy', 'pandas', 'matplotlib')])"
    )
    ran = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert ran.stdout.strip() == "[]"
