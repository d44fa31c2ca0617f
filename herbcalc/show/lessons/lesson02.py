"""Floor 5. Lesson 2: how much may I take? What a stand allows, what a basket needs, what stays, and when to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from herbcalc import harvest
from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.kinds import comparable
from herbcalc.show.draw.shapes import Chart, Place
from herbcalc.show.look import MOST_HERB, Look, Number, View, dial, pick
from herbcalc.show.words import marks
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import of_hundred, said, so_many

LESSON = 2
BOTH_RULES = False
TITLE = "How much may I take?"
CAUTION = (
    "First the gate: certain of the plant, or leave it; leave of the land; no spray, no roadside. Law and permission "
    "are your local code's: where it allows less than this sum, it holds."
)

DIGS = "root"  # the part that ends its plant; of all others a share of each plant is taken, and it lives on
YEARS = 3.0
NOTHING = "The share is 0, so nothing of the {part} is picked, and no number of plants fills a basket."
MOST_COUNTED = 500.0
GROUNDS = {"wild": "wild, common here", "risk": "wild, at risk", "garden": "your own garden"}
_WHERE = {"wild": "a common wild stand", "risk": "a wild stand at risk", "garden": "your own garden"}


@dataclass(frozen=True)
class Setting:
    """A stand and a wish. Weights in g of fresh plant, shares of 1."""

    part: str = pick(DIGS, harvest.parts(), label="What is gathered")
    ground: str = pick("wild", GROUNDS, label="Where it grows")
    count: float = dial(60, "", low=5, high=300, step=1, label="Plants counted", most=MOST_COUNTED)
    share: float = dial(
        0.1, "share", low=0, high=1, step=0.01, label="Share that may go", stops=("stand_share", "leaf_share")
    )
    each: float = dial(250, "g", low=5, high=500, step=5, label="One plant gives", most=MOST_HERB)
    want: float = dial(1200, "g", low=50, high=5000, step=50, label="Basket wanted", most=MOST_HERB)
    lost: float = dial(0.1, "share", low=0, high=0.5, step=0.01, label="Dies each winter")


@dataclass(frozen=True)
class Stand:
    """The sums of one setting: `plan` as harvest gives it; plants that stay standing; the most the stand gives,
    in g; plants needed where one gives double and where it gives half, and how many times apart those yields are;
    plants to set for a harvest in three years."""

    plan: harvest.Plan
    stay: int
    most: float
    fewest: int
    needed_at_half: int
    factor: float
    set_now: int


def sums(s: Setting) -> Stand:
    """Everything that the sentence, the numbers and the picture are made from."""
    if s.part != DIGS and s.share == 0:
        raise Impossible(
            NOTHING.format(part=s.part), [harvest.GROWN, "Let a share go, such as 0.1 (10 of every 100)."]
        )
    of_stand, of_plant = (s.share, 1.0) if s.part == DIGS else (1.0, s.share)
    want, each, risk = Q(float(s.want), "g"), Q(float(s.each), "g"), s.ground == "risk"
    plan = harvest.plan(want, each, s.count, of_stand, risk, of_plant)
    band = harvest.yield_of(each)
    return Stand(
        plan=plan,
        stay=int(s.count) - (plan.dig if s.part == DIGS else 0),
        most=float(harvest.largest_batch(s.count, of_stand, each, risk, of_plant).magnitude),
        fewest=int(harvest.plants_needed(want, band.high, of_plant)),
        needed_at_half=int(harvest.plants_needed(want, band.low, of_plant)),
        factor=band.factor,
        set_now=int(harvest.plants_to_set(plan.needed, s.lost, YEARS)),
    )


def _plants(number: int) -> str:
    return so_many(number, "plant")


def _taking(s: Setting) -> tuple[str, str]:
    """What is done to a plant: "may be ...", and "to ...", in short."""
    return ("dug", "dig") if s.part == DIGS else ("picked from", "pick from")


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One stand and one wish: what may be taken, what it needs, what stays, and by which sign to come."""
    it = sums(setting)
    say, (done, _) = view.say, _taking(setting)
    if setting.part == DIGS:
        goes = f"{of_hundred(setting.share)} may be {done}"
    else:
        goes = f"{of_hundred(setting.share)} parts of the {setting.part} on each may go"
    given = (
        f"{_plants(int(setting.count))} stand in {_WHERE[setting.ground]}, and {goes}. One gives "
        f"{say(setting.each, 'g')}, and the basket is to hold {say(setting.want, 'g')}."
    )
    return Look(
        sentence=_sentence(given, setting, it, rules),
        numbers=_numbers(setting, it, view),
        alt=_alt(setting, it, view),
        table=_table(setting, it, rules, view),
        left=lambda board, place, answer: _field(board, place, setting, it, answer),
        right=lambda board, place: _chart(board, place, setting, it, view),
        given=given,
        short=f"{_plants(int(setting.count))}, {said(setting.share, '')} may go, {say(setting.each, 'g')} from one",
        ways_out=_ways(setting, it) if not it.plan.enough else (),
        caution=_caution(setting, rules),
    )


def _sentence(given: str, s: Setting, it: Stand, rules: Rules) -> str:
    done, _ = _taking(s)
    plan = it.plan
    if plan.enough:
        verdict = f"{_plants(plan.allowed)} may be {done}, the basket needs {plan.needed:,}: that will do."
    else:
        verdict = plan.reason
    if s.part == DIGS:
        verdict += f" {_plants(it.stay)} stay standing."
    band = (
        f"If plants here give half of that or double, which is {said(it.factor, '')} times apart (common practice; "
        f"from garden to garden it can be tenfold, so weigh one), it needs {it.fewest:,} to {it.needed_at_half:,}."
    )
    when = harvest.gathering(s.part, rules.hemisphere)
    return f"{given} {verdict} {band} {s.part.capitalize()}: {when.said()[0].lower()}{when.said()[1:]}"


def _numbers(s: Setting, it: Stand, view: View) -> tuple[Number, ...]:
    done, _ = _taking(s)
    plan = it.plan
    half = f"{it.fewest:,} to {it.needed_at_half:,}, if one gives double or half"
    may_be, heaviest = f"how many plants may be {done}?", "what is the heaviest basket?"
    return (
        Number("Allowed", _plants(plan.allowed), "rounded down", plan.allowed, "plants", "may", may_be),
        Number(
            "Needed", _plants(plan.needed), half, plan.needed, "plants", "needed", "how many plants does it need?"
        ),
        view.number("basket", "Heaviest basket", it.most, "g", heaviest, round="down" if it.most else "near"),
        Number("Stay", _plants(it.stay), f"of {int(s.count):,}", it.stay, "plants", "stay", "how many plants stay?"),
        Number(
            "Set now",
            _plants(it.set_now),
            f"for {plan.needed:,} in three years",
            it.set_now,
            "plants",
            "set",
            "how many must be set now for that harvest in three years?",
        ),
    )


def _table(s: Setting, it: Stand, rules: Rules, view: View) -> tuple[tuple[str, str], ...]:
    done, todo = _taking(s)
    when = harvest.gathering(s.part, rules.hemisphere)
    return (
        ("", "this stand"),
        ("counted", f"{int(s.count):,}"),
        (f"may be {done}, rounded down", f"{it.plan.allowed:,}"),
        ("the basket needs, rounded up", f"{it.plan.needed:,}"),
        (f"to {todo}, the smaller", f"{it.plan.dig:,}, which give {view.say(it.plan.fresh.magnitude, 'g', 'down')}"),
        ("stay standing", f"{it.stay:,}"),
        ("needed, if one gives double, or half", f"{it.fewest:,}, or {it.needed_at_half:,}"),
        ("what plants of a kind can differ by, from garden to garden", "tenfold: weigh one"),
        (f"to set now, if {of_hundred(s.lost)} die each winter", f"{it.set_now:,}"),
        ("usually, common practice", f"{harvest.months_said(when.months)} in the {when.hemisphere}"),
        ("the sign to look for", when.sign),
        ("what to leave", when.leave),
    )


def _alt(s: Setting, it: Stand, view: View) -> str:
    done, todo = _taking(s)
    spare = it.plan.allowed - it.plan.dig
    chart = (
        f"Beside it how many of {_plants(it.set_now)} set now stand after each of three winters, down to "
        f"{it.plan.needed:,}."
        if _waits(s)
        else f"Beside it a curve of the plants needed against what one gives, falling steeply at first; the mark is "
        f"at {view.say(s.each, 'g')} from one and {_plants(it.plan.needed)} for {view.say(s.want, 'g')}."
    )
    return (
        f"A field of {_plants(int(s.count))}: {it.plan.dig:,} to {todo}, {spare:,} more that may be {done}, and "
        f"{int(s.count) - it.plan.allowed:,} that are left alone. {chart}"
    )


def _ways(s: Setting, it: Stand) -> Sequence[str]:
    """What would work where the stand does not give the basket; planting is always one of them."""
    plant = (
        f"Plant it yourself: {_plants(it.set_now)} set now give that basket in three years, if {of_hundred(s.lost)} "
        "of those that stand die each winter."
    )
    return (*it.plan.ways_on, plant)


def _caution(s: Setting, rules: Rules) -> str:
    """A line where the share is more than the house allows of such a stand, and one for bark."""
    bark = "Bark comes from pruned twigs: a ring cut round the trunk ends the tree." if s.part == "bark" else ""
    house = "stand_share" if s.part == DIGS else "leaf_share"
    if s.share <= getattr(rules, house) + SLACK or (s.part == DIGS and s.ground == "garden"):
        return bark
    much = f"{of_hundred(s.share).capitalize()} is more than your house rule of {rules.said(house)}"
    if s.ground == "garden":
        over = f"{much} for a plant that is to live on: in your own garden too it may not come back."
    else:
        over = f"{much} for a wild plant: only in your own garden." if s.part == DIGS else f"{much} for one plant."
    return f"{over} {bark}".strip()


# --- pictures -------------------------------------------------------------------------------------------------------

Stroke = tuple[tuple[float, float], ...]  # points of one line, in parts of a plant's own square
SPRIG: tuple[Stroke, ...] = (((0.5, 0.0), (0.5, 0.85)), ((0.18, 0.7), (0.5, 0.4), (0.82, 0.7)))
SPARE: tuple[Stroke, ...] = (*SPRIG, ((0.1, 0.0), (0.9, 0.0)))
HOLE: tuple[Stroke, ...] = (((0.1, 0.35), (0.3, 0.05), (0.7, 0.05), (0.9, 0.35)),)
CUT: tuple[Stroke, ...] = (
    ((0.5, 0.0), (0.5, 0.45)),
    ((0.18, 0.3), (0.5, 0.1), (0.82, 0.3)),
    ((0.3, 0.52), (0.7, 0.52)),
)


def _stand_of(
    strokes: Sequence[Stroke], corners: Sequence[tuple[float, float]], size: float
) -> tuple[list[float], list[float]]:
    """One broken line that draws the same plant at every corner: five hundred plants are one artist."""
    xs: list[float] = []
    ys: list[float] = []
    for x, y in corners:
        for stroke in strokes:
            xs += [*(x + size * dx for dx, _ in stroke), np.nan]
            ys += [*(y + size * dy for _, dy in stroke), np.nan]
    return xs, ys


def _kinds(s: Setting, it: Stand, answer: bool) -> list[tuple[str, tuple[Stroke, ...], str, int, str]]:
    """Each kind of plant on the field: its key, shape, ink, how many, and its words."""
    if not answer:
        return [("stay", SPRIG, "keeps", int(s.count), "counted")]
    _, todo = _taking(s)
    taken, spare = it.plan.dig, it.plan.allowed - it.plan.dig
    rest = int(s.count) - it.plan.allowed
    return [
        ("taken", HOLE if s.part == DIGS else CUT, "limit", taken, f"to {todo}"),
        ("spare", SPARE, "curve", spare, "more may go"),
        ("stay", SPRIG, "keeps", rest, "left alone"),
    ]


def _field(board: Board, place: Place, s: Setting, it: Stand, answer: bool) -> None:
    """The stand as it was counted, a small drawing for each plant, with what each drawing means below."""
    kinds = _kinds(s, it, answer)
    line = 1.5 * board.size
    foot = place.y + line * 3
    wide, high = place.w, place.h - 3 * line
    count = int(board.scale("field", s.count, s.count))
    columns = max(1, round((count * wide / high) ** 0.5))
    size = min(wide / columns, high / -(-count // columns))
    at = 0
    for key, strokes, ink, many, _ in kinds:
        spots = [divmod(n, columns) for n in range(at, at + many)]
        at += many
        if many:
            corners = [(place.x + (c + 0.1) * size, foot + high - (r + 0.95) * size) for r, c in spots]
            board.line(f"field {key}", *_stand_of(strokes, corners, 0.8 * size), ink=ink, width=1.4)
    if board.is_faint:
        return
    for n, (key, strokes, ink, many, words) in enumerate(kinds):
        y = place.y + (2 - n) * line
        board.line(f"key {key}", *_stand_of(strokes, [(place.x, y)], board.size), ink=ink, width=1.6)
        board.words(f"key {key}", place.x + 1.6 * board.size, y + 0.5 * board.size, f"{many:,} {words}", ha="left")


def _waits(s: Setting) -> bool:
    """Whether what is dug is planted for: then the winters until the harvest are drawn."""
    return s.ground == "garden" and s.part == DIGS


def _chart(board: Board, place: Place, s: Setting, it: Stand, view: View) -> None:
    kind = "winters" if _waits(s) else "by yield"
    if not comparable(board, "chart", kind):
        return
    if _waits(s):
        _winters(board, place, s, it)
    else:
        _by_yield(board, place, s, it, view)


def _by_yield(board: Board, place: Place, s: Setting, it: Stand, view: View) -> None:
    """Plants needed against what one plant gives, with the band from half to double, and what may be taken."""
    of_plant = 1.0 if s.part == DIGS else s.share
    right, top = 2.4 * s.each, 1.15 * it.needed_at_half
    unit, x_ticks = marks(view, "g", right)
    _, y_ticks = marks(view, "", top, about=3)
    chart = Chart(board, "chart", place, (0.0, right, f"{unit} from one plant"), (0.0, top, "plants needed"), x_ticks,
                  y_ticks)  # fmt: skip
    band = np.geomspace(s.each / 2, 2 * s.each, 24)
    chart.band("band", band, 0 * band, s.want / (band * of_plant))
    each = np.geomspace(s.want / (top * of_plant), right, 60)
    chart.curve("curve", each, s.want / (each * of_plant))
    if it.plan.allowed <= top:
        chart.level("may", it.plan.allowed, "" if board.narrow else "may go", above=it.plan.allowed < it.plan.needed)
    chart.mark("now", s.each, it.plan.needed, _plants(it.plan.needed), above=True)


def _winters(board: Board, place: Place, s: Setting, it: Stand) -> None:
    """How many of the plants that are set stand after each winter."""
    top = 1.4 * it.set_now
    _, y_ticks = marks(View(), "", top, about=3)
    chart = Chart(board, "winters", place, (0.0, YEARS, "winters from now"), (0.0, top, "plants standing"),
                  [(float(n), str(n)) for n in range(4)], y_ticks)  # fmt: skip
    years = np.linspace(0.0, YEARS, 40)
    chart.curve("curve", years, it.set_now * (1.0 - s.lost) ** years)
    chart.level("wanted", it.plan.needed, "" if board.narrow else "wanted", above=it.plan.needed < 0.6 * it.set_now)
    chart.mark("set", 0.0, it.set_now, f"set {_plants(it.set_now)}")
