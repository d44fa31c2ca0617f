"""Floor 4. Lesson 9: soak or drip?"""

from __future__ import annotations

from dataclasses import replace

from herbcalc import compare, maceration, percolation
from herbcalc.homework.blueprint import (
    KEPT,
    MONEY,
    Ask,
    Figures,
    Option,
    bare,
    case,
    grid,
    mistake,
    one_of,
    situation,
)
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import BY_METRIC, METRIC, PLAIN, g, kept, mL, one_to, pct, three
from herbcalc.homework.wording import exact as n

_ADDED = "The soak's ratio is mL of menstruum added for each g of dried herb; the drip runs until as many mL are out."
_K = one_of("k", "mL/g", 10, 12, 15, 16, 18, 20, over=10)
_EACH_WORTH = replace(MONEY, drop=r"\s*(?:/|\bper\b|\bfor each\b|\bfor every\b)\s*g(?:ram)?\b.*$")
_WHY = " Choose a line, and say the reason aloud or on paper before you check."


def _soak_poured(f: Figures) -> float:
    return f.r * bare(maceration.herb_for, f.F, f.r, f.kp)


def _drip_poured(f: Figures) -> float:
    return bare(percolation.menstruum_needed, f.F / f.r, f.F, f.k)


def _saver(f: Figures) -> int:
    return 0 if _drip_poured(f) < _soak_poured(f) else 1


def _both_poured(f: Figures) -> str:
    return f"the soak takes {mL(_soak_poured(f))} and the drip {mL(_drip_poured(f))} for the same {mL(f.F)}"


def _soak_share(f: Figures) -> float:
    return 1 - f.k / f.r


_WET_HERBS = (
    "fresh calendula tops, full of juice",
    "marshmallow root, very rich in gum that swells",
    "rosehip, boiled soft",
)
_WET_WHY = (
    "a wet plant packs into a lump, and nothing runs through it evenly",
    "gum swells and stops the flow",
    "a soft pulp packs tight and nothing runs through it",
)
_POWDERS = (
    "dried elecampane root, ground to an even, coarse powder",
    "dried lemon balm, rubbed to an even, coarse powder",
    "dried elderflower, sifted to an even, coarse powder",
)
_SHAKEN = 7  # days; what old pharmacy books name for a soak that is shaken
_DRIP = 3  # days at 1:5, as lesson 9 counts them: a rest of 6 hours, a day full, and a moderate tap


def _second(f: Figures) -> bool:
    """Whether the second of an item's two cases was drawn: big pieces in 9.1, a powder in 9.2."""
    return f.case == 1


def _herb(f: Figures) -> str:
    return (_POWDERS if _second(f) else _WET_HERBS)[int(f.which)]


def _in_the_cone(f: Figures) -> str:
    if _second(f):
        return (
            f"In the cone the {g(f.m)} of powder stands still and even, and the menstruum goes slowly past every "
            f"grain."
        )
    return f"In the cone {_WET_WHY[int(f.which)]}: the {g(f.m)} would stand there and not drip."


def _open_tap(f: Figures) -> str:
    if _second(f):
        return "With the tap wide open the menstruum is through before it has drawn much."
    return f"In the cone {_WET_WHY[int(f.which)]}, tap or no tap."


def _herb_way(f: Figures, w: Walk) -> None:
    if _second(f):
        w.say("Through an even, dry powder menstruum goes ⟦slowly and past every grain⟧")
        w.say(f"So it can drip, and fresh menstruum follows what is full: ⟦{w.letter(0)}⟧")
        return
    w.say(f"In a cone this herb ⟦does not drip: {_WET_WHY[int(f.which)]}⟧")
    w.say(f"What cannot drip can still stand in a jar: ⟦{w.letter(1)}⟧")


def _rosehip_way(f: Figures, w: Walk) -> None:
    if _second(f):
        w.say("By a model, half of what is in so big a piece is out after ⟦a week⟧; a drip is over in 3 or 4 days")
        w.say(f"So the pieces must stand: ⟦{w.letter(1)}⟧")
        return
    keeps = w.step("mL", f"The soak's marc keeps, in mL: {n(f.k)} × {n(f.m)}", f.k * f.m)
    poured = w.step("mL", f"of what was poured, in mL: {n(f.r)} × {n(f.m)}", f.r * f.m)
    lost = w.step("pct", f"That share of the extract stays behind: {n(keeps)} ÷ {n(poured)}", keeps / poured)
    w.step("pct", f"So the soak brings out 100 − {n(100 * lost)}", 1 - lost)
    w.say(f"The drip, run until as many mL are out, brings out ⟦nearly all that a drip can draw: {w.letter(0)}⟧")


def _days(f: Figures) -> float:
    """Days there are: too few for any soak, enough for a shaken one, enough for all."""
    return (3 + f.more % 3, _SHAKEN + 1 + f.more, f.soak + 2 + f.more)[int(f.case)]


def _days_said(f: Figures) -> str:
    return (
        f"There are {_days(f):.0f} days. The drip takes {_DRIP}, the shaken soak {_SHAKEN}, the soak left alone "
        f"{f.soak:.0f}."
    )


def _calendar_way(f: Figures, w: Walk) -> None:
    days = _days(f)
    w.say(f"Days there are: {days:.0f}. The drip takes {_DRIP}, which is ⟦in time⟧")
    for name, takes in (("shaken soak", _SHAKEN), ("soak left alone", f.soak)):
        w.say(f"The {name} takes {takes:.0f}: ⟦{'in time' if takes <= days else 'too long'}⟧")
    w.say(f"So it is ⟦{w.letter(int(f.case))}⟧")


def _paid(f: Figures) -> float:
    """$ of menstruum for each g of herb whose extract is in the bottle."""
    return f.p / f.VB * f.r / _soak_share(f)


def _paid_said(f: Figures, x: float) -> str:
    way = "more" if x < _paid(f) else "less"
    return f"With that sum the extract of {g(100)} would cost ${100 * x:.2f}; the till says {way}."


def _soaks_pours_way(f: Figures, w: Walk) -> None:
    gives = w.step("each", f"Each g of the soak's herb gives {n(f.r)} − {n(f.kp)}", f.r - f.kp)
    herb = w.step("g", f"So the soak needs so much herb, in g: {n(f.F)} ÷ {n(gives)}", f.F / gives)
    soak = w.step("mL", f"and so much spirit, in mL: {n(f.r)} × {n(herb)}", f.r * herb)
    dripped = w.step("g", f"The drip needs so much herb, in g: {n(f.F)} ÷ {n(f.r)}", f.F / f.r)
    keeps = w.step("mL", f"Its marc keeps, in mL: {n(f.k)} × {n(dripped)}", f.k * dripped)
    drip = w.total("mL", f"so the drip pours, in mL: {n(f.F)} + {n(keeps)}", f.F, keeps)
    w.say(f"The smaller of {n(soak)} and {three(drip)}: ⟦{w.letter(_saver(f))}⟧")


def _tie_way(f: Figures, w: Walk) -> None:
    pours = w.step("each", f"For each g of herb the drip pours {n(f.r)} + {n(f.k)}", f.r + f.k)
    share = w.step("pct", f"and brings out {n(f.r)} of that, a share of {n(f.r)} ÷ {n(pours)}", f.r / pours)
    out = w.step(
        "each", f"At the tie the soak brings out the same share of what it pours: {n(share)} × {n(f.r)}", share * f.r
    )
    w.step("each", f"So each g of its herb may keep {n(f.r)} − {n(out)}, which is r × k ÷ (r + k),", f.r - out)


def _paying_way(f: Figures, w: Walk) -> None:
    price = w.step("$ each", f"What a mL of menstruum costs: ${f.p:.2f} ÷ {n(f.VB)}", f.p / f.VB)
    poured = w.step(
        "$ each",
        f"What is poured on 1 g (1/28 oz) of herb costs {n(f.r)} times that: {n(f.r)} × ${n(price)}",
        f.r * price,
    )
    gives = w.step("each", f"Of it comes out {n(f.r)} − {n(f.k)}", f.r - f.k)
    share = w.step("pct", f"and so comes the extract, a share of {n(gives)} ÷ {n(f.r)}", gives / f.r)
    w.step("$ each", f"The cost divided by what came out: ${n(poured)} ÷ {n(share)}", poured / share)


ITEMS = (
    Ask(
        9,
        1,
        "choice",
        f"Dried rosehips, freed of seeds and hairs, {{state}}: {{m}}, at {{r}} both ways. The marc keeps {{k}} both "
        f"ways. {_ADDED} You have a cone and a jar, and you want as much of their extract in the bottle as you "
        f"can get. {BY_METRIC}{_WHY}",
        (grid("m", "g", 60, 250, 10), grid("r", "mL/g", 4, 8), _K, case(2)),
        also={
            "state": lambda f: "in pieces as big as hazelnuts" if _second(f) else "ground to an even powder",
            "way": lambda f: "soak" if _second(f) else "drip",
            "what": lambda f: (
                "the days that a piece needs, or the size of it"
                if _second(f)
                else "the share that the soak gets out, from the ratio and what the marc keeps"
            ),
            "because": lambda f: (
                "menstruum runs past a piece before it has drawn"
                if _second(f)
                else "a powder lets the menstruum through evenly"
            ),
        },
        options=(
            Option(
                "Drip: nearly all that a drip can draw is washed out, where a soak leaves its share in the wet marc.",
                "How long does menstruum need to the middle of a big piece, and how long is it in the cone?",
                "m190",
                "Thinks that big pieces drip as well as a powder",
                "The drip would be over in 3 or 4 days, and by a model half of so big a piece takes a week.",
            ),
            Option(
                "Soak: the pieces are big, and the menstruum would run past them before it has drawn.",
                "How big is a grain of this powder? Is there anything to wait for?",
                "m191",
                "Takes an even powder for big pieces",
                lambda f: (
                    f"The soak would leave {pct(f.k / f.r)} of the extract in the marc, and nothing is gained by it."
                ),
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
        answer=lambda f: int(f.case),
        points=("It names {way}.", "It gives a number: {what}.", "It says that {because}."),
        path=_rosehip_way,
        edition=2,
    ),
    Ask(
        9,
        2,
        "choice",
        f"On the table: {{m}} of {{herb}}. You have a cone and a jar. Which way gets more out of it?{_WHY}",
        (grid("m", "g", 100, 400, 10), situation("which", len(_WET_HERBS)), case(2)),
        also={
            "herb": _herb,
            "way": lambda f: "drip" if _second(f) else "soak",
            "because": lambda f: "lets the menstruum through evenly" if _second(f) else "does not drip",
        },
        options=(
            Option(
                "Drip: the menstruum runs through it, slowly and evenly.",
                "Will the menstruum find its way through this herb, evenly and slowly?",
                "m176",
                "Thinks that any herb can be percolated",
                _in_the_cone,
            ),
            Option(
                "Soak: this herb does not let the menstruum run through it evenly.",
                "What in this herb would stop the menstruum? Is it wet, does it swell, does it lump?",
                "m192",
                "Thinks that a dry, even powder stops the menstruum",
                _in_the_cone,
            ),
            Option(
                "Drip, with the tap wide open, so that it does not clog.",
                "Does an open tap make a path through the herb?",
                "m177",
                "Thinks that an open tap helps a clogged bed",
                _open_tap,
            ),
        ),
        answer=lambda f: 0 if _second(f) else 1,
        points=(
            "It names {way}.",
            "It gives a number: the weight, and a ratio that you would take.",
            "It says why this herb {because}.",
        ),
        path=_herb_way,
        edition=2,
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
            case(2),
        ),
        allowed=lambda f: _saver(f) == f.case and abs(_drip_poured(f) / _soak_poured(f) - 1) > 0.04,
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
        path=_soaks_pours_way,
        edition=2,
    ),
    Ask(
        9,
        4,
        "choice",
        "The class at Alder Lane (invented) wants {F} of a dried herb, ground, ready in {days} days. Count "
        f"{_DRIP} days for a drip at 1:5, standing included, {_SHAKEN} for a soak that is shaken every day, and "
        "{soak} for a soak that is left alone (common practice). You have a cone, a jar and the powder. Which are "
        f"ready in time?{_WHY}",
        (
            grid("F", "mL", 200, 600, 10),
            one_of("soak", "day", 14, 21, 28),
            case(3),
            situation("more", 5),
        ),
        also={"days": lambda f: f"{_days(f):.0f}"},
        options=(
            Option(
                "The drip alone.",
                "Count the days of each way. Does no soak fit?",
                "m193",
                "Leaves out a soak that is ready in time",
                _days_said,
            ),
            Option(
                "The drip and the shaken soak.",
                "Shaking makes it faster, and the days are counted above. Which of the three fit into the "
                "days there are?",
                "m181",
                "Counts the shaken soak without looking at the days there are",
                _days_said,
            ),
            Option(
                "All three.",
                "Is there time for the soak that is left alone?",
                "m194",
                "Gives a soak fewer days than it takes",
                _days_said,
            ),
            Option(
                "The soak, if the jar is warmed on the stove.",
                "What is in the jar, besides herb, and what does its vapour do near heat?",
                "m182",
                "Thinks that a jar of spirit may be heated",
                "The vapour of strong spirit lights at room temperature already. A jar of it never goes near a "
                "stove.",
            ),
            Option(
                "None of them.",
                "Count the days of each way. Does none of them fit?",
                "m183",
                "Thinks that a drip takes as long as a soak",
                _days_said,
            ),
        ),
        answer=lambda f: int(f.case),
        points=(
            "It names each way that fits.",
            "It gives a number: the days of each way, beside the days there are.",
            "It says what else matters beside the days: gear, powder, or what you like doing.",
        ),
        path=_calendar_way,
        edition=3,
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
        lambda f: bare(compare.break_even, f.r, f.k),
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
        path=_tie_way,
        forwards="Take 100 mL (3 1/2 fl oz) in the bottle: what does each way pour, with your number for the soak?",
    ),
    Ask(
        9,
        6,
        "sum",
        "A bottle of menstruum holds {VB} and costs {p}. Dried herb is soaked in it at {r} (mL added for each "
        "g), and the marc "
        "keeps {k}. What is the cost, in $, for each gram (1/28 oz) "
        f"of herb's extract in the bottle? {METRIC}",
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
                "That is for each mL. How many mL carry the extract of one g?",
                lambda f: f.p / f.VB * f.r / (f.r - f.k),
                so=_paid_said,
            ),
        ),
        path=_paying_way,
        forwards="Soak 100 g (3 1/2 oz): what did the menstruum cost, and the extract of how many g came out?",
        edition=2,
    ),
)
