"""Floor 5. The card of the capstone: from given things to a plan that a partner can make, one short page at a time.

Each box is kept when it is typed, in the batch that is worked on. "Do the pages agree?" holds them against each other
and never against an answer; the rubric is for paper, and no score stands on the screen.
"""

from __future__ import annotations

import dataclasses
from html import escape
from typing import Any

import ipywidgets as w

from herbcalc import person
from herbcalc.batch.pages import RAIN
from herbcalc.homework.capstone import given
from herbcalc.person import batches
from herbcalc.show import cautions
from herbcalc.show.card import paper
from herbcalc.show.card.capstone_boxes import (
    ASKED,
    CHOICES,
    PAGES,
    PLAN,
    RUBRIC,
    WORDS,
    clashes,
    example_of,
    given_lines,
    hairs,
    heard,
    label_of,
    missing,
    read,
    shelf_said,
    written,
)
from herbcalc.show.card.capstone_page import AGREES, one_page
from herbcalc.show.card.handing import laid
from herbcalc.show.desk import Desk
from herbcalc.show.stored import Stored
from herbcalc.units.saying import so_many

TITLE = "From the stand to the shelf: your plan"
WHAT = (
    "One short page after the other. Many plans are right; yours must only agree with itself. Each box keeps what "
    "you type as soon as you leave it or press Enter. Type amounts with their unit."
)
AGREE = "Do the pages agree?"
ON_ONE_PAGE = "My plan on one page"
HOW_HELD = (
    "Solids, water, alcohol, counts, days and money are held against each other: to 2 of every 100, or the step "
    "of your scale. A poor choice that agrees with itself is not seen here: your partner sees it."
)
MEND = "Mend these first, then ask again. Each is told once, on the page where it began."
NOTHING = "Nothing is written yet. Begin with the gate; one box after the other will do."
PLANNED = "planned"
GIVEN = PAGES["given"].title
TEN_ROWS = "The ten rows, 0 to 3 each:"


class Capstone(Stored, w.VBox):
    """The pages, the way on and back, and the two buttons that look at all of them, for whoever sits at `here`."""

    stored_plain = TITLE

    def __init__(self, here: Desk) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.here = here
        drawn = given(here.who.class_code, here.who.number, here.rules.hemisphere)
        self.one = dataclasses.replace(drawn, place=here.plants.place or drawn.place)
        self.page = next(iter(PAGES))
        self.name = ""  # of the batch in which the plan stands
        self.typed = self._kept()
        self.places: dict[str, Any] = {}
        self.planned: dict[str, w.HTML] = {}
        self.bodies = {name: self._body(name) for name in PAGES}
        self.head, self.body, self.said, self.told = w.HTML(), w.VBox(), paper.live(), paper.live()
        self.back_button = paper.button("Back", self.back)
        self.next_button = paper.button("Next", self.next, first=True)
        self.to = paper.choice("Page", [(page.title.partition(":")[0], name) for name, page in PAGES.items()])
        self.to.observe(lambda change: self.go(change["new"]), "value")
        self.agree_button = paper.button(AGREE, self.agree)
        self.page_button = paper.button(ON_ONE_PAGE, self.write_page)
        self.go(self.page)
        titles = "".join(f"<li>{escape(page.title)}</li>" for page in PAGES.values())
        self.stored_html = (
            f"<h3>{TITLE}</h3><p>{escape(WHAT)}</p>{self._given()}<ol>{titles}</ol><p>{paper.TO_TYPE}</p>"
        )
        self.children = [
            self.head, self.body, self.said, paper.row(self.back_button, self.next_button, self.to),
            paper.row(self.agree_button, self.page_button), self.told, paper.Manners(),
        ]  # fmt: skip

    # --- the pages ---

    def go(self, page: str) -> None:
        """Show a page."""
        self.page = page
        names = list(PAGES)
        at = names.index(page)
        words = f"<h3>{at + 1} of {len(names)}. {escape(PAGES[page].title)}</h3><p>{escape(PAGES[page].words)}</p>"
        again = f"<details><summary>{GIVEN}</summary>{self._given()}</details>" if at else ""
        self.head.value = ("" if at else f"<p>{escape(WHAT)}</p>") + words + again + self._care(page)
        for box, place in self.planned.items():
            place.value = (
                f'<p class="herb-quiet">{PLANNED}: {escape(self.typed.get(box, "").strip() or "not yet")}</p>'
            )
        self.body.children = [self.bodies[page]]
        self.back_button.disabled, self.next_button.disabled = at == 0, at == len(names) - 1
        self.next_button.description = (
            f"On to: {PAGES[names[at + 1]].title}" if at + 1 < len(names) else "The last page"
        )
        self.to.value = page
        self.told.value = ""
        self._hear()

    def next(self) -> None:
        """The page after this one."""
        self._step(1)

    def back(self) -> None:
        """The page before this one."""
        self._step(-1)

    def _step(self, by: int) -> None:
        names = list(PAGES)
        self.go(names[min(max(names.index(self.page) + by, 0), len(names) - 1)])

    def _body(self, page: str) -> w.VBox:
        if page == "given":
            return w.VBox([w.HTML(self._given())])
        if page == "partner":
            rows = "".join(f"<tr><td>{n}</td><td>{escape(row)}</td></tr>" for n, row in enumerate(RUBRIC, 1))
            return w.VBox([w.HTML(f"<p>{TEN_ROWS}</p><table>{rows}</table>")])
        short, long = [], []
        for box in PAGES[page].boxes:
            (long if box in WORDS or box.startswith(f"{RAIN}_") else short).append(self._row(box))
        return w.VBox([*([_apart(*short)] if short else []), *map(_apart, long)])

    def _row(self, box: str) -> w.Widget:
        place = self.places[box] = self._place(box)
        place.observe(lambda change: self.keep(box, change["new"]), "value")
        before = box.removeprefix("rain_")
        if before == box or before not in self.places:
            return place
        self.planned[before] = w.HTML()
        self.planned[before].layout.width = "12em"
        return paper.row(self.planned[before], place)

    def _place(self, box: str) -> Any:
        value = self.typed.get(box, "")
        if box in CHOICES:
            options = shelf_said(self.one, self.here.rules) if box == "spirit" else CHOICES[box][1]
            there = [("not chosen yet", ""), *((words, name) for name, words in options.items())]
            return paper.choice(label_of(box), there, value if value in options else "")
        made = paper.box(label_of(box), self._hear, value, long=box in WORDS)
        made.placeholder = example_of(box)
        return made

    def _given(self) -> str:
        rows = "".join(
            f"<tr><th>{escape(head)}</th><td>{escape(words)}</td></tr>"
            for head, words in given_lines(self.one, self.here.rules)
        )
        whose = f"Drawn for class {self.here.who.class_code}, number {self.here.who.number}; invented."
        return f"<p>{escape(whose)}</p><table>{rows}</table>"

    def _care(self, page: str) -> str:
        """The cautions of this moment; on the page of the jar also when the spirit lights."""
        lines = list(PAGES[page].cautions)
        if page == "jar":
            strongest = max(bottle.strength for bottle in self.one.shelf)
            lines.append(cautions.caution(strongest, self.here.rules.shelf))
            lines += hairs(self.one)
        return paper.cautions(lines)

    # --- what is typed ---

    def _kept(self) -> dict[str, str]:
        try:
            self.name = batches.holding(PLAN, self.here.home)
            return batches.typed(PLAN, self.here.home, of=self.name)
        except person.NotKept:
            return {}  # the file cannot be opened: the first box that is typed says why

    def keep(self, box: str, text: str) -> None:
        """Keep what was typed in a box, and say what was read."""
        self.typed[box] = text
        self.told.value = ""
        try:
            batches.save_typed(PLAN, box, text, self.here.home, of=self.name)
            self.name = self.name or batches.holding(PLAN, self.here.home)
        except person.NotKept as refusal:
            self.said.value = paper.told(["Not kept yet.", str(refusal)])
            return
        self._hear()

    def _hear(self) -> None:
        told, found = heard(self.page, self.one, self.typed, self.here.rules)
        self.said.value = (paper.told(told) if told else "") + (paper.quiet(found) if found else "")

    # --- all of it ---

    def agree(self) -> None:
        """Say where the pages do not agree, page by page, with both figures."""
        found = read(self.one, self.typed, self.here.rules)
        told = [clash.sentence for clash in clashes(found, self.one, self.here.rules)]
        if not any(text.strip() for text in self.typed.values()):
            self.told.value = paper.told([NOTHING])
            return
        so_far = f"{written(self.typed, found.unread)} of {len(ASKED)} pages are written."
        unread = [f"{label_of(box)}: {why}" for box, why in found.unread.items()]
        if told:
            first = f"{so_many(len(told), 'place')} where figures do not agree yet. {so_far}"
            self.told.value = paper.told([first, MEND], told)
        else:
            self.told.value = paper.told([f"{AGREES} {so_far}", HOW_HELD])
        self.told.value += paper.listed("Not read yet:", unread)

    def write_page(self) -> None:
        """Write the plan on one page into the person's folder, and say where it is and what a partner still lacks."""
        found = read(self.one, self.typed, self.here.rules)
        try:
            text = one_page(self.one, found, self.typed, self.here.rules, self.name)
            where, link = laid(self.here.home, person.MY_PLAN, text)
        except person.NotKept as refusal:
            self.told.value = paper.told(["Not written yet.", str(refusal)])
            return
        lacks = missing(self.typed, found.unread)
        told = paper.told([*where, *([] if lacks else ["Nothing is missing for a partner."])])
        self.told.value = told + link + paper.listed("A partner still lacks:", lacks)


def _apart(*places: w.Widget) -> w.Widget:
    """A row of its own, as wide as the card."""
    row = paper.row(*places)
    row.layout.margin = "0 0 6px 0"
    return row
