"""Palette files: their bytes, the table in them, GIMP palettes, and the way back."""
