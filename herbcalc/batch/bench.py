"""Floor 3. What the bench gave beside what was predicted, and which of one's own figures to use next time.

Each figure is predicted from all that was measured before it: what comes out of the jar is reckoned from the herb and
the menstruum that really went in, so that a difference stands where it arose. How far the two may lie apart without
being news is carried from the readings on either side (`sure`). What was not measured yet is left open.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, NamedTuple

import numpy as np

from herbcalc import dosing, ethanol, maceration, menstruum, moisture
from herbcalc.batch.figures import water_in_jar
from herbcalc.batch.sure import Reading, carried
from herbcalc.batch.walk import Batch
from herbcalc.ethanol import STRENGTH
from herbcalc.units.arrays import at_least
from herbcalc.units.guard import NUMBER, VOLUME, WEIGHT, Kind, give, take
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q
from herbcalc.units.saying import per_gram, said

MOST_WEIGHT, MOST_VOLUME = 50_000.0, 50_000.0  # g and mL: more is no batch of one person
_WEIGHED = WEIGHT.within(0.0, MOST_WEIGHT, above=True)
_POURED = VOLUME.within(0.0, MOST_VOLUME, above=True)
_DAYS = NUMBER.within(0.0, 3650.0)
KINDS: dict[str, Kind] = {
    "sample_fresh": _WEIGHED,
    "sample_dried": _WEIGHED,
    "fresh": _WEIGHED,
    "dried": _WEIGHED,
    "jar": _WEIGHED,
    "with_herb": _WEIGHED,
    "with_all": _WEIGHED,
    "poured": _POURED,
    "spirit": STRENGTH.within(0.0, 100.0, above=True),
    "out": VOLUME.within(0.0, MOST_VOLUME),
    "marc": _WEIGHED,
    "measure": _POURED,
    "drying": _DAYS,
    "soaking": _DAYS,
}
FIVE, GRAM, BONE_DRY = Q(5.0, "mL"), Q(1.0, "g"), Q(0.0, "percent_wb")
HAIR = 1e-9  # share by which a figure at the end of its range is still inside
NOT_YET = "not measured yet"
WATER, DRIED, RATIO, STRONG = "water in the plant", "weight off the tray", "menstruum on each gram", "strength"
MAY_DISSOLVE = (
    0.3  # mL for each g of dry plant: what goes into solution makes a marc lighter; common practice, no source
)
OUT, MARC, WEIGHED = "what comes out", "what the marc keeps", "the marc, by its weight"
DROPS, TRAY, SOAK, DRIP = "drops in each mL", "days on the tray", "days in the jar", "days of dripping"

SAYING: dict[str, Callable[[float], str]] = {
    "retained": per_gram,
    "drops": dosing.each_mL,
    "days": lambda number: f"{number:g} day{'' if number == 1 else 's'}",
}


@dataclass(frozen=True)
class Bench:
    """What was weighed and measured of one batch; None is not measured yet.

    sample_fresh, sample_dried  the moisture sample, g, more than 0
    fresh                       the basket as it goes on, its sample taken out, g, more than 0
    dried                       what came off the tray, dried or wilted, g, more than 0
    jar, with_herb, with_all    the jar empty, with its herb, and filled, g, more than 0
    poured                      menstruum, mL, more than 0; where the three weighings are there, they count
    spirit                      strength poured, percent_vol or percent_mass, more than 0; None: as planned
    out                         pressed out or dripped, mL, 0 or more
    marc                        the marc afterwards, g, more than 0
    drops                       counts of drops that filled the measure, plain, more than 0; a list
    measure                     that was filled, mL, more than 0
    drying, soaking             days that each took, plain, 0 to 3650

    Refuses: WrongUnit; OutOfRange also for lists (but for `drops`).

    >>> Bench(out=Q(331, "mL")).out.magnitude
    331
    """

    sample_fresh: Any = None
    sample_dried: Any = None
    fresh: Any = None
    dried: Any = None
    jar: Any = None
    with_herb: Any = None
    with_all: Any = None
    poured: Any = None
    spirit: Any = None
    out: Any = None
    marc: Any = None
    drops: Any = None
    measure: Any = FIVE
    drying: Any = None
    soaking: Any = None

    def __post_init__(self) -> None:
        for name, kind in KINDS.items():
            if getattr(self, name) is not None and np.ndim(take(name, kind, getattr(self, name))):
                raise OutOfRange(f"{name}: one batch at a time, please; a list was given. One amount would work.")
        if self.drops is not None:
            dosing.drops_per_mL(self.drops, self.measure)

    def bare(self) -> dict[str, float]:
        """What was measured, as bare numbers by name."""
        there = {part.name: getattr(self, part.name) for part in fields(self) if part.name in KINDS}
        return {name: float(take(name, KINDS[name], value)) for name, value in there.items() if value is not None}


class Beside(NamedTuple):
    """One figure: in the plan, predicted from what was measured before it, and measured; None where it is not.

    what       a name
    unit       of the numbers, as in the registry; "drops" for drops in each mL
    planned    in the plan
    predicted  from what was measured before it; the plan's, where nothing was
    measured   on the bench
    low, high  between which a measured figure is no news
    sharpen    the reading that would tell them apart best, in words; "" where none would
    """

    what: str
    unit: str
    planned: float | None
    predicted: float | None = None
    measured: float | None = None
    low: float | None = None
    high: float | None = None
    sharpen: str = ""

    @property
    def news(self) -> bool:
        """Whether the two lie further apart than scale, jug and sample can explain."""
        if self.measured is None or self.low is None or self.high is None:
            return False
        return not self.low - HAIR * abs(self.low) <= self.measured <= self.high + HAIR * abs(self.high)

    def say(self, number: float | None) -> str:
        """One of its numbers in words."""
        if number is None:
            return NOT_YET
        return SAYING[self.unit](number) if self.unit in SAYING else said(number, self.unit)


@dataclass(frozen=True)
class Compared:
    """A batch beside its bench.

    rows   a Beside each for water, weight off the tray, ratio, strength, what comes out, the marc, drops, days
    lines  sentences: what is news, what is not, what to use next time
    amiss  sentences on what was measured and cannot be so
    own    the person's own figures, by the names of a batch: "water" (percent_wb), "retained" (mL/g), "drops" (1/mL)
    jar    what is in the jar: herb (g), its water (percent_wb), menstruum (mL), its strength; None: not known yet
    keeps  whether that ends at the floor or above by both rules; None: not known yet
    """

    rows: list[Beside]
    lines: list[str]
    amiss: list[str]
    own: dict[str, float]
    jar: tuple[Any, Any, Any, Any] | None
    keeps: bool | None

    @property
    def measured(self) -> bool:
        """Whether anything was."""
        return any(row.measured is not None for row in self.rows)

    def row(self, what: str) -> Beside:
        """The figure of that name."""
        return next(row for row in self.rows if row.what == what)


class _Asked(dict[str, Any]):
    """The values of readings, which notes by itself which of them a sum asks for."""

    def __init__(self, readings: Mapping[str, Reading]) -> None:
        super().__init__()
        self.readings = readings

    def __missing__(self, name: str) -> float:
        self[name] = self.readings[name].value
        return self.readings[name].value


_Sum = Callable[[Mapping[str, Any]], Any]


class _Sums:
    """The sums of one batch, on readings by name: what was measured, or else what was planned."""

    def __init__(self, batch: Batch, bench: Bench) -> None:
        self.batch, self.order, self.bench = batch, batch.order, bench.bare()
        self.dried = batch.order.state == "dried"
        self.on_tray = water_in_jar(batch.order) < batch.order.number("water")  # to dry, or to wilt
        self.spirit = self.bench.get("spirit", batch.order.number("spirit"))
        self.readings = self._readings()

    def _readings(self) -> dict[str, Reading]:
        read, made = self.batch.readings, self.order
        scale, jug = read.off("scale"), read.off("jug")
        told = {
            name: Reading(value, scale, "a finer scale", low=1e-9)
            for name, value in self.bench.items()
            if KINDS[name] is _WEIGHED
        }
        for name in ("poured", "out"):
            if name in self.bench:
                told[name] = Reading(self.bench[name], jug * self.bench[name], "a finer jug", low=0.0)
        told["pouring"] = Reading(1.0, jug, "a finer jug", low=0.0)
        told["retained"] = read.kept(made.number("retained"))
        told["planned water"] = read.sampled(made.number("water"))
        sampled = self.has("sample_fresh", "sample_dried")
        water = float(_sampled(self.bench)) if sampled else made.number("water")
        told["water"] = told["planned water"]._replace(value=water)
        told["left"] = read.felt(min(water_in_jar(made), told["water"].value))
        if "fresh" not in told:
            told["fresh"] = Reading(self.batch.basket.number("fresh"), 0.0, "")
        return told

    def has(self, *names: str) -> bool:
        """Whether all of these were measured."""
        return all(name in self.bench for name in names)

    def herb(self, r: Mapping[str, Any]) -> Any:
        """What lies in the jar, g."""
        if self.has("jar", "with_herb"):
            return np.maximum(r["with_herb"] - r["jar"], 1e-9)
        return r[self.put_in]

    def poured(self, r: Mapping[str, Any]) -> Any:
        """What was poured on it, mL: by weight where the jar was weighed, else by the jug."""
        if self.has("with_herb", "with_all"):
            weighs = float(ethanol.density(give(self.spirit, "percent_vol")).magnitude) / 1000.0
            return np.maximum(r["with_all"] - r["with_herb"], 1e-9) / weighs
        return r["poured"]

    def wet(self, r: Mapping[str, Any]) -> Any:
        """The herb's water as it goes in, percent_wb."""
        return r["left"] if self.on_tray else r["water"]

    def counted(self, r: Mapping[str, Any]) -> Any:
        """The water that the sums of yield count: none of dried herb."""
        return 0.0 if self.dried else self.wet(r)

    @property
    def put_in(self) -> str:
        """Which weight goes into the jar, where the jar itself was not weighed."""
        return "dried" if self.on_tray else "fresh"

    @property
    def knows_jar(self) -> bool:
        """Whether it is known what went into the jar, herb and menstruum."""
        herb = self.has("jar", "with_herb") or self.has(self.put_in)
        return herb and (self.has("with_herb", "with_all") or self.has("poured"))

    @property
    def jar(self) -> tuple[Any, Any, Any, Any]:
        """Herb, its water, menstruum and its strength, as they went in."""
        numbers = (self.herb(self.now), self.wet(self.now), self.poured(self.now), self.spirit)
        herb, water, poured, spirit = (float(number) for number in numbers)
        return Q(herb, "g"), Q(water, "percent_wb"), Q(poured, "mL"), Q(spirit, "percent_vol")

    def ratio(self, r: Mapping[str, Any]) -> Any:
        """Menstruum on each gram in the jar, mL/g."""
        return self.poured(r) / self.herb(r)

    def dry_herb(self, r: Mapping[str, Any]) -> Any:
        """What the basket weighs dried, g."""
        return moisture.dried_weight.plain(r["fresh"], r["water"], np.minimum(r["left"], r["water"]))

    def ends(self, r: Mapping[str, Any], rule: str = "kitchen") -> Any:
        """The strength of what is in the jar, percent_vol."""
        return menstruum.final_strength.plain(self.herb(r), self.wet(r), self.poured(r), self.spirit, rule)

    def comes_out(self, r: Mapping[str, Any]) -> Any:
        """What comes out if the marc keeps what was planned, mL."""
        return maceration.liquid_out.plain(self.herb(r), self.poured(r), r["retained"], self.counted(r))

    def kept(self, r: Mapping[str, Any], out: Any) -> Any:
        """What the marc kept if so much came out, mL/g."""
        most = maceration.liquid_out.plain(self.herb(r), self.poured(r), 0.0, self.counted(r))
        return maceration.retained_found.plain(self.herb(r), self.poured(r), np.minimum(out, most), self.counted(r))

    def kept_by_weight(self, r: Mapping[str, Any]) -> Any:
        """What the marc kept by its own weight, mL/g."""
        herb, counted, ends = self.herb(r), self.counted(r), self.ends(r, "measured")
        marc = np.maximum(r["marc"], herb * (1.0 - counted / 100.0))
        return maceration.retained_weighed.plain(herb, marc, ends, counted)

    @property
    def now(self) -> dict[str, float]:
        """Each reading as it was read."""
        return {name: one.value for name, one in self.readings.items()}

    def row(self, what: str, unit: str, planned: float | None, predicted: _Sum, measured: _Sum | None) -> Beside:
        """One figure, and how far the two sides may lie apart."""
        now = self.now
        stood = float(predicted(now))
        if measured is None:
            return Beside(what, unit, planned, stood)
        found = float(measured(now))
        asked = _Asked(self.readings)
        predicted(asked)
        measured(asked)
        apart = carried(lambda **r: predicted(r) - measured(r), {name: self.readings[name] for name in asked})
        off = stood - found
        return Beside(
            what, unit, planned, stood, found, stood + apart.low - off, stood + apart.high - off, apart.sharpen
        )


def compare(batch: Batch, bench: Bench, drops: float | None = None) -> Compared:
    """What the bench gave beside what the batch predicted.

    batch  the plan: what `walk_back` or `walk_forward` gives; its `readings` say how far each reading may be off
    bench  what was measured so far
    drops  drops in each mL that were reckoned with, plain, more than 0; None: none were

    Result: Compared. What was measured and cannot be so is a sentence in `amiss`, and counts as not measured.
    Source: plain balance, by the calls of floor 2; a dropper in use may be off by 15 of every 100 (USP 32 <1101>).

    >>> from herbcalc.batch import Order, walk_back
    >>> plan = walk_back(Order(7, Q(50, "mL")))
    >>> told = compare(plan, Bench(dried=Q(100, "g"), poured=Q(500, "mL"), out=Q(290, "mL")))
    >>> told.row(OUT).news, round(told.own["retained"], 2)
    (True, 2.1)
    >>> told.lines[-1]
    'You planned 350 mL (11 3/4 fl oz) at 49 % vol. The bench gave 290 mL (9 3/4 fl oz), reckoned at 49 % vol: if \
nothing was spilled, the marc kept 2.1 mL for each gram (2.01 fl oz for each oz), not 1.5. Use that next time.'
    """
    bench, amiss = possible(batch, bench)
    sums = _Sums(batch, bench)
    water, out = _water(sums), _out(sums)
    marc, weighed, drop = _marc(sums, out), _weighed(sums), _drops(bench, drops)
    rows = [
        water,
        *_dried(sums),
        _ratio(sums),
        _strength(sums),
        out,
        marc,
        *weighed,
        drop,
        *_days(sums),
    ]
    jar = keeps = None
    if sums.knows_jar:
        jar = sums.jar
        ends = [sums.ends(sums.now, rule) for rule in ("kitchen", "measured")]
        keeps = bool(at_least(min(ends), batch.order.number("floor")))
    kept = None if out.news and any(row.news for row in weighed) else marc.measured  # gone, and not in the marc
    own = {"water": water.measured, "retained": kept, "drops": drop.measured}
    told = [*_lines(rows), *_counts(bench)]
    return Compared(rows, told, amiss, {name: one for name, one in own.items() if one is not None}, jar, keeps)


def possible(batch: Batch, bench: Bench) -> tuple[Bench, list[str]]:
    """The bench without what cannot be so, and a sentence for each thing that was left out."""
    spirit = bench.spirit if bench.spirit is not None else batch.order.spirit
    amiss: list[str] = []

    def tried(names: Sequence[str], sum_: Callable[..., Any]) -> None:
        nonlocal bench
        values = [getattr(bench, name) for name in names]
        if any(value is None for value in values):
            return
        try:
            sum_(*values)
        except OutOfRange as refusal:
            told = str(refusal).partition(": ")[2]  # what stands before it is a name of ours
            amiss.append(told[0].upper() + told[1:])
            bench = replace(bench, **dict.fromkeys(names))

    def filled(jar: Any, with_herb: Any, with_all: Any) -> None:
        maceration.folk_jar(jar, with_herb, with_all, BONE_DRY, spirit)

    tried(("sample_fresh", "sample_dried"), moisture.water_content)
    tried(("fresh", "dried"), moisture.water_content)
    tried(("jar", "with_herb", "with_all"), filled)
    tried(("jar", "with_herb"), lambda jar, with_herb: filled(jar, with_herb, with_herb + GRAM))
    tried(("with_herb", "with_all"), lambda with_herb, with_all: filled(Q(0.0, "g"), with_herb, with_all))
    sums = _Sums(batch, bench)
    if sums.knows_jar:
        herb, _, poured, _ = sums.jar
        counted, ends = (
            Q(sums.counted(sums.now), "percent_wb"),
            Q(float(sums.ends(sums.now, "measured")), "percent_vol"),
        )
        tried(("out",), lambda out: maceration.retained_found(herb, poured, out, counted))
        tried(("marc",), lambda marc: maceration.retained_weighed(herb, marc, ends, counted))
    return bench, amiss


def _sampled(r: Mapping[str, Any]) -> Any:
    """The water of the sample, percent_wb."""
    return moisture.water_content.plain(r["sample_fresh"], np.minimum(r["sample_dried"], r["sample_fresh"]))


def _water(sums: _Sums) -> Beside:
    sampled = sums.has("sample_fresh", "sample_dried")
    return sums.row(
        WATER,
        "percent_wb",
        sums.order.number("water"),
        lambda r: r["planned water"],
        _sampled if sampled else None,
    )


def _dried(sums: _Sums) -> list[Beside]:
    if not sums.on_tray:
        return []
    measured = (lambda r: r["dried"]) if sums.has("dried") else None
    return [sums.row(DRIED, "g", sums.batch.herb.magnitude, sums.dry_herb, measured)]


def _ratio(sums: _Sums) -> Beside:
    """What was made beside the plan: poured by a jug, and no nearer to the plan than a jug comes."""
    planned = float(sums.batch.menstruum.magnitude / sums.batch.herb.magnitude)
    measured = sums.ratio if sums.knows_jar else None
    return sums.row(RATIO, "mL/g", planned, lambda r: planned * r["pouring"], measured)


def _strength(sums: _Sums) -> Beside:
    """What the jar ends at beside the plan, which foretells it: no reading of the plan is in doubt there."""
    planned = float(sums.batch.strength.magnitude)
    return sums.row(STRONG, "percent_vol", planned, lambda r: planned, sums.ends if sums.knows_jar else None)


def _out(sums: _Sums) -> Beside:
    planned = float(sums.batch.finished.magnitude)
    if not sums.knows_jar:
        return Beside(OUT, "mL", planned, planned, sums.bench.get("out"))
    return sums.row(OUT, "mL", planned, sums.comes_out, (lambda r: r["out"]) if sums.has("out") else None)


def _marc(sums: _Sums, out: Beside) -> Beside:
    """What the marc kept: by what came out, else by its weight."""
    planned = sums.order.number("retained")
    if not sums.knows_jar:
        return Beside(MARC, "retained", planned, planned)
    if out.measured is None or out.low is None or out.high is None:
        by_weight = sums.kept_by_weight if sums.has("marc") else None
        return sums.row(MARC, "retained", planned, lambda r: r["retained"], by_weight)
    kept, low, high = (float(sums.kept(sums.now, max(one, 0.0))) for one in (out.measured, out.high, out.low))
    return Beside(MARC, "retained", planned, planned, kept, low, high, out.sharpen)  # one verdict for both


def _weighed(sums: _Sums) -> list[Beside]:
    """The marc on the scale beside what came out, where both were measured."""
    if not (sums.knows_jar and sums.has("out", "marc")):
        return []
    row = sums.row(WEIGHED, "retained", None, lambda r: sums.kept(r, r["out"]), sums.kept_by_weight)
    return [row if row.low is None else row._replace(low=row.low - MAY_DISSOLVE)]


def _drops(bench: Bench, planned: float | None) -> Beside:
    found = None if bench.drops is None else float(dosing.drops_per_mL(bench.drops, bench.measure).magnitude)
    if planned is None:
        return Beside(DROPS, "drops", None, None, found)
    off = dosing.MAY_ERR * planned
    return Beside(DROPS, "drops", planned, planned, found, planned - off, planned + off)


def _days(sums: _Sums) -> list[Beside]:
    when = sums.batch.days.of(sums.order)
    tray, last = float(when["put up"]), float(when["bottle"] - when["put up"])
    name = SOAK if sums.order.method == "soak" else DRIP
    rows = [Beside(name, "days", last, last, sums.bench.get("soaking"))]
    if sums.on_tray:
        rows.insert(0, Beside(TRAY, "days", tray, tray, sums.bench.get("drying")))
    return rows


def _lines(rows: Sequence[Beside]) -> list[str]:
    """What there is to say of the rows, in their order."""
    by_name = {row.what: row for row in rows}
    marc = by_name[MARC]
    lines = []
    for row in rows:
        if row.what == OUT and row.measured is not None and marc.measured is not None:
            lines.append(_came_out(row, marc, by_name[STRONG], by_name.get(WEIGHED)))
        elif row.what == MARC and row.measured is not None and by_name[OUT].measured is None:
            lines.append(
                f"Weighed, your marc kept {per_gram(row.measured)}; the plan had {said(row.planned or 0.0, '')}. "
                "Use that next time."
            )
        elif row.news and row.what == WEIGHED:
            lines.append(_by_weight(row, by_name[OUT]))
        elif row.news and row.what in NEWS:
            lines.append(NEWS[row.what](row))
    return lines


def _came_out(out: Beside, marc: Beside, strong: Beside, weighed: Beside | None) -> str:
    """The sentence on what came out, how strong, and what the marc kept, unless its own weight says otherwise."""
    assert marc.measured is not None
    assert marc.planned is not None
    planned, predicted, measured = (out.say(one) for one in (out.planned, out.predicted, out.measured))
    first = f"You planned {planned} at {strong.say(strong.planned)}."
    if predicted != planned:
        first += f" From what really went in, {predicted} was to come."
    first += f" The bench gave {measured}, reckoned at {strong.say(strong.measured)}"
    doubted = weighed is not None and weighed.news
    kept, instead = per_gram(marc.measured), said(marc.planned, "")
    if out.news:
        sure = "" if weighed is not None else "if nothing was spilled, "
        return f"{first}." if doubted else f"{first}: {sure}the marc kept {kept}, not {instead}. Use that next time."
    near = f"from {out.say(out.low)} to {out.say(out.high)}"
    first += f", and {near} is as near as scale, jug and a usual marc can foretell."
    return first if doubted else f"{first} Your own marc kept {kept}: with that the next plan is surer."


def _by_weight(row: Beside, out: Beside) -> str:
    """The sentence on a marc that weighs other than what came out makes of it."""
    assert row.measured is not None
    assert row.predicted is not None
    first = f"By what came out the marc kept {row.say(row.predicted)}, and by its weight {row.say(row.measured)}."
    if row.measured > row.predicted:
        first += " More came out than the marc leaves room for: jug, scale or strength was read amiss."
    else:
        first += " More than dissolves was spilled, went into cloth, jug and air, or was read amiss."
    if out.news:
        return f"{first} Neither is your own figure before the two agree: measure and weigh once more."
    return f"{first} Weigh once more; till then {row.say(row.predicted)} is the surer one to plan with."


def _of_dried(row: Beside) -> str:
    assert row.measured is not None
    assert row.predicted is not None
    first = f"From this basket {row.say(row.predicted)} was to come off the tray; it weighs {row.say(row.measured)}."
    if row.measured > row.predicted:
        return (
            f"{first} Heavier is most often wetter: snap a stem, and weigh once more tomorrow. Herb that is not dry "
            "moulds in its jar."
        )
    return f"{first} Were stems stripped, or did crumbs stay on the tray? Or was the sample drier than the basket?"


NEWS: dict[str, Callable[[Beside], str]] = {
    WATER: lambda row: (
        f"You planned with {row.say(row.planned)}; your sample has {row.say(row.measured)}. What follows is reckoned "
        "with your sample."
    ),
    DRIED: _of_dried,
    RATIO: lambda row: (
        f"You planned {row.say(row.planned)} and made {row.say(row.measured)}. What follows is reckoned with what is "
        "in the jar."
    ),
    STRONG: lambda row: (
        f"You planned {row.say(row.planned)}; what is in the jar ends at {row.say(row.measured)} (kitchen rule)."
    ),
    DROPS: lambda row: (
        f"You reckoned with {row.say(row.planned)}; this dropper gives {row.say(row.measured)} of this liquid. Use "
        "that next time."
    ),
}


def _counts(bench: Bench) -> list[str]:
    if bench.drops is None or dosing.counts_differ(bench.drops) <= dosing.MAY_ERR:
        return []
    apart = said(100.0 * dosing.counts_differ(bench.drops), "")
    return [
        f"Your counts lie {apart} of every 100 apart. Hold the dropper upright, drop slowly, and count once more."
    ]
