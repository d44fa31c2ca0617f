"""Floor 5. What anybody may do to a cell of code, told in a sentence: a quote mark left open, a name mistyped.

Only what went amiss in the cell itself is told so. Trouble inside the package is ours, and stands as Python shows it.
`%tb` in the next cell shows a developer the traceback behind the last sentence.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from types import TracebackType
from typing import Any

KINDS = (NameError, SyntaxError, TypeError, AttributeError, KeyboardInterrupt)
# The names that the first cell of a page brings, and those that its other cells bring.
OURS = ("here", "lesson", "Q", "amount", "spoken", "part")
RUN_ALL = "Choose Run, then Run All Cells"
BACK = "Edit, then Undo, brings back what stood there before."
STOPPED = f"This was stopped before it was done. {RUN_ALL}, and it comes. Your kept answers stay."
BOX = "An answer goes into the box on a card, below its question. " + BACK
LONGEST = 60  # characters of a line that are quoted
# An answer as it is typed: a number first, perhaps a unit behind it, and nothing to reckon with.
ANSWER = re.compile(r"[~≈]?\s*[\d½¼¾][\d\s.,/:½¼¾]*([%°\s.]+|[^\W\d]+)*[!?]?")


def sentence(
    trouble: BaseException, trace: TracebackType | None, names: Mapping[str, Any], cell: str = ""
) -> str | None:
    """What to say to trouble of one of the KINDS; None where it did not come from the cell itself.

    trace: where it happened; names: what the cells know so far, by name; cell: the text of the cell.

    >>> sentence(NameError("name 'hre' is not defined", name="hre"), None, {"here": 1})
    'Nothing here is called "hre". Did you mean "here"?'
    >>> print(sentence(SyntaxError("invalid decimal literal"), None, {}, "300 mL"))
    "300 mL" reads like an answer, and this cell holds a line of program. An answer goes into the box on a card, \
below its question. Edit, then Undo, brings back what stood there before.
    """
    if isinstance(trouble, KeyboardInterrupt):
        return STOPPED
    if ANSWER.fullmatch(cell.strip()):
        return f'"{cell.strip()[:LONGEST]}" reads like an answer, and this cell holds a line of program. {BOX}'
    if isinstance(trouble, SyntaxError):
        return _unread(trouble, cell)
    if trace is not None and not _in_a_cell(trace, names):
        return None
    if isinstance(trouble, NameError):
        return _unknown(trouble.name or "", names)
    if isinstance(trouble, AttributeError):
        return _lacking(trouble)
    return _mixed_up(str(trouble)) if isinstance(trouble, TypeError) else None


def _in_a_cell(trace: TracebackType, names: Mapping[str, Any]) -> bool:
    while trace.tb_next is not None:
        trace = trace.tb_next
    return trace.tb_frame.f_globals is names


def _close(name: str, known: Iterable[str]) -> str:
    found = get_close_matches(name, [one for one in known if not one.startswith("_")], n=1)
    return f' Did you mean "{found[0]}"?' if found else ""


def _unknown(name: str, names: Mapping[str, Any]) -> str:
    if name in OURS:
        return (
            f'This page is not running yet: "{name}" comes from a cell further up. {RUN_ALL}. If that does not help, '
            f"a cell further up was changed. {BACK}"
        )
    meant = _close(name, [*names, *OURS])
    return f'Nothing here is called "{name[:LONGEST]}".' + (
        meant or f" If it is a word of your own: {BOX} If it comes from a cell further up: {RUN_ALL}."
    )


def _unread(trouble: SyntaxError, cell: str) -> str:
    lines = (cell or trouble.text or "").splitlines()
    row = trouble.lineno or 1
    line = (lines[row - 1] if 0 < row <= len(lines) else trouble.text or "").strip()
    why = trouble.msg
    where = f'Line {row} of this cell, "{line[:LONGEST]}": ' if line else f"Line {row} of this cell: "
    if "unterminated" in why and "string" in why:
        return f'{where}a quote mark opens, and none closes it. Put one more " behind the text.'
    if "was never closed" in why or "incomplete input" in why:
        return f"{where}a bracket opens, and none closes it. Put a closing bracket where it ends."
    if closed := re.search(r"unmatched '([)\]}])'|closing parenthesis '([)\]}])'", why):
        return f"{where}a bracket {closed[1] or closed[2]} closes what no such bracket opened. Look at the brackets."
    if "forgot a comma" in why:
        return f"{where}a comma is missing between two things in the brackets."
    if isinstance(trouble, IndentationError):
        return f"{where}look at the spaces at its beginning. It begins where the line above begins."
    return f"{where}it cannot be read as a sum. Look at its quote marks, brackets and commas. {BACK}"


def _lacking(trouble: AttributeError) -> str:
    name = trouble.name or ""
    return f'"{name[:LONGEST]}" is not a thing that can stand behind this dot.' + (
        _close(name, dir(trouble.obj)) or f" Look at how it is spelled. {BACK}"
    )


def _mixed_up(why: str) -> str:
    """A call with too little or too much in its brackets, or text where an amount belongs."""
    called = (re.match(r"([\w.]+)\(\)", why) or ["", "This"])[1].rpartition(".")[2]
    if "missing" in why and "argument" in why:
        wanted = ", ".join(re.findall(r"'(\w+)'", why))
        return f"{called} needs something between its brackets ({wanted}), as in here.item(2)."
    if "positional argument" in why or "takes no arguments" in why:
        return f"{called} has more between its brackets than it can use. Take out what is too much. {BACK}"
    if "unexpected keyword" in why:
        return f"{called} does not know one of the names between its brackets. {BACK}"
    if "'str'" in why or "str (" in why:
        return (
            "Text between quote marks cannot be reckoned with as it is. Put amount( ) around it, as in "
            'amount("350 mL"), or type it into the box of a card.'
        )
    return f"Two things in this cell do not go together. Look at its brackets, commas and units. {BACK}"
