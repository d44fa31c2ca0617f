"""Floor 6. The parts a browser-only site is made from: fetched once, checked, and kept for the next build.

Everything fetched is named with its version and sha256 in `data/site/parts.toml` and kept in `.site/store/`, so
that a second build asks the network for nothing. Standard library only.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

DATA = Path(__file__).parents[1] / "data" / "site"
NETWORK = "Is this computer online? The network is needed for the first build only."


class SiteTrouble(Exception):
    """The site cannot be built; the text says in a sentence what happened and what would help."""


class NotFetched(SiteTrouble):
    """A part that has to be fetched is not to be had: no network, or the program that fetches it is missing."""


def parts() -> dict[str, Any]:
    """What the site is made from, as read from `data/site/parts.toml`."""
    return tomllib.loads((DATA / "parts.toml").read_text(encoding="utf-8"))


def plain_name(name: str) -> str:
    """The name of a package as package indexes compare it.

    >>> plain_name("Typing_Extensions")
    'typing-extensions'
    """
    return name.lower().replace("_", "-").replace(".", "-")


def sha256(data: bytes) -> str:
    """The sha256 of some bytes, as 64 hexadecimal letters."""
    return hashlib.sha256(data).hexdigest()


def run(
    command: Sequence[str | Path], trouble: str, folder: Path | None = None, kind: type[SiteTrouble] = SiteTrouble
) -> None:
    """Run a command quietly; when it does not succeed, raise `kind` with `trouble` and the command's last lines."""
    # A user's own site-packages, or the checkout on PYTHONPATH, must not leak into the tools of the build.
    clean = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME")}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=folder,
        env={**clean, "PYTHONUTF8": "1", "PYTHONNOUSERSITE": "1"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
        check=False,
    )
    if done.returncode:
        said = "\n".join("    " + line for line in done.stdout.strip().splitlines()[-12:])
        raise kind(f"{trouble}\nThe last lines of {Path(command[0]).name} were:\n{said}")


def tools(folder: Path) -> Path:
    """The Python of the build's own environment in `folder`, made and filled when it is not there yet."""
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    stamp = folder / "ready"
    wanted = json.dumps([str(folder), sys.version, parts()["tools"]["packages"]])
    if python.exists() and stamp.exists() and stamp.read_text(encoding="utf-8") == wanted:
        return python
    shutil.rmtree(folder, ignore_errors=True)
    run(
        [sys.executable, "-m", "venv", folder],
        "Python could not make an environment for the build tools. On Debian or Ubuntu this helps: "
        "sudo apt install python3-venv",
    )
    run(
        [python, "-m", "pip", "install", "--quiet", *parts()["tools"]["packages"]],
        f"The tools that build the site could not be installed. {NETWORK}",
        kind=NotFetched,
    )
    stamp.write_text(wanted, encoding="utf-8")
    return python


def checked(path: Path, wanted: str) -> bool:
    """Whether `path` is there with the sha256 `wanted`."""
    return path.exists() and sha256(path.read_bytes()) == wanted


def must_match(path: Path, wanted: str) -> None:
    """Refuse a fetched file that is missing or is not the one named in parts.toml."""
    if not path.exists():
        raise NotFetched(f"{path.name} was asked for and did not arrive. {NETWORK}")
    if not checked(path, wanted):
        got = sha256(path.read_bytes())
        path.unlink()
        raise SiteTrouble(
            f"{path.name} that arrived is not the one this build was tried with (its sha256 is {got}, not {wanted}), "
            "so it is not used. Try again; if it happens again, the file has been changed where it is kept."
        )


def runtime(store: Path) -> Path:
    """The archive of the Python that runs in a browser, from the npm registry."""
    part = parts()["runtime"]
    archive = store / part["archive"]
    if not checked(archive, part["sha256"]):
        npm = shutil.which("npm")
        if npm is None:
            raise NotFetched(
                "npm is not on this computer. It brings the Python that runs inside the browser. On Debian or Ubuntu "
                "this helps: sudo apt install npm. Elsewhere: install Node.js, which includes it. Then give this "
                "command again."
            )
        run(
            [npm, "pack", "--silent", f"{part['package']}@{part['version']}"],
            f"npm could not fetch it. {NETWORK}",
            store,
        )
        must_match(archive, part["sha256"])
    return archive


def lock(archive: Path) -> dict[str, Any]:
    """The lock file inside the runtime's archive: every package made for it, with file name, sha256 and needs."""
    with tarfile.open(archive) as tar:
        return json.loads(_member(tar, "pyodide-lock.json"))


def _member(tar: tarfile.TarFile, name: str) -> bytes:
    """One file of npm's archive."""
    file = tar.extractfile("package/" + name)
    if file is None:
        raise SiteTrouble(f"{name} is not in the archive that npm fetched.")
    return file.read()


def unpack_runtime(archive: Path, to: Path) -> None:
    """Lay the files of the runtime that a page loads into the folder `to`."""
    with tarfile.open(archive) as tar:
        for name in parts()["runtime"]["files"]:
            (to / name).write_bytes(_member(tar, name))


def compiled(store: Path, python: Path, packages: dict[str, Any]) -> dict[str, Path]:
    """The compiled wheels and what they need, by name, each checked against the lock's `packages`.

    They are taken out of the carrier, which is thrown away afterwards.
    """
    part = parts()["carrier"]
    names: list[str] = []
    todo = list(part["take"])
    while todo:  # the lock knows what each package needs
        name = todo.pop()
        if name not in names:
            names.append(name)
            todo += wanted(packages[name]["depends"])
    found = {name: store / packages[name]["file_name"] for name in sorted(names)}
    missing = [name for name, path in found.items() if not checked(path, packages[name]["sha256"])]
    if missing:
        archive = store / part["archive"]
        if not checked(archive, part["sha256"]):
            _download(python, store, [f"{part['package']}=={part['version']}"], "The compiled packages")
            must_match(archive, part["sha256"])
        with zipfile.ZipFile(archive) as z:
            for name in missing:
                found[name].write_bytes(z.read(part["folder"] + found[name].name))
                must_match(found[name], packages[name]["sha256"])
        archive.unlink()
    return found


def wanted(needs: Iterable[str]) -> list[str]:
    """Of the packages that something needs by its own account, those that it needs here."""
    return [need for need in needs if need not in parts()["without"]["packages"]]


def pure(store: Path, python: Path) -> dict[str, Path]:
    """The wheels of pure Python from the package index, by name."""
    wheels = parts()["wheel"]
    found = {wheel["name"]: store / wheel["file"] for wheel in wheels}
    missing = [wheel for wheel in wheels if not checked(found[wheel["name"]], wheel["sha256"])]
    if missing:
        asked = [f"{wheel['name']}=={wheel['file'].split('-')[1]}" for wheel in missing]
        _download(python, store, asked, "Some Python packages")
        for wheel in missing:
            must_match(found[wheel["name"]], wheel["sha256"])
    return found


def slimmed(found: dict[str, Path], store: Path, python: Path) -> dict[str, Path]:
    """The same archives made small and quick (`slim`), by name, kept for the next build.

    found: archives by the name of their package; python: the folder with the Python that the site carries. A name
    holds a few letters of what the archive was made from, so that a browser that kept another asks for this one.
    """
    (store / "slim").mkdir(exist_ok=True)
    program = Path(__file__).with_name("slim.py")
    version = parts()["runtime"]["version"] + program.read_text(encoding="utf-8")
    made, jobs = {}, []
    for name, path in found.items():
        job = {"without": parts()["without"]["files"].get(name, []), "sources": name == "herbcalc"}
        key = sha256(f"{sha256(path.read_bytes())}{json.dumps(job)}{version}".encode())[:10]
        start, *tags = path.name.rsplit("-", 3)
        made[name] = store / "slim" / "-".join([f"{start}-1{key}", *tags])
        if not made[name].exists():
            kept = shutil.copy(path, store / "slim" / f"{key}.whole")
            jobs.append({**job, "from": Path(kept).name, "to": made[name].name})
    if jobs:
        (store / "slim" / "jobs.json").write_text(json.dumps(jobs), encoding="utf-8")
        node = shutil.which("node")
        if node is None:
            raise NotFetched(
                "node is not on this computer. It readies the packages for the browser. On Debian or Ubuntu this "
                "helps: sudo apt install nodejs. Then give this command again."
            )
        command = [node, DATA / "slim.mjs", python, store / "slim", program]
        run(command, "The packages could not be made ready for the browser.")
        for job in jobs:
            (store / "slim" / job["from"]).unlink()
    return made


def _download(python: Path, store: Path, asked: list[str], what: str) -> None:
    """Fetch wheels without installing them, for the Python that runs in the browser."""
    version = parts()["runtime"]["python"]
    flags = ["--quiet", "--no-deps", "--only-binary=:all:", "--python-version", version, "--platform", "any"]
    run(
        [python, "-m", "pip", "download", *flags, "--dest", store, *asked],
        f"{what} for the browser could not be fetched. {NETWORK}",
        kind=NotFetched,
    )


def kernel(python: Path) -> dict[str, tuple[Path, list[str]]]:
    """The wheels that come with the kernel's package, by name, each with what it needs."""
    folder = python.parent.parent / "share/jupyter/labextensions/@jupyterlite/pyodide-kernel-extension/static/pypi"
    found = {}
    for start, needs in parts()["kernel"].items():
        path = next(iter(sorted(folder.glob(start + "*.whl"))), None)
        if path is None:
            raise SiteTrouble(
                f"The build tools hold no wheel called {start}. Delete {python.parent.parent} and try again."
            )
        found[plain_name(path.name.split("-")[0])] = (path, needs)
    return found
