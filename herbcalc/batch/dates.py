"""Floor 3. The days of a batch, counted on from the gathering or back from the bottle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple, Protocol

from herbcalc import harvest
from herbcalc.batch.figures import on_tray, water_in_jar
from herbcalc.batch.order import Making
from herbcalc.harvest import day_said
from herbcalc.units.guard import NUMBER, take
from herbcalc.units.refusals import OutOfRange, WrongUnit, one_of

# Common practice, no source: a day in the shade down to half water; what must be drier lies as long as what dries.
WILTS = 1
HALF_WATER = 50.0  # percent_wb
DAYS = NUMBER.within(0.0, 3650.0)


class Lasting(Protocol):
    """What the house rules say of the days; which rules those are is no business of a sum."""

    @property
    def drying_days(self) -> float: ...
    @property
    def soak_days(self) -> float: ...
    @property
    def drip_days(self) -> float: ...


@dataclass(frozen=True)
class Days:
    """How long each step takes, whole days: common practice, no source, until a class has its own.

    drying  on the tray, plain, 0 to 3650
    soak    in the jar, plain, 0 to 3650
    drip    from the dampened powder to the last drop, plain, 0 to 3650

    Refuses: WrongUnit; OutOfRange also for a part of a day.

    >>> Days().soak
    28
    """

    drying: int = 7
    soak: int = 28
    drip: int = 2

    def __post_init__(self) -> None:
        for name in ("drying", "soak", "drip"):
            number = take(name, DAYS, getattr(self, name))
            if number != int(number):
                raise OutOfRange(f"{name}: {number:g} was given, and a calendar goes by whole days, such as 7.")
            object.__setattr__(self, name, int(number))

    @classmethod
    def by_rules(cls, rules: Lasting) -> Days:
        """Those of a class: the house rules handed over.

        >>> from herbcalc.rules import Rules
        >>> Days.by_rules(Rules()) == Days(), Days.by_rules(Rules(soak_days=14)).soak
        (True, 14)
        """
        return cls(drying=int(rules.drying_days), soak=int(rules.soak_days), drip=int(rules.drip_days))

    def of(self, making: Making) -> dict[str, int]:
        """Each step of this batch, and on which day it is done; the gathering is day 0."""
        far = making.state == "dried" or water_in_jar(making) < HALF_WATER
        put_up = 0 if not on_tray(making) else self.drying if far else WILTS
        done = put_up + (self.soak if making.method == "soak" else self.drip)
        return {"gather": 0, "put up": put_up, "bottle": done}


class Step(NamedTuple):
    """One step: its name, its day, and what is done then, in a sentence."""

    name: str
    day: Any
    text: str


def calendar(making: Making, days: Days, day: Any, of: str, part: str | None, hemisphere: str) -> list[Step]:
    """The steps of `Batch.calendar`."""
    when = days.of(making)
    one_of("of", of, when)
    if not hasattr(day, "toordinal") or not hasattr(day, "fromordinal"):
        raise WrongUnit("day: a date is needed, such as datetime.date(2026, 7, 14), and something else was given.")
    first = day.toordinal() - when[of]
    try:
        dates = {name: type(day).fromordinal(first + later) for name, later in when.items()}
    except (ValueError, OverflowError):
        raise OutOfRange("day: no calendar goes there. A year of four figures, such as 2026, would work.") from None
    season = "" if part is None else " " + harvest.gathering(part, hemisphere).answer(dates["gather"].month)
    dry = f" and lay the plant out to {'dry' if making.state == 'dried' else 'wilt'}" if on_tray(making) else ""
    soak = making.method == "soak"
    said = {
        "gather": f"gather{dry}.{season}",
        "put up": f"{'put it up in the jar' if soak else 'dampen the powder, pack it and pour'}.",
        "bottle": f"{'press, strain and bottle' if soak else 'take the last of the percolate and bottle'}.",
    }
    return [Step(name, date, f"{day_said(date)}: {said[name]}") for name, date in dates.items()]
