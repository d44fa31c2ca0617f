"""Floor 5. Lesson 13: money and stock. What a class needs, how many bottles that is, and where they jump."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from herbcalc import batch
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, caution, stored
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, rows, stack
from herbcalc.show.look import Look, Number, View, dial, marc_keeps
from herbcalc.show.words import marks, whence
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.saying import per_gram, said, so_many

LESSON = 13
BOTH_RULES = False
TITLE = "Money, stock and next year"
CAUTION = FOOD_GRADE

STEPS = 200  # more steps than this are no staircase to the eye


@dataclass(frozen=True)
class Setting:
    """A class that soaks dried herb. Amounts for each in mL, ratio and what is kept in mL for each g, shares of 1."""

    students: float = dial(18, "", low=1, high=40, step=1, label="Students", most=200)
    each: float = dial(60, "mL", low=10, high=250, step=5, label="Each takes home", most=1000)
    ratio: float = dial(5, "mL/g", low=2, high=10, step=0.1, label="Ratio", batch="ratio")
    retained: float = marc_keeps()
    spare: float = dial(0.1, "share", low=0, high=0.5, step=0.01, label="Kept spare", stops=("spare",))
    pack: float = dial(
        750, "mL", low=200, high=2000, step=10, label="One bottle of spirit", stops=(375, 750, 1000, 1750), most=20000
    )
    spirit: float = dial(50, "percent_vol", low=20, high=96, step=0.5, label="Spirit", batch="spirit", stops="shelf")
    price: float = dial(18, "money", low=0, high=100, step=0.5, label="Price of one bottle")


@dataclass(frozen=True)
class Class:
    """The sums of one setting: herb in g; menstruum in mL, and of it what goes home, what the marc keeps and what is
    spare; bottles, and how many would be bought by who forgets marc and spare; what is left in the last one, mL; how
    many students those bottles serve; money."""

    herb: float
    menstruum: float
    home: float
    marc: float
    spare: float
    packs: int
    forgotten: int
    left: float
    serves: int
    cost: float


def sums(s: Setting) -> Class:
    """Everything that is told and drawn. Refuses a ratio at which the herb keeps all that is poured on it."""
    each, pack = Q(float(s.each), "mL"), Q(float(s.pack), "mL")
    ratio, kept = Q(float(s.ratio), "mL/g"), Q(float(s.retained), "mL/g")
    stock = batch.class_stock(round(s.students), each, ratio, kept, s.spare, pack)
    menstruum, home = float(stock.menstruum.magnitude), s.students * s.each
    bare = menstruum / (1 + s.spare)  # what goes on the herb where nothing is spilled
    return Class(
        herb=float(stock.herb.magnitude),
        menstruum=menstruum,
        home=home,
        marc=bare - home,
        spare=menstruum - bare,
        packs=stock.packs,
        forgotten=batch.packs_to_buy(Q(home, "mL"), pack),
        left=stock.packs * s.pack - menstruum,
        serves=batch.students_served(stock.packs * pack, each, ratio, kept, s.spare),
        cost=stock.packs * s.price,
    )


def bottles(number: int) -> str:
    """A count of bottles in words.

    >>> bottles(1), bottles(3)
    ('1 bottle', '3 bottles')
    """
    return so_many(number, "bottle")


def _people(number: int) -> str:
    return so_many(number, "student")


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One class: herb and menstruum for all, whole bottles, what is left in the last one, and what it costs."""
    it = sums(setting)
    say, people = view.say, _people(round(setting.students))
    given = (
        f"{people} take {say(setting.each, 'mL')} home each, dried herb soaked at 1:{setting.ratio:g}. The marc "
        f"keeps {per_gram(setting.retained)}: {whence(setting.retained, rules)}. {_spare(setting, rules)} A bottle "
        f"of spirit holds {say(setting.pack, 'mL')} and costs {rules.currency}{setting.price:.2f}."
    )
    return Look(
        sentence=f"{given} {_told(it, view)}",
        numbers=_numbers(setting, it, rules, view),
        alt=_alt(setting, it, view),
        table=_table(setting, it, rules, view),
        left=lambda board, place, answer: _bars(board, place, setting, it, view, answer),
        right=lambda board, place: _stairs(board, place, setting, it),
        given=given,
        short=f"{people}, {say(setting.each, 'mL')} each at 1:{setting.ratio:g}, {per_gram(setting.retained)} kept",
        caution=_caution(setting, it, rules),
    )


def _caution(s: Setting, it: Class, rules: Rules) -> str:
    """The fire line, and how spirit is kept where it is more than a litre."""
    return " ".join(filter(None, (caution(s.spirit, rules.shelf), stored(it.packs * s.pack))))


def _spare(s: Setting, rules: Rules) -> str:
    if s.spare <= SLACK:
        return "Nothing is put on top for what is spilled."
    whose = "common practice" if abs(s.spare - rules.spare) < SLACK and rules.spare == Rules().spare else "your rule"
    return f"{said(100 * s.spare, '')} of every 100 goes on top as spare ({whose})."


def _told(it: Class, view: View) -> str:
    say, safe = view.say, view.safe
    parts = f"{say(it.home, 'mL')} goes home, the marc keeps {say(it.marc, 'mL')}"
    if it.spare > SLACK:
        parts += f", {say(it.spare, 'mL')} is spare"
    short = (
        f"Who forgets marc and spare buys {it.forgotten:,}."
        if it.forgotten < it.packs
        else "Who forgets marc and spare buys as many this time: luck."
    )
    return (
        f"The list says {safe(it.herb, 'g', 'up')} of herb and {safe(it.menstruum, 'mL', 'up')} of spirit: {parts}. "
        f"That is {bottles(it.packs)}, with {say(it.left, 'mL')} left in the last. {short} The same bottles serve "
        f"{_people(it.serves)}; one more, and it is {bottles(it.packs + 1)}."
    )


def _numbers(s: Setting, it: Class, rules: Rules, view: View) -> tuple[Number, ...]:
    money = f"{rules.currency}{it.cost:.2f}"
    return (
        Number("Buy", bottles(it.packs), f"of {view.say(s.pack, 'mL')}", it.packs, "bottles", "packs",
               "how many bottles must be bought?"),
        view.number("menstruum", "Spirit needed", it.menstruum, "mL", "how much spirit is needed?", round="up"),
        view.number("herb", "Herb needed", it.herb, "g", "how much herb is needed?", round="up"),
        view.number("left", "Left in the last", it.left, "mL", "how much is left in the last bottle?"),
        Number("Bottles serve", _people(it.serves), "before one more is needed", it.serves, "students", "serves",
               "how many students do those bottles serve?"),
        Number("At the till", money, f"each {rules.currency}{s.price:.2f}", it.cost, "money", "cost",
               "what does the spirit cost?"),
        Number("Marc forgotten", bottles(it.forgotten), "too few, or luck", it.forgotten, "bottles",
               "forgotten", "how many bottles would be bought without marc and spare?"),
    )  # fmt: skip


def _table(s: Setting, it: Class, rules: Rules, view: View) -> tuple[tuple[str, str, str], ...]:
    say, many = view.say, s.students
    return (
        ("", "for all", "for each"),
        ("dried herb", view.safe(it.herb, "g", "up"), say(it.herb / (1 + s.spare) / many, "g")),
        ("goes home", say(it.home, "mL"), say(s.each, "mL")),
        ("the marc keeps", say(it.marc, "mL"), say(it.marc / many, "mL")),
        ("poured", say(it.home + it.marc, "mL"), say((it.home + it.marc) / many, "mL")),
        ("spare", say(it.spare, "mL"), ""),
        ("spirit in all", view.safe(it.menstruum, "mL", "up"), ""),
        ("whole bottles", f"{it.packs:,}", ""),
        ("left in the last", say(it.left, "mL"), ""),
        ("at the till", f"{rules.currency}{it.cost:.2f}", f"{rules.currency}{it.cost / many:.2f}"),
        ("these bottles serve", _people(it.serves), ""),
    )


def _alt(s: Setting, it: Class, view: View) -> str:
    say = view.say
    return (
        f"Two bars to one scale. What is needed: {say(it.home, 'mL')} goes home, {say(it.marc, 'mL')} stays in the "
        f"marc, {say(it.spare, 'mL')} is spare. Below it {bottles(it.packs)} end to end, the last with "
        f"{say(it.left, 'mL')} left. Beside them a staircase of bottles against students; the mark stands at "
        f"{_people(round(s.students))} and {bottles(it.packs)}. A dashed staircase below leaves marc and spare out."
    )


# --- what is drawn ------------------------------------------------------------------------------------------------


def _bars(board: Board, place: Place, s: Setting, it: Class, view: View, answer: bool) -> None:
    """What is needed over what is bought, to one scale; before the guess what goes home, and no scale to read."""
    needed, bought = rows(place, 2, 10.0)
    home = f"home {view.pair(it.home, 'mL')[0]}"
    if not answer:
        stack(board, "needed", needed, [Part("bottle", it.home, home)], 2 * it.home, "needed: ?")
        stack(board, "bought", bought, [Part("ground", 1.0)], 1.0, "bottles: ?")
        return
    full = board.scale("bars", it.packs * s.pack, it.packs * s.pack)
    parts = [
        Part("bottle", it.home, home),
        Part("band", it.marc, "marc"),
        Part("card", it.spare, "spare"),
    ]
    amount = view.pair(it.menstruum, "mL", "up")[0]
    stack(board, "needed", needed, parts, full, amount if board.narrow else f"needed: {amount}")
    left = view.pair(it.left, "mL")[0]
    filled = [Part("alcohol", it.menstruum), Part("ground", it.left, "" if board.narrow else f"left {left}")]
    size = view.pair(s.pack, "mL")[0]
    stack(board, "bought", bought, filled, full, f"{it.packs:,} × {size}" if board.narrow else
          f"{bottles(it.packs)} of {size}")  # fmt: skip
    _between(board, bought, it.packs, s.pack / full)


def _between(board: Board, place: Place, packs: int, share: float) -> None:
    """A line where one bottle ends and the next begins; one broken line, however many there are."""
    if packs > STEPS:
        return
    high = place.h - (0.0 if board.mute else board.size * 1.5)
    ends = [place.x + place.w * share * n for n in range(1, packs)]
    xs = [x for end in ends for x in (end, end, np.nan)]
    ys = [y for _ in ends for y in (place.y, place.y + high, np.nan)]
    board.line("bottles", xs, ys, width=2.4)


def _stairs(board: Board, place: Place, s: Setting, it: Class) -> None:
    """Whole bottles against students: a staircase, and a lower one for who forgets marc and spare."""
    right = max(1.6 * s.students, 10.0)
    each = it.menstruum / s.students
    top = float(np.ceil(right * each / s.pack)) + 1
    _, x_ticks = marks(View(), "", right, about=3)
    _, y_ticks = marks(View(), "", top, about=3)
    whole = [(value, words) for value, words in y_ticks if value == int(value)]
    chart = Chart(board, "stairs", place, (0.0, right, "students"), (0.0, top, "bottles"), x_ticks, whole)
    chart.curve("forgotten", *_staircase(s.each, s.pack, right), ink="quiet", width=1.6, dash=(4, 3))
    chart.curve("stairs", *_staircase(each, s.pack, right))
    chart.note("short", 0.98 * right, 0.0, "marc forgotten", ink="quiet", lift=0.8, ha="right", if_room=True)
    chart.mark("now", s.students, it.packs, bottles(it.packs), above=True)


def _staircase(each: float, pack: float, right: float) -> tuple[list[float], list[float]]:
    """Corners of the stairs, up to `right` students; a straight line where the steps are too small to see."""
    last = right * each / pack
    if last > STEPS:
        return [0.0, right], [0.0, last]
    steps = range(int(np.ceil(last)))
    xs = [x for n in steps for x in (n * pack / each, min((n + 1) * pack / each, right))]
    return [0.0, *xs], [0.0, *(float(n + 1) for n in steps for _ in range(2))]
