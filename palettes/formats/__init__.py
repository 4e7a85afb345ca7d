"""Palette files: their bytes, the table in them, GIMP palettes, read and written."""
