"""Floor 5. Loading again: a result file is chosen and looked at, and after one press what is missing here is added.

The file is data, and is held to the limits of every file that a class hands in. Only answers of whoever works here
come in; they are added to what is there, and nothing that is there changes.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import anywidget
import ipywidgets as w
from traitlets import Bytes, Int, Unicode

from herbcalc import person
from herbcalc.harvest import day_said
from herbcalc.homework import handed_in, marking, results
from herbcalc.homework.handed_in import Aside, File, Paper
from herbcalc.show import assets
from herbcalc.show.card import paper
from herbcalc.show.desk import Desk
from herbcalc.show.stored import Stored
from herbcalc.units.saying import so_many

INTRO = (
    "Worked on another computer, or got a new one? There, press Save my answers to hand in, and bring the file "
    'along: its name begins with "answers-". If that computer is gone, your teacher has the file that you handed in '
    "last. Choose it here. You read first what is in it; then one press adds what is missing, and nothing that is "
    "here already is changed."
)
WHICH = 'A file that fits begins with "answers-", then come your class code and number, and it ends in ".jsonl".'
NOT_READ = "Your browser could not read it. Look whether it is still in its place, then choose it once more"
ALL_HERE = "All of it is here already, so there is nothing to add."
WORTH_KNOWING = "Worth knowing:"
ELSEWHERE = (
    "What is solved in it stands in your path now. On a page that is open already, choose Run, then Run All Cells."
)
PRACTICE_THERE = "It is from before class code and number were kept there: practice figures, which nobody hands in."
GONE_AFTER = "This browser keeps nothing after you close it, so keep that file."


class Chosen(anywidget.AnyWidget):
    """A place to choose one file (choose.js). With each `turn` the others say what was chosen, and its size in bytes
    even where it is too large (`largest`) to be sent, or could not be read."""

    label = Unicode("The file with your answers").tag(sync=True)
    largest = Int(results.LARGEST_FILE).tag(sync=True)
    name, size, turn = Unicode().tag(sync=True), Int().tag(sync=True), Int().tag(sync=True)
    content = Bytes().tag(sync=True, echo_update=False, from_json=lambda sent, _: bytes(sent or b""))
    _esm = assets.text("card/choose.js")


class LoadAgain(Stored, w.VBox):
    """The place to choose a file, what is in it, and a button to add what is missing, at the desk `here`."""

    stored_plain = "Load again"
    stored_html = f"<p>{INTRO}</p><p>Run the cells of this notebook, and a place to choose it stands here.</p>"

    def __init__(self, here: Desk) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.here = here
        self.chosen, self.said, self.press = Chosen(), paper.live(), paper.row()
        self.button = paper.button("Add these to mine", self.add, first=True)
        self.held, self.added = b"", ""  # what was chosen, and what was said when it was added
        self.children = [w.HTML(f"<p>{INTRO}</p>"), self.chosen, self.said, self.press, paper.Manners()]
        self.chosen.observe(lambda _: self.take(), "turn")
        here.when_changed.append(self.look)  # whoever keeps the right class code and number goes on from there

    def take(self) -> None:
        """Look at what was chosen. The page forgets it: whatever it was, a notebook is never saved with it inside."""
        self.held, self.added, self.chosen.content = self.chosen.content, "", b""
        self.look()

    def look(self) -> None:
        """Say what is in the file that was chosen, and offer the button where something of it is missing here."""
        self.press.children = []
        if not self.chosen.turn:
            return
        found = self._read()
        if isinstance(found, Aside):
            reason = f"{found.reason[:1].upper()}{found.reason[1:].rstrip('.')}."
            self.said.value = paper.told([f"Nothing to add from {found.name}.", reason, WHICH])
            return
        lines = self._somebody_elses(found) or self._what_is_in_it(found)
        notes = [f"{note.reason[:1].upper()}{note.reason[1:]}" for note in found.notes]
        left = paper.unfolding("A word about this file", WORTH_KNOWING, notes) if notes else ""
        self.said.value = paper.told(lines) + left

    def _read(self) -> Paper | Aside:
        """What was chosen, as the teacher's side would read it; or why it cannot be."""
        one = self.chosen
        name = handed_in.shown(one.name)
        if len(self.held) != one.size:
            return Aside(name, handed_in.no_size(one.size) or NOT_READ)
        found = handed_in.looked_at(self.held, File(one.name, name))
        if isinstance(found, Aside):
            return found
        marked = marking.mark(found, results.last_day())
        return marked if isinstance(marked, Aside) else replace(found, notes=marked.notes)

    def _somebody_elses(self, found: Paper) -> list[str]:
        """What to do with a file of another class code or number; [] where it is that of whoever works here."""
        who = self.here.who
        if (found.class_code, found.number) == (who.class_code, who.number):
            return []
        now, there = "no class code and number are kept here yet", "under Who is working, above,"
        if self.here.known:
            now = f"class {who.class_code}, own number {who.number}, works here"
            there += " press Change class code or number,"
        yours = (
            f"If it is yours: {there} type {found.class_code} and {found.number} and press Keep these. What is in it "
            "stands here then."
        )
        practised = (found.class_code, found.number) == (person.PRACTICE.class_code, person.PRACTICE.number)
        return [
            f"This file is of class {found.class_code}, own number {found.number}, and {now}.",
            "So nothing of it is added: answers to other figures never mix with yours.",
            PRACTICE_THERE if practised else yours,
        ]

    def _what_is_in_it(self, found: Paper) -> list[str]:
        """What is in a file of one's own, and how much of it is missing here; the button comes with it."""
        days = [date.fromisoformat(answer.day) for answer in found.answers]
        first, last = day_said(min(days)), day_said(max(days))
        when = f"of {first}" if first == last else f"from {first} to {last}"
        whose = f"class {found.class_code}, own number {found.number}"
        lines = [f"In {found.name}: {so_many(len(found.answers), 'line')} of answers, {whose}, {when}."]
        missing = len(results.missing(self._mine(), found.answers))
        if missing:
            self.press.children = [self.button]
            lines.append(f"Here already: {so_many(len(found.answers) - missing, 'line')}. To be added: {missing:,}.")
        else:
            lines.append(ALL_HERE)
        return lines

    def add(self) -> None:
        """Add what is missing here, and say so."""
        found = self._read()
        if isinstance(found, Aside) or self._somebody_elses(found):
            self.look()
            return
        try:
            added = results.merge(self._mine(), found.answers)
        except results.NotSaved as refusal:
            self.said.value = paper.told(["Not added yet.", str(refusal)])
            return
        self.here.now(self.here.who, self.here.known)  # what stands on the page and depends on it is told, this too
        lasts = [] if person.lasts(self.here.home) else [GONE_AFTER]
        if added:
            self.added = paper.told([f"Added: {so_many(added, 'line')} of answers.", ELSEWHERE, *lasts])
        if self.added:  # pressed twice, it says the same; where another page was quicker, all of it is here
            self.said.value = self.added

    def _mine(self) -> str:
        return str(person.answers_path(self.here.who, self.here.home))
