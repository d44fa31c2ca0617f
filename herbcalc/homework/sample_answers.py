"""Floor 4. Texts that a student on the right road, or on a known side road, would type."""

from __future__ import annotations

from collections.abc import Callable

from herbcalc.homework.blueprint import LETTERS, Want
from herbcalc.homework.filled import Filled
from herbcalc.units.registry import Q
from herbcalc.units.saying import number_in


def _figures(number: float) -> str:
    """Four figures or whole numbers, without powers of ten."""
    if abs(number) >= 1000:
        return f"{number:.1f}".rstrip("0").rstrip(".")
    text = f"{float(f'{number:.4g}'):.10f}"
    return text.rstrip("0").rstrip(".")


def _in(number: float, unit: str, other: str) -> str:
    return _figures(number_in(Q(number, unit), other))


_BY_UNIT: dict[str, Callable[[float, Want], list[str]]] = {
    "g": lambda x, want: [
        f"{_figures(x)} g",
        f"{_in(x, 'g', 'kg')} kg",
        f"{_figures(x)} grams" if want.only else f"{_in(x, 'g', 'oz')} oz",
    ],
    "mL": lambda x, want: [
        f"{_figures(x)} mL",
        f"{_in(x, 'mL', 'L')} L",
        f"{_figures(x)} ml" if want.only else f"{_in(x, 'mL', 'fl_oz')} fl oz",
    ],
    "percent_vol": lambda x, want: [
        f"{_figures(x)} % vol",
        f"{_figures(x)} % v/v" if want.only else f"{_figures(2 * x)} proof",
        f"{_figures(x)}% by volume",
        f"{_figures(x)} %",
    ],
    "percent_wb": lambda x, _: [f"{_figures(x)} %", f"{_figures(x)}%", f"{_figures(x)} percent"],
    "mL/g": lambda x, want: _ratios(_figures(x), "volume" in want.kinds),
    "hour": lambda x, _: [f"{_figures(x)} h", f"{_figures(60 * x)} min", f"{_figures(x)} hours"],
    "degC": lambda x, _: _celsius(_figures(x)),
    "delta_degC": lambda x, _: _celsius(_figures(x)),
}
_BY_KIND: dict[str, Callable[[float, Want], list[str]]] = {
    "money": lambda x, _: [f"${x:.2f}" if x >= 1 else f"${_figures(x)}", _figures(x), f"{_figures(x)} dollars"],
    "count": lambda x, want: [_figures(x), f"{_figures(x)} {want.said}", f"{_figures(x)} drops"],
    "share": lambda x, _: [f"{_figures(x)} %", f"{_figures(x / 100)}", f"{_figures(x)}%"],
}


def _ratios(n: str, volume: bool) -> list[str]:
    return [f"{n} mL/g", f"{n} mL", f"1:{n}"] if volume else [f"1:{n}", f"1 : {n}", f"{n} mL/g"]


def _celsius(n: str) -> list[str]:
    return [f"{n} °C", f"{n}°C", f"{n} celsius"]


def texts(item: Filled, number: float) -> list[str]:
    """A number in the unit of the item, typed in several ways; the first is in the unit asked for."""
    want = item.ask.want
    assert want is not None
    if want.exact:
        n = _figures(number)
        return [f"{n} {want.said}".strip(), n, f"day {n}" if "time" in want.kinds else f"= {n}"]
    ways = _BY_UNIT.get(want.unit) or _BY_KIND[want.kinds[0]]
    return ways(number, want)


def right_texts(item: Filled) -> list[str]:
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


def slip_texts(item: Filled) -> dict[str, str]:
    """See `Item.slip_answers`."""
    if item.kind == "choice":
        right = item.right_letters
        return {
            option.id: LETTERS[place]
            for place, option in enumerate(item.options)
            if option.id and LETTERS[place] != right
        }
    found: dict[str, str] = {}
    for name, number in item.drawn.slips:
        found.setdefault(name, texts(item, number)[0])
    return found
