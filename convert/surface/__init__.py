"""The predicted surface: what larger beads in slots made for small ones do to the cloth."""

SURFACE_NAMES = ("surface.json", "surface.png", "surface.glb")
"""The files of a predicted surface, known before anything slow is loaded."""
