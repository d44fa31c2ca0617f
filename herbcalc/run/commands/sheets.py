"""Floor 6. `sheets`: homework on paper for a class, and the teacher's key."""

from __future__ import annotations

import argparse

from herbcalc.run.console import ME
from herbcalc.run.typed import Unclear, Words, class_code, path, whole_ones

LINE = "makes homework sheets to print, each student's own, and the key"
ABOUT = """\
Makes a homework sheet for each student of a class: the same figures that they meet on the screen, room to work and a
place for the answer. The key for the teacher is a file of its own: what is right for each student, and which number
comes out of which mix-up. Both are pages for any browser, to read or to print, and PDFs where there is a Chromium or
Chrome on this computer.

CODE is your class code, and NUMBERS are the students' own numbers: 1-18, or 3, or 1,4,7-9.
"""
AFTER = """\
Without --questions you get the lessons that your class.toml has opened, or all of them where it names none.
Without --to they are put into the folder "sheets" in your my-herb-sums, where no update touches them. A file that has
the same name there is replaced, and the command says so.

Example:  sheets fern7 1-18 --questions 5
          sheets fern7 4 --questions 5.1-5.4,6.2 --large-print
"""
EXAMPLE = f"for example:  {ME} sheets fern7 1-18"
LAST = 99


def words(parser: Words) -> None:
    """What stands behind it."""
    code = class_code("Say your class code and then the students' numbers", EXAMPLE)
    parser.one("code", code, "your class code, as it stands in class.toml")
    parser.several("numbers", numbers, "the students' own numbers, 1 to 99")
    questions = "lessons or single questions: 5, or 4-6, or 5.1-5.6,6.2"
    parser.option("--questions", "5,6.1", str, questions)
    parser.switch("--large-print", "letters of 18 pt instead of 10 pt")
    parser.option("--paper", "letter", paper, "the paper of the PDF: A4 (without it) or letter", "A4")
    to = path("--to wants the folder behind it in which the sheets are to be laid.")
    parser.option("--to", "FOLDER", to, 'where to put them (without it: "sheets" in your my-herb-sums)')


def numbers(text: str) -> list[int]:
    """Own numbers such as "1,4,7-9". Refuses (Unclear): what is no number from 1 to 99, and a range turned round."""
    found = whole_ones(text.strip(","), LAST)
    if not found:
        raise Unclear(
            f'"{text[:60]}" says no own numbers. They run from 1 to {LAST}, the smaller one first: '
            "1-18, or 3, or 1,4,7-9."
        )
    return found


def paper(text: str) -> str:
    """The name of a size of paper. Refuses (Unclear): one that is not known."""
    known = {"a4": "A4", "letter": "letter"}
    if text.lower() not in known:
        raise Unclear("--paper wants A4 or letter behind it.")
    return known[text.lower()]


def run(asked: argparse.Namespace) -> int:
    """Make them, inside the environment: figures and pictures need the workbook's parts."""
    everybody = sorted({number for some in asked.numbers for number in some})
    if not everybody:
        raise Unclear(f"Say which own numbers the students of {asked.code} have, {EXAMPLE}")
    from herbcalc.run import environment

    if (code := environment.carried_out("sheets", asked.words)) is not None:
        return code
    from herbcalc.run import printing

    wanted = printing.Wanted(asked.code, everybody, asked.questions, asked.large_print, asked.paper)
    return printing.carry_out(wanted, asked.to)
