"""Floor 6. Making an environment, and mending it: never in the place of one that works.

A new one is built beside the old one, looked through, and only then put in its place; a single part that is missing
is fetched alone. What is put in place can be moved with its folder: a line in it leads back to the checkout by a
path of steps upwards. Everything that pip says goes to a log, not before a person's eyes.
"""

from __future__ import annotations

import importlib.util
import json
import os
import platform
import re
import shutil
import subprocess
import sys
import sysconfig
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from herbcalc.run import children, inventory
from herbcalc.run.console import say

KEPT = ("settings", "npm")  # what moves into a new environment: the person's settings, and npm's folder for the tests
ROOM = 1200  # MB: what a new environment takes at most while it is made, that of the tests included
WHEELS, NOTE = ".wheels", "for.json"  # the folder of a pack that holds the parts, and which computers they are for
QUIET = ("--no-input", "--disable-pip-version-check", "--progress-bar", "off")
# Without a network nobody should wait for minutes; and byte code is made afterwards, on all cores (`Work.compile`).
HABITS = {"PIP_RETRIES": "2", "PIP_COMPILE": "0"}
QUICK_PIP = 25  # from this release on, pip chooses from a long list in less than half the time
OWN_TESTS = r"[/\\]tests?[/\\]"  # a third of all files are tests that the parts bring of themselves
UNREACHED = re.compile(
    r"Retrying \(|connection broken|Could not fetch URL|NewConnectionError|ProxyError|from versions: none"
)
FULL = re.compile(r"No space left|Errno 28|not enough space on the disk|Disk quota")


class NotReady(Exception):
    """The environment cannot be made; the text says why and what would work."""


def inside(folder: Path) -> Path:
    """Where an environment keeps its Python: Windows has its own habit."""
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def packages(folder: Path) -> Path:
    """Where an environment keeps what was fetched into it."""
    return next(folder.glob("lib/python3*/site-packages"), folder / "Lib/site-packages")


def beside(folder: Path, what: str) -> Path:
    """The folder beside an environment that holds the "new" one while it is made, or the "old" one until it goes."""
    return folder.with_name(f"{folder.name}-{what}")


@dataclass(frozen=True)
class Found:
    """What an environment holds: `have`, versions by name; `home`, its herbcalc; `gaps`, see `inventory.held`."""

    runs: bool = False
    home: str = ""
    have: dict[str, str] = field(default_factory=dict)
    gaps: dict[str, dict[str, list[str]]] = field(default_factory=dict)

    def of(self, kind: str, groups: Sequence[str]) -> list[str]:
        """The gaps of one kind ("absent", "torn", "older") in these groups, each once."""
        return list(dict.fromkeys(need for group in groups for need in self.gaps.get(group, {}).get(kind, ())))

    def lacks(self, groups: Sequence[str]) -> list[str]:
        """What is not there, or not whole, in these groups."""
        return [*self.of("absent", groups), *self.of("torn", groups)]

    def whole(self, groups: Sequence[str]) -> bool:
        """Whether it runs and has all that these groups need, in the versions that are asked for."""
        return self.runs and not self.lacks(groups) and not self.of("older", groups)


def look(python: Path, groups: inventory.Groups) -> Found:
    """What the environment of this Python holds of what the groups need; it need not be there."""
    words = [str(python), "-P", inventory.__file__, json.dumps(groups)]
    try:
        answer = subprocess.run(words, capture_output=True, text=True, env=children.clean())
    except OSError:  # it is not there, or no program
        return Found()
    # A Python that was replaced by a newer one does not even find pip any more, and says so instead of an answer.
    return Found(True, **json.loads(answer.stdout)) if answer.returncode == 0 else Found()


@dataclass
class Work:
    """One set-up: the checkout, its environment's folder, the log, the lock's open file; `story` is what was said."""

    checkout: Path
    folder: Path
    log: Path
    lock: int
    story: list[str] = field(default_factory=list)

    def build(self, groups: inventory.Groups) -> None:
        """Make an environment with what the groups need, beside the one that is there, and put it in its place.

        Refuses (NotReady, OSError): no venv module, no room, no network; what was there stays as it was.
        """
        if importlib.util.find_spec("ensurepip") is None or importlib.util.find_spec("venv") is None:
            raise NotReady(
                "This Python cannot make an environment of its own yet: a part of it is packed separately.\n"
                "Type this once, then the same command again:\n\n    sudo apt install python3-venv\n"
            )
        if shutil.disk_usage(self.checkout).free < ROOM * 1e6:
            raise NotReady(no_room(self.checkout))
        new = beside(self.folder, "new")
        clear(new)
        try:
            words = ["venv", "--prompt", self.folder.name, str(new)]
            self.step(sys.executable, words, "making the environment")
            self.renew_pip(new)
            self.fetch(new, sorted({need for needs in groups.values() for need in needs}))
            self.compile(new)
            self.join(new)
            self.swap(groups)
        finally:
            clear(new)

    def mend(self, found: Found, groups: Sequence[str]) -> None:
        """Fetch into the environment what these groups lack, and nothing else."""
        if torn := found.of("torn", groups):
            self.fetch(self.folder, ["--ignore-installed", "--no-deps", *torn])
        if absent := found.of("absent", groups):
            self.fetch(self.folder, absent)
        self.compile(self.folder)

    def renew_pip(self, folder: Path) -> None:
        """Have a new environment choose its parts by a newer pip than an older Python brings, where one is to be had.

        Where none is, the one that is there does the same in more time, and says what is amiss.
        """
        import ensurepip  # a Debian without python3-venv lacks it

        if int(ensurepip.version().split(".")[0]) < QUICK_PIP and not source(self.checkout):
            words = ["pip", "install", *QUIET, "--retries", "0", "--upgrade", "pip"]
            self.step(str(inside(folder)), words, "fetching a quicker pip", needed=False)

    def fetch(self, folder: Path, what: Sequence[str]) -> None:
        """Have an environment's pip install what is named, from the pack's folder or from the network."""
        words = ["pip", "install", *QUIET, "--no-warn-script-location", *source(self.checkout), *what]
        self.step(str(inside(folder)), words, "fetching the parts")

    def compile(self, folder: Path) -> None:
        """Make byte code of what was fetched, by all cores: whoever opens the workbook may not be able to keep any.

        Parts bring a file or two for other Pythons; what cannot be compiled stays as it is.
        """
        # Named from the checkout on: a folder further up may be called "tests" as well.
        what = os.path.relpath(packages(folder), self.checkout)
        words = ["compileall", "-q", "-j", "0", "-x", OWN_TESTS, what]
        self.step(str(inside(folder)), words, "making them quick to start", needed=False)

    def join(self, folder: Path) -> None:
        """Have an environment find herbcalc in the checkout, by a path that holds when both are moved."""
        back = os.path.relpath(self.checkout, packages(folder))
        (packages(folder) / "herbcalc.pth").write_text(f"{back}\n", encoding="utf-8")

    def swap(self, groups: inventory.Groups) -> None:
        """Put the new environment in the place of the old one, which goes only when the new one has answered well."""
        new, old = beside(self.folder, "new"), beside(self.folder, "old")
        clear(old)
        if self.folder.exists():
            self.folder.rename(old)
        try:
            new.rename(self.folder)
            _scripts(self.folder, new)
            if not look(inside(self.folder), groups).whole(tuple(groups)):
                raise NotReady("What was fetched does not answer as it should, so it was not put in place.")
        except (OSError, NotReady):
            if self.folder.exists():
                self.folder.rename(new)
            if old.exists():
                old.rename(self.folder)
            raise
        self.tidy()

    def tidy(self) -> None:
        """Clear away what a set-up that was killed has left, and finish a change of places that it was in."""
        old = beside(self.folder, "old")
        clear(beside(self.folder, "new"))
        if not self.folder.exists() and old.exists():
            old.rename(self.folder)
        for name in KEPT:
            if (old / name).exists() and not (self.folder / name).exists():
                (old / name).rename(self.folder / name)
        clear(old)

    def step(self, python: str, words: Sequence[str], doing: str, needed: bool = True) -> None:
        """Run one module of Python's; each part that is fetched shows as its name.

        Refuses (NotReady): it stopped, and was needed or stopped for a full disk.
        """
        say(f"  {doing} ...")
        said = [f"--- {doing}: {' '.join(words)}"]
        with children.tied(python, words, self.lock, {**HABITS, **os.environ}, self.checkout) as child:
            for line in child.stdout:
                said.append(line.rstrip())
                if line.startswith("Collecting "):
                    say(f"    {re.split('[^A-Za-z0-9._-]', line.split()[1])[0]}")
                elif line.startswith("Installing collected") and "," in line:
                    say(f"  putting {line.count(',') + 1} parts in place; this takes a while ...")
        self.story += said
        if child.returncode and (needed or FULL.search("\n".join(said))):
            raise NotReady(why("\n".join(said), doing, self.checkout))

    def kept_log(self) -> str:
        """Keep all that was said, and say where; a full disk may refuse even that."""
        if not self.story:
            return ""
        try:
            self.log.write_text("\n".join(self.story) + "\n", encoding="utf-8")
        except OSError:
            return "The last that was said:\n\n    " + "\n    ".join(self.story[-6:])
        return f"All that was said meanwhile is in {self.log}."


def why(said: str, doing: str, checkout: Path) -> str:
    """The sentence for a step that stopped, by what it `said`: first of all what would help."""
    if FULL.search(said):
        return no_room(checkout)
    if UNREACHED.search(said):
        return (
            "The internet was not reached, or not the place where the parts come from. Look whether it is there, "
            "then type the same command again."
        )
    last = [line.removeprefix("ERROR: ") for line in said.splitlines() if line.strip()][-1]
    return f"The set-up stopped while {doing}. The last that was said: {last}"


def no_room(checkout: Path) -> str:
    """The sentence for a disk that is full."""
    free = shutil.disk_usage(checkout).free / 1e6
    return (
        f"There is not enough room on the disk: the set-up needs about {ROOM} MB in {checkout}, and "
        f"{free:.0f} MB are free. Make room, then type the same command again."
    )


def kind_of_computer() -> dict[str, str]:
    """For which computers a part is that was fetched here: parts with compiled code hold for one such kind."""
    return {"python": platform.python_version(), "platform": sysconfig.get_platform()}


def fits(note: dict[str, Any]) -> bool:
    """Whether parts fetched where `note` says serve here: the same Python, its last figure as high or higher.

    (A part may refuse the first releases of a Python: one asked for 3.11.5 or newer, and Debian had 3.11.2.)
    """
    here = kind_of_computer()
    mine, theirs = ([int(n) for n in re.findall(r"\d+", kind["python"])[:3]] for kind in (here, note))
    return here["platform"] == note["platform"] and mine[:2] == theirs[:2] and mine >= theirs


def source(checkout: Path) -> list[str]:
    """Pip's words for where parts come from: a pack's own folder where it fits this computer, else the network."""
    note = packed_for(checkout)
    return ["--no-index", "--find-links", str(checkout / WHEELS)] if note and fits(note) else []


def packed_for(checkout: Path) -> dict[str, Any] | None:
    """For which computers the parts of this pack are; None where the checkout is no pack."""
    try:
        note: dict[str, Any] = json.loads((checkout / WHEELS / NOTE).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    return note


def clear(folder: Path) -> None:
    """Delete a folder where there is one."""
    if folder.exists():
        shutil.rmtree(folder)


def _scripts(folder: Path, made_as: Path) -> None:
    """The small programs of an environment name its place in their first line; have them name the one it has now."""
    for file in (folder / "bin").glob("*"):
        if file.is_symlink() or not file.is_file():
            continue
        text = file.read_bytes()
        if bytes(made_as) in text and (text.startswith(b"#!") or file.name.startswith("activate")):
            file.write_bytes(text.replace(bytes(made_as), bytes(folder)))
