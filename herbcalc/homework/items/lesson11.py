"""Floor 4. Lesson 11: oil and wax."""

from __future__ import annotations

import math
from dataclasses import replace

from herbcalc import maceration, preserving
from herbcalc.homework.blueprint import (
    MOISTURE,
    PLANTS,
    SHARE,
    VOLUME,
    WEIGHT,
    Ask,
    Figures,
    Option,
    bare,
    case,
    grid,
    mistake,
    one_of,
    plainly,
    situation,
)
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import (
    BY_METRIC,
    G_PER_OZ,
    KITCHEN,
    METRIC,
    ML_PER_FL_OZ,
    g,
    mL,
    pct,
    three,
)
from herbcalc.homework.wording import exact as n

_OILS = one_of("d", "g/mL", 910, 915, 920, over=1000)  # olive to sunflower; see data/densities.csv
_SALVE = 0.93  # g for each mL, as in `preserving.SALVE`; it stands in the prompt
_OZ, _FL_OZ = 28.3495, 29.5735  # g and mL, as the lines of 11.4 show them: whoever presses their keys ends there
_POURED = "The ratio is mL of oil for each g of dried herb."
TINS = replace(PLANTS, said="tins", drop=r"(?<=\d) ?(?:whole |full )?tins?\b(?: of [\d.]+ ?ml\b)?")
_LEAST = 0.5  # mL that nobody can pour
_WHY = " Choose a line, and say the reason aloud or on paper before you check."


# --- 11.1: what wilting leaves --------------------------------------------------------------------------------------


def _wilted(f: Figures) -> float:
    return bare(preserving.wilted_water, 100 * f.w, 1 - f.d / f.m)


def _wilts(f: Figures) -> bool:
    return 0.25 <= 1 - f.d / f.m <= f.w - 0.12


def _solids_said(f: Figures, x: float) -> str:
    solids = f.m * (1 - f.w)
    if not 0 < x < 100:
        return f"A share of water lies between 0 and 100 %. The solids are {g(solids)} of the {g(f.d)}."
    return f"With that sum {g(f.d * (1 - x / 100))} of it would be solids, and the fresh plant had {g(solids)}."


def _wilting_way(f: Figures, w: Walk) -> None:
    share = w.step("pct", f"Solids, their share of the fresh plant: 100 − {n(100 * f.w)}", 1 - f.w)
    solids = w.step("g", f"Solids, which stay, in g: {n(share)} × {n(f.m)}", share * f.m)
    now = w.step("pct", f"Their share of what is left: {n(solids)} ÷ {n(f.d)}", solids / f.d)
    w.step("pct", f"So the water's share: 100 − {n(100 * now)}", 1 - now)


def _wilting_by_water(f: Figures, w: Walk) -> None:
    """The water it had, less what went."""
    left = w.step("g", "", w.step("g", "", f.w * f.m) - w.step("g", "", f.m - f.d))
    w.step("pct", "", left / f.d)


# --- 11.2: oil on the scale -----------------------------------------------------------------------------------------


def _oil_weighs(f: Figures) -> float:
    return f.m * f.r * f.d


def _oil_said(f: Figures, x: float) -> str:
    return f"{g(x)} of this oil is {mL(x / f.d)}, and {g(f.m)} of herb at 1:{n(f.r)} wants {mL(f.m * f.r)}."


def _oil_way(f: Figures, w: Walk) -> None:
    jug = w.step("mL", f"Oil by the jug, in mL: {n(f.r)} × {n(f.m)}", f.r * f.m)
    w.step("g", f"What that weighs, in g: {n(f.d)} × {n(jug)}", f.d * jug)


# --- 11.3: oil out --------------------------------------------------------------------------------------------------


def _clear_oil(f: Figures) -> float:
    return bare(maceration.liquid_out, f.m, f.V, f.k, 0.0) - f.low


def _clear_said(f: Figures, x: float) -> str:
    marc = f.k * f.m
    if x < 0:
        return f"A bottle cannot hold that little: {mL(f.V)} went in, and the marc keeps {mL(marc)}."
    back = f.V - x
    kept = f"{mL(back)} would stay behind" if back > _LEAST else "nothing would stay behind"
    return f"With {mL(x)} in the bottle {kept}; the marc keeps {mL(marc)} and the dregs {mL(f.low)}."


def _clear_way(f: Figures, w: Walk) -> None:
    keeps = w.step("mL", f"Oil that the marc keeps, in mL: {n(f.k)} × {n(f.m)}", f.k * f.m)
    wrung = w.total("mL", f"Oil that is wrung out, in mL: {n(f.V)} − {n(keeps)}", f.V, -keeps)
    w.total("mL", f"Clear oil, poured off the dregs, in mL: {n(wrung)} − {n(f.low)}", wrung, -f.low)


# --- 11.4: the share of wax -----------------------------------------------------------------------------------------


def _wax_share(f: Figures) -> float:
    return 100 * bare(preserving.wax_share, f.x * G_PER_OZ, f.o * ML_PER_FL_OZ, f.d)


def _by_number(f: Figures) -> float:
    """As if 8 fl oz of oil were 8 oz."""
    return 100 * f.x / (f.x + f.o)


def _wax_said(f: Figures, x: float) -> str:
    if not 0 < x < 100:
        return f"A share lies between 0 and 100 %; the wax is {three(_wax_share(f))} % of the whole."
    if x > 50:
        return (
            f"With {pct(x / 100)} wax it would be a candle: {g(f.x * G_PER_OZ)} of wax went in, and "
            f"{mL(f.o * ML_PER_FL_OZ)} of oil."
        )
    wax = x / 100 / (1 - x / 100) * f.o * ML_PER_FL_OZ * f.d
    return f"For {pct(x / 100)} this oil would want {g(wax)} of wax, and {g(f.x * G_PER_OZ)} went in."


def _wax_way(f: Figures, w: Walk) -> None:
    wax = w.step("g", f"Wax, 28.3495 g for each oz, in g: 28.3495 × {n(f.x)}", _OZ * f.x)
    jug = w.step("mL", f"Oil, 29.5735 mL for each fl oz, in mL: 29.5735 × {n(f.o)}", _FL_OZ * f.o)
    oil = w.step("g", f"What the oil weighs, in g: {n(f.d)} × {n(jug)}", f.d * jug)
    whole = w.total("g", f"Both together, in g: {n(wax)} + {n(oil)}", wax, oil)
    w.step("pct", f"The wax's share of that: {n(wax)} ÷ {n(whole)}", wax / whole)


# --- 11.5: tins -----------------------------------------------------------------------------------------------------


def _room(f: Figures) -> float:
    return bare(preserving.salve_volume, f.x, f.o, f.d, _SALVE)


def _tins(f: Figures) -> int:
    return int(plainly(preserving.whole_tins, _room(f), f.tin))


def _clear_of_whole(f: Figures) -> bool:
    """So far from a whole tin that steps rounded on the way count the same."""
    part = _room(f) / f.tin % 1
    return 0.15 < part < 0.85 and 0.1 <= f.x / (f.x + f.o * f.d) <= 0.26


def _tins_said(f: Figures, x: float) -> str:
    return f"{x:.0f} tins of {mL(f.tin)} hold {mL(x * f.tin)}, and there is {mL(_room(f))} of salve."


def _tins_way(f: Figures, w: Walk) -> None:
    oil = w.step("g", f"What the oil weighs, in g: {n(f.d)} × {n(f.o)}", f.d * f.o)
    whole = w.total("g", f"With the wax, in g: {n(oil)} + {n(f.x)}", oil, f.x)
    room = w.step("mL", f"Its room when cooled, in mL: {n(whole)} ÷ 0.93", whole / _SALVE)
    tins = w.step("", f"Tins: {n(room)} ÷ {n(f.tin)}", room / f.tin)
    w.whole(f"Rounded down: {n(tins)}, so", math.floor(tins), "tins")


# --- 11.6: keep, or not ---------------------------------------------------------------------------------------------

_DRY, _EATEN, _SKIN = 0, 1, 2
_WHAT = (
    "It is for salads, and stands on the kitchen shelf",
    "It is for salads, and stands on the kitchen shelf",
    "It is for the skin alone, and at the bottom lie small droplets",
)


def _left(f: Figures) -> float:
    """g that the tray weighs when it goes under oil."""
    solids = f.m * (1 - f.w)
    target = (8 if f.case == _DRY else 44 + 4 * f.more) / 100
    return float(round(solids / (1 - target)))


def _keep_way(f: Figures, w: Walk) -> None:
    share = w.step("pct", f"Solids, their share of the fresh plant: 100 − {n(100 * f.w)}", 1 - f.w)
    solids = w.step("g", f"Solids, which stay, in g: {n(share)} × {n(f.m)}", share * f.m)
    now = w.step("pct", f"Their share of what is left: {n(solids)} ÷ {n(_left(f))}", solids / _left(f))
    w.step("pct", f"So the water's share: 100 − {n(100 * now)}", 1 - now)
    w.say(f"Beside the 10 % of the question, and with what it is for: ⟦{w.letter(int(f.case))}⟧")


def _under(f: Figures) -> str:
    water = _left(f) - f.m * (1 - f.w)
    return f"Of the {g(_left(f))} that went under oil, {g(water)} was water: {pct(water / _left(f))}."


def _boiled(f: Figures) -> str:
    return f"{_under(f)} Boiling water leaves the spores alive, and hot oil with water in it spits and burns."


ITEMS = (
    Ask(
        11,
        1,
        "sum",
        f"{{m}} of fresh calendula, {{w}} water, wilts on a tray until it weighs {{d}}. Only water has left. "
        f"How much of what lies there now is water, in %? {METRIC}",
        (grid("m", "g", 100, 600, 10), grid("w", "percent_wb", 74, 88), grid("d", "g", 30, 400, 5)),
        MOISTURE,
        _wilted,
        allowed=_wilts,
        mistakes=(
            mistake(
                "m650",
                "Takes the weight that went off the percentage",
                "Both are shares, but of which weight? What weighs the same on both days?",
                lambda f: 100 * (f.w - (f.m - f.d) / f.m),
                so=_solids_said,
            ),
            mistake(
                "m651",
                "Thinks that plant and water shrink alike, so that the share stays",
                "What has left the tray, and what has stayed?",
                lambda f: 100 * f.w,
                so=_solids_said,
            ),
            mistake(
                "m652",
                "Gives the share of its water that went",
                "That is how much of the water has gone. How much of what is left is water?",
                lambda f: 100 * (f.m - f.d) / (f.m * f.w),
                so=_solids_said,
            ),
            mistake(
                "m653",
                "Gives the share of solids",
                "That is what stays when all the water has gone. What is the rest?",
                lambda f: 100 * f.m * (1 - f.w) / f.d,
                so=_solids_said,
            ),
        ),
        path=_wilting_way,
        other_paths=(_wilting_by_water,),
        forwards="Take your share of the weight now as water: is the rest as much as the solids of the fresh plant?",
    ),
    Ask(
        11,
        2,
        "sum",
        f"{{m}} of dried calendula goes under oil at {{r}}. {_POURED} You have no jug and pour on the scale. "
        f"This oil weighs {{d}}. How many g of oil do you pour? {METRIC}",
        (grid("m", "g", 40, 200, 5), grid("r", "mL/g", 5, 10), _OILS),
        WEIGHT,
        _oil_weighs,
        mistakes=(
            mistake(
                "m654",
                "Takes the mL of oil for g",
                "That many mL, yes. Does a mL of oil weigh 1 g?",
                lambda f: f.m * f.r,
                so=_oil_said,
            ),
            mistake(
                "m655",
                "Divides by what a mL weighs",
                "Is oil lighter or heavier than water? So are there more g than mL, or fewer?",
                lambda f: f.m * f.r / f.d,
                so=_oil_said,
            ),
            mistake(
                "m656",
                "Counts the herb as one of the parts",
                "The first number is the herb. Is it a part of the oil as well?",
                lambda f: f.m * (f.r - 1) * f.d,
                so=_oil_said,
            ),
            mistake(
                "m657",
                "Turns the ratio round",
                "Is there more herb in the jar than oil, or less?",
                lambda f: f.m / f.r * f.d,
                so=_oil_said,
            ),
        ),
        path=_oil_way,
        forwards="Turn your g of oil into mL, and divide by the g of herb: is it the ratio?",
    ),
    Ask(
        11,
        3,
        "sum",
        "{m} of dried elderflower has stood in {V} of oil. Wrung in a cloth, the marc keeps {k}. The oil stands "
        f"overnight; you pour off the clear, and leave {{low}} with the dregs. How many mL of clear oil? {METRIC}",
        (
            grid("m", "g", 40, 150, 5),
            grid("V", "mL", 300, 1200, 10),
            one_of("k", "mL/g", 12, 15, 18, 20, 25, over=10),
            grid("low", "mL", 20, 50, 5),
        ),
        VOLUME,
        _clear_oil,
        allowed=lambda f: 5 <= f.V / f.m <= 10 and f.low < 0.7 * f.k * f.m,
        mistakes=(
            mistake(
                "m658",
                "Forgets what the marc keeps",
                "Wring a cloth of herb as hard as you can. Is it dry then?",
                lambda f: f.V - f.low,
                so=_clear_said,
            ),
            mistake(
                "m659",
                "Forgets what stays with the dregs",
                "Is all that was wrung out poured off clear?",
                lambda f: f.V - f.k * f.m,
                so=_clear_said,
            ),
            mistake(
                "m660",
                "Takes off the weight of the herb",
                "Is it the herb that is missing from the bottle, or what each gram of it holds on to?",
                lambda f: f.V - f.m - f.low,
                so=_clear_said,
            ),
        ),
        path=_clear_way,
        forwards="Add to your mL what the marc keeps and what is left with the dregs: is it what you poured?",
    ),
    Ask(
        11,
        4,
        "sum",
        f"{{x}} of beeswax on the scale is melted in a water bath into {{o}} of calendula oil from the jug. The oil "
        f"weighs {{d}}. How much of the salve's weight is wax, in %? {KITCHEN}",
        (
            one_of("x", "oz", 2, 3, 4, 5, 6, 8, 10, over=4),
            grid("o", "fl_oz", 4, 32),
            one_of("d", "g/mL", 905, 910, 915, over=1000),
        ),
        SHARE,
        _wax_share,
        allowed=lambda f: 8 <= f.o / f.x <= 16,
        mistakes=(
            mistake(
                "m88",
                "Takes the fl oz of the oil for oz",
                "Which of the two was weighed? Do so many fl oz of oil weigh as many oz?",
                _by_number,
                so=_wax_said,
            ),
            mistake(
                "m661",
                "Divides the wax by the oil alone",
                "Is the salve the oil alone, or the oil and the wax?",
                lambda f: 100 * f.x * G_PER_OZ / (f.o * ML_PER_FL_OZ * f.d),
                so=_wax_said,
            ),
            mistake(
                "m662",
                "Gives the share of the oil",
                "That is the oil. Which part is the wax?",
                lambda f: 100 - _wax_share(f),
                so=_wax_said,
            ),
        ),
        path=_wax_way,
        forwards="Take your share of the weight of both: is it the wax that went in?",
    ),
    Ask(
        11,
        5,
        "sum",
        f"{{x}} of beeswax is melted in a water bath into {{o}} of herb oil, which weighs {{d}}. Cooled, 1 mL of the "
        f"salve weighs 0.93 g (0.97 oz for each fl oz; common practice). How many whole tins of {{tin}} does it "
        f"fill? {BY_METRIC}",
        (
            grid("x", "g", 40, 250, 5),
            grid("o", "mL", 300, 900, 10),
            _OILS,
            one_of("tin", "mL", 15, 20, 25, 30),
        ),
        TINS,
        _tins,
        allowed=_clear_of_whole,
        mistakes=(
            mistake(
                "m663",
                "Rounds up what one may promise",
                "Is the last tin full? May you promise it to somebody?",
                lambda f: _tins(f) + 1,
                so=_tins_said,
            ),
            mistake(
                "m664",
                "Forgets that the wax takes room",
                "The oil is in the tins. Where has the wax gone?",
                lambda f: math.floor(f.o / f.tin),
                so=_tins_said,
            ),
            mistake(
                "m665",
                "Takes the g of the salve for mL",
                "A tin holds mL. How many mL is so much weight of salve?",
                lambda f: math.floor((f.x + f.o * f.d) / f.tin),
                so=_tins_said,
            ),
        ),
        path=_tins_way,
        forwards="Your number of tins, times what one holds: is there so much salve, and less than one tin more?",
    ),
    Ask(
        11,
        6,
        "choice",
        f"{{m}} of fresh calendula, {{w}} water, lay on a tray until it weighed {{left}}. It has been under oil "
        f"for a week. {{what}}. Count as dry what holds 10 % water or less. What do you do? {BY_METRIC}{_WHY}",
        (
            grid("m", "g", 150, 500, 10),
            one_of("w", "percent_wb", 75, 80, 84),
            case(3),
            situation("more", 5),
        ),
        also={
            "left": lambda f: g(_left(f)),
            "what": lambda f: _WHAT[int(f.case)],
            "does": lambda f: ("keeping it", "not keeping it", "pouring it off the water")[int(f.case)],
            "because": lambda f: (
                "dry herb leaves no water in the oil",
                "botulism grows in water that lies under oil",
                "the water has sunk, and clear oil is without it",
            )[int(f.case)],
        },
        options=(
            Option(
                "Strain it and keep it: the herb went under the oil dry enough.",
                "The solids stay the same. What share of that tray was water when it went in?",
                "m666",
                "Takes wilted for dry",
                _under,
            ),
            Option(
                "Throw it away: it stood warm with water in it, and was for eating.",
                "What share of that tray was water, and what is this oil for?",
                "m667",
                "Throws away an oil that has no water in it, or is not for eating",
                _under,
            ),
            Option(
                "Pour the clear oil off the water, keep it cold, label it for skin.",
                "Was there water to pour off? And is this oil for the skin?",
                "m668",
                "Pours water off an oil that has none, or that is to be eaten",
                _under,
            ),
            Option(
                "Keep it as it is: oil lets no air in, so nothing can live there.",
                "Botulism grows just where no air comes. What else does it need?",
                "m669",
                "Thinks that oil keeps because it shuts out the air",
                _under,
            ),
            Option(
                "Boil it up for a minute, and then keep it on the shelf as before.",
                "What do the spores of botulism do at the heat of boiling water?",
                "m670",
                "Thinks that boiling makes it keep",
                _boiled,
            ),
        ),
        answer=lambda f: int(f.case),
        points=(
            "It names {does}.",
            "It gives a number: the share of water that went under the oil.",
            "It says that {because}.",
        ),
        path=_keep_way,
    ),
)
