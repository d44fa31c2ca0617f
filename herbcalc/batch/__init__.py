"""Floor 3. One batch, walked back from the bottles to the stand or forward from the basket to the bottle.

Order, Basket                  the two ends of the walk                          (room: order)
walk_back, walk_forward        the walk, and the Batch that it gives             (rooms: walk, figures)
Nearest                        an order that can be made, for one that cannot    (room: nearest)
Readings, Band                 how far what is read may be off, and what follows (rooms: band, sure)
Days, Prices, BatchCost        how long each step takes, what it costs           (rooms: dates, money)
carried, Range, Reading        how sure any sum is                               (room: sure)
Label, check, keeps_until      what stands on a bottle, and what a label lacks   (room: label)
Bench, compare                 what the bench gave beside what was predicted      (room: bench)
Stock, class_stock, soak_cost  what a class must have, what a soak costs         (rooms: stock, money)
Clash, pages_agree             a plan as it is written, its pages held against each other (rooms: pages, links, agree)
Behind `Batch` stand also the ledger, the plan in rounded amounts, and the page for the wall (ledger, plan, sheet).
"""

from __future__ import annotations

from herbcalc.batch.agree import Clash
from herbcalc.batch.agree import check as pages_agree
from herbcalc.batch.band import Band, Readings
from herbcalc.batch.bench import Bench, Beside, Compared, compare
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
    "Bench",
    "Beside",
    "Clash",
    "Compared",
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
    "compare",
    "keeps_until",
    "packs_to_buy",
    "pages_agree",
    "scale",
    "soak_cost",
    "students_served",
    "walk_back",
    "walk_forward",
]
