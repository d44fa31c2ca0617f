"""The environment's stamp: what it must notice, what it must not lose, and what a child of ours must not inherit."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import pytest

from herbcalc.run import environment


class House:
    """A checkout with an environment that "starts"; what the set-up would run is noted in `steps` instead."""

    def __init__(self, monkeypatch, tmp_path):
        self.monkeypatch, self.elsewhere = monkeypatch, tmp_path / "elsewhere"
        self.steps, self.stops_at = [], ""
        self.checkout = tmp_path / "here"
        self.checkout.mkdir()
        self.change(1)
        self.settle()
        monkeypatch.setattr(environment, "_follow", self.follow)
        monkeypatch.setattr(environment, "starts", lambda: True)
        monkeypatch.delenv("HERBCALC_ENV", raising=False)

    def settle(self):
        folder = self.checkout / ".herbcalc-env"
        for name, place in (("CHECKOUT", self.checkout), ("FOLDER", folder), ("STAMP", folder / "stamp.json")):
            self.monkeypatch.setattr(environment, name, place)

    def follow(self, words, doing):
        self.steps.append(words)
        environment.FOLDER.mkdir(exist_ok=True)
        if self.stops_at == words[2]:
            raise environment.NotReady("no route to the host")

    def change(self, number):
        (self.checkout / "pyproject.toml").write_text(f"a = {number}\n")

    def move(self):
        self.checkout = Path(shutil.move(self.checkout, self.elsewhere))
        self.settle()

    def done(self):
        """The steps since this was last asked, by name."""
        names = [words[2] for words in self.steps]
        self.steps = []
        return names


@pytest.fixture
def house(monkeypatch, tmp_path):
    return House(monkeypatch, tmp_path)


def test_a_second_start_does_nothing(house):
    assert environment.python(("workbook",)) == environment.inside(environment.FOLDER)
    assert house.done() == ["venv", "pip"]
    environment.python(("workbook",))
    assert house.done() == []


def test_a_moved_folder_is_noticed_and_its_environment_made_anew(house):
    """An environment remembers its place: the old one would go on to use the folder that it came from."""
    environment.python(("workbook",))
    (environment.FOLDER / "lib").mkdir()
    house.move()
    assert not environment.stands(("workbook",))
    house.done()
    environment.python(("workbook",))
    assert house.done() == ["venv", "pip"]
    assert not (environment.FOLDER / "lib").exists()
    assert environment.stamp()["folder"] == str(house.checkout)


def test_a_changed_project_is_brought_up_to_date_in_place(house):
    environment.python(("workbook",))
    house.change(2)
    house.done()
    environment.python(("workbook",))
    assert house.done() == ["pip"]


def test_extras_that_were_there_stay(house):
    """The tests were set up once; a new version of the project must not take them away at the next plain start."""
    environment.python(("workbook", "tests"))
    house.change(2)
    environment.python(("workbook",))
    assert house.steps[-1][-1] == ".[tests,workbook]"
    assert json.loads(environment.STAMP.read_text())["extras"] == ["tests", "workbook"]
    assert environment.stands(("workbook", "tests"))


def test_more_extras_are_fetched_beside_those_that_are_there(house):
    environment.python(("workbook",))
    environment.python(("tests",))
    assert house.steps[-1][-1] == ".[tests,workbook]"


@pytest.mark.parametrize(
    ("before", "step"),
    [
        ("nothing", "venv"),
        ("nothing", "pip"),
        ("older", "pip"),
        ("moved", "venv"),
        ("fewer extras", "pip"),
    ],
)
def test_no_stamp_stands_after_a_set_up_that_stopped(house, before, step):
    """Half of a set-up must never be taken for a whole one, whatever stood there before."""
    if before != "nothing":
        environment.python(("workbook",))
    if before == "older":
        house.change(2)
    if before == "moved":
        house.move()
    house.done()
    house.stops_at = step
    asked = ("workbook", "tests") if before == "fewer extras" else ("workbook",)
    with pytest.raises(environment.NotReady, match="no route"):
        environment.python(asked)
    assert house.done()[-1] == step
    assert not environment.STAMP.exists()
    assert not environment.stands(("workbook",))
    house.stops_at = ""
    environment.python(asked)
    assert environment.stands(asked)


LEAKS = {"PYTHONPATH": "/elsewhere", "PYTHONHOME": "/usr", "VIRTUAL_ENV": "/another", "__PYVENV_LAUNCHER__": "/x"}
LOOK = "import json, os, sys; json.dump(dict(os.environ), open(sys.argv[1], 'w'))"


def test_a_childs_python_is_led_to_no_other_packages(house, monkeypatch, tmp_path):
    for name, value in LEAKS.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setenv("KEPT", "yes")
    monkeypatch.setattr(environment, "python", lambda _: Path(sys.executable))
    assert environment.call(("workbook",), ["-I", "-c", LOOK, str(tmp_path / "seen")], {"OURS": "too"}) == 0
    seen = json.loads((tmp_path / "seen").read_text())
    assert not LEAKS.keys() & seen.keys()
    assert (seen["KEPT"], seen["OURS"], seen["PYTHONUTF8"]) == ("yes", "too", "1")


def test_the_set_up_itself_is_led_to_no_other_packages(monkeypatch, tmp_path):
    monkeypatch.setattr(environment, "CHECKOUT", tmp_path)
    monkeypatch.setattr(environment, "FOLDER", tmp_path)
    monkeypatch.setattr(environment, "LOG", tmp_path / "install.log")
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setenv("PYTHONPATH", "/elsewhere")
    environment._follow([sys.executable, "-I", "-c", LOOK, str(tmp_path / "seen")], "looking")
    assert "PYTHONPATH" not in json.loads((tmp_path / "seen").read_text())


def test_an_environment_of_ones_own_keeps_its_surroundings(monkeypatch):
    monkeypatch.setenv("HERBCALC_ENV", "here")
    monkeypatch.setenv("PYTHONPATH", "/elsewhere")
    assert environment.clean()["PYTHONPATH"] == "/elsewhere"
    assert environment.clean()["PYTHONUTF8"] == "1"


def test_the_exit_code_of_the_child_is_ours(monkeypatch):
    monkeypatch.setenv("HERBCALC_ENV", "here")
    assert environment.call((), ["-c", "raise SystemExit(5)"]) == 5
