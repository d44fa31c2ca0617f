"""How amounts are said: the unit given first, both systems, and roundings that keep their promise."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from herbcalc.units import OutOfRange, Q, WrongUnit, amount, part, spoken
from herbcalc.units.saying import least, most, said, sides

SAID = [
    # number, unit, words
    (350, "mL", "350 mL (11 3/4 fl oz)"),
    (200, "mL", "200 mL (6 3/4 fl oz)"),
    (0, "mL", "0 mL (0 tsp)"),
    (5, "mL", "5 mL (1 tsp)"),
    (29, "mL", "29 mL (1 fl oz)"),
    (0.3, "mL", "0.3 mL"),
    (12.345, "mL", "12.3 mL (2 1/2 tsp)"),
    (1234.6, "mL", "1235 mL (41 3/4 fl oz)"),
    (2000, "mL", "2000 mL (2 1/8 quarts)"),
    (1893, "mL", "1893 mL (2 quarts)"),
    (1.5, "L", "1.5 L (50 3/4 fl oz)"),
    (12345.6, "mL", "12,346 mL (13 quarts)"),
    (2, "cup", "2 cups (473 mL)"),
    (1, "cup", "1 cup (237 mL)"),
    (0.5, "fl_oz", "1/2 fl oz (14.8 mL)"),
    (64, "fl_oz", "64 fl oz (1893 mL)"),
    (5, "gallon", "5 gallons (18.927 L)"),
    (100, "g", "100 g (3 1/2 oz)"),
    (567, "g", "567 g (1 lb 4 oz)"),
    (1000, "g", "1000 g (2 lb 3 1/4 oz)"),
    (453.59237, "g", "454 g (1 lb)"),
    (1.23456, "kg", "1.235 kg (2 lb 11 1/2 oz)"),
    (4, "oz", "4 oz (113 g)"),
    (2.25, "lb", "2 lb 4 oz (1021 g)"),
    (0.5, "lb", "8 oz (227 g)"),
    (0.3, "oz", "0.3 oz (8.5 g)"),
    (28, "g", "28 g (1 oz)"),
    (25, "g", "25 g (7/8 oz)"),
    (5, "g", "5 g"),
    (-1, "g", "-1 g (a little below 0 oz)"),
    (1, "mm", "1 mm"),
    (0.3, "inch", "0.3 in (0.762 cm)"),
    (2.3, "lb", "2 lb 4 3/4 oz (1043 g)"),
    (80, "degF", "80 °F (26.7 °C)"),
    (20, "degC", "20 °C (68 °F)"),
    (-6.7, "degC", "-6.7 °C (19.9 °F)"),
    (20, "delta_degF", "a span of 20 °F (11.1 °C)"),
    (5, "delta_degC", "a span of 5 °C (9 °F)"),
    (28.571, "percent_vol", "28.6 % vol"),
    (33.3, "percent_mass", "33.3 % by weight"),
    (80, "percent_wb", "80 % water"),
    (400, "percent_db", "400 % of the dry weight"),
    (80, "proof", "80 proof (40 % vol)"),
    (5, "mL/g", "1:5"),
    (5.6, "mL/g", "1:5.6"),
    (1, "hour", "1 hour"),
    (0.5, "hour", "0.5 hours (30 minutes)"),
    (672, "hour", "672 hours (28 days)"),
    (6, "week", "6 weeks"),
    (948.05, "kg/m**3", "948 kg/m³ (0.948 g/mL)"),
    (6.35, "mm", "6.35 mm (1/4 in)"),
    (2, "mL/min", "2 mL in a minute (0.406 tsp in a minute)"),
    (0.15, "g/mL", "0.15 g for each mL (0.156 oz for each fl oz)"),
    (1001, "", "1001"),
    (30, "mL/hour", "30 mL in an hour (1 fl oz in an hour)"),
    (0.8, "", "0.8"),
    (1 / 3, "", "0.333"),
    (0.1 + 0.2, "", "0.3"),
    (5, "percent", "5 %"),
    (1e20, "mL", "1 × 10^20 mL (1.06 × 10^17 quarts)"),
    (1e-7, "g", "1 × 10^-7 g"),
    (-5, "mL", "-5 mL (-1 tsp)"),
    (float("nan"), "g", "no number"),
    (float("inf"), "g", "more than can be counted"),
    (float("-inf"), "degC", "less than can be counted"),
]


@pytest.mark.parametrize(("number", "unit", "words"), SAID)
def test_said(number, unit, words):
    assert said(number, unit) == words


def test_one_side_alone():
    assert spoken(Q(350, "mL"), "metric") == "350 mL"
    assert spoken(Q(350, "mL"), "kitchen") == "11 3/4 fl oz"
    assert spoken(Q(2, "cup"), "metric") == "473 mL"
    assert spoken(Q(80, "degF"), "metric") == "26.7 °C"
    assert spoken(Q(40, "percent_vol"), "kitchen") == "40 % vol"


def test_lists_are_said_briefly():
    assert spoken(Q([1.0, 2.0, 3.0], "g"), "metric") == "a list of 3 amounts from 1 g to 3 g"
    assert spoken(Q(np.full(1000, 5.0), "mL")) == "a list of 5 mL (1 tsp)"
    assert spoken(Q([], "g")) == "an empty list"
    assert spoken(Q([1.0, np.nan], "g")) == "a list of 2 amounts, not all of them numbers"


def test_what_cannot_be_said():
    for thing in ("5 g", None, True, object(), Q(1j, "g")):
        with pytest.raises(WrongUnit):
            spoken(thing)
    with pytest.raises(WrongUnit, match="metric"):
        spoken(Q(1, "g"), "imperial")
    with pytest.raises(WrongUnit, match="near"):
        spoken(Q(1, "g"), round="off")


FINE = ["g", "kg", "oz", "lb", "mL", "L", "tsp", "tbsp", "fl_oz", "cup", "quart", "degC", "degF"]


def numbers_in(text):
    """The two sides of "350 mL (11 3/4 fl oz)", read back."""
    return [amount(side) for side in text.rstrip(")").split(" (")]


@given(st.floats(0.001, 20000), st.sampled_from(FINE))
def test_up_never_understates_and_down_never_overstates(number, unit):
    """On the metric side not at all; on the kitchen side by no more than its scale can show."""
    q = Q(number, unit)
    base = {"g": "g", "kg": "g", "oz": "g", "lb": "g", "degC": "degC", "degF": "degC"}.get(unit, "mL")
    true = q.to(base).magnitude
    hair = 1e-9 * max(abs(true), 1.0)
    for way, towards in (("up", 1.0), ("down", -1.0)):
        metric, kitchen = sides(q, way)
        assert towards * (amount(metric).to(base).magnitude - true) >= -hair
        unseen = 0.0 if base == "degC" else min(0.5, 0.02 * true)
        if kitchen:
            assert towards * (amount(kitchen).to(base).magnitude - true) >= -unseen - hair


@given(
    st.floats(0.001, 20000),
    st.sampled_from(["g", "mL", "fl_oz", "oz", "cup"]),
    st.sampled_from(["near", "up", "down"]),
)
def test_rounding_moves_no_amount_by_more_than_a_twentieth(number, unit, way):
    for side in numbers_in(spoken(Q(number, unit), round=way)):
        assert side.to(unit).magnitude == pytest.approx(number, rel=0.0501)


@pytest.mark.parametrize("way", ["near", "up", "down"])
def test_an_ounce_stays_an_ounce(way):
    assert spoken(Q(28, "g"), round=way) == "28 g (1 oz)"
    assert spoken(Q(28.35, "g"), "kitchen", round=way) == "1 oz"
    assert spoken(Q(30, "mL"), round=way) == "30 mL (1 fl oz)"
    assert spoken(Q(5, "mL"), round=way) == "5 mL (1 tsp)"
    assert "/" not in spoken(Q(2, "lb"), round=way)
    assert spoken(Q(2.25, "lb"), "kitchen", round=way) == "2 lb 4 oz"


@pytest.mark.parametrize("grams", [1, 2, 5, 10, 15, 20, 30])
def test_what_no_spoon_shows_is_said_in_grams_alone(grams):
    assert spoken(Q(grams, "g")) == spoken(Q(grams, "g"), "kitchen") == f"{grams} g"
    assert sides(Q(grams, "g")) == (f"{grams} g", "")


def test_the_side_that_stands_first():
    assert spoken(Q(350, "mL"), first="kitchen") == "11 3/4 fl oz (350 mL)"
    assert spoken(Q(2, "cup"), first="metric") == "473 mL (2 cups)"
    assert spoken(Q(5, "g"), first="kitchen") == "5 g"
    assert spoken(Q(68, "degF"), first="metric") == "20 °C (68 °F)"
    with pytest.raises(WrongUnit, match="given"):
        spoken(Q(1, "g"), first="oz")


def test_bounds_say_so():
    assert least(Q(714.3, "mL")) == "at least 715 mL (24 1/4 fl oz)"
    assert most(Q(201.7, "g")) == "at most 201 g (7 oz)"
    assert most(Q(28, "g"), first="kitchen") == "at most 1 oz (28 g)"
    assert least(Q(48.95, "percent_vol")) == "at least 49 % vol"


@given(
    st.floats(allow_nan=True, allow_infinity=True), st.sampled_from([*FINE, "percent_vol", "mL/g", "hour", "Pa", ""])
)
def test_anything_can_be_said(number, unit):
    text = said(number, unit)
    assert 0 < len(text) < 90
    assert not re.search(r"nan|inf|e\+|[^ ]{40}", text)


def test_part():
    assert part(Q(80, "percent_wb"), Q(100, "g")) == Q(80, "g")
    assert part(Q(40, "percent_vol"), Q(0.75, "L")).to("mL").magnitude == pytest.approx(300, rel=1e-12)
    assert part(Q(33.3, "percent_mass"), Q(1, "kg")).units == Q(1, "kg").units
    assert part(Q(80, "proof"), Q(10, "fl_oz")).magnitude == pytest.approx(4, rel=1e-12)
    assert part(0.25, Q(8, "oz")).magnitude == pytest.approx(2, rel=1e-12)
    assert part(Q(0.5, ""), Q(8, "cup")).magnitude == pytest.approx(4, rel=1e-12)
    assert part(Q(400, "percent_db"), Q(20, "g")).magnitude == pytest.approx(80, rel=1e-12)
    halves = part(Q([10.0, 20.0], "percent_wb"), Q(50, "g"))
    assert list(halves.magnitude) == pytest.approx([5, 10])


def test_part_of_something_else():
    for share, whole in [
        (Q(40, "percent_vol"), Q(100, "g")),
        (Q(80, "percent_wb"), Q(100, "mL")),
        (Q(33, "percent_mass"), Q(100, "mL")),
        (Q(80, "percent"), Q(100, "g")),
        (Q(80, "percent_wb"), 100),
        ("80 %", Q(100, "g")),
        (0.5, Q(20, "degC")),
        (0.5, None),
    ]:
        with pytest.raises(WrongUnit):
            part(share, whole)
    for share, whole in [
        (80, Q(100, "g")),
        (Q(101, "percent_wb"), Q(100, "g")),
        (Q(-1, "percent_vol"), Q(100, "mL")),
        (0.5, Q(-1, "g")),
        (0.5, Q(float("nan"), "g")),
        (Q([1.0, 2.0], "percent_wb"), Q([1.0, 2.0, 3.0], "g")),
    ]:
        with pytest.raises(OutOfRange):
            part(share, whole)
