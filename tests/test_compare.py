"""Soak or drip on equal terms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from herbcalc import compare, maceration, percolation
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible, OutOfRange, WrongUnit

unhurried = settings(deadline=None)  # a loaded machine is no reason to fail

HERB, R, K = Q(100, "g"), Q(5, "mL/g"), Q(1.5, "mL/g")
COLUMNS = [
    "herb (g)",
    "menstruum (mL)",
    "finished (mL)",
    "share of extract",
    "worth (g/mL)",
    "left in marc (mL)",
    "days",
]


def test_same_herb():
    table = compare.soak_or_drip(herb=HERB, ratio=R, retained=K)
    assert list(table.columns) == COLUMNS
    assert list(table.index) == ["soak", "soak again", "drip"]
    assert table.loc["soak"].tolist() == pytest.approx([100, 500, 350, 0.7, 0.2, 150, 28])
    assert table.loc["soak again"].tolist() == pytest.approx([100, 500, 350, 0.787, 0.2249, 150, 56], abs=5e-4)
    assert table.loc["drip"].tolist() == pytest.approx([100, 650, 500, 0.99976, 0.19995, 150, 2], abs=5e-5)


def test_same_bottle_and_price():
    table = compare.soak_or_drip(same="bottle", bottled=Q(500, "mL"), ratio=R, retained=K, price=0.03)
    assert list(table.columns) == [*COLUMNS, "cost per g-worth"]
    assert table["finished (mL)"].tolist() == pytest.approx([500, 500, 500])
    assert table["herb (g)"].tolist() == pytest.approx([142.857, 142.857, 100], abs=1e-3)
    assert table["menstruum (mL)"].tolist() == pytest.approx([714.286, 714.286, 650], abs=1e-3)
    assert table.loc["soak", "cost per g-worth"] == pytest.approx(0.03 * 714.286 / 100.0)


def test_pressing():
    table = compare.soak_or_drip(
        herb=HERB, ratio=R, retained=K, pressed=Q(0.8, "mL/g"), soaks=3, soak_days=14, drip_days=3
    )
    assert table.loc["soak", "finished (mL)"] == pytest.approx(420)
    assert table.loc["soak", "share of extract"] == pytest.approx(0.84)
    assert table["days"].tolist() == [14, 42, 3]
    assert table.loc["drip", "menstruum (mL)"] == pytest.approx(650)


def test_one_to_one():
    table = compare.soak_or_drip(herb=HERB, ratio=Q(1, "mL/g"), retained=K, price=0.03)
    assert table.loc["soak"].tolist() == [100, 100, 0, 0, 0, 100, 28, math.inf]
    assert table.loc["soak again", "share of extract"] == 0.0
    assert table.loc["drip", "finished (mL)"] == 100
    assert table.loc["drip", "share of extract"] == pytest.approx(0.811, abs=1e-3)
    with pytest.raises(Impossible, match="nothing comes out"):
        compare.soak_or_drip(same="bottle", bottled=Q(500, "mL"), ratio=Q(1, "mL/g"), retained=K)


@unhurried
@given(st.floats(0.5, 15.0), st.floats(0.05, 4.0))
def test_tie(r, k):
    tie = compare.break_even(Q(r, "mL/g"), Q(k, "mL/g"))
    for factor in (0.9, 1.0, 1.1):
        pressed = tie * factor
        if pressed.magnitude >= r * 0.999:
            continue
        table = compare.soak_or_drip(
            same="bottle", bottled=Q(500, "mL"), ratio=Q(r, "mL/g"), retained=Q(k, "mL/g"), pressed=pressed
        )
        soak, drip = table.loc["soak", "menstruum (mL)"], table.loc["drip", "menstruum (mL)"]
        if factor == 1.0:
            assert soak == pytest.approx(drip, rel=1e-9)
        else:
            assert (soak < drip) == (factor < 1.0)


@unhurried
@given(st.floats(1.0, 2000.0), st.floats(0.2, 12.0), st.floats(0.0, 3.0), st.integers(1, 6))
def test_the_books_close(herb, r, k, soaks):
    table = compare.soak_or_drip(herb=Q(herb, "g"), ratio=Q(r, "mL/g"), retained=Q(k, "mL/g"), soaks=soaks)
    assert (table["finished (mL)"] + table["left in marc (mL)"]).to_numpy() == pytest.approx(
        table["menstruum (mL)"].to_numpy(), abs=1e-9 * herb * 20
    )
    assert ((table["share of extract"] >= 0.0) & (table["share of extract"] <= 1.0 + 1e-12)).all()
    assert (table["worth (g/mL)"] * table["finished (mL)"]).to_numpy() == pytest.approx(
        np.where(table["finished (mL)"] > 0, table["share of extract"] * table["herb (g)"], 0.0), abs=1e-9 * herb
    )
    assert table.loc["soak again", "share of extract"] >= table.loc["soak", "share of extract"] - 1e-12


def test_one_curve():
    shares, limit = compare.soaks_on_one_curve(Q(500, "mL"), HERB, K, 10)
    assert shares[[0, 1, 2, 9]] == pytest.approx([0.700, 0.787, 0.822, 0.877], abs=5e-4)
    assert limit == pytest.approx(0.903, abs=5e-4)
    assert (np.diff(shares) > 0.0).all()
    assert limit == maceration.endless_soaks(Q(500, "mL"), HERB, K)


def test_measured_side_by_side():
    # source: Wilson, Simpson and Spelman 2022, Frontiers in Pharmacology 13:886993
    assert (compare.HEMP_2022.soak, compare.HEMP_2022.drip) == (0.635, 0.801)
    assert compare.HEMP_2022.drip / compare.HEMP_2022.soak == pytest.approx(1.26, abs=0.005)


@pytest.mark.parametrize(
    ("named", "kind"),
    [
        ({"same": "price", "herb": HERB}, OutOfRange),
        ({}, OutOfRange),
        ({"herb": HERB, "bottled": Q(1, "mL")}, OutOfRange),
        ({"same": "bottle", "herb": HERB}, OutOfRange),
        ({"herb": Q(0, "g")}, OutOfRange),
        ({"herb": Q(np.array([1.0, 2.0]), "g")}, OutOfRange),
        ({"herb": HERB, "soaks": 0}, OutOfRange),
        ({"herb": HERB, "soaks": 1.5}, OutOfRange),
        ({"herb": HERB, "price": -1}, OutOfRange),
        ({"herb": HERB, "price": "cheap"}, WrongUnit),
        ({"herb": Q(100, "mL")}, WrongUnit),
    ],
)
def test_refusals(named, kind):
    with pytest.raises(kind):
        compare.soak_or_drip(ratio=R, retained=K, **named)


def test_same_herb_and_menstruum():
    """650 mL on 100 g at 1.5 mL/g: by hand 1 - (150/650), 1 - 0.375², 1 - (150/316.67)³."""
    given = {"same": "herb and menstruum", "herb": HERB, "menstruum": Q(650, "mL"), "retained": K}
    for soaks, share in ((1, 1 - 150 / 650), (2, 1 - 0.375**2), (3, 1 - (150 / (950 / 3)) ** 3)):
        table = compare.soak_or_drip(**given, soaks=soaks)
        assert table.loc["soak again", "share of extract"] == pytest.approx(share)
        assert table["menstruum (mL)"].tolist() == [650, 650, 650]
        assert table["herb (g)"].tolist() == [100, 100, 100]
    drained = compare.soak_or_drip(**given, dripped=Q(2, "mL/g")).loc["drip"]
    assert drained["finished (mL)"] == pytest.approx(450)
    assert drained["share of extract"] == pytest.approx(1 - math.exp(-4.5 / 0.6))
    drunk = compare.soak_or_drip(**given, dripped=Q(7, "mL/g")).loc["drip"]
    assert drunk[["finished (mL)", "share of extract", "worth (g/mL)"]].tolist() == [0, 0, 0]
    with pytest.raises(OutOfRange, match="leave bottled out"):
        compare.soak_or_drip(**given, bottled=Q(500, "mL"))
    with pytest.raises(OutOfRange, match="give herb and menstruum"):
        compare.soak_or_drip(same="herb and menstruum", herb=HERB, retained=K)
    with pytest.raises(OutOfRange, match="ratio: none"):
        compare.soak_or_drip(herb=HERB, retained=K)


def test_a_drained_drip_and_a_wrung_soak_tie():
    """At 2.35 against 1.6, 1:5: 5 · 2.35/7.35 = 1.599."""
    given = {"same": "bottle", "bottled": Q(500, "mL"), "ratio": R, "retained": Q(1.6, "mL/g")}
    table = compare.soak_or_drip(**given, dripped=Q(2.35, "mL/g"))
    assert table.loc["soak", "menstruum (mL)"] == pytest.approx(table.loc["drip", "menstruum (mL)"], rel=1e-3)
    assert table.loc["drip", "menstruum (mL)"] == pytest.approx(500 + 2.35 * 100)


def test_a_teaching_bed_draws_as_it_does_by_itself():
    table = compare.soak_or_drip(herb=HERB, ratio=Q(2, "mL/g"), retained=K, bed="coarse cut herb")
    bed = percolation.Bed.of("coarse cut herb", HERB, Q(12, "mL/hour"))
    assert table.loc["drip", "share of extract"] == pytest.approx(bed.run(Q(200, "mL")).bottle)
    with pytest.raises(OutOfRange, match="It is one of"):
        compare.soak_or_drip(herb=HERB, ratio=R, retained=K, bed="sand")
