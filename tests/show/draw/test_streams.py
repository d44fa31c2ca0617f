"""The ledger as a picture: each stream is as thick as it is heavy, and its words stand free on every board."""

from __future__ import annotations

import datetime
import itertools
import re
from dataclasses import replace

import pytest

from herbcalc.batch import Order, walk_back
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import parted, whole
from herbcalc.show.draw.streams import flows, ledger, streams, told
from herbcalc.show.look import View
from herbcalc.show.panel import pictures
from herbcalc.show.sheets import batch_page
from herbcalc.units import Q
from tests.batch.orders import makeable
from tests.show.lessons.test_lessons import covers, stands_inside, words_of

TEN = Order(10, Q(50, "mL"))
STRONG = {"spirit": Q(96, "percent_vol"), "ratio": Q(10, "mL/g")}
ENDS = {
    "dried": TEN,
    "fresh": replace(TEN, state="fresh", ratio=Q(2, "mL/g"), spirit=Q(95, "percent_vol")),
    "wilted": replace(TEN, state="fresh", wilted=Q(55, "percent_wb"), spirit=Q(75.5, "percent_vol")),
    "drip": replace(TEN, method="drip", convention="finished"),
    "a wild stand": replace(TEN, method="drip", per_plant=Q(20, "g"), stand=10**6, share=0.1),
    "tiny": Order(1, Q(5, "mL")),
    "tiny and fresh": Order(1, Q(5, "mL"), "fresh"),
    "huge": Order(1000, Q(1, "L"), water=Q(95, "percent_wb"), **STRONG),
    "huge and fresh": Order(1000, Q(1, "L"), "fresh", water=Q(95, "percent_wb"), **STRONG),
    "hardly any water": Order(12, Q(100, "mL"), water=Q(5, "percent_wb"), **STRONG),
    "hardly any alcohol": replace(TEN, ratio=Q(1.6, "mL/g"), spirit=Q(38, "percent_vol"), water=Q(95, "percent_wb")),
}


def drawn(order, board, place):
    board.start()
    ledger(board, place, walk_back(order), View())
    return {key.removeprefix("shape ledger "): artist.get_xy() for key, artist in board._artists.items()
            if key in board._drawn and key.startswith("shape ledger ")}  # fmt: skip


def thick(points):
    """How thick a band is at its right end."""
    right = max(x for x, _ in points)
    ys = [y for x, y in points if x == right]
    return max(ys) - min(ys)


def test_the_streams_are_the_ledger():
    """By the table that a teacher prints, column by column."""
    for order in [*ENDS.values(), *makeable(30, seed=41)]:
        batch = walk_back(order)
        it, table = flows(batch), batch.ledger
        came = table[table["place"] == "brought in"]
        last = table[table["step"] == table["step"].iloc[-1]].set_index("place")
        assert it.solids == came["solids (g)"].sum() == last.loc["marc", "solids (g)"]
        assert [it.grown, it.poured] == came["water (g)"].tolist()
        assert it.alcohol == came["alcohol (g)"].sum()
        assert (it.water_out, it.alcohol_out) == tuple(last.loc["bottles", ["water (g)", "alcohol (g)"]])
        assert (it.water_marc, it.alcohol_marc) == tuple(last.loc["marc", ["water (g)", "alcohol (g)"]])
        assert it.air == (last.loc["air", "water (g)"] if "air" in last.index else 0.0)


@pytest.mark.parametrize("where", [pictures.PAGE, pictures.SHOW, pictures.PHONE])
@pytest.mark.parametrize("order", ENDS.values(), ids=ENDS.keys())
def test_each_stream_is_as_thick_as_it_is_heavy(order, where):
    board = Board(**pictures.ALONE[where], name="thick")
    bands = drawn(order, board, parted(board, 0.7)[0])
    it = flows(walk_back(order))
    grams = {
        "solids 0": it.solids,
        "water basket": it.grown,
        "water jar": it.left + it.poured,
        "water air": it.air,
        "water out": it.water_out,
        "water marc": it.water_marc,
        "alcohol jar": it.alcohol,
        "alcohol out": it.alcohol_out,
        "alcohol marc": it.alcohol_marc,
    }
    each = thick(bands["alcohol jar"]) / it.alcohol
    for key, weight in grams.items():
        assert (key in bands) == (weight > 0.0), key
        if weight:
            assert thick(bands[key]) == pytest.approx(each * weight, rel=1e-6, abs=1e-9), key
    tops = [max(y for _, y in bands[key]) for key in ("solids 0", "water jar")]
    feet = [min(y for _, y in bands[key]) for key in ("water jar", "alcohol jar")]
    assert all(top < foot for top, foot in zip(tops, feet, strict=True)), "one stream over the other"


@pytest.mark.parametrize("view", [View(), View(units="kitchen")], ids=["metric", "kitchen"])
@pytest.mark.parametrize("order", ENDS.values(), ids=ENDS.keys())
def test_no_words_lie_on_others_or_leave_the_picture(order, view):
    batch = walk_back(order)
    boards = [(size, False) for size in pictures.ALONE.values()] + [(size, True) for size in pictures.SIDE.values()]
    boards.append(({"width": 500, "height": 180, "size": 15.0}, False))
    boards.append(({"width": batch_page.WIDE, "height": batch_page.HIGH, "size": 15.0, "ground": "paper"}, False))
    for size, narrow in boards:
        board = Board(**size, narrow=narrow, name="free")
        board.start()
        where = parted(board, 0.7)[0] if size in pictures.ALONE.values() else whole(board)
        ledger(board, where, batch, view, "12 plants")
        words = list(words_of(board))
        assert len(words) > 6
        for text, place in words:
            assert stands_inside(place, board), (size, text)
        for (one, a), (other, b) in itertools.combinations(words, 2):
            assert not covers(a, b), (size, one, other)


def test_each_stream_has_its_name_and_both_systems_where_it_enters_and_ends():
    svg, alt = streams(walk_back(TEN), wide=760, high=200, name="said")
    words = re.findall(r">([^<]+)</text>", svg)
    assert {"stand", "basket", "tray", "jar", "bottle"} <= set(words)
    for line in ("alcohol 282 g (10 oz)", "water 383 g (13 1/2 oz)", "air 500 g (1 lb 1 3/4 oz)"):
        assert line in words
    for line in ("solids 129 g", "4 1/2 oz", "water 514 g", "1 lb 2 1/4 oz", "bottle 193 g", "6 3/4 oz"):
        assert line in words
    assert alt.count(" g (") == 9
    assert alt.endswith("193 g (6 3/4 oz) end in the bottle, 88.4 g (3 oz) in the marc.")
    assert "272 g (9 1/2 oz) end in the bottle, 124 g (4 1/2 oz) in the marc. Alcohol" in alt
    heavy = told(walk_back(replace(TEN, bottles=240)), View())
    assert "12.3 kg (27 lb) come with the plant, 12 kg (26 lb) of it go into the air" in heavy
    assert {"stand", "basket", "percolator", "bottle"} <= set(
        re.findall(r">([^<]+)</text>", streams(walk_back(ENDS["drip"]), wide=760, high=200, name="drip")[0])
    )


def test_over_the_stand_stand_its_plants():
    """643 g, and one plant gives 100: seven; where there is no room the place alone is named."""
    order = replace(TEN, per_plant=Q(100, "g"))
    wide, _ = streams(walk_back(order), wide=760, high=200, name="plants")
    assert ">stand: 7 plants</text>" in wide
    page = batch_page.page(walk_back(order), datetime.date(2026, 7, 14))
    assert "have 7<" in page, "the plan above it counts the same plants"
    near, _ = streams(walk_back(replace(order, method="drip")), wide=330, high=200, name="near")
    assert ">stand</text>" in near
    board = Board(narrow=True, name="narrow")
    drawn(ENDS["drip"], board, whole(board))
    assert {"drip", "tray"} <= {text for text, _ in words_of(board)}


def test_a_moved_dial_makes_no_new_artists():
    board = Board(name="many")
    seen = set()
    for plants in ("7 plants", "12 plants", "100 plants"):
        board.start()
        ledger(board, whole(board), walk_back(TEN), View(), plants)
        assert f"stand: {plants}" in {text for text, _ in words_of(board)}
        seen.add(len(board._artists))
    assert len(seen) == 1


def test_the_words_beside_it_say_the_same():
    for order in ENDS.values():
        batch = walk_back(order)
        alt = told(batch, View())
        assert ("into the air" in alt) == (flows(batch).air > 0.0)
        for name in ("Plant solids", "Water", "Alcohol", "marc", "bottle"):
            assert name in alt
        assert told(batch, View(units="kitchen")) != alt or order.bottles == 1


def test_two_are_drawn_to_one_scale():
    """A small batch beside a large one is drawn smaller than alone."""
    small, large = walk_back(TEN), walk_back(replace(TEN, bottles=40))
    board = Board(name="scale", narrow=True)
    board.start(lambda board: ledger(board, whole(board), large, View()))
    ledger(board, whole(board), small, View())
    beside = thick(board._artists["shape ledger alcohol jar"].get_xy())
    alone = thick(drawn(TEN, Board(name="alone", narrow=True), whole(board))["alcohol jar"])
    assert beside == pytest.approx(alone / 4)


# --- on paper ---


def test_the_page_holds_the_picture_and_its_words():
    day = datetime.date(2026, 7, 14)
    page = batch_page.page(walk_back(TEN), day, name="<b> & co")
    assert page.count("<svg") == 1
    assert 'aria-label="Three streams to one scale' in page
    assert "&lt;b&gt; &amp; co" in page
    assert "14 July 2026" in page
    ids = [set(re.findall(r' id="([^"]+)"', batch_page.page(walk_back(order), day))) for order in (TEN, ENDS["drip"])]
    assert ids[0]
    assert not ids[0] & ids[1], "two pages in one file do not cut each other's patterns"
    long = batch_page.page(walk_back(TEN), day, name="a very long name " * 20)
    assert len(re.search("<h1>(.*?)</h1>", long)[1]) <= batch_page.LONGEST
    assert "<h1>A batch</h1>" in batch_page.page(walk_back(TEN), day)
