"""Floor 6. `ready`: says what is set up and what is missing."""

from __future__ import annotations

import argparse

from herbcalc.run.console import say
from herbcalc.run.typed import Words

LINE = "says in words what is set up and what is missing"
ABOUT = "Looks, and changes nothing: which Python, what is installed, where your folder is, what is missing."


def words(parser: Words) -> None:
    """Nothing stands behind it."""


def run(_asked: argparse.Namespace) -> int:
    """Look, and say it."""
    from herbcalc.run import ready

    say(ready.report())
    return 0
