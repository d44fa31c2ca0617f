"""Floor 6. `hub`: the configuration by which JupyterHub serves the workbook to a class, and how to go on from there.

Accounts of the computer keep students apart: a program that a student runs can do what their account can, and no
more. JupyterHub's own way to do without accounts is there to look at (`--trial`), and says what it is.
"""

from __future__ import annotations

import os
import secrets
import shlex
import shutil
import stat
import sys
from collections.abc import Iterator
from pathlib import Path
from string import Template

from herbcalc.person import NotKept, writing
from herbcalc.place import CLASS
from herbcalc.run import copies, environment, lab, npm
from herbcalc.run.building import NotReady
from herbcalc.run.console import ME, say
from herbcalc.run.student import CARRIES_CLASS

EXTRAS = ("workbook", "hub")
USUAL, FOR_A_TRIAL = ".hub", ".hub-trial"
PORT = 8000
CONFIG, STUDENTS, PASSWORD = "jupyterhub_config.py", "students.txt", "password.txt"
PROXY = "configurable-http-proxy"
PROXY_ASKED = f"{PROXY}@4"  # the last that runs on Debian 12's Node (18) as well as on newer ones

SETTINGS = Template("""\
# How a class reaches the workbook: settings of JupyterHub. Written by: python3 -m herbcalc hub
# They are yours to read and to change. Typed again, the command keeps changed ones beside its own.
import pwd
import secrets
from pathlib import Path
from urllib.parse import unquote

HERE = Path(__file__).resolve().parent  # what JupyterHub keeps lies here as well; nobody else may look into it

# Who may come in: whoever stands in students.txt, one name a line. A change counts from the next start on.
text = (HERE / "$students").read_text("utf-8-sig", "replace")
names = (line.strip() for line in text.splitlines())
c.Authenticator.allowed_users = {name for name in names if name and not name.startswith("#")}
c.Authenticator.allow_existing_users = False
# Nothing is kept of who has logged in, so who was taken off the list stays out from the next start on.
c.JupyterHub.db_url = "sqlite:///:memory:"
c.JupyterHub.cookie_secret = secrets.token_bytes(32)
c.Authenticator.blocked_users = {"root"}  # a student's programs must not run as the computer's master

$kept_apart
# Where: only this computer itself reaches this address. Before it is opened to others, whoever looks after the
# computer sees to https (without it, passwords can be read on the way) and to the firewall. The address then begins
# with https://, and c.JupyterHub.ssl_key and c.JupyterHub.ssl_cert are the paths of the key and the certificate.
c.JupyterHub.bind_url = "http://127.0.0.1:$port"
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:$inner"  # these two are for JupyterHub's own parts
c.JupyterHub.hub_port = $innermost
c.ConfigurableHTTPProxy.command = $proxy

# What each student gets: their copies of the notebooks and the settings, as `python3 -m herbcalc` brings them.
c.Spawner.cmd = [$python, "-m", "herbcalc.run.student"]
# Your class.toml goes to all of them when they come in, if it lies beside this file when JupyterHub starts.
if (HERE / "$sheet").exists():
    c.Spawner.environment = {"$carries": (HERE / "$sheet").read_text("utf-8-sig", "replace")}
# A lesson whose page is closed gives its memory back after so many seconds; answers were kept when they were given.
c.Spawner.args = ["--MappingKernelManager.cull_idle_timeout=3600"]
c.Spawner.start_timeout = 180  # seconds: a whole class may come in at once
c.Spawner.http_timeout = 180
c.ConfigurableHTTPProxy.pid_file = str(HERE / "proxy.pid")
""")
ACCOUNTS = """\
# What keeps students apart: each logs in with an account of this computer and its password, and their notebooks run
# in that account, in the folder my-herb-sums of its home.
c.JupyterHub.authenticator_class = "pam"
c.JupyterHub.spawner_class = "localprocess"


def has_account(name):
    \"""Whether this computer has an account of that name; says so where it has none.\"""
    try:
        return bool(pwd.getpwnam(name.lower()))  # JupyterHub takes capital letters for small ones
    except KeyError:
        print(f"{name} stands in $students, and this computer has no account of that name: they cannot log in yet.")
        return False


c.Authenticator.allowed_users = set(filter(has_account, sorted(c.Authenticator.allowed_users)))
"""
TRIAL = """\
# A trial: NOTHING keeps students apart. One password lets anybody in under any name of the list, and all notebooks
# run in the account that started JupyterHub: what one student runs can read what every other wrote.
c.JupyterHub.authenticator_class = "shared-password"
c.SharedPasswordAuthenticator.user_password = (HERE / "password.txt").read_text(encoding="utf-8").strip()
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = str(HERE / "people" / "{username}")
c.JupyterHub.template_vars = {"announcement_login": "A trial: nobody's folder is kept from anybody else here."}


def can_be_a_name(name):
    \"""Whether a folder and an address can be called so; says so where they cannot. JupyterHub would end over it.\"""
    if "/" not in name and set(unquote(name)) != {"."}:
        return True
    print(f"{name} stands in $students, and no name may hold a / or be dots alone: nobody can come in under it.")
    return False


c.Authenticator.allowed_users = set(filter(can_be_a_name, sorted(c.Authenticator.allowed_users)))
"""
NOBODY_YET = """\
# Who may come in: the name of each student's account on this computer, one a line, in small letters.
"""
INVENTED = """\
# Who may come in: invented names, for a trial, one a line, in small letters.
anna
ben
"""


def carry_out(folder: Path | None, trial: bool, port: int) -> int:
    """Fetch what is missing, write the configuration, and say how to go on; gives the exit code.

    folder: where the configuration goes, None for `.hub` (or `.hub-trial`) in the checkout; trial: without accounts;
    port: the number in the address, the next two are used as well.
    Refuses (NotReady, NotKept): Windows; a port in use; no network, no npm; a folder that cannot be written to.
    """
    if os.name == "nt":
        raise NotReady(
            "JupyterHub does not run on Windows. It runs on Linux, so on another computer, or in the Linux that "
            f"Windows can hold (WSL). Or build a website of the workbook, which asks nothing of students:  {ME} site"
        )
    for door in range(port, port + 3):
        if not lab.free(door):
            raise NotReady(
                f"Something on this computer already uses port {door}; it may be a JupyterHub that runs. Stop it, or "
                f"choose another number:  {ME} hub --port {port + 100}"
            )
    here = environment.CHECKOUT if environment.is_checkout() else Path.cwd()
    folder = (folder or here / (FOR_A_TRIAL if trial else USUAL)).absolute()
    python = environment.python(EXTRAS)
    settings = SETTINGS.substitute(
        students=STUDENTS,
        sheet=CLASS,
        carries=CARRIES_CLASS,
        kept_apart=Template(TRIAL if trial else ACCOUNTS).substitute(students=STUDENTS),
        port=port,
        inner=port + 1,
        innermost=port + 2,
        proxy=proxy(),
        python=repr(str(python)),
    )
    for sentence in lay(folder, settings, trial):
        say(sentence)
    start = shlex.join([str(python), "-m", "jupyterhub", "--config", str(folder / CONFIG)])
    after = f"Then open http://localhost:{port} in a browser on this computer. Ctrl C in this window stops it."
    say(trial_from_here(folder, start, after) if trial else class_from_here(folder, start, after, python))
    return 0


def proxy() -> list[str]:
    """The words that start JupyterHub's proxy, a small program for Node; one that is here already is taken as it is.

    Refuses (NotReady): where it is not to be had.
    """
    if there := shutil.which(PROXY):
        return [there]
    if not environment.is_checkout():
        raise NotReady(f"JupyterHub needs its proxy as well. This brings it:\n\n    npm install -g {PROXY_ASKED}\n")
    program = npm.fetched(PROXY_ASKED, f"{PROXY}/bin/{PROXY}")
    node = shutil.which("node")
    if not node:
        raise NotReady("Node was not found, which runs JupyterHub's proxy:  sudo apt install nodejs")
    return [node, str(program)]


def lay(folder: Path, settings: str, trial: bool) -> list[str]:
    """Put what JupyterHub is to know into a folder that only its owner may look into; sentences on what was done.

    Settings that stand there already and differ are kept beside the new ones; a list of students stays as it is.
    Refuses (NotKept): what the disk refuses, and a folder that serves for something else: it would be shut to others.
    """
    config, done = folder / CONFIG, []
    beside = {STUDENTS: INVENTED, PASSWORD: secrets.token_hex(8)} if trial else {STUDENTS: NOBODY_YET}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if {file.name for file in folder.iterdir()}.isdisjoint({CONFIG, STUDENTS}) and any(folder.iterdir()):
            raise NotKept(
                f"{folder} holds other things, and from now on nobody else could look into it. Let the configuration "
                f"have a folder of its own, which the command makes, such as {folder / 'herb-class'}"
            )
        folder.chmod(0o700)
        if config.is_dir() or writing.held(config) not in (None, settings.encode()):
            kept = copies.spare(config)
            config.rename(kept)
            done.append(f"The settings that were there are kept as {kept.name}.")
    except NotKept:
        raise
    except PermissionError as trouble:
        raise NotKept(
            f"The account in which you typed this may not change {folder}. Where the folder was made with sudo, put "
            "sudo before this command as well; or name another folder behind it."
        ) from trouble
    except OSError as trouble:
        raise NotKept(writing.not_kept("The configuration", folder, trouble)) from trouble
    writing.write(config, settings)
    for name, text in beside.items():
        if not (folder / name).exists():
            writing.write(folder / name, text)
    return [*done, f"The configuration is in {folder}: {CONFIG} and {STUDENTS}."]


def trial_from_here(folder: Path, start: str, after: str) -> str:
    """What to type next, for a look by oneself."""
    password = (folder / PASSWORD).read_text(encoding="utf-8").strip()
    if os.geteuid() == 0:
        after += " You typed this with sudo, or as root, and whoever comes in would be root as well: better without."
    return (
        "This is a trial, not for a class: nobody's folder is kept from anybody else.\n\nStart it:\n\n"
        f"    {start}\n\n{after}\nCome in under a name that stands in {STUDENTS}. The password is {password}"
    )


def class_from_here(folder: Path, start: str, after: str, python: Path) -> str:
    """What to type next, for a class, and what to mend first."""
    shut = next(filter(None, map(shut_to_others, needed(python))), None)
    loose = next(filter(None, map(open_to_others, [*needed(python), folder])), None)
    mend = (
        f"FIRST OF ALL: students' accounts cannot read {shut}, which they need. Copy the folder with README.md to a "
        "place that every account can read, such as /opt/herbcalc, and type this command there, with a Python that "
        "every account can start, such as /usr/bin/python3."
    )
    fasten = (
        f"FIRST OF ALL: every account of this computer may change {loose}, so a student could lay a program there "
        "that JupyterHub runs for all. This takes that right away:\n\n"
        f"    sudo chmod -R o-w {shlex.quote(str(loose))}"
    )
    steps = (
        "Two more commands, typed by somebody who looks after this computer. For each student an account (here for "
        f"anna), and its name into {folder / STUDENTS}:\n\n"
        "    sudo useradd --create-home --shell /bin/bash anna && sudo passwd anna\n\n"
        f"Then start it:\n\n    sudo {start}\n\n{after}\n"
        f"How other computers reach it: see {folder / CONFIG}."
    )
    return "\n\n".join([*([mend] if shut else []), *([fasten] if loose else []), steps])


def needed(python: Path) -> list[Path]:
    """What a student's account must be able to read: the environment, the Python that made it, and herbcalc."""
    return [python, Path(sys.base_prefix), environment.CHECKOUT / "herbcalc" / "__init__.py"]


def shut_to_others(path: Path) -> Path | None:
    """The first on the way to `path`, or it itself, that other accounts may not read; None where they may all."""
    for place in on_the_way(path):
        wanted = stat.S_IXOTH if place.is_dir() else stat.S_IROTH
        if not place.stat().st_mode & wanted:
            return place
    return None


def open_to_others(path: Path) -> Path | None:
    """The first of these that every account may change; a folder like /tmp, where each keeps their own, is none."""
    for place in on_the_way(path):
        if place.stat().st_mode & (stat.S_IWOTH | stat.S_ISVTX) == stat.S_IWOTH:
            return place
    return None


def on_the_way(path: Path) -> Iterator[Path]:
    """The folders on the way to `path`, and it itself.

    Links are followed: an environment's Python is one, to the Python that made it.
    """
    real = path.resolve()
    yield from (*reversed(path.parents), *reversed(real.parents), real)
