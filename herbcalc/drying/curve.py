"""Floor 2. The drying curve of a student's own weighings: what it says, how sure it is, and where it should be quiet.

The band is not read off the curve's own slope, which promises too much with few weighings. The log is made up again
some hundreds of times, each weighing moved by chance as far as the weighings of this log stray from the curve, and
each time the curve is laid anew: the band holds the middle 95 of every 100 of those.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np

from herbcalc.drying import solver
from herbcalc.drying.solver import MODELS, Ends, Fitted
from herbcalc.units.arrays import above, below, first_refused
from herbcalc.units.guard import DRY_BASIS, TIME, WEIGHT, give, guarded, take
from herbcalc.units.refusals import OutOfRange, one_of
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

LOGS = 400  # made-up logs behind a band
SEED = 20260712  # always the same chance, so that one log has one band
LOWEST_END = 0.03  # of the first weight: no plant holds more than 97 % water
ASSUMED_END = 0.20  # of the first weight, where a log is too short to show its end: 80 % water, common practice
FEW = 5  # weighings from which on a log may show its own end
ASSUMED_STRAY = 0.02  # of each weight, where there are too few weighings to see how far they stray
BONE_DRY = Q(0.0, "percent_db")
ENOUGH_GONE = 0.5  # of the water: before that nobody can say when a curve will end
RISE = 0.04  # of the first weight, from one weighing to the next: more than a scale and a hand stray
RULED_OUT = 6.0  # points of AICc behind the best, as is usual (a likelihood of one in twenty)

IN_WORDS = {
    "lewis": "Lewis's curve (each hour takes the same share of what is still to go)",
    "page": "Page's curve (the pace slows or quickens as it dries: that is its n)",
    "logarithmic": "the logarithmic curve (it may come to rest before the herb is bone dry)",
}


class _Model(NamedTuple):
    """One model laid through the log, and its count: the lower, the better for its number of constants."""

    name: str
    curve: Fitted
    aicc: float
    spare: int  # weighings beyond those that the constants use up


class Band:
    """Between which values 95 of every 100 made-up logs like this one put a constant, a weight or a time.

    k, n, a, c  pairs (low, high) of plain numbers, as the constants of `DryingCurve`

    >>> curve = fit(Q([0, 2, 4, 6, 8, 12], "hour"), Q([100, 70, 51, 39, 32, 25], "g"), Q(20, "g"))
    >>> curve.band.k[0] < curve.k < curve.band.k[1]
    True
    >>> low, high = curve.band.time_to(Q(40, "g"))
    >>> low < curve.time_to(Q(40, "g")) < high
    True
    """

    def __init__(self, logs: Fitted, others: tuple[Fitted, ...], curve: DryingCurve) -> None:
        self._logs, self._others, self._curve = logs, others, curve
        start = logs.drop + logs.end
        whole = start if curve.model != "logarithmic" else np.full_like(start, curve._first)
        to = curve._dry_end if curve._dry_end is not None else logs.end
        made = {
            "k": logs.span**-logs.n,
            "n": logs.n,
            "a": logs.drop / (whole - to),
            "c": (logs.end - to) / (whole - to),
        }
        self.k, self.n, self.a, self.c = (_around(_middle(made[name]), getattr(curve, name)) for name in made)

    def weight(self, t: Any) -> tuple[Any, Any]:
        """Weights between which the curve lies at a time, g; t in hours since the first weighing, 0 or more."""
        hours = np.asarray(take("t", TIME, t))
        past = hours > self._curve._hours[-1]
        ends = [_middle(logs.weight(np.atleast_1d(hours))) for logs in (self._logs, *self._others)]
        low = np.where(
            past, np.min([e[0] for e in ends], axis=0).reshape(hours.shape), ends[0][0].reshape(hours.shape)
        )
        high = np.where(
            past, np.max([e[1] for e in ends], axis=0).reshape(hours.shape), ends[0][1].reshape(hours.shape)
        )
        return _given(low, "g"), _given(high, "g")

    def time_to(self, weight: Any) -> tuple[Any, Any]:
        """Hours between which the curve reaches a weight (g, more than 0); the second is infinite where the weighings
        cannot say that it ever does."""
        wanted = np.asarray(take("weight", WEIGHT.more_than_none, weight))
        pairs = np.array([self._hours_to(float(w)) for w in np.atleast_1d(wanted)])
        low, high = (pairs[:, i].reshape(wanted.shape) for i in (0, 1))
        return _given(low, "hour"), _given(high, "hour")

    def _hours_to(self, weight: float) -> tuple[float, float]:
        low, high = _middle(self._logs.hours_to(weight))
        if high <= self._curve._hours[-1]:
            return float(low), float(high)
        pairs = [(low, high), *(_middle(logs.hours_to(weight)) for logs in self._others)]
        low, high = min(p[0] for p in pairs), max(p[1] for p in pairs)
        return float(low), float("inf") if self._curve._too_early else float(high)


@dataclass(frozen=True)
class DryingCurve:
    """A curve through a drying log. Made by `fit`; weight(t) = end + (first - end) × what is left after t.

    model       "lewis" e^(-k t), "page" e^(-k t^n) or "logarithmic" a e^(-k t) + c, each a share of first - end
    k, n, a, c  its constants, plain numbers for times in hours; n is 1 but for Page, a 1 and c 0 but for the
                logarithmic curve
    first, end  weight at the first weighing, and where the curve would end with c = 0, g
    scatter     how far a weighing strays from the curve, g
    notes       sentences: what was assumed, what to be careful with
    """

    model: str
    k: float
    n: float
    a: float
    c: float
    first: Any
    end: Any
    scatter: Any
    notes: tuple[str, ...]
    _hours: Any = field(repr=False, compare=False)
    _weights: Any = field(repr=False, compare=False)
    _ends: Ends = field(repr=False, compare=False)
    _models: tuple[_Model, ...] = field(repr=False, compare=False)  # the chosen one first

    @property
    def _curve(self) -> Fitted:
        return self._models[0].curve

    @property
    def _first(self) -> float:
        return float(self._weights[0])

    @property
    def _dry_end(self) -> float | None:
        return self._ends.low if self._ends.known else None

    @property
    def _too_early(self) -> bool:
        """Whether too little water is gone to say when it will end."""
        return _too_early(self._weights, self._ends)

    def weight(self, t: Any) -> Any:
        """Weight on the curve.

        t  hours since the first weighing, 0 or more; a list gives a list

        Result: g. Past the last weighing it is a guess, and `past_the_last(t)` says so. Refuses: WrongUnit,
        OutOfRange.

        >>> curve = fit(Q([0, 2, 4, 8], "hour"), Q([100, 68, 48.5, 29.7], "g"), Q(20, "g"))
        >>> f"{curve.weight(Q(4, 'hour')):.0f~P}", f"{curve.time_to(Q(50, 'g')):.1f~P}"
        ('48 g', '3.8 h')
        """
        hours = np.asarray(take("t", TIME, t))
        return _given(self._curve.weight(np.atleast_1d(hours))[0].reshape(hours.shape), "g")

    def time_to(self, weight: Any) -> Any:
        """Hours after the first weighing at which the curve reaches a weight; undoes `weight`.

        weight  g, more than 0 and not over the first; a list gives a list

        Result: hours. Refuses: WrongUnit; OutOfRange also for a weight that the curve never reaches.

        >>> curve = fit(Q([0, 2, 4, 8], "hour"), Q([100, 68, 48.5, 29.7], "g"), Q(20, "g"))
        >>> curve.time_to(Q([50, 30], "g")).magnitude.round(1)
        array([3.8, 8. ])
        """
        wanted = np.asarray(take("weight", WEIGHT.more_than_none, weight))
        curve = self._curve
        rest = float(curve.end[0])
        if refused := first_refused(above(wanted, self._first), wanted):
            where, (heavy,) = refused
            raise OutOfRange(
                f"weight{where}: {said(heavy, 'g')} is more than the herb weighed at the start, "
                f"{said(self._first, 'g')}. Drying only takes weight away, so ask for a smaller one."
            )
        if refused := first_refused(wanted <= rest * (1.0 + 1e-12), wanted):
            where, (light,) = refused
            raise OutOfRange(
                f"weight{where}: this log never gets down to {said(light, 'g')}. Its curve comes to rest at about "
                f"{said(rest, 'g')}. A heavier stop weight would work, or drier or warmer air and a new log."
            )
        return _given(curve.hours_to(np.atleast_1d(wanted)).reshape(wanted.shape), "hour")

    def past_the_last(self, t: Any) -> Any:
        """Whether a time (hours, 0 or more) lies past the last weighing, where the curve is a guess; lists work.

        >>> curve = fit(Q([0, 2, 4, 8], "hour"), Q([100, 68, 48.5, 29.7], "g"), Q(20, "g"))
        >>> curve.past_the_last(Q(8, "hour")), curve.past_the_last(Q(9, "hour"))
        (False, True)
        """
        past = above(np.asarray(take("t", TIME, t)), float(self._hours[-1]))
        return past if np.ndim(past) else bool(past)

    def says(self, weight: Any) -> str:
        """When a weight is reached, in a sentence, with its band and, past the last weighing, a warning.

        weight  g, one weight. Refuses: as `time_to`.

        >>> curve = fit(Q([0, 2, 4, 8], "hour"), Q([100, 68, 48.5, 29.7], "g"), Q(20, "g"))
        >>> curve.says(Q(25, "g"))[:40]
        '25 g (7/8 oz) after about 10.7 hours. 95'
        """
        hours = self.time_to(weight)
        low, high = self.band.time_to(weight)
        sentence = f"{said(take('weight', WEIGHT, weight), 'g')} after about {said(hours.magnitude, 'hour')}. "
        if np.isinf(high.magnitude):
            sentence += f"Not before {said(low.magnitude, 'hour')}, and these weighings cannot say by when."
        else:
            sentence += (
                f"95 of every 100 logs like this one would say between {said(low.magnitude, 'hour')} and "
                f"{said(high.magnitude, 'hour')}."
            )
        if self.past_the_last(hours):
            sentence += (
                f" That is past your last weighing, at {said(float(self._hours[-1]), 'hour')}: a guess. Weigh again "
                "before you trust it."
            )
        return sentence

    @functools.cached_property
    def band(self) -> Band:
        """The 95 % band of the constants, of `weight` and of `time_to`; worked out when it is first asked for."""
        chance = np.random.default_rng(SEED)
        made = tuple(self._made_up(model, chance) for model in self._models)
        return Band(made[0], made[1:], self)

    def _made_up(self, model: _Model, chance: np.random.Generator) -> Fitted:
        """The curve laid through each of many logs that might as well have been weighed."""
        on = model.curve.weight(self._hours)[0]
        off = self._weights - on
        if model.spare < 1:
            spare, share = 1e9, ASSUMED_STRAY
            even = share * on.mean()
        else:
            spare = float(model.spare)
            even, share = np.sqrt(np.sum(off**2) / spare), np.sqrt(np.sum((off / on) ** 2) / spare)
        # A scale strays by the same grams all the way; what clings to a heavy wet tray strays more. Logs of either
        # sort are made up, as often as the weighings speak for it, and no less than half with the second.
        free = off if model.name == "logarithmic" else off[1:]
        for_even = -len(free) * np.log(max(even, 1e-300))
        for_share = -len(free) * np.log(max(share, 1e-300)) - np.sum(np.log(on[-len(free) :]))
        odds = 1.0 / (1.0 + np.exp(np.clip(for_even - for_share, -50.0, 50.0)))
        grows = chance.random((LOGS, 1)) < max(odds, 0.5)
        # With few weighings the stray itself is known badly: it is drawn too, so that few weighings make wide bands.
        wide = np.sqrt(spare / chance.chisquare(spare, (LOGS, 1)))
        stray = np.where(grows, share * on, even) * wide * chance.standard_normal((LOGS, len(on)))
        logs = on + stray
        logs[:, 0] = np.maximum(logs[:, 0], self._ends.low * 1.001)
        return solver.fitted(self._hours, logs, model.name, self._ends, near=model.curve)


def _middle(values: Any) -> tuple[Any, Any]:
    """The ends of the middle 95 of every 100, along the first axis; nearest ones, since some may be infinite."""
    ends = np.quantile(values, [0.025, 0.975], axis=0, method="nearest")
    return (float(ends[0]), float(ends[1])) if np.ndim(values) == 1 else (ends[0], ends[1])


def _around(ends: tuple[Any, Any], own: float) -> tuple[float, float]:
    """A band that holds the curve's own constant: with weighings that do not stray, rounding alone may leave it
    out."""
    return min(ends[0], own), max(ends[1], own)


def _given(number: Any, unit: str) -> Any:
    return give(float(number) if np.ndim(number) == 0 else number, unit)


@guarded(times=TIME, weights=WEIGHT.more_than_none, dry_weight=WEIGHT.more_than_none, equilibrium=DRY_BASIS)
def fit(
    times: Any,
    weights: Any,
    dry_weight: Any = None,
    model: str = "best",
    equilibrium: Any = BONE_DRY,
) -> DryingCurve:
    """The drying curve that lies nearest to a log of weighings.

    times        hours, rising, two at least; they are counted from the first
    weights      of the herb without its tray, g, more than 0, one for each time
    dry_weight   weight of the herb bone dry, g, more than 0; None: the end is taken from the curve, or assumed
    model        "lewis", "page", "logarithmic", or "best": the one with the lowest AICc, a count made for few
                 weighings
    equilibrium  percent_db at which this herb stops in this air, 0 or more

    Result: DryingCurve(model, k, n, a, c, first, end, scatter, notes) with .weight(t), .time_to(weight), .band and
    .says(weight). The curve starts at the first weighing. Refuses: WrongUnit; OutOfRange also for times that do not
    rise, a log that does not fall, and a dry weight that is not under the first.
    Sources: Lewis (1921), Page (1949), logarithmic (Yagcioglu and others, 1999); AICc, Hurvich and Tsai (1989).

    >>> from herbcalc.units import Q
    >>> curve = fit(Q([0, 2, 4, 6, 8, 12], "hour"), Q([100, 70, 51, 39, 32, 25], "g"), dry_weight=Q(20, "g"))
    >>> curve.model, round(curve.k, 2), curve.n
    ('lewis', 0.24, 1.0)
    """
    one_of("model", model, ("best", *MODELS))
    hours, grams = _log(times, weights)
    notes: list[str] = []
    ends = _ends(grams, dry_weight, equilibrium, notes)
    if begun := float(np.ravel(times)[0]):
        notes.append(f"Time is counted from the first weighing, at {said(begun, 'hour')}.")
    known = [_laid(name, hours, grams, ends) for name in MODELS if model in ("best", name)]
    known = [m for m in known if np.isfinite(m.aicc)] or known[:1]
    chosen = min(known, key=lambda m: m.aicc)
    if model == "best":
        notes.append(_choice(chosen, known, len(grams)))
    # Of what comes after so little of the drying, no curve can be ruled out.
    far = np.inf if _too_early(grams, ends) else RULED_OUT
    rivals = [m for m in known if m is not chosen and m.aicc - chosen.aicc < far]
    curve = chosen.curve
    end = ends.low if ends.known else float(curve.end[0])
    whole = grams[0] - end
    logarithmic = chosen.name == "logarithmic"
    made = DryingCurve(
        model=chosen.name,
        k=float(curve.span[0] ** -curve.n[0]),
        n=float(curve.n[0]),
        a=float(curve.drop[0] / whole) if logarithmic else 1.0,
        c=float((curve.end[0] - end) / whole) if logarithmic else 0.0,
        first=give(float(grams[0]), "g"),
        end=give(float(end), "g"),
        scatter=give(float(np.sqrt(curve.squares[0] / max(chosen.spare, 1))), "g"),
        notes=(),
        _hours=hours,
        _weights=grams,
        _ends=ends,
        _models=(chosen, *rivals),
    )
    notes += _cautions(made, chosen)
    object.__setattr__(made, "notes", tuple(notes))
    return made


def _too_early(grams: Any, ends: Ends) -> bool:
    return bool(grams[0] - grams[-1] < ENOUGH_GONE * (grams[0] - ends.low))


def _log(times: Any, weights: Any) -> tuple[Any, Any]:
    """Hours since the first weighing, and grams, as rows of one length; else a refusal."""
    hours, grams = np.atleast_1d(times), np.atleast_1d(weights)
    if hours.ndim > 1 or hours.shape != grams.shape:
        raise OutOfRange(
            f"A log has one weight for each time: {hours.size} times and {grams.size} weights were given. "
            "Give two plain lists of one length."
        )
    if hours.size < 2:
        raise OutOfRange("One weighing makes no curve. Weigh the same herb again some hours later, and give both.")
    if refused := first_refused(np.diff(hours) <= 0, hours[:-1], hours[1:]):
        where, (before, after) = refused
        raise OutOfRange(
            f"times{where}: {said(after, 'hour')} comes after {said(before, 'hour')}. Times have to rise from "
            "weighing to weighing; sort them, or read the log with drying.read_log, which does."
        )
    if grams[1:].min() >= grams[0]:
        raise OutOfRange(
            f"This herb weighed {said(float(grams[0]), 'g')} at first and never less afterwards, so it is not "
            "drying. Are times and weights in the right places, and is it the herb without its tray?"
        )
    return hours - hours[0], grams


def _ends(grams: Any, dry_weight: Any, equilibrium: Any, notes: list[str]) -> Ends:
    """Where the curve ends, or between which weights it may."""
    first, lightest = float(grams[0]), float(grams.min())
    if dry_weight is not None:
        if np.size(dry_weight) > 1 or np.size(equilibrium) > 1:
            raise OutOfRange("One log has one dry weight and comes to rest at one moisture. Fit a curve for each.")
        end = float(np.ravel(dry_weight)[0]) * (1.0 + float(np.ravel(equilibrium)[0]) / 100.0)
        if end >= first * (1.0 - 1e-9):
            raise OutOfRange(
                f"dry weight: the herb would end at {said(end, 'g')}, and weighed {said(first, 'g')} at the first "
                "weighing. Bone dry it weighs less than fresh; a leafy herb about a fifth. Was the tray weighed "
                "along?"
            )
        if below(lightest, 0.95 * end):
            notes.append(
                f"The lightest weighing, {said(lightest, 'g')}, is under the weight at which this herb should end, "
                f"{said(end, 'g')}. Check the dry weight and the weight of the tray."
            )
        return Ends(end, end)
    if len(grams) < FEW:
        end = min(ASSUMED_END * first, 0.9 * lightest)
        notes.append(
            f"No dry weight was given, and {len(grams)} weighings cannot show the end. It is assumed at "
            f"{said(end, 'g')}: a leafy herb is about four fifths water (common practice, no source). Dry a small "
            "sample to know it."
        )
        return Ends(end, end)
    notes.append(
        "No dry weight was given: the end is assumed where the curve itself levels out. That is sure only once the "
        "weights have stopped falling. Dry a small sample bone dry to know it."
    )
    return Ends(LOWEST_END * first, lightest)


def _laid(name: str, hours: Any, grams: Any, ends: Ends) -> _Model:
    curve = solver.fitted(hours, grams[None, :], name, ends)
    free, many = solver.constants(name, ends), len(grams)
    spare = many - free - (name != "logarithmic")  # Lewis and Page begin at the first weighing: it is used up
    counted = free + 1  # the scatter is a constant too
    if many - counted - 1 < 1:
        return _Model(name, curve, np.inf, spare)
    # Exact figures leave no squares; what rounding leaves must not choose between curves.
    mean = max(float(curve.squares[0]) / many, (1e-9 * float(grams[0])) ** 2)
    aicc = many * np.log(mean) + 2.0 * counted + 2.0 * counted * (counted + 1.0) / (many - counted - 1.0)
    return _Model(name, curve, float(aicc), spare)


def _choice(chosen: _Model, known: list[_Model], many: int) -> str:
    if len(known) == 1:
        return f"With {many} weighings only the simplest can be told: {IN_WORDS[chosen.name]}."
    close = [IN_WORDS[m.name].split(" (")[0] for m in known if m is not chosen and m.aicc - chosen.aicc < 2.0]
    other = f" {' and '.join(close)} would do nearly as well." if close else ""
    return (
        f"Of {len(known)} curves {IN_WORDS[chosen.name]} lies best, by a count (AICc) that makes each constant earn "
        f"its place when weighings are few.{other[:1]}{other[1:2].upper()}{other[2:]}"
    )


def _cautions(curve: DryingCurve, chosen: _Model) -> list[str]:
    notes = []
    many, first = len(curve._weights), curve._first
    if many == 2:
        notes.append(
            "Two weighings make a guess, not a curve: any shape goes through two points. Weigh at least five times."
        )
    if chosen.spare < 1 and many > 2:
        notes.append(f"{many} weighings are just enough to draw this curve, and none is left over to check it.")
    if chosen.spare < 1:
        notes.append(
            "How far your weighings stray cannot be seen from so few; the band takes 2 parts in 100 (assumed)."
        )
    steps = np.diff(curve._weights)
    if steps.max() > RISE * first:
        at = int(steps.argmax())
        notes.append(
            f"The weight rose from {said(float(curve._weights[at]), 'g')} to "
            f"{said(float(curve._weights[at + 1]), 'g')}: damp "
            "night air, or a hand or cloth on the tray? Herb that is drying does not gain. The weighing was kept."
        )
    if curve._too_early:
        notes.append(
            "Less than half of the water may have gone by your last weighing, at "
            f"{said(float(curve._hours[-1]), 'hour')}. "
            "The pace changes later, so these weighings cannot say when it will be dry. Weigh on."
        )
    notes.append(f"Past your last weighing, at {said(float(curve._hours[-1]), 'hour')}, the curve is a guess.")
    return notes
