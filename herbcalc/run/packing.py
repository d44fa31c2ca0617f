"""Floor 6. `pack`: the checkout with all the parts that the workbook needs, for a first start without a network."""

from __future__ import annotations

import json
import shutil
import subprocess
import time
from pathlib import Path

from herbcalc import __version__
from herbcalc.run import building, environment
from herbcalc.run.children import clean
from herbcalc.run.console import ME, say

USUAL = environment.CHECKOUT / ".pack"
ALSO = (".ci", ".gitignore")  # what belongs to the project though its name begins with a dot
EXTRAS = ("workbook",)


def carry_out(to: Path | None) -> int:
    """Make the pack as a new folder below `to` (None: `.pack` in the checkout), and say how large it is.

    Gives back the exit code. Refuses (NotReady): no checkout, no network the first time, a disk that refuses.
    """
    began = time.monotonic()
    if not environment.is_checkout():
        raise environment.NotReady("A pack is made from the folder that herbcalc is made in, with its README.md.")
    python = environment.python(EXTRAS)
    kind = building.kind_of_computer()
    pack = (to or USUAL) / f"herbcalc-{__version__}-{kind['platform']}-python{kind['python']}"
    if pack.resolve().is_relative_to(environment.CHECKOUT) and to is not None:
        raise environment.NotReady(f"{to} lies in the folder that is to be packed. Name one outside of it.")
    if pack.exists():
        raise environment.NotReady(
            f"{pack} is there already. Move it or delete it, then type the same command again."
        )
    say(f"Packing into {pack}")
    beside = building.beside(pack, "new")
    try:
        building.clear(beside)
        lay_checkout(environment.CHECKOUT, beside)
        say("  fetching the parts ...")
        lay_wheels(python, beside / building.WHEELS)
        beside.rename(pack)
    except OSError as trouble:
        raise environment.NotReady(
            f"The pack could not be laid: {trouble.strerror or trouble} ({pack})."
        ) from trouble
    finally:
        building.clear(beside)
    files = [file for file in pack.rglob("*") if file.is_file()]
    say(
        f"Done: {len(files)} files, {sum(file.stat().st_size for file in files) / 1e6:.0f} MB, "
        f"{time.monotonic() - began:.0f} seconds.\n"
        f"Copy the whole folder to a computer of the same kind ({kind['platform']}, Python {kind['python']} or a "
        f"later {kind['python'].rpartition('.')[0]}) and "
        f"type there, in that folder:\n\n    {ME}\n\nThe first start then needs no internet."
    )
    return 0


def lay_checkout(checkout: Path, to: Path) -> None:
    """Copy what belongs to the project: all but what a run leaves behind, which has a dot before its name."""
    to.mkdir(parents=True)
    for entry in checkout.iterdir():
        if entry.name.startswith(".") and entry.name not in ALSO:
            continue
        if entry.is_dir():
            shutil.copytree(entry, to / entry.name, ignore=shutil.ignore_patterns(".*", "__pycache__", "*.pyc"))
        else:
            shutil.copy2(entry, to / entry.name)


def lay_wheels(python: Path, to: Path) -> None:
    """Fetch every part that the workbook needs, ready to be put in place, and note for which computers they are."""
    groups = environment.needs()
    needs = [need for group in (environment.CORE, *EXTRAS) for need in groups[group]]
    words = [str(python), "-m", "pip", "wheel", *building.QUIET, *building.source(environment.CHECKOUT)]
    ran = subprocess.run(
        [*words, "--wheel-dir", str(to), *needs],
        capture_output=True,
        text=True,
        cwd=environment.CHECKOUT,
        env=clean(building.HABITS),
    )
    if ran.returncode:
        raise environment.NotReady(building.why(ran.stdout + ran.stderr, "fetching the parts", environment.CHECKOUT))
    (to / building.NOTE).write_text(json.dumps(building.kind_of_computer()), encoding="utf-8")
