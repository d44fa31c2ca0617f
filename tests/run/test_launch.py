"""The way in on an old Python, the environment, and what the commands start. The words typed: test_commands.py."""

from __future__ import annotations

import ast
import importlib.util
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
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
    assert started["words"][1:3] == ["-m", "jupyterlab"]
    assert started["cwd"] == tmp_path / "sums"
    assert Path(started["env"]["JUPYTER_CONFIG_DIR"]).parent == tmp_path / "settings"
    assert started["env"]["HERBCALC_HOME"] == str(tmp_path / "sums")
    said = capsys.readouterr().out
    assert f"http://localhost:8899/lab/tree/workbook/00_start.ipynb?token={started['env']['JUPYTER_TOKEN']}" in said
    assert "Ctrl C in this window stops it" in said
    assert (tmp_path / "sums" / "workbook" / "00_start.ipynb").exists()


def test_the_stamp_knows_place_project_and_extras(monkeypatch, tmp_path):
    monkeypatch.setattr(environment, "CHECKOUT", tmp_path)
    monkeypatch.setattr(environment, "FOLDER", tmp_path / ".herbcalc-env")
    monkeypatch.setattr(environment, "STAMP", tmp_path / ".herbcalc-env" / "stamp.json")
    environment.FOLDER.mkdir()
    (tmp_path / "pyproject.toml").write_text("a = 1\n")
    assert not environment.stands(("workbook",))
    environment.STAMP.write_text('{"folder": "torn')
    assert not environment.stands(("workbook",))
    monkeypatch.setattr(environment, "starts", lambda: True)
    environment.STAMP.write_text(json.dumps(environment.wanted(("tests", "workbook"))))
    assert environment.stands(("workbook",))
    assert not environment.stands(("workbook", "site"))
    (tmp_path / "pyproject.toml").write_text("a = 2\n")
    assert not environment.stands(("workbook",))


def test_an_environment_whose_python_is_gone_does_not_stand(monkeypatch, tmp_path):
    monkeypatch.setattr(environment, "FOLDER", tmp_path)
    assert not environment.starts()
    program = environment.inside(tmp_path)
    program.parent.mkdir(parents=True)
    program.write_text("not a program")
    assert not environment.starts()
    monkeypatch.setattr(environment, "inside", lambda _: Path(sys.executable))
    assert environment.starts() == (importlib.util.find_spec("jupyterlab") is not None)


def test_a_set_up_that_was_stopped_half_way_is_made_anew(monkeypatch, tmp_path):
    """What lay there is cleared, but for the person's settings; no stamp stands before the end."""
    monkeypatch.setattr(environment, "FOLDER", tmp_path)
    monkeypatch.setattr(environment, "STAMP", tmp_path / "stamp.json")
    monkeypatch.setattr(environment, "LOG", tmp_path / "install.log")
    (tmp_path / "lib").mkdir()
    (tmp_path / "lib" / "half.py").touch()
    (tmp_path / "settings").mkdir()
    steps = []

    def follow(words, doing):
        assert not environment.STAMP.exists()
        steps.append((words[1:3], sorted(entry.name for entry in tmp_path.iterdir())))

    monkeypatch.setattr(environment, "_follow", follow)
    environment.set_up(["workbook"])
    assert steps == [(["-m", "venv"], ["settings"]), (["-m", "pip"], ["settings"])]
    assert environment.stamp() == environment.wanted(["workbook"])


def test_a_folder_that_cannot_be_written_to_gets_a_sentence(monkeypatch, tmp_path, capsys):
    (tmp_path / "file").touch()  # nothing can be made below a file, whoever asks
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setattr(environment, "FOLDER", tmp_path / "file" / ".herbcalc-env")
    monkeypatch.setattr(environment, "STAMP", environment.FOLDER / "stamp.json")
    assert launch.main(["test"]) == 1
    assert "Copy the whole folder that README.md is in to a place where you may write" in capsys.readouterr().out


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


def test_a_missing_part_of_debians_python_is_named(monkeypatch, tmp_path):
    monkeypatch.setattr(environment, "FOLDER", tmp_path / ".herbcalc-env")
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(environment.NotReady, match="sudo apt install python3-venv"):
        environment.set_up(["workbook"])
    assert not (tmp_path / ".herbcalc-env").exists()


def test_without_a_checkout_a_sentence(monkeypatch, tmp_path, capsys):
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setattr(environment, "CHECKOUT", tmp_path)
    assert launch.main(["test"]) == 1
    assert "the one with README.md in it" in capsys.readouterr().out


def test_a_step_that_stops_says_why_and_where_the_story_is(monkeypatch, tmp_path, capsys):
    monkeypatch.setattr(environment, "CHECKOUT", tmp_path)
    monkeypatch.setattr(environment, "FOLDER", tmp_path)
    monkeypatch.setattr(environment, "LOG", tmp_path / "install.log")
    program = "print('Collecting pint>=0.24'); print('no route'); raise SystemExit(1)"
    with pytest.raises(environment.NotReady, match=r"(?s)stopped while fetching.*no route.*install.log"):
        environment._follow([sys.executable, "-c", program], "fetching the parts")
    assert "    pint\n" in capsys.readouterr().out
    assert "no route" in (tmp_path / "install.log").read_text()


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
