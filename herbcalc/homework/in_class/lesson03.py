"""Floor 4. Within lesson 3: what the air takes."""

from __future__ import annotations

from typing import Any

from herbcalc import moisture
from herbcalc.homework.blueprint import IN_G, LEAVES, VOLUME, WEIGHT, Figures
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import G_PER_OZ
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import spoken


def _leaves_way(f: Figures, w: Walk) -> None:
    w.step("", f"Leaves, a third of them: {n(f.n)} ÷ 3", f.n / 3)


_BASKET = fixed(m=(907, "g"), w=(80, "percent_wb"), w1=(10, "percent_wb"))

GAPS = (
    gap(
        "Remember, 1",
        "The scale says 4 oz. How many grams is that?",
        fixed(oz=(4, "oz")),
        IN_G,
        lambda f: f.oz * G_PER_OZ,
        ways.ounces,
    ),
    gap(
        "Remember, 2",
        "A bottle holds {V} at {a}. How much of it is pure alcohol?",
        fixed(V=(750, "mL"), a=(40, "percent_vol")),
        VOLUME,
        lambda f: f.a * f.V,
        ways.alcohol,
    ),
    gap(
        "Remember, 3",
        "A lemon balm plant carries 240 leaves, and your house rule lets you take a third. How many leaves?",
        fixed(n=(240, "")),
        LEAVES,
        lambda f: f.n / 3,
        _leaves_way,
    ),
    gap(
        "The last step is yours",
        "{m} of calendula heads, {w} water, are dried until {w1} of them is water. What does the dried herb weigh?",
        fixed(m=(600, "g"), w=(85, "percent_wb"), w1=(10, "percent_wb")),
        WEIGHT,
        ways.weighs_dried,
        ways.dried,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "2 lb (907 g) of elderflower, {w} water, are to be dried to {w1}. What do the solids weigh?",
        _BASKET,
        WEIGHT,
        lambda f: f.m * (1 - f.w),
        ways.solids,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same 2 lb (907 g) of elderflower, {w} water. What do the flowers weigh when they are dried to {w1}?",
        _BASKET,
        WEIGHT,
        ways.weighs_dried,
        ways.dried,
        left_out=3,
    ),
    gap(
        "Alone, and the other way round",
        "You want 1 lb (454 g) of dried elecampane root, {w1} water. The fresh root is {w} water. How much must you "
        "dig? Ask yourself before you reckon: more than 1 lb, or less?",
        fixed(D=(454, "g"), w=(70, "percent_wb"), w1=(10, "percent_wb")),
        WEIGHT,
        ways.weighs_fresh,
        ways.to_gather,
    ),
)


def _tell(_: Rules, fresh: Any, dry: Any) -> list[str]:
    water = moisture.water_content(fresh, dry)
    doubt = moisture.widest_doubt(fresh, dry).magnitude
    return [
        f"{spoken(water)}.",
        f"The scale alone leaves a doubt of {doubt:.1f} points: each reading may be 1 g (1/28 oz) off.",
        "Crisp herb still holds some water, so the figure is a little low. A slow oven would find the rest.",
    ]


BENCH = Bench(
    (Box("fresh", "Fresh leaf", "weight", "100 g"), Box("dry", "Weight when it is crisp", "weight", "22 g")), _tell
)
