"""The teacher's class.toml: read in one place, and each thing in it that cannot be used gets one sentence."""

from __future__ import annotations

import re

import pytest

from herbcalc import person, rules
from herbcalc.person import class_file
from herbcalc.rules import Rules

FORBIDDEN = re.compile(r"\b(error|invalid|wrong)\b", re.IGNORECASE)
FULL = 'class = "Fern 7"\nset_work = true\nopen = [4, 3]\ncurrency = "£"\n\n[rules]\nfloor = 30\n'


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    return tmp_path


def sheet(home, text):
    content = text if isinstance(text, bytes) else text.encode()
    (home / person.CLASS).write_bytes(content)
    found = class_file.load()
    assert (home / person.CLASS).read_bytes() == content, "it is the teacher's, so it is never touched"
    return found


def test_without_a_file_nothing_is_asked_and_nothing_said(home):
    found = class_file.load()
    assert found == class_file.ClassFile("", False, None, Rules(), ())
    assert found.notes == []


def test_all_that_a_teacher_can_say(home):
    found = sheet(home, FULL)
    assert found == class_file.ClassFile("Fern 7", True, (3, 4), Rules(floor=30, currency="£"))
    assert found.rules == rules.load() == rules.load(home)
    assert class_file.load(home) == class_file.read(home / person.CLASS) == found


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_what_an_editor_puts_in_is_no_part_of_it(home, mark, end):
    plain = sheet(home, FULL)
    assert sheet(home, mark + FULL.replace("\n", end).encode()) == plain
    assert rules.load().floor == 30


def test_an_empty_file_and_an_empty_list(home):
    assert sheet(home, "") == class_file.ClassFile()
    assert sheet(home, "open = []\n").open == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('set_work = "true"', "set_work is true or false, without quotes"),
        ("set_work = 1", "set_work is true or false"),
        ("class = 7", "class is a class code in quotes"),
        ('class = "!"', "class is a class code in quotes"),
        ("class = " + '"' + "a" * 61 + '"', "class is a class code in quotes"),
        ('open = "all"', "open is a list of lesson numbers"),
        ("open = [3, true]", "open is a list of lesson numbers"),
        ("shelfs = [40]", '"shelfs" is nothing that the workbook knows. Did you mean "shelf"?'),
        ('teacher = "Anna"', '"teacher" is nothing that the workbook knows. It knows: class, set_work, open, shelf'),
        ("floor = 30", r'"floor" is a house rule. Write it below a line that says [rules]'),
        ("[rules]\nset_work = true", '"set_work" stands at the top of the file, above the line [rules]'),
        ("[rules]\nfloor = 99", "floor (your floor)"),
        ("set = true", "set is a heading. Write [set] on a line of its own"),
        ("[[set]]", "set is a heading"),
        ('[set]\nby = "Thursday"', "[set] wants items, a list with each in quotes"),
        ("[set]\nitems = []", "[set] wants items"),
        ("[set]\nitems = [3.4]", '[set] wants items, a list with each in quotes, such as items = ["5.1-5.6", "3.4"]'),
        ("[set]\nitems = 5", "[set] wants items"),
        ('[set]\nitems = ["5.1", " "]', "[set] wants items"),
        ('[set]\nitems = ["5.1", ["5.2"]]', "[set] wants items"),
        ('[set]\nitems = ["5.1"]\nby = 7', "[set] wants by as words in quotes"),
        ('[set]\nitems = ["5.1"]\nby = "' + "x" * 61 + '"', "by in [set] has 61 signs, and up to 60"),
        ("[set]\nitems = [" + '"5.1",' * 70 + "]", "over 200 signs long"),
        ('[set]\nitems = ["5.1"]\n"<b>" = 1', '[set] holds items and by, and "<b>" is neither'),
        ('[set]\nitems = ["5.1"]\nset_work = true', "Write it above the line [set], at the top of the file"),
        ("[rules\n", "cannot be read: something is amiss at line 1"),
        ("[rules]\r\n\r\n[set]\r\nitems = [“5.1”]", "amiss at line 4, where quotes are curly and straight ones"),
        (b"\xff\xfec\x00", "not plain text"),
        ("a = " + "[" * 5000, "cannot be read"),
    ],
)
def test_what_cannot_be_used_gets_one_sentence_and_the_usual_holds(home, text, said):
    found = sheet(home, text)
    assert len(found.notes) == 1
    (note,) = found.notes
    assert said in note
    assert "class.toml" in note
    assert note.endswith(".")
    assert not FORBIDDEN.search(note.replace(str(home), ""))
    assert found == class_file.ClassFile(amiss=found.amiss), "nothing half-used"


def test_what_is_amiss_in_one_place_leaves_the_rest_in_force(home):
    found = sheet(home, "class = 7\nset_work = true\nopen = [3]\n[rules]\nfloor = 99\n")
    assert (found.code, found.set_work, found.open, found.rules) == ("", True, (3,), Rules())
    assert len(found.notes) == 2


def test_a_folder_in_its_place_is_told(home):
    (home / person.CLASS).mkdir()
    (note,) = class_file.load().notes
    assert "cannot be read" in note
