"""Floor 4. The teacher's class.toml: what it says, and a sentence for each thing in it that cannot be used.

A lesson goes on without what cannot be used, and says so; it is never passed over in silence.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from herbcalc import place, rules
from herbcalc.person import plants, spelling, strong
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.rules import Rules
from herbcalc.units.refusals import OutOfRange, WrongUnit, quoted

KNOWN = (*rules.NO_RULES, *rules.OUTSIDE, "set", "rules", "story")  # all that can stand at the top of the file
LONGEST_SET, LONGEST_BY = 200, 60  # signs of what is set, and of the words that say for when
# Two numbers with nothing but a comma between them: a list, or a point as many countries write it.
_TWO_WAYS = re.compile(r"(?<![\d.,])(\d{1,2}),(\d{1,2})(?![\d.,])")
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
    amiss: what cannot be used; asked: the week's questions; plants: the plants and the place of its own of the class.

    >>> ClassFile().open is None, ClassFile().notes
    (True, [])
    """

    code: str = ""
    set_work: bool = False
    open: tuple[int, ...] | None = None
    rules: Rules = field(default_factory=Rules)
    amiss: tuple[Amiss, ...] = ()
    asked: Asked = Asked()
    plants: Plants = AS_TOLD

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
    own, cannot = _story(held.get("story", {}), path)
    amiss += cannot
    known = {*KNOWN, *(rule.name for rule in fields(Rules))}  # a rule in a place that is not its own is refused above
    amiss += [_unknown(name, path) for name in held if name not in known]
    asked = _asked(held.get("set", {}), path, amiss)
    opened = None if opened is None else tuple(sorted(set(opened)))
    return ClassFile(code, set_work, opened, in_force, tuple(amiss), asked, own)


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
        return f"[set] holds items and by, and {quoted(name)} is neither.{so}"
    items, by = found.get("items"), found.get("by", "")
    parts = items if isinstance(items, list) else [items]
    if found and (not parts or not all(isinstance(part, str) and part.strip() for part in parts)):
        return '[set] wants items, a list with each in quotes, such as items = ["5.1-5.6", "3.4"].'
    if found and sum(map(len, parts)) > LONGEST_SET:
        return f'The items in [set] are over {LONGEST_SET} signs long. A whole lesson is written shorter: "5".'
    if found and (two := next(filter(None, map(_TWO_WAYS.search, parts)), None)):
        lesson, number = two.groups()
        return (
            f'"{two[0]}" in [set] can be read in two ways. For question {number} of lesson {lesson} write '
            f'"{lesson}.{number}", with a point; for the whole of lessons {lesson} and {number} write '
            f'"{lesson}", "{number}".'
        )
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
    if name in plants.IN_STORY:
        said = f'{path.name}: "{name}" belongs to the story. Write it below a line that says [story].'
        return Amiss(said, "Until then it does nothing.")
    return Amiss(_not_known(name, path.name, "the workbook", KNOWN), "Until then it does nothing.")


def _not_known(name: str, where: str, whose: str, known: Sequence[str]) -> str:
    """The sentence for a name that is none of those known: the one that is near to it, else all of them."""
    near = difflib.get_close_matches(name, known, n=1)
    meant = f'Did you mean "{near[0]}"?' if near else f"It knows: {', '.join(known)}."
    return f"{where}: {quoted(name)} is nothing that {whose} knows. {meant}"


# --- the class's own plants ----------------------------------------------------------------------------------------

SHORTEST, LONGEST = 1, 40  # letters of a plant's name, and of a place's
EXAMPLES = {
    "leaf": "nettle",
    "flower": "yarrow",
    "root": "burdock root",
    "fruit": "hawthorn berry",
    "place": "Mill Street",
}


def _story(said: Any, path: Path) -> tuple[Plants, list[Amiss]]:
    """The plants and the place below [story], and a sentence for each that cannot be used; the others stand."""
    where = f"{path.name}, [story]"
    if not isinstance(said, dict):
        heading = f"{path.name}: story is a heading. Write [story] on a line of its own, and the plants below it."
        return AS_TOLD, [Amiss(heading, "Until then the plants of the story stay.")]
    amiss = [_not_of_the_story(key, where) for key in said if key not in plants.IN_STORY]
    names: dict[str, str] = {}
    for key in (key for key in plants.IN_STORY if key in said):
        name, unfit = _name(key, said[key])
        if unfit:
            amiss.append(Amiss(f"{where}: {unfit}", _stays(key)))
        elif not plants.of_the_story(name, key):
            names[key] = name
    for kind in plants.KINDS:
        there = [(names[one],) if one in names else plants.IN_STORY[one] for one in plants.KINDS if one != kind]
        others = {plants.spelled(name) for some in there for name in some}
        if kind in names and plants.spelled(names[kind]) in others:
            twice = (
                f'{kind}: "{names.pop(kind)}" stands for another plant here already. Give each a name of its own, '
            )
            twice += 'with its part where that helps: "burdock leaf" and "burdock root".'
            amiss.append(Amiss(f"{where}: {twice}", _stays(kind)))
    return Plants(**names), amiss


def _name(key: str, value: Any) -> tuple[str, str]:
    """A name as the texts take it, and "", or why it cannot be taken and what would do."""
    wanted = f'such as {key} = "{EXAMPLES[key]}"'
    if not isinstance(value, str):
        return "", f"{key}: it is a name in quotes, {wanted}."
    name = " ".join(unicodedata.normalize("NFC", value).replace("\u2019", "'").split())
    if not SHORTEST <= len(name) <= LONGEST:
        return "", f"{key}: a name has {SHORTEST} to {LONGEST} letters, and this one has {len(name):,}; {wanted}."
    kinds, numbers = ("LMN", "letters, numbers") if key == "place" else ("LM", "letters")
    amiss = next((c for c in name if c not in " -'" and unicodedata.category(c)[0] not in kinds), "")
    if amiss or not name[0].isalpha():
        shown = amiss or name[0]
        shown = f'"{shown}"' if shown.isprintable() else "a sign that cannot be seen"
        may = f"a name begins with a letter and is made of {numbers}, blanks, hyphens and apostrophes"
        return "", f"{key}: {may}, and {shown} stands in this one; {wanted}."
    refused = None if key == "place" else strong.why_not(name) or plants.told_of(name)
    return _apart(name), f'{key}: "{name}" is not taken: {refused}' if refused else ""


def _apart(name: str) -> str:
    """A name whose words are written from right to left, kept apart: without the two unseen signs (Unicode's
    isolates) a browser moves the figure that follows to its other side.
    """
    return re.sub("[\u0590-\u08ff\ufb1d-\ufefc]+(?: [\u0590-\u08ff\ufb1d-\ufefc]+)*", "\u2068\\g<0>\u2069", name)


def _stays(key: str) -> str:
    return f"Until then it is {' and '.join(plants.IN_STORY[key])}, as in the story."


def _not_of_the_story(key: str, where: str) -> Amiss:
    if key in KNOWN:
        said = f'{where}: "{key}" stands at the top of the file, above the line [story]. Move it there.'
    elif key in (rule.name for rule in fields(Rules)):
        said = f'{where}: "{key}" is a house rule. Write it below a line that says [rules].'
    else:
        said = _not_known(key, where, "the story", [*plants.IN_STORY])
    return Amiss(said, "Until then it does nothing.")
