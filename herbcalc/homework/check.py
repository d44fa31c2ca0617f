"""Floor 4. What is said back to a typed answer.

The order is fixed: the right band, then the item's own slips, then powers of ten, doubles, halves and swapped
ounces in softer words, then a hint to work forwards. Pairs of slips are never sought: on random answers they
"explain" a quarter of everything, and that would be noise.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

from herbcalc.homework import wording
from herbcalc.homework.apart import HALF_A_CENT, slip_width
from herbcalc.homework.blueprint import LETTERS, Mistake, Want
from herbcalc.homework.feedback import Feedback
from herbcalc.homework.filled import Filled
from herbcalc.homework.reading import LONGEST, Reading, as_text, quoted, read
from herbcalc.homework.walk import kitchen_words
from herbcalc.units.arrays import slack
from herbcalc.units.constants import FL_OZ_PER_OZ, SLACK
from herbcalc.units.words import KINDS

NEAR = 0.005  # a second sum that counts as right: room for three figures, no more
SAME_OUNCES = 1e-4  # an amount in ounces that is the one the kitchen way leads to: it is typed in quarters
TO_THREE_FIGURES = "Right, to three figures. Rounding only at the end comes nearer still."
TO_THE_QUARTER_OUNCE = "Right, to the quarter ounce. In g or mL it can be said more closely."


def check(item: Filled, typed: Any, tier: int = 1) -> Feedback:
    """The answer to one typed text; see `Item.check`."""
    if item.kind == "sentence":
        return _sentence(item, typed)
    if item.kind != "sum":
        return _letters(item, typed, tier)
    want = item.ask.want
    assert want is not None
    reading = read(typed, want)
    return replace(_of_reading(item, want, reading, tier), read=reading.said)


def _of_reading(item: Filled, want: Want, reading: Reading, tier: int) -> Feedback:
    if reading.state == "bare":
        return Feedback("say the unit", hint=_say_the_unit(item, reading))
    if reading.state == "unread":
        return Feedback("unread", hint=reading.why)
    if reading.state == "turned":
        return _turned(item, want, reading)
    if reading.state == "other":
        return _other(item, want, reading)
    return _number(item, want, reading, tier)


def _number(item: Filled, want: Want, reading: Reading, tier: int) -> Feedback:
    x, drawn = reading.number, item.drawn
    if _in_band(want, x, drawn.low, drawn.high):
        if want.only and reading.unit not in want.only:
            return Feedback("other unit", hint=_same_in_old_unit(want))
        return Feedback("right", hint=" ".join(_remarks(item, want, reading)))
    if want.scale == 100.0 and reading.unit != "%" and reading.number > want.scale:
        # A share typed bare is 0 to 1; a bare 78 could be 78 % or 78 times over.
        return Feedback("say the unit", hint=_say_the_unit(item, reading))
    return _second_right(item, want, reading) or _not_yet(item, want, reading, tier)


def _second_right(item: Filled, want: Want, reading: Reading) -> Feedback | None:
    """A second sum that counts, or the right way rounded on the way; None where it is neither."""
    x, drawn = reading.number, item.drawn
    counts = not want.only or reading.unit in want.only
    for near in item.ask.near:
        number = near.sum(drawn.f)
        if counts and abs(x - number) <= (0.0 if want.exact else NEAR) * abs(number):
            return Feedback("right", hint=item.say(near.remark))
    if counts and drawn.rounded:
        low, high = min(drawn.low, *drawn.rounded), max(drawn.high, *drawn.rounded)
        if low * (1 - NEAR) <= x <= high * (1 + NEAR) or _to_the_cent(want, x, drawn.rounded):
            return Feedback("right", hint=TO_THREE_FIGURES)
    if counts and reading.kitchen and any(abs(x - end) <= SAME_OUNCES * abs(end) for end in item.in_ounces):
        if any(_close(want, x, number) or _in_the_same_words(want, x, number) for _, number in drawn.slips):
            return Feedback("other unit", hint=f"In ounces two ways meet there. Type it in {want.said}, please.")
        return Feedback("right", hint=TO_THE_QUARTER_OUNCE)
    return None


def _to_the_cent(want: Want, x: float, ends: tuple[float, ...]) -> bool:
    cents = want.kinds[0] == "money" and abs(x) < 1e9 and abs(100 * x - round(100 * x)) < 1e-6
    return cents and any(abs(x - end) <= HALF_A_CENT * (1 + 1e-6) for end in ends)


def _in_the_same_words(want: Want, x: float, number: float) -> bool:
    """Whether a slip's number, said in kitchen words, is what was typed."""
    return abs(kitchen_words(number, want.unit) - x) <= SAME_OUNCES * abs(x)


def _not_yet(item: Filled, want: Want, reading: Reading, tier: int) -> Feedback:
    x, drawn = reading.number, item.drawn
    for name, number in drawn.slips:
        if _close(want, x, number):
            return _slip(item, _mistake(item, name), x, tier)
    soft = _general(want, reading, drawn.low, drawn.high)
    return Feedback("not yet", hint=_with_help(item, soft or _forwards(item), tier))


def _turned(item: Filled, want: Want, reading: Reading) -> Feedback:
    """A ratio written with its herb behind."""
    first = wording.three(reading.number)
    hint = f"{first}:1 is turned round. The herb is the 1 and stands in front: did you mean 1:{first}?"
    fits = _in_band(want, reading.number, item.drawn.low, item.drawn.high)
    return Feedback("other unit" if fits else "not yet", hint=hint)


def _in_band(want: Want, x: float, low: float, high: float) -> bool:
    if want.exact:
        return abs(x - low) < slack(low)
    if want.within is not None:
        return low - want.within <= x <= high + want.within
    if want.kinds[0] == "money" and round(low, 2) - SLACK <= x <= round(high, 2) + SLACK:
        return True  # money counts to the cent
    return low * (1 - want.tolerance - SLACK) <= x <= high * (1 + want.tolerance + SLACK)


def _close(want: Want, x: float, number: float) -> bool:
    if want.exact:
        return abs(x - number) < slack(number)
    return abs(x - number) <= slip_width(want, number) * (1 + SLACK)


def _mistake(item: Filled, name: str) -> Mistake:
    return next(m for m in item.ask.mistakes if m.id == name)


def _slip(item: Filled, found: Mistake, x: float, tier: int) -> Feedback:
    so = found.so(item.drawn.f, x) if callable(found.so) else item.say(found.so)
    # The same number may come out in another way, so what was done is offered, and never said of the student.
    offer = (
        f"That number comes out if somebody {found.did[0].lower()}{found.did[1:]}; did you? {item.say(found.hint)}"
    )
    return Feedback("slip", found.id, _with_help(item, offer, tier), so)


def _with_help(item: Filled, hint: str, tier: int) -> str:
    """The hint of a tier: nothing but a nudge at 0, the question at 1, then lines of the worked path."""
    if tier <= 0:
        return "Which pile does your number count, and in which unit? Read the question once more, slowly."
    lines = item.worked(min(tier, 4))
    return "\n".join([hint, *lines])


def _remarks(item: Filled, want: Want, reading: Reading) -> list[str]:
    said = []
    if reading.percent and want.said != "%":
        said.append(f"On a label, say of what: {wording.three(reading.number)} {want.said}.")
    for near in item.ask.near:
        number = near.sum(item.drawn.f)
        # Said only where the number is nearer to that sum than to the exact one.
        if abs(reading.number - number) < abs(reading.number - item.drawn.low):
            said.append(item.say(near.remark))
    return said


def _say_the_unit(item: Filled, reading: Reading) -> str:
    want = item.ask.want
    assert want is not None
    typed = reading.number / (want.scale if reading.state == "number" else 1.0)
    if "%" in want.said and 0 < typed < 1:
        typed *= 100.0  # 0.59 was meant as 59 of every hundred
    number = wording.three(typed) if math.isfinite(typed) and abs(typed) < 1e9 else "that"
    ways = {"g": "g or oz", "mL": "mL or fl oz", "1:x": f"as 1:{number}", "mL/g": "mL per g"}
    unit = ways.get(want.said, f"as {number} {want.said}") if not want.only else want.said
    return f"{number} of what? A number alone could be many things. Say its unit too: {unit}."


def _same_in_old_unit(want: Want) -> str:
    return f"That is the same amount in the old unit. The question wants it in {want.said}."


def _other(item: Filled, want: Want, reading: Reading) -> Feedback:
    wanted = _upper(" or ".join(KINDS[kind][0] for kind in want.kinds)) + " is wanted here"
    if "count" not in want.kinds:
        wanted += f", such as {KINDS[want.kinds[0]][1]}"
    if want.old and reading.unit == want.old and item.ask.pairs.get("echo"):
        echo = getattr(item.drawn.f, item.ask.pairs["echo"])
        if abs(reading.number - echo) <= 0.01 * abs(echo):
            return Feedback("other unit", hint=_same_in_old_unit(want))
    if {reading.unit, want.unit} in ({"oz", "mL"}, {"fl_oz", "g"}):
        fits = _in_other_size(item, want, reading)
        return Feedback("other unit" if fits else "not yet", hint=reading.why)
    number = reading.number * (want.scale if want.scale != 1.0 and reading.number <= 1 else 1.0)
    if _in_band(want, number, item.drawn.low, item.drawn.high):
        return Feedback(
            "other unit",
            hint=f"The number fits, and its unit is of another kind. {wanted}.",
        )
    return Feedback("not yet", hint=reading.why or f"That is something else. {wanted}.")


def _in_other_size(item: Filled, want: Want, reading: Reading) -> bool:
    """The right number in ounces where fluid ounces were meant, or the other way round."""
    factor = {("mL", "oz"): wording.ML_PER_FL_OZ, ("g", "fl_oz"): wording.G_PER_OZ}.get((want.unit, reading.unit))
    return factor is not None and _in_band(want, reading.number * factor, item.drawn.low, item.drawn.high)


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _general(want: Want, reading: Reading, low: float, high: float) -> str:
    """An offer, for a number that is the right one with a plain accident; "" where none fits."""
    x = reading.number
    if want.within is not None or want.exact or low <= 0 or not math.isfinite(x):
        return ""
    close = max(want.tolerance, 0.01)

    def is_right_times(way: float) -> bool:
        return low * (1 - close) <= x / way <= high * (1 + close)

    if any(is_right_times(10.0**power) for power in (-3, -2, -1, 1, 2, 3)):
        return "That number comes out if the decimal point moves; did it?"
    if is_right_times(2.0):
        return "That number comes out if something is counted twice; did that happen?"
    if is_right_times(0.5):
        return "That number comes out if only half of something is counted; did that happen?"
    ounces = reading.ounces and want.unit in ("g", "mL", "mL/g")
    if ounces and any(is_right_times(way) for way in (FL_OZ_PER_OZ, 1 / FL_OZ_PER_OZ)):
        return "Very near. That number comes out if an ounce on the scale and a fluid ounce change places; did they?"
    return ""


def _forwards(item: Filled) -> str:
    if item.ask.forwards:
        return item.say(item.ask.forwards)
    return "Try it forwards from your answer: put your number into the jar and see what comes out."


def _words(text: str) -> str:
    return re.sub(r"[^\w%:./]+", " ", text.casefold()).strip()


def _letters(item: Filled, typed: Any, tier: int) -> Feedback:
    text = as_text(typed)
    if len(text) > LONGEST:
        return Feedback("unread", hint=f"That is longer than {LONGEST} characters. The letter alone is enough.")
    count = len(item.right_letters)
    chosen = _chosen(item, text, count)
    if chosen is None:
        letters = {1: "the letter of one line, such as b"}.get(count, f"{count} letters, such as {_sample(count)}")
        what = f"{quoted(text)} is not one of the letters here. " if text.strip() else "Nothing stands there yet. "
        return Feedback("unread", hint=f"{what}Type {letters}.")
    return replace(_of_letters(item, chosen, tier), read=" ".join(chosen))


def _of_letters(item: Filled, chosen: str, tier: int) -> Feedback:
    if item.quick:
        return _quick(item, chosen)
    if sorted(chosen) == sorted(item.right_letters):
        return Feedback(
            "right", hint=item.ask.pairs.get("right", "") or _to_tick("Tick what your reason says:", item)
        )
    if len(chosen) > 1:
        hit = len(set(chosen) & set(item.right_letters))
        how_many = ("None of yours is", "One of yours is", "Two of yours are")[hit]
        return Feedback(
            "not yet", hint=_with_help(item, f"{how_many} among those asked for. {_forwards(item)}", tier)
        )
    if item.kind == "find the slip":
        return Feedback("not yet", hint=_with_help(item, _forwards(item), tier))
    option = item.options[LETTERS.index(chosen)]
    hint = _with_help(item, item.say(option.hint), tier)
    return Feedback("slip" if option.id else "not yet", option.id or None, hint, item.say(option.so))


def _names(low: str, line: str) -> bool:
    """Whether what was typed is a choice in its own words, or as many of its first words as it takes."""
    return f"{_words(line[2:])} ".startswith(f"{low} ") or low == _words(line)


def _sample(count: int) -> str:
    return " ".join("abaac"[:count] if count > 3 else "abc"[:count])


def _chosen(item: Filled, text: str, count: int) -> str | None:
    """The letters that were typed, or the letter whose words were typed; None where neither is there."""
    low = _words(text)
    known = LETTERS[: len(item.choices)] if item.choices else "abc"
    named = [place for place, line in enumerate(item.choices) if len(low) > 1 and _names(low, line)]
    if len(named) == 1:
        return known[named[0]]
    if count == 1:  # the reason, or the mended figure, may stand behind the letter
        low = re.sub(r"^((?:line |answer |it is )?[a-h])\b[\s.:]+(?:because|since|as|\d).*$", r"\1", low)
    bare = re.sub(r"\b(?:line|answer|lines|and|it is)\b|[\s.:/]", "", low)
    if count > 1:
        bare = re.sub(r"\d", "", bare)
    if len(bare) != count or any(letter not in known for letter in bare):
        return None
    if not item.quick and len(set(bare)) != count:
        return None
    return bare


def _quick(item: Filled, chosen: str) -> Feedback:
    missed = [n for n, (got, row) in enumerate(zip(chosen, item.quick, strict=True)) if got != row[1]]
    if not missed:
        return Feedback("right")
    first = missed[0]
    fits = len(chosen) - len(missed)
    return Feedback(
        "not yet", hint=f"{fits} of {len(chosen)} fit. Look at number {first + 1} again: {item.quick[first][2]}"
    )


def _sentence(item: Filled, typed: Any) -> Feedback:
    text = as_text(typed)
    if len(text) > LONGEST:
        return Feedback("unread", hint=f"That is longer than {LONGEST} characters. One or two sentences are enough.")
    words = re.findall(r"[^\W_]+(?:['’-][^\W_]+)*", text)
    if not words:
        return Feedback("unread", hint="Nothing stands there yet. Say it in one sentence, as you would to a friend.")
    if len(words) < 3:
        return Feedback(
            "not yet", hint="A few more words, please: one whole sentence, as you would say it to a friend."
        )
    return Feedback("right", hint=_to_tick("Tick what your sentence says:", item))


def _to_tick(start: str, item: Filled) -> str:
    if not item.points:
        return ""
    return " ".join([start, *(f"({n}) {point}" for n, point in enumerate(item.points, 1))])
