"""Floor 5. The scripts and style sheets that lie beside the code, for what runs in the browser."""

from __future__ import annotations

from importlib.resources import files


def text(name: str) -> str:
    """What a file holds, named from this folder: "panel/stage.js"."""
    return (files("herbcalc.show") / name).read_text(encoding="utf-8")
