"""Floor 6. What the notebook server does of ours: it saves no live widgets, and says nothing of closed tabs.

A reopened notebook cannot show a live widget without its kernel; JupyterLab then prints a complaint where the picture
should be. The stored picture and sentence stand beside the widget in the same output. So the widget is left out of
the file, and they show.

A tab that is closed while its page still talks leaves sixteen lines in the window where the workbook was started, for
each word that was under way: the web socket's own task (tornado, `WebSocketProtocol13.write_message`) fails with
WebSocketClosedError, nobody asks for its outcome, and asyncio says so. That is no trouble of anybody's. It goes to a
file with all else that asyncio says; everything but it is still shown.

`data/jupyter/jupyter_server_config.json` makes the server load this module.
"""

from __future__ import annotations

import logging
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any

LOG = "server.log"  # beside the notes of the servers that run
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
    keep_apart(Path(app.runtime_dir) / LOG)


def keep_apart(log: Path) -> None:
    """Have what asyncio says go to the file `log`, and to the screen as before, less the closed tabs."""
    everything = RotatingFileHandler(log, maxBytes=1_000_000, backupCount=1, encoding="utf-8", delay=True)
    everything.setFormatter(logging.Formatter("%(asctime)s %(message)s"))
    screen = logging.StreamHandler()
    screen.addFilter(_is_no_closed_tab)
    speaks = logging.getLogger("asyncio")
    speaks.handlers = [everything, screen]
    speaks.propagate = False


def _is_no_closed_tab(record: logging.LogRecord) -> bool:
    from tornado.websocket import WebSocketClosedError

    return not (record.exc_info and isinstance(record.exc_info[1], WebSocketClosedError))
