"""Floor 4. How figures and results are put into homework sentences: both systems of units, three figures."""

from __future__ import annotations

from herbcalc.homework.blueprint import Figure
from herbcalc.units import Q, spoken

BY_METRIC = "Work from the g and mL; what stands in brackets is about the same."
METRIC = f"{BY_METRIC} Three figures are enough."
KITCHEN = "Work from the oz and fl oz; what stands in brackets is about the same. Three figures are enough."
OUNCES = 28.349523125 / 29.5735295625  # g in an ounce by weight, over mL in a fluid ounce
PLAIN = "Three figures are enough."


def three(number: float) -> str:
    """A number to three figures, or to whole ones where that is finer; no trailing noughts, no powers of ten.

    >>> three(28.5714), three(1425.3), three(0.48571), three(5.0)
    ('28.6', '1425', '0.486', '5')
    """
    if abs(number) >= 100:
        return f"{number:.0f}"
    text = f"{float(f'{number:.3g}'):.10f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def exact(number: float) -> str:
    """A drawn figure with every digit it has.

    >>> exact(75.5), exact(400.0)
    ('75.5', '400')
    """
    return f"{number:.6f}".rstrip("0").rstrip(".")


def g(number: float) -> str:
    """A weight in grams, said in both systems.

    >>> g(222.2)
    '222 g (7 3/4 oz)'
    """
    return spoken(Q(float(number), "g"))


def mL(number: float) -> str:
    """A volume in mL, said in both systems.

    >>> mL(350)
    '350 mL (11 3/4 fl oz)'
    """
    return spoken(Q(float(number), "mL"))


def vol(share: float) -> str:
    """A strength from a share of 1.

    >>> vol(0.285714)
    '28.6 % vol'
    """
    return f"{three(100 * share)} % vol"


def pct(share: float) -> str:
    """A share of 1 as a percentage; the sentence around it says of what.

    >>> pct(0.8)
    '80 %'
    """
    return f"{three(100 * share)} %"


def one_to(ratio: float) -> str:
    """A ratio as it stands on a label.

    >>> one_to(5.6)
    '1:5.6'
    """
    return f"1:{three(ratio)}"


def kept(per_gram: float) -> str:
    """What herb holds on to, for each gram and for each ounce.

    >>> kept(1.5)
    '1.5 mL for each g (about 1.44 fl oz for each oz)'
    """
    return f"{exact(per_gram)} mL for each g (about {three(per_gram * OUNCES)} fl oz for each oz)"


_BARE = {
    "g": "g",
    "mL": "mL",
    "oz": "oz",
    "fl_oz": "fl oz",
    "degF": "°F",
    "degC": "°C",
    "percent_vol": "% vol",
    "percent_wb": "% water",
    "day": "days",
    "hour": "hours",
    "1/min": "drops a minute",
    "1/mL": "drops to the mL",
    "cm": "cm",
    "": "",
}


def figure_said(figure: Figure, value: float, alone: bool) -> str:
    """A drawn figure as it stands in a prompt: exact in its own system, then "about" in the other.

    `alone` leaves the other system out, for items that ask for exactly that step.
    """
    unit = figure.unit
    if unit == "mL/g":
        return f"1:{exact(value)}" if figure.name not in ("k", "kp", "per_g") else kept(value)
    if unit == "percent_wb":
        return f"{exact(value)} %"
    if unit == "g/mL":
        return f"{exact(value)} g for each mL (about {value / OUNCES:.2f} oz for each fl oz)"
    if unit == "money":
        return f"${value:.2f}"
    here = f"{exact(value)} {_BARE[unit]}".strip()
    if not alone and unit in ("g", "mL"):
        return f"{here} (about {spoken(Q(value, unit), 'kitchen')})"
    if not alone and unit in ("oz", "fl_oz"):
        return f"{here} (about {spoken(Q(value, unit), 'metric')})"
    if not alone and unit in ("degF",):
        return f"{here} (about {three((value - 32) * 5 / 9)} °C)"
    return here
