"""Floor 5. How sure lesson 7's figures are: herb on the scale, spirit by the jug, what the marc keeps by habit."""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc import maceration, menstruum
from herbcalc.batch import Reading, Readings
from herbcalc.maceration.soaks import lot_after_lot
from herbcalc.rules import Rules
from herbcalc.show.lessons.lesson07 import Setting, Soak, lots, sums, twice
from herbcalc.show.look import View
from herbcalc.show.sure.told import Doubt, rules_part, wet
from herbcalc.units.constants import SLACK

OUT, WORTH, STRENGTH, IN_BOTTLE = range(4)  # what comes of each lot
TIME = "How fast it comes out is a model's: not counted in."
EVEN = "Stirred even, as a model has it: not counted in."
TIME_ALONE = "How fast it comes out is a model's: look and smell on the way."


def doubt(s: Setting, rules: Rules, view: View, key: str) -> Doubt | None:
    """What goes into the number of that name, by the rule that stands first."""
    it, readings = sums(s), Readings.by_rules(rules)
    read = {"herb": readings.weighed(s.herb), "jug": readings.poured(), "keeps": readings.kept(s.kept)}
    read["water"] = wet(readings, it.water) if it.water else readings.felt(0.0)._replace(off=0.0)
    again = s.again if it.out > SLACK else "once"
    return _BY[again](s, it, read, view.rule, key)


def _once(s: Setting, it: Soak, read: dict[str, Reading], rule: str, key: str) -> Doubt | None:
    if key == "moved":
        return Doubt(lambda: it.moved, {}, "percent", TIME_ALONE)
    if key == "gram" and (it.worth is None or it.out <= SLACK):
        return None

    def off(herb: Any, jug: Any, keeps: Any, water: Any) -> Any:
        return maceration.liquid_out.plain(herb, it.poured * jug, keeps, water)

    def liquid(herb: Any, jug: Any, water: Any) -> Any:
        return it.poured * jug + herb * water / 100.0

    def extract(herb: Any, jug: Any, keeps: Any, water: Any) -> Any:
        portions = np.asarray(it.poured * jug)[..., None]
        return 100.0 * it.moved * maceration.share_extracted.plain(herb, portions, keeps, water)

    def marc(herb: Any, jug: Any, keeps: Any, water: Any) -> Any:
        return liquid(herb, jug, water) - off(herb, jug, keeps, water)

    def gram(herb: Any, jug: Any, keeps: Any, water: Any) -> Any:  # noqa: ARG001 - the marc's liquid is as rich
        return liquid(herb, jug, water) / (it.moved * herb)

    def end(herb: Any, jug: Any, keeps: Any, water: Any) -> Any:  # noqa: ARG001 - and as strong
        return menstruum.final_strength.plain(herb, water, it.poured * jug, s.spirit, rule)

    return {
        "off": Doubt(off, read, "mL"),
        "extract": Doubt(extract, read, "percent", TIME),
        "gram": Doubt(gram, read, "mL", TIME),
        "marc": Doubt(marc, read, "mL"),
        "end": Doubt(end, read, "percent_vol", rules_part(**it.strength)),
    }[key]


def _same(s: Setting, it: Soak, read: dict[str, Reading], rule: str, key: str) -> Doubt:  # noqa: ARG001 - no strength
    first = twice(s, it).poured[0]

    def shares(herb: Any, jug: Any, keeps: Any, water: Any, first: Any) -> Any:
        portions = np.stack(np.broadcast_arrays(first * jug, (it.poured - first) * jug), axis=-1)
        return 100.0 * maceration.share_extracted.plain(herb, portions, keeps, water)

    def at_once(herb: Any, jug: Any, keeps: Any, water: Any) -> Any:
        return 100.0 * maceration.share_extracted.plain(herb, np.asarray(it.poured * jug)[..., None], keeps, water)

    def off(herb: Any, jug: Any, keeps: Any, water: Any) -> Any:
        # What the marc keeps in the end it keeps once, and of what it can get.
        return maceration.liquid_out.plain(herb, it.poured * jug, keeps, water)

    def best(herb: Any, jug: Any, keeps: Any, water: Any) -> Any:
        brought, solids = herb * water / 100.0, herb * (100.0 - water) / 100.0
        liquid = np.maximum(it.poured * jug + brought, 1.000001 * keeps * solids)
        split = maceration.best_split.plain(liquid, solids, keeps, 2)[..., 0]
        return np.clip(split - brought, 0.0, it.poured * jug)

    return {
        "extract": Doubt(lambda **drawn: shares(**drawn, first=first), read, "percent", EVEN),
        "gain": Doubt(lambda **drawn: shares(**drawn, first=first) - at_once(**drawn), read, "points", EVEN),
        "off": Doubt(off, read, "mL"),
        "best": Doubt(best, read, "mL", EVEN),
        "most": Doubt(lambda **drawn: shares(**drawn, first=best(**drawn) / drawn["jug"]), read, "percent", EVEN),
    }[key]


def _fresh(s: Setting, it: Soak, read: dict[str, Reading], rule: str, key: str) -> Doubt:
    all_lots = lots(s, it)
    count = len(all_lots)

    def last(which: int, herb: Any, jug: Any, keeps: Any, water: Any) -> Any:
        # One scale for all lots: as far as it is off, it is off each time.
        by = rule if which == STRENGTH else "kitchen"  # as the lesson tells them
        made = list(lot_after_lot(it.poured * jug, [herb] * count, keeps, water, s.spirit, by))
        return made[-1][which]

    return {
        "end": Doubt(
            lambda **drawn: last(STRENGTH, **drawn), read, "percent_vol", rules_part(**all_lots[-1].strength)
        ),
        "off": Doubt(lambda **drawn: last(OUT, **drawn), read, "mL"),
        "gram": Doubt(lambda **drawn: 1.0 / last(WORTH, **drawn), read, "mL", EVEN),
        "worth": Doubt(lambda **drawn: last(IN_BOTTLE, **drawn), read, "g", EVEN),
    }[key]


_BY = {"once": _once, "same": _same, "fresh": _fresh}
