"""Floor 5. The cards of one's own jar, a page to come back to over weeks: each box keeps what is typed, when it is.

`here.own_jar()` is the card in which a batch is begun or chosen; `here.own_jar("plant")` and the others are its pages
in the order of the work, and `here.own_jar("says")` sets the bench beside the plan. They share one `OwnJar`, which
knows the batch that is shown: what is typed goes into that one, whatever another window works on meanwhile.
"""

from __future__ import annotations

from functools import lru_cache
from html import escape
from typing import Any

import ipywidgets as w

from herbcalc import person
from herbcalc.batch import Batch
from herbcalc.batch.sheet import PLANT
from herbcalc.ethanol import STRENGTH
from herbcalc.person import batches
from herbcalc.show import cautions
from herbcalc.show.card import own_batch, paper
from herbcalc.show.card.capstone_boxes import PLAN
from herbcalc.show.card.handing import laid
from herbcalc.show.card.log import WeighingLog
from herbcalc.show.card.own_batch import BOXES, LOG, PAGE, PAGES
from herbcalc.show.desk import Desk
from herbcalc.show.draw.streams import streams
from herbcalc.show.sheets import batch_page
from herbcalc.show.stored import Stored
from herbcalc.units import OutOfRange
from herbcalc.units.guard import take

SAYS = "says"
WIDE, HIGH = 900.0, 420.0  # of the picture
CHOOSE = "Your batches"
ON_ONE_PAGE = "This batch on one page"
NO_BASKET = "There is no batch to put on it yet: type the basket or the bottles above, and press once more."
NO_DAY = "Its days are counted from the gathering: type that day above, and press once more."
WHAT_THE_BENCH_SAYS = "What the bench says"
NO_BATCH = "No batch is begun yet. Give yours a name below: plant and month will do. Each batch keeps its own boxes."
FIRST_LINES = {
    "plan": "Say first what you expect. Type the basket or the bottles; an empty box takes a usual figure.",
    "plant": "A good sample is 100 g (3 1/2 oz), cut small, dried crisp, then in a slow oven until it loses no more.",
    "drying": "Each weighing is a line of your log. When it is dry, weigh all of it.",
    "jar": "Three weighings on one scale say all: the empty jar, with the herb, and filled. Or pour by the jug.",
    "pressing": "Measure what comes out, and put the pressed marc on the scale before you let it go.",
    "drops": "Fill the measure drop by drop, three times, with the dropper that goes into the bottle.",
}
TAKEN = "What empty boxes stand for"
LABEL_NOW = (
    "Label the jar before you put it down: plant and part, fresh or dried, spirit, ratio, the day. What nobody can "
    "name is thrown away."
)


class OwnJar:
    """What the cards of one page share: the desk, the batch that is shown, and who is told when something changes."""

    def __init__(self, here: Desk, take_log: Any) -> None:
        self.here, self.take_log = here, take_log
        self.cards: list[_Card] = []
        self.amiss: list[str] = []
        self._planned: own_batch.Plan | None = None  # until something changes
        try:
            self.name = batches.current(here.home)
        except person.NotKept as refusal:
            self.name = ""
            self.amiss.append(str(refusal))
        self.amiss += person.news()

    def card(self, page: str) -> w.Widget:
        """The card of a page: "" chooses the batch, "plan" to "drops" are the boxes, "says" sets all side by side."""
        if page not in ("", SAYS, *PAGES):
            there = ", ".join(f'"{name}"' for name in (*PAGES, SAYS))
            raise OutOfRange(f'There is no page "{str(page)[:40]}" for your own jar. There are: {there}.')
        made: _Card
        if page == "":
            made = Choosing(self)
        elif page == SAYS:
            made = Saying(self)
        else:
            made = {"plan": Planning, "drying": Drying}.get(page, Boxes)(self, page)
        self.cards.append(made)
        return made

    def typed(self) -> dict[str, str]:
        """What was typed into the boxes of the batch that is shown."""
        return batches.typed(PAGE, self.here.home, of=self.name) if self.name else {}

    def keep(self, box: str, text: str) -> None:
        """Keep one box; before any batch was begun that begins one. Refuses (NotKept) in a sentence."""
        batches.save_typed(PAGE, box, text, self.here.home, of=self.name)
        if not self.name:
            self.choose(batches.current(self.here.home))
        self.changed()

    def choose(self, name: str) -> None:
        """Show another batch, or begin one. Refuses (NotKept) in a sentence."""
        self.name = batches.choose(name, self.here.home)
        self.turned()

    def let_go(self) -> None:
        """Take the batch away that is shown."""
        batches.let_go(self.name, self.here.home)
        self.name = batches.current(self.here.home)
        self.turned()

    def turned(self) -> None:
        """Another batch is shown: every card reads it."""
        self._planned = None
        for card in self.cards:
            card.turn()

    def changed(self) -> None:
        """Something of this batch has changed: what is reckoned from it is reckoned again."""
        self._planned = None
        for card in self.cards:
            card.reckon()

    def plan(self) -> own_batch.Plan:
        """The plan of the batch that is shown."""
        if self._planned is None:
            self._planned = own_batch.planned(self.typed(), self.here.rules, self.here.home, self.name)
        return self._planned


class _Card(Stored, w.VBox):
    """One card: its title, and `turn` and `reckon`, which read the batch again and never stop a page."""

    def __init__(self, own: OwnJar, title: str) -> None:
        super().__init__()
        self.add_class("herb-card")
        self.own, self.title = own, title
        self.stored_plain = title
        self.said = paper.live()

    def turn(self) -> None:
        """Another batch is shown."""
        self.reckon()

    def reckon(self) -> None:
        """Work out again what stands here."""
        try:
            self.said.value = self.words()
        except person.NotKept as refusal:
            self.said.value = paper.told(["That could not be read or kept.", str(refusal)])

    def words(self) -> str:
        """What there is to say, as HTML."""
        raise NotImplementedError


class Choosing(_Card):
    """Where a batch is begun, chosen, or let go."""

    def __init__(self, own: OwnJar) -> None:
        super().__init__(own, CHOOSE)
        self.list = paper.choice("Work on", [])
        self.new = paper.box("A new batch, its name", self.begin)
        self.begin_button = paper.button("Begin it", self.begin, first=True)
        self.go_button = paper.button("Let this batch go", lambda: self._do(self.ask))
        self.asked, self.sure = paper.live(), w.HBox()
        self._reading = False
        self.list.observe(self._chosen, "value")
        words = f"<h3>{CHOOSE}</h3>"
        self.turn()
        self.stored_html = f"{words}<p>{escape(NO_BATCH)}</p><p>{paper.TO_TYPE}</p>"
        self.children = [
            w.HTML(words), self.list, paper.row(self.new, self.begin_button), self.said, self.go_button, self.asked,
            self.sure, paper.Manners(),
        ]  # fmt: skip

    def turn(self) -> None:
        """Another batch is shown: the list stands on it."""
        self._reading = True
        try:
            there = batches.names(self.own.here.home)
        except person.NotKept:
            there = []  # `reckon` says why
        self.list.options = there
        self.list.value = self.own.name if self.own.name in there else None
        self.list.layout.display = self.go_button.layout.display = "" if there else "none"
        self._reading = False
        self.asked.value, self.sure.children = "", []
        self.reckon()

    def words(self) -> str:
        """Which batch is shown, and how much of it is filled in."""
        told = [NO_BATCH]
        if self.own.name:
            filled = sum(name in BOXES or name == LOG for name in self.own.typed())
            told = [f'You are working on "{self.own.name}". {_boxes(filled)} filled in so far.']
            told.append("Each box keeps what you type as soon as you leave it or press Enter. Come back any day.")
        return paper.told([*told, *self.own.amiss])

    def _chosen(self, _: Any) -> None:
        if not self._reading and self.list.value is not None:
            self._do(lambda: self.own.choose(self.list.value))

    def begin(self) -> None:
        """Begin a batch of the name typed, or work on it where there is one."""
        name = self.new.value

        def begun() -> None:
            self.own.choose(name)
            self.new.value = ""

        self._do(begun)

    def ask(self) -> None:
        """Ask before a batch goes."""
        lines = [f'Let "{self.own.name}" go, with all that was typed into it?']
        if batches.typed(PLAN, self.own.here.home, of=self.own.name):
            lines.append("Your plan of lesson 14 stands in it too, and would go with it.")
        self.asked.value = paper.told(lines)
        self.sure.children = [
            paper.button("No, keep it", self.turn),
            paper.button("Yes, let it go", lambda: self._do(self.own.let_go)),
        ]

    def _do(self, what: Any) -> None:
        try:
            what()
        except person.NotKept as refusal:
            self.said.value = paper.told(["Not yet.", str(refusal)])


def _boxes(number: int) -> str:
    return "1 box is" if number == 1 else f"{number} boxes are"


class Boxes(_Card):
    """The boxes of one page. What stands in them is what the file holds."""

    def __init__(self, own: OwnJar, page: str) -> None:
        super().__init__(own, PAGES[page])
        self.page = page
        self.places: dict[str, Any] = {box.name: self._place(box) for box in own_batch.boxes(page)}
        self._reading = False
        for name, place in self.places.items():
            place.observe(lambda change, name=name: self._typed(name, change["new"]), "value")
        self.caution, self.picture = w.HTML(), w.HTML()
        words = f"<h3>{self.title}</h3><p>{escape(FIRST_LINES[page])}</p>"
        rows = "".join(f"<li>{escape(box.label)}</li>" for box in own_batch.boxes(page))
        self.turn()
        self.stored_html = f"{words}{self.caution.value}<ul>{rows}</ul><p>{paper.TO_TYPE}</p>"
        self.children = [
            w.HTML(words), self.caution, *self.above(), paper.row(*self.places.values()), self.said, self.picture,
            *self.below(), paper.Manners(),
        ]  # fmt: skip

    def above(self) -> list[Any]:
        """What stands above the boxes of this page."""
        return []

    def below(self) -> list[Any]:
        """What stands below all that is said on this page."""
        return []

    def _place(self, box: own_batch.Box) -> Any:
        if box.chosen:
            return paper.choice(box.label, [("not said yet", ""), *((c, c) for c in box.chosen)])
        made = paper.box(box.label, lambda: self.reckon())
        if box.kind != own_batch.WORDS:
            made.add_class("herb-own")
        made.placeholder = self.own.here.plants.say(box.example)
        return made

    def turn(self) -> None:
        """The boxes as the file of this batch holds them."""
        self._reading = True
        try:
            typed = self.own.typed()
        except person.NotKept:
            typed = {}  # `reckon` says why
        for name, place in self.places.items():
            text = typed.get(name, "")
            place.value = text if not BOXES[name].chosen or text in BOXES[name].chosen else ""
        self._reading = False
        self.reckon()

    def _typed(self, name: str, text: str) -> None:
        if self._reading:
            return
        try:
            self.own.keep(name, text)
        except person.NotKept as refusal:
            self.said.value = paper.told(["Not kept yet.", str(refusal)])

    def words(self) -> str:
        """What was read in each box, and for the plan what it says."""
        typed = self.own.typed()
        self.caution.value = paper.cautions(self.cautions(typed))
        kept = any(typed.get(name) for name in self.places)
        return (self._heard(typed) if kept else "") + (self._plan() if self.page == "plan" else "")

    def _heard(self, typed: dict[str, str]) -> str:
        amiss, found = own_batch.heard(self.page, typed)
        amiss += own_batch.cannot_be(self.page, self.own.plan(), typed)
        read = [f"Read: {'; '.join(found)}."] if found else []
        return paper.told([f'Kept in "{self.own.name}".', *amiss, *read])

    def _plan(self) -> str:
        plan = self.own.plan()
        for name, place in self.places.items():
            if not BOXES[name].chosen:  # what an empty box stands for can be seen in it
                place.placeholder = plan.taken.get(name, self.own.here.plants.say(BOXES[name].example))
        self.picture.value = _pictured(plan.batch) if plan.batch else ""
        whence = paper.unfolding(TAKEN, "Type your own into a box, and it counts.", plan.whence)
        return paper.told(plan.lines) + (whence if plan.whence else "")

    def cautions(self, typed: dict[str, str]) -> list[str]:
        """What is said at this moment of the work."""
        rules = self.own.here.rules
        if self.page == "plant":
            return [PLANT, cautions.LEAVE]
        if self.page == "drying":
            return [cautions.DAMP, cautions.WILTING, cautions.DUST]
        if self.page == "jar":
            strength = _strength(typed, max(rules.shelf))
            return [cautions.FOOD_GRADE, cautions.caution(strength, rules.shelf), cautions.IN_GLASS, LABEL_NOW]
        if self.page == "pressing":
            return [cautions.WET_MARC, cautions.MISSED]
        return [cautions.NOT_ADVICE, cautions.ASK_FIRST] if self.page == "drops" else []


@lru_cache(maxsize=1)  # the plan stays what it is while the bench is typed
def _pictured(batch: Batch) -> str:
    """The ledger of the plan as one picture, its words outside of it."""
    svg, alt = streams(batch, wide=WIDE, high=HIGH, name="own jar")
    return (
        f'<div class="herb-streams" role="img" aria-label="{escape(alt)}"><div aria-hidden="true">{svg}</div></div>'
    )


def _strength(typed: dict[str, str], else_: float) -> float:
    """The strength that stands in the jar's box, or in the plan's, % vol."""
    for name in ("strength", "spirit"):
        try:
            found = own_batch.read(BOXES[name], typed.get(name, ""))
        except ValueError:
            continue  # the box says so itself
        if found is not None:
            return float(take(name, STRENGTH, found))
    return else_


class Planning(Boxes):
    """The page of the plan, which can be laid on one sheet of paper."""

    def below(self) -> list[Any]:
        """The button, and what is said of the page."""
        self.made = paper.live()
        return [paper.button(ON_ONE_PAGE, self.lay), self.made]

    def lay(self) -> None:
        """Write the batch on one page into the person's folder, and say where it is."""
        try:
            typed, plan = self.own.typed(), self.own.plan()
            found = own_batch.day_of(typed)
            if plan.batch is None or found is None:
                self.made.value = paper.told(["Not made yet.", NO_BASKET if plan.batch is None else NO_DAY])
                return
            name = ": ".join(filter(None, [self.own.name, typed.get("plant", "").strip()]))
            text = batch_page.page(plan.batch, found, name=name)
            where, link = laid(self.own.here.home, person.MY_BATCH, text)
        except person.NotKept as refusal:
            self.made.value = paper.told(["Not made yet.", str(refusal)])
            return
        self.made.value = paper.told(where) + link


class Drying(Boxes):
    """The page of the tray, with the drying log above its boxes; the log is kept as it is typed."""

    weighings: WeighingLog | None = None

    def above(self) -> list[Any]:
        """The log; its curve goes on to the panels of this page."""
        self.weighings = WeighingLog(self.own.here.rules, self.own.take_log, own=self._log())
        self.weighings.place.observe(self._weighed, "value")
        return [self.weighings]

    def _log(self) -> str:
        try:
            return self.own.typed().get(LOG, "")
        except person.NotKept:
            return ""  # `reckon` says why

    def _weighed(self, change: dict[str, Any]) -> None:
        if not self._reading:
            self._typed(LOG, change["new"])
            self._draw()

    def turn(self) -> None:
        """The log and the boxes as the file of this batch holds them."""
        super().turn()
        if self.weighings is not None:
            self._reading = True
            self.weighings.place.value = self._log()
            self._reading = False
            self._draw()

    def _draw(self) -> None:
        if self.weighings is not None:
            self.weighings.work_out()


class Saying(_Card):
    """The plan and the bench beside each other, and the press that takes one's own figures over."""

    def __init__(self, own: OwnJar) -> None:
        super().__init__(own, WHAT_THE_BENCH_SAYS)
        self.use_button = paper.button("Use these figures", self.use, first=True)
        self.used = paper.live()
        words = f"<h3>{WHAT_THE_BENCH_SAYS}</h3>"
        self.reckon()
        self.stored_html = f"{words}{self.said.value}<p>{paper.TO_TYPE}</p>"
        self.children = [w.HTML(words), self.said, self.use_button, self.used, paper.Manners()]

    def turn(self) -> None:
        """Another batch is shown."""
        self.used.value = ""
        self.reckon()

    def words(self) -> str:
        """A row for each figure, then sentences."""
        here = self.own.here
        told = own_batch.says(self.own.plan(), self.own.typed(), here.rules)
        own = told.compared.own if told.compared else {}
        self.use_button.layout.display = "" if own else "none"
        table = _table(told.compared) if told.compared and told.compared.measured else ""
        teacher = own_batch.house_line(told.compared, here.rules) if here.teaches and told.compared else []
        line = paper.unfolding("For you who teach", teacher[0], teacher[1:]) if teacher else ""
        return table + paper.told(told.lines) + paper.cautions(told.weak) + line

    def use(self) -> None:
        """Put one's own water, marc and drops into the figures of the batch; the plan keeps what it was made with."""
        home, name = self.own.here.home, self.own.name
        try:
            plan = self.own.plan()
            told = own_batch.says(plan, self.own.typed(), self.own.here.rules)
            own = told.compared.own if told.compared else {}
            own = {figure: float(f"{number:.3g}") for figure, number in own.items()}  # as it is said, and no more
            for box, text in plan.taken.items():
                batches.save_typed(PAGE, box, text, home, of=name)
            batches.save_figures(own, home, of=name)
        except person.NotKept as refusal:
            self.used.value = paper.told(["Not kept yet.", str(refusal)])
            return
        self.own.turned()
        self.used.value = paper.told(own_batch.used(own, name))


def _table(compared: Any) -> str:
    """The figures side by side; what lies further off than the readings can tell says so in words."""
    heads = ("figure", "the plan", "from what was measured before", "the bench")
    rows = []
    for row in compared.rows:
        news = " (further off than scale, jug and sample tell)" if row.news else ""
        plan, was = ("" if one is None else row.say(one) for one in (row.planned, row.predicted))
        cells = [plan, was if was != plan else "", row.say(row.measured) + news]
        rows.append(
            f'<th scope="row">{escape(row.what)}</th>' + "".join(f"<td>{escape(cell)}</td>" for cell in cells)
        )
    head = "".join(f'<th scope="col">{escape(one)}</th>' for one in heads)
    body = "".join(f"<tr>{row}</tr>" for row in rows)
    return f'<table class="herb-beside"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'
