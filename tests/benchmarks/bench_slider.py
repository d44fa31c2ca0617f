"""A slider's move in the kernel: from the new value to the new picture, sentence and numbers, for every lesson."""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from herbcalc.rules import Rules
from herbcalc.show import sure
from herbcalc.show.here import modules
from herbcalc.show.look import key_of
from herbcalc.show.panel import Panel
from tests.benchmarks.run import Row

BAR = 30.0  # ms, median
MOVES = 60


def moves(panel: Panel) -> list[float]:
    """Milliseconds of each of many small moves of the first slider, there and back."""
    dial = next(d for d in panel.dials.values() if hasattr(d, "slider"))
    control = dial.control
    middle = (control.low + control.high) / 2
    took = []
    for n in range(MOVES):
        start = time.perf_counter()
        dial.slider.value = middle + control.step * (n % 10 + 1)
        took.append(1000 * (time.perf_counter() - start))
    return took


def rows() -> Iterator[Row]:
    with tempfile.TemporaryDirectory() as home:
        for lesson in modules():
            number = key_of(lesson)
            panel = Panel(lesson, Rules(), Path(home))
            panel.turn_answer()
            yield Row(f"lesson {number}: median slider move, kernel side", statistics.median(moves(panel)), BAR, "ms")
            panel.turn_pin()
            yield Row(f"lesson {number}: the same, side by side", statistics.median(moves(panel)), BAR, "ms")
            if sure.offers(lesson):
                panel.turn_sure()
                yield Row(f"lesson {number}: and how sure both are", statistics.median(moves(panel)), BAR, "ms")
