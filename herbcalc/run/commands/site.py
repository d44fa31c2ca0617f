"""Floor 6. `site`: builds the workbook as a web site."""

from __future__ import annotations

import argparse

from herbcalc.run.typed import Words, path, port

LINE = "builds the workbook as a website for those who can install nothing"
ABOUT = """\
Builds the workbook as a web site that needs nothing installed: a student opens it in a browser, and Python runs
inside that browser. The first build fetches about 200 MB and takes a minute or two; later ones need no network.

With --class FILE your house rules and class code come with it: the file is looked through, and goes into the
my-herb-sums of everyone who opens the site. The README shows what can stand in it.

Put the finished folder on any web host, at an https:// address: after a first visit a browser opens it without a
network too, and its front page says when it is ready for that. Opening its files straight from a disk does not
work: browsers do not allow it. To try it on this computer, add --serve.
"""
AFTER = """\
What students should know: their work is kept in their own browser, on that one computer, under that one address.
Nothing is sent anywhere. To hand in homework they press "Save my answers to hand in" and send the file that lands
among their downloads; the start page takes that file in again, on another computer too. Clearing the browser's data
deletes their work. A newer site takes the place of the older one when all its pages are closed; a lesson they have
changed stays as they left it, and Delete in the list of files brings the newer one.
"""


def words(parser: Words) -> None:
    """What may stand behind it."""
    to = path("--to wants the folder for the site behind it.")
    sheet = path("--class wants the path of your class.toml behind it.")
    parser.option("--to", "FOLDER", to, "where to put the site (without it: .site/site in the checkout)")
    parser.option("--class", "FILE", sheet, "your class.toml, to come with the site")
    parser.switch("--again", "build it even if nothing has changed since the last time")
    parser.switch("--serve", "then show it on this computer, until you press Ctrl+C")
    parser.option("--port", "8890", port, "for --serve: the number in the address")


def run(asked: argparse.Namespace) -> int:
    """Build it, and serve it where that is asked for.

    Whether a class.toml can be used, the workbook's parts know; with one it is done inside the environment.
    """
    from herbcalc import site
    from herbcalc.run import environment

    if asked.class_ is not None and (code := environment.carried_out("site", asked.words)) is not None:
        return code
    return site.carry_out(asked.to, asked.class_, asked.again, asked.serve, asked.port or site.PORT)
