"""Floor 4. Lesson 1: ounces that are not the same."""

from __future__ import annotations

from dataclasses import replace

from herbcalc import ethanol, liquids
from herbcalc.homework.blueprint import (
    IN_G,
    IN_ML,
    RATIO,
    VOLUME,
    Ask,
    Figures,
    Near,
    Option,
    Want,
    case,
    grid,
    mistake,
    one_of,
)
from herbcalc.homework.shared_slips import FRACTION_TURNED_OVER, RATIO_TURNED_ROUND
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import G_PER_OZ, KITCHEN, METRIC, ML_PER_FL_OZ, PLAIN, g, mL, one_to, three, vol
from herbcalc.homework.wording import exact as n
from herbcalc.units import Q, spoken

_WEIGHED = replace(IN_G, old="fl_oz")
_IN_VOL = Want(("strength",), "percent_vol", "% vol", only=("percent_vol",), old="proof")
_ECHO = {"echo": "oz"}
_FL_OZ = 29.5735  # mL, as the lines of 1.3 show it: whoever presses their keys ends where they end

# What stands in the jug of 1.3, and what 1 mL of it weighs in g; the spirit's by the density formula.
_POURED = (
    *((name, liquids.densities()[key]) for name, key in (("honey", "honey"), ("olive oil", "oil"))),
    ("glycerin", liquids.densities()["glycerin"]),
    ("95 % vol grain spirit", round(float(ethanol.density(Q(95.0, "percent_vol")).magnitude) / 1000, 3)),
)


def _name(f: Figures) -> str:
    return _POURED[int(f.case)][0]


def _each(f: Figures) -> float:
    return _POURED[int(f.case)][1]


def _scale(f: Figures, x: float) -> str:
    return f"A scale that shows {n(f.oz)} oz would show {n(f.oz)} times 28.35 g, and that is not {g(x)}."


def _jug(f: Figures, x: float) -> str:
    return f"A jug with {mL(x)} in it does not stand at {n(f.fl)} fl oz."


def _room(f: Figures, x: float) -> str:
    return f"If {n(f.fl)} fl oz weighed {g(x)}, each mL would weigh {three(x / (f.fl * ML_PER_FL_OZ))} g."


def _label(_: Figures, x: float) -> str:
    return (
        f"Whoever plans a jar by {three(x)} % vol gets another one: US proof goes up to 200, and that is 100 % vol."
    )


def _in_bottle(f: Figures, x: float) -> str:
    if x > f.V:
        return f"The bottle holds {mL(f.V)}, so {mL(x)} of alcohol would not go in."
    return f"With {mL(x)} of alcohol in {mL(f.V)} the bottle would be {vol(x / f.V)}, and it says {vol(f.a)}."


def _ratio_so(f: Figures, x: float) -> str:
    return f"At {one_to(x)} the {n(f.oz)} oz of herb would take {mL(x * f.oz * G_PER_OZ)}."


def _ounces_way(f: Figures, w: Walk) -> None:
    w.say(f"One ounce (1 oz) on the scale is ⟦28.35 g⟧, and there are {n(f.oz)} of them.")
    w.step("g", f"So many ounces, in g: {n(f.oz)} × 28.35", f.oz * G_PER_OZ)


def _fluid_way(f: Figures, w: Walk) -> None:
    w.say(f"One fluid ounce (1 fl oz) in the jug is ⟦29.57 mL⟧, and there are {n(f.fl)} of them.")
    w.step("mL", f"So many fluid ounces, in mL: {n(f.fl)} × 29.57", f.fl * ML_PER_FL_OZ)


def _weighing_way(f: Figures, w: Walk) -> None:
    room = w.step("mL", f"The jug's fluid ounces in mL: {n(f.fl)} × {_FL_OZ}", f.fl * _FL_OZ)
    w.step("g", f"What that weighs, {n(_each(f))} g for each mL, in g: {n(room)} × {n(_each(f))}", room * _each(f))


def _proof_way(f: Figures, w: Walk) -> None:
    w.say("US proof counts each point twice: 200 proof is ⟦100 % vol⟧.")
    w.step("vol", f"Half of the proof: {n(f.p)} ÷ 2", f.p / 200)


def _alcohol_way(f: Figures, w: Walk) -> None:
    w.say(f"{n(100 * f.a)} of every 100 parts are alcohol: that is ⟦{n(f.a)}⟧ of the whole.")
    w.step("mL", f"So much of what is in the bottle, in mL: {n(f.a)} × {n(f.V)}", f.a * f.V)


def _really_way(f: Figures, w: Walk) -> None:
    herb = w.step("g", f"The herb in g: {n(f.oz)} × 28.3495", f.oz * G_PER_OZ)
    poured = w.step("mL", f"What is poured, in mL: {n(f.oz * f.r)} × 29.5735", f.oz * f.r * ML_PER_FL_OZ)
    w.step("1:x", f"mL for each g: {n(poured)} ÷ {n(herb)}", poured / herb)


def _lines(f: Figures) -> list[str]:
    """Four lines of which one slips, each going on with what the one before it shows."""
    herb = float(three(f.oz * (ML_PER_FL_OZ if f.case == 0 else 28.35)))
    menstruum = herb / f.r if f.case == 1 else herb * f.r
    if f.case == 2:
        menstruum /= 10
    sign = "divided by" if f.case == 1 else "times"
    each = f"1:{n(f.r)} asks for 1 mL of spirit for {n(f.r)} g of herb (about 1 fl oz for {n(f.r)} oz)."
    return [
        f"The scale shows {n(f.oz)} oz, and that is a weight, not room in a jug.",
        f"Each of those ounces is {'29.57' if f.case == 0 else '28.35'} g, so the herb weighs {g(herb)}.",
        each
        if f.case == 1
        else f"1:{n(f.r)} asks for {n(f.r)} mL of spirit for 1 g of herb (about {n(f.r)} fl oz for 1 oz).",
        f"The spirit is {three(herb)} {sign} {n(f.r)}: {mL(menstruum)}.",
    ]


def _mending_way(f: Figures, w: Walk) -> None:
    herb = w.step("g", f"The herb in g: {n(f.oz)} × 28.3495", f.oz * G_PER_OZ)
    w.step("mL", f"{n(f.r)} mL for each of them, in mL: {n(herb)} × {n(f.r)}", herb * f.r)


_TASKS = (
    "A scale is needed, and a jug alone will not do",
    "A jug alone will do, and no scale is needed",
    "Nobody can measure it before somebody says which ounce is meant",
)


def _task_way(f: Figures, w: Walk) -> None:
    w.say("Herb in oz is weighed, a liquid in fl oz is measured in a ⟦jug⟧.")
    w.say("Of honey an oz may be meant either way, until somebody says ⟦which⟧.")
    w.say(f"{_TASKS[int(f.case)]}: ⟦{w.letter(int(f.case))}⟧.")


def _unlike(f: Figures, option: int) -> str:
    """What is so of an option that was chosen and does not fit."""
    room = f.oz * G_PER_OZ / liquids.densities()["honey"] / ML_PER_FL_OZ
    so = (
        f"{n(f.oz)} oz of leaf is weighed: loose or pressed it fills one jar or three, and a scale tells at once.",
        f"{n(f.fl)} fl oz is room in a jug, plainly said, and a jug shows it at once.",
        f"{n(f.oz)} oz of honey by the scale fills {three(room)} fl oz of a jug, and nobody said which is meant.",
    )
    return so[option]


ITEMS = (
    Ask(
        1,
        1,
        "sum",
        f"A kitchen scale shows {{oz}} of dried lemon balm. How many grams is that? {PLAIN}",
        (grid("oz", "oz", 2, 16),),
        IN_G,
        lambda f: f.oz * G_PER_OZ,
        near=(
            Near(lambda f: 28 * f.oz, "Right. 28 g for an ounce is near enough on a kitchen scale; 28.35 is nearer."),
        ),
        mistakes=(
            mistake(
                "m201",
                "Takes 30 g for an ounce, or the 29.57 of the fluid ounce",
                "Which ounce does a scale show, and how many grams has that one?",
                lambda f: 30 * f.oz,
                lambda f: ML_PER_FL_OZ * f.oz,
                so=_scale,
            ),
            mistake(
                "m202",
                "Divides by the grams of an ounce",
                "Is a gram larger than an ounce, or smaller? So which number must be the bigger one?",
                lambda f: f.oz / G_PER_OZ,
                so=_scale,
            ),
            mistake(
                "m203",
                "Takes an ounce for a tenth of a pound",
                "How many ounces make a pound: ten, or sixteen?",
                lambda f: 16 * G_PER_OZ * f.oz / 10,
                so=_scale,
            ),
        ),
        path=_ounces_way,
        forwards="Divide your grams by 28.35: does the scale's figure come back?",
        pairs=_ECHO,
    ),
    Ask(
        1,
        2,
        "sum",
        f"A jug holds {{fl}} of vodka. How many mL is that? (US fluid ounces.) {PLAIN}",
        (grid("fl", "fl_oz", 2, 32),),
        IN_ML,
        lambda f: f.fl * ML_PER_FL_OZ,
        near=(Near(lambda f: 30 * f.fl, "Right. 30 mL for a fluid ounce is near enough in a jug; 29.57 is nearer."),),
        mistakes=(
            mistake(
                "m204",
                "Takes the 28.35 of the ounce on the scale",
                "Is it a weight that stands in the jug, or room? Which ounce belongs to that?",
                lambda f: G_PER_OZ * f.fl,
                so=_jug,
            ),
            mistake(
                "m205",
                "Takes a tablespoon for a fluid ounce",
                "How many tablespoons go into a fluid ounce?",
                lambda f: ML_PER_FL_OZ / 2 * f.fl,
                so=_jug,
            ),
            mistake(
                "m206",
                "Divides by the mL of a fluid ounce",
                "Is a mL larger than a fluid ounce, or smaller? So which number must be the bigger one?",
                lambda f: f.fl / ML_PER_FL_OZ,
                so=_jug,
            ),
        ),
        path=_fluid_way,
        forwards="Divide your mL by 29.57: does the jug's figure come back?",
        pairs={"echo": "fl"},
    ),
    Ask(
        1,
        3,
        "sum",
        f"A jug holds {{fl}} of {{liquid}}, and 1 mL of that weighs {{each}} g. What does it weigh, in g? {PLAIN}",
        (grid("fl", "fl_oz", 2, 20), case(4)),
        _WEIGHED,
        lambda f: f.fl * _FL_OZ * _each(f),
        also={"liquid": _name, "each": lambda f: n(_each(f))},
        mistakes=(
            mistake(
                "m207",
                "Takes the jug's fluid ounces for ounces on the scale",
                "Does a jug know what it holds? What would the scale say of honey, and what of leaf?",
                lambda f: f.fl * G_PER_OZ,
                so=_room,
            ),
            mistake(
                "m208",
                "Counts each mL as one gram, as for water",
                "Is this water? What does each mL of it weigh?",
                lambda f: f.fl * ML_PER_FL_OZ,
                so=_room,
            ),
            mistake(
                "m209",
                "Divides by the weight of a mL instead of multiplying",
                "Does each mL weigh more than 1 g (1/28 oz), or less? So are the grams more than the mL, or fewer?",
                lambda f: f.fl * ML_PER_FL_OZ / _each(f),
                so=_room,
            ),
        ),
        path=_weighing_way,
        forwards="Divide your grams by what each mL weighs: do the mL of the jug come back?",
    ),
    Ask(
        1,
        4,
        "sum",
        f"A bottle from a US shop says {{p}}. How many % vol is that? {PLAIN}",
        (grid("p", "proof", 80, 192),),
        _IN_VOL,
        lambda f: f.p / 2,
        mistakes=(
            mistake(
                "m17",
                "Reads proof as per cent",
                "Pure alcohol is 100 % vol, and 200 proof. How many proof go to each per cent?",
                lambda f: f.p,
                so=_label,
            ),
            mistake(
                "m18",
                "Doubles instead of halving",
                "Which of the two numbers on a label is the larger one, the proof or the per cent?",
                lambda f: 2 * f.p,
                so=_label,
            ),
            mistake(
                "m210",
                "Counts in the old British proof, in which pure alcohol is 175",
                "Is it a British bottle of long ago? How many proof is pure alcohol in the US?",
                lambda f: f.p * 100 / 175,
                so=_label,
            ),
        ),
        path=_proof_way,
        forwards="Double your % vol: does the proof of the label come back?",
        pairs={"echo": "p"},
    ),
    Ask(
        1,
        5,
        "sum",
        f"A bottle holds {{V}} of {{a}}. How much pure alcohol is in it? {METRIC}",
        (
            one_of("V", "mL", 375, 750, 1000, 1750),
            one_of("a", "percent_vol", 375, 400, 450, 551, 700, 755, 900, 950, over=10),
        ),
        VOLUME,
        lambda f: f.V * f.a,
        mistakes=(
            mistake(
                "m211",
                "Gives what is not alcohol",
                "A good number, of the other part. Is that the alcohol, or all the rest?",
                lambda f: f.V * (1 - f.a),
                so=_in_bottle,
            ),
            mistake(
                "m212",
                "Halves the strength first, as if it were proof",
                "Is that number on the label proof, or % vol already?",
                lambda f: f.V * f.a / 2,
                so=_in_bottle,
            ),
            FRACTION_TURNED_OVER.on(
                "m213",
                lambda f: f.V / f.a,
                so=_in_bottle,
                hint="Can there be more alcohol in a bottle than goes into it? Which way does the share work?",
            ),
        ),
        path=_alcohol_way,
        forwards="What share of the bottle is your number? Is it what the label says?",
    ),
    Ask(
        1,
        6,
        "sum",
        "A recipe says {r}, weight to volume. You weigh {oz} of dried elderflower and pour {poured} of spirit, "
        f"a fluid ounce for each ounce. How many mL stand there really for each g? (Write it as 1:x.) {KITCHEN}",
        (grid("oz", "oz", 2, 12), grid("r", "mL/g", 2, 8)),
        RATIO,
        lambda f: f.r / G_PER_OZ * ML_PER_FL_OZ,
        also={"poured": lambda f: f"{n(f.oz * f.r)} fl oz (about {spoken(Q(f.oz * f.r, 'fl_oz'), 'metric')})"},
        mistakes=(
            mistake(
                "m214",
                "Lets ounces and fluid ounces cancel, as if they were one thing",
                "An ounce for an ounce: are the two of one size? How many mL is one, and how many g the other?",
                lambda f: f.r,
                so=lambda f, x: (
                    f"At {one_to(x)} there would be {mL(x * f.oz * G_PER_OZ)} in the jar, and it holds "
                    f"{mL(f.oz * f.r * ML_PER_FL_OZ)}."
                ),
            ),
            mistake(
                "m215",
                "Takes 29.57 for the ounce on the scale and 28.35 for the one in the jug",
                "Which of the two ounces has 28.35, and which has 29.57?",
                lambda f: f.r * G_PER_OZ / ML_PER_FL_OZ,
                so=_ratio_so,
            ),
            RATIO_TURNED_ROUND.on(
                "m216",
                lambda f: G_PER_OZ / (f.r * ML_PER_FL_OZ),
                so=_ratio_so,
            ),
            mistake(
                "m217",
                "Counts the herb into the parts of liquid",
                "Does the second number count the liquid alone, or everything in the jar?",
                lambda f: f.r + 1,
                so=_ratio_so,
            ),
        ),
        path=_really_way,
        forwards="Times the grams of herb, does your second number give the mL that were poured?",
    ),
    Ask(
        1,
        7,
        "find the slip",
        "Somebody wants {oz} of dried calendula at {r} in g and mL, and writes four lines. Which is the first line "
        f"that does not fit? (Afterwards work it out as it should be.) {KITCHEN}",
        (grid("oz", "oz", 2, 12), grid("r", "mL/g", 3, 8), case(3)),
        lines=_lines,
        answer=lambda f: int(f.case) + 1,
        path=_mending_way,
        forwards="Take the lines one by one: which unit goes in, which comes out, and does the size make sense?",
        pairs={"right": "That is the line."},
    ),
    Ask(
        1,
        8,
        "choice",
        lambda f: f"For which of these is this so: {_TASKS[int(f.case)][0].lower()}{_TASKS[int(f.case)][1:]}?",
        (grid("oz", "oz", 2, 12), grid("fl", "fl_oz", 4, 24), case(3)),
        options=(
            Option(
                "{oz} of dried leaf on the way into a jar at 1:5",
                "Leaf can be pressed or heaped. Does room say how much of it there is, and what does?",
                "m218",
                "Takes loose leaf for a thing of jugs, or for unclear",
                lambda f: _unlike(f, 0),
            ),
            Option(
                "{fl} of vodka to pour over the leaf",
                "Is a fluid ounce a weight, or room?",
                "m219",
                "Takes a plain fluid ounce for a weight, or for unclear",
                lambda f: _unlike(f, 1),
            ),
            Option(
                lambda f: f"{n(f.oz)} oz of honey, in a recipe that says no more",
                "Which of the two ounces does that recipe mean?",
                "m220",
                "Takes a bare ounce of something liquid for clear",
                lambda f: _unlike(f, 2),
            ),
        ),
        answer=lambda f: int(f.case),
        path=_task_way,
    ),
)
