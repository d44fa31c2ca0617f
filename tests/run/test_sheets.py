"""`sheets`: which questions and whose, where the files go, and what is said when there is no PDF."""

from __future__ import annotations

import re
import sys
import time

import pytest

from herbcalc import homework, launch
from herbcalc.run import environment, printing
from herbcalc.run.typed import Unclear


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A person's folder, the Python at hand, and no browser."""
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("HERBCALC_ENV", "here")
    monkeypatch.setattr(printing, "chromium", lambda: None)
    return tmp_path / "home"


def seats(page):
    """Whose sheets a page holds, and the questions of the first."""
    parts = page.split('<section class="herb-seat">')[1:]
    return [int(re.search(r"number (\d+)", part).group(1)) for part in parts], re.findall(r"<h3>([\d.]+)", parts[0])


def test_the_command_makes_the_sheets_and_the_key(home, capsys):
    assert launch.main(["sheets", "Fern 7", "1-2,4", "9", "--questions", "5.1-5.3,6.2"]) == 0
    said = capsys.readouterr().out
    name = "fern7-1-2+4+9-questions-5.1-5.3+6.2"
    files = {file.name: file.read_text(encoding="utf-8") for file in (home / "sheets").iterdir()}
    assert set(files) == {f"sheets-{name}.html", f"key-{name}.html"}
    codes = ["5.1", "5.2", "5.3", "6.2"]
    for page in files.values():
        assert seats(page) == ([1, 2, 4, 9], codes)
    assert "For the teacher" not in files[f"sheets-{name}.html"]
    assert "Takes the solids for the water" not in files[f"sheets-{name}.html"]
    assert "Takes the solids for the water" in files[f"key-{name}.html"]
    assert homework.item(5, 2, "fern7", 9).prompt.split(". ")[0] in files[f"sheets-{name}.html"]
    for words in ("4 of 4 sheets", "no Chromium", str(home / "sheets"), *files, "for you alone"):
        assert words in said


def test_a_file_of_that_name_is_replaced_with_a_word(home, tmp_path, capsys):
    words = ["sheets", "fern7", "3", "--questions", "5.8", "--to", str(tmp_path / "paper"), "--large-print"]
    assert launch.main(words) == 0
    assert "in the place of" not in capsys.readouterr().out
    assert launch.main(words) == 0
    assert capsys.readouterr().out.count("in the place of the one that was there before") == 2
    assert 'class="herb-large"' in (tmp_path / "paper/sheets-fern7-3-questions-5.8-large-print.html").read_text()
    assert not (home / "sheets").exists()


def test_the_lessons_that_the_class_has_come_to(home, capsys):
    home.mkdir()
    (home / "class.toml").write_text('class = "moss2"\nopen = [1, 99]\n', encoding="utf-8")
    assert launch.main(["sheets", "fern7", "3"]) == 0
    said = capsys.readouterr().out
    assert "lesson 1: 8 questions for each student" in said
    assert "Your class.toml says class moss2; the figures here are those of class fern7." in said


def test_a_folder_that_cannot_be_written_to_gets_a_sentence(home, tmp_path, capsys):
    (tmp_path / "in-the-way").write_text("")
    assert launch.main(["sheets", "fern7", "3", "--questions", "5.8", "--to", str(tmp_path / "in-the-way")]) == 1
    assert "is in the way. Move it" in capsys.readouterr().out


@pytest.mark.parametrize("program", ["no-such-browser", sys.executable])
def test_a_browser_that_makes_no_pdf_is_told(program, home, monkeypatch, capsys):
    monkeypatch.setattr(printing, "chromium", lambda: program)
    assert launch.main(["sheets", "fern7", "3", "--questions", "5.8"]) == 1
    said = capsys.readouterr().out
    assert re.search(r"did not start|made no PDF", said)
    assert "open it in any browser, choose Print" in said
    assert [file.suffix for file in (home / "sheets").iterdir()] == [".html", ".html"]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("99", "Lesson 5 would work"),
        ("5.99", "Item 5.1 would work"),
        ("5.0", "Item 5.1 would work"),
        ("6-5", "runs backwards"),
        ("5.3-5.1", "runs backwards"),
        ("5-6.2", "is neither"),
        ("five", "is neither"),
        ("", "is neither"),
        ("5,,6", "is neither"),
        ("5.1.2", "is neither"),
        ("٥", "is neither"),
    ],
)
def test_questions_that_there_are_not(typed, sentence):
    with pytest.raises(Unclear, match=re.escape(sentence)):
        printing.chosen(typed)


def test_questions_stand_as_on_their_page():
    assert printing.chosen("5") == [(5, number) for number in homework.order(5)]
    assert printing.chosen("5, 4") == printing.chosen("4–5")
    assert printing.chosen("5.7-6.1,5.7") == [(5, 8), (5, 7), (6, 1)]
    assert printing.chosen(f"1-{homework.LESSONS[-1]}") == [
        (lesson, number) for lesson in homework.LESSONS for number in homework.order(lesson)
    ]


def test_inside_the_environment_where_that_is_kept_apart(monkeypatch):
    asked = []
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setattr(environment, "call", lambda *what: asked.append(what) or 5)
    assert launch.main(["sheets", "fern7", "3", "--paper", "letter"]) == 5
    assert asked[0][:2] == (("workbook",), ["-m", "herbcalc", "sheets", "fern7", "3", "--paper", "letter"])


def test_a_class_of_25_with_three_lessons_is_drawn_in_good_time(home):
    """Two of them here, in processor time; the PDFs took a third of the whole when they were last timed."""
    started = time.process_time()
    assert launch.main(["sheets", "fern7", "1-2", "--questions", "4-6"]) == 0
    assert (time.process_time() - started) * 25 / 2 < 20
