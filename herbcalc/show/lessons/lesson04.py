"""Floor 5. Lesson 4: cutting strong spirit. The alcohol stays the same, and more water goes in than one thinks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from herbcalc import ethanol, menstruum
from herbcalc.menstruum import WayOut
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, caution, lights
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.look import MOST_LIQUID, Look, Number, View, dial, pick
from herbcalc.show.words import apart, vol
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible

LESSON = 4
TITLE = "Cutting strong spirit"
CAUTION = FOOD_GRADE


@dataclass(frozen=True)
class Setting:
    """A cut or a blend. Strengths in % vol, volumes in mL at 20 °C."""

    spirit: float = dial(
        95, "percent_vol", low=5, high=96, step=0.5, label="Strong spirit", batch="spirit", stops="shelf"
    )
    to: float = dial(50, "percent_vol", low=5, high=96, step=0.5, label="Wanted strength", batch="cut_to")
    by: str = pick(
        "make",
        {"make": "how much it makes", "spirit": "how much spirit there is", "each": "how much of each goes together"},
        label="The amount says",
    )
    amount: float = dial(1000, "mL", low=50, high=4000, step=10, label="Amount", most=MOST_LIQUID)
    other: float = dial(
        0, "percent_vol", low=0, high=80, step=0.5, label="Thinned with, 0 = water", stops=(0, 40, 50)
    )


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting: as much of each as of the other gives what it gives."""
    every = {"spirit", "by", "amount", "other"}
    return every if setting.by == "each" else every | {"to"}


class Poured(NamedTuple):
    """What goes together, each measured and by the kitchen rule, mL."""

    strong: float
    strong_kitchen: float
    thin: float
    thin_kitchen: float


@dataclass(frozen=True)
class Jug:
    """The sums of one setting: mL, and % vol where it says so. `thin` is the water or the weaker spirit."""

    strong: float
    strong_kitchen: float
    thin: float
    thin_kitchen: float
    makes: float
    makes_kitchen: float
    shrinks: float
    stops_at: float  # what the kitchen rule's amounts really make
    stops_strength: float


def sums(s: Setting, strongest: float) -> Jug:
    """Everything that the sentence, the numbers and the picture are made from. Refuses what cannot be had.

    `strongest` is the strongest spirit that can be bought nearby, % vol, for the ways out of a refusal.
    """
    each = Poured(s.amount, s.amount, s.amount, s.amount)
    it = each if s.by == "each" else _cut(s, strongest) if s.other <= 0 else _blend(s)
    volumes, strengths = Q([it.strong_kitchen, it.thin_kitchen], "mL"), Q([s.spirit, s.other], "percent_vol")
    really = ethanol.mix(volumes, strengths)
    stops_at = float(really.volume.magnitude)
    if s.by == "each":
        makes = makes_kitchen = stops_at
    elif s.by == "make":
        makes = makes_kitchen = s.amount
    else:  # all the alcohol is in what is made
        makes, makes_kitchen = (
            (strong * s.spirit + thin * s.other) / s.to
            for strong, thin in ((it.strong, it.thin), (it.strong_kitchen, it.thin_kitchen))
        )
    return Jug(
        **it._asdict(),
        makes=makes,
        makes_kitchen=makes_kitchen,
        shrinks=it.strong + it.thin - makes,
        stops_at=stops_at,
        stops_strength=float(really.strength.magnitude),
    )


def _cut(s: Setting, strongest: float) -> Poured:
    """Spirit and water."""
    spirit, to, amount = Q(float(s.spirit), "percent_vol"), Q(float(s.to), "percent_vol"), Q(float(s.amount), "mL")
    try:
        cut = menstruum.cut(spirit, to, make=amount) if s.by == "make" else menstruum.cut(spirit, to, spirit=amount)
    except Impossible as refusal:
        raise Impossible(str(refusal), _stronger(s, strongest)) from None
    strong = float(cut.spirit.magnitude)
    return Poured(strong, strong, float(cut.water.magnitude), float(cut.water_by_kitchen_rule.magnitude))


def _stronger(s: Setting, strongest: float) -> list[WayOut]:
    """What lifts a spirit that is too weak, with what can be bought nearby; by the kitchen rule."""
    start = f"Start from a spirit of {s.to:.3g} % vol or more."
    if strongest <= s.to + SLACK:
        start += f" No shelf here has more than {strongest:g} % vol, though."
    ways = [WayOut("strength", Q(float(s.to), "percent_vol"), start)]
    if strongest > s.to + SLACK:
        share = (s.to - s.spirit) / (strongest - s.spirit)  # of the stronger one in the mixture
        own = s.amount if s.by == "spirit" else s.amount * (1 - share)
        view, more = View(), own * share / (1 - share)
        text = (
            f"Add {view.safe(more, 'mL', 'up')} of {strongest:g} % vol to {view.say(own, 'mL')} of the "
            f"{s.spirit:.3g} % vol. No flame near it: {lights(strongest)}."
        )
        ways.insert(0, WayOut("add", Q(more, "mL"), text))
    return ways


def _blend(s: Setting) -> Poured:
    """The strong and the weaker spirit."""
    strengths = (Q(float(n), "percent_vol") for n in (s.spirit, s.other, s.to))
    it = menstruum.blend(*strengths, Q(float(s.amount), "mL"))
    strong, strong_kitchen = float(it.strong.magnitude), float(it.strong_by_kitchen_rule.magnitude)
    thin, thin_kitchen = float(it.weak.magnitude), float(it.weak_by_kitchen_rule.magnitude)
    if s.by == "make":
        return Poured(strong, strong_kitchen, thin, thin_kitchen)
    if strong <= SLACK:
        raise Impossible(
            f"What it is thinned with already has {s.to:.3g} % vol, so none of the strong spirit is needed. "
            "Wish for a higher strength, or take it as it is."
        )
    return Poured(s.amount, s.amount, thin * s.amount / strong, thin_kitchen * s.amount / strong_kitchen)


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One jug: what to pour, how much really goes in, and how much the two shrink together."""
    it = sums(setting, max(rules.shelf))
    say, thin = view.say, _thin(setting)
    on_scale = it.strong * float(ethanol.density(Q(float(setting.spirit), "percent_vol")).magnitude) / 1000
    each = setting.by == "each"
    strength = it.stops_strength if each else setting.to
    # What the rule makes of as much of each; else what its amounts really make, when they are not topped up.
    by_rule = (2 * setting.amount, (setting.spirit + setting.other) / 2) if each else (it.stops_at, it.stops_strength)
    table = (
        ("", "kitchen rule", "measured"),
        ("strong spirit", say(it.strong_kitchen, "mL"), say(it.strong, "mL")),
        (thin, say(it.thin_kitchen, "mL"), say(it.thin, "mL")),
        ("together in the jug", say(by_rule[0], "mL"), say(it.makes, "mL")),
        ("strength in the jug", vol(by_rule[1]), vol(strength)),
        ("the spirit on a scale", "", say(on_scale, "g")),
    )
    alt = (
        f"Three bars to one scale: {say(it.strong, 'mL')} of {setting.spirit:.3g} % vol; {say(it.thin, 'mL')} of "
        f"{thin}, with a mark where the kitchen rule would stop; and what they make, {say(it.makes, 'mL')}, shorter "
        f"by {say(it.shrinks, 'mL')} than the two laid end to end. Beside them a curve of the shrink against the "
        f"strength made; the mark stands at {vol(strength)} and {_share(it):.1f} %."
    )
    return Look(
        sentence=_sentence(setting, it, view),
        numbers=_numbers(setting, it, view),
        alt=alt,
        table=table,
        left=lambda board, place, answer: _bars(board, place, setting, it, view, answer),
        right=lambda board, place: _curve(board, place, setting, it),
        share=0.6,
        given=_given(setting, view),
        short=_short(setting, view),
        caution=caution(max(setting.spirit, setting.other), rules.shelf),
    )


def _thin(s: Setting) -> str:
    return "water" if s.other <= 0 else f"{s.other:.3g} % vol"


def _share(it: Jug) -> float:
    """How much less there is than was poured, in % of what there is."""
    return 100 * it.shrinks / it.makes


def _given(s: Setting, view: View) -> str:
    amount, thin = view.say(s.amount, "mL"), _thin(s)
    return {
        "make": f"{amount} of {s.to:.3g} % vol is wanted, from {s.spirit:.3g} % vol and {thin}.",
        "spirit": f"{amount} of {s.spirit:.3g} % vol is to come down to {s.to:.3g} % vol with {thin}.",
        "each": f"{amount} of {s.spirit:.3g} % vol and as much {thin} go together.",
    }[s.by]


def _short(s: Setting, view: View) -> str:
    amount, thin = view.say(s.amount, "mL"), _thin(s)
    return {
        "make": f"{amount} of {s.to:.3g} % vol, from {s.spirit:.3g} % vol and {thin}",
        "spirit": f"{amount} of {s.spirit:.3g} % vol, down to {s.to:.3g} % vol with {thin}",
        "each": f"{amount} of {s.spirit:.3g} % vol and as much {thin}",
    }[s.by]


def _sentence(s: Setting, it: Jug, view: View) -> str:
    """What is poured by both rules, and where the shrink shows."""
    say, thin = view.say, _thin(s)
    one, two = view.by()
    one = one.capitalize()
    first, second = view.first(it.thin_kitchen, it.thin), view.first(it.thin, it.thin_kitchen)
    shrinks = say(it.shrinks, "mL")
    if s.by == "each":
        sum_ = (s.spirit + s.other) / 2
        ends = view.first(sum_, it.stops_strength), view.first(it.stops_strength, sum_)
        return (
            f"{_given(s, view)} Together they are {say(it.makes, 'mL')}, {shrinks} less than was poured, because "
            f"alcohol and water nestle together. {one} it has {vol(ends[0])}, {two} {vol(ends[1])}, "
            f"{apart(sum_, it.stops_strength)}."
        )
    really = f"The kitchen amounts, not topped up, really make {say(it.stops_at, 'mL')} of {vol(it.stops_strength)}."
    pour = view.first(it.strong_kitchen, it.strong)
    if s.other <= 0:
        return (
            f"{_given(s, view)} Pour {say(pour, 'mL')} of the strong spirit and top up with water to the line at "
            f"{say(it.makes, 'mL')}. {one} that takes {say(first, 'mL')} of water, {two} {say(second, 'mL')}. The "
            f"{say(abs(it.thin - it.thin_kitchen), 'mL')} between the two is the room that alcohol and water lose as "
            f"they nestle together. {really}"
        )
    other = view.first(it.strong, it.strong_kitchen)
    return (
        f"{_given(s, view)} {one} that takes {say(pour, 'mL')} of the strong one and {say(first, 'mL')} of the "
        f"{thin}, {two} {say(other, 'mL')} and {say(second, 'mL')}. Poured together they shrink by "
        f"{shrinks}. {really}"
    )


def _numbers(s: Setting, it: Jug, view: View) -> tuple[Number, ...]:
    """What can be asked for; where the two rules differ, both."""

    def both(key: str, label: str, kitchen: float, measured: float, ask: str) -> Number:
        first, second = view.first(kitchen, measured), view.first(measured, kitchen)
        if abs(kitchen - measured) < SLACK:
            return view.number(key, label, first, "mL", ask)
        value, other = (view.pair(n, "mL")[0] for n in (first, second))
        return Number(label, value, f"{view.other()} {other}", first, "mL", key, ask, second)

    thin = _thin(s)
    label = "Water" if s.other <= 0 else f"The {thin}"
    if s.by == "each":
        sum_ = (s.spirit + s.other) / 2
        first, second = view.first(sum_, it.stops_strength), view.first(it.stops_strength, sum_)
        really = Number(
            "At the end", vol(first), f"{view.other()} {second:.1f}", first, "percent_vol", "really",
            "how strong is it together?", second,
        )  # fmt: skip
    else:
        really = Number(
            "Not topped up", vol(it.stops_strength), view.say(it.stops_at, "mL"), it.stops_strength, "percent_vol",
            "really", "how strong is it, measured out by the kitchen rule and not topped up?",
        )  # fmt: skip
    return (
        both("strong", "Strong spirit", it.strong_kitchen, it.strong, "how much of the strong spirit goes in?"),
        both(
            "thin",
            label,
            it.thin_kitchen,
            it.thin,
            f"how much {'water' if s.other <= 0 else f'of the {thin}'} goes in?",
        ),
        both("makes", "Makes", it.makes_kitchen, it.makes, "how much is it together?"),
        view.number("shrinks", "Shrinks by", it.shrinks, "mL", "how much less is it than was poured?"),
        really,
    )


def _bars(board: Board, place: Place, s: Setting, it: Jug, view: View, answer: bool) -> None:
    """The two liquids, to one scale, and what they make of each other; before the guess only what is given."""

    def parts(mL: float, strength: float) -> list[Part]:
        alcohol = mL * strength / 100
        return [Part("alcohol", alcohol, "alcohol"), Part("water", mL - alcohol, "water")]

    given = {"make": ("makes",), "spirit": ("strong",), "each": ("strong", "thin")}[s.by]
    # Before the guess the scale is that of what is given: beside what is asked it would give it away.
    full = it.strong + it.thin if answer else s.amount * len(given)
    full = board.scale("bars", full, full)
    bars = (
        ("strong", it.strong, it.strong_kitchen, s.spirit, f"{s.spirit:.3g} % vol:", ""),
        ("thin", it.thin, it.thin_kitchen, s.other, f"{_thin(s)}:", ""),
        (
            "makes",
            it.makes,
            it.makes_kitchen,
            it.stops_strength if s.by == "each" else s.to,
            "makes",
            " of {:.3g} % vol",
        ),
    )
    for (key, mL, kitchen, strength, name, of), where in zip(bars, rows(place, 3), strict=True):
        known = answer or key in given
        of = of.format(strength) if answer or s.by != "each" else ""
        words = _title(board, place, name, of, kitchen, mL, view) if known else f"{name} {view.asked('mL')}{of}"
        stack(board, key, where, parts(mL, strength) if known else [], full, words)
    if answer:
        _marks(board, place, it, full)


def _title(board: Board, place: Place, name: str, of: str, kitchen: float, measured: float, view: View) -> str:
    """What a bar is and how much, by the first rule; by the other too where there is room."""
    first, second = (view.pair(n, "mL")[0] for n in (view.first(kitchen, measured), view.first(measured, kitchen)))
    short = f"{name} {first}"
    long = f"{short}{of}" if first == second else f"{short}, {view.other()} {second}"
    return long if board.wide(long) < 1.05 * place.w + board.size else short


def _marks(board: Board, place: Place, it: Jug, full: float) -> None:
    """Where the kitchen rule would stop, and what the two would fill if volumes added up."""
    _, thin, makes = rows(place, 3)
    title = board.size * 1.5
    if abs(it.thin - it.thin_kitchen) > SLACK:
        stops = [place.x + place.w * it.thin_kitchen / full] * 2
        board.line("stops", stops, [thin.y - 3, thin.y + thin.h - title + 3], ink="limit", width=2.6, dash=(4, 2))
    made, laid = (place.x + place.w * mL / full for mL in (it.makes, it.strong + it.thin))
    middle = makes.y + (makes.h - title) / 2
    board.line("gap", [made, laid], [middle, middle], ink="limit", width=3)


def _curve(board: Board, place: Place, s: Setting, it: Jug) -> None:
    """How much other mixtures of the same two shrink."""
    low, high = sorted((s.other, s.spirit))
    made = np.linspace(max(low, 1.0), high, 40)
    shrink = _shrink(s, made)
    top = max(1.0, float(np.ceil(shrink.max())))
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, 100.0, "% vol made"),
        (0.0, top, "shrink, in %"),
        [(v, f"{v}") for v in (0, 50, 100)],
        [(v, f"{v:g}") for v in (0.0, top / 2, top)],
    )
    chart.curve("curve", made, shrink)
    chart.mark("now", it.stops_strength if s.by == "each" else s.to, _share(it), f"{_share(it):.1f} %")


def _shrink(s: Setting, made: Any) -> Any:
    """How much mixtures of each strength have shrunk, in % of what they make."""
    spirit, whole = Q(float(s.spirit), "percent_vol"), Q(100.0, "mL")
    if s.other <= 0:
        return menstruum.cut(spirit, Q(made, "percent_vol"), make=whole).contraction.magnitude
    blend = menstruum.blend(spirit, Q(float(s.other), "percent_vol"), Q(made, "percent_vol"), whole)
    return (blend.strong + blend.weak - blend.makes).to("mL").magnitude
