"""The guesses at a scene: hands of a class, the one guess of somebody alone, and what is kept of them."""

from __future__ import annotations

import datetime
import re
from html import unescape

import pytest

from herbcalc import person
from herbcalc.rules import Rules
from herbcalc.show.lessons import lesson03, lesson04, lesson05
from herbcalc.show.panel import Panel
from herbcalc.show.panel.guesses import MOST
from herbcalc.show.story import scenes


def html(panel, name):
    return unescape(re.sub(r"<[^>]+>", " ", panel._html[name].value)).strip()


def test_hands_are_counted_by_presses_and_taken_back(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path, counts_hands=True)
    for place in (1, 1, 3, 1, 0):
        panel.hands.buttons[place].click()
    panel.hands.undo.click()
    assert panel.hands.counts == [0, 3, 0, 1]
    assert "4 hands" in panel.hands.total.value
    assert panel.hands.buttons[1].description.endswith("\n3")
    assert panel.hands.told.layout.display == "none"
    panel.answer.click()
    assert panel.hands.told.layout.display == ""
    heights = re.findall(r"--hands:([\d.]+)", panel.hands.told.value)
    assert [float(h) for h in heights] == pytest.approx([0, 1, 0, 1 / 3], abs=0.01), "one scale for all"
    assert "your guess" not in panel.hands.told.value


def test_somebody_alone_has_one_guess(tmp_path):
    """A press marks her guess, another moves it, the same once more takes it away; no hand is counted."""
    panel = Panel(lesson05, Rules(), tmp_path)
    for press_on, own in ((2, 2), (1, 1), (1, None), (3, 3)):
        panel.hands.buttons[press_on].click()
        assert panel.hands.own == own
        marked = [b.description for b in panel.hands.buttons if "yours" in b.description]
        assert len(marked) == (own is not None)
        assert sum("herb-mine" in b._dom_classes for b in panel.hands.buttons) == len(marked)
    assert panel.hands.total.value == ""
    assert panel.hands._foot.layout.display == "none"
    panel.next()
    assert panel.hands.own is None, "a guess belongs to its scene"
    panel.back()
    assert panel.hands.own == 3
    panel.stage.showing = True  # the class is asked now, and her guess is no hand
    assert panel.hands.counts == [0, 0, 0, 0]
    panel.hands.buttons[3].click()
    assert panel.hands.counts == [0, 0, 0, 1]
    panel.stage.showing = False
    assert panel.hands.own == 3


@pytest.mark.parametrize(
    ("place", "told"),
    [
        (1, "You guessed 25 to 35 (your floor), and there it is."),
        (2, "You guessed 35 (your floor) to 40 % vol, and it is right next to that: 29.1 % vol. Close."),
        (3, "You guessed over 40 % vol, and it is 29.1 % vol. Surprised? That is how it stays in mind."),
    ],
)
def test_it_is_said_kindly_where_a_guess_fell(place, told, tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.hands.buttons[place].click()
    panel.answer.click()
    text = unescape(re.sub(r"<[^>]+>", " ", panel.hands.told.value))
    assert told in text
    assert text.count("your guess") == text.count("it is here") == 1
    assert re.search(r"<li[^>]*><span>[^<]*(<em>|<)[^<]*your guess", panel.hands.told.value)
    row = person.guesses(5, tmp_path)[0]
    assert row["hands"] == [int(n == place) for n in range(4)]
    assert row["own"] is True
    panel.tell_guesses()
    assert f"you said {row['bands'][place]}. It was 29.1 % vol." in html(panel, "guessed")


def test_a_guess_beside_no_figure_is_not_called_close(tmp_path):
    panel = Panel(lesson04, Rules(), tmp_path)
    n = next(n for n, scene in enumerate(panel._given) if scene.none)
    panel._open(n)
    panel.hands.buttons[-2].click()
    panel.answer.click()
    assert "Close" not in panel.hands.told.value
    assert "You guessed" in panel.hands.told.value


def test_guesses_belong_to_one_scene(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path, counts_hands=True)
    panel.hands.buttons[2].click()
    panel.next()
    assert panel.hands.counts == [0, 0, 0, 0]
    panel.back()
    assert panel.hands.counts == [0, 0, 1, 0]


def test_guesses_are_kept_with_the_day_and_told_at_the_end(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path, counts_hands=True)
    panel.hands.buttons[3].click()
    panel.answer.click()
    panel.hands.undo.click()
    row = person.guesses(5, tmp_path)[0]
    assert row["hands"] == [0, 0, 0, 1]
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", row["day"])
    assert row["answer"] == "29.1 % vol"
    again = Panel(lesson05, Rules(), tmp_path)
    again.tell_guesses()
    assert "1 said over 40 % vol. It was 29.1 % vol." in html(again, "guessed")
    other = Panel(lesson03, Rules(), tmp_path)
    other.tell_guesses()
    assert "Nothing was guessed today" in html(other, "guessed")


def test_a_guess_of_ones_own_and_the_hands_of_a_class_are_two_rows(tmp_path):
    """What was kept before stays readable: a row without "own" is a class's."""
    old = {"day": datetime.date.today().isoformat(), "scene": scenes(lesson05, Rules())[0].name}
    old |= {"bands": ["a", "b"], "hands": [2, 1], "answer": "29.1 % vol"}
    person.save_guesses(5, [old], tmp_path)
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.hands.buttons[0].click()
    panel.answer.click()
    assert len(person.guesses(5, tmp_path)) == 2
    panel.tell_guesses()
    told = html(panel, "guessed")
    assert "2 said a, 1 said b. It was 29.1 % vol." in told
    assert "you said under 25 % vol. It was 29.1 % vol." in told
    panel.answer.click()
    panel.hands.buttons[3].click()
    panel.answer.click()
    assert len(person.guesses(5, tmp_path)) == 2, "guessed once more, the newer row stands"


def test_guesses_are_kept_under_what_was_asked(tmp_path):
    """With the scene that was asked, however the answer was called for, and never under another one's answer."""
    panel = Panel(lesson05, Rules(), tmp_path)
    panel._open(3)
    panel.hands.buttons[0].click()
    panel.pin.click()
    panel.pin.click()
    panel._open(0)
    panel.hands.buttons[1].click()
    panel.set(ratio=5)
    panel.answer.click()
    first, moved = person.guesses(5, tmp_path)
    assert first["scene"] == panel._given[3].name
    assert moved["scene"].endswith("at 1:5: how strong does it end?")
    assert moved["answer"] == "34.8 % vol"
    person.save_guesses(3, [{"day": "2026-01-01"}], tmp_path)
    assert len(person.guesses(5, tmp_path)) == 2, "the other lessons' guesses stay"


def test_guesses_that_cannot_be_read_are_said(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    (tmp_path / "guesses.json").write_text("{", encoding="utf-8")
    panel.tell_guesses()
    assert "guesses.json could not be read" in html(panel, "note")
    for file in tmp_path.iterdir():
        file.unlink()
    (tmp_path / "guesses.json").mkdir()
    panel.tell_guesses()
    assert "guesses.json" in html(panel, "note")


def test_only_the_newest_guesses_are_kept(tmp_path):
    rows = [{"day": "2020-01-01", "scene": str(n), "bands": [], "hands": []} for n in range(MOST)]
    person.save_guesses(5, rows, tmp_path)
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.hands.buttons[0].click()
    panel.answer.click()
    kept = person.guesses(5, tmp_path)
    assert len(kept) == MOST
    assert kept[-1]["scene"] == panel._given[0].name
