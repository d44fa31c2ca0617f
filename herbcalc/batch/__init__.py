"""Floor 3. One batch, walked back from the bottles to the stand or forward from the basket to the bottle.

Order, Basket                  the two ends of the walk                          (room: order)
walk_back, walk_forward        the walk, and the Batch that it gives             (rooms: walk, figures)
Nearest                        an order that can be made, for one that cannot    (room: nearest)
Readings, Band                 how far what is read may be off, and what follows (rooms: band, sure)
Days, Prices, BatchCost        how long each step takes, what it costs           (rooms: dates, money)
carried, Range, Reading        how sure any sum is                               (room: sure)
Label, check, keeps_until      what stands on a bottle, and what a label lacks   (room: label)
Stock, class_stock, soak_cost  what a class must have, what a soak costs         (rooms: stock, money)
Behind `Batch` stand also the ledger, the plan in rounded amounts, and the page for the wall (ledger, plan, sheet).
"""

from __future__ import annotations

from herbcalc.batch.band import Band, Readings
from herbcalc.batch.dates import Days, Step
from herbcalc.batch.label import CLAIMS, KEEPING, Label, check, keeps_until
from herbcalc.batch.money import BatchCost, Cost, Prices, alcohol_price, soak_cost
from herbcalc.batch.nearest import Nearest
from herbcalc.batch.order import Basket, Order
from herbcalc.batch.stock import Stock, class_stock, packs_to_buy, scale, students_served
from herbcalc.batch.sure import Range, Reading, carried
from herbcalc.batch.walk import Batch, walk_back, walk_forward

__all__ = [
    "CLAIMS",
    "KEEPING",
    "Band",
    "Basket",
    "Batch",
    "BatchCost",
    "Cost",
    "Days",
    "Label",
    "Nearest",
    "Order",
    "Prices",
    "Range",
    "Reading",
    "Readings",
    "Step",
    "Stock",
    "alcohol_price",
    "carried",
    "check",
    "class_stock",
    "keeps_until",
    "packs_to_buy",
    "scale",
    "soak_cost",
    "students_served",
    "walk_back",
    "walk_forward",
]
