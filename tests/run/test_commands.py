"""The words of the command line: a file is a command, each explains itself, and what does not fit gets a sentence."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from herbcalc import __version__, launch, site
from herbcalc.run import commands, copies, environment, lab, typed
from herbcalc.run.console import ME

NOT_OURS = re.compile(r"\b(error|invalid|wrong|usage|argument|unrecognized|traceback|optional)\b", re.IGNORECASE)


@pytest.fixture(autouse=True)
def nothing_starts(monkeypatch):
    """Words that should have been refused must not set up, build or open anything here."""

    def started(*what, **how):
        raise AssertionError(f"this was started: {what} {how}")

    for place, name in ((lab, "open_workbook"), (environment, "call"), (site, "carry_out"), (copies, "fresh")):
        monkeypatch.setattr(place, name, started)


@pytest.mark.parametrize("name", commands.names())
@pytest.mark.parametrize("ask", ["{} --help", "{} -h", "help {}"])
def test_each_command_explains_itself(name, ask, capsys):
    assert launch.main(ask.format(name).split()) == 0
    said = capsys.readouterr().out
    assert said.startswith(ME if name == commands.FIRST else f"{ME} {name}")
    assert commands.command(name).ABOUT in said
    assert len(commands.command(name).ABOUT) > 80
    assert not NOT_OURS.search(said)
    for action in commands.parser(name)._actions:  # each word that it takes is explained
        assert (action.option_strings or [action.dest.upper()])[0] in said


@pytest.mark.parametrize("words", [["help"], ["--help"], ["-h"], ["help", "me"]])
def test_help_lists_every_command(words, capsys):
    assert launch.main(words) == 0
    said = capsys.readouterr().out
    assert {"fresh", "pack", "ready", "site", "test", "open"} <= set(commands.names())
    for name in commands.names():
        assert commands.command(name).LINE in said
    assert said.index(commands.command(commands.FIRST).LINE) < said.index(commands.command("fresh").LINE)


def test_the_list_of_commands_loads_the_standard_library_only():
    code = "import sys; from herbcalc import launch; launch.main(['help']); print(*sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    loaded = {name.split(".")[0] for name in ran.stdout.splitlines()[-1].split()}
    assert not loaded & {"numpy", "pint", "ipywidgets", "jupyterlab"}


WEIGH_IN = """
LINE = "weighs a basket"
ABOUT = "Weighs a basket."
def words(parser):
    parser.one("basket", str, "which one")
    parser.switch("--twice", "weigh it twice")
def run(asked):
    print("weighed", asked.basket, asked.twice, asked.words)
    return 7
"""


def test_one_more_command_is_one_file(tmp_path, monkeypatch, capsys):
    (tmp_path / "weigh_in.py").write_text(WEIGH_IN, encoding="utf-8")
    monkeypatch.setattr(commands, "__path__", [*commands.__path__, str(tmp_path)])
    try:
        assert launch.main(["weigh-in", "willow", "--twice"]) == 7
        assert capsys.readouterr().out == "weighed willow True ['willow', '--twice']\n"
        launch.main(["help"])
        assert "weigh-in BASKET" in capsys.readouterr().out
        assert launch.main(["weigh-im"]) == 2
        assert 'Did you mean "weigh-in"?' in capsys.readouterr().out
    finally:
        sys.modules.pop("herbcalc.run.commands.weigh_in", None)


@pytest.mark.parametrize("words", [["--version"], ["fresh", "--version"]])
def test_the_version_is_said(words, capsys):
    assert launch.main(words) == 0
    assert capsys.readouterr().out == f"herbcalc {__version__}\n"


ENDLESS = "9" * 5000
PORT = "--port wants a whole number from 1024 to 65535"
LESSON = "Say the number of one lesson"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (["tset"], 'There is no command "tset". Did you mean "test"?'),
        (["Fresh", "5"], 'There is no command "Fresh". Did you mean "fresh"?'),
        (["xyz"], 'There is no command "xyz".\n'),
        (["fresh"], LESSON),
        (["fresh", "five"], LESSON),
        (["fresh", "²"], LESSON),
        (["fresh", "٥"], LESSON),
        (["fresh", "-5"], LESSON),
        (["fresh", ENDLESS], LESSON),
        (["fresh", "5", "6"], 'Nothing more was expected here, and "6" was typed.'),
        (["--port"], PORT),
        (["--port", "80"], PORT),
        (["--port", "1023"], PORT),
        (["--port", "65536"], PORT),
        (["--port", "²"], PORT),
        (["--port", ENDLESS], PORT),
        (["--port=x"], PORT),
        (["open", "--port", "8890.5"], PORT),
        (["site", "--port", "²"], PORT),
        (["hub", "--port", "80"], PORT),
        (["hub", "--port", "65534"], "from 1024 to 65000 here"),
        (["hub", "here", "there"], 'Nothing more was expected here, and "there" was typed.'),
        (["hub", ""], "The folder for the configuration has no name."),
        (["site", "--to"], "--to wants the folder for the site behind it."),
        (["site", "--class"], "--class wants the path of your class.toml behind it."),
        (
            ["site", "--to", "~nobody-of-that-name/x"],
            "Nobody on this computer is called nobody-of-that-name. --to wants",
        ),
        (["pack", "--to"], "--to wants the folder behind it"),
        (["site", "foo"], 'Nothing more was expected here, and "foo" was typed.'),
        (["site", "--serv"], '"--serv" was typed. Did you mean "--serve"?'),
        (["site", "--serve=yes"], "does not go together"),
        (["--prot"], '"--prot" was typed. Did you mean "--port"?'),
        (["ready", "now"], '"now" was typed.'),
        (["sheets"], "Say your class code and then the students' numbers"),
        (["sheets", "fern7"], "Say which own numbers the students of fern7 have"),
        (["sheets", "--", "1-18"], "Say which own numbers"),
        (["sheets", "!?", "3"], "A class code has at least one letter or digit"),
        (["sheets", "f" * 61, "3"], "and 60 at most"),
        (["sheets", "fern7", "0-3"], '"0-3" says no own numbers. They run from 1 to 99'),
        (["sheets", "fern7", "18-1"], "the smaller one first"),
        (["sheets", "fern7", "1-100"], "They run from 1 to 99"),
        (["sheets", "fern7", "²"], "says no own numbers"),
        (["sheets", "fern7", "1-" + ENDLESS], "says no own numbers"),
        (["sheets", "fern7", "3", "--paper", "A5"], "--paper wants A4 or letter"),
        (["sheets", "fern7", "3", "--to"], "--to wants the folder behind it"),
        (["sheets", "fern7", "3", "--large"], 'Did you mean "--large-print"?'),
        (["type-in"], "Say your class code and then the student's own number"),
        (["type-in", "fern7"], "Say the student's own number too"),
        (["type-in", "!?", "3"], "A class code has at least one letter or digit"),
        (["type-in", "fern7", "1-18"], "One student at a time"),
        (["type-in", "fern7", "100"], '"100" is not one own number from 1 to 99'),
        (["type-in", "fern7", "3", "4"], "Nothing more was expected here"),
        (["type-in", "fern7", "3", "--to"], "--to wants the folder behind it"),
        (["test", "sum"], 'There is no section "sum". There are: style, sums, notebooks, browser'),
    ],
)
def test_what_does_not_fit_gets_a_sentence(typed, sentence, capsys):
    assert launch.main(typed) == 2
    heard = capsys.readouterr()
    assert sentence in heard.out
    assert "--help" in heard.out
    assert not heard.err
    assert not NOT_OURS.search(heard.out)


@pytest.mark.parametrize(
    ("typed", "port"), [([], None), (["--port", "1024"], 1024), (["open", "--port=65535"], 65535)]
)
def test_the_number_in_the_address_is_handed_on(typed, port, monkeypatch):
    asked = []
    monkeypatch.setattr(lab, "open_workbook", lambda port: asked.append(port) or 0)
    assert launch.main(typed) == 0
    assert asked == [port]


def test_the_number_of_a_lesson_is_handed_on(monkeypatch, capsys):
    monkeypatch.setattr(copies, "fresh", lambda number: ["copied"] if number == 5 else [])
    assert launch.main(["fresh", "05"]) == 0
    assert launch.main(["fresh", "77"]) == 2
    assert capsys.readouterr().out == "copied\nThere is no lesson 77 in this workbook.\n"


def test_ctrl_c_is_no_fault(monkeypatch, capsys):
    def stop(port):
        raise KeyboardInterrupt

    monkeypatch.setattr(lab, "open_workbook", stop)
    assert launch.main([]) == 130
    assert "Nothing is lost" in capsys.readouterr().out


@pytest.mark.parametrize("words", [["a"], ["--deep", "b", "a"], ["a", "--deep", "b"], ["--flat", "a", "--deep=b"]])
def test_words_may_stand_in_any_order(words):
    parser = typed.Words("weigh")
    parser.one("what", str, "what to weigh")
    parser.option("--deep", "B", str, "how deep", default="b")
    parser.switch("--flat", "flat")
    asked = parser.read(words)
    assert (asked.what, asked.deep, asked.flat, asked.words) == ("a", "b", "--flat" in words, words)
