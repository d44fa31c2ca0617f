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
from collections.abc import Mapping, Sequence
from pathlib import Path
from subprocess import PIPE, STDOUT

from herbcalc.launch import ME, say

CHECKOUT = Path(__file__).resolve().parents[2]
FOLDER = CHECKOUT / ".herbcalc-env"
STAMP = FOLDER / "stamp.json"
LOG = FOLDER / "install.log"
KEPT = ("settings", "npm")  # what a rebuild leaves in place: the person's settings, and npm's folder for the tests


class NotReady(Exception):
    """The environment cannot be made; the text says why and what would work."""


def python(extras: Sequence[str]) -> Path:
    """The Python that has everything `extras` name; sets it up first where needed.

    extras: names from pyproject.toml's optional dependencies.
    Refuses (NotReady): no checkout, no venv module, no network.
    HERBCALC_ENV=here takes the Python at hand and sets up nothing: for people who keep their own environment.
    """
    if os.environ.get("HERBCALC_ENV") == "here":
        return Path(sys.executable)
    if not (CHECKOUT / "pyproject.toml").is_file():
        raise NotReady(
            f"herbcalc was installed without its workbook (it lies in {CHECKOUT}). "
            "Go to the folder you downloaded, the one with README.md in it, and type the command there."
        )
    there = inside(FOLDER)
    if not stands(extras):
        set_up(sorted({*extras, *stamp().get("extras", [])}))
    return there


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
        return subprocess.call([str(program), *words], cwd=cwd, env={**clean(), **(env or {})})
    finally:
        signal.signal(signal.SIGINT, before)


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
    return same and set(extras) <= set(found.get("extras", [])) and inside(FOLDER).exists()


def set_up(extras: Sequence[str]) -> None:
    """Make the environment, or bring it up to date, and say on the screen how far it has come."""
    started = time.monotonic()
    if importlib.util.find_spec("ensurepip") is None or importlib.util.find_spec("venv") is None:
        raise NotReady(
            "This Python cannot make an environment of its own yet: a part of it is packed separately.\n"
            "Type this once, then the same command again:\n\n    sudo apt install python3-venv\n"
        )
    if stamp().get("folder") not in (None, str(CHECKOUT)) or not inside(FOLDER).exists():
        for old in FOLDER.glob("*"):  # an environment remembers its place: after a move it is made anew
            if old.name not in KEPT:
                shutil.rmtree(old) if old.is_dir() and not old.is_symlink() else old.unlink()
    say(f"Setting up what the workbook needs, in {FOLDER}")
    say("This is done once; it takes a few minutes and needs the internet.")
    if not STAMP.exists():  # also where an earlier set-up was stopped half way: making it again mends it
        _follow([sys.executable, "-m", "venv", str(FOLDER)], "making the environment")
    STAMP.unlink(missing_ok=True)
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
        subprocess.Popen(words, cwd=CHECKOUT, env=clean(), **talk) as step,
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
