"""Floor 4. Lesson 3, the room and the log: what air carries off, hours to a stop weight, and which way says no."""

from __future__ import annotations

import math
from collections.abc import Callable

from herbcalc.homework.blueprint import (
    HOURS,
    WEIGHT,
    Ask,
    Figure,
    Figures,
    Option,
    case,
    grid,
    mistake,
)
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import BY_METRIC, METRIC, figure_said, g, pct, three
from herbcalc.homework.wording import exact as n
from herbcalc.units import Q

_LOT = 100  # m³ of air that the readings of 3.10 are told for


def _carried(f: Figures) -> float:
    return (f.b - f.a) * f.V / _LOT * f.h


def _carried_way(f: Figures, w: Walk) -> None:
    each = w.total("g", f"What 100 m³ (3530 cubic feet) carry off, in g: {n(f.b)} − {n(f.a)}", f.b, -f.a)
    lots = w.step("", f"How many such lots pass in an hour: {n(f.V)} ÷ 100", f.V / _LOT)
    hourly = w.step("g", f"Carried off in an hour, in g: {n(each)} × {n(lots)}", each * lots)
    w.step("g", f"In all the hours, in g: {n(hourly)} × {n(f.h)}", hourly * f.h)


def _lighter(_: Figures, x: float) -> str:
    return f"The tray would have to be {g(x)} lighter by then. Is it, on your scale?"


def _at_rest(f: Figures, halvings: float) -> float:
    """The weight of the tray of 3.11 once what it has to lose has been halved so many times."""
    return f.E + f.D / 2**halvings


def _weighed(halvings: float | None) -> Callable[[Figures], str]:
    """That weight as it stands in the question; None: after the last halving."""
    return lambda f: figure_said(_GRAMS, _at_rest(f, f.n if halvings is None else halvings), alone=False)


_GRAMS = grid("weight", "g", 0, 0)


def _hours(f: Figures) -> float:
    return f.n * f.p


def _hours_way(f: Figures, w: Walk) -> None:
    first, second, stop = (_at_rest(f, halvings) for halvings in (0, 1, f.n))
    to_go = w.total("g", f"Still to go at the first weighing, in g: {n(first)} − {n(f.E)}", first, -f.E)
    w.total("g", f"At the second, which is half of it, in g: {n(second)} − {n(f.E)}", second, -f.E)
    left = w.total("g", f"At the stop weight, in g: {n(stop)} − {n(f.E)}", stop, -f.E)
    times = w.step("", f"So many times less than at first: {n(to_go)} ÷ {n(left)}", to_go / left)
    w.say(f"One halving took {n(f.p)} h, and {n(times)} times less is ⟦{f.n:.0f} halvings⟧")
    w.step("h", f"So in hours: {f.n:.0f} × {n(f.p)}", f.n * f.p)


def _by_then(f: Figures, x: float) -> str:
    return f"After {three(x)} hours the tray would weigh about {g(_at_rest(f, x / f.p))}."


# The one answer of 3.12 that says no in each case; the weights of both days follow from the stop weight.
_TODAY = (1.08, 0.99, 0.99)
_LOST = (0.004, 0.06, 0.004)  # of yesterday's weight, overnight
_FELT = ("The leaf crumbles and the thickest stem snaps", "The leaf crumbles and the thickest stem snaps",
         "The leaf crumbles, and the thickest stem bends")  # fmt: skip


def _now(f: Figures) -> float:
    return float(round(f.S * _TODAY[int(f.case)]))


def _before(f: Figures) -> float:
    return float(round(_now(f) / (1 - _LOST[int(f.case)])))


def _checked(f: Figures) -> tuple[str, str, str]:
    """What comes of each of the three ways, in words."""
    now, before = _now(f), _before(f)
    lost = pct((before - now) / before)
    return (
        f"the tray weighs {g(now)}, and its stop weight is {g(f.S)}",
        f"it lost {lost} of its weight overnight",
        f"{_FELT[int(f.case)][0].lower()}{_FELT[int(f.case)][1:]}",
    )


def _not_yet_way(f: Figures, w: Walk) -> None:
    now, before = _now(f), _before(f)
    w.say(f"Stop weight: {g(now)} today, and it should be {g(f.S)} or less: ⟦{'yes' if now <= f.S else 'no'}⟧")
    lost = w.total("g", f"Two weighings, lost overnight, in g: {n(before)} − {n(now)}", before, -now)
    share = w.step("pct", f"Of the day before: {n(lost)} ÷ {n(before)}", lost / before)
    w.say(f"Within 1 %? {pct(share)}: ⟦{'yes' if share <= 0.01 else 'no'}⟧")
    w.say(f"The hands: {_checked(f)[2]}: ⟦{'no' if f.case == 2 else 'yes'}⟧")
    w.say(f"So the one that says no is ⟦{w.letter(int(f.case))}⟧")


def _fits(way: int) -> Callable[[Figures], str]:
    """What comes of choosing a way that says yes."""
    return lambda f: f"Looked at once more, {_checked(f)[way]}: that one says yes, and another says no."


_CUBIC_FEET = float(Q(1, "m**3").to("foot**3").magnitude)  # in a cubic metre

ITEMS = (
    Ask(
        3,
        10,
        "sum",
        "100 m³ (about 3530 cubic feet) of air hold {a} of water on the way to your trays, and {b} when they leave "
        f"them. {{V}} m³ (about {{feet}} cubic feet) of it pass in an hour. How much water does the air carry off in "
        f"{{h}}? {METRIC}",
        (
            grid("a", "g", 500, 1300, 20),
            grid("b", "g", 600, 1600, 20),
            grid("V", "", 20, 90, 5),
            grid("h", "hour", 6, 30, 2),
        ),
        WEIGHT,
        _carried,
        also={"feet": lambda f: three(f.V * _CUBIC_FEET)},
        allowed=lambda f: 100 <= f.b - f.a <= 400,
        mistakes=(
            mistake(
                "m450",
                "Counts all the water in the air that leaves",
                "Was that air dry when it came? How much did it bring along?",
                lambda f: f.b * f.V / _LOT * f.h,
                so=_lighter,
            ),
            mistake(
                "m451",
                "Stops after one hour",
                "A good number: for how long is it?",
                lambda f: (f.b - f.a) * f.V / _LOT,
                so=lambda f, x: f"After one hour it is {g(x)}, and the air goes on for {n(f.h)} hours.",
            ),
            mistake(
                "m452",
                "Takes 100 m³ for what passes in an hour",
                "The readings are for 100 m³ (3530 cubic feet). How many m³ pass in an hour?",
                lambda f: (f.b - f.a) * f.h,
                so=_lighter,
            ),
            mistake(
                "m453",
                "Adds the two readings",
                "Which of the two does the air bring, and which does it take away?",
                lambda f: (f.a + f.b) * f.V / _LOT * f.h,
                so=_lighter,
            ),
        ),
        path=_carried_way,
        forwards="Divide your number by the hours, then by the lots of 100 m³ (3530 cubic feet) in an hour: is it "
        "the difference of the two readings?",
    ),
    Ask(
        3,
        11,
        "sum",
        "A model, the halving rule: of the water that a tray still has to lose, half goes in each equal stretch of "
        "time. A tray of peppermint weighs {first}; {p} later it weighs {second}. In this room it comes to rest at "
        f"{{E}}. How many hours after the first weighing does it come down to its stop weight of {{stop}}? {METRIC}",
        (
            grid("E", "g", 120, 300, 10),
            Figure("D", "g", range(256, 1025, 64), shown=False),
            grid("p", "hour", 3, 9),
            Figure("n", "", range(4, 7), shown=False),
        ),
        HOURS,
        _hours,
        also={"first": _weighed(0), "second": _weighed(1), "stop": _weighed(None)},
        listed={"weights": (lambda f: [_at_rest(f, halvings) for halvings in (0, 1, f.n)], "g")},
        allowed=lambda f: 2 <= f.D / f.E <= 4,
        mistakes=(
            mistake(
                "m454",
                "Counts from the second weighing",
                "Those are the halvings still to come. How long had it hung before the second weighing?",
                lambda f: (f.n - 1) * f.p,
                so=_by_then,
            ),
            mistake(
                "m455",
                "Lets the same grams go in each stretch of time",
                "Does a tray lose as much on its last day as on its first? What is halved each time?",
                lambda f: f.p * 2 * (1 - 0.5**f.n),
                so=_by_then,
            ),
            mistake(
                "m456",
                "Halves the whole weight, and not what is still to go",
                "Which part of the tray goes into the air: all of it, or what lies over the weight at rest?",
                lambda f: f.p * math.log2(_at_rest(f, 0) / _at_rest(f, f.n)),
                so=_by_then,
            ),
            mistake(
                "m457",
                "Takes how many times less for the number of halvings",
                "After three halvings is it three times less, or 2 × 2 × 2 times less?",
                lambda f: f.p * 2**f.n,
                so=lambda f, x: (
                    f"{three(x)} hours are {three(x / f.p)} halvings: it would have come to rest long before."
                ),
            ),
        ),
        path=_hours_way,
        forwards="Start from what is still to go at the first weighing and halve it once for each stretch: are you "
        "at the stop weight?",
    ),
    Ask(
        3,
        12,
        "choice",
        "A tray of raspberry leaf has a stop weight of {S}. Yesterday it weighed {before}, today {now}. (Two "
        "weighings a day apart agree when the later is within 1 % of the other.) {felt}. One of the three ways to "
        f"ask whether it is dry says no. Which? {BY_METRIC}",
        (grid("S", "g", 220, 480, 10), case(3)),
        also={
            "before": lambda f: figure_said(_GRAMS, _before(f), alone=False),
            "now": lambda f: figure_said(_GRAMS, _now(f), alone=False),
            "felt": lambda f: _FELT[int(f.case)],
        },
        options=(
            Option(
                "The stop weight",
                "Is the tray heavier today than its stop weight, or not?",
                "m458",
                "Says that a stop weight that is reached says no",
                _fits(0),
            ),
            Option(
                "Two weighings",
                "How much did it lose overnight, as a share of the day before? Is that within 1 %?",
                "m459",
                "Says that two weighings that agree say no",
                _fits(1),
            ),
            Option(
                "The two hands",
                "What did the leaf do, and what did the thickest stem do?",
                "m460",
                "Says that hands that find it crisp say no",
                _fits(2),
            ),
        ),
        answer=lambda f: int(f.case),
        path=_not_yet_way,
    ),
)
