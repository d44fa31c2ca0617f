"""Floor 4. Within lesson 6: jar by eye, jar by weight."""

from __future__ import annotations

from typing import Any

from herbcalc import ethanol, maceration
from herbcalc.homework.blueprint import RATIO, STRENGTH, VOLUME, WEIGHT, Figures
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import G_PER_OZ
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken

_DENSITY = round(ethanol.density(Q(50, "percent_vol")).to("g/mL").magnitude, 3)


def _all_of_it_way(f: Figures, w: Walk) -> None:
    held = ways.alcohol(f, w)
    w.step("mL", f"Divided by the strength you want, in mL: {n(held)} ÷ {n(f.t)}", held / f.t)


def _ounces_way(f: Figures, w: Walk) -> None:
    grams = w.step("g", f"Herb, 28.35 g for each ounce, in g: {n(f.oz)} × 28.35", f.oz * G_PER_OZ)
    w.step("mL", f"{n(f.r)} mL for each g, in mL: {n(f.r)} × {n(grams)}", f.r * grams)


def _poured_way(f: Figures, w: Walk) -> float:
    heavy = w.total("g", f"Spirit by weight, in g: {n(f.full)} − {n(f.herb)}", f.full, -f.herb)
    return w.step("mL", f"1 mL weighs {_DENSITY:.3f} g, so in mL: {n(heavy)} ÷ {_DENSITY:.3f}", heavy / _DENSITY)


def _ratio_way(f: Figures, w: Walk) -> None:
    herb = w.total("g", f"Herb, in g: {n(f.herb)} − {n(f.jar)}", f.herb, -f.jar)
    poured = _poured_way(f, w)
    w.step("1:x", f"mL of spirit for each g of herb: {n(poured)} ÷ {n(herb)}", poured / herb)


_PINT = fixed(jar=(300, "g"), herb=(420, "g"), full=(690, "g"))
_THREE = "A pint jar weighs {jar} empty, {herb} with fresh elderflower in it, {full} with spirit of 50 % vol on top. "

GAPS = (
    gap(
        "Remember, 1",
        "{m} of fresh leaf, {w} water. How many mL does its water fill?",
        fixed(m=(300, "g"), w=(80, "percent_wb")),
        VOLUME,
        lambda f: f.w * f.m,
        ways.water_in_mL,
    ),
    gap(
        "Remember, 2",
        "{V} of spirit at {a} is cut to {t}. How much does it make in all?",
        fixed(V=(500, "mL"), a=(95, "percent_vol"), t=(50, "percent_vol")),
        VOLUME,
        lambda f: f.a * f.V / f.t,
        _all_of_it_way,
    ),
    gap(
        "Remember, 3",
        "{m} of fresh plant at {w} water, in {V} of spirit at {a}. What is the final strength?",
        fixed(m=(100, "g"), w=(80, "percent_wb"), V=(300, "mL"), a=(50, "percent_vol")),
        STRENGTH,
        ways.ends_at,
        ways.final_strength,
    ),
    gap(
        "The last step is yours",
        "{oz} of dried calendula at {r}, added: mL of menstruum for each g of herb. How much menstruum?",
        fixed(oz=(4, "oz"), r=(5, "mL/g")),
        VOLUME,
        lambda f: f.oz * G_PER_OZ * f.r,
        _ounces_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        _THREE + f"1 mL of that spirit weighs {_DENSITY:.3f} g (1 fl oz about 0.97 oz). How much spirit is that?",
        _PINT,
        VOLUME,
        lambda f: (f.full - f.herb) / _DENSITY,
        _poured_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same jar: {jar} empty, {herb} with the herb, {full} with the spirit, of which 1 mL weighs "
        f"{_DENSITY:.3f} g (1 fl oz about 0.97 oz). Which ratio is it?",
        _PINT,
        RATIO,
        lambda f: (f.full - f.herb) / _DENSITY / (f.herb - f.jar),
        _ratio_way,
        left_out=2,
    ),
    gap(
        "Alone",
        "You have {V} of menstruum and want dried rosehip at {r}, added. How much herb? (One to five, not one "
        "in five.)",
        fixed(V=(750, "mL"), r=(5, "mL/g")),
        WEIGHT,
        lambda f: f.V / f.r,
        ways.herb,
    ),
)


def _tell(rules: Rules, jar: Any, with_herb: Any, with_all: Any, wet: Any, spirit: Any) -> list[str]:
    mine = maceration.folk_jar(jar, with_herb, with_all, wet, spirit)
    return [
        f"In the jar: {spoken(mine.herb)} of herb and {spoken(mine.menstruum)} of spirit.",
        f"For the label: {spoken(mine.ratio)} (added), ending at {spoken(mine.strength)}.",
        *ways.by_the_floor(rules, mine.herb, wet, mine.menstruum, spirit),
    ]


BENCH = Bench(
    (
        Box("jar", "Jar, empty", "weight", "380 g"),
        Box("with_herb", "With the herb in it", "weight", "510 g"),
        Box("with_all", "With the spirit on it", "weight", "960 g"),
        Box("wet", "Water in the herb, from your own sample", "moisture", "78 %"),
        Box("spirit", "Strength of the spirit", "strength", "50 % vol"),
    ),
    _tell,
)
