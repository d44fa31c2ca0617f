"""An argument that is left out: dried herb brings no water, and a marc of which nothing is said keeps nothing."""

from __future__ import annotations

import pytest

from herbcalc import maceration
from herbcalc.units import Q

HERB, POURED, KEEPS = Q(100.0, "g"), Q(500.0, "mL"), Q(1.5, "mL/g")
NO_WATER, NOTHING = Q(0.0, "percent_wb"), Q(0.0, "mL/g")


@pytest.mark.parametrize("wanted", ["added", "finished", "dry"])
@pytest.mark.parametrize("given", ["added", "finished", "dry"])
def test_a_ratio_of_dried_herb_is_the_same_in_all_readings(given, wanted):
    """Where the marc keeps nothing; else the finished liquid is less by what it keeps."""
    ratio = Q(5.0, "mL/g")
    assert maceration.read_ratio(ratio, given, wanted).magnitude == 5.0
    kept = maceration.read_ratio(ratio, given, wanted, retained=KEEPS).magnitude
    assert kept == 5.0 + 1.5 * ((given == "finished") - (wanted == "finished"))
    assert maceration.Ratio(ratio, given).read_as(wanted).value.magnitude == 5.0


def test_sums_without_water_are_those_of_dried_herb():
    assert maceration.liquid_out(HERB, POURED, KEEPS).magnitude == 350.0
    assert maceration.retained_found(HERB, POURED, Q(350.0, "mL")).magnitude == 1.5
    portions = Q([300.0, 200.0], "mL")
    alone, said = (maceration.same_herb_again(HERB, portions, KEEPS, *water) for water in ((), (NO_WATER,)))
    assert alone.share.tolist() == said.share.tolist() == pytest.approx([0.5, 0.5 * 200.0 / 350.0], rel=1e-15)
    assert maceration.share_extracted(HERB, portions, KEEPS) == 1.0 - alone.left
    lots = maceration.fresh_herb_again(POURED, Q([100.0, 100.0], "g"), KEEPS)
    assert lots.out.magnitude.tolist() == [350.0, 200.0]
