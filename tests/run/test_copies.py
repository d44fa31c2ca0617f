"""The person's copies: what they have changed is never lost, what they have not changed is kept up to date."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from herbcalc import person
from herbcalc.run import copies


@pytest.fixture
def house(tmp_path):
    """A checkout with two lessons, and an empty folder of a person."""
    checkout = tmp_path / "checkout"
    for shelf in copies.SHELVES:
        (checkout / shelf).mkdir(parents=True)
        (checkout / shelf / "conftest.py").write_text("for tests only")
        (checkout / shelf / "05_plant_water.ipynb").write_text("as it came")
    (checkout / "workbook" / "03_moisture.ipynb").write_text("three")
    (checkout / "workbook" / ".ipynb_checkpoints").mkdir()
    (checkout / copies.NOTES).mkdir()
    (checkout / copies.NOTES / "01_ounces.md").write_text("for the teacher")
    return checkout, tmp_path / "sums"


def test_the_first_start_brings_everything_but_what_serves_the_tests(house):
    checkout, home = house
    said = copies.bring(home, checkout)
    assert len(said) == 1
    assert "4 files" in said[0]
    there = sorted(p.relative_to(home).as_posix() for p in home.rglob("*") if p.is_file())
    lessons = ["exercises/05_plant_water.ipynb", "workbook/03_moisture.ipynb", "workbook/05_plant_water.ipynb"]
    assert there == [copies.RECORD, *lessons, "workbook/teacher/01_ounces.md"]


def test_the_second_start_has_nothing_to_say(house):
    checkout, home = house
    copies.bring(home, checkout)
    assert copies.bring(home, checkout) == []


def test_an_update_renews_only_what_is_as_it_came(house):
    checkout, home = house
    copies.bring(home, checkout)
    (home / "workbook" / "05_plant_water.ipynb").write_text("my own notes")
    for name in ("workbook/05_plant_water.ipynb", "workbook/03_moisture.ipynb"):
        (checkout / name).write_text("a newer one")
    said = copies.bring(home, checkout)
    assert (home / "workbook" / "05_plant_water.ipynb").read_text() == "my own notes"
    assert (home / "workbook" / "03_moisture.ipynb").read_text() == "a newer one"
    assert "Brought up to date: 03_moisture.ipynb." in said
    assert any("fresh 5" in line and "stays as it is" in line for line in said)


def test_changed_and_changed_again_stays(house):
    """The record moves only with a copy of ours, so a second update does not take the person's work for ours."""
    checkout, home = house
    copies.bring(home, checkout)
    lesson = home / "workbook" / "05_plant_water.ipynb"
    for update in ("newer", "newest"):
        lesson.write_text("mine")
        (checkout / "workbook" / "05_plant_water.ipynb").write_text(update)
        copies.bring(home, checkout)
        assert lesson.read_text() == "mine"


@pytest.mark.parametrize("record", ["", "[1]", '{"torn'])
def test_a_lost_record_loses_nothing(house, record):
    checkout, home = house
    copies.bring(home, checkout)
    (home / copies.RECORD).write_text(record)
    (checkout / "workbook" / "03_moisture.ipynb").write_text("newer")
    copies.bring(home, checkout)
    assert (home / "workbook" / "03_moisture.ipynb").read_text() == "three"


def test_windows_line_ends_are_no_change(house):
    checkout, home = house
    (checkout / "workbook" / "03_moisture.ipynb").write_bytes(b"a\nb\n")
    copies.bring(home, checkout)
    (checkout / "workbook" / "03_moisture.ipynb").write_bytes(b"a\r\nb\r\n")
    assert copies.bring(home, checkout) == []


def test_fresh_keeps_the_old_copy_beside_the_new(house):
    checkout, home = house
    copies.bring(home, checkout)
    lesson = home / "workbook" / "05_plant_water.ipynb"
    for number, mine in enumerate(("first try", "second try"), 1):
        lesson.write_text(mine)
        said = copies.fresh(5, home, checkout)
        assert lesson.read_text() == "as it came"
        assert (home / "workbook" / f"05_plant_water-kept-{number}.ipynb").read_text() == mine
        assert f"05_plant_water-kept-{number}.ipynb" in " ".join(said)
    assert copies.bring(home, checkout) == []


def test_fresh_of_an_untouched_lesson_keeps_nothing(house):
    checkout, home = house
    copies.bring(home, checkout)
    assert len(copies.fresh(5, home, checkout)) == 2
    assert not list(home.rglob("*kept*"))


def test_fresh_of_no_lesson_says_nothing_was_done(house):
    checkout, home = house
    assert copies.fresh(77, home, checkout) == []
    assert not home.exists()


def test_a_folder_where_a_notebook_should_be_is_said_and_left(house):
    checkout, home = house
    (home / "workbook" / "05_plant_water.ipynb" / "mine").mkdir(parents=True)
    said = copies.bring(home, checkout)
    assert any("workbook/05_plant_water.ipynb is a folder" in line for line in said)
    assert (home / "workbook" / "03_moisture.ipynb").exists()
    assert (home / "workbook" / "05_plant_water.ipynb" / "mine").exists()
    copies.fresh(5, home, checkout)
    assert (home / "workbook" / "05_plant_water-kept-1.ipynb" / "mine").exists()
    assert lesson(home) == "as it came"


def update(checkout, text="a newer one"):
    """A newer herbcalc brings another lesson 5."""
    for shelf in copies.SHELVES:
        (checkout / shelf / "05_plant_water.ipynb").write_text(text)


def lesson(home):
    return (home / "workbook" / "05_plant_water.ipynb").read_text()


def test_what_fresh_brought_is_kept_up_to_date_again(house):
    """The record knows the new copy as ours."""
    checkout, home = house
    copies.bring(home, checkout)
    (home / "workbook" / "05_plant_water.ipynb").write_text("mine")
    update(checkout)
    copies.fresh(5, home, checkout)
    update(checkout, "the newest")
    assert not any("stays as it is" in line for line in copies.bring(home, checkout))
    assert lesson(home) == "the newest"


def test_a_lost_record_is_made_again_for_what_is_as_it_came(house):
    checkout, home = house
    copies.bring(home, checkout)
    (home / copies.RECORD).unlink()
    copies.bring(home, checkout)
    update(checkout)
    copies.bring(home, checkout)
    assert lesson(home) == "a newer one"


def test_hidden_files_and_folders_stay_where_they_are(house):
    checkout, home = house
    for name in (".DS_Store", "._05_plant_water.ipynb", ".ipynb_checkpoints/05_plant_water-checkpoint.ipynb"):
        (checkout / "workbook" / name).write_text("not for a person")
    copies.bring(home, checkout)
    copies.fresh(5, home, checkout)
    there = {p.name for p in home.rglob("*") if p.name.startswith(".")}
    assert there == {copies.RECORD}


@pytest.mark.parametrize("again", [copies.bring, lambda *where: copies.fresh(5, *where)])
def test_a_copy_is_swapped_in_one_step(house, monkeypatch, again):
    """Where the last step is refused, the copy that was there is whole, no scrap lies beside it, and it is said."""
    checkout, home = house
    copies.bring(home, checkout)
    update(checkout)
    monkeypatch.setattr(copies, "spare", lambda target: target)  # what is swapped is the copy, not its older one

    def refuse(self, other):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(person.NotKept, match=r"05_plant_water\.ipynb could not be kept in .*The disk is full"):
        again(home, checkout)
    assert lesson(home) == "as it came"
    assert {p.name for p in (home / "workbook").iterdir()} == {"03_moisture.ipynb", "05_plant_water.ipynb", "teacher"}


def test_a_stop_in_the_middle_of_a_renewal_is_made_good_at_the_next_start(house, monkeypatch):
    """The record is written last: a copy that was renewed before the stop is known as ours all the same."""
    checkout, home = house
    copies.bring(home, checkout)
    update(checkout)
    with monkeypatch.context() as half:
        half.setattr(copies.json, "dumps", lambda *_, **__: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            copies.bring(home, checkout)
    assert copies.bring(home, checkout) == []
    update(checkout, "the newest")
    copies.bring(home, checkout)
    assert lesson(home) == "the newest"
