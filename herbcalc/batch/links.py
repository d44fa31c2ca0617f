"""Floor 3. What ties the pages of a plan to each other: each link is one sum of the craft, or one limit.

The sums are those of the other houses; a link says only between which amounts of a plan they stand. Where several
ways of reckoning are right (kitchen rule and measured; the tenth of water in dried herb counted or not), a link gives
them all.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from herbcalc import ethanol, menstruum, moisture
from herbcalc.batch import figures
from herbcalc.batch.label import WITH_ALCOHOL, keeps_until
from herbcalc.batch.money import Prices
from herbcalc.batch.order import LEAF, MARC, Basket
from herbcalc.batch.pages import PLACES
from herbcalc.batch.stock import packs_to_buy
from herbcalc.harvest import allowance, plants_needed
from herbcalc.maceration import liquid_out, room_for_menstruum
from herbcalc.maceration.jar import DRY_PLANT, PLANT
from herbcalc.units.guard import give

AGREE = 0.02  # share by which whole pages may differ: the course's
BOTTLED = 0.9  # of what comes out: the rest clings to jar and funnel, or is too little for a bottle
RAIN_POINTS = 8.0  # points of moisture that a wet week adds: the course's


@dataclass(frozen=True)
class Link:
    """One tie: the amount in `box` is the `sum` of the amounts `of`, or no more or no less than it.

    box   the amount that is looked at, by its name in PLACES
    of    the amounts that it rests on
    sum   takes them as attributes, and `days`, the kind of date that is written; it gives every number that is right,
          the plainest first
    look  what to look at where they do not agree, in a sentence
    kind  "same", "most" (the sum is the most it may be) or "least"
    page  where a clash arises, "" for the page of the box
    if_there  amounts that it rests on too, where they are written
    else_so  whether a box that is not written counts as the limit
    """

    box: str
    of: tuple[str, ...]
    sum: Callable[[Any], Sequence[float]]
    look: str
    kind: Literal["same", "most", "least"] = "same"
    page: str = ""
    if_there: tuple[str, ...] = ()
    else_so: bool = False


# --- the sums, asked of the houses that have them ------------------------------------------------------------------


def _jar(p: Any) -> Basket:
    """How it is made, as `Basket` says it; of its weight nothing is asked, and of its water not always."""
    water = getattr(p, "water", LEAF.magnitude)
    return Basket(
        fresh=give(1.0, "g"),
        bottle=give(1.0, "mL"),
        state=p.state,
        method=p.method,
        ratio=give(getattr(p, "ratio", 1.0), "mL/g"),
        convention=p.reading,
        spirit=give(getattr(p, "poured", 0.0), "percent_vol"),
        water=give(water if p.state == "dried" else min(getattr(p, "wilted", water), water), "percent_wb"),
        retained=give(getattr(p, "retained", MARC.magnitude), "mL/g"),
        dried_to=give(p.dried_to, "percent_wb"),
    )


def _goes_in(p: Any) -> float:
    """Its water as it goes in: as gathered, wilted or dried; what is drier already stays as it is."""
    to = p.dried_to if p.state == "dried" else getattr(p, "wilted", p.water)
    return min(to, p.water)


def _on_tray(p: Any) -> bool:
    return p.state == "dried" or hasattr(p, "wilted")


def _tray(p: Any) -> list[float]:
    return [float(moisture.dried_weight.plain(p.basket, p.water, _goes_in(p)))] if _on_tray(p) else []


def _from_tray(p: Any) -> list[float]:
    return [p.tray] if _on_tray(p) else []


def _from_basket(p: Any) -> list[float]:
    return [] if _on_tray(p) else [p.basket]


def _most_of_tray(p: Any) -> list[float]:
    """All of it but less than one plant, which is in the basket because plants are whole."""
    return [p.tray * max(1.0 - p.per_plant / p.basket, 0.0)] if _on_tray(p) and p.basket else []


def _most_of_basket(p: Any) -> list[float]:
    return [] if _on_tray(p) else [max(p.basket - p.per_plant, 0.0)]


def _menstruum(p: Any) -> list[float]:
    return [figures.poured(_jar(p)) * p.herb]


def _by_added(p: Any) -> list[float]:
    """Menstruum for a ratio that counts what is poured: nothing is asked of the plant's water."""
    return _menstruum(p) if p.reading == "added" else []


def _by_another_reading(p: Any) -> list[float]:
    return [] if p.reading == "added" else _menstruum(p)


def _plant_water(p: Any) -> list[float]:
    brings = p.herb * _goes_in(p) / 100.0
    return [brings, 0.0] if p.state == "dried" else [brings]


def _kept(p: Any) -> list[float]:
    """By the trade each gram of dried herb keeps, by its solids alone a tenth less."""
    jar = _jar(p)
    keeps = (figures.kept_each(jar) + figures.water_counted(jar) / 100.0) * p.herb
    return [keeps, keeps * (1.0 - _goes_in(p) / 100.0)] if p.state == "dried" else [keeps]


def _out(p: Any) -> list[float]:
    """What is in the jar less what the marc keeps; of dried herb its own water may be left out, as the trade does."""
    full = [p.menstruum + p.plant_water] + ([p.menstruum] if p.state == "dried" else [])
    outs = [float(liquid_out.plain(1.0, liquid, p.kept, 0.0)) for liquid in full]
    mixed = ethanol.mix(
        give([p.menstruum, p.plant_water], "mL"), give([getattr(p, "poured", 0.0), 0.0], "percent_vol")
    )
    shrinks = float(mixed.volume.magnitude) / full[0]
    return [*reversed(outs), shrinks * outs[0]]


def _strength(p: Any) -> list[float]:
    return [
        float(menstruum.final_strength.plain(p.herb, _goes_in(p), p.menstruum, p.poured, rule))
        for rule in ("kitchen", "measured")
    ]


def _cut(p: Any) -> Any:
    """The cut; a strength above the shelf's, by a hair (33.3 % by weight) or by much, is told where it is written."""
    poured = give(min(p.poured, p.shelf), "percent_vol")
    return menstruum.cut(give(p.shelf, "percent_vol"), poured, make=give(p.menstruum, "mL"))


def _strong(p: Any) -> list[float]:
    return [float(_cut(p).spirit.magnitude)]


def _added(p: Any) -> list[float]:
    cut = _cut(p)
    as_bought = [0.0] if p.poured >= (1.0 - AGREE) * p.shelf else []
    return [float(cut.water_by_kitchen_rule.magnitude), float(cut.water.magnitude), *as_bought]


def _room(p: Any) -> list[float]:
    plant = (PLANT if p.state == "fresh" else DRY_PLANT).magnitude
    return [p.jars * float(room_for_menstruum.plain(p.jar, p.herb / p.jars, plant))] if p.jars else [0.0]


def _plants(p: Any) -> list[float]:
    """Whole plants for this basket, for one that is rounded up or down a little, and one plant to spare."""
    least, exact, most = (
        plants_needed.plain(share * p.basket, p.per_plant) for share in (1.0 - AGREE, 1.0, 1.0 + AGREE)
    )
    return [exact, min(max(getattr(p, "gather", exact), least), most + 1)]


def _may_go(p: Any) -> list[float]:
    return [allowance.plain(p.count, p.share)] + ([0.0] if p.at_risk else [])


def _bottles(p: Any) -> list[float]:
    return [math.floor((1.0 + AGREE) * p.out / p.size)]


def _packs(p: Any) -> list[float]:
    return [packs_to_buy.plain((1.0 - AGREE) * p.strong, p.pack, 0.0)]


def _spirit_cost(p: Any) -> list[float]:
    """Whole bottles as they are bought, or only what is poured."""
    return [
        Prices(menstruum=p.price).total(0.0, p.packs, 0.0),
        Prices(menstruum=p.price / p.pack).total(0.0, p.strong, 0.0),
    ]


def _month(p: Any) -> list[float]:
    """The day itself where it is in the month that is given, else the next day that is."""
    first = round(p.gathered)
    for day in range(first, min(first + 366, p.days.max.toordinal())):
        if p.days.fromordinal(day).month == p.month:
            return [float(day)]
    return []


def _best_before(p: Any) -> list[float]:
    return [float(keeps_until(WITH_ALCOHOL, p.days.fromordinal(round(p.bottled)))[1].toordinal())]


# --- the ties, in the order of the pages ---------------------------------------------------------------------------

NEVER = "A plant that is at risk in the wild stays where it is. Take it from a garden, or from a grower."
NO_MORE = "More than lies there cannot go in."
OVER = "More than a whole plant lies over, on no page: gather less, or put all of it up."
HERB_FIRST = "Herb comes first in a ratio: 1:5, say, is 5 mL for each gram (4.79 fl oz for each oz by weight)."
LINKS = (
    Link("gather", ("at_risk",), lambda p: [0.0 if p.at_risk else math.inf], NEVER, "most", "gate"),
    Link(
        "allowed",
        ("count", "share", "at_risk"),
        _may_go,
        "It is the share of the plants that stand there, rounded down to whole plants.",
    ),
    Link("gather", ("allowed",), lambda p: [p.allowed], "A smaller batch, or a larger stand, would do.", "most"),
    Link(
        "gather",
        ("basket", "per_plant"),
        _plants,
        "It is the basket divided by what one plant gives, rounded up to whole plants.",
    ),
    Link(
        "left", ("count", "gather"), lambda p: [p.count - p.gather], "It is what you do not gather of all that stand."
    ),
    Link(
        "water",
        ("sample_fresh", "sample_dry"),
        lambda p: [float(moisture.water_content.plain(p.sample_fresh, p.sample_dry))],
        "It is what the sample lost, as a share of what it weighed fresh, not of what it weighed dry.",
    ),
    Link("tray", ("basket",), lambda p: [p.basket], "A plant that dries grows lighter, never heavier.", "most"),
    Link(
        "tray",
        ("basket", "water", "state"),
        _tray,
        "The solids stay: what is not water in the basket is not water on the tray. A dry herb still holds a little.",
        if_there=("wilted",),
    ),
    Link("herb", ("tray", "state"), _from_tray, NO_MORE, "most", if_there=("wilted",)),
    Link("herb", ("basket", "state"), _from_basket, NO_MORE, "most", if_there=("wilted",)),
    Link("herb", ("tray", "basket", "per_plant", "state"), _most_of_tray, OVER, "least", if_there=("wilted",)),
    Link("herb", ("basket", "per_plant", "state"), _most_of_basket, OVER, "least", if_there=("wilted",)),
    Link("menstruum", ("herb", "ratio", "state", "method"), _by_added, HERB_FIRST),
    Link(
        "menstruum",
        ("herb", "ratio", "state", "method", "water"),
        _by_another_reading,
        HERB_FIRST,
        if_there=("wilted", "retained"),
    ),
    Link(
        "menstruum",
        ("jars", "jar", "herb", "state"),
        lambda p: _room(p) if p.method == "soak" else [],
        "More jars, or larger ones, would hold it.",
        "most",
    ),
    Link("poured", ("shelf",), lambda p: [p.shelf], "Water only makes a spirit weaker: buy a stronger one.", "most"),
    Link(
        "strong",
        ("menstruum", "poured", "shelf"),
        _strong,
        "Water adds no alcohol: spirit times its strength is as much as menstruum times its strength.",
    ),
    Link(
        "added",
        ("menstruum", "strong", "poured", "shelf"),
        _added,
        "It is what is missing between the spirit and the menstruum; measured, a little more.",
    ),
    Link(
        "plant_water",
        ("herb", "state", "water"),
        _plant_water,
        "It is the plant's share of water times the weight that goes in.",
        if_there=("wilted",),
    ),
    Link(
        "kept",
        ("herb", "retained", "state", "water"),
        _kept,
        "Each gram of DRY plant keeps so much: of a fresh plant only the solids count.",
        if_there=("wilted",),
    ),
    Link(
        "out",
        ("menstruum", "plant_water", "kept", "state"),
        _out,
        "It is what you pour and what the plant brings (of a dried herb: or nothing), less what the marc keeps.",
    ),
    Link(
        "strength",
        ("herb", "menstruum", "poured", "state", "water"),
        _strength,
        "The plant's own water is in there too, and thins the alcohol.",
        if_there=("wilted",),
    ),
    Link(
        "strength",
        ("floor",),
        lambda p: [p.floor],
        "Under it the bottle does not keep. A stronger spirit, more of it, or a drier plant would help.",
        "least",
    ),
    Link("out_low", ("out",), lambda p: [p.out], "The low end lies under what you reckon with.", "most"),
    Link("out_high", ("out",), lambda p: [p.out], "The high end lies over what you reckon with.", "least"),
    Link(
        "strength_low",
        ("strength",),
        lambda p: [p.strength],
        "The low end lies under what you reckon with.",
        "most",
        else_so=True,
    ),
    Link(
        "strength_high",
        ("strength",),
        lambda p: [p.strength],
        "The high end lies over what you reckon with.",
        "least",
    ),
    Link(
        "label",
        ("strength_low",),
        lambda p: [p.strength_low],
        "What is promised is rounded down: no more than the low end of how sure you are.",
        "most",
    ),
    Link("bottles", ("out", "size"), _bottles, "A bottle that is not full is none: rounded down.", "most"),
    Link(
        "bottles",
        ("out", "size"),
        lambda p: [math.floor(BOTTLED * p.out / p.size) - 1],
        "The rest is in no bottle: fill more, or make less.",
        "least",
    ),
    Link("bottles", ("ordered",), lambda p: [p.ordered], "The order asks for more.", "least"),
    Link(
        "gathered", ("month",), _month, "It is the month that is given: the plant stood so when you looked.", "least"
    ),
    Link(
        "put_up",
        ("gathered",),
        lambda p: [p.gathered + (1.0 if getattr(p, "state", "") == "dried" else 0.0)],
        "First it is gathered (and dried, which takes days), then it goes in.",
        "least",
    ),
    Link("bottled", ("put_up",), lambda p: [p.put_up], "First it goes in, then it comes out.", "least"),
    Link("best_before", ("bottled",), lambda p: [p.bottled], "First it is bottled, then it keeps.", "least"),
    Link(
        "best_before",
        ("bottled",),
        _best_before,
        "Five years is the most by common practice, no source.",
        "most",
    ),
    Link(
        "packs",
        ("strong", "pack"),
        _packs,
        "What you must have is rounded up to whole bottles.",
        "least",
        else_so=True,
    ),
    Link(
        "spirit_cost",
        ("strong", "price", "pack", "packs"),
        _spirit_cost,
        "A price is for a whole bottle: count whole bottles, or divide it by what one holds before you count in mL.",
    ),
    Link(
        "glass_cost",
        ("bottles", "glass"),
        lambda p: [Prices(glass=p.glass).total(0.0, 0.0, p.bottles)],
        "It is one price for each bottle you fill.",
    ),
    Link(
        "total",
        ("spirit_cost", "glass_cost"),
        lambda p: [p.spirit_cost + p.glass_cost],
        "It is spirit and bottles together.",
    ),
    Link(
        "total",
        ("budget",),
        lambda p: [p.budget],
        "A smaller batch, or another bottle from the shelf, costs less.",
        "most",
    ),
    Link(
        "each",
        ("total", "bottles"),
        lambda p: [p.total / p.bottles] if p.bottles else [],
        "It is the cost in all, shared out over the bottles you fill.",
    ),
)
WETTER = Link(
    "rain_water",
    ("water",),
    lambda p: [p.water + RAIN_POINTS],
    "8 points wetter is 8 more of every 100 g, not 8 of every 100 more.",
)
# After rain some amounts have a second box; what has none is as it was planned, or follows from what stands there.
RAINED = {name.removeprefix("rain_") for name in PLACES if name.startswith("rain_")}
FOLLOWS = {"plant_water", "kept"}
NOT_AGAIN = {"at_risk", "ordered", "jars"}  # nor is anything that rests on them: there is no second box for jars
AFTER_RAIN = tuple(link for link in LINKS if link.box in RAINED - {"water"} and not NOT_AGAIN.intersection(link.of))
