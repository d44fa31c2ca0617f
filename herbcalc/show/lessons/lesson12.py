"""Floor 5. Lesson 12: mixing tinctures. How strong the mix is, what stands behind it, and how much decoction it
bears."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import dosing, ethanol, menstruum
from herbcalc.rules import Rules
from herbcalc.show.cautions import BEFORE_TASTING, FOOD_GRADE, caution, stronger, weak
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.lessons.lesson05 import reaches, second_said, verdict
from herbcalc.show.look import Look, Number, View, dial
from herbcalc.show.words import apart, marks, one_to, percent, vol
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible, OutOfRange
from herbcalc.units.saying import listed

LESSON = 12
TITLE = "Mixing tinctures"
CAUTION = BEFORE_TASTING

NAMES = ("first", "second", "third")
RULES_OF = ("kitchen", "measured")
FRESH_TEA = "A decoction holds no alcohol: strain it, let it cool, and mix it the day it is made."
HUNDRED = "100 mL (3 1/2 fl oz)"


@dataclass(frozen=True)
class Setting:
    """Up to three tinctures and a decoction. Volumes in mL, strengths in % vol, ratios in mL for each g of herb."""

    first: float = dial(60, "mL", low=0, high=1000, step=5, label="First tincture", most=5000)
    first_spirit: float = dial(70, "percent_vol", low=20, high=96, step=0.5, label="Strength of the first")
    first_ratio: float = dial(5, "mL/g", low=1, high=10, step=0.1, label="Ratio of the first")
    second: float = dial(40, "mL", low=0, high=1000, step=5, label="Second tincture", most=5000)
    second_spirit: float = dial(45, "percent_vol", low=20, high=96, step=0.5, label="Strength of the second")
    second_ratio: float = dial(2, "mL/g", low=1, high=10, step=0.1, label="Ratio of the second")
    third: float = dial(0, "mL", low=0, high=1000, step=5, label="Third tincture", most=5000)
    third_spirit: float = dial(50, "percent_vol", low=20, high=96, step=0.5, label="Strength of the third")
    third_ratio: float = dial(5, "mL/g", low=1, high=10, step=0.1, label="Ratio of the third")
    decoction: float = dial(0, "mL", low=0, high=1000, step=5, label="Decoction, no alcohol", most=5000)


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting: of a tincture that is not there, only how much."""
    away = {f"{n}_{what}" for n in NAMES if getattr(setting, n) <= SLACK for what in ("spirit", "ratio")}
    return set(Setting.__dataclass_fields__) - away


@dataclass(frozen=True)
class Tincture:
    """One that is poured in: mL, % vol, mL of it for each g of herb, g of herb behind it."""

    name: str
    volume: float
    spirit: float
    ratio: float
    herb: float


@dataclass(frozen=True)
class Mix:
    """The sums of one setting: what is poured; strength and volume of the mix, mL of decoction that these tinctures
    bear above the floor, by both rules (None: they are under it alone)."""

    poured: tuple[Tincture, ...]
    strength: dict[str, float]
    makes: dict[str, float]
    room: dict[str, float | None]
    total: float  # mL poured, the decoction counted in


def sums(s: Setting, floor: float) -> Mix:
    """Everything that is told and drawn. Refuses a mix without a tincture."""
    poured = tuple(
        Tincture(n, mL, float(getattr(s, f"{n}_spirit")), ratio, float(dosing.herb_per_dose.plain(mL, ratio)))
        for n in NAMES
        if (mL := float(getattr(s, n))) > SLACK and (ratio := float(getattr(s, f"{n}_ratio")))
    )
    if not poured:
        raise OutOfRange("There is no tincture in this mix yet. Pour in some of the first: 60 mL (2 fl oz) would do.")
    alone = _mixed(poured, 0.0)
    mix = _mixed(poured, float(s.decoction))
    total = sum(t.volume for t in poured) + s.decoction
    return Mix(
        poured=poured,
        strength=_by_rules(mix.strength_by_kitchen_rule, mix.strength),
        makes={"kitchen": total, "measured": float(mix.volume.magnitude)},
        room=_room(alone, total - s.decoction, floor),
        total=total,
    )


@functools.lru_cache(maxsize=256)  # the curve asks for some 25, and is drawn again while its dial moves
def _mixed(poured: tuple[Tincture, ...], decoction: float) -> ethanol.Liquid:
    volumes, strengths = [t.volume for t in poured], [t.spirit for t in poured]
    return ethanol.mix(Q([*volumes, decoction], "mL"), Q([*strengths, 0.0], "percent_vol"))


def _by_rules(kitchen: Any, measured: Any) -> dict[str, float]:
    return {"kitchen": float(kitchen.magnitude), "measured": float(measured.magnitude)}


def _room(alone: ethanol.Liquid, total: float, floor: float) -> dict[str, float | None]:
    """mL of decoction until the mix is down at the floor: a cut, with decoction for water."""
    strength = _by_rules(alone.strength_by_kitchen_rule, alone.strength)
    volume = {"kitchen": total, "measured": float(alone.volume.magnitude)}
    found: dict[str, float | None] = {}
    for rule in RULES_OF:
        try:
            cut = menstruum.cut(
                Q(strength[rule], "percent_vol"), Q(floor, "percent_vol"), spirit=Q(volume[rule], "mL")
            )
        except Impossible:
            found[rule] = None
            continue
        found[rule] = float((cut.water_by_kitchen_rule if rule == "kitchen" else cut.water).magnitude)
    return found


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One mix: its strength by both rules, the herb behind it, and the decoction that it bears above the floor."""
    floor = rules.floor
    it = sums(setting, floor)
    given = f"Into one bottle go {_told(setting, it, view)}"
    low = min(it.strength.values())
    return Look(
        sentence=_sentence(given, it, floor, view),
        numbers=_numbers(it, floor, view),
        alt=_alt(setting, it, floor, view),
        table=_table(setting, it, view),
        left=lambda board, place, answer: _bars(board, place, setting, it, view, answer),
        right=lambda board, place: _curve(board, place, setting, it, floor, view),
        share=0.52,
        given=f"{given}.",
        short=_short(setting, it, view),
        ways_out=() if reaches(low, floor) else _ways(setting, it, rules, view),
        caution=_caution(setting, it, rules),
    )


def _caution(s: Setting, it: Mix, rules: Rules) -> str:
    """The fire line of the strongest that is poured, one on a tea, and what goes with a mix under the floor."""
    low, strongest = min(it.strength.values()), max(t.spirit for t in it.poured)
    lines = [caution(strongest, rules.shelf), FRESH_TEA if s.decoction > SLACK else ""]
    if not reaches(low, rules.floor):
        lines += [weak(rules.floor, low), FOOD_GRADE, stronger(strongest, rules.shelf)]  # a way out adds spirit
    return " ".join(filter(None, lines))


# --- what is told -------------------------------------------------------------------------------------------------


def _told(s: Setting, it: Mix, view: View) -> str:
    parts = [f"{view.say(t.volume, 'mL')} of {t.spirit:.3g} % vol at {one_to(t.ratio)}" for t in it.poured]
    if s.decoction > SLACK:
        parts.append(f"{view.say(s.decoction, 'mL')} of decoction")
    return listed(parts)


def _short(s: Setting, it: Mix, view: View) -> str:
    parts = [f"{view.pair(t.volume, 'mL')[0]} of {t.spirit:.3g} %" for t in it.poured]
    return " + ".join(parts + ([f"{view.pair(s.decoction, 'mL')[0]} decoction"] if s.decoction > SLACK else []))


def _sentence(given: str, it: Mix, floor: float, view: View) -> str:
    kitchen, measured = it.strength["kitchen"], it.strength["measured"]
    one, two = view.by()
    first, second = view.first(kitchen, measured), view.first(measured, kitchen)
    herbs = " and ".join(f"{view.say(t.herb, 'g')} of the {t.name}" for t in it.poured)
    return (
        f"{given}. The mix is {first:.1f} % vol {one} and {second:.1f} {two}, {apart(kitchen, measured)}. "
        f"{verdict(kitchen, measured, floor, view.rule)} {_bears(it, floor, view)} The herb behind it: {herbs}."
    )


def _bears(it: Mix, floor: float, view: View) -> str:
    room, other = (it.room[rule] for rule in view.rules())
    if room is None or other is None:
        return f"These tinctures bear no decoction: alone they are under {floor:g} % vol."
    one, two = view.by()
    return (
        f"Above {floor:g} % vol these tinctures bear {view.safe(room, 'mL', 'down')} of decoction {one} "
        f"({view.say(other, 'mL', 'down')} {two})."
    )


def _numbers(it: Mix, floor: float, view: View) -> tuple[Number, ...]:
    one, two = view.rules()
    first, second = it.strength[one], it.strength[two]
    room, other = it.room[one], it.room[two]
    whole = sum(t.herb for t in it.poured)
    lead = it.poured[0]
    fits = "how much decoction do these tinctures bear?"
    return (
        Number("The mix", vol(first), second_said(first, second, floor, view), first, "percent_vol", "end",
               "how strong is it?", second),
        Number("Bears decoction", "none", "under your floor alone", unit="mL", key="room", ask=fits)
        if room is None or other is None
        else Number("Bears decoction", view.safe(room, "mL", "down").partition(" (")[0], "",
                    room, "mL", "room", fits, other),  # the sentence says it in both ways: two jars need room here
        view.number("herb", "Herb behind it", whole, "g", "how much herb stands behind it?"),
        view.number("lead", f"Herb of the {lead.name} in 100 mL", 100 * lead.herb / it.total, "g",
                    f"how much herb of the {lead.name} stands behind {HUNDRED} of it?"),
        Number(f"Share of the {lead.name}", percent(lead.volume / it.total), "of what is poured",
               100 * lead.volume / it.total, "percent", "share", f"how much of it is the {lead.name} tincture?"),
        view.number("poured", "Poured in all", it.total, "mL", "how much is poured in all?"),
    )  # fmt: skip


def _table(s: Setting, it: Mix, view: View) -> tuple[tuple[str, ...], ...]:
    say = view.say
    rows_ = [
        (
            f"the {t.name}, {t.spirit:.3g} % vol, {one_to(t.ratio)}",
            say(t.volume, "mL"),
            percent(t.volume / it.total),
            say(t.volume * t.spirit / 100, "mL"),
            say(t.herb, "g"),
            say(100 * t.herb / it.total, "g"),
        )
        for t in it.poured
    ]
    if s.decoction > SLACK:
        rows_.append(("decoction", say(s.decoction, "mL"), percent(s.decoction / it.total), "none", "not counted",
                      "not counted"))  # fmt: skip
    return (
        ("", "poured", "share", "alcohol in it", "herb behind it", f"herb in {HUNDRED} of the mix"),
        *rows_,
        ("strength: kitchen rule, measured", *(vol(n) for n in it.strength.values()), "", "", ""),
        ("makes: kitchen rule, measured", *(say(n, "mL") for n in it.makes.values()), "", "", ""),
    )


def _alt(s: Setting, it: Mix, floor: float, view: View) -> str:
    alcohol = sum(t.volume * t.spirit / 100 for t in it.poured)
    now = it.strength[view.rule]
    return (
        f"Bars to one scale, each cut into alcohol and the rest: {_told(s, it, view)}; the last bar is the mix, with "
        f"{view.say(alcohol, 'mL')} of alcohol. Beside them a curve of the strength that falls as decoction goes "
        "in; the "
        f"mark stands at {view.say(s.decoction, 'mL')} and {now:.1f} % vol, "
        f"{'at or over' if reaches(now, floor) else 'under'} a line at the floor of {floor:g} % vol."
    )


def _ways(s: Setting, it: Mix, rules: Rules, view: View) -> list[str]:
    """What would bring the mix up to the floor by both rules."""
    floor, strongest, ways = rules.floor, max(rules.shelf), []
    fits = [room for room in it.room.values() if room is not None]
    if len(fits) == len(RULES_OF) and s.decoction > min(fits):
        ways.append(f"Pour less decoction: {view.safe(min(fits), 'mL', 'down')}.")
    if strongest > floor + SLACK:
        has = it.strength["kitchen"]
        # A mix is a jar without a plant in it.
        more = max(
            float(menstruum.rescue.plain(0.0, 0.0, it.total, has, floor, strongest, rule)) for rule in RULES_OF
        )
        ways.append(f"Add {view.safe(more, 'mL', 'up')} of {strongest:g} % vol, and shake.")
    return [*ways, "Keep it cold and use it within days (common practice)."]


# --- what is drawn ------------------------------------------------------------------------------------------------


def _bars(board: Board, place: Place, s: Setting, it: Mix, view: View, answer: bool) -> None:
    """Each liquid as a bar of its alcohol and the rest, and last the mix, whose bar waits for the answer."""
    full = board.scale("bars", it.total, it.total)
    liquids = [(t.name, t.volume, t.spirit) for t in it.poured]
    if s.decoction > SLACK:
        liquids.append(("decoction", float(s.decoction), 0.0))
    wheres = rows(place, len(liquids) + 1)
    for (name, volume, spirit), where in zip(liquids, wheres, strict=False):
        title = f"{name} {view.pair(volume, 'mL')[0]}" + (f", {spirit:.3g} %" if spirit and not board.narrow else "")
        alcohol = volume * spirit / 100
        stack(board, name, where, [Part("alcohol", alcohol), Part("water", volume - alcohol)], full, title)
    alcohol = sum(t.volume * t.spirit / 100 for t in it.poured)
    parts = [Part("alcohol", alcohol, "alcohol"), Part("water", it.total - alcohol, "the rest")] if answer else []
    title = f"mix {view.pair(it.total, 'mL')[0]}" + (f", {it.strength[view.rule]:.1f} %" if answer else ": ?")
    stack(board, "mix", wheres[-1], parts, full, title)


def _curve(board: Board, place: Place, s: Setting, it: Mix, floor: float, view: View) -> None:
    """The strength against the decoction poured in, with the floor and the mark of this setting."""
    alone = it.total - s.decoction
    top = 100.0 if max(t.spirit for t in it.poured) > 60 else 60.0
    right = max(1.4 * (it.room["kitchen"] or 0.0), 1.3 * s.decoction, alone)
    unit, ticks = marks(view, "mL", right, about=2 if board.narrow else 3)
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, right, f"{unit} of decoction"),
        (0.0, top, "% vol"),
        ticks,
        [(n, f"{n:g}") for n in np.linspace(0, top, 3)],
    )
    along = np.linspace(0.0, right, 25)
    mixes = [_mixed(it.poured, float(x)) for x in along]
    strengths = [_by_rules(mix.strength_by_kitchen_rule, mix.strength)[view.rule] for mix in mixes]
    chart.curve("curve", along, strengths)
    now = it.strength[view.rule]
    chart.level("floor", floor, f"floor {floor:g}", above=now < floor)
    chart.mark("now", s.decoction, now, f"{now:.1f} % vol")
