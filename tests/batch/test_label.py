"""A label: what it lacks, what cannot be so, and the promise that is sent back."""

from __future__ import annotations

import dataclasses
import datetime
import re

import pytest

from herbcalc.batch import CLAIMS, KEEPING, Label, check, keeps_until
from herbcalc.batch.label import FIELDS
from herbcalc.maceration.ratios import Ratio
from herbcalc.units import Q
from herbcalc.units.refusals import OutOfRange, WrongUnit

WHOLE = Label(
    common="Lemon balm",
    botanical="Melissa officinalis",
    part="leaf",
    state="fresh",
    ratio=Ratio(Q(2, "mL/g"), "added"),
    spirit=Q(75.5, "percent_vol"),
    final=Q(53.9, "percent_vol"),
    volume=Q(250, "mL"),
    gathered=datetime.date(2026, 7, 14),
    put_up=datetime.date(2026, 7, 14),
    pressed=datetime.date(2026, 8, 11),
    best_before=datetime.date(2029, 8, 11),
    lot="26-07-14-LB-F-02",
    maker="Alder Lane (invented)",
    place="bed 3",
    cautions="Holds alcohol. Ask a qualified person first in pregnancy, for children, or with medicines.",
)


def with_(**changed):
    return dataclasses.replace(WHOLE, **changed)


def test_a_whole_label_goes_on_its_bottle_with_no_amount_on_it():
    assert check(WHOLE) == []
    assert WHOLE.amount == ""
    told = dict(WHOLE.lines())
    assert told["Ratio"] == "1:2 (menstruum added)"
    assert told["Volume"] == "250 mL (8 1/2 fl oz)"
    assert told["Pressed, or run through"] == "11 August 2026"


@pytest.mark.parametrize("name", FIELDS)
def test_each_line_that_is_missing_is_told_with_why_and_what_would_do(name):
    empty = "" if isinstance(getattr(WHOLE, name), str) else None
    left = check(with_(**{name: empty}))
    assert len(left) == 1
    assert left[0].startswith(f"{FIELDS[name].head}: nothing stands there yet. {FIELDS[name].why}.")
    assert left[0].endswith("would do.")


@pytest.mark.parametrize("kind", ["dried leaf or flower", "dried root or bark"])
def test_a_jar_of_dried_plant_is_asked_for_nothing_that_was_poured(kind):
    poured = dict.fromkeys(("spirit", "final", "ratio", "volume", "put_up", "pressed"))
    dried = with_(kind=kind, state="dried", best_before=datetime.date(2027, 7, 14), **poured)
    assert check(dried) == []
    assert "says fresh" in check(dataclasses.replace(dried, state="fresh"))[0]
    assert "is a long time" in check(dataclasses.replace(dried, best_before=datetime.date(2030, 7, 14)))[0]


def test_the_caution_offered_says_alcohol_only_of_what_holds_it():
    assert "Holds alcohol" in check(with_(cautions=""))[0]
    oil = with_(kind="infused oil", spirit=None, final=None, best_before=None, cautions="")
    assert "Ask a qualified person first" in check(oil)[0]
    assert "Holds alcohol" not in check(oil)[0]


def test_a_label_says_what_is_in_the_bottle():
    assert with_(kind="vinegar").lines()[0] == ("What it is", "vinegar")
    assert Label().lines() == []


def test_an_oil_needs_no_strength():
    assert not any("floor" in line for line in check(with_(kind="vinegar", final=Q(5, "percent_vol"))))
    assert check(with_(kind="infused oil", spirit=None, final=None, best_before=datetime.date(2027, 2, 11))) == []


@pytest.mark.parametrize("word", ["cures", "heals", "treats", "relieves", "prevents", "is good for", "helps against"])
@pytest.mark.parametrize("line", ["also", "cautions", "amount", "common", "botanical", "part", "lot", "place"])
def test_a_promise_is_sent_back_wherever_it_stands(word, line):
    text = f"{getattr(WHOLE, line)} It {word} a cough."
    told = with_(**{line: text}).promises()
    assert len(told) == 1
    assert word.removeprefix("is ") in told[0]
    assert CLAIMS in told[0]
    assert "What would work" in told[0]


@pytest.mark.parametrize(
    "text",
    [
        "This is not meant to diagnose, treat, cure or prevent any disease.",
        "Ask a doctor first if you are being treated for anything.",
        "Never a cure.",
        "It doesn’t cure anything.",
        "It does not and cannot cure or prevent flu.",
        "It is no medicine, and it does not treat or heal anything.",
        "Self-heal and heal-all",
        "Treat with care.",
        "Bitter. Shake before use.",
        "",
    ],
)
def test_what_promises_nothing_is_not_sent_back(text):
    assert with_(also=text).promises() == []


@pytest.mark.parametrize(
    "text",
    [
        "For colds and flu",
        "Calms the nerves",
        "Anti-anxiety",
        "against a cough",
        "Reduces fever",
        "Heilt Erk\u00e4ltung",
        "cura el resfriado",
        "Gu\u00e9rit la toux",
    ],
)
def test_a_promise_without_the_word_cure(text):
    assert len(with_(also=text).promises()) == 1


def test_a_caution_may_name_an_illness():
    text = (
        "May make sleepy; lowers blood pressure. Ask first in pregnancy, for children, with medicines for diabetes."
    )
    assert check(with_(cautions=text)) == []


@pytest.mark.parametrize(
    "text",
    [
        "Not only soothes, it cures.",
        "Never fails to heal.",
        "Cures colds; not tested.",
        "There is no better cure",
        "No sugar, cures coughs",
        "Contains no alcohol and relieves coughs",
        "Does not treat flu but cures colds",
    ],
)
def test_a_denial_that_promises_is_a_promise(text):
    assert with_(also=text).promises()


def test_days_in_the_order_of_the_work():
    turned = with_(pressed=datetime.date(2026, 7, 1))
    assert "1 July 2026 comes before 14 July 2026, the day of the line Put up" in check(turned)[0]
    assert check(with_(pressed=datetime.date(2026, 7, 14))) == []  # a day's work
    assert "the day of the line Pressed" in check(with_(best_before=datetime.date(2026, 8, 10)))[0]


def test_best_before_beyond_what_is_common():
    told = check(with_(best_before=datetime.date(2031, 8, 12)))
    assert len(told) == 1
    assert "11 August 2029 to 11 August 2031 is common practice, no source" in told[0]
    assert check(with_(best_before=datetime.date(2031, 8, 11))) == []


def test_strengths_that_cannot_be_or_do_not_keep():
    assert "under your floor of 35 % vol" in check(with_(final=Q(34.9, "percent_vol")))[0]
    assert check(with_(final=Q(35.0, "percent_vol"))) == []
    assert check(with_(final=Q(34.9, "percent_vol")), Q(25, "percent_vol")) == []
    assert "more than the 75.5 % vol poured on" in check(with_(final=Q(80, "percent_vol")))[0]


def test_cautions_name_those_who_must_ask():
    assert "do not speak of pregnancy, children or medicines yet" in check(with_(cautions="Keep dark."))[0]
    assert check(with_(cautions="Ask first in pregnancy, for kids, with prescriptions.")) == []
    assert "do not speak of children yet" in check(with_(cautions="Not in pregnancy, nor with medicines."))[0]


def test_a_botanical_name_has_two_words():
    assert "is one word" in check(with_(botanical="Melissa"))[0]


@pytest.mark.parametrize("kind", KEEPING)
def test_keeping_times(kind):
    """Months, common practice; the end of a month is not overrun."""
    least, most = keeps_until(kind, datetime.date(2024, 2, 29))
    for day, months in zip((least, most), KEEPING[kind], strict=True):
        assert 12 * (day.year - 2024) + day.month - 2 == months
        assert day.day in (28, 29)


def test_keeping_from_the_thirty_first():
    assert keeps_until("syrup, kept cold", datetime.date(2026, 1, 31)) == (
        datetime.date(2026, 2, 28),
        datetime.date(2026, 4, 30),
    )


def test_what_is_refused():
    for changed in ({"state": "wet"}, {"kind": "wine"}, {"volume": Q(0, "mL")}, {"final": Q(120, "percent_vol")}):
        with pytest.raises(OutOfRange):
            with_(**changed)
    with pytest.raises(WrongUnit):
        with_(volume=Q(3, "g"))
    with pytest.raises(OutOfRange):
        keeps_until("wine", datetime.date(2026, 1, 1))


def test_words_that_hurt_are_not_used_and_both_systems_are():
    bad = Label(also="Heals", final=Q(20, "percent_vol"), spirit=Q(10, "percent_vol"), botanical="x", cautions="y")
    for text in check(bad):
        assert text.endswith((".", "?")), text
        assert not re.search(r"\b(error|invalid|wrong)\b", text, re.IGNORECASE)


def test_only_what_holds_alcohol_is_told_to_say_so():
    for kind in KEEPING:
        would = next(line for line in Label(kind=kind).lacks() if line.startswith("Cautions"))
        assert ("Holds alcohol" in would) == (kind == "tincture"), kind
        assert "pregnancy, for children, or with medicines" in would


def test_a_jar_of_honey_names_the_first_year_of_life():
    """Honey can bring botulism to a child under 1 year (WHO, fact sheet Botulism)."""
    who = "Ask first in pregnancy, for children, with medicines."
    honey = "honey with dried herb"
    assert any("first year" in line for line in Label(kind=honey, cautions=who).at_odds())
    for words in ("Not for a child under 1 year.", "Not for babies.", "No infants."):
        assert not Label(kind=honey, cautions=f"{who} {words}").at_odds()
    assert not Label(kind="salve", cautions=who).at_odds()
