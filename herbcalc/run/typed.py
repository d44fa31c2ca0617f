"""Floor 6. What may stand behind a command: read by argparse, and refused in sentences of our own.

argparse words its complaints for programmers, and differently from release to release. So nothing is left for it to
complain about: what is missing is read as the empty word, and each reader says what it wants instead.
"""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NoReturn

Reader = Callable[[str], Any]


class Unclear(Exception):
    """What was typed does not fit the command; the text is the sentence to print."""


def whole(text: str) -> int | None:
    """The whole number that was typed in plain digits, nine at most; None where it is none.

    >>> whole("05"), whole("²"), whole("-5"), whole("9" * 5000)
    (5, None, None, None)
    """
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 9 else None


def whole_ones(text: str, most: int) -> list[int]:
    """The whole numbers from 1 to `most` that were typed as "3", "1-18" or "1,4,7-9"; [] where it is anything else.

    >>> whole_ones("1,4,7-9", 99), whole_ones("9–11", 99), whole_ones("18-1", 99), whole_ones("1-100", 99)
    ([1, 4, 7, 8, 9], [9, 10, 11], [], [])
    """
    found: list[int] = []
    for part in text.replace("–", "-").split(","):
        first, dash, last = part.partition("-")
        low = whole(first.strip())
        high = whole(last.strip()) if dash else low
        if low is None or high is None or not 1 <= low <= high <= most:
            return []
        found += range(low, high + 1)
    return found


def port(text: str) -> int:
    """The number in the address of a page on this computer. Refuses (Unclear): none from 1024 to 65535."""
    number = whole(text)
    if number is None or not 1024 <= number <= 65535:
        raise Unclear("--port wants a whole number from 1024 to 65535 behind it, for example --port 8890.")
    return number


def class_code(first: str, example: str) -> Reader:
    """A reader of class codes, which gives their normal form.

    It refuses (Unclear): none, which `first` says; one without a letter or digit, or of more than 60.
    """

    def read(text: str) -> str:
        from herbcalc.person import spelling

        kept = spelling(text[:200])
        if not text:
            raise Unclear(f"{first}, {example}")
        if not 1 <= len(kept) <= 60:
            raise Unclear(f"A class code has at least one letter or digit, and 60 at most, {example}")
        return kept

    return read


def path(refusal: str) -> Reader:
    """A reader of paths, "~" included, which refuses (Unclear) in these words where there is none."""

    def read(text: str) -> Path:
        if not text:
            raise Unclear(refusal)
        try:
            return Path(text).expanduser()
        except RuntimeError:
            raise Unclear(f"Nobody on this computer is called {Path(text).parts[0][1:]}. {refusal}") from None

    return read


class Words(argparse.ArgumentParser):
    """Reads the words behind one command, and knows what its help says about them.

    called: how the command is called; about: what its help begins with; after: what stands below the list of words.
    """

    def __init__(self, called: str, about: str = "", after: str = "") -> None:
        super().__init__(prog=called, add_help=False, allow_abbrev=False)
        self.called, self.about, self.after = called, about, after
        self._rows: list[tuple[str, str]] = []
        self._options: list[str] = []

    def one(self, name: str, read: Reader, line: str) -> None:
        """One word that must be there. `read` gets "" where it is missing, and refuses that in its own words."""
        self.called += f" {name.upper()}"
        self._rows.append((name.upper(), line))
        self.add_argument(name, nargs="?", default="", type=read)

    def optional(self, name: str, read: Reader, line: str) -> None:
        """One word that may be left out, and then is None; `read` gets it only where it was typed."""
        self.called += f" [{name.upper()}]"
        self._rows.append((name.upper(), line))
        self.add_argument(name, nargs="?", default=None, type=read)

    def several(self, name: str, read: Reader, line: str) -> None:
        """Any number of words, none included; `asked` then has a list of what `read` made of them."""
        self.called += f" [{name.upper()} ...]"
        self._rows.append((name.upper(), line))
        self.add_argument(name, nargs="*", type=read)

    def option(self, name: str, example: str, read: Reader, line: str, default: Any = None) -> None:
        """A name that has one word behind it; `read` gets "" where that is missing. "--class" comes as `class_`."""
        self._option(name, f"{name} {example}", line)
        self.add_argument(name, dest=_plain(name), nargs="?", const="", type=read, default=default)

    def switch(self, name: str, line: str) -> None:
        """A name that is there or not."""
        self._option(name, name, line)
        self.add_argument(name, dest=_plain(name), action="store_true")

    def _option(self, name: str, shown: str, line: str) -> None:
        self._options.append(name)
        self._rows.append((shown, line))

    def read(self, words: Sequence[str]) -> argparse.Namespace:
        """What was asked for, by name; `words` is all of it as it was typed.

        Refuses (Unclear): what a reader refuses, and words that nobody asked for.
        """
        asked, over = self.parse_known_args(list(words))
        if over:
            near = difflib.get_close_matches(over[0].split("=")[0], self._options, n=1)
            raise Unclear(f'Nothing more was expected here, and "{" ".join(over)}" was typed.{meant(near)}')
        asked.words = list(words)
        return asked

    def help(self) -> str:
        """The whole help of this command, for a teacher."""
        wide = max((len(shown) for shown, _ in self._rows), default=0)
        rows = "\n".join(f"  {shown:<{wide}}   {line}" for shown, line in self._rows)
        return "\n\n".join(part for part in (self.called, self.about.strip(), rows, self.after.strip()) if part)

    def error(self, message: str) -> NoReturn:  # noqa: ARG002 - argparse calls it with its own words
        """What argparse could not read after all, such as --serve=yes."""
        raise Unclear("What was typed does not go together like this.")


def meant(near: Sequence[str]) -> str:
    """The question behind a word that nobody knows, where one is near to it."""
    return f' Did you mean "{near[0]}"?' if near else ""


def _plain(name: str) -> str:
    plain = name.lstrip("-").replace("-", "_")
    return f"{plain}_" if plain in ("class", "from", "import") else plain
