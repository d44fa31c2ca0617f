"""Floor 6. `hub`: the workbook for a class at one address, served by JupyterHub."""

from __future__ import annotations

import argparse

from herbcalc.run.typed import Unclear, Words, path, port

LINE = "readies one computer to serve the workbook to a whole class (JupyterHub)"
ABOUT = """\
Readies this computer to serve the workbook to a class: students open one address in a browser, log in, and each has
the workbook in a my-herb-sums folder of their own. It fetches JupyterHub and its proxy, writes a configuration that
can be read and changed, and says how to go on. It starts nothing, makes no account and opens nothing to the network.

Each student needs an account on this computer, with a password: that is what keeps their folders apart. Within it
they can run programs of their own, as in any notebook. So somebody who looks after the computer (whoever may type
sudo) goes through it with you. It has to be Linux; on a Mac it was not tried. Each student takes about 120 MB of its
memory, and 100 MB more for each lesson that is open.

FOLDER is where the configuration goes; without it, the folder .hub here (.hub-trial for a trial).
"""
AFTER = """\
--trial writes a configuration for looking at it by yourself: invented students, one password for all, and everything
runs in your own account. It keeps nobody's folder from anybody who knows how to ask for it. It is not for a class.

Typed again, the command brings the configuration up to date. One that you have changed stays beside it, with
'-kept-1' (2, 3 ...) in its name; the list of students is never touched.

Example:  hub
          hub /srv/herb-class --port 8100
          hub --trial
"""


def door(text: str) -> int:
    """The number in the address, with room for the two after it. Refuses (Unclear): none from 1024 to 65000."""
    if (number := port(text)) > 65000:
        raise Unclear("--port wants a whole number from 1024 to 65000 here: the two after it are used as well.")
    return number


def words(parser: Words) -> None:
    """What may stand behind it."""
    parser.optional("folder", path("The folder for the configuration has no name."), "where the configuration goes")
    parser.switch("--trial", "to look at it by yourself: invented students, no accounts; not for a class")
    usual = "the number in the address (without it: 8000); the two numbers after it are used as well"
    parser.option("--port", "8100", door, usual)


def run(asked: argparse.Namespace) -> int:
    """Fetch what is missing, write the configuration, and say how to go on."""
    from herbcalc.run import serving

    return serving.carry_out(asked.folder, asked.trial, asked.port or serving.PORT)
