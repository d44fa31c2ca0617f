"""Floor 5. What is given in the sums of lesson 7: a soaking jar, the marc that keeps some, and what comes out."""

from __future__ import annotations

from herbcalc.show.given.parts import (
    PLUS,
    THEN,
    UNTOLD,
    Bar,
    Bars,
    Figures,
    Row,
    Table,
    Vessel,
    menstruum,
    plant,
    poured_off,
)


def _soak(name: str, *lines: str, grams: float, mL: float, mark: int | None = None) -> Vessel:
    return Vessel("jar", name, lines, (*plant(grams), *menstruum(mL)), mark=mark)


def _marc(f: Figures, grams: float) -> Vessel:
    """The pressed herb with what it keeps."""
    return Vessel("marc", "pressed marc", ("keeps {k}",), (("solids", grams), ("band", f.k * grams)), THEN)


def _out(*lines: str) -> Vessel:
    return Vessel("bottle", "what comes out", lines, poured_off(UNTOLD), PLUS, mark=-1)


TABLE: Table = {
    "7.1": lambda f: Row(
        (_soak("elecampane root", "dried, {m}", "in {V}", grams=f.m, mL=f.V), _marc(f, f.m), _out("? mL"))
    ),
    "7.2": lambda f: Row(
        (
            Vessel(
                "jar",
                "fresh elderflower",
                ("{m}", "{w} water", "in {V} of spirit"),
                (*plant(f.m, f.w), *menstruum(f.V)),
            ),
            Vessel(
                "marc",
                "pressed marc",
                ("keeps {k}, dry part",),
                (("solids", f.m * (1 - f.w)), ("band", f.k * f.m * (1 - f.w))),
                THEN,
            ),
            _out("? mL"),
        )
    ),
    "7.3": lambda f: Row(
        (
            _soak("dried herb", "? g", "at {r}", grams=0.4 * UNTOLD, mL=UNTOLD, mark=0),
            Vessel("marc", "pressed marc", ("keeps {k}",), (("solids", 0.4 * UNTOLD), ("band", 0.4 * UNTOLD)), THEN),
            Vessel("bottle", "the bottle", ("{F}",), poured_off(f.F)),
        )
    ),
    "7.4": lambda f: Row(
        (
            _soak("elecampane root", "dried, {m}", "in {V}", grams=f.m, mL=f.V),
            _marc(f, f.m),
            _out("? % of the extract"),
        )
    ),
    "7.5": lambda f: Row(
        (
            Vessel("jar", "first soak", ("in {a}", "marc keeps {R}"), (("solids", 0.4 * UNTOLD), ("band", f.a))),
            Vessel(
                "jar",
                "second soak",
                ("{b} more", "marc keeps {R}"),
                (("solids", 0.4 * UNTOLD), ("band", f.R + f.b)),
                THEN,
            ),
            Vessel("bottle", "both lots", ("? % of the extract",), poured_off(UNTOLD), THEN, mark=-1),
        )
    ),
    "7.6": lambda f: Row(
        (
            Vessel("heap", "dried herb", ("{m}", "keeps {k}"), plant(f.m)),
            Vessel("bottle", "menstruum", ("{V}", "for {n} soaks"), menstruum(f.V)),
            Vessel("jar", "first soak", ("pour ? mL",), (*plant(f.m), *menstruum(UNTOLD)), THEN, mark=-1),
        )
    ),
    "7.7": lambda f: Row(
        (
            _soak("calendula", "dried, {m}", "in {V}", grams=f.m, mL=f.V),
            Vessel("bottle", "what comes out", ("marc keeps {k}",), poured_off(UNTOLD), THEN),
            Vessel(
                "jar",
                "poured on again",
                ("dried, {m}", "extract at 1:?"),
                (*plant(f.m), *poured_off(UNTOLD)),
                THEN,
                mark=-1,
            ),
        )
    ),
    "7.8": lambda f: Bars(
        (
            Bar("at first", ("all of it in the herb",), (("solids", 1.0),), inside=("in the herb",)),
            Bar(
                "day {h_day}",
                ("half is out, by a model",),
                (("bottle", 0.5), ("solids", 0.5)),
                inside=("out", "in the herb"),
            ),
            Bar("day {d_day}", ("? % is out",), (("card", 1.0),), mark=-1),
        )
    ),
}
