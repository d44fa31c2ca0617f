"""Floor 4. What was typed, kept in a file that anyone can read: one line of JSON for each answer.

The file only grows. Each line is written under a lock, flushed and synced to the disk before `append` returns, so
that a computer that stops at any moment loses at most the answer being written. No right answer, no verdict, no name
and no time finer than the day is in it. Reading treats a file as data and nothing else: a line that is torn, foreign
or changed by hand is named and skipped.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, BinaryIO

from herbcalc import __version__
from herbcalc.homework.draws import LAST_NUMBER, normal_form
from herbcalc.homework.item import REDRAWS, Item
from herbcalc.homework.reading import LONGEST, as_text, quoted
from herbcalc.units.refusals import OutOfRange

if sys.platform == "win32":
    import msvcrt
elif sys.platform != "emscripten":  # a browser runs one process and has no locks
    import fcntl

SCHEMA = 1
FIELDS = (
    "schema",
    "herbcalc",
    "class",
    "number",
    "item",
    "edition",
    "go",
    "try",
    "typed",
    "sure",
    "tier",
    "day",
)
SURE = ("sure", "fairly", "guessing", "")
LONGEST_LINE = 8000  # bytes; 500 characters, each written as an escape, and the other fields
LARGEST_FILE = 8_000_000  # bytes; some 30,000 answers
MOST_NOTES = 50
_FAR = 1 << 40  # the byte that Windows locks, far beyond the end of any result file
_CODE = re.compile(r"\d{1,2}\.\d{1,2}")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


class NotSaved(Exception):
    """The answer is not on the disk. The text is a sentence for the screen; what was typed is still with the "
    "caller."""


@dataclass(frozen=True)
class Answer:
    """One typed answer, as it is kept. `attempt` stands as "try" in the file, `class_code` as "class"."""

    class_code: str
    number: int
    item: str
    edition: int
    go: int
    attempt: int
    typed: str
    sure: str = ""
    tier: int = 1
    day: str = ""
    schema: int = SCHEMA
    herbcalc: str = __version__

    def line(self) -> str:
        """The line of the file, without its end."""
        values = (
            self.schema,
            self.herbcalc,
            self.class_code,
            self.number,
            self.item,
            self.edition,
            self.go,
            self.attempt,
            self.typed,
            self.sure,
            self.tier,
            self.day,
        )
        return json.dumps(dict(zip(FIELDS, values, strict=True)))


def answer_to(item: Item, typed: Any, sure: str = "", tier: int = 1, day: str | None = None) -> Answer:
    """What is kept of an answer to an item.

    Arguments: item; typed, as it was typed, 500 characters at most; sure, "sure", "fairly", "guessing" or ""; tier,
    0 to 4; day, year-month-day, today when left out. Result: Answer. Refusals: OutOfRange.

    >>> from herbcalc.homework import item
    >>> answer_to(item(5, 1, "fern7", 3), "240 mL", day="2026-03-02").item
    '5.1'
    """
    text = as_text(typed)
    if len(text) > LONGEST:
        raise OutOfRange(f"An answer has {LONGEST} characters at most; this one has {len(text)}.")
    if sure not in SURE:
        raise OutOfRange('How sure you are is "sure", "fairly" or "guessing".')
    return Answer(
        item.class_code,
        item.own_number,
        item.code,
        item.edition,
        item.go,
        item.attempt,
        text,
        sure,
        tier,
        date.today().isoformat() if day is None else day,
    )


def append(path: str | os.PathLike[str], answer: Answer) -> None:
    """Add one answer to a result file, and return only when it is on the disk.

    Arguments: path of the file, made with its folder if it is not there; answer. Result: nothing.
    Refusals: NotSaved, in a sentence, where the folder cannot be written or the disk is full; a half-written line
    is taken away again.

    >>> import tempfile
    >>> from herbcalc.homework import item
    >>> file = Path(tempfile.mkdtemp()) / "answers-fern7-3.jsonl"
    >>> append(file, answer_to(item(5, 1, "fern7", 3), "240 mL", day="2026-03-02"))
    >>> [answer.typed for answer in read(file)[0]]
    ['240 mL']
    """
    file = Path(path)
    line = answer.line().encode("utf-8") + b"\n"
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("a+b", buffering=0) as raw, _locked(raw):
            _add(raw, line)
    except OSError as trouble:
        raise NotSaved(
            f"Your answer could not be kept in {file}: {trouble.strerror or 'the disk said no'}. It still stands on "
            "the screen. Make room on the disk, or choose a folder that you may write to, and send it again."
        ) from trouble


def _add(raw: Any, line: bytes) -> None:
    """Write a whole line or none; a torn line before it is closed first, so that the new one stands alone."""
    end = raw.seek(0, os.SEEK_END)
    if end:
        raw.seek(end - 1)
        if raw.read(1) != b"\n":
            line = b"\n" + line
        raw.seek(0, os.SEEK_END)
    try:
        written = 0
        while written < len(line):
            written += raw.write(line[written:])
        os.fsync(raw.fileno())
    except OSError:
        with contextlib.suppress(OSError):  # the first refusal is the one to tell
            raw.truncate(end)
        raise


@contextlib.contextmanager
def _locked(raw: Any) -> Iterator[None]:
    """Let one process write at a time; the lock goes with the process, whatever ends it."""
    if sys.platform == "win32":
        raw.seek(_FAR)
        msvcrt.locking(raw.fileno(), msvcrt.LK_LOCK, 1)
        try:
            yield
        finally:
            raw.seek(_FAR)
            msvcrt.locking(raw.fileno(), msvcrt.LK_UNLCK, 1)
    elif sys.platform == "emscripten":
        yield
    else:
        fcntl.flock(raw.fileno(), fcntl.LOCK_EX)
        try:
            yield
        finally:
            fcntl.flock(raw.fileno(), fcntl.LOCK_UN)


def read(path: str | os.PathLike[str]) -> tuple[list[Answer], list[str]]:
    """All answers of a result file, and a note for each line that was skipped.

    Arguments: path. Result: (answers in the order they were given, notes in sentences). A file that is not there
    gives no answers and no notes. Nothing in the file is ever run; it is read line by line.

    >>> read("no-such-file.jsonl")
    ([], [])
    """
    answers: list[Answer] = []
    notes: list[str] = []
    skipped = 0
    for found in stream(path):
        if isinstance(found, Answer):
            answers.append(found)
        elif len(notes) < MOST_NOTES:
            notes.append(found)
        else:
            skipped += 1
    if skipped:
        notes.append(f"{Path(path).name}: {skipped} more lines were skipped.")
    return answers, notes


def stream(path: str | os.PathLike[str]) -> Iterator[Answer | str]:
    """The lines of a result file one by one: an Answer, or a sentence on why a line is skipped.

    Arguments: path. Result: iterator; a file larger than 8 MB is named and not read.

    >>> list(stream("no-such-file.jsonl"))
    []
    """
    file = Path(path)
    try:
        with file.open("rb") as raw:
            if os.fstat(raw.fileno()).st_size > LARGEST_FILE:
                yield f"{file.name}: this file is larger than {LARGEST_FILE // 1_000_000} MB. It is no result file."
                return
            yield from _lines(raw, file.name)
    except FileNotFoundError:
        return
    except OSError as trouble:
        yield f"{file.name}: it could not be opened ({trouble.strerror or 'the disk said no'})."


def _lines(raw: BinaryIO, name: str) -> Iterator[Answer | str]:
    count = 0
    while line := raw.readline(LONGEST_LINE + 1):
        count += 1
        where = f"{name}, line {count}"
        whole = line.endswith(b"\n")
        if not whole and len(line) > LONGEST_LINE:
            while (more := raw.readline(LONGEST_LINE)) and not more.endswith(b"\n"):
                pass
            yield f"{where}: it is too long, so it was skipped."
            continue
        if not line.strip():
            continue
        found = _answer(line)
        if isinstance(found, Answer):
            yield found
        elif not whole:
            yield f"{where}: this last line is torn off, so it was left out. The answers before it are all here."
        else:
            yield f"{where}: {found}, so it was skipped."


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len({key for key, _ in pairs}) != len(pairs):
        raise ValueError("a name stands twice")
    return dict(pairs)


def _no_number(text: str) -> Any:
    raise ValueError(text)


def _answer(line: bytes) -> Answer | str:
    """An Answer from one line, or in a few words why it is none."""
    try:
        fields = json.loads(line.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_number)
    except (ValueError, RecursionError):
        return f"{quoted(line[:400].decode('utf-8', 'replace'))} is torn, or is no line of a result file"
    if not isinstance(fields, dict) or set(fields) != set(FIELDS):
        return "it is not a line of this workbook"
    if fields["schema"] != SCHEMA or isinstance(fields["schema"], bool):
        return "it was kept by another version of the workbook"
    changed = _changed(fields)
    if changed:
        return f"it was changed by hand ({changed})"
    return Answer(
        fields["class"],
        fields["number"],
        fields["item"],
        fields["edition"],
        fields["go"],
        fields["try"],
        fields["typed"],
        fields["sure"],
        fields["tier"],
        fields["day"],
        fields["schema"],
        fields["herbcalc"],
    )


def _whole(value: Any, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _changed(fields: dict[str, Any]) -> str:
    """The name of the first field that no workbook would have written, or ""."""
    checks = {
        "herbcalc": lambda v: isinstance(v, str) and len(v) <= 40,
        "class": lambda v: isinstance(v, str) and _is_normal(v),
        "number": lambda v: _whole(v, 1, LAST_NUMBER),
        "item": lambda v: isinstance(v, str) and _CODE.fullmatch(v) is not None,
        "edition": lambda v: _whole(v, 1, 1000),
        "go": lambda v: _whole(v, 1, 1000),
        "try": lambda v: _whole(v, 1, REDRAWS),
        "typed": lambda v: isinstance(v, str) and len(v) <= LONGEST,
        "sure": lambda v: isinstance(v, str) and v in SURE,
        "tier": lambda v: _whole(v, 0, 4),
        "day": lambda v: isinstance(v, str) and _is_day(v),
    }
    return next((name for name, fits in checks.items() if not fits(fields[name])), "")


def _is_normal(code: str) -> bool:
    try:
        return normal_form(code) == code
    except OutOfRange:
        return False


def _is_day(text: str) -> bool:
    if not _DAY.fullmatch(text):
        return False
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def tries(answers: list[Answer], item: Item) -> list[Answer]:
    """The answers that belong to one item: same class, number, item, edition, go and figures.

    Arguments: answers, as `read` gives them; item. Result: list of Answer, in order.

    >>> tries([], None)
    []
    """
    return [
        answer
        for answer in answers
        if (answer.class_code, answer.number, answer.item, answer.edition, answer.go, answer.attempt)
        == (item.class_code, item.own_number, item.code, item.edition, item.go, item.attempt)
    ]
