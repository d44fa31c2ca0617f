"""Floor 5. What goes into a figure, how sure that leaves it, and the line that says so."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from herbcalc.batch import Reading, Readings, carried
from herbcalc.show.lessons.lesson03 import MOULDS
from herbcalc.show.look import View
from herbcalc.show.words import apart, one_to, percent
from herbcalc.units import said

NOTHING = 1e-6  # in any unit of a panel: a plant that weighs next to nothing
PART = 0.5  # points between the two rules that are told
NO_READING = "Nothing that is read on scale or jug goes into this figure."
UNSEEN = "What scale, jug and sample leave open is smaller than this figure shows."
NO_HELP = "No one of the readings would help, were its doubt halved."


class Doubt(NamedTuple):
    """What goes into one figure of a panel.

    sum     takes each reading by its name, as one number or a list, and gives the figure in `unit`
    read    what is read for it, by name; empty where nothing is
    unit    as the panel's number has it
    beside  a sentence on what is not counted in
    """

    sum: Callable[..., Any]
    read: Mapping[str, Reading]
    unit: str
    beside: str = ""


def wet(readings: Readings, water: float) -> Reading:
    """The water of a plant: sampled while it is fresh or wilted, told by hand once it may lie in a closed jar."""
    return readings.felt(water) if water <= MOULDS else readings.sampled(water)


def rules_part(kitchen: float, measured: float) -> str:
    """That the kitchen rule and the measured one part is no doubt of a reading: said where the figure of the other
    may lie outside of the range. Strengths in % vol.

    >>> rules_part(66.7, 68.4), rules_part(29.1, 29.1)
    ('The two rules stand 1.7 points apart: not counted in.', '')
    """
    return (
        f"The two rules stand {apart(kitchen, measured)}: not counted in." if abs(kitchen - measured) > PART else ""
    )


def line(doubt: Doubt, view: View, brief: bool = False) -> str:
    """How sure it is, in words: between what it lies and, where it is not to be brief, what would help most.

    >>> herb = Readings().weighed(100.0)
    >>> line(Doubt(lambda herb: 2.0 * herb, {"herb": herb}, "g"), View())
    '19 times in 20 between 198 g (7 oz) and 202 g (7 1/4 oz). What would help most: weighing the plant on a finer \
scale (half that doubt: a range about half as wide).'
    """
    found = carried(doubt.sum, doubt.read)
    low, high = _said(found.low, doubt.unit, view), _said(found.high, doubt.unit, view)
    if not doubt.read:
        told = NO_READING
    elif low == high:
        told = UNSEEN
    else:
        told = f"19 times in 20 between {_pair(low, high)}."
        if not brief:
            told += f" {found.help or NO_HELP}"
    return told if brief else f"{told} {doubt.beside}".strip()


def _said(number: float, unit: str, view: View) -> str:
    """One end, as the panel says such a number."""
    number = 0.0 if abs(number) < NOTHING else number
    if unit == "percent":
        return percent(number / 100.0)
    if unit == "ratio":
        return one_to(number)
    if unit in ("percent_vol", "percent_wb", "points"):
        return f"{number:.1f} {'% vol' if unit == 'percent_vol' else '% water' if unit == 'percent_wb' else unit}"
    return said(number, unit) if unit == "hour" else view.say(number, unit)


def _pair(low: str, high: str) -> str:
    """Both ends; a unit that is only a word behind its number is said once."""
    for words in (" % vol", " % water", " points", " %"):
        if low.endswith(words) and high.endswith(words) and low[0].isdigit():
            return f"{low.removesuffix(words)} and {high}"
    return f"{low} and {high}"
