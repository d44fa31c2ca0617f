"""Small faults, put into the program one at a time: the tests named beside each must notice it.

    python3 -m herbcalc test faults                              all of them
    .herbcalc-env/bin/python -m tests.faults.run blend tray      only those with such a word in their name or file

The faults are kept as data, one TOML file a floor or folder, in tables [[fault]]:

    name   what was done, in a few words
    file   where, from the top of the checkout
    old    the text that stands there, once and no more
    new    what is put in its place
    tests  the files or tests that must notice it, as pytest takes them
    does   what it would do to a person

Nothing is changed in the checkout itself: all of it happens in copies in a temporary folder, two at a time.
"""

from __future__ import annotations

import json
import os
import py_compile
import queue
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterable, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import ExitStack, closing
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
AT_ONCE = 2
PATIENCE = 120  # seconds for the tests of one fault; a fault that makes them run for ever is no noticed fault
# What most of the named tests load of other projects, loaded once; what else they need, each run loads by itself.
LIBRARIES = ("pytest", "doctest", "hypothesis", "numpy.polynomial", "numpy.random", "pint", "anywidget")
LIBRARIES += ("matplotlib.figure", "matplotlib.backends.backend_agg", "matplotlib.backends.backend_svg")
QUIETLY = ("-q", "--color=no", "--tb=line", "--assert=plain", "-p", "no:cacheprovider")
# A test that ran and did not hold, what stands in its brackets too; a file that broke says ERROR.
SEEN = re.compile(r"^FAILED (\S+?(?:\[.*?\])?)(?: - .*)?$", re.MULTILINE)


@dataclass(frozen=True)
class Fault:
    """One small fault, as its table in a TOML file says it (see the top of this file)."""

    name: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]
    does: str


@dataclass(frozen=True)
class Outcome:
    """How one run went: whether the fault was noticed, and by which test, or why not."""

    noticed: bool
    said: str
    seconds: float = 0.0
    test: str = ""  # the one that noticed it, as pytest takes it


def kept(folder: Path = Path(__file__).parent) -> list[Fault]:
    """Every fault that is written down in a folder of TOML files."""
    tables = (tomllib.loads(path.read_text(encoding="utf-8")) for path in sorted(folder.glob("*.toml")))
    return [Fault(**{**one, "tests": tuple(one["tests"])}) for table in tables for one in table["fault"]]


def with_fault(text: str, fault: Fault) -> str | None:
    """The text of a file with the fault in it; None where the place to put it is not there, or not the only one."""
    return text.replace(fault.old, fault.new) if text.count(fault.old) == 1 and fault.old != fault.new else None


def copy_of(checkout: Path, place: Path) -> Path:
    """A copy to spoil, compiled in a way that looks at each file's text and not at its clock."""
    for entry in checkout.iterdir():
        if entry.is_dir() and not entry.name.startswith("."):
            shutil.copytree(entry, place / entry.name, ignore=shutil.ignore_patterns("__pycache__", ".*", "pictures"))
        elif entry.name == "pyproject.toml" or entry.suffix == ".md":
            shutil.copy(entry, place / entry.name)
    for path in (*(place / "herbcalc").rglob("*.py"), *(place / "tests").rglob("*.py")):
        py_compile.compile(str(path), doraise=True, invalidation_mode=py_compile.PycInvalidationMode.CHECKED_HASH)
    return place


class Copy:
    """A copy of the checkout, and the Python that stands in it and runs its tests (see stem.py)."""

    def __init__(self, place: Path) -> None:
        self.place = place

    @cached_property
    def _stem(self) -> subprocess.Popen[str]:
        told = {"PYTHONPATH": str(self.place), "PYTHONDONTWRITEBYTECODE": "1"}
        told["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"  # what other tests need would take seconds of each run
        told["CI"] = "1"  # hypothesis then draws the same examples each time: a fault noticed once is noticed always
        told["OPENBLAS_NUM_THREADS"] = "1"  # a Python with threads is no good parent
        clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
        words = [sys.executable, "-P", str(Path(__file__).with_name("stem.py")), *LIBRARIES]
        ends = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
        return subprocess.Popen(words, cwd=self.place, env={**clean, **told}, **ends)

    def pytest(self, words: Iterable[str], patience: int = PATIENCE) -> tuple[int | None, str]:
        """Run tests in the copy; give back pytest's exit code (None: it took too long) and what it said."""
        with tempfile.TemporaryDirectory(prefix="herbcalc-home-") as folder:
            home, said = Path(folder) / "home", Path(folder) / "said"
            home.mkdir()
            # A folder of its own for what tests lay down: the one that all runs share is tidied by each of them.
            words = [*QUIETLY, f"--basetemp={folder}/laid", *words]
            print(json.dumps([str(home), str(said), patience, words]), file=self._stem.stdin, flush=True)
            code = int(self._stem.stdout.readline())
            return None if code == -signal.SIGALRM else code, said.read_text(encoding="utf-8", errors="replace")

    def close(self) -> None:
        """Let the Python go, if one was needed."""
        if "_stem" in vars(self):
            self._stem.communicate()


def put_in(copy: Copy, fault: Fault) -> Outcome:
    """Put one fault into a copy, run its tests, take it out again."""
    path = copy.place / fault.file
    sound = path.read_text(encoding="utf-8") if path.is_file() else ""
    spoilt = with_fault(sound, fault)
    if spoilt is None:
        where = f"{fault.file} holds its `old` text {sound.count(fault.old)} times"
        return Outcome(False, f"this fault needs to be written anew: {where}")
    started = time.monotonic()
    path.write_text(spoilt, encoding="utf-8")
    try:
        code, said = copy.pytest(["-x", *fault.tests])
    finally:
        path.write_text(sound, encoding="utf-8")
    took = time.monotonic() - started
    test = SEEN.search(said)
    if code == 1 and test:
        return Outcome(True, test.group(1).split("::", 1)[-1], took, test.group(1))
    if code == 0:
        return Outcome(False, "no test noticed it", took)
    if code is None:
        return Outcome(False, f"its tests were not done after {PATIENCE} s", took)
    return Outcome(
        False, f"its tests broke down before one could notice it (exit code {code}):\n{said[-1500:]}", took
    )


def run(faults: Sequence[Fault], checkout: Path = ROOT) -> int:
    """Try the faults, a line for each; give back 0 when every one was noticed."""
    started = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="herbcalc-faults-") as folder, ExitStack() as stems:
        first = copy_of(checkout, Path(folder) / "0")
        others = (shutil.copytree(first, Path(folder) / str(number)) for number in range(1, AT_ONCE))
        copies = [stems.enter_context(closing(Copy(place))) for place in (first, *others)]
        free: queue.Queue[Copy] = queue.Queue()
        for copy in copies:
            free.put(copy)

        def one(fault: Fault) -> Outcome:
            copy = free.get()
            try:
                outcome = put_in(copy, fault)
            finally:
                free.put(copy)
            verdict = "noticed    " if outcome.noticed else "NOT NOTICED"
            told = outcome.said if outcome.noticed else f"{outcome.said}. What it does: {fault.does}"
            print(f"{verdict} {outcome.seconds:5.1f} s  {fault.name}: {told}", flush=True)
            return outcome

        with ThreadPoolExecutor(AT_ONCE) as hands:
            outcomes = list(hands.map(one, faults))
            sound = passes_without(copies, sorted({one.test for one in outcomes if one.noticed}), hands)
    seen = sum(outcome.noticed for outcome in outcomes)
    print(f"{seen} of {len(outcomes)} faults noticed in {time.monotonic() - started:.0f} s", flush=True)
    return 0 if sound and seen == len(outcomes) > 0 else 1


def passes_without(copies: Sequence[Copy], tests: Sequence[str], hands: Executor) -> bool:
    """Whether the tests that noticed a fault pass where there is none: what fails anyway has noticed nothing.

    Each copy tries its share, all of a file in one, for a file is read once then and what its tests share made once.
    """
    if not tests:
        print("without a fault: nothing to try, for no test noticed one", flush=True)
        return True
    files = sorted({test.split("::")[0] for test in tests})
    shares = [files[n :: len(copies)] for n in range(len(copies))]
    pairs = [
        (copy, [test for test in tests if test.split("::")[0] in share])
        for copy, share in zip(copies, shares, strict=True)
    ]
    pairs = [(copy, share) for copy, share in pairs if share]
    for code, said in hands.map(lambda pair: pair[0].pytest(pair[1], 10 * PATIENCE), pairs):
        if code != 0:
            print(f"{said[-3000:]}\nThese tests do not even pass without a fault, so they noticed none.", flush=True)
            return False
        print(f"without a fault: {said.strip().splitlines()[-1].strip('= ')}", flush=True)
    return True


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # so that the copies are taken away all the same
    asked = sys.argv[1:]
    sys.exit(run([f for f in kept() if not asked or any(word in f"{f.name} {f.file}" for word in asked)]))
