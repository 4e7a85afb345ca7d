"""How large the work is, and where it lies on the picture."""
