"""Floor 4. The homework items as data, one file a lesson; `herbcalc.homework` finds them by their file names."""
