"""Floor 5. What stands in the boxes of one's own jar, read: the plan, the bench, and the two beside each other.

No widget is made here. Each box is read by itself: what cannot be read gets a sentence and counts as empty, and never
stops another box.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from herbcalc import menstruum
from herbcalc.batch import Basket, Batch, Bench, Compared, Order, compare, walk_back, walk_forward
from herbcalc.batch import bench as beside
from herbcalc.batch.figures import water_in_jar
from herbcalc.batch.order import KINDS as OF_AN_ORDER
from herbcalc.batch.order import METHODS, STATES
from herbcalc.harvest import day_said
from herbcalc.person import batches
from herbcalc.rules import Rules
from herbcalc.show import cautions
from herbcalc.show.card.label import day
from herbcalc.units import OutOfRange, Q, WrongUnit, amount, spoken
from herbcalc.units.guard import NUMBER, Kind, take, without_name
from herbcalc.units.reading import turned_round
from herbcalc.units.refusals import Impossible, quoted
from herbcalc.units.saying import per_gram, said

PAGE = "jar"  # the page of the batch on which the boxes are kept
KEPT, DAYS, DAY, WORDS = "mL for each gram", "days", "day", "words"  # kinds of a box, beside those of `amount`
_BARE = re.compile(r"\d+(?:[.,]\d+)?")
COUNT = NUMBER.within(1.0, 5000.0)
MOST_BOTTLES = 1000


@dataclass(frozen=True)
class Box:
    """One box: its name in the file, the page it stands on, its label, the kind of amount, and what it may hold.

    `chosen` are the choices of a box that is chosen from and not typed into; `goes` is the name that the amount has
    in an Order, a Basket or a Bench.
    """

    name: str
    page: str
    label: str
    kind: str
    example: str
    goes: str = ""
    chosen: tuple[str, ...] = ()


BOXES = {
    box.name: box
    for box in (
        Box("plant", "plan", "Plant and part", WORDS, "lemon balm, leaf"),
        Box("state", "plan", "It goes in", WORDS, "dried", "state", STATES[::-1]),
        Box("method", "plan", "By", WORDS, "soak", "method", METHODS),
        Box("gather", "plan", "Fresh plant you mean to gather", "weight", "1 kg", "fresh"),
        Box("bottles", "plan", "Or bottles you want", "count", "10", "bottles"),
        Box("bottle", "plan", "One bottle holds", "volume", "50 mL", "bottle"),
        Box("water", "plan", "Its water when fresh", "moisture", "80 %", "water"),
        Box("ratio", "plan", "Ratio, menstruum added", "ratio", "1:5", "ratio"),
        Box("spirit", "plan", "Spirit you mean to pour", "strength", "50 % vol", "spirit"),
        Box("keeps", "plan", "The marc keeps", KEPT, "1.5 mL/g", "retained"),
        Box("reckoned", "plan", "Drops in 1 mL", "count", "40", "drops"),
        Box("day", "plan", "The day you mean to gather", DAY, "14 July 2026"),
        Box("sample_fresh", "plant", "The sample, fresh", "weight", "100 g", "sample_fresh"),
        Box("sample_dried", "plant", "The sample, bone dry", "weight", "22 g", "sample_dried"),
        Box("basket", "plant", "The rest of the plant, fresh", "weight", "1 kg", "fresh"),
        Box("tray", "drying", "All of it, off the tray", "weight", "230 g", "dried"),
        Box("drying", "drying", "Days on the tray", DAYS, "6 days", "drying"),
        Box("jar", "jar", "The empty jar", "weight", "400 g", "jar"),
        Box("with_herb", "jar", "Jar and herb", "weight", "500 g", "with_herb"),
        Box("with_all", "jar", "Jar, herb and menstruum", "weight", "965 g", "with_all"),
        Box("poured", "jar", "Or menstruum, by the jug", "volume", "500 mL", "poured"),
        Box("strength", "jar", "Its strength, if not as planned", "strength", "50 % vol", "spirit"),
        Box("out", "pressing", "What came out", "volume", "331 mL", "out"),
        Box("marc", "pressing", "The marc, without its bowl", "weight", "240 g", "marc"),
        Box("soaking", "pressing", "Days in the jar", DAYS, "28 days", "soaking"),
        Box("first", "drops", "First count", "count", "190 drops"),
        Box("second", "drops", "Second count", "count", "195 drops"),
        Box("third", "drops", "Third count", "count", "188 drops"),
        Box("measure", "drops", "The measure holds", "volume", "5 mL", "measure"),
    )
}
COUNTS = ("first", "second", "third")
LOG = "log"  # the weighings of the drying log, one text
PAGES = {
    "plan": "What the plan says",
    "plant": "The plant and its sample",
    "drying": "On the tray",
    "jar": "The jar",
    "pressing": "The pressing",
    "drops": "The drops",
}


def boxes(page: str) -> list[Box]:
    """The boxes of one page, in order."""
    return [box for box in BOXES.values() if box.page == page]


def kind_of(box: Box) -> Kind | None:
    """What the amount of a box must be; None for words and a day."""
    if box.name == "bottles":
        return NUMBER.within(1.0, MOST_BOTTLES)
    if box.name in COUNTS or box.name == "reckoned":
        return COUNT
    there = OF_AN_ORDER if box.page == "plan" and box.goes != "fresh" else beside.KINDS
    return there.get(box.goes)


def read(box: Box, text: str) -> Any:
    """What stands in a box: a quantity, a plain number of days or drops, or words; None where nothing stands.

    Refuses: what cannot be read, or cannot be so, in a sentence (WrongUnit, OutOfRange).

    >>> read(BOXES["keeps"], "1.7").magnitude, read(BOXES["drying"], "6 days"), read(BOXES["out"], " ")
    (1.7, 6.0, None)
    """
    text = text.strip()
    if not text:
        return None
    if box.kind == WORDS:
        return text
    if box.kind == DAY:
        return day(text)
    kind = kind_of(box)
    assert kind is not None
    if box.kind == KEPT:
        found = read_kept(text)
    elif box.kind == DAYS:
        found = float(amount(f"{text} days" if _BARE.fullmatch(text) else text, "time").to("day").magnitude)
    else:
        found = amount(text, box.kind)
        found = float(found.magnitude) if box.kind == "count" else found
    if box.kind == "count" and box.name != "reckoned" and found != int(found):
        raise OutOfRange(f"{quoted(text)} is no whole number. A count such as {box.example} would work.")
    take(box.name, kind, found)
    return found


def read_kept(text: str) -> Any:
    """What each gram keeps, typed with its unit, or as a bare number of mL.

    >>> read_kept("1.7").magnitude, read_kept("1,7 mL").magnitude, read_kept("1.7 mL/g").magnitude
    (1.7, 1.7, 1.7)
    """
    bare = text.strip().removesuffix("mL").removesuffix("ml").strip()
    return amount(f"{bare} mL/g" if _BARE.fullmatch(bare) else text, "ratio")


def said_of(box: Box, found: Any) -> str:
    """What was read, in words."""
    if box.kind == KEPT:
        return per_gram(float(found.to("mL/g").magnitude))
    if box.kind == DAYS:
        return beside.SAYING["days"](found)
    if box.kind == DAY:
        return day_said(found)
    if box.kind == "count":
        return f"{found:g}"
    return str(found) if box.kind == WORDS else spoken(found)


def heard(page: str, typed: Mapping[str, str]) -> tuple[list[str], list[str]]:
    """The boxes of a page in which something stands: what cannot be read and what would work, a sentence each; and
    what was read.

    >>> heard("drops", {"first": "190", "second": "many"})[1]
    ['First count: 190']
    """
    amiss, found = [], []
    for box in boxes(page):
        try:
            value = read(box, typed.get(box.name, ""))
        except (WrongUnit, OutOfRange) as refusal:
            amiss.append(f"{box.label}: {without_name(box.name, refusal)}")
            continue
        amiss += filter(None, [turned_round(typed.get(box.name, ""))] if box.kind == "ratio" else [])
        if value is not None and box.kind != WORDS:
            found.append(f"{box.label}: {said_of(box, value)}")
    return amiss, found


def _readable(typed: Mapping[str, str], page: str = "") -> dict[str, Any]:
    """All boxes that can be read, by their names."""
    found = {}
    for box in boxes(page) if page else BOXES.values():
        try:
            value = read(box, typed.get(box.name, ""))
        except (WrongUnit, OutOfRange):
            continue  # the page of that box says so
        if value is not None and (not box.chosen or value in box.chosen):
            found[box.name] = value
    return found


# --- the plan ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Plan:
    """The plan: its batch (None: it cannot be made, or nothing is wanted yet), what there is to say, which figures
    were taken because nobody typed them (by box, as they may be typed; and as sentences), and drops in each mL, where
    some were named."""

    batch: Batch | None
    lines: list[str]
    taken: dict[str, str]
    whence: list[str]
    drops: float | None = None


NOT_THE_MAKING = ("plant", "gather", "bottles", "day")
NOTHING_YET = (
    "Nothing is planned yet. Type how much fresh plant you mean to gather, or how many bottles you want; the rest "
    "can stay empty at first."
)


def planned(typed: Mapping[str, str], rules: Rules, home: Path, name: str) -> Plan:
    """The plan of the batch of that name."""
    found = _readable(typed, "plan")
    taken, told = {}, []
    for box, (value, whence) in _usual(found, rules, home, name).items():
        if box not in found:
            found[box] = value
            taken[box] = _typed(BOXES[box], value)
            told.append(f"{BOXES[box].label}: {said_of(BOXES[box], value)}, {whence}")
    drops = found.pop("reckoned", None)
    if "gather" not in found and "bottles" not in found:
        return Plan(None, [NOTHING_YET], taken, told, drops)
    making = {
        BOXES[box].goes: value for box, value in found.items() if BOXES[box].goes and box not in ("gather", "bottles")
    }
    making["floor"] = Q(rules.floor, "percent_vol")
    making["dried_to"] = Q(rules.dried_to, "percent_wb")
    try:
        batch = (
            walk_back(Order(found["bottles"], **making), rules=rules)
            if "bottles" in found
            else walk_forward(Basket(found["gather"], **making), rules=rules)
        )
    except Impossible as refusal:
        return Plan(None, [str(refusal), *(way.text for way in refusal.ways_out)], taken, told, drops)
    first = f"Gather {spoken(batch.basket.fresh)} fresh"
    if batch.order.state == "dried":
        first += f", which dries to {spoken(batch.herb)}"
    lines = [
        f"{first}; pour {spoken(batch.menstruum)} of {spoken(batch.order.spirit)}.",
        *batch.band.lines(),
        f"Measured, with the density of alcohol and water: {spoken(batch.strength_measured)}.",
    ]
    if "bottles" in found and "gather" in found:
        lines.append("Both a basket and bottles are typed: the bottles count here.")
    ends = (float(batch.strength.magnitude), float(batch.strength_measured.magnitude))
    if weak := cautions.weak(rules.floor, *ends):
        wet = Q(water_in_jar(batch.order), "percent_wb")
        ways = menstruum.ways_out(batch.herb, wet, batch.menstruum, batch.order.spirit, making["floor"])
        lines += [weak, *(way.text for way in ways)]
    return Plan(batch, lines, taken, told, drops)


def day_of(typed: Mapping[str, str]) -> Any:
    """The day of the gathering, a date; None where none stands there that can be read.

    >>> day_of({"day": "14 July 2026"}), day_of({"day": "soon"})
    (datetime.date(2026, 7, 14), None)
    """
    return _readable(typed, "plan").get("day")


def _usual(found: Mapping[str, Any], rules: Rules, home: Path, name: str) -> dict[str, tuple[Any, str]]:
    """What an empty box of the plan stands for, and where it is from."""
    fresh = found.get("state") == "fresh"
    there = batches.all_figures(home)
    own = there.get(name, {})
    usual: dict[str, tuple[Any, str]] = {
        "state": ("dried", "as is most usual"),
        "bottle": (Q(50.0, "mL"), "a common size"),
        "water": (Q(80.0, "percent_wb"), "as leaf often has; your sample will tell"),
        "ratio": (Q(2.0 if fresh else 5.0, "mL/g"), "common practice"),
        "spirit": (Q(95.0 if fresh else 50.0, "percent_vol"), "common practice"),
        "keeps": (Q(rules.retained, "mL/g"), "the house rule"),
    }
    others = {other: figures for other, figures in there.items() if other != name}
    usual |= _of_another("keeps", "retained", others) | _of_another("reckoned", "drops", others)
    for box, figure in (("water", "water"), ("ratio", "ratio"), ("spirit", "spirit"), ("keeps", "retained")):
        value = _figure(BOXES[box], own.get(figure))
        if value is not None:
            usual[box] = (value, "from the figures of this batch")
    return usual


def _of_another(box: str, figure: str, others: dict[str, dict[str, Any]]) -> dict[str, tuple[Any, str]]:
    """One's own figure from the batch begun last in which it stands."""
    for other, figures in reversed(others.items()):
        value = _figure(BOXES[box], figures.get(figure))
        if value is not None:
            return {box: (value, f'from your batch "{other}"')}
    return {}


def _figure(box: Box, number: Any) -> Any:
    """A figure from the file as the box would hold it; None where it does not fit."""
    kind = kind_of(box)
    if kind is None or isinstance(number, bool) or not isinstance(number, (int, float)):
        return None
    try:
        value = Q(float(number), kind.unit) if kind.unit else float(number)
        take(box.name, kind, value)
    except (WrongUnit, OutOfRange, OverflowError):
        return None
    return value


def _typed(box: Box, value: Any) -> str:
    """A figure as a person might have typed it, to the last digit."""
    if isinstance(value, str):
        return value
    number = f"{float(value if box.kind == 'count' else value.magnitude):.12g}"
    ends = {"moisture": " %", "strength": " % vol", "volume": " mL", KEPT: " mL/g"}
    return f"1:{number}" if box.kind == "ratio" else number + ends.get(box.kind, "")


# --- the bench -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Says:
    """What the bench says: the comparison (None: there is no plan yet) and the lines on a jar under the floor."""

    compared: Compared | None
    weak: list[str]
    lines: list[str]


NO_PLAN = "There is no plan to set it beside yet. Fill in the plan above; what you measured is kept meanwhile."


def measured(typed: Mapping[str, str]) -> Bench:
    """The bench of a batch: every box that can be read."""
    found = _readable(typed)
    drops = [found[name] for name in COUNTS if name in found]
    given = {
        BOXES[name].goes: value for name, value in found.items() if BOXES[name].page != "plan" and name not in COUNTS
    }
    return Bench(**given, drops=drops or None)


def cannot_be(page: str, plan: Plan, typed: Mapping[str, str]) -> list[str]:
    """What was measured and cannot be so, as far as a page has part in it, to be said where it was typed."""
    if plan.batch is None:
        return []
    amiss = beside.possible(plan.batch, measured(typed))[1]
    if not amiss:
        return []
    others = {name: text for name, text in typed.items() if name not in BOXES or BOXES[name].page != page}
    before = beside.possible(plan.batch, measured(others))[1]
    return [line for line in amiss if line not in before]


def says(plan: Plan, typed: Mapping[str, str], rules: Rules) -> Says:
    """The plan and the bench beside each other."""
    if plan.batch is None:
        return Says(None, [], [NO_PLAN])
    bench = measured(typed)
    told = compare(plan.batch, bench, plan.drops)
    if not told.measured:
        return Says(told, [], ["Nothing is measured yet. What you type on the pages above stands here at once."])
    lines = told.lines or ["So far nothing lies further from the plan than scale, jug and sample can tell."]
    return Says(told, _under_the_floor(bench, told, rules), [*lines, *told.amiss])


def _under_the_floor(bench: Bench, told: Compared, rules: Rules) -> list[str]:
    """What is said of a jar that ends under the floor, and what would help while it is not pressed."""
    if told.keeps is not False:
        return []
    lines = [cautions.WEAK]
    if bench.out is None and told.jar is not None:
        ways = menstruum.ways_out(*told.jar, Q(rules.floor, "percent_vol"))
        lines += [way.text for way in ways]
    return lines


NAMED = {"water": "its water", "retained": "what the marc keeps", "drops": "drops in each mL"}
SAID = {"water": lambda number: said(number, "percent_wb"), **beside.SAYING}


def used(own: Mapping[str, float], name: str) -> list[str]:
    """What is said when one's own figures have been taken over."""
    figures = "; ".join(f"{NAMED[figure]}, {SAID[figure](number)}" for figure, number in own.items())
    return [
        f'Now figures of "{name}": {figures}.',
        "The plan above stays what it was. The next batch you begin starts from your own marc and drops.",
    ]


def house_line(compared: Compared, rules: Rules) -> list[str]:
    """For who teaches: the line that makes a marc of one's own the class's, and what it changes."""
    kept = compared.own.get("retained")
    if kept is None:
        return []
    kept = float(f"{kept:.2g}")
    try:
        replace(rules, retained=kept)
    except OutOfRange as refusal:
        return [str(refusal)]
    return [
        f"retained = {kept:g}",
        "Below [rules] in class.toml this line makes it the class's own figure: every lesson, card and sheet then "
        f"reckons with {per_gram(kept)} wherever nothing else is said. Now it is {said(rules.retained, '')}.",
    ]
