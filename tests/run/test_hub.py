"""`hub`: what it writes and says, and what a student's server begins with. The hub itself: test_hub_served.py."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
from pathlib import Path
from types import SimpleNamespace

import pytest

from herbcalc import launch
from herbcalc.run import copies, environment, lab, npm, serving, student
from tests.run.at_the_hub import first_of_three

pytestmark = pytest.mark.skipif(os.name == "nt", reason="JupyterHub does not run on Windows")


@pytest.fixture
def ready(monkeypatch, tmp_path):
    """Everything is there; nothing is fetched. Gives the folder for the configuration."""
    monkeypatch.setenv("HERBCALC_ENV", "here")
    monkeypatch.setattr(serving, "proxy", lambda: ["/usr/bin/node", "proxy"])
    monkeypatch.setattr(serving, "PORT", first_of_three())
    return tmp_path / "class"


def said(capsys, *words: object, code: int = 0) -> str:
    assert launch.main(["hub", *map(str, words)]) == code
    return capsys.readouterr().out


# --- what is written ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", [[], ["--trial"]])
def test_every_setting_is_one_that_jupyterhub_knows(ready, capsys, words):
    """A setting that it does not know is passed over without a word."""
    pytest.importorskip("jupyterhub")
    from jupyterhub.app import JupyterHub
    from jupyterhub.auth import PAMAuthenticator
    from jupyterhub.authenticators.shared import SharedPasswordAuthenticator
    from jupyterhub.proxy import ConfigurableHTTPProxy
    from jupyterhub.spawner import LocalProcessSpawner, SimpleLocalProcessSpawner
    from traitlets.config.loader import PyFileConfigLoader

    said(capsys, ready, *words)
    (ready / serving.STUDENTS).write_text("# the class\n\n nobody \ndaemon\n../x\n%2e.\n", encoding="utf-8")
    config = PyFileConfigLoader(serving.CONFIG, path=str(ready)).load_config()
    every = (JupyterHub, PAMAuthenticator, SharedPasswordAuthenticator, ConfigurableHTTPProxy)
    known = {part.__name__: part for one in every for part in one.__mro__}
    known |= {part.__name__: part for part in (*LocalProcessSpawner.__mro__, SimpleLocalProcessSpawner)}
    for part, settings in config.items():
        for name, value in settings.items():
            trait = known[part].class_traits(config=True)[name]
            trait._validate(known[part].__new__(known[part]), value)
    assert config.Authenticator.allowed_users == {"nobody", "daemon"}
    why = "no name may hold a / or be dots alone" if words else "this computer has no account of that name"
    told = capsys.readouterr().out
    for name in ("../x", "%2e."):  # over such a name JupyterHub would end, with words of its own
        assert not words or not PAMAuthenticator().validate_username(name)
        assert f"{name} stands in students.txt, and {why}: " in told
    assert config.JupyterHub.bind_url.startswith("http://127.0.0.1:"), "nobody else reaches it unasked"
    assert config.JupyterHub.db_url == "sqlite:///:memory:", "a login or a token would outlive a place on the list"
    assert config.JupyterHub.authenticator_class == ("shared-password" if words else "pam")
    assert config.JupyterHub.spawner_class == ("simple" if words else "localprocess")


def test_an_empty_list_lets_nobody_in(ready, capsys):
    said(capsys, ready)
    c = SimpleNamespace(Authenticator=SimpleNamespace(), JupyterHub=SimpleNamespace())
    space = {"c": c, "__file__": str(ready / serving.CONFIG)}
    text = (ready / serving.CONFIG).read_text(encoding="utf-8")
    exec(text[: text.index("c.Authenticator.blocked")], space)
    assert c.Authenticator.allowed_users == set()
    assert c.Authenticator.allow_existing_users is False


def test_a_list_typed_on_another_computer_is_read(ready, capsys):
    """With the mark that Windows puts first, its line ends, and a letter that is none."""
    said(capsys, ready)
    (ready / serving.STUDENTS).write_bytes(b"\xef\xbb\xbfanna\r\nben \r\n# b\xe9a\r\n")
    c = SimpleNamespace(Authenticator=SimpleNamespace(), JupyterHub=SimpleNamespace())
    text = (ready / serving.CONFIG).read_text(encoding="utf-8")
    exec(text[: text.index("c.Authenticator.blocked")], {"c": c, "__file__": str(ready / serving.CONFIG)})
    assert c.Authenticator.allowed_users == {"anna", "ben"}


@pytest.mark.parametrize("keeps", ["README.md", "home"])
def test_a_folder_that_serves_for_something_else_is_not_shut(ready, capsys, keeps):
    """As /srv, a home folder, the checkout."""
    (ready / keeps).mkdir(parents=True)
    ready.chmod(0o755)
    assert f"Let the configuration have a folder of its own, which the command makes, such as {ready}/" in said(
        capsys, ready, code=1
    )
    assert ready.stat().st_mode & 0o777 == 0o755
    assert [file.name for file in ready.iterdir()] == [keeps]


def test_nobody_else_may_look_into_the_folder(ready, capsys):
    ready.mkdir(mode=0o755)
    said(capsys, ready, "--trial")
    assert ready.stat().st_mode & 0o777 == 0o700


def test_typed_again_it_changes_nothing(ready, capsys):
    said(capsys, ready, "--trial")
    before = {file.name: file.read_bytes() for file in ready.iterdir()}
    assert "-kept-" not in said(capsys, ready, "--trial")
    assert {file.name: file.read_bytes() for file in ready.iterdir()} == before


def test_changed_settings_are_kept_and_the_list_stays(ready, capsys):
    said(capsys, ready)
    mine = "c.JupyterHub.bind_url = 'https://class.example'\n"
    (ready / serving.CONFIG).write_text(mine, encoding="utf-8")
    (ready / serving.STUDENTS).write_text("anna\n", encoding="utf-8")
    assert "kept as jupyterhub_config-kept-1.py" in said(capsys, ready)
    assert (ready / "jupyterhub_config-kept-1.py").read_text(encoding="utf-8") == mine
    assert (ready / serving.STUDENTS).read_text(encoding="utf-8") == "anna\n"
    assert "pam" in (ready / serving.CONFIG).read_text(encoding="utf-8")


# --- what is said ---------------------------------------------------------------------------------------------------


def test_the_three_commands_of_the_readme_are_those_that_it_prints(ready, capsys):
    told = said(capsys, ready)
    readme = (environment.CHECKOUT / "README.md").read_text(encoding="utf-8")
    for step in ("sudo useradd --create-home --shell /bin/bash anna && sudo passwd anna", "-m jupyterhub --config"):
        assert step in told
        assert step in readme
    assert f"{ready}/{serving.STUDENTS}" in told


@pytest.mark.parametrize("account", [0, 1000])
def test_a_trial_says_what_it_is(ready, capsys, monkeypatch, account):
    monkeypatch.setattr(os, "geteuid", lambda: account)
    told = said(capsys, ready, "--trial")
    assert "not for a class: nobody's folder is kept from anybody else" in told
    assert (ready / serving.PASSWORD).read_text(encoding="utf-8") in told
    assert "    sudo" not in told
    assert ("whoever comes in would be root as well" in told) == (account == 0)


@pytest.fixture
def open_to_all():
    """A folder that every account may look into; pytest's own are not."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        folder.chmod(0o755)
        if (shut := serving.shut_to_others(folder)) is not None:
            pytest.skip(f"other accounts may not look into {shut} on this computer, so not into any folder in it")
        yield folder


def test_a_place_that_accounts_cannot_read_is_named_first(ready, capsys, monkeypatch, open_to_all):
    program, link = open_to_all / "mias" / "python", open_to_all / "python"
    program.parent.mkdir(mode=0o755)
    program.touch(0o755)
    link.symlink_to(program)
    monkeypatch.setattr(serving, "needed", lambda python: [open_to_all, link])
    assert "FIRST OF ALL" not in said(capsys, ready)
    program.chmod(0o750)
    assert said(capsys, ready).count(f"FIRST OF ALL: students' accounts cannot read {program}, ") == 1
    program.parent.chmod(0o700)
    told = said(capsys, ready)
    assert told.index(f"accounts cannot read {program.parent}, ") < told.index("Two more commands")


def test_a_place_that_every_account_may_change_is_named_first(ready, capsys, monkeypatch, open_to_all):
    monkeypatch.setattr(serving, "needed", lambda python: [open_to_all / "python"])
    (open_to_all / "python").touch(0o755)
    assert "may change" not in said(capsys, ready)
    open_to_all.chmod(0o1777)  # as /tmp has it: nobody changes what is another's
    assert "may change" not in said(capsys, ready)
    open_to_all.chmod(0o777)
    told = said(capsys, ready)
    assert told.index(f"sudo chmod -R o-w {open_to_all}\n") < told.index("Two more commands")


@pytest.mark.parametrize("step", [0, 1, 2])
def test_a_port_in_use_is_named(ready, capsys, step):
    with socket.socket() as door:
        door.bind(("127.0.0.1", serving.PORT + step))
        door.listen()
        told = said(capsys, ready, code=1)
    assert f"already uses port {serving.PORT + step}" in told
    assert not ready.exists()


def test_windows_gets_a_way_that_works(ready, capsys, monkeypatch):
    monkeypatch.setattr(serving, "os", SimpleNamespace(name="nt"))
    told = said(capsys, ready, code=1)
    assert "does not run on Windows" in told
    assert "herbcalc site" in told


def test_a_file_in_the_way_is_refused(ready, capsys):
    ready.write_text("mine", encoding="utf-8")
    assert "is in the way" in said(capsys, ready, code=1)
    assert ready.read_text(encoding="utf-8") == "mine"


# --- the proxy, from npm --------------------------------------------------------------------------------------------


@pytest.fixture
def no_proxy(monkeypatch, tmp_path):
    """A computer without a proxy, and with the programs in `tmp_path / "bin"` alone."""
    (tmp_path / "bin").mkdir()
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    monkeypatch.setattr(npm, "FOLDER", tmp_path / "npm")
    return tmp_path / "bin"


def program(place: Path, script: str) -> None:
    place.write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    place.chmod(0o755)


def test_without_npm_it_says_how_to_have_it(no_proxy):
    with pytest.raises(environment.NotReady, match="sudo apt install nodejs npm"):
        serving.proxy()


def test_an_npm_that_reaches_nothing(no_proxy):
    program(no_proxy / "npm", "echo 'npm ERR! network request failed' >&2; exit 1")
    with pytest.raises(environment.NotReady, match=r"internet is there.*network request failed"):
        serving.proxy()


def test_a_folder_that_another_account_has_made(no_proxy, tmp_path, monkeypatch):
    """It was set up with sudo, and the command is typed without."""
    program(no_proxy / "npm", "exit 0")
    (tmp_path / "npm").write_text("")  # what refuses root as well
    with pytest.raises(environment.NotReady, match=r"could not be put into .*put sudo before this command"):
        serving.proxy()


def test_what_npm_brought_is_not_fetched_twice(no_proxy, tmp_path):
    file = f"node_modules/{serving.PROXY}/bin"
    program(no_proxy / "npm", f"/bin/mkdir -p {file}; echo $* >> asked; echo > {file}/{serving.PROXY}")
    program(no_proxy / "node", "")
    for _ in range(2):
        assert serving.proxy() == [str(no_proxy / "node"), str(tmp_path / "npm" / file / serving.PROXY)]
    assert (tmp_path / "npm" / "asked").read_text().count(serving.PROXY_ASKED) == 1
    assert "--ignore-scripts" in (tmp_path / "npm" / "asked").read_text(), "it may run behind sudo"


def test_a_proxy_that_is_there_is_taken(no_proxy):
    program(no_proxy / serving.PROXY, "")
    assert serving.proxy() == [str(no_proxy / serving.PROXY)]


def test_a_package_fetches_nothing_by_itself(no_proxy, monkeypatch):
    monkeypatch.setattr(environment, "is_checkout", lambda: False)
    with pytest.raises(environment.NotReady, match=f"npm install -g {serving.PROXY_ASKED}"):
        serving.proxy()


# --- a student's server ---------------------------------------------------------------------------------------------

BEGINS = """
import ctypes, json, os, sys
def end(signal=ctypes.c_int()):
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(2, ctypes.byref(signal))
    return signal.value
os.execv = lambda program, words: print(json.dumps([words, dict(os.environ), os.umask(0), end()]))
from herbcalc.run import student
student.main()
"""


def begun(home: Path, *words: str, **also: str) -> subprocess.CompletedProcess[str]:
    """What a student's server is started with, in an account with this home folder."""
    around = {"HOME": str(home), "PATH": os.environ["PATH"], "PYTHONPATH": str(environment.CHECKOUT), **also}
    return subprocess.run(
        [sys.executable, "-c", BEGINS, *words], env=around, cwd=home, capture_output=True, text=True
    )


def test_a_students_server_begins_as_the_workbook_does(tmp_path):
    (tmp_path / "my-herb-sums").mkdir(mode=0o755)  # from a day before the class was served
    around = {"HERBCALC_SETTINGS": str(tmp_path / "the-teachers"), student.CARRIES_CLASS: 'class = "fern7"\n'}
    told = begun(tmp_path, "--a-setting=of-the-hubs", **around)
    words, around, mask, ends = json.loads(told.stdout.splitlines()[-1])
    home = tmp_path / "my-herb-sums"
    assert mask == 0o077
    assert ends == (signal.SIGTERM if sys.platform == "linux" else 0), "it would outlive a hub that is killed"
    assert home.stat().st_mode & 0o777 == 0o700
    assert not [place for place in home.rglob("*") if place.stat().st_mode & 0o077]
    assert words[1:3] == lab.starts("jupyterhub.singleuser")
    assert set(lab.words(home)) < set(words)
    assert f"--ServerApp.default_url=/lab/tree/{lab.FIRST}" in words
    assert all((home / name).is_file() for name in copies.shipped())
    assert around["JUPYTER_CONFIG_PATH"] == str(lab.SHIPPED)
    assert (home / "class.toml").read_text(encoding="utf-8") == 'class = "fern7"\n'
    assert words[-1] == "--a-setting=of-the-hubs"
    assert "--MappingKernelManager.transport_encryption=required" in words, "every account could listen to a kernel"
    for name in lab.PLACES:  # never the environment's, which a teacher's own account might be able to write to
        assert Path(around[name]).is_relative_to(home), name


def test_a_folder_that_cannot_be_used_is_said_in_the_hubs_window(tmp_path):
    (tmp_path / "my-herb-sums").write_text("mine", encoding="utf-8")
    told = begun(tmp_path)
    assert told.returncode == 1
    assert "What you do here could not be kept" in told.stdout
    assert "Traceback" not in told.stderr
