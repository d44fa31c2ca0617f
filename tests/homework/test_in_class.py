"""The gaps of the lessons and the boxes of the bench: each can be done whole, in any order, and answers in words."""

from __future__ import annotations

import random
import re

import pytest

from herbcalc.homework import in_class
from herbcalc.rules import Rules
from herbcalc.units import OutOfRange, amount

FIRST_AID = 0  # it has gaps and no homework; the last lesson has them and a plan instead
LESSONS = [number for number in in_class.lessons() if number != FIRST_AID]
EVERY = [(lesson, number) for lesson in (FIRST_AID, *LESSONS) for number in range(1, len(in_class.gaps(lesson)) + 1)]
FORBIDDEN = re.compile(r"\b(invalid|error|wrong)\b", re.IGNORECASE)
every = pytest.mark.parametrize(("lesson", "number"), EVERY, ids=lambda x: str(x))


@every
def test_right_texts_are_taken_and_others_are_not(lesson, number):
    gap = in_class.question(lesson, number)
    for text in gap.answers():
        assert gap.check(text).verdict == "right", text
    for off in (0.9, 0.96, 1.04, 1.3):
        want = gap.ask.want
        away = gap.drawn.low * off if off < 1 else gap.drawn.high * off
        if want.exact:
            away = round(away)
        typed = f"1:{away}" if want.said == "1:x" else f"{away} {want.said}"
        told = gap.check(typed)
        assert told.verdict in ("not yet", "slip"), typed
        assert told.hint


@every
def test_the_way_leads_to_the_answer(lesson, number):
    gap = in_class.question(lesson, number)
    way = gap.worked(4)
    assert way
    last = re.sub(r".* = ", "", way[-1])
    assert gap.check(last.split(" (")[0].split(", so ")[-1]).verdict == "right", way[-1]


@every
def test_what_is_given_keeps_the_answer_back(lesson, number):
    gap = in_class.gaps(lesson)[number - 1]
    asked = in_class.question(lesson, number)
    given = asked.given(gap.left_out)
    assert bool(given) == bool(gap.left_out)
    if given:
        assert sum("____" in line for line in given) == min(gap.left_out, len(given))
        said = asked.worked(4)[-1].rpartition(" = ")[2]
        assert said not in "\n".join(given)


@pytest.mark.parametrize("lesson", LESSONS)
def test_of_two_steps_the_second_does_not_tell_the_first(lesson):
    first, second = (in_class.question(lesson, number) for number in (5, 6))
    told = "\n".join(second.given(in_class.gaps(lesson)[5].left_out))
    assert first.worked(4)[-1].rpartition(" = ")[2] not in told + second.prompt


@every
def test_figures_of_a_gap_stand_in_its_question(lesson, number):
    gap = in_class.question(lesson, number)
    for figure in gap.ask.figures:
        value = gap.drawn.values[figure.name]
        if figure.name in ("oz", "n", "proof") or abs(value - round(value, 1)) < 1e-9:
            assert f"{value:g}" in gap.prompt, figure


def test_every_gap_asks_in_both_systems():
    for lesson, number in EVERY:
        gap = in_class.question(lesson, number)
        weights = [f for f in gap.ask.figures if f.unit in ("g", "mL")]
        if weights:
            assert re.search(r"\b(oz|lb)\b", gap.prompt), gap.prompt


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_bench_tells_of_its_invented_figures(lesson):
    bench = in_class.bench(lesson)
    for box in bench.boxes:
        amount(box.example, box.kind)
    lines = in_class.told(bench, Rules(), {box.name: box.example for box in bench.boxes})
    assert lines
    assert not FORBIDDEN.search("\n".join(lines))


@pytest.mark.parametrize("lesson", LESSONS)
@pytest.mark.parametrize("typed", ["", "lots", "-5 g", "0 g", "9e99 kg", "100", "5 %", "1e-9 mL", "½ fl oz", "<b>"])
def test_whatever_stands_in_a_box_is_answered_in_words(lesson, typed):
    bench = in_class.bench(lesson)
    for box in bench.boxes:
        row = {b.name: b.example for b in bench.boxes} | {box.name: typed}
        lines = in_class.told(bench, Rules(), row)
        assert all(lines), (box, typed)
        assert not FORBIDDEN.search("\n".join(lines))
        if typed in ("", "lots", "<b>"):
            assert lines[0].startswith(box.label)


@pytest.mark.parametrize(
    ("lesson", "changed", "says"),
    [
        (2, {"count": "8"}, "none is taken"),
        (2, {"want": "3 kg"}, "Make a smaller batch: 6 plants"),
        (2, {"share": "1/2"}, "more than the 10 of every 100 of your house rule"),
        (3, {"dry": "20 g"}, "80 % water"),
        (5, {"poured": "150 mL"}, "One of these would do"),
        (6, {"spirit": "40 % vol"}, "One of these would do"),
        (7, {"out": "350 mL"}, "kept 1.50 mL"),
        (8, {"minute": "70"}, "quicker than the books"),
        (9, {"soaked": "200 mL"}, "50 mL (1 3/4 fl oz) left in the marc"),
        (
            10,
            {"glycerin": "5 mL", "thinned": "0 mL", "wet": "25 %"},
            "50 %. Your line is 55 %: it does not keep. At least 6.12",
        ),
        (10, {"thinned": "120 mL"}, "49.5 %. Your line is 55 %: it does not keep. No amount of this one would do"),
        (10, {"acid": "4 %"}, "No amount of this one would do"),
        (10, {"wet": "80 %"}, "Honey: 21.7 % water. Your line is 20 % water: it does not keep."),
        (10, {"tea": "60 mL"}, "Syrup, its sugar by weight: 51 %"),
        (10, {"sugar": "110 g"}, "some of it will lie at the bottom"),
        (11, {}, "that is dry by your rule"),
        (11, {"herb": "70 g"}, "not for eating"),
        (11, {"out": "335 mL"}, "The marc kept 1 mL for each gram"),
        (11, {"herb": "150 g"}, "not for eating"),
        (11, {"herb": "400 g"}, "in each other's box"),
        (11, {"out": "500 mL"}, "Is there water in the jug"),
        (11, {"wax": "1 oz"}, "10.3 % of the weight is wax"),
        (13, {"spirit": "2 L"}, "Menstruum: there is enough"),
        (13, {}, "would serve 4; more menstruum would serve more"),
        (13, {"herb": "0 g"}, "would serve 0; more herb would serve more"),
        (13, {"herb": "150 g", "spirit": "2 L"}, "would serve 7; more herb"),
        (13, {"students": "24"}, "Menstruum to buy: 3 of 750 mL"),
        (12, {"three": "140"}, "count again, slowly"),
        (14, {}, "19 mL (3 3/4 tsp) less"),
        (14, {}, "Your marc kept 1.69 mL"),
        (14, {"out": "350 mL"}, "and that came out"),
    ],
)
def test_the_bench_follows_the_boxes(lesson, changed, says):
    bench = in_class.bench(lesson)
    row = {box.name: box.example for box in bench.boxes} | changed
    assert says in "\n".join(in_class.told(bench, Rules(), row))


def test_the_bench_goes_by_the_house_floor():
    bench = in_class.bench(5)
    row = {box.name: box.example for box in bench.boxes}
    assert "or above" in in_class.told(bench, Rules(), row)[0]
    assert "One of these would do" in in_class.told(bench, Rules(floor=45), row)[0]


@pytest.mark.parametrize(
    ("own", "line"),
    [
        ({"glycerin_floor": 0.8}, "Your line is 80 %"),
        ({"vinegar_floor": 0.05}, "Your line is 5 %"),
        ({"honey_limit": 18}, "Your line is 18 % water"),
        ({"syrup_floor": 0.62}, "Your line is 62 %"),
    ],
)
def test_the_bench_goes_by_the_house_lines_of_four_jars(own, line):
    bench = in_class.bench(10)
    row = {box.name: box.example for box in bench.boxes}
    assert line not in "\n".join(in_class.told(bench, Rules(), row))
    assert line in "\n".join(in_class.told(bench, Rules(**own), row))


def test_the_bench_goes_by_the_house_spare():
    bench = in_class.bench(13)
    row = {box.name: box.example for box in bench.boxes}
    assert "10 of every 100 as spare" in in_class.told(bench, Rules(), row)[1]
    assert "at least 309 g" in in_class.told(bench, Rules(spare=0.0), row)[0]


def test_the_bench_goes_by_the_house_standard_drink():
    bench = in_class.bench(12)
    row = {box.name: box.example for box in bench.boxes}
    assert "of alcohol, is in 20.3 mL" in in_class.told(bench, Rules(standard_drink=8), row)[-1]


def test_the_bench_goes_by_the_house_share_of_a_stand():
    bench = in_class.bench(2)
    row = {box.name: box.example for box in bench.boxes}
    assert "house rule" not in "\n".join(in_class.told(bench, Rules(), row))
    assert "5 of every 100" in "\n".join(in_class.told(bench, Rules(stand_share=0.05), row))


def test_a_gap_that_is_not_there():
    for number in (0, 8, -1, True, "2", 1.0, None):
        with pytest.raises(OutOfRange, match="has gaps 1 to 7"):
            in_class.question(5, number)


def test_gaps_do_not_lean_on_each_other():
    """In any order, and again, a gap asks and takes the same."""
    before = {at: (in_class.question(*at).prompt, in_class.question(*at).drawn.low) for at in EVERY}
    order = EVERY * 2
    random.Random(1).shuffle(order)
    for at in order:
        gap = in_class.question(*at)
        assert (gap.prompt, gap.drawn.low) == before[at]
