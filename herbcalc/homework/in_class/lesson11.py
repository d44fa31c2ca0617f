"""Floor 4. Within lesson 11: oil and wax."""

from __future__ import annotations

from typing import Any

from herbcalc import preserving
from herbcalc.homework.blueprint import MOISTURE, VOLUME, WEIGHT, Figures, bare
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import exact as n
from herbcalc.rules import Rules
from herbcalc.units import OutOfRange, spoken
from herbcalc.units.constants import SLACK
from herbcalc.units.saying import per_gram, said

_FIRM = 0.2  # one fifth, as the prompt of the last gap says


def _wilted_way(f: Figures, w: Walk) -> None:
    solids = ways.solids(f, w)
    share = w.step("pct", f"Their share of what is left: {n(solids)} ÷ {n(f.d)}", solids / f.d)
    w.step("pct", f"So the water's share: 100 − {n(100 * share)}", 1 - share)


def _oil_way(f: Figures, w: Walk) -> None:
    w.step("g", f"0.915 g for each mL, in g: 0.915 × {n(f.V)}", 0.915 * f.V)


def _wax_way(f: Figures, w: Walk) -> None:
    oil = w.step("g", f"The oil weighs, in g: 0.915 × {n(f.o)}", 0.915 * f.o)
    w.step("g", f"That is four of five equal parts, and the fifth is the wax, in g: {n(oil)} ÷ 4", oil / 4)


def _wax(f: Figures) -> float:
    return bare(preserving.wax_needed, f.o, _FIRM, 0.915)


_JAR = fixed(m=(80, "g"), k=(2, "mL/g"))

GAPS = (
    gap(
        "Remember, 1",
        "{m} of fresh calendula with {w} water is dried until {w1} of it is water. What does it weigh?",
        fixed(m=(450, "g"), w=(80, "percent_wb"), w1=(10, "percent_wb")),
        WEIGHT,
        ways.weighs_dried,
        ways.dried,
    ),
    gap(
        "Remember, 2",
        "{m} of dried root in {V} of menstruum; the marc keeps {k}. How much comes out?",
        fixed(m=(60, "g"), V=(300, "mL"), k=(1.5, "mL/g")),
        VOLUME,
        lambda f: f.V - f.k * f.m,
        ways.out,
    ),
    gap(
        "Remember, 3",
        "1 mL of oil weighs 0.915 g (1 fl oz about 0.95 oz). What does {V} of oil weigh?",
        fixed(V=(200, "mL")),
        WEIGHT,
        lambda f: 0.915 * f.V,
        _oil_way,
    ),
    gap(
        "The last step is yours",
        "{m} of fresh calendula, {w} water, has wilted to {d}. How much of what is left is water?",
        fixed(m=(300, "g"), w=(80, "percent_wb"), d=(150, "g")),
        MOISTURE,
        lambda f: bare(preserving.wilted_water, 100 * f.w, 1 - f.d / f.m),
        _wilted_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "{m} of dried elderflower has stood in oil, and the marc keeps {k}. How much oil stays in the marc?",
        _JAR,
        VOLUME,
        lambda f: f.k * f.m,
        ways.keeps,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same {m} stood in {V} of oil, and the marc keeps {k}. How much oil comes out?",
        (*_JAR, *fixed(V=(480, "mL"))),
        VOLUME,
        lambda f: f.V - f.k * f.m,
        ways.out,
        left_out=2,
    ),
    gap(
        "Alone: the wax",
        "{o} of oil is to become a firm salve: one part in five of the whole weight is wax. How much beeswax? 1 "
        "mL of oil weighs 0.915 g (1 fl oz about 0.95 oz). A way in: how many of the five parts is the oil?",
        fixed(o=(320, "mL")),
        WEIGHT,
        _wax,
        _wax_way,
    ),
)


def _tell(rules: Rules, fresh: Any, wet: Any, herb: Any, oil: Any, out: Any, wax: Any, tin: Any) -> list[str]:
    for plant, name in ((fresh, "Fresh plant"), (herb, "The same plant as it went under oil")):
        if not plant.magnitude > 0:
            raise OutOfRange(f"{name}: nothing was weighed there. A weight such as 65 g (2 1/4 oz) would work.")
    gone = 1 - float((herb / fresh).to("").magnitude)
    if gone < 0:
        raise OutOfRange(
            f"{spoken(herb)} went under oil, and only {spoken(fresh)} was fresh. Do the two stand in each "
            "other's box?"
        )
    if out > oil:
        raise OutOfRange(
            f"{spoken(out)} came out, and {spoken(oil)} went in. Is there water in the jug, or do the two stand "
            "in each other's box?"
        )
    water = preserving.wilted_water(wet, gone)
    kept = round(float(((oil - out) / herb).to("mL/g").magnitude), 2)
    rule = said(rules.dried_to, "percent_wb")
    dry = float(water.magnitude) <= rules.dried_to + SLACK
    verdict = (
        "that is dry by your rule"
        if dry
        else f"your rule is {rule}, so it is not dry. This oil is not for eating; for the skin, pour it off its "
        "water and keep it cold"
    )
    share = preserving.wax_share(wax, out)
    room = preserving.salve_volume(wax, out)
    return [
        f"The plant went in with {spoken(water)}: {verdict}.",
        f"The marc kept {per_gram(kept)}; your house rule, common practice, says {rules.retained_oil:g}.",
        f"{spoken(wax)} of wax in {spoken(out)} of oil: {100 * share:.3g} % of the weight is wax (your soft salve "
        f"{100 * rules.wax_soft:.3g}, your firm one {100 * rules.wax_firm:.3g}).",
        f"Cooled it takes {spoken(room)} and fills {preserving.whole_tins(room, tin)} whole tins of {spoken(tin)}.",
    ]


BENCH = Bench(
    (
        Box("fresh", "Fresh plant", "weight", "300 g"),
        Box("wet", "Its water, from your own sample", "moisture", "80 %"),
        Box("herb", "The same plant as it went under oil", "weight", "65 g"),
        Box("oil", "Oil poured on it", "volume", "400 mL"),
        Box("out", "Clear oil that came out", "volume", "270 mL"),
        Box("wax", "Beeswax", "weight", "50 g"),
        Box("tin", "A tin holds", "volume", "30 mL"),
    ),
    _tell,
)
