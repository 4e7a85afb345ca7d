"""Which beads exist and what their colours are called; imports ``shared`` only."""
