"""Floor 4. What a teacher marks from: the right answers of an item, and the known side roads with their numbers.

It is worked out anew from class code and number each time it is wanted, and stored nowhere.
"""

from __future__ import annotations

from herbcalc.homework import wording
from herbcalc.homework.blueprint import LETTERS
from herbcalc.homework.item import Item
from herbcalc.homework.reading import read
from herbcalc.homework.sample_answers import texts
from herbcalc.units import Q, spoken

IN_BOTH = ("g", "mL")


def said(item: Item, number: float) -> str:
    """A number of an item (in the unit it compares in) as a teacher reads it: three figures, in both systems where a
    weight or a volume may be given in either.

    >>> from herbcalc.homework import item
    >>> said(item(5, 7, "fern7", 3), 347.26), said(item(5, 2, "fern7", 3), 28.571), said(item(2, 3, "fern7", 3), 36)
    ('347 mL (11 3/4 fl oz)', '28.6 % vol', '36 plants')
    """
    want = item.ask.want
    assert want is not None
    if want.unit in IN_BOTH and not want.only:
        return spoken(Q(number, want.unit))
    if not want.exact and want.kinds[0] != "money":
        number = float(wording.three(number))
    return read(texts(item, number)[0], want).said


def right(item: Item) -> list[str]:
    """What is right: the two ends of the right band (kitchen rule and measured, the smaller first), or one where both
    are said alike; the letters of a choice; nothing where a sentence is asked.

    >>> from herbcalc.homework import item
    >>> right(item(5, 2, "fern7", 3)), right(item(5, 3, "fern7", 3)), right(item(5, 8, "fern7", 3))
    (['73.8 % vol', '75.3 % vol'], ['c'], [])
    """
    if item.kind == "sum":
        return list(dict.fromkeys(said(item, end) for end in (item.drawn.low, item.drawn.high)))
    return [" ".join(item.right_letters)] if item.right_letters else []


def mended(item: Item) -> str:
    """The figure that belongs into the line that did not fit, with the sum that gives it; "" of other items.

    >>> from herbcalc.homework import item
    >>> mended(item(6, 6, "fern7", 3))
    'As many times the menstruum, in mL: 0.72 × 500 = 360 mL (12 1/4 fl oz)'
    """
    return item.worked(4)[-1] if item.kind == "find the slip" else ""


def right_too(item: Item) -> list[tuple[str, str]]:
    """Second sums that count as right: the number, and the remark that goes with it."""
    found = [(said(item, near.sum(item.drawn.f)), item.say(near.remark)) for near in item.ask.near]
    return [(number, remark) for number, remark in found if [number] != right(item)]


def side_roads(item: Item) -> list[tuple[str, str]]:
    """The known slips: the number or the letter that each leads to, and what was done, in one line.

    >>> from herbcalc.homework import item
    >>> side_roads(item(5, 1, "fern7", 3))[0]
    ('10 mL (2 tsp)', 'Takes the solids for the water')
    >>> side_roads(item(5, 3, "fern7", 3))
    [('a', 'Says that a jar at the floor is under it'), ('b', 'Thinks that a jar is as strong as its spirit')]
    """
    if item.kind != "sum":
        right_ones = item.right_letters
        offered = zip(LETTERS, item.options, strict=False)
        return [(letter, one.did) for letter, one in offered if one.did and letter not in right_ones]
    numbers: dict[str, list[str]] = {}
    for name, number in item.drawn.slips:
        numbers.setdefault(name, []).append(said(item, number))
    did = {one.id: one.did for one in item.ask.mistakes}
    return [(" or ".join(dict.fromkeys(found)), did[name]) for name, found in numbers.items()]
