"""A million values against the formula's bare polynomials; single calls against the bare float sum."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from herbcalc import ethanol, menstruum, moisture
from herbcalc.ethanol import formula as table
from herbcalc.units import Q
from tests.benchmarks.run import Row, best

OVERHEAD = 40e-6  # seconds that a unit-aware call may take on top of ten times its bare sum


def polynomials(p: np.ndarray, t: float) -> np.ndarray:
    """The formula as printed, at one temperature: a polynomial in p for each power of (t - 20), by Horner's rule."""
    d = t - 20.0
    most = max(len(row) for row in table._COEFFICIENTS[1:])
    total = np.zeros_like(p)
    for power in range(most):
        row = [r[-1 - power] if power < len(r) else 0.0 for r in table._COEFFICIENTS]
        while row[-1] == 0.0:
            row.pop()
        if power:
            row[0] = 0.0  # pure water's own terms do not depend on p and are added once, below
        value = np.full_like(p, row[-1])
        for c in reversed(row[:-1]):
            value = value * p + c
        total += value * d**power
    return total + sum(
        c * d ** (len(table._COEFFICIENTS[0]) - 1 - i) for i, c in enumerate(table._COEFFICIENTS[0][:-1])
    )


def collapsed(p: np.ndarray, coefficients: tuple[float, ...]) -> np.ndarray:
    """The same with the temperature worked in beforehand: one polynomial. A harder yardstick, for interest."""
    value = np.full_like(p, coefficients[0])
    for c in coefficients[1:]:
        value = value * p + c
    return value


def rows() -> Iterator[Row]:
    x = np.random.default_rng(1).uniform(0.0, 100.0, 1_000_000)
    p = x / 100.0
    by_mass, by_volume, warm = Q(x, "percent_mass"), Q(x, "percent_vol"), Q(25.0, "degC")
    assert np.allclose(polynomials(p, 25.0), ethanol.density(by_mass, warm).magnitude, rtol=0, atol=1e-6)
    yardstick = best(lambda: polynomials(p, 25.0))
    print(f"  the bare polynomials take {1000 * yardstick:.0f} ms for a million values, all else equal;")
    print(f"  with the temperature worked in beforehand {1000 * best(lambda: collapsed(p, table._AT_20)):.0f} ms")
    for what, call, bar in (
        ("density of percent_mass", lambda: ethanol.density(by_mass, warm), 1.5),
        ("density of percent_vol", lambda: ethanol.density(by_volume, warm), 4.0),
        ("to_mass of percent_vol", lambda: ethanol.to_mass(by_volume), 4.0),
    ):
        yield Row(f"{what}, a million values, against the bare polynomials", best(call) / yardstick, bar, "x")
    yield from single_calls()


def single_calls() -> Iterator[Row]:
    def v(number):
        return Q(number, "percent_vol")

    herb, water, poured, spirit = Q(100.0, "g"), Q(80.0, "percent_wb"), Q(200.0, "mL"), v(40.0)
    ratio, floor, strong, warm = Q(2.0, "mL/g"), v(35.0), v(95.0), Q(25.0, "degC")
    litre, heavy = Q(1000.0, "mL"), Q(948.0, "kg/m**3")
    volumes, strengths = Q(np.array([500.0, 500.0]), "mL"), v(np.array([95.0, 0.0]))
    fresh = Q(1000.0, "g")
    calls = {
        "ethanol.density": (ethanol.density, (Q(33.0, "percent_mass"), warm), (33.0, 25.0)),
        "ethanol.strength_from_density": (ethanol.strength_from_density, (heavy, warm), (948.0, 25.0)),
        "ethanol.true_strength": (ethanol.true_strength, (spirit, warm), (40.0, 25.0)),
        "ethanol.mix": (ethanol.mix, (volumes, strengths), (volumes.magnitude, strengths.magnitude)),
        "moisture.dried_weight": (moisture.dried_weight, (fresh, water), (1000.0, 80.0, 10.0)),
        "menstruum.cut": (menstruum.cut, (strong, v(50.0), litre), (95.0, 50.0, 1000.0)),
        "menstruum.blend": (menstruum.blend, (strong, spirit, v(50.0), litre), (95.0, 40.0, 50.0, 1000.0)),
    }
    jar, bare_jar = (herb, water, poured, spirit), (100.0, 80.0, 200.0, 40.0)
    for rule in ("kitchen", "measured"):
        calls |= {
            f"menstruum.final_strength, {rule}": (menstruum.final_strength, (*jar, rule), (*bare_jar, rule)),
            f"menstruum.smallest_ratio, {rule}": (
                menstruum.smallest_ratio,
                (water, spirit, floor, rule),
                (80.0, 40.0, 35.0, rule),
            ),
            f"menstruum.strength_to_pour, {rule}": (
                menstruum.strength_to_pour,
                (ratio, water, floor, rule),
                (2.0, 80.0, 35.0, rule),
            ),
            f"menstruum.wettest_plant, {rule}": (
                menstruum.wettest_plant,
                (ratio, spirit, floor, rule),
                (2.0, 40.0, 35.0, rule),
            ),
            f"menstruum.rescue, {rule}": (
                menstruum.rescue,
                (*jar, floor, strong, rule),
                (*bare_jar, 35.0, 95.0, rule),
            ),
        }
    for name, (call, quantities, numbers) in calls.items():
        bare = best(lambda call=call, numbers=numbers: call.plain(*numbers), times=500)
        whole = best(lambda call=call, quantities=quantities: call(*quantities), times=500)
        yield Row(f"{name}, one call (bare sum {1e6 * bare:.1f} µs)", 1e6 * whole, 1e6 * (10 * bare + OVERHEAD), "µs")
    # These two hand on what the guard has turned, so their bare sum is the turning itself.
    for name, call, given, turn in (
        ("ethanol.to_mass", ethanol.to_mass, spirit, lambda: 100.0 * table.mass_share(0.4)),
        ("ethanol.to_volume", ethanol.to_volume, Q(33.0, "percent_mass"), lambda: 100.0 * table.volume_share(0.33)),
    ):
        bare = best(turn, times=500)
        whole = best(lambda call=call, given=given: call(given), times=500)
        yield Row(f"{name}, one call (bare sum {1e6 * bare:.1f} µs)", 1e6 * whole, 1e6 * (10 * bare + OVERHEAD), "µs")
