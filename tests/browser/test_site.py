"""The browser-only site: nothing but its own files is fetched, a lesson works, and answers outlive the page.

The site is built as `python3 -m herbcalc site` builds it (again only when something changed), and served from a
folder below the root of its host, as many web hosts do. Everything that the browser asks of any other host goes to a
proxy that writes it down and serves nothing.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import unquote

import pytest
from conftest import PROJECTOR, missing
from driver import OUTPUT, Lesson
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from herbcalc import homework, site

BELOW = "classes/alder-lane"  # where on its host the site is put
PATIENCE = 120  # s from an empty browser to a lesson run to its end; a quiet computer takes 12 to 20
BROWSERS_OWN = {"CONNECT content-autofill.googleapis.com:443"}  # Chromium's own question about boxes to type in
LESSON = "workbook/05_plant_water.ipynb"
PANEL, ITEM = "here.panel()", "here.item(2)"


class Nowhere(BaseHTTPRequestHandler):
    """A proxy that writes down what it is asked for, and answers that there is no such thing."""

    asked: list[str]

    def refuse(self) -> None:
        self.asked.append(f"{self.command} {self.path}")
        self.send_error(502)

    do_GET = do_POST = do_HEAD = do_CONNECT = refuse  # names that the library looks for

    def log_message(self, *_: object) -> None:
        """Nothing on the screen."""


@contextmanager
def at_work(server: ThreadingHTTPServer) -> Iterator[str]:
    """A server that serves, with its address."""
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def folder() -> Path:
    """The built site."""
    to = site.ROOT / ".site" / "site"
    try:
        site.build(to)
    except site.NotFetched as trouble:
        missing(str(trouble))
    return to


@pytest.fixture(scope="module")
def host(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the site, served by a plain web server."""
    root = tmp_path_factory.mktemp("host")
    (root / BELOW).parent.mkdir()
    shutil.copytree(folder, root / BELOW)
    with at_work(site.server(root, 0)) as address:
        yield f"{address}/{BELOW}"


@pytest.fixture(scope="module")
def elsewhere() -> Iterator[tuple[str, list[str]]]:
    """The address of the proxy that serves nothing, and what it was asked for."""
    asked: list[str] = []
    kind = type("Nowhere", (Nowhere,), {"asked": asked})
    with at_work(ThreadingHTTPServer(("127.0.0.1", 0), kind)) as address:
        yield address, asked


@pytest.fixture
def student(chromium: Browser, elsewhere: tuple[str, list[str]]) -> Iterator[BrowserContext]:
    """An empty browser profile that reaches this computer and nothing else."""
    proxy = {"server": elsewhere[0], "bypass": "127.0.0.1"}
    context = chromium.new_context(viewport=PROJECTOR, reduced_motion="reduce", proxy=proxy, accept_downloads=True)
    context.set_default_timeout(30_000)
    yield context
    context.close()


class Visit(Lesson):
    """One notebook of the site, in one page of a student's browser."""

    def __init__(self, page: Page, host: str, axe: str = "") -> None:
        super().__init__(page, host, "", axe)

    def __call__(self, path: str, idle: bool = True) -> Visit:
        self.page.goto(f"{self.root}/lab/index.html?path={path}")
        return self.ready()

    def ready(self) -> Visit:
        """Wait until the notebook is shown and the bottom edge says that Python, inside the page, is idle.

        (The mark in the toolbar says so a moment too early, before there is any Python.)
        """
        self.page.locator(".jp-Notebook .jp-Cell").first.wait_for()
        self.page.get_by_text("Python (Pyodide) | Idle").wait_for(timeout=90_000)
        return self


def answer(visit: Visit, card: Locator, typed: str) -> None:
    """Answer by keyboard: type, say how sure, press Check."""
    card.get_by_role("textbox", name="Your answer").fill(typed)
    visit.press(card.get_by_role("radio", name="fairly"), "Space")
    visit.press(card.get_by_role("button", name="Check"), "Enter")


def test_a_student_with_only_a_browser(student, host, elsewhere, record_property, tmp_path):
    """From the front page through a lesson to an answer that is still there after coming back, and can be saved."""
    page = student.new_page()
    begun = time.monotonic()
    page.goto(f"{host}/")
    page.get_by_role("link", name=re.compile("plant brings its own water")).first.click()
    visit = Visit(page, host).ready()
    visit.run_all()
    expect(visit.below("here = lesson(5)").get_by_text("Lesson 5 is ready")).to_be_visible()
    took = time.monotonic() - begun
    record_property("empty_browser_to_whole_lesson_s", round(took, 1))
    print(f"from the front page in an empty browser to the whole lesson run: {took:.1f} s")
    assert took < PATIENCE

    panel = visit.below(PANEL)
    visit.press(panel.get_by_role("button", name="Show me"), "Enter")
    said = panel.get_by_role("status").filter(has_text=re.compile(r"\d"))
    expect(said).to_contain_text("29.1 % vol")
    picture = panel.get_by_role("img", name=re.compile(r"\S")).first
    before, drawn = said.inner_text(), picture.inner_html()
    water = panel.get_by_role("slider", name="Water in the plant")
    visit.press(water, "ArrowLeft")
    visit.until_changed(said, before)
    assert picture.inner_html() != drawn
    expect(water).to_be_focused()
    visit.press(water, "ArrowRight")
    expect(said).to_have_text(before)

    item = homework.item(5, 2, "practice", 1)
    right = item.answers()[0]
    answer(visit, visit.below(ITEM), item.slip_answers()["m33"])
    expect(visit.below(ITEM).get_by_role("status")).to_contain_text("Not yet")
    answer(visit, visit.below(ITEM), right)
    expect(visit.below(ITEM).get_by_role("status")).to_contain_text("Yes, that is it.")

    page.close()
    again = Visit(student.new_page(), host)(LESSON)
    again.run_all()
    expect(again.below(ITEM).get_by_role("textbox")).to_have_value(right)
    kept = saved_from_the_list(again.page, tmp_path / "handed-in.jsonl")
    assert [row["typed"] for row in kept if row["item"] == "5.2"] == [item.slip_answers()["m33"], right]

    assert set(elsewhere[1]) <= BROWSERS_OWN, "something was asked of another host"
    again.page.evaluate("fetch('http://example.org/').catch(() => 0)")
    assert "GET http://example.org/" in elsewhere[1], "what goes elsewhere would have been seen"


def saved_from_the_list(page: Page, to: Path) -> list[dict[str, object]]:
    """Save the result file as a student does: in the list of files, right-click, Download."""
    files = page.get_by_role("region", name="File Browser Section")
    files.locator(".jp-BreadCrumbs-home").click()
    files.get_by_text("my-herb-sums", exact=True).dblclick()
    files.get_by_text("answers-practice-1.jsonl", exact=True).click(button="right")
    with page.expect_download() as saved:
        page.get_by_role("menuitem", name="Download", exact=True).click()
    saved.value.save_as(to)
    return [json.loads(line) for line in to.read_text(encoding="utf-8").splitlines()]


def test_class_code_and_own_number_are_asked_once(student, host):
    start = Visit(student.new_page(), host)("workbook/00_start.ipynb")
    start.run_all()
    panel = start.below(PANEL)
    panel.get_by_role("textbox", name="Class code").fill("Fern 7")
    panel.get_by_role("textbox", name="Own number").fill("12")
    start.press(panel.get_by_role("button", name="Keep these"), "Enter")
    expect(panel.get_by_role("status").filter(has_text="fern7")).to_be_visible()
    start.page.close()
    visit = Visit(student.new_page(), host)(LESSON)
    visit.run_all()
    expect(visit.below("here = lesson(5)").get_by_text("Class fern7, own number 12")).to_be_visible()
    prompt = homework.item(5, 2, "fern7", 12).prompt
    expect(visit.below(ITEM).get_by_text(prompt[:60])).to_be_visible()


PRINTED = """() => [...document.querySelectorAll('.jp-Notebook .jp-CodeCell')].map(cell =>
    [...cell.querySelectorAll('.jp-OutputArea-output[data-mime-type="application/vnd.jupyter.stdout"]')]
        .map(output => output.textContent.trim()).join('\\n'))"""


@pytest.mark.parametrize("name", ["04_cutting_spirit", "08_drip_by_drip"])
def test_a_lesson_prints_here_what_it_prints_at_home(student, host, folder, name):
    """Another Python and older libraries, the same figures; a refusal is a sentence, and the cells below it go on."""
    visit = Visit(student.new_page(), host)(f"workbook/{name}.ipynb")
    visit.run_all()
    book = json.loads((folder / "files" / "workbook" / f"{name}.ipynb").read_text(encoding="utf-8"))
    cells = [cell for cell in book["cells"] if cell["cell_type"] == "code"]
    printed = visit.page.evaluate(PRINTED)
    assert len(printed) == len(cells)
    # The first cell greets by name, and 00_start has not been filled in here.
    for cell, here in list(zip(cells, printed, strict=True))[1:]:
        said = ["".join(out["text"]) for out in cell["outputs"] if out["output_type"] == "stream"]
        said += ["\n".join(out["traceback"]) for out in cell["outputs"] if out["output_type"] == "error"]
        assert here == "\n".join(said).strip(), "".join(cell["source"])


def test_axe_finds_nothing_in_what_is_ours(student, host, axe):
    page = student.new_page()
    page.goto(f"{host}/")
    front = Visit(page, host, axe)
    front.assert_open_to_all("main")
    visit = front(LESSON)
    visit.run_all()
    visit.below(PANEL)
    visit.assert_open_to_all(OUTPUT)


def test_every_file_that_python_loads_is_in_the_site(folder):
    python = folder / "static" / "pyodide"
    packages = json.loads((python / "pyodide-lock.json").read_text(encoding="utf-8"))["packages"]
    assert {"herbcalc", "numpy", "pint", "matplotlib", "ipywidgets", "anywidget", "psygnal"} <= packages.keys()
    for name, package in packages.items():
        wheel = python / package["file_name"]
        assert hashlib.sha256(wheel.read_bytes()).hexdigest() == package["sha256"], name
        assert set(package["depends"]) <= packages.keys(), name
    extensions = json.loads((folder / "jupyter-lite.json").read_text(encoding="utf-8"))["jupyter-config-data"]
    assert "anywidget" in [extension["name"] for extension in extensions["federated_extensions"]]


def test_no_letter_and_no_digit_does_anything_to_a_chosen_cell(folder):
    """The site has a JupyterLab of its own, so its own list of shortcuts is asked."""
    kept = {"Enter", "ArrowUp", "ArrowDown", "Shift ArrowUp", "Shift ArrowDown", "Shift Home", "Shift End"}
    settings = json.loads((folder / "overrides.json").read_text(encoding="utf-8"))
    off = settings["@jupyterlab/shortcuts-extension:shortcuts"]["shortcuts"]
    switched_off = {(one["command"], *one["keys"], one["selector"]) for one in off if one.get("disabled")}
    schemas = json.loads((folder / "build" / "schemas" / "all.json").read_text(encoding="utf-8"))
    for schema in (json.loads(one["schema"]) if isinstance(one["schema"], str) else one["schema"] for one in schemas):
        for one in schema.get("jupyter.lab.shortcuts", []):
            keys, selector = one.get("keys") or [""], one["selector"]
            if not keys[0] or re.search("Ctrl|Accel|Alt|Meta|Cmd", keys[0]) or " ".join(keys) in kept:
                continue
            if "jp-mod-commandMode" in selector or "data-jp-kernel-user" in selector:
                assert (one["command"], *keys, selector) in switched_off


def test_every_notebook_is_in_the_site_and_on_its_front_page(folder):
    wanted = {
        path.relative_to(site.ROOT).as_posix()
        for part in site.NOTEBOOKS
        for path in (site.ROOT / part).glob("*.ipynb")
    }
    page = (folder / "index.html").read_text(encoding="utf-8")
    assert {unquote(link) for link in re.findall(r'href="lab/index\.html\?path=([^"]+)"', page)} == wanted
    for path in wanted:
        assert json.loads((folder / "files" / path).read_text(encoding="utf-8"))["metadata"]["kernelspec"]["name"]
    assert not list((folder / "files").rglob("*.py"))
