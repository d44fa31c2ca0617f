"""Floor 6. Imported before anything of Jupyter's, or read by pytest with `-p`: what loads for nothing stays away.

Whoever starts a server or reads a notebook file loads jsonschema, and that builds a grammar of addresses in all the
world's letters: more than a second of processor time, at each start of a student's, for a check that nobody here asks
for. Python says that it is not to be had, and jsonschema does without.
"""

import sys

sys.modules["rfc3987_syntax"] = None
