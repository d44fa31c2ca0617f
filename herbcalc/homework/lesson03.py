"""Floor 4. Lesson 3: what the air takes."""

from __future__ import annotations

from herbcalc import moisture
from herbcalc.homework import lesson03_readings
from herbcalc.homework.question import (
    MOISTURE,
    WEIGHT,
    Ask,
    Figures,
    Near,
    grid,
    mistake,
    situation,
)
from herbcalc.homework.told import METRIC, g, pct, three

_WET = "A moisture is the water's share of the whole weight."


def _dry(f: Figures) -> float:
    return float(moisture.dried_weight.plain(f.m, 100 * f.w0, 100 * f.w1))


def _need(f: Figures) -> float:
    return float(moisture.fresh_weight.plain(f.D, 100 * f.w0, 100 * f.w1))


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
    mistake(
        "m01",
        "Forgets that dried herb still holds a little water",
        "Is crisp herb bone dry? What else is on the tray, besides the solids?",
        lambda f: f.m * (1 - f.w0),
        so=lambda f, x: f"At {g(x)} the herb would hold no water at all: dried longer and crumblier than you want.",
    ),
    mistake(
        "m02",
        "Takes one percentage from the other",
        "The two percentages are shares of two different weights. Which weight stays the same all the way?",
        lambda f: f.m * (1 - (f.w0 - f.w1)),
        so=_tray,
    ),
    mistake(
        "m03",
        "Reads the moisture as water per dry weight",
        "Is the percentage counted against the whole fresh plant, or against its solids only?",
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


def _dry_path(f: Figures) -> list[str]:
    return [
        f"Solids in the fresh plant: {pct(1 - f.w0)} of {g(f.m)} is ⟦{g(f.m * (1 - f.w0))}⟧",
        f"In the dried herb the same solids are {pct(1)} less {pct(f.w1)} of the weight: ⟦{pct(1 - f.w1)}⟧",
        f"So the dried herb weighs the solids divided by {1 - f.w1:g}: ⟦{g(_dry(f))}⟧",
    ]


def _lines(f: Figures) -> list[str]:
    solids = f.m * (1 - f.w0)
    lost = f.w0 - f.w1
    good = [
        f"The fresh plant weighs {g(f.m)} and is {pct(f.w0)} water.",
        f"Its solids weigh {g(solids)}.",
        f"It should end at {pct(f.w1)} water, so solids are {pct(1 - f.w1)} of the dried herb.",
        f"The dried herb weighs {g(solids)} divided by {1 - f.w1:g}: {g(_dry(f))}.",
    ]
    if f.case == 0:  # one percentage taken from the other
        good[2] = f"It should end at {pct(f.w1)} water, so {pct(lost)} of the fresh weight goes into the air."
        good[3] = f"What stays is {pct(1 - lost)} of {g(f.m)}: {g(f.m * (1 - lost))}."
    else:  # the moisture read against the dry weight
        dry = f.m / (1 + f.w0)
        good[1] = f"Its solids weigh {g(f.m)} divided by {1 + f.w0:g}: {g(dry)}."
        good[3] = f"The dried herb weighs {g(dry)} divided by {1 - f.w1:g}: {g(dry / (1 - f.w1))}."
    return good


ITEMS = (
    Ask(
        3,
        1,
        "sum",
        f"A sample of fresh marshmallow root weighs {{f}}. Dried until it loses no more it weighs {{d}}. What is "
        f"the moisture of the fresh root, in % of its fresh weight? {METRIC}",
        (grid("f", "g", 40, 150, 2), grid("d", "g", 5, 67)),
        MOISTURE,
        lambda f: float(moisture.water_content.plain(f.f, f.d)),
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
        path=lambda f: [
            f"Water that went away: {g(f.f)} less {g(f.d)} is ⟦{g(f.f - f.d)}⟧",
            f"As a share of the fresh weight: ⟦{pct(1 - f.d / f.f)}⟧",
        ],
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
        path=_dry_path,
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
            mistake(
                "m07",
                "Forgets that dried herb still holds a little water",
                "That fits bone-dry herb. What else is in the dried herb besides solids?",
                lambda f: f.D / (1 - f.w0),
                so=_harvest,
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
        path=lambda f: [
            f"Solids in the dried herb: {pct(1 - f.w1)} of {g(f.D)} is ⟦{g(f.D * (1 - f.w1))}⟧",
            f"In the fresh flowers the same solids are only ⟦{pct(1 - f.w0)}⟧ of the weight",
            f"So the fresh flowers weigh the solids divided by {1 - f.w0:g}: ⟦{g(_need(f))}⟧",
        ],
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
                so=lambda f, x: f"With the tray on the scale it can never show {g(x)} while the flowers are on it.",
            ),
            mistake(
                "m114",
                "Dries the tray as well",
                "Does the tray lose water too? Which part of what is on the scale dries?",
                lambda f: (f.tray + f.m) * (1 - f.w0) / (1 - f.w1),
                so=lambda f, x: (
                    f"Of {g(x)}, {g(f.tray)} is tray; the flowers would be {g(x - f.tray)}."
                    if x > f.tray
                    else f"The empty tray alone weighs {g(f.tray)}, and you would stop at {g(x)}."
                ),
            ),
            mistake(
                "m115",
                "Forgets that dried flowers still hold a little water",
                "Are dried flowers bone dry? What else lies on the tray, besides the solids?",
                lambda f: f.tray + f.m * (1 - f.w0),
                so=lambda f, x: (
                    f"At {g(x)} the flowers would hold no water at all: the tray would stay out too long."
                ),
            ),
            mistake(
                "m116",
                "Takes one percentage from the other",
                "The two percentages are shares of two different weights. Which weight stays the same all the way?",
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
        path=lambda f: [*_dry_path(f), f"With the tray of {g(f.tray)} under them: ⟦{g(f.tray + _dry(f))}⟧"],
        forwards="Take the tray off your number: is that what the flowers should weigh when they are dry?",
    ),
    Ask(
        3,
        7,
        "find the slip",
        f"Somebody wants to dry {{m}} of lemon balm from {{w0}} to {{w1}} water and writes four lines. In which "
        f"line does the sum leave the road first? (Afterwards work it out as it should be.) {_WET} {METRIC}",
        (
            grid("m", "g", 200, 1500, 20),
            grid("w0", "percent_wb", 70, 86),
            grid("w1", "percent_wb", 8, 12),
            situation("case", 2),
        ),
        lines=_lines,
        answer=lambda f: 2 if f.case == 0 else 1,
        path=_dry_path,
        forwards="Take the lines one by one and ask each percentage: of which weight are you a share?",
        pairs={"right": "That is the line. Now work the dried weight out as it should be."},
    ),
    *lesson03_readings.ITEMS,
)
