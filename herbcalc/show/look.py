"""Floor 5. What a lesson gives to the one Panel. No widget and no picture is made here.

A lesson module (`lessons/lesson03.py`, `lesson05.py` ...) holds sums put into words and nothing else. A lesson may
have further panels, each a module of its own beside it (`lesson03_room.py`, which `here.panel("room")` opens):

    LESSON = 5                       its number in the workbook
    TITLE = "The plant brings its own water"
    CAUTION = "..."                  one line for the moment of use, or ""
    Setting                          a frozen dataclass whose fields are `dial(...)`, `pick(...)` and `told(...)`
    look(setting, rules, view=View()) -> Look  pure: same setting, same Look; raises our refusals and nothing else;
                                     a `Stop` is said at once, the others wait for the guess
    BOTH_RULES = False               optional; for a lesson in which no alcohol is diluted: it has one rule only
    used(setting) -> set of names    optional; the dials that count in this setting. The Panel puts the others away
    PART = "room"                    only in a further panel: its name, as in its file's

Its scenes stand in `data/story.toml` (see `story.py`): each names its question, which of the Look's numbers answers
it, and the bands in which the class may guess.

`look` computes with herbcalc's sums, says every weight and volume through `view`, which gives both systems of units
with the wanted one first, and gives both rules (kitchen and measured) with their difference. A strength that the
verdict rests on comes from `rules.floor`.

`Look.left` draws the main picture in a place on a board (see `draw.board`): before the class has guessed with
`answer` False, so that nothing gives the answer away. `Look.right` draws the chart beside it, once the answer shows.
The board keeps its artists between calls: call the same methods with the same keys each time, and they are moved.

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
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import ModuleType
from typing import Any

from herbcalc import ethanol, moisture
from herbcalc.units import OutOfRange, Q, WrongUnit, amount, spoken, ureg, words
from herbcalc.units.constants import SLACK
from herbcalc.units.reading import turned_round
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import sides
from herbcalc.units.words import KIND_OF

MOST_HERB, MOST_LIQUID = 5450.0, 20000.0  # g and mL that may be typed: 12 lb, and some 5 gallons
BY = {"kitchen": "by the kitchen rule", "measured": "measured"}
COUNTED = ("plants", "jars", "tins", "bottles", "students")  # whole ones
OWN_UNITS = ("points", "times", *COUNTED)  # what a number can be in and no dial
SAFE = {"near": "", "up": "at least ", "down": "at most "}  # what is said before a number rounded to the safe side


def key_of(lesson: ModuleType, digits: int = 1) -> str:
    """By which name a panel's scenes and what was kept of it are found: "3", or "3_room" of a further one.

    `digits` is how many its number has at least: "03_room".
    """
    part = getattr(lesson, "PART", "")
    return f"{lesson.LESSON:0{digits}d}" + (f"_{part}" if part else "")


def unit_words(unit: str) -> str:
    """What stands in brackets behind the label of a dial; a moisture's label says of what it is.

    >>> unit_words("percent_wb"), unit_words("kept"), unit_words("share")
    ('%', 'mL for each g', '')
    """
    return "%" if unit == "percent_wb" else words.words(unit)


def _quantity(number: float, unit: str, round: str = "near") -> Any:
    """An amount to be said; what only rounding left over is nothing.

    What is rounded to the safe side is first brought to what the metric side says, so that both sides say one amount.
    """
    quantity = Q(0.0 if abs(number) < SLACK else float(number), unit)
    if round == "near" or not words.has_twin(unit):
        return quantity
    return amount(spoken(quantity, "metric", round).replace(",", ""))


# One move of a dial says the same amount in the sentence, the picture and the tiles, and those of A each time again.
@functools.lru_cache(maxsize=2048)
def _spoken(number: float, unit: str, round: str, first: str) -> str:
    return spoken(_quantity(number, unit, round), "both", round, first)


@functools.lru_cache(maxsize=2048)
def _sides(number: float, unit: str, round: str) -> tuple[str, str]:
    return sides(_quantity(number, unit, round), round)


class Stop(Impossible):
    """A refusal for somebody's safety: it is said at once, whether or not anybody has guessed, and no scene asks for
    it. `ways_out` as with the other."""


@dataclass(frozen=True)
class View:
    """How a class wants to be told: `units` "metric" or "kitchen" first, `rule` "kitchen" or "measured" first.

    `own` is the drying curve of a weighing log of one's own, None until one was drawn: the panel of the room tells
    its hours.
    """

    units: str = "metric"
    rule: str = "kitchen"
    own: Any = None

    def say(self, number: float, unit: str, round: str = "near") -> str:
        """An amount in words, both systems of units where there are two, the wanted one first.

        `number` is in `unit` (g, mL, degC, percent_vol ...); `round` is "near", "up" or "down".

        >>> View().say(200, "mL")
        '200 mL (6 3/4 fl oz)'
        >>> View(units="kitchen").say(200, "mL")
        '6 3/4 fl oz (200 mL)'
        """
        return _spoken(float(number), unit, round, "kitchen" if self.units == "kitchen" else "given")

    def pair(self, number: float, unit: str, round: str = "near") -> tuple[str, str]:
        """The same amount twice: in the wanted system for a large number, in the other one for the line below it.

        >>> View().pair(80, "mL")
        ('80 mL', '2 3/4 fl oz')
        """
        metric, kitchen = _sides(float(number), unit, round)
        return (kitchen, metric) if kitchen and self.units == "kitchen" else (metric, kitchen)

    def number(
        self, key: str, label: str, amount: float, unit: str, ask: str = "", note: str = "", round: str = "near"
    ) -> Number:
        """A large number from an amount in `unit`: the wanted system, and the other one (or `note`) below.

        What is rounded to the safe side says so: "at least", "at most".

        >>> View().number("weighs", "Weighs now", 400.0, "g").value
        '400 g'
        >>> View().number("ready", "Have ready", 650.2, "mL", round="up").value
        'at least 651 mL'
        """
        value, other = self.pair(amount, unit, round)
        return Number(label, SAFE[round] + value, note or other, amount, unit, key, ask)

    def safe(self, number: float, unit: str, round: str) -> str:
        """An amount rounded to the safe side, which says so.

        >>> View().safe(650.2, "mL", "up")
        'at least 651 mL (22 fl oz)'
        """
        return SAFE[round] + self.say(number, unit, round)

    def asked(self, unit: str) -> str:
        """A "?" in a unit, of the wanted system where there are two.

        >>> View().asked("g"), View(units="kitchen").asked("mL"), View().asked("percent_vol"), View().asked("ratio")
        ('? g', '? fl oz', '? % vol', '1:?')
        """
        if unit in ("ratio", "mL/g"):
            return "1:?"
        if self.units == "kitchen" and words.has_twin(unit):
            unit = {"weight": "oz", "volume": "fl_oz", "temperature": "degF"}.get(KIND_OF[unit], unit)
        return f"? {unit if unit in OWN_UNITS else unit_words(unit)}".strip()

    def first(self, kitchen: float, measured: float) -> float:
        """The number of the rule that stands first."""
        return kitchen if self.rule == "kitchen" else measured

    def rules(self) -> tuple[str, str]:
        """The two rules as the sums know them, the one that stands first in front."""
        return ("kitchen", "measured") if self.rule == "kitchen" else ("measured", "kitchen")

    def by(self) -> tuple[str, str]:
        """The same in words that end a sentence.

        >>> View(rule="measured").by()
        ('measured', 'by the kitchen rule')
        """
        first, second = self.rules()
        return BY[first], BY[second]

    def other(self) -> str:
        """The name of the rule that stands second."""
        return "measured" if self.rule == "kitchen" else "kitchen rule"


@dataclass(frozen=True)
class Number:
    """One of the large numbers: what it is, its value in words, a smaller line.

    `amount` (in `unit`) lets it be compared and found in a band of guesses; None where there is no figure ("none").
    `key` is the name by which a scene asks for it, `ask` the end of a question about it: "how strong is it then?".
    `other` is the same amount by the rule that stands second, where the two differ.
    """

    label: str
    value: str
    note: str = ""
    amount: float | None = None
    unit: str = ""
    key: str = ""
    ask: str = ""
    other: float | None = None


@dataclass(frozen=True)
class Look:
    """All that is to be seen of one setting.

    `sentence` says what the picture says; `given` says what is set and keeps the answer back; `short` says it in
    few words, to be followed by a question; `numbers` are what can be asked for, of which the first four are shown;
    `table` is rows of texts, the first holds the heads; `ways_out` are sentences on what would work; `caution` is a
    line that this setting calls for beside the lesson's own; it and the ways out come with the answer. `share` is how
    much of the width `left` takes.
    """

    sentence: str
    numbers: Sequence[Number]
    alt: str
    table: Sequence[Sequence[str]]
    left: Callable[[Any, Any, bool], None]
    right: Callable[[Any, Any], None]
    given: str = ""
    short: str = ""
    share: float = 0.5
    ways_out: Sequence[str] = ()
    caution: str = ""

    def number(self, key: str) -> Number:
        """The number of that name (KeyError where there is none); for "" the first."""
        if not key:
            return self.numbers[0]
        return {n.key: n for n in self.numbers}[key]


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
    stops: Sequence[float | str] | str = ()
    options: Mapping[Any, str] | None = None
    most: float = 0.0  # how much may be typed, where that is more than the slider reaches
    told: bool = False  # a box that is empty until a person types what they were told
    wants: str = ""  # what such a box takes, in words
    counted: str = ""  # and what may stand behind its number, a pattern: "30 drops" is no number of times

    def title(self) -> str:
        """The label with its unit."""
        words = unit_words(self.unit)
        return f"{self.label} ({words})" if words else self.label

    @property
    def end(self) -> float:
        """The most that may be typed."""
        return max(self.high, self.most)

    def read(self, typed: str) -> float:
        """The number, in the dial's unit, of what a person typed; a refusal says what would work.

        A bare number in a box that names its unit is in that unit. A strength by weight and a moisture of the dry
        weight are turned into the box's own kind.

        >>> round(Control("herb", "Fresh plant", "g", 20, 500, kind="weight").read("7 oz"), 3)
        198.447
        >>> round(Control("spirit", "Spirit", "percent_vol", 20, 96, kind="strength").read("33 % by weight"), 1)
        39.7
        >>> Control("water", "Water", "percent_wb", 5, 95, kind="moisture").read("400 % db")
        80.0
        """
        text = self._of_what_was_told(typed.strip()) if self.told else typed.strip()
        if self.kind == "strength":
            _only_for_drinking(text)
        try:
            bare = float(text.replace(",", ".")) if text.count(",") + text.count(".") <= 1 else None
        except ValueError:
            bare = None
        if self.kind == "ratio" and (said := turned_round(text)):
            raise OutOfRange(said)
        number = bare if bare is not None else self._in_unit(amount(text, self.kind))
        if not self.low - SLACK <= number <= self.end + SLACK:
            low, high = (self._said(end) for end in (self.low, self.end))
            raise OutOfRange(
                f"{self.label}: you typed {text[:40]}, and here it goes from {low} to {high}. Something in between "
                "would work."
            )
        if self.kind == "count" and abs(number - round(number)) > SLACK:
            raise OutOfRange(
                f"{self.label}: you typed {text[:40]}, and this is counted. A whole number would work, such as "
                f"{math.floor(number)} or {math.ceil(number)}."
            )
        return number

    def _of_what_was_told(self, text: str) -> str:
        """The number of a told amount, without the words that this box alone takes behind it; a volume as it is.

        Elsewhere "5 plants" may be typed as 5, and a bare 5 is in the box's unit. Here "two pills" would be two
        drops, and "30", which was drops, 30 mL.

        >>> Control("times", "Times a day", high=24, kind="count", told=True, counted="times").read("3 times")
        3.0
        """
        bare = re.fullmatch(r"[\d.,\s]+", text)
        if self.unit and bare:
            raise WrongUnit(f"{self.label}: {text[:40]} has no unit. With its unit it can be read.")
        number = re.sub(rf"\s*(?:{self.counted})\s*$", "", text, flags=re.IGNORECASE) if self.counted else text
        if not self.unit and not re.fullmatch(r"[\d.,]+|[a-z]+(?:-[a-z]+)?", number, re.IGNORECASE):
            raise WrongUnit(f"{self.label}: {text[:40]} is more than one number of what is counted here.")
        return number

    def _said(self, number: float) -> str:
        """An end of the dial, in both systems of units where there are two."""
        if words.has_twin(self.unit):
            return spoken(Q(float(number), self.unit))
        return f"{number:g} {unit_words(self.unit)}".strip()

    def _in_unit(self, quantity: Any) -> float:
        if self.unit in ("share", "money", ""):
            return float(quantity.to(ureg.dimensionless).magnitude)
        if self.unit in ("percent_vol", "proof") and quantity.is_compatible_with("percent_mass"):
            quantity = ethanol.to_volume(quantity)
        if self.unit == "percent_wb" and quantity.is_compatible_with("percent_db"):
            quantity = moisture.to_wet_basis(quantity)
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
    stops: Sequence[float | str] | str = (),
    most: float = 0.0,
) -> Any:
    """A field of a Setting that is a number on a slider with a typed twin.

    `unit` is one of `units.words`: "g", "mL", "percent_vol", "percent_wb", "mL/g", "degC" ..., "kept" (mL that each g
    keeps, said as an amount and not as a ratio), "share", "money" or "" (a count); default, low, high and step are in
    it. `batch` names the figure in the person's own batch that this is ("herb", "water", "ratio", "spirit",
    "menstruum", "retained"). `stops` are values that get a button of their own, or names of house rules; "shelf"
    stands for the strengths on the local shelves. `most` is how much may be typed beyond the slider's end.
    """
    if unit not in KIND_OF:
        raise KeyError(f"no dial is known for the unit {unit!r}")
    facts = {
        "label": label,
        "unit": unit,
        "low": low,
        "high": high,
        "step": step,
        "kind": KIND_OF[unit],
        "batch": batch,
        "stops": stops,
        "most": most,
    }
    return field(default=default, metadata=facts)


def marc_keeps(*stops: float | str, label: str = "The marc keeps") -> Any:
    """The dial of what the marc keeps, with a button for each house rule of it; `stops` come before those."""
    house = ("retained_by_hand", "retained", "retained_pressed")
    return dial(1.5, "kept", low=0.1, high=5, step=0.05, label=label, batch="retained", stops=(*stops, *house))


def pick(default: Any, options: Sequence[str] | Mapping[Any, str], *, label: str, batch: str = "") -> Any:
    """A field of a Setting that is one of a few named choices; `options` are names, or values with their names."""
    named = dict(options) if isinstance(options, Mapping) else {name: name for name in options}
    if default not in named:
        raise KeyError(f"{default!r} is none of the choices of {label!r}")
    return field(default=default, metadata={"label": label, "options": named, "batch": batch})


def told(unit: str = "", *, low: float, high: float, step: float, label: str, wants: str, counted: str = "") -> Any:
    """A field of a Setting that only a person can fill: None until somebody types what they were told.

    It has a box and no slider, and nothing is ever put into it: an amount to take is entered, never proposed. `unit`
    is one of `units.words`, and low, high and step (what it is counted in) are in it. `wants` says what the box
    takes, with no amount in it; `counted` is a pattern of the words that may stand behind a count.
    """
    facts = {"label": label, "unit": unit, "low": low, "high": high, "step": step, "kind": KIND_OF[unit]}
    return field(default=None, metadata={**facts, "told": True, "wants": wants, "counted": counted})


def controls(setting: Any) -> list[Control]:
    """The controls of a Setting class (or of one Setting), in order."""
    return list(_controls(setting if isinstance(setting, type) else type(setting)))


@functools.cache
def _controls(kind: type) -> tuple[Control, ...]:
    return tuple(Control(name=f.name, **f.metadata) for f in dataclasses.fields(kind))


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
            aside.append(f'"{name[:40]}" is not a dial of this lesson any more, so it was left aside.')
        elif control.options is not None:
            if isinstance(value, (str, int, float)) and value in control.options:
                good[name] = value
            else:
                aside.append(
                    f"{control.label}: {str(value)[:40]} is not one of the choices here, so it stays as it was."
                )
        elif control.told:
            good[name] = None  # what a person was told is typed each time: no file may put an amount there
        elif isinstance(value, (int, float)) and not isinstance(value, bool) and control.low <= value <= control.end:
            good[name] = value
        else:
            aside.append(
                f"{control.label}: {str(value)[:40]} does not fit on this dial, which goes from {control.low:g} to "
                f"{control.end:g}, so it stays as it was."
            )
    return dataclasses.replace(start if start is not None else kind(), **good), aside
