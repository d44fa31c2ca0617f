"""Floor 4. Within lesson 14: from the stand to the shelf."""

from __future__ import annotations

from typing import Any

from herbcalc import maceration
from herbcalc.homework.blueprint import STRENGTH, VOLUME, WEIGHT
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.wording import kept
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken
from herbcalc.units.saying import said

GAPS = (
    gap(
        "Remember, 1",
        "You want {T} at {t}, from a spirit of {a}. How much of the spirit?",
        fixed(T=(600, "mL"), t=(50, "percent_vol"), a=(75, "percent_vol")),
        VOLUME,
        lambda f: f.t * f.T / f.a,
        ways.spirit_to_cut,
    ),
    gap(
        "Remember, 2",
        "{m} of dried root stands in {V}, and {k} stay behind. How much comes out?",
        fixed(m=(80, "g"), V=(400, "mL"), k=(1.5, "mL/g")),
        VOLUME,
        lambda f: f.V - f.k * f.m,
        ways.out,
    ),
    gap(
        "Remember, 3",
        "{m} of fresh leaf, {w} water, in {V} at {a}. How strong does it end?",
        fixed(m=(250, "g"), w=(80, "percent_wb"), V=(500, "mL"), a=(70, "percent_vol")),
        STRENGTH,
        ways.ends_at,
        ways.final_strength,
    ),
    gap(
        "The last step is yours",
        "The order comes to {F} in bottles. Soaked at {r}, and {k} stay behind: how much dried herb?",
        fixed(F=(420, "mL"), r=(5, "mL/g"), k=(1.5, "mL/g")),
        WEIGHT,
        lambda f: f.F / (f.r - f.k),
        ways.herb_to_plan,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "For {D} of dried herb, {w1} water in it, you gather a plant that holds {w}. How much fresh plant?",
        fixed(D=(120, "g"), w1=(10, "percent_wb"), w=(80, "percent_wb")),
        WEIGHT,
        ways.weighs_fresh,
        ways.to_gather,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "It rained: the plant holds {w} now. How much fresh plant for the same {D} of dried herb, {w1} water in it?",
        fixed(D=(120, "g"), w1=(10, "percent_wb"), w=(88, "percent_wb")),
        WEIGHT,
        ways.weighs_fresh,
        ways.to_gather,
        left_out=2,
    ),
    gap(
        "Alone: the same basket after rain",
        "You keep the basket: {m} of fresh plant, {w} water now, dried to {w1}. At which weight is the tray dry?",
        fixed(m=(540, "g"), w=(88, "percent_wb"), w1=(10, "percent_wb")),
        WEIGHT,
        ways.weighs_dried,
        ways.dried,
    ),
)


def _tell(rules: Rules, herb: Any, poured: Any, planned: Any, out: Any) -> list[str]:
    """What the bench gave beside the plan, and what the marc kept of dried herb."""
    found = float(maceration.retained_found(herb, poured, out).magnitude)
    reckoned = float(maceration.retained_found(herb, poured, planned).magnitude)
    off = out - planned
    more = "more" if off.magnitude > 0 else "less"
    lines = [
        f"Planned {spoken(planned)}, and {spoken(out)} came out: {spoken(abs(off))} {more}."
        if abs(off).magnitude >= 1.0
        else f"Planned {spoken(planned)}, and that came out.",
        f"Your marc kept {kept(round(found, 2))}; your plan reckoned with {kept(round(reckoned, 2))}. Write yours "
        "into the batch book: it is the figure for next time, before any house rule.",
    ]
    if found > rules.retained:
        pressed = maceration.liquid_out(herb, poured, Q(rules.retained_pressed, "mL/g"))
        lines.append(
            f"A good press leaves {said(rules.retained_pressed, '')} mL for each gram (a teaching value): with one, "
            f"{spoken(pressed)} would come out."
        )
    return lines


BENCH = Bench(
    (
        Box("herb", "Dried herb that went in", "weight", "100 g"),
        Box("poured", "Menstruum poured on", "volume", "500 mL"),
        Box("planned", "What your plan says comes out", "volume", "350 mL"),
        Box("out", "What came out, measured", "volume", "331 mL"),
    ),
    _tell,
)
