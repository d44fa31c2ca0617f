"""Floor 5. The controls of a panel: a slider with its typed twin for a number, a box alone for what only a person can
say, named choices for the rest."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from html import escape
from time import monotonic
from typing import Any, TypeVar

import ipywidgets as widgets

from herbcalc.rules import Rules
from herbcalc.show.look import Control, View, unit_words
from herbcalc.units import Q, spoken
from herbcalc.units.constants import FL_OZ_PER_OZ
from herbcalc.units.refusals import OutOfRange, WrongUnit
from herbcalc.units.words import has_twin

WHO_TELLS = "type what your teacher or a qualified practitioner told you"
ECHO = 1.0  # seconds within which a browser gives back a value that it was sent
CRUMB = 1e-6  # of a step: what a browser's sums leave on a value, and nobody sees

Made = TypeVar("Made", bound=widgets.DOMWidget)
Changed = Callable[[str, Any], None]
Tell = Callable[[str], None]
_shared: dict[type, dict[str, widgets.Widget]] = {}  # the layout and the style that all of a kind have


def alike(kind: type[Made], **traits: Any) -> Made:
    """A widget that looks as all of its kind do, but for its classes.

    A layout and a style are widgets too, each with a state that goes to the browser; these all share theirs, and a
    panel is made of a third fewer. Refuses a later change of either (TypeError): all would look so.
    """
    shared = _shared.get(kind)
    if shared is not None and all(one.comm is not None for one in shared.values()):  # else they were closed
        return kind(**shared, **traits)
    made = kind(**traits)
    _shared[kind] = {"layout": made.layout, "style": made.style}
    for one in _shared[kind].values():
        one.observe(_stays, [name for name in one.keys if not name.startswith("_")])
    return made


def _stays(change: Any) -> None:
    raise TypeError(
        f"{change['name']}: many widgets share this. One that is to look otherwise is not made by alike()."
    )


def button(words: str, pressed: Callable[[], None], main: bool = False, name: str = "") -> widgets.Button:
    """A button that says in words what it does; `name` is the class by which a key finds it."""
    made = alike(widgets.Button, description=words)
    made.on_click(lambda _: pressed())
    if name:
        made.add_class(name)
    if main:
        made.add_class("herb-main")
    return made


def choice(label: str, options: Sequence[tuple[str, Any]], value: Any, changed: Callable[[Any], None]) -> Any:
    """A few named choices in a row, reached by Tab and moved through with the arrow keys."""
    made = widgets.RadioButtons(
        description=label, tooltip=label, options=options, value=value, orientation="horizontal"
    )
    made.observe(lambda change: changed(change["new"]), "value")
    return made


class _Control(widgets.HBox):
    """What says beside its own box why something typed there was not taken: the panel's line may be out of view."""

    _amiss: widgets.HTML | None = None
    _tell: Tell

    def _refuse(self, told: str) -> None:
        """Say it on the panel's line, which is read aloud, and here."""
        self._tell(told)
        if self._amiss is None:
            self._amiss = alike(widgets.HTML)
            self._amiss.add_class("herb-amiss")
            self.children = (*self.children, self._amiss)
        self._amiss.value = escape(told)

    def _clear(self) -> None:
        if self._amiss is not None:
            self._amiss.value = ""


class Dial(_Control):
    """A slider, the box where the same amount may be typed in any unit of its kind, and the other system beside it.

    A typed amount is kept as exactly as it was typed; the slider then stands at the nearest step.
    """

    def __init__(self, control: Control, rules: Rules, changed: Changed, tell: Tell) -> None:
        self.control, self._changed, self._tell = control, changed, tell
        self._currency = rules.currency
        self._quiet = True
        self._value, self._view = control.low, View()
        self._sent: deque[tuple[float, float]] = deque(maxlen=8)  # when, and what the slider was told to stand at
        self.slider = widgets.FloatSlider(
            min=control.low,
            max=control.high,
            step=control.step,
            value=control.low,
            readout=False,
            description=control.title(),
            tooltip=control.title(),
            continuous_update=True,
        )
        self.twin = widgets.Text(continuous_update=False, tooltip=f"{control.title()}, typed")
        self.twin.add_class("herb-twin")
        self.other = alike(widgets.HTML)
        self.other.add_class("herb-other")
        children: list[Any] = [self.slider, self.twin, self.other]
        stops = [v for v in _stops(control, rules) if control.low <= v <= control.high]
        self.stops = [button(self._said(v, "metric"), lambda v=v: self._take(float(v))) for v in stops]
        if self.stops:
            row = widgets.HBox(self.stops)
            row.add_class("herb-stops")
            children.append(row)
        super().__init__(children)
        self.add_class("herb-dial")
        if has_twin(control.unit) or control.unit == "kept":
            self.add_class("herb-both")
        self.slider.observe(self._moved, "value")
        self.twin.observe(self._typed, "value")
        self._quiet = False

    def _said(self, value: float, system: str) -> str:
        unit = self.control.unit
        if unit == "share":
            return f"{value:.3g}"
        if unit in ("money", ""):
            return f"{value:.6g}"
        if unit == "kept":
            return f"{value:.6g} mL/g"
        if unit in ("proof", "degF"):  # as the label and the thermometer have it: the other scale may be the answer
            return f"{value:.6g} {unit_words(unit)}"
        return spoken(Q(float(value), unit), system)

    def show(self, value: float, view: View) -> None:
        """Stand at `value`, said in the units of `view`."""
        self._value, self._view = value, view
        self._clear()
        self._quiet = True
        try:
            stands = min(value, self.control.high)  # more may be typed than the slider reaches
            if not self._near(self.slider.value, stands):  # a jump, and not the answer to a move of a hand
                self._sent.append((monotonic(), stands))
            # Mended in the browser as well, 75.00000000000001 would undo the steps that a hand has made meanwhile.
            if abs(self.slider.value - stands) > CRUMB * self.control.step:
                self.slider.value = stands
            self.twin.value = self._said(value, view.units)
            if self.control.unit == "kept":
                self.other.value = f"{value * FL_OZ_PER_OZ:.3g} fl oz/oz"
            if has_twin(self.control.unit):
                self.other.value = self._said(value, "metric" if view.units == "kitchen" else "kitchen")
        finally:
            self._quiet = False

    def _moved(self, change: Any) -> None:
        new = change["new"]
        if self._quiet or self._near(new, min(self._value, self.control.high)):
            return
        # Only a value that the browser cannot hold exactly comes back at all.
        if any(monotonic() - at < ECHO and new != sent and self._near(new, sent) for at, sent in self._sent):
            self.show(self._value, self._view)
            return
        # Steps of 0.1 leave crumbs such as 2.3000000000000003.
        self._take(round(new, 9))

    def _near(self, given: float, sent: float) -> bool:
        """Whether a value may be the echo of another, and no move of a hand.

        A browser answers a value between two steps with the nearest step, and 400 with 399.99999999999994. When two
        scenes follow each other quickly, the echo of the first comes after the second was set.
        """
        return abs(given - sent) <= 0.501 * self.control.step

    def _typed(self, change: Any) -> None:
        if self._quiet:
            return
        if not change["new"].strip():
            self.show(self._value, self._view)
            self._refuse(f"{self.control.label}: the box was left empty. It stays at {self.twin.value}.")
            return
        try:
            value = self.control.read(change["new"])
        except (WrongUnit, OutOfRange) as refusal:
            self.show(self._value, self._view)
            self._refuse(f"{refusal} It stays at {self.twin.value}.")
            return
        self._take(value)
        if self.control.kind == "money" and any(letter.isalpha() for letter in change["new"]):
            # "a pound" in the box of a price may have been meant as a weight.
            said = f"{self._currency}{value:.6g}"
            self._tell(
                f"{self.control.label}: {change['new'].strip()[:40]} was read as money, {said}. No weight fits here."
            )

    def _take(self, value: float) -> None:
        self._tell("")
        self._changed(self.control.name, value)


class Told(_Control):
    """A box that is empty until a person types what they were told; emptied again, it holds nothing again.

    It has no slider, no button and no example, not even where something could not be read: nothing is proposed in it.
    """

    def __init__(self, control: Control, changed: Changed, tell: Tell) -> None:
        self.control, self._changed, self._tell = control, changed, tell
        self._quiet = False
        self._value: float | None = None
        self._view = View()
        self.twin = widgets.Text(continuous_update=False, tooltip=f"{control.title()}, typed")
        self.twin.add_class("herb-twin")
        name, who = alike(widgets.HTML, value=control.title()), alike(widgets.HTML, value=WHO_TELLS)
        name.add_class("herb-told-name")
        who.add_class("herb-other")
        super().__init__([name, self.twin, who])
        self.add_class("herb-dial")
        self.add_class("herb-told")
        self.twin.observe(self._typed, "value")

    def show(self, value: float | None, view: View) -> None:
        """Stand at `value`, said in the units of `view`; empty for None."""
        self._value, self._view = value, view
        self._clear()
        self._quiet = True
        try:
            self.twin.value = "" if value is None else self._said(value)
        finally:
            self._quiet = False

    def _said(self, value: float) -> str:
        unit = self.control.unit
        return spoken(Q(float(value), unit), self._view.units) if unit else f"{value:.6g}"

    def _typed(self, change: Any) -> None:
        if self._quiet:
            return
        typed = change["new"].strip()
        try:
            value = self.control.read(typed) if typed else None
        except (WrongUnit, OutOfRange):
            self.show(self._value, self._view)
            # Its own words would name an amount that works.
            self._refuse(
                f'{self.control.label}: "{typed[:40]}" does not fit in this box, so nothing was changed. It takes '
                f"{self.control.wants}. Look once more at what your teacher or a qualified practitioner told you."
            )
            return
        self._tell("")
        self._changed(self.control.name, value)


def _stops(control: Control, rules: Rules) -> list[float]:
    """The values with a button of their own; those that are house rules come from the class's own file."""
    if control.stops == "shelf":
        return list(rules.shelf)
    named = (getattr(rules, v) if isinstance(v, str) else v for v in control.stops)
    return list(dict.fromkeys(named))


class Choices(widgets.HBox):
    """A field of a Setting with named choices."""

    def __init__(self, control: Control, changed: Changed) -> None:
        self.control = control
        self._quiet = False
        options = [(words, value) for value, words in (control.options or {}).items()]
        self.radio = choice(control.title(), options, options[0][1], self._picked)
        self._changed = changed
        super().__init__([self.radio])
        self.add_class("herb-row")

    def _picked(self, value: Any) -> None:
        if not self._quiet:
            self._changed(self.control.name, value)

    def show(self, value: Any, _view: View) -> None:
        """Stand at `value`, which has no unit."""
        self._quiet = True
        try:
            self.radio.value = value
        finally:
            self._quiet = False
