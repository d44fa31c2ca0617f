"""Floor 6. Laying the fetched parts, our own wheel and the notebooks together into one static folder."""

from __future__ import annotations

import gzip
import html
import json
import re
import shutil
import tomllib
import zipfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from herbcalc.place import CLASS, USUAL
from herbcalc.site.parts import (
    DATA,
    NETWORK,
    SiteTrouble,
    compiled,
    kernel,
    lock,
    parts,
    plain_name,
    pure,
    run,
    runtime,
    slimmed,
    unpack_runtime,
    wanted,
)

NOTEBOOKS = ("workbook", "exercises")
SHIPPED = DATA.parent / "jupyter"  # what JupyterLab is given at home
AT_HOME = SHIPPED / "labconfig" / "default_setting_overrides.json"
PAGE = SHIPPED / "labextensions" / "herbcalc"
WIDGETS = ("ipywidgets", "anywidget")  # what a lesson's panel needs beside the project's own dependencies
KERNELSPEC = {"display_name": "Python (Pyodide)", "language": "python", "name": "python"}
LIBRARY = "python_stdlib"
PACKAGES = "packages.bin"  # not .gz: some hosts would tell the browser to unpack that itself
KERNEL = "@jupyterlite/pyodide-kernel-extension"


def own_wheel(root: Path, python: Path, to: Path) -> Path:
    """Build herbcalc's own wheel from the checkout at `root` into the folder `to`."""
    shutil.rmtree(to, ignore_errors=True)
    to.mkdir(parents=True)
    run(
        [python, "-m", "hatchling", "build", "-t", "wheel", "-d", to],
        "herbcalc's own package could not be built.",
        root,
    )
    return next(to.glob("herbcalc-*.whl"))


def own_needs(root: Path) -> list[str]:
    """The packages that herbcalc needs in a browser, from its pyproject."""
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    named = [plain_name(re.split(r"[^\w.-]", need)[0]) for need in project["dependencies"]]
    return wanted(named) + list(WIDGETS)


def in_one(wheels: Iterable[Path], to: Path) -> None:
    """Put all that the wheels hold into the one file `to`, squeezed as a whole.

    A browser unpacks that in a third of the time that forty wheels take. First comes the length of a list, in four
    bytes, then the list, a name and a length for each file, then the files (`early.js` reads it).
    """
    names, held = [], []
    for wheel in wheels:
        with zipfile.ZipFile(wheel) as z:
            for name in z.namelist():
                held.append(z.read(name))
                names.append((name, len(held[-1])))
    listed = json.dumps(names).encode("utf-8")
    whole = b"".join([len(listed).to_bytes(4, "little"), listed, *held])
    to.write_bytes(gzip.compress(whole, 6, mtime=0))


def lay_python(root: Path, python: Path, store: Path, to: Path) -> None:
    """Fill the folder `to` with Python for the browser, and with all packages in one file."""
    archive = runtime(store)
    whole = lock(archive)
    to.mkdir(parents=True)
    unpack_runtime(archive, to)
    needs = {name: package["depends"] for name, package in whole["packages"].items()}
    needs |= {wheel["name"]: wheel["needs"] for wheel in parts()["wheel"]}
    found = compiled(store, python, whole["packages"]) | pure(store, python)
    ready = {name: (path, needs[name]) for name, path in found.items()} | kernel(python)
    ready["herbcalc"] = (own_wheel(root, python, store.parent / "own"), own_needs(root))
    absent = sorted({need for _, needed in ready.values() for need in wanted(needed)} - set(ready))
    if absent:
        raise SiteTrouble(
            f"The site would lack {', '.join(absent)}. Add it to herbcalc/data/site/parts.toml, under [carrier] when "
            "it is compiled, as a [[wheel]] when it is not."
        )
    library = {LIBRARY: to / f"{LIBRARY}.zip"}
    small = slimmed({name: path for name, (path, _) in ready.items()} | library, store, to)
    shutil.copy(small.pop(LIBRARY), library[LIBRARY])
    in_one((path for _, path in sorted(small.items())), to / PACKAGES)
    (to / "pyodide-lock.json").write_text(json.dumps({**whole, "packages": {}}), encoding="utf-8")


def lay_notebooks(root: Path, to: Path) -> list[Path]:
    """Copy lessons, exercises and teacher's notes into `to`; gives the notebooks, relative to it.

    The copies name the kernel of the browser, so that nobody is asked which kernel to take.
    """
    shutil.rmtree(to, ignore_errors=True)
    found = []
    for part in NOTEBOOKS:
        for path in sorted((root / part).rglob("*")):
            place = path.relative_to(root)
            # A teacher's notebook reads files on her own computer, and wants pandas.
            elsewhere = path.suffix in (".py", ".pyc") or (path.suffix == ".ipynb" and path.parent.name == "teacher")
            if path.is_dir() or elsewhere or any(p.startswith((".", "__")) for p in place.parts):
                continue
            target = to / place
            target.parent.mkdir(parents=True, exist_ok=True)
            if path.suffix != ".ipynb":
                shutil.copy(path, target)
                continue
            book = json.loads(path.read_text(encoding="utf-8"))
            book["metadata"]["kernelspec"] = KERNELSPEC
            target.write_text(json.dumps(book, ensure_ascii=False, indent=1), encoding="utf-8")
            found.append(place)
    if not found:
        raise SiteTrouble(f"There is no notebook in {root / NOTEBOOKS[0]}, so there is nothing to build a site of.")
    return found


def lay_class(sheet: bytes, to: Path) -> None:
    """Lay the teacher's class.toml where the lessons in a browser look for it."""
    home = to / USUAL
    home.mkdir()
    (home / CLASS).write_bytes(sheet)


def title(notebook: Path) -> str:
    """The first heading of a notebook, else its file name in words."""
    for cell in json.loads(notebook.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "markdown":
            for line in "".join(cell["source"]).splitlines():
                if line.startswith("# "):
                    return line[2:].strip()
    return notebook.stem.replace("_", " ")


def front_page(contents: Path, notebooks: list[Path]) -> str:
    """The page that a visitor sees first: how to work here, and a link to every notebook."""
    lists: dict[str, list[str]] = {part: [] for part in NOTEBOOKS}
    for place in notebooks:
        link = html.escape(f"lab/index.html?path={place.as_posix()}", quote=True)
        lists[place.parts[0]].append(f'<li><a href="{link}">{html.escape(title(contents / place))}</a></li>')
    page = (DATA / "front.html").read_text(encoding="utf-8")
    for part, lines in lists.items():
        page = page.replace(f"<!-- {part} -->", "\n".join(lines) or "<li>None yet.</li>")
    return page


def together(one: Any, other: Any) -> Any:
    """Two trees of settings as one: lists are joined, and what stands in both is taken from the second.

    >>> together({"keys": [1], "wide": {"a": 1, "b": 1}}, {"keys": [2], "wide": {"b": 2}})
    {'keys': [1, 2], 'wide': {'a': 1, 'b': 2}}
    """
    if isinstance(one, list):
        return one + other
    if isinstance(one, dict):
        both = {name: together(one[name], other[name]) for name in one.keys() & other.keys()}
        return {**one, **other, **both}
    return other


def lite(python: Path, work: Path, to: Path) -> None:
    """Let JupyterLite write the whole site into `to`, from the folders `lite` and `contents` in `work`.

    Its settings are in `data/site/`. `jupyter-lite.json`: what a page loads at its start. `jupyter_lite_config.json`:
    that files ending in .json and .jsonl are plain text (taken for JSON, a result file of two lines would make the
    browser wait for ever). `overrides.json`: that no cell is left out of the page while it is out of sight, and that
    the keys of headings, which this JupyterLab has under another selector, are off. What is set for the workbook at
    home, such as that no single key does anything to a chosen cell, holds here as well.
    """
    asked = json.loads((DATA / "jupyter-lite.json").read_text(encoding="utf-8"))
    script = json.loads((PAGE / "package.json").read_text(encoding="utf-8"))
    asked["jupyter-config-data"]["disabledExtensions"] = script["jupyterlab"]["disabledExtensions"]
    (work / "lite" / "jupyter-lite.json").write_text(json.dumps(asked), encoding="utf-8")
    at_home = json.loads(AT_HOME.read_text(encoding="utf-8"))
    here = json.loads((DATA / "overrides.json").read_text(encoding="utf-8"))
    (work / "lite" / "overrides.json").write_text(json.dumps(together(at_home, here)), encoding="utf-8")
    settings = shutil.copy(DATA / "jupyter_lite_config.json", work)
    command: list[str | Path] = [
        python,
        "-m",
        "jupyterlite_core",
        "build",
        "--config",
        settings,
        "--lite-dir",
        work / "lite",
    ]
    command += ["--contents", work / "contents", "--output-dir", to]
    command.append(f"--FederatedExtensionAddon.extra_labextensions_path={PAGE.parent}")
    run(command, f"JupyterLite could not build the site. {NETWORK}", work)
    for pattern in parts()["without"]["files"]["site"]:
        for path in to.rglob(pattern):
            path.unlink()
    config = json.loads((to / "jupyter-lite.json").read_text(encoding="utf-8"))["jupyter-config-data"]
    kernel_settings = config["litePluginSettings"][f"{KERNEL}:kernel"]
    if not kernel_settings.get("pyodideUrl", "").startswith("./static/pyodide/"):
        raise SiteTrouble(
            "The site that was built would fetch its Python from another address. Delete the folder .site and "
            "build again."
        )
    lay_early(to, kernel_settings["loadPyodideOptions"], config["appVersion"])


def lay_early(site: Path, options: dict[str, Any], version: str) -> None:
    """Have the pages of a finished site begin Python at once, in a worker that their first notebook is then lent.

    options: how JupyterLite loads Python; version: JupyterLite's. Its worker is the file of its kernel that asks the
    site for what is typed, and starts no worker itself.
    """
    scripts = (site / "extensions" / KERNEL / "static").glob("*.js")
    texts = {path: path.read_text(encoding="utf-8") for path in scripts}
    found = [path for path, text in texts.items() if "/api/stdin/kernel" in text and "initWorker(" not in text]
    if len(found) != 1:
        raise SiteTrouble("The file in which JupyterLite runs Python was not found, so the site is not finished.")
    theirs = found[0].relative_to(site).as_posix()
    script = (DATA / "early.js").read_text(encoding="utf-8")
    script = script.replace('"KERNEL"', json.dumps(f"../../{theirs}")).replace('"OPTIONS"', json.dumps(options))
    (site / "static" / "pyodide" / "early.js").write_text(script, encoding="utf-8")
    begin = (DATA / "early-page.js").read_text(encoding="utf-8").replace('"KERNEL"', json.dumps(found[0].name))
    begin = begin.replace('"VERSION"', json.dumps(version))
    page = site / "lab" / "index.html"
    text = page.read_text(encoding="utf-8")
    page.write_text(text.replace("<head>", f"<head>\n<script>\n{begin}</script>", 1), encoding="utf-8")
