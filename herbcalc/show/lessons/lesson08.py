"""Floor 5. Lesson 8: drip by drip. A percolator with its front, what has dripped through, and where to stop.

What the bed holds, what it keeps, and how fast the tap drips come from one place, the teaching bed: it stays full, so
what it holds when the tap is closed is what must be ready beside what is wanted out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import percolation
from herbcalc.rules import Rules
from herbcalc.show.cautions import HAIRS, WET_MARC, caution, weak
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.percolator import Percolator, percolator
from herbcalc.show.draw.shapes import Chart, Place
from herbcalc.show.look import MOST_HERB, MOST_LIQUID, Look, Number, View, dial, pick
from herbcalc.show.words import percent
from herbcalc.units import Q, said
from herbcalc.units.constants import FL_OZ_PER_OZ, SLACK
from herbcalc.units.saying import per_gram

LESSON = 8
BOTH_RULES = False
TITLE = "Drip by drip"
CAUTION = (
    f"Food-grade ethanol only. {HAIRS} Stand the glass in a tray where nobody knocks it, and never let it drip near "
    "flames or sparks."
)
MODEL = "teaching model, not a measurement"
DRAWS = "of what such a drip can draw"

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
BARS = tuple(m for m in percolation.MEASURED_1866 if m.low is not None and m.high is not None and m.low < m.high)


@dataclass(frozen=True)
class Setting:
    """A percolator at work. Herb in g, percolate in mL for each g, cone in mL, counts as counted at the tap."""

    run: float = dial(1, "kept", low=0, high=MOST_RUN, step=0.05, label="Dripped through", stops=(1, 2, 5))
    herb: float = dial(100, "g", low=20, high=1000, step=10, label="Powder", batch="herb", most=MOST_HERB)
    kind: str = pick("dense root powder", BEDS, label="In the cone")
    flow: str = pick("moderate", {name: name for name in RATES}, label="The tap is set to")
    drops: float = dial(37, "", low=10, high=60, step=1, label="Drops in 1 mL (a teaspoon's, divided by 5)")
    cone: float = dial(500, "mL", low=100, high=4000, step=50, label="The cone holds", most=MOST_LIQUID)
    spirit: float = dial(
        60, "percent_vol", low=20, high=96, step=0.5, label="Spirit poured on", batch="spirit", stops="shelf"
    )


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
    keeps: float
    damp: float
    bed: float
    room: float

    @property
    def fits(self) -> bool:
        """Whether the powder goes into two thirds of the cone."""
        return self.bed <= self.room * (1 + SLACK)


def bed_of(kind: str, herb: float, flow: str) -> percolation.Bed:
    """The teaching bed of a kind of powder, at one of the rates; herb in g."""
    grams = Q(float(herb), "g")
    return percolation.Bed.of(kind, grams, percolation.flow_for(grams, Q(RATES[flow], "mL/min/kg")))


def drawn(share: float) -> str:
    """A share of what such a drip can draw; nobody has measured how near to all of it the end comes.

    >>> drawn(0.827), drawn(0.9998)
    ('82.7 %', 'nearly all')
    """
    return "nearly all" if 0.995 < share < 1.0 else percent(share)


def keeps(kind: str) -> float:
    """mL that each g of the bed holds, and so keeps when the tap is closed."""
    return float(bed_of(kind, 1.0, "moderate").hold_up.magnitude)


def whole_time(herb: float, percolate: float, flow: str) -> float:
    """Hours from the dampened powder to the last drop: rest, a day's standing, and the tap (USP IX, 1916)."""
    grams = Q(float(herb), "g")
    tap = percolation.flow_for(grams, Q(RATES[flow], "mL/min/kg"))
    return float(percolation.whole_time(grams, Q(float(percolate), "mL"), tap).magnitude)


def sums(s: Setting) -> Drip:
    """Everything that the sentence, the numbers and the picture are made from."""
    herb, percolate = Q(float(s.herb), "g"), Q(float(s.run * s.herb), "mL")
    bed = bed_of(s.kind, s.herb, s.flow)
    flow = percolation.flow_for(herb, Q(RATES[s.flow], "mL/min/kg"))
    runs = np.concatenate([np.linspace(0.0, MOST_RUN, 61), [s.run]])
    run = bed.run(Q(runs * s.herb, "mL"))
    free, marc = bed.profile(percolate)
    free_part, held_part = (float(getattr(bed, name).magnitude) for name in ("free", "held"))
    curve = run.bottle[:-1]
    fit = percolation.bed_fits(herb, Q(float(s.cone), "mL"), Q(PACKED[s.kind], "g/mL"))
    each_run, kept = Q(float(s.run), "mL/g"), keeps(s.kind)
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
        stop=float(np.interp(ENOUGH, curve, runs[:-1])) if curve[-1] >= ENOUGH else None,
        plain_stop=float(percolation.stop_at(ENOUGH).magnitude),
        ready=float(percolation.menstruum_needed(herb, percolate, Q(kept, "mL/g")).magnitude),
        hours=float((percolate / flow).to("hour").magnitude),
        whole=whole_time(s.herb, s.run * s.herb, s.flow),
        drops_per_minute=float(flow.to("mL/min").magnitude) * s.drops,
        keeps=kept,
        damp=float(percolation.moistening(herb).magnitude),
        bed=float(fit.bed.magnitude),
        room=float(fit.room.magnitude),
    )


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One percolator: what is out, what the drops still carry, what to have ready, how long, and where to stop."""
    it = sums(setting)
    say = view.say
    through = f"{say(it.percolate, 'mL')} has come through" if it.percolate else "the tap is still closed"
    powder = f"{say(setting.herb, 'g')} of {TOLD[setting.kind]}"
    short = f"{say(it.percolate, 'mL')} through {powder}" if it.percolate else f"{powder}, tap closed"
    given = (
        f"{powder}, a cone of {say(setting.cone, 'mL')}, {setting.spirit:.3g} % vol, a {setting.flow} drip, and "
        f"{through}."
    )
    alt = (
        f"A cone of packed powder with a plug at its foot, a disc on top and a layer of menstruum "
        f"over it. The extract in it, drawn as a dark part "
        f"as wide as what is left at each height, has been pushed down: {percent(float(it.strength[0]))} is left at "
        f"the top and {percent(float(it.strength[-1]))} at the foot. A glass below holds {say(it.percolate, 'mL')}. "
        f"Beside it the share that is out against mL dripped through for each g, with a band for the plain curve and "
        f"two upright bars for what Squibb measured in 1866; the mark stands at {setting.run:g} and {drawn(it.out)}. "
        f"A {MODEL}."
    )
    return Look(
        sentence=f"{given} {_told(setting, it, view)}",
        numbers=_numbers(setting, it, view),
        alt=alt,
        table=_table(setting, it, view),
        left=lambda board, place, answer: _cone(board, place, setting, it, view, answer),
        right=lambda board, place: _curve(board, place, setting, it, view),
        share=0.47,
        given=given,
        short=f"{short}, {setting.flow} drip",
        ways_out=_advice(setting, it, view),
        caution=f"{weak(rules.floor, setting.spirit)} {caution(setting.spirit, rules.shelf)} {WET_MARC}".strip(),
    )


def _told(s: Setting, it: Drip, view: View) -> str:
    told = (
        f"By now {drawn(it.out)} {DRAWS} is out, and a drop is {percent(it.exit)} as strong as the first; the tap "
        f"has dripped for {said(it.hours, 'hour')}. "
        if it.percolate
        else ""
    )
    told += (
        f"{_reached(s, it, view)}. Have {view.safe(it.ready, 'mL', 'up')} ready: the "
        f"bed stays full and keeps {per_gram(it.keeps)}. A {MODEL}. {_against_1866(s, it)}"
    )
    if not it.fits:
        told += (
            f" The powder needs {view.say(it.bed, 'mL')} of room and two thirds of this cone (common practice) are "
            f"{view.say(it.room, 'mL')}: {view.safe(it.room * PACKED[s.kind], 'g', 'down')} goes in, or take a cone "
            f"of {view.safe(1.5 * it.bed, 'mL', 'up')}."
        )
    return told


def _stop(s: Setting, it: Drip, view: View) -> str:
    return "beyond this picture" if it.stop is None else view.safe(it.stop * s.herb, "mL", "up")


def _reached(s: Setting, it: Drip, view: View) -> str:
    enough = f"{100 * ENOUGH:.0f} %"
    return f"{enough} lies beyond this picture" if it.stop is None else f"For {enough} it takes {_stop(s, it, view)}"


def _against_1866(s: Setting, it: Drip) -> str:
    """How the bed of the picture stands to what was measured."""
    last = BARS[-1]
    run = float(last.percolate.magnitude)
    there = float(np.interp(run, it.runs, it.curve))
    bar = f"{100 * last.low:.0f} to {100 * last.high:.0f} %"
    if s.kind == "dense root powder":
        return (
            f"This bed was fitted at a moderate tap to Squibb's bars of 1866 ({bar} after {per_gram(run)}): meeting "
            "them proves nothing."
        )
    where = "inside" if last.low <= there <= last.high else "outside"
    return (
        f"Squibb's bars of 1866 are of seven other drugs ({bar} after {per_gram(run)}): this bed has "
        f"{percent(there)} there, {where} the bar."
    )


def _numbers(s: Setting, it: Drip, view: View) -> tuple[Number, ...]:
    name, ask = f"{100 * ENOUGH:.0f} % is out at", f"after how much is {100 * ENOUGH:.0f} % out?"
    stop = (
        Number(name, "later", "beyond this picture", unit="mL", key="stop", ask=ask)
        if it.stop is None
        else view.number("stop", name, it.stop * s.herb, "mL", ask, round="up")
    )
    tap = f"{_drops(it.drops_per_minute)} drops a minute"
    return (
        Number("Out by now", drawn(it.out), DRAWS, 100 * it.out, "percent", "out",
               "how much of the extract is out?"),
        Number("A drop now", percent(it.exit), "as strong as the first", 100 * it.exit, "percent", "drop",
               "how strong is a drop now, against the first?"),
        view.number("ready", "Have ready", it.ready, "mL", "how much must stand ready?", round="up"),
        stop,
        Number("The tap runs", said(it.hours, "hour"), tap, it.hours, "hour", "hours", "how long does the tap run?"),
        view.number("fits", "Goes into the cone", it.room * PACKED[s.kind], "g",
                    f"how much goes into a cone of {view.say(s.cone, 'mL')}?", round="down"),
        view.number("left", "Stays in the bed", it.ready - it.percolate, "mL", "how much stays in the bed?"),
    )  # fmt: skip


def _table(s: Setting, it: Drip, view: View) -> tuple[tuple[str, str, str], ...]:
    say, (low, high) = view.say, it.plain_between
    rows = [
        (
            m.what,
            f"{(each := m.percolate.magnitude):.3g} mL for each g ({each * FL_OZ_PER_OZ:.3g} fl oz for each oz)",
            f"{percent(m.low)} to {percent(m.high)}" if m.low is not None and m.high is not None else "no figure",
        )
        for m in percolation.MEASURED_1866
    ]
    return (
        ("", "by this bed", "plain curve (Squibb 1866)"),
        (f"share out, {DRAWS}", drawn(it.out), f"{drawn(it.plain)} ({percent(low)} to {percent(high)})"),
        ("strength of the drops now, against the first", percent(it.exit), ""),
        ("stop for 95 %", _stop(s, it, view), view.safe(it.plain_stop * s.herb, "mL", "up")),
        ("the bed holds, and keeps", say(it.ready - it.percolate, "mL"), ""),
        ("dampen the powder with (a middle of 0.3 to 1, old books)", say(it.damp, "mL"), ""),
        ("flow", f"{say(it.flow, 'mL')} in an hour, {_drops(it.drops_per_minute)} drops a minute", ""),
        ("all in all, with 6 hours damp and a day of standing (USP 1916)", said(it.whole, "hour"), ""),
        ("measured in 1866 (Squibb; printed in Sulz 1888):", "", ""),
        *rows,
    )


def _advice(s: Setting, it: Drip, view: View) -> list[str]:
    """What would work better, where something is in the way."""
    told = []
    if not it.fits:
        fits = view.safe(it.room * PACKED[s.kind], "g", "down")
        told.append(f"In this cone {fits} of this powder; the rest in a second one.")
    if s.kind == "coarse cut herb":
        told.append("Grind it to an even powder, or soak it: coarse pieces let go slowly, and the drip outruns them.")
    if s.kind == "dense root powder" and s.spirit < 60:
        told.append("Gummy roots such as marshmallow swell in weak spirit and clog the cone: soak those instead.")
    if s.flow == "quick" and s.kind != "coarse cut herb":
        told.append("A slower tap gives the pieces time: the same liquid then carries more.")
    if 0 < s.run < 1:
        told.append("It can be stopped this early, but much stays behind: let more drip through.")
    return told


def _drops(number: float) -> str:
    """A count of drops to two figures, and to whole drops from ten on.

    >>> _drops(7.4), _drops(403.3)
    ('7.4', '403')
    """
    return f"{number:.2g}" if number < 10 else f"{number:.0f}"


def _whole(share: float) -> str:
    return "< 1 %" if 0 < share < 0.01 else f"{100 * share:.0f} %"


def _cone(board: Board, place: Place, s: Setting, it: Drip, view: View, answer: bool) -> None:
    """The percolator with its front; before the guess what has dripped, and neither front nor what goes in."""
    top = board.scale("glass", MOST_RUN * s.herb, MOST_RUN * s.herb)
    seen, dripping = answer or it.fits, it.percolate > 0
    in_bed = f"{_whole(it.left)} in it" if answer else "? % in it"
    if not it.fits:
        in_bed = view.pair(it.room * PACKED[s.kind], "g", "down")[0] if answer else ""
    picture = Percolator(
        bed=min(it.bed, it.room) / s.cone if seen else 0.0,
        strength=it.strength if answer else (),
        glass=it.percolate / top,
        above="menstruum" if seen else "",
        in_bed=in_bed,
        drops="" if not dripping else f"drop {_whole(it.exit)}" if answer else "drop ? %",
        below=view.pair(it.percolate, "mL")[0] if dripping else "",
        brim="" if seen else view.pair(s.cone, "mL")[0],
    )
    percolator(board, "cone", place, picture)


def _curve(board: Board, place: Place, s: Setting, it: Drip, view: View) -> None:
    """How the share grows, with what was measured in 1866."""
    kitchen = view.units == "kitchen"
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, MOST_RUN, "fl oz for each oz" if kitchen else "mL for each g"),
        (0.0, 1.25 if board.narrow else 1.0, "out: a model"),
        [(n / FL_OZ_PER_OZ if kitchen else n, f"{n:g}") for n in (0.0, 1.0, 2.0, 3.0, 4.0, 5.0)],
        [(n, f"{100 * n:.0f} %") for n in (0.0, 0.5, 1.0)],
    )
    if not board.is_faint:
        chart.band("plain", it.runs, 1 - np.exp(-it.runs / LATE), 1 - np.exp(-it.runs / FAST))
        for n, measured in enumerate(BARS):
            at = float(measured.percolate.magnitude)
            (x, low), (_, high) = chart.at(at, measured.low), chart.at(at, measured.high)
            board.line(f"1866 {n}", [x, x], [low, high], ink="limit", width=3.4)
            board.line(f"1866 {n} foot", [x - 4, x + 4], [low, low], ink="limit", width=2.4)
            board.line(f"1866 {n} head", [x - 4, x + 4], [high, high], ink="limit", width=2.4)
        chart.note("1866", 2.6, 0.14, "1866" if board.narrow else "Squibb 1866", ink="limit")
        x, y = chart.at(2.6, 0.14)
        board.line("1866 sign", [x - 9, x - 9], [y - 6, y + 6], ink="limit", width=3.4)
    chart.curve("bed", it.runs, it.curve)
    if it.stop is not None and not board.narrow and not board.is_faint:
        board.dot("enough", *chart.at(it.stop, ENOUGH), ink="limit", across=9.0)
    chart.mark("now", s.run, it.out, drawn(it.out), ink="bottle")
    if it.stop is not None and not board.narrow and not board.is_faint:
        chart.note("enough", it.stop, ENOUGH, f"{100 * ENOUGH:.0f} %", "limit", -1.1, if_room=True)
