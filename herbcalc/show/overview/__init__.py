"""Floor 5. What a teacher reads before class: one HTML page of what the class handed in.

    page(groups, aside, around) -> str           the page: what to teach again first, tables after
    next_week(code, students) -> (page, key)     mixed questions made from what was missed, and the key, a page apart

All that a student typed comes out as text. No colour says anything that a word or a shape does not say. It counts
students and has no score.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape

from herbcalc import homework
from herbcalc.homework import class_view, progress
from herbcalc.homework.handed_in import Aside
from herbcalc.homework.marking import Student, Tried
from herbcalc.homework.reading import quoted
from herbcalc.homework.week import Week, in_words
from herbcalc.person import PRACTICE
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.rules import Rules
from herbcalc.show import assets, html_page, sheets
from herbcalc.show.again import scene_for
from herbcalc.show.draw.palette import FONT
from herbcalc.show.question import SHAPES
from herbcalc.show.shelf import Book
from herbcalc.units.saying import so_many

IN_FULL = 3  # side roads that are told first, with their scene
MOST_OWN = 6  # students whose figures are told of one item
MOST_TOLD = 8  # other side roads, and questions that somebody was sure of and off, with everybody's figures
A_STEP = 4  # shapes that stand together in a cell
ASK = (
    "These numbers come out of a known side road. Somebody may have come to one another way: ask, do not tell. A "
    "student counts once, however often the same thing happened."
)
NONE_SHARED = "No known side road was taken by two of them or more."
NOT_SURE_OFF = "Nobody was sure of an answer that did not fit."
COMES_BACK = (
    "Ask these again in a few days, also of those who have done them since: what one was sure of likes to come back."
)
NONE_HARD = "Whatever two students or more tried, somebody has done."
NOBODY_QUIET = "Nobody is a week behind the others."
TELLS = "Each of these was right at the first look for all who tried it. A fresh one would tell you more:"
NEXT = (
    "Six questions at most, two of a lesson, from what was missed or needed help; the same figures for everybody, so "
    "that you can go through them together."
)
NO_CODE = (
    "Whoever handed this in had not kept a class code and number in 00_start, so nobody can tell whose it is. Ask "
    "them, and let them keep their own."
)
NO_NEXT = "Nothing was missed, so there is no page for next week."
OPENS = "The links to lessons open while the workbook runs on this computer (python3 -m herbcalc)."


@dataclass(frozen=True)
class Group:
    """One class: its code, its students, whose numbers it has (where the teacher said so), the names of the files
    with its page for next week and the key to it ("" where there are none), and what is set for its week."""

    code: str
    students: Sequence[Student]
    numbers: Sequence[int] = ()
    next_week: str = ""
    key: str = ""
    week: Week = field(default_factory=Week)


@dataclass(frozen=True)
class Around:
    """What the page leans on: the notebooks of the lessons, the address at which they open, the house rules, and the
    plants whose names its texts say."""

    shelf: Mapping[int, Book] = field(default_factory=dict)
    address: str = ""
    rules: Rules = field(default_factory=Rules)
    plants: Plants = AS_TOLD

    def title(self, code: str) -> str:
        """An item with its title, as its notebook has it."""
        book = self.shelf.get(int(code.split(".")[0]))
        return book.name(code) if book else code

    def lesson(self, number: int, words: str) -> str:
        """Words as a link to a lesson's notebook, where there is one to open."""
        book = self.shelf.get(number)
        if not (self.address and book and book.lesson):
            return escape(words)
        return f'<a href="{escape(self.address + book.lesson)}">{escape(words)}</a>'


def page(groups: Sequence[Group], aside: Sequence[Aside], around: Around | None = None, title: str = "") -> str:
    """The whole page.

    groups  the classes, each with students
    aside   what did not count, with the reason
    around    what it leans on
    title   of the page

    Result: HTML.

    >>> "No result file" in page([], [])
    True
    """
    around, title = around or Around(), title or "What the class handed in"
    style = f":root{{--font:{FONT}}}{assets.text('overview/overview.css')}"
    several = "".join(f'<li><a href="#{_id(n)}">Class {escape(g.code)}</a></li>' for n, g in enumerate(groups))
    parts = [f"<h1>{escape(title)}</h1>"]
    parts += ["<p>No result file was found.</p>"] if not groups else []
    parts += [f"<ul>{several}</ul>"] if len(groups) > 1 else []
    parts += [_class(n, group, around) for n, group in enumerate(groups)]
    notes = [note for group in groups for student in group.students for note in student.notes]
    parts += [
        _files("Left aside", "These do not count above:", aside),
        _files("Read in part", "These count, though not every line of them, or not as the only file:", notes),
    ]
    return html_page.whole(title, f"<body><main>{''.join(parts)}</main></body>", style)


def _id(place: int) -> str:
    return f"class-{place + 1}"


def _class(place: int, group: Group, around: Around) -> str:
    students = group.students
    head = f'<h2 id="{_id(place)}">Class {escape(group.code)}</h2><p class="herb-quiet">{escape(_who(students))}</p>'
    head += f"<p>{NO_CODE}</p>" if group.code == PRACTICE.class_code else ""
    parts = (
        _again(students, around),
        _sure(students, around),
        _nobody(students, around),
        _set(students, group.week),
        _quiet(group),
        _everybody(students, around),
        _next(group, around),
        _table(students),
    )
    return f"{head}{''.join(parts)}"


def _who(students: Sequence[Student]) -> str:
    first, last = min((s.first for s in students if s.first), default=""), class_view.newest(students)
    versions = sorted({version for s in students for version in s.versions})
    days = f", {first} to {last}" if first != last else f", {last}" if last else ""
    with_ = f"; made with herbcalc {', '.join(versions[:5])}" if versions else ""
    return f"{so_many(len(students), 'student')} handed in{days}{with_}."


def _numbers(numbers: Iterable[int]) -> str:
    """Own numbers as a teacher looks them up on her list."""
    ordered = sorted(numbers)
    return f"{'number' if len(ordered) == 1 else 'numbers'} {', '.join(map(str, ordered))}"


# --- what to teach again -------------------------------------------------------------------------------------------


def _again(students: Sequence[Student], around: Around) -> str:
    """The side roads that two students or more took, three of them in full; others that somebody has not left yet; a
    line for each of the rest."""
    roads, code = class_view.roads(students), students[0].class_code
    first = [road for road in roads if len(road.by) > 1][:IN_FULL]
    others = [road for road in roads if road not in first]
    told = [road for road in others if road.open][:MOST_TOLD]
    ask = f'<p class="herb-quiet">{ASK}{f" {OPENS}" if around.address else ""}</p>' if roads else ""
    return "".join(
        (
            f"<h3>Teach again first</h3>{ask}",
            "".join(_road(road, code, around, whole=True) for road in first) or f"<p>{NONE_SHARED}</p>",
            "<h3>Other side roads</h3>" if others else "",
            *(_road(road, code, around, whole=False) for road in told),
            _listed(_in_a_line(road, around) for road in others if road not in told),
        )
    )


def _listed(rows: Iterable[str]) -> str:
    """Rows as a list of one line each; nothing where there are none."""
    lines = "".join(f"<li>{escape(row)}</li>" for row in rows)
    return f'<ul class="herb-own">{lines}</ul>' if lines else ""


def _count(road: class_view.Road) -> str:
    so = f", {road.open} not there yet" if road.open else ", done by now"
    return f"{so_many(len(road.by), 'student')}{so}"


def _somebody(road: class_view.Road, around: Around) -> str:
    return around.plants.say(f"{road.did[:1].lower()}{road.did[1:]}")


def _in_a_line(road: class_view.Road, around: Around) -> str:
    stands = _count(road).partition(",")[2]
    return f"{around.title(road.item)}: somebody {_somebody(road, around)}; {_numbers(road.by)},{stands}."


def _road(road: class_view.Road, code: str, around: Around, whole: bool) -> str:
    head = (
        f'<h4><span class="herb-count">{_count(road)}</span>: question {escape(around.title(road.item))}</h4>'
        f"<p>It comes out if somebody {escape(_somebody(road, around))}.</p>"
    )
    own = _own(code, road.by, road.done)
    return f'<article class="herb-road">{head}{_show(road.item, around, whole)}{own}</article>'


def _show(item: str, around: Around, whole: bool) -> str:
    """The scene that shows it again: where it is, and, where there is room, what it asks and the teacher's line."""
    found = scene_for(item, around.rules, around.plants)
    if found is None:
        return ""
    where = around.lesson(found.lesson, found.where)
    more = f"<br/>It asks: {escape(found.scene.question)}" if whole else ""
    more += f"<br/>Your line: {escape(found.scene.teacher)}" if whole and found.scene.teacher else ""
    return f'<p class="herb-scene">Show it again: {where}, <b>{escape(found.scene.title)}</b>.{more}</p>'


def _own(code: str, by: Mapping[int, Sequence[Tried]], done: Sequence[int]) -> str:
    """The students' own figures, worked out anew from class code and number, and what they typed."""
    rows = [
        f"<li>{escape(_told(code, number, some, number in done))}</li>"
        for number, some in sorted(by.items())[:MOST_OWN]
    ]
    rest = sorted(by)[MOST_OWN:]
    also = f"<li>The same of {_numbers(rest)}.</li>" if rest else ""
    return f'<ul class="herb-own">{"".join(rows)}{also}</ul>'


def _told(code: str, number: int, some: Sequence[Tried], done: bool) -> str:
    tried, again = class_view.told_of(some, done)
    had, right = class_view.figures(code, number, tried)
    so = " Done by now." if done else " That was when it came round again." if again else ""
    return f"Number {number}{f' had {had};' if had else ''} typed {quoted(tried.typed)}; right is {right}.{so}"


def _sure(students: Sequence[Student], around: Around) -> str:
    off = class_view.sure_but_off(students)
    told = "".join(
        f'<article class="herb-road"><h4>{so_many(len(one.by), "student")}: question '
        f"{escape(around.title(one.item))}</h4>{_own(students[0].class_code, one.by, one.done)}</article>"
        for one in off[:MOST_TOLD]
    )
    rest = _listed(f"{around.title(one.item)}: {_numbers(one.by)}." for one in off[MOST_TOLD:])
    return f"<h3>Sure, and off</h3><p>{COMES_BACK if off else NOT_SURE_OFF}</p>{told}{rest}"


# --- items and people ----------------------------------------------------------------------------------------------


def _nobody(students: Sequence[Student], around: Around) -> str:
    found = class_view.nobody(students)
    rows = "".join(
        f"<li>{escape(around.title(code))}: tried by {_numbers(who)}.{_show(code, around, whole=False)}</li>"
        for code, who in found.items()
    )
    return f"<h3>What nobody could do yet</h3>{f'<ul>{rows}</ul>' if found else f'<p>{NONE_HARD}</p>'}"


def _everybody(students: Sequence[Student], around: Around) -> str:
    found = class_view.everybody(students)
    if not found:
        return ""
    listed = "; ".join(escape(around.title(code)) for code in found)
    return f"<h3>What no longer tells anyone apart</h3><p>{TELLS}</p><p>{listed}.</p>"


def _set(students: Sequence[Student], week: Week) -> str:
    """Who has done what is set for the week, and who has what left; "" where nothing is set."""
    if not week.codes:
        return ""
    left: dict[str, list[int]] = {"": []}
    for one in students:
        left.setdefault(_left(one, week.codes), []).append(one.number)
    done = left.pop("")
    rows = [f"<li>All of it is done by {_numbers(done)}.</li>"] if done else []
    rows += [f"<li>{_numbers(numbers).capitalize()}: {what}.</li>" for what, numbers in left.items()]
    return f"<h3>Set for the week</h3><p>{escape(week.said())}.</p><ul>{''.join(rows)}</ul>"


def _left(student: Student, codes: Iterable[str]) -> str:
    """What one student has not tried, and what was tried and does not fit yet, told apart; "" where all is done."""
    states = {code: student.states.get(code, progress.NOT_TRIED) for code in codes}
    kinds = {progress.NOT_TRIED: "not tried", progress.NOT_YET: "tried, not yet right"}
    some = {said: [code for code, state in states.items() if state == kind] for kind, said in kinds.items()}
    return "; ".join(f"{in_words(those)} {said}" for said, those in some.items() if those)


def _quiet(group: Group) -> str:
    rows = [
        f"<li>Number {one.number}: last day {one.newest or 'not known'}, {so_many(one.answers, 'answer')}.</li>"
        for one in class_view.quiet(group.students)
    ]
    lacking = class_view.without_file(group.students, group.numbers)
    up_to = "" if group.numbers else f" (of 1 to {max(s.number for s in group.students)})"
    rows += [f"<li>No file from {_numbers(lacking)}{up_to}.</li>"] if lacking else []
    listed = "".join(rows)
    return f"<h3>Who has gone quiet</h3>{f'<ul>{listed}</ul>' if rows else f'<p>{NOBODY_QUIET}</p>'}"


def _next(group: Group, around: Around) -> str:
    if not group.next_week:
        return f"<h3>For next week</h3><p>{NO_NEXT}</p>"
    codes = [f"{lesson}.{n}" for lesson, n in class_view.for_next_week(group.students)]
    listed = "; ".join(escape(around.title(code)) for code in codes)
    numbers = group.numbers or [max(s.number for s in group.students)]
    own = f"sheets {group.code} 1-{max(numbers)} --questions {','.join(codes)}"
    return (
        f"<h3>For next week</h3><p>{NEXT}</p><p>{listed}.</p>"
        f'<p><a href="{escape(group.next_week)}">The page to print</a>, and, for you alone, '
        f'<a href="{escape(group.key)}">its key</a>. With each student\'s own figures on paper: '
        f"<code>python3 -m herbcalc {escape(own)}</code></p>"
    )


# --- tables --------------------------------------------------------------------------------------------------------


def _table(students: Sequence[Student]) -> str:
    """Lessons by students: an item's state as a shape, in the order of its page; in words for the ear."""
    lessons = [n for n in homework.LESSONS if any(code.startswith(f"{n}.") for s in students for code in s.states)]
    known = ", ".join(f"{SHAPES[state]} {state}" for state in (*class_view.STATES, progress.NOT_TRIED))
    caption = f"Lessons by students: one shape for each question, in the order of its page. {known}."
    heads = "".join(f'<th scope="col">Lesson {n}</th>' for n in lessons)
    rows = "".join(
        f'<tr><th scope="row">{s.number}</th>{"".join(_cell(s, lesson) for lesson in lessons)}</tr>' for s in students
    )
    return (
        '<h3>Who stands where</h3><div class="herb-lies" tabindex="0" role="region" aria-label="Lessons by students">'
        f'<table class="herb-states"><caption>{caption}</caption><thead><tr><th scope="col">Number</th>{heads}</tr>'
        f"</thead><tbody>{rows}</tbody></table></div>"
    )


def _cell(student: Student, lesson: int) -> str:
    states = [student.states.get(f"{lesson}.{n}", progress.NOT_TRIED) for n in homework.order(lesson)]
    shapes = "".join(SHAPES[state] for state in states)
    steps = " ".join(shapes[at : at + A_STEP] for at in range(0, len(shapes), A_STEP))
    said = class_view.in_words(Counter(states)) or "none tried"
    return f'<td><span aria-hidden="true">{steps}</span><span class="herb-unseen">{said}</span></td>'


def _files(head: str, intro: str, some: Sequence[Aside]) -> str:
    if not some:
        return ""
    rows = "".join(f"<li><b>{escape(one.name)}</b>: {escape(one.reason)}</li>" for one in some)
    return f'<h2>{head}</h2><p>{intro}</p><ul class="herb-aside">{rows}</ul>'


# --- for next week -------------------------------------------------------------------------------------------------


def next_week(code: str, students: Sequence[Student], plants: Plants = AS_TOLD) -> tuple[str, str] | None:
    """A page of mixed questions made from what was missed, and the key to it, each a page of its own.

    code      of the class
    students  of that class
    plants    whose names its questions say

    Result: (page, key), or None where nothing was missed.

    >>> next_week("fern7", []) is None
    True
    """
    chosen = class_view.for_next_week(students)
    if not chosen:
        return None
    items = [homework.item(*one, code, 1, class_view.next_go(students), plants) for one in chosen]
    whose = f"Class {code}, mixed questions"
    return (
        sheets.students_page(whose, [sheets.sheet(items, of_all=whose)]),
        sheets.key_page(f"For the teacher: key, {whose}", [sheets.answers(items, of_all=whose)]),
    )
