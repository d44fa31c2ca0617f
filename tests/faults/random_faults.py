"""A look at what the tests would let pass: faults of chance, put into the sums one at a time. Not part of any run.

    .herbcalc-env/bin/python -m tests.faults.random_faults         60 faults in floors 1 to 3, seed 1
    .herbcalc-env/bin/python -m tests.faults.random_faults 20 7    20 faults, seed 7

Each changes one sign, one number, one comparison or one rule in a sum; sentences and docstrings are left alone. One
that passes unseen is either a gap in the tests, to be closed and kept as a [[fault]], or makes no difference (a start
value of a search, a slack within rounding).
"""

from __future__ import annotations

import ast
import random
import sys
from collections.abc import Iterator
from pathlib import Path

from tests import floor_plan
from tests.faults.run import ROOT, Fault, run

SWAPS = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Lt: ast.LtE, ast.LtE: ast.Lt,
    ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.And: ast.Or, ast.Or: ast.And,
    ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd,
}  # fmt: skip
NAMES = {"minimum": "maximum", "maximum": "minimum", "min": "max", "max": "min", "ceil": "floor", "floor": "ceil"}
WORDS = {"kitchen": "measured", "measured": "kitchen", "up": "down", "down": "up"}
SILENT = (ast.JoinedStr, ast.Raise, ast.AnnAssign, ast.Import, ast.ImportFrom)


def changed(node: ast.AST) -> ast.AST | None:
    """The node with one small fault in it, or None where there is nothing to change."""
    if isinstance(node, (ast.BinOp, ast.BoolOp)) and type(node.op) in SWAPS:
        return type(node)(**{**dict(ast.iter_fields(node)), "op": SWAPS[type(node.op)]()})
    if isinstance(node, ast.Compare) and type(node.ops[0]) in SWAPS:
        return ast.Compare(node.left, [SWAPS[type(node.ops[0])](), *node.ops[1:]], node.comparators)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, (ast.USub, ast.Not, ast.Invert)):
        return node.operand
    if isinstance(node, ast.Attribute) and node.attr in NAMES:
        return ast.Attribute(node.value, NAMES[node.attr], node.ctx)
    if isinstance(node, ast.Constant):
        if isinstance(node.value, bool):
            return ast.Constant(not node.value)
        if isinstance(node.value, (int, float)):
            return ast.Constant(node.value + 1 if isinstance(node.value, int) else node.value * 1.1 or 0.1)
        if node.value in WORDS:
            return ast.Constant(WORDS[node.value])
    return None


def places(node: ast.AST) -> Iterator[tuple[ast.AST, ast.AST]]:
    """Every node of a file that can be changed, beside what it becomes."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, SILENT):
            continue
        becomes = changed(child)
        if becomes is not None:
            yield child, becomes
        yield from places(child)


def tests_of(name: str) -> tuple[str, ...]:
    """The tests of a room: its folder or files in tests/, the examples in the file itself, and what is in print."""
    top = name.split(".")[0]
    own = [ROOT / "tests" / top] if (ROOT / "tests" / top).is_dir() else sorted(ROOT.glob(f"tests/test_{top}*.py"))
    every = [*own, floor_plan.modules()[name], ROOT / "tests" / "published"]
    return tuple(path.relative_to(ROOT).as_posix() for path in every)


def draw(many: int = 60, seed: int = 1) -> list[Fault]:
    """So many faults from all that could be made in floors 1 to 3."""
    every = []
    for name, path in floor_plan.modules().items():
        if 1 <= (floor_plan.floor_of(name) or 0) <= 3:
            every += [(name, path, *pair) for pair in places(ast.parse(path.read_text(encoding="utf-8")))]
    return [fault(*one) for one in random.Random(seed).sample(every, many)]


def fault(name: str, path: Path, node: ast.AST, becomes: ast.AST) -> Fault:
    """The whole file, with one node in it put differently."""
    text = path.read_text(encoding="utf-8")
    lines = text.encode().splitlines(keepends=True)
    start = sum(map(len, lines[: node.lineno - 1])) + node.col_offset
    end = sum(map(len, lines[: node.end_lineno - 1])) + node.end_col_offset
    put = ast.unparse(becomes)
    new = (text.encode()[:start] + f"({put})".encode() + text.encode()[end:]).decode()
    label = f"{name}:{node.lineno} {ast.get_source_segment(text, node)} -> {put}"
    return Fault(" ".join(label.split()), path.relative_to(ROOT).as_posix(), text, new, tests_of(name), "Unknown.")


if __name__ == "__main__":
    asked = [int(word) for word in sys.argv[1:]]
    sys.exit(run(draw(*asked)))
