"""Floor 5. What is kept of a person: by which rules, where it lies, and how to take it away."""

from __future__ import annotations

import ipywidgets as w

from herbcalc import person
from herbcalc.show.card import paper
from herbcalc.show.desk import Desk
from herbcalc.show.stored import Stored

PLACES = [
    f"{person.ME}: your class code and own number",
    f"{person.CLASS}: from your teacher, if there is one: class code and house rules",
    f"{person.SETTINGS}: the settings you kept in the lessons, and the questions you put off",
    f"{person.BATCH}: your own batches, when you keep some",
    f"{person.MY_PLAN}: the plan of lesson 14 on one page, when you make it",
    f"{person.MY_BATCH}: a batch of your own on one page, when you make it",
    "answers-CLASS-NUMBER.jsonl: your result file, with what you answered, a line each",
    f"{person.FOR_TEACHER}: the copy of it that you saved to hand in",
    "workbook and exercises: your copies of the notebooks",
]


class Mine(Stored, w.VBox):
    """House rules, places, and a button that deletes all of a person's own."""

    stored_plain = "Your things"
    stored_html = "<p>The house rules, and where your things lie, stand here when the cells have run.</p>"

    def __init__(self, here: Desk) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.here = here
        self.asked, self.sure = paper.live(), w.HBox()
        self.delete_button = paper.button("Delete all of mine", self.ask_before_deleting)
        self.yes_button = paper.button("Yes, delete these", self.delete)
        self.no_button = paper.button("No, keep them", self.leave)
        rules = paper.unfolding(
            "The house rules in force", "Your teacher can change them in class.toml.", here.rules.lines()
        )
        places = paper.unfolding("Where your things are", f"In the folder {here.home}", PLACES)
        self.children = [w.HTML(rules + places), self.delete_button, self.asked, self.sure, paper.Manners()]

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
            self.here.now(person.PRACTICE, known=False)
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
