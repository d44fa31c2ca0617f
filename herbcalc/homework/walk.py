"""Floor 4. A worked path, walked step by step: one operation a line, with its number.

A path is written once and walked in several ways: told, for a student who asks for steps, or in numbers alone, with
every step rounded as people round, to see where an honest answer may land.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

from herbcalc.homework import wording
from herbcalc.units import Q, amount, spoken
from herbcalc.units.constants import SLACK

Rounding = Callable[[float, str], float]

_SHARES = ("vol", "pct", "w")
_WHOLE = ("g", "mL", "drops", "min")
_KITCHEN = {"g": "weight", "mL": "volume"}
_SAID: dict[str, Callable[[float], str]] = {
    "g": wording.g,
    "mL": wording.mL,
    "vol": wording.vol,
    "pct": wording.pct,
    "1:x": lambda x: f"{wording.three(x)}, so {wording.one_to(x)}",
    "times": lambda x: f"{x:.5g}",
    "h": lambda x: f"{wording.three(x)} h",
    "min": lambda x: f"{wording.three(x)} minutes",
    "drops": lambda x: f"{wording.exact(x)} drops",
    "$": lambda x: f"${x:.2f}",
    "$ each": lambda x: f"${wording.three(x)}",
    "each": wording.each,
    "parts": lambda x: f"{wording.three(x)} parts",
    "w": lambda x: f"{100 * x:.2f} %",
    "°C": lambda x: f"{x:.1f} °C",
    "°F": lambda x: f"{x:.0f} °F",
    "points": lambda x: f"{x:.2f} points",
    "": wording.three,
}


def as_it_is(number: float, _: str) -> float:
    """No rounding at all."""
    return number


def three_figures(number: float, unit: str) -> float:
    """Each step to three figures; money to the cent where that is finer.

    >>> three_figures(28.5714, "vol"), three_figures(1425.3, "mL")
    (28.6, 1430.0)
    """
    return round(number, 2) if unit == "$" and abs(number) >= 10 else float(f"{number:.3g}")


def whole_ones(number: float, unit: str) -> float:
    """Grams, mL, drops and minutes to whole ones, all else to three figures.

    >>> whole_ones(28.5714, "mL"), whole_ones(0.285714, "vol")
    (29.0, 0.286)
    """
    return float(round(number)) if unit in _WHOLE and abs(number) >= 2 else three_figures(number, unit)


def kitchen_words(number: float, unit: str) -> float:
    """Weights and volumes as the workbook says them in ounces, all else to three figures.

    >>> round(kitchen_words(222.2, "g"), 1)
    219.7
    """
    if unit not in _KITCHEN:
        return three_figures(number, unit)
    said = spoken(Q(number, unit), "kitchen")
    if not re.match(r"-?\d", said):
        return number  # less than a quarter: nobody measures that in ounces
    return float(amount(said, _KITCHEN[unit]).to(unit).magnitude)


class Walk:
    """One walk along a path.

    Arguments: rounding, what is done to the number of each step; told, whether lines are wanted as well; letter, the
    letter under which an option of a choice stands for this student, by its place in the item.

    `end` is the number of the last step, in the unit the item compares in (shares in parts of a hundred).
    """

    def __init__(
        self,
        rounding: Rounding = as_it_is,
        told: bool = False,
        letter: Callable[[int], str] = lambda place: str(place),
    ) -> None:
        self.rounding, self.told, self.letter = rounding, told, letter
        self.lines: list[str] = []
        self.end = 0.0

    def step(self, unit: str, words: str, number: float) -> float:
        """One operation: its words and figures, up to the "=", and what comes out, in g, mL, vol, pct, 1:x, ..."""
        number = self.rounding(number, unit)
        self.end = 100 * number if unit in _SHARES else number
        if self.told:
            self.lines.append(f"{words} = ⟦{_SAID[unit](number)}⟧")
        return number

    def total(self, unit: str, words: str, *parts: float) -> float:
        """Amounts put together (or taken off, where negative); in brackets, too, the sum adds up."""
        number = self.rounding(sum(parts), unit)
        self.end = number
        if self.told:
            self.lines.append(f"{words} = ⟦{together(unit, *parts, number=number)}⟧")
        return number

    def say(self, words: str) -> None:
        """A line without a sum; what is to be found out stands in ⟦ ⟧."""
        if self.told:
            self.lines.append(words)


def halvings_way(times: float, w: Walk) -> None:
    """What is out after so many halvings: whole ones first, then the broken one with a key to press."""
    whole = int(times + SLACK)
    left = w.step("pct", f"Still in the herb after the whole ones: {' × '.join(['1/2'] * whole) or '1'}", 0.5**whole)
    part = times - whole
    if part > 1e-3:
        shown = wording.three(part)
        words = f"Of that, after {shown} of a halving more. On a calculator 0.5, the key x^y, {shown}:"
        broken = w.step("pct", f"{words} 0.5^{shown}", 0.5**part)
        left = w.step(
            "pct", f"Still in the herb in the end: {wording.three(left)} × {wording.three(broken)}", left * broken
        )
    w.step("pct", f"So out: 100 − {wording.three(100 * left)}", 1 - left)


def between_halvings(times: float) -> float:
    """The share that is out, in parts of a hundred, read off a straight line between two whole halvings."""
    whole = int(times + SLACK)
    return 100 * (1 - 0.5**whole * (1 - (times - whole) / 2))


def _to_the_eighth(number: float, unit: str) -> str:
    """An amount in the words of the workbook where they say just that, else in eighths; "" where it is in neither."""
    said = spoken(Q(round(number, 6), unit), "kitchen")
    if not re.search(r"\d (?:oz|lb|fl oz|tsp|quarts?)\b", said):
        return ""
    if abs(kitchen_words(number, unit) - number) < 1e-3:
        return said
    ounces = number / (wording.G_PER_OZ if unit == "g" else wording.ML_PER_FL_OZ)
    whole, eighths = divmod(round(8 * ounces), 8)
    if abs(8 * ounces - round(8 * ounces)) > 1e-3 or not eighths:
        return ""
    pounds, whole = divmod(whole, 16) if unit == "g" else (0, whole)
    words = [f"{pounds} lb" if pounds else "", str(whole or ""), str(Fraction(eighths, 8))]
    return " ".join([*filter(None, words), "oz" if unit == "g" else "fl oz"])


def together(unit: str, *parts: float, number: float | None = None) -> str:
    """Amounts put together (or taken off, where negative) in both systems, the kitchen side being the sum of what the
    parts are said to be.

    Arguments: unit, "g" or "mL"; parts, in it; number, their sum where it was rounded. Result: text.

    >>> together("mL", 680, -420)
    '260 mL (8 3/4 fl oz)'
    """
    number = sum(parts) if number is None else number
    kitchen = sum((1 if part > 0 else -1) * kitchen_words(abs(part), unit) for part in parts)
    said = _to_the_eighth(kitchen, unit)
    # Too little for any part of an ounce to be a fair measure, or too far from what it is.
    if not said or abs(kitchen - number) > 0.05 * abs(number):
        return _SAID[unit](number)
    return f"{spoken(Q(number, unit), 'metric')} ({said})"


def blank(line: str) -> str:
    """A line with what is to be found left open, its unit still there."""
    before, mark, rest = line.partition("⟦")
    if not mark:
        return line
    inside, _, after = rest.partition("⟧")
    gap = re.sub(r"\d+ \d+/\d+|\d+/\d+|(?<!:)\d(?:[\d.]*\d)?(?!:|\d)|(?<=:)\d[\d.]*", "____", inside)
    return before + (gap if "____" in gap else "____") + after


def filled(line: str) -> str:
    """A line with what was to be found standing in it."""
    return line.replace("⟦", "").replace("⟧", "")
