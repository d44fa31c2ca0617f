"""Floor 5. How sure is a figure? One line for the number that a scene asks for, from the class's reading errors.

A panel has it where its lesson has a file here (`lesson05.py`), which says what goes into each of its numbers:

    doubt(setting, rules, view, key) -> Doubt | None     of the number of that name; None where it has no figure

Nothing is worked out before somebody asks.
"""

from __future__ import annotations

import importlib
import pkgutil
from types import ModuleType
from typing import Any

from herbcalc.rules import Rules
from herbcalc.show.look import View, key_of


def offers(lesson: ModuleType) -> bool:
    """Whether a panel can say how sure its figures are.

    >>> from herbcalc.show.here import module
    >>> offers(module(5)), offers(module(3, "room"))
    (True, False)
    """
    return _name(lesson) in (name for _, name, _ in pkgutil.iter_modules(__path__))


def line(lesson: ModuleType, setting: Any, rules: Rules, view: View, key: str, brief: bool = False) -> str:
    """How sure the number of that name is, in words; "" where it has no figure. `brief`: between what, and no more.

    >>> from herbcalc.show.here import module
    >>> line(module(5), module(5).Setting(), Rules(), View(), "end")
    '19 times in 20 between 28.0 and 29.2 % vol. What would help most: a larger moisture sample (half that doubt: \
a range about two fifths narrower).'
    """
    from herbcalc.show.sure import told  # brings the batch and its sums, which no panel needs before somebody asks

    table = importlib.import_module(f"herbcalc.show.sure.lesson{lesson.LESSON:02d}")
    doubt = table.doubt(setting, rules, view, key)
    return "" if doubt is None else told.line(doubt, view, brief)


def _name(lesson: ModuleType) -> str:
    return f"lesson{key_of(lesson, 2)}"
