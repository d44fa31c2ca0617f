"""Floor 2. What "1:5" says: three readings are alive, and none of them is the same for a fresh plant.

"added": menstruum poured for each gram as weighed. "finished": liquid in the bottle for each gram as weighed.
"dry": all the liquid, the plant's water counted in, for each gram of dry plant.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from herbcalc.ethanol import STRENGTH
from herbcalc.menstruum.ways_out import STRONGEST, WayOut
from herbcalc.units.arrays import above, first_refused
from herbcalc.units.constants import FL_OZ_PER_OZ
from herbcalc.units.guard import RATIO, RETAINED, VOLUME, WATER, WEIGHT, give, guarded, take
from herbcalc.units.refusals import Impossible, one_of
from herbcalc.units.registry import Q
from herbcalc.units.saying import per_gram, said

CONVENTIONS = {
    "added": "menstruum added",
    "finished": "finished liquid",
    "dry": "dry plant, its water counted in",
}
DRIED = Q(0.0, "percent_wb")
NOTHING = Q(0.0, "mL/g")


@guarded("mL", herb=WEIGHT, ratio=RATIO)
def menstruum_for(herb: Any, ratio: Any) -> Any:
    """Menstruum for a weighed herb at 1:r, menstruum added.

    herb   weight as weighed, g, 0 or more
    ratio  mL/g, 0 or more

    Result: mL, ratio × herb. Refuses: WrongUnit, OutOfRange. Source: the weighed ratio of the trade, g to mL.

    >>> f"{menstruum_for(Q(4, 'oz'), Q(5, 'mL/g')):.0f~P}"
    '567 mL'
    """
    return ratio * herb


@guarded("g", menstruum=VOLUME, ratio=RATIO.more_than_none)
def herb_for_menstruum(menstruum: Any, ratio: Any) -> Any:
    """Herb for a measured menstruum at 1:r, menstruum added.

    menstruum  mL, 0 or more
    ratio      mL/g, more than 0

    Result: g, menstruum / ratio. Refuses: WrongUnit, OutOfRange. Source: as `menstruum_for`.

    >>> f"{herb_for_menstruum(Q(750, 'mL'), Q(5, 'mL/g')):.0f~P}"
    '150 g'
    """
    return menstruum / ratio


@guarded("mL/g", herb=WEIGHT.more_than_none, menstruum=VOLUME)
def ratio_of(herb: Any, menstruum: Any) -> Any:
    """The ratio that was made, menstruum added.

    herb       weight as weighed, g, more than 0
    menstruum  poured, mL, 0 or more

    Result: mL/g. Refuses: WrongUnit, OutOfRange. Source: as `menstruum_for`.

    >>> f"{ratio_of(Q(150, 'g'), Q(750, 'mL')):.0f~P}"
    '5 mL/g'
    """
    return menstruum / herb


@guarded("mL/g", ratio=RATIO)
def by_ounces(ratio: Any) -> Any:
    """What 1:r becomes when r fluid ounces (US) go on each ounce on the scale: 4.3 % more liquid.

    ratio  as said, mL/g, 0 or more

    Result: mL/g really poured. Refuses: WrongUnit, OutOfRange. Source: NIST Handbook 44, Appendix C, both ounces.

    >>> f"{by_ounces(Q(5, 'mL/g')):.3f~P}"
    '5.216 mL/g'
    """
    return ratio / FL_OZ_PER_OZ


@guarded("mL/g", ratio=RATIO, water=WATER)
def dry_equivalent(ratio: Any, water: Any) -> Any:
    """A ratio on the plant as weighed, read as dry plant: fresh 1:2 at 80 % water is 1:14.

    ratio  menstruum added for each g as weighed, mL/g, 0 or more
    water  the plant's water, 0 to 95 % wb

    Result: mL of all the liquid for each g of dry plant, (r + w)/(1 - w). Refuses: WrongUnit, OutOfRange.
    Source: plain balance, 1 g of plant water taking 1 mL.

    >>> f"{dry_equivalent(Q(2, 'mL/g'), Q(80, 'percent_wb')):.0f~P}"
    '14 mL/g'
    """
    w = water / 100.0
    return (ratio + w) / (1.0 - w)


@guarded("mL/g", ratio=RATIO, water=WATER, retained=RETAINED)
def read_ratio(ratio: Any, given: str, wanted: str, water: Any = DRIED, retained: Any = NOTHING) -> Any:
    """One ratio in another of its three readings.

    ratio     mL/g, 0 or more
    given     "added", "finished" or "dry"
    wanted    "added", "finished" or "dry"
    water     the plant's water, 0 to 95 % wb
    retained  what the marc keeps, mL for each g of dry plant, 0 or more; matters for "finished" only

    Result: mL/g. Refuses: WrongUnit, OutOfRange; Impossible when there is no such reading: nothing comes out of the
    jar, or the plant's own water is already more than the whole. Source: plain balance, volumes simply add.

    >>> f"{read_ratio(Q(5, 'mL/g'), 'added', 'finished', retained=Q(1.5, 'mL/g')):.1f~P}"
    '3.5 mL/g'
    """
    for name, word in (("given", given), ("wanted", wanted)):
        one_of(name, word, CONVENTIONS)
    w = water / 100.0
    kept = retained * (1.0 - w)
    added = {"added": ratio + 0.0 * w, "finished": ratio + kept - w, "dry": ratio * (1.0 - w) - w}[given]
    if given != "added":
        _leave_room(added, w - kept if given == "finished" else w / (1.0 - w), ratio, water, given)
    result = {"added": added, "finished": added + w - kept, "dry": (added + w) / (1.0 - w)}[wanted]
    if wanted == "finished":
        denied = first_refused(result <= 0.0, added, kept)
        if denied:
            where, (poured, keeps) = denied
            raise Impossible(
                f"ratio{where}: at 1:{poured:.3g}, menstruum added, nothing comes out, so there is no finished "
                f"liquid to count. The marc keeps {per_gram(keeps)} as weighed.",
                [WayOut("pour", give(keeps, "mL/g"), f"More than 1:{keeps:.3g} would work.")],
            )
    return result


def _leave_room(added: Any, least: Any, ratio: Any, water: Any, reading: str) -> None:
    """Refuse a ratio that leaves no menstruum to pour; `least`, in the same reading, is the widest that does."""
    denied = first_refused(np.asarray(added) <= 0.0, least, ratio, water)
    if denied:
        where, (just, r, wet) = denied
        raise Impossible(
            f"ratio{where}: the plant holds {said(wet, 'percent_wb')}, and that is already all the liquid of "
            f"1:{r:.3g} ({CONVENTIONS[reading]}). There is no room for any menstruum.",
            [
                WayOut("ratio", give(just, "mL/g"), f"More than 1:{just:.3g} ({CONVENTIONS[reading]}) would work."),
                WayOut("dry", None, "Dry the plant first, partly or fully."),
            ],
        )


@dataclass(frozen=True)
class Ratio:
    """A ratio that carries its reading along, as a label should.

    value       mL/g, 0 or more
    convention  "added", "finished" or "dry"

    >>> str(Ratio(Q(2, "mL/g")).read_as("dry", water=Q(80, "percent_wb")))
    '1:14 (dry plant, its water counted in)'
    """

    value: Any
    convention: str = "added"

    def __post_init__(self) -> None:
        take("value", RATIO, self.value)
        one_of("convention", self.convention, CONVENTIONS)

    def read_as(self, convention: str, water: Any = DRIED, retained: Any = NOTHING) -> Ratio:
        """The same jar in another reading; arguments as for `read_ratio`."""
        return Ratio(read_ratio(self.value, self.convention, convention, water, retained), convention)

    def __str__(self) -> str:
        return f"1:{said(take('value', RATIO, self.value), '')} ({CONVENTIONS[self.convention]})"


class Pour(NamedTuple):
    """A dry-equivalent recipe: menstruum to pour (mL), its strength (percent_vol), all the liquid (mL) and what of it
    the plant brings (mL)."""

    menstruum: Any
    strength: Any
    total: Any
    plant_water: Any


@guarded(herb=WEIGHT.more_than_none, water=WATER, ratio=RATIO.more_than_none, final=STRENGTH)
def pour_for_dry_equivalent(herb: Any, water: Any, ratio: Any, final: Any) -> Pour:
    """What to pour so that a fresh plant makes 1:r by its dry weight, its own water counted, at a final strength.

    herb   weight of the fresh plant, g, more than 0
    water  its water, 0 to 95 % wb
    ratio  all the liquid for each g of dry plant, mL/g, more than 0
    final  strength wanted in the jar, percent_vol, 0 to 100

    Result: Pour(menstruum, strength, total, plant_water), kitchen rule. Refuses: WrongUnit, OutOfRange; Impossible
    when the plant brings the whole liquid, or no spirit is strong enough. Source: plain balance.

    >>> poured = pour_for_dry_equivalent(Q(150, "g"), Q(60, "percent_wb"), Q(5, "mL/g"), Q(45, "percent_vol"))
    >>> f"{poured.menstruum:.0f~P}", f"{poured.strength.magnitude:.1f}"
    ('210 mL', '64.3')
    """
    w = water / 100.0
    _leave_room(ratio * (1.0 - w) - w, w / (1.0 - w), ratio, water, "dry")
    total, brought = ratio * herb * (1.0 - w), herb * w
    menstruum = total - brought
    strength = final * total / menstruum
    denied = first_refused(above(strength, 100.0), strength, water, ratio, final)
    if denied:
        where, (asked, wet, r, wanted) = denied
        ways = [WayOut("dry", None, "Dry the plant first, partly or fully.")]
        weaker = STRONGEST * (1.0 - wet / (r * (100.0 - wet)))
        ways.insert(
            0, WayOut("final", give(weaker, "percent_vol"), f"{said(weaker, 'percent_vol')} in the jar at most.")
        )
        if wanted < STRONGEST:
            wider = wet / (100.0 - wet) / (1.0 - wanted / STRONGEST)
            ways.insert(
                0, WayOut("ratio", give(wider, "mL/g"), f"1:{wider:.3g}, poured at {said(STRONGEST, 'percent_vol')}.")
            )
        raise Impossible(
            f"final{where}: the plant's own water is so much of a 1:{r:.3g} that it would take {asked:.0f} % vol, "
            "and no spirit is stronger than 100.",
            ways,
        )
    return Pour(
        give(menstruum, "mL"),
        give(np.minimum(strength, 100.0), "percent_vol"),
        give(total, "mL"),
        give(brought + 0.0 * total, "mL"),
    )
