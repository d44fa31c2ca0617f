"""The ways out of a jar that would end under its floor: each must lead out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from herbcalc import menstruum
from herbcalc.units import OutOfRange, Q

# How long an example takes depends on what else the machine does; speed is measured in tests/benchmarks.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

herbs = st.floats(1.0, 2000.0)
waters = st.floats(0.0, 95.0)


def g(x):
    return Q(x, "g")


def mL(x):
    return Q(x, "mL")


def vol(x):
    return Q(x, "percent_vol")


def wb(x):
    return Q(x, "percent_wb")


JAR = g(100.0), wb(80.0), mL(200.0), vol(40.0)
FLOOR = vol(35.0)


class TestWaysOut:
    def test_the_jar_of_the_lesson(self):
        add, pour, strength, dry, other = menstruum.ways_out(*JAR, FLOOR)
        assert [w.kind for w in (add, pour, strength, dry, other)] == ["add", "pour", "strength", "dry", "other"]
        assert add.amount.to("mL").magnitude == 30.0
        assert pour.amount.to("mL").magnitude == 560.0
        assert strength.amount.magnitude == 49.0
        assert dry.amount.magnitude == pytest.approx(28.6, abs=0.05)
        assert other.amount is None
        assert "30 mL (1 fl oz)" in add.text
        assert "560 mL (19 fl oz)" in pour.text
        assert "360 mL" in pour.text
        assert "49 % vol" in strength.text
        for figure in ("28.6 % water", "28 g", "200 mL", "58.8 %", "48.6 g"):
            assert figure in dry.text
        assert other.text

    def test_all_is_well(self):
        assert menstruum.ways_out(g(100), wb(80), mL(560), vol(40), FLOOR) == []
        assert menstruum.ways_out(g(100), wb(10), mL(500), vol(40), FLOOR) == []
        assert menstruum.ways_out(*JAR, vol(0)) == []

    @given(herbs, waters, st.floats(1, 10_000), st.floats(0, 100), st.floats(1, 99))
    def test_every_way_out_leads_out(self, herb, water, poured, strength, floor):
        jar = g(herb), wb(water), mL(poured), vol(strength)
        ways = menstruum.ways_out(*jar, vol(floor))
        end = menstruum.final_strength(*jar).magnitude
        assert (ways == []) == (end >= floor - 1e-9)
        kinds = [w.kind for w in ways]
        assert kinds == [k for k in ("add", "pour", "strength", "dry", "other") if k in kinds]
        for way in ways:
            assert way.text
            amount = None if way.amount is None else way.amount.magnitude
            if way.kind == "add":
                after = (poured * strength + amount * 95) / (poured + amount + herb * water / 100)
            elif way.kind == "pour":
                assert amount > poured
                after = menstruum.final_strength(g(herb), wb(water), mL(amount), vol(strength)).magnitude
            elif way.kind == "strength":
                after = menstruum.final_strength(g(herb), wb(water), mL(poured), vol(amount)).magnitude
            elif way.kind == "dry":
                assert amount < water
                after = menstruum.final_strength(g(herb), wb(amount), mL(poured), vol(strength)).magnitude
            else:
                assert amount is None
                continue
            assert after >= floor - 1e-6
        if ways:
            assert kinds[-1] == "other"
            assert ("add" in kinds) == (floor < 95)
            assert ("pour" in kinds) == ("dry" in kinds) == (strength > floor + 1e-9)

    def test_a_spirit_under_the_floor_leaves_fewer_ways(self):
        kinds = [w.kind for w in menstruum.ways_out(g(100), wb(80), mL(200), vol(30), FLOOR)]
        assert kinds == ["add", "strength", "other"]

    def test_a_floor_no_spirit_reaches(self):
        (way,) = menstruum.ways_out(g(100), wb(95), mL(20), vol(60), vol(96))
        assert way.kind == "other"
        assert "No spirit brings this jar up to 96 % vol" in way.text

    def test_stronger_than_any_shelf(self):
        ways = {w.kind: w for w in menstruum.ways_out(g(100), wb(80), mL(100), vol(60), vol(55))}
        assert ways["strength"].amount.magnitude == 99.0
        assert "No shelf has more than 96 % vol" in ways["strength"].text

    def test_drier_than_a_tray_gets(self):
        ways = {w.kind: w for w in menstruum.ways_out(g(100), wb(80), mL(200), vol(36), FLOOR)}
        assert ways["dry"].amount.magnitude == pytest.approx(5.7, abs=0.05)
        assert "drier than a tray in a room gets" in ways["dry"].text

    def test_one_jar_at_a_time_with_something_in_it(self):
        with pytest.raises(OutOfRange, match="one jar at a time"):
            menstruum.ways_out(g(np.array([100.0, 50.0])), wb(80), mL(200), vol(40), FLOOR)
        with pytest.raises(OutOfRange, match="nothing is poured"):
            menstruum.ways_out(g(100), wb(80), mL(0), vol(40), FLOOR)
        with pytest.raises(OutOfRange):
            menstruum.ways_out(g(0), wb(80), mL(200), vol(40), FLOOR)
