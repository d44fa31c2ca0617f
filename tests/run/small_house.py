"""A small checkout with parts of its own, so that a whole set-up, with Python's venv and pip, takes a second.

`herbcalc` in it is the real one as far as the way in needs it. What it "fetches" are three invented parts made here:
`tinyleaf`, which herbcalc needs, and a `jupyterlab` that only says that it was opened, with `tinyroot`, its own need.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROJECT = """
[project]
name = "herbcalc"
dependencies = ["tinyleaf=={leaf}"]
[project.optional-dependencies]
workbook = ["jupyterlab>=1"]
hub = ["tinyhub>=1"]
tests = ["tinyseed>=1"]
[tool.ruff]
line-length = {wide}
"""
OPENS = """
import importlib.util, os, tinyroot
leaf = __import__("tinyleaf").version if importlib.util.find_spec("tinyleaf") else None
print("OPENED with leaf", leaf, "and settings in", os.environ["JUPYTER_RUNTIME_DIR"])
"""
# Python's own venv without its slowest step: pip is lent by the Python that runs the tests, and stays as it is. ROOM
# fits these parts.
START = """
import os, sys
from pathlib import Path
from herbcalc.run import building
real = building.Work.step
def step(self, python, words, doing, needed=True):
    if words[-1] == "pip":
        return
    if words[0] != "venv":
        return real(self, python, words, doing, needed)
    real(self, python, [*words[:-1], "--without-pip", words[-1]], doing)
    packages = next(Path(words[-1]).glob("lib/python3*/site-packages"), Path(words[-1]) / "Lib/site-packages")
    (packages / "pip").symlink_to(os.environ["LENT_PIP"], target_is_directory=True)
building.Work.step = step
building.ROOM = float(os.environ["NEEDED"])
from herbcalc.launch import main
sys.exit(main(sys.argv[1:]))
"""
NOT_HERE = shutil.ignore_patterns("data", "show", "homework", "drying", "__pycache__")
NO_NETWORK = {"PIP_INDEX_URL": "http://127.0.0.1:9/", "PIP_RETRIES": "1"}


def wheel(folder: Path, name: str, version: str, files: dict[str, str], needs: tuple[str, ...] = ()) -> None:
    """One part, as pip takes it: a zip file with its papers."""
    papers = f"{name}-{version}.dist-info"
    head = f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n"
    files = {
        **{f"{name}/{file}": text for file, text in files.items()},
        f"{papers}/METADATA": head + "".join(f"Requires-Dist: {need}\n" for need in needs),
        f"{papers}/WHEEL": "Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = "".join(f"{file},,\n" for file in (*files, f"{papers}/RECORD"))
    with zipfile.ZipFile(folder / f"{name}-{version}-py3-none-any.whl", "w") as packed:
        for file, text in {**files, f"{papers}/RECORD": record}.items():
            packed.writestr(file, text)


def shop(folder: Path) -> Path:
    """A folder that stands for the internet: every part that there is."""
    folder.mkdir()
    for version in ("1", "2"):
        wheel(folder, "tinyleaf", version, {"__init__.py": f"version = {version}"})
    # As real parts do, one brings tests of itself, and a file for a Python of long ago.
    root = {"__init__.py": "", "tests/__init__.py": "", "old.py": 'print "Hello"'}
    wheel(folder, "tinyroot", "1", root)
    for name in ("tinyhub", "tinyseed"):
        wheel(folder, name, "1", {"__init__.py": ""})
    wheel(folder, "jupyterlab", "1", {"__init__.py": "", "__main__.py": OPENS}, ("tinyroot>=1",))
    return folder


class House:
    """A checkout at `top`, a person's folder beside it, and the shop where the parts come from."""

    def __init__(self, top: Path, parts: Path) -> None:
        self.top, self.parts = top, parts
        self.room: float = 1  # MB that are said to be needed
        self.home = top.with_name(f"{top.name}-sums")

    def build(self) -> House:
        """Lay the checkout, with nothing set up."""
        shutil.copytree(ROOT / "herbcalc", self.top / "herbcalc", ignore=NOT_HERE)
        (self.top / "workbook").mkdir()
        (self.top / "workbook" / "00_start.ipynb").write_text("{}")
        self.project()
        return self

    def project(self, leaf: int = 1, wide: int = 118) -> None:
        (self.top / "pyproject.toml").write_text(PROJECT.format(leaf=leaf, wide=wide))

    def copied(self, top: Path) -> House:
        """The same house in another place, environment and all."""
        shutil.copytree(self.top, top, symlinks=True)
        return House(top, self.parts)

    @property
    def env(self) -> Path:
        return self.top / ".herbcalc-env"

    @property
    def packages(self) -> Path:
        return next(self.env.glob("lib/python3*/site-packages"), self.env / "Lib/site-packages")

    def surroundings(self, network: bool) -> dict[str, str]:
        ours = {"PATH", "HOME", "TMPDIR", "TEMP", "SYSTEMROOT"}
        pip = importlib.util.find_spec("pip").submodule_search_locations[0]
        return {
            **{name: value for name, value in os.environ.items() if name in ours},
            **({"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(self.parts)} if network else NO_NETWORK),
            "HERBCALC_HOME": str(self.home),
            "PYTHONPATH": str(self.top),
            "PIP_NO_CACHE_DIR": "1",
            "LENT_PIP": pip,
            "NEEDED": str(self.room),
        }

    def words(self, *words: str) -> list[str]:
        return [sys.executable, "-c", START, *words]

    def start(self, *words: str, network: bool = True) -> subprocess.CompletedProcess[str]:
        """One start, as a person types it: a process of its own, with all that it said in `stdout`."""
        return subprocess.run(
            self.words(*words),
            cwd=self.top,
            env=self.surroundings(network),
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            timeout=120,
        )

    def left_over(self) -> set[str]:
        """What lies beside the environment that should not outlive a set-up."""
        return {entry.name for entry in self.top.iterdir()} & {".herbcalc-env-new", ".herbcalc-env-old"}
