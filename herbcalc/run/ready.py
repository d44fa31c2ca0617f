"""Floor 6. `ready`: what is set up and what is missing, in words. It looks, and changes nothing."""

from __future__ import annotations

import os
import platform
import shutil
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
    "matplotlib": "draws the pictures",
    "jupyterlab": "shows the notebooks",
    "ipywidgets": "makes sliders and boxes",
    "anywidget": "fills the screen and names the sliders",
}


def report() -> str:
    """The whole answer, ready to print."""
    lines = [f"herbcalc {__version__}, looked at with Python {platform.python_version()} ({sys.executable})", ""]
    return "\n".join([*lines, *_environment(), "", *_folder(), "", *_browser()])


def _environment() -> list[str]:
    now = environment.found()
    if not now.runs and not environment.FOLDER.exists():
        return [f"Not set up yet. This does it:  {ME}"]
    if not now.runs:
        return [f"What was set up in {environment.FOLDER} does not start any more. This mends it:  {ME}"]
    program = sys.executable if environment.at_hand() else environment.inside(environment.FOLDER)
    lines = [f"What the workbook needs ({program}):"]
    lines += [f"  {name:<12} {now.have.get(name, 'MISSING'):<10} {what}" for name, what in NEEDED.items()]
    groups = (environment.CORE, "workbook")
    lacks, older = now.lacks(groups), now.of("older", groups)
    fetch = f"Typing  {ME}  fetches it, and it alone, with the internet."
    if environment.at_hand():
        fetch = f"This fetches it:  {program} -m pip install " + " ".join(f'"{need}"' for need in [*lacks, *older])
    if lacks:
        lines.append(f"Missing, or not whole: {', '.join(lacks)}. {fetch}")
    if older:
        lines.append(f"A newer one is asked for: {', '.join(older)}. {fetch}")
    if not lacks and not older:
        lines.append("All there, down to the parts of the parts: the workbook starts without the internet.")
    if not environment.at_hand() and not environment.joined(now):
        lines.append(f"It finds the herbcalc of another folder yet. The next start mends that:  {ME}")
    return [*lines, _for_tests(now.lacks((*environment.FOR_TESTS, *environment.FOR_SOME_TESTS)))]


def _for_tests(lacks: list[str]) -> str:
    if not environment.is_checkout():
        return "The tests are not in this package; they lie in the folder that herbcalc is made in."
    return (
        f"For the tests still to fetch: {', '.join(lacks)}. This does it:  {ME} test"
        if lacks
        else "The tests can run."
    )


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
        return [f"For PDFs of homework sheets, and for the tests in a real browser, there is {found}."]
    return [
        "There is no Chromium or Chrome here. The workbook runs in any browser; only the browser tests and the PDFs "
        "of homework sheets need it."
    ]
