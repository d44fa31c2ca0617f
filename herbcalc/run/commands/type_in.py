"""Floor 6. `type-in`: the answers of a student who works on paper, typed in by the teacher."""

from __future__ import annotations

import argparse

from herbcalc.run.console import ME
from herbcalc.run.typed import Unclear, Words, class_code, path, whole_ones

LINE = "takes in the answers of a student who works on paper"
ABOUT = """\
You type what stands on a student's sheet, question by question in the order of the sheet. Each answer is looked at
at once: you read what was understood, and what a student at a screen would be told. It goes into a result file like
the one that a screen makes. Only what stands on the paper is in that file, and no verdict.

CODE is your class code, and NUMBER is the student's own number.

Type an answer and press Enter: 28.6 % vol, or a letter, or a b a a c, or a sentence. Enter alone leaves a question
without an answer. How sure the student was may stand behind it:  28.6 % vol; sure  (or fairly, or guessing; the first
letter is enough). Where a reason or a sentence is asked for, you tick which of three points it says.

  back     one question back
  fix      the last answer once more, if a finger slipped
  go 5.4   to that question
  ?        the whole question, as it stands on the paper
  stop     for today
"""
AFTER = """\
Stop whenever you like, with stop, Ctrl C or by closing the window: an answer is on the disk before anything is said
about it, and the same command goes on after the last one. A result file only grows: after fix both answers stand in
it, as two tries do, and what is solved stays solved.

Without --questions you are asked about the lessons that your class.toml has opened, or all where it names none.
Without --to the file goes into the folder "typed-in" in your my-herb-sums, apart from your own answers. Lay it among
those that the others hand in. Where class.toml has set work, you see right or not yet all the same: it is kept from
the students' screens, and you are the one who marks.

Example:  type-in fern7 12 --questions 5
          type-in fern7 12 --questions 5.1-5.4,6.2 --to from-the-class
"""
EXAMPLE = f"for example:  {ME} type-in fern7 12"
LAST = 99


def words(parser: Words) -> None:
    """What stands behind it."""
    code = class_code("Say your class code and then the student's own number", EXAMPLE)
    parser.one("code", code, "your class code, as it stands in class.toml")
    parser.one("number", number, "the student's own number, 1 to 99")
    questions = "lessons or single questions: 5, or 4-6, or 5.1-5.6,6.2"
    parser.option("--questions", "5,6.1", str, questions)
    to = path("--to wants the folder behind it in which the result file is to lie.")
    parser.option("--to", "FOLDER", to, 'where the file lies (without it: "typed-in" in your my-herb-sums)')


def number(text: str) -> int:
    """One own number. Refuses (Unclear): none, more than one, and what is no number from 1 to 99."""
    found = whole_ones(text, LAST)
    if not text:
        raise Unclear(f"Say the student's own number too, {EXAMPLE}")
    if len(found) != 1:
        raise Unclear(f'"{text[:60]}" is not one own number from 1 to {LAST}. One student at a time, {EXAMPLE}')
    return found[0]


def run(asked: argparse.Namespace) -> int:
    """Ask and keep, inside the environment: the figures need the workbook's parts."""
    from herbcalc.run import environment

    if (code := environment.carried_out("type-in", asked.words)) is not None:
        return code
    from herbcalc.run import keying

    return keying.carry_out(asked.code, asked.number, asked.questions, asked.to)
