"""Floor 5. The scripts and style sheets that lie beside the code, for what runs in the browser."""

from __future__ import annotations

import json
from importlib.resources import files


def text(*names: str) -> str:
    """What files hold, one after the other, named from this folder: "panel/stage.js"."""
    return "".join((files("herbcalc.show") / name).read_text(encoding="utf-8") for name in names)


def looks(kind: str, sheet: str) -> str:
    """The script that puts a style sheet into the page, once for all widgets of a kind; it stands before theirs.

    >>> looks("card", ".herb-card { color: red; }").splitlines()[-1]
    'wear("herb-looks-card", ".herb-card { color: red; }");'
    """
    return f"{text('looks.js')}wear({json.dumps(f'herb-looks-{kind}')}, {json.dumps(sheet)});\n"
