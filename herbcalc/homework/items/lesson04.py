"""Floor 4. Lesson 4: cutting strong spirit."""

from __future__ import annotations

from functools import cache

from herbcalc.ethanol import density, mix
from herbcalc.homework.blueprint import (
    MONEY,
    STRENGTH,
    VOLUME,
    Ask,
    Figures,
    Option,
    case,
    grid,
    mistake,
    one_of,
    plainly,
    situation,
)
from herbcalc.homework.shared_slips import FRACTION_TURNED_OVER, ONE_PERCENTAGE_OFF_THE_OTHER, SPIRIT_IS_ALL_ALCOHOL
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import METRIC, SAFE, mL, oz_each, vol
from herbcalc.homework.wording import exact as n
from herbcalc.menstruum import cutting
from herbcalc.units import Q

_LINE = "You pour the spirit and then top up with water to the line."


def _forward(f: Figures, x: float) -> str:
    """How strong the cut would be with x mL of spirit in it."""
    strength = x * f.a / f.T
    if x > f.T:
        return f"{mL(x)} of spirit does not go into a jar of {mL(f.T)}."
    way = "under" if strength < f.t else "over"
    return f"With {mL(x)} of spirit, topped up to {mL(f.T)}, the mix would be {vol(strength)}, {way} your {vol(f.t)}."


def _whole_bottle(f: Figures, x: float) -> str:
    strength = f.V * f.a / x
    if strength > 1:
        return f"{mL(x)} is less than the bottle holds, and water was to be added."
    return f"Topped up to {mL(x)} the bottle would end at {vol(strength)}, and you want {vol(f.t)}."


@cache
def _weighs(share: float) -> float:
    """What 1 mL of it weighs at 20 °C, in g, to the four places that the prompt gives."""
    return round(float(density(Q(100 * share, "percent_vol")).to("g/mL").magnitude), 4)


def _heavy(share: float) -> str:
    return f"{_weighs(share):.4f} g for each mL ({oz_each(_weighs(share), 3)})"


def _blended(f: Figures, x: float) -> str:
    if x > f.T:
        return f"{mL(x)} of the strong one does not go into {mL(f.T)}."
    strength = (x * f.a + (f.T - x) * f.b) / f.T
    way = "under" if strength < f.t else "over"
    return f"With {mL(x)} of the strong one the blend would be {vol(strength)}, {way} your {vol(f.t)}."


def _mixed(f: Figures) -> tuple[float, float]:
    both = plainly(mix, [f.V1, f.V2], [100 * f.a, 100 * f.b])
    return float(both.strength.magnitude), float(both.strength_by_kitchen_rule.magnitude)


def _mix_slip(f: Figures, x: float) -> str:
    low, high = sorted((100 * f.a, 100 * f.b))
    if not low <= x <= high:
        return f"{vol(x / 100)} does not lie between the {vol(low / 100)} and the {vol(high / 100)} that went in."
    kitchen = (f.V1 * f.a + f.V2 * f.b) / (f.V1 + f.V2) * 100
    way = "weaker" if x > kitchen else "stronger"
    return f"With that sum the label would say {vol(x / 100)}; the bottle is {way}."


def _prices(f: Figures) -> tuple[float, float]:
    """Money for the wanted drink by the vodka (A) and by the strong one (B)."""
    litres = f.T * f.t
    return f.pA * litres / (f.VA * f.a), f.pB * litres / (f.VB * f.b)


def _wish(f: Figures) -> int:
    """0 with both, 1 with water alone, 2 not at all; from the drawn case."""
    return int(f.case)


def _wish_fits(f: Figures) -> bool:
    if f.case == 0:
        return f.b + 0.03 < f.t < f.a - 0.03
    if f.case == 1:
        return f.t < f.b - 0.03
    return f.t > f.a + 0.01


_STATEMENTS = (
    ("Water is added to a spirit. The alcohol in the jar is then", "c", "Did any alcohol come in, or go out?"),
    (
        "Water is added to a spirit. The strength is then",
        "b",
        "The same alcohol, in more liquid: stronger or weaker?",
    ),
    (
        "You cut the same strong spirit to a weaker strength than before, for a jar of the same size. The "
        "spirit you need is",
        "b",
        "A weaker jar holds less alcohol. Where does all the alcohol come from?",
    ),
    (
        "You cut from a weaker bottle than before to the same strength, for a jar of the same size. The spirit "
        "you need is",
        "a",
        "Each mL of the weaker bottle brings less alcohol. How many mL must there be?",
    ),
    (
        "A half litre (about 17 fl oz) of pure alcohol and as much water are poured together. The volume, "
        "against a full litre (about 34 fl oz), is",
        "b",
        "The two nestle into one another. Does the line stand higher or lower than the sum?",
    ),
    (
        "Two spirits are blended half and half. The strength of the blend, against the weaker of the two, is",
        "a",
        "A blend lies between its two parts. On which side of the weaker one is that?",
    ),
    (
        "You make twice as much of the same strength from the same bottle. The strength of what you make is",
        "c",
        "Twice the spirit and twice the water: does the mix change, or only its size?",
    ),
    (
        "You want the blend nearer to the strong one. The share of the strong one must be",
        "a",
        "Which of the two pulls the blend upwards?",
    ),
    (
        "You pour the spirit that the kitchen rule gives and top up to the line. The strength, against the one "
        "you want, is",
        "c",
        "The spirit is right, and the line is right. What could be off?",
    ),
    (
        "You measure spirit and water apart, by the kitchen rule, and pour them together. What fills the jar, "
        "against the line, is",
        "b",
        "Alcohol and water nestle together. Does the jar fill right up to the line?",
    ),
)


def _quick(f: Figures) -> list[tuple[str, str, str]]:
    first = int(f.first)
    step = (1, 3, 7, 9)[int(f.step)]  # steps that share no factor with ten, so that no statement comes twice
    return [_STATEMENTS[(first + n * step) % len(_STATEMENTS)] for n in range(5)]


def _quick_prompt(f: Figures) -> str:
    asked = " ".join(f"{n}. {question} ..." for n, (question, _, _) in enumerate(_quick(f), 1))
    return (
        "Five quick ones, no sums. Finish each with a) more or stronger, b) less or weaker, c) the same. "
        f"{asked} Type five letters in a row, such as a b a a c."
    )


def _spirit_way(f: Figures, w: Walk) -> float:
    alcohol = w.step("mL", f"Alcohol wanted in the jar, in mL: {n(f.t)} × {n(f.T)}", f.t * f.T)
    return w.step(
        "mL", f"Spirit that holds it, divided by its strength, in mL: {n(alcohol)} ÷ {n(f.a)}", alcohol / f.a
    )


def _whole_bottle_way(f: Figures, w: Walk) -> None:
    alcohol = w.step("mL", f"Alcohol in the bottle, in mL: {n(f.a)} × {n(f.V)}", f.a * f.V)
    w.step("mL", f"All of the mix, divided by the strength you want, in mL: {n(alcohol)} ÷ {n(f.t)}", alcohol / f.t)


def _by_weight_way(f: Figures, w: Walk) -> None:
    spirit = _spirit_way(f, w)
    heavy_t, heavy_a, heavy_w = (_weighs(share) for share in (f.t, f.a, 0.0))
    mix = w.step("g", f"Weight of the finished mix, in g: {n(f.T)} × {heavy_t}", f.T * heavy_t)
    poured = w.step("g", f"Weight of the spirit, in g: {n(spirit)} × {heavy_a}", spirit * heavy_a)
    water = w.total("g", f"Weight of the water, the rest, in g: {n(mix)} − {n(poured)}", mix, -poured)
    w.step("mL", f"As a volume, in mL: {n(water)} ÷ {heavy_w}", water / heavy_w)


def blend_way(f: Figures, w: Walk) -> None:
    a, b, t = 100 * f.a, 100 * f.b, 100 * f.t
    up = w.step("parts", f"From the weak one up to what you want: {n(t)} − {n(b)}", t - b)
    whole = w.step("parts", f"From the weak one up to the strong one: {n(a)} − {n(b)}", a - b)
    share = w.step("pct", f"So the strong one's share of the blend: {n(up)} ÷ {n(whole)}", up / whole)
    w.step("mL", f"Of the whole, in mL: {n(share)} × {n(f.T)}", share * f.T)


def _poured_together_way(f: Figures, w: Walk) -> None:
    first = w.step("mL", f"Alcohol in the first, in mL: {n(f.a)} × {n(f.V1)}", f.a * f.V1)
    second = w.step("mL", f"Alcohol in the second, in mL: {n(f.b)} × {n(f.V2)}", f.b * f.V2)
    alcohol = w.total("mL", f"Alcohol in both, in mL: {n(first)} + {n(second)}", first, second)
    liquid = w.total("mL", f"Liquid in both, in mL: {n(f.V1)} + {n(f.V2)}", f.V1, f.V2)
    w.step("vol", f"Alcohol divided by liquid: {n(alcohol)} ÷ {n(liquid)}", alcohol / liquid)


def _shelf_way(f: Figures, w: Walk) -> None:
    where = ("between the two spirits", "under both spirits", "above both spirits")[_wish(f)]
    w.say(f"Water at 0, the weak one at {vol(f.b)}, the strong one at {vol(f.a)}: yours, {vol(f.t)}, lies ⟦{where}⟧")
    w.say(f"So the one that fits is: ⟦{w.letter(_wish(f))}⟧")


def _shops_way(f: Figures, w: Walk) -> None:
    """Both shops, the cheaper one last."""
    alcohol = w.step("mL", f"Alcohol needed, in mL: {n(f.t)} × {n(f.T)}", f.t * f.T)
    shops = [("A", f.VA, f.a, f.pA), ("B", f.VB, f.b, f.pB)]
    for shop, holds, strength, price in shops if _prices(f)[1] < _prices(f)[0] else reversed(shops):
        words = f"Alcohol in the bottle of shop {shop}, in mL: {n(strength)} × {n(holds)}"
        inside = w.step("mL", words, strength * holds)
        bottles = w.step("", f"How many such bottles you need: {n(alcohol)} ÷ {n(inside)}", alcohol / inside)
        w.step("$", f"What that costs: {n(bottles)} × ${price:.2f}", bottles * price)


def _quick_way(f: Figures, w: Walk) -> None:
    for number, (_, letter, hint) in enumerate(_quick(f), 1):
        w.say(f"{number}. {hint} ⟦{letter}⟧")


def _blend_by_alcohol(f: Figures, w: Walk) -> None:
    short = w.step("mL", "", (f.t - f.b) * f.T)
    w.step("mL", "", short / (f.a - f.b))


def _blend_by_two_alcohols(f: Figures, w: Walk) -> None:
    """The alcohol that is wanted, less what the weak one alone would bring."""
    short = w.step("mL", "", w.step("mL", "", f.t * f.T) - w.step("mL", "", f.b * f.T))
    w.step("mL", "", short / w.step("", "", f.a - f.b))


ITEMS = (
    Ask(
        4,
        1,
        "sum",
        f"You want {{T}} of spirit at {{t}}, and your bottle is {{a}}. {_LINE} How many mL of spirit go in? "
        f"{METRIC} {SAFE}",
        (
            grid("T", "mL", 250, 1000, 50),  # clean numbers to begin with
            one_of("a", "percent_vol", 755, 950, over=10),
            grid("t", "percent_vol", 35, 70, 5),
        ),
        VOLUME,
        lambda f: f.T * f.t / f.a,
        allowed=lambda f: f.t < f.a - 0.04,
        mistakes=(
            SPIRIT_IS_ALL_ALCOHOL.on(
                "m19",
                lambda f: f.T * f.t,
                so=_forward,
            ),
            ONE_PERCENTAGE_OFF_THE_OTHER.on(
                "m20",
                lambda f: f.T * (f.a - f.t),
                so=_forward,
                hint="Try your sum on a spirit that is to stay as strong as it is. How much spirit would it ask for?",
            ),
            mistake(
                "m21",
                "Gives the water instead of the spirit",
                "Is that what comes from the bottle, or from the tap?",
                lambda f: f.T - f.T * f.t / f.a,
                so=_forward,
            ),
            FRACTION_TURNED_OVER.on(
                "m22",
                lambda f: f.T * f.a / f.t,
                so=_forward,
                hint="How much does your jar hold? Would that much spirit leave room for water?",
            ),
            mistake(
                "m23",
                "Multiplies by both strengths",
                "Go forwards: how much alcohol would that much spirit bring, and how strong is the full jar?",
                lambda f: f.T * f.t * f.a,
                so=_forward,
            ),
        ),
        path=_spirit_way,
        forwards="Take your mL of spirit: how much alcohol is in it, and how strong is the full jar?",
    ),
    Ask(
        4,
        2,
        "sum",
        f"You take a whole bottle, {{V}} of {{a}}, down to {{t}} with water, topping up to the line. How much "
        f"does it make in all, in mL? {METRIC} {SAFE}",
        (
            one_of("V", "mL", 350, 375, 500, 700, 750, 1000, 1750),
            one_of("a", "percent_vol", 755, 800, 900, 950, 960, over=10),
            grid("t", "percent_vol", 35, 70),
        ),
        VOLUME,
        lambda f: f.V * f.a / f.t,
        allowed=lambda f: f.t < f.a - 0.04,
        mistakes=(
            mistake(
                "m25",
                "Takes the difference of the percentages as the water to add",
                "The same alcohol in a weaker mix: how many times as much liquid must it be spread through?",
                lambda f: f.V * (1 + f.a - f.t),
                so=_whole_bottle,
            ),
            FRACTION_TURNED_OVER.on(
                "m26",
                lambda f: f.V * f.t / f.a,
                so=_whole_bottle,
                hint="Can there be less in the jar after water has come in?",
            ),
            mistake(
                "m27",
                "Gives what is added instead of what it makes",
                "That is what comes on top of the bottle. How full is the jar then?",
                lambda f: f.V * f.a / f.t - f.V,
                so=_whole_bottle,
            ),
        ),
        path=_whole_bottle_way,
        forwards="Spread the bottle's alcohol through your volume: how strong is it?",
    ),
    Ask(
        4,
        4,
        "sum",
        f"You blend {{a}} spirit with {{b}} spirit to make {{T}} at {{t}}. How many mL of the strong one? "
        f"{METRIC} {SAFE}",
        (
            grid("T", "mL", 250, 1000, 10),
            one_of("a", "percent_vol", 755, 950, over=10),
            one_of("b", "percent_vol", 400, 500, over=10),
            grid("t", "percent_vol", 44, 80),
        ),
        VOLUME,
        lambda f: (
            (b := plainly(cutting.blend, 100 * f.a, 100 * f.b, 100 * f.t, f.T)).strong.magnitude,
            b.strong_by_kitchen_rule.magnitude,
        ),
        allowed=lambda f: f.b + 0.03 < f.t < f.a - 0.03,
        mistakes=(
            mistake(
                "m28",
                "Swaps the two shares",
                "Which of the two is nearer to what you want? Which of them must there be more of?",
                lambda f: f.T * (f.a - f.t) / (f.a - f.b),
                so=_blended,
            ),
            mistake(
                "m29",
                "Treats the weak spirit as water",
                "Does the weak one bring no alcohol?",
                lambda f: f.T * f.t / f.a,
                so=_blended,
            ),
            mistake(
                "m30",
                "Takes half and half",
                "Half and half gives the middle of the two. Is that what you want?",
                lambda f: f.T / 2,
                so=_blended,
            ),
            mistake(
                "m31",
                "Takes the parts for mL",
                "Those are parts. How many parts make the whole, and how many mL is one of them?",
                lambda f: (f.t - f.b) * 100,
                so=_blended,
            ),
        ),
        path=blend_way,
        other_paths=(_blend_by_alcohol, _blend_by_two_alcohols),
        forwards="Add up the alcohol of both: your mL of the strong one and the rest of the weak one. How "
        "strong is the mix?",
        edition=3,
    ),
    Ask(
        4,
        3,
        "sum",
        f"You cut spirit of {{a}} to make {{T}} at {{t}}. Alcohol and water nestle together when they mix, so "
        f"the jar takes a little more water than the kitchen rule says. At 20 °C the spirit weighs {{heavy_a}}, "
        f"the finished mix {{heavy_t}} and water {{heavy_w}}. Weights do add up: how many mL of water really go "
        f"in? {METRIC} {SAFE}",
        (
            grid("T", "mL", 500, 1000, 10),
            one_of("a", "percent_vol", 900, 950, 960, over=10),
            grid("t", "percent_vol", 45, 70),
        ),
        VOLUME,
        lambda f: float(plainly(cutting.cut, 100 * f.a, 100 * f.t, f.T, None).water.magnitude),
        also={
            "heavy_a": lambda f: _heavy(f.a),
            "heavy_t": lambda f: _heavy(f.t),
            "heavy_w": lambda _: _heavy(0.0),
        },
        mistakes=(
            mistake(
                "m24",
                "Lets the volumes simply add",
                "Fine at the kitchen table. Do alcohol and water, poured together, fill as much as they did apart?",
                lambda f: f.T - f.T * f.t / f.a,
                so=lambda f, x: (
                    f"With {mL(x)} of water the mix stays under the line of {mL(f.T)}, and a little too strong."
                ),
            ),
            mistake(
                "m124",
                "Gives the spirit instead of the water",
                "Is that what comes from the bottle, or from the tap?",
                lambda f: f.T * f.t / f.a,
                so=lambda f, x: (
                    f"{mL(x)} is what comes from the bottle; together with as much water it would not be {vol(f.t)}."
                ),
            ),
        ),
        path=_by_weight_way,
        forwards="Begin with the kitchen rule. The measured water is a few parts in a hundred more than that.",
    ),
    Ask(
        4,
        5,
        "sum",
        f"{{V1}} of {{a}} spirit and {{V2}} of {{b}} spirit are poured together. How strong is the mix, in % "
        f"vol? {METRIC}",
        (
            grid("V1", "mL", 50, 600, 10),
            grid("V2", "mL", 50, 600, 10),
            one_of("a", "percent_vol", 755, 900, 950, over=10),
            one_of("b", "percent_vol", 375, 400, 450, 500, over=10),
        ),
        STRENGTH,
        _mixed,
        mistakes=(
            mistake(
                "m125",
                "Takes the plain middle of the two strengths",
                "The middle is right for equal parts. Is there as much of the one as of the other?",
                lambda f: 50 * (f.a + f.b),
                so=_mix_slip,
            ),
            mistake(
                "m126",
                "Adds the strengths",
                "Can a mix be stronger than the stronger of the two?",
                lambda f: 100 * (f.a + f.b),
                so=_mix_slip,
            ),
            mistake(
                "m127",
                "Counts the weak spirit as water",
                "Does the weak one bring no alcohol of its own?",
                lambda f: 100 * f.V1 * f.a / (f.V1 + f.V2),
                so=_mix_slip,
            ),
            mistake(
                "m128",
                "Swaps the two volumes",
                "Which strength belongs to which volume?",
                lambda f: 100 * (f.V2 * f.a + f.V1 * f.b) / (f.V1 + f.V2),
                so=_mix_slip,
            ),
        ),
        path=_poured_together_way,
        forwards="Your number should lie between the two, nearer to the one there is more of.",
    ),
    Ask(
        4,
        6,
        "choice",
        "On the shelf stand {a} spirit, {b} spirit and water, and nothing else. You want {t}. Can it be made?",
        (
            one_of("a", "percent_vol", 755, 900, over=10),
            one_of("b", "percent_vol", 400, 450, 500, over=10),
            grid("t", "percent_vol", 20, 94),
            case(3),
        ),
        allowed=_wish_fits,
        options=(
            Option(
                "Yes: it lies between the two spirits, so either blend them, or cut the strong one. The weak "
                "one alone will not do.",
                "Lay the three strengths out in a row. Where does the one you want lie?",
                "m129",
                "Thinks a strength outside the two spirits lies between them",
                lambda f: (
                    f"The two spirits blended give anything from {vol(f.b)} to {vol(f.a)}, and you want {vol(f.t)}."
                ),
            ),
            Option(
                "Yes: it lies under both spirits, so water added to either of them will do.",
                "Water makes a spirit weaker. Is the one you want weaker than both of them?",
                "m130",
                "Thinks water alone reaches a strength over the weak spirit from either of them",
                lambda f: f"Water makes the {vol(f.b)} weaker still, and you want {vol(f.t)}.",
            ),
            Option(
                "No: it is stronger than anything on the shelf.",
                "Is there nothing on the shelf as strong as that?",
                "m131",
                "Thinks that a strength below the strongest spirit cannot be made",
                lambda f: f"The strong one is {vol(f.a)}, and you want {vol(f.t)}.",
            ),
        ),
        answer=_wish,
        path=_shelf_way,
        edition=2,
    ),
    Ask(
        4,
        7,
        "sum",
        "You need {T} at {t}. Shop A sells {VA} of {a} for {pA}; shop B sells {VB} of {b} for {pB}. Water costs "
        "nothing, and "
        f"you pay only for the part of the bottle that you use. What does the cheaper way cost, in $? {METRIC}",
        (
            grid("T", "mL", 300, 700, 10),
            one_of("t", "percent_vol", 45, 50),
            one_of("VA", "mL", 700, 750, 1000),
            one_of("VB", "mL", 500, 750),
            one_of("a", "percent_vol", 500, 551, over=10),
            one_of("b", "percent_vol", 900, 950, over=10),
            grid("pA", "money", 1200, 2400, 50, 100),
            grid("pB", "money", 1800, 3600, 50, 100),
        ),
        MONEY,
        lambda f: min(_prices(f)),
        allowed=lambda f: abs(_prices(f)[0] / _prices(f)[1] - 1) > 0.06,
        mistakes=(
            mistake(
                "m132",
                "Takes the other shop",
                "Work both ways out for the alcohol alone. Which of the two sells it cheaper?",
                lambda f: max(_prices(f)),
                so=lambda f, x: f"That way costs ${x:.2f}, and the other shop makes the same {mL(f.T)} for less.",
            ),
            mistake(
                "m133",
                "Pays for the volume and forgets that water is added",
                "Is all of what you need poured from that bottle, or is a part of it water?",
                lambda f: min(f.pA * f.T / f.VA, f.pB * f.T / f.VB),
                so=lambda f, x: f"For ${x:.2f} you would hold {mL(f.T)} as strong as the bottle, not {vol(f.t)}.",
            ),
            SPIRIT_IS_ALL_ALCOHOL.on(
                "m134",
                lambda f: f.pB * f.T * f.t / f.VB,
                so=lambda _, x: f"${x:.2f} pays for spirit that is a little short of the alcohol you need.",
                hint="How much alcohol does the bottle hold? Is it full of alcohol to the brim?",
            ),
        ),
        path=_shops_way,
        forwards="How much alcohol do you need, how much is in each bottle, and what does that part of each "
        "bottle cost?",
    ),
    Ask(
        4,
        8,
        "choice",
        _quick_prompt,
        (situation("first", 10), situation("step", 4)),
        quick=_quick,
        path=_quick_way,
    ),
)
