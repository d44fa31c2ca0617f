"""Floor 5. The cautions that go with strong spirit: the temperature at which its vapour lights, and no distilling."""

from __future__ import annotations

import csv
import functools
import math
from importlib.resources import files

from herbcalc.units import Q
from herbcalc.units.constants import SLACK

FOOD_GRADE = "Only food-grade ethanol goes into a jar, never rubbing, methylated or denatured spirit."


@functools.cache
def _points() -> list[tuple[float, float]]:
    text = (files("herbcalc") / "data" / "flash_points.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return [(float(r["percent"]), float(r["flash_point_degC"])) for r in rows]


def lights_at(strength: float) -> float:
    """The printed flash point, °C, of the next stronger mixture in the list (the safe side); `strength` in % vol.

    >>> lights_at(40), lights_at(75.5), lights_at(95)
    (26.0, 20.0, 13.0)
    """
    return next((point for percent, point in _points() if percent >= strength - SLACK), _points()[-1][1])


def caution(strength: float, shelf: tuple[float, ...]) -> str:
    """What is said the moment a spirit of `strength` % vol is chosen; `shelf` is what can be bought nearby.

    The fire line always stands. A spirit that no shelf here has gets the line on distilling beside it.

    >>> caution(40, (40, 50))
    'The vapour of 40 % vol catches fire from about 26 °C (78 °F): no flame, no pilot light, no hot car, and a \
window open.'
    """
    point = Q(lights_at(strength), "degC")
    fahrenheit = math.floor(point.to("degF").magnitude + SLACK)  # whole degrees, on the safe side
    at = f"{point.magnitude:g} °C ({fahrenheit} °F)"
    fire = (
        f"The vapour of {strength:g} % vol catches fire from about {at}: no flame, no pilot light, no hot car, and a "
        "window open."
    )
    if strength <= max(shelf) + SLACK:
        return fire
    return (
        f"{fire} No shelf here has more than {max(shelf):g} % vol. Never distil at home to get there: it burns "
        "houses down, and without a permit it is against the law nearly everywhere."
    )
