"""Floor 5. Small pieces of speech that several lessons share: shares, ratios, and the marks along a chart."""

from __future__ import annotations

import math

from herbcalc.rules import Rules
from herbcalc.show.look import View
from herbcalc.units import Q, spoken
from herbcalc.units.constants import SLACK

DRAINED = 2.0  # mL that each g of marc keeps when it is left to drain, "2 and more"; common practice, no source

# What the hands may say of a tray, by the words of `drying.dry_enough`, and that nobody has asked them yet.
NOT_ASKED = "not asked"
HANDS = {
    NOT_ASKED: "nobody has felt it yet",
    "crisp": "leaf crumbles, the thickest stem snaps",
    "bends": "the thickest stem bends",
    "fog": "a closed jar fogs overnight",
    "no fog": "a closed jar stays clear overnight",
}

# What a wanted system shows a weight or a volume in, along a chart.
_ALONG = {"metric": {"g": "g", "mL": "mL"}, "kitchen": {"g": "oz", "mL": "fl_oz"}}


def percent(share: float) -> str:
    """A share in words; what is nearly all is never rounded to all, nor what is nearly nothing to nothing.

    >>> percent(0.7), percent(0.99996), percent(0.0002), percent(1.0)
    ('70 %', 'over 99.9 %', 'under 0.1 %', '100 %')
    """
    if 0.0 < share < 0.001:
        return "under 0.1 %"
    if 0.999 < share < 1.0 - 1e-12:
        return "over 99.9 %"
    return f"{100 * share:.1f}".removesuffix(".0") + " %"


def vol(strength: float) -> str:
    """A strength as the lessons write it."""
    return f"{strength:.1f} % vol"


def one_to(number: float | None) -> str:
    """A ratio; None where there is none.

    >>> one_to(2.104), one_to(14.0), one_to(None)
    ('1:2.1', '1:14', 'none')
    """
    return "none" if number is None else f"1:{number:.3g}" if number < 1000 else "over 1:1000"


def whence(kept: float, rules: Rules) -> str:
    """Where a figure for what the marc keeps, in mL for each g, comes from: a house rule, or common practice.

    >>> whence(0.8, Rules()), whence(2.4, Rules())
    ('a good press, as measured on one root, blue cohosh', 'left to drain, common practice, no source')
    """

    def is_rule(name: str) -> bool:
        return abs(kept - getattr(rules, name)) < SLACK

    for name, how in (("retained_pressed", "a good press"), ("retained_by_hand", "wrung by hand")):
        if is_rule(name):
            own = getattr(rules, name) != getattr(Rules, name)
            return f"{how}, {'your house rule' if own else 'as measured on one root, blue cohosh'}"
    if is_rule("retained"):
        return "your house rule" if rules.retained != Rules.retained else "common practice, no source"
    return "left to drain, common practice, no source" if kept >= DRAINED else "your own figure"


def apart(kitchen: float, measured: float) -> str:
    """How far the two rules are from each other, in points."""
    gap = abs(round(kitchen, 1) - round(measured, 1))  # of the figures as they are said
    return "less than 0.1 points apart" if gap < 0.05 else f"{gap:.1f} points apart"


def marks(view: View, unit: str, top: float, about: int = 4) -> tuple[str, list[tuple[float, str]]]:
    """The wanted system's name for a unit, and round figures along a chart from 0 to `top` (in `unit`).

    >>> marks(View(), "g", 600)
    ('g', [(0.0, '0'), (200.0, '200'), (400.0, '400'), (600.0, '600')])
    >>> marks(View(units="kitchen"), "g", 600)[0]
    'oz'
    """
    shown = _ALONG[view.units].get(unit, unit)
    each = float(Q(1.0, shown).to(unit).magnitude) if shown != unit else 1.0
    step = _round_up(top / each / about)
    count = int(top / each / step + SLACK)
    words = {"fl_oz": "fl oz"}.get(shown, shown)
    return words, [(n * step * each, f"{n * step:g}") for n in range(count + 1)]


def _round_up(number: float) -> float:
    """The next of 1, 2, 5, 10, 20 ..."""
    power = 10.0 ** math.floor(math.log10(number))
    return next(n * power for n in (1.0, 2.0, 5.0, 10.0) if n * power >= number * (1 - SLACK))


def days(number: float) -> str:
    """Days, a few of them in hours.

    >>> days(0.25), days(14)
    ('6 hours', '14 days')
    """
    return spoken(Q(number * 24.0, "hour"), "metric") if 0 < number < 2 else spoken(Q(float(number), "day"))
