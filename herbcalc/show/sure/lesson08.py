"""Floor 5. How sure lesson 8's figures are, as far as scale, jug and spoon go: the bed itself is a model."""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc.batch import Readings
from herbcalc.rules import Rules
from herbcalc.show.lessons.lesson08 import PACKED, Setting, bed_of, sums
from herbcalc.show.look import View
from herbcalc.show.sure.told import Doubt
from herbcalc.units import Q

BED = "The bed is a model: not counted in."
TAP = "A tap drifts and clogs: not counted in."
PACKING = "How tightly a powder packs is a middle value: not counted in."
FAR = 1000.0  # mL for each g: nothing is left in any bed


def doubt(s: Setting, rules: Rules, view: View, key: str) -> Doubt | None:  # noqa: ARG001 - one rule, and no words here
    """What goes into the number of that name."""
    it, readings = sums(s), Readings.by_rules(rules)
    herb, jug, keeps = readings.weighed(s.herb), readings.poured(), readings.kept(it.keeps)
    spoon = readings.poured()._replace(named="counting the drops of several spoons")
    if key in ("out", "drop"):
        return Doubt(_along(s, key), {"herb": herb, "jug": jug}, "percent", BED)
    if key == "stop" and it.stop is None:
        return None
    return {
        "ready": Doubt(lambda herb, jug, keeps: it.percolate * jug + keeps * herb,
                       {"herb": herb, "jug": jug, "keeps": keeps}, "mL"),
        "stop": Doubt(lambda herb, jug: (it.stop or 0.0) * herb * jug, {"herb": herb, "jug": jug}, "mL", BED),
        "hours": Doubt(lambda jug, spoon: it.hours * jug * spoon, {"jug": jug, "spoon": spoon}, "hour", TAP),
        "fits": Doubt(lambda jug: it.room * jug * PACKED[s.kind], {"jug": jug}, "g", PACKING),
        "left": Doubt(lambda herb, keeps: keeps * herb, {"herb": herb, "keeps": keeps}, "mL"),
    }[key]  # fmt: skip


def _along(s: Setting, key: str) -> Any:
    """What is out, or what a drop carries, in percent, read off a fine run of this bed about the set one."""
    runs = np.concatenate([np.linspace(0.0, 2.0 * s.run, 81), [4.0 * s.run + 1.0, FAR]])
    run = bed_of(s.kind, s.herb, s.flow).run(Q(runs * s.herb, "mL"))
    share = run.bottle if key == "out" else run.exit

    def at(herb: Any, jug: Any) -> Any:
        return 100.0 * np.interp(s.run * s.herb * jug / herb, runs, share)

    return at
