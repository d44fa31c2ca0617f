"""Floor 4. How a homework item is written down: as data, with bare sums on plain numbers.

An item's sums read its figures by the short names of the course: `f.m`, `f.w`, `f.r`. Percentages are shares there
(80 % is 0.80), everything else is a number in the figure's own unit. Texts are templates: `{m}` becomes the figure
as it is said to a student. Nothing in this module knows whose numbers are drawn; `item.py` does that.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import SimpleNamespace
from typing import Any

LETTERS = "abcdefgh"
Figures = SimpleNamespace
Sum = Callable[[Figures], float]
Words = str | Callable[[Figures], str]
Outcome = str | Callable[[Figures, float], str]


@dataclass(frozen=True)
class Figure:
    """One drawn figure: its short name, its unit, and the whole numbers it may be.

    The value is one of `places` divided by `over`. `label` hides nothing: a figure without a unit and with a label
    of "" is a situation (which herb, which case) and is not shown among the figures. Figures drawn `in_turn` come
    equally often over the 99 numbers of a class.
    """

    name: str
    unit: str
    places: range | tuple[int, ...]
    over: int = 1
    shown: bool = True
    in_turn: bool = False

    def value(self, place: int) -> float:
        number = self.places[place]
        return number / self.over if self.over != 1 else float(number)

    @property
    def share(self) -> bool:
        """True where a sum reads the figure as a share of 1."""
        return self.unit.startswith("percent")


def plainly(call: Any, *given: Any) -> Any:
    """What a call of the lower floors gives for plain numbers, without the reading of units."""
    return call.plain(*given)


def bare(call: Any, *given: Any) -> float:
    """The same, as a plain number."""
    return float(plainly(call, *given))


def by_both_rules(call: Any, *given: Any) -> tuple[float, ...]:
    """The same by the kitchen rule and measured: the two ends of a right band."""
    return tuple(bare(call, *given, rule) for rule in ("kitchen", "measured"))


def grid(name: str, unit: str, low: int, high: int, step: int = 1, over: int = 1) -> Figure:
    """A figure that runs from `low` to `high` (both included) in equal whole steps, all divided by `over`."""
    return Figure(name, unit, range(low, high + 1, step), over)


def one_of(name: str, unit: str, *places: int, over: int = 1) -> Figure:
    """A figure that is one of a few whole numbers, all divided by `over`."""
    return Figure(name, unit, places, over)


def situation(name: str, count: int) -> Figure:
    """Which of `count` situations a student meets; counted from 0 and not shown as a figure."""
    return Figure(name, "", range(count), 1, shown=False)


def case(count: int, name: str = "case") -> Figure:
    """Which of `count` cases a student meets, each equally often in a class, so that no answer can be learnt."""
    return Figure(name, "", range(count), 1, shown=False, in_turn=True)


@dataclass(frozen=True)
class Want:
    """What is asked for: the kinds of amount that are read, the unit compared in, and how close is close enough.

    `tolerance` is a share of the right number, `within` an absolute width (temperatures), `exact` is for counts.
    `only` names the units that count in an item about changing units, `old` the unit it starts from. Words that match
    `drop` ("a minute", "points") are taken off what was typed before it is read, and `instead` put in their place.
    `scale` turns what was read into the unit compared in: shares are compared in parts of a hundred.
    """

    kinds: tuple[str, ...]
    unit: str
    said: str
    tolerance: float = 0.01
    within: float | None = None
    exact: bool = False
    only: tuple[str, ...] = ()
    old: str = ""
    drop: str = ""
    instead: str = ""
    scale: float = 1.0


WEIGHT = Want(("weight",), "g", "g")
VOLUME = Want(("volume",), "mL", "mL")
STRENGTH = Want(("strength",), "percent_vol", "% vol")
MOISTURE = Want(("moisture",), "percent_wb", "% water")
RATIO = Want(("ratio",), "mL/g", "1:x")
KEPT = Want(("ratio", "volume"), "mL/g", "mL/g")
SHARE = Want(("share",), "", "%", scale=100.0)
MONEY = Want(("money",), "", "$")
HOURS = Want(("time",), "hour", "h")
# Where turning one unit into the other is what is asked: an echo of the old one is no answer.
IN_G = replace(WEIGHT, only=("g", "kg"), old="oz")
IN_ML = replace(VOLUME, only=("mL", "L"), old="fl_oz")
PLANTS = Want(
    ("count",), "", "plants", exact=True, drop=r"(?<=\d) ?(?:whole )?(?:plants?|roots?)(?: to (?:dig|set|pick))?\b"
)
DROPS_TO_THE_ML = Want(
    ("count",),
    "",
    "drops to the mL",
    drop=r"\s*(?<![^\W\d_])(?:drops?|tropfen|gotas?)\b"
    r"|\s*(?:/|=|\b(?:to|for|per|pro|por|je|in|are|is|makes?)\b)\s*(?:(?:a|each|every|the|one)\s+|1\s*)?"
    r"(?:ml|millilit(?:er|re))\b\.?"
    r"|\s*\b(?:(?:a|each|every|the|one)\s+|1\s*)?(?:ml|millilit(?:er|re))\b\.?",
)
LEAVES = Want(("count",), "", "leaves", exact=True, drop=r"(?<=\d) ?(?:whole )?(?:leaves|leaf|leaflets?)\b")


@dataclass(frozen=True)
class Mistake:
    """A road that leads past the answer: what was done, the question to ask back, the sum, what would come of it.

    `sums` are the numbers that give it away (in the unit of the item); `so` is the consequence, worked with the
    figures and with the number that was typed (in the unit of the item).
    """

    id: str
    did: str
    hint: str
    sums: tuple[Sum, ...] = ()
    so: Outcome = ""
    twin: str = ""


def mistake(id: str, did: str, hint: str, *sums: Sum, so: Outcome = "", twin: str = "") -> Mistake:
    """A mistake with its sums listed one after the other. `twin` names the family that shares one hint."""
    return Mistake(id, did, hint, sums, so, twin)


@dataclass(frozen=True)
class Option:
    """One thing to choose: its words, and what to ask somebody who chose it without being right."""

    words: Words
    hint: str = ""
    id: str = ""
    did: str = ""
    so: Words = ""  # worked with the figures alone: nothing was typed but a letter


@dataclass(frozen=True)
class Near:
    """A second sum that counts as right, with the remark that goes with it."""

    sum: Sum
    remark: str


@dataclass(frozen=True)
class Ask:
    """One homework item as data.

    `kind` is "sum", "choice", "find the slip" or "sentence". `right` gives one number, or two (kitchen rule and
    measured) whose span is the right band. `allowed` leaves out figures that make no sense together. `path` is the
    worked path, which takes a `Walk` step by step; `other_paths` are honest ways beside it, which nobody is shown.
    `also` adds names to the texts that follow from the figures, `listed` adds rows of readings to the figures, each
    with its unit. `names_stay` where a plant stands with its botanical name: a class's own plants do not fit there.
    """

    lesson: int
    number: int
    kind: str
    prompt: Words
    figures: tuple[Figure, ...] = ()
    want: Want | None = None
    right: Callable[[Figures], float | tuple[float, ...]] | None = None
    near: tuple[Near, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    allowed: Callable[[Figures], bool] | None = None
    path: Callable[[Figures, Any], Any] | None = None
    other_paths: tuple[Callable[[Figures, Any], Any], ...] = ()
    options: tuple[Option, ...] = ()
    lines: Callable[[Figures], list[str]] | None = None
    answer: Callable[[Figures], Any] | None = None
    points: tuple[str, ...] = ()
    models: tuple[str, ...] = ()
    forwards: Words = ""
    quick: Callable[[Figures], list[tuple[str, str, str]]] | None = None
    also: Mapping[str, Callable[[Figures], str]] = field(default_factory=dict)
    listed: Mapping[str, tuple[Callable[[Figures], list[float]], str]] = field(default_factory=dict)
    pairs: Mapping[str, str] = field(default_factory=dict)
    edition: int = 1
    names_stay: bool = False

    @property
    def code(self) -> str:
        return f"{self.lesson}.{self.number}"
