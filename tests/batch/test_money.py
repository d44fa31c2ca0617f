"""What a tincture costs: by its alcohol, by the bottle, by the extract of each gram."""

from __future__ import annotations

import numpy as np
import pytest

from herbcalc import batch, compare
from herbcalc.units import OutOfRange, Q

HERB, POURED, KEEPS = Q(100, "g"), Q(500, "mL"), Q(1.5, "mL/g")


def test_two_bottles_by_their_alcohol():
    """$15 for 750 mL at 40 %: 5.0 cents a mL; $25 at 95 %: 3.5."""
    for price, strength, cents in ((15, 40, 5.0), (25, 95, 3.509)):
        found = 100 * batch.alcohol_price(price, Q(750, "mL"), Q(strength, "percent_vol"))
        assert found == pytest.approx(cents, abs=0.001)


def test_a_strength_by_weight_is_understood():
    by_volume = batch.alcohol_price(15, Q(750, "mL"), Q(40, "percent_vol"))
    assert batch.alcohol_price(15, Q(750, "mL"), Q(33.3, "percent_mass")) == pytest.approx(by_volume, rel=1e-3)


def test_a_batch_worked_by_hand():
    """100 g at 8 cents, 500 mL at 2 cents, 350 mL come out: $18 in 350 mL and in 70 g-worth; $3 in the marc."""
    cost = batch.soak_cost(HERB, POURED, KEEPS, 0.08, 0.02, Q(60, "mL"), 1.2)
    assert (cost.total, cost.in_marc) == pytest.approx((18, 3))
    assert cost.each_mL == pytest.approx(18 / 350)
    assert cost.each_bottle == pytest.approx(60 * 18 / 350 + 1.2)
    assert cost.each_worth == pytest.approx(18 / 70)


@pytest.mark.parametrize("kept", [0.1, 0.8, 1.5, 3.0])
@pytest.mark.parametrize("ratio", [4.0, 5.0, 8.0])
def test_the_extract_costs_what_the_comparison_of_ways_says(kept, ratio):
    row = compare.ways(herb=HERB, ratio=Q(ratio, "mL/g"), retained=Q(kept, "mL/g"), price=0.03)["soak"]
    cost = batch.soak_cost(HERB, ratio * Q(100, "mL"), Q(kept, "mL/g"), 0.0, 0.03)
    assert cost.each_worth == pytest.approx(row["cost per g-worth"], rel=1e-12)


def test_a_batch_of_dried_herb_costs_what_its_soak_does():
    made = batch.walk_back(batch.Order(10, Q(50, "mL"), retained=KEEPS))
    whole = made.cost({"herb": 0.08, "menstruum": 0.02, "glass": 1.2})
    soak = batch.soak_cost(made.herb, made.menstruum, KEEPS, 0.08, 0.02, Q(50, "mL"), 1.2)
    told = whole.total - whole.glass, whole.in_marc, whole.each_mL, whole.each_bottle, whole.each_worth
    assert told == pytest.approx(tuple(soak))


def test_where_nothing_comes_out_there_is_no_end_to_the_cost():
    cost = batch.soak_cost(HERB, Q(100, "mL"), KEEPS, 0.08, 0.02, Q(60, "mL"))
    assert cost.each_mL == cost.each_bottle == cost.each_worth == np.inf
    assert (cost.total, cost.in_marc) == pytest.approx((10, 2))
    assert batch.soak_cost(HERB, Q(100, "mL"), KEEPS, 0.0, 0.0).each_bottle == 0


def test_the_harder_the_press_the_cheaper_the_bottle():
    cost = batch.soak_cost(HERB, POURED, Q(np.array([0.0, 0.8, 1.5, 3.0]), "mL/g"), 0.08, 0.02, Q(60, "mL"), 1.2)
    assert np.all(np.diff(cost.each_bottle) > 0)
    assert np.all(np.diff(cost.each_worth) > 0)


def test_money_is_never_less_than_none():
    with pytest.raises(OutOfRange, match="price"):
        batch.alcohol_price(-1, Q(750, "mL"), Q(40, "percent_vol"))
    with pytest.raises(OutOfRange, match="strength"):
        batch.alcohol_price(15, Q(750, "mL"), Q(0, "percent_vol"))
