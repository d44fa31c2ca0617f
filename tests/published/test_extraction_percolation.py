"""Washing curves and the percolator's bed against printed and independently computed figures."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ive

from herbcalc import percolation as per
from herbcalc.units import Q


def test_tanks_in_series(published):
    table = published("tanks_in_series.csv")
    theta, cells = table["theta_liquid_volumes"].to_numpy(), table["N"].to_numpy()
    assert np.abs(per.exit_ratio(theta, cells) - table["exit_ratio"]).max() < 5.1e-7
    assert np.abs(per.share_washed(theta, cells) - table["recovered_fraction"]).max() < 5.1e-7


def test_tanks_in_series_by_hand():
    # source: Levenspiel, Chemical Reaction Engineering, tanks in series, summed term by term
    for cells in (1, 3, 10, 40):
        for theta in (0.0, 0.1, 0.7, 1.0, 1.6, 3.0):
            terms = [1.0]
            for k in range(1, cells):
                terms.append(terms[-1] * cells * theta / k)
            terms = np.array(terms) * np.exp(-cells * theta)
            share = 1.0 - (terms * (cells - np.arange(cells))).sum() / cells
            assert per.exit_ratio(theta, cells) == pytest.approx(terms.sum(), abs=1e-12)
            assert per.share_washed(theta, cells) == pytest.approx(share, abs=1e-12)


def test_brenner_at_1_4_and_40(published):
    table = published("brenner_washing.csv")
    exit_, remaining = per.washing(table["T_pore_volumes"].to_numpy(), table["Pe_vL_over_D"].to_numpy())
    assert np.abs(exit_ - table["exit_concentration_ratio"]).max() < 1e-6
    assert np.abs(remaining - table["average_remaining_ratio"]).max() < 1e-6


def test_brenner_over_the_whole_range(published):
    table = published("brenner_computed.csv")
    assert {0.1, 1, 4, 10, 40, 100, 1000} <= set(table["peclet"])
    exit_, remaining = per.washing(table["displacements"].to_numpy(), table["peclet"].to_numpy())
    assert np.abs(exit_ - table["exit"]).max() < 1e-11
    assert np.abs(remaining - table["remaining"]).max() < 1e-11


def test_ogata_and_banks(published):
    table = published("ogata_banks.csv")
    ours = per.open_washing(table["T"].to_numpy(), table["Pe_vL_over_D"].to_numpy())
    assert np.abs(ours - table["wash_out_ratio"]).max() < 5.1e-7


def test_bed_against_its_table(published):
    for row in published("bed_cells.csv").itertuples():
        bed = per.Bed(
            Q(1.0, "g"),
            Q(row.w_mL_per_g, "mL/g"),
            Q(row.v_mL_per_g, "mL/g"),
            Q(row.F_mL_per_g_h, "mL/hour"),
            Q(row.k_per_h, "1/hour"),
            row.N,
        )
        run = bed.run(Q(row.V_collected_mL_per_g, "mL"))
        assert run.bottle == pytest.approx(row.recovered_exact_cells, abs=1e-6)
        assert run.exit == pytest.approx(row.exit_ratio_exact_cells, abs=1e-6)
        assert bed.effective_cells == pytest.approx(row.N_effective, abs=5.1e-5)
        near = per.share_washed(bed.displacements(Q(row.V_collected_mL_per_g, "mL")), bed.effective_cells)
        assert near == pytest.approx(row.recovered_closed_form, abs=1e-6)


def _lost(xi, tau):
    """1 - J(ξ, τ) of Anzelius 1926, by quadrature; I0 scaled so that nothing overflows."""
    inside = quad(
        lambda t: np.exp(-((np.sqrt(t) - np.sqrt(tau)) ** 2)) * ive(0, 2 * np.sqrt(tau * t)), 0, xi, epsabs=1e-12
    )
    return inside[0]


def test_anzelius_table(published):
    for row in published("anzelius.csv").itertuples():
        assert _lost(row.xi_transfer_units, row.tau) == pytest.approx(row.wash_out_ratio_1_minus_J, abs=1e-6)


@pytest.mark.parametrize(("xi", "tau"), [(1.0, 0.5), (2.0, 3.0), (5.0, 5.0), (5.0, 8.0)])
def test_endless_cells_are_anzelius(xi, tau):
    # Plug flow with exchange: ξ = k w/F, τ = k (V - v)/F. The cells come near to it as 1/N, so two N give the limit.
    free, held, exchange = 0.4, 0.6, 0.5
    flow = exchange * held / xi
    percolate = Q(free + tau * flow / exchange, "mL")
    fine, finer = (
        per.Bed(Q(1, "g"), Q(held, "mL/g"), Q(free, "mL/g"), Q(flow, "mL/hour"), Q(exchange, "1/hour"), n)
        .run(percolate)
        .exit
        for n in (300, 600)
    )
    assert abs(finer - _lost(xi, tau)) < 2e-3
    assert 2.0 * finer - fine == pytest.approx(_lost(xi, tau), abs=2e-5)


def test_bands_of_1866():
    # source: Squibb 1866 in Sulz, A Treatise on Beverages (1888); the dense root bed at 2 mL/min per kg
    herb = Q(497.66, "g")  # 16 troy oz
    bed = per.Bed.of("dense root powder", herb, per.flow_for(herb, Q(2, "mL/min/kg")))
    bands = [row for row in per.MEASURED_1866 if row.low is not None and row.low < 1.0]
    assert len(bands) == 2
    for row in bands:
        assert row.percolate.to("fl_oz/g").magnitude * 497.66 == pytest.approx(
            {0.61: 12, 0.71: 16}[row.low], abs=0.01
        )
        assert row.low < bed.run(row.percolate * herb).bottle < row.high
        for share in (row.low, row.high):  # every end of a band lies on a curve with c between 0.47 and 0.77
            curve = -row.percolate / np.log1p(-share)
            assert 0.465 < curve.magnitude < 0.775
            assert per.stop_at(share, curve).magnitude == pytest.approx(row.percolate.magnitude)
    middle = [per.share_after(row.percolate) for row in bands]
    assert all(row.low < share < row.high for row, share in zip(bands, middle, strict=True))
    practically = per.share_after(Q(1.4262, "mL/g"), Q(np.array([0.77, 0.6, 0.47]), "mL/g"))
    assert practically == pytest.approx([0.843, 0.907, 0.952], abs=1e-3)


def test_flow_rates(published):
    for row in published("percolation_flow_rates.csv").itertuples():
        if row.mL_per_min_per_1000g > 0:
            flow = per.flow_for(Q(1, "g"), Q(float(row.mL_per_min_per_1000g), "mL/min/kg"))
            assert flow.magnitude == pytest.approx(row.mL_per_g_per_h)
            assert 1.0 / flow.magnitude == pytest.approx(row.hours_to_collect_1_mL_per_g, abs=0.0051)


def test_echinacea_rate():
    # source: Bernatoniene et al. 2005, Ces. slov. Farm. 54:262-265: 1:5 tincture best at 0.2 mL/min from 100 g
    assert per.flow_band(Q(100, "g"), Q(0.2, "mL/min")) == "moderate"


@pytest.mark.parametrize(("mg_in_a_drop", "drops"), [(45, 22), (50, 20), (55, 18)])
def test_official_dropper(mg_in_a_drop, drops):
    # source: USP <1101>, medicine dropper: a drop of water weighs 45 to 55 mg, 18 to 22 drops to the mL
    per_mL = 1000.0 / mg_in_a_drop
    assert per_mL == pytest.approx(drops, abs=0.3)
    assert per.running_time(Q(60, "mL"), 20, Q(per_mL, "1/mL")).to("min").magnitude == pytest.approx(3.0 * per_mL)


def test_drug_extract_ratio():
    # source: EMA and Ph. Eur. 0765 wording, from memory: carriers are left out of the genuine ratio
    assert per.drug_extract_ratio(Q(200, "g"), Q(32, "g")) == 6.25
    assert per.drug_extract_ratio(Q(200, "g"), Q(40, "g"), Q(8, "g")) == 6.25
    assert per.drug_extract_ratio(Q(200, "g"), Q(40, "g")) == 5.0


def test_mother_tinctures(published):
    for row in published("mother_tincture.csv").itertuples():
        method = "2a" if "2a" in row.method else "3a"
        made = per.mother_tincture(
            Q(row.fresh_plant_kg_m, "kg"), Q(float(row.T_loss_on_drying_percent), "percent_wb"), method
        )
        assert made.ethanol.to("kg").magnitude == pytest.approx(row.A_ethanol_86pct_mm_kg)
        assert made.strength.magnitude == pytest.approx(row.ethanol_percent_m_m_in_liquid, abs=0.0051)


def test_mother_tincture_strengths():
    # source: a public list of mother tinctures citing HAB 2010: 2a 50.6 % vol, plant : ethanol 1 : 0.67, 3a 1 : 1.33
    from herbcalc.ethanol import to_volume

    two, three = (per.mother_tincture(Q(100, "g"), Q(67, "percent_wb"), m) for m in ("2a", "3a"))
    assert to_volume(two.strength).magnitude == pytest.approx(50.6, abs=0.05)
    assert two.ethanol.magnitude / 100 == pytest.approx(0.67, abs=0.005)
    assert three.ethanol.magnitude / 100 == pytest.approx(1.33, abs=0.015)
