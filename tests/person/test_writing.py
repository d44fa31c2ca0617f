"""Keeping a file: in one step, sent to the disk, read back, and refused in one sentence."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

import pytest

from herbcalc.person import writing

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback|exception)\b", re.IGNORECASE)


@pytest.fixture(autouse=True)
def told():
    """What was put aside by other tests is not told in these."""
    writing.news()


def test_text_and_bytes_arrive_as_they_are(tmp_path):
    writing.write(tmp_path / "deep" / "er" / "a.txt", "½ oz\n")
    writing.write(tmp_path / "b", b"\xff\r\n")
    assert (tmp_path / "deep" / "er" / "a.txt").read_bytes() == "½ oz\n".encode()
    assert (tmp_path / "b").read_bytes() == b"\xff\r\n"
    writing.write(tmp_path / "b", b"new")
    assert writing.held(tmp_path / "b") == b"new"
    assert {p.name for p in tmp_path.iterdir()} == {"deep", "b"}
    assert writing.news() == []


def test_it_is_written_beside_synced_read_back_and_then_swapped(tmp_path, monkeypatch):
    """The order is the promise: at no moment does the file's own name lead to less than a whole file."""
    target = tmp_path / "me.toml"
    target.write_bytes(b"old")
    seen = []
    monkeypatch.setattr(writing.os, "fsync", lambda number: seen.append(("sync", target.read_bytes())))
    real_read, real_swap = Path.read_bytes, Path.replace

    def read(self):
        if self != target:
            seen.append(("read back", real_read(target)))
        return real_read(self)

    def swap(self, other):
        seen.append(("swap", real_read(other), real_read(self)))
        return real_swap(self, other)

    monkeypatch.setattr(Path, "read_bytes", read)
    monkeypatch.setattr(Path, "replace", swap)
    writing.write(target, b"new")
    assert seen == [("sync", b"old"), ("read back", b"old"), ("swap", b"old", b"new")]
    assert real_read(target) == b"new"


@pytest.mark.parametrize(
    ("number", "says"),
    [
        (errno.ENOSPC, "The disk is full"),
        (errno.EROFS, "HERBCALC_HOME"),
        (errno.EEXIST, "in the way"),
        (errno.EIO, "The disk did not answer"),
        (errno.ETIMEDOUT, "The computer says"),
    ],
)
def test_a_swap_that_is_refused_leaves_the_old_file_and_no_scrap(tmp_path, monkeypatch, number, says):
    target = tmp_path / "batch.json"
    target.write_bytes(b"old")

    def refuse(self, other):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(writing.NotKept, match=says) as refused:
        writing.write(target, "new")
    assert str(refused.value).startswith(f"batch.json could not be kept in {tmp_path}. ")
    assert not FORBIDDEN.search(str(refused.value).replace(os.strerror(number), ""))
    assert [p.name for p in tmp_path.iterdir()] == ["batch.json"]
    assert target.read_bytes() == b"old"


def test_a_scrap_that_cannot_be_taken_away_is_told(tmp_path, monkeypatch):
    def refuse(self, *_, **__):
        raise OSError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "replace", refuse)
    monkeypatch.setattr(Path, "unlink", refuse)
    with pytest.raises(writing.NotKept):
        writing.write(tmp_path / "a", "new")
    (told,) = writing.news()
    assert "A scrap called .a." in told
    assert writing.news() == []


def test_the_sentence_on_keeping_stands_once():
    """One wording of "could not be kept" in the whole package; whoever needs it calls `not_kept`."""
    package = Path(writing.__file__).parents[1]
    places = [
        path.relative_to(package).as_posix()
        for path in sorted(package.rglob("*.py"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if "could not be kept" in line or "was not kept" in line
    ]
    assert set(places) == {"person/writing.py"}
