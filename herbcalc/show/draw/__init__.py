"""Floor 5. Drawing: the board of a panel, the colours, and the ready-made shapes of the lessons."""
