"""Floor 6. What we start: it ends when we end, and it is not led to another Python's packages."""

from __future__ import annotations

import errno
import os
import signal
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from subprocess import PIPE, STDOUT, Popen
from typing import Any

from herbcalc.person.writing import locked

ENDINGS = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
STOPPED = 143  # the exit code of who was told to end
# A module of Python's, run so that it ends with whoever holds the other end of its input, however that one ended.
TIED = """
import os, runpy, signal, sys, threading
def watch():
    while os.read(0, 64):
        pass
    os.killpg(0, signal.SIGKILL) if hasattr(os, "killpg") else os._exit(1)
threading.Thread(target=watch, daemon=True).start()
del sys.argv[0]
runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)
"""


def clean(env: Mapping[str, str] | None = None) -> dict[str, str]:
    """The surroundings for a child: ours, less what would lead its Python to another one's packages, and `env`."""
    leave = {"PYTHONHOME", "PYTHONPATH", "VIRTUAL_ENV", "__PYVENV_LAUNCHER__"}
    if os.environ.get("HERBCALC_ENV") == "here":
        leave = set()
    return {**{k: v for k, v in os.environ.items() if k not in leave}, "PYTHONUTF8": "1", **(env or {})}


@contextmanager
def together(
    words: Sequence[str], end_it: Callable[[Popen[str]], None] = Popen.terminate, **how: Any
) -> Iterator[Popen[str]]:
    """A child that does not outlive us: when this process is told to end, or its window is closed, so is the child.

    words: the program and its words; end_it: how the child is told; how: what `subprocess.Popen` takes beside them.
    On leaving, the child has ended.
    (Windows ends a process without asking it; there only Ctrl C and a closed window reach both.)
    """
    children: list[Popen[str]] = []
    told: list[int] = []

    def end(number: int, _: object) -> None:
        told.append(number)
        for child in children:
            end_it(child)

    before = {number: signal.signal(number, end) for number in ENDINGS if signal.getsignal(number) == signal.SIG_DFL}
    try:
        with Popen(words, **how) as child:
            children.append(child)
            if told:  # it came while the child was being started
                end_it(child)
            yield child
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextmanager
def tied(python: str, words: Sequence[str], held: int, env: Mapping[str, str], cwd: Path) -> Iterator[Popen[str]]:
    """A module of Python's that is gone with us even when we are killed, and so are its own children.

    python: the program; words: the module's name and what stands behind it; held: the lock's file, which lives on in
    the child, so that nobody takes the lock before the last of them has ended. What it says comes through `stdout`.
    """
    told: list[Popen[str]] = []

    def end(child: Popen[str]) -> None:
        told.append(child)
        child.stdin.close()

    how: dict[str, Any] = {"stdin": PIPE, "stdout": PIPE, "stderr": STDOUT, "text": True, "errors": "replace"}
    if os.name != "nt":
        how |= {"start_new_session": True, "pass_fds": (held,)}
    with together([python, "-I", "-c", TIED, *words], end, env=clean(env), cwd=cwd, **how) as child:
        try:
            yield child
        finally:
            child.stdin.close()
            if told:  # nothing comes after it: we were told to end
                raise SystemExit(STOPPED)


@contextmanager
def alone(lock: Path, waiting: Callable[[], None]) -> Iterator[int]:
    """Only one of us at a time from here on: gives the number of the lock's open file.

    lock: a file, made where there is none. waiting: called once when another holds it; then we wait. The lock goes
    with the process that holds it and its tied children, whatever ends them. Refuses (OSError): a file that cannot
    be written, and a folder that lends no locks.
    """
    with lock.open("a+b") as file, locked(file, waiting) as sole:
        if not sole:
            raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))
        yield file.fileno()
