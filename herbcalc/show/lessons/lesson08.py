"""Floor 5. Lesson 8: drip by drip. A percolator with its front, what has dripped through, and where to stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import percolation
from herbcalc.rules import Rules
from herbcalc.show.cautions import caution
from herbcalc.show.draw.percolator import Percolator, percolator
from herbcalc.show.draw.shapes import Chart, halves
from herbcalc.show.look import Look, Number, View, dial, pick, scenes
from herbcalc.show.words import percent
from herbcalc.units import Q, said
from herbcalc.units.constants import FL_OZ_PER_OZ
from herbcalc.units.saying import per_gram

LESSON = 8
BOTH_RULES = False
TITLE = "Drip by drip"
QUESTION = "This much has dripped through. How much of the extract is out?"
GUESSES = ("a fifth", "about half", "about four fifths", "nearly all")
CAUTION = (
    "Wear a dust mask when you grind and pour powder. Stand the glass in a tray where nobody knocks it, and never "
    "let it drip alone near a flame, a pilot light or a heater."
)
MODEL = "teaching model, not a measurement"

BEDS = {
    "leaf or herb powder": "leaf or flower powder",
    "dense root powder": "dense powder (root, hips)",
    "coarse cut herb": "coarse cut, not ground",
}
TOLD = {
    "leaf or herb powder": "leaf or flower powder",
    "dense root powder": "dense powder",
    "coarse cut herb": "cut herb",
}
# g of packed powder in each mL, to go with what each of the teaching beds holds; computed, not measured.
PACKED = {"leaf or herb powder": 0.37, "dense root powder": 0.65, "coarse cut herb": 0.31}
# mL/min for each kg: the ends of "slow" and "quick", the middle of "moderate" (see `percolation.FLOW_BANDS`).
RATES = {"slow": 1.0, "moderate": 2.0, "quick": 5.0}
MOST_RUN = 6.0
ENOUGH = 0.95
CURVE, FAST, LATE = 0.6, 0.47, 0.77  # the plain curve of 1866: its middle and its two ends, mL/g


@dataclass(frozen=True)
class Setting:
    """A percolator at work. Herb in g, percolate in mL for each g, cone in mL, counts as counted at the tap."""

    run: float = dial(1, "kept", low=0, high=MOST_RUN, step=0.05, label="Dripped through", stops=(1, 2, 5))
    herb: float = dial(100, "g", low=20, high=1000, step=10, label="Powder", batch="herb")
    kind: str = pick("dense root powder", BEDS, label="In the cone")
    flow: str = pick("moderate", {name: name for name in RATES}, label="The tap is set to")
    drops: float = dial(37, "", low=10, high=60, step=1, label="Drops in each mL (1/4 tsp), counted")
    kept: float = dial(1.5, "kept", low=0.5, high=3, step=0.05, label="The marc keeps", batch="retained")
    cone: float = dial(500, "mL", low=100, high=4000, step=50, label="The cone holds")
    spirit: float = dial(
        60, "percent_vol", low=20, high=96, step=0.5, label="Spirit poured on", batch="spirit", stops="shelf"
    )


SCENES = scenes("lesson08", Setting)


@dataclass(frozen=True)
class Drip:
    """The sums of one setting. mL, mL/h, hours; shares 0..1; along `runs` (mL/g) the share that is out."""

    percolate: float
    flow: float
    out: float
    exit: float
    left: float
    plain: float
    plain_between: tuple[float, float]
    strength: Any
    runs: Any
    curve: Any
    stop: float | None
    plain_stop: float
    ready: float
    hours: float
    whole: float
    drops_per_minute: float
    holds: float
    bed: float
    room: float


def sums(s: Setting) -> Drip:
    """Everything that the sentence, the numbers and the picture are made from."""
    herb, percolate = Q(float(s.herb), "g"), Q(float(s.run * s.herb), "mL")
    flow = percolation.flow_for(herb, Q(RATES[s.flow], "mL/min/kg"))
    bed = percolation.Bed.of(s.kind, herb, flow)
    runs = np.concatenate([np.linspace(0.0, MOST_RUN, 61), [s.run]])
    run = bed.run(Q(runs * s.herb, "mL"))
    free, marc = bed.profile(percolate)
    free_part, held_part = (float(getattr(bed, name).magnitude) for name in ("free", "held"))
    curve = run.bottle[:-1]
    enough = curve[-1] >= ENOUGH
    fit = percolation.bed_fits(herb, Q(float(s.cone), "mL"), Q(PACKED[s.kind], "g/mL"))
    hours = float((percolate / flow).to("hour").magnitude)
    each_run = Q(float(s.run), "mL/g")
    return Drip(
        percolate=float(percolate.magnitude),
        flow=float(flow.magnitude),
        out=float(run.bottle[-1]),
        exit=float(run.exit[-1]),
        left=float(run.free[-1] + run.marc[-1]),
        plain=percolation.share_after(each_run),
        plain_between=tuple(percolation.share_after(each_run, Q(c, "mL/g")) for c in (LATE, FAST)),
        strength=(free_part * free + held_part * marc) / (free_part + held_part),
        runs=runs[:-1],
        curve=curve,
        stop=float(np.interp(ENOUGH, curve, runs[:-1])) if enough else None,
        plain_stop=float(percolation.stop_at(ENOUGH).magnitude),
        ready=float(percolation.menstruum_needed(herb, percolate, Q(float(s.kept), "mL/g")).magnitude),
        hours=hours,
        whole=float(percolation.whole_time(herb, percolate, flow).magnitude),
        drops_per_minute=float(flow.to("mL/min").magnitude) * s.drops,
        holds=float(bed.hold_up.magnitude),
        bed=float(fit.bed.magnitude),
        room=float(fit.room.magnitude),
    )


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One percolator: what is out, what the drops still carry, what to have ready, how long, and where to stop."""
    it = sums(setting)
    say, pair = view.say, view.pair
    low, high = it.plain_between
    given = (
        f"{say(setting.herb, 'g')} of {TOLD[setting.kind]} stands in a cone of {say(setting.cone, 'mL')} with "
        f"{setting.spirit:g} % vol, at a {setting.flow} drip, and {say(it.percolate, 'mL')} has come through."
    )
    fits = it.bed <= it.room * (1 + 1e-9)
    plain_stop = say(it.plain_stop * setting.herb, "mL", round="up")
    later = "further than this picture goes"
    stop = later if it.stop is None else say(it.stop * setting.herb, "mL", round="up")
    sentence = (
        f"{given} By now {percent(it.out)} of the extract is out, and a drop is {percent(it.exit)} as strong as the "
        f"first. For {100 * ENOUGH:.0f} % stop at {stop}. Have {say(it.ready, 'mL', round='up')} ready: the marc "
        f"keeps {per_gram(setting.kept)}. The tap drips for {said(it.hours, 'hour')}. A {MODEL}."
    )
    if not fits:
        sentence += (
            f" The powder needs {say(it.bed, 'mL')} of room and two thirds of this cone are {say(it.room, 'mL')}: "
            f"take a cone of at least {say(1.5 * it.bed, 'mL', round='up')}."
        )
    numbers = (
        Number("Out by now", percent(it.out), f"plain curve {percent(it.plain)}", 100 * it.out, "percent"),
        Number(
            f"Stop for {100 * ENOUGH:.0f} %",
            *(("later", "") if it.stop is None else pair(it.stop * setting.herb, "mL", round="up")),
            None if it.stop is None else it.stop * setting.herb,
            "mL",
        ),
        Number("Have ready", *pair(it.ready, "mL", round="up"), it.ready, "mL"),
        Number("The tap runs", said(it.hours, "hour"), f"{it.drops_per_minute:.2g} drops/min", it.hours, "hour"),
    )
    rows = [
        (
            f"{percent(m.low)} to {percent(m.high)}" if m.low is not None and m.high is not None else "no figure",
            f"{(each := m.percolate.magnitude):.3g} mL for each g ({each * FL_OZ_PER_OZ:.3g} fl oz for each oz)",
            m.what,
        )
        for m in percolation.MEASURED_1866
    ]
    table = (
        ("", "by this bed", "plain curve of 1866"),
        ("share out", percent(it.out), f"{percent(it.plain)} ({percent(low)} to {percent(high)})"),
        ("strength of the drops now, against the first", percent(it.exit), ""),
        ("stop for 95 %", stop, plain_stop),
        ("the bed holds", say(it.holds, "mL"), ""),
        ("dampen the powder with", say(0.5 * setting.herb, "mL"), ""),
        ("flow", f"{view.say(it.flow, 'mL')} in an hour, {it.drops_per_minute:.2g} drops a minute", ""),
        ("all in all, with the damp rest and a day of standing", said(it.whole, "hour"), ""),
        ("printed in 1888, measured in 1866:", "", ""),
        *((what, measured, share) for share, measured, what in rows),
    )
    alt = (
        f"A cone of packed powder. The extract in it, drawn as a dark part as wide as what is left at each height, "
        f"has been pushed down: {percent(float(it.strength[0]))} is left at the top and "
        f"{percent(float(it.strength[-1]))} at the foot. A glass below holds {say(it.percolate, 'mL')}. Beside it "
        f"the share that is out against mL dripped through for each g, with a band for the plain curve and two "
        f"upright bars for the measurements of 1866; the mark stands at {setting.run:g} and {percent(it.out)}. A "
        f"{MODEL}."
    )
    return Look(
        sentence=sentence,
        numbers=numbers,
        alt=alt,
        table=table,
        draw=lambda board: _draw(board, setting, it, view, answer=True),
        before=lambda board: _draw(board, setting, it, view, answer=False),
        given=given,
        ways_out=_advice(setting, it, view),
        caution=caution(setting.spirit, rules.shelf),
    )


def _advice(s: Setting, it: Drip, view: View) -> list[str]:
    """What would work better, where something is in the way."""
    told = []
    if it.bed > it.room * (1 + 1e-9):
        fits = view.say(it.room * PACKED[s.kind], "g", round="down")
        told.append(f"In this cone at most {fits} of this powder.")
    if s.kind == "coarse cut herb":
        told.append("Grind it to an even powder, or soak it: coarse pieces let go slowly, and the drip outruns them.")
    if s.kind == "dense root powder" and s.spirit < 60:
        told.append("Gummy roots such as marshmallow swell in weak spirit and clog the cone: soak those instead.")
    if s.flow == "quick" and s.kind != "coarse cut herb":
        told.append("A slower tap gives the pieces time: the same liquid then carries more.")
    if 0 < s.run < 1:
        told.append("It can be stopped this early, but much stays behind: let more drip through.")
    return told


def _whole(share: float) -> str:
    return "< 1 %" if 0 < share < 0.01 else f"{100 * share:.0f} %"


def _draw(board: Any, s: Setting, it: Drip, view: View, answer: bool) -> None:
    """The percolator with its front, and beside it how the share grows; before the guess the bed is still full."""
    left, right = halves(board, 0.42)
    top = board.scale("glass", MOST_RUN * s.herb, MOST_RUN * s.herb)
    dripped = view.pair(it.percolate, "mL")[0]
    picture = Percolator(
        bed=it.bed / s.cone,
        strength=it.strength if answer else np.ones(len(it.strength)),
        glass=(it.percolate if answer else 0.0) / top,
        above="menstruum",
        in_bed=f"{_whole(it.left)} still in" if answer else "all still in",
        drops=f"drops at {_whole(it.exit)}" if answer else "tap closed",
        below=dripped if answer else f"{dripped}, ? %",
    )
    percolator(board, "cone", left, picture)
    if board.narrow:
        return
    if not answer:
        board.words("ask", right.x + right.w / 2, right.y + right.h / 2, "? % out", size=board.size * 2.0, bold=True)
        return
    kitchen = view.units == "kitchen"
    chart = Chart(
        board,
        "chart",
        right,
        (0.0, MOST_RUN, "fl oz through, for each oz" if kitchen else "mL through, for each g"),
        (0.0, 1.0, MODEL),
        [(n / FL_OZ_PER_OZ if kitchen else n, f"{n:g}") for n in (0.0, 1.0, 2.0, 3.0, 4.0, 5.0)],
        [(n, f"{100 * n:.0f} %") for n in (0.0, 0.5, 1.0)],
    )
    runs = it.runs
    if not board.is_faint:
        chart.band("plain", runs, 1 - np.exp(-runs / LATE), 1 - np.exp(-runs / FAST))
        for n, measured in enumerate(m for m in percolation.MEASURED_1866 if m.high is not None and m.low < m.high):
            at = float(measured.percolate.magnitude)
            (x, low), (_, high) = chart.at(at, measured.low), chart.at(at, measured.high)
            board.line(f"1866 {n}", [x, x], [low, high], ink="limit", width=3.4)
            board.line(f"1866 {n} foot", [x - 4, x + 4], [low, low], ink="limit", width=2.4)
            board.line(f"1866 {n} head", [x - 4, x + 4], [high, high], ink="limit", width=2.4)
        chart.note("1866", 2.3, 0.14, "measured 1866", ink="limit")
        x, y = chart.at(2.3, 0.14)
        board.line("1866 sign", [x - 9, x - 9], [y - 6, y + 6], ink="limit", width=3.4)
    chart.curve("bed", runs, it.curve)
    chart.mark("now", s.run, it.out, percent(it.out), ink="bottle")
