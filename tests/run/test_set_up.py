"""What works is never taken away: set-ups, with the network and without, in every state that a folder can be in.

Each start here is a real one, in a process of its own: Python's venv, pip, the lock, the swap; only the parts that
are fetched are small (small_house.py).
"""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.run.small_house import ROOT, House, shop

UNREACHED = "The internet was not reached"
GOES_ON = "What was set up before still works, so the workbook goes on with that."
OPENED = "OPENED with leaf"
SET_UP = "Setting up what the workbook needs"


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return shop(tmp_path_factory.mktemp("shop") / "parts")


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory, parts: Path) -> tuple[House, str]:
    """A house with its first start behind it, and what that said."""
    house = House(tmp_path_factory.mktemp("street") / "tests" / "house", parts).build()
    return house, house.start().stdout


@pytest.fixture
def house(first: tuple[House, str], tmp_path: Path) -> House:
    """The same, in a place of its own."""
    return first[0].copied(tmp_path / "another place")


def change(house: House) -> None:
    house.project(leaf=2)


def half_build(house: House) -> None:
    """The first set-up was killed on its way."""
    shutil.rmtree(house.packages)
    house.env.rename(house.env.with_name(".herbcalc-env-new"))


def half_renew(house: House) -> None:
    """A set-up was killed on its way, and what it was to replace still stands."""
    (house.top / ".herbcalc-env-new" / "lib").mkdir(parents=True)


def between(house: House) -> None:
    """A set-up was killed between taking the old environment away and putting the new one in its place."""
    house.env.rename(house.env.with_name(".herbcalc-env-old"))


def lose_files(house: House) -> None:
    shutil.rmtree(house.packages / "tinyleaf")


def lose_root(house: House) -> None:
    """A need of a need is gone, papers and all."""
    for folder in house.packages.glob("tinyroot*"):
        shutil.rmtree(folder)


def stay(house: House) -> None:
    """`house` stands in another place already than the one in which it was set up."""


def reformat(house: House) -> None:
    house.project(wide=100)


# What befalls the house; then, without a network and with it, what is said, and which leaf opens (None: none does).
Says = tuple[list[str], int | str | None]
MATRIX: dict[str, tuple[Callable[[House], None], Says, Says]] = {
    "changed pyproject": (change, ([UNREACHED, GOES_ON], 1), ([SET_UP, "stays until the new one stands"], 2)),
    "another line of pyproject": (reformat, ([], 1), ([], 1)),
    "moved": (stay, ([], 1), ([], 1)),
    "half-built": (half_build, ([UNREACHED], None), ([SET_UP], 1)),
    "half-built beside one that works": (half_renew, ([], 1), ([], 1)),
    "killed between old and new": (between, ([], 1), ([], 1)),
    "missing files": (
        lose_files,
        ([UNREACHED, "tinyleaf==1 is missing: a lesson that needs it stops", GOES_ON], "None"),
        (["To be fetched: tinyleaf==1. All else is there"], 1),
    ),
    "missing part of a part": (lose_root, ([UNREACHED], None), (["To be fetched: tinyroot>=1. All else"], 1)),
}


def hear(house: House, expected: Says, network: bool) -> None:
    """One start says what it should, and nothing else of note; and opens what it should."""
    run = house.start(network=network)
    sentences, leaf = expected
    for sentence in sentences:
        assert sentence in run.stdout
    assert (f"{OPENED} {leaf} " in run.stdout) == (leaf is not None), run.stdout
    assert run.returncode == (1 if leaf is None else 0)
    assert (SET_UP in run.stdout or "To be fetched" in run.stdout) == bool(sentences), "or else a start is quiet"
    assert "Traceback" not in run.stdout
    assert "ERROR" not in run.stdout, "pip's words are for the log"
    assert not house.left_over()


@pytest.mark.parametrize("what", MATRIX)
def test_without_a_network_what_works_goes_on_and_with_it_all_is_mended(house, what):
    befalls, offline, online = MATRIX[what]
    marker = house.packages / "marker.txt"
    marker.touch()
    befalls(house)
    hear(house, offline, network=False)
    if UNREACHED in offline[0]:
        assert "Connection" in (house.top / ".herbcalc-env.log").read_text(), "pip's own words are kept"
    if online[0]:  # else there was nothing to do
        hear(house, online, network=True)
        hear(house, ([], online[1]), network=False)
    if SET_UP not in online[0]:
        assert marker.exists(), "what was not missing stays as it was"


def test_the_first_start_without_a_network_and_then_with_it(parts, tmp_path, first):
    """With it: see `first`, which every other test begins with."""
    house = House(tmp_path / "house", parts).build()
    hear(house, ([SET_UP, UNREACHED, str(house.top / ".herbcalc-env.log")], None), network=False)
    assert not house.env.exists()
    assert SET_UP in first[1]
    assert f"{OPENED} 1 " in first[1]
    assert "putting 3 parts in place" in first[1]
    assert not first[0].left_over()


def test_byte_code_is_there_of_all_but_the_tests_that_parts_bring(house):
    """Fetched by the first set-up, or alone; whatever a folder round the checkout is called."""

    def compiled() -> set[str]:
        there = house.packages.glob("tiny*/**/*.pyc")
        return {f"{file.parents[1].relative_to(house.packages)}/{file.name.split('.')[0]}" for file in there}

    assert compiled() == {"tinyleaf/__init__", "tinyroot/__init__"}
    log = (house.top / ".herbcalc-env.log").read_text()
    assert "old.py" in log, "what could not be compiled is told there, and nothing stopped for it"
    lose_files(house)
    lose_root(house)
    assert f"{OPENED} 1 " in house.start().stdout
    assert compiled() == {"tinyleaf/__init__", "tinyroot/__init__"}


def test_what_was_fetched_for_the_tests_outlives_a_change(house):
    """And the settings that lie in the environment move into the new one, whose small programs name its place."""
    house.start("test", "style")
    assert (house.packages / "tinyseed").exists()
    for there in house.packages.glob("tinyhub*"):  # as where it was set up before there was a hub
        shutil.rmtree(there)
    said = house.start("test", "style", network=False).stdout
    assert "tinyhub>=1 is missing" in said
    assert "--- style: " in said, "what can be tried without it is tried"
    (house.env / "settings" / "mine.json").write_text("{}")
    change(house)
    assert f"{OPENED} 2 " in house.start().stdout
    assert (house.packages / "tinyseed").exists()
    assert (house.env / "settings" / "mine.json").exists()
    for name in ("activate", "activate.csh"):
        text = (house.env / "bin" / name).read_text()
        assert str(house.env) in text
        assert "herbcalc-env-new" not in text


# --- a disk that is full, and a folder that is not ours to write ---


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Callable[[str], Path]]:
    """A small disk of its own; called with what `mount` takes, it is there, or is changed."""
    place = tmp_path / "disk"
    place.mkdir()

    def mount(how: str) -> Path:
        ran = subprocess.run(["mount", "-t", "tmpfs", "-o", how, "none", str(place)], capture_output=True, text=True)
        if ran.returncode:
            pytest.skip(f"this computer lends no small disk to a test: {ran.stderr.strip()}")
        return place

    if not shutil.which("mount"):
        pytest.skip("this computer has no mount")
    yield mount
    subprocess.run(["umount", str(place)], capture_output=True)


FULL = "There is not enough room on the disk: the set-up needs about"


@pytest.mark.parametrize("network", [True, False])
def test_a_full_disk_says_how_much_room_is_needed_and_takes_nothing_away(house, disk, network):
    """Once before anything is fetched, and once in the middle, where somebody else has filled the disk meanwhile."""
    small = house.copied(disk("size=3m") / "house")
    change(small)
    small.room = 900
    hear(small, ([SET_UP, FULL, "about 900", "MB are free", GOES_ON], 1), network)
    if not network:
        return  # the rest is the same
    small.room = 0
    (small.top / "filler").write_bytes(b"0" * (shutil.disk_usage(small.top).free - 40_000))
    hear(small, ([SET_UP, FULL, GOES_ON], 1), network)
    (small.top / "filler").unlink()
    hear(small, ([SET_UP], 2), network=True)


def test_a_first_start_on_a_full_disk(parts, disk):
    house = House(disk("size=3m") / "house", parts).build()
    house.room = 900
    hear(house, ([SET_UP, FULL], None), network=True)
    house.room = 1
    hear(house, ([SET_UP], 1), network=True)


@pytest.mark.parametrize("network", [True, False])
def test_a_second_account_opens_what_the_first_has_set_up(house, disk, network):
    """Its settings lie in its own folder; what it may not mend is said, and what works opens."""
    theirs = house.copied(disk("size=6m") / "house")
    theirs.home = house.top.with_name("second")
    disk("remount,ro,size=6m")
    run = theirs.start(network=network)
    assert f"{OPENED} 1 and settings in {theirs.home / '.settings'}" in run.stdout, run.stdout
    assert SET_UP not in run.stdout
    disk("remount,rw,size=6m")
    change(theirs)
    disk("remount,ro,size=6m")
    run = theirs.start(network=network)
    assert "could not be made or changed: Read-only file system" in run.stdout
    assert f"{OPENED} 1 " in run.stdout
    assert "Traceback" not in run.stdout


def test_where_we_may_write_settings_lie_in_the_environment(first):
    assert f"settings in {first[0].env / 'settings'}" in first[1]


# --- two at once, and a set-up that is killed ---


@pytest.mark.skipif(os.name == "nt", reason="Windows has no signal to send")
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_a_killed_set_up_ends_whole_and_the_second_start_that_waited_goes_on(parts, tmp_path, how):
    house = House(tmp_path / "house", parts).build()
    talk = {"cwd": house.top, "stdout": subprocess.PIPE, "stderr": subprocess.STDOUT, "text": True}
    with socket.create_server(("127.0.0.1", 0)) as index:  # takes calls, and never answers
        slow = {**house.surroundings(False), "PIP_INDEX_URL": f"http://127.0.0.1:{index.getsockname()[1]}/"}
        with subprocess.Popen(house.words(), env=slow, **talk) as one:
            call, _ = index.accept()  # its pip is there
            with subprocess.Popen(house.words(), env=house.surroundings(True), **talk) as two:
                assert "Another window is setting up the workbook just now" in two.stdout.readline()
                one.send_signal(how)
                call.settimeout(30)
                while call.recv(1000):  # its pip hangs up: it is gone as well
                    pass
                call.close()
                assert one.wait(timeout=30) != 0
                heard = two.stdout.read()
                assert f"{OPENED} 1 " in heard
                assert two.wait(timeout=60) == 0
    assert not house.left_over()


# --- a pack ---


def test_a_first_start_from_a_pack_needs_no_network(house, tmp_path):
    (house.top / ".secret").touch()
    run = house.start("pack", "--to", str(tmp_path / "stick"))
    assert run.returncode == 0, run.stdout
    (pack,) = (tmp_path / "stick").iterdir()
    assert f"Packing into {pack}" in run.stdout
    assert " MB, " in run.stdout
    assert " seconds" in run.stdout
    assert {part.name.split("-")[0] for part in (pack / ".wheels").glob("*.whl")} == {
        "tinyleaf",
        "tinyroot",
        "jupyterlab",
    }
    assert not {".secret", ".herbcalc-env"} & {entry.name for entry in pack.iterdir()}
    assert "is there already" in house.start("pack", "--to", str(tmp_path / "stick")).stdout
    carried = House(pack, house.parts)
    hear(carried, ([SET_UP, "The parts are in this pack, so it needs no internet."], 1), network=False)


def test_a_pack_for_another_kind_of_computer_says_so(parts, tmp_path):
    house = House(tmp_path / "house", parts).build()
    (house.top / ".wheels").mkdir()
    (house.top / ".wheels" / "for.json").write_text('{"python": "3.99", "platform": "abacus"}')
    hear(house, (["made for Python 3.99 on abacus, not for this one", UNREACHED], None), network=False)


def test_what_would_be_packed_into_itself_is_refused(house):
    run = house.start("pack", "--to", str(house.top / "workbook"))
    assert run.returncode == 1
    assert "lies in the folder that is to be packed" in run.stdout


def test_a_pack_without_a_network_gets_the_same_sentence(house, tmp_path):
    run = house.start("pack", "--to", str(tmp_path / "stick"), network=False)
    assert run.returncode == 1
    assert UNREACHED in run.stdout
    assert not list((tmp_path / "stick").iterdir())


# --- what is looked for ---


def test_ready_names_what_is_missing_down_to_the_parts_of_parts(house):
    assert "All there, down to the parts of the parts" in house.start("ready").stdout
    lose_root(house)
    lose_files(house)
    said = house.start("ready", network=False).stdout
    assert "Missing, or not whole: tinyroot>=1, tinyleaf==1." in said
    assert "fetches it, and it alone" in said
    change(house)
    assert "A newer one is asked for: tinyleaf==2." in house.start("ready").stdout
    assert not (house.top / ".herbcalc-env-new").exists()


def test_a_package_opens_the_workbook_that_it_carries(house, tmp_path):
    """As after `pip install` of a wheel, which lays the notebooks into the package: see pyproject.toml."""
    inside = house.packages / "herbcalc"
    shutil.move(house.top / "herbcalc", inside)
    carried = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    for shelf, place in carried["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"].items():
        assert (ROOT / shelf).is_dir()
        if (house.top / shelf).exists():
            shutil.copytree(house.top / shelf, house.packages / place)
    papers = house.packages / "herbcalc-1.dist-info" / "METADATA"
    papers.parent.mkdir()
    papers.write_text("Metadata-Version: 2.1\nName: herbcalc\nVersion: 1\nRequires-Dist: tinyleaf==1\n")
    words = [str(house.env / "bin" / "python"), "-m", "herbcalc"]
    env = {name: value for name, value in house.surroundings(False).items() if name != "PYTHONPATH"}
    run = subprocess.run(words, cwd=tmp_path, env=env, capture_output=True, text=True, timeout=120)
    assert f"{OPENED} 1 and settings in {house.home / '.settings'}" in run.stdout, run.stdout
    assert (house.home / "workbook" / "00_start.ipynb").exists()
