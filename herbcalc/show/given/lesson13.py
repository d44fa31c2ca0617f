"""Floor 5. What is given in the sums of lesson 13: a bottle and its price, a recipe twice, a class and its list."""

from __future__ import annotations

from herbcalc.show.given.parts import BESIDE, PLUS, THEN, UNTOLD, Row, Table, Vessel, menstruum, plant, spirit

SOAK = (("solids", 0.3 * UNTOLD), ("band", 1.2 * UNTOLD))

TABLE: Table = {
    "13.1": lambda f: Row(
        (
            Vessel("bottle", "spirit", ("{V}", "{a}", "{c}"), spirit(f.V, f.a)),
            Vessel("bottle", "pure alcohol", ("100 mL of it", "$?"), (("alcohol", 100.0),), THEN, mark=-1),
        )
    ),
    "13.2": lambda f: Row(
        (
            Vessel("heap", "dried calendula", ("{m}", "{h}", "at {r}"), plant(f.m)),
            Vessel("bottle", "menstruum", ("{VB}", "{p}", "marc keeps {k}"), menstruum(f.VB), PLUS),
            Vessel("bottle", "one bottle", ("{B}", "empty {q}", "full $?"), (("bottle", f.B),), THEN, mark=-1),
        )
    ),
    "13.3": lambda f: Row(
        (
            Vessel("jar", "the recipe", ("{m}", "makes {T1}"), (*plant(f.m), *menstruum(f.T1))),
            Vessel("jar", "the large one", ("? g", "makes {T2}"), menstruum(f.T2), BESIDE, mark=-1),
        )
    ),
    "13.4": lambda f: Row(
        (
            Vessel("bottle", "each takes home", ("{F}", "{n} students"), (("bottle", f.F),)),
            Vessel("jar", "the soak", ("at {r}", "marc keeps {k}", "spare {sp}"), SOAK, BESIDE),
            Vessel("bottle", "menstruum", ("{B} each", "? bottles"), menstruum(f.B), BESIDE, mark=-1),
        )
    ),
    "13.6": lambda f: Row(
        (
            Vessel("heap", "dried herb", ("{m}", "1 g off"), plant(f.m)),
            Vessel("bottle", "poured", ("{V}", "{dV} off"), menstruum(f.V), PLUS),
            Vessel("jar", "the marc", ("keeps {k}", "{per_g} off", "moves most: ? mL"), SOAK, THEN, mark=-1),
        )
    ),
}
