"""Floor 4. How figures and results are put into homework sentences: both systems of units, three figures."""

from __future__ import annotations

from herbcalc.homework.blueprint import Figure
from herbcalc.units import Q, said, spoken
from herbcalc.units.constants import FL_OZ_PER_OZ, SLACK
from herbcalc.units.words import words

BY_METRIC = "Work from the g and mL; what stands in brackets is about the same."
METRIC = f"{BY_METRIC} Three figures are enough."
KITCHEN = "Work from the oz and fl oz; what stands in brackets is about the same. Three figures are enough."
PLAIN = "Three figures are enough."

# Sentences that stand in the prompts of more than one item.
PLANT_WATER = "Count 1 g of plant water as 1 mL (1 oz as about 1 fl oz)."
POURED = "The ratio is mL of spirit poured for each g of plant as it is weighed."
ADDED = "The ratio is mL of menstruum added for each g of herb as weighed."
SAFE = "Food-grade spirit only, and no flame near strong spirit."

G_PER_OZ = float(Q(1.0, "oz").to("g").magnitude)
ML_PER_FL_OZ = float(Q(1.0, "fl_oz").to("mL").magnitude)


def half_up(number: float) -> float:
    """A hair more than the number, so that a half goes up, as people round and as amounts are spoken, and not to the
    even one: in a sum the same amount stands as the same number.

    >>> round(half_up(214.5)), round(half_up(0.65 * 330))
    (215, 215)
    """
    return number * (1 + SLACK)


def three(number: float) -> str:
    """A number to three figures, or to whole ones where that is finer; no trailing noughts, no powers of ten.

    >>> three(28.5714), three(1425.3), three(0.48571), three(5.0), three(144.5)
    ('28.6', '1425', '0.486', '5', '145')
    """
    if abs(number) >= 100:
        return f"{round(half_up(number))}"
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
    return said(number, "g")


def mL(number: float) -> str:
    """A volume in mL, said in both systems.

    >>> mL(350)
    '350 mL (11 3/4 fl oz)'
    """
    return said(number, "mL")


def in_both(figures: str, number: float, unit: str) -> str:
    """An amount in g or mL whose figures are written out already, and the kitchen side where there is a fair one.

    >>> in_both("169.9", 169.9, "mL")
    '169.9 mL (5 3/4 fl oz)'
    """
    _, bracket, kitchen = said(number, unit).partition(" (")
    return f"{figures} {unit}{bracket}{kitchen}"


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
    return f"{exact(per_gram)} mL for each g (about {three(per_gram * FL_OZ_PER_OZ)} fl oz for each oz)"


def g100() -> str:
    """The hundred grams that many paths begin with."""
    return "100 g (3 1/2 oz)"


def oz_each(g_per_mL: float, places: int) -> str:
    """A density on the kitchen side.

    >>> oz_each(0.8, 2)
    'about 0.83 oz for each fl oz'
    """
    return f"about {g_per_mL / FL_OZ_PER_OZ:.{places}f} oz for each fl oz"


_DROPS = {"1/min": "drops a minute", "1/mL": "drops to the mL"}  # all that is counted so in homework


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
        return f"{exact(value)} g for each mL ({oz_each(value, 2)})"
    if unit == "money":
        return f"${value:.2f}"
    here = f"{exact(value)} {_DROPS.get(unit) or words(unit, value)}".strip()
    if not alone and unit in ("g", "mL"):
        kitchen = spoken(Q(value, unit)).partition(" (")[2].removesuffix(")")  # "" where no kitchen measure is fair
        return f"{here} (about {kitchen})" if kitchen else here
    if not alone and unit in ("oz", "fl_oz"):
        return f"{here} (about {spoken(Q(value, unit), 'metric')})"
    if not alone and unit == "degF":
        return f"{here} (about {three((value - 32) * 5 / 9)} °C)"
    return here
