"""The table of soak and drip says what the sums of each way say, to the last digit."""

from __future__ import annotations

import numpy as np
import pytest

from herbcalc import compare, maceration, percolation
from herbcalc.units import Q

HERB, RATIO = Q(120.0, "g"), Q(4.0, "mL/g")


@pytest.mark.parametrize("kept", [0.0, 0.8, 1.5])
@pytest.mark.parametrize("soaks", [1, 2, 5])
def test_each_way_by_itself(kept, soaks):
    k, poured = Q(kept, "mL/g"), Q(480.0, "mL")
    table = compare.soak_or_drip(herb=HERB, ratio=RATIO, retained=k, soaks=soaks)
    split = maceration.best_split(poured, HERB, k, soaks)
    shares = [
        maceration.share_extracted(HERB, Q([480.0], "mL"), k),
        maceration.share_extracted(HERB, split, k),
        percolation.share_after(RATIO, Q(0.6, "mL/g")),
    ]
    assert table["share of extract"].tolist() == pytest.approx(shares, rel=1e-12)
    out = [maceration.liquid_out(HERB, poured, k).magnitude] * 2 + [480.0]
    assert table["finished (mL)"].tolist() == pytest.approx(out, rel=1e-12)
    ready = percolation.menstruum_needed(HERB, poured, k).magnitude
    assert table["menstruum (mL)"].tolist() == pytest.approx([480.0, 480.0, ready], rel=1e-12)
    worth = np.array(shares) * 120.0 / np.array(out)
    assert table["worth (g/mL)"].tolist() == pytest.approx(worth.tolist(), rel=1e-12)
