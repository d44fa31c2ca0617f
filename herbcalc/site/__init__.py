"""Floor 6. `python3 -m herbcalc site`: the whole workbook as a folder of files that needs nothing but a browser.

The folder can be put behind any web server. Python itself runs inside the visitor's browser (Pyodide, with
JupyterLite around it); no address but that of the site is asked for anything. Standard library only, but for
`--class`, which asks the house rules whether a teacher's file can be used.
"""

from __future__ import annotations

import errno
import hashlib
import json
import shutil
import sys
import time
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import ClassVar

from herbcalc.run.console import say
from herbcalc.site.laying import NOTEBOOKS, front_page, lay_class, lay_notebooks, lay_python, lite
from herbcalc.site.offline import lay_worker
from herbcalc.site.parts import NotFetched, SiteTrouble, tools

__all__ = [
    "NOTEBOOKS",
    "NotFetched",
    "SiteTrouble",
    "build",
    "built",
    "carry_out",
    "looked_through",
    "server",
    "size",
    "stamp",
]

ROOT = Path(__file__).resolve().parents[2]
PORT = 8617
MARK = "herbcalc-site.json"  # lies in every site we built; without it we never clear a folder


def looked_through(sheet: Path) -> bytes:
    """What a teacher's class.toml at `sheet` holds, once it is sure that a lesson can use it.

    Refuses (SiteTrouble): a file that is not there, and one with anything in it that a lesson would pass over.
    """
    from herbcalc.homework.week import week  # this, and the house rules, need more than the standard library
    from herbcalc.person import class_file

    if not sheet.is_file():
        raise SiteTrouble(f"There is no file {sheet}. Behind --class comes the path of your class.toml.")
    held = class_file.read(sheet)
    if amiss := (*held.amiss, *week(held).amiss):
        raise SiteTrouble("\n".join(one.said for one in amiss))
    return sheet.read_bytes()


def stamp(root: Path, sheet: bytes = b"") -> str:
    """A sha256 over every file that ends up in the site, so that an unchanged site is not built again."""
    digest = hashlib.sha256(sheet)
    for part in ("herbcalc", *NOTEBOOKS, "pyproject.toml"):
        for path in sorted([root / part] if (root / part).is_file() else (root / part).rglob("*")):
            place = path.relative_to(root)
            if path.is_file() and not any(p.startswith((".", "__pycache__")) for p in place.parts):
                digest.update(f"{place.as_posix()}\0{hashlib.sha256(path.read_bytes()).hexdigest()}\n".encode())
    return digest.hexdigest()


def built(folder: Path) -> str | None:
    """The stamp of the site in `folder`; None where there is none."""
    mark = folder / MARK
    return json.loads(mark.read_text(encoding="utf-8"))["stamp"] if mark.exists() else None


def size(folder: Path) -> tuple[int, int]:
    """How many files a folder holds, and how many bytes."""
    files = [path for path in folder.rglob("*") if path.is_file()]
    return len(files), sum(path.stat().st_size for path in files)


def build(to: Path, root: Path = ROOT, again: bool = False, sheet: bytes = b"") -> bool:
    """Build the site of the checkout at `root` into the folder `to`; gives False where it was up to date.

    sheet: the teacher's class.toml, as `looked_through` gives it; none when it is empty.
    Raises SiteTrouble, with a sentence, where a part is missing or `to` holds something that is not a site of ours.
    """
    if not (root / "pyproject.toml").exists():
        raise SiteTrouble("The site is built from a checkout of herbcalc, and this copy of it is not in one.")
    to = to.resolve()
    if to.exists() and built(to) is None and any(to.iterdir()):
        raise SiteTrouble(
            f"{to} holds files that this command did not put there, so it is left alone. Name another folder."
        )
    now = stamp(root, sheet)
    if not again and built(to) == now:
        return False
    home = root / ".site"
    store, work = home / "store", home / "work"
    store.mkdir(parents=True, exist_ok=True)
    shutil.rmtree(work, ignore_errors=True)  # the build's own notes lie there; old ones would make it skip steps
    (work / "lite").mkdir(parents=True)
    step = _Steps(4)
    step("build tools (the first time: a minute, and the network is needed)")
    python = tools(home / "tools")
    step("Python for the browser, and the packages that the lessons use")
    lay_python(root, python, store, work / "lite" / "static" / "pyodide")
    step("lessons and exercises")
    notebooks = lay_notebooks(root, work / "contents")
    if sheet:
        lay_class(sheet, work / "contents")
    step("the site itself")
    lite(python, work, work / "site")
    (work / "site" / "index.html").write_text(front_page(work / "contents", notebooks), encoding="utf-8")
    lay_worker(work / "site")
    mark = {"about": "The herb workbook for the browser, built by: python3 -m herbcalc site", "stamp": now}
    (work / "site" / MARK).write_text(json.dumps(mark), encoding="utf-8")
    shutil.rmtree(to, ignore_errors=True)
    to.parent.mkdir(parents=True, exist_ok=True)
    shutil.move(work / "site", to)
    shutil.rmtree(work)
    step.done()
    return True


class _Steps:
    """Says which step is at work, and how long each one took."""

    def __init__(self, count: int) -> None:
        self.count, self.at, self.begun = count, 0, time.monotonic()

    def __call__(self, what: str) -> None:
        self.at += 1
        say(f"{time.monotonic() - self.begun:4.0f} s   {self.at} of {self.count}: {what}")

    def done(self) -> None:
        say(f"{time.monotonic() - self.begun:4.0f} s   done")


class _Files(SimpleHTTPRequestHandler):
    """Serves the files of a site and always lets the browser ask whether they are still the same."""

    extensions_map: ClassVar[dict[str, str]] = {
        **SimpleHTTPRequestHandler.extensions_map,
        ".js": "text/javascript",  # some computers have another idea of this, and a browser then refuses the script
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
        ".json": "application/json",
    }

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:
        """A class does not need to read the list of files that its browsers fetch."""


def server(folder: Path, port: int = PORT) -> ThreadingHTTPServer:
    """A web server for the site in `folder`, on this computer only."""
    try:
        return ThreadingHTTPServer(("127.0.0.1", port), partial(_Files, directory=str(folder)))
    except OSError as trouble:
        if trouble.errno != errno.EADDRINUSE:
            raise
        raise SiteTrouble(
            f"Something on this computer already serves at port {port}: perhaps this very site, in another window. "
            "Stop it there, or add --port with another number. Work that was kept belongs to the port it was done at."
        ) from trouble


def carry_out(
    to: Path | None = None, sheet: Path | None = None, again: bool = False, serve: bool = False, port: int = PORT
) -> int:
    """Build the site, say where it is, and show it on this computer where that is asked for; gives the exit code.

    to: the folder to put it into, `.site/site` where none is named; sheet: the path of a teacher's class.toml; again:
    build it even if nothing has changed; serve, port: show it, under that number, until Ctrl C.
    """
    to = to or ROOT / ".site" / "site"
    try:
        held = looked_through(sheet) if sheet is not None else b""
        fresh = build(to, again=again, sheet=held)
        count, total = size(to)
        say(f"{'The site is in' if fresh else 'Nothing has changed; the site is still in'} {to}")
        if sheet is not None:
            say(f"Your {sheet.name} is in it.")
        say(f"{count} files, {total / 1e6:.0f} MB. Put the whole folder on any web host.")
        if serve:
            with server(to, port) as web:
                say(f"Open http://127.0.0.1:{port}/ in a browser. Press Ctrl+C here to stop.")
                web.serve_forever()
        else:
            say("To see it on this computer, give the same command with --serve.")
    except SiteTrouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        say("\nStopped.")
    return 0
