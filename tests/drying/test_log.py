"""Logs as people write them. The odd ones stand in broken_logs.toml."""

import datetime
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from herbcalc import drying
from herbcalc.drying.clock import moment
from herbcalc.units import OutOfRange, Q, WrongUnit
from tests.test_house import BANNED

BROKEN = tomllib.loads((Path(__file__).parent / "broken_logs.toml").read_text(encoding="utf-8"))["log"]


def test_sixty_of_them():
    assert len(BROKEN) >= 60


@pytest.mark.parametrize("case", BROKEN, ids=lambda case: case["text"][:30])
def test_an_odd_log_gets_a_sentence_and_what_is_good_in_it_is_used(case):
    if case.get("refused"):
        with pytest.raises((OutOfRange, WrongUnit)) as refusal:
            drying.read_log(case["text"])
        said = [str(refusal.value)]
        assert '"0 h; 300 g"' in said[0]  # what would work
    else:
        log = drying.read_log(case["text"])
        said = list(log.notes)
        assert (np.diff(log.times.magnitude) > 0).all()
        assert log.times.magnitude[0] == 0
        if "weights" in case:
            assert log.weights.to("g").magnitude == pytest.approx(case["weights"], abs=0.06)
    assert case["says"] in " ".join(said)
    assert all(sentence.endswith((".", "?")) and not BANNED.search(sentence) for sentence in said), said


@pytest.mark.parametrize("case", [c for c in BROKEN if not c.get("refused")], ids=lambda case: case["text"][:30])
def test_what_was_read_gives_a_curve_or_a_refusal(case):
    log = drying.read_log(case["text"])
    try:
        curve = drying.fit(log.times, log.weights)
    except OutOfRange:
        assert "not drying" in " ".join(log.notes)
        return
    low, high = curve.band.k
    assert 0 < low <= curve.k <= high
    assert all(note.endswith(".") and not BANNED.search(note) for note in curve.notes)


@pytest.mark.parametrize(
    "text",
    [
        "0 h, 300 g\n2 h 30 min, 250 g\n12 h, 180 g\n1 day, 150 g",
        "0h\t300 g\n2h30\t250 g\n12h\t180 g\n1d\t150 g",
        "time;weight\n2026-06-12 08:00;300 g\n2026-06-12 10:30;250 g\n2026-06-12 20:00;180 g\n2026-06-13 08:00;150 g",
        "date,time,weight in g\n12.06.2026,8:00,300\n12.06.2026,10:30,250\n12.06.2026,20:00,180\n13.06.2026,8:00,150",
        "min,g\n0,300\n150,250\n720,180\n1440,150",
        "Jun 12, 8 am 0.3 kg\nJun 12, 10:30 am 0.25 kg\nJun 12, 8 pm 0.18 kg\nJun 13, 8 am 0.15 kg",
        "t / h | m / g\n0 | 300\n2,5 | 250\n12 | 180\n24 | 150",
        "8:00, 300 g\n10:30, 250 g\n20:00, 180 g\nday 2 8:00, 150 g".replace("8:00, 3", "day 1 8:00, 3"),
        "08:00 300 g\n10:30 250 g\n20:00 180 g\n08:00 150 g",
        "12 June 8:00\t10.58219 oz\n12 June 10:30\t8.818490 oz\n12 June 20:00\t6.349313 oz\n13 June 8:00\t5.291094 "
        "oz",
        "0.3 kg at 0 h".replace(" at ", ", ") + "\n250 g, 2.5 h\n180 g, 12 h\n150 g, 24 h",
    ],
)
def test_one_log_in_many_hands(text):
    log = drying.read_log(text)
    assert log.times.to("hour").magnitude == pytest.approx([0, 2.5, 12, 24])
    assert log.weights.to("g").magnitude == pytest.approx([300, 250, 180, 150], rel=1e-5)


def test_a_clean_log_with_its_units_needs_no_note():
    assert drying.read_log("0 h, 300 g\n3 h, 250 g\n9 h, 200 g\n15 h, 170 g").notes == ()


def test_a_page_that_is_no_log():
    with pytest.raises(WrongUnit, match="A log is text"):
        drying.read_log([[0, 300], [2, 250]])
    with pytest.raises(OutOfRange, match="Paste only the lines"):
        drying.read_log("0 300\n" * 5000)


NUMBERS = ["0", "2", "300", "1,5", "1.250,5", "1/2", "0.0", "²", "١", "e9", "nan", "-", "?"]
TIMES = ["h", "min", "8:00", "99:99", "am", "day", "Mon", "June", "31.2.", "12/6/26"]
OTHERS = ["g", "oz", "kg", "lb", ";", ",", "\t", "|", " ", "\n", "\u00a0", '"', "\0"]
PIECES = st.sampled_from([*NUMBERS, *TIMES, *OTHERS])


@settings(max_examples=80, deadline=None)
@given(st.lists(PIECES, max_size=40).map("".join) | st.text(max_size=80))
def test_nothing_that_can_be_typed_breaks_it(text):
    try:
        log = drying.read_log(text)
    except (OutOfRange, WrongUnit):
        return
    assert len(log.times) == len(log.weights) >= 2
    assert np.isfinite(log.times.magnitude).all()
    assert (log.weights > Q(0, "g")).all()


def test_days_are_counted_as_the_calendar_counts_them():
    dates = [datetime.date(2025, 1, 1) + datetime.timedelta(n) for n in range(0, 1500)]
    dates += [datetime.date(year, 3, 1) for year in (1999, 2000, 2100, 2101)]
    first = moment("2025-01-01").day - dates[0].toordinal()
    assert all(moment(date.isoformat()).day == date.toordinal() + first for date in dates)
    assert moment("3.8.26").day == moment("2026-08-03").day, "two figures are a year of this century"
    for never in ("2026-02-29", "2100-02-29", "2026-04-31", "31.6.2026", "2026-13-01"):
        assert moment(never) is None, never
    assert moment("2028-02-29").day + 1 == moment("2028-03-01").day


def test_hours_of_the_day():
    told = {"12 am": 0.0, "12 pm": 12.0, "12:30 am": 0.5, "1 pm": 13.0, "noon": 12.0, "midnight": 0.0}
    assert {typed: moment(typed).hours for typed in told} == told
    assert moment("8:00:36").hours == pytest.approx(8.01)
    assert moment("12 June at midnight").hours == 0.0
    assert moment("12 June at 8:00") == moment("12 June, 8:00")
    for never in ("13 pm", "0 am", "8:60", "8:00:60"):
        assert moment(never) is None, never
