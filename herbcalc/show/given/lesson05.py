"""Floor 5. What is given in the sums of lesson 5: the fresh plant, the spirit poured on it, and the jar."""

from __future__ import annotations

from herbcalc.show.given.parts import THEN, UNTOLD, Figures, Layer, Row, Table, Vessel, plant, spirit

HUNDRED = 100.0  # where no weight is told, shares are drawn as if it were this


def jar(grams: float, water: float, mL: float, strength: float) -> tuple[Layer, ...]:
    """What is in a jar, from the bottom: dry plant, the plant's water, the spirit's alcohol and its water."""
    return (*plant(grams, water), *spirit(mL, strength))


def _any_jar(f: Figures) -> tuple[Layer, ...]:
    """A jar of which only the strength at the end is told."""
    return ("solids", 0.3 * UNTOLD), *spirit(1.3 * UNTOLD, f.t)


TABLE: Table = {
    "5.1": lambda f: Row(
        (
            Vessel("heap", "fresh lemon balm", ("{m}", "{w} water"), plant(f.m, f.w)),
            Vessel("bottle", "its water", ("? mL",), (("water", UNTOLD),), THEN, mark=-1),
        )
    ),
    "5.2": lambda f: Row(
        (
            Vessel("heap", "fresh lemon balm", ("{m}", "{w} water"), plant(f.m, f.w)),
            Vessel("bottle", "spirit", ("{a}", "at {r}"), spirit(f.r * f.m, f.a)),
            Vessel("jar", "the jar", ("? % vol",), jar(f.m, f.w, f.r * f.m, f.a), THEN, mark=-1),
        )
    ),
    "5.4": lambda f: Row(
        (
            Vessel("heap", "fresh calendula", ("{w} water",), plant(UNTOLD, f.w)),
            Vessel("bottle", "spirit", ("{a}", "at 1:?"), spirit(UNTOLD, f.a), mark=-1),
            Vessel("jar", "the jar", ("ends at {t}",), _any_jar(f), THEN),
        )
    ),
    "5.5": lambda f: Row(
        (
            Vessel("heap", "fresh elderflower", ("{w} water",), plant(HUNDRED, f.w)),
            Vessel("bottle", "spirit", ("at {r}", "? % vol"), (("card", f.r * HUNDRED),), mark=-1),
            Vessel("jar", "the jar", ("ends at {t}",), _any_jar(f), THEN),
        )
    ),
    "5.6": lambda f: Row(
        (
            Vessel("heap", "lemon balm", ("? % water",), (("card", HUNDRED),), mark=-1),
            Vessel("bottle", "spirit", ("{a}", "at {r}"), spirit(f.r * HUNDRED, f.a)),
            Vessel("jar", "the jar", ("ends at {t}", "or above"), _any_jar(f), THEN),
        )
    ),
    "5.7": lambda f: Row(
        (
            Vessel(
                "jar",
                "fresh calendula",
                ("{m}", "{w} water", "in {a}", "at {r}"),
                jar(f.m, f.w, f.r * f.m, f.a),
            ),
            Vessel("bottle", "strong spirit", ("{s}", "? mL"), spirit(UNTOLD, f.s), mark=-1),
            Vessel("jar", "the whole jar", ("ends at {t}",), _any_jar(f), THEN),
        )
    ),
}
