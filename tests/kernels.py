"""A kernel for each notebook, begun as a copy of one process that has loaded what all of them load.

To start Python, to load Jupyter's kernel, herbcalc and matplotlib is half of the work of a notebook that is run
afresh. pytest reads this with `-p tests.kernels`; each of its workers has such a process, the stem, which ends with
the worker, and its kernels end with it. A kernel from its very start, as a person gets it, the browser tests open.
"""

from __future__ import annotations

import atexit
import json
import os
import signal
import sys
import time
from pathlib import Path
from subprocess import PIPE, Popen
from typing import Any

from jupyter_client.provisioning import local_provisioner

LAUNCHER = "ipykernel_launcher"
_stems: list[Popen[str]] = []


def _ask(what: dict[str, Any]) -> Any:
    """The stem's answer; the first question starts it."""
    if not _stems:
        words = [sys.executable, "-c", "from tests.kernels import stem; stem()"]
        _stems.append(Popen(words, stdin=PIPE, stdout=PIPE, text=True))
        atexit.register(_stems[0].communicate)
    _stems[0].stdin.write(f"{json.dumps(what)}\n")
    _stems[0].stdin.flush()
    return json.loads(_stems[0].stdout.readline())


class Begun:
    """A kernel that the stem has begun, with as much of a Popen as Jupyter asks of one."""

    stdin = stdout = stderr = None

    def __init__(self, words: list[str], env: dict[str, str] | None = None, cwd: str | None = None, **_: Any) -> None:
        words = words[words.index(LAUNCHER) :]
        self.pid: int = _ask({"words": words, "env": {**(env or os.environ)}, "cwd": cwd or str(Path.cwd())})
        self.returncode: int | None = None

    def poll(self) -> int | None:
        if self.returncode is None:
            self.returncode = _ask({"ended": self.pid})
        return self.returncode

    def wait(self) -> int | None:
        while self.poll() is None:
            time.sleep(0.01)
        return self.returncode

    def send_signal(self, number: int) -> None:
        if self.poll() is None:
            os.kill(self.pid, number)

    def terminate(self) -> None:
        self.send_signal(signal.SIGTERM)

    def kill(self) -> None:
        self.send_signal(signal.SIGKILL)


def stem() -> None:
    """Load what every notebook loads; then begin a kernel for each line that asks for one, or say if it ended."""
    import matplotlib.backends.backend_svg
    import matplotlib.figure  # noqa: F401
    from ipykernel import ipkernel, kernelapp  # noqa: F401

    import herbcalc.show.here
    import herbcalc.show.panel  # noqa: F401

    for line in sys.stdin:
        asked = json.loads(line)
        if "ended" in asked:
            there, status = os.waitpid(asked["ended"], os.WNOHANG)
            answer = os.waitstatus_to_exitcode(status) if there else None
        else:
            answer = os.fork()
            if not answer:
                words = _become(**asked)
                kernelapp.launch_new_instance([*words, f"--IPKernelApp.parent_handle={os.getppid()}"])
                return
            os.setpgid(answer, answer)  # whoever ends a kernel ends its group, and must not find the worker in it
        print(json.dumps(answer), flush=True)


def _become(words: list[str], env: dict[str, str], cwd: str) -> list[str]:
    """Leave behind what was the stem's, its surroundings and its talk with the worker; gives the kernel's words."""
    os.chdir(cwd)
    os.environ.clear()
    os.environ.update(env)
    with open(os.devnull, "rb") as nothing:  # noqa: PTH123
        os.dup2(nothing.fileno(), 0)
    os.dup2(2, 1)
    sys.argv = words
    return words[1:]


if hasattr(os, "fork"):
    local_provisioner.launch_kernel = Begun
