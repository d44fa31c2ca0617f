"""herbcalc: the sums of plant-medicine making, from the living plant to the labelled bottle.

Importing it loads nothing but the standard library. A module of the package is loaded when it is first named:

>>> import herbcalc
>>> herbcalc.units.__name__
'herbcalc.units'
"""

import importlib

__version__ = "1.0.0"

_MODULES = (
    "units",
    "rules",
    "ethanol",
    "moisture",
    "menstruum",
    "maceration",
    "percolation",
    "compare",
    "homework",
    "show",
)


def __getattr__(name):
    if name in _MODULES:
        return importlib.import_module("herbcalc." + name)
    raise AttributeError("herbcalc has no part called " + repr(name))


def __dir__():
    return sorted(list(globals()) + list(_MODULES))
