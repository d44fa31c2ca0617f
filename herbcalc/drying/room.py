"""Floor 2. The room: can it dry this herb at all, how much air does a tray want, and is the herb dry enough now?

"Dry enough" has three answers, because each alone misleads: the stop weight is reached; two weighings agree, which
only says that herb and air agree; and what the hands say.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from herbcalc.drying.sorption import DAMP, ROOM, damp_for, equilibrium_moisture, sorption
from herbcalc.moisture import DRIED_TO, MOISTURE, to_wet_basis
from herbcalc.units.arrays import at_most, first_refused
from herbcalc.units.guard import TIME, WEIGHT, Kind, give, guarded
from herbcalc.units.refusals import OutOfRange, one_of
from herbcalc.units.registry import Q
from herbcalc.units.saying import said

PICK_UP = Kind(
    "what the air picks up, kg of water for each kg of dry air", "", "0.002", low=0.0, high=1.0, plain=True
)
DENSITY = Kind("kg of dry air in a m³ of the room's air", "kg/m**3", "1.18 kg/m³", low=0.0, above=True)
ONE_IN_A_HUNDRED = 0.01  # how near two weighings agree; common practice, no source
A_DAY = Q(24.0, "hour")  # how far apart they should be; common practice, no source
SOONER = 12.0  # hours: weighings closer than this agree too easily

# What the hands can find, and whether the herb is dry then. Common practice; each leaves the weight out.
HANDS = {
    "crisp": (True, "The hands say dry: leaf crumbles and the thickest stem snaps."),
    "bends": (False, "The hands say not yet: the thickest stem bends, and water sits there last."),
    "fog": (False, "The closed jar says not yet: it fogged overnight, so the herb still gives off water."),
    "no fog": (True, "The closed jar says dry: no fog overnight."),
}


class Standstill(NamedTuple):
    """Where a herb stops in a room: moisture (percent_wb), whether that is enough, the dampest air (rh) that would
    do at this temperature, whether the curve is illustrative, and all of it in a sentence."""

    moisture: Any
    enough: bool
    dampest: float
    illustrative: bool
    text: str


@guarded(T=ROOM, rh=DAMP, target=MOISTURE.within(0.0, 100.0, above=True, below=True))
def stops_in(herb: str, T: Any, rh: Any, target: Any = DRIED_TO) -> Standstill:
    """Where this herb will stop drying in this room, and whether the wanted moisture can be reached there at all.

    herb    one of `herbs()`
    T       temperature of the room, °C, 0 to 50; one room at a time
    rh      damp of its air as a plain share, 0 to 0.95
    target  percent_wb wanted, more than 0; 10 unless given (common practice, no source)

    Result: Standstill(moisture, enough, dampest, illustrative, text). Refuses: WrongUnit, OutOfRange.
    Source: as `equilibrium_moisture`.

    >>> stops_in("lemon balm", Q(25, "degC"), 0.8).enough, stops_in("lemon balm", Q(30, "degC"), 0.45).enough
    (False, True)
    """
    if any(np.ndim(value) for value in (T, rh, target)):
        raise OutOfRange("A list was given. This answers for one room at a time: call it for each.")
    rests = to_wet_basis.plain(equilibrium_moisture.plain(herb, T, rh))
    wanted = 100.0 * target / (100.0 - target)
    # Air at the damp end that still holds less than is wanted: any air will do.
    most = equilibrium_moisture.plain(herb, T, DAMP.high)
    dampest = DAMP.high if most <= wanted else damp_for.plain(herb, T, wanted)
    enough, tells = bool(at_most(rests, target)), sorption(herb)
    after = (
        f"so {said(target, 'percent_wb')} can be reached here, slowly at the end."
        if enough
        else f"so it never gets down to {said(target, 'percent_wb')} here, however long it hangs. At this "
        f"temperature the air has to be drier than rh {dampest:.2f}; warming the room does that too."
    )
    where = f"In air of {said(T, 'degC')} and rh {rh:.2f}"
    text = f"{where} {tells.herb} stops at about {said(rests, 'percent_wb')}, {after}"
    low, high = tells.temperatures
    if not low <= T <= high and low < high:
        text += f" The curve was made for {said(low, 'degC')} to {said(high, 'degC')}; this is outside of that."
    if tells.illustrative:
        text += f" {tells.note}"
    return Standstill(give(float(rests), "percent_wb"), enough, float(dampest), tells.illustrative, text)


@guarded("m**3/hour", water=WEIGHT, hours=TIME.more_than_none, pick_up=PICK_UP, density=DENSITY)
def airflow(water: Any, hours: Any, pick_up: Any, density: Any) -> Any:
    """The air that has to pass over a tray to carry its water off in time.

    water    to be carried off, g, 0 or more: fresh weight less dried weight
    hours    there are for it, hours, more than 0
    pick_up  kg of water that each kg of dry air takes along, plain, more than 0; from the air's own sums, never the
             room that air has at one temperature, which promises three to five times too much
    density  kg/m³ of dry air where the flow is measured, more than 0

    Result: m**3/hour, for air that all touches the herb; in practice plan for twice that (herbs use about half of
    it). Refuses: WrongUnit; OutOfRange also for air that picks up nothing. Source: plain balance; half: Practical
    Action.

    >>> f"{airflow(Q(3814, 'g'), Q(24, 'hour'), 0.001986, Q(1.1653, 'kg/m**3')).magnitude:.1f} m³ an hour"
    '68.7 m³ an hour'
    """
    if refused := first_refused(np.asarray(pick_up) <= 0.0, pick_up):
        raise OutOfRange(
            f"pick up{refused[0]}: this air takes no water along, so no fan is large enough. Warm it, or wait "
            "for drier air: 0.002, two parts of water in a thousand of air, would work."
        )
    return water / 1000.0 / pick_up / density / hours


class DryEnough(NamedTuple):
    """One question, three answers: True, False, or None where it was not asked. `agree`: whether all that were asked
    say the same. `verdict`: "dry", "not yet" or "they disagree". `texts`: a sentence for each answer, then one for
    the verdict."""

    by_weight: bool
    by_two_weighings: bool
    by_hands: bool | None
    agree: bool
    verdict: str
    texts: tuple[str, ...]


@guarded(before=WEIGHT.more_than_none, now=WEIGHT.more_than_none, stop=WEIGHT.more_than_none, apart=TIME)
def dry_enough(
    before: Any, now: Any, stop: Any, hands: str | None = None, room: Standstill | None = None, apart: Any = A_DAY
) -> DryEnough:
    """Is it dry enough? Asked three ways side by side, because each alone misleads.

    before  weight at the weighing before the last, g, more than 0, without the tray
    now     weight now, g, more than 0
    stop    weight to stop at, g, more than 0: `moisture.dried_weight`
    hands   "crisp", "bends", "fog" or "no fog" (closed jar overnight); None: not asked
    room    what `stops_in` says of the room; None: not asked
    apart   hours between the two weighings, hours, 24 unless given (common practice, no source)

    Result: DryEnough(by_weight, by_two_weighings, by_hands, agree, verdict, texts). "dry" needs the stop weight, and
    no answer against it. Refuses: WrongUnit, OutOfRange; one tray at a time.
    Source: common practice; two weighings within 1 in 100.

    >>> damp = dry_enough(Q(262, "g"), Q(261, "g"), Q(222, "g"), hands="bends")
    >>> damp.by_weight, damp.by_two_weighings, damp.verdict
    (False, True, 'they disagree')
    """
    if any(np.ndim(value) for value in (before, now, stop, apart)):
        raise OutOfRange("A list was given. This answers for one tray at a time: call it for each.")
    by_weight = bool(at_most(now, stop))
    by_two = bool(abs(before - now) <= ONE_IN_A_HUNDRED * before * (1.0 + 1e-9))
    by_hands = None
    texts = [
        f"The tray weighs {said(now, 'g')}, and the stop weight is {said(stop, 'g')}: "
        + ("reached." if by_weight else f"{said(now - stop, 'g')} of water still to go."),
        _two(before, now, by_two, apart),
    ]
    if hands is not None:
        one_of("hands", hands, HANDS)
        by_hands, sentence = HANDS[hands]
        texts.append(sentence)
    asked = [by_weight, by_two] if by_hands is None else [by_weight, by_two, by_hands]
    agree = all(asked) or not any(asked)
    verdict = "dry" if all(asked) else "not yet" if agree else "they disagree"
    texts.append(_verdict(by_weight, by_two, by_hands, room))
    return DryEnough(by_weight, by_two, by_hands, agree, verdict, tuple(texts))


def _two(before: Any, now: Any, agree: bool, apart: Any) -> str:
    if not agree:
        way = "less" if now < before else "more"
        much = said(abs(before - now), "g")
        return f"Two weighings, {said(apart, 'hour')} apart, differ by {much} {way}: they do not agree."
    text = f"Two weighings, {said(apart, 'hour')} apart, agree: herb and air have come to rest. That is not yet dry."
    if apart < SOONER:
        text += " So soon after each other nearly any two agree; weigh again tomorrow."
    return text


def _verdict(by_weight: bool, by_two: bool, by_hands: bool | None, room: Standstill | None) -> str:
    if by_weight and by_two and by_hands is not False:
        return "All that was asked says dry: put it away."
    if by_weight and by_hands is False:
        return (
            "The weight is reached, and the hands say not yet: was leaf lost from the tray, or was the plant wetter "
            "than thought? Trust the hands, and dry on."
        )
    if by_weight:
        return "The stop weight is reached, and the herb still changes. Weigh once more before it is put away."
    if by_two:
        where = f" {room.text}" if room is not None else ""
        way = "The room is too damp" if room is None or not room.enough else "The stop weight may be set too low"
        return (
            f"It has stopped above the stop weight. {way}: it may mould in a jar. Warmer or drier air would take it "
            f"further.{where}"
        )
    if by_hands:
        return "The hands say dry and the scale does not: crisp edges hide wet stems. Dry on to the stop weight."
    return "Not yet: dry on, and weigh again tomorrow."
