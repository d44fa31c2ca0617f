"""What the bench gave beside what was predicted: a true batch is told back its own figures, and noise is no news."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from herbcalc import ethanol, maceration, menstruum
from herbcalc.batch import Basket, Bench, Order, Readings, compare, walk_back, walk_forward
from herbcalc.batch import bench as room
from herbcalc.units import Q
from herbcalc.units.refusals import OutOfRange, WrongUnit
from tests.batch.orders import makeable

BANNED = re.compile(r"\b(error|invalid|wrong|mistake)\b", re.IGNORECASE)
PLAN = walk_back(Order(7, Q(50, "mL")))  # dried, 1:5 in 50 %, 100 g of herb: 350 mL
SURE = Readings(Q(0, "g"), 0.0, Q(0, "percent_wb"), 0.0, Q(0, "percent_wb"))


def true_bench(order, draw, off=lambda size: 0.0):
    """A batch as it really went, by sums of this test's own, and what scale and jug say of it; and what its marc kept
    and its plant held. `off` is how far one reading is off, when it may be off by a size."""
    wet = float(np.clip(order.number("water") + off(5.0), 12.0, 94.0))
    fresh = float(draw.uniform(300.0, 3000.0))
    keeps = float(max(order.number("retained") * (1.0 + off(0.2)), 0.05))
    dried = order.state == "dried"
    to = order.bare.get("dried_to", 10.0) if dried else order.bare.get("wilted")
    tray = to is not None and to < order.number("water")
    left = float(np.clip(to + off(2.0), 0.0, wet - 0.1)) if tray else wet
    herb = fresh * (100.0 - wet) / (100.0 - left)
    poured = herb * float(draw.uniform(keeps + 1.0, keeps + 6.0))
    spirit = order.number("spirit")
    out = poured - keeps * herb if dried else poured + herb * left / 100.0 - keeps * herb * (100.0 - left) / 100.0
    jar = 400.0
    filled = jar + herb + poured * float(ethanol.density(Q(spirit, "percent_vol")).magnitude) / 1000.0
    read = {
        "sample_fresh": 100.0 + off(1.0),
        "sample_dried": 100.0 - wet + off(1.0),
        "fresh": fresh + off(1.0),
        "dried": herb + off(1.0) if tray else None,
        "jar": jar + off(1.0),
        "with_herb": jar + herb + off(1.0),
        "with_all": filled + off(1.0),
    }
    bench = Bench(
        **{name: None if value is None else Q(value, "g") for name, value in read.items()},
        out=Q(out * (1.0 + off(0.03)), "mL"),
    )
    return bench, keeps, wet


def test_a_true_batch_is_told_back_its_own_figures():
    draw = np.random.default_rng(3)
    for order in makeable(30, seed=5):
        if order.number("water") < 20.0:
            continue
        bench, keeps, wet = true_bench(order, draw)
        told = compare(walk_back(order), bench)
        assert told.amiss == []
        assert told.own["retained"] == pytest.approx(keeps, rel=1e-9)
        assert told.own["water"] == pytest.approx(wet, rel=1e-9)
        # the same by the jug, and by the weight of the marc
        poured = maceration.folk_jar(bench.jar, bench.with_herb, bench.with_all, Q(0, "percent_wb"), order.spirit)
        by_jug = compare(walk_back(order), replace(bench, with_all=None, poured=poured.menstruum))
        assert by_jug.own["retained"] == pytest.approx(keeps, rel=1e-9)


def test_the_marc_on_the_scale_says_what_it_keeps():
    """100 g of dried herb, 500 mL of 50 %: 1.5 mL for each gram of what is in the jar is some 140 g of it."""
    jar = Bench(dried=Q(100, "g"), poured=Q(500, "mL"))
    ends = compare(PLAN, jar).row(room.STRONG).measured
    assert ends == pytest.approx(50 * 500 / 510)
    by_mass = 50.0 / 51.0 * 50.0  # near enough for a density: a point of strength moves it by a part in a thousand
    weighs = 100 + 150 * float(ethanol.density(Q(by_mass, "percent_vol")).magnitude) / 1000
    told = compare(PLAN, replace(jar, marc=Q(weighs, "g")))
    assert told.own["retained"] == pytest.approx(1.5, rel=1e-3)
    assert not told.row(room.MARC).news
    assert "Weighed, your marc kept" in " ".join(told.lines)
    both = compare(PLAN, replace(jar, marc=Q(weighs, "g"), out=Q(250, "mL")))
    assert both.own == {}, "100 mL are gone that are not in the marc: the next plan must not reckon with them"
    assert both.row(room.WEIGHED).news
    assert "was spilled" in both.lines[-1]
    assert not any("the marc kept" in line for line in both.lines[:-1])
    cloth = compare(PLAN, replace(jar, marc=Q(weighs, "g"), out=Q(330, "mL")))
    assert cloth.own["retained"] == pytest.approx(1.7), "a cloth takes its share next time too"
    assert not cloth.row(room.WEIGHED).news, "a fifth of the herb may have gone into solution: its marc weighs less"
    assert not any("was spilled" in line for line in cloth.lines)
    more = compare(PLAN, replace(jar, marc=Q(weighs, "g"), out=Q(450, "mL")))
    assert "More came out" in more.lines[-1]
    assert not any("spilled" in line for line in more.lines)


def test_what_a_jug_pours_is_no_news():
    """515 mL instead of 500 is what a jug does; 550 is another ratio."""
    weighs = 515 * float(ethanol.density(Q(50, "percent_vol")).magnitude) / 1000
    jar = Bench(jar=Q(400, "g"), with_herb=Q(500, "g"), with_all=Q(500 + weighs, "g"))
    assert not compare(PLAN, jar).row(room.RATIO).news
    assert compare(PLAN, jar).lines == []
    assert compare(PLAN, Bench(dried=Q(100, "g"), poured=Q(550, "mL"))).row(room.RATIO).news


def test_scale_jug_and_sample_alone_are_hardly_ever_news():
    """Of true batches that went as planned, about 1 in 20 lies outside, and no more."""
    draw = np.random.default_rng(11)

    def off(size):
        return float(draw.normal()) * size / 1.96

    looked, news = (
        dict.fromkeys((room.WATER, room.DRIED, room.OUT), 0),
        dict.fromkeys((room.WATER, room.DRIED, room.OUT), 0),
    )
    for order in makeable(200, seed=29):
        if not 30.0 <= order.number("water") <= 85.0:
            continue
        bench, _, _ = true_bench(order, draw, off)
        for row in compare(walk_back(order), bench).rows:
            if row.what in looked and row.measured is not None:
                looked[row.what] += 1
                news[row.what] += row.news
    assert min(looked.values()) > 50
    for what, count in looked.items():
        assert news[what] / count < 0.12, what
    assert sum(news.values()) > 0, "and the band is no barn door"


def test_by_hand():
    """The issue's own words: 350 mL planned, 331 given, 1.7 kept; a row at a time."""
    told = compare(PLAN, Bench(dried=Q(100, "g"), poured=Q(500, "mL"), out=Q(330, "mL")))
    row = told.row(room.OUT)
    assert (row.planned, row.predicted, row.measured) == (pytest.approx(350), pytest.approx(350), 330)
    assert told.own == {"retained": pytest.approx(1.7)}
    assert not row.news, "a fifth of what the marc keeps is 30 mL of doubt"
    # ±30 of the marc, ±15 and ±10 of the jug, ±3.5 of the scale
    assert (row.high - row.low) / 2 == pytest.approx(np.sqrt(30**2 + 15**2 + 10**2 + 3.5**2), rel=0.05)
    assert "with that the next plan is surer" in told.lines[-1]
    sharp = walk_back(PLAN.order, readings=replace(SURE, retained=0.05))
    said = compare(sharp, Bench(dried=Q(100, "g"), poured=Q(500, "mL"), out=Q(330, "mL"))).lines[-1]
    assert "the marc kept 1.7 mL for each gram" in said
    assert said.endswith("not 1.5. Use that next time.")


def test_moore_s_root_is_told_what_it_kept():
    """M. Moore, Herbal Materia Medica, 5th ed.: of 20 fl oz on 4 oz of root 17 come out of a press: 0.8 mL/g."""
    order = Order(1, Q(13, "fl_oz"), ratio=Q(20 * 29.5735 / (4 * 28.3495), "mL/g"))
    told = compare(walk_back(order), Bench(dried=Q(4, "oz"), poured=Q(20, "fl_oz"), out=Q(17, "fl_oz")))
    assert told.own["retained"] == pytest.approx(0.8, abs=0.02)
    assert told.row(room.OUT).news
    assert told.row(room.MARC).news, "one verdict for what came out and for what the marc kept"


def test_a_difference_stands_where_it_arose():
    """Half of the basket only: dried, jar and bottle are reckoned from it, and none of them is news."""
    half = Q(PLAN.basket.fresh.magnitude / 2, "g")
    told = compare(PLAN, Bench(fresh=half, dried=Q(50, "g"), poured=Q(250, "mL"), out=Q(175, "mL")))
    assert [row.what for row in told.rows if row.news] == []
    assert told.row(room.OUT).planned == pytest.approx(350)
    assert told.row(room.OUT).predicted == pytest.approx(175)
    assert "From what really went in, 175 mL" in " ".join(told.lines)


def test_a_fresh_jar_counts_the_water_of_the_sample():
    basket = Basket(Q(100, "g"), Q(50, "mL"), "fresh", ratio=Q(2, "mL/g"), spirit=Q(95, "percent_vol"))
    plan = walk_forward(basket)
    jar = Bench(fresh=Q(100, "g"), poured=Q(200, "mL"), sample_fresh=Q(50, "g"), sample_dried=Q(15, "g"))
    told = compare(plan, jar)
    assert told.row(room.WATER).measured == pytest.approx(70)
    assert told.row(room.STRONG).measured == pytest.approx(95 * 200 / 270)
    assert told.row(room.OUT).predicted == pytest.approx(200 + 70 - 1.5 * 30)
    assert told.row(room.WATER).news
    assert told.keeps is True
    assert room.DRIED not in [row.what for row in told.rows]
    weak = compare(plan, replace(jar, spirit=Q(40, "percent_vol")))
    assert weak.row(room.STRONG).measured == pytest.approx(40 * 200 / 270)
    assert weak.keeps is False


def test_what_is_missing_is_not_measured_yet():
    told = compare(PLAN, Bench())
    assert all(row.measured is None and not row.news for row in told.rows)
    assert (told.lines, told.amiss, told.own, told.jar, told.keeps) == ([], [], {}, None, None)
    assert {row.say(row.measured) for row in told.rows} == {room.NOT_YET}
    part = compare(PLAN, Bench(sample_fresh=Q(100, "g"), out=Q(300, "mL"), with_herb=Q(500, "g"), marc=Q(240, "g")))
    assert part.own == {}
    assert part.row(room.OUT).measured == 300
    assert not part.row(room.OUT).news, "nobody knows yet what went in"


@pytest.mark.parametrize(
    ("bench", "says"),
    [
        (Bench(sample_fresh=Q(20, "g"), sample_dried=Q(100, "g")), "swapped"),
        (Bench(fresh=Q(100, "g"), dried=Q(600, "g")), "swapped"),
        (Bench(jar=Q(500, "g"), with_herb=Q(400, "g")), "swapped"),
        (Bench(with_herb=Q(500, "g"), with_all=Q(400, "g")), "swapped"),
        (Bench(jar=Q(400, "g"), with_herb=Q(900, "g"), with_all=Q(500, "g")), "swapped"),
        (Bench(dried=Q(100, "g"), poured=Q(500, "mL"), out=Q(600, "mL")), "swapped"),
        (Bench(dried=Q(100, "g"), poured=Q(500, "mL"), marc=Q(60, "g")), "bowl"),
    ],
)
def test_what_cannot_be_so_is_said_and_counts_as_not_measured(bench, says):
    told = compare(PLAN, bench)
    assert len(told.amiss) == 1
    assert says in told.amiss[0]
    assert not BANNED.search(told.amiss[0])
    assert told.own == {}


def test_three_weighings_that_cannot_be_so_all_go():
    odd = Bench(jar=Q(400, "g"), with_herb=Q(900, "g"), with_all=Q(500, "g"), poured=Q(500, "mL"))
    assert compare(PLAN, odd).jar is None


def test_a_jar_keeps_only_if_it_does_by_both_rules():
    herb, wet, poured, spirit = Q(100, "g"), Q(80, "percent_wb"), Q(200, "mL"), Q(95, "percent_vol")
    low, high = sorted(
        float(menstruum.final_strength(herb, wet, poured, spirit, rule).magnitude) for rule in ("kitchen", "measured")
    )
    for floor, keeps in ((low - 0.1, True), ((low + high) / 2.0, False), (high + 0.1, False)):
        made = Basket(
            herb,
            Q(50, "mL"),
            state="fresh",
            water=wet,
            ratio=Q(2, "mL/g"),
            spirit=spirit,
            floor=Q(floor, "percent_vol"),
        )
        assert compare(walk_forward(made), Bench(fresh=herb, poured=poured)).keeps == keeps, floor


def test_drops_and_days():
    told = compare(PLAN, Bench(drops=[98, 103, 99], drying=6, soaking=35), drops=20)
    assert told.own == {"drops": pytest.approx(20)}
    assert not told.row(room.DROPS).news
    assert (told.row(room.TRAY).planned, told.row(room.TRAY).measured) == (7, 6)
    assert (told.row(room.SOAK).planned, told.row(room.SOAK).measured) == (28, 35)
    assert told.row(room.SOAK).say(35.0) == "35 days"
    assert compare(walk_back(Order(7, Q(50, "mL"), method="drip")), Bench()).row(room.DRIP).planned < 7
    far = compare(PLAN, Bench(drops=[190, 195, 260]), drops=20)
    assert far.row(room.DROPS).news
    assert "You reckoned with 20 drops" in far.lines[0]
    assert "count once more" in far.lines[1]
    for last, apart in ((112, False), (120, True)):  # 12 and 18 of every 100 of their mean
        lines = compare(PLAN, Bench(drops=[100, last])).lines
        assert any("count once more" in line for line in lines) == apart, last
    for drops, news in ((84, True), (86, False), (114, False), (116, True)):  # 15 of every 100 of the 100 in 5 mL
        assert compare(PLAN, Bench(drops=[drops]), drops=20).row(room.DROPS).news == news, drops
    assert not compare(PLAN, Bench(drops=[190, 200])).row(room.DROPS).news, "nobody foretold anything"


def test_every_sentence_is_one_for_a_student():
    far = Bench(
        sample_fresh=Q(100, "g"), sample_dried=Q(60, "g"), fresh=Q(1000, "g"), dried=Q(500, "g"), poured=Q(500, "mL"),
        spirit=Q(96, "percent_vol"), out=Q(100, "mL"), marc=Q(520, "g"), drops=[20, 200],
    )  # fmt: skip
    low = replace(far, dried=Q(100, "g"), marc=Q(900, "g"))
    lines = [line for bench in (far, low) for line in compare(PLAN, bench, drops=20).lines]
    assert len(lines) >= 12
    for line in lines:
        assert not BANNED.search(line)
        assert line.endswith((".", "?"))
        assert len(line) < 320


def test_bench_refuses():
    for values, kind in (
        ({"out": 331}, WrongUnit),
        ({"fresh": Q(100, "mL")}, WrongUnit),
        ({"fresh": Q(0, "g")}, OutOfRange),
        ({"fresh": Q(60, "kg")}, OutOfRange),
        ({"out": Q(-1, "mL")}, OutOfRange),
        ({"out": Q([1, 2], "mL")}, OutOfRange),
        ({"spirit": Q(40, "percent")}, WrongUnit),
        ({"drops": []}, OutOfRange),
        ({"drops": [0, 20]}, OutOfRange),
        ({"drying": -1}, OutOfRange),
    ):
        with pytest.raises(kind):
            Bench(**values)
