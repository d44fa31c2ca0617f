"""Files from strangers: each named with the reason, none opened twice, nothing run, and no link followed."""

from __future__ import annotations

import gzip
import io
import os
import pickle
import socket
import sys
import tarfile
import zipfile
from collections import Counter
from pathlib import Path

import pytest

from herbcalc.homework import handed_in, items, marking, results
from herbcalc.homework.handed_in import Aside, File, files, read
from tests.homework.a_class import Hand, line, seen

OPENED: list[str] = []
WATCH = {"on": False}
RUN = ("os.exec", "os.posix_spawn", "os.remove", "os.system", "pickle.find_class", "subprocess.Popen")


def _hook(event: str, args: tuple[object, ...]) -> None:
    if WATCH["on"] and event == "open":
        OPENED.append(os.fsdecode(args[0]) if isinstance(args[0], (str, bytes)) else str(args[0]))
    if WATCH["on"] and event in RUN:
        OPENED.append(f"{event} {args[0] if args else ''}")


sys.addaudithook(_hook)


class Trap:
    """What pickle would run, if anybody unpickled it."""

    def __init__(self, canary: Path) -> None:
        self.canary = canary

    def __reduce__(self):
        return os.remove, (str(self.canary),)


def tar(compressed: str = "") -> bytes:
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode=f"w:{compressed}") as made:
        made.addfile(tarfile.TarInfo("../../answers-fern7-3.jsonl"))
    return out.getvalue()


def zipped() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.writestr("answers-fern7-3.jsonl", line())
    return out.getvalue()


def renumbered() -> bytes:
    """What number 3 has done, handed in by number 4."""
    lines = [answer.line() for answer in sums(Hand(3)).answers]
    return "\n".join(lines).replace('"number": 3', '"number": 4').encode()


def sums(hand: Hand) -> Hand:
    """Eight sums, all right."""
    for code in ("5.1", "5.2", "5.4", "5.5", "4.1", "4.2", "3.1", "3.2"):
        hand.right(code)
    return hand


def broken(canary: Path) -> list[tuple[bytes, str]]:
    """Files that hold nothing that counts, and a word of the reason."""
    good, run = line().encode(), f"__import__('os').remove({str(canary)!r})"
    return [
        (b"", "empty"),
        (b"\n \n\r\n", "nothing stands in it"),
        (zipped(), "archive (zip)"),
        (b"PK\3\4" + bytes(26) + b"[Content_Types].xml" + good, "a document of an office program"),
        (gzip.compress(good), "archive (gzip)"),
        (tar(), "archive (tar)"),
        (tar("bz2"), "archive (bzip2)"),
        (tar("xz"), "archive (xz)"),
        (b"7z\xbc\xaf\x27\x1c" + good, "archive (7z)"),
        (b"Rar!\x1a\x07\x00" + good, "archive (rar)"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "no text"),
        (b"\x7fELF\x02\x01\x01\0\0\0", "no text"),
        (b"MZ\x90\0" + good, "no text"),
        (bytes(range(256)) * 40, "no text"),
        (pickle.dumps(Trap(canary)), "no "),
        (pickle.dumps(Trap(canary), protocol=0), "no result file"),
        (f"import os\nos.remove({str(canary)!r})\n".encode(), "no result file"),
        (f"#!/bin/sh\nrm {canary}\n".encode(), "no result file"),
        (b"<html><script>alert(1)</script></html>\n", "no result file"),
        (b"<?xml version='1.0'?><!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>", "no result file"),
        (b"name,answer\nAda,28 % vol\n", "no result file"),
        (b"{}\n", "no result file"),
        (b"[]\n" * 30, "no result file"),
        (b'null\n1\n"text"\n', "no result file"),
        (b"[" * 7000 + b"]" * 900 + b"\n", "no result file"),
        (b'{"a":' * 1400 + b"1" + b"}" * 900 + b"\n", "no result file"),
        (b"9" * 7900 + b"\n", "no result file"),
        (good.strip() + b"x" * 20_000, "too long"),
        (good + b"noise\n" * 5000, "more than 1000 of its lines"),
        (b'{\n "cells": [],\n "nbformat": 4\n}\n', "no result file; it looks like a notebook. The button Save my"),
        (b"<!DOCTYPE html>\n<html></html>\n", "it looks like a web page"),
        (b'# Of our class\n\nclass = "fern7"\n', "it looks like a sheet of settings"),
        (b'{\n "Alder Lane": {}\n}', "it looks like a file in which a program keeps something"),
        (b"Dear teacher,\n5.1: 240 mL\n", "it looks like a text that somebody wrote"),
        (good[: len(good) // 2], "torn"),
        (line(schema=99).encode(), "another version"),
        (line(typed="9" * 501).encode(), "changed by hand (typed)"),
        (line(number=100).encode(), "changed by hand (number)"),
        (line(**{"class": "Fern 7"}).encode(), "changed by hand (class)"),
        (line(item=run).encode(), "changed by hand (item)"),
        (line(item="05.2").encode(), "changed by hand (item)"),
        (line(item="٥.٢").encode(), "changed by hand (item)"),
        (line(day="2026-02-30").encode(), "changed by hand (day)"),
        (line(day="0001-01-01").encode(), "changed by hand (day)"),
        (line(herbcalc=run * 3).encode(), "changed by hand (herbcalc)"),
        (line(ticked=[3, 1]).encode(), "changed by hand (ticked)"),
        (line(more=run).encode(), "not a line of this workbook"),
        (line().replace('"number": 3', '"number": 3, "number": 4').encode(), "torn"),
        (line().replace('"number": 3', '"number": NaN').encode(), "torn"),
        (line(number=1e9).encode(), "changed by hand (number)"),
        (f"{line()}\n{line(number=4)}\n".encode(), "put together by hand"),
        (line(**{"try": 499}).encode(), "never drawn"),
        (line(edition=77).encode(), "never drawn"),
        (line(item="99.9").encode(), "never drawn"),
        (good.decode().encode("utf-32"), "no "),
        (renumbered(), "fit the figures of number 3"),
    ]


def lay_files(folder: Path, canary: Path) -> dict[str, str]:
    """Each kind under four names, some of which are no names of ours: what is shown of each, and its reason."""
    expected: dict[str, str] = {}
    kinds = broken(canary)
    for number in range(4 * len(kinds)):
        held, word = kinds[number % len(kinds)]
        name = (
            f"hostile-{number:03}.jsonl",
            f"<b>{number:03}</b>&'\".txt",
            f"{number:03} $(rm x).pkl",
            f"deep/{number:03}",
        )
        path = folder / name[number // len(kinds)].replace("/b>", "∕b>")
        path.parent.mkdir(exist_ok=True, parents=True)
        path.write_bytes(held)
        expected[handed_in.shown(path.relative_to(folder).as_posix())] = word
    return expected


def lay_odd_things(folder: Path, canary: Path) -> dict[str, str]:
    """Links, pipes, plugs, folders, names and files that are not to be opened, or not twice."""
    expected: dict[str, str] = {}
    for kind, name in (("plain", "link"), ("folder", "folder link"), ("nowhere", "broken link"), ("loop", "loop")):
        target = {
            "plain": canary,
            "folder": canary.parent,
            "nowhere": canary.parent / "none",
            "loop": folder / "loop",
        }[kind]
        (folder / name).symlink_to(target)
        expected[name] = "link"
    os.mkfifo(folder / "pipe")
    expected["pipe"] = "a pipe"
    with socket.socket(socket.AF_UNIX) as bound:
        bound.bind(str(folder / "plug"))
    expected["plug"] = "a socket"
    (folder / "deep/er/est/and deeper").mkdir(parents=True)
    expected["deep/er/est/and deeper"] = "nobody looks deeper"
    with (folder / "huge").open("wb") as huge:
        huge.truncate(results.LARGEST_FILE * 1000)
    expected["huge"] = "larger than 8 MB"
    for name in (
        "answers-fern7-3.jsonl.d",
        "answers-fern7-9.jsonl",
    ):  # a folder with a file's name is just looked into
        (folder / name).mkdir()
        (folder / name / "in it").write_bytes(b"no answers\n")
        expected[f"{name}/in it"] = "no result file"
    for n, name in enumerate(("a\nb", "a\x1b[2Jb", "\u202eb", os.fsdecode(b"\xff\xfe"), "x" * 200)):
        (folder / f"{n}{name}").write_bytes(b"no answers\n")
        expected[handed_in.shown(f"{n}{name}")] = "no result file"
    Hand(7).right("5.2").lay(folder)
    Hand(3).right("5.2").lay(folder, "answers-fern7-5.jsonl")
    expected["answers-fern7-5.jsonl"] = "its name says class fern7, number 5"
    os.link(folder / "answers-fern7-7.jsonl", folder / "z-second-name.jsonl")
    expected["z-second-name.jsonl"] = "the same file as answers-fern7-7.jsonl"
    (folder / "one too many").write_bytes(b"{")
    expected["one too many"] = "no result file"
    return expected


def test_two_hundred_hostile_files_are_two_hundred_named(tmp_path):
    canary = tmp_path / "canary"
    canary.write_text("sings")
    before = canary.stat()
    folder = tmp_path / "class"
    expected = lay_files(folder, canary) | lay_odd_things(folder, canary)
    assert len(expected) >= 200

    OPENED.clear()
    WATCH["on"] = True
    try:
        students, aside = seen(folder)
    finally:
        WATCH["on"] = False
    assert [student.number for student in students] == [7]
    assert Counter(one.name for one in aside) == Counter(expected.keys())
    for one in aside:
        assert expected[one.name] in one.reason, one
        assert one.name.isprintable()
        assert len(one.reason) < 400
    assert not [name for name in OPENED if name.startswith(RUN)]
    ours = Counter(name for name in OPENED if str(tmp_path) in name)
    assert max(ours.values()) == 1, "none is opened twice"
    assert not [name for name in ours if name.endswith(("canary", "pipe", "link", "plug", "huge"))]
    assert canary.read_text() == "sings"
    assert (canary.stat().st_mtime_ns, canary.stat().st_ino) == (before.st_mtime_ns, before.st_ino)


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="there are no such devices here")
def test_a_device_is_not_opened(monkeypatch):
    """None can be made without a computer's leave, so the one that is there is looked at."""
    assert "device" in handed_in._no_file(Path("/dev/zero").stat())
    assert "device" in read(File("/dev/zero", "zero")).reason


def test_what_turns_into_a_link_before_it_is_opened_is_not_followed(tmp_path):
    (tmp_path / "class").mkdir()
    path = Hand(3).right("5.2").lay(tmp_path / "class")
    found = list(files(path.parent))
    path.rename(tmp_path / "elsewhere")
    path.symlink_to(tmp_path / "elsewhere")
    assert "link" in read(found[0]).reason


def test_a_name_that_says_another_number_is_seen_in_folders_with_long_names(tmp_path):
    """What is shown of such a path is cut off before the file's own name."""
    Hand(3).right("5.2").lay(tmp_path / ("What my students sent " * 5).strip(), "answers-fern7-5.jsonl")
    students, (aside,) = seen(tmp_path)
    assert not students
    assert "its name says class fern7, number 5" in aside.reason


def test_a_file_is_read_as_far_as_it_goes_and_the_rest_is_named(tmp_path):
    held = Hand(3).right("5.2").slips("5.4", "m42")
    path = held.lay(tmp_path)
    with path.open("a", encoding="utf-8") as more:
        more.write("what is this\n" * 9 + line(schema=3) + "\n" + line()[:60])
    (student,), aside = seen(tmp_path)
    assert not aside
    assert student.states == {"5.2": "done", "5.4": "not yet"}
    assert len(student.notes) == handed_in.MOST_NOTES + 1
    assert "line 3: " in student.notes[0].reason
    assert student.notes[-1].reason == "6 more lines were skipped."


def test_somebody_whose_sums_do_not_fit_yet_is_nobody_else(tmp_path):
    """Sums that fit nobody; sums of number 3 with one that is right; and three of them, too few to tell."""
    stuck, mixed, few = Hand(4), Hand(5), Hand(6)
    theirs = sums(Hand(3)).answers
    for answer in theirs:
        stuck.types(answer.item, "77 g" if answer.item.startswith("5") else "77 %")
        mixed.types(answer.item, answer.typed)
    for answer in theirs[:3]:
        few.types(answer.item, answer.typed)
    mixed.right("6.1")
    for hand in (stuck, mixed, few):
        hand.lay(tmp_path)
    students, aside = seen(tmp_path)
    assert [student.number for student in students] == list(range(4, 7))
    assert not aside


def test_an_editor_and_the_older_version_lose_nothing(tmp_path):
    one = Hand(3).right("5.2").answers[0]
    older = line(schema=1).replace(', "ticked": [], "mended": ""', "")
    (tmp_path / "older.jsonl").write_text(older)
    (tmp_path / "wide.txt").write_bytes(one.line().replace('"number": 3', '"number": 3').encode("utf-16"))
    (tmp_path / "mark.jsonl").write_bytes(b"\xef\xbb\xbf" + one.line().encode() + b"\r\n")
    students, aside = seen(tmp_path)
    assert not aside
    assert [student.states for student in students] == [{"5.2": "done"}] * 3


@pytest.mark.parametrize("zeros", [500, 5000, 20_000])
def test_a_block_of_zeros_that_failing_power_left_hides_no_answer(tmp_path, zeros):
    """What is answered after it is kept on a line of its own, as the page goes on; so it is handed in, and read."""
    file = tmp_path / "answers-fern7-3.jsonl"
    file.write_bytes(bytes(zeros))
    results.append(file, Hand(3).right("5.2").answers[0])
    (student,), aside = seen(tmp_path)
    assert not aside
    assert student.states == {"5.2": "done"}
    assert [note.name for note in student.notes] == [file.name]


def test_a_file_of_thousands_of_answers_is_looked_at_in_good_time(tmp_path):
    hand = Hand(3)
    for n in range(400):
        hand.types("5.2", f"{n} g")
    hand.right("5.2").lay(tmp_path)
    (student,), _ = seen(tmp_path)
    assert student.states == {"5.2": "done"}
    assert student.answers == 60
    assert student.notes[0].reason == "it holds 341 answers more than are looked at; the newest are"
    for n in range(25):
        for lesson, number in items():
            hand.types(f"{lesson}.{number}", f"{n} g", go=n + 2)
    hand.lay(tmp_path)
    assert seen(tmp_path)[0][0].answers == marking.MOST_ANSWERS


def test_a_folder_of_too_many_files_is_named(tmp_path, monkeypatch):
    monkeypatch.setattr(handed_in, "MOST_FILES", 3)
    for number in range(1, 7):
        Hand(number).right("5.1").lay(tmp_path)
    found = list(files(tmp_path))
    assert [type(one) for one in found] == [File, File, File, Aside]
    assert "over 3 files" in found[-1].reason


def test_a_folder_that_may_not_be_looked_into_is_named(tmp_path, monkeypatch):
    Hand(3).right("5.1").lay(tmp_path / "shut")
    real = os.scandir

    def closed(path):
        if str(path).endswith("shut"):
            raise PermissionError(13, "Permission denied")
        return real(path)

    monkeypatch.setattr(handed_in.os, "scandir", closed)
    (found,) = files(tmp_path)
    assert found.name == "shut"
    assert "does not let us read it" in found.reason
