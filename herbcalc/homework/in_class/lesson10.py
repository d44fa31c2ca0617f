"""Floor 4. Within lesson 10: without alcohol."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from herbcalc import preserving
from herbcalc.homework.blueprint import SHARE, STRENGTH, VOLUME, WEIGHT, Figures, bare
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import Q, spoken
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible

_VINEGAR = fixed(m=(150, "g"), w=(80, "percent_wb"), V=(480, "mL"), a=(5, "percent"))


def _glycerin_weighs(f: Figures, w: Walk) -> None:
    w.step("g", f"1.26 g for each mL, in g: {n(f.V)} × 1.26", f.V * 1.26)


def _glycerin_way(f: Figures, w: Walk) -> None:
    liquid = ways.liquid(f, w)
    w.step("pct", f"Glycerin divided by liquid: {n(f.V)} ÷ {n(liquid)}", f.V / liquid)


def _acid_way(f: Figures, w: Walk) -> None:
    liquid = ways.liquid(f, w)
    acid = w.step("g", f"Acid, {n(100 * f.a)} g in every 100 mL (3 1/2 fl oz), in g: {n(f.a)} × {n(f.V)}", f.a * f.V)
    w.step("pct", f"Acid divided by liquid: {n(acid)} ÷ {n(liquid)}", acid / liquid)


def _honey_way(f: Figures, w: Walk) -> None:
    water = w.step("g", f"Water that the leaf brings, in g: {n(f.w)} × {n(f.m)}", f.w * f.m)
    over = w.step("g", f"So much of it is over the limit, in g: {n(1 - f.t)} × {n(water)}", (1 - f.t) * water)
    room = w.step("", f"Room in each g of honey, up to the limit: {n(f.t)} − {n(f.h)}", f.t - f.h)
    w.step("g", f"Honey that has so much room, in g: {n(over)} ÷ {n(room)}", over / room)


GAPS = (
    gap(
        "Remember, 1",
        "{m} of fresh elderflower, {w} water. How many grams of it are water?",
        fixed(m=(120, "g"), w=(85, "percent_wb")),
        WEIGHT,
        lambda f: f.m * f.w,
        ways.water_in_g,
    ),
    gap(
        "Remember, 2",
        "1 mL of glycerin weighs 1.26 g (1 fl oz about 1.31 oz). What do {V} of it weigh?",
        fixed(V=(250, "mL")),
        WEIGHT,
        lambda f: 1.26 * f.V,
        _glycerin_weighs,
    ),
    gap(
        "Remember, 3",
        "{m} of lemon balm, {w} water, in {V} of spirit at {a}. What is the final strength?",
        fixed(m=(100, "g"), w=(75, "percent_wb"), V=(300, "mL"), a=(50, "percent_vol")),
        STRENGTH,
        ways.ends_at,
        ways.final_strength,
    ),
    gap(
        "The last step is yours",
        "{m} of calendula heads, {w} water, go into {V} of pure glycerin. What share of the liquid is glycerin, "
        "by volume?",
        fixed(m=(200, "g"), w=(85, "percent_wb"), V=(330, "mL")),
        SHARE,
        lambda f: 100 * bare(preserving.glycerin_share, f.m, 100 * f.w, f.V),
        _glycerin_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "{m} of fresh elderflower, {w} water, go into {V} of vinegar of 5 %. How much liquid is in the jar, all of "
        "it together?",
        _VINEGAR[:3],
        VOLUME,
        lambda f: f.V + f.m * f.w,
        ways.liquid,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same jar: {m} of elderflower, {w} water, in {V} of vinegar that is {a} acid. How much acid has the "
        "liquid?",
        _VINEGAR,
        SHARE,
        lambda f: 100 * bare(preserving.acid_share, f.m, 100 * f.w, f.V, f.a),
        _acid_way,
        left_out=3,
    ),
    gap(
        "Alone",
        "{m} of wilted lemon balm, {w} water, is to stand in honey of {h} water, and the honey must not end over "
        "{t}. How much honey does it need at least? A way in: how much room has each gram of honey, up to the limit? "
        "And how far over the limit is the leaf's own water?",
        fixed(m=(80, "g"), w=(60, "percent_wb"), h=(17, "percent_wb"), t=(20, "percent_wb")),
        WEIGHT,
        lambda f: bare(preserving.honey_needed, f.m, 100 * f.w, 100 * f.t, 100 * f.h),
        _honey_way,
    ),
)


def _one(what: str, ends: str, keeps: bool, line: str, needed: Callable[[], Any]) -> str:
    """What a bench tells of one jar, and what would do where it misses its line."""
    if keeps:
        return f"{what}: {ends}. Your line is {line}: it keeps, by your rule."
    try:
        would = f"At least {spoken(needed(), round='up')} in all would do"
    except Impossible:
        would = "No amount of this one would do: dry the herb, or take a stronger or riper one"
    return f"{what}: {ends}. Your line is {line}: it does not keep. {would}, or cold and soon used."


def _stirred(glycerin: Any, water: Any) -> tuple[Any, float]:
    """Glycerin and the water stirred into it as one liquid, and the share of glycerin in that."""
    both = glycerin.to("mL") + water.to("mL")
    return both, float((glycerin / both).to("").magnitude) if both.magnitude > 0 else 1.0


def _tell(rules: Rules, leaf: Any, wet: Any, **poured: Any) -> list[str]:
    acid, ripe = poured["acid"], poured["ripe"]
    brings = Q((leaf.to("g") * wet.to("percent_wb").magnitude / 100).magnitude, "g")
    thin = brings + Q(poured["tea"].to("mL").magnitude, "g")  # a mL of tea as 1 g
    mixed, own = _stirred(poured["glycerin"], poured["thinned"])
    shares = {
        "glycerin": preserving.glycerin_share(leaf, wet, mixed, own),
        "vinegar": preserving.acid_share(leaf, wet, poured["vinegar"], acid),
        "sugar": preserving.sugar_share(poured["sugar"], thin),
    }
    honey, limit = preserving.honey_water(leaf, wet, poured["honey"], ripe), Q(rules.honey_limit, "percent_wb")
    lines = {"glycerin": rules.glycerin_floor, "vinegar": rules.vinegar_floor, "sugar": rules.syrup_floor}
    calls: dict[str, Callable[[], Any]] = {
        "glycerin": lambda: preserving.glycerin_needed(leaf, wet, lines["glycerin"], own),
        "vinegar": lambda: preserving.vinegar_needed(leaf, wet, lines["vinegar"], acid),
        "sugar": lambda: preserving.sugar_needed(thin, lines["sugar"]),
    }
    words = {"glycerin": "Glycerin, by volume", "vinegar": "Vinegar, its acid", "sugar": "Syrup, its sugar by weight"}
    told = [
        _one(
            words[name],
            f"{100 * share:.3g} %",
            share >= lines[name] - SLACK,
            f"{100 * lines[name]:.3g} %",
            calls[name],
        )
        for name, share in shares.items()
    ]
    dry = honey.magnitude <= limit.magnitude + SLACK
    told.insert(2, _one("Honey", f"{honey.magnitude:.3g} % water", dry, f"{spoken(limit)}",
                        lambda: preserving.honey_needed(leaf, wet, limit, ripe)))  # fmt: skip
    if shares["sugar"] > preserving.DISSOLVES:
        told.append("Cold water does not hold so much sugar: some of it will lie at the bottom.")
    return told


BENCH = Bench(
    (
        Box("leaf", "Leaf in each jar", "weight", "20 g"),
        Box("wet", "Its water, from your own sample", "moisture", "12 %"),
        Box("glycerin", "Pure glycerin poured", "volume", "120 mL"),
        Box("thinned", "Water stirred into it before", "volume", "40 mL"),
        Box("vinegar", "Vinegar poured", "volume", "250 mL"),
        Box("acid", "Acid on its label", "share", "5 %"),
        Box("honey", "Honey poured", "weight", "300 g"),
        Box("ripe", "Water in the honey, by a refractometer or its maker", "moisture", "17.5 %"),
        Box("sugar", "Sugar laid between the leaves", "weight", "65 g"),
        Box("tea", "Tea or water poured on it", "volume", "30 mL"),
    ),
    _tell,
)
