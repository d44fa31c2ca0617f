"""Floor 3. What a tincture costs: its alcohol, each finished mL, each bottle, and the extract of each gram of herb.

Money is a plain number in whatever a class pays with. What the marc keeps was paid for too, so every price here is
one of what is in the bottle. `soak_cost` knows amounts alone, and takes lists; `cost` tells of a whole batch,
dried or fresh, soaked or dripped. Where both can be asked they agree.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, NamedTuple

import numpy as np

from herbcalc.batch.figures import Figures, water_counted
from herbcalc.batch.order import Making
from herbcalc.ethanol import STRENGTH
from herbcalc.maceration import liquid_out
from herbcalc.units.arrays import plain
from herbcalc.units.guard import RETAINED, VOLUME, WEIGHT, Kind, guarded, take
from herbcalc.units.refusals import OutOfRange, WrongUnit, one_of
from herbcalc.units.registry import Q

MONEY = Kind("an amount of money", "", "25", low=0.0, plain=True)
NO_BOTTLE = Q(0.0, "mL")


class Cost(NamedTuple):
    """Money, plain: herb and menstruum together, no glass; of that what the marc holds; and by what is in the bottle:
    for each mL, for each bottle with its glass, for the extract of each g of herb."""

    total: Any
    in_marc: Any
    each_mL: Any
    each_bottle: Any
    each_worth: Any


@guarded(price=MONEY, pack=VOLUME.more_than_none, strength=STRENGTH.more_than_none)
def alcohol_price(price: Any, pack: Any, strength: Any) -> Any:
    """What one mL of pure alcohol costs in a bottle of spirit: what two spirits are compared by.

    price     of the bottle, plain, 0 or more
    pack      what it holds, mL, more than 0
    strength  of the spirit, percent_vol or percent_mass, more than 0, 100 at most

    Result: money for each mL of pure alcohol, plain. Refuses: WrongUnit, OutOfRange. Source: plain arithmetic.

    >>> round(alcohol_price(15, Q(750, "mL"), Q(40, "percent_vol")), 4)
    0.05
    >>> round(alcohol_price(25, Q(750, "mL"), Q(95, "percent_vol")), 4)
    0.0351
    """
    return plain(np.divide(price, pack * strength / 100.0))


@guarded(
    herb=WEIGHT.more_than_none,
    menstruum=VOLUME.more_than_none,
    retained=RETAINED,
    herb_price=MONEY,
    menstruum_price=MONEY,
    bottle=VOLUME,
    glass=MONEY,
)
def soak_cost(
    herb: Any,
    menstruum: Any,
    retained: Any,
    herb_price: Any,
    menstruum_price: Any,
    bottle: Any = NO_BOTTLE,
    glass: Any = 0.0,
) -> Cost:
    """What one soak of dried herb costs, the marc's share counted.

    herb             weight of the dried herb, g, more than 0
    menstruum        poured on, mL, more than 0
    retained         what the marc keeps, mL/g, 0 or more
    herb_price       money for each g of herb, plain, 0 or more
    menstruum_price  money for each mL of menstruum, plain, 0 or more
    bottle           what is filled into one bottle, mL, 0 or more
    glass            money for one empty bottle, plain, 0 or more

    Result: Cost. Where the marc keeps all, there is no end to the cost of what is in the bottle (inf). Refuses:
    WrongUnit, OutOfRange. Source: plain balance; `compare.ways` gives the same for each gram of herb's extract.

    >>> cost = soak_cost(Q(100, "g"), Q(500, "mL"), Q(1.5, "mL/g"), 0.08, 0.02, Q(60, "mL"), 1.2)
    >>> cost.total, cost.in_marc, round(cost.each_mL, 4), round(cost.each_bottle, 2), round(cost.each_worth, 3)
    (18.0, 3.0, 0.0514, 4.29, 0.257)
    """
    out = liquid_out.plain(herb, menstruum, retained, 0.0)
    total = herb * herb_price + menstruum * menstruum_price
    in_marc = (menstruum - out) * menstruum_price
    with np.errstate(divide="ignore", invalid="ignore"):
        each = np.where(out > 0.0, np.divide(total, out), np.inf)
        bottled = np.where(np.asarray(bottle) > 0.0, each * bottle, 0.0) + glass
        # One soak brings out the same share of the extract as of the liquid.
        worth = each * menstruum / herb
    return Cost(plain(total), plain(in_marc), plain(each), plain(bottled), plain(worth))


@dataclass(frozen=True)
class Prices:
    """What a thing costs, plain; 0 for what costs nothing, such as a plant from one's own garden.

    menstruum  money for each mL of it, 0 or more
    herb       money for each g as it goes into the jar, 0 or more
    glass      money for one empty bottle, 0 or more

    Refuses: WrongUnit; OutOfRange also for lists.

    >>> Prices(menstruum=25 / 750).total(herb=100.0, menstruum=750.0, bottles=5.0)
    25.0
    """

    menstruum: float = 0.0
    herb: float = 0.0
    glass: float = 0.0

    def __post_init__(self) -> None:
        for part in fields(self):
            number = take(part.name, MONEY, getattr(self, part.name))
            if np.ndim(number):
                raise OutOfRange(f"{part.name}: one price is wanted, such as 0.03, and a list was given.")
            object.__setattr__(self, part.name, float(number))

    @classmethod
    def of(cls, prices: Prices | Mapping[str, float]) -> Prices:
        """The prices, or those in a table by name.

        >>> Prices.of({"glass": 1.2}).glass
        1.2
        """
        if isinstance(prices, Prices):
            return prices
        if not isinstance(prices, Mapping):
            raise WrongUnit(
                'prices: a table by name is needed, such as {"menstruum": 0.03, "herb": 0.08, "glass": 1.2}.'
            )
        for name in prices:
            one_of("prices", name, [part.name for part in fields(cls)])
        return cls(**prices)

    def total(self, herb: float, menstruum: float, bottles: float) -> float:
        """Money for so many g, mL and bottles (a begun bottle is a bottle)."""
        return herb * self.herb + menstruum * self.menstruum + math.ceil(round(bottles, 9)) * self.glass


class BatchCost(NamedTuple):
    """Money, plain: in all; by herb, menstruum and glass; what of the menstruum stays in the marc; and what one
    finished mL, one bottle, one mL of pure alcohol in the menstruum, and the extract of one g of herb come to. What
    nothing comes out of has no end to its cost (inf)."""

    total: float
    herb: float
    menstruum: float
    glass: float
    in_marc: float
    each_mL: float
    each_bottle: float
    each_mL_of_alcohol: float
    each_worth: float


def cost(making: Making, found: Figures, prices: Prices) -> BatchCost:
    """The sums of `Batch.cost`."""
    herb, menstruum = prices.total(found.herb, 0.0, 0.0), prices.total(0.0, found.menstruum, 0.0)
    glass = prices.total(0.0, 0.0, found.bottles)
    held = herb + menstruum
    there = found.menstruum + found.herb * water_counted(making) / 100.0
    kept = max(found.menstruum * (1.0 - found.finished / there), 0.0)
    each = _over(held, found.finished)
    return BatchCost(
        total=held + glass,
        herb=herb,
        menstruum=menstruum,
        glass=glass,
        in_marc=kept * prices.menstruum,
        each_mL=each,
        each_bottle=each * making.number("bottle") + prices.glass,
        each_mL_of_alcohol=_over(prices.menstruum, making.number("spirit") / 100.0),
        each_worth=_over(held, found.share * found.herb),
    )


def _over(money: Any, amount: float) -> float:
    return float(money / amount) if amount > 0.0 else float("inf")
