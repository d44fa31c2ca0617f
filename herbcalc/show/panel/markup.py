"""Floor 5. The small pieces of HTML that a panel is told in. Texts are escaped here and nowhere else."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from herbcalc.show.draw.board import data_uri
from herbcalc.show.look import COUNTED, SAFE, Look, Number, View


def line(text: str, kind: str = "") -> str:
    """One paragraph; nothing for no text."""
    if not text:
        return ""
    return f'<p class="{kind}">{escape(text)}</p>' if kind else f"<p>{escape(text)}</p>"


def lines(head: str, texts: Sequence[str]) -> str:
    """A list with a line over it; nothing for no texts."""
    if not texts:
        return ""
    return f"<p>{escape(head)}</p><ul>" + "".join(f"<li>{escape(t)}</li>" for t in texts) + "</ul>"


def picture(svg: str, alt: str) -> str:
    """A live picture: its words stand outside the drawing."""
    return f'<div class="herb-picture" role="img" aria-label="{escape(alt)}">{svg}</div>'


def behind(made: str, names: tuple[str, str]) -> str:
    """A picture with A as an outline in it, and over it which of the two goes by which name."""
    a, b = (escape(name) for name in names)
    return f'<p class="herb-behind"><b>A</b> dashed: {a}. <b>B</b> drawn: {b}</p>{made}'


def two(first: tuple[str, str, str], second: tuple[str, str, str], chart: str) -> str:
    """A and B side by side, each with its picture, its words and its name, and one chart for both."""
    made = [
        f'<div class="herb-side"><p><b>{letter}</b> {escape(name)}</p>{picture(svg, alt)}</div>'
        for letter, (svg, alt, name) in (("A", first), ("B", second))
    ]
    both = f'<div class="herb-side herb-picture" aria-hidden="true"><p>A dashed, B drawn</p>{chart}</div>'
    return f'<div class="herb-two">{"".join(made)}{both}</div>'


def unknown(mark: str) -> str:
    """A "?" where a picture would be."""
    return f'<div class="herb-unknown">{escape(mark)}</div>'


def refusal(said: str) -> str:
    """What cannot be had, where the picture would be; `said` is HTML already."""
    return f'<div class="herb-refusal">{said}</div>'


def tiles(numbers: Sequence[Number]) -> str:
    """The large numbers, the answer first and largest, each with what it is over it and a line in smaller words."""
    made = []
    for n, number in enumerate(numbers):
        small = f"<span>{escape(number.note)}</span>" if number.note else ""
        first = ' class="herb-first"' if n == 0 else ""
        made.append(f"<li{first}><span>{escape(number.label)}</span><b>{_value(number.value)}</b>{small}</li>")
    return f'<ul class="herb-tiles">{"".join(made)}</ul>' if made else ""


def _value(text: str) -> str:
    """A large value; the words before a number that is rounded to the safe side stand back a little."""
    for way in filter(None, SAFE.values()):
        if text.startswith(way):
            return f"<small>{way}</small>{escape(text.removeprefix(way))}"
    return escape(text)


def pairs(numbers: Sequence[Number], earlier: Look, view: View) -> str:
    """The large numbers of A and B, and how B differs from A, in every tile."""
    made = []
    known = {n.label: n for n in earlier.numbers}
    for n, number in enumerate(numbers):
        other = known.get(number.label)
        first = ' class="herb-first"' if n == 0 else ""
        value = other.value if other else "not told"  # "none" would be an answer
        made.append(
            f"<li{first}><span>{escape(number.label)}</span><b>A {_value(value)}</b><b>B {_value(number.value)}</b>"
            f"<span>{escape(apart(other, number, view))}</span>{_by_both(other, number)}</li>"
        )
    return f'<ul class="herb-tiles herb-pairs">{"".join(made)}</ul>'


def _by_both(a: Number | None, b: Number) -> str:
    """Both by the rule that stands second, where a number has two."""
    if a is None or not a.note or b.other is None:
        return ""
    return f"<span>A {escape(a.note)}; B {escape(b.note)}</span>"


def apart(a: Number | None, b: Number, view: View) -> str:
    """How B differs from A, in words.

    >>> a, b = (Number("At the end", "", amount=n, unit="percent_vol") for n in (28.6, 35.7))
    >>> apart(a, b, View())
    'B: 7.1 points more'
    """
    if a is None or a.amount is None or b.amount is None:
        return "nothing to compare"
    gap = as_shown(b) - as_shown(a)
    points = b.unit.startswith("percent") or b.unit == "points"
    if abs(gap) < (0.05 if points else 0.005):
        return "the same"
    if points:
        size = f"{abs(gap):.1f} points"
    elif b.unit in ("ratio", "mL/g", "kept"):
        size = f"{abs(gap):.3g} mL/g"
    elif b.unit == "money":
        size = f"{b.value.rstrip('0123456789.')}{abs(gap):.2f}"  # with the house's sign
    elif b.unit in ("", "times", *COUNTED):
        size = f"{abs(gap):.3g}"
    else:
        size = view.say(abs(gap), b.unit)
    return f"B: {size} {'more' if gap > 0 else 'less'}"


def as_shown(number: Number) -> float:
    """An amount as exactly as its words say it, so that a difference is that of the figures above it.

    >>> as_shown(Number("", "", amount=34.64, unit="percent_vol")), as_shown(Number("", "", amount=6.667, unit="mL"))
    (34.6, 6.67)
    """
    amount = float(number.amount or 0.0)
    if number.unit.startswith("percent") or number.unit == "points":
        return round(amount, 1)
    if number.unit in ("g", "mL") and abs(amount) >= 1000:
        return float(round(amount))
    return float(f"{amount:.3g}")


def table(rows: Sequence[Sequence[str]]) -> str:
    """The figures as a table that opens on a press; the first row holds the heads, the first column names the row."""
    if not rows:
        return ""
    head = "".join(f'<th scope="col">{escape(t)}</th>' for t in rows[0])
    body = "".join(
        f'<tr><th scope="row">{escape(row[0])}</th>' + "".join(f"<td>{escape(t)}</td>" for t in row[1:]) + "</tr>"
        for row in rows[1:]
    )
    return (
        f"<details><summary>The figures as a table</summary><table><thead><tr>{head}</tr></thead>"
        f"<tbody>{body}</tbody></table></details>"
    )


def stored(svg: str, alt: str, sentence: str) -> str:
    """What a notebook keeps of a panel, and shows where no kernel runs."""
    image = f'<img class="herb-stored" style="max-width:100%" alt="{escape(alt)}" src="{data_uri(svg)}">'
    return f"{image}\n{line(sentence)}"
