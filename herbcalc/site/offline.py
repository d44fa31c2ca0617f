"""Floor 6. Without a network: a worker that knows each file of the site and has the browser keep it."""

from __future__ import annotations

import json
from pathlib import Path

from herbcalc.site.parts import DATA, sha256

WORKER = "service-worker.js"  # the name under which JupyterLite's pages ask for it
THEIRS = "jupyterlite-worker.js"


def lay_worker(site: Path) -> str:
    """Put our worker into a finished site, in front of JupyterLite's; gives the name of this release.

    The name is a sha256 over all names and contents: another site, however little it differs, is another release.
    """
    (site / WORKER).rename(site / THEIRS)
    found = [path for path in sorted(site.rglob("*")) if path.is_file()]
    files = {path.relative_to(site).as_posix(): sha256(path.read_bytes()) for path in found}
    release = sha256(json.dumps(files).encode("utf-8"))
    script = (DATA / WORKER).read_text(encoding="utf-8")
    script = script.replace('"FILES"', json.dumps(files)).replace('"RELEASE"', json.dumps(release[:16]))
    (site / WORKER).write_text(script, encoding="utf-8")
    return release
