"""Floor 6. `type-in`: asks for the answers that stand on a student's sheet, says what was read in each, keeps them.

Plain lines in and out, so that it works in any window and through a pipe. How an answer is looked at and kept is
the matter of `herbcalc.homework`; the words are those of the cards on the screen.
"""

from __future__ import annotations

import difflib
import errno
import io
import os
import re
import sys
import textwrap
import unicodedata
from collections import deque
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from herbcalc import homework, person, place
from herbcalc.homework import key, results
from herbcalc.homework.feedback import Feedback
from herbcalc.homework.item import Item
from herbcalc.homework.reading import LONGEST, quoted
from herbcalc.person import class_file
from herbcalc.person.writing import NotKept, locked, not_kept
from herbcalc.run import printing
from herbcalc.run.console import say
from herbcalc.run.typed import meant
from herbcalc.show import question
from herbcalc.show.card import VERDICTS, told, understood
from herbcalc.units.saying import so_many

FOLDER = "typed-in"  # in the person's folder, apart from the answers of whoever types
LOCKS = ".typing-in"  # there too: one for each student, held for a sitting
WIDE = 78  # letters in a line
IN_SHORT = 170  # letters of a question that are shown: the paper lies beside it
WORDS = {"back": "back", "fix": "fix", "?": "whole", "help": "whole", "stop": "stop", "quit": "stop", "exit": "stop"}
HOW = (
    "Type what stands on the paper, then Enter. Enter alone leaves a question out. How sure may stand behind an "
    "answer: 240 mL; sure. Other words: back, fix (the last answer once more), go 5.4, ? (the whole question), stop."
)
UNREADABLE = (
    "Some signs there did not come through this window, so nothing was kept. Type it once more in plain ones: 1/2 "
    "for a half, C or F for degrees. To mend a line, use the key that deletes backwards."
)
SET_WORK = "Your class.toml has set work: the students' screens say only that it is handed in. Here you see all."
WAITING = "Another window is typing for this student just now; this one waits for it. (Ctrl C stops the waiting.)"
_GO = re.compile(r"go(?:\s+(\d{1,2}(?:\.\d{1,2})?))?")
_SURE = re.compile(r"(.*?)\s*;\s*(s|sure|f|fairly|g|guessing)", re.IGNORECASE | re.DOTALL)
_ENDS = re.compile(r"\r\n|\r|\n")


class Lines:
    """What is typed, line by line; several that were pasted at once come one after the other."""

    def __init__(self) -> None:
        self._waiting: deque[str] = deque()
        if isinstance(sys.stdin, io.TextIOWrapper):  # what this window cannot spell is told, below
            sys.stdin.reconfigure(errors="replace")
        if sys.stdin.isatty() and sys.platform != "win32":  # a console of Windows lets a line be mended by itself
            import readline  # noqa: F401 - arrow keys move in the line once it is loaded

    def next(self, label: str) -> str:
        """The next line, less the blanks around it. Ends (EOFError) where there is none."""
        shown = f"     {label}> "
        if self._waiting:
            say(f"{shown}{self._waiting[0]}")
        else:
            typed = input(shown)
            if not sys.stdin.isatty():
                say(typed)  # through a pipe nothing stands there yet
            whole = re.sub(r"(?:\r\n|\r|\n)\Z", "", typed)  # a file of Windows, or a column that was copied
            self._waiting.extend(_ENDS.split(whole))
        return self._waiting.popleft().replace("\t", " ").strip().strip("\ufeff").strip()

    def again(self, line: str) -> None:
        """Have a line come once more: it was meant for another question."""
        self._waiting.appendleft(line)


def carry_out(code: str, number: int, questions: str | None = None, to: Path | None = None) -> int:
    """Ask for the answers of one student, and keep them; give back the exit code.

    code: the class code in its normal form; number: 1 to 99; questions: "5,6.1-6.3", None for the lessons that are
    open; to: the folder of the result file, "typed-in" in the person's folder where it is None.
    Refuses: questions that there are not (Unclear), and a file that cannot be kept (NotKept).
    """
    sheet = class_file.load()
    questions = printing.opened(sheet) if questions is None else questions
    items = [homework.item(*each, code, number, plants=sheet.plants) for each in printing.chosen(questions)]
    file = _file(person.Me(code, number), to)
    many = so_many(len(items), "question")
    say(f"Class {code}, number {number}, {printing.named(questions)}: {many} in the sheet's order.")
    printing.say_if_another(sheet, code)
    if sheet.set_work:
        _say(SET_WORK)
    lock = place.folder() / LOCKS / file.stem  # not beside the file, where a class's answers lie and nothing else
    try:
        for folder in (file.parent, lock.parent):
            folder.mkdir(parents=True, exist_ok=True)
        if file.exists() and not file.is_file():
            raise OSError(errno.EISDIR, os.strerror(errno.EISDIR))
        held = lock.open("ab", buffering=0)
    except OSError as trouble:
        raise NotKept(not_kept(file.name, file.parent, trouble)) from trouble
    with held, locked(held, lambda: say(WAITING)):
        Sitting(items, file).sit()
    return 0


def _file(who: person.Me, to: Path | None) -> Path:
    """The student's result file. Refuses (NotKept): one in a folder of the teacher's own answers."""
    home = place.folder()
    folder = home / FOLDER if to is None else to
    file = person.answers_path(who, folder)
    own = [Path(os.path.realpath(one)) for one in (home, home / person.FOR_TEACHER)]
    if Path(os.path.realpath(file)).parent in own:
        raise NotKept(
            f"Answers of your own have their place in {folder}, and a student's would mix with them. Name another "
            f"folder behind --to, or leave it out: then they go into {home / FOLDER}."
        )
    return file


class Sitting:
    """One sitting over one student's sheet: `items` in the order of the sheet, and the result file."""

    def __init__(self, items: Sequence[Item], file: Path) -> None:
        self.items, self.file, self.lines = items, file, Lines()
        self.answers, notes = results.read(file)
        self.done = {item.code for item in items if results.tries(self.answers, item)}
        self.at = max((n for n, item in enumerate(items, 1) if item.code in self.done), default=0)
        self.last = self.at - 1  # the place of the last answer; -1 where there is none
        self.shown = -1
        for note in notes:
            _say(note)
        if self.done:
            have = "1 of them has" if len(self.done) == 1 else f"{len(self.done)} of them have"
            after = f"It goes on after the last one, {items[self.last].code}."
            _say(f"{have} an answer in the file already. {after}{self._left_out(self.at)}")
        _say(HOW)

    def sit(self) -> None:
        """Ask until the last question, the word stop, or the end of what is typed."""
        try:
            while self._turn():
                pass
        except EOFError:
            say("")
        if not self.done:
            _say("No answer to these questions is kept yet.")
            return
        _say(f"{len(self.done)} of {len(self.items)} questions have an answer, in {self.file}.{self._left_out()}")
        goes_on = "" if len(self.done) == len(self.items) else "The same command goes on after the last one. "
        _say(f"{goes_on}The file is like those that the others hand in.")

    def _turn(self) -> bool:
        """One line, and what it asks for; False where that is to stop."""
        over = self.at == len(self.items)
        if self.shown != self.at:
            self._show_end() if over else self._show(self.items[self.at])
        self.shown = self.at
        typed = self.lines.next("Enter to finish, or a word" if over else question.label_of(self.items[self.at]))
        word = typed.casefold()
        if (over and not typed) or WORDS.get(word) == "stop":
            return False
        if _is_word(typed):
            self._go_by(word)
        elif not typed:
            self.at += 1
        elif over:
            _say(
                f"All have been asked. go {self.items[0].code}, for one, takes you back there; Enter alone finishes."
            )
        else:
            self._take(self.items[self.at], typed)
        return True

    # --- what stands there ---

    def _show(self, item: Item) -> None:
        """A question in short; the paper has it whole."""
        say("")
        short = textwrap.shorten(question.words(item, on_paper=True), IN_SHORT, placeholder=" ...")
        _say(f"{item.code}  ({self.at + 1} of {len(self.items)})  {short}")
        before = results.tries(self.answers, item)
        if before:
            _say(f"Kept: {_in_words(before[-1])}. Enter leaves it so.")

    def _show_end(self) -> None:
        say("")
        _say(f"That was the last question.{self._left_out()}")

    def _left_out(self, before: int | None = None) -> str:
        """The questions without an answer, of those before a place; "" where there are none."""
        open_ones = [item.code for item in self.items[:before] if item.code not in self.done]
        more = f" and {len(open_ones) - 12} more" if len(open_ones) > 12 else ""
        return f" Without an answer: {', '.join(open_ones[:12])}{more}." if open_ones else ""

    # --- words ---

    def _go_by(self, word: str) -> None:
        """Go where a word leads."""
        go = _GO.fullmatch(word)
        if go:
            self._go_to(go[1] or "")
        elif WORDS[word] == "whole":
            self._show_whole()
        elif WORDS[word] == "fix" and self.last < 0:
            _say("There is no answer yet that could be fixed.")
        elif WORDS[word] == "fix":
            self.at, self.shown = self.last, -1
        elif self.at:
            self.at -= 1
        else:
            _say("This is the first question.")

    def _go_to(self, code: str) -> None:
        """Go to a question, or to the first one of a lesson."""
        places = [n for n, item in enumerate(self.items) if code in (item.code, str(item.ask.lesson))]
        if places:
            self.at, self.shown = places[0], -1
        else:
            ends = f"{self.items[0].code} to {self.items[-1].code}"
            _say(f'"go {code}" leads to no question of this sheet, which runs from {ends}. Type go and its number.')

    def _show_whole(self) -> None:
        if self.at < len(self.items):
            item = self.items[self.at]
            for line in [*question.words(item, on_paper=True).splitlines(), *item.choices]:
                _say(line)
        _say(HOW)

    # --- answers ---

    def _take(self, item: Item, typed: str) -> None:
        """Keep an answer, say what was read in it and what there is to say, and go on to the next question."""
        behind = _SURE.fullmatch(typed)
        text, how = (behind[1], behind[2].casefold()) if behind else (typed, "")
        sure = next((word for word in question.SURE if how and word.startswith(how)), "")
        refusal = _not_to_keep(text) or _nearly_a_word(item, text)
        if refusal:
            _say(refusal)
            return
        before = results.tries(self.answers, item)
        answer = results.answer_to(item, text, sure)
        if before and (before[-1].typed, before[-1].sure) == (text, sure):
            answer = before[-1]  # typed again to tick something else, or after a break: it stands there already
        else:
            self._keep(answer)
        self.done.add(item.code)
        self.last = self.at
        feedback = item.check(text)
        _say(f"Kept: {_in_words(answer)}.")
        for line in [*_read(item, feedback), *_said(item, feedback)]:
            _say(line)
        more = self._more(item, feedback, answer)
        if more != answer:
            self._keep(more)
        self.at += 1

    def _more(self, item: Item, feedback: Feedback, answer: results.Answer) -> results.Answer:
        """The answer with what stands beside it on the paper: points to tick, or the figure that mends a line."""
        if feedback.verdict == "right" and item.points:
            for n, point in enumerate(item.points, 1):
                _say(f"({n}) {point}")
            while (typed := self._beside("Which of these does it say? (such as 1 3)")) is not None:
                ticked = _ticks(typed, len(item.points))
                if ticked is not None:
                    return replace(answer, ticked=ticked)
                _say(f"Type the numbers of the points, from 1 to {len(item.points)}; 0 for none of them.")
        elif item.kind == "find the slip" and feedback.verdict != "unread":
            while (typed := self._beside(question.MEND)) is not None:
                refusal = _not_to_keep(typed)
                if not refusal:
                    if len(item.right_letters) == 1:
                        _say(f"As it should be: {key.mended(item)}")
                    return replace(answer, mended=typed)
                _say(refusal)
        return answer

    def _beside(self, label: str) -> str | None:
        """A line that belongs to the answer before; None where it is blank, or a word that leads elsewhere."""
        typed = self.lines.next(label)
        if _is_word(typed):
            self.lines.again(typed)
            return None
        return typed or None

    def _keep(self, answer: results.Answer) -> None:
        """Put an answer on the disk. Refuses (NotKept): where that could not be done."""
        try:
            results.append(self.file, answer)
        except results.NotSaved as refusal:
            raise NotKept(str(refusal)) from refusal
        self.answers.append(answer)
        for sentence in person.news():
            _say(sentence)


def _say(text: str) -> None:
    """Say it in lines that fit, under what is asked."""
    fold = textwrap.TextWrapper(WIDE, "  ", "     ", break_long_words=False, break_on_hyphens=False)
    say(fold.fill(text))  # the path of a file stays in one piece


def _is_word(typed: str) -> bool:
    """Whether a line is a word of ours, and no answer."""
    word = typed.casefold()
    return word in WORDS or _GO.fullmatch(word) is not None


def _not_to_keep(text: str) -> str:
    """Why something is no answer to keep, and what would work; "" where it can be kept."""
    if not text or text.casefold() in question.SURE:
        return "How sure stands behind an answer, like this: 240 mL; sure. fix takes you to the last one once more."
    if "\ufffd" in text or any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text):
        return UNREADABLE
    if len(text) > LONGEST:
        return f"That is {len(text):,} characters long, and up to {LONGEST} can be kept. Type the part that counts."
    return ""


def _nearly_a_word(item: Item, text: str) -> str:
    """The question back to a word of ours in which a finger slipped; "" where something was read in it."""
    near = difflib.get_close_matches(text.casefold(), WORDS, n=1, cutoff=0.75)
    if not near or item.check(text).read:
        return ""
    return f'"{text}" is no answer and no word of ours, so nothing was kept.{meant(near)}'


def _in_words(answer: results.Answer) -> str:
    """What is kept of an answer, on one line."""
    ticked = f"ticked {', '.join(map(str, answer.ticked))}" if answer.ticked else ""
    mended = f"mended: {quoted(answer.mended)}" if answer.mended else ""
    return "; ".join(filter(None, (quoted(answer.typed), answer.sure, ticked, mended)))


def _read(item: Item, feedback: Feedback) -> list[str]:
    """What was understood, to be said first; a chosen line in its own words."""
    return [line for line in item.choices if line[:1] == feedback.read] or understood(feedback)


def _said(item: Item, feedback: Feedback) -> list[str]:
    """What there is to say; where points are to be ticked, they are asked for next."""
    if feedback.verdict == "right" and item.points:
        return [] if item.kind == "sentence" else [VERDICTS["right"]]
    return told(feedback)


def _ticks(typed: str, count: int) -> tuple[int, ...] | None:
    """The points that were named, () for "0"; None where it is something else."""
    digits = re.sub(r"[\s,;.+&]|\band\b", "", typed)
    if digits == "0":
        return ()
    known = "".join(map(str, range(1, count + 1)))
    return tuple(sorted({int(one) for one in digits})) if digits and set(digits) <= set(known) else None
