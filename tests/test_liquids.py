"""What a measure weighs: the table's rows lie where the sources print them, and other names are refused."""

import pytest

from herbcalc import liquids
from herbcalc.units import OutOfRange, amount, spoken

# name -> from, to in g for each mL near 20 °C, as printed by the sources named at the head of the table
PRINTED = {
    "water": (0.998, 1.0),
    "oil": (0.908, 0.922),
    "honey": (1.40, 1.43),
    "glycerin": (1.255, 1.262),
}


@pytest.mark.parametrize("name", PRINTED)
def test_a_density_lies_where_its_sources_print_it(name):
    low, high = PRINTED[name]
    assert low <= liquids.density(name).to("g/mL").magnitude <= high


def test_loose_leaf_is_the_only_invented_one():
    assert set(liquids.densities()) - set(PRINTED) == {"loose dried leaf"}
    jug = (amount("8 fl oz") * liquids.density("loose dried leaf")).to("g")
    assert spoken(jug) == "28.4 g (1 oz)"


@pytest.mark.parametrize("name", ["mercury", "", "Honey", None, 3])
def test_another_name_is_refused_in_a_sentence(name):
    with pytest.raises(OutOfRange, match='It is one of "water"'):
        liquids.density(name)
