"""Loading again: what was chosen is read as data, told in sentences, and added once, to one's own answers only."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pytest

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.show.card import load_again, path
from herbcalc.show.here import Here, lessons
from tests.homework.test_handed_in import broken

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback|exception)\b", re.IGNORECASE)
SHELF = Path(__file__).resolve().parents[3] / "workbook"
NAME = "answers-fern7-12.jsonl"


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path / "home"))
    person.news()
    return tmp_path / "home"


def elsewhere(folder, number=12, days=("2026-03-02", "2026-03-09"), code="fern7"):
    """The bytes of a file that was saved on another computer: 5.1 done, 5.2 not yet."""
    file = folder / f"answers-{code}-{number}.jsonl"
    for day in days:
        for n, typed in ((1, None), (2, "9 % vol")):
            item = homework.item(5, n, code, number)
            results.append(file, results.answer_to(item, typed or item.answers()[0], "sure", day=day))
    return file.read_bytes()


def choose(card, held, name=NAME, size=None):
    """What the browser sends of a file."""
    card.chosen.set_state(
        {
            "name": name,
            "size": len(held) if size is None else size,
            "content": memoryview(held),
            "turn": card.chosen.turn + 1,
        }
    )


def words(card):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", card.said.value)).split())


def offered(card):
    return card.button in card.press.children


def test_it_is_looked_at_then_added_then_seen_in_the_path(home, tmp_path):
    person.save_me("fern7", 12)
    here = Here(0)
    card, rows = here.load_again(), path.Front(here, lessons(), SHELF)
    choose(card, elsewhere(tmp_path))
    assert f"In {NAME}: 4 lines of answers, class fern7, own number 12, from 2 March 2026 to 9 March 2026." in words(
        card
    )
    assert "Here already: 0 lines. To be added: 4." in words(card)
    assert offered(card)
    assert card.chosen.content == b"", "no notebook can be saved with it inside"
    mine = person.answers_path(here.who, here.home)
    assert not mine.exists(), "nothing comes in before the press"
    card.button.click()
    assert "Added: 4 lines of answers." in words(card)
    assert not offered(card)
    assert mine.read_bytes() == (tmp_path / NAME).read_bytes()
    card.add()  # a second press, before the button has gone
    assert "Added: 4 lines of answers." in words(card)
    choose(card, elsewhere(tmp_path, days=()))
    card.add()
    assert load_again.ALL_HERE in words(card)
    assert "✓ 5.1: done … 5.2: not yet" in " ".join(re.sub(r"<[^>]+>", " ", rows.html()).split())
    choose(card, elsewhere(tmp_path, days=("2026-03-16",)))
    assert "Here already: 4 lines. To be added: 2." in words(card)
    card.button.click()
    choose(card, (tmp_path / NAME).read_bytes())
    assert load_again.ALL_HERE in words(card)
    assert not offered(card)


def test_what_was_saved_here_and_loaded_elsewhere_is_the_same(home, tmp_path, monkeypatch):
    """The very file of Save my answers to hand in, on a computer where nobody is known yet."""
    home.mkdir()
    person.save_me("fern7", 12)
    elsewhere(home)
    Here(5).hand_in().save()
    copy = (home / person.FOR_TEACHER / NAME).read_bytes()
    rows = [path.Front(Here(0), lessons(), SHELF).html()]
    monkeypatch.setenv(person.VARIABLE, str(tmp_path / "laptop"))
    here = Here(0)
    start, card = here.panel(), here.load_again()
    choose(card, copy, f"{NAME[:-6]} (1).jsonl")
    assert "is of class fern7, own number 12, and no class code and number are kept here yet" in words(card)
    assert "type fern7 and 12 and press Keep these" in words(card)
    assert not offered(card)
    start.code.value, start.number.value = "Fern 7", "12"
    start.keep()
    assert "To be added: 4." in words(card), "the file that was chosen is looked at again"
    card.button.click()
    rows.append(path.Front(Here(0), lessons(), SHELF).html())
    assert rows[0] == rows[1]
    assert person.answers_path(here.who, here.home).read_bytes() == copy


@pytest.mark.parametrize(("code", "number"), [("fern7", 13), ("oak2", 12), ("practice", 1)])
def test_answers_of_somebody_else_never_come_in(home, tmp_path, code, number):
    person.save_me("fern7", 12)
    card = Here(0).load_again()
    choose(card, elsewhere(tmp_path, number, code=code), "answers.jsonl")
    assert f"is of class {code}, own number {number}, and class fern7, own number 12, works here" in words(card)
    assert "never mix" in words(card)
    way = f"press Change class code or number, type {code} and {number} and press Keep these"
    assert (load_again.PRACTICE_THERE if code == "practice" else way) in words(card)
    assert ("Keep these" in words(card)) == (code != "practice")
    assert not offered(card)
    card.add()  # however it is pressed
    assert list(home.glob("answers-*")) == []


def test_what_is_no_file_of_answers_is_told_and_nothing_comes_in(home, tmp_path):
    person.save_me("fern7", 3)
    card, canary = Here(0).load_again(), tmp_path / "canary"
    canary.write_text("alive")
    for n, (held, said) in enumerate((held, said.lower()) for held, said in broken(canary)):
        choose(card, held, f"<b>{n}</b>\n.jsonl")
        assert said in words(card).lower(), held[:60]
        assert f"Nothing to add from <b>{n}</b>?.jsonl." in words(card)
        assert load_again.WHICH in words(card)
        assert not FORBIDDEN.search(words(card))
        assert "<b>" not in card.said.value
        assert "<script" not in card.said.value
        assert not offered(card)
        card.add()
    assert canary.exists()
    assert [one.name for one in home.iterdir()] == ["me.toml"]


def test_too_large_unreadable_and_misnamed(home, tmp_path):
    person.save_me("fern7", 12)
    card, held = Here(0).load_again(), elsewhere(tmp_path)
    choose(card, b"", size=3_000_000_000)
    assert "It is larger than 8 MB" in words(card)
    choose(card, b"", size=200)
    assert "Your browser could not read it" in words(card)
    choose(card, b"", size=0)
    assert "It is empty." in words(card)
    choose(card, held, "answers-fern7-13.jsonl")
    assert "Its name says class fern7, number 13, and its lines say class fern7, number 12." in words(card)
    choose(card, held + elsewhere(tmp_path, 13), "two.jsonl")
    assert "put together by hand" in words(card)
    assert not offered(card)


def test_torn_changed_and_older_lines_are_named_and_the_rest_comes_in(home, tmp_path):
    person.save_me("fern7", 12)
    card, held = Here(0).load_again(), elsewhere(tmp_path)
    row = json.loads(held.splitlines()[0])
    lines = [held.decode(), json.dumps({**row, "edition": 99}), json.dumps({**row, "tier": 77}), '{"<i>']
    choose(card, "\n".join(lines).encode())
    said = words(card)
    assert f"In {NAME}: 5 lines of answers" in said
    assert "1 of its answers are to figures that were never drawn for this class and number, or of another" in said
    assert "changed by hand (tier)" in said
    assert "torn" in said
    assert "<i>" not in card.said.value
    card.button.click()
    assert len(results.read(home / NAME)[0]) == 5


def test_what_cannot_be_kept_is_told(home, tmp_path, monkeypatch):
    person.save_me("fern7", 12)
    card = Here(0).load_again()
    choose(card, elsewhere(tmp_path))
    (home / NAME).mkdir()
    card.button.click()
    assert "Not added yet. These answers could not be kept" in words(card)
    (home / NAME).rmdir()
    card.button.click()
    assert "Added: 4 lines" in words(card)
    monkeypatch.setattr(person, "lasts", lambda home=None: False)
    choose(card, elsewhere(tmp_path, days=("2026-03-17",)))
    card.button.click()
    assert load_again.GONE_AFTER in words(card)
