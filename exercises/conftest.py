"""Everything here runs as number 1 of class "practice", in a folder of its own, made when this file is read.

The notebooks' kernels inherit it. The same lines stand in tests/, workbook/ and exercises/.
"""

import atexit
import os
import shutil
import tempfile

os.environ["HERBCALC_HOME"] = tempfile.mkdtemp(prefix="herbcalc-practice-")
atexit.register(shutil.rmtree, os.environ["HERBCALC_HOME"], ignore_errors=True)

from herbcalc import person  # noqa: E402  (it is to see the folder above)

person.save_me(person.PRACTICE.class_code, person.PRACTICE.number)
