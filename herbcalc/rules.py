"""Floor 0. House rules: figures that a teacher may change, because teachers differ.

The fields of `Rules` are the one table of defaults. A teacher changes them in the file `class.toml`:

    currency = "£"
    shelf = [40, 50, 95]        # % vol

    [rules]
    floor = 30                  # % vol

The sums of this package read no house rules: what they need is handed to them. Only lessons, panels and sheets do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from herbcalc import place
from herbcalc.units.refusals import OutOfRange, WrongUnit
from herbcalc.units.saying import of_hundred, said

OUTSIDE = ("shelf", "currency")  # these stand at the top of the file, the others under [rules]
NO_RULES = ("class", "set_work", "open")  # these too, and they are no house rules: person/class_file.py reads them

_PRACTICE = "Common practice, no source."


def _rule(
    default: float, unit: str, low: float, high: float, label: str, sentence: str, *, whole: bool = False
) -> Any:
    about = {"unit": unit, "low": low, "high": high, "label": label, "sentence": sentence, "whole": whole}
    return field(default=default, metadata=about)


def _words(default: Any, label: str, sentence: str, options: tuple[str, ...] = ()) -> Any:
    return field(default=default, metadata={"label": label, "sentence": sentence, "options": options})


@dataclass(frozen=True)
class Rules:
    """The house rules in force: plain numbers in the unit named in each field's metadata.

    Refuses numbers outside the bounds in the metadata (OutOfRange) and things of another sort (WrongUnit).

    >>> Rules().floor, Rules(floor=25).floor
    (35.0, 25.0)
    """

    floor: float = _rule(
        35.0,
        "percent_vol",
        20.0,
        60.0,
        "your floor",
        "A tincture made from fresh plant is kept only at this strength or above. Common practice: the figure was "
        "looked for and not found in print. Some teachers keep jars at 25 % vol, for a shorter time.",
    )
    cover: float = _rule(
        6.35,
        "mm",
        0.0,
        50.0,
        "liquid over the herb",
        f"The liquid stands this far above the herb in the jar. {_PRACTICE}",
    )
    retained: float = _rule(
        1.5,
        "mL/g",
        0.1,
        5.0,
        "what the marc keeps",
        f"Each gram of dry plant keeps this much liquid where nothing else is said. {_PRACTICE} Weigh your own marc.",
    )
    retained_by_hand: float = _rule(
        1.6,
        "mL/g",
        0.1,
        5.0,
        "what the marc keeps, wrung by hand",
        "Each gram of dry plant keeps this much after wringing by hand. M. Moore, Herbal Materia Medica, 5th ed.: "
        "1.6 to 1.8 mL for one root.",
    )
    retained_pressed: float = _rule(
        0.8,
        "mL/g",
        0.1,
        5.0,
        "what the marc keeps, in a good press",
        "Each gram of dry plant keeps this much after a good press. M. Moore, Herbal Materia Medica, 5th ed.: "
        "about 0.8 mL for one root.",
    )
    dried_to: float = _rule(
        10.0,
        "percent_wb",
        3.0,
        13.0,  # over that it moulds in a closed jar; common practice, no source
        "water left in dried herb",
        "Herb counts as dry at this moisture. Pharmacopoeia limits for dried leaf and flower are mostly 10 to 12 %.",
    )
    warmest: float = _rule(
        340 / 9,  # 100 °F
        "degC",
        25.0,
        60.0,
        "warmest for drying",
        "Over this warmth scented herbs lose what they smell of. 80 to 100 °F (27 to 38 °C), in the dark and in "
        f"moving air, is usual. {_PRACTICE}",
    )
    ratio_reading: str = _words(
        "added",
        "what the ratio 1:5 counts",
        f'"added": the menstruum poured on; "finished": the liquid pressed out; "dry": all the liquid against the '
        f"dry plant. {_PRACTICE} All three are in use.",
        ("added", "finished", "dry"),
    )
    leaf_share: float = _rule(
        1 / 3,
        "share",
        0.0,
        1.0,
        "share of one plant's leaf",
        f"At most this share of what one plant carries is picked where the plant lives on. {_PRACTICE}",
    )
    stand_share: float = _rule(
        0.1,
        "share",
        0.0,
        1.0,
        "share of a wild stand",
        f"At most this share of a common wild stand is dug where digging ends the plant. {_PRACTICE} Local law may "
        "allow less, or none.",
    )
    hemisphere: str = _words(
        "north",
        "half of the globe",
        f'"north" or "south": the months of gathering lie half a year apart. {_PRACTICE} The sign on the plant '
        "counts more than the month.",
        ("north", "south"),
    )
    glycerin_floor: float = _rule(
        0.55,
        "share",
        0.25,
        0.8,
        "least glycerin in a jar",
        "Glycerin keeps plant water from this share of the liquid on, by volume. Disputed: printed advice runs from "
        f"25 to 80 of every 100. {_PRACTICE}",
    )
    vinegar_floor: float = _rule(
        0.04,
        "share",
        0.03,
        0.05,
        "least acid in vinegar",
        "Vinegar keeps plant water from this much acid on, in g for each mL. In the US what is sold as vinegar has "
        "4 g in 100 mL or more (FDA, Compliance Policy Guide 525.825); whether that is enough for a jar of herb is "
        "disputed.",
    )
    honey_limit: float = _rule(
        20.0,
        "percent_wb",
        17.0,
        23.0,  # what the Codex allows heather honey, from memory
        "most water in honey",
        "Wetter honey than this ferments. Disputed: below 17.1 % it is safe whatever yeast it holds, above 20 % "
        f"always in danger; between the two it hangs on the yeast. {_PRACTICE}",
    )
    syrup_floor: float = _rule(
        0.647,
        "share",
        0.6,
        0.67,  # over that it does not dissolve in the cold
        "least sugar in syrup",
        "Syrup keeps from this share of sugar on, by weight. It is that of the official simple syrup: 85 g of sugar "
        "made up to 100 mL (USP).",
    )
    syrup_spirit: float = _rule(
        20.0,
        "percent_vol",
        15.0,
        30.0,
        "least spirit in thin syrup",
        "A syrup with less sugar than that is kept at this strength or above. Disputed: printed advice runs from 15 "
        f"to 30 % vol. {_PRACTICE}",
    )
    retained_oil: float = _rule(
        2.0,
        "mL/g",
        0.2,
        6.0,
        "oil that the marc keeps",
        "Each gram of dried herb keeps this much oil after wringing in a cloth, where nothing else is said. "
        f"{_PRACTICE} Measure your own.",
    )
    cold_days: float = _rule(
        4.0,
        "day",
        2.0,
        7.0,
        "days for fresh herb in oil, kept cold",
        "Oil with fresh herb or garlic in it, for eating, stays in the refrigerator and is gone after so many days. "
        "Disputed: extension services print 2 to 3 (Missouri 2013), 3 (Oregon and Colorado) and 4 (Idaho 2013); "
        "up to 7 is told of oil that was warmed.",
    )
    wax_soft: float = _rule(
        0.116,
        "share",
        0.03,
        0.4,
        "wax in a soft salve",
        "This share of the weight is beeswax: 1 oz in 8 fl oz of oil. Common practice, no source, and disputed: "
        "printed ointments hold from 5 of every 100 (White Ointment, USP) to 33 (Simple Cerate, USP 1850).",
    )
    wax_firm: float = _rule(
        0.2,
        "share",
        0.05,
        0.5,
        "wax in a firm salve",
        "This share of the weight is beeswax. The simple ointment of the US Dispensatory of 1918 has 20 of "
        "every 100, and 25 in hot weather; other books differ.",
    )
    standard_drink: float = _rule(
        14.0,
        "g",
        8.0,
        20.0,
        "alcohol in one standard drink",
        "What one drink holds where drinks are counted. It differs by country: 14 g in the US (NIAAA), 8 g is one UK "
        "unit, 10 g in many others (WHO).",
    )
    spare: float = _rule(
        0.1,
        "share",
        0.0,
        0.5,
        "share kept spare for a class",
        f"So much is put on top of what a class needs, for what is spilled and stays in filters. {_PRACTICE}",
    )
    scale_off: float = _rule(
        1.0,
        "g",
        0.01,
        20.0,
        "how far a weighing may be off",
        f"Nineteen weighings of twenty lie nearer to the truth. {_PRACTICE} Kitchen scales show whole grams.",
    )
    jug_off: float = _rule(
        0.03,
        "share",
        0.001,
        0.2,
        "how far a jug may be off",
        f"Nineteen volumes of twenty lie nearer to the truth than this share of them. {_PRACTICE} Household liquid "
        "measures are allowed 5 of every 100 either way (productknowledge.com, Liquid Measuring Utensils).",
    )
    moisture_off: float = _rule(
        5.0,
        "points",
        0.2,
        20.0,
        "how far a moisture sample may be off",
        f"Nineteen samples of twenty lie nearer to the truth than this, in % water of the plant. {_PRACTICE} On a "
        "kitchen scale a sample of 20 g leaves some 6 points open, one of 100 g about 1.",
    )
    marc_off: float = _rule(
        0.2,
        "share",
        0.01,
        0.6,
        "how far what the marc keeps may be off",
        f"Nineteen marcs of twenty, of one plant in one press, lie nearer to the figure than this share of it; from "
        f"plant to plant they lie further apart. {_PRACTICE} Your own marc, weighed, is known far better.",
    )
    dryness_off: float = _rule(
        2.0,
        "points",
        0.2,
        8.0,
        "how far dryness told by hand may be off",
        f"So far the water left in herb that crumbles may lie from what is counted, 19 times in 20. {_PRACTICE}",
    )
    drying_days: float = _rule(
        7.0, "day", 1.0, 90.0, "days on the tray", f"A batch's calendar counts so many. {_PRACTICE}", whole=True
    )
    soak_days: float = _rule(
        28.0, "day", 1.0, 365.0, "days in the jar", f"A batch's calendar counts so many. {_PRACTICE}", whole=True
    )
    drip_days: float = _rule(
        2.0,
        "day",
        1.0,
        30.0,
        "days of a drip",
        f"From the dampened powder to the last drop; a batch's calendar counts so many. {_PRACTICE}",
        whole=True,
    )
    shelf: tuple[float, ...] = _words(
        (40.0, 50.0, 75.5, 95.0),
        "strengths on local shelves",
        "The strengths, in % vol, of the spirits that can be bought nearby.",
    )
    currency: str = _words("$", "currency sign", "The sign that stands before a price.")

    def __post_init__(self) -> None:
        for rule in fields(self):
            object.__setattr__(self, rule.name, _read(rule.name, rule.metadata, getattr(self, rule.name)))

    def lines(self) -> list[str]:
        """One line for each rule, for showing: what it is, its value in both systems, where it comes from.

        >>> Rules().lines()[1]
        'Liquid over the herb: 6.35 mm (1/4 in). The liquid stands this far above the herb in the jar. \
Common practice, no source.'
        """
        return [
            f"{self.label(r.name).capitalize()}: {self.said(r.name)}. {r.metadata['sentence']}" for r in fields(self)
        ]

    def label(self, name: str) -> str:
        """What a rule is about, in a few words."""
        return str(_about(name)["label"])

    def said(self, name: str) -> str:
        """What a rule says, in both systems of units.

        >>> Rules(cover=10).said("cover")
        '10 mm (3/8 in)'
        """
        return _shown(name, _about(name), getattr(self, name))


def load(folder: Path | None = None) -> Rules:
    """The house rules: the defaults, and over them what the teacher's `class.toml` says.

    folder  where the file is looked for; without it the person's own folder (HERBCALC_HOME, or my-herb-sums at home)

    Result: Rules; the defaults where there is no such file. Keys that other parts of herbcalc read are left alone.
    Refuses, each time naming the file and the rule: a value outside its bounds (OutOfRange); an unknown rule,
    something that is not a number, a file that cannot be read (WrongUnit).

    >>> load(Path("no-such-folder")) == Rules()
    True
    """
    path = (place.folder() if folder is None else Path(folder)) / place.CLASS
    return from_sheet(sheet(path), path)


def sheet(path: Path) -> dict[str, Any]:
    """All that the teacher's file at `path` says, as a plain table; {} where there is none.

    This is the one reading of a class.toml, whatever its name. Refuses, in a sentence that names the file: one that
    cannot be opened, or is no such sheet (WrongUnit).
    """
    try:
        return place.table(path) or {}
    except NotADirectoryError:
        return {}
    except place.Unreadable as trouble:
        why = str(trouble)
    except IsADirectoryError:
        why = "it is a folder"
    except OSError as trouble:
        why = str(trouble.strerror or trouble)
    raise WrongUnit(f"{path} cannot be read: {why}. Ask your teacher for the file once more.")


def from_sheet(held: dict[str, Any], path: Path) -> Rules:
    """The house rules in a plain table, as `sheet` gives it. Refuses as `load` does, and names the file `path`."""
    given = held.get("rules", {})
    if not isinstance(given, dict):
        raise WrongUnit(f'{path}: "rules" is a heading. Write [rules] on a line of its own, and the rules below it.')
    known = {r.name for r in fields(Rules)}
    for name in given:
        if name in OUTSIDE + NO_RULES:
            raise WrongUnit(f'{path}: "{name}" stands at the top of the file, above the line [rules]. Move it there.')
        if name not in known:
            names = ", ".join(r.name for r in fields(Rules) if r.name not in OUTSIDE)
            raise WrongUnit(f'{path}: there is no house rule called "{name[:60]}". The rules are: {names}.')
    for name in held:
        if name in known and name not in OUTSIDE:
            raise WrongUnit(f'{path}: "{name}" is a house rule. Write it below a line that says [rules].')
    asked = {**given, **{name: held[name] for name in OUTSIDE if name in held}}
    try:
        return Rules(**asked)
    except (OutOfRange, WrongUnit) as refusal:
        raise type(refusal)(f"{path}: {refusal}") from None


def _shown(name: str, about: Any, value: Any) -> str:
    if name == "shelf":
        return ", ".join(said(strength, "percent_vol") for strength in value)
    if isinstance(value, str):
        return value
    if about["unit"] == "share":
        return of_hundred(value)
    if about["unit"] == "points":
        return f"{value:g} points"
    # Both mean mL for each gram, and only one of them is written as a ratio.
    return f"{said(value, '')} mL for each g" if about["unit"] == "mL/g" else said(value, about["unit"])


def _read(name: str, about: Any, value: Any) -> Any:
    """A rule's value, checked."""
    if name == "shelf":
        return _read_shelf(value)
    if name == "currency":
        if isinstance(value, str) and 0 < len(value.strip()) <= 4 and value.isprintable():
            return value.strip()
        raise WrongUnit('currency: a sign of one to four characters in quotes is needed, such as "$" or "€".')
    if about.get("options"):
        if value in about["options"]:
            return value
        raise WrongUnit(f"{name}: it is one of {', '.join(f'{o!r}' for o in about['options'])}.")
    low, high = about["low"], about["high"]
    fits = _is_number(value) and not (about["whole"] and value % 1)
    if fits and low <= value <= high:
        return float(value)
    bounds = f"from {_shown(name, about, low)} to {_shown(name, about, high)}"
    if not fits:
        number = "a whole number" if about["whole"] else "a number"
        unit = _written(about["unit"])
        raise WrongUnit(f"{name} ({about['label']}): it is {number}{unit}, {bounds}, written without quotes.")
    given = _shown(name, about, value) if math.isfinite(value) else "no number"
    raise OutOfRange(
        f"{name} ({about['label']}): {given} was given, and it goes {bounds}. "
        f"The usual value is {_shown(name, about, _usual(name))}."
    )


def _read_shelf(value: Any) -> tuple[float, ...]:
    if not isinstance(value, (list, tuple)) or not 1 <= len(value) <= 12 or not all(map(_is_number, value)):
        raise WrongUnit("shelf: it is a list of one to twelve strengths in % vol, such as [40, 50, 75.5, 95].")
    for strength in value:
        if not 0 < strength <= 97:
            given = said(strength, "percent_vol") if math.isfinite(strength) else "no number"
            raise OutOfRange(f"shelf: {given} was given. A bottle on a shelf holds more than 0 and at most 97 % vol.")
    return tuple(sorted({float(strength) for strength in value}))


def _about(name: str) -> Any:
    return next(r.metadata for r in fields(Rules) if r.name == name)


def _usual(name: str) -> float:
    return float(getattr(Rules, name))


def _is_number(value: Any) -> bool:
    # A whole number of four hundred digits is a number to Python and to nobody else.
    return isinstance(value, float) or (type(value) is int and abs(value) < 10**15)


def _written(unit: str) -> str:
    return {
        "percent_vol": " in % vol",
        "percent_wb": " in % water",
        "mm": " in mm",
        "mL/g": " in mL for each g",
        "share": " that is a share of 1",
        "points": " of points",
        "degC": " in °C",
        "day": " in days",
        "g": " in g",
    }.get(unit, "")
