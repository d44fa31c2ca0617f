"""Floor 5. The pages of the capstone: which boxes stand on each, what is read in them, and how far a plan has come.

What is typed is read by `units.amount`, and the pages are held against each other by `batch.agree`; here stand only
the words and the order of the pages.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from herbcalc.batch import Clash, Label, pages_agree
from herbcalc.batch.links import NEVER
from herbcalc.batch.pages import PAGES as TITLES
from herbcalc.batch.pages import PLACES, taken, written_said
from herbcalc.batch.sheet import PLANT
from herbcalc.harvest import MONTHS
from herbcalc.homework.capstone import KEPT_DRAINED, Given, given
from herbcalc.maceration import Ratio
from herbcalc.person import Me, batches
from herbcalc.rules import Rules
from herbcalc.show import cautions
from herbcalc.show.card.label import day
from herbcalc.show.card.own_batch import read_kept
from herbcalc.units import Q, amount
from herbcalc.units.guard import without_name
from herbcalc.units.reading import turned_round
from herbcalc.units.refusals import OutOfRange, WrongUnit, quoted
from herbcalc.units.saying import of_hundred, per_gram, said, so_many

PLAN = "plan"  # the page of a batch under which all this is kept


class Page(NamedTuple):
    """One page: its title, what it asks, the names of its boxes in order, and the cautions of that moment."""

    title: str
    words: str
    boxes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


# Boxes for words: their labels. All others are amounts or days of `batch.pages`.
WORDS = {
    "gate_seen": "Two features that you saw on it",
    "gate_alike": "Its look-alike, and what tells the two apart",
    "gate_land": "Whose land, who gave leave, and what is sprayed there",
    "state_reason": "Fresh or dried: why?",
    "drying_how": "How it dries: where, how thick, how warm (fresh: how soon it goes in)",
    "method_reason": "Soak or drip: why?",
    "label_lot": "Lot",
    "label_maker": "Maker",
    "label_place": "Place of the plant",
    "label_cautions": "Cautions on the label",
    "rain_reason": "What changes after rain, in one sentence",
    "refused_reason": "Why you said no, and what would work instead",
}
CHOICES: dict[str, tuple[str, dict[str, str]]] = {
    "at_risk": ("At risk in the wild here", {"no": "no, I looked", "yes": "yes, or I could not find out"}),
    "state": ("It goes in", {"fresh": "fresh", "dried": "dried"}),
    "method": ("It is made as", {"soak": "a soak in a jar", "drip": "a drip in a percolator"}),
    "spirit": ("Spirit from the shelf", {}),  # the bottles that are given
    "refused": (
        "What I refuse",
        {
            one: one
            for one in (
                "the roots of a stand that is at risk",
                "a plant that nobody is certain of",
                "a stand too small for its share",
                "a fresh plant in the percolator",
                "fresh herb under oil, for eating",
                "to name an amount to take",
            )
        },
    ),
}
PAGES = {
    "given": Page(TITLES["given"], "Read it aloud. All of it is invented. What would you look at first?"),
    "gate": Page(
        TITLES["gate"],
        "Before any sum: is it this plant, and may you?",
        ("at_risk", "gate_seen", "gate_alike", "gate_land"),
        (PLANT,),
    ),
    "harvest": Page(
        TITLES["harvest"],
        "How many may go, how many you gather, what they weigh, and what is left. You may come back: the jar tells "
        "how much you need.",
        ("allowed", "gather", "left", "basket"),
    ),
    "drying": Page(
        TITLES["drying"],
        "Choose, and say why. At which weight is the tray ready? A fresh plant may wilt for a day: then say how much "
        "water is left in it, or leave that box empty.",
        ("state", "state_reason", "water", "wilted", "tray", "drying_how"),
        (cautions.DAMP, cautions.WILTING),
    ),
    "jar": Page(
        TITLES["jar"],
        "Choose the way, the ratio and the strength. If the spirit is too strong, cut it with water first.",
        ("method", "method_reason", "spirit", "herb", "ratio", "menstruum", "poured", "strong", "added", "jars"),
        (cautions.FOOD_GRADE, cautions.DUST),
    ),
    "yield": Page(
        TITLES["yield"],
        "What the plant brings, what the marc keeps, what is left to bottle; and how sure you are: a low and a high "
        "end.",
        (
            *("retained", "plant_water", "kept", "out", "out_low", "out_high"),
            *("strength", "strength_low", "strength_high"),
        ),
        (cautions.WET_MARC,),
    ),
    "bottles": Page(
        TITLES["bottles"],
        "How many you fill, and what stands on each. The strength you promise is no more than your low end.",
        ("bottles", "label", "label_lot", "label_maker", "label_place", "label_cautions"),
        (cautions.ASK_FIRST,),
    ),
    "calendar": Page(
        TITLES["calendar"],
        "Days with the month in words: 14 July 2026.",
        ("gathered", "put_up", "bottled", "best_before"),
    ),
    "money": Page(
        TITLES["money"],
        "What you buy, and what a bottle costs. The plant costs nothing here, and nobody's hours are counted.",
        ("packs", "spirit_cost", "glass_cost", "total", "each"),
        (cautions.SELLING,),
    ),
    "rain": Page(
        f"{TITLES['rain']}: 8 points wetter",
        "A week of rain, and the plant holds 8 points more water. Left stands what you planned; type what it is now. "
        "You may keep the basket, or gather more.",
        (
            *("rain_water", "rain_basket", "rain_gather", "rain_tray", "rain_herb", "rain_menstruum"),
            *("rain_out", "rain_strength", "rain_bottles", "rain_reason"),
        ),
        (cautions.MISSED,),
    ),
    "refused": Page(
        "One thing refused",
        "Somebody asks you for more: choose what you say no to, and why.",
        ("refused", "refused_reason"),
    ),
    "partner": Page(
        "With a partner",
        "Change seats. Your partner reads your plan on one page, says aloud how they would make it, and gives each "
        "row 0 to 3 on paper: 0 not there, 1 begun, 2 clear, 3 I could make it from this. No figure of it goes into "
        "the computer.",
    ),
}
RUBRIC = (
    "The gate: would I know this plant, and know that I may?",
    "The harvest: how many, and what is left standing",
    "Fresh or dried, with a reason that fits this plant and month",
    "The tray: at which weight I stop (or how soon the fresh plant goes in)",
    "The jar: what I weigh, what I pour, how strong, and how I cut it",
    "What comes out, and how sure",
    "Bottles and label: I could write the label now",
    "The calendar: I know what to do on which day",
    "Money: it stays within the budget, and I see what a bottle costs",
    "It rained, and one thing refused: the plan bends and does not break",
)
NOTHING = ("0", "none", "nothing", "no water")  # of which no unit need be typed
NONE_OF = {"volume": "mL", "weight": "g", "count": ""}
ASKED = tuple(name for name, page in PAGES.items() if page.boxes)
EXAMPLES = {
    "weight": "450 g, or 1 lb",
    "volume": "600 mL, or 20 fl oz",
    "count": "7",
    "strength": "45 % vol",
    "moisture": "70 %",
    "ratio": "1:4",
    "kept": "1.5 mL/g",
    "money": "12.50",
    "day": "14 July 2026",
}


class Read(NamedTuple):
    """What was read: the plan's amounts by name, and for each box that could not be read its name and a sentence."""

    plan: dict[str, Any]
    unread: dict[str, str]


def label_of(box: str) -> str:
    """What a box is called."""
    if box in WORDS:
        return WORDS[box]
    head = CHOICES[box][0] if box in CHOICES else PLACES[box].head
    return head[0].upper() + head[1:]


def example_of(box: str) -> str:
    """What is typed there, for example; "" for words."""
    return EXAMPLES[PLACES[box].kind] if box in PLACES else ""


def shelf_said(one: Given, rules: Rules) -> dict[str, str]:
    """The bottles on the shelf as a choice: "0", "1" and so on, and how each is said."""
    return {
        str(at): f"{said(b.strength, 'percent_vol')}, {said(b.holds, 'mL')}, {rules.currency}{b.price:.2f}"
        for at, b in enumerate(one.shelf)
    }


def given_lines(one: Given, rules: Rules) -> list[tuple[str, str]]:
    """The given things as rows: a head and words, in both systems of units."""
    gear = [f"jars of {said(one.jar, 'mL')}", "a press" if one.press else "no press: the marc is wrung by hand"]
    gear.append("a percolator" if one.percolator else "no percolator")
    dig, lives = ("dig", "") if one.plant.part == "root" else ("pick from", ", and lives on")
    how = "pressed" if one.press else "wrung by hand"
    drained = f"; drained, {per_gram(KEPT_DRAINED)}" if one.percolator else ""
    return [
        ("Plant", f"{one.plant.common} ({one.plant.botanical}), {one.plant.part}"),
        ("Where", f"a stand at {one.place}, invented; {MONTHS[one.month - 1]}"),
        ("Counted", f"{one.count} plants; the land's owner lets you {dig} {of_hundred(one.share)}, no more"),
        ("One plant", f"gave {said(one.per_plant, 'g')} of it, weighed{lives}"),
        ("Sample", f"{said(one.sample_fresh, 'g')} fresh, {said(one.sample_dry, 'g')} bone dry"),
        ("Order", f"{so_many(one.ordered, 'bottle')} of {said(one.size, 'mL')}"),
        ("Keeps from", f"{rules.said('floor')} on: your class's floor"),
        ("On the shelf", "; ".join(shelf_said(one, rules).values())),
        ("Gear", "; ".join(gear)),
        ("Marc kept", f"{per_gram(one.kept)} of dry plant {how}, last time{drained}"),
        ("Empty bottle", f"{rules.currency}{one.glass:.2f}"),
        ("Budget", f"{rules.currency}{one.budget:,} for spirit and bottles"),
    ]


def hairs(one: Given) -> list[str]:
    """What goes with a plant whose hairs itch, where it is opened and ground."""
    return [cautions.HAIRS] if one.plant.common == "rosehip" else []


def read_box(box: str, text: str) -> Any:
    """What stands in a box, as an amount or a day. Refuses in a sentence (WrongUnit, OutOfRange).

    >>> read_box("retained", "1.5").magnitude, read_box("added", "none").magnitude
    (1.5, 0.0)
    """
    kind = PLACES[box].kind
    if kind == "day":
        value = day(text)
    elif kind == "kept":
        value = read_kept(text)
    else:
        value = amount(f"0 {NONE_OF[kind]}" if kind in NONE_OF and text.casefold() in NOTHING else text, kind)
    if kind in ("count", "money"):
        value = float(getattr(value, "magnitude", value))
        if kind == "count" and not value.is_integer():
            raise OutOfRange(f"{quoted(text)} is a part of one. A whole number would work, such as 7.")
    taken({box: value})
    return value


def read(one: Given, typed: Mapping[str, str], rules: Rules) -> Read:
    """The plan as it stands: what is given, what was chosen, and what was typed and could be read."""
    house = {"floor": Q(rules.floor, "percent_vol"), "dried_to": Q(rules.dried_to, "percent_wb")}
    plan = one.amounts() | house | {"reading": rules.ratio_reading}
    unread: dict[str, str] = {}
    for box, text in typed.items():
        if box in ("state", "method") and text in CHOICES[box][1]:
            plan[box] = text
        elif box == "at_risk":
            plan[box] = text == "yes"
        elif box == "spirit" and text in shelf_said(one, rules):
            bottle = one.shelf[int(text)]
            plan |= {"shelf": Q(bottle.strength, "percent_vol"), "pack": Q(bottle.holds, "mL"), "price": bottle.price}
        elif box in PLACES and box not in CHOICES and text.strip():
            try:
                plan[box] = read_box(box, text.strip())
            except (WrongUnit, OutOfRange) as refusal:
                unread[box] = without_name(box, refusal)
    return Read(plan, unread)


def asked(page: str, typed: Mapping[str, str]) -> list[str]:
    """The boxes of a page that a partner needs: a fresh plant lies on a tray only to wilt, and a drip has no jar."""
    lies = typed.get("state") != "fresh" or bool(typed.get("wilted", "").strip())
    away = {"wilted"} | (set() if lies else {"tray", "rain_tray"})
    away |= {"jars"} if typed.get("method") == "drip" else set()
    return [box for box in PAGES[page].boxes if box not in away]


def _lacking(page: str, typed: Mapping[str, str], unread: Mapping[str, str]) -> list[str]:
    """The boxes of a page that a partner needs, and in which nothing stands that can be read."""
    return [box for box in asked(page, typed) if not typed.get(box, "").strip() or box in unread]


def missing(typed: Mapping[str, str], unread: Mapping[str, str]) -> list[str]:
    """What a partner still lacks, a line for each page."""
    lines = []
    for page in ASKED:
        lacks = [label_of(box) for box in _lacking(page, typed, unread)]
        if lacks:
            lines.append(f"{PAGES[page].title}: {'; '.join(f'{one[0].lower()}{one[1:]}' for one in lacks)}")
    return lines


def written(typed: Mapping[str, str], unread: Mapping[str, str]) -> int:
    """How many pages are whole."""
    return sum(not _lacking(page, typed, unread) for page in ASKED)


def clashes(found: Read, one: Given, rules: Rules) -> list[Clash]:
    """Where the pages do not agree, and where the plan asks for what is not there."""
    told = pages_agree(found.plan, rules.currency)
    if found.plan.get("method") == "drip" and not one.percolator:
        sentence = (
            f"{PAGES['jar'].title}: you chose a drip, and under {PAGES['given'].title} there is no percolator. A "
            "soak in a jar would do."
        )
        told.append(Clash("jar", "method", "a drip", "no percolator", sentence))
    return told


def labelled(found: Read, one: Given, typed: Mapping[str, str]) -> Label:
    """The label as far as the pages have written it."""
    plan = found.plan
    ratio = plan.get("ratio")
    return Label(
        common=one.plant.common,
        botanical=one.plant.botanical,
        part=one.plant.part,
        state=plan.get("state", ""),
        ratio=Ratio(ratio, plan["reading"]) if ratio is not None else None,
        spirit=plan.get("poured"),
        final=plan.get("label"),
        volume=plan["size"],
        gathered=plan.get("gathered"),
        put_up=plan.get("put_up"),
        pressed=plan.get("bottled"),
        best_before=plan.get("best_before"),
        **{name: typed.get(f"label_{name}", "").strip() for name in ("lot", "maker", "place", "cautions")},
    )


def heard(page: str, one: Given, typed: Mapping[str, str], rules: Rules) -> tuple[list[str], str]:
    """What is said of the boxes of one page as they stand: a sentence for what could not be read, and what was."""
    found = read(one, typed, rules)
    boxes = PAGES[page].boxes
    lines = [f"{label_of(box)}: {found.unread[box]}" for box in boxes if box in found.unread]
    read_ = [
        f"{PLACES[box].head} {written_said(box, found.plan[box], rules.currency)}"
        for box in boxes
        if box in PLACES and box in found.plan and PLACES[box].kind != "words"
    ]
    if page == "gate" and found.plan.get("at_risk"):
        lines.append(NEVER)
    lines += [round_ for box in boxes if box == "ratio" and (round_ := turned_round(typed.get(box, "")))]
    if page == "bottles":
        lines += labelled(found, one, typed).promises()
    return lines, f"I read: {'; '.join(read_)}." if read_ else ""


def standing(who: Me, rules: Rules, home: Path | None = None) -> str:
    """How far the plan has come, in a sentence; for the row of the start page."""
    one = given(who.class_code, who.number, rules.hemisphere)
    typed = batches.typed(PLAN, home, of=batches.holding(PLAN, home))
    if not any(typed.get(box, "").strip() for page in ASKED for box in PAGES[page].boxes):
        return "Your plan: nothing written yet."
    found = read(one, typed, rules)
    told = clashes(found, one, rules)
    agree = f"{so_many(len(told), 'place')} to look at again" if told else "what is written agrees"
    return f"Your plan: {written(typed, found.unread)} of {len(ASKED)} pages written; {agree}."
