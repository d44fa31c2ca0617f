"""Floor 4. The person's own folder: who they are, what they kept, where their answers go. Standard library only.

Every file here is plain text that its owner can open and read. How it is written, and that nothing is ever thrown
away, is the matter of `writing`; a person's own batches are that of `batches`, and the teacher's class.toml that of
`class_file`.
"""

from __future__ import annotations

import codecs
import sys
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from herbcalc import place
from herbcalc.person.writing import (
    ASIDE,
    NotKept,
    alone,
    held,
    news,
    not_opened,
    put_aside,
    table_in,
    tell,
    why,
    write,
    write_table,
)
from herbcalc.place import CLASS, VARIABLE, folder

__all__ = [
    "BATCH",
    "CLASS",
    "FOR_TEACHER",
    "GUESSES",
    "ME",
    "MY_BATCH",
    "MY_PLAN",
    "PRACTICE",
    "SETTINGS",
    "VARIABLE",
    "Me",
    "NotKept",
    "all_of_mine",
    "answers_path",
    "delete_all",
    "folder",
    "guesses",
    "hand_in",
    "lasts",
    "me",
    "news",
    "result_file",
    "save_guesses",
    "save_me",
    "save_settings",
    "settings",
    "spelling",
]

ME, SETTINGS, BATCH, GUESSES = "me.toml", "settings.json", "batch.json", "guesses.json"
MY_PLAN = "my-plan.html"  # the capstone on one page
MY_BATCH = "my-batch.html"  # a batch of one's own on one page
FOR_TEACHER = "for-the-teacher"  # the folder in which a copy to hand in is laid


@dataclass(frozen=True)
class Me:
    """Who is working: a class code and an own number from 1 to 99, and whether this is who teaches the class.

    There is no name in it.
    """

    class_code: str = "practice"
    number: int = 1
    teacher: bool = False


PRACTICE = Me()


def lasts(home: Path | None = None) -> bool:
    """Whether what is written there outlives this visit: always, but for a browser that lends us no drive."""
    return sys.platform != "emscripten" or (home or folder()).is_relative_to(place.BROWSER_DRIVE)


# --- who is working ------------------------------------------------------------------------------------------------

_IN_START = "What is kept there can be changed in 00_start."


def spelling(code: str) -> str:
    """The letters and digits of a class code in the one spelling that figures and files know; it may be longer.

    Source: Unicode Standard Annex 15 (NFKC); Unicode case folding.

    >>> spelling("Fern 7"), spelling("½")
    ('fern7', '12')
    """
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", code).casefold())
    return "".join(letter for letter in folded if letter.isalnum())


def me(home: Path | None = None) -> Me | None:
    """Who is working here; None where nobody has said so yet."""
    path = (home or folder()) / ME
    try:
        said = place.table(path)
    except place.Unreadable:
        said = {}
    except OSError as trouble:
        raise not_opened(path, trouble) from trouble
    if said is None:
        return None
    code, number, teaches = said.get("class"), said.get("number"), said.get("teacher", False)
    if isinstance(code, str) and _plain(code) and type(number) is int and 1 <= number <= 99:
        if type(teaches) is not bool:
            tell(f"{ME}: teacher is true or false, without quotes. Until then it counts as false. {_IN_START}")
        for name in said.keys() - {"class", "number", "teacher"}:
            tell(f'{ME}: "{name[:60]}" is nothing that the workbook knows, so it does nothing. {_IN_START}')
        return Me(code, number, teaches is True)
    put_aside(path, "please type your class code and your own number once more in 00_start")
    return None


def save_me(class_code: str, number: int, home: Path | None = None, teacher: bool = False) -> Me:
    """Keep a class code in its normal form (letters and digits only), an own number, 1 to 99, and who teaches."""
    if not _plain(class_code):
        raise ValueError("A class code here is made of letters and digits, at least one and 60 at most.")
    if not 1 <= number <= 99:
        raise ValueError("An own number is a whole number from 1 to 99.")
    teaches = "teacher = true\n" if teacher else ""
    write((home or folder()) / ME, f'class = "{class_code}"\nnumber = {number}\n{teaches}')
    return Me(class_code, number, teacher)


def _plain(code: str) -> bool:
    return len(code) <= 60 and code.isalnum() and 1 <= len(spelling(code)) <= 60  # one sign may stand for eighteen


def answers_path(who: Me, home: Path | None = None) -> Path:
    """The result file of one class code and own number."""
    return (home or folder()) / f"answers-{who.class_code}-{who.number}.jsonl"


# --- what was kept -------------------------------------------------------------------------------------------------


def settings(lesson: int | str, home: Path | None = None) -> list[dict[str, Any]]:
    """The settings kept for a lesson (of a further panel: "3_room"), in the order they were kept; [] at first."""
    return _rows(SETTINGS, lesson, home)


def save_settings(lesson: int | str, kept: list[dict[str, Any]], home: Path | None = None) -> None:
    """Keep these settings for a lesson; those of the other lessons stay as they are."""
    _save_rows(SETTINGS, lesson, kept, home)


def guesses(lesson: int | str, home: Path | None = None) -> list[dict[str, Any]]:
    """What classes guessed in a lesson, a row for each scene and day; [] at first."""
    return _rows(GUESSES, lesson, home)


def save_guesses(lesson: int | str, rows: list[dict[str, Any]], home: Path | None = None) -> None:
    """Keep these guesses for a lesson; those of the other lessons stay as they are."""
    _save_rows(GUESSES, lesson, rows, home)


_AFRESH = {SETTINGS: "your kept settings start afresh", GUESSES: "the guesses start afresh"}


def _rows(file: str, lesson: int | str, home: Path | None) -> list[dict[str, Any]]:
    """The rows that one of the files by lesson holds for a lesson; what is no row is passed over."""
    rows = table_in((home or folder()) / file, _AFRESH[file]).get(str(lesson), [])
    return [one for one in rows if isinstance(one, dict)] if isinstance(rows, list) else []


def _save_rows(file: str, lesson: int | str, rows: list[dict[str, Any]], home: Path | None) -> None:
    path = (home or folder()) / file
    with alone(path):  # a page of another lesson may keep something at the same moment
        everything = table_in(path, _AFRESH[file])
        everything[str(lesson)] = rows
        write_table(path, everything)


# --- seeing it, and taking it away ---------------------------------------------------------------------------------


def result_file(who: Me, home: Path | None = None) -> str:
    """Exactly what the result file holds, "" where there is none yet. One that an editor made UTF-16 is read too."""
    raw = held(answers_path(who, home)) or b""
    utf_16 = raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))  # an editor's doing
    return raw.decode("utf-16" if utf_16 else "utf-8", errors="replace")


def hand_in(who: Me, home: Path | None = None) -> Path:
    """Lay a copy of the result file into the folder for the teacher, in the place of the copy before; gives its path.

    The copy holds the very bytes of the file. Refuses (NotKept): a folder that cannot be written to, and a result
    file that cannot be opened or is not there.
    """
    kept = answers_path(who, home)
    raw = held(kept)
    if raw is None:
        raise NotKept(f"{kept.name} is not in {kept.parent} yet. It begins with your first answer.")
    copy = kept.parent / FOR_TEACHER / kept.name
    write(copy, raw)
    return copy


def all_of_mine(who: Me | None, home: Path | None = None) -> list[Path]:
    """The files that `delete_all` would delete: this person's answers and the copy of them for the teacher, who they
    are, and all that was kept.

    The teacher's class.toml, the notebooks, and answers under another class code or number stay.
    """
    home = home or folder()
    answers = answers_path(who, home).name if who else None
    names = [ME, SETTINGS, BATCH, GUESSES, MY_PLAN, MY_BATCH] + ([answers] if answers else [])
    try:
        here = sorted(home.iterdir()) if home.is_dir() else []
    except OSError as trouble:
        raise NotKept(f"{home} could not be opened. {why(trouble)}") from trouble

    def ours(name: str) -> bool:
        bare = name.removeprefix(".")  # a lock or a scrap lies beside its file, with the file's name in its own
        return name in names or any(bare.startswith((f"{n}{ASIDE}", f"{n}.")) for n in names)

    copies = [home / FOR_TEACHER / answers] if answers else []
    return [path for path in [*here, *copies] if path.is_file() and ours(path.name)]


def delete_all(who: Me | None, home: Path | None = None) -> list[str]:
    """Delete all that `all_of_mine` names. Gives the names of what is gone."""
    gone = []
    for path in all_of_mine(who, home):
        try:
            path.unlink(missing_ok=True)
        except OSError as trouble:
            raise NotKept(f"{path.name} could not be deleted. {why(trouble)}") from trouble
        gone.append(path.name)
    return gone
