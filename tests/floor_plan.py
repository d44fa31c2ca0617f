"""Who leans on whom in herbcalc, read from the code, and the picture of it that stands in DEVELOPERS.md.

    .herbcalc-env/bin/python -m tests.floor_plan            prints the picture
    .herbcalc-env/bin/python -m tests.floor_plan --write    puts it into DEVELOPERS.md

Every import counts: at the top of a file, inside a function, under TYPE_CHECKING, and `import_module` of a name that
is written down or put together with an f-string.
"""

from __future__ import annotations

import ast
import functools
import re
import sys
import textwrap
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "herbcalc"
PAGE = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- floor plan: made by tests/floor_plan.py -->\n", "<!-- end of floor plan -->\n"
LATER = (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)  # what stands in these does not run at import
BY_NAME = ("import_module", "__import__")
FLOORS = {
    6: "the ways in",
    5: "the screen",
    4: "the person and their homework",
    3: "choices between ways",
    2: "the craft",
    1: "matter",
    0: "words, units, house rules",
}


def name_of(path: Path) -> str:
    """herbcalc/show/panel/dials.py -> show.panel.dials; a package goes by its folder, the whole by ''."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@functools.cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@functools.cache
def modules() -> dict[str, Path]:
    """Every module of ours with its file, the package's own door (herbcalc/__init__.py) left out."""
    found = {name_of(path): path for path in sorted(PACKAGE.rglob("*.py"))}
    del found[""]
    return found


def floor_of(name: str) -> int | None:
    """The floor of a module, as its first line says it."""
    said = re.match(r"Floor (\d)\. ", ast.get_docstring(tree_of(modules()[name])) or "")
    return int(said.group(1)) if said else None


def module_of(dotted: str) -> str | None:
    """herbcalc.show.panel.Panel -> show.panel: the longest part that is a file of ours; None for others' modules."""
    parts = dotted.split(".")
    if parts[0] != "herbcalc":
        return None
    while len(parts) > 1 and ".".join(parts[1:]) not in modules():
        parts.pop()
    return ".".join(parts[1:])


def imports(path: Path, everywhere: bool = True) -> list[str]:
    """Dotted names that a file imports; without `everywhere`, only those that run when it is imported."""
    return [name for node in _running(tree_of(path), everywhere) for name in _imported(node, path)]


def _running(node: ast.AST, everywhere: bool) -> Iterator[ast.AST]:
    for child in ast.iter_child_nodes(node):
        if everywhere or not (isinstance(child, LATER) or ast.unparse(child).startswith("if TYPE_CHECKING:")):
            yield child
            yield from _running(child, everywhere)


def _imported(node: ast.AST, path: Path) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        own = path.relative_to(ROOT).parent.parts
        base = ".".join(own[: len(own) - node.level + 1]) + "." if node.level else ""
        base = (base + (node.module or "")).strip(".")
        return [f"{base}.{alias.name}" for alias in node.names]
    if isinstance(node, ast.Call) and ast.unparse(node.func).endswith(BY_NAME):
        return _named(node.args[0], path)
    return []


def _named(argument: ast.expr, path: Path) -> list[str]:
    """What `import_module(argument)` may load. Where a name is put together elsewhere, all such names of the file."""
    written = [argument] if isinstance(argument, (ast.Constant, ast.JoinedStr)) else list(ast.walk(tree_of(path)))
    patterns = [pattern for pattern in map(_pattern, written) if pattern.startswith(r"herbcalc\.")]
    known = [f"herbcalc.{name}" for name in modules()]
    found = [name for name in known if any(re.fullmatch(pattern, name) for pattern in patterns)]
    assert found, f"{path.name}: which module `{ast.unparse(argument)}` is cannot be read from the file"
    return found


def _pattern(node: ast.AST) -> str:
    """A text as a pattern, each gap of an f-string as any piece of a name; nothing for what is no text."""
    if isinstance(node, ast.JoinedStr):
        return "".join(re.escape(p.value) if isinstance(p, ast.Constant) else r"\w+" for p in node.values)
    return re.escape(node.value) if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def _above(name: str) -> set[str]:
    """show.panel.dials -> {show, show.panel}"""
    parts = name.split(".")
    return {".".join(parts[:n]) for n in range(1, len(parts))}


@functools.cache
def leans() -> dict[str, frozenset[str]]:
    """Each module of ours, and the modules of ours that it leans on.

    Whoever takes something from a room of another package goes through that package's own file first, so that counts
    too. A room that takes from its neighbour is in the house already.
    """
    graph = {}
    for name, path in modules().items():
        met = {m for m in map(module_of, imports(path)) if m}
        through = {door for m in met for door in _above(m)} - _above(name)
        graph[name] = frozenset((met | through) - {name})
    return graph


def circles(graph: Mapping[str, Iterable[str]]) -> list[list[str]]:
    """Groups of modules each of which leads back to itself; none in a sound house."""
    reach = {name: _reached(graph, name) for name in graph}
    groups = {
        frozenset(other for other in reach[name] if name in reach[other]) for name in graph if name in reach[name]
    }
    return sorted(sorted(group) for group in groups)


def _reached(graph: Mapping[str, Iterable[str]], start: str) -> set[str]:
    seen: set[str] = set()
    waiting = [start]
    while waiting:
        for name in graph[waiting.pop()]:
            if name not in seen:
                seen.add(name)
                waiting.append(name)
    return seen


def picture() -> str:
    """The floors from the top down, on each its houses: their rooms, and what they lean on."""
    tops = sorted({name.split(".")[0] for name in modules()})
    lines = []
    for floor, what in FLOORS.items():
        here = [top for top in tops if floor_of(top) == floor]
        lines += [f"floor {floor}  {what}"] + [line for top in here for line in _house(top)] + [""]
    return "\n".join(lines).rstrip() + "\n"


def _house(top: str) -> list[str]:
    inside = [name for name in modules() if name.split(".")[0] == top]
    below = sorted({name.split(".")[0] for room in inside for name in leans()[room]} - {top})
    shown = f"{top}/" if (PACKAGE / top).is_dir() else f"{top}.py"
    lines = _wrapped(f"  {shown:<14} -> {' '.join(below)}" if below else f"  {shown}", 20)
    # One name stands for all lessons, so that a new one leaves the picture as it is.
    rooms = list(dict.fromkeys(re.sub(r"lesson\d\d", "lessonNN", name.removeprefix(f"{top}.")) for name in inside))
    rooms = [room for room in rooms if room != top and not room.endswith("__main__")]
    return lines + _wrapped(" " * 6 + "  ".join(_opened(room, rooms) for room in rooms if "." not in room), 6)


def _opened(room: str, rooms: list[str]) -> str:
    """panel -> panel(dials hands kept)"""
    inner = [other.removeprefix(f"{room}.") for other in rooms if other.startswith(f"{room}.")]
    return f"{room}({' '.join(inner)})" if inner else room


def _wrapped(line: str, indent: int) -> list[str]:
    kept = {"break_on_hyphens": False, "break_long_words": False}
    return textwrap.wrap(line, 112, subsequent_indent=" " * indent, **kept) if line.strip() else []


def with_picture(page: str) -> str:
    """The page with the picture between its two marks."""
    before, rest = page.split(BEGIN)
    return f"{before}{BEGIN}```text\n{picture()}```\n{END}{rest.split(END)[1]}"


if __name__ == "__main__":
    if sys.argv[1:] == ["--write"]:
        PAGE.write_text(with_picture(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    else:
        print(picture())
