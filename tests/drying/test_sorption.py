"""Where herb and air come to rest: the curves, their way back, and what they say of themselves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from herbcalc import drying, moisture
from herbcalc.units import OutOfRange, Q, WrongUnit

WARM = Q(25, "degC")


@pytest.mark.parametrize("herb", drying.herbs())
def test_damper_air_leaves_a_wetter_herb_and_the_way_back_is_the_same(herb):
    rh = np.linspace(0.05, 0.94, 60)
    for t in (5.0, 25.0, 45.0):
        wet = drying.equilibrium_moisture(herb, Q(t, "degC"), rh)
        assert (np.diff(wet.magnitude) >= 0).all()
        assert (wet.magnitude[rh > 0.2] > 0).all()
        back = drying.damp_for(herb, Q(t, "degC"), wet)
        shown = wet.magnitude > 0  # the Chung-Pfost curve is at 0 before the air is
        assert np.allclose(back[shown], rh[shown], atol=1e-9)


@given(st.floats(0.0, 50.0), st.floats(0.01, 0.95))
def test_warmer_air_of_one_damp_never_leaves_a_wetter_root(t, rh):
    one, other = (
        drying.equilibrium_moisture("ginseng root", Q(x, "degC"), rh).magnitude for x in (t, min(t + 5.0, 50.0))
    )
    assert other <= one


def test_wet_and_dry_basis_ask_for_the_same_air():
    db = drying.damp_for("leaf", WARM, moisture.to_dry_basis(Q(10, "percent_wb")))
    assert drying.damp_for("leaf", WARM, Q(10, "percent_wb")) == pytest.approx(db, abs=1e-12)


def test_what_is_drawn_for_class_says_so():
    assert drying.sorption("lemon balm").illustrative
    assert drying.sorption("Calendula").note.startswith("Illustrative: no measured curve of calendula")
    assert not drying.sorption("apple").illustrative
    assert drying.sorption("rosehip").illustrative  # apple's curve is measured, rosehip's is not
    assert drying.sorption("rosehip").curve == "apple"
    for herb in drying.herbs():
        tells = drying.sorption(herb)
        assert len(tells.source) > 20
        assert tells.illustrative == tells.note.startswith("Illustrative")


def test_a_herb_without_a_curve_is_told_what_there_is():
    with pytest.raises(OutOfRange, match=r'"mandrake" has no curve here.*lemon balm.*"leaf"'):
        drying.equilibrium_moisture("mandrake", WARM, 0.5)
    with pytest.raises(OutOfRange):
        drying.sorption(None)


def test_ends_of_the_air():
    assert drying.equilibrium_moisture("leaf", WARM, 0.0).magnitude == 0.0
    with pytest.raises(OutOfRange, match="bone-dry air"):
        drying.equilibrium_moisture("maize by another curve", WARM, 0.0)
    with pytest.raises(OutOfRange, match=r"0\.5, which is 50 of every 100"):
        drying.equilibrium_moisture("leaf", WARM, 50)
    with pytest.raises(WrongUnit):
        drying.equilibrium_moisture("leaf", WARM, Q(50, "percent"))
    with pytest.raises(OutOfRange, match="number 1 of the list"):
        drying.equilibrium_moisture("leaf", WARM, [0.5, 0.99])
    with pytest.raises(OutOfRange, match="more than air alone can hold"):
        drying.damp_for("leaf", WARM, Q(80, "percent_wb"))
    with pytest.raises(OutOfRange):
        drying.damp_for("leaf", WARM, Q(100, "percent_wb"))
