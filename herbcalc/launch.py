"""Floor 6. The command line: reads what was typed, and says a sentence where it cannot do it.

Standard library only, and in words that Python 3.6 can read: a computer whose `python3` is too old must get a
sentence from here, never a traceback. So nothing newer is imported before `main` has looked at the version.
"""

import difflib
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Callable, Dict, List, NamedTuple, Optional

OLDEST = (3, 11)
ME = "py -m herbcalc" if sys.platform == "win32" else "python3 -m herbcalc"


class Command(NamedTuple):
    """One command: what it takes after its name, its line in the list, its full help, and what carries it out.

    An empty help: the command says it itself.
    """

    takes: str
    line: str
    help: str
    run: Callable[[List[str]], int]


class Unclear(Exception):
    """What was typed does not fit the command; the text is the sentence to print."""


def main(typed: Optional[List[str]] = None) -> int:
    """Carry out one command line, and give back the exit code: 0 when all went well.

    typed: the words after `python3 -m herbcalc`; None takes them from the command line.
    """
    words = list(sys.argv[1:] if typed is None else typed)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # an old Windows console cannot show every letter of a folder's name
            stream.reconfigure(errors="replace")
    if sys.version_info < OLDEST:
        say(too_old())
        return 2
    if words and words[0] in ("help", "-h", "--help"):
        say(overview())
        return 0
    name = words.pop(0) if words and not words[0].startswith("-") else ""
    if name not in COMMANDS:
        near = difflib.get_close_matches(name, [known for known in COMMANDS if known], n=1)
        say(f'There is no command "{name}".' + (f' Did you mean "{near[0]}"?' if near else "") + "\n\n" + overview())
        return 2
    command = COMMANDS[name]
    if command.help and ("-h" in words or "--help" in words):
        say(f"{ME} {name} {command.takes}".rstrip() + "\n\n" + command.help)
        return 0
    try:
        return command.run(words)
    except Unclear as unclear:
        say(f"{unclear}\n\nMore about it: {ME} {name + ' ' if name else ''}--help")
        return 2
    except KeyboardInterrupt:
        say("\nStopped. Nothing is lost; the next start goes on from here.")
        return 130


def say(text: str) -> None:
    """Print at once, also where the output goes through a pipe."""
    print(text, flush=True)


def too_old() -> str:
    """The sentence for a Python that is too old, with the name of a newer one where this computer has one."""
    have, need = ".".join(map(str, sys.version_info[:3])), ".".join(map(str, OLDEST))
    text = f"This is Python {have}, and herbcalc needs Python {need} or newer. "
    for newer in ("python3.14", "python3.13", "python3.12", "python3.11"):
        if shutil.which(newer) and subprocess.call([newer, "-c", ""], stderr=subprocess.DEVNULL) == 0:
            return text + f"This computer has a newer one as well. Type:  {newer} -m herbcalc"
    return (
        text
        + "Fetch a newer one from https://www.python.org/downloads/ or from your system's software shop, "
        + "then type the same again."
    )


def overview() -> str:
    """The list of commands, one line each."""
    lines = [f"  {ME + ' ' + name + ' ' + command.takes:<34} {command.line}" for name, command in COMMANDS.items()]
    return "What herbcalc can do:\n\n" + "\n".join(lines) + "\n\nPut --help behind any of them to read more about it."


def _nothing_more(words: List[str]) -> None:
    if words:
        raise Unclear(f'Nothing more was expected here, and "{" ".join(words)}" was typed.')


def _open(words: List[str]) -> int:
    from herbcalc.run import lab

    port = None
    if words and words[0] == "--port":
        if len(words) < 2 or not words[1].isdigit() or not 1024 <= int(words[1]) <= 65535:
            raise Unclear("--port wants a whole number from 1024 to 65535 behind it, for example --port 8890.")
        port, words = int(words[1]), words[2:]
    _nothing_more(words)
    return lab.open_workbook(port)


def _test(words: List[str]) -> int:
    from herbcalc.run import environment, suite

    for word in words:
        if word not in suite.SECTIONS:
            raise Unclear(f'There is no section "{word}". There are: {", ".join(suite.SECTIONS)}.')
    return environment.call(("workbook", "tests"), ["-m", "herbcalc.run.suite", *words])


def _ready(words: List[str]) -> int:
    from herbcalc.run import ready

    _nothing_more(words)
    say(ready.report())
    return 0


def _fresh(words: List[str]) -> int:
    from herbcalc import person
    from herbcalc.run import copies

    if len(words) != 1 or not words[0].isdigit():
        raise Unclear(f"Say the number of one lesson, for example: {ME} fresh 5")
    try:
        done = copies.fresh(int(words[0]))
    except person.NotKept as refusal:
        say(str(refusal))
        return 1
    say("\n".join(done) if done else f"There is no lesson {words[0]} in this workbook.")
    return 0 if done else 2


def _site(words: List[str]) -> int:
    if any(word.split("=")[0] == "--class" for word in words):  # whether it can be used, the workbook's parts know
        from herbcalc.run import environment

        return environment.call(("workbook",), ["-m", "herbcalc.site", *words], cwd=Path.cwd())
    from herbcalc import site  # it has options, a help and build tools of its own

    return site.main(words)


COMMANDS: Dict[str, Command] = {
    "": Command(
        "",
        "opens the workbook (and sets up what is missing)",
        "Opens the workbook in your web browser.\n\n"
        "The first time it makes a folder called .herbcalc-env here and fetches what the workbook needs.\n"
        "That takes a few minutes and needs the internet. Later starts take seconds and need no internet.\n\n"
        "You work on copies in your own folder, my-herb-sums in your home folder. (Another folder: name it in the\n"
        "environment variable HERBCALC_HOME.) A notebook that you have changed is never overwritten.\n\n"
        "  --port 8890    the number in the address in your browser; without it a free one is found\n\n"
        "Ctrl C in the window where you typed the command stops it.",
        _open,
    ),
    "test": Command(
        "[SECTION]",
        "runs all tests (and sets up what is missing)",
        "Runs all tests: style, sums, notebooks, and the tests in a real web browser where Chromium is found.\n"
        "Takes some ten minutes on a small computer.\n\n"
        "Words behind it choose sections (style, sums, notebooks, browser), for example:  test sums notebooks\n\n"
        "With HERBCALC_BROWSER=required in the environment, a browser test that could not be run counts as failed.",
        _test,
    ),
    "ready": Command(
        "",
        "says in words what is set up and what is missing",
        "Looks, and changes nothing: which Python, what is installed, where your folder is, what is missing.",
        _ready,
    ),
    "fresh": Command(
        "NUMBER",
        "copies a lesson again; your old copy stays beside it",
        "Copies one lesson and its exercises into your folder again, as they came.\n"
        "Your old copy stays beside the new one, with '-kept-1' (2, 3 ...) in its name. Answers are not touched:\n"
        "they live in their own file.\n\n"
        "Example:  fresh 5",
        _fresh,
    ),
    "site": Command(
        "",
        "builds the workbook as a website for those who can install nothing",
        "",
        _site,
    ),
}
