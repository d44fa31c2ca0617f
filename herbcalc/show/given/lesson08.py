"""Floor 5. What is given in the sums of lesson 8: the percolator, what goes in, and what drips out."""

from __future__ import annotations

from herbcalc.show.given.parts import BESIDE, THEN, UNTOLD, Row, Table, Vessel, menstruum, plant, poured_off

REST = "by a model, half of the rest is out with every 0.416 mL for each g (about 0.4 fl oz for each oz)"


def _cone(name: str, *lines: str, sign: str = THEN, mark: int | None = None) -> Vessel:
    return Vessel("cone", name, lines, sign=sign, mark=mark)


def _clock(*lines: str, mark: int | None = None) -> Vessel:
    return Vessel("clock", "the time", lines, sign=BESIDE, mark=mark)


TABLE: Table = {
    "8.1": lambda f: Row(
        (
            Vessel("bottle", "menstruum", ("have ready ? mL",), menstruum(UNTOLD), mark=-1),
            _cone("root powder", "{m}", "keeps {k}"),
            Vessel("bottle", "dripped through", ("{F}",), poured_off(f.F), THEN),
        )
    ),
    "8.2": lambda f: Row(
        (
            Vessel("heap", "powder", ("{m}",), plant(0.6 * UNTOLD)),
            Vessel("bottle", "menstruum", ("{per_g}", "? mL in all"), menstruum(UNTOLD), mark=-1),
            Vessel(
                "heap", "damp powder", ("ready to pack",), (("solids", 0.6 * UNTOLD), ("band", 0.3 * UNTOLD)), THEN
            ),
        )
    ),
    "8.3": lambda f: Row(
        (
            _cone("the tap", "{d}", "{n}"),
            Vessel("bottle", "wanted", ("{F}",), poured_off(UNTOLD), THEN),
            _clock("? hours", mark=-1),
        )
    ),
    "8.4": lambda f: Row(
        (
            _cone("the tap", "? drops a minute", "{n}", mark=-1),
            Vessel("bottle", "wanted", ("{F}",), poured_off(UNTOLD), THEN),
            _clock("{time}"),
        )
    ),
    "8.5": lambda f: Row(
        (
            Vessel("heap", "powder", ("{m}", "packs to {packed}"), plant(0.6 * UNTOLD)),
            _cone("the cone", "two thirds full at most", "holds ? mL", mark=-1),
        )
    ),
    "8.6": lambda f: Row(
        (
            _cone("powder", "{m}", REST),
            Vessel("bottle", "dripped through", ("{F}", "? % of the extract"), poured_off(f.F), THEN, mark=-1),
        )
    ),
    "8.7": lambda f: Row(
        (
            _cone("powder", "{m}", REST),
            Vessel(
                "bottle", "dripped through", ("{wanted} of the extract", "? mL"), poured_off(UNTOLD), THEN, mark=-1
            ),
        )
    ),
}
