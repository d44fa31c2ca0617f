"""Floor 4. Within lesson 5: the plant brings its own water."""

from __future__ import annotations

from typing import Any

from herbcalc import menstruum, moisture
from herbcalc.homework.blueprint import RATIO, STRENGTH, VOLUME, WEIGHT, Figures, bare, by_both_rules
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken


def _final(f: Figures) -> tuple[float, ...]:
    return by_both_rules(menstruum.final_strength, f.m, 100 * f.w, f.V, 100 * f.a)


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
        lambda f: bare(moisture.dried_weight, f.m, 100 * f.w, 100 * f.w1),
        ways.dried,
    ),
    gap(
        "The last step is yours",
        "{m} of calendula heads, {w} water, go into {V} of spirit at {a}. What is the final strength?",
        fixed(m=(200, "g"), w=(85, "percent_wb"), V=(600, "mL"), a=(50, "percent_vol")),
        STRENGTH,
        _final,
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
        _final,
        ways.final_strength,
        left_out=2,
    ),
    gap(
        "Alone",
        "Fresh elderflower, {w} water, and vodka at {a}. What is the smallest 1:x that stays at {t}? A way in: how "
        "much water does one gram of flower bring? And how much water may 1 mL of vodka take before it falls to 35?",
        fixed(w=(80, "percent_wb"), a=(40, "percent_vol"), t=(35, "percent_vol")),
        RATIO,
        lambda f: by_both_rules(menstruum.smallest_ratio, 100 * f.w, 100 * f.a, 100 * f.t),
        ways.smallest_ratio,
    ),
)


def _tell(rules: Rules, leaf: Any, wet: Any, poured: Any, strength: Any) -> list[str]:
    ends = menstruum.final_strength(leaf, wet, poured, strength)
    floor = Q(rules.floor, "percent_vol")
    found = menstruum.ways_out(leaf, wet, poured, strength, floor)
    if not found:
        return [f"For the label: {spoken(ends)}. That is at your floor of {spoken(floor)} or above."]
    return [f"For the label: {spoken(ends)}. Your floor is {spoken(floor)}. One of these would do:"] + [
        way.text for way in found
    ]


BENCH = Bench(
    (
        Box("leaf", "Fresh plant", "weight", "150 g"),
        Box("wet", "Its water, from your own sample", "moisture", "78 %"),
        Box("poured", "Spirit poured on", "volume", "450 mL"),
        Box("strength", "Strength of that spirit", "strength", "50 % vol"),
    ),
    _tell,
)
