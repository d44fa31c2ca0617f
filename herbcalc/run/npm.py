"""Floor 6. Parts that npm brings, which is to JavaScript what pip is to Python: fetched once, beside pip's."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

from herbcalc.run import environment
from herbcalc.run.building import NotReady
from herbcalc.run.children import alone

FOLDER = environment.FOLDER / "npm"


def fetched(package: str, file: str) -> Path:
    """The path of a file that one of npm's packages holds; the package is fetched where it is not there yet.

    package: as npm is asked for it, "axe-core@4"; file: its path, the package's name first.
    Refuses (NotReady): a computer without npm, an npm that reaches nothing, and a folder that is not ours to change.
    """
    wanted = FOLDER / "node_modules" / file
    if not wanted.exists():
        name = package.partition("@")[0]
        npm = shutil.which("npm")
        if not npm:
            raise NotReady(
                f"{name} comes from npm, and npm was not found on this computer. On Debian and Ubuntu this brings "
                "it:\n\n    sudo apt install nodejs npm\n\nElsewhere it comes with Node: https://nodejs.org"
            )
        try:
            FOLDER.mkdir(parents=True, exist_ok=True)
            with alone(FOLDER / ".lock", lambda: None):  # whoever comes second finds it there
                if not wanted.exists():
                    _fetch(npm, package)
        except OSError as trouble:
            raise NotReady(
                f"{name} could not be put into {FOLDER}: {trouble.strerror or trouble}. Where that folder was made "
                "with sudo, put sudo before this command as well; or type it in a copy of the folder with README.md "
                "that is yours."
            ) from trouble
        if not wanted.exists():
            raise NotReady(f"npm brought a {name} without the file {file}; another release of it may have moved it.")
    return wanted


def _fetch(npm: str, package: str) -> None:
    """Have npm bring a package, beside those that it brought before."""
    papers = FOLDER / "package.json"
    if not papers.exists():
        papers.write_text('{"private": true}', encoding="utf-8")
    # A package's own scripts have no business here, least of all where this was typed behind sudo.
    words = [npm, "install", "--no-audit", "--no-fund", "--ignore-scripts", package]
    ran = subprocess.run(words, cwd=FOLDER, capture_output=True, text=True, errors="replace")
    if ran.returncode:
        last = [line for line in ran.stderr.splitlines() if line.strip()][-3:]
        raise NotReady(
            f"npm could not fetch {package}. Look whether the internet is there, then type the same command again. "
            f"The last that npm said: {' / '.join(last)[-300:]}"
        )
