"""Floor 0. Where a person's own things live. Standard library only."""

from __future__ import annotations

import os
import sys
from pathlib import Path

VARIABLE = "HERBCALC_HOME"
BROWSER_DRIVE = Path("/drive")  # where the browser-only build keeps a visitor's files


def folder() -> Path:
    """The person's folder: what HERBCALC_HOME says, else `my-herb-sums` at home (a browser: on the site's drive)."""
    asked = os.environ.get(VARIABLE, "").strip()
    if asked:
        return Path(asked).expanduser()
    if sys.platform == "emscripten" and BROWSER_DRIVE.is_dir():
        return BROWSER_DRIVE / "my-herb-sums"
    return Path.home() / "my-herb-sums"
