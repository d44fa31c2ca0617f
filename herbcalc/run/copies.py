"""Floor 6. The person's copies of the notebooks: brought in, brought up to date, never taken away.

JupyterLab works on copies in the person's folder, so that an update of the checkout and a lesson in use never meet.
A record of fingerprints tells a copy that is as it came (a newer one may replace it) from a copy that the person has
worked in (it is left alone, always).
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from pathlib import Path

from herbcalc import person
from herbcalc.person import writing
from herbcalc.run.console import ME
from herbcalc.run.environment import CHECKOUT, is_checkout

SHELVES = ("workbook", "exercises")  # where notebooks are
NOTES = "workbook/teacher"
# A package holds the notebooks inside itself, where a checkout holds them beside it.
SOURCE = CHECKOUT if is_checkout() else Path(__file__).resolve().parents[1] / "notebooks"
RECORD = ".copies.json"


def shipped(checkout: Path = SOURCE) -> Iterator[Path]:
    """The files to copy, as paths below `checkout`: all but what serves the tests (conftest.py), and hidden ones."""
    for shelf in (*SHELVES, NOTES):
        for file in sorted((checkout / shelf).glob("*")):
            if file.is_file() and file.suffix != ".py" and not file.name.startswith("."):
                yield file.relative_to(checkout)


def bring(home: Path | None = None, checkout: Path = SOURCE) -> list[str]:
    """Copy what is missing, renew copies that are still as they came, leave the person's own work.

    home: the person's folder. Result: sentences for the screen that say what was done, none when nothing was.
    Refuses (person.NotKept): a folder that cannot be written to.
    """
    home = home or person.folder()
    record, told = _record(home), {state: [] for state in ("new", "older", "same", "mine", "seen", "folder")}
    for name in shipped(checkout):
        fresh, target = (checkout / name).read_bytes(), home / name
        now = print_of(fresh)
        state = _state(target, now, record.get(name.as_posix()))
        told[state].append(name)
        if state in ("new", "older"):
            writing.write(target, fresh)
        if state in ("new", "older", "same"):
            record[name.as_posix()] = now
    writing.write(home / RECORD, json.dumps(record, indent=1))
    return [
        *_told(told["new"], "Copied"),
        *_told(told["older"], "Brought up to date"),
        *map(_newer, told["mine"]),
        *map(_blocked, told["folder"]),
    ]


def _state(target: Path, now: str, known: str | None) -> str:
    """What a copy is to us, `now` being the notebook that ships, and `known` the one that the copy was made from.

    "new" where there is none, "same", "older" (as an earlier one came), "mine" where the person has changed it,
    "seen" where they have and no newer one has come, "folder" where one has its name.
    """
    if target.is_dir():
        return "folder"
    held = writing.held(target)
    if held is None:
        return "new"
    there = print_of(held)
    if there == now:
        return "same"
    if there == known:
        return "older"
    return "seen" if known == now else "mine"


def fresh(lesson: int, home: Path | None = None, checkout: Path = SOURCE) -> list[str]:
    """Copy one lesson (and its exercises) again as it came; an old copy that differs stays beside it, renamed.

    lesson: its number. Result: a sentence for each file, none when the workbook has no such lesson.
    Refuses (person.NotKept): a folder that cannot be written to.
    """
    home = home or person.folder()
    record, done = _record(home), []
    for name in shipped(checkout):
        number = re.match(r"\d+", name.name)
        if not number or int(number.group()) != lesson:
            continue
        came, target = (checkout / name).read_bytes(), home / name
        said = f"{name.as_posix()} is as it came."
        if target.is_dir() or writing.held(target) not in (None, came):
            kept = spare(target)
            try:
                target.rename(kept)
            except OSError as trouble:
                raise person.NotKept(writing.not_kept(kept.name, kept.parent, trouble)) from trouble
            said = f"{name.as_posix()} is as it came; your old copy is beside it, as {kept.name}."
        writing.write(target, came)
        record[name.as_posix()] = print_of(came)
        done.append(said)
    if done:
        writing.write(home / RECORD, json.dumps(record, indent=1))
    return done


def print_of(content: bytes) -> str:
    """A fingerprint of a file; Windows line ends count as the same text."""
    return hashlib.sha256(content.replace(b"\r\n", b"\n")).hexdigest()


def _record(home: Path) -> dict[str, str]:
    """What the copies were when they came. A record that is lost or torn only means that no copy is replaced."""
    try:
        found = json.loads((home / RECORD).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def spare(target: Path) -> Path:
    """A name beside a file, free as yet, under which it can be kept."""
    number = 1
    while (kept := target.with_name(f"{target.stem}-kept-{number}{target.suffix}")).exists():
        number += 1
    return kept


def _told(names: list[Path], did: str) -> list[str]:
    if not names:
        return []
    which = names[0].name if len(names) == 1 else f"{len(names)} files, {names[0].name} to {names[-1].name}"
    return [f"{did}: {which}."]


def _blocked(name: Path) -> str:
    return (
        f"{name.as_posix()} is a folder, so the notebook of that name is not there. Move it or give it another name; "
        "the next start brings the notebook."
    )


def _newer(name: Path) -> str:
    number = re.match(r"\d+", name.name)
    hint = f" To see it: {ME} fresh {int(number.group())} (yours stays beside it)." if number else ""
    return f"You have worked in {name.as_posix()}, so it stays as it is; a newer one has come.{hint}"
