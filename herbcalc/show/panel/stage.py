"""Floor 5. What only a browser can do for a panel: the show view, names for the controls, the keys (see stage.js)."""

from __future__ import annotations

from importlib.resources import files

import anywidget
import traitlets

from herbcalc.show.draw.palette import css


def _read(name: str) -> str:
    return (files("herbcalc.show") / name).read_text(encoding="utf-8")


class Stage(anywidget.AnyWidget):
    """The button that fills the screen with the panel around it. `showing` is whether it does now."""

    _esm = _read("groups.js") + _read("panel/stage.js")
    _css = css() + _read("panel/stage.css")
    showing = traitlets.Bool(False).tag(sync=True)
