"""The person's own folder: nothing is lost, every refusal is a sentence, and nothing of it leaves the folder."""

from __future__ import annotations

import errno
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from herbcalc import person
from herbcalc.person import batches, writing

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback|exception)\b", re.IGNORECASE)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path / "home"))
    person.news()
    return tmp_path / "home"


def test_it_needs_the_standard_library_only():
    seen = subprocess.run(
        [sys.executable, "-c", "import herbcalc.person, sys; print('numpy' in sys.modules or 'pint' in sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert seen.stdout.strip() == "False"


def test_a_browser_that_lends_no_drive_is_known(monkeypatch, tmp_path):
    monkeypatch.delenv(person.VARIABLE, raising=False)
    assert person.lasts()
    monkeypatch.setattr(person.sys, "platform", "emscripten")
    monkeypatch.setattr(person.place, "BROWSER_DRIVE", tmp_path)
    assert person.folder() == tmp_path / "my-herb-sums"
    assert person.lasts()
    monkeypatch.setattr(person.place, "BROWSER_DRIVE", tmp_path / "none")
    assert not person.lasts()


def test_who_is_working_is_kept_and_found_again(home):
    assert person.me() is None
    assert person.save_me("fern7", 12) == person.Me("fern7", 12) == person.me()
    person.save_me("rosé3", 99)
    assert person.me() == person.Me("rosé3", 99)
    assert person.answers_path(person.me()) == home / "answers-rosé3-99.jsonl"


@pytest.mark.parametrize(
    ("code", "number"), [("fern 7", 1), ("", 1), ("../x", 1), ('a"b', 1), ("fern7", 0), ("f", 100)]
)
def test_what_would_make_a_bad_file_name_is_refused(home, code, number):
    with pytest.raises(ValueError, match=r"class code|own number") as refused:
        person.save_me(code, number)
    assert not FORBIDDEN.search(str(refused.value))
    assert not home.exists()


@pytest.mark.parametrize(
    "text",
    [
        b"class = ",
        b"\xff\xfe\x00",
        b"",
        b'class = "fern7"\nnumber = "12"',
        b'class = "fern7"\nnumber = true',
        b'class = "../../x"\nnumber = 3',
        b'class = "fern7"\nnumber = 1e300',
        b"class = [1]\nnumber = 3",
        b"x = " + b"[" * 5000,
    ],
)
def test_a_damaged_me_file_is_put_aside_and_named(home, text):
    home.mkdir()
    (home / person.ME).write_bytes(text)
    assert person.me() is None
    told = " ".join(person.news())
    assert "me.toml.put-aside-1" in told
    assert "00_start" in told
    assert not FORBIDDEN.search(told)
    assert (home / "me.toml.put-aside-1").read_bytes() == text
    assert person.news() == []


@pytest.mark.parametrize("text", [b"{", b"[1, 2]", b"\xff", b"[" * 5000, b"null"])
def test_damaged_settings_and_batch_are_put_aside_and_the_work_goes_on(home, text):
    home.mkdir()
    for name, read in ((person.SETTINGS, lambda: person.settings(5)), (person.BATCH, batches.figures)):
        (home / name).write_bytes(text)
        assert not read()
        assert name in " ".join(person.news())
        (home / name).write_bytes(text)
        read()  # a second damaged one does not overwrite the first
        assert {p.name for p in home.glob(f"{name}*")} == {f"{name}.put-aside-1", f"{name}.put-aside-2"}


def test_settings_of_one_lesson_leave_the_others_alone(home):
    person.save_settings(5, [{"ratio": 2.0, "name": "Öl-Glas"}])
    person.save_settings(3, [{"water": 80.0}])
    assert person.settings(5) == [{"ratio": 2.0, "name": "Öl-Glas"}]
    assert person.settings(3) == [{"water": 80.0}]
    assert person.settings(4) == []
    assert "Öl" in (home / person.SETTINGS).read_text(encoding="utf-8"), "it should read as plain text"


def test_a_hand_edited_settings_file_with_other_shapes_is_survived(home):
    home.mkdir()
    (home / person.SETTINGS).write_text('{"5": 3, "4": [1, {"a": 1}]}', encoding="utf-8")
    assert person.settings(5) == []
    assert person.settings(4) == [{"a": 1}]


def test_half_a_character_does_not_stop_the_writing(home):
    batches.save_figures({"note": "\ud800 leaf"})
    assert (home / person.BATCH).read_bytes().count(rb"\ud800 leaf") == 1, "nothing of it is lost"
    assert batches.figures() == {"note": "? leaf"}, "and what is read can be shown"


@pytest.mark.parametrize(
    ("number", "says"),
    [
        (errno.ENOSPC, "full"),
        (errno.EROFS, "write there"),
        (errno.EACCES, "write there"),
        (errno.EIO, "did not answer"),
    ],
)
def test_a_refusing_disk_is_told_in_a_sentence_and_the_old_file_stays(home, monkeypatch, number, says):
    batches.save_figures({"herb": "lemon balm"})

    def refuse(_):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(writing.os, "fsync", refuse)
    with pytest.raises(person.NotKept, match=says) as refused:
        batches.save_figures({"herb": "rosehip"})
    assert "batch.json" in str(refused.value)
    assert not FORBIDDEN.search(str(refused.value).replace(os.strerror(number), ""))
    assert batches.figures() == {"herb": "lemon balm"}
    assert {p.name for p in home.iterdir()} == {"batch.json", ".batch.json.lock"}, "no scrap is left behind"


def test_a_disk_that_forgets_is_found_out(home, monkeypatch):
    batches.save_figures({"herb": "lemon balm"})
    monkeypatch.setattr(Path, "read_bytes", lambda self: b"")
    with pytest.raises(person.NotKept, match="came back"):
        batches.save_figures({"herb": "rosehip"})


def test_a_file_where_the_folder_should_be(home):
    home.write_text("in the way")
    with pytest.raises(person.NotKept, match="in the way"):
        person.save_me("fern7", 3)


def test_the_result_file_is_shown_exactly(home):
    who = person.Me("fern7", 12)
    assert person.result_file(who) == ""
    home.mkdir()
    held = json.dumps({"typed": "350 mL ½ ✓"}, ensure_ascii=False) + "\n"
    person.answers_path(who).write_text(held, encoding="utf-8")
    assert person.result_file(who) == held


def test_delete_all_takes_all_of_mine_and_nothing_else(home):
    who = person.save_me("fern7", 1)
    person.save_settings(5, [{"ratio": 2}])
    batches.save_figures({"herb": "lemon balm"})
    for name in ("answers-fern7-1.jsonl", "answers-fern7-1.jsonl.lock", ".answers-fern7-1.jsonl.lock"):
        (home / name).write_text("x")
    (home / "settings.json.put-aside-1").write_text("{")
    others = {"answers-fern7-12.jsonl", "answers-fern7-11.jsonl", "class.toml", "my notes.txt"}
    for name in others:
        (home / name).write_text("")
    (home / "workbook").mkdir()
    gone = person.delete_all(who)
    assert "answers-fern7-1.jsonl" in gone
    assert {p.name for p in home.iterdir()} == others | {"workbook"}
    assert person.delete_all(who) == []


def test_who_teaches_is_kept_and_older_files_are_read(home):
    assert person.save_me("fern7", 3, teacher=True) == person.Me("fern7", 3, True) == person.me()
    assert person.save_me("fern7", 3) == person.me()
    assert person.me().teacher is False
    for odd in ('"yes"', "1", "[]"):
        (home / person.ME).write_text(f'class = "fern7"\nnumber = 3\nteacher = {odd}\n')
        assert person.me() == person.Me("fern7", 3)


def test_a_copy_to_hand_in_is_the_very_file_and_is_renewed(home):
    who = person.save_me("fern7", 3)
    with pytest.raises(person.NotKept, match="begins with your first answer"):
        person.hand_in(who)
    kept = person.answers_path(who)
    for held in (b"one\r\n", b"one\r\n\xff\xfe torn"):
        kept.write_bytes(held)
        copy = person.hand_in(who)
        assert copy == home / person.FOR_TEACHER / "answers-fern7-3.jsonl"
        assert copy.read_bytes() == held
    other = person.answers_path(person.Me("fern7", 4))
    other.write_text("two\n")
    theirs = person.hand_in(person.Me("fern7", 4))
    assert copy in person.all_of_mine(who)
    person.delete_all(who)
    assert not copy.exists()
    assert theirs.exists()


def test_a_killed_write_leaves_the_old_file(home):
    batches.save_figures({"herb": "lemon balm"})
    killed = subprocess.run(
        [
            sys.executable,
            "-c",
            "import os\nfrom herbcalc.person import batches\n"
            "os.fsync = lambda _: os._exit(9)\n"
            "batches.save_figures({'herb': 'rosehip'})",
        ],
        env={**os.environ, person.VARIABLE: str(home)},
    )
    assert killed.returncode == 9
    assert batches.figures() == {"herb": "lemon balm"}
    person.delete_all(None)
    assert list(home.iterdir()) == [], "the scrap of the killed write goes too"


def test_the_mark_that_some_editors_put_first_is_no_part_of_what_was_kept(home):
    home.mkdir()
    (home / person.ME).write_bytes(b'\xef\xbb\xbfclass = "fern7"\r\nnumber = 12\r\n')
    (home / person.SETTINGS).write_bytes(b'\xef\xbb\xbf{"5": [{"ratio": 2.0}]}')
    assert person.me() == person.Me("fern7", 12)
    assert person.settings(5) == [{"ratio": 2.0}]
    assert person.news() == []


@pytest.mark.parametrize(("number", "known"), [(1, True), (99, True), (0, False), (100, False)])
def test_an_own_number_goes_from_1_to_99(home, number, known):
    home.mkdir()
    (home / person.ME).write_text(f'class = "fern7"\nnumber = {number}\n', encoding="utf-8")
    assert (person.me() is not None) == known
    assert bool(person.news()) != known
    if not known:
        with pytest.raises(ValueError, match="from 1 to 99"):
            person.save_me("fern7", number)


@pytest.mark.parametrize("code", ["utf-16", "utf-16-be"])
def test_a_result_file_that_an_editor_made_utf_16_is_shown_as_it_reads(home, code):
    who = person.Me("fern7", 3)
    path = person.answers_path(who, home)
    path.parent.mkdir(parents=True, exist_ok=True)
    held = '{"typed": "½ oz"}\n'
    path.write_bytes((held if code == "utf-16" else f"\ufeff{held}").encode(code))
    assert person.result_file(who, home) == held
