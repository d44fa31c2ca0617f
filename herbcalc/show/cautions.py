"""Floor 5. The cautions that several lessons share: fire and distilling, weak jars and wet marc, damp herb, wilting,
dust and hairs, what ferments or misses its line, water under oil, hot wax, whom to ask before anything is taken,
spirit by the litre, what goes with a price."""

from __future__ import annotations

import csv
import functools
import math
from importlib.resources import files

from herbcalc.units import Q
from herbcalc.units.constants import SLACK
from herbcalc.units.saying import said

FOOD_GRADE = "Only food-grade ethanol goes into a jar, never rubbing, methylated or denatured spirit."
WET_MARC = "Never dry a wet marc on heat: its vapour burns."
HAIRS = "Rub the itchy hairs out of rosehips before you grind, and wear a dust mask."
FERMENTS = "What is wetter than its line ferments: keep it cold and its lid loose. Gas bursts a closed jar."
MISSED = "Do not keep a jar that misses its line; if it smells off, moulds or makes gas, throw it away."
LEAVE = "Of a wild plant that is at risk take nothing; leave of the land first, and your local code over any sum."
DAMP = "Damp herb moulds in a closed jar: it is dry when stems snap and two weighings a day apart agree."
WILTING = "A plant wilts thin, in shade and moving air: a heap of it heats and moulds, and what has is thrown away."
DUST = "Rub or grind dried herb with a dust mask on."
DRIED_TO_EAT = (
    "For eating, only dried herb goes under oil: fresh plant or garlic there can bring botulism, which nobody "
    "sees, smells or tastes."
)
WATER_BATH = (
    "Hot oil and wax burn the skin: a water bath with a thermometer, never a flame, and the glass warmed first."
)
UNDER_OIL = (
    "Water lies under this oil: pour the clear oil off it, keep it cold, for the skin alone, and throw it away if it "
    "clouds, smells sour or moulds."
)
STORED = (
    "Spirit by the litre (quart) stands in glass, cool, closed and low, where no flame, pilot light or sun comes; "
    "bring out what today needs."
)
IN_GLASS = "Strong alcohol draws on plastic: glass for it, and no plastic lid."
SELLING = (
    "A sum for teaching, no advice: what may be made, claimed and sold differs by place (in the US good practice for "
    "dietary supplements, label law, tax on spirits used). Ask where you are before you sell."
)
ASK_FIRST = (
    "Ask a qualified person first in pregnancy or nursing, for a child, with liver trouble, before surgery, in "
    "recovery from alcohol, or with any medicine: blood thinners, sedatives, for diabetes, heart, seizures, HIV, "
    "a transplant, contraception."
)
BEFORE_TASTING = (
    "Before any tasting: not in pregnancy, not with medicines, and not where alcohol is no longer for you. Smell "
    "instead."
)
NOT_ADVICE = (
    "These are sums for a class, no advice: no amount is proposed here. Law on practice, claims and selling "
    "differs by place."
)
WEAK = "Do not keep a jar that is under the floor; if it smells off, bubbles or moulds, throw it away."

LITRE = 1000.0  # mL


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


def lights(strength: float) -> str:
    """When the vapour of a spirit lights, in words; whole degrees, on the safe side.

    >>> lights(95)
    '95 % vol catches fire from about 13 °C (55 °F)'
    """
    point = Q(lights_at(strength), "degC")
    fahrenheit = math.floor(point.to("degF").magnitude + SLACK)
    return f"{strength:g} % vol catches fire from about {point.magnitude:g} °C ({fahrenheit} °F)"


def cold(days: float) -> str:
    """What is said of fresh herb or garlic in oil that is to be eaten: cold from the first hour, and for how long.

    >>> cold(4)[:57]
    'In the refrigerator from the first hour, and gone after 4'
    """
    return (
        f"In the refrigerator from the first hour, and gone after {said(days, 'day')} at most; then throw it "
        "away, even if it smells good."
    )


def weak(floor: float, *strengths: float) -> str:
    """What is said of a jar that ends, by any of the `strengths` in % vol, under the class's floor; "" of others.

    >>> weak(35, 34.9, 35.1)[:27], weak(35, 35.0)
    ('Do not keep a jar that is u', '')
    """
    return WEAK if min(strengths) < floor - SLACK else ""


def stored(volume: float) -> str:
    """What is said of so many mL of spirit in one place: from a litre on it is a store, and no bottle; "" below.

    >>> stored(1000) == STORED, stored(999)
    (True, '')
    """
    return STORED if volume >= LITRE - SLACK else ""


def stronger(strength: float, shelf: tuple[float, ...]) -> str:
    """What goes with a way out that pours the strongest spirit of the `shelf` into a jar of a weaker one; "" where
    that lights no sooner than the `strength` in % vol that was chosen.

    >>> stronger(40, (40, 95)), stronger(95, (40, 95))
    ('What makes it stronger lights sooner: the vapour of 95 % vol catches fire from about 13 °C (55 °F).', '')
    """
    top = max(shelf)
    if lights_at(top) >= lights_at(strength):
        return ""
    return f"What makes it stronger lights sooner: the vapour of {lights(top)}."


def caution(strength: float, shelf: tuple[float, ...]) -> str:
    """What is said the moment a spirit of `strength` % vol is chosen; `shelf` is what can be bought nearby.

    The fire line always stands. A spirit that no shelf here has gets the line on distilling beside it.

    >>> caution(40, (40, 50))
    'The vapour of 40 % vol catches fire from about 26 °C (78 °F): no flame, no pilot light, no hot car, and a \
window open.'
    """
    fire = f"The vapour of {lights(strength)}: no flame, no pilot light, no hot car, and a window open."
    if strength <= max(shelf) + SLACK:
        return fire
    return (
        f"{fire} No shelf here has more than {max(shelf):g} % vol. Never distil at home to get there: it burns "
        "houses down, and without a permit it is against the law nearly everywhere."
    )
