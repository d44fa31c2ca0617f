"""Floor 2. Percolation: setting up the drip, how long it runs, and what has come out.

The bed models live in `washing` and `bed`, extracts made to volume in `fluidextract`; all their calls are here too.
Where nothing else is said an argument is one amount or a list, and lists are matched one by one.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from herbcalc.menstruum.ways_out import WayOut
from herbcalc.percolation.bed import TEACHING_BEDS, Bed, Run
from herbcalc.percolation.fluidextract import (
    Fraction,
    MotherTincture,
    Reserved,
    diluting_ethanol,
    drug_extract_ratio,
    fractional,
    mother_tincture,
    reserve_and_evaporate,
)
from herbcalc.percolation.measured import MEASURED_1866, Measured
from herbcalc.percolation.washing import exit_ratio, open_washing, share_washed, washing
from herbcalc.units.arrays import at_most, first_refused, plain
from herbcalc.units.guard import RATIO, RETAINED, SHARE, TIME, VOLUME, WEIGHT, Kind, give, guarded, match, take
from herbcalc.units.refusals import Impossible
from herbcalc.units.registry import Q, ureg
from herbcalc.units.saying import per_gram

__all__ = [
    "MEASURED_1866",
    "TEACHING_BEDS",
    "Bed",
    "Fit",
    "Fraction",
    "Measured",
    "MotherTincture",
    "Reserved",
    "Run",
    "bed_fits",
    "diluting_ethanol",
    "drops_per_minute",
    "drug_extract_ratio",
    "exit_ratio",
    "flow_band",
    "flow_for",
    "fractional",
    "menstruum_needed",
    "moistening",
    "mother_tincture",
    "open_washing",
    "reserve_and_evaporate",
    "running_time",
    "share_after",
    "share_washed",
    "stop_at",
    "washing",
    "whole_time",
]

PACKED = Kind("how tightly the powder is packed, g for each mL", "g/mL", "0.4 g/mL", low=0.0, above=True)
FLOW_PER_HERB = Kind("a flow for its herb", "mL/min/kg", "2 mL/min for each kg", low=0.0, above=True)
DAMP = Q(0.5, "mL/g")
FIRM = Q(0.4, "g/mL")
REST, STEEP = Q(6.0, "hour"), Q(24.0, "hour")
WASHING = Q(0.6, "mL/g")  # 0.47 to 0.77 covers the seven drugs of 1866
COUNT = Kind("a count", "", "20", low=0.0, above=True, plain=True)

# Upper ends in mL/min for each kg of dry powder. Slow and quick from memory of the old pharmacopoeias; moderate, 1 to
# 3, stands in USP 35 (licorice fluidextract, 1000 g at 1-3 mL/min, beside "a moderate rate").
FLOW_BANDS = {"slow": 1.0, "moderate": 3.0, "quick": 5.0}


@guarded("mL", herb=WEIGHT, bottled=VOLUME, retained=RETAINED)
def menstruum_needed(herb: Any, bottled: Any, retained: Any) -> Any:
    """Menstruum to have ready before the drip starts: what comes out, and what the marc keeps.

    herb      weight of the dry powder, g, 0 or more
    bottled   percolate wanted, mL, 0 or more
    retained  what the marc keeps, mL/g, 0 or more

    Result: mL, bottled + retained × herb. Refuses: WrongUnit, OutOfRange. Source: plain balance.

    >>> f"{menstruum_needed(Q(100, 'g'), Q(500, 'mL'), Q(1.5, 'mL/g')):.0f~P}"
    '650 mL'
    """
    return bottled + retained * herb


@guarded("hour", volume=VOLUME)
def running_time(volume: Any, drops_per_minute: Any, drops_per_mL: Any) -> Any:
    """Hours that the tap runs.

    volume            percolate wanted, mL, 0 or more
    drops_per_minute  counted at the tap, plain or 1/min, more than 0
    drops_per_mL      counted with this liquid from this tap, plain or 1/mL, more than 0

    Result: hours. A drop of spirit is smaller than a drop of water: count it, do not assume 20 to the mL.
    Refuses: WrongUnit, OutOfRange. Source: plain arithmetic.

    >>> f"{running_time(Q(500, 'mL'), 20, 37):.1f~P}"
    '15.4 h'
    """
    each_minute = _count("drops_per_minute", drops_per_minute, "1/min")
    each_mL = _count("drops_per_mL", drops_per_mL, "1/mL")
    lists = {"volume": volume, "drops_per_minute": each_minute, "drops_per_mL": each_mL}
    match(dict.fromkeys(lists, COUNT), lists)
    return volume * each_mL / each_minute / 60.0


@guarded(volume=VOLUME, time=TIME.more_than_none)
def drops_per_minute(volume: Any, time: Any, drops_per_mL: Any) -> Any:
    """How fast the tap must drip to be done in a given time.

    volume        percolate wanted, mL, 0 or more
    time          hours there are, more than 0
    drops_per_mL  counted with this liquid from this tap, plain or 1/mL, more than 0

    Result: drops for each minute, plain. Refuses: WrongUnit, OutOfRange. Source: plain arithmetic; undoes
    `running_time`.

    >>> round(drops_per_minute(Q(500, "mL"), Q(15.41666666, "hour"), 37), 3)
    20.0
    """
    each_mL = _count("drops_per_mL", drops_per_mL, "1/mL")
    lists = {"volume": volume, "time": time, "drops_per_mL": each_mL}
    match(dict.fromkeys(lists, COUNT), lists)
    return plain(volume * each_mL / (time * 60.0))


def _count(name: str, value: Any, unit: str) -> Any:
    """A counted number, given bare or with its unit; the name of the argument says the unit."""
    if isinstance(value, ureg.Quantity) and not value.dimensionless:
        return take(name, Kind("a count", unit, f"20 {unit}", low=0.0, above=True), value)
    return take(name, COUNT, value)


@guarded("mL", herb=WEIGHT, damp=RATIO)
def moistening(herb: Any, damp: Any = DAMP) -> Any:
    """Menstruum to dampen the powder before it is packed.

    herb  weight of the dry powder, g, 0 or more
    damp  mL/g, 0 or more; printed formulas run from 0.3 to 1

    Result: mL. It counts as part of the menstruum. Refuses: WrongUnit, OutOfRange.
    Source: old official formulas, 0.30 (hydrastis), 0.40 (quassia), 1.0 (valerian); 0.5 is a middle value.

    >>> f"{moistening(Q(100, 'g')):.0f~P}"
    '50 mL'
    """
    return herb * damp


class Fit(NamedTuple):
    """Does the powder fit: volume of the bed, volume that may be filled (both mL), and whether it goes in."""

    bed: Any
    room: Any
    fits: Any


@guarded(herb=WEIGHT, percolator=VOLUME.more_than_none, packed=PACKED, filled=SHARE.within(0.0, 1.0, above=True))
def bed_fits(herb: Any, percolator: Any, packed: Any = FIRM, filled: Any = 2 / 3) -> Fit:
    """Volume of the packed powder against the percolator.

    herb        weight of the dry powder, g, 0 or more
    percolator  volume of the whole cone, mL, more than 0
    packed      weight of a mL of packed powder, g/mL, more than 0; 0.3 to 0.5 is usual
    filled      share of the cone that may hold powder, plain, more than 0 and at most 1

    Result: Fit(bed, room, fits), mL, mL and True or False. Refuses: WrongUnit, OutOfRange.
    Source: common practice, no source (two thirds, so that a layer of menstruum stands above).

    >>> bed_fits(Q(100, "g"), Q(500, "mL")).fits, bed_fits(Q(200, "g"), Q(500, "mL")).fits
    (True, False)
    """
    bed, room = herb / packed, percolator * filled
    fits = at_most(bed, room)
    bed, room = np.broadcast_arrays(bed, room) if np.ndim(fits) else (bed, room)
    return Fit(give(bed, "mL"), give(room, "mL"), fits if np.ndim(fits) else bool(fits))


@guarded("mL/hour", herb=WEIGHT, rate=FLOW_PER_HERB)
def flow_for(herb: Any, rate: Any) -> Any:
    """Flow of the whole bed from the rate in the books, which is for each kg of powder.

    herb  weight of the dry powder, g, 0 or more
    rate  mL/min for each kg, more than 0; slow up to 1, moderate 1 to 3, quick 3 to 5

    Result: mL/hour. Refuses: WrongUnit, OutOfRange. Source: plain arithmetic.

    >>> f"{flow_for(Q(100, 'g'), Q(2, 'mL/min/kg')):.0f~P}"
    '12 mL/h'
    """
    return herb / 1000.0 * rate * 60.0


@guarded(herb=WEIGHT.more_than_none, flow=Kind("a flow", "mL/min", "2 mL/min", low=0.0))
def flow_band(herb: Any, flow: Any) -> str:
    """The old word for a rate of dripping.

    herb  weight of the dry powder, g, more than 0
    flow  of the whole bed, mL/min, 0 or more

    Result: "slow" (up to 1 mL/min for each kg), "moderate" (to 3), "quick" (to 5) or "quicker than the books".
    Refuses: WrongUnit, OutOfRange; one amount at a time. Source: `FLOW_BANDS`.

    >>> flow_band(Q(100, "g"), Q(0.2, "mL/min"))
    'moderate'
    """
    rate = float(flow / (herb / 1000.0))
    return next((word for word, end in FLOW_BANDS.items() if at_most(rate, end)), "quicker than the books")


@guarded(
    "hour",
    herb=WEIGHT.more_than_none,
    percolate=VOLUME,
    flow=Kind("a flow", "mL/hour", "12 mL/hour", low=0.0, above=True),
    rest=TIME,
    steep=TIME,
)
def whole_time(herb: Any, percolate: Any, flow: Any, rest: Any = REST, steep: Any = STEEP) -> Any:  # noqa: ARG001
    """From the dampened powder to the last drop.

    herb       weight of the dry powder, g, more than 0; none, no time (the sum itself does not need how much)
    percolate  to be collected, mL, 0 or more
    flow       of the whole bed, mL/hour, more than 0
    rest       covered, after dampening, hours, 0 or more; 15 min to 6 h in the old books
    steep      packed and full, tap closed, hours, 0 or more

    Result: hours. Refuses: WrongUnit, OutOfRange. Source: USP IX (1916), type process P: 6 h and 24 h.

    >>> f"{whole_time(Q(100, 'g'), Q(500, 'mL'), Q(12, 'mL/hour')):.1f~P}"
    '71.7 h'
    """
    return rest + steep + percolate / flow


@guarded(run=RATIO, curve=RATIO.more_than_none)
def share_after(run: Any, curve: Any = WASHING) -> Any:
    """Share of the extract that is out, on the plain curve for class: 1 - e^(-v/c).

    run    percolate for each g of herb, mL/g, 0 or more
    curve  the c of the curve, mL/g, more than 0; 0.47 to 0.77 covers what was measured, small washes out fast

    Result: plain number 0..1. Refuses: WrongUnit, OutOfRange.
    Source: curve fitted to the percolations of 1866 printed in Sulz, A Treatise on Beverages (1888).

    >>> round(share_after(Q(1, "mL/g")), 3)
    0.811
    """
    return plain(-np.expm1(-run / curve))


@guarded("mL/g", share=SHARE, curve=RATIO.more_than_none)
def stop_at(share: Any, curve: Any = WASHING) -> Any:
    """Percolate for each g of herb at which a given share of the extract is out; undoes `share_after`.

    share  wanted, plain, 0 or more and less than 1
    curve  the c of the curve, mL/g, more than 0

    Result: mL/g. Refuses: WrongUnit, OutOfRange; Impossible for a share of 1, which no drip reaches.
    Source: as `share_after`.

    >>> f"{stop_at(0.95):.2f~P}"
    '1.80 mL/g'
    """
    denied = first_refused(np.asarray(share) >= 1.0, curve)
    if denied:
        where, (c,) = denied
        enough = -c * np.log(0.01)
        raise Impossible(
            f"share{where}: the last trace never comes out, because every drop is a little weaker than the one "
            f"before. 99 of every 100 parts are out after {per_gram(enough)}.",
            [WayOut("stop", give(enough, "mL/g"), f"Stop at 99 of every 100 parts: {per_gram(enough)}.")],
        )
    return -curve * np.log1p(-share)
