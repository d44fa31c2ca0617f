"""Floor 2. Drying curves laid through weighings: least squares, and the same once more for many made-up logs at once.

All three curves are one: weight = end + drop * e^(-(t/span)^n). Lewis keeps n at 1 and Page leaves it free; both
begin at the first weighing, so that drop = first - end. The logarithmic curve keeps n at 1 and leaves drop and end
free. For a given span and n the best end and drop are found in one step, so that only span and n are searched for.
Bare numbers: hours and grams. A log is a row of `weights`; many logs of the same hours are many rows.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

MODELS = ("lewis", "page", "logarithmic")  # in the order of their constants: 1, 2, 3
STEPS = 60
FLATTEST, STEEPEST = 0.1, 8.0  # the n of Page; measured herbs lie between 0.5 and 1.5


class Ends(NamedTuple):
    """Between which weights the end of a curve may lie, g; both the same where it is known."""

    low: float
    high: float

    @property
    def known(self) -> bool:
        return self.low == self.high


class Fitted(NamedTuple):
    """One row for each log: span in hours, n, drop and end in g, and the sum of squared distances in g²."""

    span: Any
    n: Any
    drop: Any
    end: Any
    squares: Any

    def weight(self, hours: Any) -> Any:
        """g, one row for each log and a column for each hour."""
        return self.end[:, None] + self.drop[:, None] * _left(self.span[:, None], self.n[:, None], hours)

    def hours_to(self, weight: Any) -> Any:
        """Hours until each curve stands at a weight (a number, or one for each log); infinite where it never does."""
        share = (weight - self.end) / self.drop
        with np.errstate(divide="ignore", invalid="ignore"):
            hours = self.span * np.maximum(-np.log(share), 0.0) ** (1.0 / self.n)
        return np.where(share > 0.0, hours, np.inf)


def constants(model: str, ends: Ends) -> int:
    """How many numbers a curve is free to choose."""
    return {"lewis": 1, "page": 2, "logarithmic": 2}[model] + (1 if model == "logarithmic" or not ends.known else 0)


def _left(span: Any, n: Any, hours: Any) -> Any:
    """The share of the drop that is still to come."""
    with np.errstate(over="ignore"):
        return np.exp(-((hours / span) ** n))


def _line(left: Any, weights: Any, model: str, ends: Ends) -> tuple[Any, Any]:
    """The best drop and end for each row, once the shares that are left are given."""
    first = weights[:, 0]
    if model != "logarithmic":
        end = np.full_like(first, ends.low)
        if not ends.known:
            gone = 1.0 - left
            over = np.sum(gone * (weights - first[:, None] * left), axis=1)
            end = np.clip(over / np.maximum(np.sum(gone**2, axis=1), 1e-300), ends.low, ends.high)
        return first - end, end
    high = ends.high if not ends.known else first
    across = left - left.mean(axis=1, keepdims=True)
    drop = np.sum(across * weights, axis=1) / np.maximum(np.sum(across**2, axis=1), 1e-300)
    free = weights.mean(axis=1) - drop * left.mean(axis=1)
    end = np.clip(free, ends.low, high)
    bound = np.sum(left * (weights - end[:, None]), axis=1) / np.sum(left**2, axis=1)
    drop = np.where(end == free, drop, bound)
    rises = drop <= 0.0  # a curve of drying never does: level is the nearest that is left
    flat = np.clip(weights.mean(axis=1), ends.low, high)
    return np.where(rises, 1e-9 * first, drop), np.where(rises, flat, end)


def _solved(place: Any, hours: Any, weights: Any, model: str, ends: Ends) -> tuple[Any, Any, Any]:
    """Distances from the curve at a place (log span, log n), with its drop and end."""
    left = _left(np.exp(place[:, :1]), np.exp(place[:, 1:2]), hours)
    drop, end = _line(left, weights, model, ends)
    return weights - end[:, None] - drop[:, None] * left, drop, end


def fitted(hours: Any, weights: Any, model: str, ends: Ends, near: Fitted | None = None) -> Fitted:
    """The curve of one model that lies nearest to each row of weights, by least squares.

    hours    hours since the first weighing, rising, the first 0
    weights  g, a row for each log
    near     a curve of one log to start from; without it a coarse net is tried first

    Damped Gauss-Newton steps (Levenberg and Marquardt) for all rows at once.
    """
    free = 2 if model == "page" else 1
    low = np.log([hours[1:].min() / 100.0, FLATTEST])
    high = np.log([hours[-1] * 1e4, STEEPEST])
    place = _start(hours, weights, model, ends, near)
    close = 1e-12 if near is None else 1e-6  # a made-up log only has to show how far its constants stray
    out, drop, end = _solved(place, hours, weights, model, ends)
    squares, damp = np.sum(out**2, axis=1), np.full(len(weights), 1e-3)
    for _ in range(STEPS):
        slope = np.stack([_slope(place, i, hours, weights, model, ends) for i in range(free)], axis=2)
        normal = np.einsum("bti,btj->bij", slope, slope)
        pull = -np.einsum("bti,bt->bi", slope, out)
        spread = np.einsum("bii->bi", normal)
        normal = normal + (damp[:, None] * spread + 1e-30)[:, :, None] * np.eye(free)
        step = np.linalg.solve(normal, pull[:, :, None])[:, :, 0]
        tried = place.copy()
        tried[:, :free] = np.clip(place[:, :free] + np.clip(step, -1.0, 1.0), low[:free], high[:free])
        out_, drop_, end_ = _solved(tried, hours, weights, model, ends)
        squares_ = np.sum(out_**2, axis=1)
        better = squares_ <= squares
        moved = np.abs(tried - place).max()
        place, out = np.where(better[:, None], tried, place), np.where(better[:, None], out_, out)
        drop, end, squares = (np.where(better, a, b) for a, b in ((drop_, drop), (end_, end), (squares_, squares)))
        damp = np.clip(np.where(better, damp / 5.0, damp * 10.0), 1e-12, 1e8)
        if moved < close:
            break
    return Fitted(np.exp(place[:, 0]), np.exp(place[:, 1]), drop, end, squares)


def _slope(place: Any, i: int, hours: Any, weights: Any, model: str, ends: Ends) -> Any:
    """How the distances change with one of the numbers searched for."""
    h = 1e-5
    ahead, behind = place.copy(), place.copy()
    ahead[:, i] += h
    behind[:, i] -= h
    to, _, _ = _solved(ahead, hours, weights, model, ends)
    from_, _, _ = _solved(behind, hours, weights, model, ends)
    return (to - from_) / (2.0 * h)


def _start(hours: Any, weights: Any, model: str, ends: Ends, near: Fitted | None) -> Any:
    if near is not None:
        return np.tile(np.log([near.span[0], near.n[0]]), (len(weights), 1))
    spans = np.log(np.geomspace(hours[1:].min() / 3.0, hours[-1] * 100.0, 40))
    bends = np.log([0.3, 0.6, 1.0, 1.5, 2.5]) if model == "page" else np.zeros(1)
    net = np.array([(s, b) for s in spans for b in bends])
    places = np.empty((len(weights), 2))
    for row, weighed in enumerate(weights):
        out, _, _ = _solved(net, hours, np.tile(weighed, (len(net), 1)), model, ends)
        places[row] = net[np.argmin(np.sum(out**2, axis=1))]
    return places
