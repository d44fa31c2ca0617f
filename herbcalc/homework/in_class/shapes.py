"""Floor 4. How a gap and a bench are written down: as data, with sums on plain numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from herbcalc.homework.blueprint import Ask, Figure, Figures, Mistake, Want

_FINE = 1000  # figures are written down to a thousandth


@dataclass(frozen=True)
class Gap:
    """One gap: its title, the question as data, and how many steps of the way are left to the student (0: all)."""

    title: str
    ask: Ask
    left_out: int = 0


def fixed(**figures: tuple[float, str]) -> tuple[Figure, ...]:
    """Figures that are the same for everybody, each a number with its unit.

    >>> [(f.name, f.unit, f.value(0)) for f in fixed(m=(250, "g"), a=(75.5, "percent_vol"))]
    [('m', 'g', 250.0), ('a', 'percent_vol', 75.5)]
    """
    return tuple(Figure(name, unit, (round(_FINE * number),), _FINE) for name, (number, unit) in figures.items())


def gap(
    title: str,
    prompt: str,
    figures: tuple[Figure, ...],
    want: Want,
    right: Callable[[Figures], float | tuple[float, ...]],
    path: Callable[[Figures, Any], Any],
    *,
    left_out: int = 0,
    mistakes: tuple[Mistake, ...] = (),
    forwards: str = "",
) -> Gap:
    """A gap written down as an item is: see `blueprint.Ask`."""
    return Gap(
        title,
        Ask(0, 0, "sum", prompt, figures, want, right, path=path, mistakes=mistakes, forwards=forwards),
        left_out,
    )


@dataclass(frozen=True)
class Box:
    """One box of the bench: the name its amount goes by, its label, the kind of amount, and an invented example."""

    name: str
    label: str
    kind: str
    example: str


@dataclass(frozen=True)
class Bench:
    """The student's own figures: boxes, and what there is to tell of them.

    `tell(rules, **amounts)` takes the house rules and a quantity for each box, and gives lines of text.
    """

    boxes: tuple[Box, ...]
    tell: Callable[..., list[str]]
