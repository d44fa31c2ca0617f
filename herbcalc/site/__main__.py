"""Floor 6. `python -m herbcalc.site`: the same as `python3 -m herbcalc site`, inside the environment at hand."""

import sys

from herbcalc.site import main

if __name__ == "__main__":
    sys.exit(main())
