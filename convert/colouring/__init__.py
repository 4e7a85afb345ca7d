"""From the colours of the cells to beads."""
