"""Floor 4. A worked path, walked step by step: one operation a line, with its number.

A path is written once and walked in several ways: told, for a student who asks for steps, or in numbers alone, with
every step rounded as people round, to see where an honest answer may land. A told walk goes on with the numbers that
its lines show, so that whoever presses the keys of a line gets the end of that line.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from fractions import Fraction

from herbcalc.homework import wording
from herbcalc.units import Q, amount, spoken
from herbcalc.units.constants import FL_OZ_PER_OZ, SLACK
from herbcalc.units.saying import number_in

Rounding = Callable[[float, str], float]

_SHARES = ("vol", "pct", "w")
_WHOLE = ("g", "mL", "drops", "min")
_KITCHEN = {"g": "weight", "mL": "volume"}
# What stands behind the "=", from the figures as they are to be written and from the number itself.
_SAID: dict[str, Callable[[Callable[[float], str], float], str]] = {
    "g": lambda n, x: wording.in_both(n(x), x, "g"),
    "mL": lambda n, x: wording.in_both(n(x), x, "mL"),
    "vol": lambda n, x: f"{n(100 * x)} % vol",
    "pct": lambda n, x: f"{n(100 * x)} %",
    "1:x": lambda n, x: f"{n(x)}, so 1:{n(x)}",
    "h": lambda n, x: f"{n(x)} h",
    "min": lambda n, x: f"{n(x)} minutes",
    "drops": lambda _, x: f"{wording.exact(x)} drops",
    "$": lambda _, x: f"${x:.2f}",
    "$ each": lambda n, x: f"${n(x)}",
    "each": lambda n, x: f"{n(x)} mL for each g (about {wording.three(x * FL_OZ_PER_OZ)} fl oz for each oz)",
    "parts": lambda n, x: f"{n(x)} parts",
    "w": lambda _, x: f"{100 * x:.2f} %",
    "°C": lambda _, x: f"{x:.1f} °C",
    "°F": lambda _, x: f"{x:.0f} °F",
    "points": lambda _, x: f"{x:.2f} points",
    "": lambda n, x: n(x),
}
_PLACES = {"$": 2, "w": 4, "points": 2}  # what is shown with so many places, whatever its size


def as_it_is(number: float, _: str) -> float:
    """No rounding at all."""
    return number


def as_shown(number: float, unit: str) -> float:
    """Each step as its line shows it: to four figures, one more than is asked for, or to whole ones where finer.

    >>> as_shown(28.5714, "mL"), as_shown(13802.4, "mL"), as_shown(6.3461, "$")
    (28.57, 13802.0, 6.35)
    """
    size = math.floor(math.log10(abs(number))) if number else 0
    return round(wording.half_up(number), _PLACES.get(unit, max(0, 3 - size)))


def three_figures(number: float, unit: str) -> float:
    """Each step to three figures; money to the cent where that is finer.

    >>> three_figures(28.5714, "vol"), three_figures(1425.3, "mL")
    (28.6, 1430.0)
    """
    number = wording.half_up(number)
    return round(number, 2) if unit == "$" and abs(number) >= 10 else float(f"{number:.3g}")


def whole_ones(number: float, unit: str) -> float:
    """Grams, mL, drops and minutes to whole ones, all else to three figures.

    >>> whole_ones(28.5714, "mL"), whole_ones(0.285714, "vol")
    (29.0, 0.286)
    """
    return (
        float(round(wording.half_up(number))) if unit in _WHOLE and abs(number) >= 2 else three_figures(number, unit)
    )


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
    return number_in(amount(said, _KITCHEN[unit]), unit)


class Walk:
    """One walk along a path.

    rounding  what is done to the number of each step
    told      whether lines are wanted as well
    letter    the letter under which an option of a choice stands for this student, by its place in the item

    `end` is the number of the last step, in the unit the item compares in (shares in parts of a hundred).
    """

    def __init__(
        self,
        rounding: Rounding = as_it_is,
        told: bool = False,
        letter: Callable[[int], str] = lambda place: str(place),
    ) -> None:
        self.rounding, self.told, self.letter = rounding, told, letter
        self.end = 0.0
        self._lines: list[str] = []
        self._in_kitchen: dict[tuple[float, str], float] = {}  # what a sum was said to be, for the sums that follow
        self._last = (0, "")  # which line is the last step, and that line with its end to three figures

    @property
    def lines(self) -> list[str]:
        """The lines of a told walk, what is to be found in ⟦ ⟧; the end of the last step to three figures."""
        at, line = self._last
        return [*self._lines[:at], line, *self._lines[at + 1 :]] if line else list(self._lines)

    def step(self, unit: str, words: str, number: float) -> float:
        """One operation: its words and figures, up to the "=", and what comes out, in g, mL, vol, pct, 1:x, ..."""
        shown = self.rounding(number, unit)
        self.end = 100 * shown if unit in _SHARES else shown
        if self.told:
            say = _SAID[unit]
            self._tell(words, say(wording.exact, shown), say(wording.three, number))
        return shown

    def total(self, unit: str, words: str, *parts: float) -> float:
        """Amounts put together (or taken off, where negative); in brackets, too, the sum adds up."""
        shown = self.rounding(sum(parts), unit)
        self.end = shown
        if self.told:
            kitchen = _in_kitchen(unit, parts, self._in_kitchen)
            self._in_kitchen[shown, unit] = kitchen
            ends = (wording.exact(shown), wording.three(sum(parts)))
            self._tell(words, *(_beside(end, shown, unit, kitchen) for end in ends))
        return shown

    def whole(self, words: str, count: int, things: str) -> int:
        """What was rounded to whole ones, by a rule that the words name: "Rounded down: 6.6, so" 6 plants."""
        self.end = float(count)
        if self.told:
            self._last = (len(self._lines), f"{words} ⟦{count} {things}⟧")
            self._lines.append(self._last[1])
        return count

    def say(self, words: str) -> None:
        """A line without a sum; what is to be found out stands in ⟦ ⟧."""
        if self.told:
            self._lines.append(words)

    def _tell(self, words: str, shown: str, in_three: str) -> None:
        self._last = (len(self._lines), f"{words} = ⟦{in_three}⟧")
        self._lines.append(f"{words} = ⟦{shown}⟧")


def halvings_way(times: float, w: Walk) -> None:
    """What is out after so many halvings: whole ones first, then the broken one with a key to press."""
    whole = int(times + SLACK)
    left = w.step("pct", f"Still in the herb after the whole ones: {' × '.join(['1/2'] * whole) or '1'}", 0.5**whole)
    part = times - whole
    if part > 1e-3:
        shown = wording.exact(part)
        words = f"Of that, after {shown} of a halving more. On a calculator 0.5, the key x^y, {shown}:"
        broken = w.step("pct", f"{words} 0.5^{shown}", 0.5**part)
        left = w.step(
            "pct", f"Still in the herb in the end: {wording.exact(left)} × {wording.exact(broken)}", left * broken
        )
    w.step("pct", f"So out: 100 − {wording.exact(100 * left)}", 1 - left)


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


def together(unit: str, *parts: float) -> str:
    """Amounts put together (or taken off, where negative) in both systems, the kitchen side being the sum of what the
    parts are said to be.

    unit   "g" or "mL"
    parts  the amounts, in it

    >>> together("mL", 680, -420)
    '260 mL (8 3/4 fl oz)'
    """
    number = sum(parts)
    return _beside(wording.three(number), number, unit, _in_kitchen(unit, parts, {}))


def _in_kitchen(unit: str, parts: tuple[float, ...], said: dict[tuple[float, str], float]) -> float:
    """The sum of what the parts are said to be in ounces, or were said to be in a line before; in the unit itself."""
    sizes = (said.get((abs(part), unit)) or kitchen_words(abs(part), unit) for part in parts)
    return sum(size if part > 0 else -size for size, part in zip(sizes, parts, strict=True))


def _beside(figures: str, number: float, unit: str, kitchen: float) -> str:
    """An amount with its kitchen side. Where the sum of what was said is too far from the amount, or no part of an
    ounce, "about" stands before what the amount itself is said to be: those brackets do not add up."""
    said = _to_the_eighth(kitchen, unit) if abs(kitchen - number) <= 0.05 * abs(number) else ""
    return f"{figures} {unit} ({said})" if said else wording.in_both(figures, number, unit).replace("(", "(about ")


def blank(line: str) -> str:
    """A line with what is to be found left open, its unit still there."""
    before, mark, rest = line.partition("⟦")
    if not mark:
        return line
    inside, _, after = rest.partition("⟧")
    gap = re.sub(r"\d+ \d+/\d+|\d+/\d+|(?<!:)\d(?:[\d.]*\d)?(?!:|\d)|(?<=:)\d[\d.]*", "____", inside)
    return before + (gap if "____" in gap else "____") + after


def words_alone(line: str) -> str:
    """A line of which only the words are told: its figures rest on a step that is still open, and would give it away.

    >>> words_alone("Of the whole, in mL: 0.8 × 250 = ⟦200 mL⟧")
    'Of the whole, in mL: ____'
    """
    words, colon, _ = line.partition("⟦")[0].rpartition(": ")
    return f"{words}: ____" if colon else blank(line)


def filled(line: str) -> str:
    """A line with what was to be found standing in it."""
    return line.replace("⟦", "").replace("⟧", "")
