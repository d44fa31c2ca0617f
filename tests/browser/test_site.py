"""The browser-only site: nothing but its own files is fetched, a lesson works, and answers outlive the page.

The site is built as `python3 -m herbcalc site` builds it (again only when something changed), and served from a
folder below the root of its host, as many web hosts do. Everything that the browser asks of any other host goes to a
proxy that writes it down and serves nothing.
"""

from __future__ import annotations

import gzip
import json
import os
import re
import shutil
import threading
import time
from collections.abc import Iterator
from functools import partial
from http.server import BaseHTTPRequestHandler, SimpleHTTPRequestHandler, ThreadingHTTPServer
from itertools import count
from pathlib import Path
from urllib.parse import unquote

import pytest
from conftest import PROJECTOR, at_work
from driver import OUTPUT, Lesson, book_of
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from herbcalc import homework, site
from herbcalc.homework import in_class, results
from herbcalc.site import laying, offline

BELOW = "classes/alder-lane"  # where on its host the site is put
PATIENCE = 240  # s from an empty browser to a lesson run to its end; a quiet computer takes 12 to 20
BROWSERS_OWN = {"CONNECT content-autofill.googleapis.com:443"}  # Chromium's own question about boxes to type in
LESSON = "workbook/05_plant_water.ipynb"
PANEL, ITEM = "here.panel()", "here.item(2)"
WHO = ("fern7", 12)
# Which cells of code are folded away, and of these two kinds those that stand the other way round.
FOLDED = """() => {
    const cells = [...document.querySelectorAll('.jp-Notebook .jp-CodeCell')]
    const folded = cell => !cell.querySelector('.cm-editor')?.offsetHeight
    const text = cell => cell.querySelector('.jp-Cell-inputWrapper').textContent
    const machinery = cell => /here\\.|from herbcalc.show import lesson/.test(text(cell))
    return {
        folded: cells.filter(folded).length,
        open: cells.filter(cell => !folded(cell)).length,
        amiss: cells.filter(cell => folded(cell) !== machinery(cell)).length,
    }
}"""


class Nowhere(BaseHTTPRequestHandler):
    """A proxy that writes down what it is asked for, and answers that there is no such thing."""

    asked: list[str]

    def refuse(self) -> None:
        self.asked.append(f"{self.command} {self.path}")
        self.send_error(502)

    do_GET = do_POST = do_HEAD = do_CONNECT = refuse  # names that the library looks for

    def log_message(self, *_: object) -> None:
        """Nothing on the screen."""


CHECK = "workbook/check.ipynb"
EVERYTHING = """
import json, os, sys
from pathlib import Path
from IPython.utils.capture import capture_output

def look():
    os.environ["HERBCALC_HOME"] = "/tmp/nobody"  # as the notebooks were stored: nobody has worked here yet
    looked, differ = 0, []
    for path in sorted(Path().glob("*.ipynb")):
        code = [cell for cell in json.loads(path.read_text())["cells"] if cell["cell_type"] == "code"]
        for number, cell in enumerate([] if path.name == "check.ipynb" else code):
            with capture_output() as caught:
                get_ipython().run_cell("".join(cell["source"]))
            said = ["".join(out["text"]) for out in cell["outputs"] if out["output_type"] == "stream"]
            said += ["\\n".join(out["traceback"]) for out in cell["outputs"] if out["output_type"] == "error"]
            looked += bool(said)
            if number and caught.stdout.strip() != "\\n".join(said).strip():
                differ.append([path.name, "".join(cell["source"]), caught.stdout])
    return looked, differ, sorted({"pandas", "scipy"} & sys.modules.keys())

print("LOOKED", json.dumps(look()))
"""


# A page keeps answers one after the other, as fast as it can, and stalls now and then between reading the file and
# writing it back. Python says which were acknowledged.
TABS = 20  # answers of each page
KEEPING = f"""
from pathlib import Path
import time
from herbcalc import homework, person
from herbcalc.homework import results
usual, calls = results._write, []
def stalling(*given):
    calls.append(0)
    time.sleep(0.7 * (len(calls) % LATE == 0))  # not both of them at once
    usual(*given)
results._write = stalling
me, kept = person.me(), []
item, file = homework.item(5, 2, me.class_code, me.number), person.folder() / "two-tabs.jsonl"
for number in range({TABS}):
    results.append(file, results.answer_to(item, f"PAGE {{number}}", day="2026-03-02"))
    kept.append(number)
results._write = usual
print("KEPT", len(kept))
"""
READ = """
answers, notes = results.read(file)
print("READ", json.dumps([[one.typed for one in answers], notes]))
file.unlink()
"""
# Whether Python began before JupyterLite could ask for it: before the part that asks was fetched.
BEGUN = """() => {
    const from = part => performance.getEntriesByType('resource').find(({name}) => part.test(name))?.startTime
    return from(/early[.]js$/) < from(/pyodide-kernel-extension[/]static[/][^r][^/]*[.]js/)
}"""
# Have Python in a page run something; what it prints comes back when that is done.
BEGIN = """code => {
    const {kernel} = jupyterapp.shell.currentWidget.sessionContext.session
    const asked = kernel.requestExecute({code})
    let said = ''
    asked.onIOPub = ({content}) => { said += content.text ?? content.evalue ?? '' }
    window.told = asked.done.then(() => said)
    return null
}"""


class Host:
    """The site behind a plain web server, which can be stopped; with one notebook more, for a look at all others.

    Python's packages are kept back until `given` is set.
    """

    def __init__(self, folder: Path, root: Path) -> None:
        place = root / BELOW
        place.parent.mkdir()
        shutil.copytree(folder, place)
        with_check(place)
        self.server, self.given = site.server(root, 0), threading.Event()
        self.server.RequestHandlerClass = self.late(self.server.RequestHandlerClass)
        self.address = f"http://127.0.0.1:{self.server.server_port}/{BELOW}"
        self.running = True
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def late(self, usual: partial[SimpleHTTPRequestHandler]) -> partial[SimpleHTTPRequestHandler]:
        """What answers a question as `usual` does, but for one that has to wait."""
        given = self.given

        class Late(usual.func):
            def do_GET(self) -> None:
                if self.path.endswith(laying.PACKAGES):
                    given.wait(PATIENCE)
                super().do_GET()

        return partial(Late, **usual.keywords)

    def stop(self) -> None:
        """From now on nobody answers at this address."""
        if self.running:
            self.server.shutdown()
            self.server.server_close()
        self.running = False


def with_check(place: Path) -> None:
    """Put the notebook that looks at all others into a site, as its build would, and let a test ask its Python."""
    settings = place / "jupyter-lite.json"
    told = json.loads(settings.read_text(encoding="utf-8"))
    told["jupyter-config-data"]["exposeAppInBrowser"] = True
    settings.write_text(json.dumps(told), encoding="utf-8")
    book_of(place / "files" / CHECK, "hre.panel()", EVERYTHING)
    book = json.loads((place / "files" / CHECK).read_text(encoding="utf-8"))
    book["metadata"]["kernelspec"] = laying.KERNELSPEC
    (place / "files" / CHECK).write_text(json.dumps(book), encoding="utf-8")
    listed = place / "api" / "contents" / "workbook" / "all.json"
    folder = json.loads(listed.read_text(encoding="utf-8"))
    lesson = next(one for one in folder["content"] if one["path"] == LESSON)
    folder["content"].append({**lesson, "name": Path(CHECK).name, "path": CHECK})
    listed.write_text(json.dumps(folder), encoding="utf-8")
    shutil.move(place / offline.THEIRS, place / offline.WORKER)
    offline.lay_worker(place)


@pytest.fixture(scope="module")
def host(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Host]:
    """The site, served from a folder below the root of its host."""
    host = Host(folder, tmp_path_factory.mktemp("host"))
    yield host
    host.stop()


@pytest.fixture(scope="module")
def elsewhere() -> Iterator[tuple[str, list[str]]]:
    """The address of the proxy that serves nothing, and what it was asked for."""
    asked: list[str] = []
    kind = type("Nowhere", (Nowhere,), {"asked": asked})
    with at_work(ThreadingHTTPServer(("127.0.0.1", 0), kind)) as address:
        yield address, asked


@pytest.fixture(scope="module")
def student(chromium: Browser, elsewhere: tuple[str, list[str]]) -> Iterator[BrowserContext]:
    """An empty browser profile that reaches this computer and nothing else."""
    proxy = {"server": elsewhere[0], "bypass": "127.0.0.1"}
    context = chromium.new_context(viewport=PROJECTOR, reduced_motion="reduce", proxy=proxy, accept_downloads=True)
    context.set_default_timeout(60_000)
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

    def run_early(self, last: str) -> Visit:
        """Choose Run All Cells without waiting for Python, and wait until something stands below the last cell."""
        self.choose_run_all()
        self.below(last).locator(".jupyter-widgets").first.wait_for(timeout=PATIENCE * 1000)
        return self

    def choose_run_all(self) -> None:
        """As soon as there is a cell to be seen."""
        self.page.locator(".jp-Notebook .jp-Cell").first.wait_for()
        self.page.get_by_role("menubar").get_by_role("menuitem", name="Run", exact=True).click()
        self.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()


# One evening, in this order: the start page, the front page, a lesson, the network gone. To open a page with Python
# in it takes longer than all that is looked at there, so each one is opened once.


@pytest.fixture(scope="module")
def front(student: BrowserContext, host: Host, axe: str, start: Visit) -> Visit:
    """The front page."""
    page = student.new_page()
    page.goto(f"{host.address}/")
    return Visit(page, host.address, axe)


@pytest.fixture(scope="module")
def start(student: BrowserContext, host: Host) -> Visit:
    """The start page, opened by somebody who has never been here and who does not wait for Python."""
    visit = Visit(student.new_page(), host.address)
    visit.page.goto(f"{host.address}/lab/index.html?path=workbook/00_start.ipynb")
    visit.choose_run_all()
    expect(visit.page.get_by_role("status").filter(has_text="the page is waking up")).to_be_visible()
    host.given.set()
    visit.below("here.load_again()").locator(".jupyter-widgets").first.wait_for()
    return visit


@pytest.fixture(scope="module")
def lesson5(student: BrowserContext, host: Host, axe: str, start: Visit, record_testsuite_property) -> Visit:
    """Lesson 5, all of it run by somebody who does not wait for Python."""
    page = student.new_page()
    begun = time.monotonic()
    page.goto(f"{host.address}/lab/index.html?path={LESSON}")
    visit = Visit(page, host.address, axe).run_early("here.bench()")
    record_testsuite_property("site_lesson_5_s", round(time.monotonic() - begun, 1))
    return visit


def test_on_a_first_visit_python_begins_with_the_page(start):
    """Run All was chosen before there was any Python, and nothing was lost."""
    assert start.page.evaluate(BEGUN)


def test_the_start_page_shows_the_path_and_asks_once_who_works(start):
    begin = start.below("here.path()").get_by_role("link", name=re.compile("lesson 1, Ounces"))
    expect(begin.first).to_be_visible()
    practice = start.below("here.practice()")
    expect(practice.get_by_role("textbox")).to_be_visible()
    panel = start.below(PANEL)
    panel.get_by_role("textbox", name="Class code").fill("Fern 7")
    panel.get_by_role("textbox", name="Own number").fill("12")
    start.press(panel.get_by_role("button", name="Keep these"), "Enter")
    expect(panel.get_by_role("status").filter(has_text="fern7")).to_be_visible()


def test_the_front_page_says_when_the_site_is_kept(front):
    """It is open to all, and no other host is asked for anything."""
    front.assert_open_to_all("main")
    expect(front.page.get_by_role("status")).to_have_text(
        "Ready: in this browser the workbook now opens without a network too.", timeout=PATIENCE * 1000
    )


def test_run_all_may_be_chosen_at_once_and_the_machinery_stays_folded(lesson5):
    """Nothing was lost that was chosen as soon as the page was seen; what only opens something is folded."""
    expect(lesson5.below("here = lesson(5)").get_by_text("Class fern7, own number 12")).to_be_visible()
    shown = lesson5.page.evaluate(FOLDED)
    assert shown["folded"] >= 12
    assert shown["open"] >= 4
    assert not shown["amiss"], "a cell is folded that is read, or open that is machinery"


def test_a_dial_moves_the_picture(lesson5):
    panel = lesson5.below(PANEL)
    lesson5.press(panel.get_by_role("button", name="Show me"), "Enter")
    said = panel.get_by_role("status").filter(has_text=re.compile(r"\d"))
    expect(said).to_contain_text("29.1 % vol")
    picture = panel.get_by_role("img", name=re.compile(r"\S")).first
    before, drawn = said.inner_text(), picture.inner_html()
    water = panel.get_by_role("slider", name="Water in the plant")
    lesson5.press(water, "ArrowLeft")
    lesson5.until_changed(said, before)
    assert picture.inner_html() != drawn
    expect(water).to_be_focused()
    lesson5.press(water, "ArrowRight")
    expect(said).to_have_text(before)


def test_a_gap_is_answered_at_once(lesson5):
    gap, question = lesson5.below("here.gap(1)"), in_class.question(5, 1)
    gap.get_by_role("textbox").fill(question.answers()[0])
    lesson5.press(gap.get_by_role("button", name="Check"), "Enter")
    expect(gap.get_by_role("status")).to_contain_text("Yes, that is it.")


def test_homework_is_answered(lesson5):
    item, card = homework.item(5, 2, *WHO), lesson5.below(ITEM)
    expect(card.get_by_text(item.prompt[:60])).to_be_visible()
    for typed, told in ((item.slip_answers()["m33"], "Not yet"), (item.answers()[0], "Yes, that is it.")):
        card.get_by_role("textbox", name="Your answer").fill(typed)
        lesson5.press(card.get_by_role("radio", name="fairly"), "Space")
        lesson5.press(card.get_by_role("button", name="Check"), "Enter")
        expect(card.get_by_role("status")).to_contain_text(told)
    lesson5.assert_open_to_all(OUTPUT)


def test_two_pages_at_once_lose_no_answer(start, lesson5):
    """Each of them reads the file whole and writes it back whole, at the same moment."""
    pages = {"start": start.page, "lesson": lesson5.page}
    for (name, page), late in zip(pages.items(), ("5", "7"), strict=True):
        page.evaluate(BEGIN, KEEPING.replace("PAGE", name).replace("LATE", late))
    for page in pages.values():
        assert page.evaluate("() => told") == f"KEPT {TABS}\n"
    start.page.evaluate(BEGIN, "import json" + READ)
    answers, notes = json.loads(start.page.evaluate("() => told").removeprefix("READ "))
    assert notes == []
    assert sorted(answers) == sorted(f"{name} {number}" for name in pages for number in range(TABS))


def test_the_path_and_the_file_to_hand_in_hold_what_another_page_kept(start, tmp_path):
    """The start page was open all the while; its cells run again, it knows."""
    start.page.bring_to_front()  # in a page behind others a browser lets everything wait
    start.run_all()
    solved = start.below("here.path()").get_by_role("listitem").filter(has_text="The plant brings its own water")
    expect(solved.first).to_contain_text("✓")
    hand_in = start.below("here.hand_in()")
    start.press(hand_in.get_by_role("button", name="Save my answers to hand in"), "Enter")
    link = hand_in.get_by_role("link", name=re.compile("among my downloads"))
    with start.page.expect_download() as saved:
        link.click()
    saved.value.save_as(tmp_path / "handed-in.jsonl")
    assert saved.value.suggested_filename == "answers-fern7-12.jsonl"
    rows = [json.loads(line) for line in (tmp_path / "handed-in.jsonl").read_text(encoding="utf-8").splitlines()]
    item = homework.item(5, 2, *WHO)
    assert [row["typed"] for row in rows if row["item"] == "5.2"] == [item.slip_answers()["m33"], item.answers()[0]]
    again = start.below("here.load_again()")
    more = results.answer_to(homework.item(5, 1, *WHO), "9 mL", "sure").line()
    text = (tmp_path / "handed-in.jsonl").read_text(encoding="utf-8") + more
    file = {"name": "answers-fern7-12 (1).jsonl", "mimeType": "", "buffer": text.encode()}
    again.get_by_label("The file with your answers").set_input_files(file)
    expect(again.get_by_role("status")).to_contain_text(f"Here already: {len(rows)} lines. To be added: 1.")
    start.press(again.get_by_role("button", name="Add these to mine"), "Enter")
    expect(again.get_by_role("status")).to_contain_text("Added: 1 line of answers.")


def test_without_a_network_a_reload_brings_everything_back(lesson5, start, front, host):
    start.page.close()
    host.stop()
    lesson5.page.reload()
    lesson5.run_early("here.bench()")
    begun = [worker.url.rsplit("/", 1)[1] for worker in lesson5.page.workers]
    assert begun == ["early.js"], "Python begins only once"
    assert lesson5.page.evaluate(BEGUN)
    expect(lesson5.below(ITEM).get_by_role("textbox")).to_have_value(homework.item(5, 2, *WHO).answers()[0])
    front.page.reload()
    expect(front.page.get_by_role("status")).to_have_text(re.compile("^Ready:"))
    lesson5.page.close()


def test_every_lesson_prints_here_what_it_prints_at_home(student, host, front):
    """Another Python and older libraries, the same figures; a refusal is a sentence, and the cells below it go on.

    Before any first cell a blunder is a sentence too; and no lesson, 1 to the last, loads what the site leaves out.
    """
    visit = Visit(student.new_page(), host.address)(CHECK)
    visit.page.get_by_role("menubar").get_by_role("menuitem", name="Run", exact=True).click()
    visit.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
    expect(visit.output(1)).to_contain_text('Nothing here is called "hre". Did you mean "here"?')
    done = visit.output(2).get_by_text("LOOKED").last
    done.wait_for(timeout=PATIENCE * 1000)
    told = done.inner_text()
    looked, differ, heavy = json.loads(told.removeprefix("LOOKED "))
    assert looked > 30
    assert not differ
    assert not heavy


def test_no_other_host_was_asked_for_anything(front, elsewhere):
    assert set(elsewhere[1]) <= BROWSERS_OWN, "something was asked of another host"
    front.page.evaluate("fetch('http://example.org/').catch(() => 0)")
    assert "GET http://example.org/" in elsewhere[1], "what goes elsewhere would have been seen"


SECONDS = count(1_000_000_000)  # a host tells files apart by their second; two sites here are made within one


def a_small_site(place: Path, words: str) -> None:
    """A site of two files that are fetched one after the other, and our worker, put in place of what stood there."""
    (place / "part.txt").write_text(words, encoding="utf-8")
    front = (laying.DATA / "front.html").read_text(encoding="utf-8")
    (place / "index.html").write_text(f"<p>{words}</p>{front}", encoding="utf-8")
    (place / offline.WORKER).write_text("", encoding="utf-8")  # where JupyterLite puts its own
    (place / offline.THEIRS).unlink(missing_ok=True)
    offline.lay_worker(place)
    made = next(SECONDS)
    for file in place.iterdir():
        os.utime(file, (made, made))


BOTH = """async () => [document.querySelector("p").textContent, await (await fetch("part.txt")).text()]"""


def test_a_newer_site_takes_the_place_of_the_older_one_whole(chromium, tmp_path):
    a_small_site(tmp_path, "old")
    context = chromium.new_context()
    context.set_default_timeout(30_000)
    with at_work(site.server(tmp_path, 0)) as address:
        page = context.new_page()
        page.goto(address)
        said = page.get_by_role("status")
        expect(said).to_have_text(re.compile("^Ready:"))
        a_small_site(tmp_path, "new")
        page.reload()
        expect(said).to_have_text(re.compile("^A newer workbook has been fetched"))
        assert page.evaluate(BOTH) == ["old", "old"]
        page.close()
        page = context.new_page()
        page.goto(address)
        assert page.evaluate(BOTH) == ["new", "new"]
        expect(said_on(page)).to_have_text(re.compile("^Ready:"))
        # A release that is only half there is not kept, and the page says so.
        a_small_site(tmp_path, "newest")
        (tmp_path / "part.txt").write_text("cut off", encoding="utf-8")
        page.reload()
        expect(said_on(page)).to_have_text(re.compile("^Ready:"))
        assert page.evaluate(BOTH) == ["new", "new"]
        context.close()
        context = chromium.new_context()
        page = context.new_page()
        page.goto(address)
        expect(said_on(page)).to_have_text(re.compile("^Not ready yet: not all of it could be fetched"))
    context.close()


def said_on(page: Page) -> Locator:
    """The line of the front page about the network."""
    return page.get_by_role("status")


def test_every_package_that_python_loads_is_in_the_site(folder):
    python = folder / "static" / "pyodide"
    whole = gzip.decompress((python / laying.PACKAGES).read_bytes())
    listed = json.loads(whole[4 : 4 + int.from_bytes(whole[:4], "little")])
    packages = {name.split("/")[0] for name, _ in listed}
    assert {"herbcalc", "numpy", "pint", "matplotlib", "ipywidgets", "anywidget", "psygnal"} <= packages
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
