"""Floor 4. Lesson 12: mixing, drops and the label. Every amount here is invented and typed by a person of the
story."""

from __future__ import annotations

import math
from dataclasses import replace

from herbcalc import dosing, ethanol, maceration, menstruum
from herbcalc.homework.blueprint import (
    DROPS_TO_THE_ML,
    LETTERS,
    STRENGTH,
    VOLUME,
    WEIGHT,
    Ask,
    Figures,
    Want,
    bare,
    case,
    grid,
    mistake,
    one_of,
    situation,
)
from herbcalc.homework.shared_slips import FRACTION_TURNED_OVER, RATIO_TURNED_ROUND
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import METRIC, g, mL, one_to, three, vol
from herbcalc.homework.wording import exact as n
from herbcalc.units import Q

_TOLD = (
    "In the story, which is invented and no advice, somebody types what their teacher told them: {dr} drops each "
    "time, {x} times a day. (In pregnancy or nursing, for a child, with liver trouble, before surgery, in recovery, "
    "or with any medicine, ask a qualified person first.)"
)
_FINISHED = "The ratio is mL of finished tincture for each g of herb."
_A_DAY = replace(WEIGHT, drop=r"\s*(?:/|\b(?:a|per|each|every|in a|behind a)\b)\s*day\b\.?")
_EACH_TIME = replace(WEIGHT, drop=r",?\s*\b(?:per|each|every|at a) (?:time|dose)\b\.?")
_DAYS = Want(
    ("count",),
    "",
    "days",
    exact=True,
    drop=r"(?<=\d) ?(?:whole |full )?(?:days?|tage?|d[ií]as?)\b",
)
_ML = round(dosing.alcohol_per_dose.plain(1.0, 100.0), 3)  # g that 1 mL of pure alcohol weighs


def _spread(f: Figures) -> float:
    return f.a + f.b + f.c


def _strength(f: Figures) -> tuple[float, ...]:
    mix = ethanol.mix(Q([f.a, f.b, f.c], "mL"), Q([100 * f.p, 100 * f.q, 100 * f.s], "percent_vol"))
    return float(mix.strength_by_kitchen_rule.magnitude), float(mix.strength.magnitude)


def _alcohol(f: Figures) -> float:
    return f.a * f.p + f.b * f.q + f.c * f.s


def _label(f: Figures, x: float) -> str:
    return (
        f"A label of {vol(x / 100)} would promise {mL(x / 100 * _spread(f))} of alcohol in the bottle, and "
        f"{mL(_alcohol(f))} went in."
    )


def _whole_way(f: Figures, w: Walk) -> float:
    two = w.total("mL", f"Liquid of the first two, in mL: {n(f.a)} + {n(f.b)}", f.a, f.b)
    return w.total("mL", f"With the third, in mL: {n(two)} + {n(f.c)}", two, f.c)


def _mix_way(f: Figures, w: Walk) -> None:
    held = [
        w.step("mL", f"Alcohol from the {name}, in mL: {n(a)} × {n(V)}", a * V)
        for name, V, a in (("first", f.a, f.p), ("second", f.b, f.q), ("third", f.c, f.s))
    ]
    two = w.total("mL", f"Alcohol of the first two, in mL: {n(held[0])} + {n(held[1])}", *held[:2])
    alcohol = w.total("mL", f"With the third, in mL: {n(two)} + {n(held[2])}", two, held[2])
    whole = _whole_way(f, w)
    w.step("vol", f"Alcohol divided by liquid: {n(alcohol)} ÷ {n(whole)}", alcohol / whole)


def _herb_a_day(f: Figures) -> float:
    return bare(dosing.herb_per_dose, f.dr / f.n * f.x * f.a / _spread(f), f.r)


def _worth(f: Figures, x: float) -> str:
    return (
        f"{three(x)} g of that herb stands behind {mL(x * f.r * _spread(f) / f.a)} of the mix, and the drops of that "
        f"day are {mL(f.dr / f.n * f.x)}."
    )


def _worth_way(f: Figures, w: Walk) -> None:
    each = w.step("mL", f"{n(f.dr)} drops, {n(f.n)} to the mL, in mL: {n(f.dr)} ÷ {n(f.n)}", f.dr / f.n)
    day = w.step("mL", f"In a day, {n(f.x)} times, in mL: {n(f.x)} × {n(each)}", f.x * each)
    whole = _whole_way(f, w)
    share = w.step("pct", f"The lemon balm's share of it: {n(f.a)} ÷ {n(whole)}", f.a / whole)
    part = w.step("mL", f"Lemon balm tincture in a day, in mL: {n(share)} × {n(day)}", share * day)
    w.step("g", f"The herb behind it, in g: {n(part)} ÷ {n(f.r)}", part / f.r)


def _worth_by_mL(f: Figures, w: Walk) -> None:
    """The herb in each mL of the mix, times the mL of a day."""
    each = w.step("", "", w.step("g", "", f.a / f.r) / _spread(f))
    w.step("g", "", each * w.step("mL", "", w.step("", "", f.dr * f.x) / f.n))


def _counts(f: Figures) -> tuple[float, float, float]:
    """Three counts: the last two lie on the same side of the first, so that the first alone is no mean."""
    side, first = 1 if f.side else -1, f.v * (28 + f.low)
    return first, first + side * (8 + f.d2), first + side * (8 + f.d3)


def _mean_way(f: Figures, w: Walk) -> None:
    one, two, three_ = _counts(f)
    both = w.step("", f"The first two counts together: {n(one)} + {n(two)}", one + two)
    together = w.step("", f"With the third: {n(both)} + {n(three_)}", both + three_)
    mean = w.step("", f"Their mean: {n(together)} ÷ 3", together / 3)
    w.step("", f"Divided by the mL of the measure: {n(mean)} ÷ {n(f.v)}", mean / f.v)


def _by_hand(f: Figures, x: float) -> str:
    one, two, three_ = _counts(f)
    return (
        f"With {three(x)} drops to the mL, the measure would be full after {three(x * f.v)} drops; it took "
        f"{one:.0f}, {two:.0f} and {three_:.0f}."
    )


def _lasts(f: Figures) -> float:
    return float(dosing.bottle_days.plain(f.B, f.dr / f.n * f.x))


def _runs(f: Figures, x: float) -> str:
    return f"In {x:.0f} days {mL(x * f.dr / f.n * f.x)} would go, and the bottle holds {mL(f.B)}."


def _days_way(f: Figures, w: Walk) -> None:
    each = w.step("mL", f"{n(f.dr)} drops, {n(f.n)} to the mL, in mL: {n(f.dr)} ÷ {n(f.n)}", f.dr / f.n)
    day = w.step("mL", f"In a day, in mL: {n(f.x)} × {n(each)}", f.x * each)
    days = w.step("", f"Days in the bottle: {n(f.B)} ÷ {n(day)}", f.B / day)
    w.whole(f"Rounded down: {n(days)}, so", math.floor(days), "days")


def _alcohol_way(f: Figures, w: Walk) -> None:
    each = w.step("mL", f"{n(f.dr)} drops, {n(f.n)} to the mL, in mL: {n(f.dr)} ÷ {n(f.n)}", f.dr / f.n)
    pure = w.step("mL", f"Pure alcohol in it, in mL: {n(f.p)} × {n(each)}", f.p * each)
    w.step("g", f"Its weight, {_ML:g} g for each mL, in g: {_ML:g} × {n(pure)}", _ML * pure)


def _held(f: Figures, x: float) -> str:
    return (
        f"{g(x)} of alcohol is in {mL(x / _ML / f.p)} of this tincture, and {n(f.dr)} drops are {mL(f.dr / f.n)} "
        "(1 tsp is 4.93 mL)."
    )


def _bears(f: Figures) -> tuple[float, float]:
    cut = menstruum.cut(Q(100 * f.p, "percent_vol"), Q(100 * f.t, "percent_vol"), spirit=Q(f.V, "mL"))
    return float(cut.water_by_kitchen_rule.magnitude), float(cut.water.magnitude)


def _thinned(f: Figures, x: float) -> str:
    ends = f.V * f.p / (f.V + x)
    return f"With {mL(x)} of decoction the mix would end at {vol(ends)}, and the floor is {vol(f.t)}."


def _bears_way(f: Figures, w: Walk) -> None:
    alcohol = w.step("mL", f"Pure alcohol in the tincture, in mL: {n(f.p)} × {n(f.V)}", f.p * f.V)
    whole = w.step("mL", f"At the floor it may be spread over, in mL: {n(alcohol)} ÷ {n(f.t)}", alcohol / f.t)
    w.total("mL", f"What is tincture already comes off, in mL: {n(whole)} − {n(f.V)}", whole, -f.V)


def _bears_by_times(f: Figures, w: Walk) -> None:
    """How many times the volume it comes to."""
    w.step("mL", "", w.step("mL", "", w.step("", "", f.p / f.t) * f.V) - f.V)


# --- 12.7: eight lines copied from a batch sheet, three of them not as it says ------------------------------------


def _amiss(f: Figures) -> tuple[int, int, int]:
    """Which three of the eight lines do not fit; over a class each line equally often."""
    return tuple(sorted((int(f.case) + step) % 8 for step in (0, 2, 5)))  # type: ignore[return-value]


def _end(f: Figures) -> float:
    return bare(menstruum.final_strength, f.m, 100 * f.w, f.r * f.m, 100 * f.p)


def _out(f: Figures) -> float:
    """mL that the press gives: all the liquid but 1.5 mL for each g of dry plant, to the next 5 mL below."""
    return 5.0 * (bare(maceration.liquid_out, f.m, f.r * f.m, 1.5, 100 * f.w) // 5)


def _sheet(f: Figures) -> str:
    return (
        f"lemon balm, Melissa officinalis, leaf, fresh, {n(100 * f.w)} % water; {g(f.m)} put up on 14 July 2026 with "
        f"{mL(f.r * f.m)} of {vol(f.p)}; pressed on 11 August, {mL(_out(f))} into the bottle; jar 2 of that day"
    )


def _label_lines(f: Figures) -> list[str]:
    end, amiss = _end(f) / 100, _amiss(f)
    told = (
        ("Lemon balm, Melissa officinalis, leaf.", "Lemon balm, leaf. No botanical name."),
        ("Put up fresh.", "Put up dried."),
        (f"{one_to(f.r)}, mL of menstruum added for each g as weighed.", f"{n(f.r)}:1, whatever that counts."),
        (f"Poured on: {vol(f.p)}. In the bottle: {vol(end)}.", f"In the bottle: {vol(f.p)}."),
        ("Put up 14 July, pressed 11 August.", "Pressed 14 July, put up 11 August."),
        (f"Holds {mL(_out(f))}.", f"Holds {mL(f.r * f.m)}."),
        ("Lot 26-07-14-LB-F-02.", "Lot: the green jar."),
        (
            "Holds alcohol. In pregnancy, for children, or with medicines ask a qualified person first.",
            "Cures restless nights, for everybody.",
        ),
    )
    return [lines[place in amiss] for place, lines in enumerate(told)]


_WHY = (
    "two plants may share a common name, and only the botanical one tells them apart",
    "the sheet says fresh, and a fresh plant brought water",
    "the herb is the 1 and stands in front, and a ratio needs its reading",
    "that is the strength poured on, before the plant's water came",
    "nothing is pressed before it is put up",
    "that much was poured, and less came out of the press",
    "it leads back to no batch",
    "it promises a cure, and it says nothing to those who must ask first",
)


def _label_way(f: Figures, w: Walk) -> None:
    for place in _amiss(f):
        w.say(f"Held against the sheet, line ⟦{LETTERS[place]}⟧: {_WHY[place]}")


ITEMS = (
    Ask(
        12,
        1,
        "sum",
        f"A formula of three tinctures: {{a}} of lemon balm at {{p}}, {{b}} of elderflower at {{q}} and {{c}} of "
        f"elecampane at {{s}}. How strong is the mix, in % vol? {METRIC}",
        (
            grid("a", "mL", 60, 200, 10),
            grid("b", "mL", 20, 90, 10),
            grid("c", "mL", 20, 90, 10),
            one_of("p", "percent_vol", 60, 65, 70, 75),
            one_of("q", "percent_vol", 30, 35, 40, 45),
            one_of("s", "percent_vol", 40, 45, 50, 55),
        ),
        STRENGTH,
        _strength,
        mistakes=(
            mistake(
                "m80",
                "Takes the plain average of the strengths",
                "Is there as much of each one, or more of one than of the others?",
                lambda f: 100 * (f.p + f.q + f.s) / 3,
                so=_label,
            ),
            mistake(
                "m81",
                "Adds the strengths",
                "Can a mix be stronger than the strongest that went in?",
                lambda f: 100 * (f.p + f.q + f.s),
                so=_label,
            ),
            mistake(
                "m700",
                "Gives the mL of alcohol for the strength",
                "That is how much alcohol there is. In how much liquid?",
                lambda f: 100 * _alcohol(f) / 100,
                so=_label,
            ),
            mistake(
                "m701",
                "Leaves the third tincture out",
                "How many tinctures went into the bottle?",
                lambda f: 100 * (f.a * f.p + f.b * f.q) / (f.a + f.b),
                so=_label,
            ),
        ),
        path=_mix_way,
        forwards="Is your number between the weakest and the strongest, and nearer to the one there is most of?",
    ),
    Ask(
        12,
        2,
        "sum",
        f"A formula: {{a}} of lemon balm tincture at {{r}}, with {{b}} and {{c}} of two others. Counted, the mix "
        f"runs {{n}}. "
        f"{_TOLD} How many g of lemon balm stand behind a day? {_FINISHED} {METRIC}",
        (
            grid("a", "mL", 30, 90, 10),
            grid("b", "mL", 20, 70, 10),
            grid("c", "mL", 20, 70, 10),
            grid("r", "mL/g", 3, 8),
            grid("n", "1/mL", 30, 45),
            grid("dr", "", 20, 60, 5),
            one_of("x", "", 2, 3, 4),
        ),
        _A_DAY,
        _herb_a_day,
        mistakes=(
            mistake(
                "m74",
                "Takes 20 drops to the mL, as for water",
                "Twenty is a count for water. How many drops of this mix were counted?",
                lambda f: f.dr / 20 / f.r * f.x * f.a / _spread(f),
                so=_worth,
            ),
            RATIO_TURNED_ROUND.on(
                "m75",
                lambda f: f.dr / f.n * f.r * f.x * f.a / _spread(f),
                so=_worth,
                hint="One g stands in several mL. Is there more herb or less behind 1 mL (1/5 tsp)?",
            ),
            mistake(
                "m76",
                "Counts the herb among the parts",
                "Is the herb one part beside the mL, or one part among them?",
                lambda f: f.dr / f.n / (f.r + 1) * f.x * f.a / _spread(f),
                so=_worth,
            ),
            mistake(
                "m77",
                "Forgets the times a day",
                "For one time, that fits. How many times are there in the day?",
                lambda f: f.dr / f.n / f.r * f.a / _spread(f),
                so=_worth,
            ),
            mistake(
                "m702",
                "Counts all of the mix as lemon balm",
                "What share of each drop is lemon balm tincture?",
                lambda f: f.dr / f.n / f.r * f.x,
                so=_worth,
            ),
        ),
        path=_worth_way,
        other_paths=(_worth_by_mL,),
        forwards="Times the second number of the ratio: is that the lemon balm tincture in a day's drops?",
    ),
    Ask(
        12,
        3,
        "sum",
        f"The same dropper fills a measure of {{v}} with an elderflower tincture three times, with {{counts}} "
        "drops. How "
        f"many drops of it make 1 mL (1/5 tsp)? {METRIC}",
        (
            one_of("v", "mL", 4, 5),
            situation("low", 20),
            situation("d2", 12),
            situation("d3", 12),
            situation("side", 2),
        ),
        DROPS_TO_THE_ML,
        lambda f: bare(dosing.drops_per_mL, [*_counts(f)], f.v),
        also={"counts": lambda f: "{:.0f}, {:.0f} and {:.0f}".format(*_counts(f))},
        mistakes=(
            mistake(
                "m703",
                "Takes the first count alone",
                "Why was it counted three times?",
                lambda f: _counts(f)[0] / f.v,
                so=_by_hand,
            ),
            mistake(
                "m704",
                "Gives the drops of the whole measure",
                "That fills the measure. How many mL does it hold?",
                lambda f: sum(_counts(f)) / 3,
                so=_by_hand,
            ),
            mistake(
                "m705",
                "Adds the counts and does not share them by three",
                "That is how many drops fell in three fillings. How many in one?",
                lambda f: sum(_counts(f)) / f.v,
                so=_by_hand,
            ),
            mistake(
                "m706",
                "Turns the division round",
                "That is a part of a mL for each drop. How many drops are there for each mL?",
                lambda f: f.v / (sum(_counts(f)) / 3),
                so=_by_hand,
            ),
        ),
        path=_mean_way,
        forwards="Times the mL of the measure: do you come to the middle of the three counts?",
    ),
    Ask(
        12,
        4,
        "sum",
        f"A bottle holds {{B}} of a tincture that runs {{n}}. {_TOLD} For how many whole days does the bottle last? "
        f"{METRIC}",
        (
            one_of("B", "mL", 30, 50, 60, 100),
            grid("n", "1/mL", 28, 45),
            grid("dr", "", 20, 60, 5),
            one_of("x", "", 2, 3, 4),
        ),
        _DAYS,
        _lasts,
        mistakes=(
            mistake(
                "m78",
                "Takes 20 drops to the mL, as for water",
                "Twenty is a count for water. How many drops of this one were counted?",
                lambda f: math.floor(f.B / (f.dr / 20 * f.x)),
                so=_runs,
            ),
            mistake(
                "m79",
                "Rounds up",
                "Would the last of those days have enough?",
                lambda f: math.ceil(f.B / (f.dr / f.n * f.x)),
                so=_runs,
            ),
            mistake(
                "m707",
                "Counts the times and not the days",
                "So often it can be poured. How many times are there in a day?",
                lambda f: math.floor(f.B / (f.dr / f.n)),
                so=_runs,
            ),
        ),
        path=_days_way,
        allowed=lambda f: 0.1 < (f.B / (f.dr / f.n * f.x)) % 1 < 0.9 and f.B / (f.dr / f.n * f.x) > 5,
        forwards="How many mL go in so many days, and is that in the bottle?",
    ),
    Ask(
        12,
        5,
        "sum",
        f"A calendula tincture of {{p}} runs {{n}}. {_TOLD} How many g of alcohol are in it each time? Pure alcohol "
        f"weighs {_ML:g} g for each mL (about {_ML * 1.0432:.2f} oz for each fl oz). {METRIC}",
        (
            one_of("p", "percent_vol", 40, 45, 50, 55, 60, 65, 70),
            grid("n", "1/mL", 30, 45),
            grid("dr", "", 20, 60, 5),
            one_of("x", "", 3, 4),
        ),
        _EACH_TIME,
        lambda f: _ML * f.p * f.dr / f.n,  # by the figure that the question gives
        mistakes=(
            mistake(
                "m708",
                "Counts a mL of alcohol as a gram",
                "That is its volume. Does a mL of alcohol weigh a whole gram?",
                lambda f: f.dr / f.n * f.p,
                so=_held,
            ),
            mistake(
                "m709",
                "Counts the whole tincture as alcohol",
                "Is all of a drop alcohol? Which share of it is?",
                lambda f: f.dr / f.n * _ML,
                so=_held,
            ),
            mistake(
                "m710",
                "Takes 20 drops to the mL, as for water",
                "Twenty is a count for water. How many drops of this one were counted?",
                lambda f: f.dr / 20 * f.p * _ML,
                so=_held,
            ),
            mistake(
                "m711",
                "Gives the alcohol of a whole day",
                "That is for the day. How much is in it each time?",
                lambda f: f.dr / f.n * f.p * _ML * f.x,
                so=_held,
            ),
        ),
        path=_alcohol_way,
        forwards="Is your number smaller than the weight of the drops themselves, by the strength and a little more?",
    ),
    Ask(
        12,
        6,
        "sum",
        f"You have {{V}} of elecampane tincture at {{p}} and want to add a decoction, which holds no alcohol. How "
        "much of it "
        f"fits before the mix falls to {{t}}? {METRIC}",
        (
            grid("V", "mL", 200, 900, 20),
            one_of("p", "percent_vol", 45, 50, 55, 60, 65, 70),
            one_of("t", "percent_vol", 25, 30, 35),
        ),
        VOLUME,
        _bears,
        mistakes=(
            mistake(
                "m712",
                "Gives the whole mix",
                "So much it is together. How much of it is tincture already?",
                lambda f: f.V * f.p / f.t,
                so=_thinned,
            ),
            mistake(
                "m713",
                "Takes one percentage from the other",
                "The two percentages are shares of two different volumes. Which amount stays the same?",
                lambda f: f.V * (f.p - f.t),
                so=_thinned,
            ),
            mistake(
                "m714",
                "Takes the floor for the share that is tincture",
                "The floor is a share of alcohol. Is the tincture all alcohol?",
                lambda f: f.V * (1 - f.t) / f.t,
                so=_thinned,
            ),
            FRACTION_TURNED_OVER.on("m715", lambda f: f.V * f.t / f.p, so=_thinned),
        ),
        path=_bears_way,
        other_paths=(_bears_by_times,),
        forwards="Pour your decoction in: how strong is the mix then?",
    ),
    Ask(
        12,
        7,
        "find the slip",
        "A batch sheet (invented) says: {sheet}. Eight lines of its label stand below, and three of them do not fit "
        "the sheet, or do not belong on a label. Which three? (Afterwards write one of them as it should be.) The "
        "ratio counts mL of menstruum added for each g as weighed; 1 g of plant water counts as 1 mL "
        "(1 oz as about 1 fl oz).",
        (
            grid("m", "g", 100, 200, 10),
            grid("w", "percent_wb", 75, 84),
            one_of("r", "mL/g", 2, 3),
            one_of("p", "percent_vol", 600, 700, 755, over=10),
            case(8),
        ),
        also={"sheet": _sheet},
        lines=_label_lines,
        answer=lambda f: "".join(LETTERS[place] for place in _amiss(f)),
        path=_label_way,
        forwards="Hold each line against the sheet. Is it the same thing, day and amount? Does it promise?",
        pairs={"right": "Those are the three."},
        names_stay=True,
    ),
)
