"""Floor 0. The public face of amounts: the one registry, what a person types, how it is said, a share of a whole.

Everything else in herbcalc takes these names from here, and only from here.

    ureg, Q      the unit registry and its quantity: Q(350, "mL")
    amount       what a person typed, read: amount("1 1/2 cups")
    spoken       how it is said: "355 mL (12 fl oz)"
    part         80 % water of 100 g is 80 g
    WrongUnit    the refusal of an amount of another kind; OutOfRange, of one outside what a sum can work with
"""

from __future__ import annotations

from typing import Any

from herbcalc.units.guard import VOLUME, WEIGHT, Kind, give, match, take
from herbcalc.units.reading import amount
from herbcalc.units.refusals import OutOfRange, WrongUnit
from herbcalc.units.registry import Q, ureg
from herbcalc.units.saying import said, spoken

__all__ = ["OutOfRange", "Q", "WrongUnit", "amount", "part", "said", "spoken", "ureg"]

_ANY_SHARE = Kind("a share", "", "0.8, which is 80 of every 100", low=0.0, high=1.0, plain=True)
# What each kind of percent is a part of, and how that is said.
_SHARES = {
    "percent_vol": (VOLUME, Kind("a strength by volume", "percent_vol", "40 % vol", low=0.0, high=100.0)),
    "percent_mass": (WEIGHT, Kind("a strength by weight", "percent_mass", "33 % by weight", low=0.0, high=100.0)),
    "percent_wb": (WEIGHT, Kind("a moisture, wet basis", "percent_wb", "80 % water", low=0.0, high=100.0)),
    "percent_db": (WEIGHT, Kind("a moisture, dry basis", "percent_db", "400 % of the dry weight", low=0.0)),
}


def part(share: Any, whole: Any) -> Any:
    """The part of a whole that a share names: 80 % water of 100 g is 80 g.

    share  percent_vol of a volume; percent_mass, percent_wb (0..100) or percent_db (0 or more; then `whole` is the
           dry weight) of a weight; or a plain share 0..1 of a weight or a volume
    whole  a weight or a volume, 0 or more

    Result: in the unit of `whole`. Lists work, each with each.
    Refuses: a share that is of something else than the whole, or a bare percent (WrongUnit); sizes outside those
    above (OutOfRange). Source: the meaning of percent.

    >>> spoken(part(Q(80, "percent_wb"), Q(100, "g"))), spoken(part(Q(40, "percent_vol"), Q(750, "mL")))
    ('80 g (2 3/4 oz)', '300 mL (10 1/4 fl oz)')
    """
    is_volume = isinstance(whole, ureg.Quantity) and whole.check("[length] ** 3")
    kind, of, hundred = _ANY_SHARE, VOLUME if is_volume else WEIGHT, 1.0
    for unit, (its_whole, its_kind) in _SHARES.items():
        if isinstance(share, ureg.Quantity) and share.is_compatible_with(unit):
            kind, of, hundred = its_kind, its_whole, 100.0
    bare = {"share": take("share", kind, share), "whole": take("whole", of, whole)}
    match({"share": kind, "whole": of}, bare)
    return give(bare["share"] / hundred * bare["whole"], of.unit).to(whole.units)
