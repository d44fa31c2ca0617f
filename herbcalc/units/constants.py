"""Floor 0. The few constants that more than one place needs, each in one place."""

from __future__ import annotations

FL_OZ_PER_OZ = 28.349523125 / 29.5735295625  # grams in an ounce over mL in a US fluid ounce
SLACK = 1e-9  # how far past an end of a range rounding may carry a number
