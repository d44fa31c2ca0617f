"""Floor 5. The page of 00_start: who works here, by which rules, where things are kept, and how to take them away."""

from __future__ import annotations

import base64
from html import escape

import ipywidgets as w

from herbcalc import person
from herbcalc.homework.draws import normal_form
from herbcalc.show.card import paper
from herbcalc.show.desk import Desk
from herbcalc.show.stored import Stored
from herbcalc.units.refusals import OutOfRange

INTRO = (
    "Type the class code from your teacher and your own number. From then on every exercise uses figures that are "
    "yours alone. No name is asked for, and nothing leaves this computer unless you hand it in."
)
PLACES = [
    f"{person.ME}: your class code and own number",
    f"{person.CLASS}: from your teacher, if there is one: class code and house rules",
    f"{person.SETTINGS}: the settings you kept in the lessons",
    f"{person.BATCH}: your own batch, when you keep one",
    "answers-CLASS-NUMBER.jsonl: your result file, with what you answered, a line each",
    "workbook and exercises: your copies of the notebooks",
]
WHAT_A_LINE_HOLDS = (
    "Each line is one answer: the class code and number, the item and which set of its figures, what you typed, how "
    "sure you were, how many steps you had been shown, what you ticked or mended, and the day. A tick that changes "
    "makes a line of its own, and so does asking for a fresh set. There is no name and no time of day in it, and no "
    "marks."
)


def own_number(typed: str) -> int:
    """The own number that was typed, 1 to 99; anything else is refused in a sentence.

    >>> own_number(" 12 ")
    12
    """
    text = typed.strip()
    if not (text.isascii() and text.isdigit() and len(text) <= 4 and 1 <= int(text) <= 99):
        given = f'"{text[:20]}" was typed' if text else "Nothing is typed yet"
        raise OutOfRange(f"Own number: {given}. It is a whole number from 1 to 99, such as 12.")
    return int(text)


class Start(Stored, w.VBox):
    """The start page, for the folder and the rules that `here` carries."""

    stored_plain = "The start page"
    stored_html = f"<p>{INTRO}</p><p>Run the cells of this notebook to type them here.</p>"

    def __init__(self, here: Desk) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.here = here
        first = here.who.class_code if here.known else here.sheet.code
        self.code = paper.box("Class code", self.keep, first)
        self.number = paper.box("Own number, 1 to 99", self.keep, str(here.who.number) if here.known else "")
        for one in (self.code, self.number):
            one.style.description_width = "11em"  # one under the other
        self.said, self.file, self.asked = paper.live(), paper.live(), paper.live()
        self.sure = w.HBox()
        self.keep_button = paper.button("Keep these", self.keep, first=True)
        self.look_button = paper.button("Show what is in my result file", self.show_file)
        self.delete_button = paper.button("Delete all of mine", self.ask_before_deleting)
        self.yes_button = paper.button("Yes, delete these", self.delete)
        self.no_button = paper.button("No, keep them", self.leave)
        self.children = [
            w.HTML(f"<p>{INTRO}</p>"),
            self.code,
            self.number,
            self.keep_button,
            self.said,
            w.HTML(self._house_rules() + self._places()),
            self.look_button,
            self.file,
            self.delete_button,
            self.asked,
            self.sure,
            paper.Manners(),
        ]

    # --- who works here ---

    def keep(self) -> None:
        """Keep the class code (in its normal form) and the own number, and say so."""
        try:
            code, number = normal_form(self.code.value), own_number(self.number.value)
            who = person.save_me(code, number, self.here.home)
        except (OutOfRange, person.NotKept) as refusal:
            self.said.value = paper.told(["Not kept yet.", str(refusal)])
            return
        self.here.who, self.here.known = who, True
        self.code.value = code
        lines = [
            f"Kept: class {who.class_code}, own number {who.number}.",
            "Capitals, spaces and dashes in a class code make no difference.",
            "Now open a lesson. In one that is open already, run its first cell again.",
        ]
        if not person.lasts(self.here.home):
            lines.append(
                "This browser keeps nothing after you close it. Save your result file below before you leave."
            )
        self.said.value = paper.told(lines)

    # --- rules and places ---

    def _house_rules(self) -> str:
        return paper.unfolding(
            "The house rules in force", "Your teacher can change them in class.toml.", self.here.rules.lines()
        )

    def _places(self) -> str:
        return paper.unfolding("Where your things are", f"In the folder {self.here.home}", PLACES)

    # --- the result file ---

    def show_file(self) -> None:
        """Show exactly what is in the result file, and offer it to be saved elsewhere."""
        path = person.answers_path(self.here.who, self.here.home)
        try:
            held = person.result_file(self.here.who, self.here.home)
        except person.NotKept as refusal:
            self.file.value = paper.told(["The result file could not be opened.", str(refusal)])
            return
        if not held:
            self.file.value = paper.told(["There is no result file yet.", "It begins with your first answer."])
            return
        inside = base64.b64encode(held.encode("utf-8")).decode("ascii")
        count = held.count("\n")
        self.file.value = (
            paper.told([f"{count} line{'s' if count != 1 else ''} so far.", WHAT_A_LINE_HOLDS])
            + f'<p><a download="{escape(path.name)}" href="data:application/octet-stream;base64,{inside}">'
            f'Save my result file ({escape(path.name)})</a></p><pre tabindex="0">{escape(held)}</pre>'
        )

    # --- taking it away ---

    def ask_before_deleting(self) -> None:
        """Say which files would go, and wait for a yes."""
        try:
            names = [path.name for path in person.all_of_mine(self._me(), self.here.home)]
        except person.NotKept as refusal:
            self.asked.value = paper.told(["Nothing was deleted.", str(refusal)])
            return
        if not names:
            self.asked.value = paper.told(["There is nothing of yours here to delete."])
            return
        self.asked.value = paper.told(
            ["Delete these files for good?", "The notebooks and your teacher's class.toml stay."], names
        )
        self.sure.children = [self.no_button, self.yes_button]

    def delete(self) -> None:
        """Delete all of this person's files."""
        try:
            gone = person.delete_all(self._me(), self.here.home)
            self.here.who, self.here.known = person.PRACTICE, False
            self.code.value = self.number.value = self.said.value = self.file.value = ""
            self.asked.value = paper.told([f"Deleted: {', '.join(gone)}.", "What is left are practice figures."])
        except person.NotKept as refusal:
            self.asked.value = paper.told(["Not all of it could be deleted.", str(refusal)])
        self.sure.children = []

    def leave(self) -> None:
        """Delete nothing."""
        self.asked.value = paper.told(["All of it stays."])
        self.sure.children = []

    def _me(self) -> person.Me:
        return self.here.who
