"""Floor 3. A batch as it is written on paper: whole plants and rounded amounts, and still it can be made.

What one must have is rounded up, what one may take or promise is rounded down. A quarter of an ounce is coarser than
a gram, so the plan is worked through twice, once in grams and mL and once in ounces and fluid ounces, each amount
from the rounded one before it: whoever keeps to one of the two gets the bottles that were ordered.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from herbcalc.batch.figures import Figures, fresh_for, kept_each, off_the_tray, on_tray, stand_plan
from herbcalc.batch.order import Making
from herbcalc.units import amount
from herbcalc.units.arrays import above, below, counted
from herbcalc.units.guard import give
from herbcalc.units.saying import Way, said, sides

GATHERED = "plants to gather"
KINDS = {"g": "weight", "mL": "volume"}
HAIR, HAIR_SHARE = 0.5, 0.02  # g or mL, and share, by which a kitchen step counts as met


class Line(NamedTuple):
    """One line of a plan.

    what     a name
    must     whether it must be there, and is rounded up; else it is what may be taken or promised, rounded down
    metric   what the metric side of the printed amount says, in g, mL or % vol, or a count
    kitchen  what its kitchen side says, in the same unit; where none is printed, the metric side
    text     the amount as it is printed
    """

    what: str
    must: bool
    metric: float
    kitchen: float
    text: str


class _Side(NamedTuple):
    what: str
    must: bool
    number: float
    text: str


def plan(making: Making, found: Figures) -> list[Line]:
    """The lines of `Batch.plan`, in the order of the walk."""
    return [_both(*pair) for pair in zip(*(_one(making, found, side) for side in (0, 1)), strict=True)]


def _both(metric: _Side, kitchen: _Side) -> Line:
    text = metric.text
    if metric.text != kitchen.text:
        text = f"{metric.text} ({kitchen.text})"
    if metric.text.replace(",", "").isdigit():  # whole things are counted one way
        metric = kitchen = (max if metric.must else min)(metric, kitchen, key=lambda side: side.number)
        text = metric.text
    return Line(metric.what, metric.must, metric.number, kitchen.number, text)


def _one(making: Making, found: Figures, side: int) -> list[_Side]:
    """The plan in one system of units; `side` is 0 for metric, 1 for the kitchen's."""
    herb, herb_said = _printed(found.herb, "g", True, side)
    fresh, fresh_said = herb, herb_said
    lies = on_tray(making)
    if lies:
        fresh, fresh_said = _printed(fresh_for(making, herb), "g", True, side)
    lines = []
    if making.bare["per_plant"] is not None:
        per_plant, stand = making.number("per_plant"), stand_plan(making, found.fresh)
        plants = counted(fresh / per_plant, np.ceil)
        if stand is not None:
            lines.append(_count("plants that may be taken", False, stand.allowed))
            if stand.enough and plants > stand.allowed:  # what may be taken is enough, and the paper asks no more
                plants = stand.allowed
                fresh, fresh_said = _printed(plants * per_plant, "g", False, side)
                herb, herb_said = fresh, fresh_said
                if lies:
                    herb, herb_said = _printed(off_the_tray(making, fresh), "g", False, side)
        lines.append(_count(GATHERED, True, plants))
    lines.append(_Side("fresh plant", True, fresh, fresh_said))
    if lies:
        dry = making.state == "dried"
        tray = _printed(off_the_tray(making, fresh), "g", False, side)
        lines.append(_Side(f"weight of the {'dry' if dry else 'wilted'} tray", False, *tray))
        lines.append(_Side("dried herb" if dry else "wilted plant", True, herb, herb_said))
    fills = found.finished + kept_each(making) * herb
    lines.append(_Side("menstruum", True, *_printed(max(found.each * herb, fills), "mL", True, side)))
    lines.append(_count("bottles", False, counted(found.bottles, np.floor)))
    claimed = float(np.floor(min(found.strength, found.measured) + 1e-9))
    return [*lines, _Side("strength to claim", False, claimed, said(claimed, "percent_vol"))]


def _count(what: str, must: bool, number: int) -> _Side:
    return _Side(what, must, float(number), f"{number:,}")


def _printed(number: float, unit: str, must: bool, side: int) -> tuple[float, str]:
    """An amount as one system prints it, and what that says: never less where it must be had, else never more."""
    way: Way = "up" if must else "down"
    shown = _read(number, unit, way, side)
    if below(shown[0], number) if must else above(shown[0], number):  # a kitchen step a hair off counted as met
        hair = min(HAIR, HAIR_SHARE * number)
        shown = _read(number + hair if must else number - hair, unit, way, side)
    return shown


def _read(number: float, unit: str, way: Way, side: int) -> tuple[float, str]:
    both = sides(give(number, unit), round=way)
    text = both[side] or both[0]
    return float(amount(text, KINDS[unit]).to(unit).magnitude), text
