"""The kernels of the section `notebooks`: each a copy of one process, and none knows of another or stays behind."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

TWO = """
import os, sys, tests.kernels
from jupyter_client.manager import start_new_kernel
for n in "12":
    there = {**os.environ, "HERBCALC_HOME": n}
    _, client = start_new_kernel(kernel_name="python3", env=there, cwd=sys.argv[int(n)])
    ask = "import os; print('mine' in dir(), os.getcwd(), os.environ['HERBCALC_HOME']); mine = 1"
    client.execute_interactive(ask, timeout=60)
sys.stdout.flush()
os._exit(0)  # as one that is killed: nothing is tidied up
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this computer makes no copies of a process")
def test_two_kernels_share_nothing_and_end_with_whoever_asked_for_them(tmp_path):
    places = [tmp_path / "one", tmp_path / "two"]
    for place in places:
        place.mkdir()
    around = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])}
    words = [sys.executable, "-c", TWO, *map(str, places)]
    # It is over when nobody holds the other end of what it says any more, the kernels neither.
    ran = subprocess.run(words, env=around, capture_output=True, text=True, timeout=60)
    told = [line.split() for line in ran.stdout.splitlines()]
    assert told == [["False", str(place), str(n)] for n, place in enumerate(places, 1)], ran.stderr
