"""What the notebook server does on saving, asked of the function and of a real contents manager."""

from __future__ import annotations

import asyncio
import copy
import gc
import importlib.util
import json
import logging
import re
from pathlib import Path
from typing import Any

import nbformat
import pytest
from IPython.core.interactiveshell import InteractiveShell
from tornado.websocket import WebSocketClosedError

from herbcalc.run import lab, server

SHIPPED = lab.SHIPPED
LAB = Path(importlib.util.find_spec("jupyterlab").origin)  # where it lies; to load it takes seconds

ROOT = Path(__file__).resolve().parents[2]


def a_notebook() -> nbformat.NotebookNode:
    shown = {"text/plain": "a jar", "text/html": "<p>28.6 % vol</p>", server.VIEW: {"model_id": "abc"}}
    cell = nbformat.v4.new_code_cell("here.panel()", execution_count=1)
    cell.outputs = [
        nbformat.v4.new_output("execute_result", data=dict(shown), execution_count=1),
        nbformat.v4.new_output("stream", text="hello\n"),
    ]
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell("# A jar"), cell])
    notebook.metadata["widgets"] = {"application/vnd.jupyter.widget-state+json": {}}
    return notebook


def test_the_live_part_goes_and_all_else_stays():
    notebook = a_notebook()
    before = copy.deepcopy(notebook)
    server.without_widgets({"type": "notebook", "content": notebook}, path="x.ipynb", contents_manager=None)
    assert notebook.cells[1].outputs[0].data == {"text/plain": "a jar", "text/html": "<p>28.6 % vol</p>"}
    assert "widgets" not in notebook.metadata
    assert notebook.cells[0] == before.cells[0]
    assert notebook.cells[1].source == before.cells[1].source
    assert notebook.cells[1].outputs[1] == before.cells[1].outputs[1]


def test_other_files_are_left_alone():
    model = {"type": "file", "content": "metadata widgets"}
    server.without_widgets(model)
    assert model == {"type": "file", "content": "metadata widgets"}


def test_a_real_save_leaves_no_widget_in_the_file(tmp_path, asyncio_speaks):
    from jupyter_server.services.contents.filemanager import FileContentsManager

    class App:
        contents_manager = FileContentsManager(root_dir=str(tmp_path))
        runtime_dir = str(tmp_path)

    server._load_jupyter_server_extension(App)
    App.contents_manager.save({"type": "notebook", "format": "json", "content": a_notebook()}, "a.ipynb")
    App.contents_manager.notary.store.close()  # its little database; Python 3.13 minds when it is left open
    saved = (tmp_path / "a.ipynb").read_text(encoding="utf-8")
    assert "28.6 % vol" in saved
    assert server.VIEW not in saved
    assert "widget-state" not in saved


@pytest.fixture
def asyncio_speaks():
    """asyncio's voice, given back as it was."""
    speaks = logging.getLogger("asyncio")
    handlers, propagates = speaks.handlers, speaks.propagate
    yield speaks
    for handler in speaks.handlers:
        handler.close()
    speaks.handlers, speaks.propagate = handlers, propagates


def test_closed_tabs_go_to_a_file_and_all_else_to_the_window_too(tmp_path, capsys, asyncio_speaks):
    """As tornado does it: a word to a tab that was closed fails in a task whose outcome nobody asks for."""

    async def fails(trouble):
        raise trouble

    async def talk():
        for trouble in (WebSocketClosedError(), ZeroDivisionError("a real one")):
            task = asyncio.get_running_loop().create_task(fails(trouble))
            await asyncio.sleep(0)
            await asyncio.sleep(0)
            del task
        gc.collect()

    server.keep_apart(tmp_path / server.LOG)
    asyncio.run(talk())
    seen, kept = capsys.readouterr().err, (tmp_path / server.LOG).read_text()
    assert "a real one" in seen
    assert "a real one" in kept
    assert "WebSocketClosedError" not in seen
    assert "WebSocketClosedError" in kept


def test_the_shipped_settings_name_things_that_are_there():
    """The module that the server loads, and JupyterLab's own names for what is overridden."""
    shipped = ROOT / "herbcalc" / "data" / "jupyter"
    names = json.loads((shipped / "jupyter_server_config.json").read_text())["ServerApp"]["jpserver_extensions"]
    for name in names:
        assert importlib.import_module(name)._jupyter_server_extension_points() == [{"module": name}]
    overrides = json.loads((shipped / "labconfig" / "default_setting_overrides.json").read_text())
    for plugin, settings in overrides.items():
        package, name = plugin.split(":")
        known = json.loads((SCHEMAS / package / f"{name}.json").read_text(encoding="utf-8"))["properties"]
        assert set(settings) <= set(known), plugin


def test_a_press_never_overtakes_what_was_typed_before_it():
    """Widgets that talk to threads of their own in the kernel: Check then looked at the answer before the last."""
    overrides = json.loads((SHIPPED / "labconfig" / "default_setting_overrides.json").read_text(encoding="utf-8"))
    assert overrides["@jupyterlab/apputils-extension:kernels-settings"]["commsOverSubshells"] == "disabled"


SCHEMAS = LAB.parent / "schemas"
# Keys without Ctrl or Alt that a chosen cell keeps: they go to a cell, into it, out of it, or run it.
KEPT = {"Enter", "Escape", "Shift Enter", "Shift ArrowUp", "Shift ArrowDown", "Shift Home", "Shift End"}
KEPT |= {"ArrowUp", "ArrowDown"}  # written anew, so that a slider keeps them
Key = tuple[str, str, str]


def their_keys() -> set[Key]:
    """Every shortcut that this JupyterLab ships: command, keys, selector."""
    found = [json.loads(file.read_text(encoding="utf-8")) for file in SCHEMAS.rglob("*.json")]
    shortcuts = [one for schema in found for one in schema.get("jupyter.lab.shortcuts", [])]
    return {key_of(one) for one in shortcuts if "".join(one.get("keys", []))}


def key_of(shortcut: dict[str, Any]) -> Key:
    return shortcut["command"], " ".join(shortcut["keys"]), shortcut["selector"]


def switched_off() -> set[Key]:
    overrides = json.loads((SHIPPED / "labconfig" / "default_setting_overrides.json").read_text(encoding="utf-8"))
    shortcuts = overrides["@jupyterlab/shortcuts-extension:shortcuts"]["shortcuts"]
    return {key_of(one) for one in shortcuts if one.get("disabled")}


def test_what_is_switched_off_is_a_shortcut_of_this_jupyterlab():
    """A shortcut that a newer one names anew would come back unnoticed."""
    assert switched_off() <= their_keys()


def test_no_letter_and_no_digit_does_anything_to_a_chosen_cell():
    for command, keys, selector in their_keys() - switched_off():
        if re.search("Ctrl|Accel|Alt|Meta|Cmd", keys) or keys in KEPT:
            continue
        of_a_cell = "jp-mod-commandMode" in selector or "data-jp-kernel-user" in selector
        assert not of_a_cell, f"{keys} does {command} where a cell is chosen"
        assert selector != "body" or re.fullmatch(r"F\d+", keys), f"{keys} does {command} anywhere"


def test_the_script_of_the_page_is_found_by_jupyterlab():
    """It stands in for a part of JupyterLab, so that part must be there under this name, and be left out."""
    from jupyterlab_server.config import get_federated_extensions, get_page_config

    folder = SHIPPED / "labextensions"
    package = get_federated_extensions([str(folder)])["herbcalc"]
    assert (folder / "herbcalc" / package["jupyterlab"]["_build"]["load"]).exists()
    page = get_page_config([str(folder)])
    left_out = page["disabledExtensions"]
    assert set(package["jupyterlab"]["disabledExtensions"]) <= set(left_out)
    program = LAB.parents[4] / "share" / "jupyter" / "lab" / "static"
    text = "".join(file.read_text(encoding="utf-8") for file in program.glob("jlab_core.*.js"))
    for name in package["jupyterlab"]["disabledExtensions"]:
        assert f'"{name}"' in text, f"JupyterLab has no {name} any more"
    for title in ("Kernel Restarting", "Kernel Terminating", "Restart Kernel?", "File Save Error"):
        assert title in text, f"JupyterLab has no box called {title} any more"
        assert title in (folder / "herbcalc" / "static" / "page.js").read_text(encoding="utf-8")


def test_the_settings_name_the_script_and_what_runs_at_a_kernels_start(tmp_path, monkeypatch):
    monkeypatch.setenv("HERBCALC_SETTINGS", str(tmp_path))
    places = lab.settings(tmp_path / "sums")
    assert places["JUPYTER_PATH"] == places["JUPYTER_CONFIG_PATH"] == str(SHIPPED)
    startup = tmp_path / "ipython" / "profile_default" / "startup" / "10-herbcalc.py"
    shell = InteractiveShell()
    monkeypatch.setattr("IPython.get_ipython", lambda: shell)
    exec(compile(startup.read_text(encoding="utf-8"), str(startup), "exec"), {})
    assert NameError in shell.custom_exceptions
    shell.history_manager.end_session()
    startup.write_text("an older one")
    lab.settings(tmp_path / "sums")
    assert "install()" in startup.read_text()
