"""The batch on paper: rounded, it can still be made; the days; the page."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from herbcalc import maceration, menstruum, moisture
from herbcalc.batch import Basket, Days, Order, walk_back, walk_forward
from herbcalc.batch.figures import on_tray, water_counted, water_in_jar
from herbcalc.batch.label import check
from herbcalc.units import Q, amount
from herbcalc.units.refusals import OutOfRange, WrongUnit
from tests.batch.orders import makeable

TEN = Order(10, Q(50, "mL"))
DAY = datetime.date(2026, 7, 14)


def printed(batch, side):
    """What the paper says, by somebody who keeps to one system of units."""
    return {line.what: getattr(line, side) for line in batch.plan}


def make(batch, paper):
    """Make it to the letter of the paper."""
    order = batch.order
    herb = paper["fresh plant"]
    if on_tray(order):
        dry = order.state == "dried"
        herb = paper["dried herb" if dry else "wilted plant"]
        goes_in = Q(water_in_jar(order), "percent_wb")
        tray = moisture.dried_weight(Q(paper["fresh plant"], "g"), order.water, goes_in).magnitude
        assert herb <= tray * (1 + 1e-9)
        assert paper[f"weight of the {'dry' if dry else 'wilted'} tray"] <= tray * (1 + 1e-9)
    herb, poured = Q(herb, "g"), Q(paper["menstruum"], "mL")
    out = maceration.liquid_out(herb, poured, order.retained, Q(water_counted(order), "percent_wb"))
    wet = Q(water_in_jar(order), "percent_wb")
    ends = [menstruum.final_strength(herb, wet, poured, order.spirit, rule) for rule in ("kitchen", "measured")]
    return out.magnitude, [end.magnitude for end in ends]


@pytest.mark.parametrize("side", ["metric", "kitchen"])
def test_the_printed_plan_can_be_made(side):
    capped = 0
    for order in makeable(300, seed=29):
        batch = walk_back(order)
        paper = printed(batch, side)
        out, ends = make(batch, paper)
        assert out >= order.bottles * order.bottle.to("mL").magnitude * (1 - 1e-9)
        assert paper["bottles"] == order.bottles
        assert paper["strength to claim"] <= min(ends) + 1e-9
        assert ends[0] >= order.floor.magnitude * (1 - 1e-9)
        short = paper["fresh plant"] < batch.basket.fresh.magnitude * (1 - 1e-9)
        if order.per_plant is not None:
            assert paper["fresh plant"] <= paper["plants to gather"] * order.per_plant.magnitude * (1 + 1e-9)
        if order.stand is not None:
            assert paper["plants to gather"] <= paper["plants that may be taken"]
            assert paper["plants to gather"] >= batch.harvest.needed
            capped += short
        else:
            assert not short
    assert capped < 20


def test_what_may_be_taken_is_enough_though_the_paper_rounds():
    """Six plants give the basket to the gram, and six may be taken: the paper asks for no seventh."""
    six = replace(TEN, bottles=20, per_plant=Q(1285.7142857142858 / 6, "g"), stand=60, share=0.1)
    for side in ("metric", "kitchen"):
        batch = walk_back(six)
        paper = printed(batch, side)
        assert paper["plants to gather"] == paper["plants that may be taken"] == 6
        assert paper["fresh plant"] <= 1285.72
        assert make(batch, paper)[0] >= 1000 - 1e-6
    assert walk_back(replace(six, stand=80)).harvest.allowed == 8
    assert printed(walk_back(replace(six, stand=80)), "metric")["plants to gather"] == 7


def test_the_lines_of_a_plan():
    lines = walk_back(replace(TEN, per_plant=Q(100, "g"), stand=80, share=0.1)).plan
    assert [(line.what, line.must, line.text) for line in lines] == [
        ("plants that may be taken", False, "8"),
        ("plants to gather", True, "7"),
        ("fresh plant", True, "644 g (1 lb 7 3/4 oz)"),
        ("weight of the dry tray", False, "143 g (5 1/4 oz)"),
        ("dried herb", True, "143 g (5 1/4 oz)"),
        ("menstruum", True, "715 mL (25 1/4 fl oz)"),
        ("bottles", False, "10"),
        ("strength to claim", False, "49 % vol"),
    ]
    for line in lines:
        for side, number in (("metric", line.metric), ("kitchen", line.kitchen)):
            unit = {"fresh plant": "g", "menstruum": "mL"}.get(line.what)
            if unit:
                text = line.text.split(" (")[0] if side == "metric" else line.text.split("(")[1].rstrip(")")
                assert amount(text).to(unit).magnitude == pytest.approx(number)


def test_a_begun_bottle_is_not_promised():
    batch = walk_forward(Basket(Q(1, "kg"), Q(50, "mL")))
    assert batch.order.bottles == pytest.approx(15.56, abs=0.01)
    assert printed(batch, "metric")["bottles"] == 15


# days


def test_the_days_run_on_from_the_gathering_and_back_from_the_bottle():
    batch = walk_back(TEN, days=Days(drying=5, soak=30))
    steps = batch.calendar(DAY)
    assert [(s.name, s.day.isoformat()) for s in steps] == [
        ("gather", "2026-07-14"),
        ("put up", "2026-07-19"),
        ("bottle", "2026-08-18"),
    ]
    assert [s.day for s in batch.calendar(datetime.date(2026, 8, 18), of="bottle")] == [s.day for s in steps]
    assert [s.day for s in batch.calendar(datetime.date(2026, 7, 19), of="put up")] == [s.day for s in steps]
    fresh = walk_back(replace(TEN, state="fresh")).calendar(DAY)
    assert (fresh[1].day, fresh[2].day) == (DAY, datetime.date(2026, 8, 11))
    drip = walk_back(replace(TEN, method="drip")).calendar(DAY)
    assert (drip[2].day - DAY).days == 9


def test_a_root_in_july_is_told_gently():
    steps = walk_back(TEN).calendar(DAY, part="root")
    assert "outside the usual months" in steps[0].text
    assert "one of the usual months" in walk_back(TEN).calendar(DAY, part="flower")[0].text
    assert "outside" not in walk_back(TEN).calendar(DAY)[0].text


def test_a_calendar_refuses():
    batch = walk_back(TEN)
    with pytest.raises(WrongUnit, match="date"):
        batch.calendar("next Tuesday")
    with pytest.raises(OutOfRange, match="bottle"):
        batch.calendar(DAY, of="label")
    with pytest.raises(OutOfRange, match="year"):
        batch.calendar(datetime.date(1, 1, 1), of="bottle")
    for bad in ({"soak": 2.5}, {"soak": -1}, {"drip": float("inf")}):
        with pytest.raises(OutOfRange):
            Days(**bad)


# the label

WORDS = {
    "common": "Lemon balm",
    "botanical": "Melissa officinalis",
    "part": "leaf",
    "lot": "26-07-14-LB-D-01",
    "maker": "Alder Lane class (invented)",
    "place": "bed 3, Alder Lane",
    "cautions": "Holds alcohol. Ask a qualified person first in pregnancy, for children, or with medicines.",
}


def test_the_label_of_a_batch_lacks_nothing():
    for order in makeable(30, seed=37):
        batch = walk_back(order)
        label = batch.label(DAY, **WORDS)
        assert check(label, order.floor) == []
        ends = batch.strength.magnitude, batch.strength_measured.magnitude
        assert label.final.magnitude <= max(min(ends), order.floor.magnitude) + 1e-6
    label = walk_back(TEN).label(DAY, **WORDS)
    assert (label.gathered, label.put_up, label.pressed) == (
        DAY,
        datetime.date(2026, 7, 21),
        datetime.date(2026, 8, 18),
    )
    assert label.best_before == datetime.date(2029, 8, 18)  # the least that is common
    assert label.final.magnitude == 49.0
    assert "48.8 % vol" in label.also
    assert str(label.ratio) == "1:5 (menstruum added)"


def test_what_does_not_keep_is_sent_back():
    weak = walk_forward(
        Basket(Q(100, "g"), Q(50, "mL"), "fresh", ratio=Q(2, "mL/g"), spirit=Q(40, "percent_vol"))
    ).label(DAY, **WORDS)
    assert weak.best_before is None
    assert any("under your floor" in line for line in check(weak))


# the page


class Balance(HTMLParser):
    """Every tag that is opened is closed, in order."""

    def __init__(self):
        super().__init__()
        self.open, self.text = [], []

    def handle_starttag(self, tag, attrs):
        self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text.append(data)


@pytest.mark.parametrize("order", list(makeable(12, seed=31)), ids=lambda o: f"{o.state} {o.method} {o.convention}")
def test_the_page_says_the_plan_the_days_and_the_sums(order):
    batch = walk_back(order)
    page = batch.sheet(DAY)
    read = Balance()
    read.feed(page)
    assert read.open == []
    text = " ".join(read.text)
    for line in batch.plan:
        assert line.text in text
    assert "14 July 2026" in text
    assert "not certain" in text
    assert "No flame" in text
    assert "Food-grade" in text
    assert ("dust mask" in text) == ("damp herb moulds" in text) == (order.state == "dried")
    assert ("a heap heats" in text) == (order.state == "fresh" and "tray" in [row.place for row in batch.rows])
    assert ("jars, to the brim" in text) == (order.method == "soak")
    assert "Label the jar" in text
    assert "not for keeping" not in text
    for row in batch.rows:
        assert row.place in text
    assert re.search(r"19 times in 20", text)
    assert not re.search(r"\bnan\b|\binf\b|\{|None", text.replace(read.text[0], ""))


def test_the_page_of_what_ends_too_weak_says_so():
    weak = walk_forward(Basket(Q(1, "kg"), Q(50, "mL"), "fresh", ratio=Q(2, "mL/g"), spirit=Q(40, "percent_vol")))
    assert not weak.keeps
    assert "It ends under your floor: not for keeping." in weak.sheet(DAY)


def test_the_jars_of_the_page_hold_it():
    """286 g of dried herb weighs 1.4 g for each mL that it takes up, and 1429 mL go on: 1633 mL."""
    page = walk_back(replace(TEN, bottles=20)).sheet(DAY)
    loose = maceration.covers(Q(1000 / 3.5, "g"), Q(1429, "mL"))
    assert loose.pile.magnitude > 1633
    assert "1633 mL" in page
    assert "loose leaf takes more" in page


def test_the_page_says_where_measured_and_kitchen_part():
    strong = replace(TEN, state="fresh", ratio=Q(1, "mL/g"), spirit=Q(95, "percent_vol"))
    batch = walk_back(strong)
    assert batch.finished_measured.magnitude < 0.99 * batch.finished.magnitude
    assert "draw together" in batch.sheet(DAY)
    assert "draw together" not in walk_back(replace(TEN, water=Q(10, "percent_wb"))).sheet(DAY)
