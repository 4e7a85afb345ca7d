"""A design as a small picture or a table that a person edits elsewhere, and the edits read back."""
