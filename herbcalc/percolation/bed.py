"""Floor 2. The bed of a percolator: free liquid that moves, and liquid inside the particles that follows.

The bed is a row of equal mixed cells. In each, the free liquid (mL per g) flows on to the next cell, and trades
its extract with the liquid held inside the particles at a rate in proportion to the difference between the two.
The picture is for teaching: no channels, no limit to what dissolves, first runnings no richer than the rest.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

import numpy as np

from herbcalc.units.arrays import plain, whole
from herbcalc.units.guard import RETAINED, VOLUME, WEIGHT, Kind, give, take
from herbcalc.units.refusals import OutOfRange, one_of
from herbcalc.units.registry import Q

FLOW = Kind("a flow", "mL/hour", "60 mL/hour, or 2 fl oz in an hour", low=0.0, above=True)
EXCHANGE = Kind("a rate of exchange, per hour", "1/hour", "0.5 for each hour", low=0.0)
MOST_CELLS = 1000
HELD = replace(RETAINED, name="liquid in the bed", example="0.9 mL for each gram (mL/g), or 0.86 fl oz for each oz")
CELLS = Kind("a number of cells", "", "8", low=1.0, high=MOST_CELLS, plain=True)

# Name: free mL/g, held mL/g, exchange 1/h, cells. Teaching values, computed and chosen, not measured; the dense root
# is set so that it runs through the bands of 1866 at a moderate flow, the coarse cut has no source.
TEACHING_BEDS = {
    "leaf or herb powder": (0.90, 1.10, 0.5, 8),
    "dense root powder": (0.40, 0.40, 0.5, 8),
    "coarse cut herb": (1.20, 1.30, 0.1, 5),
}


class Run(NamedTuple):
    """Where the extract is after some percolate: shares in bottle, free liquid and marc (they sum to 1), and the
    strength of the drops leaving now against the strength at the start."""

    bottle: Any
    free: Any
    marc: Any
    exit: Any


@dataclass(frozen=True)
class Bed:
    """A packed bed, full and at rest: the same strength in the free liquid and inside the particles.

    herb      weight of the dry powder, g, more than 0
    held      liquid inside the particles, mL/g, 0 or more
    free      liquid between the particles, mL/g, more than 0
    flow      of the whole bed, mL/hour, more than 0
    exchange  rate at which particle and free liquid even out, 1/hour, 0 (they never do) or more; 1e7 is at once
    cells     how many mixed cells in a row, a whole number from 1 to 1000

    Refuses: WrongUnit, OutOfRange. A partition other than 1 between particle and liquid is a larger `held`.
    Source: linear driving force model with stirred cells, standard in chemical engineering; solved here exactly.

    >>> bed = Bed(Q(1000, "g"), Q(1.1, "mL/g"), Q(0.9, "mL/g"), Q(120, "mL/hour"), Q(0.5, "1/hour"), 8)
    >>> run = bed.run(Q(2000, "mL"))
    >>> round(run.bottle, 6), round(run.exit, 6), round(run.bottle + run.free + run.marc, 9)
    (0.801054, 0.433705, 1.0)
    """

    herb: Any
    held: Any
    free: Any
    flow: Any
    exchange: Any
    cells: int
    _bare: dict[str, float] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        kinds = {
            "herb": WEIGHT.more_than_none,
            "held": HELD,
            "free": HELD.more_than_none,
            "flow": FLOW,
            "exchange": EXCHANGE,
            "cells": CELLS,
        }
        bare = {name: take(name, kind, getattr(self, name)) for name, kind in kinds.items()}
        for name, number in bare.items():
            if np.ndim(number):
                raise OutOfRange(f"{name}: a list was given, and one bed takes one number here. Make a bed for each.")
        cells = whole(bare["cells"])
        if cells is None:
            raise OutOfRange(f"cells: {bare['cells']:g} was given. A bed has a whole number of cells, such as 8.")
        object.__setattr__(self, "cells", cells)
        object.__setattr__(self, "_bare", bare)

    @classmethod
    def of(cls, kind: str, herb: Any, flow: Any) -> Bed:
        """A bed with the teaching values of one kind of powder (computed and chosen, not measured).

        kind  "leaf or herb powder", "dense root powder" or "coarse cut herb"
        herb  weight of the dry powder, g, more than 0
        flow  of the whole bed, mL/hour, more than 0

        >>> f'{Bed.of("dense root powder", Q(100, "g"), Q(12, "mL/hour")).hold_up:.0f~P}'
        '80 mL'
        """
        one_of("kind", kind, TEACHING_BEDS)
        free, held, exchange, cells = TEACHING_BEDS[kind]
        return cls(herb, Q(held, "mL/g"), Q(free, "mL/g"), flow, Q(exchange, "1/hour"), cells)

    @property
    def hold_up(self) -> Any:
        """All the liquid in the bed, mL: what stays behind when the tap is closed."""
        return give(self._bare["herb"] * (self._bare["held"] + self._bare["free"]), "mL")

    @property
    def effective_cells(self) -> float:
        """How many mixed cells at equilibrium would blur the front as much: 1/(1/N + 2 w F/(k h²)).

        From the variance of the residence time, F in mL/(g h); within 0.009 in the share when it is 2 or more.
        """
        b = self._bare
        if b["exchange"] == 0.0:
            return float(self.cells) if b["held"] == 0.0 else 0.0
        slow = 2.0 * b["held"] * b["flow"] / b["herb"] / (b["exchange"] * (b["held"] + b["free"]) ** 2)
        return 1.0 / (1.0 / self.cells + slow)

    def displacements(self, percolate: Any) -> Any:
        """Percolate against the liquid that the bed holds, a plain number; percolate in mL, 0 or more."""
        return take("percolate", VOLUME, percolate) / (self._bare["herb"] * (self._bare["held"] + self._bare["free"]))

    def run(self, percolate: Any) -> Run:
        """Percolate this much, and see where the extract is.

        percolate  collected from the whole bed, mL, 0 or more; a list gives lists

        Result: Run(bottle, free, marc, exit), plain numbers 0..1. Refuses: WrongUnit, OutOfRange.

        >>> Bed.of("dense root powder", Q(100, "g"), Q(12, "mL/hour")).run(Q([0.0, 95.1], "mL")).bottle.round(6)
        array([0.      , 0.815505])
        """
        n = self.cells
        left = (n - np.arange(n)) / n  # a cell j sees what has come the length of j cells: so many of them do
        weights = np.stack([np.ones(n), left], axis=1)
        moving, inside = self._states(take("percolate", VOLUME, percolate), weights)
        free_part = self._bare["free"] / (self._bare["free"] + self._bare["held"])
        moving, inside = np.clip(moving, 0.0, 1.0), np.clip(inside, 0.0, 1.0)  # rounding only, 1e-13
        free, marc = free_part * moving[..., 1], (1.0 - free_part) * inside[..., 1]
        return Run(plain(1.0 - free - marc), plain(free), plain(marc), plain(moving[..., 0]))

    def profile(self, percolate: Any) -> tuple[Any, Any]:
        """Strength down the bed, for the picture of the front.

        percolate  collected from the whole bed, mL, 0 or more; a list gives lists

        Result: (free, marc), arrays, last axis the cells from the top down, against the strength at the start.

        >>> free, marc = Bed.of("leaf or herb powder", Q(100, "g"), Q(12, "mL/hour")).profile(Q(100, "mL"))
        >>> free.round(2)
        array([0.05, 0.14, 0.27, 0.4 , 0.54, 0.67, 0.77, 0.85])
        """
        return self._states(take("percolate", VOLUME, percolate), np.triu(np.ones((self.cells, self.cells))))

    def _states(self, percolate: Any, weights: Any) -> tuple[Any, Any]:
        """Sums over the cells of what the matrix exponential of the bed does to a full bed.

        Moving one cell on is a multiplication by z, so that the bed of 2N equations becomes one 2 x 2 exponential
        whose power series in z holds the answer for all cells: the term z^n is what has come from n cells above.
        The first N terms are read off by a discrete Fourier transform on a circle |z| = r < 1. Nothing is stepped
        through time and nothing is stiff: an exchange of 0 or 1e7 per hour costs the same.
        """
        b, n = self._bare, self.cells
        hours = np.asarray(percolate, dtype=float)[..., None] / b["flow"]
        points = max(64, 4 * n)
        radius = 10.0 ** (-16.0 / points)  # terms that fold back are 1e-16 of themselves; rounding stays under 1e-12
        z = radius * np.exp(1j * np.pi * (2.0 * np.arange(points // 2) + 1.0) / points)  # the lower half mirrors
        out = b["flow"] / b["herb"] * n / b["free"] * (1.0 - z)  # 1/h, leaving a cell less coming from above
        k, given = b["exchange"], b["exchange"] * b["held"] / b["free"]
        # Rates of [[-out - given, given], [k, -k]]; the slow one from their product, since a difference would cancel.
        apart = np.sqrt((out + given - k) ** 2 + 4.0 * given * k)
        slow = -2.0 * out * k / (out + given + k + apart)
        waned = np.where(apart == 0.0, hours, -np.expm1(-apart * hours) / np.where(apart == 0.0, 1.0, apart))
        fading = np.exp(slow * hours)
        moving = fading * (1.0 - (out + slow) * waned)
        inside = fading * (1.0 - slow * waned)
        read = (z[:, None] ** -np.arange(n)) @ weights * (2.0 / points)
        return (moving @ read).real, (inside @ read).real
