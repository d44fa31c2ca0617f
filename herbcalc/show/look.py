"""Floor 5. What a lesson gives to the one Panel. No widget and no picture is made here.

A lesson module (`lesson03.py`, `lesson05.py` ...) holds sums put into words and nothing else:

    LESSON = 5                       its number in the workbook
    TITLE = "The plant brings its own water"
    QUESTION = "What will the jar end at?"     asked aloud, before anything is shown
    GUESSES = ("under 25", "25 to 35", ...)    three or four bands for the hands of the class
    CAUTION = "..."                  one line for the moment of use, or ""
    Setting                          a frozen dataclass whose fields are `dial(...)` and `pick(...)`
    SCENES = scenes("lesson05", Setting)       three to eight, from data/story.toml; the first is where it starts
    look(setting, rules, view=View()) -> Look  pure: same setting, same Look; raises our refusals and nothing else
    BOTH_RULES = False               optional; for a lesson in which no alcohol is diluted: it has one rule only
    difference(a, b, view) -> str    optional; two Looks in words. Without it the Panel compares the numbers
    used(setting) -> set of names    optional; the dials that count in this setting. The Panel puts the others away

`look` computes with herbcalc's sums, says every weight and volume through `view.say(number, unit)`, which gives both
systems of units with the wanted one first, and gives both rules (kitchen and measured) with their difference.
`view.rule` says which of the two stands first. A strength that the Look's verdict rests on comes from `rules.floor`.

`Look.draw(board)` gets the panel's own drawing board (see `figures.Board`), which keeps its artists between calls:
call the same methods with the same keys each time, and the artists are moved. Text on the board is short. On
`board.narrow` (two settings side by side) draw the main picture alone. `Look.before(board)` draws what may be seen
before the class has guessed; without it the picture stays away until then.

>>> @dataclass(frozen=True)
... class Setting:
...     herb: float = dial(100, "g", low=20, high=500, step=5, label="Fresh plant", batch="herb")
...     spirit: float = pick(40, {40: "vodka, 40 % vol", 95: "grain spirit, 95 % vol"}, label="Spirit")
>>> [(c.name, c.title(), c.kind) for c in controls(Setting)]
[('herb', 'Fresh plant (g)', 'weight'), ('spirit', 'Spirit', '')]
"""

from __future__ import annotations

import dataclasses
import functools
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any

from herbcalc.units import OutOfRange, Q, amount, spoken, ureg

# The kind of amount a person may type for each unit a dial can have; the words `amount` knows it by.
KINDS = {
    "g": "weight",
    "kg": "weight",
    "mL": "volume",
    "L": "volume",
    "percent_vol": "strength",
    "percent_wb": "moisture",
    "mL/g": "ratio",
    "kept": "ratio",
    "degC": "temperature",
    "delta_degC": "difference",
    "hour": "time",
    "day": "time",
    "share": "share",
    "money": "money",
    "": "count",
}
KITCHEN = ("g", "kg", "mL", "L", "degC", "delta_degC")  # units with a twin in the kitchen
UNIT_WORDS = {"percent_vol": "% vol", "percent_wb": "%", "degC": "°C", "hour": "hours", "day": "days"}
UNIT_WORDS |= dict.fromkeys(("mL/g", "kept"), "mL for each g")


@dataclass(frozen=True)
class View:
    """How a class wants to be told: `units` "metric" or "kitchen" first, `rule` "kitchen" or "measured" first."""

    units: str = "metric"
    rule: str = "kitchen"

    def say(self, number: float, unit: str, round: str = "near") -> str:
        """An amount in words, both systems of units where there are two, the wanted one first.

        `number` is in `unit` (g, mL, degC, percent_vol ...); `round` is "near", "up" or "down".

        >>> View().say(200, "mL")
        '200 mL (6 3/4 fl oz)'
        >>> View(units="kitchen").say(200, "mL")
        '6 3/4 fl oz (200 mL)'
        """
        quantity = Q(float(number), unit)
        if self.units == "kitchen" and unit in KITCHEN:
            return f"{spoken(quantity, 'kitchen', round)} ({spoken(quantity, 'metric', round)})"
        return spoken(quantity, round=round)

    def pair(self, number: float, unit: str, round: str = "near") -> tuple[str, str]:
        """The same amount twice: in the wanted system for a large number, in the other one for the line below it.

        >>> View().pair(80, "mL")
        ('80 mL', '2 3/4 fl oz')
        """
        metric = spoken(Q(float(number), unit), "metric", round)
        if unit not in KITCHEN:
            return metric, ""
        kitchen = spoken(Q(float(number), unit), "kitchen", round)
        return (kitchen, metric) if self.units == "kitchen" else (metric, kitchen)

    def first(self, kitchen: float, measured: float) -> float:
        """The number of the rule that stands first."""
        return kitchen if self.rule == "kitchen" else measured

    def other(self) -> str:
        """The name of the rule that stands second."""
        return "measured" if self.rule == "kitchen" else "kitchen rule"


@dataclass(frozen=True)
class Number:
    """One of the at most four large numbers: what it is, its value in words, a smaller line.

    `amount` (in `unit`) lets two settings be compared; leave it out where a difference says nothing.
    """

    label: str
    value: str
    note: str = ""
    amount: float | None = None
    unit: str = ""


@dataclass(frozen=True)
class Look:
    """All that is to be seen of one setting.

    `sentence` says what the picture says; `given` says what is set and keeps the answer back; `table` is rows of
    texts, the first holds the heads; `ways_out` are sentences on what would work; `caution` is a
    line that this setting calls for beside the lesson's own; it and the ways out come with the answer.
    """

    sentence: str
    numbers: Sequence[Number]
    alt: str
    table: Sequence[Sequence[str]]
    draw: Callable[[Any], None]
    given: str = ""
    before: Callable[[Any], None] | None = None
    ways_out: Sequence[str] = ()
    caution: str = ""


@dataclass(frozen=True)
class Scene:
    """A setting with a name. A scene with a question of its own hides the answer when it is opened."""

    name: str
    setting: Any
    question: str = ""
    guesses: Sequence[str] = ()


@dataclass(frozen=True)
class Control:
    """One field of a Setting, as the Panel reads it."""

    name: str
    label: str
    unit: str = ""
    low: float = 0.0
    high: float = 1.0
    step: float = 1.0
    kind: str = ""
    batch: str = ""
    stops: Sequence[float] | str = ()
    options: Mapping[Any, str] | None = None

    def title(self) -> str:
        """The label with its unit."""
        words = UNIT_WORDS.get(self.unit, self.unit)
        return f"{self.label} ({words})" if words and words not in ("share", "money") else self.label

    def read(self, typed: str) -> float:
        """The number, in the dial's unit, of what a person typed; a refusal says what would work.

        >>> round(Control("herb", "Fresh plant", "g", 20, 500, kind="weight").read("7 oz"), 3)
        198.447
        """
        text = typed.strip()
        if self.kind == "strength":
            _only_for_drinking(text)
        try:
            bare = float(text.replace(",", ".")) if text.count(",") + text.count(".") <= 1 else None
        except ValueError:
            bare = None
        # A bare number in a box that names its unit is in that unit.
        number = bare if bare is not None else self._in_unit(amount(text, self.kind))
        if not self.low - 1e-9 <= number <= self.high + 1e-9:
            low, high = (self._end(end) for end in (self.low, self.high))
            raise OutOfRange(
                f"{self.label}: you typed {typed.strip()[:40]}, and this dial goes from {low} to {high}. Something "
                "in between would work."
            )
        return number

    def _end(self, number: float) -> str:
        """An end of the dial, in both systems of units where there are two."""
        if self.unit in KITCHEN:
            return spoken(Q(float(number), self.unit))
        words = UNIT_WORDS.get(self.unit, self.unit)
        return f"{number:g}" if words in ("", "share", "money") else f"{number:g} {words}"

    def _in_unit(self, quantity: Any) -> float:
        if self.unit in ("share", "money", ""):
            return float(quantity.to(ureg.dimensionless).magnitude)
        return float(quantity.to("mL/g" if self.unit == "kept" else self.unit).magnitude)


# What people reach for because it is cheap, and what must never be in a jar.
NOT_FOR_JARS = ("rubbing", "isoprop", "surgical", "methyl", "methanol", "denatured", "meths", "gel", "fuel", "wood")


def _only_for_drinking(typed: str) -> None:
    """Stop at a liquid that is poison, whatever its strength."""
    if any(word in typed.lower() for word in NOT_FOR_JARS):
        raise OutOfRange(
            f"Stop. You typed {typed[:40]}, and that is poison in a jar, at any strength and after any waiting. Only "
            "food-grade ethanol, sold for drinking, works here: vodka or grain spirit, such as 40 % vol."
        )


def dial(
    default: float,
    unit: str = "",
    *,
    low: float,
    high: float,
    step: float,
    label: str,
    batch: str = "",
    stops: Sequence[float] | str = (),
) -> Any:
    """A field of a Setting that is a number on a slider with a typed twin.

    `unit` is one of KINDS: "g", "mL", "percent_vol", "percent_wb", "mL/g", "degC" ..., "kept" (mL that each g
    keeps, said as an amount and not as a ratio), "share", "money" or "" (a count); default, low, high and
    step are in it. `batch` names the figure in the person's own batch that this is ("herb", "water", "ratio",
    "spirit", "menstruum", "retained"). `stops` are values that get a button of their own; "shelf" stands for the
    strengths on the local shelves, a house rule.
    """
    if unit not in KINDS:
        raise KeyError(f"no dial is known for the unit {unit!r}")
    facts = {
        "label": label,
        "unit": unit,
        "low": low,
        "high": high,
        "step": step,
        "kind": KINDS[unit],
        "batch": batch,
        "stops": stops,
    }
    return field(default=default, metadata=facts)


def pick(default: Any, options: Sequence[str] | Mapping[Any, str], *, label: str, batch: str = "") -> Any:
    """A field of a Setting that is one of a few named choices; `options` are names, or values with their names."""
    named = dict(options) if isinstance(options, Mapping) else {name: name for name in options}
    if default not in named:
        raise KeyError(f"{default!r} is none of the choices of {label!r}")
    return field(default=default, metadata={"label": label, "options": named, "batch": batch})


def controls(setting: Any) -> list[Control]:
    """The controls of a Setting class (or of one Setting), in order."""
    return [Control(name=f.name, **f.metadata) for f in dataclasses.fields(setting)]


def as_setting(kind: type, values: Mapping[str, Any], start: Any = None) -> tuple[Any, list[str]]:
    """A Setting from plain values (from a file, or the person's batch), and a sentence for each value left aside.

    A value outside its dial is left aside, as is one whose field is gone; the rest comes from `start`.
    """
    known = {c.name: c for c in controls(kind)}
    good: dict[str, Any] = {}
    aside: list[str] = []
    for name, value in values.items():
        control = known.get(name)
        if control is None:
            aside.append(f'"{name}" is not a dial of this lesson any more, so it was left aside.')
        elif control.options is not None:
            if value in control.options:
                good[name] = value
            else:
                aside.append(f"{control.label}: {value} is not one of the choices here, so it stays as it was.")
        elif isinstance(value, (int, float)) and not isinstance(value, bool) and control.low <= value <= control.high:
            good[name] = value
        else:
            aside.append(
                f"{control.label}: {value} does not fit on this dial, which goes from {control.low:g} to "
                f"{control.high:g}, so it stays as it was."
            )
    return dataclasses.replace(start if start is not None else kind(), **good), aside


@functools.cache
def story() -> dict[str, Any]:
    """The invented story that all lessons share, from data/story.toml."""
    return tomllib.loads((files("herbcalc") / "data" / "story.toml").read_text(encoding="utf-8"))


def scenes(lesson: str, kind: type) -> tuple[Scene, ...]:
    """The named scenes of one lesson, from its table in data/story.toml; a value that does not fit is a KeyError."""
    made = []
    for row in story()[lesson]["scenes"]:
        setting, aside = as_setting(kind, row["setting"])
        if aside:
            raise KeyError(f"{lesson}, scene {row['name']!r}: {' '.join(aside)}")
        made.append(Scene(row["name"], setting, row.get("question", ""), tuple(row.get("guesses", ()))))
    return tuple(made)


def compare(a: Look, b: Look, view: View) -> str:
    """How setting B differs from setting A, in words, from their large numbers: what changed, and what did not."""
    changed, same = [], []
    first = {n.label: n for n in a.numbers}
    for number in b.numbers:
        other = first.get(number.label)
        if other is None or number.amount is None or other.amount is None:
            continue
        gap = number.amount - other.amount
        points = number.unit.startswith("percent")
        name = number.label[0].lower() + number.label[1:]
        if abs(gap) < (0.05 if points else 0.005):
            same.append(name)
            continue
        size = f"{abs(gap):.1f} points" if points else view.say(abs(gap), number.unit)
        changed.append(f"{name}: {size} {'more' if gap > 0 else 'less'}")
    if not changed and not same:
        return "A and B have nothing in common to compare."
    told = f"B against A: {'; '.join(changed)}." if changed else "B and A come out alike."
    return f"{told} Not changed: {', '.join(same)}." if changed and same else told
