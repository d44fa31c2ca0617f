"""Floor 6. A wheel made small and quick for the browser: without what it carries for nobody, and compiled beforehand.

A browser that is handed source text compiles all of it at every start, which takes longer than to run it. Compiled
files suit one release of Python only, so this module is run by the very Python that the site carries (`slim.mjs` has
Node do it), as a program of its own: standard library only, and nothing of herbcalc's.
"""

from __future__ import annotations

import json
import zipfile
from fnmatch import fnmatch
from importlib._bootstrap_external import _code_to_hash_pyc  # type: ignore[import-not-found]
from pathlib import Path

SAME_DAY = (2000, 1, 1, 0, 0, 0)  # so that the same files always make the same archive
NOT_ASKED = bytes(8)  # a compiled file that is used without a look at its source


def slim(path: Path, to: Path, without: list[str], sources: bool) -> None:
    """Write the archive `path` (a wheel, or the standard library) into `to`, smaller and compiled.

    without: patterns of the files to leave out, such as "numpy/f2py/*"; sources: whether each `.py` is kept beside
    what it was compiled to, so that a traceback shows its lines.
    """
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(to, "w") as new:
        for name in sorted(old.namelist()):
            if name.endswith("/") or any(fnmatch(name, pattern) for pattern in without):
                continue
            held = old.read(name)
            code = compiled(name, held) if name.endswith(".py") else None
            if code is None or sources:
                add(new, name, held)
            if code is not None:
                add(new, beside(name) if sources else name + "c", code)


def compiled(name: str, source: bytes) -> bytes | None:
    """What Python makes of a module's text; None for a file that is no module of this Python, such as a template."""
    try:
        code = compile(source, name, "exec", dont_inherit=True)
    except (SyntaxError, ValueError):
        return None
    return bytes(_code_to_hash_pyc(code, NOT_ASKED, False))


def beside(name: str) -> str:
    """Where Python looks for the compiled file of a module whose source is there."""
    from importlib.util import cache_from_source

    return cache_from_source(name)


def add(archive: zipfile.ZipFile, name: str, held: bytes) -> None:
    """Put one file into an archive, squeezed."""
    archive.writestr(zipfile.ZipInfo(name, SAME_DAY), held, zipfile.ZIP_DEFLATED, 9)


def work_off(folder: Path) -> None:
    """Do everything that `jobs.json` in this folder asks for; the paths in it are taken from there."""
    for job in json.loads((folder / "jobs.json").read_text(encoding="utf-8")):
        part = folder / f"{job['to']}.part"
        slim(folder / job["from"], part, job["without"], job["sources"])
        part.replace(folder / job["to"])


if __name__ == "__main__":
    work_off(Path("/store"))
