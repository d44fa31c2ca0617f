"""Floor 6. What the kernel does at its start: a cell that ran before the first one is told in a sentence.

The shipped settings have IPython run this before anything else. It loads nothing of ours but itself.
"""

from __future__ import annotations

from types import TracebackType
from typing import Any

# The names that the first cell of a lesson brings, and those that its other cells bring.
OURS = ("here", "lesson", "Q", "amount", "spoken", "part")
FIRST = (
    "This page is not running yet: the first cell brings {name}. Choose Run, then Run All Cells (or run the first "
    "cell, then this one)."
)


def install() -> bool:
    """Have the notebook that runs this tell a missing name of ours so; False outside of one."""
    try:
        from IPython import get_ipython
    except ImportError:
        return False
    shell = get_ipython()
    if shell is None:
        return False
    shell.set_custom_exc((NameError,), told)
    return True


def told(
    shell: Any, kind: type[BaseException], missing: NameError, trace: TracebackType, tb_offset: int | None = None
) -> list[str] | None:
    """Show a sentence where a name of ours is missing; anything else as Python does."""
    name = getattr(missing, "name", "") or ""
    if name not in OURS:
        shell.showtraceback((kind, missing, trace), tb_offset=tb_offset)
        return None
    text = FIRST.format(name=f'"{name}"')
    shell._showtraceback(kind, missing, [text])
    return [text]
