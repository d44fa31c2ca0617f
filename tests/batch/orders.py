"""Orders drawn at random with a fixed seed, over all that an order may say; each of them can be made."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from herbcalc.batch import Order
from herbcalc.batch.figures import Stopped, back
from herbcalc.units import Q

BOTTLES = (5.0, 30.0, 50.0, 60.0, 100.0, 250.0, 500.0, 1000.0)


def any_order(draw: np.random.Generator) -> Order:
    """One order, which may well be impossible."""
    stand, per_plant = int(draw.integers(0, 400)), float(draw.uniform(20.0, 400.0))
    counted, weighed = draw.random() < 0.3, draw.random() < 0.5
    bottles = 1000 if draw.random() < 0.03 else int(draw.integers(1, 40))
    order = Order(
        bottles,
        Q(float(draw.choice(BOTTLES)), "mL") if draw.random() < 0.8 else Q(float(draw.choice((1, 2, 4, 8))), "fl_oz"),
        state=str(draw.choice(["fresh", "dried", "dried"])),
        method=str(draw.choice(["soak", "soak", "drip"])),
        ratio=Q(float(draw.uniform(1.0, 10.0)), "mL/g"),
        convention=str(draw.choice(["added", "added", "finished", "dry"])),
        spirit=Q(float(draw.uniform(37.5, 96.0)), "percent_vol"),
        floor=Q(float(draw.choice((20.0, 25.0, 35.0, 40.0))), "percent_vol"),
        water=Q(float(draw.uniform(5.0, 95.0)), "percent_wb"),
        retained=Q(float(draw.uniform(0.3, 3.0)), "mL/g"),
        per_plant=Q(per_plant, "g") if weighed or counted else None,
        stand=stand if counted else None,
        share=float(draw.choice((0.05, 0.1, 0.5, 1.0))) if counted and draw.random() < 0.9 else None,
        dried_to=Q(float(draw.choice((8.0, 10.0, 13.0))), "percent_wb"),
    )
    if order.state == "fresh" and draw.random() < 0.4:
        return replace(order, wilted=Q(float(draw.uniform(0.0, 95.0)), "percent_wb"))
    return order


def makeable(count: int, seed: int = 17) -> Iterator[Order]:
    """So many orders that can be made."""
    draw = np.random.default_rng(seed)
    found = 0
    while found < count:
        order = any_order(draw)
        try:
            back(order)
        except Stopped:
            continue
        found += 1
        yield order
