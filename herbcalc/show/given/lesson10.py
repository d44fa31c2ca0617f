"""Floor 5. What is given in the sums of lesson 10: a plant, what is poured on it, and what the jar ends at."""

from __future__ import annotations

from herbcalc.show.given.parts import THEN, UNTOLD, Layer, Row, Table, Vessel, menstruum, plant, spirit


def jar(grams: float, water: float, poured: float) -> tuple[Layer, ...]:
    """What is in a jar, from the bottom: dry plant, its water, what was poured."""
    return (*plant(grams, water), *menstruum(poured))


TABLE: Table = {
    "10.1": lambda f: Row(
        (
            Vessel("heap", "fresh lemon balm", ("{m}", "{w} water"), plant(f.m, f.w)),
            Vessel("bottle", "pure glycerin", ("{V}",), menstruum(f.V)),
            Vessel("jar", "the jar", ("? % glycerin",), jar(f.m, f.w, f.V), THEN, mark=-1),
        )
    ),
    "10.2": lambda f: Row(
        (
            Vessel("heap", "fresh calendula", ("{m}", "{w} water"), plant(f.m, f.w)),
            Vessel("bottle", "pure glycerin, weighed", ("{G}", "1.26 g for each mL"), menstruum(f.G / 1.26)),
            Vessel("jar", "the jar", ("? % glycerin",), jar(f.m, f.w, f.G / 1.26), THEN, mark=-1),
        )
    ),
    "10.3": lambda f: Row(
        (
            Vessel("heap", "fresh elderflower", ("{m}", "{w} water"), plant(f.m, f.w)),
            Vessel("bottle", "pure glycerin", ("? mL",), menstruum(UNTOLD), mark=-1),
            Vessel(
                "jar",
                "the jar",
                ("ends at {t} glycerin",),
                (("solids", 0.3 * UNTOLD), ("water", 1.4 * (1 - f.t) * UNTOLD), ("band", 1.4 * f.t * UNTOLD)),
                THEN,
            ),
        )
    ),
    "10.4": lambda f: Row(
        (
            Vessel("heap", "fresh elderflower", ("{m}", "{w} water"), plant(f.m, f.w)),
            Vessel("bottle", "vinegar", ("{V}", "{a} acid"), menstruum(f.V)),
            Vessel("jar", "the jar", ("? % acid",), jar(f.m, f.w, f.V), THEN, mark=-1),
        )
    ),
    "10.5": lambda f: Row(
        (
            Vessel("heap", "fresh lemon balm", ("{m}", "{w} water"), plant(f.m, f.w)),
            Vessel("jar", "honey", ("{H}", "{h} water"), (("band", f.H * (1 - f.h)), ("water", f.H * f.h))),
            Vessel("jar", "the honey, strained", ("? % water",), (("card", f.H + f.m * f.w),), THEN, mark=-1),
        )
    ),
    "10.7": lambda f: Row(
        (
            Vessel("heap", "sugar", ("{c} cups", "200 g each"), (("band", 200 * f.c),)),
            Vessel("bottle", "tea", ("{k} {cups}", "237 g each"), (("water", 237 * f.k),)),
            Vessel("jar", "the syrup", ("? % sugar",), (("water", 237 * f.k), ("band", 200 * f.c)), THEN, mark=-1),
        )
    ),
    "10.8": lambda f: Row(
        (
            Vessel("jar", "thin syrup", ("{V}",), menstruum(f.V)),
            Vessel("bottle", "spirit", ("{a}", "? mL"), spirit(UNTOLD, f.a), mark=-1),
            Vessel(
                "jar",
                "the syrup, kept",
                ("ends at {t}",),
                (("band", UNTOLD), *spirit(0.6 * UNTOLD, f.a)),
                THEN,
            ),
        )
    ),
}
