"""Floor 4. Within lesson 12: mixing, drops and the label."""

from __future__ import annotations

from typing import Any

from herbcalc import dosing, ethanol, menstruum
from herbcalc.homework.blueprint import DROPS_TO_THE_ML, STRENGTH, VOLUME, WEIGHT, Figures
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken


def _mixed(f: Figures) -> tuple[float, float]:
    mix = ethanol.mix(Q([f.V, f.T], "mL"), Q([100 * f.a, 100 * f.t], "percent_vol"))
    return float(mix.strength_by_kitchen_rule.magnitude), float(mix.strength.magnitude)


def _mix_way(f: Figures, w: Walk) -> None:
    one = ways.alcohol(f, w)
    two = w.step("mL", f"Alcohol from the second, in mL: {n(f.t)} × {n(f.T)}", f.t * f.T)
    alcohol = w.total("mL", f"Alcohol in all, in mL: {n(one)} + {n(two)}", one, two)
    whole = w.total("mL", f"Liquid in all, in mL: {n(f.V)} + {n(f.T)}", f.V, f.T)
    w.step("vol", f"Alcohol divided by liquid: {n(alcohol)} ÷ {n(whole)}", alcohol / whole)


def _bears(f: Figures) -> tuple[float, float]:
    cut = menstruum.cut(Q(100 * f.a, "percent_vol"), Q(100 * f.t, "percent_vol"), spirit=Q(f.V, "mL"))
    return float(cut.water_by_kitchen_rule.magnitude), float(cut.water.magnitude)


def _bears_way(f: Figures, w: Walk) -> None:
    alcohol = ways.alcohol(f, w)
    whole = w.step("mL", f"At the floor it may be spread over, in mL: {n(alcohol)} ÷ {n(f.t)}", alcohol / f.t)
    w.total("mL", f"What is tincture already comes off, in mL: {n(whole)} − {n(f.V)}", whole, -f.V)


def _drops_way(f: Figures, w: Walk) -> None:
    two = w.step("", f"The first two counts together: {n(f.c1)} + {n(f.c2)}", f.c1 + f.c2)
    together = w.step("", f"With the third: {n(two)} + {n(f.c3)}", two + f.c3)
    mean = w.step("", f"Their mean: {n(together)} ÷ 3", together / 3)
    w.step("", f"For each mL of the measure: {n(mean)} ÷ {n(f.v)}", mean / f.v)


def _herb_way(f: Figures, w: Walk) -> None:
    share = w.step("pct", f"The first tincture's share of the mix: {n(f.V)} ÷ {n(f.F)}", f.V / f.F)
    part = w.step("mL", f"So much of it is in the jug, in mL: {n(share)} × {n(f.T)}", share * f.T)
    w.step("g", f"1 g (1/28 oz) of herb for each {n(f.r)} mL, in g: {n(part)} ÷ {n(f.r)}", part / f.r)


def _pure_way(f: Figures, w: Walk) -> None:
    pure = w.step("mL", f"Pure alcohol in it, in mL: {n(f.a)} × {n(f.V)}", f.a * f.V)
    w.step("g", f"Its weight, 0.789 g for each mL, in g: 0.789 × {n(pure)}", 0.789 * pure)


_BOTTLE = fixed(V=(400, "mL"), a=(65, "percent_vol"), t=(35, "percent_vol"))

GAPS = (
    gap(
        "Remember, 1",
        "A bottle holds {V} of spirit at {a}. How much of it is pure alcohol?",
        fixed(V=(250, "mL"), a=(40, "percent_vol")),
        VOLUME,
        lambda f: f.V * f.a,
        ways.alcohol,
    ),
    gap(
        "Remember, 2",
        "A finished tincture is {r}, mL in the bottle for each g of herb. How much herb stands behind {V}?",
        fixed(V=(200, "mL"), r=(5, "mL/g")),
        WEIGHT,
        lambda f: f.V / f.r,
        ways.herb,
    ),
    gap(
        "Remember, 3",
        "{m} of fresh leaf, {w} water, goes into {V} of {a}. How strong does the jar end? Count 1 g (1/28 oz) of "
        "plant water as 1 mL.",
        fixed(m=(100, "g"), w=(80, "percent_wb"), V=(200, "mL"), a=(75.5, "percent_vol")),
        STRENGTH,
        ways.ends_at,
        ways.final_strength,
    ),
    gap(
        "The last step is yours",
        "{V} of a tincture at {a} and {T} of one at {t} go into one bottle. How strong is the mix?",
        fixed(V=(80, "mL"), a=(70, "percent_vol"), T=(20, "mL"), t=(45, "percent_vol")),
        STRENGTH,
        _mixed,
        _mix_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "{V} of a tincture at {a}. How much pure alcohol is in it?",
        _BOTTLE[:2],
        VOLUME,
        lambda f: f.V * f.a,
        ways.alcohol,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "That bottle, {V} at {a}, and a decoction without alcohol. How much of it fits before the mix falls to {t}?",
        _BOTTLE,
        VOLUME,
        _bears,
        _bears_way,
        left_out=3,
    ),
    gap(
        "Alone: three counts",
        "A measure of {v} was filled three times from one dropper, with {c1}, {c2} and {c3} drops. How many drops "
        "make 1 mL (1/5 tsp, about 1/28 oz of water)?",
        fixed(v=(5, "mL"), c1=(181, ""), c2=(190, ""), c3=(184, "")),
        DROPS_TO_THE_ML,
        lambda f: (f.c1 + f.c2 + f.c3) / 3 / f.v,
        _drops_way,
    ),
    gap(
        "Alone: the herb behind a jugful",
        "{V} of one tincture at {r} stands in {F} of a mix, and {T} of the mix is poured into a jug. How much herb "
        "of the "
        "first stands behind the jugful?",
        fixed(V=(60, "mL"), F=(150, "mL"), T=(100, "mL"), r=(5, "mL/g")),
        WEIGHT,
        lambda f: f.V / f.F * f.T / f.r,
        _herb_way,
    ),
    gap(
        "Alone: alcohol by weight",
        "How many g of alcohol (28.35 g make 1 oz) are in {V} of {a}? A mL of pure alcohol weighs 0.789 g "
        "(1 fl oz about 0.82 oz).",
        fixed(V=(30, "mL"), a=(60, "percent_vol")),
        WEIGHT,
        lambda f: 0.789 * f.V * f.a,
        _pure_way,
    ),
)


def _tell(rules: Rules, one: Any, two: Any, three: Any, measure: Any, bottle: Any, strength: Any) -> list[str]:
    counts = [float(count.magnitude) for count in (one, two, three)]
    per_mL = dosing.drops_per_mL(counts, measure)
    apart = float(dosing.counts_differ(counts))
    drink = dosing.volume_with(Q(rules.standard_drink, "g"), strength)
    again = (
        ""
        if apart <= dosing.MAY_ERR
        else f" That is more than the {100 * dosing.MAY_ERR:g} % that a dropper may be off (USP 32): count again, "
        "slowly."
    )
    return [
        f"{dosing.each_mL(float(per_mL.magnitude))}, the mean of three.",
        f"The three counts differ by {100 * apart:.1f} % of their mean.{again}",
        f"The bottle holds {float((bottle * per_mL).to('').magnitude):,.0f} drops and "
        f"{spoken(dosing.alcohol_per_dose(bottle, strength))} of alcohol.",
        f"One standard drink, {rules.said('standard_drink')} of alcohol, is in {spoken(drink)} of it. It differs by "
        "country.",
    ]


BENCH = Bench(
    (
        Box("one", "Drops in the first filling", "count", "181"),
        Box("two", "Drops in the second", "count", "190"),
        Box("three", "Drops in the third", "count", "184"),
        Box("measure", "The measure", "volume", "5 mL"),
        Box("bottle", "In the bottle", "volume", "50 mL"),
        Box("strength", "Its strength", "strength", "50 % vol"),
    ),
    _tell,
)
