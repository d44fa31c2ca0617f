"""What a person types is read, or refused in a sentence that helps."""

import contextlib
import math
import os
import random
import re
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from herbcalc.units import OutOfRange, Q, WrongUnit, amount, spoken, ureg
from herbcalc.units.reading import turned_round
from herbcalc.units.spellings import SPELLINGS
from herbcalc.units.words import KIND_OF, KINDS, UNITS

READ = [
    # text, kind, number, unit
    ("1 1/2 cups", None, 1.5, "cup"),
    ("1-1/2 cups", None, 1.5, "cup"),
    ("1½ cups", None, 1.5, "cup"),
    ("½ oz", None, 0.5, "oz"),
    ("½oz", "weight", 0.5, "oz"),
    ("1⁄2 tsp", None, 0.5, "tsp"),
    ("11/2 cups", None, 5.5, "cup"),
    ("2 lb 4 oz", None, 2.25, "lb"),
    ("2lb4oz", None, 2.25, "lb"),
    ("2 lb, 4 oz", None, 2.25, "lb"),
    ("2 lb and 4 1/2 oz", None, 2 + 4.5 / 16, "lb"),
    ("1 cup 2 tbsp", None, 1.125, "cup"),
    ("1 cup + 2 tbsp", "volume", 1.125, "cup"),
    ("1 h 30 min", None, 1.5, "hour"),
    ("80 proof", None, 80, "proof"),
    ("80 proof", "strength", 40, "percent_vol"),
    ("40 % vol", None, 40, "percent_vol"),
    ("40% ABV", None, 40, "percent_vol"),
    ("40 percent by volume", None, 40, "percent_vol"),
    ("33 % by weight", "strength", 33, "percent_mass"),
    ("33 % (w/w)", None, 33, "percent_mass"),
    ("80 % water", None, 80, "percent_wb"),
    ("80 % wb", "moisture", 80, "percent_wb"),
    ("80 %", "moisture", 80, "percent_wb"),
    ("400 % of the dry weight", None, 400, "percent_db"),
    ("400% db", "moisture", 400, "percent_db"),
    ("40 %", "strength", 40, "percent_vol"),
    ("80 %", "share", 0.8, ""),
    ("1/3", "share", 1 / 3, ""),
    ("0.8", "share", 0.8, ""),
    ("5", "count", 5, ""),
    ("5 plants", "count", 5, ""),
    ("5 bottles of one herb", "count", 5, ""),
    ("5 bottles of rosehip", "count", 5, ""),
    ("80 leaves", "count", 80, ""),
    ("80 lemon balm leaves", "count", 80, ""),
    ("12 plants (lemon balm)", "count", 12, ""),
    ("5 jars!", "count", 5, ""),
    ("24 Blätter", "count", 24, ""),
    ("1 leaf.", "count", 1, ""),
    ("$5", "money", 5, ""),
    ("5", "money", 5, ""),
    ("5,50 €", "money", 5.5, ""),
    ("1,250.50 dollars", "money", 1250.5, ""),
    ("5 mL of menstruum for each g of herb", None, 5, "mL/g"),
    ("5 £", None, 5, ""),
    ("1 cup of water", "volume", 1, "cup"),
    ('"100 g"', None, 100, "g"),
    ("1/3 of a cup", "volume", 1 / 3, "cup"),
    ("2 teaspoonfuls", None, 2, "tsp"),
    ("1 tblsp", None, 1, "tbsp"),
    ("20° C", "temperature", 20, "degC"),
    ("68 ° F", "temperature", 68, "degF"),
    ("5 g\u200b", None, 5, "g"),
    ("-$5", "money", -5, ""),
    ("$-5", "money", -5, ""),
    ("50 cents", "money", 0.5, ""),
    ("-$5", "money", -5, ""),
    ("85 °F", None, 85, "degF"),
    ("85F", "temperature", 85, "degF"),
    ("20 degrees Celsius", None, 20, "degC"),
    ("20℃", None, 20, "degC"),
    ("−6.7 °C", "temperature", -6.7, "degC"),
    ("20 °F", "difference", 100 / 9, "delta_degC"),
    ("a span of 5 °C", "difference", 5, "delta_degC"),
    ("1:5", None, 5, "mL/g"),
    ("1 : 5", "ratio", 5, "mL/g"),
    ("1 to 5", "ratio", 5, "mL/g"),
    ("1:5 (w/v)", "ratio", 5, "mL/g"),
    ("2:1", "ratio", 0.5, "mL/g"),
    ("1 g : 5 mL", "ratio", 5, "mL/g"),
    ("1 part to 5 parts", "ratio", 5, "mL/g"),
    ("5 mL/g", None, 5, "mL/g"),
    ("5 ml per gram", "ratio", 5, "mL/g"),
    ("1 fl oz per oz", "ratio", 29.5735295625 / 28.349523125, "mL/g"),
    ("1,5 kg", None, 1.5, "kg"),
    ("1,000 mL", None, 1000, "mL"),
    ("10,000 mL", None, 10000, "mL"),
    ("0,125 kg", None, 0.125, "kg"),
    ("1234,567 g", None, 1234.567, "g"),
    ("1,25 kg", None, 1.25, "kg"),
    ("1.250 kg", None, 1.25, "kg"),
    ("1.250,5 g", None, 1250.5, "g"),
    ("1,250.5 g", None, 1250.5, "g"),
    ("1,000,000 g", None, 1e6, "g"),
    ("1 000 mL", None, 1000, "mL"),
    ("1\u202f000 mL", None, 1000, "mL"),
    (".5 L", None, 0.5, "L"),
    ("8 fl. oz.", None, 8, "fl_oz"),
    ("8 FL OZ", "volume", 8, "fl_oz"),
    ("8 fluid ounces", None, 8, "fl_oz"),
    ("750ml", None, 750, "mL"),
    ("750\u00a0ML", None, 750, "mL"),
    ("７５０ ｍｌ", None, 750, "mL"),
    ("70 cl", "volume", 700, "mL"),
    ("5 cm³", None, 5, "mL"),
    ("1e-3 kg", None, 0.001, "kg"),
    ("1.5 × 10^3 mL", None, 1500, "mL"),
    ("+5 g", None, 5, "g"),
    ("about 350 mL.", None, 350, "mL"),
    ("6 weeks", "time", 6, "week"),
    ("3 months", "time", 3, "month"),
    ("151 % vol", None, 151, "percent_vol"),
    ("-2 lb 4 oz", None, -2.25, "lb"),
    ("200 percent_vol", None, 200, "percent_vol"),
    # numbers in words
    ("half a pint", None, 0.5, "pint"),
    ("two hundred", "count", 200, ""),
    ("a hundred plants", "count", 100, ""),
    ("two hundred and twelve grams", None, 212, "g"),
    ("Two hundred twelve g", None, 212, "g"),
    ("twenty-eight point six percent", "strength", 28.6, "percent_vol"),
    ("twenty-two and a half grams", None, 22.5, "g"),
    ("one thousand, two hundred and five mL", None, 1205, "mL"),
    ("fourteen days", None, 14, "day"),
    ("three hours and fifty-four minutes", None, 3.9, "hour"),
    ("3 Stunden und 54 Minuten", None, 3.9, "hour"),
    ("3 horas y 54 minutos", None, 3.9, "hour"),
    ("1,5 mL pro g", None, 1.5, "mL/g"),
    ("1 zu 5", None, 5, "mL/g"),
    ("1 a 5", None, 5, "mL/g"),
    ("3 Std", None, 3, "hour"),
    ("Half a pint.", "volume", 0.5, "pint"),
    ("a half pint", None, 0.5, "pint"),
    ("half pint", None, 0.5, "pint"),
    ("half of a pint", None, 0.5, "pint"),
    ("1/2 a pint", None, 0.5, "pint"),
    ("a quarter pound", "weight", 0.25, "lb"),
    ("a quarter of a pound", None, 0.25, "lb"),
    ("quarter of an ounce", None, 0.25, "oz"),
    ("three quarters of a cup", None, 0.75, "cup"),
    ("three-quarters of a pint", None, 0.75, "pint"),
    ("3 quarters of a cup", None, 0.75, "cup"),
    ("two thirds of a cup", None, 2 / 3, "cup"),
    ("one third cup", None, 1 / 3, "cup"),
    ("one-eighth teaspoon", None, 0.125, "tsp"),
    ("2 and a half cups", None, 2.5, "cup"),
    ("two and a half cups", "volume", 2.5, "cup"),
    ("one and one half cups", None, 1.5, "cup"),
    ("1 and 3 quarters of a pint", None, 1.75, "pint"),
    ("Two and three quarters pounds", None, 2.75, "lb"),
    ("a cup and a half", None, 1.5, "cup"),
    ("an hour and a half", "time", 1.5, "hour"),
    ("a fl. oz. and a half", None, 1.5, "fl_oz"),
    ("a week", "time", 1, "week"),
    ("half an hour", None, 0.5, "hour"),
    ("about an hour", None, 1, "hour"),
    ("a cup", None, 1, "cup"),
    ("A cup and a tablespoon", None, 1 + 1 / 16, "cup"),
    ("five cups", None, 5, "cup"),
    ("twelve drachms of it", "count", 12, ""),
    ("two lb four oz", None, 2.25, "lb"),
    ("two pounds and four ounces", None, 2.25, "lb"),
    ("six weeks", "time", 6, "week"),
    ("two quarts", None, 2, "quart"),
    ("a quart", None, 1, "quart"),
    ("one to five", "ratio", 5, "mL/g"),
    ("one part to five parts", None, 5, "mL/g"),
    ("a third", "share", 1 / 3, ""),
    ("three quarters", "share", 0.75, ""),
    ("two and a half", "share", 2.5, ""),
    ("seven", "count", 7, ""),
    ("a dozen plants", "count", 12, ""),
    ("half a dozen", "count", 6, ""),
    ("two dozen", "count", 24, ""),
    ("five dollars", "money", 5, ""),
    # German and Spanish
    ("150 Gramm", None, 150, "g"),
    ("1,5 Kilogramm", "weight", 1.5, "kg"),
    ("2 Liter", None, 2, "L"),
    ("3 Unzen", "weight", 3, "oz"),
    ("36 Stunden", "time", 36, "hour"),
    ("14 Tage", "time", 14, "day"),
    ("6 Wochen", None, 6, "week"),
    ("40 Prozent", "strength", 40, "percent_vol"),
    ("40 Vol.-%", None, 40, "percent_vol"),
    ("80 % Wasser", None, 80, "percent_wb"),
    ("20 Grad Celsius", "temperature", 20, "degC"),
    ("150 gramos", None, 150, "g"),
    ("250 mililitros", "volume", 250, "mL"),
    ("2 litros", None, 2, "L"),
    ("4 onzas", "weight", 4, "oz"),
    ("8 onzas líquidas", "volume", 8, "fl_oz"),
    ("36 horas", None, 36, "hour"),
    ("14 dias", "time", 14, "day"),
    ("14 días", "time", 14, "day"),
    ("40 por ciento", "strength", 40, "percent_vol"),
    ("80 por ciento de agua", None, 80, "percent_wb"),
    ("80 por ciento", "share", 0.8, ""),
]


@pytest.mark.parametrize(("text", "kind", "number", "unit"), READ)
def test_read(text, kind, number, unit):
    got = amount(text, kind)
    assert got.units == ureg.Unit(unit)
    assert got.magnitude == pytest.approx(number, rel=1e-14)
    assert isinstance(got.magnitude, float)


REFUSED = [
    # text, kind, words that the sentence must hold: what was understood, what would work
    ("4 oz", "volume", ("a scale shows", "fl oz")),
    ("4 fl oz", "weight", ("a jug shows", '"4 oz"')),
    ("2 c", None, ("cup", "°C")),
    ("2 T", "volume", ("tablespoon", "tbsp")),
    ("2 t", None, ("teaspoon", "tsp")),
    ("350", None, ("without a unit", "350 g", "350 mL")),
    ("350", "weight", ("without a unit", "100 g")),
    ("5", "ratio", ("without a unit", "1:5")),
    ("80 %", None, ("% vol", "% by weight", "% water", "dry weight")),
    ("80 %", "weight", ("percentage", "100 g")),
    ("80 % water", "strength", ("a moisture", "40 % vol")),
    ("40 % w/v", None, ("mixes weight and volume",)),
    ("1 imperial pint", None, ("568 mL",)),
    ("2 UK fl oz", "volume", ("28.4 mL",)),
    ("5 gr", None, ("gram or a grain",)),
    ("5 °", "temperature", ("°C", "°F")),
    ("3 drops", None, ("no fixed size",)),
    ("5-10 g", None, ("two amounts",)),
    ("5 to 10 mL", None, ("range",)),
    ("5 g 5 g", None, ("two amounts",)),
    ("5 g 3 mL", None, ("do not add",)),
    ("20 °C 5 °C", None, ("do not add",)),
    ("2 lb 4", None, ("no unit",)),
    ("1.2.3 g", None, ("1250.5",)),
    ("1/0 g", None, ("over 0",)),
    ("1 3/2 cups", None, ("1 1/2",)),
    ("0:5", None, ("0 of herb",)),
    ("1:5:3", None, ("two numbers",)),
    ("10² g", None, ("not a unit",)),
    ("5 quux", None, ('"quux" is not a unit',)),
    ("5 mL of it per head", None, ("not a unit",)),
    ("umpteen cups", None, ("figures",)),
    ("half", "weight", ("without a unit",)),
    ("five hundreds", "count", ("5 plants",)),
    ("one two hundred g", None, ("two amounts",)),
    ("hundreds of plants", "count", ("figures",)),
    ("a few plants", "count", ("figures",)),
    ("5 pairs", "count", ("5 plants",)),
    ("half a dozen", None, ("without a unit",)),
    ("a handful", None, ("no fixed size",)),
    ("zwei Gramm", None, ("figures",)),
    ("1 Tasse", "volume", ("country to country", "cups")),
    ("2 Esslöffel", None, ("country to country",)),
    ("20 Grad", None, ("°C", "°F")),
    ("three quarters", "volume", ("without a unit",)),
    ("a cup and a drop", None, ("no fixed size",)),
    ("half and half", None, ("not a unit",)),
    ("a", None, ("figures",)),
    ("--5 g", None, ("figures",)),
    ("", "weight", ("no amount", "100 g")),
    ("5 g", "share", ("a weight", "1/3")),
    ("5 oz", "count", ("a weight", "5 plants")),
    ("5 cm", "count", ("5 plants",)),
    ("2 m", "count", ("5 plants",)),
    ("80 percent", "count", ("percentage", "5 plants")),
    ("80 percent of leaves", "count", ("percent", "5 plants")),
    ("3 ()", "count", ("5 plants",)),
    ("1:4", "share", ("a ratio", "0.8")),
    ("$5", "weight", ("money", "100 g")),
    ("5 g", "money", ("money",)),
    ("20 %", "difference", ("percentage", "5 °C")),
    (None, None, ("between quotes",)),
    (350, "volume", ("between quotes", "200 mL")),
    (b"5 g", None, ("between quotes",)),
    (Q(5, "g"), None, ("between quotes",)),
    ("5 g", "heaviness", ("heaviness", "weight")),
    ("5 g", 7, ("The kinds are",)),
]


@pytest.mark.parametrize(("text", "kind", "words"), REFUSED)
def test_refused_with_what_would_work(text, kind, words):
    with pytest.raises(WrongUnit) as refusal:
        amount(text, kind)
    for word in words:
        assert word in str(refusal.value)
    looks_right(str(refusal.value))


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("3:1", "1:3"),
        ("2.5:1", "1:2.5"),
        ("5 to 1", "1:5"),
        ("4:2", "1:2"),
        ("three to one", "1:3"),
        ("2 parts:1 part", "1:2"),
    ],
)
def test_a_ratio_the_other_way_round_is_read_and_told(text, means):
    assert amount(text, "ratio").magnitude == pytest.approx(1 / float(means[2:]))
    sentence = turned_round(text)
    assert f'type "{means}"' in sentence
    assert f"{means[2:]} mL to each gram" in sentence
    looks_right(sentence)


@pytest.mark.parametrize(
    "text", ["1:5", "1:1", "2:4", "5 mL/g", "5 g : 1 mL", "3:0", "3:1:1", "3", "", None, 3, "3:1" * 90]
)
def test_what_is_not_the_other_way_round(text):
    assert turned_round(text) == ""


def test_too_large_to_hold():
    for text in ("1e999 g", "1e99999999999 g", "9" * 90 + "e300 g", "1.7e308 kg 1.7e308 lb"):
        with pytest.raises(OutOfRange):
            amount(text)


def test_at_most_sixty_characters_come_back():
    text = "5 " + "abcdefghij" * 9
    with pytest.raises(WrongUnit) as refusal:
        amount(text)
    assert text[:50] in str(refusal.value)
    assert text[:61] not in str(refusal.value)


def test_every_spelling_of_every_unit():
    for spelling, (unit, factor) in SPELLINGS.items():
        if spelling in ("c", "t"):
            continue
        shown = spelling.upper() if spelling == "f" else spelling
        got = amount(f"2 {shown}")
        assert got.units == ureg.Unit(unit), spelling
        assert got.magnitude == 2 * factor
    typed = {unit for unit, row in UNITS.items() if row.kind in ("weight", "volume", "strength", "moisture", "time")}
    assert {unit for unit, _ in SPELLINGS.values()} == typed | {"degC", "degF", "K"}
    assert set(KIND_OF.values()) == set(KINDS)


@given(st.floats(-1e9, 1e9), st.sampled_from(["g", "mL", "oz", "% vol", "% water", "°F"]))
def test_the_shortest_spelling_of_a_number_is_read_exactly(number, unit):
    assert amount(f"{number!r} {unit}").magnitude == number


@given(st.integers(0, 10**6), st.sampled_from(["g", "mL", "percent_wb", "degF", "mL/g", "hour", "proof"]))
def test_what_is_said_can_be_typed(number, unit):
    text = spoken(Q(float(number) / 8, unit)).split(" (")[0]
    got = amount(text)
    assert got.to(unit).magnitude == pytest.approx(number / 8, rel=0.006, abs=0.006)


BANNED = re.compile(r"\b(error|invalid|wrong)\b", re.IGNORECASE)


def looks_right(sentence):
    assert not BANNED.search(sentence)
    assert 30 < len(sentence) < 500
    assert sentence[0].isupper() or sentence[0] == '"'
    assert sentence.endswith((".", "!"))
    sentence.encode("utf-8")  # can be written anywhere


PIECES = [
    *(
        "1",
        "0",
        "12",
        "1/2",
        "½",
        "1½",
        "3/4",
        "1,5",
        "1.250,5",
        "1,000",
        "0,125",
        ".5",
        "5.",
        "1e5",
        "1E-400",
        "9" * 40,
    ),
    *(
        " ",
        "  ",
        "\u00a0",
        "\t",
        "\n",
        "-",
        "−",
        "+",
        "±",
        ":",
        "∶",
        "/",
        "⁄",
        "%",
        "‰",
        "°",
        "º",
        "$",
        "€",
        "²",
        "₂",
    ),
    *(
        "oz",
        "fl oz",
        "fl. oz.",
        "lb",
        "g",
        "kg",
        "mL",
        "cups",
        "c",
        "T",
        "t",
        "tsp",
        "C",
        "F",
        "proof",
        "vol",
        "wb",
        "abv",
    ),
    *(
        "by weight",
        "per",
        "to",
        "and",
        "of",
        "about",
        "imperial",
        "drops",
        "weeks",
        "min",
        "plants",
        "one",
        "half",
        "a",
        "an",
        "and a half",
        "quarter of a",
        "thirds",
        "dozen",
        "twelve",
        "Gramm",
    ),
    *(
        "(",
        ")",
        "[",
        "__import__('os')",
        "{0}",
        "%s",
        "\\",
        "'",
        '"',
        "\x00",
        "\x1b[31m",
        "\ud800",
        "\u202e",
        "\ufdfa",
    ),
    *(
        "٣",
        "५",
        "𝟝",
        "①",
        "Ⅷ",
        "🌿",
        "e" * 50,
        "1" * 60,
        "((((",
        "1 " * 30,
        "1/" * 30,
        "1,000," * 12,
        "e+",
        "x10^",
        "**9",
    ),
]


def hostile(dice):
    """A text that nobody would want to read: pieces, letters from anywhere, now and then a great length."""
    way = dice.random()
    if way < 0.5:
        return "".join(dice.choice(PIECES) for _ in range(dice.randint(0, 9)))
    if way < 0.65:
        return "".join(
            chr(dice.choice((dice.randrange(128), dice.randrange(0x110000)))) for _ in range(dice.randint(0, 40))
        )
    if way < 0.999:
        text, _, _, _ = dice.choice(READ)
        at = dice.randrange(len(text) + 1)
        return text[:at] + dice.choice(PIECES) + text[at + dice.randint(0, 2) :]
    return dice.choice(PIECES) * dice.choice((100, 10_000, 1_000_000))


def test_hostile_texts():
    """20,000 of them; HERBCALC_FUZZ=200000 asks for more. None is slow, and every refusal helps."""
    dice = random.Random(2026)
    kinds = [None, *KINDS]
    slowest, slow_text, read = 0.0, "", 0
    for _ in range(int(os.environ.get("HERBCALC_FUZZ", "20000"))):
        text, kind = hostile(dice), dice.choice(kinds)
        start = time.perf_counter()
        try:
            got = amount(text, kind)
        except (WrongUnit, OutOfRange) as refusal:
            looks_right(str(refusal))
        else:
            read += 1
            assert isinstance(got.magnitude, float)
            assert math.isfinite(got.magnitude)
        took = time.perf_counter() - start
        if took > 0.002:  # a busy machine is not a slow reader: the better of two counts
            start = time.perf_counter()
            with contextlib.suppress(ValueError):
                amount(text, kind)
            took = min(took, time.perf_counter() - start)
        if took > slowest:
            slowest, slow_text = took, text[:60]
    print(f"slowest {slowest * 1000:.2f} ms for {slow_text!a}; {read} could be read")
    assert slowest < 0.05
