"""Floor 5. Lesson 7: waiting and pressing. What time brings out of the herb, what the marc keeps, soaking again."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np

from herbcalc import maceration, menstruum
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, WET_MARC, caution, weak
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.kinds import comparable
from herbcalc.show.draw.shapes import Chart, Part, Place, jar, rows, stack
from herbcalc.show.lessons.lesson05 import reaches, second_said, verdict
from herbcalc.show.look import MOST_HERB, Look, Number, View, dial, marc_keeps, pick
from herbcalc.show.words import DRAINED, apart, days, one_to, percent, vol, whence
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import per_gram

LESSON = 7
TITLE = "Waiting and pressing"
CAUTION = f"{FOOD_GRADE} {WET_MARC}"
MODEL = (
    "Extract is what this menstruum can take out of the herb. The waiting curve is a model for showing, and half "
    "times are common practice: no measure of potency."
)

SIZES = {
    0.25: "powder, 1/4 mm (1/100 in)",
    1.0: "fine cut, 1 mm (1/25 in)",
    3.0: "cut, 3 mm (1/8 in)",
    8.0: "chunks, 8 mm (5/16 in)",
}
# How fast extract moves inside a piece, as measured in passion-fruit leaf (Rodrigues and others 2023, Processes
# 11:2308). The one figure stands for all herbs here, and a piece counts as a ball: 8 mm give half in three days.
DIFFUSIVITY = Q(1.28e-12, "m**2/s")
INSIDE = 1.0  # mL of liquid inside each g of dry plant, whatever the press does later; a middle value, no source
SCANT = 0.5  # mL around the pieces for each mL inside them: with less, no size is told
HALF = 3.0  # days in which half of it comes out of ordinary cut herb; common practice, no source
LOTS = 3


@dataclass(frozen=True)
class Setting:
    """A soak. Herb in g, ratio in mL for each g as weighed, kept in mL for each g of dry plant, waiting in days."""

    kept: float = marc_keeps(DRAINED)
    days: float = dial(14, "day", low=0, high=56, step=0.5, label="Waiting", stops=(3, 6, 14, "soak_days"))
    herb: float = dial(100, "g", low=20, high=500, step=5, label="Herb", batch="herb", most=MOST_HERB)
    ratio: float = dial(5, "mL/g", low=0.5, high=10, step=0.1, label="Spirit", batch="ratio")
    water: float = dial(80, "percent_wb", low=5, high=95, step=1, label="Water in the plant", batch="water")
    spirit: float = dial(
        50, "percent_vol", low=20, high=96, step=0.5, label="Spirit poured on", batch="spirit", stops="shelf"
    )
    split: float = dial(0.6, "share", low=0.05, high=0.95, step=0.01, label="Share poured the first time")
    again: str = pick(
        "once", {"once": "one soak", "same": "same herb again", "fresh": "fresh herb again"}, label="How often"
    )
    plant: str = pick("dried", {"dried": "dried herb", "fresh": "fresh plant"}, label="In the jar")
    model: str = pick("half", {"half": "a half time", "size": "the size of the pieces"}, label="Reckon waiting from")
    half: float = dial(HALF, "day", low=0.1, high=7, step=0.1, label="Half is out after")
    size: float = pick(3.0, SIZES, label="The pieces are")


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting."""
    always = {"again", "plant", "herb", "ratio", "spirit", "kept"} | (
        {"water"} if setting.plant == "fresh" else set()
    )
    if setting.again == "same":
        return always | {"split"}
    if setting.again == "fresh":
        return always
    return always | {"days", "model", "half" if setting.model == "half" else "size"}


@dataclass(frozen=True)
class Soak:
    """The sums of one soak: g, mL, shares 0..1, % vol. `worth` is mL for each g of herb; None: nothing is out yet."""

    water: float
    solids: float
    poured: float
    liquid: float
    out: float
    kept: float
    most: float
    moved: float
    worth: float | None
    strength: dict[str, float]


def sums(s: Setting) -> Soak:
    """Everything that the sentence, the numbers and the picture of one soak are made from."""
    wet = s.water if s.plant == "fresh" else 0.0
    herb, water = Q(float(s.herb), "g"), Q(float(wet), "percent_wb")
    poured, kept = Q(float(s.herb * s.ratio), "mL"), Q(float(s.kept), "mL/g")
    liquid = s.herb * s.ratio + s.herb * wet / 100
    out = float(maceration.liquid_out(herb, poured, kept, water).magnitude)
    moved = float(out_by(s, np.array([s.days]))[0])
    return Soak(
        water=wet,
        solids=s.herb * (100 - wet) / 100,
        poured=s.herb * s.ratio,
        liquid=liquid,
        out=out,
        kept=liquid - out,
        most=maceration.share_extracted(herb, Q([s.herb * s.ratio], "mL"), kept, water),
        moved=moved,
        worth=liquid / (moved * s.herb) if moved > 1e-6 else None,
        strength=_ends(s.herb, wet, s.herb * s.ratio, s.spirit),
    )


def _ends(herb: float, water: float, poured: float, spirit: float) -> dict[str, float]:
    """How strong such a jar ends, % vol, by both rules; g, % water, mL, % vol."""
    jar_ = Q(float(herb), "g"), Q(float(water), "percent_wb"), Q(float(poured), "mL"), Q(float(spirit), "percent_vol")
    return {rule: float(menstruum.final_strength(*jar_, rule).magnitude) for rule in ("kitchen", "measured")}


def out_by(s: Setting, waited: Any) -> Any:
    """Share of what will come out that is out after so many days (a list), by the model that is chosen."""
    if s.model == "half":
        return maceration.share_by(Q(waited, "day"), Q(float(s.half), "day"))
    return _out_of(s, s.size, waited)


def _out_of(s: Setting, size: float, waited: Any) -> Any:
    """The same by size: of pieces of so many mm, after so many days."""
    radius = Q(size / 20, "cm")
    fourier = (DIFFUSIVITY * Q(waited, "day") / radius**2).to("").magnitude
    return maceration.uptake(fourier, "sphere", _bath(s))


def _bath(s: Setting) -> float:
    """Free liquid against the liquid inside the pieces."""
    fresh = s.plant == "fresh"
    inside = INSIDE * (1 - (s.water if fresh else 0.0) / 100)
    return max((s.ratio + (s.water / 100 if fresh else 0.0)) / inside - 1, 0.05)


@functools.lru_cache(maxsize=1024)  # one look asks for it several times, and most dials leave it as it is
def _half_out(bath: float) -> float:
    """The Fourier number at which half of what can come out of round pieces is out."""
    return float(maceration.fourier_for(0.5, "sphere", bath))


def half_time(s: Setting) -> float:
    """Days in which half of what can come out of pieces of the set size has come out."""
    radius = Q(s.size / 20, "cm")
    return float((_half_out(_bath(s)) * radius**2 / DIFFUSIVITY).to("day").magnitude)


def size_for(s: Setting) -> float | None:
    """Size in mm of the pieces that have the set half time: the two ways to reckon tell one story of the first half.

    None where hardly any liquid stands around the pieces: there the sum of size has nothing to say.
    """
    if _bath(s) < SCANT:
        return None
    return float(2 * ((DIFFUSIVITY * Q(float(s.half), "day") / _half_out(_bath(s))) ** 0.5).to("mm").magnitude)


def _across(size: float) -> str:
    """The size of a piece in whole mm, where it has some."""
    mm = round(size) if size >= 2 else round(size, 1)
    return f"{mm:g} mm ({_sixteenths(size)} in)"


def _sixteenths(mm: float) -> str:
    """The same in inches, in sixteenths, which is what a ruler shows.

    >>> _sixteenths(8.0), _sixteenths(30.0)
    ('5/16', '1 3/16')
    """
    whole, part = divmod(Fraction(max(round(mm / 25.4 * 16), 1), 16), 1)
    return " ".join(str(n) for n in (whole, part) if n)


def _pace(s: Setting) -> str:
    """How fast it goes, by the half time and by the size of the pieces."""
    if s.model == "half":
        told, size = f"half of the rest every {days(s.half)}", size_for(s)
        piece = (
            "" if size is None else f", the first as from pieces of about {_across(size)}, whose last part is slower"
        )
        return told + piece
    return f"{SIZES[s.size]}: the first half in {days(half_time(s))}"


# --- what is said of any soak -------------------------------------------------------------------------------------


def nothing_comes_out(s: Setting, it: Soak, view: View) -> tuple[str, list[str]]:
    """A soak that the marc drinks whole, and what would work."""
    told = (
        f"Nothing comes out: at {one_to(s.ratio)} there is no more liquid than the marc keeps. All "
        f"{view.say(it.liquid, 'mL')} stays in it, however long it stands."
    )
    if it.water:
        least = max(s.kept * (1 - it.water / 100) - it.water / 100, 0.0)
        ways = [
            f"Pour more: anything wider than {one_to(least)} on the fresh plant gives some back.",
            "Press harder.",
        ]
        return told, ways
    try:
        maceration.herb_for(Q(it.poured, "mL"), Q(float(s.ratio), "mL/g"), Q(float(s.kept), "mL/g"))
    except Impossible as refusal:
        return told, [way.text for way in refusal.ways_out]
    return told, []


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One soak, or soaking again: what pours off, how strong it is, and what stays in the marc."""
    it = sums(setting)
    plant = "dried herb" if setting.plant == "dried" else f"fresh plant with {setting.water:.3g} % water"
    basis = "" if setting.plant == "dried" else " of dry plant"
    given = (
        f"{view.say(setting.herb, 'g')} of {plant} in {view.say(it.poured, 'mL')} of {setting.spirit:.3g} % vol; the "
        f"marc keeps {per_gram(setting.kept)}{basis}: {whence(setting.kept, rules)}."
    )
    if it.out > SLACK and setting.again == "same":
        return _same_herb(setting, it, rules, view, given)
    if it.out > SLACK and setting.again == "fresh":
        return _fresh_lots(setting, it, rules, view, given)
    return _once(setting, it, rules, view, given)


def _caution(s: Setting, rules: Rules, *ends: float) -> str:
    """The fire line, and what is said of a jar that ends under the floor."""
    return f"{weak(rules.floor, *ends)} {caution(s.spirit, rules.shelf)}".strip()


def _short(s: Setting, it: Soak, view: View) -> str:
    return f"{view.say(s.herb, 'g')} in {view.say(it.poured, 'mL')}, {per_gram(s.kept)} kept"


# --- one soak -----------------------------------------------------------------------------------------------------


def _once(s: Setting, it: Soak, rules: Rules, view: View, given: str) -> Look:
    none = it.out <= SLACK
    if none:
        told, ways = nothing_comes_out(s, it, view)
        sentence = f"{given} {told}"
    else:
        sentence, ways = f"{given} {_told_once(s, it, rules, view)}", []
    alt = (
        f"A jar that holds, from the bottom: {view.say(it.solids, 'g')} of dry plant, {view.say(it.kept, 'mL')} that "
        f"the marc keeps and {view.say(it.out, 'mL')} that pours off. Beside it, as a model, how much of what can "
        f"move has moved against the days waited, rising fast at first and then flat; the mark stands at "
        f"{days(s.days)} and {percent(it.moved)}."
    )
    return Look(
        sentence=sentence,
        numbers=_numbers_once(it, view),
        alt=alt,
        table=_table_once(s, it, rules, view),
        left=lambda board, place, answer: _jar(board, place, it, view, answer),
        right=lambda board, place: _waiting(board, place, s, it),
        given=given,
        short=f"{_short(s, it, view)}, {days(s.days)}",
        ways_out=ways,
        caution=_caution(s, rules, *it.strength.values()),
    )


def _told_once(s: Setting, it: Soak, rules: Rules, view: View) -> str:
    worth = "nothing is in it yet" if it.worth is None else f"the extract of 1 g is in {view.say(it.worth, 'mL')}"
    first, other = (it.strength[r] for r in view.rules())
    dry = _ends(s.herb, rules.dried_to, it.poured, s.spirit)[view.rule]
    wet = (
        f" ({view.other()} {other:.1f}, {apart(first, other)})"
        if it.water
        else f", or {vol(dry)} where the herb's last {rules.dried_to:g} % of water is counted"
    )
    return (
        f"After {days(s.days)} of waiting {percent(it.moved)} of what can move has moved ({_pace(s)}). "
        f"Poured off, it is {view.say(it.out, 'mL')} with {percent(it.moved * it.most)} of the herb's extract; "
        f"waiting for ever would bring {percent(it.most)}. Pressing harder changes that share and how much pours "
        f"off, never the strength: each drop stays at {vol(first)}{wet}, and {worth}. {MODEL}"
    )


def _numbers_once(it: Soak, view: View) -> tuple[Number, ...]:
    share, none = it.moved * it.most, it.out <= SLACK
    first, other = (it.strength[r] for r in view.rules())
    gram = (
        Number("1 g is in", "nothing out", key="gram", unit="mL", ask="how many mL hold the extract of 1 g?")
        if none or it.worth is None
        else view.number("gram", "1 g is in", it.worth, "mL", "how many mL hold the extract of 1 g?")
    )
    off = view.number("off", "Pours off", it.out, "mL", "how much pours off?")
    return (
        dataclasses.replace(off, value="nothing", note="") if none else off,
        Number("Has moved", percent(it.moved), "of what can move", 100 * it.moved, "percent", "moved",
               "how much of what can come has come?"),
        Number("Extract out", percent(share), f"in the end {percent(it.most)}", 100 * share, "percent", "extract",
               "how much of the extract pours off?"),
        gram,
        view.number("marc", "In the marc", it.kept, "mL", "how much stays in the marc?"),
        Number("Strength", vol(first), f"{view.other()} {other:.1f}", first, "percent_vol", "end",
               "how strong is it?", other),
    )  # fmt: skip


def _table_once(s: Setting, it: Soak, rules: Rules, view: View) -> tuple[tuple[str, str], ...]:
    say = view.say
    size = s.size if s.model == "size" else size_for(s)
    by_size = () if size is None else (
        ("pieces of about", _across(size)),
        ("of these, by their size, has moved", percent(float(_out_of(s, size, np.array([s.days]))[0]))),
    )  # fmt: skip
    habit = "" if s.model == "size" else " (common practice)"
    return (
        ("", "this soak"),
        ("poured on", say(it.poured, "mL")),
        ("the plant's own water", say(it.liquid - it.poured, "mL")),
        ("pours off", say(it.out, "mL")),
        ("left in the marc", say(it.kept, "mL")),
        ("where that figure comes from", whence(s.kept, rules)),
        ("strength, kitchen rule", vol(it.strength["kitchen"])),
        ("strength, measured", vol(it.strength["measured"])),
        ("share that has moved", percent(it.moved)),
        ("half is out after", days(half_time(s) if s.model == "size" else s.half) + habit),
        *by_size,
        ("share of the extract poured off", percent(it.moved * it.most)),
        ("share, had it stood for ever", percent(it.most)),
    )


def _jar(board: Board, place: Place, it: Soak, view: View, answer: bool) -> None:
    """The jar with what stays and what pours off; before the guess what went into it, and no more."""
    if not comparable(board, "left", "once"):
        return

    def part(fill: str, name: str, amount: float, unit: str = "mL") -> Part:
        return Part(fill, amount, f"{name} {view.pair(amount, unit)[0]}", short=name)

    parts = [part("solids", "herb" if not it.water else "dry", it.solids, "g")]
    if answer:
        parts.append(part("band", "marc", it.kept))
        parts.append(part("bottle", "off", it.out) if it.out > SLACK else Part("bottle", it.out, "nothing off"))
    else:
        if it.water:
            parts.append(part("water", "its water", it.liquid - it.poured))
        parts.append(part("band", "poured", it.poured))
    jar(board, "jar", place, parts, 1.1 * (it.liquid + it.solids))


def _waiting(board: Board, place: Place, s: Setting, it: Soak) -> None:
    """How much of what can come has come, day by day; pressing changes nothing of that."""
    if not comparable(board, "right", "once"):
        return
    last = 56.0 if s.days > 28 else 28.0
    waited = np.concatenate([[0.0], np.geomspace(0.02, last, 50)])
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, last, "days of waiting"),
        (0.0, 1.25 if board.narrow else 1.0, "has come: a model"),
        [(n, f"{n:g}") for n in np.linspace(0, last, 3 if board.narrow else 5)],
        [(n, f"{100 * n:.0f} %") for n in (0.0, 0.5, 1.0)],
    )
    chart.curve("waiting", waited, out_by(s, waited))
    chart.mark("now", s.days, it.moved, percent(it.moved), ink="bottle")


# --- the same herb again ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Twice:
    """Two soaks of the same herb: mL poured and out, shares 0..1, and the first pour that draws the most."""

    poured: tuple[float, float]
    out: tuple[float, float]
    share: tuple[float, float]
    left: float
    best: float
    most: float

    @property
    def together(self) -> float:
        """Share of the extract in both."""
        return sum(self.share)


def twice(s: Setting, it: Soak) -> Twice:
    """The sums of two soaks, split as the dial says."""
    first = s.split * it.poured
    drawn = maceration.same_herb_again(
        Q(float(s.herb), "g"),
        Q([first, it.poured - first], "mL"),
        Q(float(s.kept), "mL/g"),
        Q(it.water, "percent_wb"),
    )
    best = _best_first(s, it)
    return Twice(
        (first, it.poured - first),
        tuple(float(n) for n in drawn.out.magnitude),
        tuple(float(n) for n in drawn.share),
        float(drawn.left),
        best,
        float(_shares(s, it, np.array([best]))[0]),
    )


def _best_first(s: Setting, it: Soak) -> float:
    """mL of the first of two soaks that draws the most; the plant's water is already in the jar for that one."""
    brought = it.liquid - it.poured
    split = maceration.best_split(Q(it.liquid, "mL"), Q(it.solids, "g"), Q(float(s.kept), "mL/g"), 2).magnitude
    return float(np.clip(split[0] - brought, 0.0, it.poured))


def _shares(s: Setting, it: Soak, first: Any) -> Any:
    """Share of the extract in both soaks together, for each first portion in mL (a list)."""
    portions = np.stack([first, it.poured - np.asarray(first)], axis=-1)
    return maceration.share_extracted(
        Q(float(s.herb), "g"), Q(portions, "mL"), Q(float(s.kept), "mL/g"), Q(it.water, "percent_wb")
    )


def _same_herb(s: Setting, it: Soak, rules: Rules, view: View, given: str) -> Look:
    """The same herb soaked twice with a given menstruum, split as the dial says."""
    say, two = view.say, twice(s, it)
    pours = f"The first soak gets {say(two.poured[0], 'mL')}, the second {say(two.poured[1], 'mL')}."
    sentence = (
        f"{given} {pours} Out come {say(two.out[0], 'mL')} with {percent(two.share[0])} of the extract and "
        f"{say(two.out[1], 'mL')} with {percent(two.share[1])}: {percent(two.together)} together, and one soak with "
        f"it all would bring {percent(it.most)}. "
    )
    sentence += (
        f"The best split pours {say(two.best, 'mL')} first and brings {percent(two.most)}: then both soaks press out "
        "equally."
        if two.together < two.most - 0.0005
        else "That is the best split: both soaks press out equally."
    )
    sentence += " The shares are a model's: each soak counts as stirred even."
    alt = (
        f"Three bars of the herb's extract, each soak stirred even, a model: {percent(two.share[0])} in the first "
        f"{say(two.out[0], 'mL')}, {percent(two.share[1])} in the second {say(two.out[1], 'mL')}, "
        f"{percent(two.left)} left in the marc. Beside them a curve of the share drawn against the share poured the "
        f"first time; it has a gentle top at {percent(two.best / it.poured)}, and the mark stands at "
        f"{percent(s.split)}."
    )
    return Look(
        sentence=sentence,
        numbers=_numbers_same(it, two, view),
        alt=alt,
        table=_table_same(s, it, two, view),
        left=lambda board, place, answer: _bars_same(board, place, two, view, answer),
        right=lambda board, place: _splits(board, place, s, it, two),
        share=0.52,
        given=f"{given} {pours}",
        short=f"{_short(s, it, view)}, {say(two.poured[0], 'mL')} poured first",
        # The first soak stands with less spirit on the same water: what is weak is weak there.
        caution=_caution(s, rules, *_ends(s.herb, it.water, two.poured[0], s.spirit).values()),
    )


def _numbers_same(it: Soak, two: Twice, view: View) -> tuple[Number, ...]:
    gain = 100 * (two.together - it.most)
    return (
        Number("Extract out", percent(two.together), f"one soak {percent(it.most)}", 100 * two.together, "percent",
               "extract", "how much of the extract comes out?"),
        Number("Two soaks bring", f"{gain:.1f} points", "more than one", gain, "points", "gain",
               "how many points more than in one soak?"),
        view.number("off", "Pours off", sum(two.out), "mL", "how much pours off in all?"),
        view.number("best", "Best first pour", two.best, "mL", "how much goes on first, for the most?"),
        Number("Best share", percent(two.most), "", 100 * two.most, "percent", "most", "what is the most of it?"),
    )  # fmt: skip


def _table_same(s: Setting, it: Soak, two: Twice, view: View) -> tuple[tuple[str, ...], ...]:
    say = view.say
    endless = maceration.endless_soaks(Q(it.liquid, "mL"), Q(it.solids, "g"), Q(float(s.kept), "mL/g"))
    return (
        ("", "first soak", "second soak", "together"),
        ("poured on", *(say(n, "mL") for n in (*two.poured, it.poured))),
        ("pours off", *(say(n, "mL") for n in (*two.out, sum(two.out)))),
        ("share of the extract", *(percent(n) for n in (*two.share, two.together))),
        ("left in the marc", "", "", percent(two.left)),
        ("endless small soaks", "", "", percent(float(endless))),
    )


def _bars_same(board: Board, place: Place, two: Twice, view: View, answer: bool) -> None:
    """What each soak draws and what stays, to one scale; before the guess what each gets."""
    if not comparable(board, "left", "same"):
        return
    names = ("first", "second")
    parts: Sequence[tuple[str, float, str]] = [
        *((name, share, "bottle") for name, share in zip(names, two.share, strict=True)),
        ("in the marc", two.left, "solids"),
    ]
    for n, ((name, share, fill), where) in enumerate(zip(parts, rows(place, 3), strict=True)):
        soak = n < len(names) and not board.narrow
        title = f"{name} {view.pair(two.poured[n], 'mL')[0]}" if soak else name
        stack(
            board,
            f"same {n}",
            where,
            [Part(fill, share)] if answer else [],
            1.0,
            f"{title}: {percent(share) if answer else '? %'}",
        )


def _splits(board: Board, place: Place, s: Setting, it: Soak, two: Twice) -> None:
    """The share drawn against the share that is poured the first time."""
    if not comparable(board, "right", "same"):
        return
    splits = np.linspace(0.05, 0.95, 46)
    points = _shares(s, it, splits * it.poured)
    low = max(0.0, np.floor(10 * min(float(points.min()), it.most)) / 10 - 0.1)
    chart = Chart(
        board,
        "split",
        place,
        (0.0, 1.0, "% poured first"),
        (low, 1.0, "extract out: a model"),
        [(n, f"{100 * n:.0f}") for n in (0.0, 0.5, 1.0)],
        [(n, f"{100 * n:.0f} %") for n in (low, 1.0)],
    )
    chart.curve("split", splits, points)
    chart.level("once", it.most, f"one soak {percent(it.most)}", ink="quiet", above=s.split > 0.8)
    board.dot("best", *chart.at(two.best / it.poured, two.most), ink="limit", across=9.0)
    chart.mark("now", s.split, two.together, percent(two.together), ink="bottle")
    if not board.narrow:
        lift = 0.95 if two.most < 0.8 + 0.2 * low else 0.3
        ha = "left" if two.best < 0.8 * it.poured else "right"
        chart.note("best", two.best / it.poured, two.most, "best", "limit", lift, ha, if_room=True)


# --- fresh herb again ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Lot:
    """What is poured off one lot: mL, % vol by both rules, mL that hold the extract of 1 g, g of plant in it."""

    out: float
    strength: dict[str, float]
    gram: float
    worth: float

    def under(self, floor: float) -> bool:
        """Whether either rule finds it under the floor."""
        return not reaches(min(self.strength.values()), floor)


def lots(s: Setting, it: Soak) -> list[Lot]:
    """The liquid of one soak on a new lot of the same plant, and again; fewer where a lot drinks it all."""
    both = {
        rule: maceration.fresh_herb_again(
            Q(it.poured, "mL"),
            Q([float(s.herb)] * LOTS, "g"),
            Q(float(s.kept), "mL/g"),
            Q(it.water, "percent_wb"),
            Q(float(s.spirit), "percent_vol"),
            rule,
        )
        for rule in ("kitchen", "measured")
    }
    one = both["kitchen"]
    return [
        Lot(
            float(out),
            {rule: float(made.strength.magnitude[n]) for rule, made in both.items()},
            float(1 / one.worth.magnitude[n]),
            float(one.in_bottle.magnitude[n]) if out > SLACK else 0.0,
        )
        for n, out in enumerate(one.out.magnitude)
    ]


def _fresh_lots(s: Setting, it: Soak, rules: Rules, view: View, given: str) -> Look:
    """What is poured off goes on fresh herb, and again."""
    made, say, floor = lots(s, it), view.say, rules.floor
    under = [n for n, lot in enumerate(made, 1) if lot.under(floor)]
    sentence = f"{given} {_told_lots(s, it, made, view)}"
    if under:
        lot = made[under[0] - 1].strength
        sentence += f" Lot {under[0]}: {verdict(lot['kitchen'], lot['measured'], floor, view.rule)}"
    told = ", ".join(vol(lot.strength[view.rule]) for lot in made)
    alt = (
        "Bars of what pours off after each lot: "
        + ", ".join(f"lot {n} {say(lot.out, 'mL')}" for n, lot in enumerate(made, 1))
        + f". Beside them the strength, from lot to lot: {told}; a line at the floor of {floor:g} % vol."
    )
    return Look(
        sentence=sentence,
        numbers=_numbers_lots(made, rules.floor, view),
        alt=alt,
        table=_table_lots(made, view),
        left=lambda board, place, answer: _bars_lots(board, place, made, view, answer),
        right=lambda board, place: _fall(board, place, made, floor, view),
        share=0.52,
        given=f"{given} What pours off goes on the same weight again, up to {LOTS} lots.",
        short=f"{_short(s, it, view)}, on {LOTS} lots one after the other",
        caution=_caution(s, rules, *(strength for lot in made for strength in lot.strength.values())),
    )


def _told_lots(s: Setting, it: Soak, made: list[Lot], view: View) -> str:
    first, second = view.rules()
    last = made[-1]
    sentence = f"What pours off goes on the same weight again, up to {LOTS} lots. "
    sentence += (
        f"The strength falls: {', '.join(vol(lot.strength[first]) for lot in made)} ({view.other()} "
        f"{', '.join(f'{lot.strength[second]:.1f}' for lot in made)}), because each fresh lot brings its water. "
        if it.water
        else "Dried herb brings hardly any water, so the strength stays as poured. "
    )
    sentence += (
        f"Lot {len(made)} drinks all that is left, and nothing more comes out. "
        if last.out <= SLACK
        else f"In the end {view.say(last.out, 'mL')} is left, the extract of 1 g in {view.say(last.gram, 'mL')}. "
    )
    return sentence + (
        f"Of {view.say(s.herb * len(made), 'g')} of plant the worth of {view.say(last.worth, 'g')} is in the bottle: "
        "richer in each drop, and dearly paid for."
    )


def _numbers_lots(made: list[Lot], floor: float, view: View) -> tuple[Number, ...]:
    last = made[-1]
    first, other = (last.strength[r] for r in view.rules())
    return (
        Number("Strength, last lot", vol(first), second_said(first, other, floor, view), first, "percent_vol", "end",
               "how strong is the last?", other),
        view.number("off", "Pours off last", last.out, "mL", "how much pours off the last lot?"),
        view.number("gram", "1 g is in", last.gram, "mL", "how many mL hold the extract of 1 g?"),
        view.number("worth", "Plant-worth in it", last.worth, "g", "how much plant is it worth?"),
    )  # fmt: skip


def _table_lots(made: list[Lot], view: View) -> tuple[tuple[str, ...], ...]:
    say = view.say
    return (
        ("", *(f"lot {n}" for n in range(1, len(made) + 1))),
        ("pours off", *(say(lot.out, "mL") for lot in made)),
        ("strength, kitchen rule", *(vol(lot.strength["kitchen"]) for lot in made)),
        ("strength, measured", *(vol(lot.strength["measured"]) for lot in made)),
        ("the extract of 1 g is in", *(say(lot.gram, "mL") for lot in made)),
    )


def _bars_lots(board: Board, place: Place, made: list[Lot], view: View, answer: bool) -> None:
    """What pours off each lot, to one scale; before the guess the lots alone."""
    if not comparable(board, "left", "fresh"):
        return
    most = max(made[0].out, 1.0)
    full = board.scale("lots", most, most)
    for n, (lot, where) in enumerate(zip(made, rows(place, LOTS), strict=False), 1):
        parts = [Part("bottle", lot.out, view.pair(lot.out, "mL")[0])] if answer else []
        title = vol(lot.strength[view.rule]) if answer else "? % vol"
        stack(board, f"lot {n}", where, parts, full, f"lot {n}: {title}")


def _fall(board: Board, place: Place, made: list[Lot], floor: float, view: View) -> None:
    """The strength from lot to lot."""
    if not comparable(board, "right", "fresh"):
        return
    chart = Chart(
        board,
        "lots",
        place,
        (0.5, LOTS + 0.5, "lot of plant"),
        (0.0, 100.0, "% vol"),
        [(n, f"{n}") for n in range(1, LOTS + 1)],
        [(n, f"{n}") for n in (0, 50, 100)],
    )
    strength = [lot.strength[view.rule] for lot in made]
    where = list(range(1, len(strength) + 1))
    chart.curve("fall", where, strength)
    chart.level("floor", floor, "")
    # The strength falls towards the floor at the right: the words keep clear of the last mark.
    words = f"floor {floor:g}" if board.narrow else f"floor {floor:g} % vol"
    if not board.is_faint:
        chart.note("floor words", 0.6, floor, words, "limit", -0.8)
    for n, x in zip(where[:-1], strength[:-1], strict=True):
        board.dot(f"lot {n}", *chart.at(n, x), ink="alcohol")
    chart.mark("last", where[-1], strength[-1])  # its figure stands over its bar
