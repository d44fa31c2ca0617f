"""Measures the speed that herbcalc promises, and prints each figure beside its bar.

    python -m tests.benchmarks.run              everything here
    python -m tests.benchmarks.run ethanol      only bench_ethanol.py (several names may follow)

Not part of the test run: figures depend on the machine and on what else it does. Run it on an otherwise idle one.

To add figures, put a file bench_SOMETHING.py beside this one, with a function `rows()` that yields `Row`s (import it
from here: `from tests.benchmarks.run import Row`), or with a `main()` that prints figures that have no bar. Ratios
against something measured in the same run travel better between machines than seconds; use `best` for timing.
"""

from __future__ import annotations

import importlib
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Row:
    """One figure. what: said in words. measured, bar: in `unit`; the figure should not be above its bar."""

    what: str
    measured: float
    bar: float
    unit: str = ""

    def line(self) -> str:
        verdict = "within" if self.measured <= self.bar else "ABOVE"
        return f"{self.what:<76} {self.measured:>9.3g} {self.unit:<3} bar {self.bar:>7.3g} {self.unit:<3} {verdict}"


def best(call: Callable[[], object], times: int = 1, rounds: int = 7) -> float:
    """Seconds for one call: the fastest of several rounds, since everything else that runs only adds."""
    call()  # tables and caches stand after the first
    fastest = float("inf")
    for _ in range(rounds):
        start = time.perf_counter()
        for _ in range(times):
            call()
        fastest = min(fastest, (time.perf_counter() - start) / times)
    return fastest


def main(names: list[str]) -> int:
    here = Path(__file__).parent
    found = {p.stem.removeprefix("bench_"): p.stem for p in sorted(here.glob("bench_*.py"))}
    unknown = [n for n in names if n not in found]
    if unknown:
        print(f"There is no benchmark called {', '.join(unknown)}. There are: {', '.join(found)}.")
        return 2
    above = 0
    for name in names or found:
        print(name)
        module = importlib.import_module(f"tests.benchmarks.{found[name]}")
        if not hasattr(module, "rows"):
            module.main()
            continue
        for row in module.rows():
            print("  " + row.line(), flush=True)
            above += row.measured > row.bar
    print("All within their bars." if not above else f"{above} above the bar.")
    return 1 if above else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
