"""Floor 4. Within lesson 1: ounces that are not the same."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from herbcalc import liquids
from herbcalc.homework.blueprint import IN_G, IN_ML, VOLUME, WEIGHT, Figures, Want
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import ML_PER_FL_OZ, three
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import OutOfRange, Q, spoken

_HOW_MANY = Want(("count",), "", "", exact=True)
_JUG_IN_G = replace(IN_G, old="fl_oz")
_HONEY, _OIL = liquids.densities()["honey"], liquids.densities()["oil"]
_MOST = 20000.0  # g and mL: more than any kitchen scale or jug takes


def _half(f: Figures, w: Walk) -> None:
    w.step("", f"Half of them: {n(f.n)} ÷ 2", f.n / 2)


def _tenth(f: Figures, w: Walk) -> None:
    w.step("", f"A tenth, the point moves one place: {n(f.n)} ÷ 10", f.n / 10)


def _three_jars(f: Figures, w: Walk) -> None:
    w.step("g", f"Three times as much, in g: 3 × {n(f.m)}", 3 * f.m)


def _room(f: Figures, w: Walk) -> float:
    return w.step("mL", f"29.5735 mL for each fluid ounce, in mL: {n(f.fl)} × 29.5735", f.fl * ML_PER_FL_OZ)


def _honey_way(f: Figures, w: Walk) -> None:
    room = _room(f, w)
    w.step("g", f"{n(_HONEY)} g for each of them, in g: {n(room)} × {n(_HONEY)}", room * _HONEY)


def _oil_way(f: Figures, w: Walk) -> None:
    room = _room(f, w)
    w.step("g", f"{n(_OIL)} g for each of them, in g: {n(room)} × {n(_OIL)}", room * _OIL)


def _jug_way(f: Figures, w: Walk) -> None:
    w.step("mL", f"One mL for each {n(_HONEY)} g, in mL: {n(f.m)} ÷ {n(_HONEY)}", f.m / _HONEY)


_OLIVE = fixed(fl=(12, "fl_oz"))

GAPS = (
    gap(
        "Remember, 1",
        "A basket of 60 elecampane roots is shared by two people. How many does each one get?",
        fixed(n=(60, "")),
        _HOW_MANY,
        lambda f: f.n / 2,
        _half,
    ),
    gap(
        "Remember, 2",
        "Of 250 leaves you take a tenth. How many leaves is that?",
        fixed(n=(250, "")),
        _HOW_MANY,
        lambda f: f.n / 10,
        _tenth,
    ),
    gap(
        "Remember, 3",
        "One small jar takes {m} of dried herb. How much do three of them take?",
        fixed(m=(45, "g")),
        WEIGHT,
        lambda f: 3 * f.m,
        _three_jars,
    ),
    gap(
        "The last step is yours",
        f"A jug holds {{fl}} of honey, and 1 mL of honey weighs {n(_HONEY)} g. What does it weigh, in g?",
        fixed(fl=(6, "fl_oz")),
        _JUG_IN_G,
        lambda f: f.fl * ML_PER_FL_OZ * _HONEY,
        _honey_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "A recipe asks for {fl} of olive oil. How many mL is that?",
        _OLIVE,
        IN_ML,
        lambda f: f.fl * ML_PER_FL_OZ,
        _room,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        f"The same {{fl}} of olive oil, of which 1 mL weighs {n(_OIL)} g. What does the scale say, in g?",
        _OLIVE,
        _JUG_IN_G,
        lambda f: f.fl * ML_PER_FL_OZ * _OIL,
        _oil_way,
        left_out=2,
    ),
    gap(
        "Alone, and the other way round",
        f"A recipe asks for 1 lb (454 g) of honey, and there is only a jug. 1 mL of honey weighs {n(_HONEY)} g (1 fl "
        "oz about 1 1/2 oz). How much room is that? Ask yourself first: more mL than grams, or fewer?",
        fixed(m=(454, "g")),
        VOLUME,
        lambda f: f.m / _HONEY,
        _jug_way,
    ),
)


def _checked(label: str, amount: Any, unit: str, example: str) -> float:
    """An amount that a kitchen's scale or jug can show, as a plain number; refuses nothing at all and a tank."""
    number = float(amount.to(unit).magnitude)
    if not 1.0 <= number <= _MOST:
        raise OutOfRange(
            f"{label}: that is outside what a kitchen scale or jug shows, which is from {spoken(Q(1.0, unit))} to "
            f"{spoken(Q(_MOST, unit))}. Something such as {example} would do."
        )
    return number


def _tell(_: Rules, mark: Any, water: Any, thing: Any) -> list[str]:
    """What the jug's mark is worth, by the water in it, and what a mL of the other thing weighs."""
    given = zip(_BOXES, (mark, water, thing), ("mL", "g", "g"), strict=True)
    line, held, other = (_checked(box.label, amount, unit, box.example) for box, amount, unit in given)
    off = 100 * (held / line - 1)
    true = "Your jug tells the truth to 2 %" if abs(off) <= 2 else f"Your jug is off by {abs(off):.0f} %"
    each = other / held
    like = "heavier than water" if each > 1.005 else "lighter than water" if each < 0.995 else "as heavy as water"
    return [
        f"{true}: up to its mark of {spoken(Q(line, 'mL'))} it takes {spoken(Q(held, 'g'))} of water, "
        f"and 1 g of water fills 1 mL (1 oz nearly 1 fl oz).",
        f"The other thing weighs {three(each)} g for each mL that the water filled: {like}.",
        f"By a true jug {spoken(Q(8.0, 'fl_oz'))} of it weighs {spoken(Q(8 * ML_PER_FL_OZ * each, 'g'))}.",
    ]


_BOXES = (
    Box("mark", "The mark on the jug", "volume", "8 fl oz"),
    Box("water", "Water up to that mark", "weight", "236 g"),
    Box("thing", "Leaf, oil or honey up to it", "weight", "216 g"),
)
BENCH = Bench(_BOXES, _tell)
