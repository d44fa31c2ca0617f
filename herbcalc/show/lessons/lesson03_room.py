"""Floor 5. Lesson 3, second panel: the room and the tray. Where herb stops drying there, and the air it wants."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from herbcalc import air, drying, moisture
from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.look import MOST_HERB, Look, Number, View, dial, pick
from herbcalc.show.words import HANDS, NOT_ASKED
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import OutOfRange

LESSON = 3
PART = "room"
BOTH_RULES = False
TITLE = "The room and the tray"
CAUTION = (
    "Measure the warmth where the trays hang. Never dry anything there that is wet with alcohol: its vapour burns."
)

LOT = 100.0  # m³ of air that is spoken of: a large room full
LOT_SAID = "100 m³ (3530 cubic feet)"
NO_LOG = "No log of yours is drawn yet: the card Your own log, further down, tells your hours."
IN_PRACTICE = 2.0  # times the air by the sum: herbs on trays use about half of what passes (Practical Action)
HERBS = (
    "lemon balm", "raspberry leaf", "peppermint", "calendula", "elderflower", "elecampane root", "rosehip", "bark",
)  # fmt: skip
WARMER = np.arange(0.0, 51.0)  # °C to which the same air may be warmed
CURVE = np.linspace(0.02, 0.95, 60)  # damp along which the curve is drawn; past 0.95 nothing was measured


@dataclass(frozen=True)
class Setting:
    """A room and what hangs in it: warmth in °C, damp a share, fresh weight in g, its water in % as weighed."""

    herb: str = pick("lemon balm", HERBS, label="Herb")
    warm: float = dial(22, "degC", low=5, high=50, step=1, label="Warmth of the air")
    damp: float = dial(0.7, "share", low=0.05, high=0.95, step=0.01, label="Damp of the air (1: full)")
    fresh: float = dial(1000, "g", low=100, high=5000, step=50, label="Fresh plant on the trays", most=MOST_HERB)
    water: float = dial(80, "percent_wb", low=50, high=95, step=1, label="Its water when fresh", batch="water")
    hours: float = dial(24, "hour", low=6, high=168, step=2, label="To be dry in")
    hands: str = pick(NOT_ASKED, HANDS, label="What the hands say")


@dataclass(frozen=True)
class Room:
    """The sums of one setting: moistures in % as weighed, weights in g, flow in m³ an hour (None: no air does it).

    `outside` and `past` are the ends of the warmth and the damp that the curve was made for, where this room lies
    beyond them.
    """

    rests: float
    enough: bool
    dampest: float
    illustrative: bool
    note: str
    outside: tuple[float, float] | None
    past: tuple[float, float] | None
    heavy: float
    stop: float
    gone: float
    carries: float
    flow: float | None
    warm_enough: tuple[float, float] | None
    answers: drying.DryEnough

    @property
    def above(self) -> float:
        """By how much it comes to rest over its stop weight; nothing where it gets down to it."""
        return max(self.heavy - self.stop, 0.0)

    @property
    def takes_up(self) -> bool:
        """Whether it would take water up from this air: fresh it is drier already than where it comes to rest."""
        return self.gone <= SLACK


def sums(s: Setting, rules: Rules) -> Room:
    """Everything that the sentence, the numbers and the picture are made from."""
    T, rh, target = Q(float(s.warm), "degC"), float(s.damp), Q(rules.dried_to, "percent_wb")
    fresh, water = Q(float(s.fresh), "g"), Q(float(s.water), "percent_wb")
    still, curve = drying.stops_in(s.herb, T, rh, target), drying.sorption(s.herb)
    rests = float(still.moisture.magnitude)
    heavy = s.fresh * (100 - s.water) / (100 - rests)  # more than fresh, where the air is wetter than the herb
    stop = float(moisture.dried_weight(fresh, water, target).magnitude)
    taken, volume = air.pick_up(T, rh), air.specific_volume(T, rh)
    gone = max(s.fresh - max(stop, heavy), 0.0)
    flow = None
    if taken.magnitude > SLACK:
        flow = float(drying.airflow(Q(gone, "g"), Q(float(s.hours), "hour"), taken, 1 / volume).magnitude)
    low, high = curve.temperatures
    driest, dampest = curve.damp
    asked = None if s.hands == NOT_ASKED else s.hands
    rest = Q(heavy, "g")  # it has come to rest, so that two weighings agree
    return Room(
        rests=rests,
        enough=still.enough,
        dampest=still.dampest,
        illustrative=still.illustrative,
        note=curve.note,
        outside=(low, high) if low < high and not low <= s.warm <= high else None,
        past=None if driest - SLACK <= s.damp <= dampest + SLACK else (driest, dampest),
        heavy=heavy,
        stop=stop,
        gone=gone,
        carries=LOT * 1000 * float((taken / volume).magnitude),
        flow=flow,
        warm_enough=None if still.enough else _warmed(s, rules),
        answers=drying.dry_enough(rest, rest, Q(stop, "g"), hands=asked, room=still),
    )


def _warmed(s: Setting, rules: Rules) -> tuple[float, float] | None:
    """The least warmth at which the same air would do, within the house window, and how damp it is then."""
    warm = WARMER[(s.warm < WARMER) & (rules.warmest + SLACK >= WARMER)]
    if not len(warm):
        return None
    T = Q(warm, "degC")
    damp = air.rh_when_warmed(Q(float(s.warm), "degC"), float(s.damp), T).magnitude
    rests = moisture.to_wet_basis(drying.equilibrium_moisture(s.herb, T, damp)).magnitude
    does = np.flatnonzero(rests <= rules.dried_to)
    return (float(warm[does[0]]), float(damp[does[0]])) if len(does) else None


def hundred(share: float) -> str:
    """A damp as it is read from a dial in the kitchen.

    >>> hundred(0.7)
    '70 %'
    """
    return f"{100 * share:.0f} %"


def at_most(share: float) -> str:
    """A damp that must not be passed, rounded down.

    >>> at_most(0.457)
    '45 %'
    """
    return f"{np.floor(100 * share + SLACK):.0f} %"


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One room and its trays: where the herb stops drying, and the air that the load wants."""
    it, say, s = sums(setting, rules), view.say, setting
    own = _own_hours(s, it, view)
    given = (
        f"{say(s.fresh, 'g')} of {s.herb}, {s.water:.3g} % water, in air of {say(s.warm, 'degC')}, "
        f"{hundred(s.damp)} damp."
    )
    carried = (
        f"{LOT_SAID} of this air carry off {say(it.carries, 'g')} of water while it is wet."
        if it.flow is not None
        else f"By the sum air leaves a tray {hundred(air.WELL_MIXED)} full, and this air comes as full as that: it "
        "carries next to nothing off, and no fan is large enough."
    )
    sentence = (
        f"By a model, {s.herb} stops drying here at {it.rests:.3g} % water, {_ends(it, rules, view)} {carried}"
        f"{_flow(s, it, view)}{' ' + it.note if it.illustrative else ''}{_outside(it, view)} {_own(own, it)}"
    )
    alt = (
        f"Fresh, {say(s.fresh, 'g')}; at rest in this room {say(it.heavy, 'g')}, {it.rests:.3g} % water. Dry enough? "
        f"{' '.join(_three(it))} Beside them a curve, a model{', illustrative' if it.illustrative else ''}: the "
        f"water at which {s.herb} stops, against the damp of the air; the mark stands at {hundred(s.damp)} damp and "
        f"{it.rests:.3g} % water, a line at {rules.dried_to:g} %; the two meet at {at_most(it.dampest)} damp."
    )
    return Look(
        sentence=sentence,
        numbers=_numbers(it, rules, view),
        alt=alt,
        table=_table(s, it, rules, view, own),
        left=lambda board, place, answer: _tray(board, place, s, it, view, answer),
        right=lambda board, place: _curve(board, place, s, it, rules),
        share=0.54,
        given=given,
        short=f"{s.herb.capitalize()} in {say(s.warm, 'degC')}, {hundred(s.damp)} damp",
        ways_out=_ways(it, view),
        caution=_caution(s, it, rules, view),
    )


def _ends(it: Room, rules: Rules, view: View) -> str:
    """How far the herb comes in this room."""
    dry, stop = f"{rules.dried_to:g} %", f"the stop weight is {_stop(it, view)}"
    if it.enough:
        return f"so {dry} can be reached here, slowly at the end: {stop}."
    if it.takes_up:
        return (
            f"and it is drier than that already: it would take water up from this air, and never get down to {dry}."
        )
    stays = f"it stays at {view.say(it.heavy, 'g')}, and {stop}"
    return f"so it never gets down to {dry} here, however long it hangs: {stays}."


def _own(hours: str, it: Room) -> str:
    """The hours by the curve of the person's own log, or that there is none."""
    if not hours:
        return NO_LOG
    told = f"By your own log's curve, a model: {hours}"
    if it.enough:
        return f"{told}. That holds for a tray like the one you weighed, in air like that."
    return f"{told}. That was in your own air: in this room it never gets there."


def _own_hours(s: Setting, it: Room, view: View) -> str:
    """When a tray that dries as the one of the log did has shrunk as far as this one must; "" without a log."""
    if view.own is None:
        return ""
    weight = view.own.first * (it.stop / s.fresh)
    try:
        hours = view.own.time_to(weight)
    except OutOfRange:
        return f"that tray never shrank as far as {view.say(it.stop, 'g')} of {view.say(s.fresh, 'g')}"
    low, high = (float(end.magnitude) for end in view.own.band.time_to(weight))
    least = view.say(low, "hour")
    band = (
        f"not before {least}, and nobody can say by when"
        if high == float("inf")
        else f"95 of every 100 such logs say {least} to {view.say(high, 'hour')}"
    )
    guess = ", a guess past your last weighing" if view.own.past_the_last(hours) else ""
    return f"about {view.say(float(hours.magnitude), 'hour')}{guess}; {band}"


def _stop(it: Room, view: View) -> str:
    return view.safe(it.stop, "g", "down")


def _flow(s: Setting, it: Room, view: View) -> str:
    if it.flow is None or it.takes_up:
        return ""
    dry = "what can go" if not it.enough else "that"
    wants = view.safe(it.flow, "m**3/hour", "up")
    return (
        f" To carry off {dry}, {view.say(it.gone, 'g')}, in {view.say(s.hours, 'hour')} the trays want {wants} by "
        "the sum; plan for twice that, since only about half of the air touches the herb."
    )


def _outside(it: Room, view: View) -> str:
    made = []
    if it.outside is not None:
        made.append(" to ".join(view.say(end, "degC") for end in it.outside))
    if it.past is not None:
        made.append(" to ".join(hundred(end) for end in it.past) + " damp")
    if not made:
        return ""
    return f" It was made for {' and '.join(made)}, and this room is outside of that: trust your scale."


def _three(it: Room) -> list[str]:
    """The three answers, in few words each."""
    hands = {True: "dry", False: "not yet", None: "nobody has felt it"}[it.answers.by_hands]
    return [
        f"Stop weight: {'reached' if it.answers.by_weight else 'not yet'}.",
        "Two weighings: they agree.",
        f"Hands: {hands}.",
    ]


def _caution(s: Setting, it: Room, rules: Rules, view: View) -> str:
    told = []
    if s.warm > rules.warmest + SLACK:
        told.append(
            f"{view.say(s.warm, 'degC')} is over your house window, which ends at "
            f"{view.say(rules.warmest, 'degC')}: scented herb loses its scent there."
        )
    if not it.enough:
        told.append("Herb that has stopped above the stop weight may mould in a jar, though two weighings agree.")
    return " ".join(told)


def _ways(it: Room, view: View) -> tuple[str, ...]:
    """What would take it down to the house figure."""
    ways = []
    if not it.enough:
        if it.warm_enough:
            warm, damp = it.warm_enough
            ways.append(
                f"Warm the same air to {view.say(warm, 'degC')}: no water leaves it, and it is only {hundred(damp)} "
                "damp then."
            )
        ways.append(f"Wait for drier air: at this warmth {at_most(it.dampest)} damp or less.")
        ways.append("Finish it elsewhere, in small lots, and use it before it is stored.")
    return tuple(ways)


def _numbers(it: Room, rules: Rules, view: View) -> tuple[Number, ...]:
    number = view.number
    flow = "how much air do the trays want?"
    wanted = (
        number("flow", "Air it wants, by the sum", it.flow, "m**3/hour", flow, round="up")
        if it.flow is not None
        else Number("Air it wants, by the sum", "none does it", "", None, "m**3/hour", "flow", flow)
    )
    return (
        number("rests", "Stops drying at", it.rests, "percent_wb", "at what water does it stop?", "a model"),
        number("carries", f"{LOT_SAID} carry off", it.carries, "g", "how much water does the air carry off?"),
        number("above", "Over its stop weight", it.above, "g", "how far over its stop weight does it stay?"),
        Number(
            f"Dampest air for {rules.dried_to:g} %",
            f"{at_most(it.dampest)} damp",
            "a model",
            100 * it.dampest,
            "percent",
            "dampest",
            "how damp may the air be at most?",
        ),
        number("stop", "Stop at", it.stop, "g", "at what weight is it dry?", round="down"),
        wanted,  # its words are long: a tile only where it is what is asked
    )


def _table(s: Setting, it: Room, rules: Rules, view: View, own: str) -> tuple[tuple[str, ...], ...]:
    say = view.say
    flow = "no air does it" if it.flow is None else view.safe(it.flow, "m**3/hour", "up")
    twice = "" if it.flow is None else view.safe(IN_PRACTICE * it.flow, "m**3/hour", "up")
    one = Q(it.carries / LOT, "g")
    each = f"{one.magnitude:.2g} g" + (f" ({one.to('oz').magnitude:.2g} oz)" if it.carries else "")
    return (
        ("", "in this room"),
        ("stops drying at (a model)", f"{it.rests:.3g} % water"),
        ("weighs then", say(it.heavy, "g")),
        (f"stop weight, {rules.dried_to:g} % water", _stop(it, view)),
        ("the dampest air that would do (a model)", at_most(it.dampest)),
        ("each m³ (35 cubic feet) carries off", each),
        (f"air wanted in {say(s.hours, 'hour')}, by the sum", flow),
        ("air to plan for", twice),
        ("hours by your own curve (a model)", own or NO_LOG),
        *(("dry enough?", one) for one in _three(it)),
        ("all three together" if it.answers.by_hands is not None else "the two that were asked", it.answers.verdict),
        ("the curve", it.note),
    )


def _tray(board: Board, place: Place, s: Setting, it: Room, view: View, answer: bool) -> None:
    """The tray fresh and at rest, to one scale, and the three answers below."""

    def weight(grams: float) -> str:
        return view.pair(grams, "g")[0]

    full = board.scale("tray", max(s.fresh, it.heavy), max(s.fresh, it.heavy))
    solids = s.fresh * (1 - s.water / 100)
    first, second, third = rows(place, 3)
    parts = [Part("solids", solids, "solids"), Part("water", s.fresh - solids, "water")]
    of = "" if board.narrow else f", {s.water:.3g} % water"
    stack(board, "fresh", first, parts, full, f"fresh{of}: {weight(s.fresh)}")
    if not answer:
        stack(board, "rest", second, [], full, "at rest in this room: ?")
        return
    parts = [Part("solids", solids), Part("water", it.heavy - solids)]
    of = "" if board.narrow else f", {it.rests:.3g} % water"
    stack(board, "rest", second, parts, full, f"at rest{of}: {weight(it.heavy)}")
    line = board.size * 1.35
    for n, words in enumerate(_three(it)):
        board.words(f"answer {n}", third.x, third.y + third.h - (n + 0.7) * line, words.rstrip("."), ha="left")


def _curve(board: Board, place: Place, s: Setting, it: Room, rules: Rules) -> None:
    """Where it stops, against the damp, at this warmth."""
    damps = 100 * CURVE
    rests = moisture.to_wet_basis(drying.equilibrium_moisture(s.herb, Q(float(s.warm), "degC"), CURVE)).magnitude
    top = 10.0 * np.ceil((float(rests[-1]) + 4.0) / 10.0)
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, 100.0, "damp of the air, %"),
        (0.0, top, "% water, a model"),
        [(v, f"{v:.0f}") for v in (0, 25, 50, 75, 100)],
        [(0.0, "0"), (rules.dried_to, f"{rules.dried_to:g}"), (top, f"{top:.0f}")],
    )
    chart.curve("curve", damps, rests)
    chart.level("dry", rules.dried_to, "")
    if it.illustrative:
        chart.note("how sure", 4.0, top, "illustrative", ink="quiet", lift=-1.0)
    if it.dampest < CURVE[-1]:  # else any air does
        chart.mark("dampest", 100 * it.dampest, rules.dried_to, "", ink="water")
    chart.mark("now", 100 * s.damp, it.rests, f"{it.rests:.3g} %", above=True)
