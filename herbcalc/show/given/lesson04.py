"""Floor 5. What is given in the sums of lesson 4: the spirit, what it is cut with, and the jar that they make."""

from __future__ import annotations

from herbcalc.show.given.parts import OR, THEN, UNTOLD, Layer, Row, Table, Vessel, spirit


def _water(*lines: str, mark: int | None = None) -> Vessel:
    return Vessel("bottle", "water", lines, (("water", UNTOLD),), mark=mark)


def _untold(strength: float) -> tuple[Layer, ...]:
    """A spirit of which nobody is told how much goes in."""
    return spirit(UNTOLD, strength)


TABLE: Table = {
    "4.1": lambda f: Row(
        (
            Vessel("bottle", "spirit", ("{a}", "? mL"), _untold(f.a), mark=-1),
            _water("up to the line"),
            Vessel("jar", "the jar", ("{T}", "{t}"), spirit(f.T, f.t), THEN),
        )
    ),
    "4.2": lambda f: Row(
        (
            Vessel("bottle", "spirit", ("{V}", "{a}"), spirit(f.V, f.a)),
            _water("up to the line"),
            Vessel("jar", "the mix", ("{t}", "? mL"), _untold(f.t), THEN, mark=-1),
        )
    ),
    "4.3": lambda f: Row(
        (
            Vessel("bottle", "spirit", ("{a}", "{heavy_a}"), _untold(f.a)),
            _water("? mL", "{heavy_w}", mark=-1),
            Vessel("jar", "the mix", ("{T}", "{t}", "{heavy_t}"), spirit(f.T, f.t), THEN),
        )
    ),
    "4.4": lambda f: Row(
        (
            Vessel("bottle", "strong spirit", ("{a}", "? mL"), _untold(f.a), mark=-1),
            Vessel("bottle", "weak spirit", ("{b}",), _untold(f.b)),
            Vessel("jar", "the blend", ("{T}", "{t}"), spirit(f.T, f.t), THEN),
        )
    ),
    "4.5": lambda f: Row(
        (
            Vessel("bottle", "one spirit", ("{V1}", "{a}"), spirit(f.V1, f.a)),
            Vessel("bottle", "other spirit", ("{V2}", "{b}"), spirit(f.V2, f.b)),
            Vessel("jar", "the mix", ("? % vol",), (("card", f.V1 + f.V2),), THEN, mark=-1),
        )
    ),
    "4.7": lambda f: Row(
        (
            Vessel("bottle", "shop A", ("{VA}", "{a}", "{pA}"), spirit(f.VA, f.a)),
            Vessel("bottle", "shop B", ("{VB}", "{b}", "{pB}"), spirit(f.VB, f.b), OR),
            Vessel("jar", "the jar", ("{T}", "{t}", "cheaper: $?"), spirit(f.T, f.t), THEN, mark=-1),
        )
    ),
}
