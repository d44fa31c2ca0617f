"""One Python that has loaded what the tests need of other projects, nothing of ours; each run of tests is its child.

To start Python, numpy, pint, matplotlib and pytest costs more than most faults take to be noticed. A child by
`os.fork` has them already, and loads herbcalc and the tests afresh from the copy that it stands in. The libraries are
told as arguments. Each line is then a run, `[home, said, seconds it may take, [words for pytest ...]]` as JSON, and
is answered with its exit code: below 0 for a signal, the child's own clock where it took too long.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import signal
import sys
from collections.abc import Sequence


def run(home: str, said: str, patience: int, words: Sequence[str]) -> int:
    """In the child: run pytest; what it says goes into the file `said`."""
    signal.alarm(patience)
    os.environ["HERBCALC_HOME"] = home
    out = os.open(said, os.O_WRONLY | os.O_CREAT)
    for end, to in ((0, os.open(os.devnull, os.O_RDONLY)), (1, out), (2, out)):
        os.dup2(to, end)
    import pytest

    return pytest.main(list(words))


def _notice_only() -> None:
    """A test of laws that fails has noticed the fault: no time goes into the plainest figures at which it fails."""
    from hypothesis import Phase, settings

    settings.register_profile("notice only", settings.default, phases=(Phase.explicit, Phase.generate))
    settings.load_profile("notice only")


def main(libraries: Sequence[str]) -> int:
    """Load the libraries, then run what is asked for until nobody asks any more."""
    for name in libraries:
        importlib.import_module(name)
    if "hypothesis" in libraries:
        _notice_only()
    gc.collect()
    gc.freeze()  # pages that nobody counts through stay shared with the children
    for line in iter(sys.stdin.readline, ""):
        child = os.fork()
        if child == 0:
            return run(*json.loads(line))
        print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
