"""Floor 5. The lessons, one file each: a Setting and a pure look(). `here` finds them by their file names."""
