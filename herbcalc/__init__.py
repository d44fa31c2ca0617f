"""herbcalc: the sums of plant-medicine making, from the living plant to the labelled bottle.

Importing it loads nothing but the standard library. A module of the package is loaded when it is first named:

>>> import herbcalc
>>> herbcalc.units.__name__
'herbcalc.units'
"""

import importlib
import pkgutil
from types import ModuleType

__version__ = "1.0.0"


def _parts() -> "list[str]":
    """The names of the modules and packages beside this file."""
    return sorted(part.name for part in pkgutil.iter_modules(__path__) if not part.name.startswith("_"))


def __getattr__(name: str) -> ModuleType:
    if name in _parts():
        return importlib.import_module("herbcalc." + name)
    raise AttributeError("herbcalc has no part called " + repr(name))


def __dir__() -> "list[str]":
    return sorted([*globals(), *_parts()])
