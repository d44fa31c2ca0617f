"""The units against print.

Source: NIST Handbook 44 (2023 and other editions), Appendix C, General Tables of Units of Measurement, tables of
equivalents. Proof: 27 CFR 30.11. The figures were written down from memory of the printed tables; each follows
from 1 in = 2.54 cm, 1 lb = 0.453 592 37 kg and 1 gal = 231 cubic inches, which the last test works out once more.
"""

import pytest

from herbcalc.units import Q

PRINTED = [
    (1, "oz", 28.349523125, "g"),
    (1, "lb", 453.59237, "g"),
    (1, "tsp", 4.929, "mL"),
    (1, "tbsp", 14.787, "mL"),
    (1, "fl_oz", 29.5735295625, "mL"),
    (1, "cup", 236.5882365, "mL"),
    (1, "pint", 473.176473, "mL"),
    (1, "quart", 946.352946, "mL"),
    (1, "gallon", 3.785411784, "L"),
    (1, "inch", 25.4, "mm"),
    (80, "proof", 40, "percent_vol"),
    (1, "mL", 0.202884, "tsp"),
    (1, "mL", 0.033814, "fl_oz"),
    (1, "L", 1.05668821, "quart"),
    (1, "g", 0.03527396, "oz"),
    (1, "kg", 2.204623, "lb"),
]


@pytest.mark.parametrize(("number", "unit", "printed", "other"), PRINTED)
def test_as_printed(number, unit, printed, other):
    digits = len(f"{printed}".split(".")[1]) if isinstance(printed, float) else 9
    assert Q(number, unit).to(other).magnitude == pytest.approx(printed, abs=0.5 * 10**-digits, rel=1e-9)


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"),
    # Fixed points: -40 is the same on both scales; ice; 100 °F; water boiling at 1 atmosphere.
    [(-40, -40), (0, 32), (37.777777777777778, 100), (100, 212)],
)
def test_thermometers(celsius, fahrenheit):
    assert Q(celsius, "degC").to("degF").magnitude == pytest.approx(fahrenheit, abs=1e-9)
    assert Q(fahrenheit, "degF").to("degC").magnitude == pytest.approx(celsius, abs=1e-9)


def test_from_the_inch_and_the_pound():
    gallon = 231 * 2.54**3
    parts = {"gallon": 1, "quart": 4, "pint": 8, "cup": 16, "fl_oz": 128, "tbsp": 256, "tsp": 768}
    for unit, part in parts.items():
        assert Q(1, unit).to("mL").magnitude == pytest.approx(gallon / part, rel=1e-13)
    assert Q(16, "oz").to("lb").magnitude == pytest.approx(1, rel=1e-13)
