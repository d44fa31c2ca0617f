"""Floor 3. A plan as a person writes it, page by page: which amounts stand on which page, and what they are called.

Each may be missing until it is written. Nothing here says how it must be made: fresh or dried, soaked or dripped, any
ratio is a plan; `agree` looks only whether its pages agree.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from herbcalc.batch.money import MONEY
from herbcalc.batch.order import METHODS, STATES
from herbcalc.ethanol import STRENGTH
from herbcalc.harvest import MONTH, MONTHS, day_said
from herbcalc.maceration import CONVENTIONS
from herbcalc.units.guard import RATIO, RETAINED, SHARE, VOLUME, WATER, WEIGHT, Kind, give, take
from herbcalc.units.refusals import OutOfRange, WrongUnit, one_of
from herbcalc.units.registry import Q
from herbcalc.units.saying import of_hundred, said, spoken
from herbcalc.units.words import UNITS

PAGES = {
    "given": "What is given",
    "gate": "The gate",
    "harvest": "Harvest",
    "drying": "Fresh or dried",
    "jar": "Jar or drip",
    "yield": "What comes out",
    "bottles": "Bottles and label",
    "calendar": "Calendar",
    "money": "Money",
    "rain": "It rained",
}
GIVEN, RAIN = "given", "rain"


class Place(NamedTuple):
    """One amount of a plan: its page, the kind by which `units.amount` reads it, and what it is called. Of kind "day"
    it is a date; of kind "words", one of some words, or True and False."""

    page: str
    kind: str
    head: str


PLACES = {
    "month": Place(GIVEN, "month", "month of the year"),
    "at_risk": Place(GIVEN, "words", "at risk in the wild"),
    "count": Place(GIVEN, "count", "plants in the stand"),
    "share": Place(GIVEN, "share", "share of the stand that may go"),
    "per_plant": Place(GIVEN, "weight", "what one plant gives"),
    "sample_fresh": Place(GIVEN, "weight", "the sample, fresh"),
    "sample_dry": Place(GIVEN, "weight", "the sample, dried out"),
    "ordered": Place(GIVEN, "count", "bottles in the order"),
    "size": Place(GIVEN, "volume", "size of a bottle"),
    "floor": Place(GIVEN, "strength", "your floor"),
    "dried_to": Place(GIVEN, "moisture", "water left in a dry herb"),
    "budget": Place(GIVEN, "money", "budget"),
    "glass": Place(GIVEN, "money", "price of an empty bottle"),
    "shelf": Place(GIVEN, "strength", "strength of the spirit you buy"),
    "pack": Place(GIVEN, "volume", "what a bottle of it holds"),
    "price": Place(GIVEN, "money", "price of a bottle of it"),
    "jar": Place(GIVEN, "volume", "what a jar holds"),
    "allowed": Place("harvest", "count", "plants that may be taken"),
    "gather": Place("harvest", "count", "plants to gather"),
    "left": Place("harvest", "count", "plants left standing"),
    "basket": Place("harvest", "weight", "fresh plant in the basket"),
    "state": Place("drying", "words", "fresh or dried"),
    "water": Place("drying", "moisture", "water in the plant"),
    "wilted": Place("drying", "moisture", "water in it once it has wilted"),
    "tray": Place("drying", "weight", "weight at which the tray is ready"),
    "method": Place("jar", "words", "soak or drip"),
    "reading": Place("jar", "words", "what the ratio counts"),
    "herb": Place("jar", "weight", "herb that goes in"),
    "ratio": Place("jar", "ratio", "ratio"),
    "menstruum": Place("jar", "volume", "menstruum to pour on"),
    "poured": Place("jar", "strength", "strength of the menstruum"),
    "strong": Place("jar", "volume", "spirit in the menstruum"),
    "added": Place("jar", "volume", "water added to the spirit"),
    "jars": Place("jar", "count", "jars"),
    "retained": Place("yield", "kept", "what stays in the marc"),
    "plant_water": Place("yield", "volume", "water that the plant brings"),
    "kept": Place("yield", "volume", "what the marc keeps in all"),
    "out": Place("yield", "volume", "liquid that comes out"),
    "out_low": Place("yield", "volume", "liquid that comes out, low end"),
    "out_high": Place("yield", "volume", "liquid that comes out, high end"),
    "strength": Place("yield", "strength", "strength at the end"),
    "strength_low": Place("yield", "strength", "strength, low end"),
    "strength_high": Place("yield", "strength", "strength, high end"),
    "bottles": Place("bottles", "count", "bottles to fill"),
    "label": Place("bottles", "strength", "strength that the label promises"),
    "gathered": Place("calendar", "day", "day of gathering"),
    "put_up": Place("calendar", "day", "day it goes into the jar"),
    "bottled": Place("calendar", "day", "day of bottling"),
    "best_before": Place("calendar", "day", "best before"),
    "packs": Place("money", "count", "bottles of spirit to buy"),
    "spirit_cost": Place("money", "money", "cost of the spirit"),
    "glass_cost": Place("money", "money", "cost of the bottles"),
    "total": Place("money", "money", "cost in all"),
    "each": Place("money", "money", "cost of one bottle"),
    "rain_water": Place(RAIN, "moisture", "water in the plant after rain"),
    "rain_basket": Place(RAIN, "weight", "fresh plant in the basket, after rain"),
    "rain_gather": Place(RAIN, "count", "plants to gather, after rain"),
    "rain_tray": Place(RAIN, "weight", "weight at which the tray is ready, after rain"),
    "rain_herb": Place(RAIN, "weight", "herb that goes in, after rain"),
    "rain_menstruum": Place(RAIN, "volume", "menstruum to pour on, after rain"),
    "rain_out": Place(RAIN, "volume", "liquid that comes out, after rain"),
    "rain_strength": Place(RAIN, "strength", "strength at the end, after rain"),
    "rain_bottles": Place(RAIN, "count", "bottles to fill, after rain"),
}
COUNT = Kind("a count", "", "7", low=0.0, plain=True)  # of plants, bottles or jars
YES_OR_NO = (True, False)
WORDS: dict[str, tuple[Any, ...]] = {
    "state": STATES,
    "method": METHODS,
    "reading": tuple(CONVENTIONS),
    "at_risk": YES_OR_NO,
}
KINDS: dict[str, Kind] = {
    "weight": WEIGHT,
    "volume": VOLUME,
    "strength": STRENGTH,
    "moisture": WATER,
    "ratio": RATIO.more_than_none,
    "kept": RETAINED,
    "share": SHARE,
    "count": COUNT,
    "money": MONEY,
    "month": MONTH,
}
JUG, FIVES = 100.0, 5.0  # mL: from where on, and by which lines, a jug is read
DIVIDED_BY = ((GIVEN, "weight"), (GIVEN, "volume"))  # a bottle, a pack, a plant, a sample of nothing is none


def taken(plan: Mapping[str, Any]) -> dict[str, Any]:
    """The plan with each amount as its bare number, in the unit of its kind, a day as its place among all days.

    Refuses: another name, an amount of another kind or out of its range, a list (WrongUnit, OutOfRange).
    """
    return {name: _bare(name, value) for name, value in plan.items()}


def _bare(name: str, value: Any) -> Any:
    one_of("plan", name, PLACES)
    kind = PLACES[name].kind
    if kind == "words":
        if WORDS[name] is YES_OR_NO:
            if not isinstance(value, bool):
                raise WrongUnit(f"{name}: it is a yes or a no, typed True or False, and something else was given.")
        else:
            one_of(name, value, WORDS[name])
        return value
    if kind == "day":
        if not hasattr(value, "toordinal") or not hasattr(value, "fromordinal"):
            raise WrongUnit(f"{name}: a date is needed, such as datetime.date(2026, 7, 14), and none was given.")
        return float(value.toordinal())
    there = KINDS[kind].more_than_none if (PLACES[name].page, kind) in DIVIDED_BY else KINDS[kind]
    number = take(name, there, value)
    if np.ndim(number):
        raise OutOfRange(f"{name}: one amount stands in one place, and a list was given.")
    return float(number)


def step(value: Any) -> float:
    """The step by which a weight or a volume is written, in g or mL: a quarter of the kitchen unit that was used (of
    an ounce where pounds were), else 1 g or 1 mL; 5 mL from 100 mL on, where it is a line of a jug (all fives); three
    figures of kilograms and litres.

    >>> from herbcalc.units import Q
    >>> step(Q(352, "mL")), step(Q(350, "mL")), round(step(Q(12, "oz")), 2), round(step(Q(2, "lb")), 2)
    (1.0, 5.0, 7.09, 7.09)
    """
    unit = str(getattr(value, "units", ""))
    if unit in UNITS and UNITS[unit].system == "kitchen":
        one = Q(0.25, "oz" if unit == "lb" else unit)
        return float(one.to("g" if UNITS[unit].kind == "weight" else "mL").magnitude)
    if unit == "mL" and value.magnitude >= JUG and value.magnitude % FIVES == 0.0:
        return FIVES
    return 10.0 if unit in ("kg", "L") else 1.0


def figure_said(name: str, number: float, like: Any, currency: str) -> str:
    """A bare number of a place in words, in both systems; `like` is what was written there, for its day."""
    kind = PLACES[name].kind
    if kind == "day":
        return day_said(type(like).fromordinal(round(number)))
    if kind == "money":
        return f"{currency}{number:,.2f}"
    if kind == "month":
        return MONTHS[round(number) - 1]
    if kind == "count":
        return f"{number:,.10g}"
    if kind == "share":
        return of_hundred(number)
    if kind == "kept":
        return KINDS[kind].said(number)
    return said(number, KINDS[kind].unit)


def written_said(name: str, value: Any, currency: str) -> str:
    """What was written in a place, in words: the unit that was written first, then its twin."""
    if PLACES[name].kind in ("weight", "volume"):
        return spoken(value)
    if PLACES[name].kind == "words":
        return str(value)
    return figure_said(name, _bare(name, value), value, currency)


def amount_of(name: str, number: float) -> Any:
    """A bare number of a place as an amount with its unit."""
    unit = KINDS[PLACES[name].kind].unit
    return give(number, unit) if unit else number
