"""What anybody may do to a cell of code: a sentence, no traceback, no programmer's word; trouble of ours, as ever."""

from __future__ import annotations

import re

import pytest
from IPython.core.interactiveshell import InteractiveShell

from herbcalc import person
from herbcalc.show import refused

FIRST = "from herbcalc.show import lesson; here = lesson(5); from herbcalc.units import amount, spoken"
PROGRAMMERS = re.compile(
    r"traceback|error|invalid|wrong|exception|syntax|undefined|not defined|attribute|\bargument|callable|operand|"
    r"unterminated|literal|object|NoneType|\bself\b|File \"|<|\x1b",
    re.IGNORECASE,
)


@pytest.fixture
def shell(monkeypatch, tmp_path):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    made = InteractiveShell()
    monkeypatch.setattr("IPython.get_ipython", lambda: made)
    monkeypatch.setattr("herbcalc.show.here.greet", lambda lines: None)
    assert refused.install()
    yield made
    made.history_manager.end_session()


def said(shell, capsys, cell: str) -> str:
    capsys.readouterr()
    ran = shell.run_cell(cell, store_history=True)
    assert not ran.success, "the cell stops"
    told = capsys.readouterr()
    return (told.out + told.err).strip()


@pytest.mark.parametrize(
    ("cell", "says"),
    [
        ("300 mL", '"300 mL" reads like an answer.*box on a card'),
        ("1/2 fl oz", "reads like an answer"),
        ("28,6 % vol", "reads like an answer"),
        ("1:5 it is", "reads like an answer|cannot be read as a sum"),
        ("too weak", "cannot be read as a sum"),
        ('x = amount("300 mL)', r"Line 1 of this cell.*quote mark opens, and none closes it"),
        ('x = amount("300 mL"', "a bracket opens, and none closes it"),
        ('x = amount("300 mL"))', "closes what no such bracket opened"),
        ('x = 1\ny = amount("80 %" "moisture" here)', "Line 2.*comma is missing"),
        ("  x = 1\n y = 2", "spaces at its beginning"),
        ("hre.panel()", 'Nothing here is called "hre". Did you mean "here"?'),
        ("lots", 'Nothing here is called "lots".*box on a card.*Run All Cells'),
        ("here.pnael()", '"pnael" is not a thing.*Did you mean "panel"?'),
        ("here.item()", r"item needs something between its brackets \(number\)"),
        ("here.item(1, 2)", "more between its brackets than it can use"),
        ("here.item(which=2)", "does not know one of the names"),
        ("here.item(99)", "has no item 99. Its items are 1 to"),
        ('here.item("2")', r"without quote marks.*here\.item\(2\)"),
        ("here.item([2])", "whole number"),
        ('"350 mL" + 2', r"Put amount\( \) around it"),
        ("here(5)", "do not go together"),
        ('lesson("five")', "called by its number"),
    ],
)
def test_a_blunder_is_one_sentence(shell, capsys, cell, says):
    assert shell.run_cell(FIRST).success
    text = said(shell, capsys, cell)
    assert re.search(says, text, re.DOTALL), text
    assert "\n" not in text
    assert not PROGRAMMERS.search(text.replace(cell, "")), text


@pytest.mark.parametrize("cell", ["here.panel()", 'spoken(amount("2 oz"))', "lesson(5)"])
def test_without_the_first_cell_it_says_what_to_run(shell, capsys, cell):
    text = said(shell, capsys, cell)
    assert "This page is not running yet" in text
    assert "Run, then Run All Cells" in text
    assert not PROGRAMMERS.search(text), text


def test_a_developer_gets_the_traceback_by_one_line(shell, capsys):
    said(shell, capsys, "hre.panel()")
    shell.run_cell("%tb")
    told = re.sub(r"\x1b\[[\d;]*m", "", capsys.readouterr().out)
    assert "NameError" in told
    assert "hre.panel()" in told


def test_trouble_inside_the_package_is_shown_as_ever(shell, capsys, monkeypatch):
    """A blunder of ours is not told as one of theirs."""
    from herbcalc.show.here import Here

    monkeypatch.setattr(Here, "items", lambda self: 1 + "a")
    shell.run_cell(FIRST)
    text = said(shell, capsys, "here.item(2)")
    assert "TypeError" in text
    assert "unsupported operand" in text


def test_other_trouble_is_shown_as_ever(shell, capsys):
    assert "ZeroDivisionError" in said(shell, capsys, "1 / 0")


def test_what_was_interrupted_says_how_it_comes_back(shell, capsys):
    """Kernel, Interrupt Kernel in the menu, or the square in the toolbar, while a cell runs."""
    words = said(shell, capsys, "import signal; signal.raise_signal(signal.SIGINT)")
    assert words.startswith("This was stopped before it was done. Choose Run, then Run All Cells, and it comes.")
