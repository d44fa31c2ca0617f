"""Floor 5. Lesson 13, a further panel: what it costs. Pure alcohol, a bottle, and the extract of 100 g of herb."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from herbcalc import batch, maceration, menstruum
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, SELLING, caution, stored
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, jar
from herbcalc.show.lessons.lesson13 import bottles
from herbcalc.show.look import MOST_HERB, Look, Number, View, dial, marc_keeps
from herbcalc.show.words import marks, whence
from herbcalc.units import Q
from herbcalc.units.arrays import counted
from herbcalc.units.constants import SLACK
from herbcalc.units.saying import per_gram

LESSON = 13
PART = "cost"
BOTH_RULES = False
TITLE = "What does it cost?"
CAUTION = SELLING

HUNDRED = 100.0  # g of herb and mL of liquid that prices are told for
GRAMS, MLS = "100 g (3 1/2 oz)", "100 mL (3 1/2 fl oz)"


@dataclass(frozen=True)
class Setting:
    """A purchase and a soak. Money plain, liquids in mL, herb in g, ratio and what is kept in mL for each g."""

    price: float = dial(25, "money", low=1, high=100, step=0.5, label="Price of the spirit")
    pack: float = dial(
        750, "mL", low=200, high=2000, step=10, label="Its bottle holds", stops=(375, 750, 1000, 1750), most=20000
    )
    spirit: float = dial(
        95, "percent_vol", low=20, high=96, step=0.5, label="Its strength", batch="spirit", stops="shelf"
    )
    to: float = dial(50, "percent_vol", low=20, high=96, step=0.5, label="Cut to")
    herb: float = dial(100, "g", low=20, high=1000, step=10, label="Dried herb", batch="herb", most=MOST_HERB)
    herb_price: float = dial(8, "money", low=0, high=50, step=0.5, label=f"Price of {GRAMS} of herb")
    ratio: float = dial(5, "mL/g", low=2, high=10, step=0.1, label="Ratio", batch="ratio")
    retained: float = marc_keeps()
    filled: float = dial(60, "mL", low=10, high=500, step=5, label="One bottle of tincture", stops=(30, 60, 120))
    glass: float = dial(1.2, "money", low=0, high=10, step=0.1, label="Price of an empty one")


@dataclass(frozen=True)
class Costs:
    """The sums of one setting: mL poured, mL out and mL of strong spirit; money for each mL of pure alcohol and of
    menstruum; the batch's cost; one bottle as it would be without the marc; whole bottles."""

    poured: float
    out: float
    strong: float
    alcohol: float
    menstruum: float
    cost: batch.Cost
    forgotten: float
    whole: int


def sums(s: Setting) -> Costs:
    """Everything that is told and drawn. Refuses a spirit that is too weak, and a soak that gives nothing."""
    herb, pack, filled = Q(float(s.herb), "g"), Q(float(s.pack), "mL"), Q(float(s.filled), "mL")
    kept = Q(float(s.retained), "mL/g")
    maceration.herb_for(filled, Q(float(s.ratio), "mL/g"), kept)  # says what would work
    poured = Q(s.ratio * s.herb, "mL")
    spirit, to = Q(float(s.spirit), "percent_vol"), Q(float(s.to), "percent_vol")
    strong = float(menstruum.cut(spirit, to, make=poured).spirit.magnitude)
    each = strong * s.price / s.pack / float(poured.magnitude)
    prices = (s.herb_price / HUNDRED, each)
    cost = batch.soak_cost(herb, poured, kept, *prices, filled, s.glass)
    out = maceration.liquid_out(herb, poured, kept)
    return Costs(
        poured=float(poured.magnitude),
        out=float(out.magnitude),
        strong=strong,
        alcohol=batch.alcohol_price(s.price, pack, spirit),
        menstruum=each,
        cost=cost,
        forgotten=batch.soak_cost(herb, poured, Q(0.0, "mL/g"), *prices, filled, s.glass).each_bottle,
        whole=counted(float(out.magnitude) / s.filled, np.floor),
    )


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One soak and its prices: by the alcohol, by the bottle, by the extract, and what lies in the marc."""
    s = setting
    it, say, sign = sums(s), view.say, rules.currency
    bought = f"{say(s.pack, 'mL')} of {s.spirit:g} % vol costs {sign}{s.price:.2f}"
    given = (
        f"{bought}, and is {_cut(s)}. {say(s.herb, 'g')} of dried herb, {sign}{s.herb_price:.2f} for {GRAMS}, "
        f"soaks in it at 1:{s.ratio:g}. The marc keeps {per_gram(s.retained)}: {whence(s.retained, rules)}. It is "
        f"filled into bottles of {say(s.filled, 'mL')}, {sign}{s.glass:.2f} each."
    )
    return Look(
        sentence=f"{given} {_told(it, sign, view)}",
        numbers=_numbers(s, it, sign, view),
        alt=_alt(s, it, sign, view),
        table=_table(s, it, sign, view),
        left=lambda board, place, answer: _money(board, place, s, it, sign, answer),
        right=lambda board, place: _curve(board, place, s, it, sign),
        given=given,
        short=f"{bought}, {say(s.herb, 'g')} of herb at 1:{s.ratio:g}, {per_gram(s.retained)} kept",
        caution=" ".join(filter(None, (FOOD_GRADE, caution(s.spirit, rules.shelf), stored(s.pack)))),
    )


def _cut(s: Setting) -> str:
    return "poured as it is" if abs(s.spirit - s.to) <= SLACK else f"cut to {s.to:g} % vol"


def _told(it: Costs, sign: str, view: View) -> str:
    say, cost = view.say, it.cost
    return (
        f"{MLS} of pure alcohol costs {sign}{HUNDRED * it.alcohol:.2f}. {say(it.poured, 'mL')} of menstruum takes "
        f"{view.safe(it.strong, 'mL', 'up')} of the spirit; {say(it.out, 'mL')} comes out, so {MLS} of it costs "
        f"{sign}{HUNDRED * cost.each_mL:.2f}, herb counted. In the marc lies spirit for {sign}{cost.in_marc:.2f}. "
        f"One bottle of tincture costs {sign}{cost.each_bottle:.2f}, glass counted; who forgets the marc says "
        f"{sign}{it.forgotten:.2f}. The extract of {GRAMS} of herb costs {sign}{HUNDRED * cost.each_worth:.2f} in "
        f"the bottle. It fills {bottles(it.whole)} to the top. Your hours are not in it."
    )


def _numbers(s: Setting, it: Costs, sign: str, view: View) -> tuple[Number, ...]:
    def money(key: str, label: str, amount: float, note: str, ask: str) -> Number:
        return Number(label, f"{sign}{amount:.2f}", note, amount, "money", key, f"what does {ask}?")

    cost = it.cost
    return (
        money("bottle", "One bottle", cost.each_bottle, view.say(s.filled, "mL"), "one bottle cost"),
        money("alcohol", "Pure alcohol", HUNDRED * it.alcohol, MLS, f"{MLS} of pure alcohol cost"),
        money("worth", "Extract", HUNDRED * cost.each_worth, f"of {GRAMS}", f"the extract of {GRAMS} of herb cost"),
        money("marc", "In the marc", cost.in_marc, "spirit that stays there", "the spirit in the marc cost"),
        money("finished", "Finished liquid", HUNDRED * cost.each_mL, MLS, f"{MLS} of finished liquid cost"),
        Number("It fills", bottles(it.whole), "rounded down", it.whole, "bottles", "whole",
               "how many bottles does it fill?"),
        money("forgotten", "Marc forgotten", it.forgotten, "one bottle", "a bottle cost with the marc forgotten"),
    )  # fmt: skip


def _parts(s: Setting, it: Costs) -> tuple[tuple[str, str, float], ...]:
    """What one bottle's price is made of: filling, name, money."""
    each = s.filled / it.out
    return (
        ("solids", "herb", s.herb * s.herb_price / HUNDRED * each),
        ("alcohol", "spirit", s.filled * it.menstruum),
        ("band", "marc", it.cost.in_marc * each),
        ("card", "glass", s.glass),
    )


def _table(s: Setting, it: Costs, sign: str, view: View) -> tuple[tuple[str, str], ...]:
    named = {"spirit": "spirit in the bottle", "marc": "spirit left in the marc", "glass": "the empty bottle"}
    return (
        ("", "costs"),
        (f"{MLS} of pure alcohol", f"{sign}{HUNDRED * it.alcohol:.2f}"),
        (f"{MLS} of menstruum at {s.to:g} % vol", f"{sign}{HUNDRED * it.menstruum:.2f}"),
        (f"{MLS} of finished liquid, herb counted", f"{sign}{HUNDRED * it.cost.each_mL:.2f}"),
        *((f"in one bottle: {named.get(name, name)}", f"{sign}{money:.2f}") for _, name, money in _parts(s, it)),
        (f"one bottle of {view.say(s.filled, 'mL')}", f"{sign}{it.cost.each_bottle:.2f}"),
        (f"the extract of {GRAMS} of herb", f"{sign}{HUNDRED * it.cost.each_worth:.2f}"),
        ("herb and spirit of the whole batch", f"{sign}{it.cost.total:.2f}"),
        ("whole bottles", f"{it.whole:,}"),
    )


def _alt(s: Setting, it: Costs, sign: str, view: View) -> str:
    parts = ", ".join(f"{name} {sign}{money:.2f}" for _, name, money in _parts(s, it))
    return (
        f"A jar whose layers are money, from the bottom: {parts}; together one bottle of {view.say(s.filled, 'mL')}, "
        f"{sign}{it.cost.each_bottle:.2f}. Beside it a rising curve of that price against what the marc keeps; the "
        f"mark stands at {per_gram(s.retained)}."
    )


# --- what is drawn ------------------------------------------------------------------------------------------------


def _money(board: Board, place: Place, s: Setting, it: Costs, sign: str, answer: bool) -> None:
    """One bottle's price in layers; before the guess an empty jar."""
    price = it.cost.each_bottle
    if not answer:
        jar(board, "jar", place, [], 1.0, under="what is in a price?")
        return
    parts = [
        Part(fill, money, f"{name} {sign}{money:.2f}", short=name)
        for fill, name, money in _parts(s, it)
        if money >= 0.005
    ]
    foot = 1.5 * board.size
    over = Place(place.x, place.y + foot, place.w, place.h - foot)
    jar(board, "jar", over, parts, max(price, 0.01))
    if not board.is_faint:  # what stands under a jar is the same for two of them, and a price is not
        board.words("price", place.x, place.y + 0.6 * board.size, f"{sign}{price:.2f}", ha="left", bold=True)


def _curve(board: Board, place: Place, s: Setting, it: Costs, sign: str) -> None:
    """The price of one bottle against what the marc keeps."""
    most = min(3.0, 0.75 * s.ratio)
    kept = np.linspace(0.0, most, 30)
    money = batch.soak_cost.plain(
        s.herb, it.poured, kept, s.herb_price / HUNDRED, it.menstruum, s.filled, s.glass
    ).each_bottle
    top = max(1.15 * float(money.max()), 0.1)
    chart = Chart(
        board,
        "price",
        place,
        (0.0, most, "marc keeps, mL/g"),
        (0.0, top, f"{sign} for one bottle"),
        [(n, f"{n:g}") for n in range(int(most) + 1)],
        marks(View(), "money", top, about=3)[1],
    )
    chart.curve("price", kept, money)
    chart.mark("now", s.retained, it.cost.each_bottle, f"{sign}{it.cost.each_bottle:.2f}")
