"""Floor 4. Lesson 3, second part: dials, scales and the log of a drying tray."""

from __future__ import annotations

import itertools

from herbcalc import moisture
from herbcalc.homework.question import (
    Ask,
    Figures,
    Want,
    grid,
    mistake,
    situation,
)
from herbcalc.homework.told import METRIC, PLAIN, g, pct, three

_READING = Want(("temperature",), "degC", "°C", within=0.3, only=("degC",), old="degF")

_WIDTH = Want(("difference",), "delta_degC", "°C", within=0.3, only=("delta_degC",), old="degF")

_POINTS = Want(
    ("moisture",), "percent_wb", "%", drop=r"\s*(?:%|\bpercent(?:age)?)?\s*\b(?:points?|pp)\b.*$", instead=" %"
)

_DAY = Want(
    ("count", "time"),
    "",
    "days",
    exact=True,
    drop=r"^\s*(?:on\s+)?(?:the\s+)?(?:day\b)?|\bdays?\b|(?<=\d)\s*(?:st|nd|rd|th|d)\b|\.$",
)


def _dial(f: Figures, x: float) -> str:
    return f"A room at {x:.1f} °C shows {x * 9 / 5 + 32:.0f} °F on the dial, and yours shows {f.a:.0f} °F."


def _doubt(f: Figures) -> float:
    return float(moisture.widest_doubt.plain(f.f, f.d, 1.0))


# Shares of the fresh weight left on each morning, in thousandths: five trays of the invented class at Alder Lane.
_LOGS = (
    (1000, 640, 430, 310, 255, 246, 239, 234, 233, 233),
    (1000, 560, 350, 262, 236, 228, 222, 221, 220, 220),
    (1000, 710, 540, 420, 340, 290, 270, 261, 255, 254, 254),
    (1000, 600, 410, 300, 252, 243, 237, 232, 231, 231),
    (1000, 680, 500, 380, 305, 268, 259, 253, 252, 252),
)


def _log(f: Figures) -> list[float]:
    """The weights of the drawn tray, morning by morning from day 0, to the whole gram."""
    return [float(round(f.m * share / 1000)) for share in _LOGS[int(f.tray)]]


def _first_day(f: Figures, allowed: float, against_first: bool = False) -> float:
    """The first day on which the weight agrees with the day before within a share of it (or of the first weight)."""
    log = _log(f)
    for day in range(1, len(log)):
        if log[day - 1] - log[day] <= allowed * (log[0] if against_first else log[day - 1]):
            return float(day)
    return float(len(log))


def _log_clear(f: Figures) -> bool:
    """No loss so near 1 % that it could be read either way."""
    log = _log(f)
    return all(not 0.007 < (a - b) / a < 0.013 for a, b in itertools.pairwise(log))


def _log_said(f: Figures) -> str:
    return "; ".join(f"day {day}: {g(weight)}" for day, weight in enumerate(_log(f)))


ITEMS = (
    Ask(
        3,
        5,
        "sum",
        f"The dial in the drying room shows {{a}}. What is that in °C? {PLAIN}",
        (grid("a", "degF", 70, 130),),
        _READING,
        lambda f: (f.a - 32) * 5 / 9,
        mistakes=(
            mistake(
                "m14",
                "Leaves out the 32",
                "Water freezes at 32 on one dial and at 0 on the other. Where is that in your sum?",
                lambda f: f.a * 5 / 9,
                so=_dial,
            ),
            mistake(
                "m15",
                "Takes the 32 off at the end",
                "Which comes first: taking off the 32, or making the degrees bigger?",
                lambda f: f.a * 5 / 9 - 32,
                so=_dial,
            ),
            mistake(
                "m16",
                "Turns the fraction over",
                "For a warm room, is the number in °C the bigger or the smaller one?",
                lambda f: (f.a - 32) * 9 / 5,
                so=_dial,
            ),
        ),
        path=lambda f: [
            f"Degrees above freezing: {f.a:.0f} less 32 is ⟦{f.a - 32:.0f} °F⟧",
            f"Nine of those are five of the others: times 5, divided by 9, ⟦{(f.a - 32) * 5 / 9:.1f} °C⟧",
        ],
        forwards="Turn your °C back into °F: times 9, divided by 5, plus 32. Is it what the dial shows?",
    ),
    Ask(
        3,
        6,
        "sum",
        f"A sample of fresh rosehip weighs {{f}}, and {{d}} when dried until it loses no more. The moisture is w "
        "= (f - d)/f. Your scale may be 1 g (about 1/28 oz) off on each weighing. Let both be off in the "
        "direction that harms most: by how many points of moisture, at most, is w off? (From 78 % to 80 % is 2 "
        f"points; write it as %.) {METRIC}",
        (grid("f", "g", 20, 44), grid("d", "g", 4, 18)),
        _POINTS,
        _doubt,
        allowed=lambda f: 0.5 <= 1 - f.d / f.f <= 0.85,
        mistakes=(
            mistake(
                "m118",
                "Counts only one of the two weighings",
                "Both weighings may be off. What does the other one add?",
                lambda f: 100 / f.f,
                so=lambda f, x: f"You would trust w to {three(x)} points, and it may be off by more than that.",
            ),
            mistake(
                "m119",
                "Lets both weighings be off the same way",
                "If both readings are off the same way they partly make up for it. Which two directions harm most?",
                lambda f: 100 * (1 - f.d / f.f) / (f.f - 1),
                lambda f: 100 * (1 - f.d / f.f) / (f.f + 1),
                so=lambda f, x: f"You would trust w to {three(x)} points, and it may be off by more than that.",
            ),
            mistake(
                "m120",
                "Adds 1 g for each weighing over the fresh weight, as if the dry one counted whole",
                "The dry weight is a small part of the fresh one. Does 1 g (1/28 oz) on each move w as much?",
                lambda f: 200 / f.f,
                so=lambda f, x: f"You would trust w to {three(x)} points only: a little too careful.",
            ),
        ),
        path=lambda f: [
            f"From the readings: w = ({f.f:.0f} - {f.d:.0f})/{f.f:.0f} = ⟦{100 * (1 - f.d / f.f):.2f} %⟧",
            f"The most harm: fresh 1 g (1/28 oz) less, dry as much more. w = ({f.f - 1:.0f} - "
            f"{f.d + 1:.0f})/{f.f - 1:.0f} = ⟦{100 * (1 - (f.d + 1) / (f.f - 1)):.2f} %⟧",
            f"The two differ by ⟦{_doubt(f):.2f} points⟧",
        ],
        forwards="Work out w once from the readings, and once with each reading moved by 1 g (1/28 oz), all "
        "four ways.",
    ),
    Ask(
        3,
        8,
        "sum",
        "A tray of calendula is weighed every morning. Its log: {log}. It counts as dry on the first day whose "
        "weight agrees with the day before within 1 % of the day before. Which day is that?",
        (grid("m", "g", 600, 1600, 10), situation("tray", len(_LOGS))),
        _DAY,
        lambda f: _first_day(f, 0.01),
        also={"log": _log_said},
        listed={"log": (_log, "g")},
        allowed=_log_clear,
        mistakes=(
            mistake(
                "m121",
                "Gives the day before, the first of the two weighings",
                "It takes two weighings that agree. On which of the two mornings do you know it?",
                lambda f: _first_day(f, 0.01) - 1,
                so=lambda f, x: (
                    f"On day {x:.0f} the weight was still falling from {g(_log(f)[int(x) - 1])} to "
                    f"{g(_log(f)[int(x)])}."
                ),
            ),
            mistake(
                "m122",
                "Waits until the weight does not change at all",
                "Must the two weights be the same to the gram, or agree within 1 %?",
                lambda f: _first_day(f, 0.0),
                so=lambda f, x: "The herb would lie out longer than it needs to, and lose scent.",
            ),
            mistake(
                "m123",
                "Measures the loss against the first weight",
                "1 % of which weight: of the day before, or of the fresh basket?",
                lambda f: _first_day(f, 0.01, True),
                so=lambda f, x: f"By then it still lost {g(_log(f)[int(x) - 1] - _log(f)[int(x)])} in a day.",
            ),
        ),
        path=lambda f: [
            "For each morning: weight of the day before less weight of today, divided by weight of the day "
            f"before. Day 1: ⟦{pct((_log(f)[0] - _log(f)[1]) / _log(f)[0])}⟧",
            *(
                f"Day {day}: {pct((_log(f)[day - 1] - _log(f)[day]) / _log(f)[day - 1])}"
                for day in range(2, int(_first_day(f, 0.01)))
            ),
            f"The first one within 1 %: ⟦day {_first_day(f, 0.01):.0f}⟧",
        ],
        forwards="Take your day and the day before: is the difference within 1 % of the day before, and is it "
        "the first?",
    ),
    Ask(
        3,
        9,
        "sum",
        f"A drying room may run from {{a}} to {{b}}. How wide is that range in °C? {PLAIN}",
        (grid("a", "degF", 70, 95), grid("b", "degF", 90, 125)),
        _WIDTH,
        lambda f: (f.b - f.a) * 5 / 9,
        allowed=lambda f: 10 <= f.b - f.a <= 45,
        mistakes=(
            mistake(
                "m13",
                "Turns a width as if it were a reading",
                "Has a width between two readings a freezing point? What happens to the 32 when you take one "
                "from the other?",
                lambda f: (f.b - f.a - 32) * 5 / 9,
                so=lambda f, x: (
                    f"With a width of {x:.1f} °C the room that starts at {(f.a - 32) * 5 / 9:.1f} °C would end "
                    f"at {(f.a - 32) * 5 / 9 + x:.1f} °C; its upper end is {(f.b - 32) * 5 / 9:.1f} °C."
                ),
            ),
        ),
        path=lambda f: [
            f"The width in °F: {f.b:.0f} less {f.a:.0f} is ⟦{f.b - f.a:.0f} °F⟧",
            f"Nine of those are five of the others: times 5, divided by 9, ⟦{(f.b - f.a) * 5 / 9:.1f} °C⟧",
        ],
        forwards="Turn both ends into °C and take one from the other.",
    ),
)
