"""Floor 5. The card of a label: its lines to fill in, what it still lacks, and why a promise is sent back.

An invented, unfinished label stands there at first, which the card says. Its line for an amount is empty, and nothing
ever stands there but what a person typed. Nothing is kept.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from html import escape
from typing import Any

import ipywidgets as w

from herbcalc.batch.label import AMOUNT, FIELDS, KEEPING, KIND, NO_AMOUNT, STATES, Label
from herbcalc.batch.label import check as before_the_bottle
from herbcalc.harvest import MONTHS
from herbcalc.maceration.ratios import CONVENTIONS, Ratio
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.rules import Rules
from herbcalc.show.card import paper
from herbcalc.show.cautions import ASK_FIRST
from herbcalc.show.panel.dials import WHO_TELLS
from herbcalc.show.stored import Stored
from herbcalc.units import Q, amount
from herbcalc.units.refusals import OutOfRange, WrongUnit, quoted
from herbcalc.units.saying import so_many

TITLE = "Your label"
INVENTED = (
    "The label that stands here is invented, and not finished. Mend it, or empty it and type your own, a day with "
    "its month in words (14 July 2026). Nothing is kept: copy it onto paper before you close this page or run "
    "it again."
)
READY = (
    "Every line is there, and no promise was found. Only known words are looked for: read it aloud once yourself. "
    "Then it may go on the bottle."
)
BARE = "Nothing stands on it yet. Begin with the common name; one line after the other will do."
# An invented label as somebody may leave it: no botanical name, no strength in the bottle, and a promise.
EXAMPLE = {
    "common": "Lemon balm",
    "part": "leaf",
    "ratio": "1:2",
    "spirit": "75.5 % vol",
    "volume": "250 mL",
    "gathered": "14 July 2026",
    "put_up": "14 July 2026",
    "pressed": "11 August 2026",
    "lot": "26-07-14-LB-F-02",
    "maker": "evening class at Alder Lane (invented)",
    "place": "bed 3, Alder Lane",
    "also": "Cures restless nights",
}
LONG = ("maker", "place", "cautions", "amount", "also")
YEARS = range(1900, 2200)  # of a bottle; what a slip of the finger makes lies outside
DAYS = ("gathered", "put_up", "pressed", "best_before")
KINDS = {"ratio": "ratio", "spirit": "strength", "final": "strength", "volume": "volume"}
HEADS = {**{name: field.head for name, field in FIELDS.items()}, "amount": f"{AMOUNT} ({WHO_TELLS})", "also": "Also"}
_NAMED = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|\.)?(?: of)?[ -]([A-Za-z]{3,})\.?,?[ -](\d{4})"
    r"|([A-Za-z]{3,})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})"
)
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")


class LabelCard(Stored, w.VBox):
    """The boxes, the button and the words, told by the house rules given.

    The plant on it stays that of the story, for its lines belong to it; the place is that of the class.
    """

    stored_plain = TITLE

    def __init__(self, rules: Rules, plants: Plants = AS_TOLD) -> None:
        super().__init__()
        self._at_our_place = plants.place_alone.named
        example = self._at_our_place(EXAMPLE)
        self.rules = rules
        self.add_class("herb-card")
        self.places = {
            name: paper.box(head, self.check, example.get(name, ""), long=name in LONG) for name, head in _boxes()
        }
        self.state = paper.choice(FIELDS["state"].head, [("not said yet", ""), *((s, s) for s in STATES)], "fresh")
        self.kind = paper.choice(KIND, [(kind, kind) for kind in KEEPING], "tincture")
        readings = {f"{words} ({name})": name for name, words in CONVENTIONS.items()}
        self.reading = paper.choice("The ratio counts", [*readings.items()], rules.ratio_reading)
        self.said = paper.live()
        self.check()
        words = f"<h3>{TITLE}</h3><p>{INVENTED}</p>"
        rows = "".join(f"<li>{escape(head)}: {escape(example.get(name, ''))}</li>" for name, head in _boxes())
        self.stored_html = f"{words}<ul>{rows}</ul>{self.said.value}<p>{paper.TO_TYPE}</p>"
        caution = w.HTML(paper.cautions([ASK_FIRST]))
        places = list(self.places.values())
        until = list(self.places).index("ratio") + 1  # what a ratio counts is chosen beside it
        self.children = [
            w.HTML(words), self.kind, self.state, paper.row(*places[:until]), self.reading,
            paper.row(*places[until:]), caution,
            paper.row(paper.button("Check the label", self.check, first=True),
                      paper.button("Empty all boxes", self.empty)),
            self.said, paper.Manners(),
        ]  # fmt: skip

    def empty(self) -> None:
        """Take everything off the label, so that a person may type their own."""
        for place in self.places.values():
            place.value = ""
        self.state.value = ""
        self.check()

    def check(self) -> None:
        """Read the boxes, show the label as it stands, and say what it lacks or why it is sent back."""
        label, unread = read(
            {name: place.value for name, place in self.places.items()},
            self.reading.value,
            state=self.state.value,
            kind=self.kind.value,
        )
        if not any(place.value.strip() for place in self.places.values()):
            self.said.value = paper.told([BARE])
            return
        left = self._at_our_place(before_the_bottle(label, Q(self.rules.floor, "percent_vol")))
        heads = [head for head, _ in unread]
        lines = [words for _, words in unread] + [one for one in left if one.partition(":")[0] not in heads]
        first = f"{so_many(len(lines), 'thing')} before it goes on the bottle:" if lines else READY
        told = paper.told([first], lines)
        told += paper.listed("So it stands now:", [f"{head}: {text}" for head, text in label.lines()])
        self.said.value = told + ("" if label.amount else paper.quiet(NO_AMOUNT))


def _boxes() -> list[tuple[str, str]]:
    return [(name, head) for name, head in HEADS.items() if name != "state"]


def read(typed: dict[str, str], reading: str, **chosen: str) -> tuple[Label, list[tuple[str, str]]]:
    """A label from what was typed, and for each box that could not be read its head and a sentence.

    typed    the texts of the boxes, by the names of the label's lines
    reading  what the ratio counts: "added", "finished" or "dry"
    chosen   what was chosen and not typed: state, kind

    >>> label, unread = read({"common": "Lemon balm", "pressed": "7/8/26"}, "added")
    >>> label.pressed is None, unread[0][1][:60]
    (True, 'Pressed, or run through: "7/8/26" is one day here and anothe')
    """
    found: dict[str, Any] = {}
    unread = []
    for name, text in typed.items():
        if not text.strip():
            continue
        try:
            found[name] = _reader(name, reading)(text.strip())
            Label(**{name: found[name]})  # its own refusal belongs to this line
        except (WrongUnit, OutOfRange) as refusal:
            found.pop(name, None)
            head, said = FIELDS[name].head, str(refusal)
            for twice in (f"{name}: ", f"the {name} strength: "):  # the head says it already
                said = said.removeprefix(twice)
            unread.append((head, f"{head}: {said}"))
    return Label(**found, **chosen), unread


def _reader(name: str, reading: str) -> Callable[[str], Any]:
    if name in DAYS:
        return day
    if name == "ratio":
        return lambda text: Ratio(_poured(text), reading)
    return (lambda text: amount(text, KINDS[name])) if name in KINDS else str


def _poured(text: str) -> Any:
    ratio = amount(text, "ratio")
    if not ratio.magnitude > 0:
        raise OutOfRange(f"{quoted(text)} says that nothing was poured on. A ratio such as 1:5 would work.")
    return ratio


def day(text: str) -> datetime.date:
    """A day as it stands on a label: "14 July 2026", "July 14, 2026" or "2026-07-14".

    Refuses what is read in two ways in two countries, and what is no day (OutOfRange).

    >>> day("14 July 2026"), day("2026-07-14")
    (datetime.date(2026, 7, 14), datetime.date(2026, 7, 14))
    """
    shown, text = quoted(text), " ".join(text.split())
    if (year_typed := re.search(r"\d{4}", text)) and int(year_typed.group()) not in YEARS:
        raise OutOfRange(f"{shown} is in a year far from ours. A day such as 14 July 2026 would work.")
    try:
        if iso := _ISO.fullmatch(text):
            return datetime.date(*map(int, iso.groups()))
        if named := _NAMED.fullmatch(text):
            number, month, year = named[1] or named[5], named[2] or named[4], named[3] or named[6]
            whole = [n for n, words in enumerate(MONTHS, 1) if words.casefold().startswith(month.casefold())]
            if len(whole) == 1:
                return datetime.date(int(year), whole[0], int(number))
    except ValueError:
        raise OutOfRange(f"{shown} is no day of the calendar. A day such as 14 July 2026 would work.") from None
    if re.fullmatch(r"\d{1,2}[/.-]\d{1,2}[/.-]\d{2,4}", text):
        raise OutOfRange(
            f"{shown} is one day here and another elsewhere. With its month in words, 14 July 2026, it works."
        )
    raise OutOfRange(f"{shown} could not be read as a day. 14 July 2026, with its month in words, would work.")
