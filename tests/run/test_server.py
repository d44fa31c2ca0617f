"""What the notebook server does on saving, asked of the function and of a real contents manager."""

from __future__ import annotations

import copy
import importlib
import json
from pathlib import Path

import nbformat

from herbcalc.run import server

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


def test_a_real_save_leaves_no_widget_in_the_file(tmp_path):
    from jupyter_server.services.contents.filemanager import FileContentsManager

    class App:
        contents_manager = FileContentsManager(root_dir=str(tmp_path))

    server._load_jupyter_server_extension(App)
    App.contents_manager.save({"type": "notebook", "format": "json", "content": a_notebook()}, "a.ipynb")
    App.contents_manager.notary.store.close()  # its little database; Python 3.13 minds when it is left open
    saved = (tmp_path / "a.ipynb").read_text(encoding="utf-8")
    assert "28.6 % vol" in saved
    assert server.VIEW not in saved
    assert "widget-state" not in saved


def test_the_shipped_settings_name_things_that_are_there():
    """The module that the server loads, and JupyterLab's own names for what is overridden."""
    import jupyterlab

    shipped = ROOT / "herbcalc" / "data" / "jupyter"
    names = json.loads((shipped / "jupyter_server_config.json").read_text())["ServerApp"]["jpserver_extensions"]
    for name in names:
        assert importlib.import_module(name)._jupyter_server_extension_points() == [{"module": name}]
    overrides = json.loads((shipped / "labconfig" / "default_setting_overrides.json").read_text())
    schemas = Path(jupyterlab.__file__).parent / "schemas"
    for plugin, settings in overrides.items():
        package, name = plugin.split(":")
        known = json.loads((schemas / package / f"{name}.json").read_text(encoding="utf-8"))["properties"]
        assert set(settings) <= set(known), plugin
    keys = json.loads((schemas / "@jupyterlab/notebook-extension/tracker.json").read_text())["jupyter.lab.shortcuts"]
    theirs = {(k["command"], k["keys"][0], k["selector"]) for k in keys if k.get("keys")}
    for cut in overrides["@jupyterlab/shortcuts-extension:shortcuts"]["shortcuts"]:
        if cut.get("disabled"):
            assert (cut["command"], cut["keys"][0], cut["selector"]) in theirs
