"""The one table of units, and the helpers that every sum compares with."""

import numpy as np
import pytest

from herbcalc.units import OutOfRange, spoken, ureg
from herbcalc.units.arrays import above, at_least, at_most, below, first_refused, slack, whole
from herbcalc.units.constants import FL_OZ_PER_OZ, RULES
from herbcalc.units.refusals import one_of, quoted
from herbcalc.units.words import KIND_OF, KINDS, UNITS, has_twin, of, words

NO_UNITS = {"kept", "share", "money", ""}


def test_every_row_is_a_unit_and_every_unit_that_is_measured_has_a_row():
    for unit, row in UNITS.items():
        if unit not in NO_UNITS:
            assert ureg.Unit(unit) is not None
        assert row.kind in KINDS or row.kind == ""
        assert row.system in ("metric", "kitchen", "")
    text = "".join(f" {word}" for row in UNITS.values() for word in row)
    assert not any(sign in text for sign in ("_", "**", "|"))


def test_kinds_and_twins():
    assert KIND_OF["fl_oz"] == "volume"
    assert KIND_OF["kept"] == KIND_OF["mL/g"] == "ratio"
    assert KIND_OF[""] == "count"
    assert "cm" not in KIND_OF
    twinned = {unit for unit in UNITS if has_twin(unit)}
    assert twinned == {"g", "kg", "mg", "mL", "L", "degC", "delta_degC", "m", "cm", "mm"}
    assert of("metric", "volume") == ("mL", "L")


@pytest.mark.parametrize("unit", sorted(set(UNITS) - NO_UNITS - {"mL/g", "kg/m**3", "proof", "month", "K"}))
def test_what_is_said_holds_the_words_of_the_table(unit):
    assert words(unit) in spoken(ureg.Quantity(5.0, unit))


def test_ends_forgive_rounding_and_nothing_else():
    for end in (0.0, 1.0, 35.0, -5.0, 2000.0):
        hair, step = 0.5 * slack(end), 2.0 * slack(end)
        assert not above(end + hair, end)
        assert above(end + step, end)
        assert not below(end - hair, end)
        assert below(end - step, end)
        assert at_least(end - hair, end)
        assert not at_least(end - step, end)
        assert at_most(end + hair, end)
        assert not at_most(end + step, end)
    assert list(above(np.array([34.0, 36.0]), 35.0)) == [False, True]
    assert list(at_least(35.0, np.array([34.0, 36.0]))) == [True, False]
    assert slack(np.array([0.1, 1000.0])).tolist() == pytest.approx([1e-9, 1e-6])


def test_whole_numbers_are_meant_within_rounding():
    assert whole(7 - 1e-12) == 7
    assert whole(7.001) is None
    assert whole(0.0) == 0


def test_where_and_what():
    assert first_refused(np.array([[False, True]]), np.array([1.0, 2.0]))[0].startswith(" (number (0, 1) of")
    assert first_refused(np.array([False])) is None
    with pytest.raises(OutOfRange, match=r'^rule: "loose" was given\. It is one of "kitchen" and "measured"\.$'):
        one_of("rule", "loose", RULES)
    for thing in (None, 5, ["kitchen"], np.array(["kitchen"])):
        with pytest.raises(OutOfRange, match="that"):
            one_of("rule", thing, RULES)
    assert quoted("x" * 61) == f'"{"x" * 57}..."'
    assert quoted("a\nb") == '"a?b"'


def test_the_ounce():
    assert pytest.approx(0.95861, abs=1e-5) == FL_OZ_PER_OZ
    assert pytest.approx(float(ureg.Quantity(1.0, "mL/g").to("fl_oz/oz").magnitude), rel=1e-12) == FL_OZ_PER_OZ
