"""Floor 0. The few constants that more than one place needs, each in one place."""

from __future__ import annotations

FL_OZ_PER_OZ = 28.349523125 / 29.5735295625  # fl oz (US) for each oz where there is 1 mL for each g
SLACK = 1e-9  # how far past an end rounding may carry a number: this share of the end, or this much near 0
RULES = ("kitchen", "measured")  # volumes simply add; masses add, with the density formula
