"""Floor 6. What the notebook server does on saving: it leaves out the live widgets.

A reopened notebook cannot show a live widget without its kernel; JupyterLab then prints a complaint where the picture
should be. The stored picture and sentence stand beside the widget in the same output. So the widget is left out of
the file, and they show. `data/jupyter/jupyter_server_config.json` makes the server load this module.
"""

from __future__ import annotations

from typing import Any

VIEW = "application/vnd.jupyter.widget-view+json"


def without_widgets(model: dict[str, Any], **_: Any) -> None:
    """Take the live widgets out of a notebook that is about to be saved.

    model: the server's description of what is saved; other kinds of files are left alone.

    >>> shown = {"text/plain": "a jar", VIEW: {"model_id": "1"}}
    >>> cell = {"cell_type": "code", "outputs": [{"output_type": "display_data", "data": shown}]}
    >>> without_widgets({"type": "notebook", "content": {"cells": [cell], "metadata": {"widgets": {}}}})
    >>> cell["outputs"][0]["data"]
    {'text/plain': 'a jar'}
    """
    notebook = model.get("content")
    if model.get("type") == "notebook" and isinstance(notebook, dict):
        strip(notebook)


def strip(notebook: dict[str, Any]) -> None:
    """The same for the notebook itself: its cells, and the state of widgets in its metadata."""
    notebook.get("metadata", {}).pop("widgets", None)
    for cell in notebook.get("cells", []):
        for output in cell.get("outputs", []):
            output.get("data", {}).pop(VIEW, None)


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": "herbcalc.run.server"}]


def _load_jupyter_server_extension(app: Any) -> None:
    app.contents_manager.register_pre_save_hook(without_widgets)
