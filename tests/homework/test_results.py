"""The result file: one line for each answer, whole under any ending, and read as data only."""

import errno
import json
import os
import signal
import subprocess
import sys
import threading
import time
from dataclasses import replace
from pathlib import Path

import pytest

from herbcalc.homework import item, results
from herbcalc.person import news, writing
from herbcalc.units.refusals import OutOfRange

ONE = item(5, 2, "Fern 7", 3)
DAY = "2026-03-02"

WRITER = """
import sys
from herbcalc.homework import item, results
one = item(5, 2, "fern7", 3)
path, start, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
for n in range(start, start + count):
    results.append(path, results.answer_to(one, f"{n} % vol", day="2026-03-02"))
    print(n, flush=True)
"""


@pytest.fixture
def file(tmp_path):
    return tmp_path / "my-herb-sums" / "answers-fern7-3.jsonl"


def _add(file, *typed):
    for text in typed:
        results.append(file, results.answer_to(ONE, text, sure="fairly", day=DAY))


def _line(**changed):
    fields = json.loads(results.answer_to(ONE, "30 % vol", sure="sure", tier=2, day=DAY).line())
    fields.update(changed)
    return json.dumps(fields)


def test_what_stands_in_a_line(file):
    _add(file, "57 proof")
    fields = json.loads(file.read_text("utf-8"))
    assert list(fields) == [*results.FIELDS, *results.LATER_FIELDS]
    assert fields["class"] == "fern7"
    assert (fields["number"], fields["item"], fields["edition"], fields["go"]) == (3, "5.2", 1, 1)
    assert (fields["schema"], fields["ticked"], fields["mended"]) == (2, [], "")
    assert (fields["try"], fields["typed"], fields["sure"], fields["tier"]) == (ONE.attempt, "57 proof", "fairly", 1)
    assert fields["day"] == DAY


def test_no_answer_band_or_verdict_is_kept(file):
    _add(file, *ONE.slip_answers().values())
    text = file.read_text("utf-8")
    assert f"{ONE.drawn.low:.2f}" not in text
    assert "slip" not in text
    assert "right" not in text


def test_typed_is_kept_as_typed(file):
    typed = ['½ oz "so" \\ ', "28,6 % vol\n", "日本 \u202e", "😀", ""]
    _add(file, *typed)
    answers, notes = results.read(file)
    assert [answer.typed for answer in answers] == typed
    assert notes == []
    assert all(results.tries(answers, ONE))
    assert len(results.tries(answers, ONE)) == len(typed)
    assert results.tries(answers, item(5, 2, "fern7", 4)) == []
    assert results.tries(answers, item(5, 2, "fern7", 3, go=2)) == []


@pytest.mark.parametrize("whole", [True, False])
def test_a_torn_last_line_is_left_out_and_named(file, whole):
    _add(file, "28 % vol", "30 % vol")
    kept = file.read_bytes()
    file.write_bytes(kept + kept.splitlines()[0][:40] if whole else kept[:-25])
    answers, notes = results.read(file)
    assert [answer.typed for answer in answers] == (["28 % vol", "30 % vol"] if whole else ["28 % vol"])
    assert len(notes) == 1
    assert "torn" in notes[0]
    _add(file, "31 % vol")
    assert results.read(file)[0][-1].typed == "31 % vol"
    assert len(results.read(file)[1]) == 1


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("this is no json", "torn"),
        ("[1, 2]", "not a line"),
        ('{"schema": 1}', "not a line"),
        ("null", "not a line"),
        ("[" * 4000, "torn"),
        ('{"a":' * 1000 + "1" + "}" * 1000, "skipped"),  # how deep json reads differs between Pythons
        (_line(name="Anna"), "not a line"),
        (_line(schema=3), "another version"),
        (_line(schema=1), "not a line"),
        (_line(ticked=[3, 1]), "ticked"),
        (_line(ticked=[True]), "ticked"),
        (_line(ticked=[10]), "ticked"),
        (_line(ticked="1"), "ticked"),
        (_line(mended="x" * 501), "mended"),
        (_line(mended=7), "mended"),
        (_line(schema=True), "another version"),
        (_line(typed="x" * 501), "typed"),
        (_line(typed=7), "typed"),
        (_line(**{"class": "Fern 7"}), "class"),
        (_line(**{"class": ""}), "class"),
        (_line(number=100), "number"),
        (_line(number=3.0), "number"),
        (_line(number=True), "number"),
        (_line(item="5.2; rm"), "item"),
        (_line(edition=0), "edition"),
        (_line(go=0), "go"),
        (_line(go=10**9), "go"),
        (_line(**{"try": 0}), "try"),
        (_line(**{"try": 501}), "try"),
        (_line(sure="very"), "sure"),
        (_line(tier=5), "tier"),
        (_line(day="2026-02-30"), "day"),
        (_line(day="2026-03-02T10:11"), "day"),
        (_line().replace('"tier": 2', '"tier": NaN'), "torn"),
        (_line().replace('"tier": 2', '"tier": 2, "tier": 3'), "torn"),
        ("x" * 20000, "too long"),
        ("\udc80\udcff", "torn"),
    ],
)
def test_broken_foreign_and_edited_lines_are_named_and_skipped(file, line, word):
    _add(file, "28 % vol")
    with file.open("ab") as raw:
        raw.write(line.encode("utf-8", "surrogateescape") + b"\n")
    _add(file, "30 % vol")
    answers, notes = results.read(file)
    assert [answer.typed for answer in answers] == ["28 % vol", "30 % vol"]
    assert len(notes) == 1
    assert word in notes[0]
    assert "line 2" in notes[0]
    assert len(notes[0]) < 250


def test_a_file_of_nothing_but_noise_gives_few_notes(file):
    file.parent.mkdir()
    file.write_bytes(os.urandom(100) + b"\n" * 3 + b"noise\n" * 5000)
    answers, notes = results.read(file)
    assert answers == []
    assert 1 <= len(notes) <= results.MOST_NOTES + 1


def test_a_huge_file_is_named_and_not_read(file):
    file.parent.mkdir()
    with file.open("wb") as raw:
        raw.truncate(results.LARGEST_FILE + 1)
    start = time.process_time()
    answers, notes = results.read(file)
    assert (answers, len(notes)) == ([], 1)
    assert time.process_time() - start < 1


def test_a_file_of_good_lines_that_is_too_large_is_not_read_either(file):
    file.parent.mkdir()
    line = _line() + "\n"
    file.write_text(line * (results.LARGEST_FILE // len(line) + 1), "utf-8")
    held = file.read_bytes()
    answers, notes = results.read(file)
    assert answers == []
    assert len(notes) == 1
    assert "larger than 8 MB" in notes[0]
    # With the next answer a new one begins; the large one stays, under another name, and that is told.
    _add(file, "28 % vol")
    assert [answer.typed for answer in results.read(file)[0]] == ["28 % vol"]
    (aside,) = file.parent.glob("answers-fern7-3.jsonl.put-aside-*")
    assert aside.read_bytes() == held
    (told,) = news()
    assert aside.name in told
    assert "Hand in both" in told


def test_the_largest_file_is_read_once_for_all_cards_of_a_page(file, monkeypatch):
    file.parent.mkdir()
    lines = [_line(typed=f"{n} % vol") + "\n" for n in range(2000)]
    file.write_text("".join(lines), "utf-8")
    looked = []
    real = results._answer
    monkeypatch.setattr(results, "_answer", lambda line: looked.append(line) or real(line))
    for _ in range(8):
        assert len(results.read(file)[0]) == 2000
    assert len(looked) == 2000
    first = results.read(file)[0]
    first.clear()
    assert len(results.read(file)[0]) == 2000, "what is handed out is not what is kept"
    _add(file, "1 % vol")
    assert len(results.read(file)[0]) == 2001
    file.write_text(lines[0].replace("0 % vol", "9 % vol"), "utf-8")
    assert [answer.typed for answer in results.read(file)[0]] == ["9 % vol"]


def test_half_a_character_can_be_shown(file):
    file.parent.mkdir()
    file.write_text(_line(typed="\ud800 leaf", mended="\udfff") + "\n", "utf-8")
    (answer,), notes = results.read(file)
    assert (answer.typed, answer.mended, notes) == ("? leaf", "?", [])


@pytest.mark.parametrize(
    "other", ["class_code", "number", "item", "edition", "go", "attempt"], ids=lambda name: f"another {name}"
)
def test_an_answer_to_other_figures_is_no_try_at_these(other):
    own = results.answer_to(ONE, "28 % vol", day=DAY)
    another = "moss" if other == "class_code" else "5.3" if other == "item" else getattr(own, other) + 1
    assert results.tries([own, replace(own, **{other: another})], ONE) == [own]


@pytest.mark.skipif(sys.platform == "win32", reason="takes the lock in the way of POSIX")
def test_a_line_waits_until_another_process_has_written_its_own(file):
    import fcntl

    _add(file, "28 % vol")
    with file.open("ab") as other:
        fcntl.flock(other.fileno(), fcntl.LOCK_EX)
        mine = threading.Thread(target=_add, args=(file, "30 % vol"))
        mine.start()
        mine.join(0.3)
        assert mine.is_alive()
        assert [answer.typed for answer in results.read(file)[0]] == ["28 % vol"]
        fcntl.flock(other.fileno(), fcntl.LOCK_UN)
        mine.join(10)
    assert [answer.typed for answer in results.read(file)[0]] == ["28 % vol", "30 % vol"]


def test_a_file_that_is_not_there_is_empty(file):
    assert results.read(file) == ([], [])


def test_a_folder_in_the_way_is_told_in_words(tmp_path):
    in_the_way = tmp_path / "answers"
    in_the_way.write_text("a file where a folder should be")
    with pytest.raises(results.NotSaved, match="could not be kept"):
        _add(in_the_way / "answers-fern7-3.jsonl", "28 % vol")
    assert "could not be opened" in results.read(tmp_path)[1][0]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_is_told_in_words():
    with pytest.raises(results.NotSaved, match="Make room"):
        _add("/dev/full", "28 % vol")


def test_a_line_that_does_not_fit_is_taken_away_again(file, monkeypatch):
    _add(file, "28 % vol")
    before = file.read_bytes()
    real = os.fsync

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(results.NotSaved, match="No space left"):
        _add(file, "30 % vol")
    monkeypatch.setattr(os, "fsync", real)
    assert file.read_bytes() == before


def test_what_cannot_be_kept_is_refused_before_it_is_written():
    with pytest.raises(OutOfRange, match="500"):
        results.answer_to(ONE, "x" * 501)
    with pytest.raises(OutOfRange, match="sure"):
        results.answer_to(ONE, "28 % vol", sure="very")


def _start(file, start, count, first=""):
    return subprocess.Popen(
        [sys.executable, "-c", first + WRITER, str(file), str(start), str(count)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=Path(__file__).parents[2],
    )


# The same writer where a folder lends no locks (some network drives).
NO_LOCKS = """
import errno, fcntl
def refused(*_):
    raise OSError(errno.ENOLCK, "No locks available")
fcntl.flock = refused
"""

# The same writer as a tab of a browser: no locks, and a file is read whole when opened and written whole when closed.
TAB = """
import io, os, random, time, uuid
from herbcalc.homework import results
class Whole(io.BytesIO):
    def __init__(self, file, how):
        held = file.read_bytes() if file.exists() else b""
        super().__init__(held)
        self.file, self.how, self.end = file, how, len(held)
        time.sleep(random.uniform(0, 0.01))
    def write(self, some):
        self.seek(0, os.SEEK_END)
        return super().write(some)
    def fileno(self):
        return 1
    def close(self):
        if self.how == "a+b" and not self.closed:
            beside = self.file.with_name(uuid.uuid4().hex)
            beside.write_bytes(self.getvalue())
            beside.replace(self.file)
        super().close()
os.fsync = lambda _: None
results.locked = results.contextlib.contextmanager(lambda raw: (yield False))
results._open, results.IN_BROWSER, results.MOMENT = Whole, True, {moment}
"""


@pytest.mark.skipif(sys.platform == "win32", reason="takes away the lock in the way of POSIX")
@pytest.mark.parametrize(
    ("windows", "each", "first"),
    [(2, 100, ""), (4, 50, ""), (4, 50, NO_LOCKS), (2, 30, TAB.format(moment=0.25))],
    ids=["two", "four", "no locks", "tabs"],
)
def test_windows_at_once_lose_no_answer(file, windows, each, first):
    """200 answers, from two windows and from four, whatever the folder lends; 60 from tabs, which take a moment."""
    started = [_start(file, 1000 * one, each, first) for one in range(windows)]
    told = [int(line) for one in started for line in one.communicate(timeout=120)[0].split()]
    answers, notes = results.read(file)
    assert notes == []
    numbers = sorted(int(answer.typed.split()[0]) for answer in answers)
    assert numbers == sorted(told) == [1000 * one + n for one in range(windows) for n in range(each)]


def test_a_tab_waits_for_its_turn_and_gives_it_back(file, monkeypatch):
    """The file is opened in its turn and not before; an answer that could not be kept ends the turn as well."""
    asked = []

    def ask(method, path, ticket):
        asked.append((method, path, ticket, path.exists()))
        return True

    monkeypatch.setattr(results, "IN_BROWSER", True)
    monkeypatch.setattr(results, "MOMENT", 60.0)  # who has a turn does not look again later
    monkeypatch.setattr(writing, "_ask", ask)
    _add(file, "35 %")
    assert asked == [("POST", file, asked[0][2], False), ("DELETE", file, asked[0][2], True)]
    monkeypatch.setattr(results, "_open", lambda *_: (_ for _ in ()).throw(OSError(errno.ENOSPC, "full")))
    with pytest.raises(results.NotSaved):
        _add(file, "36 %")
    assert [one[0] for one in asked] == ["POST", "DELETE"] * 2
    assert asked[2][2] == asked[3][2] != asked[0][2], "each turn has a ticket of its own"


def test_a_file_that_another_page_makes_meanwhile_is_added_to(file, monkeypatch):
    """Two pages of the site begin one file at the same moment: the drive tells the later one that it is there."""
    opened, late = Path.open, iter([FileExistsError(errno.EEXIST, "File exists")])

    def of_a_drive(self, *how, **more):
        if trouble := next(late, None):
            raise trouble
        return opened(self, *how, **more)

    monkeypatch.setattr(Path, "open", of_a_drive)
    _add(file, "28.6 % vol")
    assert [answer.typed for answer in results.read(file)[0]] == ["28.6 % vol"]


def test_tabs_that_do_not_look_again_would_lose_answers(file):
    """What the looking is for: the same two tabs, sure at once. On a busy computer they may pass each other by."""
    blind = TAB.format(moment=0) + "results._count = lambda *_, n=iter(range(10**6)): next(n)\n"
    kept = []
    for evening in range(5):
        shared = file.with_name(f"{evening}-{file.name}")
        for one in [_start(shared, 1000 * one, 40, blind) for one in range(2)]:
            one.communicate(timeout=120)
        kept.append(len(results.read(shared)[0]))
        if kept[-1] < 80:
            return
    pytest.fail(f"nothing was ever lost: {kept}")


@pytest.mark.skipif(sys.platform == "win32", reason="ends a process the hard way of POSIX")
def test_every_answer_that_was_told_kept_is_there_after_a_hard_end(file):
    """Also of another window that goes on meanwhile: the lock goes with the process that was ended."""
    other = _start(file, 10_000_000, 200)
    for turn in range(3):
        with _start(file, 1_000_000 * turn, 100_000) as writer:
            told = [int(writer.stdout.readline()) for _ in range(20)]
            writer.send_signal(signal.SIGKILL)
            told += [int(line) for line in writer.stdout.read().split()]
        answers, notes = results.read(file)
        kept = {int(answer.typed.split()[0]) for answer in answers}
        assert set(told) <= kept
        assert len(notes) <= turn + 2  # the other may be writing just now
    told = {int(line) for line in other.communicate(timeout=120)[0].split()}
    assert len(told) == 200
    assert told <= {int(answer.typed.split()[0]) for answer in results.read(file)[0]}


# --- what came with schema 2, and files that an editor has had in its hands ---


def _old_line(typed="28 % vol"):
    fields = json.loads(_line(typed=typed, schema=1))
    del fields["ticked"], fields["mended"]
    return json.dumps(fields)


def test_a_file_of_schema_1_is_still_read(file):
    file.parent.mkdir()
    file.write_text(_old_line("28 % vol") + "\n", "utf-8")
    _add(file, "30 % vol")
    answers, notes = results.read(file)
    assert notes == []
    assert [(a.schema, a.typed, a.ticked, a.mended) for a in answers] == [
        (1, "28 % vol", (), ""),
        (2, "30 % vol", (), ""),
    ]
    assert answers[0].line() == _old_line("28 % vol")
    assert results.tries(answers, ONE) == answers


def test_ticks_and_the_mended_figure_are_kept_with_their_answer(file):
    one = item(5, 8, "fern7", 3)
    for ticked in ((), (1,), (1, 3)):
        results.append(file, results.answer_to(one, "leaves bring water", "sure", ticked=ticked, day=DAY))
    other = item(3, 7, "fern7", 3)
    results.append(file, results.answer_to(other, "c", "sure", day=DAY))
    results.append(file, results.answer_to(other, "c", "sure", mended="178 g", day=DAY))
    answers, notes = results.read(file)
    assert (len(answers), notes) == (5, [])
    assert [(a.typed, a.ticked) for a in results.tries(answers, one)] == [("leaves bring water", (1, 3))]
    assert [(a.typed, a.mended) for a in results.tries(answers, other)] == [("c", "178 g")]


def test_the_same_answer_given_twice_is_two_tries(file):
    _add(file, "28 % vol", "28 % vol")
    assert len(results.tries(results.read(file)[0], ONE)) == 2


def test_a_tick_taken_away_again_makes_no_second_answer(file):
    one = item(5, 8, "fern7", 3)
    for ticked in ((), (2,), ()):
        results.append(file, results.answer_to(one, "leaves bring water", "sure", ticked=ticked, day=DAY))
    answers = results.read(file)[0]
    assert [a.ticked for a in results.tries(answers, one)] == [()]


@pytest.mark.parametrize("ticked", [(0,), (10,), ("1",), (True,)])
def test_ticks_are_counted_from_1(ticked):
    with pytest.raises(OutOfRange, match="counted from 1"):
        results.answer_to(ONE, "28 % vol", ticked=ticked)


def test_a_fresh_set_that_was_asked_for_is_there_again(file):
    _add(file, "28 % vol")
    results.append(file, results.fresh_set(item(5, 2, "fern7", 3, go=2), tier=4, day=DAY))
    answers, notes = results.read(file)
    assert notes == []
    assert results.last_go(answers, ONE) == 2
    assert results.tries(answers, item(5, 2, "fern7", 3, go=2)) == []
    assert len(results.tries(answers, ONE)) == 1
    assert results.last_go(answers, item(5, 2, "fern7", 4)) == 1


def test_help_fades_step_by_step_after_a_whole_way(file):
    sets = {go: item(5, 2, "fern7", 3, go=go) for go in range(1, 6)}
    assert results.left_out([], sets[1]) == 0
    results.append(file, results.answer_to(sets[1], "28 % vol", "sure", 4, DAY))
    answers = results.read(file)[0]
    assert [results.left_out(answers, sets[go]) for go in range(1, 6)] == [0, 1, 2, 0, 0]
    lines = sets[2].worked(4)
    assert sets[2].given(1)[:-1] == lines[:-1]
    assert "____" in sets[2].given(1)[-1]
    assert sets[3].given(2)[:-2] == sets[3].worked(4)[:-2]
    assert all("____" in line for line in sets[3].given(2)[-2:])
    assert sets[4].given(0) == []
    # A whole way that was only looked at counts too: the fresh set says how much help went before it.
    results.append(file, results.fresh_set(sets[4], tier=4, day=DAY))
    assert [results.left_out(results.read(file)[0], sets[go]) for go in (4, 5)] == [1, 2]


def test_mixed_practice_has_sets_of_its_own(file):
    mixed = item(5, 2, "fern7", 3, go=600)
    results.append(file, results.answer_to(mixed, "28 % vol", "sure", 4, DAY))
    answers = results.read(file)[0]
    assert results.last_go(answers, ONE) == 1
    assert results.last_go(answers, mixed) == 600
    assert results.left_out(answers, item(5, 2, "fern7", 3, go=601)) == 1
    assert results.left_out(answers, item(5, 2, "fern7", 3, go=2)) == 0


@pytest.mark.parametrize("code", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_an_editor_loses_nothing(file, code, end):
    _add(file, "28 % vol", "½ oz é", "30 % vol")
    text = file.read_text("utf-8").replace("\n", end)
    mark = "\ufeff" if code in ("utf-16-le", "utf-16-be") else ""
    file.write_bytes((mark + text).encode(code))
    _add(file, "31 % vol")  # and the workbook goes on writing into it
    answers, notes = results.read(file)
    assert notes == []
    assert [answer.typed for answer in answers] == ["28 % vol", "½ oz é", "30 % vol", "31 % vol"]


def test_an_editor_that_drops_the_last_end_of_line_loses_nothing(file):
    _add(file, "28 % vol", "30 % vol")
    file.write_bytes(file.read_bytes().rstrip(b"\n"))
    _add(file, "31 % vol")
    assert [answer.typed for answer in results.read(file)[0]] == ["28 % vol", "30 % vol", "31 % vol"]


@pytest.mark.parametrize(
    ("number", "says", "not_says"), [(13, "may write", "Make room"), (28, "Make room", "may write")]
)
def test_what_would_work_fits_what_happened(file, monkeypatch, number, says, not_says):
    def refused(_):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", refused)
    with pytest.raises(results.NotSaved) as refusal:
        _add(file, "28 % vol")
    assert says in str(refusal.value)
    assert not_says not in str(refusal.value)
