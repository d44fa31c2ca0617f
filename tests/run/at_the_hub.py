"""A real JupyterHub for tests, and students who come to it as a browser would: a form, cookies, a web socket.

It is set up by `python3 -m herbcalc hub` and started by the very line that the command prints.
"""

from __future__ import annotations

import json
import os
import re
import secrets
import shlex
import signal
import subprocess
import sys
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any
from urllib.error import HTTPError
from urllib.parse import quote, urlencode
from urllib.request import HTTPCookieProcessor, Request, build_opener

from websocket import create_connection

from herbcalc.run import environment, lab, serving, student

SHEET = 'class = "fern7"\ncurrency = "£"\n'
PATIENCE = 180.0  # seconds for one step, on a computer that is busy with other tests
CONFIG = re.compile(r'id="jupyter-config-data"[^>]*>\s*(\{.*?\})\s*</script>', re.DOTALL)
STARTS = re.compile(r"^    (?:sudo )?(\S.* -m jupyterhub .*)$", re.MULTILINE)


def first_of_three() -> int:
    """The first of three doors in a row that nobody uses, below those that the system lends to whoever asks for any:
    it lends hundreds to the tests beside this one, between our look and the hub's start."""
    while True:
        port = 10_000 + secrets.randbelow(22_000)
        if all(lab.free(port + step) for step in range(3)):
            return port


@contextmanager
def hub(folder: Path, words: list[str], names: list[str]) -> Iterator[str]:
    """A hub whose settings lie in `folder`, made by our command with `words`, for these names: its address."""
    port = first_of_three()
    command = [sys.executable, "-m", "herbcalc", "hub", str(folder), "--port", str(port), *words]
    around = {**os.environ, "HERBCALC_ENV": "here", "PYTHONPATH": str(environment.CHECKOUT)}
    made = subprocess.run(command, cwd=environment.CHECKOUT, env=around, capture_output=True, text=True)
    assert made.returncode == 0, made.stdout + made.stderr
    (folder / serving.STUDENTS).write_text("# the class\n" + "\n".join(names) + "\n", encoding="utf-8")
    (folder / "class.toml").write_text(SHEET, encoding="utf-8")
    log = folder / "said.txt"
    start = shlex.split(STARTS.search(made.stdout)[1])
    with (
        log.open("w") as screen,
        subprocess.Popen(
            start,
            cwd=folder,
            env=around,
            stdout=screen,
            stderr=screen,
            start_new_session=True,
            preexec_fn=student.end_with_hub,  # as its servers end with it, it ends with a test that is killed
        ) as process,
    ):
        try:
            address = f"http://localhost:{port}"
            answers(address, process, log)
            yield address
            os.killpg(process.pid, signal.SIGINT)  # as Ctrl C in a window
            assert process.wait(PATIENCE) == 0, log.read_text()
        except BaseException:
            print(log.read_text()[-6000:])
            raise
        finally:
            stop(process, folder)


def answers(address: str, process: subprocess.Popen[bytes], log: Path) -> None:
    """Wait until the hub is there."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until and process.poll() is None:
        with suppress(OSError), build_opener().open(f"{address}/hub/health", timeout=5):
            return
        time.sleep(0.1)
    raise AssertionError(f"the hub did not answer at {address} in {PATIENCE:.0f} s:\n{log.read_text()[-3000:]}")


def stop(process: subprocess.Popen[bytes], folder: Path) -> None:
    """End what is left of a hub that did not end by itself; its proxy has a session of its own."""
    with suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGTERM)
    with suppress(subprocess.TimeoutExpired):
        process.wait(20)
    for pid in (process.pid, *[int(note.read_text()) for note in folder.glob("proxy.pid")]):
        with suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)


def left_over(pids: list[int]) -> list[int]:
    """Which of these processes do not end, the hub having ended; a kernel takes a moment after its server."""
    until = time.monotonic() + PATIENCE
    while (there := [pid for pid in pids if alive(pid)]) and time.monotonic() < until:
        time.sleep(0.1)
    return there


def alive(pid: int) -> bool:
    """Whether a process still runs; one that has ended, and was not yet looked after by its parent, does not."""
    try:
        os.kill(pid, 0)
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except ProcessLookupError:
        return False
    except FileNotFoundError:  # it went meanwhile, or this system keeps no such notes
        return not Path("/proc/self").exists()


class Student:
    """Somebody at a browser of their own."""

    def __init__(self, address: str, name: str) -> None:
        self.address, self.name, self.token = address, name, ""
        self.web = build_opener(HTTPCookieProcessor(CookieJar()))

    def ask(self, path: str, told: Any = None, method: str | None = None) -> tuple[int, str, str]:
        """Open an address below the hub's: the state, where it led to, and what stands there."""
        head = {"Authorization": f"token {self.token}"} if self.token else {}
        body = told if told is None or isinstance(told, bytes) else json.dumps(told).encode()
        try:
            answer = self.web.open(Request(self.address + path, body, head, method=method), timeout=PATIENCE)
        except HTTPError as refusal:
            answer = refusal
        with answer:
            return answer.status, answer.geturl(), answer.read().decode()

    def log_in(self, password: str) -> tuple[int, str]:
        """Fill in the form; the hub then starts this student's server. Gives the state and where it led to."""
        page = self.ask("/hub/login")[2]
        form = {
            "username": self.name,
            "password": password,
            "_xsrf": re.search(r'name="_xsrf" value="([^"]+)', page)[1],
        }
        return self.ask("/hub/login?next=%2Fhub%2Fspawn", urlencode(form).encode())[:2]

    def open(self) -> dict[str, Any]:
        """Wait for the server, and give what its first page is told; its address is under "opened"."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            state, at, page = self.ask(f"/user/{self.name}/")
            if state == 200 and (told := CONFIG.search(page)):
                config: dict[str, Any] = json.loads(told[1])
                self.token = config["token"]
                return {
                    **config,
                    "opened": at.removeprefix(self.address).partition("?")[0],
                }  # it may count redirections
            time.sleep(0.5)
        raise AssertionError(f"{self.name}'s server was not there in {PATIENCE:.0f} s: {state} {at}")

    def own(self, path: str, told: Any = None, method: str | None = None) -> Any:
        """The same of this student's own server, which must allow it."""
        state, at, text = self.ask(f"/user/{self.name}/{path}", told, method)
        assert state in (200, 201), (state, at, text[:500])
        return json.loads(text)

    @contextmanager
    def kernel(self) -> Iterator[Any]:
        """A Python of this student's, as a lesson has one: call it with code and get what that prints."""
        made = self.own("api/kernels", {"name": "python3", "path": "workbook"})
        place = f"{self.address.replace('http', 'ws')}/user/{quote(self.name)}/api/kernels/{made['id']}/channels"
        line = create_connection(place, header=[f"Authorization: token {self.token}"], timeout=PATIENCE)
        try:
            yield lambda code: run(line, code)
        finally:
            line.close()


def run(line: Any, code: str) -> str:
    """What a kernel prints, asked for over its web socket."""
    ask = {
        "msg_id": uuid.uuid4().hex,
        "msg_type": "execute_request",
        "session": "test",
        "username": "",
        "version": "5.3",
    }
    content = {"code": code, "silent": False, "store_history": False, "user_expressions": {}, "allow_stdin": False}
    line.send(
        json.dumps({"channel": "shell", "header": ask, "parent_header": {}, "metadata": {}, "content": content})
    )
    said, trouble = "", ""
    while True:
        heard = json.loads(line.recv())
        kind, told = heard["msg_type"], heard["content"]
        if heard["parent_header"].get("msg_id") != ask["msg_id"]:
            continue
        if kind == "stream" and told["name"] == "stdout":
            said += told["text"]
        elif kind == "error":
            trouble = f"{told['ename']}: {told['evalue']}"
        elif kind == "status" and told["execution_state"] == "idle":
            assert not trouble, f"{trouble}\n{said}"
            return said
