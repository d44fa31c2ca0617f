"""`overview`: what it says on the screen, where the pages go, and that many files are shared out."""

from __future__ import annotations

import re

import pytest

from herbcalc import launch
from herbcalc.run import environment, looking
from tests.homework.a_class import Hand, eighteen


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """The files of a class, and the Python at hand."""
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("HERBCALC_ENV", "here")
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "class.toml").write_text('class = "Fern 7"\n[set]\nitems = "5.1"\nby = "Thursday"\n')
    place = tmp_path / "handed in"
    place.mkdir()
    for hand in eighteen():
        hand.lay(place)
    return place


def test_the_pages_lie_beside_the_folder_and_each_file_left_aside_is_named(folder, capsys):
    (folder / "photo.png").write_bytes(b"\x89PNG\0\0")
    (folder / "link").symlink_to(folder / "photo.png")
    Hand(3, day="2025-10-01").right("5.1").lay(folder, "old/answers-fern7-3.jsonl")
    before = sorted(path.name for path in folder.iterdir())
    assert launch.main(["overview", str(folder), "--numbers", "1-20"]) == 0
    said = capsys.readouterr().out
    assert "Class fern7: 17 students, " in said
    for words in (
        "photo.png: it is no text",
        "link: it is a link",
        "old/answers-fern7-3.jsonl: class fern7, number 3",
    ):
        assert words in said
    made = {path.name: path.read_text(encoding="utf-8") for path in folder.parent.glob("*.html")}
    assert set(made) == {"overview-handed in.html", "next-week-fern7.html", "next-week-fern7-key.html"}
    page = made["overview-handed in.html"]
    for words in ("photo.png", "it is a link", "No file from numbers 13, 19, 20.", 'href="next-week-fern7-key.html"'):
        assert words in page
    assert "05_plant_water.ipynb" in page
    assert "For Thursday: 5.1." in page
    assert all(name in said for name in made)
    assert sorted(path.name for path in folder.iterdir()) == before, "nothing of the students' is touched"


def test_many_files_are_shared_out_and_come_back_in_order(folder, tmp_path, monkeypatch, capsys):
    alone, together = tmp_path / "alone", tmp_path / "together"
    assert launch.main(["overview", str(folder), "--to", str(alone)]) == 0
    monkeypatch.setattr(looking, "BESIDE", 2)
    monkeypatch.setattr(looking.os, "cpu_count", lambda: 2)
    assert launch.main(["overview", str(folder), "--to", str(together)]) == 0
    names = sorted(path.name for path in alone.iterdir())
    assert names == sorted(path.name for path in together.iterdir())
    assert all((alone / name).read_bytes() == (together / name).read_bytes() for name in names)


def test_what_cannot_be_used_of_the_teacher_s_own_sheet_is_told(folder, capsys):
    (folder.parent / "home" / "class.toml").write_text('class = "Fern 7"\nopen = 3\n[set]\nitems = "5.99"\n')
    assert launch.main(["overview", str(folder)]) == 0
    said = capsys.readouterr().out
    assert "class.toml: open is a list of lesson numbers" in said
    assert "class.toml: Lesson 5 has items 1 to 8" in said


def test_progress_is_shown(folder, monkeypatch, capsys):
    ticks = iter(range(0, 10_000, 2))
    monkeypatch.setattr(looking.time, "monotonic", lambda: float(next(ticks)))
    assert launch.main(["overview", str(folder)]) == 0
    assert "  17 of 17 files are looked at" in capsys.readouterr().out


def test_a_long_class_code_makes_no_endless_name(tmp_path, folder):
    place = tmp_path / "long"
    place.mkdir()
    for end in "ab":
        Hand(1, class_code="中" * 50 + end).types("5.1", "1 mL").lay(place, f"{end}.jsonl")
    assert launch.main(["overview", str(place), "--to", str(tmp_path / "to")]) == 0
    made = list((tmp_path / "to").iterdir())
    assert len(made) == 5
    assert not any("Thursday" in page.read_text(encoding="utf-8") for page in made), "it is set to another class"


def test_only_the_key_is_called_the_key(tmp_path, folder, capsys):
    """Whatever the class is called: a teacher who keeps back what says key hands out the rest."""
    place = tmp_path / "another"
    Hand(1, class_code="monkey").types("5.1", "1 mL").lay(place)
    assert launch.main(["overview", str(place), "--to", str(tmp_path / "to")]) == 0
    said = capsys.readouterr().out
    assert "next-week-monkey.html   (mixed questions for monkey)" in said
    assert "next-week-monkey-key.html   (mixed questions for monkey: the key, for you alone)" in said


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["overview"], 2, "Say in which folder"),
        (["overview", "no such folder"], 2, '"no such folder" is no folder that can be looked into'),
        (["overview", "FOLDER", "--numbers", "x"], 2, "--numbers wants own numbers"),
        (["overview", "FOLDER", "--to", ""], 2, "--to wants the folder"),
        (["overview", "EMPTY"], 1, "No result file was found here"),
        (["overview", "FOLDER", "--to", "FOLDER/answers-fern7-1.jsonl"], 1, "is in the way"),
    ],
)
def test_what_cannot_be_done_is_told(words, code, sentence, folder, tmp_path, capsys):
    (tmp_path / "empty").mkdir()
    real = [word.replace("FOLDER", str(folder)).replace("EMPTY", str(tmp_path / "empty")) for word in words]
    assert launch.main(real) == code
    said = capsys.readouterr().out
    assert sentence in said
    assert not re.search(r"Traceback|\bError\b", said)


def test_inside_the_environment_where_that_is_kept_apart(monkeypatch):
    asked = []
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setattr(environment, "call", lambda *what: asked.append(what) or 5)
    assert launch.main(["overview", "handed-in"]) == 5
    assert asked[0][:2] == (("workbook",), ["-m", "herbcalc", "overview", "handed-in"])
