"""How quick the percolator's bed, the washing curves and the comparison table are: one line each, in milliseconds.

Run it with `python tests/benchmarks/bench_bed.py`. A slider has 50 ms for everything; these are its sums.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from herbcalc import compare, maceration, percolation
from herbcalc.units import Q

POINTS = Q(np.linspace(0.0, 800.0, 200), "mL")


def median_ms(call: Callable[[], Any], times: int = 30) -> float:
    """The middle of some runs, after one that warms up."""
    call()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(1000.0 * (time.perf_counter() - start))
    return statistics.median(taken)


def bed(cells: int, exchange: float = 0.5) -> percolation.Bed:
    return percolation.Bed(
        Q(100, "g"), Q(1.1, "mL/g"), Q(0.9, "mL/g"), Q(12, "mL/hour"), Q(exchange, "1/hour"), cells
    )


def main() -> None:
    times = np.linspace(0.0, 3.0, 200)
    lines: dict[str, Callable[[], Any]] = {
        "bed of 8 cells, made and run over 200 points": lambda: bed(8).run(POINTS),
        "bed of 8 cells, exchange 1e7": lambda: bed(8, 1e7).run(POINTS),
        "bed of 50 cells over 200 points": lambda: bed(50).run(POINTS),
        "profile of 8 cells over 200 points": lambda: bed(8).profile(POINTS),
        "washing (Brenner) at Pe 40 over 200 points": lambda: percolation.washing(times, 40.0),
        "mixed cells over 200 points": lambda: percolation.share_washed(times, 3.6),
        "uptake of a cylinder over 200 points": lambda: maceration.uptake(times, "cylinder", 4.0),
        "soak or drip table": lambda: compare.soak_or_drip(
            herb=Q(100, "g"), ratio=Q(5, "mL/g"), retained=Q(1.5, "mL/g")
        ),
    }
    for what, call in lines.items():
        print(f"{what}: {median_ms(call):.2f} ms")


if __name__ == "__main__":
    main()
