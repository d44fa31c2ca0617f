"""Floor 5. The first line of a page: who works here while it runs, and in the saved file that it does not run yet."""

from __future__ import annotations

import sys
from typing import Any

import anywidget
import traitlets

from herbcalc.show import assets
from herbcalc.show.draw.palette import css
from herbcalc.show.stored import Stored

NOT_RUNNING = "Not running yet: choose Run, then Run All Cells."


class Greeting(Stored, anywidget.AnyWidget):
    """The `lines` that greet somebody on a page that runs. A page that is opened again says that it does not run.

    >>> Greeting(["Lesson 5 is ready."])._repr_mimebundle_()["text/plain"]
    'Not running yet: choose Run, then Run All Cells.'
    """

    stored_plain = NOT_RUNNING
    stored_html = f"<p>{NOT_RUNNING}</p>"

    lines = traitlets.List([]).tag(sync=True)
    _colours = css().replace(".herb-panel", ".herb-greeting")
    _looks = assets.looks("greeting", _colours + assets.text("asleep.css", "greeting.css"))
    _esm = _looks + assets.text("asleep.js", "greeting.js")

    def __init__(self, lines: list[str]) -> None:
        super().__init__(lines=lines)


def greet(lines: list[str]) -> None:
    """Show the lines in a notebook; print them where there is none."""
    shell: Any = sys.modules["IPython"].get_ipython() if "IPython" in sys.modules else None
    if shell is None:
        print("\n".join(lines))
        return
    from IPython.display import display

    display(Greeting(lines))
