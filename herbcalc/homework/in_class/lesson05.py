"""Floor 4. Within lesson 5: the plant brings its own water."""

from __future__ import annotations

from typing import Any

from herbcalc import menstruum
from herbcalc.homework.blueprint import RATIO, STRENGTH, VOLUME, WEIGHT
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.rules import Rules
from herbcalc.units import spoken

_ROOT = fixed(m=(113, "g"), w=(70, "percent_wb"), V=(237, "mL"), a=(75.5, "percent_vol"))

GAPS = (
    gap(
        "Remember, 1",
        "{m} of fresh leaf, {w} water. How many grams of it are water?",
        fixed(m=(250, "g"), w=(80, "percent_wb")),
        WEIGHT,
        lambda f: f.m * f.w,
        ways.water_in_g,
    ),
    gap(
        "Remember, 2",
        "{V} at {a}. How much of it is alcohol?",
        fixed(V=(300, "mL"), a=(40, "percent_vol")),
        VOLUME,
        lambda f: f.a * f.V,
        ways.alcohol,
    ),
    gap(
        "Remember, 3",
        "{m} of leaf at {w} water lies on the tray until {w1} of it is water. What does it weigh?",
        fixed(m=(1000, "g"), w=(80, "percent_wb"), w1=(50, "percent_wb")),
        WEIGHT,
        ways.weighs_dried,
        ways.dried,
    ),
    gap(
        "The last step is yours",
        "{m} of calendula heads, {w} water, go into {V} of spirit at {a}. What is the final strength?",
        fixed(m=(200, "g"), w=(85, "percent_wb"), V=(600, "mL"), a=(50, "percent_vol")),
        STRENGTH,
        ways.ends_at,
        ways.final_strength,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "4 oz (113 g) of fresh elecampane root, {w} water, goes into 8 fl oz (237 mL) of 151 proof rum ({a}). How "
        "much liquid is in the jar, all of it together?",
        _ROOT,
        VOLUME,
        lambda f: f.V + f.m * f.w,
        ways.liquid,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same jar: 4 oz (113 g) of root, {w} water, in 8 fl oz (237 mL) of 151 proof rum ({a}). What is the "
        "final strength?",
        _ROOT,
        STRENGTH,
        ways.ends_at,
        ways.final_strength,
        left_out=2,
    ),
    gap(
        "Alone",
        "Fresh elderflower, {w} water, and vodka at {a}. What is the smallest 1:x that stays at {t}? A way in: how "
        "much water does one gram of flower bring? And how much water may 1 mL of vodka take before it falls to 35?",
        fixed(w=(80, "percent_wb"), a=(40, "percent_vol"), t=(35, "percent_vol")),
        RATIO,
        ways.narrowest,
        ways.smallest_ratio,
    ),
)


def _tell(rules: Rules, leaf: Any, wet: Any, poured: Any, strength: Any) -> list[str]:
    ends = menstruum.final_strength(leaf, wet, poured, strength)
    keeps, *found = ways.by_the_floor(rules, leaf, wet, poured, strength)
    return [f"For the label: {spoken(ends)}. {keeps}", *found]


BENCH = Bench(
    (
        Box("leaf", "Fresh plant", "weight", "150 g"),
        Box("wet", "Its water, from your own sample", "moisture", "78 %"),
        Box("poured", "Spirit poured on", "volume", "450 mL"),
        Box("strength", "Strength of that spirit", "strength", "50 % vol"),
    ),
    _tell,
)
