"""Floor 4. The sums and ways that gaps and benches of more than one lesson go: one operation a line.

Each reads its figures by the short names of the course: m herb in g, w its water, V liquid in mL, a its strength,
r a ratio, k what each gram keeps, F what is wanted in the bottle in mL, t a strength wanted, T a volume wanted.
"""

from __future__ import annotations

from typing import Any

from herbcalc import menstruum as _menstruum
from herbcalc import moisture
from herbcalc.homework.blueprint import Figures, bare, by_both_rules
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import G_PER_OZ
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken


def ends_at(f: Figures) -> tuple[float, ...]:
    """The sum that `final_strength` walks through: % vol by both rules."""
    return by_both_rules(_menstruum.final_strength, f.m, 100 * f.w, f.V, 100 * f.a)


def weighs_dried(f: Figures) -> float:
    """The sum that `dried` walks through: g."""
    return bare(moisture.dried_weight, f.m, 100 * f.w, 100 * f.w1)


def weighs_fresh(f: Figures) -> float:
    """The sum that `to_gather` walks through: g."""
    return bare(moisture.fresh_weight, f.D, 100 * f.w, 100 * f.w1)


def narrowest(f: Figures) -> tuple[float, ...]:
    """The sum that `smallest_ratio` walks through: mL/g by both rules."""
    return by_both_rules(_menstruum.smallest_ratio, 100 * f.w, 100 * f.a, 100 * f.t)


def by_the_floor(rules: Rules, herb: Any, water: Any, poured: Any, strength: Any) -> list[str]:
    """What a bench tells of a jar by the house rule: that it keeps, or what would do."""
    floor = Q(rules.floor, "percent_vol")
    found = _menstruum.ways_out(herb, water, poured, strength, floor)
    if not found:
        return [f"That is at your floor of {spoken(floor)} or above."]
    return [f"Your floor is {spoken(floor)}. One of these would do:", *(way.text for way in found)]


def ounces(f: Figures, w: Walk) -> None:
    w.step("g", f"28.35 g for each ounce: {n(f.oz)} × 28.35", f.oz * G_PER_OZ)


def water_in_g(f: Figures, w: Walk) -> None:
    w.step("g", f"Water, {n(100 * f.w)} of every 100 g, in g: {n(f.w)} × {n(f.m)}", f.w * f.m)


def water_in_mL(f: Figures, w: Walk) -> float:
    return w.step("mL", f"Water that the plant brings, 1 mL for each g, in mL: {n(f.w)} × {n(f.m)}", f.w * f.m)


def alcohol(f: Figures, w: Walk) -> float:
    words = f"Pure alcohol, {n(100 * f.a)} of every 100 mL, in mL: {n(f.a)} × {n(f.V)}"
    return w.step("mL", words, f.a * f.V)


def liquid(f: Figures, w: Walk) -> float:
    water = water_in_mL(f, w)
    return w.total("mL", f"Liquid in the jar, in mL: {n(f.V)} + {n(water)}", f.V, water)


def final_strength(f: Figures, w: Walk) -> None:
    held = alcohol(f, w)
    spread = liquid(f, w)
    w.step("vol", f"Alcohol divided by liquid: {n(held)} ÷ {n(spread)}", held / spread)


def solids(f: Figures, w: Walk) -> float:
    water = w.step("g", f"Water, in g: {n(f.w)} × {n(f.m)}", f.w * f.m)
    return w.total("g", f"Solids, the rest, in g: {n(f.m)} − {n(water)}", f.m, -water)


def dried(f: Figures, w: Walk) -> None:
    stays = solids(f, w)
    share = w.step("pct", f"The same solids as a share of the dried herb: 100 − {n(100 * f.w1)}", 1 - f.w1)
    w.step("g", f"Solids divided by that share, in g: {n(stays)} ÷ {n(share)}", stays / share)


def to_gather(f: Figures, w: Walk) -> None:
    share = w.step("pct", f"Solids in the dried herb: 100 − {n(100 * f.w1)}", 1 - f.w1)
    stays = w.step("g", f"Their weight in g: {n(share)} × {n(f.D)}", share * f.D)
    fresh = w.step("pct", f"The same solids in the fresh plant: 100 − {n(100 * f.w)}", 1 - f.w)
    w.step("g", f"Solids divided by that share, in g: {n(stays)} ÷ {n(fresh)}", stays / fresh)


def alcohol_wanted(f: Figures, w: Walk) -> float:
    return w.step("mL", f"Alcohol that the mix must hold, in mL: {n(f.t)} × {n(f.T)}", f.t * f.T)


def spirit_to_cut(f: Figures, w: Walk) -> None:
    wanted = alcohol_wanted(f, w)
    w.step("mL", f"Divided by the strength of the spirit, in mL: {n(wanted)} ÷ {n(f.a)}", wanted / f.a)


def menstruum(f: Figures, w: Walk) -> float:
    return w.step("mL", f"{n(f.r)} mL for each g of herb, in mL: {n(f.r)} × {n(f.m)}", f.r * f.m)


def herb(f: Figures, w: Walk) -> None:
    w.step("g", f"1 g (1/28 oz) of herb for each {n(f.r)} mL, in g: {n(f.V)} ÷ {n(f.r)}", f.V / f.r)


def keeps(f: Figures, w: Walk) -> float:
    return w.step("mL", f"What the herb keeps, in mL: {n(f.k)} × {n(f.m)}", f.k * f.m)


def out(f: Figures, w: Walk) -> None:
    kept = keeps(f, w)
    w.total("mL", f"What comes out, in mL: {n(f.V)} − {n(kept)}", f.V, -kept)


def herb_to_plan(f: Figures, w: Walk) -> None:
    gives = w.step("each", f"Each g takes {n(f.r)}, keeps {n(f.k)}, and so gives {n(f.r)} − {n(f.k)}", f.r - f.k)
    w.step("g", f"What is wanted, divided by what each g gives, in g: {n(f.F)} ÷ {n(gives)}", f.F / gives)


def ready(f: Figures, w: Walk) -> None:
    kept = keeps(f, w)
    w.total("mL", f"With what is to drip out, in mL: {n(f.F)} + {n(kept)}", f.F, kept)


def smallest_ratio(f: Figures, w: Walk) -> None:
    need = w.step(
        "", f"The water of 1 g (1/28 oz) of plant needs so many mL of alcohol: {n(f.t)} × {n(f.w)}", f.t * f.w
    )
    spare = w.step("", f"1 mL of the spirit can spare, and still be at the floor: {n(f.a)} − {n(f.t)}", f.a - f.t)
    w.step("1:x", f"So 1 g (1/28 oz) of plant needs so many mL of it: {n(need)} ÷ {n(spare)}", need / spare)
