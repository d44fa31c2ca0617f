"""Floor 5. Lesson 11, second panel: wax. How much for how firm a salve, and how many tins it fills."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from herbcalc import preserving
from herbcalc.rules import Rules
from herbcalc.show.cautions import WATER_BATH
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.look import MOST_LIQUID, Look, Number, View, dial, pick
from herbcalc.show.words import marks, percent
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.saying import said, so_many

LESSON = 11
PART = "wax"
BOTH_RULES = False
TITLE = "Wax, and how firm it sets"
CAUTION = f"{WATER_BATH} Beeswax melts at 62 to 64 °C (144 to 147 °F)."

SHARES = (0.02, 0.5)  # the ends of the dial
DRAWN = 24  # tins that are drawn; of more than that the rest is said
SPOON = (
    "Before it is poured: a spoonful in the freezer for a few minutes, then feel it. Too soft: more wax. Too firm: "
    "more oil."
)


@dataclass(frozen=True)
class Setting:
    """A salve. Oil and tin in mL, wax in g, `share` the wax of the whole weight."""

    by: str = pick("share", {"share": "how firm it is to be", "wax": "the wax at hand"}, label="Begin with")
    oil: float = dial(237, "mL", low=30, high=1000, step=1, label="Herb oil", most=MOST_LIQUID)
    share: float = dial(
        0.2, "share", low=SHARES[0], high=SHARES[1], step=0.002, label="Wax, a share", stops=("wax_soft", "wax_firm")
    )
    wax: float = dial(28, "g", low=5, high=300, step=1, label="Beeswax", most=2000.0)
    tin: float = dial(30, "mL", low=5, high=250, step=5, label="A tin holds", stops=(15.0, 30.0, 60.0))


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting."""
    return set(Setting.__dataclass_fields__) - ({"wax"} if setting.by == "share" else {"share"})


@dataclass(frozen=True)
class Salve:
    """The sums of one setting: g of wax and of oil, the wax's share, mL when it has cooled, whole tins and mL left
    over; g of wax that are missing to the house's firm salve, and mL of oil that are missing to the soft one."""

    wax: float
    oil: float
    share: float
    room: float
    tins: int
    left: float
    more_wax: float
    more_oil: float


def sums(s: Setting, rules: Rules) -> Salve:
    """Everything that is told and drawn."""
    oil = Q(float(s.oil), "mL")
    wax = preserving.wax_needed(oil, float(s.share)) if s.by == "share" else Q(float(s.wax), "g")
    room, tin = preserving.salve_volume(wax, oil), Q(float(s.tin), "mL")
    tins = int(preserving.whole_tins(room, tin))
    firm = float(preserving.wax_needed(oil, rules.wax_firm).magnitude)
    density = float(preserving.OIL.magnitude)
    soft_oil = float(wax.magnitude) * (1 - rules.wax_soft) / rules.wax_soft / density
    return Salve(
        wax=float(wax.magnitude),
        oil=s.oil * density,
        share=float(preserving.wax_share(wax, oil)),
        room=float(room.magnitude),
        tins=tins,
        left=max(float(room.magnitude) - tins * s.tin, 0.0),
        more_wax=max(firm - float(wax.magnitude), 0.0),
        more_oil=max(soft_oil - s.oil, 0.0),
    )


def _tins(number: int) -> str:
    return so_many(number, "tin")


def _firmness(share: float, rules: Rules) -> str:
    """How a salve sets, by the two house rules; common practice."""
    if share < 0.95 * rules.wax_soft:
        return "softer than your soft salve: it may run in a warm pocket"
    if share < (rules.wax_soft + rules.wax_firm) / 2:
        return "a soft salve by your rules: a finger goes in"
    return (
        "nearly firm by your rules: a nail marks it"
        if share < 0.95 * rules.wax_firm
        else "firm by your rules, for a hot day or a stick"
    )


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One salve: its wax, how firm it sets, the room it takes and the tins it fills."""
    it, say = sums(setting, rules), view.say
    if setting.by == "share":
        given = (
            f"{say(setting.oil, 'mL')} of herb oil becomes a salve, with {percent(setting.share)} of its weight wax."
        )
    else:
        given = f"{say(setting.wax, 'g')} of beeswax is melted into {say(setting.oil, 'mL')} of herb oil."
    sentence = (
        f"{given} The oil weighs {say(it.oil, 'g')}; with {say(it.wax, 'g')} of wax {percent(it.share)} of the "
        f"salve is wax: {_firmness(it.share, rules)} (common practice). Cooled it takes {say(it.room, 'mL')}: "
        f"{_tins(it.tins)} of {say(setting.tin, 'mL')}, and {say(it.left, 'mL')} left. {SPOON}"
    )
    alt = (
        f"A bar of {say(it.wax, 'g')} of wax and {say(it.oil, 'g')} of oil to one scale. Below it the tins: "
        f"{it.tins:,} full{', and one with what is left' if it.left > SLACK else ''}. Beside them a curve of "
        "the wax for this oil against its share, which climbs ever more steeply; the mark stands at "
        f"{percent(it.share)} and {say(it.wax, 'g')}."
    )
    return Look(
        sentence=sentence,
        numbers=_numbers(it, rules, view),
        alt=alt,
        table=_table(setting, it, rules, view),
        left=lambda board, place, answer: _picture(board, place, setting, it, view, answer),
        right=lambda board, place: _curve(board, place, it, rules, view),
        share=0.54,
        given=given,
        short=(
            f"{say(setting.oil, 'mL')} of oil, "
            + (f"{percent(setting.share)} wax" if setting.by == "share" else f"{say(setting.wax, 'g')} of wax")
        ),
        ways_out=_mend(it, rules, view),
    )


def _mend(it: Salve, rules: Rules, view: View) -> list[str]:
    """What would work where the spoon says too soft, or too firm."""
    if it.share < rules.wax_firm - 5e-4:
        return [f"Too soft on the spoon? {view.say(it.more_wax, 'g')} more wax makes it your firm salve."]
    if it.more_oil > SLACK:
        return [f"Too firm on the spoon? {view.say(it.more_oil, 'mL')} more oil makes it your soft salve."]
    return []


def _numbers(it: Salve, rules: Rules, view: View) -> tuple[Number, ...]:
    number = view.number
    return (
        number("wax", "Beeswax", it.wax, "g", "how much wax goes in?"),
        Number("Wax, by weight", percent(it.share), f"soft {percent(rules.wax_soft)}, firm {percent(rules.wax_firm)}",
               100 * it.share, "percent", "share", "how much of the salve is wax?"),
        Number("Whole tins", _tins(it.tins), "rounded down", it.tins, "tins", "tins", "how many tins does it fill?"),
        number("room", "Salve, cooled", it.room, "mL", "how much salve is it?"),
        number("more", "More wax for firm", it.more_wax, "g", "how much more wax makes it your firm salve?"),
        number("left", "Left over", it.left, "mL", "how much is left when the tins are full?"),
    )  # fmt: skip


def _table(s: Setting, it: Salve, rules: Rules, view: View) -> tuple[tuple[str, str], ...]:
    say, soft, firm = view.say, percent(rules.wax_soft), percent(rules.wax_firm)
    each = f"{said(preserving.OIL.magnitude, 'g/mL')} (0.95 oz for each fl oz)"
    return (
        ("", "this salve"),
        ("oil by the jug", say(s.oil, "mL")),
        (f"oil on the scale, {each}", say(it.oil, "g")),
        ("beeswax", say(it.wax, "g")),
        (f"wax of the whole weight (your soft {soft}, firm {firm})", percent(it.share)),
        ("cooled, 0.93 g for each mL (0.97 oz for each fl oz), common practice", say(it.room, "mL")),
        (f"whole tins of {say(s.tin, 'mL')}, rounded down", f"{it.tins:,}, and {say(it.left, 'mL')} left"),
        ("in print, by weight", "White Ointment USP 5 %, BPC 1911 paraffin cerate 6.25 %, simple ointment 1918 20 %"),
        ("beeswax melts at", "62 to 64 °C (144 to 147 °F); BPC 1911: 61 to 64 °C (142 to 147 °F)"),
    )


# --- what is drawn ------------------------------------------------------------------------------------------------


def _picture(board: Board, place: Place, s: Setting, it: Salve, view: View, answer: bool) -> None:
    """Wax and oil as the scale sees them, and the tins below."""
    top, foot = rows(place, 2)
    if not answer:
        wax = "?" if s.by == "share" else view.pair(s.wax, "g")[0]
        stack(board, "salve", top, [Part("bottle", 1.0, "oil")], 1.0, f"oil {view.pair(s.oil, 'mL')[0]}, wax {wax}")
        stack(board, "tins", foot, [], 1.0, f"tins of {view.pair(s.tin, 'mL')[0]}: ?")
        _draw_tins(board, foot, [0.0])
        return
    whole = it.wax + it.oil
    full = board.scale("salve", whole, whole)
    parts = [Part("band", it.wax, "wax"), Part("bottle", it.oil, "oil")]
    stack(board, "salve", top, parts, full, f"wax {view.pair(it.wax, 'g')[0]}: {percent(it.share)}")
    said_so = f", {DRAWN} drawn" if it.tins > DRAWN and not board.narrow else ""
    stack(board, "tins", foot, [], 1.0, f"{_tins(it.tins)}{said_so}")
    last = [it.left / s.tin] if it.tins < DRAWN and it.left > SLACK else []
    _draw_tins(board, foot, [1.0] * min(it.tins, DRAWN) + last)


def _draw_tins(board: Board, place: Place, fillings: Sequence[float]) -> None:
    """Two rows of tins at most; each filling is a share of its tin."""
    columns = int(board.scale("columns", len(fillings), DRAWN // 2 if len(fillings) > DRAWN // 2 else DRAWN // 4))
    wide, high = place.w / columns, (place.h - 1.6 * board.size) / 2
    for n, filled in enumerate(fillings):
        row, column = divmod(n, columns)
        x, y = place.x + column * wide, place.y + (1 - row) * high
        board.box(f"tin {n} salve", x + 2, y + 2, wide - 6, (high - 6) * filled, fill="band", width=0.8)
        board.box(f"tin {n}", x + 2, y + 2, wide - 6, high - 6, fill="", width=1.8)


def _curve(board: Board, place: Place, it: Salve, rules: Rules, view: View) -> None:
    """The wax that this oil takes, against the share that is to be wax."""
    right = max(0.4, min(1.2 * it.share, 0.8))
    top = 1.15 * it.oil * right / (1 - right)
    unit, ticks = marks(view, "g", top, about=3)
    chart = Chart(board, "wax", place, (0.0, 100 * right, "% wax by weight"), (0.0, top, f"{unit} of wax"),
                  [(n, f"{n:.0f}") for n in (0.0, 50 * right, 100 * right)], ticks)  # fmt: skip
    shares = np.linspace(0.0, right, 60)
    chart.curve("curve", 100 * shares, it.oil * shares / (1 - shares))
    for name, share in (("soft", rules.wax_soft), ("firm", rules.wax_firm)):
        if share < right and not board.is_faint:
            at = it.oil * share / (1 - share)
            board.dot(f"wax {name}", *chart.at(100 * share, at), ink="limit", across=8.0)
            if not board.narrow:
                chart.note(name, 100 * share - 1, at, name, ink="limit", lift=1.1, ha="right", if_room=True)
    chart.mark("now", 100 * it.share, it.wax, view.pair(it.wax, "g")[0], ink="bottle")
