"""The cards of gaps and of the bench: whatever is typed is answered in words, and no cell changes what is right."""

from __future__ import annotations

import json
import random
import re
from html import unescape
from pathlib import Path

import pytest

from herbcalc import person
from herbcalc.homework import LESSONS, in_class
from herbcalc.show.card.bench import Bench
from herbcalc.show.card.gap import Gap
from herbcalc.show.here import Here

ROOT = Path(__file__).resolve().parents[3]
FORBIDDEN = re.compile(r"\b(error|invalid|wrong|fail(ed)?|score|traceback|syntax\w*|type)\b", re.IGNORECASE)
LESSON_BOOKS = [path for path in sorted((ROOT / "workbook").glob("*.ipynb")) if int(path.name[:2]) in LESSONS]
# How people write 29.1 % vol, or an amount of 100 g, into a box: every one of them must be answered in words.
NATURAL = (
    """
{n}|{n} {u}|{n}{u}|= {n} {u}|it is {n} {u}|about {n} {u}|~{n} {u}|{n} {u}.|{n} {u}!|({n} {u})|"{n} {u}"|'{n} {u}'
 {n} {u} |{n},0 {u}|x = {n} {u}|so {n} {u}|I think {n} {u}|{n} {u} ✓|{n} {u} 🙂|{n} {u}?|two times two|no idea|?
""".strip()
    .replace("\n", "|")
    .split("|")
)


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    person.news()
    return tmp_path


def said(card):
    return unescape(re.sub(r"<[^>]+>", " ", card.feedback.value))


def try_it(card, typed):
    card.place.value = typed
    card.check()
    return said(card)


def run_the_cells(path):
    """All code cells of a notebook in one namespace, as Run All does; what each cell gave, by its id."""
    names, found = {}, {}
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        source = "".join(cell["source"])
        if cell["cell_type"] != "code" or "raises-exception" in cell["metadata"].get("tags", []):
            continue
        if source.startswith("here."):
            found[cell["id"]] = eval(source, names)
        else:
            exec(source, names)
    return found


@pytest.mark.parametrize("path", LESSON_BOOKS, ids=lambda path: path.stem)
def test_after_run_all_every_gap_takes_its_answer_in_any_order(path, capsys):
    found = run_the_cells(path)
    gaps = [card for card in found.values() if isinstance(card, Gap)]
    assert len(gaps) == len(in_class.gaps(int(path.name[:2])))
    order = gaps * 2
    random.Random(path.stem).shuffle(order)
    for card in order:
        assert "Yes, that is it." in try_it(card, card.item.answers()[0]), card.item.prompt
        off = f"{card.item.drawn.high * 1.3:.4g} {card.item.unit}"
        assert "Not yet" in try_it(card, f"1:{off.split()[0]}" if card.item.unit == "1:x" else off), off


@pytest.mark.parametrize("lesson", LESSONS)
def test_natural_ways_to_fill_a_gap_are_answered_in_words(lesson):
    for number in range(1, len(in_class.gaps(lesson)) + 1):
        card = Gap(lesson, number)
        plain = card.item.answers()[0]
        n, _, u = plain.partition(" ")
        for way in NATURAL:
            told = try_it(card, way.format(n=n, u=u))
            assert told.strip(), way
            assert not FORBIDDEN.search(told), told
            if "{u}" in way and ",0" not in way:
                assert "Yes, that is it." in told, (way, plain, told)


def test_nothing_typed_asks_for_something():
    assert "Nothing stands there yet" in try_it(Gap(5, 1), "  ")


def test_steps_come_one_at_a_time_and_the_last_press_shows_all():
    alone = Gap(5, 7)
    lengths = []
    for _ in range(4):
        alone.one_step_more()
        lengths.append(len(re.findall("<li>", alone.feedback.value)))
    assert lengths == [1, 2, 3, 3]
    assert "____" not in said(alone)
    begun = Gap(5, 4)  # all but the last step stands there already
    begun.one_step_more()
    assert "39 % vol" in said(begun)
    for card in (alone, begun):  # its figures are everybody's, and there is no other set to ask for
        assert "The whole way" in said(card)
        assert not re.search("fresh set|your figures", said(card))


def test_a_right_answer_is_followed_by_the_way():
    card = Gap(5, 4)
    assert "300 ÷ 770 = 39 % vol" in try_it(card, "39 % vol")
    assert "770" not in try_it(card, "50 % vol")


def test_nothing_of_a_gap_or_bench_is_kept(home):
    try_it(Gap(5, 1), "200 g")
    Here(5).bench().work_out()
    assert not list(home.iterdir())


@pytest.mark.parametrize("lesson", LESSONS)
def test_what_is_stored_asks_and_does_not_answer(lesson):
    for number in range(1, len(in_class.gaps(lesson)) + 1):
        card = Gap(lesson, number)
        stored = card._repr_mimebundle_()["text/html"]
        assert "Run the cells" in stored
        last = card.item.worked(4)[-1].rpartition(" = ")[2]
        assert not re.search(rf"(?<![\d.,]){re.escape(last)}(?![\d.,])", unescape(stored))


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_bench_begins_with_invented_figures_and_says_so(lesson):
    bench = Here(lesson).bench()
    assert "invented" in bench.children[0].value
    before = bench.said.value
    place = next(iter(bench.places.values()))
    place.value = "nothing much"
    bench.work_out()
    assert bench.said.value != before
    assert not FORBIDDEN.search(bench.said.value)


def test_text_in_a_box_is_never_taken_for_a_page():
    bench = Bench(3, Here(3).rules)
    bench.places["fresh"].value = "<img src=x onerror=alert(1)>"
    bench.work_out()
    assert "<img" not in bench.said.value
    card = Gap(3, 1)
    try_it(card, "<script>1</script>")
    assert "<script" not in card.feedback.value
