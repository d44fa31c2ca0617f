"""Single calls of moist air and harvest against the bare float sum."""

from __future__ import annotations

from collections.abc import Iterator

from herbcalc import air, harvest
from herbcalc.units import Q
from tests.benchmarks.bench_ethanol import OVERHEAD
from tests.benchmarks.run import Row, best


def rows() -> Iterator[Row]:
    t, p, sea = Q(25.0, "degC"), Q(95_000.0, "Pa"), 101_325.0
    state, bare_state = (t, 0.5, p), (25.0, 0.5, 95_000.0)
    calls = {
        "air.saturation_pressure": (air.saturation_pressure, (t,), (25.0,)),
        "air.dew_point": (air.dew_point, (t, 0.5), (25.0, 0.5)),
        "air.vapour_pressure_deficit": (air.vapour_pressure_deficit, (t, 0.5), (25.0, 0.5)),
        "air.pressure_at": (air.pressure_at, (Q(1000.0, "m"),), (1000.0,)),
        "air.pick_up": (air.pick_up, (t, 0.5), (25.0, 0.5, 0.8, sea)),
        "harvest.allowance": (harvest.allowance, (60.0, 0.1), (60.0, 0.1)),
        "harvest.plants_needed": (harvest.plants_needed, (Q(1.2, "kg"), Q(250.0, "g")), (1200.0, 250.0)),
    }
    for name in ("humidity_ratio", "wet_bulb", "enthalpy", "specific_volume"):
        calls[f"air.{name}"] = (getattr(air, name), state, bare_state)
    for name, (call, given, numbers) in calls.items():
        bare = best(lambda call=call, numbers=numbers: call.plain(*numbers), times=500)
        whole = best(lambda call=call, given=given: call(*given), times=500)
        yield Row(f"{name}, one call (bare sum {1e6 * bare:.1f} µs)", 1e6 * whole, 1e6 * (10 * bare + OVERHEAD), "µs")
