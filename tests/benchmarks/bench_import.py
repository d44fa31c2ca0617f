"""`from herbcalc import menstruum` against `import pint`: processor time, each in a fresh interpreter."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.run import Row

ROOT = Path(__file__).parents[2]
ROUNDS = 15


def seconds(statement: str) -> float:
    code = f"import time; start = time.process_time(); {statement}; print(time.process_time() - start)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True)
    return float(done.stdout)


def rows() -> Iterator[Row]:
    ours, pints = [], []
    for _ in range(ROUNDS):  # by turns, so that a busy moment falls on both
        pints.append(seconds("import pint"))
        ours.append(seconds("from herbcalc import menstruum"))
    # The fastest of each: whatever else the machine does only adds.
    yield Row("from herbcalc import menstruum, against import pint", min(ours) / min(pints), 1.25, "x")
