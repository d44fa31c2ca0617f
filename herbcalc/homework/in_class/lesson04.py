"""Floor 4. Within lesson 4: cutting strong spirit."""

from __future__ import annotations

from typing import Any

from herbcalc import ethanol, menstruum
from herbcalc.homework.blueprint import IN_ML, VOLUME, WEIGHT, Figures, Want, plainly
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.items.lesson04 import blend_way
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import ML_PER_FL_OZ
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import spoken

_FROM_PROOF = Want(("share",), "", "% vol", scale=100.0)  # so that an echo of the proof is not the answer


def _proof_way(f: Figures, w: Walk) -> None:
    w.step("vol", f"Half of the proof: {n(f.proof)} ÷ 2", f.proof / 200)


def _fl_oz_way(f: Figures, w: Walk) -> None:
    w.step("mL", f"29.57 mL for each fl oz: {n(f.oz)} × 29.57", f.oz * ML_PER_FL_OZ)


def _blend(f: Figures) -> tuple[float, ...]:
    found = plainly(menstruum.blend, 100 * f.a, 100 * f.b, 100 * f.t, f.T)
    return (found.strong.magnitude, found.strong_by_kitchen_rule.magnitude)


_RUM = fixed(t=(40, "percent_vol"), T=(355, "mL"), a=(75.5, "percent_vol"))


GAPS = (
    gap(
        "Remember, 1",
        "A bottle says 151 proof. What is that in % vol?",
        fixed(proof=(151, "")),
        _FROM_PROOF,
        lambda f: f.proof / 2,
        _proof_way,
    ),
    gap(
        "Remember, 2",
        "{m} of fresh leaf, {w} water. What do its solids weigh?",
        fixed(m=(500, "g"), w=(80, "percent_wb")),
        WEIGHT,
        lambda f: f.m * (1 - f.w),
        ways.solids,
    ),
    gap(
        "Remember, 3",
        "How many mL is 12 fl oz?",
        fixed(oz=(12, "fl_oz")),
        IN_ML,
        lambda f: f.oz * ML_PER_FL_OZ,
        _fl_oz_way,
    ),
    gap(
        "The last step is yours",
        "You want {T} at {t}, from spirit of {a}. How much of the spirit?",
        fixed(t=(60, "percent_vol"), T=(500, "mL"), a=(95, "percent_vol")),
        VOLUME,
        lambda f: f.t * f.T / f.a,
        ways.spirit_to_cut,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "You want 12 fl oz (355 mL) at {t}, from 151 proof rum ({a}). How much alcohol must it hold?",
        _RUM,
        VOLUME,
        lambda f: f.t * f.T,
        ways.alcohol_wanted,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same 12 fl oz (355 mL) at {t}, from 151 proof rum ({a}). How much of the rum?",
        _RUM,
        VOLUME,
        lambda f: f.t * f.T / f.a,
        ways.spirit_to_cut,
        left_out=2,
    ),
    gap(
        "Alone: two bottles",
        "You have {a} and {b} and want {T} at {t}. How much of the strong one? Before you reckon: is 50 nearer to 40 "
        "or to 75.5? Then which one do you need more of? The kitchen rule and the measured way differ by a few mL "
        "(less than 1/4 fl oz) here; either counts.",
        fixed(a=(75.5, "percent_vol"), b=(40, "percent_vol"), t=(50, "percent_vol"), T=(1000, "mL")),
        VOLUME,
        _blend,
        blend_way,
    ),
)


def _tell(_: Rules, make: Any, to: Any, strong: Any) -> list[str]:
    cut = menstruum.cut(strong, to, make=make)
    weighs = (cut.spirit * ethanol.density(strong)).to("g")
    return [
        f"Pour {spoken(cut.spirit)} of the spirit, which weighs {spoken(weighs)}.",
        f"Then water up to {spoken(make)}. Measured, that is {spoken(cut.water)} of water; by the kitchen rule "
        f"{spoken(cut.water_by_kitchen_rule)}.",
    ]


BENCH = Bench(
    (
        Box("make", "How much you want", "volume", "250 mL"),
        Box("to", "How strong it is to be", "strength", "60 % vol"),
        Box("strong", "How strong your spirit is", "strength", "95 % vol"),
    ),
    _tell,
)
