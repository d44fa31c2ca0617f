"""Floor 5. The gaps in a worked example: what a student types between two quote marks, beside the sum left out.

Nothing here is homework: nothing is kept, a question mark shows the result, and the sum stands in the cell.
"""

from __future__ import annotations

from typing import Any

from herbcalc.units import OutOfRange, Q, WrongUnit, amount, spoken
from herbcalc.units.words import KIND_OF

CLOSE = 0.01  # three figures are enough
EMPTY = "Your turn: type it between the quote marks, with its unit, and run this cell. A ? shows it."
# What a result may be, and the word by which `amount` reads one of that kind.
KINDS = {unit: KIND_OF[unit] for unit in ("g", "mL", "percent_vol", "percent_wb", "mL/g", "hour")} | {"": "share"}


def told(typed: str, worked: Any) -> str:
    """What there is to say to `typed`, where the sum gives `worked`: an amount, or two whose span counts.

    >>> told("8 1/4 oz", Q(222, "g"))
    'Not yet: 8 1/4 oz (234 g) is more than it should be. Try once more, or type a ? to see it.'
    >>> told("7.8 oz", Q(222, "g"))
    'Yes: 222 g (7 3/4 oz).'
    >>> told("222", Q(222, "g"))
    '"222": it is a number without a unit. A weight is wanted here, such as 100 g or 3 1/2 oz.'
    """
    ends = [Q(one, "") if isinstance(one, (int, float)) else one for one in _list(worked)]
    unit = next(unit for unit in KINDS if ends[0].is_compatible_with(unit))
    low, *_, high = sorted([ends[0], *ends], key=lambda end: end.to(unit).magnitude)
    said = " to ".join(dict.fromkeys([_said(low), _said(high)]))
    text = str(typed).strip()
    if text in ("", "?"):
        return f"It is {said}." if text else EMPTY
    try:
        given = amount(text, KINDS[unit])
    except (WrongUnit, OutOfRange) as refusal:
        return str(refusal)
    if given < low * (1 - CLOSE):
        return f"Not yet: {spoken(given)} is less than it should be. Try once more, or type a ? to see it."
    if given > high * (1 + CLOSE):
        return f"Not yet: {spoken(given)} is more than it should be. Try once more, or type a ? to see it."
    return f"Yes: {said}."


def _said(end: Any) -> str:
    """An amount in words; a share of one in hundredths, as it is spoken of."""
    share = end.dimensionless and 0 < end.magnitude < 1
    return f"{100 * end.magnitude:.3g} %" if share else spoken(end)


def _list(worked: Any) -> list[Any]:
    return list(worked) if isinstance(worked, (tuple, list)) else [worked]
