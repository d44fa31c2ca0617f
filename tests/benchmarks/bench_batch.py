"""The batch behind the ledger picture. A drag has 50 ms for sum and picture together."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from herbcalc.batch import Basket, Nearest, Order, walk_back, walk_forward
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible
from tests.benchmarks.run import Row, best

BAR = 25.0  # ms, half of what a drag has
TEN = Order(10, Q(50, "mL"), per_plant=Q(120, "g"), stand=80, share=0.1)
WEAK = replace(TEN, state="fresh", ratio=Q(2, "mL/g"), spirit=Q(40, "percent_vol"))


def refused() -> list[Nearest]:
    """The ways out of an order that cannot be made."""
    try:
        walk_back(WEAK)
    except Impossible as refusal:
        return refusal.ways_out
    raise AssertionError("a fresh plant in vodka at 1:2 ends under the floor")


def rows() -> Iterator[Row]:
    calls: dict[str, Callable[[], object]] = {
        "walk back, with the rows of the ledger": lambda: walk_back(TEN).rows,
        "walk forward, with the rows of the ledger": lambda: walk_forward(Basket(Q(1, "kg"), Q(50, "mL"))).rows,
        "the nearest orders of an impossible one": refused,
        "the band of a batch": lambda: walk_back(TEN).band,
        "the plan of a batch": lambda: walk_back(TEN).plan,
    }
    for what, call in calls.items():
        yield Row(what, 1000.0 * best(call, times=3), BAR, "ms")
