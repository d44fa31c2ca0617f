"""Floor 6. `ready`: what is set up and what is missing, in words. It looks, and changes nothing."""

from __future__ import annotations

import json
import os
import platform
import shutil
import subprocess
import sys
from pathlib import Path

from herbcalc import __version__, person
from herbcalc.run import copies, environment
from herbcalc.run.console import ME

# Each library under the name it is fetched by, and what the workbook needs it for.
NEEDED = {
    "pint": "keeps the units",
    "numpy": "does sums on many numbers at once",
    "pandas": "makes tables",
    "scipy": "solves for an unknown",
    "matplotlib": "draws the pictures",
    "jupyterlab": "shows the notebooks",
    "ipywidgets": "makes sliders and boxes",
    "anywidget": "fills the screen and names the sliders",
}
FOR_TESTS = {
    "pytest": "runs the tests",
    "nbval": "runs the notebooks",
    "ruff": "checks the style",
    "mypy": "checks the types",
    "playwright": "drives a browser",
}
_ASK = """
import json, sys, importlib.metadata as m
have = {d.metadata["Name"].lower(): d.version for d in m.distributions()}
print(json.dumps({name: have.get(name) for name in sys.argv[1:]}))
"""


def report() -> str:
    """The whole answer, ready to print."""
    lines = [f"herbcalc {__version__}, looked at with Python {platform.python_version()} ({sys.executable})", ""]
    return "\n".join([*lines, *_environment(), "", *_folder(), "", *_browser()])


def _environment() -> list[str]:
    here = os.environ.get("HERBCALC_ENV") == "here"
    program = sys.executable if here else environment.inside(environment.FOLDER)
    if not here and not environment.STAMP.exists():
        return [f"Not set up yet, or not to the end. This does it:  {ME}"]
    if not here and not environment.starts():
        return [f"What was set up in {environment.FOLDER} does not start any more. This mends it:  {ME}"]
    answer = subprocess.run([program, "-c", _ASK, *NEEDED, *FOR_TESTS], capture_output=True, text=True, check=True)
    have = json.loads(answer.stdout)
    lines = [f"What the workbook needs ({program}):"]
    lines += [f"  {name:<12} {have[name] or 'MISSING':<10} {what}" for name, what in NEEDED.items()]
    if not here and not environment.stands(("workbook",)):
        lines.append(f"It was set up for an older herbcalc or for another place. The next start renews it:  {ME}")
    elif all(have[name] for name in NEEDED):
        lines.append("All there: the workbook starts without the internet.")
    elif here:
        lines.append('Something is missing. This fetches it:  pip install -e ".[workbook,tests]"')
    else:
        lines.append(f"Something is missing. Delete the folder {environment.FOLDER}, then type:  {ME}")
    absent = ", ".join(f"{name} ({what})" for name, what in FOR_TESTS.items() if not have[name])
    lines.append(
        f"For the tests still to fetch: {absent}. This does it:  {ME} test" if absent else "The tests can run."
    )
    return lines


def _folder() -> list[str]:
    home, count = person.folder(), sum(1 for name in copies.shipped() if name.suffix == ".ipynb")
    if not home.exists():
        return [f"Your folder will be {home}; it is made at the first start. The workbook brings {count} notebooks."]
    try:
        me, sheet = person.me(home), (home / person.CLASS).exists()
    except person.NotKept as refusal:
        return [f"Your folder: {home}. {refusal}"]
    return [
        f"Your folder: {home}. The workbook brings {count} notebooks.",
        f'You work as number {me.number} of class "{me.class_code}".'
        if me
        else "Your class code and own number are not typed yet. That is done in the notebook 00_start.",
        "Your teacher's sheet class.toml is there." if sheet else "No class.toml of a teacher: the usual rules hold.",
    ]


def chromium() -> str | None:
    """The program of a Chromium or Chrome on this computer; HERBCALC_CHROMIUM names one by its path."""
    if named := os.environ.get("HERBCALC_CHROMIUM"):
        return named
    places = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome"]
    places += [f"/Applications/{name}.app/Contents/MacOS/{name}" for name in ("Google Chrome", "Chromium")]
    for root in ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"):
        if root in os.environ:
            places.append(str(Path(os.environ[root]) / "Google/Chrome/Application/chrome.exe"))
    return next((found for place in places if (found := shutil.which(place))), None)


def _browser() -> list[str]:
    found = chromium()
    if found:
        return [f"For the tests in a real browser there is {found}."]
    return ["There is no Chromium or Chrome here. The workbook runs in any browser; only the browser tests need it."]
