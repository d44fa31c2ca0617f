"""Floor 5. Lesson 4: cutting strong spirit. The alcohol stays the same, and more water goes in than one thinks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import ethanol, menstruum
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, caution
from herbcalc.show.draw.shapes import Chart, Part, Place, halves, stack
from herbcalc.show.look import Look, Number, View, dial, pick, scenes
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible

LESSON = 4
TITLE = "Cutting strong spirit"
QUESTION = "1 L (34 fl oz) of 50 % vol out of 95: how much water goes in?"
GUESSES = ("about 450 mL (15 fl oz)", "about 475 mL (16 fl oz)", "about 500 mL (17 fl oz)", "about 525 mL (18 fl oz)")
CAUTION = FOOD_GRADE


@dataclass(frozen=True)
class Setting:
    """A cut or a blend. Strengths in % vol, volumes in mL at 20 °C."""

    spirit: float = dial(
        95, "percent_vol", low=5, high=96, step=0.5, label="Strong spirit", batch="spirit", stops="shelf"
    )
    to: float = dial(50, "percent_vol", low=5, high=96, step=0.5, label="Wanted strength", batch="cut_to")
    by: str = pick(
        "make", {"make": "how much it makes", "spirit": "how much spirit there is"}, label="The amount says"
    )
    amount: float = dial(1000, "mL", low=50, high=4000, step=10, label="Amount")
    other: float = dial(
        0, "percent_vol", low=0, high=80, step=0.5, label="Thinned with, 0 = water", stops=(0, 40, 50)
    )


SCENES = scenes("lesson04", Setting)


@dataclass(frozen=True)
class Jug:
    """The sums of one setting: mL, and % vol where it says so. `thin` is the water or the weaker spirit."""

    strong: float
    strong_kitchen: float
    thin: float
    thin_kitchen: float
    makes: float
    shrinks: float
    stops_at: float  # what the kitchen rule's amounts really make
    stops_strength: float


def sums(s: Setting) -> Jug:
    """Everything that the sentence, the numbers and the picture are made from. Refuses what cannot be had."""
    spirit, to = Q(float(s.spirit), "percent_vol"), Q(float(s.to), "percent_vol")
    amount = Q(float(s.amount), "mL")
    if s.other <= 0:
        cut = menstruum.cut(spirit, to, make=amount) if s.by == "make" else menstruum.cut(spirit, to, spirit=amount)
        strong = strong_kitchen = float(cut.spirit.magnitude)
        thin, thin_kitchen = float(cut.water.magnitude), float(cut.water_by_kitchen_rule.magnitude)
        makes = float(cut.makes.magnitude)
    else:
        blend = menstruum.blend(spirit, Q(float(s.other), "percent_vol"), to, amount)
        strong, strong_kitchen = float(blend.strong.magnitude), float(blend.strong_by_kitchen_rule.magnitude)
        thin, thin_kitchen = float(blend.weak.magnitude), float(blend.weak_by_kitchen_rule.magnitude)
        makes = s.amount
        if s.by == "spirit":
            if strong <= 1e-9:
                raise Impossible(
                    f"What it is thinned with already has {s.to:g} % vol, so none of the strong spirit is needed. "
                    "Wish for a higher strength, or take it as it is."
                )
            more, more_kitchen = s.amount / strong, s.amount / strong_kitchen
            strong, strong_kitchen, thin = s.amount, s.amount, thin * more
            thin_kitchen, makes = thin_kitchen * more_kitchen, makes * more
    really = ethanol.mix(Q([strong_kitchen, thin_kitchen], "mL"), Q([s.spirit, s.other], "percent_vol"))
    return Jug(
        strong=strong,
        strong_kitchen=strong_kitchen,
        thin=thin,
        thin_kitchen=thin_kitchen,
        makes=makes,
        shrinks=strong + thin - makes,
        stops_at=float(really.volume.magnitude),
        stops_strength=float(really.strength.magnitude),
    )


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One jug: what to pour, how much really goes in, and how much the two shrink together."""
    it = sums(setting)
    say, pair = view.say, view.pair
    water = setting.other <= 0
    thin = "water" if water else f"{setting.other:g} % vol"
    if setting.by == "make":
        given = f"{say(it.makes, 'mL')} of {setting.to:g} % vol is wanted, from {setting.spirit:g} % vol and {thin}."
    else:
        have = f"{say(setting.amount, 'mL')} of {setting.spirit:g} % vol"
        given = f"{have} is to come down to {setting.to:g} % vol with {thin}."
    first, second = view.first(it.thin_kitchen, it.thin), view.first(it.thin, it.thin_kitchen)
    one, two = ("By the kitchen rule", "measured") if view.rule == "kitchen" else ("Measured", "by the kitchen rule")
    gap = abs(it.thin - it.thin_kitchen)
    pour = view.first(it.strong_kitchen, it.strong)
    line = f"top up with {thin} to the line at {say(it.makes, 'mL')}" if water else f"add the {thin}"
    sentence = (
        f"{given} Pour {say(pour, 'mL')} of the strong spirit and {line}. {one} that takes {say(first, 'mL')} of "
        f"{thin}, {two} {say(second, 'mL')}: {say(gap, 'mL')} apart, because alcohol and water nestle together and "
        f"shrink by {say(it.shrinks, 'mL')}. The kitchen amounts really make {say(it.stops_at, 'mL')} of "
        f"{it.stops_strength:.1f} % vol."
    )
    head = "Water" if water else f"The {thin}"
    numbers = (
        Number("Strong spirit", *pair(pour, "mL"), pour, "mL"),
        Number(head, pair(first, "mL")[0], f"{view.other()} {pair(second, 'mL')[0]}", first, "mL"),
        Number("Makes", *pair(it.makes, "mL"), it.makes, "mL"),
        Number("Shrinks by", *pair(it.shrinks, "mL"), it.shrinks, "mL"),
    )
    on_scale = it.strong * float(ethanol.density(Q(float(setting.spirit), "percent_vol")).magnitude) / 1000
    table = (
        ("", "kitchen rule", "measured"),
        ("strong spirit", say(it.strong_kitchen, "mL"), say(it.strong, "mL")),
        (thin, say(it.thin_kitchen, "mL"), say(it.thin, "mL")),
        ("together in the jug", say(it.stops_at, "mL"), say(it.makes, "mL")),
        ("strength in the jug", f"{it.stops_strength:.1f} % vol", f"{setting.to:g} % vol"),
        ("the spirit on a scale", "", say(on_scale, "g")),
    )
    alt = (
        f"Three bars to one scale: {say(it.strong, 'mL')} of {setting.spirit:g} % vol; {say(it.thin, 'mL')} of "
        f"{thin}; and what they make, {say(it.makes, 'mL')}, shorter by {say(it.shrinks, 'mL')} than the two laid "
        "end to end. Beside them a curve of the shrink against the strength made; the mark stands at "
        f"{setting.to:g} % vol and {1000 * it.shrinks / it.makes:.0f} mL in each litre."
    )
    return Look(
        sentence=sentence,
        numbers=numbers,
        alt=alt,
        table=table,
        draw=lambda board: _draw(board, setting, it, view, answer=True),
        before=lambda board: _draw(board, setting, it, view, answer=False),
        given=given,
        caution=caution(setting.spirit, rules.shelf),
    )


def _draw(board: Any, s: Setting, it: Jug, view: View, answer: bool) -> None:
    """The two liquids, what they make of each other, and beside them how much other mixtures shrink."""
    left, right = halves(board, 0.56)
    full = board.scale("bars", it.strong + it.thin, it.strong + it.thin)
    step = left.h / 3

    def place(n: int) -> Place:
        return Place(left.x, left.y + left.h - step * (n + 1) + 6, left.w, step - 6)

    def volume(mL: float) -> str:
        return view.pair(mL, "mL")[0]

    def parts(mL: float, strength: float) -> list[Part]:
        alcohol = mL * strength / 100
        return [Part("alcohol", alcohol, "alcohol"), Part("water", mL - alcohol, "water")]

    thin = "water" if s.other <= 0 else f"{s.other:g} % vol"
    known = answer or s.by == "spirit"
    stack(
        board, "strong", place(0), parts(it.strong, s.spirit) if known else [], full,
        f"{s.spirit:g} % vol: {volume(it.strong) if known else '? mL'}",
    )  # fmt: skip
    stack(
        board, "thin", place(1), parts(it.thin, s.other) if answer else [], full,
        f"{thin}: {volume(it.thin) if answer else '? mL'}",
    )  # fmt: skip
    known = answer or s.by == "make"
    stack(
        board, "makes", place(2), parts(it.makes, s.to) if known else [], full,
        f"makes {volume(it.makes) if known else '? mL'} of {s.to:g} % vol",
    )  # fmt: skip
    if answer:
        # What the two would fill if volumes added up.
        made, laid = (left.x + left.w * v / full for v in (it.makes, it.strong + it.thin))
        middle = left.y + 6 + (step - 6 - board.size * 1.5) / 2
        board.line("gap", [made, laid], [middle, middle], ink="limit", width=3)
    if board.narrow:
        return
    if not answer:
        board.words("?", right.x + right.w / 2, right.y + right.h / 2, "? mL", size=board.size * 2.2, bold=True)
        return
    made = np.linspace(max(s.other, 1.0), s.spirit, 40)
    shrink = _shrink(s, made)
    top = max(10.0, 10.0 * np.ceil(float(shrink.max()) / 10))
    chart = Chart(
        board,
        "chart",
        right,
        (0.0, 100.0, "% vol made"),
        (0.0, top, "shrink, mL in each litre"),
        [(v, f"{v}") for v in (0, 25, 50, 75, 100)],
        [(v, f"{v:g}") for v in (0.0, top / 2, top)],
    )
    chart.curve("curve", made, shrink)
    here = 1000 * it.shrinks / it.makes
    chart.mark("now", s.to, here, f"{here:.0f} mL")


def _shrink(s: Setting, made: Any) -> Any:
    """How much a litre of each strength has shrunk, mL."""
    spirit, litre = Q(float(s.spirit), "percent_vol"), Q(1000.0, "mL")
    if s.other <= 0:
        return menstruum.cut(spirit, Q(made, "percent_vol"), make=litre).contraction.magnitude
    blend = menstruum.blend(spirit, Q(float(s.other), "percent_vol"), Q(made, "percent_vol"), litre)
    return (blend.strong + blend.weak - blend.makes).to("mL").magnitude
