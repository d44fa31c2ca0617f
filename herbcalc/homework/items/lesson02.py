"""Floor 4. Lesson 2: how much may I take? Rounded down what one may take, rounded up what one must have."""

from __future__ import annotations

import math
from collections.abc import Callable

from herbcalc import harvest
from herbcalc.homework.blueprint import (
    LEAVES,
    PLANTS,
    WEIGHT,
    Ask,
    Figures,
    Near,
    Option,
    case,
    grid,
    mistake,
    plainly,
)
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import BY_METRIC, METRIC, g, three
from herbcalc.homework.wording import exact as n

_S = grid("S", "", 40, 300)
_F = grid("f", "", 5, 10, over=100)
_Y = grid("y", "g", 100, 300, 10)
_N = grid("N", "g", 500, 6000, 50)
_SHARE = "At most {f} of a stand may be dug, which is {hundred} of every 100 plants."
_HUNDRED = {"hundred": lambda f: n(100 * f.f)}
_YEARS = 3


def _clear(number: float) -> bool:
    """Whether a number lies well between two whole ones, so that rounding up and down are two things, also once it
    stands in a line to four figures, and for whoever writes 40.1 for 40.06."""
    return 0.07 < number % 1 < 0.93


def _may(f: Figures) -> int:
    return int(plainly(harvest.allowance, f.S, f.f))


def _need(f: Figures) -> int:
    return int(plainly(harvest.plants_needed, f.N, f.y))


# --- 2.1, 2.3: leaf -------------------------------------------------------------------------------------------------


def _leaf_way(f: Figures, w: Walk) -> None:
    third = w.step("", f"A third of the leaves: {n(f.n)} ÷ 3", f.n / 3)
    w.whole(f"What one may take is rounded down: {n(third)}, so", math.floor(f.n / 3), "leaves")


def _leaves_left(f: Figures, x: float) -> str:
    share = f"{three(100 * x / f.n)} of every 100 leaves would be gone"
    return f"With {x:.0f} leaves picked {share}, and a third is 33.3."


def _pick(f: Figures) -> float:
    """Plants that a basket of leaf needs, before rounding."""
    return 3 * f.N / f.y


def _picked(f: Figures, x: float) -> str:
    return f"A third from each of {x:.0f} plants is {g(x * f.y / 3)} of leaf, and you need {g(f.N)}."


def _pick_way(f: Figures, w: Walk) -> None:
    each = w.step("g", f"What one plant gives, a third of its leaf, in g: {n(f.y)} ÷ 3", f.y / 3)
    number = w.step("", f"Plants for the basket: {n(f.N)} ÷ {n(each)}", f.N / each)
    w.whole(f"What one must have is rounded up: {n(number)}, so", math.ceil(f.N / each), "plants")


# --- 2.2, 2.4, 2.5: a stand -----------------------------------------------------------------------------------------


def _both_limits_told(f: Figures) -> bool:
    """Whether the figures tell the story of their case: the basket decides, or the stand does."""
    if not (_clear(f.S * f.f) and _clear(f.N / f.y)):
        return False
    return 2 <= _need(f) < _may(f) if f.case == 0 else 1 <= _may(f) <= _need(f) - 2


def _dug(f: Figures, x: float) -> str:
    fills = "more than the basket needs" if x * f.y > f.N else "and the basket needs more"
    share = f"only {n(f.S)} stand here"
    if x <= f.S:
        share = f"{three(100 * x / f.S)} of every 100 plants would go, and {n(100 * f.f)} may"
    return f"{x:.0f} plants give {g(x * f.y)}, {fills}; {share}."


def _stand_lines(f: Figures, w: Walk) -> tuple[int, int]:
    allowed = w.step("", f"Plants that may be dug: {n(f.S)} × {n(f.f)}", f.S * f.f)
    may = w.whole(f"Rounded down: {n(allowed)}, so", _may(f), "plants")
    wanted = w.step("", f"Plants for the basket: {n(f.N)} ÷ {n(f.y)}", f.N / f.y)
    return may, w.whole(f"Rounded up: {n(wanted)}, so", _need(f), "plants")


def _dig_way(f: Figures, w: Walk) -> None:
    may, need = _stand_lines(f, w)
    w.whole(f"Both hold, {may} and {need}; the smaller counts, so", min(may, need), "plants")


def _verdict(f: Figures) -> int:
    return int(f.case)


def _verdict_fits(f: Figures) -> bool:
    if f.case == 2:  # at risk: the stand looks as if it would do
        return _need(f) < f.S * f.f - 1
    far = abs(_need(f) - _may(f)) >= 2 and _clear(f.S * f.f) and _clear(f.N / f.y)
    return far and _may(f) >= 1 and (_need(f) <= _may(f)) == (f.case == 0)


def _state(f: Figures) -> str:
    return "at risk in the wild" if f.case == 2 else "common here"


def _verdict_way(f: Figures, w: Walk) -> None:
    if f.case == 2:
        w.say("Plants that may be dug of a wild stand at risk, however many stand there: ⟦0⟧")
        w.say(f"So the answer, before any other sum: ⟦{w.letter(2)}⟧")
        return
    may, need = _stand_lines(f, w)
    w.say(f"{need} needed, {may} allowed: ⟦{w.letter(_verdict(f))}⟧")


def _basket_way(f: Figures, w: Walk) -> None:
    allowed = w.step("", f"Plants that may be dug: {n(f.S)} × {n(f.f)}", f.S * f.f)
    may = w.whole(f"Rounded down: {n(allowed)}, so", _may(f), "plants")
    w.step("g", f"Their roots, in g: {may} × {n(f.y)}", may * f.y)


def _basket(f: Figures, x: float) -> str:
    return (
        f"For {g(x)} you would dig {three(x / f.y)} plants of {n(f.S)}: {three(100 * x / f.y / f.S)} of every 100, "
        f"and {n(100 * f.f)} may go."
    )


# --- 2.6, 2.7: a garden, a calendar ---------------------------------------------------------------------------------


def _set(f: Figures) -> float:
    return f.H / (1 - f.d) ** _YEARS


def _set_year_by_year(f: Figures) -> float:
    """Back from the last winter to the first, each time up to a whole plant."""
    plants = f.H
    for _ in range(_YEARS):
        plants = math.ceil(plants / (1 - f.d))
    return plants


def _after_three(f: Figures, x: float) -> str:
    stand = math.floor(x * (1 - f.d) ** _YEARS)
    return f"Of {x:.0f} plants {stand} whole ones would stand after three winters, and you want {n(f.H)}."


def _set_way(f: Figures, w: Walk) -> None:
    stays = w.step("", f"Of each plant stays after one winter: 1 − {n(f.d)}", 1 - f.d)
    two = w.step("", f"After two winters: {n(stays)} × {n(stays)}", stays * stays)
    after = w.step("", f"After three winters: {n(two)} × {n(stays)}", two * stays)
    number = w.step("", f"Plants for the harvest: {n(f.H)} ÷ {n(after)}", f.H / after)
    w.whole(f"What one must have is rounded up: {n(number)}, so", math.ceil(f.H / after), "plants")


_PARTS = ("leaf", "flowering tops", "root", "seed")
_OF = ("lemon balm leaf", "flowering tops of marjoram", "elecampane root", "fennel seed")


def _sign(part: str) -> str:
    """The sign to look for, without what is to be heeded besides."""
    return f"When {harvest.gathering(part).sign.partition(';')[0]}."


def _brings(part: str) -> Callable[[Figures], str]:
    return lambda f: f"At that sign you bring home {part}, and you are after {_OF[int(f.case)]}."


ITEMS = (
    Ask(
        2,
        1,
        "sum",
        "A lemon balm plant carries {n} leaves. In this question at most a third of them may be picked. How many "
        "leaves is that at most?",
        (grid("n", "", 80, 400),),
        LEAVES,
        lambda f: math.floor(f.n / 3),
        allowed=lambda f: _clear(f.n / 3),
        mistakes=(
            mistake(
                "m400",
                "Rounds up what one may take",
                "Would that last leaf still be within the third, or over it?",
                lambda f: math.ceil(f.n / 3),
                so=_leaves_left,
            ),
            mistake(
                "m401",
                "Gives what stays on the plant",
                "Is that what goes into the basket, or what stays on the plant?",
                lambda f: f.n - math.floor(f.n / 3),
                so=_leaves_left,
            ),
            mistake(
                "m402",
                "Takes a quarter, one leaf for every three that stay",
                "A third is one part of three in all. Into how many parts did you share the leaves?",
                lambda f: math.floor(f.n / 4),
                so=lambda f, x: f"{x:.0f} leaves are a quarter. The plant would not mind; a third is a little more.",
            ),
            mistake(
                "m403",
                "Takes 30 of every 100 for a third",
                "Three times 30 is 90. How much of 100 is left over then?",
                lambda f: math.floor(0.3 * f.n),
                so=lambda f, x: f"Three times {x:.0f} is {3 * x:.0f}, and the plant has {n(f.n)} leaves.",
            ),
        ),
        path=_leaf_way,
        forwards="Take your number three times. Do you come close to all the leaves, and not over them?",
    ),
    Ask(
        2,
        2,
        "sum",
        f"Elecampane is common here and you have leave to dig. You count {{S}} plants. {_SHARE} One root weighs "
        f"{{y}}, and the basket needs {{N}} of fresh root. How many plants do you dig? {BY_METRIC}",
        (_S, _F, _Y, _N, case(2)),
        PLANTS,
        lambda f: min(_need(f), _may(f)),
        also=_HUNDRED,
        allowed=_both_limits_told,
        mistakes=(
            mistake(
                "m89",
                "Rounds down what the basket needs",
                "Would those roots fill the basket? And are they no more than may be dug?",
                lambda f: math.floor(f.N / f.y),
                so=_dug,
            ),
            mistake(
                "m404",
                "Looks at one of the two limits alone",
                "Two things hold at once: what the basket needs, and what may be dug. Which of them is the smaller?",
                lambda f: max(_need(f), _may(f)),
                so=_dug,
            ),
            mistake(
                "m405",
                "Takes the share from each root as well",
                "Is the share a part of the plants, or a part of every root?",
                lambda f: math.ceil(f.N / (f.y * f.f)),
                so=_dug,
            ),
        ),
        path=_dig_way,
        forwards="Two tests for your number: do so many roots fill the basket, and may so many be dug?",
        edition=2,
    ),
    Ask(
        2,
        3,
        "sum",
        f"You need {{N}} of fresh lemon balm leaf. One plant carries about {{y}} of it. You take a third of that, "
        f"so that the plant lives on. From how many plants must you pick? {BY_METRIC}",
        (_N, grid("y", "g", 60, 300, 10)),
        PLANTS,
        lambda f: plainly(harvest.plants_needed, f.N, f.y, 1 / 3),
        allowed=lambda f: _clear(_pick(f)) and f.N / f.y > 4,
        mistakes=(
            mistake(
                "m406",
                "Picks the plants bare",
                "Is all of its leaf taken from a plant here? What is it to live on?",
                lambda f: math.ceil(f.N / f.y),
                so=_picked,
            ),
            mistake(
                "m407",
                "Rounds down what one must have",
                "Would so many plants fill the basket to the last leaf, or leave you a little short?",
                lambda f: math.floor(_pick(f)),
                so=_picked,
            ),
            mistake(
                "m408",
                "Takes the two thirds that stay for what is picked",
                "Which part goes into the basket, and which part stays on the plant?",
                lambda f: math.ceil(1.5 * f.N / f.y),
                so=_picked,
            ),
            mistake(
                "m409",
                "Divides by three where it should be times three",
                "When you take less from each plant, do you need more plants, or fewer?",
                lambda f: math.ceil(f.N / f.y / 3),
                so=_picked,
            ),
        ),
        path=_pick_way,
        forwards="Take a third of one plant's leaf, so many times over. Is it the basket?",
        edition=2,
    ),
    Ask(
        2,
        4,
        "choice",
        f"You count {{S}} wild plants, and the plant is {{state}}. {_SHARE} That share is for common plants; of a "
        f"wild plant at risk nothing is dug. One root weighs {{y}}, and you would like {{N}} of root. Can this stand "
        "give it?",
        (_S, _F, _Y, _N, case(3)),
        also={**_HUNDRED, "state": _state},
        allowed=_verdict_fits,
        options=(
            Option(
                "Yes: what the basket needs is no more than what may be dug.",
                "Is the plant common? And if it is: how many plants does the basket need, and how many may go?",
                "m410",
                "Says yes before both numbers are known",
                lambda f: (
                    f"{_state(f)[0].upper()}{_state(f)[1:]}: the basket needs {_need(f)} plants of the {n(f.S)}."
                ),
            ),
            Option(
                "No: some may be dug, but not enough. A smaller batch would do, or a larger stand.",
                "Work out both: what may be dug, rounded down, and what is needed, rounded up. Or is it none at all?",
                "m411",
                "Thinks the stand gives some, and too little",
                lambda f: (
                    f"{_state(f)[0].upper()}{_state(f)[1:]}: the basket needs {_need(f)} plants of the {n(f.S)}."
                ),
            ),
            Option(
                "No: nothing may be dug here. Garden-grown plants or a grower would do.",
                "Is this plant at risk? If it is common, how many whole plants is the share?",
                "m412",
                "Thinks that nothing may be dug",
                lambda f: f"It is {_state(f)}, and {n(100 * f.f)} of every 100 plants is the share.",
            ),
        ),
        answer=_verdict,
        path=_verdict_way,
        edition=2,
    ),
    Ask(
        2,
        5,
        "sum",
        f"A common stand has {{S}} plants. {_SHARE} One root weighs {{y}}. What is the heaviest basket that it may "
        f"give, in whole plants? {METRIC}",
        (_S, _F, _Y),
        WEIGHT,
        lambda f: plainly(harvest.largest_batch, f.S, f.f, f.y),
        also=_HUNDRED,
        allowed=lambda f: _may(f) >= 2 and 0.15 < f.S * f.f % 1 < 0.85 and f.S * f.f > 1.045 * _may(f),
        mistakes=(
            mistake(
                "m413",
                "Digs a part of a plant",
                "Can a part of a plant be dug, and the rest live? Which whole number does the share allow?",
                lambda f: f.S * f.f * f.y,
                so=_basket,
            ),
            mistake(
                "m414",
                "Rounds up what one may take",
                "Is the next whole plant still within the share, or over it?",
                lambda f: (_may(f) + 1) * f.y,
                so=_basket,
            ),
            mistake(
                "m415",
                "Digs the whole stand",
                "What would stand here next year? Where is the share in your sum?",
                lambda f: f.S * f.y,
                so=_basket,
            ),
            mistake(
                "m416",
                "Weighs the plants that stay",
                "Is that the basket, or what stays in the ground?",
                lambda f: (f.S - _may(f)) * f.y,
                so=_basket,
            ),
        ),
        path=_basket_way,
        forwards="Divide your basket by the weight of one root. Is that a whole number of plants, and may they go?",
    ),
    Ask(
        2,
        6,
        "sum",
        "You plant elecampane in your own garden, to dig {H} roots in three years. In each of the three winters {d} "
        "of the plants that stand will die, which is {hundred} of every 100. How many plants must you set now?",
        (grid("H", "", 30, 120), grid("d", "", 10, 20, over=100)),
        PLANTS,
        lambda f: plainly(harvest.plants_to_set, f.H, f.d, float(_YEARS)),
        also={"hundred": lambda f: n(100 * f.d)},
        allowed=lambda f: _clear(_set(f)),
        near=(
            Near(
                _set_year_by_year,
                "Right. You rounded up at every winter, so a plant or so is to spare; once, at the end, is enough.",
            ),
        ),
        mistakes=(
            mistake(
                "m417",
                "Rounds down what one must have",
                "After three winters, would so many plants leave all the roots you want, or one short?",
                lambda f: math.floor(_set(f)),
                so=_after_three,
            ),
            mistake(
                "m418",
                "Counts one winter",
                "How many winters lie between planting and digging?",
                lambda f: math.ceil(f.H / (1 - f.d)),
                so=_after_three,
            ),
            mistake(
                "m419",
                "Adds the lost share once for each winter",
                "The share is of the plants that stand. Does a share of what you set make up for what dies of it?",
                lambda f: math.ceil(f.H * (1 + _YEARS * f.d)),
                so=_after_three,
            ),
            mistake(
                "m420",
                "Lets every winter take its share of the first number",
                "In the second winter, does the share die of all that were set, or of those that still stand?",
                lambda f: math.ceil(f.H / (1 - _YEARS * f.d)),
                so=_after_three,
            ),
        ),
        path=_set_way,
        forwards="Let your plants go through three winters, one after the other. How many stand in the end?",
        edition=2,
    ),
    Ask(
        2,
        7,
        "choice",
        "You are after {what}, from a plant you are certain of, on ground where you may gather. Which sign says that "
        "the time has come?",
        (case(len(_PARTS)),),
        also={"what": lambda f: _OF[int(f.case)]},
        options=tuple(
            Option(
                _sign(part),
                f"That is the sign for {part}. Did you come for that part, or for another?",
                f"m{421 + place}",
                f"Takes the sign for {part}",
                _brings(part),
            )
            for place, part in enumerate(_PARTS)
        ),
        answer=lambda f: int(f.case),
        path=lambda f, w: (
            w.say(f"The part that is wanted: ⟦{_PARTS[int(f.case)]}⟧"),
            w.say(f"Its sign, common practice: ⟦{w.letter(int(f.case))}⟧"),
        ),
    ),
)
