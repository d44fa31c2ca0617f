"""Floor 4. Lesson 8: drip by drip."""

from __future__ import annotations

import math

from herbcalc import percolation
from herbcalc.homework.blueprint import HOURS, SHARE, VOLUME, Ask, Figures, Want, grid, mistake, one_of, situation
from herbcalc.homework.wording import METRIC, OUNCES, exact, g, mL, pct, three

_K = one_of("k", "mL/g", 8, 10, 12, 15, 16, 18, 20, over=10)
_HALF = 0.416  # mL for each g; one halving of the plain washing curve, 0.6 x ln 2
_CURVE = _HALF / math.log(2)
_TAP = Want(
    ("count",),
    "",
    "drops a minute",
    drop=r"\s*\bdrops?\b|\s*(?:/|\bper\b|\ba\b|\beach\b|\bevery\b)\s*min(?:ute)?s?\.?$",
)
_FIRE = "Keep spirit away from flames and from anything that sparks, and do not leave it dripping near either."
_HALVING = (
    f"Count it so: each {_HALF} mL for each g (about {_HALF / OUNCES:.1f} fl oz for each oz) that has dripped "
    "through takes out half of the extract that was still in the herb."
)
_WANTED = {2: "three quarters", 3: "seven eighths", 4: "fifteen sixteenths"}


def _ready(f: Figures, x: float) -> str:
    out = x - f.k * f.m
    if out <= 0:
        return f"Of {mL(x)} nothing would drip: the herb itself holds {mL(f.k * f.m)}."
    return f"Of {mL(x)} the herb keeps {mL(f.k * f.m)}, so {mL(out)} would drip through, and you want {mL(f.F)}."


def _hours(f: Figures, x: float) -> str:
    return f"In {three(x)} hours at that tap {mL(x * 60 * f.d / f.n)} drip through, and you want {mL(f.F)}."


def _tap(f: Figures, x: float) -> str:
    hours = f.F * f.n / x / 60
    long = f"{three(hours)} hours" if hours >= 0.1 else f"{three(60 * hours)} minutes"
    return f"At {three(x)} drops a minute it would take {long}, and there are {exact(f.time)}."


def _bed(f: Figures) -> float:
    return float(percolation.bed_fits.plain(f.m, 1e6, f.packed).bed.magnitude)


def _cone(f: Figures, x: float) -> str:
    filled = _bed(f) / x
    if abs(filled - 1) < 0.02:
        return f"A cone of {mL(x)} would be full of powder to the rim, with no room for menstruum above it."
    if filled > 1:
        return f"A cone of {mL(x)} is smaller than the packed powder, {mL(_bed(f))}."
    return f"A cone of {mL(x)} would be {pct(filled)} full of powder, and two thirds is {pct(2 / 3)}."


def _washed(f: Figures) -> float:
    return 100 * float(percolation.share_after.plain(f.F / f.m, _CURVE))


def _washed_said(f: Figures, x: float) -> str:
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


def _line_by_line(f: Figures) -> list[str]:
    """The worked path: what comes of each line, then the three letters."""
    why = dict(zip(_FAULTS, _SPOILT, strict=True))
    said = [f"spoils it: {why[line]}" if line in why else "does it good" for line in _set_up(f)]
    each = [f"{letter}) ⟦{words}⟧" for letter, words in zip("abcdef", said, strict=True)]
    return [*each, f"So the three are ⟦{' '.join(_three_letters(f))}⟧"]


def _three_letters(f: Figures) -> str:
    return "".join("abcdef"[place] for place in _THREES[int(f.places)])


def _not_at_odds(f: Figures) -> bool:
    """No set-up that says a thing and its opposite (dry and dampened, packed hard and lightly, and so on)."""
    odd = {(0, 0), (1, 1), (3, 4), (4, 2)}
    return not any((a, b) in odd for a in _THREES[int(f.faults)] for b in _THREES[int(f.sound)])


ITEMS = (
    Ask(
        8,
        1,
        "sum",
        f"You percolate {{m}} of dried, ground rosehips until {{F}} has dripped through. The marc keeps "
        f"{{k}}. How much menstruum must you have ready, in mL? {METRIC} {_FIRE}",
        (grid("m", "g", 50, 250, 10), grid("F", "mL", 200, 1250, 10), _K),
        VOLUME,
        lambda f: float(percolation.menstruum_needed.plain(f.m, f.F, f.k)),
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
        path=lambda f: [
            f"The herb keeps {exact(f.k)} times {exact(f.m)}: ⟦{mL(f.k * f.m)}⟧",
            f"That and the {mL(f.F)} that drip through: ⟦{mL(f.F + f.k * f.m)}⟧",
        ],
        forwards="Take what the herb keeps off your menstruum: does what is left fill the bottle?",
    ),
    Ask(
        8,
        2,
        "sum",
        f"Before packing, {{m}} of powder is dampened with menstruum: {{per_g}}. How many mL is that? {METRIC}",
        (grid("m", "g", 50, 400, 10), grid("per_g", "mL/g", 30, 90, 5, 100)),
        VOLUME,
        lambda f: float(percolation.moistening.plain(f.m, f.per_g)),
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
        path=lambda f: [
            f"{g(100)} of powder takes ⟦{mL(100 * f.per_g)}⟧",
            f"{g(f.m)} takes ⟦{mL(f.m * f.per_g)}⟧",
        ],
        forwards="Divide your mL by the grams of powder: is it the mL for each g?",
    ),
    Ask(
        8,
        3,
        "sum",
        "{F} of percolate are wanted. The tap is set to {d}, and this liquid was counted: {n}. How many hours "
        "does it drip? "
        f"{METRIC} {_FIRE}",
        (grid("F", "mL", 200, 800, 10), grid("d", "1/min", 15, 60), grid("n", "1/mL", 28, 42)),
        HOURS,
        lambda f: float(percolation.running_time.plain(f.F, f.d, f.n)),
        mistakes=(
            mistake(
                "m66",
                "Takes 20 drops to the mL, as for water",
                "Twenty is a count for water. How many drops of this liquid were counted?",
                lambda f: f.F * 20 / f.d / 60,
                so=_hours,
            ),
            mistake(
                "m67",
                "Counts each mL as one drop",
                "Is a mL one drop, or many?",
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
        path=lambda f: [
            f"Drops in all: {exact(f.F)} times {exact(f.n)} is ⟦{exact(f.F * f.n)} drops⟧",
            f"At {exact(f.d)} a minute that takes ⟦{three(f.F * f.n / f.d)} minutes⟧",
            f"In hours: divide by 60, ⟦{three(f.F * f.n / f.d / 60)} h⟧",
        ],
        forwards="How many drops fall in your hours, and how many mL are they?",
    ),
    Ask(
        8,
        4,
        "sum",
        "{F} of percolate must be through in {time}, and this liquid was counted: {n}. How many drops a minute "
        "must the tap "
        f"give? {METRIC} {_FIRE}",
        (grid("F", "mL", 200, 800, 10), grid("time", "hour", 6, 20), grid("n", "1/mL", 28, 42)),
        _TAP,
        lambda f: float(percolation.drops_per_minute.plain(f.F, f.time, f.n)),
        allowed=lambda f: 10 <= f.F * f.n / f.time / 60 <= 80,
        mistakes=(
            mistake(
                "m163",
                "Takes 20 drops to the mL, as for water",
                "Twenty is a count for water. How many drops of this liquid were counted?",
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
            mistake(
                "m165",
                "Counts each mL as one drop",
                "Is a mL one drop, or many?",
                lambda f: f.F / f.time / 60,
                so=_tap,
            ),
        ),
        path=lambda f: [
            f"Drops in all: {exact(f.F)} times {exact(f.n)} is ⟦{exact(f.F * f.n)} drops⟧",
            f"Minutes there are: {exact(f.time)} times 60 is ⟦{exact(f.time * 60)} minutes⟧",
            f"Drops for each minute: ⟦{three(f.F * f.n / f.time / 60)}⟧",
        ],
        forwards="How long would the tap need at your drops a minute?",
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
        path=lambda f: [
            f"Room for the powder: {exact(f.m)} divided by {exact(f.packed)} is ⟦{mL(f.m / f.packed)}⟧",
            "That is two thirds of the cone; the whole is one and a half times as much: "
            f"⟦{mL(1.5 * f.m / f.packed)}⟧",
        ],
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
        allowed=lambda f: 0.5 <= f.F / f.m / _HALF <= 4.3,
        mistakes=(
            mistake(
                "m169",
                "Lets every halving take out half of everything",
                "After the first half is out, does the next halving take half of everything, or half of the rest?",
                lambda f: 50 * f.F / f.m / _HALF,
                so=_washed_said,
            ),
            mistake(
                "m170",
                "Gives the share that is still in the herb",
                "Is that what is in the bottle, or what is still in the cone?",
                lambda f: 100 * 0.5 ** (f.F / f.m / _HALF),
                so=_washed_said,
            ),
        ),
        path=lambda f: [
            f"Dripped through, for each g of powder: {exact(f.F)} divided by {exact(f.m)} is "
            f"⟦{three(f.F / f.m)}⟧ mL (about {three(f.F / f.m / OUNCES)} fl oz for each oz)",
            f"Halvings: divide by {_HALF}, ⟦{three(f.F / f.m / _HALF)}⟧",
            f"Still in the herb: one half, that many times over, ⟦{pct(0.5 ** (f.F / f.m / _HALF))}⟧",
            f"So out: ⟦{pct(1 - 0.5 ** (f.F / f.m / _HALF))}⟧",
        ],
        forwards="How many halvings is it? One gives 50 %, two give 75 %, three give 87.5 %.",
    ),
    Ask(
        8,
        7,
        "sum",
        f"{{m}} of powder is percolated, and you stop as soon as {{wanted}} of the extract is out. {_HALVING} "
        f"After how many mL do you stop? {METRIC}",
        (grid("m", "g", 60, 400, 10), situation("step", 3)),
        VOLUME,
        lambda f: f.m * float(percolation.stop_at.plain(1 - 0.5 ** _halvings(f), _CURVE)),
        also={"wanted": lambda f: _WANTED[_halvings(f)]},
        mistakes=(
            mistake(
                "m171",
                "Lets every halving take out half of everything",
                "After the first half is out, does the next halving take half of everything, or half of the rest?",
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
        path=lambda f: [
            f"One half, three quarters, seven eighths, fifteen sixteenths: that takes ⟦{_halvings(f)} halvings⟧",
            f"One halving for {g(f.m)} is {_HALF} times {exact(f.m)}: ⟦{mL(_HALF * f.m)}⟧",
            f"{_halvings(f)} of them: ⟦{mL(_HALF * f.m * _halvings(f))}⟧",
        ],
        forwards="How many halvings is your volume, and what share do they take out?",
    ),
    Ask(
        8,
        8,
        "choice",
        "Somebody sets up a percolator. Three of the six lines will spoil it. Which three? Type their letters, "
        "such as a b c. (Say for yourself, of each: what will go amiss?)",
        (situation("faults", 20), situation("sound", 20), situation("places", 20)),
        allowed=_not_at_odds,
        lines=_set_up,
        answer=_three_letters,
        path=_line_by_line,
        forwards="Ask of each line: can the menstruum go through all of the powder, slowly and evenly?",
    ),
)
