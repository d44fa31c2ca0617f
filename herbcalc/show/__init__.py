"""Floor 5. What a notebook shows. One line opens it: `from herbcalc.show import lesson; here = lesson(5)`."""

from herbcalc.show.here import Here, lesson

__all__ = ["Here", "lesson"]
