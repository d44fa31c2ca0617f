"""Floor 0. The one pint registry. Everything else takes it from `herbcalc.units`; a test looks for a second one."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import numpy as np
import pint
from pint.util import UnitsContainer

_NUMBERS = frozenset((float, int, np.float64, np.ndarray))
_met: dict[Any, Any] = {None: UnitsContainer()}  # what pint makes of the name of a unit; it is asked once


class Quantity(pint.UnitRegistry.Quantity):
    """A quantity, made in a tenth of pint's time where a plain number and a unit that was met before are given.

    pint asks each time what it was given and how the unit is spelled, and a lesson makes ten thousand of them.
    """

    def __new__(cls, value: Any, units: Any = None) -> Any:
        if type(value) in _NUMBERS:
            known = units if type(units) is UnitsContainer else None
            if known is None and (units is None or type(units) is str):
                known = _met.get(units)
            if known is not None:
                made: Any = object.__new__(cls)
                made._magnitude, made._units = value, known
                return made
        made = super().__new__(cls, value, units)
        if type(units) is str:
            _met[units] = made._units
        return made


class _UnitRegistry(pint.UnitRegistry):  # a plain class: in a pint of last year it takes no type
    Quantity = Quantity


ureg: pint.UnitRegistry[Any] = _UnitRegistry(None)
ureg.load_definitions((files("herbcalc") / "data" / "units.txt").read_text(encoding="utf-8").splitlines())
pint.set_application_registry(ureg)

Q = ureg.Quantity
