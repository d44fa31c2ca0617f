"""Floor 5. "My plan on one page": a student's own figures in the order in which a partner makes it; HTML text.

Nothing is worked out here and nothing is added: what was not written is listed as missing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from typing import NamedTuple

from herbcalc.batch.pages import written_said
from herbcalc.batch.sheet import ONE_SYSTEM, PLANT
from herbcalc.homework.capstone import Given
from herbcalc.rules import Rules
from herbcalc.show import cautions, html_page
from herbcalc.show.card.capstone_boxes import CHOICES, PAGES, Read, clashes, hairs, labelled, missing

STYLE = (
    "@page{margin:10mm}body{font:9pt/1.22 sans-serif;color:#000;background:#fff;max-width:19cm;margin:2mm auto;"
    "overflow-wrap:anywhere}h1{font-size:14pt;margin:0 0 1mm}h2{font-size:10pt;margin:1.6mm 0 .2mm}"
    "p,ul{margin:.4mm 0}ul{padding-left:6mm}.care{border-left:3px solid #000;padding-left:2mm}"
    ".two{columns:2;column-gap:7mm}.two section{break-inside:avoid}"
)
EMPTY = "________"
INVENTED = (
    "Stand, sample, shelf and prices are invented ({place}). Sums for a class, no advice; no amount is proposed."
)
WHOLE = "Nothing is missing. Could your partner make it?"
AGREES = "What is written agrees from page to page."


class _Plan(NamedTuple):
    """A plan as this page says it."""

    one: Given
    found: Read
    typed: Mapping[str, str]
    rules: Rules

    def f(self, box: str) -> str:
        """A figure as it stands in the plan, or a line to fill in."""
        if box not in self.found.plan:
            return EMPTY
        return escape(written_said(box, self.found.plan[box], self.rules.currency))

    def t(self, box: str) -> str:
        """Words as they were typed, or a line to fill in."""
        text = self.typed.get(box, "").strip()
        return escape(text) if text else EMPTY

    def c(self, box: str) -> str:
        """What was chosen, or a line to fill in."""
        return escape(CHOICES[box][1].get(self.typed.get(box, ""), EMPTY))


def one_page(one: Given, found: Read, typed: Mapping[str, str], rules: Rules, name: str) -> str:
    """The whole page. `name` is that of the batch."""
    p = _Plan(one, found, typed, rules)
    sections: list[tuple[str, list[str], list[str]]] = [
        ("gate", _gate(p), [PLANT]),
        ("harvest", _harvest(p), []),
        ("drying", _drying(p), [*_on_tray(found), *hairs(one)]),
        ("jar", _jar(p), _fire(found, rules)),
        ("yield", _yield(p), [cautions.WET_MARC]),
        ("calendar", _calendar(p), []),
        ("bottles", _bottles(p), [cautions.ASK_FIRST]),
        ("money", _money(p), []),
        ("rain", _rain(p), [cautions.MISSED]),
        ("refused", [f"I refuse {p.c('refused')}.", f"Why, and what instead: {p.t('refused_reason')}"], []),
    ]
    told = [clash.sentence for clash in clashes(found, one, rules)]
    lacks = missing(typed, found.unread)
    title = f"{one.plant.common}, {one.plant.part}: {name or 'my plan'}"
    title = f"{title[0].upper()}{title[1:]}"
    body = "".join(_section(PAGES[key].title, lines, care) for key, lines, care in sections)
    return html_page.whole(
        title,
        f"<body><h1>{escape(title)}</h1><p>{escape(INVENTED.format(place=one.place))}</p><p>{escape(ONE_SYSTEM)}</p>"
        f'<div class="two">{body}</div>'
        f"<h2>Still missing for your partner</h2>{_list(map(escape, lacks)) if lacks else f'<p>{WHOLE}</p>'}"
        f"<h2>Do the pages agree?</h2>{_list(map(escape, told)) if told else f'<p>{AGREES}</p>'}"
        "</body>",
        STYLE,
    )


def _gate(p: _Plan) -> list[str]:
    """What was seen, each with its name: an empty line alone says nothing to a partner."""
    return [
        f"At risk in the wild here: {p.c('at_risk')}.",
        f"Seen: {p.t('gate_seen')}",
        f"Look-alike: {p.t('gate_alike')}",
        f"Land and leave: {p.t('gate_land')}",
    ]


def _harvest(p: _Plan) -> list[str]:
    return [
        f"Plants: of {p.one.count}, {p.f('allowed')} may go; gather {p.f('gather')}, {p.f('left')} stay.",
        f"In the basket: {p.f('basket')}.",
    ]


def _drying(p: _Plan) -> list[str]:
    lines = [f"It goes in {p.c('state')}. Why: {p.t('state_reason')}", f"In the plant: {p.f('water')}."]
    if "wilted" in p.found.plan:
        lines.append(f"It wilts to {p.f('wilted')}.")
    if "wilted" in p.found.plan or p.found.plan.get("state") != "fresh":
        lines.append(f"The tray is ready at {p.f('tray')}.")
    return [*lines, f"How: {p.t('drying_how')}"]


def _jar(p: _Plan) -> list[str]:
    jars = f"; jars of {p.f('jar')}: {p.f('jars')}" if p.found.plan.get("method") != "drip" else ""
    return [
        f"Made as {p.c('method')}{jars}. Why: {p.t('method_reason')}",
        f"Herb that goes in: {p.f('herb')}, at {p.f('ratio')}.",
        f"Menstruum: {p.f('menstruum')} of {p.f('poured')}.",
        f"Mix it from {p.f('strong')} of {p.f('shelf')} and {p.f('added')} of water.",
    ]


def _yield(p: _Plan) -> list[str]:
    return [
        f"The plant brings {p.f('plant_water')}, the marc keeps {p.f('kept')} ({p.f('retained')}).",
        f"Out come {p.f('out')}, between {p.f('out_low')} and {p.f('out_high')}.",
        f"It ends at {p.f('strength')}, between {p.f('strength_low')} and {p.f('strength_high')}. "
        f"The floor is {p.f('floor')}.",
    ]


def _calendar(p: _Plan) -> list[str]:
    return [
        f"Gather: {p.f('gathered')}. Into the jar: {p.f('put_up')}.",
        f"Press and bottle: {p.f('bottled')}. Best before: {p.f('best_before')}.",
    ]


def _bottles(p: _Plan) -> list[str]:
    label = labelled(p.found, p.one, p.typed).lines()
    return [
        f"Bottles of {p.f('size')} to fill: {p.f('bottles')}; ordered: {p.f('ordered')}.",
        "On the label: " + "; ".join(f"{escape(head)}: {escape(words)}" for head, words in label) + ".",
    ]


def _money(p: _Plan) -> list[str]:
    return [
        f"Spirit: bottles to buy ({p.f('pack')}, {p.f('price')} each): {p.f('packs')}; cost {p.f('spirit_cost')}.",
        f"Bottles: {p.f('glass_cost')}. In all {p.f('total')}, a bottle {p.f('each')}. Budget {p.f('budget')}.",
    ]


def _rain(p: _Plan) -> list[str]:
    return [
        f"In the plant: {p.f('rain_water')}. Basket: {p.f('rain_basket')}; plants: {p.f('rain_gather')}.",
        *([f"Tray ready at {p.f('rain_tray')}."] if "tray" in p.found.plan else []),
        f"Herb {p.f('rain_herb')}, menstruum {p.f('rain_menstruum')}.",
        f"Out come {p.f('rain_out')} at {p.f('rain_strength')}; bottles: {p.f('rain_bottles')}.",
        f"What changes: {p.t('rain_reason')}",
    ]


def _on_tray(found: Read) -> list[str]:
    """What is said where a plant lies out."""
    if found.plan.get("state") == "dried":
        return [cautions.DAMP, cautions.DUST]
    return [cautions.WILTING] if "wilted" in found.plan else []


def _fire(found: Read, rules: Rules) -> list[str]:
    """What is said where spirit is poured: food-grade, and when its vapour lights."""
    if "shelf" not in found.plan:
        return [cautions.FOOD_GRADE]
    return [cautions.FOOD_GRADE, cautions.caution(float(found.plan["shelf"].magnitude), rules.shelf)]


def _section(title: str, lines: Iterable[str], care: Iterable[str]) -> str:
    told = "".join(f"<p>{line}</p>" for line in lines)
    told += "".join(f'<p class="care">{escape(line)}</p>' for line in care)
    return f"<section><h2>{escape(title)}</h2>{told}</section>"


def _list(lines: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{line}</li>" for line in lines) + "</ul>"
