"""Floor 4. Within lesson 7: waiting and pressing."""

from __future__ import annotations

from typing import Any

from herbcalc import maceration
from herbcalc.homework.blueprint import STRENGTH, VOLUME, WEIGHT, Figures
from herbcalc.homework.in_class import ways
from herbcalc.homework.in_class.shapes import Bench, Box, fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.rules import Rules
from herbcalc.units import spoken


def _poured_and_out_way(f: Figures, w: Walk) -> None:
    poured = ways.menstruum(f, w)
    ways.out(Figures(**{**vars(f), "V": poured}), w)


_FLOWERS = fixed(m=(227, "g"), V=(1183, "mL"), k=(1.5, "mL/g"))

GAPS = (
    gap(
        "Remember, 1",
        "{m} of dried herb at {r}, added. How much menstruum?",
        fixed(m=(100, "g"), r=(5, "mL/g")),
        VOLUME,
        lambda f: f.r * f.m,
        ways.menstruum,
    ),
    gap(
        "Remember, 2",
        "{m} of fresh leaf, {w} water, in {V} at {a}. How strong does it end?",
        fixed(m=(150, "g"), w=(80, "percent_wb"), V=(300, "mL"), a=(50, "percent_vol")),
        STRENGTH,
        ways.ends_at,
        ways.final_strength,
    ),
    gap(
        "Remember, 3",
        "{m} of fresh plant at {w} water, dried to {w1}. What does it weigh?",
        fixed(m=(450, "g"), w=(80, "percent_wb"), w1=(10, "percent_wb")),
        WEIGHT,
        ways.weighs_dried,
        ways.dried,
    ),
    gap(
        "The last step is yours",
        "{m} of dried elecampane root at {r}; a good press leaves {k}, as measured on one root, blue "
        "cohosh. What comes out?",
        fixed(m=(200, "g"), r=(5, "mL/g"), k=(0.8, "mL/g")),
        VOLUME,
        lambda f: (f.r - f.k) * f.m,
        _poured_and_out_way,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the first",
        "8 oz (227 g) of dried elderflower stood in 40 fl oz (1183 mL) and is squeezed: {k} stay. How much does the "
        "marc keep?",
        _FLOWERS,
        VOLUME,
        lambda f: f.k * f.m,
        ways.keeps,
        left_out=1,
    ),
    gap(
        "Two steps are yours: the second",
        "The same jar: 8 oz (227 g) of elderflower in 40 fl oz (1183 mL), and {k} stay. What comes out?",
        _FLOWERS,
        VOLUME,
        lambda f: f.V - f.k * f.m,
        ways.out,
        left_out=2,
    ),
    gap(
        "Alone: plan backwards",
        "You need {F} in the bottle, soaked at {r}, and the marc keeps {k}. How much dried herb? A way in: how many "
        "mL does one gram of herb bring you in the end?",
        fixed(F=(500, "mL"), r=(5, "mL/g"), k=(1.5, "mL/g")),
        WEIGHT,
        lambda f: f.F / (f.r - f.k),
        ways.herb_to_plan,
    ),
)


def _tell(rules: Rules, herb: Any, poured: Any, out: Any) -> list[str]:
    kept = maceration.retained_found(herb, poured, out)
    return [
        f"Each gram of your dry herb kept {kept.magnitude:.2f} mL (an ounce about "
        f"{(kept * herb.__class__(1, 'oz')).to('fl_oz').magnitude:.2f} fl oz).",
        f"That is {spoken(poured - out)} in the marc. The house figure, by common practice, is "
        f"{rules.said('retained')}; use yours from now on.",
    ]


BENCH = Bench(
    (
        Box("herb", "Dry herb", "weight", "100 g"),
        Box("poured", "Menstruum poured", "volume", "500 mL"),
        Box("out", "What came out, wrung or pressed", "volume", "345 mL"),
    ),
    _tell,
)
