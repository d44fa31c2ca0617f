"""Floor 5. Lesson 9: soak or drip. One soak, soaking again and the drip on equal terms, and what a table cannot "
"say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import compare
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, caution
from herbcalc.show.draw.shapes import Chart, Part, Place, halves, stack
from herbcalc.show.look import Look, Number, View, dial, pick, scenes
from herbcalc.show.words import percent
from herbcalc.units import Q
from herbcalc.units.saying import per_gram

LESSON = 9
BOTH_RULES = False
TITLE = "Soak or drip"
QUESTION = "Soaked or dripped: what does the drip do better?"
GUESSES = ("it is stronger", "there is more of it", "both", "nothing")
CAUTION = FOOD_GRADE

WAYS = ("soak", "soak again", "drip")
BOTTLE = 750.0  # mL, what a price is for
SILENT = (
    "What the sums cannot say: which of the two tastes or works better, whether powder can be had, whether gums clog "
    "the cone, or what your hands can do."
)
HEMP_SAYS = (
    "It is one herb, one spirit and one content, made twice; it proves no rule, and the model was not made from it."
)


@dataclass(frozen=True)
class Setting:
    """A choice. Herb in g, bottle in mL, ratio and kept in mL for each g, price of a bottle of 750 mL."""

    same: str = pick("herb", {"herb": "the same herb", "bottle": "the same bottle"}, label="Compare with")
    herb: float = dial(100, "g", low=20, high=1000, step=10, label="Dried herb", batch="herb")
    bottled: float = dial(500, "mL", low=50, high=4000, step=10, label="Wanted in the bottle")
    ratio: float = dial(5, "mL/g", low=1, high=10, step=0.1, label="Ratio", batch="ratio")
    kept: float = dial(1.5, "kept", low=0.5, high=3, step=0.05, label="The marc of the drip keeps", batch="retained")
    pressed: float = dial(
        1.5, "kept", low=0.2, high=3, step=0.05, label="The pressed marc of a soak keeps", stops=(1.6, 0.8)
    )
    soaks: float = dial(2, "", low=2, high=6, step=1, label="Soak again means this many soaks")
    spirit: float = dial(50, "percent_vol", low=20, high=96, step=0.5, label="Spirit", batch="spirit", stops="shelf")
    price: float = dial(25, "money", low=0, high=100, step=0.5, label="Price of 750 mL (25 1/4 fl oz)")
    beside: str = pick(
        "extract",
        {"extract": "share of the extract", "press": "how hard to press", "hemp": "one printed measurement"},
        label="Beside the bars",
    )


SCENES = scenes("lesson09", Setting)


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting."""
    return {f for f in Setting.__dataclass_fields__ if f != ("bottled" if setting.same == "herb" else "herb")}


@dataclass(frozen=True)
class Way:
    """One way of making it: g, mL, a share 0..1, g of herb in each mL, mL left in the marc, days, money."""

    herb: float
    menstruum: float
    finished: float
    share: float
    worth: float
    left: float
    days: float
    cost: float


def sums(s: Setting) -> tuple[dict[str, Way], float]:
    """The three ways, and what a soak's marc must be pressed to for a tie. Refuses a bottle that no soak can fill."""
    amount = {"herb": Q(float(s.herb), "g")} if s.same == "herb" else {"bottled": Q(float(s.bottled), "mL")}
    ratio, kept = Q(float(s.ratio), "mL/g"), Q(float(s.kept), "mL/g")
    table = compare.soak_or_drip(
        same=s.same,
        **amount,
        ratio=ratio,
        retained=kept,
        pressed=Q(float(s.pressed), "mL/g"),
        soaks=round(s.soaks),
        price=s.price / BOTTLE,
    )
    ways = {name: Way(*(float(x) for x in row)) for name, row in zip(table.index, table.to_numpy(), strict=True)}
    return ways, float(compare.break_even(ratio, kept).magnitude)


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """The three ways side by side: spirit, bottle, share of the extract, days, cost, alcohol left in the marc."""
    ways, tie = sums(setting)
    soak, again, drip = (ways[name] for name in WAYS)
    say, pair, money = view.say, view.pair, rules.currency
    start = (
        f"{say(setting.herb, 'g')} of dried herb at 1:{setting.ratio:g}"
        if setting.same == "herb"
        else f"{say(setting.bottled, 'mL')} in the bottle at 1:{setting.ratio:g}"
    )
    kept = (
        f"The marc keeps {per_gram(setting.kept)} either way."
        if abs(setting.kept - setting.pressed) < 1e-9
        else f"The marc of the drip keeps {per_gram(setting.kept)}, that of the soak {per_gram(setting.pressed)}."
    )
    given = f"{start}. {kept}"
    if soak.finished <= 1e-9:
        told = "The soak gives nothing: its marc keeps all of it. The drip still works."
    elif setting.same == "herb":
        told = (
            f"The soak pours {say(soak.menstruum, 'mL')} and gives {say(soak.finished, 'mL')} with "
            f"{percent(soak.share)} of the extract; {round(setting.soaks)} soaks get {percent(again.share)} into "
            f"the same amount; the drip needs {say(drip.menstruum, 'mL')}, gives {say(drip.finished, 'mL')} and "
            f"gets {percent(drip.share)}. {_worth(soak, drip, view)}"
        )
    else:
        told = (
            f"The soak takes {say(soak.herb, 'g')} of herb and {say(soak.menstruum, 'mL')} of spirit, the drip "
            f"{say(drip.herb, 'g')} and {say(drip.menstruum, 'mL')}: {_saves(soak, drip, view)}. "
            f"{_worth(soak, drip, view)}"
        )
    hemp = compare.HEMP_2022
    more = {
        "extract": SILENT,
        "press": (
            f"For the same bottle the two take equally much spirit when the soak is pressed to "
            f"{per_gram(round(tie, 3))}; pressed harder, the soak takes less."
        ),
        "hemp": (
            f"Printed for {hemp.what}: soak {percent(hemp.soak)}, drip {percent(hemp.drip)} ({hemp.source}). "
            f"{HEMP_SAYS} {SILENT}"
        ),
    }[setting.beside]
    sentence = f"{given} {told} {more}"
    left = {name: way.left * setting.spirit / 100 for name, way in ways.items()}
    numbers = (
        Number("Soak: spirit", *pair(soak.menstruum, "mL", round="up"), soak.menstruum, "mL"),
        Number("Drip: spirit", *pair(drip.menstruum, "mL", round="up"), drip.menstruum, "mL"),
        Number("Soak gets", percent(soak.share), f"soak again {percent(again.share)}", 100 * soak.share, "percent"),
        Number("Drip gets", percent(drip.share), "of the extract", 100 * drip.share, "percent"),
    )
    table = (
        ("", *WAYS),
        ("dried herb", *(say(w.herb, "g") for w in ways.values())),
        ("menstruum bought", *(say(w.menstruum, "mL", round="up") for w in ways.values())),
        ("finished", *(say(w.finished, "mL", round="down") for w in ways.values())),
        ("share of the extract", *(percent(w.share) for w in ways.values())),
        ("a gram of herb is in", *(say(1 / w.worth, "mL") if w.worth > 0 else "nothing" for w in ways.values())),
        ("left in the marc", *(say(w.left, "mL") for w in ways.values())),
        ("alcohol in that", *(say(left[name], "mL") for name in ways)),
        ("days", *(f"{w.days:g}" for w in ways.values())),
        ("spirit costs", *(f"{money}{w.menstruum * setting.price / BOTTLE:.2f}" for w in ways.values())),
        (
            "cost of a gram's worth",
            *(f"{money}{w.cost:.3f}" if np.isfinite(w.cost) else "no end" for w in ways.values()),
        ),
        ("printed: " + hemp.what, percent(hemp.soak), "", percent(hemp.drip)),
        ("where it is printed", hemp.source, "", ""),
    )
    alt = (
        "Three bars of menstruum to one scale, each cut into what comes into the bottle and what stays in the marc: "
        + "; ".join(f"{n} {say(w.finished, 'mL')} and {say(w.left, 'mL')}" for n, w in ways.items())
        + f". {_beside(setting, ways, tie)}"
    )
    return Look(
        sentence=sentence,
        numbers=numbers,
        alt=alt,
        table=table,
        draw=lambda board: _draw(board, setting, ways, tie, view, answer=True),
        before=lambda board: _draw(board, setting, ways, tie, view, answer=False),
        given=given,
        ways_out=_what_works(setting, soak, view),
        caution=f"{caution(setting.spirit, rules.shelf)} Wet marc burns too: keep it covered.",
    )


def _saves(soak: Way, drip: Way, view: View) -> str:
    gap = soak.menstruum - drip.menstruum
    if abs(gap) < 0.5:
        return "a tie in spirit"
    size, herb = view.say(abs(gap), "mL"), view.say(max(soak.herb - drip.herb, 0.0), "g")
    if gap > 0:
        return f"the drip saves {size} of spirit and {herb} of herb"
    return f"the soak saves {size} of spirit, the drip {herb} of herb"


def _worth(soak: Way, drip: Way, view: View) -> str:
    """Strength per mL: the belief that the drip is stronger."""
    if soak.worth <= 0:
        return ""
    if abs(soak.worth / drip.worth - 1) < 0.01:
        return f"Neither is stronger: both have a gram of herb in {view.say(1 / drip.worth, 'mL')}."
    return (
        f"A gram of herb is in {view.say(1 / soak.worth, 'mL')} of the soak and {view.say(1 / drip.worth, 'mL')} "
        f"of the drip: hardly a difference."
        if abs(soak.worth / drip.worth - 1) < 0.1
        else f"A gram of herb is in {view.say(1 / soak.worth, 'mL')} of the soak and in "
        f"{view.say(1 / drip.worth, 'mL')} of the drip, which at so narrow a ratio leaves much behind."
    )


def _what_works(s: Setting, soak: Way, view: View) -> list[str]:
    if soak.finished > 1e-9:
        return []
    wider = np.floor(s.pressed) + 2
    return [
        f"Soak at 1:{wider:g}: {view.say(wider * soak.herb, 'mL')} of menstruum.",
        f"Press until the marc keeps less than {per_gram(s.ratio)}.",
        "Drip it: a percolator can make even a 1:1.",
    ]


def _beside(s: Setting, ways: dict[str, Way], tie: float) -> str:
    if s.beside == "press":
        return (
            "Beside them the spirit for the same bottle against what a soak's pressed marc keeps: a rising curve "
            f"for the soak, a level line for the drip; they cross at {tie:.3g}, and the mark stands at {s.pressed:g}."
        )
    if s.beside == "hemp":
        hemp = compare.HEMP_2022
        return (
            f"Beside them four bars: by the model soak {percent(ways['soak'].share)} and drip "
            f"{percent(ways['drip'].share)}; printed for hemp, soak {percent(hemp.soak)} and drip "
            f"{percent(hemp.drip)}."
        )
    told = ", ".join(f"{name} {percent(way.share)}" for name, way in ways.items())
    return f"Beside them bars of the share of the herb's extract: {told}."


def _draw(board: Any, s: Setting, ways: dict[str, Way], tie: float, view: View, answer: bool) -> None:
    """What is bought, bottled and left behind, and beside it what was chosen to be seen."""
    left, right = halves(board, 0.56)
    most = max(way.menstruum for way in ways.values())
    full = board.scale("bars", most, most)

    def volume(number: float) -> str:
        return view.pair(number, "mL")[0]

    step = left.h / 3
    roomy = step - 6 - board.size * 1.5 > 2 * board.small  # whether a bar is high enough for words in it
    for n, (name, way) in enumerate(ways.items()):
        place = Place(left.x, left.y + left.h - step * (n + 1) + 6, left.w - 4, step - 6)
        bottle, marc = (f"bottle {volume(way.finished)}", f"marc {volume(way.left)}") if roomy else ("", "")
        parts = [Part("bottle", way.finished, bottle), Part("alcohol", way.left, marc)]
        title = f"{name}: {_of(volume(way.finished), volume(way.menstruum))}" if answer else f"{name}: ? mL"
        if roomy and answer and not board.narrow:
            title += f", {way.days:g} days"
        stack(board, f"way {n}", place, parts if answer else [], full, title)
    if board.narrow:
        return
    if not answer:
        board.words("ask", right.x + right.w / 2, right.y + right.h / 2, "?", size=board.size * 2.4, bold=True)
    elif s.beside == "press":
        _pressing(board, right, s, tie)
    elif s.beside == "hemp":
        hemp = compare.HEMP_2022
        _shares(
            board,
            right,
            [
                ("model, soak", ways["soak"].share, "bottle"),
                ("model, drip", ways["drip"].share, "bottle"),
                ("hemp 2022, soak", hemp.soak, "solids"),
                ("hemp 2022, drip", hemp.drip, "solids"),
            ],
        )
    else:
        _shares(board, right, [(name, way.share, "bottle") for name, way in ways.items()])


def _of(part: str, whole: str) -> str:
    """ "350 of 500 mL": the unit once, where both have the same."""
    unit = next((u for u in (" mL", " fl oz", " quarts") if part.endswith(u) and whole.endswith(u)), "")
    return f"{part.removesuffix(unit)} of {whole}"


def _shares(board: Any, place: Place, rows: list[tuple[str, float, str]]) -> None:
    """Bars of a share, 100 % as wide as the place."""
    step = place.h / len(rows)
    for n, (name, share, fill) in enumerate(rows):
        where = Place(place.x, place.y + place.h - step * (n + 1) + 4, place.w, step - 5)
        stack(
            board,
            f"share {n}",
            where,
            [Part(fill, share), Part("ground", 1 - share)],
            1.0,
            f"{name}: {percent(share)} out",
        )


def _pressing(board: Any, place: Place, s: Setting, tie: float) -> None:
    """mL of spirit for each 100 mL in the bottle, against how hard the soak is pressed."""
    most = 3.0
    drip = 100 * (s.ratio + s.kept) / s.ratio
    kept = np.linspace(0.2, min(most, 0.97 * s.ratio), 50)
    top = max(50 * np.ceil(1.4 * drip / 50), 150.0)
    chart = Chart(
        board,
        "press",
        place,
        (0.0, most, "soak keeps, mL for each g"),
        (50.0, top, "spirit for 100 in the bottle"),
        [(n, f"{n:g}") for n in (0.0, 1.0, 2.0, 3.0)],
        [(n, f"{n:g}") for n in (50.0, 100.0, top)],
    )
    soak = 100 * s.ratio / (s.ratio - kept)
    inside = soak <= top
    chart.curve("soak", kept[inside], soak[inside])
    chart.level("drip", drip, f"drip {drip:.0f}", ink="bottle", above=tie < 1.2)
    at = chart.at(tie, drip)
    board.dot("tie", *at, ink="limit", across=9.0)
    if s.pressed < s.ratio:
        now = 100 * s.ratio / (s.ratio - s.pressed)
        chart.mark("now", s.pressed, now, f"soak {now:.0f}")
