"""Floor 5. What is given in the sums of lesson 1: things on a scale and in a jug."""

from __future__ import annotations

from herbcalc.show.given.parts import Row, Table, Vessel, menstruum, plant, spirit

TABLE: Table = {
    "1.1": lambda f: Row((Vessel("heap", "dried lemon balm", ("{oz}", "? g"), plant(f.oz), mark=-1),)),
    "1.2": lambda f: Row((Vessel("bottle", "vodka", ("{fl}", "? mL"), menstruum(f.fl), mark=-1),)),
    "1.3": lambda f: Row((Vessel("jar", "{liquid}", ("{fl}", "1 mL is {each} g", "? g"), menstruum(f.fl), mark=-1),)),
    "1.4": lambda f: Row((Vessel("bottle", "from a US shop", ("{p}", "? % vol"), menstruum(1.0), mark=-1),)),
    "1.5": lambda f: Row((Vessel("bottle", "spirit", ("{V} of {a}", "? mL of alcohol"), spirit(f.V, f.a), mark=0),)),
    "1.6": lambda f: Row(
        (
            Vessel("heap", "dried elderflower", ("{oz}",), plant(f.oz)),
            Vessel("bottle", "spirit", ("{poured}",), menstruum(f.oz * f.r)),
            Vessel("jar", "wanted {r}", ("really 1:?",), menstruum(f.oz * f.r), "→", mark=-1),
        )
    ),
}
