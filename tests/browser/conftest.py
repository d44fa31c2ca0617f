"""The workbook in a real browser: started by the README's command, driven by keyboard, names and roles.

What needs a Chromium is skipped where none is found; with HERBCALC_BROWSER=required it fails instead.
"""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from xdist.scheduler import LoadScopeScheduling

from herbcalc import person, site
from herbcalc.run import children, environment, lab, npm, ready
from tests.lacking import missing

sys.path.insert(
    0, str(Path(__file__).parent)
)  # the drivers beside this file are named as `from driver import Lesson`
from driver import CLEARED, Lesson

QUIET = [
    "--no-sandbox",  # the tests may run as root, in a container
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--no-first-run",
]
expect.set_options(timeout=20_000)  # a slow computer opens JupyterLab slowly
PROJECTOR = {"width": 1024, "height": 768}


# Tests of these files share nothing: any worker may take the next one. Of the others a file stays whole.
EACH_ALONE = {"test_every_lesson"}


class Dealt(LoadScopeScheduling):
    """Deals tests out to workers that run side by side: what has most tests first."""

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.split("::")[0]
        return nodeid if Path(file).stem in EACH_ALONE else file


@pytest.hookimpl(optionalhook=True)  # unknown where the tests run one after the other
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Dealt:
    return Dealt(config, log)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for all tests; each page has a profile of its own."""
    program = ready.chromium()
    if not program:
        missing("no Chromium was found")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=QUIET)
        yield browser
        browser.close()


@contextmanager
def at_work(server: ThreadingHTTPServer) -> Iterator[str]:
    """A server that serves, with its address."""
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="session")
def folder() -> Path:
    """The built site."""
    to = site.ROOT / ".site" / "site"
    to.parent.mkdir(exist_ok=True)
    try:
        with children.alone(to.parent / ".lock", lambda: None):  # tests side by side build it once
            site.build(to)
    except site.NotFetched as trouble:
        missing(str(trouble))
    return to


class Workbook:
    """A running workbook: its address, its token, and the person's folder."""

    def __init__(self, address: str, home: Path) -> None:
        self.root, self.token = re.match(r"(http://[^/]+).*token=(\w+)", address).groups()
        self.address, self.home = address, home


def first_port() -> int:
    """Where a free door is looked for: a hundred doors apart for tests that run side by side."""
    worker = os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw")
    return 8930 + 100 * int(worker)


def reachable(settings: Path) -> None:
    """Let the tests ask JupyterLab's page for another notebook, and leave out its look for Node at each opening."""
    for name, told in {
        "jupyter_lab_config.json": {"LabApp": {"expose_app_in_browser": True}},
        "labconfig/page_config.json": {"buildAvailable": False, "buildCheck": False},
    }.items():
        file = settings / "config" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(json.dumps(told), encoding="utf-8")


@contextmanager
def started(folder: Path) -> Iterator[Workbook]:
    """`python -m herbcalc` without a display, with a fresh person's folder below `folder`; ended by Ctrl C."""
    surroundings = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    surroundings |= {"HERBCALC_HOME": str(folder / "home"), "HERBCALC_SETTINGS": str(folder / "settings")}
    surroundings |= {"HERBCALC_ENV": "here"}
    words = [sys.executable, "-m", "herbcalc", "--port", str(lab.free_port(first_port()))]
    reachable(folder / "settings")
    story = folder / "screen.txt"
    place = {"cwd": environment.CHECKOUT, "env": surroundings, "start_new_session": True}
    with story.open("w") as screen, subprocess.Popen(words, stdout=screen, stderr=screen, **place) as process:
        try:
            yield Workbook(address(story, process), folder / "home")
        finally:
            if os.name == "nt":
                process.terminate()
            else:
                os.killpg(
                    process.pid, signal.SIGINT
                )  # as Ctrl C in a terminal: it reaches the command and the server
                assert process.wait(timeout=30) == 0, story.read_text()


def address(story: Path, process: subprocess.Popen[bytes]) -> str:
    """The address that the command printed, once the server answers there."""
    until = time.monotonic() + 60
    while time.monotonic() < until and process.poll() is None:
        if found := re.search(r"http://localhost:\S+", story.read_text()):
            with suppress(OSError), urlopen(found.group()) as answer:
                assert answer.status == 200
                return found.group()
        time.sleep(0.2)
    raise AssertionError(f"the workbook did not open:\n{story.read_text()}")


@pytest.fixture(scope="session")
def workbook(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbook]:
    """The workbook of number 1 of class "practice", in a fresh folder."""
    folder = tmp_path_factory.mktemp("sums")
    person.save_me("practice", 1, folder / "home")
    with started(folder) as running:
        yield running


@pytest.fixture(scope="session")
def window(chromium: Browser) -> Iterator[list[Page]]:
    """The page that tests lend each other, once there is one."""
    lent: list[Page] = []
    yield lent
    for page in lent:
        page.context.close()


@pytest.fixture
def page(request: pytest.FixtureRequest, chromium: Browser, window: list[Page]) -> Iterator[Page]:
    """A page as large as a poor projector's picture; JupyterLab may be open in it, from a test before."""
    if not window:
        window.append(new_context(chromium).new_page())
    failed = request.session.testsfailed
    yield window[0]
    if request.session.testsfailed > failed:  # nobody knows what stands there now
        window.pop().context.close()
    else:
        window[0].set_viewport_size(PROJECTOR)
        if window[0].evaluate("() => 'jupyterapp' in window"):
            window[0].evaluate(CLEARED)  # what stays open is saved every two minutes, whoever works on it elsewhere


@pytest.fixture
def fresh(chromium: Browser) -> Iterator[Page]:
    """A page of its own, for tests that open the workbook as nobody has before or leave something behind."""
    context = new_context(chromium)
    yield context.new_page()
    context.close()


def new_context(chromium: Browser) -> BrowserContext:
    """A profile of its own, as somebody has who opens the browser for the first time."""
    context = chromium.new_context(viewport=PROJECTOR, reduced_motion="reduce")
    context.set_default_timeout(30_000)
    return context


@pytest.fixture
def lesson(page: Page, workbook: Workbook, axe: str) -> Lesson:
    """An opener: `lesson("workbook/05_plant_water.ipynb")` gives the notebook, opened and with an idle kernel."""
    return Lesson(page, workbook.root, workbook.token, axe)


@pytest.fixture(scope="module")
def shelf(chromium: Browser) -> Iterator[dict[str, Lesson]]:
    """The notebooks that the tests of a file share, each in a page of its own.

    Of a file and no longer: two pages of one notebook share its kernel, and neither can be relied on then.
    """
    lent: dict[str, Lesson] = {}
    yield lent
    for lesson in lent.values():
        lesson.page.context.close()


@pytest.fixture
def opened(
    request: pytest.FixtureRequest, shelf: dict[str, Lesson], chromium: Browser, workbook: Workbook, axe: str
) -> Iterator[Callable[[str], Lesson]]:
    """An opener of notebooks that tests share: opened and run once, each stands as the test before left it.

    To open a notebook and run it takes longer than most tests take with it.
    """
    asked: set[str] = set()

    def opener(path: str) -> Lesson:
        asked.add(path)
        if path not in shelf:
            shelf[path] = Lesson(new_context(chromium).new_page(), workbook.root, workbook.token, axe)(path)
            shelf[path].run_all()
        shelf[path].page.bring_to_front()
        return shelf[path]

    failed = request.session.testsfailed
    yield opener
    for path in asked & shelf.keys():
        if request.session.testsfailed > failed:  # nobody knows what stands there now
            shelf.pop(path).page.context.close()
        else:
            shelf[path].page.set_viewport_size(PROJECTOR)


@pytest.fixture(scope="session")
def axe() -> str:
    """The text of axe-core (fetched once by npm), which looks for what keeps people out."""
    try:
        return npm.fetched("axe-core@4", "axe-core/axe.min.js").read_text(encoding="utf-8")
    except environment.NotReady as refusal:
        missing(str(refusal))
