"""How the house is built: floors, one registry, light imports, plain words, documented sums."""

import ast
import functools
import importlib
import inspect
import json
import math
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from herbcalc.units import OutOfRange, Q, WrongUnit

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "herbcalc"
SOURCES = sorted(PACKAGE.rglob("*.py"))

# The modules that others may count on, floor by floor. Every other module says its floor in its first line.
FLOORS = {
    "units": 0,
    "rules": 0,
    "ethanol": 1,
    "moisture": 1,
    "menstruum": 2,
    "maceration": 2,
    "percolation": 2,
    "compare": 3,
    "person": 4,
    "homework": 4,
    "show": 5,
    "__main__": 6,
    "launch": 6,
}
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "workbook", "herbcalc", "tests", "exercises"}
SCREENS = {"ipywidgets", "anywidget", "IPython", "traitlets", "matplotlib"}
HEAVY = SCREENS | {"pandas", "scipy"}
LATER = (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)  # what stands in these does not run at import
CLOCKS = {"time", "datetime"}


def name_of(path):
    """herbcalc/show/panel.py -> show.panel"""
    return ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__")


@functools.cache
def tree_of(path):
    return ast.parse(path.read_text(encoding="utf-8"))


@functools.cache
def floor_of(name):
    """The floor of a module of ours, as its first line says it."""
    path = PACKAGE.joinpath(*name.split("."))
    path = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    said = re.match(r"Floor (\d)\. ", ast.get_docstring(tree_of(path)) or "")
    return int(said.group(1)) if said else None


def module_of(dotted):
    """herbcalc.show.panel.Panel -> show.panel: the longest part that is a file of ours; None for others' modules."""
    parts = dotted.split(".")
    if parts[0] != "herbcalc":
        return None
    while len(parts) > 1:
        path = PACKAGE.joinpath(*parts[1:])
        if path.with_suffix(".py").is_file() or (path / "__init__.py").is_file():
            return ".".join(parts[1:])
        parts.pop()
    return ""


def imports(path, everywhere=True):
    """Dotted names that a file imports; without `everywhere`, only those that run when it is imported."""
    found = []
    package = path.relative_to(ROOT).parent.parts if path.is_relative_to(PACKAGE) else ()

    def walk(node):
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.Import):
                found.extend(alias.name for alias in child.names)
            elif isinstance(child, ast.ImportFrom):
                base = (
                    ".".join((*package[: len(package) - child.level + 1], child.module or "")) if child.level else ""
                )
                base = (base or child.module).strip(".")
                found.extend(f"{base}.{alias.name}" for alias in child.names)
            elif everywhere or not (isinstance(child, LATER) or ast.unparse(child).startswith("if TYPE_CHECKING:")):
                walk(child)

    walk(tree_of(path))
    return found


def inside(path, everywhere=True):
    """The modules of ours that a file imports."""
    return [m for m in map(module_of, imports(path, everywhere)) if m]


# --- floors --------------------------------------------------------------------------------------------------------


def test_every_module_says_its_floor():
    for path in SOURCES:
        name = name_of(path)
        if path != PACKAGE / "__init__.py":
            assert floor_of(name) is not None, f"{name}: its docstring begins with 'Floor n. '"
            parent = FLOORS.get(name.split(".")[0])
            assert parent is None or floor_of(name) == parent, name


@pytest.mark.parametrize("path", [p for p in SOURCES if p != PACKAGE / "__init__.py"], ids=name_of)
def test_imports_run_downwards(path):
    above = [m for m in inside(path) if floor_of(m) > floor_of(name_of(path))]
    assert not above, f"{name_of(path)} (floor {floor_of(name_of(path))}) reaches up to {above}"


def test_no_two_modules_lean_on_each_other():
    leans = {name_of(p): set(inside(p, everywhere=False)) - {name_of(p)} for p in SOURCES}
    while leans:
        free = [name for name, needs in leans.items() if not needs & leans.keys()]
        assert free, f"a circle of imports among {sorted(leans)}"
        for name in free:
            del leans[name]


def test_the_sums_know_no_screen_no_clock_and_no_house_rules():
    for path in SOURCES:
        if path == PACKAGE / "__init__.py" or floor_of(name_of(path)) > 3:
            continue
        anywhere = {name.split(".")[0] for name in imports(path)}
        at_import = {name.split(".")[0] for name in imports(path, everywhere=False)}
        assert not anywhere & (SCREENS | CLOCKS), name_of(path)
        assert not at_import & HEAVY, name_of(path)
        assert "rules" not in inside(path), name_of(path)


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
    for name in ("units", "rules", "menstruum"):
        assert not (loaded(f"from herbcalc import {name}") - with_pint) & HEAVY, name


def test_readable_by_an_old_python():
    for name in ("__init__.py", "__main__.py", "launch.py"):
        source = (PACKAGE / name).read_text(encoding="utf-8")
        ast.parse(source, feature_version=(3, 8))
        if name != "__init__.py":
            reached = [
                m for m in imports(PACKAGE / name, everywhere=False) if module_of(m) not in (None, "", "launch")
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
            assert lines <= 650, f"{path.relative_to(ROOT)} has {lines} lines; one idea a file"


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
    for path in [*(ROOT / "workbook").glob("*.ipynb"), *(ROOT / "exercises").glob("*.ipynb")]:
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            text = "".join(cell["source"])
            if cell["cell_type"] == "markdown":
                assert not BANNED.search(text), f"{path.name}: {text[:80]}"


# --- documented sums -----------------------------------------------------------------------------------------------

# How a unit may be written in a docstring.
WRITTEN = {
    "": "plain|whole|number|count|share",
    "degC": "°C",
    "delta_degC": "°C",
    "kg/m**3": "kg/m³",
    "percent_wb": "percent_wb|% wb|% water",
    "cm**2/hour": "cm²/hour",
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
