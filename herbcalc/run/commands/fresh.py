"""Floor 6. `fresh`: copies a lesson again."""

from __future__ import annotations

import argparse

from herbcalc.run.console import ME, say
from herbcalc.run.typed import Unclear, Words, whole

LINE = "copies a lesson again; your old copy stays beside it"
ABOUT = """\
Copies one lesson and its exercises into your folder again, as they came.
Your old copy stays beside the new one, with '-kept-1' (2, 3 ...) in its name. Answers are not touched:
they live in their own file.
"""
AFTER = "Example:  fresh 5"


def words(parser: Words) -> None:
    """What stands behind it."""
    parser.one("number", lesson, "the number of the lesson")


def lesson(text: str) -> int:
    """The number of a lesson. Refuses (Unclear): anything that is no whole number."""
    number = whole(text)
    if number is None:
        raise Unclear(f"Say the number of one lesson, for example:  {ME} fresh 5")
    return number


def run(asked: argparse.Namespace) -> int:
    """Copy it, and say which copies there are now."""
    from herbcalc.run import copies

    done = copies.fresh(asked.number)
    say("\n".join(done) if done else f"There is no lesson {asked.number} in this workbook.")
    return 0 if done else 2
