"""Class stock, whole packs, and a recipe made larger."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from herbcalc import batch, maceration
from herbcalc.units import OutOfRange, Q
from herbcalc.units.refusals import Impossible

SIXTY = (Q(60, "mL"), Q(5, "mL/g"), Q(1.5, "mL/g"))
BOTTLE = Q(750, "mL")


def test_the_class_of_eighteen():
    """339.4 g of herb, 1697 mL, 3 bottles of 750; marc and spare forgotten: 2."""
    stock = batch.class_stock(18, *SIXTY, 0.1, BOTTLE)
    assert stock.herb.to("g").magnitude == pytest.approx(339.4, abs=0.05)
    assert stock.menstruum.to("mL").magnitude == pytest.approx(1697, abs=0.5)
    assert stock.packs == 3
    assert type(stock.packs) is int
    assert batch.packs_to_buy(Q(1080, "mL"), BOTTLE) == 2


def test_without_a_spare_it_gives_what_all_take_home():
    stock = batch.class_stock(18, *SIXTY, 0.0, BOTTLE)
    out = maceration.liquid_out(stock.herb, stock.menstruum, SIXTY[2])
    assert out.magnitude == pytest.approx(18 * 60, rel=1e-12)


def test_lists_are_matched_one_by_one():
    stock = batch.class_stock(np.array([18, 24]), *SIXTY, 0.1, BOTTLE)
    assert stock.packs.tolist() == [3, 4]
    assert stock.herb.magnitude == pytest.approx([339.43, 452.57], abs=0.01)


@given(
    students=st.integers(1, 200),
    each=st.floats(1, 500),
    ratio=st.floats(2, 12),
    kept=st.floats(0, 1.9),
    spare=st.floats(0, 1),
    pack=st.floats(50, 5000),
)
def test_packs_are_enough_and_one_fewer_is_not(students, each, ratio, kept, spare, pack):
    asked = Q(each, "mL"), Q(ratio, "mL/g"), Q(kept, "mL/g")
    stock = batch.class_stock(students, *asked, spare, Q(pack, "mL"))
    need = stock.menstruum.magnitude
    assert stock.packs * pack >= need * (1 - 1e-9) - 1e-6
    assert (stock.packs - 1) * pack < need
    served = batch.students_served(stock.packs * Q(pack, "mL"), *asked, spare)
    assert served >= students
    assert batch.class_stock(max(served, 1), *asked, spare, Q(pack, "mL")).packs <= stock.packs


def test_a_whole_pack_missed_by_rounding_is_that_pack():
    assert batch.packs_to_buy(Q(0.1 + 0.2, "L"), Q(100, "mL")) == 3
    assert batch.packs_to_buy(Q(1500.1, "mL"), BOTTLE) == 3
    assert batch.packs_to_buy(Q(0, "mL"), BOTTLE) == 0


def test_what_stands_on_the_shelf_is_not_bought():
    assert batch.packs_to_buy(Q(1697, "mL"), BOTTLE, Q(198, "mL")) == 2
    assert batch.packs_to_buy(Q(1697, "mL"), BOTTLE, Q(2, "L")) == 0


def test_what_cannot_be_is_refused_by_name():
    with pytest.raises(Impossible) as refusal:
        batch.class_stock(18, Q(60, "mL"), Q(1.5, "mL/g"), Q(1.5, "mL/g"), 0.1, BOTTLE)
    assert len(refusal.value.ways_out) == 3
    with pytest.raises(OutOfRange, match=r"students.*17\.5"):
        batch.class_stock(17.5, *SIXTY, 0.1, BOTTLE)
    with pytest.raises(OutOfRange, match=r"number 1 of the list.*2.5 was given"):
        batch.class_stock([2, 2.5], *SIXTY, 0.1, BOTTLE)
    with pytest.raises(OutOfRange, match="no end to the counting"):
        batch.packs_to_buy(Q(1e9, "L"), Q(1e-9, "mL"))
    with pytest.raises(OutOfRange, match="no end to the counting"):
        batch.students_served(Q(1e9, "L"), Q(1e-9, "mL"), *SIXTY[1:], 0.1)


def test_one_factor_keeps_the_ratio_and_goes_back():
    larger = batch.scale(Q(350, "mL"), Q(1, "L"))
    assert larger == pytest.approx(1000 / 350)
    assert larger * batch.scale(Q(1, "L"), Q(350, "mL")) == pytest.approx(1)
    assert maceration.ratio_of(larger * Q(100, "g"), larger * Q(500, "mL")).magnitude == pytest.approx(5)
