"""What to buy for a design."""
