"""Floor 6. What an environment holds of what is needed: run as a file by that environment's own Python.

It follows the needs that each part names in its own papers, down to the last of them, and looks whether the files are
there; so nobody keeps a list of names, and a folder that somebody deleted is noticed. Standard library, and
the reader of needs that Jupyter and pip both bring.
"""

from __future__ import annotations

import csv
import importlib.metadata
import importlib.util
import json
import os
import re
import sys
from collections import deque
from functools import cached_property
from pathlib import Path
from typing import Any

try:
    from packaging.requirements import Requirement
except ModuleNotFoundError:  # it is a part like others, and may be what is missing
    from pip._vendor.packaging.requirements import Requirement

_EXTRA = re.compile(r"""extra\s*==\s*['"]([^'"]+)['"]""")
Groups = dict[str, list[str]]


def main() -> None:
    """Print what `held` finds as one line of JSON; the groups come as JSON behind the name of this file."""
    print(json.dumps(held(json.loads(sys.argv[1]))))


def held(groups: Groups) -> dict[str, Any]:
    """What is here, and what each group of needs lacks.

    groups: needs as pyproject.toml writes them, by a name of our choosing. Result: "home", the herbcalc that an
    import would find; "have", the version of each part by its name; "gaps", for each group three lists for pip to
    fetch: "absent", "torn" (files of it are gone) and "older" (another version is asked for).
    """
    have = {part.name: part for part in map(Part, importlib.metadata.distributions())}
    home = importlib.util.find_spec("herbcalc")
    return {
        "home": str(Path(home.origin).parent) if home and home.origin else "",
        "have": {name: part.version for name, part in have.items()},
        "gaps": {group: _gaps(needs, have) for group, needs in groups.items()},
    }


class Part:
    """A part that is here: its plain name, its version, the needs of its own.

    Its papers are read once. Python's own reader goes through them anew for each word that is asked of it, down to
    the end of the page that praises the part; a start waited for that.
    """

    def __init__(self, found: importlib.metadata.Distribution) -> None:
        papers = found.metadata
        self.found, self.name, self.version = found, _plain(papers["Name"]), papers["Version"]
        old = found.requires if found.read_text("requires.txt") else None  # as setuptools wrote it once
        self.needs: list[str] = papers.get_all("Requires-Dist") or old or []

    @cached_property
    def torn(self) -> bool:
        """Whether a file of Python that came with it is gone."""
        listed = self.found.read_text("RECORD")
        if listed is None:  # other tools than pip may keep no list; then nothing can be said
            return False
        files = (row[0] for row in csv.reader(listed.splitlines()) if row and row[0].endswith(".py"))
        top = str(self.found.locate_file(""))
        return not all(os.path.exists(f"{top}/{file}") for file in files)  # noqa: PTH110 - thousands, at each start


def _gaps(needs: list[str], have: dict[str, Part]) -> dict[str, list[str]]:
    """What these needs, and the needs of what they need, lack."""
    absent: dict[str, Any] = {}
    torn: dict[str, str] = {}
    older: dict[str, str] = {}
    ahead = deque((Requirement(text), ("",), True) for text in needs)
    seen = set()
    while ahead:
        need, extras, asked_by_us = ahead.popleft()
        name = _plain(need.name)
        if need.marker and not any(need.marker.evaluate({"extra": extra}) for extra in extras):
            continue
        part = have.get(name)
        if part is None:
            need.marker = None
            need.specifier &= absent.setdefault(name, need).specifier  # several may ask for it, each with a bound
            absent[name] = need
            continue
        if asked_by_us and not need.specifier.contains(part.version, prereleases=True):
            older[name] = str(need)
        asked = (name, frozenset(need.extras))
        if asked in seen:
            continue
        if part.torn:
            torn[name] = f"{need.name}=={part.version}"
        seen.add(asked)
        extras = ("", *need.extras)
        ahead.extend((Requirement(text), extras, False) for text in part.needs if _concerns(text, extras))
    return {"absent": [str(need) for need in absent.values()], "torn": [*torn.values()], "older": [*older.values()]}


def _concerns(text: str, extras: tuple[str, ...]) -> bool:
    """Whether a need may be meant for these extras: most are for others, and reading them all would take seconds."""
    named = _EXTRA.findall(text)
    return not named or any(extra in named for extra in extras)


def _plain(name: str) -> str:
    """A part's name as all ways of writing it are compared: "Jupyter_Lab" is "jupyter-lab"."""
    return name.lower().replace("_", "-").replace(".", "-")


if __name__ == "__main__":
    main()
