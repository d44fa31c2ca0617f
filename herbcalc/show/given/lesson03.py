"""Floor 5. What is given in the sums of lesson 3: bars of a basket, fresh and dried, as on that lesson's panel."""

from __future__ import annotations

from herbcalc.show.given.parts import Bar, Bars, Dial, Figures, Log, Table, plant

WATER_LEFT = 0.12  # width of the water in a dried herb, against its solids, where it is not drawn to size


def _dried(solids: float) -> tuple[tuple[str, float], ...]:
    """The same solids, and a little water that is not drawn to size."""
    return ("solids", solids), ("water", WATER_LEFT * solids)


def _over_rest(f: Figures, which: int) -> tuple[tuple[str, float], ...]:
    """One weight of the tray, and how far it is over the weight at which it comes to rest."""
    return ("solids", f.E), ("water", f.weights[which] - f.E)


TABLE: Table = {
    "3.1": lambda f: Bars(
        (
            Bar("fresh root", ("{f}", "? % water"), (("solids", f.d), ("water", f.f - f.d)), mark=1),
            Bar("dried until it loses no more", ("{d}",), (("solids", f.d),)),
        )
    ),
    "3.2": lambda f: Bars(
        (
            Bar("fresh lemon balm", ("{m}", "{w0} water"), plant(f.m, f.w0)),
            Bar("dried", ("? g", "{w1} water"), _dried(f.m * (1 - f.w0)), mark=-1),
        ),
        rough=True,
    ),
    "3.3": lambda f: Bars(
        (
            Bar("fresh calendula", ("? g", "{w0} water"), (("solids", f.D * (1 - f.w1)), ("water", 3 * f.D)), mark=1),
            Bar("dried", ("{D}", "{w1} water"), plant(f.D, f.w1)),
        ),
        rough=True,
    ),
    "3.4": lambda f: Bars(
        (
            Bar("empty tray", ("{tray}",), (("card", f.tray),), inside=("tray",)),
            Bar("fresh elderflower", ("{m}", "{w0} water"), plant(f.m, f.w0)),
            Bar(
                "tray and dried flowers",
                ("? g", "{w1} water"),
                (("card", f.tray), *_dried(f.m * (1 - f.w0))),
                mark=-1,
            ),
        ),
        rough=True,
    ),
    "3.5": lambda f: Dial((("{a}", f.a),), "? °C"),
    "3.6": lambda f: Bars(
        (
            Bar("fresh", ("{f}", "maybe 1 g off"), (("solids", f.d), ("water", f.f - f.d))),
            Bar("dried", ("{d}", "maybe 1 g off"), (("solids", f.d),)),
            Bar("the moisture w", ("off by ? points",)),
        )
    ),
    "3.8": lambda f: Log(tuple(f.log), "{log}", "the first that agrees: day ?"),
    "3.9": lambda f: Dial((("from {a}", f.a), ("to {b}", f.b)), "? °C wide"),
    "3.10": lambda f: Bars(
        (
            Bar("100 m³ come with", ("{a}",), (("water", f.a),), inside=("",)),
            Bar("and leave with", ("{b}",), (("water", f.b),), inside=("",)),
            Bar("{V} m³ an hour, for {h}", ("carry off ? g",)),
        )
    ),
    "3.11": lambda f: Bars(
        (
            Bar("first", ("{first}",), _over_rest(f, 0), inside=("", "to go")),
            Bar("{p} later", ("{second}",), _over_rest(f, 1), inside=("", "")),
            Bar("stop weight", ("{stop}", "after ? hours"), _over_rest(f, 2), inside=("", "")),
            Bar("at rest", ("{E}",), (("solids", f.E),), inside=("",)),
        )
    ),
}
