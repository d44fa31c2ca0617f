"""Floor 4. Within lesson 13: money, stock and next year."""

from __future__ import annotations

from typing import Any

from herbcalc import batch
from herbcalc.homework.blueprint import MONEY, VOLUME, WEIGHT, Figures
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import exact as n
from herbcalc.homework.wording import kept
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken


def _alcohol_cost_way(f: Figures, w: Walk) -> None:
    held = ways.alcohol(f, w)
    each = w.step("$ each", f"One mL of it costs ${f.c:.2f} ÷ {n(held)}", f.c / held)
    w.step("$", f"and 100 mL (3 1/2 fl oz) of it costs 100 × ${n(each)}", 100 * each)


def _class_herb_way(f: Figures, w: Walk) -> float:
    home = w.step("mL", f"What all take home, in mL: {n(f.n)} × {n(f.F)}", f.n * f.F)
    gives = w.step("each", f"Each g takes {n(f.r)}, keeps {n(f.k)}, and so gives {n(f.r)} − {n(f.k)}", f.r - f.k)
    return w.step("g", f"What is wanted, divided by what each g gives, in g: {n(home)} ÷ {n(gives)}", home / gives)


def _class_menstruum_way(f: Figures, w: Walk) -> None:
    herb = _class_herb_way(f, w)
    more = w.step("g", f"With the spare, in g: {n(1 + f.sp)} × {n(herb)}", (1 + f.sp) * herb)
    w.step("mL", f"{n(f.r)} mL for each g of it, in mL: {n(f.r)} × {n(more)}", f.r * more)


def _scale_way(f: Figures, w: Walk) -> None:
    factor = w.step("", f"How many times the recipe: {n(f.T2)} ÷ {n(f.T1)}", f.T2 / f.T1)
    w.step("g", f"As many times the herb, in g: {n(factor)} × {n(f.m)}", factor * f.m)


_TWELVE = fixed(n=(12, ""), F=(50, "mL"), r=(5, "mL/g"), k=(2, "mL/g"), sp=(0.1, ""))

GAPS = (
    gap(
        "Remember, 1",
        "A bottle holds {V} at {a}. How much of it is pure alcohol?",
        fixed(V=(700, "mL"), a=(40, "percent_vol")),
        VOLUME,
        lambda f: f.a * f.V,
        ways.alcohol,
    ),
    gap(
        "Remember, 2",
        "{m} of dried herb stands in {V}, and {k} stay behind. How much comes out?",
        fixed(m=(120, "g"), V=(600, "mL"), k=(1.5, "mL/g")),
        VOLUME,
        lambda f: f.V - f.k * f.m,
        ways.out,
    ),
    gap(
        "Remember, 3",
        "You need {F} in the bottle, soaked at {r}, and {k} stay behind. How much herb?",
        fixed(F=(450, "mL"), r=(5, "mL/g"), k=(2, "mL/g")),
        WEIGHT,
        lambda f: f.F / (f.r - f.k),
        ways.herb_to_plan,
    ),
    gap(
        "The last step is yours",
        "A bottle of {V} at {a} costs {c}. What do 100 mL (3 1/2 fl oz) of the pure alcohol in it cost, in $?",
        fixed(V=(700, "mL"), a=(50, "percent_vol"), c=(21, "money")),
        MONEY,
        lambda f: 100 * f.c / (f.a * f.V),
        _alcohol_cost_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "{n} students take {F} home each, soaked at {r}, and {k} stay behind. How much herb for all, with no spare?",
        _TWELVE[:4],
        WEIGHT,
        lambda f: f.n * f.F / (f.r - f.k),
        _class_herb_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same {n} students with {F} each at {r}, and {k} stay behind. A share of {sp} comes on top as spare, a "
        "tenth. How much menstruum goes on the list?",
        _TWELVE,
        VOLUME,
        lambda f: f.r * (1 + f.sp) * f.n * f.F / (f.r - f.k),
        _class_menstruum_way,
        left_out=3,
    ),
    gap(
        "Alone: a recipe made larger",
        "A recipe makes {T1} from {m} of dried herb, in 28 days. You want {T2} of the same. How much herb?",
        fixed(T1=(250, "mL"), m=(80, "g"), T2=(1000, "mL")),
        WEIGHT,
        lambda f: f.m * f.T2 / f.T1,
        _scale_way,
    ),
)

_RATIO = Q(5.0, "mL/g")


def _tell(rules: Rules, students: Any, each: Any, herb: Any, spirit: Any, pack: Any) -> list[str]:
    people = float(students.magnitude)
    keeps = Q(rules.retained, "mL/g")
    stock = batch.class_stock(people, each, _RATIO, keeps, rules.spare, pack)
    packs = batch.packs_to_buy(stock.menstruum, pack, spirit)
    short = stock.herb - herb
    by_herb, by_spirit = (
        batch.students_served(there, each, _RATIO, keeps, rules.spare) for there in (_RATIO * herb, spirit)
    )
    what = "herb" if by_herb < by_spirit else "menstruum"
    return [
        f"The list for {people:,.0f}, dried herb at 1:5: at least {spoken(stock.herb, round='up')} of herb and at "
        f"least {spoken(stock.menstruum, round='up')} of menstruum.",
        f"In it are {kept(rules.retained)} that the marc keeps, and {rules.said('spare')} as spare: house rules.",
        f"Herb to buy or gather: {spoken(short, round='up')}." if short.magnitude > 0 else "Herb: there is enough.",
        f"Menstruum to buy: {packs:,} of {spoken(pack)}." if packs else "Menstruum: there is enough.",
        f"What stands on the shelf now would serve {min(by_herb, by_spirit):,}; more {what} would serve more."
        if by_herb != by_spirit
        else f"What stands on the shelf now would serve {by_herb:,}.",
    ]


BENCH = Bench(
    (
        Box("students", "Students who make one", "count", "18"),
        Box("each", "What each takes home", "volume", "60 mL"),
        Box("herb", "Dried herb on the shelf, on the scale", "weight", "150 g"),
        Box("spirit", "Menstruum on the shelf, measured", "volume", "400 mL"),
        Box("pack", "One bottle in the shop", "volume", "750 mL"),
    ),
    _tell,
)
