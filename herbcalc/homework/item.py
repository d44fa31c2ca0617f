"""Floor 4. An item that can be answered: somebody's figures, what is said back, and texts that must be accepted."""

from __future__ import annotations

from typing import Any

from herbcalc.homework import sample_answers
from herbcalc.homework.check import check
from herbcalc.homework.feedback import Feedback
from herbcalc.homework.filled import Filled


class Item(Filled):
    """One homework item with one student's figures; see `Filled` for what it holds."""

    def check(self, typed: Any, tier: int = 1) -> Feedback:
        """What to say back to what was typed. Saves nothing and never raises for text.

        typed  a text; an amount or a number handed over as code is read too
        tier   0 to 4: how much help comes with it

        Result: Feedback.

        >>> from herbcalc.homework import item
        >>> item(5, 1, "fern7", 3).check("no idea").verdict
        'unread'
        """
        return check(self, typed, tier)

    def answers(self) -> list[str]:
        """Three texts or more that must be accepted, in different units where the item allows."""
        return sample_answers.right_texts(self)

    def slip_answers(self) -> dict[str, str]:
        """For each slip of the item, a text that a student on that road would type."""
        return sample_answers.slip_texts(self)
