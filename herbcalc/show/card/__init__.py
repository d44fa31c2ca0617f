"""Floor 5. The card of one homework item: its words, a place to type, and an answer at once.

The card knows no sum and no slip: `herbcalc.homework` asks and looks, and its words are shown here. Every check is
kept in the result file before anything is said, so that a crash afterwards costs nothing; a card that is opened again
goes on where the file ends.
"""

from __future__ import annotations

import re
from html import escape
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.homework.reading import LONGEST
from herbcalc.homework.wording import KITCHEN, METRIC, PLAIN
from herbcalc.show.card import paper
from herbcalc.show.stored import Stored
from herbcalc.units.refusals import OutOfRange

if TYPE_CHECKING:
    from herbcalc.show.here import Here

HIGHEST = 4
SURE = ("sure", "fairly", "guessing")
VERDICTS = {
    "right": "Yes, that is it.",
    "say the unit": "Say the unit too.",
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
TICK = {
    True: "Which of these three does it say?",
    False: "Now say why, aloud or on paper. Which of these three does your reason give?",
}
MEND = "Now mend that line: which number belongs there? Write it down, then look at the steps."
LABELS = {
    "sum": "Your answer",
    "choice": "Your choice",
    "find the slip": "Which line slipped",
    "sentence": "Your sentence",
}


def current(here: Here, number: int) -> tuple[Any, list[Any], list[str]]:
    """The item in the set of figures that was worked on last, the answers given to that set, notes on the file."""
    answers, notes = results.read(person.answers_path(here.who, here.home))
    whose = (here.who.class_code, here.who.number, f"{here.number}.{number}")
    go = max((a.go for a in answers if (a.class_code, a.number, a.item) == whose), default=1)
    item = homework.item(here.number, number, here.who.class_code, here.who.number, go)
    return item, results.tries(answers, item), notes


def told(feedback: Any) -> list[str]:
    """What there is to say about an answer, a line for each thought."""
    first = VERDICTS[feedback.verdict]
    said = "\n".join([first, feedback.hint.removeprefix(first), feedback.consequence])
    return [line.strip() for line in said.splitlines() if line.strip()]


def a_line_each(prompt: str) -> str:
    """Several short questions, each on a line of its own.

    >>> a_line_each("Finish each. 1. It is ... 2. They are ... Type two letters.").splitlines()
    ['Finish each.', '1. It is ...', '2. They are ...', 'Type two letters.']
    """
    return re.sub(r" (?=1\. )|(?<=\.\.\.) ", "\n", prompt)


def asked(prompt: str) -> str:
    """A prompt as HTML, with its small print (which figures to work from, how many) standing back on a line below."""
    for note in (METRIC, KITCHEN, PLAIN):
        question, found, more = prompt.partition(note)
        if found:
            first = f'<p class="herb-prompt">{escape(question.strip())}</p><p class="herb-quiet">{escape(note)}</p>'
            return first + (f"<p>{escape(more.strip())}</p>" if more.strip() else "")
    return f'<p class="herb-prompt">{escape(prompt)}</p>'


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
        item, answers, notes = current(here, number)
        self._show(item)
        if answers:
            self._resume(answers[-1], notes)
        elif notes:
            self._say(["A word about your result file.", *notes])

    # --- what stands on the card ---

    def _show(self, item: Any) -> None:
        """Lay the card out for one set of figures."""
        self.item, self.tier = item, 1
        heading = f"{item.code}, set {item.go}" if item.go > 1 else item.code
        body = f"<h3>{escape(heading)}</h3>{asked(a_line_each(item.prompt) if item.quick else item.prompt)}"
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
        label = LABELS[item.kind]
        if item.kind == "sum" and item.unit:
            label += f", {'as' if item.unit == '1:x' else 'in'} {item.unit}"
        elif len(item.right_letters) > 1:
            label = "Your letters"
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
            self._say(["Nothing stands there yet.", "Answer in the place above, then Check."])
        elif len(typed) > LONGEST:
            self._say(
                [f"That is {len(typed):,} characters long.", f"Up to {LONGEST} can be kept. Say it more briefly."]
            )
        elif self.sure.value is None:
            self._say(["How sure are you?", "Choose sure, fairly or guessing, then Check. All three are fine."])
        else:
            self._keep_and_tell(typed)

    def _keep_and_tell(self, typed: str) -> None:
        feedback = self.item.check(typed)
        answer = results.answer_to(self.item, typed, self.sure.value, self.tier)
        try:
            results.append(person.answers_path(self.here.who, self.here.home), answer)
            also = []
        except results.NotSaved as refusal:
            also = [str(refusal)]
        self._tell(feedback, also)

    def _tell(self, feedback: Any, also: list[str]) -> None:
        if self.here.sheet.get("set_work") is True and feedback.verdict in ("right", "slip", "not yet"):
            self._say([HANDED_IN, *also])
            return
        ticks = self.item.points if feedback.verdict == "right" else ()
        said = ["A whole sentence."] if self.item.kind == "sentence" and ticks else told(feedback)
        said += [TICK[self.item.kind == "sentence"]] if ticks else []
        mend = [MEND] if feedback.verdict == "right" and self.item.kind == "find the slip" else []
        steps = [] if feedback.verdict == "right" else self.item.worked(self.tier)
        self._say(said + mend + also, steps)
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
        who = self.here.who
        try:
            item = homework.item(self.here.number, self.number, who.class_code, who.number, self.item.go + 1)
        except OutOfRange as refusal:
            self._say(["No more sets.", str(refusal)])
            return
        self._show(item)
        self._say(["Here are fresh figures. The question is the same."])

    def _resume(self, last: Any, notes: list[str]) -> None:
        """Go on where the result file ends: what was typed last stands there, and so does what was said to it."""
        self.tier = min(max(int(last.tier), 1), HIGHEST)
        if isinstance(self.place, w.Text) or last.typed in dict(self.place.options).values():
            self.place.value = last.typed
        self.sure.value = last.sure if last.sure in SURE else None
        self._tell(self.item.check(last.typed), notes)
