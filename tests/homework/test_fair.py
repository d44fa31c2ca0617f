"""Fair to what a student types: no hint accuses, a right way counts however it is rounded or written."""

import csv
import random
import re
from dataclasses import replace
from pathlib import Path

import pytest

from herbcalc import homework
from herbcalc.homework import ask, item, items
from herbcalc.homework.reading import read
from herbcalc.homework.walk import Walk, three_figures, whole_ones
from herbcalc.units import Q, spoken
from herbcalc.units.constants import SLACK

REGISTER = Path(__file__).parent / "other_mistakes.csv"
SUMS = [at for at in items() if ask(*at).kind == "sum"]
NUMBERS = range(1, 100)
OFFER = re.compile(r"comes out if .+; did .+\?")
TRIES = 5000


def _figures(number):
    return f"{number:.1f}" if abs(number) >= 1000 else f"{float(f'{number:.4g}'):.10f}".rstrip("0").rstrip(".")


def _typed(number, unit):
    """As a student types it, four figures and the unit that is asked for."""
    text = _figures(number)
    return {"1:x": f"1:{text}", "$": f"${text}"}.get(unit, f"{text} {unit}")


# --- no hint accuses ---


def _register():
    with REGISTER.open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def _points_at_something(said):
    """A slip, or a plain accident: anything that says how the number came about."""
    return said.verdict == "slip" or "comes out if" in said.hint


def test_answers_from_mistakes_outside_the_catalogue_draw_no_claim(capsys):
    rows = _register()
    answers = offers = claims = 0
    for row in rows:
        at = tuple(int(part) for part in row["item"].split("."))
        for number in NUMBERS:
            one = item(*at, "fern7", number)
            value = eval(row["sum"], {"__builtins__": {}}, vars(one.drawn.f))
            said = one.check(_typed(value, row["unit"]))
            if said.verdict == "right":  # by chance it may be
                continue
            answers += 1
            if _points_at_something(said):
                offers += 1
                claims += OFFER.search(said.hint) is None
    with capsys.disabled():
        share = 100 * claims / answers
        print(f"\n{len(rows)} mistakes, {answers} answers: {offers} drew an offer, {claims} a claim ({share:.2f} %)")
    assert len(rows) >= 60
    assert offers > 0.01 * answers  # else nothing was tried
    assert offers < 0.10 * answers
    assert claims <= 0.005 * answers


def test_the_register_names_no_mistake_of_the_catalogue():
    for row in _register():
        one = item(*(int(part) for part in row["item"].split(".")), "fern7", 1)
        value = eval(row["sum"], {"__builtins__": {}}, vars(one.drawn.f))
        assert all(abs(value - slip) > 1e-9 * abs(slip) for _, slip in one.drawn.slips), row


@pytest.mark.parametrize("at", SUMS, ids=lambda at: f"{at[0]}.{at[1]}")
def test_ounces_are_spoken_of_only_where_ounces_were_typed(at):
    for number in range(1, 12):
        one = item(*at, "fern7", number)
        for way in (1.0432, 1 / 1.0432, 1.04, 0.96):
            said = one.check(_typed(one.drawn.low * way, one.unit))
            assert "fluid ounce change" not in said.hint, (one, way)


# --- right ways, rounded early; natural spellings ---


def _rounded_on_the_way(one, rounding):
    walk = Walk(rounding)
    one.ask.path(one.drawn.f, walk)
    return float(f"{walk.end:.3g}")


def _as_kitchen_words(one, number):
    said = spoken(Q(number, one.ask.want.unit), "kitchen")
    # Where a quarter of an ounce is no fair measure, the workbook's own words are not asked for.
    return said if number > 120 and re.match(r"\d", said) else _typed(number, one.unit)


def _fits_a_slip_too(one, words):
    """Whether a slip would be said in the same ounces: then g or mL are asked for, and that has a test of its own."""
    unit = one.ask.want.unit
    return any(spoken(Q(abs(slip), unit), "kitchen") == words for _, slip in one.drawn.slips)


def _right_spellings(one):
    """Ways in which somebody on the right road may write it."""
    want, middle = one.ask.want, (one.drawn.low + one.drawn.high) / 2
    plain = _typed(middle, one.unit)
    yield plain
    yield f"x = {plain}"
    yield f"it is about {plain}."
    yield f"({plain}) ✓"
    yield f"12 × 3 = 36, so {plain}!"
    if want.exact or want.within is not None:
        return
    yield _typed(_rounded_on_the_way(one, three_figures), one.unit)
    yield _typed(_rounded_on_the_way(one, whole_ones), one.unit)
    if want.unit in ("g", "mL") and not want.only:
        words = _as_kitchen_words(one, middle)
        if not _fits_a_slip_too(one, words):
            yield words
            yield f"{words} of it"
        yield f"{plain} in all, I think"
        yield f"{plain} ({words})"
        yield f"{plain} / {words}"
    if want.kinds[0] == "money":
        yield f"${middle:.2f}"
    if want.unit == "hour":
        minutes = round(middle * 60)
        yield f"{minutes // 60}:{minutes % 60:02d}"
        yield f"{minutes // 60} h {minutes % 60} min"


def _drawn_at_random(count):
    dice = random.Random(2026)
    for _ in range(count):
        yield dice, item(*dice.choice(SUMS), dice.choice(("fern7", "moss", "Alder Lane 2")), dice.choice(NUMBERS))


def test_five_thousand_right_answers_in_natural_spellings_are_accepted(capsys):
    tried = 0
    for _, one in _drawn_at_random(TRIES // 6):
        for text in _right_spellings(one):
            said = one.check(text)
            assert said.verdict == "right", (one, one.figures, text, said)
            assert said.read, (one, text)
            tried += 1
    with capsys.disabled():
        print(f"\n{tried} right answers in natural spellings, all accepted")
    assert tried >= TRIES


def test_five_thousand_answers_three_parts_in_a_hundred_off_are_not(capsys):
    tried = 0
    for dice, one in _drawn_at_random(2 * TRIES):
        want = one.ask.want
        if want.exact or 0.03 * one.drawn.low <= (want.within or 0) + SLACK:
            continue
        for number in (one.drawn.low * 0.97, one.drawn.high * 1.03):
            plain = _typed(number, one.unit)
            text = dice.choice((plain, f"x = {plain}", f"it is about {plain}.", f"{plain}, I think"))
            assert one.check(text).verdict != "right", (one, one.drawn, text)
            tried += 1
        if tried >= TRIES:
            break
    with capsys.disabled():
        print(f"\n{tried} answers 3 % off, none accepted")
    assert tried >= TRIES


@pytest.mark.parametrize("at", [(3, 2), (4, 1), (6, 7), (7, 3), (8, 2)])
def test_an_ounce_three_parts_in_a_hundred_off_is_not_right_for_lying_near_a_quarter(at):
    """6.73 fl oz is no 6 3/4 fl oz: what is typed more closely than to the quarter is held to what it says."""
    near = 0
    for number in NUMBERS:
        one = item(*at, "okapi", number)
        ounce, name = {"g": (28.349523125, "oz"), "mL": (29.5735295625, "fl oz")}[one.ask.want.unit]
        for end in (0.97 * one.drawn.low, 1.03 * one.drawn.high):
            typed = f"{end / ounce:.4g}"
            quarters = 4 * float(typed)
            if 5e-4 < abs(quarters - round(quarters)) < 0.01 * quarters:
                assert one.check(f"{typed} {name}").verdict != "right", (one, typed)
                near += 1
    assert near > 3


def test_what_is_too_little_to_weigh_in_ounces_has_no_way_in_ounces():
    """A tenth of a gram "to the quarter ounce" is nothing at all."""
    for number in NUMBERS:
        assert item(12, 2, "fern7", number).in_ounces == []
    assert item(11, 2, "fern7", 3).in_ounces


def test_ounces_to_the_tenth_count_too():
    tenths = 0
    for number in NUMBERS:
        one = item(7, 3, "okapi", number)
        ounces = one.drawn.low / 28.349523125
        tenth = round(ounces, 1)
        if 0.0101 < abs(tenth / ounces - 1) < 0.05 and ounces > 1:
            assert one.check(f"{tenth} oz").verdict in ("right", "other unit"), (one, tenth)
            tenths += 1
    assert tenths > 3


def _r(number):
    """To three figures, a half upwards."""
    return float(f"{number * (1 + 1e-12):.3g}")


OTHER_WAYS = {  # honest ways that are not the one the steps show, each of their steps to three figures
    (3, 6): (lambda f: 100 * _r(_r((f.d + 1) / (f.f - 1)) - _r(f.d / f.f)),),
    (4, 4): (
        lambda f: _r(_r(_r(f.T * f.t) - _r(f.T * f.b)) / (f.a - f.b)),
        lambda f: _r(_r(f.T / (f.a - f.b)) * (f.t - f.b)),
    ),
    (5, 6): (
        lambda f: 100 * _r(_r(_r(f.r * f.a) / f.t) - f.r),
        lambda f: 100 * _r(_r(_r(f.a / f.t) * f.r) - f.r),
        lambda f: 100 * _r(_r((f.a - f.t) / f.t) * f.r),
    ),
    (5, 7): (
        lambda f: _r(_r(_r(_r(f.t * (f.r + f.w)) - _r(f.a * f.r)) / (f.s - f.t)) * f.m),
        lambda f: _r(_r(_r(f.t * _r(f.m * (f.r + f.w))) - _r(f.a * f.m * f.r)) / (f.s - f.t)),
        lambda f: _r(_r(_r(f.t * _r(f.w * f.m)) - _r((f.a - f.t) * f.r * f.m)) / (f.s - f.t)),
    ),
    (11, 1): (lambda f: 100 * _r(_r(_r(f.w * f.m) - _r(f.m - f.d)) / f.d),),
    (12, 2): (lambda f: _r(_r(_r(f.a / f.r) / (f.a + f.b + f.c)) * _r(_r(f.dr * f.x) / f.n)),),
    (12, 6): (lambda f: _r(_r(f.V * _r(f.p / f.t)) - f.V),),
}


@pytest.mark.parametrize("at", OTHER_WAYS, ids=lambda at: f"{at[0]}.{at[1]}")
def test_other_honest_ways_rounded_at_each_step_count(at):
    for class_code in ("okapi", "wren hollow 41"):
        for number in NUMBERS:
            one = item(*at, class_code, number)
            for way in OTHER_WAYS[at]:
                typed = _typed(way(one.drawn.f), one.unit)
                assert one.check(typed).verdict == "right", (one, one.drawn, typed)


def test_money_counts_to_the_cent():
    for number in NUMBERS:
        one = item(9, 6, "fern7", number)
        to_the_cent = one.check(f"${one.drawn.low:.2f}")
        assert (to_the_cent.verdict, to_the_cent.hint) == ("right", ""), one
        assert one.check(f"${one.drawn.low + 0.02:.2f}").verdict != "right", one


def test_rounding_on_the_way_is_remarked_on_and_a_closer_answer_is_not():
    remarks = 0
    for number in NUMBERS:
        one = item(5, 4, "fern7", number)
        said = one.check(_typed(_rounded_on_the_way(one, whole_ones), "1:x"))
        assert said.verdict == "right"
        assert said.hint == "" or "to three figures" in said.hint
        remarks += "to three figures" in said.hint
        assert one.check(_typed(one.drawn.low, "1:x")).hint == ""
    assert remarks > 3


def test_the_quarter_ounce_counts_where_ounces_were_typed():
    quarters = 0
    for number in NUMBERS:
        one = item(7, 3, "fern7", number)
        ounces = one.drawn.low / 28.349523125
        quarter = round(4 * ounces) / 4
        if abs(quarter / ounces - 1) > 0.055 or _fits_a_slip_too(one, spoken(Q(one.drawn.low, "g"), "kitchen")):
            continue  # no fair measure: so far off it is another amount
        said = one.check(f"{quarter} oz")
        assert said.verdict == "right", (one, quarter, said)
        if abs(quarter / ounces - 1) > 0.015:
            assert "to the quarter ounce" in said.hint
            assert one.check(f"{quarter * 28.349523125:.4f} g").verdict != "right"
            quarters += 1
        assert one.check(f"{quarter + 0.5} oz").verdict != "right" or 0.5 / ounces < 0.01
    assert quarters > 3


def test_a_quarter_ounce_that_fits_two_roads_is_asked_for_in_grams():
    asked = 0
    for number in NUMBERS:
        one = item(7, 3, "fern7", number)
        ounces = one.drawn.low / 28.349523125
        quarter = round(4 * ounces) / 4
        if 0.015 < abs(quarter / ounces - 1) < 0.055 and one.check(f"{quarter} oz").verdict == "right":
            slip = (one.drawn.slips[0][0], 1.005 * quarter * 28.349523125)
            one.drawn = replace(one.drawn, slips=(slip, *one.drawn.slips[1:]))
            said = one.check(f"{quarter} oz")
            assert (said.verdict, said.slip) == ("other unit", None)
            assert "Type it in g, please" in said.hint
            asked += 1
    assert asked > 3


# --- what was understood ---


@pytest.mark.parametrize(
    ("at", "typed", "read_as"),
    [
        ((5, 2), "x = 28.6 %", "28.6 % vol"),
        ((5, 2), "28.6% ✓", "28.6 % vol"),
        ((5, 2), "it is 28.6 % vol!", "28.6 % vol"),
        ((5, 2), "0.4 × 2 / 2.8, so about 28.6 percent 👍", "28.6 % vol"),
        ((5, 2), "57.2 proof", "57.2 proof (28.6 % vol)"),
        ((5, 2), "28,6 Prozent", "28.6 % vol"),
        ((5, 2), "28,6 por ciento", "28.6 % vol"),
        ((3, 2), "425 g / 15 oz", "425 g"),
        ((3, 2), "425 g or 15 oz", "425 g"),
        ((3, 2), "425 g, 15 oz", "425 g"),
        ((3, 2), "425 g (15 oz).", "425 g"),
        ((3, 2), "15 oz (425 g)", "425 g"),
        ((3, 2), "425 g / 15 oz / 0.94 lb", "425 g"),
        ((3, 2), "425 g or so", "425 g"),
        ((3, 2), "425 g (step 3)", "425 g"),
        ((5, 4), "1:2.5 mL/g", "1:2.5"),
        ((3, 2), "425 (g)", "425 g"),
        ((3, 2), "[425 g]", "425 g"),
        ((3, 2), "0.425 kg", "0.425 kg (425 g)"),
        ((3, 2), "425 g of dried lemon balm", "425 g"),
        ((3, 2), "425 g dried", "425 g"),
        ((3, 2), "dried weight: 425 g?", "425 g"),
        ((3, 2), "425", "425, without a unit"),
        ((3, 2), "425 g, so 3 jars", "425 g"),
        ((3, 2), "500 g × 0.85 = 425 g", "425 g"),
        ((3, 2), "7 fl oz", "7 fl oz"),
        ((5, 1), "200 mL of water", "200 mL"),
        ((8, 3), "10:04", "10.0667 hours"),
        ((8, 3), "10 h 4 min", "10.0667 hours"),
        ((8, 4), "70.8 drops a minute", "70.8 drops a minute"),
        ((8, 4), "70.8 dpm", "70.8 drops a minute"),
        ((8, 4), "70.8", "70.8 drops a minute"),
        ((3, 8), "8 days", "8 days"),
        ((3, 8), "on the 8th", "8 days"),
        ((3, 6), "4.3 pts", "4.3 points"),
        ((3, 6), "4.3 percentage points", "4.3 points"),
        ((5, 4), "ratio 1:2.5", "1:2.5"),
        ((5, 4), "2.5:1", "2.5:1"),
        ((7, 4), "85 % of the extract", "85 %"),
        ((4, 7), "13 dollars", "$13.00"),
        ((3, 2), "banana", ""),
        ((3, 2), "425 g :)", "425 g"),
        ((3, 2), "a) 425 g", "425 g"),
        ((3, 2), "2) 425 g :-)", "425 g"),
        ((3, 2), "**425 g**", "425 g"),
        ((3, 2), "“425 g”", "425 g"),
        ((3, 2), ".5 kg", "0.5 kg (500 g)"),
        ((3, 2), "425 g give or take", "425 g"),
        ((3, 2), "a bit more than 425 g", "425 g"),
        ((3, 2), "425 g because 500 × 0.85 is 425", "425 g"),
        ((3, 2), "500 g of leaf, 0.85 of it. Result: 425 g", "425 g"),
        ((3, 2), "step 1: 12 g. step 2: 24 g. Answer: 425 g", "425 g"),
        ((3, 2), "0.85 × 500 = 100 g\n425 g", "425 g"),
        ((3, 2), "425 g; 15 oz", "425 g"),
        ((3, 2), "425 g and 15 oz", "425 g"),
        ((3, 2), "425 g - 15 oz", "425 g"),
        ((3, 2), "1 lb, 15 oz", "1.9375 lb (879 g)"),
        ((3, 2), "2 lb and 4 oz", "2.25 lb (1021 g)"),
        ((3, 2), "two hundred and twelve grams", "212 g"),
        ((3, 2), "425 g rounded to three figures", "425 g"),
        ((3, 8), "8days", "8 days"),
        ((3, 8), "8 days (rounded)", "8 days"),
        ((3, 8), "“8 days”", "8 days"),
        ((3, 8), "eight days", "8 days"),
        ((3, 8), "on the eighth", "8 days"),
        ((8, 3), "3h39", "3.65 hours"),
        ((8, 3), "3h 39m", "3.65 hours"),
        ((8, 3), "3 Std 39 Min", "3.65 hours"),
        ((8, 3), "3 Stunden und 39 Minuten", "3.65 hours"),
        ((8, 3), "3 horas y 39 minutos", "3.65 hours"),
        ((8, 4), "24.7 drops a minute I think", "24.7 drops a minute"),
        ((8, 4), "24.7drops/min", "24.7 drops a minute"),
        ((8, 4), "24.7dpm", "24.7 drops a minute"),
        ((8, 4), "24.7 d/min", "24.7 drops a minute"),
        ((8, 4), "24.7 drops in a minute", "24.7 drops a minute"),
        ((5, 4), "x = 2.5", "1:2.5"),
        ((5, 4), "x is about 2.5", "1:2.5"),
        ((5, 4), "1 zu 2,5", "1:2.5"),
        ((1, 6), "2.5 mL to 1 g of herb", "1:2.5"),
        ((1, 6), "2.5 ml for a gram", "1:2.5"),
        ((1, 6), "2,5 ml auf 1 Gramm", "1:2.5"),
        ((1, 4), "40% ALC./VOL.", "40 % vol"),
        ((5, 4), "2.5 to 1", "2.5 to 1"),
        ((9, 5), "1,15 ml pro g", "1.15 mL for each g"),
        ((3, 5), "28.3 C", "28.3 °C"),
        ((3, 9), "7.8C", "7.8 °C"),
        ((3, 6), "4.3 out of 100", "4.3 points"),
        ((7, 4), "85.5/100", "85.5 %"),
    ],
)
def test_what_was_understood_is_said(at, typed, read_as):
    assert item(*at, "fern7", 3).check(typed).read == read_as


@pytest.mark.parametrize(
    ("at", "typed", "read_as"),
    [
        ((3, 2), "222 Gramm", "222 g"),
        ((3, 2), "222 gramos de hierba", "222 g"),
        ((3, 2), "222 Gramm getrocknet", "222 g"),
        ((3, 2), "half a kilo", "0.5 kg (500 g)"),
        ((8, 3), "10,5 Stunden", "10.5 hours"),
        ((8, 3), "10,5 horas", "10.5 hours"),
        ((5, 1), "200 Milliliter Wasser", "200 mL"),
        ((3, 1), "78 por ciento de agua", "78 % water"),
        ((7, 4), "85 Prozent", "85 %"),
        ((3, 8), "8 Tage", "8 days"),
        ((3, 8), "8 días", "8 days"),
        ((8, 4), "70,8 Tropfen pro Minute", "70.8 drops a minute"),
        ((8, 4), "70,8 gotas por minuto", "70.8 drops a minute"),
    ],
)
def test_units_in_german_and_spanish_are_read(at, typed, read_as):
    assert item(*at, "fern7", 3).check(typed).read == read_as


def test_a_letter_is_said_back_too():
    one = item(5, 3, "fern7", 3)
    assert one.check(f"{one.right_letters}) because the plant brings water").read == one.right_letters
    assert one.check("z").read == ""


@pytest.mark.parametrize(
    "typed", ["222 g or 5 g", "222 g g", "not 222 g", "twice 222 g", "222 g less the tray", "222 + 0 g", "0 g 222"]
)
def test_what_says_more_than_an_amount_is_not_read_as_one(typed):
    assert read(typed, ask(3, 2).want).state in ("unread", "bare"), typed


def test_a_ratio_turned_round_is_told_so():
    one = item(5, 4, "fern7", 3)
    x = f"{one.drawn.low:.3g}"
    said = one.check(f"{x}:1")
    assert (said.verdict, f"1:{x}?" in said.hint) == ("other unit", True)
    assert one.check("77:1").verdict == "not yet"
    assert "turned round" in one.check("77:1").hint


def test_ounces_of_the_other_kind_get_the_sentence_that_names_both():
    one = item(4, 1, "fern7", 3)
    for typed in (f"{one.drawn.low / 29.5735:.2f} oz", "4 oz"):
        said = one.check(typed)
        assert "is a weight" in said.hint, said
        assert "fl oz" in said.hint
    assert one.check(f"{one.drawn.low / 29.5735:.2f} oz").verdict == "other unit"
    assert one.check("77 oz").verdict == "not yet"


# --- choices that cannot be learnt ---


@pytest.mark.parametrize(
    "at", [at for at in items() if ask(*at).answer is not None], ids=lambda at: f"{at[0]}.{at[1]}"
)
def test_no_letter_is_right_more_than_sixty_times_in_ninety_nine(at, classes):
    for class_code in classes:
        right = [item(*at, class_code, number).right_letters for number in NUMBERS]
        for letter in "abcdef":
            assert sum(letter in letters for letters in right) <= 60, (at, class_code, letter)


def test_no_place_among_five_quick_ones_has_a_letter_that_can_be_learnt(classes):
    for class_code in classes:
        right = [item(4, 8, class_code, number).right_letters for number in NUMBERS]
        for letters in zip(*right, strict=True):
            assert max(letters.count(letter) for letter in "abc") <= 60


TURNING = [(1, 8), (2, 4), (2, 7), (3, 12), (4, 6), (5, 3), (6, 5), (9, 1), (9, 2), (9, 3), (9, 4), (11, 6)]


@pytest.mark.parametrize("at", TURNING)
def test_what_is_right_turns_with_the_case(at):
    for class_code in ("fern7", "moss"):
        right = [
            item(*at, class_code, number).ask.answer(item(*at, class_code, number).drawn.f) for number in NUMBERS
        ]
        assert max(right.count(place) for place in set(right)) <= 60
        orders = {tuple(item(*at, class_code, number).choices) for number in NUMBERS}
        assert len(orders) > 2


@pytest.mark.parametrize("at", TURNING)
def test_every_choice_that_is_not_right_is_asked_about(at):
    for number in range(1, 40):
        one = item(*at, "fern7", number)
        for line in one.choices:
            said = one.check(line[0])
            if line[0] == one.right_letters:
                assert said.verdict == "right"
            else:
                assert said.verdict == "slip", (one, line)
                assert "?" in said.hint
                assert said.consequence
        assert one.worked(4)[-1].rstrip(".").endswith(one.right_letters)


# --- steps that teach ---


OPERATION = re.compile(r" [×÷+−] ")


@pytest.mark.parametrize("at", [at for at in items() if ask(*at).path is not None], ids=lambda at: f"{at[0]}.{at[1]}")
def test_a_line_is_one_operation_with_its_number(at):
    for number in (1, 17, 64):
        one = item(*at, "fern7", number)
        lines = one.worked(4)
        assert len(lines) >= 2
        for line in lines:
            if at == (3, 8) or "1/2 × 1/2" in line or "r × k ÷ (r + k)" in line:
                continue
            assert len(OPERATION.findall(line)) <= 1, line
            if OPERATION.search(line):
                assert " = " in line, line


@pytest.mark.parametrize("at", SUMS, ids=lambda at: f"{at[0]}.{at[1]}")
def test_the_way_ends_at_the_answer_and_the_third_tier_does_not_show_it(at):
    for number in range(1, 30):
        one = item(*at, "fern7", number)
        if one.ask.want.exact:
            continue
        walk = Walk()
        one.ask.path(one.drawn.f, walk)
        slack = 1e-6 * abs(one.drawn.low) if at != (4, 3) else 0.002 * one.drawn.low  # its densities have four places
        assert one.drawn.low - slack <= walk.end <= one.drawn.high + slack, (one, walk.end, one.drawn)
        result = one.worked(4)[-1].rpartition(" = ")[2]
        assert not any(line.endswith(f" = {result}") for line in one.worked(3)), (one, result)


SUM = re.compile(r"(\$?[\d.]+) ([×÷+−]) (\$?[\d.]+)(?:, which is [^,]+,)? = \$?([\d.]+)( %)?")
POWER = re.compile(r"0\.5\^([\d.]+) = ([\d.]+) %")
RESULTS = {"×": lambda a, b: a * b, "÷": lambda a, b: a / b, "+": lambda a, b: a + b, "−": lambda a, b: a - b}


def _shows(result, number):
    """Whether a number, rounded, is what stands there."""
    return abs(result - float(number)) <= 0.5 * 10 ** -len(number.partition(".")[2]) + 1e-9


@pytest.mark.parametrize("at", [at for at in items() if ask(*at).path is not None], ids=lambda at: f"{at[0]}.{at[1]}")
def test_whoever_presses_the_keys_of_a_line_gets_its_end(at):
    """Not "950 + 214 = 1165", whatever was carried on behind the line."""
    for number in range(1, 100, 2):
        for line in item(*at, "moss", number).worked(4):
            for a, sign, b, end, percent in SUM.findall(line):
                result = RESULTS[sign](float(a.strip("$")), float(b.strip("$")))
                assert _shows(result, end) or (percent and _shows(100 * result, end)), (number, line, result)
            for part, end in POWER.findall(line):
                assert _shows(100 * 0.5 ** float(part), end), (number, line)


def test_the_number_of_a_line_stands_in_the_next():
    """What a line ends with is what the lines after it go on with."""
    rooms = ((1, 3), (1, 6), (2, 2), (2, 3), (2, 5), (2, 6), (3, 10), (3, 11))
    constants = {1.0, 3.0, 60.0, 100.0, 28.3495, 29.5735}
    for at in ((7, 2), (5, 7), (9, 3), (4, 7), *rooms):
        for number in range(1, 30):
            lines = item(*at, "moss", number).worked(4)
            given = set(re.findall(r"[\d.]+", item(*at, "moss", number).prompt.replace(",", "")))
            known = {float(n.rstrip(".")) for n in given if n.strip(".")} | constants
            for line in lines:
                for a, _, b, end, percent in SUM.findall(line):
                    for part in (float(a.strip("$")), float(b.strip("$"))):
                        assert any(abs(part - n) < 1e-9 or abs(100 * part - n) < 1e-7 for n in known), (line, part)
                    known |= {float(end)} | ({float(end) / 100} if percent else set())
                known |= {float(count) for count in re.findall(r"(?:, so|is) (\d+) (?:plants|halvings)", line)}


def test_lines_to_look_through_make_their_ends_where_they_fit_and_where_they_slip():
    looked_at = 0
    for number in NUMBERS:
        for line in item(3, 7, "moss", number).choices:
            for a, b, end in re.findall(r"([\d.]+) g \([^)]*\) divided by ([\d.]+): ([\d.]+) g", line):
                assert _shows(float(a) / float(b), end), line
                looked_at += 1
    assert looked_at > 90


@pytest.mark.parametrize(
    "at",
    [at for at in items() if ask(*at).answer is not None and len(item(*at, "moss", 1).right_letters) == 1],
    ids=lambda at: f"{at[0]}.{at[1]}",
)
def test_neither_the_longest_line_nor_the_shortest_is_a_sign(at):
    for class_code in ("moss", "okapi"):
        longest = shortest = 0
        for number in NUMBERS:
            one = item(*at, class_code, number)
            lines = sorted(one.choices, key=len)
            longest += lines[-1][0] == one.right_letters
            shortest += lines[0][0] == one.right_letters
        assert max(longest, shortest) <= 60, (class_code, longest, shortest)


def test_in_brackets_too_sums_add_up():
    """ "500 + 200 = 700 mL (23 3/4 fl oz)": as many as the two were said to be, to the quarter."""
    looked_at = 0
    for number in range(1, 60):
        one = item(7, 1, "fern7", number)
        kept, out = (re.search(r"\(([\d /]+) fl oz\)", line) for line in one.worked(4))
        if not kept or not out:
            continue
        poured = _quarters(spoken(Q(one.drawn.f.V, "mL"), "kitchen").removesuffix(" fl oz"))
        assert _quarters(out[1]) == poured - _quarters(kept[1]), one.worked(4)
        looked_at += 1
    assert looked_at > 20


IN_BOTH = re.compile(r"([\d.]+) (?:g|mL) \((?:about )?([\d /]+) (oz|fl oz)\)")
PUT_TOGETHER = re.compile(r"([\d.]+) ([+−]) ([\d.]+) = [\d.]+ (?:g|mL) \(([\d /]+) (oz|fl oz)\)")


def test_whatever_two_lines_say_in_brackets_adds_up_in_a_third():
    looked_at = 0
    for at in items():
        for number in range(1, 100, 4):
            one = item(*at, "okapi", number)
            said = {}
            for text in (one.prompt, *one.worked(4)):
                for a, sign, b, end, unit in PUT_TOGETHER.findall(text):
                    first, second = said.get((a, unit)), said.get((b, unit))
                    if first is None or second is None:
                        continue  # said in lb, in tsp, or not at all
                    put = first + second if sign == "+" else first - second
                    assert _quarters(end) == put, (one, text, first, second)
                    looked_at += 1
                said.update({(n, unit): _quarters(words) for n, words, unit in IN_BOTH.findall(text)})
    assert looked_at > 200


def test_in_brackets_what_would_come_of_a_slip_adds_up_too():
    looked_at = 0
    for number in range(1, 60):
        one = item(8, 1, "fern7", number)
        said = one.check(one.slip_answers()["m63"]).consequence
        amounts = re.findall(r"\(([\d /]+) fl oz\)", said)
        if len(amounts) == 4 and "mL (" in said:
            whole, kept, out, _ = map(_quarters, amounts)
            assert whole - kept == out, said
            looked_at += 1
    assert looked_at > 20


def _quarters(text):
    """4 for "1", 7 for "1 3/4"."""
    whole, _, part = text.rpartition(" ") if "/" in text else (text, "", "0")
    numerator, _, denominator = part.partition("/")
    return 4 * int(whole or 0) + 4 * int(numerator) / int(denominator or 1)


# --- mixed practice ---


FIRST = homework.LESSONS[0]
AFTER = range(FIRST + 1, homework.LAST_LESSON + 1)


@pytest.mark.parametrize("lesson", AFTER)
def test_two_items_of_earlier_lessons_come_again(lesson):
    seen = set()
    earlier = [one for one in homework.LESSONS if one < lesson]
    for number in NUMBERS:
        two = homework.mixed(lesson, "fern7", number)
        assert len(two) == 2
        assert len({one.code for one in two}) == 2
        assert all(one.ask.lesson < lesson and one.kind == "sum" for one in two)
        if len(earlier) > 1:
            assert two[0].ask.lesson != two[1].ask.lesson
        for one in two:
            own = item(one.ask.lesson, one.ask.number, "fern7", number)
            assert one.go != own.go
            assert one.check(one.answers()[0]).verdict == "right"
            seen.add(one.code)
    assert len(seen) >= (6 if len(earlier) == 1 else 10)
    again = homework.mixed(lesson, "Fern 7", 3)
    assert [(one.code, one.figures) for one in again] == [
        (one.code, one.figures) for one in homework.mixed(lesson, "fern7", 3)
    ]


def test_there_is_no_mixed_practice_in_the_first_lesson():
    assert homework.mixed(FIRST, "fern7", 3) == []
    for lesson in (0, 16, "5", True, 5.0):
        with pytest.raises(homework.draws.OutOfRange, match="whole number"):
            homework.mixed(lesson, "fern7", 3)


def test_what_belongs_together_stands_together_on_a_page():
    three, four = homework.order(3), homework.order(4)
    assert sorted(three) == list(range(1, len(three) + 1))
    assert three.index(6) > three.index(8)
    assert three.index(9) == three.index(5) + 1
    assert four.index(3) == four.index(4) + 1
