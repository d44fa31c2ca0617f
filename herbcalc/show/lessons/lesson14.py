"""Floor 5. Lesson 14: one batch, walked back from bottle to stand, or forward from basket to bottle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import batch, harvest
from herbcalc.batch.nearest import forward_ways
from herbcalc.batch.walk import NEWS
from herbcalc.maceration import CONVENTIONS
from herbcalc.rules import Rules
from herbcalc.show.cautions import DAMP, DUST, FOOD_GRADE, LEAVE, WET_MARC, WILTING, caution, stronger, weak
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Place
from herbcalc.show.draw.shapes import rows as cut
from herbcalc.show.draw.streams import flows, ledger, told
from herbcalc.show.lessons.lesson05 import second_said, verdict
from herbcalc.show.look import MOST_HERB, Look, Number, View, dial, marc_keeps, pick
from herbcalc.show.words import apart, marks, one_to, percent, vol, whence
from herbcalc.units import Q
from herbcalc.units.arrays import counted
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import per_gram, so_many

LESSON = 14
TITLE = "From the stand to the shelf"
CAUTION = f"Certain of the plant, or leave it. {FOOD_GRADE}"

BACK, FORWARD = "bottles", "basket"
GARDEN, STAND = "garden", "stand"
FRESH, WILTED, DRIED = "fresh", "wilted", "dried"
POURED, ENDS = 0.2, 0.75  # where they stand along the chart of strengths
ON_TRAY = {FRESH: "", WILTED: WILTING, DRIED: f"{DAMP} {DUST}"}
GOES_IN = {FRESH: "fresh", WILTED: "fresh, wilted first", DRIED: "dried"}


@dataclass(frozen=True)
class Setting:
    """A batch. Weights in g, volumes in mL, strength and water in percent, ratio and what is kept in mL/g."""

    begin: str = pick(BACK, {BACK: "with the bottles wanted", FORWARD: "with the basket gathered"}, label="Begin")
    bottles: float = dial(20, "", low=1, high=200, step=1, label="Bottles wanted", most=1000)
    fresh: float = dial(1000, "g", low=50, high=5000, step=10, label="Basket, fresh", most=MOST_HERB)
    bottle: float = dial(50, "mL", low=5, high=250, step=5, label="One bottle holds", stops=(30, 50, 100), most=1000)
    state: str = pick(DRIED, GOES_IN, label="The plant goes in")
    wilted: float = dial(55, "percent_wb", low=20, high=90, step=1, label="Wilted to, its water")
    method: str = pick("soak", {"soak": "a soak in a jar", "drip": "a drip in a percolator"}, label="Made by")
    ratio: float = dial(5, "mL/g", low=1, high=10, step=0.1, label="Ratio", batch="ratio")
    spirit: float = dial(50, "percent_vol", low=20, high=96, step=0.5, label="Spirit", batch="spirit", stops="shelf")
    water: float = dial(80, "percent_wb", low=5, high=95, step=1, label="Water in the plant", batch="water")
    retained: float = marc_keeps()
    per_plant: float = dial(120, "g", low=10, high=1000, step=10, label="One plant gives", most=MOST_HERB)
    grows: str = pick(
        GARDEN, {GARDEN: "in a garden, or with a grower", STAND: "in a counted wild stand"}, label="The plant grows"
    )
    stand: float = dial(200, "", low=1, high=400, step=1, label="Plants in the stand", most=10000)
    share: float = dial(0.1, "share", low=0, high=1, step=0.01, label="Share that may go", stops=("stand_share",))


def used(setting: Setting) -> set[str]:
    """The dials that count: one end of the walk, and what is asked of this plant alone."""
    away = {"fresh" if setting.begin == BACK else "bottles"}
    if setting.state != WILTED:
        away.add("wilted")
    if setting.grows != STAND:
        away |= {"stand", "share"}
    return {*Setting.__dataclass_fields__} - away


@dataclass(frozen=True)
class Walk:
    """A batch with what is counted in it: plants for it, and plants that may be taken (None where nobody counted);
    ways out for what ends too weak."""

    made: batch.Batch
    plants: int
    allowed: int | None
    ways: tuple[batch.Nearest, ...]

    @property
    def fresh(self) -> float:
        """The basket, g."""
        return float(self.made.basket.fresh.to("g").magnitude)

    @property
    def strengths(self) -> tuple[float, float]:
        """How strong it ends, % vol, by the kitchen rule and measured."""
        return float(self.made.strength.magnitude), float(self.made.strength_measured.magnitude)

    @property
    def whole(self) -> int:
        """Bottles that are full."""
        return counted(float(self.made.order.bottles), np.floor)


def making(s: Setting, rules: Rules) -> dict[str, Any]:
    """How it is made, in the words of `batch.Order`: the dials, and the house rules behind them."""
    counts = s.grows == STAND
    return {
        "bottle": Q(float(s.bottle), "mL"),
        "state": "dried" if s.state == DRIED else "fresh",
        "method": s.method,
        "ratio": Q(float(s.ratio), "mL/g"),
        "convention": rules.ratio_reading,
        "spirit": Q(float(s.spirit), "percent_vol"),
        "floor": Q(float(rules.floor), "percent_vol"),
        "water": Q(float(s.water), "percent_wb"),
        "retained": Q(float(s.retained), "mL/g"),
        "per_plant": Q(float(s.per_plant), "g"),
        "stand": s.stand if counts else None,
        "share": s.share if counts else None,
        "wilted": Q(float(s.wilted), "percent_wb") if s.state == WILTED else None,
        "dried_to": Q(float(rules.dried_to), "percent_wb"),
    }


def walk(s: Setting, rules: Rules) -> Walk:
    """The batch of a setting. Refuses what cannot be made, with the nearest that can."""
    how = making(s, rules)
    if s.begin == BACK:
        made = batch.walk_back(batch.Order(bottles=round(s.bottles), **how), rules=rules)
    else:
        made = batch.walk_forward(batch.Basket(fresh=Q(float(s.fresh), "g"), **how), rules=rules)
    plants = harvest.plants_needed(made.basket.fresh, Q(float(s.per_plant), "g"))
    ways = () if made.keeps else tuple(forward_ways(made.basket, made.days, None))
    return Walk(made, plants, None if made.harvest is None else made.harvest.allowed, ways)


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One batch: what must be gathered and poured, what comes out, how strong, and where each gram ends."""
    try:
        it = walk(setting, rules)
    except Impossible as no:
        raise Impossible(str(no), [_way(way, view) for way in no.ways_out]) from None
    given = f"{_given(setting, rules, view)} {_stands(setting)}".strip()
    return Look(
        sentence=f"{given} {_told(setting, it, rules, view)}",
        numbers=_numbers(setting, it, rules, view),
        alt=f"{told(it.made, view)} Beside it a line from {vol(setting.spirit)} poured down to "
        f"{vol(view.first(*it.strengths))} at the end, with your floor of {vol(rules.floor)}.",
        table=_table(setting, it, view),
        left=lambda board, place, answer: _left(board, place, setting, it, view, answer),
        right=lambda board, place: _thins(board, place, setting, it, rules, view),
        given=given,
        short=_short(setting, view),
        share=0.7,
        ways_out=[_way(way, view) for way in it.ways],
        caution=_caution(setting, it, rules),
    )


def _caution(s: Setting, it: Walk, rules: Rules) -> str:
    """Leave of a wild stand; the tray; the fire line; what ends too weak. What is of the moment of pouring stands in
    the lessons of the jar: five lines of cautions are read by nobody."""
    under = weak(rules.floor, *it.strengths)
    lines = (
        LEAVE if s.grows == STAND else "",
        ON_TRAY[s.state],
        caution(s.spirit, rules.shelf),
        WET_MARC,
        under,
        stronger(s.spirit, rules.shelf) if under else "",
    )
    return " ".join(filter(None, lines))


# --- what is said -------------------------------------------------------------------------------------------------


def _wanted(s: Setting, view: View) -> str:
    """The end of the walk that is given."""
    if s.begin == FORWARD:
        return f"{view.say(s.fresh, 'g')} of fresh plant"
    return f"{so_many(round(s.bottles), 'bottle')} of {view.say(s.bottle, 'mL')}"


def _state(s: Setting, rules: Rules) -> str:
    """How the plant goes in, with its water."""
    if s.state == FRESH:
        return f"goes in fresh, with {s.water:.3g} % water"
    to = s.wilted if s.state == WILTED else rules.dried_to
    how = "wilts" if s.state == WILTED else "is dried"
    if to >= s.water:
        return f"with its {s.water:.3g} % water needs no {'wilting' if s.state == WILTED else 'drying'}"
    return f"{how} from {s.water:.3g} % water to {to:.3g} %"


def _given(s: Setting, rules: Rules, view: View) -> str:
    first = "lie in the basket" if s.begin == FORWARD else "is wanted" if round(s.bottles) == 1 else "are wanted"
    filled = f", for bottles of {view.say(s.bottle, 'mL')}" if s.begin == FORWARD else ""
    made = "soaks" if s.method == "soak" else "drips"
    return (
        f"{_wanted(s, view)} {first}{filled}. The plant {_state(s, rules)}, and {made} at {one_to(s.ratio)} "
        f"({CONVENTIONS[rules.ratio_reading]}) in {s.spirit:.3g} % vol. The marc keeps {per_gram(s.retained)}: "
        f"{whence(s.retained, rules)}. One plant gives {view.say(s.per_plant, 'g')}."
    )


def _stands(s: Setting) -> str:
    if s.grows != STAND:
        return ""
    return f"{so_many(round(s.stand), 'plant')} stand there, and {percent(s.share)} of them may go."


def _told(s: Setting, it: Walk, rules: Rules, view: View) -> str:
    say, safe, found = view.say, view.safe, flows(it.made)
    first, second = view.first(*it.strengths), view.first(*it.strengths[::-1])
    one, two = view.by()
    poured = safe(float(it.made.menstruum.magnitude), "mL", "up")
    takes = f"It takes {safe(it.fresh, 'g', 'up')} of fresh plant" if s.begin == BACK else "It takes the whole basket"
    may = "" if it.allowed is None else f"; {it.allowed:,} may be taken"
    over = "" if it.allowed is None or it.plants <= it.allowed else " That is more than this stand gives."
    air = f" {say(found.air, 'g')} of water go into the air." if found.air else ""
    return (
        f"{takes}, {so_many(it.plants, 'plant')}{may}.{over}{air} Have {poured} of spirit ready. "
        f"{_out(s, it, view)} It ends at {first:.1f} % vol {one} and {second:.1f} {two}, {apart(*it.strengths)}. "
        f"{verdict(*it.strengths, rules.floor, view.rule)} Of the alcohol {percent(_in_marc(it))} stays in the marc."
    )


def _out(s: Setting, it: Walk, view: View) -> str:
    """What comes out, by both rules where a jug would show it."""
    out, measured = (float(mL.magnitude) for mL in (it.made.finished, it.made.finished_measured))
    shrinks = f", measured {view.say(measured, 'mL')}" if out - measured > NEWS * out else ""
    bottles = f", which fills {so_many(it.whole, 'bottle')}" if s.begin == FORWARD else ""
    return f"{view.say(out, 'mL')} come out by the kitchen rule{shrinks}{bottles}."


def _in_marc(it: Walk) -> float:
    """The share of the alcohol that stays in the marc, 0 to 1."""
    found = flows(it.made)
    return found.alcohol_marc / found.alcohol


def _near(s: Setting) -> str:
    """How the fresh plant is rounded: what must be there up, what lies in the basket as it lies there."""
    return "up" if s.begin == BACK else "near"


def _numbers(s: Setting, it: Walk, rules: Rules, view: View) -> tuple[Number, ...]:
    first, second = view.first(*it.strengths), view.first(*it.strengths[::-1])
    made, found = it.made, flows(it.made)
    poured, out = (float(amount.magnitude) for amount in (made.menstruum, made.finished))
    marc = 100.0 * _in_marc(it)
    allowed = "" if it.allowed is None else f"{it.allowed:,} may be taken"
    return (
        view.number("fresh", "Fresh plant", it.fresh, "g", "how big is the basket?", round=_near(s)),
        view.number("menstruum", "Spirit to have", poured, "mL", "how much spirit must be there?", round="up"),
        view.number("finished", "Comes out", out, "mL", "how much comes out?"),
        Number("At the end", vol(first), second_said(first, second, rules.floor, view), first, "percent_vol", "end",
               "how strong does it end?", second),
        Number("Plants", so_many(it.plants, "plant"), allowed, it.plants, "plants", "plants",
               "how many plants does it take?"),
        Number("Bottles", so_many(it.whole, "bottle"), "full ones", it.whole, "bottles", "whole",
               "how many bottles does it fill?"),
        Number("Alcohol in the marc", percent(_in_marc(it)), view.say(found.alcohol_marc, "g"), marc, "percent",
               "marc", "how much of the alcohol stays in the marc?"),
        view.number("air", "Into the air", found.air, "g", "how much water goes into the air?"),
    )  # fmt: skip


def _table(s: Setting, it: Walk, view: View) -> tuple[tuple[str, ...], ...]:
    """Each place of the walk: what is there, and what it holds of alcohol."""
    made, found, say = it.made, flows(it.made), view.say
    measured = float(made.finished_measured.magnitude)
    kitchen, other = (vol(end) for end in it.strengths)
    goes_in = {"fresh": "fresh plant" if not found.air else "wilted plant", "dried": "dried herb"}[made.order.state]
    return (
        ("", "kitchen rule", "measured"),
        ("fresh plant", *[view.safe(it.fresh, "g", _near(s))] * 2),
        (f"{goes_in} that goes in", *[say(float(made.herb.magnitude), "g")] * 2),
        ("spirit poured", *[view.safe(float(made.menstruum.magnitude), "mL", "up")] * 2),
        ("comes out", say(float(made.finished.magnitude), "mL"), say(measured, "mL")),
        ("strength at the end", kitchen, other),
        ("alcohol in the bottle", *[say(found.alcohol_out, "g")] * 2),
        ("alcohol in the marc", *[say(found.alcohol_marc, "g")] * 2),
        ("extract that is in the bottles (model)", *[percent(made.share)] * 2),
        ("days to the bottle (common practice)", *[str(made.days.of(made.order)["bottle"])] * 2),
    )


def _way(way: batch.Nearest, view: View) -> str:
    """One of the nearest that can be made, with what it costs, in one line."""
    change = way.text.split(". That takes")[0]
    fresh, poured = float(way.fresh.magnitude), float(way.menstruum.magnitude)
    return f"{change}: {view.say(fresh, 'g')} fresh, {view.say(poured, 'mL')} of spirit, {so_many(way.days, 'day')}."


def _short(s: Setting, view: View) -> str:
    return (
        f"{_wanted(s, view)}, {s.water:.3g} % water, {GOES_IN[s.state]}, "
        f"{'soaked' if s.method == 'soak' else 'dripped'} {one_to(s.ratio)} in {s.spirit:.3g} % vol"
    )


# --- what is drawn ------------------------------------------------------------------------------------------------


def _left(board: Board, place: Place, s: Setting, it: Walk, view: View, answer: bool) -> None:
    """The streams; before the guess the places of the walk, with what is given, and a "?" at the other end."""
    if answer:
        ledger(board, place, it.made, view, so_many(it.plants, "plant"))
        return
    back = s.begin == BACK
    jar = f"{one_to(s.ratio)}, {s.spirit:.3g} % vol"
    tray = {WILTED: f"to {s.wilted:.3g} % water", DRIED: "dried"}.get(s.state)
    named = [
        ("stand", f"{view.pair(s.per_plant, 'g')[0]} a plant"),
        ("basket", f"{'?' if back else view.pair(s.fresh, 'g')[0]}, {s.water:.3g} % water"),
        *([("tray", tray)] if tray else []),
        ("jar" if s.method == "soak" else "percolator", jar),
        ("bottle", f"{round(s.bottles):,} × {view.pair(s.bottle, 'mL')[0]}" if back else "?"),
    ]
    middles = [row.y + row.h / 2 for row in cut(place, len(named))]
    x, far = place.x + 10, place.x + 22 + board.wide("percolator")
    board.line("way", [x, x], [middles[0], middles[-1]], ink="quiet", width=2.0)
    for n, ((name, words), y) in enumerate(zip(named, middles, strict=True)):
        board.dot(f"way {n}", x, y, ink="card")
        board.words(f"way name {n}", x + 14, y, name, ha="left")
        board.words(f"way words {n}", far, y, words, ha="left", bold=True)


def _thins(board: Board, place: Place, s: Setting, it: Walk, rules: Rules, view: View) -> None:
    """From the strength poured to the strength at the end, and the floor."""
    top = 100.0 if max(s.spirit, rules.floor) > 60 else 60.0
    _, ticks = marks(View(), "", top, about=3)
    ends = [(POURED, "poured"), (ENDS, "ends")]
    chart = Chart(board, "thins", place, (0.0, 1.0, ""), (0.0, top, "% vol"), ends, ticks)
    now = view.first(*it.strengths)
    chart.curve("thins", [POURED, ENDS], [s.spirit, now])
    chart.level("floor", rules.floor, f"floor {rules.floor:g}", above=now < rules.floor)
    chart.mark("now", ENDS, now, f"{now:.1f}")
