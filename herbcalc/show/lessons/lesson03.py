"""Floor 5. Lesson 3: what the air takes. The solids stay, the water leaves, and the scale says when to stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import moisture
from herbcalc.rules import Rules
from herbcalc.show.draw.shapes import Chart, Part, Place, halves, stack
from herbcalc.show.look import Look, Number, View, dial, scenes
from herbcalc.units import Q

LESSON = 3
BOTH_RULES = False
TITLE = "What the air takes"
QUESTION = "1000 g (35 oz) of leaf dries from 80 % water to 50 %. What does it weigh then?"
GUESSES = ("about 700 g (25 oz)", "about 600 g (21 oz)", "500 g (18 oz)", "about 400 g (14 oz)")
CAUTION = (
    "A closed attic, glasshouse or car in the sun easily passes 49 °C (120 °F): measure first, and never dry "
    "anything there that is wet with alcohol."
)

MOULDS = 13.0  # % water over which a closed jar of herb moulds; common practice, no source
DOUBT = 2.0  # points by which a sampled moisture is easily off; common practice, no source


@dataclass(frozen=True)
class Setting:
    """A basket on its way to dry. Weights in g, moistures in % of the plant as weighed."""

    fresh: float = dial(1000, "g", low=50, high=2000, step=10, label="Fresh plant")
    water: float = dial(80, "percent_wb", low=10, high=99, step=1, label="Its water when fresh", batch="water")
    now: float = dial(50, "percent_wb", low=2, high=99, step=1, label="Its water now")
    target: float = dial(10, "percent_wb", low=5, high=15, step=0.5, label="Dry means water of", batch="dried_to")


SCENES = scenes("lesson03", Setting)


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


def sums(s: Setting) -> Basket:
    """Everything that the sentence, the numbers and the picture are made from."""
    fresh, water, target = Q(float(s.fresh), "g"), Q(float(s.water), "percent_wb"), Q(float(s.target), "percent_wb")
    weighs = float(moisture.dried_weight(fresh, water, Q(float(s.now), "percent_wb")).magnitude)
    solids = s.fresh * (100 - s.water) / 100
    wetter, drier = min(s.water + DOUBT, 99.5), max(s.water - DOUBT, s.target)
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


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One basket: what it weighs now, what has left, and the weight at which to stop."""
    it = sums(setting)
    say, pair = view.say, view.pair
    share = 100 * it.lost / it.water_at_first
    given = (
        f"{say(setting.fresh, 'g')} of plant with {setting.water:g} % water dries until {setting.now:g} % of what is "
        "left is water."
    )
    stop = say(it.stop, "g", round="down")
    done = "That is dry: stop here."
    if setting.now != setting.target:
        done = f"At {setting.target:g} % water it is dry: stop when it weighs {stop}."
    sentence = (
        f"{given} Then it weighs {say(it.weighs, 'g')}: {say(it.lost, 'g')} of water has gone, {share:.0f} % of all "
        f"its water, and the {say(it.solids, 'g')} of solids are still there. {done}"
    )
    numbers = (
        Number("Weighs now", *pair(it.weighs, "g"), it.weighs, "g"),
        Number("Water gone", *pair(it.lost, "g"), it.lost, "g"),
        Number("Solids, as ever", *pair(it.solids, "g"), it.solids, "g"),
        Number("Stop at", *pair(it.stop, "g", round="down"), it.stop, "g"),
    )
    low, high = it.stop_between
    table = (
        ("", "weight", "solids", "water"),
        ("fresh", say(setting.fresh, "g"), say(it.solids, "g"), say(it.water_at_first, "g")),
        ("now", say(it.weighs, "g"), say(it.solids, "g"), say(it.water_now, "g")),
        ("dry", say(it.stop, "g"), say(it.solids, "g"), say(it.stop - it.solids, "g")),
        ("fresh to dry", f"{it.ratio:.3g} to 1", "", ""),
        (f"dry, if the sample was {DOUBT:g} points off", f"{say(low, 'g')} to {say(high, 'g')}", "", ""),
        ("kitchen rule, measured", "the same: weights simply add up", "", ""),
    )
    alt = (
        f"Three bars to one scale. Fresh, {say(setting.fresh, 'g')}: {say(it.solids, 'g')} solids and "
        f"{say(it.water_at_first, 'g')} water. Now, {say(it.weighs, 'g')}: the same solids and "
        f"{say(it.water_now, 'g')} water. Dry, {stop}. Beside them a curve of the weight against % water, which "
        f"falls steeply at first and comes near the solids; the mark stands at {setting.now:g} % water and "
        f"{say(it.weighs, 'g')}."
    )
    caution = ""
    if setting.now > MOULDS:
        caution = f"At {setting.now:g} % water it still moulds in a closed jar: dry it on."
    return Look(
        sentence=sentence,
        numbers=numbers,
        alt=alt,
        table=table,
        draw=lambda board: _draw(board, setting, it, view, answer=True),
        before=lambda board: _draw(board, setting, it, view, answer=False),
        given=given,
        caution=caution,
    )


def _draw(board: Any, s: Setting, it: Basket, view: View, answer: bool) -> None:
    """Three bars to one scale, and beside them the weight against the moisture."""
    left, right = halves(board, 0.54)

    def weight(grams: float) -> str:
        return view.pair(grams, "g")[0]

    full = board.scale("bars", s.fresh, s.fresh)
    rows = [("fresh", f"fresh, {s.water:g} % water: {weight(s.fresh)}", it.water_at_first)]
    if answer:
        rows.append(("now", f"now, {s.now:g} % water: {weight(it.weighs)}", it.water_now))
        rows.append(("dry", f"dry, {s.target:g} % water: {weight(it.stop)}", it.stop - it.solids))
    else:
        rows.append(("ask", f"now, {s.now:g} % water: ? g", -it.solids))
    step = left.h / 3
    for n, (key, title, water) in enumerate(rows):
        parts = [Part("solids", it.solids, "solids"), Part("water", water, "water")] if key != "ask" else []
        stack(board, key, Place(left.x, left.y + left.h - step * (n + 1) + 6, left.w, step - 6), parts, full, title)
    if board.narrow:
        return
    if not answer:
        board.words("?", right.x + right.w / 2, right.y + right.h / 2, "? g", size=board.size * 2.2, bold=True)
        return
    top = view.pair(s.fresh, "g")[0]
    chart = Chart(
        board,
        "chart",
        right,
        (s.water, 0.0, "% water"),
        (0.0, s.fresh, "weight"),
        [(v, f"{v:.0f}") for v in np.linspace(s.water, 0, 5)],
        [(0.0, "0"), (s.fresh, top)],
    )
    waters = s.water * (1 - np.linspace(0, 1, 60) ** 2)
    chart.curve("curve", waters, it.solids * 100 / (100 - waters))
    chart.level("solids", it.solids, "solids", ink="quiet", above=it.solids < 0.8 * s.fresh)
    chart.mark("now", s.now, it.weighs, weight(it.weighs), ink="water", above=True)
