"""The scripts and style sheets of what runs in the browser."""

from __future__ import annotations

from importlib import import_module

import anywidget

from herbcalc.run.environment import CHECKOUT


def kinds() -> dict[str, type]:
    """Every kind of widget with a script of ours, by its name."""
    ours = [
        file for file in (CHECKOUT / "herbcalc").rglob("*.py") if "AnyWidget)" in file.read_text(encoding="utf-8")
    ]
    modules = [import_module(".".join(file.relative_to(CHECKOUT).with_suffix("").parts)) for file in ours]
    return {
        name: kind
        for module in modules
        for name, kind in vars(module).items()
        if isinstance(kind, type) and issubclass(kind, anywidget.AnyWidget) and kind.__module__ == module.__name__
    }


def test_no_style_sheet_is_written_anew_for_every_widget() -> None:
    """anywidget writes a sheet that it is handed once for each widget, and a page has some forty."""
    assert [name for name, kind in kinds().items() if hasattr(kind, "_css")] == []
    assert {name for name, kind in kinds().items() if "\nwear(" in kind._esm} == {"Stage", "Greeting", "Manners"}
