"""Floor 6. Opens the workbook: the person's copies, then JupyterLab on them, with settings of its own.

Settings, workspaces and the kernel's profile are our own, so that this JupyterLab and one that the person has already
do not disturb each other. A second start finds the workbook that runs, and opens that one.
"""

from __future__ import annotations

import json
import os
import secrets
import socket
import sys
import webbrowser
from http.client import HTTPConnection, HTTPException
from pathlib import Path

from herbcalc import person
from herbcalc.run import copies, environment
from herbcalc.run.console import say

FIRST = "workbook/00_start.ipynb"
# Our own defaults: no news box, arrow keys that reach the sliders, no keys that do harm, saving without live widgets,
# and the script that has a page say what goes on when Python is not there.
SHIPPED = Path(__file__).resolve().parents[1] / "data" / "jupyter"
USUAL_PORT = 8888
PLACES = {
    "JUPYTER_CONFIG_DIR": "config",
    "JUPYTER_DATA_DIR": "data",
    "JUPYTER_RUNTIME_DIR": "runtime",
    "JUPYTERLAB_SETTINGS_DIR": "lab",
    "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
    "IPYTHONDIR": "ipython",
}


def open_workbook(port: int | None = None) -> int:
    """Copy the notebooks, set up, start JupyterLab and wait until it is stopped; gives back its exit code.

    port: the door number of the address; None takes the first free one from 8888 on.
    Refuses: an environment that cannot be had (NotReady), a folder that cannot be written to (person.NotKept).
    """
    home = person.folder().absolute()
    for sentence in copies.bring(home):
        say(sentence)
    if address := running(home, port):
        return _again(address)
    program = environment.python(("workbook",))
    if port and not free(port):
        say(f"Something on this computer already uses port {port}. Leave --port out, or name another number.")
        return 1
    places = settings(home)
    port = port or free_port()
    token = secrets.token_hex(16)
    say(
        f"Your notebooks and answers are in {home}\n"
        f"The workbook is opening. {'' if has_display() else 'Open this address in a web browser on this computer. '}"
        f"Its address:\n\n    {_address(home, port, token)}\n\n"
        "Ctrl C in this window stops it. Save your notebook first; answers are saved as you give them.\n"
    )
    server = [*starts("jupyterlab"), *words(home), f"--LabApp.default_url={first(home)}"]
    server += [f"--ServerApp.port={port}", "--ServerApp.port_retries=0"]  # the address is printed, so it must hold
    server += [] if has_display() else ["--no-browser"]
    own = {"HERBCALC_HOME": str(home), "JUPYTER_TOKEN": token}
    return environment.run(program, server, {**places, **own}, home)


def starts(server: str) -> list[str]:
    """The words for Python that run a server, one of Jupyter's modules, without what it would load for nothing."""
    run = f"import runpy; runpy.run_module({server!r}, run_name='__main__', alter_sys=True)"
    return ["-c", f"import herbcalc.run.unasked; {run}"]


def words(home: Path) -> list[str]:
    """What a server that shows a person's folder is told, here and under JupyterHub."""
    told = [f"--ServerApp.root_dir={home}", "--ServerApp.answer_yes=True"]
    told += ["--ServerApp.log_level=ERROR", "--LabApp.log_level=ERROR"]
    return [*told, "--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else told


def _again(address: str) -> int:
    """A second start: open the workbook that runs already."""
    opens = has_display() and webbrowser.open(address)
    say(
        f"The workbook is running already, from another window. {'' if opens else 'Open this address in a browser. '}"
        f"Its address:\n\n    {address}\n\nCtrl C in that other window stops it."
    )
    return 0


def running(home: Path, port: int | None = None) -> str | None:
    """The address of a workbook that runs on this folder already, and answers; None where there is none.

    port: only one at this door number.
    """
    for note in sorted((settings_folder(home) / PLACES["JUPYTER_RUNTIME_DIR"]).glob("jpserver-*.json")):
        try:
            said = json.loads(note.read_text(encoding="utf-8"))
            door, token, works_on = int(said["port"]), str(said["token"]), Path(said["root_dir"])
        except (OSError, ValueError, KeyError, TypeError):  # a server that ends takes its note away, or leaves half
            continue
        if works_on == home and port in (None, door) and _answers(door, token):
            return _address(home, door, token)
    return None


def _answers(port: int, token: str) -> bool:
    """Whether a notebook server with this token answers at this door: its note outlives a server that was killed."""
    asked = HTTPConnection("localhost", port, timeout=5)
    try:
        asked.request("GET", "/api/status", headers={"Authorization": f"token {token}"})
        return asked.getresponse().status == 200
    except (OSError, HTTPException):
        return False
    finally:
        asked.close()


def first(home: Path) -> str:
    """The page that opens, as the end of its address."""
    return f"/lab/tree/{FIRST}" if (home / FIRST).exists() else "/lab"


def _address(home: Path, port: int, token: str) -> str:
    return f"http://localhost:{port}{first(home)}?token={token}"


def settings_folder(home: Path) -> Path:
    """Where JupyterLab's settings lie: in the environment, or in the person's folder where that is not ours to write.

    home: the person's folder. HERBCALC_SETTINGS moves them (the browser tests start from none).
    """
    if named := os.environ.get("HERBCALC_SETTINGS"):
        return Path(named).resolve()
    shared = environment.FOLDER / "settings"
    return shared if environment.is_checkout() and _ours(shared) else home / ".settings"


def _ours(folder: Path) -> bool:
    """Whether we may write in a folder and in all of ours that it holds, or make it where it is not there yet."""
    if not folder.exists():
        return os.access(folder.parent, os.W_OK)
    return all(os.access(place, os.W_OK) for place in (folder, *folder.glob("*"), *folder.glob("ipython/*/*")))


def settings(home: Path) -> dict[str, str]:
    """Where JupyterLab keeps its settings: names of environment variables and folders, made where they are not there.

    home: the person's folder. Refuses (person.NotKept): a folder that cannot be written to.
    """
    folder = settings_folder(home)
    profile = folder / "ipython" / "profile_default"
    # Newer kernels warn that what they say to the server on this same computer is not encrypted. It never leaves the
    # computer, and in front of a class the warning only frightens.
    ours = {
        profile / "ipython_kernel_config.json": '{"IPKernelApp": {"log_level": 40}}\n',
        profile / "startup" / "10-herbcalc.py": "from herbcalc.show.refused import install\n\ninstall()\n",
    }
    try:
        for place in PLACES.values():
            (folder / place).mkdir(parents=True, exist_ok=True)
        for file, text in ours.items():
            file.parent.mkdir(parents=True, exist_ok=True)
            if not file.exists() or file.read_text(encoding="utf-8") != text:
                file.write_text(text, encoding="utf-8")
    except OSError as trouble:
        raise person.NotKept(
            f"JupyterLab's settings could not be put into {folder}: {trouble.strerror or trouble}. Put the path of a "
            "folder that you may write in into the environment variable HERBCALC_SETTINGS, and start again."
        ) from trouble
    shipped = {"JUPYTER_CONFIG_PATH": str(SHIPPED), "JUPYTER_PATH": str(SHIPPED)}
    return {**shipped, **{name: str(folder / place) for name, place in PLACES.items()}}


def free_port(first: int = USUAL_PORT) -> int:
    """The first door number from `first` on that nobody on this computer uses."""
    for port in range(first, min(first + 100, 65536)):
        if free(port):
            return port
    with socket.socket() as door:  # a hundred in use: take any that the system offers
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


def free(port: int) -> bool:
    """Whether nobody answers at this door, and we may open it."""
    with socket.socket() as door:
        if door.connect_ex(("127.0.0.1", port)) == 0:
            return False
    with socket.socket() as door:
        try:
            door.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def has_display() -> bool:
    """Whether a web browser can open a window here; Linux says so in two variables."""
    return not sys.platform.startswith("linux") or bool(
        os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    )
