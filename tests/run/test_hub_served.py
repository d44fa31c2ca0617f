"""Two students at a real JupyterHub: each answers an item, and neither sees the other's folder.

With accounts of this computer, where the environment variable HERBCALC_ACCOUNTS=make allows two to be made (and taken
away again); elsewhere without, as `hub --trial` has it.
"""

from __future__ import annotations

import importlib.util
import json
import os
import secrets
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import zmq

from herbcalc import homework
from herbcalc.run import copies, environment, lab, serving
from herbcalc.run.children import alone
from herbcalc.run.server import VIEW
from herbcalc.show.card import VERDICTS
from tests.lacking import missing
from tests.run import at_the_hub
from tests.run.at_the_hub import Student, left_over

NUMBERS = {"anna": 3, "ben": 4}
DOOR = """
from ipykernel.connect import get_connection_info
print(get_connection_info(unpack=True)["iopub_port"])
"""
ANSWER = """
import os
from herbcalc import person
person.save_me("fern7", {number})
from herbcalc.show import lesson
here = lesson(1)
card = here.item(1)
card.place.value, card.sure.value = {typed!r}, "sure"
card.check()
handing = here.hand_in()
handing.save()
print(os.getpid(), os.getppid(), card.feedback.value, handing.said.value)
"""
PRY = """
try:
    print(os.listdir({folder!r}))
except PermissionError:
    print("not let in")
"""


@pytest.fixture(autouse=True)
def proxy_is_there():
    """JupyterHub and its proxy, fetched by npm where it is not here yet; without them this is left out, in words."""
    if importlib.util.find_spec("jupyterhub") is None:
        missing("JupyterHub is not installed")
    try:
        serving.proxy()
    except environment.NotReady as refusal:
        missing(str(refusal))


@contextmanager
def accounts() -> Iterator[tuple[dict[str, int], str]]:
    """Two accounts of this computer, with one password; they and their homes go when the test ends."""
    names, password = {f"herb-test-{name}": number for name, number in NUMBERS.items()}, secrets.token_hex(8)

    def take_away() -> None:
        for name in names:
            subprocess.run(["userdel", "--remove", "--force", name], capture_output=True)

    with alone(Path(tempfile.gettempdir(), "herbcalc-test-accounts.lock"), lambda: None):  # not another checkout's
        take_away()  # what a test that was killed has left
        try:
            for name in names:
                subprocess.run(["useradd", "--create-home", "--shell", "/bin/bash", name], check=True)
                subprocess.run(["chpasswd"], input=f"{name}:{password}", text=True, check=True)
            yield names, password
        finally:
            take_away()


def no_accounts() -> str:
    """Why accounts can not be made here; nothing where they can."""
    if os.environ.get("HERBCALC_ACCOUNTS") != "make":
        return "HERBCALC_ACCOUNTS=make is not set, so no accounts are made on this computer"
    if os.geteuid() != 0 or not all(map(shutil.which, ("useradd", "chpasswd", "userdel"))):
        return "accounts can not be made here: that needs root, and useradd"
    shut = next(filter(None, map(serving.shut_to_others, serving.needed(Path(sys.executable)))), None)
    return f"other accounts can not read {shut}, which they would need" if shut else ""


def test_two_accounts(tmp_path):
    if why := no_accounts():
        pytest.skip(why)
    with accounts() as (names, password):
        with at_the_hub.hub(tmp_path / "hub", [], list(names)) as address:
            homes = {name: Path(f"~{name}").expanduser() for name in names}
            left = meet(address, names, password, homes, apart=True)
        assert not left_over(left)


def test_two_students_of_a_trial(tmp_path):
    if not no_accounts():
        pytest.skip("two accounts were tried in its place")
    folder = tmp_path / "hub"
    with at_the_hub.hub(folder, ["--trial"], list(NUMBERS)) as address:
        password = (folder / serving.PASSWORD).read_text(encoding="utf-8").strip()
        homes = {name: folder / "people" / name for name in NUMBERS}
        left = meet(address, NUMBERS, password, homes, apart=False)
    assert not left_over(left)


def meet(address: str, names: dict[str, int], password: str, homes: dict[str, Path], apart: bool) -> list[int]:
    """All that two students do at the hub; the numbers of the processes that were started for them.

    names: with their own numbers; apart: whether they work in accounts of their own.
    """
    students = [Student(address, name) for name in names]
    turned_away(address, students[0].name, password)
    for student in students:
        state, at = student.log_in(password)
        assert state == 200, at
        assert f"/spawn-pending/{student.name}" in at or f"/user/{student.name}/" in at, "it is under way, or there"
    with ThreadPoolExecutor(len(students)) as side_by_side:
        opened = list(side_by_side.map(Student.open, students))
        pry = [PRY.format(folder=str(homes[other.name] / "my-herb-sums")) for other in reversed(students)]
        did = list(side_by_side.map(answer_an_item, students, names.values(), pry))
    for student, page in zip(students, opened, strict=True):
        looks_like_the_workbook(student, page)
        home = homes[student.name] / "my-herb-sums"
        kept_to_themselves(home, names[student.name])
    for student, other in zip(students, reversed(students), strict=True):
        state, at, text = student.ask(f"/user/{other.name}/api/contents")
        assert state == 403, (state, at)
        assert "workbook" not in text
    if apart:
        assert [seen for _, seen in did] == ["not let in"] * len(students)
    return [pid for pids, _ in did for pid in pids]


def turned_away(address: str, name: str, password: str) -> None:
    """A password that is not the right one, a name that is not on the list, and the computer's master."""
    assert Student(address, name).log_in("herb-guess-1")[0] == 403
    assert Student(address, "herb-nobody").log_in(password)[0] == 403
    assert Student(address, "root").log_in(password)[0] == 403


def answer_an_item(student: Student, number: int, pry: str) -> tuple[list[int], str]:
    """Answer item 1.1 as a notebook does, rightly, and then look for the other's folder (`pry`).

    The numbers of the kernel's and the server's process, and what was seen of that folder.
    """
    typed = homework.item(1, 1, "fern7", number).answers()[0]
    with student.kernel() as code, listening(int(code(DOOR))) as heard:
        kernel, server, said = code(ANSWER.format(number=number, typed=typed)).split(" ", 2)
        seen = code(pry).strip()
        assert not heard(), "any account of the computer could listen to what this lesson says"
    assert VERDICTS["right"] in said, said
    assert f'download="answers-fern7-{number}.jsonl"' in said, "handed in from the student's own computer"
    return [int(kernel), int(server)], seen


@contextmanager
def listening(door: int) -> Iterator[Callable[[], list[bytes]]]:
    """Somebody else on the computer at the door through which a kernel speaks: call it for what was heard."""
    with zmq.Context() as context, context.socket(zmq.SUB) as ear:
        ear.linger = 0
        ear.subscribe(b"")
        ear.connect(f"tcp://127.0.0.1:{door}")
        yield lambda: ear.recv_multipart() if ear.poll(500) else []


def looks_like_the_workbook(student: Student, page: dict[str, Any]) -> None:
    """The start page opens, with the settings and the page script that `python3 -m herbcalc` has."""
    assert page["opened"] == f"/user/{student.name}/lab/tree/{lab.FIRST}"
    assert "herbcalc" in [part["name"] for part in page["federated_extensions"]]
    assert page["hubPrefix"] == "/hub/", "by this a page knows that a student can start nothing by a command"
    news = student.own("lab/api/settings/@jupyterlab/apputils-extension:notification")
    assert news["schema"]["properties"]["fetchNews"]["default"] == "false"
    names = {file["name"] for file in student.own("api/contents/workbook")["content"]}
    assert names >= {file.name for file in copies.shipped() if file.parts[0] == "workbook" and len(file.parts) == 2}
    shown = {"output_type": "display_data", "metadata": {}, "data": {"text/plain": "a jar", VIEW: {"model_id": "1"}}}
    cell = {"cell_type": "code", "source": "", "metadata": {}, "execution_count": 1, "outputs": [shown]}
    notebook = {"nbformat": 4, "nbformat_minor": 4, "metadata": {}, "cells": [cell]}
    student.own("api/contents/workbook/mine.ipynb", {"type": "notebook", "content": notebook}, "PUT")
    saved = student.own("api/contents/workbook/mine.ipynb")["content"]["cells"][0]["outputs"][0]["data"]
    assert saved == {"text/plain": "a jar"}, "saved without live widgets"


def kept_to_themselves(home: Path, number: int) -> None:
    """The one answer is in this student's own file, and nobody else's account may read anything here."""
    assert [file.name for file in home.glob("answers-*")] == [f"answers-fern7-{number}.jsonl"]
    line = json.loads((home / f"answers-fern7-{number}.jsonl").read_text(encoding="utf-8"))
    assert (line["number"], line["item"]) == (number, "1.1")
    assert (home / "class.toml").read_text(encoding="utf-8") == at_the_hub.SHEET
    assert home.stat().st_mode & 0o777 == 0o700
    seen = [place for place in home.rglob("*") if not place.is_symlink() and place.stat().st_mode & 0o077]
    assert not seen, seen
