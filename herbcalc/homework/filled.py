"""Floor 4. An item filled with somebody's own figures: what it asks, and the way through it."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from herbcalc.homework import wording
from herbcalc.homework.apart import draw
from herbcalc.homework.blueprint import LETTERS, Ask, Figures, Option, Words
from herbcalc.homework.draws import Seat, checked_number, normal_form
from herbcalc.homework.walk import Walk, as_shown, blank, filled, kitchen_words, words_alone
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.units.guard import give
from herbcalc.units.refusals import OutOfRange

IN_OUNCES = 0.06  # a quarter of an ounce is a rough measure for small amounts; beyond this it is no measure at all


class Filled:
    """One homework item with one student's figures, before anything is typed.

    Attributes: `code` ("5.2"), `kind` ("sum", "choice", "find the slip", "sentence"), `edition`, `class_code` (in
    its normal form), `own_number`, `go`, `attempt` (the redraw, `try` in a result file); `prompt` (text), `unit` (how
    the answer's unit is written, "" where there is none), `figures` (short name -> quantity), `choices` (texts to
    choose from or lines to look through, with their letters), `points` (three points to tick), `plants` (by whose
    names its texts speak of plants).
    """

    def __init__(self, ask: Ask, class_code: str, own_number: int, go: int = 1, plants: Plants = AS_TOLD) -> None:
        if isinstance(go, bool) or not isinstance(go, int) or not 1 <= go <= 1000:
            raise OutOfRange("A go is a whole number from 1 upwards: 1 for the first set of figures, 2 for the next.")
        self.plants = plants.place_alone if ask.names_stay else plants
        self.ask = ask = self.plants.named(ask)
        self.code = ask.code
        self.kind = ask.kind
        self.edition = ask.edition
        self.class_code = normal_form(class_code)
        self.own_number = checked_number(own_number)
        self.go = go
        self._seat = Seat(ask.edition, self.class_code, self.own_number, ask.code, go)
        self.drawn = draw(ask, self._seat)
        self.attempt = self.drawn.attempt
        self.unit = ask.want.said if ask.want is not None else ""
        self.points: tuple[str, ...] = tuple(self.say(point) for point in ask.points)

    def __repr__(self) -> str:
        return f"<item {self.code} of class {self.class_code}, number {self.own_number}, go {self.go}>"

    @cached_property
    def figures(self) -> dict[str, Any]:
        """The drawn figures as quantities, by the short names of the course."""
        shown = [f for f in self.ask.figures if f.shown]
        found = {f.name: give(self.drawn.values[f.name], "" if f.unit == "money" else f.unit) for f in shown}
        for name, (row, unit) in self.ask.listed.items():
            found[name] = give(row(self.drawn.f), unit)
        return found

    @cached_property
    def _said(self) -> dict[str, str]:
        alone = self.ask.want is not None and bool(self.ask.want.only)
        said = {f.name: wording.figure_said(f, self.drawn.values[f.name], alone) for f in self.ask.figures if f.shown}
        return {**said, **{name: words(self.drawn.f) for name, words in self.ask.also.items()}}

    @property
    def given_figures(self) -> list[str]:
        """The drawn figures in the words of the prompt: "230 g (about 8 oz)", "72 %", "1:2.5"."""
        return [self._said[f.name] for f in self.ask.figures if f.shown]

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
    def in_ounces(self) -> list[float]:
        """Where somebody may end who works in ounces: the result as the workbook says it, to the quarter ounce or the
        tenth, and the path walked in kitchen words, from the figures as drawn and as they are said. In the unit of
        the item."""
        want, f = self.ask.want, self.drawn.f
        if want is None or want.unit not in ("g", "mL") or self.ask.path is None:
            return []
        ounce = wording.G_PER_OZ if want.unit == "g" else wording.ML_PER_FL_OZ
        if self.drawn.high < ounce / 4:
            return []  # nobody measures that in ounces
        rights = (self.drawn.low, (self.drawn.low + self.drawn.high) / 2, self.drawn.high)
        ends = [kitchen_words(number, want.unit) for number in rights]
        ends += [round(parts * number / ounce) / parts * ounce for number in rights for parts in (4, 10)]
        said = {g.name: kitchen_words(getattr(f, g.name), g.unit) for g in self.ask.figures if g.unit in ("g", "mL")}
        for figures in (f, Figures(**{**vars(f), **said})):
            walk = Walk(kitchen_words)
            self.ask.path(figures, walk)
            ends.append(walk.end)
        low, high = self.drawn.low * (1 - IN_OUNCES), self.drawn.high * (1 + IN_OUNCES)
        return [end for end in ends if low <= end <= high]

    @cached_property
    def options(self) -> list[Option]:
        """What there is to choose from, in this seat's order; what is right stands at each place equally often."""
        if not self.ask.options or self.ask.answer is None:
            return []
        right = self.ask.options[self.ask.answer(self.drawn.f)]
        others = [option for option in self.ask.options if option is not right]
        order = []
        while others:
            order.append(others.pop(self._seat.place(1, f"option {len(others)}", len(others))))
        order.insert(self._seat.turn("options", len(order) + 1), right)
        return order

    def letter_of(self, place: int) -> str:
        """The letter under which an option of the item stands here; `place` is its place in the item as data."""
        return LETTERS[self.options.index(self.ask.options[place])]

    @cached_property
    def choices(self) -> list[str]:
        """What there is to choose from, or the lines to look through, each with its letter in front."""
        texts = [self.say(option.words) for option in self.options]
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
        if isinstance(answer, str):
            return answer
        return self.letter_of(answer) if self.options else LETTERS[answer]

    @cached_property
    def _way(self) -> list[str]:
        """The worked path, line by line, what is to be found in ⟦ ⟧."""
        if self.ask.path is None:
            return []
        walk = Walk(as_shown, told=True, letter=self.letter_of)
        self.ask.path(self.drawn.f, walk)
        return self.plants.named(walk.lines)

    def worked(self, tier: int) -> list[str]:
        """Lines of the worked path for a tier: 2 the first with a blank, 3 all but the last, 4 all of them.

        tier  0 to 4

        Result: list of text, empty below 2.
        """
        if tier < 2 or not self._way:
            return []
        if tier == 2:
            return [blank(self._way[0])]
        return [filled(line) for line in (self._way[:-1] if tier == 3 else self._way)]

    def given(self, left_out: int) -> list[str]:
        """The path with its last steps left open, for one who has just seen a whole one.

        left_out  how many steps are left to the student; 0 leaves all of them

        Result: list of text: the steps that are given, then those left open, each with a blank; empty where there is
        no path.

        >>> from herbcalc.homework import item
        >>> [line.count("____") > 0 for line in item(7, 1, "fern7", 3).given(1)]
        [False, True]
        """
        if left_out < 1:
            return []
        kept = max(len(self._way) - left_out, 0)
        given, first, rest = self._way[:kept], self._way[kept : kept + 1], self._way[kept + 1 :]
        return [*map(filled, given), *map(blank, first), *map(words_alone, rest)]
