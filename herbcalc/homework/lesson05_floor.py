"""Floor 4. Lesson 5, second part: staying at the floor."""

from __future__ import annotations

from herbcalc import menstruum
from herbcalc.homework.question import MOISTURE, RATIO, STRENGTH, VOLUME, Ask, Figures, grid, mistake, one_of
from herbcalc.homework.told import METRIC, PLAIN, g, mL, one_to, pct, vol

_RULE = "Count 1 g of plant water as 1 mL (1 oz as about 1 fl oz)."

_POURED = "The ratio is mL of spirit poured for each g of plant as it is weighed."

_SAFE = "Food-grade spirit only, and no flame near strong spirit."


def _final(f: Figures) -> float:
    return f.a * f.r / (f.r + f.w)


def _keeps(f: Figures, strength: float) -> str:
    where = "under" if strength < f.t else "over"
    return f"the jar would end at {vol(strength)}, {where} the floor of {vol(f.t)}"


def _rescue_gap(f: Figures) -> float:
    """Pure alcohol that the jar is short of, in mL."""
    return f.m * (f.t * (f.r + f.w) - f.a * f.r)


def _rescued(f: Figures, x: float) -> float:
    return (f.m * f.r * f.a + x * f.s) / (f.m * (f.r + f.w) + x)


_W = grid("w", "percent_wb", 62, 88)

_T = one_of("t", "percent_vol", 30, 35)

ITEMS = (
    Ask(
        5,
        4,
        "sum",
        f"Fresh calendula, {{w}} water, and spirit of {{a}}. What is the smallest ratio 1:x at which the jar "
        f"still ends at {{t}}, the floor of this question? {_POURED} {_RULE} {PLAIN}",
        (_W, grid("a", "percent_vol", 400, 500, 5, 10), _T),
        RATIO,
        lambda f: tuple(
            float(menstruum.smallest_ratio.plain(100 * f.w, 100 * f.a, 100 * f.t, rule))
            for rule in ("kitchen", "measured")
        ),
        allowed=lambda f: f.a - f.t > 0.03,
        mistakes=(
            mistake(
                "m42",
                "Counts the whole plant as water",
                "So near. Is all of each gram water?",
                lambda f: f.t / (f.a - f.t),
                so=lambda f, x: (
                    f"At {one_to(x)} {_keeps(f, f.a * x / (x + f.w))}, and more spirit is poured than it needs."
                ),
            ),
            mistake(
                "m43",
                "Turns the fraction over",
                "When the spirit is hardly stronger than the floor, should the jar need more spirit or less?",
                lambda f: (f.a - f.t) / (f.w * f.t),
                so=lambda f, x: f"At {one_to(x)} {_keeps(f, f.a * x / (x + f.w))}.",
            ),
            mistake(
                "m44",
                "Puts the spirit's strength where the floor belongs",
                "Up to which strength must the plant's water be brought: the spirit's, or the floor's?",
                lambda f: f.w * f.a / (f.a - f.t),
                so=lambda f, x: f"At {one_to(x)} {_keeps(f, f.a * x / (x + f.w))}: safe, and dearer than it need be.",
            ),
            mistake(
                "m45",
                "Thinks that any ratio will do because the spirit is over the floor",
                "Pour it in your head: 100 g (3 1/2 oz) of plant and that much spirit. How much water has joined it?",
                lambda f: 2.0,
                lambda f: 1.0,
                so=lambda f, x: f"At {one_to(x)} {_keeps(f, f.a * x / (x + f.w))}.",
            ),
        ),
        path=lambda f: [
            f"{g(100)} of plant brings ⟦{mL(100 * f.w)}⟧ of water",
            f"To bring that water up to {vol(f.t)} takes {pct(f.t)} of it: ⟦{mL(100 * f.w * f.t)}⟧ of pure alcohol",
            f"Spirit of {vol(f.a)} has {f.a:g} less {f.t:g} to spare: ⟦{f.a - f.t:.3f}⟧ of its volume",
            f"Alcohol needed, out of that: ⟦{mL(100 * f.w * f.t / (f.a - f.t))}⟧ of spirit",
            f"That much on {g(100)}: ⟦{one_to(f.w * f.t / (f.a - f.t))}⟧",
        ],
        forwards="Take 100 g (3 1/2 oz) of plant at your ratio: how much spirit, how much water, and how strong "
        "is the mix?",
    ),
    Ask(
        5,
        5,
        "sum",
        f"Fresh elderflower, {{w}} water, at {{r}}. The jar should end at {{t}}. How strong must the spirit be "
        f"that you pour on, in % vol? {_POURED} {_RULE} {PLAIN} {_SAFE}",
        (_W, grid("r", "mL/g", 15, 40, 5, 10), grid("t", "percent_vol", 30, 60)),
        STRENGTH,
        lambda f: tuple(
            float(menstruum.strength_to_pour.plain(f.r, 100 * f.w, 100 * f.t, rule))
            for rule in ("kitchen", "measured")
        ),
        allowed=lambda f: f.t * (f.r + f.w) / f.r <= 0.95,
        mistakes=(
            mistake(
                "m46",
                "Leaves out the water of the plant",
                "Pour that on, and let the plant's water run in. Is the jar still that strong?",
                lambda f: 100 * f.t,
                so=lambda f, x: (
                    f"With {vol(x / 100)} the jar would end at {vol(x / 100 * f.r / (f.r + f.w))}, under your "
                    f"{vol(f.t)}."
                ),
            ),
            mistake(
                "m47",
                "Adds the moisture on, as if there were one part of spirit",
                "That fits a jar at 1:1. How many parts of spirit share the plant's water here?",
                lambda f: 100 * f.t * (1 + f.w),
                so=lambda f, x: (
                    f"With {vol(x / 100)} the jar would end at {vol(x / 100 * f.r / (f.r + f.w))}, over your "
                    f"{vol(f.t)}."
                ),
            ),
            mistake(
                "m48",
                "Takes the plant's water off the spirit",
                "Does the plant's water take the place of some spirit, or does it come on top?",
                lambda f: 100 * f.t * f.r / (f.r - f.w),
                so=lambda f, x: (
                    f"With {vol(x / 100)} the jar would end at {vol(x / 100 * f.r / (f.r + f.w))}, over your "
                    f"{vol(f.t)}."
                ),
            ),
            mistake(
                "m49",
                "Counts the whole plant as water",
                "Which part of each gram thins the spirit: all of it, or only the water?",
                lambda f: 100 * f.t * (f.r + 1) / f.r,
                so=lambda f, x: (
                    f"With {vol(x / 100)} the jar would end at {vol(x / 100 * f.r / (f.r + f.w))}, over your "
                    f"{vol(f.t)}."
                ),
            ),
        ),
        path=lambda f: [
            f"{g(100)} of plant brings ⟦{mL(100 * f.w)}⟧ of water, and {mL(100 * f.r)} of spirit is poured on",
            f"Liquid in all: ⟦{mL(100 * (f.r + f.w))}⟧",
            f"Alcohol wanted in it: {pct(f.t)} of that, ⟦{mL(100 * f.t * (f.r + f.w))}⟧",
            f"All of it must come from the {mL(100 * f.r)} of spirit: ⟦{vol(f.t * (f.r + f.w) / f.r)}⟧",
        ],
        forwards="Take 100 g (3 1/2 oz) of plant and pour your spirit on: how strong is the mix?",
    ),
    Ask(
        5,
        6,
        "sum",
        f"You have spirit of {{a}} and want a jar of lemon balm at {{r}} that ends at {{t}} or above, the floor "
        "of this question. How much water may the plant hold at most when you pour, in % of its weight? The "
        f"ratio is mL of spirit for each g of plant as it is weighed when you pour. {_RULE} {PLAIN}",
        (grid("r", "mL/g", 15, 30, 5, 10), grid("a", "percent_vol", 380, 460, 5, 10), _T),
        MOISTURE,
        lambda f: tuple(
            float(menstruum.wettest_plant.plain(f.r, 100 * f.a, 100 * f.t, rule)) for rule in ("kitchen", "measured")
        ),
        allowed=lambda f: 0.05 < f.r * (f.a - f.t) / f.t < 0.9,
        mistakes=(
            mistake(
                "m50",
                "Thinks that wilted, half dry, is dry enough",
                "Half sounds like a lot of drying. How much water may the spirit carry before it falls to the floor?",
                lambda f: 50.0,
                so=lambda f, x: f"At {pct(x / 100)} water {_keeps(f, f.a * f.r / (f.r + x / 100))}.",
            ),
            mistake(
                "m107",
                "Leaves out the ratio",
                "That is what one mL of spirit can carry. How many mL are there for each g?",
                lambda f: 100 * (f.a - f.t) / f.t,
                so=lambda f, x: (
                    f"At {pct(x / 100)} water {_keeps(f, f.a * f.r / (f.r + x / 100))}: dried further than it "
                    "need be."
                ),
            ),
            mistake(
                "m108",
                "Divides by the spirit's strength instead of the floor",
                "The water has to come up to the floor. Which of the two strengths belongs under the line?",
                lambda f: 100 * f.r * (f.a - f.t) / f.a,
                so=lambda f, x: (
                    f"At {pct(x / 100)} water {_keeps(f, f.a * f.r / (f.r + x / 100))}: dried further than it "
                    "need be."
                ),
            ),
            mistake(
                "m109",
                "Stops at the alcohol that can be spared",
                "That is the alcohol to spare. How much water can that much alcohol bring up to the floor?",
                lambda f: 100 * f.r * (f.a - f.t),
                so=lambda f, x: (
                    f"At {pct(x / 100)} water {_keeps(f, f.a * f.r / (f.r + x / 100))}: dried further than it "
                    "need be."
                ),
            ),
        ),
        path=lambda f: [
            f"On {g(100)} of plant you pour {mL(100 * f.r)}; spirit of {vol(f.a)} has {f.a:g} less {f.t:g} to "
            f"spare: ⟦{f.a - f.t:.3f}⟧ of its volume",
            f"Pure alcohol to spare: ⟦{mL(100 * f.r * (f.a - f.t))}⟧",
            f"Water that this brings up to {vol(f.t)}: divide by {f.t:g}, ⟦{mL(100 * f.r * (f.a - f.t) / f.t)}⟧",
            f"As a share of {g(100)} of plant: ⟦{pct(f.r * (f.a - f.t) / f.t)}⟧",
        ],
        forwards="Take 100 g (3 1/2 oz) of plant as wet as you say, pour, and work out how strong the jar ends.",
    ),
    Ask(
        5,
        7,
        "sum",
        f"A jar holds {{m}} of fresh calendula, {{w}} water, with spirit of {{a}} poured at {{r}}. It is under "
        f"the floor of {{t}}. How many mL of {{s}} spirit must be added to bring the whole jar up to the floor? "
        f"{_POURED} {_RULE} {METRIC} {_SAFE}",
        (
            grid("m", "g", 60, 300, 10),
            grid("w", "percent_wb", 70, 88),
            grid("r", "mL/g", 15, 30, 5, 10),
            one_of("a", "percent_vol", 400, 425, over=10),
            one_of("s", "percent_vol", 755, 950, over=10),
            one_of("t", "percent_vol", 35),
        ),
        VOLUME,
        lambda f: tuple(
            float(menstruum.rescue.plain(f.m, 100 * f.w, f.m * f.r, 100 * f.a, 100 * f.t, 100 * f.s, rule))
            for rule in ("kitchen", "measured")
        ),
        allowed=lambda f: _final(f) < 0.33,
        mistakes=(
            mistake(
                "m110",
                "Forgets that what is added must itself stay at the floor",
                "What you add makes the jar fuller too. Must that part not also be at the floor?",
                lambda f: _rescue_gap(f) / f.s,
                so=lambda f, x: f"With {mL(x)} {_keeps(f, _rescued(f, x))}.",
            ),
            mistake(
                "m111",
                "Gives the pure alcohol that is missing",
                "That is pure alcohol. Is what you pour from the bottle pure, and does it not fill the jar as well?",
                _rescue_gap,
                so=lambda f, x: f"With {mL(x)} {_keeps(f, _rescued(f, x))}.",
            ),
            mistake(
                "m112",
                "Looks at the spirit alone, without the plant's water, when counting the gap",
                "How much liquid must be lifted to the floor: the spirit alone, or the plant's water with it?",
                lambda f: f.m * f.r * (f.t - _final(f)) / (f.s - f.t),
                so=lambda f, x: f"With {mL(x)} {_keeps(f, _rescued(f, x))}.",
            ),
        ),
        path=lambda f: [
            f"Liquid in the jar: {mL(f.m * f.r)} of spirit and ⟦{mL(f.m * f.w)}⟧ of plant water",
            f"Alcohol in it: ⟦{mL(f.m * f.r * f.a)}⟧; alcohol that {vol(f.t)} would need: "
            f"⟦{mL(f.m * (f.r + f.w) * f.t)}⟧",
            f"Short by ⟦{mL(_rescue_gap(f))}⟧ of pure alcohol",
            f"Spirit of {vol(f.s)} has {f.s:g} less {f.t:g} to spare: ⟦{f.s - f.t:.3f}⟧ of its volume",
            f"What is short, divided by that: ⟦{mL(_rescue_gap(f) / (f.s - f.t))}⟧",
        ],
        forwards="Add your mL to the jar: how much alcohol, how much liquid, how strong?",
    ),
)
