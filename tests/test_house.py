"""How the house is built: floors, one registry, light imports, plain words, documented sums."""

import ast
import importlib
import inspect
import json
import math
import re
import subprocess
import sys
import tomllib

import pytest

from herbcalc.units import OutOfRange, Q, WrongUnit
from tests import floor_plan
from tests.floor_plan import PACKAGE, ROOT, floor_of, imports, module_of, name_of, tree_of

SOURCES = [floor_plan.PACKAGE / "__init__.py", *floor_plan.modules().values()]

# The modules that others may count on, floor by floor. Every other module says its floor in its first line.
FLOORS = {
    "units": 0,
    "rules": 0,
    "ethanol": 1,
    "moisture": 1,
    "air": 1,
    "menstruum": 2,
    "maceration": 2,
    "percolation": 2,
    "drying": 2,
    "preserving": 2,
    "harvest": 2,
    "dosing": 2,
    "compare": 3,
    "batch": 3,
    "person": 4,
    "homework": 4,
    "show": 5,
    "run": 6,
    "site": 6,
    "__main__": 6,
    "launch": 6,
}
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "workbook", "herbcalc", "tests", "exercises"}
SCREENS = {"ipywidgets", "anywidget", "IPython", "traitlets", "matplotlib"}
HEAVY = SCREENS | {"pandas", "scipy"}
CLOCKS = {"time", "datetime"}


# --- floors --------------------------------------------------------------------------------------------------------


def test_no_docstring_was_cut_in_two():
    """A tool that shortens long lines once left quotes in the middle of some: `help` showed them."""
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef)):
                assert not re.search(r'"\n\s*"\S', ast.get_docstring(node) or ""), (path, node)


def test_every_module_says_its_floor():
    for name in floor_plan.modules():
        floor, parent = floor_of(name), FLOORS.get(name.split(".")[0])
        assert floor in floor_plan.FLOORS, f"{name}: its docstring begins with 'Floor n. '"
        assert parent is None or floor == parent, name


@pytest.mark.parametrize("name", floor_plan.modules())
def test_imports_run_downwards(name):
    above = [other for other in floor_plan.leans()[name] if floor_of(other) > floor_of(name)]
    assert not above, f"{name} (floor {floor_of(name)}) reaches up to {above}"


def test_no_two_modules_lean_on_each_other():
    assert not floor_plan.circles(floor_plan.leans())


def test_the_plan_finds_a_circle_and_every_kind_of_import(tmp_path, monkeypatch):
    """A house of four rooms, in which each way of importing closes a circle of its own."""
    house = {
        "__init__": "",
        "yard": "from __future__ import annotations\nfrom herbcalc.shed import Shed\nimport math",
        "shed": "def late():\n    from herbcalc import yard",
        "hall/__init__": "from herbcalc.hall import stair\nfrom herbcalc.hall.loft import Loft",
        "hall/stair": "import importlib\nn = 3\nimportlib.import_module(f'herbcalc.hall.step{n:02d}')",
        "hall/step03": "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from .stair import Rail",
        "hall/loft": "from importlib import import_module\nhere = lambda: import_module('herbcalc.cellar')",
        "cellar": "from herbcalc.hall.stair import Rail",
        "garden": "import herbcalc.hall",
    }
    for name, text in house.items():
        path = tmp_path / "herbcalc" / f"{name}.py"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f'"""Floor 1. A room."""\n{text}\n')
    monkeypatch.setattr(floor_plan, "ROOT", tmp_path)
    monkeypatch.setattr(floor_plan, "PACKAGE", tmp_path / "herbcalc")
    for kept in (floor_plan.modules, floor_plan.leans):
        kept.cache_clear()
    try:
        graph = floor_plan.leans()
        assert graph["shed"] == {"yard"}
        assert graph["garden"] == {"hall"}
        assert graph["cellar"] == {"hall", "hall.stair"}
        assert floor_plan.circles(graph) == [
            ["cellar", "hall", "hall.loft"],
            ["hall.stair", "hall.step03"],
            ["shed", "yard"],
        ]
    finally:
        for kept in (floor_plan.modules, floor_plan.leans):
            kept.cache_clear()


def test_the_sums_know_no_screen_no_clock_and_no_house_rules():
    for name, path in floor_plan.modules().items():
        if floor_of(name) > 3:
            continue
        anywhere = {other.split(".")[0] for other in imports(path)}
        at_import = {other.split(".")[0] for other in imports(path, everywhere=False)}
        assert not anywhere & (SCREENS | CLOCKS), name
        assert not at_import & HEAVY, name
        if floor_of(name) > 0 or name.startswith("units"):
            assert not anywhere & {"os", "random", "tomllib"}, f"{name} looks round outside of its arguments"
            assert not floor_plan.leans()[name] & {"rules", "place"}, name


def test_homework_loads_no_widget():
    for path in (PACKAGE / "homework").rglob("*.py"):
        assert not {name.split(".")[0] for name in imports(path)} & HEAVY, name_of(path)


def test_one_registry():
    calls = [
        path.relative_to(ROOT).as_posix()
        for path in SOURCES
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.Call)
        and ast.unparse(node.func).endswith(("UnitRegistry", "get_application_registry"))
    ]
    assert calls == ["herbcalc/units/registry.py"]


def test_the_picture_of_the_floors_is_the_house():
    page = floor_plan.PAGE.read_text(encoding="utf-8")
    assert page == floor_plan.with_picture(page), (
        "draw it afresh: .herbcalc-env/bin/python -m tests.floor_plan --write"
    )


def test_every_name_in_the_package_is_explained():
    words = set(re.findall(r"[\w.]+", floor_plan.PAGE.read_text(encoding="utf-8").split(floor_plan.END)[1]))
    shown = {path.name for path in PACKAGE.iterdir() if path.suffix in (".py", "") and path.name != "__pycache__"}
    unsaid = {name for name in shown if name.removesuffix(".py") not in FLOORS and name not in words}
    assert not unsaid, f"say in DEVELOPERS.md, under the picture, why {unsaid} is there"


# --- found by their files, never listed ----------------------------------------------------------------------------


def lesson_lists(tree, text):
    """Lines on which several lessons stand in a row, by number or by name: such a list needs care at each new one."""
    lines = text.splitlines()
    for node in ast.walk(tree):
        if isinstance(node, (ast.Tuple, ast.List, ast.Set)):
            row = [lesson_number(part) for part in node.elts]
        elif isinstance(node, ast.Dict):
            row = [lesson_number(part) for part in node.keys]
        elif isinstance(node, ast.Call) and ast.unparse(node.func) == "range" and "lesson" in lines[node.lineno - 1]:
            ends = [part.value for part in node.args if isinstance(part, ast.Constant)]
            row = list(range(*ends)) if len(ends) == len(node.args) else []
        else:
            continue
        row = row[1:] if row[:1] == [0] else row  # 0 is the start page
        # Shorter rows of small numbers are steps of help, shapes of arrays and the like; no course has 20 lessons.
        if None in row or len(row) < 3 or (row[0] < 3 and len(row) < 4) or row[-1] > 20:
            continue
        if row == list(range(row[0], row[-1] + 1)):
            yield node.lineno


def lesson_number(node):
    """5 from 5, "05", "05_plant_water", lesson05 and show.lessons.lesson05; else None."""
    if isinstance(node, ast.Constant) and type(node.value) is int:
        return node.value
    named = str(node.value) if isinstance(node, ast.Constant) else ast.unparse(node) if node else ""
    found = re.fullmatch(r"(?:[\w.]*lesson)?(\d\d)(?:_\w+)?", named)
    return int(found.group(1)) if found else None


def test_no_list_of_lessons_stands_anywhere():
    ours = [*SOURCES, *(ROOT / "tests").rglob("*.py"), *(ROOT / "workbook").glob("*.py")]
    found = [
        f"{path.relative_to(ROOT)}:{line}"
        for path in sorted(ours)
        if "published" not in path.parts  # tables in print know no lessons
        for line in lesson_lists(tree_of(path), path.read_text(encoding="utf-8"))
    ]
    assert not found, "go through homework.items(), show.here.lessons() or the files instead"


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("for n in (6, 7, 8, 9): pass", True),
        ("open_ = [0, 3, 4, 5]", True),
        ("last = {3: 9, 4: 8, 5: 8}", True),
        ("all_ = lesson03, lessons.lesson04, lesson05", True),
        ("names = {'00', '03_moisture', '04', '05'}", True),
        ("for lesson in range(3, 10): pass", True),
        ("steps = (2, 3, 4)", False),
        ("marks = [0, 5, 10]", False),
        ("pair = lesson03, lesson04", False),
        ("warm = [20, 21, 22]", False),
        ("years = ['2021', '2022', '2023']", False),
    ],
)
def test_a_list_of_lessons_is_known_when_seen(text, seen):
    assert any(lesson_lists(ast.parse(text), text)) == seen


# --- what is loaded ------------------------------------------------------------------------------------------------


def loaded(statement):
    """Top-level names in sys.modules of a fresh Python after a statement."""
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); {statement}; print(*sys.modules)"
    ran = subprocess.run([sys.executable, "-I", "-c", code], check=True, capture_output=True, text=True)
    return {name.split(".")[0] for name in ran.stdout.split()}


def test_import_herbcalc_loads_the_standard_library_only():
    extra = loaded("import herbcalc; herbcalc.__version__; dir(herbcalc)") - loaded("import importlib") - {"herbcalc"}
    assert extra <= sys.stdlib_module_names


def test_the_sums_load_light():
    with_pint = loaded("import pint")
    for name in ("units", "rules", "air", "menstruum", "harvest", "batch"):
        assert not (loaded(f"from herbcalc import {name}") - with_pint) & HEAVY, name


def test_readable_by_an_old_python():
    for name in ("__init__.py", "__main__.py", "launch.py", "run/__init__.py", "run/console.py"):
        source = (PACKAGE / name).read_text(encoding="utf-8")
        ast.parse(source, feature_version=(3, 8))
        if name != "__init__.py":
            reached = [
                m
                for m in imports(PACKAGE / name, everywhere=False)
                if module_of(m) not in (None, "", "launch", "run.console")
            ]
            assert not reached, f"{name} imports {reached} before the Python version is looked at"


# --- the tree ------------------------------------------------------------------------------------------------------


def test_top_level():
    assert {entry.name for entry in ROOT.iterdir() if not entry.name.startswith(".")} <= TOP_LEVEL


OURS = (".py", ".js", ".css", ".md", ".toml", ".txt", ".html", ".ipynb", ".csv", ".cfg")


def texts():
    """Every text of the tree that is ours; none in dot-folders but .ci."""
    for path in sorted(ROOT.rglob("*")):
        inner = path.relative_to(ROOT).parts
        if any(part.startswith(".") and part != ".ci" for part in inner) or "__pycache__" in inner:
            continue
        if path.is_file() and (path.suffix in OURS or ".ci" in inner):
            yield path


def test_short_files():
    for path in texts():
        if path.suffix in (".py", ".js", ".css"):
            lines = len(path.read_text(encoding="utf-8").splitlines())
            assert lines <= (800 if "tests" in path.parts else 700), (
                f"{path.relative_to(ROOT)} has {lines} lines; one idea a file"
            )


def test_the_tree_stands_alone():
    """A stranger has only this repository: nothing may point to papers that are not in it."""
    # Written apart, so that this file does not find itself.
    outside = re.compile(
        "|".join(("/work" + "/", r"\btransc" + r"ripts?\b", r"\.\./sha" + "red", "DES" + r"IGN\b", "sha" + "red/"))
    )
    found = [
        f"{path.relative_to(ROOT)}: {hit.group()}"
        for path in texts()
        if (hit := outside.search(path.read_text(encoding="utf-8")))
    ]
    assert not found


# --- words ---------------------------------------------------------------------------------------------------------

BANNED = re.compile(r"\b(error|invalid|wrong)(s|ly)?\b", re.IGNORECASE)


def sentences(path):
    """Text in a source file that could be read by a student: literals with a space, no docstrings, no patterns."""
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree_of(path))
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef))
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    patterns = {
        id(argument)
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "re.compile"
        for argument in node.args
    }
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value.strip():
            if id(node) in docstrings or id(node) in patterns:
                continue
            yield node.lineno, node.value


def test_no_word_that_hurts_in_the_program():
    found = [
        f"{name_of(p)}:{line}: {text[:60]}" for p in SOURCES for line, text in sentences(p) if BANNED.search(text)
    ]
    assert not found


def test_no_word_that_hurts_in_the_data():
    def strings(thing):
        if isinstance(thing, str):
            yield thing
        elif isinstance(thing, (dict, list)):
            for inner in thing.values() if isinstance(thing, dict) else thing:
                yield from strings(inner)

    for path in PACKAGE.rglob("*.toml"):
        for text in strings(tomllib.loads(path.read_text(encoding="utf-8"))):
            assert not BANNED.search(text), f"{path.name}: {text[:80]}"


def test_no_word_that_hurts_in_the_notebooks():
    for path in [*(ROOT / "workbook").rglob("*.ipynb"), *(ROOT / "exercises").glob("*.ipynb")]:
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            text = "".join(cell["source"])
            if cell["cell_type"] == "markdown":
                assert not BANNED.search(text), f"{path.name}: {text[:80]}"


# --- documented sums -----------------------------------------------------------------------------------------------


def test_docstrings_list_their_arguments_in_one_form():
    """Each on a line of its own, its name in front; never "Arguments: a, ...; b, ..."."""
    for path in sorted((floor_plan.ROOT / "herbcalc").rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\b(?:Arguments|Refusals|Returns|Raises|Args): ", text), path


# How a unit may be written in a docstring.
WRITTEN = {
    "": "plain|whole|number|count|share",
    "degC": "°C",
    "delta_degC": "°C",
    "kg/m**3": "kg/m³",
    "percent_wb": "percent_wb|% wb|% water",
    "cm**2/hour": "cm²/hour",
    "m**3/kg": "m³/kg",
}


def guarded_sums():
    found = []
    for path in SOURCES:
        name = name_of(path)
        if path == PACKAGE / "__init__.py" or floor_of(name) > 3:
            continue
        module = importlib.import_module(f"herbcalc.{name}")
        for sum_name, thing in vars(module).items():
            guarded = hasattr(thing, "kinds") and hasattr(thing, "plain") and thing.__module__ == module.__name__
            if guarded and not sum_name.startswith("_"):
                found.append(pytest.param(thing, id=f"{name}.{sum_name}"))
    return found


@pytest.mark.parametrize("sum_", guarded_sums())
def test_every_sum_is_documented(sum_):
    doc = inspect.getdoc(sum_) or ""
    parameters = [n for n in inspect.signature(sum_).parameters if not n.startswith("_")]
    at = 0
    for parameter in parameters:
        entry = re.compile(rf"\b{parameter}\b(?:, [\w, ]+)?(:| {{2,}})").search(doc, at)
        assert entry, f"{parameter} is not described, or out of order"
        at = entry.start()
    units = {kind.unit for kind in sum_.kinds.values()} | ({sum_.returns} if sum_.returns else set())
    for unit in units:
        assert re.search(WRITTEN.get(unit, re.escape(unit)), doc), f"the unit {unit!r} is not named"
    assert re.search(r"\b(Result|Gives)\b", doc), "what comes out is not said"
    assert "Refuses" in doc, "what is refused is not said"
    assert re.search(r"\bSources?:|[Cc]ommon practice|[Bb]y definition", doc), "where it comes from is not said"
    assert ">>>" in doc, "an example is missing"


def bad_values(kind):
    """What a person may hand over by mistake."""

    def of(number):
        return number if kind.plain else Q(number, kind.unit)

    yield from (
        None,
        "5 of it",
        True,
        [],
        Q(5, "percent"),
        Q(5, "Pa"),
        of(float("nan")),
        of(float("inf")),
        of([5.0, float("nan")]),
    )
    if not kind.plain:
        yield from (5, 5.5)
    for end, step in ((kind.low, -1.0), (kind.high, 1.0)):
        if math.isfinite(end):
            yield from (of(end + step), of([end, end + step]))


METRIC = re.compile(r"\d (g|kg|mL|L|cm|mm|°C)(?![\w/*])")
KITCHEN = re.compile(r"\d ((fl )?oz|lb|tsp|quarts?|in|inch|°F)\b|below 0 (oz|fl oz|tsp)|1/4 (oz|tsp)")


@pytest.mark.parametrize("sum_", guarded_sums())
def test_every_refusal_of_every_sum_is_a_sentence(sum_):
    for name, kind in sum_.kinds.items():
        optional = inspect.signature(sum_).parameters[name].default is None
        for value in bad_values(kind):
            if (optional and value is None) or (kind.plain and isinstance(value, list) and not value):
                continue
            with pytest.raises((WrongUnit, OutOfRange)) as refusal:
                sum_(**{name: value})
            said = str(refusal.value)
            assert not BANNED.search(said)
            assert said.endswith(".")
            assert 40 < len(said) < 500
            assert ("metric" if METRIC.search(said) else "") == ("metric" if KITCHEN.search(said) else ""), said


def test_there_are_sums_to_look_at():
    assert len(guarded_sums()) >= 10
