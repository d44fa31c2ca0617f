"""Floor 5. How a homework question is put: the same words on a card and on a sheet of paper. It loads no widget."""

from __future__ import annotations

import re
from html import escape

from herbcalc.homework import progress
from herbcalc.homework.blueprint import Want
from herbcalc.homework.item import Item
from herbcalc.homework.wording import KITCHEN, METRIC, PLAIN

SURE = ("sure", "fairly", "guessing")
HOW_SURE = "How sure are you?"
MEND = "Now mend that line: which number belongs there?"
LABELS = {
    "sum": "Your answer",
    "choice": "Your choice",
    "find the slip": "The first line that does not fit",
    "sentence": "Your sentence",
}
# A state in shapes; the word stands beside it.
SHAPES = {
    progress.DONE: "✓",
    progress.HELPED: "◐",
    progress.NOT_YET: "…",
    progress.NOT_TRIED: "○",
    progress.HANDED_IN: "➜",
}
ON_PAPER = (("Type ", "Write "), (" before you check", ""))  # what a prompt says to whoever sits at a screen


def asked_for(want: Want | None) -> str:
    """The end of a label: a unit by name only where that very unit is asked for, else that one belongs to it.

    >>> from herbcalc.homework import item
    >>> [asked_for(item(*code, "fern7", 3).ask.want) for code in ((5, 2), (3, 5), (5, 4), (3, 8))]
    [', with its unit', ' in °C, with its unit', ', as 1:x', '']
    """
    if want is None or want.kinds[0] in ("count", "money"):
        return ""  # a number alone will do
    if want.said == "1:x":
        return ", as 1:x"
    return f"{f' in {want.said}' if want.only else ''}, with its unit"


def label_of(item: Item) -> str:
    """What stands before the place where an item is answered."""
    if len(item.right_letters) > 1:
        return "Your letters"
    return LABELS[item.kind] + asked_for(item.ask.want)


def a_line_each(prompt: str) -> str:
    """Several short questions, each on a line of its own.

    >>> a_line_each("Finish each. 1. It is ... 2. They are ... Type two letters.").splitlines()
    ['Finish each.', '1. It is ...', '2. They are ...', 'Type two letters.']
    """
    return re.sub(r" (?=1\. )|(?<=\.\.\.) ", "\n", prompt)


def asked(prompt: str) -> str:
    """A prompt as HTML, with its small print (which figures to work from, how many) standing back on a line below."""
    for note in (METRIC, KITCHEN, PLAIN):
        question, found, more = prompt.partition(note)
        if found:
            first = f'<p class="herb-prompt">{escape(question.strip())}</p><p class="herb-quiet">{escape(note)}</p>'
            return first + (f"<p>{escape(more.strip())}</p>" if more.strip() else "")
    return f'<p class="herb-prompt">{escape(prompt)}</p>'


def words(item: Item, on_paper: bool = False) -> str:
    """An item's prompt, in the words of a screen or of paper; several short questions on a line each."""
    prompt = a_line_each(item.prompt) if item.quick else item.prompt
    for screen, paper in ON_PAPER if on_paper else ():
        prompt = prompt.replace(screen, paper)
    return prompt


def put(item: Item, on_paper: bool = False) -> str:
    """The same as HTML.

    >>> from herbcalc.homework import item
    >>> [put(item(8, 8, "fern7", 3), on_paper).count("Type their letters") for on_paper in (False, True)]
    [1, 0]
    """
    return asked(words(item, on_paper))


def lines(item: Item) -> str:
    """What there is to choose from, or the lines to look through, as HTML; "" where there are none."""
    listed = "".join(f"<li>{escape(line)}</li>" for line in item.choices)
    return f'<ul class="herb-lines">{listed}</ul>' if listed else ""
