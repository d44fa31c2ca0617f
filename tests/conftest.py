"""Everything here runs as number 1 of class "practice", in a folder of its own, made when this file is read.

The notebooks' kernels inherit it. The same lines stand in tests/, workbook/ and exercises/.
"""

import atexit
import gc
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from typing import Any

import comm
import pytest

os.environ["HERBCALC_HOME"] = tempfile.mkdtemp(prefix="herbcalc-practice-")
atexit.register(shutil.rmtree, os.environ["HERBCALC_HOME"], ignore_errors=True)

import herbcalc.run.unasked  # noqa: E402, F401  (first: see there)
from herbcalc import person  # noqa: E402  (it is to see the folder above)

person.save_me(person.PRACTICE.class_code, person.PRACTICE.number)


gc.disable()  # until all is loaded: it stays


def pytest_collection_finish() -> None:
    """What was loaded is not looked through each time that rubbish is collected, and that is done less often; widgets
    are made for nobody."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
    gc.enable()
    if "ipywidgets" in sys.modules:
        sys.modules["ipywidgets"].Widget.open = _to_nobody


def _to_nobody(widget: Any) -> None:
    """A widget is made for a browser that is not there: it has an address, and nobody writes down its state.

    To gather it takes longer than all that a lesson does. Every notebook is run in a kernel that listens (`test
    notebooks`), and test_hostile_files.py gathers the state of all there is.
    """
    if widget.comm is None:
        nobody = comm.create_comm(target_name="jupyter.widget", data={})
        nobody.kernel = None  # a change need not be sent either, says this to ipywidgets
        widget.comm = nobody


@pytest.fixture(autouse=True)
def _widgets_go() -> Iterator[None]:
    """ipywidgets holds on to each widget that was ever made; those of a test go with it, or there are 100,000."""
    yield
    if "ipywidgets" in sys.modules:
        sys.modules["ipywidgets"].Widget.close_all()
