"""Floor 4. What is said back to a typed answer."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Feedback:
    """What is said back.

    `verdict` is "right", "say the unit", "other unit", "slip", "not yet" or "unread"; `slip` is the id of a
    recognised slip or None; `hint` is a question, a remark or a reminder (may be ""); `consequence` says what would
    come of the sum that was done (may be ""); `read` is what was understood, to be said before all else
    ("28.6 % vol"; "" where nothing could be read).
    """

    verdict: str
    slip: str | None = None
    hint: str = ""
    consequence: str = ""
    read: str = ""
