"""Floor 4. The files that a class hands in: found in a folder, opened once each, and read as data.

They come from strangers. Nothing in them is run; no link is followed; a device or a pipe is never opened; what is too
large is not read. Whatever is not a result file, or only in part, is named with the reason.
"""

from __future__ import annotations

import errno
import hashlib
import os
import re
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from herbcalc.homework.results import LARGEST_FILE, Answer, in_order, of_bytes
from herbcalc.person import spelling

DEEPEST = 3  # folders inside the folder: a class, a week, a student, as mail and drives lay them
MOST_FILES = 20_000
MOST_NOTES = 5  # of one file; the rest is counted
GIVEN_UP = 1000  # lines that are none of ours, after which nobody looks for more
LONGEST_NAME = 90  # characters of a file's name that are shown
_NAME = re.compile(r"answers-(\w{1,60})-(\d{1,2})(?!\d)")
_ARCHIVES = {
    b"PK\x03\x04": "zip",
    b"PK\x05\x06": "zip",
    b"\x1f\x8b": "gzip",
    b"7z\xbc\xaf\x27\x1c": "7z",
    b"Rar!\x1a\x07": "rar",
    b"BZh": "bzip2",
    b"\xfd7zXZ": "xz",
    b"\x28\xb5\x2f\xfd": "zstd",
}
_OFFICE = (b"[Content_Types].xml", b"mimetypeapplication/vnd.oasis")  # a zip too, and none that anybody unpacks
_OFFICE_SAYS = 200  # bytes in which it says so
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")  # how a text begins that an editor has turned into it
_A_LINE = b'\n{"schema": '  # how a line of ours begins
_OURS = re.compile(rb'"(schema|herbcalc|typed)":')  # what stands in every line of ours, even in a piece of one
# What a text of another kind looks like, by how it begins; the last fits all.
_LOOKS = (
    (re.compile(r'\{\s*"(cells|metadata|nbformat)":'), "a notebook"),
    (re.compile(r"<[!?a-z]", re.IGNORECASE), "a web page"),
    (re.compile(r"[{[]\s*[]}\"{[0-9]"), "a file in which a program keeps something"),
    (re.compile(r"(#.*\s+)*(\[[\w.-]+\]\s*\n|[\w-]+ *= *\S)"), "a sheet of settings, as class.toml is one"),
    (re.compile(""), "a text that somebody wrote"),
)
_BEGINS = 2000  # bytes of a text that tell what it looks like
_TAR = 257  # where a tar file says that it is one
_KINDS = (
    (stat.S_ISFIFO, "it is a pipe, not a file, so it was not opened"),
    (stat.S_ISSOCK, "it is a socket, not a file, so it was not opened"),
    (stat.S_ISCHR, "it is a device, not a file, so it was not opened"),
    (stat.S_ISBLK, "it is a device, not a file, so it was not opened"),
)


@dataclass(frozen=True)
class Aside:
    """Something in the folder that does not count, or not wholly: its name, as it may be shown, and the reason."""

    name: str
    reason: str


@dataclass(frozen=True)
class File:
    """A plain file that may be opened: its path, and its name as it may be shown."""

    path: str
    name: str


@dataclass(frozen=True)
class Paper:
    """A result file that was read: whose it is, its answers in order, what was left out of it, and a fingerprint."""

    name: str
    class_code: str
    number: int
    answers: tuple[Answer, ...]
    notes: tuple[Aside, ...]
    print: str


def shown(name: str) -> str:
    """A file's name as it may stand on a screen or a page: on one line, and not endless.

    >>> shown("a\\x1b[31m\\nb"), len(shown("x" * 300))
    ('a?[31m?b', 90)
    """
    plain = "".join(letter if letter.isprintable() else "?" for letter in name[:300])
    return plain if len(plain) <= LONGEST_NAME else f"{plain[: LONGEST_NAME - 1]}…"


def files(folder: str | os.PathLike[str]) -> Iterator[File | Aside]:
    """What lies in a folder and in the folders inside it, three deep, in the order of their names.

    folder  of the class, or of several classes

    Result: iterator; a File may be opened, an Aside says why something is not. Nothing is opened here.
    Refuses: a folder that cannot be looked into (OSError).

    >>> import tempfile
    >>> list(files(tempfile.mkdtemp()))
    []
    """
    seen: dict[tuple[int, int], str] = {}
    count = 0
    for found in _inside(os.fspath(folder), "", 0):
        if isinstance(found, Aside):
            yield found
            continue
        entry, name = found
        count += 1
        if count > MOST_FILES:
            yield Aside(name, f"over {MOST_FILES:,} files lie here; it and those after it were not opened")
            return
        yield _file(entry, name, seen)


def _inside(folder: str, above: str, depth: int) -> Iterator[tuple[os.DirEntry[str], str] | Aside]:
    with os.scandir(folder) as entries:
        here = sorted(islice(entries, MOST_FILES + 1), key=lambda entry: entry.name)
    for entry in here:
        name = shown(above + entry.name)
        try:
            if entry.is_symlink():
                yield Aside(name, "it is a link to something else, so it was not followed")
            elif not entry.is_dir(follow_symlinks=False):
                yield entry, name
            elif depth == DEEPEST:
                yield Aside(name, f"it is a folder inside {DEEPEST} others, and nobody looks deeper")
            else:
                yield from _inside(entry.path, f"{above}{entry.name}/", depth + 1)
        except OSError as trouble:
            yield Aside(name, f"it could not be looked into. {_refused(trouble)}")


def _file(entry: os.DirEntry[str], name: str, seen: dict[tuple[int, int], str]) -> File | Aside:
    """One entry that is no folder and no link: a file to open, or why it is none."""
    try:
        what = os.lstat(entry.path)
    except OSError as trouble:
        return Aside(name, f"it could not be looked at. {_refused(trouble)}")
    reason = _no_file(what)
    same = seen.setdefault((what.st_dev, what.st_ino), name)
    if not reason and same != name:
        reason = f"it is the same file as {same} under a second name, and is read once"
    return Aside(name, reason) if reason else File(entry.path, name)


def _no_file(what: os.stat_result) -> str:
    """Why something is not opened, by its kind and size; "" where it may be."""
    for is_kind, reason in _KINDS:
        if is_kind(what.st_mode):
            return reason
    if not stat.S_ISREG(what.st_mode):
        return "it is no plain file, so it was not opened"
    return no_size(what.st_size)


def no_size(size: int) -> str:
    """Why a file of so many bytes is not read; "" where it may be.

    >>> no_size(0), no_size(2000)
    ('it is empty', '')
    """
    if size == 0:
        return "it is empty"
    if size > LARGEST_FILE:
        return f"it is larger than {LARGEST_FILE // 1_000_000} MB, and no homework is, so it was not opened"
    return ""


def read(file: File) -> Paper | Aside:
    """Open a file, once, and read what a student handed in.

    file  as `files` gives it

    Result: Paper, or an Aside that says why it is none.

    >>> read(File("no-such-file", "no-such-file")).reason.partition(".")[0]
    'it could not be opened'
    """
    try:
        held = _bytes(file.path)
    except OSError as trouble:
        return Aside(file.name, f"it could not be opened. {_refused(trouble)}")
    return Aside(file.name, held) if isinstance(held, str) else looked_at(held, file)


def looked_at(held: bytes, file: File) -> Paper | Aside:
    """What was read of a file already, or came from a browser; nothing is opened. `file` says how it is called.

    >>> looked_at(b"", File("a.jsonl", "a.jsonl")).reason
    'it is empty'
    """
    reason = no_size(len(held))
    if reason:
        return Aside(file.name, reason)
    return _no_text(file.name, held) or _of_another_kind(file.name, held) or _paper(file, held)


def _bytes(path: str) -> bytes | str:
    """All of a file, or why it is not read. What was a file a moment ago may be a link or a pipe by now."""
    how = os.O_RDONLY
    for careful in ("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC", "O_NOCTTY", "O_BINARY"):
        how |= getattr(os, careful, 0)
    with open(os.open(path, how), "rb") as raw:  # noqa: PTH123 - it was opened by number, so that no link is followed
        reason = _no_file(os.fstat(raw.fileno()))
        if reason:
            return reason
        held = raw.read(LARGEST_FILE + 1)
    return held if len(held) <= LARGEST_FILE else "it grew while it was read"


def _refused(trouble: OSError) -> str:
    """Why the computer gives something not out, in a sentence."""
    if trouble.errno in (errno.EACCES, errno.EPERM):
        return "This computer does not let us read it. Copy it as the person whose it is, and look again"
    if trouble.errno == errno.ELOOP:
        return "It is a link by now, and links are not followed"
    return f"The computer says: {trouble.strerror or trouble}"


def _no_text(name: str, held: bytes) -> Aside | None:
    """Why some bytes are not looked at line by line."""
    kind = next((kind for start, kind in _ARCHIVES.items() if held.startswith(start)), "")
    if kind == "zip" and any(mark in held[:_OFFICE_SAYS] for mark in _OFFICE):
        return Aside(name, "it is a document of an office program, and a result file is plain text")
    if kind or held[_TAR : _TAR + 5] == b"ustar":
        return Aside(name, f"it is an archive ({kind or 'tar'}). Unpack it, and take what is inside instead")
    ours = held[:2] in _UTF_16 or _A_LINE in held  # power that fails may leave a block of zeros
    if b"\0" in held[:4096] and not ours:
        return Aside(name, "it is no text (a picture or a program, perhaps), and a result file is")
    return None


def _of_another_kind(name: str, held: bytes) -> Aside | None:
    """What a text looks like that is no result file at all, whole or torn, and how to come to one."""
    begins = held[:_BEGINS].removeprefix(b"\xef\xbb\xbf").decode("utf-8", "replace").lstrip()
    if not begins or held[:2] in _UTF_16 or _OURS.search(held):
        return None
    look = next(look for sign, look in _LOOKS if sign.match(begins))
    return Aside(
        name,
        f"it is no result file; it looks like {look}. The button Save my answers to hand in makes the file that is "
        "wanted",
    )


def _paper(file: File, held: bytes) -> Paper | Aside:
    name = file.name
    answers: list[Answer] = []
    notes: list[str] = []
    skipped = 0
    for found in of_bytes(held, name):
        if isinstance(found, Answer):
            answers.append(found)
        elif (skipped := skipped + 1) <= MOST_NOTES:
            notes.append(found.removeprefix(f"{name}, "))
        elif skipped > GIVEN_UP:
            return Aside(name, f"more than {GIVEN_UP} of its lines are none of a result file ({_why(notes)})")
    if not answers:
        so = _why(notes)
        return Aside(name, f"it is no result file ({so})" if so else "nothing stands in it")
    whose = {(answer.class_code, answer.number) for answer in answers}
    if len(whose) > 1:
        some = " and ".join(f"class {code}, number {number}" for code, number in sorted(whose)[:3])
        return Aside(name, f"it was put together by hand: its lines are of {some}, so nobody can tell whose it is")
    code, number = next(iter(whose))
    if (said := _named(file.path)) and said != (code, number):
        return Aside(
            name,
            f"its name says class {said[0]}, number {said[1]}, and its lines say class {code}, number {number}. Ask "
            "whose it is, give it the name that fits, and look again",
        )
    if skipped > MOST_NOTES:
        notes.append(f"{skipped - MOST_NOTES} more lines were skipped.")
    told = tuple(Aside(name, note) for note in notes)
    return Paper(name, code, number, tuple(in_order(answers)), told, hashlib.sha256(held).hexdigest())


def _why(notes: list[str]) -> str:
    """What the first note says, to stand in brackets; "" where there is none."""
    return notes[0].split(", so it was")[0] if notes else ""


def _named(path: str) -> tuple[str, int] | None:
    """The class and number that a file's name says; None where it says none. Where it is shown, it may be cut off."""
    found = _NAME.match(Path(path).name)
    return (spelling(found[1]), int(found[2])) if found else None
