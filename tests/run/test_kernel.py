"""A cell that is run before the first one: a sentence, and no program text."""

from __future__ import annotations

import pytest
from IPython.core.interactiveshell import InteractiveShell

from herbcalc.run import kernel, lab


@pytest.fixture
def shell(monkeypatch):
    made = InteractiveShell()
    monkeypatch.setattr("IPython.get_ipython", lambda: made)
    assert kernel.install()
    yield made
    made.history_manager.end_session()


def test_a_panel_before_the_first_cell_says_what_to_run(shell, capsys):
    ran = shell.run_cell("here.panel()")
    assert isinstance(ran.error_in_exec, NameError)
    said = capsys.readouterr()
    text = said.out + said.err
    assert 'the first cell brings "here"' in text
    assert "Run All Cells" in text
    assert "Traceback" not in text


def test_a_name_that_is_not_ours_is_left_to_python(shell, capsys):
    shell.run_cell("somebody_elses")
    said = capsys.readouterr()
    assert "first cell" not in said.out + said.err
    assert "somebody_elses" in said.out + said.err


def test_the_settings_bring_it(tmp_path, monkeypatch):
    monkeypatch.setenv("HERBCALC_SETTINGS", str(tmp_path))
    lab.settings()
    startup = tmp_path / "ipython" / "profile_default" / "startup" / "10-herbcalc.py"
    assert "herbcalc.run.kernel" in startup.read_text()
    startup.write_text("an older one")
    lab.settings()
    assert "herbcalc.run.kernel" in startup.read_text()
