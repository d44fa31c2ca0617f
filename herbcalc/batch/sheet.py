"""Floor 3. A batch on one page, for the wall or the book: what to do, when, and the sums behind it. HTML text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from herbcalc.batch.dates import Step
from herbcalc.batch.figures import Figures, dried_to, kept_each
from herbcalc.batch.ledger import BROUGHT_IN, Row
from herbcalc.batch.order import Order
from herbcalc.batch.plan import Line
from herbcalc.maceration import CONVENTIONS
from herbcalc.units.saying import per_gram, said

STYLE = (
    "@page{margin:12mm}.batch-sheet{font:10pt/1.35 sans-serif;color:#000;background:#fff;max-width:19cm}"
    ".batch-sheet h1{font-size:15pt;margin:0 0 2mm}.batch-sheet h2{font-size:11pt;margin:3mm 0 1mm}"
    ".batch-sheet table{border-collapse:collapse;width:100%}.batch-sheet p,.batch-sheet ol{margin:1mm 0}"
    ".batch-sheet th,.batch-sheet td{border:1px solid #666;padding:.6mm 1.5mm;text-align:left}"
)
ONE_SYSTEM = "Keep to one side: grams with mL, or ounces with fluid ounces."
FIRE = (
    "Food-grade spirit only. Its vapour lights from a flame. No flame, no pilot light, window open; no heat to dry a "
    "wet marc."
)
DUST = "Grind the dried plant with a dust mask on."
PLANT = "Certain of the plant? Two features, and a look-alike named; if not certain, leave it."


def sheet(
    order: Order,
    found: Figures,
    plan: Sequence[Line],
    steps: Sequence[Step],
    rows: Sequence[Row],
    told: Iterable[str],
) -> str:
    """The page of `Batch.sheet`."""
    bottle = said(order.number("bottle"), "mL")
    method = "soaked" if order.method == "soak" else "dripped"
    head = (
        f"{plan[-2].text} bottles of {bottle}, {order.state} plant, {method}, 1:{said(order.number('ratio'), '')} "
        f"({CONVENTIONS[order.convention]}), in {said(order.number('spirit'), 'percent_vol')}"
    )
    amounts = [(line.what, ("have " if line.must else "at most ") + line.text) for line in plan]
    parts = [
        f"<h1>{escape(head)}</h1><p>{escape(PLANT)}</p>",
        "<h2>Amounts</h2>",
        _table(("what", "how much"), amounts),
        f"<p>{escape(ONE_SYSTEM)}</p>",
        "<h2>Days</h2>",
        _list(step.text for step in steps),
        "<h2>The sums, before rounding</h2>",
        _list(sums(order, found)),
        f"<p>{escape(FIRE if order.method == 'soak' else f'{FIRE} {DUST}')}</p>",
        "<h2>How sure</h2>",
        _list(told),
        "<h2>Where it all goes</h2>",
        _table(("step", "place", "solids", "water", "alcohol"), _ledger(rows)),
        "<p>What dissolves is counted with the solids, in the marc.</p>",
    ]
    return f'<section class="batch-sheet"><style>{STYLE}</style>{"".join(parts)}</section>'


def sums(order: Order, found: Figures) -> list[str]:
    """Each step of the walk back as one line, worked."""
    each, keeps, bottle = found.each, kept_each(order), said(order.number("bottle"), "mL")
    lines = []
    if order.convention != "added":
        lines.append(
            f"1:{said(order.number('ratio'), '')} ({CONVENTIONS[order.convention]}) is {per_gram(each)}, "
            "menstruum added."
        )
    if order.state == "fresh":
        brings, keeps_of_it = found.water / 100.0, keeps + found.water / 100.0
        lines.append(
            f"Of each gram the plant brings {_n(brings)} mL, and its dry part keeps {_n(order.number('retained'))} × "
            f"{_n(1.0 - brings)} = {_n(keeps_of_it)} mL. Out comes {_n(each)} + {_n(brings)} - {_n(keeps_of_it)} = "
            f"{_n(each - keeps)} mL."
        )
    else:
        lines.append(f"Of each gram out comes {_n(each)} - {_n(keeps)} = {_n(each - keeps)} mL.")
    lines += [
        f"In all {_n(order.number('bottles'))} × {bottle} = {said(found.finished, 'mL')}.",
        f"Plant for it: {said(found.finished, 'mL')} / {_n(each - keeps)} mL for each g = {said(found.herb, 'g')}.",
        f"Menstruum: {said(found.herb, 'g')} × {_n(each)} mL for each g = {said(found.menstruum, 'mL')}.",
    ]
    if order.state == "dried":
        wet = order.number("water")
        lines.append(
            f"Fresh for it: {said(found.herb, 'g')} × {_n(100.0 - dried_to(order))} / {_n(100.0 - wet)} = "
            f"{said(found.fresh, 'g')}."
        )
    spirit, floor, ends, measured = (
        said(number, "percent_vol")
        for number in (order.number("spirit"), order.number("floor"), found.strength, found.measured)
    )
    poured, thins = said(found.menstruum, "mL"), said(found.herb * found.water / 100.0, "mL")
    lines.append(
        f"Strength: {spirit} × {poured} / ({poured} + {thins} of plant water) = {ends}; measured {measured}. Your "
        f"floor is {floor}."
    )
    return lines


def _n(number: float) -> str:
    return said(number, "")


def _ledger(rows: Sequence[Row]) -> list[tuple[str, ...]]:
    return [
        (row.step, f"+ {row.place}" if row.place == BROUGHT_IN else row.place, *(said(n, "g") for n in row[2:]))
        for row in rows
    ]


def _list(lines: Iterable[str]) -> str:
    return "<ol>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ol>"


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    head = "".join(f"<th>{escape(one)}</th>" for one in heads)
    body = "".join("<tr>" + "".join(f"<td>{escape(one)}</td>" for one in row) + "</tr>" for row in rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
