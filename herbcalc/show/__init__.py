"""Floor 5. What a notebook shows. One line opens it: `from herbcalc.show import lesson; here = lesson(5)`."""

from herbcalc.show.here import FirstAid, Here, first_aid, lesson

__all__ = ["FirstAid", "Here", "first_aid", "lesson"]
