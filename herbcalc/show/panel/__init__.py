"""Floor 5. The one Panel: whatever a lesson module says, shown, asked, compared, kept and told aloud.

    from herbcalc.show.panel import Panel
    Panel(lesson05, rules, home)

It builds its controls from the fields of the lesson's Setting and draws what the lesson's `look` returns. Refusals
are shown as the sentences they are; any other trouble is named on a line of its own and raised again.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import ipywidgets as widgets

from herbcalc import person
from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.look import Look, Scene, View, compare, controls
from herbcalc.show.panel import markup
from herbcalc.show.panel.dials import Choices, Dial, button, choice
from herbcalc.show.panel.hands import Hands
from herbcalc.show.panel.kept import Kept
from herbcalc.show.panel.stage import Stage
from herbcalc.show.stored import Stored
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit

Drawing = Callable[[Board], None]
REFUSALS = (WrongUnit, OutOfRange, Impossible)
# Sizes of the board: in a notebook and in the show view, alone and two side by side. In the show view the picture is
# 1.6 times its board units wide on a screen of 1024, so that words of 17.6 units are 28 pixels high.
BOARDS = {
    (False, False): {"width": 720, "height": 320, "size": 16.0, "small": 14.0},
    (False, True): {"width": 352, "height": 320, "size": 16.0, "small": 14.0, "narrow": True},
    (True, False): {"width": 612, "height": 205, "size": 17.6, "small": 17.6},
    (True, True): {"width": 300, "height": 190, "size": 17.6, "small": 17.6, "narrow": True},
}


class Panel(Stored, widgets.VBox):
    """A lesson to be seen and moved.

    lesson  a module that keeps the contract in `herbcalc.show.look`
    rules   the house rules in force
    home    the person's folder, for kept settings and their batch (None: the usual one)
    asking  whether the answer is kept back until it is asked for (True at first, as before a class)
    """

    def __init__(self, lesson: ModuleType, rules: Rules, home: Path | None = None, *, asking: bool = True) -> None:
        self._lesson, self._rules, self._home = lesson, rules, home or person.folder()
        self.view = View()
        self.setting = lesson.SCENES[0].setting
        self.earlier: Any = None  # the setting left showing, or put beside
        self._beside = False
        self._scene = 0
        self._hidden = asking
        self._ground = "light"
        self._boards: dict[Any, Board] = {}
        self.look: Look | None = None
        self.sentence = ""
        self._html = {
            name: widgets.HTML() for name in ("question", "picture", "tiles", "say", "more", "note", "trouble")
        }
        for name, made in self._html.items():
            made.add_class(f"herb-{name}")
        self._build()
        super().__init__([self._stage_box, self._control_box])
        self.add_class("herb-panel")
        self._own: list[Scene] = []
        self._read_own()
        self._open(0, hide=asking)

    # --- what it is made of ---------------------------------------------------------------------------------------

    def _build(self) -> None:
        lesson = self._lesson
        fields = controls(lesson.Setting)
        shelf = self._rules.shelf
        self.dials: dict[str, Dial | Choices] = {
            c.name: Choices(c, self._set) if c.options else Dial(c, shelf, self._set, self._note) for c in fields
        }
        self.stage = Stage()
        self.stage.observe(lambda _: self._draw(), "showing")
        self.hands = Hands()
        self.kept = Kept(lesson.LESSON, fields, lesson.SCENES[0].setting, self._home, self._press_kept)
        self.scenes = widgets.Dropdown(description="Scene", options=[("", 0)])
        self.scenes.observe(lambda change: self._picked(change["new"]), "value")
        self.answer = button("Show me", self.turn_answer, main=True)
        self.drawer = button("More ways to look", self.turn_drawer)
        asking = [self.answer, button("Back", self.back), button("Next", self.next)]
        bar = widgets.HBox([*asking, button("Back to the start", self.start)])
        bar.add_class("herb-bar-row")
        places = widgets.HBox([self.scenes, self.drawer, self.stage])
        places.add_class("herb-bar-row")
        dials = widgets.VBox(list(self.dials.values()))
        dials.add_class("herb-dials")
        rules = [("kitchen rule: volumes add up", "kitchen"), ("measured: with the shrink", "measured")]
        self.rule = choice("Which rule first", rules, "kitchen", lambda value: self._look_by(rule=value))
        units = [("g and mL", "metric"), ("oz and fl oz", "kitchen")]
        self.units = choice("Which units first", units, "metric", lambda value: self._look_by(units=value))
        self.ground = choice("Ground", [("light", "light"), ("dark", "dark")], "light", self._on_ground)
        ends = [("goes away", "away"), ("stays, faint", "faint"), ("stays, side by side", "beside")]
        self.before = choice("This setting, when you move on", ends, "away", self.leave)
        rule = [self.rule] if getattr(lesson, "BOTH_RULES", True) else []
        self.more = widgets.VBox([self.before, *rule, self.units, self.ground, self.kept])
        self.more.add_class("herb-more")
        self.more.layout.display = "none"
        html = self._html
        self._stage_box = widgets.VBox([html["question"], html["picture"], self.hands, html["tiles"]])
        self._stage_box.add_class("herb-stage")
        told = [html["note"], html["trouble"], html["say"]]
        self._control_box = widgets.VBox([*told, bar, dials, places, html["more"], self.more])
        self._control_box.add_class("herb-controls")

    # --- what a person does ---------------------------------------------------------------------------------------

    def set(self, **values: Any) -> None:
        """Move dials from a line of code: `panel.set(ratio=3)`. Values are in the units of the dials."""
        self._draw(dataclasses.replace(self.setting, **values))

    def _set(self, name: str, value: Any) -> None:
        self.set(**{name: value})

    def turn_answer(self) -> None:
        """Show what was kept back, or keep it back again."""
        self._hidden = not self._hidden
        self._draw()

    def turn_drawer(self) -> None:
        """Open or close the box with the other ways to look."""
        opening = self.more.layout.display == "none"
        self.more.layout.display = "" if opening else "none"
        self.drawer.description = "Fewer ways to look" if opening else "More ways to look"

    def next(self) -> None:
        """Go to the next scene; after the last comes the first."""
        self._open((self._scene + 1) % len(self._all()))

    def back(self) -> None:
        """Go to the scene before."""
        self._open((self._scene - 1) % len(self._all()))

    def start(self) -> None:
        """Everything as it was when the panel opened, in one press; kept settings and counted hands stay."""
        self.before.value, self.rule.value, self.units.value = "away", "kitchen", "metric"
        self._open(0, hide=True)

    def leave(self, how: str) -> None:
        """What becomes of this setting when the dials move on: "away", "faint" or "beside"."""
        self.earlier = None if how == "away" else self.earlier if self.earlier is not None else self.setting
        self._beside = how == "beside"
        self.before.value = how
        self._draw()

    def _look_by(self, **how: str) -> None:
        self.view = dataclasses.replace(self.view, **how)
        self._draw()

    def _on_ground(self, ground: str) -> None:
        self._ground = ground
        (self.add_class if ground == "dark" else self.remove_class)("herb-dark")
        self._draw()

    # --- scenes ---------------------------------------------------------------------------------------------------

    def _all(self) -> list[Scene]:
        return [*self._lesson.SCENES, *self._own]

    def _read_own(self) -> None:
        try:
            self._own, aside = self.kept.scenes()
            self._note(" ".join(aside))
        except person.NotKept as refusal:
            self._own = []
            self._note(str(refusal))
        scenes = self._all()
        if self._scene >= len(scenes):
            self._scene = 0
        with self.scenes.hold_trait_notifications():
            self.scenes.options = [(f"{n + 1} of {len(scenes)}: {s.name}", n) for n, s in enumerate(scenes)]
            self.scenes.value = self._scene

    def _picked(self, number: int | None) -> None:
        if number is not None and number != self._scene:
            self._open(number)

    def _open(self, number: int, hide: bool = False) -> None:
        scene = self._all()[number]
        self._scene = number
        self.scenes.value = number
        self._hidden = hide or self._hidden or bool(scene.question)
        question = scene.question or self._lesson.QUESTION
        self._html["question"].value = markup.line(question, "herb-question")
        self.hands.ask(scene.guesses or self._lesson.GUESSES)
        self._note("")
        self._draw(scene.setting)

    def _press_kept(self, doing: Callable[[Any, Scene | None], tuple[str, Any]]) -> None:
        own = self._scene - len(self._lesson.SCENES)
        try:
            told, new = doing(self.setting, self._own[own] if own >= 0 else None)
            self._read_own()
        except person.NotKept as refusal:
            told, new = str(refusal), None
        if new is not None:
            self._draw(new)
        self._note(told)

    # --- drawing --------------------------------------------------------------------------------------------------

    def _note(self, text: str) -> None:
        self._html["note"].value = markup.line(text)

    def _draw(self, setting: Any = None) -> None:
        """Show a setting (None: the one that is set) or say why it cannot be shown."""
        if setting is None:
            setting = self.setting
        self.setting = setting
        used = self._lesson.used(setting) if hasattr(self._lesson, "used") else self.dials.keys()
        for name, dial in self.dials.items():
            dial.show(getattr(setting, name), self.view)
            dial.layout.display = "" if name in used else "none"
        self._html["trouble"].value = ""
        try:
            self._show(self._lesson.look(setting, self._rules, self.view))
        except REFUSALS as refusal:
            self._refused(refusal)
        except Exception as trouble:
            self._html["trouble"].value = markup.line(
                f"This panel stopped at something it did not expect ({type(trouble).__name__}: {trouble}). Go back "
                "to the start, and please tell whoever looks after the workbook."
            )
            raise

    def _refused(self, refusal: ValueError) -> None:
        self.look = None
        # A sum begins with the name of its argument; on a panel the dials stand in view.
        text = re.sub(r"^[a-z_]+: ", "", str(refusal))
        self.sentence = text[:1].upper() + text[1:]
        self._html["picture"].value = self._html["tiles"].value = ""
        self._tell_answer()
        if self._hidden:  # that it cannot be done may be the very answer
            self._html["say"].value = markup.line("Make a guess first, then ask for the answer.")
            self._html["more"].value = ""
            return
        self._html["say"].value = markup.line(self.sentence)
        ways = [getattr(way, "text", str(way)) for way in getattr(refusal, "ways_out", [])]
        self._html["more"].value = markup.lines("What would work:", ways)

    def _tell_answer(self) -> None:
        self.answer.description = "Show me" if self._hidden else "Keep it back again"
        self.hands.show(self._hidden)

    def _show(self, look: Look) -> None:
        self.look, self.sentence = look, look.sentence
        hidden = self._hidden
        self._tell_answer()
        self._html["picture"].value = self._picture(look)
        self._html["tiles"].value = "" if hidden else markup.tiles(look.numbers[:4])
        told = markup.line(look.given if hidden else look.sentence)
        if self._beside and not hidden and self.earlier is not None:
            told = markup.line(self._difference(look)) + markup.line(f"B: {look.sentence}")
        self._html["say"].value = told
        self._html["more"].value = "".join(
            [
                "" if hidden else markup.lines("What would work:", look.ways_out),
                markup.line(self._lesson.CAUTION, "herb-caution"),
                "" if hidden else markup.line(look.caution, "herb-caution"),
                "" if hidden else markup.table(look.table),
            ]
        )

    def _earlier_look(self) -> Look:
        return self._lesson.look(self.earlier, self._rules, self.view)

    def _difference(self, look: Look) -> str:
        tell = getattr(self._lesson, "difference", compare)
        return tell(self._earlier_look(), look, self.view)

    def _picture(self, look: Look) -> str:
        """The live picture; while the answer is kept back, what may be seen before it."""
        if self._hidden:
            if look.before is None:
                return ""
            return markup.picture(self._drawn(look.before), look.given)
        if self.earlier is None:
            return markup.picture(self._drawn(look.draw), look.alt)
        earlier = self._earlier_look()
        if self._beside:
            a, b = self._drawn(earlier.draw, "a", other=look.draw), self._drawn(look.draw, "b", other=earlier.draw)
            return markup.two(markup.picture(a, earlier.alt), markup.picture(b, look.alt))
        alt = f"{look.alt} Left showing, faint, from before: {earlier.alt}"
        return markup.picture(self._drawn(look.draw, other=earlier.draw), alt)

    def _drawn(self, draw: Drawing, side: str = "", other: Drawing | None = None) -> str:
        """The SVG of a drawing; `other`, the earlier one, is left faint in it unless the two stand side by side."""
        key = (self.stage.showing, side)
        if key not in self._boards:
            size = BOARDS[self.stage.showing, bool(side)]
            name = f"{self._lesson.LESSON} {'show' if self.stage.showing else 'page'} {side}"
            self._boards[key] = Board(**size, name=name)
        board = self._boards[key]
        board.ground = self._ground
        board.start(*([other] if other else []))
        draw(board)
        if other and not side:
            with board.faint():
                other(board)
        return board.svg()

    # --- in a notebook --------------------------------------------------------------------------------------------

    @property
    def stored_plain(self) -> str:
        """The sentence, whether or not the answer is kept back on the screen."""
        return self.sentence

    @property
    def stored_html(self) -> str:
        """A picture with its sentence, the answer included: who reads without a kernel cannot ask for it."""
        if self.look is None:
            return markup.line(self.sentence)
        return markup.stored(self._drawn(self.look.draw), self.look.alt, self.sentence)
