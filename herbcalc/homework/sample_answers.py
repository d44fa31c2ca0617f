"""Floor 4. Texts that a student on the right road, or on a known side road, would type."""

from __future__ import annotations

from typing import TYPE_CHECKING

from herbcalc.units.registry import Q

if TYPE_CHECKING:
    from herbcalc.homework.item import Item


def _figures(number: float) -> str:
    """Four figures or whole numbers, without powers of ten."""
    if abs(number) >= 1000:
        return f"{number:.1f}".rstrip("0").rstrip(".")
    text = f"{float(f'{number:.4g}'):.10f}"
    return text.rstrip("0").rstrip(".")


def _in(number: float, unit: str, other: str) -> str:
    return _figures(float(Q(number, unit).to(other).magnitude))


def texts(item: Item, number: float) -> list[str]:
    """A number in the unit of the item, typed in several ways; the first is in the unit asked for."""
    want = item.ask.want
    assert want is not None
    n = _figures(number)
    if want.exact:
        return [f"{n} {want.said}".strip(), n, f"day {n}"]
    if want.unit == "g":
        return [f"{n} g", f"{_in(number, 'g', 'kg')} kg", f"{_in(number, 'g', 'oz')} oz"]
    if want.unit == "mL":
        metric = [f"{n} mL", f"{_in(number, 'mL', 'L')} L"]
        return [*metric, f"{n} ml"] if want.only else [*metric, f"{_in(number, 'mL', 'fl_oz')} fl oz"]
    if want.unit == "percent_vol":
        return [f"{n} % vol", f"{_figures(2 * number)} proof", f"{n}% by volume", f"{n} %"]
    if want.unit == "percent_wb":
        return [f"{n} %", f"{n}%", f"{n} percent"]
    if want.unit == "mL/g":
        return [f"{n} mL/g", f"{n} mL", f"1:{n}"] if "volume" in want.kinds else [f"1:{n}", f"1 : {n}", f"{n} mL/g"]
    if want.unit == "hour":
        return [f"{n} h", f"{_figures(60 * number)} min", f"{n} hours"]
    if want.unit in ("degC", "delta_degC"):
        return [f"{n} °C", f"{n}°C", f"{n} celsius"]
    if want.kinds[0] == "money":
        return [f"${number:.2f}" if number >= 1 else f"${n}", n, f"{n} dollars"]
    if want.kinds[0] == "count":
        return [n, f"{n} {want.said}", f"{n} drops"]
    return [f"{n} %", f"{_figures(number / 100)}", f"{n}%"]


def right_texts(item: Item) -> list[str]:
    """See `Item.answers`."""
    if item.kind == "sentence":
        return [item.say(model) for model in item.ask.models]
    if item.kind != "sum":
        letters = item.right_letters
        if len(letters) > 1:
            return [letters, " ".join(letters), ", ".join(letters).upper()]
        first = [letters, letters.upper(), f"{letters})"]
        words = [line[3:] for line in item.choices if line.startswith(letters + ")")]
        return first + words
    return texts(item, item.drawn.low) + texts(item, item.drawn.high)[:1]


def slip_texts(item: Item) -> dict[str, str]:
    """See `Item.slip_answers`."""
    if item.kind == "choice":
        from herbcalc.homework.item import LETTERS

        right = item.right_letters
        return {
            option.id: LETTERS[place]
            for place, option in enumerate(item.ask.options)
            if option.id and LETTERS[place] != right
        }
    found: dict[str, str] = {}
    for name, number in item.drawn.slips:
        found.setdefault(name, texts(item, number)[0])
    return found
