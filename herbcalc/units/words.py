"""Floor 0. The one table of units: what each measures, which kitchen it belongs to, and its words.

Whatever shows a unit or has to know its kind reads it from here: `KIND_OF[unit]`, `words(unit)`, `has_twin(unit)`.
"""

from __future__ import annotations

from typing import NamedTuple

# The kinds of amount that `amount` reads: how each is said, and examples of it.
KINDS = {
    "weight": ("a weight", "100 g or 3 1/2 oz"),
    "volume": ("a volume", "200 mL or 6 3/4 fl oz"),
    "strength": ("a strength", "40 % vol, 33 % by weight or 80 proof"),
    "moisture": ("a moisture", "80 % water"),
    "ratio": ("a ratio", "1:5 or 5 mL/g"),
    "temperature": ("a temperature", "20 °C or 68 °F"),
    "difference": ("a difference of temperature", "5 °C or 9 °F"),
    "share": ("a share", "1/3, 0.8 or 80 %"),
    "time": ("a time", "6 weeks, 36 hours or 90 minutes"),
    "count": ("a count", "5 or 5 plants"),
    "money": ("an amount of money", "$5 or 5"),
}


class Row(NamedTuple):
    """One unit. kind: of `KINDS`, or "" for what nobody types. system: "metric" or "kitchen" where an amount has a
    twin in the other, else "". many, one: the words after a number."""

    kind: str
    system: str
    many: str
    one: str


def _rows(kind: str, system: str, **words: str) -> dict[str, Row]:
    """Rows of one kind; words are "many" or "many|one"."""
    return {
        unit: Row(kind, system, many, one or many)
        for unit, (many, _, one) in ((u, w.partition("|")) for u, w in words.items())
    }


UNITS: dict[str, Row] = {
    **_rows("weight", "metric", g="g", kg="kg", mg="mg"),
    **_rows("weight", "kitchen", oz="oz", lb="lb"),
    **_rows("volume", "metric", mL="mL", L="L"),
    **_rows("volume", "kitchen", tsp="tsp", tbsp="tbsp", fl_oz="fl oz", cup="cups|cup", pint="pints|pint"),
    **_rows("volume", "kitchen", quart="quarts|quart", gallon="gallons|gallon"),
    **_rows("temperature", "metric", degC="°C"),
    **_rows("temperature", "kitchen", degF="°F"),
    **_rows("temperature", "", K="K"),
    **_rows("difference", "metric", delta_degC="°C"),
    **_rows("difference", "kitchen", delta_degF="°F"),
    **_rows("time", "", s="seconds|second", min="minutes|minute", hour="hours|hour", day="days|day"),
    **_rows("time", "", week="weeks|week", month="months|month"),
    **_rows("strength", "", percent_vol="% vol", percent_mass="% by weight", proof="proof"),
    **_rows("moisture", "", percent_wb="% water", percent_db="% of the dry weight"),
    **_rows("ratio", "", **{"mL/g": "mL for each g"}),
    **_rows("", "metric", m="m", cm="cm", mm="mm"),
    **_rows("", "kitchen", inch="in", foot="ft"),
    **_rows("", "", Pa="Pa", **{"kJ/kg": "kJ/kg", "m**3/kg": "m³/kg"}),
    **_rows("", "", percent="%"),
    **_rows("", "", **{"1/mL": "in each mL", "1/hour": "for each hour", "g/mL": "g for each mL", "kg/m**3": "kg/m³"}),
    **_rows("", "", **{"mL/hour": "mL in an hour", "mL/min": "mL in a minute"}),
    **_rows(
        "", "", **{"fl_oz/hour": "fl oz in an hour", "tsp/min": "tsp in a minute", "oz/fl_oz": "oz for each fl oz"}
    ),
    **_rows("", "", **{"m**3/hour": "m³ an hour", "foot**3/min": "cubic feet a minute"}),
    # No units of the registry, but what a dial or a drawn figure can be in.
    **_rows("ratio", "", kept="mL for each g"),  # what the marc keeps: mL/g that nobody writes as 1:r
    **_rows("share", "", share=""),
    **_rows("money", "", money=""),
    **_rows("count", "", **{"": ""}),
}

KIND_OF = {unit: row.kind for unit, row in UNITS.items() if row.kind}


def words(unit: str, number: float = 2.0) -> str:
    """What stands after a number of some unit; "" for a plain number, a share and money.

    unit    a unit of the registry as it is typed in code ("mL/g", "kg/m**3"), or "kept", "share", "money", ""
    number  how many there are: up to 1 of it takes the word for one

    >>> words("fl_oz"), words("cup", 0.5), words("percent_wb"), words("hour"), words("mL/g")
    ('fl oz', 'cup', '% water', 'hours', 'mL for each g')
    """
    row = UNITS[unit]
    return row.one if abs(number) <= 1.0 else row.many


def has_twin(unit: str) -> bool:
    """Whether an amount in this metric unit is said in kitchen measures too.

    >>> has_twin("mL"), has_twin("degC"), has_twin("percent_vol"), has_twin("hour")
    (True, True, False, False)
    """
    return unit in UNITS and UNITS[unit].system == "metric"


def of(system: str, kind: str) -> tuple[str, ...]:
    """The units of one system and kind.

    >>> of("kitchen", "weight")
    ('oz', 'lb')
    """
    return tuple(unit for unit, row in UNITS.items() if (row.system, row.kind) == (system, kind))
