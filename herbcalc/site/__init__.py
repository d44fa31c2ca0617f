"""Floor 6. `python3 -m herbcalc site`: the whole workbook as a folder of files that needs nothing but a browser.

The folder can be put behind any web server. Python itself runs inside the visitor's browser (Pyodide, with
JupyterLite around it); no address but that of the site is asked for anything. Standard library only, but for
`--class`, which asks the house rules whether a teacher's file can be used.
"""

from __future__ import annotations

import argparse
import errno
import hashlib
import json
import shutil
import sys
import time
import tomllib
from collections.abc import Callable, Sequence
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import ClassVar

from herbcalc.launch import ME
from herbcalc.site.laying import NOTEBOOKS, front_page, lay_class, lay_notebooks, lay_python, lite
from herbcalc.site.parts import NotFetched, SiteTrouble, tools

__all__ = [
    "NOTEBOOKS",
    "NotFetched",
    "SiteTrouble",
    "build",
    "built",
    "looked_through",
    "main",
    "server",
    "size",
    "stamp",
]

ROOT = Path(__file__).resolve().parents[2]
PORT = 8617
MARK = "herbcalc-site.json"  # lies in every site we built; without it we never clear a folder

ABOUT = """\
Builds the workbook as a web site that needs nothing installed: a student opens it in a browser, and Python runs
inside that browser. The first build fetches about 200 MB and takes a minute or two; later ones need no network.

With --class FILE your house rules and class code come with it: the file is looked through, and goes into the
my-herb-sums of everyone who opens the site. The README shows what can stand in it.

Put the finished folder on any web host, at an https:// address. Opening its files straight from a disk does not
work: browsers do not allow it. To try it on this computer, add --serve.
"""

AFTER = """\
What students should know: their work is kept in their own browser, on that one computer, under that one address.
Nothing is sent anywhere. To hand in homework they save the answers file from the list of files (right-click,
Download). Clearing the browser's data deletes their work. A lesson they have changed stays as they left it when you
put up a newer site; Delete in the list of files brings the newer one.
"""


def looked_through(sheet: Path) -> bytes:
    """What a teacher's class.toml at `sheet` holds, once it is sure that a lesson can use it.

    Refuses (SiteTrouble): a file that is not there, a house rule that cannot be used, a class code that is none.
    """
    from herbcalc import rules
    from herbcalc.homework.draws import normal_form
    from herbcalc.units.refusals import OutOfRange, WrongUnit

    if not sheet.is_file():
        raise SiteTrouble(f"There is no file {sheet}. Behind --class comes the path of your class.toml.")
    try:
        rules.read(sheet)
        held = sheet.read_bytes()
        said = tomllib.loads(held.decode("utf-8-sig").replace("\r\n", "\n"))
        if "class" in said:
            normal_form(said["class"])
    except (OutOfRange, WrongUnit) as refusal:
        raise SiteTrouble(str(refusal)) from refusal
    if not isinstance(said.get("set_work", False), bool):
        raise SiteTrouble(f"{sheet}: set_work is true or false, without quotes.")
    return held


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


def build(
    to: Path, root: Path = ROOT, again: bool = False, sheet: bytes = b"", say: Callable[..., None] = print
) -> bool:
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
    step = _Steps(4, say)
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

    def __init__(self, count: int, say: Callable[..., None]) -> None:
        self.count, self.say, self.at, self.begun = count, say, 0, time.monotonic()

    def __call__(self, what: str) -> None:
        self.at += 1
        self.say(f"{time.monotonic() - self.begun:4.0f} s   {self.at} of {self.count}: {what}", flush=True)

    def done(self) -> None:
        self.say(f"{time.monotonic() - self.begun:4.0f} s   done", flush=True)


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


def main(arguments: Sequence[str] | None = None) -> int:
    """The command line; gives the exit code."""
    parser = argparse.ArgumentParser(
        prog=f"{ME} site",
        allow_abbrev=False,
        description=ABOUT,
        epilog=AFTER,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--to", metavar="FOLDER", help="where to put the site (without it: .site/site in the checkout)"
    )
    parser.add_argument("--class", dest="sheet", metavar="FILE", help="your class.toml, to come with the site")
    parser.add_argument(
        "--again", action="store_true", help="build it even if nothing has changed since the last time"
    )
    parser.add_argument("--serve", action="store_true", help="then show it on this computer, until you press Ctrl+C")
    parser.add_argument(
        "--port", type=int, default=PORT, help=f"for --serve: the number in the address (else {PORT})"
    )
    asked = parser.parse_args(arguments)
    to = Path(asked.to).expanduser() if asked.to else ROOT / ".site" / "site"
    try:
        sheet = looked_through(Path(asked.sheet).expanduser()) if asked.sheet is not None else b""
        fresh = build(to, again=asked.again, sheet=sheet)
        count, total = size(to)
        print(f"{'The site is in' if fresh else 'Nothing has changed; the site is still in'} {to}")
        if sheet:
            print(f"Your {Path(asked.sheet).name} is in it.")
        print(f"{count} files, {total / 1e6:.0f} MB. Put the whole folder on any web host.")
        if asked.serve:
            with server(to, asked.port) as web:
                print(f"Open http://127.0.0.1:{asked.port}/ in a browser. Press Ctrl+C here to stop.", flush=True)
                web.serve_forever()
        else:
            print("To see it on this computer, give the same command with --serve.")
    except SiteTrouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped.")
    return 0
