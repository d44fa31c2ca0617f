"""Floor 5. What is given in the sums of lesson 11: a wilting plant, oil on the scale and off the marc, wax, tins."""

from __future__ import annotations

from herbcalc.show.given.parts import PLUS, THEN, UNTOLD, Bar, Bars, Row, Table, Vessel, plant, poured_off

TABLE: Table = {
    "11.1": lambda f: Bars(
        (
            Bar("fresh calendula", ("{m}", "{w} water"), plant(f.m, f.w)),
            Bar("wilted", ("{d}", "? % water"), (("band", f.d),), mark=-1, inside=("",)),
        )
    ),
    "11.2": lambda f: Row(
        (
            Vessel("heap", "dried calendula", ("{m}",), plant(f.m)),
            Vessel("jar", "oil on the scale", ("at {r}", "{d}", "? g"), poured_off(UNTOLD), PLUS, mark=-1),
        )
    ),
    "11.3": lambda f: Row(
        (
            Vessel("jar", "elderflower in oil", ("{m}", "in {V}"), (*plant(f.m), *poured_off(f.V))),
            Vessel("marc", "marc and dregs", ("keep {k}", "and {low}"), (("band", 0.6 * UNTOLD),), THEN),
            Vessel("bottle", "clear oil", ("? mL",), poured_off(1.2 * UNTOLD), THEN, mark=-1),
        )
    ),
    "11.4": lambda f: Row(
        (
            Vessel("heap", "beeswax", ("{x}",), (("band", f.x),)),
            Vessel("jar", "oil", ("{o}", "{d}"), poured_off(f.o), PLUS),
            Vessel("jar", "salve", ("? % wax",), (("band", 0.3 * UNTOLD), *poured_off(1.2 * UNTOLD)), THEN, mark=0),
        )
    ),
    "11.5": lambda f: Row(
        (
            Vessel("heap", "beeswax", ("{x}",), (("band", f.x),)),
            Vessel("jar", "oil", ("{o}", "{d}"), poured_off(f.o), PLUS),
            Vessel(
                "jar", "salve", ("0.93 g for each mL", "tins of {tin}: ? tins"), (("band", UNTOLD),), THEN, mark=-1
            ),
        )
    ),
}
