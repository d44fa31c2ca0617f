"""Floor 4. The teacher's class.toml: what it says, and a sentence for each thing in it that cannot be used.

A lesson goes on without what cannot be used, and says so; it is never passed over in silence.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from herbcalc import place, rules
from herbcalc.person import spelling
from herbcalc.rules import Rules
from herbcalc.units.refusals import OutOfRange, WrongUnit

KNOWN = (*rules.NO_RULES, *rules.OUTSIDE, "set", "rules")  # all that can stand at the top of the file
LONGEST_SET, LONGEST_BY = 200, 60  # signs of what is set, and of the words that say for when


NOTHING_SET = "Until then no questions stand as set."


@dataclass(frozen=True)
class Amiss:
    """One thing in the file that cannot be used, in a sentence for the teacher, and what holds until it is mended."""

    said: str
    until_then: str

    @property
    def note(self) -> str:
        """Both in one line."""
        return f"{self.said} {self.until_then}"


@dataclass(frozen=True)
class Asked:
    """What [set] asks for, as it was written: which questions ("5.1-5.6,3.4"), and for when ("Thursday's class").

    Which questions there are is not known here; `homework.week` looks.
    """

    items: str = ""
    by: str = ""


@dataclass(frozen=True)
class ClassFile:
    """What a teacher's class.toml says; without one, this.

    code: the class code as the teacher wrote it, "" where none is named; set_work: whether answers are handed in
    without a verdict; open: the lessons that the class has come to, None where all are open; rules: the house rules;
    amiss: what cannot be used; asked: the week's questions.

    >>> ClassFile().open is None, ClassFile().notes
    (True, [])
    """

    code: str = ""
    set_work: bool = False
    open: tuple[int, ...] | None = None
    rules: Rules = field(default_factory=Rules)
    amiss: tuple[Amiss, ...] = ()
    asked: Asked = Asked()

    @property
    def notes(self) -> list[str]:
        """What a lesson says of what cannot be used, a line each."""
        return [one.note for one in self.amiss]


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
        return ClassFile(
            amiss=(Amiss(str(refusal), "Until then nothing of it counts, and the usual house rules are used here."),)
        )
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
    asked = _asked(held.get("set", {}), path, amiss)
    opened = None if opened is None else tuple(sorted(set(opened)))
    return ClassFile(code, set_work, opened, in_force, tuple(amiss), asked)


def _asked(found: Any, path: Path, amiss: list[Amiss]) -> Asked:
    """What stands under [set]; nothing where any of it cannot be used, and `amiss` then has a sentence more."""
    said = _not_asked(found)
    if said:
        amiss.append(Amiss(f"{path.name}: {said}", NOTHING_SET))
    if said or not found:
        return Asked()
    items = found["items"]
    return Asked(items if isinstance(items, str) else ",".join(items), _when(found.get("by", "")))


def _when(by: str) -> str:
    """The words that say for when, as they can stand behind "For": "by Thursday." is "Thursday"."""
    plain = "".join(sign if sign.isprintable() else " " for sign in by)
    return re.sub(r"^(by|for) ", "", " ".join(plain.split()), flags=re.IGNORECASE).rstrip(" .,:;")


def _not_asked(found: Any) -> str:
    """Why what stands under [set] cannot be used, in a sentence; "" where it can be, or where nothing does."""
    if not isinstance(found, dict):
        return 'set is a heading. Write [set] on a line of its own, and below it items = ["5.1-5.6", "3.4"].'
    for name in (name for name in found if name not in ("items", "by")):
        so = " Write it above the line [set], at the top of the file." if name in KNOWN else ""
        return f'[set] holds items and by, and "{name[:60]}" is neither.{so}'
    items, by = found.get("items"), found.get("by", "")
    parts = items if isinstance(items, list) else [items]
    if found and (not parts or not all(isinstance(part, str) and part.strip() for part in parts)):
        return '[set] wants items, a list with each in quotes, such as items = ["5.1-5.6", "3.4"].'
    if found and sum(map(len, parts)) > LONGEST_SET:
        return f'The items in [set] are over {LONGEST_SET} signs long. A whole lesson is written shorter: "5".'
    if not isinstance(by, str):
        return '[set] wants by as words in quotes, such as by = "Thursday\'s class".'
    if len(by) > LONGEST_BY:
        return f'by in [set] has {len(by)} signs, and up to {LONGEST_BY} can be shown. "Thursday\'s class" would do.'
    return ""


def _is_code(code: Any) -> bool:
    return isinstance(code, str) and 1 <= len(spelling(code[:200])) <= 60


def _are_lessons(opened: Any) -> bool:
    return isinstance(opened, list) and all(type(n) is int for n in opened)


def _unknown(name: str, path: Path) -> Amiss:
    near = difflib.get_close_matches(name, KNOWN, n=1)
    meant = f' Did you mean "{near[0]}"?' if near else f" It knows: {', '.join(KNOWN)}."
    said = f'{path.name}: "{name[:60]}" is nothing that the workbook knows.{meant}'
    return Amiss(said, "Until then it does nothing.")
