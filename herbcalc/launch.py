"""Floor 6. The way in: looks whether this Python is new enough, and says a sentence where it is not.

Standard library only, and in words that Python 3.6 can read: a computer whose `python3` is too old must get a
sentence from here, never a traceback. So nothing newer is imported before `main` has looked at the version.
"""

import shutil
import subprocess
import sys
from typing import List, Optional

from herbcalc.run.console import say

OLDEST = (3, 11)


def main(typed: Optional[List[str]] = None) -> int:
    """Carry out one command line, and give back the exit code: 0 when all went well.

    typed: the words after `python3 -m herbcalc`; None takes them from the command line.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # an old Windows console cannot show every letter of a folder's name
            stream.reconfigure(errors="replace")
    if sys.version_info < OLDEST:
        say(too_old())
        return 2
    from herbcalc.run import commands

    return commands.carry_out(list(sys.argv[1:] if typed is None else typed))


def too_old() -> str:
    """The sentence for a Python that is too old, with the name of a newer one where this computer has one."""
    have, need = ".".join(map(str, sys.version_info[:3])), ".".join(map(str, OLDEST))
    text = f"This is Python {have}, and herbcalc needs Python {need} or newer. "
    for newer in ("python3.14", "python3.13", "python3.12", "python3.11"):
        if shutil.which(newer) and subprocess.call([newer, "-c", ""], stderr=subprocess.DEVNULL) == 0:
            return text + f"This computer has a newer one as well. Type:  {newer} -m herbcalc"
    return (
        text
        + "Fetch a newer one from https://www.python.org/downloads/ or from your system's software shop, "
        + "then type the same again."
    )
