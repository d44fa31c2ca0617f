"""Floor 5. The picture of a percolator: a cone of packed powder with the extract moving down it, and a glass below.

The dark part of the bed is as wide, at each height, as the share of the extract that is still there: the front can be
read off its outline. Bed, glass and cone are filled to scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc.show.draw.shapes import Place, spread

NARROW = 0.22  # width of the cone at its foot against its top


@dataclass(frozen=True)
class Percolator:
    """What is drawn. `bed`: share of the cone that the powder fills; `strength`: of the liquid in each cell from the
    top down, against the start; `glass`: share of the glass that is full; and the words beside each part."""

    bed: float
    strength: Sequence[float]
    glass: float
    above: str
    in_bed: str
    drops: str
    below: str


def height_share(volume: Any) -> Any:
    """How high a share of the cone's volume stands in it; the cone is cut off at the foot.

    >>> bool(height_share(0.0) == 0.0), bool(height_share(1.0) == 1.0), bool(height_share(0.5) > 0.5)
    (True, True, True)
    """
    foot = NARROW**3
    return (np.cbrt(foot + np.asarray(volume) * (1.0 - foot)) - NARROW) / (1.0 - NARROW)


def percolator(board: Any, key: str, place: Place, it: Percolator) -> None:
    """Draw it in the left of the place, its words to the right."""
    small = board.small
    glass_h, tap = 0.27 * place.h, 0.09 * place.h
    cone_h = place.h - glass_h - tap
    wide = min(0.44 * place.w, 1.15 * cone_h)
    middle, foot = place.x + wide / 2, place.y + glass_h + tap

    def half(high: Any) -> Any:
        """Half the width of the cone at a share of its height."""
        return wide / 2 * (NARROW + (1 - NARROW) * np.asarray(high))

    def side(low: float, high: float, share: Any = 1.0) -> tuple[list[float], list[float]]:
        """Outline of a slice of the cone; `share` of its width at each of the heights, from the low end up."""
        highs = np.linspace(low, high, np.size(share) if np.ndim(share) else 2)
        out = half(highs) * share
        return [*(middle - out), *(middle + out)[::-1]], [*(foot + highs * cone_h), *(foot + highs * cone_h)[::-1]]

    top = float(height_share(min(it.bed, 1.0)))
    over = min(top + 0.16, 1.0)
    board.shape(f"{key} above", *side(top, over), fill="water", width=1.0)
    board.shape(f"{key} bed", *side(0.0, top), fill="card", width=1.2)
    # Cells hold the same volume each; the outline runs through their middles and on to the ends of the bed.
    n = len(it.strength)
    volumes = min(it.bed, 1.0) * (1.0 - (np.arange(n) + 0.5) / n)
    highs = np.linspace(0.0, top, 33)
    share = np.interp(highs, height_share(volumes)[::-1], np.asarray(it.strength)[::-1])
    board.shape(f"{key} extract", *side(0.0, top, np.clip(share, 0.0, 1.0)), fill="bottle", width=1.0)
    glass_w = 0.62 * wide
    full = (glass_h - 4) * min(it.glass, 1.0)
    board.box(f"{key} bottle", middle - glass_w / 2, place.y + 2, glass_w, full, fill="bottle", width=1.0)
    if board.is_faint:
        return
    board.line(f"{key} cone left", [middle - half(1.0), middle - half(0.0)], [foot + cone_h, foot], width=2.6)
    board.line(f"{key} cone right", [middle + half(1.0), middle + half(0.0)], [foot + cone_h, foot], width=2.6)
    spout = float(half(0.0))
    board.shape(
        f"{key} spout",
        [middle - spout, middle + spout, middle + 3, middle - 3],
        [foot, foot, foot - 0.45 * tap, foot - 0.45 * tap],
        fill="",
        width=2.0,
    )
    if it.drops:
        board.dot(f"{key} drop", middle, foot - 0.8 * tap, ink="bottle", across=max(0.28 * tap, 5.0))
    board.line(
        f"{key} glass",
        [middle - glass_w / 2, middle - glass_w / 2, middle + glass_w / 2, middle + glass_w / 2],
        [place.y + glass_h, place.y + 2, place.y + 2, place.y + glass_h],
        width=2.6,
    )
    parts = [
        (place.y + 0.5 * glass_h, glass_w / 2, it.below),
        (foot - 0.8 * tap, spout, it.drops),
        (foot + 0.5 * top * cone_h, float(half(0.5 * top)), it.in_bed),
        (foot + 0.5 * (top + over) * cone_h, float(half(0.5 * (top + over))), it.above),
    ]
    parts = [p for p in parts if p[2]]
    heights = spread([p[0] for p in parts], small * 1.3, place.y, place.y + place.h)
    x = place.x + wide + 12
    for number, ((at, out, words), high) in enumerate(zip(parts, heights, strict=True)):
        board.line(f"{key} lead {number}", [middle + out + 4, x - 3], [at, high], ink="quiet", width=1.0)
        board.words(f"{key} words {number}", x, high, words, ha="left", size=small)
