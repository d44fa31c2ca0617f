"""Floor 5. Which scene shows a homework item's idea again, from data/again.toml."""

from __future__ import annotations

import functools
import importlib
import tomllib
from dataclasses import dataclass
from importlib.resources import files

from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.rules import Rules
from herbcalc.show.story import Scene, scenes


@dataclass(frozen=True)
class Again:
    """A scene to show again: its lesson, the name of its panel ("" for the first), its place in the panel's list,
    counted from 1, how many there are, and the scene itself."""

    lesson: int
    panel: str
    place: int
    of: int
    scene: Scene

    @property
    def where(self) -> str:
        """How a teacher finds it: "lesson 5, scene 1 of 8"."""
        panel = f", the panel {self.panel}" if self.panel else ""
        return f"lesson {self.lesson}{panel}, scene {self.place} of {self.of}"


@functools.cache
def table() -> dict[str, tuple[str, str]]:
    """Item -> its panel's module ("lesson03_room") and the scene's name, as the file has them."""
    text = (files("herbcalc") / "data" / "again.toml").read_text(encoding="utf-8")
    return {code: (panel, name) for panel, rows in tomllib.loads(text).items() for code, name in rows.items()}


def scene_for(code: str, rules: Rules, plants: Plants = AS_TOLD) -> Again | None:
    """The scene for an item; None for an item that has none.

    code   of the item, "5.2"
    rules  the house rules of the class
    plants whose names its words say

    Result: Again.

    >>> scene_for("5.2", Rules()).where, scene_for("3.10", Rules()).where
    ('lesson 5, scene 1 of 8', 'lesson 3, the panel room, scene 4 of 8')
    """
    if code not in table():
        return None
    panel, name = table()[code]
    module = importlib.import_module(f"herbcalc.show.lessons.{panel}")
    place = next(n for n, scene in enumerate(scenes(module, rules), 1) if scene.title == name)
    there = scenes(module, rules, plants)
    return Again(module.LESSON, panel.partition("_")[2], place, len(there), there[place - 1])
