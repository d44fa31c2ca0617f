"""Floor 5. Lesson 6: jar by eye, jar by weight. What a jar that was filled by eye holds, and what its ratio says."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import maceration, menstruum
from herbcalc.maceration.ratios import CONVENTIONS
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import Chart, Part, Place, jar, rows, stack
from herbcalc.show.lessons.lesson03 import MOULDS
from herbcalc.show.lessons.lesson05 import JARS as SIZES
from herbcalc.show.lessons.lesson05 import jar_caution, reaches, second_said, verdict
from herbcalc.show.look import MOST_HERB, Look, Number, View, dial, pick
from herbcalc.show.words import apart, marks, one_to, vol
from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.refusals import Impossible, OutOfRange
from herbcalc.units.saying import per_gram

LESSON = 6
TITLE = "Jar by eye, jar by weight"
CAUTION = FOOD_GRADE
STRONG_PLANTS = (
    "Plants whose useful and harmful amounts lie close together are never put up by eye, and are not in this course."
)
SWELLS = "Dried herb swells: look next day, and top up until it is covered."

# Name and inside width, cm, of each jar by its volume in mL (US measures: NIST Handbook 44, Appendix C). The widths
# give a layer of 24 and 37 mL for each 1/4 inch; common practice, no source.
JARS = {473.176: ("pint jar", 6.9), 946.353: ("quart jar", 8.6)}
# A jar put up by weight is filled to nine tenths at most; common practice, no source.
FILLED = {"brim": 1.0, "room": 0.9, "weight": 0.9, "weighed": 1.0}
FRESH_PLANT = 0.95  # g for each mL of fresh plant; common practice, no source
DRY_SOLIDS = 1.4  # g for each mL of the solids of a dry plant; from memory
# g for each mL of the plant as it lies in the jar; common practice, no source.
LOOSE = {"fresh": 0.35, "leaf": 0.15, "root": 0.35}
WORDS = {"fresh": "fresh plant", "leaf": "dried leaf or flower", "root": "dried root or hips"}
TIGHT = 0.6  # g for each mL: no jar is packed tighter than that; common practice, no source
FRESH_1_TO_2 = 14.0  # mL for each g of dry plant, at 80 % water


@dataclass(frozen=True)
class Setting:
    """A jar as it is put up. Weights in g, jar in mL, ratio in mL for each g as weighed, strengths in % vol."""

    herb: float = dial(300, "g", low=20, high=600, step=5, label="Plant packed in", batch="herb", most=MOST_HERB)
    ratio: float = dial(2, "mL/g", low=0.5, high=10, step=0.1, label="Spirit", batch="ratio")
    empty: float = dial(430, "g", low=100, high=1500, step=1, label="Weight of the empty jar", most=MOST_HERB)
    with_herb: float = dial(730, "g", low=100, high=2500, step=1, label="Weight with the plant", most=MOST_HERB)
    with_all: float = dial(1330, "g", low=100, high=4000, step=1, label="Weight with the spirit too", most=MOST_HERB)
    water: float = dial(80, "percent_wb", low=3, high=95, step=1, label="Water in the plant", batch="water")
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
    each: float  # mL that 1 g of the plant takes up
    poured: float
    ratio: float
    strength: dict[str, float]
    least: dict[str, float | None]  # mL/g for the floor
    most: dict[
        str, float | None
    ]  # g of plant for the floor (by weight: that fit at this ratio) in a jar filled this way
    finished: float | None
    dry: float
    dried_1_to_5: float  # mL for each g of dry plant in a dried 1:5, to compare with
    pile: float
    layer: float
    covered: bool
    covers: float  # mL/g from which on the plant is covered, in steps of 0.1
    kept: float  # mL that the marc keeps
    plant_water: float
    solids: float

    @property
    def body(self) -> float:
        """mL of the plant itself."""
        return self.herb * self.each

    @property
    def level(self) -> float:
        """mL the jar is filled to."""
        return self.poured + self.body


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
        ratio = s.ratio if s.way == "weight" else least[rule]
        most[rule] = None if ratio is None else s.jar * FILLED[s.way] / (each + ratio)
    cover = _cover(s, rules, herb, poured, each)
    pile, layer = float(cover.pile.magnitude), float(cover.layer.magnitude)
    dried = Q(float(rules.dried_to), "percent_wb")
    solids = herb * (100 - s.water) / 100
    return Packed(
        herb=herb,
        each=each,
        poured=poured,
        ratio=poured / herb,
        strength=strength,
        least=least,
        most=most,
        finished=_finished(poured / herb, water, rules),
        dry=float(maceration.dry_equivalent(Q(poured / herb, "mL/g"), water).magnitude),
        dried_1_to_5=float(maceration.dry_equivalent(Q(5.0, "mL/g"), dried).magnitude),
        pile=pile,
        layer=layer,
        covered=cover.covers,
        covers=float(np.ceil(10 * (1 - SLACK) * (pile + layer - herb * each) / herb) / 10),
        kept=rules.retained * solids,
        plant_water=herb * s.water / 100,
        solids=solids,
    )


def _finished(ratio: float, water: Any, rules: Rules) -> float | None:
    """The ratio read as finished liquid; None where the marc drinks it all."""
    try:
        kept = Q(float(rules.retained), "mL/g")
        return float(maceration.read_ratio(Q(ratio, "mL/g"), "added", "finished", water, kept).magnitude)
    except Impossible:
        return None


def _cover(s: Setting, rules: Rules, herb: float, poured: float, each: float) -> Any:
    """Whether the liquid stands over the plant by as much as the house rule wants."""
    return maceration.covers(
        Q(herb, "g"),
        Q(poured, "mL"),
        Q(LOOSE[s.state], "g/mL"),
        Q(1 / each, "g/mL"),
        Q(float(rules.cover) / 10, "cm"),
        Q(JARS[s.jar][1], "cm"),
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
    floor = rules.floor
    it = sums(setting, rules)
    under = not reaches(min(it.strength.values()), floor)
    return Look(
        sentence=_sentence(setting, it, rules, view),
        numbers=_numbers(setting, it, rules, view),
        alt=_alt(setting, it, floor, under, view),
        table=_table(it, rules, view),
        left=lambda board, place, answer: _jar(board, place, setting, it, view, answer),
        right=lambda board, place: _right(board, place, setting, it, rules, view),
        share=0.56,
        given=_given(setting, it, view),
        short=_short(setting, view),
        ways_out=_ways(setting, it, rules, view),
        caution=_caution(setting, it, rules),
    )


def _plant(s: Setting, it: Packed, view: View) -> str:
    return f"{view.say(it.herb, 'g')} of {WORDS[s.state]} with {s.water:.3g} % water"


def _given(s: Setting, it: Packed, view: View) -> str:
    """What is set; nothing of it is the answer."""
    say, name, plant = view.say, JARS[s.jar][0], _plant(s, it, view)
    if s.way == "weighed":
        return (
            f"A {name} weighs {say(s.empty, 'g')} empty, {say(s.with_herb, 'g')} with the plant and "
            f"{say(s.with_all, 'g')} with the {s.spirit:.3g} % vol. The plant holds {s.water:.3g} % water."
        )
    if s.way == "weight":
        return f"{plant} goes into a {name}, and {say(it.poured, 'mL')} of {s.spirit:.3g} % vol goes on it."
    up_to = "up to the brim" if s.way == "brim" else "until it is nine tenths full"
    return f"{plant} is packed into a {name}, and {s.spirit:.3g} % vol goes on it {up_to}."


def _short(s: Setting, view: View) -> str:
    """The setting in few words, to be followed by a question."""
    if s.way == "weighed":
        weights = ", ".join(view.say(n, "g") for n in (s.empty, s.with_herb, s.with_all))
        return f"{weights} on the scale, {s.spirit:.3g} % vol"
    how = {"brim": "to the brim", "room": "to nine tenths", "weight": f"at {s.ratio:g} mL for each g"}[s.way]
    return (
        f"{JARS[s.jar][0]}, {view.say(s.herb, 'g')} of plant with {s.water:.3g} % water, {s.spirit:.3g} % vol {how}"
    )


def _sentence(s: Setting, it: Packed, rules: Rules, view: View) -> str:
    rule, second = view.rules()
    one, two = view.by()
    if s.way == "weighed":
        tells = f"So it holds {_plant(s, it, view)} and {view.say(it.poured, 'mL')} of spirit: {one_to(it.ratio)}"
    elif s.way == "weight":
        tells = f"That is {one_to(it.ratio)}"
    else:
        tells = f"That takes {view.say(it.poured, 'mL')} of spirit: {one_to(it.ratio)}"
    tells += f", {CONVENTIONS['added']}."
    if rules.ratio_reading != "added":
        reading = CONVENTIONS[rules.ratio_reading]
        tells += f" This class counts it as {_ratio(_read(it, rules))}, {reading}."
    strengths = it.strength["kitchen"], it.strength["measured"]
    return (
        f"{_given(s, it, view)} {tells} It ends at {vol(it.strength[rule])} {one} and {it.strength[second]:.1f} "
        f"{two}, {apart(*strengths)}. {verdict(*strengths, rules.floor, rule)} "
        f"{_fits(s, it, view)} {_by_dry_plant(s, it, rules)}"
    )


def _read(it: Packed, rules: Rules) -> float | None:
    """The ratio as the house rule reads it."""
    return {"added": it.ratio, "finished": it.finished, "dry": it.dry}[rules.ratio_reading]


def _ratio(number: float | None) -> str:
    return "nothing, as nothing comes out" if number is None else one_to(number)


def _numbers(s: Setting, it: Packed, rules: Rules, view: View) -> tuple[Number, ...]:
    """What can be asked for, the four first that count most for a jar filled this way."""
    rule, second = view.rules()
    first, other = it.strength[rule], it.strength[second]
    floor = f"{rules.floor:g} % vol"
    read = _read(it, rules)
    least = Number(
        "Least ratio", one_to(it.least[rule]), f"for {floor}", it.least[rule], "ratio", "least",
        f"from which ratio on does it reach {floor}?", it.least[second],
    )  # fmt: skip
    most = _most(it, s, view, f"how much plant may be in it, for {floor}?")
    return (
        Number(
            "Ratio", "none" if read is None else one_to(read), CONVENTIONS[rules.ratio_reading], read, "ratio",
            "ratio", "what ratio is it?",
        ),
        Number(
            "At the end", vol(first), second_said(first, other, rules.floor, view), first, "percent_vol", "end",
            "how strong does it end?", other,
        ),
        *((least, most) if s.way == "weight" else (most, least)),
        Number(
            "By dry plant", one_to(it.dry), f"{view.say(1000 / it.dry, 'g')} a litre", it.dry, "ratio", "dry",
            "what ratio is it by dry plant?",
        ),
        Number(
            "Weaker by", f"{s.spirit - first:.1f} points", f"{view.other()} {s.spirit - other:.1f}",
            s.spirit - first, "points", "weaker", "how many points weaker than its spirit is it?", s.spirit - other,
        ),
        Number(
            "Dried 1:5 against it", f"{it.dry / it.dried_1_to_5:.1f} times", "as much dry plant in each drop",
            it.dry / it.dried_1_to_5, "times", "times", "how many times as much dry plant has a dried 1:5?",
        ),
        Number(
            "Covered from", one_to(it.covers), f"with {view.say(rules.cover, 'mm')} over it, {_whose(rules)}",
            it.covers, "ratio", "covers", "from which ratio on is it covered?",
        ),
    )  # fmt: skip


def _most(it: Packed, s: Setting, view: View, ask: str) -> Number:
    """How much plant this jar may hold for the floor; by weight, how much fits at this ratio."""
    most, other = (it.most[rule] for rule in view.rules())
    if s.way == "weight":
        return view.number("most", "Most plant", most, "g", "how much plant fits in at this ratio?", round="down")
    fits = TIGHT * s.jar
    other = min(other or 0.0, fits)  # none where the spirit is too weak
    if most is None:
        return Number("Most plant", "none", "this spirit is too weak", 0.0, "g", "most", ask, other)
    if most > fits:
        return Number("Most plant", "all that fits", f"in a {JARS[s.jar][0]}", fits, "g", "most", ask, other)
    return dataclasses.replace(view.number("most", "Most plant", most, "g", ask, round="down"), other=other)


def _table(it: Packed, rules: Rules, view: View) -> tuple[tuple[str, str], ...]:
    return (
        ("what 1:r can mean", "this jar"),
        ("menstruum added, by weight of plant", one_to(it.ratio)),
        ("finished liquid, by weight of plant", "nothing comes out" if it.finished is None else one_to(it.finished)),
        ("all the liquid, by dry plant", one_to(it.dry)),
        ("strength, kitchen rule", vol(it.strength["kitchen"])),
        ("strength, measured", vol(it.strength["measured"])),
        ("least ratio for the floor, kitchen rule", one_to(it.least["kitchen"])),
        ("least ratio for the floor, measured", one_to(it.least["measured"])),
        ("in the jar, up to", view.say(it.level, "mL")),
        ("the layer over the plant", view.say(it.layer, "mL")),
        (f"{view.say(rules.cover, 'mm')} over it", _whose(rules)),
        ("bulk of the plant, width of the jar, nine tenths full", "common practice, no source"),
    )


def _alt(s: Setting, it: Packed, floor: float, under: bool, view: View) -> str:
    say, spirit_water = view.say, it.poured * (100 - s.spirit) / 100
    told = (
        f"A {JARS[s.jar][0]} that holds, from the bottom: {say(it.solids, 'g')} of dry plant, "
        f"{say(it.plant_water, 'mL')} of the plant's own water, {say(it.poured - spirit_water, 'mL')} of alcohol and "
        f"{say(spirit_water, 'mL')} of the spirit's water."
    )
    if s.beside == "plant":
        return (
            f"{told} Beside it three bars of dry plant in each {say(1000, 'mL')}: this jar "
            f"{say(1000 / it.dry, 'g')}, a fresh 1:2 {say(1000 / FRESH_1_TO_2, 'g')}, a dried 1:5 "
            f"{say(1000 / it.dried_1_to_5, 'g')}."
        )
    curve = "Beside it a curve of the strength at the end against the plant in the jar, falling as more is packed in"
    if s.way == "weight":
        curve += " by eye, and a level line for this ratio"
    return (
        f"{told} {curve}; the mark stands at {say(it.herb, 'g')} and {vol(it.strength[view.rule])}, "
        f"{'under' if under else 'at or over'} a line at the floor of {floor:g} % vol."
    )


def _by_dry_plant(s: Setting, it: Packed, rules: Rules) -> str:
    """The ratio by dry plant, the costliest belief about it, and what does not come out at all."""
    told = f"By dry plant it is {one_to(it.dry)}."
    if it.finished is None:
        told += (
            f" Nothing would pour off: the marc keeps {per_gram(rules.retained)} of dry plant. A wider ratio or a "
            "slow drip would work."
        )
    if s.beside == "plant":
        told += (
            f" A fresh 1:2 is {one_to(FRESH_1_TO_2)} and a dried 1:5 is {one_to(it.dried_1_to_5)} by dry plant, so "
            f"each drop of the dried one has {FRESH_1_TO_2 / it.dried_1_to_5:.1f} times as much plant in it. "
            "Which of the two works better is another question, and no sum answers it."
        )
    return told


def _whose(rules: Rules) -> str:
    """Where the layer over the plant comes from."""
    return "common practice" if abs(rules.cover - Rules().cover) < SLACK else "your house rule"


def _fits(s: Setting, it: Packed, view: View) -> str:
    """Whether all of it fits, and whether the plant is covered."""
    name, most = JARS[s.jar][0], it.most[view.rule]
    if s.way != "weight":
        if s.way == "weighed" and it.level > s.jar * 1.02:
            return f"That is {view.say(it.level, 'mL')} in all, more than a {name} holds: is it another jar?"
        if most is None:
            return "With this spirit no jar of this plant reaches the floor."
        if most > TIGHT * s.jar:
            return f"Filled this way, a {name} reaches the floor with all of this plant that fits in."
        return f"Filled this way, a {name} reaches the floor with {view.safe(most, 'g', 'down')} of this plant."
    if _over_full(s, it):
        return (
            f"It needs {view.say(it.level, 'mL')}, and a {name} filled to nine tenths holds "
            f"{view.say(FILLED[s.way] * s.jar, 'mL')}: {view.safe(most, 'g', 'down')} of plant fits at this ratio."
        )
    if it.covered:
        return f"It fits, and the plant is covered with a layer of {view.say(it.layer, 'mL')} to spare."
    return (
        f"It fits, but the plant lies as high as {view.say(it.pile, 'mL')} and the liquid reaches "
        f"{view.say(it.level, 'mL')}: not covered. Cut it finer, press it down, or go to {one_to(it.covers)}."
    )


def _over_full(s: Setting, it: Packed) -> bool:
    """Whether more is meant to go in than the jar holds; one that was weighed holds it, whatever its name."""
    return s.way == "weight" and it.level > FILLED[s.way] * s.jar + SLACK


def _ways(s: Setting, it: Packed, rules: Rules, view: View) -> list[str]:
    """What would work, with no way that asks more of the jar than it holds."""
    floor, strongest = rules.floor, max(rules.shelf)
    plant = Q(it.herb, "g"), Q(float(s.water), "percent_wb")
    jar_now = Q(it.poured, "mL"), Q(float(s.spirit), "percent_vol")
    ways = menstruum.ways_out(*plant, *jar_now, Q(float(floor), "percent_vol"), Q(float(strongest), "percent_vol"))
    under = not reaches(min(it.strength.values()), floor)
    if _over_full(s, it):
        told = _shared(s, it, view)
        if None in it.least.values():  # more room is not enough for the floor
            told += [f"For the floor too: {w.text[:1].lower()}{w.text[1:]}" for w in ways if w.kind == "strength"]
        return told
    if under and not ways:  # by the kitchen rule it is just over the floor, measured just under
        return _shared(s, it, view)
    told = []
    for way in ways:
        more = 0.0
        if way.kind in ("add", "pour"):
            more = float(way.amount.to("mL").magnitude) - (it.poured if way.kind == "pour" else 0.0)
        if not more or it.level + more <= s.jar + SLACK:
            told.append(way.text)
        elif way.kind == "add":
            told += _swapped(it, floor, strongest, view)
        else:
            told += _shared(s, it, view)
    return told


def _swapped(it: Packed, floor: float, strongest: float, view: View) -> list[str]:
    """A full jar: as much of its liquid out as strong spirit goes in; no way where so much does not run off."""
    now = min(it.strength.values())
    liquid = it.poured + it.plant_water
    out = liquid * (floor - now) / (strongest - now)
    if out > liquid - it.kept:
        return []
    return [
        f"There is no room for more: when it has stood and mixed, take {view.safe(out, 'mL', 'up')} of the "
        f"liquid out and put as much of {strongest:g} % vol spirit in."
    ]


def _shared(s: Setting, it: Packed, view: View) -> list[str]:
    """Less plant in this jar, more jars of this size, or the next size in which all of it reaches the floor."""
    name, filled = JARS[s.jar][0], FILLED[s.way]
    ratio = max([least for least in it.least.values() if least is not None] + [s.ratio] * (s.way == "weight"))
    fill = (
        f"pour at 1:{np.ceil(100 * ratio * (1 - SLACK)) / 100:.4g} or wider"
        if s.way == "weight"
        else "fill up as before"
    )
    most = filled * s.jar / (it.each + ratio)
    jars = int(np.ceil(it.herb / most * (1 - SLACK)))
    ways = [
        f"Take plant out, so that {view.safe(most, 'g', 'down')} is left in the {name}, and {fill}.",
        f"Share the plant evenly between {jars} {name}s, {view.say(it.herb / jars, 'g')} in each, and {fill}.",
    ]
    bigger = next((j for j in SIZES if j[0] > s.jar + 1 and filled * j[0] >= it.herb * (it.each + ratio)), None)
    if bigger:
        ways.append(f"Put it all into a {bigger[1]}, which holds {view.say(bigger[0], 'mL')}, and {fill}.")
    return ways


def _caution(s: Setting, it: Packed, rules: Rules) -> str:
    lines = [] if s.way == "weight" else [STRONG_PLANTS]
    if s.state != "fresh":
        lines.append(SWELLS)
    if s.state != "fresh" and s.water > MOULDS:
        lines.append(
            f"Dried herb with {s.water:.3g} % water moulds (anything over {MOULDS:g} % does, common practice): set "
            f"the water to {rules.dried_to:g} %, or choose fresh plant."
        )
    return " ".join([*lines, jar_caution(s.spirit, rules, *it.strength.values())])


def _jar(board: Board, place: Place, s: Setting, it: Packed, view: View, answer: bool) -> None:
    """The jar with its ledger. Before the guess only what is given: by eye nobody knows how much spirit went in."""
    alcohol = it.poured * s.spirit / 100
    inside = (
        ("solids", max(it.body - it.plant_water, 0.0), "dry", it.solids, "g", True),
        ("water", it.plant_water, "its water", it.plant_water, "mL", True),
        ("alcohol", alcohol, "alcohol", alcohol, "mL", answer or s.way == "weight"),
        ("water", it.poured - alcohol, "water", it.poured - alcohol, "mL", answer or s.way == "weight"),
    )
    parts = []
    for fill, high, name, number, unit, known in inside:
        amount = view.pair(number, unit)[0] if known else ""
        parts.append(Part(fill, high, f"{name} {amount}".strip(), short=name))
    if not answer and s.way == "weighed":
        parts = []
    name = JARS[s.jar][0]
    glass = jar(board, f"jar {name}", _sized(board, place, s.jar), parts, s.jar, under=name)
    if answer and s.way == "weight":
        at = glass.y + glass.h * min((it.pile + it.layer) / s.jar, 1.0)
        board.line("cover", [glass.x - 6, glass.x + glass.w + 10], [at, at], ink="limit", width=2.6, dash=(5, 3))
        words = "covered" if it.covered else "not covered"
        board.words("covered", glass.x + glass.w + 18, place.y + board.size * 0.6, words, ha="left", ink="limit")


def _sized(board: Board, place: Place, volume: float) -> Place:
    """The place of a jar beside a larger one: its glass as much smaller as it holds less."""
    share = (volume / board.scale("jars", volume, volume)) ** 0.5
    foot = board.size * 1.5  # for the name below it
    return Place(place.x, place.y, place.w * share, foot + (place.h - foot) * share)


def _right(board: Board, place: Place, s: Setting, it: Packed, rules: Rules, view: View) -> None:
    """The strength or the dry plant; where two jars stand beside each other and either asks for the plant, that."""
    if board.scale("beside", float(s.beside == "plant"), s.beside) == "plant":
        _plant_bars(board, place, it, view)
    else:
        _strengths(board, place, s, it, rules, view)


def _plant_bars(board: Board, place: Place, it: Packed, view: View) -> None:
    """Dry plant in a litre of this jar, of a fresh 1:2 and of a dried 1:5."""
    bars = (("this jar", it.dry), ("fresh 1:2", FRESH_1_TO_2), ("dried 1:5", it.dried_1_to_5))
    most = max(1000 / dry for _, dry in bars)
    full = board.scale("plant", most, most)
    for n, ((name, dry), where) in enumerate(zip(bars, rows(place, 3), strict=True)):
        title = f"{name}: {view.pair(1000 / dry, 'g')[0]}" + ("" if board.narrow else " a litre")
        stack(board, f"plant {n}", where, [Part("solids", 1000 / dry)], full, title)


def _strengths(board: Board, place: Place, s: Setting, it: Packed, rules: Rules, view: View) -> None:
    """Strength in the end against the plant packed into this jar."""
    floor, rule = rules.floor, view.rule
    each, room = it.each, s.jar * FILLED[s.way]
    last = min(600.0 * s.jar / 946.353, 0.85 * room / each)
    last = max(last, it.herb)
    herbs = np.linspace(0.04 * last, last, 45)
    poured = np.maximum(room - herbs * each, 1e-6)
    top = 100.0 if s.spirit > 60 else 60.0 if s.spirit > 45 or floor > 45 else 50.0
    name, ticks = marks(view, "g", last)
    chart = Chart(
        board,
        "chart",
        place,
        (0.0, last, f"{name} of plant" if board.narrow else f"{name} of plant in the {JARS[s.jar][0].split()[0]}"),
        (0.0, top, "% vol at the end"),
        ticks,
        [(n, f"{n:g}") for n in np.linspace(0, top, 3)],
    )
    dash = (6, 4) if s.way == "weight" else ()
    chart.curve("by eye", herbs, menstruum.final_strength.plain(herbs, s.water, poured, s.spirit, rule), dash=dash)
    now = it.strength[rule]
    if s.way == "weight":  # at one ratio the strength is the same, however much goes in, until the jar is full
        chart.curve("by weight", [0.0, min(room / (each + s.ratio), last)], [now, now])
    # The curve falls: over the line at the right there is room where it crosses early, under it at the left else.
    least = it.least[rule]
    crosses = None if least is None else room / (each + least)
    early = crosses is None or crosses < 0.5 * last
    chart.level("floor", floor, "")
    where = (last, "right", 0.8) if early else (0.01 * last, "left", -0.8)
    words = f"floor {floor:g}" if board.narrow else f"floor {floor:g} % vol"
    chart.note("floor words", where[0], floor, words, "limit", where[2], where[1])
    if s.way != "weight" and crosses is not None and crosses <= last:
        board.dot("most", *chart.at(crosses, floor), ink="limit", across=9.0)
    chart.mark("now", it.herb, now, vol(now), above=True)
