"""Floor 5. The card of one homework item: its words, a place to type, and an answer at once.

The card knows no sum and no slip: `herbcalc.homework` asks and looks, and its words are shown here. Every check is
kept in the result file before anything is said, so that a crash afterwards costs nothing. So are a fresh set that was
asked for, the points ticked and the mended figure, as soon as they change; a card that is opened again goes on where
the file ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

import ipywidgets as w

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.homework.draws import first_go_of
from herbcalc.homework.feedback import Feedback
from herbcalc.homework.item import Item
from herbcalc.homework.reading import LONGEST
from herbcalc.homework.results import Answer
from herbcalc.show import question
from herbcalc.show.card import onward, paper
from herbcalc.show.card.onward import HIGHEST
from herbcalc.show.card.picture import Picture
from herbcalc.show.desk import Desk
from herbcalc.show.question import HOW_SURE, MEND, SURE
from herbcalc.show.stored import Stored

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
HAD = "You had this one"
NOW = "What you typed now:"
HANDED_IN = "Handed in with your file. Your teacher goes through this one with you, so nothing more is said here."
NO_STEPS = "There is no sum to walk through here. Try one: what is said to it points the way, and nothing is counted."
TICK = {
    True: "Which of these three does it say?",
    False: "Now say why, aloud or on paper. Which of these three does your reason give?",
}
GIVEN = {
    1: "The way stands above, all but its last step. That one is yours.",
    2: "The way stands above, all but its last two steps. Those are yours.",
}
NO_MORE_SETS = ["No more sets.", "That was the last set of figures for this question. Try another question."]


def current(here: Desk, first: Item) -> tuple[Item, list[Answer], list[str]]:
    """The set of figures of an item that was worked on or asked for last, and none before the one handed in; what is
    in the file, notes on the file."""
    answers, notes = results.read(person.answers_path(here.who, here.home))
    return _in_set(first, max(first.go, results.last_go(answers, first))), answers, notes


def _in_set(item: Item, go: int) -> Item:
    return homework.item(item.ask.lesson, item.ask.number, item.class_code, item.own_number, go, item.plants)


def understood(feedback: Feedback) -> list[str]:
    """What was read in an answer, to be said before all else; nothing where nothing could be read."""
    return [f"I read {feedback.read}."] if feedback.read else []


def told(feedback: Feedback) -> list[str]:
    """What there is to say about an answer, a line for each thought."""
    first = VERDICTS[feedback.verdict]
    said = "\n".join([first, feedback.hint.removeprefix(first), feedback.consequence])
    return [line.strip() for line in said.splitlines() if line.strip()]


class Card(Stored, w.VBox):
    """The card of one item, at the desk `here`: `first` is the item in the first set of figures that it may have
    here, `below` what stands below the question."""

    def __init__(self, here: Desk, first: Item, below: Sequence[w.Widget] = ()) -> None:
        super().__init__()
        self.below = below
        self.add_class("herb-card")
        self.here = here
        self.prompt, self.given, self.manners = w.HTML(), w.HTML(), paper.Manners()
        self.picture = Picture()
        self.feedback, self.noted, self.onward = paper.live(), w.HTML(), w.HTML()
        self.noted.add_class("herb-noted")
        self.sure = w.RadioButtons(options=SURE, value=None, description=HOW_SURE, orientation="horizontal")
        self.sure.style.description_width = "initial"
        self.check_button = paper.button("Check", self.check, first=True)
        self.more_button = paper.button("Show me one step more", self.one_step_more)
        self.fresh_button = paper.button("A fresh set", self.fresh_set)
        self.points, self.mending = w.VBox(), w.VBox()
        self.points.add_class("herb-points")
        item, self.answers, notes = current(here, first)
        self._show(item)
        before = results.tries(self.answers, item)
        if before:
            self._resume(before[-1], notes)
        elif notes:
            self._say(["A word about your result file.", *notes])

    # --- what stands on the card ---

    def _show(self, item: Item) -> None:
        """Lay the card out for one set of figures."""
        self.item, self.tier, self.last = item, 1, None
        self.solved = ""  # what was read in the answer that was right; of set work nobody is told
        heading = item.code
        if item.ask.lesson != self.here.number:
            heading += f", from lesson {item.ask.lesson}"
        if item.go > first_go_of(item.go):
            heading += f", set {item.go - first_go_of(item.go) + 1}"
        self.manners.item = heading
        body = f"<h3>{escape(heading)}</h3>{question.put(item)}"
        listed = question.lines(item)
        self.place = self._place()
        self.prompt.value = body + (listed if isinstance(self.place, w.Text) else "")
        self.stored_plain = f"Item {item.code}"
        self.stored_html = f"{body}{listed}<p>{paper.TO_ANSWER}</p>"
        self.left_out = results.left_out(self.answers, item)
        self.given.value = paper.listed("Given so far:", item.given(self.left_out))
        self.picture.show(item)
        self.feedback.value = self.onward.value = ""
        self._open_after((), mend=False)
        buttons = paper.row(self.check_button, self.more_button, self.fresh_button)
        asks = [self.prompt, *self.below, self.picture, self.given, self.place, self.sure, buttons]
        told = [self.feedback, self.points, self.mending, self.noted, self.onward]
        self.children = [*asks, *told, self.manners]

    def _place(self) -> Any:
        """Where the answer goes: a list to choose from, or a box to type in; each says what is asked."""
        item = self.item
        label = question.label_of(item)
        if item.choices and len(item.right_letters) == 1:
            options = [(text, text[:1]) for text in item.choices]
            place = w.RadioButtons(options=options, value=None, description=label)
        else:
            place = paper.box(label, self.check, long=item.kind == "sentence")
        place.style.description_width = "initial"
        return place

    def _say(self, lines: list[str], steps: list[str] | None = None, read: list[str] | None = None) -> None:
        self.feedback.value = paper.told(lines, steps, read)

    def _open_after(self, points: Sequence[str], mend: bool) -> None:
        """The places that come after an answer: points to tick, a box for the mended figure; as they were kept."""
        ticked, mended = (self.last.ticked, self.last.mended) if self.last else ((), "")
        self.ticks = [paper.tick(point, n in ticked, self.keep_more) for n, point in enumerate(points, 1)]
        self.mend = paper.box(MEND, self.keep_more, mended) if mend else None
        if self.mend:
            self.mend.observe(lambda _: self.keep_more(), "value")
        self.manners.points = TICK[self.item.kind == "sentence"]
        self.points.children, self.mending.children = self.ticks, [self.mend] if self.mend else []
        self.noted.value = ""

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
            self._say([HOW_SURE, "Choose sure, fairly or guessing, then Check. All three are fine."])
        else:
            self._keep_and_tell(typed)

    def _keep_and_tell(self, typed: str) -> None:
        feedback = self.item.check(typed)
        same = self.last is not None and self.last.typed == typed  # its ticks and its mended figure stay with it
        ticked, mended = (self.last.ticked, self.last.mended) if same else ((), "")
        self.last = results.answer_to(self.item, typed, self.sure.value, self.tier, ticked=ticked, mended=mended)
        self._tell(feedback, self._keep(self.last))

    def _keep(self, answer: Answer) -> list[str]:
        """Put an answer into the result file; what there is to say where that could not be done."""
        self.answers.append(answer)
        try:
            results.append(person.answers_path(self.here.who, self.here.home), answer)
        except results.NotSaved as refusal:
            return [str(refusal)]
        return []

    def keep_more(self) -> None:
        """Keep the ticks and the mended figure as they stand now, with the answer that they belong to."""
        last = self.last
        ticked = tuple(n for n, tick in enumerate(self.ticks, 1) if tick.value)
        mended = self.mend.value.strip() if self.mend else ""
        if last is None or (ticked, mended) == (last.ticked, last.mended):
            return
        if len(mended) > LONGEST:
            self.noted.value = paper.quiet(f"Up to {LONGEST} characters can be kept. Say it more briefly.")
            return
        more = results.answer_to(self.item, last.typed, last.sure, last.tier, ticked=ticked, mended=mended)
        refused = self._keep(more)
        if not refused:
            self.last = more
        said = mended if self.mend else f"ticked {', '.join(map(str, ticked))}" if ticked else ""
        self.noted.value = paper.quiet(" ".join(refused) or f"Kept: {said or 'nothing'}.")

    def _tell(self, feedback: Feedback, also: list[str]) -> None:
        right, sentence = feedback.verdict == "right", self.item.kind == "sentence"
        handed_in = self.here.sheet.set_work and feedback.verdict in ("right", "slip", "not yet")
        solved = not self.here.sheet.set_work and self._solved(feedback)
        points = self.item.points if right and not handed_in else ()
        steps = [] if right or handed_in else self.item.worked(self.tier)
        if handed_in:
            said = [HANDED_IN]
        elif points:
            said = ["A whole sentence." if sentence else VERDICTS["right"], TICK[sentence]]
        else:
            said = told(feedback)
        if right and not handed_in:
            line = onward.in_one_line(self.item)
            also = [f"The sum in one line: {line}.", *also] if line else also
        elif solved:
            said = [solved, " ".join([NOW, *said])]
        self._say(said + also, steps, understood(feedback))
        self.onward.value = onward.button(self.here.number, self.item) if solved or handed_in else ""
        # Where answers are handed in, the box is there for whatever line was chosen, and gives nothing away.
        self._open_after(points, mend=self.item.kind == "find the slip" and (right or handed_in))

    def _solved(self, now: Feedback) -> str:
        """What is said of an item that was solved in this set, whatever is typed later; "" where it was not yet."""
        if now.verdict == "right":
            self.solved = now.read or HAD
        elif not self.solved:
            looked = (self.item.check(one.typed) for one in results.tries(self.answers, self.item))
            self.solved = next((one.read or HAD for one in looked if one.verdict == "right"), "")
        return self._had()

    def _had(self) -> str:
        if self.solved in ("", HAD):
            return f"{HAD}." if self.solved else ""
        return f"{HAD}: {self.solved}."

    def one_step_more(self) -> None:
        """Show one step more of the way, with the student's own figures. It costs nothing."""
        given_already = HIGHEST - self.left_out if self.left_out else 0
        self.tier = min(max(self.tier, given_already) + 1, HIGHEST)
        steps = self.item.worked(self.tier)
        self._say([STEPS[self.tier] if steps else NO_STEPS, *filter(None, [self._had()])], steps)

    def fresh_set(self) -> None:
        """Other figures for the same question; kept, so that they are there when the notebook opens again."""
        go = self.item.go + 1
        if first_go_of(go) != first_go_of(self.item.go):
            self._say(NO_MORE_SETS)
            return
        item = _in_set(self.item, go)
        also = self._keep(results.fresh_set(item, tier=self.tier))
        self._show(item)
        given = [GIVEN[self.left_out]] if self.given.value else []
        self._say(["Here are fresh figures. The question is the same.", *given, *also])

    def _resume(self, last: Answer, notes: list[str]) -> None:
        """Go on where the result file ends: what was typed last stands there, and so does what was said to it."""
        self.last, self.tier = last, max(last.tier, 1)
        if isinstance(self.place, w.Text) or last.typed in dict(self.place.options).values():
            self.place.value = last.typed
        self.sure.value = last.sure if last.sure in SURE else None
        self._tell(self.item.check(last.typed), notes)
