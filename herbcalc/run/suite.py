"""Floor 6. `test`: all tests, section by section, each with its time; runs inside the environment.

The last lines are pytest's own closing lines, one for each section, so that whoever reads only the end knows.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from subprocess import PIPE, STDOUT

from herbcalc.launch import say
from herbcalc.run.copies import SHELVES
from herbcalc.run.environment import CHECKOUT, together
from herbcalc.run.ready import chromium

PYTEST = [sys.executable, "-m", "pytest", "--color=no"]
CLOSING = re.compile(r"(=+ )?(\d+ \w+(, \d+ \w+)* in [\d.]+s|no tests ran in)")
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
    """Run the named sections of `SECTIONS`, all when none is named; give back 0 when all passed."""
    outcomes: dict[str, Outcome] = {}
    table = []
    for name in sections or SECTIONS:
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
    """Ruff: the rules and the layout of the code."""
    rules = subprocess.call([sys.executable, "-m", "ruff", "check", "."], cwd=CHECKOUT)
    layout = subprocess.call([sys.executable, "-m", "ruff", "format", "--check", "."], cwd=CHECKOUT)
    return Outcome(rules == layout == 0)


def sums() -> Outcome:
    """Every test but those in a browser: units, published figures, homework, examples in docstrings."""
    return _pytest(["-n", "2", "--ignore=tests/browser"])


def notebooks() -> Outcome:
    """Every notebook run afresh and compared with what is stored in it."""
    if not any(any((CHECKOUT / shelf).glob("*.ipynb")) for shelf in SHELVES):
        return Outcome(True, remark="there is no notebook yet, so none was run")
    words = ["-n", "2", "--dist", "loadfile", "-o", "addopts=", "-p", "no:cacheprovider", "-W", "default"]
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
    outcome = _pytest(["-p", "no:xdist", "tests/browser"])
    missed = outcome.count("skipped")
    if missed:
        outcome.remark = f"{missed} browser tests were not run"
        outcome.passed = outcome.passed and not required
    return outcome


def _pytest(words: Sequence[str]) -> Outcome:
    """Run pytest, show what it says as it says it, keep its closing line. No test at all counts as not passed."""
    closing = ""
    talk = {"stdout": PIPE, "stderr": STDOUT, "text": True, "errors": "replace"}
    with together([*PYTEST, "-rs", *words], cwd=CHECKOUT, **talk) as run:
        for line in run.stdout:
            say(line.rstrip("\n"))
            if CLOSING.match(line):
                closing = line.strip()
    outcome = Outcome(run.returncode == 0, closing)
    if run.returncode == 5:
        outcome.remark = "no test was found"
    return outcome


SECTIONS: dict[str, tuple[str, Callable[[], Outcome]]] = {
    "style": ("how the code is written", style),
    "sums": ("units, sums, published figures, homework", sums),
    "notebooks": ("every notebook run afresh", notebooks),
    "browser": ("the workbook in a real browser", browser),
}

if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        say("\nStopped.")
        sys.exit(130)
