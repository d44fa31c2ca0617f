"""Floor 4. Lesson 5: the plant brings its own water."""

from __future__ import annotations

from herbcalc import menstruum
from herbcalc.homework import lesson05_floor
from herbcalc.homework.question import STRENGTH, VOLUME, Ask, Figures, Option, grid, mistake, one_of
from herbcalc.homework.told import BY_METRIC, METRIC, g, mL, one_to, pct, vol

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
    *lesson05_floor.ITEMS,
)
