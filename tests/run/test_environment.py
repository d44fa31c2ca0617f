"""What is asked of an environment, what a child of ours must not inherit, the sentences. Set-ups: test_set_up.py."""

from __future__ import annotations

import json
import sys
from itertools import pairwise
from pathlib import Path

import pytest

from herbcalc import launch
from herbcalc.run import building, children, environment, inventory

LEAKS = {"PYTHONPATH": "/elsewhere", "PYTHONHOME": "/usr", "VIRTUAL_ENV": "/another", "__PYVENV_LAUNCHER__": "/x"}
LOOK = "import json, os, sys; json.dump(dict(os.environ), open(sys.argv[1], 'w'))"


@pytest.fixture
def nothing_set_up(monkeypatch, tmp_path):
    """A checkout in which nothing is set up yet."""
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    for name in ("FOLDER", "LOCK", "LOG"):
        monkeypatch.setattr(environment, name, tmp_path / getattr(environment, name).name)
    return tmp_path


def test_a_childs_python_is_led_to_no_other_packages(monkeypatch, tmp_path):
    for name, value in LEAKS.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setenv("KEPT", "yes")
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setattr(environment, "python", lambda *_: Path(sys.executable))
    assert environment.call(("workbook",), ["-I", "-c", LOOK, str(tmp_path / "seen")], {"OURS": "too"}) == 0
    seen = json.loads((tmp_path / "seen").read_text())
    assert not LEAKS.keys() & seen.keys()
    assert (seen["KEPT"], seen["OURS"], seen["PYTHONUTF8"]) == ("yes", "too", "1")


def test_the_set_up_itself_is_led_to_no_other_packages(monkeypatch):
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setenv("PYTHONPATH", "/elsewhere")
    assert "PYTHONPATH" not in children.clean({"PIP_RETRIES": "2"})
    assert children.clean({"PIP_RETRIES": "2"})["PIP_RETRIES"] == "2"


def test_an_environment_of_ones_own_keeps_its_surroundings(monkeypatch):
    monkeypatch.setenv("HERBCALC_ENV", "here")
    monkeypatch.setenv("PYTHONPATH", "/elsewhere")
    assert children.clean()["PYTHONPATH"] == "/elsewhere"
    assert children.clean()["PYTHONUTF8"] == "1"


def test_the_exit_code_of_the_child_is_ours(monkeypatch):
    monkeypatch.setenv("HERBCALC_ENV", "here")
    assert environment.call((), ["-c", "raise SystemExit(5)"]) == 5


def test_an_environment_whose_python_is_gone_does_not_run(tmp_path):
    assert not building.look(building.inside(tmp_path), {}).runs
    program = building.inside(tmp_path)
    program.parent.mkdir(parents=True)
    program.write_text("not a program")
    program.chmod(0o755)
    assert not building.look(program, {}).runs


def test_this_environment_has_all_that_pyproject_asks_for():
    now = building.look(Path(sys.executable), environment.needs())
    assert now.runs
    assert not now.lacks((environment.CORE, "workbook"))
    assert now.have["pint"]


def test_needs_are_read_from_pyproject():
    needs = environment.needs()
    assert set(needs) == {"herbcalc", "workbook", "hub", "tests"}
    assert any(need.startswith("pint") for need in needs["herbcalc"])
    assert any(need.startswith("jupyterlab") for need in needs["workbook"])


def test_a_packages_needs_are_read_from_its_papers(monkeypatch, tmp_path):
    from email.message import Message

    papers = Message()
    for need in ("pint>=0.24.4", "jupyterlab>=4.2; extra == 'workbook'", "tzdata; sys_platform == 'win32'"):
        papers["Requires-Dist"] = need
    papers["Provides-Extra"] = "workbook"
    monkeypatch.setattr(environment, "CHECKOUT", tmp_path)
    monkeypatch.setattr("importlib.metadata.metadata", lambda name: papers)
    assert environment.needs() == {
        "herbcalc": ["pint>=0.24.4", "tzdata; sys_platform == 'win32'"],
        "workbook": ["jupyterlab>=4.2"],
    }


def test_what_is_asked_for_by_several_is_fetched_within_all_their_bounds():
    """And what only another computer, or an extra that nobody asked for, would need is no gap."""
    here = ["nosuchpart>=2", "nosuchpart<9", "other; sys_platform == 'abacus'", "third; extra == 'x'", "pytest<1"]
    gaps = inventory.held({"a": here})["gaps"]["a"]
    assert gaps == {"absent": ["nosuchpart<9,>=2"], "torn": [], "older": ["pytest<1"]}


@pytest.mark.parametrize(
    ("brought", "packed", "renewed"), [("23.2.1", False, True), ("25.0.1", False, False), ("23.2.1", True, False)]
)
def test_an_old_pip_is_renewed_where_parts_are_chosen_from_an_index(brought, packed, renewed, monkeypatch, tmp_path):
    """Where that cannot be had, the set-up goes on with the old one, and waits for it once."""
    steps: list[tuple[list[str], bool]] = []
    monkeypatch.setattr("ensurepip.version", lambda: brought)
    monkeypatch.setattr(
        building.Work, "step", lambda work, python, words, doing, needed=True: steps.append((words, needed))
    )
    if packed:
        (tmp_path / building.WHEELS).mkdir()
        (tmp_path / building.WHEELS / building.NOTE).write_text(json.dumps(building.kind_of_computer()))
    building.Work(tmp_path, tmp_path / "env", tmp_path / "log", 0).renew_pip(tmp_path / "env-new")
    assert [(words[-2:], needed) for words, needed in steps] == ([(["--upgrade", "pip"], False)] if renewed else [])
    assert all(("--retries", "0") in pairwise(words) for words, _ in steps)


def test_a_step_that_is_not_needed_stops_the_set_up_for_a_full_disk_alone(tmp_path):
    with (tmp_path / "lock").open("w") as lock:
        work = building.Work(tmp_path, tmp_path / "env", tmp_path / "log", lock.fileno())
        (tmp_path / "broken.py").write_text("print 'Hello'")
        words = ["compileall", "-q", "broken.py"]
        work.step(sys.executable, words, "compiling", needed=False)
        assert "broken.py" in "\n".join(work.story)
        (tmp_path / "broken.py").write_text("No space left on device")
        with pytest.raises(building.NotReady, match="There is not enough room on the disk"):
            work.step(sys.executable, words, "compiling", needed=False)
        (tmp_path / "broken.py").write_text("print 'Hello'")
        with pytest.raises(building.NotReady, match="stopped while compiling"):
            work.step(sys.executable, words, "compiling")


def test_a_missing_part_of_debians_python_is_named(monkeypatch, nothing_set_up, capsys):
    monkeypatch.setattr(building.importlib.util, "find_spec", lambda name: None)
    assert launch.main(["test"]) == 1
    assert "sudo apt install python3-venv" in capsys.readouterr().out
    assert not environment.FOLDER.exists()


def test_a_folder_that_cannot_be_written_to_gets_a_sentence(monkeypatch, nothing_set_up, capsys):
    (nothing_set_up / "file").touch()  # nothing can be made below a file, whoever asks
    monkeypatch.setattr(environment, "FOLDER", nothing_set_up / "file" / ".herbcalc-env")
    monkeypatch.setattr(environment, "LOCK", nothing_set_up / "file" / "lock")
    assert launch.main(["test"]) == 1
    assert "Copy the whole folder that README.md is in to a place where you may write" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("x\nERROR: Could not install: [Errno 28] No space left on device", "There is not enough room on the disk"),
        ("WARNING: Retrying (Retry(total=1)) after connection broken by\nERROR: No matching", "was not reached"),
        ("ERROR: Could not find a version that satisfies x (from versions: none)", "was not reached"),
        ("a\nERROR: THESE PACKAGES DO NOT MATCH THE HASHES\n", "while mixing. The last that was said: THESE PACK"),
    ],
)
def test_a_step_that_stops_says_first_what_would_help(said, sentence, tmp_path):
    assert sentence in building.why(said, "mixing", tmp_path)


@pytest.mark.parametrize(
    ("python", "fit"), [("3.11.7", True), ("3.11.9", True), ("3.11.2", False), ("3.12.9", False), ("3.10.9", False)]
)
def test_a_packs_parts_serve_the_same_python_and_its_later_releases(python, fit, monkeypatch):
    note = {**building.kind_of_computer(), "python": "3.11.7"}
    monkeypatch.setattr(building.platform, "python_version", lambda: python)
    assert building.fits(note) == fit
    assert not building.fits({**note, "platform": "abacus"})


def test_a_log_that_cannot_be_kept_is_said_instead(tmp_path):
    work = building.Work(tmp_path, tmp_path / "env", tmp_path / "no folder" / "log", 0, ["no route", "to the host"])
    assert work.kept_log() == "The last that was said:\n\n    no route\n    to the host"


# --- herbcalc as a package, with no checkout round it ---


@pytest.fixture
def package(monkeypatch, tmp_path):
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setattr(environment, "CHECKOUT", tmp_path)


@pytest.mark.usefixtures("package")
def test_a_package_uses_the_python_it_was_installed_into(monkeypatch):
    monkeypatch.setattr(environment, "needs", lambda: {"herbcalc": ["pint"], "workbook": ["jupyterlab"]})
    assert environment.python(("workbook",)) == Path(sys.executable)


@pytest.mark.usefixtures("package")
def test_a_package_that_lacks_something_names_what_fetches_it(monkeypatch, capsys):
    monkeypatch.setattr(environment, "needs", lambda: {"herbcalc": ["pint"], "workbook": ["nosuchpart>=3"]})
    assert launch.main([]) == 1
    assert f'{sys.executable} -m pip install "nosuchpart>=3"' in capsys.readouterr().out
    assert launch.main(["ready"]) == 0
    said = capsys.readouterr().out
    assert '-m pip install "nosuchpart>=3"' in said
    assert "The tests are not in this package" in said


@pytest.mark.usefixtures("package")
def test_what_only_a_checkout_can_do_says_so(capsys):
    assert launch.main(["test"]) == 1
    assert launch.main(["pack"]) == 1
    said = capsys.readouterr().out
    assert "The tests lie in the folder that herbcalc is made in" in said
    assert "A pack is made from the folder that herbcalc is made in" in said
