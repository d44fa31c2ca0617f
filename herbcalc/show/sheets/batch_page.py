"""Floor 5. A batch on one page of paper, with the picture of its streams: for the wall or the batch book.

from herbcalc.show.sheets import batch_page
Path("my-batch.html").write_text(batch_page.page(batch, date(2026, 7, 14), name="Lemon balm, bed 3"), "utf-8")
"""

from __future__ import annotations

from html import escape
from typing import Any

from herbcalc.batch import Batch
from herbcalc.show import html_page
from herbcalc.show.draw.streams import streams
from herbcalc.show.look import View

WIDE, HIGH = 760.0, 180.0  # of the picture, in board units: as wide as the paper, and a quarter of that high
LONGEST = 80  # letters of a name; a longer one would push the last line onto a second page


def page(batch: Batch, day: Any, of: str = "gather", name: str = "", view: View = View()) -> str:  # noqa: B008
    """A whole HTML page that any browser prints on one sheet, A4 or Letter.

    batch  a Batch
    day    a date, such as Python's
    of     which step falls on it, as in `Batch.calendar`
    name   what the batch is called; what is over 80 letters long is cut
    view   which system of units stands first in the picture

    Result: text. Refuses: as `Batch.calendar`.

    >>> import datetime
    >>> from herbcalc.batch import Order, walk_back
    >>> from herbcalc.units import Q
    >>> text = page(walk_back(Order(10, Q(50, "mL"))), datetime.date(2026, 7, 14), name="Lemon balm (invented)")
    >>> "<h1>Lemon balm (invented)</h1>" in text, text.count("<svg")
    (True, 1)
    """
    called = name.strip()
    if len(called) > LONGEST:
        called = called[: LONGEST - 3].rstrip() + "..."
    svg, alt = streams(batch, view, wide=WIDE, high=HIGH, name=f"{called} {batch.order}")  # apart, in one file too
    picture = f'<div role="img" aria-label="{escape(alt)}">{svg}</div>'
    body = f'<body style="margin:0">{batch.sheet(day, of, picture, called)}</body>'
    return html_page.whole(called or "A batch", body)
