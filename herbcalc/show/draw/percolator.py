"""Floor 5. The picture of a percolator: a cone of packed powder with the extract moving down it, and a glass below.

A plug lies at the foot, a disc on the bed, and a layer of menstruum over it. The dark part of the bed is as wide, at
each height, as the share of the extract that is still there: the front can be read off its outline. Bed, glass and
cone are filled to scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Place, spread

NARROW = 0.22  # width of the cone at its foot against its top


@dataclass(frozen=True)
class Percolator:
    """What is drawn. `bed`: share of the cone that the powder fills, 0 where none is drawn; `strength`: of the liquid
    in each cell from the top down, against the start, none where that is not told; `glass`: share of the glass that
    is full; and the words beside each part ("" for none), `brim` for what the whole cone holds."""

    bed: float
    strength: Sequence[float]
    glass: float
    above: str = ""
    in_bed: str = ""
    drops: str = ""
    below: str = ""
    brim: str = ""


@dataclass(frozen=True)
class Cone:
    """Where the cone stands: its middle, its foot, its height and its width at the top, in board units."""

    middle: float
    foot: float
    high: float
    wide: float

    def half(self, high: Any) -> Any:
        """Half its width at a share of its height."""
        return self.wide / 2 * (NARROW + (1 - NARROW) * np.asarray(high))

    def slice(self, low: float, high: float, share: Any = 1.0) -> tuple[list[float], list[float]]:
        """Outline of a slice; `share` of its width at each of the heights, from the low end up."""
        highs = np.linspace(low, high, np.size(share) if np.ndim(share) else 2)
        out, ys = self.half(highs) * share, self.foot + highs * self.high
        return [*(self.middle - out), *(self.middle + out)[::-1]], [*ys, *ys[::-1]]

    def at(self, high: float) -> float:
        """Board units of a share of its height."""
        return self.foot + high * self.high


def height_share(volume: Any) -> Any:
    """How high a share of the cone's volume stands in it; the cone is cut off at the foot.

    >>> bool(height_share(0.0) == 0.0), bool(height_share(1.0) == 1.0), bool(height_share(0.5) > 0.5)
    (True, True, True)
    """
    foot = NARROW**3
    return (np.cbrt(foot + np.asarray(volume) * (1.0 - foot)) - NARROW) / (1.0 - NARROW)


def percolator(board: Board, key: str, place: Place, it: Percolator) -> None:
    """Draw it in the left of the place, its words to the right."""
    glass_h, tap = 0.27 * place.h, 0.09 * place.h
    high = place.h - glass_h - tap
    wide = min(0.44 * place.w, 1.15 * high)
    cone = Cone(place.x + wide / 2, place.y + glass_h + tap, high, wide)
    top = float(height_share(min(it.bed, 1.0)))
    over = min(top + 0.16, 1.0) if it.bed else 0.0
    if it.bed:
        _bed(board, key, cone, it, top, over)
    glass_w = 0.62 * wide
    full = (glass_h - 4) * min(it.glass, 1.0)
    board.box(f"{key} bottle", cone.middle - glass_w / 2, place.y + 2, glass_w, full, fill="bottle", width=1.0)
    if board.is_faint:
        return
    _outlines(board, key, cone, tap, bool(it.drops))
    left, right = cone.middle - glass_w / 2, cone.middle + glass_w / 2
    rim = place.y + glass_h
    board.line(f"{key} glass", [left, left, right, right], [rim, place.y + 2, place.y + 2, rim], width=2.6)
    said = [
        (place.y + 0.5 * glass_h, glass_w / 2, it.below),
        (cone.foot - 0.8 * tap, float(cone.half(0.0)), it.drops),
        (cone.at(0.5 * top), float(cone.half(0.5 * top)), it.in_bed),
        (cone.at(1.0), float(cone.half(1.0)), it.brim),
        (cone.at(0.5 * (top + over)), float(cone.half(0.5 * (top + over))), it.above),
    ]
    _words(board, key, place, cone, sorted(s for s in said if s[2]))


def _bed(board: Board, key: str, cone: Cone, it: Percolator, top: float, over: float) -> None:
    """The powder with what is still in it, a disc on it and a layer of menstruum above."""
    board.shape(f"{key} above", *cone.slice(top, over), fill="water", width=1.0)
    board.shape(f"{key} bed", *cone.slice(0.0, top), fill="card", width=1.2)
    n = len(it.strength)
    if n:
        # Cells hold the same volume each; the outline runs through their middles and on to the ends of the bed.
        volumes = min(it.bed, 1.0) * (1.0 - (np.arange(n) + 0.5) / n)
        highs = np.linspace(0.0, top, 33)
        share = np.interp(highs, height_share(volumes)[::-1], np.asarray(it.strength)[::-1])
        outline = cone.slice(0.0, top, np.clip(share, 0.0, 1.0))
        board.shape(f"{key} extract", *outline, fill="bottle", width=1.0)
    if not board.is_faint:
        out = float(cone.half(top))
        board.line(f"{key} disc", [cone.middle - out, cone.middle + out], [cone.at(top)] * 2, width=3.0)


def _outlines(board: Board, key: str, cone: Cone, tap: float, drips: bool) -> None:
    """The cone, its plug and its tap."""
    ends = [cone.foot + cone.high, cone.foot]
    for name, way in (("left", -1.0), ("right", 1.0)):
        across = [cone.middle + way * cone.half(1.0), cone.middle + way * cone.half(0.0)]
        board.line(f"{key} cone {name}", across, ends, width=2.6)
    spout = float(cone.half(0.0))
    board.box(f"{key} plug", cone.middle - spout, cone.foot - 2, 2 * spout, 0.045 * cone.high, fill="ground")
    spouts = [cone.middle - spout, cone.middle + spout, cone.middle + 3, cone.middle - 3]
    low = cone.foot - 0.45 * tap
    board.shape(f"{key} spout", spouts, [cone.foot, cone.foot, low, low], fill="", width=2.0)
    if drips:
        board.dot(f"{key} drop", cone.middle, cone.foot - 0.8 * tap, ink="bottle", across=max(0.28 * tap, 5.0))


def _words(board: Board, key: str, place: Place, cone: Cone, said: Sequence[tuple[float, float, str]]) -> None:
    """Words to the right of what they name, none on another; from the bottom up."""
    heights = spread([s[0] for s in said], board.small * 1.3, place.y, place.y + place.h)
    x = place.x + cone.wide + 12
    for n, ((at, out, words), high) in enumerate(zip(said, heights, strict=True)):
        board.line(f"{key} lead {n}", [cone.middle + out + 4, x - 3], [at, high], ink="quiet", width=1.0)
        board.words(f"{key} words {n}", x, high, words, ha="left", size=board.small)
