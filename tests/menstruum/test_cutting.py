"""Cutting and blending: alcohol and mass are kept, ends, and the wishes that cannot be had."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from herbcalc import ethanol, menstruum
from herbcalc.menstruum import Impossible
from herbcalc.units import Q, WrongUnit

# How long an example takes depends on what else the machine does; speed is measured in tests/benchmarks.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

volumes = st.floats(1.0, 10_000.0)


def mL(x):
    return Q(x, "mL")


def vol(x):
    return Q(x, "percent_vol")


class TestCut:
    @given(st.floats(1, 100), st.floats(0.01, 1), volumes)
    def test_alcohol_and_mass_are_kept(self, strength, share, volume):
        to = strength * share
        cut = menstruum.cut(vol(strength), vol(to), spirit=mL(volume))
        made = ethanol.mix(mL([volume, cut.water.magnitude]), vol([strength, 0.0]))
        assert made.strength.magnitude == pytest.approx(to, abs=1e-8)
        assert made.volume.magnitude == pytest.approx(cut.makes.magnitude, rel=1e-9)
        assert cut.contraction.magnitude == pytest.approx(made.contraction.magnitude, abs=1e-6)
        assert cut.water_by_kitchen_rule.magnitude == pytest.approx(cut.makes.magnitude - volume, rel=1e-9)

    @given(st.floats(1, 100), st.floats(0.01, 1), volumes)
    def test_make_and_spirit_undo_each_other(self, strength, share, volume):
        first = menstruum.cut(vol(strength), vol(strength * share), make=mL(volume))
        again = menstruum.cut(vol(strength), vol(strength * share), spirit=first.spirit)
        for name in ("spirit", "water", "makes", "water_by_kitchen_rule"):
            assert getattr(again, name).magnitude == pytest.approx(getattr(first, name).magnitude, rel=1e-9, abs=1e-9)

    def test_to_the_same_strength(self):
        cut = menstruum.cut(vol(50), vol(50), make=mL(700))
        assert (cut.spirit.magnitude, cut.water.magnitude, cut.contraction.magnitude) == (700.0, 0.0, 0.0)

    def test_nothing_makes_nothing(self):
        cut = menstruum.cut(vol(95), vol(50), spirit=mL(0))
        assert (cut.makes.magnitude, cut.water.magnitude) == (0.0, 0.0)

    def test_a_list_of_strengths(self):
        cut = menstruum.cut(vol(95), vol(np.array([60.0, 50.0])), make=Q(1, "L"))
        assert cut.makes.magnitude.tolist() == [1000.0, 1000.0]
        assert cut.water.magnitude == pytest.approx([397.4, 504.0], abs=0.1)

    def test_exactly_one_of_make_and_spirit(self):
        for given_ in ({}, {"make": mL(1), "spirit": mL(1)}):
            with pytest.raises(WrongUnit, match="one of the two"):
                menstruum.cut(vol(95), vol(50), **given_)

    def test_upwards(self):
        with pytest.raises(Impossible, match="only makes a spirit weaker") as refusal:
            menstruum.cut(vol(40), vol(50), make=mL(1000))
        add, stronger = refusal.value.ways_out
        assert (add.kind, stronger.kind) == ("add", "strength")
        assert stronger.amount.magnitude == 50
        # 182 mL of 95 % in 1000 mL of the whole: at least 50 % by the kitchen rule.
        assert (add.amount.magnitude * 95 + (1000 - add.amount.magnitude) * 40) / 1000 >= 50
        assert add.amount.magnitude == 182  # by alligation (95 - 50) : (50 - 40), 818 mL and 182 mL
        assert "to 818 mL" in add.text
        with pytest.raises(Impossible) as refusal:
            menstruum.cut(vol(40), vol(50), spirit=mL(900))
        extra = refusal.value.ways_out[0].amount.magnitude
        assert (extra * 95 + 900 * 40) / (900 + extra) >= 50

    def test_down_to_nothing(self):
        with pytest.raises(Impossible, match="never reached") as refusal:
            menstruum.cut(vol(40), vol(0), make=mL(1000))
        assert refusal.value.ways_out == []

    def test_one_of_a_list(self):
        with pytest.raises(Impossible, match="number 1 of the list, counted from 0"):
            menstruum.cut(vol(95), vol(np.array([50.0, 96.0])), make=mL(1000))


class TestBlend:
    @given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 1), volumes)
    def test_it_makes_what_was_asked(self, one, other, share, volume):
        assume(abs(one - other) > 0.1)
        to = min(max(other + share * (one - other), min(one, other)), max(one, other))
        blend = menstruum.blend(vol(one), vol(other), vol(to), mL(volume))
        parts = [blend.strong.magnitude, blend.weak.magnitude]
        assert min(parts) >= -1e-9 * volume
        made = ethanol.mix(mL(np.maximum(parts, 0.0)), vol([one, other]))
        assert made.volume.magnitude == pytest.approx(volume, rel=1e-9)
        assert made.strength.magnitude == pytest.approx(to, abs=1e-8)
        by_hand = blend.strong_by_kitchen_rule.magnitude + blend.weak_by_kitchen_rule.magnitude
        assert by_hand == pytest.approx(volume, rel=1e-12)
        assert blend.strength.magnitude == to
        assert blend.makes.magnitude == volume

    def test_the_ends_take_one_alone(self):
        top = menstruum.blend(vol(75.5), vol(40), vol(75.5), mL(500))
        assert (top.strong.magnitude, top.weak.magnitude) == pytest.approx((500, 0), abs=1e-9)
        low = menstruum.blend(vol(75.5), vol(40), vol(40), mL(500))
        assert (low.strong.magnitude, low.weak.magnitude) == pytest.approx((0, 500), abs=1e-9)
        same = menstruum.blend(vol(40), vol(40), vol(40), mL(500))
        assert (same.strong.magnitude, same.weak.magnitude) == (500.0, 0.0)

    def test_with_water_it_is_a_cut(self):
        blend = menstruum.blend(vol(95), vol(0), vol(50), mL(1000))
        cut = menstruum.cut(vol(95), vol(50), make=mL(1000))
        assert blend.strong.magnitude == pytest.approx(cut.spirit.magnitude, abs=1e-8)
        assert blend.weak.magnitude == pytest.approx(cut.water.magnitude, abs=1e-8)

    @pytest.mark.parametrize(("to", "word"), [(80, "above both"), (30, "below both")])
    def test_outside_the_two(self, to, word):
        with pytest.raises(Impossible, match=word) as refusal:
            menstruum.blend(vol(75.5), vol(40), vol(to), mL(1000))
        (way,) = refusal.value.ways_out
        assert way.kind == "strength"
        assert way.amount.magnitude == to

    def test_one_of_a_list(self):
        with pytest.raises(Impossible, match="number 1 of the list"):
            menstruum.blend(vol(75.5), vol(40), vol(np.array([50.0, 39.0])), mL(1000))
