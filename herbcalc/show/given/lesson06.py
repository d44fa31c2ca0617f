"""Floor 5. What is given in the sums of lesson 6: jars on the scale, herb and menstruum for a ratio."""

from __future__ import annotations

from herbcalc.show.given.lesson05 import HUNDRED, jar
from herbcalc.show.given.parts import THEN, UNTOLD, Row, Table, Vessel, menstruum, plant, spirit

TABLE: Table = {
    "6.1": lambda f: Row(
        (
            Vessel("jar", "empty jar", ("{jar}",)),
            Vessel("jar", "with the herb", ("{with_herb}",), plant(f.with_herb - f.jar), THEN),
            Vessel(
                "jar",
                "with spirit too",
                ("{with_all}", "spirit: {heavy}", "made at 1:?"),
                (*plant(f.with_herb - f.jar), *spirit(f.with_all - f.with_herb, f.a)),
                THEN,
                mark=-1,
            ),
        )
    ),
    "6.2": lambda f: Row(
        (
            Vessel("heap", "fresh calendula", ("{m}", "{w} water"), plant(f.m, f.w)),
            Vessel("bottle", "spirit", ("{V}", "{a}"), spirit(f.V, f.a)),
            Vessel("jar", "the jar", ("? % vol",), jar(f.m, f.w, f.V, f.a), THEN, mark=-1),
        )
    ),
    "6.3": lambda f: Row(
        (
            Vessel("heap", "dried elderflower", ("{oz}",), plant(0.4 * UNTOLD)),
            Vessel("bottle", "menstruum", ("? mL",), menstruum(UNTOLD), mark=-1),
            Vessel("jar", "the jar", ("{r}", "g to mL"), (("solids", 0.4 * UNTOLD), ("band", UNTOLD)), THEN),
        )
    ),
    "6.4": lambda f: Row(
        (
            Vessel("heap", "dried elecampane root", ("? g",), plant(0.4 * UNTOLD), mark=-1),
            Vessel("bottle", "menstruum", ("{V}",), menstruum(f.V)),
            Vessel("jar", "the jar", ("{r}", "g to mL"), (("solids", 0.4 * UNTOLD), ("band", UNTOLD)), THEN),
        )
    ),
    "6.7": lambda f: Row(
        (
            Vessel("heap", "fresh plant", ("{w} water",), plant(HUNDRED, f.w)),
            Vessel("bottle", "menstruum", ("added at {r}",), menstruum(f.r * HUNDRED)),
            Vessel(
                "jar",
                "counted on the dry plant",
                ("dry: 1 g", "liquid: ? mL"),
                (*plant(HUNDRED, f.w), *menstruum(f.r * HUNDRED)),
                THEN,
                mark=-1,
            ),
        )
    ),
}
