"""Floor 5. Lesson 3: what the air takes. The solids stay, the water leaves, and the scale says when to stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from herbcalc import moisture
from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.look import MOST_HERB, Look, Number, View, dial
from herbcalc.units import Q
from herbcalc.units.constants import SLACK

LESSON = 3
BOTH_RULES = False
TITLE = "What the air takes"
CAUTION = (
    "A closed attic, glasshouse or car in the sun easily passes 49 °C (120 °F): measure first, and never dry "
    "anything there that is wet with alcohol."
)

MOULDS = 13.0  # % water over which a closed jar of herb moulds; common practice, no source


@dataclass(frozen=True)
class Setting:
    """A basket on its way to dry. Weights in g, moistures in % of the plant as weighed."""

    fresh: float = dial(1000, "g", low=50, high=2000, step=10, label="Fresh plant", most=MOST_HERB)
    water: float = dial(80, "percent_wb", low=10, high=99, step=1, label="Its water when fresh", batch="water")
    now: float = dial(50, "percent_wb", low=2, high=99, step=1, label="Its water now")
    target: float = dial(10, "percent_wb", low=3, high=15, step=0.5, label="Counts as dry at", batch="dried_to")


@dataclass(frozen=True)
class Basket:
    """The sums of one setting, all in g but for the ratio."""

    solids: float
    weighs: float
    lost: float
    water_at_first: float
    water_now: float
    stop: float
    stop_between: tuple[float, float]
    ratio: float


def sums(s: Setting, off: float) -> Basket:
    """Everything that sentence, numbers and picture are made from; a sample is `off` by so many points."""
    fresh, water, target = Q(float(s.fresh), "g"), Q(float(s.water), "percent_wb"), Q(float(s.target), "percent_wb")
    weighs = float(moisture.dried_weight(fresh, water, Q(float(s.now), "percent_wb")).magnitude)
    solids = s.fresh * (100 - s.water) / 100
    wetter, drier = min(s.water + off, 99.5), max(s.water - off, s.target)
    return Basket(
        solids=solids,
        weighs=weighs,
        lost=s.fresh - weighs,
        water_at_first=s.fresh - solids,
        water_now=weighs - solids,
        stop=float(moisture.dried_weight(fresh, water, target).magnitude),
        stop_between=(
            float(moisture.dried_weight(fresh, Q(wetter, "percent_wb"), target).magnitude),
            float(moisture.dried_weight(fresh, Q(drier, "percent_wb"), target).magnitude),
        ),
        ratio=float(moisture.drying_ratio(water, target)),
    )


class Words(NamedTuple):
    """What a basket's goal is called, and the two weights that are told again and again, in words.

    Over the house figure nothing is called dry. `way` is how the weight of now is rounded: where it is the weight to
    stop at, to the safe side.
    """

    goal: str
    dry: bool
    way: str
    weighs: str
    stop: str


def words(s: Setting, it: Basket, rules: Rules, view: View) -> Words:
    """The words for one setting under the house rules."""
    dry = s.target <= rules.dried_to + SLACK
    way = "down" if s.now == s.target else "near"
    return Words(
        goal="dry" if dry else f"at {s.target:.3g} %",
        dry=dry,
        way=way,
        weighs=view.safe(it.weighs, "g", way),
        stop=view.safe(it.stop, "g", "down"),
    )


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One basket: what it weighs now, what has left, and the weight at which to stop."""
    it = sums(setting, rules.moisture_off)
    told, say = words(setting, it, rules, view), view.say
    given = (
        f"{say(setting.fresh, 'g')} of plant with {setting.water:.3g} % water dries until {setting.now:.3g} % of "
        "what is left is water."
    )
    done = (
        f"Stop when it weighs {told.stop}, which is {setting.target:.3g} % water: it is dry if two days agree there, "
        "the leaf crumbles and the stem snaps."
        if told.dry
        else f"{told.goal.capitalize()} water it would weigh {told.stop}, and by your house rule of "
        f"{rules.dried_to:g} % that is not dry yet: dry it on."
    )
    sentence = (
        f"{given} Then it weighs {told.weighs}: {say(it.lost, 'g')} of water has gone, "
        f"{100 * it.lost / it.water_at_first:.0f} % of all its water, and the {say(it.solids, 'g')} of solids are "
        f"still there. {done}"
    )
    alt = (
        f"Three bars to one scale. Fresh, {say(setting.fresh, 'g')}: {say(it.solids, 'g')} solids and "
        f"{say(it.water_at_first, 'g')} water. Now, {told.weighs}: the same solids and "
        f"{say(it.water_now, 'g')} water. {told.goal.capitalize()}, {told.stop}. Beside them a curve of the weight "
        f"against % water, which falls steeply at first and comes near the solids; the mark stands at "
        f"{setting.now:.3g} % water and {told.weighs}."
    )
    moulds = (
        f"At {setting.now:.3g} % water it still moulds in a closed jar (anything over {MOULDS:g} % does, common "
        "practice): dry it on."
    )
    return Look(
        sentence=sentence,
        numbers=_numbers(setting, it, told, view),
        alt=alt,
        table=_table(setting, it, told, rules, view),
        left=lambda board, place, answer: _bars(board, place, setting, it, told.goal, view, answer),
        right=lambda board, place: _curve(board, place, setting, it, view),
        share=0.54,
        given=given,
        short=f"{say(setting.fresh, 'g')} at {setting.water:.3g} % water, dried to {setting.now:.3g} %",
        caution=moulds if setting.now > MOULDS else "",
    )


def _numbers(s: Setting, it: Basket, told: Words, view: View) -> tuple[Number, ...]:
    number, more = view.number, max(it.weighs - it.stop, 0.0)
    stop, wet = "Stop at" if told.dry else told.goal.capitalize(), f"{s.target:.3g} % water"
    return (
        number("weighs", "Weighs now", it.weighs, "g", "what does it weigh?", round=told.way),
        number("gone", "Water gone", it.lost, "g", "how much water has gone?"),
        number("solids", "Solids, as ever", it.solids, "g", "how much of it is solids?"),
        number("stop", stop, it.stop, "g", f"at what weight has it {wet}?", round="down"),
        number("more", "Still to lose", more, "g", f"how much more must it lose to be {told.goal}?"),
    )


def _table(s: Setting, it: Basket, told: Words, rules: Rules, view: View) -> tuple[tuple[str, ...], ...]:
    say, (low, high) = view.say, it.stop_between
    whose = "common practice" if rules.moisture_off == Rules.moisture_off else "your house rule"
    off = f"{told.goal}, if the sample was {rules.moisture_off:g} points off ({whose})"
    return (
        ("", "weight", "solids", "water"),
        ("fresh", say(s.fresh, "g"), say(it.solids, "g"), say(it.water_at_first, "g")),
        ("now", told.weighs, say(it.solids, "g"), say(it.water_now, "g")),
        (told.goal, told.stop, say(it.solids, "g"), say(it.stop - it.solids, "g")),
        (f"fresh, against {told.goal}", f"{it.ratio:.3g} to 1", "", ""),
        (off, f"{say(low, 'g')} to {say(high, 'g')}", "", ""),
        ("kitchen rule, measured", "the same: weights simply add up", "", ""),
    )


def _bars(board: Board, place: Place, s: Setting, it: Basket, goal: str, view: View, answer: bool) -> None:
    """The basket fresh, now and at its goal, to one scale."""

    def weight(grams: float) -> str:
        return view.pair(grams, "g")[0]

    full = board.scale("bars", s.fresh, s.fresh)
    bars = [("fresh", f"fresh, {s.water:.3g} % water: {weight(s.fresh)}", it.water_at_first)]
    if answer:
        bars.append(("now", f"now, {s.now:.3g} % water: {weight(it.weighs)}", it.water_now))
        named = f"dry, {s.target:.3g} %" if goal == "dry" else goal
        dry = f"{named}: at most {view.pair(it.stop, 'g', 'down')[0]}"
        bars.append(("dry", dry, it.stop - it.solids))
    else:
        bars.append(("ask", f"now, {s.now:.3g} % water: {view.asked('g')}", 0.0))
    for (key, title, water), where in zip(bars, rows(place, 3), strict=False):
        parts = [Part("solids", it.solids, "solids"), Part("water", water, "water")] if key != "ask" else []
        stack(board, key, where, parts, full, title)


def _curve(board: Board, place: Place, s: Setting, it: Basket, view: View) -> None:
    """The weight against the moisture: steep at first, then flat over the solids."""
    top = view.pair(s.fresh, "g")[0]
    chart = Chart(
        board,
        "chart",
        place,
        (s.water, 0.0, "% water"),
        (0.0, s.fresh, "weight"),
        [(v, f"{v:.0f}") for v in np.linspace(s.water, 0, 5)],
        [(0.0, "0"), (s.fresh, top)],
    )
    waters = s.water * (1 - np.linspace(0, 1, 60) ** 2)
    chart.curve("curve", waters, it.solids * 100 / (100 - waters))
    chart.level("solids", it.solids, "" if board.narrow else "solids", ink="quiet", above=it.solids < 0.8 * s.fresh)
    chart.mark("now", s.now, it.weighs, view.pair(it.weighs, "g")[0], ink="water", above=True)
