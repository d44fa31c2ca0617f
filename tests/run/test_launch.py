"""The way in on an old Python, the environment, and what the commands start. The words typed: test_commands.py."""

from __future__ import annotations

import ast
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from herbcalc import launch
from herbcalc.run import environment, lab, ready, suite

ROOT = Path(__file__).resolve().parents[2]
PYENV = Path.home() / ".pyenv" / "versions"


@pytest.mark.parametrize("name", ["__init__", "__main__", "launch", "run/__init__", "run/console"])
def test_an_old_python_can_read_the_way_in(name):
    source = (ROOT / "herbcalc" / f"{name}.py").read_text(encoding="utf-8")
    tree = ast.parse(source, feature_version=(3, 8))
    for node in tree.body:  # what is loaded before the version is looked at
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        for module in names:
            assert (
                module in ("herbcalc.launch", "herbcalc.run.console")
                or module.split(".")[0] in sys.stdlib_module_names
            )


def test_an_old_python_gets_a_sentence(monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", (3, 8, 18, "final", 0))
    monkeypatch.setattr(shutil, "which", lambda name: None)
    assert launch.main([]) == 2
    said = capsys.readouterr().out
    assert "This is Python 3.8.18, and herbcalc needs Python 3.11 or newer." in said
    assert "python.org" in said


def _old_pythons() -> list[str]:
    names = [f"python3.{minor}" for minor in range(6, 11)]
    found = [str(p) for p in sorted(PYENV.glob("3.*/bin/python")) if p.parts[-3].split(".")[1] in "678910"]
    return found + [path for name in names if (path := shutil.which(name))]


def test_a_real_old_python_gets_a_sentence():
    """Where this machine has old Pythons, each is tried; everywhere else the two tests above stand in."""
    for python in _old_pythons():
        version = subprocess.run([python, "-c", "import sys; print(sys.version_info < (3, 11))"], capture_output=True)
        if version.stdout.strip() != b"True":
            continue  # a name that leads nowhere, or to a newer one
        run = subprocess.run([python, "-m", "herbcalc", "test"], cwd=ROOT, capture_output=True, text=True)
        assert run.returncode == 2, python
        assert "herbcalc needs Python 3.11 or newer" in run.stdout
        assert not run.stderr


def test_ready_says_what_is_there(monkeypatch, capsys):
    monkeypatch.setenv("HERBCALC_ENV", "here")
    assert launch.main(["ready"]) == 0
    said = capsys.readouterr().out
    assert "keeps the units" in said
    assert 'class "practice"' in said
    assert "MISSING" not in said


def test_a_port_in_use_is_passed_over():
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        door.listen()
        taken = door.getsockname()[1]
        assert lab.free_port(taken) > taken


def test_a_port_that_was_asked_for_and_is_in_use_gets_a_sentence(monkeypatch, capsys):
    monkeypatch.setenv("HERBCALC_ENV", "here")
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        door.listen()
        assert launch.main(["--port", str(door.getsockname()[1])]) == 1
    assert "already uses port" in capsys.readouterr().out


@pytest.mark.parametrize("words", [[], ["fresh", "5"], ["ready"]])
def test_a_file_where_the_persons_folder_should_be_gets_a_sentence(words, monkeypatch, tmp_path, capsys):
    (tmp_path / "sums").write_text("a letter")
    monkeypatch.setenv("HERBCALC_ENV", "here")
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path / "sums"))
    assert launch.main(words) == (0 if words == ["ready"] else 1)
    assert "Another file or folder has that name and is in the way" in capsys.readouterr().out
    assert (tmp_path / "sums").read_text() == "a letter"


def test_no_display_on_linux_means_no_window(monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    assert not lab.has_display()
    monkeypatch.setenv("DISPLAY", ":0")
    assert lab.has_display()


def test_a_server_is_started_without_what_it_would_load_for_nothing(tmp_path):
    """And hears the words behind its name, as `python -m` would hand them on."""
    (tmp_path / "some_server.py").write_text(
        "import sys; print(sys.argv[1:], sys.modules['rfc3987_syntax'], __name__)"
    )
    words = [sys.executable, *lab.starts("some_server"), "--port=1"]
    around = {**os.environ, "PYTHONPATH": str(environment.CHECKOUT)}
    ran = subprocess.run(words, cwd=tmp_path, env=around, capture_output=True, text=True)
    assert ran.stdout == "['--port=1'] None __main__\n", ran.stderr


def test_the_server_starts_on_the_copies_with_its_own_settings(monkeypatch, tmp_path, capsys):
    started = {}
    monkeypatch.setenv("HERBCALC_ENV", "here")
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path / "sums"))
    monkeypatch.setenv("HERBCALC_SETTINGS", str(tmp_path / "settings"))

    class Child:
        wait = staticmethod(lambda: 3)

    @contextmanager
    def together(words, cwd, env):
        started.update(words=words, cwd=cwd, env=env)
        yield Child

    monkeypatch.setattr(environment, "together", together)
    assert launch.main(["--port", "8899"]) == 3
    assert started["words"][1:3] == lab.starts("jupyterlab")
    assert started["cwd"] == tmp_path / "sums"
    assert Path(started["env"]["JUPYTER_CONFIG_DIR"]).parent == tmp_path / "settings"
    assert started["env"]["HERBCALC_HOME"] == str(tmp_path / "sums")
    said = capsys.readouterr().out
    assert f"http://localhost:8899/lab/tree/workbook/00_start.ipynb?token={started['env']['JUPYTER_TOKEN']}" in said
    assert "Ctrl C in this window stops it" in said
    assert (tmp_path / "sums" / "workbook" / "00_start.ipynb").exists()


@pytest.mark.skipif(os.name == "nt", reason="Windows ends a process without asking it")
@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT])
def test_what_was_started_ends_with_us(how):
    """Told to end, the command ends its child; on Ctrl C, which reaches both, it waits for the child's own ending."""
    child = "import os, time; print(os.getpid(), flush=True); time.sleep(600)"
    ours = f"import sys; from herbcalc.run import environment as e; sys.exit(e.call((), ['-c', {child!r}]))"
    surroundings = {**os.environ, "HERBCALC_ENV": "here", "PYTHONPATH": str(ROOT)}
    words = [sys.executable, "-c", ours]
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=surroundings, text=True
    ) as run:
        number = int(run.stdout.readline())
        run.send_signal(how)
        if how == signal.SIGINT:
            with pytest.raises(subprocess.TimeoutExpired):
                run.wait(timeout=0.5)
            os.kill(number, signal.SIGINT)
        assert run.wait(timeout=30) != 0
    until = time.monotonic() + 30
    while time.monotonic() < until:
        try:
            os.kill(number, 0)
        except ProcessLookupError:
            return
        time.sleep(0.05)
    raise AssertionError("the child lives on")


class Server(BaseHTTPRequestHandler):
    """As much of a notebook server as is asked of one that runs: it answers who knows its token."""

    def do_GET(self):
        self.send_response(200 if self.headers["Authorization"] == "token right" else 403)
        self.end_headers()

    def log_message(self, *words):
        pass


@pytest.fixture
def served(tmp_path, monkeypatch):
    """A workbook that runs on the folder `sums`: its door number, and a call that changes what its note says."""
    monkeypatch.setenv("HERBCALC_ENV", "here")
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path / "sums"))
    monkeypatch.setenv("HERBCALC_SETTINGS", str(tmp_path / "settings"))
    monkeypatch.delenv("DISPLAY", raising=False)
    (tmp_path / "settings" / "runtime").mkdir(parents=True)
    with HTTPServer(("localhost", 0), Server) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        port = server.server_address[1]

        def note(**other):
            said = {"port": port, "token": "right", "root_dir": str(tmp_path / "sums"), **other}
            (tmp_path / "settings" / "runtime" / "jpserver-1.json").write_text(json.dumps(said))

        note()
        yield port, note
        server.shutdown()


@pytest.mark.parametrize("display", [True, False])
@pytest.mark.parametrize("asked", [True, False])
def test_a_second_start_opens_the_workbook_that_runs(served, display, asked, monkeypatch, capsys):
    port, _ = served
    opened = []
    monkeypatch.setattr(lab, "has_display", lambda: display)
    monkeypatch.setattr(lab.webbrowser, "open", lambda address: opened.append(address) or True)
    monkeypatch.setattr(environment, "run", lambda *_: pytest.fail("a second one was started"))
    assert launch.main(["--port", str(port)] if asked else []) == 0
    address = f"http://localhost:{port}/lab/tree/workbook/00_start.ipynb?token=right"
    said = capsys.readouterr().out
    assert "The workbook is running already" in said
    assert address in said
    assert opened == ([address] if display else [])


@pytest.mark.parametrize(
    "other", [{"root_dir": "/somebody/else"}, {"token": "another"}, {"port": 9}, {"port": None}, {"token": "right"}]
)
def test_a_note_that_does_not_hold_starts_a_workbook(served, other, monkeypatch, tmp_path):
    """Of another folder, of a server that is gone or is another's, half of a note, or another door was asked for."""
    _, note = served
    note(**other)
    asked = lab.free_port(8950) if other == {"token": "right"} else None
    started = []
    monkeypatch.setattr(environment, "run", lambda *what: started.append(what) or 0)
    assert lab.open_workbook(asked) == 0
    assert len(started) == 1


def test_settings_are_no_guests_where_the_environment_is_not_ours(monkeypatch, tmp_path):
    monkeypatch.delenv("HERBCALC_SETTINGS", raising=False)
    monkeypatch.setattr(environment, "FOLDER", tmp_path / "env")
    assert lab.settings_folder(tmp_path) == tmp_path / ".settings", "there is no environment yet"
    (tmp_path / "env" / "settings" / "runtime").mkdir(parents=True)
    assert lab.settings_folder(tmp_path) == tmp_path / "env" / "settings"
    writes = os.access
    monkeypatch.setattr(os, "access", lambda place, how: Path(place).name != "runtime" and writes(place, how))
    assert lab.settings_folder(tmp_path) == tmp_path / ".settings", "one folder in it is another account's"
    monkeypatch.setattr(environment, "is_checkout", lambda: False)
    assert lab.settings_folder(tmp_path) == tmp_path / ".settings", "a package has no environment of its own"


@pytest.mark.parametrize("words", [[], ["fresh", "5"], ["ready"]])
def test_the_home_of_somebody_unknown_gets_a_sentence(words, monkeypatch, capsys):
    monkeypatch.setenv("HERBCALC_HOME", "~nobody-of-that-name/sums")
    assert launch.main(words) == 1
    assert "nobody on this computer is called nobody-of-that-name" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("line", "passed", "skipped"),
    [
        ("======= 12 passed, 3 skipped in 1.20s =======", 12, 3),
        ("=== 1 failed, 2 passed, 1 warning in 75.30s (0:01:15) ===", 2, 0),
    ],
)
def test_pytests_closing_line_is_read(line, passed, skipped):
    assert suite.CLOSING.match(line)
    outcome = suite.Outcome(True, line)
    assert (outcome.count("passed"), outcome.count("skipped")) == (passed, skipped)


def test_a_required_browser_that_is_missing_counts_as_not_passed(monkeypatch, capsys):
    monkeypatch.setattr(suite, "chromium", lambda: None)
    monkeypatch.delenv("HERBCALC_BROWSER", raising=False)
    assert suite.browser().passed
    assert "not run: the tests in a real browser" in capsys.readouterr().out
    monkeypatch.setenv("HERBCALC_BROWSER", "required")
    assert not suite.browser().passed


def test_a_named_chromium_is_taken(monkeypatch):
    monkeypatch.setenv("HERBCALC_CHROMIUM", "/opt/somewhere/chromium")
    assert ready.chromium() == "/opt/somewhere/chromium"
