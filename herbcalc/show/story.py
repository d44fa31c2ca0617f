"""Floor 5. The scenes of the lessons, from data/story.toml: each a setting, a question, and the bands to guess in.

    [[lesson05.scenes]]
    name = "Lemon balm in vodka, 1:2 (invented)"
    question = "Fresh leaf, 80 % water, in vodka, 1:2. How strong does it end?"
    asks = "end"                       the key of the Look's number that answers
    edges = [25, "floor", 40]          where one band ends and the next begins, in the number's unit
    none = "no water can"              optional: the band for "there is no such figure"
    drag = "ratio"                     the dial to drag first
    teacher = "They will say 40 ..."   one line for the teacher's own window
    setting = { herb = 100, water = 80, ratio = 2, spirit = 40 }

The scenes of a further panel (`lesson03_room.py`) stand under its own name, `[[lesson03_room.scenes]]`.
A value or an edge may be the name of a house rule ("floor", "retained"), or "strongest" for the top of the shelf:
then it follows the class.toml of the class. So do the names of plants, where a class has its own (person/plants.py).
The bands meet at their edges and reach as far as any figure can, so that every answer is in exactly one of them.
"""

from __future__ import annotations

import functools
import itertools
import math
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, fields
from importlib.resources import files
from types import ModuleType
from typing import Any

from herbcalc.person.plants import AS_TOLD, IN_STORY, KINDS, Plants
from herbcalc.rules import Rules
from herbcalc.show.look import COUNTED, Number, View, as_setting, controls, key_of
from herbcalc.units import Q, spoken
from herbcalc.units.saying import so_many
from herbcalc.units.words import has_twin

INVENTED = " (invented)"
_PLANTS = frozenset(name for kind in KINDS for name in IN_STORY[kind])
STRONGEST = "strongest"  # stands for the strongest spirit on the local shelves


@dataclass(frozen=True)
class Scene:
    """A setting with a name, its question, the number that answers it, and the edges of the bands to guess in.

    A person's own kept setting is a scene without a question of its own.
    """

    name: str
    setting: Any
    question: str = ""
    asks: str = ""
    edges: Sequence[float] = ()
    none: str = ""
    drag: str = ""
    teacher: str = ""

    @property
    def title(self) -> str:
        """The name as it stands on a picture."""
        return self.name.removesuffix(INVENTED)


@dataclass(frozen=True)
class Band:
    """One of the answers that a class may guess: its words, the same in the other system, from where to where.

    `low` counts, `high` does not. The band of "there is no such figure" has neither.
    """

    words: str
    twin: str = ""
    low: float = math.inf
    high: float = -math.inf

    def holds(self, amount: float | None) -> bool:
        """Whether an amount lies in it; None is the answer that there is no figure."""
        if amount is None:
            return self.low > self.high
        return bool(self.low <= amount < self.high)  # numpy has a truth of its own


@functools.cache
def story() -> dict[str, Any]:
    """The invented story that all lessons share, from data/story.toml."""
    return tomllib.loads((files("herbcalc") / "data" / "story.toml").read_text(encoding="utf-8"))


@functools.lru_cache(maxsize=64)  # a panel, its page and what tells of the lesson ask for the same ones
def scenes(lesson: ModuleType, rules: Rules, plants: Plants = AS_TOLD) -> tuple[Scene, ...]:
    """The scenes of one lesson under the house rules, told of a class's plants; a value that does not fit is a
    KeyError.
    """
    made, said = [], {rule.name: rules.said(rule.name) for rule in fields(rules)}
    for row in story()[f"lesson{key_of(lesson, 2)}"]["scenes"]:
        values = {n: _ruled(v, rules) if _is_dial(lesson, n) else v for n, v in row["setting"].items()}
        setting, aside = as_setting(lesson.Setting, values)
        if aside:
            raise KeyError(f"lesson {key_of(lesson)}, scene {row['name']!r}: {' '.join(aside)}")
        edges = sorted({_ruled(edge, rules) for edge in row["edges"]})
        # A dial that chooses a plant shows that plant's own curve.
        whose = plants.place_alone if any(value in _PLANTS for value in values.values()) else plants
        rest = {key: row[key] for key in ("asks", "drag") if key in row}
        told = whose.named({key: row[key] for key in ("name", "question", "none", "teacher") if key in row})
        question = told.pop("question").format(rules=rules, said=said)
        made.append(Scene(setting=setting, question=question, edges=tuple(edges), **told, **rest))
    return tuple(made)


def _ruled(value: Any, rules: Rules) -> Any:
    """A figure of the story; the name of a house rule stands for what the class's teacher has set."""
    if value == STRONGEST:
        return max(rules.shelf)
    return float(getattr(rules, value)) if isinstance(value, str) else value


def _is_dial(lesson: ModuleType, name: str) -> bool:
    return any(c.name == name and c.options is None for c in controls(lesson.Setting))


def bands(scene: Scene, number: Number, rules: Rules, view: View) -> tuple[Band, ...]:
    """The bands of a scene, in the unit of the number that answers; none without edges.

    Where house rules at their ends leave no figure, and the scene names no band for that, there is one all the same.

    >>> grams = Number("", "", amount=400, unit="g")
    >>> [b.words for b in bands(Scene("", None, edges=(300, 500)), grams, Rules(), View())]
    ['under 300 g', '300 to 500 g', 'over 500 g']
    """
    if not scene.edges:
        return ()
    unit, ends = number.unit, [-math.inf, *scene.edges, math.inf]
    made = [
        Band(
            _from_to(low, high, unit, view.units, rules),
            _from_to(low, high, unit, "kitchen" if view.units == "metric" else "metric", rules)
            if has_twin(unit)
            else "",
            low,
            high,
        )
        for low, high in itertools.pairwise(ends)
    ]
    none = scene.none or ("there is none" if number.amount is None else "")
    return (*made, Band(none)) if none else tuple(made)


def _from_to(low: float, high: float, unit: str, system: str, rules: Rules) -> str:
    """A band in words; an edge that is the floor is called so."""
    if unit in COUNTED:
        return _whole_ones(low, high, unit)

    def said(edge: float, alone: bool = True) -> str:
        if unit == "percent_vol" and math.isclose(edge, rules.floor):
            return f"{edge:g} (your floor)"
        if unit == "money":
            return f"{rules.currency}{edge:.2f}".removesuffix(".00")
        text = edge_said(edge, unit, system)
        return text if alone else _without_unit(text, edge_said(high, unit, system))

    if low == -math.inf:
        return f"under {said(high)}"
    if high == math.inf:
        return f"over {said(low)}"
    return f"{said(low, alone=False)} to {said(high)}"


def _whole_ones(low: float, high: float, things: str) -> str:
    """A band of what is counted: its first and its last whole number.

    >>> [_whole_ones(*ends, "plants") for ends in ((-math.inf, 4.5), (4.5, 6), (6, 10), (-math.inf, 0.5))]
    ['4 plants or fewer', '5 plants', '6 to 9 plants', 'none']
    """
    if high == math.inf:
        return f"{math.ceil(low)} {things} or more"
    last = math.ceil(high) - 1
    if low == -math.inf:
        return f"{so_many(last, things.removesuffix('s'))} or fewer" if last else "none"
    first = math.ceil(low)
    return f"{first} to {last} {things}" if first < last else so_many(last, things.removesuffix("s"))


def edge_said(edge: float, unit: str, system: str = "metric") -> str:
    """The end of a band in one system of units.

    >>> edge_said(80, "percent"), edge_said(3.0, "ratio"), edge_said(2.5, "points"), edge_said(500, "mL", "kitchen")
    ('80 %', '1:3', '2.5 points', '17 fl oz')
    """
    if unit in ("percent", "points", "times"):
        return f"{edge:g} {'%' if unit == 'percent' else unit}"
    if unit in ("ratio", "mL/g"):
        return f"1:{edge:g}"
    if unit == "":
        return f"{edge:g}"
    return spoken(Q(float(edge), unit), system)  # type: ignore[arg-type]


def _without_unit(text: str, following: str) -> str:
    """ "300 g" before "500 g" is "300": the unit is said once."""
    words, unit = text.split(), []
    while len(words) > 1 and not any(c.isdecimal() for c in words[-1]):
        unit.insert(0, words.pop())
    return " ".join(words) if following.split()[-len(unit) :] == unit else text
