"""Floor 5. Lesson 5: the plant brings its own water. What a jar ends at, and what helps when that is too weak."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import menstruum
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, caution, stronger, weak
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, jar
from herbcalc.show.look import BY, MOST_HERB, Look, Number, View, dial
from herbcalc.show.words import apart, one_to, vol
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible

LESSON = 5
TITLE = "The plant brings its own water"
CAUTION = FOOD_GRADE

# Jars that a kitchen has, mL (US measures: NIST Handbook 44, Appendix C); one is filled to nine tenths.
JARS = ((473.176, "pint jar"), (946.353, "quart jar"), (1892.71, "half-gallon jar"), (3785.41, "gallon jar"))
FILLED = 0.9


@dataclass(frozen=True)
class Setting:
    """A jar as it is put up. Weights in g, shares in percent, ratio in mL of spirit for each g as weighed."""

    ratio: float = dial(2, "mL/g", low=0.5, high=10, step=0.1, label="Spirit", batch="ratio")
    water: float = dial(80, "percent_wb", low=5, high=95, step=1, label="Water in the plant", batch="water")
    spirit: float = dial(
        40, "percent_vol", low=20, high=96, step=0.5, label="Spirit poured on", batch="spirit", stops="shelf"
    )
    herb: float = dial(100, "g", low=20, high=500, step=5, label="Plant", batch="herb", most=MOST_HERB)


@dataclass(frozen=True)
class Jar:
    """The sums of one setting, as plain numbers: mL, g, % vol, % water, mL/g. None: nothing reaches the floor."""

    poured: float
    plant_water: float
    solids: float
    kitchen: float
    measured: float
    least: dict[str, float | None]
    wettest: dict[str, float | None]
    needed: dict[str, float | None]


def _number(call: Any, *given: Any, rule: str) -> float | None:
    """What a wish call gives, or None where it says that nothing would do."""
    try:
        return float(call(*given, rule).magnitude)
    except Impossible:
        return None


def sums(s: Setting, floor: float) -> Jar:
    """Everything that the sentence, the numbers and the picture are made from."""
    herb, water = Q(float(s.herb), "g"), Q(float(s.water), "percent_wb")
    ratio, spirit, line = Q(float(s.ratio), "mL/g"), Q(float(s.spirit), "percent_vol"), Q(float(floor), "percent_vol")
    poured = s.herb * s.ratio
    final = {
        rule: float(menstruum.final_strength(herb, water, Q(poured, "mL"), spirit, rule).magnitude)
        for rule in ("kitchen", "measured")
    }
    both = ("kitchen", "measured")
    return Jar(
        poured=poured,
        plant_water=s.herb * s.water / 100,
        solids=s.herb * (100 - s.water) / 100,
        kitchen=final["kitchen"],
        measured=final["measured"],
        least={r: _number(menstruum.smallest_ratio, water, spirit, line, rule=r) for r in both},
        wettest={r: _number(menstruum.wettest_plant, ratio, spirit, line, rule=r) for r in both},
        needed={r: _number(menstruum.strength_to_pour, ratio, water, line, rule=r) for r in both},
    )


def reaches(strength: float, floor: float) -> bool:
    """Whether a strength is at or over the floor, rounding aside."""
    return strength >= floor - SLACK


def second_said(first: float, second: float, floor: float, view: View) -> str:
    """The strength by the rule that stands second; where the two stand on both sides of the floor, that is said."""
    split = reaches(first, floor) != reaches(second, floor)
    return f"{view.other()} {second:.1f}" + (", on the other side of your floor" if split else "")


def verdict(kitchen: float, measured: float, floor: float, rule: str = "kitchen") -> str:
    """What a strength means by the house rule, where both rules agree; where they do not, that is said."""
    over = {"kitchen": reaches(kitchen, floor), "measured": reaches(measured, floor)}
    if over["kitchen"] != over["measured"]:
        high, low = (BY[rule] for rule in sorted(over, key=lambda rule: not over[rule]))
        return (
            f"The two rules do not agree: {high} it reaches your floor of {floor:g} % vol, {low} it does not. That "
            "is too close to trust: count it as under."
        )
    strength = kitchen if rule == "kitchen" else measured
    if over[rule]:
        return f"That is at or over your floor of {floor:g} % vol: it keeps, by your rule."
    if strength >= 25:
        return f"That is under your floor of {floor:g} % vol: by your rule it is not for keeping."
    if strength >= 20:
        return f"That is under your floor of {floor:g} % vol, and close to where things spoil."
    return f"That is under your floor of {floor:g} % vol, and so weak that it will spoil."


def _vol(number: float | None) -> str:
    return "none is strong enough" if number is None else vol(number)


def _wet(number: float | None) -> str:
    if number is None:
        return "none is dry enough"
    return "any plant" if number >= 100 - SLACK else f"{number:.1f} % water"


def _ratio(number: float | None) -> str:
    return "no ratio does it" if number is None else one_to(number)


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One jar: its strength in the end by both rules, the floor, and what would bring it there."""
    floor = rules.floor
    it = sums(setting, floor)
    under = not reaches(min(it.kitchen, it.measured), floor)
    given = (
        f"{view.say(setting.herb, 'g')} of plant with {setting.water:.3g} % water goes into "
        f"{view.say(it.poured, 'mL')} of {setting.spirit:.3g} % vol"
    )
    return Look(
        sentence=_sentence(given, it, floor, view),
        numbers=_numbers(setting, it, floor, view),
        alt=_alt(setting, it, floor, under, view),
        table=_table(it),
        left=lambda board, place, _: _jar(board, place, setting, it, view),
        right=lambda board, place: _curve(board, place, setting, it, floor, view),
        given=f"{given}.",
        short=(
            f"{view.say(setting.herb, 'g')} with {setting.water:.3g} % water, {setting.spirit:.3g} % vol at "
            f"{one_to(setting.ratio)}"
        ),
        ways_out=_ways(setting, it, rules) if under else [],
        caution=jar_caution(setting.spirit, rules, it.kitchen, it.measured),
    )


def _sentence(given: str, it: Jar, floor: float, view: View) -> str:
    first, second = view.first(it.kitchen, it.measured), view.first(it.measured, it.kitchen)
    one, two = view.by()
    return (
        f"{given} and brings {view.say(it.plant_water, 'mL')} of water with it. The jar ends at {first:.1f} % vol "
        f"{one} and {second:.1f} {two}, {apart(it.kitchen, it.measured)}. "
        f"{verdict(it.kitchen, it.measured, floor, view.rule)}"
    )


def _numbers(s: Setting, it: Jar, floor: float, view: View) -> tuple[Number, ...]:
    first, second = view.first(it.kitchen, it.measured), view.first(it.measured, it.kitchen)
    least, wettest = it.least[view.rule], it.wettest[view.rule]
    pour = "" if least is None else f"pour {view.safe(least * s.herb, 'mL', 'up')}"
    dry = "" if wettest is None else _tray(it, s, wettest, view)
    return (
        Number("At the end", _vol(first), second_said(first, second, floor, view), first, "percent_vol", "end",
               "how strong does it end?", second),
        view.number("brings", "Plant's water", it.plant_water, "mL", "how much water does the plant bring?"),
        Number("Wettest plant", _wet(wettest), dry, wettest, "percent_wb", "wettest",
               "how much water may the plant hold?"),
        Number("Least ratio", _ratio(least), pour, least, "ratio", "least",
               f"from which ratio on does it reach {floor:g} % vol?"),
    )  # fmt: skip


def _table(it: Jar) -> tuple[tuple[str, str, str], ...]:
    return (
        ("", "kitchen rule", "measured"),
        ("strength at the end", _vol(it.kitchen), _vol(it.measured)),
        ("least ratio for the floor", _ratio(it.least["kitchen"]), _ratio(it.least["measured"])),
        ("wettest plant at this ratio", _wet(it.wettest["kitchen"]), _wet(it.wettest["measured"])),
        ("weakest spirit at this ratio", _vol(it.needed["kitchen"]), _vol(it.needed["measured"])),
    )


def _alt(s: Setting, it: Jar, floor: float, under: bool, view: View) -> str:
    spirit_water = it.poured * (100 - s.spirit) / 100
    return (
        f"A jar that holds, from the bottom: {view.say(it.solids, 'g')} of dry plant, "
        f"{view.say(it.plant_water, 'mL')} of the plant's own water, {view.say(it.poured - spirit_water, 'mL')} of "
        f"alcohol and {view.say(spirit_water, 'mL')} of the spirit's water. Beside it a curve of the strength at the "
        f"end against mL of spirit for each g; the mark stands at {_ratio(s.ratio)} and "
        f"{view.first(it.kitchen, it.measured):.1f} % vol, {'under' if under else 'at or over'} a line at the floor "
        f"of {floor:g} % vol."
    )


def _ways(s: Setting, it: Jar, rules: Rules) -> list[str]:
    jar_now = (Q(float(n), unit) for n, unit in ((it.poured, "mL"), (s.spirit, "percent_vol")))
    plant = (Q(float(n), unit) for n, unit in ((s.herb, "g"), (s.water, "percent_wb")))
    limits = (Q(float(n), "percent_vol") for n in (rules.floor, max(rules.shelf)))
    return [way.text for way in menstruum.ways_out(*plant, *jar_now, *limits)]


def _tray(it: Jar, setting: Setting, wettest: float, view: View) -> str:
    """The weight at which to stop drying, where drying is needed."""
    if wettest >= setting.water or wettest >= 100:
        return "this plant is dry enough"
    return f"then {view.safe(100 * it.solids / (100 - wettest), 'g', 'down')}"


def jar_caution(spirit: float, rules: Rules, *ends: float) -> str:
    """The fire line of what is poured; for a jar that ends too weak by either rule, what that means and how the
    stronger spirit of its ways out lights."""
    under = weak(rules.floor, *ends)
    lines = (caution(spirit, rules.shelf), under, stronger(spirit, rules.shelf) if under else "")
    return " ".join(filter(None, lines))


def _jar(board: Board, place: Place, s: Setting, it: Jar, view: View) -> None:
    """What goes into the jar; nothing of that is the answer."""
    alcohol = it.poured * s.spirit / 100
    contents = (
        ("solids", it.solids, "dry", "g"),
        ("water", it.plant_water, "its water", "mL"),
        ("alcohol", alcohol, "alcohol", "mL"),
        ("water", it.poured - alcohol, "water", "mL"),
    )
    parts = [
        Part(fill, amount, f"{name} {view.pair(amount, unit)[0]}", short=name)
        for fill, amount, name, unit in contents
    ]
    # A gram of dry plant is drawn as 1 mL.
    size, name = next((j for j in JARS if it.poured + s.herb <= FILLED * j[0]), JARS[-1])
    full = max(size, (it.poured + s.herb) / FILLED)
    jar(board, "jar", place, parts, full, under=name if full == size else "more than a gallon jar")


def _curve(board: Board, place: Place, s: Setting, it: Jar, floor: float, view: View) -> None:
    """The strength at the end against the ratio, with the floor and the mark of this setting."""
    most = 10.0 if s.ratio > 6 else 6.0
    top = 100.0 if s.spirit > 60 else 60.0 if s.spirit > 50 or floor > 45 else 50.0
    chart = Chart(
        board,
        "chart",
        place,
        (0.5, most, "mL of spirit for each g"),
        (0, top, "% vol at the end"),
        [(n, f"{n:g}") for n in np.arange(1, most + 1, 1 if most < 7 else 3)],
        [(n, f"{n:g}") for n in np.linspace(0, top, 3)],
    )
    ratios = np.linspace(0.5, most, 45)
    rule = view.rule
    chart.curve("curve", ratios, menstruum.final_strength.plain(s.herb, s.water, s.herb * ratios, s.spirit, rule))
    now = view.first(it.kitchen, it.measured)
    words = f"floor {floor:g}" if board.narrow else f"your floor, {floor:g} % vol"
    chart.level("floor", floor, words, above=now < floor)
    chart.mark("now", s.ratio, now, f"{now:.1f} % vol")
