"""Floor 5. The paper that question cards and the start page are written on: one style and one manner for both."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from html import escape
from typing import Any

import anywidget
import ipywidgets as w
from traitlets import Unicode

from herbcalc.show import assets
from herbcalc.show.draw.palette import css

TO_ANSWER = "Run the cells of this notebook to answer it here."  # what is stored stands there without a kernel
TO_TYPE = "Run the cells of this notebook to type yours."


class Manners(anywidget.AnyWidget):
    """What only a browser can do for a card: names for groups, a place that is read aloud, its own keys (card.js).

    `points` is what the points that can be ticked are called as a group; `item` is what a homework card is called
    ("5.2"), "" for a card that is no homework.
    """

    points = Unicode("").tag(sync=True)
    item = Unicode("").tag(sync=True)
    _colours = css().replace(".herb-panel", ".herb-card")
    _looks = assets.looks("card", _colours + assets.text("asleep.css", "card/card.css", "card/start.css"))
    _esm = _looks + assets.text("groups.js", "asleep.js", "card/card.js")

    def __init__(self) -> None:
        super().__init__()
        self.add_class("herb-unseen")  # it takes no room on the card


class Sight(anywidget.AnyWidget):
    """Calls `seen` when the card that it is on comes into view again (sight.js)."""

    _esm = assets.text("card/sight.js")

    def __init__(self, seen: Callable[[], None]) -> None:
        super().__init__()
        self.add_class("herb-unseen")
        self.on_msg(lambda *_: seen())


def button(words: str, do: Callable[[], None], first: bool = False) -> w.Button:
    """A button that says in words what it does; `first` is the one that is meant most."""
    made = w.Button(description=words)
    made.layout.width = "auto"
    made.on_click(lambda _: do())
    if first:
        made.add_class("herb-first")
    return made


def box(label: str, entered: Callable[[], None], value: str = "", long: bool = False) -> w.Text:
    """A box to type in, under a label; Enter does what `entered` does.

    The whole text is sent when it is done. Sent letter by letter, a press on Check could overtake the last letters.
    """
    made = w.Text(value=value, description=label, placeholder="", continuous_update=False)
    made.style.description_width = "initial"
    made.add_class("herb-long" if long else "herb-short")
    made.on_msg(lambda _, content, __: entered() if content.get("event") == "submit" else None)
    return made


def choice(label: str, options: Sequence[tuple[str, Any]], value: Any = None) -> w.Dropdown:
    """Something to choose: rows of words and what they stand for. `value` is chosen at first; None: the first row."""
    made = w.Dropdown(description=label, options=options)
    if value is not None:
        made.value = value
    made.style.description_width = "initial"
    made.layout.width = "auto"
    return made


def row(*parts: w.Widget) -> w.HBox:
    """Things side by side, on a further line where there is no room."""
    made = w.HBox(parts)
    made.layout.flex_flow = "row wrap"
    made.add_class("herb-row")
    return made


def tick(words: str, ticked: bool, changed: Callable[[], None]) -> w.Checkbox:
    """Something to tick; `changed` is called at every change."""
    made = w.Checkbox(value=ticked, description=words, indent=False)
    made.layout.width = "auto"
    made.observe(lambda _: changed(), "value")
    return made


def live() -> w.HTML:
    """A place whose words change, and are then read aloud."""
    made = w.HTML()
    made.add_class("herb-live")
    return made


def told(lines: list[str], steps: list[str] | None = None, read: list[str] | None = None) -> str:
    """What is said there: what was `read` comes before all else, in a quiet line; then the first line stands out, and
    `steps` are numbered below. Texts are escaped here."""
    first, *rest = (escape(line) for line in lines)
    return (
        f'<div class="herb-told">{"".join(map(quiet, read or []))}<p><strong>{first}</strong></p>'
        + "".join(f"<p>{line}</p>" for line in rest)
        + _numbered(steps or [])
        + "</div>"
    )


def quiet(line: str) -> str:
    """One line that stands back."""
    return f'<p class="herb-quiet">{escape(line)}</p>'


def cautions(lines: Iterable[str]) -> str:
    """What to look out for, a line each."""
    return "".join(f'<p class="herb-caution">{escape(line)}</p>' for line in lines)


def listed(title: str, lines: list[str]) -> str:
    """A title with numbered lines below; nothing where there are none."""
    return f"<p>{escape(title)}</p>{_numbered(lines)}" if lines else ""


def _numbered(lines: list[str]) -> str:
    return f"<ol>{''.join(f'<li>{escape(line)}</li>' for line in lines)}</ol>" if lines else ""


def unfolding(title: str, first: str, lines: list[str]) -> str:
    """A title that unfolds, by mouse or by keyboard, to a sentence and a list."""
    listed = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<details><summary>{escape(title)}</summary><p>{escape(first)}</p><ul>{listed}</ul></details>"
