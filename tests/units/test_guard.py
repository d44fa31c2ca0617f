"""The guard before every sum: what it turns, what it refuses, what it costs."""

import re
import timeit
from decimal import Decimal
from fractions import Fraction
from importlib.resources import files

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from herbcalc.units import OutOfRange, Q, WrongUnit, ureg
from herbcalc.units.guard import (
    NUMBER,
    RATIO,
    RETAINED,
    SHARE,
    TEMPERATURE,
    TIME,
    VOLUME,
    WATER,
    WEIGHT,
    Guarded,
    Kind,
    give,
    guarded,
    take,
)

STRENGTH = Kind("a strength", "percent_vol", "40 % vol", 0.0, 100.0, also={"percent_mass": lambda n: n * 1.2})


@guarded("percent_vol", herb=WEIGHT, water=WATER, menstruum=VOLUME, strength=STRENGTH)
def final(herb, water, menstruum, strength):
    return menstruum * strength / (menstruum + herb * water / 100)


USUAL = (Q(100.0, "g"), Q(80.0, "percent_wb"), Q(200.0, "mL"), Q(40.0, "percent_vol"))


def test_a_sum_on_quantities():
    assert final(*USUAL).units == ureg.Unit("percent_vol")
    assert final(*USUAL).magnitude == pytest.approx(200 / 7, rel=1e-15)
    assert final.plain(100, 80, 200, 40) == pytest.approx(200 / 7, rel=1e-15)
    kitchen = final(Q(4, "oz"), Q(80, "percent_wb"), Q(8, "fl_oz"), Q(80, "proof"))
    assert kitchen.magnitude == pytest.approx(final.plain(4 * 28.349523125, 80, 8 * 29.5735295625, 40), rel=1e-14)


def test_a_single_result_is_a_plain_float():
    most = guarded("g", herb=WEIGHT)(lambda herb: np.maximum(herb, 1.0))
    assert type(most(Q(5, "g")).magnitude) is float


@pytest.mark.parametrize(
    "number",
    [5, 5.0, np.float32(5), np.float64(5), np.int16(5), np.array(5), Decimal(5), Fraction(5), np.ma.array(5)],
)
def test_every_sort_of_number(number):
    got = take("herb", WEIGHT, Q(number, "kg"))
    assert got == 5000.0
    assert type(got) is float


@pytest.mark.parametrize(
    "numbers",
    [
        [1, 2],
        np.array([1, 2], dtype=np.uint8),
        np.array([Fraction(1), Decimal(2)], dtype=object),
        np.ma.array([1.0, 2.0]),
        (1, 2),
    ],
)
def test_every_sort_of_list(numbers):
    got = take("herb", WEIGHT, Q(numbers, "kg"))
    assert got.dtype == float
    assert type(got) is np.ndarray
    assert got.tolist() == [1000.0, 2000.0]


def test_what_the_caller_holds_stays_as_it_was():
    mine = np.array([0.0, 95.0 + 1e-9, 50.0])
    got = take("water", WATER, Q(mine, "percent_wb"))
    assert got.tolist() == [0.0, 95.0, 50.0]
    assert mine[1] == 95.0 + 1e-9


FOREIGN = pint.UnitRegistry()

OTHER_KIND = [
    (WEIGHT, 5, "A number alone does not say of what"),
    (WEIGHT, 0, "bare number 0"),
    (WEIGHT, np.float64(3), "bare number 3"),
    (WEIGHT, Decimal(3), "bare number 3"),
    (WEIGHT, "100 g", 'the text "100 g" was given. Text is read with amount(...)'),
    (WEIGHT, None, "None"),
    (WEIGHT, True, "True"),
    (WEIGHT, [1, 2], "a list without a unit"),
    (WEIGHT, np.array([1, 2]), "a list without a unit"),
    (WEIGHT, [Q(1, "g")], "each with a unit of its own"),
    (WEIGHT, {}, "not an amount"),
    (WEIGHT, object(), "not an amount"),
    (WEIGHT, FOREIGN.Quantity(5, "gram"), "units from another program"),
    (WEIGHT, Q(200, "mL"), "200 mL (6 3/4 fl oz) was given. It needs a weight, such as 100 g"),
    (WEIGHT, Q([1, 2], "mL"), "a list of 2 amounts"),
    (WEIGHT, Q(1j, "g"), "numbers are needed"),
    (WEIGHT, Q(np.array([1, "2"], dtype=object), "g"), "numbers are needed"),
    (WEIGHT, Q(np.array([1, None], dtype=object), "g"), "numbers are needed"),
    (WEIGHT, Q(np.array([True, False]), "g"), "numbers are needed"),
    (WATER, Q(80, "percent"), "percent_vol (alcohol by volume)"),
    (WATER, Q(80, "percent_vol"), "80 % vol was given"),
    (TEMPERATURE, Q(5, "delta_degC"), "a span of 5 °C (9 °F) was given"),
    (TEMPERATURE, Q(5, "delta_degF"), "a span"),
    (Kind("a span", "delta_degC", "5 °C"), Q(5, "degC"), "5 °C (41 °F) was given"),
    (SHARE, Q(80, "percent"), "a percent alone does not say of what"),
    (SHARE, "0.8", "the text"),
    (SHARE, None, "None"),
    (SHARE, True, "numbers are needed"),
    (SHARE, Q(5, "mL"), "5 mL (1 tsp) was given"),
    (SHARE, Q(5, "percent_wb"), "5 % water was given"),
    (NUMBER, ["1"], "numbers are needed"),
    (NUMBER, {1}, "numbers are needed"),
]


@pytest.mark.parametrize(("kind", "value", "words"), OTHER_KIND)
def test_another_kind_is_refused(kind, value, words):
    with pytest.raises(WrongUnit) as refusal:
        take("herb", kind, value)
    assert words in str(refusal.value)
    assert kind.example in str(refusal.value)
    looks_right(str(refusal.value))


OUTSIDE = [
    (WEIGHT, Q(-1, "g"), "-1 g (a little below 0 oz) was given. A weight here is 0 or more"),
    (WEIGHT, Q(float("nan"), "g"), "there is no number there"),
    (WEIGHT, Q(float("inf"), "oz"), "it has no end"),
    (WEIGHT, Q(10**400, "g"), "larger than can be worked with"),
    (WEIGHT, Q(1e308, "kg"), "it has no end"),
    (WEIGHT, Q([1e308, 1.0], "kg"), "number 0 of the list"),
    (WEIGHT, Q([1.0, 2.0, -3.0], "g"), "(number 2 of the list, counted from 0)"),
    (WEIGHT, Q([[1.0, 2.0], [3.0, np.nan]], "g"), "(number (1, 1) of the list, counted from 0): there is no number"),
    (WEIGHT, Q(np.ma.array([1, 2], mask=[0, 1]), "g"), "(number 1 of the list, counted from 0): there is no number"),
    (WEIGHT.more_than_none, Q(0, "g"), "more than 0"),
    (WEIGHT.more_than_none, Q([1.0, 0.0], "g"), "number 1 of the list"),
    (
        WATER,
        Q(120, "percent_wb"),
        "120 % water was given. A moisture (water in the plant as weighed) here is from 0 to 95",
    ),
    (WATER, Q(95.0001, "percent_wb"), "a touch more than 95 % water"),
    (
        TEMPERATURE,
        Q(105, "degF"),
        "40.6 °C (105 °F) was given. A temperature here is from 0 °C (32 °F) to 40 °C (104 °F)",
    ),
    (TEMPERATURE, Q(-1, "K"), "-274 °C"),
    (RETAINED, Q(-2, "mL/g"), "-2 mL for each gram"),
    (SHARE, 80, "80 was given. A share here is from 0 to 1"),
    (SHARE.within(0, 1, below=True), 1, "0 or more and less than 1"),
    (NUMBER.within(1, 5, above=True), [2, 1], "more than 1 and at most 5"),
    (STRENGTH, Q(101, "percent_mass"), "101 % by weight"),
    (STRENGTH, Q(202, "proof"), "101 % vol"),
    (TIME, Q(-3, "day"), "-72 hours (-3 days)"),
]


@pytest.mark.parametrize(("kind", "value", "words"), OUTSIDE)
def test_outside_its_range_is_refused(kind, value, words):
    with pytest.raises(OutOfRange) as refusal:
        take("herb", kind, value)
    assert words in str(refusal.value)
    looks_right(str(refusal.value))


def looks_right(sentence):
    assert not re.search(r"\b(error|invalid|wrong)\b", sentence, re.IGNORECASE)
    assert len(sentence) < 500
    assert sentence.endswith(".")


def test_names_a_student_can_read():
    with pytest.raises(WrongUnit, match=r"^drops per minute: "):
        take("drops_per_minute", NUMBER, None)
    with pytest.raises(WrongUnit, match=r"^what is wanted in the end \(to\): "):
        take("to", STRENGTH, 40)


@given(st.floats(0, 95), st.floats(-1e-9, 1e-9))
def test_rounding_at_the_ends_is_forgiven(number, nudge):
    assert take("water", WATER, Q(0.0 + min(nudge, 0), "percent_wb")) == 0.0
    assert take("water", WATER, Q(95.0 + max(nudge, 0), "percent_wb")) == 95.0
    assert take("water", WATER, Q(number, "percent_wb")) == number


def test_more_than_rounding_is_not():
    for bad in (95 * (1 + 2e-9), -2e-9):
        for value in (Q(bad, "percent_wb"), Q([50.0, bad], "percent_wb")):
            with pytest.raises(OutOfRange):
                take("water", WATER, value)


@given(st.lists(st.floats(-1, 101), min_size=1, max_size=8))
def test_lists_and_single_amounts_agree(numbers):
    def one(n):
        try:
            return take("water", WATER, Q(n, "percent_wb"))
        except OutOfRange:
            return None

    singly = [one(n) for n in numbers]
    if None in singly:
        with pytest.raises(OutOfRange, match=rf"number {singly.index(None)} of the list"):
            take("water", WATER, Q(numbers, "percent_wb"))
    else:
        assert take("water", WATER, Q(numbers, "percent_wb")).tolist() == singly


def test_thermometers():
    assert take("t", TEMPERATURE, Q(32, "degF")) == 0.0
    assert take("t", TEMPERATURE, Q(104, "degF")) == 40.0
    assert take("t", TEMPERATURE, Q(293.15, "K")) == pytest.approx(20.0, abs=1e-9)
    assert take("t", TEMPERATURE, Q([32.0, 104.0], "degF")).tolist() == [0.0, 40.0]
    assert take("span", Kind("a span", "delta_degC", "5 °C"), Q(9, "delta_degF")) == pytest.approx(5.0, rel=1e-12)


def test_lists_are_matched_one_by_one():
    got = final(Q([100.0, 200.0], "g"), Q([[80.0], [10.0]], "percent_wb"), Q(200, "mL"), Q(40, "percent_vol"))
    assert got.shape == (2, 2)
    with pytest.raises(OutOfRange, match="herb has 2, water has 3"):
        final(Q([1.0, 2.0], "g"), Q([1.0, 2.0, 3.0], "percent_wb"), Q(200, "mL"), Q(40, "percent_vol"))

    @guarded("mL", herb=WEIGHT, portions=VOLUME.listed)
    def pour(herb, portions):
        return herb + portions.sum()

    assert pour(Q([1.0, 2.0], "g"), Q([1.0, 2.0, 3.0], "mL")).magnitude.tolist() == [7.0, 8.0]


def test_empty_lists_pass():
    assert take("herb", WEIGHT, Q([], "oz")).shape == (0,)


WARM = Q(68, "degF")


@guarded("g", herb=WEIGHT, at=TEMPERATURE, portion=WEIGHT, share=SHARE)
def sample(herb, at=WARM, *, portion=None, share=0.5, note="plain words pass"):
    assert at == pytest.approx(20)
    return herb * share + (portion or 0) + 0 * len(note)


def test_defaults_and_names():
    assert sample(Q(10, "g")) == Q(5.0, "g")
    assert sample(herb=Q(10, "g"), share=1) == Q(10.0, "g")
    assert sample(Q(10, "g"), portion=Q(1, "kg"), note="") == Q(1005.0, "g")
    assert sample(Q(10, "g"), portion=None) == Q(5.0, "g")
    for args, named in [
        ((), {}),
        ((Q(1, "g"),), {"herb": Q(1, "g")}),
        ((Q(1, "g"),) * 4, {}),
        ((Q(1, "g"),), {"x": 1}),
    ]:
        with pytest.raises(TypeError):  # Python's own sentence: the call does not fit the sum
            sample(*args, **named)
    with pytest.raises(WrongUnit):
        sample(Q(10, "g"), None)
    with pytest.raises(TypeError, match="no argument"):
        guarded("g", herbs=WEIGHT)(lambda herb: herb)


def test_a_result_without_unit_is_handed_on():
    assert guarded(herb=WEIGHT)(lambda herb: ("as", "it", "is", herb))(Q(1, "g")) == ("as", "it", "is", 1.0)
    assert give(5.0, "mL") == Q(5.0, "mL")
    assert final.kinds["herb"] is WEIGHT
    assert final.returns == "percent_vol"


def test_examples_lie_in_their_range():
    assert NUMBER.within(1, 100).example == "1"
    assert NUMBER.within(0, 0.5).example == "0.5"
    assert NUMBER.within(1, above=True).example == "2"
    assert NUMBER.within(0, 0.5, below=True).example == "0.25"
    assert RATIO.within(0, 1).example == "1:1"
    assert WEIGHT.within(50).example == WEIGHT.example


def test_ranges_in_words():
    assert WEIGHT.range_said() == "0 or more"
    assert WATER.range_said() == "from 0 to 95 % water"
    assert TEMPERATURE.range_said() == "from 0 °C (32 °F) to 40 °C (104 °F)"
    assert WEIGHT.more_than_none.range_said() == "more than 0"
    assert NUMBER.range_said() == "any size"
    assert NUMBER.within(-float("inf"), 5).range_said() == "5 at most"
    assert NUMBER.within(-float("inf"), 5, below=True).range_said() == "less than 5"


def test_the_guard_is_cheap():
    """A call with units costs less than ten bare float sums and 40 µs; the best of several counts."""
    given_ = (Q(4.0, "oz"), Q(80, "percent_wb"), Q(8.0, "fl_oz"), Q(80.0, "proof"))
    bare = min(timeit.repeat(lambda: final.plain(113.4, 80.0, 236.6, 40.0), number=2000, repeat=9)) / 2000
    for values in (USUAL, given_):
        guarded = min(timeit.repeat(lambda values=values: final(*values), number=500, repeat=9)) / 500
        assert guarded < 10 * bare + 40e-6


def test_the_guard_is_typed():
    """What `mypy` reads off a guarded sum is what is there."""
    assert final.returns == "percent_vol"
    assert set(final.kinds) == {"herb", "water", "menstruum", "strength"}
    assert final.__name__ == "final"
    for member in ("plain", "kinds", "returns"):
        assert member in Guarded.__annotations__, member
        assert hasattr(final, member), member
    assert files("herbcalc").joinpath("py.typed").is_file()
