"""Floor 6. `test`: all tests, section by section, each with its time; runs inside the environment.

The last lines are pytest's own closing lines, one for each section, so that whoever reads only the end knows.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from subprocess import PIPE, STDOUT

from herbcalc.run.console import say
from herbcalc.run.copies import SHELVES
from herbcalc.run.environment import CHECKOUT, together
from herbcalc.run.ready import chromium

PYTEST = [sys.executable, "-m", "pytest", "--color=no"]
CLOSING = re.compile(r"(=+ )?(\d+ \w+(, \d+ \w+)* in [\d.]+s|no tests ran in)")
NOTICED = re.compile(r"\d+ of \d+ faults noticed in \d+ s")
BLINK = "tests/browser/test_blink.py"
EVENING = "tests/browser/test_first_evening.py"
BROWSERS = ["tests/browser", f"--ignore={BLINK}"]
ONE_BY_ONE = ["-p", "no:xdist", "-p", "no:nbval"]
FAILED = CHECKOUT / ".pytest_cache" / "v" / "cache" / "lastfailed"
MOST_AGAIN = 3  # browser tests that get a second go; more of them at once is no matter of a slow moment
SIDE_BY_SIDE = ["-n", "2", "-p", "no:nbval"]  # two workers; what runs notebooks takes 2 s of each just to be there
COUNT = re.compile(r"(\d+) (\w+)")


@dataclass
class Outcome:
    """How one section went: whether it passed, its closing line, and what should be said about it."""

    passed: bool
    closing: str = ""
    remark: str = ""

    def count(self, what: str) -> int:
        """How many tests there were of one kind, in the words of pytest's closing line ("passed", "skipped" ...)."""
        return sum(int(n) for n, kind in COUNT.findall(self.closing) if kind == what)


def main(sections: Sequence[str] = ()) -> int:
    """Run the named sections of `SECTIONS`, all but the slow one when none is named; give back 0 when all passed."""
    outcomes: dict[str, Outcome] = {}
    table = []
    for name in sections or [name for name in SECTIONS if name not in WHEN_NAMED]:
        title, run = SECTIONS[name]
        say(f"\n--- {name}: {title} ---")
        started = time.monotonic()
        outcomes[name] = outcome = run()
        verdict = "passed" if outcome.passed else "NOT PASSED"
        table.append(f"{name:<10} {time.monotonic() - started:6.0f} s   {verdict}   {outcome.remark}".rstrip())
    say("\n--- all sections ---\n" + "\n".join(table))
    for name, outcome in outcomes.items():
        if outcome.closing:
            say(f"{name}:\n{outcome.closing}")
    return 0 if all(outcome.passed for outcome in outcomes.values()) else 1


def style() -> Outcome:
    """The rules and the layout of the code, and the types of floors 0 to 4; pyproject.toml says which."""
    looks = (["ruff", "check", "."], ["ruff", "format", "--check", "."], ["mypy"])
    codes = [
        subprocess.call([sys.executable, "-m", *look], cwd=CHECKOUT) for look in looks
    ]  # all, whatever one finds
    return Outcome(not any(codes))


def sums() -> Outcome:
    """Every test but those in a browser: units, published figures, homework, examples in docstrings."""
    # Each worker begins with one half in order, so that what the tests of a file share is made once.
    return _pytest([*SIDE_BY_SIDE, "--dist", "worksteal", "--ignore=tests/browser"])


def notebooks() -> Outcome:
    """Every notebook run afresh and compared with what is stored in it."""
    if not any(any((CHECKOUT / shelf).glob("*.ipynb")) for shelf in SHELVES):
        return Outcome(True, remark="there is no notebook yet, so none was run")
    words = ["-n", "2", "--dist", "loadfile", "-o", "addopts=", "-p", "no:cacheprovider", "-W", "default"]
    words += ["-p", "herbcalc.run.unasked", "-p", "tests.kernels"]
    words += ["--nbval", "--nbval-current-env", "--nbval-cell-timeout", "60"]
    words += ["--nbval-sanitize-with", "tests/nbval_mask.cfg"]
    return _pytest([*words, *SHELVES])


def browser() -> Outcome:
    """The workbook driven in a real Chromium, when one is found."""
    required = os.environ.get("HERBCALC_BROWSER") == "required"
    if not chromium():
        remark = "not run: the tests in a real browser (tests/browser), because no Chromium was found"
        say(remark)
        return Outcome(not required, remark=remark)
    # All side by side, as tests/browser/conftest.py deals them out, but for what measures a blink: it stands alone.
    many = _second_go(_pytest([*SIDE_BY_SIDE, *BROWSERS]))
    alone = _pytest([*ONE_BY_ONE, BLINK])
    outcome = Outcome(many.passed and alone.passed, f"{many.closing}\n{alone.closing}", many.remark)
    missed = outcome.count("skipped")
    if missed:
        outcome.remark = "; ".join(filter(None, [outcome.remark, f"{missed} browser tests were not run"]))
        outcome.passed = outcome.passed and not required
    return outcome


def _second_go(first: Outcome) -> Outcome:
    """Two browsers on two cores now and then keep a test waiting past its patience. Few that failed run once more,
    one by one: what fails again has failed, what passes then is named in the remark, never passed over."""
    failed = first.count("failed") + first.count("error") + first.count("errors")
    if first.passed or not 1 <= failed <= MOST_AGAIN:
        return first
    again = _pytest([*ONE_BY_ONE, *_once_more()])
    passed = again.passed and again.count("passed") >= failed
    remark = f"{failed} failed at first, and {'passed' if passed else 'did not pass'} when run once more, one by one"
    return Outcome(passed, f"{first.closing}\n{again.closing}", remark)


def _once_more() -> list[str]:
    """The browser tests that failed, as pytest has written them down; of the evening, which goes on from test to
    test, all. Where nothing is written down, all of every file."""
    failed = json.loads(FAILED.read_text(encoding="utf-8")) if FAILED.exists() else {}
    tests = {EVENING if test.startswith(EVENING) else test for test in failed if not test.startswith(BLINK)}
    return sorted(test for test in tests if test.startswith(BROWSERS[0])) or BROWSERS


def faults() -> Outcome:
    """Small faults put into copies of the program one at a time: are the tests awake?"""
    code, closing = _told([sys.executable, "-m", "tests.faults.run"], NOTICED)
    return Outcome(code == 0, closing)


def _pytest(words: Sequence[str]) -> Outcome:
    """Run pytest and keep its closing line. No test at all counts as not passed."""
    code, closing = _told([*PYTEST, "-rs", *words], CLOSING)
    return Outcome(code == 0, closing, remark="no test was found" if code == 5 else "")


def _told(words: Sequence[str], last: re.Pattern[str]) -> tuple[int, str]:
    """Run something, show what it says as it says it; give back its exit code and its closing line."""
    closing = ""
    talk = {"stdout": PIPE, "stderr": STDOUT, "text": True, "errors": "replace"}
    with together(words, cwd=CHECKOUT, **talk) as run:
        for line in run.stdout:
            say(line.rstrip("\n"))
            if last.match(line):
                closing = line.strip()
    return run.returncode, closing


SECTIONS: dict[str, tuple[str, Callable[[], Outcome]]] = {
    "style": ("how the code is written, and its types", style),
    "sums": ("units, sums, published figures, homework", sums),
    "notebooks": ("every notebook run afresh", notebooks),
    "browser": ("the workbook in a real browser", browser),
    "faults": ("small faults, each of which the tests must notice", faults),
}
WHEN_NAMED = {"faults"}  # it tries the tests, not the program, and takes minutes

if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        say("\nStopped.")
        sys.exit(130)
