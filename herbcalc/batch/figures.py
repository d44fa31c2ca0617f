"""Floor 3. The sums of one walk, bare: from an order or a basket to each amount on the way. g, mL, % vol, % water.

Dried herb is weighed as it is, and what its marc keeps is counted for each gram of that, as the trade does: its own
tenth of water stays with it. It does thin the spirit, though, and stands in the ledger.
"""

from __future__ import annotations

from typing import NamedTuple

from herbcalc import harvest, maceration, menstruum, moisture, percolation
from herbcalc.batch.order import Basket, Making, Order
from herbcalc.units.arrays import at_least, below
from herbcalc.units.guard import give
from herbcalc.units.refusals import Impossible, OutOfRange
from herbcalc.units.saying import per_gram, said


class Stopped(Impossible):
    """What cannot be made, and what it is that stops it: "fresh drip", "nothing out", "floor" or "stand"."""

    def __init__(self, cause: str, sentence: str) -> None:
        super().__init__(sentence)
        self.cause = cause


class Figures(NamedTuple):
    """The amounts of a walk: basket and herb as it goes into the jar (g), its water (% wb), menstruum, all the liquid
    in the jar and what comes out (mL), bottles, strength by either rule (% vol), share of the extract (0 to 1)."""

    fresh: float
    herb: float
    water: float
    menstruum: float
    liquid: float
    finished: float
    bottles: float
    strength: float
    measured: float
    share: float

    @property
    def each(self) -> float:
        """Menstruum for each gram as it goes in, mL/g."""
        return self.menstruum / self.herb


def water_in_jar(making: Making) -> float:
    """Moisture of the plant as it goes in: dried, wilted or as gathered; what is drier already stays as it is."""
    own = making.number("water")
    to = making.number("dried_to") if making.state == "dried" else making.bare["wilted"]
    return own if to is None else min(to, own)


def on_tray(making: Making) -> bool:
    """Whether the plant lies on a tray before it goes in, to dry or to wilt."""
    return making.state == "dried" or water_in_jar(making) < making.number("water")


def water_counted(making: Making) -> float:
    """Moisture that the sums of yield count: none for dried herb, which is weighed as it is."""
    return water_in_jar(making) if making.state == "fresh" else 0.0


def off_the_tray(making: Making, fresh: float) -> float:
    """What a basket weighs once it goes in, g."""
    return float(moisture.dried_weight.plain(fresh, making.number("water"), water_in_jar(making)))


def read(making: Making, ratio: float, given: str, wanted: str) -> float:
    """A ratio for this plant in another reading; mL/g."""
    wet = water_in_jar(making) if "dry" in (given, wanted) else water_counted(making)
    return float(maceration.read_ratio.plain(ratio, given, wanted, wet, making.number("retained")))


def kept_each(making: Making) -> float:
    """What must be poured on each gram before anything comes out; below 0 where the plant's own water runs over."""
    w = water_counted(making) / 100.0
    return making.number("retained") * (1.0 - w) - w


def poured(making: Making) -> float:
    """Menstruum for each gram as it goes in, mL/g."""
    if making.state == "fresh" and making.method == "drip":
        raise Stopped(
            "fresh drip",
            "A fresh plant cannot drip: it packs into a wet lump that no liquid runs through, and its water would "
            "thin the percolate. Dried, as a powder, it drips; fresh, it soaks.",
        )
    try:
        return read(making, making.number("ratio"), making.convention, "added")
    except Impossible as refusal:
        told = str(refusal).removeprefix("ratio: ")
        raise Stopped("nothing out", told[0].upper() + told[1:]) from None


def of_herb(making: Making, fresh: float, herb: float, each: float) -> Figures:
    """Everything from the herb as it goes in, with `each` mL of menstruum for each gram of it."""
    wet, retained = water_in_jar(making), making.number("retained")
    menstruum_ = each * herb
    finished = float(maceration.liquid_out.plain(herb, menstruum_, retained, water_counted(making)))
    ends = [
        float(menstruum.final_strength.plain(herb, wet, menstruum_, making.number("spirit"), rule))
        for rule in ("kitchen", "measured")
    ]
    if making.method == "drip":
        share = float(percolation.share_after.plain(finished / herb, float(percolation.WASHING.magnitude)))
    else:
        share = float(maceration.share_extracted.plain(herb, [menstruum_], retained, water_counted(making)))
    return Figures(
        fresh=fresh,
        herb=herb,
        water=wet,
        menstruum=menstruum_,
        liquid=menstruum_ + herb * wet / 100.0,
        finished=finished,
        bottles=finished / making.number("bottle"),
        strength=ends[0],
        measured=ends[1],
        share=share,
    )


def forward(basket: Basket) -> Figures:
    """From the basket to the bottle: tells what comes out, none and too weak included."""
    each = poured(basket)
    fresh = basket.number("fresh")
    return of_herb(basket, fresh, off_the_tray(basket, fresh), each)


def back(order: Order) -> Figures:
    """From the bottle to the basket; raises Stopped for what cannot be made."""
    wanted = order.number("bottles") * order.number("bottle")
    if wanted <= 0.0:
        raise OutOfRange("bottles: none was ordered, so there is nothing to gather. One bottle or more would work.")
    each = poured(order)
    keeps = kept_each(order)
    if not each > keeps:
        raise Stopped(
            "nothing out",
            f"At 1:{said(order.number('ratio'), '')} nothing comes out: each gram gets {per_gram(each)}, and the "
            f"marc keeps as much or more. A wider ratio or a harder press would work.",
        )
    herb = wanted / (each - keeps)
    found = of_herb(order, fresh_for(order, herb), herb, each)
    _hold_the_floor(order, found)
    _keep_within_the_stand(order, found)
    return found


def fresh_for(making: Making, herb: float) -> float:
    """The basket for so much herb as it goes in, g."""
    return float(moisture.fresh_weight.plain(herb, making.number("water"), water_in_jar(making)))


def keeps(making: Making, found: Figures) -> bool:
    """Whether it ends at the floor or above, by the kitchen rule."""
    return bool(at_least(found.strength, making.number("floor")))


def _hold_the_floor(order: Order, found: Figures) -> None:
    if keeps(order, found):
        return
    spirit, floor = order.number("spirit"), order.number("floor")
    why = (
        f"and the spirit has only {said(spirit, 'percent_vol')} before it meets the plant"
        if below(spirit, floor)
        else f"because the plant that goes in holds {said(found.water, 'percent_wb')}"
    )
    raise Stopped(
        "floor",
        f"This ends at {said(found.strength, 'percent_vol')}, under your floor of {said(floor, 'percent_vol')}, "
        f"{why}. A stronger spirit, more of it for each gram, or a drier plant are the ways to look at.",
    )


def stand_plan(making: Making, fresh: float) -> harvest.Plan | None:
    """The basket held against the stand; None where no stand was counted."""
    if making.bare["stand"] is None:
        return None
    per_plant = give(making.number("per_plant"), "g")
    return harvest.plan(give(fresh, "g"), per_plant, making.number("stand"), making.of_stand)


def _keep_within_the_stand(order: Order, found: Figures) -> None:
    plan = stand_plan(order, found.fresh)
    if plan is not None and not plan.enough:
        raise Stopped("stand", plan.reason)
