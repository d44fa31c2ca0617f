"""Floor 6. What Python in a visitor's browser does before any cell is run. `jupyter-lite.json` names this file."""

from __future__ import annotations

import sys


def begin() -> None:
    """A blunder is a sentence from the first cell on, and nothing is asked of the page that need not be."""
    # The visitor's own files come last: to look among them for a module takes a question to the page, and an answer.
    sys.path.sort(key=lambda place: place == "")
    from IPython import get_ipython

    from herbcalc.show import refused

    refused.install()
    get_ipython().Completer.use_jedi = False  # asked when Tab is pressed, and the site does not carry it


if __name__ == "__main__":
    begin()
