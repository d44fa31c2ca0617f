"""Floor 4. The person's own folder: who they are, what they kept, where their answers go. Standard library only.

Every file here is plain text that its owner can open and read. A file is written beside its old copy, read back
and only then put in the old one's place, so a crash or a full disk never costs what was there before. A file that
cannot be read is put aside under another name, never thrown away, and `news()` says so.
"""

from __future__ import annotations

import errno
import json
import os
import re
import sys
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from herbcalc import place
from herbcalc.place import VARIABLE, folder

ME, CLASS, SETTINGS, BATCH = "me.toml", "class.toml", "settings.json", "batch.json"
ASIDE = ".put-aside-"

_news: list[str] = []


class NotKept(OSError):
    """Something could not be written or read in the person's folder; the text is a sentence for them."""


@dataclass(frozen=True)
class Me:
    """Who is working: a class code and an own number from 1 to 99. There is no name in it."""

    class_code: str = "practice"
    number: int = 1


PRACTICE = Me()


def lasts(home: Path | None = None) -> bool:
    """Whether what is written there outlives this visit: always, but for a browser that lends us no drive."""
    return sys.platform != "emscripten" or (home or folder()).is_relative_to(place.BROWSER_DRIVE)


def news() -> list[str]:
    """Sentences about files that were put aside since this was last asked; asking empties it."""
    told = _news[:]
    _news.clear()
    return told


# --- reading and writing -------------------------------------------------------------------------------------------


def why(trouble: OSError) -> str:
    """What stood in the way, and what would work, in one or two sentences."""
    if trouble.errno in (errno.ENOSPC, errno.EDQUOT):
        return "The disk is full. Free some room on it, then do this once more."
    if trouble.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return (
            "This computer does not let us write there. Ask for a folder that you may write in, and start again with "
            f"{VARIABLE} set to it."
        )
    if trouble.errno in (errno.ENOTDIR, errno.EEXIST, errno.EISDIR):
        return "Another file or folder has that name and is in the way. Move it, then do this once more."
    return (
        f"The computer says: {trouble.strerror or trouble}. Look whether the disk is there, then do this once more."
    )


def _write(path: Path, text: str) -> None:
    """Put `text` in the place of `path` in one step, and look whether it arrived."""
    wanted = text.encode("utf-8", errors="backslashreplace")  # half a character becomes its JSON escape
    beside = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with beside.open("wb") as out:
            out.write(wanted)
            out.flush()
            os.fsync(out.fileno())
        if beside.read_bytes() != wanted:
            raise NotKept(f"{path.name} was not kept. What came back from the disk was not what we wrote on it.")
        beside.replace(path)
    except NotKept:
        raise
    except OSError as trouble:
        raise NotKept(f"{path.name} was not kept in {path.parent}. {why(trouble)}") from trouble
    finally:
        try:
            beside.unlink(missing_ok=True)
        except NotADirectoryError:
            pass  # there is no folder, so there is no scrap in it; the sentence above says so
        except OSError as trouble:  # the old copy is whole; only a scrap is left lying there, and we say so
            _news.append(f"A scrap called {beside.name} was left in {path.parent}: {trouble.strerror}.")


def _put_aside(path: Path, what: str) -> None:
    """Give a file that cannot be read another name, and note it for `news`."""
    n = 1
    while (other := path.with_name(f"{path.name}{ASIDE}{n}")).exists():
        n += 1
    try:
        path.replace(other)
    except OSError as trouble:
        raise NotKept(f"{path.name} cannot be read, and it could not be put aside. {why(trouble)}") from trouble
    _news.append(
        f"{path.name} could not be read, so {what}. The old file is still there: it is now called {other.name}."
    )


def _bytes(path: Path) -> bytes | None:
    """What the file holds; None where there is none."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as trouble:
        raise NotKept(f"{path.name} could not be opened in {path.parent}. {why(trouble)}") from trouble


def _json(path: Path, what: str) -> dict[str, Any]:
    raw = _bytes(path)
    if raw is None:
        return {}
    try:
        held = json.loads(raw.decode("utf-8"))
    except (ValueError, RecursionError):
        held = None
    if not isinstance(held, dict):
        _put_aside(path, what)
        return {}
    return held


# --- who is working ------------------------------------------------------------------------------------------------


def me(home: Path | None = None) -> Me | None:
    """Who is working here; None where nobody has said so yet."""
    path = (home or folder()) / ME
    raw = _bytes(path)
    if raw is None:
        return None
    try:
        held = tomllib.loads(raw.decode("utf-8"))
        code, number = held["class"], held["number"]
    except (ValueError, KeyError, RecursionError):
        code, number = None, None
    if not (isinstance(code, str) and _plain(code) and type(number) is int and 1 <= number <= 99):
        _put_aside(path, "please type your class code and your own number once more in 00_start")
        return None
    return Me(code, number)


def save_me(class_code: str, number: int, home: Path | None = None) -> Me:
    """Keep a class code in its normal form (letters and digits only) and an own number, 1 to 99."""
    if not _plain(class_code):
        raise ValueError("A class code here is made of letters and digits, at least one and 60 at most.")
    if not 1 <= number <= 99:
        raise ValueError("An own number is a whole number from 1 to 99.")
    _write((home or folder()) / ME, f'class = "{class_code}"\nnumber = {number}\n')
    return Me(class_code, number)


def _plain(code: str) -> bool:
    return 1 <= len(code) <= 60 and code.isalnum()


def answers_path(who: Me, home: Path | None = None) -> Path:
    """The result file of one class code and own number."""
    return (home or folder()) / f"answers-{who.class_code}-{who.number}.jsonl"


def class_sheet(home: Path | None = None) -> dict[str, Any]:
    """What the teacher's class.toml says; {} where there is none. It is the teacher's, so it is never moved."""
    path = (home or folder()) / CLASS
    raw = _bytes(path)
    if raw is None:
        return {}
    try:
        return tomllib.loads(raw.decode("utf-8-sig").replace("\r\n", "\n"))
    except (ValueError, RecursionError) as trouble:
        line = re.search(r"at line \d+", str(trouble))
        where = f" ({line.group()})" if line else ""
        raise NotKept(f"{CLASS} from your teacher cannot be read{where}. Ask for the file once more.") from trouble


# --- what was kept -------------------------------------------------------------------------------------------------


def settings(lesson: int, home: Path | None = None) -> list[dict[str, Any]]:
    """The settings kept for a lesson, in the order in which they were kept; [] at first."""
    held = _json((home or folder()) / SETTINGS, "your kept settings start afresh").get(str(lesson), [])
    return [one for one in held if isinstance(one, dict)] if isinstance(held, list) else []


def save_settings(lesson: int, kept: list[dict[str, Any]], home: Path | None = None) -> None:
    """Keep these settings for a lesson; those of the other lessons stay as they are."""
    path = (home or folder()) / SETTINGS
    everything = _json(path, "your kept settings start afresh")
    everything[str(lesson)] = kept
    _write(path, json.dumps(everything, ensure_ascii=False, indent=1) + "\n")


def batch(home: Path | None = None) -> dict[str, Any]:
    """The batch that was kept last; {} at first."""
    return _json((home or folder()) / BATCH, "your own batch starts afresh")


def save_batch(held: Mapping[str, Any], home: Path | None = None) -> None:
    """Keep a batch in the place of the one before."""
    _write((home or folder()) / BATCH, json.dumps(dict(held), ensure_ascii=False, indent=1) + "\n")


# --- seeing it, and taking it away ---------------------------------------------------------------------------------


def result_file(who: Me, home: Path | None = None) -> str:
    """Exactly what the result file holds, "" where there is none yet."""
    return (_bytes(answers_path(who, home)) or b"").decode("utf-8", errors="replace")


def all_of_mine(who: Me | None, home: Path | None = None) -> list[Path]:
    """The files that `delete_all` would delete: this person's answers, who they are, and all that was kept.

    The teacher's class.toml, the notebooks, and answers under another class code or number stay.
    """
    home = home or folder()
    answers = answers_path(who, home).name if who else None
    names = [ME, SETTINGS, BATCH] + ([answers] if answers else [])
    try:
        here = sorted(home.iterdir()) if home.is_dir() else []
    except OSError as trouble:
        raise NotKept(f"{home} could not be opened. {why(trouble)}") from trouble

    def ours(name: str) -> bool:
        bare = name.removeprefix(".")  # a lock or a scrap lies beside its file, with the file's name in its own
        return name in names or any(bare.startswith((f"{n}{ASIDE}", f"{n}.")) for n in names)

    return [path for path in here if path.is_file() and ours(path.name)]


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
