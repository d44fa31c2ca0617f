"""The capstone's plan on one page, as a browser prints it: a whole plan with long words is one page."""

from __future__ import annotations

import re

import pytest
from conftest import new_context
from playwright.sync_api import Browser

from herbcalc.homework.capstone import given
from herbcalc.rules import Rules
from herbcalc.show.card import capstone_boxes as boxes
from herbcalc.show.card.capstone_page import one_page
from tests.show.card.plans import as_typed

LONG = "Leaves in pairs on a square stem, and a scent of lemon when it is rubbed between two fingers, by the old wall"


@pytest.mark.parametrize("number", [1, 2])
def test_a_whole_plan_prints_on_one_page(chromium: Browser, number: int) -> None:
    one, rules = given("fern7", number), Rules()
    typed = {box: LONG if box in boxes.WORDS else text for box, text in as_typed(one, number).items()}
    context = new_context(chromium)
    page = context.new_page()
    page.set_content(one_page(one, boxes.read(one, typed, rules), typed, rules, "lemon balm, July"))
    for paper in ("A4", "Letter"):
        assert len(re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(format=paper))) == 1, paper
    context.close()
