"""The one object of a notebook: who, by which rules; refusals as sentences."""

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
from herbcalc.show import first_aid, lesson, refused
from herbcalc.show import here as here_module
from herbcalc.show.greeting import NOT_RUNNING, Greeting
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
        assert bool(here.items()) == (number in homework.LESSONS)  # the last has a plan in place of homework


def test_a_lesson_may_have_a_further_panel_found_by_its_file(home):
    here = here_module.Here(3)
    assert here_module.panels(3) == ["", "room"]
    assert here.panel("room")._given[0].title == "A damp kitchen"
    assert here.panel()._given[0].title == "Lemon balm for the racks"
    with pytest.raises(OutOfRange, match=r'no panel .kitchen.. It has here.panel\(\), here.panel\("room"\)'):
        here.panel("kitchen")
    with pytest.raises(OutOfRange, match="It has here"):
        here_module.Here(5).panel("room")


def test_what_is_kept_of_one_panel_is_not_in_the_other(home):
    here = here_module.Here(3)
    first, room = here.panel(), here.panel("room")
    room.kept.name.value = "my loft"
    room._press_kept(room.kept.keep)
    assert [s.name for s in here.panel("room")._own] == ["my loft"]
    assert here.panel()._own == first._own == []


def test_every_panel_is_a_module_of_its_lesson():
    found = [(m.LESSON, getattr(m, "PART", "")) for m in here_module.modules()]
    numbers = (here_module.START, *here_module.lessons())  # first aid has a panel, and is no lesson
    assert found == [(n, name) for n in numbers for name in here_module.panels(n)]


def test_hands_are_counted_where_a_teacher_works(home):
    here = here_module.Here(5)
    for teaches in (False, True):
        here.now(person.Me("fern7", 12, teaches), known=True)
        panel = here.panel()
        panel.hands.buttons[1].click()
        panel.hands.buttons[1].click()
        assert panel.hands.counts == [0, 2 * teaches, 0, 0]


def test_first_aid_has_cards_and_is_no_lesson(home, capsys):
    here = first_aid()
    assert "Ready." in capsys.readouterr().out
    assert [here.gap(number).item.code for number in (1, 7)] == ["0.1", "0.7"]
    with pytest.raises(OutOfRange, match="gaps 1 to 7"):
        here.gap(8)
    assert list(home.glob("answers*")) == []


@pytest.mark.parametrize("number", ["5", 5.0, None, True])
def test_a_lesson_is_called_by_its_number(home, number):
    with pytest.raises(WrongUnit, match=r"lesson\(5\)"):
        lesson(number)


def test_a_lesson_that_is_not_there(home):
    with pytest.raises(
        OutOfRange, match=re.escape(f"0 (the start) and {', '.join(map(str, here_module.lessons()))}, 15.")
    ):
        lesson(99)


def test_an_item_that_is_not_there(home):
    with pytest.raises(OutOfRange, match=r"Its items are 1 to 8"):
        here_module.Here(5).item(17)


# --- the gaps of a lesson, and the bench ----------------------------------------------------------------------------


def test_a_gap_and_a_bench_are_opened_by_a_line_each(home):
    here = here_module.Here(5)
    assert here.gap(1).item.prompt.startswith("250 g")
    assert here.bench().rules == here.rules
    with pytest.raises(OutOfRange, match="has gaps 1 to 7"):
        here.gap(8)
    for call in (lambda: here_module.Here(0).gap(1), here_module.Here(0).bench):
        with pytest.raises(OutOfRange, match="no gaps"):
            call()
    assert not list(home.glob("answers*"))


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


def test_a_saved_page_says_that_it_does_not_run(home):
    """What stands in the file; the page that runs greets by a live widget."""
    notebook, _ = run("from herbcalc.show import lesson; here = lesson(5)")
    (output,) = notebook.cells[0].outputs
    stored = {kind: text for kind, text in output["data"].items() if not kind.startswith("application/")}
    assert stored == {"text/plain": NOT_RUNNING, "text/html": f"<p>{NOT_RUNNING}</p>"}
    assert Greeting(["Lesson 5 is ready."]).lines == ["Lesson 5 is ready."]


# --- quick to open --------------------------------------------------------------------------------------------------


def test_no_lesson_loads_a_library_that_the_browser_would_have_to_fetch(home):
    """Panels, cards and gaps of all lessons, the plan, one's own jar, and how sure it all is, one after the other."""
    watched = (
        "import sys; import pint; before = set(sys.modules)\n"
        "from herbcalc.homework import in_class\n"
        "from herbcalc.show import here, lesson\n"
        "for number in here.lessons():\n"
        "    page = lesson(number); page.panel()\n"
        "    for item in page.items(): page.item(item)\n"
        "    for gap in range(len(in_class.gaps(number))): page.gap(gap + 1)\n"
        "plan = lesson(14).capstone(); plan.places['herb'].value = '100 g'; plan.agree(); plan.write_page()\n"
        "own = lesson(here.OWN_JAR); own.own_jar(); jar = [own.own_jar(p) for p in ('plan', 'plant', 'says')]\n"
        "jar[0].places['gather'].value = '1 kg'; jar[1].places['basket'].value = '900 g'\n"
        "from herbcalc.rules import Rules; from herbcalc.show import sure; from herbcalc.show.look import View\n"
        "from herbcalc.show.story import scenes\n"
        "first = [(m, scenes(m, Rules())[0]) for m in map(here.module, here.lessons()) if sure.offers(m)]\n"
        "assert all([sure.line(m, scene.setting, Rules(), View(), scene.asks) for m, scene in first])\n"
        "new = {name.split('.')[0] for name in set(sys.modules) - before}\n"
        "assert not new & {'pandas', 'scipy'}, new"
    )
    seen = subprocess.run([sys.executable, "-c", watched], capture_output=True, text=True, env=os.environ.copy())
    assert seen.returncode == 0, seen.stderr


OPENED = ["first_aid()", *(f"lesson({number})" for number in (0, *here_module.lessons(), here_module.OWN_JAR))]


def test_the_first_cell_is_quick_and_light(home):
    """All in one process, each by name: what one loads is there for the next, so the first to do so is told."""
    watched = (
        "import sys, time; import pint; before = set(sys.modules); from herbcalc.show import first_aid, lesson\n"
    )
    for opened in OPENED:
        watched += (
            f"started = time.perf_counter(); {opened}; took = time.perf_counter() - started\n"
            "new = {name.split('.')[0] for name in set(sys.modules) - before}\n"
            f"assert not new & {{'pandas', 'scipy', 'matplotlib'}}, ({opened!r}, new)\n"
            f"assert took < 3, ({opened!r}, took)\n"
        )
    started = time.perf_counter()
    seen = subprocess.run([sys.executable, "-c", watched], capture_output=True, text=True, env=os.environ.copy())
    assert seen.returncode == 0, seen.stderr
    assert time.perf_counter() - started < 3 * len(OPENED)
