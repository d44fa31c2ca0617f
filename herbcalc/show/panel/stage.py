"""Floor 5. What only a browser can do for a panel: the show view, names for the controls, the keys (stage.js), and
the strip of what was shown (strip.js)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import anywidget
import traitlets

from herbcalc.show import assets
from herbcalc.show.draw.palette import css

KEYS = (
    "Page down or space: show the answer; once it shows, the next scene.",
    "Page up: the scene before.",
    "1, 2, 3 ...: one more hand for that guess. Backspace takes one back.",
    "A: pin what shows as A, or let it go.",
    "Esc: leave the show view.",
)
SURE_KEY = "S: how sure is the answer? One line below it, or no more."  # of the lessons that can say it


class Stage(anywidget.AnyWidget):
    """The button that fills the screen, the teacher's own window, and the panel's keys.

    showing  whether the panel fills the screen now
    narrow   whether it is as narrow as on a phone
    teacher  the line that stands in the teacher's own window, and nowhere else

    pressed  is told each key of the show view: "forward", "back", "1" to "9", "undo", "pin" or "sure"
    """

    _looks = assets.looks("panel", css() + assets.text("asleep.css", "panel/stage.css"))
    _esm = _looks + assets.text("groups.js", "asleep.js", "panel/stage.js")
    showing = traitlets.Bool(False).tag(sync=True)
    narrow = traitlets.Bool(False).tag(sync=True)
    teacher = traitlets.Unicode("").tag(sync=True)

    def __init__(self, pressed: Callable[[str], None]) -> None:
        super().__init__()
        self._pressed = pressed
        self.on_msg(self._heard)

    def _heard(self, _: Any, content: Any, __: Any) -> None:
        if isinstance(content, dict) and isinstance(content.get("key"), str):
            self._pressed(content["key"])


class Strip(anywidget.AnyWidget):
    """Small pictures of what was shown already; a press on one goes back to it.

    opens  is told the place of the one that was pressed, counted from 0
    shown  pairs of a name and a small picture
    """

    _esm = assets.text("panel/strip.js")
    shown = traitlets.List([]).tag(sync=True)

    def __init__(self, opens: Callable[[int], None]) -> None:
        super().__init__()
        self._opens = opens
        self.on_msg(self._heard)

    def _heard(self, _: Any, content: Any, __: Any) -> None:
        if isinstance(content, dict) and type(content.get("open")) is int:
            self._opens(content["open"])
