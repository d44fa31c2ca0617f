"""The one object of a notebook: who, by which rules; refusals as sentences; gaps in an example."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time

import nbformat
import pytest
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

from herbcalc import homework, person, rules
from herbcalc.show import here as here_module
from herbcalc.show import lesson, refused
from herbcalc.show.card import gap
from herbcalc.units import Q, amount
from herbcalc.units.refusals import OutOfRange, WrongUnit

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback)\b", re.IGNORECASE)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    person.news()
    return tmp_path


# --- who works here -------------------------------------------------------------------------------------------------


def test_without_a_number_there_are_practice_figures_and_it_is_said(home, capsys):
    here = lesson(5)
    assert here.who == person.PRACTICE
    assert "Practice figures" in capsys.readouterr().out


def test_the_kept_class_and_number_are_used(home, capsys):
    person.save_me("fern7", 12)
    assert lesson(5).who == person.Me("fern7", 12)
    assert capsys.readouterr().out == "Lesson 5 is ready. Class fern7, own number 12.\n"


def test_a_class_code_edited_by_hand_gives_the_same_figures(home):
    (home / person.ME).write_text('class = "FERN7"\nnumber = 12\n', encoding="utf-8")
    here = here_module.Here(5)
    assert here.who == person.Me("fern7", 12)
    assert here.item(2).item.figures == homework.item(5, 2, "Fern 7", 12).figures


def test_two_numbers_have_figures_of_their_own(home):
    person.save_me("fern7", 12)
    one = here_module.Here(5).item(2).item.prompt
    person.save_me("fern7", 13)
    assert here_module.Here(5).item(2).item.prompt != one


def test_the_teachers_rules_are_in_force(home):
    (home / person.CLASS).write_text("[rules]\nfloor = 25\n", encoding="utf-8")
    assert here_module.Here(5).rules.floor == 25


@pytest.mark.parametrize("text", ["[rules]\nfloor = 99\n", "[rules]\nfloor = \n", "[rules]\nflor = 30\n", "\x00"])
def test_a_sheet_that_cannot_be_used_is_named_and_the_lesson_goes_on(home, text, capsys):
    (home / person.CLASS).write_text(text, encoding="utf-8")
    here = lesson(5)
    told = capsys.readouterr().out
    assert here.rules == rules.Rules()
    assert "class.toml" in told
    assert "usual house rules" in told
    assert not FORBIDDEN.search(told)


def test_a_damaged_me_file_is_told_in_the_first_cell(home, capsys):
    (home / person.ME).write_text("class = ", encoding="utf-8")
    lesson(5)
    assert "me.toml.put-aside-1" in capsys.readouterr().out


def test_damaged_kept_settings_are_told_beside_the_panel(home, capsys):
    (home / person.SETTINGS).write_text("{", encoding="utf-8")
    here_module.Here(5).panel()
    assert "settings.json.put-aside-1" in capsys.readouterr().out


def test_every_lesson_of_the_workbook_opens(home):
    for number in here_module.lessons():
        here = here_module.Here(number)
        assert here.panel() is not None
        assert here.items()


@pytest.mark.parametrize("number", ["5", 5.0, None, True])
def test_a_lesson_is_called_by_its_number(home, number):
    with pytest.raises(WrongUnit, match=r"lesson\(5\)"):
        lesson(number)


def test_a_lesson_that_is_not_there(home):
    with pytest.raises(OutOfRange, match="0 \\(the start\\) and 3, 4, 5"):
        lesson(99)


def test_an_item_that_is_not_there(home):
    with pytest.raises(OutOfRange, match=r"Its items are 1 to 8"):
        here_module.Here(5).item(17)


# --- one line of code instead of the card ---------------------------------------------------------------------------


def test_an_answer_in_one_line_is_told_and_not_kept(home, capsys):
    here = here_module.Here(5)
    item = homework.item(5, 2, "practice", 1)
    here.answer(2, item.answers()[0])
    read, verdict, *_ = capsys.readouterr().out.splitlines()
    assert read.startswith("I read ")
    assert verdict == "Yes, that is it."
    here.answer(2, item.slip_answers()["m33"])
    told = capsys.readouterr().out.splitlines()
    assert told[0].startswith("I read ")
    assert told[1] == "Not yet."
    assert len(told) == 4  # the question back, and what would come of it
    here.answer(2, Q(1, "oz"))
    assert "wanted" in capsys.readouterr().out
    assert not list(home.glob("answers*"))


# --- the gaps of a worked example -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "worked", "says"),
    [
        ("", Q(222, "g"), "Your turn"),
        ("?", Q(222, "g"), "It is 222 g"),
        ("222 g", Q(222.2, "g"), "Yes"),
        ("7.84 oz", Q(222.2, "g"), "Yes"),
        ("0.222 kg", Q(222.2, "g"), "Yes"),
        ("300 g", Q(222.2, "g"), "more than"),
        ("100 g", Q(222.2, "g"), "less than"),
        ("222", Q(222.2, "g"), "without a unit"),
        ("222 mL", Q(222.2, "g"), "weight is wanted"),
        ("280 mL", [Q(281.7, "mL"), Q(277.7, "mL")], "Yes: 278 mL (9 1/2 fl oz) to 282 mL"),
        ("28.6 %", Q(28.57, "percent_vol"), "Yes"),
        ("80 %", Q(80, "percent_wb"), "Yes"),
        ("1:5.6", Q(5.6, "mL/g"), "Yes"),
        ("70 %", 0.7, "Yes: 70 %"),
        ("80", 240 / 3, "Yes"),
        ("15.4 hours", Q(15.4, "hour"), "Yes"),
    ],
)
def test_a_gap_takes_any_unit_of_the_kind(typed, worked, says):
    told = gap.told(typed, worked)
    assert says in told
    assert not FORBIDDEN.search(told)


# --- refusals in a notebook -----------------------------------------------------------------------------------------


def run(*cells, tags=()):
    notebook = nbformat.v4.new_notebook(metadata={"kernelspec": {"name": "python3", "display_name": "Python 3"}})
    for source in cells:
        cell = nbformat.v4.new_code_cell(source)
        cell.metadata["tags"] = list(tags)
        notebook.cells.append(cell)
    client = NotebookClient(notebook, timeout=60, kernel_name="python3")
    try:
        client.execute()
    except CellExecutionError:
        return notebook, True
    return notebook, False


@pytest.mark.filterwarnings("default")
def test_refusals_show_their_sentence_and_stop_the_cell(home):
    notebook, stopped = run(
        "from herbcalc.show import lesson; here = lesson(5)",
        "from herbcalc import menstruum\nfrom herbcalc.units import amount, Q",
        'print("before")\namount("350")\nprint("after")',
        'Q(1, "oz") + Q(1, "mL")',
        'menstruum.cut(amount("40 % vol"), amount("60 % vol"), make=amount("1 L"))',
        "here.item(99)",
        "1 / 0",
        tags=["raises-exception"],
    )
    assert not stopped, "tagged cells go on to the next"
    shown = [cell.outputs for cell in notebook.cells]
    printed = [output.text for output in shown[2] if output.output_type == "stream"]
    assert printed == ["before\n"], "the cell stops where it was refused"
    for outputs, says in (
        (shown[2], "350 g is a weight"),
        (shown[3], "two kinds of amount"),
        (shown[4], "water only makes a spirit weaker"),
        (shown[5], "has no item 99"),
    ):
        refused = outputs[-1]
        assert refused.output_type == "error"
        assert says in "".join(refused.traceback)
        assert "File" not in "".join(refused.traceback)
        assert "\x1b" not in "".join(refused.traceback)
    assert any("ZeroDivisionError" in line for line in shown[6][-1].traceback), "other trouble is shown as ever"


@pytest.mark.filterwarnings("default")
def test_an_untagged_refusal_still_counts_as_raising(home):
    _, stopped = run("from herbcalc.show import lesson; here = lesson(5)", "here.item(99)", "print('never')")
    assert stopped


def test_ways_out_stand_below_the_refusal():
    from herbcalc import maceration

    with pytest.raises(ValueError, match="nothing comes out") as refusal:
        maceration.herb_for(amount("500 mL"), amount("1:1"), Q(1.5, "mL/g"))
    lines = refused.sentence(refusal.value).splitlines()
    assert len(lines) == 1 + len(refusal.value.ways_out)
    assert all(line.startswith("  - ") for line in lines[1:])


@pytest.mark.parametrize(
    "trouble",
    [
        lambda: Q(1, "oz").to("mL"),
        lambda: Q(20, "degC") * 2,
        lambda: Q(1, "furlongs"),
        lambda: Q(1, "percent_vol") + Q(1, "percent_wb"),
    ],
)
def test_pints_refusals_are_said_in_our_words(trouble):
    with pytest.raises(refused.REFUSALS) as refusal:
        trouble()
    told = refused.sentence(refusal.value)
    assert told.endswith(".")
    assert "[" not in told, "no word of dimensions"
    assert not FORBIDDEN.search(told)


def test_nothing_is_installed_outside_a_notebook():
    assert refused.install() is False


def test_a_lesson_that_the_teacher_has_not_opened_says_so_and_works(home, capsys):
    (home / "class.toml").write_text("open = [3, 4]\n", encoding="utf-8")
    assert lesson(5).items()
    assert "has not come to lesson 5 yet. Open now: 3, 4." in capsys.readouterr().out
    lesson(4)
    assert "not come" not in capsys.readouterr().out
    (home / "class.toml").write_text('open = "all"\n', encoding="utf-8")
    lesson(5)
    assert "open is a list of lesson numbers" in capsys.readouterr().out


# --- quick to open --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", [0, *here_module.lessons()])
def test_the_first_cell_is_quick_and_light(number, home):
    watched = (
        "import sys; import pint; before = set(sys.modules)\n"
        f"from herbcalc.show import lesson; here = lesson({number})\n"
        "new = {name.split('.')[0] for name in set(sys.modules) - before}\n"
        "assert not new & {'pandas', 'scipy', 'matplotlib'}, new"
    )
    started = time.perf_counter()
    seen = subprocess.run([sys.executable, "-c", watched], capture_output=True, text=True, env=os.environ.copy())
    assert seen.returncode == 0, seen.stderr
    assert time.perf_counter() - started < 3
