"""Floor 6. `python3 -m herbcalc`: hands what was typed to launch.py and passes on its exit code."""

import sys

from herbcalc.launch import main

if __name__ == "__main__":
    sys.exit(main())
