"""A quantity that is made on the short way is the one that pint would make, and what pint refuses is refused."""

from __future__ import annotations

import numpy as np
import pint
import pytest

from herbcalc.units import Q, ureg
from herbcalc.units.words import UNITS

NAMES_OF_OURS = {"kept", "share", "money"}  # said like units, and none for pint
NUMBERS = (2.5, -3, np.float64(0.1), np.array([1.0, 2.0]))


@pytest.mark.parametrize("unit", [*sorted({*UNITS} - NAMES_OF_OURS), "g/mL", "m**3/hour", "delta_degC", "", None])
def test_the_short_way_makes_what_pint_makes(unit):
    for number in NUMBERS:
        for _ in range(2):  # a unit that is met for the first time, and one that was met before
            made = Q(number, unit)
            long = pint.UnitRegistry.Quantity.__new__(ureg.Quantity, number, unit)
            assert type(made) is type(long) is ureg.Quantity
            assert made._units == long._units
            assert made._magnitude is number is long._magnitude


def test_what_pint_refuses_is_refused_each_time():
    for _ in range(2):
        with pytest.raises(pint.UndefinedUnitError):
            Q(1.0, "furlongs")
        for number in (True, None, {}):
            with pytest.raises(TypeError):
                Q(number, "g")
        with pytest.raises(TypeError, match="units must be"):
            Q(1.0, 5)


def test_what_is_no_plain_number_is_read_as_ever():
    assert Q("3 g") == Q(3, "g")
    assert list(Q([1, 2], "g").magnitude) == [1, 2]
    assert Q(Q(2.0, "kg"), "g").magnitude == pytest.approx(2000)


def test_a_unit_that_was_met_stays_what_it_was():
    """All quantities of a unit share what pint makes of its name; what is done to one must not reach the others."""
    one = Q(2000.0, "g")
    one.ito("kg")
    one *= Q(2.0, "mL")
    assert str(Q(1.0, "g").units) == "g"
    assert Q(1.0, "g").to("kg").magnitude == pytest.approx(0.001)
