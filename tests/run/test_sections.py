"""The sections of `test`: all of them but the slow one, or those that are named; each one's closing line is kept."""

from __future__ import annotations

import json
import sys

import pytest

from herbcalc.run import suite
from herbcalc.run.commands import test as command
from herbcalc.run.suite import Outcome


@pytest.mark.parametrize(
    ("named", "run"),
    [
        ((), ["style", "sums", "notebooks", "browser"]),
        (("faults",), ["faults"]),
        (("sums", "style"), ["sums", "style"]),
    ],
)
def test_which_sections_run(named, run, monkeypatch):
    ran = []
    for name, (title, _) in list(suite.SECTIONS.items()):
        monkeypatch.setitem(suite.SECTIONS, name, (title, lambda name=name: ran.append(name) or Outcome(True)))
    assert suite.main(named) == 0
    assert ran == run


def test_the_help_names_each_section_and_which_wait_to_be_named():
    told = command.ABOUT
    assert [name for name in suite.SECTIONS if f"  {name:<10} {suite.SECTIONS[name][0]}\n" in told] == [
        *suite.SECTIONS
    ]
    assert "only\nwhen they are named: faults." in told


@pytest.mark.parametrize("amiss", ["check", "format", "mypy", None])
def test_the_style_is_rules_layout_and_types(amiss, monkeypatch):
    asked = []

    def call(words, cwd):
        assert cwd == suite.CHECKOUT
        asked.append(words[2:])
        return 1 if amiss in words else 0

    monkeypatch.setattr(suite.subprocess, "call", call)
    assert suite.style().passed == (amiss is None)
    assert [words[0] for words in asked] == ["ruff", "ruff", "mypy"], "one that complains does not silence the others"


def test_the_section_of_faults_passes_on_what_was_found(monkeypatch, capsys):
    started = suite.together

    def said(lines, code):
        program = f"print({lines!r}); raise SystemExit({code})"
        monkeypatch.setattr(suite, "together", lambda words, **how: started([sys.executable, "-c", program], **how))
        return suite.faults()

    assert said("noticed 1 s  a fault\n40 of 40 faults noticed in 200 s", 0) == Outcome(
        True, "40 of 40 faults noticed in 200 s"
    )
    assert "a fault" in capsys.readouterr().out, "each line is shown as it comes"
    assert said("39 of 40 faults noticed in 200 s", 1) == Outcome(False, "39 of 40 faults noticed in 200 s")


@pytest.mark.parametrize(("code", "remark"), [(0, ""), (1, ""), (5, "no test was found")])
def test_a_section_without_a_test_says_so(code, remark, monkeypatch):
    monkeypatch.setattr(suite, "_told", lambda words, last: (code, "3 passed in 1.0s"))
    assert suite.sums() == Outcome(code == 0, "3 passed in 1.0s", remark)


FEW, MANY = "= 1 failed, 131 passed, 1 error in 480.00s (0:08:00) =", "= 4 failed, 129 passed in 480.00s (0:08:00) ="


@pytest.mark.parametrize(
    ("first", "again", "passed", "remark"),
    [
        (FEW, "= 2 passed in 30.00s =", True, "2 failed at first, and passed when run once more, one by one"),
        (FEW, "= 1 failed, 1 passed in 30.00s =", False, "2 failed at first, and did not pass when run once more"),
        (FEW, "= 19 passed in 30.00s =", True, "2 failed at first, and passed when run once more, one by one"),
        (FEW, "= 1 passed, 1 skipped in 30.00s =", False, "2 failed at first, and did not pass when run once more"),
        (FEW, "= 19 passed, 1 skipped in 30.00s =", False, "2 failed at first, and passed when run once more"),
        (MANY, None, False, ""),
        ("= 133 passed in 480.00s (0:08:00) =", None, True, ""),
    ],
)
def test_few_browser_tests_that_failed_have_a_second_go_which_is_told(
    first, again, passed, remark, monkeypatch, tmp_path
):
    asked = []
    failed = tmp_path / "lastfailed"
    once_more = ["tests/browser/test_first_evening.py", "tests/browser/test_phone.py::test_b"]
    names = [f"{once_more[0]}::test_a[one]", f"{once_more[0]}::test_a[two]", once_more[1], suite.BLINK + "::test_c"]
    failed.write_text(json.dumps(dict.fromkeys(["tests/units/test_d.py::test_e", *names], True)))

    def told(words, last):
        asked.append(words)
        closing = "= 2 passed in 19.00s =" if suite.BLINK in words else again if words[-2:] == once_more else first
        return int("failed" in closing or "error" in closing), closing

    monkeypatch.setattr(suite, "_told", told)
    monkeypatch.setattr(suite, "FAILED", failed)
    monkeypatch.setattr(suite, "chromium", lambda: "chromium")
    monkeypatch.setenv("HERBCALC_BROWSER", "required")
    outcome = suite.browser()
    assert outcome.passed == passed
    assert outcome.remark.startswith(remark)
    assert bool(remark) == bool(outcome.remark)
    assert first in outcome.closing, "what happened at first is told all the same"
    assert len(asked) == (3 if again else 2)
