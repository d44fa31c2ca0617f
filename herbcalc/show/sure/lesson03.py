"""Floor 5. How sure lesson 3's figures are: the basket was weighed, and its water told by a sample."""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc import moisture
from herbcalc.batch import Readings
from herbcalc.rules import Rules
from herbcalc.show.lessons.lesson03 import Setting
from herbcalc.show.look import View
from herbcalc.show.sure.told import Doubt


def doubt(s: Setting, rules: Rules, view: View, key: str) -> Doubt:  # noqa: ARG001 - one rule, and no words here
    """What goes into the number of that name."""
    readings = Readings.by_rules(rules)
    read = {"fresh": readings.weighed(s.fresh), "water": readings.sampled(s.water)}

    def at(fresh: Any, water: Any, to: float) -> Any:
        # A plant drier than that from the start stays as it is.
        return moisture.dried_weight.plain(fresh, water, np.minimum(to, water))

    def weighs(fresh: Any, water: Any) -> Any:
        return at(fresh, water, s.now)

    def stop(fresh: Any, water: Any) -> Any:
        return at(fresh, water, s.target)

    sums = {
        "weighs": weighs,
        "gone": lambda fresh, water: fresh - weighs(fresh, water),
        "solids": lambda fresh, water: fresh * (100.0 - water) / 100.0,
        "stop": stop,
        "more": lambda fresh, water: np.maximum(weighs(fresh, water) - stop(fresh, water), 0.0),
    }
    return Doubt(sums[key], read, "g")
