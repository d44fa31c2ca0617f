"""Floor 5. Lesson 11: oil and wax. What a wilted plant still holds, the water under the oil, and what comes out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from herbcalc import maceration, moisture, preserving
from herbcalc.rules import Rules
from herbcalc.show.cautions import DRIED_TO_EAT, DUST, UNDER_OIL, WATER_BATH, cold
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.kinds import comparable
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.look import MOST_HERB, Look, Number, Stop, View, dial, pick
from herbcalc.show.words import one_to
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.saying import per_gram, said

LESSON = 11
BOTH_RULES = False
TITLE = "Oil, and the water under it"
CAUTION = f"{DRIED_TO_EAT} {WATER_BATH}"

FOR = {"skin": "for the skin", "shelf": "to be eaten, kept on a shelf", "cold": "to be eaten, kept cold"}
WIDEST = 15.0  # mL of oil for each g
HUNDRED = [(0.0, "0"), (50.0, "50"), (100.0, "100")]  # the marks of a scale of shares


@dataclass(frozen=True)
class Setting:
    """A plant on its way under oil. Herb in g, water in % as weighed when fresh, `lost` a share of the weight."""

    state: str = pick("wilted", {"wilted": "fresh, wilted on the tray", "dried": "dried herb"}, label="The plant is")
    use: str = pick("skin", FOR, label="The oil is")
    herb: float = dial(250, "g", low=20, high=1000, step=5, label="Plant", batch="herb", most=MOST_HERB)
    water: float = dial(80, "percent_wb", low=30, high=95, step=1, label="Its water when fresh", batch="water")
    lost: float = dial(0.5, "share", low=0, high=0.9, step=0.01, label="Weight lost on the tray")
    ratio: float = dial(5, "mL/g", low=1, high=WIDEST, step=0.5, label="Oil")
    kept: float = dial(2, "kept", low=0.2, high=6, step=0.1, label="The marc keeps", stops=("retained_oil",))


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting: dried herb does not wilt."""
    return set(Setting.__dataclass_fields__) - ({"water", "lost"} if setting.state == "dried" else set())


@dataclass(frozen=True)
class Oil:
    """The sums of one setting: g of plant as it goes in, its water in % and in g, the weight at which it counts as
    dry, in g, mL of oil poured and mL that come out, and whether the plant is dry by the house rule."""

    weighs: float
    wet: float
    water: float
    dry_at: float
    oil: float
    out: float
    dry: bool


def sums(s: Setting, rules: Rules) -> Oil:
    """Everything that is told and drawn. Refuses a plant that has lost more than its water."""
    fresh, target = Q(float(s.herb), "g"), Q(rules.dried_to, "percent_wb")
    if s.state == "dried":
        weighs, wet, dry_at = s.herb, rules.dried_to, s.herb
    else:
        water = Q(float(s.water), "percent_wb")
        wet = float(preserving.wilted_water(water, float(s.lost)).magnitude)
        weighs = s.herb * (1 - s.lost)
        dry_at = float(moisture.dried_weight(fresh, water, target).magnitude)
    herb, oil = Q(float(weighs), "g"), Q(float(weighs * s.ratio), "mL")
    return Oil(
        weighs=weighs,
        wet=wet,
        water=weighs * wet / 100,
        dry_at=dry_at,
        oil=float(oil.magnitude),
        out=float(maceration.liquid_out(herb, oil, Q(float(s.kept), "mL/g")).magnitude),
        dry=wet <= rules.dried_to + SLACK,
    )


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One jar of oil: the water that the plant still holds, where it goes, and the oil that comes out.

    Stops at a plant that is not dry, under oil that is to be eaten from a shelf.
    """
    it = sums(setting, rules)
    if setting.use == "shelf" and not it.dry:
        raise Stop(_stop(it), _ways(it, rules, view))
    say = view.say
    plant = (
        f"{say(setting.herb, 'g')} of dried herb, {said(rules.dried_to, 'percent_wb')} by your house rule,"
        if setting.state == "dried"
        else f"{say(setting.herb, 'g')} of fresh plant, {setting.water:.3g} % water, has lost "
        f"{said(100 * setting.lost, '')} of every 100 parts of its weight on the tray. It"
    )
    given = f"{plant} goes under oil at {one_to(setting.ratio)}, {FOR[setting.use]}."
    return Look(
        sentence=f"{given} {_told(setting, it, rules, view)} {_verdict(setting, it, rules, view)}",
        numbers=_numbers(it, rules, view),
        alt=_alt(setting, it, rules, view),
        table=_table(setting, it, rules, view),
        left=lambda board, place, answer: _bars(board, place, setting, it, view, answer),
        right=lambda board, place: _chart(board, place, setting, it, rules),
        given=given,
        short=f"{say(setting.herb, 'g')}, {_state(setting)}, {one_to(setting.ratio)}, {FOR[setting.use]}",
        ways_out=_ways(it, rules, view) if not it.dry else _more_oil(setting, it, view),
        caution=_caution(setting, it, rules),
    )


def _state(s: Setting) -> str:
    return "dried" if s.state == "dried" else f"{s.water:.3g} % water, {said(100 * s.lost, '')} of 100 lost"


def _stop(it: Oil) -> str:
    return (
        f"Stop. This plant is still {it.wet:.3g} % water, and the oil is to be eaten from a shelf. Oil keeps the air "
        "out; in the water under it botulism can grow, a poison that nobody sees, smells or tastes. It is not for "
        "eating like this."
    )


def _ways(it: Oil, rules: Rules, view: View) -> list[str]:
    """What would work with a plant that is not dry."""
    return [
        f"Dry it on until it weighs {view.safe(it.dry_at, 'g', 'down')}, which is "
        f"{said(rules.dried_to, 'percent_wb')}.",
        "For eating fresh: make a little, keep it in the refrigerator, and eat it within "
        f"{said(rules.cold_days, 'day')}.",
        "For the skin alone: label it so, pour the clear oil off the water, and watch it.",
    ]


def _more_oil(s: Setting, it: Oil, view: View) -> list[str]:
    """What would work where the marc drinks all the oil."""
    if it.out > SLACK:
        return []
    wider = np.floor(s.kept) + 3
    return [
        f"Pour 1:{wider:g}, which is {view.say(wider * it.weighs, 'mL')}.",
        "Press the marc instead of wringing it.",
    ]


def _caution(s: Setting, it: Oil, rules: Rules) -> str:
    if it.dry:
        return DUST
    return cold(rules.cold_days) if s.use == "cold" else UNDER_OIL


# --- what is told -------------------------------------------------------------------------------------------------


def _whence(s: Setting, rules: Rules) -> str:
    """Where the figure for what the marc keeps of the oil comes from."""
    if abs(s.kept - rules.retained_oil) > SLACK:
        return "your own figure"
    return "your house rule" if rules.retained_oil != Rules.retained_oil else "common practice: measure yours"


def _told(s: Setting, it: Oil, rules: Rules, view: View) -> str:
    say = view.say
    keeps = f"{per_gram(s.kept)} ({_whence(s, rules)})"
    out = f"The marc keeps {keeps}, so of {say(it.oil, 'mL')} of oil {say(it.out, 'mL')} comes out."
    if it.out <= SLACK:
        out = f"The marc would keep {keeps}, all of the {say(it.oil, 'mL')} of oil: nothing comes out."
    if s.state == "dried":
        return out
    return (
        f"Now it weighs {say(it.weighs, 'g')}, and {it.wet:.3g} % of that is water: {say(it.water, 'mL')}, if all of "
        f"it comes out. {out}"
    )


def _verdict(s: Setting, it: Oil, rules: Rules, view: View) -> str:
    if it.dry:
        return (
            "That is dry by your rule, and what little water there is stays in the herb: this oil keeps (6 to "
            "12 months in the dark and cool, common practice)."
        )
    stop = view.safe(it.dry_at, "g", "down")
    rule = said(rules.dried_to, "percent_wb")
    wet = f"Wilted is not dry: by your rule of {rule} it would weigh {stop}."
    if s.use == "cold":
        return f"{wet} Such oil is for {said(rules.cold_days, 'day')}, in the refrigerator."
    return (
        f"{wet} Water is heavier than oil and gathers at the bottom in droplets; there it moulds, and where no "
        "air comes, botulism grows."
    )


def _numbers(it: Oil, rules: Rules, view: View) -> tuple[Number, ...]:
    number = view.number
    days = f"at most {said(rules.cold_days, 'day')}"
    return (
        Number("Still water", f"{it.wet:.3g} %", "of what goes in", it.wet, "percent_wb", "wet",
               "how much of what is left is water?"),
        number("brings", "Its water", it.water, "mL", "how much water can come into the oil?"),
        number("oil", "Oil to pour", it.oil, "mL", "how much oil goes on it?"),
        number("out", "Oil comes out", it.out, "mL", "how much oil comes out?"),
        number("dry", "Dry at", it.dry_at, "g", "at what weight is it dry?", round="down"),
        Number("Fresh in oil: gone after", days, "in the refrigerator", rules.cold_days, "day", "days",
               "for how long may fresh plant in oil be eaten, kept cold?"),
    )  # fmt: skip


def _table(s: Setting, it: Oil, rules: Rules, view: View) -> tuple[tuple[str, str], ...]:
    say = view.say
    return (
        ("", "this jar"),
        ("plant as it came", say(s.herb, "g")),
        ("as it goes in", f"{say(it.weighs, 'g')}, {it.wet:.3g} % water"),
        ("its water, at most in the oil", say(it.water, "mL")),
        (f"dry by your rule of {said(rules.dried_to, 'percent_wb')}", view.safe(it.dry_at, "g", "down")),
        ("oil to pour", say(it.oil, "mL")),
        ("the marc keeps", f"{per_gram(s.kept)}: {_whence(s, rules)}"),
        ("oil that comes out", say(it.out, "mL")),
        ("fresh plant in oil, to be eaten", f"cold, at most {said(rules.cold_days, 'day')} (disputed)"),
        ("warm oil, if you warm it", "50 to 60 °C (122 to 140 °F), National Formulary, by King 1898"),
    )


def _alt(s: Setting, it: Oil, rules: Rules, view: View) -> str:
    say = view.say
    oil = f"A bar of {say(it.oil, 'mL')} of oil, of which {say(it.out, 'mL')} comes out and the marc keeps the rest"
    if s.state == "dried":
        return (
            f"A bar of {say(s.herb, 'g')} of dried herb. {oil}. Beside them a rising curve of the share of the "
            f"oil that comes out against the ratio; the mark stands at {one_to(s.ratio)} and {_share_out(s):.0f} %."
        )
    return (
        f"Two bars to one scale: fresh, {say(s.herb, 'g')}, and now, {say(it.weighs, 'g')}, of which "
        f"{it.wet:.3g} % is water. {oil}; the plant's water lies before it. Beside them a curve of % water "
        "against the weight lost, which falls slowly and then drops; the mark stands at "
        f"{said(100 * s.lost, '')} of every 100 lost and {it.wet:.3g} %, a line at "
        f"{said(rules.dried_to, 'percent_wb')}."
    )


# --- what is drawn ------------------------------------------------------------------------------------------------


def _bars(board: Board, place: Place, s: Setting, it: Oil, view: View, answer: bool) -> None:
    """The plant as it came and as it goes in, to one scale, and the oil with the water before it, to its own."""
    places = rows(place, 3 if s.state == "wilted" else 2)
    full = board.scale("plant", s.herb, s.herb)
    came = view.pair(s.herb, "g")[0]
    if s.state == "wilted":
        wet = s.herb * s.water / 100
        parts = [Part("solids", s.herb - wet, "solids"), Part("water", wet, "water")]
        stack(board, "came", places[0], parts, full, f"fresh, {s.water:.3g} % water: {came}")
        title = f"now, {it.wet:.3g} % water: {view.pair(it.weighs, 'g')[0]}" if answer else "now: ? % water"
        parts = [Part("solids", it.weighs - it.water, "solids"), Part("water", it.water, "water")] if answer else []
        stack(board, "now", places[1], parts, full, title)
    else:
        stack(board, "came", places[0], [Part("solids", s.herb, "dried")], full, f"dried herb: {came}")
    out = view.pair(it.out, "mL")[0] if it.out > SLACK else "nothing"
    all_of_it = it.oil + (0.0 if it.dry else it.water)
    most = board.scale("oil", all_of_it, all_of_it)
    parts = [] if it.dry else [Part("water", it.water, "water")]
    parts += [Part("band", it.oil - it.out, "marc"), Part("bottle", it.out, "oil out")]
    stack(board, "oil", places[-1], parts if answer else [], most, f"oil out: {out}" if answer else "oil out: ?")


def _share_out(s: Setting) -> float:
    return max(100 * (1 - s.kept / s.ratio), 0.0)


def _chart(board: Board, place: Place, s: Setting, it: Oil, rules: Rules) -> None:
    if not comparable(board, "right", s.state):
        return
    if s.state == "dried":
        ratios = np.linspace(1.0, WIDEST, 60)
        chart = Chart(board, "out", place, (1.0, WIDEST, "mL of oil for each g"), (0.0, 100.0, "% of the oil out"),
                      [(n, f"{n:g}") for n in (1.0, 5.0, 10.0, 15.0)], HUNDRED)  # fmt: skip
        chart.curve("curve", ratios, np.maximum(100 * (1 - s.kept / ratios), 0.0))
        chart.mark("now", s.ratio, _share_out(s), f"{_share_out(s):.0f} % out", ink="bottle")
        return
    gone = np.linspace(0.0, s.water / 100, 60)
    chart = Chart(board, "wilt", place, (0.0, 100.0, "lost of every 100"), (0.0, 100.0, "% water in what is left"),
                  [(n, f"{n:g}") for n in (0.0, 25.0, 50.0, 75.0, 100.0)], HUNDRED)  # fmt: skip
    chart.curve("curve", 100 * gone, preserving.wilted_water.plain(float(s.water), gone))
    chart.level("dry", rules.dried_to, "" if board.narrow else f"dry, {rules.dried_to:g} %", above=True)
    chart.mark("now", 100 * s.lost, it.wet, f"{it.wet:.3g} %", ink="water", above=True)
