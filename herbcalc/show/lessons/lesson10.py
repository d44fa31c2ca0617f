"""Floor 5. Lesson 10: without alcohol. The same leaf in glycerin, vinegar, honey and syrup, each against its line."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from herbcalc import ethanol, liquids, preserving
from herbcalc.rules import Rules
from herbcalc.show.cautions import FERMENTS, FOOD_GRADE, IN_GLASS, MISSED, caution
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Part, Place, rows, stack
from herbcalc.show.look import MOST_HERB, MOST_LIQUID, Look, Number, View, dial, pick
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import listed

LESSON = 10
BOTH_RULES = False
TITLE = "Without alcohol"
CAUTION = (
    "No honey for a child under 1 year: it can bring botulism. No bare metal lid on vinegar. These are sums for "
    "teaching, no advice."
)

ALL = "all four"
NAMES = ("glycerin", "vinegar", "honey", "syrup")
DRIEST = 5.0  # % water; no room dries herb further (common practice, no source)
ALWAYS_FERMENTS = 20.0  # % water in honey; over it whatever yeast is in it (common practice, no source)
RIPEST = 15.0  # % water; no honey is much riper (common practice, no source)
# Water activity: under 0.91 most bacteria, under 0.80 most moulds, under 0.60 all growth stops. L. R. Beuchat, Cereal
# Foods World 26 (1981) 345.
TICKS = (0.6, 0.8, 0.91, 1.0)


@dataclass(frozen=True)
class Setting:
    """Four jars with the same leaf. Weights in g, volumes in mL, water in percent, other shares of 1."""

    jar: str = pick(ALL, (ALL, *NAMES), label="The question is about")
    water: float = dial(80, "percent_wb", low=5, high=95, step=1, label="Water in the herb", batch="water")
    herb: float = dial(100, "g", low=30, high=500, step=5, label="Herb, in each jar", batch="herb", most=MOST_HERB)
    glycerin: float = dial(120, "mL", low=20, high=1500, step=10, label="Glycerin", most=MOST_LIQUID)
    pure: float = pick(
        1.0, {1.0: "pure", 0.75: "3 parts in 4, the rest water", 0.6: "6 parts in 10"}, label="Strength of it"
    )
    vinegar: float = dial(300, "mL", low=20, high=1500, step=10, label="Vinegar", most=MOST_LIQUID)
    acid: float = pick(
        0.05, {0.04: "4 %", 0.05: "5 %", 0.06: "6 %", 0.07: "7 %", 0.1: "10 %"}, label="Acid on its label"
    )
    honey: float = dial(500, "g", low=20, high=5000, step=20, label="Honey", most=MOST_HERB)
    ripe: float = dial(18, "percent_wb", low=14, high=25, step=0.5, label="Water in the honey itself")
    sugar: float = dial(220, "g", low=20, high=1500, step=10, label="Sugar", most=MOST_HERB)
    tea: float = dial(100, "mL", low=0, high=1000, step=10, label="Tea or water with the sugar", most=MOST_LIQUID)
    shot: float = dial(0, "mL", low=0, high=1500, step=10, label="Spirit into the syrup", most=MOST_LIQUID)
    spirit: float = dial(40, "percent_vol", low=20, high=96, step=0.5, label="Strength of that spirit", stops="shelf")


_OF = {
    "glycerin": {"glycerin", "pure"},
    "vinegar": {"vinegar", "acid"},
    "honey": {"honey", "ripe"},
    "syrup": {"sugar", "tea", "shot", "spirit"},
    ALL: {"glycerin", "vinegar", "honey", "sugar", "tea"},
}


def used(setting: Setting) -> set[str]:
    """The dials that count for the jar that is asked about."""
    return {"jar", "water", "herb"} | _OF[setting.jar]


@dataclass(frozen=True)
class Jar:
    """The sums of one jar, as plain numbers.

    poured   what keeps, as it is poured, in `unit`; own: its share of the stuff that must reach the line, 0..1
    thins    water that joins it, from the leaf and from the tea, and the weight of spirit, in the same unit
    share    of the stuff in the end; line: the share that it needs
    needed   what must be poured for the line, wettest: the most water that the leaf may hold, percent; None: none is
    activity by Norrish
    spirited that spirit keeps it, whatever its sugar
    """

    name: str
    unit: str
    poured: float
    own: float
    thins: float
    share: float
    line: float
    needed: float | None
    wettest: float | None
    activity: float
    spirited: bool = False

    @property
    def reaches(self) -> bool:
        """Whether it comes to its line, rounding aside."""
        return self.share >= self.line - SLACK

    @property
    def keeps(self) -> bool:
        """Whether it keeps by the house rules."""
        return self.reaches or self.spirited

    @property
    def must(self) -> float:
        """How much of the liquid must be what was poured."""
        return min(self.line / self.own, 1.0)

    def said(self, share: float) -> str:
        """A share of it in words: of honey its water, of the others what keeps."""
        return f"{100 * (1 - share):.3g} % water" if self.name == "honey" else f"{100 * share:.3g} %"


@dataclass(frozen=True)
class Four:
    """The four jars; the syrup's room in mL, its strength in % vol, and the spirit in mL that would keep it."""

    jars: dict[str, Jar]
    plant_water: float
    room: float
    strength: float
    shot_needed: float | None

    @property
    def kept(self) -> list[str]:
        """The jars that keep."""
        return [jar.name for jar in self.jars.values() if jar.keeps]


def _bare(result: Any) -> float:
    return float(getattr(result, "magnitude", result))


def sums(s: Setting, rules: Rules) -> Four:
    """Everything that the sentence, the numbers and the picture are made from."""
    herb, wet = Q(float(s.herb), "g"), Q(float(s.water), "percent_wb")
    leaf, plant_water = (herb, wet), s.herb * s.water / 100
    ripe, most_wet = Q(float(s.ripe), "percent_wb"), Q(rules.honey_limit, "percent_wb")
    shot, spirit = Q(float(s.shot), "mL"), Q(float(s.spirit), "percent_vol")
    added = s.tea + float((shot * ethanol.density(spirit)).to("g").magnitude)
    thin = Q(plant_water + added, "g")
    room = _bare(preserving.syrup_volume(Q(float(s.sugar), "g"), Q(plant_water + s.tea, "g")))
    strength = _bare(preserving.strength_with(Q(room, "mL"), shot, spirit))
    by_mass = float(preserving.by_weight(
        preserving.glycerin_share(*leaf, Q(float(s.glycerin), "mL"), s.pure), liquids.density("glycerin")
    ))  # fmt: skip
    dry = _bare(preserving.honey_water(*leaf, Q(float(s.honey), "g"), ripe)) / 100
    water_alone = Q(plant_water + s.tea + s.shot * (100 - s.spirit) / 100, "g")

    def jar(name: str, unit: str, own: float, line: float, share: float, call: Any, activity: float) -> Jar:
        """One jar; `call` says how much must be poured, or refuses."""
        poured = float(getattr(s, {"syrup": "sugar"}.get(name, name)))
        more = added if name == "syrup" else 0.0
        try:
            needed: float | None = _bare(call())
        except Impossible:
            needed = None
        # What must be poured goes with the water, so what is poured carries so much of it.
        carried = (plant_water + more) * poured / needed - more if needed else -1.0
        wettest = min(100 * carried / s.herb, 95.0) if carried > 0 else None
        spirited = name == "syrup" and strength >= rules.syrup_spirit - SLACK
        return Jar(name, unit, poured, own, plant_water + more, share, line, needed, wettest, activity, spirited)

    made = (
        jar("glycerin", "mL", s.pure, rules.glycerin_floor,
            float(preserving.glycerin_share(*leaf, Q(float(s.glycerin), "mL"), s.pure)),
            lambda: preserving.glycerin_needed(*leaf, rules.glycerin_floor, s.pure),
            float(preserving.water_activity("glycerol", by_mass))),
        jar("vinegar", "mL", s.acid, rules.vinegar_floor,
            float(preserving.acid_share(*leaf, Q(float(s.vinegar), "mL"), s.acid)),
            lambda: preserving.vinegar_needed(*leaf, rules.vinegar_floor, s.acid),
            float(preserving.water_activity("sucrose", 0.0))),
        jar("honey", "g", 1 - s.ripe / 100, 1 - rules.honey_limit / 100, 1 - dry,
            lambda: preserving.honey_needed(*leaf, most_wet, ripe),
            float(preserving.water_activity("sucrose", 1 - dry))),
        jar("syrup", "g", 1.0, rules.syrup_floor,
            float(preserving.sugar_share(Q(float(s.sugar), "g"), thin)),
            lambda: preserving.sugar_needed(thin, rules.syrup_floor),
            float(preserving.water_activity(
                "sucrose",
                min(float(preserving.sugar_share(Q(float(s.sugar), "g"), water_alone)), preserving.DISSOLVES)))),
    )  # fmt: skip
    try:
        shot_needed = _bare(preserving.spirit_for(Q(room, "mL"), spirit, Q(rules.syrup_spirit, "percent_vol")))
    except Impossible:
        shot_needed = None
    return Four({one.name: one for one in made}, plant_water, room, strength, shot_needed)


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """Four jars with the same leaf: what each ends at, whether that is its line, and why each of them keeps."""
    it = sums(setting, rules)
    leaf = f"{view.say(setting.herb, 'g')} of herb with {setting.water:.3g} % water"
    given = f"{leaf} goes into {_poured(setting, view)}"
    start = f"{leaf} goes into each of four jars" if setting.jar == ALL else given
    return Look(
        sentence=f"{start}. {_told(setting, it, rules, view)}",
        numbers=_numbers(setting, it, rules, view),
        alt=_alt(it, view),
        table=_table(it, view),
        left=lambda board, place, answer: _bars(board, place, setting, it, view, answer),
        right=lambda board, place: _activities(board, place, it),
        share=0.52,
        given=f"{given}.",
        short=f"{leaf}, {_poured(setting, view, short=True)}",
        ways_out=[] if setting.jar == ALL or it.jars[setting.jar].keeps else _ways(setting, it, rules, view),
        caution=_caution(setting, it, rules),
    )


def _poured(s: Setting, view: View, short: bool = False) -> str:
    """What is poured into the jar that is asked about, or into each of the four."""
    tea = f" and {view.say(s.tea, 'mL')} of tea" if s.tea else ""
    shot = f", with {view.say(s.shot, 'mL')} of {s.spirit:g} % vol" if s.shot else ""
    strong = "" if s.pure == 1 else f"{100 * s.pure:g} % "
    words = {
        "glycerin": f"{view.say(s.glycerin, 'mL')} of {strong}glycerin",
        "vinegar": f"{view.say(s.vinegar, 'mL')} of {100 * s.acid:g} % vinegar",
        "honey": f"{view.say(s.honey, 'g')} of honey that holds {s.ripe:g} % water",
        "syrup": f"{view.say(s.sugar, 'g')} of sugar{tea}{shot}",
    }
    if s.jar != ALL:
        return words[s.jar]
    return "each of four jars" if short else f"each of four jars: {'; '.join(words.values())}"


# --- what is told --------------------------------------------------------------------------------------------------


def _told(s: Setting, it: Four, rules: Rules, view: View) -> str:
    water = f"{view.say(it.plant_water, 'mL')} of water"
    if s.jar == ALL:
        ends = ", ".join(f"{jar.name} {jar.said(jar.share)} ({_line(jar)})" for jar in it.jars.values())
        activities = ", ".join(f"{it.jars[name].activity:.2f} in {name}" for name in ("glycerin", "honey", "syrup"))
        return (
            f"It brings {water} into each. They end at: {ends}. {_count(it)} By a model, Norrish's, the water "
            f"activity is {activities}; under 0.60 nothing grows. The model knows glycerin and sugar alone: it "
            "says nothing of acid, by which vinegar keeps, nor of alcohol."
        )
    jar = it.jars[s.jar]
    ends = {
        "glycerin": f"In the end {jar.said(jar.share)} of the liquid is glycerin, by volume",
        "vinegar": f"In the end {jar.said(jar.share)} of the liquid is acid",
        "honey": f"In the end the honey holds {jar.said(jar.share)}",
        "syrup": f"In the end {jar.said(jar.share)} of the syrup is sugar, by weight",
    }[s.jar]
    more = {"honey": _yeast(jar), "syrup": _syrup(s, it, rules, view)}.get(s.jar, "")
    return " ".join(filter(None, [f"It brings {water} with it. {ends}: {_verdict(jar)}.", more, _why(jar, it)]))


def _line(jar: Jar) -> str:
    return f"{'limit' if jar.name == 'honey' else 'line'} {jar.said(jar.line).removesuffix(' water')}"


def _verdict(jar: Jar) -> str:
    """What that is by the house rule."""
    line = jar.said(jar.line)
    if jar.name == "honey":
        return f"within its limit of {line}" if jar.reaches else f"wetter than its limit of {line}"
    return f"at or over its line of {line}" if jar.reaches else f"under its line of {line}"


def _wet(jar: Jar) -> float:
    """The water of a honey, in percent."""
    return 100 * (1 - jar.share)


def _yeast(jar: Jar) -> str:
    wet = _wet(jar)
    if wet <= 17.1 + SLACK:
        return "Under 17.1 % it is safe whatever yeast is in it (common practice, no source)."
    if wet <= ALWAYS_FERMENTS + SLACK:
        return "Between 17.1 and 20 % it hangs on the yeast in it: lid loose at first (common practice, no source)."
    return "Over 20 % it is always in danger: it ferments (common practice, no source)."


def _syrup(s: Setting, it: Four, rules: Rules, view: View) -> str:
    jar = it.jars["syrup"]
    told = []
    if jar.share > preserving.DISSOLVES:
        told.append(f"Cold water holds sugar to {100 * preserving.DISSOLVES:g} %; what is beyond lies at the bottom.")
    if s.shot:
        over = "that keeps it" if jar.spirited else "that does not keep it yet"
        told.append(
            f"Before the spirit the syrup took {view.say(it.room, 'mL')}; with it, it is {it.strength:.1f} % vol, "
            f"and your line for that is {rules.syrup_spirit:g} % vol: {over}."
        )
    elif jar.reaches:
        told.append("Mould can still live on top: keep it cold, 1 to 3 months (common practice).")
    return " ".join(told)


def _why(jar: Jar, it: Four) -> str:
    by = f"water activity {jar.activity:.2f} by a model, Norrish's (1 is plain water, and under 0.60 nothing grows)"
    if jar.name == "vinegar":
        return (
            "Vinegar keeps by its acid alone. Norrish's model knows glycerin and sugar only: to it this is water, "
            f"activity {jar.activity:.2f}."
        )
    if jar.name == "honey":
        return f"Honey keeps because sugars hold its water: {by}. Counted as cane sugar; honey itself lies lower."
    if jar.name == "syrup" and it.strength:
        return f"Sugar holds the water: {by}. The model says nothing of alcohol, and here alcohol counts too."
    return f"{jar.name.capitalize()} keeps by holding water fast: {by}."


def _count(it: Four) -> str:
    kept = it.kept
    return (
        f"Of the four jars {len(kept)} keep{'s' if len(kept) == 1 else ''} by your rules: {listed(kept)}."
        if kept
        else "Not one of the four jars keeps."
    )


def _numbers(s: Setting, it: Four, rules: Rules, view: View) -> tuple[Number, ...]:
    kept = len(it.kept)
    keeping = Number("These keep", f"{kept} of 4 jars", ", ".join(it.kept), kept, "jars", "keeping",
                     "how many of the four keep?")  # fmt: skip
    brings = view.number("brings", "Herb's water", it.plant_water, "mL", "how much water does the herb bring?")
    if s.jar == ALL:
        return (keeping, *(_end(jar, jar.name) for jar in it.jars.values()), brings)
    jar = it.jars[s.jar]
    what = {"syrup": "sugar"}.get(jar.name, jar.name)
    dry = ("none", "not even dry") if jar.wettest is None else (f"{_down(jar.wettest)} % water", "with this much")
    last = (keeping, brings)
    if jar.name == "syrup":
        last = (
            _amount("spirit", "Spirit to keep it", it.shot_needed, "mL", "how much spirit would keep it?", view),
            Number("Strength", f"{it.strength:.1f} % vol", f"line {rules.syrup_spirit:g}", it.strength, "percent_vol",
                   "strength", "how strong is the syrup?"),
        )  # fmt: skip
    return (
        _end(jar, "share"),
        _amount("needed", f"Least {what}", jar.needed, jar.unit, f"how much {what} does this herb need?", view),
        Number("Wettest herb", *dry, jar.wettest, "percent_wb", "wettest",
               "how much water may the herb hold?"),
        Number("Water activity", f"{jar.activity:.2f}", "a model; acid and alcohol not counted", jar.activity, "",
               "activity", "what is the water activity?"),
        *last,
    )  # fmt: skip


def _end(jar: Jar, key: str) -> Number:
    what = {"vinegar": "Acid", "honey": "Honey", "syrup": "Sugar"}.get(jar.name, "Glycerin")
    note = f"{_line(jar)}: " + ("keeps" if jar.reaches else "spirit keeps it" if jar.spirited else "does not keep")
    wet = jar.name == "honey"
    ask = "how wet is the honey in the end?" if wet else f"how much of it is {what.lower()} in the end?"
    amount = 100 * (1 - jar.share if wet else jar.share)
    unit = "percent_wb" if wet else "percent"
    return Number(f"{what} at the end", jar.said(jar.share), note, amount, unit, key, ask)


def _amount(key: str, label: str, amount: float | None, unit: str, ask: str, view: View) -> Number:
    if amount is None:
        return Number(label, "no amount", "more is never enough", key=key, unit=unit, ask=ask)
    return view.number(key, label, amount, unit, ask, round="up")


def _down(moisture: float) -> str:
    """A moisture, rounded to the dry side."""
    return f"{math.floor(10 * moisture + SLACK) / 10:g}"


def _table(it: Four, view: View) -> tuple[tuple[str, ...], ...]:
    jars = it.jars.values()
    by = {"vinegar": "acid", "honey": "its sugars", "syrup": "sugar"}

    def least(jar: Jar) -> str:
        return "no amount" if jar.needed is None else view.safe(jar.needed, jar.unit, "up")

    return (
        ("", *NAMES),
        ("poured", *(view.say(jar.poured, jar.unit) for jar in jars)),
        ("at the end", *(jar.said(jar.share) for jar in jars)),
        ("line", *(jar.said(jar.line) for jar in jars)),
        ("keeps by your rule", *("yes" if jar.keeps else "no" for jar in jars)),
        ("would be enough", *map(least, jars)),
        ("keeps by", *(by.get(jar.name, jar.name) if not jar.spirited else "alcohol" for jar in jars)),
        ("water activity (model)", *(f"{jar.activity:.2f}" for jar in jars)),
    )


def _alt(it: Four, view: View) -> str:
    bars = "; ".join(
        f"{jar.name} {view.say(jar.poured, jar.unit)}, and {view.say(jar.thins, jar.unit)} that thins it"
        for jar in it.jars.values()
    )
    marks = ", ".join(f"{jar.name} {jar.activity:.2f}" for jar in it.jars.values())
    return (
        f"Four bars of one length, each the liquid of a jar, cut into what was poured and what thins it: {bars}. A "
        f"line across each says how far what was poured must reach. Beside them four scales of water activity, a "
        f"model, with marks at 0.6, 0.8 and 0.91: {marks}. Acid and alcohol are not counted in it."
    )


# --- what would work, and what to beware of ------------------------------------------------------------------------


def _ways(s: Setting, it: Four, rules: Rules, view: View) -> list[str]:
    """Ways out for the jar that is asked about, each with its number."""
    jar = it.jars[s.jar]
    what = {"syrup": "sugar"}.get(jar.name, jar.name)
    ways = []
    if jar.needed is not None:
        ways.append(f"Take {view.safe(jar.needed, jar.unit, 'up')} of {what} in all.")
    if jar.wettest is not None and jar.wettest >= DRIEST:
        ways.append(f"Dry the herb first, to {_down(jar.wettest)} % water or less, and weigh in the same amount.")
    own = jar.line * (jar.poured + jar.thins) / jar.poured
    if jar.name == "glycerin" and s.pure < 1 and own <= 1:
        ways.append(f"Take stronger glycerin: {math.ceil(100 * own - SLACK)} % or more.")
    if jar.name == "vinegar" and own <= 0.1:
        ways.append(f"Take stronger vinegar: {math.ceil(1000 * own - SLACK) / 10:g} % or more.")
    if jar.name == "honey" and 100 * (1 - own) >= RIPEST:
        ways.append(f"Take riper honey: {_down(100 * (1 - own))} % water or less.")
    if jar.name == "syrup" and it.shot_needed is not None:
        ways.append(
            f"Or let alcohol keep it: {view.safe(it.shot_needed, 'mL', 'up')} of {s.spirit:g} % vol into it, for "
            f"{rules.syrup_spirit:g} % vol."
        )
    return [*ways, "Or keep it cold, and use it within two to four weeks (common practice, no source)."]


def _caution(s: Setting, it: Four, rules: Rules) -> str:
    """One line for each thing that is in sight: gas, a missed line, spirit. Honey and vinegar have theirs always."""
    seen = it.jars if s.jar == ALL else {s.jar: it.jars[s.jar]}
    ferments = any(name in seen and not seen[name].keeps for name in ("honey", "syrup"))
    # A house may allow wetter honey than what is always in danger; its gas does not ask.
    ferments = ferments or ("honey" in seen and _wet(seen["honey"]) > ALWAYS_FERMENTS + SLACK)
    spirit = s.jar == "syrup" and (s.shot > 0 or ferments)  # it is in the jar, or among the ways out
    lines = (
        FERMENTS if ferments else "",
        "" if all(jar.keeps for jar in seen.values()) else MISSED,
        f"{FOOD_GRADE} {IN_GLASS} {caution(s.spirit, rules.shelf)}" if spirit else "",
    )
    return " ".join(filter(None, lines))


# --- the picture ---------------------------------------------------------------------------------------------------


def _fits(board: Board, room: float, *texts: str) -> str:
    """The first of some texts that has room, the last where none has."""
    wide = 0.92  # figures and small letters are narrower than most
    return next((text for text in texts if wide * board.wide(text, board.small) <= room), texts[-1])


def _bars(board: Board, place: Place, s: Setting, it: Four, view: View, answer: bool) -> None:
    """The liquid of each jar as a bar of one length; with the answer, how far what was poured must reach."""
    for jar, row in zip(it.jars.values(), rows(place, len(it.jars), gap=2.0), strict=True):
        whole = jar.poured + jar.thins
        asked = jar.name == s.jar
        poured = view.pair(jar.poured, jar.unit)[0]
        title = board.small * 1.35
        bar = Place(row.x, row.y + 3, row.w, row.h - title - 3)
        shot = min(jar.thins, s.shot if jar.name == "syrup" else 0.0)
        inside = "" if bar.h < 1.4 * board.small else f"{view.pair(jar.thins - shot, jar.unit)[0]} water"
        parts = [Part("band", jar.poured), Part("water", jar.thins - shot, inside), Part("alcohol", shot)]
        stack(board, f"{jar.name} bar", bar, parts, whole)
        if answer:
            at = row.x + row.w * jar.must
            board.line(f"{jar.name} line", [at, at], [bar.y - 3, bar.y + bar.h + 3], ink="limit", width=2.8)
        word = "keeps" if jar.keeps else "no"
        ends, line = jar.said(jar.share), jar.said(jar.line).removesuffix(" water").removesuffix(" %")
        bare = ends.removesuffix(" water")
        texts = (
            (
                f"{jar.name} {ends} (line {line}): {word}",
                f"{jar.name} {bare} (line {line}): {word}",
                f"{jar.name} {bare}",
            )
            if answer
            else (f"{jar.name}: {poured} poured", f"{jar.name} {poured}")
        )
        room = row.w / (1.12 if asked else 1.0)
        board.words(
            f"{jar.name} title", row.x, bar.y + bar.h + 0.62 * title, _fits(board, room, *texts), ha="left",
            size=board.small, bold=asked, ink="keeps" if answer and jar.keeps else "short" if answer else "ink",
        )  # fmt: skip


LEAST, MOST = 0.5, 1.0  # of water activity, along the scales


def _activities(board: Board, place: Place, it: Four) -> None:
    """A scale of water activity for each jar; what the model cannot say stands beside its name."""
    small = board.small
    foot = 2.7 * small
    names = {"vinegar": ("acid not counted", "acid aside"), "honey": ("as cane sugar",)}
    if it.strength:
        names["syrup"] = ("alcohol not counted", "alcohol aside")
    left, right = place.x + 0.6 * small, place.x + place.w - 0.6 * small

    def at(activity: float) -> float:
        return left + (right - left) * (min(max(activity, LEAST), MOST) - LEAST) / (MOST - LEAST)

    above = Place(place.x, place.y + foot, place.w, place.h - foot)
    for value in TICKS:
        if not board.is_faint:
            words = f"{value:g}"
            board.line(f"tick {words}", [at(value)] * 2, [above.y - 3, place.y + place.h], ink="rule", width=1.0,
                       dash=(2, 3))  # fmt: skip
            board.words(f"tick words {words}", at(value), above.y - 0.65 * small, words, size=small)
    name = _fits(board, place.w, "water activity, a model; under 0.6 nothing grows", "water activity, a model")
    if not board.is_faint:
        board.words("name", place.x + place.w / 2, place.y + 0.6 * small, name, size=small)
    for jar, row in zip(it.jars.values(), rows(above, len(it.jars), gap=2.0), strict=True):
        title = 1.35 * small
        middle = row.y + (row.h - title) / 2
        if not board.is_faint:
            board.line(f"{jar.name} scale", [left, right], [middle] * 2, width=2.0)
        board.dot(f"{jar.name} at", at(jar.activity), middle, ink="alcohol")
        if board.letter:
            board.words(f"{jar.name} beside", place.x, middle + 0.5 * title + 4, jar.name, ha="left", size=small,
                        card=True)  # fmt: skip
            continue
        said = f"{jar.name} {jar.activity:.2f}"
        beside = [f"{said}, {words}" for words in names.get(jar.name, ())]
        board.words(f"{jar.name} beside", place.x, row.y + row.h - 0.45 * title, _fits(board, place.w, *beside, said),
                    ha="left", size=small, card=True)  # fmt: skip
