"""Floor 4. Within lesson 9: soak or drip."""

from __future__ import annotations

from typing import Any

from herbcalc import maceration, percolation
from herbcalc.homework.blueprint import KEPT, RATIO, VOLUME, WEIGHT, Figures
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken


def _soak_pours_way(f: Figures, w: Walk) -> None:
    gives = w.step("each", f"Each g takes {n(f.r)}, keeps {n(f.k)}, and so gives {n(f.r)} − {n(f.k)}", f.r - f.k)
    herb = w.step("g", f"Herb for the soak, in g: {n(f.F)} ÷ {n(gives)}", f.F / gives)
    w.step("mL", f"{n(f.r)} mL for each g of it, in mL: {n(f.r)} × {n(herb)}", f.r * herb)


def _drip_pours_way(f: Figures, w: Walk) -> None:
    herb = w.step("g", f"Herb, 1 g (1/28 oz) for each {n(f.r)} mL, in g: {n(f.F)} ÷ {n(f.r)}", f.F / f.r)
    kept = w.step("mL", f"What it keeps, in mL: {n(f.k)} × {n(herb)}", f.k * herb)
    w.total("mL", f"With what drips out, in mL: {n(f.F)} + {n(kept)}", f.F, kept)


def _drip_herb_way(f: Figures, w: Walk) -> None:
    ways.herb(Figures(V=f.F, r=f.r), w)


def _tie_way(f: Figures, w: Walk) -> None:
    top = w.step("", f"r × k: {n(f.r)} × {n(f.k)}", f.r * f.k)
    whole = w.step("", f"r + k: {n(f.r)} + {n(f.k)}", f.r + f.k)
    w.step("each", f"The first divided by the second: {n(top)} ÷ {n(whole)}", top / whole)


_DRIP = fixed(F=(300, "mL"), r=(5, "mL/g"), k=(2, "mL/g"))

GAPS = (
    gap(
        "Remember, 1",
        "{m} of powder is percolated until {F} are in the bottle; {k} stay behind. How much menstruum ready?",
        fixed(m=(100, "g"), F=(600, "mL"), k=(2, "mL/g")),
        VOLUME,
        lambda f: f.F + f.k * f.m,
        ways.ready,
    ),
    gap(
        "Remember, 2",
        "You need {F} in the bottle, soaked at {r}, and {k} stay behind. How much herb?",
        fixed(F=(400, "mL"), r=(5, "mL/g"), k=(1.5, "mL/g")),
        WEIGHT,
        lambda f: f.F / (f.r - f.k),
        ways.herb_to_plan,
    ),
    gap(
        "Remember, 3",
        "Vodka at {a} and a leaf of {w} water. What is the smallest 1:x that stays at {t}?",
        fixed(a=(40, "percent_vol"), w=(80, "percent_wb"), t=(35, "percent_vol")),
        RATIO,
        ways.narrowest,
        ways.smallest_ratio,
    ),
    gap(
        "The last step is yours",
        "{F} are wanted in the bottle by a soak at {r}, and {k} stay behind. How much menstruum does the soak need?",
        fixed(F=(300, "mL"), r=(5, "mL/g"), k=(1.5, "mL/g")),
        VOLUME,
        lambda f: f.r * f.F / (f.r - f.k),
        _soak_pours_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "The same {F} at {r}, by the drip: as many mL come out as the ratio says. How much herb?",
        _DRIP[:2],
        WEIGHT,
        lambda f: f.F / f.r,
        _drip_herb_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "That drip, {F} at {r}, and {k} stay behind. How much menstruum must be ready?",
        _DRIP,
        VOLUME,
        lambda f: f.F + f.k * f.F / f.r,
        _drip_pours_way,
        left_out=3,
    ),
    gap(
        "Alone: the tie",
        "How hard must the soak be pressed until the drip no longer saves menstruum for the same bottle, at {r}? How "
        "many mL may one gram of its marc keep? With r the ratio and k what the drip's marc keeps, here 2 mL for "
        "each g (about 1.92 fl oz for each oz), it is r × k ÷ (r + k).",
        fixed(r=(5, "mL/g"), k=(2, "mL/g")),
        KEPT,
        lambda f: f.r * f.k / (f.r + f.k),
        _tie_way,
    ),
)


def _tell(_: Rules, half: Any, out: Any, soaked: Any) -> list[str]:
    days = maceration.time_to_reach(0.95, Q(3, "day")).to("day").magnitude
    tap = percolation.flow_for(half, Q(2, "mL/min/kg"))
    drip = percolation.whole_time(half, out, tap).to("day").magnitude
    # A bed that drains by itself keeps about 2 mL for each gram: common practice.
    poured = percolation.menstruum_needed(half, out, Q(2, "mL/g"))
    return [
        f"Soak: {spoken(out)} poured, {spoken(soaked)} out, {spoken(out - soaked)} left in the marc, about "
        f"{days:.0f} days.",
        f"Drip: {spoken(poured)} poured, {spoken(out)} out, {spoken(poured - out)} left in the marc (drained, 2 mL "
        f"for each g, common practice), about {drip:.0f} days.",
        "The days are models': a soak stands until 95 % of what can move has moved, half in 3 days (common "
        "practice); the drip has 6 hours damp, a day full and at rest (USP of 1916), and a moderate tap.",
    ]


BENCH = Bench(
    (
        Box("half", "Herb in each half", "weight", "50 g"),
        Box("out", "Poured on the soak, and wanted from the drip", "volume", "250 mL"),
        Box("soaked", "What the soak gave", "volume", "175 mL"),
    ),
    _tell,
)
