"""Floor 6. `sheets`: draws everybody's sheets and the key, and puts them into files, as pages and as PDFs."""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from subprocess import DEVNULL, TimeoutExpired

from herbcalc import homework, place
from herbcalc.homework import week
from herbcalc.homework.week import Code
from herbcalc.person import class_file, spelling
from herbcalc.person.class_file import ClassFile
from herbcalc.person.plants import Plants
from herbcalc.person.writing import write
from herbcalc.run.children import together
from herbcalc.run.console import say
from herbcalc.run.ready import chromium
from herbcalc.run.typed import Unclear
from herbcalc.show import sheets
from herbcalc.units.refusals import OutOfRange

FOLDER = "sheets"  # in the person's folder: the checkout, where the command is typed, is kept clear of what we make
LONGEST = 300  # seconds that a browser may take for one PDF
LONG = 30  # letters of a file's name that say which numbers or which questions


@dataclass(frozen=True)
class Wanted:
    """What was asked for: a class code in its normal form, own numbers, which questions ("5,6.1-6.3"; None where
    that was not said), whether in large print, and the paper of the PDFs."""

    code: str
    numbers: Sequence[int]
    questions: str | None = None
    large: bool = False
    paper: str = "A4"


class NotPrinted(Exception):
    """A browser made no PDF; the text is the sentence to print."""


def carry_out(wanted: Wanted, to: Path | None = None) -> int:
    """Make the files in the folder `to` ("sheets" in the person's folder where it is None); give back the exit code.

    Refuses: questions that there are not (Unclear), and a folder that cannot be written to (NotKept).
    """
    started, sheet = time.monotonic(), class_file.load()
    questions = wanted.questions
    if questions is None:
        questions = opened(sheet)
    codes = chosen(questions)
    of = named(questions)
    say(f"Class {wanted.code}, numbers {runs(wanted.numbers)}, {of}: {len(codes)} questions for each student.")
    say_if_another(sheet, wanted.code)
    pages = _pages(wanted, codes, of, sheet.plants)
    folder = to or place.folder() / FOLDER
    written = [_kept(folder / f"{name}.html", page) for name, page in pages.items()]
    written, complete = _with_pdfs(written, pages, folder, wanted.paper)
    say(f"\nIn {folder} ({time.monotonic() - started:.0f} seconds):\n" + "\n".join(written))
    say("\nThe key gives every answer away: it is for you alone.")
    return 0 if complete else 1


def _pages(wanted: Wanted, codes: Sequence[Code], of: str, plants: Plants) -> dict[str, str]:
    """The page of the students and the page of the key, each by the name of its file; they say these plants."""
    theirs, key = [], []
    many, told = len(wanted.numbers), time.monotonic()
    for done, number in enumerate(wanted.numbers, 1):
        items = [homework.item(*code, wanted.code, number, plants=plants) for code in codes]
        theirs.append(sheets.sheet(items, wanted.large))
        key.append(sheets.answers(items))
        if done == many or time.monotonic() - told > 1:
            told = time.monotonic()
            say(f"  {done} of {many} sheets are drawn")
    name = f"{wanted.code}-{_short(runs(wanted.numbers))}-{_short(of)}"
    title = f"class {wanted.code}, {of}"
    return {
        f"sheets-{name}{'-large-print' if wanted.large else ''}": sheets.students_page(
            f"Homework, {title}", theirs, wanted.large
        ),
        f"key-{name}": sheets.key_page(f"For the teacher: key, {title}", key),
    }


def _kept(path: Path, content: str | bytes) -> str:
    """Write a file, and give a line that names it. Refuses (NotKept): a folder that cannot be written to."""
    before = path.exists()
    write(path, content)
    return f"  {path.name}{'   (in the place of the one that was there before)' if before else ''}"


def _with_pdfs(written: list[str], pages: dict[str, str], folder: Path, paper: str) -> tuple[list[str], bool]:
    """The lines of all files once the PDFs are there too, and whether all is there that this computer can make."""
    program = chromium()
    if not program:
        say("There is no Chromium or Chrome here, so there are no PDFs. The pages print as well from any browser.")
        return written, True
    try:
        for name, page in pages.items():
            say(f"  {name}.pdf is being made")
            written.append(_kept(folder / f"{name}.pdf", pdf(program, sheets.for_paper(page, paper), folder)))
    except NotPrinted as refusal:
        say(str(refusal))
        return written, False
    return written, True


def pdf(program: str, page: str, folder: Path) -> bytes:
    """The page as a PDF, made by the browser `program`.

    folder: where it may lay what it needs meanwhile; a browser may not be let into the system's own folder for that.
    Refuses (NotPrinted): a browser that does not start, takes too long or makes none.
    """
    instead = (
        'The page prints as well: open it in any browser, choose Print, and there "Save as PDF" if you want one.'
    )
    with tempfile.TemporaryDirectory(prefix="being-printed-", dir=folder, ignore_cleanup_errors=True) as room:
        source, made = Path(room, "page.html").resolve(), Path(room, "page.pdf").resolve()
        source.write_text(page, encoding="utf-8")
        words = [program, "--headless", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer"]
        words += [f"--user-data-dir={Path(room, 'browser').resolve()}", f"--print-to-pdf={made}", source.as_uri()]
        if hasattr(os, "geteuid") and os.geteuid() == 0:  # its sandbox does not work for root, and the page is ours
            words.insert(1, "--no-sandbox")
        try:
            with together(words, stdout=DEVNULL, stderr=DEVNULL, stdin=DEVNULL) as child:
                try:
                    child.wait(LONGEST)
                except TimeoutExpired:
                    child.kill()
        except OSError as trouble:
            raise NotPrinted(
                f"{program} did not start ({trouble.strerror}), so there is no PDF. {instead}"
            ) from trouble
        if not made.is_file():
            raise NotPrinted(f"{program} made no PDF (it ended with {child.returncode}). {instead}")
        return made.read_bytes()


# --- which questions, and how they are named ---------------------------------------------------------------------


def opened(sheet: ClassFile) -> str:
    """The lessons that a class has come to, as they are typed; all where none is named.

    >>> opened(ClassFile(open=(4, 5, 7, 99)))
    '4-5,7'
    """
    return runs([one for one in homework.LESSONS if sheet.open is None or one in sheet.open] or homework.LESSONS)


def named(questions: str) -> str:
    """What was asked for, in words.

    >>> named("5"), named("5, 6"), named("5.1")
    ('lesson 5', 'lessons 5,6', 'questions 5.1')
    """
    one = questions.strip().isdigit()
    return f"{'questions' if '.' in questions else 'lesson' if one else 'lessons'} {''.join(questions.split())}"


def say_if_another(sheet: ClassFile, code: str) -> None:
    """Say so where the teacher's class.toml names another class than the one that figures are wanted for."""
    if sheet.code and spelling(sheet.code) != code:
        say(f"Your class.toml says class {spelling(sheet.code)}; the figures here are those of class {code}.")


def chosen(questions: str) -> list[Code]:
    """The items that were typed behind --questions; see `week.chosen`. Refuses (Unclear) what that refuses."""
    try:
        return week.chosen(questions, "--questions")
    except OutOfRange as refusal:
        raise Unclear(str(refusal)) from None


def runs(numbers: Iterable[int]) -> str:
    """Numbers in rising order, those that follow one another taken together.

    >>> runs([1, 2, 3, 5, 8, 9])
    '1-3,5,8-9'
    """
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1][1:] = [number]
        else:
            found.append([number])
    return ",".join("-".join(map(str, ends)) for ends in found)


def _short(words: str) -> str:
    """The same as part of a file's name."""
    name = words.replace(" ", "-").replace(",", "+")
    return name if len(name) <= LONG else f"{name[:LONG]}-and-more"
