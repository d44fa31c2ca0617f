"""Floor 3. A batch on one page, for the wall or the book: what to do, when, and the sums behind it. HTML text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from herbcalc.batch.dates import Step
from herbcalc.batch.figures import Figures, keeps, kept_each, on_tray
from herbcalc.batch.ledger import BROUGHT_IN, Row
from herbcalc.batch.order import Order
from herbcalc.batch.plan import Line
from herbcalc.maceration import CONVENTIONS
from herbcalc.maceration.jar import DRY_PLANT
from herbcalc.maceration.jar import PLANT as FRESH_PLANT
from herbcalc.units.guard import give
from herbcalc.units.saying import per_gram, said, so_many, spoken

STYLE = (
    "@page{margin:10mm}.batch-sheet{font:9.5pt/1.25 sans-serif;color:#000;background:#fff;max-width:19cm;"
    "overflow-wrap:anywhere}.batch-sheet h1{font-size:13pt;margin:0 0 1mm}"
    ".batch-sheet h2{font-size:10.5pt;margin:2mm 0 .6mm}.batch-sheet p,.batch-sheet ol{margin:.8mm 0}"
    ".batch-sheet ol{padding-left:6mm}.batch-sheet table{border-collapse:collapse;width:100%}"
    ".batch-sheet th,.batch-sheet td{border:1px solid #666;padding:.2mm 1.5mm;text-align:left;font-weight:normal}"
    ".batch-sheet .two{display:grid;grid-template-columns:11fr 8fr;gap:5mm}"
    ".batch-sheet .small{font-size:8pt;line-height:1.2}"
    ".batch-sheet svg{display:block;width:100%}"
)
ONE_SYSTEM = "Keep to one side: grams with mL, or ounces with fluid ounces."
FIRE = (
    "Food-grade spirit only. Its vapour lights from a flame. No flame, no pilot light, window open; no heat to dry a "
    "wet marc."
)
DUST = "Dry when stems snap: damp herb moulds. Rub or grind it with a dust mask on."
LOOSE = "; loose leaf takes more"  # until it has sunk
HEAP = "It wilts thin, in shade and moving air: a heap heats and moulds."
LABEL = "Label the jar before you put it down. Weigh the marc before you wash anything."
WEAK = "It ends under your floor: not for keeping."
PLANT = "Certain of the plant? Two features, and a look-alike named; if not certain, leave it."


def sheet(
    order: Order,
    found: Figures,
    plan: Sequence[Line],
    steps: Sequence[Step],
    rows: Sequence[Row],
    told: Iterable[str],
    picture: str,
    name: str,
) -> str:
    """The page of `Batch.sheet`; `picture` is HTML text already, `name` is not."""
    bottle = said(order.number("bottle"), "mL")
    method = "soaked" if order.method == "soak" else "dripped"
    wilted = f", wilted to {said(found.water, 'percent_wb')}" if order.state == "fresh" and on_tray(order) else ""
    ratio = f"1:{said(order.number('ratio'), '')}"
    head = (
        f"{so_many(int(plan[-2].metric), 'bottle')} of {bottle}, {order.state} plant{wilted}, {method}, {ratio} "
        f"({CONVENTIONS[order.convention]}), in {said(order.number('spirit'), 'percent_vol')}"
    )
    amounts = [(line.what, ("have " if line.must else "at most ") + line.text) for line in plan]
    if order.method == "soak":
        holds = spoken(give(_fills(order, found), "mL"), round="up")
        amounts.append(("jars, to the brim", f"in all {holds}{LOOSE if order.state == 'dried' else ''}"))
    tray = DUST if order.state == "dried" else HEAP if on_tray(order) else ""
    caution = " ".join(filter(None, (FIRE, tray, "" if keeps(order, found) else WEAK)))
    parts = [
        f"<h1>{escape(name or 'A batch')}</h1><p>{escape(head)}. {escape(PLANT)}</p>",
        f'<div class="two"><div><h2>Amounts</h2>{_table(("what", "how much"), amounts)}</div>',
        f"<div><h2>Days</h2>{_list(step.text for step in steps)}<p>{escape(LABEL)}</p>"
        f"<p>{escape(caution)}</p><p>{escape(ONE_SYSTEM)}</p></div></div>",
        "<h2>The sums, before rounding</h2>",
        f'<div class="small">{_list(sums(order, found))}</div>',
        "<h2>How sure</h2>",
        f'<div class="small">{_list(told)}</div>',
        "<h2>Where it all goes</h2>",
        picture,
        f'<div class="small">{_table(("step", "place", "solids", "water", "alcohol"), _ledger(rows))}',
        "<p>What dissolves is counted with the solids, in the marc.</p></div>",
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
    if on_tray(order):
        wet = order.number("water")
        lines.append(
            f"Fresh for it: {said(found.herb, 'g')} × {_n(100.0 - found.water)} / {_n(100.0 - wet)} = "
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


def _fills(order: Order, found: Figures) -> float:
    """What herb and menstruum take up in a jar, mL; dried herb once it has sunk."""
    plant = FRESH_PLANT if order.state == "fresh" else DRY_PLANT
    return found.menstruum + found.herb / float(plant.magnitude)


def _n(number: float) -> str:
    return said(number, "")


def _ledger(rows: Sequence[Row]) -> list[tuple[str, ...]]:
    return [
        (
            row.step,
            f"+ {row.place}" if row.place == BROUGHT_IN else row.place,
            *(said(n, "g") if n else "0" for n in row[2:]),
        )
        for row in rows
    ]


def _list(lines: Iterable[str]) -> str:
    return "<ol>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ol>"


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    head = "".join(f"<th>{escape(one)}</th>" for one in heads)
    body = "".join("<tr>" + "".join(f"<td>{escape(one)}</td>" for one in row) + "</tr>" for row in rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
