"""Floor 4. Within lesson 2: how much may I take?"""

from __future__ import annotations

import math
from typing import Any

from herbcalc import harvest
from herbcalc.homework.blueprint import IN_G, LEAVES, PLANTS, VOLUME, WEIGHT, Figures
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import G_PER_OZ
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken
from herbcalc.units.constants import SLACK
from herbcalc.units.saying import said

_BASKET = fixed(N=(2100, "g"), y=(240, "g"))


def _half_way(f: Figures, w: Walk) -> None:
    w.step("", f"Leaves, half of them: {n(f.n)} ÷ 2", f.n / 2)


def _may_way(f: Figures, w: Walk) -> None:
    share = w.step("", f"The share of the stand: {n(f.S)} × {n(f.f)}", f.S * f.f)
    w.whole(f"What one may take is rounded down: {n(share)}, so", math.floor(f.S * f.f), "plants")


def _each_way(f: Figures, w: Walk) -> float:
    return w.step("g", f"What one plant gives, a third of its leaf, in g: {n(f.y)} ÷ 3", f.y / 3)


def _plants_way(f: Figures, w: Walk) -> None:
    each = _each_way(f, w)
    number = w.step("", f"The basket, divided by that: {n(f.N)} ÷ {n(each)}", f.N / each)
    w.whole(f"What one must have is rounded up: {n(number)}, so", math.ceil(3 * f.N / f.y), "plants")


def _winters_way(f: Figures, w: Walk) -> None:
    two = w.step("", "Of each plant stays 0.9 after one winter; after two: 0.9 × 0.9", 0.81)
    stays = w.step("", f"After three winters: {n(two)} × 0.9", two * 0.9)
    number = w.step("", f"The harvest, divided by that: {n(f.H)} ÷ {n(stays)}", f.H / stays)
    w.whole(f"What one must have is rounded up: {n(number)}, so", math.ceil(f.H / 0.9**3), "plants")


GAPS = (
    gap(
        "Remember, 1",
        "The scale says 8 oz. How many grams is that?",
        fixed(oz=(8, "oz")),
        IN_G,
        lambda f: f.oz * G_PER_OZ,
        ways.ounces,
    ),
    gap(
        "Remember, 2",
        "A bottle holds {V} at {a}. How much of it is pure alcohol?",
        fixed(V=(500, "mL"), a=(40, "percent_vol")),
        VOLUME,
        lambda f: f.a * f.V,
        ways.alcohol,
    ),
    gap(
        "Remember, 3",
        "A branch carries 150 leaves. Half of them go into the basket. How many leaves?",
        fixed(n=(150, "")),
        LEAVES,
        lambda f: f.n / 2,
        _half_way,
    ),
    gap(
        "The last step is yours",
        "A common stand has {S} plants, and at most {f} of them may be dug, a tenth. How many plants?",
        fixed(S=(187, ""), f=(0.1, "")),
        PLANTS,
        lambda f: math.floor(f.S * f.f),
        _may_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "A lemon balm plant carries {y} of leaf, and a third of it is picked. What does one plant give?",
        fixed(y=(240, "g")),
        WEIGHT,
        lambda f: f.y / 3,
        _each_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same plants, {y} of leaf on each and a third of it picked. The basket is to hold {N}. From how many "
        "plants must you pick?",
        _BASKET,
        PLANTS,
        lambda f: math.ceil(3 * f.N / f.y),
        _plants_way,
        left_out=3,
    ),
    gap(
        "Alone, three years ahead",
        "You want to dig {H} roots from your own garden in three years. Each winter 1 plant of every 10 that stand "
        "dies. How many must you set now? Ask yourself before you reckon: more than a third more, or less?",
        fixed(H=(40, "")),
        PLANTS,
        lambda f: math.ceil(f.H / 0.9**3),
        _winters_way,
    ),
)


def _tell(rules: Rules, count: Any, share: Any, each: Any, want: Any) -> list[str]:
    stand, part = float(count.magnitude), float(share.magnitude)
    plan = harvest.plan(want, each, stand, part)
    lines = [f"Needed for the basket: {plan.needed:,}. May be taken: {plan.allowed:,} of {said(stand, '')}."]
    if plan.enough:
        lines.append(f"Take {plan.dig:,}: they give about {spoken(plan.fresh, round='down')}.")
    else:
        lines += [plan.reason, *plan.ways_on]
    if part > rules.stand_share + SLACK:
        lines.append(
            f"Your share is more than the {rules.said('stand_share')} of your house rule for a wild stand: that is "
            "for your own garden, or for leaf that grows again, of which at most "
            f"{rules.said('leaf_share')} parts are picked from each plant."
        )
    seen = harvest.yield_of(Q([each.to("g").magnitude], "g"))
    return [*lines, seen.said()]


BENCH = Bench(
    (
        Box("count", "Plants that you counted", "count", "60"),
        Box("share", "Share of the plants that may go", "share", "1/10"),
        Box("each", "What one plant gave on the scale", "weight", "250 g"),
        Box("want", "Basket wanted", "weight", "1.2 kg"),
    ),
    _tell,
)
