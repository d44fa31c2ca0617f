"""Floor 4. Lesson 6: the jar by eye, the jar by weight."""

from __future__ import annotations

from functools import cache

from herbcalc import maceration, menstruum
from herbcalc.ethanol import density
from herbcalc.homework.blueprint import (
    RATIO,
    STRENGTH,
    WEIGHT,
    Ask,
    Figures,
    Option,
    Want,
    grid,
    mistake,
    one_of,
    situation,
)
from herbcalc.homework.wording import BY_METRIC, METRIC, OUNCES, PLAIN, exact, g, mL, one_to, pct, vol
from herbcalc.units import Q

_ADDED = "The ratio is mL of menstruum added for each g of herb as weighed."
_OZ = 28.349523125
_IN_ML = Want(("volume",), "mL", "mL", only=("mL", "L"), old="oz")
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
    herb = f"{exact(f.oz)} oz ({g(f.oz * _OZ).split(' (')[0]})"
    return f"{mL(x)} on {herb} is {one_to(x / (f.oz * _OZ))}, not {one_to(f.r)}."


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
            f"There are {mL(f.V)} of menstruum, and the card says {one_to(f.r)}.",
            f"The {exact(f.r)} of the ratio counts mL of menstruum, the 1 counts g of herb.",
            f"That is {exact(f.r + 1)} parts in all, so one part is {mL(f.V)} divided by {exact(f.r + 1)}.",
            f"So the herb weighs {g(parts)}.",
        ]
    herb = round(f.V / f.r)
    return [
        f"There are {g(herb)} of herb, and the card says {one_to(f.r)}.",
        f"The {exact(f.r)} counts all parts, the herb's as well, so the menstruum is {exact(f.r - 1)} parts.",
        "One part is as many mL as the herb has g.",
        f"So pour {exact(f.r - 1)} times that: {mL((f.r - 1) * herb)}.",
    ]


ITEMS = (
    Ask(
        6,
        1,
        "sum",
        f"A jar is filled by eye with fresh lemon balm and topped up with spirit of {{a}}. Empty it weighed "
        f"{{jar}}, with the herb in it {{with_herb}}, with everything in it {{with_all}}. The spirit weighs "
        f"{{heavy}}. Which ratio 1:x was made? {_ADDED} {METRIC}",
        (
            grid("jar", "g", 350, 700, 10),
            grid("with_herb", "g", 500, 1000, 10),
            grid("with_all", "g", 900, 1700, 10),
            one_of("a", "percent_vol", 40, 50, 60),
        ),
        RATIO,
        lambda f: _poured(f) / _herb(f),
        also={"heavy": lambda f: f"{_d(f):g} g for each mL (about {_d(f) / OUNCES:.3f} oz for each fl oz)"},
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
            mistake(
                "m138",
                "Turns the ratio round",
                "In 1:x the herb is the 1. Is there less spirit than herb in your jar?",
                lambda f: _herb(f) / _poured(f),
                so=_ratio_label,
            ),
        ),
        path=lambda f: [
            f"Herb: {g(f.with_herb)} less {g(f.jar)} is ⟦{g(_herb(f))}⟧",
            f"Spirit by weight: {g(f.with_all)} less {g(f.with_herb)} is ⟦{g(f.with_all - f.with_herb)}⟧",
            f"Spirit by volume: divide by {_d(f):g}, ⟦{mL(_poured(f))}⟧",
            f"mL of spirit for each g of herb: ⟦{one_to(_poured(f) / _herb(f))}⟧",
        ],
        forwards="Times the weight of the herb, does your ratio give the mL that were poured?",
    ),
    Ask(
        6,
        2,
        "sum",
        f"Read afterwards, another jar holds {{m}} of fresh calendula, {{w}} water, and {{V}} of spirit of "
        f"{{a}}. How strong does the jar end, in % vol? Count 1 g of plant water as 1 mL (1 oz as about 1 fl "
        f"oz). The floor of this question is 35 % vol. {METRIC}",
        (
            grid("m", "g", 120, 400, 10),
            grid("w", "percent_wb", 70, 88),
            grid("V", "mL", 350, 900, 10),
            one_of("a", "percent_vol", 400, 500, 755, over=10),
        ),
        STRENGTH,
        lambda f: tuple(
            float(menstruum.final_strength.plain(f.m, 100 * f.w, f.V, 100 * f.a, rule))
            for rule in ("kitchen", "measured")
        ),
        mistakes=(
            mistake(
                "m139",
                "Leaves out the water of the plant",
                "That is what came from the bottle. What did the plant bring?",
                lambda f: 100 * f.a,
                so=_label,
            ),
            mistake(
                "m140",
                "Counts the whole plant as water",
                "Is all of the plant water, or does some of it stay solid?",
                lambda f: 100 * f.V * f.a / (f.V + f.m),
                so=_label,
            ),
            mistake(
                "m141",
                "Takes the solids for the water",
                "Which part of the plant does the moisture count?",
                lambda f: 100 * f.V * f.a / (f.V + f.m * (1 - f.w)),
                so=_label,
            ),
            mistake(
                "m142",
                "Takes the plant's water off the spirit",
                "Does the plant's water take the place of spirit, or does it come on top of it?",
                lambda f: 100 * f.a * (f.V - f.m * f.w) / f.V,
                so=_label,
            ),
        ),
        path=lambda f: [
            f"Water that the plant brings: {pct(f.w)} of {g(f.m)} is ⟦{mL(f.m * f.w)}⟧",
            f"Pure alcohol in the spirit: {pct(f.a)} of {mL(f.V)} is ⟦{mL(f.V * f.a)}⟧",
            f"Liquid in the jar: ⟦{mL(f.V + f.m * f.w)}⟧",
            f"Alcohol out of liquid: ⟦{vol(_jar_end(f))}⟧",
        ],
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
        lambda f: f.oz * _OZ * f.r,
        mistakes=(
            mistake(
                "m51",
                "Takes ounces on the scale for fluid ounces",
                _SHARED,
                lambda f: f.oz * f.r * 29.5735,
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
                lambda f: f.oz * (f.r - 1) * _OZ,
                so=_thin,
            ),
            mistake(
                "m53",
                "Turns the ratio round",
                "Should there be more herb than liquid?",
                lambda f: f.oz / f.r * _OZ,
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
        path=lambda f: [
            f"Herb in grams: {exact(f.oz)} times 28.35 is ⟦{f.oz * _OZ:.1f} g ({exact(f.oz)} oz)⟧",
            f"mL of menstruum: times {exact(f.r)}, ⟦{mL(f.oz * _OZ * f.r)}⟧",
        ],
        forwards="Divide your mL by the grams of herb: is it the second number of the ratio?",
        pairs={"echo": "oz"},
    ),
    Ask(
        6,
        4,
        "sum",
        f"You have {{V}} of menstruum and want to make {{r}}. How much dried marshmallow root do you weigh out? "
        f"{_ADDED} {METRIC}",
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
        path=lambda f: [
            f"Each g of root takes {exact(f.r)} mL, so {g(100)} would take ⟦{mL(100 * f.r)}⟧",
            f"{mL(f.V)} divided by {exact(f.r)} is ⟦{g(f.V / f.r)}⟧",
        ],
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
        f"loose. {_ADDED} Is it covered? {BY_METRIC}",
        (
            grid("m", "g", 40, 150, 5),
            grid("r", "mL/g", 4, 10),
            one_of("loose", "g/mL", 10, 12, 15, 18, 20, over=100),
            one_of("layer", "mL", 24, 37),
        ),
        also={
            "loose": lambda f: f"each mL of it weighs {f.loose:g} g (about {f.loose / OUNCES:.2f} oz for each fl oz)"
        },
        allowed=lambda f: abs(_level(f) / _pile(f) - 1) > 0.06,
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
        path=lambda f: [
            f"Room that the loose herb fills: {g(f.m)} divided by {f.loose:g} is ⟦{mL(f.m / f.loose)}⟧",
            f"With the layer above it: ⟦{mL(_pile(f))}⟧",
            f"Liquid, with the herb's own {mL(0.7 * f.m)} in it, reaches ⟦{mL(_level(f))}⟧",
            f"So {_cover_words(f)}: ⟦{'ab'[_covered(f)]}⟧",
        ],
    ),
    Ask(
        6,
        6,
        "find the slip",
        "Somebody sets up a jar in four lines. In which line does the sum leave the road first? (Afterwards "
        f"work it out as it should be.) {_ADDED} {METRIC}",
        (grid("V", "mL", 200, 900, 20), grid("r", "mL/g", 3, 8), situation("case", 2)),
        lines=_lines,
        answer=lambda f: 2 if f.case == 0 else 1,
        path=lambda f: [
            f"At {one_to(f.r)} each g of herb has {mL(f.r)} beside it, so {g(100)} has ⟦{mL(100 * f.r)}⟧",
            f"{mL(f.V)} belongs to ⟦{g(f.V / f.r)}⟧"
            if f.case == 0
            else f"{g(round(f.V / f.r))} takes ⟦{mL(f.r * round(f.V / f.r))}⟧",
        ],
        forwards="Ask of each line: does it count the menstruum alone, or everything in the jar?",
        pairs={"right": "That is the line. Now work it out as it should be."},
    ),
    Ask(
        6,
        7,
        "sum",
        f"Fresh plant, {{w}} water, is put up at {{r}}. Count the dry plant alone as the herb, and its water as "
        "part of the liquid (1 g of water is 1 mL, 1 oz about 1 fl oz). How many mL of liquid stand for each 1 "
        f"g (1/28 oz) of dry plant? {_ADDED} {METRIC}",
        (grid("w", "percent_wb", 60, 88), grid("r", "mL/g", 10, 40, 5, 10)),
        _FOR_ONE,
        lambda f: float(maceration.dry_equivalent.plain(f.r, 100 * f.w)),
        mistakes=(
            mistake(
                "m72",
                "Takes the fresh ratio as it stands",
                "How much of each gram that you weighed was plant, and how much was water?",
                lambda f: f.r,
                so=lambda f, x: (
                    f"Read as {one_to(x)} of dry plant, the label would promise far more plant than is in the bottle."
                ),
            ),
            mistake(
                "m73",
                "Forgets that the plant's water joins the liquid",
                "Where did the plant's water go? Is it still in the plant?",
                lambda f: f.r / (1 - f.w),
                so=lambda f, x: (
                    f"Read as {one_to(x)} of dry plant, the label would promise more plant than is in the bottle."
                ),
            ),
        ),
        path=lambda f: [
            f"{g(100)} of fresh plant holds ⟦{g(100 * (1 - f.w))}⟧ of dry plant",
            f"Liquid: {mL(100 * f.r)} poured, and {mL(100 * f.w)} from the plant, ⟦{mL(100 * (f.r + f.w))}⟧",
            f"mL for each g of dry plant: ⟦{mL((f.r + f.w) / (1 - f.w))}⟧",
        ],
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
