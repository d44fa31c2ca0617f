"""Floor 4. Lesson 7: waiting and pressing."""

from __future__ import annotations

from herbcalc import maceration
from herbcalc.homework.blueprint import (
    RATIO,
    SHARE,
    VOLUME,
    WEIGHT,
    Ask,
    Figures,
    Near,
    bare,
    grid,
    mistake,
    one_of,
    plainly,
)
from herbcalc.homework.shared_slips import PLANT_WATER_LEFT_OUT, SHARE_STILL_IN_THE_HERB
from herbcalc.homework.walk import Walk, between_halvings, halvings_way, together
from herbcalc.homework.wording import METRIC, PLANT_WATER, g, mL, one_to, three
from herbcalc.homework.wording import exact as n

_K = one_of("k", "mL/g", 8, 10, 12, 15, 16, 18, 20, over=10)
_EVEN = "When the waiting is over the extract is spread evenly through all the liquid."


def _out(f: Figures, water: float = 0.0) -> float:
    return bare(maceration.liquid_out, f.m, f.V, f.k, 100 * water)


def _bottle(f: Figures, x: float) -> str:
    kept = f.V - x
    if kept <= 0:
        return f"With {mL(x)} in the bottle the marc would keep nothing; it keeps {mL(f.k * f.m)}."
    return f"With {mL(x)} in the bottle the marc would keep {mL(kept)}; it keeps {mL(f.k * f.m)}."


def _fresh_said(f: Figures, x: float) -> str:
    all_liquid = f.V + f.m * f.w
    if x < 0:
        return f"A bottle cannot hold {mL(x)}: the marc never keeps more than the {mL(all_liquid)} that were there."
    kept_back = "nothing" if x >= all_liquid * (1 - 1e-3) else together("mL", all_liquid, -x)
    return f"With {mL(x)} in the bottle the marc would keep {kept_back} of the {mL(all_liquid)}."


def _planned(f: Figures, x: float) -> str:
    return f"{g(x)} of herb gives {mL(x * (f.r - f.k))} in the bottle, and you want {mL(f.F)}."


def _share_said(_: Figures, x: float) -> str:
    if x >= 100:
        return "With that sum nothing would be left in the marc, and wet marc smells of the herb still."
    return f"With that sum {three(100 - x)} % of the extract would go out with the marc."


def _staged(f: Figures) -> float:
    return 100 * bare(maceration.share_extracted, 100.0, [f.a, f.b], f.R / 100.0, 0.0)


def _first_portion(f: Figures) -> float:
    return float(plainly(maceration.best_split, f.V, f.m, f.k, int(f.n))[0])


def _split_said(f: Figures, x: float) -> str:
    rest = (f.V - x) / (f.n - 1)
    first = x - f.k * f.m
    if first <= 0:
        return f"{mL(x)} would be drunk by the herb whole, and nothing would run off the first time."
    if rest <= 0:
        return f"{mL(x)} would leave nothing for the later soaks."
    return f"Then {mL(first)} runs off the first time and {mL(rest)} each later time: not the same each time."


def _evenly_said(f: Figures, x: float) -> str:
    if abs(x - 100) < 1 and f.d > 2 * f.h:
        return f"With {three(x)} % out by day {n(f.d)} there would be nothing left to come, and half of it always is."
    return f"By the same sum {three(1.5 * x)} % would be out by day {n(1.5 * f.d)}."


def _twice(f: Figures) -> float:
    """mL of liquid for each g of herb, after the liquid of one jar went on as much herb again."""
    first = f.V - f.k * f.m
    return first / (f.m + f.m * first / f.V)


def _twice_said(f: Figures, x: float) -> str:
    return f"At {one_to(x)} the second jar would hold the extract of {g((f.V - f.k * f.m) / x)} of herb."


_SOAK = "{m} of dried elecampane root soaks in {V} of menstruum. Strained and pressed, the marc keeps {k}. " + _EVEN
_SOAK_FIGURES = (grid("m", "g", 50, 250, 10), grid("V", "mL", 300, 1500, 10), _K)


def _sensible(f: Figures) -> bool:
    return 3 <= f.V / f.m <= 8


def _out_way(f: Figures, w: Walk) -> float:
    keeps = w.step("mL", f"What the marc keeps, in mL: {n(f.k)} × {n(f.m)}", f.k * f.m)
    return w.total("mL", f"What comes out, in mL: {n(f.V)} − {n(keeps)}", f.V, -keeps)


def _fresh_out_way(f: Figures, w: Walk) -> None:
    water = w.step("mL", f"Water that the plant brings, in mL: {n(f.w)} × {n(f.m)}", f.w * f.m)
    liquid = w.total("mL", f"Liquid in the jar, in mL: {n(f.V)} + {n(water)}", f.V, water)
    dry = w.total("g", f"Dry part of the plant, in g: {n(f.m)} − {n(water)}", f.m, -water)
    keeps = w.step("mL", f"What the marc keeps, in mL: {n(f.k)} × {n(dry)}", f.k * dry)
    w.total("mL", f"What comes out, in mL: {n(liquid)} − {n(keeps)}", liquid, -keeps)


def _planning_way(f: Figures, w: Walk) -> None:
    gives = w.step("each", f"Each g of herb takes {n(f.r)}, keeps {n(f.k)}, and gives {n(f.r)} − {n(f.k)}", f.r - f.k)
    w.step("g", f"Herb for the whole bottle, divided by what each g gives, in g: {n(f.F)} ÷ {n(gives)}", f.F / gives)


def _share_way(f: Figures, w: Walk) -> None:
    out = _out_way(f, w)
    w.step("pct", f"As a share of all the liquid, and of the extract in it: {n(out)} ÷ {n(f.V)}", out / f.V)


def _two_soaks_way(f: Figures, w: Walk) -> None:
    first = w.step(
        "pct", f"Share of the extract that the marc holds after the first soak: {n(f.R)} ÷ {n(f.a)}", f.R / f.a
    )
    jar = w.total("mL", f"Liquid in the jar at the second soak, in mL: {n(f.R)} + {n(f.b)}", f.R, f.b)
    second = w.step("pct", f"Of what was left, the share that the marc holds again: {n(f.R)} ÷ {n(jar)}", f.R / jar)
    left = w.step("pct", f"Left in the end, a share of a share: {n(first)} × {n(second)}", first * second)
    w.step("pct", f"So out came: 100 − {n(100 * left)}", 1 - left)


def _split_way(f: Figures, w: Walk) -> None:
    drink = w.step("mL", f"What the dry herb drinks once, in mL: {n(f.k)} × {n(f.m)}", f.k * f.m)
    rest = w.total("mL", f"What is left to run off, in mL: {n(f.V)} − {n(drink)}", f.V, -drink)
    lot = w.step("mL", f"Each time the same, in mL: {n(rest)} ÷ {n(f.n)}", rest / f.n)
    w.total("mL", f"The first time the herb's drink comes on top, in mL: {n(lot)} + {n(drink)}", lot, drink)


def _second_jar_way(f: Figures, w: Walk) -> None:
    out = _out_way(f, w)
    share = w.step("pct", f"Share of the first herb's extract in it: {n(out)} ÷ {n(f.V)}", out / f.V)
    worth = w.step("g", f"That is the extract of so much herb, in g: {n(share)} × {n(f.m)}", share * f.m)
    both = w.total("g", f"With the second herb's, in g: {n(worth)} + {n(f.m)}", worth, f.m)
    w.step("1:x", f"mL for each g: {n(out)} ÷ {n(both)}", out / both)


def _days_way(f: Figures, w: Walk) -> None:
    times = w.step("", f"How many halvings: {n(f.d)} ÷ {n(f.h)}", f.d / f.h)
    halvings_way(times, w)


ITEMS = (
    Ask(
        7,
        1,
        "sum",
        "{m} of dried elecampane root soaks in {V} of menstruum. Strained and pressed, the marc keeps {k}. How "
        "many mL come "
        f"out? {METRIC}",
        _SOAK_FIGURES,
        VOLUME,
        _out,
        allowed=_sensible,
        mistakes=(
            mistake(
                "m58",
                "Expects all of it back",
                "Squeeze a tea bag. Is anything still in it?",
                lambda f: f.V,
                so=_bottle,
            ),
            mistake(
                "m59",
                "Takes off the weight of the herb",
                "Is it the herb that is missing from the bottle, or what the herb holds on to?",
                lambda f: f.V - f.m,
                so=_bottle,
            ),
            mistake(
                "m60",
                "Divides by what a gram keeps",
                "That many mL for each gram: how many grams are there?",
                lambda f: f.V / f.k,
                so=_bottle,
            ),
        ),
        path=_out_way,
        forwards="Add what the marc keeps to your mL: is it what you poured?",
    ),
    Ask(
        7,
        2,
        "sum",
        "{m} of fresh elderflower, {w} water, soaks in {V} of spirit. Pressed, the marc keeps {k}, counted on "
        "the dry part of "
        f"the plant alone. How many mL come out? {PLANT_WATER} {METRIC}",
        (grid("m", "g", 100, 400, 10), grid("w", "percent_wb", 65, 88), grid("V", "mL", 200, 1000, 10), _K),
        VOLUME,
        lambda f: _out(f, f.w),
        allowed=lambda f: 1.5 <= f.V / f.m <= 4,
        mistakes=(
            PLANT_WATER_LEFT_OUT.on(
                "m146",
                lambda f: f.V - f.k * f.m * (1 - f.w),
                so=_fresh_said,
            ),
            mistake(
                "m147",
                "Lets every gram of fresh plant keep as much as a dry one",
                "What is it that holds on to liquid: the plant's water, or its dry part?",
                lambda f: f.V + f.m * f.w - f.k * f.m,
                so=_fresh_said,
            ),
            mistake(
                "m148",
                "Expects all of the liquid back",
                "Is the marc dry when you have pressed it?",
                lambda f: f.V + f.m * f.w,
                so=_fresh_said,
            ),
            mistake(
                "m149",
                "Treats the fresh plant as dried herb",
                "How much of that plant is dry part, and how much is water that joins the spirit?",
                lambda f: f.V - f.k * f.m,
                so=_fresh_said,
            ),
        ),
        path=_fresh_out_way,
        forwards="Add what the marc keeps to your mL: is it the spirit and the plant's water together?",
    ),
    Ask(
        7,
        3,
        "sum",
        "You need {F} in the bottle, soaked at {r} (mL of menstruum added for each g of dried herb). The marc "
        "keeps {k}. How "
        f"much dried herb do you weigh out? {METRIC}",
        (grid("F", "mL", 200, 1000, 10), grid("r", "mL/g", 4, 8), _K),
        WEIGHT,
        lambda f: bare(maceration.herb_for, f.F, f.r, f.k),
        mistakes=(
            mistake(
                "m61",
                "Forgets what the marc keeps",
                "How much of what you pour will stay in the marc? Will the bottle be full?",
                lambda f: f.F / f.r,
                so=_planned,
            ),
            mistake(
                "m62",
                "Adds what the marc keeps to the ratio",
                "Does the marc give liquid to the bottle, or keep it?",
                lambda f: f.F / (f.r + f.k),
                so=_planned,
            ),
        ),
        path=_planning_way,
        forwards="Put your herb into the jar: how much menstruum, how much stays in the marc, how much comes out?",
    ),
    Ask(
        7,
        4,
        "sum",
        f"{_SOAK} What share of the extract comes out with the liquid, in %? {METRIC}",
        _SOAK_FIGURES,
        SHARE,
        lambda f: 100 * bare(maceration.share_extracted, f.m, [f.V], f.k, 0.0),
        allowed=_sensible,
        mistakes=(
            mistake(
                "m150",
                "Gives the share that stays behind",
                "Is that the share in the bottle, or the share in the marc?",
                lambda f: 100 * f.k * f.m / f.V,
                so=_share_said,
            ),
            mistake(
                "m151",
                "Thinks that all of the extract comes out",
                "The marc is wet. What is in that liquid?",
                lambda _: 100.0,
                so=_share_said,
            ),
            mistake(
                "m152",
                "Takes off the weight of the herb instead of what it keeps",
                "Which liquid is missing from the bottle: as many mL as the herb has g, or what the herb holds "
                "on to?",
                lambda f: 100 * (f.V - f.m) / f.V,
                so=_share_said,
            ),
        ),
        path=_share_way,
        forwards="What share of the liquid stays in the marc? The extract is shared in the same way.",
        edition=2,
    ),
    Ask(
        7,
        5,
        "sum",
        f"The same dried herb is soaked twice: first in {{a}}, pressed, then in {{b}} of fresh menstruum, "
        f"pressed again. Each time the marc keeps {{R}}. {_EVEN} What share of the extract is in the two lots "
        f"together, in %? {METRIC}",
        (grid("a", "mL", 200, 500, 10), grid("b", "mL", 150, 400, 10), grid("R", "mL", 80, 220, 10)),
        SHARE,
        _staged,
        allowed=lambda f: 0.75 * min(f.a, f.b) > f.R,
        mistakes=(
            mistake(
                "m68",
                "Adds the shares of both soaks as if each began with everything",
                "How much was left in the herb when the second soak began? Can more come out than that?",
                lambda f: 100 * ((f.a - f.R) / f.a + f.b / (f.R + f.b)),
                so=_share_said,
            ),
            mistake(
                "m69",
                "Treats it as one soak with all the menstruum",
                "What does fresh menstruum meet at the second soak, that it would not meet in one big soak?",
                lambda f: 100 * (f.a + f.b - f.R) / (f.a + f.b),
                so=_share_said,
            ),
            mistake(
                "m70",
                "Forgets that the marc comes wet to the second soak",
                "Was the marc dry when the second lot was poured on? What did it hold?",
                lambda f: 100 * (1 - f.R / f.a * (1 - (f.b - f.R) / f.b)),
                so=_share_said,
            ),
        ),
        path=_two_soaks_way,
        forwards="What is left after the first soak, and what share of that is left after the second?",
    ),
    Ask(
        7,
        6,
        "sum",
        "You have {V} of menstruum for {m} of dried herb and will soak it {n} times. The marc keeps {k} each "
        "time. The best "
        "way is to let the same amount run off each time; the herb comes dry to the first soak and wet to the "
        "later ones. How "
        f"many mL do you pour the first time? {METRIC}",
        (grid("V", "mL", 300, 1200, 10), grid("m", "g", 50, 200, 10), _K, one_of("n", "", 2, 3)),
        VOLUME,
        _first_portion,
        allowed=lambda f: 2.2 * f.k * f.m < f.V and f.V / f.m <= 8,
        mistakes=(
            mistake(
                "m153",
                "Pours the same each time",
                "Does the dry herb drink some of the first lot? Does as much run off the first time as later?",
                lambda f: f.V / f.n,
                so=_split_said,
            ),
            mistake(
                "m154",
                "Gives what runs off, without what the herb drinks first",
                "That is what should run off. What must the dry herb have before anything runs?",
                lambda f: (f.V - f.k * f.m) / f.n,
                so=_split_said,
            ),
            mistake(
                "m155",
                "Adds what the herb drinks to an equal share of everything",
                "If the herb's drink comes on top of a whole share, is there still enough for the other soaks?",
                lambda f: f.V / f.n + f.k * f.m,
                so=_split_said,
            ),
        ),
        path=_split_way,
        forwards="Pour yours, let the herb drink, and see what runs off; is it the same as in the later soaks?",
    ),
    Ask(
        7,
        7,
        "sum",
        f"{{m}} of dried calendula soaks in {{V}}; the marc keeps {{k}}. All that comes out is poured on as much "
        f"dried calendula again, {{m}}. {_EVEN} Before pressing the second time: how many mL hold the "
        f"extract of 1 g (1/28 oz) of herb, as 1:x? {METRIC}",
        (grid("m", "g", 50, 200, 10), grid("V", "mL", 300, 1200, 10), _K),
        RATIO,
        _twice,
        allowed=lambda f: 4 <= f.V / f.m <= 8 and f.V - f.k * f.m > 2.2 * f.m,
        mistakes=(
            mistake(
                "m156",
                "Forgets what the first marc keeps of the extract",
                "Did all of the first herb's extract come over, or did its marc keep a share?",
                lambda f: (f.V - f.k * f.m) / (2 * f.m),
                so=_twice_said,
            ),
            mistake(
                "m157",
                "Halves the ratio and leaves the marc out",
                "Is all the liquid of the first jar still there for the second?",
                lambda f: f.V / (2 * f.m),
                so=_twice_said,
            ),
            mistake(
                "m158",
                "Counts the second herb alone",
                "Was the liquid fresh when it came to the second herb, or did it carry something?",
                lambda f: (f.V - f.k * f.m) / f.m,
                so=_twice_said,
            ),
        ),
        path=_second_jar_way,
        forwards="How many mL come over, and the extract of how many g of herb is in them?",
    ),
    Ask(
        7,
        8,
        "sum",
        "By a model, half of what will come out of this herb is out by day {h_day}, and in every further "
        "{h_day} days "
        "half of the rest. What share of it is out by day {d_day}, in %? Three figures are enough.",
        (grid("h", "day", 2, 6), grid("d", "day", 4, 24)),
        SHARE,
        lambda f: 100 * bare(maceration.share_by, f.d, f.h),
        also={"h_day": lambda f: n(f.h), "d_day": lambda f: n(f.d)},
        allowed=lambda f: 2 <= f.d / f.h <= 4,
        near=(
            Near(
                lambda f: between_halvings(f.d / f.h),
                "Near enough. A straight line between two halvings is a little under the curve.",
            ),
        ),
        mistakes=(
            mistake(
                "m71",
                "Lets the extract grow evenly with the days",
                "Go on with your sum for a few more days. Can more come out than there is?",
                lambda _: 100.0,
                lambda f: 50 * f.d / f.h,
                so=_evenly_said,
            ),
            SHARE_STILL_IN_THE_HERB.on(
                "m159",
                lambda f: 100 * 0.5 ** (f.d / f.h),
                so=lambda f, x: f"With {three(x)} % out by day {n(f.d)} there would be less than on day {n(f.h)}.",
            ),
        ),
        path=_days_way,
        forwards="Write it day by day: 50 %, then half of the rest, then half of that rest.",
    ),
)
