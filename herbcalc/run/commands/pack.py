"""Floor 6. `pack`: the workbook with all its parts, for a first start without the internet."""

from __future__ import annotations

import argparse

from herbcalc.run.typed import Words, path

LINE = "packs the workbook with all its parts, for a first start without the internet"
ABOUT = """\
Makes one folder that holds the workbook and all the parts it needs, about 150 MB, to carry on a USB stick to where
there is no internet. Copied to a computer of the same kind, with the same Python, its first start needs none.

What is packed is the workbook as it lies here; your own notebooks and answers are not in it.
"""
AFTER = "Example:  pack --to /media/stick"


def words(parser: Words) -> None:
    """What may stand behind it."""
    to = path("--to wants the folder behind it in which the pack is to be laid.")
    parser.option("--to", "FOLDER", to, "where to lay the pack (without it: .pack in this folder)")


def run(asked: argparse.Namespace) -> int:
    """Pack it, and say how large it is and how long it took."""
    from herbcalc.run import packing

    return packing.carry_out(asked.to)
