"""Floor 5. Handing in: one button that lays a copy of the result file where it can be found and sent; before it, all
that is in it.

Other pages that a person makes are laid there too.
"""

from __future__ import annotations

import base64
import os
import sys
from html import escape
from pathlib import Path

import ipywidgets as w

from herbcalc import person
from herbcalc.person.writing import write
from herbcalc.show.card import paper
from herbcalc.show.desk import Desk
from herbcalc.show.stored import Stored
from herbcalc.units.saying import so_many

# Where the files lie in a browser's store, or on the computer of a JupyterHub, a student cannot get at them by path:
# a file is saved by a link, and lands among the downloads.
BY_LINK = sys.platform == "emscripten" or "JUPYTERHUB_USER" in os.environ
WHAT = (
    "All that you have answered so far, in every lesson, goes into one small file to send to your teacher. There is "
    "no name in it, and no marks."
)
WHAT_A_LINE_HOLDS = (
    "Each line is one answer: the class code and number, the item and which set of its figures, what you typed, how "
    "sure you were, how many steps you had been shown, what you ticked or mended, the day, and which version of the "
    "workbook it was. A tick that changes makes a line of its own, and so does asking for a fresh set. There is no "
    "name and no time of day in it, and no marks."
)
NOT_SAVED = "Not saved yet."
NOTHING_YET = ["There is nothing to save yet.", "It begins with your first answer, and any try counts."]
SEND = "Send that one file to your teacher: attach it to a message, or take it along on a memory stick."
TO_DOWNLOADS = "Or have it among your downloads, where your browser puts what it saves:"
WHAT_IS_IN_IT = "What is in it, to the letter"
MOST_SHOWN = 1000  # lines; more than a year of homework has
TOO_MANY = f"The last {MOST_SHOWN:,} stand here. All of them are in the file, which any editor of plain text opens."
OPEN_IT = (
    "Open it from the list of files on the left, or in your file browser; from there it prints. Make it again after "
    "a change."
)
NO_NUMBER = (
    "No class code and number of yours were typed in 00_start, so it says class practice, number 1. Tell your "
    "teacher whose it is when you send it."
)


class HandIn(Stored, w.VBox):
    """The button, for whoever works at the desk `here` when it is pressed."""

    stored_plain = "Hand in"
    stored_html = f"<p>{WHAT}</p><p>Run the cells of this notebook, and a button to save it stands here.</p>"

    def __init__(self, here: Desk) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.here = here
        self.before: int | None = None
        self.inside, self.said = w.HTML(), paper.live()
        self.button = paper.button("Save my answers to hand in", self.save, first=True)
        self.sight = paper.Sight(self.look)
        self.children = [w.HTML(f"<p>{WHAT}</p>"), self.inside, self.button, self.said, self.sight, paper.Manners()]
        here.when_changed.append(self.look)
        self.look()

    def look(self) -> None:
        """Show what is in the file as it is now, before it is saved and after."""
        try:
            held = person.result_file(self.here.who, self.here.home)
        except person.NotKept:
            held = ""  # the button says why
        self.inside.value = _folded(held) if held else ""

    def save(self) -> None:
        """Save a copy and say where it is and what to do with it; where none can be laid, the link is there still."""
        who, home = self.here.who, self.here.home
        try:
            held = person.result_file(who, home)
        except person.NotKept as refusal:
            self.said.value = paper.told([NOT_SAVED, str(refusal)])
            return
        if not held:
            self.said.value = paper.told(NOTHING_YET)
            return
        try:
            lines = [SEND] if BY_LINK else [f"It is here: {person.hand_in(who, home)}", SEND, TO_DOWNLOADS]
        except person.NotKept as refusal:
            lines = [NOT_SAVED, str(refusal), TO_DOWNLOADS]
        else:
            lines.insert(0, self._counted(held.count("\n")))
        if who.class_code == person.PRACTICE.class_code:
            lines.insert(-1, NO_NUMBER)
        self.inside.value = _folded(held)
        link = link_to(person.answers_path(who, home).name, held)
        self.said.value = paper.told(lines) + link

    def _counted(self, lines: int) -> str:
        now = so_many(lines, "line")
        did = "Ready" if BY_LINK else "Saved"
        again = f"{did} again: {now} now, {self.before} before." if self.before is not None else f"{did}: {now}."
        self.before = lines
        return again


def link_to(name: str, held: str) -> str:
    """A link by which a browser saves a file."""
    inside = base64.b64encode(held.encode("utf-8")).decode("ascii")
    href = f"data:application/octet-stream;base64,{inside}"
    return f'<p><a download="{escape(name)}" href="{href}">Put {escape(name)} among my downloads</a></p>'


def laid(home: Path, name: str, text: str) -> tuple[list[str], str]:
    """Lay a page that was made into the person's folder `home`: what there is to say of it, and where
    folders are out of reach a link by which it is saved. Refuses (NotKept) in a sentence."""
    if BY_LINK:
        return ["It is ready."], link_to(name, text)
    write(home / name, text)
    return [f"It is here: {home / name}", OPEN_IT], ""


def _folded(held: str) -> str:
    """Exactly what is in the file, under a title that unfolds."""
    lines = held.splitlines(keepends=True)
    some = f"<p>{TOO_MANY}</p>" if len(lines) > MOST_SHOWN else ""
    return (
        f"<details><summary>{WHAT_IS_IN_IT}: {so_many(len(lines), 'line')}</summary><p>{WHAT_A_LINE_HOLDS}</p>{some}"
        f'<pre tabindex="0">{escape("".join(lines[-MOST_SHOWN:]))}</pre></details>'
    )
