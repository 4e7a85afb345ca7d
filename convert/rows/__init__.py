"""Word rows: a design as text, and back."""
