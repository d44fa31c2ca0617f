"""Floor 4. Figures in which the right answer and every side road stand apart."""

from __future__ import annotations

from dataclasses import dataclass

from herbcalc.homework.blueprint import Ask, Figure, Figures, Want
from herbcalc.homework.draws import REDRAWS, Seat
from herbcalc.homework.walk import Walk, three_figures, whole_ones
from herbcalc.units.constants import SLACK

HALF_A_CENT = 0.005
SURVIVES = 0.024  # how far rounding on the way may carry an honest answer: with room for its last figure, under 3 %


@dataclass(frozen=True)
class Drawn:
    """Figures that were found to keep all roads apart: the redraw they came from, values, band and slip numbers."""

    attempt: int
    values: dict[str, float]
    f: Figures
    low: float
    high: float
    slips: tuple[tuple[str, float], ...]
    rounded: tuple[float, ...] = ()  # where the worked path ends when each step is rounded


def draw(ask: Ask, seat: Seat) -> Drawn:
    """The first redraw, from 1 to 500, in which the right band and every slip stand apart.

    ask   the item as data
    seat  whose figures

    Result: Drawn. Nothing is refused: a sweep shows that every item finds its figures long before the last redraw.
    """
    for attempt in range(1, REDRAWS + 1):
        values = {f.name: f.value(_place(f, seat, attempt)) for f in ask.figures}
        f = Figures(**{g.name: values[g.name] / 100 if g.share else values[g.name] for g in ask.figures})
        if ask.allowed is not None and not ask.allowed(f):
            continue
        if ask.want is None or ask.right is None:
            return Drawn(attempt, values, f, 0.0, 0.0, ())
        slips = tuple((m.id, float(way(f))) for m in ask.mistakes for way in m.sums)
        if not _slips_apart(ask, slips):
            continue
        numbers = _right_numbers(ask, f)
        low, high = min(numbers), max(numbers)
        near = [float(n.sum(f)) for n in ask.near]
        if not _band_apart(ask, min(numbers + near), max(numbers + near), slips):
            continue
        rounded = _rounded(ask, f)
        if ask.want.kinds[0] == "money":
            near += [round(low, 2), round(high, 2)]  # money counts to the cent
        if _survives(ask, low, high, rounded, near, slips):
            return Drawn(attempt, values, f, low, high, slips, () if ask.want.exact else rounded)
    raise RuntimeError(f"Item {ask.code} found no figures in {REDRAWS} redraws; its ranges need another look.")


def _place(figure: Figure, seat: Seat, attempt: int) -> int:
    count = len(figure.places)
    return seat.turn(figure.name, count) if figure.in_turn else seat.place(attempt, figure.name, count)


def _rounded(ask: Ask, f: Figures) -> tuple[float, ...]:
    """Where the worked path, and others as honest, end with each step to three figures, and to whole grams and mL.

    Degrees have no such.
    """
    want = ask.want
    if want is None or want.within is not None or ask.path is None:
        return ()
    ends = []
    for path in (ask.path, *ask.other_paths):
        for rounding in (three_figures, whole_ones):
            walk = Walk(rounding)
            path(f, walk)
            ends.append(walk.end)
    return tuple(ends)


def _survives(
    ask: Ask,
    low: float,
    high: float,
    rounded: tuple[float, ...],
    near: list[float],
    slips: tuple[tuple[str, float], ...],
) -> bool:
    """Whether an answer that was rounded on the way, or reached by a second sum that counts, is still near the right
    one, and two tolerances from each slip; a count must be the same.

    Where a small difference of large numbers is left, it would not be; such figures are not given.
    """
    want = ask.want
    assert want is not None
    if want.exact:
        return all(end == low for end in rounded)
    ends = (*rounded, *near)
    if not ends:
        return True
    if not low * (1 - SURVIVES) <= min(ends) <= max(ends) <= high * (1 + SURVIVES):
        return False
    low, high = min(low, *ends), max(high, *ends)
    return all(
        not low - 2 * slip_width(want, low) <= number <= high + 2 * slip_width(want, high) for _, number in slips
    )


def _right_numbers(ask: Ask, f: Figures) -> list[float]:
    right = ask.right(f) if ask.right is not None else 0.0
    return [float(n) for n in right] if isinstance(right, tuple) else [float(right)]


def _slips_apart(ask: Ask, slips: tuple[tuple[str, float], ...]) -> bool:
    """No slip number of exactly 0, and no two slips within two tolerances of each other, twins apart."""
    assert ask.want is not None
    family = {m.id: m.twin or m.id for m in ask.mistakes}
    ordered = sorted(slips, key=lambda pair: pair[1])
    for index, (name, number) in enumerate(ordered):
        if abs(number) < SLACK:
            return False
        for other, above in ordered[index + 1 :]:
            if above - number > _reach(ask, number, above):
                break
            if family[name] != family[other]:
                return False
    return True


def slip_width(want: Want, number: float) -> float:
    """How near to a number counts as that number: room for three figures where a temperature is 100 or more, and
    for whole cents where money is small."""
    if want.within is not None:
        return max(want.within, 0.005 * abs(number))
    if want.kinds[0] == "money":
        return max(want.tolerance * abs(number), HALF_A_CENT)
    return want.tolerance * abs(number)


def _reach(ask: Ask, one: float, other: float) -> float:
    assert ask.want is not None
    if ask.want.exact:
        return 0.5
    return 2.01 * max(slip_width(ask.want, one), slip_width(ask.want, other))


def _band_apart(ask: Ask, low: float, high: float, slips: tuple[tuple[str, float], ...]) -> bool:
    want = ask.want
    assert want is not None
    if want.exact:
        return all(not low - 0.5 < number < high + 0.5 for _, number in slips)
    if want.within is not None:
        return all(not low - 4 * want.within <= number <= high + 4 * want.within for _, number in slips)
    return all(
        not low - 4 * slip_width(want, low) <= number <= high + 4 * slip_width(want, high) for _, number in slips
    )
