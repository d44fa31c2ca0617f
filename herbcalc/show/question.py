"""Floor 5. The card of one homework item: its words, a place to type, and an answer at once.

The card knows no sum and no slip: `herbcalc.homework` asks and looks, and its words are shown here. Every check is
kept in the result file before anything is said, so that a crash afterwards costs nothing; a card that is opened again
goes on where the file ends.
"""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from herbcalc import homework, mine
from herbcalc.homework import results
from herbcalc.show import paper
from herbcalc.show.stored import Stored

if TYPE_CHECKING:
    from herbcalc.show.here import Here

HIGHEST = 4
LONGEST = 500  # a longer text in a result file counts as edited by hand
SURE = ("sure", "fairly", "guessing")
VERDICTS = {
    "right": "Yes, that is it.",
    "say the unit": "Say of what.",
    "other unit": "Look at the unit.",
    "slip": "Not yet.",
    "not yet": "Not yet.",
    "unread": "That could not be read.",
}
STEPS = {
    2: "The first step, with a gap for you to fill.",
    3: "All but the last step.",
    4: "The whole way, with your figures. A fresh set lets you walk it alone.",
}
HANDED_IN = "Handed in. Your teacher goes through this one with you, so nothing more is said about it here."
NO_STEPS = "There is no sum to walk through here. Try one: what is said to it points the way, and nothing is counted."
MEND = "Now mend that line: which number belongs there? Write it down, then look at the steps."
LABELS = {
    "sum": "Your answer",
    "choice": "Your choice",
    "find the slip": "Which line slipped",
    "sentence": "Your sentence",
}


def current(here: Here, number: int) -> tuple[Any, list[Any]]:
    """The item in the set of figures that was worked on last, and the answers given to that set so far."""
    answers, notes = results.read(mine.answers_path(here.who, here.home))
    here.notes += [note for note in notes if note not in here.notes]
    code = f"{here.number}.{number}"
    go = max((a.go for a in answers if a.item == code), default=1)
    item = homework.item(here.number, number, here.who.class_code, here.who.number, go)
    return item, [a for a in answers if (a.item, a.go, a.edition) == (code, go, item.edition)]


def told(feedback: Any) -> list[str]:
    """What there is to say about an answer, a line for each thought."""
    said = "\n".join([VERDICTS[feedback.verdict], feedback.hint, feedback.consequence])
    return [line for line in said.splitlines() if line.strip()]


class Card(Stored, w.VBox):
    """The card of item `number` of the lesson in `here`."""

    def __init__(self, here: Here, number: int) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.here, self.number = here, number
        self.prompt, self.feedback, self.manners = w.HTML(), paper.live(), paper.Manners()
        self.sure = w.RadioButtons(
            options=SURE, value=None, description="How sure are you?", orientation="horizontal"
        )
        self.sure.style.description_width = "initial"
        self.check_button = paper.button("Check", self.check, first=True)
        self.more_button = paper.button("Show me one step more", self.one_step_more)
        self.fresh_button = paper.button("A fresh set", self.fresh_set)
        self.points = w.VBox()
        item, answers = current(here, number)
        self._show(item, item.go)
        if answers:
            self._resume(answers)

    # --- what stands on the card ---

    def _show(self, item: Any, go: int) -> None:
        """Lay the card out for one set of figures."""
        self.item, self.go, self.tier = item, go, 1
        heading = f"{item.code}" + (f", set {go}" if go > 1 else "")
        body = f'<h3>{escape(heading)}</h3><p class="herb-prompt">{escape(item.prompt)}</p>'
        lines = "".join(f"<li>{escape(line)}</li>" for line in item.choices)
        listed = f'<ul class="herb-lines">{lines}</ul>' if lines else ""
        self.place = self._place()
        self.prompt.value = body + (listed if isinstance(self.place, w.Text) else "")
        self.stored_plain = f"Item {item.code}"
        self.stored_html = f"{body}{listed}<p>Run the cells of this notebook to answer it here.</p>"
        self.feedback.value = ""
        self.points.children = ()
        buttons = w.HBox([self.check_button, self.more_button, self.fresh_button])
        buttons.layout.flex_flow = "row wrap"
        self.children = [self.prompt, self.place, self.sure, buttons, self.feedback, self.points, self.manners]

    def _place(self) -> Any:
        """Where the answer goes: a list to choose from, or a box to type in; each says what is asked."""
        item = self.item
        label = LABELS[item.kind] + (f", in {item.unit}" if item.kind == "sum" and item.unit else "")
        if item.choices and len(item.right_letters) == 1:
            options = [(text, text[:1]) for text in item.choices]
            place = w.RadioButtons(options=options, value=None, description=label)
        else:
            place = paper.box(label, self.check, long=item.kind == "sentence")
        place.style.description_width = "initial"
        return place

    def _say(self, lines: list[str], steps: list[str] | None = None) -> None:
        self.feedback.value = paper.told(lines, steps)

    # --- what a student does ---

    def check(self) -> None:
        """Look at what stands there, keep it, and say what there is to say."""
        typed = (self.place.value or "").strip()
        if not typed:
            self._say(["Nothing stands there yet.", f"{LABELS[self.item.kind]} goes in the place above."])
        elif len(typed) > LONGEST:
            self._say(
                [f"That is {len(typed)} characters long.", f"Up to {LONGEST} can be kept. Say it more briefly."]
            )
        elif self.sure.value is None:
            self._say(["How sure are you?", "Choose sure, fairly or guessing, then Check. All three are fine."])
        else:
            self._keep_and_tell(typed)

    def _keep_and_tell(self, typed: str) -> None:
        feedback = self.item.check(typed, self.tier)
        try:
            results.append(mine.answers_path(self.here.who, self.here.home), self._answer(typed))
            kept = []
        except OSError as refusal:
            kept = [f"This answer could not be kept in your result file. {refusal}"]
        self._tell(feedback, kept)

    def _answer(self, typed: str) -> Any:
        return results.Answer.of(self.item, typed, self.sure.value, self.tier)

    def _tell(self, feedback: Any, also: list[str]) -> None:
        if self.here.sheet.get("set_work") is True and feedback.verdict in ("right", "slip", "not yet"):
            self._say([HANDED_IN, *also])
            return
        ticks = self.item.points if feedback.verdict == "right" and self.item.kind == "sentence" else ()
        said = ["A whole sentence. Which of these three does it say?"] if ticks else told(feedback)
        mend = [MEND] if feedback.verdict == "right" and self.item.kind == "find the slip" else []
        self._say(said + mend + also)
        self.points.children = [self._tick(point) for point in ticks]

    @staticmethod
    def _tick(point: str) -> w.Checkbox:
        tick = w.Checkbox(value=False, description=point, indent=False)
        tick.layout.width = "auto"
        return tick

    def one_step_more(self) -> None:
        """Show one step more of the way, with the student's own figures. It costs nothing."""
        self.tier = min(self.tier + 1, HIGHEST)
        steps = self.item.worked(self.tier)
        self._say([STEPS[self.tier] if steps else NO_STEPS], steps)

    def fresh_set(self) -> None:
        """Other figures for the same question."""
        go = self.go + 1
        item = homework.item(self.here.number, self.number, self.here.who.class_code, self.here.who.number, go)
        self._show(item, go)
        self._say(["Here are fresh figures. The question is the same."])

    def _resume(self, answers: list[Any]) -> None:
        """Go on where the result file ends: what was typed last stands there, and so does what was said to it."""
        last = answers[-1]
        self.tier = min(max(int(last.tier), 1), HIGHEST)
        if isinstance(self.place, w.Text) or last.typed in dict(self.place.options).values():
            self.place.value = last.typed
        self.sure.value = last.sure if last.sure in SURE else None
        self._tell(self.item.check(last.typed, self.tier), [])
