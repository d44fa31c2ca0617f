"""Floor 4. Lesson 13: money, stock and next year."""

from __future__ import annotations

import math
from dataclasses import replace

from herbcalc import batch
from herbcalc.homework.blueprint import (
    MONEY,
    VOLUME,
    WEIGHT,
    Ask,
    Figures,
    Option,
    Want,
    bare,
    case,
    grid,
    mistake,
    one_of,
    plainly,
    situation,
)
from herbcalc.homework.shared_slips import FRACTION_TURNED_OVER
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import ADDED, BY_METRIC, METRIC, g, mL
from herbcalc.homework.wording import exact as n

BOTTLES = Want(
    ("count",), "", "bottles", exact=True, drop=r"(?<=\d) ?(?:whole |full )?bottles?(?: to buy| of [\d.]+ ?ml)?\b"
)
_HUNDRED_ML = replace(MONEY, drop=r"\s*(?:/|\b(?:per|for|a|each|every)\b)\s*(?:each |every )?100\s*ml\b.*$")
_ONE_BOTTLE = replace(
    MONEY, drop=r"\s*(?:/|\bper\b|\bfor\b|\bfor each\b|\ba\b|\beach\b)\s*(?:one |full )*(?:bottle\b.*)?$"
)
_K = one_of("k", "mL/g", 10, 12, 15, 16, 18, 20, over=10)
_PLACE = "What may be sold, and how, differs by place."


# 13.1


def _till(f: Figures, x: float) -> str:
    return (
        f"At ${x:.2f} the {mL(f.a * f.V)} of alcohol in this bottle would come to ${x * f.a * f.V / 100:.2f}; the "
        f"till said ${f.c:.2f}."
    )


def _alcohol_way(f: Figures, w: Walk) -> None:
    alcohol = w.step("mL", f"Pure alcohol in the bottle, in mL: {n(f.a)} × {n(f.V)}", f.a * f.V)
    each = w.step("$ each", f"So one mL of alcohol costs ${f.c:.2f} ÷ {n(alcohol)}", f.c / alcohol)
    w.step("$", f"and 100 mL (3 1/2 fl oz) of it 100 × ${n(each)}", 100 * each)


# 13.2


def _of_soak(f: Figures, keeps: float, herb: float = 1.0, glass: float = 1.0) -> float:
    prices = (herb * f.h / f.m, f.p / f.VB)
    return float(plainly(batch.soak_cost, f.m, f.r * f.m, keeps, *prices, f.B, glass * f.q).each_bottle)


def _paid_for_what_came(f: Figures) -> float:
    out = (f.r - f.k) * f.m
    return (f.h + out * f.p / f.VB) * f.B / out + f.q


def _filled(f: Figures) -> float:
    """How many bottles, parts counted."""
    return (f.r - f.k) * f.m / f.B


def _short_in_the_till(f: Figures, x: float) -> str:
    spent = f.h + f.r * f.m * f.p / f.VB + _filled(f) * f.q
    return f"At ${x:.2f} the bottles of this batch bring ${x * _filled(f):.2f}; ${spent:.2f} was spent on it."


def _bottle_way(f: Figures, w: Walk) -> None:
    poured = w.step("mL", f"Menstruum poured, in mL: {n(f.r)} × {n(f.m)}", f.r * f.m)
    each = w.step("$ each", f"One mL of it costs ${f.p:.2f} ÷ {n(f.VB)}", f.p / f.VB)
    spirit = w.step("$", f"So what was poured costs {n(poured)} × ${n(each)}", poured * each)
    spent = w.step("$", f"With the herb: ${spirit:.2f} + ${f.h:.2f}", spirit + f.h)
    keeps = w.step("mL", f"The marc keeps, in mL: {n(f.k)} × {n(f.m)}", f.k * f.m)
    out = w.total("mL", f"So there comes out, in mL: {n(poured)} − {n(keeps)}", poured, -keeps)
    finished = w.step("$ each", f"One finished mL costs ${spent:.2f} ÷ {n(out)}", spent / out)
    full = w.step("$", f"and what is in a bottle {n(f.B)} × ${n(finished)}", f.B * finished)
    w.step("$", f"With the empty bottle: ${full:.2f} + ${f.q:.2f}", full + f.q)


# 13.3


def _thin(f: Figures, x: float) -> str:
    there = g(x * f.T1 / f.T2)
    return f"With {g(x)} the large batch would hold {there} in each {mL(f.T1)}; the recipe says {g(f.m)}."


def _scale_way(f: Figures, w: Walk) -> None:
    factor = w.step("", f"How many times the recipe is that? {n(f.T2)} ÷ {n(f.T1)}", f.T2 / f.T1)
    w.step("g", f"The herb, as many times, in g: {n(factor)} × {n(f.m)}", factor * f.m)


# 13.4


def _menstruum(f: Figures) -> float:
    stock = plainly(batch.class_stock, f.n, f.F, f.r, f.k, f.sp, f.B)
    return float(stock.menstruum.magnitude)


def _needed(f: Figures) -> int:
    return int(plainly(batch.class_stock, f.n, f.F, f.r, f.k, f.sp, f.B).packs)


def _stock_told(f: Figures) -> bool:
    """A number of bottles that nobody can round by chance, and that no other road leads to."""
    packs = _menstruum(f) / f.B
    return 0.06 < packs % 1 < 0.44 and math.ceil(f.n * f.F / f.B) < math.floor(packs) and f.r > f.k + 1


def _too_few(f: Figures, x: float) -> str:
    there, need = x * f.B, _menstruum(f)
    if there < need:
        return f"{x:.0f} bottles hold {mL(there)}, and the list needs {mL(need)}: somebody goes home without."
    return f"{x:.0f} bottles hold {mL(there)}, and the list needs {mL(need)}: the rest is money on a shelf."


def _class_way(f: Figures, w: Walk) -> None:
    home = w.step("mL", f"What all take home, in mL: {n(f.n)} × {n(f.F)}", f.n * f.F)
    gives = w.step("each", f"Each g takes {n(f.r)}, keeps {n(f.k)}, and so gives {n(f.r)} − {n(f.k)}", f.r - f.k)
    herb = w.step("g", f"Herb for that, in g: {n(home)} ÷ {n(gives)}", home / gives)
    poured = w.step("mL", f"Menstruum on it, in mL: {n(f.r)} × {n(herb)}", f.r * herb)
    needed = w.step("mL", f"With the spare, in mL: {n(1 + f.sp)} × {n(poured)}", (1 + f.sp) * poured)
    packs = w.step("", f"In bottles: {n(needed)} ÷ {n(f.B)}", needed / f.B)
    w.whole(f"What one must have is rounded up: {n(packs)}, so", math.ceil(packs), "bottles")


# 13.5


def _reckoned(f: Figures) -> tuple[float, float, float]:
    """Poured, pressed out, in the bottles, as the book reckoned, mL."""
    out = (f.r - f.k) * f.m
    return f.r * f.m, out, out


def _found(f: Figures) -> tuple[float, float, float]:
    """The same as they were found: more kept by the marc, some lost after the press, or less poured."""
    poured, out, bottled = _reckoned(f)
    drunk = (0.6 + 0.1 * f.more) * f.m
    lost = 30.0 + 10.0 * f.more
    short = 60.0 + 20.0 * f.more
    return (
        (poured, out - drunk, bottled - drunk),
        (poured, out, bottled - lost),
        (poured - short, out - short, bottled - short),
    )[int(f.case)]


def _row(amounts: tuple[float, float, float]) -> str:
    return ", ".join(f"{name} {mL(x)}" for name, x in zip(("poured", "pressed out", "bottled"), amounts, strict=True))


def _first_gap(f: Figures) -> str:
    """Where the book and the bench part: said with the student's own figures."""
    (poured, out, _), (its_poured, its_out, its_bottled) = _reckoned(f), _found(f)
    if f.case == 0:
        return f"{mL(its_poured)} was poured, as reckoned; {mL(its_out)} came out and not {mL(out)}."
    if f.case == 1:
        return f"{mL(its_out)} came out, as reckoned; {mL(its_bottled)} reached the bottles."
    return f"{mL(poured)} was reckoned, and {mL(its_poured)} was poured; from there on the gap stays the same."


def _log_way(f: Figures, w: Walk) -> None:
    before = 0.0
    for name, planned, found in zip(("Poured", "Pressed out", "Bottled"), _reckoned(f), _found(f), strict=True):
        gap = planned - found
        fits = "as reckoned" if gap < 1 else "the same gap as before" if abs(gap - before) < 1 else f"{mL(gap)} short"
        w.say(f"{name}: {mL(planned)} reckoned, {mL(found)} found: ⟦{fits}⟧")
        before = gap
    w.say(f"Change what stands at the first gap: ⟦{w.letter(int(f.case))}⟧")


# 13.6


def _moves(f: Figures) -> list[tuple[float, str, str]]:
    """How far each reading may move what comes out, mL, smallest first; the sum in words; what is read."""
    return sorted(
        [
            (f.k, f"The scale: each g too many keeps {n(f.k)}, so in mL: {n(f.k)} × 1", "the scale"),
            (f.dV, f"The jug: what it is off goes straight into the bottle, in mL: 1 × {n(f.dV)}", "the jug"),
            (f.per_g * f.m, f"The marc: for each g, and in mL: {n(f.per_g)} × {n(f.m)}", "the marc"),
        ]
    )


def _most(f: Figures) -> float:
    return _moves(f)[-1][0]


def _doubt_way(f: Figures, w: Walk) -> None:
    moves = _moves(f)
    for number, words, _ in moves:
        w.step("mL", words, number)
    w.say(f"The last is the largest: measure better with ⟦{moves[-1][2]}⟧")


def _by_so_much(f: Figures, x: float) -> str:
    return f"{mL(x)} is not what the worst reading does: {_moves(f)[-1][2]} alone moves it by {mL(_most(f))}."


ITEMS = (
    Ask(
        13,
        1,
        "sum",
        "A bottle of spirit in a shop (invented) holds {V} at {a} and costs {c}. What do 100 mL (3 1/2 fl oz) of the "
        f"pure alcohol in it cost, in $? {METRIC}",
        (
            one_of("V", "mL", 500, 700, 750, 1000, 1750),
            one_of("a", "percent_vol", 375, 400, 430, 755, 950, over=10),
            grid("c", "money", 1200, 4500, 50, 100),
        ),
        _HUNDRED_ML,
        lambda f: 100 * bare(batch.alcohol_price, f.c, f.V, 100 * f.a),
        mistakes=(
            mistake(
                "m92",
                "Takes the price of 100 mL (3 1/2 fl oz) of what is in the bottle, water and all",
                "Is all that is in the bottle alcohol? What are you paying for?",
                lambda f: 100 * f.c / f.V,
                so=_till,
            ),
            mistake(
                "m750",
                "Multiplies by the strength where it should divide",
                "Does the alcohol alone cost more for each mL than the mix, or less?",
                lambda f: 100 * f.c / f.V * f.a,
                so=_till,
            ),
            mistake(
                "m751",
                "Shares the price out over the water",
                "Which part of the bottle is alcohol, and which is water?",
                lambda f: 100 * f.c / (f.V * (1 - f.a)),
                so=_till,
            ),
            FRACTION_TURNED_OVER.on(
                "m752",
                lambda f: f.V * f.a / f.c,
                so=_till,
                hint="Is that the money for so many mL, or the mL for so much money?",
            ),
        ),
        path=_alcohol_way,
        forwards="Take your price for all the alcohol in the bottle. Does it come to what the till said?",
    ),
    Ask(
        13,
        2,
        "sum",
        f"{{m}} of dried calendula cost {{h}}. It is soaked at {{r}} in menstruum that costs {{p}} for {{VB}}, and "
        f"the marc keeps {{k}}. {ADDED} The tincture goes into bottles of {{B}}; an empty one costs {{q}}. What does "
        "one full bottle cost, in $? Count by the mL, so that a part of a bottle counts as a part. "
        f"{_PLACE} {METRIC}",
        (
            grid("m", "g", 80, 200, 10),
            grid("h", "money", 400, 2000, 50, 100),
            grid("r", "mL/g", 4, 6),
            grid("p", "money", 1200, 3600, 50, 100),
            one_of("VB", "mL", 500, 700, 750, 1000),
            _K,
            one_of("B", "mL", 50, 60, 100),
            grid("q", "money", 80, 200, 10, 100),
        ),
        _ONE_BOTTLE,
        lambda f: _of_soak(f, f.k),
        mistakes=(
            mistake(
                "m753",
                "Counts on all that was poured",
                "How many of the mL that were poured reach a bottle?",
                lambda f: _of_soak(f, 0.0),
                so=_short_in_the_till,
            ),
            mistake(
                "m754",
                "Leaves out the empty bottle",
                "What does it go into, and who pays for that?",
                lambda f: _of_soak(f, f.k, glass=0.0),
                so=_short_in_the_till,
            ),
            mistake(
                "m755",
                "Leaves out the herb",
                "Spirit alone is no tincture. What else was bought?",
                lambda f: _of_soak(f, f.k, herb=0.0),
                so=_short_in_the_till,
            ),
            mistake(
                "m756",
                "Pays only for the menstruum that came out",
                "What is left in the marc was paid for too. Who pays for it, if not the bottles?",
                _paid_for_what_came,
                so=_short_in_the_till,
            ),
        ),
        path=_bottle_way,
        forwards="Take your price for all the bottles this batch fills. Does it bring back what was spent?",
    ),
    Ask(
        13,
        3,
        "sum",
        "A recipe (invented) makes {T1} of tincture from {m} of dried elderflower; it stands {d} in spirit of {a}. "
        f"You want {{T2}} of the same. How much elderflower do you weigh? {METRIC}",
        (
            grid("T1", "mL", 150, 500, 10),
            grid("m", "g", 40, 140, 5),
            one_of("d", "day", 14, 21, 28),
            one_of("a", "percent_vol", 40, 50, 60),
            grid("T2", "mL", 600, 2400, 50),
        ),
        WEIGHT,
        lambda f: f.m * bare(batch.scale, f.T1, f.T2),
        allowed=lambda f: f.T2 < 6 * f.T1 and 0.25 < f.T2 / f.T1 % 1 < 0.9,  # nobody rounds that by chance
        mistakes=(
            FRACTION_TURNED_OVER.on(
                "m757",
                lambda f: f.m * f.T1 / f.T2,
                so=_thin,
                hint="You want more of it. Should there be more herb, or less?",
            ),
            mistake(
                "m758",
                "Weighs what is more, and leaves the recipe's own herb out",
                "Is that the herb for the whole batch, or for what comes on top of the first?",
                lambda f: f.m * (f.T2 - f.T1) / f.T1,
                so=_thin,
            ),
            mistake(
                "m759",
                "Adds a gram for every mL more",
                "How many mL does a gram make in this recipe? Is it one?",
                lambda f: f.m + f.T2 - f.T1,
                so=_thin,
            ),
            mistake(
                "m760",
                "Rounds the factor down to a whole number",
                "How many times the recipe is it exactly? A recipe may be taken two and a half times, too.",
                lambda f: f.m * math.floor(f.T2 / f.T1),
                so=_thin,
            ),
        ),
        path=_scale_way,
        forwards="Divide your herb by the mL you want. Does each mL hold as much herb as in the recipe?",
    ),
    Ask(
        13,
        4,
        "sum",
        f"{{n}} students (invented) take {{F}} of tincture home each. Dried herb is soaked at {{r}}, and the marc "
        f"keeps {{k}}. {ADDED} A share of {{sp}} comes on top as spare: {{hundred}} mL more for every 100 mL. "
        f"Menstruum is sold in bottles of {{B}}. How many must be bought? {BY_METRIC}",
        (
            grid("n", "", 12, 30),
            grid("F", "mL", 50, 120, 5),
            grid("r", "mL/g", 4, 6),
            _K,
            one_of("sp", "", 10, 15, 20, over=100),
            one_of("B", "mL", 375, 500, 750),
        ),
        BOTTLES,
        _needed,
        also={"hundred": lambda f: n(100 * f.sp)},
        allowed=_stock_told,
        mistakes=(
            mistake(
                "m90",
                "Forgets the marc and the spare",
                "Does all that goes on the herb come out again? And does nobody spill?",
                lambda f: math.ceil(f.n * f.F / f.B),
                so=_too_few,
            ),
            mistake(
                "m91",
                "Rounds to the nearest bottle",
                "Can a part of a bottle be bought? Would what you round off be missed?",
                lambda f: round(f.n * f.F / (f.r - f.k) * f.r * (1 + f.sp) / f.B),
                so=_too_few,
            ),
            mistake(
                "m761",
                "Takes what all take home for the weight of the herb",
                "Each g of herb gives some mL into the bottle. How many g does that make?",
                lambda f: math.ceil(f.n * f.F * f.r * (1 + f.sp) / f.B),
                so=_too_few,
            ),
        ),
        path=_class_way,
        forwards="Two tests: do so many bottles hold what goes on the herb, spare and all? Would one fewer do?",
    ),
    Ask(
        13,
        5,
        "choice",
        "A page of a batch book (invented). Planned: {m} of dried lemon balm at {r}, the marc to keep {k}. Reckoned: "
        f"{{reckoned}}. Found: {{found}}. What would you change next year? {BY_METRIC} Choose a line, and say the "
        "reason aloud or on paper before you check.",
        (
            grid("m", "g", 100, 200, 10),
            grid("r", "mL/g", 5, 7),
            one_of("k", "mL/g", 12, 15, 16, over=10),
            situation("more", 4),
            case(3),
        ),
        also={
            "reckoned": lambda f: _row(_reckoned(f)),
            "found": lambda f: _row(_found(f)),
            "where": lambda f: ("at the press", "after the press", "at the pouring")[int(f.case)],
        },
        options=(
            Option(
                "Press harder, or plan with what this marc kept: it drank more than was reckoned.",
                "Look at what was poured and what was pressed out. Did the marc keep more than its share?",
                "m762",
                "Blames the marc where it kept what was reckoned",
                _first_gap,
            ),
            Option(
                "Plan a spare: some was lost between press and bottle, in filter and funnel.",
                "Look at what was pressed out and what was bottled. Was anything lost between the two?",
                "m763",
                "Blames the filter where all that was pressed reached the bottles",
                _first_gap,
            ),
            Option(
                "Measure what is poured with more care: less went in than was reckoned.",
                "Look at the first figure of each row. Did less go in?",
                "m764",
                "Blames the jug where as much was poured as was reckoned",
                _first_gap,
            ),
            Option(
                "Let it stand twice as long.",
                "Time brings out more of the herb. Does it bring out more mL?",
                "m765",
                "Thinks that more time makes more mL",
                _first_gap,
            ),
            Option(
                "Buy stronger spirit.",
                "Strength changes what is in each mL. Does it change how many there are?",
                "m766",
                "Thinks that strength makes more mL",
                _first_gap,
            ),
        ),
        answer=lambda f: int(f.case),
        points=(
            "It names the step where the gap begins: {where}.",
            "It gives a number: how many mL are missing there.",
            "It says what will be done or measured next time.",
        ),
        path=_log_way,
    ),
    Ask(
        13,
        6,
        "sum",
        "From your batch book (invented): {m} of dried herb, on a scale that may be 1 g (1/28 oz) off; {V} poured, "
        "with a jug that may be {dV} off; the marc keeps {k}, which may be {per_g} off. What comes out is what was "
        "poured less what the marc keeps. Which of the three readings can move it furthest, and by how many mL? "
        f"Answer with the mL. {METRIC}",
        (
            grid("m", "g", 60, 200, 10),
            grid("V", "mL", 500, 1200, 50),
            one_of("dV", "mL", 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60),
            _K,
            one_of("per_g", "mL/g", 1, 2, 3, 4, over=10),
        ),
        VOLUME,
        _most,
        allowed=lambda f: 2 * f.k * f.m < f.V,
        mistakes=(
            mistake(
                "m767",
                "Stops at a reading that moves it less",
                "There are three readings. How many mL does each of them move?",
                lambda f: _moves(f)[1][0],
                so=_by_so_much,
            ),
            mistake(
                "m768",
                "Adds up what all three can do",
                "That is how far they go together. Which one alone goes furthest?",
                lambda f: sum(number for number, _, _ in _moves(f)),
                so=_by_so_much,
            ),
            mistake(
                "m769",
                "Takes all that the marc keeps for what is not known of it",
                "The marc surely keeps most of that. How much of it is in doubt?",
                lambda f: f.k * f.m,
                so=_by_so_much,
            ),
        ),
        path=_doubt_way,
        forwards="Reckon what comes out as it stands in the book, then with one reading off. Which changes it most?",
    ),
)
