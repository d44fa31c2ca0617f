"""Floor 0. The one pint registry. Everything else takes it from `herbcalc.units`; a test looks for a second one."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import pint

ureg: pint.UnitRegistry[Any] = pint.UnitRegistry(None)
ureg.load_definitions((files("herbcalc") / "data" / "units.txt").read_text(encoding="utf-8").splitlines())
pint.set_application_registry(ureg)

Q = ureg.Quantity
