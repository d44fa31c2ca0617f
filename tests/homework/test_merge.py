"""Answers of another file of one's own come in: each once, none lost, whatever ends it; what was there stays."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from herbcalc.homework import item, order, progress, results
from herbcalc.homework.handed_in import File, Paper, looked_at
from herbcalc.person import Me, answers_path

WHO = ("fern7", 12)
NAME = answers_path(Me(*WHO), Path()).name


def answer(number, typed=None, day="2026-03-02", tier=1, lesson=5, **more):
    one = item(lesson, number, *WHO)
    return results.answer_to(one, one.answers()[0] if typed is None else typed, "sure", tier, day, **more)


def an_evening(days=("2026-03-02", "2026-03-09"), seed=3):
    """Answers right and not, some with help, ticks that came after, a fresh set, and one text typed twice."""
    chance, found = random.Random(seed), []
    for day in days:
        for number in order(5):
            typed = chance.choice([None, "9 mL", "no idea"])
            found.append(answer(number, typed, day, chance.choice([1, 1, 3])))
        found += [
            answer(8, "Its water thins the spirit.", day),
            answer(8, "Its water thins the spirit.", day, ticked=(1,)),
        ]
        found += [answer(2, "9 mL", day), answer(2, "9 mL", day), results.fresh_set(item(5, 2, *WHO, 2), 4, day)]
    return found


def kept(file):
    answers, notes = results.read(file)
    assert notes == []
    return answers


def laid(folder, answers):
    file = folder / NAME
    for one in answers:
        results.append(file, one)
    return file


def states(file):
    return progress.states(results.read(file)[0], *WHO)


def handed(file):
    """What another computer reads of the file that was saved here."""
    paper = looked_at(file.read_bytes(), File(file.name, file.name))
    assert isinstance(paper, Paper)
    return paper.answers


def test_on_a_new_computer_it_is_the_very_file_and_all_stands_as_it_did(tmp_path):
    here, there = laid(tmp_path / "here", an_evening()), tmp_path / "there" / NAME
    assert results.merge(there, handed(here)) == len(an_evening())
    assert there.read_bytes() == here.read_bytes()
    assert states(there) == states(here)
    assert len(set(states(here).values())) > 2


def test_twice_adds_nothing_and_what_is_there_stays_to_the_byte(tmp_path):
    file = laid(tmp_path, an_evening()[:9])
    before = file.read_bytes()
    assert results.merge(file, an_evening()) == len(an_evening()) - 9 == len(kept(file)) - 9
    after = file.read_bytes()
    assert after.startswith(before)
    assert results.missing(file, an_evening()) == []
    assert results.merge(file, an_evening()) == 0
    assert file.read_bytes() == after


def test_two_computers_that_load_each_others_file_say_the_same(tmp_path):
    """Each worked on days of its own, and on one thing both did alike."""
    alike = answer(1, day="2026-03-05")
    one = laid(tmp_path / "one", [*an_evening(("2026-03-02", "2026-03-09"), 1), alike])
    two = laid(tmp_path / "two", [alike, *an_evening(("2026-03-04", "2026-03-11"), 2)])
    first, second = handed(one), handed(two)
    results.merge(one, second)
    results.merge(two, first)
    assert Counter(kept(one)) == Counter(kept(two)) == Counter(first) | Counter(second)
    assert states(one) == states(two)
    assert [progress.last_worked(kept(file), *WHO) for file in (one, two)] == [an_evening(seed=2)[-1].item] * 2


def test_what_comes_from_earlier_days_does_not_become_what_was_typed_last(tmp_path):
    file = laid(tmp_path, [answer(2, "30 % vol", "2026-03-09")])
    results.merge(file, [answer(2, "9 % vol", "2026-03-02"), answer(1, "9 mL", "2026-03-02")])
    assert progress.last_worked(kept(file), *WHO) == "5.2"
    assert results.tries(kept(file), item(5, 2, *WHO))[-1].typed == "30 % vol"


@pytest.mark.parametrize(
    "off", ["2099-06-01", "2000-01-01"], ids=["a calendar that ran ahead", "a battery that ran down"]
)
def test_a_day_that_cannot_be_puts_no_answer_out_of_its_place(tmp_path, off):
    typed = [("9 % vol", "2026-03-02"), ("8 % vol", off), ("30 % vol", "2026-03-09")]
    file = laid(tmp_path, [answer(2, *one) for one in typed])
    assert [one.typed for one in results.tries(kept(file), item(5, 2, *WHO))] == ["9 % vol", "8 % vol", "30 % vol"]
    results.merge(file, [answer(1, "9 mL", "2026-03-05"), answer(3, "1:2", off)])
    assert [one.item for one in kept(file)] == ["5.2", "5.2", "5.1", "5.3", "5.2"]
    assert progress.last_worked(kept(file), *WHO) == "5.2"


def test_a_text_that_stands_there_twice_comes_twice_and_no_more(tmp_path):
    file, one = laid(tmp_path, [answer(2, "9 mL")]), answer(2, "9 mL")
    assert results.merge(file, [one, one, one]) == 2
    assert results.merge(file, [one, one]) == 0


def test_a_file_that_an_editor_made_utf_16_goes_on_as_such(tmp_path):
    file = laid(tmp_path, an_evening()[:3])
    file.write_bytes(file.read_text("utf-8").encode("utf-16"))
    assert results.merge(file, an_evening()) == len(an_evening()) - 3
    assert Counter(kept(file)) == Counter(an_evening())


def test_lines_of_an_older_schema_come_as_they_are(tmp_path):
    old = replace(answer(2, "9 mL"), schema=1)
    file = tmp_path / NAME
    assert results.merge(file, [old]) == 1
    assert '"ticked"' not in file.read_text("utf-8")
    assert kept(file) == [old]


def test_more_than_a_file_may_hold_is_refused_and_nothing_is_added(tmp_path, monkeypatch):
    file = laid(tmp_path, an_evening()[:3])
    before = file.read_bytes()
    monkeypatch.setattr(results, "LARGEST_FILE", len(before) + 100)
    with pytest.raises(results.NotSaved, match=r"larger than .* Nothing was added"):
        results.merge(file, an_evening())
    assert file.read_bytes() == before


def test_where_the_disk_refuses_nothing_half_stays(tmp_path, monkeypatch):
    file = laid(tmp_path, an_evening()[:3])
    before = file.read_bytes()
    monkeypatch.setattr(results.os, "fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    with pytest.raises(results.NotSaved, match="The disk is full"):
        results.merge(file, an_evening())
    assert file.read_bytes() == before
    monkeypatch.undo()
    file.unlink()
    file.mkdir()
    with pytest.raises(results.NotSaved, match="in the way"):
        results.merge(file, an_evening())


def test_in_a_browser_what_another_tab_wrote_over_is_added_again(tmp_path, monkeypatch):
    file, held = laid(tmp_path, an_evening()[:3]), []
    monkeypatch.setattr(results, "IN_BROWSER", True)

    def overwritten(_):
        """The other tab writes back the file that it had read before."""
        held.append(1)
        if len(held) == 1:
            results.Path(file).write_bytes(before + more.line().encode() + b"\n")

    before, more = file.read_bytes(), answer(4, "1:3")
    monkeypatch.setattr(results.time, "sleep", overwritten)
    lacked = len(results.missing(file, an_evening()))
    assert results.merge(file, an_evening()) == lacked
    assert Counter(kept(file)) == Counter([*an_evening(), more])
    assert len(held) == 2


# --- a hard end -----------------------------------------------------------------------------------------------------

SLOW = """
import io, sys, time
from herbcalc.homework import results
class Slow(io.FileIO):
    def write(self, held):
        print("writes", flush=True)
        time.sleep(0.002)
        return super().write(held[:61])
results._open = Slow
print("added", results.merge(sys.argv[1], results.read(sys.argv[2])[0]))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="ends a process the hard way of POSIX")
def test_a_hard_end_in_the_middle_loses_nothing_and_doubles_nothing(tmp_path):
    there, here = laid(tmp_path / "there", an_evening()), laid(tmp_path / "here", [answer(3, "a", "2026-04-01")])
    before, cut = here.read_bytes(), 0
    for writes in (1, 9, 30):
        words = [sys.executable, "-c", SLOW, str(here), str(there)]
        with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as writer:
            for _ in range(writes):
                writer.stdout.readline()
            writer.send_signal(signal.SIGKILL)
        assert writer.returncode == -signal.SIGKILL
        assert here.read_bytes().startswith(before)
        cut += not here.read_bytes().endswith(b"\n")
    assert cut, "no end came in the middle of a line"
    results.merge(here, results.read(there)[0])
    answers, notes = results.read(here)
    assert Counter(answers) == Counter([*an_evening(), answer(3, "a", "2026-04-01")])
    assert len(notes) <= 3
    assert all("torn" in note for note in notes)
    assert results.merge(here, results.read(there)[0]) == 0
