"""Whole plans for the given things of a student, as somebody types them into the card of the capstone."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np

from herbcalc.batch import walk_back
from herbcalc.batch.pages import PLACES
from herbcalc.harvest import day_said
from herbcalc.homework.capstone import Given, ways
from herbcalc.show.card import capstone_boxes as boxes
from herbcalc.units import Q
from herbcalc.units.saying import sides
from tests.batch.written import Writer, written


def amounts(one: Given, seed: int) -> tuple[dict[str, Any], bool]:
    """A whole plan for what is given, as amounts, and whether it is in kitchen units."""
    draw = np.random.default_rng(seed)
    able = [
        w for w in ways(one) if w.money <= one.budget and w.fresh <= math.floor(one.count * one.share) * one.per_plant
    ]
    for way in able:
        order = replace(way.order, per_plant=Q(one.per_plant, "g"), stand=one.count, share=one.share)
        by = Writer(draw)
        plan = written(walk_back(order), by, *way.bottle, month=one.month, glass=one.glass)
        if "rain_water" in plan:
            return plan | {"spirit": str(one.shelf.index(way.bottle))}, by.kitchen
    raise AssertionError(one)


def as_typed(one: Given, seed: int = 1) -> dict[str, str]:
    """The same, box by box, as somebody types it."""
    plan, kitchen = amounts(one, seed)
    typed = {box: f"my words for {label}" for box, label in boxes.WORDS.items()}
    typed |= {
        "at_risk": "no",
        "refused": next(iter(boxes.CHOICES["refused"][1])),
        "jars": str(math.ceil(float(plan["menstruum"].to("mL").magnitude) / (0.5 * one.jar))),
    }
    for page in boxes.ASKED:
        for box in boxes.asked(page, plan):
            if box in plan:
                typed[box] = _text(box, plan[box], kitchen)
    return typed


def _text(box: str, value: Any, kitchen: bool) -> str:
    kind = PLACES[box].kind if box in PLACES else "words"
    if kind in ("weight", "volume"):
        texts = sides(value)
        return texts[kitchen] or texts[0]
    if kind == "day":
        return day_said(value)
    units = {"strength": "% vol", "moisture": "%", "ratio": "mL/g", "kept": "mL/g"}
    return f"{float(value.magnitude):g} {units[kind]}" if kind in units else f"{value}"
