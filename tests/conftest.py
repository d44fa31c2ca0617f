"""Everything here runs as number 1 of class "practice", in a folder of its own, made when this file is read.

The notebooks' kernels inherit it. The same lines stand in tests/, workbook/ and exercises/.
"""

import atexit
import os
import shutil
import tempfile

os.environ["HERBCALC_HOME"] = tempfile.mkdtemp(prefix="herbcalc-practice-")
atexit.register(shutil.rmtree, os.environ["HERBCALC_HOME"], ignore_errors=True)

from herbcalc import mine  # noqa: E402  (it is to see the folder above)

mine.save_me(mine.PRACTICE.class_code, mine.PRACTICE.number)
