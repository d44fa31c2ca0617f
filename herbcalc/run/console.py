"""Floor 6. How the commands are called and how they speak. Standard library only, in words that Python 3.6 can read.

`launch` imports it before it has looked at the version of Python.
"""

import sys

ME = "py -m herbcalc" if sys.platform == "win32" else "python3 -m herbcalc"


def say(text: str) -> None:
    """Print at once, also where the output goes through a pipe."""
    print(text, flush=True)
