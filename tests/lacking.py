"""What a computer lacks for a test: said in words where it may be left out, a failure where everything must run."""

from __future__ import annotations

import os
from typing import NoReturn

import pytest


def missing(what: str) -> NoReturn:
    """Leave a test out because of what this computer lacks; fail where it is required."""
    if os.environ.get("HERBCALC_BROWSER") == "required":
        pytest.fail(f"HERBCALC_BROWSER=required, and {what}")
    pytest.skip(what)
