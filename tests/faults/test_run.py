"""The kept faults are in order, and their runner tells a noticed fault from one that passed or broke everything."""

from __future__ import annotations

import ast
from collections import Counter
from contextlib import closing
from pathlib import Path

import pytest

from tests.faults import run
from tests.faults.run import ROOT, Fault

SUM = "def double(x):\n    return 2 * x\n\n\nNAME = 'two'\n"
TESTS = "from herbcalc.double import double\n\n\ndef test_double():\n    assert double(3) == 6\n"


def test_each_fault_has_a_name_of_its_own():
    twice = [name for name, times in Counter(fault.name for fault in run.kept()).items() if times > 1]
    assert not twice


@pytest.mark.parametrize("fault", run.kept(), ids=lambda fault: fault.name)
def test_each_fault_can_still_be_put_in(fault):
    spoilt = run.with_fault((ROOT / fault.file).read_text(encoding="utf-8"), fault)
    assert spoilt is not None, "this fault needs to be written anew: its text does not stand there once"
    if fault.file.endswith(".py"):
        ast.parse(spoilt)
    assert fault.tests
    for test in fault.tests:
        assert (ROOT / test.split("::")[0]).exists(), test
    assert fault.does.endswith(".")


@pytest.fixture
def checkout(tmp_path):
    for name, text in (("herbcalc/__init__.py", ""), ("herbcalc/double.py", SUM), ("tests/test_double.py", TESTS)):
        path = tmp_path / "checkout" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    (tmp_path / "checkout" / "pyproject.toml").write_text("[tool.pytest.ini_options]\n")
    return tmp_path / "checkout"


@pytest.fixture(autouse=True)
def _quick_to_start(monkeypatch):
    monkeypatch.setattr(run, "LIBRARIES", ("pytest",))


def fault(old: str, new: str, file: str = "herbcalc/double.py") -> Fault:
    return Fault(f"{old} to {new}", file, old, new, ("tests/test_double.py",), "It would mislead.")


def test_noticed_unseen_and_broken(checkout, tmp_path):
    with closing(run.Copy(run.copy_of(checkout, tmp_path / "copy"))) as copy:
        seen = run.put_in(copy, fault("2 * x", "3 * x"))
        assert (seen.noticed, seen.said) == (True, "test_double")
        unseen = run.put_in(copy, fault("'two'", "'three'"))
        assert (unseen.noticed, unseen.said) == (False, "no test noticed it")
        broken = run.put_in(copy, fault("def double", "def doubled"))  # the test file cannot be read any more
        assert not broken.noticed
        assert "broke down" in broken.said
    assert (copy.place / "herbcalc" / "double.py").read_text() == SUM, "each fault is taken out again"


@pytest.mark.parametrize(
    "gone", [fault("4 * x", "x"), fault("x", "y"), fault("x", "x", "herbcalc/gone.py"), fault("2", "2")]
)
def test_a_fault_whose_place_is_gone(gone, tmp_path, checkout):
    outcome = run.put_in(run.Copy(checkout), gone)
    assert not outcome.noticed
    assert "needs to be written anew" in outcome.said


def test_whole_runs(checkout, capsys):
    good, bad = fault("2 * x", "x + 3"), fault("2 * x", "x + 2")
    unseen = fault("'two'", "'too'")
    assert run.run([bad], checkout) == 0
    assert "1 of 1 faults noticed" in capsys.readouterr().out
    assert run.run([bad, good, unseen], checkout) == 1, "3 + 3 is 6 as well"
    told = capsys.readouterr().out
    assert "1 of 3 faults noticed" in told
    assert told.count("NOT NOTICED") == 2
    assert "It would mislead." in told
    assert run.run([], checkout) == 1, "no fault at all shows nothing"
    (checkout / "herbcalc" / "double.py").write_text(SUM.replace("2 * x", "5 * x"))
    assert run.run([bad], checkout) == 1
    assert "without a fault" in capsys.readouterr().out


def test_nothing_is_written_into_the_checkout(checkout):
    before = sorted((path, path.stat().st_mtime_ns) for path in Path(checkout).rglob("*"))
    run.run([fault("2 * x", "x")], checkout)
    assert sorted((path, path.stat().st_mtime_ns) for path in Path(checkout).rglob("*")) == before
