"""Floor 6. `overview`: what a class handed in, on one page for its teacher."""

from __future__ import annotations

import argparse
from pathlib import Path

from herbcalc.run.console import ME
from herbcalc.run.typed import Unclear, Words, path, whole_ones

LINE = "shows what a class handed in: what to teach again, and who is quiet"
ABOUT = """\
Reads the files that your students sent, and makes one page to read before class: what to teach again first and the
scene that shows it, what they were sure of and that did not fit, what nobody could do, who has gone quiet, and a
table of who stands where. Beside it comes a page of mixed questions for next week, made from what was missed, and its
key.

FOLDER is where you put the files; folders inside it are looked into, three deep. Several classes may lie in it: each
gets its own table. Students are numbers, as in your own list; there is no name in any file. Every answer is marked
anew here, from class code and number. What is no result file is named with the reason, and nothing in it is ever run.
"""
AFTER = """\
The pages are laid beside the folder, or where --to says. --numbers says whose files you wait for; without it, the
numbers up to the highest that came.

Example:  overview handed-in
          overview handed-in --numbers 1-18 --to for-me
"""
LAST = 99


def words(parser: Words) -> None:
    """What stands behind it."""
    parser.one("folder", _folder, "the folder with the files that your students sent")
    parser.option("--numbers", "1-18", _numbers, "the own numbers of the class")
    to = path("--to wants the folder behind it in which the pages are to be laid.")
    parser.option("--to", "FOLDER", to, "where to put the pages (without it: beside the folder)")


def _folder(text: str) -> Path:
    """A folder's path. Refuses (Unclear): none."""
    return path(f"Say in which folder the files of your students lie, for example:  {ME} overview handed-in")(text)


def _numbers(text: str) -> list[int]:
    """Own numbers. Refuses (Unclear): what says none."""
    found = whole_ones(text, LAST)
    if not found:
        raise Unclear(f"--numbers wants own numbers behind it, 1 to {LAST}: 1-18, or 1,4,7-9.")
    return found


def run(asked: argparse.Namespace) -> int:
    """Make it, inside the environment: marking needs the workbook's sums."""
    from herbcalc.run import environment

    if (code := environment.carried_out("overview", asked.words)) is not None:
        return code
    from herbcalc.run import looking

    return looking.carry_out(asked.folder, asked.to, asked.numbers or ())
