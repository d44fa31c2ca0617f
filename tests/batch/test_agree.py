"""A plan's pages held against each other: planted faults are found where they arose, sound plans left alone."""

from __future__ import annotations

import datetime
from itertools import islice

import pytest

from herbcalc import harvest, moisture
from herbcalc.batch.agree import check
from herbcalc.batch.links import LINKS
from herbcalc.batch.pages import PAGES, PLACES, step
from herbcalc.units import OutOfRange, Q, WrongUnit
from tests.batch.planted import ARISES, FAULTS, planted
from tests.batch.written import sound

MOST_UNSEEN = 1  # of forty faults under another seed: some hide behind quarters of a quart, or an empty box
BANNED = ("wrong", "error", "invalid")


def test_forty_sound_plans_agree() -> None:
    plans = list(sound(40))
    assert {(plan["state"], plan["method"]) for plan in plans} >= {
        ("fresh", "soak"),
        ("dried", "soak"),
        ("dried", "drip"),
    }
    assert {str(plan["menstruum"].units) for plan in plans} >= {"mL", "fl_oz"}
    assert [clash.sentence for plan in plans for clash in check(plan)] == []


def test_sound_plans_of_other_seeds_agree() -> None:
    assert [clash.sentence for plan in sound(60, seed=2) for clash in check(plan)] == []


def _found(name: str, plans: object) -> bool:
    """Whether a fault, planted in the next plan that it comes into, is told once, at its page, with both figures."""
    plan = next(found for one in plans if (found := planted(one, name)) is not None)
    fault, told = FAULTS[name], check(plan)
    if len(told) != 1:
        return False
    (clash,) = told
    return (
        clash.page == fault.page
        and clash.box in ARISES.get(fault.box, (fault.box,))
        and bool(clash.written and clash.found)
        and clash.written in clash.sentence
        and clash.found in clash.sentence
        and PAGES[clash.page] in clash.sentence
    )


def test_forty_planted_faults_are_found_where_they_arose() -> None:
    assert len(FAULTS) >= 40
    plans = sound(10**6)
    assert [name for name in FAULTS if not _found(name, plans)] == []


def test_nearly_all_are_found_under_other_seeds() -> None:
    plans = sound(10**6, seed=5)
    unseen = [name for name in FAULTS if not _found(name, plans)]
    assert len(unseen) <= MOST_UNSEEN, unseen


def test_one_figure_mistyped_is_told_once() -> None:
    for plan in islice(sound(10**6, seed=3), 6):
        for name, value in plan.items():
            if PLACES[name].kind in ("weight", "volume", "money", "count") and PLACES[name].page != "given":
                assert len(check(plan | {name: 3 * value})) <= 1


def test_nothing_is_told_of_a_page_that_is_not_written() -> None:
    assert check({}) == []
    plan = next(sound(1))
    for page in PAGES:
        some = {name: value for name, value in plan.items() if PLACES[name].page in ("given", page)}
        assert check(some) == [], page


def test_one_mistake_in_each_of_two_places_is_told_twice() -> None:
    plan = next(plan for plan in sound(40) if plan["state"] == "dried" and "tray" in plan)
    told = check(plan | {"tray": 0.5 * plan["basket"], "total": 3.0 * plan["total"], "budget": 9.0 * plan["total"]})
    assert [clash.box for clash in told] == ["tray", "total"]


def test_what_stands_again_after_rain_is_told_where_it_was_planned() -> None:
    plan = {"per_plant": Q(90, "g"), "basket": Q(630, "g"), "gather": 12, "rain_basket": Q(630, "g")}
    assert [clash.box for clash in check(plan | {"rain_gather": 12})] == ["gather"]
    assert [clash.box for clash in check(plan | {"rain_gather": 15})] == ["gather", "rain_gather"]


def test_a_basket_behind_whole_plants_is_told_up_to_where_the_next_begins() -> None:
    plan = {
        "per_plant": Q(90, "g"),
        "gather": 12,
        "state": "dried",
        "water": Q(80, "percent_wb"),
        "tray": Q(222, "g"),
    }
    (clash,) = check(plan | {"basket": Q(9, "kg")})
    assert (clash.box, clash.found) == ("basket", "1080 g (2 lb 6 oz)")
    assert "it would be at most 1080 g" in clash.sentence


def test_more_jars_after_rain_are_asked_for_nowhere() -> None:
    """No box stands for them, so a plan that gathers more then is left alone."""
    plan = {
        "state": "dried",
        "method": "soak",
        "ratio": Q(5, "mL/g"),
        "jar": Q(1, "L"),
        "jars": 1,
        "herb": Q(150, "g"),
    }
    assert check(plan | {"rain_herb": Q(300, "g"), "rain_menstruum": Q(1500, "mL")}) == []


@pytest.mark.parametrize(("shelf", "poured"), [(40.0, Q(33.3, "percent_mass")), (75.5, Q(76, "percent_vol"))])
def test_a_spirit_poured_as_it_is_need_not_be_said_to_a_hair(shelf: float, poured: object) -> None:
    plan = {"menstruum": Q(500, "mL"), "shelf": Q(shelf, "percent_vol"), "poured": poured}
    assert check(plan | {"strong": Q(500, "mL"), "added": Q(0, "mL")}) == []
    assert [clash.box for clash in check(plan | {"strong": Q(400, "mL"), "added": Q(0, "mL")})] == ["strong"]


def test_a_jug_read_by_fives_is_near_enough() -> None:
    plan = {"state": "dried", "method": "soak", "water": Q(80, "percent_wb"), "retained": Q(1.6, "mL/g")}
    plan |= {"herb": Q(44, "g"), "menstruum": Q(220, "mL")}
    assert check(plan | {"out": Q(145, "mL")}) == []
    assert [clash.found for clash in check(plan | {"out": Q(143, "mL")})] == ["150 mL (5 fl oz)"]


def test_what_cannot_be_made_is_told_in_its_own_words() -> None:
    plan = {"state": "fresh", "method": "drip", "water": Q(80, "percent_wb"), "herb": Q(100, "g")}
    (clash,) = check(plan | {"ratio": Q(5, "mL/g"), "menstruum": Q(500, "mL")})
    assert (clash.page, clash.found) == ("jar", "")
    assert "wet lump" in clash.sentence


def test_a_choice_that_was_typed_amiss_is_named_with_what_would_fit() -> None:
    plan = next(plan for plan in sound(40) if float(plan["poured"].magnitude) < 70 < float(plan["shelf"].magnitude))
    (clash,) = check(plan | {"poured": Q(float(plan["poured"].magnitude) + 20.0, "percent_vol")})
    assert (clash.page, clash.box) == ("jar", "poured")
    assert abs(float(clash.found.split()[0]) - float(plan["poured"].magnitude)) < 2.0


def _wilting(plan: dict[str, object]) -> dict[str, object]:
    """A fresh plan whose plant was six points wetter in the stand, and wilted to what it holds now."""
    before = Q(float(plan["water"].magnitude) + 6.0, "percent_wb")
    fresh = moisture.fresh_weight(plan["herb"], before, plan["water"]).to("g")
    plants = harvest.plants_needed(fresh, plan["per_plant"])
    told = {"wilted": plan["water"], "water": before, "basket": fresh, "tray": plan["herb"], "gather": plants}
    sample = {"sample_fresh": Q(100.0, "g"), "sample_dry": Q(100.0 - float(before.magnitude), "g")}
    stand = {"allowed": 9 * plants, "count": 90 * plants, "share": 0.1, "left": 89 * plants}
    return {name: value for name, value in plan.items() if not name.startswith("rain_")} | told | sample | stand


def test_a_fresh_plant_may_wilt_first() -> None:
    wilted = [_wilting(plan) for plan in sound(40) if plan["state"] == "fresh" and "water" in plan]
    assert len(wilted) > 5
    assert [clash.sentence for plan in wilted for clash in check(plan)] == []
    for plan in wilted:
        (clash,) = check(plan | {"tray": plan["basket"]})
        assert (clash.page, clash.box) == ("drying", "tray")
        (clash,) = check(plan | {"wilted": Q(float(plan["wilted"].magnitude) / 2.0, "percent_wb")})
        assert (clash.page, clash.box) == ("drying", "wilted")


DRY = {"state": "dried", "method": "soak", "water": Q(80, "percent_wb"), "herb": Q(100, "g")}
LEAF = DRY | {"state": "fresh"}
JUNE, JULY = datetime.date(2026, 6, 30), datetime.date(2026, 7, 1)


@pytest.mark.parametrize(
    ("plan", "box", "fits", "not_these"),
    [
        # nine tenths of what comes out are in bottles, but for one; 2 of 100 more than it fill none
        ({"out": Q(500, "mL"), "size": Q(50, "mL")}, "bottles", (8, 10), (6, 11)),
        # all of the tray but less than one plant of 100 g in 900 g
        (
            DRY | {"tray": Q(200, "g"), "basket": Q(900, "g"), "per_plant": Q(100, "g")},
            "herb",
            (180, 200),
            (165, 210),
        ),
        (LEAF | {"basket": Q(900, "g"), "per_plant": Q(100, "g")}, "herb", (800, 900), (770, 930)),
        # the tenth of dried herb may count or not; the water of a fresh plant does
        (DRY, "plant_water", (0, 10), (5, 80)),
        (LEAF, "plant_water", (79, 81), (0, 10)),
        # 500 mL, less the room of the plant: 100 g of fresh plant, or as much dried
        (LEAF | {"jars": 1, "jar": Q(500, "mL")}, "menstruum", (390,), (430, 480)),
        (DRY | {"jars": 1, "jar": Q(500, "mL")}, "menstruum", (390, 430), (480,)),
        ({"count": 90, "share": 0.1, "at_risk": True}, "allowed", (0, 9), (1, 10)),
        ({"count": 90, "share": 0.1, "at_risk": False}, "allowed", (9,), (0, 10)),
        ({"month": 7}, "gathered", (JULY,), (JUNE, datetime.date(2026, 8, 1), datetime.date(2026, 12, 1))),
        ({"put_up": JULY}, "bottled", (JULY,), (JUNE,)),
        ({"gathered": JUNE, "state": "dried"}, "put_up", (JULY,), (JUNE,)),
        ({"spirit_cost": 20.0, "glass_cost": 10.0}, "total", (30.0, 30.5), (28.5, 31.5)),
        ({"total": 0.6, "bottles": 2}, "each", (0.3, 0.31), (0.33, 0.27)),
        # 2 of 100 of the solids, and half a point for the whole figure
        ({"sample_fresh": Q(100, "g"), "sample_dry": Q(20, "g")}, "water", (79.2, 80.8), (78.8, 81.2)),
        (
            {"strong": Q(500, "mL"), "price": 20.0, "pack": Q(750, "mL"), "packs": 1},
            "spirit_cost",
            (20.0, 13.33),
            (15,),
        ),
    ],
)
def test_each_limit_by_hand(
    plan: dict[str, object], box: str, fits: tuple[object, ...], not_these: tuple[object, ...]
) -> None:
    unit = {"weight": "g", "volume": "mL", "moisture": "percent_wb"}.get(PLACES[box].kind)
    for value in (*fits, *not_these):
        written = plan | {box: Q(value, unit) if unit else value}
        assert bool(check(written)) == (value in not_these), (box, value, [one.sentence for one in check(written)])


def test_a_kilogram_and_a_litre_are_written_to_ten() -> None:
    assert [step(Q(1, unit)) for unit in ("kg", "L", "g", "mL")] == [10.0, 10.0, 1.0, 1.0]


def test_any_reading_of_the_ratio_is_held_to_itself() -> None:
    plan = {"state": "dried", "method": "soak", "herb": Q(100, "g"), "water": Q(80, "percent_wb")}
    plan |= {"ratio": Q(5, "mL/g"), "retained": Q(1.5, "mL/g"), "reading": "finished"}
    assert check(plan | {"menstruum": Q(650, "mL")}) == []
    assert [clash.found for clash in check(plan | {"menstruum": Q(500, "mL")})] == ["650 mL (22 fl oz)"]


def test_a_class_that_dries_further_is_held_to_its_own_rule() -> None:
    plan = {"state": "dried", "basket": Q(900, "g"), "water": Q(80, "percent_wb"), "tray": Q(209.3, "g")}
    assert [clash.found for clash in check(plan)] == ["200 g (7 oz)"]
    assert check(plan | {"dried_to": Q(14, "percent_wb")}) == []


def test_sentences_are_kind_and_say_both_systems() -> None:
    plans = sound(10**6, seed=11)
    for name in FAULTS:
        plan = next(found for one in plans if (found := planted(one, name)) is not None)
        for clash in check(plan, "$"):
            assert not any(word in clash.sentence.casefold() for word in BANNED)
            if PLACES[clash.box].kind in ("weight", "volume"):
                for text in (clash.written, clash.found):
                    assert "(" in text or float(text.split()[0].replace(",", "")) < 10.0, clash.sentence
            if PLACES[clash.box].kind == "money":
                assert clash.written.startswith("$")
    assert not any(word in link.look.casefold() for link in LINKS for word in BANNED)


@pytest.mark.parametrize(
    ("plan", "refusal"),
    [
        ({"colour": 3}, OutOfRange),
        ({"basket": Q(3, "mL")}, WrongUnit),
        ({"basket": Q([3.0, 4.0], "g")}, OutOfRange),
        ({"water": Q(97, "percent_wb")}, OutOfRange),
        ({"gathered": "14 July"}, WrongUnit),
        ({"state": "wilted"}, OutOfRange),
        ({"at_risk": "no"}, WrongUnit),
        ({"bottles": float("nan")}, OutOfRange),
        ({"pack": Q(0, "mL")}, OutOfRange),
        ({"per_plant": Q(0, "g")}, OutOfRange),
    ],
)
def test_what_is_no_amount_of_a_plan_is_refused(plan: dict[str, object], refusal: type[Exception]) -> None:
    with pytest.raises(refusal):
        check(plan)


def test_nothing_written_makes_it_stumble() -> None:
    plan = next(plan for plan in sound(40) if plan["state"] == "dried")
    for name, place in PLACES.items():
        for number in (0.0 if place.page != "given" else 1e-3, 1e-9, 1e9):
            value = datetime.date(2026, 1, 1) if place.kind == "day" else None
            if place.kind in ("weight", "volume"):
                value = Q(number, "g" if place.kind == "weight" else "mL")
            elif place.kind in ("count", "money"):
                value = number
            elif place.kind in ("strength", "moisture", "ratio", "kept"):
                unit = {"strength": "percent_vol", "moisture": "percent_wb"}.get(place.kind, "mL/g")
                value = Q(min(max(number, 1e-9), 90.0), unit)
            if value is not None:
                assert isinstance(check(plan | {name: value}), list), (name, number)
