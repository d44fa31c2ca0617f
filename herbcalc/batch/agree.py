"""Floor 3. Do the pages of a plan agree? Held against each other, never against one answer.

Where several figures do not fit each other, the one that most of them speak against is named, and what follows from
it is not told again: a mistake is told once, on the page where it arose.

What cannot be noticed: a plan that is carried through from another beginning (a stand counted amiss, a sample that
was not dry) agrees with itself; a choice that is poor but possible; what is off by less than whole pages may be (2 %,
or a kitchen step where that is coarser, so that ounces mixed up with fluid ounces pass below some 10 fl oz).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from copy import copy
from dataclasses import dataclass
from itertools import islice, product
from types import SimpleNamespace
from typing import Any, NamedTuple

import numpy as np

from herbcalc.batch.links import AFTER_RAIN, AGREE, FOLLOWS, LINKS, RAINED, WETTER, Link
from herbcalc.batch.pages import (
    GIVEN,
    PAGES,
    PLACES,
    RAIN,
    figure_said,
    step,
    taken,
    written_said,
)
from herbcalc.moisture import DRIED_TO
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible, OutOfRange
from herbcalc.units.saying import listed

# Where nothing was said.
USUAL = {"reading": "added", "method": "soak", "at_risk": False, "dried_to": float(DRIED_TO.magnitude)}
STEPS = ("weight", "volume")
CENT = 0.01
MOST_WAYS = 16  # of reckoning one figure
WIDE = 100.0  # how many times too large or too small a figure is sought


@dataclass(frozen=True)
class Clash:
    """Two pages that do not agree.

    page      where it arose, a name of `pages.PAGES`
    box       the amount, a name of `pages.PLACES`
    written   what stands there, in words, in both systems of units
    found     what the other pages make of it, in words, in both systems; "" where nothing can come of them
    sentence  both figures, which pages they are from, and what to look at
    """

    page: str
    box: str
    written: str
    found: str
    sentence: str


class _Tie(NamedTuple):
    """A link that was looked at: `box` as it is called in its column, what the others make of it, every amount
    that it rests on, and why nothing comes of them, where so."""

    link: Link
    column: str
    box: str
    right: tuple[float, ...]
    rests_on: frozenset[str]
    why: str


def check(plan: Mapping[str, Any], currency: str = "") -> list[Clash]:
    """Where the pages of a plan do not agree.

    plan      amounts, days and words by their names in `pages.PLACES`, as far as they are written
    currency  the sign before an amount of money

    Result: a list of Clash in the order of the pages, nothing where all that is written agrees: weights, volumes and
    money to 2 % or to the step by which they are written, counts to the whole, limits rounded to the safe side. What
    is not written is worked out from the rest, or not looked at. Refuses: WrongUnit, OutOfRange. Source: the sums of
    `batch`, `menstruum`, `maceration`, `moisture`, `harvest`.

    >>> from herbcalc.units import Q
    >>> plan = {"state": "dried", "method": "soak", "water": Q(80, "percent_wb"), "herb": Q(100, "g")}
    >>> check(plan | {"ratio": Q(5, "mL/g"), "menstruum": Q(500, "mL")})
    []
    >>> clash = check(plan | {"ratio": Q(5, "mL/g"), "menstruum": Q(20, "mL")})[0]
    >>> clash.page, clash.written, clash.found
    ('jar', '20 mL (4 tsp)', '500 mL (17 fl oz)')
    """
    return _Plan(plan, currency).clashes()


class _Plan:
    """The plan as written, in its two columns: as planned, and after rain."""

    def __init__(self, plan: Mapping[str, Any], currency: str) -> None:
        self.plan, self.currency = plan, currency
        self.written: dict[str, Any] = USUAL | taken(plan)
        self.days = next((type(value) for value in plan.values() if hasattr(value, "fromordinal")), None)

    # --- what stands where ---

    def name(self, name: str, column: str) -> str:
        """What an amount is called in a column; a basket that is not written anew is the one that was planned."""
        again = column and name in RAINED and not (name == "basket" and "rain_basket" not in self.written)
        return f"rain_{name}" if again else name

    def values(self, name: str, column: str) -> tuple[list[Any], frozenset[str]]:
        """What an amount may count as, and what is written that this rests on: itself, or what it follows from."""
        called = self.name(name, column)
        if called in self.written and not (column and name in FOLLOWS):
            return [self.written[called]], frozenset({called})
        if called == WETTER.box:
            return self._worked_out(WETTER, "")
        for link in LINKS:
            if link.box == name and (link.kind == "same" or link.else_so):
                found, rests_on = self._worked_out(link, column)
                if found:
                    return found, rests_on
        return [], frozenset()

    def _worked_out(self, link: Link, column: str) -> tuple[list[Any], frozenset[str]]:
        try:
            return self.sums(link, column)
        except (Impossible, OutOfRange):  # nothing comes of it, which is told where the link itself is looked at
            return [], frozenset()

    def sums(self, link: Link, column: str) -> tuple[list[float], frozenset[str]]:
        """Everything that is right for the box of a link, by every way of reckoning what it rests on."""
        there = {name: self.values(name, column) for name in link.of}
        rests_on = frozenset(link.if_there).intersection(self.plan).union(*(of for _, of in there.values()))
        others = {
            name: self.written[called] for name in PLACES if (called := self.name(name, column)) in self.written
        }
        found: list[float] = []
        for one in islice(product(*(values for values, _ in there.values())), MOST_WAYS):
            amounts = SimpleNamespace(**others | dict(zip(there, one, strict=True)), days=self.days)
            found += [float(number) for number in link.sum(amounts) if number not in found]
        return found[:MOST_WAYS], rests_on

    # --- what fits ---

    def ties(self) -> Iterator[_Tie]:
        """Every link that can be looked at: its box is written, and all that it rests on is known."""
        for link, column in (*((one, "") for one in (*LINKS, WETTER)), *((one, RAIN) for one in AFTER_RAIN)):
            box = self.name(link.box, column)
            if box not in self.plan or (column and not box.startswith(RAIN)):
                continue
            right: list[float] = []
            why, rests_on = "", frozenset(self.name(name, column) for name in link.of)
            try:
                right, rests_on = self.sums(link, column)
            except (Impossible, OutOfRange) as refusal:
                why = str(refusal)
            if right or why:
                yield _Tie(link, column, box, tuple(right), rests_on - {box}, why)

    def fits(self, tie: _Tie) -> bool:
        """Whether what is written goes with what the others make of it, as they stand or before they were rounded."""
        stands = [(right, right) for right in tie.right]
        return self._within(tie, stands, AGREE) or self._within(tie, self._unrounded(tie), 0.0)

    def _within(self, tie: _Tie, rights: Iterable[tuple[float, float]], off: float) -> bool:
        number = self.written[tie.box]
        spans = [(self._span(tie.box, low, off)[0], self._span(tie.box, high, off)[1]) for low, high in rights]
        if tie.link.kind == "most":
            return any(number <= high for _, high in spans)
        if tie.link.kind == "least":
            return any(number >= low for low, _ in spans)
        return any(low <= number <= high for low, high in spans)

    def _span(self, box: str, right: float, off: float) -> tuple[float, float]:
        """Between which figures an amount is written well: off by so large a share, then rounded up or down."""
        low, high = right * (1.0 - off), right * (1.0 + off)
        if not math.isfinite(right):
            return right, right
        kind = PLACES[box].kind
        if kind in ("count", "day", "share"):
            return right - SLACK, right + SLACK
        if kind == "strength":  # to the whole, promised to the whole below
            return min(low, math.floor(right)), max(high, right + 0.5)
        if kind == "moisture":
            dry = off * (100.0 - right) + 0.5
            return right - dry, right + dry
        if kind == "money":
            return low - CENT, high + CENT
        if kind in STEPS:
            return low - step(self.plan[box]), high + step(self.plan[box])
        return low, high

    def _unrounded(self, tie: _Tie) -> list[tuple[float, float]]:
        """Between what and what each way of reckoning comes, where one of the others was written a step less or more
        than it had been worked out."""
        ends = [[right] for right in tie.right]
        for name in tie.rests_on:
            by = self._step(name)
            for moved in (-by, by) if by else ():
                rights = self._with(name, self.written[name] + moved)._worked_out(tie.link, tie.column)[0]
                for end, right in zip(ends, rights, strict=False):
                    end.append(right)
        return [(min(end), max(end)) for end in ends]

    def _step(self, name: str) -> float:
        """The step by which an amount is written, up or down to the safe side: 0 for what is written as it is."""
        kind, number = PLACES[name].kind, self.written[name]
        if PLACES[name].page == GIVEN:
            return 0.0
        if kind == "moisture":
            return 0.5 if float(number).is_integer() else 0.05
        return min(step(self.plan[name]), number / 2.0) if kind in STEPS else 0.0

    def _with(self, name: str, number: float) -> _Plan:
        """The same plan with another figure in one place."""
        other = copy(self)
        other.written = self.written | {name: number}
        return other

    # --- where it arose ---

    def clashes(self) -> list[Clash]:
        """Each mistake once, in the order of the pages."""
        ties = list(self.ties())
        broken = self._once([tie for tie in ties if not self.fits(tie)])
        fit = [tie for tie in ties if tie not in broken and tie.link.kind == "same"]
        sound = Counter(name for tie in fit for name in (tie.box, *tie.rests_on))
        before = {tie.box: tie.rests_on for tie in ties if tie.link.kind == "same"}
        found = []
        while broken:
            box = _spoken_against(broken, sound, before)
            found.append(self._told(box, [tie for tie in broken if box in _suspects(tie, before)]))
            broken = [tie for tie in broken if box not in _suspects(tie, before)]
        return sorted(found, key=lambda clash: list(PLACES).index(clash.box))

    def _once(self, broken: list[_Tie]) -> list[_Tie]:
        """Without what only stands again after rain as it was planned: it is told where it was planned."""
        planned = {tie.link for tie in broken if not tie.column}
        return [
            tie
            for tie in broken
            if not (tie.column and tie.link in planned and self.written[tie.box] == self.written[tie.link.box])
        ]

    def _told(self, box: str, against: list[_Tie]) -> Clash:
        own = [tie for tie in against if tie.box == box]
        tie = min(own or against, key=lambda one: one.link.kind != "same")
        head, page = PLACES[box].head, tie.link.page if own and tie.link.page else PLACES[box].page
        written = written_said(box, self.plan[box], self.currency)
        begins = f"{PAGES[page]}, {head}: you wrote {written}."
        if tie.why:
            return Clash(page, box, written, "", f"{begins} {tie.why}")
        right = self._said(tie.box, tie.right[0])
        if own:
            from_ = self._listed(tie.rests_on)
            return Clash(page, box, written, right, f"{begins} From {from_} {_comes(tie, right)}. {tie.link.look}")
        meant = self._meant(box, tie)
        found = "" if meant is None else self._said(box, meant)
        there = f"{PLACES[tie.box].head}, on the page {PAGES[PLACES[tie.box].page]}"
        most = "at most " if PLACES[tie.box].kind == "count" and PLACES[box].kind != "count" else ""
        ends = f"For what stands there it would be {most}{found}. " if found else ""
        stands = written_said(tie.box, self.plan[tie.box], self.currency)
        return Clash(
            page,
            box,
            written,
            found,
            f"{begins} With that, {there}, comes to {right}, and there stands {stands}. {ends}{tie.link.look}",
        )

    def _said(self, box: str, number: float) -> str:
        return figure_said(box, number, self.plan.get(box), self.currency)

    def _listed(self, names: frozenset[str]) -> str:
        """What a figure rests on, page by page, each with what is written there."""
        pages: dict[str, list[str]] = {}
        for name in PLACES:
            if name in names and name in self.plan and PLACES[name].kind != "words":
                text = f"{PLACES[name].head} {written_said(name, self.plan[name], self.currency)}"
                pages.setdefault(PAGES[PLACES[name].page], []).append(text)
        told = [f"the page {page} ({'; '.join(texts)})" for page, texts in pages.items()]
        return listed(told) if told else "what you chose"

    def _meant(self, box: str, tie: _Tie) -> float | None:
        """What would have to stand in a box for a tie to fit; None where nothing near would do."""

        def off(number: float) -> float:
            found, _ = self._with(box, number)._worked_out(tie.link, tie.column)
            return found[0] - self.written[tie.box] if found else math.nan

        tried = self.written[box] * np.geomspace(1.0 / WIDE, WIDE, 81)
        signs = np.sign([off(number) for number in tried])
        fit = np.flatnonzero(signs == 0.0)
        if fit.size:  # a count: it fits over a stretch, up to where the next begins
            return float(_last(tried[fit[-1]], tried[min(fit[-1] + 1, len(tried) - 1)], lambda at: off(at) == 0.0))
        turns = np.flatnonzero(np.abs(np.diff(signs)) == 2.0)
        if not turns.size:
            return None
        low, high = tried[turns[0]], tried[turns[0] + 1]
        return float(_last(low, high, lambda at: np.sign(off(at)) == signs[turns[0]]))


def _last(low: float, high: float, so: Callable[[float], bool]) -> float:
    """Up to where it is so, between one number at which it is and one at which it is no more."""
    for _ in range(40):
        middle = (low + high) / 2.0
        low, high = (middle, high) if so(middle) else (low, middle)
    return low


def _comes(tie: _Tie, right: str) -> str:
    """What the others make of it, in words: so much, or no more, or no less."""
    less, more = ("earlier", "later") if PLACES[tie.box].kind == "day" else ("less", "more")
    ends = {"same": "", "most": f" or {less}", "least": f" or {more}"}
    return f"it comes to {right}{ends[tie.link.kind]}"


def _suspects(tie: _Tie, before: Mapping[str, frozenset[str]]) -> set[str]:
    """Every box that a broken tie speaks against: its own and what it rests on, behind a limit all the way back."""
    behind = before if tie.link.kind != "same" else {}
    found: set[str] = set()
    row = [tie.box, *tie.rests_on]
    while row:
        name = row.pop()
        if name not in found:
            found.add(name)
            row += behind.get(name, ())
    return {name for name in found if PLACES[name].page != GIVEN and PLACES[name].kind != "words"}


def _spoken_against(broken: list[_Tie], sound: Counter[str], before: Mapping[str, frozenset[str]]) -> str:
    """The box that most broken ties speak against; of several the one that is worked out and not chosen, that fewest
    others bear out, that stands first. What is chosen comes into it only where more speaks against it than for it."""
    against = Counter(name for tie in broken for name in _suspects(tie, before))
    worked_out = {tie.box for tie in broken}
    order = list(PLACES)
    heard = [name for name in against if name in worked_out or against[name] > max(1, sound[name])]
    return max(heard, key=lambda name: (against[name], name in worked_out, -sound[name], -order.index(name)))
