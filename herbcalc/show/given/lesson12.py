"""Floor 5. What is given in the sums of lesson 12: bottles that are mixed, drops that are counted, a bottle and
its days."""

from __future__ import annotations

from herbcalc.show.given.parts import BESIDE, PLUS, THEN, UNTOLD, Row, Table, Vessel, menstruum, poured_off, spirit

TABLE: Table = {
    "12.1": lambda f: Row(
        (
            Vessel("bottle", "lemon balm", ("{a}", "{p}"), spirit(f.a, f.p)),
            Vessel("bottle", "elderflower", ("{b}", "{q}"), spirit(f.b, f.q)),
            Vessel("bottle", "elecampane", ("{c}", "{s}"), spirit(f.c, f.s)),
            Vessel("bottle", "the mix", ("? % vol",), poured_off(f.a + f.b + f.c), THEN, mark=-1),
        )
    ),
    "12.2": lambda f: Row(
        (
            Vessel("bottle", "lemon balm", ("{a}", "at {r}"), poured_off(f.a)),
            Vessel("bottle", "two others", ("{b}", "and {c}"), menstruum(f.b + f.c)),
            Vessel(
                "heap",
                "a day's drops",
                ("{dr} drops, {x} times", "{n}", "? g of lemon balm"),
                poured_off(0.3 * UNTOLD),
                THEN,
                mark=-1,
            ),
        )
    ),
    "12.3": lambda f: Row(
        (
            Vessel("jar", "the measure, three times", ("{v}", "{counts} drops"), poured_off(UNTOLD)),
            Vessel("heap", "one mL", ("? drops",), poured_off(0.2 * UNTOLD), THEN, mark=-1),
        )
    ),
    "12.4": lambda f: Row(
        (
            Vessel("bottle", "the bottle", ("{B}", "{n}"), poured_off(f.B)),
            Vessel("heap", "as typed", ("{dr} drops", "{x} times a day"), poured_off(0.2 * UNTOLD), BESIDE),
            Vessel("clock", "it lasts", ("? whole days",), sign=THEN, mark=-1),
        )
    ),
    "12.5": lambda f: Row(
        (
            Vessel("bottle", "calendula", ("{p}", "{n}"), poured_off(UNTOLD)),
            Vessel("heap", "each time", ("{dr} drops", "? g of alcohol"), poured_off(0.2 * UNTOLD), THEN, mark=-1),
        )
    ),
    "12.6": lambda f: Row(
        (
            Vessel("bottle", "tincture", ("{V}", "{p}"), spirit(f.V, f.p)),
            Vessel("jar", "decoction", ("? mL fit",), (("water", UNTOLD),), PLUS, mark=-1),
            Vessel("bottle", "the mix", ("at {t}",), poured_off(UNTOLD), THEN),
        )
    ),
}  # fmt: skip
