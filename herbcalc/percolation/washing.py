"""Floor 2. Washing a bed: how the percolate thins out as fresh menstruum pushes the strong liquid ahead of it.

Two pictures of the same bed. *Mixed cells*: a row of equal jars, each stirred, each spilling into the next.
*Dispersed plug flow*: a front that moves through the bed and blurs on its way. Both start full of one strength,
and everything is measured in displacements: percolate collected, divided by the liquid that the bed holds.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc.percolation.gammas import erfc, erfcx, incomplete
from herbcalc.units.arrays import plain
from herbcalc.units.guard import NUMBER, guarded

DISPLACEMENTS = NUMBER.within(0.0)
CELLS = NUMBER.within(0.0, above=True)
PECLET = NUMBER.within(0.1, 1000.0)


@guarded(displacements=DISPLACEMENTS, cells=CELLS)
def exit_ratio(displacements: Any, cells: Any) -> Any:
    """Strength of the drops that leave now, against the strength at the start: equal mixed cells in series.

    displacements  percolate collected / liquid held in the bed, plain, 0 or more
    cells          how many mixed cells the bed behaves like, plain, more than 0; need not be whole

    Result: plain number 0..1. Regularised upper incomplete gamma Q(N, N θ); for whole N this is Levenspiel's
    e^(-Nθ) Σ (Nθ)^k / k!, k < N. Off by less than 1e-13 (0.01 cells or more). Refuses: WrongUnit, OutOfRange.
    Source: tanks in series, Levenspiel, Chemical Reaction Engineering (standard textbook form).

    >>> round(exit_ratio(1, 10), 6)
    0.45793
    """
    return plain(incomplete(cells, np.asarray(cells) * displacements)[1])


@guarded(displacements=DISPLACEMENTS, cells=CELLS)
def share_washed(displacements: Any, cells: Any) -> Any:
    """Share of the extract that has left the bed so far: equal mixed cells in series.

    displacements  percolate collected / liquid held in the bed, plain, 0 or more
    cells          how many mixed cells the bed behaves like, plain, more than 0; need not be whole

    Result: plain number 0..1, θ Q(N, Nθ) + P(N + 1, Nθ) with the regularised incomplete gammas; it is the area
    under `exit_ratio`. Off by less than 1e-13 up to 10 displacements, 1e-11 up to 1000 (0.01 cells or more).
    Refuses: WrongUnit, OutOfRange.
    Source: tanks in series, Levenspiel, Chemical Reaction Engineering, integrated.

    >>> round(share_washed(1, 10), 6), round(share_washed(2, 1), 6)
    (0.87489, 0.864665)
    """
    n, theta = np.asarray(cells), np.asarray(displacements)
    share = theta * incomplete(n, n * theta)[1] + incomplete(n + 1.0, n * theta)[0]
    return plain(np.minimum(share, 1.0))


@guarded(displacements=DISPLACEMENTS, peclet=PECLET)
def washing(displacements: Any, peclet: Any) -> tuple[Any, Any]:
    """Washing a bed in which the front blurs: dispersed plug flow in a closed vessel.

    displacements  percolate collected / liquid held in the bed, plain, 0 or more
    peclet         v L / D, plain, 0.1 to 1000 (four times the P of Brenner's paper); large is a sharp front

    Result: (exit, remaining), both plain numbers 0..1: strength of the drops leaving now against the start, and
    the share still in the bed. At 0 displacements (1, 1). Refuses: WrongUnit, OutOfRange.

    How it is summed. With P = Pe/4 and T displacements, the printed eigenvalue series carries a factor e^(P(2-T)):
    harmless while P(2 - T) <= 3, and the series is used there, with its roots λ = nπ/2 + arctan(P/λ). Elsewhere
    that factor would eat every digit (e^250 at Pe 1000), and the same solution is taken as the inverse Laplace
    integral instead. Written in u = sqrt(1 + 4 s/Pe), its path of steepest descent is the straight line
    Re u = 1/T, on which the integrand is a smooth bell with no cancelling; a midpoint sum then gives full accuracy
    at any Peclet number. For T < 1 the line runs to the right of the pole u = 1 and gives what has been lost, for
    T > 1 to the left and gives what is left; near T = 1 it keeps a distance of 2/sqrt(Pe) from the pole.
    Source: Brenner 1962, Chem. Eng. Sci. 17:229-243 (series from memory; printed table not seen); Danckwerts 1953.

    >>> [round(ratio, 6) for ratio in washing(1, 40)]
    [0.456524, 0.087045]
    """
    t, pe = np.broadcast_arrays(np.asarray(displacements, dtype=float), np.asarray(peclet, dtype=float))
    shape, t, pe = t.shape, t.ravel(), pe.ravel()
    exit_, remaining = np.ones_like(t), 1.0 - t
    # Until then nothing weaker than 1 - e^-40 has reached the tap, and the lines above stand.
    under_way = (t >= 1.0) | (pe * (1.0 - t) ** 2 <= 160.0 * t)
    series = under_way & (pe / 4.0 * (2.0 - t) <= 3.0)
    line = under_way & ~series
    for part, way in ((series, _by_series), (line, _by_line)):
        if part.any():
            exit_[part], remaining[part] = way(t[part], pe[part])
    exit_, remaining = np.clip(exit_, 0.0, 1.0), np.clip(remaining, 0.0, 1.0)
    return plain(exit_.reshape(shape)), plain(remaining.reshape(shape))


def _by_series(t: Any, pe: Any) -> tuple[Any, Any]:
    """Brenner's series; 28 roots reach e^-40 at the earliest time that is asked of it."""
    p = pe[:, None] / 4.0
    n = np.arange(28.0)
    # λ - nπ/2 - arctan(P/λ) rises and bends downwards, so Newton's steps from a point below the root stay below it.
    root = np.where(n == 0, np.sqrt(p / (1.0 + p)), n * np.pi / 2.0 + 0.0 * p)
    for _ in range(12):
        root = root - (root - n * np.pi / 2.0 - np.arctan2(p, root)) / (1.0 + p / (root**2 + p**2))
    square = root**2
    term = root * np.sin(2.0 * root) / (square + p**2 + p) * np.exp(p * (2.0 - t[:, None]) - square * t[:, None] / p)
    return term.sum(axis=1), (p * term / (square + p**2)).sum(axis=1)


def _by_line(t: Any, pe: Any) -> tuple[Any, Any]:
    """The inverse Laplace integral along Re u = const, 96 midpoints on its upper half."""
    apart = np.minimum(2.0 / np.sqrt(pe), 0.5)
    early = t < 1.0
    centre = np.where(early, np.maximum(1.0 / t, 1.0 + apart), np.minimum(1.0 / t, 1.0 - apart))
    step = 12.5 / np.sqrt(pe * t) / 96.0  # the bell is e^-39 high at the last point
    y = (np.arange(96.0) + 0.5) * step[:, None]
    u = centre[:, None] + 1j * y
    pe2, t2 = pe[:, None], t[:, None]
    height = np.exp(pe2 / 4.0 * ((u * u - 1.0) * t2 + 2.0 - 2.0 * u))
    kernel = 8.0 * u * u / (((1.0 + u) ** 2 - (1.0 - u) ** 2 * np.exp(-pe2 * u)) * (u * u - 1.0))
    lost = height * kernel
    first = step / np.pi * lost.real.sum(axis=1)
    second = step / np.pi * (lost * 4.0 / (pe2 * (u * u - 1.0))).real.sum(axis=1)
    return np.where(early, 1.0 - first, -first), np.where(early, 1.0 - t + second, second)


@guarded(displacements=DISPLACEMENTS, peclet=PECLET)
def open_washing(displacements: Any, peclet: Any) -> Any:
    """Strength that passes a mark at depth L in a bed without end, against the start: the fronts of Ogata and Banks.

    displacements  v t / L, plain, 0 or more
    peclet         v L / D, plain, 0.1 to 1000

    Result: plain number 0..1, 1 - [erfc((L - vt)/2√(Dt)) + e^(vL/D) erfc((L + vt)/2√(Dt))]/2, the second product
    taken with the scaled function so that nothing overflows. Refuses: WrongUnit, OutOfRange.
    Source: Ogata and Banks 1961, US Geological Survey Professional Paper 411-A.

    >>> round(open_washing(1, 10), 6)
    0.414711
    """
    t, pe = np.asarray(displacements, dtype=float), np.asarray(peclet, dtype=float)
    moving = np.maximum(t, 1e-300)
    wide = 2.0 * np.sqrt(moving / pe)
    ahead, behind = (1.0 - moving) / wide, (1.0 + moving) / wide
    # pe - behind² = -ahead², so e^pe erfc(behind) = e^(-ahead²) erfcx(behind)
    loaded = 0.5 * (erfc(ahead) + np.exp(-(ahead**2)) * erfcx(behind))
    return plain(np.clip(1.0 - loaded, 0.0, 1.0))
