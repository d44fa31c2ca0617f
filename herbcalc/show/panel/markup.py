"""Floor 5. The small pieces of HTML that a panel is told in. Texts are escaped here and nowhere else."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from herbcalc.show.draw.board import data_uri
from herbcalc.show.look import Number


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


def two(first: str, second: str) -> str:
    """Two pictures side by side, named A and B."""
    return (
        f'<div class="herb-two"><div><p><b>A</b>, the one before</p>{first}</div>'
        f"<div><p><b>B</b>, as it is set now</p>{second}</div></div>"
    )


def tiles(numbers: Sequence[Number]) -> str:
    """The large numbers, each with what it is over it and a line in smaller words below."""
    made = []
    for number in numbers:
        small = f"<span>{escape(number.note)}</span>" if number.note else ""
        made.append(f"<li><span>{escape(number.label)}</span><b>{escape(number.value)}</b>{small}</li>")
    return f'<ul class="herb-tiles">{"".join(made)}</ul>' if made else ""


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
