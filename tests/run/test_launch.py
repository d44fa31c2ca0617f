"""The command line: sentences instead of tracebacks, on an old Python too, and a help behind every command."""

from __future__ import annotations

import ast
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from herbcalc import launch
from herbcalc.run import environment, lab, ready, suite

ROOT = Path(__file__).resolve().parents[2]
PYENV = Path.home() / ".pyenv" / "versions"


@pytest.mark.parametrize("name", ["__init__", "__main__", "launch"])
def test_an_old_python_can_read_the_way_in(name):
    source = (ROOT / "herbcalc" / f"{name}.py").read_text(encoding="utf-8")
    tree = ast.parse(source, feature_version=(3, 8))
    for node in tree.body:  # what is loaded before the version is looked at
        names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        for module in names:
            assert module == "herbcalc.launch" or module.split(".")[0] in sys.stdlib_module_names


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


@pytest.mark.parametrize("name", [name for name in launch.COMMANDS if name != "site"])
def test_each_command_explains_itself(name, capsys):
    assert launch.main([*name.split(), "--help"]) == 0
    said = capsys.readouterr().out
    if name:
        assert f"-m herbcalc {name}" in said
    assert len(said) > 100


def test_help_lists_every_command(capsys):
    assert launch.main(["help"]) == 0
    said = capsys.readouterr().out
    assert all(command.line in said for command in launch.COMMANDS.values())


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (["tset"], 'There is no command "tset". Did you mean "test"?'),
        (["fresh"], "Say the number of one lesson"),
        (["fresh", "five"], "Say the number of one lesson"),
        (["--port", "80"], "--port wants a whole number from 1024 to 65535"),
        (["--prot"], '"--prot" was typed'),
        (["ready", "now"], '"now" was typed'),
    ],
)
def test_what_does_not_fit_gets_a_sentence(typed, sentence, capsys):
    assert launch.main(typed) == 2
    assert sentence in capsys.readouterr().out


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

    def call(words, cwd, env):
        started.update(words=words, cwd=cwd, env=env)
        return 3

    monkeypatch.setattr(subprocess, "call", call)
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
    program = environment.inside(environment.FOLDER)
    program.parent.mkdir(parents=True)
    program.touch()
    (tmp_path / "pyproject.toml").write_text("a = 1\n")
    assert not environment.stands(("workbook",))
    environment.STAMP.write_text('{"folder": "torn')
    assert not environment.stands(("workbook",))
    import json

    environment.STAMP.write_text(json.dumps(environment.wanted(("tests", "workbook"))))
    assert environment.stands(("workbook",))
    assert not environment.stands(("workbook", "site"))
    (tmp_path / "pyproject.toml").write_text("a = 2\n")
    assert not environment.stands(("workbook",))


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
