"""Floor 6. `test`: runs the tests."""

from __future__ import annotations

import argparse

from herbcalc.run import environment, suite
from herbcalc.run.typed import Unclear, Words

LINE = "runs the tests (and sets up what is missing)"
_SECTIONS = "\n".join(f"  {name:<10} {title}" for name, (title, _) in suite.SECTIONS.items())
ABOUT = f"""\
Runs the tests, section by section, each with its time; some ten minutes on a small computer.

{_SECTIONS}

The browser section needs Chromium. Where none is found, the end says that it was not run. These sections run only
when they are named: {", ".join(sorted(suite.WHEN_NAMED))}.
"""
AFTER = """\
For example:  test sums notebooks

With HERBCALC_BROWSER=required in the environment, a browser test that could not be run counts as failed.
"""


def words(parser: Words) -> None:
    """What may stand behind it."""
    parser.several("section", section, f"only these: {', '.join(suite.SECTIONS)}")


def section(text: str) -> str:
    """The name of one section. Refuses (Unclear): a name that none of them has."""
    if text not in suite.SECTIONS:
        raise Unclear(f'There is no section "{text}". There are: {", ".join(suite.SECTIONS)}.')
    return text


def run(asked: argparse.Namespace) -> int:
    """Run them inside the environment."""
    words = ["-m", "herbcalc.run.suite", *asked.section]
    return environment.call(environment.FOR_TESTS, words, also=environment.FOR_SOME_TESTS)
