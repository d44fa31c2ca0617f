"""Floor 5. What a class, or somebody alone, guessed: kept with the day and without a name, to be looked at again."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from herbcalc import person
from herbcalc.show.panel.hands import Hands

MOST = 200  # rows kept for a lesson: some eight classes of it


class Guesses:
    """The hands counted in one lesson, a row for each scene and day, and the same with "own" for one's own guesses.

    Files that cannot be written say a sentence.
    """

    def __init__(self, lesson: str, home: Path) -> None:
        self._lesson, self._home = lesson, home

    def keep(self, scene: str, hands: Hands, answer: str) -> str:
        """Keep what was guessed at a scene today; guessed once more, the newer row stands. Result: what to tell, if
        anything."""
        row: dict[str, Any] = {
            "day": _today(),
            "scene": scene,
            "bands": [band.words for band in hands.bands],
            "hands": hands.guessed,
            "answer": answer,
        }
        if not hands.counting:
            row["own"] = True
        try:
            rows = [r for r in person.guesses(self._lesson, self._home) if not _same(r, row)]
            person.save_guesses(self._lesson, [*rows, row][-MOST:], self._home)
        except person.NotKept as refusal:
            return f"The guesses still stand here, and were not kept. {refusal}"
        return ""

    def today(self) -> list[str]:
        """A sentence for each scene that was guessed today."""
        told = []
        for row in person.guesses(self._lesson, self._home):
            bands, hands = row.get("bands"), row.get("hands")
            if row.get("day") != _today() or not isinstance(bands, list) or not isinstance(hands, list):
                continue
            own = row.get("own") is True
            said = ((band, n) for band, n in zip(bands, hands, strict=False) if n)
            counted = ", ".join(f"you said {band}" if own else f"{n} said {band}" for band, n in said)
            told.append(f"{row.get('scene')}: {counted}. It was {row.get('answer')}.")
        return told


def _today() -> str:
    return datetime.date.today().isoformat()


def _same(one: dict[str, Any], other: dict[str, Any]) -> bool:
    return all(one.get(key) == other.get(key) for key in ("day", "scene", "own"))
