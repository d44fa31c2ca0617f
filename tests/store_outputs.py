"""Run notebooks afresh and store what they show, as number 1 of class "practice".

    python tests/store_outputs.py                        all of workbook/ and exercises/
    python tests/store_outputs.py workbook/05*.ipynb     some of them

Live widgets are left out of the file (the picture and sentence beside them stay), as are times and the version of the
Python that ran it, so storing twice changes nothing. A cell that stops without the tag `raises-exception` stops
this command, and nothing of that notebook is stored.
"""

from __future__ import annotations

import runpy
import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

from herbcalc.run.server import strip

ROOT = Path(__file__).resolve().parent.parent
KERNEL = {"name": "python3", "display_name": "Python 3", "language": "python"}


def run(path: Path) -> nbformat.NotebookNode:
    """Run one notebook in a new kernel, in its own folder, and give it back as it should be stored."""
    notebook = nbformat.read(path, as_version=4)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    notebook.metadata = nbformat.from_dict({"kernelspec": KERNEL, "language_info": {"name": "python"}})
    NotebookClient(
        notebook,
        timeout=60,
        kernel_name="python3",
        coalesce_streams=True,  # a busy machine sends a print in two halves
        resources={"metadata": {"path": path.parent}},
    ).execute()
    return tidy(notebook)


def tidy(notebook: nbformat.NotebookNode) -> nbformat.NotebookNode:
    """Leave out what differs from run to run, and what only a live kernel can show."""
    strip(notebook)
    notebook.metadata = nbformat.from_dict({"kernelspec": KERNEL, "language_info": {"name": "python"}})
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
        for output in cell.get("outputs", []):
            output.get("metadata", {}).clear()
    nbformat.validate(notebook)
    return notebook


def main(names: list[str]) -> None:
    """Run and store the named notebooks, all when none is named."""
    runpy.run_path(str(ROOT / "tests" / "conftest.py"))  # class "practice", number 1, in a folder of its own
    for path in (
        map(Path, names)
        if names
        else sorted(
            [*ROOT.glob("workbook/*.ipynb"), *ROOT.glob("workbook/teacher/*.ipynb"), *ROOT.glob("exercises/*.ipynb")]
        )
    ):
        notebook = run(path.resolve())
        path.write_text(nbformat.writes(notebook) + "\n", encoding="utf-8")
        print(f"stored {path.name}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
