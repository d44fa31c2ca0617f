"""Floor 5. What comes after a Yes on a homework card: the sum in one line, and the way to the next question."""

from __future__ import annotations

import re
from html import escape

from herbcalc import homework
from herbcalc.homework import in_class
from herbcalc.homework.item import Item

HIGHEST = 4
LONG = 220  # letters of a sum in one line; of a longer one its end is told
_SUM = re.compile(r"(?:\S*\d\S* [−+×÷] .*|\S*\d\S* )= .+$")
_BRACKETS = re.compile(r" \([^()]*\)$")


def in_one_line(item: Item) -> str:
    """The worked path of an item as one sum after the other; "" where there is none, or where it is still asked for.

    >>> in_one_line(homework.item(5, 1, "fern7", 3))
    '90 ÷ 100 = 0.9; 0.9 × 100 = 90 mL (3 fl oz)'
    """
    if item.kind not in ("sum", "choice"):
        return ""  # a line to mend: its figure is asked for next
    found = [_SUM.search(line) for line in item.worked(HIGHEST)]
    sums = [one.group() for one in found if one]
    if not sums:
        return ""
    *before, last = sums
    if found[-1] is None and item.kind == "sum":
        before, last = sums, item.worked(HIGHEST)[-1]
    steps = [*(_BRACKETS.sub("", one) for one in before), last]
    cut = False
    while sum(map(len, steps)) > LONG and len(steps) > 2:
        steps, cut = steps[1:], True
    return ("...; " if cut else "") + "; ".join(steps)


def after(lesson: int, item: Item) -> tuple[str, str]:
    """What comes after an item where no further card stands on its page: words, and how the notebook's path begins.

    lesson  that of the notebook
    item    may be one of an earlier lesson

    >>> after(5, homework.item(5, 2, "fern7", 3))
    ('Next: 5.3, in Exercises 5', 'exercises/05_')
    >>> after(5, homework.item(5, 7, "fern7", 3)), after(13, homework.mixed(13, "fern7", 3)[1])
    (('Next: lesson 6', 'workbook/06_'), ('Next: lesson 14', 'workbook/14_'))
    """
    order = homework.order(lesson)
    if item.ask.lesson == lesson and item.ask.number != order[-1]:
        following = order[order.index(item.ask.number) + 1]
        return f"Next: {lesson}.{following}, in Exercises {lesson}", f"exercises/{lesson:02d}_"
    later = [one for one in in_class.lessons() if one > lesson]
    return (
        (f"Next: lesson {later[0]}", f"workbook/{later[0]:02d}_")
        if later
        else ("Next: back to the start", "workbook/00_")
    )


def button(lesson: int, item: Item) -> str:
    """The button that goes on. The card's script sees what follows on this page, and names that instead."""
    words, page = after(lesson, item)
    return (
        f'<button type="button" class="jupyter-button herb-next" data-words="{escape(words)}" data-page="{page}">'
        f"{escape(words)}</button>"
    )
