"""Floor 5. What is given in a homework sum, as a picture and as a sentence: parts and words, one table a lesson.

Only the figures of the question are read here, never an answer, and nothing is worked out that the question asks for.
"""

from __future__ import annotations

import importlib
import re
from types import SimpleNamespace

from herbcalc.homework import LESSONS
from herbcalc.homework.item import Item
from herbcalc.show.given.parts import BESIDE, OR, PLUS, THEN, Bars, Dial, Figures, Picture, Row

SAID = {PLUS: "", THEN: "then ", OR: "or ", BESIDE: ""}
NOT_TO_SIZE = "Only what is given is drawn to size."
_BRACKETS = re.compile(r" \(about [^)]*\)")


def figures(item: Item) -> Figures:
    """The given figures as plain numbers: percentages as shares, all else in its own unit."""
    found = {}
    for name, amount in item.figures.items():
        number = amount.magnitude
        found[name] = number / 100 if str(amount.units) in ("percent_vol", "percent_wb") else number
    return SimpleNamespace(**found)


def picture(item: Item) -> Picture | None:
    """What is to be drawn for an item; None where it is no sum.

    >>> from herbcalc.homework import item
    >>> [vessel.shape for vessel in picture(item(5, 2, "fern7", 3)).vessels]
    ['heap', 'bottle', 'jar']
    >>> picture(item(5, 8, "fern7", 3)) is None
    True
    """
    if item.kind != "sum" or item.ask.lesson not in LESSONS:
        return None
    table = importlib.import_module(f"herbcalc.show.given.lesson{item.ask.lesson:02d}").TABLE
    return item.plants.named(table[item.code](figures(item)))


def short(item: Item, words: str) -> str:
    """Words on the picture: the figures to work from, as they stand in the question, without what is "about" them."""
    return _BRACKETS.sub("", item.say(words))


def svg(item: Item, drawn: Picture, ground: str = "light") -> str:
    """The picture as one `<svg>` element, on the `ground` of a board."""
    from herbcalc.show.given import drawing  # brings numpy and, with its first board, matplotlib

    name = f"given {item.code} {item.class_code} {item.own_number} {item.go}"
    return drawing.drawn(drawn, lambda words: short(item, words), name, ground).svg()


def sentence(item: Item, drawn: Picture) -> str:
    """The picture in words, for those who listen: what is given, what is asked, in both systems of units.

    >>> from herbcalc.homework import item
    >>> one = item(5, 1, "fern7", 3)
    >>> sentence(one, picture(one)).removesuffix(NOT_TO_SIZE)
    'Given: fresh lemon balm: 100 g (about 3 1/2 oz), 90 % water. Asked: its water: how many mL? '
    """
    given: list[str] = []
    asked: list[str] = []
    for sign, name, lines in _told(drawn):
        known = [line for line in lines if "?" not in line]
        if known or not any("?" in line for line in lines):
            given.append((sign if given else "") + _named(name, ", ".join(known)))
        asked += [_named(name, _how_many(line)) for line in lines if "?" in line]
    told = f"Given: {'; '.join(given)}. Asked: {'; '.join(asked)}?"
    return item.say(told) + (f" {NOT_TO_SIZE}" if rough(drawn) else "")


def _told(drawn: Picture) -> list[tuple[str, str, tuple[str, ...]]]:
    """Sign, name and lines of each part."""
    if isinstance(drawn, Row):
        return [(SAID[v.sign], v.name, v.lines) for v in drawn.vessels]
    if isinstance(drawn, Bars):
        return [("", bar.name, bar.lines) for bar in drawn.bars]
    if isinstance(drawn, Dial):
        return [("", "", (*(words for words, _ in drawn.marks), drawn.asked))]
    return [("", "", (drawn.told, drawn.asked))]


def _named(name: str, words: str) -> str:
    return ": ".join(filter(None, [name, words]))


def rough(drawn: Picture) -> bool:
    """Whether something in it has no size of its own."""
    if isinstance(drawn, Row):
        return any(amount < 0 for vessel in drawn.vessels for _, amount in vessel.layers)
    return isinstance(drawn, Bars) and drawn.rough


def _how_many(line: str) -> str:
    return (
        line.replace("day ?", "which day")
        .replace("1:?", "1 to how many")
        .replace("$?", "how many $")
        .replace("?", "how many")
    )
