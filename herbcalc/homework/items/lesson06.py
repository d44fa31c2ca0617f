"""Floor 4. Lesson 6: the jar by eye, the jar by weight."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from herbcalc import maceration, menstruum
from herbcalc.ethanol import density
from herbcalc.homework.blueprint import (
    IN_ML,
    RATIO,
    STRENGTH,
    WEIGHT,
    Ask,
    Figures,
    Option,
    Want,
    bare,
    by_both_rules,
    case,
    grid,
    mistake,
    one_of,
    situation,
)
from herbcalc.homework.shared_slips import (
    PLANT_WATER_LEFT_OUT,
    PLANT_WATER_OFF_THE_SPIRIT,
    RATIO_TURNED_ROUND,
    SOLIDS_FOR_WATER,
    WHOLE_PLANT_IS_WATER,
)
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import (
    ADDED,
    BY_METRIC,
    G_PER_OZ,
    METRIC,
    ML_PER_FL_OZ,
    PLAIN,
    PLANT_WATER,
    g,
    g100,
    mL,
    one_to,
    oz_each,
    three,
    vol,
)
from herbcalc.homework.wording import exact as n
from herbcalc.units import Q

_IN_ML = replace(IN_ML, old="oz")
_FOR_ONE = Want(("volume", "ratio"), "mL", "mL")
_SHARED = "So near, a few parts in a hundred too much. How many g, to the hundredth, are in one ounce on the scale?"


@cache
def _heavy(strength: float) -> float:
    """g for each mL of a spirit at 20 °C, to the four figures that the prompt gives."""
    return round(float(density(Q(strength, "percent_vol")).to("g/mL").magnitude), 4)


def _d(f: Figures) -> float:
    return _heavy(100 * f.a)


def _poured(f: Figures) -> float:
    return (f.with_all - f.with_herb) / _d(f)


def _herb(f: Figures) -> float:
    return f.with_herb - f.jar


def _ratio_label(f: Figures, x: float) -> str:
    return f"At {one_to(x)} those {g(_herb(f))} of herb would stand in {mL(x * _herb(f))} of spirit."


def _jar_end(f: Figures) -> float:
    return f.V * f.a / (f.V + f.m * f.w)


def _label(f: Figures, x: float) -> str:
    way = "weaker" if x / 100 > _jar_end(f) else "stronger"
    return f"With that sum the label would say {vol(x / 100)}, and the jar is {way} than its label."


def _thin(f: Figures, x: float) -> str:
    herb = f"{n(f.oz)} oz ({g(f.oz * G_PER_OZ).split(' (')[0]})"
    return f"{mL(x)} on {herb} is {one_to(x / (f.oz * G_PER_OZ))}, not {one_to(f.r)}."


def _herb_check(f: Figures, x: float) -> str:
    return f"{g(x)} of herb in {mL(f.V)} of menstruum is {one_to(f.V / x)}, not {one_to(f.r)}."


def _pile(f: Figures) -> float:
    return f.m / f.loose + f.layer


def _level(f: Figures) -> float:
    return f.m * f.r + 0.7 * f.m


def _covered(f: Figures) -> int:
    return 0 if _level(f) > _pile(f) else 1


def _cover_words(f: Figures) -> str:
    where = "above" if _covered(f) == 0 else "under"
    return f"the liquid reaches {mL(_level(f))}, {where} the {mL(_pile(f))} that herb and layer need"


def _lines(f: Figures) -> list[str]:
    if f.case == 0:
        parts = f.V / (f.r + 1)
        return [
            f"On the table stands the menstruum, {mL(f.V)}, and the card beside it says {one_to(f.r)}.",
            f"The {n(f.r)} of the ratio counts mL of menstruum, the 1 counts g of herb.",
            f"That is {n(f.r + 1)} parts in all, so one part is {mL(f.V)} divided by {n(f.r + 1)}.",
            f"So the herb weighs {g(parts)}.",
        ]
    herb = round(f.V / f.r)
    return [
        f"On the scale lies the herb, {g(herb)}, and the card beside it says {one_to(f.r)}.",
        f"The {n(f.r)} counts all parts, the herb's as well, so the menstruum is {n(f.r - 1)} parts.",
        "One part is as many mL as the herb has g.",
        f"So pour {n(f.r - 1)} times that: {mL((f.r - 1) * herb)}.",
    ]


def _three_weighings_way(f: Figures, w: Walk) -> None:
    herb = w.total("g", f"Herb, in g: {n(f.with_herb)} − {n(f.jar)}", f.with_herb, -f.jar)
    heavy = w.total("g", f"Spirit by weight, in g: {n(f.with_all)} − {n(f.with_herb)}", f.with_all, -f.with_herb)
    poured = w.step("mL", f"Spirit by volume, in mL: {n(heavy)} ÷ {_d(f):g}", heavy / _d(f))
    w.step("1:x", f"mL of spirit for each g of herb: {n(poured)} ÷ {n(herb)}", poured / herb)


def _jar_end_way(f: Figures, w: Walk) -> None:
    water = w.step("mL", f"Water that the plant brings, in mL: {n(f.w)} × {n(f.m)}", f.w * f.m)
    alcohol = w.step("mL", f"Pure alcohol in the spirit, in mL: {n(f.a)} × {n(f.V)}", f.a * f.V)
    liquid = w.total("mL", f"Liquid in the jar, in mL: {n(f.V)} + {n(water)}", f.V, water)
    w.step("vol", f"Alcohol divided by liquid: {n(alcohol)} ÷ {n(liquid)}", alcohol / liquid)


def _ounces_way(f: Figures, w: Walk) -> None:
    grams = w.step("g", f"Herb in g: {n(f.oz)} × 28.35", f.oz * G_PER_OZ)
    w.step("mL", f"Menstruum, {n(f.r)} mL for each g, in mL: {n(f.r)} × {n(grams)}", f.r * grams)


def _herb_way(f: Figures, w: Walk) -> None:
    each = w.step("mL", f"Menstruum that {g100()} of herb takes, in mL: {n(f.r)} × 100", 100 * f.r)
    hundreds = w.step("", f"How many times you have that: {n(f.V)} ÷ {n(each)}", f.V / each)
    w.step("g", f"As many times the herb, in g: {n(hundreds)} × 100", hundreds * 100)


def _cover_way(f: Figures, w: Walk) -> None:
    room = w.step("mL", f"Room that the loose herb fills, in mL: {n(f.m)} ÷ {f.loose:g}", f.m / f.loose)
    pile = w.total("mL", f"With the layer above it, in mL: {n(room)} + {n(f.layer)}", room, f.layer)
    poured = w.step("mL", f"Menstruum poured, in mL: {n(f.r)} × {n(f.m)}", f.r * f.m)
    own = w.step("mL", f"Room that the herb itself takes up in it, in mL: 0.7 × {n(f.m)}", 0.7 * f.m)
    level = w.total("mL", f"So the liquid reaches, in mL: {n(poured)} + {n(own)}", poured, own)
    side = "more" if level > pile else "less"
    w.say(f"{three(level)} is {side} than {n(pile)}: ⟦{w.letter(_covered(f))}⟧")


def _mending_way(f: Figures, w: Walk) -> None:
    if f.case == 0:
        _herb_way(f, w)
        return
    herb = round(f.V / f.r)
    each = w.step("mL", f"Menstruum that {g100()} of herb takes, in mL: {n(f.r)} × 100", 100 * f.r)
    hundreds = w.step("", f"How many hundreds of g of herb there are: {n(herb)} ÷ 100", herb / 100)
    w.step("mL", f"As many times the menstruum, in mL: {n(hundreds)} × {n(each)}", hundreds * each)


def _dry_plant_way(f: Figures, w: Walk) -> None:
    water = w.step("mL", f"Water in {g100()} of fresh plant, in mL: {n(f.w)} × 100", 100 * f.w)
    dry = w.total("g", f"Dry plant in it, in g: 100 − {n(water)}", 100.0, -water)
    poured = w.step("mL", f"Menstruum poured on it, in mL: {n(f.r)} × 100", 100 * f.r)
    liquid = w.total("mL", f"Liquid in all, in mL: {n(poured)} + {n(water)}", poured, water)
    w.step("each", f"For each g of dry plant: {n(liquid)} ÷ {n(dry)}", liquid / dry)


ITEMS = (
    Ask(
        6,
        1,
        "sum",
        f"A jar is filled by eye with fresh lemon balm and topped up with spirit of {{a}}. Empty it weighed "
        f"{{jar}}, with the herb in it {{with_herb}}, with everything in it {{with_all}}. The spirit weighs "
        f"{{heavy}}. Which ratio 1:x was made? {ADDED} {METRIC}",
        (
            grid("jar", "g", 350, 700, 10),
            grid("with_herb", "g", 500, 1000, 10),
            grid("with_all", "g", 900, 1700, 10),
            one_of("a", "percent_vol", 40, 50, 60),
        ),
        RATIO,
        lambda f: _poured(f) / _herb(f),
        also={"heavy": lambda f: f"{_d(f):g} g for each mL ({oz_each(_d(f), 3)})"},
        allowed=lambda f: 100 <= _herb(f) <= 450 and 300 <= _poured(f) <= 900 and 1.1 <= _poured(f) / _herb(f) <= 6,
        mistakes=(
            mistake(
                "m135",
                "Takes a gram of spirit for a mL",
                "The scale gives grams of spirit. Does a mL of it weigh a whole gram?",
                lambda f: (f.with_all - f.with_herb) / _herb(f),
                so=_ratio_label,
            ),
            mistake(
                "m136",
                "Leaves the jar in the weight of the herb",
                "What is on the scale beside the herb, at the second weighing?",
                lambda f: _poured(f) / f.with_herb,
                so=_ratio_label,
            ),
            mistake(
                "m137",
                "Counts the herb among what was poured",
                "From which weighing to which did the spirit go in?",
                lambda f: (f.with_all - f.jar) / _d(f) / _herb(f),
                so=_ratio_label,
            ),
            RATIO_TURNED_ROUND.on(
                "m138",
                lambda f: _herb(f) / _poured(f),
                so=_ratio_label,
                hint="In 1:x the herb is the 1. Is there less spirit than herb in your jar?",
            ),
        ),
        path=_three_weighings_way,
        forwards="Times the weight of the herb, does your ratio give the mL that were poured?",
    ),
    Ask(
        6,
        2,
        "sum",
        f"Read afterwards, another jar holds {{m}} of fresh calendula, {{w}} water, and {{V}} of spirit of "
        f"{{a}}. How strong does the jar end, in % vol? {PLANT_WATER} {METRIC}",
        (
            grid("m", "g", 120, 400, 10),
            grid("w", "percent_wb", 70, 88),
            grid("V", "mL", 350, 900, 10),
            one_of("a", "percent_vol", 400, 500, 755, over=10),
        ),
        STRENGTH,
        lambda f: by_both_rules(menstruum.final_strength, f.m, 100 * f.w, f.V, 100 * f.a),
        mistakes=(
            PLANT_WATER_LEFT_OUT.on(
                "m139",
                lambda f: 100 * f.a,
                so=_label,
                hint="That is what came from the bottle. What did the plant bring?",
            ),
            WHOLE_PLANT_IS_WATER.on(
                "m140",
                lambda f: 100 * f.V * f.a / (f.V + f.m),
                so=_label,
            ),
            SOLIDS_FOR_WATER.on(
                "m141",
                lambda f: 100 * f.V * f.a / (f.V + f.m * (1 - f.w)),
                so=_label,
            ),
            PLANT_WATER_OFF_THE_SPIRIT.on(
                "m142",
                lambda f: 100 * f.a * (f.V - f.m * f.w) / f.V,
                so=_label,
            ),
        ),
        path=_jar_end_way,
        forwards="Is your number below the spirit, and by as much as the plant's water can pull it down?",
    ),
    Ask(
        6,
        3,
        "sum",
        "You have {oz} of dried elderflower on the scale and want {r}, weight to volume: grams of herb to mL of "
        "menstruum. "
        f"How many mL do you pour? (1 oz on the scale is 28.35 g.) {PLAIN}",
        (grid("oz", "oz", 4, 32, 1, 2), grid("r", "mL/g", 3, 10)),
        _IN_ML,
        lambda f: f.oz * G_PER_OZ * f.r,
        mistakes=(
            mistake(
                "m51",
                "Takes ounces on the scale for fluid ounces",
                _SHARED,
                lambda f: f.oz * f.r * ML_PER_FL_OZ,
                so=lambda f, x: f"That is the kitchen habit, ounces to fluid ounces. {_thin(f, x)}",
                twin="ounces",
            ),
            mistake(
                "m55",
                "Takes every ounce for 30",
                _SHARED,
                lambda f: f.oz * 30 * f.r,
                so=lambda f, x: f"Thirty is handy for the head. {_thin(f, x)}",
                twin="ounces",
            ),
            mistake(
                "m52",
                "Counts the herb among the parts of menstruum",
                "Does the second number count everything in the jar, or the menstruum alone?",
                lambda f: f.oz * (f.r - 1) * G_PER_OZ,
                so=_thin,
            ),
            RATIO_TURNED_ROUND.on(
                "m53",
                lambda f: f.oz / f.r * G_PER_OZ,
                so=_thin,
            ),
            mistake(
                "m54",
                "Measures the herb in cups",
                "The 1 of this ratio is weighed. What does a cup of dried flowers weigh?",
                lambda f: f.oz * f.r * 236.588,
                so=_thin,
            ),
        ),
        path=_ounces_way,
        forwards="Divide your mL by the grams of herb: is it the second number of the ratio?",
        pairs={"echo": "oz"},
    ),
    Ask(
        6,
        4,
        "sum",
        f"You have {{V}} of menstruum and want to make {{r}}. How much dried elecampane root do you weigh out? "
        f"{ADDED} {METRIC}",
        (grid("V", "mL", 200, 1500, 10), grid("r", "mL/g", 3, 10)),
        WEIGHT,
        lambda f: f.V / f.r,
        mistakes=(
            mistake(
                "m56",
                "Counts all the parts",
                "Is the herb 1 part beside the others, or 1 part among them?",
                lambda f: f.V / (f.r + 1),
                so=_herb_check,
            ),
            mistake(
                "m57",
                "Multiplies instead of dividing",
                "Would that much root leave any room in the jar?",
                lambda f: f.V * f.r,
                so=_herb_check,
            ),
        ),
        path=_herb_way,
        forwards="Times the second number of the ratio, does your weight give the menstruum you have?",
    ),
    Ask(
        6,
        5,
        "choice",
        "{m} of dried herb at {r} in a jar. Loose in the jar {loose}. Under the liquid each g of herb takes up "
        "0.7 mL "
        "(about 2/3 fl oz for each oz). It counts as covered when the liquid stands {layer} above the herb as "
        "it lies "
        f"loose. {ADDED} Is it covered? {BY_METRIC}",
        (
            grid("m", "g", 40, 150, 5),
            grid("r", "mL/g", 4, 10),
            one_of("loose", "g/mL", 10, 12, 15, 18, 20, over=100),
            one_of("layer", "mL", 24, 37),
            case(2),
        ),
        also={
            "loose": lambda f: f"each mL of it weighs {f.loose:g} g ({oz_each(f.loose, 2)})",
        },
        allowed=lambda f: _covered(f) == f.case and abs(_level(f) / _pile(f) - 1) > 0.06,
        options=(
            Option(
                "It is covered, by that count.",
                "How many mL does the loose herb fill, and how high does the liquid reach?",
                "m143",
                "Says that herb is covered where it sticks out",
                lambda f: f"Counted through, {_cover_words(f)}: the top would go mouldy.",
            ),
            Option(
                "It is not covered: cut the herb finer, press it down, or take a larger second number.",
                "Add the herb's own room to what you pour. How high does the liquid reach?",
                "m144",
                "Says that herb sticks out where it is covered",
                lambda f: f"Counted through, {_cover_words(f)}.",
            ),
            Option(
                "It is covered, because any herb is covered at a ratio of 1:4 or more.",
                "Does a fluffy flower need no more room than a heavy root?",
                "m145",
                "Thinks that the ratio alone says whether a herb is covered",
                lambda f: f"Counted through, {_cover_words(f)}. A fluffier herb at the same ratio needs more room.",
            ),
        ),
        answer=_covered,
        path=_cover_way,
        edition=2,
    ),
    Ask(
        6,
        6,
        "find the slip",
        "Somebody sets up a jar in four lines. Which is the first line that does not fit? (Afterwards "
        f"work it out as it should be.) {ADDED} {METRIC}",
        (grid("V", "mL", 200, 900, 20), grid("r", "mL/g", 3, 8), case(2)),
        lines=_lines,
        answer=lambda f: 2 if f.case == 0 else 1,
        path=_mending_way,
        forwards="Ask of each line: does it count the menstruum alone, or everything in the jar?",
        pairs={"right": "That is the line."},
        edition=3,
    ),
    Ask(
        6,
        7,
        "sum",
        f"Fresh plant, {{w}} water, is put up at {{r}}. Count the dry plant alone as the herb, and its water as "
        "part of the liquid (1 g of water is 1 mL, 1 oz about 1 fl oz). How many mL of liquid stand for each 1 "
        f"g (1/28 oz) of dry plant? {ADDED} {METRIC}",
        (grid("w", "percent_wb", 60, 88), grid("r", "mL/g", 10, 40, 5, 10)),
        _FOR_ONE,
        lambda f: bare(maceration.dry_equivalent, f.r, 100 * f.w),
        mistakes=(
            mistake(
                "m72",
                "Takes the fresh ratio as it stands",
                "How much of each gram that you weighed was plant, and how much was water?",
                lambda f: f.r,
                so=lambda _, x: (
                    f"Read as {one_to(x)} of dry plant, the label would promise far more plant than is in the bottle."
                ),
            ),
            mistake(
                "m73",
                "Forgets that the plant's water joins the liquid",
                "Where did the plant's water go? Is it still in the plant?",
                lambda f: f.r / (1 - f.w),
                so=lambda _, x: (
                    f"Read as {one_to(x)} of dry plant, the label would promise more plant than is in the bottle."
                ),
            ),
        ),
        path=_dry_plant_way,
        forwards="Take 100 g (3 1/2 oz) of fresh plant: how much is dry plant, and how much liquid stands in "
        "the jar?",
    ),
    Ask(
        6,
        8,
        "sentence",
        "Write the one line for a recipe card: {m} of {state} lemon balm with {V} of menstruum. Say what the 1 "
        "and the second "
        f"number of your ratio count. {BY_METRIC}",
        (grid("m", "g", 60, 200, 10), grid("V", "mL", 300, 900, 50), situation("which", 2)),
        also={"state": lambda f: ("dried", "fresh")[int(f.which)]},
        points=(
            "It gives the herb, its weight, and whether it was fresh or dried.",
            "It gives the ratio, 1 to the mL for each g, worked from {m} and {V}.",
            "It says how the ratio is read: menstruum added, finished liquid, or dry plant with its water counted.",
        ),
        models=(
            "Lemon balm, menstruum added to the weight as weighed, with the ratio worked from both.",
            "The ratio counts menstruum added to the herb.",
            "Herb by weight, menstruum by volume added.",
        ),
    ),
)
