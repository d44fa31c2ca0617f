"""Floor 5. Lesson 12, its further panel: drops. Three counts of one liquid, how much alcohol and herb a
bottle holds, and, once a person has typed what they were told, what that comes to in a day.

The boxes for an amount are empty in every scene. A figure that stands there when a class comes in would be an amount
proposed by a screen, invented or not; so the scenes ask about counts, alcohol and bottles, and whatever is told of a
day is told of figures that somebody in the room typed.
"""

from __future__ import annotations

from dataclasses import dataclass

from herbcalc import dosing
from herbcalc.rules import Rules
from herbcalc.show.cautions import ASK_FIRST, NOT_ADVICE
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.kinds import comparable
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.look import Look, Number, View, dial, pick, told
from herbcalc.show.words import marks, one_to, percent
from herbcalc.units import Q
from herbcalc.units.saying import said, so_many

LESSON = 12
PART = "drops"
BOTH_RULES = False
TITLE = "Drops, and what a bottle holds"
CAUTION = ASK_FIRST

TSP = "5 mL (1 tsp)"
OF_OLD = ("water", "glycerin", "dilute alcohol")
# Alcohol in food that nobody calls alcoholic: Gorgus, Hittinger and Schrenk, J. Anal. Toxicol. 40 (2016), 537.
JUICE = 0.77 * 0.2  # g in a glass of 200 mL, up to 0.77 g/L
ROLL = 1.2 * 0.5  # g in 50 g of a packed roll, 1.2 g in 100 g
FOOD = (
    f"a glass of fruit juice (200 mL, 6 3/4 fl oz) up to {JUICE:.2f} g, a packed burger roll (50 g, 1 3/4 oz) "
    f"{ROLL:.1f} g "
    "(J. Anal. Toxicol. 2016, 40:537; glass and roll as they are common)"
)
NOT_TYPED = "not typed yet"
LASTS = "how many days does it last?"
# What each box for an amount takes; no amount stands in it.
DROPS_ALONE = (
    'a whole number of drops, in figures, and nothing else. For a volume choose "as a volume". What a dropperful '
    "holds is measured first (On the bench)"
)
VOLUME_ALONE = 'a volume with its unit, mL, tsp or fl oz, and nothing else. For drops choose "in drops"'
TIMES_ALONE = "how many times a day, a whole number in figures, and nothing else"


@dataclass(frozen=True)
class Setting:
    """Three counts of one measure, the bottle, and the amount as it was told. Volumes in mL, ratio in mL for each
    g."""

    one: float = dial(98, "", low=10, high=600, step=1, label="First count of drops")
    two: float = dial(103, "", low=10, high=600, step=1, label="Second count")
    three: float = dial(99, "", low=10, high=600, step=1, label="Third count")
    measure: float = dial(5, "mL", low=1, high=10, step=0.5, label="Measure that was filled")
    spirit: float = dial(50, "percent_vol", low=20, high=96, step=0.5, label="Strength in the bottle")
    ratio: float = dial(5, "mL/g", low=1, high=10, step=0.1, label="Ratio, finished")
    bottle: float = dial(50, "mL", low=10, high=500, step=5, label="In the bottle", most=5000.0)
    told_in: str = pick("drops", {"drops": "in drops", "mL": "as a volume"}, label="The amount was told")
    drops: float | None = told(
        "", low=1, high=1000, step=1, label="Drops each time", wants=DROPS_ALONE, counted="drops?"
    )
    volume: float | None = told("mL", low=0.05, high=100, step=0.05, label="Each time", wants=VOLUME_ALONE)
    times: float | None = told(
        "", low=1, high=24, step=1, label="Times a day", wants=TIMES_ALONE,
        counted="(?:x|times?)?(?: *(?:(?:a|per|each|every) +day|daily))?",
    )  # fmt: skip


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting."""
    return set(Setting.__dataclass_fields__) - {"volume" if setting.told_in == "drops" else "drops"}


@dataclass(frozen=True)
class Drops:
    """The sums of one setting. `each` and below are None until the amount is typed: mL, g of alcohol and of herb each
    time; mL, g of alcohol and of herb a day; whole days that the bottle lasts."""

    per_mL: float
    differ: float
    in_bottle: float
    drink: float  # mL that hold one standard drink
    spoon: float  # g of herb behind a teaspoon of 5 mL
    each: float | None = None
    alcohol: float | None = None
    herb: float | None = None
    day: float | None = None
    alcohol_day: float | None = None
    herb_day: float | None = None
    days: int | None = None


def sums(s: Setting, drink: float) -> Drops:
    """Everything that is told and drawn; `drink` is the alcohol in one standard drink, g."""
    counts = [float(s.one), float(s.two), float(s.three)]
    spirit, ratio = Q(float(s.spirit), "percent_vol"), Q(float(s.ratio), "mL/g")
    bottle = Q(float(s.bottle), "mL")
    per_mL = dosing.drops_per_mL(counts, Q(float(s.measure), "mL"))
    known = {
        "per_mL": float(per_mL.magnitude),
        "differ": float(dosing.counts_differ(counts)),
        "in_bottle": float((bottle * per_mL).to("").magnitude),
        "drink": float(dosing.volume_with(Q(drink, "g"), spirit).magnitude),
        "spoon": float(dosing.herb_per_dose(Q(5.0, "mL"), ratio).magnitude),
    }
    amount = s.drops if s.told_in == "drops" else s.volume
    if amount is None:
        return Drops(**known)
    each = dosing.volume_of_drops(float(amount), per_mL) if s.told_in == "drops" else Q(float(amount), "mL")
    taken = {
        "each": float(each.magnitude),
        "alcohol": float(dosing.alcohol_per_dose(each, spirit).magnitude),
        "herb": float(dosing.herb_per_dose(each, ratio).magnitude),
    }
    if s.times is None:
        return Drops(**known, **taken)
    day = each * float(s.times)
    return Drops(
        **known,
        **taken,
        day=float(day.magnitude),
        alcohol_day=float(dosing.alcohol_per_dose(day, spirit).magnitude),
        herb_day=float(dosing.herb_per_dose(day, ratio).magnitude),
        days=int(dosing.bottle_days(bottle, day)),
    )


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One dropper, one liquid and one bottle; and, of an amount that a person typed, what it holds and how long it
    lasts."""
    it = sums(setting, rules.standard_drink)
    counts = f"{setting.one:.0f}, {setting.two:.0f} and {setting.three:.0f} drops"
    given = (
        f"The same dropper filled {view.say(setting.measure, 'mL')} three times, with {counts}. The bottle holds "
        f"{view.say(setting.bottle, 'mL')} of {setting.spirit:.3g} % vol at {one_to(setting.ratio)}."
    )
    return Look(
        sentence=f"{given} {_counted(it)} {_holds(it, rules, view)} {_taken(setting, it, rules, view)}",
        numbers=_numbers(it, rules, view),
        alt=_alt(setting, it, view),
        table=_table(setting, it, rules, view),
        left=lambda board, place, answer: _counts(board, place, setting, it, answer),
        right=lambda board, place: _beside(board, place, setting, it, view),
        given=given if it.each is None else f"{given} An amount is typed. Show me tells what is in it.",
        short=f"{counts} in {view.pair(setting.measure, 'mL')[0]}, {setting.spirit:.3g} % vol",
        caution=NOT_ADVICE,
    )


# --- what is told -------------------------------------------------------------------------------------------------


def _drops(number: float) -> str:
    return f"{number:.0f} drop{'' if round(number) == 1 else 's'}"


def _counted(it: Drops) -> str:
    near = "nearer than" if it.differ <= dosing.MAY_ERR else "further than"
    again = "" if it.differ <= dosing.MAY_ERR else " Count again, with the dropper upright and slow."
    return (
        f"The mean is {dosing.each_mL(it.per_mL)}. The three differ by {percent(it.differ)} of it, {near} the "
        f"{percent(dosing.MAY_ERR)} that a dropper may be off (USP 32).{again}"
    )


def _holds(it: Drops, rules: Rules, view: View) -> str:
    return (
        f"One standard drink of alcohol ({rules.said('standard_drink')}; it differs by country) is in "
        f"{view.say(it.drink, 'mL')} of it. Behind {TSP} stands {view.say(it.spoon, 'g')} of herb."
    )


def _taken(s: Setting, it: Drops, rules: Rules, view: View) -> str:
    if it.each is None or it.alcohol is None:
        return (
            "No amount is typed yet. It comes from your teacher or a qualified practitioner; none is proposed here."
        )
    what = f"What was typed, {_drops(s.drops or 0)}," if s.told_in == "drops" else "What was typed"
    each = f"{what} is {view.say(it.each, 'mL')} each time, with {view.say(it.alcohol, 'g')} of alcohol; beside it, "
    each += f"{FOOD}."
    if it.days is None or it.alcohol_day is None:
        return f"{each} How many times a day is not typed yet."
    return (
        f"{each} In a day that is {view.say(it.day or 0.0, 'mL')}, with {view.say(it.herb_day or 0.0, 'g')} of herb "
        f"behind it and {view.say(it.alcohol_day, 'g')} of alcohol, {_drinks(it.alcohol_day, rules)}. The bottle "
        f"lasts {_days(it.days)}, rounded down."
    )


def _drinks(alcohol: float, rules: Rules) -> str:
    share = alcohol / rules.standard_drink
    return f"{share:.1f} standard drinks" if share >= 1 else f"{percent(share)} of a standard drink"


def _days(days: int) -> str:
    if days == 0:
        return "less than one whole day"
    return so_many(days, "whole day")


def _numbers(it: Drops, rules: Rules, view: View) -> tuple[Number, ...]:
    per_tsp = float(Q(it.per_mL, "1/mL").to("1/tsp").magnitude)
    held = "how much of it holds one standard drink?"
    of_bottle = (
        Number("Drops in 1 mL", said(it.per_mL, ""), f"{said(per_tsp, '')} in a tsp", it.per_mL, "", "per_mL",
               "how many drops make 1 mL?"),
        Number("The counts differ by", percent(it.differ), "of their mean", 100 * it.differ, "percent", "differ",
               "how far do the three counts differ?"),
        Number("Drops in the bottle", f"{it.in_bottle:,.0f}", "", it.in_bottle, "", "bottle",
               "how many drops are in the bottle?"),
        view.number("drink", "Holds a standard drink", it.drink, "mL", held,
                    note=f"{view.pair(it.drink, 'mL')[1]}; {rules.standard_drink:g} g of alcohol".removeprefix("; ")),
        view.number("spoon", "Herb behind 5 mL", it.spoon, "g", f"how much herb stands behind {TSP}?"),
    )  # fmt: skip
    of_day = (
        _or_not(view, "alcohol", "Alcohol each time", it.alcohol, "how much alcohol is in it each time?"),
        _or_not(view, "herb_day", "Herb behind a day", it.herb_day, "how much herb stands behind a day?"),
        Number("The bottle lasts", _days(it.days), "rounded down", it.days, "day", "days", LASTS)
        if it.days is not None
        else Number("The bottle lasts", NOT_TYPED, unit="day", key="days", ask=LASTS),
    )  # fmt: skip
    return (*of_day, *of_bottle) if it.each is not None else (*of_bottle, *of_day)


def _or_not(view: View, key: str, label: str, grams: float | None, ask: str) -> Number:
    if grams is None:
        return Number(label, NOT_TYPED, unit="g", key=key, ask=ask)
    return view.number(key, label, grams, "g", ask)


def _table(s: Setting, it: Drops, rules: Rules, view: View) -> tuple[tuple[str, str], ...]:
    say = view.say

    def typed(number: float | None, unit: str) -> str:
        return NOT_TYPED if number is None else say(number, unit)

    return (
        ("", "this dropper, this bottle"),
        ("three counts", f"{s.one:.0f}, {s.two:.0f}, {s.three:.0f}"),
        ("drops", dosing.each_mL(it.per_mL)),
        ("the three differ by", percent(it.differ)),
        ("drops in the bottle", f"{it.in_bottle:,.0f}"),
        ("alcohol in the whole bottle",
         say(dosing.alcohol_per_dose.plain(float(s.bottle), float(s.spirit)), "g")),
        ("one standard drink, a house rule", rules.said("standard_drink")),
        ("is in", say(it.drink, "mL")),
        ("beside it", FOOD),
        ("each time", typed(it.each, "mL")),
        ("alcohol in it", typed(it.alcohol, "g")),
        ("herb behind it", typed(it.herb, "g")),
        ("in a day", typed(it.day, "mL")),
        ("the bottle lasts", NOT_TYPED if it.days is None else _days(it.days)),
        ("a dropperful, common practice", "half to all of 1 mL (1/5 tsp), never the whole glass: measure yours"),
    )  # fmt: skip


def _alt(s: Setting, it: Drops, view: View) -> str:
    counts = f"Three bars to one scale: {s.one:.0f}, {s.two:.0f} and {s.three:.0f} drops, and a line at their mean."
    if it.days is not None:
        return (
            f"{counts} Beside them what is left in the bottle, from {view.say(s.bottle, 'mL')} down, a straight line "
            f"that ends after {_days(it.days)}."
        )
    old = ", ".join(f"{name} {n:.0f}" for name, n in _of_old().items())
    return (
        f"{counts} Beside them bars of the drops in 1 mL (1/5 tsp): yours {said(it.per_mL, '')}; counted a century "
        "ago with "
        f"another dropper, {old}."
    )


def _of_old() -> dict[str, float]:
    return {
        name: float(dosing.drops_per_mL(float(dosing.OF_OLD[name]), dosing.SIXTY_MINIMS).magnitude) for name in OF_OLD
    }


# --- what is drawn ------------------------------------------------------------------------------------------------


def _counts(board: Board, place: Place, s: Setting, it: Drops, answer: bool) -> None:
    """The three counts as bars, and once the answer shows a line at their mean."""
    counts = (s.one, s.two, s.three)
    full = board.scale("counts", max(counts), max(counts)) * 1.02
    wheres = rows(place, len(counts))
    for n, (count, where) in enumerate(zip(counts, wheres, strict=True)):
        stack(board, f"count {n}", where, [Part("bottle", count)], full, _drops(count))
    if answer and not board.is_faint:
        at = place.x + place.w * it.per_mL * s.measure / full
        for n, where in enumerate(wheres):
            high = where.h - 1.5 * board.size
            board.line(f"mean {n}", [at, at], [where.y - 3, where.y + high + 3], ink="limit", width=2.6)


def _beside(board: Board, place: Place, s: Setting, it: Drops, view: View) -> None:
    """Drops of other liquids, as they were counted once; or, of an amount that was typed, the bottle day by day."""
    if not comparable(board, "right", "others" if it.days is None else "days"):
        return
    if it.days is None:
        _others(board, place, it)
    else:
        _emptying(board, place, s, it, view)


def _others(board: Board, place: Place, it: Drops) -> None:
    line = 1.4 * board.small
    head = "drops in 1 mL" if board.narrow else "drops in 1 mL, three of old"
    board.words("others", place.x, place.y + place.h - 0.6 * board.small, head, ha="left", size=board.small)
    under = Place(place.x, place.y, place.w, place.h - line)
    bars = {"yours": it.per_mL, **_of_old()}
    full = board.scale("others", max(bars.values()), max(bars.values()))
    for n, ((name, drops), where) in enumerate(zip(bars.items(), rows(under, len(bars), 4.0), strict=True)):
        fill = "bottle" if name == "yours" else "band"
        told = said(drops, "") if name == "yours" else f"{drops:.0f}"
        stack(board, f"other {n}", where, [Part(fill, drops)], full, f"{name} {told}")


def _emptying(board: Board, place: Place, s: Setting, it: Drops, view: View) -> None:
    """What is left in the bottle against the days."""
    assert it.day
    ends = s.bottle / it.day
    right = max(1.15 * ends, 1.0)
    unit, y_ticks = marks(view, "mL", s.bottle, about=3)
    _, x_ticks = marks(View(), "", right, about=3)
    chart = Chart(
        board, "days", place, (0.0, right, "days"), (0.0, 1.15 * s.bottle, f"{unit} left"), x_ticks, y_ticks
    )
    chart.curve("left", [0.0, ends], [s.bottle, 0.0])
    words = f"{it.days} day{'' if it.days == 1 else 's'}"
    chart.mark("now", float(it.days or 0), s.bottle - it.day * (it.days or 0), words, above=True)
