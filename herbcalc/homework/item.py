"""Floor 4. An item with somebody's own figures in it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from herbcalc.homework import wording
from herbcalc.homework.blueprint import Ask, Figures, Want, Words
from herbcalc.homework.draws import Seat, checked_number, normal_form
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q

REDRAWS = 500
LETTERS = "abcdefgh"


@dataclass(frozen=True)
class Feedback:
    """What is said back.

    `verdict` is "right", "say the unit", "other unit", "slip", "not yet" or "unread"; `slip` is the id of a
    recognised slip or None; `hint` is a question, a remark or a reminder (may be ""); `consequence` says what would
    come of the sum that was done (may be "").
    """

    verdict: str
    slip: str | None = None
    hint: str = ""
    consequence: str = ""


@dataclass(frozen=True)
class Drawn:
    """Figures that were found to keep all roads apart: the redraw they came from, values, band and slip numbers."""

    attempt: int
    values: dict[str, float]
    f: Figures
    low: float
    high: float
    slips: tuple[tuple[str, float], ...]


def draw(ask: Ask, seat: Seat) -> Drawn:
    """The first redraw, from 1 to 500, in which the right band and every slip stand apart.

    Arguments: ask, the item as data; seat, whose figures. Result: Drawn. No refusal: a sweep shows that every item
    finds its figures long before the last redraw.
    """
    for attempt in range(1, REDRAWS + 1):
        values = {f.name: f.value(seat.place(attempt, f.name, len(f.places))) for f in ask.figures}
        f = Figures(**{g.name: values[g.name] / 100 if g.share else values[g.name] for g in ask.figures})
        if ask.allowed is not None and not ask.allowed(f):
            continue
        if ask.want is None or ask.right is None:
            return Drawn(attempt, values, f, 0.0, 0.0, ())
        slips = tuple((m.id, float(way(f))) for m in ask.mistakes for way in m.sums)
        if not _slips_apart(ask, slips):
            continue
        numbers = _right_numbers(ask, f)
        low, high = min(numbers), max(numbers)
        near = [float(n.sum(f)) for n in ask.near]
        if _band_apart(ask, min(numbers + near), max(numbers + near), slips):
            return Drawn(attempt, values, f, low, high, slips)
    raise RuntimeError(f"Item {ask.code} found no figures in {REDRAWS} redraws; its ranges need another look.")


def _right_numbers(ask: Ask, f: Figures) -> list[float]:
    right = ask.right(f) if ask.right is not None else 0.0
    return [float(n) for n in right] if isinstance(right, tuple) else [float(right)]


def _slips_apart(ask: Ask, slips: tuple[tuple[str, float], ...]) -> bool:
    """No slip number of exactly 0, and no two slips within two tolerances of each other, twins apart."""
    assert ask.want is not None
    family = {m.id: m.twin or m.id for m in ask.mistakes}
    ordered = sorted(slips, key=lambda pair: pair[1])
    for index, (name, number) in enumerate(ordered):
        if abs(number) < 1e-9:
            return False
        for other, above in ordered[index + 1 :]:
            if above - number > _reach(ask, number, above):
                break
            if family[name] != family[other]:
                return False
    return True


def slip_width(want: Want, number: float) -> float:
    """How near to a slip's number counts as that slip; for a temperature of 100 or more, room for three figures."""
    if want.within is not None:
        return max(want.within, 0.005 * abs(number))
    return want.tolerance * abs(number)


def _reach(ask: Ask, one: float, other: float) -> float:
    assert ask.want is not None
    if ask.want.exact:
        return 0.5
    return 2.01 * max(slip_width(ask.want, one), slip_width(ask.want, other))


def _band_apart(ask: Ask, low: float, high: float, slips: tuple[tuple[str, float], ...]) -> bool:
    want = ask.want
    assert want is not None
    if want.exact:
        return all(abs(number - low) > 0.5 for _, number in slips)
    if want.within is not None:
        return all(not low - 4 * want.within <= number <= high + 4 * want.within for _, number in slips)
    t = 4 * want.tolerance
    return all(not low * (1 - t) <= number <= high * (1 + t) for _, number in slips)


class Item:
    """One homework item with one student's figures.

    Attributes: `code` ("5.2"), `kind` ("sum", "choice", "find the slip", "sentence"), `edition`, `class_code` (in
    its normal form), `own_number`, `go`, `attempt` (the redraw, `try` in a result file); `prompt` (text), `unit` (how
    the answer's unit is written, "" where there is none), `figures` (short name -> quantity), `choices` (texts to
    choose from or lines to look through, with their letters), `points` (three points to tick).
    """

    def __init__(self, ask: Ask, class_code: str, own_number: int, go: int = 1) -> None:
        if isinstance(go, bool) or not isinstance(go, int) or not 1 <= go <= 1000:
            raise OutOfRange("A go is a whole number from 1 upwards: 1 for the first set of figures, 2 for the next.")
        self.ask = ask
        self.code = ask.code
        self.kind = ask.kind
        self.edition = ask.edition
        self.class_code = normal_form(class_code)
        self.own_number = checked_number(own_number)
        self.go = go
        self.drawn = draw(ask, Seat(ask.edition, self.class_code, self.own_number, ask.code, go))
        self.attempt = self.drawn.attempt
        self.unit = ask.want.said if ask.want is not None else ""
        self.points: tuple[str, ...] = tuple(self.say(point) for point in ask.points)

    def __repr__(self) -> str:
        return f"<item {self.code} of class {self.class_code}, number {self.own_number}, go {self.go}>"

    @cached_property
    def figures(self) -> dict[str, Any]:
        """The drawn figures as quantities, by the short names of the course."""
        shown = [f for f in self.ask.figures if f.shown]
        found = {f.name: Q(self.drawn.values[f.name], "" if f.unit == "money" else f.unit) for f in shown}
        for name, (row, unit) in self.ask.listed.items():
            found[name] = Q(row(self.drawn.f), unit)
        return found

    @cached_property
    def _said(self) -> dict[str, str]:
        alone = self.ask.want is not None and bool(self.ask.want.only)
        said = {f.name: wording.figure_said(f, self.drawn.values[f.name], alone) for f in self.ask.figures if f.shown}
        return {**said, **{name: words(self.drawn.f) for name, words in self.ask.also.items()}}

    def say(self, words: Words) -> str:
        """A template of the item with the figures put in; a sum is called with them."""
        if callable(words):
            return words(self.drawn.f)
        return words.format_map(self._said) if "{" in words else words

    @cached_property
    def prompt(self) -> str:
        """What is asked, with every figure and every rule it needs."""
        return self.say(self.ask.prompt)

    @cached_property
    def choices(self) -> list[str]:
        """What there is to choose from, or the lines to look through, each with its letter in front."""
        texts = [self.say(option.words) for option in self.ask.options]
        if self.ask.lines is not None:
            texts = self.ask.lines(self.drawn.f)
        return [f"{letter}) {text}" for letter, text in zip(LETTERS, texts, strict=False)]

    @cached_property
    def quick(self) -> list[tuple[str, str, str]]:
        """For five quick ones: question, letter that is right, and what to ask when it is not chosen."""
        return [] if self.ask.quick is None else self.ask.quick(self.drawn.f)

    @property
    def right_letters(self) -> str:
        """The letter or letters that are right, in order; "" where a number or a sentence is asked."""
        if self.quick:
            return "".join(letter for _, letter, _ in self.quick)
        if self.ask.answer is None:
            return ""
        answer = self.ask.answer(self.drawn.f)
        return answer if isinstance(answer, str) else LETTERS[answer]

    def check(self, typed: Any, tier: int = 1) -> Feedback:
        """What to say back to what was typed. Saves nothing and never raises for text.

        Arguments: typed, a text (an amount or a number handed over as code is read too); tier, 0 to 4: how much
        help comes with it. Result: Feedback.

        >>> from herbcalc.homework import item
        >>> item(5, 1, "fern7", 3).check("no idea").verdict
        'unread'
        """
        from herbcalc.homework.check import check

        return check(self, typed, tier)

    def worked(self, tier: int) -> list[str]:
        """Lines of the worked path for a tier: 2 the first with a blank, 3 all but the last, 4 all of them.

        Arguments: tier, 0 to 4. Result: list of text, empty below 2.
        """
        if tier < 2 or self.ask.path is None:
            return []
        lines = self.ask.path(self.drawn.f)
        if tier == 2:
            return [_blank(lines[0])]
        return [line.replace("⟦", "").replace("⟧", "") for line in (lines[:-1] if tier == 3 else lines)]

    def answers(self) -> list[str]:
        """Three texts or more that must be accepted, in different units where the item allows."""
        from herbcalc.homework.sample_answers import right_texts

        return right_texts(self)

    def slip_answers(self) -> dict[str, str]:
        """For each slip of the item, a text that a student on that road would type."""
        from herbcalc.homework.sample_answers import slip_texts

        return slip_texts(self)


def _blank(line: str) -> str:
    before, mark, rest = line.partition("⟦")
    return before + "____" + rest.partition("⟧")[2] if mark else line
