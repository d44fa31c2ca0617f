"""Diffusion out of a particle, soaks, retention and leaching against printed figures. Sources stand in the tables."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import jn_zeros, jv

from herbcalc import maceration as mac
from herbcalc.units import Q


@pytest.mark.parametrize(
    ("fourier", "shape", "printed"),
    [
        (0.25, "plate", 0.562233541762138),
        (0.125, "plate", 0.39892798988456807),
        (0.25, "sphere", 0.9484368978658284),
    ],
)
def test_cranks_anchors(fourier, shape, printed):
    # source: Crank, The Mathematics of Diffusion, 2nd ed., pp. 48 and 91, as quoted by an open chemical-engineering
    # library's documentation.
    assert mac.uptake(fourier, shape) == pytest.approx(printed, abs=1e-12)


@pytest.mark.parametrize(
    ("shape", "column"),
    [("plate", "plate_half_thickness_a"), ("cylinder", "cylinder_radius_a"), ("sphere", "sphere_radius_a")],
)
def test_crank_endless_bath(published, shape, column):
    table = published("crank_infinite_bath.csv")
    assert np.abs(mac.uptake(table["Fo"].to_numpy(), shape) - table[column]).max() < 5.1e-7  # six printed digits


def test_crank_times(published):
    for row in published("crank_times.csv").itertuples():
        assert mac.fourier_for(row.fraction_extracted, row.shape) == pytest.approx(row.Fo_needed, abs=5.1e-9)


def test_crank_limited_bath(published):
    table = published("crank_limited_bath.csv")
    for shape in ("plate", "sphere"):
        ours = mac.uptake(table["Fo"].to_numpy(), shape, table["alpha"].to_numpy())
        assert np.abs(ours - table[shape]).max() < 5.1e-7


# Crank's own series, eqs 4.37, 5.33 and 6.30 (from memory): the condition for a root q at bath α, the interval in
# which the n-th root lies, and the weights.
def _plate(alpha, n):
    return (lambda q: np.sin(q) + alpha * q * np.cos(q)), (n - 0.5) * np.pi, n * np.pi


def _sphere(alpha, n):
    return (lambda q: (3 + alpha * q * q) * np.sin(q) - 3 * q * np.cos(q)), n * np.pi, (n + 1) * np.pi


def _cylinder(alpha, n):
    return (lambda q: alpha * q * jv(0, q) + 2 * jv(1, q)), jn_zeros(0, n)[-1], jn_zeros(1, n)[-1]


@pytest.mark.parametrize(
    ("shape", "roots", "c"), [("plate", _plate, 1), ("cylinder", _cylinder, 2), ("sphere", _sphere, 3)]
)
@pytest.mark.parametrize("alpha", [0.05, 1.0, 4.0, 200.0])
def test_crank_limited_bath_series(shape, roots, c, alpha):
    fourier = np.array([0.02, 0.05, 0.1, 0.3, 1.0, 3.0])
    q = np.array([brentq(*roots(alpha, n), xtol=1e-14) for n in range(1, 41)])
    if c == 2:
        weights = 4 * alpha * (1 + alpha) / (4 + 4 * alpha + alpha**2 * q**2)
    else:
        weights = 2 * c * alpha * (1 + alpha) / (c * c * (1 + alpha) + alpha**2 * q**2)
    series = 1.0 - (weights * np.exp(-(q**2) * fourier[:, None])).sum(axis=1)
    assert np.abs(mac.uptake(fourier, shape, alpha) - series).max() < 1e-11


@pytest.mark.parametrize(
    ("shape", "early"),
    [
        ("plate", lambda f: 2 * np.sqrt(f / np.pi)),
        ("cylinder", lambda f: 4 * np.sqrt(f / np.pi) - f - f**1.5 / (3 * np.sqrt(np.pi))),
        ("sphere", lambda f: 6 * np.sqrt(f / np.pi) - 3 * f),
    ],
)
def test_crank_early(shape, early):
    # source: Crank 1975, short-time forms of chapters 4 to 6
    fourier = np.geomspace(1e-12, 1e-5, 15)
    assert np.abs(mac.uptake(fourier, shape) / early(fourier) - 1.0).max() < 1e-7


def test_diffusion_times(published):
    for row in published("diffusion_times.csv").itertuples():
        size, diffusivity = Q(row.a_mm_half_thickness_or_radius, "mm"), Q(row.D_m2_per_s, "m**2/s")
        rate = mac.exchange_rate(size, diffusivity, row.shape).magnitude
        assert rate == pytest.approx(row.k_LDF_per_h, rel=1e-9)
        half = (mac.fourier_for(0.5, row.shape) * size**2 / diffusivity).to("hour").magnitude
        assert half == pytest.approx(row.t50_h, rel=1e-4)


def test_leaching_text_examples(published):
    for row in published("leaching_examples.csv").itertuples():
        herb, water = Q(float(row.herb), "g"), Q(float(row.water), "percent_wb")
        portions = Q(np.array([float(x) for x in str(row.portions).split(";")]), "mL")
        kept = Q(row.retained, "mL/g")
        share = mac.share_extracted(herb, portions, kept, water)
        out = mac.liquid_out(herb, portions[0], kept, water).magnitude
        inside = row.herb * row.water / 100 + portions[0].magnitude - out
        ours = {"extract": out, "kept": inside, "share": share, "left of 3": 3.0 * (1.0 - share)}[row.quantity]
        assert ours == pytest.approx(row.printed, abs=row.within), row


def test_countercurrent(published):
    for row in published("countercurrent.csv").itertuples():
        ours = mac.countercurrent(row.R_overflow_over_underflow, row.n_washing_stages)
        assert ours == pytest.approx(row.fraction_recovered, abs=5.1e-7)


@pytest.mark.parametrize("passing", [0.3, 1.0, 1.5, 4.0])
@pytest.mark.parametrize("stages", [1, 2, 5])
def test_countercurrent_balances(passing, stages):
    # Stage j holds 1 part of liquid at x_j and passes R parts of x_j on; marc enters stage 1 with strength 1.
    balance = np.eye(stages) * (1.0 + passing) - np.eye(stages, k=-1) - passing * np.eye(stages, k=1)
    feed = np.zeros(stages)
    feed[0] = 1.0
    left = np.linalg.solve(balance, feed)[-1]
    assert mac.countercurrent(passing, stages) == pytest.approx(1.0 - left, abs=1e-12)


def test_maceration_stages(published):
    for row in published("maceration_stages.csv").itertuples():
        herb, total, kept = Q(1.0, "g"), Q(float(row.V_total_mL_per_g), "mL"), Q(row.retained_mL_per_g, "mL/g")
        for soaks, printed in ((1, row.single), (2, row.double_allowance_split), (3, row.triple_allowance_split)):
            split = mac.best_split(total, herb, kept, soaks)
            assert mac.share_extracted(herb, split, kept) == pytest.approx(printed, abs=5.1e-7)
        assert mac.endless_soaks(total, herb, kept) == pytest.approx(row.limit_infinite_small_washes, abs=5.1e-7)
        for soaks, printed in ((2, row.double_equal_split), (3, row.triple_equal_split)):
            if np.isfinite(printed):
                equal = Q(np.full(soaks, total.magnitude / soaks), "mL")
                assert mac.share_extracted(herb, equal, kept) == pytest.approx(printed, abs=5.1e-7)


def test_hand_and_press(published):
    for row in published("marc_retention.csv").itertuples():
        herb, poured, out = Q(row.herb, row.herb_unit), Q(row.poured, row.volume_unit), Q(row.out, row.volume_unit)
        kept = mac.retained_found(herb, poured, out)
        assert kept.magnitude == pytest.approx(row.kept_mL_per_g, abs=5.1e-4), row.how
        assert mac.share_extracted(herb, poured, kept) == pytest.approx(row.share_recovered, abs=1e-9), row.how
        assert mac.liquid_out(herb, poured, kept).to("mL").magnitude == pytest.approx(out.to("mL").magnitude)


def test_fresh_plant_equivalents(published):
    for row in published("fresh_plant_equivalents.csv").itertuples():
        ratio, water = (
            Q(float(row.mL_menstruum_per_g_fresh), "mL/g"),
            Q(row.moisture_mass_fraction * 100, "percent_wb"),
        )
        dry = mac.dry_equivalent(ratio, water).magnitude
        assert 1000.0 / dry == pytest.approx(row.dry_herb_equiv_mg_per_mL, abs=0.051)
        final = Q(95.0 * row.mL_menstruum_per_g_fresh / row.liquid_mL_per_g_fresh, "percent_vol")
        poured = mac.pour_for_dry_equivalent(Q(1.0, "g"), water, Q(dry, "mL/g"), final)
        assert poured.menstruum.magnitude == pytest.approx(row.mL_menstruum_per_g_fresh, rel=1e-9)
        assert poured.strength.magnitude == pytest.approx(95.0, rel=1e-9)
        assert final.magnitude == pytest.approx(row.ethanol_percent_v_v_no_contraction, abs=0.0051)
