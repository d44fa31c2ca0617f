"""Floor 5. The one Panel: whatever a lesson module says, asked, counted, shown, dragged, contrasted and kept.

    from herbcalc.show.panel import Panel
    Panel(lesson05, rules, home)

It builds its controls from the fields of the lesson's Setting and draws what the lesson's `look` returns. Each scene
asks its question first: a "?" stands where the figure will stand. Refusals are shown as the sentences they are; any
other trouble is named on a line of its own and raised again.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from contextlib import suppress
from functools import lru_cache
from html import unescape
from pathlib import Path
from types import ModuleType
from typing import Any

import ipywidgets as widgets

from herbcalc import person
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.rules import Rules
from herbcalc.show import sure
from herbcalc.show.look import Control, Look, Number, Stop, View, controls, key_of
from herbcalc.show.panel import markup
from herbcalc.show.panel.dials import Choices, Dial, Told, alike, button, choice
from herbcalc.show.panel.guesses import Guesses
from herbcalc.show.panel.hands import Hands
from herbcalc.show.panel.kept import Kept
from herbcalc.show.panel.pictures import PAGE, PHONE, SHOW, Pictures, Shown
from herbcalc.show.panel.stage import KEYS, SURE_KEY, Stage, Strip
from herbcalc.show.stored import Stored
from herbcalc.show.story import Scene, bands, scenes
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit

REFUSALS = (WrongUnit, OutOfRange, Impossible)
MOST_SHOWN = 4  # large numbers on the screen
MOST_TOLD = 4  # sentences on what was kept and could not be used
STRIP = 8  # small pictures of what was shown already


class Panel(Stored, widgets.VBox):
    """A lesson to be asked, seen and moved.

    lesson  a module that keeps the contract in `herbcalc.show.look`
    rules   the house rules in force
    home    the person's folder, for kept settings, guesses and their batch (None: the usual one)
    counts_hands  whether a press on a guess counts a hand on the page too, as for a teacher; otherwise only in the
            show view, and on the page it marks the one guess of somebody alone
    plants  whose names the scenes say
    """

    def __init__(
        self, lesson: ModuleType, rules: Rules, home: Path | None = None, *, counts_hands: bool = False,
        plants: Plants = AS_TOLD,
    ) -> None:  # fmt: skip
        self._counts_hands = counts_hands
        self._lesson, self._rules, self._home = lesson, rules, home or person.folder()
        self._given = scenes(lesson, rules, plants)
        self._own: list[Scene] = []
        self.view = View()
        self.setting = self._given[0].setting
        self.pinned: Shown | None = None  # A, where two are set against each other
        self._faint = False  # A stays as a faint outline in one picture, not beside it
        self._scene = 0
        self._hidden = True
        self.look: Look | None = None
        self.sentence = ""
        self._pictures = Pictures(key_of(lesson))
        self._strip: list[Shown] = []
        # A, the strip and the other scenes' answers are looked at again and again; a Look is pure.
        self._looked = lru_cache(maxsize=64)(lambda setting, view: lesson.look(setting, rules, view))
        # With each picture that comes to the strip, all of the strip is sent.
        self._small = lru_cache(maxsize=2 * STRIP)(
            lambda setting, view, _: self._pictures.small(self._looked(setting, view))
        )
        self._doubts = sure.offers(lesson)  # whether it can be said how sure its figures are
        self._sure_line = lru_cache(maxsize=64)(lambda setting, *how: sure.line(lesson, setting, rules, *how))
        self._told: set[int] = set()  # the scenes whose answer was shown
        self._answers: dict[int, tuple[str, str]] = {}  # what each scene asks for, and its answer in words
        self._html = {
            name: alike(widgets.HTML)
            for name in (
                "question",
                "note",
                "picture",
                "tiles",
                "sure",
                "say",
                "cautions",
                "more",
                "guessed",
                "trouble",
            )
        }
        for name, made in self._html.items():
            made.add_class(f"herb-{name}")
        self._build()
        super().__init__([self._stage_box, self._control_box])
        self.add_class("herb-panel")
        amiss = self._read_own()
        self._open(0)
        self._note(amiss)
        self._choose(self.which.value)

    # --- what it is made of ---------------------------------------------------------------------------------------

    def _build(self) -> None:
        lesson = self._lesson
        fields = controls(lesson.Setting)
        self.dials: dict[str, Dial | Told | Choices] = {c.name: self._dial(c) for c in fields}
        self.stage = Stage(self.press)
        self.stage.observe(lambda _: self._draw(), ["showing", "narrow"])
        self.strip = Strip(self._reopen)
        self.strip.add_class("herb-strip-place")
        self.guesses = Guesses(key_of(lesson), self._home)
        self.hands = Hands()
        self.kept = Kept(key_of(lesson), fields, self._given[0].setting, self._home, self._press_kept)
        self.scenes = widgets.Dropdown(description="Scene", options=[("", 0)])
        self.scenes.observe(lambda change: self._picked(change["new"]), "value")
        self.answer = button("Show me", self.turn_answer, main=True, name="herb-answer")
        self.drawer = button("More ways to look", self.turn_drawer)
        self.ahead = button("Next", self.next, name="herb-ahead")
        self.pin = button("Pin this as A", self.turn_pin)
        bar = widgets.HBox([self.answer, button("Back", self.back), self.ahead, self.pin, self.strip])
        bar.add_class("herb-bar-row")
        self.which = widgets.Dropdown(description="Drag", options=[(c.label, c.name) for c in fields])
        self.which.add_class("herb-which")
        self.which.observe(lambda change: self._choose(change["new"]), "value")
        self.all_dials = button("All dials", self.turn_dials, name="herb-all")
        self._dials = widgets.VBox([self.which, self.all_dials, *self.dials.values()])
        self._dials.add_class("herb-dials")
        places = widgets.HBox([self.stage, self.scenes, self.drawer, button("Back to the start", self.start)])
        places.add_class("herb-bar-row")
        places.add_class("herb-places")
        self._build_drawer()
        html = self._html
        self._stage_box = widgets.VBox(
            [html[name] for name in ("question", "note", "picture", "tiles", "sure")] + [self.hands, html["trouble"]]
        )
        self._stage_box.add_class("herb-stage")
        self._control_box = widgets.VBox(
            [bar, self._dials, html["say"], html["cautions"], places, html["more"], self.more]
        )
        self._control_box.add_class("herb-controls")

    def _dial(self, control: Control) -> Dial | Told | Choices:
        if control.options:
            return Choices(control, self._set)
        if control.told:
            return Told(control, self._set, self._note)
        return Dial(control, self._rules, self._set, self._note)

    def _build_drawer(self) -> None:
        """The other ways to look, which are wanted now and then."""
        both = [("kitchen rule: volumes add up", "kitchen"), ("measured: with the shrink", "measured")]
        self.rule = choice("Which rule first", both, "kitchen", lambda value: self._look_by(rule=value))
        units = [("g and mL", "metric"), ("oz and fl oz", "kitchen")]
        self.units = choice("Which units first", units, "metric", lambda value: self._look_by(units=value))
        self.ground = choice("Ground", [("light", "light"), ("dark", "dark")], "light", self._on_ground)
        ways = [("side by side", "beside"), ("faint, in one picture", "faint")]
        self.before = choice("What is pinned stands", ways, "beside", self.leave)
        said = [("not asked", False), ("one line below the figure", True)]
        self.how_sure = choice("How sure?", said, False, lambda _: self._draw())
        rule = [self.rule] if getattr(self._lesson, "BOTH_RULES", True) else []
        doubt = [self.how_sure] if self._doubts else []
        told = button("What was guessed today", self.tell_guesses)
        known = [*KEYS[:-1], *([SURE_KEY] if self._doubts else []), KEYS[-1]]
        keys = widgets.HTML(markup.lines("Keys in the show view, for a hand-held remote too:", known))
        self.more = widgets.VBox(
            [self.before, *rule, self.units, *doubt, self.ground, self.kept, told, self._html["guessed"], keys]
        )
        self.more.add_class("herb-more")
        self.more.layout.display = "none"

    # --- what a person does ---------------------------------------------------------------------------------------

    def set(self, **values: Any) -> None:
        """Move dials from a line of code: `panel.set(ratio=3)`. Values are in the units of the dials."""
        self._draw(dataclasses.replace(self.setting, **values))

    def _set(self, name: str, value: Any) -> None:
        self.set(**{name: value})

    def turn_answer(self) -> None:
        """Show what was kept back, or hide it again. What the class guessed is kept when it is shown."""
        self._note("")
        if self._hidden:
            self._reveal()
        else:
            self._hidden = True
        self._draw()

    def _reveal(self) -> None:
        """The answer shows from now on; what was guessed is kept with it, under the question as it stood."""
        asked = self._question_text() if self._moved() else self._now().name
        self._hidden = False
        self._told.add(self._scene)
        if any(self.hands.guessed):
            self._note(self.guesses.keep(asked, self.hands, self._answer().value))

    def press(self, key: str) -> None:
        """A key of the show view: "forward" shows the answer and then goes on, "back", "undo", "pin", or a band."""
        if key.isdigit():
            if self._hidden:
                self.hands.count(int(key) - 1)
            return
        does = {"back": self.back, "undo": self.hands.take_back, "pin": self.turn_pin}
        if self._doubts:
            does["sure"] = self.turn_sure
        does["forward"] = self.turn_answer if self._hidden else self.next
        if key in does:
            does[key]()

    def turn_drawer(self) -> None:
        """Open or close the box with the other ways to look."""
        opening = self.more.layout.display == "none"
        self.more.layout.display = "" if opening else "none"
        self.drawer.description = "Fewer ways to look" if opening else "More ways to look"

    def turn_dials(self) -> None:
        """In the show view: all dials instead of the chosen one, or the chosen one again."""
        opening = "herb-every" not in self._dials._dom_classes
        (self._dials.add_class if opening else self._dials.remove_class)("herb-every")
        self.all_dials.description = "One dial" if opening else "All dials"

    def turn_pin(self) -> None:
        """Pin what is set as A, to be set against what comes next; pressed again, A goes."""
        if self.pinned is None:
            self.pinned = self._shown()
            if self._hidden:
                self._reveal()
            self._remember()
        else:
            self.pinned = None
        self._draw()

    def tell_guesses(self) -> None:
        """List the questions of today with what was guessed, and the answers."""
        try:
            told = self.guesses.today()
        except person.NotKept as refusal:
            self._note(str(refusal))
            return
        self._note(" ".join(person.news()))
        text = markup.lines("What was guessed today:", told) if told else markup.line("Nothing was guessed today.")
        self._html["guessed"].value = text

    def next(self) -> None:
        """Go to the next scene, which asks first; after the last comes the first."""
        self._open((self._scene + 1) % len(self._all()))

    def back(self) -> None:
        """Go to the scene before, which asks again."""
        self._open((self._scene - 1) % len(self._all()))

    def start(self) -> None:
        """Everything as it was when the panel opened, in one press; kept settings and counted hands stay."""
        self.rule.value, self.units.value, self.before.value = "kitchen", "metric", "beside"
        self.how_sure.value = False
        self.pinned = None
        self._open(0)

    def leave(self, how: str) -> None:
        """How what is pinned stands: "beside" this setting, or "faint" in the same picture."""
        self._faint = how == "faint"
        self.before.value = how
        self._draw()

    def turn_sure(self) -> None:
        """Say how sure the answer is, in one line below it, from now on; or no more."""
        self.how_sure.value = not self.how_sure.value

    def take_log(self, curve: Any) -> None:
        """Tell by this drying curve from now on, the one of a person's own log; None where there is none."""
        self._look_by(own=curve)

    def _look_by(self, **how: Any) -> None:
        self.view = dataclasses.replace(self.view, **how)
        self._note("")
        self._answers = {}  # they are said otherwise now
        self._draw()

    def _on_ground(self, ground: str) -> None:
        self._pictures.ground = ground
        (self.add_class if ground == "dark" else self.remove_class)("herb-dark")
        self._draw()

    # --- scenes ---------------------------------------------------------------------------------------------------

    def _all(self) -> list[Scene]:
        return [*self._given, *self._own]

    def _now(self) -> Scene:
        return self._all()[self._scene]

    def _moved(self) -> bool:
        """Whether a dial stands elsewhere than the scene put it."""
        return bool(self.setting != self._now().setting)

    def _read_own(self) -> str:
        """Take up what the person kept; gives what there is to say of what could not be used."""
        try:
            self._own, aside = self.kept.scenes()
        except person.NotKept as refusal:
            self._own, aside = [], [str(refusal)]
        every = self._all()
        if self._scene >= len(every):
            self._scene = 0
        with self.scenes.hold_trait_notifications():
            self.scenes.options = [(f"{n + 1} of {len(every)}: {s.name}", n) for n, s in enumerate(every)]
            self.scenes.value = self._scene
        self._name_ahead()
        return " ".join(aside[:MOST_TOLD])

    def _name_ahead(self) -> None:
        every = self._all()
        ahead = (self._scene + 1) % len(every)
        self.ahead.description = f"Next: {every[ahead].title} ({ahead + 1} of {len(every)})"

    def _picked(self, number: int | None) -> None:
        if number is not None and number != self._scene:
            self._open(number)

    def _open(self, number: int) -> None:
        """Open a scene. It is asked: the answer is hidden, whatever showed before."""
        self._remember()
        scene = self._go_to(number)
        self._hidden = True
        self._note("")
        self._draw(scene.setting)
        if scene.drag in self.dials:
            self.which.value = scene.drag

    def _reopen(self, place: int) -> None:
        """Back to something that was shown already, answer and all."""
        if 0 <= place < len(self._strip):
            shown = self._strip[place]  # before the strip moves on
            self._remember()
            self._hidden = False
            if shown.scene < len(self._all()):
                self._go_to(shown.scene)
            self._draw(shown.setting)

    def _go_to(self, number: int) -> Scene:
        """Stand at a scene: the list, what Next leads to, and the teacher's own window say so."""
        scene = self._all()[number]
        self._scene = number
        self.scenes.value = number
        self._name_ahead()
        self.stage.teacher = f"{scene.title}. {scene.teacher}" if scene.teacher else scene.title
        return scene

    def _shown(self) -> Shown:
        """What is set now, under the name that the teacher typed, or its scene's, or its own figures."""
        name = self.kept.name.value.strip() or (
            self.look.short if self._moved() and self.look and self.look.short else self._now().title
        )
        return Shown(self.setting, name, self._scene)

    def _remember(self) -> None:
        """Put what shows now into the strip of small pictures, once."""
        if self._hidden or self.look is None:
            return
        now = self._shown()
        before = [one for one in self._strip if (one.setting, one.scene) != (now.setting, now.scene)]
        self._strip = [*before[1 - STRIP :], now]
        self.strip.shown = [
            [one.name, self._small(one.setting, self.view, self._pictures.ground)] for one in self._strip
        ]

    def _choose(self, name: str) -> None:
        for other, dial in self.dials.items():
            (dial.add_class if other == name else dial.remove_class)("herb-chosen")

    def _press_kept(self, doing: Callable[[Any, Scene | None], tuple[str, Any]]) -> None:
        own = self._scene - len(self._given)
        try:
            told, new = doing(self.setting, self._own[own] if own >= 0 else None)
            self._read_own()
        except person.NotKept as refusal:
            told, new = str(refusal), None
        if new is not None:
            self._draw(new)
        self._note(" ".join([told, *person.news()]))

    # --- drawing --------------------------------------------------------------------------------------------------

    def _note(self, text: str) -> None:
        self._html["note"].value = markup.line(text)

    def _look_at(self, setting: Any) -> Look:
        return self._looked(setting, self.view)

    def _draw(self, setting: Any = None) -> None:
        """Show a setting (None: the one that is set) or say why it cannot be shown."""
        if setting is None:
            setting = self.setting
        self.setting = setting
        self._set_dials(setting)
        self._html["trouble"].value = ""
        self.pin.description = "Pin this as A" if self.pinned is None else "Let A go"
        try:
            self._show(self._look_at(setting))
        except REFUSALS as refusal:
            self._refused(refusal)
        except Exception as trouble:
            self._html["trouble"].value = markup.line(
                f"This panel stopped at something it did not expect ({type(trouble).__name__}: {trouble}). Go back "
                "to the start, and please tell whoever looks after the workbook."
            )
            raise

    def _set_dials(self, setting: Any) -> None:
        """Every dial stands where the setting says; those that do not count in it are put away."""
        used = self._lesson.used(setting) if hasattr(self._lesson, "used") else self.dials.keys()
        for name, dial in self.dials.items():
            dial.show(getattr(setting, name), self.view)
            dial.layout.display = "" if name in used else "none"
            (dial.remove_class if name in used else dial.add_class)("herb-away")  # in the show view too
        offered = [(d.control.label, name) for name, d in self.dials.items() if name in used]
        if [*self.which.options] != offered:
            chosen = self.which.value
            self.which.options = offered
            self.which.value = chosen if chosen in [name for _, name in offered] else offered[0][1]
            self._choose(self.which.value)

    def _refused(self, refusal: ValueError) -> None:
        """What cannot be had: a sentence where the picture would be. It may be the very answer, so it is asked."""
        self.look = None
        # A sum begins with the name of its argument; on a panel the dials stand in view.
        text = re.sub(r"^[a-z_]+: ", "", str(refusal))
        self.sentence = text[:1].upper() + text[1:]
        html = self._html
        html["question"].value = markup.line(self._now().question if not self._moved() else "Can that be done?")
        self._ask()
        if self._hidden and not isinstance(refusal, Stop):
            html["picture"].value = markup.unknown("?")
            self._keep_back("Make a guess first, then ask for the answer.")
            return
        html["cautions"].value = self._cautions()
        ways = [getattr(way, "text", str(way)) for way in getattr(refusal, "ways_out", [])]
        said = markup.line(self.sentence) + markup.lines("What would work:", ways)
        html["picture"].value = markup.refusal(said)
        html["tiles"].value = "" if isinstance(refusal, Stop) else markup.tiles([self._answer()])
        html["say"].value = html["more"].value = html["sure"].value = ""

    def _answer(self) -> Number:
        """The number that answers the scene; where there is no figure, one that says so. Where a dial has turned to
        another thing, which has no such number, the first of its own."""
        asks = self._now().asks
        if self.look is not None:
            return self.look.number(asks if any(n.key == asks for n in self.look.numbers) else "")
        none = self._now().none or "none"
        return dataclasses.replace(self._usual(asks), value=none, note="", amount=None, other=None)

    def _usual(self, asks: str) -> Number:
        """The number of that name, as the first scene that can be had tells it; a bare one where none can."""
        for scene in self._given:
            with suppress(*REFUSALS):
                for number in self._look_at(scene.setting).numbers:
                    if number.key == asks or not asks:
                        return number
        return Number("The answer", "", key=asks)

    def _ask(self) -> None:
        """The bands and the words on the button, for an answer that is hidden or shown."""
        self.answer.description = "Show me" if self._hidden else "Hide the answer"
        (self.answer.add_class if self._hidden else self.answer.remove_class)("herb-asking")
        answer = self._answer()
        self.hands.counting = self._counts_hands or self.stage.showing
        scene = self._now()
        if scene.asks and answer.key != scene.asks:  # another question, for which nobody has made bands
            self.hands.ask(f"{scene.name}: {answer.key}", ())
        else:
            self.hands.ask(scene.name, bands(scene, answer, self._rules, self.view))
        self.hands.show(self._hidden, answer)

    def _waiting(self) -> set[tuple[str, str]]:
        """The answers, by key and words, of the scenes that were not shown yet: no tile may give them away."""
        if not self._answers:
            for n, scene in enumerate(self._given):
                with suppress(*REFUSALS, KeyError):  # a house rule may leave a scene nothing to ask for
                    self._answers[n] = scene.asks, self._look_at(scene.setting).number(scene.asks).value
        return {said for n, said in self._answers.items() if n not in self._told}

    def _question_text(self) -> str:
        """The question as it stands on the screen."""
        return unescape(re.sub(r"<[^>]+>", "", self._html["question"].value))

    def _question(self, look: Look) -> str:
        """The scene's question; where a dial has moved, the same in the dials' own figures."""
        scene = self._now()
        if scene.question and not self._moved():
            return scene.question
        return f"{look.short}: {self._answer().ask}"

    def _show(self, look: Look) -> None:
        self.look, self.sentence = look, look.sentence
        html, hidden = self._html, self._hidden
        html["question"].value = markup.line(self._question(look))
        self._ask()
        answer = self._answer()
        waiting = self._waiting()
        others = [n for n in look.numbers if n is not answer and (n.key, n.value) not in waiting][: MOST_SHOWN - 1]
        earlier = self._look_at(self.pinned.setting) if self.pinned and not hidden else None
        html["picture"].value = self._picture(look, answer, earlier)
        if hidden:
            self._keep_back(look.given)
            return
        if earlier is not None and not self._faint:
            html["tiles"].value = markup.pairs([answer, *others], earlier, self.view)
            html["say"].value = markup.line(f"A: {earlier.sentence}") + markup.line(f"B: {look.sentence}")
        else:
            html["tiles"].value = markup.tiles([answer, *others])
            html["say"].value = markup.line(look.sentence)
        html["sure"].value = self._sure_of(answer, earlier)
        html["cautions"].value = self._cautions(look.caution)
        html["more"].value = markup.lines("What would work:", look.ways_out) + markup.table(look.table)

    def _sure_of(self, answer: Number, earlier: Look | None) -> str:
        """How sure the answer is, and that of A where it stands beside it; nothing unless somebody asked."""
        if not self.how_sure.value:
            return ""
        now = self._sure_line(self.setting, self.view, answer.key)
        if earlier is None or self._faint or self.pinned is None:
            return markup.line(now)
        before = ""
        if any(number.key == answer.key for number in earlier.numbers):
            before = self._sure_line(self.pinned.setting, self.view, answer.key, True)
        return markup.line(" ".join(f"{letter}: {text}" for letter, text in (("A", before), ("B", now)) if text))

    def _keep_back(self, said: str) -> None:
        """What stands around the picture before the guess: a "?" where the figure will be, and what is given."""
        answer = self._answer()
        asked = dataclasses.replace(answer, value=self.view.asked(answer.unit), note="")
        self._html["tiles"].value = markup.tiles([asked])
        self._html["say"].value = markup.line(said)
        self._html["cautions"].value = self._cautions()
        self._html["more"].value = self._html["sure"].value = ""

    def _cautions(self, of_this_setting: str = "") -> str:
        """The lesson's own caution, and below it the one that a setting calls for."""
        return "".join(markup.line(text, "herb-caution") for text in (self._lesson.CAUTION, of_this_setting))

    def _picture(self, look: Look, answer: Number, earlier: Look | None) -> str:
        """The live picture; while the answer is hidden, what may be seen before it, with a "?" of its own unit."""
        draw, where = self._pictures, self._where()
        if self._hidden:
            return markup.picture(draw.before(look, self.view.asked(answer.unit), where), look.given)
        if earlier is None:
            return markup.picture(draw.alone(look, where), look.alt)
        names = (self.pinned.name if self.pinned else "", self._shown().name)
        if self._faint:
            alt = f"{look.alt} Left showing, faint, from before: {names[0]}. {earlier.alt}"
            return markup.behind(markup.picture(draw.faint(look, earlier, where), alt), names)
        a, b, chart = draw.beside(earlier, look, where)
        return markup.two((a, earlier.alt, names[0]), (b, look.alt, names[1]), chart)

    def _where(self) -> str:
        """Where the live picture stands now."""
        if self.stage.narrow:
            return PHONE
        return SHOW if self.stage.showing else PAGE

    # --- in a notebook --------------------------------------------------------------------------------------------

    @property
    def stored_plain(self) -> str:
        """The question: what is stored gives no answer away."""
        return self._question_text()

    @property
    def stored_html(self) -> str:
        """The picture of the question, and the question: who reads without a kernel has not guessed yet."""
        if self.look is None:
            return markup.line(self._now().question)
        mark = self.view.asked(self._answer().unit)
        svg = self._pictures.before(self.look, mark, PAGE)
        return markup.stored(svg, self.look.given, self._question(self.look))
