"""Floor 4. A person's own batches, each under its name: figures from the panels, and what was typed, box by box.

One batch is worked on at a time; whoever asks for figures or boxes asks for that one, or for another by its name
(`of`). What stands in batch.json is data and nothing else: a file that is none is put aside, what does not fit into
one is passed over, and before it would be written over, it is put aside too. Standard library only.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

from herbcalc.person import BATCH
from herbcalc.person.writing import NotKept, alone, put_aside, table_in, write_table
from herbcalc.place import folder

FIRST = "my batch"  # where figures are put before any batch was begun
PAGES = ("plan", "jar")  # the capstone's boxes, and those of one's own jar
LONGEST_NAME, LONGEST_TEXT, MOST = 60, 4000, 100  # a drying log of weeks is one text
BATCHES, WORKED_ON, FIGURES, TYPED = "batches", "worked on", "figures", "typed"
AFRESH = "your own batches start afresh"
THE_REST = "what could be read of it goes on in a new one"


def names(home: Path | None = None) -> list[str]:
    """The names of the person's batches, in the order in which they were begun; [] at first."""
    return list(_read(home)[BATCHES])


def current(home: Path | None = None) -> str:
    """The name of the batch that is worked on; "" where none was begun."""
    return str(_read(home)[WORKED_ON])


def choose(name: str, home: Path | None = None) -> str:
    """Work on the batch of this name from now on; where there is none, it is begun. Gives its name as it is kept.

    Capitals make no difference. Refuses (NotKept): no name, one of more than 60 signs, a 101st batch.
    """
    wanted = _name(name)
    if not wanted:
        raise NotKept('A batch needs a name, so that you find it again: "lemon balm, July" would work.')
    if len(wanted) > LONGEST_NAME:
        raise NotKept(
            f"That name has {len(wanted)} signs. Up to {LONGEST_NAME} can be kept; a shorter one would work."
        )

    def work_on(held: dict[str, Any]) -> str:
        there = {one.casefold(): one for one in held[BATCHES]}
        if wanted.casefold() not in there and len(there) >= MOST:
            raise NotKept(f"{MOST} batches are kept already. Let one go first, then begin this one.")
        held[WORKED_ON] = there.get(wanted.casefold(), wanted)
        _batch(held, held[WORKED_ON])
        return str(held[WORKED_ON])

    return _changed(work_on, home)


def let_go(name: str, home: Path | None = None) -> None:
    """Take a batch away, with all that was kept in it; the one begun last is worked on then.

    Refuses (NotKept): a name that no batch has.
    """

    def take(held: dict[str, Any]) -> str:
        if name not in held[BATCHES]:
            raise NotKept(f'No batch is called "{name[:LONGEST_NAME]}" here, so nothing was taken away.')
        del held[BATCHES][name]
        if held[WORKED_ON] == name:
            held[WORKED_ON] = next(reversed(held[BATCHES]), "")
        return ""

    _changed(take, home)


def holding(page: str, home: Path | None = None) -> str:
    """The name of the batch in which something is typed on a page: the one worked on, else the one begun last in
    which there is; where there is none, the one worked on. So no page seems empty because another batch was begun."""
    held = _read(home)
    last = [name for name, one in held[BATCHES].items() if one[TYPED].get(page)]
    now = str(held[WORKED_ON])
    return now if now in last or not last else last[-1]


def figures(home: Path | None = None, of: str = "") -> dict[str, Any]:
    """The figures of the batch that is worked on, or of the one named; {} at first."""
    return dict(_looked_up(home, of)[FIGURES])


def all_figures(home: Path | None = None) -> dict[str, dict[str, Any]]:
    """The figures of every batch by its name, in the order in which they were begun; {} at first."""
    return {name: one[FIGURES] for name, one in _read(home)[BATCHES].items()}


def save_figures(new: dict[str, Any], home: Path | None = None, of: str = "") -> None:
    """Put figures into the batch that is worked on, or the one named; those of other names in it stay."""
    _changed(lambda held: _batch(held, of)[FIGURES].update(new), home)


def typed(page: str, home: Path | None = None, of: str = "") -> dict[str, str]:
    """What was typed on a page of the batch, by box, exactly as typed; {} at first."""
    return dict(_looked_up(home, of)[TYPED].get(page, {}))


def save_typed(page: str, box: str, text: str, home: Path | None = None, of: str = "") -> None:
    """Keep what was typed in one box; an empty text takes it away. The other boxes stay as they are.

    page  one of PAGES
    Refuses (NotKept): a text of more than 4000 signs.
    """
    if page not in PAGES:
        raise ValueError(f"page: {page!r} is none of {PAGES}.")
    if len(text) > LONGEST_TEXT:
        raise NotKept(f"That is {len(text)} signs long, and up to {LONGEST_TEXT} can be kept. Shorter would work.")

    def put(held: dict[str, Any]) -> None:
        boxes = _batch(held, of)[TYPED].setdefault(page, {})
        if text:
            boxes[box] = text
        else:
            boxes.pop(box, None)

    _changed(put, home)


# --- the file ------------------------------------------------------------------------------------------------------


def _changed(change: Callable[[dict[str, Any]], Any], home: Path | None) -> Any:
    """Change what is held, and keep it; nobody else changes the file meanwhile. Gives what the change gives."""
    path = (home or folder()) / BATCH
    with alone(path):
        raw = _of_today(table_in(path, AFRESH))
        held = _sound(raw)
        spoilt = bool(raw) and held != raw
        told = change(held)  # it may refuse: then nothing has changed
        if spoilt:
            put_aside(path, THE_REST, copy=True)  # should the disk be full, the old one is still in its place
        write_table(path, held)
        return told


def _read(home: Path | None) -> dict[str, Any]:
    return _sound(_of_today(table_in((home or folder()) / BATCH, AFRESH)))


def _looked_up(home: Path | None, of: str) -> dict[str, Any]:
    held = _read(home)
    found: dict[str, Any] = held[BATCHES].get(of or held[WORKED_ON], _empty())
    return found


def _batch(held: dict[str, Any], of: str) -> dict[str, Any]:
    """The batch of that name, or that is worked on; begun where there is none."""
    if not (of or held[WORKED_ON]):
        held[WORKED_ON] = FIRST
    found: dict[str, Any] = held[BATCHES].setdefault(of or held[WORKED_ON], _empty())
    return found


def _empty() -> dict[str, Any]:
    return {FIGURES: {}, TYPED: {}}


def _name(text: str) -> str:
    """A name as it is kept: what can be seen of it, with single blanks."""
    seen = "".join(sign if sign.isprintable() else " " for sign in unicodedata.normalize("NFC", text))
    return " ".join(seen.split())


def _of_today(raw: dict[str, Any]) -> dict[str, Any]:
    """The file of the version before held the figures of one batch, and nothing else: that is FIRST now."""
    if not raw or BATCHES in raw:
        return raw
    return {BATCHES: {FIRST: {FIGURES: raw, TYPED: {}}}, WORKED_ON: FIRST}


def _sound(raw: dict[str, Any]) -> dict[str, Any]:
    """What can be used of a file."""
    there = _table(raw.get(BATCHES))
    good = {
        name: {FIGURES: _numbers(one.get(FIGURES)), TYPED: _pages(one.get(TYPED))}
        for name, one in there.items()
        if isinstance(one, dict) and name and name == _name(name) and len(name) <= LONGEST_NAME
    }
    last = next(reversed(good), "")
    now = raw.get(WORKED_ON)
    return {BATCHES: good, WORKED_ON: now if isinstance(now, str) and now in good else last}


def _table(found: Any) -> dict[str, Any]:
    return found if isinstance(found, dict) else {}


def _numbers(found: Any) -> dict[str, Any]:
    """Figures are numbers and words; what is neither is no figure."""
    return {
        key: value
        for key, value in _table(found).items()
        if isinstance(value, (str, int)) or (isinstance(value, float) and math.isfinite(value))
    }


def _pages(found: Any) -> dict[str, dict[str, str]]:
    return {
        page: {
            box: text for box, text in _table(boxes).items() if isinstance(text, str) and len(text) <= LONGEST_TEXT
        }
        for page, boxes in _table(found).items()
        if page in PAGES
    }
