"""Floor 6. The workbook's environment: a folder `.herbcalc-env` in the checkout, made once, then only looked at.

Debian and Ubuntu refuse to install Python packages outside an environment, and a class should not have to know that.
`.venv` is left alone: it belongs to other tools. Whether it still serves is asked of the environment itself, at each
start: no note could know that a folder in it was deleted. So a start needs no network while nothing is missing, and
what works is never taken away: where a newer one cannot be had, the old one opens, with a sentence.
"""

from __future__ import annotations

import importlib.metadata
import os
import re
import signal
import sys
import time
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path

from herbcalc.run import inventory
from herbcalc.run.building import Found, NotReady, Work, beside, inside, look, packed_for, source
from herbcalc.run.children import alone, clean, together
from herbcalc.run.console import say

__all__ = [
    "CHECKOUT",
    "FOLDER",
    "NotReady",
    "at_hand",
    "call",
    "found",
    "inside",
    "is_checkout",
    "joined",
    "needs",
    "python",
    "run",
    "together",
]

CHECKOUT = Path(__file__).resolve().parents[2]
FOLDER = CHECKOUT / ".herbcalc-env"
LOCK = CHECKOUT / ".herbcalc-env.lock"
LOG = CHECKOUT / ".herbcalc-env.log"
CORE = "herbcalc"  # the group of needs that everything has, beside the optional ones
FOR_TESTS = ("workbook", "tests")
FOR_SOME_TESTS = ("hub",)  # which are left out, in words, where it is not to be had


def python(extras: Sequence[str], also: Sequence[str] = ()) -> Path:
    """The Python that has everything `extras` name; sets it up first where needed.

    extras: names from pyproject.toml's optional dependencies; also: names of those that it can do without.
    Refuses (NotReady): nothing that works is there, and no network, no venv module, no room, or no leave to write.
    HERBCALC_ENV=here takes the Python at hand and sets up nothing: for people who keep their own environment.
    """
    if os.environ.get("HERBCALC_ENV") == "here":
        return Path(sys.executable)
    if not is_checkout():
        return _installed(extras)
    groups = (CORE, *extras, *also)
    now = found()
    if not (_serves(now, groups) and not any(beside(FOLDER, what).exists() for what in ("new", "old"))):
        _set_up(groups, also)
    return inside(FOLDER)


def call(
    extras: Sequence[str],
    words: Sequence[str],
    env: Mapping[str, str] | None = None,
    cwd: Path = CHECKOUT,
    also: Sequence[str] = (),
) -> int:
    """Run the environment's Python with `words`, in the folder `cwd`, and give back its exit code.

    env: what the child finds in its environment, beside what is there already; also: see `python`, as for what it
    refuses (NotReady).
    """
    return run(python(extras, also), words, env, cwd)


def carried_out(command: str, words: Sequence[str]) -> int | None:
    """Carry one of our commands out in the environment, where the workbook's parts are, and give back its exit code;
    None where the Python at hand is that one. Refuses (NotReady): see `python`."""
    if os.environ.get("HERBCALC_ENV") == "here":
        return None
    return call(("workbook",), ["-m", "herbcalc", command, *words], {"HERBCALC_ENV": "here"}, Path.cwd())


def run(program: Path, words: Sequence[str], env: Mapping[str, str] | None = None, cwd: Path = CHECKOUT) -> int:
    """The same with a Python that `python` gave."""
    # Ctrl C belongs to the child, which tidies up before it stops. A handler, unlike SIG_IGN, is not inherited by it.
    before = signal.signal(signal.SIGINT, lambda *_: None)
    try:
        with together([str(program), *words], cwd=cwd, env=clean(env)) as child:
            return child.wait()
    finally:
        signal.signal(signal.SIGINT, before)


def is_checkout() -> bool:
    """Whether this herbcalc lies in a checkout, and not among the packages of somebody's environment."""
    return (CHECKOUT / "pyproject.toml").is_file() and (CHECKOUT / "workbook").is_dir()


def at_hand() -> bool:
    """Whether the Python at hand is used, and none is set up."""
    return os.environ.get("HERBCALC_ENV") == "here" or not is_checkout()


def needs() -> inventory.Groups:
    """What pyproject.toml asks for: what herbcalc always needs under "herbcalc", then each extra by its name."""
    if (CHECKOUT / "pyproject.toml").is_file():
        project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
        return {CORE: project["dependencies"], **project["optional-dependencies"]}
    papers = importlib.metadata.metadata("herbcalc")
    groups: inventory.Groups = {CORE: [], **{extra: [] for extra in papers.get_all("Provides-Extra", ())}}
    for need in papers.get_all("Requires-Dist", ()):
        part, _, when = need.partition(";")
        if extra := re.search(r"""extra == ['"]([\w-]+)['"]""", when):
            groups[extra.group(1)].append(part.strip())
        else:
            groups[CORE].append(need)
    return groups


def found() -> Found:
    """What the environment holds, or the Python at hand where that is used; looks, and changes nothing."""
    return look(Path(sys.executable) if at_hand() else inside(FOLDER), needs())


def _installed(extras: Sequence[str]) -> Path:
    """The Python at hand, where herbcalc was installed into it as a package."""
    if "tests" in extras:
        raise NotReady(
            "The tests lie in the folder that herbcalc is made in, with its README.md, not in this package."
        )
    if lacks := found().lacks((CORE, *extras)):
        fetch = " ".join(f'"{need}"' for need in lacks)
        raise NotReady(
            "herbcalc is installed here, and some of what the workbook needs is not. This fetches it:\n\n"
            f"    {sys.executable} -m pip install {fetch}\n"
        )
    return Path(sys.executable)


def _serves(now: Found, groups: Sequence[str]) -> bool:
    """Whether an environment has all that these groups need, and finds the herbcalc of this checkout."""
    return now.whole(groups) and joined(now)


def joined(now: Found) -> bool:
    """Whether the herbcalc that an environment finds is that of this checkout."""
    return bool(now.home) and Path(now.home).resolve() == CHECKOUT / "herbcalc"


def _set_up(groups: Sequence[str], also: Sequence[str]) -> None:
    """Bring the environment to where it serves; where that cannot be, and the old one opens, say so and go on.

    groups: what is wanted; also: those of them that it opens without.
    """
    trouble, log = "", ""
    try:
        with alone(LOCK, _waiting) as held:
            work = Work(CHECKOUT, FOLDER, LOG, held)
            try:
                work.tidy()
                _repair(work, groups)
            finally:
                log = work.kept_log()
    except OSError as refusal:
        trouble = (
            f"The folder {FOLDER} could not be made or changed: {refusal.strerror or refusal}.\n"
            "It lies beside README.md. Copy the whole folder that README.md is in to a place where you may write, "
            "such as your home folder, and type the same command there."
        )
    except NotReady as refusal:
        trouble = str(refusal)
    if not trouble:
        return
    now = found()
    if not (now.runs and joined(now) and not now.lacks([group for group in groups[1:] if group not in also])):
        raise NotReady("\n".join(filter(None, (trouble, log))))
    say("\n".join(filter(None, (trouble, log))))
    lacks = ", ".join(now.lacks(groups))
    say(f"Until then {lacks} is missing: a lesson that needs it stops and says so." if lacks else "")
    say("What was set up before still works, so the workbook goes on with that.\n")


def _repair(work: Work, groups: Sequence[str]) -> None:
    """Do what is needed, and no more: join what is there to this checkout, fetch what is missing, or build anew."""
    now, started = found(), time.monotonic()
    if now.runs and not joined(now):  # it is whole, and finds another herbcalc, or none
        work.join(FOLDER)
        now = found()
    if _serves(now, groups):
        return
    everything = needs()
    lacks = now.lacks(groups)
    if now.runs and joined(now) and lacks and not now.of("older", groups):
        say(f"To be fetched: {', '.join(lacks)}. All else is there and stays as it is.")
        work.mend(now, groups)
        now = found()
    if not _serves(now, groups):
        say(
            f"Setting up what the workbook needs, in {FOLDER}\n"
            + ("What works now stays until the new one stands. " if now.runs else "This is done once. ")
            + _from_where()
        )
        kept = [group for group in everything if group in groups or (now.runs and not now.lacks((group,)))]
        work.build({group: everything[group] for group in kept})
    say(f"Everything is in place ({time.monotonic() - started:.0f} seconds).\n")


def _from_where() -> str:
    if source(CHECKOUT):
        return "The parts are in this pack, so it needs no internet."
    note = packed_for(CHECKOUT)
    other = (
        f"This pack was made for Python {note['python']} on {note['platform']}, not for this one. " if note else ""
    )
    return f"{other}It takes a few minutes and needs the internet."


def _waiting() -> None:
    say("Another window is setting up the workbook just now; this one waits for it. (Ctrl C stops the waiting.)")
