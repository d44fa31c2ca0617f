"""Floor 4. Lesson 9: soak or drip?"""

from __future__ import annotations

from dataclasses import replace

from herbcalc import compare, maceration, percolation
from herbcalc.homework.blueprint import KEPT, MONEY, Ask, Figures, Option, grid, mistake, one_of, situation
from herbcalc.homework.wording import BY_METRIC, METRIC, PLAIN, g, kept, mL, one_to, pct

_ADDED = "The soak's ratio is mL of menstruum added for each g of dried herb; the drip runs until as many mL are out."
_K = one_of("k", "mL/g", 10, 12, 15, 16, 18, 20, over=10)
_EACH_WORTH = replace(MONEY, drop=r"\s*(?:/|\bper\b|\bfor each\b|\bfor every\b)\s*g(?:ram)?\b.*$")
_WHY = " Choose a line, and say the reason aloud or on paper before you check."


def _soak_poured(f: Figures) -> float:
    return f.r * float(maceration.herb_for.plain(f.F, f.r, f.kp))


def _drip_poured(f: Figures) -> float:
    return float(percolation.menstruum_needed.plain(f.F / f.r, f.F, f.k))


def _saver(f: Figures) -> int:
    return 0 if _drip_poured(f) < _soak_poured(f) else 1


def _both_poured(f: Figures) -> str:
    return f"the soak takes {mL(_soak_poured(f))} and the drip {mL(_drip_poured(f))} for the same {mL(f.F)}"


def _soak_share(f: Figures) -> float:
    return 1 - f.k / f.r


_HERBS = (
    "fresh calendula tops, full of juice",
    "marshmallow root, very rich in gum that swells",
    "rosehip, boiled soft",
)
_HERB_WHY = (
    "a wet plant packs into a lump, and nothing runs through it evenly",
    "gum swells and stops the flow",
    "a soft pulp packs tight and nothing runs through it",
)


def _paid(f: Figures) -> float:
    """$ of menstruum for each g of herb whose extract is in the bottle."""
    return f.p / f.VB * f.r / _soak_share(f)


def _paid_said(f: Figures, x: float) -> str:
    way = "more" if x < _paid(f) else "less"
    return f"With that sum the worth of {g(100)} would cost ${100 * x:.2f}; the till says {way}."


ITEMS = (
    Ask(
        9,
        1,
        "choice",
        f"Dried rosehips, ground to an even powder: {{m}}, at {{r}} both ways. The marc keeps {{k}} both ways. "
        f"{_ADDED} You have a cone and a jar, and you want as much of their extract in the bottle as you "
        f"can get. {BY_METRIC}{_WHY}",
        (grid("m", "g", 60, 250, 10), grid("r", "mL/g", 4, 8), _K),
        options=(
            Option(
                "Drip: nearly all of the extract is washed out, where a soak leaves its share in the wet marc.",
                "",
            ),
            Option(
                "Soak: both ways give the same ratio, so both get the same out of the rosehips.",
                "The same strength in each mL, yes. How many mL of it come out of each?",
                "m173",
                "Thinks that the same ratio means the same share of the extract",
                lambda f: (
                    f"The soak brings {pct(_soak_share(f))} of the extract into the bottle; the marc keeps "
                    f"{mL(f.k * f.m)} of it just as strong."
                ),
            ),
            Option(
                "Soak: the longer it stands, the more comes out, without end.",
                "When the liquid in the marc is as strong as the liquid around it, what is left to happen?",
                "m174",
                "Thinks that longer is always stronger",
                lambda f: f"However long it stands, {mL(f.k * f.m)} of the {mL(f.r * f.m)} stays in the marc.",
            ),
            Option(
                "Drip: each mL of it is stronger than a soaked one at the same ratio.",
                "The same herb in the same mL: is each mL stronger, or are there more of them?",
                "m175",
                "Thinks that a drip is stronger for the same ratio",
                lambda f: (
                    f"Both hold about {g(100)} of rosehips in {mL(100 * f.r)}; the drip has {mL(f.k * f.m)} more."
                ),
            ),
        ),
        answer=lambda f: 0,
        points=(
            "It names drip.",
            "It gives a number: the share that the soak gets out, from the ratio and what the marc keeps.",
            "It says that a powder lets the menstruum through evenly.",
        ),
        path=lambda f: [
            f"The soak: of {mL(f.r * f.m)} the marc keeps ⟦{mL(f.k * f.m)}⟧",
            f"So it brings out ⟦{pct(_soak_share(f))}⟧ of the extract",
            f"The drip, until {mL(f.r * f.m)} are out, brings out ⟦nearly all of it: a⟧",
        ],
    ),
    Ask(
        9,
        2,
        "choice",
        f"On the table: {{m}} of {{herb}}. You have a cone and a jar. Which way?{_WHY}",
        (grid("m", "g", 100, 400, 10), situation("which", len(_HERBS))),
        also={"herb": lambda f: _HERBS[int(f.which)]},
        options=(
            Option(
                "Drip: a drip gets more out of any herb.",
                "Will the menstruum find its way through this herb, evenly and slowly?",
                "m176",
                "Thinks that any herb can be percolated",
                lambda f: f"In the cone {_HERB_WHY[int(f.which)]}: the {g(f.m)} would stand there and not drip.",
            ),
            Option("Soak: this herb does not let the menstruum run through it evenly.", ""),
            Option(
                "Drip, with the tap wide open, so that it does not clog.",
                "Does an open tap make a path through the herb?",
                "m177",
                "Thinks that an open tap helps a clogged bed",
                lambda f: f"In the cone {_HERB_WHY[int(f.which)]}, tap or no tap.",
            ),
        ),
        answer=lambda f: 1,
        points=(
            "It names soak.",
            "It gives a number: the weight, and a ratio at which this herb would be soaked.",
            "It says why this herb does not drip.",
        ),
        path=lambda f: [
            f"In a cone this herb ⟦does not drip: {_HERB_WHY[int(f.which)]}⟧",
            "What cannot drip can still stand in a jar: ⟦b⟧",
        ],
    ),
    Ask(
        9,
        3,
        "choice",
        "Spirit is dear, and you want {F} in the bottle at {r}. The drip's marc keeps {k}. The soak is pressed, "
        "and its marc "
        f"keeps {{kp}}. {_ADDED} Which way takes less spirit for this bottle? {BY_METRIC}{_WHY}",
        (
            grid("F", "mL", 250, 1000, 10),
            grid("r", "mL/g", 3, 7),
            one_of("k", "mL/g", 12, 15, 18, over=10),
            one_of("kp", "mL/g", 5, 6, 7, 8, 15, 18, over=10),
        ),
        allowed=lambda f: abs(_drip_poured(f) / _soak_poured(f) - 1) > 0.04,
        options=(
            Option(
                "Drip takes less spirit for this bottle.",
                "How much herb does each way need for this bottle, and how much stays in each marc?",
                "m178",
                "Thinks that the drip saves spirit however hard the soak is pressed",
                lambda f: f"Worked through, {_both_poured(f)}.",
            ),
            Option(
                "Soak takes less spirit for this bottle.",
                "What stays in the soak's marc, and how much more herb does the soak need?",
                "m179",
                "Thinks that a soak saves spirit because nothing extra must be ready",
                lambda f: f"Worked through, {_both_poured(f)}.",
            ),
            Option(
                "Both take the same, because the ratio is the same.",
                "The ratio is the same. Does as much stay in one marc as in the other?",
                "m180",
                "Thinks that the same ratio takes the same spirit",
                lambda f: f"Worked through, {_both_poured(f)}.",
            ),
        ),
        answer=_saver,
        points=(
            "It names the way that takes less.",
            "It gives both numbers of mL.",
            "It says what is given up for it: gear, powder and skill, or pressing and more herb.",
        ),
        path=lambda f: [
            f"Soak: {g(100)} of herb gives {mL(100 * (f.r - f.kp))} from {mL(100 * f.r)}, so {mL(f.F)} takes "
            f"⟦{mL(_soak_poured(f))}⟧",
            f"Drip: {mL(f.F)} out of {g(f.F / f.r)} of herb, and the marc keeps {mL(f.k * f.F / f.r)}: "
            f"⟦{mL(_drip_poured(f))}⟧",
            f"The smaller of the two: ⟦{'ab'[_saver(f)]}⟧",
        ],
    ),
    Ask(
        9,
        4,
        "choice",
        "The class at Alder Lane (invented) wants {F} of a dried herb, ground, ready in {days}. Count {soak} "
        f"for a soak and 2 days for a drip, standing included. You have a cone, a jar and the powder.{_WHY}",
        (grid("F", "mL", 200, 600, 10), grid("days", "day", 3, 10), one_of("soak", "day", 14, 21, 28)),
        options=(
            Option(
                "Soak, and shake it hard so that it is ready in time.",
                "Shaking makes it faster. Does it make weeks into a few days?",
                "m181",
                "Thinks that shaking makes up for any time",
                lambda f: (
                    f"There are {f.days:.0f} days for what takes {f.soak:.0f}: the {mL(f.F)} would be poured off too "
                    "thin, shaken or not."
                ),
            ),
            Option("Drip: it is through in time, and a soak is not.", ""),
            Option(
                "Soak, and warm the jar on the stove so that it is ready in time.",
                "What is in the jar, besides herb, and what does its vapour do near heat?",
                "m182",
                "Thinks that a jar of spirit may be heated",
                "The vapour of strong spirit lights at room temperature already. A jar of it never goes near a "
                "stove.",
            ),
            Option(
                "Neither can be ready in time.",
                "Count the days of each way. Does neither fit?",
                "m183",
                "Thinks that a drip takes as long as a soak",
                lambda f: f"There are {f.days:.0f} days, and a drip takes 2.",
            ),
        ),
        answer=lambda f: 1,
        points=(
            "It names drip.",
            "It gives a number: the days of each way, beside the days there are.",
            "It says one thing that a drip asks for: dry powder, a cone, and a slow tap.",
        ),
        path=lambda f: [
            f"Days there are: {f.days:.0f}. A soak takes ⟦{f.soak:.0f} days⟧",
            "A drip takes 2 days: ⟦b⟧",
        ],
    ),
    Ask(
        9,
        5,
        "sum",
        f"The same bottle either way, at {{r}}. The drip's marc keeps {{k}}. How hard must the soak be pressed "
        "until the drip saves no more menstruum: how many mL may each g of the soak's herb keep, at the tie? "
        f"{_ADDED} {PLAIN}",
        (grid("r", "mL/g", 3, 8), _K),
        KEPT,
        lambda f: float(compare.break_even.plain(f.r, f.k)),
        mistakes=(
            mistake(
                "m184",
                "Thinks that the tie is at the same keeping for both",
                "With the same kept by both, does the soak not need more herb for the bottle? Try it with numbers.",
                lambda f: f.k,
                so=lambda f, x: (
                    f"At {kept(round(x, 3))} the soak still pours {pct(f.r / (f.r - x) / (1 + f.k / f.r) - 1)} more."
                ),
            ),
            mistake(
                "m185",
                "Halves what the marc keeps",
                "Is half the right guess at every ratio? Try it with numbers.",
                lambda f: f.k / 2,
                so=lambda f, x: (
                    f"At {kept(round(x, 3))} the soak pours {pct(1 - f.r / (f.r - x) / (1 + f.k / f.r))} less."
                ),
            ),
            mistake(
                "m186",
                "Takes what the marc keeps off the ratio",
                "That is what each g gives to the bottle. How much does it keep?",
                lambda f: f.r - f.k,
                so=lambda f, x: f"A herb that keeps {kept(round(x, 3))} gives little to the bottle at {one_to(f.r)}.",
            ),
        ),
        path=lambda f: [
            f"For each {mL(100)} in the bottle the drip pours {mL(100)} and what {g(100 / f.r)} of herb keeps: "
            f"⟦{mL(100 * (1 + f.k / f.r))}⟧",
            f"The soak pours {f.r:g} for every {f.r:g} less what is kept; as much as the drip when it keeps "
            f"⟦{f.r:g} × {f.k:g} / ({f.r:g} + {f.k:g})⟧",
            f"That is ⟦{kept(round(f.r * f.k / (f.r + f.k), 3))}⟧",
        ],
        forwards="Take 100 mL (3 1/2 fl oz) in the bottle: what does each way pour, with your number for the soak?",
    ),
    Ask(
        9,
        6,
        "sum",
        "A bottle of menstruum holds {VB} and costs {p}. Dried herb is soaked in it at {r} (mL added for each "
        "g), and the marc "
        "keeps {k}. What does the menstruum cost, in $, for each g-worth in the bottle: for each 1 g (1/28 oz) "
        "of herb whose "
        f"extract really came out? {METRIC}",
        (
            one_of("VB", "mL", 500, 700, 750, 1000),
            grid("p", "money", 1200, 4000, 50, 100),
            grid("r", "mL/g", 4, 8),
            _K,
        ),
        _EACH_WORTH,
        _paid,
        mistakes=(
            mistake(
                "m187",
                "Counts all the herb, as if all of its extract came out",
                "Does all of the extract come out, or does the marc keep a share?",
                lambda f: f.p / f.VB * f.r,
                so=_paid_said,
            ),
            mistake(
                "m188",
                "Counts only the menstruum that comes out",
                "Who pays for what the marc keeps?",
                lambda f: f.p / f.VB * (f.r - f.k),
                so=_paid_said,
            ),
            mistake(
                "m189",
                "Gives the price of a mL in the bottle",
                "That is for each mL. How many mL carry one g-worth?",
                lambda f: f.p / f.VB * f.r / (f.r - f.k),
                so=_paid_said,
            ),
        ),
        path=lambda f: [
            f"{g(100)} of herb takes {mL(100 * f.r)} of menstruum, which costs ⟦${100 * f.r * f.p / f.VB:.2f}⟧",
            f"Out comes {mL(100 * (f.r - f.k))}, so ⟦{pct(_soak_share(f))}⟧ of the extract, the worth of "
            f"{g(100 * _soak_share(f))}",
            f"Cost for each g-worth: ⟦${_paid(f):.3f}⟧",
        ],
        forwards="Soak 100 g (3 1/2 oz): what did the menstruum cost, and how many g-worth came out?",
    ),
)
