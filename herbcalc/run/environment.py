"""Floor 6. The workbook's environment: a folder `.herbcalc-env` in the checkout, made once, then only looked at.

Debian and Ubuntu refuse to install Python packages outside an environment, and a class should not have to know that.
`.venv` is left alone: it belongs to other tools. A stamp in the folder says for which place, which pyproject.toml and
which extras it was made, so that a second start needs no network.
"""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from subprocess import PIPE, STDOUT, Popen
from typing import Any

from herbcalc.run.console import ME, say

CHECKOUT = Path(__file__).resolve().parents[2]
FOLDER = CHECKOUT / ".herbcalc-env"
STAMP = FOLDER / "stamp.json"
LOG = FOLDER / "install.log"
ENDINGS = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
KEPT = ("settings", "npm")  # what a rebuild leaves in place: the person's settings, and npm's folder for the tests


class NotReady(Exception):
    """The environment cannot be made; the text says why and what would work."""


def python(extras: Sequence[str]) -> Path:
    """The Python that has everything `extras` name; sets it up first where needed.

    extras: names from pyproject.toml's optional dependencies.
    Refuses (NotReady): no checkout, no venv module, no network, a folder that cannot be written to.
    HERBCALC_ENV=here takes the Python at hand and sets up nothing: for people who keep their own environment.
    """
    if os.environ.get("HERBCALC_ENV") == "here":
        return Path(sys.executable)
    if not (CHECKOUT / "pyproject.toml").is_file():
        raise NotReady(
            f"herbcalc was installed without its workbook (it lies in {CHECKOUT}). "
            "Go to the folder you downloaded, the one with README.md in it, and type the command there."
        )
    try:
        if not stands(extras):
            set_up(sorted({*extras, *stamp().get("extras", [])}))
    except OSError as trouble:
        raise NotReady(
            f"The folder {FOLDER} could not be made or changed: {trouble.strerror or trouble}.\n"
            "It lies beside README.md. Copy the whole folder that README.md is in to a place where you may write, "
            "such as your home folder, and type the same command there."
        ) from trouble
    return inside(FOLDER)


def call(
    extras: Sequence[str], words: Sequence[str], env: Mapping[str, str] | None = None, cwd: Path = CHECKOUT
) -> int:
    """Run the environment's Python with `words`, in the folder `cwd`, and give back its exit code.

    env: what the child finds in its environment, beside what is there already.
    """
    try:
        program = python(extras)
    except NotReady as reason:
        say(str(reason))
        return 1
    # Ctrl C belongs to the child, which tidies up before it stops. A handler, unlike SIG_IGN, is not inherited by it.
    before = signal.signal(signal.SIGINT, lambda *_: None)
    try:
        with together([str(program), *words], cwd=cwd, env={**clean(), **(env or {})}) as child:
            return child.wait()
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def together(words: Sequence[str], **how: Any) -> Iterator[Popen[str]]:
    """A child that does not outlive us: when this process is told to end, or its window is closed, so is the child.

    words: the program and its words; how: what `subprocess.Popen` takes beside them. On leaving, the child has ended.
    (Windows ends a process without asking it; there only Ctrl C and a closed window reach both.)
    """
    children: list[Popen[str]] = []
    told: list[int] = []

    def end(number: int, _: object) -> None:
        told.append(number)
        for child in children:
            child.terminate()

    before = {number: signal.signal(number, end) for number in ENDINGS if signal.getsignal(number) == signal.SIG_DFL}
    try:
        with Popen(words, **how) as child:
            children.append(child)
            if told:  # it came while the child was being started
                child.terminate()
            yield child
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def inside(folder: Path) -> Path:
    """Where an environment keeps its Python: Windows has its own habit."""
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def wanted(extras: Sequence[str]) -> dict[str, object]:
    """What the stamp must say: the place, the fingerprint of pyproject.toml, and the extras."""
    print_of = hashlib.sha256((CHECKOUT / "pyproject.toml").read_bytes()).hexdigest()
    return {"folder": str(CHECKOUT), "pyproject": print_of, "extras": sorted(extras)}


def stamp() -> dict:
    """What the stamp says; empty where there is none, or where a stopped set-up left half of one."""
    try:
        found = json.loads(STAMP.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def stands(extras: Sequence[str]) -> bool:
    """Whether the environment has all that `extras` name, for this place and this pyproject.toml."""
    found, want = stamp(), wanted(extras)
    same = all(found.get(key) == want[key] for key in ("folder", "pyproject"))
    return same and set(extras) <= set(found.get("extras", [])) and starts()


def starts() -> bool:
    """Whether the environment's Python runs and finds the workbook's parts.

    It does not any more when the Python that it was made with was taken away or replaced by a newer one.
    """
    look = "import sys, importlib.util as u; sys.exit(not all(map(u.find_spec, sys.argv[1:])))"
    words = [str(inside(FOLDER)), "-I", "-c", look, "herbcalc", "pint", "jupyterlab"]
    try:
        return subprocess.run(words, capture_output=True).returncode == 0
    except OSError:  # it is not there, or no program
        return False


def set_up(extras: Sequence[str]) -> None:
    """Make the environment, or bring it up to date, and say on the screen how far it has come."""
    started = time.monotonic()
    if importlib.util.find_spec("ensurepip") is None or importlib.util.find_spec("venv") is None:
        raise NotReady(
            "This Python cannot make an environment of its own yet: a part of it is packed separately.\n"
            "Type this once, then the same command again:\n\n    sudo apt install python3-venv\n"
        )
    # Made anew after a move (an environment remembers its place) and after a set-up that was stopped half way.
    anew = stamp().get("folder") != str(CHECKOUT) or not starts()
    say(f"Setting up what the workbook needs, in {FOLDER}")
    say("This is done once; it takes a few minutes and needs the internet.")
    STAMP.unlink(missing_ok=True)
    if anew:
        for old in FOLDER.glob("*"):
            if old.name not in KEPT:
                shutil.rmtree(old) if old.is_dir() and not old.is_symlink() else old.unlink()
        _follow([sys.executable, "-m", "venv", str(FOLDER)], "making the environment")
    quiet = ["--no-input", "--disable-pip-version-check", "--progress-bar", "off"]
    what = f".[{','.join(extras)}]"
    _follow([str(inside(FOLDER)), "-m", "pip", "install", *quiet, "-e", what], "fetching the parts")
    STAMP.write_text(json.dumps(wanted(extras), indent=1), encoding="utf-8")
    say(f"Everything is in place ({time.monotonic() - started:.0f} seconds).\n")


def _follow(words: Sequence[str], doing: str) -> None:
    """Run one step of the set-up; each part that is fetched shows as its name, the full story goes to the log."""
    say(f"  {doing} ...")
    FOLDER.mkdir(exist_ok=True)
    story: list[str] = []
    talk = {"stdout": PIPE, "stderr": STDOUT, "text": True, "errors": "replace"}
    with (
        LOG.open("a", encoding="utf-8") as log,
        together(words, cwd=CHECKOUT, env=clean(), **talk) as step,
    ):
        for line in step.stdout:
            log.write(line)
            story.append(line.rstrip())
            if line.startswith("Collecting "):
                say(f"    {re.split('[^A-Za-z0-9._-]', line.split()[1])[0]}")
            elif line.startswith("Installing collected"):
                say(f"  putting {line.count(',') + 1} parts in place; this is the longest wait ...")
    if step.returncode:
        raise NotReady(
            f"The set-up stopped while {doing}. The last lines it said:\n\n    "
            + "\n    ".join(story[-12:])
            + "\n\nMostly this is the internet: look whether it is there, then type the same command again.\n"
            + f"All that was said is in {LOG}. What is there now:  {ME} ready"
        )


def clean() -> dict[str, str]:
    """The surroundings for a child: ours, less what would lead its Python to another one's packages."""
    leave = {"PYTHONHOME", "PYTHONPATH", "VIRTUAL_ENV", "__PYVENV_LAUNCHER__"}
    if os.environ.get("HERBCALC_ENV") == "here":
        leave = set()
    return {**{k: v for k, v in os.environ.items() if k not in leave}, "PYTHONUTF8": "1"}
