"""Set work: whatever is answered to a question of any kind, the screen says handed in, the same to right and not."""

from __future__ import annotations

import re

import pytest

from herbcalc import homework, person
from herbcalc.homework import results
from herbcalc.homework.draws import EACH_LESSON, MIXED_GOES
from herbcalc.show.card import HANDED_IN, Card, load_again, path
from herbcalc.show.here import Here, lessons
from tests.show.card.test_load_again import choose

WHO = ("fern7", 12)


def kind_of(code):
    one = homework.item(*code, *WHO)
    return one.kind, len(one.right_letters) > 1, bool(one.quick)


KINDS = {kind_of(code): code for code in reversed(homework.items())}  # the first item of each kind


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    person.save_me(*WHO)
    (tmp_path / person.CLASS).write_text("set_work = true\n", encoding="utf-8")
    return tmp_path


def shown(widget):
    """All words on a card, but for what was read in the answer, what was typed, and which one was chosen."""
    held = [str(getattr(widget, name, "")) for name in ("description", "disabled") if hasattr(widget, name)]
    held += [widget.value] if type(widget).__name__ == "HTML" else []
    inside = [line for child in getattr(widget, "children", ()) for line in shown(child)]
    return [re.sub(r'<p class="herb-quiet">I read .*?</p>', "", line) for line in held] + inside


def answers_to(item, card):
    """The right answer, those of its slips, and others that can be read, as they are typed or chosen."""
    if type(card.place).__name__ == "RadioButtons":
        letters = [value for _, value in card.place.options]
        return sorted(letters, key=lambda letter: letter not in item.right_letters)
    others = [*item.slip_answers().values()]
    if len(item.right_letters) > 1:
        others = ["b" + item.right_letters[1:] if item.right_letters[0] != "b" else "a" + item.right_letters[1:]]
    return [item.answers()[0], *others, *(["too weak"] if item.kind == "sentence" else [])]


def test_all_kinds_of_questions_are_looked_at():
    assert {kind for kind, *_ in KINDS} == {"sum", "choice", "find the slip", "sentence"}
    assert any(several for _, several, _ in KINDS)


@pytest.mark.parametrize("go", [1, MIXED_GOES + EACH_LESSON * 13])
@pytest.mark.parametrize("code", KINDS.values(), ids=lambda code: f"{code[0]}.{code[1]}")
def test_right_and_not_look_alike_and_so_they_do_when_the_page_opens_again(home, code, go):
    here = Here(code[0])
    item, looks = homework.item(*code, *WHO, go), []
    answers = answers_to(item, Card(here, item))
    assert len(answers) > 1
    verdicts = {item.check(typed).verdict for typed in answers}
    assert "right" in verdicts
    assert len(verdicts) > 1
    for typed in answers:
        card = Card(here, item)
        card.place.value, card.sure.value = typed, "sure"
        card.check()
        assert HANDED_IN in card.feedback.value, typed
        looks += [shown(card), shown(Card(Here(code[0]), item))]
        person.answers_path(here.who, here.home).unlink()
    assert all(look == looks[0] for look in looks)


def test_the_path_and_a_file_that_is_loaded_again_say_handed_in(home, tmp_path_factory):
    file = tmp_path_factory.mktemp("elsewhere") / "answers-fern7-12.jsonl"
    for n, code in enumerate(KINDS.values()):
        item = homework.item(*code, *WHO)
        typed = item.answers()[0] if n % 2 else answers_to(item, Card(Here(code[0]), item))[-1]
        results.append(file, results.answer_to(item, typed, "sure"))
    here = Here(0)
    card = here.load_again()
    choose(card, file.read_bytes())
    card.button.click()
    assert load_again.ELSEWHERE in card.said.value
    now = re.findall(r"[\d., ]+: ([a-z ]+)</span>", path.Front(here, lessons()).html())
    assert set(now) == {"handed in", "not tried"}
