"""What every notebook must be before it is run: headings, stored outputs, a kernel's name, short cells.

That the stored outputs are also what a fresh run gives is checked by nbval (`python3 -m herbcalc test notebooks`);
here is checked that nbval has something to compare, and that it would notice a single changed digit.
"""

from __future__ import annotations

import ast
import itertools
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from herbcalc.show.here import OWN_JAR, START, lessons

ROOT = Path(__file__).resolve().parent.parent
LESSONS = sorted((ROOT / "workbook").glob("*.ipynb"))
TABLES = sorted((ROOT / "workbook/teacher").glob("*.ipynb"))
NOTEBOOKS = [*LESSONS, *sorted((ROOT / "exercises").glob("*.ipynb")), *TABLES]
SEVEN = [
    "Remember",
    "Guess",
    "Show and say what you saw",
    "Worked through",
    "Your own numbers",
    "On the bench",
    "One line for the wall",
]
WIDGET = "application/vnd.jupyter.widget-view+json"
LONGEST = 8  # lines of a cell: a short sum the student is meant to read, never machinery


def read(path: Path) -> dict:
    return json.loads(path.read_text(encoding="utf-8"))


def text(part: str | list[str]) -> str:
    return part if isinstance(part, str) else "".join(part)


def code(notebook: dict) -> list[dict]:
    return [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]


def headings(notebook: dict) -> list[tuple[int, str]]:
    """Level and words of each heading, in order."""
    said = [text(c["source"]) for c in notebook["cells"] if c["cell_type"] == "markdown"]
    return [(len(m[1]), m[2].strip()) for one in said for m in re.finditer(r"^(#+) (.*)$", one, re.MULTILINE)]


every = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: f"{p.parent.name}/{p.stem}")


def test_there_are_notebooks():
    assert {int(p.name[:2]) for p in LESSONS} == {START, *lessons(), OWN_JAR}
    for path in ROOT.glob("exercises/*.ipynb"):
        assert (ROOT / "workbook" / path.name).exists(), f"{path.name} has no lesson of the same name"


@pytest.mark.parametrize("path", [p for p in LESSONS if not p.name.startswith("00")], ids=lambda p: p.stem)
def test_a_lesson_has_its_seven_headings(path):
    """The page of one's own jar has those that fit, in the order of its work."""
    there = [words for level, words in headings(read(path)) if level == 2]
    if int(path.name[:2]) == OWN_JAR:
        assert set(there) == {
            "Remember",
            "Guess",
            "On the bench",
            "Show and say what you saw",
            "One line for the wall",
        }
        assert there[-1] == SEVEN[-1]
    else:
        assert there == SEVEN


@every
def test_what_was_printed_is_stored_in_one_piece(path):
    """Storing twice changes nothing, on a busy machine either."""
    for cell in code(read(path)):
        for one, two in itertools.pairwise(cell["outputs"]):
            assert not one.get("name") or one.get("name") != two.get("name"), text(two["text"])


@every
def test_headings_can_be_walked_by_ear(path):
    levels = [level for level, _ in headings(read(path))]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


@every
def test_nbval_has_something_to_compare(path):
    for number, cell in enumerate(code(read(path)), 1):
        where = f"{path.name}, code cell {number}: {text(cell['source'])[:60]!r}"
        assert cell["execution_count"] == number, f"{where} was not stored by one run from top to bottom"
        if shows(text(cell["source"])):
            assert cell["outputs"], f"{where} shows a result, and none is stored"


def shows(source: str) -> bool:
    """Whether a cell has a result: its last line is a bare expression, or it prints."""
    body = ast.parse(source).body
    last = bool(body) and isinstance(body[-1], ast.Expr) and not source.rstrip().endswith(";")
    return last or "print(" in source


def test_shows_knows_a_result():
    assert shows("here.panel()")
    assert shows("a = 1\na + 1")
    assert not shows("from herbcalc import units\na = 1")


@every
def test_opens_without_a_kernel_and_without_a_question(path):
    notebook = read(path)
    assert notebook["metadata"]["kernelspec"]["name"] == "python3"
    assert "widgets" not in notebook["metadata"]
    for cell in code(notebook):
        for output in cell["outputs"]:
            assert WIDGET not in output.get("data", {})
            shown = text(output.get("data", {}).get("text/html", ""))
            # JupyterLab takes these out of a notebook that it has not run itself.
            assert not re.search(r"<(svg|script)\b", shown), path.name


@every
def test_stored_pictures_have_words(path):
    for cell in code(read(path)):
        for output in cell["outputs"]:
            for image in re.findall(r"<img\b[^>]*>", text(output.get("data", {}).get("text/html", ""))):
                alt = re.search(r'\balt="([^"]+)"', image)
                assert alt, f"{path.name}: a picture without words"
                assert len(alt[1]) > 20, f"{path.name}: too few words for a picture: {alt[1]!r}"


@every
def test_only_marked_cells_refuse(path):
    for cell in code(read(path)):
        stopped = any(o["output_type"] == "error" for o in cell["outputs"])
        complained = any(o.get("name") == "stderr" for o in cell["outputs"])
        if stopped or complained:
            assert "raises-exception" in cell["metadata"].get("tags", []), text(cell["source"])


@every
def test_cells_are_short(path):
    for cell in code(read(path)):
        source = text(cell["source"])
        assert len([line for line in source.splitlines() if line.strip()]) <= LONGEST, source


OPENS = re.compile(r'here\.\w+\((?:\d*|"\w+")\)|from herbcalc\.show import (\w+); here = \1\(\d*\)')
PAGES = [path for path in NOTEBOOKS if not path.name.startswith("00") and path not in TABLES]


@every
def test_nobody_has_to_edit_code(path):
    """A cell opens something and is folded, or is a sum to be read, which shows what it gives whatever is typed."""
    for cell in code(read(path)):
        source = text(cell["source"])
        folded = cell["metadata"].get("jupyter", {}).get("source_hidden", False)
        assert folded == bool(OPENS.fullmatch(source)), source
        assert '""' not in source, f"{path.name}: a place to type between quote marks"


@every
def test_no_cell_is_lost_by_accident(path):
    *cells, last = read(path)["cells"]
    for cell in cells:
        assert cell["metadata"]["deletable"] is False, text(cell["source"])
        machinery = cell["cell_type"] == "markdown" or OPENS.fullmatch(text(cell["source"]))
        assert cell["metadata"].get("editable", True) is not machinery, text(cell["source"])
    assert last["cell_type"] == "markdown"
    assert "Your own notes" in text(last["source"])
    assert last["metadata"].get("editable", True)


@pytest.mark.parametrize("path", PAGES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_every_page_leads_back_across_and_on(path):
    """Back to start, the other page of the same lesson, and the next lesson where there is one."""
    links = re.findall(r"\[([^]]+)\]\(([^)]+)\)", text(read(path)["cells"][-2]["source"]))
    assert links[0] == ("Back to start", f"{'../workbook/' if path.parent.name == 'exercises' else ''}00_start.ipynb")
    across = f"../{'exercises' if path.parent.name == 'workbook' else 'workbook'}/{path.name}"
    other = [across] if (path.parent / across).exists() else []
    assert [link for _, link in links[1 : 1 + len(other)]] == other
    after = [one for one in PAGES if one.parent.name == "workbook" and one.name > path.name]
    if after:
        title = headings(read(after[0]))[0][1]
        assert links[-1][0] == f"Next: {title}"
    assert len(links) == 1 + len(other) + bool(after)
    for _, link in links:
        assert (path.parent / link).exists(), link


@pytest.mark.parametrize("path", [p for p in PAGES if p.parent.name == "workbook"], ids=lambda p: p.stem)
def test_a_lesson_says_where_one_may_stop(path):
    said = [text(cell["source"]) for cell in read(path)["cells"]]
    before = "### The drops" if int(path.name[:2]) == OWN_JAR else "## Your own numbers"
    at = next(n for n, words in enumerate(said) if words.startswith(before))
    assert "You may stop here for today." in said[at - 1]
    assert "Close the window; if it asks whether to leave, leave." in said[at - 1]


@pytest.mark.parametrize("path", PAGES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_every_page_says_under_its_title_how_it_wakes_up(path):
    woken = "*Just opened, or gone blank? Choose **Run**, then **Run All Cells**, and the page wakes up.*"
    assert woken in text(read(path)["cells"][0]["source"])


def test_a_changed_digit_is_noticed(tmp_path):
    """The last digit of a number in a stored answer is changed; nbval must refuse the notebook, and only then."""
    lesson = next(path for path in LESSONS if path.name.startswith("05"))
    notebook = read(lesson)
    # Its sums are enough for that; panels and cards would take far longer to run.
    notebook["cells"] = [cell for cell in notebook["cells"] if not text(cell["source"]).startswith("here.")]
    (tmp_path / "true").mkdir()
    (tmp_path / "true" / lesson.name).write_text(json.dumps(notebook), encoding="utf-8")
    (tmp_path / "changed").mkdir()
    change_a_digit(notebook)
    (tmp_path / "changed" / lesson.name).write_text(json.dumps(notebook), encoding="utf-8")
    assert nbval(tmp_path) == {("PASSED", "true"), ("PASSED", "changed"), ("FAILED", "changed")}


def change_a_digit(notebook: dict) -> None:
    for cell in code(notebook):
        for output in cell["outputs"]:
            data = output.get("data", output)
            for kind in ("text/html", "text/plain", "text"):
                # A number in the words, not one inside a style or the bytes of a picture.
                found = re.search(r"(?<=[ >])\d+(?= (g|mL|% vol))", text(data.get(kind, "")))
                if found:
                    words = text(data[kind])
                    digit = str((int(words[found.end() - 1]) + 1) % 10)
                    data[kind] = words[: found.end() - 1] + digit + words[found.end() :]
                    return
    raise AssertionError("no stored output of the lesson holds a number to change")


def nbval(folder: Path) -> set[tuple[str, str]]:
    """What came of the cells of the notebooks in each folder below this one."""
    words = [
        "-m",
        "pytest",
        "-q",
        "-rA",
        "-o",
        "addopts=",
        "-p",
        "no:cacheprovider",
        "-p",
        "no:xdist",
        "-W",
        "default",
    ]
    words += ["-p", "herbcalc.run.unasked", "--nbval", "--nbval-current-env", "--nbval-cell-timeout", "60"]
    words += [
        "--color=no",
        "--nbval-sanitize-with",
        str(ROOT / "tests" / "nbval_mask.cfg"),
        "--rootdir",
        str(folder),
        str(folder),
    ]
    clean = {k: v for k, v in os.environ.items() if not k.startswith("PYTEST_")}
    ran = subprocess.run([sys.executable, *words], cwd=folder, env=clean, capture_output=True, text=True)
    return set(re.findall(r"^([A-Z]+) (\w+)/", ran.stdout, re.MULTILINE))
