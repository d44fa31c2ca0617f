"""Floor 5. Who works here: class code and own number, typed once in 00_start, and who teaches the class."""

from __future__ import annotations

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
NOT_KEPT = ["Not kept yet.", "Press Keep these, and they are."]
PRACTISED = "What you answered with the practice figures is put by; with your own, each question begins afresh."
TEACHES = "I teach this class: boxes for counting hands also outside the show view"


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
    """The boxes for class code and own number; for somebody who is known, one line until a change is asked for."""

    stored_plain = "Who is working"
    stored_html = f"<p>{INTRO}</p><p>Run the cells of this notebook to type them here.</p>"

    def __init__(self, here: Desk) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.here = here
        self.code = paper.box("Class code", self.keep)
        self.number = paper.box("Own number, 1 to 99", self.keep)
        for one in (self.code, self.number):
            one.style.description_width = "11em"  # one under the other
            one.observe(lambda _: self.not_kept(), "value")
        self.teacher = paper.tick(TEACHES, here.teaches, self.keep_teacher)
        self.who, self.said, self.manners = w.HTML(), paper.live(), paper.Manners()
        self.keep_button = paper.button("Keep these", self.keep, first=True)
        self.change_button = paper.button("Change class code or number", self.change)
        self.boxes = [self.code, self.number, self.keep_button]
        self._rest = [self.said, self.teacher, self.manners]
        self.children = [self.who, *([self.change_button] if here.known else self.boxes), *self._rest]
        here.when_changed.append(self._tell)
        self._tell()

    def _tell(self) -> None:
        """What stands there of whoever works here now."""
        who, known = self.here.who, self.here.known
        self.code.value = who.class_code if known else self.here.sheet.code
        self.number.value = str(who.number) if known else ""
        self.teacher.value = who.teacher
        line = f"Class <strong>{who.class_code}</strong>, own number <strong>{who.number}</strong>."
        self.who.value = f"<p>{line if known else INTRO}</p>"
        if not known:
            self.said.value = ""
            self.children = [self.who, *self.boxes, *self._rest]

    def change(self) -> None:
        """Open the boxes, and say what becomes of the answers kept so far. What had the focus stays where it is."""
        self.children = [self.who, self.change_button, *self.boxes, *self._rest]
        try:
            stays = self._stays(self.here.who)
        except person.NotKept as refusal:
            stays = [str(refusal)]
        self.said.value = paper.told(["A change takes nothing away.", *stays])

    # --- who works here ---

    def not_kept(self) -> None:
        """Say that what stands in the two boxes is not kept, as soon as it is other than what is."""
        typed = (self.code.value.strip(), self.number.value.strip())
        who = self.here.who
        if all(typed) and (not self.here.known or typed != (who.class_code, str(who.number))):
            self.said.value = paper.told(NOT_KEPT)

    def keep(self) -> None:
        """Keep the class code (in its normal form) and the own number, and say so."""
        before, was_known = self.here.who, self.here.known
        try:
            code, number = normal_form(self.code.value), own_number(self.number.value)
            who = person.save_me(code, number, self.here.home, before.teacher)
            lines = [f"Kept: class {who.class_code}, own number {who.number}.", *self._found(before, was_known, who)]
        except (OutOfRange, person.NotKept) as refusal:
            self.said.value = paper.told(["Not kept yet.", str(refusal)])
            return
        self.here.now(who, known=True)
        lines += [
            "Capitals, spaces and dashes in a class code make no difference.",
            "Now open a lesson. In one that is open already, choose Run, then Run All Cells.",
        ]
        if not person.lasts(self.here.home):
            lines.append(
                "This browser keeps nothing after you close it. Save your answers to hand in, below, before you "
                "leave; the same file brings them back."
            )
        self.said.value = paper.told(lines)

    def _found(self, before: person.Me, was_known: bool, who: person.Me) -> list[str]:
        """What becomes of the answers kept so far, where class code or number have changed."""
        if (before.class_code, before.number) == (who.class_code, who.number):
            return []
        if not was_known and self._kept(before):
            return [PRACTISED, *self._again(who)]
        return self._again(who) + (self._stays(before) if was_known else [])

    def _again(self, who: person.Me) -> list[str]:
        """That there are answers of this class code and number from before, where there are some."""
        again = self._kept(who)
        return [f"There are {again} of yours from before; they go on from there."] if again else []

    def _stays(self, who: person.Me) -> list[str]:
        """Where the answers of one class code and number lie, and how they are found again."""
        kept = self._kept(who)
        if not kept:
            return []
        name = person.answers_path(who, self.here.home).name
        back = f"Type {who.class_code} and {who.number} again one day, and they are back."
        return [f"The {kept} of class {who.class_code}, number {who.number}, stay in their own file, {name}. {back}"]

    def _kept(self, who: person.Me) -> str:
        """How many lines there are in the result file of a class code and number, in words; "" for none."""
        count = person.result_file(who, self.here.home).count("\n")
        return f"{count} line{'s' if count != 1 else ''} of answers" if count else ""

    # --- who teaches ---

    def keep_teacher(self) -> None:
        """Keep whether this is who teaches the class."""
        who = self.here.who
        if self.teacher.value == who.teacher:
            return
        try:
            now = person.save_me(who.class_code, who.number, self.here.home, self.teacher.value)
        except person.NotKept as refusal:
            self.teacher.value = who.teacher
            self.said.value = paper.told(["Not kept yet.", str(refusal)])
            return
        self.here.now(now, known=True)
        did = "You teach this class" if now.teacher else "You no longer teach this class"
        self.said.value = paper.told(
            [f"Kept: {did[0].lower()}{did[1:]}.", "In a lesson that is open already, choose Run, then Run All Cells."]
        )
