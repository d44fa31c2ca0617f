"""Floor 4. Lesson 3: what the air takes."""

from __future__ import annotations

import itertools

from herbcalc import moisture
from herbcalc.homework.blueprint import (
    MOISTURE,
    WEIGHT,
    Ask,
    Figures,
    Near,
    Want,
    bare,
    case,
    grid,
    mistake,
    situation,
)
from herbcalc.homework.items import lesson03_room
from herbcalc.homework.shared_slips import (
    DRIED_IS_BONE_DRY,
    FRACTION_TURNED_OVER,
    ONE_PERCENTAGE_OFF_THE_OTHER,
    WATER_PER_DRY_WEIGHT,
)
from herbcalc.homework.walk import Walk, together
from herbcalc.homework.wording import METRIC, PLAIN, g, pct, three
from herbcalc.homework.wording import exact as n

_WET = "A moisture is the water's share of the whole weight."


def _dry(f: Figures) -> float:
    return bare(moisture.dried_weight, f.m, 100 * f.w0, 100 * f.w1)


def _need(f: Figures) -> float:
    return bare(moisture.fresh_weight, f.D, 100 * f.w0, 100 * f.w1)


def _tray(f: Figures, x: float) -> str:
    """What a tray that is dried to x would hold: the solids do not change."""
    solids = f.m * (1 - f.w0)
    if x < solids:
        return f"With {g(x)} on the tray some of the {g(solids)} of solids would have gone into the air too."
    return f"A tray of {g(x)} would still be {pct((x - solids) / x)} water, and you want {pct(f.w1)}."


def _harvest(f: Figures, x: float) -> str:
    dried = x * (1 - f.w0) / (1 - f.w1)
    return f"From {g(x)} of fresh plant you would get {g(dried)} of dried herb, and you want {g(f.D)}."


_DRY_SLIPS = (
    DRIED_IS_BONE_DRY.on(
        "m01",
        lambda f: f.m * (1 - f.w0),
        so=lambda _, x: f"At {g(x)} the herb would hold no water at all: dried longer and crumblier than you want.",
    ),
    ONE_PERCENTAGE_OFF_THE_OTHER.on(
        "m02",
        lambda f: f.m * (1 - (f.w0 - f.w1)),
        so=_tray,
    ),
    WATER_PER_DRY_WEIGHT.on(
        "m03",
        lambda f: f.m / (1 + f.w0) * (1 + f.w1),
        so=_tray,
    ),
    mistake(
        "m04",
        "Gives the water that has gone",
        "A good number, of another pile. Is that what stays on the tray, or what went into the air?",
        lambda f: f.m - f.m * (1 - f.w0) / (1 - f.w1),
        so=_tray,
    ),
    mistake(
        "m05",
        "Takes the water's share for what is left",
        "What is a basket of fresh leaf mostly made of: solids, or water?",
        lambda f: f.m * f.w0,
        so=_tray,
    ),
    mistake(
        "m06",
        "Takes the last moisture as a share of the fresh weight",
        "The last percentage is a share of a weight. Of the fresh weight, or of the dried one?",
        lambda f: f.m * f.w1,
        so=_tray,
    ),
)


def _lines(f: Figures) -> list[str]:
    solids = float(three(f.m * (1 - f.w0)))
    lost = f.w0 - f.w1
    good = [
        f"The fresh plant weighs {g(f.m)} and is {pct(f.w0)} water.",
        f"Its solids weigh {g(solids)}.",
        f"It should end at {pct(f.w1)} water, so solids are {pct(1 - f.w1)} of the dried herb.",
        f"The dried herb weighs {g(solids)} divided by {1 - f.w1:g}: {g(solids / (1 - f.w1))}.",
    ]
    if f.case == 0:  # one percentage taken from the other
        good[2] = f"It should end at {pct(f.w1)} water, so {pct(lost)} of the fresh weight goes into the air."
        good[3] = f"What stays is {pct(1 - lost)} of {g(f.m)}: {g(f.m * (1 - lost))}."
    else:  # the moisture read against the dry weight
        dry = float(three(f.m / (1 + f.w0)))  # the line below goes on with what this one shows
        good[1] = f"Its solids weigh {g(f.m)} divided by {1 + f.w0:g}: {g(dry)}."
        good[3] = f"The dried herb weighs {g(dry)} divided by {1 - f.w1:g}: {g(dry / (1 - f.w1))}."
    return good


_READING = Want(("temperature",), "degC", "°C", within=0.3, only=("degC",), old="degF")

_WIDTH = Want(("difference",), "delta_degC", "°C", within=0.3, only=("delta_degC",), old="degF")

_POINTS = Want(
    ("moisture",), "percent_wb", "%", drop=r"\s*(?:%|\bpercent(?:age)?)?\s*\b(?:points?|pts?|pp)\b.*$", instead=" %"
)

_DAY = Want(
    ("count", "time"),
    "",
    "days",
    exact=True,
    drop=r"^\s*(?:on\s+)?(?:the\s+)?(?:day\b)?|(?<![^\W\d_])(?:days?|tage?|d[ií]as?)\b|(?<=\d)\s*(?:st|nd|rd|th|d)\b|\.$",
)


def _dial(f: Figures, x: float) -> str:
    return f"A room at {x:.1f} °C shows {x * 9 / 5 + 32:.0f} °F on the dial, and yours shows {f.a:.0f} °F."


def _too_sure(_: Figures, x: float) -> str:
    return f"You would trust w to {three(x)} points, and it may be off by more than that."


def _doubt(f: Figures) -> float:
    return bare(moisture.widest_doubt, f.f, f.d, 1.0)


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


def _moisture_way(f: Figures, w: Walk) -> None:
    water = w.total("g", f"Water that went away, in g: {n(f.f)} − {n(f.d)}", f.f, -f.d)
    w.step("pct", f"As a share of the fresh weight: {n(water)} ÷ {n(f.f)}", water / f.f)


def _drying_way(f: Figures, w: Walk) -> float:
    share = w.step("pct", f"Solids in the fresh plant: 100 − {n(100 * f.w0)}", 1 - f.w0)
    solids = w.step("g", f"Their weight in g: {n(share)} × {n(f.m)}", share * f.m)
    left = w.step("pct", f"The same solids in the dried herb: 100 − {n(100 * f.w1)}", 1 - f.w1)
    return w.step("g", f"Dried herb, solids divided by their share, in g: {n(solids)} ÷ {n(left)}", solids / left)


def _gathering_way(f: Figures, w: Walk) -> None:
    left = w.step("pct", f"Solids in the dried herb: 100 − {n(100 * f.w1)}", 1 - f.w1)
    solids = w.step("g", f"Their weight in g: {n(left)} × {n(f.D)}", left * f.D)
    share = w.step("pct", f"The same solids in the fresh flowers: 100 − {n(100 * f.w0)}", 1 - f.w0)
    w.step("g", f"Fresh flowers, solids divided by their share, in g: {n(solids)} ÷ {n(share)}", solids / share)


def _tray_way(f: Figures, w: Walk) -> None:
    flowers = _drying_way(f, w)
    w.total("g", f"With the tray under them, in g: {n(flowers)} + {n(f.tray)}", flowers, f.tray)


def _mending_way(f: Figures, w: Walk) -> None:
    _drying_way(f, w)


def _celsius_way(degrees: float, w: Walk) -> None:
    fives = w.step("", f"Nine of those are five of the others. Times five: {n(degrees)} × 5", degrees * 5)
    w.step("°C", f"Divided by nine: {n(fives)} ÷ 9", fives / 9)


def _dial_way(f: Figures, w: Walk) -> None:
    _celsius_way(w.step("°F", f"Degrees above freezing: {n(f.a)} − 32", f.a - 32), w)


def _width_way(f: Figures, w: Walk) -> None:
    _celsius_way(w.step("°F", f"The width in °F: {n(f.b)} − {n(f.a)}", f.b - f.a), w)


def _doubt_way(f: Figures, w: Walk) -> None:
    water = w.total("g", f"Water by the readings, in g: {n(f.f)} − {n(f.d)}", f.f, -f.d)
    seen = w.step("w", f"w by the readings: {n(water)} ÷ {n(f.f)}", water / f.f)
    f1, d1 = f.f - 1, f.d + 1
    least = w.total("g", f"The worst way, fresh one less and dry one more, in g: {n(f1)} − {n(d1)}", f1, -d1)
    worst = w.step("w", f"w in the worst way: {n(least)} ÷ {n(f1)}", least / f1)
    w.step("points", f"The two differ, in points: {100 * seen:.2f} − {100 * worst:.2f}", 100 * (seen - worst))


def _doubt_by_solids(f: Figures, w: Walk) -> None:
    """The share of the solids, by the readings and in the worst way."""
    seen, worst = w.step("w", "", f.d / f.f), w.step("w", "", (f.d + 1) / (f.f - 1))
    w.step("points", "", 100 * (worst - seen))


def _log_way(f: Figures, w: Walk) -> None:
    log, last = _log(f), int(_first_day(f, 0.01))
    for day in range(1, last):
        lost = log[day - 1] - log[day]
        share = lost / log[day - 1]
        said = f"{n(log[day - 1])} − {n(log[day])} = {n(lost)}, and {n(lost)} ÷ {n(log[day - 1])} = ⟦{pct(share)}⟧"
        w.say(f"Day {day}, weight lost as a share of the day before: {said}")
    w.say(f"The first one within 1 %: ⟦day {last}⟧")
    w.end = float(last)  # read off, not worked


ITEMS = (
    Ask(
        3,
        1,
        "sum",
        f"A sample of fresh elecampane root weighs {{f}}. Dried until it loses no more it weighs {{d}}. What is "
        f"the moisture of the fresh root, in % of its fresh weight? {METRIC}",
        (grid("f", "g", 40, 150, 2), grid("d", "g", 5, 67)),
        MOISTURE,
        lambda f: bare(moisture.water_content, f.f, f.d),
        allowed=lambda f: 0.55 <= 1 - f.d / f.f <= 0.90,
        mistakes=(
            mistake(
                "m11",
                "Divides by the dry weight",
                "Can there be more water in a thing than the thing weighs? Which weight was it a share of?",
                lambda f: 100 * (f.f - f.d) / f.d,
                so=lambda f, x: f"With {three(x)} % water, {g(f.f)} of root would hold {g(f.f * x / 100)} of water.",
            ),
            mistake(
                "m12",
                "Gives the share that is left",
                "That is the share of the solids. Which share went away?",
                lambda f: 100 * f.d / f.f,
                so=lambda f, x: (
                    f"With {three(x)} % water, {g(f.f * (1 - x / 100))} would be left when dry; your scale says "
                    f"{g(f.d)}."
                ),
            ),
        ),
        path=_moisture_way,
        forwards="Take your share away from the fresh weight: is what is left the dry weight?",
    ),
    Ask(
        3,
        2,
        "sum",
        f"{{m}} of fresh lemon balm is {{w0}} water. You dry it until it is {{w1}} water. What does it weigh "
        f"then? {_WET} {METRIC}",
        (grid("m", "g", 200, 2200, 20), grid("w0", "percent_wb", 68, 86), grid("w1", "percent_wb", 8, 12)),
        WEIGHT,
        _dry,
        near=(
            Near(
                lambda f: f.m * (1 - f.w0) * (1 + f.w1),
                "Near enough. Dividing the solids by what they are a share of is the exact way.",
            ),
        ),
        mistakes=_DRY_SLIPS,
        path=_drying_way,
        forwards="Take the water of your dried herb off again: do the same solids stay as in the fresh plant?",
    ),
    Ask(
        3,
        3,
        "sum",
        f"You want {{D}} of dried calendula at {{w1}} water. Fresh it is {{w0}} water. What weight of fresh "
        f"flowers must you gather? {_WET} {METRIC}",
        (grid("D", "g", 50, 600, 10), grid("w0", "percent_wb", 68, 88), grid("w1", "percent_wb", 8, 12)),
        WEIGHT,
        _need,
        near=(
            Near(
                lambda f: f.D / ((1 - f.w0) * (1 + f.w1)),
                "Near enough. Taking the last water off as a share of the dried herb is the exact way.",
            ),
        ),
        mistakes=(
            DRIED_IS_BONE_DRY.on(
                "m07",
                lambda f: f.D / (1 - f.w0),
                so=_harvest,
                hint="That fits bone-dry herb. What else is in the dried herb besides solids?",
            ),
            mistake(
                "m08",
                "Divides by the water's share",
                "Try it with a plant that is nearly all water. Should you need much more of it, or hardly more?",
                lambda f: f.D / f.w0,
                so=_harvest,
            ),
            mistake(
                "m09",
                "Adds the percentage on again",
                "Does adding the same percentage undo what drying took off? Try it with half.",
                lambda f: f.D * (1 + f.w0),
                so=_harvest,
            ),
            mistake(
                "m10",
                "Multiplies by the yield instead of dividing",
                "Which should weigh more, the fresh flowers or the dried ones? Does yours?",
                lambda f: f.D * (1 - f.w0) / (1 - f.w1),
                so=_harvest,
            ),
        ),
        path=_gathering_way,
        forwards="Dry your fresh weight on paper: do you get the dried weight you want?",
    ),
    Ask(
        3,
        4,
        "sum",
        f"An empty tray weighs {{tray}}. You spread {{m}} of fresh elderflower on it, {{w0}} water. The flowers "
        f"should come off when they are {{w1}} water. What does the scale show then, tray and flowers together? "
        f"{_WET} {METRIC}",
        (
            grid("tray", "g", 180, 620, 20),
            grid("m", "g", 400, 1500, 20),
            grid("w0", "percent_wb", 70, 88),
            grid("w1", "percent_wb", 8, 12),
        ),
        WEIGHT,
        lambda f: f.tray + _dry(f),
        mistakes=(
            mistake(
                "m113",
                "Leaves out the tray",
                "That is the flowers. What are they lying on when you weigh them?",
                _dry,
                so=lambda _, x: f"With the tray on the scale it can never show {g(x)} while the flowers are on it.",
            ),
            mistake(
                "m114",
                "Dries the tray as well",
                "Does the tray lose water too? Which part of what is on the scale dries?",
                lambda f: (f.tray + f.m) * (1 - f.w0) / (1 - f.w1),
                so=lambda f, x: (
                    f"Of {g(x)}, {g(f.tray)} is tray; the flowers would be {together('g', x, -f.tray)}."
                    if x > f.tray
                    else f"The empty tray alone weighs {g(f.tray)}, and you would stop at {g(x)}."
                ),
            ),
            mistake(
                "m115",
                "Forgets that dried flowers still hold a little water",
                "Are dried flowers bone dry? What else lies on the tray, besides the solids?",
                lambda f: f.tray + f.m * (1 - f.w0),
                so=lambda _, x: (
                    f"At {g(x)} the flowers would hold no water at all: the tray would stay out too long."
                ),
            ),
            ONE_PERCENTAGE_OFF_THE_OTHER.on(
                "m116",
                lambda f: f.tray + f.m * (1 - (f.w0 - f.w1)),
                so=lambda f, x: (
                    f"At {g(x)} the flowers would still be {pct(1 - f.m * (1 - f.w0) / (x - f.tray))} water."
                ),
            ),
            mistake(
                "m117",
                "Takes off the tray instead of adding it",
                "Does the tray make the scale show more, or less?",
                lambda f: _dry(f) - f.tray,
                so=lambda f, x: f"The empty tray alone weighs {g(f.tray)}. Can tray and flowers show {g(x)}?",
            ),
        ),
        path=_tray_way,
        forwards="Take the tray off your number: is that what the flowers should weigh when they are dry?",
    ),
    Ask(
        3,
        7,
        "find the slip",
        f"Somebody wants to dry {{m}} of lemon balm from {{w0}} to {{w1}} water and writes four lines. Which "
        f"is the first line that does not fit? (Afterwards work it out as it should be.) {_WET} {METRIC}",
        (
            grid("m", "g", 200, 1500, 20),
            grid("w0", "percent_wb", 70, 86),
            grid("w1", "percent_wb", 8, 12),
            case(2),
        ),
        lines=_lines,
        answer=lambda f: 2 if f.case == 0 else 1,
        path=_mending_way,
        forwards="Take the lines one by one and ask each percentage: of which weight are you a share?",
        pairs={"right": "That is the line."},
        edition=3,
    ),
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
            FRACTION_TURNED_OVER.on(
                "m16",
                lambda f: (f.a - 32) * 9 / 5,
                so=_dial,
                hint="For a warm room, is the number in °C the bigger or the smaller one?",
            ),
        ),
        path=_dial_way,
        forwards="Turn your °C back into °F: times 9, divided by 5, plus 32. Is it what the dial shows?",
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
        path=_width_way,
        forwards="Turn both ends into °C and take one from the other.",
    ),
    Ask(
        3,
        8,
        "sum",
        "A tray of calendula is weighed every morning. Its log: {log}. Two weights agree when "
        "the later one is within 1 % of the day before. Which is the first day whose weight agrees with the "
        "day before? "
        "(Agreeing says that herb and air are in step. Dry it is when the stop weight is reached and a stem "
        "snaps, too.)",
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
                so="The herb would lie out longer than it needs to, and lose scent.",
            ),
            mistake(
                "m123",
                "Measures the loss against the first weight",
                "1 % of which weight: of the day before, or of the fresh basket?",
                lambda f: _first_day(f, 0.01, True),
                so=lambda f, x: f"By then it still lost {g(_log(f)[int(x) - 1] - _log(f)[int(x)])} in a day.",
            ),
        ),
        path=_log_way,
        forwards="Take your day and the day before: is the difference within 1 % of the day before, and is it "
        "the first?",
    ),
    Ask(
        3,
        6,
        "sum",
        f"A sample of fresh lemon balm weighs {{f}}, and {{d}} when dried until it loses no more. The moisture is w "
        "= (f - d)/f. Your scale may be 1 g (about 1/28 oz) off on each weighing. Let both be off in the "
        "worst way: by how many points of moisture is w off then? (From 78 % to 80 % is 2 "
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
                so=_too_sure,
            ),
            mistake(
                "m119",
                "Lets both weighings be off the same way",
                "If both readings are off the same way they partly make up for it. Which two directions harm most?",
                lambda f: 100 * (1 - f.d / f.f) / (f.f - 1),
                lambda f: 100 * (1 - f.d / f.f) / (f.f + 1),
                so=_too_sure,
            ),
            mistake(
                "m120",
                "Adds 1 g for each weighing over the fresh weight, as if the dry one counted whole",
                "The dry weight is a small part of the fresh one. Does 1 g (1/28 oz) on each move w as much?",
                lambda f: 200 / f.f,
                so=lambda _, x: f"You would trust w to {three(x)} points only: a little too careful.",
            ),
        ),
        path=_doubt_way,
        other_paths=(_doubt_by_solids,),
        forwards="Work out w once from the readings, and once with each reading moved by 1 g (1/28 oz), all "
        "four ways.",
        edition=3,
    ),
    *lesson03_room.ITEMS,
)
