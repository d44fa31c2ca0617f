"""Floor 6. A student's own server under JupyterHub, which starts this module in that student's account.

It does what `python3 -m herbcalc` does: the copies of the notebooks, the settings, the start page. What is its own:
nobody else on the computer may read what is written from here on, and the server is JupyterHub's, which asks the hub
who is allowed in.
"""

from __future__ import annotations

import ctypes
import os
import signal
import sys
from pathlib import Path
from typing import NoReturn

from herbcalc import person
from herbcalc.person import writing
from herbcalc.run import copies, lab
from herbcalc.run.console import say

ONLY_MINE = 0o077  # what others may not do with new files and folders: anything
PARENT_DEATH = 1  # Linux's number for "send me this signal when my parent is gone" (prctl(2), PR_SET_PDEATHSIG)
CARRIES_CLASS = "HERBCALC_CLASS"  # the teacher's class.toml, word for word, where the hub's settings send it along


def main() -> NoReturn:
    """Make the folder ready and become the server, or end where that cannot be, with a sentence and exit code 1."""
    os.umask(ONLY_MINE)
    end_with_hub()
    home = person.folder().absolute()
    try:
        close(home)
        for sentence in copies.bring(home):
            say(sentence)
        if sheet := os.environ.pop(CARRIES_CLASS, ""):
            writing.write(home / person.CLASS, sheet)
        # Beside the student's things: the checkout's environment belongs to whoever set it up.
        os.environ |= {"HERBCALC_HOME": str(home), "HERBCALC_SETTINGS": str(home / ".settings"), "PYTHONUTF8": "1"}
        os.environ |= lab.settings(home)
    except person.NotKept as refusal:  # the hub shows the student that it did not start; this is for its window
        say(str(refusal))
        sys.exit(1)
    server = [*lab.starts("jupyterhub.singleuser"), *lab.words(home), f"--ServerApp.default_url={lab.first(home)}"]
    # Kernels speak to their server through doors of this computer, where every account could listen to an open talk.
    server += ["--MappingKernelManager.transport_encryption=required"]
    server += sys.argv[1:]  # what the hub's settings add, c.Spawner.args
    sys.stdout.flush()
    os.execv(sys.executable, [sys.executable, *server])


def end_with_hub() -> None:
    """Have Linux end this server when the hub is gone, however it went: a killed hub could not, and a new one knows
    nothing of it. The server then ends its kernels, as at Ctrl C."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(PARENT_DEATH, signal.SIGTERM)


def close(home: Path) -> None:
    """Make the person's folder where there is none, and let nobody else into it. Refuses (person.NotKept)."""
    try:
        home.mkdir(parents=True, exist_ok=True)
        home.chmod(0o777 & ~ONLY_MINE)
    except OSError as trouble:
        raise person.NotKept(writing.not_kept("What you do here", home, trouble)) from trouble


if __name__ == "__main__":
    main()
