"""Floor 3. The walk, in either direction, and the batch that it gives: all that is known of it."""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

from herbcalc import ethanol, harvest
from herbcalc.batch import figures
from herbcalc.batch.band import Band, Off, Readings, band
from herbcalc.batch.dates import Days, Lasting, Step, calendar
from herbcalc.batch.figures import Figures, Stopped
from herbcalc.batch.label import WITH_ALCOHOL, Label, keeps_until
from herbcalc.batch.ledger import Row, rows
from herbcalc.batch.money import BatchCost, Prices, cost
from herbcalc.batch.nearest import forward_ways, nearest
from herbcalc.batch.order import Basket, Order
from herbcalc.batch.plan import Line, plan
from herbcalc.batch.sheet import sheet
from herbcalc.maceration import Ratio
from herbcalc.units.guard import give
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import said

if TYPE_CHECKING:
    from pandas import DataFrame

NEWS = 0.005  # of what comes out: less is no news beside any jug


class House(Off, Lasting, Protocol):
    """The house rules that a batch goes by: how far each reading may be off, how long each step takes."""


@dataclass(frozen=True)
class Batch:
    """One batch, from the stand to the bottle. Made by `walk_back` and `walk_forward`; nothing in it is rounded.

    order     what is bottled: an Order (after a walk forward its `bottles` need not be whole)
    basket    what is gathered: a Basket
    readings  how far what is read may be off
    days      how long each step takes
    """

    order: Order
    basket: Basket
    readings: Readings
    days: Days
    _found: Figures = field(repr=False, compare=False)

    @property
    def herb(self) -> Any:
        """What goes into the jar, dried or fresh, g."""
        return give(self._found.herb, "g")

    @property
    def menstruum(self) -> Any:
        """What is poured on, mL of the order's spirit."""
        return give(self._found.menstruum, "mL")

    @property
    def finished(self) -> Any:
        """What comes out, mL, by the kitchen rule."""
        return give(self._found.finished, "mL")

    @property
    def strength(self) -> Any:
        """How strong it ends, percent_vol, by the kitchen rule."""
        return give(self._found.strength, "percent_vol")

    @property
    def strength_measured(self) -> Any:
        """How strong it ends, percent_vol, by balance of mass."""
        return give(self._found.measured, "percent_vol")

    @property
    def finished_measured(self) -> Any:
        """What comes out, mL, once spirit and plant water have drawn together: the volume of the ledger's bottles."""
        out = next(row for row in self.rows if row.place == "bottles")
        density = float(ethanol.density(self.strength_measured).magnitude) / 1000.0
        return give((out.water + out.alcohol) / density, "mL")

    @property
    def keeps(self) -> bool:
        """Whether it ends at the floor or above, by the kitchen rule."""
        return figures.keeps(self.order, self._found)

    @property
    def share(self) -> float:
        """Share of the extract in the bottles, plain 0..1; of a drip, of what such a drip can draw."""
        return self._found.share

    @property
    def harvest(self) -> harvest.Plan | None:
        """The basket held against the stand; None where no stand was counted."""
        return figures.stand_plan(self.order, self._found.fresh)

    @functools.cached_property
    def rows(self) -> list[Row]:
        """The ledger as plain rows: step, place, solids, water and alcohol, g."""
        return rows(self.order, self._found)

    @property
    def ledger(self) -> DataFrame:
        """Where each gram is: a table with step, place, solids (g), water (g), alcohol (g).

        In each step the rows not "brought in" sum to those of the step before and what this step brought in. What
        dissolves is counted with the solids, in the marc.

        >>> from herbcalc.units import Q
        >>> walk_back(Order(10, Q(50, "mL"))).ledger.tail(3)["alcohol (g)"].round(1).tolist()
        [193.4, 88.4, 0.0]
        """
        from pandas import DataFrame  # takes long to load, and nothing else here needs it

        return DataFrame(self.rows, columns=["step", "place", "solids (g)", "water (g)", "alcohol (g)"])

    @functools.cached_property
    def band(self) -> Band:
        """How sure it is: what comes out and its strength, each with the range that holds the truth 19 times in 20,
        and the reading that would sharpen it most.

        >>> from herbcalc.units import Q
        >>> sure = walk_back(Order(10, Q(50, "mL"))).band
        >>> round(sure.finished.low, -1), round(sure.finished.high, -1), sure.sharpen
        (370.0, 640.0, 'a larger moisture sample')
        """
        return band(self.order, self._found, self.readings)

    @functools.cached_property
    def plan(self) -> list[Line]:
        """The amounts as they are printed: what one must have rounded up, what one may take or promise down, and the
        batch can still be made with any of them.

        >>> from herbcalc.units import Q
        >>> [line.text for line in walk_back(Order(10, Q(50, "mL"))).plan][:2]
        ['644 g (1 lb 7 3/4 oz)', '143 g (5 1/4 oz)']
        """
        return plan(self.order, self._found)

    def calendar(
        self, day: Any, of: str = "gather", part: str | None = None, hemisphere: str = "north"
    ) -> list[Step]:
        """The days of this batch.

        day         a date, such as Python's
        of          which step falls on it: "gather", "put up" or "bottle", from which the others are counted back
        part        of the plant, as in `harvest.gathering`; None: the season is not looked at
        hemisphere  "north" or "south"

        Result: a list of Step(name, day, text). Refuses: WrongUnit, OutOfRange. Source: common practice for how long
        each step takes (`days`).

        >>> import datetime
        >>> from herbcalc.units import Q
        >>> batch = walk_back(Order(10, Q(50, "mL")))
        >>> [str(step.day) for step in batch.calendar(datetime.date(2026, 9, 1), of="bottle")]
        ['2026-07-28', '2026-08-04', '2026-09-01']
        """
        return calendar(self.order, self.days, day, of, part, hemisphere)

    def cost(self, prices: Prices | Mapping[str, float]) -> BatchCost:
        """What it costs.

        prices  a Prices, or a table of its names; plain money for each mL of menstruum, g of herb, empty bottle

        Result: BatchCost. Refuses: WrongUnit, OutOfRange. Source: plain arithmetic.

        >>> from herbcalc.units import Q
        >>> cost = walk_back(Order(10, Q(50, "mL"))).cost({"menstruum": 0.02, "herb": 0.08, "glass": 1.2})
        >>> round(cost.total, 2), round(cost.each_bottle, 2), round(cost.in_marc, 2)
        (37.71, 3.77, 4.29)
        """
        return cost(self.order, self._found, Prices.of(prices))

    def label(self, day: Any, of: str = "gather", **words: str) -> Label:
        """What stands on one bottle of it: what the walk knows, and the words that are handed over.

        day    a date, such as Python's
        of     which step falls on it, as in `calendar`
        words  common, botanical, part, lot, maker, place, amount, cautions: as in `Label`

        Result: Label; its strength is rounded down to a tenth, and the range that holds the truth 19 times in 20
        stands beside it. What does not keep gets no day until which it does. Refuses: as `calendar` and `Label`.

        >>> import datetime
        >>> from herbcalc.units import Q
        >>> label = walk_back(Order(10, Q(50, "mL"))).label(datetime.date(2026, 7, 14), common="Lemon balm")
        >>> str(label.final), str(label.best_before)
        ('49.0 percent_vol', '2029-08-18')
        """
        days = {step.name: step.day for step in self.calendar(day, of)}
        ends, sure = min(self._found.strength, self._found.measured), self.band.strength
        low, high = (said(end, "percent_vol") for end in (sure.low, sure.high))
        claimed = math.floor(10.0 * ends + 1e-9) / 10.0
        if self.keeps:  # what was rounded only is not under the floor
            claimed = max(claimed, self.order.number("floor"))
        lies = self.order.state == "fresh" and figures.on_tray(self.order)
        wilted = f"Wilted to {said(self._found.water, 'percent_wb')} first. " if lies else ""
        return Label(
            state=self.order.state,
            ratio=Ratio(self.order.ratio, self.order.convention),
            spirit=self.order.spirit,
            final=give(claimed, "percent_vol"),
            volume=self.order.bottle,
            gathered=days["gather"],
            put_up=days["put up"],
            pressed=days["bottle"],
            best_before=keeps_until(WITH_ALCOHOL, days["bottle"])[0] if self.keeps else None,
            also=f"{wilted}Strength 19 times in 20 between {low} and {high}",
            **words,
        )

    def sheet(self, day: Any, of: str = "gather", picture: str = "", name: str = "") -> str:
        """This batch on one page: what to gather, dry, pour and bottle, and when, with the sums shown; HTML text.

        day      a date, such as Python's
        of       which step falls on it, as in `calendar`
        picture  HTML text that stands over the ledger, such as its picture
        name     what the batch is called, in words

        Result: text. Refuses: as `calendar`.

        >>> import datetime
        >>> from herbcalc.units import Q
        >>> "5 1/4 oz" in walk_back(Order(10, Q(50, "mL"))).sheet(datetime.date(2026, 7, 14))
        True
        """
        told = [*self.band.lines(), *self._shrinks()]
        return sheet(self.order, self._found, self.plan, self.calendar(day, of), self.rows, told, picture, name)

    def _shrinks(self) -> list[str]:
        less = self._found.finished - float(self.finished_measured.magnitude)
        if less < NEWS * self._found.finished:
            return []
        return [
            f"Spirit and plant water draw together a little: measured, {said(self._found.finished - less, 'mL')} "
            f"come out, not {said(self._found.finished, 'mL')}, at {said(self._found.measured, 'percent_vol')}."
        ]


def walk_back(
    order: Order,
    prices: Prices | Mapping[str, float] | None = None,
    rules: House | None = None,
    readings: Readings | None = None,
    days: Days | None = None,
) -> Batch:
    """From the bottles back to the stand: what must be gathered for them.

    order     an Order
    prices    what herb, menstruum and glass cost, for the ways out; None: they name no money
    rules     the house rules of a class, which say the next two; None: those of the trade
    readings  how far what is read may be off; None: as the rules say
    days      how long each step takes; None: as the rules say

    Result: Batch, whose basket walks forward to this order again. Refuses: WrongUnit; OutOfRange also for no bottle
    at all; Impossible for a fresh plant that is to drip, a marc that keeps it all, an end under the floor, and more
    plants than the stand allows. `ways_out` then holds the nearest orders that can be made, each a whole `Order` with
    its text, herb, fresh, menstruum, days and money (`Nearest`). Source: the calls of floor 2; kitchen rule for
    volumes and the floor.

    >>> from herbcalc.units import Q
    >>> batch = walk_back(Order(10, Q(50, "mL")))
    >>> print(f"{batch.basket.fresh:.1f~P} fresh, {batch.herb:.1f~P} dried, {batch.menstruum:.1f~P}")
    642.9 g fresh, 142.9 g dried, 714.3 mL
    >>> try:
    ...     walk_back(Order(10, Q(50, "mL"), "fresh", ratio=Q(2, "mL/g"), spirit=Q(40, "percent_vol")))
    ... except Impossible as no:
    ...     print(no.ways_out[0].text)
    Make it 1:5.6. That takes 82 g (3 oz) of fresh plant, 459 mL (15 1/2 fl oz) of 40 % vol and 28 days.
    """
    priced = None if prices is None else Prices.of(prices)
    readings, days = _house(rules, readings, days)
    try:
        found = figures.back(order)
    except Stopped as refusal:
        raise Impossible(str(refusal), nearest(order, days, priced)) from None
    return Batch(order, Basket(fresh=give(found.fresh, "g"), **order.shared), readings, days, found)


def walk_forward(
    basket: Basket,
    prices: Prices | Mapping[str, float] | None = None,
    rules: House | None = None,
    readings: Readings | None = None,
    days: Days | None = None,
) -> Batch:
    """From the basket to the bottle: what can be made of it.

    basket    a Basket
    prices, rules, readings, days  as for `walk_back`

    Result: Batch. It tells what comes out, nothing and too weak included (`keeps`, and `harvest` for the stand); its
    order's `bottles` need not be whole. Refuses: WrongUnit, OutOfRange; Impossible for a fresh plant that is to drip,
    and a ratio that leaves no room for menstruum, with `ways_out` as for `walk_back`. Source: as `walk_back`.

    >>> from herbcalc.units import Q
    >>> batch = walk_forward(Basket(Q(1, "kg"), Q(50, "mL")))
    >>> print(f"{batch.finished:.0f~P}, {batch.order.bottles:.2f} bottles")
    778 mL, 15.56 bottles
    """
    priced = None if prices is None else Prices.of(prices)
    readings, days = _house(rules, readings, days)
    try:
        found = figures.forward(basket)
    except Stopped as refusal:
        raise Impossible(str(refusal), forward_ways(basket, days, priced)) from None
    return Batch(Order(bottles=found.bottles, **basket.shared), basket, readings, days, found)


def _house(rules: House | None, readings: Readings | None, days: Days | None) -> tuple[Readings, Days]:
    """What is said by name goes before the house rules, and those before what is usual."""
    if readings is None:
        readings = Readings() if rules is None else Readings.by_rules(rules)
    if days is None:
        days = Days() if rules is None else Days.by_rules(rules)
    return readings, days
