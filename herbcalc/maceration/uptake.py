"""Floor 2. Waiting: how extract makes its way out of a piece of plant, and the plain half-time picture for class."""

from __future__ import annotations

from typing import Any

import numpy as np

from herbcalc.menstruum.ways_out import WayOut
from herbcalc.units.arrays import first_refused, plain
from herbcalc.units.guard import NUMBER, RATIO, RETAINED, SHARE, TIME, Kind, give, guarded, match, take
from herbcalc.units.refusals import Impossible, OutOfRange, one_of
from herbcalc.units.registry import ureg
from herbcalc.units.saying import per_gram, said

SHAPES = ("plate", "cylinder", "sphere")
BATH = NUMBER.within(0.0, above=True)
DIFFUSIVITY = Kind("a diffusivity", "cm**2/hour", "3.6e-5 cm**2/hour, which is 1e-12 m**2/s", low=0.0, above=True)
_RATE = Kind("a rate of exchange, per hour", "1/hour", "0.5 for each hour", low=0.0)
LENGTH = Kind("a length", "cm", "0.05 cm, or 1/50 in", low=0.0, above=True)


@guarded(fourier=NUMBER.within(0.0))
def uptake(fourier: Any, shape: str, bath: Any = np.inf) -> Any:
    """Share of what will come out (or go in) that has done so: diffusion in a plate, cylinder or sphere.

    fourier  D t / a², plain, 0 or more; a is half the thickness of a plate, else the radius
    shape    "plate" (a leaf), "cylinder" (a stem), "sphere" (a grain)
    bath     free liquid / (partition × liquid in the particles), plain, more than 0; infinite: fresh liquid all round

    Result: plain number 0..1, share of the final uptake. Refuses: WrongUnit, OutOfRange.
    Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975, chapters 4 to 6.

    How it is summed. Crank gives series that are quick late and slow early, with roots to find for every bath. All
    of them are the inverse of one Laplace transform: with F(q) = tanh q/q, 2 I1(q)/(q I0(q)) or 3 (q coth q - 1)/q²,
    it is (1 + bath) F/(s (bath + F)) at q = √s, whose poles are -(Crank's roots)². It is inverted by a midpoint sum
    along one parabola round the negative axis (Weideman and Trefethen 2007), early and late alike, to about 1e-13.

    >>> round(uptake(0.25, "plate"), 12), round(uptake(0.05, "sphere", 1), 6)
    (0.562233541762, 0.790519)
    """
    one_of("shape", shape, SHAPES)
    if isinstance(bath, ureg.Quantity) and bath.units == ureg.dimensionless:
        bath = bath.magnitude
    endless = np.isposinf(np.asarray(bath, dtype=float)) if _is_number(bath) else np.False_
    # α = ∞ is the one endless amount with a meaning, so the guard sees a 1 in its place.
    finite = take("bath", BATH, np.where(endless, 1.0, bath) if endless.any() else bath)
    match({"fourier": BATH, "bath": BATH}, {"fourier": fourier, "bath": finite})
    held = np.where(endless, 0.0, 1.0 / np.asarray(finite))  # particle against bath, 0 for fresh liquid all round
    time, held = np.broadcast_arrays(np.asarray(fourier, dtype=float), held)
    # Past a Fourier number of 60 less than e^-100 is missing in any shape and bath.
    t = np.clip(time, 1e-300, 60.0)[..., None]
    s = _NODES / t
    f = _mean(np.sqrt(s), shape)
    # What is missing has no pole at 0 and dies away without noise; what is there is exact at the start.
    missing = (1.0 - f) / (s * (1.0 + held[..., None] * f))
    there = (1.0 + held[..., None]) * f / (s * (1.0 + held[..., None] * f))
    late = 1.0 - ((missing / t) @ _WEIGHTS).real
    share = np.where(time < 0.05, ((there / t) @ _WEIGHTS).real, late)
    return plain(np.where(time == 0.0, 0.0, np.clip(share, 0.0, 1.0)))


def _is_number(value: Any) -> bool:
    if isinstance(value, (list, tuple)):
        try:
            value = np.asarray(value)
        except ValueError:  # lists of different lengths; the guard says so
            return False
    if isinstance(value, np.ndarray):
        return value.dtype.kind in "iuf"
    return isinstance(value, (int, float, np.floating, np.integer)) and not isinstance(value, bool)


def _curve(points: int = 24, wide: float = 3.0, step: float = 0.16) -> tuple[Any, Any]:
    """Upper half of a parabola round the negative axis for t = 1, and the weight of each point."""
    along = 1.0 + 1j * step * (np.arange(points) + 0.5)
    nodes = wide * along**2
    return nodes, np.exp(nodes) * along * (2.0 * wide * step / np.pi)


_NODES, _WEIGHTS = _curve()


def _mean(q: Any, shape: str) -> Any:
    """Mean over the particle of a field that is 1 at its surface and obeys ∇²c = q² c."""
    if shape == "plate":
        return np.tanh(q) / q
    if shape == "cylinder":
        return 2.0 * _bessel_ratio(q) / q
    return 3.0 * (q / np.tanh(q) - 1.0) / q**2


_LEVELS = 110  # enough where | q | is under 80, as it is on that line


def _bessel_ratio(q: Any) -> Any:
    """I1(q)/I0(q), modified Bessel functions of a complex argument to the right of the imaginary axis.

    Near the axis from the continued fraction 1/(2/q + 1/(4/q + 1/(6/q + ...))), worked from the far end; beyond, from
    their series in 1/q (Abramowitz and Stegun 9.7.1). Off by less than 1e-14 of itself on the line that `uptake`
    sums along, against SciPy.
    """
    far = q.real > 18.0
    near, x = np.where(far, 1.0, q), 1.0 / np.where(far, q, 18.0)
    ratio = np.sqrt((_LEVELS / near) ** 2 + 1.0) - _LEVELS / near
    for n in range(_LEVELS, 0, -1):
        ratio = 1.0 / (2.0 * n / near + ratio)
    first, none = np.ones_like(x), np.ones_like(x)
    for k in range(20, 0, -1):
        step = x / (8.0 * k)
        first = 1.0 - (4.0 - (2 * k - 1) ** 2) * step * first
        none = 1.0 + (2 * k - 1) ** 2 * step * none
    return np.where(far, first / none, ratio)


@guarded(share=SHARE)
def fourier_for(share: Any, shape: str, bath: Any = np.inf) -> Any:
    """The D t/a² at which a given share is out; undoes `uptake`. Half the size takes a quarter of the time.

    share  of the final uptake, plain, 0 or more and less than 1
    shape  "plate", "cylinder" or "sphere"
    bath   as for `uptake`, plain, more than 0

    Result: plain number. Refuses: WrongUnit, OutOfRange; Impossible for a share of 1, which is only ever approached.
    Source: as `uptake`, solved by halving.

    >>> round(fourier_for(0.5, "plate"), 6), round(fourier_for(0.5, "sphere"), 6)
    (0.196731, 0.030547)
    """
    denied = first_refused(np.asarray(share) >= 1.0)
    if denied:
        raise Impossible(f"share{denied[0]}: {_NEVER_ALL}", [WayOut("less", give(0.99, ""), _NINETY_NINE)])
    wanted, _ = np.broadcast_arrays(np.asarray(share, dtype=float), bath)
    low, high = np.full(wanted.shape, -80.0), np.full(wanted.shape, np.log(60.0))
    for _ in range(60):
        middle = 0.5 * (low + high)
        short = uptake(np.exp(middle), shape, bath) < wanted
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return plain(np.where(wanted == 0.0, 0.0, np.exp(0.5 * (low + high))))


_NEVER_ALL = "the last trace never comes out, because there is always a little left to move on."
_NINETY_NINE = "99 of every 100 parts (0.99) would work."


@guarded("1/hour", size=LENGTH, diffusivity=DIFFUSIVITY)
def exchange_rate(size: Any, diffusivity: Any, shape: str) -> Any:
    """The rate for the plain exchange picture (`soak_share`, `percolation.Bed`) that stands for diffusion.

    size         half the thickness of a plate, else the radius, cm, more than 0
    diffusivity  cm²/hour, more than 0; about 1e-12 m²/s in leaf
    shape        "plate", "cylinder" or "sphere"

    Result: 1/hour, 3, 8 or 15 times D/a². Refuses: WrongUnit, OutOfRange.
    Source: Glueckauf 1955, linear driving force.

    >>> from herbcalc.units import Q
    >>> round(exchange_rate(Q(0.01, "cm"), Q(1e-12, "m**2/s"), "plate").magnitude, 6)
    1.08
    """
    one_of("shape", shape, SHAPES)
    return (3.0, 8.0, 15.0)[SHAPES.index(shape)] * diffusivity / size**2


@guarded(time=TIME, ratio=RATIO.more_than_none, retained=RETAINED, exchange=_RATE, at_once=SHARE)
def soak_share(time: Any, ratio: Any, retained: Any, exchange: Any, at_once: Any = 0.0) -> Any:
    """Share of the extract that is in the free liquid of a jar after some time, by plain exchange.

    time      hours, 0 or more
    ratio     menstruum for each g, mL/g, more than what is retained
    retained  liquid in the particles, mL/g, 0 or more
    exchange  1/hour, 0 or more
    at_once   share of what can come that does so at once, from cut cells, plain 0 to 1

    Result: plain number 0..1, (1 - k/r)(1 - (1 - b) e^(-K t r/(r - k))). Refuses: WrongUnit, OutOfRange.
    Source: linear driving force in a batch, standard form.

    >>> from herbcalc.units import Q
    >>> round(soak_share(Q(2, "hour"), Q(5, "mL/g"), Q(1, "mL/g"), Q(0.5, "1/hour")), 6)
    0.570796
    """
    denied = first_refused(ratio <= retained, ratio, retained)
    if denied:
        where, (has, keeps) = denied
        raise OutOfRange(
            f"ratio{where}: the herb holds {per_gram(keeps)}, and 1:{has:g} leaves no free liquid. "
            f"More than 1:{keeps:g} would work."
        )
    return plain(
        (1.0 - retained / ratio) * (1.0 - (1.0 - at_once) * np.exp(-exchange * time * ratio / (ratio - retained)))
    )


@guarded(time=TIME, half_time=TIME.more_than_none)
def share_by(time: Any, half_time: Any) -> Any:
    """Share of what will come out that is out by some day: half, then half of the rest, and so on.

    time       since the menstruum was poured, days or hours, 0 or more
    half_time  when half of it is out, more than 0; about hours for powder, 1 to 5 days for cut herb

    Result: plain number 0..1, 1 - 0.5^(time/half_time). Refuses: WrongUnit, OutOfRange.
    Source: a model for showing, not a measure of potency; half times are common practice, no source.

    >>> from herbcalc.units import Q
    >>> round(share_by(Q(6, "day"), Q(3, "day")), 3)
    0.75
    """
    return plain(1.0 - 0.5 ** (time / half_time))


@guarded("day", share=SHARE, half_time=TIME.more_than_none)
def time_to_reach(share: Any, half_time: Any) -> Any:
    """Days until a given share is out; undoes `share_by`.

    share      plain, 0 or more and less than 1
    half_time  when half of it is out, days or hours, more than 0

    Result: days. Refuses: WrongUnit, OutOfRange; Impossible for a share of 1. Source: as `share_by`.

    >>> from herbcalc.units import Q
    >>> f"{time_to_reach(0.95, Q(3, 'day')):.1f~P}"
    '13.0 day'
    """
    denied = first_refused(np.asarray(share) >= 1.0, half_time)
    if denied:
        days = denied[1][0] / 24.0 * np.log2(100.0)
        text = f"{_NINETY_NINE} That takes {said(days, 'day')}."
        raise Impossible(f"share{denied[0]}: {_NEVER_ALL}", [WayOut("less", give(days, "day"), text)])
    return -half_time / 24.0 * np.log2(1.0 - share)
