"""`type-in`: what a paper student wrote, keyed by the teacher; looked at and kept at once, whatever comes."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
import threading
from html import unescape

import pytest

from herbcalc import homework, launch, person
from herbcalc.homework import results
from herbcalc.person.writing import locked
from herbcalc.run import environment, keying, printing
from herbcalc.show import lesson, question, sheets

WHO = person.Me("fern7", 12)


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A person's folder, and the Python at hand."""
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("HERBCALC_ENV", "here")
    return tmp_path / "home"


@pytest.fixture
def file(home):
    """Where the answers of number 12 go."""
    return person.answers_path(WHO, home / "typed-in")


@pytest.fixture
def keyed(monkeypatch, capsys):
    """Types lines into the command, and gives what it said, blanks and ends of lines made one."""

    def type_them(*lines, questions="5", to=(), ends_with=0):
        monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
        assert launch.main(["type-in", "Fern 7", "12", "--questions", questions, *to]) == ends_with
        return " ".join(capsys.readouterr().out.split())

    return type_them


def kept(file):
    """What a file holds, an answer each: item, typed, sure, ticked, mended."""
    answers, notes = results.read(file)
    assert notes == []
    return [(a.item, a.typed, a.sure, a.ticked, a.mended) for a in answers]


def right(code, number=12):
    """A text that is right for an item of the class."""
    return homework.item(*map(int, code.split(".")), "fern7", number).answers()[0]


# --- what is asked, and what becomes of an answer ------------------------------------------------------------------


def test_the_file_is_that_of_a_screen_byte_for_byte(home, file, keyed, monkeypatch):
    keyed(right("5.1"), "0.3 oz; S", "b ; fairly", "More water comes from the plant", "2", questions="5.1-5.3,5.8")
    monkeypatch.setenv("HERBCALC_HOME", str(home / "of-a-student"))
    person.save_me(WHO.class_code, WHO.number)
    here = lesson(5)
    for number, typed, sure in ((1, right("5.1"), ""), (2, "0.3 oz", "sure"), (3, "b", "fairly")):
        card = here.item(number)
        card.place.value, card.sure.value = typed, sure or "guessing"
        card.check()
    card = here.item(8)
    card.place.value, card.sure.value = "More water comes from the plant", "guessing"
    card.check()
    card.ticks[1].value = True
    on_screen = person.answers_path(WHO).read_text("utf-8").replace('"sure": "guessing"', '"sure": ""')
    assert file.read_text("utf-8") == on_screen
    assert on_screen.count("\n") == 5
    assert list(file.parent.iterdir()) == [file]  # a folder of answers for `overview`, and nothing else in it


@pytest.mark.parametrize(("code", "number"), [("fern7", 12), ("moss2", 99)])
def test_the_paper_and_the_screen_go_along(code, number, home, monkeypatch, capsys):
    """The same questions in the same order with the same figures, letters and lines."""
    asked = "1.6,1.7,4,5.3,6.5,12.7"
    items = [homework.item(*each, code, number) for each in printing.chosen(asked)]
    paper = [
        " ".join(unescape(re.sub(r"<[^>]+>", " ", part.split('<div class="herb-work">')[0])).split())
        for part in re.split(r"<article[^>]*>", sheets.sheet(items))[1:]
    ]
    monkeypatch.setattr(sys, "stdin", io.StringIO("?\n\n" * len(items)))
    assert launch.main(["type-in", code, str(number), "--questions", asked]) == 0
    screen = re.split(r"\n\n  (?=\d+\.\d+  \()", capsys.readouterr().out)[1:]
    assert len(screen) == len(paper) > 10
    for place, (on_paper, on_screen) in enumerate(zip(paper, screen, strict=True), 1):
        item, said = on_paper.split(" class ")[0].split()[0], " ".join(on_screen.split())
        assert said.startswith(f"{item} ({place} of {len(paper)}) ")
        whole = said.split("> ? ", 1)[1].split(f" {' '.join(keying.HOW.split())}")[0]
        assert whole == on_paper.removeprefix(f"{item} class {code}, number {number} ")
    assert "12 3/4" in paper[0] or any(sign.isdigit() for sign in paper[0])
    assert not person.answers_path(person.Me(code, number), home / "typed-in").exists()  # nothing was answered


def test_what_was_read_and_the_verdict_are_said(home, file, keyed):
    slip = homework.item(5, 1, "fern7", 12).slip_answers()
    said = keyed(next(iter(slip.values())), right("5.2"), right("5.3"), questions="5.1-5.3")
    assert re.search(r"I read \d+(\.\d+)? mL\. Not yet\. That number comes out if somebody takes the solids", said)
    assert re.search(r"I read [\d.]+ % vol\. Yes, that is it\.", said)
    item = homework.item(5, 3, "fern7", 12)
    chosen = next(line for line in item.choices if line[0] == right("5.3")[0])
    assert f"{chosen} Yes, that is it." in said
    assert "3 of 3 questions have an answer" in said
    text = file.read_text("utf-8")
    assert "Yes" not in text
    assert "slip" not in text


def test_the_same_answer_typed_again_is_no_second_try(file, keyed):
    keyed("30 mL; sure", "fix", "30 mL; sure", "fix", "30 mL", "stop", questions="5.1")
    assert [(typed, sure) for _, typed, sure, *_ in kept(file)] == [("30 mL", "sure"), ("30 mL", "")]


def test_points_are_ticked_and_a_line_is_mended(home, file, keyed):
    sentence, letter = "It gets weaker with plant water", right("6.6")
    said = keyed(sentence, "4", "1, 3", letter, "520 mL", questions="5.8,6.6")
    assert homework.item(5, 8, "fern7", 12).points[2] in said
    assert "Type the numbers of the points, from 1 to 3; 0 for none of them." in said
    assert "As it should be: " in said
    assert "= 520 mL" in said
    assert kept(file) == [
        ("5.8", sentence, "", (), ""),
        ("5.8", sentence, "", (1, 3), ""),
        ("6.6", letter, "", (), ""),
        ("6.6", letter, "", (), "520 mL"),
    ]
    said = keyed("go 5.8", sentence, "0", "stop", questions="5.8,6.6")  # the same again: only its ticks are new
    assert 'Kept: "It gets weaker with plant water"; ticked 1, 3. Enter leaves it so.' in said
    assert kept(file)[4:] == [("5.8", sentence, "", (), "")]
    item = homework.item(5, 8, "fern7", 12)
    assert [one.ticked for one in results.tries(results.read(file)[0], item)] == [()]


def test_a_word_beside_an_answer_leads_on(home, file, keyed):
    """Where points are to be ticked, back is the way to the sentence once more, and no tick."""
    said = keyed("28", "It gets weaker", "back", "It gets weaker with plant water", "stop", questions="5.2,5.8")
    assert said.count("5.8 (2 of 2)") == 2
    assert [row[1:4:2] for row in kept(file)] == [
        ("28", ()),
        ("It gets weaker", ()),
        ("It gets weaker with plant water", ()),
    ]


# --- words ---------------------------------------------------------------------------------------------------------


def test_back_fix_go_and_stop(home, file, keyed):
    said = keyed(
        *("back", "fix", "24 mL", "", "fix", "240 mL", "GO 5.5", "64 % vol", "back", "go 9.1", "go", "go 5", "stop"),
        right("5.1"),
    )
    assert "This is the first question." in said
    assert "There is no answer yet that could be fixed." in said
    assert 'Kept: "24 mL". Enter leaves it so.' in said
    assert '"go 9.1" leads to no question of this sheet, which runs from 5.1 to 5.7.' in said
    assert re.search(r"5\.1 \(1 of 8\)[^(]*\([^(]*\)[^(]*\([^(]*\)[^>]*> stop", said)
    assert "2 of 8 questions have an answer" in said
    assert "Without an answer: 5.2, 5.3, 5.8, 5.4, 5.6, 5.7." in said
    assert [row[:2] for row in kept(file)] == [("5.1", "24 mL"), ("5.1", "240 mL"), ("5.5", "64 % vol")]


@pytest.mark.parametrize("code", homework.items(), ids=lambda code: "{}.{}".format(*code))
def test_no_word_is_ever_an_answer(code):
    """Whatever is asked, a word that leads somewhere could not have been meant as an answer that counts."""
    item = homework.item(*code, "fern7", 12)
    for word in [*keying.WORDS, "go", *question.SURE]:
        said = item.check(word)
        assert said.verdict == ("not yet" if item.kind == "sentence" and any(map(str.isalnum, word)) else "unread")
        assert said.read == ""


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("; sure", "How sure stands behind an answer"),
        ("Guessing", "How sure stands behind an answer"),
        ("x" * 501, "That is 501 characters long, and up to 500 can be kept."),
        ("24\x1b[D1 mL", "Some signs there did not come through"),
        ("50 \ufffd mL", "Some signs there did not come through"),
        ("bakc", '"bakc" is no answer and no word of ours, so nothing was kept. Did you mean "back"?'),
        ("Stopp", 'Did you mean "stop"?'),
        ("\x00", "Some signs there did not come through"),
    ],
)
def test_silly_lines_get_a_kind_sentence_and_are_not_kept(typed, sentence, home, file, keyed):
    said = keyed(typed, "240 mL")
    assert sentence in said
    assert [row[:3] for row in kept(file)] == [("5.1", "240 mL", "")]


@pytest.mark.parametrize(
    "typed",
    ["<b>240</b>", "b", "no idea", "'; drop", "٣ mL", "9**9**9", "日本", "é" * 500, "240\xa0mL", "\u202e1"],
)
def test_what_looks_odd_is_kept_as_it_was_typed(typed, home, file, keyed):
    keyed(f" \ufeff{typed}\t")
    assert kept(file)[0][1] == typed


def test_pasted_lines_come_one_after_the_other(home, file, keyed, monkeypatch):
    pasted = iter(["240 mL; g\r\n\n b\n", ""])  # a window hands over what was pasted in one piece
    monkeypatch.setattr("builtins.input", lambda _label: next(pasted))
    said = keyed(questions="5.1-5.3")
    assert kept(file) == [("5.1", "240 mL", "guessing", (), ""), ("5.3", "b", "", (), "")]
    assert "That was the last question. Without an answer: 5.2." in said


# --- broken off and gone on with -----------------------------------------------------------------------------------


def test_it_goes_on_after_the_last_one_and_says_so(home, file, keyed):
    assert "already" not in keyed("240 mL", "", "b", "stop")
    said = keyed()  # nothing more is typed: the end of input
    assert "2 of them have an answer in the file already. It goes on after the last one, 5.3." in said
    assert "Without an answer: 5.2." in said
    assert "5.8 (4 of 8)" in said
    assert "5.3 (3 of 8)" not in said
    keyed("go 5.7", "100 mL")
    said = keyed("fix", "5 oz", "nothing", "", "240 mL")
    assert "It goes on after the last one, 5.7." in said
    assert "That was the last question. Without an answer: 5.2, 5.8, 5.4, 5.5, 5.6." in said
    assert "All have been asked. go 5.1, for one, takes you back there" in said
    assert [row[:2] for row in kept(file)][2:] == [("5.7", "100 mL"), ("5.7", "5 oz")]


def test_ctrl_c_costs_nothing(home, file, keyed, monkeypatch):
    lines = iter(["240 mL"])

    def typed(_label):
        for line in lines:
            return line
        raise KeyboardInterrupt

    monkeypatch.setattr("builtins.input", typed)
    assert "Stopped. Nothing is lost; the next start goes on from here." in keyed(ends_with=130)
    assert [row[:2] for row in kept(file)] == [("5.1", "240 mL")]


KILLED = """
import io, os, signal, sys
from pathlib import Path
from herbcalc import launch, person
from herbcalc.homework import results
from herbcalc.run import keying

def sitting(number, lines):
    '''One sitting in a process of its own; gives its number, where to type, and where it speaks.'''
    (hear, say), (their, type_) = os.pipe(), os.pipe()
    child = os.fork()
    if not child:
        os.close(hear), os.close(type_)
        sys.stdin, sys.stdout = open(their, encoding="utf-8"), open(say, "w", encoding="utf-8")
        os._exit(launch.main(["type-in", "fern7", str(number), "--questions", "1.1-1.4"]))
    os.close(say), os.close(their)
    os.write(type_, "".join(f"{line}\\n" for line in lines).encode())
    return child, type_, open(hear, encoding="utf-8", errors="replace")

sys.stdin, sys.stdout, screen = io.StringIO(""), io.StringIO(), sys.stdout
launch.main(["type-in", "fern7", "99", "--questions", "1"])  # what is loaded here, no child loads
sys.stdout = screen
told = lost = 0
for number in range(1, 51):
    lines = [f"{number}{n} g" for n in range(4)]
    child, type_, hear = sitting(number, lines)
    sure = []
    for line in hear:
        if line.startswith('  Kept: "'):
            sure.append(line.split('"')[1])
            if len(sure) > number % 4:
                break
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0), os.close(type_), hear.close()
    file = person.answers_path(person.Me("fern7", number), Path(os.environ["HERBCALC_HOME"], "typed-in"))
    answers, notes = results.read(file)
    held = [answer.typed for answer in answers]
    assert held == lines[:len(held)] and not notes, (held, notes)
    lost += held[:len(sure)] != sure
    told += len(sure)
    child, type_, hear = sitting(number, [])
    os.close(type_)
    said = " ".join(hear.read().split())
    assert os.waitpid(child, 0)[1] == 0 and f"It goes on after the last one, 1.{len(held)}." in said, said
print(told, lost)
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="a computer without fork cannot do this cheaply")
def test_killed_fifty_times_no_answer_that_was_told_of_is_lost(home):
    ran = subprocess.run([sys.executable, "-c", KILLED], capture_output=True, text=True, timeout=120)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.split() == ["125", "0"]


def test_a_torn_line_is_named_and_closed(home, file, keyed):
    keyed("240 mL", "stop")
    with file.open("ab") as raw:
        raw.write(b'{"schema": 2, "herb')
    assert "this last line is torn off, so it was left out" in keyed("28 % vol", "stop")
    lines = file.read_text("utf-8").splitlines()
    assert [json.loads(lines[0])["item"], lines[1], json.loads(lines[2])["item"]] == [
        "5.1",
        '{"schema": 2, "herb',
        "5.2",
    ]


def test_a_disk_that_is_full_stops_it_in_a_sentence(home, file, keyed, monkeypatch):
    def full(*_):
        raise results.NotSaved("The disk is full. What you typed still stands on the screen.")

    monkeypatch.setattr(results, "append", full)
    said = keyed("240 mL", "28 % vol", ends_with=1)
    assert said.endswith("> 240 mL The disk is full. What you typed still stands on the screen.")
    assert "Kept" not in said


def test_two_windows_take_turns(home, file, keyed, monkeypatch):
    """The second waits, says so, and goes on after what the first has typed."""
    waits, said = threading.Event(), []
    monkeypatch.setattr(
        keying, "say", lambda text: (said.append(text), waits.set() if text == keying.WAITING else None)
    )
    monkeypatch.setattr(sys, "stdin", io.StringIO("28 % vol\nstop\n"))
    (home / keying.LOCKS).mkdir(parents=True)
    first = (home / keying.LOCKS / file.stem).open("ab", buffering=0)
    with first, locked(first):
        second = threading.Thread(target=keying.carry_out, args=("fern7", 12, "5"))
        second.start()
        while second.is_alive() and not waits.wait(0.05):
            pass
        assert waits.is_set()
        results.append(file, results.answer_to(homework.item(5, 1, "fern7", 12), "240 mL"))
    second.join(20)
    assert not second.is_alive()
    assert "It goes on after the last one, 5.1." in " ".join(" ".join(said).split())
    assert [row[:2] for row in kept(file)] == [("5.1", "240 mL"), ("5.2", "28 % vol")]


# --- where the file lies, and in which window it is typed ----------------------------------------------------------


def test_it_never_mixes_with_the_teachers_own_answers(home, file, keyed, tmp_path):
    home.mkdir()
    person.save_me("fern7", 12)
    own = person.answers_path(WHO)
    results.append(own, results.answer_to(homework.item(5, 1, "fern7", 12), "190 mL"))
    handed_in = person.hand_in(WHO)
    for folder in (home, home / "typed-in" / "..", handed_in.parent):
        said = keyed("240 mL", to=("--to", str(folder)), ends_with=1)
        assert "Answers of your own have their place in" in said
        assert str(home / "typed-in") in said
    linked = tmp_path / "linked"
    linked.mkdir()
    if hasattr(os, "fork"):  # Windows lets only some make a link
        (linked / own.name).symlink_to(own)
        assert "Answers of your own" in keyed("240 mL", to=("--to", str(linked)), ends_with=1)
    keyed("240 mL")
    keyed("250 mL", to=("--to", str(tmp_path / "class")))
    assert [[row[1] for row in kept(path)] for path in (own, handed_in, file)] == [["190 mL"], ["190 mL"], ["240 mL"]]
    assert [row[1] for row in kept(person.answers_path(WHO, tmp_path / "class"))] == ["250 mL"]


def test_what_is_in_the_way_is_named(home, file, keyed, tmp_path):
    file.mkdir(parents=True)
    assert "is in the way. Move it" in keyed(ends_with=1)
    (tmp_path / "in-the-way").write_text("")
    assert "is in the way. Move it" in keyed(to=("--to", str(tmp_path / "in-the-way")), ends_with=1)


def test_the_class_of_the_teacher(home, keyed, file):
    home.mkdir()
    (home / "class.toml").write_text('class = "moss2"\nset_work = true\nopen = [1]\n', encoding="utf-8")
    said = keyed("240 mL", "stop")
    assert "Your class.toml says class moss2; the figures here are those of class fern7." in said
    assert keying.SET_WORK in said
    assert "Not yet." in said  # kept from the students' screens, not from who marks


def test_without_questions_the_lessons_that_are_open(home, monkeypatch, capsys):
    home.mkdir()
    (home / "class.toml").write_text("open = [1]\n", encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    assert launch.main(["type-in", "fern7", "12"]) == 0
    assert "lesson 1: 8 questions in the sheet's order." in capsys.readouterr().out


def test_a_window_with_other_letters(home, file):
    """What it cannot spell is told; nothing stops, neither going in nor coming out."""
    surroundings = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    words = [sys.executable, "-m", "herbcalc", "type-in", "fern7", "12", "--questions", "3.5"]
    typed = "25 °C\r\n22 C\r\n".encode("latin-1")
    ran = subprocess.run(words, input=typed, capture_output=True, env=surroundings, timeout=60)
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert keying.UNREADABLE in " ".join(ran.stdout.decode("ascii").split())
    assert [row[:2] for row in kept(file)] == [("3.5", "22 C")]


def test_inside_the_environment_where_that_is_kept_apart(monkeypatch):
    asked = []
    monkeypatch.delenv("HERBCALC_ENV", raising=False)
    monkeypatch.setattr(environment, "call", lambda *what: asked.append(what) or 5)
    assert launch.main(["type-in", "fern7", "3", "--questions", "5"]) == 5
    assert asked[0][:2] == (("workbook",), ["-m", "herbcalc", "type-in", "fern7", "3", "--questions", "5"])
