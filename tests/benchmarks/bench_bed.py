"""The sums behind the sliders of soaking and dripping. A slider has 50 ms for sum and picture together."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from herbcalc import compare, maceration, percolation
from herbcalc.units import Q
from tests.benchmarks.run import Row, best

BAR = 25.0  # ms, half of what a slider has
POINTS = Q(np.linspace(0.0, 800.0, 200), "mL")


def bed(cells: int, exchange: float = 0.5) -> percolation.Bed:
    return percolation.Bed(
        Q(100, "g"), Q(1.1, "mL/g"), Q(0.9, "mL/g"), Q(12, "mL/hour"), Q(exchange, "1/hour"), cells
    )


def rows() -> Iterator[Row]:
    displaced = np.linspace(0.0, 3.0, 200)
    table = {"herb": Q(100, "g"), "ratio": Q(5, "mL/g"), "retained": Q(1.5, "mL/g")}
    calls: dict[str, Callable[[], object]] = {
        "bed of 8 cells, made and run over 200 points": lambda: bed(8).run(POINTS),
        "the same with an exchange of 1e7": lambda: bed(8, 1e7).run(POINTS),
        "bed of 50 cells over 200 points": lambda: bed(50).run(POINTS),
        "profile of 8 cells over 200 points": lambda: bed(8).profile(POINTS),
        "dispersed front at Peclet 40 over 200 points": lambda: percolation.washing(displaced, 40.0),
        "mixed cells over 200 points": lambda: percolation.share_washed(displaced, 3.6),
        "uptake of a cylinder over 200 points": lambda: maceration.uptake(displaced, "cylinder", 4.0),
        "soak or drip, the table": lambda: compare.soak_or_drip(**table),
    }
    for what, call in calls.items():
        yield Row(what, 1000.0 * best(call, times=3), BAR, "ms")
