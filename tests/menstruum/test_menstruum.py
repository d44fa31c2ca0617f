"""The menstruum: what is kept, what rises and falls, calls that undo each other, ends, and every impossible wish."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from herbcalc import ethanol, menstruum
from herbcalc.menstruum import Impossible
from herbcalc.units import OutOfRange, Q, WrongUnit

# How long an example takes depends on what else the machine does; speed is measured in tests/benchmarks.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

RULES = ("kitchen", "measured")
rules = st.sampled_from(RULES)
herbs = st.floats(1.0, 2000.0)
waters = st.floats(0.0, 95.0)
wet = st.floats(1.0, 95.0)
ratios = st.floats(0.1, 20.0)
volumes = st.floats(1.0, 10_000.0)
spirits = st.floats(20.0, 100.0)
floors = st.floats(1.0, 95.0)


def g(x):
    return Q(x, "g")


def mL(x):
    return Q(x, "mL")


def vol(x):
    return Q(x, "percent_vol")


def wb(x):
    return Q(x, "percent_wb")


def ratio(x):
    return Q(x, "mL/g")


JAR = g(100.0), wb(80.0), mL(200.0), vol(40.0)
FLOOR = vol(35.0)


class TestFinalStrength:
    @given(herbs, waters, volumes, spirits)
    def test_kitchen_keeps_alcohol_in_volumes_that_add(self, herb, water, poured, strength):
        end = menstruum.final_strength(g(herb), wb(water), mL(poured), vol(strength)).magnitude
        assert end * (poured + herb * water / 100) == pytest.approx(poured * strength, rel=1e-12)

    @given(herbs, waters, volumes, spirits)
    def test_measured_is_the_mix_with_that_weight_of_water(self, herb, water, poured, strength):
        end = menstruum.final_strength(g(herb), wb(water), mL(poured), vol(strength), "measured").magnitude
        plant_water = herb * water / 100 / ethanol.density(vol(0.0)).magnitude * 1000
        mixed = ethanol.mix(mL([poured, plant_water]), vol([strength, 0.0]))
        assert end == pytest.approx(mixed.strength.magnitude, abs=1e-9)

    @given(herbs, wet, volumes, spirits, rules)
    def test_between_nothing_and_the_spirit(self, herb, water, poured, strength, rule):
        end = menstruum.final_strength(g(herb), wb(water), mL(poured), vol(strength), rule).magnitude
        assert 0 < end < strength

    @given(herbs, st.floats(1, 94), volumes, st.floats(20, 99), rules)
    def test_what_it_rises_and_falls_with(self, herb, water, poured, strength, rule):
        def end(herb=herb, water=water, poured=poured, strength=strength):
            return menstruum.final_strength(g(herb), wb(water), mL(poured), vol(strength), rule).magnitude

        assert end(water=water + 1) < end()
        assert end(herb=herb * 1.1) < end()
        assert end(poured=poured * 1.1) > end()
        assert end(strength=strength + 1) > end()

    @given(herbs, waters, volumes, spirits, st.floats(0.01, 100.0), rules)
    def test_a_batch_of_another_size_is_as_strong(self, herb, water, poured, strength, times, rule):
        one = menstruum.final_strength(g(herb), wb(water), mL(poured), vol(strength), rule)
        many = menstruum.final_strength(g(herb * times), wb(water), mL(poured * times), vol(strength), rule)
        assert many.magnitude == pytest.approx(one.magnitude, abs=1e-9)

    @given(st.lists(st.tuples(st.floats(0, 500), spirits), min_size=2, max_size=4))
    def test_measured_does_not_mind_the_order_of_pouring(self, pours):
        assume(sum(v for v, _ in pours) > 1)
        ends = []
        for order in itertools.permutations(pours):
            poured = ethanol.mix(mL([v for v, _ in order]), vol([s for _, s in order]))
            ends.append(
                menstruum.final_strength(g(100), wb(80), poured.volume, poured.strength, "measured").magnitude
            )
        assert ends == pytest.approx([ends[0]] * len(ends), abs=1e-9)

    @pytest.mark.parametrize("rule", RULES)
    def test_ends(self, rule):
        def end(herb, water, poured, strength):
            return menstruum.final_strength(g(herb), wb(water), mL(poured), vol(strength), rule).magnitude

        assert end(0, 80, 200, 40) == pytest.approx(40, abs=1e-9)
        assert end(100, 0, 200, 95) == pytest.approx(95, abs=1e-9)
        assert end(100, 0, 200, 100) == 100.0
        assert end(100, 95, 200, 0) == 0.0
        assert end(100, 80, 0, 40) == 0.0  # plant water alone
        assert 0 < end(100, 95, 1, 40) < 1

    def test_no_liquid_at_all(self):
        for herb, water in ((0, 80), (100, 0)):
            with pytest.raises(OutOfRange, match="no liquid"):
                menstruum.final_strength(g(herb), wb(water), mL(0), vol(40))
        with pytest.raises(OutOfRange, match="number 1 of the list"):
            menstruum.final_strength(g(0), wb(80), mL(np.array([1.0, 0.0])), vol(40))

    def test_the_rule_has_two_names(self):
        for call in (
            lambda rule: menstruum.final_strength(*JAR, rule=rule),
            lambda rule: menstruum.smallest_ratio(wb(80), vol(40), FLOOR, rule=rule),
            lambda rule: menstruum.strength_to_pour(ratio(2), wb(80), FLOOR, rule=rule),
            lambda rule: menstruum.wettest_plant(ratio(2), vol(40), FLOOR, rule=rule),
            lambda rule: menstruum.rescue(*JAR, FLOOR, vol(95), rule=rule),
        ):
            with pytest.raises(OutOfRange, match='"kitchen" and "measured"'):
                call("Kitchen")


class TestCallsThatUndoEachOther:
    @given(waters, spirits, floors, rules)
    def test_smallest_ratio(self, water, strength, floor, rule):
        assume(strength > floor + 0.01)
        least = menstruum.smallest_ratio(wb(water), vol(strength), vol(floor), rule).magnitude
        if water == 0:
            assert least == 0
            return
        assume(least > 1e-6)
        end = menstruum.final_strength(g(100), wb(water), mL(100 * least), vol(strength), rule).magnitude
        assert end == pytest.approx(floor, abs=1e-8)

    @given(ratios, waters, floors, rules)
    def test_strength_to_pour(self, poured, water, wanted, rule):
        try:
            strength = menstruum.strength_to_pour(ratio(poured), wb(water), vol(wanted), rule)
        except Impossible:
            pure = menstruum.final_strength(g(100), wb(water), mL(100 * poured), vol(100), rule).magnitude
            assert pure < wanted + 1e-6
            return
        assert strength.magnitude <= 100
        end = menstruum.final_strength(g(100), wb(water), mL(100 * poured), strength, rule).magnitude
        assert end == pytest.approx(wanted, abs=1e-7)

    @given(ratios, spirits, floors, rules)
    def test_wettest_plant(self, poured, strength, floor, rule):
        assume(strength > floor)
        most = menstruum.wettest_plant(ratio(poured), vol(strength), vol(floor), rule).magnitude
        assert 0 <= most <= 100
        if most <= 95:
            end = menstruum.final_strength(g(100), wb(most), mL(100 * poured), vol(strength), rule).magnitude
            assert end == pytest.approx(floor, abs=1e-8)
        else:
            end = menstruum.final_strength(g(100), wb(95), mL(100 * poured), vol(strength), rule).magnitude
            assert end >= floor - 1e-8

    @given(herbs, wet, volumes, spirits, floors, spirits, rules)
    def test_rescue(self, herb, water, poured, strength, floor, added, rule):
        assume(added > floor + 0.1)
        jar = g(herb), wb(water), mL(poured), vol(strength)
        before = menstruum.final_strength(*jar, rule).magnitude
        extra = menstruum.rescue(*jar, vol(floor), vol(added), rule).magnitude
        if before >= floor:
            assert extra == 0
            return
        if rule == "kitchen":
            end = (poured * strength + extra * added) / (poured + extra + herb * water / 100)
        else:
            plant_water = herb * water / 100 / ethanol.density(vol(0.0)).magnitude * 1000
            end = ethanol.mix(mL([poured, extra, plant_water]), vol([strength, added, 0.0])).strength.magnitude
        assert end == pytest.approx(floor, abs=1e-8)

    @given(ratios, st.floats(1, 90), st.floats(5, 60), rules)
    def test_one_chain_round(self, poured, water, floor, rule):
        """From a ratio to a strength, to the wettest plant, to the least ratio: back where it began."""
        try:
            strength = menstruum.strength_to_pour(ratio(poured), wb(water), vol(floor), rule)
        except Impossible:
            return
        assume(strength.magnitude > floor + 0.01)
        most = menstruum.wettest_plant(ratio(poured), strength, vol(floor), rule)
        assert most.magnitude == pytest.approx(water, abs=1e-5)
        least = menstruum.smallest_ratio(wb(water), strength, vol(floor), rule)
        assert least.magnitude == pytest.approx(poured, rel=1e-6)


class TestEnds:
    @pytest.mark.parametrize("rule", RULES)
    def test_nothing_to_do(self, rule):
        assert menstruum.smallest_ratio(wb(0), vol(40), FLOOR, rule).magnitude == 0.0
        assert menstruum.smallest_ratio(wb(0), vol(35), FLOOR, rule).magnitude == 0.0
        assert menstruum.smallest_ratio(wb(80), vol(40), vol(0), rule).magnitude == 0.0
        assert menstruum.strength_to_pour(ratio(2), wb(0), FLOOR, rule).magnitude == pytest.approx(35, abs=1e-9)
        assert menstruum.strength_to_pour(ratio(2), wb(80), vol(0), rule).magnitude == 0.0
        assert menstruum.strength_to_pour(ratio(0), wb(80), vol(0), rule).magnitude == 0.0
        assert menstruum.strength_to_pour(ratio(2), wb(0), vol(100), rule).magnitude == 100.0
        assert menstruum.wettest_plant(ratio(2), vol(35), FLOOR, rule).magnitude == 0.0
        assert menstruum.wettest_plant(ratio(50), vol(95), FLOOR, rule).magnitude == 100.0
        assert menstruum.wettest_plant(ratio(2), vol(40), vol(0), rule).magnitude == 100.0
        assert menstruum.rescue(g(100), wb(10), mL(500), vol(40), FLOOR, vol(95), rule).magnitude == 0.0
        # A jar that is fine needs nothing, whatever stands ready to be added.
        assert menstruum.rescue(g(100), wb(10), mL(500), vol(40), FLOOR, vol(20), rule).magnitude == 0.0
        exactly = menstruum.final_strength(*JAR, rule)
        assert menstruum.rescue(*JAR, exactly, vol(20), rule).magnitude == 0.0

    def test_a_hair_past_an_end_counts_as_the_end(self):
        assert menstruum.strength_to_pour(ratio(1), wb(80), vol(100 / 1.8), "kitchen").magnitude == 100.0
        assert menstruum.wettest_plant(ratio(2), vol(35 - 5e-10), FLOOR).magnitude == 0.0
        assert menstruum.cut(vol(50), vol(50 + 5e-10), make=mL(100)).water.magnitude == 0.0

    @given(st.floats(0.1, 10), st.floats(1, 90), spirits, rules)
    def test_lists_give_what_single_values_give(self, poured, water, strength, rule):
        r, w, s = np.array([poured, poured + 3]), np.array([[water], [water / 2]]), vol(np.array([strength, 60.0]))
        listed = menstruum.final_strength(g(100), wb(w), mL(100 * r), s, rule).magnitude
        assert listed.shape == (2, 2)
        for i, j in itertools.product(range(2), range(2)):
            single = menstruum.final_strength(g(100), wb(float(w[i, 0])), mL(100 * r[j]), s[j], rule).magnitude
            assert listed[i, j] == pytest.approx(single, abs=1e-9)

    @pytest.mark.parametrize("rule", RULES)
    def test_lists_with_special_elements(self, rule):
        least = menstruum.smallest_ratio(
            wb(np.array([80.0, 0.0])), vol(np.array([40.0, 35.0])), FLOOR, rule
        ).magnitude
        assert least == pytest.approx([menstruum.smallest_ratio(wb(80), vol(40), FLOOR, rule).magnitude, 0.0])
        extra = menstruum.rescue(g(100), wb(np.array([80.0, 5.0])), mL(200), vol(40), FLOOR, vol(95), rule).magnitude
        assert extra == pytest.approx([menstruum.rescue(*JAR, FLOOR, vol(95), rule).magnitude, 0.0])
        pour = menstruum.strength_to_pour(ratio(np.array([2.0, 3.0])), wb(80), FLOOR, rule).magnitude
        assert pour[0] == pytest.approx(menstruum.strength_to_pour(ratio(2), wb(80), FLOOR, rule).magnitude)
        most = menstruum.wettest_plant(
            ratio(2), vol(np.array([40.0, 35.0])), vol(np.array([0.0, 35.0])), rule
        ).magnitude
        assert most.tolist() == [100.0, 0.0]

    def test_units_do_not_change_the_answer(self):
        metric = menstruum.final_strength(g(453.59237), wb(80), mL(946.352946), vol(75.5), "measured").magnitude
        kitchen = menstruum.final_strength(Q(1, "lb"), wb(80), Q(1, "quart"), Q(151, "proof"), "measured").magnitude
        assert kitchen == pytest.approx(metric, rel=1e-12)
        by_mass = menstruum.final_strength(g(100), wb(80), mL(200), ethanol.to_mass(vol(40))).magnitude
        assert by_mass == pytest.approx(menstruum.final_strength(*JAR).magnitude, abs=1e-9)
        extra = menstruum.rescue(Q(4, "oz"), wb(80), Q(8, "fl_oz"), Q(80, "proof"), Q(70, "proof"), Q(190, "proof"))
        same = menstruum.rescue(g(113.398092500), wb(80), mL(236.5882365), vol(40), FLOOR, vol(95))
        assert extra.magnitude == pytest.approx(same.magnitude, rel=1e-12)


class TestImpossibleWishes:
    @pytest.mark.parametrize("rule", RULES)
    @pytest.mark.parametrize(
        ("wish", "words", "kinds"),
        [
            (
                lambda r: menstruum.smallest_ratio(wb(80), vol(30), FLOOR, r),
                "no stronger than 30 % vol",
                ["strength", "other"],
            ),
            (
                lambda r: menstruum.smallest_ratio(wb(0), vol(30), FLOOR, r),
                "with a wet plant or a dry",
                ["strength", "other"],
            ),
            (
                lambda r: menstruum.smallest_ratio(wb(5), vol(35), FLOOR, r),
                "just at the floor",
                ["strength", "other"],
            ),
            (lambda r: menstruum.smallest_ratio(wb(5), vol(90), vol(97), r), "the floor is 97 % vol", ["other"]),
            (
                lambda r: menstruum.strength_to_pour(ratio(1), wb(80), vol(60), r),
                "108 % vol",
                ["pour", "dry", "other"],
            ),
            (lambda r: menstruum.strength_to_pour(ratio(1), wb(80), vol(96), r), "none is above 100", ["other"]),
            (
                lambda r: menstruum.wettest_plant(ratio(2), vol(30), FLOOR, r),
                "under the floor of 35",
                ["strength", "other"],
            ),
            (lambda r: menstruum.wettest_plant(ratio(2), vol(30), vol(96), r), "under the floor of 96", ["other"]),
            (
                lambda r: menstruum.rescue(*JAR, FLOOR, vol(35), r),
                "cannot lift a jar above 35 % vol",
                ["add", "pour", "strength", "dry", "other"],
            ),
            (
                lambda r: menstruum.rescue(g(100), wb(80), mL(0), vol(40), FLOOR, vol(20), r),
                "cannot lift a jar above 20 % vol",
                ["strength", "other"],
            ),
        ],
    )
    def test_sentence_and_ways_out(self, rule, wish, words, kinds):
        with pytest.raises(Impossible, match=words) as refusal:
            wish(rule)
        assert "would work" in str(refusal.value)
        assert [w.kind for w in refusal.value.ways_out] == kinds
        assert all((w.amount is None) == (w.kind == "other") and w.text for w in refusal.value.ways_out)

    def test_what_is_offered_works(self):
        with pytest.raises(Impossible) as refusal:
            menstruum.strength_to_pour(ratio(1), wb(80), vol(60))
        pour, dry, _ = refusal.value.ways_out
        assert menstruum.strength_to_pour(pour.amount, wb(80), vol(60)).magnitude <= 95
        assert menstruum.strength_to_pour(ratio(1), dry.amount, vol(60)).magnitude <= 95 + 1e-9

    def test_of_a_list_the_first_is_named(self):
        two = np.array([40.0, 30.0])
        for call in (
            lambda: menstruum.smallest_ratio(wb(80), vol(two), FLOOR),
            lambda: menstruum.wettest_plant(ratio(2), vol(two), FLOOR),
            lambda: menstruum.strength_to_pour(ratio(np.array([2.0, 0.3])), wb(80), FLOOR),
            lambda: menstruum.rescue(*JAR, FLOOR, vol(two)),
        ):
            with pytest.raises(Impossible, match=r"number 1 of the list, counted from 0"):
                call()

    def test_a_ratio_of_nothing(self):
        for call in (
            lambda: menstruum.strength_to_pour(ratio(0), wb(80), FLOOR),
            lambda: menstruum.wettest_plant(ratio(0), vol(40), FLOOR),
        ):
            with pytest.raises(OutOfRange, match="nothing would be poured"):
                call()

    def test_a_jar_without_plant_or_liquid(self):
        with pytest.raises(OutOfRange):
            menstruum.rescue(g(0), wb(80), mL(200), vol(40), FLOOR, vol(95))
        with pytest.raises(OutOfRange, match="no liquid"):
            menstruum.rescue(g(100), wb(0), mL(0), vol(40), FLOOR, vol(95))


# One right argument of each kind, and what must be refused in its place.
GOOD = {"herb": g(100), "water": wb(80), "menstruum": mL(200), "ratio": ratio(3), "make": mL(500)}
GOOD |= {name: vol(x) for name, x in (("strength", 50), ("floor", 35), ("final", 30), ("with_strength", 95))}
GOOD |= {name: vol(x) for name, x in (("strong", 95), ("weak", 40), ("to", 45))}
STRENGTHS = ("strength", "floor", "final", "with_strength", "strong", "weak", "to")
RANGES = {"water": 95.0} | dict.fromkeys(STRENGTHS, 100.0)
TAKES = {
    menstruum.final_strength: ("herb", "water", "menstruum", "strength"),
    menstruum.smallest_ratio: ("water", "strength", "floor"),
    menstruum.strength_to_pour: ("ratio", "water", "final"),
    menstruum.wettest_plant: ("ratio", "strength", "floor"),
    menstruum.rescue: ("herb", "water", "menstruum", "strength", "floor", "with_strength"),
    menstruum.ways_out: ("herb", "water", "menstruum", "strength", "floor"),
    menstruum.cut: ("strength", "to", "make"),
    menstruum.blend: ("strong", "weak", "to", "make"),
}
EACH = [(call, name) for call, names in TAKES.items() for name in names]


@pytest.mark.parametrize(("call", "name"), EACH, ids=[f"{c.__name__}-{n}" for c, n in EACH])
def test_every_argument_is_guarded(call, name):
    names = TAKES[call]
    right = {n: GOOD[n] for n in names}
    call(**right)  # all right as it stands
    unit = right[name].units
    for other in (50, "50", True, Q(50, "percent"), Q(50), Q(50, "percent_db"), Q(50, "degC"), np.array([50.0])):
        with pytest.raises(WrongUnit):
            call(**right | {name: other})
    if name != "make":  # None there means that it was left out, which is refused in its own words
        with pytest.raises(WrongUnit):
            call(**right | {name: None})
    for number in (math.nan, math.inf, -math.inf, -1.0, *([RANGES[name] + 0.001] if name in RANGES else [])):
        with pytest.raises(OutOfRange):
            call(**right | {name: Q(number, unit)})
        with pytest.raises(OutOfRange, match="number 1 of the list, counted from 0"):
            call(**right | {name: Q(np.array([right[name].magnitude, number]), unit)})
