"""Floor 3. What stands on a bottle, what a label still lacks, and the promise that no label makes.

Nothing here says how much to take. The amount on a label is what its writer was told by a teacher or a qualified
practitioner; where nobody was told anything, that line stays empty.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, NamedTuple

from herbcalc.batch.order import FLOOR, STATES
from herbcalc.ethanol import STRENGTH
from herbcalc.harvest import day_said
from herbcalc.maceration.ratios import Ratio
from herbcalc.units.constants import SLACK
from herbcalc.units.guard import VOLUME, Kind, take
from herbcalc.units.refusals import OutOfRange, one_of
from herbcalc.units.saying import listed, said

# For how many months a thing keeps, cool and dark, from the least to the most: common practice, no source.
KEEPING = {
    "tincture": (36, 60),
    "glycerite": (12, 24),
    "vinegar": (6, 12),
    "infused oil": (6, 12),
    "salve": (12, 12),
    "syrup, kept cold": (1, 3),
    "honey with dried herb": (12, 12),
    "dried leaf or flower": (12, 12),
    "dried root or bark": (24, 36),
}
WITH_ALCOHOL = "tincture"  # what is held against the floor
# What the cautions of every bottle name at least, and what a jar of honey names besides.
_NAMED = {"pregnancy": r"pregnan", "children": r"child|kids", "medicines": r"medic|prescription|drugs"}
_HONEY = "honey with dried herb"
_NAMED_ON_HONEY = {"the first year of life": r"\b(?:1|one|first) year|12 months|infant|bab(?:y|ies)"}
# What a line of cautions begins with, by what is in the bottle; of others with whom to ask.
_FIRST = {WITH_ALCOHOL: "Holds alcohol. ", _HONEY: "Holds honey: not for a child under 1 year. "}
_WHO_ASKS = "Ask a qualified person first in pregnancy, for children, or with medicines."
DRY = ("dried leaf or flower", "dried root or bark")  # a plant by itself: nothing was poured on it
_STRENGTHS = ("spirit", "final")
_POURED = (*_STRENGTHS, "ratio", "volume", "put_up", "pressed")


class Field(NamedTuple):
    """One line of a label: its head, why it stands there, and an invented example of it."""

    head: str
    why: str
    example: str


FIELDS = {
    "common": Field("Common name", "It is the name by which people ask for the plant", "Lemon balm"),
    "botanical": Field("Botanical name", "Two plants may share a common name, and only this one tells them apart",
                       "Melissa officinalis"),
    "part": Field("Part", "Leaf and root of one plant are two things", "leaf"),
    "state": Field("Fresh or dried", "A fresh plant brought water with it", "fresh"),
    "ratio": Field("Ratio", "It says how much plant stands behind each mL, once its reading is told",
                   "1:2, menstruum added"),
    "spirit": Field("Strength poured on", "Whoever makes it again needs it", "75.5 % vol"),
    "final": Field("Strength in the bottle", "It says whether the bottle keeps, and how much alcohol is in a "
    "spoonful",
                   "53.9 % vol"),
    "volume": Field("Volume", "From it one knows how long a bottle lasts", "250 mL"),
    "gathered": Field("Gathered", "The age of the plant counts too", "14 July 2026"),
    "put_up": Field("Put up", "From this day it stood in the menstruum", "14 July 2026"),
    "pressed": Field("Pressed, or run through", "From this day it keeps", "11 August 2026"),
    "lot": Field("Lot", "It leads back to the batch book, should anything be amiss", "26-07-14-LB-F-02"),
    "maker": Field("Maker", "Somebody can be asked", "Alder Lane class (invented)"),
    "place": Field("Place of the plant", "Where it grew, or who sold it, can then be looked at", "bed 3, Alder Lane"),
    "cautions": Field(
        "Cautions",
        "Who holds the bottle may not have heard them",
        f"{_FIRST[WITH_ALCOHOL]}{_WHO_ASKS}",
    ),
    "best_before": Field("Best before", "Nothing keeps for ever", "11 August 2029"),
}  # fmt: skip
KIND = "What it is"
AMOUNT = "Amount, as taught"
NO_AMOUNT = (
    f"{AMOUNT}: it is empty, and may stay so. Nothing is proposed here; who hands the bottle on writes what a "
    "teacher or a qualified practitioner told them."
)
CLAIMS = (
    "The law on claims differs by place. In the US the label of a supplement may not claim to diagnose, mitigate, "
    "treat, cure or prevent a disease (21 USC 343(r)(6))."
)

# Words by which a line promises that somebody will be well; of other languages only the commonest.
_PROMISE = re.compile(
    r"\b(?:cures?|cured|heals?|healing|treats|treat|treatment|prevents?|preventing|mitigates?|diagnoses?|remed(?:y|ies)"
    r"|relieves?|eases|soothes|fights|kills|stops|boosts|banishes|good (?:for|against)|works? (?:for|against|on)"
    r"|helps? (?:with|against|you|your)|gets? rid of|protects? (?:from|against)|rids? you of"
    r"|effective (?:for|against)|heilt|heilung|lindert|cura|alivia|gu\u00e9rit|soulage)\b"
)
# What only a caution may say: "not with medicines for the heart", "may lower the blood pressure".
_HINTS = re.compile(
    r"\b(?:calms?|calming|reduces|lowers|improves|strengthens|supports|boosters?|detox\w*|miracle|sleep aid"
    r"|anti-?(?:viral|bacterial|biotic|fungal|inflammatory|anxiety|depress\w+|spasmodic|septic|cancer)"
    r"|(?:for|against) (?:\w+ ){0,2}?(?:colds?|flu|coughs?|sleep|headaches?|pains?|anxiety|nerves|stress|fevers?"
    r"|insomnia|digestion|wounds|burns|infections?|allerg(?:y|ies)|asthma|cancer|diabetes|arthritis|immunity))\b"
)
_DENIED = re.compile(r"\b(?:not|no|never|cannot|can't|doesn't|don't|isn't)\b")
_ENDS = re.compile(r",|\b(?:and|but|yet|so)\b")  # where a denial reaches no further: "no sugar, and cures coughs"
# In a row of what is denied it reaches on: "not meant to treat, cure or prevent".
_PROMISED_TOO = re.compile(rf"{_PROMISE.pattern}(?: any)?(?:,? (?:or|nor|and)\b|,)?")
_NO_DENIAL = re.compile(r"\b(?:not (?:only|just)|no better|never fails?|cannot fail)\b")
_NAMES = re.compile(r"\b(?:self|all)[- ]?heal\b|\bheal[- ]?all\b|\btreat (?:it )?with care\b")  # of plants, and care
_CLAUSES = re.compile(r"[.;!?\n]+")


@dataclass(frozen=True)
class Label:
    """What stands on one bottle. Every line may still be missing: "" for words, None for all else.

    common, botanical, part  words
    state                    "fresh" or "dried"
    kind                     what it is, one of KEEPING
    ratio                    a `maceration.Ratio`, which carries its reading: "added", "finished" or "dry"
    spirit, final            the strength poured on, and that in the bottle, percent_vol
    volume                   of the bottle, mL, more than 0
    gathered, put_up, pressed, best_before  days: whatever has a year, a month and a day, as a date of Python's has
    lot, maker, place        words
    amount                   as taught, in words; entered by a person, never proposed
    cautions                 words
    also                     whatever else the label says

    Refuses: WrongUnit, OutOfRange. Source: the lines are the trade's, common practice.

    >>> from herbcalc.units import Q
    >>> Label(common="Lemon balm", final=Q(53.9, "percent_vol")).lines()
    [('What it is', 'tincture'), ('Common name', 'Lemon balm'), ('Strength in the bottle', '53.9 % vol')]
    """

    common: str = ""
    botanical: str = ""
    part: str = ""
    state: str = ""
    kind: str = WITH_ALCOHOL
    ratio: Ratio | None = None
    spirit: Any = None
    final: Any = None
    volume: Any = None
    gathered: Any = None
    put_up: Any = None
    pressed: Any = None
    best_before: Any = None
    lot: str = ""
    maker: str = ""
    place: str = ""
    amount: str = ""
    cautions: str = ""
    also: str = ""

    def __post_init__(self) -> None:
        if self.state:
            one_of("state", self.state, STATES)
        one_of("kind", self.kind, KEEPING)
        for name, kind in (("spirit", STRENGTH), ("final", STRENGTH), ("volume", VOLUME.more_than_none)):
            if getattr(self, name) is not None:
                take(name, kind, getattr(self, name))

    def lines(self) -> list[tuple[str, str]]:
        """Head and words of each line that is filled, in both systems of units."""
        found = [(field.head, self._said(name)) for name, field in FIELDS.items()]
        filled = [(head, words) for head, words in [*found, (AMOUNT, self.amount), ("Also", self.also)] if words]
        return [(KIND, self.kind), *filled] if filled else []

    def _said(self, name: str) -> str:
        value = getattr(self, name)
        if value is None or value == "":
            return ""
        if isinstance(value, str):
            return value.strip()
        if isinstance(value, Ratio):
            return str(value)
        if name in ("spirit", "final"):
            return said(_plain(name, STRENGTH, value), "percent_vol")
        return said(_plain(name, VOLUME, value), "mL") if name == "volume" else day_said(value)

    def lacks(self) -> list[str]:
        """What is not there yet: for each line a sentence with why it belongs there and what would do.

        >>> Label(common="Lemon balm").lacks()[0][:75]
        'Botanical name: nothing stands there yet. Two plants may share a common nam'
        """
        return [
            f"{field.head}: nothing stands there yet. {field.why}. {self._example(name).rstrip('.')} would do."
            for name, field in FIELDS.items()
            if not self._said(name) and name not in self._not_asked()
        ]

    def _not_asked(self) -> tuple[str, ...]:
        """The lines that say nothing of a thing of this kind."""
        return _POURED if self.kind in DRY else () if self.kind == WITH_ALCOHOL else _STRENGTHS

    def _example(self, name: str) -> str:
        """What would do in a line, for this kind of thing: only a tincture is said to hold alcohol."""
        return f"{_FIRST.get(self.kind, '')}{_WHO_ASKS}" if name == "cautions" else FIELDS[name].example

    def promises(self) -> list[str]:
        """Every line that promises a cure, sent back in words.

        >>> len(Label(also="Cures colds.").promises())
        1
        >>> Label(cautions="This is not meant to cure anything.").promises()
        []
        """
        names = ("common", "botanical", "part", "lot", "place", "amount", "cautions", "also")  # a maker has a name
        clauses = [(name, clause.strip()) for name in names for clause in _CLAUSES.split(getattr(self, name))]
        return [
            f'It says "{clause[:60]}", and "{promise}" promises what nobody can know of another person. {CLAIMS} '
            "What would work: say what is in the bottle and how it was made, and leave that line out."
            for name, clause in clauses
            if (promise := _promised(clause, _PROMISE) or (name != "cautions" and _promised(clause, _HINTS)))
        ]

    def at_odds(self, floor: Any = FLOOR) -> list[str]:
        """What the lines say that cannot all be so, or that does not go with the house's floor.

        floor  weakest strength that is kept, percent_vol
        """
        return [*self._days(), *self._strengths(take("floor", STRENGTH, floor)), *self._words()]

    def _days(self) -> list[str]:
        found = []
        days = [(FIELDS[n].head, getattr(self, n)) for n in ("gathered", "put_up", "pressed", "best_before")]
        there = [(head, day) for head, day in days if day is not None]
        for (first, one), (then, other) in pairwise(there):
            if _when(other) < _when(one):
                found.append(
                    f"{then}: {day_said(other)} comes before {day_said(one)}, the day of the line {first}. One "
                    "of the two days changed places with the other, or its year did."
                )
        made = self.gathered if self.kind in DRY else self.pressed
        if made is not None and self.best_before is not None:
            least, most = keeps_until(self.kind, made)
            if _when(self.best_before) > _when(most):
                found.append(
                    f"Best before: {day_said(self.best_before)} is a long time. For {self.kind} of "
                    f"{day_said(made)}, {day_said(least)} to {day_said(most)} is common practice, no source."
                )
        return found

    def _strengths(self, floor: float) -> list[str]:
        if self.final is None or self.kind != WITH_ALCOHOL:
            return []
        found, final = [], _plain("final", STRENGTH, self.final)
        if final < floor - SLACK:
            found.append(
                f"Strength in the bottle: {said(final, 'percent_vol')} is under your floor of "
                f"{said(floor, 'percent_vol')}, so this bottle is not for keeping. Use it soon, from the cold, "
                "or make it stronger before it is labelled."
            )
        if self.spirit is not None and final > _plain("spirit", STRENGTH, self.spirit) + SLACK:
            found.append(
                f"Strength in the bottle: {said(final, 'percent_vol')} is more than the "
                f"{said(_plain('spirit', STRENGTH, self.spirit), 'percent_vol')} poured on, and nothing in a "
                "plant adds alcohol. Did the two change places?"
            )
        return found

    def _words(self) -> list[str]:
        found = []
        if self.botanical.strip() and len(self.botanical.split()) < 2:
            found.append(
                f'Botanical name: "{self.botanical.strip()[:40]}" is one word, and it takes two, genus and kind. '
                "Melissa officinalis is lemon balm's."
            )
        if self.kind in DRY and self.state == "fresh":
            found.append(
                f"Fresh or dried: it says fresh, and {self.kind} stands under {KIND}. Which of the two is it?"
            )
        named = _NAMED | (_NAMED_ON_HONEY if self.kind == _HONEY else {})
        unsaid = [name for name, words in named.items() if not re.search(words, self.cautions.casefold())]
        if self.cautions.strip() and unsaid:
            found.append(
                f"Cautions: they do not speak of {listed(unsaid, 'or')} yet. A line such as: "
                f'"{self._example("cautions")}" would do.'
            )
        return found


def check(label: Label, floor: Any = FLOOR) -> list[str]:
    """What stands between a label and its bottle, in words; nothing where it may be stuck on.

    label  a Label
    floor  weakest strength that is kept, percent_vol

    Result: a list of sentences: promises that are sent back, then what does not agree, then what is not there yet.
    Refuses: WrongUnit, OutOfRange. Source: common practice; 21 USC 343(r)(6) for what a claim is.

    >>> check(Label(common="Lemon balm", also="Heals the heart"))[0][:27]
    'It says "Heals the heart", '
    """
    return [*label.promises(), *label.at_odds(floor), *label.lacks()]


def keeps_until(kind: str, day: Any) -> tuple[Any, Any]:
    """From which day to which a thing made on a day is best used, cool and dark.

    kind  one of KEEPING
    day   when it was pressed, put up or dried: a date

    Result: the two days that the least and the most of KEEPING lead to. Refuses: OutOfRange. Source: common practice,
    no source.

    >>> import datetime
    >>> [str(day) for day in keeps_until("infused oil", datetime.date(2026, 8, 31))]
    ['2027-02-28', '2027-08-31']
    """
    one_of("kind", kind, KEEPING)
    least, most = KEEPING[kind]
    return _months_on(day, least), _months_on(day, most)


def _months_on(day: Any, months: int) -> Any:
    """So many months later, on the same day of the month, or on the last there is."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    if year > 9999:
        raise OutOfRange("day: so far ahead no calendar goes. A year of four figures, such as 2026, would work.")
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    last = 28 + leap if month == 1 else 30 if month in (3, 5, 8, 10) else 31
    return day.replace(year=year, month=month + 1, day=min(day.day, last))


def _when(day: Any) -> tuple[int, int, int]:
    return day.year, day.month, day.day


def _plain(name: str, kind: Kind, value: Any) -> float:
    return float(take(name, kind, value))


def _promised(clause: str, words: re.Pattern[str]) -> str:
    """The one of these words by which a clause promises, "" where none does; "does not cure" is no promise."""
    low = _NAMES.sub(" ", " ".join(clause.casefold().replace("\u2019", "'").split()))
    for found in words.finditer(low):
        before = _NO_DENIAL.sub(" ", low[: found.start()] + " ")
        *denials, reach = _DENIED.split(before)
        if not denials or _ENDS.search(_PROMISED_TOO.sub(" ", reach)):
            return found.group()
    return ""
