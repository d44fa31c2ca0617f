"""Building the browser-only site: what is refused, in words, and what is laid into it. No network, no browser."""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import re
import subprocess
import sys
import threading
import zipfile
from pathlib import Path
from urllib.request import urlopen

import pytest

from herbcalc import launch, place, rules, site
from herbcalc.person import class_file
from herbcalc.run import environment
from herbcalc.site import laying, offline, parts, slim


def a_notebook(path, heading="# 5. A lesson", kernel="python3"):
    path.parent.mkdir(parents=True, exist_ok=True)
    cells = [{"cell_type": "markdown", "source": [f"{heading}\n", "words"]}, {"cell_type": "code", "source": "1"}]
    path.write_text(json.dumps({"cells": cells, "metadata": {"kernelspec": {"name": kernel}}}), encoding="utf-8")


@pytest.fixture
def checkout(tmp_path):
    """A small checkout: one lesson, its exercises, notes, and what does not belong into a site."""
    root = tmp_path / "checkout"
    a_notebook(root / "workbook" / "05_plant_water.ipynb")
    a_notebook(root / "workbook" / ".ipynb_checkpoints" / "05_plant_water-checkpoint.ipynb")
    a_notebook(root / "exercises" / "05_plant_water.ipynb", "# 5. Exercises <b>")
    (root / "workbook" / "teacher").mkdir()
    (root / "workbook" / "teacher" / "05_plant_water.md").write_text("notes", encoding="utf-8")
    (root / "workbook" / "teacher" / "overview.ipynb").write_text(
        "it is for the teacher's computer", encoding="utf-8"
    )
    (root / "workbook" / "conftest.py").write_text("", encoding="utf-8")
    (root / "herbcalc").mkdir()
    (root / "herbcalc" / "units.py").write_text("", encoding="utf-8")
    (root / "pyproject.toml").write_text(
        '[project]\ndependencies = ["numpy>=1.26", "Pint>=0.24; python_version > \'3\'"]', encoding="utf-8"
    )
    return root


def test_every_part_is_named_with_its_sha256():
    held = parts.parts()
    fetched = [held["runtime"], held["carrier"], *held["wheel"]]
    assert all(len(bytes.fromhex(part["sha256"])) == 32 for part in fetched)
    assert all("==" in package for package in held["tools"]["packages"])
    by_name = {wheel["name"]: wheel["file"].split("-")[1] for wheel in held["wheel"]}
    tools = dict(package.split("==") for package in held["tools"]["packages"])
    for shared in ("ipywidgets", "anywidget"):  # the page and Python must speak of the same version
        assert tools[shared] == by_name[shared]


def test_a_changed_file_is_not_used_and_is_named(tmp_path):
    wheel = tmp_path / "thing-1.0-py3-none-any.whl"
    wheel.write_bytes(b"as it was")
    good = hashlib.sha256(b"as it was").hexdigest()
    parts.must_match(wheel, good)
    wheel.write_bytes(b"as it was, and more")
    with pytest.raises(parts.SiteTrouble, match=r"thing-1\.0.* is not the one this build was tried with"):
        parts.must_match(wheel, good)
    assert not wheel.exists(), "the next build must not find it"
    with pytest.raises(parts.NotFetched, match="did not arrive"):
        parts.must_match(wheel, good)


def test_without_npm_it_says_what_to_do(tmp_path, monkeypatch):
    monkeypatch.setattr(parts.shutil, "which", lambda _: None)
    with pytest.raises(parts.NotFetched, match=r"npm is not on this computer.*sudo apt install npm"):
        parts.runtime(tmp_path)


def test_a_command_that_stops_is_told_with_its_last_lines(tmp_path):
    script = "print('no route to the host'); raise SystemExit(1)"
    with pytest.raises(parts.SiteTrouble, match=r"(?s)could not be fetched\..*no route to the host"):
        parts.run([parts.sys.executable, "-c", script], "It could not be fetched.")


def test_a_folder_with_other_things_in_it_is_left_alone(checkout, tmp_path):
    photos = tmp_path / "photos"
    photos.mkdir()
    (photos / "elder.jpg").write_bytes(b"x")
    with pytest.raises(site.SiteTrouble, match="left alone"):
        site.build(photos, checkout)
    assert (photos / "elder.jpg").exists()


def test_an_unchanged_site_is_not_built_again(checkout, tmp_path):
    to = tmp_path / "site"
    to.mkdir()
    (to / site.MARK).write_text(json.dumps({"stamp": site.stamp(checkout)}), encoding="utf-8")
    assert site.build(to, checkout) is False
    before = site.stamp(checkout)
    a_notebook(checkout / "workbook" / ".ipynb_checkpoints" / "more.ipynb")
    assert site.stamp(checkout) == before
    a_notebook(checkout / "workbook" / "05_plant_water.ipynb", "# 5. Another heading")
    assert site.stamp(checkout) != before


CLASS = 'class = "Fern 7"\nset_work = true\ncurrency = "£"\n\n[rules]\nfloor = 30\n'


def test_a_teachers_rules_come_with_the_site(checkout, tmp_path, monkeypatch):
    """The file lies where a lesson in the browser looks, says there what it says here, and makes another site."""
    sheet = tmp_path / "our class.toml"
    sheet.write_text(CLASS, encoding="utf-8")
    held = site.looked_through(sheet)
    laying.lay_notebooks(checkout, tmp_path / "contents")
    laying.lay_class(held, tmp_path / "contents")
    monkeypatch.setattr(place.sys, "platform", "emscripten")
    monkeypatch.setattr(place, "BROWSER_DRIVE", tmp_path / "contents")
    monkeypatch.delenv(place.VARIABLE)
    assert rules.load().floor == 30
    assert class_file.load().code == "Fern 7"
    assert site.stamp(checkout, held) != site.stamp(checkout)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[rules]\nfloor = 3\n", "floor .* it goes from 20 % vol to 60 % vol"),
        ("floor = 30\n", r"below a line that says \[rules\]"),
        ("[rules\n", "cannot be read"),
        ('class = "!"\n', "class is a class code in quotes, of letters and digits"),
        ('set_work = "yes"\n', "set_work is true or false"),
        ('[set]\nitems = ["5.99"]\n', "Item 5.1 would work"),
        ("[set]\nitems = 5\n", "a list with each in quotes"),
        ("shelfs = [40]\n", 'Did you mean "shelf"'),
        (None, "There is no file"),
    ],
)
def test_a_teachers_file_that_cannot_be_used_is_refused_before_anything_is_built(text, sentence, tmp_path, capsys):
    sheet = tmp_path / "class.toml"
    if text is not None:
        sheet.write_text(text, encoding="utf-8")
    assert site.carry_out(tmp_path / "site", sheet) == 1
    said = capsys.readouterr().err
    assert re.search(sentence, said)
    assert "class.toml" in said
    assert not (tmp_path / "site").exists()


def test_outside_a_checkout_it_says_so(tmp_path):
    with pytest.raises(site.SiteTrouble, match="from a checkout"):
        site.build(tmp_path / "site", tmp_path)


def test_notebooks_and_notes_go_in_and_tests_stay_out(checkout, tmp_path):
    found = laying.lay_notebooks(checkout, tmp_path / "contents")
    laid = sorted(p.relative_to(tmp_path / "contents").as_posix() for p in (tmp_path / "contents").rglob("*.*"))
    assert laid == [
        "exercises/05_plant_water.ipynb",
        "workbook/05_plant_water.ipynb",
        "workbook/teacher/05_plant_water.md",
    ]
    for where in found:
        book = json.loads((tmp_path / "contents" / where).read_text(encoding="utf-8"))
        assert book["metadata"]["kernelspec"]["name"] == "python", "the name of the kernel in a browser"
    page = laying.front_page(tmp_path / "contents", found)
    assert '<a href="lab/index.html?path=workbook/05_plant_water.ipynb">5. A lesson</a>' in page
    assert "5. Exercises &lt;b&gt;</a>" in page


def test_what_herbcalc_needs_is_read_from_pyproject(checkout):
    assert laying.own_needs(checkout) == ["numpy", "pint", "ipywidgets", "anywidget"]


def test_all_packages_lie_in_one_file_as_their_wheels_hold_them(tmp_path):
    held = {"thing/__init__.py": b"x = 1", "thing/empty.txt": b"", "other/leaf é.so": bytes(range(256))}
    for number, name in enumerate(held):
        with zipfile.ZipFile(tmp_path / f"{number}.whl", "w") as z:
            z.writestr(name, held[name])
    wheels = sorted(tmp_path.glob("*.whl"))
    laying.in_one(wheels, tmp_path / "one.bin")
    whole = gzip.decompress((tmp_path / "one.bin").read_bytes())
    size = int.from_bytes(whole[:4], "little")
    found, at = {}, 4 + size
    for name, length in json.loads(whole[4:at]):
        found[name] = whole[at : at + length]
        at += length
    assert (found, at) == (held, len(whole))
    laying.in_one(wheels, tmp_path / "again.bin")
    assert (tmp_path / "again.bin").read_bytes() == (tmp_path / "one.bin").read_bytes(), "an unchanged site stays so"


def test_a_slim_wheel_runs_without_its_sources_and_without_what_nobody_asks_for(tmp_path):
    """Made by the Python at hand; the site's is made by the browser's."""
    wheel = tmp_path / "thing-1.0-py3-none-any.whl"
    words = "x = 1\n" * 5000
    with zipfile.ZipFile(wheel, "w") as z:
        z.writestr("thing/__init__.py", words + "def amiss():\n    raise ValueError\n")
        z.writestr("thing/tests/test_thing.py", words)
        z.writestr("thing/template.py", "no {python} at all")
        z.writestr("thing-1.0.dist-info/LICENSE", "yours")
    for sources, names in (
        (False, ["thing/__init__.pyc"]),
        (True, ["thing/__init__.py", slim.beside("thing/__init__.py")]),
    ):
        small = tmp_path / f"small-{sources}.zip"
        slim.slim(wheel, small, ["*/tests/*"], sources)
        with zipfile.ZipFile(small) as z:
            assert sorted(z.namelist()) == sorted([*names, "thing/template.py", "thing-1.0.dist-info/LICENSE"])
        first = small.read_bytes()
        slim.slim(wheel, small, ["*/tests/*"], sources)
        assert small.read_bytes() == first, "the same files make the same archive"
        assert small.stat().st_size < wheel.stat().st_size / 5
        ran = [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(small)!r}); import thing; print(thing.x)"]
        assert subprocess.run(ran, capture_output=True, text=True, check=True).stdout == "1\n"


def test_a_slim_wheel_is_made_once_and_named_by_what_it_was_made_from(tmp_path, monkeypatch):
    wheel = tmp_path / "thing-1.0-py3-none-any.whl"
    jobs = []

    def work(command, *_):
        asked = json.loads((tmp_path / "slim" / "jobs.json").read_text(encoding="utf-8"))
        jobs.append([job["to"] for job in asked])
        for job in asked:
            (tmp_path / "slim" / job["to"]).write_bytes(b"")

    monkeypatch.setattr(parts, "run", work)
    monkeypatch.setattr(parts.shutil, "which", lambda _: "node")
    names = []
    for held in (b"one", b"one", b"two"):
        wheel.write_bytes(held)
        names.append(parts.slimmed({"thing": wheel}, tmp_path, tmp_path)["thing"].name)
    assert names[0] == names[1] != names[2]
    assert jobs == [[names[0]], [names[2]]]
    assert re.fullmatch(r"thing-1\.0-1[0-9a-f]{10}-py3-none-any\.whl", names[0])
    monkeypatch.setattr(parts.shutil, "which", lambda _: None)
    wheel.write_bytes(b"three")
    with pytest.raises(parts.NotFetched, match="node is not on this computer"):
        parts.slimmed({"thing": wheel}, tmp_path, tmp_path)


def test_the_worker_knows_every_file_and_another_site_is_another_release(tmp_path):
    releases = []
    for words in ("old", "old", "new"):
        place = tmp_path / f"site{len(releases)}"
        (place / "lab").mkdir(parents=True)
        (place / "lab" / "index.html").write_text(words, encoding="utf-8")
        (place / offline.WORKER).write_text("theirs", encoding="utf-8")
        releases.append(offline.lay_worker(place))
        script = (place / offline.WORKER).read_text(encoding="utf-8")
        files = json.loads(re.search("const FILES = (.*);", script)[1])
        assert files == {
            "lab/index.html": hashlib.sha256(words.encode()).hexdigest(),
            offline.THEIRS: hashlib.sha256(b"theirs").hexdigest(),
        }
        assert json.loads(re.search("const RELEASE = (.*);", script)[1]) == releases[-1][:16]
        assert f'importScripts("{offline.THEIRS}")' in script
    assert releases[0] == releases[1] != releases[2]


def test_python_begins_with_the_page_in_the_worker_that_jupyterlite_would_take(tmp_path):
    theirs = tmp_path / "extensions" / laying.KERNEL / "static"
    for folder in (theirs, tmp_path / "lab", tmp_path / "static" / "pyodide"):
        folder.mkdir(parents=True)
    (theirs / "1.js").write_text('"/api/stdin/kernel" initWorker(', encoding="utf-8")
    (tmp_path / "lab" / "index.html").write_text("<html><head><title>x</title></head></html>", encoding="utf-8")
    with pytest.raises(parts.SiteTrouble, match="was not found"):
        laying.lay_early(tmp_path, {}, "1")
    (theirs / "2.js").write_text('"/api/stdin/kernel"', encoding="utf-8")
    laying.lay_early(tmp_path, {"packages": ["herbcalc"]}, "7.1")
    begun = (tmp_path / "static" / "pyodide" / "early.js").read_text(encoding="utf-8")
    named = re.search('const KERNEL = "(.+?)"', begun)[1]
    assert (tmp_path / "static" / "pyodide" / named).resolve() == theirs / "2.js"
    assert '{"packages": ["herbcalc"]}' in begun
    page = (tmp_path / "lab" / "index.html").read_text(encoding="utf-8")
    assert page.index("early.js") < page.index("<title>"), "before all else"
    assert 'const KERNEL = "2.js"' in page
    assert '-version`, "7.1")' in page


def test_what_is_left_out_is_left_out_everywhere():
    """Neither asked of the carrier, nor of the package index, nor named as needed."""
    held = parts.parts()["without"]
    assert parts.wanted(["numpy", *held["packages"]]) == ["numpy"]
    fetched = {wheel["name"] for wheel in parts.parts()["wheel"]} | set(parts.parts()["carrier"]["take"])
    assert not fetched & {*held["packages"]}


def test_it_is_served_on_this_computer_only_and_never_stale(tmp_path):
    (tmp_path / "a.mjs").write_text("1", encoding="utf-8")
    with site.server(tmp_path, 0) as web:
        assert web.server_address[0] == "127.0.0.1"
        with pytest.raises(site.SiteTrouble, match="already serves at port"):
            site.server(tmp_path, web.server_port)
        thread = in_the_background(web)
        with urlopen(f"http://127.0.0.1:{web.server_port}/a.mjs") as answer:
            assert answer.headers["Content-Type"] == "text/javascript"
            assert answer.headers["Cache-Control"] == "no-cache"
        web.shutdown()
        thread.join()


def in_the_background(web):
    thread = threading.Thread(target=web.serve_forever, daemon=True)
    thread.start()
    return thread


def test_the_command_hands_on_what_was_typed(monkeypatch, tmp_path):
    """With a class.toml it is done inside the environment, which has what looks it through; else in this Python."""
    did = []
    monkeypatch.setattr(site, "carry_out", lambda *asked: did.append(asked) or 0)
    monkeypatch.setattr(environment, "call", lambda *asked: did.append(asked) or 3)
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    assert launch.main(["site", "--again", "--to", "out"]) == 0
    assert did.pop() == (Path("out"), None, True, False, site.PORT)
    words = ["--class", "a b.toml", "--serve", "--port", "9000"]
    assert launch.main(["site", *words]) == 3
    assert did.pop() == (("workbook",), ["-m", "herbcalc", "site", *words], {"HERBCALC_ENV": "here"}, Path.cwd())
    monkeypatch.setenv("HERBCALC_ENV", "here")
    assert launch.main(["site", *words]) == 0
    assert did.pop() == (None, Path("a b.toml"), False, True, 9000)


def test_with_a_class_file_the_whole_way_through_the_command(tmp_path):
    """A refusal from inside the environment reaches the screen, and its exit code is passed on."""
    sheet = tmp_path / "class.toml"
    sheet.write_text("class = 7\n", encoding="utf-8")
    words = [sys.executable, "-m", "herbcalc", "site", "--class", str(sheet), "--to", str(tmp_path / "site")]
    ran = subprocess.run(words, capture_output=True, text=True, env={**os.environ, "HERBCALC_ENV": "here"})
    assert ran.returncode == 1
    assert "class is a class code in quotes" in ran.stderr
    assert not (tmp_path / "site").exists()


def test_what_holds_at_home_holds_on_the_site_too():
    """The site's own settings come to those at home; none of them is lost."""
    at_home = json.loads(laying.AT_HOME.read_text(encoding="utf-8"))
    here = json.loads((laying.DATA / "overrides.json").read_text(encoding="utf-8"))
    both = laying.together(at_home, here)
    tracker = "@jupyterlab/notebook-extension:tracker"
    assert both[tracker] == {**at_home[tracker], **here[tracker]}
    keys = "@jupyterlab/shortcuts-extension:shortcuts"
    assert len(both[keys]["shortcuts"]) == len(at_home[keys]["shortcuts"]) + len(here[keys]["shortcuts"])
