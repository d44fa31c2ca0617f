"""Floor 3. Soak or drip, on equal terms: the same herb, or the same bottle."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from herbcalc.maceration import best_split, endless_soaks, herb_for, liquid_out, share_extracted
from herbcalc.percolation import menstruum_needed, share_after
from herbcalc.percolation.measured import HEMP_2022, SideBySide
from herbcalc.units.guard import NUMBER, RATIO, RETAINED, VOLUME, WEIGHT, guarded, take
from herbcalc.units.refusals import OutOfRange
from herbcalc.units.registry import Q

if TYPE_CHECKING:
    from pandas import DataFrame

__all__ = ["HEMP_2022", "SideBySide", "break_even", "soak_or_drip", "soaks_on_one_curve"]

NONE_OR_MORE = NUMBER.within(0.0)


def soak_or_drip(
    *,
    same: str = "herb",
    herb: Any = None,
    bottled: Any = None,
    ratio: Any,
    retained: Any,
    pressed: Any = None,
    soaks: int = 2,
    price: Any = None,
    soak_days: Any = 28,
    drip_days: Any = 2,
) -> DataFrame:
    """One soak, soaking again and the drip, side by side.

    same       "herb": each way gets the same herb; "bottle": each way fills the same bottle
    herb       weight of the dried herb, g, more than 0; with same="herb"
    bottled    wanted in the bottle, mL, more than 0; with same="bottle"
    ratio      menstruum added to the soak, and finished liquid of the drip, mL/g, more than 0
    retained   what the marc keeps, mL/g, 0 or more
    pressed    what the marc of a soak keeps when it is pressed, mL/g, 0 or more; left out: as `retained`
    soaks      how many soaks "soak again" makes of the same menstruum, by the best split, a whole number, 1 to 1000
    price      money for each mL of menstruum, plain, 0 or more; left out: no cost
    soak_days  days of one soak, plain, 0 or more (common practice, no source)
    drip_days  days of a percolation, plain, 0 or more (common practice, no source)

    Result: a DataFrame with rows "soak", "soak again" and "drip"; columns "herb (g)", "menstruum (mL)",
    "finished (mL)", "share of extract", "worth (g/mL)", "left in marc (mL)", "days", and with a price
    "cost per g-worth". A way that brings nothing has worth 0, and no end to its cost (inf).
    Refuses: WrongUnit, OutOfRange; Impossible with same="bottle" when the herb of a soak keeps all it is given.
    Source: plain balances; the drip's share is the curve 1 - e^(-v/0.6) of the percolations of 1866.

    >>> table = soak_or_drip(herb=Q(100, "g"), ratio=Q(5, "mL/g"), retained=Q(1.5, "mL/g"))
    >>> table[["menstruum (mL)", "finished (mL)", "share of extract"]].round(3).values.tolist()
    [[500.0, 350.0, 0.7], [500.0, 350.0, 0.787], [650.0, 500.0, 1.0]]
    """
    from pandas import DataFrame

    given = {"herb": herb, "bottle": bottled}
    if same not in given:
        raise OutOfRange(f'same: "{str(same)[:60]}" was given. There are "herb" and "bottle".')
    other = "bottle" if same == "herb" else "herb"
    if given[same] is None or given[other] is not None:
        name, surplus = ("herb", "bottled") if same == "herb" else ("bottled", "herb")
        raise OutOfRange(
            f'With same="{same}" give {name} and leave {surplus} out: that is what the ways are to share.'
        )
    r = _one("ratio", RATIO.more_than_none, ratio)
    kept = _one("retained", RETAINED, retained)
    squeezed = kept if pressed is None else _one("pressed", RETAINED, pressed)
    count = _one("soaks", NUMBER.within(1.0, 1000.0), soaks)
    if count != int(count):
        raise OutOfRange(f"soaks: {count:g} was given. One whole number is wanted, such as 2.")
    each_soak, drip = (_one(n, NONE_OR_MORE, v) for n, v in (("soak_days", soak_days), ("drip_days", drip_days)))

    if same == "herb":
        soaked = dripped = _one("herb", WEIGHT.more_than_none, herb)
    else:
        bottle = _one("bottled", VOLUME.more_than_none, bottled)
        soaked = herb_for(Q(bottle, "mL"), Q(r, "mL/g"), Q(squeezed, "mL/g")).magnitude
        dripped = bottle / r
    poured, finished = r * soaked, liquid_out.plain(soaked, r * soaked, squeezed, 0.0)
    portions = best_split.plain(poured, soaked, squeezed, count) if finished > 0.0 else np.array([poured])
    rows = {
        "soak": (soaked, poured, finished, share_extracted.plain(soaked, [poured], squeezed, 0.0), each_soak),
        "soak again": (
            soaked,
            poured,
            finished,
            share_extracted.plain(soaked, portions, squeezed, 0.0),
            int(count) * each_soak,
        ),
        "drip": (
            dripped,
            menstruum_needed.plain(dripped, r * dripped, kept),
            r * dripped,
            share_after.plain(r, 0.6),
            drip,
        ),
    }
    table = DataFrame.from_dict(
        {
            name: {
                "herb (g)": weight,
                "menstruum (mL)": used,
                "finished (mL)": out,
                "share of extract": share,
                "worth (g/mL)": share * weight / out if out > 0.0 else 0.0,
                "left in marc (mL)": used - out,
                "days": days,
            }
            for name, (weight, used, out, share, days) in rows.items()
        },
        orient="index",
    )
    if price is not None:
        money = _one("price", NONE_OR_MORE, price)
        gained = table["share of extract"] * table["herb (g)"]
        table["cost per g-worth"] = (money * table["menstruum (mL)"] / gained.where(gained > 0.0)).fillna(np.inf)
    return table


def _one(name: str, kind: Any, value: Any) -> float:
    number = take(name, kind, value)
    if np.ndim(number):
        raise OutOfRange(f"{name}: a list was given, and this table compares one case. Give one amount.")
    return number


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
    counts = range(1, int(most) + 1)
    splits = (best_split.plain(total, herb, retained, n) for n in counts)
    shares = np.array([share_extracted.plain(herb, split, retained, 0.0) for split in splits])
    return shares, endless_soaks.plain(total, herb, retained)
