"""Floor 3. Soak or drip, on equal terms: the same herb, the same bottle, or the same herb and menstruum."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, Any

import numpy as np

from herbcalc.maceration import best_split, endless_soaks, herb_for, liquid_out, share_extracted
from herbcalc.percolation import Bed, flow_for, menstruum_needed, share_after
from herbcalc.percolation.measured import HEMP_2022, SideBySide
from herbcalc.units.arrays import whole
from herbcalc.units.guard import NUMBER, RATIO, RETAINED, VOLUME, WEIGHT, Kind, guarded, take
from herbcalc.units.refusals import OutOfRange, one_of
from herbcalc.units.registry import Q

if TYPE_CHECKING:
    from pandas import DataFrame

__all__ = ["HEMP_2022", "SideBySide", "break_even", "soak_or_drip", "soaks_on_one_curve", "ways"]

NONE_OR_MORE = NUMBER.within(0.0)


SAME = {"herb": ("herb",), "bottle": ("bottled",), "herb and menstruum": ("herb", "menstruum")}
TAP = Q(2.0, "mL/min/kg")  # a moderate drip, for the share that a teaching bed lets go


def ways(
    *,
    same: str = "herb",
    herb: Any = None,
    bottled: Any = None,
    menstruum: Any = None,
    ratio: Any = None,
    retained: Any,
    pressed: Any = None,
    dripped: Any = None,
    soaks: int = 2,
    bed: str | None = None,
    price: Any = None,
    soak_days: Any = 28,
    drip_days: Any = 2,
) -> dict[str, dict[str, float]]:
    """One soak, soaking again and the drip, side by side.

    same       "herb": each way gets the same herb; "bottle": each way fills the same bottle; "herb and menstruum":
               each way gets the same of both
    herb       weight of the dried herb, g, more than 0; with same="herb" and "herb and menstruum"
    bottled    wanted in the bottle, mL, more than 0; with same="bottle"
    menstruum  poured on in all, mL, more than 0; with same="herb and menstruum"
    ratio      menstruum added to the soak, and finished liquid of the drip, mL/g, more than 0; with
               same="herb and menstruum" it follows from the two, and may be left out
    retained   what the marc keeps, mL/g, 0 or more
    pressed    what the marc of a soak keeps when it is pressed, mL/g, 0 or more; left out: as `retained`
    dripped    what the drained bed of the drip keeps, mL/g, 0 or more; left out: as `retained`
    soaks      how many soaks "soak again" makes of the same menstruum, by the best split, a whole number, 1 to 1000
    bed        name of a teaching bed, for what the drip draws; left out: the plain curve
    price      money for each mL of menstruum, plain, 0 or more; left out: no cost
    soak_days  days of one soak, plain, 0 or more (common practice, no source)
    drip_days  days of a percolation, plain, 0 or more (common practice, no source)

    Result: for "soak", "soak again" and "drip": "herb (g)", "menstruum (mL)", "finished (mL)", "share of extract",
    "worth (g/mL)", "left in marc (mL)", "days", and with a price "cost per g-worth". A way that brings nothing has
    worth 0, and no end to its cost (inf). The share of a drip is one of what such a drip can draw, which need not be
    all that is in the herb.
    Refuses: WrongUnit, OutOfRange; Impossible with same="bottle" when the herb of a soak keeps all it is given.
    Source: plain balances; the drip's share is the curve 1 - e^(-v/0.6) of the percolations of 1866, or `Bed.run` at
    2 mL/min for each kg.

    >>> found = ways(herb=Q(100, "g"), ratio=Q(5, "mL/g"), retained=Q(1.5, "mL/g"))
    >>> {way: round(row["share of extract"], 3) for way, row in found.items()}
    {'soak': 0.7, 'soak again': 0.787, 'drip': 1.0}
    """
    shared = _shared(same, {"herb": herb, "bottled": bottled, "menstruum": menstruum})
    kept = _one("retained", RETAINED, retained)
    squeezed = kept if pressed is None else _one("pressed", RETAINED, pressed)
    drained = kept if dripped is None else _one("dripped", RETAINED, dripped)
    count = _one("soaks", NUMBER.within(1.0, 1000.0), soaks)
    if whole(count) is None:
        raise OutOfRange(f"soaks: {count:g} was given. One whole number is wanted, such as 2.")
    each_soak, drip = (_one(n, NONE_OR_MORE, v) for n, v in (("soak_days", soak_days), ("drip_days", drip_days)))
    r = shared["menstruum"] / shared["herb"] if "menstruum" in shared else _ratio(ratio)
    if same == "bottle":
        wanted = shared["bottled"]
        soaked = herb_for(Q(wanted, "mL"), Q(r, "mL/g"), Q(squeezed, "mL/g")).magnitude
        weight, out = wanted / r, wanted
    else:
        soaked = weight = shared["herb"]
        out = max(shared["menstruum"] - drained * weight, 0.0) if "menstruum" in shared else r * weight
    used = shared.get("menstruum", menstruum_needed.plain(weight, out, drained))
    rows = {
        "soak": _soak(soaked, r, squeezed, 1, each_soak),
        "soak again": _soak(soaked, r, squeezed, int(count), each_soak),
        "drip": _row(weight, used, out, _washed(weight, out, bed), drip),
    }
    if price is not None:
        money = _one("price", NONE_OR_MORE, price)
        for row in rows.values():
            gained = row["share of extract"] * row["herb (g)"]
            row["cost per g-worth"] = money * row["menstruum (mL)"] / gained if gained > 0.0 else np.inf
    return rows


@functools.wraps(ways, assigned=(), updated=())  # it says of itself that it takes what `ways` takes
def soak_or_drip(**asked: Any) -> DataFrame:
    """The three `ways` as one table: takes what `ways` takes, by name.

    Result: a DataFrame with rows "soak", "soak again" and "drip", and the columns that are named there.
    Refuses: as `ways`. Source: as `ways`.

    >>> table = soak_or_drip(herb=Q(100, "g"), ratio=Q(5, "mL/g"), retained=Q(1.5, "mL/g"))
    >>> table[["menstruum (mL)", "finished (mL)", "share of extract"]].round(3).values.tolist()
    [[500.0, 350.0, 0.7], [500.0, 350.0, 0.787], [650.0, 500.0, 1.0]]
    """
    from pandas import DataFrame  # takes long to load, and nothing else here needs it

    return DataFrame.from_dict(ways(**asked), orient="index")


def _row(herb: float, menstruum: float, finished: float, share: float, days: float) -> dict[str, float]:
    """One way of making it."""
    return {
        "herb (g)": herb,
        "menstruum (mL)": menstruum,
        "finished (mL)": finished,
        "share of extract": share,
        "worth (g/mL)": share * herb / finished if finished > 0.0 else 0.0,
        "left in marc (mL)": menstruum - finished,
        "days": days,
    }


def _soak(herb: float, ratio: float, retained: float, soaks: int, days: float) -> dict[str, float]:
    """So many soaks of one herb with the same menstruum in all, by the best split."""
    poured = ratio * herb
    finished = liquid_out.plain(herb, poured, retained, 0.0)
    splits = soaks > 1 and finished > 0.0  # a marc that drinks it all leaves nothing to split
    portions = best_split.plain(poured, herb, retained, soaks) if splits else [poured]
    return _row(herb, poured, finished, share_extracted.plain(herb, portions, retained, 0.0), soaks * days)


def _washed(herb: float, out: float, bed: str | None) -> float:
    """Share that the drip draws, of what such a drip can draw."""
    if bed is None:
        return float(share_after.plain(out / herb, 0.6))
    return float(Bed.of(bed, Q(herb, "g"), flow_for(Q(herb, "g"), TAP)).run(Q(out, "mL")).bottle)


def _shared(same: str, given: dict[str, Any]) -> dict[str, float]:
    """What the ways are to share, in g and mL."""
    one_of("same", same, tuple(SAME))
    wanted = SAME[same]
    surplus = [name for name, value in given.items() if name not in wanted and value is not None]
    if surplus or any(given[name] is None for name in wanted):
        leave = surplus or [name for name in given if name not in wanted]
        raise OutOfRange(
            f'With same="{same}" give {" and ".join(wanted)} and leave {" and ".join(leave)} out: that is what the '
            "ways are to share."
        )
    kinds = {"herb": WEIGHT, "bottled": VOLUME, "menstruum": VOLUME}
    return {name: _one(name, kinds[name].more_than_none, given[name]) for name in wanted}


def _ratio(ratio: Any) -> float:
    if ratio is None:
        raise OutOfRange("ratio: none was given. Give the ratio of the two ways, such as 5 mL/g.")
    return _one("ratio", RATIO.more_than_none, ratio)


def _one(name: str, kind: Kind, value: Any) -> float:
    number = take(name, kind, value)
    if np.ndim(number):
        raise OutOfRange(f"{name}: a list was given, and this table compares one case. Give one amount.")
    return float(number)


@guarded("mL/g", ratio=RATIO.more_than_none, retained=RETAINED)
def break_even(ratio: Any, retained: Any) -> Any:
    """How hard a soak must be pressed until the drip no longer saves menstruum for the same bottle.

    ratio     1:r of both ways, mL/g, more than 0
    retained  what the marc of the drip keeps, mL/g, 0 or more

    Result: mL/g left in the pressed marc at the tie, r k/(r + k). Pressed harder than that, the soak uses less.
    Refuses: WrongUnit, OutOfRange. Source: r/(r - pressed) = (r + k)/r, menstruum for each mL in the bottle.

    >>> f"{break_even(Q(5, 'mL/g'), Q(1.5, 'mL/g')):.2f~P}"
    '1.15 mL/g'
    """
    return ratio * retained / (ratio + retained)


@guarded(total=VOLUME, herb=WEIGHT.more_than_none, retained=RETAINED, most=NUMBER.within(1.0, 100.0))
def soaks_on_one_curve(total: Any, herb: Any, retained: Any, most: Any = 10) -> tuple[Any, float]:
    """The same menstruum in one soak, two, three and so on: all points of one curve.

    total     menstruum in all, mL, more than the marc keeps
    herb      weight of the dried herb, g, more than 0
    retained  what the marc keeps, mL/g, 0 or more
    most      the last number of soaks, a whole number, 1 to 100

    Result: (shares for 1 to `most` soaks by the best split, the share they come near to), plain numbers 0..1.
    Refuses: WrongUnit, OutOfRange; Impossible when the marc keeps it all. Source: as `maceration.best_split`.

    >>> shares, limit = soaks_on_one_curve(Q(500, "mL"), Q(100, "g"), Q(1.5, "mL/g"), 3)
    >>> shares.round(3), round(limit, 3)
    (array([0.7  , 0.787, 0.822]), 0.903)
    """
    last = whole(most)
    if last is None:
        raise OutOfRange(f"most: {most:g} was given. One whole number is wanted, such as 5.")
    counts = range(1, last + 1)
    splits = (best_split.plain(total, herb, retained, n) for n in counts)
    shares = np.array([share_extracted.plain(herb, split, retained, 0.0) for split in splits])
    return shares, endless_soaks.plain(total, herb, retained)
