"""Floor 4. What was typed, kept in a file that anyone can read: one line of JSON for each answer.

The file only grows. Each line is written under a lock, synced to the disk and read back before `append` returns, so
that a computer that stops at any moment loses at most the answer being written. A browser has no locks, and writes
whole files back: there each tab looks a moment later whether its line still stands, and puts it back where another
tab has written over it. That holds while no tab takes longer than that moment to write.

No right answer, no verdict, no name and no time finer than the day is in it. Reading treats a file as data and
nothing else: a line that is torn, foreign or changed by hand is named and skipped.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any, BinaryIO, TextIO

from herbcalc import __version__
from herbcalc.homework.draws import LAST_NUMBER, REDRAWS, first_go_of, normal_form
from herbcalc.homework.filled import Filled
from herbcalc.homework.reading import LONGEST, as_text, quoted
from herbcalc.person.writing import NotKept, alone, locked, not_kept, put_aside, turn, why
from herbcalc.units.refusals import OutOfRange

SCHEMA = 2
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
LATER_FIELDS = ("ticked", "mended")  # since schema 2
SURE = ("sure", "fairly", "guessing", "")
LONGEST_LINE = 8000  # bytes; 500 characters, each written as an escape, and the other fields
LARGEST_FILE = 8_000_000  # bytes; some 30,000 answers
DEEPEST = 2 * LONGEST + 2  # brackets in a line, before it is parsed: its own, and two texts full of them
TORN = "is torn, or is no line of a result file"
MOST_NOTES = 50
MOST_TICKS = 9
WHOLE_WAY = 4  # the tier at which all steps are shown
FADES = 2  # sets after that which still come with steps given
IN_BROWSER = sys.platform == "emscripten"
MOMENT = 0.3  # s after which a tab looks whether its line still stands; one writes in some 0.02 s
LOOKS = 10
FIRST_DAY = "2025-01-01"  # no answer is older than this workbook; a computer whose battery ran down says it is
_UTF_16 = {b"\xff\xfe": "utf-16-le", b"\xfe\xff": "utf-16-be"}
_CODE = re.compile(r"[1-9][0-9]?\.[1-9][0-9]?")  # one spelling: whoever looks an item up asks for it by this
_DAY = re.compile(r"(?:19|[2-9][0-9])[0-9]{2}-[0-9]{2}-[0-9]{2}")  # a clock may stand in 1970, and none in the year 1


class NotSaved(Exception):
    """The answer is not on the disk. The text is a sentence for the screen; what was typed is still with the
    caller."""


@dataclass(frozen=True)
class Answer:
    """One typed answer, as it is kept. `attempt` stands as "try" in the file, `class_code` as "class".

    `ticked` are the points that the writer ticked, counted from 1, and `mended` is the figure that was put in place
    of the one that slipped; an answer of schema 1 has neither. A line with nothing typed and nothing said of how
    sure one is stands for a fresh set of figures that was asked for; its tier is the help that was shown before.
    """

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
    ticked: tuple[int, ...] = ()
    mended: str = ""

    @property
    def asks_for_fresh(self) -> bool:
        return not self.typed and not self.sure

    def line(self) -> str:
        """The line of the file, without its end."""
        fields = {
            "schema": self.schema,
            "herbcalc": self.herbcalc,
            "class": self.class_code,
            "number": self.number,
            "item": self.item,
            "edition": self.edition,
            "go": self.go,
            "try": self.attempt,
            "typed": self.typed,
            "sure": self.sure,
            "tier": self.tier,
            "day": self.day,
        }
        if self.schema > 1:
            fields |= {"ticked": list(self.ticked), "mended": self.mended}
        return json.dumps(fields)


def answer_to(
    item: Filled,
    typed: Any,
    sure: str = "",
    tier: int = 1,
    day: str | None = None,
    ticked: Iterable[int] = (),
    mended: str = "",
) -> Answer:
    """What is kept of an answer to an item.

    item    what was asked
    typed   as it was typed, 500 characters at most
    sure    "sure", "fairly", "guessing" or ""
    tier    0 to 4
    day     year-month-day, today when left out
    ticked  the points ticked, counted from 1
    mended  the figure put in place of the one that slipped, 500 characters at most

    Result: Answer. Ticks and a mended figure come after the answer: they are kept as the same answer once more, and
    `tries` takes the two for one.
    Refuses: what is longer or of another kind (OutOfRange).

    >>> from herbcalc.homework import item
    >>> answer_to(item(5, 1, "fern7", 3), "240 mL", day="2026-03-02").item
    '5.1'
    """
    text, mended = as_text(typed), as_text(mended)
    for kept in (text, mended):
        if len(kept) > LONGEST:
            raise OutOfRange(f"An answer has {LONGEST} characters at most; this one has {len(kept)}.")
    if sure not in SURE:
        raise OutOfRange('How sure you are is "sure", "fairly" or "guessing".')
    points = tuple(sorted(set(ticked)))
    if not _are_ticks(list(points)):
        raise OutOfRange(f"Points are counted from 1 to {MOST_TICKS}. 1 and 3 would work.")
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
        ticked=points,
        mended=mended,
    )


def fresh_set(item: Filled, tier: int = 1, day: str | None = None) -> Answer:
    """What is kept when a fresh set of figures is asked for, so that it is there when the notebook opens again.

    item  with the fresh figures
    tier  the help that was shown for the figures before
    day   year-month-day, today when left out

    Result: Answer, to be appended like any other.

    >>> from herbcalc.homework import item
    >>> fresh_set(item(5, 1, "fern7", 3, go=2), tier=4, day="2026-03-02").asks_for_fresh
    True
    """
    return answer_to(item, "", "", tier, day)


def append(path: str | os.PathLike[str], answer: Answer) -> None:
    """Add one answer to a result file, and return only when it is on the disk.

    path    of the file, made with its folder if it is not there
    answer  what is kept

    A file that has grown too large to be read is put aside first, and a new one begins; `person.news` says so.
    Refuses: where the folder cannot be written or the disk is full (NotSaved, in a sentence); a half-written line is
    taken away again.

    >>> import tempfile
    >>> from herbcalc.homework import item
    >>> file = Path(tempfile.mkdtemp()) / "answers-fern7-3.jsonl"
    >>> append(file, answer_to(item(5, 1, "fern7", 3), "240 mL", day="2026-03-02"))
    >>> [answer.typed for answer in read(file)[0]]
    ['240 mL']
    """
    file = Path(path)
    line = answer.line().encode("utf-8") + b"\n"
    with _to_be_told("Your answer", file, "What you typed still stands on the screen."):
        file.parent.mkdir(parents=True, exist_ok=True)
        if _too_large(file):
            _begin_anew(file)
        _in_turn(file, _adding(file, line))


def merge(path: str | os.PathLike[str], answers: Sequence[Answer]) -> int:
    """Add those of another file's answers that are not in a result file yet, and return when they are on the disk.

    path     of the file, made with its folder if it is not there
    answers  of the same class and number, in their order

    Result: how many were added. What is there stays as it is, and nothing is there twice: an answer that another file
    has three times is added until this one has it three times. So whoever is cut off in the middle does it again.
    Refuses (NotSaved, in a sentence): what `append` refuses, and more than one file may hold.

    >>> import tempfile
    >>> from herbcalc.homework import item
    >>> one = answer_to(item(5, 1, "fern7", 3), "240 mL", day="2026-03-02")
    >>> file = Path(tempfile.mkdtemp()) / "answers-fern7-3.jsonl"
    >>> merge(file, [one, one]), merge(file, [one])
    (2, 0)
    """
    file = Path(path)
    with _to_be_told("These answers", file, "Nothing that was there is lost."):
        file.parent.mkdir(parents=True, exist_ok=True)
        return _in_turn(file, lambda _: _add_missing(file, answers))


def missing(path: str | os.PathLike[str], answers: Sequence[Answer]) -> list[Answer]:
    """Those of another file's answers that a result file does not hold yet, in their order: what `merge` would add.

    >>> missing("no-such-file.jsonl", [])
    []
    """
    return _not_in(Counter(read(path)[0]), answers)


def _not_in(there: Counter[Answer], answers: Sequence[Answer]) -> list[Answer]:
    found = []
    for answer in answers:
        there[answer] -= 1
        if there[answer] < 0:
            found.append(answer)
    return found


def _add_missing(file: Path, answers: Sequence[Answer]) -> int:
    """Add what is missing under one lock, in which the file is read too; how many that was."""
    with _open(file, "a+b") as raw, locked(raw) as sole:
        raw.seek(0)
        held = raw.read()
        new = _not_in(Counter(one for one in of_bytes(held, file.name) if isinstance(one, Answer)), answers)
        lines = "".join(f"{answer.line()}\n" for answer in new).encode("utf-8")
        if len(held) + len(lines) > LARGEST_FILE:
            raise NotKept(
                f"Together they are larger than {LARGEST_FILE // 1_000_000} MB, and no file of answers may be. "
                "Nothing was added. Hand in both, and your teacher has all of them."
            )
        if new:
            _write(raw, lines, sole)
    return len(new)


@contextlib.contextmanager
def _to_be_told(what: str, file: Path, so: str) -> Iterator[None]:
    """Whatever the disk refuses meanwhile comes as NotSaved, in a sentence that ends with `so`."""
    try:
        yield
    except OSError as trouble:
        said = str(trouble) if isinstance(trouble, NotKept) else not_kept(what, file, trouble)
        raise NotSaved(f"{said} {so}") from trouble


def _open(file: Path, how: str) -> BinaryIO:
    """The file: "a+b" to add at its end, whoever else adds to it, "rb" to read. A browser writes the first back."""
    try:
        return file.open(how, buffering=0)  # type: ignore[return-value]
    except FileExistsError:  # on the site's drive: another page made it in this very moment, so now it is there
        return file.open(how, buffering=0)  # type: ignore[return-value]


def _too_large(file: Path) -> bool:
    try:
        return file.stat().st_size > LARGEST_FILE
    except FileNotFoundError:
        return False


def _begin_anew(file: Path) -> None:
    """Put a file aside that is too large to be read."""
    with alone(file):
        if _too_large(file):  # or another window has just done it
            so = "a new one begins with your answer. Hand in both, and your teacher has all of them"
            put_aside(file, so)


def _in_turn(file: Path, add: Callable[[bool], int]) -> int:
    """Add to a file when it is this tab's turn; where nobody gives turns, look again until nothing is missing. Gives
    how many lines were added, each counted once; `add` does so too, and is told whether nobody can write over them.
    """
    with turn(file) as sole:
        if sole or not IN_BROWSER:
            return add(True)
    added = 0
    for _ in range(LOOKS):
        more = add(False)
        added = max(added, more)
        if not more:
            return added
        time.sleep(MOMENT)  # another tab may be writing over it
    raise OSError("another page wrote over it again and again")


def _adding(file: Path, line: bytes) -> Callable[[bool], int]:
    """Adds a line once more than it stands in a file at first, for `_in_turn`."""
    before: list[int] = []

    def add(sole: bool) -> int:
        if not sole:
            before.append(_count(file, line))
            if before[-1] > before[0]:
                return 0
        _add(file, line)
        return 1

    return add


def _count(file: Path, line: bytes) -> int:
    """How often a line stands in a file."""
    try:
        with _open(file, "rb") as raw:
            held = raw.read()
        return held.count(line.strip().decode("utf-8").encode(_UTF_16.get(held[:2], "utf-8")))
    except FileNotFoundError:
        return 0


def _add(file: Path, line: bytes) -> None:
    """Add a line under a lock; where the folder lends none, the end of a file is still found and written in one."""
    with _open(file, "a+b") as raw, locked(raw) as sole:
        _write(raw, line, sole)


def _write(raw: BinaryIO, line: bytes, sole: bool) -> None:
    """Write a whole line or none; a torn line before it is closed first, so that the new one stands alone.

    A file that an editor has turned into UTF-16 goes on in UTF-16. `sole`: nobody else can write in the meantime.
    """
    end = raw.seek(0, os.SEEK_END)
    raw.seek(0)
    code = _UTF_16.get(raw.read(2), "utf-8")
    line = line.decode("utf-8").encode(code)
    if end:
        newline = "\n".encode(code)
        raw.seek(max(end - len(newline), 0))
        if raw.read(len(newline)) != newline:
            line = newline + line
        raw.seek(0, os.SEEK_END)
    try:
        written = 0
        while written < len(line):
            written += raw.write(line[written:])
        os.fsync(raw.fileno())
        raw.seek(-len(line), os.SEEK_CUR)
        if raw.read(len(line)) != line:
            raise OSError("what came back from the disk was not what we wrote on it")
    except OSError:
        if sole:
            with contextlib.suppress(OSError):  # the first refusal is the one to tell
                raw.truncate(end)
        raise


def read(path: str | os.PathLike[str]) -> tuple[list[Answer], list[str]]:
    """All answers of a result file, and a note for each line that was skipped.

    path  of the file; one that is not there gives no answers and no notes

    Result: (answers as `in_order` puts them, notes in sentences). Nothing in the file is ever run; it is read line by
    line.

    >>> read("no-such-file.jsonl")
    ([], [])
    """
    file = Path(path)
    try:
        if not _too_large(file):
            answers, notes = _read(file.name, file.read_bytes())
            return in_order(answers), list(notes)
    except OSError:  # `stream` says why
        pass
    found = list(stream(file))
    return in_order([a for a in found if isinstance(a, Answer)]), [note for note in found if isinstance(note, str)]


def in_order(answers: Iterable[Answer]) -> list[Answer]:
    """Answers by their days, those of one day as they stand: what `merge` has added may be older than what was there.

    A day that no answer can be of comes from a calendar that is off; such an answer stays behind the one before it.

    >>> in_order([])
    []
    """
    last, day = last_day(), ""
    dated: list[tuple[str, Answer]] = []
    for answer in answers:
        day = answer.day if FIRST_DAY <= answer.day <= last else day
        dated.append((day, answer))
    return [answer for _, answer in sorted(dated, key=lambda one: one[0])]


def last_day() -> str:
    """The last day that an answer can be of, year-month-day: tomorrow, which has begun where some students live."""
    return (date.today() + timedelta(days=1)).isoformat()


@lru_cache(maxsize=1)  # the cards of a page read the same bytes one after the other
def _read(name: str, held: bytes) -> tuple[tuple[Answer, ...], tuple[str, ...]]:
    answers: list[Answer] = []
    notes: list[str] = []
    skipped = 0
    for found in of_bytes(held, name):
        if isinstance(found, Answer):
            answers.append(found)
        elif len(notes) < MOST_NOTES:
            notes.append(found)
        else:
            skipped += 1
    if skipped:
        notes.append(f"{name}: {skipped} more lines were skipped.")
    return tuple(answers), tuple(notes)


def stream(path: str | os.PathLike[str]) -> Iterator[Answer | str]:
    """The lines of a result file one by one: an Answer, or a sentence on why a line is skipped.

    path  of the file; one larger than 8 MB is named and not read

    Result: iterator.

    >>> list(stream("no-such-file.jsonl"))
    []
    """
    file = Path(path)
    try:
        with file.open("rb") as raw:
            if os.fstat(raw.fileno()).st_size > LARGEST_FILE:
                yield (
                    f"{file.name}: this file is larger than {LARGEST_FILE // 1_000_000} MB, some 35,000 answers, so "
                    "it was not read. It stays, and a new one begins with the next answer."
                )
                return
            yield from _decoded(raw, file.name)
    except FileNotFoundError:
        return
    except OSError as trouble:
        yield f"{file.name}: it could not be opened. {why(trouble)}"


def of_bytes(held: bytes, name: str) -> Iterator[Answer | str]:
    """The same as `stream`, from the bytes of a file that was read already; `name` stands in the sentences.

    >>> list(of_bytes(b"", "answers-fern7-3.jsonl"))
    []
    """
    return _decoded(io.BytesIO(held), name)


def _decoded(raw: BinaryIO, name: str) -> Iterator[Answer | str]:
    utf_16 = raw.read(2) in _UTF_16
    raw.seek(0)
    code, errors = ("utf-16", "replace") if utf_16 else ("utf-8-sig", "surrogateescape")
    text = io.TextIOWrapper(raw, encoding=code, errors=errors)
    try:
        yield from _lines(text, name)
    finally:
        text.detach()


def _lines(text: TextIO, name: str) -> Iterator[Answer | str]:
    """Line by line, whatever an editor has made of the file: a byte-order mark, UTF-16, other ends of lines."""
    count = 0
    while line := text.readline(LONGEST_LINE + 1):
        count += 1
        where = f"{name}, line {count}"
        whole = line.endswith("\n")
        if not whole and len(line) > LONGEST_LINE:
            while (more := text.readline(LONGEST_LINE)) and not more.endswith("\n"):
                pass
            yield f"{where}: it is too long, so it was skipped."
            continue
        if not line.strip():
            continue
        found = _answer(line)
        if isinstance(found, Answer):
            yield found
        elif not whole and found.endswith(TORN):
            yield f"{where}: this last line is torn off, so it was left out. The answers before it are all here."
        else:
            yield f"{where}: {found}, so it was skipped."


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len({key for key, _ in pairs}) != len(pairs):
        raise ValueError("a name stands twice")
    return dict(pairs)


def _no_number(text: str) -> Any:
    raise ValueError(text)


def _answer(line: str) -> Answer | str:
    """An Answer from one line, or in a few words why it is none."""
    try:
        if line.count("[") + line.count("{") > DEEPEST:
            raise ValueError("no line of ours is nested so deep")
        line.encode("utf-8")  # bytes that are no text came through as escapes
        fields = json.loads(line, object_pairs_hook=_once, parse_constant=_no_number)
    except (ValueError, RecursionError):
        shown = line[:400].encode("utf-8", "surrogateescape").decode("utf-8", "replace")
        return f"{quoted(shown)} {TORN}"
    if not isinstance(fields, dict) or "schema" not in fields:
        return "it is not a line of this workbook"
    schema = fields["schema"]
    if not _whole(schema, 1, SCHEMA):
        return "it was kept by another version of the workbook"
    if set(fields) != {*FIELDS, *(LATER_FIELDS if schema > 1 else ())}:
        return "it is not a line of this workbook"
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
        _shown(fields["typed"]),
        fields["sure"],
        fields["tier"],
        fields["day"],
        schema,
        fields["herbcalc"],
        tuple(fields.get("ticked", ())),
        _shown(fields.get("mended", "")),
    )


def _shown(text: str) -> str:
    """Half a character, which JSON can spell and no screen can show, becomes a question mark."""
    return text.encode("utf-8", errors="replace").decode("utf-8")


def _are_ticks(value: Any) -> bool:
    return (
        isinstance(value, list)
        and all(_whole(point, 1, MOST_TICKS) for point in value)
        and value == sorted(set(value))
    )


def _whole(value: Any, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _changed(fields: dict[str, Any]) -> str:
    """The name of the first field that no workbook would have written, or ""."""
    return next((name for name, fits in _CHECKS.items() if name in fields and not fits(fields[name])), "")


@lru_cache(maxsize=64)
def _is_normal(code: str) -> bool:
    try:
        return normal_form(code) == code
    except OutOfRange:
        return False


@lru_cache(maxsize=512)
def _is_day(text: str) -> bool:
    if not _DAY.fullmatch(text):
        return False
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


_CHECKS: dict[str, Callable[[Any], bool]] = {
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
    "ticked": lambda v: _are_ticks(v),
    "mended": lambda v: isinstance(v, str) and len(v) <= LONGEST,
}


def _belongs(answer: Answer, item: Filled) -> bool:
    return (answer.class_code, answer.number, answer.item) == (item.class_code, item.own_number, item.code)


def tries(answers: list[Answer], item: Filled) -> list[Answer]:
    """The answers that belong to one item: same class, number, item, edition, go and figures.

    answers  as `read` gives them
    item     in one of its sets

    Result: list of Answer, in order. An answer that was kept again with its ticks or its mended figure is one answer;
    a fresh set that was asked for is none.

    >>> tries([], None)
    []
    """
    found: list[Answer] = []
    for answer in answers:
        own = _belongs(answer, item) and (answer.edition, answer.go, answer.attempt) == (
            item.edition,
            item.go,
            item.attempt,
        )
        if not own or answer.asks_for_fresh:
            continue
        before = found[-1] if found else None
        if before and (before.typed, before.sure) == (answer.typed, answer.sure):
            # A last tick that was taken away again leaves the answer without any.
            again = answer.ticked or answer.mended or before.ticked or before.mended
            found = found[:-1] if again else found
        found.append(answer)
    return found


def last_go(answers: list[Answer], item: Filled) -> int:
    """The set of figures that was worked on, or asked for, last: where a notebook that opens again goes on.

    answers  as `read` gives them
    item     in any of its sets; one that comes again among mixed practice has sets of its own, and is asked about
             with one of those

    Result: int, 1 or the first set of such practice.

    >>> from herbcalc.homework import item
    >>> last_go([], item(5, 1, "fern7", 3))
    1
    """
    first = first_go_of(item.go)
    return max(
        (a.go for a in answers if _belongs(a, item) and a.edition == item.edition and first_go_of(a.go) == first),
        default=first,
    )


def left_out(answers: list[Answer], item: Filled) -> int:
    """How many of the last steps are left to a student who has seen a whole way, before walking one alone.

    After a set whose steps were all shown (tier 4), the next set comes with all steps but one, the one after it with
    all but two, and then none is given.

    answers  as `read` gives them
    item     in one of its sets

    Result: 1, 2, or 0 for alone; `item.given(left_out(answers, item))` gives the lines.

    >>> from herbcalc.homework import item
    >>> left_out([], item(5, 1, "fern7", 3))
    0
    """
    since = 0
    first = first_go_of(item.go)
    for answer in answers:
        if not _belongs(answer, item) or answer.edition != item.edition or answer.tier < WHOLE_WAY:
            continue
        shown_in = answer.go - 1 if answer.asks_for_fresh else answer.go
        if first <= shown_in < item.go:
            since = max(since, shown_in)
    sets = item.go - since
    return sets if since and sets <= FADES else 0
