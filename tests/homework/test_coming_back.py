"""What comes round again: after 3 and 10 days, two at most, from what was missed or guessed at; and never a debt."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date, timedelta

import pytest

from herbcalc import homework
from herbcalc.homework import item, progress, results
from herbcalc.homework.coming_back import PutOff, to_look_at, two
from herbcalc.homework.draws import EACH_LESSON, first_go_of, first_mixed_go
from herbcalc.person.plants import Plants

WHO = ("fern7", 12)
START = date(2026, 10, 1)
OFF = "987654.321"  # read by every sum as a number, whatever it asks for, and near to none


def on(days):
    return START + timedelta(days=days)


class Student:
    """Somebody who answers: what is kept of it, in order."""

    def __init__(self, *who):
        self.who = who or WHO
        self.kept = []
        self.off = []

    def says(self, code, days, right=True, sure="sure", tier=1, go=1, typed=None):
        one = item(*map(int, code.split(".")), *self.who, go)
        far = "1:9876" if one.unit == "1:x" else f"{OFF} {one.unit or ''}".strip()
        text = typed or (one.answers()[0] if right else far)
        answer = results.answer_to(one, text, sure, tier, day=on(days).isoformat())
        assert typed or progress.said_to(answer).verdict in (("right",) if right else ("not yet", "slip")), text
        self.kept.append(answer)

    def sees(self, lesson, days, **how):
        return two(lesson, self.kept, *self.who, on(days), self.off, **how)

    def due(self, lesson, days, **how):
        return [one.item.code for one in self.sees(lesson, days, **how) if one.day]

    def answers_round(self, lesson, days, code, **how):
        """The card that a page shows of one that has come round, answered."""
        one = next(one.item for one in self.sees(lesson, days) if one.item.code == code)
        self.says(code, days, go=max(one.go, results.last_go(self.kept, one)), **how)


def by_hash(lesson, who=WHO):
    return [one.code for one in homework.mixed(lesson, *who)]


def one_that_is_not_by_hash(*lessons, count=1):
    """Items of early lessons that no page of these shows by hash, so that what is seen comes by what was kept."""
    codes = [f"{lesson}.{n}" for lesson, n in homework.items() if lesson < min(lessons)]
    shown = {code for lesson in lessons for code in by_hash(lesson)}
    sums = [c for c in codes if c not in shown and homework.ask(*map(int, c.split("."))).kind == "sum"]
    return sums[0] if count == 1 else sums[:count]


def on_page(seen):
    return [(one.item.code, one.item.go, one.day) for one in seen]


PAGES = range(6, homework.LESSONS[-1] + 1)
ONE = one_that_is_not_by_hash(*PAGES)
LATE = next(c for c in ("5.2", "5.5", "5.6") if all(c not in by_hash(lesson) for lesson in PAGES))


# --- when ---


def test_where_nothing_was_kept_the_two_by_hash_stand():
    for lesson in range(homework.LESSONS[0] + 1, homework.LAST_LESSON + 1):
        for number in (1, 12, 99):
            who = ("fern7", number)
            seen = two(lesson, [], *who, START)
            assert on_page(seen) == [(one.code, one.go, "") for one in homework.mixed(lesson, *who)]
            assert not any(one.put_off for one in seen)
    assert two(homework.LESSONS[0], [], *WHO, START) == []


def test_a_miss_comes_again_after_three_days_then_ten_and_then_rests():
    anna = Student()
    anna.says(ONE, 0, right=False)
    anna.says(ONE, 0)
    assert [day for day in range(40) if anna.due(6, day)] == list(range(3, 40)), "it waits, and there is no end to it"
    first = anna.sees(6, 5)[0]
    assert (first.item.code, first.day, first.item.go) == (ONE, on(0).isoformat(), first_mixed_go(6))
    assert first.item.figures != item(*map(int, ONE.split(".")), *WHO).figures
    anna.answers_round(6, 5, ONE)
    assert [day for day in range(5, 40) if anna.due(6, day)] == [5, *range(15, 40)]
    second = anna.sees(6, 20)[0]
    assert (second.day, second.item.go) == (on(5).isoformat(), first_mixed_go(6) + 1), "another set of figures"
    assert anna.sees(7, 20)[0].item.go == first_mixed_go(7), "each page has sets of its own"
    anna.answers_round(6, 20, ONE)
    assert [day for day in range(20, 400) if anna.due(6, day)] == [20], "on its last day it still stands on the page"
    assert progress.states(anna.kept, *WHO)[ONE] == progress.DONE


def test_a_miss_in_a_round_begins_with_three_days_again():
    anna = Student()
    anna.says(ONE, 0, right=False)
    anna.answers_round(6, 3, ONE)
    anna.answers_round(6, 13, ONE, right=False)
    anna.answers_round(6, 13, ONE)  # right the second time, on the same day
    assert [day for day in range(14, 30) if anna.due(6, day)] == list(range(16, 30))
    anna.answers_round(6, 16, ONE)
    assert [day for day in range(17, 40) if anna.due(6, day)] == list(range(26, 40))


@pytest.mark.parametrize(
    ("how", "comes"),
    [
        ({}, False),
        ({"sure": "fairly"}, False),
        ({"sure": ""}, False),
        ({"sure": "guessing"}, True),
        ({"tier": 2}, True),
        ({"right": False}, True),
        ({"right": False, "sure": "guessing"}, True),
        ({"typed": "no idea"}, False),  # it was never looked at: the item's own state says not yet
    ],
    ids=str,
)
def test_what_comes_again_and_what_does_not(how, comes):
    anna = Student()
    anna.says(ONE, 0, **how)
    assert anna.due(6, 3) == ([ONE] if comes else [])


def test_only_the_first_answer_in_a_set_tells():
    anna = Student()
    anna.says(ONE, 0)
    anna.says(ONE, 0, right=False)  # played with afterwards
    anna.says(ONE, 0, tier=4)
    assert anna.due(6, 3) == []
    anna.says(ONE, 0, go=2, typed="no idea", tier=3)
    anna.says(ONE, 0, go=2)  # on a page opened anew, where no step was asked for
    assert anna.due(6, 3) == [ONE]


def test_a_whole_way_that_was_looked_at_without_an_answer_counts_as_help():
    anna = Student()
    lesson, number = map(int, ONE.split("."))
    anna.kept.append(results.fresh_set(item(lesson, number, *WHO, 2), tier=1, day=on(0).isoformat()))
    assert anna.due(6, 3) == []
    anna.kept.append(results.fresh_set(item(lesson, number, *WHO, 3), tier=4, day=on(0).isoformat()))
    assert anna.due(6, 3) == [ONE]


def test_a_fresh_set_after_the_whole_way_is_no_round_on_that_day():
    anna = Student()
    anna.says(ONE, 0, right=False)
    round_one = anna.sees(6, 3)[0].item
    fresh = item(*map(int, ONE.split(".")), *WHO, round_one.go + 1)
    anna.kept.append(results.fresh_set(fresh, tier=4, day=on(3).isoformat()))
    anna.says(ONE, 3, go=fresh.go)
    assert [day for day in range(4, 20) if anna.due(6, day)] == list(range(6, 20))


def test_work_on_its_own_page_puts_it_later_and_a_set_begun_in_time_counts_as_a_round():
    anna = Student()
    anna.says(ONE, 0, right=False)
    anna.says(ONE, 2, go=2)  # too early for a round
    assert [day for day in range(12) if anna.due(6, day)] == list(range(5, 12))
    anna.says(ONE, 6, go=3)
    assert [day for day in range(6, 20) if anna.due(6, day)] == list(range(16, 20))


def test_items_of_later_lessons_stay_where_they_belong():
    anna = Student()
    anna.says(LATE, 0, right=False)
    assert anna.due(5, 4) == []
    assert anna.due(6, 4) == [LATE]


# --- which, and how many ---


def test_six_weeks_of_a_student():
    """Misses one item of each lesson in its week, opens the exercises on Mondays and Thursdays, and does what comes:
    right, but for one that is missed again at first."""
    weeks = homework.LESSONS[1:7]
    missed = [f"{lesson}.{homework.order(lesson)[0]}" for lesson in weeks]
    anna = Student()
    rounds = []
    for week, (lesson, miss) in enumerate(zip(weeks, missed, strict=True)):
        for days in (7 * week, 7 * week + 3):
            seen = anna.sees(lesson, days)
            assert len(seen) == 2
            assert len({one.item.code for one in seen}) == 2
            if days % 7 == 0:
                anna.says(miss, days, right=False)
                anna.says(miss, days)
            for one in [one for one in seen if one.day]:
                fine = (one.item.code, days) != (missed[0], 7)
                rounds.append((one.item.code, days, fine))
                anna.says(one.item.code, days, right=fine, go=one.item.go)
    assert rounds == [
        (missed[0], 7, False),
        (missed[0], 10, True),
        (missed[1], 14, True),
        (missed[0], 21, True),
        (missed[2], 21, True),
        (missed[1], 24, True),
        (missed[3], 28, True),
        (missed[2], 31, True),
        (missed[4], 35, True),
        (missed[3], 38, True),
    ]
    assert set(anna.due(9, 60)) == set(missed[4:]), "the others rest"
    assert all(progress.states(anna.kept, *WHO)[code] == progress.DONE for code in missed)


def test_two_at_most_whatever_is_due_oldest_and_most_missed_first_of_two_lessons():
    codes = [f"{lesson}.{n}" for lesson in (3, 4) for n in homework.order(lesson)]
    codes = [code for code in codes if homework.ask(*map(int, code.split("."))).kind == "sum"]
    anna = Student()
    for n, code in enumerate(codes):
        anna.says(code, n, right=False)
    first_of_4 = next(code for code in codes if code.startswith("4."))
    for days in (60, 90, 400):
        assert anna.due(8, days) == [codes[0], first_of_4]
    ben = Student()
    for code in codes:
        ben.says(code, 0, right=False, sure="fairly")
    ben.says(codes[4], 0, right=False, sure="fairly", go=2)
    assert ben.due(8, 9)[0] == codes[4], "missed twice"
    carl = Student()
    for code in codes:
        carl.says(code, 0, right=False, sure="sure" if code == codes[3] else "fairly")
    assert carl.due(8, 9)[0] == codes[3], "sure, and off"


def test_where_days_and_misses_are_alike_the_seat_decides_and_neighbours_differ():
    codes = [f"3.{n}" for n in homework.order(3) if homework.ask(3, n).kind == "sum"]
    chosen = set()
    for number in range(1, 9):
        anna = Student("fern7", number)
        for code in codes:
            anna.says(code, 0, right=False)
        assert anna.due(5, 4) == anna.due(5, 5)
        assert len(anna.due(5, 4)) == 2
        chosen.add(tuple(anna.due(5, 4)))
    assert len(chosen) > 4


def test_what_is_due_takes_the_first_place_and_the_second_is_of_another_lesson():
    for code in (ONE, by_hash(6)[0], by_hash(6)[1]):
        anna = Student()
        anna.says(code, 0, right=False)
        first, second = anna.sees(6, 3)
        assert first.item.code == code
        assert second.item.code in by_hash(6)
        assert second.item.code != code
        assert not second.day


def test_every_item_with_figures_can_come_round_and_its_answer_is_known():
    came = set()
    for lesson, number in homework.items():
        code = f"{lesson}.{number}"
        ask = homework.ask(lesson, number)
        page = min(lesson + 1, homework.LAST_LESSON)
        anna = Student("oak2", 1 + number)
        one = item(lesson, number, *anna.who)
        anna.kept.append(results.answer_to(one, one.answers()[0], "guessing", day=on(0).isoformat()))
        due = [each.item for each in anna.sees(page, 3) if each.day]
        assert [each.code for each in due] == ([] if ask.kind == "sentence" else [code])
        for each in due:
            came.add(code)
            assert first_go_of(each.go) == first_mixed_go(page)
            assert each.check(each.answers()[0]).verdict == "right"
    assert len(came) > 80


def test_ninety_nine_numbers():
    for number in range(1, 100):
        anna = Student("monkey", number)
        anna.says("2.1", 0, right=False)
        assert [day for day in (2, 3, 4) if anna.due(5, day) == ["2.1"]] == [3, 4]


# --- the page stays as it is ---


def test_the_two_stay_all_day_whatever_is_answered_there():
    anna = Student()
    missed = one_that_is_not_by_hash(*PAGES, count=9)
    for n, code in enumerate(missed):
        anna.says(code, n, right=False)
    before = on_page(anna.sees(6, 30))
    for code, _, day in before:
        assert day
        for how in ({"typed": "?"}, {"right": False}, {}):
            anna.answers_round(6, 30, code, **how)
            assert on_page(anna.sees(6, 30)) == before
    anna.says(missed[-1], 30, go=2)  # another of those that are due, on its own page
    assert on_page(anna.sees(6, 30)) == before
    assert not {code for code, _, _ in before} & set(anna.due(7, 30)), (
        "begun on one page, it comes on no other that day"
    )
    assert not {code for code, _, _ in before} & set(anna.due(6, 31))


def test_what_was_worked_on_today_on_its_own_page_is_not_asked_again_today():
    anna = Student()
    anna.says(ONE, 0, right=False)
    anna.says(ONE, 4)
    assert anna.due(6, 4) == []


def test_twenty_sets_on_a_page_and_then_it_comes_on_others():
    anna = Student()
    for n in range(EACH_LESSON):
        assert anna.due(6, 3 * n) == ([ONE] if n else [])
        anna.says(ONE, 3 * n, right=False, go=first_mixed_go(6) + n)
    assert anna.due(6, 200) == []
    assert anna.due(7, 200) == [ONE]


# --- put off ---


def test_put_off_it_stays_away_three_days_and_is_no_debt():
    anna = Student()
    anna.says(ONE, 0, right=False)
    anna.off = [PutOff(ONE, on(3).isoformat(), 6)]
    first, second = anna.sees(6, 3)
    assert (first.item.code, first.put_off, second.put_off) == (ONE, True, False), "there it says so all day"
    assert anna.due(7, 3) == [], "and no other page asks"
    assert [day for day in range(4, 20) if anna.due(6, day)] == list(range(6, 20))
    assert not any(one.put_off for one in anna.sees(6, 6))
    anna.answers_round(6, 6, ONE)
    assert [day for day in range(7, 30) if anna.due(6, day)] == list(range(16, 30))


def test_one_that_was_put_off_and_stands_there_by_hash_is_away_too():
    code = by_hash(6)[0]
    anna = Student()
    anna.says(code, 0, right=False)
    anna.off = [PutOff(code, on(3).isoformat(), 6)]
    seen = {one.item.code: one for one in anna.sees(6, 4)}
    assert (seen[code].day, seen[code].put_off) == ("", True)


def test_put_off_and_begun_after_all():
    anna = Student()
    anna.says(ONE, 0, right=False)
    anna.off = [PutOff(ONE, on(3).isoformat(), 6)]
    anna.answers_round(6, 3, ONE)
    first, _ = anna.sees(6, 3)
    assert (first.item.code, first.put_off) == (ONE, False)


def test_what_there_is_to_look_at():
    anna = Student()
    missed = one_that_is_not_by_hash(*PAGES, count=9)
    for code in missed:
        anna.says(code, 0, right=False)

    def left():
        return to_look_at(anna.sees(6, 5), anna.kept, on(5))

    first, second = left()
    assert (first, second) == tuple(anna.due(6, 5))
    anna.answers_round(6, 5, first, right=False)
    assert left() == [second]
    seen = anna.sees(7, 5)
    assert all(one.day for one in seen)
    assert len(to_look_at(seen, anna.kept, on(5))) == 1, "one was done today: one is left, on whichever page"
    anna.off.append(PutOff(second, on(5).isoformat(), 6))
    assert left() == []
    anna.answers_round(6, 5, second)
    assert anna.due(7, 5)
    assert to_look_at(anna.sees(7, 5), anna.kept, on(5)) == [], "two were done today, and that is that"


# --- set work: no verdict shows ---


def test_in_set_work_what_comes_back_tells_nothing_of_what_was_right():
    """The same days, items, help and words on how sure, right and off turned round: the pages are the same."""
    codes = one_that_is_not_by_hash(*PAGES, count=8)
    for twist in range(8):
        seen = []
        for flipped in (False, True):
            anna = Student()
            for n, code in enumerate(codes):
                right = ((n + twist) % 3 == 0) != flipped
                anna.says(code, 0, right=right, sure=("sure", "guessing", "fairly")[n % 3], tier=1 + (n == 3))
                anna.says(code, 1, right=not right, sure="sure", go=2)
            pages = []
            for day in (4, 7, 11, 15, 19):
                pages.append(on_page(anna.sees(6, day, set_work=True)))
                for code, go, met in pages[-1]:
                    if met:
                        anna.says(code, day, right=flipped, sure="guessing" if day == 7 else "sure", go=go)
            seen.append(pages)
        assert seen[0] == seen[1]
    assert {code for page in seen[0] for code, _, met in page if met} >= {codes[1], codes[3]}, (
        "guessed, and with help"
    )


def test_in_set_work_a_miss_alone_brings_nothing_back():
    anna = Student()
    anna.says(ONE, 0, right=False)
    assert anna.due(6, 5, set_work=True) == []
    assert anna.due(6, 5) == [ONE]


# --- files as they come ---


def test_a_clock_that_was_set_wrong_hides_nothing_for_years():
    for away in (-20_000, 3650):
        anna = Student()
        anna.says(ONE, away, right=False)
        assert anna.due(6, 0) == [ONE]
        anna.answers_round(6, 0, ONE)
        assert [day for day in (1, 9, 10, 11) if anna.due(6, day)] == [10, 11]
        anna.off = [PutOff(ONE, on(away).isoformat(), 6)]
        assert anna.due(6, 10) == [ONE]
    anna = Student()
    anna.says(ONE, 1, right=False)  # of tomorrow: somebody has come home from the east
    assert [day for day in range(7) if anna.due(6, day)] == list(range(4, 7))


def test_days_that_go_back_and_forth():
    anna = Student()
    for n, days in enumerate((10, 2, 7, 1)):
        anna.says(ONE, days, right=False, go=n + 1)
    assert anna.sees(6, 20)[0].day == on(1).isoformat(), "the last line, whatever its day"


def test_torn_and_foreign_lines(tmp_path):
    anna, other = Student(), Student("fern7", 13)
    anna.says(ONE, 0, right=False)
    other.says("2.2", 0, right=False)
    file = tmp_path / "answers-fern7-12.jsonl"
    results.append(file, anna.kept[0])
    elsewhere = replace(other.kept[0], class_code="oak2", number=12)
    torn = anna.kept[0].line()
    day = anna.kept[0].day
    with file.open("a", encoding="utf-8") as out:
        for line in (other.kept[0].line(), elsewhere.line(), torn.replace(day, "2026-13-45"), torn.replace(day, "")):
            out.write(line + "\n")
        out.write(torn[:60])
    answers, notes = results.read(file)
    assert len(notes) == 3
    seen = two(6, answers, *WHO, on(4))
    assert [one.item.code for one in seen if one.day] == [ONE]
    assert seen[0].day == on(0).isoformat()


def test_another_edition_and_an_item_that_is_gone():
    anna = Student()
    anna.says(ONE, 0, right=False)
    (one,) = anna.kept
    for changed in ({"edition": one.edition + 1}, {"item": "98.7"}, {"item": "5.99"}, {"attempt": one.attempt + 7}):
        assert not any(seen.day for seen in two(6, [replace(one, **changed)], *WHO, on(5)))
        both = two(6, [replace(one, **changed), one], *WHO, on(5))
        assert both[0].item.code == ONE


def test_it_is_the_same_whoever_looks_and_changes_nothing():
    anna = Student()
    for code in one_that_is_not_by_hash(*PAGES, count=9):
        anna.says(code, 0, right=False)
    before = list(anna.kept)
    assert on_page(anna.sees(6, 9)) == on_page(two(6, tuple(before), *WHO, on(9)))
    assert anna.kept == before


def test_a_thousand_answers_are_looked_through_in_a_blink():
    anna = Student()
    at = [f"{lesson}.{n}" for lesson, n in homework.items() if homework.ask(lesson, n).kind == "sum"]
    n = 0
    while len(anna.kept) < 1000:
        anna.says(at[n % len(at)], n // 60, typed=f"{n + 37} g", go=1 + n // (4 * len(at)))
        n += 1
    took = []
    for _ in range(3):  # a busy machine is not a slow reader: its own time, and the best of three counts
        started = time.process_time()
        seen = anna.sees(13, 60)
        took.append(time.process_time() - started)
    assert len(seen) == 2
    assert min(took) < 0.05


def test_what_comes_back_speaks_of_the_classs_own_plants():
    plants = Plants("nettle", "yarrow", "burdock root", "hawthorn berry", "Mill Street")
    one = Student()
    one.says(LATE, 0, right=False)
    assert LATE in one.due(7, 3, plants=plants)
    own, usual = one.sees(7, 3, plants=plants), one.sees(7, 3)
    assert [again.item.plants for again in own] == [plants, plants]
    assert [again.item.prompt for again in own] == [plants.named(again.item.prompt) for again in usual]
    assert [again.item.drawn.f for again in own] == [again.item.drawn.f for again in usual]
