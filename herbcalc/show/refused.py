"""Floor 5. In a notebook a refusal, or a blunder in a cell, is its sentence, without the program text around it."""

from __future__ import annotations

import sys
from types import TracebackType
from typing import Any

import pint

from herbcalc.person import NotKept
from herbcalc.show import blunders
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit

REFUSALS = (WrongUnit, OutOfRange, Impossible, NotKept, pint.errors.PintError)


def sentence(refusal: BaseException) -> str:
    """What a student reads: the refusal's own words, its ways out below; pint's refusals in our words.

    >>> from herbcalc.units.registry import Q
    >>> try:
    ...     Q(4, "oz").to("mL")
    ... except pint.errors.PintError as refusal:
    ...     print(sentence(refusal))
    These are two kinds of amount: oz and mL. One cannot be turned into the other, added to it or compared with it. \
Put both in the same kind, weight with weight, volume with volume.
    """
    if isinstance(refusal, pint.errors.DimensionalityError):
        return (
            f"These are two kinds of amount: {_unit(refusal.units1)} and {_unit(refusal.units2)}. One cannot be "
            "turned into the other, added to it or compared with it. Put both in the same kind, weight with weight, "
            "volume with volume."
        )
    if isinstance(refusal, pint.errors.OffsetUnitCalculusError):
        return (
            "A reading on a thermometer cannot be added, taken away or multiplied just so: twice 20 °C is not 40 °C. "
            "Take the span between two readings (delta_degC) for that."
        )
    if isinstance(refusal, pint.errors.UndefinedUnitError):
        return (
            f'No unit is called "{_unknown(refusal)}" here. '
            "Known are g, kg, oz, lb, mL, L, tsp, tbsp, fl_oz, cup and more."
        )
    if isinstance(refusal, pint.errors.PintError):
        return (
            f"The units do not go together here: {str(refusal).rstrip('.')}. Look at each amount's unit in the line."
        )
    ways = [getattr(way, "text", "") for way in getattr(refusal, "ways_out", [])]
    return "\n".join([str(refusal), *(f"  - {way}" for way in ways if way and way not in str(refusal))])


def _unit(units: Any) -> str:
    text = f"{units:~}" if hasattr(units, "dimensionality") else str(units)
    return text if text and text != "dimensionless" else "a plain number"


def _unknown(refusal: pint.errors.UndefinedUnitError) -> str:
    names = refusal.unit_names
    return names if isinstance(names, str) else ", ".join(map(str, names))


def install() -> bool:
    """Have the notebook that runs this show refusals and blunders so; False outside of one.

    The shipped settings have a kernel do it at its start, before any cell; elsewhere the first cell does.
    The cell still stops, and still counts as one that raised: the kernel sends the refusal like any other,
    with our sentence in the place of the program text. In the browser-only site the sentence is printed, and the
    cells below go on.
    """
    shell = sys.modules["IPython"].get_ipython() if "IPython" in sys.modules else None
    if shell is None:
        return False
    shell.set_custom_exc((*REFUSALS, *blunders.KINDS), _show)
    return True


def _show(
    shell: Any, kind: type[BaseException], trouble: BaseException, trace: TracebackType, tb_offset: int | None = None
) -> list[str] | None:
    if isinstance(trouble, REFUSALS):
        text: str | None = sentence(trouble)
    else:
        text = blunders.sentence(trouble, trace, shell.user_ns, _cell(shell))
    if text is None:  # trouble of our own making: with all that a developer wants to know
        shell.showtraceback((kind, trouble, trace), tb_offset=tb_offset)
        return None
    # What `%tb` in the next cell shows a developer.
    sys.last_type, sys.last_value, sys.last_traceback = kind, trouble, trace
    if sys.platform == "emscripten":
        # There a cell that raises would have all cells that wait behind it forgotten, whatever its tags say.
        print(text)
        return [text]
    # pint words its refusals differently from release to release; what is sent, and stored, is ours.
    told = trouble if not isinstance(trouble, pint.errors.PintError) else WrongUnit(text)
    shell._showtraceback(type(told), told, [text])
    return [text]


def _cell(shell: Any) -> str:
    """The text of the cell that runs."""
    history = shell.user_ns.get("In") or [""]
    return str(history[-1])
