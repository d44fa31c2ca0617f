"""Floor 2. From the stand to the basket: what may be taken, how many plants that needs, and when.

What one may take is rounded down, what one must have is rounded up; a hair of rounding counts as met. These sums come
after the questions that no sum answers: is it surely this plant, whose land is it, was it sprayed, is it at risk.
Where nothing else is said an argument is one amount or a list, and lists are matched one by one.
"""

from __future__ import annotations

import csv
import functools
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

import numpy as np

from herbcalc.units.arrays import UNCOUNTABLE, counted, whole
from herbcalc.units.guard import SHARE, WEIGHT, Kind, give, guarded, take
from herbcalc.units.refusals import OutOfRange, WrongUnit, one_of
from herbcalc.units.saying import of_hundred, said, so_many, spoken

COUNT = Kind("a count of plants, or of leaves on one", "", "60", low=0.0, plain=True)
LOST = Kind(
    "a share that dies each year", "", "0.1, which is 10 of every 100", low=0.0, high=1.0, below=True, plain=True
)
YEARS = Kind("a number of years", "", "3", low=0.0, high=50.0, plain=True)
MONTH = Kind("a month of the year", "", "7, which is July", low=1.0, high=12.0, plain=True)

HEMISPHERES = ("north", "south")
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
# The middle plant of a stand lies between the lightest and the heaviest of n dug at random with a chance of
# 1 - 2 / 2^n: 31 in 32 for six. With fewer, half to double what they weigh is counted on; common practice, no source.
ENOUGH_WEIGHED = 6
HALF_TO_DOUBLE = 2.0

GROWN = "Ask a grower for it, or use plants from a garden."
LATER = "Let this stand grow, and count it again another year."


# --- how many ------------------------------------------------------------------------------------------------------


def _rounded(number: Any, way: Any) -> Any:
    """Whole plants, rounded with np.floor or np.ceil; a whole number that is missed by rounding alone is meant."""
    if not np.all(number < UNCOUNTABLE):
        raise OutOfRange(
            "That comes to more plants than can be counted. A plant that gives 100 g (3 1/2 oz), or a share of 0.1, "
            "would work; was one of them typed in another unit?"
        )
    return counted(number, way)


def _yes_or_no(name: str, value: Any) -> bool:
    if not isinstance(value, (bool, np.bool_)):
        raise WrongUnit(f"{name}: it is a yes or a no, typed True or False, and something else was given.")
    return bool(value)


@guarded(None, count=COUNT, share=SHARE)
def allowance(count: Any, share: Any, at_risk: bool = False) -> Any:
    """How many plants of a stand may be taken, or how many leaves of a plant.

    count    plants in the stand, or leaves on the plant; plain, 0 or more
    share    the part that may go, plain, 0 to 1: about a third of the leaf; 0.05 to 0.1 of a common wild stand where
             digging ends the plant; in one's own garden up to 1
    at_risk  True for a wild plant that is at risk; then nothing is taken

    Result: a whole number, rounded down; `may_take` says why where it is 0. Refuses: WrongUnit, OutOfRange.
    Source: common practice; the shares in use differ widely, from 1 in 20 to one half.

    >>> allowance(60, 0.1), allowance(8, 0.1), allowance(60, 0.1, at_risk=True)
    (6, 0, 0)
    """
    return _rounded(count * share * (0.0 if _yes_or_no("at_risk", at_risk) else 1.0), np.floor)


@guarded(None, fresh=WEIGHT, per_plant=WEIGHT.more_than_none, share=SHARE.more_than_none)
def plants_needed(fresh: Any, per_plant: Any, share: Any = 1.0) -> Any:
    """How many plants a wanted basket needs.

    fresh      the basket, g of fresh plant, 0 or more
    per_plant  what one plant gives when all of the part is taken, g fresh, more than 0: weigh one (`yield_of`)
    share      the part of each plant that is taken, plain, more than 0 and at most 1; all of it unless given

    Result: a whole number, rounded up. Refuses: WrongUnit; OutOfRange also for more plants than can be counted.
    Source: plain arithmetic.

    >>> from herbcalc.units import Q
    >>> plants_needed(Q(1.2, "kg"), Q(250, "g")), plants_needed(Q(1, "lb"), Q(6, "oz"), share=1 / 3)
    (5, 8)
    """
    with np.errstate(
        over="ignore", divide="ignore", invalid="ignore"
    ):  # what grows past all counting is refused by name
        return _rounded(np.divide(fresh, np.multiply(per_plant, share)), np.ceil)


@guarded(None, harvest=COUNT, lost=LOST, years=YEARS)
def plants_to_set(harvest: Any, lost: Any, years: Any = 3.0) -> Any:
    """How many plants to set now for a harvest in a few years.

    harvest  plants wanted then, a count, plain, 0 or more
    lost     the share that dies each year, plain, 0 or more and less than 1; 0.1 to 0.2 is common practice
    years    until the harvest, plain, 0 to 50; 3 unless given, as for many roots (with 1, `lost` is the loss in all)

    Result: a whole number, rounded up. Refuses: WrongUnit; OutOfRange also for more plants than can be counted.
    Source: plain arithmetic: each year keeps 1 - lost of what stood before.

    >>> plants_to_set(20, 0.1), plants_to_set(20, 0.1, years=1)
    (28, 23)
    """
    with np.errstate(over="ignore", divide="ignore"):
        return _rounded(np.divide(harvest, np.power(1.0 - lost, years)), np.ceil)


@guarded("g", count=COUNT, share=SHARE, per_plant=WEIGHT, of_plant=SHARE)
def largest_batch(count: Any, share: Any, per_plant: Any, at_risk: bool = False, of_plant: Any = 1.0) -> Any:
    """The heaviest basket that a stand may give.

    count      plants in the stand, a count, plain, 0 or more
    share      the part of the stand that may be taken, plain, 0 to 1
    per_plant  what one plant gives, g fresh, 0 or more
    at_risk    True for a wild plant that is at risk; then the basket stays empty
    of_plant   the part of each plant that is taken, plain, 0 to 1; all of it unless given

    Result: g of fresh plant. Refuses: WrongUnit, OutOfRange. Source: `allowance` in whole plants, plain arithmetic.

    >>> from herbcalc.units import Q
    >>> print(f"{largest_batch(66, 0.1, Q(250, 'g')).magnitude:g} g")
    1500 g
    """
    return allowance.plain(count, share, at_risk) * per_plant * of_plant


# --- and why -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Allowance:
    """What a stand allows. plants: how many may be taken; left: how many stay; reason: why it is none, in a sentence,
    or "" where some may be taken; ways_on: what would work instead, a sentence each."""

    plants: int
    left: int
    reason: str
    ways_on: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """A wanted basket held against a stand. needed: plants for it; allowed: plants that may be taken; dig: the
    smaller of the two; fresh: what those weigh (g); enough: whether that will do; reason and ways_on: why not, and
    what would work, as in Allowance."""

    needed: int
    allowed: int
    dig: int
    fresh: Any
    enough: bool
    reason: str
    ways_on: tuple[str, ...]


def _plants(number: int) -> str:
    return so_many(number, "plant")


def may_take(count: Any, share: Any, at_risk: bool = False) -> Allowance:
    """What a stand allows, and where that is nothing: why, and what would work.

    count    plants in the stand, plain, 0 or more; one stand at a time, so all are single amounts
    share    the part that may be taken, plain, 0 to 1
    at_risk  True for a wild plant that is at risk

    Result: Allowance(plants, left, reason, ways_on). Refuses: as `allowance`, and lists (OutOfRange).
    Source: `allowance`.

    >>> may_take(60, 0.1).plants, may_take(60, 0.1).left
    (6, 54)
    >>> print(may_take(8, 0.1).reason)
    10 of every 100 is less than one whole plant of the 8 that stand here, so none is taken this year.
    """
    plants = _single(allowance(count, share, at_risk), "may_take")
    stand, part = _single(take("count", COUNT, count), "may_take"), _single(take("share", SHARE, share), "may_take")
    left = int(_rounded(stand - plants, np.floor))
    if plants:
        return Allowance(plants, left, "", ())
    if at_risk:
        reason = "This plant is at risk in the wild, so none is taken from a wild stand, however many stand there."
        return Allowance(0, left, reason, ("Use garden-grown plants, or ask a grower who raises it from seed.",))
    if stand == 0.0:
        return Allowance(0, left, "No plant was counted here.", ("Look for another stand.", GROWN))
    if part == 0.0:
        return Allowance(0, left, "The share is 0, so all of this stand stays.", (GROWN,))
    reason = (
        f"{of_hundred(part)} is less than one whole plant of the {said(stand, '')} that stand here, so none is taken "
        "this year."
    )
    larger = f"Look for a larger stand: from {_plants(plants_needed.plain(1.0, 1.0, part))} on, one may be taken."
    return Allowance(0, left, reason, (larger, GROWN, LATER))


def plan(fresh: Any, per_plant: Any, count: Any, share: Any, at_risk: bool = False, of_plant: Any = 1.0) -> Plan:
    """A wanted basket held against what a stand allows.

    fresh      the basket wanted, g of fresh plant, 0 or more; one stand at a time, so all are single amounts
    per_plant  what one plant gives, g fresh, more than 0
    count      plants in the stand, plain, 0 or more
    share      the part of the stand that may be taken, plain, 0 to 1
    at_risk    True for a wild plant that is at risk
    of_plant   the part of each plant that is taken, plain, more than 0 and at most 1; all of it unless given

    Result: Plan(needed, allowed, dig, fresh, enough, reason, ways_on): dig no more than is needed and no more than is
    allowed. Refuses: as `plants_needed` and `allowance`, and lists (OutOfRange). Source: plain arithmetic.

    >>> from herbcalc.units import Q
    >>> basket = plan(Q(1.2, "kg"), Q(250, "g"), count=60, share=0.1)
    >>> basket.needed, basket.allowed, basket.dig, basket.enough
    (5, 6, 5, True)
    >>> print(plan(Q(3, "kg"), Q(250, "g"), count=60, share=0.1).ways_on[0])
    Make a smaller batch: 6 plants give about 1500 g (3 lb 4 3/4 oz) fresh.
    """
    needed = _single(plants_needed(fresh, per_plant, of_plant), "plan")
    stand = may_take(count, share, at_risk)
    dig = min(needed, stand.plants)
    basket = dig * take("per_plant", WEIGHT, per_plant) * take("of_plant", SHARE, of_plant)
    enough = stand.plants >= needed
    if enough or not stand.plants:
        told = ("", ()) if enough else (stand.reason, stand.ways_on)
        return Plan(needed, stand.plants, dig, give(basket, "g"), enough, *told)
    reason = f"This basket needs {_plants(needed)}, and {_plants(stand.plants)} of this stand may be taken."
    larger = plants_needed.plain(float(needed), 1.0, take("share", SHARE, share))
    ways = (
        f"Make a smaller batch: {_plants(dig)} give{'s' if dig == 1 else ''} about "
        f"{spoken(give(basket, 'g'), round='down')} fresh.",
        f"Look for a larger stand: {_plants(larger)} would allow it.",
        f"For the rest: {GROWN[0].lower()}{GROWN[1:]}",
        LATER,
    )
    return Plan(needed, stand.plants, dig, give(basket, "g"), enough, reason, ways)


def _single(number: Any, name: str) -> Any:
    if np.ndim(number):
        raise OutOfRange(f"{name}: one stand at a time, please; a list was given. A single amount would work.")
    return number


# --- how much one plant gives --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Yield:
    """What one plant gives, from those that were weighed. weighed: how many; each: their mean (g); low, high: what to
    count on for a plant (g); factor: high over low, plain; measured: whether low and high were seen on the scale, or
    are half and double because few were weighed."""

    weighed: int
    each: Any
    low: Any
    high: Any
    factor: float
    measured: bool

    def said(self) -> str:
        """The same as a sentence, in both systems of units."""
        ends = f"{spoken(self.low)} to {spoken(self.high)}"
        mean = f"{spoken(self.each)}{' each on average' if self.weighed > 1 else ''}"
        seen = f"{self.weighed} plant{' was' if self.weighed == 1 else 's were'} weighed: {mean}"
        times = f"the most is {said(self.factor, '')} times the least"
        if self.measured:
            return f"{seen}, from {ends}; {times}."
        return (
            f"{seen}. Until {ENOUGH_WEIGHED} are weighed, count on {ends}: half to double is common practice, and "
            f"{times}. From one garden to another plants of a kind can differ tenfold."
        )


@guarded(None, weights=WEIGHT.more_than_none.listed)
def yield_of(weights: Any) -> Yield:
    """What one plant gives, and how far to trust that: dig one, weigh it, and never go by a table.

    weights  of the plants weighed, g fresh, each more than 0; one weight, or a list of them

    Result: Yield(weighed, each, low, high, factor, measured). With six or more, low and high are the lightest and the
    heaviest, which hold the stand's middle plant 31 times in 32; with fewer, half and double what they weigh, or
    further where the scale showed more. Refuses: WrongUnit; OutOfRange also for an empty list.
    Source: common practice for half to double; the rest is plain arithmetic. Told of one garden root: 65 to 227 g.

    >>> from herbcalc.units import Q
    >>> one = yield_of(Q(120, "g"))
    >>> f"{one.low:g~P} to {one.high:g~P}, {one.factor:g} times"
    '60 g to 240 g, 4 times'
    >>> print(yield_of(Q([65, 80, 110, 140, 180, 227], "g")).said())
    6 plants were weighed: 134 g (4 3/4 oz) each on average, from 65 g (2 1/4 oz) to 227 g (8 oz); the most is 3.49 \
times the least.
    """
    weights = np.atleast_1d(weights)
    if not weights.size:
        raise OutOfRange(
            "weights: no plant was weighed yet. Dig one, brush it clean and weigh it: 120 g, or 4 1/4 oz."
        )
    each, low, high = float(weights.mean()), float(weights.min()), float(weights.max())
    measured = weights.size >= ENOUGH_WEIGHED
    if not measured:
        low, high = min(low, each / HALF_TO_DOUBLE), max(high, each * HALF_TO_DOUBLE)
    return Yield(weights.size, give(each, "g"), give(low, "g"), give(high, "g"), high / low, measured)


# --- when ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Window:
    """When a part is usually gathered. months: 1 is January, in the order in which the season comes round; sign: what
    to look for, which counts more; leave: what stays. Common practice for a temperate country: it knows no garden."""

    part: str
    hemisphere: str
    months: tuple[int, ...]
    sign: str
    leave: str

    def holds(self, month: Any) -> bool:
        """Whether a month (1 to 12) is among the usual ones."""
        return _month(month) in self.months

    def waits(self, month: Any) -> int:
        """Months until the next usual one; 0 within the window."""
        return min((open_ - _month(month)) % 12 for open_ in self.months)

    def said(self) -> str:
        """The window as a sentence: the months, then the sign."""
        return (
            f"Usually {months_said(self.months)} in the {self.hemisphere}, by common practice; go when {self.sign}."
        )

    def answer(self, month: Any) -> str:
        """Is this month one for it? A gentle sentence."""
        named = MONTHS[_month(month) - 1]
        if self.holds(month):
            return f"{named} is one of the usual months for {self.part} ({self.hemisphere}). Go when {self.sign}."
        waits = self.waits(month)
        return (
            f"{named} is outside the usual months for {self.part} ({self.hemisphere}): {months_said(self.months)}, "
            f"by common practice. That is {so_many(waits, 'month')} away. Go when {self.sign}."
        )


def window(part: str, hemisphere: str = "north") -> tuple[int, ...]:
    """The months in which a part is usually gathered in a temperate country.

    part        "leaf", "flower", "flowering tops", "root", "bark", "fruit", "seed" or "bud"
    hemisphere  "north" or "south", where the seasons come half a year later

    Result: months as numbers, 1 is January, in the order in which the season comes round. The sign on the plant
    counts more than the month: `gathering` gives both. Refuses: another word (OutOfRange). Source: common practice.

    >>> window("root"), window("root", "south")
    ((9, 10, 11, 2, 3), (3, 4, 5, 8, 9))
    """
    return gathering(part, hemisphere).months


def gathering(part: str, hemisphere: str = "north") -> Window:
    """When a part is usually gathered, by which sign, and what to leave.

    part        as for `window`; plurals and a few other words are understood ("leaves", "berries", "tops")
    hemisphere  "north" or "south"

    Result: Window(part, hemisphere, months, sign, leave). Refuses: another word (OutOfRange).
    Source: common practice; see data/gathering.csv.

    >>> print(gathering("flower").said())
    Usually May to August in the north, by common practice; go when the first third is in flower: take those newly \
open, on a dry morning.
    >>> gathering("root").holds(7), gathering("root").waits(7)
    (False, 2)
    """
    one_of("hemisphere", hemisphere, HEMISPHERES)
    table, other_words = _table()
    word = " ".join(part.lower().split()) if isinstance(part, str) else part
    known = other_words.get(word, word) if isinstance(word, str) else word
    if not isinstance(known, str) or known not in table:
        one_of("part", part, table)
    row = table[known]
    later = 6 if hemisphere == "south" else 0
    months = tuple((int(month) - 1 + later) % 12 + 1 for month in row["months"].split())
    return Window(known, hemisphere, months, row["sign"], row["leave"])


def parts() -> tuple[str, ...]:
    """The parts of a plant that `window` knows.

    >>> parts()[:3]
    ('leaf', 'flower', 'flowering tops')
    """
    return tuple(_table()[0])


def months_said(months: tuple[int, ...]) -> str:
    """Months in words, those that follow each other as one stretch.

    >>> months_said((9, 10, 11, 2, 3)), months_said((12, 1, 2)), months_said((6,))
    ('September to November, or February and March', 'December to February', 'June')
    """
    stretches: list[list[int]] = []
    for month in months:
        if stretches and month == stretches[-1][-1] % 12 + 1:
            stretches[-1].append(month)
        else:
            stretches.append([month])
    return ", or ".join(_stretch(stretch) for stretch in stretches)


def day_said(day: Any) -> str:
    """A day with its month in words, which no reader turns round.

    day   a date, of any year

    Result: text.

    >>> from datetime import date
    >>> day_said(date(2026, 3, 2))
    '2 March 2026'
    """
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _stretch(months: list[int]) -> str:
    first, last = MONTHS[months[0] - 1], MONTHS[months[-1] - 1]
    return first if len(months) == 1 else f"{first} {'and' if len(months) == 2 else 'to'} {last}"


def _month(month: Any) -> int:
    number = take("month", MONTH, month)
    counted = None if np.ndim(number) else whole(number)
    if counted is None:
        raise OutOfRange("month: it is one whole number from 1 to 12, and something else was given; 7 is July.")
    return counted


@functools.cache
def _table() -> tuple[dict[str, dict[str, str]], dict[str, str]]:
    """The rows of the table by part, and the part that each other word means."""
    text = (files("herbcalc") / "data" / "gathering.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    return {row["part"]: row for row in rows}, {word: row["part"] for row in rows for word in row["also"].split("|")}
