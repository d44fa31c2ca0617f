"""Floor 5. Lesson 6: jar by eye, jar by weight. What a jar that was filled by eye holds, and what its ratio says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import maceration, menstruum
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, caution
from herbcalc.show.draw.shapes import Chart, Part, Place, halves, jar, stack
from herbcalc.show.lessons.lesson05 import verdict
from herbcalc.show.look import Look, Number, View, dial, pick, scenes
from herbcalc.show.words import apart, marks, one_to, vol
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible, OutOfRange
from herbcalc.units.saying import per_gram

LESSON = 6
TITLE = "Jar by eye, jar by weight"
QUESTION = "A jar is filled as it stands here. How strong is it in the end?"
GUESSES = ("as the spirit", "a bit weaker", "just over the floor", "under the floor")
CAUTION = FOOD_GRADE
STRONG_PLANTS = (
    "Plants whose useful and harmful amounts lie close together are never put up by eye, and are not in this course."
)

# Name and inside width, cm, of each jar by its volume in mL (US measures: NIST Handbook 44, Appendix C). The widths
# give a layer of 24 and 37 mL for each 1/4 inch; common practice, no source.
JARS = {473.176: ("pint jar", 6.9), 946.353: ("quart jar", 8.6)}
FILLED = {"brim": 1.0, "room": 0.9}
ROOM = 0.9  # a jar put up by weight is filled to nine tenths at most; common practice, no source
FRESH_PLANT = 0.95  # g for each mL of fresh plant; common practice, no source
DRY_SOLIDS = 1.4  # g for each mL of the solids of a dry plant; from memory
# g for each mL of the plant as it lies in the jar; common practice, no source.
LOOSE = {"fresh": 0.35, "leaf": 0.15, "root": 0.35}
WORDS = {"fresh": "fresh plant", "leaf": "dried leaf or flower", "root": "dried root or hips"}
TIGHT = 0.6  # g for each mL: no jar is packed tighter than that; common practice, no source
FRESH_1_TO_2, DRIED_1_TO_5 = 14.0, 51.0 / 9.0  # mL for each g of dry plant: at 80 % water, and dried to 10 %


@dataclass(frozen=True)
class Setting:
    """A jar as it is put up. Weights in g, jar in mL, ratio in mL for each g as weighed, strengths in % vol."""

    herb: float = dial(300, "g", low=20, high=600, step=5, label="Plant packed in", batch="herb")
    ratio: float = dial(2, "mL/g", low=0.5, high=10, step=0.1, label="Spirit", batch="ratio")
    empty: float = dial(430, "g", low=100, high=1500, step=1, label="Weight of the empty jar")
    with_herb: float = dial(730, "g", low=100, high=2500, step=1, label="Weight with the plant")
    with_all: float = dial(1330, "g", low=100, high=4000, step=1, label="Weight with the spirit too")
    water: float = dial(80, "percent_wb", low=5, high=95, step=1, label="Water in the plant", batch="water")
    spirit: float = dial(
        40, "percent_vol", low=20, high=96, step=0.5, label="Spirit poured on", batch="spirit", stops="shelf"
    )
    way: str = pick(
        "brim",
        {
            "brim": "by eye, to the brim",
            "room": "by eye, to nine tenths",
            "weight": "by weight, at a ratio",
            "weighed": "read afterwards, weighed three times",
        },
        label="How it was filled",
    )
    jar: float = pick(946.353, {volume: name for volume, (name, _) in JARS.items()}, label="Jar")
    state: str = pick("fresh", WORDS, label="In it")
    beside: str = pick(
        "strength", {"strength": "how strong it ends", "plant": "how much plant is in it"}, label="Beside the jar"
    )


SCENES = scenes("lesson06", Setting)


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting."""
    always = {"way", "jar", "state", "water", "spirit", "beside"}
    if setting.way == "weighed":
        return always | {"empty", "with_herb", "with_all"}
    return always | ({"herb", "ratio"} if setting.way == "weight" else {"herb"})


@dataclass(frozen=True)
class Packed:
    """The sums of one setting: g, mL, mL/g, % vol; strengths and limits by both rules. None: there is none."""

    herb: float
    body: float  # mL of the plant itself
    poured: float
    plant_water: float
    solids: float
    ratio: float
    strength: dict[str, float]
    most: dict[str, float | None]  # g of plant for the floor, or that fit, in a jar filled this way
    least: dict[str, float | None]  # mL/g for the floor
    finished: float | None
    dry: float
    pile: float
    layer: float
    covered: bool
    level: float  # mL the jar is filled to


def body_for(state: str, water: float) -> float:
    """mL that 1 g of plant takes up under the liquid: fresh by its usual weight, dried by its solids and water."""
    return 1 / FRESH_PLANT if state == "fresh" else (1 - water / 100) / DRY_SOLIDS + water / 100


def sums(s: Setting, rules: Rules) -> Packed:
    """Everything that the sentence, the numbers and the picture are made from. Refuses a jar with no room."""
    water, spirit = Q(float(s.water), "percent_wb"), Q(float(s.spirit), "percent_vol")
    floor = Q(float(rules.floor), "percent_vol")
    each = body_for(s.state, s.water)
    herb, poured = _weighed(s, water, spirit, floor) if s.way == "weighed" else _poured(s, each)
    strength, least, most = {}, {}, {}
    for rule in ("kitchen", "measured"):
        final = menstruum.final_strength(Q(herb, "g"), water, Q(poured, "mL"), spirit, rule)
        strength[rule] = float(final.magnitude)
        try:
            least[rule] = float(menstruum.smallest_ratio(water, spirit, floor, rule).magnitude)
        except Impossible:
            least[rule] = None
        # The same jar, filled the same way: the more plant goes in, the less spirit does.
        room = s.jar * FILLED.get(s.way, 1.0)
        most[rule] = None if least[rule] is None else room / (each + least[rule])
    try:
        kept = Q(float(rules.retained), "mL/g")
        reading = maceration.read_ratio(Q(poured / herb, "mL/g"), "added", "finished", water, kept)
        finished = float(reading.magnitude)
    except Impossible:
        finished = None
    plant = Q(1 / each, "g/mL")
    cover = maceration.covers(
        Q(herb, "g"),
        Q(poured, "mL"),
        Q(LOOSE[s.state], "g/mL"),
        plant,
        Q(float(rules.cover) / 10, "cm"),
        Q(JARS[s.jar][1], "cm"),
    )
    return Packed(
        herb=herb,
        body=herb * each,
        poured=poured,
        plant_water=herb * s.water / 100,
        solids=herb * (100 - s.water) / 100,
        ratio=poured / herb,
        strength=strength,
        most=most,
        least=least,
        finished=finished,
        dry=float(maceration.dry_equivalent(Q(poured / herb, "mL/g"), water).magnitude),
        pile=float(cover.pile.magnitude),
        layer=float(cover.layer.magnitude),
        covered=cover.covers,
        level=poured + herb * each,
    )


def _poured(s: Setting, each: float) -> tuple[float, float]:
    """Herb (g) and menstruum (mL) of a jar that is filled by eye or by weight."""
    if s.way == "weight":
        return s.herb, s.herb * s.ratio
    jar_, herb = Q(float(s.jar), "mL"), Q(float(s.herb), "g")
    room = maceration.room_for_menstruum(jar_, herb, Q(1 / each, "g/mL"), FILLED[s.way])
    poured = float(room.magnitude)
    if poured < 1.0:
        fits = View().say(0.5 * s.jar * FILLED[s.way] / each, "g", round="down")
        raise OutOfRange(
            f"{View().say(s.herb, 'g')} of plant fills the {JARS[s.jar][0]} by itself, so no spirit goes in. Less "
            f"plant would work: {fits} leaves half of the room for spirit."
        )
    return s.herb, poured


def _weighed(s: Setting, water: Any, spirit: Any, floor: Any) -> tuple[float, float]:
    """Herb (g) and menstruum (mL) of a jar that was weighed three times."""
    weights = (Q(float(w), "g") for w in (s.empty, s.with_herb, s.with_all))
    read = maceration.folk_jar(*weights, water, spirit, floor)
    return float(read.herb.magnitude), float(read.menstruum.magnitude)


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One jar: its real ratio, its strength by both rules, whether it keeps, fits and is covered."""
    floor, rule = rules.floor, view.rule
    it = sums(setting, rules)
    say = view.say
    first, second = it.strength[rule], it.strength["measured" if rule == "kitchen" else "kitchen"]
    one, two = ("by the kitchen rule", "measured") if rule == "kitchen" else ("measured", "by the kitchen rule")
    plant = f"{say(it.herb, 'g')} of {WORDS[setting.state]} with {setting.water:g} % water"
    name = JARS[setting.jar][0]
    given = {
        "brim": f"{plant} is packed into a {name}, and {setting.spirit:g} % vol goes on it up to the brim.",
        "room": (
            f"{plant} is packed into a {name}, and {setting.spirit:g} % vol goes on it until it is nine tenths full."
        ),
        "weight": f"{plant} goes into a {name}, and {setting.spirit:g} % vol goes on it at 1:{setting.ratio:g}.",
        "weighed": (
            f"A {name} weighs {say(setting.empty, 'g')} empty, {say(setting.with_herb, 'g')} with the plant and "
            f"{say(setting.with_all, 'g')} with the {setting.spirit:g} % vol."
        ),
    }[setting.way]
    if setting.way == "weighed":
        tells = f"So it holds {plant} and {say(it.poured, 'mL')} of spirit: {one_to(it.ratio)}."
    else:
        tells = f"That takes {say(it.poured, 'mL')} of spirit: {one_to(it.ratio)}."
    sentence = (
        f"{given} {tells} It ends at {vol(first)} {one} and {second:.1f} {two}, "
        f"{apart(it.strength['kitchen'], it.strength['measured'])}. {verdict(first, floor)} "
        f"{_fits(setting, it, view)} {_by_dry_plant(setting, it, rules)}"
    )
    if setting.way == "weight":
        limit = Number("Least ratio", one_to(it.least[rule]), f"for {floor:g} % vol")
    else:
        limit = _most(it.most[rule], name, setting, view)
    numbers = (
        Number("Ratio", one_to(it.ratio), say(it.poured, "mL")),
        Number("At the end", vol(first), f"{view.other()} {second:.1f}", first, "percent_vol"),
        limit,
        Number("By dry plant", one_to(it.dry), f"{say(1000 / it.dry, 'g')} a litre", 1000 / it.dry, "g"),
    )
    finished = "nothing comes out" if it.finished is None else one_to(it.finished)
    table = (
        ("what 1:r can mean", "this jar"),
        ("menstruum added, by weight of plant", one_to(it.ratio)),
        ("finished liquid, by weight of plant", finished),
        ("all the liquid, by dry plant", one_to(it.dry)),
        ("strength, kitchen rule", vol(it.strength["kitchen"])),
        ("strength, measured", vol(it.strength["measured"])),
        ("least ratio for the floor, kitchen rule", one_to(it.least["kitchen"])),
        ("least ratio for the floor, measured", one_to(it.least["measured"])),
        ("in the jar, up to", say(it.level, "mL")),
        ("the layer over the plant", say(it.layer, "mL")),
    )
    spirit_water = it.poured * (100 - setting.spirit) / 100
    alt = (
        f"A {name} that holds, from the bottom: {say(it.solids, 'g')} of dry plant, {say(it.plant_water, 'mL')} of "
        f"the plant's own water, {say(it.poured - spirit_water, 'mL')} of alcohol and {say(spirit_water, 'mL')} of "
        f"the spirit's water. {_beside(setting, it, first, floor, view)}"
    )
    under = first < floor - 1e-9
    ways: list[str] = []
    if under:
        jar_now = Q(it.poured, "mL"), Q(float(setting.spirit), "percent_vol"), Q(float(floor), "percent_vol")
        plant_now = Q(it.herb, "g"), Q(float(setting.water), "percent_wb")
        ways = [way.text for way in menstruum.ways_out(*plant_now, *jar_now)]
    return Look(
        sentence=sentence,
        numbers=numbers,
        alt=alt,
        table=table,
        draw=lambda board: _draw(board, setting, it, rules, view, answer=True),
        before=lambda board: _draw(board, setting, it, rules, view, answer=False),
        given=given,
        ways_out=ways,
        caution=_caution(setting, rules, under),
    )


def difference(a: Look, b: Look, view: View) -> str:
    """Two jars in words: their strengths, and which has more plant in each mL."""
    (end_a, plant_a), (end_b, plant_b) = ((look.numbers[1], look.numbers[3]) for look in (a, b))
    gap, times = end_b.amount - end_a.amount, plant_b.amount / plant_a.amount
    strength = "B is as strong as A" if abs(gap) < 0.05 else (
        f"B ends {abs(gap):.1f} points {'stronger' if gap > 0 else 'weaker'} than A"
    )  # fmt: skip
    if abs(times - 1) < 0.05:
        return f"{strength}, and drop for drop it has as much dry plant in it."
    more, name = (times, "B") if times > 1 else (1 / times, "A")
    return f"{strength}. Drop for drop {name} has {more:.1f} times as much dry plant in it."


def _most(most: float | None, name: str, s: Setting, view: View) -> Number:
    """The tile on how much plant this jar may hold for the floor."""
    if most is None:
        return Number("Most plant", "none", "this spirit is too weak")
    if most > TIGHT * s.jar:
        return Number("Most plant", "all that fits", f"in a {name}")
    return Number("Most plant", *view.pair(most, "g", round="down"), most, "g")


def _by_dry_plant(s: Setting, it: Packed, rules: Rules) -> str:
    """The ratio by dry plant, the costliest belief about it, and what does not come out at all."""
    told = f"By dry plant it is {one_to(it.dry)}."
    if it.finished is None:
        told += (
            f" Nothing would pour off: the marc keeps {per_gram(rules.retained)}. A wider ratio or a slow drip "
            f"would work."
        )
    if s.beside == "plant":
        told += (
            f" A fresh 1:2 is {one_to(FRESH_1_TO_2)} and a dried 1:5 is {one_to(DRIED_1_TO_5)} by dry plant, so "
            f"each mL (1/4 tsp) of the dried one has {FRESH_1_TO_2 / DRIED_1_TO_5:.1f} times as much plant in it. "
            f"Which of the two works better is another question, and no sum answers it."
        )
    return told


def _fits(s: Setting, it: Packed, view: View) -> str:
    """Whether all of it fits, and whether the plant is covered."""
    name = JARS[s.jar][0]
    if s.way != "weight":
        most = it.most[view.rule]
        if s.way == "weighed" and it.level > s.jar * 1.02:
            return f"That is {view.say(it.level, 'mL')} in all, more than a {name} holds: is it another jar?"
        if most is None:
            return "With this spirit no jar of this plant reaches the floor."
        if most > TIGHT * s.jar:
            return f"Filled this way, a {name} reaches the floor with all of this plant that fits in."
        return (
            f"Filled this way, a {name} reaches the floor with at most {view.say(most, 'g', round='down')} of "
            f"this plant."
        )
    if it.level > ROOM * s.jar + 1e-9:
        fits = ROOM * s.jar * it.herb / it.level
        return (
            f"It needs {view.say(it.level, 'mL')}, and a {name} filled to nine tenths holds "
            f"{view.say(ROOM * s.jar, 'mL')}: at most {view.say(fits, 'g', round='down')} of plant fits at this "
            f"ratio."
        )
    depth = view.say(it.layer, "mL")
    if it.covered:
        return f"It fits, and the plant is covered with a layer of {depth} to spare."
    needed = (it.pile + it.layer - it.body) / it.herb
    return (
        f"It fits, but the plant lies as high as {view.say(it.pile, 'mL')} and the liquid reaches "
        f"{view.say(it.level, 'mL')}: not covered. Cut it finer, press it down, or go to "
        f"1:{np.ceil(10 * needed) / 10:g}."
    )


def _beside(s: Setting, it: Packed, first: float, floor: float, view: View) -> str:
    if s.beside == "plant":
        return (
            f"Beside it three bars of dry plant in each {view.say(1000, 'mL')}: this jar "
            f"{view.say(1000 / it.dry, 'g')}, a fresh 1:2 {view.say(1000 / FRESH_1_TO_2, 'g')}, a dried 1:5 "
            f"{view.say(1000 / DRIED_1_TO_5, 'g')}."
        )
    where = "under" if first < floor - 1e-9 else "at or over"
    curve = "Beside it a curve of the strength at the end against the plant in the jar, falling as more is packed in"
    if s.way == "weight":
        curve += " by eye, and a level line for this ratio"
    return (
        f"{curve}; the mark stands at {view.say(it.herb, 'g')} and {vol(first)}, {where} a line at the floor of "
        f"{floor:g} % vol."
    )


def _caution(s: Setting, rules: Rules, under: bool) -> str:
    lines = [] if s.way == "weight" else [STRONG_PLANTS]
    if s.state != "fresh" and s.water > 20:
        lines.append(f"Dried herb with {s.water:g} % water moulds: set the water to 10 %, or choose fresh plant.")
    if under:
        lines.append("Do not keep a jar that is under the floor; if it smells off, bubbles or moulds, throw it away.")
    return " ".join([*lines, caution(s.spirit, rules.shelf)])


def _draw(board: Any, s: Setting, it: Packed, rules: Rules, view: View, answer: bool) -> None:
    """The jar with its ledger, and beside it the strength or the plant (before the guess: a question mark)."""
    left, right = halves(board, 0.5)
    alcohol = it.poured * s.spirit / 100
    inside = (
        ("solids", max(it.body - it.plant_water, 0.0), "dry", it.solids, "g"),
        ("water", it.plant_water, "its water", it.plant_water, "mL"),
        ("alcohol", alcohol, "alcohol", alcohol, "mL"),
        ("water", it.poured - alcohol, "water", it.poured - alcohol, "mL"),
    )
    parts = [Part(fill, high, f"{words} {view.pair(number, unit)[0]}") for fill, high, words, number, unit in inside]
    if not answer and s.way == "weighed":
        parts = []
    glass = jar(board, "jar", left, parts, s.jar, under=JARS[s.jar][0])
    if answer and s.way == "weight":
        at = glass.y + glass.h * min((it.pile + it.layer) / s.jar, 1.0)
        board.line("cover", [glass.x - 6, glass.x + glass.w + 10], [at, at], ink="limit", width=2.6, dash=(5, 3))
        words = "covered" if it.covered else "not covered"
        board.words("covered", glass.x + glass.w + 18, left.y + board.size * 0.6, words, ha="left", ink="limit")
    if board.narrow:
        return
    if not answer:
        asked = "? g of plant" if s.beside == "plant" else "? % vol"
        board.words("ask", right.x + right.w / 2, right.y + right.h * 0.55, asked, size=board.size * 2.0, bold=True)
    elif s.beside == "plant":
        _plant_bars(board, right, it, view)
    else:
        _strengths(board, right, s, it, rules, view)


def _plant_bars(board: Any, place: Place, it: Packed, view: View) -> None:
    """Dry plant in a litre of this jar, of a fresh 1:2 and of a dried 1:5."""
    rows = (("this jar", it.dry), ("fresh 1:2", FRESH_1_TO_2), ("dried 1:5", DRIED_1_TO_5))
    full = board.scale("plant", max(1000 / dry for _, dry in rows), max(1000 / dry for _, dry in rows))
    step = place.h / 3
    for n, (name, dry) in enumerate(rows):
        where = Place(place.x, place.y + place.h - step * (n + 1) + 4, place.w, step - 6)
        title = f"{name}: {view.pair(1000 / dry, 'g')[0]} a litre"
        stack(board, f"plant {n}", where, [Part("solids", 1000 / dry)], full, title)


def _strengths(board: Any, place: Place, s: Setting, it: Packed, rules: Rules, view: View) -> None:
    """Strength in the end against the plant packed into this jar."""
    floor, rule = rules.floor, view.rule
    each, room = body_for(s.state, s.water), s.jar * FILLED.get(s.way, 1.0)
    last = min(600.0 * s.jar / 946.353, 0.85 * room / each)
    last = max(last, it.herb)
    herbs = np.linspace(0.04 * last, last, 45)
    poured = np.maximum(room - herbs * each, 1e-6)
    top = 100.0 if s.spirit > 60 else 60.0 if s.spirit > 50 or floor > 45 else 50.0
    name, ticks = marks(view, "g", last)
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, last, f"{name} of plant in the {JARS[s.jar][0].removesuffix(' jar')}"),
        (0.0, top, "% vol at the end"),
        ticks,
        [(n, f"{n:g}") for n in np.linspace(0, top, 3)],
    )
    dash = (6, 4) if s.way == "weight" else ()
    chart.curve("by eye", herbs, menstruum.final_strength.plain(herbs, s.water, poured, s.spirit, rule), dash=dash)
    now = it.strength[rule]
    if s.way == "weight":  # at one ratio the strength is the same, however much goes in, until the jar is full
        fits = ROOM * s.jar / (each + s.ratio)
        chart.curve("by weight", [0.0, min(fits, last)], [now, now])
    # The curve falls: over the line at the right there is room where it crosses early, under it at the left else.
    most = it.most[rule]
    early = most is None or most < 0.5 * last
    chart.level("floor", floor, "")
    where = (last, "right", 0.8) if early else (0.01 * last, "left", -0.8)
    chart.note("floor words", where[0], floor, f"your floor, {floor:g} % vol", "limit", where[2], where[1])
    if s.way != "weight" and most is not None and most <= last:
        board.dot("most", *chart.at(most, floor), ink="limit", across=9.0)
    chart.mark("now", it.herb, now, vol(now), above=True)
