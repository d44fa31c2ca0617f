"""Floor 5. Homework on paper: each student's own sheet, and the teacher's key to it, as HTML that prints well.

    sheet(items, large=False), answers(items) -> str        one student's sheet, and the key to it
    students_page(title, sheets, large=False) -> str        a whole page of them
    key_page(title, keys) -> str                            a whole page for the teacher
    for_paper(page, "A4") -> str                            the page for one size of paper

The pages hold no script, need nothing else, and are well-formed XML as well. A question never breaks across two
sheets of paper, and each names whose it is, so that loose sheets find together again.
"""

from __future__ import annotations

import importlib
from collections.abc import Sequence
from html import escape
from itertools import groupby
from types import ModuleType

from herbcalc.homework import key
from herbcalc.homework.item import Item
from herbcalc.show import assets, given, html_page, question
from herbcalc.show.draw.palette import FONT

PAPERS = ("A4", "letter")  # by their names in CSS
FEWEST_ROWS, MOST_ROWS = 3, 9  # of handwriting, one for each step of the way
FEW = 10  # so many items fit a page of the key in larger letters
OWN = (
    "These figures are yours alone. Write the unit behind every number: g and mL count, and so do oz and fl oz, "
    "unless a question names one."
)
OF_ALL = "The same figures for everybody. Write the unit behind every number: g and mL count, and so do oz and fl oz."
HOW_TO_MARK = (
    "Where two numbers stand, the kitchen rule leads to one and the measured way to the other: anything between them "
    "is right, and so is what lies within 1 part in 100 of it (0.3 °C of a temperature; a count counts exactly). Any "
    "unit of the right kind counts, unless the question names one; so does the right way, rounded on the way. A side "
    "road says how its number may come out, and somebody may have come to it another way: ask, do not tell."
)


def students_page(title: str, students: Sequence[str], large: bool = False) -> str:
    """A whole HTML page with the sheets of several students (see `sheet`), each beginning on a new page of paper."""
    return _page(title, students, "herb-large" if large else "")


def key_page(title: str, students: Sequence[str]) -> str:
    """The same with the keys (see `answers`)."""
    return _page(title, students, "herb-key")


def for_paper(page: str, paper: str) -> str:
    """The page for one size of paper, "A4" or "letter"; without it whoever prints chooses."""
    return page.replace("</style>", f"@page{{size:{paper}}}</style>", 1)


def _page(title: str, sections: Sequence[str], kind: str) -> str:
    style = f":root{{--font:{FONT}}}{assets.text('sheets/sheets.css')}"
    return html_page.whole(title, f'<body class="{kind}"><main>{"".join(sections)}</main></body>', style)


def _by_lesson(items: Sequence[Item]) -> list[tuple[ModuleType, list[Item]]]:
    """The items in stretches of one lesson, each with the lesson that they belong to."""
    return [
        (importlib.import_module(f"herbcalc.show.lessons.lesson{lesson:02d}"), list(stretch))
        for lesson, stretch in groupby(items, lambda item: item.ask.lesson)
    ]


def _whose(item: Item) -> str:
    return f"class {item.class_code}, number {item.own_number}"


# --- the student's sheet -------------------------------------------------------------------------------------------


def sheet(items: Sequence[Item], large: bool = False, of_all: str = "") -> str:
    """One student's own sheet: `items`, at least one, all of one class and number. Where they are for a whole class,
    `of_all` says whose they are.

    In large print, where a page holds one question, what holds for all of them stands at the end.
    """
    own = f'<p class="herb-quiet">{escape(OF_ALL if of_all else OWN)}</p>'
    whose = of_all or _whose(items[0])
    head = whose if of_all else f"Homework of {whose}"
    parts = [f'<section class="herb-seat"><h1>{escape(head)}</h1>{"" if large else own}']
    for lesson, stretch in _by_lesson(items):
        head = f"<h2>Lesson {lesson.LESSON}: {escape(lesson.TITLE)}</h2>"
        caution = f'<p class="herb-caution">{escape(lesson.CAUTION)}</p>' if lesson.CAUTION else ""
        first, *rest = (_question(item, whose) for item in stretch)
        parts += [f'<div class="herb-first">{head}{caution}{first}</div>', *rest]
    return "".join([*parts, own if large else "", "</section>\n"])


def _question(item: Item, whose: str) -> str:
    """One question with its picture, room to work, and a place for the answer."""
    drawn = given.picture(item)
    picture = f'<div class="herb-given">{_picture(item, drawn)}</div>' if drawn else ""
    rows = min(max(len(item.worked(4)), FEWEST_ROWS), MOST_ROWS)
    room = "" if item.kind == "sentence" or item.quick else f'<div class="herb-room" style="--rows:{rows}"></div>'
    return (
        f'<article class="herb-question"><h3>{item.code}<span> {escape(whose)}</span></h3>'
        f"{question.put(item, on_paper=True)}{question.lines(item)}"
        f'<div class="herb-work">{picture}{room}</div>{_place(item)}</article>'
    )


def _picture(item: Item, drawn: given.Picture) -> str:
    said = escape(given.sentence(item, drawn))
    rough = f'<p class="herb-quiet">{given.NOT_TO_SIZE}</p>' if given.rough(drawn) else ""
    return f'<div role="img" aria-label="{said}">{given.svg(item, drawn, "paper")}</div>{rough}'


def _place(item: Item) -> str:
    """Where the answer goes, and how sure the student is of it."""
    label = question.label_of(item)
    if item.kind == "sentence":
        places = _line(label, long=True) + _line("") * 2
    elif item.kind == "find the slip":
        places = _line(label) + _line(question.MEND, long=True)
    else:
        places = _line(label) + (_line("Your reason", long=True) + _line("") if item.points else "")
    sure = "".join(f"<span><i></i> {word}</span>" for word in question.SURE)
    return f'<div class="herb-answer">{places}<p class="herb-sure">{question.HOW_SURE} {sure}</p></div>'


def _line(label: str, long: bool = False) -> str:
    """A line to write on behind a label; a `long` one, or one without a label, is as long as the paper is wide."""
    kind = " herb-long" if long or not label else ""
    named = f"<span>{escape(label)}{'' if label.endswith('?') else ':'}</span>" if label else ""
    return f'<p class="herb-line{kind}">{named}<b></b></p>'


# --- the teacher's key ---------------------------------------------------------------------------------------------


def answers(items: Sequence[Item], of_all: str = "") -> str:
    """The key to one student's sheet: what is right, and known side roads with their numbers; `of_all` as above."""
    whose = escape(of_all or _whose(items[0]))
    few = " herb-few" if len(items) <= FEW else ""
    parts = [
        f'<section class="herb-seat"><h1>For the teacher: the key to {whose}</h1>'
        f'<p class="herb-quiet">{escape(HOW_TO_MARK)}</p><div class="herb-columns{few}">'
    ]
    for lesson, stretch in _by_lesson(items):
        first, *rest = map(_key, stretch)
        head = f"<h2>Lesson {lesson.LESSON}: {escape(lesson.TITLE)}</h2>"
        parts += [f'<div class="herb-first">{head}{first}</div>', *rest]
    return "".join([*parts, "</div></section>\n"])


def _key(item: Item) -> str:
    right = " to ".join(key.right(item)) or "one whole sentence"
    told = [("right too", f"{number}. {remark.removeprefix('Right. ')}") for number, remark in key.right_too(item)]
    if mended := key.mended(item):
        told.append(("mended", mended))
    if item.points:
        told.append(("it says", " ".join(f"({n}) {point}" for n, point in enumerate(item.points, 1))))
    rows = "".join(f"<li><i>{name}:</i> {escape(words)}</li>" for name, words in told)
    rows += "".join(f"<li><b>{escape(number)}</b> {escape(did)}</li>" for number, did in key.side_roads(item))
    listed = f"<ul>{rows}</ul>" if rows else ""
    return f'<article class="herb-question"><h3>{item.code} <b>{escape(right)}</b></h3>{listed}</article>'
