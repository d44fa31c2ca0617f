"""Floor 6. The command without a name: opens the workbook."""

from __future__ import annotations

import argparse

from herbcalc.run.typed import Words, port

LINE = "opens the workbook (and sets up what is missing)"
ABOUT = """\
Opens the workbook in your web browser.

The first time it makes a folder called .herbcalc-env here and fetches what the workbook needs.
That takes a few minutes and needs the internet. Later starts take seconds and need no internet.

You work on copies in your own folder, my-herb-sums in your home folder. (Another folder: name it in the
environment variable HERBCALC_HOME.) A notebook that you have changed is never overwritten.
"""
AFTER = "Ctrl C in the window where you typed the command stops it."


def words(parser: Words) -> None:
    """What may stand behind it."""
    parser.option("--port", "8890", port, "the number in the address in your browser; without it a free one is found")


def run(asked: argparse.Namespace) -> int:
    """Set up, copy the notebooks, start JupyterLab, and wait until it is stopped."""
    from herbcalc.run import lab

    return lab.open_workbook(asked.port)
