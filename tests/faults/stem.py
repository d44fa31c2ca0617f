"""One Python that has loaded what the tests need of other projects, nothing of ours; each run of tests is its child.

To start Python, numpy, pint, matplotlib and pytest costs more than most faults take to be noticed. A child by
`os.fork` has them already, and loads herbcalc and the tests afresh from the copy that it stands in. Told as arguments
are the seconds that a run may take and the libraries. Each line is then a run, `[home, said, [words for pytest ...]]`
as JSON, and is answered with its exit code: below 0 for a signal, the child's own clock where it took too long.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import signal
import sys
from collections.abc import Sequence


def run(patience: int, home: str, said: str, words: Sequence[str]) -> int:
    """In the child: run pytest; what it says goes into the file `said`."""
    signal.alarm(patience)
    os.environ["HERBCALC_HOME"] = home
    out = os.open(said, os.O_WRONLY | os.O_CREAT)
    for end, to in ((0, os.open(os.devnull, os.O_RDONLY)), (1, out), (2, out)):
        os.dup2(to, end)
    import pytest

    return pytest.main(list(words))


def main(patience: int, libraries: Sequence[str]) -> int:
    """Load the libraries, then run what is asked for until nobody asks any more."""
    for name in libraries:
        importlib.import_module(name)
    gc.collect()
    gc.freeze()  # pages that nobody counts through stay shared with the children
    for line in iter(sys.stdin.readline, ""):
        child = os.fork()
        if child == 0:
            return run(patience, *json.loads(line))
        print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), sys.argv[2:]))
