"""Floor 4. Keeping files: written in one step, read back, put aside when unreadable, refused in words.

A file is written beside its old copy, sent to the disk, read back, and only then put in the old one's place, so a
crash or a full disk never costs what was there before. Where two windows change one file, a lock lets them in one by
one. Standard library only: it runs before anything is installed.
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import sys
import time
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from herbcalc.place import VARIABLE, NotKept

if sys.platform == "win32":
    import msvcrt
elif sys.platform == "emscripten":  # a browser lends no locks; the site's own worker has its pages take turns
    import js
    import pyodide_js
    from pyodide.ffi import JsException
else:
    import fcntl

ASIDE = ".put-aside-"
_US = uuid.uuid4().hex[:8]  # two tabs of a browser have one process number
MOST_BYTES = 4_000_000  # of a file of ours: what is larger is none, and is not read
_FAR = 1 << 40  # the byte that Windows locks, far beyond the end of any file
_NO_LOCKS = (errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.EINVAL)  # what some network folders say

_news: list[str] = []


def news() -> list[str]:
    """Sentences about files that were put aside since this was last asked; asking empties it."""
    told = _news[:]
    _news.clear()
    return told


def tell(sentence: str) -> None:
    """Have a sentence told with the next `news`."""
    _news.append(sentence)


def not_kept(what: str, where: Path, trouble: OSError) -> str:
    """The one sentence on keeping: what was to be kept and where, what stood in the way, what would work.

    >>> not_kept("Your answer", Path("sums"), OSError(errno.ENOSPC, "No space left on device"))
    'Your answer could not be kept in sums. The disk is full (No space left on device). Make room on it, \
then do this once more.'
    """
    return f"{what} could not be kept in {where}. {why(trouble)}"


def why(trouble: OSError) -> str:
    """What stood in the way, and what would work, in one or two sentences."""
    if trouble.errno in (errno.ENOSPC, errno.EDQUOT):
        return f"The disk is full ({trouble.strerror}). Make room on it, then do this once more."
    if trouble.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return (
            "This computer does not let us write there. Ask for a folder that you may write in, and start again with "
            f"{VARIABLE} set to it."
        )
    if trouble.errno in (errno.ENOTDIR, errno.EEXIST, errno.EISDIR):
        return "Another file or folder has that name and is in the way. Move it, then do this once more."
    if trouble.errno == errno.EIO:
        return "The disk did not answer. Look whether it is still there, then do this once more."
    return (
        f"The computer says: {trouble.strerror or trouble}. Look whether the disk is there, then do this once more."
    )


def write(path: Path, content: str | bytes) -> None:
    """Put `content` in the place of the file at `path` in one step, making its folder where there is none.

    Refuses (NotKept): a disk that is full or may not be written to, or that gives back something else; the old file
    is then as it was.
    """
    # half a character becomes its JSON escape
    wanted = content if isinstance(content, bytes) else content.encode("utf-8", errors="backslashreplace")
    beside = path.with_name(f".{path.name}.{_US}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with beside.open("wb") as out:
            out.write(wanted)
            out.flush()
            os.fsync(out.fileno())
        if beside.read_bytes() != wanted:
            raise OSError("what came back from the disk was not what we wrote on it")
        beside.replace(path)
    except OSError as trouble:
        raise NotKept(not_kept(path.name, path.parent, trouble)) from trouble
    finally:
        _clear(beside)


def _clear(beside: Path) -> None:
    """Take away what a write that did not succeed has left; there is nothing after one that did."""
    try:
        beside.unlink(missing_ok=True)
    except NotADirectoryError:
        pass  # there is no folder, so there is no scrap in it; the refusal says so
    except OSError as trouble:  # the old copy is whole; only a scrap is left lying there, and we say so
        _news.append(f"A scrap called {beside.name} was left in {beside.parent}: {trouble.strerror}.")


@contextlib.contextmanager
def locked(raw: Any, waiting: Callable[[], None] = lambda: None) -> Iterator[bool]:
    """Let one process at a time go on with an open file; the lock goes with the process, whatever ends it.

    waiting: called once when another holds the lock; then we wait. Gives whether there is a lock: a browser lends
    none, nor do some network folders.
    """
    try:
        there = _take(raw, waiting)
    except OSError as refusal:
        if refusal.errno not in _NO_LOCKS:
            raise
        there = False
    try:
        yield there
    finally:
        if there:
            _free(raw)


def _take(raw: Any, waiting: Callable[[], None]) -> bool:
    if sys.platform == "win32":
        raw.seek(_FAR)
        waits = False
        while True:  # asked to wait, Windows waits for ten seconds and no more
            try:
                msvcrt.locking(raw.fileno(), msvcrt.LK_NBLCK, 1)
                return True
            except PermissionError:  # another holds it
                if not waits:
                    waiting()
                waits = True
                time.sleep(0.2)
    elif sys.platform == "emscripten":
        return False
    else:
        try:
            fcntl.flock(raw.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            waiting()
            fcntl.flock(raw.fileno(), fcntl.LOCK_EX)
        return True


def _free(raw: Any) -> None:
    if sys.platform == "win32":
        raw.seek(_FAR)
        msvcrt.locking(raw.fileno(), msvcrt.LK_UNLCK, 1)
    elif sys.platform != "emscripten":
        fcntl.flock(raw.fileno(), fcntl.LOCK_UN)


@contextlib.contextmanager
def turn(path: Path) -> Iterator[bool]:
    """Let one tab of a browser at a time open, change and close the file at `path`; elsewhere `locked` does it.

    Gives whether it is this tab's turn: outside a browser, and where the site's worker is not at hand, it is not.
    """
    ticket = uuid.uuid4().hex
    there = _ask("POST", path, ticket)
    try:
        yield there
    finally:
        if there:
            _ask("DELETE", path, ticket)


def _ask(method: str, path: Path, ticket: str) -> bool:
    """Ask the site's worker (`data/site/service-worker.js`), and wait for its answer."""
    if sys.platform == "emscripten":
        site = pyodide_js._api.config.indexURL.removesuffix("static/pyodide/")
        request = js.XMLHttpRequest.new()
        request.open(method, f"{site}api/herbcalc/turn/{js.encodeURIComponent(path.name)}?ticket={ticket}", False)
        try:
            request.send()
        except JsException:  # neither network nor worker: nobody gives turns, which is what `False` says
            return False
        return bool(request.status == 200)
    return False


@contextlib.contextmanager
def alone(path: Path) -> Iterator[None]:
    """Let one process at a time change the file at `path`, where it is read, changed and written anew.

    The lock lies beside it, for the file itself is swapped.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        lock = path.with_name(f".{path.name}.lock").open("ab", buffering=0)
    except OSError as trouble:
        raise NotKept(not_kept(path.name, path.parent, trouble)) from trouble
    with turn(path), lock, locked(lock):
        yield


def held(path: Path) -> bytes | None:
    """What the file at `path` holds; None where there is none. Refuses (NotKept): a file that cannot be opened."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as trouble:
        raise not_opened(path, trouble) from trouble


def not_opened(path: Path, trouble: OSError) -> NotKept:
    """The refusal for a file that cannot be opened."""
    return NotKept(f"{path.name} could not be opened in {path.parent}. {why(trouble)}")


def put_aside(path: Path, so: str, *, copy: bool = False) -> None:
    """Give a file that cannot be read another name, and note it for `news`; `so` says what comes of it.

    copy: it stays in its place too, until what follows it is written.
    """
    n = 1
    while (other := path.with_name(f"{path.name}{ASIDE}{n}")).exists():
        n += 1
    if copy:
        write(other, held(path) or b"")
    else:
        try:
            path.replace(other)
        except OSError as trouble:
            raise NotKept(f"{path.name} cannot be read, and it could not be put aside. {why(trouble)}") from trouble
    _news.append(
        f"{path.name} could not be read, so {so}. The old file is still there: it is now called {other.name}."
    )


def table_in(path: Path, so: str) -> dict[str, Any]:
    """What a JSON file of ours holds; one that cannot be read is put aside, and `news` says what follows (`so`)."""
    try:
        huge = path.stat().st_size > MOST_BYTES
    except OSError:
        huge = False  # it is not there, or cannot be opened, which `held` says
    raw = b"" if huge else held(path)
    if raw is None:
        return {}
    try:
        found = json.loads(raw.decode("utf-8-sig"))
        # Half a character, which JSON can spell and no screen can show, becomes a question mark.
        found = json.loads(json.dumps(found, ensure_ascii=False).encode("utf-8", errors="replace"))
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict):
        put_aside(path, so)
        return {}
    return found


def write_table(path: Path, table: dict[str, Any]) -> None:
    """Keep a JSON file of ours. Refuses (NotKept): what `write` refuses, and more than `table_in` reads again."""
    # half a character becomes its JSON escape
    raw = (json.dumps(table, ensure_ascii=False, indent=1) + "\n").encode("utf-8", errors="backslashreplace")
    if len(raw) > MOST_BYTES:
        raise NotKept(
            f"{path.name} is full: it holds {MOST_BYTES // 1_000_000} MB at most. Nothing was changed. Let something "
            "go that you no longer need, or keep something shorter; then do this once more."
        )
    write(path, raw)
