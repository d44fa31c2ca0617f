"""Floor 5. Lesson 9: soak or drip. One soak, soaking again and the drip on equal terms, and what no table can say."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from herbcalc import compare, maceration
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, HAIRS, WET_MARC, caution, weak
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.kinds import comparable
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.lessons.lesson07 import HALF
from herbcalc.show.lessons.lesson08 import BEDS, DRAWS, ENOUGH, TOLD, drawn, keeps, whole_time
from herbcalc.show.look import MOST_HERB, MOST_LIQUID, Look, Number, View, dial, marc_keeps, pick
from herbcalc.show.words import DRAINED, percent, whence
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.saying import per_gram

LESSON = 9
BOTH_RULES = False
TITLE = "Soak or drip"
CAUTION = FOOD_GRADE

HUNDRED = "how much of the drip holds the extract of 100 g (3 1/2 oz)?"
WAYS = ("soak", "soak again", "drip")
TAP = "moderate"  # the rate at which every drip here runs
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
    """A choice. Herb in g, bottle and menstruum in mL, ratio and what is kept in mL for each g, price of 750 mL."""

    same: str = pick(
        "herb",
        {"herb": "the same herb", "bottle": "the same bottle", "both": "the same herb and menstruum"},
        label="Compare with",
    )
    herb: float = dial(100, "g", low=20, high=1000, step=10, label="Dried herb", batch="herb", most=MOST_HERB)
    bottled: float = dial(500, "mL", low=50, high=4000, step=10, label="Wanted in the bottle", most=MOST_LIQUID)
    menstruum: float = dial(650, "mL", low=50, high=4000, step=10, label="Menstruum for each way", most=MOST_LIQUID)
    ratio: float = dial(5, "mL/g", low=1, high=10, step=0.1, label="Ratio", batch="ratio")
    pressed: float = marc_keeps(label="The marc of a soak keeps")
    dripped: float = dial(
        DRAINED,
        "kept",
        low=0.1,
        high=5,
        step=0.05,
        label="The marc of the drip keeps",
        stops=(2.35, DRAINED, "retained_by_hand", "retained_pressed"),
    )
    soaks: float = dial(2, "", low=2, high=6, step=1, label="Number of soaks")
    bed: str = pick("leaf or herb powder", BEDS, label="In the cone")
    spirit: float = dial(50, "percent_vol", low=20, high=96, step=0.5, label="Spirit", batch="spirit", stops="shelf")
    price: float = dial(25, "money", low=0, high=100, step=0.5, label="Price of 750 mL (25 1/4 fl oz)")
    beside: str = pick(
        "extract",
        {"extract": "share of the extract", "press": "how hard to press", "hemp": "one printed measurement"},
        label="Beside the bars",
    )


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting."""
    away = {"herb": {"bottled", "menstruum"}, "bottle": {"herb", "menstruum"}, "both": {"bottled", "ratio"}}
    put_away = away[setting.same] - ({"ratio"} if setting.beside == "press" else set())
    return set(Setting.__dataclass_fields__) - put_away


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


@dataclass(frozen=True)
class Choice:
    """The three ways, and what each g of a soak's marc may keep for a tie in menstruum, mL."""

    ways: dict[str, Way]
    tie: float

    @property
    def soak(self) -> Way:
        """One soak."""
        return self.ways["soak"]

    @property
    def again(self) -> Way:
        """The same menstruum in several soaks."""
        return self.ways["soak again"]

    @property
    def drip(self) -> Way:
        """The drip."""
        return self.ways["drip"]


def sums(s: Setting) -> Choice:
    """Everything that is told and drawn. Refuses a bottle that no soak can fill.

    Days come from where the other lessons have them: a soak stands until 95 % of what can move has moved, by the
    half time of lesson 7; a drip takes what lesson 8 takes from the dampened powder to the last drop.
    """
    amounts = {"herb": ("herb", "g"), "bottled": ("bottled", "mL"), "menstruum": ("menstruum", "mL")}
    wanted = {"herb": ("herb",), "bottle": ("bottled",), "both": ("herb", "menstruum")}[s.same]
    ratio, dripped = Q(float(s.ratio), "mL/g"), Q(float(s.dripped), "mL/g")
    powder = s.bottled / s.ratio if s.same == "bottle" else s.herb
    out = max(s.menstruum - s.dripped * s.herb, 0.0) if s.same == "both" else powder * s.ratio
    found = compare.ways(
        same="herb and menstruum" if s.same == "both" else s.same,
        **{name: Q(float(getattr(s, name)), amounts[name][1]) for name in wanted},
        ratio=ratio,
        retained=Q(float(s.pressed), "mL/g"),
        dripped=dripped,
        soaks=round(s.soaks),
        bed=s.bed,
        price=s.price / BOTTLE,
        soak_days=float(maceration.time_to_reach(ENOUGH, Q(HALF, "day")).magnitude),
        drip_days=whole_time(powder, out, TAP) / 24,
    )
    ways = {name: Way(*map(float, row.values())) for name, row in found.items()}
    return Choice(ways, float(compare.break_even(ratio, dripped).magnitude))


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """The three ways side by side: spirit, bottle, share of the extract, days, cost, alcohol left in the marc."""
    it = sums(setting)
    say = view.say
    start = {
        "herb": f"{say(setting.herb, 'g')} of dried herb at 1:{setting.ratio:g}",
        "bottle": f"{say(setting.bottled, 'mL')} in the bottle at 1:{setting.ratio:g}",
        "both": f"{say(setting.herb, 'g')} of dried herb and {say(setting.menstruum, 'mL')} of menstruum each",
    }[setting.same]
    kept = (
        f"The marc of the soak keeps {per_gram(setting.pressed)}: {whence(setting.pressed, rules)}. That of the drip "
        f"keeps {per_gram(setting.dripped)}: {_whence_drip(setting, rules)}."
    )
    given = f"{start}. {kept}"
    alt = (
        "Three bars of menstruum to one scale, each cut into what comes into the bottle and what stays in the marc: "
        + "; ".join(f"{n} {say(w.finished, 'mL')} and {say(w.left, 'mL')}" for n, w in it.ways.items())
        + f". {_beside(setting, it)}"
    )
    return Look(
        sentence=f"{given} {_told(setting, it, view)} {_more(setting, it)}",
        numbers=_numbers(setting, it, view),
        alt=alt,
        table=_table(setting, it, rules, view),
        left=lambda board, place, answer: _bars(board, place, it, view, answer),
        right=lambda board, place: _chart(board, place, setting, it),
        share=0.56,
        given=given,
        short=f"{start}, {per_gram(setting.pressed)} kept, the drip {setting.dripped:g}",
        ways_out=_what_works(setting, it, view),
        caution=_caution(setting, rules),
    )


def _caution(s: Setting, rules: Rules) -> str:
    """The fire line, the marc, a menstruum under the floor, and what grinding calls for."""
    lines = (
        weak(rules.floor, s.spirit),
        caution(s.spirit, rules.shelf),
        WET_MARC,
        HAIRS if s.bed == "dense root powder" else "",
    )
    return " ".join(filter(None, lines))


def _whence_drip(s: Setting, rules: Rules) -> str:
    """Where the figure for the drip's marc comes from: what the bed holds, or a press."""
    if abs(s.dripped - keeps(s.bed)) < SLACK:
        return "what the teaching bed of such powder holds"
    return whence(s.dripped, rules) if s.dripped < DRAINED else "drained, 2 and more is common practice"


# --- what is told -------------------------------------------------------------------------------------------------


def _told(s: Setting, it: Choice, view: View) -> str:
    soak, drip = it.soak, it.drip
    days = (
        f"Soaking takes {soak.days:.0f} days (half is out in {HALF:g}, common practice; ground and shaken, old books "
        f"give it 7), the drip {drip.days:.0f} (its rest by USP 1916)."
    )
    if drip.finished <= SLACK:
        also = "The soak gives nothing either" if soak.finished <= SLACK else f"The soak gives {_said(soak, view)}"
        return (
            f"The drip gives nothing: its bed keeps all of it. {also}. Neither is much good with so little menstruum."
        )
    if soak.finished <= SLACK:
        return f"The soak gives nothing: its marc keeps all of it. The drip still works. {days}"
    say, spirit = view.say, view.safe(drip.menstruum, "mL", "up")
    many = f"{round(s.soaks)} soaks get {percent(it.again.share)} into the same amount"
    gets = f"gets {drawn(drip.share)} {DRAWS}"
    if s.same == "bottle":
        told = (
            f"The soak takes {say(soak.herb, 'g')} of herb and {view.safe(soak.menstruum, 'mL', 'up')} of spirit, "
            f"the drip {say(drip.herb, 'g')} and {spirit}: {_saves(it, view)}. The soak gets {percent(soak.share)} "
            f"of the extract; {many}; the drip {gets}."
        )
    elif s.same == "herb":
        told = (
            f"The soak pours {say(soak.menstruum, 'mL')} and gives {_said(soak, view)}; {many}; the drip needs "
            f"{spirit}, gives {say(drip.finished, 'mL')} and {gets}."
        )
    else:
        told = (
            f"The soak gives {_said(soak, view)}; {many}; the drip gives {say(drip.finished, 'mL')} and {gets}. The "
            "better a soak is split, the nearer they come."
        )
    return f"{told} {_worth(soak, drip, view)} {days}"


def _said(way: Way, view: View) -> str:
    return f"{view.say(way.finished, 'mL')} with {percent(way.share)} of the extract"


def _saves(it: Choice, view: View) -> str:
    gap = it.soak.menstruum - it.drip.menstruum
    if abs(gap) < 0.5:
        return "a tie in spirit"
    size, herb = view.say(abs(gap), "mL"), view.say(max(it.soak.herb - it.drip.herb, 0.0), "g")
    if gap > 0:
        return f"the drip saves {size} of spirit and {herb} of herb"
    return f"the soak saves {size} of spirit, the drip {herb} of herb"


def _worth(soak: Way, drip: Way, view: View) -> str:
    """Strength of each mL: the belief that the drip is stronger."""
    if soak.worth <= 0 or drip.worth <= 0:
        return ""
    ours, theirs = (view.say(100 / way.worth, "mL") for way in (soak, drip))
    if abs(soak.worth / drip.worth - 1) < 0.01:
        return f"Neither is stronger: the extract of 100 g (3 1/2 oz) is in {ours} of the soak, {theirs} of the drip."
    told = f"The extract of 100 g (3 1/2 oz) is in {ours} of the soak and in {theirs} of the drip"
    if abs(soak.worth / drip.worth - 1) < 0.1:
        return f"{told}: hardly a difference."
    return f"{told}." if soak.worth < drip.worth else f"{told}, which leaves much behind so early."


def _more(s: Setting, it: Choice) -> str:
    """What goes with the picture beside the bars, and that the shares are a model's."""
    model = f"The shares are a model's, for {TOLD[s.bed]}; extract is what this menstruum can take out."
    if s.beside == "press":
        return (
            f"For the same bottle the two take the same amount of spirit when the soak is pressed to "
            f"{per_gram(round(it.tie, 3))}; pressed harder, the soak takes less. Press the drip too, and that moves. "
            f"{model}"
        )
    if s.beside == "hemp":
        hemp = compare.HEMP_2022
        return (
            f"Printed for {hemp.what}: soak {percent(hemp.soak)}, drip {percent(hemp.drip)} of all that is in the "
            f"herb ({hemp.source}). {HEMP_SAYS} {model} {SILENT}"
        )
    return f"{model} {SILENT}"


def _numbers(s: Setting, it: Choice, view: View) -> tuple[Number, ...]:
    soak, drip, hemp = it.soak, it.drip, compare.HEMP_2022
    gap = soak.menstruum - drip.menstruum
    saves = "Drip saves" if gap > SLACK else "Soak saves" if gap < -SLACK else "Apart by"
    points = 100 * (hemp.drip - hemp.soak)
    hundred = 100 / drip.worth if drip.worth > 0 else None
    each = f"{it.tie:.2f} mL for each g"
    return (
        view.number("soak", "Soak: spirit", soak.menstruum, "mL", "how much spirit does the soak take?", round="up"),
        view.number("drip", "Drip: spirit", drip.menstruum, "mL", "how much spirit does the drip take?", round="up"),
        Number("Soak gets", percent(soak.share), "of the extract", 100 * soak.share, "percent", "soak share",
               "how much of the extract does one soak get?"),
        Number("Drip gets", drawn(drip.share), DRAWS, 100 * drip.share, "percent", "drip share",
               "how much of what it can draw does the drip get?"),
        Number(f"{round(s.soaks)} soaks get", percent(it.again.share), "of the extract", 100 * it.again.share,
               "percent", "again", f"how much of the extract do {round(s.soaks)} soaks get?"),
        Number("Drip: 100 g (3 1/2 oz) is in", "nothing out", key="hundred", unit="mL", ask=HUNDRED)
        if hundred is None
        else view.number("hundred", "Drip: 100 g (3 1/2 oz) is in", hundred, "mL", HUNDRED),
        view.number("gap", saves, abs(gap), "mL",
                    "how far apart are the two in spirit?"),
        view.number("herb", "Soak: herb", soak.herb, "g", "how much herb does the soak take?"),
        view.number("tie", "Tie: soak's marc keeps", 100 * it.tie, "mL",
                    "how much may 100 g (3 1/2 oz) of the soak's marc keep for a tie?", note=each),
        Number("Hemp: drip ahead by", f"{points:.1f} points", "printed 2022", points, "points", "hemp",
               "how many points was the printed drip ahead?"),
    )  # fmt: skip


def _table(s: Setting, it: Choice, rules: Rules, view: View) -> tuple[tuple[str, ...], ...]:
    say, money, ways, hemp = view.say, rules.currency, it.ways, compare.HEMP_2022
    return (
        ("", *WAYS),
        ("dried herb", *(say(w.herb, "g") for w in ways.values())),
        ("menstruum to have ready", *(view.safe(w.menstruum, "mL", "up") for w in ways.values())),
        ("finished", *(say(w.finished, "mL") for w in ways.values())),
        ("share of the extract", percent(it.soak.share), percent(it.again.share), f"{drawn(it.drip.share)} {DRAWS}"),
        (
            "the extract of 100 g (3 1/2 oz) is in",
            *(say(100 / w.worth, "mL") if w.worth > 0 else "nothing" for w in ways.values()),
        ),
        ("left in the marc", *(say(w.left, "mL") for w in ways.values())),
        ("alcohol in that", *(say(w.left * s.spirit / 100, "mL") for w in ways.values())),
        ("days", *(f"{w.days:.0f}" for w in ways.values())),
        ("where the days come from", *[f"half is out in {HALF:g}, common practice"] * 2, "its rest by USP 1916"),
        ("spirit costs", *(f"{money}{w.menstruum * s.price / BOTTLE:.2f}" for w in ways.values())),
        (
            "the cost for each gram of herb's extract in the bottle",
            *(f"{money}{w.cost:.3f}" if np.isfinite(w.cost) else "no end" for w in ways.values()),
        ),
        ("printed, of all in the herb: " + hemp.what, percent(hemp.soak), "", percent(hemp.drip)),
        ("where it is printed", hemp.source, "", ""),
    )


def _what_works(s: Setting, it: Choice, view: View) -> list[str]:
    """What brings something into the bottle where a way gives nothing."""
    soak, drip, ways = it.soak, it.drip, []
    if soak.finished <= SLACK:
        wider = np.floor(s.pressed) + 2
        ways += [
            f"Soak at 1:{wider:g}: {view.say(wider * soak.herb, 'mL')} of menstruum.",
            f"Press until the marc keeps less than {per_gram(soak.menstruum / soak.herb)}.",
        ]
        if drip.finished > SLACK:
            ways.append("Drip it: a percolator can make even a 1:1.")
    if drip.finished <= SLACK:
        ready = view.safe((1 + s.dripped) * drip.herb, "mL", "up")
        ways.append(f"To drip, have {ready} ready: that makes a 1:1.")
    return ways


def _beside(s: Setting, it: Choice) -> str:
    if s.beside == "press":
        return (
            "Beside them the spirit for the same bottle against what a soak's pressed marc keeps: a rising curve "
            f"for the soak, a level line for the drip; they cross at {it.tie:.3g}, and the mark stands at "
            f"{s.pressed:g}."
        )
    if s.beside == "hemp":
        hemp = compare.HEMP_2022
        return (
            f"Beside them four bars: by the model soak {percent(it.soak.share)} and drip {drawn(it.drip.share)}; "
            f"printed for hemp, soak {percent(hemp.soak)} and drip {percent(hemp.drip)}."
        )
    told = ", ".join(f"{name} {drawn(way.share)}" for name, way in it.ways.items())
    return f"Beside them bars of the share of the extract, a model: {told}."


# --- what is drawn ------------------------------------------------------------------------------------------------


def _bars(board: Board, place: Place, it: Choice, view: View, answer: bool) -> None:
    """What is poured, bottled and left behind, to one scale; before the guess the names alone."""
    most = max(way.menstruum for way in it.ways.values())
    full = board.scale("bars", most, most)
    for n, ((name, way), where) in enumerate(zip(it.ways.items(), rows(place, len(WAYS)), strict=True)):
        if not answer:
            stack(board, f"way {n}", where, [], full, f"{name.removeprefix('soak ')}: ?")
            continue
        out, left = (
            view.pair(number, "mL")[0] if number > SLACK else "nothing" for number in (way.finished, way.left)
        )
        roomy = where.h - board.size * 1.5 > 1.4 * board.small  # whether a bar is high enough for words in it
        words = (f"bottle {out}", f"marc {left}") if roomy else ("", "")
        parts = [Part("bottle", way.finished, words[0]), Part("band", way.left, words[1])]
        title = out if board.narrow else _of(out, view.pair(way.menstruum, "mL", "up")[0])
        stack(board, f"way {n}", where, parts, full, f"{name.removeprefix('soak ')}: {title}")


def _of(part: str, whole: str) -> str:
    """ "350 of 500 mL": the unit once, where both have the same."""
    unit = next((u for u in (" mL", " fl oz", " quarts") if part.endswith(u) and whole.endswith(u)), "")
    return f"{part.removesuffix(unit)} of {whole}"


def _chart(board: Board, place: Place, s: Setting, it: Choice) -> None:
    """What was chosen to be seen beside the bars."""
    if not comparable(board, "right", s.beside):
        return
    if s.beside == "press":
        _pressing(board, place, s, it.tie)
    elif s.beside == "hemp":
        hemp = compare.HEMP_2022
        shares = [
            ("model soak", it.soak.share, "bottle"),
            ("model drip", it.drip.share, "bottle"),
            ("hemp soak", hemp.soak, "solids"),
            ("hemp drip", hemp.drip, "solids"),
        ]
        _shares(board, place, "out: model, printed", shares)
    else:
        _shares(board, place, "out: a model", [(name, way.share, "bottle") for name, way in it.ways.items()])


def _shares(board: Board, place: Place, head: str, shares: list[tuple[str, float, str]]) -> None:
    """Bars of a share, 100 % as wide as the place, under a line of words."""
    line = 1.4 * board.small
    board.words("shares", place.x, place.y + place.h - 0.6 * board.small, head, ha="left", size=board.small)
    under = Place(place.x, place.y, place.w, place.h - line)
    for n, ((name, share, fill), where) in enumerate(zip(shares, rows(under, len(shares), 4.0), strict=True)):
        parts = [Part(fill, share), Part("ground", 1 - share)]
        stack(board, f"share {n}", where, parts, 1.0, f"{name}: {drawn(share)}")


def _pressing(board: Board, place: Place, s: Setting, tie: float) -> None:
    """mL of spirit for each 100 mL in the bottle, against how hard the soak is pressed."""
    most = 3.0
    drip = 100 * (s.ratio + s.dripped) / s.ratio
    kept = np.linspace(0.1, min(most, 0.97 * s.ratio), 50)
    top = max(50 * np.ceil(1.4 * drip / 50), 150.0)
    chart = Chart(
        board,
        "press",
        place,
        (0.0, most, "soak keeps, mL/g"),
        (0.0, top, "spirit for 100 out"),
        [(n, f"{n:g}") for n in (0.0, 1.0, 2.0, 3.0)],
        [(n, f"{n:g}") for n in (0.0, 100.0, top)],
    )
    soak = 100 * s.ratio / (s.ratio - kept)
    inside = soak <= top
    chart.curve("soak", kept[inside], soak[inside])
    chart.level("drip", drip, f"drip {drip:.0f}", ink="bottle", above=tie < 1.2)
    if not board.is_faint:
        board.dot("tie", *chart.at(tie, drip), ink="limit", across=9.0)
    if s.pressed < s.ratio:
        now = 100 * s.ratio / (s.ratio - s.pressed)
        chart.mark("now", s.pressed, now, f"soak {now:.0f}")
