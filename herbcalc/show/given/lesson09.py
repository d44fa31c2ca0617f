"""Floor 5. What is given in the sums of lesson 9: a drip and a soak beside each other, and what a bottle costs."""

from __future__ import annotations

from herbcalc.show.given.parts import BESIDE, THEN, UNTOLD, Row, Table, Vessel, menstruum, poured_off

TABLE: Table = {
    "9.5": lambda f: Row(
        (
            Vessel("cone", "the drip", ("at {r}", "marc keeps {k}")),
            Vessel(
                "jar",
                "the soak, at the tie",
                ("at {r}", "marc keeps ? mL for each g"),
                (("solids", 0.3 * UNTOLD), ("band", 1.2 * UNTOLD)),
                BESIDE,
                mark=-1,
            ),
        )
    ),
    "9.6": lambda f: Row(
        (
            Vessel("bottle", "menstruum", ("{VB}", "{p}"), menstruum(f.VB)),
            Vessel(
                "jar",
                "the soak",
                ("at {r}", "marc keeps {k}"),
                (("solids", 0.3 * UNTOLD), ("band", 1.2 * UNTOLD)),
                THEN,
            ),
            Vessel("bottle", "extract of 1 g of herb", ("$? for it",), poured_off(0.6 * UNTOLD), THEN, mark=-1),
        )
    ),
}
