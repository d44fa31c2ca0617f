"""Floor 5. How sure lesson 5's figures are: the herb was weighed, its water sampled, the spirit poured by the jug."""

from __future__ import annotations

from typing import Any

from herbcalc import menstruum
from herbcalc.batch import Readings
from herbcalc.rules import Rules
from herbcalc.show.lessons.lesson05 import Setting, sums
from herbcalc.show.look import View
from herbcalc.show.sure.told import Doubt, rules_part, wet


def doubt(s: Setting, rules: Rules, view: View, key: str) -> Doubt | None:
    """What goes into the number of that name, by the rule that stands first."""
    it, readings, rule = sums(s, rules.floor), Readings.by_rules(rules), view.rule
    herb, water, jug = readings.weighed(s.herb), wet(readings, s.water), readings.poured()

    def end(herb: Any, water: Any, jug: Any) -> Any:
        return menstruum.final_strength.plain(herb, water, it.poured * jug, s.spirit, rule)

    def wettest(herb: Any, jug: Any) -> Any:
        return menstruum.wettest_plant.plain(it.poured * jug / herb, s.spirit, rules.floor, rule)

    def least(water: Any) -> Any:
        return menstruum.smallest_ratio.plain(water, s.spirit, rules.floor, rule)

    found = {
        "end": Doubt(
            end, {"herb": herb, "water": water, "jug": jug}, "percent_vol", rules_part(it.kitchen, it.measured)
        ),
        "brings": Doubt(lambda herb, water: herb * water / 100.0, {"herb": herb, "water": water}, "mL"),
        "wettest": Doubt(wettest, {"herb": herb, "jug": jug}, "percent_wb"),
        "least": Doubt(least, {"water": water}, "ratio"),
    }
    none = (key == "wettest" and it.wettest[rule] is None) or (key == "least" and it.least[rule] is None)
    return None if none else found[key]
