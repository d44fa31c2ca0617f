"""Floor 6. Opens the workbook: the person's copies, then JupyterLab on them, with settings of its own.

Settings, workspaces and the kernel's profile live in the environment's folder, so that this JupyterLab and one that
the person has already do not disturb each other.
"""

from __future__ import annotations

import os
import secrets
import socket
import sys
from pathlib import Path

from herbcalc import person
from herbcalc.run import copies, environment
from herbcalc.run.console import say

FIRST = "workbook/00_start.ipynb"
# Our own defaults: no news box, arrow keys that reach the sliders, no keys that do harm, saving without live widgets,
# and the script that has a page say what goes on when Python is not there.
SHIPPED = Path(__file__).resolve().parents[1] / "data" / "jupyter"
USUAL_PORT = 8888


def open_workbook(port: int | None = None) -> int:
    """Set up, copy the notebooks, start JupyterLab and wait until it is stopped; gives back its exit code.

    port: the door number of the address; None takes the first free one from 8888 on.
    """
    try:
        environment.python(("workbook",))
    except environment.NotReady as reason:
        say(str(reason))
        return 1
    if port and not _free(port):
        say(f"Something on this computer already uses port {port}. Leave --port out, or name another number.")
        return 1
    home = person.folder().absolute()
    try:
        done = copies.bring(home)
        places = settings()
    except person.NotKept as refusal:
        say(str(refusal))
        return 1
    for sentence in done:
        say(sentence)
    port = port or free_port()
    token = secrets.token_hex(16)
    first = f"/lab/tree/{FIRST}" if (home / FIRST).exists() else "/lab"
    say(
        f"Your notebooks and answers are in {home}\n"
        f"The workbook is opening. {'' if has_display() else 'Open this address in a web browser on this computer. '}"
        f"Its address:\n\n    http://localhost:{port}{first}?token={token}\n\n"
        "Ctrl C in this window stops it. Save your notebook first; answers are saved as you give them.\n"
    )
    words = ["-m", "jupyterlab", f"--ServerApp.root_dir={home}", f"--LabApp.default_url={first}"]
    words += [f"--ServerApp.port={port}", "--ServerApp.port_retries=0"]  # the address is printed, so it must hold
    words += ["--ServerApp.answer_yes=True", "--ServerApp.log_level=ERROR", "--LabApp.log_level=ERROR"]
    words += [] if has_display() else ["--no-browser"]
    words += ["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    own = {"HERBCALC_HOME": str(home), "JUPYTER_TOKEN": token}
    return environment.call(("workbook",), words, {**places, **own}, home)


def settings() -> dict[str, str]:
    """Where JupyterLab keeps its settings: names of environment variables and folders.

    HERBCALC_SETTINGS moves them (the browser tests start from none).
    """
    folder = Path(os.environ.get("HERBCALC_SETTINGS") or environment.FOLDER / "settings").resolve()
    places = {
        "JUPYTER_CONFIG_DIR": "config",
        "JUPYTER_DATA_DIR": "data",
        "JUPYTER_RUNTIME_DIR": "runtime",
        "JUPYTERLAB_SETTINGS_DIR": "lab",
        "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
        "IPYTHONDIR": "ipython",
    }
    profile = folder / "ipython" / "profile_default"
    # Newer kernels warn that what they say to the server on this same computer is not encrypted. It never leaves the
    # computer, and in front of a class the warning only frightens.
    ours = {
        profile / "ipython_kernel_config.json": '{"IPKernelApp": {"log_level": 40}}\n',
        profile / "startup" / "10-herbcalc.py": "from herbcalc.show.refused import install\n\ninstall()\n",
    }
    try:
        for place in places.values():
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
    return {**shipped, **{name: str(folder / place) for name, place in places.items()}}


def free_port(first: int = USUAL_PORT) -> int:
    """The first door number from `first` on that nobody on this computer uses."""
    for port in range(first, min(first + 100, 65536)):
        if _free(port):
            return port
    with socket.socket() as door:  # a hundred in use: take any that the system offers
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


def _free(port: int) -> bool:
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
