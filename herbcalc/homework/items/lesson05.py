"""Floor 4. Lesson 5: the plant brings its own water."""

from __future__ import annotations

from herbcalc import menstruum
from herbcalc.homework.blueprint import (
    MOISTURE,
    RATIO,
    STRENGTH,
    VOLUME,
    Ask,
    Figures,
    Option,
    by_both_rules,
    case,
    grid,
    mistake,
    one_of,
)
from herbcalc.homework.shared_slips import (
    FRACTION_TURNED_OVER,
    PLANT_WATER_LEFT_OUT,
    PLANT_WATER_OFF_THE_SPIRIT,
    SOLIDS_FOR_WATER,
    WATER_PER_DRY_WEIGHT,
    WHOLE_PLANT_IS_WATER,
)
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import (
    BY_METRIC,
    METRIC,
    PLAIN,
    PLANT_WATER,
    POURED,
    SAFE,
    g,
    g100,
    mL,
    one_to,
    pct,
    vol,
)
from herbcalc.homework.wording import exact as n


def _final(f: Figures) -> float:
    return f.a * f.r / (f.r + f.w)


def _both_finals(f: Figures) -> tuple[float, ...]:
    return by_both_rules(menstruum.final_strength, f.m, 100 * f.w, f.m * f.r, 100 * f.a)


def _keeps(f: Figures, strength: float) -> str:
    where = "under" if strength < f.t else "over"
    return f"the jar would end at {vol(strength)}, {where} the floor of {vol(f.t)}"


def _at_ratio(f: Figures, x: float) -> str:
    return f"At {one_to(x)} {_keeps(f, f.a * x / (x + f.w))}"


def _at_water(f: Figures, x: float) -> str:
    return f"At {pct(x / 100)} water {_keeps(f, f.a * f.r / (f.r + x / 100))}"


def _too_dry(f: Figures, x: float) -> str:
    return f"{_at_water(f, x)}: dried further than it need be."


def _with_spirit(f: Figures, x: float) -> str:
    ends = x / 100 * f.r / (f.r + f.w)
    way = "under" if ends < f.t else "over"
    return f"With {vol(x / 100)} the jar would end at {vol(ends)}, {way} your {vol(f.t)}."


def _label(f: Figures, x: float) -> str:
    if not 0 <= x <= 100:
        return f"A strength lies between 0 and 100 % vol. Can a jar be {vol(x / 100)}?"
    way = "weaker" if x / 100 > _final(f) else "stronger"
    return f"With that sum the label would say {vol(x / 100)}, and the jar is {way} than its label."


def _verdict(f: Figures) -> int:
    return 0 if _final(f) >= f.t else 1


def _clear_verdict(f: Figures) -> bool:
    """Not so near the floor that the two rules, or three figures, would tell different stories."""
    return _verdict(f) == f.case and abs(_final(f) / f.t - 1) > 0.06 and f.a > f.t


_M = grid("m", "g", 60, 400, 10)

_W = grid("w", "percent_wb", 62, 88)


def _rescue_gap(f: Figures) -> float:
    """Pure alcohol that the jar is short of, in mL."""
    return f.m * (f.t * (f.r + f.w) - f.a * f.r)


def _rescued(f: Figures, x: float) -> float:
    return (f.m * f.r * f.a + x * f.s) / (f.m * (f.r + f.w) + x)


def _lifted(f: Figures, x: float) -> str:
    return f"With {mL(x)} {_keeps(f, _rescued(f, x))}."


_T = one_of("t", "percent_vol", 30, 35)


def _water_way(f: Figures, w: Walk) -> None:
    share = w.step("", f"The water's share of each g: {n(100 * f.w)} ÷ 100", f.w)
    w.step("mL", f"Of the whole plant, 1 mL for each g, in mL: {n(share)} × {n(f.m)}", share * f.m)


def _jar_way(f: Figures, w: Walk) -> tuple[float, float]:
    """As far as the alcohol and the liquid in the jar, in mL."""
    water = w.step("mL", f"Water that the plant brings, in mL: {n(f.w)} × {n(f.m)}", f.w * f.m)
    poured = w.step("mL", f"Spirit poured, in mL: {n(f.r)} × {n(f.m)}", f.r * f.m)
    alcohol = w.step("mL", f"Pure alcohol in that spirit, in mL: {n(f.a)} × {n(poured)}", f.a * poured)
    liquid = w.total("mL", f"Liquid in the jar, in mL: {n(poured)} + {n(water)}", poured, water)
    return alcohol, liquid


def _final_way(f: Figures, w: Walk) -> None:
    alcohol, liquid = _jar_way(f, w)
    w.step("vol", f"Alcohol divided by liquid: {n(alcohol)} ÷ {n(liquid)}", alcohol / liquid)


def _verdict_way(f: Figures, w: Walk) -> None:
    _final_way(f, w)
    w.say(f"So {_keeps(f, _final(f))}: ⟦{w.letter(_verdict(f))}⟧")


def _smallest_ratio_way(f: Figures, w: Walk) -> None:
    water = w.step("mL", f"Water that {g100()} of plant brings, in mL: {n(f.w)} × 100", 100 * f.w)
    need = w.step(
        "mL",
        f"Each mL of that water needs {n(f.t)} mL of alcohol, out of what the spirit can spare. In mL: "
        f"{n(f.t)} × {n(water)}",
        f.t * water,
    )
    spare = w.step(
        "", f"What each mL of the spirit can spare and still be at the floor: {n(f.a)} − {n(f.t)}", f.a - f.t
    )
    spirit = w.step("mL", f"Spirit that can spare so much, in mL: {n(need)} ÷ {n(spare)}", need / spare)
    w.step("1:x", f"For each g of plant: {n(spirit)} ÷ 100", spirit / 100)


def _strength_way(f: Figures, w: Walk) -> None:
    water = w.step("mL", f"Water that {g100()} of plant brings, in mL: {n(f.w)} × 100", 100 * f.w)
    poured = w.step("mL", f"Spirit poured on it, in mL: {n(f.r)} × 100", 100 * f.r)
    liquid = w.total("mL", f"Liquid in all, in mL: {n(poured)} + {n(water)}", poured, water)
    alcohol = w.step("mL", f"Alcohol wanted in it, in mL: {n(f.t)} × {n(liquid)}", f.t * liquid)
    w.step("vol", f"All of it comes from the spirit, so divide: {n(alcohol)} ÷ {n(poured)}", alcohol / poured)


def _wettest_way(f: Figures, w: Walk) -> None:
    poured = w.step("mL", f"Spirit on {g100()} of plant, in mL: {n(f.r)} × 100", 100 * f.r)
    spare = w.step(
        "", f"Alcohol that each mL of it can spare and still be at the floor: {n(f.a)} − {n(f.t)}", f.a - f.t
    )
    alcohol = w.step("mL", f"Alcohol to spare in all, in mL: {n(spare)} × {n(poured)}", spare * poured)
    water = w.step(
        "mL",
        f"Each mL of water needs {n(f.t)} mL of it, so divide. Water that may come in, in mL: "
        f"{n(alcohol)} ÷ {n(f.t)}",
        alcohol / f.t,
    )
    w.step("pct", f"As a share of the plant: {n(water)} ÷ 100", water / 100)


def _rescue_way(f: Figures, w: Walk) -> None:
    alcohol, liquid = _jar_way(f, w)
    need = w.step("mL", f"Alcohol that the floor would need in it, in mL: {n(f.t)} × {n(liquid)}", f.t * liquid)
    short = w.total("mL", f"Alcohol that it is short of, in mL: {n(need)} − {n(alcohol)}", need, -alcohol)
    spare = w.step("", f"What each mL of the strong spirit can spare: {n(f.s)} − {n(f.t)}", f.s - f.t)
    w.step("mL", f"Strong spirit that can spare so much, in mL: {n(short)} ÷ {n(spare)}", short / spare)


def _rescue_by_strength(f: Figures, w: Walk) -> None:
    alcohol, liquid = _jar_way(f, w)
    strength = w.step("vol", "", alcohol / liquid)
    w.step("mL", "", w.step("mL", "", (f.t - strength) * liquid) / (f.s - f.t))


def _rescue_of_the_water(f: Figures, w: Walk) -> None:
    """What the plant's water needs, less what the spirit can spare."""
    need = w.step("mL", "", f.t * w.step("mL", "", f.w * f.m))
    spare = w.step("mL", "", (f.a - f.t) * w.step("mL", "", f.r * f.m))
    w.step("mL", "", w.total("mL", "", need, -spare) / (f.s - f.t))


def _rescue_per_gram(f: Figures, w: Walk) -> None:
    """What a gram of plant asks for, and then all of them."""
    need = w.step("", "", f.t * w.step("", "", f.r + f.w))
    short = w.step("", "", need - w.step("", "", f.a * f.r))
    w.step("mL", "", w.step("", "", short / (f.s - f.t)) * f.m)


def _wettest_by_thinning(f: Figures, w: Walk) -> None:
    """How many mL the spirit may become, less what it was."""
    becomes = w.step("", "", w.step("", "", f.a * f.r) / f.t)
    w.step("pct", "", becomes - f.r)


def _wettest_per_mL(f: Figures, w: Walk) -> None:
    """What each mL may take, times the mL."""
    w.step("pct", "", w.step("", "", (f.a - f.t) / f.t) * f.r)


def _wettest_by_growth(f: Figures, w: Walk) -> None:
    """How many times its volume the spirit may become."""
    times = w.step("", "", f.a / f.t)
    w.step("pct", "", w.step("", "", times * f.r) - f.r)


ITEMS = (
    Ask(
        5,
        1,
        "sum",
        f"You weigh {{m}} of fresh lemon balm. It is {{w}} water (water as a share of the fresh weight). How "
        f"many mL of water does it bring into the jar? {PLANT_WATER} {METRIC}",
        (grid("m", "g", 50, 900, 50), grid("w", "percent_wb", 60, 90, 5)),  # clean numbers to begin with
        VOLUME,
        lambda f: f.m * f.w,
        mistakes=(
            SOLIDS_FOR_WATER.on(
                "m101",
                lambda f: f.m * (1 - f.w),
                so=lambda f, x: (
                    f"With {mL(x)} of water the other {g(f.m - x)} would be solids: a woody thing, no leaf."
                ),
                hint="That is the part that stays behind when the leaf is dry. Which part is the water?",
            ),
            mistake(
                "m102",
                "Takes the whole plant for water",
                "Press a leaf as hard as you like: is there nothing left of it but water?",
                lambda f: f.m,
                so=lambda f, x: f"With {mL(x)} of water in {g(f.m)} there would be no leaf in the basket.",
            ),
            WATER_PER_DRY_WEIGHT.on(
                "m103",
                lambda f: f.m * f.w / (1 + f.w),
                so=lambda f, x: (
                    f"With {mL(x)} of water in {g(f.m)} the leaf would be {pct(x / f.m)} water, not {pct(f.w)}."
                ),
                hint="Is the percentage a share of the fresh plant, or is it counted against the dry part?",
            ),
        ),
        path=_water_way,
        forwards="Add your water to the solids that would be left: do they make the weight on the scale?",
    ),
    Ask(
        5,
        2,
        "sum",
        f"{{m}} of fresh lemon balm, {{w}} water, goes into a jar with spirit of {{a}}, poured at {{r}}. How "
        f"strong is the liquid in the jar in the end, in % vol? {POURED} {PLANT_WATER} {METRIC}",
        (_M, _W, grid("r", "mL/g", 15, 30, 5, 10), one_of("a", "percent_vol", 400, 500, 755, 950, over=10)),
        STRENGTH,
        _both_finals,
        mistakes=(
            PLANT_WATER_LEFT_OUT.on(
                "m32",
                lambda f: 100 * f.a,
                so=_label,
                hint="That is what you poured on. What did the plant add to it?",
            ),
            WHOLE_PLANT_IS_WATER.on(
                "m33",
                lambda f: 100 * f.r * f.a / (f.r + 1),
                so=_label,
                hint="Is all of that plant water, or is some of it stalk and leaf that stays solid?",
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
            SOLIDS_FOR_WATER.on(
                "m38",
                lambda f: 100 * f.r * f.a / (f.r + 1 - f.w),
                so=_label,
                hint="Which part of the plant does the moisture percentage count?",
            ),
            WATER_PER_DRY_WEIGHT.on(
                "m39",
                lambda f: 100 * f.r * f.a / (f.r + f.w / (1 + f.w)),
                so=_label,
                hint="The moisture is a share of the fresh weight. How many mL of water is that in each 100 g (3 1/2 "
                "oz)?",
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
        path=_final_way,
        forwards="Is your number below the spirit you poured, and above nought? By how much can the plant's "
        "water pull it down?",
    ),
    Ask(
        5,
        3,
        "choice",
        f"{{m}} of fresh elderflower, {{w}} water, with spirit of {{a}} at {{r}}. {POURED} {PLANT_WATER} The floor "
        f"of this question is {{t}}. What do you say about this jar? {BY_METRIC}",
        (
            _M,
            _W,
            grid("r", "mL/g", 10, 40, 5, 10),
            one_of("a", "percent_vol", 400, 450, 500, 550, 755, over=10),
            one_of("t", "percent_vol", 35),
            case(2),
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
        path=_verdict_way,
        edition=2,
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
        f"still ends at {{t}}, the floor of this question? {POURED} {PLANT_WATER} {PLAIN}",
        (_W, grid("a", "percent_vol", 400, 500, 5, 10), _T),
        RATIO,
        lambda f: by_both_rules(menstruum.smallest_ratio, 100 * f.w, 100 * f.a, 100 * f.t),
        allowed=lambda f: f.a - f.t > 0.03,
        mistakes=(
            WHOLE_PLANT_IS_WATER.on(
                "m42",
                lambda f: f.t / (f.a - f.t),
                so=lambda f, x: f"{_at_ratio(f, x)}, and more spirit is poured than it needs.",
                hint="So near. Is all of each gram water?",
            ),
            FRACTION_TURNED_OVER.on(
                "m43",
                lambda f: (f.a - f.t) / (f.w * f.t),
                so=lambda f, x: f"{_at_ratio(f, x)}.",
                hint="When the spirit is hardly stronger than the floor, should the jar need more spirit or less?",
            ),
            mistake(
                "m44",
                "Puts the spirit's strength where the floor belongs",
                "Up to which strength must the plant's water be brought: the spirit's, or the floor's?",
                lambda f: f.w * f.a / (f.a - f.t),
                so=lambda f, x: f"{_at_ratio(f, x)}: safe, and dearer than it need be.",
            ),
            mistake(
                "m45",
                "Thinks that any ratio will do because the spirit is over the floor",
                "Pour it in your head: 100 g (3 1/2 oz) of plant and that much spirit. How much water has joined it?",
                lambda _: 2.0,
                lambda _: 1.0,
                so=lambda f, x: f"{_at_ratio(f, x)}.",
            ),
        ),
        path=_smallest_ratio_way,
        forwards="Take 100 g (3 1/2 oz) of plant at your ratio: how much spirit, how much water, and how strong "
        "is the mix?",
        edition=2,
    ),
    Ask(
        5,
        5,
        "sum",
        f"Fresh elderflower, {{w}} water, at {{r}}. The jar should end at {{t}}. How strong must the spirit be "
        f"that you pour on, in % vol? {POURED} {PLANT_WATER} {PLAIN} {SAFE}",
        (_W, grid("r", "mL/g", 15, 40, 5, 10), grid("t", "percent_vol", 30, 60)),
        STRENGTH,
        lambda f: by_both_rules(menstruum.strength_to_pour, f.r, 100 * f.w, 100 * f.t),
        allowed=lambda f: f.t * (f.r + f.w) / f.r <= 0.95,
        mistakes=(
            PLANT_WATER_LEFT_OUT.on(
                "m46",
                lambda f: 100 * f.t,
                so=_with_spirit,
                hint="Pour that on, and let the plant's water run in. Is the jar still that strong?",
            ),
            mistake(
                "m47",
                "Adds the moisture on, as if there were one part of spirit",
                "That fits a jar at 1:1. How many parts of spirit share the plant's water here?",
                lambda f: 100 * f.t * (1 + f.w),
                so=_with_spirit,
            ),
            PLANT_WATER_OFF_THE_SPIRIT.on(
                "m48",
                lambda f: 100 * f.t * f.r / (f.r - f.w),
                so=_with_spirit,
                hint="Does the plant's water take the place of some spirit, or does it come on top?",
            ),
            WHOLE_PLANT_IS_WATER.on(
                "m49",
                lambda f: 100 * f.t * (f.r + 1) / f.r,
                so=_with_spirit,
                hint="Which part of each gram thins the spirit: all of it, or only the water?",
            ),
        ),
        path=_strength_way,
        forwards="Take 100 g (3 1/2 oz) of plant and pour your spirit on: how strong is the mix?",
    ),
    Ask(
        5,
        6,
        "sum",
        f"You have spirit of {{a}} and want a jar of lemon balm at {{r}} that ends at {{t}} or above, the floor "
        "of this question. How much water may the plant hold at most when you pour, in % of its weight? The "
        f"ratio is mL of spirit for each g of plant as it is weighed when you pour. {PLANT_WATER} {PLAIN}",
        (grid("r", "mL/g", 15, 30, 5, 10), grid("a", "percent_vol", 380, 460, 5, 10), _T),
        MOISTURE,
        lambda f: by_both_rules(menstruum.wettest_plant, f.r, 100 * f.a, 100 * f.t),
        allowed=lambda f: 0.05 < f.r * (f.a - f.t) / f.t < 0.9,
        mistakes=(
            mistake(
                "m50",
                "Thinks that wilted, half dry, is dry enough",
                "Half sounds like a lot of drying. How much water may the spirit carry before it falls to the floor?",
                lambda _: 50.0,
                so=lambda f, x: f"{_at_water(f, x)}.",
            ),
            mistake(
                "m107",
                "Leaves out the ratio",
                "That is what one mL of spirit can carry. How many mL are there for each g?",
                lambda f: 100 * (f.a - f.t) / f.t,
                so=_too_dry,
            ),
            mistake(
                "m108",
                "Divides by the spirit's strength instead of the floor",
                "The water has to come up to the floor. Which of the two strengths belongs under the line?",
                lambda f: 100 * f.r * (f.a - f.t) / f.a,
                so=_too_dry,
            ),
            mistake(
                "m109",
                "Stops at the alcohol that can be spared",
                "That is the alcohol to spare. How much water can that much alcohol bring up to the floor?",
                lambda f: 100 * f.r * (f.a - f.t),
                so=_too_dry,
            ),
        ),
        path=_wettest_way,
        other_paths=(_wettest_by_thinning, _wettest_per_mL, _wettest_by_growth),
        forwards="Take 100 g (3 1/2 oz) of plant as wet as you say, pour, and work out how strong the jar ends.",
        edition=3,
    ),
    Ask(
        5,
        7,
        "sum",
        f"A jar holds {{m}} of fresh calendula, {{w}} water, with spirit of {{a}} poured at {{r}}. It is under "
        f"the floor of {{t}}. How many mL of {{s}} spirit must be added to bring the whole jar up to the floor? "
        f"{POURED} {PLANT_WATER} {METRIC} {SAFE}",
        (
            grid("m", "g", 60, 300, 10),
            grid("w", "percent_wb", 70, 88),
            grid("r", "mL/g", 15, 30, 5, 10),
            one_of("a", "percent_vol", 400, 425, over=10),
            one_of("s", "percent_vol", 755, 950, over=10),
            one_of("t", "percent_vol", 35),
        ),
        VOLUME,
        lambda f: by_both_rules(menstruum.rescue, f.m, 100 * f.w, f.m * f.r, 100 * f.a, 100 * f.t, 100 * f.s),
        allowed=lambda f: _final(f) < 0.33,
        mistakes=(
            mistake(
                "m110",
                "Forgets that what is added must itself stay at the floor",
                "What you add makes the jar fuller too. Must that part not also be at the floor?",
                lambda f: _rescue_gap(f) / f.s,
                so=_lifted,
            ),
            mistake(
                "m111",
                "Gives the pure alcohol that is missing",
                "That is pure alcohol. Is what you pour from the bottle pure, and does it not fill the jar as well?",
                _rescue_gap,
                so=_lifted,
            ),
            mistake(
                "m112",
                "Looks at the spirit alone, without the plant's water, when counting the gap",
                "How much liquid must be lifted to the floor: the spirit alone, or the plant's water with it?",
                lambda f: f.m * f.r * (f.t - _final(f)) / (f.s - f.t),
                so=_lifted,
            ),
        ),
        path=_rescue_way,
        other_paths=(_rescue_by_strength, _rescue_of_the_water, _rescue_per_gram),
        forwards="Add your mL to the jar: how much alcohol, how much liquid, how strong?",
        edition=3,
    ),
)
