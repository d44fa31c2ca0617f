"""Floor 4. The teacher's class.toml: what it says, and a sentence for each thing in it that cannot be used.

A lesson goes on without what cannot be used, and says so; it is never passed over in silence.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from herbcalc import place, rules
from herbcalc.person import spelling
from herbcalc.rules import Rules
from herbcalc.units.refusals import OutOfRange, WrongUnit

KNOWN = (*rules.NO_RULES, *rules.OUTSIDE, "rules")  # all that can stand at the top of the file


@dataclass(frozen=True)
class Amiss:
    """One thing in the file that cannot be used, in a sentence for the teacher, and what holds until it is mended."""

    said: str
    until_then: str


@dataclass(frozen=True)
class ClassFile:
    """What a teacher's class.toml says; without one, this.

    code: the class code as the teacher wrote it, "" where none is named; set_work: whether answers are handed in
    without a verdict; open: the lessons that the class has come to, None where all are open; rules: the house rules;
    amiss: what cannot be used.

    >>> ClassFile().open is None, ClassFile().notes
    (True, [])
    """

    code: str = ""
    set_work: bool = False
    open: tuple[int, ...] | None = None
    rules: Rules = field(default_factory=Rules)
    amiss: tuple[Amiss, ...] = ()

    @property
    def notes(self) -> list[str]:
        """What a lesson says of what cannot be used, a line each."""
        return [f"{one.said} {one.until_then}" for one in self.amiss]


def load(home: Path | None = None) -> ClassFile:
    """What class.toml in the person's folder `home` says; result as in `read`.

    >>> load(Path("no-such-folder")) == ClassFile()
    True
    """
    return read((home or place.folder()) / place.CLASS)


def read(path: Path) -> ClassFile:
    """What the teacher's file at `path` says, whatever its name. Refuses nothing; see `amiss`."""
    usual = "Until then the usual house rules are used here."
    try:
        held = rules.sheet(path)
    except WrongUnit as refusal:
        return ClassFile(amiss=(Amiss(str(refusal), usual),))
    amiss: list[Amiss] = []
    in_force = Rules()
    try:
        in_force = rules.from_sheet(held, path)
    except (OutOfRange, WrongUnit) as refusal:
        amiss.append(Amiss(str(refusal), usual))
    code, set_work, opened = held.get("class", ""), held.get("set_work", False), held.get("open")
    if "class" in held and not _is_code(code):
        said = f'{path.name}: class is a class code in quotes, of letters and digits, such as class = "fern7".'
        amiss.append(Amiss(said, "Until then no class code is filled in."))
        code = ""
    if not isinstance(set_work, bool):
        said = f"{path.name}: set_work is true or false, without quotes, such as set_work = true."
        amiss.append(Amiss(said, "Until then each answer is told right or not yet."))
        set_work = False
    if opened is not None and not _are_lessons(opened):
        said = f"{path.name}: open is a list of lesson numbers, such as open = [3, 4, 5]."
        amiss.append(Amiss(said, "Until then all are open."))
        opened = None
    known = {*KNOWN, *(rule.name for rule in fields(Rules))}  # a rule in a place that is not its own is refused above
    amiss += [_unknown(name, path) for name in held if name not in known]
    return ClassFile(code, set_work, None if opened is None else tuple(sorted(set(opened))), in_force, tuple(amiss))


def _is_code(code: Any) -> bool:
    return isinstance(code, str) and 1 <= len(spelling(code[:200])) <= 60


def _are_lessons(opened: Any) -> bool:
    return isinstance(opened, list) and all(type(n) is int for n in opened)


def _unknown(name: str, path: Path) -> Amiss:
    near = difflib.get_close_matches(name, KNOWN, n=1)
    meant = f' Did you mean "{near[0]}"?' if near else f" It knows: {', '.join(KNOWN)}."
    said = f'{path.name}: "{name[:60]}" is nothing that the workbook knows.{meant}'
    return Amiss(said, "Until then it does nothing.")
