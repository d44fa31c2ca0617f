"""Drives a notebook as a person does: opens it, runs it, reads it, types and presses keys.

What is ours is found by role and name, as someone who listens finds it. JupyterLab's own parts (menu, kernel's state,
cells) are named here and nowhere else.
"""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
from contextlib import suppress
from itertools import count
from pathlib import Path
from typing import Any
from urllib.request import Request, urlopen

from playwright.sync_api import Locator, Page, TimeoutError, expect

IDLE = '.jp-Notebook-ExecutionIndicator[data-status="idle"]'
CELLS = ".jp-Notebook .jp-CodeCell"
OUTPUT = ".jp-OutputArea-output"
WHICH = "(cell, all) => [...document.querySelectorAll(all)].indexOf(cell)"
# A traceback; a refusal of ours is a plain sentence.
STOPPED = '.jp-OutputArea-output:has-text("Traceback (most recent call last)")'
WAITING = """() => [...document.querySelectorAll('.jp-Notebook .jp-InputPrompt')]
    .some(prompt => prompt.textContent.trim().startsWith('[*]'))"""
# A stored notebook shows the numbers of its last run, so that a run has begun is only seen by a star passing through;
# a cell whose code is folded away shows no star, and the kernel's own sign says when it is busy.
WATCH = """() => {
    window.begun = 0
    const waiting = WAITING
    const busy = () => document.querySelector('.jp-Notebook-ExecutionIndicator[data-status="busy"]') || waiting()
    window.watch?.disconnect()
    window.watch = new MutationObserver(() => { if (busy()) window.begun = performance.now() })
    window.watch.observe(document.body, {subtree: true, childList: true, characterData: true, attributes: true})
}""".replace("WAITING", WAITING)
OFTEN = 50  # ms between two looks; to look at each frame has the browser draw frames for nothing else
DONE = "() => performance.now() - window.begun > 500"  # between two cells the kernel is idle for a moment

DESKS = count(1)
# In a JupyterLab that is open: what is open there goes, and nothing asks whether it is to be saved; another comes.
CLEARED = """() => [...jupyterapp.shell.widgets('main')].forEach(open => {
    const {context} = open  // of a document: what saves it every two minutes
    open.dispose()
    context?.dispose()
})"""
ANOTHER = "path => jupyterapp.commands.execute('docmanager:open', {path}).then(() => null)"


def announced(line: str) -> str:
    """Role and name in a line of what a page says to those who listen.

    '- slider "Plant (g)" [focused]: "100"' gives 'slider "Plant (g)"'; '- text: More' gives 'text "More"'.
    """
    found = re.match(r"(\w+)(?: (\".*?\")|: (.+))?", line.strip().removeprefix("- ").strip("'"))
    if not found:
        return ""  # a property of the line before, such as "/placeholder"
    role, name, said = found.groups()
    return f"{role} {name or (json.dumps(said) if said else '')}".strip()


def in_turn(things: list[Any], turn: int) -> list[Any]:
    """Every second of them, from the first (0) or the second (1) on; all of them where HERBCALC_EVERY asks for it.

    Two tests that take turns open each lesson once: to open one takes longer than to look at it.
    """
    return things if "HERBCALC_EVERY" in os.environ else things[turn::2]


def book_of(path: Path, *sources: str) -> None:
    """Write a notebook with these cells of code and nothing else."""
    cells = [
        {"cell_type": "code", "id": f"c{n}", "source": text, "metadata": {}, "outputs": [], "execution_count": None}
        for n, text in enumerate(sources)
    ]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    book = {"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 5}
    path.write_text(json.dumps(book), encoding="utf-8")


def kill_kernels(workbook: Any) -> None:
    """End every kernel as a computer does that has run out of memory."""
    asked = Request(f"{workbook.root}/api/kernels", headers={"Authorization": f"token {workbook.token}"})
    with urlopen(asked) as answer:
        ours = [kernel["id"] for kernel in json.loads(answer.read())]
    for kernel in ours:
        found = subprocess.run(["pgrep", "-f", f"kernel-{kernel}"], capture_output=True, text=True).stdout.split()
        assert found, "no process of this kernel"
        for process in found:
            os.kill(int(process), signal.SIGKILL)


class Lesson:
    """One notebook in JupyterLab; calling it opens another."""

    def __init__(self, page: Page, root: str, token: str, axe: str) -> None:
        self.page, self.root, self.token, self.axe = page, root, token, axe

    def __call__(self, path: str, idle: bool = True, alone: bool = False) -> Lesson:
        """Open a notebook of the person's folder, and wait until its kernel is connected and has nothing to do.

        path: for example "workbook/05_plant_water.ipynb"; idle=False does not wait for the kernel; alone=True opens
        it as a single document, without the list of files beside it.
        """
        if not idle:
            return self._show(path, alone)
        with self.page.expect_websocket(lambda line: "/channels" in line.url, timeout=60_000) as kernel:
            self._show(path, alone)
        # JupyterLab shows "idle" before there is a kernel; one that has spoken is there.
        kernel.value.wait_for_event("framereceived", timeout=60_000)
        self.page.locator(IDLE).first.wait_for(state="attached", timeout=60_000)
        return self

    def _show(self, path: str, alone: bool) -> Lesson:
        """Open a notebook where the page is; to load JupyterLab anew takes longer than most tests take."""
        if not alone and self.page.url.startswith(f"{self.root}/lab/"):
            self.page.evaluate(CLEARED)
            self.page.evaluate(ANOTHER, path)
        else:
            desk = "doc" if alone else f"lab/workspaces/test-{next(DESKS)}"  # a desk of its own: no tabs from before
            self.page.goto(f"{self.root}/{desk}/tree/{path}?token={self.token}")
        self.page.locator(".jp-Notebook .jp-Cell").first.wait_for()
        return self

    def run_all(self) -> None:
        """Run > Run All Cells, and wait until every cell has run and the kernel is idle.

        JupyterLab now and then says "idle" before its kernel is connected, and then a Run All does nothing, for a
        person too, who presses it again; so do we, twice.
        """
        self.page.evaluate(WATCH)
        for _ in range(3):
            self.page.get_by_role("menubar").get_by_role("menuitem", name="Run", exact=True).click()
            self.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
            with suppress(TimeoutError):
                self.page.wait_for_function("() => window.begun > 0", timeout=5_000, polling=OFTEN)
                break
        else:
            raise AssertionError("Run All Cells was chosen three times, and no cell began to run")
        self.page.wait_for_function(f"() => !({WAITING})()", timeout=120_000, polling=OFTEN)
        self.page.wait_for_function(DONE, timeout=120_000, polling=OFTEN)
        self.page.locator(IDLE).first.wait_for(state="attached", timeout=60_000)
        self.page.evaluate("() => window.watch.disconnect()")  # else it is asked at each change of the page
        stopped = self.page.locator(STOPPED)
        assert not stopped.count(), f"a cell stopped: {stopped.first.inner_text()[-600:]}"

    def save(self) -> None:
        """File > Save Notebook, and wait until nothing is left unsaved."""
        self.page.keyboard.press("Control+s")
        self.page.locator(".jp-mod-dirty").first.wait_for(state="detached")

    def output(self, cell: int) -> Locator:
        """What stands under the code cell of that number, counted from 1."""
        found = self.page.locator(CELLS).nth(cell - 1)
        found.scroll_into_view_if_needed()
        return found.locator(".jp-Cell-outputWrapper")

    def below(self, source: str) -> Locator:
        """What stands under the code cell that holds these words, which are looked for once."""
        found = self.page.locator(CELLS).filter(has_text=source).first
        found.scroll_into_view_if_needed()
        return self.output(1 + found.evaluate(WHICH, CELLS))

    def press(self, place: Locator, *keys: str) -> None:
        """Go to a control and press keys there."""
        place.focus()
        for key in keys:
            self.page.keyboard.press(key)

    def until_changed(self, place: Locator, before: str) -> str:
        """Wait until a place says something else than before, and give what it says now."""
        expect(place).not_to_have_text(before, timeout=10_000)
        return place.inner_text()

    def tab_through(self, first: Locator, place: Locator) -> list[str]:
        """Press Tab from `first` on, and give the roles and names of all that was reached inside `place`."""
        first.focus()
        reached = [self._focused()]
        while len(reached) < 200:
            self.page.keyboard.press("Tab")
            if not place.evaluate("place => place.contains(document.activeElement)"):
                return reached
            reached.append(self._focused())
        raise AssertionError(f"Tab did not leave again: {reached[:10]} ...")

    def _focused(self) -> str:
        """What has the focus, as it is announced."""
        return announced(self.page.locator(":focus").first.aria_snapshot().splitlines()[0])

    def check_access(self, include: str | Locator = OUTPUT) -> list[dict[str, Any]]:
        """What axe-core finds in our own output: a list of findings, each with rule, help and where."""
        if not self.page.evaluate("() => 'axe' in window"):
            self.page.evaluate(self.axe)
        places = self.page.locator(include) if isinstance(include, str) else include
        assert places.count(), f"nothing stands at {include}"
        found = places.evaluate_all("places => axe.run({include: places}, {resultTypes: ['violations']})")
        return [
            {"rule": v["id"], "help": v["help"], "where": [n["html"][:200] for n in v["nodes"]]}
            for v in found["violations"]
        ]

    def assert_open_to_all(self, include: str | Locator = OUTPUT) -> None:
        """No finding of axe-core in our own output."""
        found = self.check_access(include)
        assert not found, json.dumps(found, indent=1)

    def picture(self, path: Path) -> None:
        """A screenshot of what is to be seen, for people to look at: where HERBCALC_PICTURES asks for them."""
        if "HERBCALC_PICTURES" not in os.environ:
            return
        path.parent.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=str(path))
