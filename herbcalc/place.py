"""Floor 0. Where a person's own things live, and how a sheet of theirs is read. Standard library only."""

from __future__ import annotations

import os
import re
import sys
import tomllib
from pathlib import Path
from typing import Any

VARIABLE = "HERBCALC_HOME"
USUAL = "my-herb-sums"
CLASS = "class.toml"  # the teacher's sheet
BROWSER_DRIVE = Path("/drive")  # where the browser-only build keeps a visitor's files


class Unreadable(ValueError):
    """A sheet's text is not what was expected; says in a few words why, such as "something is amiss at line 3"."""


class NotKept(OSError):
    """Something could not be written or read in the person's folder; the text is a sentence for them."""


def folder() -> Path:
    """The person's folder: what HERBCALC_HOME says, else `my-herb-sums` at home (a browser: on the site's drive).

    Refuses (NotKept): the home folder of somebody who has none on this computer.
    """
    asked = os.environ.get(VARIABLE, "").strip()
    if asked:
        try:
            return Path(asked).expanduser()
        except RuntimeError:
            raise NotKept(
                f"{VARIABLE} is set to {asked}, and nobody on this computer is called {Path(asked).parts[0][1:]}. "
                f"Put the whole path of a folder into it, or take it away: then your folder is {USUAL}, at home."
            ) from None
    if sys.platform == "emscripten" and BROWSER_DRIVE.is_dir():
        return BROWSER_DRIVE / USUAL
    return Path.home() / USUAL


def table(path: Path) -> dict[str, Any] | None:
    """What a sheet (TOML, typed by a person or kept by us) says; None where there is no such file.

    The mark that some editors put before the first letter, and Windows line ends, are no part of what it says.
    Refuses: text that is no such sheet (Unreadable); what the disk refuses comes as it is (OSError).
    """
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        return None
    try:
        return tomllib.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise Unreadable("it is not plain text (UTF-8)") from None
    except (ValueError, RecursionError) as trouble:
        line = re.search(r"at line (\d+)", str(trouble))
        amiss = f"something is amiss {line.group()}{_curly(raw, int(line[1]))}" if line else ""
        raise Unreadable(amiss or "it is not a sheet of the kind that was expected") from None


def _curly(raw: bytes, line: int) -> str:
    """What an editor of letters does to quote marks; "" where that line has none of those."""
    curly = any(re.search("[“”„«»‘]", here) for here in raw.decode("utf-8").split("\n")[line - 1 : line])
    return ', where quotes are curly and straight ones (") are wanted' if curly else ""
