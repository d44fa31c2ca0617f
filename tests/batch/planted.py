"""Faults planted in sound plans: one figure that a person might write, and what honestly follows from it.

Each fault has the page and the box where it arises. `carried` works on from it as its writer would, so that it can be
seen only where it was made; a fault that is `bare` leaves the other pages as they were.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable
from typing import Any, NamedTuple

from herbcalc.batch.pages import PLACES
from herbcalc.units import Q

GRAMS, FL_OZ = 28.349523125, 29.5735295625
Plan = dict[str, Any]


class Fault(NamedTuple):
    """What is written instead; None where it does not come into this plan, or cannot be told from a rounding."""

    box: str
    page: str
    write: Callable[[Plan], Any]
    carried: bool = True


def _bare(value: Any) -> float:
    if not hasattr(value, "to"):
        return float(value)
    for unit in ("g", "mL", "percent_vol", "percent_wb", "mL/g"):
        if value.is_compatible_with(unit):
            return float(value.to(unit).magnitude)
    return float(value.magnitude)


def _wet(plan: Plan) -> float:
    dry = _bare(plan["sample_dry"]) / _bare(plan["sample_fresh"])
    return 1.0 - dry if plan["state"] == "fresh" else 0.0


def _fresh(plan: Plan) -> bool:
    return plan["state"] == "fresh"


def _kitchen(plan: Plan) -> bool:
    return str(plan["menstruum"].units) in ("fluid_ounce", "fl_oz", "quart", "cup")


FAULTS: dict[str, Fault] = {
    "wet for dry basis": Fault(
        "tray",
        "drying",
        lambda p: None if _fresh(p) else Q(_bare(p["basket"]) / (1.0 + _bare(p["water"]) / 100.0), "g"),
    ),
    "heavier when dry": Fault(
        "tray",
        "drying",
        lambda p: None if _fresh(p) else Q(_bare(p["basket"]) / (1.0 - _bare(p["water"]) / 100.0), "g"),
    ),
    "the tenth that stays forgotten": Fault(
        "tray",
        "drying",
        lambda p: None if _fresh(p) else Q(_bare(p["basket"]) * (1.0 - _bare(p["water"]) / 100.0), "g"),
    ),
    "the sample's share turned round": Fault(
        "water",
        "drying",
        lambda p: Q(100.0 * _bare(p["sample_dry"]) / _bare(p["sample_fresh"]), "percent_wb"),
        False,
    ),
    "marc forgotten": Fault("out", "yield", lambda p: Q(_bare(p["menstruum"]) + _bare(p["herb"]) * _wet(p), "mL")),
    "marc counted on the fresh weight": Fault(
        "kept", "yield", lambda p: Q(_bare(p["retained"]) * _bare(p["herb"]), "mL") if _fresh(p) else None
    ),
    "the plant's water not counted in what comes out": Fault(
        "out",
        "yield",
        lambda p: (
            Q(_bare(p["menstruum"]) - _bare(p["retained"]) * _bare(p["herb"]) * (1 - _wet(p)), "mL")
            if _fresh(p)
            else None
        ),
    ),
    "the plant's water not counted in the strength": Fault(
        "strength", "yield", lambda p: p["poured"] if _fresh(p) else None
    ),
    "the mean of two strengths": Fault(
        "strength",
        "yield",
        lambda p: Q(_bare(p["poured"]) / 2.0, "percent_vol") if _bare(p["poured"]) > 80.0 else None,
    ),
    "ounces by weight for fluid ounces": Fault(
        "menstruum",
        "jar",
        lambda p: (
            Q(_bare(p["ratio"]) * _bare(p["herb"]) / GRAMS, "fl_oz")
            if _kitchen(p) and _bare(p["herb"]) > 300.0
            else None
        ),
    ),
    "the ratio turned round": Fault("menstruum", "jar", lambda p: Q(_bare(p["herb"]) / _bare(p["ratio"]), "mL")),
    "parts in all for parts of menstruum": Fault(
        "menstruum", "jar", lambda p: Q(_bare(p["herb"]) * (_bare(p["ratio"]) - 1.0), "mL")
    ),
    "ten times as much": Fault("menstruum", "jar", lambda p: 10 * p["menstruum"], False),
    "spirit not cut": Fault(
        "strong",
        "jar",
        lambda p: p["menstruum"] if _bare(p["poured"]) < 0.9 * _bare(p["shelf"]) else None,
    ),
    "water for the cut left out": Fault(
        "added",
        "jar",
        lambda p: (
            Q(_bare(p["strong"]) * _bare(p["poured"]) / _bare(p["shelf"]), "mL")
            if _bare(p["poured"]) < 0.8 * _bare(p["shelf"])
            and abs(
                _bare(p["strong"])
                * _bare(p["poured"])
                / _bare(p["shelf"])
                / (_bare(p["menstruum"]) - _bare(p["strong"]))
                - 1
            )
            > 0.3
            else None
        ),
        False,
    ),
    "stronger than the shelf": Fault(
        "poured", "jar", lambda p: Q(min(1.3 * _bare(p["shelf"]), 99.9), "percent_vol"), False
    ),
    "the share of the stand ignored": Fault("allowed", "harvest", lambda p: p["count"]),
    "more than the share allows": Fault("gather", "harvest", lambda p: p["allowed"] + 5),
    "the basket larger than its plants": Fault(
        "basket", "harvest", lambda p: 1.6 * p["basket"] + 3 * p["per_plant"], False
    ),
    "left standing counts the share": Fault("left", "harvest", lambda p: p["count"] - p["allowed"] - 3),
    "a plant at risk is gathered": Fault("at_risk", "gate", lambda p: True, False),
    "more herb than lies on the tray": Fault("herb", "jar", lambda p: 1.5 * p["herb"], False),
    "bottles by what was poured": Fault(
        "bottles",
        "bottles",
        lambda p: math.floor((_bare(p["menstruum"]) + _bare(p["herb"])) / _bare(p["size"])) + 1,
    ),
    "fewer bottles than ordered": Fault("bottles", "bottles", lambda p: p["ordered"] - 1, False),
    "half of it in no bottle": Fault("bottles", "bottles", lambda p: p["bottles"] // 2 if p["bottles"] > 7 else None),
    "half of the herb nowhere": Fault("herb", "jar", lambda p: 0.5 * p["herb"] if p["gather"] > 2 else None),
    "a label that promises the middle": Fault(
        "label", "bottles", lambda p: Q(_bare(p["strength_low"]) + 3.0, "percent_vol")
    ),
    "a range that leaves out the middle": Fault("out_low", "yield", lambda p: 1.2 * p["out"]),
    "in the jar before it is gathered": Fault(
        "put_up", "calendar", lambda p: p["gathered"] - datetime.timedelta(days=3), False
    ),
    "bottled before it is in the jar": Fault(
        "bottled", "calendar", lambda p: p["put_up"] - datetime.timedelta(days=1), False
    ),
    "keeps for ever": Fault("best_before", "calendar", lambda p: p["bottled"].replace(year=2040), False),
    "gathered in another month": Fault(
        "gathered", "calendar", lambda p: p["gathered"].replace(month=p["gathered"].month - 2), False
    ),
    "too few bottles of spirit": Fault(
        "packs",
        "money",
        lambda p: math.floor(0.9 * _bare(p["strong"]) / _bare(p["pack"])),
        False,
    ),
    "a bottle's price for each mL": Fault(
        "spirit_cost", "money", lambda p: round(_bare(p["strong"]) * p["price"] / 100.0, 2) + 500.0
    ),
    "glass for one bottle only": Fault("glass_cost", "money", lambda p: p["glass"] if p["bottles"] > 1 else None),
    "glass left out of the sum": Fault(
        "total", "money", lambda p: p["total"] - p["glass_cost"] if p["glass_cost"] > 0.05 * p["total"] else None
    ),
    "over the budget": Fault("budget", "money", lambda p: 0.9 * p["total"], False),
    "shared out over the plants": Fault("each", "money", lambda p: round(p["total"] / (3 * p["bottles"]), 2), False),
    "8 of every 100 wetter": Fault(
        "rain_water", "rain", lambda p: Q(0.9 * _bare(p["rain_water"]), "percent_wb"), False
    ),
    "the old tray after rain": Fault(
        "rain_tray",
        "rain",
        lambda p: None if _fresh(p) else 1.1 * p["tray"] * (_bare(p["rain_basket"]) / _bare(p["basket"])),
        False,
    ),
    "the old jar after rain": Fault("rain_menstruum", "rain", lambda p: 1.3 * p["rain_menstruum"], False),
    "the old strength after rain": Fault(
        "rain_strength",
        "rain",
        lambda p: p["strength"] if _bare(p["strength"]) > _bare(p["rain_strength"]) + 3.0 else None,
        False,
    ),
}
# The boxes that may be told, where another is written in, or where two speak against each other alone.
ARISES = {"at_risk": ("gather",), "budget": ("total",), "basket": ("basket", "gather")}


def planted(plan: Plan, name: str) -> Plan | None:
    """The plan with this fault in it, carried on; None where it does not come into this plan."""
    fault = FAULTS[name]
    try:
        wrote = fault.write(plan)
    except KeyError:  # a box that this plan leaves empty
        return None
    if wrote is None:
        return None
    found = plan | {fault.box: wrote}
    return _carry(found, fault.box) if fault.carried else found


def _carry(p: Plan, box: str) -> Plan:
    """What its writer makes of it on the pages after."""
    p = dict(p)
    if box == "tray":
        p["herb"] = p["tray"]
    if box in ("tray", "herb"):
        p["menstruum"] = Q(_bare(p["ratio"]) * _bare(p["herb"]), "mL")
    if box in ("tray", "herb", "menstruum"):
        _jar(p)
    if box in ("tray", "herb", "menstruum", "kept"):
        p["out"] = Q(max(_bare(p["menstruum"]) + _bare(p["herb"]) * _wet(p) - _bare(p["kept"]), 0.0), "mL")
    if box in ("tray", "herb", "menstruum", "strength"):
        p["strength_low"] = p["label"] = 0.9 * p["strength"]
        p["strength_high"] = Q(100.0, "percent_vol")
    if box in ("tray", "herb", "menstruum", "kept", "out"):
        p["out_low"], p["out_high"] = 0.8 * p["out"], 1.2 * p["out"]
        p["bottles"] = math.floor(_bare(p["out"]) / _bare(p["size"]))
        p["ordered"] = min(p["ordered"], p["bottles"])
        p = {name: value for name, value in p.items() if not name.startswith("rain_")}
    if box == "bottles":
        p["ordered"] = min(p["ordered"], p["bottles"])
    if box == "strong":
        p["added"] = Q(max(_bare(p["menstruum"]) - _bare(p["strong"]), 0.0), "mL")
    _money(p, box)
    return p


def _jar(p: Plan) -> None:
    brings = _bare(p["herb"]) * (_wet(p) or 0.1)
    p["strong"] = Q(_bare(p["menstruum"]) * _bare(p["poured"]) / _bare(p["shelf"]), "mL")
    p["added"] = Q(_bare(p["menstruum"]) - _bare(p["strong"]), "mL")
    p["plant_water"] = Q(brings, "mL")
    p["kept"] = Q(_bare(p["retained"]) * _bare(p["herb"]) * (1.0 - _wet(p)), "mL")
    p["strength"] = Q(_bare(p["menstruum"]) * _bare(p["poured"]) / (_bare(p["menstruum"]) + brings), "percent_vol")


def _money(p: Plan, box: str) -> None:
    if PLACES[box].page not in ("jar", "yield", "bottles", "drying") and box not in ("spirit_cost", "glass_cost"):
        return
    if box in ("tray", "herb", "menstruum", "strong"):
        p["packs"] = math.ceil(_bare(p["strong"]) / _bare(p["pack"]))
        p["spirit_cost"] = p["packs"] * p["price"]
    if box != "glass_cost":
        p["glass_cost"] = p["bottles"] * p["glass"]
    p["total"] = p.get("spirit_cost", p["packs"] * p["price"]) + p["glass_cost"]
    p["budget"] = max(p["budget"], p["total"] + 1.0)
    if p["bottles"]:
        p["each"] = p["total"] / p["bottles"]
