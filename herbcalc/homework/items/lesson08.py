"""Floor 4. Lesson 8: drip by drip."""

from __future__ import annotations

import math

from herbcalc import percolation
from herbcalc.homework.blueprint import (
    HOURS,
    SHARE,
    VOLUME,
    Ask,
    Figures,
    Near,
    Want,
    bare,
    case,
    grid,
    mistake,
    one_of,
    plainly,
    situation,
)
from herbcalc.homework.shared_slips import (
    A_ML_IS_A_DROP,
    DROPS_OF_WATER,
    EACH_HALVING_HALF_OF_ALL,
    SHARE_STILL_IN_THE_HERB,
)
from herbcalc.homework.walk import Walk, between_halvings, halvings_way, together
from herbcalc.homework.wording import METRIC, g, g100, mL, pct, three
from herbcalc.homework.wording import exact as n
from herbcalc.units import Q
from herbcalc.units.constants import FL_OZ_PER_OZ

_K = one_of("k", "mL/g", 8, 10, 12, 15, 16, 18, 20, over=10)
_HALF = 0.416  # mL for each g; one halving of the plain washing curve, 0.6 x ln 2
_CURVE = _HALF / math.log(2)
_TAP = Want(
    ("count",),
    "",
    "drops a minute",
    drop=r"\s*(?<![^\W\d_])(?:drops?|tropfen|gotas?|dpm|d(?=/min))\b"
    r"|\s*(?:/|\b(?:per|pro|por|je|in a|a|each|every)\b)\s*min(?:ut[aeo])?s?\b\.?",
)
_FIRE = "Keep spirit away from heat, and never let it drip near flames or sparks."
_HALVING = (
    f"By a model, here every {_HALF} mL for each g (about {_HALF / FL_OZ_PER_OZ:.1f} fl oz for each oz) "
    f"washes out half of "
    "what is left."
)
_WANTED = {2: "three quarters", 3: "seven eighths", 4: "fifteen sixteenths"}


def _ready(f: Figures, x: float) -> str:
    out = x - f.k * f.m
    if out <= 0:
        return f"Of {mL(x)} nothing would drip: the herb itself holds {mL(f.k * f.m)}."
    through = together("mL", x, -f.k * f.m)
    return f"Of {mL(x)} the herb keeps {mL(f.k * f.m)}, so {through} would drip through, and you want {mL(f.F)}."


def _hours(f: Figures, x: float) -> str:
    return f"In {three(x)} hours at that tap {mL(x * 60 * f.d / f.n)} drip through, and you want {mL(f.F)}."


def _tap(f: Figures, x: float) -> str:
    hours = f.F * f.n / x / 60
    long = f"{three(hours)} hours" if hours >= 0.1 else f"{three(60 * hours)} minutes"
    return f"At {three(x)} drops a minute it would take {long}, and there are {n(f.time)}."


def _by_the_books(f: Figures, drops: float) -> bool:
    """A tap of so many drops a minute that is neither slower nor quicker than the books for a 1:5 of this size."""
    books = ("slow", "moderate", "quick")
    return drops >= 3 and percolation.flow_band(Q(f.F / 5, "g"), Q(drops / f.n, "mL/min")) in books


def _bed(f: Figures) -> float:
    return float(plainly(percolation.bed_fits, f.m, 1e6, f.packed).bed.magnitude)


def _cone(f: Figures, x: float) -> str:
    filled = _bed(f) / x
    if abs(filled - 1) < 0.02:
        return f"A cone of {mL(x)} would be full of powder to the rim, with no room for menstruum above it."
    if filled > 1:
        return f"A cone of {mL(x)} is smaller than the packed powder, {mL(_bed(f))}."
    return f"A cone of {mL(x)} would be {pct(filled)} full of powder, and two thirds is {pct(2 / 3)}."


def _washed(f: Figures) -> float:
    return 100 * bare(percolation.share_after, f.F / f.m, _CURVE)


def _washed_said(_: Figures, x: float) -> str:
    if x >= 100:
        return "With that sum there would be nothing left in the herb at all; each halving leaves a half."
    return f"With that sum {three(100 - x)} % of the extract would still sit in the herb when you stop."


def _halvings(f: Figures) -> int:
    return int(f.step) + 2


def _stop_said(f: Figures, x: float) -> str:
    out = 1 - 0.5 ** (x / f.m / _HALF)
    return f"After {mL(x)} the share that is out would be {pct(out)}."


_FAULTS = (
    "Fresh juicy leaf goes in, chopped with a knife.",
    "The powder is packed bone dry and the menstruum is poured on top at once.",
    "The tap is opened at once, as soon as the menstruum is on, with no standing.",
    "The menstruum is let sink below the top of the powder, so that the bed runs dry and cracks.",
    "The powder is rammed in as hard as an arm can push, the bottom layer hardest of all.",
    "The cone is filled with powder right up to the rim.",
)
_SOUND = (
    "The herb is dried and ground to an even, coarse powder.",
    "The powder is first dampened until it clumps like moist sand, and rests under a cover.",
    "It is packed layer by layer, evenly, with a light hand.",
    "A disc of filter paper with a clean pebble on it lies on top of the powder.",
    "A layer of menstruum stands above the powder all the while.",
    "The drops are counted by the minute, and the tap is set slow.",
)
_SPOILT = (
    "its juice closes the bed, and nothing runs through evenly",
    "dry powder swells in the cone and wedges tight",
    "the first liquid runs off before it has drawn much",
    "air gets in, and the menstruum runs down the cracks, past the powder",
    "packed that hard, hardly a drop comes through",
    "wet powder swells over the rim, and no menstruum can stand on top",
)
# All ways of choosing three of six, and of placing three among six, in an order that every machine agrees on.
_THREES = [(a, b, c) for a in range(6) for b in range(a + 1, 6) for c in range(b + 1, 6)]


def _set_up(f: Figures) -> list[str]:
    faults = [_FAULTS[n] for n in _THREES[int(f.faults)]]
    sound = [_SOUND[n] for n in _THREES[int(f.sound)]]
    places = _THREES[int(f.places)]
    return [faults.pop(0) if place in places else sound.pop(0) for place in range(6)]


def _three_letters(f: Figures) -> str:
    return "".join("abcdef"[place] for place in _THREES[int(f.places)])


def _not_at_odds(f: Figures) -> bool:
    """No set-up that says a thing and its opposite (dry and dampened, packed hard and lightly, and so on)."""
    odd = {(0, 0), (1, 1), (3, 4), (4, 2)}
    return not any((a, b) in odd for a in _THREES[int(f.faults)] for b in _THREES[int(f.sound)])


def _ready_way(f: Figures, w: Walk) -> None:
    keeps = w.step("mL", f"What the herb keeps, in mL: {n(f.k)} × {n(f.m)}", f.k * f.m)
    w.total("mL", f"With what is to drip through, in mL: {n(f.F)} + {n(keeps)}", f.F, keeps)


def _dampening_way(f: Figures, w: Walk) -> None:
    each = w.step("mL", f"What {g100()} of powder takes, in mL: {n(f.per_g)} × 100", 100 * f.per_g)
    hundreds = w.step("", f"How many hundreds of g there are: {n(f.m)} ÷ 100", f.m / 100)
    w.step("mL", f"For all of it, in mL: {n(hundreds)} × {n(each)}", hundreds * each)


def hours_way(f: Figures, w: Walk) -> None:
    drops = w.step("drops", f"Drops in all: {n(f.F)} × {n(f.n)}", f.F * f.n)
    minutes = w.step("min", f"At {n(f.d)} a minute: {n(drops)} ÷ {n(f.d)}", drops / f.d)
    w.step("h", f"In hours: {n(minutes)} ÷ 60", minutes / 60)


def _tap_way(f: Figures, w: Walk) -> None:
    drops = w.step("drops", f"Drops in all: {n(f.F)} × {n(f.n)}", f.F * f.n)
    minutes = w.step("min", f"Minutes there are: {n(f.time)} × 60", f.time * 60)
    w.step("", f"Drops for each minute: {n(drops)} ÷ {n(minutes)}", drops / minutes)


def _cone_way(f: Figures, w: Walk) -> None:
    powder = w.step("mL", f"Room for the powder, in mL: {n(f.m)} ÷ {n(f.packed)}", f.m / f.packed)
    third = w.step("mL", f"That is two thirds of the cone. One third, in mL: {n(powder)} ÷ 2", powder / 2)
    w.total("mL", f"The whole cone, in mL: {n(powder)} + {n(third)}", powder, third)


def _washing_way(f: Figures, w: Walk) -> None:
    each = w.step("each", f"Dripped through for each g of powder: {n(f.F)} ÷ {n(f.m)}", f.F / f.m)
    halvings_way(w.step("", f"How many halvings: {n(each)} ÷ {_HALF}", each / _HALF), w)


def _stopping_way(f: Figures, w: Walk) -> None:
    w.say(f"One half, three quarters, seven eighths, fifteen sixteenths: that takes ⟦{_halvings(f)} halvings⟧")
    one = w.step("mL", f"One halving of this powder, in mL: {_HALF} × {n(f.m)}", _HALF * f.m)
    w.step("mL", f"All of them, in mL: {_halvings(f)} × {n(one)}", _halvings(f) * one)


def _line_by_line(f: Figures, w: Walk) -> None:
    """What comes of each line, then the three letters."""
    why = dict(zip(_FAULTS, _SPOILT, strict=True))
    for letter, line in zip("abcdef", _set_up(f), strict=True):
        w.say(f"{letter}) ⟦{f'spoils it: {why[line]}' if line in why else 'does it good'}⟧")
    w.say(f"So the three are ⟦{' '.join(_three_letters(f))}⟧")


ITEMS = (
    Ask(
        8,
        1,
        "sum",
        f"You percolate {{m}} of dried, ground elecampane root until {{F}} has dripped through. The marc keeps "
        f"{{k}}. How much menstruum must you have ready, in mL? {METRIC} {_FIRE}",
        (grid("m", "g", 50, 250, 10), grid("F", "mL", 200, 1250, 10), _K),
        VOLUME,
        lambda f: bare(percolation.menstruum_needed, f.m, f.F, f.k),
        allowed=lambda f: 2.5 <= f.F / f.m <= 8,
        mistakes=(
            mistake(
                "m63",
                "Has ready only what is to come out",
                "Before the first drop falls, what must the herb be full of?",
                lambda f: f.F,
                so=_ready,
            ),
            mistake(
                "m64",
                "Takes off what the marc keeps, as for a soak",
                "Is your number of mL what goes in, or what is to come out?",
                lambda f: f.F - f.k * f.m,
                so=_ready,
            ),
            mistake(
                "m65",
                "Multiplies the volume by what a gram keeps",
                "That many mL are kept for each gram. Of herb, or of liquid?",
                lambda f: f.F * f.k,
                so=_ready,
            ),
        ),
        path=_ready_way,
        forwards="Take what the herb keeps off your menstruum: does what is left fill the bottle?",
    ),
    Ask(
        8,
        2,
        "sum",
        f"Before packing, {{m}} of powder is dampened with menstruum: {{per_g}}. How many mL is that? {METRIC}",
        (grid("m", "g", 50, 400, 10), grid("per_g", "mL/g", 30, 90, 5, 100)),
        VOLUME,
        lambda f: bare(percolation.moistening, f.m, f.per_g),
        mistakes=(
            mistake(
                "m160",
                "Divides instead of multiplying",
                "So much for each gram. Do a hundred grams need more than one gram does, or less?",
                lambda f: f.m / f.per_g,
                so=lambda f, x: f"{mL(x)} on {g(f.m)} of powder would make soup, not damp sand.",
            ),
            mistake(
                "m161",
                "Gives as many mL as there are grams",
                "Does each gram take a whole mL here?",
                lambda f: f.m,
                so=lambda f, x: f"{mL(x)} on {g(f.m)} of powder is wetter than you want: it would be mud.",
            ),
        ),
        path=_dampening_way,
        forwards="Divide your mL by the grams of powder: is it the mL for each g?",
        edition=2,
    ),
    Ask(
        8,
        3,
        "sum",
        "{F} of percolate are wanted. The tap is set to {d}, and this liquid was counted: {n}. How many hours "
        "does it drip? "
        f"{METRIC} {_FIRE}",
        (grid("F", "mL", 200, 800, 10), grid("d", "1/min", 3, 24), grid("n", "1/mL", 28, 42)),
        HOURS,
        lambda f: bare(percolation.running_time, f.F, f.d, f.n),
        allowed=lambda f: _by_the_books(f, f.d),
        mistakes=(
            DROPS_OF_WATER.on(
                "m66",
                lambda f: f.F * 20 / f.d / 60,
                so=_hours,
            ),
            A_ML_IS_A_DROP.on(
                "m67",
                lambda f: f.F / f.d / 60,
                so=_hours,
            ),
            mistake(
                "m162",
                "Gives the minutes as hours",
                "The tap is counted by the minute. How many of those make an hour?",
                lambda f: f.F * f.n / f.d,
                so=_hours,
            ),
        ),
        path=hours_way,
        forwards="How many drops fall in your hours, and how many mL are they?",
        edition=2,
    ),
    Ask(
        8,
        4,
        "sum",
        "{F} of percolate must be through in {time}, and this liquid was counted: {n}. How many drops a minute "
        "must the tap "
        f"give? {METRIC} {_FIRE}",
        (grid("F", "mL", 200, 800, 10), grid("time", "hour", 18, 80), grid("n", "1/mL", 28, 42)),
        _TAP,
        lambda f: bare(percolation.drops_per_minute, f.F, f.time, f.n),
        allowed=lambda f: _by_the_books(f, f.F * f.n / f.time / 60),
        mistakes=(
            DROPS_OF_WATER.on(
                "m163",
                lambda f: f.F * 20 / f.time / 60,
                so=_tap,
            ),
            mistake(
                "m164",
                "Gives drops an hour",
                "That is what falls in an hour. How many minutes does an hour have?",
                lambda f: f.F * f.n / f.time,
                so=_tap,
            ),
            A_ML_IS_A_DROP.on(
                "m165",
                lambda f: f.F / f.time / 60,
                so=_tap,
            ),
        ),
        path=_tap_way,
        forwards="How long would the tap need at your drops a minute?",
        edition=2,
    ),
    Ask(
        8,
        5,
        "sum",
        "{m} of powder packs to {packed}. The cone may be filled with powder two thirds full at most. How many "
        "mL must the "
        f"cone hold at the least? {METRIC}",
        (grid("m", "g", 60, 400, 10), grid("packed", "g/mL", 30, 50, 1, 100)),
        VOLUME,
        lambda f: _bed(f) * 1.5,
        mistakes=(
            mistake(
                "m166",
                "Leaves no room above the powder",
                "That is the powder. Which part of the cone may it fill?",
                lambda f: f.m / f.packed,
                so=_cone,
            ),
            mistake(
                "m167",
                "Takes two thirds of the powder's room",
                "Must the cone be bigger than the powder, or smaller?",
                lambda f: f.m / f.packed * 2 / 3,
                so=_cone,
            ),
            mistake(
                "m168",
                "Multiplies by the packing instead of dividing",
                "A mL holds less than a gram of powder. Do the grams need more mL than there are grams, or fewer?",
                lambda f: f.m * f.packed * 1.5,
                so=_cone,
            ),
        ),
        path=_cone_way,
        forwards="Take two thirds of your cone: does the powder just fill it?",
    ),
    Ask(
        8,
        6,
        "sum",
        f"{{F}} have dripped through {{m}} of powder. {_HALVING} What share of the extract is out, in %? {METRIC}",
        (grid("F", "mL", 40, 400, 10), grid("m", "g", 60, 250, 10)),
        SHARE,
        _washed,
        allowed=lambda f: 1 <= f.F / f.m / _HALF <= 4.3,
        near=(
            Near(
                lambda f: between_halvings(f.F / f.m / _HALF),
                "Near enough. A straight line between two halvings is a little under the curve.",
            ),
        ),
        mistakes=(
            EACH_HALVING_HALF_OF_ALL.on(
                "m169",
                lambda f: 50 * f.F / f.m / _HALF,
                so=_washed_said,
            ),
            SHARE_STILL_IN_THE_HERB.on(
                "m170",
                lambda f: 100 * 0.5 ** (f.F / f.m / _HALF),
                so=_washed_said,
                hint="Is that what is in the bottle, or what is still in the cone?",
            ),
        ),
        path=_washing_way,
        forwards="How many halvings is it? One gives 50 %, two give 75 %, three give 87.5 %.",
        edition=2,
    ),
    Ask(
        8,
        7,
        "sum",
        f"{{m}} of powder is percolated, and you stop as soon as {{wanted}} of the extract is out. {_HALVING} "
        f"After how many mL do you stop? {METRIC}",
        (grid("m", "g", 60, 400, 10), situation("step", 3)),
        VOLUME,
        lambda f: f.m * bare(percolation.stop_at, 1 - 0.5 ** _halvings(f), _CURVE),
        also={"wanted": lambda f: _WANTED[_halvings(f)]},
        mistakes=(
            EACH_HALVING_HALF_OF_ALL.on(
                "m171",
                lambda f: f.m * _HALF * 2 * (1 - 0.5 ** _halvings(f)),
                so=_stop_said,
            ),
            mistake(
                "m172",
                "Counts one halving too few",
                "Write the shares in a row: one half, three quarters, and so on. Which place does yours stand in?",
                lambda f: f.m * _HALF * (_halvings(f) - 1),
                so=_stop_said,
            ),
        ),
        path=_stopping_way,
        forwards="How many halvings is your volume, and what share do they take out?",
    ),
    Ask(
        8,
        8,
        "choice",
        "Somebody sets up a percolator. Three of the six lines will spoil it. Which three? Type their letters, "
        "such as a b c. (Say for yourself, of each: what will go amiss?)",
        (situation("faults", 20), situation("sound", 20), case(20, "places")),
        allowed=_not_at_odds,
        lines=_set_up,
        answer=_three_letters,
        path=_line_by_line,
        forwards="Ask of each line: can the menstruum go through all of the powder, slowly and evenly?",
        edition=2,
    ),
)
