"""Floor 5. What is given in the sums of lesson 2: a stand, what one plant gives, and the basket."""

from __future__ import annotations

from herbcalc.show.given.parts import BESIDE, THEN, UNTOLD, Bar, Bars, Row, Table, Vessel, plant

_STAND = Vessel("heap", "the stand", ("{S} plants", "at most {f} of them"), (("bottle", UNTOLD),))

TABLE: Table = {
    "2.1": lambda f: Bars(
        (
            Bar("leaves on the plant", ("{n}",), (("bottle", f.n),), inside=("leaf",)),
            Bar("a third of them, at most", ("? leaves",), (("bottle", f.n / 2),), mark=-1),
        ),
        rough=True,
    ),
    "2.2": lambda f: Row(
        (
            _STAND,
            Vessel("heap", "one root", ("{y}",), plant(f.y), BESIDE),
            Vessel("heap", "the basket", ("{N}", "? plants to dig"), plant(f.N), THEN, mark=-1),
        )
    ),
    "2.3": lambda f: Row(
        (
            Vessel("heap", "leaf of one plant", ("{y}", "a third is picked"), plant(f.y)),
            Vessel("heap", "the basket", ("{N}", "? plants"), plant(f.N), THEN, mark=-1),
        )
    ),
    "2.5": lambda f: Row(
        (
            _STAND,
            Vessel("heap", "one root", ("{y}",), plant(f.y), BESIDE),
            Vessel("heap", "the heaviest basket", ("? g",), (("solids", UNTOLD),), THEN, mark=-1),
        )
    ),
    "2.6": lambda f: Bars(
        (
            Bar("plants to set now", ("? plants",), (("bottle", 1.8 * f.H),), mark=-1),
            Bar("each winter die", ("{d} of those that stand",)),
            Bar("to dig in three years", ("{H}",), (("bottle", f.H),), inside=("",)),
        ),
        rough=True,
    ),
}
