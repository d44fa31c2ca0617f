"""Floor 4. Lesson 5: the plant brings its own water."""

from __future__ import annotations

from herbcalc import menstruum
from herbcalc.homework.blueprint import MOISTURE, RATIO, STRENGTH, VOLUME, Ask, Figures, Option, grid, mistake, one_of
from herbcalc.homework.wording import BY_METRIC, METRIC, PLAIN, g, mL, one_to, pct, vol

_RULE = "Count 1 g of plant water as 1 mL (1 oz as about 1 fl oz)."

_POURED = "The ratio is mL of spirit poured for each g of plant as it is weighed."


def _final(f: Figures) -> float:
    return f.a * f.r / (f.r + f.w)


def _both_finals(f: Figures) -> tuple[float, float]:
    given = (f.m, 100 * f.w, f.m * f.r, 100 * f.a)
    return tuple(float(menstruum.final_strength.plain(*given, rule)) for rule in ("kitchen", "measured"))


def _keeps(f: Figures, strength: float) -> str:
    where = "under" if strength < f.t else "over"
    return f"the jar would end at {vol(strength)}, {where} the floor of {vol(f.t)}"


def _label(f: Figures, x: float) -> str:
    if not 0 <= x <= 100:
        return f"A strength lies between 0 and 100 % vol. Can a jar be {vol(x / 100)}?"
    way = "weaker" if x / 100 > _final(f) else "stronger"
    return f"With that sum the label would say {vol(x / 100)}, and the jar is {way} than its label."


def _water_path(f: Figures) -> list[str]:
    return [
        f"Water in the plant: {pct(f.w)} of {g(f.m)} is ⟦{mL(f.m * f.w)}⟧",
        f"The rest of it, {g(f.m * (1 - f.w))}, is plant solids; so the answer is ⟦{mL(f.m * f.w)}⟧",
    ]


def _final_path(f: Figures) -> list[str]:
    poured, water = f.m * f.r, f.m * f.w
    return [
        f"Water that the plant brings: {pct(f.w)} of {g(f.m)} is ⟦{mL(water)}⟧",
        f"Spirit poured at {one_to(f.r)}: ⟦{mL(poured)}⟧",
        f"Pure alcohol in that spirit: {pct(f.a)} of it is ⟦{mL(poured * f.a)}⟧",
        f"Liquid in the jar: ⟦{mL(poured + water)}⟧",
        f"Alcohol out of liquid: ⟦{vol(_final(f))}⟧",
    ]


def _verdict(f: Figures) -> int:
    return 0 if _final(f) >= f.t else 1


def _clear_verdict(f: Figures) -> bool:
    """Not so near the floor that the two rules, or three figures, would tell different stories."""
    return abs(_final(f) / f.t - 1) > 0.06 and f.a > f.t


_M = grid("m", "g", 60, 400, 10)

_W = grid("w", "percent_wb", 62, 88)


_SAFE = "Food-grade spirit only, and no flame near strong spirit."


def _rescue_gap(f: Figures) -> float:
    """Pure alcohol that the jar is short of, in mL."""
    return f.m * (f.t * (f.r + f.w) - f.a * f.r)


def _rescued(f: Figures, x: float) -> float:
    return (f.m * f.r * f.a + x * f.s) / (f.m * (f.r + f.w) + x)


_T = one_of("t", "percent_vol", 30, 35)


ITEMS = (
    Ask(
        5,
        1,
        "sum",
        f"You weigh {{m}} of fresh lemon balm. It is {{w}} water (water as a share of the fresh weight). How "
        f"many mL of water does it bring into the jar? {_RULE} {METRIC}",
        (grid("m", "g", 50, 900, 50), grid("w", "percent_wb", 60, 90, 5)),  # clean numbers to begin with
        VOLUME,
        lambda f: f.m * f.w,
        mistakes=(
            mistake(
                "m101",
                "Takes the solids for the water",
                "That is the part that stays behind when the leaf is dry. Which part is the water?",
                lambda f: f.m * (1 - f.w),
                so=lambda f, x: (
                    f"With {mL(x)} of water the other {g(f.m - x)} would be solids: a woody thing, no leaf."
                ),
            ),
            mistake(
                "m102",
                "Takes the whole plant for water",
                "Press a leaf as hard as you like: is there nothing left of it but water?",
                lambda f: f.m,
                so=lambda f, x: f"With {mL(x)} of water in {g(f.m)} there would be no leaf in the basket.",
            ),
            mistake(
                "m103",
                "Reads the moisture as water per dry weight",
                "Is the percentage a share of the fresh plant, or is it counted against the dry part?",
                lambda f: f.m * f.w / (1 + f.w),
                so=lambda f, x: (
                    f"With {mL(x)} of water in {g(f.m)} the leaf would be {pct(x / f.m)} water, not {pct(f.w)}."
                ),
            ),
        ),
        path=_water_path,
        forwards="Add your water to the solids that would be left: do they make the weight on the scale?",
    ),
    Ask(
        5,
        2,
        "sum",
        f"{{m}} of fresh lemon balm, {{w}} water, goes into a jar with spirit of {{a}}, poured at {{r}}. How "
        f"strong is the liquid in the jar in the end, in % vol? {_POURED} {_RULE} The floor of this question is "
        f"35 % vol. {METRIC}",
        (_M, _W, grid("r", "mL/g", 15, 30, 5, 10), one_of("a", "percent_vol", 400, 500, 755, 950, over=10)),
        STRENGTH,
        _both_finals,
        mistakes=(
            mistake(
                "m32",
                "Leaves out the water of the plant",
                "That is what you poured on. What did the plant add to it?",
                lambda f: 100 * f.a,
                so=_label,
            ),
            mistake(
                "m33",
                "Counts the whole plant as water",
                "Is all of that plant water, or is some of it stalk and leaf that stays solid?",
                lambda f: 100 * f.r * f.a / (f.r + 1),
                so=_label,
            ),
            mistake(
                "m34",
                "Reads the ratio as parts in all, plant included",
                "Is the plant counted in the second number of the ratio, or does it stand beside it?",
                lambda f: 100 * (f.r - 1) * f.a / (f.r - 1 + f.w),
                so=_label,
            ),
            mistake(
                "m35",
                "Takes the plain middle between the spirit and water",
                "The middle is right for equal parts. Are there equal parts of spirit and plant water in this jar?",
                lambda f: 50 * f.a,
                so=_label,
            ),
            mistake(
                "m36",
                "Takes one percentage away from the other",
                "One percentage is of the plant, the other of the spirit. Can they be taken from each other?",
                lambda f: 100 * (f.a - f.w),
                so=_label,
            ),
            mistake(
                "m37",
                "Multiplies the strength by the dry share",
                "All the alcohol you poured is still in the jar, isn't it? Where did this sum leave most of it?",
                lambda f: 100 * f.a * (1 - f.w),
                so=_label,
            ),
            mistake(
                "m38",
                "Takes the solids for the water",
                "Which part of the plant does the moisture percentage count?",
                lambda f: 100 * f.r * f.a / (f.r + 1 - f.w),
                so=_label,
            ),
            mistake(
                "m39",
                "Reads the moisture as water per dry weight",
                "The moisture is a share of the fresh weight. How many mL of water is that in each 100 g (3 1/2 oz)?",
                lambda f: 100 * f.r * f.a / (f.r + f.w / (1 + f.w)),
                so=_label,
            ),
            mistake(
                "m40",
                "Takes the proof for the percentage",
                "Proof counts twice the percentage. Which of the two stands in your sum?",
                lambda f: 200 * f.r * f.a / (f.r + f.w),
                so=_label,
            ),
            mistake(
                "m41",
                "Moves the decimal point in the moisture",
                "How many mL of water are in 100 g (3 1/2 oz) of this plant? Has a nought gone missing?",
                lambda f: 100 * f.r * f.a / (f.r + f.w / 10),
                so=_label,
            ),
        ),
        path=_final_path,
        forwards="Is your number below the spirit you poured, and above nought? By how much can the plant's "
        "water pull it down?",
    ),
    Ask(
        5,
        3,
        "choice",
        f"{{m}} of fresh elderflower, {{w}} water, with spirit of {{a}} at {{r}}. {_POURED} {_RULE} The floor of "
        f"this question is {{t}}. What do you say about this jar? {BY_METRIC}",
        (
            _M,
            _W,
            grid("r", "mL/g", 10, 40, 5, 10),
            one_of("a", "percent_vol", 400, 450, 500, 550, 755, over=10),
            one_of("t", "percent_vol", 35),
        ),
        allowed=_clear_verdict,
        options=(
            Option(
                "It keeps: once the plant's water is counted it is still at the floor or above.",
                "How strong is it once the plant's water has joined in?",
                "m104",
                "Says that a jar under the floor keeps",
                lambda f: f"Worked through, {_keeps(f, _final(f))}: it would be kept, and it would not keep.",
            ),
            Option(
                "It is under the floor once the plant's water is counted.",
                "How many mL of water does the plant bring? Are you counting more than that?",
                "m105",
                "Says that a jar at the floor is under it",
                lambda f: f"Worked through, {_keeps(f, _final(f))}: good spirit would be added without need.",
            ),
            Option(
                "It is as strong as the spirit in the bottle was.",
                "What has the plant brought into the jar, besides itself?",
                "m106",
                "Thinks that a jar is as strong as its spirit",
                lambda f: f"Worked through, {_keeps(f, _final(f))}, and the label would say {vol(f.a)}.",
            ),
        ),
        answer=_verdict,
        path=lambda f: [*_final_path(f)[:4], f"So {_keeps(f, _final(f))}: ⟦{'ab'[_verdict(f)]}⟧"],
    ),
    Ask(
        5,
        8,
        "sentence",
        "A friend says: I covered my fresh leaves with 40 % vodka, so my tincture is 40 %. Answer your friend "
        "in one kind sentence.",
        points=(
            "It says that the fresh plant brings water of its own.",
            "It says that the same alcohol is now spread through more liquid, so the jar ends weaker than 40 % vol.",
            "It says one thing that would help: more spirit, stronger spirit, or drier leaves.",
        ),
        models=(
            "Your leaves brought water, so the jar is weaker than 40 %, and stronger spirit or drier leaves "
            "would help.",
            "The alcohol has spread into the plant's water too.",
            "Fresh leaves water it down.",
        ),
    ),
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
