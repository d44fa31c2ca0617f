"""Floor 4. Within lesson 8: drip by drip."""

from __future__ import annotations

from typing import Any

from herbcalc import percolation
from herbcalc.homework.blueprint import HOURS, STRENGTH, VOLUME
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.items.lesson08 import hours_way
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken

_GROUND = fixed(m=(227, "g"), F=(710, "mL"), k=(0.8, "mL/g"))

GAPS = (
    gap(
        "Remember, 1",
        "{m} of dried herb in {V}; the marc keeps {k}. What comes out?",
        fixed(m=(100, "g"), V=(500, "mL"), k=(1.5, "mL/g")),
        VOLUME,
        lambda f: f.V - f.k * f.m,
        ways.out,
    ),
    gap(
        "Remember, 2",
        "{T} at {t} from spirit of {a}. How much spirit?",
        fixed(T=(1000, "mL"), t=(60, "percent_vol"), a=(95, "percent_vol")),
        VOLUME,
        lambda f: f.t * f.T / f.a,
        ways.spirit_to_cut,
    ),
    gap(
        "Remember, 3",
        "{m} of fresh leaf at {w} water, in {V} of vodka at {a}. How strong does it end?",
        fixed(m=(200, "g"), w=(80, "percent_wb"), V=(400, "mL"), a=(40, "percent_vol")),
        STRENGTH,
        ways.ends_at,
        ways.final_strength,
    ),
    gap(
        "The last step is yours",
        "{m} of leaf powder; {F} are to drip out. A bed of leaf, left to drain, keeps {k}; that is common "
        "practice. How much menstruum must be ready?",
        fixed(m=(200, "g"), F=(600, "mL"), k=(2, "mL/g")),
        VOLUME,
        lambda f: f.F + f.k * f.m,
        ways.ready,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "8 oz (227 g) of ground root keeps {k}. 24 fl oz (710 mL) are to drip out. How much does the root keep?",
        _GROUND,
        VOLUME,
        lambda f: f.k * f.m,
        ways.keeps,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same 8 oz (227 g) of root, {k} kept, and 24 fl oz (710 mL) wanted. How much menstruum must be ready?",
        _GROUND,
        VOLUME,
        lambda f: f.F + f.k * f.m,
        ways.ready,
        left_out=2,
    ),
    gap(
        "Alone",
        "{F} are to drip from 100 g (3 1/2 oz) of powder, at {d}, {n}. How many hours does the tap run? Say before "
        "you reckon: an evening, a night, or more than a day?",
        fixed(F=(400, "mL"), d=(8, "1/min"), n=(40, "1/mL")),
        HOURS,
        lambda f: f.F * f.n / f.d / 60,
        hours_way,
    ),
)


def _tell(_: Rules, powder: Any, bottle: Any, minute: Any, each: Any) -> list[str]:
    drops, per_mL = minute.magnitude, each.magnitude
    tap = Q(drops / per_mL, "mL/min")
    return [
        f"It will run {spoken(percolation.running_time(bottle, drops, per_mL))}.",
        f"For {spoken(powder)} that tap is {percolation.flow_band(powder, tap)}.",
        f"Dampen the powder with {spoken(percolation.moistening(powder))} (common practice).",
    ]


BENCH = Bench(
    (
        Box("powder", "Dry powder", "weight", "100 g"),
        Box("bottle", "How much is to drip out", "volume", "500 mL"),
        Box("minute", "Drops counted in one minute", "count", "7"),
        Box("each", "Drops in one mL (those of a teaspoon, divided by 5)", "count", "35"),
    ),
    _tell,
)
