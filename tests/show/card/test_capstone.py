"""The card of the capstone: given things of one's own, boxes that are kept, pages that agree, one for a partner."""

from __future__ import annotations

import hashlib
import math
import re
from html import unescape

import pytest

from herbcalc import harvest, person
from herbcalc.homework.capstone import WAYS, given, ways
from herbcalc.person import batches
from herbcalc.rules import Rules
from herbcalc.show import cautions
from herbcalc.show.card import capstone_boxes as boxes
from herbcalc.show.card.capstone import NOTHING, PLANNED, Capstone
from herbcalc.show.card.capstone_page import AGREES, WHOLE, one_page
from herbcalc.show.desk import Desk
from tests.show.card.plans import as_typed

BANNED = re.compile(r"\b(error|invalid|wrong)(s|ly)?\b", re.IGNORECASE)
CLASSES = ("practice", "fern7", "moss", "nettle22", "ÄÖ 3")
SILLY = (
    "lots",
    "5 %",
    "-3 g",
    "1e400",
    "<b>7</b>",
    "7/8/26",
    "half",
    "0",
    "9" * 40,
    "a dose",
    "5 oz",
    "1:2",
    "x" * 400,
)


@pytest.fixture(autouse=True)
def _a_folder_of_its_own(monkeypatch, tmp_path):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))


def said(page: str, typed: dict[str, str]) -> str:
    told, found = boxes.heard(page, given("practice", 1), typed, Rules())
    return "\n".join([*told, found])


def words(html: str) -> str:
    return re.sub(r"<[^>]+>", " ", html)


@pytest.mark.parametrize("number", range(1, 13))
def test_a_whole_plan_agrees_and_lacks_nothing(number):
    one, rules = given("fern7", number), Rules()
    typed = as_typed(one, number)
    found = boxes.read(one, typed, rules)
    assert found.unread == {}
    assert [clash.sentence for clash in boxes.clashes(found, one, rules)] == []
    assert boxes.missing(typed, found.unread) == []
    assert boxes.written(typed, found.unread) == len(boxes.ASKED) == 10
    page = one_page(one, found, typed, rules, "mine")
    assert WHOLE in page
    assert AGREES in page
    assert not BANNED.search(words(page))
    for box in ("basket", "menstruum", "gathered", "rain_basket"):
        assert boxes.written_said(box, found.plan[box], "$") in page


def test_the_month_is_that_of_the_class_s_half_of_the_globe():
    """As the panel of lesson 2 has it: the stand is ripe when such a plant is gathered there."""
    for number in range(1, 40):
        for half in ("north", "south"):
            one = given("fern7", number, half)
            assert one.month in harvest.window(one.plant.part, half)


def test_only_a_root_ends_its_plant():
    """As lesson 2 has it: of leaf, flower and fruit a plant gives a part, and lives on."""
    for number in range(1, 20):
        one = given("fern7", number)
        told = " ".join(words for _, words in boxes.given_lines(one, Rules()))
        assert ("lets you dig" in told) == (one.plant.part == "root") == ("lives on" not in told)


def test_rosehip_is_handed_out_with_its_hairs():
    for number in range(1, 20):
        one, rules = given("fern7", number), Rules()
        page = one_page(one, boxes.read(one, {"state": "dried"}, rules), {"state": "dried"}, rules, "mine")
        assert (cautions.HAIRS in unescape(page)) == (one.plant.common == "rosehip")
        assert cautions.DAMP in unescape(page)


def test_given_things_are_the_same_everywhere_and_each_has_their_own():
    """The digest belongs to edition 1; a change of the draws takes another edition, and another digest."""
    drawn = [given(code, number) for code in CLASSES for number in (1, 2, 17, 50, 99)]
    assert len(set(drawn)) == len(drawn)
    assert hashlib.sha256("\n".join(map(repr, drawn)).encode()).hexdigest()[:16] == "57a84572f87a51e9"


def test_what_is_given_can_be_met_in_more_ways_than_one():
    class_ = [given("fern7", number) for number in range(1, 100)]
    assert len(set(class_)) == 99
    for one in class_:
        most = math.floor(one.count * one.share) * one.per_plant
        assert sum(w.money <= one.budget and w.fresh <= most for w in ways(one)) >= WAYS, one
        assert one.month in one.plant.months
        assert one.water + 8.0 < 95.0


def test_each_box_is_kept_when_it_is_typed_and_comes_back():
    card = Capstone(Desk(14))
    typed = as_typed(given("practice", 1))
    for box, text in typed.items():
        card.places[box].value = text
    assert batches.typed("plan") == typed
    again = Capstone(Desk(14))
    assert {box: place.value for box, place in again.places.items()} == {
        box: typed.get(box, "") for box in again.places
    }
    again.agree()
    assert AGREES in again.told.value
    assert "10 of 10 pages" in again.told.value
    assert boxes.standing(Desk(14).who, Rules()) == "Your plan: 10 of 10 pages written; what is written agrees."


def test_the_plan_is_there_whatever_batch_is_begun_in_ones_own_jar():
    card = Capstone(Desk(14))
    card.places["gather"].value = "3"
    batches.choose("calendula, July")
    card.places["allowed"].value = "4"
    again = Capstone(Desk(14))
    assert (again.places["gather"].value, again.places["allowed"].value) == ("3", "4")
    assert "nothing written" not in boxes.standing(Desk(14).who, Rules())
    assert batches.typed("plan") == {}, "the batch that is worked on is another"


def test_what_is_read_in_a_box_speaks_of_that_box():
    assert "stays where it is" in said("gate", {"at_risk": "yes"})
    assert "stays where it is" not in said("gate", {"at_risk": "no"})
    assert "leaves" not in said("jar", {"jars": "-4"})
    assert "1.6 mL for each gram" in said("yield", {"retained": "1,6"})


def test_no_line_for_a_partner_stands_there_without_its_name():
    one = given("practice", 1)
    page = one_page(one, boxes.read(one, {}, Rules()), {}, Rules(), "mine")
    lines = [words(line).strip() for line in re.findall(r"<p>(.*?)</p>", page)]
    assert not [line for line in lines if line.startswith("___")]


def test_a_class_s_own_rules_are_in_the_plan_and_a_drip_has_no_jar():
    one = given("fern7", 1)
    found = boxes.read(one, {}, Rules(floor=40.0, ratio_reading="dry"))
    assert (found.plan["floor"].magnitude, found.plan["reading"]) == (40.0, "dry")
    assert "jars" in boxes.asked("jar", {"method": "soak"})
    assert "jars" not in boxes.asked("jar", {"method": "drip"})
    label = boxes.labelled(boxes.read(one, {"best_before": "14 July 2028"}, Rules()), one, {})
    assert any("14 July 2028" in words for _, words in label.lines())


def test_the_strongest_on_the_shelf_lights_first_and_the_paper_says_it_of_the_one_that_was_chosen():
    card, one, rules = Capstone(Desk(14)), given("practice", 1), Rules()
    by_strength = sorted(one.shelf, key=lambda bottle: bottle.strength)
    card.go("jar")
    assert cautions.lights(by_strength[-1].strength) in card.head.value
    for bottle in by_strength:
        typed = {"spirit": str(one.shelf.index(bottle))}
        page = one_page(one, boxes.read(one, typed, rules), typed, rules, "mine")
        assert cautions.lights(bottle.strength) in page


def test_a_clash_is_told_with_both_figures_and_mended_away():
    card = Capstone(Desk(14))
    for box, text in as_typed(given("practice", 1)).items():
        card.places[box].value = text
    sound = card.places["total"].value
    card.places["total"].value = "999"
    card.agree()
    assert "Money, cost in all: you wrote $999.00" in card.told.value
    assert f"{float(sound):.2f}" in card.told.value
    assert "1 place to look at again" in boxes.standing(Desk(14).who, Rules())
    card.places["total"].value = sound
    assert card.told.value == ""
    card.agree()
    assert AGREES in card.told.value


def test_a_drip_without_a_percolator_is_told():
    number = next(n for n in range(1, 100) if not given("fern7", n).percolator)
    one = given("fern7", number)
    found = boxes.read(one, {"method": "drip"}, Rules())
    assert [clash.box for clash in boxes.clashes(found, one, Rules())] == ["method"]


def test_a_plant_at_risk_stays_where_it_is():
    one = given("fern7", 1)
    found = boxes.read(one, as_typed(one) | {"at_risk": "yes"}, Rules())
    (clash,) = boxes.clashes(found, one, Rules())
    assert clash.page == "gate"
    assert "stays where it is" in clash.sentence


def test_silly_answers_get_a_kind_sentence_in_every_box():
    one, rules = given("practice", 1), Rules()
    for page in boxes.ASKED:
        for box in boxes.PAGES[page].boxes:
            for text in SILLY:
                told = said(page, {box: text})
                assert not BANNED.search(told), told
                assert len(told) < 900
                found = boxes.read(one, {box: text}, rules)
                boxes.clashes(found, one, rules)
                assert "<b>" not in one_page(one, found, {box: text}, rules, "<b>")
    assert "such as 5" in said("harvest", {"gather": "lots"})
    assert "whole number" in said("harvest", {"gather": "2.5"})
    assert 'type "1:5"' in said("jar", {"ratio": "5:1"})


def test_what_cannot_be_kept_is_said():
    card = Capstone(Desk(14))
    card.places["refused_reason"].value = "x" * (batches.LONGEST_TEXT + 1)
    assert "Not kept yet." in card.said.value


def test_one_page_at_a_time_with_a_way_on_and_back():
    card = Capstone(Desk(14))
    seen = [card.page]
    while not card.next_button.disabled:
        card.next()
        seen.append(card.page)
    assert seen == list(boxes.PAGES)
    card.back()
    assert card.page == seen[-2]
    card.to.value = "rain"
    card.places["basket"].value = "640 g"
    card.go("rain")
    assert f"{PLANNED}: 640 g" in card.planned["basket"].value
    assert card.back_button.disabled is False


def test_each_moment_has_its_caution():
    card = Capstone(Desk(14))
    for page, line in (
        ("gate", "if not certain, leave it"),
        ("jar", "food-grade"),
        ("jar", "catches fire"),
        ("jar", "dust mask"),
        ("drying", "heap of it heats and moulds"),
        ("drying", "Damp herb moulds"),
        ("bottles", "Ask a qualified person"),
        ("yield", "wet marc"),
    ):
        card.go(page)
        assert line in card.head.value, page


def test_nothing_written_is_said_so():
    card = Capstone(Desk(14))
    card.agree()
    assert NOTHING in card.told.value
    assert boxes.standing(Desk(14).who, Rules()) == "Your plan: nothing written yet."


def test_the_plan_on_one_page_lies_in_the_persons_folder_and_goes_with_the_rest():
    card = Capstone(Desk(14))
    card.places["basket"].value = "640 g"
    card.write_page()
    path = person.folder() / person.MY_PLAN
    assert str(path) in words(card.told.value)
    assert "A partner still lacks" in card.told.value
    page = path.read_text(encoding="utf-8")
    assert "640 g (1 lb 6 1/2 oz)" in page
    assert "Still missing for your partner" in page
    assert path in person.all_of_mine(None)


def test_no_amount_to_take_is_named_anywhere():
    card = Capstone(Desk(14))
    told = card.stored_html + "".join(page.words for page in boxes.PAGES.values()) + "".join(boxes.WORDS.values())
    assert not re.search(r"\d+ (drops|teaspoons?|times a day)|dose of|take \d", told)
