"""How far somebody has come: what is solved stays solved, help is said, others' answers count for nothing."""

import time

from herbcalc import homework
from herbcalc.homework import item, progress, results
from herbcalc.homework.draws import EACH_LESSON, MIXED_GOES
from herbcalc.homework.progress import DONE, HANDED_IN, HELPED, NOT_TRIED, NOT_YET, go_on, last_worked, states

WHO = ("fern7", 12)


def right(lesson, number, go=1):
    return item(lesson, number, *WHO, go).answers()[0]


def answer(lesson, number, typed, tier=1, go=1, who=WHO):
    return results.answer_to(item(lesson, number, *who, go), typed, "sure", tier, day="2026-03-02")


def state(*answers, at="3.4", **how):
    return states(answers, *WHO, **how)[at]


FIRST = homework.LESSONS[0]


def test_every_item_has_a_state_in_the_order_of_the_pages():
    found = states([], *WHO)
    assert len(found) == len(homework.items())
    assert list(found)[:5] == [f"{FIRST}.{n}" for n in homework.order(FIRST)[:5]]
    assert set(found.values()) == {NOT_TRIED}


def test_the_five_states():
    assert state(answer(3, 4, "5 g")) == NOT_YET
    assert state(answer(3, 4, "no idea")) == NOT_YET
    assert state(answer(3, 4, right(3, 4))) == DONE
    assert state(answer(3, 4, right(3, 4), tier=2)) == HELPED
    assert state(answer(3, 4, right(3, 4)), set_work=True) == HANDED_IN
    assert state(answer(3, 4, right(3, 4)), at="3.3") == NOT_TRIED


def test_a_solved_item_stays_solved():
    assert state(answer(3, 4, right(3, 4)), answer(3, 4, "5 g", tier=4), answer(3, 4, "?")) == DONE
    assert state(answer(3, 4, right(3, 4), tier=3), answer(3, 4, "5 g", tier=4)) == HELPED


def test_help_that_was_shown_counts_for_its_own_figures():
    shown = answer(3, 4, "5 g", tier=4)
    assert state(shown, answer(3, 4, right(3, 4))) == HELPED  # another page, on which no step was asked for
    assert state(shown, answer(3, 4, right(3, 4, go=5), go=5)) == DONE
    assert state(answer(3, 4, right(3, 4), tier=4), answer(3, 4, right(3, 4, go=5), go=5)) == DONE


def test_a_fresh_set_that_was_asked_for_is_no_try():
    fresh = results.fresh_set(item(3, 4, *WHO, 2), tier=4, day="2026-03-02")
    assert state(fresh) == NOT_TRIED
    assert state(answer(3, 4, right(3, 4)), fresh) == DONE
    assert last_worked([fresh], *WHO) == "3.4"


def test_what_was_typed_to_other_figures_counts_for_nothing():
    other = item(3, 4, "fern7", 13)
    mine, others = right(3, 4), other.answers()[0]
    assert state(answer(3, 4, others, who=("fern7", 13))) == NOT_TRIED
    assert state(answer(3, 4, mine, who=("oak2", 12))) == NOT_TRIED
    true = answer(3, 4, mine)
    for changed in ({"attempt": true.attempt + 1}, {"edition": true.edition + 1}):
        assert state(type(true)(**{**vars(true), **changed})) == NOT_YET


def test_mixed_practice_is_practice():
    go = MIXED_GOES + EACH_LESSON * 7
    again = answer(3, 4, right(3, 4, go=go), go=go)
    assert state(again) == NOT_TRIED
    assert last_worked([answer(3, 3, "5 g"), again], *WHO) == "3.3"


def test_set_work_says_no_verdict():
    for typed in (right(3, 4), "5 g"):
        assert state(answer(3, 4, typed), set_work=True) == HANDED_IN
    assert state(answer(3, 4, "no idea"), set_work=True) == NOT_YET  # the card has said that it could not be read
    assert state(set_work=True) == NOT_TRIED


def test_broken_lines_are_passed_over(tmp_path):
    file = tmp_path / "answers-fern7-12.jsonl"
    results.append(file, answer(3, 4, "5 g"))
    with file.open("ab") as out:
        out.write(b'{"schema": 2}\n\xff\xfe\x00\n[1]\n')
    results.append(file, answer(3, 4, right(3, 4)))
    with file.open("ab") as out:
        out.write(answer(3, 3, "5 g").line().encode()[:40])
    answers, notes = results.read(file)
    assert len(notes) == 4
    assert states(answers, *WHO)["3.4"] == DONE
    assert last_worked(answers, *WHO) == "3.4"


def test_an_item_that_this_workbook_does_not_have():
    one = answer(3, 4, right(3, 4))
    gone = type(one)(**{**vars(one), "item": "98.7"})
    assert states([gone], *WHO) == states([], *WHO)
    assert last_worked([one, gone], *WHO) == "3.4"


def test_where_to_go_on():
    now = {"3.1": DONE, "3.2": NOT_YET, "3.3": HELPED, "4.1": NOT_TRIED}
    assert go_on(now, "3.2") == "3.2"
    assert go_on(now, "3.3") == "4.1"
    assert go_on(now, "4.1") == "4.1"
    assert go_on({**now, "4.1": HANDED_IN}, "4.1") == "3.2"
    assert go_on(dict.fromkeys(now, DONE), "3.1") == ""
    assert go_on(now, "") == "3.2"


def test_two_thousand_lines_are_read_in_a_blink(tmp_path):
    """36 answers to each of the items in three sets of figures; every twelfth, with help, is a Yes."""
    file = tmp_path / "answers-fern7-12.jsonl"
    with file.open("w", encoding="utf-8") as out:
        for turn in range(2000 // len(homework.items()) + 1):
            for at in homework.items():
                go = 1 + turn // 12
                typed = right(*at, go) if turn % 12 == 11 else f"{turn + 37} {item(*at, *WHO).unit or 'a'}"
                tier = 1 + (turn % 12) // 4  # more help from try to try
                out.write(answer(*at, typed, tier, go).line() + "\n")
    took = []
    for _ in range(3):  # a busy machine is not a slow reader: its own time, and the best of three counts
        progress._said.cache_clear()
        progress.own_item.cache_clear()
        started = time.process_time()
        answers, _ = results.read(file)
        found = states(answers, *WHO)
        took.append(time.process_time() - started)
    assert len(answers) >= 2000
    assert set(found.values()) <= {HELPED, DONE}
    assert min(took) < 0.3
    started = time.process_time()
    assert states(answers, *WHO) == found
    assert time.process_time() - started < 0.1, "no answer is looked at twice"
