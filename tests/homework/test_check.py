"""What is said back: verdicts, units, tiers."""

import re

import pytest

from herbcalc.homework import item
from herbcalc.homework.blueprint import Want
from herbcalc.homework.reading import read
from herbcalc.units import Q

NUMBERS = range(1, 12)


def _value(one, name):
    return float(one.figures[name].magnitude)


def test_a_bare_number_is_asked_for_its_unit():
    one = item(3, 2, "fern7", 3)
    for typed in ("300", "1/2", "1,5", "1 1/2", "½", "-7", 300, 2.5):
        assert one.check(typed).verdict == "say the unit", typed


def test_a_bare_percent_counts_where_the_kind_is_named_and_reminds():
    one = item(5, 2, "fern7", 3)
    said = one.check(f"{one.drawn.low:.2f} %")
    assert said.verdict == "right"
    assert "% vol" in said.hint
    assert one.check(f"{one.drawn.low:.2f} % vol").hint == ""


def test_a_share_reads_its_percent_however_it_is_called():
    one = item(7, 4, "fern7", 3)
    share = one.drawn.low
    for typed in (f"{share:.2f} %", f"{share:.2f} % by volume", f"{share:.2f} % vol", f"{share:.2f} % by weight"):
        assert one.check(typed).verdict == "right", typed
    assert one.check(f"{share / 100:.4f}").verdict == "right"
    assert one.check(f"{share:.2f}").verdict == "say the unit"


@pytest.mark.parametrize(
    ("at", "units"),
    [((3, 2), ("mL", "% vol")), ((4, 1), ("g", "oz")), ((5, 2), ("g", "% water")), ((5, 4), ("mL", "g"))],
)
def test_the_right_number_of_another_kind(at, units):
    one = item(*at, "fern7", 3)
    for unit in units:
        number = one.drawn.low / 29.5735 if unit == "oz" else one.drawn.low
        said = one.check(f"{number:.3f} {unit}")
        assert said.verdict == "other unit", (unit, said)


@pytest.mark.parametrize(
    "scale", ["°F", "° F", "F", "ºF", "degrees F", "deg. F", "degF", "Fahrenheit", "Ｆ", "\u2109"]
)
def test_a_width_in_the_old_scale_is_an_echo_however_it_is_spelt(scale):
    one = item(3, 9, "moss", 17)
    width = one.figures["b"].magnitude - one.figures["a"].magnitude
    assert one.check(f"{width:g} {scale}").verdict == "other unit"
    assert one.check(f"a difference of {one.drawn.low:.2f} °C").verdict == "right"


@pytest.mark.parametrize(
    ("at", "typed"),
    [
        ((3, 1), "{:.1f} % by weight"),
        ((3, 1), "{:.1f} % of its weight"),
        ((3, 2), "{:.1f} g (about 1 lb)"),
        ((3, 6), "{:.2f} percentage points"),
        ((3, 8), "on day {:.0f}."),
        ((3, 8), "the {:.0f}th"),
        ((5, 4), "at least 1:{:.2f}"),
        ((7, 4), "{:.1f} % of the extract"),
        ((9, 6), "${:.3f} for each g"),
        ((10, 4), "{:.2f} g in every 100 mL"),
        ((10, 4), "{:.2f} % w/v"),
        ((11, 5), "{:.0f} tins of 25 mL"),
        ((12, 2), "{:.4f} g a day"),
        ((12, 2), "{:.4f} g/day"),
        ((12, 3), "{:.1f} drops = 1 mL"),
        ((12, 3), "{:.1f} drops per millilitre"),
        ((12, 3), "190.7 / 15 mL = {:.1f} drops make 1 mL"),
        ((12, 5), "{:.3f} g of alcohol each time"),
        ((13, 1), "${:.2f} per 100 mL"),
        ((13, 1), "${:.2f} for 100 mL of alcohol"),
        ((13, 2), "${:.2f} per full bottle"),
        ((13, 4), "{:.0f} bottles of 375 mL"),
    ],
)
def test_what_a_person_may_write_around_the_number(at, typed):
    one = item(*at, "moss", 17)
    assert one.check(typed.format(one.drawn.low)).verdict == "right"


def test_points_of_moisture_need_no_label():
    one = item(3, 6, "moss", 17)
    assert one.check(f"{one.drawn.low:.2f} %").hint == ""


def test_a_bare_share_of_a_percentage_is_said_back_as_one():
    one = item(3, 1, "moss", 17)
    said = one.check(f"{one.drawn.low / 100:.3f}")
    assert said.verdict == "say the unit"
    assert f"as {one.drawn.low:.1f} % water" in said.hint or f"as {one.drawn.low:.0f} % water" in said.hint


def test_plain_accidents_are_known_over_the_whole_band():
    one = item(5, 7, "moss", 17)
    assert one.drawn.high > 1.02 * one.drawn.low
    for right in (one.drawn.low, one.drawn.high):
        assert "decimal point" in one.check(f"{10 * right:.2f} mL").hint
        assert "twice" in one.check(f"{2 * right:.2f} mL").hint


def test_a_letter_may_bring_its_reason_or_its_mended_figure():
    one = item(3, 7, "moss", 17)
    letter = one.right_letters
    for typed in (f"{letter} 178 g", f"{letter}, 178 g", f"it is {letter}", f"{letter}) because solids stay"):
        assert one.check(typed).verdict == "right", typed
    five = item(4, 8, "moss", 17)
    assert five.check(" ".join(f"{n}. {x}" for n, x in enumerate(five.right_letters, 1))).verdict == "right"


def test_another_number_of_another_kind_is_not_yet():
    assert item(3, 2, "fern7", 3).check("7 mL").verdict == "not yet"


UNREADABLE = ("", "   ", "banana", "a few grams", "12 furlongs", "g 200", "\x00", "x" * 501, None, [], 10**400)


@pytest.mark.parametrize("typed", UNREADABLE)
def test_what_cannot_be_read_is_unread_with_a_sentence(typed):
    said = item(3, 2, "fern7", 3).check(typed)
    assert said.verdict == "unread"
    assert said.hint.endswith(".")


def test_a_message_quotes_sixty_characters_at_most():
    for at in ((3, 2), (5, 3), (4, 8)):
        said = item(*at, "fern7", 3).check("zebra" * 80)
        assert "zebra" * 13 not in said.hint


def test_amounts_handed_over_as_code_are_read():
    one = item(3, 2, "fern7", 3)
    assert one.check(Q(one.drawn.high, "g")).verdict == "right"
    assert one.check(Q(one.drawn.high / 1000, "kg")).verdict == "right"
    assert one.check(Q(one.drawn.high, "mL")).verdict == "other unit"
    assert one.check(Q([1.0, 2.0], "g")).verdict == "unread"


@pytest.mark.parametrize("number", NUMBERS)
def test_an_echo_in_the_old_unit_is_named_as_such(number):
    one = item(3, 5, "fern7", number)
    assert "same amount in the old unit" in one.check(f"{_value(one, 'a')} °F").hint
    assert one.check(f"{_value(one, 'a')} °F").verdict == "other unit"
    one = item(3, 9, "fern7", number)
    width = _value(one, "b") - _value(one, "a")
    assert "same amount in the old unit" in one.check(f"{width} °F").hint
    one = item(6, 3, "fern7", number)
    assert "same amount in the old unit" in one.check(f"{_value(one, 'oz')} oz").hint
    assert one.check(f"{one.drawn.low / 29.5735:.3f} fl oz").verdict == "other unit"
    assert one.check(f"{one.drawn.low / 1000:.5f} L").verdict == "right"


@pytest.mark.parametrize("number", NUMBERS)
def test_the_rough_way_with_the_last_moisture_counts_with_a_remark(number):
    one = item(3, 2, "fern7", number)
    m, w0, w1 = _value(one, "m"), _value(one, "w0") / 100, _value(one, "w1") / 100
    said = one.check(f"{m * (1 - w0) * (1 + w1):.1f} g")
    assert (said.verdict, "Near enough" in said.hint) == ("right", True)
    assert one.check(f"{m * (1 - w0) / (1 - w1):.1f} g").hint == ""
    one = item(3, 3, "fern7", number)
    dried, w0, w1 = _value(one, "D"), _value(one, "w0") / 100, _value(one, "w1") / 100
    said = one.check(f"{dried / ((1 - w0) * (1 + w1)):.1f} g")
    assert (said.verdict, "Near enough" in said.hint) == ("right", True)


@pytest.mark.parametrize("number", NUMBERS)
def test_the_rough_way_counts_to_three_figures_and_no_further(number):
    one = item(3, 2, "fern7", number)
    m, w0, w1 = _value(one, "m"), _value(one, "w0") / 100, _value(one, "w1") / 100
    rough = m * (1 - w0) * (1 + w1)
    assert one.check(f"{rough * 0.996:.3f} g").verdict == "right"
    for off in (0.98, 0.965):
        assert rough * off < one.drawn.low * 0.99
        assert one.check(f"{rough * off:.3f} g").verdict == "not yet", off


@pytest.mark.parametrize("at", [(3, 2), (4, 1), (5, 2), (7, 1), (8, 3)])
def test_a_slip_is_known_within_one_part_in_a_hundred_and_no_further(at):
    for number in NUMBERS:
        one = item(*at, "fern7", number)
        for name, slip in one.drawn.slips:
            near, beyond = (f"{slip * way:.6f} {one.unit}" for way in (1.009, 1.015))
            assert one.check(near).slip == name, (one, near)
            assert one.check(beyond).slip != name, (one, beyond)


def test_only_the_amount_that_was_given_is_an_echo_of_it():
    one = item(6, 3, "fern7", 3)
    ounces = _value(one, "oz")
    assert one.check(f"{ounces} oz").verdict == "other unit"
    for other in (0.5 * ounces, 0.9 * ounces, 1.1 * ounces, 3 * ounces):
        said = one.check(f"{other} oz")
        assert (said.verdict, "old unit" in said.hint) == ("not yet", False), other


def test_the_band_runs_from_kitchen_rule_to_measured_and_one_part_in_a_hundred_beyond():
    one = item(5, 7, "fern7", 3)
    low, high = one.drawn.low, one.drawn.high
    assert low < high
    for number, verdict in (
        (low * 0.991, "right"),
        ((low + high) / 2, "right"),
        (high * 1.009, "right"),
        (low * 0.985, "not yet"),
        (high * 1.015, "not yet"),
    ):
        assert one.check(f"{number:.5f} mL").verdict == verdict


def test_temperatures_have_three_tenths_of_a_degree():
    one = item(3, 5, "fern7", 3)
    assert one.check(f"{one.drawn.low + 0.29:.4f} °C").verdict == "right"
    assert one.check(f"{one.drawn.low + 0.35:.4f} °C").verdict == "not yet"


@pytest.mark.parametrize(("factor", "word"), [(10, "decimal"), (0.001, "decimal"), (2, "twice"), (0.5, "half")])
def test_plain_accidents_are_asked_about_in_softer_words(factor, word):
    one = item(7, 3, "fern7", 3)
    said = one.check(f"{one.drawn.low * factor:.6f} g")
    assert (said.verdict, said.slip) == ("not yet", None)
    assert word in said.hint
    assert re.match(r"That number comes out if .+; did .+\?$", said.hint)


def test_swapped_ounces_are_asked_about_in_softer_words():
    one = item(7, 3, "fern7", 3)
    swapped = one.drawn.low * 1.0432
    assert "ounce" in one.check(f"{swapped / 28.3495:.3f} oz").hint
    assert "ounce" not in one.check(f"{swapped:.4f} g").hint


def test_more_help_by_tiers():
    one = item(5, 2, "fern7", 3)
    slip = one.slip_answers()["m33"]
    hints = [one.check(slip, tier).hint for tier in range(5)]
    assert "?" in hints[0]
    assert "water" not in hints[0]
    assert "____" in hints[2]
    assert hints[1] in hints[2]
    assert hints[1] in hints[3]
    assert len(hints[3]) < len(hints[4])
    assert one.worked(0) == one.worked(1) == []
    assert one.worked(3) == one.worked(4)[:-1]
    assert not any("⟦" in line or "⟧" in line for tier in range(5) for line in one.worked(tier))


def test_choices_by_letter_or_words():
    one = item(5, 3, "fern7", 3)
    right = one.right_letters
    assert one.check(right.upper() + ".").verdict == "right"
    assert one.check(f"({right})").verdict == "right"
    assert one.check(next(line for line in one.choices if line.startswith(right))).verdict == "right"
    words = {line[0]: line[3:] for line in one.choices}
    assert one.check(words[right]).verdict == "right"
    assert one.check(" ".join(words[right].split()[:5])).verdict == "right"
    assert one.check("It is").verdict == "unread"  # two of them begin so
    assert one.check("z").verdict == "unread"
    assert one.check("a b").verdict == "unread"


def test_five_letters_for_the_five_quick_ones():
    one = item(4, 8, "fern7", 3)
    right = one.right_letters
    assert len(right) == len(one.quick) == 5
    assert one.check(" ".join(right)).verdict == "right"
    changed = ("b" if right[0] != "b" else "a") + right[1:]
    said = one.check(changed)
    assert said.verdict == "not yet"
    assert "4 of 5" in said.hint
    assert one.check("abab").verdict == "unread"


def test_three_faults_in_any_order():
    one = item(8, 8, "fern7", 3)
    right = one.right_letters
    assert one.check(" ".join(reversed(right))).verdict == "right"
    other = next(letter for letter in "abcdef" if letter not in right)
    assert "Two of yours are among those asked for." in one.check(right[:2] + other).hint
    assert one.check(right[0] * 3).verdict == "unread"


@pytest.mark.parametrize("at", [(3, 7), (6, 6)])
def test_find_the_slip_by_its_line(at):
    for number in NUMBERS:
        one = item(*at, "fern7", number)
        verdicts = {letter: one.check(letter).verdict for letter in "abcd"}
        assert verdicts.pop(one.right_letters) == "right"
        assert set(verdicts.values()) == {"not yet"}


def test_a_sentence_of_three_words_is_ticked_by_its_writer():
    one = item(5, 8, "fern7", 3)
    assert len(one.points) == 3
    said = one.check("it brings water")
    assert said.verdict == "right"
    assert all(point in said.hint for point in one.points)
    assert one.check("brings water").verdict == "not yet"
    assert one.check(" ... ").verdict == "unread"


def test_the_first_dry_day_is_read_off_the_log():
    for number in NUMBERS:
        one = item(3, 8, "fern7", number)
        log = [float(x) for x in one.figures["log"].magnitude]
        day = next(n for n in range(1, len(log)) if abs(log[n - 1] - log[n]) <= 0.01 * log[n - 1])
        for typed in (f"day {day}", f"{day}", f"{day} days"):
            assert one.check(typed).verdict == "right"
        assert one.check(f"{day + 0.5}").verdict == "not yet"


def test_the_widest_doubt_is_the_worst_of_all_four_ways():
    for number in NUMBERS:
        one = item(3, 6, "fern7", number)
        f, d = _value(one, "f"), _value(one, "d")
        ways = [abs((f + i - d - j) / (f + i) - (f - d) / f) for i in (-1, 1) for j in (-1, 1)]
        assert one.check(f"{100 * max(ways):.3f} points").verdict == "right"


def test_checking_saves_nothing_and_says_the_same_again():
    one = item(5, 2, "fern7", 3)
    assert one.check("12 % vol", 3) == item(5, 2, "fern7", 3).check("12 % vol", 3)


def test_a_reading_of_the_other_thermometer_is_turned_with_its_offset():
    celsius = Want(("temperature",), "degC", "°C", within=0.3)
    assert read("100 °F", celsius).number == pytest.approx(340 / 9)
    assert read("-40 °F", celsius).number == pytest.approx(-40)
