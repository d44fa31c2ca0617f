"""A class of simulated students whose slips, help and silence are known, laid down as the files they hand in."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path

from herbcalc.homework import item
from herbcalc.homework.handed_in import Aside, files
from herbcalc.homework.marking import Student, look_at
from herbcalc.homework.results import Answer, answer_to

CODE, LAST = "fern7", "2025-11-20"


@dataclass
class Hand:
    """The file of one student, answer by answer."""

    number: int
    class_code: str = CODE
    day: str = LAST
    answers: list[Answer] = field(default_factory=list)

    def types(self, code: str, typed: str, sure: str = "", tier: int = 1, go: int = 1) -> Hand:
        """Any answer at all."""
        one = item(*map(int, code.split(".")), self.class_code, self.number, go)
        self.answers.append(answer_to(one, typed, sure, tier, self.day))
        return self

    def right(self, code: str, tier: int = 1, sure: str = "", go: int = 1) -> Hand:
        """The first text that must be accepted; from tier 2 on with steps shown."""
        one = item(*map(int, code.split(".")), self.class_code, self.number, go)
        return self.types(code, one.answers()[0], sure, tier, go)

    def slips(self, code: str, slip: str, sure: str = "", go: int = 1) -> Hand:
        """What somebody on a known side road types."""
        one = item(*map(int, code.split(".")), self.class_code, self.number, go)
        return self.types(code, one.slip_answers()[slip], sure, go=go)

    @property
    def name(self) -> str:
        return f"answers-{self.class_code}-{self.number}.jsonl"

    def lay(self, folder: Path, name: str = "") -> Path:
        """Write the file."""
        path = folder / (name or self.name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("".join(answer.line() + "\n" for answer in self.answers), encoding="utf-8")
        return path


def eighteen() -> list[Hand]:
    """The class. What it must show is said in the tests, and follows from these lines alone."""
    hands = [Hand(number) for number in range(1, 19) if number != 13]  # 13 has handed in nothing
    by = {hand.number: hand for hand in hands}
    for number in (4, 11):
        by[number].day = "2025-11-09"  # silent for eleven days
    for number in range(1, 16):
        if number in by:
            by[number].right("5.1", sure="fairly")  # fourteen of them, all at once
    for number in (2, 5, 8, 9, 14):
        by[number].slips("5.2", "m33" if number != 9 else "m34")
    by[2].slips("5.2", "m33").right("5.2")  # the same side road once more, then done
    by[5].right("5.2", tier=3)
    by[8].types("5.2", "12345 g")
    for number in (1, 3, 16):
        by[number].right("5.2")
    for number in (6, 7, 10):
        by[number].slips("3.2", "m02", sure="sure")
    by[7].right("3.2")
    for number in (12, 15, 17):
        by[number].types("4.4", "1 mL", sure="guessing")
    by[18].types("5.8", "It is weaker than the bottle says because the leaf brings water.")
    return hands


def seen(folder: Path, last_day: str = "2025-11-27") -> tuple[list[Student], list[Aside]]:
    """All files of a folder, read and marked."""
    found = [look_at(one, last_day) for one in files(folder)]
    return [one for one in found if isinstance(one, Student)], [one for one in found if isinstance(one, Aside)]


def line(**changed: object) -> str:
    """One good line of number 3, with some of its fields changed."""
    fields = json.loads(Hand(3).right("5.2").answers[0].line())
    return json.dumps({**fields, **changed})
