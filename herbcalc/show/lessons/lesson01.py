"""Floor 5. Lesson 1: ounces that are not the same. A jug counts room, a scale weight, and a unit says which."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from herbcalc import ethanol, liquids
from herbcalc.rules import Rules
from herbcalc.show.cautions import caution
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.kinds import comparable
from herbcalc.show.draw.shapes import Chart, Part, Place, jar, rows, stack
from herbcalc.show.look import MOST_HERB, MOST_LIQUID, Look, Number, View, dial, pick
from herbcalc.show.words import vol
from herbcalc.units import Q
from herbcalc.units.constants import FL_OZ_PER_OZ

LESSON = 1
BOTH_RULES = False
TITLE = "Ounces that are not the same"
CAUTION = "A figure without its unit is half a figure: nobody pours by it, and nobody takes by it."

SPIRITS = {"vodka": 40.0, "grain spirit": 95.0}  # % vol
FILLINGS = {
    "honey": "honey",
    "oil": "olive oil",
    "water": "water",
    "vodka": "vodka, 40 % vol",
    "grain spirit": "grain spirit, 95 % vol",
    "glycerin": "glycerin",
    "loose dried leaf": "loose dried leaf (weight invented)",
}
INVENTED = "loose dried leaf"  # its weight is nobody's measurement
ML_PER_TSP = float(Q(1.0, "tsp").to("mL").magnitude)
ML_PER_CUP = float(Q(1.0, "cup").to("mL").magnitude)
JUG, BOTTLE = 500.0, 1000.0  # mL that fill their pictures, where no more is in them
COLD, HOT = 0.0, 220.0  # the ends of the thermometer, °F


@dataclass(frozen=True)
class Setting:
    """A jug on a scale, a bottle with its proof, a thermometer, or a herb that wants a ratio. Volumes in mL."""

    show: str = pick(
        "jug",
        {
            "jug": "a jug on the scale",
            "bottle": "a bottle and its proof",
            "heat": "a thermometer",
            "ratio": "a herb and its ratio",
        },
        label="Look at",
    )
    filling: str = pick("honey", FILLINGS, label="In the jug")
    fill: float = dial(237, "mL", low=5, high=1000, step=1, label="Filled to", most=MOST_LIQUID)
    proof: float = dial(80, "proof", low=10, high=192, step=1, label="The bottle says (US)")
    bottle: float = dial(750, "mL", low=50, high=1750, step=5, label="The bottle holds", most=MOST_LIQUID)
    low: float = dial(80, "degF", low=COLD, high=HOT, step=1, label="From")
    high: float = dial(100, "degF", low=COLD, high=HOT, step=1, label="To")
    herb: float = dial(113, "g", low=10, high=500, step=1, label="Dried herb", most=MOST_HERB, batch="herb")
    ratio: float = dial(5, "mL/g", low=1, high=10, step=0.5, label="Ratio, 1 to", batch="ratio")


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting."""
    dials = {
        "jug": {"filling", "fill"},
        "bottle": {"proof", "bottle"},
        "heat": {"low", "high"},
        "ratio": {"herb", "ratio"},
    }
    return {"show"} | dials[setting.show]


def per_mL(filling: str) -> float:
    """What 1 mL of a filling weighs, g."""
    if filling in SPIRITS:
        return float(ethanol.density(Q(SPIRITS[filling], "percent_vol")).magnitude) / 1000
    return float(liquids.density(filling).magnitude)


def celsius(degrees: float) -> float:
    """A reading in °F as one in °C."""
    return (degrees - 32) * 5 / 9


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One thing that is measured, and what another measure says of it."""
    return {"jug": _jug, "bottle": _bottle, "heat": _heat, "ratio": _ratio}[setting.show](setting, rules, view)


def _drawn(kind: str, side: str, draw: Callable[..., None]) -> Callable[..., None]:
    """A picture that is drawn over an earlier one of its own kind only."""

    def on(board: Board, place: Place, *answer: bool) -> None:
        if comparable(board, side, kind):
            draw(board, place, *answer)

    return on


def _plain(key: str, label: str, value: str, amount: float, ask: str, note: str = "", unit: str = "") -> Number:
    """A number that is said in one way only, whatever units stand first."""
    return Number(label, value, note, amount, unit, key, ask)


# --- a jug on the scale ---------------------------------------------------------------------------------------------


def _jug(s: Setting, rules: Rules, view: View) -> Look:
    say, each, name = view.say, per_mL(s.filling), FILLINGS[s.filling].partition(" (")[0]
    weighs, tsp, cups = s.fill * each, s.fill / ML_PER_TSP, s.fill / ML_PER_CUP
    given = f"A jug is filled to {say(s.fill, 'mL')} with {name}."
    than = "as heavy as water" if s.filling == "water" else f"{_three(each)} times as heavy as water"
    if s.filling == INVENTED:
        than += " (invented: weigh your own)"
    sentence = (
        f"{given} On the scale that is {say(weighs, 'g')}. The jug counts room and the scale counts weight: {name} "
        f"is {than}, and the word ounce stands for both. The same jugful is {_many(tsp, 'teaspoon')}, or "
        f"{_many(cups, 'cup')}."
    )
    alt = (
        f"A jug filled to {say(s.fill, 'mL')} with {name}, which weighs {say(weighs, 'g')}. Beside it lines of "
        "weight against room for honey, water, oil and loose leaf: the heavier a thing is, the steeper its line."
    )
    strength = SPIRITS.get(s.filling, 0.0)
    return Look(
        sentence=sentence,
        numbers=(
            view.number("weighs", "On the scale", weighs, "g", "what does it weigh?"),
            _plain("tsp", "In teaspoons", _three(tsp), tsp, "how many teaspoons is it?"),
            _plain("cups", "In cups", _three(cups), cups, "how many cups is it?"),
            _plain("times", "Against water", _times(each), each, "how heavy is it against water?", "", "times"),
            view.number("fill", "In the jug", s.fill, "mL", "how much is in the jug?"),
        ),
        alt=alt,
        table=(
            ("the same jugful of", "in the jug", "on the scale"),
            *((words, say(s.fill, "mL"), say(s.fill * per_mL(key), "g")) for key, words in FILLINGS.items()),
        ),
        left=_drawn("jug", "left", lambda board, place, answer: _fill_jug(board, place, s, weighs, view, answer)),
        right=_drawn("jug", "right", lambda board, place: _lines(board, place, s, view)),
        share=0.5,
        given=given,
        short=f"{say(s.fill, 'mL')} of {name}",
        caution=caution(strength, rules.shelf) if strength else "",
    )


def _fill_jug(board: Board, place: Place, s: Setting, weighs: float, view: View, answer: bool) -> None:
    """The jug with what is in it, and the scale's figure below."""
    full = max(JUG, s.fill)
    words = view.pair(s.fill, "mL")[0]
    strength = SPIRITS.get(s.filling, 0.0) / 100
    if strength:
        parts = [Part("alcohol", s.fill * strength), Part("water", s.fill * (1 - strength), words)]
    else:
        fill = {"water": "water", "loose dried leaf": "solids"}.get(s.filling, "band")
        parts = [Part(fill, s.fill, words)]
    under = view.pair(weighs, "g")[0] if answer else view.asked("g")
    jar(board, "jug", place, parts, full, f"scale: {under}")


def _lines(board: Board, place: Place, s: Setting, view: View) -> None:
    """Weight against room, for the filling and for three others."""
    end = 1.9 * s.fill  # the names stand beyond the mark
    top = end * 1.5
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, end, "in the jug"),
        (0.0, top, "on the scale"),
        [(0.0, "0"), (s.fill, view.pair(s.fill, "mL")[0])],
        [(0.0, "0"), (s.fill, view.pair(s.fill, "g")[0])],
    )
    for name in dict.fromkeys(("honey", "water", "oil", "loose dried leaf", s.filling)):
        own = name == s.filling
        chart.curve(
            f"line {name}", [0, end], [0, end * per_mL(name)], **({} if own else {"ink": "quiet", "width": 1.4})
        )
    chart.mark("now", s.fill, s.fill * per_mL(s.filling), view.pair(s.fill * per_mL(s.filling), "g")[0], above=True)
    for name, words, lift in (("honey", "honey", 0.8), ("water", "water", -0.9), ("loose dried leaf", "leaf", 0.8)):
        at = 0.96 * end
        chart.note(f"name {name}", at, at * per_mL(name), words, "quiet", lift, "right", if_room=True)


# --- a bottle and its proof -----------------------------------------------------------------------------------------


def _bottle(s: Setting, rules: Rules, view: View) -> Look:
    say, strength = view.say, s.proof / 2
    alcohol = s.bottle * strength / 100
    weighs = s.bottle * float(ethanol.density(Q(strength, "percent_vol")).magnitude) / 1000
    given = f"A bottle of {say(s.bottle, 'mL')} says {s.proof:g} proof."
    return Look(
        sentence=(
            f"{given} US proof counts twice over, so that is {vol(strength)}: {_three(strength)} of every 100 parts "
            f"are alcohol. In this bottle that is {say(alcohol, 'mL')} of pure alcohol. All of it weighs "
            f"{say(weighs, 'g')}, less than as much water."
        ),
        numbers=(
            _plain("strength", "Strength", vol(strength), strength, "how many % vol is that?", "", "percent_vol"),
            view.number("alcohol", "Pure alcohol", alcohol, "mL", "how much of it is pure alcohol?"),
            view.number("weighs", "On the scale", weighs, "g", "what does what is in it weigh?"),
            view.number("bottle", "The bottle holds", s.bottle, "mL", "how much does the bottle hold?"),
            _plain("proof", "US proof", f"{s.proof:g}", s.proof, "what proof is it?"),
        ),
        alt=(
            f"A bottle of {say(s.bottle, 'mL')}: {say(alcohol, 'mL')} of it is alcohol, the rest nearly all water. "
            f"Beside it the straight line from proof to % vol, half as high as it is long; the mark stands at "
            f"{s.proof:g} proof and {vol(strength)}."
        ),
        table=(
            ("", "this bottle", "100 mL (3 1/2 fl oz) of it"),
            ("on the label", f"{s.proof:g} proof", f"{s.proof:g} proof"),
            ("strength", vol(strength), vol(strength)),
            ("pure alcohol", say(alcohol, "mL"), say(strength, "mL")),
            ("on the scale", say(weighs, "g"), say(100 * weighs / s.bottle, "g")),
        ),
        left=_drawn("bottle", "left", lambda board, place, answer: _fill_bottle(board, place, s, view, answer)),
        right=_drawn("bottle", "right", lambda board, place: _proof_line(board, place, s)),
        share=0.5,
        given=given,
        short=f"{say(s.bottle, 'mL')} of {s.proof:g} proof",
        caution=caution(strength, rules.shelf),
    )


def _fill_bottle(board: Board, place: Place, s: Setting, view: View, answer: bool) -> None:
    """The bottle, parted into alcohol and the rest once the answer shows."""
    alcohol = s.bottle * s.proof / 200
    words = view.pair(alcohol, "mL")[0]
    parts = (
        [
            Part("alcohol", alcohol, f"alcohol {words}", words),
            Part("water", s.bottle - alcohol, "the rest", "rest"),
        ]
        if answer
        else [Part("band", s.bottle, f"{s.proof:g} proof")]
    )
    jar(board, "bottle", place, parts, max(BOTTLE, s.bottle), view.pair(s.bottle, "mL")[0])


def _proof_line(board: Board, place: Place, s: Setting) -> None:
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, 200.0, "US proof"),
        (0.0, 100.0, "% vol"),
        [(v, f"{v}") for v in (0, 100, 200)],
        [(v, f"{v}") for v in (0, 50, 100)],
    )
    chart.curve("curve", [0, 200], [0, 100])
    chart.mark("now", s.proof, s.proof / 2, f"{s.proof / 2:g} %")


# --- a thermometer --------------------------------------------------------------------------------------------------


class Span(NamedTuple):
    """A range of temperature: its two readings in °F and in °C, its width in both."""

    low: float
    high: float
    low_C: float
    high_C: float
    wide: float
    wide_C: float


def span(s: Setting) -> Span:
    """The range of the two dials, whichever of them stands lower."""
    low, high = sorted((float(s.low), float(s.high)))
    return Span(low, high, celsius(low), celsius(high), high - low, (high - low) * 5 / 9)


def _heat(s: Setting, _: Rules, __: View) -> Look:
    it = span(s)
    given = f"A thermometer goes from {it.low:g} °F to {it.high:g} °F."
    like = celsius(it.wide)
    low, high, wide, reading = (f"{n:.1f} °C" for n in (it.low_C, it.high_C, it.wide_C, like))
    return Look(
        sentence=(
            f"{given} In Celsius that is from {low} to {high}. The range is {it.wide:g} °F wide, which is {wide}: "
            f"nine of those steps are five of these. A width has no freezing point, so no 32 comes off. A reading of "
            f"{it.wide:g} °F would be another thing: {reading}."
        ),
        # The figures are asked for in °C, so bands and values are bare of the other system's twin.
        numbers=(
            _plain("wide", "Wide, in °C", wide, it.wide_C, "how wide is that in °C?", f"{it.wide:g} °F"),
            _plain("low", "Low end, in °C", low, it.low_C, "what is the low end in °C?", f"{it.low:g} °F"),
            _plain("high", "High end, in °C", high, it.high_C, "what is the high end in °C?", f"{it.high:g} °F"),
            _plain(
                "like", f"A reading of {it.wide:g} °F", reading, like, f"what is a reading of {it.wide:g} °F in °C?"
            ),
            _plain("wide_F", "Wide, in °F", f"{it.wide:g} °F", it.wide, "how wide is it in °F?"),
        ),
        alt=(
            f"A thermometer laid down, with °F above and °C below. A bar goes from {it.low:g} °F to {it.high:g} "
            f"°F, which is from {low} to {high}. Beside it a straight line from °F to °C with both ends marked."
        ),
        table=(
            ("", "°F", "°C"),
            ("low end", f"{it.low:g} °F", low),
            ("high end", f"{it.high:g} °F", high),
            ("how wide", f"{it.wide:g} °F", wide),
            ("water freezes", "32 °F", "0 °C"),
            ("water boils", "212 °F", "100 °C"),
        ),
        left=_drawn("heat", "left", lambda board, place, answer: _ruler(board, place, it, answer)),
        right=_drawn("heat", "right", lambda board, place: _degrees(board, place, it)),
        share=0.56,
        given=given,
        short=f"From {it.low:g} to {it.high:g} °F",
    )


def _ruler(board: Board, place: Place, it: Span, answer: bool) -> None:
    """One bar between two scales; what it spans is said above in °F and below in °C."""

    def at(degrees: float) -> float:
        return place.x + place.w * (degrees - COLD) / (HOT - COLD)

    size = board.size
    middle = place.y + place.h / 2
    board.line("ruler", [place.x, place.x + place.w], [middle] * 2, width=2.0)
    board.box("span", at(it.low), middle - 0.9 * size, max(at(it.high) - at(it.low), 2.0), 1.8 * size, fill="alcohol")
    if board.is_faint:
        return
    for name, degrees, ha in (("freezes", 32.0, "left"), ("boils", 212.0, "right")):
        board.line(
            f"{name} tick", [at(degrees)] * 2, [middle - 1.6 * size, middle + 1.6 * size], ink="quiet", width=1.4
        )
        above, below = middle + 2.3 * size, middle - 2.3 * size
        board.words(f"{name} F words", at(degrees), above, f"{degrees:g} °F", ha=ha, ink="quiet", size=board.small)
        in_C = f"{celsius(degrees):g} °C" if answer else "? °C"
        board.words(f"{name} C words", at(degrees), below, in_C, ha=ha, ink="quiet", size=board.small)
    said = f"{it.low:g} to {it.high:g} °F"
    board.words("span F words", place.x, place.y + place.h - 0.8 * size, said, ha="left", bold=True)
    said = f"{it.low_C:.1f} to {it.high_C:.1f} °C" if answer else "? to ? °C"
    board.words("span C words", place.x, place.y + 0.8 * size, said, ha="left", bold=True)


def _degrees(board: Board, place: Place, it: Span) -> None:
    chart = Chart(
        board,
        "chart",
        place,
        (COLD, HOT, "°F"),
        (-20.0, 110.0, "°C"),
        [(32.0, "32"), (212.0, "212")],
        [(0.0, "0"), (100.0, "100")],
    )
    chart.curve("curve", [COLD, HOT], [celsius(COLD), celsius(HOT)])
    chart.mark("low", it.low, it.low_C, "", ink="water")
    chart.mark("now", it.high, it.high_C, f"{it.high_C:.1f} °C")


# --- a herb and its ratio -------------------------------------------------------------------------------------------


def _ratio(s: Setting, _: Rules, view: View) -> Look:
    say = view.say
    by_g = s.herb * s.ratio
    by_oz, really = by_g / FL_OZ_PER_OZ, s.ratio / FL_OZ_PER_OZ
    more, share = by_oz - by_g, 100 * (1 / FL_OZ_PER_OZ - 1)
    given = f"{say(s.herb, 'g')} of dried herb is to stand at 1:{s.ratio:g}, weight to volume."
    return Look(
        sentence=(
            f"{given} In g and mL that takes {say(by_g, 'mL')}. Somebody who pours a fluid ounce for each ounce on "
            f"the scale pours {say(by_oz, 'mL')}: {say(more, 'mL')} more, really 1:{_three(really)}. A "
            f"fluid ounce is 29.57 mL and an ounce 28.35 g: that is {share:.1f} % more. Choose one way, and say "
            "which on the label."
        ),
        numbers=(
            view.number("more", "By ounces, more by", more, "mL", "how much more goes in, ounce for ounce?"),
            view.number("by_g", "In g and mL", by_g, "mL", "how much is it in g and mL?"),
            view.number("by_oz", "Ounce for ounce", by_oz, "mL", "how much is it, ounce for ounce?"),
            _plain("really", "Really", f"1:{_three(really)}", really, "what ratio is that really?", "", "ratio"),
            _plain("share", "Apart by", f"{share:.1f} %", share, "how far apart are they?", "", "percent"),
        ),
        alt=(
            f"Three bars to one scale, 1 g as long as 1 mL (1 oz as about 1 fl oz): {say(s.herb, 'g')} of herb; "
            f"{say(by_g, 'mL')} in g and mL; {say(by_oz, 'mL')} ounce for ounce, longer by {say(more, 'mL')}. Beside "
            "them a straight line: the larger the ratio, the more the two ways differ."
        ),
        table=(
            ("", "in g and mL", "ounce for ounce"),
            ("herb", say(s.herb, "g"), say(s.herb, "g")),
            ("menstruum", say(by_g, "mL"), say(by_oz, "mL")),
            ("ratio in mL for each g", f"1:{s.ratio:g}", f"1:{_three(really)}"),
        ),
        left=_drawn(
            "ratio", "left", lambda board, place, answer: _two_ways(board, place, s, by_g, by_oz, view, answer)
        ),
        right=_drawn("ratio", "right", lambda board, place: _more_line(board, place, s, more, view)),
        share=0.58,
        given=given,
        short=f"{say(s.herb, 'g')} at 1:{s.ratio:g}",
    )


def _two_ways(board: Board, place: Place, s: Setting, by_g: float, by_oz: float, view: View, answer: bool) -> None:
    """The herb, and what each way pours; before the guess the herb alone."""
    full = board.scale("bars", by_oz, by_oz)
    bars = (
        ("herb", f"herb: {view.pair(s.herb, 'g')[0]}", [Part("solids", s.herb)]),
        ("by g", f"g and mL: {view.pair(by_g, 'mL')[0] if answer else view.asked('mL')}", [Part("band", by_g)]),
        (
            "by oz",
            f"by ounces: {view.pair(by_oz, 'mL')[0] if answer else view.asked('mL')}",
            [Part("band", by_g), Part("alcohol", by_oz - by_g)],
        ),
    )
    for (key, title, parts), where in zip(bars, rows(place, 3), strict=True):
        stack(board, key, where, parts if answer or key == "herb" else [], full, title)


def _more_line(board: Board, place: Place, s: Setting, more: float, view: View) -> None:
    end = 10.0
    top = more * end / s.ratio
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, end, "ratio, 1 to"),
        (0.0, top, "more, ounce for ounce"),
        [(v, f"{v}") for v in (0, 5, 10)],
        [(0.0, "0")],
    )
    chart.curve("curve", [0, end], [0, top])
    chart.mark("now", s.ratio, more, view.pair(more, "mL")[0])


def _many(number: float, word: str) -> str:
    """So many of them; of what is said as 1, one.

    >>> _many(1.0017, "cup"), _many(6.09, "teaspoon")
    ('1 cup', '6.09 teaspoons')
    """
    said = _three(number)
    return f"{said} {word}{'' if said == '1' else 's'}"


def _times(each: float) -> str:
    return "the same" if _three(each) == "1" else f"{_three(each)} times"


def _three(number: float) -> str:
    """Three figures without trailing noughts, or a whole number."""
    return f"{number:,.0f}" if abs(number) >= 1000 else f"{number:.3g}"
