"""The card of a weighing log: read back, drawn with its band, dry enough three ways; whatever is typed gets words."""

from __future__ import annotations

import random
import re
import subprocess
import sys
import time
import tomllib
from html import unescape
from pathlib import Path

import pytest

from herbcalc import drying, person
from herbcalc.rules import Rules
from herbcalc.show.card.log import EXAMPLE, STOP, WeighingLog
from herbcalc.show.here import Here
from herbcalc.units import Q, amount

LOGS = Path(__file__).resolve().parents[2] / "drying" / "broken_logs.toml"
BROKEN = tomllib.loads(LOGS.read_text(encoding="utf-8"))["log"]
FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback|nan)\b", re.IGNORECASE)


@pytest.fixture
def card():
    return WeighingLog(Rules())


def said(card):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", card.said.value)).split())


def test_the_example_is_read_back_and_says_that_it_is_invented(card):
    told = said(card)
    assert "8 weighings over 60 hours (2.5 days), from 1000 g (2 lb 3 1/4 oz) to 226 g (8 oz)" in told
    assert "36 hours: 285 g (10 oz)" in told
    assert "invented" in card.children[0].value
    assert "10 % water" in card.stop.description


def test_time_and_band_are_those_of_the_fit(card):
    log = drying.read_log(EXAMPLE)
    curve = drying.fit(log.times, log.weights)
    assert f"a model: {curve.says(amount(STOP))}" in said(card)
    assert "95 of every 100 logs" in said(card)


def test_the_picture_holds_every_weighing_the_band_and_the_word_model(card):
    assert card.svg.count("<use ") >= 8  # a mark for each weighing
    assert "a model" in card.svg
    assert "stop at 222 g" in card.svg
    assert "8 weighings as dots" in card.alt
    assert card.alt in unescape(card.drawing.value)
    assert "fill: #c9d9e4" in card.svg.replace('fill="#c9d9e4"', "fill: #c9d9e4")


def test_dry_enough_three_ways(card):
    assert "The hands: nobody has felt it yet." in said(card)
    card.hands.value = "bends"
    card.work_out()
    told = said(card)
    assert "222 g (7 3/4 oz): 4 g of water still to go" in told
    assert "they do not agree" in told
    assert "The hands say not yet" in told


def test_in_damp_air_two_weighings_agree_and_it_is_not_dry(card):
    card.place.value = "0 h; 1000 g\n12 h; 560 g\n24 h; 380 g\n48 h; 270 g\n72 h; 251 g\n96 h; 250 g"
    card.work_out()
    told = said(card)
    assert "Two weighings, 24 hours apart, agree: herb and air have come to rest. That is not yet dry." in told
    assert "It has stopped above the stop weight." in told
    card.stop.value = "180 g"
    card.work_out()
    assert "never gets down to 180 g" in said(card)


def test_a_log_in_ounces_and_clock_times(card):
    card.place.value = "8:00; 32 oz\n14:00; 24 oz\n20:00; 18 oz\n8:00; 12 oz\n20:00; 9 oz"
    card.stop.value = "8 oz"
    card.work_out()
    told = said(card)
    assert "5 weighings over 36 hours" in told
    assert "past midnight" in told
    assert "(8 oz) after about" in told


@pytest.mark.parametrize("case", BROKEN, ids=lambda case: case["text"][:24])
def test_an_odd_log_is_told_in_words_on_the_card_too(card, case):
    card.place.value = case["text"]
    card.work_out()
    told = said(card)
    assert case["says"].split('"')[0].casefold() in told.casefold()
    assert not FORBIDDEN.search(re.sub(r'"[^"]*"', "", told)), "but for what was typed"
    assert bool(card.svg) == bool(card.drawing.value)
    if case.get("refused"):
        assert not card.svg


@pytest.mark.parametrize("hours", ["9999999999999999", "9000"])
def test_times_that_cannot_be_those_of_drying_draw_no_curve(card, hours):
    card.place.value = f"0 300 g\n{hours} 200 g"
    card.work_out()
    assert "herb dries in hours or days" in said(card)
    assert not card.svg


def test_the_picture_goes_no_further_than_three_times_the_log(card):
    card.place.value = "0 h; 300 g\n5 h; 285 g\n10 h; 271 g"
    card.stop.value = "100 g"
    card.work_out()
    assert "That is past your last weighing" in said(card)
    assert ">30<" in card.svg


def test_notes_of_the_fit_are_told_too(card):
    card.place.value = "0 h; 300 g\n5 h; 250 g"
    card.work_out()
    told = said(card)
    assert "Two weighings make a guess, not a curve" in told
    assert "It is assumed at" in told


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("", "nothing stands there yet"),
        ("222", "number without a unit"),
        ("5 mL", "weight"),
        ("0 g", "is no weight of herb"),
        ("-3 g", "is no weight of herb"),
        ("2000 g", "more than the herb weighed at the start"),
        ("<b>", "weight to stop at"),
    ],
)
def test_a_stop_weight_that_cannot_be_used_is_told_and_the_curve_still_drawn(card, typed, told):
    card.stop.value = typed
    card.work_out()
    assert told in said(card)
    assert card.svg
    assert "<b>" not in card.said.value


def test_hostile_texts_are_answered_in_words(card):
    dice = random.Random(5)
    parts = ("0 h", ";", "\n", "1e999 g", "300", "g", "'); drop", "<script>", "𝟛", "\0", "9**9**9", "-", ",", "½",
             "2 h 30 min", "31.12.", "24:60", "oz", "null", "٣", "1/0", " ")  # fmt: skip
    for _ in range(150):
        card.place.value = "".join(dice.choice(parts) for _ in range(dice.randrange(0, 40)))
        card.work_out()
        assert len(said(card)) > 20, card.place.value
        assert "<script>" not in card.said.value + card.drawing.value
    card.place.value = "0 h; 300 g\n" * 30_000
    card.work_out()
    assert "is read" in said(card)


def test_a_press_is_quick(card):
    took = []
    for n in range(5):
        card.place.value = EXAMPLE.replace("285", str(281 + n))
        begun = time.perf_counter()
        card.work_out()
        took.append(time.perf_counter() - begun)
    assert sorted(took)[2] < 0.5


def test_nothing_is_kept(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    before = sorted(tmp_path.rglob("*"))
    card = Here(3).log()
    card.place.value = "0 h; 900 g\n6 h; 700 g\n12 h; 500 g"
    card.work_out()
    assert sorted(tmp_path.rglob("*")) == before


def test_what_is_stored_has_picture_words_and_example(card):
    data = card._repr_mimebundle_()
    assert data["text/plain"] == "Your own log"
    assert re.search(r'<img alt="[^"]{60,}" width="420" src="data:image/svg', data["text/html"])
    assert "12 h; 561 g" in data["text/html"]
    assert "invented" in data["text/html"]
    card.place.value = "0 h; 55 g\n5 h; 44 g"
    card.work_out()
    assert card._repr_mimebundle_()["text/html"] == data["text/html"], "what a student typed is not stored"


def test_the_card_needs_neither_pandas_nor_scipy():
    watched = (
        "import pint, sys; before = set(sys.modules)\n"
        "from herbcalc.show.card.log import WeighingLog; from herbcalc.rules import Rules; WeighingLog(Rules())\n"
        "new = {name.split('.')[0] for name in set(sys.modules) - before}\n"
        "assert not new & {'pandas', 'scipy'}, new"
    )
    seen = subprocess.run([sys.executable, "-c", watched], capture_output=True, text=True)
    assert seen.returncode == 0, seen.stderr


def test_times_on_the_card_are_the_logs_own(card):
    log = drying.read_log(card.place.value)
    assert log.times[-1] == Q(60, "hour")
