"""A person's own batches: nothing typed is lost, whatever stands in the file, and whoever else writes to it."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys

import pytest

from herbcalc import person
from herbcalc.person import batches, writing

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback|exception)\b", re.IGNORECASE)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    person.news()
    return tmp_path


def test_it_needs_the_standard_library_only():
    code = "import herbcalc.person.batches, sys; print('numpy' in sys.modules or 'pint' in sys.modules)"
    seen = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert seen.stdout.strip() == "False"


def test_before_any_batch_there_is_none_and_no_file_is_made(home):
    assert (batches.names(), batches.current(), batches.figures(), batches.typed("jar")) == ([], "", {}, {})
    assert list(home.iterdir()) == []


def test_figures_and_boxes_belong_to_the_batch_that_is_worked_on(home):
    batches.save_figures({"water": 80.0, "herb": 100})
    assert batches.current() == batches.FIRST
    batches.choose("  rosehip,\n October ")
    assert batches.names() == [batches.FIRST, "rosehip, October"]
    assert batches.figures() == {}
    batches.save_typed("jar", "fresh", "20 g")
    batches.save_typed("plan", "fresh", "½ oz ")
    batches.save_figures({"water": 55})
    batches.save_figures({"herb": 30})
    assert batches.figures() == {"water": 55, "herb": 30}, "figures of other names stay"
    assert list(batches.all_figures()) == [batches.FIRST, "rosehip, October"]
    assert batches.all_figures()[batches.FIRST] == {"water": 80.0, "herb": 100}
    assert (batches.typed("jar"), batches.typed("plan")) == ({"fresh": "20 g"}, {"fresh": "½ oz "})
    batches.choose("MY Batch")
    assert batches.current() == batches.FIRST, "capitals make no second batch"
    assert batches.figures() == {"water": 80.0, "herb": 100}
    assert batches.typed("jar") == {}
    assert batches.typed("jar", of="rosehip, October") == {"fresh": "20 g"}
    batches.save_typed("jar", "marc", "40 g", of="rosehip, October")
    batches.save_typed("jar", "fresh", "", of="rosehip, October")
    assert batches.typed("jar", of="rosehip, October") == {"marc": "40 g"}
    assert batches.current() == batches.FIRST


def test_a_batch_is_let_go_and_the_last_one_is_worked_on(home):
    for name in ("a", "b", "c"):
        batches.choose(name)
    batches.let_go("c")
    assert (batches.names(), batches.current()) == (["a", "b"], "b")
    batches.let_go("a")
    assert (batches.names(), batches.current()) == (["b"], "b")
    batches.let_go("b")
    assert (batches.names(), batches.current()) == ([], "")
    with pytest.raises(person.NotKept, match="nothing was taken away"):
        batches.let_go("b")


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
        ("../../etc/passwd", "../../etc/passwd"),
        ("Öl & \"Glas\" 'x' 🌿", "Öl & \"Glas\" 'x' 🌿"),
        ("e\u0301lan", "élan"),
        ("tab\tand\x00nul\u202eturned", "tab and nul turned"),
        ("half \ud800 a sign", "half a sign"),
        ("x" * 60, "x" * 60),
    ],
)
def test_a_name_is_only_ever_a_name(home, name, kept):
    assert batches.choose(name) == kept
    assert (batches.names(), batches.current()) == ([kept], kept)
    assert {one.name for one in home.iterdir()} == {"batch.json", ".batch.json.lock"}


@pytest.mark.parametrize(("name", "says"), [("", "needs a name"), (" \t\u200b ", "needs a name"), ("x" * 61, "61")])
def test_what_is_no_name_is_refused_in_words(home, name, says):
    with pytest.raises(person.NotKept, match=says) as refused:
        batches.choose(name)
    assert not FORBIDDEN.search(str(refused.value))
    assert batches.names() == []


def test_a_text_too_long_and_a_batch_too_many_are_refused_in_words(home):
    batches.save_typed("jar", "fresh", "x" * batches.LONGEST_TEXT)
    with pytest.raises(person.NotKept, match="4001 signs"):
        batches.save_typed("jar", "fresh", "x" * (batches.LONGEST_TEXT + 1))
    assert batches.typed("jar") == {"fresh": "x" * batches.LONGEST_TEXT}
    full = {"batches": {f"b{n}": {"figures": {}, "typed": {}} for n in range(batches.MOST)}, "worked on": "b3"}
    (home / person.BATCH).write_text(json.dumps(full))
    with pytest.raises(person.NotKept, match="Let one go"):
        batches.choose("one more")
    assert batches.choose("B7") == "b7", "those that are there can still be worked on"


def test_the_flat_file_of_the_version_before_is_one_batch(home):
    (home / person.BATCH).write_bytes(b'\xef\xbb\xbf{"herb": 100, "water": 70.5}\r\n')
    assert (batches.names(), batches.current()) == (["my batch"], "my batch")
    assert batches.figures() == {"herb": 100, "water": 70.5}
    batches.choose("second")
    assert batches.figures(of="my batch") == {"herb": 100, "water": 70.5}
    assert person.news() == []
    assert not list(home.glob("*put-aside*"))


WHOLE = [
    b"",
    b"{",
    b'["batches"]',
    b"null",
    b"\xff\xfe\x00",
    b"[" * 100_000,
    b'{"batches":' * 20_000,
    b'{"batches": ' + b"9" * 5000 + b"}",
]


@pytest.mark.parametrize("content", WHOLE, ids=range(len(WHOLE)))
def test_a_file_that_is_none_is_put_aside_and_told(home, content):
    (home / person.BATCH).write_bytes(content)
    assert (batches.names(), batches.current(), batches.figures()) == ([], "", {})
    told = " ".join(person.news())
    assert "batch.json.put-aside-1" in told
    assert not FORBIDDEN.search(told)
    batches.save_typed("jar", "fresh", "20 g")
    assert batches.typed("jar") == {"fresh": "20 g"}
    assert (home / "batch.json.put-aside-1").read_bytes() == content


def test_a_huge_file_is_put_aside_unread(home, monkeypatch):
    (home / person.BATCH).write_bytes(b'{"batches": {}}' + b" " * writing.MOST_BYTES)
    monkeypatch.setattr(writing, "held", None)  # it is not even opened
    assert batches.names() == []
    assert "batch.json.put-aside-1" in " ".join(person.news())


PARTS = [
    {"batches": [], "worked on": "x"},
    {"batches": {"a": []}, "worked on": "a"},
    {"batches": {"a": {"figures": [], "typed": {"jar": {"fresh": 3, "marc": "40 g"}}}}, "worked on": []},
    {"batches": {"a": {"figures": {"water": float("nan"), "herb": [1]}, "typed": {"jar": []}}}, "worked on": "b"},
    {"batches": {"a": {"figures": {}, "typed": {"../x": {"y": "z"}}}}, "worked on": "a"},
    {"batches": {"": {}, " a ": {}, "x" * 61: {}, "a": {"typed": {"jar": {"fresh": "x" * 4001}}}}},
    {"batches": {"\ud800": {"figures": {"\udfff": "\ud800"}, "typed": {}}}},
    {"water": {"a": [1, 2]}, "herb": 100},
]


@pytest.mark.parametrize("found", PARTS, ids=range(len(PARTS)))
def test_what_does_not_fit_is_passed_over_and_kept_beside(home, found):
    text = json.dumps(found)
    (home / person.BATCH).write_text(text)
    for name in batches.names():
        batches.figures(of=name), batches.typed("jar", of=name)
    assert all(isinstance(value, (str, int, float)) and value == value for value in batches.figures().values())
    assert (home / person.BATCH).read_text() == text, "looking changes nothing"
    assert person.news() == []
    batches.save_typed("plan", "note", "mine", of="new")
    assert batches.typed("plan", of="new") == {"note": "mine"}
    aside = list(home.glob("*put-aside*"))
    if rb"\ud800" not in text.encode():  # half a sign is shown as ? and is no reason
        assert [one.read_text() for one in aside] == [text]
        assert "what could be read of it goes on" in " ".join(person.news())
    kept = json.loads((home / person.BATCH).read_text())
    if "a" in kept["batches"] and "40 g" in text:
        assert batches.typed("jar", of="a") == {"marc": "40 g"}, "what fits is still there"


def test_a_name_as_nobody_can_type_it_is_passed_over(home):
    one = {"figures": {}, "typed": {}}
    (home / person.BATCH).write_text(json.dumps({"batches": {" a": one, "a  b": one, "a b": one}}))
    assert batches.names() == ["a b"]


def test_what_is_refused_changes_nothing_though_the_file_does_not_fit(home, monkeypatch):
    """A refusal, or a disk that fills up, comes before the file gives up its place."""
    odd = {"batches": {f"b{n}": {"figures": {"x": 1}, "typed": {}} for n in range(batches.MOST)}, "odd": 1}
    (home / person.BATCH).write_text(json.dumps(odd))
    for refused in (lambda: batches.choose("one more"), lambda: batches.let_go("none of them")):
        with pytest.raises(person.NotKept):
            refused()
        assert len(batches.names()) == batches.MOST
    real = writing.write

    def full(path, content):
        if path.name == person.BATCH:
            raise person.NotKept("The disk is full.")
        real(path, content)

    monkeypatch.setattr(writing, "write", full)
    with pytest.raises(person.NotKept, match="full"):
        batches.save_typed("jar", "fresh", "20 g")
    assert json.loads((home / person.BATCH).read_text()) == odd


def test_no_file_of_ours_grows_until_it_is_none_any_more(home, monkeypatch):
    """What is larger than `table_in` reads would be put aside the next time, with all that was in it."""
    monkeypatch.setattr(writing, "MOST_BYTES", 20_000)
    batches.save_typed("jar", "fresh", "20 g")
    with pytest.raises(person.NotKept, match="is full") as refused:
        batches.save_typed("plan", "words", "\ud83c" * batches.LONGEST_TEXT)  # six bytes each, as escapes
    assert not FORBIDDEN.search(str(refused.value))
    assert batches.typed("jar") == {"fresh": "20 g"}
    with pytest.raises(person.NotKept, match="is full"):
        person.save_settings(5, [{"name": "x" * 20_000}])
    person.save_settings(5, [{"name": "x"}])
    assert person.news() == []


def test_ten_thousand_batches_are_read_and_written(home):
    many = {f"b{n}": {"figures": {"water": n}, "typed": {"jar": {"fresh": f"{n} g"}}} for n in range(10_000)}
    (home / person.BATCH).write_text(json.dumps({"batches": many, "worked on": "b9"}))
    assert len(batches.names()) == 10_000
    batches.save_typed("jar", "fresh", "7 g")
    assert batches.typed("jar") == {"fresh": "7 g"}
    assert batches.figures(of="b77") == {"water": 77}


def test_two_writers_at_once_lose_nothing_of_each_other(home):
    """Both wait until both are there: on a busy computer one was done before the other began."""
    code = (
        "import sys\nfrom herbcalc.person import batches\nprint(flush=True)\ninput()\n"
        "for n in range(40):\n"
        "    batches.save_typed('jar', f'{sys.argv[1]}{n}', str(n))\n"
        "    batches.save_figures({f'{sys.argv[1]}{n}': n})\n"
    )
    batches.choose("both")
    ends = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    two = [subprocess.Popen([sys.executable, "-c", code, who], env={**os.environ}, **ends) for who in "ab"]
    for one in two:
        one.stdout.readline()
    for one in two:
        print(file=one.stdin, flush=True)
    for one in two:
        one.communicate()
    assert [one.returncode for one in two] == [0, 0]
    wanted = {f"{who}{n}": n for who in "ab" for n in range(40)}
    assert batches.figures() == wanted
    assert batches.typed("jar") == {box: str(n) for box, n in wanted.items()}


def test_a_torn_write_leaves_what_was_there(home):
    batches.choose("jar of July")
    batches.save_typed("jar", "fresh", "20 g")
    code = (
        "import os\nfrom herbcalc.person import batches\nos.fsync = lambda _: os._exit(9)\n"
        "batches.save_typed('jar', 'fresh', '30 g')"
    )
    assert subprocess.run([sys.executable, "-c", code]).returncode == 9
    assert batches.typed("jar") == {"fresh": "20 g"}
    batches.save_typed("jar", "dried", "4 g")
    assert batches.typed("jar") == {"fresh": "20 g", "dried": "4 g"}
    person.delete_all(None)
    assert list(home.iterdir()) == []


def test_what_is_put_aside_is_shown_and_deleted_as_mine(home):
    batches.save_typed("jar", "fresh", "20 g")
    (home / "batch.json.put-aside-1").write_text("{")
    mine = {path.name for path in person.all_of_mine(None)}
    assert mine == {"batch.json", ".batch.json.lock", "batch.json.put-aside-1"}


def test_a_page_that_nobody_knows_is_a_blunder_of_ours(home):
    with pytest.raises(ValueError, match="page"):
        batches.save_typed("wall", "fresh", "20 g")
