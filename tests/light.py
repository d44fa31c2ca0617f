"""Read before anything else in each process of the tests: what takes a second to load there, and no test asks for.

Whoever reads a notebook file loads jsonschema, and that the grammar of addresses in all the world's letters.
"""

import sys

sys.modules["rfc3987_syntax"] = None  # not to be had, says Python then, and jsonschema does without
