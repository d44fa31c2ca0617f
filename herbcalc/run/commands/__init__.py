"""Floor 6. The commands, one file each: `type_in.py` here is the command `type-in`. There is no list of them.

A command's file holds LINE (what it does, for the list), ABOUT and perhaps AFTER (its help), `words(parser)` (what
may stand behind it) and `run(asked)`, which gives back the exit code. What it needs it loads when it runs, so that
the list of commands is quick. Standard library only, until the environment stands.
"""

from __future__ import annotations

import argparse
import difflib
import importlib
import pkgutil
from collections.abc import Sequence
from typing import Protocol

from herbcalc import __version__
from herbcalc.place import NotKept
from herbcalc.run.building import NotReady
from herbcalc.run.console import ME, say
from herbcalc.run.typed import Unclear, Words, meant

FIRST = "open"  # what is done when no command is named
HELP = ("-h", "--help")


class Command(Protocol):
    """What a command's file holds; AFTER, what its help ends with, may be left out."""

    LINE: str
    ABOUT: str

    def words(self, parser: Words) -> None:
        """Tell the parser what may stand behind the command."""

    def run(self, asked: argparse.Namespace) -> int:
        """Carry it out, and give back the exit code. Refuses (Unclear): words that do not go together."""


def names() -> list[str]:
    """The names of all commands; the one that needs no name comes first."""
    found = sorted(module.name.replace("_", "-") for module in pkgutil.iter_modules(__path__))
    return sorted(found, key=lambda name: name != FIRST)


def command(name: str) -> Command:
    """The command of this name, which is one of `names`."""
    found: Command = importlib.import_module(f"herbcalc.run.commands.{name.replace('-', '_')}")
    return found


def parser(name: str) -> Words:
    """What reads the words behind a command, and knows its help."""
    chosen = command(name)
    made = Words(ME if name == FIRST else f"{ME} {name}", chosen.ABOUT, getattr(chosen, "AFTER", ""))
    chosen.words(made)
    return made


def every_one() -> str:
    """The list of commands, one line each."""
    lines = [f"  {parser(name).called:<44} {command(name).LINE}" for name in names()]
    return (
        "What herbcalc can do:\n\n"
        + "\n".join(lines)
        + f"\n\nPut --help behind any of them to read more about it; about the first:  {ME} {FIRST} --help"
    )


def carry_out(words: Sequence[str]) -> int:
    """Carry out what was typed behind `python3 -m herbcalc`, and give back the exit code.

    It is 0 when all went well, 1 when it could not be done, 2 when it is not clear what is wanted.
    """
    name, rest = (words[0], list(words[1:])) if words and not words[0].startswith("-") else (FIRST, list(words))
    if name == "help" and rest and rest[0] in names():
        name, rest = rest[0], ["--help"]
    if name == "help" or (name == FIRST and words and words[0] in HELP):
        say(every_one())
        return 0
    if rest == ["--version"]:
        say(f"herbcalc {__version__}")
        return 0
    if name not in names():
        near = difflib.get_close_matches(name.lower(), names(), n=1)
        say(f'There is no command "{name}".{meant(near)}\n\n{every_one()}')
        return 2
    reader = parser(name)
    if any(word in HELP for word in rest):
        say(reader.help())
        return 0
    try:
        return command(name).run(reader.read(rest))
    except Unclear as unclear:
        say(f"{unclear}\n\nMore about it:  {ME} {name} --help")
        return 2
    except (NotKept, NotReady) as refusal:
        say(str(refusal))
        return 1
    except KeyboardInterrupt:
        say("\nStopped. Nothing is lost; the next start goes on from here.")
        return 130
