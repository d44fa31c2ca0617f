"""Whatever stands in a file of the person or the class: each page opens, says so in words, and overwrites nothing.

The cards and panels are looked at in Python; what goes to a screen must be text that a kernel can send.
"""

from __future__ import annotations

import dataclasses
import errno
import json
import os
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.person import class_file
from herbcalc.show import lesson
from herbcalc.show.here import modules
from herbcalc.show.look import as_setting, controls
from herbcalc.show.shelf import books

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback|exception)\b", re.IGNORECASE)
WHO = person.Me("fern7", 3)
ME = 'class = "fern7"\nnumber = 3\n'
GROWS = "\ufdfa" * 60  # one sign that stands for fifteen letters
ANSWERS = person.answers_path(WHO, Path()).name

CONTENTS: dict[str, bytes | str] = {
    "empty": b"",
    "blank": b"\n \r\n",
    "binary": bytes(range(256)) * 20,
    "NUL": b"\0" * 1000,
    "UTF-16": '{"5": []}'.encode("utf-16"),
    "Latin-1": 'class = "ros\xe9"\nnumber = 3'.encode("latin-1"),
    "deep": b"[" * 100_000,
    "deep names": b'{"a":' * 20_000,
    "page": b"<!doctype html><b>moved</b><script>alert(1)</script>",
    "long": b"x = 1\n" * 2_000,
    "other shape": b'["x", 1]',
    "numbers": b'{"5": NaN, "x": Infinity, "y": 1e999, "z": ' + b"9" * 4000 + b"}",
    "too many digits": b'{"5": ' + b"9" * 5000 + b"}",
    "half a letter": rb'{"5": [{"name": "\ud800", "setting": {"\udfff": "\ud800"}}], "\ud800": "\ud800"}',
    "no name": b'{"5": [{}, 3, null, [], {"name": [], "setting": []}]}',
    "a folder": "folder",
    "a link to nowhere": "nowhere",
    "a link to itself": "loop",
    "a disk that refuses": "/proc/self/mem",
}
VALUES: list[Any] = [
    [],
    {},
    [1, {"a": []}],
    None,
    True,
    "x",
    "",
    7,
    -1,
    0.5,
    float("nan"),
    float("inf"),
    10**300,
    "<b>&",
    "\ud800",
    "\0",
    "\u202e",
    "9" * 10_000,
]


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    monkeypatch.chdir(tmp_path)
    person.news()
    return tmp_path


def lay(path: Path, content: bytes | str) -> None:
    """Put a content, or what is no file at all, at a path."""
    if isinstance(content, bytes):
        path.write_bytes(content)
    elif content == "folder":
        path.mkdir()
        (path / "mine.txt").write_text("mine")
    else:
        if content.startswith("/") and not Path(content).exists():
            pytest.skip(f"needs {content}")
        path.symlink_to(path if content == "loop" else content)


def still_there(path: Path, content: bytes | str) -> bool:
    """Whether what was laid there is still there, under its name or put aside."""
    if content == "folder":
        return (path / "mine.txt").read_text() == "mine"
    names = [path, *path.parent.glob(f"{path.name}.put-aside-*")]
    if isinstance(content, bytes):
        return any(name.is_file() and name.read_bytes().startswith(content) for name in names)
    return content == "nowhere" or any(name.is_symlink() for name in names)  # a link to nowhere holds nothing


def is_ours(content: bytes | str) -> bool:
    try:
        return isinstance(json.loads(content), dict)
    except (ValueError, RecursionError):
        return False


def shown(widget: Any) -> str:
    """All that a widget and those in it would send to the screen. Refuses text that cannot be sent."""
    state = json.dumps(
        {k: v for k, v in widget.get_state().items() if k not in ("_esm", "_css")}, default=str, ensure_ascii=False
    )
    state.encode("utf-8")
    return state + "".join(map(shown, getattr(widget, "children", ())))


def press_all(panel: Any) -> str:
    """Keep, use and tell everything that goes through the person's files; gives what was said each time."""
    said = [panel._html["note"].value]
    for doing in (panel.kept.from_batch, panel.kept.to_batch, panel.kept.keep):
        panel._press_kept(doing)
        said.append(panel._html["note"].value)
    panel.tell_guesses()
    return " ".join([*said, panel._html["note"].value])


@pytest.mark.parametrize("content", CONTENTS.values(), ids=CONTENTS)
def test_each_file_can_hold_anything(home, capsys, content):
    """Who works here, the class, what was kept and what was answered: the same content in the place of each."""
    # who works here
    lay(home / person.ME, content)
    start = lesson(0)
    assert start.who == person.PRACTICE
    shown(start.panel())
    assert still_there(home / person.ME, content)
    told = capsys.readouterr().out
    assert person.ME in told or content == "nowhere"
    shutil.rmtree(home)
    home.mkdir()
    # the class, and all that was kept
    (home / person.ME).write_text(ME)
    kept = [home / name for name in (person.CLASS, person.SETTINGS, person.BATCH, person.GUESSES, ANSWERS)]
    for path in kept:
        lay(path, content)
    here = lesson(5)
    assert here.who == WHO
    panel = here.panel()
    said = press_all(panel) + shown(panel)
    jar = lesson(15)
    pages = [jar.own_jar(page) for page in ("", "plan", "drying", "says")]
    pages[1].places["gather"].value = "1 kg"
    said += "".join(map(shown, pages))
    start = lesson(0)
    mine, handing = start.mine(), start.hand_in()
    mine.ask_before_deleting()
    handing.save()
    card = here.item(2)
    card.place.value, card.sure.value = "30 % vol", "sure"
    card.check()
    cards = [shown(one) for one in (card, mine, handing)]
    said += start.path().html() + "".join(cards) + capsys.readouterr().out
    # What reads as a file of ours is one, and goes on; all else stays as it was.
    assert all(still_there(path, content) for path in kept if not (path.suffix == ".json" and is_ours(content)))
    ours = said.replace(str(home), "")
    for words in map(os.strerror, (errno.EIO, errno.EINVAL)):  # the computer's own, where we have none
        ours = ours.replace(words, "")
    assert not FORBIDDEN.search(re.sub(r"<pre.*?</pre>", "", ours, flags=re.DOTALL))
    assert "Traceback" not in said
    if content not in (b"", b"\n \r\n", "nowhere"):
        assert person.CLASS in said
    assert [a.typed for a in results.read(home / ANSWERS)[0]] == ["30 % vol"] or "could not be kept" in said


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.__name__.rsplit(".", 1)[1])
def test_each_dial_can_be_kept_as_anything(module):
    start = module.Setting()
    for control in controls(module.Setting):
        for value in VALUES:
            setting, told = as_setting(module.Setting, {control.name: value}, start)
            assert (setting == start) or not told
            assert len(told) <= 1
            assert setting == start or getattr(setting, control.name) == value
            assert all(len(line) < 400 for line in told)


def test_what_was_kept_and_does_not_fit_is_said_when_the_panel_opens(home, capsys):
    (home / person.ME).write_text(ME)
    for number, name in ((4, "wanted"), (6, "jar"), (7, "shape"), (8, "bed")):
        (home / person.SETTINGS).write_text(json.dumps({str(number): [{"name": "a", "setting": {name: [1, 2]}}]}))
        panel = lesson(number).panel()
        note = panel._html["note"].value
        assert "[1, 2]" in note or f"&quot;{name}&quot; is not a dial" in note
        assert "a" in [scene.name for scene in panel._own]


def test_half_a_letter_in_a_name_can_be_shown(home):
    (home / person.ME).write_text(ME)
    (home / person.SETTINGS).write_text(r'{"5": [{"name": "jar \ud83c", "setting": {"ratio": 2.0}}]}')
    panel = lesson(5).panel()
    assert "jar ?" in shown(panel)
    panel.kept.name.value = "half \ud83c"
    panel._press_kept(panel.kept.keep)
    assert rb"half \ud83c" in (home / person.SETTINGS).read_bytes()
    assert "half ?" in [scene.name for scene in panel._own]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            f'class = "{GROWS}"\nnumber = 3\n',
            "me.toml.put-aside-1",
        ),
        ('class = "fern7"\nnumber = "3"\n', "me.toml.put-aside-1"),
        (ME + 'teacher = "true"\n', "teacher is true or false, without quotes"),
        (ME + 'nmuber = 4\n"\x7f<b>" = 1\n'.replace("\x7f", ""), '"nmuber" is nothing that the workbook knows'),
        ("\ufeff" + ME, "Class fern7, own number 3."),
    ],
)
def test_who_works_here_is_told_what_cannot_be_used_and_how_to_go_on(home, capsys, text, said):
    (home / person.ME).write_text(text, encoding="utf-8")
    for number in (0, 5):
        lesson(number)
    told = capsys.readouterr().out
    assert said in told
    assert "00_start" in told or text.startswith("\ufeff")
    start = lesson(0).panel()
    start.code.value, start.number.value = "moss", "4"
    start.keep()
    assert person.me() == person.Me("moss", 4)
    assert person.news() == []


def test_a_class_code_is_one_whatever_signs_it_is_made_of(home):
    """Each code that may be kept can be used, and none that may not: the class's sheet and who works here agree."""
    for sign in ("\ufdfa", "½", "①", "ß", "ﬃ", "Ǆ", "\u0345", "x"):
        for count in (1, 4, 5, 20, 60):
            code = sign * count
            try:
                usable = bool(homework.draws.normal_form(code))
            except ValueError:
                usable = False
            assert class_file._is_code(code) == usable
            if code.isalnum():
                (home / person.ME).write_text(f'class = "{code}"\nnumber = 3\n', encoding="utf-8")
                assert (person.me() is not None) == usable


def test_a_line_of_the_result_file_can_hold_anything(home, capsys):
    (home / person.ME).write_text(ME)
    good = json.loads(results.answer_to(homework.item(5, 2, "fern7", 3), "30 % vol", "sure", day="2026-03-02").line())
    lines = [json.dumps({**good, key: value}) for key in good for value in VALUES]
    (home / ANSWERS).write_text("\n".join(lines) + "\n", encoding="utf-8")
    here = lesson(5)
    card, page = here.item(2), lesson(0).path().html()
    assert "skipped" in shown(card)
    assert "skipped" in page
    page.encode("utf-8")
    assert not FORBIDDEN.search(page)


def test_a_rule_of_the_class_can_be_anything(home):
    known = [*class_file.KNOWN, *(rule.name for rule in dataclasses.fields(class_file.Rules))]
    for name in known:
        for value in ("[[1]]", "true", '"<b>"', "nan", "9" * 300):
            text = f"{name} = {value}\n" if name in class_file.KNOWN else f"[rules]\n{name} = {value}\n"
            (home / person.CLASS).write_text(text, encoding="utf-8")
            found = class_file.load()
            assert all(not FORBIDDEN.search(note.replace(str(home), "")) for note in found.notes)
            assert len(found.notes) == 1 or (name, value) in (
                ("set_work", "true"),
                ("currency", '"<b>"'),
                ("class", '"<b>"'),
            )


def test_notebooks_that_are_none_have_their_number_for_a_title(home):
    for n, content in enumerate(CONTENTS.values(), 1):
        if content != "/proc/self/mem":
            lay(home / f"{n:02d}_x.ipynb", content)
    found = books(home, list(range(1, len(CONTENTS) + 1)))
    assert [book.title for book in found] == [f"Lesson {book.number}" for book in found]


def test_settings_kept_in_two_lessons_at_once_are_both_kept(home, monkeypatch):
    """A page of another lesson that keeps something between the reading and the writing waits for its turn."""
    import threading

    real = person.write_table
    other = threading.Thread(target=person.save_settings, args=(3, [{"name": "three"}]))

    def slow(path, table):
        if threading.current_thread() is not other:
            other.start()
            other.join(0.2)
        real(path, table)

    monkeypatch.setattr(person, "write_table", slow)
    person.save_settings(5, [{"name": "five"}])
    other.join(10)
    assert (person.settings(3), person.settings(5)) == ([{"name": "three"}], [{"name": "five"}])
