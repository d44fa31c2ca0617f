"""Floor 2. Sorption: where a herb stops drying, because the air has no more room for its water.

In still air of one damp every plant comes to rest at one moisture, however long it hangs. Most curves here are
illustrative: no constants of a temperate medicinal herb were found in open print. `sorption(herb)` tells which.
"""

from __future__ import annotations

import csv
import functools
from importlib.resources import files
from typing import Any, NamedTuple

import numpy as np

from herbcalc.units.arrays import above, first_refused, plain
from herbcalc.units.guard import TEMPERATURE, Kind, guarded
from herbcalc.units.refusals import OutOfRange, quoted
from herbcalc.units.saying import said

GAS = 8.314  # J/(mol K)
DAMPEST = 0.95  # share of all the water the air could hold; past it the curves run away, and none was measured there
ROOM = TEMPERATURE.within(0.0, 50.0)
DAMP = Kind("the damp of the air (rh)", "", "0.5, which is 50 of every 100", low=0.0, high=DAMPEST, plain=True)


def _against_dry(water: Any) -> Any:
    """Moisture of the plant as weighed, against the dry plant; all water has no end."""
    with np.errstate(divide="ignore"):
        return plain(np.divide(100.0 * np.asarray(water), 100.0 - np.asarray(water)))


MOISTURE = Kind(
    "a moisture",
    "percent_db",
    "11.1 % of the dry weight (percent_db), or 10 % water (percent_wb)",
    low=0.0,
    also={"percent_wb": _against_dry},
)


class Sorption(NamedTuple):
    """The curve that is used for a herb, and how far to trust it.

    herb          as it was asked for
    curve         the plant whose curve it is
    illustrative  True where it is no measured curve of this very plant: every screen has to say so
    temperatures  °C, the lowest and highest it was measured at; damp: rh, a share, likewise
    note          a sentence for the student
    source        where the figures come from
    """

    herb: str
    curve: str
    illustrative: bool
    temperatures: tuple[float, float]
    damp: tuple[float, float]
    note: str
    source: str


class _Row(NamedTuple):
    model: str
    constants: dict[str, float]
    tells: Sorption


@functools.cache
def _rows() -> dict[str, _Row]:
    text = (files("herbcalc") / "data" / "sorption.csv").read_text(encoding="utf-8")
    found = {}
    for row in csv.DictReader(line for line in text.splitlines() if not line.startswith("#")):
        pairs = (pair.split("=") for pair in row["constants"].split(";"))
        constants = {name.strip(): float(number) for name, number in pairs}
        borrowed = [name.strip() for name in row["stands_for"].split(";") if name.strip()]
        for name in (row["name"], *borrowed):
            illustrative = name in borrowed or row["kind"] == "illustrative"
            found[name] = _Row(
                row["model"],
                constants,
                Sorption(
                    name,
                    row["name"],
                    illustrative,
                    (float(row["t_low"]), float(row["t_high"])),
                    (float(row["rh_low"]), float(row["rh_high"])),
                    _note(name, row["name"], illustrative),
                    row["source"],
                ),
            )
    return found


def _note(name: str, curve: str, illustrative: bool) -> str:
    if not illustrative:
        return f"The curve of {name} was measured and printed."
    if name != curve:
        return f"Illustrative: no measured curve of {name} was found, so it borrows the one for {curve}."
    return f"Illustrative: the curve for {name} is drawn for class, and was not measured as a whole."


def herbs() -> list[str]:
    """The names that `equilibrium_moisture` knows.

    >>> "lemon balm" in herbs(), "rosehip" in herbs()
    (True, True)
    """
    return list(_rows())


def sorption(herb: str) -> Sorption:
    """Which curve a herb has here, and whether it is illustrative.

    herb  one of `herbs()`, in any case

    Result: Sorption(herb, curve, illustrative, temperatures, damp, note, source). Refuses: OutOfRange for a herb that
    is not in the list. Source: data/sorption.csv.

    >>> sorption("rosehip").note
    'Illustrative: no measured curve of rosehip was found, so it borrows the one for apple.'
    >>> sorption("wood").illustrative
    False
    """
    return _row(herb).tells


def _row(herb: Any) -> _Row:
    name = " ".join(herb.casefold().split()) if isinstance(herb, str) else ""
    if name not in _rows():
        raise OutOfRange(
            f"herb: {quoted(herb)} has no curve here. What would work: {', '.join(_rows())}. For another plant take "
            '"leaf", "flower" or "root", and treat the figure as illustrative.'
        )
    return _rows()[name]


@guarded("percent_db", T=ROOM, rh=DAMP)
def equilibrium_moisture(herb: str, T: Any, rh: Any) -> Any:
    """The moisture at which a herb comes to rest in the air of a room, however long it hangs there.

    herb  one of `herbs()`; `sorption(herb)` says whether its curve is illustrative
    T     temperature of the air, °C, 0 to 50
    rh    damp of the air as a plain share, 0 to 0.95 (0.5 is 50 of every 100)

    Result: percent_db; `moisture.to_wet_basis` turns it into water in the herb as weighed. Refuses: WrongUnit;
    OutOfRange also for a herb without a curve, and rh 0 where a curve has none. Source: data/sorption.csv, row by
    row.

    >>> from herbcalc.units import Q
    >>> f"{equilibrium_moisture('lemon balm', Q(25, 'degC'), 0.6).magnitude:.1f} % of the dry weight"
    '12.4 % of the dry weight'
    """
    row = _row(herb)
    return 100.0 * _MODELS[row.model](row.constants, T, rh)


@guarded(None, T=ROOM, moisture=MOISTURE)
def damp_for(herb: str, T: Any, moisture: Any) -> Any:
    """The damp of air in which a herb holds a moisture: drier than that, and it dries on; undoes
    `equilibrium_moisture`.

    herb      one of `herbs()`
    T         temperature of the air, °C, 0 to 50
    moisture  percent_db or percent_wb, 0 or more

    Result: rh, a plain share. Refuses: WrongUnit; OutOfRange also for a moisture above the one at rh 0.95.
    Source: as `equilibrium_moisture`, halved down between 0 and 0.95.

    >>> from herbcalc.units import Q
    >>> round(damp_for("lemon balm", Q(25, "degC"), Q(10, "percent_wb")), 3)
    0.548
    """
    row = _row(herb)
    wanted, T = np.broadcast_arrays(np.asarray(moisture, dtype=float) / 100.0, np.asarray(T, dtype=float))
    model = _MODELS[row.model]
    dampest = model(row.constants, T, np.full(wanted.shape, DAMPEST))
    if refused := first_refused(above(wanted, dampest), 100.0 * wanted, 100.0 * dampest):
        where, (much, most) = refused
        raise OutOfRange(
            f"moisture{where}: {said(much, 'percent_db')} is more than air alone can hold in this herb. At rh 0.95 "
            f"it is {said(most, 'percent_db')}. Anything up to that would work; wetter herb dries in any air."
        )
    low, high = np.full(wanted.shape, 1e-12), np.full(wanted.shape, DAMPEST)
    for _ in range(60):
        middle = (low + high) / 2.0
        over = model(row.constants, T, middle) > wanted
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return plain((low + high) / 2.0)


# --- the equations: kg/kg from °C and a share ----------------------------------------------------------------------


def _oswin(c: dict[str, float], T: Any, rh: Any) -> Any:
    return (c["A"] + c["B"] * T) * (rh / (1.0 - rh)) ** c["N"]


def _gab(c: dict[str, float], T: Any, rh: Any) -> Any:
    warm = GAS * (T + 273.15)
    Xm, C, K = (c[name] * np.exp(c.get(f"d{name}", 0.0) / warm) for name in ("Xm", "C", "K"))
    return Xm * C * K * rh / ((1.0 - K * rh) * (1.0 - K * rh + C * K * rh))


def _henderson(c: dict[str, float], T: Any, rh: Any) -> Any:
    return (-np.log1p(-rh) / (c["A"] * (T + c["C"]))) ** (1.0 / c["B"]) / 100.0


def _chung_pfost(c: dict[str, float], T: Any, rh: Any) -> Any:
    if refused := first_refused(np.asarray(rh) <= 0.0, rh):
        raise OutOfRange(f"rh{refused[0]}: 0 was given, and this curve says nothing of bone-dry air. 0.1 would work.")
    return np.maximum(-np.log(-(T + c["C"]) * np.log(rh) / c["A"]) / c["B"], 0.0)


def _hailwood_horrobin(c: dict[str, float], T: Any, rh: Any) -> Any:
    W, K, k1, k2 = (c[f"{name}0"] + c[f"{name}1"] * T + c[f"{name}2"] * T**2 for name in "WKpq")
    once, twice = k1 * K * rh, k1 * k2 * (K * rh) ** 2
    return 18.0 / W * (K * rh / (1.0 - K * rh) + (once + 2.0 * twice) / (1.0 + once + twice))


_MODELS = {
    "oswin": _oswin,
    "gab": _gab,
    "henderson": _henderson,
    "chung-pfost": _chung_pfost,
    "hailwood-horrobin": _hailwood_horrobin,
}
