"""Floor 5. "My plan on one page": a student's own figures in the order in which a partner makes it; HTML text.

Nothing is worked out here and nothing is added: what was not written is listed as missing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from html import escape

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
Said = Callable[[str], str]
EMPTY = "________"
INVENTED = (
    "Stand, sample, shelf and prices are invented (Alder Lane). Sums for a class, no advice; no amount is proposed."
)
WHOLE = "Nothing is missing. Could your partner make it?"
AGREES = "What is written agrees from page to page."


def one_page(one: Given, found: Read, typed: Mapping[str, str], rules: Rules, name: str) -> str:
    """The whole page. `name` is that of the batch."""

    def f(box: str) -> str:
        """A figure as it stands in the plan, or a line to fill in."""
        if box not in found.plan:
            return EMPTY
        return escape(written_said(box, found.plan[box], rules.currency))

    def t(box: str) -> str:
        """Words as they were typed."""
        text = typed.get(box, "").strip()
        return escape(text) if text else EMPTY

    def c(box: str) -> str:
        return escape(CHOICES[box][1].get(typed.get(box, ""), EMPTY))

    label = labelled(found, one, typed)
    sections = [
        (
            "gate",
            [f"At risk in the wild here: {c('at_risk')}.", *_gate(t)],
            [PLANT],
        ),
        (
            "harvest",
            [
                f"Plants: of {one.count}, {f('allowed')} may go; gather {f('gather')}, {f('left')} stay.",
                f"In the basket: {f('basket')}.",
            ],
            [],
        ),
        ("drying", _drying(found, f, t, c), [*_on_tray(found), *hairs(one)]),
        ("jar", _jar(found, f, t, c), _fire(found, rules)),
        (
            "yield",
            [
                f"The plant brings {f('plant_water')}, the marc keeps {f('kept')} ({f('retained')}).",
                f"Out come {f('out')}, between {f('out_low')} and {f('out_high')}.",
                f"It ends at {f('strength')}, between {f('strength_low')} and {f('strength_high')}. "
                f"The floor is {f('floor')}.",
            ],
            [cautions.WET_MARC],
        ),
        (
            "calendar",
            [
                f"Gather: {f('gathered')}. Into the jar: {f('put_up')}.",
                f"Press and bottle: {f('bottled')}. Best before: {f('best_before')}.",
            ],
            [],
        ),
        (
            "bottles",
            [
                f"Bottles of {f('size')} to fill: {f('bottles')}; ordered: {f('ordered')}.",
                "On the label: "
                + "; ".join(f"{escape(head)}: {escape(words)}" for head, words in label.lines())
                + ".",
            ],
            [cautions.ASK_FIRST],
        ),
        (
            "money",
            [
                f"Spirit: bottles to buy ({f('pack')}, {f('price')} each): {f('packs')}; cost {f('spirit_cost')}.",
                f"Bottles: {f('glass_cost')}. In all {f('total')}, a bottle {f('each')}. Budget {f('budget')}.",
            ],
            [],
        ),
        (
            "rain",
            [
                f"In the plant: {f('rain_water')}. Basket: {f('rain_basket')}; plants: {f('rain_gather')}.",
                *([f"Tray ready at {f('rain_tray')}."] if "tray" in found.plan else []),
                f"Herb {f('rain_herb')}, menstruum {f('rain_menstruum')}.",
                f"Out come {f('rain_out')} at {f('rain_strength')}; bottles: {f('rain_bottles')}.",
                f"What changes: {t('rain_reason')}",
            ],
            [cautions.MISSED],
        ),
        ("refused", [f"I refuse {c('refused')}.", f"Why, and what instead: {t('refused_reason')}"], []),
    ]
    told = [clash.sentence for clash in clashes(found, one, rules)]
    lacks = missing(typed, found.unread)
    title = f"{one.plant.common}, {one.plant.part}: {name or 'my plan'}"
    title = f"{title[0].upper()}{title[1:]}"
    body = "".join(_section(PAGES[key].title, lines, care) for key, lines, care in sections)
    return html_page.whole(
        title,
        f"<body><h1>{escape(title)}</h1><p>{escape(INVENTED)}</p><p>{escape(ONE_SYSTEM)}</p>"
        f'<div class="two">{body}</div>'
        f"<h2>Still missing for your partner</h2>{_list(map(escape, lacks)) if lacks else f'<p>{WHOLE}</p>'}"
        f"<h2>Do the pages agree?</h2>{_list(map(escape, told)) if told else f'<p>{AGREES}</p>'}"
        "</body>",
        STYLE,
    )


def _gate(t: Said) -> list[str]:
    """What was seen, each with its name: an empty line alone says nothing to a partner."""
    return [f"Seen: {t('gate_seen')}", f"Look-alike: {t('gate_alike')}", f"Land and leave: {t('gate_land')}"]


def _drying(found: Read, f: Said, t: Said, c: Said) -> list[str]:
    lines = [f"It goes in {c('state')}. Why: {t('state_reason')}", f"In the plant: {f('water')}."]
    if "wilted" in found.plan:
        lines.append(f"It wilts to {f('wilted')}.")
    if "wilted" in found.plan or found.plan.get("state") != "fresh":
        lines.append(f"The tray is ready at {f('tray')}.")
    return [*lines, f"How: {t('drying_how')}"]


def _jar(found: Read, f: Said, t: Said, c: Said) -> list[str]:
    jars = f"; jars of {f('jar')}: {f('jars')}" if found.plan.get("method") != "drip" else ""
    return [
        f"Made as {c('method')}{jars}. Why: {t('method_reason')}",
        f"Herb that goes in: {f('herb')}, at {f('ratio')}.",
        f"Menstruum: {f('menstruum')} of {f('poured')}.",
        f"Mix it from {f('strong')} of {f('shelf')} and {f('added')} of water.",
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
